//! How a worker tells what it finds.

use super::members::put_at_name;
use super::write;
use crate::error::InputErrors;
use js_sys::{Function, Object};
use wasm_bindgen::JsValue;

/// Tells the page what is found, once or again and again.
pub(crate) struct Teller<'a>(pub &'a Function);

impl Teller<'_> {
    /// Tells of one thing by its name.
    pub(crate) fn say(&self, what: &str, value: &JsValue) -> Result<(), JsValue> {
        let said = Object::new();
        put_at_name(&said, what, value);
        self.tell(&said)
    }

    /// Tells what is wrong with the input.
    pub(crate) fn mistakes(&self, errors: &InputErrors) -> Result<(), JsValue> {
        self.say("errors", &list(errors)?)
    }

    /// Tells an object.
    pub(crate) fn tell(&self, said: &JsValue) -> Result<(), JsValue> {
        self.0.call1(&JsValue::UNDEFINED, said)?;
        Ok(())
    }
}

/// Mistakes as a plain list.
pub(crate) fn list(errors: &InputErrors) -> Result<JsValue, JsValue> {
    let list: Vec<_> = errors.iter().collect();
    Ok(write(&list)?)
}
