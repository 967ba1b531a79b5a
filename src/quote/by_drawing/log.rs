//! The measures of a drawing among the notes of a log: `weed, 6, 14:30, 2.41 m, 38 pieces, 12 islands`.

use super::super::timing::{Entry, cells, entry};
use super::MOST_PARTS;
use crate::error::{Code, InputError};
use crate::measure::{Count, Length, Unit, plain, shown};
use say::say;

/// What is counted in an entry: outlines, pieces, islands, by one and by more. The first two of each are those of the
/// language; the others are those of every language of the site, whose pages share their books.
pub(super) const COUNTED: [[&str; 6]; 3] = [
    [
        say!(in "the log of times": "outline"),
        say!(in "the log of times": "outlines"),
        "outline",
        "outlines",
        "contorno",
        "contornos",
    ],
    [
        say!(in "the log of times": "piece"),
        say!(in "the log of times": "pieces"),
        "piece",
        "pieces",
        "pieza",
        "piezas",
    ],
    [
        say!(in "the log of times": "island"),
        say!(in "the log of times": "islands"),
        "island",
        "islands",
        "isla",
        "islas",
    ],
];

/// What an entry tells of the drawing of one of its decals.
pub(super) struct Measured {
    pub entry: Entry,
    /// Cut length in metres, outlines, pieces, islands.
    told: [Option<f64>; 4],
}

impl Measured {
    /// Metres to be cut, and outlines, for all decals of the entry; none where they are not told. Each
    /// piece has an outline round it, and so has each island: where no number of outlines is told, it is
    /// that of both.
    pub fn cut(&self) -> Option<[f64; 2]> {
        let [length, outlines, pieces, islands] = self.told;
        let both = || Some(pieces? + islands?);
        Some([length?, outlines.or_else(both)?].map(|part| part * self.decals()))
    }

    /// Metres that were cut, pieces and islands, for all decals of the entry; none where one of the three
    /// is not told.
    pub fn weed(&self) -> Option<[f64; 3]> {
        let [length, _, pieces, islands] = self.told;
        Some([length?, pieces?, islands?].map(|part| part * self.decals()))
    }

    /// Whether anything is told at all.
    pub fn tells(&self) -> bool {
        self.told.iter().any(Option::is_some)
    }

    fn decals(&self) -> f64 {
        f64::from(self.entry.pieces)
    }
}

/// The number in front of the first letter or sign of a cell, and the word that begins there.
fn divided(cell: &str) -> (&str, &str) {
    let cell = cell.trim();
    let word = cell.find(|sign: char| sign.is_alphabetic() || matches!(sign, '"' | '\''));
    let (number, word) = word
        .and_then(|at| cell.split_at_checked(at))
        .unwrap_or((cell, ""));
    (number.trim(), word)
}

fn all_digits(text: &str) -> bool {
    !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit())
}

/// A length with its unit, in metres; none where the cell is anything else.
fn length(cell: &str) -> Result<Option<f64>, InputError> {
    // What is read alike whatever a bare number counts in has a unit of its own.
    let read = |text: &str| {
        let metres = Length::parse(text, Unit::M);
        let millimetres = Length::parse(text, Unit::Mm);
        (metres == millimetres).then_some(metres)
    };
    match read(cell) {
        Some(Ok(Length::ZERO)) => Err(InputError::new(
            Code::TooSmall,
            say!("no length at all"),
            say!("write how long the cut of one decal is, for example 2.41 m"),
        )),
        Some(Ok(length)) => Ok(Some(length.to_f64(Unit::M))),
        Some(Err(error)) => {
            // `1,125 m` is a length, only not a sure one; `1,125 sheep` is a note.
            let point: String = cell
                .chars()
                .map(|sign| if sign == ',' { '.' } else { sign })
                .collect();
            let a_length = matches!(read(&point), Some(Ok(_)));
            if error.code == Code::Ambiguous && a_length {
                Err(error)
            } else {
                Ok(None)
            }
        }
        None => Ok(None),
    }
}

/// Which measure a cell tells, by its place in [`Measured::told`], and the figure; none for a note.
fn measure(cell: &str) -> Result<Option<(usize, f64)>, InputError> {
    let plain = plain(cell);
    let (number, word) = divided(&plain);
    // Only a number and a unit make a measure: neither `-2 m` nor `17` do.
    if word.is_empty() || !number.starts_with(|sign: char| sign.is_ascii_digit() || sign == '.') {
        return Ok(None);
    }
    let Some(place) = COUNTED.iter().position(|names| names.contains(&word)) else {
        return Ok(length(cell)?.map(|length| (0, length)));
    };
    // What is cut has an outline.
    let least = u32::from(place == 0);
    match Count::Text(number.to_owned()).read_from(least, MOST_PARTS) {
        Ok(count) => Ok(Some((place + 1, f64::from(count)))),
        // `6-8 pieces`.
        Err(error) if error.code == Code::NotANumber => Ok(None),
        Err(error) => Err(error),
    }
}

/// Reads a line of the log. What follows the time is a measure where it reads as one, and a note
/// otherwise.
///
/// # Errors
/// Those of [`entry`]; a count that is not whole, a length or a count of which there can be two readings,
/// and two of the same measure.
pub(super) fn measured(line: &str) -> Result<Measured, InputError> {
    let entry = entry(line)?;
    let (by_commas, cells) = cells(line);
    let mut told = [None; 4];
    // The time in front of them is no part of a broken number.
    let mut last = "";
    for cell in cells.skip(3) {
        let before = std::mem::replace(&mut last, cell.trim());
        let Some((place, figure)) = measure(cell)? else {
            continue;
        };
        if by_commas {
            unbroken(before, cell, place == 0)?;
        }
        if told[place].is_some() {
            return Err(InputError::new(
                Code::Ambiguous,
                say!("`{typed}` is told twice", typed = shown(cell)),
                say!("leave one cut length, one number of outlines, of pieces and of islands"),
            ));
        }
        told[place] = Some(figure);
    }
    Ok(Measured { entry, told })
}

/// Refuses a number that the comma of a line may have broken: `2,41 m`, `1,200 outlines`. Behind a comma
/// that divides a line there may be a space, behind one within a number there is none.
fn unbroken(before: &str, cell: &str, length: bool) -> Result<(), InputError> {
    let plain = plain(cell);
    let (number, _) = divided(&plain);
    let broken = all_digits(before)
        && all_digits(number)
        && cell.starts_with(|sign: char| sign.is_ascii_digit())
        && (length || (number.len() == 3 && before.len() <= 3));
    if !broken {
        return Ok(());
    }
    let hint = if length {
        say!(
            "write 2.41 m with a point, put a space behind a comma that divides, or divide the line by semicolons"
        )
    } else {
        say!(
            "write 1200 outlines without a comma, put a space behind a comma that divides, or divide the line by semicolons"
        )
    };
    Err(InputError::new(
        Code::Ambiguous,
        say!(
            "`{before},{behind}` can be read in two ways",
            before = shown(before),
            behind = shown(cell)
        ),
        hint,
    ))
}
