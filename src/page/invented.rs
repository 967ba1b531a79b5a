//! The invented figures of the first visit: marked, counted, and replaced one after the other.

use super::dom::{Fault, Page};
use super::forms::Forms;
use std::cell::RefCell;
use web_sys::HtmlElement;

/// The note about invented figures.
pub(super) struct Invented {
    note: HtmlElement,
    count: HtmlElement,
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
            count: page.element("invented-count")?,
            names: names.collect(),
            last: RefCell::default(),
        })
    }

    /// The names of all fields that started with an invented figure.
    pub(super) fn names(&self) -> Vec<String> {
        self.names.clone()
    }

    fn left<'a>(&'a self, own: &'a [String]) -> impl Iterator<Item = &'a String> {
        self.names.iter().filter(|name| !own.contains(*name))
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
        let left = self.left(own).count();
        self.note.set_hidden(left == 0);
        self.count.set_text_content(Some(&format!("{left} left")));
    }

    /// Leads to the next field that holds an invented figure, and after the last one to the first.
    pub(super) fn go_to_next(&self, forms: &Forms, own: &[String]) -> Result<(), Fault> {
        let last = self.last.borrow().clone();
        let after = self.names.iter().skip_while(|name| **name != last).skip(1);
        let next = after
            .filter(|name| !own.contains(*name))
            .chain(self.left(own))
            .next();
        let Some(name) = next else {
            return Ok(());
        };
        self.last.borrow_mut().clone_from(name);
        forms.go_to(name)
    }
}
