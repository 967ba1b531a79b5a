//! What is reckoned on a thread of its own, in the worker, and how it is handed to the page.
//!
//! A module for itself, which the worker's script (`part.js`) loads when it is asked for the first time.

use crate::api::members::{at, at_name, packed, put_at_name};
use crate::api::tell::{Teller, list};
use crate::api::{read, write};
use crate::drawing::Element;
use crate::error::InputErrors;
use crate::legibility::screen::{SightReport, sight};
use crate::legibility::{self, LegibilityReport, moving};
use crate::material::{self, Effort, JobReport, LayoutReport};
use crate::post;
use crate::quote::{self, JobQuote, JobQuoteInput, PacksReport, PricesInput, SizeStepsInput};
use js_sys::{Array, Float64Array, JSON, Object};
use say::say;
use serde::Serialize;
use serde::de::DeserializeOwned;
use wasm_bindgen::prelude::*;

/// So many milliseconds lie between two answers while a search goes on; more could not be looked at.
const BETWEEN: f64 = 400.0;

/// So many lines, layouts and pieces of each layout are shown; what is more stands in the cut list
/// that can be saved.
const LINES: usize = 100;
const LAYOUTS: usize = 24;
const PIECES: usize = 300;

/// Reckons a task and tells what it finds, the last time with all that was found.
///
/// # Errors
/// Where an answer cannot be handed over; none of ours is so.
pub(crate) fn reckon(task: &str, input: &JsValue, teller: &Teller) -> Result<(), JsValue> {
    let desk = Desk { teller };
    match task {
        "order" => desk.order(input),
        "film" => desk.film(input),
        "prices" => desk.prices(input),
        "rooms" | "seen" => desk.rooms(input),
        _ => Ok(()),
    }
}

struct Desk<'a> {
    teller: &'a Teller<'a>,
}

impl Desk<'_> {
    fn order(&self, input: &JsValue) -> Result<(), JsValue> {
        let quote = read::<JobQuoteInput>(input).and_then(|input| JobQuote::new(&input));
        let mut quote = match quote {
            Ok(quote) => quote,
            Err(errors) => return self.teller.mistakes(&errors),
        };
        self.say("report", &order(&quote)?)?;
        if !quote.plan.is_done() {
            self.say("share", &quote.plan.share_done().into())?;
        }
        let mut told = js_sys::Date::now();
        let mut better = false;
        while !quote.plan.is_done() {
            better |= quote.plan.search(&mut |_| true);
            let now = js_sys::Date::now();
            if better && now - told >= BETWEEN {
                self.say("report", &order(&quote)?)?;
                (told, better) = (now, false);
            }
            self.say("share", &quote.plan.share_done().into())?;
        }
        if better {
            self.say("report", &order(&quote)?)?;
        }
        Ok(())
    }

    /// Size steps, and then a better layout of the film where a thorough search finds one.
    fn film(&self, input: &JsValue) -> Result<(), JsValue> {
        // The same mistakes are told by the forms' own reckoning.
        let Ok(mut input) = read::<SizeStepsInput>(input) else {
            return Ok(());
        };
        let (Ok(steps), Ok(quick)) = (quote::steps(&input), material::report(&input.material))
        else {
            return Ok(());
        };
        let report = write(&steps)?;
        put_at_name(&report, "drawing", &packed(&steps.drawing()));
        self.say("report", &report)?;
        if quick.proven {
            return Ok(());
        }
        self.say("searching", &true.into())?;
        input.material.effort = Effort::Thorough;
        if let Ok(thorough) = material::report(&input.material) {
            let known = Float64Array::from(&thorough.layouts_as_numbers()[..]);
            self.say("known", &known)?;
        }
        Ok(())
    }

    /// Other sizes, quantities, a set, other channels.
    fn prices(&self, input: &JsValue) -> Result<(), JsValue> {
        match read::<PricesInput>(input).and_then(|input| quote::prices(&input)) {
            Ok(prices) => {
                let report = write(&prices)?;
                if let Some(drawing) = prices.drawing() {
                    put_at_name(&report, "drawing", &packed(drawing));
                }
                self.say("report", &report)
            }
            Err(errors) => self.teller.mistakes(&errors),
        }
    }

    /// Subjects for themselves: each that the input has a member for, told by name as soon as it is
    /// reckoned, whatever is wrong with the others.
    fn rooms(&self, input: &JsValue) -> Result<(), JsValue> {
        self.room(input, "packs", quote::packs, Some(PacksReport::drawing))?;
        self.room(input, "supplyList", quote::list, None)?;
        self.room(input, "payback", quote::payback, None)?;
        self.room(input, "fair", quote::fair, None)?;
        self.room(input, "post", post::report, None)?;
        self.room(
            input,
            "rules",
            legibility::report,
            Some(LegibilityReport::drawing),
        )?;
        self.room(input, "moving", moving::report, None)?;
        self.room(input, "law", legibility::law, None)?;
        self.room(input, "sight", sight, Some(SightReport::drawings))
    }

    fn room<I: DeserializeOwned, R: Serialize>(
        &self,
        input: &JsValue,
        name: &str,
        reckon: fn(&I) -> Result<R, InputErrors>,
        draw: Option<fn(&R) -> Element>,
    ) -> Result<(), JsValue> {
        let part = at_name(input, name);
        if !part.is_object() {
            return Ok(());
        }
        let said = Object::new();
        put_at_name(&said, "room", &name.into());
        match read(&part).and_then(|input| reckon(&input)) {
            Ok(report) => {
                let written = write(&report)?;
                if let Some(draw) = draw {
                    put_at_name(&written, "drawing", &packed(&draw(&report)));
                }
                put_at_name(&said, "report", &written);
            }
            Err(errors) => put_at_name(&said, "errors", &list(&errors)?),
        }
        self.teller.tell(&said)
    }

    fn say(&self, what: &str, value: &JsValue) -> Result<(), JsValue> {
        self.teller.say(what, value)
    }
}

