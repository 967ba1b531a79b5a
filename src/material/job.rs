//! A whole order: lines of several sizes in several films, on rolls, sheets and remnants.
//!
//! The way through: `read` reads and checks stock and lines, `lay` lays each film out and takes
//! better layouts as they are found, `told` says what came of it.

mod lay;
mod read;
mod told;

use super::StockKind;
use super::list::BadLine;
use super::order::{Cuts, Effort};
use super::watch::Watch;
use crate::drawing::Element;
use crate::error::InputErrors;
use crate::input::read_by_members;
use crate::measure::{Area, Count, Length, LengthInput, Measured, Unit};
use lay::FilmLaid;
use read::Job;
use serde::Serialize;

read_by_members! {
    /// The question: how to cut this order from this stock.
    #[derive(Clone, Debug, Default, PartialEq)]
    pub struct JobInput {
        /// The unit of lengths without one, and of every length in the answer; inches when absent.
        pub unit: Unit = default,
        /// What the cutter cannot reach, on all four sides of the stock; none when absent.
        pub margin: Option<LengthInput> = default,
        /// What is left between two weeding borders; none when absent.
        pub gap: Option<LengthInput> = default,
        /// The films on the shelf. A line that names none takes the first.
        pub films: Vec<StockInput> = default,
        /// What earlier jobs left, used up before fresh film is cut.
        pub remnants: Vec<RemnantInput> = default,
        /// What is ordered, a line for each size and film.
        pub lines: Vec<LineInput> = default,
        /// The unit of lengths without one in `list`; that of the whole input when absent.
        pub list_unit: Option<Unit> = default,
        /// Further lines as comma-separated values; see [`read`](super::list::read). A line of it that
        /// cannot be used is reported and left out.
        pub list: Option<String> = default,
        /// Cuts are rounded up to whole multiples of this; 1/8 in or 5 mm when absent.
        pub cut_step: Option<LengthInput> = default,
        /// What is left is worth keeping if its shorter side has at least this length; 3 in or 75 mm
        /// when absent.
        pub keep: Option<LengthInput> = default,
        /// Width of the transfer tape; without it no tape is reckoned.
        pub tape: Option<LengthInput> = default,
        /// How hard to search.
        pub effort: Effort = default,
        /// How the pieces are to be cut apart.
        pub cuts: Cuts = default,
    }
}

read_by_members! {
    /// A film as it lies on the shelf: a roll, or sheets where a length is given.
    #[derive(Clone, Debug, Default, PartialEq)]
    pub struct StockInput {
        /// What the maker calls it.
        pub name: String = default,
        /// Width of the roll or sheet.
        pub width: Option<LengthInput> = default,
        /// Length of a sheet; absent for a roll. An empty text is a length still to be filled in.
        pub length: Option<LengthInput> = default,
        /// What is left on the roll; a bare text counts in feet or metres. Not asked for sheets.
        pub left: Option<LengthInput> = default,
        /// Sheets on the shelf. Not asked for a roll.
        pub sheets: Option<Count> = default,
        /// Whether it is patterned or brushed, so that no piece may be turned on it.
        pub patterned: bool = default,
    }
}

read_by_members! {
    /// A piece of film that an earlier job left.
    #[derive(Clone, Debug, Default, PartialEq)]
    pub struct RemnantInput {
        /// The film that it is of, by its name on the shelf; the first where it is empty.
        pub film: String = default,
        /// Its size across the roll that it came from; on patterned film that matters.
        pub width: Option<LengthInput> = default,
        /// Its size along that roll.
        pub length: Option<LengthInput> = default,
    }
}

read_by_members! {
    /// One line of an order: a size, and how many of it in which film.
    #[derive(Clone, Debug, PartialEq)]
    pub struct LineInput {
        /// What the maker calls it.
        pub name: String = default,
        /// Width of its weeding border.
        pub width: Option<LengthInput> = default,
        /// Height of its weeding border.
        pub height: Option<LengthInput> = default,
        /// How many are needed; one when absent.
        pub quantity: Option<Count> = default,
        /// Whether it may lie turned by 90 degrees; it may when absent.
        pub turn: bool = default,
        /// The name of its film; the first one when absent or empty.
        pub film: String = default,
    }
}

impl Default for LineInput {
    fn default() -> Self {
        Self {
            name: String::new(),
            width: None,
            height: None,
            quantity: None,
            turn: true,
            film: String::new(),
        }
    }
}

