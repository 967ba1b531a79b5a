//! The whole order: the lines that are added to it, and what is done with the answer.

use super::artwork::MOST_BYTES as MOST_BYTES_OF_DRAWING;
use super::dom::Fault;
use super::members::{at, at_name, put_at_name, text_at};
use super::{App, Moment};
use crate::api::read;
use crate::book;
use crate::error::{Code, InputError};
use crate::material::{self, LineInput};
use crate::measure::{Unit, decimals, decimals_with_point};
use js_sys::{Array, Object};
use say::say;
use std::rc::Rc;
use wasm_bindgen::prelude::*;
use web_sys::{Blob, Element, FileReader, HtmlAnchorElement, HtmlElement, HtmlInputElement, Url};

/// The field of the list, and that of the unit in which its bare numbers count.
const LIST: &str = "list";
const LIST_UNIT: &str = "listUnit";

/// A list may have so many bytes; more would fill the browser's store.
const MOST_BYTES: f64 = 1e6;

impl App {
    /// Asks the worker about the order; there is nothing to ask where no line is typed.
    pub(super) fn ask_about_order(&self, input: &JsValue) -> Result<(), Fault> {
        if !self.forms.text(LIST).trim().is_empty() {
            if self.order.ask(&self.page, input)? {
                self.page.show("order-stopped", false)?;
            }
            return Ok(());
        }
        self.order.stop();
        self.order.forget();
        self.order_errors.borrow_mut().clear();
        let (none, job) = (Object::new(), Object::new());
        put_at_name(&job, "headline", &say!("Nothing to cut").into());
        put_at_name(&none, "job", &job);
        self.answers.report(&self.page, "order", &none)?;
        self.cards.take(Vec::new(), self.order.number());
        self.cards.build(&self.page, &self.answers, true)?;
        self.order_report.replace(JsValue::UNDEFINED);
        for place in self.page.all("[data-answer=order]") {
            place.set_attribute("data-empty", "")?;
        }
        self.page.show("order-stopped", false)
    }

    /// Hears what the worker tells of the order.
    pub(super) fn heard_of_order(&self, said: &JsValue) -> Result<(), Fault> {
        let told = |name: &str| Some(at_name(said, name)).filter(JsValue::is_truthy);
        if let Some(report) = told("report") {
            self.order_errors.borrow_mut().clear();
            self.answers.report(&self.page, "order", &report)?;
            let cards = Array::from(&at_name(&report, "cards"));
            let cards = cards.iter().filter_map(|card| card.as_string());
            self.cards.take(cards.collect(), self.order.number());
            self.order_report.replace(report);
            self.build_cards()?;
        }
        if let Some(errors) = mistakes(said, &order_path) {
            self.order_errors.replace(errors);
        }
        if told("report").is_some() || told("errors").is_some() {
            self.show_errors(self.moment.get())?;
        }
        let share = self.share("order-progress", said)?;
        if share || !self.order.is_busy() {
            self.page.show("order-progress", self.order.is_busy())?;
        }
        if share {
            self.page.show("order-stopped", false)?;
        }
        self.say_whether_busy()
    }

    /// Shows how much of a task is done; whether that was told.
    pub(super) fn share(&self, bar: &str, said: &JsValue) -> Result<bool, Fault> {
        let share = at_name(said, "share").as_f64();
        if let Some(share) = share
            && let Some(bar) = self
                .page
                .element::<Element>(bar)?
                .query_selector("progress")?
        {
            bar.set_attribute("value", &decimals_with_point(share, 3))?;
        }
        Ok(share.is_some())
    }

    /// Builds the cards of the layouts for a while, and goes on a little later if there are more.
    fn build_cards(&self) -> Result<(), Fault> {
        self.cards.build(&self.page, &self.answers, false)?;
        if self.cards.are_done() || self.building.replace(true) {
            return self.say_whether_busy();
        }
        let app = self.this.clone();
        let later = Closure::once_into_js(move || {
            let Some(app) = app.upgrade() else {
                return Ok(());
            };
            app.building.set(false);
            app.build_cards().map_err(JsValue::from)
        });
        let window = self.page.window();
        window.set_timeout_with_callback(later.unchecked_ref())?;
        Ok(())
    }

