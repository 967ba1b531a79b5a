//! What a customer sees of the decal.

use super::ask::{CardAnswer, CardQuestion};
use super::check::Size;
use crate::decal::{Decal, DecalInput};
use crate::drawing::{Element, framed, mm, number};
use crate::legibility::contrast::{colour_of, luminance};
use crate::measure::{LengthInput, Unit};

/// Behind light film, and behind dark.
const DARK_GROUND: &str = "#3f5560";
const LIGHT_GROUND: &str = "#f1ecdd";

/// A film whose colour is not told.
const FILM: &str = "#24516b";

/// A film whose colour reflects more than this is light: between it and black, and between it and white, the contrast
/// ratio of WCAG 2.2 is the same.
const LIGHT: f64 = 0.179;

/// The decal of an answer to scale, with rulers in its unit: the outline of what is cut where the card has one and the
/// words are those of the card, else its words in a plain face. `label` is the picture in words.
#[must_use]
pub fn picture(question: &CardQuestion, answer: &CardAnswer, label: &str) -> Element {
    let card = &question.card;
    let Size {
        width,
        height,
        letter,
    } = answer.shown;
    let film = card.films.iter().find(|film| film.name == answer.film);
    let colour = film.and_then(|film| film.colour.as_deref()).unwrap_or(FILM);
    let light = colour_of(colour).map(luminance);
    let ground = if light.is_some_and(|light| light > LIGHT) {
        DARK_GROUND
    } else {
        LIGHT_GROUND
    };
    let outline = card
        .outline
        .as_deref()
        .filter(|_| answer.words == card.lettering.words);
    let decal = DecalInput {
        lettering: Some(answer.words.clone()),
        width: Some(width.into()),
        height: Some(height.into()),
        letter_height: letter.or(Some(height)).map(LengthInput::from),
        face: card.lettering.face,
        ..DecalInput::default()
    };
    let decal = Decal::read(&decal, answer.unit).ok();
    let content = |_: f64| {
        let mut content = vec![
            Element::new("rect")
                .with("class", "ground")
                .with("width", mm(width))
                .with("height", mm(height))
                .with("fill", ground),
        ];
        if let Some(outline) = outline {
            let scale = number(width.to_f64(Unit::Mm) / 1000.0 * 1e6);
            content.push(
                Element::new("path")
                    .with("class", "film")
                    .with("d", outline)
                    .with("transform", format!("scale({scale}e-6)"))
                    .with("fill", colour)
                    .with("fill-rule", "evenodd"),
            );
        } else if let Some(decal) = &decal
            && !answer.words.trim().is_empty()
        {
            content.push(
                Element::new("g")
                    .with("class", "film")
                    .children(decal.drawn_lettering(colour)),
            );
        }
        content
    };
    framed((width, height), 0, answer.unit, label, &content)
}
