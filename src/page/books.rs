//! The shop books: several on this device, each saved to a file and read back.
//!
//! What is typed in the open one is kept with all other fields ([`super::store`]); a moment after a change
//! it is also kept as a book, in the browser's other store, which `public/books.js` asks.

use super::App;
use super::dom::Fault;
use super::forms::sentence;
use super::members::{at_name, figures_of, object_of, put_at_name, text_at};
use super::subjects::today;
use crate::book::{self, Book};
use crate::error::InputError;
use crate::measure::Unit;
use js_sys::{Array, Date, Function, Object};
use say::say;
use std::cell::{Cell, RefCell};
use std::rc::Weak;
use wasm_bindgen::prelude::*;
use web_sys::{HtmlInputElement, HtmlSelectElement};

/// So many milliseconds after a change the open book is kept.
const PAUSE: i32 = 800;

const NAME: &str = "book.name";

/// The books that the browser keeps.
pub(super) struct Books {
    ask: Function,
    heard: JsValue,
    /// What the section shows: among others `books`, each a record with its `id`, the `text` of its file
    /// as it is now, as it was when it was `filed` last, and at the last moment of `quiet` from when on a
    /// reminder counts.
    report: Object,
    /// The id that the open book gets when it is kept for the first time.
    fresh: RefCell<String>,
    /// Which change of the fields it is.
    change: Cell<u32>,
}

impl Books {
    pub(super) fn new(ask: Function, app: Weak<App>) -> Self {
        let heard = Closure::<dyn Fn(JsValue) -> Result<(), JsValue>>::new(move |said: JsValue| {
            let heard = app.upgrade().map(|app| {
                if text_at(&said, "id").as_deref() == Some(super::artwork::KEPT) {
                    app.heard_of_drawing(&said)
                } else {
                    app.heard_of_books(&said)
                }
            });
            heard.unwrap_or(Ok(())).map_err(JsValue::from)
        });
        let report = Object::new();
        put_at_name(&report, "books", &Array::new());
        Self {
            ask,
            heard: heard.into_js_value(),
            report,
            fresh: RefCell::default(),
            change: Cell::default(),
        }
    }

    fn put(&self, name: &str, value: impl Into<JsValue>) {
        put_at_name(&self.report, name, &value.into());
    }

    /// The record of that id; `undefined` where there is none.
    fn record(&self, id: &str) -> JsValue {
        let books = Array::from(&at_name(&self.report, "books"));
        let found = books
            .iter()
            .find(|book| text_at(book, "id").as_deref() == Some(id));
        found.unwrap_or_default()
    }

    /// Counts a change: what was to be kept of those before is not kept any more by itself.
    pub(super) fn changed(&self) -> u32 {
        let change = self.change.get().wrapping_add(1);
        self.change.set(change);
        change
    }
}

/// How many days ago that day was; none where it is no day, and without end where it lies ahead, as after a
/// clock that was wrong. A day ahead is today in another time zone.
fn days_since(day: &str) -> u32 {
    let days = (Date::parse(&today()) - Date::parse(day)) / 86_400_000.0;
    if days < -1.0 {
        return u32::MAX;
    }
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "what is no number or lies a day ahead counts as today"
    )]
    let days = days as u32;
    days
}

/// The book in a member of a record.
fn book_at(record: &JsValue, name: &str) -> Option<Book> {
    book::read(&text_at(record, name)?).ok()
}

impl App {
    /// The open book as it stands in the fields.
    fn open_book(&self) -> Book {
        let store = self.store.borrow();
        let mut book = Book {
            saved: today(),
            figures: figures_of(&self.forms.typed()),
            invented: self.invented.still(store.own()),
            others: Vec::new(),
        };
        book.figures.retain(|(name, _)| book::is_figure(name));
        book.invented.retain(|name| book::is_figure(name));
        book
    }

