//! An order laid out: the layouts, what bounds them, and the film that they take.

use super::blocks::Sides;
use super::layout::Layout;
use super::order::Order;
use super::{bound, plan, verify};
use crate::measure::{Area, Length, Unit};

/// The layouts for an order with all figures that a report states, still exact.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Laid {
    pub order: Order,
    /// How many sheets are cut like each layout; the fullest first.
    pub layouts: Vec<(u32, Layout)>,
    /// Pieces on a full sheet, or on the roll.
    pub count: u32,
    /// What no layout of a full sheet, or of the same length of roll, can surpass.
    pub bound: u32,
    /// Rows by columns on the same film.
    pub naive: u32,
    /// The length that no layout on the roll can go below, with both margins.
    pub length_bound: Option<Length>,
    /// Whether the sheet that is not full is cut as short as can be; true where every sheet is full.
    pub last_shortest: bool,
}

impl Laid {
    /// Lays an order out.
    pub fn out(order: Order) -> Self {
        match (order.stock.length, order.quantity) {
            (None, Some(quantity)) => Self::on_roll(order, quantity),
            _ => Self::on_sheets(order),
        }
    }

    fn on_sheets(order: Order) -> Self {
        let naive = Layout::grid(&order.stock, order.piece, usize::MAX);
        let bench = Bench::new(&order, Length::ZERO);
        let bound = bench.most();
        let mut plan = plan::Plan::new(&bench.planned);
        let most = plan.most(bound).max(naive.placed.len());
        let full = bench
            .layout(&order, &mut plan, most)
            .unwrap_or_else(|| naive.clone());
        let per_sheet = size(full.placed.len());
        let mut layouts = Vec::new();
        let mut last_shortest = true;
        if let Some(quantity) = order.quantity {
            let (whole, rest) = (quantity / per_sheet, quantity % per_sheet);
            if whole > 0 {
                layouts.push((whole, full));
            }
            if rest > 0 {
                let rest = rest as usize;
                let last = bench.layout(&order, &mut plan, rest);
                let last = last.unwrap_or_else(|| Layout::grid(&order.stock, order.piece, rest));
                let shortest = Length::from_nm(bench.shortest(rest)) - order.stock.gap;
                last_shortest = last.length == shortest + order.stock.margin * 2;
                layouts.push((1, last));
            }
        } else {
            layouts.push((1, full));
        }
        Self {
            layouts,
            count: per_sheet,
            bound: size(bound),
            naive: size(naive.placed.len()),
            length_bound: None,
            last_shortest,
            order,
        }
    }

    fn on_roll(order: Order, quantity: u32) -> Self {
        let count = quantity as usize;
        let naive = Layout::grid(&order.stock, order.piece, count);
        let margins = order.stock.margin * 2;
        let bench = Bench::new(&order, naive.length - margins);
        let mut plan = plan::Plan::new(&bench.planned);
        let layout = bench.layout(&order, &mut plan, count).unwrap_or(naive);
        let shortest = Length::from_nm(bench.shortest(count));
        let length = layout.length - margins;
        let naive = [order.piece, order.piece.turned()].map(|piece| {
            let (rows, columns) = piece.grid(&order.stock, length);
            if piece == order.piece || piece.turn {
                rows * columns
            } else {
                0
            }
        });
        Self {
            count: quantity,
            bound: size(bench.most_within(length + order.stock.gap)),
            naive: naive[0].max(naive[1]).try_into().unwrap_or(u32::MAX),
            length_bound: Some(shortest - order.stock.gap + margins),
            last_shortest: true,
            layouts: vec![(1, layout)],
            order,
        }
    }

    /// Whether nothing better is possible: neither more pieces on a full sheet, nor less film.
    pub fn proven(&self) -> bool {
        let sheets = !self.has_full_sheet() || self.count == self.bound;
        self.length_bound
            .map_or(sheets && self.last_shortest, |bound| {
                self.layouts
                    .iter()
                    .all(|(_, layout)| layout.length == bound)
            })
    }

