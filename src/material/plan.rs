//! Lays pieces of one size out: the most in a given space, or a number of them in the shortest.
//!
//! Works in whole nanometres with the gap added to the pieces and to the space, divided by the
//! greatest common divisor of the piece's sides; every position is a sum of such sides. A long
//! piece of stock is put together from lengths that go right across it.

use super::blocks::{Block, Blocks, Sides};
use super::ells;
use super::layout::Spot;
use super::order::{Cuts, Effort};
use super::raster::Raster;
use super::watch::Watch;

/// Space and pieces in whole nanometres, the gap added to both.
#[derive(Clone, Copy, Debug)]
pub(super) struct Question {
    /// The usable length; of a roll, a length known to be enough.
    pub along: i64,
    /// The usable width.
    pub across: i64,
    /// The piece as it lies unturned.
    pub piece: Sides,
    /// Whether it may be turned.
    pub turn: bool,
    /// How hard to search.
    pub effort: Effort,
}

/// What a search may spend, in steps that take a few nanoseconds each, so that the same input gets
/// the same answer on every machine.
#[derive(Debug)]
struct Budget {
    /// Sums that the table of straight cuts may compare.
    straight: usize,
    /// Divisions into mills that may be looked at for the number of pieces.
    count: u64,
    /// The same for each length that is tried for a given number of pieces.
    length: u64,
    /// How deep mills may lie in mills.
    depth: u8,
    /// Steps that divisions into L's may take where that leaves fewer pieces than the bound.
    ells: u64,
    /// Further divisions into mills where the search for L's did not come to an end.
    more: u64,
}

impl Budget {
    const fn of(effort: Effort) -> Self {
        match effort {
            Effort::Quick => Self {
                straight: 8_000_000,
                count: 4_000_000,
                length: 400_000,
                depth: 3,
                ells: 0,
                more: 0,
            },
            // Natively the mills take up to 10 s, the L's as long, and hardly ever so much.
            Effort::Thorough => Self {
                straight: 60_000_000,
                count: 40_000_000,
                length: 20_000_000,
                depth: 4,
                ells: 1_000_000_000,
                more: 400_000_000,
            },
        }
    }
}

/// Places across the stock that are looked at in one search.
const MOST_ACROSS: usize = 240;

/// Places along the stock that are looked at in one search, however narrow it is.
const MOST_ALONG: usize = 1_500;

/// A space with all that has been found out about it.
#[derive(Debug)]
pub(super) enum Plan {
    /// All pieces lie alike, in rows and columns; more is not possible.
    Alike {
        piece: Sides,
        turned: bool,
        rows: i64,
        columns: i64,
    },
    /// Pieces may lie both ways.
    Mixed(Box<Mixed>),
}

/// A space in which pieces may lie both ways.
#[derive(Debug)]
pub(super) struct Mixed {
    /// Nanometres in one of the units below.
    unit: i64,
    piece: Sides,
    along: i64,
    blocks: Blocks,
    budget: Budget,
    /// Whether the blocks reach to the end of the space.
    whole: bool,
    /// Whether all places across that matter are looked at.
    everywhere: bool,
    /// A layout of more pieces than the blocks hold, and how many.
    ells: Option<(u32, Vec<Block>)>,
}

/// The shortest length known for a number of pieces: a last part, to a place of the raster, behind
/// the shortest length for the pieces that it does not hold.
#[derive(Clone, Copy, Debug)]
struct Joined {
    length: i64,
    end: usize,
    before: usize,
}

impl Plan {
    /// Looks at a space into which at least one piece fits.
    pub fn new(question: &Question) -> Self {
        let Question {
            along,
            across,
            piece,
            turn,
            ..
        } = *question;
        let turned = Sides {
            along: piece.across,
            across: piece.along,
        };
        let fits = |lies: Sides| lies.along <= along && lies.across <= across;
        if turn && piece != turned && fits(piece) && fits(turned) {
            return Self::Mixed(Box::new(Mixed::new(question)));
        }
        let turned_only = turn && !fits(piece);
        let lies = if turned_only { turned } else { piece };
        Self::Alike {
            piece: lies,
            turned: turned_only,
            rows: along / lies.along,
            columns: across / lies.across,
        }
    }

    /// The most pieces found for the space; the search ends at `goal`, which none can surpass.
    pub fn most(&mut self, goal: usize, watch: &mut Watch) -> usize {
        match self {
            Self::Alike { rows, columns, .. } => usize::try_from(*rows * *columns).unwrap_or(0),
            Self::Mixed(mixed) => mixed.most(goal, watch),
        }
    }

