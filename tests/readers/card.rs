//! A card that is taken is one by its schema and by its own writing, and whatever is asked of it is told in its own
//! prices.

use super::{Told, link, size};
use decal_reckoner::api::decode;
use decal_reckoner::error::InputErrors;
use decal_reckoner::measure::{Length, Measured, Unit};
use decal_reckoner::money::TaxKind;
use decal_reckoner::rate_card::{
    CardAnswer, CardQuestion, CardReport, RateCard, ask, bargain, check, picture,
};
use jsonschema::Validator;
use rust_decimal::Decimal;
use std::collections::BTreeSet;
use std::sync::LazyLock;

static SCHEMA: LazyLock<Validator> = LazyLock::new(|| {
    let text = include_str!("../../schemas/rate-card.schema.json");
    let schema = serde_json::from_str(text).expect("the schema is JSON");
    jsonschema::draft202012::new(&schema).expect("the schema is one")
});

/// So many questions are asked of one card.
const QUESTIONS: usize = 16;

pub fn read(text: &str) -> Told {
    if let Ok(question) = decode::<CardQuestion>(text) {
        return match answered(&question) {
            Ok(answer) => Told::taken(format!("question {}", like(&answer))),
            Err(errors) => Told::mistakes(&errors),
        };
    }
    let card: RateCard = match decode(text) {
        Ok(card) => card,
        Err(errors) => return Told::mistakes(&errors),
    };
    let report = match check(&card) {
        Ok(report) => report,
        Err(errors) => {
            // Nothing is told by a card that is not a good one.
            let question = asked(&card, None, 0, None);
            assert!(ask(&question).is_err() && bargain(&card).is_err());
            return Told::mistakes(&errors);
        }
    };
    let written = serde_json::to_string(&card).expect("a card is written");
    let again: RateCard = decode(&written).expect("what was written is read");
    assert_eq!(check(&again), Ok(report.clone()));
    let value = serde_json::from_str(&written).expect("it is JSON");
    let complaints: Vec<String> = SCHEMA
        .iter_errors(&value)
        .map(|error| format!("{}: {error}", error.instance_path()))
        .collect();
    assert_eq!(complaints, [""; 0], "{written}");
    let told = bargain(&card).expect("the card is a good one");
    if let Some(told) = &told {
        assert_eq!(told.fewer + 1, told.more);
    }
    let kinds = questions(&card, &report);
    assert_eq!(
        ask(&asked(&card, None, 0, None)),
        ask(&asked(&again, None, 0, None))
    );
    let kinds: Vec<String> = kinds.into_iter().collect();
    Told::taken(format!(
        "card {} {} {} {}",
        size(card.sizes.len()),
        size(card.prices.iter().flatten().flatten().flatten().count()),
        told.is_some(),
        kinds.join(" ")
    ))
}

/// Asks for widths at, between and beyond the sizes, in numbers at and beyond those that are listed.
fn questions(card: &RateCard, report: &CardReport) -> BTreeSet<String> {
    let widths = report.widths.iter().map(|width| {
        let width = Length::parse(width, Unit::Mm).expect("a card's width is a length");
        assert!(width > Length::ZERO);
        width.nm()
    });
    let widths: Vec<i64> = widths.collect();
    let (first, last) = (widths[0], widths[widths.len() - 1]);
    let between = widths
        .windows(2)
        .map(|pair| i64::midpoint(pair[0], pair[1]));
    let mut all: Vec<i64> = between.chain([first - 1, last + 1]).collect();
    all.extend(&widths);
    let mut kinds = BTreeSet::new();
    for (index, nm) in all.into_iter().enumerate().take(QUESTIONS) {
        // Not longer than a decal may be.
        let width =
            Some(Length::from_nm(nm)).filter(|width| decal_reckoner::decal::SIDE.holds(*width));
        let words = (index % 3 == 1).then_some("Åse\n\u{202e}of the \u{1f426} lake");
        let question = asked(card, width, index, words);
        let answer = answered(&question).expect("a good card answers");
        kinds.insert(like(&answer));
    }
    kinds
}

