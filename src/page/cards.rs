//! The layouts of an order as cards: those that are new are built one after the other, in tasks of
//! their own, so that the page answers to its reader while a search goes on.
//!
//! A card comes as JSON text, by which it is told whether it has to be built anew at all. The rows of
//! its cut list are built when its details are opened.

use super::answers::Answers;
use super::dom::{Fault, Page, inside};
use js_sys::JSON;
use std::cell::{Cell, RefCell};
use wasm_bindgen::prelude::*;
use web_sys::{DocumentFragment, Element, HtmlTemplateElement};

/// So many milliseconds cards are built for before the browser may do other things.
const SLICE: f64 = 8.0;

/// The cards: those that are shown, and those that are to be.
#[derive(Default)]
pub(super) struct Cards {
    wanted: RefCell<Vec<String>>,
    shown: RefCell<Vec<(String, Element)>>,
    /// The first of those wanted that may not be shown yet.
    next: Cell<usize>,
    /// Which asking the cards are of.
    asked: Cell<u32>,
}

impl Cards {
    /// Takes these cards in place of those before, to be built by and by. All are built anew for
    /// another asking, for something may have been done with them.
    pub(super) fn take(&self, wanted: Vec<String>, asked: u32) {
        if self.asked.replace(asked) != asked {
            for (text, _) in self.shown.borrow_mut().iter_mut() {
                text.clear();
            }
        }
        self.wanted.replace(wanted);
        self.next.set(0);
    }

    /// Whether all of them, and no others, are shown.
    pub(super) fn are_done(&self) -> bool {
        let wanted = self.wanted.borrow().len();
        self.next.get() >= wanted && self.shown.borrow().len() == wanted
    }

    /// Builds those that are still to be shown: for a while, or `all` of them.
    pub(super) fn build(&self, page: &Page, answers: &Answers, all: bool) -> Result<(), Fault> {
        let start = js_sys::Date::now();
        let wanted = self.wanted.borrow();
        let mut shown = self.shown.borrow_mut();
        while let Some(text) = wanted.get(self.next.get()) {
            let place = self.next.get();
            let before = shown.get(place);
            if before.is_none_or(|(before, _)| before != text) {
                if !all && js_sys::Date::now() - start >= SLICE {
                    return Ok(());
                }
                let card = card(page, answers, text, before.map(|(_, card)| card))?;
                if let Some(place) = shown.get_mut(place) {
                    *place = (text.clone(), card);
                } else {
                    shown.push((text.clone(), card));
                }
            }
            self.next.set(place + 1);
        }
        while shown.len() > wanted.len() {
            if let Some((_, card)) = shown.pop() {
                card.remove();
            }
        }
        Ok(())
    }

    /// What the card around an element shows.
    pub(super) fn report_around(&self, element: &Element) -> Option<JsValue> {
        let shown = self.shown.borrow();
        let (text, _) = shown
            .iter()
            .find(|(_, card)| card.contains(Some(element)))?;
        JSON::parse(text).ok()
    }
}

/// A card in the place of the one before, with the same details open, or behind all others.
fn card(
    page: &Page,
    answers: &Answers,
    text: &str,
    before: Option<&Element>,
) -> Result<Element, Fault> {
    let template: HtmlTemplateElement = page.element("order-card")?;
    let copy = template.content().clone_node_with_deep(true)?;
    let copy: DocumentFragment = copy.unchecked_into();
    let card = copy
        .first_element_child()
        .ok_or_else(|| Fault::missing("card"))?;
    if let Some(before) = before {
        let details = inside(before, "details");
        for (before, details) in details.iter().zip(inside(&card, "details")) {
            if before.has_attribute("open") {
                details.set_attribute("open", "")?;
            }
        }
    }
    answers.fill(page, &card, &JSON::parse(text)?)?;
    match (before, template.parent_node()) {
        (Some(before), _) => before.replace_with_with_node_1(&card)?,
        (None, Some(parent)) => {
            parent.append_child(&card)?;
        }
        (None, None) => {}
    }
    Ok(card)
}
