//! Reading what may be a text or a number.
//!
//! Derived for an untagged enum, the reader would first keep a copy of whatever stands there, be it a
//! whole tree, and then say no more than that nothing matched.

use super::{Count, LengthInput, NumberInput, decimals};
use serde::de::{Deserialize, Deserializer, Error, Visitor};
use std::fmt;

enum Entry {
    Text(String),
    Number(f64),
}

/// A plain number as the person wrote it: in fifteen figures, which every number of up to so many
/// keeps when it is stored in binary.
pub(super) fn written(number: f64) -> String {
    // Beyond this no field takes a number, whatever its last figures are.
    const MOST: f64 = 1e13;
    if !number.is_finite() {
        return "no number".to_owned();
    }
    let mut places = 13;
    let mut limit = 10.0;
    while number.abs() >= limit && limit < MOST {
        limit *= 10.0;
        places -= 1;
    }
    decimals(number.clamp(-MOST, MOST), places)
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
