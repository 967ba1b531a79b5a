//! What is to be cut from which stock, as a person states it and as it is checked.

use crate::decal::{SIDE, size_text};
use crate::error::{Checks, Code, InputError, InputErrors};
use crate::input::read_by_members;
use crate::measure::{Count, Length, LengthInput, Range, Unit, optional, required};
use say::say;
use serde::{Deserialize, Serialize};

read_by_members! {
    /// The question: what comes out of this sheet or roll.
    #[derive(Clone, Debug, Default, PartialEq)]
    pub struct MaterialInput {
        /// The unit of lengths without one, and of every length in the answer; inches when absent.
        pub unit: Unit = default,
        /// The film as bought.
        pub sheet: SheetInput = default,
        /// What the cutter cannot reach, on all four sides of the stock; none when absent.
        pub margin: Option<LengthInput> = default,
        /// What is left between two weeding borders; none when absent.
        pub gap: Option<LengthInput> = default,
        /// Cuts are rounded up to whole multiples of this; 1/8 in or 5 mm when absent or empty.
        pub cut_step: Option<LengthInput> = default,
        /// The size to be cut, as a list of one; an order of several sizes is a
        /// [`JobInput`](super::JobInput).
        pub pieces: Vec<PieceInput> = default,
        /// How hard to search.
        pub effort: Effort = default,
        /// How the pieces are cut apart.
        pub cuts: Cuts = default,
    }
}

read_by_members! {
    /// The film as bought: a sheet, or a roll where no length is given.
    #[derive(Clone, Debug, Default, PartialEq)]
    pub struct SheetInput {
        /// Width of the sheet or roll.
        pub width: Option<LengthInput> = default,
        /// Length of the sheet; absent for a roll. An empty text is a length still to be filled in.
        pub length: Option<LengthInput> = default,
    }
}

read_by_members! {
    /// One size of piece: the rectangle of its weeding border.
    #[derive(Clone, Debug, PartialEq)]
    pub struct PieceInput {
        /// What the maker calls it.
        pub name: Option<String> = default,
        /// Size across the stock, if it is not turned.
        pub width: Option<LengthInput> = default,
        /// Size along the stock, if it is not turned.
        pub height: Option<LengthInput> = default,
        /// How many are needed; when absent or empty, as many as fit on one sheet.
        pub quantity: Option<Count> = default,
        /// Whether it may lie turned by 90 degrees; it may when absent. Patterned or brushed film
        /// forbids it.
        pub turn: bool = default,
    }
}

impl Default for PieceInput {
    fn default() -> Self {
        Self {
            name: None,
            width: None,
            height: None,
            quantity: None,
            turn: true,
        }
    }
}

/// How hard to search for a better layout; both kinds of search are bounded in steps, not in time,
/// so that they give the same answer everywhere.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "lowercase")]
pub enum Effort {
    /// What a form shows while somebody types.
    #[default]
    Quick,
    /// What a worker may take a while for.
    Thorough,
}

/// How pieces are cut apart, which decides how they may lie.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "lowercase")]
pub enum Cuts {
    /// As a cutter goes, round each piece by itself.
    #[default]
    Any,
    /// With knife and straightedge: every cut goes from one edge to the other of the part that it
    /// divides.
    Straight,
}

/// Widths of sheets and rolls: the narrowest pinstriping tape is wider than a centimetre, and no
/// film is made wider than 5 m.
pub(super) const WIDTH: Range = Range::new(Length::whole(10, Unit::Mm), Length::whole(5, Unit::M));

/// Lengths of sheets; what is longer than 100 m is stock on a roll, and asked for as such.
pub(super) const LENGTH: Range =
    Range::new(Length::whole(10, Unit::Mm), Length::whole(100, Unit::M));

/// Margins and gaps.
const CLEARANCE: Range = Range::up_to(Length::whole(200, Unit::Mm));

/// Steps to which a cut is rounded up.
const CUT_STEP: Range = Range::new(Length::from_nm(100_000), Length::whole(100, Unit::Mm));

/// So many pieces are laid out on one sheet, as many as one order may hold.
const MOST_ON_A_SHEET: i64 = Count::MAX as i64;

/// An order that can be laid out: at least one piece fits.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Order {
    pub unit: Unit,
    pub stock: Stock,
    pub piece: Piece,
    pub quantity: Option<u32>,
    pub effort: Effort,
    pub cuts: Cuts,
    /// Cuts are rounded up to whole multiples of this.
    pub cut_step: Length,
}