    /// Whether any sheet is full.
    fn has_full_sheet(&self) -> bool {
        let mut layouts = self.layouts.iter();
        layouts.any(|(_, layout)| size(layout.placed.len()) == self.count)
    }

    /// The film taken, by its length.
    pub fn film_length(&self) -> Length {
        let taken = self.layouts.iter().map(|(copies, layout)| {
            let length = match self.order.stock.length {
                Some(length) if size(layout.placed.len()) == self.count => length,
                _ => self.cut_length(layout),
            };
            length * i64::from(*copies)
        });
        taken.fold(Length::ZERO, |sum, length| sum + length)
    }

    /// The film taken.
    pub fn film(&self) -> Area {
        self.order.stock.width * self.film_length()
    }

    /// Pieces on all sheets together.
    pub fn pieces(&self) -> u32 {
        let pieces = self
            .layouts
            .iter()
            .map(|(copies, layout)| copies * size(layout.placed.len()));
        pieces.sum()
    }

    /// The film that becomes decal.
    pub fn decals(&self) -> Area {
        (self.order.piece.width * self.order.piece.height).times(i128::from(self.pieces()))
    }

    /// Where to cut the stock: what a layout takes, rounded up to what can be measured, and never
    /// more than there is.
    pub fn cut_length(&self, layout: &Layout) -> Length {
        let rounded = layout.length.round_up(step(self.order.unit));
        let end = self.order.stock.length;
        end.map_or(rounded, |length| rounded.min(length))
    }
}

/// What a person can measure at the table.
pub(super) const fn step(unit: Unit) -> Length {
    if unit.is_imperial() {
        Length::inches(1, 8)
    } else {
        Length::whole(5, Unit::Mm)
    }
}

/// The question about one piece of stock, as the plan and the bound are asked it: the gap is added
/// to the pieces and to the space.
struct Bench {
    planned: plan::Question,
    bounded: bound::Question,
}

impl Bench {
    /// `enough` is the usable length of a roll that is known to be enough.
    fn new(order: &Order, enough: Length) -> Self {
        let gap = order.stock.gap;
        let along = order.stock.usable_length().unwrap_or(enough) + gap;
        let across = (order.stock.usable_width() + gap).nm();
        let piece = Sides {
            along: (order.piece.height + gap).nm(),
            across: (order.piece.width + gap).nm(),
        };
        let turn = order.piece.turn;
        Self {
            planned: plan::Question {
                along: along.nm(),
                across,
                piece,
                turn,
                effort: order.effort,
            },
            bounded: bound::Question {
                piece: (piece.along, piece.across),
                across,
                turn,
            },
        }
    }

    fn most(&self) -> usize {
        self.most_within(Length::from_nm(self.planned.along))
    }

    fn most_within(&self, along: Length) -> usize {
        usize::try_from(self.bounded.most(along.nm())).unwrap_or(0)
    }

    /// The length that `count` pieces cannot go below, in nanometres.
    fn shortest(&self, count: usize) -> i64 {
        let count = i64::try_from(count).unwrap_or(i64::MAX);
        self.bounded.shortest(count, self.planned.along)
    }

    /// `count` pieces in the shortest length found, no longer than in rows and columns; none where
    /// the plan holds fewer or is refused by the check.
    fn layout(&self, order: &Order, plan: &mut plan::Plan, count: usize) -> Option<Layout> {
        let spots = plan.spots(count, self.shortest(count));
        let planned = Layout::new(&order.stock, order.piece, spots, count);
        let grid = Layout::grid(&order.stock, order.piece, count);
        let sound = |layout: &Layout| {
            let fault = verify::fault(layout, &order.stock, &[order.piece]);
            // A layout is never shown with a fault; while the program is tested, none may be made.
            debug_assert!(fault.is_none(), "{fault:?} in {layout:?}");
            layout.placed.len() == count && fault.is_none()
        };
        [planned, grid]
            .into_iter()
            .filter(sound)
            .min_by_key(|layout| layout.length)
    }
}

/// A number of pieces; there are never more than a few times the greatest count.
pub(super) fn size(count: usize) -> u32 {
    u32::try_from(count).unwrap_or(u32::MAX)
}
