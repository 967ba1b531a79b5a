//! What is made of the shop book for others, on a thread of its own: the rate card, and what stands on papers.

use crate::api::members::{at, at_name, packed, put_at_name};
use crate::api::tell::Teller;
use crate::api::{read, write};
use crate::error::{Code, InputError};
use crate::material::{self, MaterialInput};
use crate::measure;
use crate::post::{self, PostInput};
use crate::quote::{self, LicencesInput, QuoteInput, RateCardInput, TimeInput};
use crate::rate_card;
use js_sys::{Array, Float64Array, JSON, Object};
use say::say;
use wasm_bindgen::prelude::*;

/// Reckons a task and tells what it finds.
///
/// # Errors
/// Where an answer cannot be handed over; none of ours is so.
pub(crate) fn reckon(task: &str, input: &JsValue, teller: &Teller) -> Result<(), JsValue> {
    match task {
        "rateCard" => make_card(input, teller),
        "papers" => papers(input, teller),
        _ => Ok(()),
    }
}

/// The text of the card's file. The input is all that stands in the `forms`, what is asked about `prices`, which day
/// `today` is, and the `outline` of the drawing in hand, if there is one. A mistake's path is that of the forms' member, but for those in the question about prices.
fn make_card(input: &JsValue, teller: &Teller) -> Result<(), JsValue> {
    let card = read::<RateCardInput>(&card_input(input));
    match card.and_then(|input| quote::rate_card(&input)) {
        Ok(card) => {
            let report = Object::new();
            if let Ok(Some(bargain)) = rate_card::bargain(&card) {
                put_at_name(&report, "bargain", &bargain.text.into());
            }
            let card = write(&card)?;
            let text = JSON::stringify_with_replacer_and_space(&card, &JsValue::NULL, &1.into())?;
            put_at_name(&report, "text", &text.into());
            teller.say("report", &report)
        }
        Err(errors) if errors.iter().any(|error| error.field == "from") => {
            let day = at_name(input, "today").as_string().unwrap_or_default();
            let message = say!(
                "this device's clock says {day}, and a card begins on the day on which it is made"
            );
            // That day is typed nowhere: it is told at the one on which the card ends.
            let error = InputError::new(Code::Impossible, message, say!("set the clock right"));
            teller.mistakes(&error.at("rateCard.until").into())
        }
        Err(errors) => teller.mistakes(&errors.moved(place)),
    }
}

/// What a card is made from, gathered from the forms.
fn card_input(input: &JsValue) -> JsValue {
    let forms = at_name(input, "forms");
    let card = at_name(&forms, "rateCard");
    let lettering = at_name(&card, "lettering");
    let take = |to: &JsValue, member: &str, from: JsValue| {
        if !from.is_undefined() {
            put_at_name(to, member, &from);
        }
    };
    take(&lettering, "words", at(&forms, "decal.lettering"));
    take(&lettering, "face", at(&forms, "decal.face"));
    for member in [
        "reader",
        "acuity",
        "mount",
        "case",
        "xHeight",
        "contrast",
        "light",
        "lightShare",
        "aside",
        "rake",
        "reserve",
        "factor",
    ] {
        let from = at_name(&at_name(&forms, "legibility"), member);
        // A field that is left empty is left out.
        if from.as_string().is_none_or(|text| !text.is_empty()) {
            take(&lettering, member, from);
        }
    }
    take(&card, "letterHeight", at(&forms, "decal.letterHeight"));
    take(&card, "stock", at(&forms, "order.job.films"));
    take(&card, "bought", at(&forms, "order.prices"));
    take(&card, "prices", at_name(input, "prices"));
    take(&card, "from", at_name(input, "today"));
    take(&card, "outline", at_name(input, "outline"));
    card
}

/// Where a mistake of the card's input lies in the forms.
fn place(path: &str) -> String {
    let (first, rest) = path.split_at(path.find(['.', '[']).unwrap_or(path.len()));
    match (first, rest) {
        // Of what is ticked nowhere the first box tells.
        ("prices", ".channels") => "prices.channels[0].offered".to_owned(),
        ("films", "") => "rateCard.films[0].offered".to_owned(),
        ("prices", _) => path.to_owned(),
        ("stock", _) => format!("order.job.films{rest}"),
        ("bought", _) => format!("order.prices{rest}"),
        ("letterHeight", _) => "decal.letterHeight".to_owned(),
        ("lettering", ".words" | ".face") => format!(
            "decal{}",
            if rest == ".words" { ".lettering" } else { rest }
        ),
        ("lettering", _) => format!("legibility{rest}"),
        _ => format!("rateCard.{path}"),
    }
}

