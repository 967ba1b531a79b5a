//! The drawing in hand: opened, kept on the device, read in a worker of its own, and what follows from it.
//!
//! Its text stays with the browser, and goes to the worker as it is; the page itself never reads it. Which
//! drawing it is, is typed into a field that nobody sees, so that it is kept, exchanged between windows and
//! brought back with all other fields; the text itself is kept by `public/books.js`.

use super::answers::Answers;
use super::dom::Fault;
use super::forms::sentence;
use super::members::{at, at_name, put_at_name, text_at};
use super::order::mistakes;
use super::worker::{Part, Task};
use super::{App, Moment, subjects};
use crate::decal;
use crate::error::{Code, InputError};
use crate::measure::{decimals, decimals_with_point};
use js_sys::{Array, Date, Object};
use say::say;
use std::cell::{Cell, RefCell};
use std::rc::Rc;
use wasm_bindgen::prelude::*;
use web_sys::{Element, HtmlElement};

/// The fields: which drawing is in hand, how wide it is for its height, whether the decal keeps that.
const ID: &str = "drawing.id";
const PROPORTION: &str = "drawing.proportion";
const KEEPS: &str = "keepProportion";
/// What the log of times notes of it.
const NOTE: &str = "artwork.logNote";
/// The field into which its text may be put, and the sides of the decal.
pub(super) const TEXT: &str = "artwork.svg";
const SIDES: [&str; 2] = ["decal.width", "decal.height"];

/// A file may have so many bytes: more than a drawing that is cut and weeded has by far.
pub(super) const MOST_BYTES: f64 = 8e6;

/// The id under which the browser keeps the drawing.
pub(super) const KEPT: &str = "drawing";

/// A drawing with its id and its name; without an id it is none.
struct Held {
    id: String,
    name: String,
    text: JsValue,
}

/// The drawing in hand.
pub(super) struct Drawing {
    /// Which one it is; empty where there is none.
    id: RefCell<String>,
    name: RefCell<String>,
    text: RefCell<JsValue>,
    /// The one before it, until this one is read: then this one is kept. One that cannot be read leaves that in its place.
    before: RefCell<Option<Held>>,
    /// How high it is for its width, as a field says it.
    proportion: RefCell<String>,
    /// Reads, measures and checks it.
    pub read: Rc<Task>,
    /// Writes it for the cutter.
    pub file: Rc<Task>,
    /// Lays it by its true shape, and what about.
    nest: Rc<Task>,
    nest_input: RefCell<JsValue>,
    /// Whether the height of the decal was typed after its width.
    by_height: Cell<bool>,
}

impl Drawing {
    /// None yet; `task` makes a task by its name and what hears of it.
    pub(super) fn new(
        task: impl Fn(&Rc<Part>, &'static str, fn(&App, &JsValue) -> Result<(), Fault>) -> Rc<Task>,
    ) -> Self {
        let part = Part::new("light-table");
        Self {
            id: RefCell::default(),
            name: RefCell::default(),
            text: RefCell::default(),
            before: RefCell::default(),
            proportion: RefCell::default(),
            read: task(&part, "artwork", App::heard_of_artwork),
            file: task(&part, "cutFile", App::heard_of_cut_file),
            nest: task(&part, "nest", App::heard_of_nest),
            nest_input: RefCell::default(),
            by_height: Cell::default(),
        }
    }

    fn is_there(&self) -> bool {
        !self.id.borrow().is_empty()
    }

    fn held(&self) -> Held {
        Held {
            id: self.id.borrow().clone(),
            name: self.name.borrow().clone(),
            text: self.text.borrow().clone(),
        }
    }
}

impl App {
    /// Takes a drawing into the hand, and keeps it once it is read.
    pub(super) fn open_drawing(&self, name: &str, text: &JsValue) -> Result<(), Fault> {
        // Of several in a row that are not read yet, the one before the first is what there was.
        let held = self.drawing.held();
        self.drawing.before.borrow_mut().get_or_insert(held);
        let id = decimals(Date::now(), 0);
        self.forms.set(ID, &id);
        self.forms.set(PROPORTION, "");
        self.forms.set(TEXT, "");
        self.drawing.proportion.borrow_mut().clear();
        self.hold_drawing(&id, name, text)?;
        self.drawing.read.want();
        self.settled()
    }

