//! How many: whole numbers as people type them.

use super::entry::written;
use super::number;
use super::parse::{ambiguous, divided};
use crate::error::{Code, InputError};
use say::say;
use serde::Serialize;

/// How a right entry looks.
const EXAMPLE: &str = "12";

/// A whole number in an input: a text as people type it (`"12"`), or a number.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(untagged)]
pub enum Count {
    /// As people type it.
    Text(String),
    /// A number; whole, or it is refused.
    Number(f64),
}

/// Nothing typed yet.
impl Default for Count {
    fn default() -> Self {
        Self::Text(String::new())
    }
}

impl Count {
    /// The greatest count that a field takes. One person cuts, weeds and tapes a few hundred pieces
    /// a day, so that ten thousand is beyond any one order, and still few enough to be laid out,
    /// checked and drawn one by one while somebody types.
    pub const MAX: u32 = 10_000;

    /// The count, from 1 to [`Count::MAX`].
    ///
    /// # Errors
    /// [`Code::Missing`] for an empty text, [`Code::NotANumber`], [`Code::NotWhole`],
    /// [`Code::TooSmall`] below 1 and [`Code::TooLarge`] beyond [`Count::MAX`].
    pub fn read(&self) -> Result<u32, InputError> {
        self.read_from(1, Self::MAX)
    }

    /// The count, from `least` to `most`.
    ///
    /// # Errors
    /// Those of [`Count::read`], by these limits.
    pub fn read_from(&self, least: u32, most: u32) -> Result<u32, InputError> {
        let (negative, value) = match self {
            // Who writes Spanish divides thousands by points, and has commas before decimals; of a count
            // neither is sure.
            Self::Text(text) if cfg!(feature = "es") && divided(text, &['.', ',']).is_some() => {
                Err(ambiguous(text, String::new()))
            }
            Self::Text(text) => number(text, EXAMPLE),
            Self::Number(value) => number(&written(*value), EXAMPLE),
        }
        .map_err(|mut error| {
            if error.code == Code::Ambiguous {
                // Both readings of `1,125` are offered for a length; of a count only one is whole.
                error.hint = say!(
                    "write the digits without a comma, for example {example}",
                    example = EXAMPLE
                )
                .into();
            }
            error
        })?;
        if value.numerator % value.denominator != 0 {
            return Err(InputError::new(
                Code::NotWhole,
                say!("only whole pieces can be counted"),
                say!(
                    "write a whole number, for example {example}",
                    example = EXAMPLE
                ),
            ));
        }
        let hint = say!("write a whole number from {least} to {most}");
        let whole = value.numerator / value.denominator;
        if (negative && whole != 0) || whole < i128::from(least) {
            let message = if whole == 0 {
                say!("none is too few")
            } else {
                say!("less than nothing")
            };
            return Err(InputError::new(Code::TooSmall, message, hint));
        }
        u32::try_from(whole)
            .ok()
            .filter(|count| *count <= most)
            .ok_or_else(|| InputError::new(Code::TooLarge, say!("this is too many"), hint))
    }

    /// Reads a count that may be left out or empty; `path` is the field's place in the input.
    ///
    /// # Errors
    /// Those of [`Count::read`], at `path`.
    pub fn optional(input: Option<&Self>, path: &str) -> Result<Option<u32>, InputError> {
        Self::optional_from(input, path, 1, Self::MAX)
    }

    /// The same from `least` to `most`.
    ///
    /// # Errors
    /// Those of [`Count::read_from`], at `path`.
    pub fn optional_from(
        input: Option<&Self>,
        path: &str,
        least: u32,
        most: u32,
    ) -> Result<Option<u32>, InputError> {
        match input {
            None => Ok(None),
            Some(Self::Text(text)) if text.trim().is_empty() => Ok(None),
            Some(count) => count
                .read_from(least, most)
                .map(Some)
                .map_err(|error| error.at(path)),
        }
    }
}

impl From<&str> for Count {
    fn from(text: &str) -> Self {
        Self::Text(text.to_owned())
    }
}

impl From<u32> for Count {
    fn from(count: u32) -> Self {
        Self::Number(f64::from(count))
    }
}

/// `1 piece`, `7 pieces`.
#[must_use]
pub fn pieces(count: u32) -> String {
    say!(count; "1 piece", "{count} pieces")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn code(count: impl Into<Count>) -> Result<u32, Code> {
        count.into().read().map_err(|error| error.code)
    }

    #[test]
    fn whole_numbers_are_read_however_they_are_typed() {
        for text in ["12", " 12 ", "12.0", "+12", "12,0", "24/2", "012"] {
            assert_eq!(code(text), Ok(12), "{text}");
        }
        assert_eq!(code(12), Ok(12));
        assert_eq!(code("10000"), Ok(Count::MAX));
    }

    #[test]
    fn everything_else_says_what_is_wrong() {
        for (text, expected) in [
            ("", Code::Missing),
            ("2x", Code::NotANumber),
            ("a dozen", Code::NotANumber),
            ("2.5", Code::NotWhole),
            ("1/2", Code::NotWhole),
            ("0", Code::TooSmall),
            ("-3", Code::TooSmall),
            ("10001", Code::TooLarge),
            ("99999999999999999999", Code::TooLarge),
            ("1,125", Code::Ambiguous),
        ] {
            assert_eq!(code(text), Err(expected), "{text}");
        }
        for (number, expected) in [
            (f64::NAN, Code::NotANumber),
            (f64::INFINITY, Code::TooLarge),
            (1e300, Code::TooLarge),
            (0.5, Code::NotWhole),
            (-1.0, Code::TooSmall),
        ] {
            let read = Count::Number(number).read();
            assert_eq!(read.map_err(|e| e.code), Err(expected), "{number}");
        }
    }

    #[test]
    fn an_optional_count_may_be_empty() {
        assert_eq!(Count::optional(None, "q"), Ok(None));
        assert_eq!(Count::optional(Some(&"  ".into()), "q"), Ok(None));
        assert_eq!(Count::optional(Some(&"3".into()), "q"), Ok(Some(3)));
        let wrong = Count::optional(Some(&"x".into()), "q").unwrap_err();
        assert_eq!(wrong.field, "q");
    }
}
