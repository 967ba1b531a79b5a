//! Size steps: the sizes of a piece at which one more comes out of the same film.
//!
//! The count can only fall as the piece grows, for a layout of larger pieces is one of smaller pieces
//! too. So it is enough to know, for each count, the largest size that still reaches it; those sizes
//! are halved in upon from the present one outwards.
//!
//! A roll has no end to count to, and the length that an order takes of it changes with every size.
//! What goes in steps there as well is how many come out of the length that the order takes now.

mod picture;

use super::StockKind;
use super::laid::{Laid, full_sheet};
use super::order::{Effort, MaterialInput, Order, Piece};
use super::words::clearances;
use crate::decal::{SIDE, size_text};
use crate::drawing::Element;
use crate::error::InputErrors;
use crate::measure::{Area, Length, Measured, Unit, pieces};
use say::say;
use serde::Serialize;
use std::cmp::Ordering;

/// So many steps are told on either side of the present one: more would be a table to search in.
const STEPS_A_SIDE: usize = 12;

/// So many sizes are laid out at most on either side of the present one.
const MOST_LAID_OUT: u32 = 40;

/// The sizes at which more or fewer pieces come out of the same film, the height following the width
/// in proportion.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "camelCase")]
pub struct StepsReport {
    /// The unit of every length in this report.
    pub unit: Unit,
    /// Whether the film is a sheet or a roll.
    pub stock: StockKind,
    /// The nearest gain in a few words: `1 more at 8 5/8 in wide`.
    pub headline: String,
    /// How far the present count reaches: `as many up to 9 1/4 in wide`.
    pub note: String,
    /// Pieces on a sheet, or from the length of roll, at the present size.
    pub count: u32,
    /// What the counts are of: `on a sheet of 12 × 24 in`, `from 27 3/4 in of roll`.
    pub from_text: String,
    /// The steps, the smallest size first. One of them holds the present size.
    pub steps: Vec<SizeStep>,
    /// What was assumed, in sentences.
    pub assumptions: Vec<String>,
    #[serde(skip)]
    film: Film,
}

/// The largest size at which a number of pieces comes out.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "camelCase")]
pub struct SizeStep {
    /// Pieces on a sheet, or from the length of roll.
    pub count: u32,
    /// The largest width, of those that are easy to measure off, at which so many come out.
    pub width: Measured,
    /// The height that goes with it.
    pub height: Measured,
    /// Both: `8 5/8 × 2 7/8 in`.
    pub size_text: String,
    /// How far that is from the present size: `3/8 in narrower`.
    pub change_text: String,
    /// Film taken for one piece with its share of waste, in square units.
    pub film: f64,
    /// The same for people: `36 sq in`.
    pub film_text: String,
    /// Whether no layout holds more at this size, and none as many at the next larger one; counted
    /// without looking at any layout.
    pub proven: bool,
    /// Whether the present size lies on this step: it is this size, or smaller than it and larger than
    /// that of the step before.
    pub present: bool,
    #[serde(skip)]
    taken: (Area, u32),
}

/// The film that the pieces come out of, and the size they have now.
#[derive(Clone, Debug, PartialEq, Eq)]
struct Film {
    width: Length,
    length: Length,
    /// Whether `length` is a sheet's own; a roll has none.
    sheet: bool,
    longest_piece: Length,
    /// The present width of a piece.
    present: Length,
}

/// Finds the size steps of an order with one size of piece.
///
/// # Errors
/// Those of [`report`](super::report).
pub fn steps(input: &MaterialInput) -> Result<StepsReport, InputErrors> {
    Order::read(input).map(found)
}

impl StepsReport {
    /// Width of the sheet or roll.
    #[must_use]
    pub const fn stock_width(&self) -> Length {
        self.film.width
    }

    /// Length of the sheet; none for a roll.
    #[must_use]
    pub const fn sheet_length(&self) -> Option<Length> {
        if self.film.sheet {
            Some(self.film.length)
        } else {
            None
        }
    }

    /// The least length of stock that every piece of the present size can be cut from by itself, with
    /// the margin at both ends.
    #[must_use]
    pub const fn longest_piece(&self) -> Length {
        self.film.longest_piece
    }

    /// The step chart: pieces by width, the present width marked.
    #[must_use]
    pub fn drawing(&self) -> Element {
        picture::drawing(self)
    }
}

