//! Lays pieces of several sizes out so that they take the least fresh film: nesting, in the trade's word.
//!
//! Works in whole nanometres with the gap added to the pieces and to the spaces. A `Skyline` makes a
//! layout of an order of lots; the search changes the order. It sets itself a length of fresh film a
//! little below the best one, and keeps a changed order that leaves no more area without a place
//! there, until all pieces have one; then it sets itself the next length. Several sheets are one
//! length, sheet behind sheet, of which the last is cut at its last piece.
//!
//! Sources: L. Wei, W.-C. Oon, W. Zhu, A. Lim, "A skyline heuristic for the 2D rectangular packing and
//! strip packing problems", European Journal of Operational Research 215 (2011) 337-346, for the given
//! length; S. Yang, S. Han, W. Ye, "A simple randomized algorithm for two-dimensional strip packing",
//! Computers & Operations Research 40 (2013) 1-8, for the changes of the order.

mod chance;
mod skyline;
#[cfg(all(test, not(target_arch = "wasm32")))]
mod tests;

use super::least;
use super::plan::common;
use super::sorted::sort_by_key;
use chance::Chance;
use skyline::{Laid, Lot, Manner, Skyline};
use std::cmp::Ordering;

/// One size, and how often it is needed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Kind {
    /// Side along the stock, as it lies unturned.
    pub along: i64,
    /// Side across the stock.
    pub across: i64,
    /// Whether it may be turned.
    pub turn: bool,
    /// So many are needed.
    pub count: u32,
}

/// A remnant or a fresh sheet, with sides above zero.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Space {
    /// Its length.
    pub along: i64,
    /// Its width.
    pub across: i64,
}

/// The film that is taken where the remnants do not do.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Fresh {
    /// One roll of any length.
    Roll {
        /// Its width.
        across: i64,
    },
    /// As many sheets as it takes.
    Sheets(Space),
}

/// What is to be laid out.
#[derive(Clone, Debug)]
pub(super) struct Question {
    /// The sizes, each of which fits the fresh film.
    pub kinds: Vec<Kind>,
    /// What is there to be used up, in the order of preference.
    pub remnants: Vec<Space>,
    /// What is taken beyond it.
    pub fresh: Fresh,
    /// Whether the pieces must come apart by straight cuts right across.
    pub straight: bool,
}

/// Where a piece lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Lie {
    /// Place of its size in the question.
    pub kind: u32,
    /// Distance of its corner nearest the loading corner, along the stock.
    pub along: i64,
    /// The same across the stock.
    pub across: i64,
    /// Whether it lies turned.
    pub turned: bool,
}

/// A remnant, a sheet or the roll with what lies on it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Filled {
    /// Place of the remnant in the question; none for fresh film.
    pub remnant: Option<usize>,
    /// The pieces.
    pub lies: Vec<Lie>,
    /// Where the last piece ends.
    pub along: i64,
}

/// A layout of all pieces.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Packing {
    /// The remnants that are used, in their order; then the fresh sheets, the fullest first, or the roll.
    pub filled: Vec<Filled>,
}

/// A search for the packing that takes the least fresh film, and of the remnants no more than help.
///
/// What it finds depends on the steps that it was given in all, and on nothing else. A step is one lot
/// looked at for one place; 300 to 450 million of them took a second natively on one core.
#[derive(Debug)]
pub(super) struct Search {
    kinds: Vec<Kind>,
    remnants: Vec<Remnant>,
    fresh: Fresh,
    /// What all pieces cover.
    area: i128,
    /// The greatest unit in which all sides are whole numbers.
    unit: i64,
    /// No piece lies on less than this along the stock.
    shortest: i64,
    /// No packing takes less fresh film.
    bound: i64,
    best: Packing,
    /// The length of fresh film in the best packing, and the order and manner that it came from.
    best_length: i64,
    best_lots: Vec<Lot>,
    best_manner: Manner,
    /// The length that the search has set itself, and by how much it goes down.
    target: i64,
    step: i64,
    /// The order in hand, its manner, and the area that finds no place at the target.
    lots: Vec<Lot>,
    manner: Manner,
    left: i128,
    /// The changed order.
    trial: Vec<Lot>,
    /// Changes since the last that was better.
    failures: usize,
    /// So many of the remnants are still to be tried to do without.
    doubtful: usize,
    skyline: Skyline,
    chance: Chance,
    /// The steps that may be spent in all.
    granted: u64,
}

