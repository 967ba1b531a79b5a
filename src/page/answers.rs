//! The answers: from reports to the places that ask for them.
//!
//! Inside of an element with `data-answer` a place names the member of the report that it shows:
//! `data-slot` as text, `data-link` as the address of a link, `data-money` as an amount, `data-draw` as
//! a picture, `data-rows` on a template as one row an item, in which there may be rows again; those in
//! details with `data-later` are made when these are opened. `data-key` keeps the member as the
//! element's value, for a button to find. `data-if` shows a part only where the member is there and true,
//! `data-unless` only where it is not. `data-picture` holds the subject's picture.

use super::dom::{Fault, Page, inside};
use super::members::{at, at_name, put_at_name, text_at};
use super::picture;
use super::subjects::Answered;
use crate::measure::decimals;
use js_sys::Array;
use std::cell::RefCell;
use wasm_bindgen::prelude::*;
use web_sys::{DocumentFragment, Element, HtmlElement, HtmlTemplateElement};

/// The places, and the way in which amounts are written.
#[derive(Default)]
pub(super) struct Answers {
    money: RefCell<Option<Money>>,
}

/// Writes amounts of one currency as the page's language does.
struct Money {
    currency: String,
    format: js_sys::Function,
}

impl Answers {
    /// Puts a report into the places that ask for it.
    pub(super) fn show(&self, page: &Page, subject: &Answered) -> Result<(), Fault> {
        self.report(page, subject.name, &subject.report)?;
        let Some(picture) = &subject.picture else {
            return Ok(());
        };
        for place in page.all(&format!("[data-picture='{}']", subject.name)) {
            place.set_text_content(None);
            let picture = picture::packed(picture);
            place.append_child(&*picture::build(page, &picture)?)?;
        }
        Ok(())
    }

    /// The same for a report without a picture of its own.
    pub(super) fn report(&self, page: &Page, name: &str, report: &JsValue) -> Result<(), Fault> {
        self.use_currency(page, report);
        for place in page.all(&format!("[data-answer='{name}']")) {
            self.fill(page, &place, report)?;
            place.remove_attribute("data-empty")?;
        }
        Ok(())
    }

    /// Marks an answer as one that is being renewed.
    pub(super) fn wait(page: &Page, name: &str) -> Result<(), Fault> {
        for place in page.all(&format!("[data-answer='{name}']")) {
            place.set_attribute("data-waiting", "")?;
        }
        Ok(())
    }

    /// Marks the answers that could not be renewed as the last good ones.
    pub(super) fn age(page: &Page, subjects: &[(&str, bool)]) -> Result<(), Fault> {
        for (name, old) in subjects {
            for place in page.all(&format!("[data-answer='{name}']")) {
                place.remove_attribute("data-waiting")?;
                if *old {
                    place.set_attribute("data-old", "")?;
                } else {
                    place.remove_attribute("data-old")?;
                }
            }
        }
        Ok(())
    }

    /// Says what is to be mended and the three answers to those who listen rather than look.
    pub(super) fn say(page: &Page) -> Result<(), Fault> {
        // Only what can be seen of it. To ask the browser what it shows would have it lay out the page at once.
        let seen = "#errors li,#answers a>:not([hidden],.old),#answers [data-old]>.old";
        let mut said = String::new();
        for piece in page.all(seen) {
            let text = piece.text_content().unwrap_or_default();
            let text = text.trim();
            if text.is_empty() {
                continue;
            }
            if !said.is_empty() {
                // Each mistake, and each answer, which begins with its figure.
                said += if piece.matches("li,b")? { "; " } else { " " };
            }
            said += text;
        }
        let place: HtmlElement = page.element("spoken")?;
        if place.text_content().as_deref() != Some(&said) {
            place.set_text_content(Some(&said));
        }
        Ok(())
    }

    fn use_currency(&self, page: &Page, report: &JsValue) {
        let (Some(currency), Some(decimals)) = (
            text_at(report, "currency"),
            at_name(report, "decimals").as_f64(),
        ) else {
            return;
        };
        let mut money = self.money.borrow_mut();
        if money
            .as_ref()
            .is_none_or(|money| money.currency != currency)
        {
            *money = Some(Money::new(&page.language(), currency, decimals));
        }
    }

    fn money(&self, amount: &JsValue) -> String {
        let Some(amount) = amount.as_string() else {
            return String::new();
        };
        let money = self.money.borrow();
        let formatted = money.as_ref().and_then(|money| money.text(&amount));
        formatted.unwrap_or(amount)
    }