/// How an order is cut.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "camelCase")]
pub struct JobReport {
    /// The unit of every length in this report.
    pub unit: Unit,
    /// The answer in a few words: `14 pieces in 2 films`.
    pub headline: String,
    /// Pieces in the whole order.
    pub pieces: u32,
    /// The lines of the order that are cut.
    pub lines: Vec<LineReport>,
    /// Mistakes in the list; a line with one is left out.
    pub bad: Vec<BadLine>,
    /// The same in words; absent where every line is good.
    pub bad_text: Option<String>,
    /// What happens in each film that the order takes, in the order of the stock.
    pub films: Vec<FilmReport>,
    /// Transfer tape for the whole order; absent where no width of tape was given.
    pub tape: Option<TapeReport>,
    /// The remnants that lie on the shelf when the whole order is cut: those not used, and what is
    /// worth keeping of what is left.
    pub remnants_after: Vec<RemnantReport>,
    /// What was assumed, in sentences.
    pub assumptions: Vec<String>,
}

/// One line of the order as it was understood.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "camelCase")]
pub struct LineReport {
    /// The line of the list that it stands in, from 1; absent for a line given by itself.
    pub line: Option<u32>,
    /// What the maker calls it.
    pub name: String,
    /// `9 × 3 in`.
    pub size_text: String,
    /// How many are needed.
    pub quantity: u32,
    /// The film that it is cut from, by its name on the shelf.
    pub film: String,
    /// Transfer tape for one piece, for people: `1 strip of 9 in`; absent without a width of tape.
    pub tape_text: Option<String>,
}

/// Transfer tape, cut from a roll in strips as wide as it is.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "camelCase")]
pub struct TapeReport {
    /// All strips end to end.
    pub length: Measured,
    /// The same in a sentence.
    pub detail: String,
}

/// What happens in one film.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "camelCase")]
pub struct FilmReport {
    /// Place of the film in the input, from 0.
    pub index: u32,
    /// What it is called on the shelf.
    pub film: String,
    /// Whether it is sheets or a roll.
    pub stock: StockKind,
    /// Pieces that are cut from it.
    pub pieces: u32,
    /// The answer in a few words: `21 3/4 in of roll`, `3 sheets`, `from remnants alone`.
    pub headline: String,
    /// The answer in a sentence, with what no layout can go below.
    pub detail: String,
    /// On a roll, what the pieces take of its length, both margins included.
    pub length: Option<Measured>,
    /// The same, rounded up to what can be measured.
    pub cut_length: Option<Measured>,
    /// The length that no layout can go below, both margins included.
    pub length_bound: Option<Measured>,
    /// Fresh sheets taken.
    pub sheets: Option<u32>,
    /// Fresh sheets that no layout can do with fewer than.
    pub sheets_bound: Option<u32>,
    /// Whether the length, or the number of sheets, is the least possible.
    pub proven: bool,
    /// What is left of the stock afterwards, in a sentence; absent where the input does not say
    /// how much there is.
    pub left_text: Option<String>,
    /// What is left on the roll as it may be typed again, or the number of sheets.
    pub left: Option<String>,
    /// Whether there is less on the shelf than the order takes.
    pub short: bool,
    /// Share of the film taken that is not decal, from 0 to 1; what is kept is not taken.
    pub waste: f64,
    /// The same for people.
    pub waste_text: String,
    /// The layouts: remnants first, then the roll, or sheets with the fullest first.
    pub layouts: Vec<LayoutReport>,
    #[serde(skip)]
    taken: Area,
    #[serde(skip)]
    stock_width: Length,
    #[serde(skip)]
    sheet_length: Option<Length>,
}

/// One remnant, sheet or length of roll, and what is cut from it.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "camelCase")]
pub struct LayoutReport {
    /// `Remnant, 12 × 8 in`, `Sheets 1 to 4 of 5`, `The sheet`, `Roll`.
    pub title: String,
    /// Place of the remnant in the input, from 0; absent for fresh film.
    pub remnant: Option<u32>,
    /// So many sheets are cut like this.
    pub copies: u32,
    /// What the pieces take of the length, the margin at both ends included.
    pub length: Measured,
    /// Where to cut it off: the same, rounded up to what can be measured.
    pub cut_length: Measured,
    /// Pieces on it.
    pub count: u32,
    /// The same for people: `7 pieces`.
    pub count_text: String,
    /// Where to cut it off, in a sentence.
    pub cut_text: String,
    /// Where they lie, numbered in the order of their distance from the end that is loaded.
    pub placements: Vec<JobPlacement>,
    /// What is left of it as rectangles.
    pub left: Vec<RemnantReport>,
    /// Where straight cuts were asked for, the cuts in the order in which they are made, in sentences,
    /// those of one part that run the same way together.
    pub cut_steps: Vec<String>,
}

