//! Members of plain objects by their paths, and pictures as plain values.
//!
//! A picture is a list of the element's name, a list of its attributes' names and values, and its
//! children, of which a text is a text.

use crate::drawing::{Element, Node};
use js_sys::{Array, Reflect};
use wasm_bindgen::prelude::*;

/// The member of that very name; `undefined` where there is none.
#[cfg(any(
    feature = "page",
    feature = "desk",
    feature = "light-table",
    feature = "counter"
))]
pub(crate) fn at_name(of: &JsValue, name: &str) -> JsValue {
    // Asking fails only of what is no object.
    Reflect::get(of, &name.into()).unwrap_or_default()
}

/// Sets the member of that very name.
pub(crate) fn put_at_name(of: &JsValue, name: &str, value: &JsValue) {
    // Setting fails only on what is no object or is frozen; all of these are ours.
    let _ = Reflect::set(of, &name.into(), value);
}

/// The member at a path such as `recommended.distance.text`; the whole for an empty path.
#[cfg(any(
    feature = "page",
    feature = "desk",
    feature = "light-table",
    feature = "counter"
))]
pub(crate) fn at(of: &JsValue, path: &str) -> JsValue {
    path.split('.')
        .filter(|name| !name.is_empty())
        .fold(of.clone(), |of, name| at_name(&of, name))
}

/// The picture as a plain value.
pub(crate) fn packed(picture: &Element) -> JsValue {
    let attributes = picture.attributes.iter();
    let attributes = attributes.flat_map(|(name, value)| [JsValue::from(*name), value.into()]);
    let packed = Array::of2(&picture.tag.into(), &attributes.collect::<Array>());
    for child in &picture.children {
        packed.push(&match child {
            Node::Element(child) => self::packed(child),
            Node::Text(text) => text.into(),
        });
    }
    packed.into()
}
