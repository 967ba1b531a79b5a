//! The currencies that the browser knows, offered for choice.

use super::dom::{Fault, Page};
use wasm_bindgen::prelude::*;
use web_sys::Element;

#[wasm_bindgen]
extern "C" {
    /// ECMA-402, `Intl.supportedValuesOf`; not in every browser.
    #[wasm_bindgen(catch, js_namespace = Intl, js_name = supportedValuesOf)]
    fn supported_values_of(key: &str) -> Result<js_sys::Array, JsValue>;
}

/// Adds every currency that the browser knows to the select, with its name in the browser's language.
pub(super) fn offer(page: &Page) -> Result<(), Fault> {
    // Where the browser cannot list them, the one in the document stays.
    let Ok(codes) = supported_values_of("currency") else {
        return Ok(());
    };
    let select: Element = page.element("currency")?;
    let options = js_sys::Object::new();
    js_sys::Reflect::set(&options, &"type".into(), &"currency".into())?;
    let names = js_sys::Intl::DisplayNames::new(&js_sys::Array::new(), &options);
    let chosen = "USD";
    for code in codes.iter().filter_map(|code| code.as_string()) {
        if code == chosen {
            continue;
        }
        let option = page.document().create_element("option")?;
        option.set_attribute("value", &code)?;
        let name = names.of(&code).map_or_else(String::new, String::from);
        option.set_text_content(Some(&format!("{code} {name}")));
        select.append_child(&option)?;
    }
    Ok(())
}
