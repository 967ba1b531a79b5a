//! An order laid out: the layouts, what bounds them, and the film that they take.

use super::blocks::Sides;
use super::layout::{Layout, Placed, Spot};
use super::order::{Cuts, Order, Stock};
use super::straight::{self, Cut, Rect, Span};
use super::watch::Watch;
use super::{bound, plan, verify};
use crate::measure::{Area, Length};

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
    /// For each layout the straight cuts that free its pieces, where such cuts do.
    pub sequences: Vec<Option<Vec<Cut>>>,
    /// Whether every layout by straight cuts was tried, so that the best of them is known.
    pub every_straight: bool,
    /// What the other kind of cuts gives than the one that was asked for.
    pub other: Figures,
}

/// What an order comes to, as far as kinds of cuts are compared by it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Figures {
    /// Pieces on a full sheet, or on the roll.
    pub count: u32,
    /// Sheets taken in all.
    pub sheets: u32,
    /// Where the last of them, or the roll, is cut off.
    pub cut: Length,
}

/// The layouts of an order for one kind of cuts.
#[derive(Clone, Debug)]
struct Cutting {
    layouts: Vec<(u32, Layout)>,
    count: u32,
    /// Whether every layout is as short as one of so many pieces can be.
    shortest: bool,
    last_shortest: bool,
}

/// Layouts of more pieces are not checked cut by cut, nor is their sequence told: nobody could follow
/// it.
pub(super) const FOLLOWED: usize = 400;

impl Laid {
    /// Lays an order out; `watch` may end the search.
    pub fn out(order: Order, watch: &mut Watch) -> Self {
        Self::knowing(order, &[], watch)
    }

    /// Lays an order out, with layouts from an earlier search where they stand the check; see
    /// [`Laid::numbers`].
    pub fn knowing(order: Order, known: &[f64], watch: &mut Watch) -> Self {
        match (order.stock.length, order.quantity) {
            (None, Some(quantity)) => Self::on_roll(order, quantity, known, watch),
            _ => Self::on_sheets(order, known, watch),
        }
    }

    /// The layouts as numbers, for another search on the same order to know: for each how many sheets
    /// are cut like it and how many pieces it holds, then for each piece where it lies along and across
    /// the usable part in nanometres, which are whole numbers far below 2^53, and 1 if it is turned.
    #[expect(clippy::cast_precision_loss, reason = "whole numbers far below 2^53")]
    pub fn numbers(&self) -> Vec<f64> {
        let margin = self.order.stock.margin;
        let mut numbers = Vec::new();
        for (copies, layout) in &self.layouts {
            numbers.extend([f64::from(*copies), f64::from(size(layout.placed.len()))]);
            for placed in &layout.placed {
                let along = (placed.y - margin).nm() as f64;
                let across = (placed.x - margin).nm() as f64;
                numbers.extend([along, across, f64::from(u8::from(placed.turned))]);
            }
        }
        numbers
    }

    fn on_sheets(order: Order, known: &[f64], watch: &mut Watch) -> Self {
        let naive = Layout::grid(&order.stock, order.piece, usize::MAX);
        let bench = Bench::new(&order, Length::ZERO);
        let bound = bench.most();
        let mut plan = plan::Plan::new(&bench.planned);
        let most = plan.most_straight().max(naive.placed.len());
        let straight = bench.sheets(&order, &mut plan, most, Cuts::Straight, watch);
        let free = bench.known(&order, known).or_else(|| {
            (plan.searches() && !(most >= bound && straight.shortest)).then(|| {
                let most = plan.most(bound, watch).max(most);
                bench.sheets(&order, &mut plan, most, Cuts::Any, watch)
            })
        });
        let Choice {
            cutting,
            sequences,
            other,
        } = Choice::of(&order, straight, free);
        Self {
            layouts: cutting.layouts,
            count: cutting.count,
            bound: size(bound),
            naive: size(naive.placed.len()),
            length_bound: None,
            last_shortest: cutting.last_shortest,
            sequences,
            every_straight: plan.tries_every_straight_cut(),
            other,
            order,
        }
    }

