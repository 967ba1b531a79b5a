//! Inputs and reports as plain objects.

use super::{reader, writer};
use crate::error::InputErrors;
use serde::Serialize;
use serde::de::DeserializeOwned;
use wasm_bindgen::JsValue;

/// Reads an input struct from a plain object.
///
/// # Errors
/// Those of [`reader::read`].
pub(crate) fn read<I: DeserializeOwned>(input: &JsValue) -> Result<I, InputErrors> {
    Ok(reader::read(input.clone())?)
}

/// Writes a report as a plain object.
///
/// # Errors
/// None: there is no value of [`Never`](writer::Never).
pub(crate) fn write<R: Serialize + ?Sized>(report: &R) -> Result<JsValue, writer::Never> {
    writer::write(report)
}
