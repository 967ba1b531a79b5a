//! What the page's workers call, and the customers' page, for each part that is a module for itself: in a
//! module stands the part whose feature it was built with.

use crate::api::tell::Teller;
use js_sys::Function;
use wasm_bindgen::prelude::*;

/// Reckons a task and tells what it finds, the last time with all that was found. What is told is an
/// object with `report`, `errors` or `share`, how much of the search is done. `attached` is what is too
/// large to be part of the input: the text of a drawing; for the customers' page it is a picture in words.
///
/// # Errors
/// Where an answer cannot be handed over; none of ours is so.
#[wasm_bindgen(skip_typescript)]
#[cfg_attr(
    not(any(feature = "light-table", feature = "shop")),
    expect(unused_variables, reason = "only drawings and labels are attached")
)]
pub fn reckon(
    task: &str,
    input: &JsValue,
    attached: &JsValue,
    tell: &Function,
) -> Result<(), JsValue> {
    let teller = Teller(tell);
    #[cfg(feature = "desk")]
    crate::desk::reckon(task, input, &teller)?;
    #[cfg(feature = "light-table")]
    crate::light_table::reckon(task, input, attached, &teller)?;
    #[cfg(feature = "counter")]
    crate::counter::reckon(task, input, &teller)?;
    #[cfg(feature = "shop")]
    crate::shop::reckon(task, input, attached, &teller)?;
    Ok(())
}