    /// Keeps the drawing in hand for the next time.
    fn keep_drawing(&self) -> Result<(), Fault> {
        let Held { id, name, text } = self.drawing.held();
        let record = Object::new();
        put_at_name(&record, "drawing", &id.into());
        put_at_name(&record, "name", &name.into());
        put_at_name(&record, "text", &text);
        self.ask_for_books("add", KEPT, "", &record)
    }

    /// Goes back to the drawing before one that cannot be read, and says why.
    fn go_back_to(&self, before: &Held, why: &InputError) -> Result<(), Fault> {
        let name = self.drawing.name.borrow().clone();
        self.forms.set(ID, &before.id);
        self.hold_drawing(&before.id, &before.name, &before.text)?;
        let said = say!("{name} was not taken. {why}", why = sentence(why));
        self.say_of_drawing("artwork-said", &said)?;
        self.settled()
    }

    /// Has this drawing in hand from now on, or none, of which nothing is known yet.
    fn hold_drawing(&self, id: &str, name: &str, text: &JsValue) -> Result<(), Fault> {
        let drawing = &self.drawing;
        id.clone_into(&mut drawing.id.borrow_mut());
        name.clone_into(&mut drawing.name.borrow_mut());
        drawing.text.replace(text.clone());
        for task in [&drawing.read, &drawing.file, &drawing.nest] {
            task.attach(text);
        }
        for bar in ["artwork-progress", "nest-progress"] {
            self.page.show(bar, false)?;
        }
        for task in ["artwork", "cutFile", "nest"] {
            self.keep_errors(task, Vec::new());
        }
        self.known.borrow_mut().drawing = drawing.is_there().then_some(JsValue::NULL);
        self.forms.set(NOTE, "");
        self.outline()?.remove_attribute("d")?;
        self.page.show("artwork-held", drawing.is_there())?;
        self.say_of_drawing("artwork-name", name)?;
        self.say_of_drawing("artwork-said", "")?;
        for answer in ["artwork", "nest"] {
            self.answers.report(&self.page, answer, &Object::new())?;
        }
        Ok(())
    }

    fn say_of_drawing(&self, at: &str, said: &str) -> Result<(), Fault> {
        let place: HtmlElement = self.page.element(at)?;
        place.set_text_content(Some(said));
        Ok(())
    }

    /// Takes the drawing into the hand that the fields name, if it is another one.
    pub(super) fn follow_drawing(&self) -> Result<(), Fault> {
        let id = self.forms.text(ID);
        if id == *self.drawing.id.borrow() {
            return Ok(());
        }
        self.hold_drawing("", "", &JsValue::UNDEFINED)?;
        if id.is_empty() {
            return Ok(());
        }
        self.ask_for_books("list", KEPT, "", &JsValue::NULL)
    }

    /// Hears what the browser's store says of the drawing.
    pub(super) fn heard_of_drawing(&self, said: &JsValue) -> Result<(), Fault> {
        if at_name(said, "refused").is_truthy() {
            self.say_of_drawing(
                "artwork-said",
                say!("This browser does not keep the drawing for the next time."),
            )?;
            return self.follow_proportion();
        }
        let id = self.forms.text(ID);
        if self.drawing.is_there() {
            return self.follow_proportion();
        }
        if id.is_empty() {
            return Ok(());
        }
        let kept = Array::from(&at_name(said, "books")).get(0);
        if text_at(&kept, "drawing").as_ref() != Some(&id) {
            return self.say_of_drawing(
                "artwork-said",
                say!("The drawing is no longer kept here: open it again."),
            );
        }
        let name = text_at(&kept, "name").unwrap_or_default();
        self.hold_drawing(&id, &name, &at_name(&kept, "text"))?;
        self.answer(self.moment.get())
    }

    /// Lets go of the drawing that is kept, unless it is in hand.
    pub(super) fn forget_drawing(&self) -> Result<(), Fault> {
        if self.drawing.is_there() {
            return Ok(());
        }
        self.ask_for_books("delete", KEPT, "", &JsValue::NULL)
    }

    /// Asks about the drawing in hand; `nest` is what its layout by true shape would be about.
    pub(super) fn ask_about_drawing(&self, input: &JsValue, nest: &JsValue) -> Result<(), Fault> {
        if !self.drawing.is_there() {
            return Ok(());
        }
        if subjects::by_drawing(&self.forms) {
            // The price waits for it.
            self.drawing.read.want();
        }
        self.drawing.read.ask(&self.page, input)?;
        let laid = subjects::text_of(&self.drawing.nest.input());
        Answers::age(&self.page, &[("nest", laid != subjects::text_of(nest))])?;
        self.drawing.nest_input.replace(nest.clone());
        Ok(())
    }