/// A remnant, and whether the layouts in hand do without it.
#[derive(Clone, Copy, Debug)]
struct Remnant {
    space: Space,
    idle: bool,
}

/// Pieces of a kind are changed in the order one by one up to so many pieces, beyond it in lots.
const MOST_LOTS: usize = 400;

/// So many steps are spent on the first packing, and those of one more layout.
const FIRST: u64 = 15_000_000;

/// The search starts anew after so many changes in vain, or so many for each lot.
const PATIENCE: usize = 150;
const PATIENCE_A_LOT: usize = 20;

/// The search goes down by no less than this part of the length, so that it does not spend itself on
/// what nobody can measure.
const FINEST: i64 = 4_096;

impl Search {
    /// Makes a first packing: the best of several orders by size.
    pub fn new(question: Question) -> Self {
        let Question {
            kinds,
            remnants,
            fresh,
            straight,
        } = question;
        let covered = |kind: &Kind| area(kind.along, kind.across) * i128::from(kind.count);
        let sides = kinds.iter().flat_map(|kind| [kind.along, kind.across]);
        let lowest = |kind: &Kind| {
            if kind.turn {
                kind.along.min(kind.across)
            } else {
                kind.along
            }
        };
        let shortest = kinds.iter().map(lowest).min().unwrap_or(1);
        let mut search = Self {
            area: kinds.iter().map(covered).sum(),
            unit: sides.fold(0, common).max(1),
            shortest,
            bound: bound(&kinds, &remnants, fresh, shortest),
            best: Packing::default(),
            best_length: i64::MAX,
            best_lots: Vec::new(),
            best_manner: Manner::default(),
            target: 0,
            step: 0,
            lots: lots(&kinds),
            manner: Manner {
                straight,
                ..Manner::default()
            },
            left: 0,
            trial: Vec::new(),
            failures: 0,
            doubtful: 0,
            skyline: Skyline::default(),
            chance: Chance::new(),
            granted: 0,
            kinds,
            remnants: remnants
                .into_iter()
                .map(|space| Remnant { space, idle: false })
                .collect(),
            fresh,
        };
        search.first();
        search.granted = search.spent();
        search
    }

    /// The best packing so far.
    pub const fn best(&self) -> &Packing {
        &self.best
    }

    /// The steps spent so far, those for the first packing included.
    pub const fn spent(&self) -> u64 {
        self.skyline.spent
    }

    /// Goes on for so many steps; whether there is anything left to look for.
    pub fn run(&mut self, steps: u64) -> bool {
        self.granted = self.granted.saturating_add(steps);
        while !self.done() {
            if self.spent() >= self.granted {
                return true;
            }
            if self.doubtful > 0 {
                self.do_without();
            } else if self.failures > PATIENCE.max(PATIENCE_A_LOT * self.lots.len()) {
                self.start_anew();
            } else {
                self.change();
            }
        }
        false
    }

    /// Whether nothing is left to look for. There is no packing at all where a piece fits nowhere.
    const fn done(&self) -> bool {
        self.doubtful == 0 && (self.best_length <= self.bound || self.best_length == i64::MAX)
    }

