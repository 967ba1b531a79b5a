//! Turns an order of lots into a layout: spaces are filled one after the other from their near end.
//!
//! What is taken of a space is bounded by a skyline: level segments next to each other. The lowest
//! one is filled first, the leftmost of these, with the first lot that fits it best; what fits no
//! piece is given up and the segment raised to its lower neighbour. Sources: S. C. H. Leung,
//! D. Zhang, K. M. Sim, "A two-stage intelligent search algorithm for the two-dimensional strip
//! packing problem", European Journal of Operational Research 215 (2011) 57-69; L. Wei, W.-C. Oon,
//! W. Zhu, A. Lim, "A skyline heuristic for the 2D rectangular packing and strip packing problems",
//! the same 215 (2011) 337-346, for filling a space of a given length.

mod straight;

use super::{Kind, Lie, Space};
use straight::Part;

/// Pieces of one kind that stand together in the order.
#[derive(Clone, Copy, Debug)]
pub(super) struct Lot {
    pub kind: u32,
    pub count: u32,
    /// Whether they rather lie turned where both ways fit alike.
    pub turned: bool,
    /// Whether the part beside the piece is cut off first, where cuts are straight.
    pub split: bool,
}

/// A piece where it lies, and in which of the spaces.
#[derive(Clone, Copy, Debug)]
pub(super) struct Laid {
    pub space: usize,
    pub lie: Lie,
}

/// How a layout is made.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Manner {
    /// Whether the spaces are filled from their left side instead of their near end.
    pub sideways: bool,
    /// Whether the first lot that fits is taken, rather than the first of those that fit best.
    pub plain: bool,
    /// Whether the pieces must come apart by straight cuts right across.
    pub straight: bool,
}

/// A level part of the skyline: where it begins, how wide it is, and how high it stands.
#[derive(Clone, Copy, Debug)]
struct Segment {
    x: i64,
    width: i64,
    y: i64,
}

/// The pieces of a lot that are still to be laid; sides as seen from where the filling begins.
#[derive(Clone, Copy, Debug)]
struct Item {
    width: i64,
    height: i64,
    kind: u32,
    left: u32,
    turned: bool,
    both: bool,
    split: bool,
}

/// Lays lots out; kept for its memory.
#[derive(Clone, Debug, Default)]
pub(super) struct Skyline {
    items: Vec<Item>,
    segments: Vec<Segment>,
    /// What is cut free and not looked at yet, where cuts are straight.
    parts: Vec<Part>,
    /// No piece is narrower than this.
    narrowest: i64,
    /// What was laid last.
    pub laid: Vec<Laid>,
    /// What all layouts took so far, in steps.
    pub spent: u64,
}

/// What one piece is laid down for, besides the lots that are looked at.
const STEPS_A_PIECE: u64 = 16;

/// Where a piece is laid.
#[derive(Clone, Copy, Debug)]
struct Choice {
    item: usize,
    swapped: bool,
}

impl Skyline {
    /// Lays `lots` out in `spaces`, up to the point where more than `waste` is given up. Returns the
    /// area given up.
    pub fn lay(
        &mut self,
        kinds: &[Kind],
        lots: &[Lot],
        spaces: impl Iterator<Item = Space>,
        manner: Manner,
        waste: i128,
    ) -> Option<i128> {
        self.laid.clear();
        self.items.clear();
        for lot in lots {
            let Some(kind) = kinds.get(lot.kind as usize) else {
                continue;
            };
            let swapped = lot.turned != manner.sideways;
            let (width, height) = if swapped {
                (kind.along, kind.across)
            } else {
                (kind.across, kind.along)
            };
            self.items.push(Item {
                width,
                height,
                kind: lot.kind,
                left: lot.count,
                turned: lot.turned,
                both: kind.turn && kind.along != kind.across,
                split: lot.split,
            });
        }
        let narrow = |item: &Item| {
            if item.both {
                item.width.min(item.height)
            } else {
                item.width
            }
        };
        self.narrowest = self.items.iter().map(narrow).min().unwrap_or(0);
        let mut given_up = 0;
        for (index, space) in spaces.enumerate() {
            if self.items.is_empty() {
                break;
            }
            self.fill(index, space, manner, waste, &mut given_up)?;
        }
        Some(given_up)
    }

    /// The pieces that found no place in the last layout: kind and number.
    pub fn left(&self) -> impl Iterator<Item = (u32, u32)> {
        self.items.iter().map(|item| (item.kind, item.left))
    }

    fn fill(
        &mut self,
        index: usize,
        space: Space,
        manner: Manner,
        waste: i128,
        given_up: &mut i128,
    ) -> Option<()> {
        let (width, end) = if manner.sideways {
            (space.along, space.across)
        } else {
            (space.across, space.along)
        };
        if manner.straight {
            return self.cut(index, (width, end), manner, waste, given_up);
        }
        self.segments.clear();
        self.segments.push(Segment { x: 0, width, y: 0 });
        while !self.items.is_empty() {
            let Some((at, lowest)) = self.lowest() else {
                break;
            };
            if lowest.y >= end {
                break;
            }
            let rise = |other: Option<&Segment>| other.map_or(i64::MAX, |s| s.y - lowest.y);
            let left = rise(at.checked_sub(1).and_then(|left| self.segments.get(left)));
            let right = rise(self.segments.get(at + 1));
            let room = end - lowest.y;
            if let Some(choice) = self.choose(lowest.width, room, left, right, manner.plain) {
                self.put(at, lowest, choice, left >= right, index, manner);
            } else {
                let up = left.min(right).min(room);
                *given_up += i128::from(lowest.width) * i128::from(up);
                if *given_up > waste {
                    return None;
                }
                self.raise(at, up);
            }
        }
        Some(())
    }