/// A sheet or roll with what must be kept clear.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Stock {
    pub width: Length,
    /// None for a roll.
    pub length: Option<Length>,
    pub margin: Length,
    pub gap: Length,
}

impl Stock {
    /// The part of the width that can be cut.
    pub fn usable_width(&self) -> Length {
        self.width - self.margin * 2
    }

    /// The part of a sheet's length that can be cut.
    pub fn usable_length(&self) -> Option<Length> {
        self.length.map(|length| length - self.margin * 2)
    }
}

/// The rectangle that is cut again and again.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Piece {
    pub width: Length,
    pub height: Length,
    pub turn: bool,
}

impl Piece {
    /// The same piece turned by 90 degrees.
    pub const fn turned(self) -> Self {
        Self {
            width: self.height,
            height: self.width,
            turn: self.turn,
        }
    }

    /// Rows and columns of this piece, as it lies, on the usable part of a sheet.
    pub fn grid(self, stock: &Stock, usable_length: Length) -> (i64, i64) {
        let fit = |space: Length, side: Length| {
            ((space + stock.gap).nm() / (side + stock.gap).nm()).max(0)
        };
        (
            fit(usable_length, self.height),
            fit(stock.usable_width(), self.width),
        )
    }

    /// Whether one piece fits inside the margin, either way round where it may be turned.
    pub fn fits(self, stock: &Stock) -> bool {
        self.fits_as_it_lies(stock) || self.turn && self.turned().fits_as_it_lies(stock)
    }

    fn fits_as_it_lies(self, stock: &Stock) -> bool {
        let length = stock.usable_length();
        self.width <= stock.usable_width() && length.is_none_or(|length| self.height <= length)
    }

    /// Whether so many fit on a sheet in rows and columns that they are not laid out.
    pub fn too_many(self, stock: &Stock) -> bool {
        stock.usable_length().is_some_and(|length| {
            let many = |piece: Self| {
                let (rows, columns) = piece.grid(stock, length);
                rows * columns > MOST_ON_A_SHEET
            };
            many(self) || self.turn && many(self.turned())
        })
    }
}

impl Order {
    /// Reads and checks an order.
    pub fn read(input: &MaterialInput) -> Result<Self, InputErrors> {
        let unit = input.unit;
        let mut checks = Checks::default();
        let width = input.sheet.width.as_ref();
        let width = checks.take(required(width, "sheet.width", unit, WIDTH));
        let length = input.sheet.length.as_ref();
        let length = length.map(|length| required(Some(length), "sheet.length", unit, LENGTH));
        let length = checks.take(length.transpose());
        let margin = checks.take(clearance(input.margin.as_ref(), "margin", unit));
        let gap = checks.take(clearance(input.gap.as_ref(), "gap", unit));
        let cut_step = checks.take(cut_step(input.cut_step.as_ref(), unit));
        let piece = checks.take(only(&input.pieces));
        let piece = piece.and_then(|piece| {
            let (width, height) = (piece.width.as_ref(), piece.height.as_ref());
            let width = checks.take(required(width, "pieces[0].width", unit, SIDE));
            let height = checks.take(required(height, "pieces[0].height", unit, SIDE));
            let quantity = Count::optional(piece.quantity.as_ref(), "pieces[0].quantity");
            let quantity = checks.take(quantity);
            let roll = length == Some(None);
            if roll && quantity == Some(None) {
                checks.add(how_many());
            }
            let piece = Piece {
                width: width?,
                height: height?,
                turn: piece.turn,
            };
            Some((piece, quantity?))
        });
        let stock = match (width, length, margin, gap) {
            (Some(width), Some(length), Some(margin), Some(gap)) => Some(Stock {
                width,
                length,
                margin,
                gap,
            }),
            _ => None,
        };
        let stock = stock.and_then(|stock| checks.take(margin_fits(stock, unit)));
        if let (Some(stock), Some((piece, _))) = (&stock, &piece) {
            let fits =
                piece_fits(stock, *piece, unit).and_then(|()| few_enough(stock, *piece, unit));
            checks.take(fits.map_err(|error| error.at("pieces[0].width")));
        }
        let (Some(stock), Some((piece, quantity))) = (stock, piece) else {
            // Whatever is missing here has left its mistake behind.
            return checks.finish(()).and(Err(nothing_to_lay_out().into()));
        };
        checks.finish(Self {
            unit,
            stock,
            piece,
            quantity,
            effort: input.effort,
            cuts: input.cuts,
            cut_step: cut_step.unwrap_or_default(),
        })
    }
}