    fn first(&mut self) {
        let sheets = match self.fresh {
            Fresh::Roll { .. } => None,
            Fresh::Sheets(sheet) => Some(sheet.along),
        };
        // As much as it takes if each piece takes its longer side, or a whole sheet.
        let alone =
            |kind: &Kind| sheets.unwrap_or(kind.along.max(kind.across)) * i64::from(kind.count);
        let mut length = self.kinds.iter().map(alone).sum();
        for round in 0..STARTS {
            self.sort(round);
            self.manner.sideways = sheets.is_some() && round % 2 == 1;
            self.trial.clone_from(&self.lots);
            if self.lay(length, self.manner, i128::MAX) == Some(0) {
                self.keep(self.manner);
                length = self.best_length - 1;
            }
            if length < self.bound || self.spent() > FIRST {
                break;
            }
        }
        self.lots.clone_from(&self.best_lots);
        self.manner = self.best_manner;
        while self.doubtful > 0 && self.spent() < FIRST {
            self.do_without();
        }
        self.step = (self.best_length - self.bound) / 30;
        self.aim();
    }

    /// Puts the lots into one of the starting orders: the largest first, by one of five measures, and
    /// pieces that may be turned lying flat, upright or as they came.
    fn sort(&mut self, round: usize) {
        let kinds = &self.kinds;
        for lot in &mut self.lots {
            lot.turned = kinds.get(lot.kind as usize).is_some_and(|kind| {
                let lies = kind.along.cmp(&kind.across);
                let rather = [Ordering::Greater, Ordering::Less].get(round / 5);
                kind.turn && rather == Some(&lies)
            });
        }
        // The largest first, those of equal measure by their kind.
        sort_by_key(&mut self.lots, |lot| (lot.kind.into(), 0));
        sort_by_key(&mut self.lots, |lot| {
            let measure = kinds.get(lot.kind as usize).map(|kind| {
                let (along, across) = if lot.turned {
                    (kind.across, kind.along)
                } else {
                    (kind.along, kind.across)
                };
                let first = match round % 5 {
                    0 => i128::from(along),
                    1 => i128::from(across),
                    2 => area(along, across),
                    3 => i128::from(along + across),
                    _ => i128::from(along.max(across)),
                };
                (-first, -along)
            });
            measure.unwrap_or_default()
        });
    }

    /// The spaces to fill, with so much fresh film behind the remnants.
    fn spaces(&self, length: i64) -> impl Iterator<Item = Space> {
        let sheets = match self.fresh {
            Fresh::Roll { across } => (
                0,
                Space {
                    along: length,
                    across,
                },
            ),
            Fresh::Sheets(sheet) => (
                length / sheet.along,
                Space {
                    along: length % sheet.along,
                    across: sheet.across,
                },
            ),
        };
        let (whole, last) = sheets;
        let sheet = move |number: i64| match self.fresh {
            Fresh::Sheets(sheet) if number < whole => sheet,
            _ => last,
        };
        let remnants = self.remnants.iter().filter(|remnant| !remnant.idle);
        remnants
            .map(|remnant| remnant.space)
            .chain((0..=whole).map(sheet))
    }

    /// Lays the trial out with so much fresh film: the area that finds no place, if that is not more
    /// than `worst`.
    fn lay(&mut self, length: i64, manner: Manner, worst: i128) -> Option<i128> {
        let across = match self.fresh {
            Fresh::Roll { across } | Fresh::Sheets(Space { across, .. }) => across,
        };
        let remnants = self.remnants.iter().filter(|remnant| !remnant.idle);
        let spare: i128 = remnants
            .map(|Remnant { space, .. }| area(space.along, space.across))
            .sum();
        let waste = worst.saturating_add(spare + area(length, across) - self.area);
        let mut skyline = std::mem::take(&mut self.skyline);
        let laid = skyline.lay(&self.kinds, &self.trial, self.spaces(length), manner, waste);
        self.skyline = skyline;
        laid?;
        let left = self.skyline.left().filter_map(|(kind, count)| {
            let kind = self.kinds.get(kind as usize)?;
            Some(area(kind.along, kind.across) * i128::from(count))
        });
        Some(left.sum()).filter(|left| *left <= worst)
    }

