//! The invented figures of the first visit: marked, counted, and replaced one after the other.

use super::dom::{Fault, Page};
use super::forms::Forms;
use std::cell::RefCell;
use web_sys::HtmlElement;

/// The note about invented figures.
pub(super) struct Invented {
    note: HtmlElement,
    /// The button that leads from one to the next while they are gone through.
    stepping: HtmlElement,
    /// What is said of the rows of stock, which come and go.
    shelf: HtmlElement,
    counts: Vec<HtmlElement>,
    names: Vec<String>,
    /// The field that was led to last.
    last: RefCell<String>,
}

impl Invented {
    pub(super) fn new(page: &Page) -> Result<Self, Fault> {
        let fields = page.all("[data-invented]");
        let names = fields
            .iter()
            .filter_map(|field| field.get_attribute("name"));
        Ok(Self {
            note: page.element("invented")?,
            stepping: page.element("stepping")?,
            shelf: page.element("invented-shelf")?,
            counts: page.all("[data-count=invented]"),
            names: names.collect(),
            last: RefCell::default(),
        })
    }

    /// The names of all fields that started with an invented figure.
    pub(super) fn names(&self) -> Vec<String> {
        let rows = std::iter::once("shelf".to_owned());
        self.names.iter().cloned().chain(rows).collect()
    }

    /// The names of all that still hold an invented figure, asked for or not.
    pub(super) fn still(&self, own: &[String]) -> Vec<String> {
        let mut names = self.names();
        let rows = own.iter().any(|name| is_stock(name));
        names.retain(|name| !(own.contains(name) || rows && is_stock(name)));
        names
    }

    /// The fields that are asked for now and still hold an invented figure.
    fn left<'a>(&'a self, forms: &'a Forms, own: &'a [String]) -> impl Iterator<Item = &'a String> {
        let left = |name: &&String| !own.contains(*name) && forms.is_asked(name);
        self.names.iter().filter(left)
    }

    /// Marks the fields that still hold an invented figure, and says how many there are.
    pub(super) fn mark(&self, forms: &Forms, own: &[String]) {
        for name in &self.names {
            if let Some(wrapper) = forms.wrapper(name) {
                // `toggle` fails for no class that is a single word.
                let _ = wrapper
                    .class_list()
                    .toggle_with_force("invented", !own.contains(name));
            }
        }
        let left = self.left(forms, own).count();
        self.shelf.set_hidden(own.iter().any(|name| is_stock(name)));
        self.note.set_hidden(left == 0);
        for count in &self.counts {
            count.set_text_content(Some(&format!("{left} left")));
        }
        if left == 0 {
            self.stepping.set_hidden(true);
        }
    }

    /// Leads to the next field that holds an invented figure, and after the last one to the first.
    pub(super) fn go_to_next(&self, forms: &Forms, own: &[String]) -> Result<(), Fault> {
        let last = self.last.borrow().clone();
        let after = self.names.iter().skip_while(|name| **name != last).skip(1);
        let next = after
            .filter(|name| self.left(forms, own).any(|left| left == *name))
            .chain(self.left(forms, own))
            .next();
        let Some(name) = next else {
            return Ok(());
        };
        self.last.borrow_mut().clone_from(name);
        forms.go_to(name)
    }
}

/// Whether a field stands in a row of stock.
pub(super) fn is_stock(name: &str) -> bool {
    name.starts_with("shelf") || name.starts_with("remnants")
}
