//! Stock and lines, as a person states them and as they are checked.

use super::super::list::{self, BadLine, ListLine};
use super::super::order::{
    Cuts, Effort, LENGTH, Piece, Stock, WIDTH, clearance, cut_step, margin_fits, piece_fits,
};
use super::{JobInput, LineInput, RemnantInput, StockInput};
use crate::decal::SIDE;
use crate::error::{Checks, Code, InputError, InputErrors};
use crate::measure::{Count, Length, Range, Unit, optional, required, shown};
use say::say;

/// What can be left on a roll.
const ROLL: Range = Range::up_to(Length::whole(1000, Unit::M));

/// Shorter sides of what is worth keeping.
const KEEP: Range = Range::up_to(Length::whole(5, Unit::M));

/// So many films are named to somebody who looks for one.
const NAMES_TOLD: usize = 8;

/// An order that can be laid out: every line fits its film, and there is at least one.
#[derive(Debug)]
pub(super) struct Job {
    pub unit: Unit,
    pub effort: Effort,
    pub cuts: Cuts,
    pub margin: Length,
    pub gap: Length,
    pub films: Vec<Film>,
    pub remnants: Vec<Remnant>,
    pub lines: Vec<Line>,
    pub bad: Vec<BadLine>,
    pub cut_step: Length,
    pub keep: Length,
    pub tape: Option<Length>,
}

/// A film on the shelf.
#[derive(Debug)]
pub(super) struct Film {
    pub name: String,
    pub stock: Stock,
    /// What is left on the roll, if that is known.
    pub left: Option<Length>,
    /// Sheets on the shelf, if that is known.
    pub sheets: Option<u32>,
    pub patterned: bool,
}

/// A remnant by the place of its film.
#[derive(Debug)]
pub(super) struct Remnant {
    pub film: usize,
    pub width: Length,
    pub length: Length,
}

/// A line by the place of its film.
#[derive(Debug)]
pub(super) struct Line {
    /// Its line in the list, if it stands there.
    pub listed: Option<u32>,
    pub name: String,
    /// It may turn only if the film lets it.
    pub piece: Piece,
    pub quantity: u32,
    pub film: usize,
}

impl Job {
    /// Reads and checks an order.
    pub fn read(input: &JobInput) -> Result<Self, InputErrors> {
        let unit = input.unit;
        let mut checks = Checks::default();
        let margin = checks.take(clearance(input.margin.as_ref(), "margin", unit));
        let gap = checks.take(clearance(input.gap.as_ref(), "gap", unit));
        let (margin, gap) = (margin.unwrap_or_default(), gap.unwrap_or_default());
        let cut_step = checks.take(cut_step(input.cut_step.as_ref(), unit));
        let keep = checks.take(optional(input.keep.as_ref(), "keep", unit, KEEP));
        let tape = checks.take(optional(input.tape.as_ref(), "tape", unit, SIDE));
        let mut films: Vec<Film> = Vec::new();
        for (index, film) in input.films.iter().enumerate() {
            let read = read_film(film, (margin, gap), unit).and_then(|read| {
                if films.iter().any(|other| same(&other.name, &read.name)) {
                    Err(twice(&read.name).into())
                } else {
                    Ok(read)
                }
            });
            let read = read.map_err(|errors| errors.within(&format!("films[{index}]")));
            films.extend(checks.take(read));
        }
        if films.is_empty() || films.len() < input.films.len() {
            // Without its film no line can be judged.
            return checks.finish(()).and(Err(no_film().into()));
        }
        let mut job = Self {
            unit,
            effort: input.effort,
            cuts: input.cuts,
            margin,
            gap,
            films,
            remnants: Vec::new(),
            lines: Vec::new(),
            bad: Vec::new(),
            cut_step: cut_step.unwrap_or_default(),
            keep: keep.flatten().unwrap_or_else(|| worth_keeping(unit)),
            tape: tape.flatten(),
        };
        for (index, remnant) in input.remnants.iter().enumerate() {
            let read = job.remnant(remnant);
            let read = read.map_err(|errors| errors.within(&format!("remnants[{index}]")));
            job.remnants.extend(checks.take(read));
        }
        for (index, line) in input.lines.iter().enumerate() {
            let read = job.line(line);
            let read = read.map_err(|errors| errors.within(&format!("lines[{index}]")));
            job.lines.extend(checks.take(read));
        }
        if let Some(text) = &input.list {
            job.add_list(text, input.list_unit.unwrap_or(unit));
        }
        if job.lines.is_empty() && input.lines.is_empty() {
            checks.add(nothing_to_cut(&job.bad));
        }
        checks.finish(job)
    }