impl SizeStep {
    /// The film that is used up, and the number of pieces that share it, for exact costs: the whole
    /// sheet, or the length of roll that the order takes now.
    #[must_use]
    pub const fn film_per_piece(&self) -> (Area, u32) {
        self.taken
    }
}

/// The steps of an order that can be laid out.
fn found(mut order: Order) -> StepsReport {
    let sheet = order.stock.length;
    let asked = order.quantity;
    let (length, longest_piece) = sheet.map_or_else(
        || {
            let laid = Laid::out(order.clone(), &mut |_| true);
            let cut = laid.layouts.first().map(|(_, layout)| layout);
            let cut = cut.map_or(Length::ZERO, |layout| laid.cut_length(layout));
            (cut, laid.longest_piece())
        },
        |length| (length, Length::ZERO),
    );
    order.stock.length = Some(length);
    let mut search = Search {
        sizes: Sizes::of(&order),
        tried: Vec::new(),
        left: 0,
        // What is cut from the length of roll now comes out of it.
        known: asked.filter(|_| sheet.is_none()).unwrap_or(0),
        order,
    };
    search.outwards();
    let film = Film {
        width: search.order.stock.width,
        length,
        sheet: sheet.is_some(),
        longest_piece,
        present: search.order.piece.width,
    };
    reported(&search, film, asked)
}

/// The sizes that are tried, by their distance from the present one: 0 is the present size, 1 the next
/// larger one, -1 the next smaller one.
#[derive(Clone, Copy, Debug)]
struct Sizes {
    piece: Piece,
    /// Widths are multiples of this, but for the present one.
    step: Length,
    /// Heights are rounded up to multiples of this.
    fine: Length,
}

impl Sizes {
    /// Sizes that a maker can measure off and type: coarser for larger pieces.
    fn of(order: &Order) -> Self {
        let width = order.piece.width;
        let tenths = |count: i64| Length::from_nm(count * 100_000);
        let (step, fine) = if order.unit.is_imperial() {
            let step = if width >= Length::inches(4, 1) {
                Length::inches(1, 8)
            } else if width >= Length::inches(1, 1) {
                Length::inches(1, 16)
            } else {
                Length::inches(1, 64)
            };
            (step, Length::inches(1, 64))
        } else {
            let step = if width >= Length::whole(25, Unit::Mm) {
                tenths(10)
            } else if width >= Length::whole(5, Unit::Mm) {
                tenths(5)
            } else {
                tenths(1)
            };
            (step, tenths(1))
        };
        Self {
            piece: order.piece,
            step,
            fine,
        }
    }

    fn width(&self, index: i64) -> Length {
        let present = self.piece.width;
        match index {
            0 => present,
            smaller if smaller < 0 => present.round_up(self.step) + self.step * smaller,
            larger => present.round_down(self.step) + self.step * larger,
        }
    }

    /// The piece of that size. Its height is rounded up, so that the size which is told is no smaller
    /// than the one in proportion, and is the very one that is laid out.
    fn piece(&self, index: i64) -> Piece {
        let Piece {
            width: present,
            height,
            turn,
        } = self.piece;
        let width = self.width(index);
        let exact = height.scaled_up(width.nm(), present.nm());
        let rounded = exact.round_up(self.fine);
        let height = match index {
            0 => height,
            // A present height that is no such multiple is still higher than that of a smaller piece.
            smaller if smaller < 0 => rounded.min(height),
            _ => rounded,
        };
        Piece {
            width,
            height,
            turn,
        }
    }

    /// The last size, from the present one on towards `end`, for which something holds that holds for
    /// all sizes up to it and for none beyond; it holds for the present one and not at `end`.
    fn last(&self, end: i64, holds: impl Fn(Piece) -> bool) -> i64 {
        let (mut good, mut bad) = (0, end);
        while (bad - good).abs() > 1 {
            let middle = good + (bad - good) / 2;
            if holds(self.piece(middle)) {
                good = middle;
            } else {
                bad = middle;
            }
        }
        good
    }
}

/// What is known of one size.
#[derive(Clone, Copy, Debug)]
struct Tried {
    index: i64,
    /// Pieces in the best layout known, of this or a larger size.
    count: u32,
    /// No layout of this or a smaller size that was tried holds more.
    bound: u32,
}

/// The search for the sizes at which the count changes.
struct Search {
    order: Order,
    sizes: Sizes,
    /// In the order of their sizes.
    tried: Vec<Tried>,
    /// So many sizes may still be laid out.
    left: u32,
    /// So many pieces are known to come out at the present size.
    known: u32,
}

