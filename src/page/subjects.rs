//! The subjects: each reads its part of the forms and asks its room of the house.

use super::artwork;
use super::dom::{Fault, Page};
use super::forms::Forms;
use super::members::{at, at_name, put_at_name, text_at};
use super::picture::packed;
use crate::api::{read, write};
use crate::decal::{Decal, DecalInput, on_ruler, shown};
use crate::drawing::Element;
use crate::error::{Code, InputError, InputErrors};
use crate::legibility;
use crate::material::{self, MaterialInput};
use crate::measure::Unit;
use crate::quote::{self, QuoteInput};
use js_sys::{Array, Float64Array, JSON, Object};
use say::say;
use serde::Serialize;
use serde::de::DeserializeOwned;
use wasm_bindgen::prelude::*;

/// A subject with its report, as programs get it too, and its picture if it has one.
pub(super) struct Answered {
    pub name: &'static str,
    pub report: JsValue,
    pub picture: Option<Element>,
}

/// What all subjects said.
#[derive(Default)]
pub(super) struct Subjects {
    pub answered: Vec<Answered>,
    /// Whether a subject's answer is an old one, because its input has a mistake.
    pub old: Vec<(&'static str, bool)>,
    /// Every mistake, each at the path of its field.
    pub errors: Vec<InputError>,
    /// What the worker is asked about other sizes and better layouts of the film.
    pub film: JsValue,
    /// What the worker is asked about the whole order.
    pub order: JsValue,
    /// What the worker is asked about other sizes, quantities and channels.
    pub prices: JsValue,
    /// What other workers make the rate card and what stands on papers from.
    pub card: JsValue,
    /// Whether the worker may find a better layout of the film.
    pub searches: bool,
    /// What the worker is asked about the subjects for themselves.
    pub rooms: JsValue,
    /// What it is asked about those about how the decal is read.
    pub seen: JsValue,
    /// What other workers are asked about the drawing, and about laying it by its true shape.
    pub drawing: JsValue,
    pub nest: JsValue,
    /// The names of the films on the shelf, for fields that offer them.
    pub shelf: JsValue,
}

/// Layouts of the film that a thorough search has found, and the input that they answer.
#[derive(Default)]
pub(super) struct Known {
    pub input: String,
    pub layouts: Vec<f64>,
    /// What the class of the packed piece costs, once the post was asked; empty where no price of it is
    /// entered.
    pub postage: Option<String>,
    /// Of the drawing in hand, if one is, how long it takes, once that is told: an object with minutes of
    /// `cut` and `weed`.
    pub drawing: Option<JsValue>,
}

impl Known {
    fn of(&self, material: &JsValue) -> &[f64] {
        if !self.layouts.is_empty() && text_of(material) == self.input {
            &self.layouts
        } else {
            &[]
        }
    }
}

/// An input as text, by which it is told from others.
pub(super) fn text_of(input: &JsValue) -> String {
    let text = JSON::stringify(input).ok();
    text.and_then(|text| text.as_string()).unwrap_or_default()
}

/// Asks all subjects.
///
/// # Errors
/// Where a report cannot be handed over; none of ours is so.
pub(super) fn ask(
    page: &Page,
    forms: &Forms,
    unit: Unit,
    known: &Known,
) -> Result<Subjects, Fault> {
    forms.unfold();
    forms.offer(page)?;
    let root = forms.object();
    let part = |name| part_of(&root, name);
    let symbol = unit.symbol().into();
    let (decal, legibility, material, quote) = (
        part("decal"),
        part("legibility"),
        part("material"),
        part("quote"),
    );
    let order = part("order");
    let job = at_name(&order, "job");
    let currency = forms.text("currency").into();
    put_at_name(&order, "currency", &currency);
    put_at_name(&job, "unit", &symbol);
    put_at_name(&job, "effort", &"thorough".into());
    put_at_name(&legibility, "unit", &symbol);
    put_at_name(&legibility, "decal", &decal);
    put_at_name(&material, "unit", &symbol);
    put_at_name(&quote, "currency", &currency);
    put_at_name(&quote, "material", &material);

    // The order goes through the channel that is chosen, and is compared with all of the book.
    let chosen = forms.text("channel");
    let channels = at_name(&part("book"), "channels");
    put_at_name(&quote, "channel", &at_name(&channels, &chosen));
    let prices = part("prices");
    put_at_name(&prices, "quote", &quote);
    put_at_name(&prices, "channels", &channels);

    let film = Object::new();
    put_at_name(&film, "currency", &currency);
    put_at_name(&film, "material", &material);
    put_at_name(&film, "film", &at_name(&quote, "film"));
    let shelf = Object::new();
    let films = Array::from(&at_name(&job, "films"));
    let names = films.iter().map(|film| at_name(&film, "name"));
    put_at_name(&shelf, "films", &names.collect::<Array>());
    let drawing = artwork::input(&root, &symbol);
    let nest = Object::new();
    put_at_name(&nest, "artwork", &at_name(&drawing, "artwork"));
    put_at_name(&nest, "material", &material);
    let mut subjects = Subjects {
        film: film.into(),
        order,
        shelf: shelf.into(),
        prices,
        drawing,
        nest: nest.into(),
        ..Subjects::default()
    };
    // What the price is made of comes from other subjects, where it is not typed.
    let timed = subjects.feed_time(forms, known, &root);
    let fed = timed && subjects.feed_price(&root, &quote, &currency)?;
    let posted = subjects.feed_postage(forms, known, &quote);
    subjects.ask_decal(&decal, unit);
    subjects.ask_legibility(&root, &legibility)?;
    if subjects.last("legibility").is_some() {
        subjects.seen = seen(&root, &legibility);
    } else {
        subjects.old.extend(SEEN.map(|name| (name, true)));
    }
    let quote = Some(&quote).filter(|_| fed && posted);
    let quoted = subjects.ask_film_and_price(&material, quote, known, &chosen)?;
    put_fair_day(&root, &subjects.prices);
    if subjects.prices.is_object() {
        let card = Object::new();
        let layouts = Float64Array::from(known.of(&material));
        put_at_name(&card, "layouts", &layouts);
        put_at_name(&card, "forms", &root);
        put_at_name(&card, "prices", &subjects.prices);
        put_at_name(&card, "today", &today().into());
        subjects.card = card.into();
    }
    subjects.rooms = rooms(&root, quoted.as_ref(), &currency, &symbol);
    if !at_name(&subjects.rooms, "fair").is_object() {
        subjects.old.push(("fair", true));
    }
    Ok(subjects)
}

/// What a packed piece takes from the decal and the order: the part's member, and where it stands.
const PARTS: [(&str, &str); 3] = [
    ("width", "decal.width"),
    ("height", "decal.height"),
    ("pieces", "quote.pieces"),
];

/// The day that it is where the page is read, as ISO 8601 writes it.
pub(super) fn today() -> String {
    let now = js_sys::Date::new_0();
    let (year, month, day) = (now.get_full_year(), now.get_month() + 1, now.get_date());
    format!("{year:04}-{month:02}-{day:02}")
}

/// Where a mistake of the quote lies on the page: in the channel that is chosen, or at the fields of the
/// price.
pub(super) fn quote_path(path: &str, channel: &str) -> String {
    match path.split_once('.') {
        Some(("channel", member)) => format!("book.channels[{channel}].{member}"),
        Some(("material", _)) => path.to_owned(),
        None if path == "currency" => path.to_owned(),
        _ => format!("quote.{path}"),
    }
}

/// The part of that name; an empty one where no field belongs to it.
fn part_of(root: &JsValue, name: &str) -> JsValue {
    let part = at_name(root, name);
    if part.is_object() {
        part
    } else {
        Object::new().into()
    }
}

/// Subjects for themselves, which the worker reckons: the names of their parts of the forms and of their
/// answers.
pub(super) const ROOMS: [&str; 5] = ["packs", "supplyList", "payback", "fair", "post"];

/// The same about how the decal is read, which are asked once that is known; each has all that legibility
/// is asked about as its member, but for the first, which is that.
pub(super) const SEEN: [&str; 4] = ["rules", "moving", "law", "sight"];

/// Puts the day at the fair beside the channels that are compared.
fn put_fair_day(root: &JsValue, prices: &JsValue) {
    if !prices.is_object() {
        return;
    }
    let (fair, day) = (part_of(root, "fair"), Object::new());
    for (member, from) in [
        ("tableFee", "tableFee"),
        ("travel", "travel"),
        ("hours", "hours"),
        ("sales", "sales.mean"),
    ] {
        put_at_name(&day, member, &at(&fair, from));
    }
    put_at_name(prices, "fair", &day);
}

/// The choice between postage that is typed and that of the class that the post says.
const POSTAGE_BY: &str = "postageBy";

/// Whether the order's postage is what its class costs.
pub(super) fn by_post(forms: &Forms) -> bool {
    forms.text(POSTAGE_BY) == "post"
}

/// The choice between times of the log and those of the drawing.
const TIMES_BY: &str = "timesBy";

/// Whether cutting and weeding take what the drawing says.
pub(super) fn by_drawing(forms: &Forms) -> bool {
    forms.text(TIMES_BY) == "drawing"
}

/// What the worker is asked about them; `priced` is the report of the price, from which a fair takes what
/// is not typed for it.
fn rooms(root: &JsValue, priced: Option<&JsValue>, currency: &JsValue, unit: &JsValue) -> JsValue {
    let rooms = Object::new();
    for name in ROOMS {
        let part = part_of(root, name);
        put_at_name(&part, "currency", currency);
        if ["supplyList", "post"].contains(&name) {
            put_at_name(&part, "unit", unit);
        }
        put_at_name(&rooms, name, &part);
    }
    let fair = at_name(&rooms, "fair");
    for (member, from) in [("price", "asked.price"), ("cost", "pieceCost")] {
        if !at_name(&fair, member).is_undefined() {
            continue;
        }
        match priced {
            Some(priced) => put_at_name(&fair, member, &at(priced, from)),
            // Without a price the fair is not asked about.
            None => put_at_name(&rooms, "fair", &JsValue::UNDEFINED),
        }
    }
    // What the packed piece weighs follows the decal and the order.
    let post = at_name(&rooms, "post");
    let parts = part_of(&post, "parts");
    for (member, from) in PARTS {
        put_at_name(&parts, member, &at(root, from));
    }
    put_at_name(&post, "parts", &parts);
    put_at_name(&post, "today", &today().into());
    put_at_name(&post, "prices", &at(root, "book.postage"));
    put_at_name(&post, "classes", &at(root, "book.postClasses"));
    rooms.into()
}

/// What the worker is asked about how the decal is read.
fn seen(root: &JsValue, legibility: &JsValue) -> JsValue {
    let rooms = Object::new();
    for name in SEEN {
        let part = part_of(root, name);
        put_at_name(&part, "legibility", legibility);
        let asked = if name == SEEN[0] { legibility } else { &part };
        put_at_name(&rooms, name, asked);
    }
    rooms.into()
}

/// Where a mistake of one of them lies on the page.
pub(super) fn room_path(room: &str, path: &str) -> String {
    if path == "currency" {
        return path.to_owned();
    }
    if room == "post" {
        let member = path.strip_prefix("parts.").unwrap_or_default();
        if let Some((_, field)) = PARTS.iter().find(|(part, _)| *part == member) {
            return (*field).to_owned();
        }
        for (list, field) in [
            ("rules", "postRules"),
            ("prices", "postage"),
            ("classes", "postClasses"),
        ] {
            if let Some(row) = path.strip_prefix(list) {
                return format!("book.{field}{row}");
            }
        }
    }
    format!("{room}.{path}")
}

/// Where a mistake of a part of the forms lies on the page.
fn within(part: &'static str) -> impl Fn(&str) -> String {
    move |path: &str| match path {
        "currency" => path.to_owned(),
        _ => format!("{part}.{path}"),
    }
}

impl Subjects {
    /// Asks for the drawing of the decal.
    fn ask_decal(&mut self, decal: &JsValue, unit: Unit) {
        match read::<DecalInput>(decal).and_then(|input| Decal::read(&input, unit)) {
            Ok(decal) => {
                let report = Object::new();
                put_at_name(&report, "size", &decal.size_text(unit).into());
                put_at_name(&report, "narrow", &decal.is_narrow().into());
                put_at_name(&report, "fitted", &decal.is_fitted().into());
                let words = decal.words();
                if let Some(letter) = words.letter_height(decal.width(), decal.height()) {
                    let wide = words.width_at(decal.letter_height());
                    put_at_name(&report, "fit", &on_ruler(letter, unit).into());
                    put_at_name(
                        &report,
                        "letter",
                        &shown(decal.letter_height(), unit).into(),
                    );
                    put_at_name(&report, "wide", &on_ruler(wide, unit).into());
                }
                self.answer("decal", report.into(), Some(decal.drawing(unit)));
            }
            Err(errors) => self.mistakes("decal", &errors, |path| format!("decal.{path}")),
        }
    }

