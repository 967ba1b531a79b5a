//! The forms and answers of the page; computes nothing.
//!
//! One way leads through: what is typed is kept, the forms are read into one object by the names of
//! their fields ([`forms`]), each subject reads its part of it and asks its room ([`subjects`]), and
//! what the rooms say is put into the places that ask for it ([`answers`]).

mod answers;
mod artwork;
mod books;
mod cards;
mod dom;
mod forms;
mod invented;
mod lists;
mod members;
mod order;
mod picture;
mod prices;
mod sight;
mod stopwatch;
mod store;
mod subjects;
mod worker;

use crate::error::InputError;
use crate::measure::Unit;
use answers::Answers;
use artwork::Drawing;
use books::Books;
use cards::Cards;
use dom::{Fault, Page, on};
use forms::Forms;
use invented::Invented;
use js_sys::{Float64Array, Function};
use members::{at_name, text_at};
use order::mistakes;
use say::say;
use std::cell::{Cell, RefCell};
use std::rc::{Rc, Weak};
use stopwatch::Stopwatch;
use store::Store;
use subjects::Known;
use wasm_bindgen::prelude::*;
use worker::{Part, Task};

/// Everything that the page holds on to.
struct App {
    /// For what is done later.
    this: Weak<Self>,
    page: Page,
    forms: Forms,
    answers: Answers,
    store: RefCell<Store>,
    /// The shop books that the browser keeps.
    books: Books,
    invented: Invented,
    /// The unit in which the fields stand now; told from the select only when that changes.
    unit: Cell<Unit>,
    answered: Cell<bool>,
    /// When the answers were given last.
    moment: Cell<Moment>,
    /// Other sizes and better layouts of the film, reckoned in a worker.
    film: Rc<Task>,
    known: RefCell<Known>,
    /// The whole order, reckoned in a worker of its own.
    order: Rc<Task>,
    order_report: RefCell<JsValue>,
    cards: Cards,
    /// Whether a task is on its way that builds more of the cards.
    building: Cell<bool>,
    order_errors: RefCell<Vec<InputError>>,
    /// Sizes, quantities and channels, reckoned in a worker of their own.
    prices: Rc<Task>,
    prices_errors: RefCell<Vec<InputError>>,
    /// The rate card, made in a worker of another part.
    card: Rc<Task>,
    /// What stands on papers, in another worker of that part.
    papers: Rc<Task>,
    /// Subjects for themselves, reckoned in a worker of their own.
    rooms: Rc<Task>,
    /// Those about how the decal is read, in one of theirs: what appears there moves what is below.
    seen: Rc<Task>,
    /// What is wrong with them and with the drawing, each by the name of its subject or task.
    rooms_errors: RefCell<Vec<(String, InputError)>>,
    /// What is cut, read in workers of another part.
    drawing: Drawing,
    /// What is wrong with the line that was to be added to the order.
    line_errors: RefCell<Vec<InputError>>,
    watch: Stopwatch,
    /// What was wrong when the subjects were asked last.
    errors: RefCell<Vec<InputError>>,
}

