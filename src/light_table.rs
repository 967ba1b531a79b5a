//! The light table: what is read off a drawing, in a worker of its own. A module for itself, which is
//! loaded when a drawing is opened.
//!
//! A drawing is read and joined once; what is told of it at another size is told of the same.

use crate::api::members::{at, at_name, packed, put_at_name};
use crate::api::tell::{Teller, list};
use crate::api::{read, write};
use crate::artwork::{
    self, ArtworkInput, ArtworkReport, BordersInput, CheckReport, CutFileInput, Prepared,
    TrueShapeInput, TrueShapeReport,
};
use crate::drawing::Element;
use crate::error::InputErrors;
use crate::measure::{Count, LengthInput};
use crate::quote::{self, DrawingMeasuresInput, DrawingTimeInput, DrawingTimeReport};
use js_sys::{Array, Object};
use say::say;
use serde::Serialize;
use std::cell::RefCell;
use wasm_bindgen::prelude::*;

/// A drawing to try it with, of which most has to be mended.
const EXAMPLE: &str = include_str!("light_table/example.svg");

/// Reckons a task about the drawing whose text is `attached`, and tells what it finds.
///
/// # Errors
/// Where an answer cannot be handed over; none of ours is so.
pub(crate) fn reckon(
    task: &str,
    input: &JsValue,
    attached: &JsValue,
    teller: &Teller,
) -> Result<(), JsValue> {
    match task {
        "artwork" => artwork(input, attached, teller),
        "cutFile" => cut_file(input, attached, teller),
        "nest" => nest(input, attached, teller),
        _ => {
            warm_up();
            Ok(())
        }
    }
}

/// Reads a small drawing for nobody: browsers make most of a module ready to run only when it runs, which takes them
/// longer than the drawing does.
fn warm_up() {
    let _ = artwork::report(&ArtworkInput {
        svg: EXAMPLE.to_owned(),
        ..ArtworkInput::default()
    });
}

/// A drawing that was read, and from which text in which way.
struct Held {
    text: JsValue,
    input: ArtworkInput,
    prepared: Prepared,
}

thread_local! {
    static HELD: RefCell<Option<Held>> = const { RefCell::new(None) };
}

/// Does something with the drawing, which is read if it is not the one that was read last.
fn with_drawing<R>(
    input: &ArtworkInput,
    text: &JsValue,
    teller: &Teller,
    act: impl FnOnce(&Prepared) -> Result<R, InputErrors>,
) -> Result<R, InputErrors> {
    HELD.with_borrow_mut(|held| {
        let same = |held: &Held| {
            let Held {
                text: of,
                input: by,
                ..
            } = held;
            let way = |input: &ArtworkInput| (input.lines, input.colours, input.ground.clone());
            of == text && way(by) == way(input)
        };
        if !held.as_ref().is_some_and(same) {
            // One that is read in vain is not the one before.
            *held = None;
        }
        let held = match held {
            Some(held) => held,
            none => {
                let mut input = input.clone();
                input.svg = text.as_string().unwrap_or_default();
                let prepared = artwork::prepare(&input, &mut |share| {
                    // Whoever does not hear it loses nothing.
                    let _ = teller.say("share", &share.into());
                })?;
                // The browser has the text.
                input.svg = String::new();
                let text = text.clone();
                none.insert(Held {
                    text,
                    input,
                    prepared,
                })
            }
        };
        act(&held.prepared)
    })
}

fn artwork(input: &JsValue, attached: &JsValue, teller: &Teller) -> Result<(), JsValue> {
    let report = read::<ArtworkInput>(&at_name(input, "artwork"))
        .and_then(|input| with_drawing(&input, attached, teller, |drawing| drawing.report(&input)));
    let time = read::<DrawingTimeInput>(&at_name(input, "time"));
    let report = match report {
        Ok(report) => report,
        Err(errors) => {
            // What else is wrong is not told only once this is mended.
            let errors = errors.within("artwork");
            return teller.mistakes(&match time.and_then(|time| quote::without_drawing(&time)) {
                Ok(()) => errors,
                Err(more) => errors.and(more.within("drawingTime")),
            });
        }
    };
    let (said, written) = (Object::new(), told(&report)?);
    let time = time.and_then(|mut input| {
        input.measures = measures(&report);
        quote::drawing_time(&input)
    });
    let mut rows = rows(&report);
    match time {
        Ok(time) => {
            rows.extend(time_rows(&time));
            put_at_name(&written, "time", &write(&time)?);
        }
        Err(errors) => put_at_name(&said, "errors", &list(&errors.within("drawingTime"))?),
    }
    put_at_name(&written, "measures", &write(&rows)?);
    put_at_name(&said, "report", &written);
    teller.tell(&said)
}

