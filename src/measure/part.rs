//! Shares and angles as they are typed: a number with its sign behind it, or without. Numbers of things that
//! need not be whole, as an average is not.

use super::parse::divided;
use super::{Number, NumberInput, ambiguous, decimals, number, plain};
use crate::error::{Code, InputError};
use say::say;

impl NumberInput {
    /// The number of things that is typed, and whether it is below zero.
    ///
    /// # Errors
    /// [`Code::Missing`], [`Code::NotANumber`]; [`Code::Ambiguous`] for what may be thousands.
    pub(crate) fn figure(&self, example: &str) -> Result<(bool, Number), InputError> {
        if let Self::Text(text) = self
            && cfg!(feature = "es")
            && let Some((whole, part)) = divided(text, &['.'])
        {
            let hint = say!("write {whole}{part} or {whole}.{part}");
            return Err(ambiguous(text, hint));
        }
        number(&self.text(), example)
    }

    /// A number from `least` to `most`, with `sign` (`%`, `°`) behind it or without; none where nothing
    /// is typed. `path` is the field's place in the input.
    ///
    /// # Errors
    /// [`Code::NotANumber`]; [`Code::TooSmall`] and [`Code::TooLarge`] beyond the two; all at `path`.
    pub fn between(
        input: Option<&Self>,
        path: &str,
        sign: char,
        [least, most]: [f64; 2],
    ) -> Result<Option<f64>, InputError> {
        let text = input.map(Self::text).unwrap_or_default();
        let plain = plain(&text);
        let plain = plain.trim();
        if plain.is_empty() {
            return Ok(None);
        }
        let hint = say!(
            "write a number from {least} to {most}",
            least = decimals(least, 2),
            most = decimals(most, 2)
        );
        let bare = plain.strip_suffix(sign).unwrap_or(plain);
        let (negative, value) = number(bare, "40").map_err(|mut error| {
            error.hint = hint.clone().into();
            error.at(path)
        })?;
        let value = if negative {
            -value.to_f64()
        } else {
            value.to_f64()
        };
        let wrong =
            |code, message: &'static str| Err(InputError::new(code, message, hint).at(path));
        if value < least {
            wrong(Code::TooSmall, say!("this is too small"))
        } else if value > most {
            wrong(Code::TooLarge, say!("this is too large"))
        } else {
            Ok(Some(value))
        }
    }
}