fn asked(
    card: &RateCard,
    width: Option<Length>,
    index: usize,
    words: Option<&str>,
) -> CardQuestion {
    let units = [
        None,
        Some(Unit::In),
        Some(Unit::Mm),
        Some(Unit::Cm),
        Some(Unit::Ft),
    ];
    let name = |names: Vec<&String>| {
        let place = (index + 1).checked_rem(names.len())?;
        names.get(place).map(|name| (*name).clone())
    };
    let counts: Vec<_> = card.quantities.iter().chain([&card.most]).collect();
    let pieces = index
        .checked_rem(counts.len() + 1)
        .and_then(|place| counts.get(place).copied().cloned());
    CardQuestion {
        card: card.clone(),
        unit: units[index % units.len()],
        channel: name(card.channels.iter().map(|channel| &channel.name).collect()),
        film: name(card.films.iter().map(|film| &film.name).collect()),
        width: width.map(Into::into),
        pieces,
        words: words.map(ToOwned::to_owned),
        today: card
            .until
            .as_ref()
            .filter(|_| !index.is_multiple_of(4))
            .unwrap_or(&card.from)
            .clone(),
    }
}

/// An answer, held against the card.
///
/// # Errors
/// Those of [`ask`].
fn answered(question: &CardQuestion) -> Result<CardAnswer, InputErrors> {
    let answer = ask(question)?;
    let card = &question.card;
    let lengths = [Some(&answer.width), Some(&answer.height)].into_iter();
    let lengths = lengths.chain([
        answer.charged.as_ref(),
        answer.letter_height.as_ref(),
        answer.distance.as_ref(),
        answer.larger.as_ref().map(|larger| &larger.width),
        answer.larger.as_ref().map(|larger| &larger.height),
        answer
            .larger
            .as_ref()
            .and_then(|larger| larger.distance.as_ref()),
    ]);
    for length in lengths.flatten() {
        measured(length);
    }
    let place = |names: Vec<&String>, name: &String| {
        let place = names.iter().position(|other| *other == name);
        place.expect("the name is one of the card's")
    };
    let channel = place(
        card.channels.iter().map(|channel| &channel.name).collect(),
        &answer.channel,
    );
    let film = place(
        card.films.iter().map(|film| &film.name).collect(),
        &answer.film,
    );
    let listed: BTreeSet<&str> = card.prices[channel][film]
        .iter()
        .flatten()
        .map(String::as_str)
        .filter(|text| !text.is_empty())
        .collect();
    assert!(
        answer
            .breaks
            .iter()
            .all(|row| listed.contains(row.price.as_str()))
    );
    assert!(
        answer
            .breaks
            .windows(2)
            .all(|pair| pair[0].from < pair[1].from)
    );
    assert!(answer.breaks.iter().filter(|row| row.counts).count() <= 1);
    assert_eq!(
        answer.asks.is_empty(),
        answer.total.is_some(),
        "a price or a reason"
    );
    assert_eq!(answer.price.is_some(), answer.total.is_some());
    if let (Some(price), Some(items), Some(total)) = (&answer.price, &answer.items, &answer.total) {
        assert!(listed.contains(price.as_str()), "{price}");
        let [one, items, total] = [price, items, total].map(|text| amount(text));
        let postage = answer.postage.as_deref().map_or(Decimal::ZERO, amount);
        let tax = answer.tax.as_deref().map_or(Decimal::ZERO, amount);
        assert_eq!(items, one * Decimal::from(answer.pieces));
        let added = if answer.tax_kind == TaxKind::Added {
            tax
        } else {
            Decimal::ZERO
        };
        assert_eq!(total, items + postage + added);
        assert!(tax <= total);
    }
    let drawn = picture(question, &answer, "what is \"drawn\" & <more>").to_svg();
    usvg::roxmltree::Document::parse(&drawn).expect("a picture is XML");
    link::of(question);
    Ok(answer)
}

fn measured(length: &Measured) {
    assert!(length.value.is_finite() && length.value > 0.0, "{length:?}");
    assert!(Length::parse(&length.text, Unit::In).is_ok(), "{length:?}");
}

fn amount(text: &str) -> Decimal {
    let amount: Decimal = text.parse().expect("an amount is a number");
    assert!(amount >= Decimal::ZERO);
    amount
}

fn like(answer: &CardAnswer) -> String {
    format!(
        "{:?}{}{}",
        answer.asks,
        u8::from(answer.distance.is_some()),
        u8::from(answer.larger.is_some())
    )
}