    /// Puts a report, or a part of one, into a place and all that is in it.
    pub(super) fn fill(&self, page: &Page, place: &Element, report: &JsValue) -> Result<(), Fault> {
        for row in inside(place, "[data-row]") {
            row.remove();
        }
        self.fill_slots(page, place, report)?;
        for template in inside(place, "template[data-rows]") {
            let rows = template.get_attribute("data-rows").unwrap_or_default();
            let Some(template) = template.dyn_ref::<HtmlTemplateElement>() else {
                continue;
            };
            let Some(parent) = template.parent_node() else {
                continue;
            };
            // The rows stand where their template does.
            let behind = template.next_sibling();
            let items = at(report, &rows);
            let later = template.closest("details[data-later]:not([open])")?;
            // What is not there, such as a second sheet, has no rows.
            if later.is_some() || !Array::is_array(&items) {
                continue;
            }
            for item in Array::from(&items).iter() {
                let copy: DocumentFragment = template
                    .content()
                    .clone_node_with_deep(true)?
                    .unchecked_into();
                if let Some(row) = copy.first_element_child() {
                    row.set_attribute("data-row", "")?;
                    self.fill(page, &row, &item)?;
                }
                parent.insert_before(&copy, behind.as_ref())?;
            }
        }
        Ok(())
    }

    fn fill_slots(&self, page: &Page, place: &Element, report: &JsValue) -> Result<(), Fault> {
        // One kind after the other: to ask every place for every kind asks the browser more often.
        for kind in ["slot", "link", "money", "draw", "key", "if", "unless"] {
            let attribute = format!("data-{kind}");
            let own = place.dyn_ref::<HtmlElement>().cloned();
            let all = inside(place, &format!("[{attribute}]"));
            for slot in own.into_iter().chain(all) {
                let Some(path) = slot.get_attribute(&attribute) else {
                    continue;
                };
                let value = at(report, &path);
                match kind {
                    "slot" => slot.set_text_content(Some(&text(&value))),
                    // Without an address it is a text like others.
                    "link" => match value.as_string() {
                        Some(address) => slot.set_attribute("href", &address)?,
                        None => slot.remove_attribute("href")?,
                    },
                    "money" => {
                        let amount = self.money(&value);
                        // A long amount is set smaller in the bar, rather than cut off.
                        let long = amount.chars().count() > 8;
                        let _ = slot.toggle_attribute_with_force("data-long", long);
                        slot.set_text_content(Some(&amount));
                    }
                    "draw" => {
                        slot.set_text_content(None);
                        if Array::is_array(&value) {
                            slot.append_child(&*picture::build(page, &value)?)?;
                        }
                    }
                    "key" => slot.set_attribute("value", &text(&value))?,
                    "if" => slot.set_hidden(!says_yes(&value)),
                    _ => slot.set_hidden(says_yes(&value)),
                }
            }
        }
        Ok(())
    }
}

impl Money {
    fn new(language: &str, currency: String, decimals: f64) -> Self {
        let options = js_sys::Object::new();
        let set = |name: &str, value: JsValue| put_at_name(&options, name, &value);
        set("style", "currency".into());
        set("currency", currency.as_str().into());
        set("currencyDisplay", "narrowSymbol".into());
        // The standard's decimals, which a browser's own tables do not always follow; more where a
        // report tells them, as for a piece of a large pack.
        set("minimumFractionDigits", decimals.into());
        set("maximumFractionDigits", decimals.max(4.0).into());
        let format =
            js_sys::Intl::NumberFormat::new(&Array::of1(&language.into()), &options).format();
        Self { currency, format }
    }

    /// The amount goes in as text: as a number it would lose its last digits.
    fn text(&self, amount: &str) -> Option<String> {
        let formatted = self
            .format
            .call1(&JsValue::UNDEFINED, &amount.into())
            .ok()?;
        formatted.as_string()
    }
}

/// What a place shows of a member.
fn text(value: &JsValue) -> String {
    value
        .as_string()
        .or_else(|| value.as_f64().map(|number| decimals(number, 3)))
        .unwrap_or_default()
}

/// Whether a part that depends on a member is shown: not where it is nothing, no, or empty.
fn says_yes(value: &JsValue) -> bool {
    if Array::is_array(value) {
        return Array::from(value).length() > 0;
    }
    value.is_truthy()
}