    /// The most pieces found for the space by straight cuts from edge to edge.
    pub fn most_straight(&self) -> usize {
        match self {
            Self::Alike { rows, columns, .. } => usize::try_from(*rows * *columns).unwrap_or(0),
            Self::Mixed(mixed) if mixed.whole => {
                mixed.blocks.straight(mixed.blocks.along().len() - 1) as usize
            }
            Self::Mixed(mixed) => mixed.joined(usize::MAX).len() - 1,
        }
    }

    /// At least `count` pieces in the shortest length found by straight cuts; fewer only where the
    /// space does not hold them so.
    pub fn spots_straight(&mut self, count: usize) -> Vec<Spot> {
        match self {
            Self::Mixed(mixed) if mixed.whole => {
                let last = mixed.blocks.along().len() - 1;
                let enough = |end: &usize| mixed.blocks.straight(*end) as usize >= count;
                let end = (0..last).find(enough).unwrap_or(last);
                mixed.spots_of(end, 0, Cuts::Straight).collect()
            }
            // Whatever is found without mills is found by straight cuts.
            _ => self.spots(count, 0, &mut |_| true),
        }
    }

    /// Whether the layouts by straight cuts are the best of all such layouts: every place was tried.
    pub fn tries_every_straight_cut(&self) -> bool {
        match self {
            Self::Alike { .. } => true,
            Self::Mixed(mixed) => mixed.whole && mixed.everywhere,
        }
    }

    /// Whether layouts are searched for that straight cuts do not give.
    pub fn searches(&self) -> bool {
        matches!(self, Self::Mixed(mixed) if mixed.whole)
    }

    /// At least `count` pieces in the shortest length found; the search ends at `shortest`
    /// nanometres, which none can go below. Fewer only where the space does not hold them.
    pub fn spots(&mut self, count: usize, shortest: i64, watch: &mut Watch) -> Vec<Spot> {
        match self {
            Self::Alike {
                piece,
                turned,
                rows,
                columns,
            } => {
                let block = Block {
                    along: 0,
                    across: 0,
                    rows: *rows,
                    columns: *columns,
                    turned: *turned,
                };
                block.spots(*piece, 1, 0).take(count).collect()
            }
            Self::Mixed(mixed) => mixed.spots(count, shortest, watch),
        }
    }
}

impl Mixed {
    fn new(question: &Question) -> Self {
        let budget = Budget::of(question.effort);
        let unit = common(question.piece.along, question.piece.across);
        let piece = Sides {
            along: question.piece.along / unit,
            across: question.piece.across / unit,
        };
        let (along, across) = (question.along / unit, question.across / unit);
        let (across, everywhere) = places_across(piece, across);
        let most = places_along(across.len(), budget.straight);
        let raster = Raster::sums(piece.along, piece.across, along, most);
        Self {
            unit,
            piece,
            along,
            whole: raster.len() < most,
            everywhere,
            blocks: Blocks::new(piece, raster, across),
            ells: None,
            budget,
        }
    }

    fn most(&mut self, goal: usize, watch: &mut Watch) -> usize {
        if !self.whole {
            return self.joined(usize::MAX).len() - 1;
        }
        let end = self.blocks.along().len() - 1;
        let goal = u32::try_from(goal).unwrap_or(u32::MAX);
        let Budget { depth, count, .. } = self.budget;
        let found = self.blocks.search(end, goal, depth, count, watch);
        // A module that answers at once is built without what comes after.
        if found >= goal || self.budget.ells == 0 || !cfg!(feature = "thorough") {
            return found as usize;
        }
        let outcome = ells::search(&self.blocks, self.piece, goal, self.budget.ells, watch);
        let exhausted = outcome.as_ref().is_some_and(|outcome| outcome.exhausted);
        self.ells = outcome.and_then(|outcome| outcome.better);
        let by_ells = self.ells.as_ref().map_or(0, |(count, _)| *count);
        if by_ells >= goal || exhausted {
            return found.max(by_ells) as usize;
        }
        let found = self
            .blocks
            .search(end, goal, depth, self.budget.more, watch);
        found.max(by_ells) as usize
    }

    fn spots(&mut self, count: usize, shortest: i64, watch: &mut Watch) -> Vec<Spot> {
        if self.whole {
            let by_blocks = self.blocks.best(self.blocks.along().len() - 1) as usize;
            if let Some((by_ells, layout)) = &self.ells
                && (by_blocks + 1..=*by_ells as usize).contains(&count)
            {
                return self.spots_in(layout.clone(), 0).collect();
            }
            let end = self.shorten(count, shortest / self.unit, watch);
            return self.spots_of(end, 0, Cuts::Any).collect();
        }
        let joined = self.joined(count);
        let mut spots = Vec::new();
        let mut left = count.min(joined.len() - 1);
        while left > 0 {
            let Joined { end, before, .. } = joined[left];
            spots.extend(self.spots_of(end, joined[before].length, Cuts::Any));
            left = before;
        }
        spots
    }