    /// Asks how far it reads, and which of the places is chosen.
    fn ask_legibility(&mut self, root: &JsValue, legibility: &JsValue) -> Result<(), Fault> {
        put_at_name(legibility, "places", &at(root, "book.places"));
        let place = at_name(legibility, "place");
        if place.as_string().is_some_and(|place| place.is_empty()) {
            put_at_name(legibility, "place", &JsValue::UNDEFINED);
        }
        let draw: fn(&legibility::Answer) -> Element = legibility::Answer::drawing;
        self.ask(
            "legibility",
            legibility,
            legibility::answer,
            Some(draw),
            |path| {
                if path.starts_with("decal") {
                    path.to_owned()
                } else if path.starts_with("places") {
                    format!("book.{path}")
                } else {
                    format!("legibility.{path}")
                }
            },
        )
    }

    /// Puts the minutes that the drawing takes into the times, where that is chosen. Whether they are known.
    fn feed_time(&mut self, forms: &Forms, known: &Known, root: &JsValue) -> bool {
        if !by_drawing(forms) {
            return true;
        }
        let Some(drawing) = &known.drawing else {
            let error = InputError::new(
                Code::Impossible,
                say!("no drawing is open to tell them"),
                say!("open one, or choose the log"),
            );
            self.errors.push(error.at(TIMES_BY));
            self.old.extend([("time", true), ("quote", true)]);
            return false;
        };
        let times = Object::new();
        for name in ["cut", "weed"] {
            put_at_name(&times, name, &at_name(drawing, name));
        }
        put_at_name(&part_of(root, "time"), "drawing", &times);
        let known = drawing.is_object();
        if !known {
            self.old.extend([("time", true), ("quote", true)]);
        }
        known
    }