    fn on_roll(order: Order, quantity: u32, known: &[f64], watch: &mut Watch) -> Self {
        let count = quantity as usize;
        let naive = Layout::grid(&order.stock, order.piece, count);
        let margins = order.stock.margin * 2;
        let bench = Bench::new(&order, naive.length - margins);
        let mut plan = plan::Plan::new(&bench.planned);
        let straight = bench.roll(&order, &mut plan, &naive, Cuts::Straight, watch);
        let free = bench.known(&order, known).or_else(|| {
            (plan.searches() && !straight.shortest)
                .then(|| bench.roll(&order, &mut plan, &naive, Cuts::Any, watch))
        });
        let Choice {
            cutting,
            sequences,
            other,
        } = Choice::of(&order, straight, free);
        let length = cutting.last().map_or(margins, |last| last.length) - margins;
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
            length_bound: Some(bench.shortest_layout(&order, count)),
            last_shortest: true,
            layouts: cutting.layouts,
            sequences,
            every_straight: plan.tries_every_straight_cut(),
            other,
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

    /// The film taken: the whole width of the stock along the length that is used.
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

    /// The longest piece as it lies, with the margin at both ends.
    pub fn longest_piece(&self) -> Length {
        let placed = self.layouts.iter().flat_map(|(_, layout)| &layout.placed);
        let longest = placed.map(|placed| placed.height).max().unwrap_or_default();
        longest + self.order.stock.margin * 2
    }

    /// Where to cut the stock: what a layout takes, rounded up to what can be measured, and never
    /// more than there is.
    pub fn cut_length(&self, layout: &Layout) -> Length {
        cut_length(&self.order, layout)
    }

    /// Whether straight cuts free every piece of what is shown.
    pub fn straight(&self) -> bool {
        self.sequences.iter().all(Option::is_some)
    }

    /// The straight cuts that free the pieces of a layout, where there are such cuts and few enough to
    /// be followed.
    pub fn followed(&self, index: usize) -> &[Cut] {
        let few = |(_, layout): &&(u32, Layout)| layout.placed.len() <= FOLLOWED;
        let cuts = self.layouts.get(index).filter(few);
        let cuts = cuts.and_then(|_| self.sequences.get(index));
        cuts.and_then(Option::as_deref).unwrap_or_default()
    }

    /// What is shown comes to this.
    pub fn figures(&self) -> Figures {
        Figures::of(&self.order, self.count, &self.layouts)
    }
}

fn cut_length(order: &Order, layout: &Layout) -> Length {
    let rounded = layout.length.round_up(order.cut_step);
    let end = order.stock.length;
    end.map_or(rounded, |length| rounded.min(length))
}

impl Figures {
    fn of(order: &Order, count: u32, layouts: &[(u32, Layout)]) -> Self {
        Self {
            count,
            sheets: layouts.iter().map(|(copies, _)| copies).sum(),
            cut: layouts
                .last()
                .map_or(Length::ZERO, |(_, last)| cut_length(order, last)),
        }
    }
}

impl Cutting {
    fn last(&self) -> Option<&Layout> {
        self.layouts.last().map(|(_, layout)| layout)
    }

    fn figures(&self, order: &Order) -> Figures {
        Figures::of(order, self.count, &self.layouts)
    }