    fn pieces(&self) -> u32 {
        self.lines.iter().map(|line| line.quantity).sum()
    }

    fn remnant(&self, input: &RemnantInput) -> Result<Remnant, InputErrors> {
        let mut checks = Checks::default();
        let film = checks.take(self.film(&input.film).map_err(|error| error.at("film")));
        let width = checks.take(required(input.width.as_ref(), "width", self.unit, WIDTH));
        let length = required(input.length.as_ref(), "length", self.unit, LENGTH);
        let length = checks.take(length);
        let remnant = Remnant {
            film: film.unwrap_or_default(),
            width: width.unwrap_or_default(),
            length: length.unwrap_or_default(),
        };
        checks.finish(remnant)
    }

    fn line(&self, input: &LineInput) -> Result<Line, InputErrors> {
        let read = list_line(input, self.unit);
        let film = self.film(&input.film).map_err(|error| error.at("film"));
        match (read, film) {
            (Ok(read), Ok(film)) => Ok(self.checked(Self::wanted(None, read, film))?),
            (Err(errors), Err(film)) => Err(errors.and(film.into())),
            (Err(errors), Ok(_)) => Err(errors),
            (Ok(_), Err(film)) => Err(film.into()),
        }
    }

    fn wanted(listed: Option<u32>, read: ListLine, film: usize) -> Line {
        Line {
            listed,
            name: read.name,
            piece: Piece {
                width: read.width,
                height: read.height,
                turn: read.turn,
            },
            quantity: read.quantity,
            film,
        }
    }

    fn add_list(&mut self, text: &str, unit: Unit) {
        let list = list::read(text, unit);
        self.bad = list.bad;
        for read in list.lines {
            let (at, name) = (read.line, read.name.clone());
            let film = self.film(&read.film).map_err(|error| error.at("film"));
            let line = film.and_then(|film| self.checked(Self::wanted(Some(at), read, film)));
            match line {
                Ok(line) => self.lines.push(line),
                Err(error) => {
                    let bad = bad(at, &name, &error);
                    let at = self.bad.partition_point(|other| other.line <= bad.line);
                    self.bad.insert(at, bad);
                }
            }
        }
    }

    /// The film of that name; the first one where no name stands.
    fn film(&self, name: &str) -> Result<usize, InputError> {
        if name.trim().is_empty() {
            return Ok(0);
        }
        let place = self.films.iter().position(|film| same(&film.name, name));
        place.ok_or_else(|| {
            let names = self.films.iter().take(NAMES_TOLD);
            let names: Vec<String> = names.map(|film| shown(&film.name)).collect();
            InputError::new(
                Code::NotAChoice,
                say!(
                    "there is no film called {name} in the stock",
                    name = shown(name)
                ),
                say!(
                    "write {names}",
                    names = names.join(say!(in "between names to choose from": " or "))
                ),
            )
        })
    }

    /// The line, if it lies on its film and the order does not grow too large.
    fn checked(&self, mut line: Line) -> Result<Line, InputError> {
        if let Some(film) = self.films.get(line.film) {
            line.piece.turn &= !film.patterned;
            piece_fits(&film.stock, line.piece, self.unit).map_err(|error| error.at("width"))?;
        }
        if self.pieces() + line.quantity > Count::MAX {
            return Err(InputError::new(
                Code::TooLarge,
                say!("with this line the order has too many pieces"),
                say!("plan at most {most} pieces at once", most = Count::MAX),
            )
            .at("quantity"));
        }
        Ok(line)
    }
}