    /// Asks the browser's store; what `next` says is done when it has answered.
    pub(super) fn ask_for_books(
        &self,
        act: &str,
        id: &str,
        next: &str,
        record: &JsValue,
    ) -> Result<(), Fault> {
        let words = Array::of5(
            &act.into(),
            &id.into(),
            record,
            &next.into(),
            &self.books.heard,
        );
        self.books.ask.apply(&JsValue::UNDEFINED, &words)?;
        Ok(())
    }

    /// Keeps the open book a moment after the last change.
    pub(super) fn keep_book_later(&self) -> Result<(), Fault> {
        let change = self.books.changed();
        let app = self.this.clone();
        let later = Closure::once_into_js(move || {
            let app = app.upgrade().filter(|app| app.books.change.get() == change);
            let kept = app.map(|app| app.keep_book("", &[], ""));
            kept.unwrap_or(Ok(())).map_err(JsValue::from)
        });
        let window = self.page.window();
        window
            .set_timeout_with_callback_and_timeout_and_arguments_0(later.unchecked_ref(), PAUSE)?;
        Ok(())
    }

    /// Keeps the open book, once it has figures of the maker's own, and these members of its record with
    /// it; then does what comes `next`.
    pub(super) fn keep_book(&self, next: &str, members: &[&str], text: &str) -> Result<(), Fault> {
        let store = self.store.borrow();
        if store.newer() {
            return Ok(());
        }
        let id = store.book().to_owned();
        let is_new = id.is_empty();
        let is_own = store.own().iter().any(|name| book::is_typed(name));
        drop(store);
        if is_new && !is_own && members.is_empty() {
            // Nobody misses invented figures.
            return match next {
                "" => Ok(()),
                next => self.ask_for_books("list", "", next, &JsValue::NULL),
            };
        }
        let now = self.open_book().to_json();
        let known = self.books.record(&id);
        if next.is_empty() && members.is_empty() && text_at(&known, "text").as_ref() == Some(&now) {
            return Ok(());
        }
        let record = Object::new();
        put_at_name(&record, "text", &now.as_str().into());
        if is_new {
            put_at_name(&record, "quiet", &now.into());
        }
        for member in members {
            put_at_name(&record, member, &text.into());
        }
        if !is_new {
            return self.ask_for_books("save", &id, next, &record);
        }
        let fresh = {
            let mut fresh = self.books.fresh.borrow_mut();
            if fresh.is_empty() {
                *fresh = Date::new_0().to_iso_string().into();
            }
            fresh.clone()
        };
        self.ask_for_books("add", &fresh, next, &record)
    }

    /// Keeps the open book even where it was deleted.
    pub(super) fn keep_book_again(&self) -> Result<(), Fault> {
        self.books.put("said", "");
        let id = self.store.borrow().book().to_owned();
        if id.is_empty() || !self.books.record(&id).is_undefined() {
            return self.keep_book("", &[], "");
        }
        let record = Object::new();
        let now: JsValue = self.open_book().to_json().into();
        put_at_name(&record, "text", &now);
        put_at_name(&record, "quiet", &now);
        self.ask_for_books("add", &id, "", &record)
    }