/// Brings the page to life: puts back what was typed before, and listens. The first answers are given when the start script
/// asks for them. `books` asks the browser's store of shop books (`public/books.js`).
///
/// # Errors
/// Where the document lacks an element that the page is made of.
#[wasm_bindgen(js_name = startPage)]
pub fn start_page(books: Function) -> Result<(), JsValue> {
    // A release build has no words for a panic (xtask/src/module.rs).
    #[cfg(debug_assertions)]
    std::panic::set_hook(Box::new(|panic| {
        web_sys::console::error_1(&panic.to_string().into());
    }));
    let page = Page::open()?;
    let store = Store::open(&page);
    let (forms, invented) = (Forms::new(&page)?, Invented::new(&page)?);
    let app = Rc::new_cyclic(|app: &Weak<App>| {
        let (desk, counter) = (Part::new("desk"), Part::new("counter"));
        let task_of = |part: &Rc<Part>, name, hear: fn(&App, &JsValue) -> Result<(), Fault>| {
            let (app, of) = (app.clone(), Rc::clone(part));
            let heard = move |said: &JsValue| {
                app.upgrade()
                    .map_or(Ok(()), |app| app.heard(&of, name, said, hear))
            };
            Task::new(name, part, Rc::new(heard))
        };
        let task = |name, hear| task_of(&desk, name, hear);
        App {
            this: app.clone(),
            forms,
            answers: Answers::default(),
            invented,
            store: RefCell::new(store),
            books: Books::new(books, app.clone()),
            unit: Cell::default(),
            answered: Cell::default(),
            moment: Cell::new(Moment::Settled),
            film: task("film", App::heard_of_film),
            known: RefCell::default(),
            order: task("order", App::heard_of_order),
            order_report: RefCell::default(),
            cards: Cards::default(),
            building: Cell::default(),
            order_errors: RefCell::default(),
            prices: task("prices", App::heard_of_prices),
            prices_errors: RefCell::default(),
            card: task_of(&counter, "rateCard", App::heard_of_card),
            papers: task_of(&counter, "papers", App::heard_of_rooms),
            rooms: task("rooms", App::heard_of_rooms),
            seen: task("seen", App::heard_of_rooms),
            rooms_errors: RefCell::default(),
            drawing: Drawing::new(task_of),
            line_errors: RefCell::default(),
            watch: Stopwatch::default(),
            errors: RefCell::default(),
            page,
        }
    });
    app.put_back(None)?;
    app.ask_for_books("list", "", "", &JsValue::NULL)?;
    app.listen()
}

/// When an answer is given.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Moment {
    /// Between two keystrokes: nothing is said aloud about a field that is being filled in.
    Typing,
    /// When a field is left.
    Settled,
}

impl App {
    /// Puts back what was typed before, but for the field that is `busy`.
    fn put_back(&self, busy: Option<&str>) -> Result<(), Fault> {
        let store = self.store.borrow();
        self.forms.fill(&self.page, store.typed(), busy)?;
        self.forms.unfold();
        self.invented.mark(&self.forms, store.own());
        self.page.show("undo", store.can_undo())?;
        self.page
            .show("not-kept", !store.works() && !store.newer())?;
        self.page.show("newer", store.newer())?;
        self.unit.set(self.forms.unit());
        self.forms.name_units(self.unit.get());
        self.follow_drawing()?;
        self.show_watch()
    }

    /// Reckons everything anew and shows it.
    fn answer(&self, moment: Moment) -> Result<(), Fault> {
        self.page.mark("recompute-start");
        self.moment.set(moment);
        self.fit_screen()?;
        let subjects = subjects::ask(
            &self.page,
            &self.forms,
            self.unit.get(),
            &self.known.borrow(),
        )?;
        for subject in &subjects.answered {
            self.answers.show(&self.page, subject)?;
        }
        Answers::age(&self.page, &subjects.old)?;
        self.answers.report(&self.page, "shelf", &subjects.shelf)?;
        self.errors.replace(subjects.errors);
        if subjects.searches {
            // What answers at once may be better by it.
            self.film.want();
        }
        self.film.ask(&self.page, &subjects.film)?;
        self.ask_about_order(&subjects.order)?;
        self.ask_about_prices(&subjects.prices, &subjects.card)?;
        if subjects::by_post(&self.forms) {
            // The price waits for what the post says.
            self.rooms.want();
        }
        self.rooms.ask(&self.page, &subjects.rooms)?;
        self.ask_about_drawing(&subjects.drawing, &subjects.nest)?;
        if subjects.seen.is_object() {
            self.seen.ask(&self.page, &subjects.seen)?;
        } else {
            // What comes now would be late, and the same may be asked again.
            self.seen.stop();
            self.seen.forget();
        }
        self.show_errors(moment)?;
        for (task, search) in [(&self.film, "film-search"), (&self.order, "order-progress")] {
            if !task.is_busy() {
                self.page.show(search, false)?;
            }
        }
        self.say_whether_busy()?;
        self.page.measure("recompute", "recompute-start");
        if !self.answered.replace(true) {
            self.page.measure_from_navigation("first-answer");
        }
        Ok(())
    }