    /// Whether this is as good as `other`, whatever counts for the order.
    fn serves_as_well_as(&self, other: &Self, order: &Order) -> bool {
        let (own, others) = (self.figures(order), other.figures(order));
        let length = |cutting: &Self| cutting.last().map(|last| last.length);
        own.count >= others.count && (own.sheets, length(self)) <= (others.sheets, length(other))
    }
}

/// The most pieces found for one full sheet, in a layout that was checked, and what no layout of it
/// can surpass. At least one piece fits, and so many as `known` are known to; where these are as many
/// as can be, nothing is searched.
pub(super) fn full_sheet(order: &Order, known: u32) -> (u32, u32) {
    let bench = Bench::new(order, Length::ZERO);
    let bound = bench.most();
    if known >= size(bound) {
        return (known, size(bound));
    }
    let grid = Layout::grid(&order.stock, order.piece, usize::MAX);
    let grid = grid.placed.len();
    let mut plan = plan::Plan::new(&bench.planned);
    let most = match order.cuts {
        Cuts::Any => plan.most(bound, &mut |_| true),
        Cuts::Straight => plan.most_straight(),
    };
    // How short the layout is does not matter here.
    let whole = bench.planned.along;
    let found = Bench::layout_from(
        order,
        &mut plan,
        most.max(grid),
        order.cuts,
        whole,
        &mut |_| true,
    );
    let found = found.map_or(grid, |layout| layout.placed.len());
    (size(found).max(known), size(bound))
}

/// What is shown of an order, and what the other kind of cuts would give.
struct Choice {
    cutting: Cutting,
    sequences: Vec<Option<Vec<Cut>>>,
    other: Figures,
}

impl Choice {
    /// Chooses for the kind of cuts that the order asks for. Where layouts of any kind are none, or
    /// no better, easy cutting has no price, and the straight ones are shown for both.
    fn of(order: &Order, straight: Cutting, free: Option<Cutting>) -> Self {
        let better = free.filter(|free| !straight.serves_as_well_as(free, order));
        let (cutting, other) = match (better, order.cuts) {
            (Some(free), Cuts::Any) => (free, straight.figures(order)),
            (Some(free), Cuts::Straight) => (straight, free.figures(order)),
            (None, _) => {
                let figures = straight.figures(order);
                (straight, figures)
            }
        };
        let layouts = cutting.layouts.iter();
        let sequences = layouts
            .map(|(_, layout)| sequence(&order.stock, cut_length(order, layout), &layout.placed));
        let sequences: Vec<_> = sequences.collect();
        // Only pieces that straight cuts free are laid out for them; tests would find others.
        debug_assert!(order.cuts == Cuts::Any || sequences.iter().all(Option::is_some));
        let free_and_straight = order.cuts == Cuts::Any && sequences.iter().all(Option::is_some);
        Self {
            other: if free_and_straight {
                cutting.figures(order)
            } else {
                other
            },
            cutting,
            sequences,
        }
    }
}

/// The straight cuts that free the pieces of a layout which is cut off at `cut`, checked; none where
/// such cuts do not.
pub(super) fn sequence(stock: &Stock, cut: Length, placed: &[Placed]) -> Option<Vec<Cut>> {
    let up_to = |to: Length| Span {
        from: Length::ZERO,
        to,
    };
    let whole = Rect {
        across: up_to(stock.width),
        along: up_to(stock.length.unwrap_or(Length::MAX)),
    };
    let pieces = placed.iter().map(|placed| Rect {
        across: Span {
            from: placed.x,
            to: placed.x + placed.width,
        },
        along: Span {
            from: placed.y,
            to: placed.y + placed.height,
        },
    });
    let pieces: Vec<Rect> = pieces.collect();
    let cut_off = Some(cut).filter(|cut| *cut < whole.along.to);
    let cuts = straight::sequence(whole, cut_off, pieces.clone(), stock.gap)?;
    if pieces.len() > FOLLOWED {
        return Some(cuts);
    }
    let allowance = Length::from_nm(stock.gap.nm() / 2 + stock.gap.nm() % 2);
    let fault = verify::cut_fault(&cuts, whole, &pieces, allowance);
    // Cuts are never told with a fault; while the program is tested, none may be made.
    debug_assert!(fault.is_none(), "{fault:?} in {cuts:?}");
    fault.is_none().then_some(cuts)
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

    /// The same of a layout, with both margins.
    fn shortest_layout(&self, order: &Order, count: usize) -> Length {
        Length::from_nm(self.shortest(count)) - order.stock.gap + order.stock.margin * 2
    }

    /// The sheets of an order, `most` pieces on a full one.
    fn sheets(
        &self,
        order: &Order,
        plan: &mut plan::Plan,
        most: usize,
        cuts: Cuts,
        watch: &mut Watch,
    ) -> Cutting {
        let grid = |count| Layout::grid(&order.stock, order.piece, count);
        let full = self.layout(order, plan, most, cuts, watch);
        let full = full.unwrap_or_else(|| grid(usize::MAX));
        let count = size(full.placed.len());
        let shortest =
            |layout: &Layout| layout.length == self.shortest_layout(order, layout.placed.len());
        let mut cutting = Cutting {
            layouts: Vec::new(),
            count,
            shortest: true,
            last_shortest: true,
        };
        let (whole, rest) = order
            .quantity
            .map_or((1, 0), |quantity| (quantity / count, quantity % count));
        if whole > 0 {
            cutting.shortest = shortest(&full);
            cutting.layouts.push((whole, full));
        }
        if rest > 0 {
            let last = self.layout(order, plan, rest as usize, cuts, watch);
            let last = last.unwrap_or_else(|| grid(rest as usize));
            cutting.last_shortest = shortest(&last);
            cutting.shortest &= cutting.last_shortest;
            cutting.layouts.push((1, last));
        }
        cutting
    }

    /// The layouts that are known from an earlier search, if they are sound and hold what the order
    /// asks for.
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "such a cast ends at the limits of its type, and what comes of it is checked"
    )]
    fn known(&self, order: &Order, numbers: &[f64]) -> Option<Cutting> {
        if order.cuts == Cuts::Straight {
            // What was shown of that search is by straight cuts, and says nothing of others.
            return None;
        }
        let mut cutting = Cutting {
            layouts: Vec::new(),
            count: 0,
            shortest: true,
            last_shortest: true,
        };
        let mut rest = numbers;
        while let Some(([copies, count], after)) = rest.split_first_chunk() {
            let (copies, count) = (*copies as u32, *count as usize);
            let places = after.get(..count.checked_mul(3)?)?;
            rest = after.get(places.len()..)?;
            let spots = places.chunks_exact(3).map(|place| Spot {
                along: place[0] as i64,
                across: place[1] as i64,
                turned: place[2] != 0.0,
            });
            let layout = Layout::new(&order.stock, order.piece, spots.collect(), count);
            let sound = verify::fault(&layout, &order.stock, &[order.piece]).is_none();
            if !sound || count == 0 || copies == 0 {
                return None;
            }
            cutting.last_shortest = layout.length == self.shortest_layout(order, count);
            cutting.shortest &= cutting.last_shortest;
            cutting.layouts.push((copies, layout));
        }
        cutting.count = size(cutting.layouts.first()?.1.placed.len());
        let all = cutting.layouts.iter();
        let all = all.map(|(copies, layout)| u64::from(*copies) * layout.placed.len() as u64);
        let asked = order.quantity.unwrap_or(cutting.count);
        (all.sum::<u64>() == u64::from(asked)).then_some(cutting)
    }

    /// The roll of an order, of which `naive` is the layout in rows and columns.
    fn roll(
        &self,
        order: &Order,
        plan: &mut plan::Plan,
        naive: &Layout,
        cuts: Cuts,
        watch: &mut Watch,
    ) -> Cutting {
        let count = naive.placed.len();
        let layout = self.layout(order, plan, count, cuts, watch);
        let layout = layout.unwrap_or_else(|| naive.clone());
        let shortest = layout.length == self.shortest_layout(order, count);
        Cutting {
            layouts: vec![(1, layout)],
            count: size(count),
            shortest,
            last_shortest: shortest,
        }
    }

    /// `count` pieces in the shortest length found for such cuts, no longer than by straight cuts and
    /// in rows and columns; none where the plan holds fewer or is refused by the check.
    fn layout(
        &self,
        order: &Order,
        plan: &mut plan::Plan,
        count: usize,
        cuts: Cuts,
        watch: &mut Watch,
    ) -> Option<Layout> {
        Self::layout_from(order, plan, count, cuts, self.shortest(count), watch)
    }

    /// The same, where nothing shorter than `shortest` nanometres is looked for.
    fn layout_from(
        order: &Order,
        plan: &mut plan::Plan,
        count: usize,
        cuts: Cuts,
        shortest: i64,
        watch: &mut Watch,
    ) -> Option<Layout> {
        let mut best: Option<Layout> = None;
        let mut offer = |layout: Layout| {
            let fault = verify::fault(&layout, &order.stock, &[order.piece]);
            // A layout is never shown with a fault; while the program is tested, none may be made.
            debug_assert!(fault.is_none(), "{fault:?} in {layout:?}");
            let longer = best
                .as_ref()
                .is_some_and(|best| best.length <= layout.length);
            if layout.placed.len() == count && fault.is_none() && !longer {
                best = Some(layout);
            }
        };
        let planned = |spots| Layout::new(&order.stock, order.piece, spots, count);
        offer(planned(plan.spots_straight(count)));
        if cuts == Cuts::Any {
            offer(planned(plan.spots(count, shortest, watch)));
        }
        offer(Layout::grid(&order.stock, order.piece, count));
        best
    }
}

/// A number of pieces; there are never more than a few times the greatest count.
pub(super) fn size(count: usize) -> u32 {
    u32::try_from(count).unwrap_or(u32::MAX)
}