impl Search {
    /// Tries sizes from the present one outwards.
    fn outwards(&mut self) {
        let stock = self.order.stock;
        let present = self.sizes.piece.width;
        let offered = move |piece: Piece| {
            SIDE.holds(piece.width) && SIDE.holds(piece.height) && piece.fits(&stock)
        };
        let beyond = 1 + self.sizes.last(self.largest(), offered);
        // The step of the present size ends there at the latest.
        self.ask(beyond);
        self.ask(0);
        let top = 1 + self.sizes.last(beyond, |piece| piece.width <= present * 2);
        self.left = MOST_LAID_OUT;
        // The end of the present step comes first.
        self.towards(top.min(beyond), STEPS_A_SIDE + 1);
        if self.ask(top) == self.ask(0) {
            self.between(0, beyond, &mut 1);
        }
        let bottom = self.sizes.last(self.smallest(), |piece| {
            piece.width * 2 >= present && offered(piece) && !piece.too_many(&stock)
        });
        self.left = MOST_LAID_OUT;
        self.towards(bottom, STEPS_A_SIDE);
    }

    /// A size that is too large for any field.
    fn largest(&self) -> i64 {
        2 + Length::whole(50, Unit::M).nm() / self.sizes.step.nm()
    }

    /// The size at which nothing is left.
    fn smallest(&self) -> i64 {
        -(self.sizes.piece.width.round_up(self.sizes.step).nm() / self.sizes.step.nm())
    }

    /// Looks for the next `wanted` changes of the count on the way from the present size to `end`,
    /// in strides that grow as sizes do.
    fn towards(&mut self, end: i64, mut wanted: usize) {
        let (mut near, mut stride) = (0_i64, end.signum());
        while near != end && wanted > 0 && self.left > 0 {
            let far = if end > 0 {
                (near + stride).min(end)
            } else {
                (near + stride).max(end)
            };
            self.between(near, far, &mut wanted);
            near = far;
            stride *= 2;
        }
    }

    /// Halves in upon every change of the count between two sizes, those next to `near` first, until
    /// as many are found as are wanted.
    fn between(&mut self, near: i64, far: i64, wanted: &mut usize) {
        let mut open = vec![(near, far)];
        while let Some((near, far)) = open.pop() {
            if self.ask(near) == self.ask(far) {
                continue;
            }
            if (far - near).abs() > 1 {
                let middle = near + (far - near) / 2;
                open.extend([(middle, far), (near, middle)]);
            } else {
                *wanted = wanted.saturating_sub(1);
            }
            if *wanted == 0 || self.left == 0 {
                break;
            }
        }
    }

    /// The pieces known to come out at one size; lays it out if that was not done yet.
    fn ask(&mut self, index: i64) -> u32 {
        let at = self.tried.partition_point(|tried| tried.index < index);
        let larger = self.tried.get(at).copied();
        if let Some(same) = larger.filter(|tried| tried.index == index) {
            return same.count;
        }
        let mut known = larger.map_or(0, |tried| tried.count);
        let mut order = self.order.clone();
        order.piece = self.sizes.piece(index);
        if index == 0 {
            known = known.max(self.known);
        } else {
            order.effort = Effort::Quick;
        }
        let (count, mut bound) = if order.piece.fits(&order.stock) {
            self.left = self.left.saturating_sub(1);
            full_sheet(&order, known)
        } else {
            (0, 0)
        };
        let (smaller, larger) = self.tried.split_at_mut(at);
        for tried in smaller {
            tried.count = tried.count.max(count);
            bound = bound.min(tried.bound);
        }
        for tried in larger {
            tried.bound = tried.bound.min(bound);
        }
        self.tried.insert(
            at,
            Tried {
                index,
                count,
                bound,
            },
        );
        count
    }

    /// The sizes at which the count changes, the smallest first, with whether that is proven; and which
    /// of them is the end of the present step.
    fn steps(&self) -> (Vec<(Tried, bool)>, usize) {
        let twice = self.sizes.piece.width * 2;
        let mut steps: Vec<(Tried, bool)> = Vec::new();
        let mut present = None;
        for (here, next) in self.tried.iter().zip(self.tried.iter().skip(1)) {
            let adjacent = next.index == here.index + 1;
            let ends_present = here.index >= 0 && present.is_none();
            // Between sizes further apart, where the search was ended, the change may lie anywhere.
            let told = adjacent && self.sizes.width(here.index) <= twice || ends_present;
            if here.count > next.count && told {
                if ends_present {
                    present = Some(steps.len());
                }
                let proven = adjacent && here.count == here.bound && next.bound < here.count;
                steps.push((*here, proven));
            }
        }
        let present = present.unwrap_or(0);
        steps.truncate(present + 1 + STEPS_A_SIDE);
        let first = present.saturating_sub(STEPS_A_SIDE);
        (steps.split_off(first), present - first)
    }
}