    /// Hears what a worker tells of a task, that it has stopped by a fault, or that it cannot be had.
    fn heard(
        &self,
        part: &Part,
        task: &str,
        said: &JsValue,
        hear: fn(&Self, &JsValue) -> Result<(), Fault>,
    ) -> Result<(), Fault> {
        let stopped = at_name(said, "fault").is_truthy();
        let missing = stopped || at_name(said, "missing").is_truthy();
        if missing {
            let film = ["steps"];
            let of_task = [task];
            let answers = match task {
                "film" => &film[..],
                "rooms" => &subjects::ROOMS[..],
                "seen" => &subjects::SEEN[..],
                _ => &of_task[..],
            };
            for answer in answers {
                Answers::age(&self.page, &[(answer, true)])?;
            }
        }
        if part.missing.replace(missing) || missing {
            // The start script tells the person.
            let what = match (stopped, missing) {
                (true, _) => "stopped",
                (_, true) => "missing",
                _ => "here",
            };
            self.page.dispatch(&format!("{}-{what}", part.name))?;
        }
        if missing && !stopped {
            return Ok(());
        }
        hear(self, said)
    }

    /// Hears what the worker tells of a subject for itself.
    fn heard_of_rooms(&self, said: &JsValue) -> Result<(), Fault> {
        let Some(room) = text_at(said, "room") else {
            return Ok(());
        };
        let report = at_name(said, "report");
        if report.is_truthy() {
            self.answers.report(&self.page, &room, &report)?;
            if room == "post" {
                self.heard_of_post(text_at(&report, "price"))?;
            }
        }
        let errors = mistakes(said, &|path| subjects::room_path(&room, path));
        Answers::age(&self.page, &[(&room, errors.is_some())])?;
        self.keep_errors(&room, errors.unwrap_or_default());
        self.show_errors(self.moment.get())
    }

    /// Keeps the mistakes of a room or a task in place of those that it had.
    fn keep_errors(&self, of: &str, errors: Vec<InputError>) {
        let mut all = self.rooms_errors.borrow_mut();
        all.retain(|(name, _)| name != of);
        for error in errors {
            all.push((of.to_owned(), error));
        }
    }

    /// Reckons the price anew where it has to pay another postage now.
    fn heard_of_post(&self, price: Option<String>) -> Result<(), Fault> {
        let price = Some(price.unwrap_or_default());
        let before = std::mem::replace(&mut self.known.borrow_mut().postage, price.clone());
        if before != price && subjects::by_post(&self.forms) {
            self.answer(self.moment.get())?;
        }
        Ok(())
    }

    /// After somebody looked at what a task answers.
    fn looked_at(&self, name: &str) -> Result<(), Fault> {
        let tasks = [
            &self.film,
            &self.order,
            &self.prices,
            &self.card,
            &self.papers,
            &self.rooms,
            &self.seen,
            &self.drawing.read,
        ];
        let task = tasks.into_iter().find(|task| task.name() == name);
        if task.is_some_and(|task| task.want()) {
            self.answer(self.moment.get())?;
        }
        Ok(())
    }

    /// Hears what the worker tells of the film.
    fn heard_of_film(&self, said: &JsValue) -> Result<(), Fault> {
        let told = |name: &str| Some(at_name(said, name)).filter(JsValue::is_truthy);
        if let Some(report) = told("report") {
            self.answers.report(&self.page, "steps", &report)?;
            Answers::age(&self.page, &[("steps", false)])?;
        }
        self.page.show("film-search", told("searching").is_some())?;
        if let Some(known) = told("known") {
            let input = at_name(&self.film.input(), "material");
            {
                let mut all = self.known.borrow_mut();
                all.input = subjects::text_of(&input);
                all.layouts = Float64Array::from(known).to_vec();
            }
            self.answer(self.moment.get())?;
        }
        Ok(())
    }

