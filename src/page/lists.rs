//! Rows of fields that the person adds and removes: the films on the shelf, the remnants.
//!
//! An element with `data-list` holds them and a template for one of them, in whose attributes `[#]`
//! stands for the row's place: the field `shelf[#].width` of the second row is `shelf[1].width`.
//! `data-start` holds the rows of the first visit. How many rows there are is kept under the list's
//! own name beside what is typed in them.

use super::dom::{Fault, Page};
use super::members::{at_name, put_at_name, text_at};
use js_sys::{Array, JSON, Object};
use wasm_bindgen::JsCast;
use wasm_bindgen::prelude::*;
use web_sys::{DocumentFragment, HtmlElement, HtmlTemplateElement};

/// More rows than anybody has films or remnants.
const MOST: usize = 200;

/// One list with its rows.
pub(super) struct List {
    pub name: String,
    place: HtmlElement,
    template: HtmlTemplateElement,
    start: Array,
}

impl List {
    /// All lists of the page.
    pub(super) fn all(page: &Page) -> Vec<Self> {
        let places = page.all("[data-list]");
        let lists = places.into_iter().filter_map(|place| {
            let template = place.query_selector(":scope > template").ok()??;
            let start = place.get_attribute("data-start").unwrap_or_default();
            Some(Self {
                name: place.get_attribute("data-list")?,
                template: template.dyn_into().ok()?,
                start: JSON::parse(&start)
                    .map_or_else(|_| Array::new(), |start| Array::from(&start)),
                place,
            })
        });
        lists.collect()
    }

    /// How many rows there are.
    pub(super) fn rows(&self) -> usize {
        self.place.child_element_count() as usize - 1
    }

    /// How many rows there have to be for what is typed.
    pub(super) fn rows_for(&self, typed: &JsValue) -> usize {
        let rows = text_at(typed, &self.name).and_then(|rows| rows.parse().ok());
        rows.unwrap_or(self.start.length() as usize).min(MOST)
    }

    /// What is typed, with the rows of the first visit where it says nothing of this list.
    pub(super) fn started(&self, typed: &JsValue) {
        if text_at(typed, &self.name).is_some() {
            return;
        }
        for (place, row) in self.start.iter().enumerate() {
            for member in Object::keys(&Object::from(row.clone())).iter() {
                let member = member.as_string().unwrap_or_default();
                let name = format!("{}[{place}].{member}", self.name);
                put_at_name(typed, &name, &at_name(&row, &member));
            }
        }
    }

    /// Adds or removes rows at the end until there are so many; says whether any changed.
    pub(super) fn set_rows(&self, count: usize) -> Result<bool, Fault> {
        let before = self.rows();
        for _ in count..before {
            if let Some(row) = self.place.last_element_child() {
                row.remove();
            }
        }
        for place in before..count.min(MOST) {
            let copy = self.template.content().clone_node_with_deep(true)?;
            let copy: DocumentFragment = copy.unchecked_into();
            number(&copy, place)?;
            self.place.append_child(&copy)?;
        }
        Ok(before != count)
    }

    /// The same texts with one row taken out and those behind it moved up.
    pub(super) fn without(&self, typed: &Object, place: usize) -> Object {
        let kept = Object::new();
        for name in Object::keys(typed).iter() {
            let Some(name) = name.as_string() else {
                continue;
            };
            let value = at_name(typed, &name);
            let moved = match self.row_of(&name) {
                Some((row, _)) if row == place => continue,
                Some((row, rest)) if row > place => format!("{}[{}{rest}", self.name, row - 1),
                _ => name,
            };
            put_at_name(&kept, &moved, &value);
        }
        let rows = self.rows_for(typed).saturating_sub(1);
        put_at_name(&kept, &self.name, &rows.to_string().into());
        kept
    }

    /// The row that a field stands in, and the rest of its name from the closing bracket.
    fn row_of<'a>(&self, name: &'a str) -> Option<(usize, &'a str)> {
        let rest = name.strip_prefix(&self.name)?.strip_prefix('[')?;
        let (row, behind) = rest.split_at_checked(rest.find(']')?)?;
        Some((row.parse().ok()?, behind))
    }
}

/// Writes a row's place into every attribute that asks for it, and its number for people.
fn number(row: &DocumentFragment, place: usize) -> Result<(), Fault> {
    let all = row.query_selector_all("*")?;
    for element in (0..all.length()).filter_map(|at| all.item(at)) {
        let element: web_sys::Element = element.unchecked_into();
        let attributes = element.attributes();
        for attribute in (0..attributes.length()).filter_map(|at| attributes.item(at)) {
            let value = attribute.value();
            let mut pieces = value.split('#');
            let mut numbered = pieces.next().unwrap_or_default().to_owned();
            for piece in pieces {
                if numbered.ends_with('[') {
                    numbered += &place.to_string();
                } else {
                    numbered.push('#');
                }
                numbered += piece;
            }
            if numbered != value {
                attribute.set_value(&numbered);
            }
        }
        if element.has_attribute("data-number") {
            element.set_text_content(Some(&(place + 1).to_string()));
        }
    }
    Ok(())
}