/// Of which form what is told for papers is; the page of papers leaves another one alone.
const VERSION: u32 = 1;

/// Tells what stands on papers. Of what is wrong with the forms their own reckoning tells: here only that there is
/// nothing for papers, so that what was told before is not taken for the answer.
fn papers(input: &JsValue, teller: &Teller) -> Result<(), JsValue> {
    let said = Object::new();
    put_at_name(&said, "room", &"papers".into());
    match papers_of(input)? {
        Some(report) => put_at_name(&said, "report", &report),
        None => put_at_name(&said, "errors", &Array::new()),
    }
    teller.tell(&said)
}

/// The text of what stands on papers: figures and names, and no sentences, for papers are in several languages; and in
/// words what is quoted. The input is that of the rate card, with the `layouts` of the film that are known to be better
/// than quick ones.
fn papers_of(input: &JsValue) -> Result<Option<Object>, JsValue> {
    let forms = at_name(input, "forms");
    let quote = at(input, "prices.quote");
    let Ok(mut order) = read::<QuoteInput>(&quote) else {
        return Ok(None);
    };
    // The maker's own price is quoted where the maker says so.
    let by_own = at(&forms, "papers.price").as_string().as_deref() == Some("own");
    if !by_own {
        order.own_price = None;
    }
    let layouts = Float64Array::from(at_name(input, "layouts")).to_vec();
    let Ok(layout) = material::report_knowing(&order.material, &layouts) else {
        return Ok(None);
    };
    let Ok(sale) = quote::sale(&order, &layout) else {
        return Ok(None);
    };
    let Some(film) = film(&order.material, sale.pieces, &layouts)? else {
        return Ok(None);
    };
    let papers = Object::new();
    let put = |member: &str, value: &JsValue| put_at_name(&papers, member, value);
    put("version", &VERSION.into());
    put("day", &at_name(input, "today"));
    put("shop", &at(&forms, "rateCard.shop"));
    put("what", &at(&forms, "rateCard.design"));
    put("words", &at(&forms, "decal.lettering"));
    put("glass", &at(&forms, "legibility.contrast.glass"));
    put("mirrored", &at(&forms, "cutFile.reverse"));
    put("drawing", &at(&forms, "drawing.id").is_truthy().into());
    let films = Array::from(&at(&forms, "order.job.films"));
    let names = films.iter().map(|film| at_name(&film, "name"));
    put("films", &names.collect::<Array>());
    put("sale", &write(&sale)?);
    put("film", &film);
    if let Ok(licences) =
        read::<LicencesInput>(&licences_input(input)).and_then(|input| quote::licences(&input))
        && let Some(design) = licences.chosen
    {
        // What papers show of it, and no sentence in the page's language.
        let shown = Object::new();
        put_at_name(&shown, "name", &design.name.into());
        put_at_name(&shown, "may", &write(&design.may)?);
        put_at_name(&shown, "blocked", &design.blocked.into());
        put_at_name(&shown, "credit", &design.credit.into());
        put("design", &shown);
    }
    put("minutes", &minutes(&forms, sale.pieces));
    put("post", &class_of_post(&forms));
    let told = Object::new();
    put_at_name(&told, "text", &JSON::stringify(&papers)?.into());
    for (member, amount) in [("price", &sale.price), ("items", &sale.items)] {
        put_at_name(&told, member, &amount.as_str().into());
    }
    put_at_name(&told, "pieces", &measure::pieces(sale.pieces).into());
    let own = by_own && order.own_price.is_some_and(|own| !own.trim().is_empty());
    let whose = if own {
        say!("your own price")
    } else {
        say!("the price to ask")
    };
    put_at_name(&told, "whose", &whose.into());
    Ok(Some(told))
}