    /// Shows every mistake at its field: what the subjects found, and what the worker did.
    fn show_errors(&self, moment: Moment) -> Result<(), Fault> {
        let mut errors = self.errors.borrow().clone();
        errors.extend_from_slice(&self.order_errors.borrow());
        errors.extend_from_slice(&self.line_errors.borrow());
        errors.extend_from_slice(&self.prices_errors.borrow());
        let mut of_card = if self.card.is_asked() {
            Vec::new()
        } else {
            // There is no price to make it from.
            self.errors.borrow().clone()
        };
        for (name, error) in self.rooms_errors.borrow().iter() {
            errors.push(error.clone());
            if name == "rateCard" {
                of_card.push(error.clone());
            }
        }
        self.forms.say_why(&self.page, "card-why", &of_card)?;
        let old = !self.order_errors.borrow().is_empty();
        Answers::age(&self.page, &[("order", old)])?;
        self.forms
            .show_errors(&self.page, self.unit.get(), &errors, moment)?;
        // Not while one types: it is said once, when the field is left, and then only what is new.
        if moment == Moment::Settled {
            Answers::say(&self.page)?;
        }
        Ok(())
    }

    /// Keeps what is typed; says so where the browser does not.
    fn keep(&self) -> Result<(), Fault> {
        let mut store = self.store.borrow_mut();
        store.keep(self.forms.typed());
        self.page
            .show("not-kept", !store.works() && !store.newer())?;
        drop(store);
        self.keep_book_later()
    }

    fn listen(self: Rc<Self>) -> Result<(), JsValue> {
        let app = Rc::clone(&self);
        on(self.page.document(), "input", move |event| {
            app.edited(&event, Moment::Typing)
        })?;
        let app = Rc::clone(&self);
        on(self.page.document(), "change", move |event| {
            app.edited(&event, Moment::Settled)
        })?;
        // Another tab typed: both show the same, so that neither writes over the other.
        let app = Rc::clone(&self);
        on(self.page.window(), "storage", move |event| {
            let key = event
                .dyn_ref::<web_sys::StorageEvent>()
                .and_then(web_sys::StorageEvent::key);
            let book = app.store.borrow().book().to_owned();
            if app.store.borrow_mut().follow(&app.page, key.as_deref()) {
                // What was only looked at when the other tab typed is in nobody's hand.
                let moment = app.moment.get();
                let busy = match moment {
                    Moment::Typing => app.page.field_in_hand(),
                    Moment::Settled => None,
                };
                app.put_back(busy.as_deref())?;
                app.answer(Moment::Typing)?;
                app.moment.set(moment);
                if app.store.borrow().book() != book {
                    // Only to know them: what is to be kept of it, and of the one before, that tab keeps.
                    app.books.changed();
                    app.ask_for_books("follow", "", "", &JsValue::NULL)?;
                }
            }
            Ok(())
        })?;
        let app = Rc::clone(&self);
        on(self.page.document(), "click", move |event| {
            app.pressed(&event)
        })?;
        let app = Rc::clone(&self);
        on(self.page.window(), "afterprint", move |_| {
            app.printed();
            Ok(())
        })?;
        // The start script tells when an element that a part fills is looked at, when the first answers are due, and when
        // it is worth while to try once more to load what could not be had.
        let app = Rc::clone(&self);
        on(self.page.document(), "look", move |event| {
            dom::task_of_target(&event).map_or(Ok(()), |task| app.looked_at(&task))
        })?;
        let app = Rc::clone(&self);
        on(self.page.window(), "answer", move |_| {
            app.answer(app.moment.get())
        })?;
        let app = Rc::clone(&self);
        on(self.page.window(), "resize", move |_| app.resized())?;
        let document = self.page.document().clone();
        dom::on_toggle(&document, move |details| self.fill_details(&details))
    }

