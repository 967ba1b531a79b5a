//! What the customers' page asks: a module for itself, in which nothing is that reckons costs.

use crate::api::members::packed;
use crate::api::tell::Teller;
use crate::api::{read, write};
use crate::drawing;
use crate::error::InputErrors;
use crate::rate_card::{self, CardQuestion, RateCard};
use serde::Serialize;
use wasm_bindgen::prelude::*;

/// Answers a task: to `check` a card, to `ask` a card a question, to draw a `picture` of what is asked, to make the `link`
/// of a question, to `unlink` a text, and to draw a text as a `code`. `label` says in words what a picture shows.
///
/// # Errors
/// Where an answer cannot be handed over; none of ours is so.
pub(crate) fn reckon(
    task: &str,
    input: &JsValue,
    label: &JsValue,
    teller: &Teller,
) -> Result<(), JsValue> {
    let text = |text: &JsValue| text.as_string().unwrap_or_default();
    let label = text(label);
    let question = || read::<CardQuestion>(input);
    let told = match task {
        "check" => read::<RateCard>(input)
            .and_then(|card| rate_card::check(&card))
            .map(|report| written(&report)),
        "ask" => question()
            .and_then(|question| rate_card::ask(&question))
            .map(|answer| written(&answer)),
        "picture" => question()
            .and_then(|question| Ok((rate_card::ask(&question)?, question)))
            .map(|(answer, question)| {
                let picture = rate_card::picture(&question, &answer, &label);
                Ok(packed(&picture))
            }),
        "link" => question()
            .and_then(|question| rate_card::link(&question))
            .map(|link| Ok(link.into())),
        "unlink" => rate_card::unlink(&text(input))
            .map_err(InputErrors::from)
            .map(|link| written(&link)),
        "code" => drawing::code(&text(input), &label)
            .map_err(InputErrors::from)
            .map(|code| Ok(packed(&code))),
        _ => return Ok(()),
    };
    match told {
        Ok(report) => teller.say("report", &report?),
        Err(errors) => teller.mistakes(&errors),
    }
}

fn written<R: Serialize>(report: &R) -> Result<JsValue, JsValue> {
    Ok(write(report)?)
}