    /// The pieces of the best layout known up to the place `end` for such cuts, moved along by
    /// `offset` units.
    fn spots_of(&self, end: usize, offset: i64, cuts: Cuts) -> impl Iterator<Item = Spot> + use<> {
        self.spots_in(self.blocks.blocks(end, cuts), offset)
    }

    /// The pieces of blocks, moved along by `offset` units.
    fn spots_in(&self, blocks: Vec<Block>, offset: i64) -> impl Iterator<Item = Spot> + use<> {
        let (piece, unit) = (self.piece, self.unit);
        blocks.into_iter().flat_map(move |block| {
            let lies = if block.turned {
                Sides {
                    along: piece.across,
                    across: piece.along,
                }
            } else {
                piece
            };
            block.spots(lies, unit, offset)
        })
    }

    /// The first place found up to which `count` pieces fit, not before `shortest`.
    fn shorten(&mut self, count: usize, shortest: i64, watch: &mut Watch) -> usize {
        let count = u32::try_from(count).unwrap_or(u32::MAX);
        let last = self.blocks.along().len() - 1;
        let by_cuts = (0..last).find(|end| self.blocks.best(*end) >= count);
        let mut found = by_cuts.unwrap_or(last);
        let possible = |end: &usize| {
            self.blocks.along().places()[*end] >= shortest && self.blocks.most(*end) >= count
        };
        let mut first = (0..found).find(possible).unwrap_or(found);
        while first < found {
            let middle = first + (found - first) / 2;
            let (depth, steps) = (self.budget.depth, self.budget.length);
            if self.blocks.search(middle, count, depth, steps, watch) >= count {
                found = middle;
            } else {
                first = middle + 1;
            }
        }
        found
    }

    /// The shortest lengths known for 0, 1, 2, ... pieces, up to `most` of them and as far as the
    /// space goes, each put together from lengths that go right across.
    fn joined(&self, most: usize) -> Vec<Joined> {
        let places = self.blocks.along().places();
        let mut parts: Vec<(usize, i64, usize)> = Vec::new();
        for (end, length) in places.iter().enumerate() {
            let count = self.blocks.best(end) as usize;
            if count > parts.last().map_or(0, |(count, ..)| *count) {
                parts.push((count, *length, end));
            }
        }
        let mut joined = vec![Joined {
            length: 0,
            end: 0,
            before: 0,
        }];
        while joined.len() <= most {
            let with = |(count, length, end): &(usize, i64, usize)| {
                let before = joined.len().saturating_sub(*count);
                Joined {
                    length: joined[before].length + length,
                    end: *end,
                    before,
                }
            };
            let shortest = parts.iter().map(with).min_by_key(|joined| joined.length);
            match shortest.filter(|shortest| shortest.length <= self.along) {
                Some(shortest) => joined.push(shortest),
                None => break,
            }
        }
        joined
    }
}

impl Block {
    /// The spots of the block's pieces, which lie as `lies` says, in nanometres: `unit` to a unit of
    /// the block, moved along by `offset` units.
    fn spots(self, lies: Sides, unit: i64, offset: i64) -> impl Iterator<Item = Spot> {
        (0..self.rows).flat_map(move |row| {
            (0..self.columns).map(move |column| Spot {
                along: (offset + self.along + row * lies.along) * unit,
                across: (self.across + column * lies.across) * unit,
                turned: self.turned,
            })
        })
    }
}

/// The places across a stock, and whether they are all that matter, which they are where those are
/// not too many.
fn places_across(piece: Sides, across: i64) -> (Raster, bool) {
    let all = Raster::sums(piece.along, piece.across, across, 4 * MOST_ACROSS);
    if all.len() <= MOST_ACROSS {
        return (all, true);
    }
    if all.len() < 4 * MOST_ACROSS {
        let reduced = all.reduced();
        if reduced.len() <= MOST_ACROSS {
            return (reduced, true);
        }
    }
    let thinned = Raster::thinned(piece.along, piece.across, across, MOST_ACROSS);
    (thinned, false)
}

/// So many places along can be looked at with `across` places across and `sums` sums: every part is
/// cut at about half of its places along, and at half of those across.
fn places_along(across: usize, sums: usize) -> usize {
    let cost = |along: usize| along * across * (along + across) / 4;
    (2..MOST_ALONG)
        .find(|along| cost(along + 1) > sums)
        .unwrap_or(MOST_ALONG)
}

/// The greatest common divisor.
pub(super) fn common(mut a: i64, mut b: i64) -> i64 {
    while b != 0 {
        (a, b) = (b, a % b);
    }
    a
}