    /// Hears what the browser's store tells.
    fn heard_of_books(&self, said: &JsValue) -> Result<(), Fault> {
        let told = |name: &str| text_at(said, name).unwrap_or_default();
        let refused = told("refused");
        self.books.put("refused", !refused.is_empty());
        self.books.put("full", refused == "QuotaExceededError");
        if !refused.is_empty() {
            return self.show_books();
        }
        self.books.put("books", at_name(said, "books"));
        let act = told("act");
        let gone = at_name(said, "gone").is_truthy() && told("id") == self.store.borrow().book();
        self.books.put("gone", gone);
        if act == "add" && *self.books.fresh.borrow() == told("id") {
            self.books.fresh.borrow_mut().clear();
            self.store.borrow_mut().now_in_book(told("id"));
        }
        let next = told("next");
        let (next, what) = next.split_once(' ').unwrap_or((&next, ""));
        let id = self.store.borrow().book().to_owned();
        let now = self.books.record(&id);
        let now = text_at(&now, "text").unwrap_or_default();
        if next == "open" && !gone && !now.is_empty() && now != self.open_book().to_json() {
            // Something was typed meanwhile.
            return self.keep_book(&told("next"), &[], "");
        }
        match next {
            "open" => {
                let text = text_at(&self.books.record(what), "text").unwrap_or_default();
                match book::read(&text) {
                    Ok(book) => {
                        self.put_aside()?;
                        self.show_book(what, &book)?;
                        self.books
                            .put("said", say!("{book} is open.", book = book.name()));
                    }
                    Err(error) => self.books.put("said", sentence(&error)),
                }
            }
            "copy" => {
                self.store.borrow_mut().now_in_book(String::new());
                self.forms.set(NAME, what);
                self.store.borrow_mut().now_own(NAME.to_owned());
                self.settled()?;
                self.keep_book("", &[], "")?;
            }
            "invent" => {
                self.put_aside()?;
                let book = Book {
                    figures: vec![(NAME.to_owned(), what.to_owned())],
                    ..Book::default()
                };
                self.show_book("", &book)?;
                self.keep_book("", &[], "")?;
            }
            "deleted" => {
                self.put_aside()?;
                let books = Array::from(&at_name(&self.books.report, "books"));
                let other = books
                    .iter()
                    .find_map(|record| Some((text_at(&record, "id")?, book_at(&record, "text")?)));
                let (id, book) = other.unwrap_or_default();
                self.show_book(&id, &book)?;
                self.page.lead_to("undo")?;
            }
            // At the start.
            _ if act == "list" => self.keep_book("", &[], "")?,
            _ => {}
        }
        self.show_books()
    }

    /// Puts the figures of a book into the fields, in place of those of the open one. A figure that it
    /// does not have is that of the first visit, and marked as invented.
    fn show_book(&self, id: &str, book: &Book) -> Result<(), Fault> {
        let before = self.unit.get();
        if let Some(unit) = Unit::from_symbol(book.text("unit")).filter(|unit| *unit != before) {
            // The job in hand stays as large as it is.
            self.forms.set("unit", unit.symbol());
            self.forms.convert(before, unit);
            self.keep_unit_of_list(unit);
        }
        let mut typed = figures_of(&self.forms.typed());
        typed.retain(|(name, _)| !book::is_typed(name));
        let typed = object_of(&typed);
        Object::assign(&typed, &object_of(&book.figures));
        let invented = |name: &String| self.invented.is_invented(name, &book.invented);
        let figures = book.figures.iter().map(|(name, _)| name);
        let figures = figures.filter(|name| book::is_typed(name) && !invented(name));
        let mut store = self.store.borrow_mut();
        let own = store.own().iter().filter(|name| !book::is_typed(name));
        let own = own.chain(figures).cloned().collect();
        store.replace(typed, own, id.to_owned());
        drop(store);
        self.books.fresh.borrow_mut().clear();
        self.forms.reset();
        self.afresh()
    }

    /// Shows the books, and when the open one was saved to a file.
    fn show_books(&self) -> Result<(), Fault> {
        let (id, newer) = {
            let store = self.store.borrow();
            (store.book().to_owned(), store.newer())
        };
        let record = self.books.record(&id);
        let books = Array::from(&at_name(&self.books.report, "books"));
        for record in books.iter() {
            let book = book_at(&record, "text");
            let name = book.as_ref().map_or(say!("of a newer version"), Book::name);
            put_at_name(&record, "name", &name.into());
        }
        let now = self.open_book();
        if record.is_undefined() {
            let unkept = Object::new();
            put_at_name(&unkept, "id", &id.as_str().into());
            put_at_name(&unkept, "name", &now.name().into());
            self.books.put("open", Array::of1(&unkept));
        } else {
            self.books.put("open", JsValue::UNDEFINED);
        }
        let (mut filed, mut due) = (String::new(), false);
        if let Some(quiet) = book_at(&record, "quiet") {
            due = book::is_due(days_since(&quiet.saved), now.differences(&quiet));
            let last = book_at(&record, "filed");
            let days = last.as_ref().map(|last| days_since(&last.saved));
            let changes = last.map_or(0, |last| now.differences(&last));
            filed = book::filed_text(days, changes);
        }
        self.books.put("filed", filed);
        self.books.put("due", due);
        let refused = at_name(&self.books.report, "refused").is_truthy();
        self.books.put("kept", !refused && !newer);
        let list: HtmlSelectElement = self.page.element("books-list")?;
        // What somebody is about to open stays chosen.
        let in_hand = self.page.document().active_element().as_ref() == Some(&list);
        let chosen = if in_hand { list.value() } else { id };
        self.answers
            .report(&self.page, "books", &self.books.report)?;
        list.set_value(&chosen);
        Ok(())
    }

