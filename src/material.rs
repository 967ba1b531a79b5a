//! How much film it takes: layouts on sheets and rolls, and what is left.
//!
//! The way through: `order` reads and checks what is asked, `plan` lays pieces out in exact
//! integers, `bound` says what no layout can surpass, `straight` finds the cuts from edge to edge that
//! free the pieces of a layout, `verify` checks layouts and cuts before they are reported. `steps` asks
//! the same of other sizes. `list` reads the lines of an order from text; `job` lays out whole orders of
//! several sizes, which `nest` packs and `least` bounds. `bound`, `least` and `verify` share no code with
//! those whom they check.

mod blocks;
mod bound;
mod drawing;
mod ells;
mod job;
mod knife;
mod laid;
mod layout;
mod least;
pub mod list;
mod nest;
mod order;
mod plan;
mod raster;
mod sorted;
mod steps;
mod straight;
mod verify;
mod watch;
mod words;

use crate::drawing::Element;
use crate::error::InputErrors;
use crate::measure::{Area, Length, Measured, Unit};
pub use job::{
    FilmReport, JobInput, JobPlacement, JobPlan, JobReport, LayoutReport, LineInput, LineReport,
    RemnantInput, RemnantReport, StockInput, TapeReport, record,
};
use laid::{Laid, size};
use layout::Placed;
use order::Order;
pub use order::{Cuts, Effort, MaterialInput, PieceInput, SheetInput};
use serde::Serialize;
pub use steps::{SizeStep, StepsReport, steps};
pub use watch::Watch;

/// What comes out of a sheet or roll.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "camelCase")]
pub struct MaterialReport {
    /// The unit of every length in this report.
    pub unit: Unit,
    /// Whether the film is a sheet or a roll.
    pub stock: StockKind,
    /// The answer in a few words: `7 a sheet`, `2 sheets`, `21 3/4 in`.
    pub headline: String,
    /// What goes with them: `cut at 21 3/4 in`, `of roll for 12 pieces`.
    pub note: String,
    /// The answer in a sentence.
    pub detail: String,
    /// Pieces on one full sheet; on a roll, the pieces asked for.
    pub count: u32,
    /// No layout holds more than this on one sheet, or on the length of roll that the pieces take;
    /// found without looking at any layout.
    pub bound: u32,
    /// Whether nothing better is possible: `count` equals `bound` where there is a full sheet, and
    /// a sheet that is not full, or a roll, is cut at the least length possible.
    pub proven: bool,
    /// What the better of both ways of rows by columns puts on the sheet, or on the same length of
    /// roll; for comparison.
    pub naive: u32,
    /// Pieces on one full sheet; none for a roll.
    pub per_sheet: Option<u32>,
    /// Sheets needed for the quantity; none for a roll or without a quantity.
    pub sheets_needed: Option<u32>,
    /// How many pieces are needed, if that was said.
    pub quantity: Option<u32>,
    /// On a roll, the length that no layout can go below, both margins included.
    pub length_bound: Option<Measured>,
    /// The layouts, the fullest first.
    pub sheets: Vec<SheetReport>,
    /// Share of the film taken that is decal, from 0 to 1.
    pub used: f64,
    /// Share of the film taken that is not decal, from 0 to 1.
    pub waste: f64,
    /// The film taken, for people: `288 sq in`.
    pub stock_area_text: String,
    /// The film taken for one piece, for people.
    pub share_text: String,
    /// The waste in hundredths of the film taken, for people.
    pub waste_text: String,
    /// How the pieces are cut apart, as it was asked for.
    pub cuts: Cuts,
    /// What the other kind of cuts would give, and so the price of easy cutting.
    pub other_cuts: Comparison,
    /// What was assumed, in sentences.
    pub assumptions: Vec<String>,
    #[serde(skip)]
    laid: Laid,
}

/// How the film was bought.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "lowercase")]
pub enum StockKind {
    /// Cut to a length already.
    Sheet,
    /// Cut to length as needed.
    Roll,
}

/// The film, what is left free on it, and how pieces may lie, for layouts of another kind.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Terms {
    /// Width of the sheet or roll.
    pub width: Length,
    /// Length of the sheet; none for a roll.
    pub length: Option<Length>,
    /// What the cutter cannot reach, on all four sides of the stock.
    pub margin: Length,
    /// What is left between two pieces.
    pub gap: Length,
    /// Cuts are rounded up to whole multiples of this.
    pub cut_step: Length,
    /// How many pieces are needed; none for as many as fit on one sheet.
    pub quantity: Option<u32>,
    /// Whether a piece may lie turned.
    pub turn: bool,
}

/// Reads what an order asks for, and lays nothing out.
///
/// # Errors
/// Those of [`report`].
pub fn terms(input: &MaterialInput) -> Result<Terms, InputErrors> {
    let order = Order::read(input)?;
    Ok(Terms {
        width: order.stock.width,
        length: order.stock.length,
        margin: order.stock.margin,
        gap: order.stock.gap,
        cut_step: order.cut_step,
        quantity: order.quantity,
        turn: order.piece.turn,
    })
}