    /// Says of the layouts whether others are on their way.
    pub(super) fn say_whether_busy(&self) -> Result<(), Fault> {
        let busy = self.order.is_waiting() || self.order.is_busy() || !self.cards.are_done();
        let place = self.page.element::<HtmlElement>("order-layouts")?;
        place.set_attribute("aria-busy", if busy { "true" } else { "false" })?;
        Ok(())
    }

    /// Makes the rows in details that were opened.
    pub(super) fn fill_details(&self, details: &Element) -> Result<(), Fault> {
        let empty = details.query_selector("[data-row]")?.is_none();
        if !(empty && details.matches("[data-later][open]")?) {
            return Ok(());
        }
        let report = self.cards.report_around(details);
        let report = report.unwrap_or_else(|| self.order_report.borrow().clone());
        self.answers.fill(&self.page, details, &report)
    }

    /// Does what a button of the order is there for; whether it is one of them.
    pub(super) fn pressed_in_order(
        self: &Rc<Self>,
        act: &str,
        pressed: &Element,
    ) -> Result<bool, Fault> {
        match act {
            "add-line" => self.add_line()?,
            "empty-list" => self.replace_list("")?,
            "stop-order" => {
                self.order.stop();
                self.page.show("order-progress", false)?;
                self.page.show("order-stopped", true)?;
                self.page.focus("order-stopped")?;
                self.say_whether_busy()?;
            }
            "again-order" => {
                self.order.forget();
                self.page.show("order-stopped", false)?;
                self.answer(Moment::Settled)?;
            }
            "add-row" => {
                let list = pressed.get_attribute("data-of").unwrap_or_default();
                self.forms.add_row(&self.page, &list, &[])?;
                self.keep()?;
                self.answer(Moment::Typing)?;
                let first = format!("{list}[{}].", self.forms.rows(&list) - 1);
                self.forms.go_to_first(&first)?;
            }
            "remove-row" => self.remove_row(pressed)?,
            "book-order" => self.book()?,
            "save-cut-list" => {
                let text = text_at(&self.order_report.borrow(), "cutList").unwrap_or_default();
                self.save(say!("cut-list.csv"), "text/csv", &text)?;
            }
            "save-drawing" => self.save_drawing(pressed)?,
            "print-order" => {
                self.cards.build(&self.page, &self.answers, true)?;
                for details in self.page.all("#order-layouts details") {
                    details.set_attribute("open", "")?;
                    self.fill_details(&details)?;
                }
                self.print("order")?;
            }
            "print-drawing" => {
                let layout = pressed.closest("article")?;
                for other in self.page.all("[data-printed]") {
                    other.remove_attribute("data-printed")?;
                }
                if let Some(layout) = layout {
                    layout.set_attribute("data-printed", "")?;
                }
                self.print("drawing")?;
            }
            _ => return Ok(false),
        }
        Ok(true)
    }

    /// Adds what stands in the fields of a line to the list.
    fn add_line(&self) -> Result<(), Fault> {
        let line = at_name(&self.forms.object(), "line");
        let list = self.forms.text(LIST);
        let record = read::<LineInput>(&line)
            .and_then(|line| material::record(&line, &list, self.unit.get()));
        let record = match record {
            Ok(record) => record,
            Err(errors) => {
                let errors = errors.within("line");
                self.line_errors.replace(errors.iter().cloned().collect());
                return self.show_errors(Moment::Settled);
            }
        };
        self.line_errors.borrow_mut().clear();
        let Some(record) = record else {
            let error = InputError::new(
                Code::Impossible,
                say!("the list has no column for all of this line"),
                say!("add the column to its first line"),
            );
            self.line_errors.replace(vec![error.at(LIST)]);
            return self.show_errors(Moment::Settled);
        };
        let mut list = list;
        if !list.is_empty() && !list.ends_with('\n') {
            list.push('\n');
        }
        list.push_str(&record);
        list.push('\n');
        self.forms.set(LIST, &list);
        self.own_list();
        for name in ["line.name", "line.width", "line.height"] {
            self.forms.set(name, "");
        }
        self.settled()?;
        self.forms.focus("line.name")
    }