/// A report as the page shows it: with its pictures, and what is said of the whole.
fn told(report: &ArtworkReport) -> Result<JsValue, JsValue> {
    let written = write(report)?;
    put_at_name(&written, "drawing", &packed(&report.drawing()));
    let checks = Array::from(&at_name(&written, "checks"));
    for (check, sign) in checks.iter().zip(report.signs()) {
        put_at_name(&check, "sign", &packed(sign));
    }
    if let [_, _, ..] = report.films[..] {
        let films = at_name(&written, "films");
        for (film, of) in Array::from(&films).iter().zip(&report.films) {
            put_at_name(&film, "swatch", &packed(&swatch(&of.colour)));
        }
        put_at_name(&written, "layers", &films);
    }
    let least = report.passes_from.as_ref();
    // What it passes from is rounded up: just below, it may pass already.
    let fails = |check: &CheckReport| !check.ok && check.passes_from.is_some();
    let small = least.is_some_and(|least| least.value > report.width.value)
        && report.checks.iter().any(fails);
    put_at_name(&written, "tooSmall", &small.into());
    let verdict = match report.faults {
        0 if report.omitted.is_empty() => say!("Nothing to mend").to_owned(),
        0 => say!("Nothing to mend in what is cut, but something is left out").to_owned(),
        faults => say!(faults; "1 thing to mend", "{faults} things to mend"),
    };
    put_at_name(&written, "verdict", &verdict.into());
    Ok(written)
}

/// A film's colour as it is seen.
fn swatch(colour: &str) -> Element {
    let square = Element::new("rect")
        .with("width", "10")
        .with("height", "10");
    Element::new("svg")
        .with("viewBox", "0 0 10 10")
        .with("aria-hidden", "true")
        .child(square.with("fill", colour))
}

/// What is measured, as the time for the drawing is reckoned from it.
fn measures(report: &ArtworkReport) -> DrawingMeasuresInput {
    let count = |count: u32| Some(Count::Number(count.into()));
    DrawingMeasuresInput {
        cut_length: Some(LengthInput::Number(report.cut_length.value)),
        travel: Some(LengthInput::Number(report.travel.value)),
        outlines: count(report.outlines),
        pieces: count(report.pieces),
        islands: count(report.islands),
    }
}

/// One line of what is measured.
#[derive(Serialize)]
struct Row {
    label: &'static str,
    text: String,
    note: String,
}

impl Row {
    fn new(label: &'static str, text: &str, note: &str) -> Self {
        Self {
            label,
            text: text.to_owned(),
            note: note.to_owned(),
        }
    }

    fn count(label: &'static str, count: u32) -> Self {
        Self::new(label, &count.to_string(), "")
    }
}

fn rows(report: &ArtworkReport) -> Vec<Row> {
    vec![
        Row::count(say!("Pieces that stay"), report.pieces),
        Row::count(say!("Islands to be picked out"), report.islands),
        Row::count(say!("Outlines to be cut"), report.outlines),
        Row::count(say!("Nodes"), report.nodes),
        Row::new(say!("Cut length"), &report.cut_length.text, ""),
        Row::new(say!("Travel"), &report.travel.text, ""),
        Row::new(say!("Film that stays"), &report.stays_text, ""),
        Row::new(say!("Film that goes"), &report.goes_text, ""),
    ]
}

fn time_rows(time: &DrawingTimeReport) -> [Row; 3] {
    [
        Row::new(say!("Cutting"), &time.cut_text, &time.cut_from),
        Row::new(say!("Weeding"), &time.weed_text, &time.weed_from),
        Row::new(say!("How fiddly"), &time.effort.word, &time.effort.text),
    ]
}

/// The file for the cutter; the drawing to try it with where nothing is asked.
fn cut_file(input: &JsValue, attached: &JsValue, teller: &Teller) -> Result<(), JsValue> {
    if at(input, "artwork").is_undefined() {
        return teller.say("example", &EXAMPLE.into());
    }
    let file = read::<CutFileInput>(input).and_then(|input| {
        with_drawing(&input.artwork, attached, teller, |drawing| {
            drawing.cut_file(&input)
        })
    });
    match file {
        Ok(file) => teller.say("file", &file.into()),
        Err(errors) => teller.mistakes(&errors.within("cutFile")),
    }
}

/// A layout by true shape, each better one as it is found.
fn nest(input: &JsValue, attached: &JsValue, teller: &Teller) -> Result<(), JsValue> {
    let tell = |report: &TrueShapeReport| {
        let written = write(report)?;
        put_at_name(&written, "drawing", &packed(&report.drawing()));
        teller.say("report", &written)
    };
    let mut told = Ok(());
    let asked = Object::new();
    for part in ["artwork", "material"] {
        put_at_name(&asked, part, &at_name(input, part));
    }
    let found = read::<TrueShapeInput>(&asked).and_then(|asked| {
        with_drawing(&asked.artwork, attached, teller, |drawing| {
            let borders = read::<BordersInput>(&at_name(input, "borders"))?;
            let borders = borders.read(asked.material.unit)?;
            drawing.lay(&asked, borders, &mut |share, better| {
                told = better.map_or(Ok(()), |report| tell(&report));
                told.is_ok() && teller.say("share", &share.into()).is_ok()
            })
        })
    });
    told?;
    match found {
        Ok(report) => tell(&report),
        Err(errors) => teller.mistakes(&errors),
    }
}