    /// Does what a button of the books is there for; whether it is one of them.
    pub(super) fn pressed_in_books(&self, act: &str) -> Result<bool, Fault> {
        match act {
            "open-book" => {
                let list: HtmlSelectElement = self.page.element("books-list")?;
                let id = list.value();
                if id != self.store.borrow().book() {
                    self.keep_book(&format!("open {id}"), &[], "")?;
                }
            }
            "new-book" => self.page.dialog("new-book-dialog")?.show_modal()?,
            "delete-book" => self.page.dialog("delete-book-dialog")?.show_modal()?,
            "new-book-no" => self.page.dialog("new-book-dialog")?.close(),
            "delete-book-no" => self.page.dialog("delete-book-dialog")?.close(),
            "copy-book" | "invent-book" => {
                self.page.dialog("new-book-dialog")?.close();
                let name: HtmlInputElement = self.page.element("new-book-name")?;
                let (next, _) = act.split_once('-').unwrap_or_default();
                self.keep_book(&format!("{next} {}", name.value().trim()), &[], "")?;
                name.set_value("");
            }
            "delete-book-yes" => {
                self.page.dialog("delete-book-dialog")?.close();
                let id = self.store.borrow().book().to_owned();
                self.ask_for_books("delete", &id, "deleted", &JsValue::NULL)?;
            }
            "keep-book" => self.keep_book_again()?,
            "save-book" => {
                let book = self.open_book();
                let (name, text) = (book.file_name(), book.to_json());
                self.save(&name, "application/json", &text)?;
                self.books.put("said", say!("Saved as {name}."));
                self.show_books()?;
                self.keep_book("", &["filed", "quiet"], &text)?;
            }
            "later-book" => {
                let text = self.open_book().to_json();
                self.keep_book("", &["quiet"], &text)?;
            }
            _ => return Ok(false),
        }
        Ok(true)
    }

    /// Puts the figures of a file into the open book, if it could be read.
    pub(super) fn load_book(&self, read: Result<Book, InputError>) -> Result<(), Fault> {
        let book = match read {
            Ok(book) => book,
            Err(error) => {
                let why = sentence(&error);
                let said = match error.field.as_str() {
                    "" => say!("Nothing was loaded. {why}"),
                    field => say!("Nothing was loaded. At {field}: {why}"),
                };
                self.books.put("said", said);
                return self.show_books();
            }
        };
        self.put_aside()?;
        let id = self.store.borrow().book().to_owned();
        self.show_book(&id, &book)?;
        let typed = self.forms.typed();
        let mut others = book.others.clone();
        for (name, _) in &book.figures {
            let rows = format!("{name}[");
            let is_list = book
                .figures
                .iter()
                .any(|(other, _)| other.starts_with(&rows));
            if !is_list && text_at(&typed, name).is_none() {
                others.push(name.clone());
            }
        }
        let mut said = vec![say!("{book} is loaded.", book = book.name())];
        if !others.is_empty() {
            said.push(say!(
                "What this page has no place for was left out: {others}.",
                others = others.join(", ")
            ));
        }
        self.books.put("said", said.join(" "));
        self.show_books()?;
        self.keep_book("", &["filed", "quiet"], &book.to_json())
    }
}
