//! The invented figures of the first visit: marked, counted, and replaced one after the other.

use super::dom::{Fault, Page};
use super::forms::Forms;
use say::say;
use std::cell::RefCell;
use web_sys::HtmlElement;

/// The note about invented figures.
pub(super) struct Invented {
    note: HtmlElement,
    /// The button that leads from one to the next while they are gone through.
    stepping: HtmlElement,
    /// What is said of rows, which come and go, and with what the names of their fields begin: the
    /// attribute `data-invented-rows` lists it.
    rows: Vec<(HtmlElement, Vec<String>)>,
    counts: Vec<HtmlElement>,
    /// What is said while there are any among those whose names begin as `data-invented-in` lists.
    within: Vec<(HtmlElement, Vec<String>)>,
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
            rows: said_of(page, "data-invented-rows"),
            within: said_of(page, "data-invented-in"),
            counts: page.all("[data-count=invented]"),
            names: names.collect(),
            last: RefCell::default(),
        })
    }

    /// The names of all fields that started with an invented figure.
    pub(super) fn names(&self) -> Vec<String> {
        let rows = self.rows.iter().filter_map(|(_, begin)| begin.first());
        self.names.iter().chain(rows).cloned().collect()
    }

    /// The names of all that still hold an invented figure, asked for or not.
    pub(super) fn still(&self, own: &[String]) -> Vec<String> {
        let mut names = self.names();
        names.retain(|name| {
            let rows = self.rows.iter().find(|(_, begin)| begin.contains(name));
            !(own.contains(name) || rows.is_some_and(|(_, begin)| is_any_of(begin, own)))
        });
        names
    }

    /// Whether a figure is among those of a book that are still invented.
    pub(super) fn is_invented(&self, name: &str, left: &[String]) -> bool {
        let in_rows = |begin: &[String]| {
            begin.iter().any(|begin| name.starts_with(begin.as_str()))
                && begin.iter().any(|begin| left.contains(begin))
        };
        left.iter().any(|left| left == name) || self.rows.iter().any(|(_, begin)| in_rows(begin))
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
        let mut still: Vec<String> = self.left(forms, own).cloned().collect();
        for (said, begin) in &self.rows {
            let own = is_any_of(begin, own);
            said.set_hidden(own);
            still.extend(begin.first().filter(|_| !own).cloned());
        }
        for (said, begin) in &self.within {
            said.set_hidden(!is_any_of(begin, &still));
        }
        self.note.set_hidden(left == 0);
        for count in &self.counts {
            let left = say!(left; "{left} left", "{left} left");
            count.set_text_content(Some(&left));
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

/// What is said of names, each with how they begin, as this attribute lists it.
fn said_of(page: &Page, attribute: &str) -> Vec<(HtmlElement, Vec<String>)> {
    let said = page.all(&format!("[{attribute}]")).into_iter();
    let said = said.map(|said| {
        let begin = said.get_attribute(attribute).unwrap_or_default();
        let begin = begin.split_whitespace().map(ToOwned::to_owned);
        (said, begin.collect())
    });
    said.collect()
}

/// Whether a name among these begins so.
fn is_any_of(begin: &[String], names: &[String]) -> bool {
    let begins = |name: &String| begin.iter().any(|begin| name.starts_with(begin.as_str()));
    names.iter().any(begins)
}
