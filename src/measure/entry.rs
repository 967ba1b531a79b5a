//! Lengths and numbers as an input has them: a text or a plain number, and the lengths a field allows.

use super::{Count, Length, Unit, decimals, decimals_with_point};
use crate::error::{Code, InputError};
use say::say;
use serde::Serialize;
use serde::de::{Deserialize, Deserializer, Error, Visitor};
use std::fmt;

/// A length in an input: a text with its unit (`"5 1/4 in"`), or a number or a bare text in the
/// unit of the whole input.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(untagged)]
pub enum LengthInput {
    /// As people type it.
    Text(String),
    /// A number of the unit of the whole input.
    Number(f64),
}

impl LengthInput {
    /// The length, if it lies in `range`; `bare` is the unit of a number without one.
    ///
    /// # Errors
    /// Those of [`Length::parse`]; [`Code::TooSmall`] and [`Code::TooLarge`] outside of `range`.
    pub fn read(&self, bare: Unit, range: Range) -> Result<Length, InputError> {
        let length = match self {
            Self::Text(text) => Length::parse(text, bare)?,
            Self::Number(number) => Length::parse(&written(*number), bare)?,
        };
        range.check(length, bare)
    }
}

impl LengthInput {
    /// The same input with a plain number counted in `unit`, for a field in which a bare text counts
    /// in another: a distance is typed in feet, but a program states every number in one unit.
    #[must_use]
    pub fn counted_in(&self, unit: Unit) -> Self {
        match self {
            Self::Number(number) if number.is_finite() => {
                Self::Text(format!("{} {}", written(*number), unit.symbol()))
            }
            other => other.clone(),
        }
    }
}

impl From<Length> for LengthInput {
    /// The length to the nanometre.
    fn from(length: Length) -> Self {
        Self::Text(length.exact_with_point(Unit::Mm) + " mm")
    }
}

impl From<&str> for LengthInput {
    fn from(text: &str) -> Self {
        Self::Text(text.to_owned())
    }
}

/// A number in an input that is no length: as text, with its unit if it has one (`"11 min"`,
/// `"6.5 %"`), or as a plain number.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(untagged)]
pub enum NumberInput {
    /// As people type it.
    Text(String),
    /// A plain number.
    Number(f64),
}

impl NumberInput {
    /// The number as text.
    #[must_use]
    pub fn text(&self) -> String {
        match self {
            Self::Text(text) => text.clone(),
            Self::Number(number) => written(*number),
        }
    }
}

/// Reads a length that must be there; `path` is the field's place in the input.
///
/// # Errors
/// [`Code::Missing`] where there is none, and those of [`LengthInput::read`], all at `path`.
pub fn required(
    input: Option<&LengthInput>,
    path: &str,
    unit: Unit,
    range: Range,
) -> Result<Length, InputError> {
    let missing = LengthInput::Text(String::new());
    let read = input.unwrap_or(&missing).read(unit, range);
    read.map_err(|error| error.at(path))
}

/// Reads a length that may be left out or empty; `path` is the field's place in the input.
///
/// # Errors
/// Those of [`LengthInput::read`], at `path`.
pub fn optional(
    input: Option<&LengthInput>,
    path: &str,
    unit: Unit,
    range: Range,
) -> Result<Option<Length>, InputError> {
    match input {
        None => Ok(None),
        Some(LengthInput::Text(text)) if text.trim().is_empty() => Ok(None),
        Some(length) => required(Some(length), path, unit, range).map(Some),
    }
}

/// The lengths that a field allows.
#[derive(Clone, Copy, Debug)]
pub struct Range {
    least: Length,
    greatest: Length,
}

impl Range {
    /// From `least` to `greatest`, both allowed.
    #[must_use]
    pub const fn new(least: Length, greatest: Length) -> Self {
        Self { least, greatest }
    }

    /// From nothing to `greatest`.
    #[must_use]
    pub const fn up_to(greatest: Length) -> Self {
        Self::new(Length::ZERO, greatest)
    }

    /// Whether a length is allowed.
    #[must_use]
    pub fn holds(self, length: Length) -> bool {
        self.least <= length && length <= self.greatest
    }

    fn check(self, length: Length, unit: Unit) -> Result<Length, InputError> {
        let hint = say!(
            "write a length from {least} to {most}",
            least = about(self.least, unit, f64::ceil),
            most = about(self.greatest, unit, f64::floor)
        );
        if length < self.least {
            let message = match length {
                Length::ZERO => say!("zero is too small"),
                negative if negative < Length::ZERO => say!("less than nothing"),
                _ => say!("this is too small"),
            };
            return Err(InputError::new(Code::TooSmall, message, hint));
        }
        if length > self.greatest {
            return Err(InputError::new(
                Code::TooLarge,
                say!("this is too large"),
                hint,
            ));
        }
        Ok(length)
    }
}

/// A limit in two figures, rounded to the allowed side: `0.04 in` for a millimetre.
fn about(limit: Length, unit: Unit, rounded: fn(f64) -> f64) -> String {
    let number = limit.to_f64(unit);
    let mut step = 1e-6;
    while number >= step * 100.0 {
        step *= 10.0;
    }
    let number = decimals(rounded(number / step) * step, 4);
    format!("{number} {}", unit.symbol())
}

/// What stands in an input where a text or a number may stand.
///
/// Derived for an untagged enum, the reader would first keep a copy of whatever stands there, be it a
/// whole tree, and then say no more than that nothing matched.
enum Entry {
    Text(String),
    Number(f64),
}

/// A plain number as the person wrote it: in fifteen figures, which every number of up to so many
/// keeps when it is stored in binary. One that is greater than any field takes is written as the
/// greatest that is written here, which is refused as too large as well.
pub(super) fn written(number: f64) -> String {
    const MOST: f64 = 1e13;
    if number.is_nan() || number.abs() >= MOST {
        return if number < 0.0 {
            "-9999999999999".to_owned()
        } else if number > 0.0 {
            "9999999999999".to_owned()
        } else {
            "NaN".to_owned()
        };
    }
    let mut places = 13;
    let mut limit = 10.0;
    while number.abs() >= limit {
        limit *= 10.0;
        places -= 1;
    }
    decimals_with_point(number, places)
}

struct EntryVisitor;

impl Visitor<'_> for EntryVisitor {
    type Value = Entry;

    fn expecting(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.write_str("a text such as \"5 1/4 in\", or a number")
    }

    fn visit_str<E: Error>(self, text: &str) -> Result<Entry, E> {
        Ok(Entry::Text(text.to_owned()))
    }

    fn visit_f64<E: Error>(self, number: f64) -> Result<Entry, E> {
        Ok(Entry::Number(number))
    }

    #[expect(
        clippy::cast_precision_loss,
        reason = "JavaScript has no other numbers"
    )]
    fn visit_u64<E: Error>(self, number: u64) -> Result<Entry, E> {
        Ok(Entry::Number(number as f64))
    }

    #[expect(
        clippy::cast_precision_loss,
        reason = "JavaScript has no other numbers"
    )]
    fn visit_i64<E: Error>(self, number: i64) -> Result<Entry, E> {
        Ok(Entry::Number(number as f64))
    }
}

macro_rules! read_as_entry {
    ($($input:ident),*) => {$(
        impl<'de> Deserialize<'de> for $input {
            fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
                let entry = deserializer.deserialize_any(EntryVisitor)?;
                Ok(match entry {
                    Entry::Text(text) => Self::Text(text),
                    Entry::Number(number) => Self::Number(number),
                })
            }
        }
    )*};
}

read_as_entry!(LengthInput, NumberInput, Count);
