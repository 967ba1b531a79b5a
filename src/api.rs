//! The functions of the WebAssembly module: one plain object in, one plain object out.
//!
//! Each export reads its input, calls one function of the core and writes the report. An input is
//! read by way of its JSON text, because only there are fields that nobody knows refused with their
//! path; a mistake is thrown as an `Error` with `code`, `field`, `message`, `hint`, and with `errors`,
//! all mistakes of the input.

use crate::error::{Code, InputError, InputErrors};
use serde::de::DeserializeOwned;

#[cfg(target_arch = "wasm32")]
mod exports;

/// Reads an input struct from JSON text.
///
/// # Errors
/// [`Code::UnknownField`], [`Code::NotAChoice`], [`Code::Missing`] and [`Code::WrongType`], each with
/// the path of the field.
pub fn decode<T: DeserializeOwned>(json: &str) -> Result<T, InputErrors> {
    let mut reader = serde_json::Deserializer::from_str(json);
    serde_path_to_error::deserialize(&mut reader).map_err(|error| {
        let path = error.path().to_string();
        let path = if path == "." { String::new() } else { path };
        InputErrors::from(explained(&error.inner().to_string()).at(path))
    })
}

/// The mistake behind what the reader says of it.
fn explained(said: &str) -> InputError {
    // The place in the JSON text means nothing to somebody who passed an object.
    let said = said.split(" at line ").next().unwrap_or(said);
    let hint = said
        .split_once("expected ")
        .map_or("see the types of this module", |(_, expected)| expected);
    let hint = format!("expected {}", hint.replace('`', ""));
    if said.starts_with("unknown field") {
        return InputError::new(Code::UnknownField, "there is no such field", hint);
    }
    if said.starts_with("unknown variant") {
        return InputError::new(Code::NotAChoice, "this is not one of the choices", hint);
    }
    if let Some(field) = said.strip_prefix("missing field ") {
        let field = field.replace('`', "");
        return InputError::new(
            Code::Missing,
            format!("{field} is missing"),
            format!("add {field}"),
        );
    }
    if said.contains("untagged enum") {
        return InputError::new(
            Code::WrongType,
            "this is of a type that cannot be used here",
            "expected a text such as \"5 1/4 in\", or a number",
        );
    }
    InputError::new(
        Code::WrongType,
        "this is of a type that cannot be used here",
        hint,
    )
}
