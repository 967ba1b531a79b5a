//! Members of plain objects by their paths.

pub(super) use crate::api::members::{at, at_name, put_at_name};
use crate::book::Figures;
use js_sys::{Array, Object};
use wasm_bindgen::prelude::*;

/// The text of that very name.
pub(super) fn text_at(of: &JsValue, name: &str) -> Option<String> {
    at_name(of, name).as_string()
}

/// Sets the member at a path such as `material.pieces[0].width`, making what is missing on the way.
pub(super) fn put(of: &Object, path: &str, value: &JsValue) {
    let mut place: JsValue = of.into();
    let mut steps = path.split(['.', '[']).peekable();
    while let Some(step) = steps.next() {
        let step = step.trim_end_matches(']');
        let Some(next) = steps.peek() else {
            put_at_name(&place, step, value);
            return;
        };
        let mut inner = at_name(&place, step);
        if inner.is_undefined() {
            inner = if next.ends_with(']') {
                Array::new().into()
            } else {
                Object::new().into()
            };
            put_at_name(&place, step, &inner);
        }
        place = inner;
    }
}

/// The texts of an object by their names.
pub(super) fn figures_of(object: &JsValue) -> Figures {
    let names = Object::keys(object.unchecked_ref::<Object>());
    let figures = names.iter().filter_map(|name| {
        let name = name.as_string()?;
        let text = text_at(object, &name)?;
        Some((name, text))
    });
    figures.collect()
}

/// An object with these texts under their names.
pub(super) fn object_of(figures: &Figures) -> Object {
    let object = Object::new();
    for (name, text) in figures {
        put_at_name(&object, name, &text.as_str().into());
    }
    object
}