    /// Puts another list in the place of this one, which can be brought back.
    fn replace_list(&self, list: &str) -> Result<(), Fault> {
        self.put_aside()?;
        self.forms.set(LIST, list);
        self.own_list();
        self.settled()
    }

    /// Notes that the list is the maker's own from now on; an empty one counts in the unit of the page.
    fn own_list(&self) {
        self.store.borrow_mut().now_own(LIST.to_owned());
        if self.forms.text(LIST).trim().is_empty() {
            self.forms.set(LIST_UNIT, self.unit.get().symbol());
        }
    }

    /// After another unit was chosen: what stands in the list keeps its own.
    pub(super) fn keep_unit_of_list(&self, unit: Unit) {
        if self.forms.text(LIST).trim().is_empty() {
            self.forms.set(LIST_UNIT, unit.symbol());
        }
    }

    /// Reads the file that was chosen: a list of an order, or a shop book.
    pub(super) fn load_file(self: &Rc<Self>, input: &HtmlInputElement) -> Result<(), Fault> {
        let Some(file) = input.files().and_then(|files| files.get(0)) else {
            return Ok(());
        };
        let (is_book, is_drawing) = (input.id() == "book-file", input.id() == "artwork-file");
        if is_drawing && file.size() > MOST_BYTES_OF_DRAWING {
            return self.refuse_drawing();
        }
        if !is_drawing && file.size() > MOST_BYTES {
            if is_book {
                return self.load_book(Err(book::too_large()));
            }
            let error = InputError::new(
                Code::TooLarge,
                say!("this file is too large for an order"),
                say!("load a list of at most 1 MB"),
            );
            self.line_errors.replace(vec![error.at(LIST)]);
            return self.show_errors(Moment::Settled);
        }
        let reader = FileReader::new()?;
        let (app, done, name) = (Rc::clone(self), reader.clone(), file.name());
        let loaded = Closure::once_into_js(move || {
            let text = done.result().unwrap_or_default();
            if is_drawing {
                return app.open_drawing(&name, &text).map_err(JsValue::from);
            }
            let text = text.as_string().unwrap_or_default();
            let loaded = if is_book {
                app.load_book(book::read(&text))
            } else {
                app.replace_list(&text)
            };
            loaded.map_err(JsValue::from)
        });
        reader.set_onload(Some(loaded.unchecked_ref()));
        reader.read_as_text(&file)?;
        // The same file may be chosen again, after it was mended.
        input.set_value("");
        Ok(())
    }

    fn remove_row(&self, pressed: &Element) -> Result<(), Fault> {
        let list = pressed.get_attribute("data-of").unwrap_or_default();
        let place = pressed.get_attribute("data-at").unwrap_or_default();
        let place = place.trim_matches(['[', ']']).parse().unwrap_or(usize::MAX);
        let Some(kept) = self.forms.without_row(&list, place) else {
            return Ok(());
        };
        self.put_aside()?;
        self.forms.fill(&self.page, &kept, None)?;
        self.settled()
    }

    /// Takes the order off the shelf: what is left on rolls, the sheets and the remnants become what
    /// the report says of them, and the list is cleared.
    fn book(&self) -> Result<(), Fault> {
        let report = self.order_report.borrow().clone();
        // Only what answers the order and the shelf as they stand.
        if !report.is_truthy() || self.order.is_waiting() || !self.order_errors.borrow().is_empty()
        {
            return Ok(());
        }
        self.put_aside()?;
        for film in Array::from(&at(&report, "job.films")).iter() {
            let place = decimals(at_name(&film, "index").as_f64().unwrap_or_default(), 0);
            let member = if text_at(&film, "stock").as_deref() == Some("roll") {
                "left"
            } else {
                "sheets"
            };
            if let Some(left) = text_at(&film, "left") {
                self.forms.set(&format!("shelf[{place}].{member}"), &left);
            }
        }
        while self.forms.rows("remnants") > 0 {
            let Some(kept) = self.forms.without_row("remnants", 0) else {
                break;
            };
            self.forms.fill(&self.page, &kept, None)?;
        }
        for remnant in Array::from(&at(&report, "job.remnantsAfter")).iter() {
            let texts = ["film", "width", "length"]
                .map(|name| (name, text_at(&remnant, name).unwrap_or_default()));
            let texts = texts.each_ref().map(|(name, text)| (*name, text.as_str()));
            self.forms.add_row(&self.page, "remnants", &texts)?;
        }
        self.forms.set(LIST, "");
        self.own_list();
        self.settled()?;
        self.page.lead_to("undo")
    }