/// The film that the whole order takes: the piece, the stock, the layouts and a picture of each of them.
fn film(asked: &MaterialInput, pieces: u32, known: &[f64]) -> Result<Option<JsValue>, JsValue> {
    let laid = |pieces: u32| {
        let mut asked = asked.clone();
        for piece in &mut asked.pieces {
            piece.quantity = Some(pieces.into());
        }
        // What is known of another number of pieces is not used.
        material::report_knowing(&asked, known)
    };
    let Ok(layout) = laid(pieces) else {
        return Ok(None);
    };
    let (unit, film) = (layout.unit, Object::new());
    let (wide, high) = layout.piece_size();
    let mut lengths = vec![("pieceWidth", wide), ("pieceHeight", high)];
    if let Ok(terms) = material::terms(asked) {
        lengths.extend([
            ("width", terms.width),
            ("margin", terms.margin),
            ("gap", terms.gap),
        ]);
        lengths.extend(terms.length.map(|length| ("length", length)));
    }
    for (member, length) in lengths {
        put_at_name(&film, member, &write(&length.measured(unit))?);
    }
    put_at_name(&film, "picture", &packed(&layout.drawing()));
    let (sheets, last) = (Array::new(), layout.sheets.last());
    // A sheet that is not full is laid out by itself, for its picture.
    let last = last.filter(|_| layout.sheets.len() > 1);
    let last = last.and_then(|last| laid(last.count).ok());
    if let Some(last) = &last {
        put_at_name(&film, "last", &packed(&last.drawing()));
    }
    let written = write(&layout.without_placements())?;
    for member in ["unit", "stock", "quantity"] {
        put_at_name(&film, member, &at_name(&written, member));
    }
    for sheet in Array::from(&at_name(&written, "sheets")).iter() {
        sheets.push(&sheet);
    }
    if let Some(last) = last {
        let last = write(&last.without_placements())?;
        sheets.pop();
        sheets.push(&at(&last, "sheets.0"));
    }
    let sheets = sheets.iter().map(|sheet| {
        let told = Object::new();
        for member in ["copies", "count", "cutLength"] {
            put_at_name(&told, member, &at_name(&sheet, member));
        }
        told
    });
    put_at_name(&film, "sheets", &sheets.collect::<Array>());
    Ok(Some(film.into()))
}

/// What is asked about the design in hand.
fn licences_input(input: &JsValue) -> JsValue {
    let forms = at_name(input, "forms");
    let asked = Object::new();
    put_at_name(&asked, "currency", &at_name(&forms, "currency"));
    put_at_name(&asked, "today", &at_name(input, "today"));
    put_at_name(&asked, "designs", &at(&forms, "book.designs"));
    put_at_name(&asked, "pieces", &at(&forms, "quote.pieces"));
    // The select gives the place as a text, which would be a name.
    let place = at_name(&forms, "design").as_string().unwrap_or_default();
    if let Ok(place) = place.parse::<u32>() {
        put_at_name(&asked, "chosen", &place.into());
    }
    asked.into()
}

/// About how many minutes each step of the order takes, by the name of the step; none where a time cannot be read.
fn minutes(forms: &JsValue, pieces: u32) -> JsValue {
    let Ok(times) =
        read::<TimeInput>(&at_name(forms, "time")).and_then(|input| quote::work_time(&input))
    else {
        return JsValue::UNDEFINED;
    };
    // Who gets faster from piece to piece takes less for each on average.
    let practice = times.learning.map_or(1.0, |learning| {
        if times.piece > 0.0 {
            learning.mean / times.piece
        } else {
            1.0
        }
    });
    let minutes = Object::new();
    for step in &times.steps {
        let whole = match step.id {
            "setup" | "pack" => step.ready + step.each,
            _ => step.ready + step.each * practice * f64::from(pieces),
        };
        put_at_name(&minutes, step.id, &whole.into());
    }
    minutes.into()
}

/// What the packed order is for the post, as far as its outside was told: the class by its id, and by its name where that
/// is the maker's own. The page completes what its forms tell of the post before any of it is asked.
fn class_of_post(forms: &JsValue) -> JsValue {
    let asked = at_name(forms, "post");
    let Ok(report) = read::<PostInput>(&asked).and_then(|input| post::report(&input)) else {
        return JsValue::UNDEFINED;
    };
    let class = Object::new();
    if let Some(id) = &report.id {
        if id.starts_with("own-") {
            put_at_name(&class, "name", &report.headline.into());
        }
        put_at_name(&class, "id", &id.into());
    }
    class.into()
}