    fn edited(self: &Rc<Self>, event: &web_sys::Event, moment: Moment) -> Result<(), Fault> {
        if let Some(input) = dom::file_of_target(event) {
            // A file is no field.
            return if moment == Moment::Settled {
                self.load_file(&input)
            } else {
                Ok(())
            };
        }
        if let Some(name) = dom::name_of_target(event) {
            let unit = self.forms.unit();
            let before = self.unit.replace(unit);
            if before != unit {
                self.forms.convert(before, unit);
                self.keep_unit_of_list(unit);
            }
            if ["unit", "currency"].contains(&name.as_str()) {
                self.forms.name_units(unit);
            }
            if name.starts_with("line.") || name == "list" {
                self.line_errors.borrow_mut().clear();
            }
            if name.starts_with("screen.") {
                self.fit_to(&name, moment)?;
            }
            if name == artwork::TEXT {
                // A drawing is taken when it is there as a whole, or as far as it goes.
                let text = self.forms.text(&name);
                let whole = text.trim_end().ends_with("</svg>");
                return if whole || moment == Moment::Settled && !text.is_empty() {
                    self.open_drawing(say!("pasted.svg"), &text.into())
                } else {
                    Ok(())
                };
            }
            self.typed_side(&name);
            self.store.borrow_mut().now_own(name);
        }
        // Kept before it is reckoned with: a fault in the reckoning loses nothing.
        self.keep()?;
        self.answer(moment)?;
        self.invented.mark(&self.forms, self.store.borrow().own());
        Ok(())
    }

    fn pressed(self: &Rc<Self>, event: &web_sys::Event) -> Result<(), Fault> {
        let Some((act, pressed)) = dom::act_of_target(event) else {
            return Ok(());
        };
        if self.pressed_in_order(&act, &pressed)?
            || self.pressed_in_books(&act)?
            || self.pressed_in_drawing(&act, &pressed)?
        {
            return Ok(());
        }
        match act.as_str() {
            "start-over" => self
                .page
                .dialog("start-over-dialog")?
                .show_modal()
                .map_err(Fault::from),
            "start-over-no" => {
                self.page.dialog("start-over-dialog")?.close();
                Ok(())
            }
            "start-over-yes" => {
                self.page.dialog("start-over-dialog")?.close();
                self.keep_book("", &[], "")?;
                self.store.borrow_mut().set_aside(self.forms.typed());
                self.forms.reset();
                self.afresh()?;
                // The way back is at the top of the page.
                self.page.lead_to("undo")
            }
            "undo" => {
                self.store.borrow_mut().bring_back();
                self.forms.reset();
                self.afresh()?;
                self.keep_book_again()
            }
            "undo-dismiss" => {
                self.store.borrow_mut().forget_undo();
                self.forget_drawing()?;
                self.page.show("undo", false)
            }
            "next-invented" => {
                self.page.show("stepping", true)?;
                let store = self.store.borrow();
                self.invented.go_to_next(&self.forms, store.own())
            }
            "all-own" => {
                self.page.show("stepping", false)?;
                let names = self.invented.names();
                self.store.borrow_mut().all_own(names);
                self.invented.mark(&self.forms, self.store.borrow().own());
                self.keep()
            }
            "card-smaller" => self.step_outline(-0.5),
            "card-larger" => self.step_outline(0.5),
            "watch" => self.press_watch(),
            "watch-undo" => self.undo_watch(),
            "stop-film" => {
                self.film.stop();
                self.page.show("film-search", false)
            }
            "go-to-field" => {
                event.prevent_default();
                dom::target_of_link(event).map_or(Ok(()), |id| self.forms.go_to(&id))
            }
            // The buttons of the start script are its own.
            _ => Ok(()),
        }
    }

    /// After everything was exchanged at once.
    fn afresh(&self) -> Result<(), Fault> {
        self.put_back(None)?;
        self.keep()?;
        self.answer(Moment::Settled)
    }
}
