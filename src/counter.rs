//! What is made of the shop book for others, on a thread of its own: the rate card.

use crate::api::members::{at, at_name, put_at_name};
use crate::api::tell::Teller;
use crate::api::{read, write};
use crate::quote::{self, RateCardInput};
use js_sys::{JSON, Object};
use wasm_bindgen::prelude::*;

/// Reckons a task and tells what it finds.
///
/// # Errors
/// Where an answer cannot be handed over; none of ours is so.
pub(crate) fn reckon(task: &str, input: &JsValue, teller: &Teller) -> Result<(), JsValue> {
    match task {
        "rateCard" => rate_card(input, teller),
        _ => Ok(()),
    }
}

/// The text of the card's file. The input is all that stands in the `forms`, what is asked about `prices`, and which day
/// `today` is. A mistake's path is that of the forms' member, but for those in the question about prices.
fn rate_card(input: &JsValue, teller: &Teller) -> Result<(), JsValue> {
    let card = read::<RateCardInput>(&card_input(input));
    match card.and_then(|input| quote::rate_card(&input)) {
        Ok(card) => {
            let card = write(&card)?;
            let report = Object::new();
            let text = JSON::stringify_with_replacer_and_space(&card, &JsValue::NULL, &1.into())?;
            put_at_name(&report, "text", &text.into());
            teller.say("report", &report)
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
    card
}

/// Where a mistake of the card's input lies in the forms.
fn place(path: &str) -> String {
    let (first, rest) = path.split_at(path.find(['.', '[']).unwrap_or(path.len()));
    match (first, rest) {
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