    /// Puts into the quote what other subjects say of it: the times of work, and what the licence of the
    /// design costs. Whether they could; without them there is no price.
    fn feed_price(
        &mut self,
        root: &JsValue,
        quote: &JsValue,
        currency: &JsValue,
    ) -> Result<bool, Fault> {
        let time = part_of(root, "time");
        self.ask("time", &time, quote::work_time, None, within("time"))?;
        let time = self.last("time");
        self.ask_licences(root, currency)?;
        let (Some(time), Some(licences)) = (time, self.last("licences")) else {
            return Ok(false);
        };
        put_at_name(quote, "setupTime", &at(&time, "setup"));
        put_at_name(quote, "orderTime", &at(&time, "order"));
        let learned = at(&time, "learning");
        let first = if learned.is_undefined() {
            at(&time, "piece")
        } else {
            put_at_name(quote, "learning", &at(&learned, "percent"));
            at(&learned, "first")
        };
        put_at_name(quote, "pieceTime", &first);
        let machine = part_of(quote, "machine");
        for step in Array::from(&at(&time, "steps")).iter() {
            if text_at(&step, "id").as_deref() == Some("cut") {
                put_at_name(&machine, "pieceTime", &at_name(&step, "each"));
            }
        }
        put_at_name(quote, "machine", &machine);
        put_at_name(quote, "licence", &at(&licences, "chosen.exactCost"));
        Ok(true)
    }