/// A line by itself, as a list has it; its film is not looked for.
pub(super) fn list_line(input: &LineInput, unit: Unit) -> Result<ListLine, InputErrors> {
    let mut checks = Checks::default();
    let width = checks.take(required(input.width.as_ref(), "width", unit, SIDE));
    let height = checks.take(required(input.height.as_ref(), "height", unit, SIDE));
    let quantity = input.quantity.as_ref().map_or(Ok(1), Count::read);
    let quantity = checks.take(quantity.map_err(|error| error.at("quantity")));
    checks.finish(ListLine {
        line: 0,
        name: input.name.trim().to_owned(),
        width: width.unwrap_or_default(),
        height: height.unwrap_or_default(),
        quantity: quantity.unwrap_or_default(),
        turn: input.turn,
        film: input.film.trim().to_owned(),
    })
}

fn read_film(
    input: &StockInput,
    (margin, gap): (Length, Length),
    unit: Unit,
) -> Result<Film, InputErrors> {
    let mut checks = Checks::default();
    let name = input.name.trim();
    if name.is_empty() {
        let error = InputError::new(
            Code::Missing,
            say!("the film has no name"),
            say!("write what you call it"),
        );
        checks.add(error.at("name"));
    }
    let width = checks.take(required(input.width.as_ref(), "width", unit, WIDTH));
    let length = input.length.as_ref();
    let length = length.map(|length| required(Some(length), "length", unit, LENGTH));
    let length = checks.take(length.transpose());
    let left = input.left.as_ref().map(|left| left.counted_in(unit));
    let left = optional(left.as_ref(), "left", unit.for_distance(), ROLL);
    let left = checks.take(left).flatten();
    let sheets = match &input.sheets {
        // An empty shelf is no mistake, though an order cannot be for nothing.
        Some(Count::Text(text)) if text.trim() == "0" => Ok(Some(0)),
        Some(Count::Number(0.0)) => Ok(Some(0)),
        sheets => Count::optional(sheets.as_ref(), "sheets"),
    };
    let sheets = checks.take(sheets).flatten();
    let stock = width.zip(length).map(|(width, length)| Stock {
        width,
        length,
        margin,
        gap,
    });
    let stock = stock.and_then(|stock| {
        // The margin is the same for all films; where it leaves nothing, this film is too small.
        let fits = margin_fits(stock, unit).map_err(|error| error.at("width"));
        checks.take(fits)
    });
    checks.finish(())?;
    let Some(stock) = stock else {
        return Err(no_film().into());
    };
    Ok(Film {
        name: name.to_owned(),
        left: left.filter(|_| stock.length.is_none()),
        sheets: sheets.filter(|_| stock.length.is_some()),
        stock,
        patterned: input.patterned,
    })
}

/// Whether two names mean the same film, as people write them.
fn same(one: &str, other: &str) -> bool {
    one.trim().eq_ignore_ascii_case(other.trim())
}

fn twice(name: &str) -> InputError {
    InputError::new(
        Code::Impossible,
        say!("two films are called {name}", name = shown(name)),
        say!("give each film a name of its own"),
    )
    .at("name")
}

fn no_film() -> InputError {
    InputError::new(
        Code::Missing,
        say!("there is no film to cut from"),
        say!("add a film with its width"),
    )
    .at("films")
}

fn nothing_to_cut(bad: &[BadLine]) -> InputError {
    let error = match bad.first() {
        None => InputError::new(
            Code::Missing,
            say!("there is nothing to cut"),
            say!("add a line with width, height and quantity"),
        ),
        Some(bad) => {
            // Line 0 is the whole list.
            let message = match bad.line {
                0 => bad.message.clone(),
                line => say!(
                    "no line can be used; line {line}: {mistake}",
                    mistake = bad.message
                ),
            };
            InputError::new(Code::Impossible, message, bad.hint.clone())
        }
    };
    error.at("list")
}

/// What is worth keeping where the maker says nothing: it still takes a line of small letters.
const fn worth_keeping(unit: Unit) -> Length {
    if unit.is_imperial() {
        Length::whole(3, Unit::In)
    } else {
        Length::whole(75, Unit::Mm)
    }
}

/// A line of the list that was read, but cannot be cut.
fn bad(line: u32, name: &str, error: &InputError) -> BadLine {
    BadLine {
        line,
        text: shown(name),
        column: list::title(&error.field),
        message: error.message.to_string(),
        hint: error.hint.to_string(),
    }
}