    /// Hears what the worker tells of the drawing.
    fn heard_of_artwork(&self, said: &JsValue) -> Result<(), Fault> {
        let busy = self.share("artwork-progress", said)?;
        self.page.show("artwork-progress", busy)?;
        let report = at_name(said, "report");
        let errors = mistakes(said, &ToOwned::to_owned);
        let unread = errors.iter().flatten().find(|error| error.field == TEXT);
        if let Some(why) = unread
            && let Some(before) = self.drawing.before.take()
            && !before.id.is_empty()
        {
            return self.go_back_to(&before, why);
        }
        if report.is_object() || errors.is_some() {
            Answers::age(&self.page, &[("artwork", errors.is_some())])?;
            self.keep_errors("artwork", errors.unwrap_or_default());
            self.show_errors(self.moment.get())?;
        }
        if !report.is_object() {
            return Ok(());
        }
        self.answers.report(&self.page, "artwork", &report)?;
        let outline = text_at(&report, "silhouette").unwrap_or_default();
        let place = self.outline()?;
        let other = place.get_attribute("d").as_ref() != Some(&outline);
        place.set_attribute("d", &outline)?;
        let times = at_name(&report, "time");
        self.forms
            .set(NOTE, &text_at(&times, "logNote").unwrap_or_default());
        let before = self.known.borrow_mut().drawing.replace(times.clone());
        let newly =
            before.is_none_or(|before| subjects::text_of(&before) != subjects::text_of(&times));
        let proportion = at_name(&report, "proportion").as_f64().unwrap_or(1.0);
        self.drawing
            .proportion
            .replace(decimals_with_point(proportion, 6));
        if self.drawing.before.take().is_some() {
            // Other windows look for it when they hear of its proportion: it is kept first.
            return self.keep_drawing();
        }
        self.follow_proportion()?;
        // The rate card shows its outline.
        if other || newly && subjects::by_drawing(&self.forms) {
            self.answer(self.moment.get())?;
        }
        Ok(())
    }

    /// Has the decal follow the proportion of the drawing, if it is another one than before.
    fn follow_proportion(&self) -> Result<(), Fault> {
        let proportion = self.drawing.proportion.borrow().clone();
        if proportion.is_empty() || self.forms.text(PROPORTION) == proportion {
            return Ok(());
        }
        self.forms.set(PROPORTION, &proportion);
        self.keep_proportion();
        self.settled()
    }

    /// The place of its silhouette, which `boot.js` shows.
    pub(super) fn outline(&self) -> Result<Element, Fault> {
        self.page.element("silhouette")
    }

    /// After one side of the decal was typed, or its proportion is to be kept: the other one follows.
    pub(super) fn typed_side(&self, name: &str) {
        if SIDES.contains(&name) {
            self.drawing.by_height.set(name == SIDES[1]);
        }
        if SIDES.contains(&name) || name == KEEPS {
            self.keep_proportion();
        }
    }

    /// Has one side of the decal follow the other by the proportion of the drawing, if it is to.
    fn keep_proportion(&self) {
        let by_height = self.drawing.by_height.get();
        let [from, to] = if by_height {
            [SIDES[1], SIDES[0]]
        } else {
            SIDES
        };
        let proportion = js_sys::Number::parse_float(&self.forms.text(PROPORTION));
        if self.forms.text(KEEPS) != "yes" || proportion.is_nan() {
            return;
        }
        let times = if by_height {
            proportion
        } else {
            1.0 / proportion
        };
        if let Some(side) = decal::other_side(&self.forms.text(from), times, self.unit.get()) {
            self.forms.set(to, &side);
        }
    }

    /// Hears what the worker tells of the file for the cutter, or of the invented drawing.
    fn heard_of_cut_file(&self, said: &JsValue) -> Result<(), Fault> {
        if let Some(file) = text_at(said, "file") {
            self.keep_errors("cutFile", Vec::new());
            self.show_errors(self.moment.get())?;
            let name = self.drawing.name.borrow();
            let name = name.trim_end_matches(".svg");
            // Files of several films are told apart by their names.
            let only = text_at(&self.drawing.file.input(), "only");
            let name = match only {
                Some(film) => say!("{name}-joined-film-{film}.svg"),
                None => say!("{name}-joined.svg"),
            };
            return self.save(&name, "image/svg+xml", &file);
        }
        let example = at_name(said, "example");
        if example.is_string() {
            return self.open_drawing(say!("kittiwake.svg (invented)"), &example);
        }
        if let Some(errors) = mistakes(said, &ToOwned::to_owned) {
            self.keep_errors("cutFile", errors);
            self.show_errors(Moment::Settled)?;
        }
        Ok(())
    }