    /// Keeps the layout just made, of all pieces, if it is better than the best.
    fn keep(&mut self, manner: Manner) -> bool {
        let packing = self.packing();
        let length = self.length(&packing);
        let better = length < self.best_length
            || length == self.best_length && packing.remnants() < self.best.remnants();
        if better {
            self.best = packing;
            self.best_length = length;
            self.best_lots.clone_from(&self.trial);
            self.best_manner = manner;
            self.doubtful = self.remnants.len();
        }
        better
    }

    /// The fresh film that a packing takes, sheet behind sheet.
    fn length(&self, packing: &Packing) -> i64 {
        let mut fresh = packing.filled.iter().filter(|f| f.remnant.is_none());
        let last = fresh.next_back().map_or(0, |last| last.along);
        match self.fresh {
            Fresh::Roll { .. } => last,
            Fresh::Sheets(sheet) => fresh.fold(last, |length, _| length + sheet.along),
        }
    }

    /// The layout just made.
    fn packing(&self) -> Packing {
        let remnants = self.remnants.iter().enumerate();
        let remnants = remnants.filter(|(_, remnant)| !remnant.idle);
        let mut remnants = remnants.map(|(index, _)| index);
        let mut filled: Vec<Filled> = Vec::new();
        // The spaces were filled one after the other.
        let mut spaces = 0;
        for Laid { space, lie } in &self.skyline.laid {
            while spaces <= *space {
                spaces += 1;
                filled.push(Filled {
                    remnant: remnants.next(),
                    lies: Vec::new(),
                    along: 0,
                });
            }
            if let Some(last) = filled.last_mut()
                && let Some(kind) = self.kinds.get(lie.kind as usize)
            {
                let side = if lie.turned { kind.across } else { kind.along };
                last.along = last.along.max(lie.along + side);
                last.lies.push(*lie);
            }
        }
        filled.retain(|filled| !filled.lies.is_empty());
        sort_by_key(&mut filled, |filled| {
            let remnant = filled.remnant.and_then(|place| i128::try_from(place).ok());
            (remnant.unwrap_or(i128::MAX), -filled.along)
        });
        Packing { filled }
    }

    /// Tries to do without the last of the remnants that has not been tried yet.
    fn do_without(&mut self) {
        self.doubtful -= 1;
        let place = self.doubtful;
        let in_use = self.best.filled.iter().any(|f| f.remnant == Some(place));
        self.rest(place, true);
        if in_use {
            self.trial.clone_from(&self.best_lots);
            let manner = self.best_manner;
            let kept = self.lay(self.best_length, manner, 0).is_some() && self.keep(manner);
            self.doubtful = place;
            self.rest(place, kept);
        }
        if place == 0 {
            for remnant in &mut self.remnants {
                remnant.idle = false;
            }
        }
    }

    fn rest(&mut self, place: usize, idle: bool) {
        if let Some(remnant) = self.remnants.get_mut(place) {
            remnant.idle = idle;
        }
    }

    /// Sets the next target, and lays the order in hand out for it; repeats that while all pieces
    /// find a place.
    fn aim(&mut self) {
        self.failures = 0;
        self.trial.clone_from(&self.lots);
        while self.best_length > self.bound && self.best_length < i64::MAX {
            self.step = self.step.max(self.best_length / FINEST).max(self.unit);
            self.target = (self.best_length - self.step).max(self.bound);
            if let Fresh::Sheets(sheet) = self.fresh
                && self.target % sheet.along < self.shortest
            {
                self.target -= self.target % sheet.along;
            }
            match self.lay(self.target, self.manner, i128::MAX) {
                Some(0) if self.keep(self.manner) => {}
                left => {
                    self.left = left.unwrap_or(i128::MAX);
                    break;
                }
            }
        }
    }