/// What a person can measure at the table, and cuts are rounded up to.
pub(super) fn cut_step(input: Option<&LengthInput>, unit: Unit) -> Result<Length, InputError> {
    let usual = if unit.is_imperial() {
        Length::inches(1, 8)
    } else {
        Length::whole(5, Unit::Mm)
    };
    Ok(optional(input, "cutStep", unit, CUT_STEP)?.unwrap_or(usual))
}

/// A margin or gap: none when absent, but a field that was emptied must say so.
pub(super) fn clearance(
    input: Option<&LengthInput>,
    path: &str,
    unit: Unit,
) -> Result<Length, InputError> {
    if input.is_none() {
        return Ok(Length::ZERO);
    }
    required(input, path, unit, CLEARANCE).map_err(|mut error| {
        if error.code == Code::Missing {
            error.hint = say!("write 0 for none").into();
        }
        error
    })
}

fn only(pieces: &[PieceInput]) -> Result<&PieceInput, InputError> {
    match pieces {
        [piece] => Ok(piece),
        [] => Err(nothing_to_lay_out()),
        several => Err(InputError::new(
            Code::Impossible,
            say!("{count} sizes in one order", count = several.len()),
            say!("lay out one size at a time; an order of several is planned by planJob"),
        )
        .at("pieces")),
    }
}

fn nothing_to_lay_out() -> InputError {
    InputError::new(
        Code::Missing,
        say!("there is no piece to lay out"),
        say!("say how wide and how high it is"),
    )
    .at("pieces")
}

fn how_many() -> InputError {
    InputError::new(
        Code::Missing,
        say!("a roll has no end to count to"),
        say!("say how many to cut from the roll"),
    )
    .at("pieces[0].quantity")
}

pub(super) fn margin_fits(stock: Stock, unit: Unit) -> Result<Stock, InputError> {
    let side = stock.length.map_or(stock.width, |l| l.min(stock.width));
    if stock.margin * 2 < side {
        return Ok(stock);
    }
    let half = Length::from_nm(side.nm() / 2).text(unit);
    let (margin, side_text) = (stock.margin.text(unit), side.text(unit));
    let message = if stock.length.is_none() {
        say!(
            "{margin} on both sides leaves nothing of a roll that is {side} wide",
            side = side_text
        )
    } else if side == stock.width {
        say!(
            "{margin} on both sides leaves nothing of a sheet that is {side} wide",
            side = side_text
        )
    } else {
        say!(
            "{margin} on both sides leaves nothing of a sheet that is {side} long",
            side = side_text
        )
    };
    let hint = say!("write less than {length}", length = half);
    Err(InputError::new(Code::DoesNotFit, message, hint).at("margin"))
}

/// A piece must lie on the stock in at least one of the ways that it may.
pub(super) fn piece_fits(stock: &Stock, piece: Piece, unit: Unit) -> Result<(), InputError> {
    if piece.fits(stock) {
        return Ok(());
    }
    let width = stock.usable_width();
    let size = size_text(piece.width, piece.height, unit);
    let [message, larger] = if let Some(length) = stock.usable_length() {
        let usable = size_text(width, length, unit);
        [
            say!("{size} does not fit; {usable} can be cut inside the margin"),
            say!("make the piece fit into {usable}, or take larger stock"),
        ]
    } else {
        let width = width.text(unit);
        [
            say!("{size} does not fit; {width} across the roll can be cut inside the margin"),
            say!("make the piece fit into {width} across the roll, or take larger stock"),
        ]
    };
    let hint = if piece.turned().fits_as_it_lies(stock) {
        say!("let it be turned, where the film has no direction").to_owned()
    } else {
        larger
    };
    Err(InputError::new(Code::DoesNotFit, message, hint))
}

/// A sheetful must not be too many to be laid out.
fn few_enough(stock: &Stock, piece: Piece, unit: Unit) -> Result<(), InputError> {
    if piece.too_many(stock) {
        let size = size_text(piece.width, piece.height, unit);
        return Err(InputError::new(
            Code::TooSmall,
            say!(
                "more than {most} pieces of {size} fit, too many to lay out",
                most = MOST_ON_A_SHEET
            ),
            say!("lay out a part of the sheet, or take it for a roll and say how many are needed"),
        ));
    }
    Ok(())
}