/// What an order comes to with the other kind of cuts than the one that was asked for. Where cuts of
/// any kind bring nothing more than straight ones, the layout by straight cuts is shown for both.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "camelCase")]
pub struct Comparison {
    /// The other kind of cuts.
    pub cuts: Cuts,
    /// Pieces on one full sheet; on a roll, the pieces asked for.
    pub count: u32,
    /// Sheets taken in all; none for a roll.
    pub sheets: Option<u32>,
    /// Where the last sheet, or the roll, is cut off.
    pub cut_length: Measured,
    /// So many pieces fewer a sheet are what straight cuts cost.
    pub fewer: u32,
    /// The comparison in words: `straight cuts from edge to edge: 4 fewer`.
    pub text: String,
}

/// One straight cut from edge to edge of the part of the stock that it divides.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "camelCase")]
pub struct Cut {
    /// Its place in the order of cutting, from 1.
    pub number: u32,
    /// Whether it runs across the stock, rather than along it.
    pub across: bool,
    /// Its distance from the loaded end if it runs across, from the side edge at the loading corner
    /// if it runs along.
    pub at: Measured,
    /// Where it begins, measured the other way.
    pub from: Measured,
    /// Where it ends.
    pub to: Measured,
    /// The cut in words: `across the stock, 9 3/8 in from the loaded end`.
    pub text: String,
}

/// One layout and how many sheets are cut like it.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "camelCase")]
pub struct SheetReport {
    /// So many sheets are cut like this.
    pub copies: u32,
    /// What the pieces take of the stock's length, the margin at both ends included.
    pub length: Measured,
    /// The same, rounded up to what can be measured at the table (1/8 in or 5 mm), and never more
    /// than the sheet has.
    pub cut_length: Measured,
    /// Pieces on one such sheet.
    pub count: u32,
    /// Where they lie, in the order of their distance from the end that is loaded.
    pub placements: Vec<Placement>,
    /// Whether straight cuts from edge to edge free every piece.
    pub straight: bool,
    /// These cuts in the order in which they are made; empty where straight cuts do not serve, and
    /// for more than 400 pieces, which nobody would cut by such a list.
    pub cut_sequence: Vec<Cut>,
    /// The same in words, cuts of one part that run the same way together: `2 to 4: across the stock,
    /// 3 5/16, 12 7/16 and 21 9/16 in from the loaded end`.
    pub cut_steps: Vec<String>,
}

/// Where one piece lies, in the unit of the report.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "camelCase")]
pub struct Placement {
    /// Place of the size in the input's `pieces`, from 0.
    pub piece: u32,
    /// Across the stock's width, from the loading corner, the margin included.
    pub x: f64,
    /// Along the stock's length, from the loading corner, the margin included.
    pub y: f64,
    /// Size across the stock, as it lies.
    pub width: f64,
    /// Size along the stock, as it lies.
    pub height: f64,
    /// Whether it lies turned by 90 degrees.
    pub turned: bool,
}

/// Lays an order out.
///
/// # Errors
/// Every field that is missing, not a length or count, or out of range;
/// [`Code::DoesNotFit`](crate::error::Code::DoesNotFit) where the margin leaves nothing of the stock
/// or the piece is larger than what it leaves;
/// [`Code::Impossible`](crate::error::Code::Impossible) for several sizes;
/// [`Code::TooSmall`](crate::error::Code::TooSmall) where more than 10 000 pieces fit on a sheet in rows and columns.
pub fn report(input: &MaterialInput) -> Result<MaterialReport, InputErrors> {
    report_watched(input, &mut |_| true)
}

/// Lays an order out as [`report`] does, while `watch` may end each search: the report then tells what
/// was found so far.
///
/// # Errors
/// Those of [`report`].
pub fn report_watched(
    input: &MaterialInput,
    watch: &mut Watch,
) -> Result<MaterialReport, InputErrors> {
    Order::read(input).map(|order| reported(Laid::out(order, watch)))
}

/// Lays an order out as [`report`] does, but with the layouts of an earlier, more thorough report on
/// the same order, as [`MaterialReport::layouts_as_numbers`] gives them. They are checked; where they
/// do not fit the order, they are not used.
///
/// # Errors
/// Those of [`report`].
pub fn report_knowing(
    input: &MaterialInput,
    layouts: &[f64],
) -> Result<MaterialReport, InputErrors> {
    Order::read(input).map(|order| reported(Laid::knowing(order, layouts, &mut |_| true)))
}

impl MaterialReport {
    /// The layouts of this report for [`report_knowing`].
    #[must_use]
    pub fn layouts_as_numbers(&self) -> Vec<f64> {
        self.laid.numbers()
    }

    /// The same report without the places of single pieces and cuts, of which there may be thousands,
    /// for those who show its figures, its words and its drawing only.
    #[must_use]
    pub fn without_placements(mut self) -> Self {
        for sheet in &mut self.sheets {
            sheet.placements = Vec::new();
            sheet.cut_sequence = Vec::new();
        }
        self
    }

    /// The rectangle of one piece.
    #[must_use]
    pub fn piece_area(&self) -> Area {
        self.laid.order.piece.width * self.laid.order.piece.height
    }

