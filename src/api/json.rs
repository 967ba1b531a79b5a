//! Plain values in JSON text, for programs that are not JavaScript.

use super::reader::{self, Kind, Plain};
use crate::error::{Code, InputError, InputErrors};
use serde::de::DeserializeOwned;
use serde_json::Value;

/// Reads an input struct from JSON text.
///
/// # Errors
/// [`Code::UnknownField`], [`Code::NotAChoice`], [`Code::Missing`] and [`Code::WrongType`], each with
/// the path of the field; [`Code::WrongType`] also for what is no JSON.
pub fn decode<T: DeserializeOwned>(json: &str) -> Result<T, InputErrors> {
    let value: Value = serde_json::from_str(json).map_err(|error| {
        let hint = format!("mend the text: {error}");
        InputError::new(Code::WrongType, "this is no JSON text", hint)
    })?;
    Ok(reader::read(value)?)
}

impl Plain for Value {
    fn is_nothing(&self) -> bool {
        self.is_null()
    }

    fn open(self) -> Kind<Self> {
        match self {
            Self::Null => Kind::Other,
            Self::Bool(truth) => Kind::Truth(truth),
            Self::Number(number) => number.as_f64().map_or(Kind::Other, Kind::Number),
            Self::String(text) => Kind::Text(text),
            Self::Array(items) => Kind::List(items),
            Self::Object(members) => Kind::Object(members.into_iter().collect()),
        }
    }
}