/// Where one piece lies.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "camelCase")]
pub struct JobPlacement {
    /// Its number on the drawing, from 1.
    pub number: u32,
    /// Place of its line in the report's `lines`, from 0.
    pub line: u32,
    /// What the maker calls it.
    pub name: String,
    /// Across the stock's width, from the loading corner, the margin included.
    pub x: Measured,
    /// Along the stock's length, from the loading corner, the margin included.
    pub y: Measured,
    /// Size across the stock, as it lies.
    pub width: Measured,
    /// Size along the stock, as it lies.
    pub height: Measured,
    /// Its size as it lies, for people.
    pub size_text: String,
    /// Whether it lies turned by 90 degrees.
    pub turned: bool,
}

/// A piece of film that is left.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "camelCase")]
pub struct RemnantReport {
    /// The film that it is of, by its name on the shelf.
    pub film: String,
    /// Its size across the roll or sheet that it came from, as it may be typed.
    pub width: String,
    /// Its size along, as it may be typed.
    pub length: String,
    /// `12 × 8 in`.
    pub text: String,
    /// Whether it is large enough to be worth keeping.
    pub keep: bool,
}

/// An order while it is laid out: a first layout at once, better ones as the search goes on.
///
/// The search is budgeted in steps, so that the same input gets the same answer everywhere, however
/// it is sliced.
#[derive(Debug)]
pub struct JobPlan {
    job: Job,
    films: Vec<FilmLaid>,
}

impl JobPlan {
    /// Reads an order and lays it out for a start.
    ///
    /// # Errors
    /// Every field that is missing, not a length or count, or out of range;
    /// [`Code::DoesNotFit`](crate::error::Code::DoesNotFit) where a piece of `lines` is larger than
    /// its stock; [`Code::NotAChoice`](crate::error::Code::NotAChoice) for a film that is not on the
    /// shelf; [`Code::Missing`](crate::error::Code::Missing) where no line is left to be cut.
    pub fn new(input: &JobInput) -> Result<Self, InputErrors> {
        let job = Job::read(input)?;
        let films = lay::films(&job)?;
        Ok(Self { job, films })
    }

    /// Searches on for about as long as a person does not notice, and for a film with pieces of one size
    /// to the end, in up to half a minute, which `watch` may end: it hears of each so many steps, and
    /// must go on saying no once it has. Says whether anything better was found.
    pub fn search(&mut self, watch: &mut Watch) -> bool {
        let effort = self.job.effort;
        let next = self.films.iter_mut().find(|film| !film.is_done(effort));
        next.is_some_and(|film| film.search(&self.job, watch))
    }

    /// How much of the search is done, from 0 to 1.
    #[must_use]
    pub fn share_done(&self) -> f64 {
        let shares = self
            .films
            .iter()
            .map(|film| film.share_done(self.job.effort));
        let (sum, count) =
            shares.fold((0.0, 0.0), |(sum, count), share| (sum + share, count + 1.0));
        sum / f64::max(count, 1.0)
    }

    /// Whether the search is at its end.
    #[must_use]
    pub fn is_done(&self) -> bool {
        self.films.iter().all(|film| film.is_done(self.job.effort))
    }

    /// How the order is cut by the best layouts found so far.
    #[must_use]
    pub fn report(&self) -> JobReport {
        told::report(&self.job, &self.films)
    }

    /// The drawings of the first `most` layouts, film by film in the order of the report.
    #[must_use]
    pub fn drawings(&self, most: usize) -> Vec<Vec<Element>> {
        let mut left = most;
        let films = self.films.iter().map(|film| {
            let drawings = told::drawings(&self.job, film, left);
            left -= drawings.len();
            drawings
        });
        films.collect()
    }
}

/// Writes a line as the next record of a list, as it would be typed there; nothing where the list has
/// no column for something that the line says.
///
/// # Errors
/// A size or quantity that is missing, not a length or count, or out of range.
pub fn record(input: &LineInput, list: &str, unit: Unit) -> Result<Option<String>, InputErrors> {
    let line = read::list_line(input, unit)?;
    Ok(super::list::write_line(&line, list, unit))
}

impl JobReport {
    /// The cut list as comma-separated values (RFC 4180): every piece with its film, its layout, its
    /// number on the drawing, and where it lies.
    #[must_use]
    pub fn cut_list(&self) -> String {
        told::cut_list(self)
    }
}

impl FilmReport {
    /// The fresh film taken, for exact costs: what is cut off, without what is kept. Remnants were
    /// paid for by the jobs that left them.
    #[must_use]
    pub const fn film_taken(&self) -> Area {
        self.taken
    }

    /// Width of the roll or sheet.
    #[must_use]
    pub const fn stock_width(&self) -> Length {
        self.stock_width
    }

    /// Length of a sheet; none for a roll.
    #[must_use]
    pub const fn sheet_length(&self) -> Option<Length> {
        self.sheet_length
    }
}