    /// Puts the postage of the packed piece's class into the quote, where that is chosen. Whether it is
    /// known.
    fn feed_postage(&mut self, forms: &Forms, known: &Known, quote: &JsValue) -> bool {
        if !by_post(forms) {
            return true;
        }
        let Some(paid) = &known.postage else {
            return false;
        };
        if paid.is_empty() {
            let error = InputError::new(
                Code::Impossible,
                say!("no price is entered for what this is for the post"),
                say!("enter it under Post, or type the postage here"),
            );
            self.errors.push(error.at(POSTAGE_BY));
            return false;
        }
        let postage = part_of(quote, "postage");
        put_at_name(&postage, "paid", &paid.into());
        put_at_name(quote, "postage", &postage);
        true
    }

    /// Asks how much film it takes, and what to ask for it, if all that belongs to it is there; gives the
    /// report of the price.
    fn ask_film_and_price(
        &mut self,
        material: &JsValue,
        quote: Option<&JsValue>,
        known: &Known,
        chosen: &str,
    ) -> Result<Option<JsValue>, Fault> {
        let layout = read::<MaterialInput>(material)
            .and_then(|input| material::report_knowing(&input, known.of(material)));
        // Where the layout has a mistake, the quote finds it again, and its own mistakes beside it.
        let quoted = quote.map(|quote| {
            read::<QuoteInput>(quote).and_then(|input| match &layout {
                Ok(layout) => quote::report_for(&input, layout),
                Err(_) => quote::report(&input),
            })
        });
        let priced = quoted.as_ref().is_some_and(Result::is_ok);
        self.old.push(("steps", layout.is_err() || !priced));
        match layout {
            Ok(report) => {
                self.searches = !report.proven;
                // What a layout by true shape is held against.
                let borders = Object::new();
                let length = report.cut_length().to_f64(report.unit);
                put_at_name(&borders, "length", &length.into());
                put_at_name(&borders, "count", &report.first_count().into());
                put_at_name(&self.nest, "borders", &borders);
                let picture = Some(report.drawing());
                self.answer("material", write(&report.without_placements())?, picture);
            }
            Err(errors) => self.mistakes("material", &errors, |path| format!("material.{path}")),
        }
        if !priced {
            // There is no use in asking for more of them.
            self.prices = JsValue::UNDEFINED;
        }
        match quoted {
            Some(Ok(report)) => {
                let written = write(&report)?;
                put_at_name(&written, "pay", &packed(&report.pay_drawing()));
                self.answer("quote", written, Some(report.drawing()));
            }
            Some(Err(errors)) => {
                self.mistakes("quote", &errors, |path| quote_path(path, chosen));
            }
            None => self.old.push(("quote", true)),
        }
        Ok(self.last("quote"))
    }