fn reported(search: &Search, film: Film, asked: Option<u32>) -> StepsReport {
    let order = &search.order;
    let unit = order.unit;
    let (steps, present) = search.steps();
    let taken = film.width * film.length;
    let told = |(place, (tried, proven)): (usize, &(Tried, bool))| {
        let Piece { width, height, .. } = search.sizes.piece(tried.index);
        let count = i64::from(tried.count.max(1));
        let each = film.width * film.length.scaled_up(1, count);
        SizeStep {
            count: tried.count,
            width: width.measured(unit),
            height: height.measured(unit),
            size_text: size_text(width, height, unit.for_size()),
            change_text: change(width, film.present, unit),
            film: taken.to_f64(unit) / f64::from(tried.count.max(1)),
            film_text: each.text(unit.for_size()),
            proven: *proven,
            present: place == present,
            taken: (taken, tried.count.max(1)),
        }
    };
    let told: Vec<SizeStep> = steps.iter().enumerate().map(told).collect();
    let text = |length: Length| length.text(unit.for_size());
    let before = told
        .iter()
        .rev()
        .find(|step| step.width.value < film.present.to_f64(unit));
    let now = told.iter().find(|step| step.present);
    let count = now.map_or(0, |step| step.count);
    let wide = |index: i64| text(search.sizes.width(index));
    let smallest = search.tried.first().map_or(0, |tried| tried.index);
    let headline = match before {
        Some(step) => say!(
            "{more} more at {width} wide",
            more = step.count - count,
            width = step.width.text
        ),
        None if smallest < 0 => say!("none more down to {width} wide", width = wide(smallest)),
        None => say!("no smaller size is laid out").to_owned(),
    };
    let end = steps.get(present).map_or(0, |(tried, _)| tried.index);
    let widest = search
        .tried
        .iter()
        .any(|tried| tried.index == end + 1 && tried.count == 0);
    let note = match (end, widest) {
        (0, true) => say!("none fits if it is any wider").to_owned(),
        (0, false) => say!("fewer at {width} wide", width = wide(1)),
        (_, _) => say!("as many up to {width} wide", width = wide(end)),
    };
    StepsReport {
        unit,
        stock: if film.sheet {
            StockKind::Sheet
        } else {
            StockKind::Roll
        },
        headline,
        note,
        count,
        from_text: if film.sheet {
            let size = size_text(film.width, film.length, unit.for_size());
            say!("on a sheet of {size}")
        } else {
            say!("from {length} of roll", length = text(film.length))
        },
        steps: told,
        assumptions: assumptions(search, &film, asked),
        film,
    }
}

/// How far a width is from the present one.
fn change(width: Length, present: Length, unit: Unit) -> String {
    let text = |length: Length| length.text(unit.for_size());
    match width.cmp(&present) {
        Ordering::Less => say!("{length} narrower", length = text(present - width)),
        Ordering::Equal => say!("the present size").to_owned(),
        Ordering::Greater => say!("{length} wider", length = text(width - present)),
    }
}

fn assumptions(search: &Search, film: &Film, asked: Option<u32>) -> Vec<String> {
    let order = &search.order;
    let text = |length: Length| length.text(order.unit.for_size());
    let counted = if film.sheet {
        say!("A full sheet is counted whole, and shared by the pieces on it.").to_owned()
    } else {
        say!(
            "A roll has no end: counted is what comes out of the {length} that {pieces} of the present size take.",
            length = text(film.length),
            pieces = pieces(asked.unwrap_or(0))
        )
    };
    vec![
        clearances(order),
        counted,
        say!(
            "Widths in steps of {step}; the height follows in proportion, rounded up to {fine}.",
            step = text(search.sizes.step),
            fine = text(search.sizes.fine)
        ),
        say!(
            "Each size is the largest found for its number of pieces; proven where no layout holds more, \
             nor as many at the next size."
        )
        .to_owned(),
    ]
}
