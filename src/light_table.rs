//! The light table: what is read off a drawing, in a worker of its own. A module for itself, which is
//! loaded when a drawing is opened.

use crate::api::tell::Teller;
use crate::error::{Code, InputError, InputErrors};
use wasm_bindgen::prelude::*;

/// Reckons a task about the drawing whose text is `attached`.
///
/// # Errors
/// Where an answer cannot be handed over; none of ours is so.
pub(crate) fn reckon(
    task: &str,
    input: &JsValue,
    attached: &JsValue,
    teller: &Teller,
) -> Result<(), JsValue> {
    match task {
        "artwork" => artwork(input, attached, teller),
        _ => Ok(()),
    }
}

fn artwork(input: &JsValue, attached: &JsValue, teller: &Teller) -> Result<(), JsValue> {
    if attached.is_string() {
        return teller.say("report", input);
    }
    let missing = InputError::new(Code::Missing, "no drawing is open", "open an SVG file");
    teller.mistakes(&InputErrors::from(missing.at("svg")))
}
