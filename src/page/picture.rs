//! Pictures of the core as nodes of the page.
//!
//! A picture is handed over as a plain value, for it may come from another thread.

use super::dom::{Fault, Page};
pub(super) use crate::api::members::packed;
use js_sys::Array;
use wasm_bindgen::prelude::*;

const SVG: &str = "http://www.w3.org/2000/svg";

/// Builds the nodes of a picture; every text is set as text.
pub(super) fn build(page: &Page, packed: &JsValue) -> Result<web_sys::Element, Fault> {
    let packed = Array::from(packed);
    let tag = packed.get(0).as_string().unwrap_or_default();
    let element = page.document().create_element_ns(Some(SVG), &tag)?;
    let attributes = Array::from(&packed.get(1));
    for at in (0..attributes.length()).step_by(2) {
        let text = |at| attributes.get(at).as_string().unwrap_or_default();
        element.set_attribute(&text(at), &text(at + 1))?;
    }
    for at in 2..packed.length() {
        let child = packed.get(at);
        if let Some(text) = child.as_string() {
            element.append_child(&page.document().create_text_node(&text))?;
        } else {
            element.append_child(&*build(page, &child)?)?;
        }
    }
    Ok(element)
}
