//! Plain values as JavaScript has them.

use super::reader::{Kind, Plain};
use js_sys::{Array, Reflect};
use wasm_bindgen::prelude::*;

/// More items than any input has (an order has ten thousand pieces at most, and fewer lines): a list of
/// a length that somebody made up is not walked.
const MOST_ITEMS: f64 = 100_000.0;

#[wasm_bindgen]
extern "C" {
    /// What a value says it is, whatever it was made from: `[object Array]`.
    #[wasm_bindgen(catch, js_namespace = ["Object", "prototype", "toString"], js_name = call)]
    fn tag(of: &JsValue) -> Result<String, JsValue>;

    /// The names and values of an object's own members that are seen in JSON.
    #[wasm_bindgen(catch, js_namespace = Object, js_name = entries)]
    fn entries(of: &JsValue) -> Result<Array, JsValue>;
}

impl Plain for JsValue {
    fn is_nothing(&self) -> bool {
        self.is_null() || self.is_undefined()
    }

    fn open(self) -> Kind<Self> {
        if let Some(text) = self.as_string() {
            Kind::Text(text)
        } else if let Some(number) = self.as_f64() {
            Kind::Number(number)
        } else if let Some(truth) = self.as_bool() {
            Kind::Truth(truth)
        } else {
            // A member may be a function that throws when it is asked.
            opened(&self).unwrap_or(Kind::Other)
        }
    }
}

/// What a value is that is no text, number or truth.
fn opened(value: &JsValue) -> Result<Kind<JsValue>, JsValue> {
    Ok(match tag(value)?.as_str() {
        "[object Object]" => Kind::Object(
            entries(value)?
                .iter()
                .filter_map(|entry| {
                    let entry = Array::from(&entry);
                    let (name, value) = (entry.get(0).as_string()?, entry.get(1));
                    (!value.is_undefined()).then_some((name, value))
                })
                .collect(),
        ),
        "[object Array]" => {
            let length = Reflect::get(value, &"length".into())?.as_f64();
            let Some(length) = length.filter(|length| *length <= MOST_ITEMS) else {
                return Ok(Kind::Other);
            };
            #[expect(
                clippy::cast_possible_truncation,
                clippy::cast_sign_loss,
                reason = "the length of a list is a whole number, and small here"
            )]
            let length = length as u32;
            let items: Result<_, _> = (0..length).map(|at| Reflect::get_u32(value, at)).collect();
            Kind::List(items?)
        }
        _ => Kind::Other,
    })
}