    /// Keeps everything as it is, to be brought back after a change that takes something away.
    pub(super) fn put_aside(&self) -> Result<(), Fault> {
        self.store.borrow_mut().put_aside(self.forms.typed());
        self.page.show("undo", true)
    }

    /// After fields were changed by a button.
    pub(super) fn settled(&self) -> Result<(), Fault> {
        self.keep()?;
        self.answer(Moment::Settled)?;
        self.invented.mark(&self.forms, self.store.borrow().own());
        Ok(())
    }

    /// Saves the drawing beside a button as a file.
    fn save_drawing(&self, pressed: &Element) -> Result<(), Fault> {
        let layout = pressed.closest("article")?;
        let drawing = layout.map_or(Ok(None), |layout| layout.query_selector("svg"))?;
        let Some(drawing) = drawing else {
            return Ok(());
        };
        let svg = web_sys::XmlSerializer::new()?.serialize_to_string(&drawing)?;
        self.save(say!("layout.svg"), "image/svg+xml", &svg)
    }

    /// Lets the browser save a text as a file.
    pub(super) fn save(&self, name: &str, kind: &str, text: &str) -> Result<(), Fault> {
        let options = web_sys::BlobPropertyBag::new();
        options.set_type(kind);
        let blob = Blob::new_with_str_sequence_and_options(&Array::of1(&text.into()), &options)?;
        let url = Url::create_object_url_with_blob(&blob)?;
        let link: HtmlAnchorElement = self.page.document().create_element("a")?.unchecked_into();
        link.set_href(&url);
        link.set_download(name);
        link.click();
        // The browser has taken it by now.
        Url::revoke_object_url(&url)?;
        Ok(())
    }

    /// Prints only one part of the page. Some browsers print when this has come back long ago.
    fn print(&self, what: &str) -> Result<(), Fault> {
        if let Some(root) = self.page.document().document_element() {
            root.set_attribute("data-print", what)?;
        }
        Ok(self.page.window().print()?)
    }

    /// After something was printed: the next time it is the whole page, unless a button says what.
    pub(super) fn printed(&self) {
        if let Some(root) = self.page.document().document_element() {
            // Removing what is not there is no mistake.
            let _ = root.remove_attribute("data-print");
        }
    }
}

/// The mistakes that a worker told, if it did, each at its field on the page, which `place` finds by its
/// path.
pub(super) fn mistakes(said: &JsValue, place: &dyn Fn(&str) -> String) -> Option<Vec<InputError>> {
    let errors = at_name(said, "errors");
    let errors = errors.is_truthy().then(|| Array::from(&errors))?;
    Some(errors.iter().map(|error| mistake(&error, place)).collect())
}

fn mistake(error: &JsValue, place: &dyn Fn(&str) -> String) -> InputError {
    let text = |name: &str| text_at(error, name).unwrap_or_default();
    // Only what is missing is told in other words; of a drawing that is open the message says what is missing in it.
    let code = if text("code") == "missing" && text("field") != "artwork.svg" {
        Code::Missing
    } else {
        Code::Impossible
    };
    InputError::new(code, text("message"), text("hint")).at(place(&text("field")))
}

/// Where a mistake of the order lies.
fn order_path(path: &str) -> String {
    match path {
        "currency" => path.to_owned(),
        // Without any film there is no field of one.
        "job.films" => LIST.to_owned(),
        path => format!("order.{path}"),
    }
}