    /// The report of the subject that was asked last, if it is this one and was answered.
    fn last(&self, name: &str) -> Option<JsValue> {
        let last = self.answered.last();
        let last = last.filter(|answered| answered.name == name);
        last.map(|answered| answered.report.clone())
    }

    /// Asks which designs may be sold, and whether the order in hand may be.
    fn ask_licences(&mut self, root: &JsValue, currency: &JsValue) -> Result<(), Fault> {
        let licences = Object::new();
        put_at_name(&licences, "currency", currency);
        put_at_name(&licences, "today", &today().into());
        put_at_name(&licences, "designs", &at(root, "book.designs"));
        put_at_name(&licences, "pieces", &at(root, "quote.pieces"));
        // The select gives the place as a text, which would be a name.
        let place = at(root, "design").as_string().unwrap_or_default();
        if let Ok(place) = place.parse::<u32>() {
            put_at_name(&licences, "chosen", &place.into());
        }
        self.ask(
            "licences",
            &licences,
            quote::licences,
            None,
            |path| match path {
                "currency" => path.to_owned(),
                "pieces" => "quote.pieces".to_owned(),
                "chosen" => "design".to_owned(),
                _ => format!("book.{path}"),
            },
        )
    }

    /// Asks a room about a part of the forms; `path` tells where a mistake of its input lies on the page.
    fn ask<I: DeserializeOwned, R: Serialize>(
        &mut self,
        name: &'static str,
        part: &JsValue,
        reckon: fn(&I) -> Result<R, InputErrors>,
        draw: Option<fn(&R) -> Element>,
        path: impl Fn(&str) -> String,
    ) -> Result<(), Fault> {
        match read(part).and_then(|input| reckon(&input)) {
            Ok(report) => {
                let written = write(&report)?;
                self.answer(name, written, draw.map(|draw| draw(&report)));
            }
            Err(errors) => self.mistakes(name, &errors, path),
        }
        Ok(())
    }

    fn answer(&mut self, name: &'static str, report: JsValue, picture: Option<Element>) {
        self.old.push((name, false));
        self.answered.push(Answered {
            name,
            report,
            picture,
        });
    }

    fn mistakes(
        &mut self,
        name: &'static str,
        errors: &InputErrors,
        path: impl Fn(&str) -> String,
    ) {
        self.old.push((name, true));
        for error in errors.iter() {
            let path = path(&error.field);
            self.errors.push(error.clone().at(path));
        }
    }
}