/// The report of an order as the page shows it: with the cost of each film beside it, each layout
/// with its drawing as a text for itself, and no more of it than can be looked at.
fn order(quote: &JobQuote) -> Result<JsValue, JsValue> {
    let mut report = quote.report();
    let cut_list = report.job.cut_list();
    let cannot_book = cannot_book(&report.job);
    let more = shortened(&mut report.job);
    let drawings = quote.plan.drawings(LAYOUTS);
    let costs = std::mem::take(&mut report.film_costs);
    let films = report.job.films.iter_mut();
    let mut layouts: Vec<_> = films
        .map(|film| (film.film.clone(), std::mem::take(&mut film.layouts)))
        .collect();
    let written = write(&report)?;
    put_at_name(&written, "cutList", &cut_list.into());
    for (name, text) in [("more", more), ("cannotBook", cannot_book)] {
        put_at_name(&written, name, &text.into());
    }
    let films = Array::from(&at(&written, "job.films"));
    for (film, cost) in films.iter().zip(costs) {
        put_at_name(&film, "cost", &cost.into());
    }
    let cards = Array::new();
    for ((film, layouts), drawings) in layouts.iter_mut().zip(&drawings) {
        let mut heading = Some(film.as_str());
        for (layout, drawing) in layouts.iter_mut().zip(drawings) {
            cards.push(&card(layout, heading.take(), drawing)?);
        }
    }
    put_at_name(&written, "cards", &cards);
    Ok(written)
}

/// A layout as the page shows it, as JSON text: the first one of its film has a heading above it.
fn card(
    layout: &mut LayoutReport,
    heading: Option<&str>,
    drawing: &Element,
) -> Result<JsValue, JsValue> {
    let placements = std::mem::take(&mut layout.placements);
    let card = write(layout)?;
    let rows = placements.iter().map(|placed| {
        let row = Object::new();
        put_at_name(&row, "number", &placed.number.into());
        put_at_name(&row, "turned", &placed.turned.into());
        for (name, text) in [
            ("name", &placed.name),
            ("x", &placed.x.text),
            ("y", &placed.y.text),
            ("sizeText", &placed.size_text),
        ] {
            put_at_name(&row, name, &text.into());
        }
        row
    });
    put_at_name(&card, "rows", &rows.collect::<Array>());
    put_at_name(&card, "heading", &heading.into());
    put_at_name(&card, "drawing", &packed(drawing));
    Ok(JSON::stringify(&card)?.into())
}

/// Why the order cannot be taken off the shelf as it stands.
fn cannot_book(job: &JobReport) -> Option<&'static str> {
    let short = job.films.iter().any(|film| film.short);
    short.then_some(say!("There is too little on the shelf for all of it."))
}

/// Leaves out what is too much to be shown, and says so.
fn shortened(job: &mut JobReport) -> Option<&'static str> {
    let mut more = job.lines.len() > LINES;
    job.lines.truncate(LINES);
    job.bad.truncate(LINES);
    let mut layouts = LAYOUTS;
    for film in &mut job.films {
        more |= film.layouts.len() > layouts;
        film.layouts.truncate(layouts);
        layouts -= film.layouts.len();
        for layout in &mut film.layouts {
            more |= layout.placements.len() > PIECES;
            layout.placements.truncate(PIECES);
        }
    }
    more.then_some(say!(
        "Not all of it is shown; the cut list that you can save is complete."
    ))
}
