//! The functions of the WebAssembly module: one plain object in, one plain object out.
//!
//! Each export reads its input, calls one function of the core and writes the report. An input is
//! read by way of its JSON text, because only there are fields that nobody knows refused with their
//! path; a mistake is thrown as an `Error` with `code`, `field`, `message`, `hint`, and with `errors`,
//! all mistakes of the input.

#[cfg(target_arch = "wasm32")]
mod exports;
mod path;

#[cfg(target_arch = "wasm32")]
pub use exports::{legibility_at_distance, material_yield, plan_job, quote_export, size_steps};
#[cfg(all(target_arch = "wasm32", feature = "page"))]
pub(crate) use exports::{read, write};

use crate::error::{Code, InputError, InputErrors};
use serde::de::DeserializeOwned;

/// Reads an input struct from JSON text.
///
/// # Errors
/// [`Code::UnknownField`], [`Code::NotAChoice`], [`Code::Missing`] and [`Code::WrongType`], each with
/// the path of the field.
pub fn decode<T: DeserializeOwned>(json: &str) -> Result<T, InputErrors> {
    // The reader would take a list for a struct, item by item.
    if !json.trim_start().starts_with('{') {
        let error = InputError::new(
            Code::WrongType,
            "the input is not a plain object",
            "pass one object with the fields of the input's type",
        );
        return Err(error.into());
    }
    serde_json::from_str(json).map_err(|error| {
        let path = path::path_at(json, error.line(), error.column());
        InputErrors::from(explained(&error.to_string(), path))
    })
}

/// The mistake behind what the reader says of it.
fn explained(said: &str, path: String) -> InputError {
    // The place in the JSON text means nothing to somebody who passed an object.
    let said = said.split(" at line ").next().unwrap_or(said);
    if let Some(field) = said.strip_prefix("missing field ") {
        let field = field.replace('`', "");
        let error = InputError::new(
            Code::Missing,
            format!("{field} is missing"),
            format!("add {field}"),
        );
        return error.at(field).within(&path);
    }
    let (code, message) = if said.starts_with("unknown field") {
        (Code::UnknownField, "there is no such field")
    } else if said.starts_with("unknown variant") {
        (Code::NotAChoice, "this is not one of the choices")
    } else {
        (
            Code::WrongType,
            "this is of a type that cannot be used here",
        )
    };
    let hint = said.split_once("expected ").map_or_else(
        || "see the types of this module".to_owned(),
        |(_, expected)| format!("expected {}", expected.replace('`', "")),
    );
    InputError::new(code, message, hint).at(path)
}