    fn lowest(&self) -> Option<(usize, Segment)> {
        let mut lowest: Option<(usize, Segment)> = None;
        for (at, segment) in self.segments.iter().enumerate() {
            if lowest.is_none_or(|(_, lowest)| segment.y < lowest.y) {
                lowest = Some((at, *segment));
            }
        }
        lowest
    }

    /// A piece for a segment `width` wide, with `room` to the end and walls of `left` and `right`.
    fn choose(
        &mut self,
        width: i64,
        room: i64,
        left: i64,
        right: i64,
        plain: bool,
    ) -> Option<Choice> {
        if width < self.narrowest {
            self.spent += 1;
            return None;
        }
        let (high, low) = (left.max(right), left.min(right));
        let fitness = |w: i64, h: i64| {
            if w > width || h > room {
                0
            } else if plain {
                5
            } else if w == width {
                if h == low || h == high || h == room {
                    5
                } else {
                    3
                }
            } else if h == high || h == room {
                2
            } else {
                1
            }
        };
        self.first_best(fitness)
    }

    /// The first of the pieces that fit best, of which 5 is the most and 0 does not fit.
    fn first_best(&mut self, fitness: impl Fn(i64, i64) -> i32) -> Option<Choice> {
        let mut best = 0;
        let mut choice = None;
        let mut looked = 0;
        for (index, item) in self.items.iter().enumerate() {
            looked = index;
            let fits = fitness(item.width, item.height);
            if fits > best {
                best = fits;
                choice = Some(Choice {
                    item: index,
                    swapped: false,
                });
            }
            if item.both {
                let fits = fitness(item.height, item.width);
                if fits > best {
                    best = fits;
                    choice = Some(Choice {
                        item: index,
                        swapped: true,
                    });
                }
            }
            if best == 5 {
                break;
            }
        }
        self.spent += looked as u64 + STEPS_A_PIECE;
        choice
    }

    /// Takes one of the pieces, turned as it was chosen.
    fn take(&mut self, choice: Choice) -> Option<Item> {
        let item = self.items.get_mut(choice.item)?;
        item.left -= 1;
        let mut taken = *item;
        if choice.swapped {
            (taken.width, taken.height) = (taken.height, taken.width);
            taken.turned ^= true;
        }
        if taken.left == 0 {
            self.items.remove(choice.item);
        }
        Some(taken)
    }

    /// Notes where a piece lies.
    fn set_down(&mut self, space: usize, (x, y): (i64, i64), item: Item, manner: Manner) {
        let (along, across) = if manner.sideways { (x, y) } else { (y, x) };
        let lie = Lie {
            kind: item.kind,
            along,
            across,
            turned: item.turned,
        };
        self.laid.push(Laid { space, lie });
    }

    /// Lays a piece on a segment, at its left end or its right one.
    fn put(
        &mut self,
        at: usize,
        segment: Segment,
        choice: Choice,
        leftmost: bool,
        space: usize,
        manner: Manner,
    ) {
        let Some(item) = self.take(choice) else {
            return;
        };
        let Item { width, height, .. } = item;
        let x = if leftmost {
            segment.x
        } else {
            segment.x + segment.width - width
        };
        self.set_down(space, (x, segment.y), item, manner);
        let piece = Segment {
            x,
            width,
            y: segment.y + height,
        };
        let rest = segment.width - width;
        if rest == 0 {
            self.raise(at, height);
            return;
        }
        if let Some(segment) = self.segments.get_mut(at) {
            segment.width = rest;
            if leftmost {
                segment.x += width;
            }
        }
        let beside = if leftmost {
            at.checked_sub(1)
        } else {
            Some(at + 1)
        };
        let beside = beside.and_then(|beside| self.segments.get_mut(beside));
        if let Some(beside) = beside.filter(|beside| beside.y == piece.y) {
            beside.width += width;
            beside.x = beside.x.min(x);
        } else {
            self.segments
                .insert(if leftmost { at } else { at + 1 }, piece);
        }
    }

    /// Raises a segment, and joins it to the neighbours that it comes level with.
    fn raise(&mut self, at: usize, up: i64) {
        let Some(segment) = self.segments.get_mut(at) else {
            return;
        };
        segment.y += up;
        let raised = *segment;
        if let Some(right) = self.segments.get(at + 1).copied()
            && right.y == raised.y
        {
            self.segments.remove(at + 1);
            if let Some(segment) = self.segments.get_mut(at) {
                segment.width += right.width;
            }
        }
        let width = self.segments.get(at).map_or(0, |segment| segment.width);
        if let Some(before) = at.checked_sub(1)
            && let Some(left) = self.segments.get_mut(before)
            && left.y == raised.y
        {
            left.width += width;
            self.segments.remove(at);
        }
    }
}