    /// Hears what the worker tells of the layout by true shape.
    fn heard_of_nest(&self, said: &JsValue) -> Result<(), Fault> {
        let report = at_name(said, "report");
        if report.is_object() {
            self.answers.report(&self.page, "nest", &report)?;
            Answers::age(&self.page, &[("nest", false)])?;
        }
        let errors = mistakes(said, &ToOwned::to_owned);
        if report.is_object() || errors.is_some() {
            self.keep_errors("nest", errors.unwrap_or_default());
            self.show_errors(Moment::Settled)?;
        }
        if self.share("nest-progress", said)? || !self.drawing.nest.is_busy() {
            let busy = self.drawing.nest.is_busy();
            self.page.show("nest-progress", busy)?;
        }
        Ok(())
    }

    /// Asks for a file: the drawing for the cutter, of one film only where `only` says which, or the
    /// invented drawing where none is in hand.
    fn ask_for_file(&self, input: &JsValue) -> Result<(), Fault> {
        let file = &self.drawing.file;
        file.want();
        file.forget();
        file.ask(&self.page, input)?;
        Ok(())
    }

    /// Does what a button of the drawing is there for; whether it is one of them.
    pub(super) fn pressed_in_drawing(&self, act: &str, pressed: &Element) -> Result<bool, Fault> {
        let value = pressed.get_attribute("value").unwrap_or_default();
        match act {
            "take" => {
                let of = pressed.get_attribute("data-of").unwrap_or_default();
                self.forms.set(&of, &value);
                self.typed_side(&of);
                self.store.borrow_mut().now_own(of);
                self.settled()?;
            }
            "try-drawing" => self.ask_for_file(&Object::new())?,
            "save-cut-file" => {
                let input = self.drawing.read.input();
                let root = self.forms.object();
                let file = at_name(&root, "cutFile");
                put_at_name(&file, "artwork", &at_name(&input, "artwork"));
                put_at_name(&file, "title", &self.drawing.name.borrow().as_str().into());
                if !value.is_empty() {
                    put_at_name(&file, "only", &value.into());
                }
                self.ask_for_file(&file)?;
            }
            "nest" => {
                let nest = &self.drawing.nest;
                nest.want();
                nest.forget();
                nest.ask(&self.page, &self.drawing.nest_input.borrow())?;
                self.page.show("nest-progress", true)?;
            }
            "stop-nest" => {
                self.drawing.nest.stop();
                self.page.show("nest-progress", false)?;
            }
            "drop-drawing" => {
                self.drawing.before.take();
                self.forms.set(ID, "");
                self.forms.set(PROPORTION, "");
                self.follow_drawing()?;
                self.forget_drawing()?;
                self.settled()?;
                self.page.lead_to("artwork-file")?;
            }
            _ => return Ok(false),
        }
        Ok(true)
    }

    /// Says of a file that it is too large to be a drawing.
    pub(super) fn refuse_drawing(&self) -> Result<(), Fault> {
        let error = InputError::new(
            Code::TooLarge,
            say!("this file is too large for a drawing that is cut"),
            say!("open one of at most 8 MB"),
        );
        self.keep_errors("artwork", vec![error.at(TEXT)]);
        self.show_errors(Moment::Settled)
    }
}

/// What the worker is asked about the drawing that the fields name.
pub(super) fn input(root: &JsValue, unit: &JsValue) -> JsValue {
    let input = Object::new();
    for (member, name) in [("artwork", "artwork"), ("time", "drawingTime")] {
        let part = at_name(root, name);
        put_at_name(&part, "unit", unit);
        put_at_name(&input, member, &part);
    }
    let artwork = at_name(&input, "artwork");
    // Another drawing is another question; the worker has its text beside it.
    put_at_name(&artwork, "svg", &at(root, ID));
    put_at_name(&artwork, "logNote", &JsValue::UNDEFINED);
    input.into()
}