    /// Changes the order in hand, and keeps the change if it leaves no more without a place.
    fn change(&mut self) {
        self.trial.clone_from(&self.lots);
        let (one, other) = (self.any(), self.any());
        match self.chance.below(8) {
            1 if self.manner.straight => {
                if let Some(lot) = self.trial.get_mut(one) {
                    lot.split ^= true;
                }
            }
            0 => {
                let turn = |lot: &Lot| self.kinds.get(lot.kind as usize).is_some_and(|k| k.turn);
                if let Some(lot) = self.trial.get_mut(one).filter(|lot| turn(lot)) {
                    lot.turned ^= true;
                }
            }
            1 | 2 => {
                let part = self.trial.get_mut(one.min(other)..=one.max(other));
                if let Some(part) = part {
                    if one < other {
                        part.rotate_left(1);
                    } else {
                        part.rotate_right(1);
                    }
                }
            }
            _ => self.trial.swap(one, other),
        }
        self.failures += 1;
        if let Some(left) = self.lay(self.target, self.manner, self.left) {
            if left < self.left {
                self.failures = 0;
            }
            self.left = left;
            std::mem::swap(&mut self.lots, &mut self.trial);
            if left == 0 {
                self.trial.clone_from(&self.lots);
                self.keep(self.manner);
                self.aim();
            }
        }
    }

    /// Any place in the order.
    fn any(&mut self) -> usize {
        self.chance.below(self.lots.len())
    }

    /// Starts from another order, and aims less low.
    fn start_anew(&mut self) {
        self.step /= 2;
        let draw = self.chance.below(4);
        if draw == 0 {
            let round = self.chance.below(STARTS);
            self.sort(round);
            self.manner.sideways = self.chance.below(2) == 1;
        } else {
            self.lots.clone_from(&self.best_lots);
            self.manner = self.best_manner;
            self.manner.sideways ^= draw == 1;
            self.manner.plain = self.chance.below(4) == 0;
            for _ in 0..self.lots.len() / 30 + 2 {
                let (one, other) = (self.any(), self.any());
                self.lots.swap(one, other);
            }
        }
        self.aim();
    }
}

impl Packing {
    /// How many remnants it uses.
    fn remnants(&self) -> usize {
        let used = |filled: &&Filled| filled.remnant.is_some();
        self.filled.iter().filter(used).count()
    }
}

/// So many starting orders there are.
const STARTS: usize = 15;

/// The length of fresh film, sheet behind sheet, that no packing goes below.
fn bound(kinds: &[Kind], remnants: &[Space], fresh: Fresh, shortest: i64) -> i64 {
    let sheet = match fresh {
        Fresh::Roll { across } => return least::roll(kinds, remnants, across),
        Fresh::Sheets(sheet) => sheet,
    };
    // Sheets behind each other are a roll.
    let roll = least::roll(kinds, remnants, sheet.across);
    let sheets = i64::from(least::sheets(kinds, remnants, sheet));
    if sheets == 0 {
        return roll;
    }
    let length = roll.max((sheets - 1) * sheet.along + 1);
    let last = (length - 1) % sheet.along + 1;
    length + (shortest - last).max(0)
}

/// The pieces in lots of one kind each.
fn lots(kinds: &[Kind]) -> Vec<Lot> {
    let pieces: usize = kinds.iter().map(|kind| kind.count as usize).sum();
    let size = u32::try_from(pieces.div_ceil(MOST_LOTS)).unwrap_or(u32::MAX);
    let size = size.max(1);
    let mut lots = Vec::new();
    for (kind, Kind { count, .. }) in (0..).zip(kinds) {
        let rest = (count % size > 0).then_some(count % size);
        let counts = (0..count / size).map(|_| size).chain(rest);
        lots.extend(counts.map(|count| Lot {
            kind,
            count,
            turned: false,
            split: false,
        }));
    }
    lots
}

fn area(along: i64, across: i64) -> i128 {
    i128::from(along) * i128::from(across)
}