    /// Width and height of one piece.
    #[must_use]
    pub const fn piece_size(&self) -> (Length, Length) {
        (self.laid.order.piece.width, self.laid.order.piece.height)
    }

    /// Width of the sheet or roll.
    #[must_use]
    pub const fn stock_width(&self) -> Length {
        self.laid.order.stock.width
    }

    /// Length of the sheet; none for a roll.
    #[must_use]
    pub const fn sheet_length(&self) -> Option<Length> {
        self.laid.order.stock.length
    }

    /// The least length of stock that every piece of the layout can be cut from by itself: the longest
    /// piece as it lies, with the margin at both ends.
    #[must_use]
    pub fn longest_piece(&self) -> Length {
        self.laid.longest_piece()
    }

    /// The film that is used up, and the number of pieces that share it, for exact costs.
    ///
    /// On a sheet without a quantity it is the whole sheet over the pieces on it. With a quantity it
    /// is what that order really takes: full sheets count whole, for what lies beside a full layout
    /// holds no further piece; of the last sheet only the length to cut off counts, for the rest of
    /// it can be used again. From a roll it is the length to cut off.
    #[must_use]
    pub fn film_per_piece(&self) -> (Area, u32) {
        (self.laid.film(), self.laid.pieces())
    }

    /// Where the first layout, the fullest, is cut off.
    #[must_use]
    pub fn cut_length(&self) -> Length {
        let first = self.laid.layouts.first();
        first.map_or(Length::ZERO, |(_, layout)| self.laid.cut_length(layout))
    }

    /// Pieces of the first layout.
    #[must_use]
    pub fn first_count(&self) -> u32 {
        let first = self.laid.layouts.first();
        first.map_or(0, |(_, layout)| size(layout.placed.len()))
    }

    /// The first layout, which is the fullest, to scale: margin, pieces, where to cut, what is left.
    #[must_use]
    pub fn drawing(&self) -> Element {
        drawing::drawing(&self.laid)
    }
}

/// The report of an order that is laid out.
fn reported(laid: Laid) -> MaterialReport {
    let unit = laid.order.unit;
    let sheet = laid.order.stock.length.is_some();
    let quantity = laid.order.quantity;
    let used = laid.decals().to_f64(unit) / laid.film().to_f64(unit);
    let layouts = laid.layouts.iter().zip(&laid.sequences).enumerate();
    let sheets = layouts.map(|(index, ((copies, layout), sequence))| SheetReport {
        copies: *copies,
        length: layout.length.measured(unit),
        cut_length: laid.cut_length(layout).measured(unit),
        count: size(layout.placed.len()),
        placements: layout.placed.iter().map(|p| placement(p, unit)).collect(),
        straight: sequence.is_some(),
        cut_sequence: cut_sequence(laid.followed(index), unit),
        cut_steps: words::cut_steps(laid.followed(index), unit.for_size()),
    });
    MaterialReport {
        unit,
        stock: if sheet {
            StockKind::Sheet
        } else {
            StockKind::Roll
        },
        headline: words::headline(&laid),
        note: words::note(&laid),
        detail: words::detail(&laid),
        count: laid.count,
        bound: laid.bound,
        proven: laid.proven(),
        naive: laid.naive,
        per_sheet: sheet.then_some(laid.count),
        sheets_needed: quantity
            .filter(|_| sheet)
            .map(|quantity| quantity.div_ceil(laid.count)),
        quantity,
        length_bound: laid.length_bound.map(|length| length.measured(unit)),
        sheets: sheets.collect(),
        used,
        waste: 1.0 - used,
        stock_area_text: laid.film().text(unit),
        share_text: words::share(&laid),
        waste_text: words::waste(1.0 - used),
        cuts: laid.order.cuts,
        other_cuts: comparison(&laid),
        assumptions: words::assumptions(&laid),
        laid,
    }
}

fn comparison(laid: &Laid) -> Comparison {
    let (shown, other) = (laid.figures(), laid.other);
    Comparison {
        cuts: match laid.order.cuts {
            Cuts::Any => Cuts::Straight,
            Cuts::Straight => Cuts::Any,
        },
        count: other.count,
        sheets: laid.order.stock.length.map(|_| other.sheets),
        cut_length: other.cut.measured(laid.order.unit),
        fewer: shown.count.abs_diff(other.count),
        text: words::comparison(laid),
    }
}

fn cut_sequence(cuts: &[straight::Cut], unit: Unit) -> Vec<Cut> {
    let cuts = (1..).zip(cuts).map(|(number, cut)| Cut {
        number,
        across: cut.across,
        at: cut.at.measured(unit),
        from: cut.span.from.measured(unit),
        to: cut.span.to.measured(unit),
        text: words::cuts_in_words(std::slice::from_ref(cut), unit.for_size()),
    });
    cuts.collect()
}

fn placement(placed: &Placed, unit: Unit) -> Placement {
    Placement {
        piece: placed.piece,
        x: placed.x.to_f64(unit),
        y: placed.y.to_f64(unit),
        width: placed.width.to_f64(unit),
        height: placed.height.to_f64(unit),
        turned: placed.turned,
    }
}
