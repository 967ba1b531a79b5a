//! What a maker is told of a card: where more pieces cost less in all than fewer, and at which field of the book a
//! mistake of the card lies.

mod rate_cards;

use decal_reckoner::api::decode;
use decal_reckoner::error::{Code, InputErrors};
use decal_reckoner::quote::{RateCardInput, rate_card};
use decal_reckoner::rate_card::{CardQuestion, RateCard, ask, bargain};
use proptest::prelude::*;
use rate_cards::{book, spoil};
use rust_decimal::Decimal;
use serde_json::{Value, json};

fn made(book: &Value) -> Result<RateCard, InputErrors> {
    let input: RateCardInput =
        decode(&book.to_string()).unwrap_or_else(|errors| panic!("{errors:?}"));
    rate_card(&input)
}

/// A card with prices of two sizes in cents, from these quantities on.
fn card(quantities: &[u32], prices: &[Vec<u32>]) -> Value {
    let cents = |cents: &u32| format!("{}.{:02}", cents / 100, cents % 100);
    let rows: Vec<Vec<String>> = prices
        .iter()
        .map(|row| row.iter().map(cents).collect())
        .collect();
    json!({
        "format": "decal-reckoner rate card", "version": 1, "edition": 1, "shop": "Heron Lake Lettering",
        "design": "Boat name", "from": "2026-11-28", "currency": "USD", "unit": "in",
        "lettering": { "words": "KITTIWAKE" },
        "sizes": [{ "width": "6 in", "height": "2 in" }, { "width": "9 in", "height": "3 in" }],
        "films": [{ "name": "white" }], "quantities": quantities, "most": 40,
        "channels": [{ "name": "post", "posted": true }], "prices": [[rows]],
    })
}

/// What so many pieces cost together, as a customer is told it.
fn together(card: &Value, channel: &Value, film: &Value, width: &Value, pieces: u32) -> Decimal {
    let question = json!({
        "card": card, "channel": channel, "film": film, "width": width, "pieces": pieces, "today": "2026-12-01",
    });
    let question: CardQuestion =
        decode(&question.to_string()).unwrap_or_else(|errors| panic!("{errors:?}"));
    let told = ask(&question).unwrap_or_else(|errors| panic!("{errors:?}"));
    told.items.unwrap().parse().unwrap()
}

/// The numbers of pieces of a card that cost more than one piece more, by asking for each.
fn asked_for_each(card: &Value) -> Vec<(u32, u32)> {
    let mut found = Vec::new();
    let list = |name: &str| card[name].as_array().unwrap().clone();
    for channel in list("channels") {
        for film in list("films") {
            for size in list("sizes") {
                let all: Vec<Decimal> = (1..=20)
                    .map(|n| together(card, &channel["name"], &film["name"], &size["width"], n))
                    .collect();
                for (fewer, pair) in (1..).zip(all.windows(2)) {
                    if pair[0] > pair[1] {
                        found.push((fewer, fewer + 1));
                    }
                }
            }
        }
    }
    found
}

fn found(card: &Value) -> Option<(u32, u32)> {
    let card: RateCard = decode(&card.to_string()).unwrap_or_else(|errors| panic!("{errors:?}"));
    let bargain = bargain(&card).unwrap_or_else(|errors| panic!("{errors:?}"));
    bargain.map(|bargain| (bargain.fewer, bargain.more))
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]

    /// Of the quantities that are asked for one by one, the first that costs more than one piece more is the one that
    /// the maker is told; where there is none, nothing is told.
    #[test]
    fn more_for_less_is_told_exactly_where_it_is(
        steps in prop::collection::vec(1u32..6, 0..3),
        cents in prop::collection::vec(100u32..1000, 8),
    ) {
        let mut quantities = vec![1];
        for step in steps {
            quantities.push(quantities.last().unwrap() + step);
        }
        let rows: Vec<Vec<u32>> = (0..2)
            .map(|size| cents[size * 4..size * 4 + quantities.len()].to_vec())
            .collect();
        let card = card(&quantities, &rows);
        prop_assert_eq!(found(&card), asked_for_each(&card).first().copied());
    }
}

/// 4 × 8.50 = 34.00, and 5 × 4.00 = 20.00; 3 lies half-way from 1 to 5. 4 × 5.00 = 5 × 4.00 is no bargain.
#[test]
fn it_is_told_where_it_is_and_what_helps() {
    let odd = card(&[1, 5], &[vec![500, 400], vec![850, 400]]);
    let odd: RateCard = decode(&odd.to_string()).unwrap_or_else(|errors| panic!("{errors:?}"));
    let told = bargain(&odd).unwrap().unwrap();
    for part in ["5 of 9 in less than 4", "post", "white", "such as 3"] {
        assert!(told.text.contains(part), "{part}: {}", told.text);
    }
    assert_eq!(
        found(&card(&[1, 5], &[vec![500, 400], vec![500, 400]])),
        None
    );
}

/// The cards of the invented book, with few quantities and with many.
#[test]
fn of_a_card_that_is_made_the_same_is_told() {
    for quantities in ["1, 5, 10", "1, 2, 3, 4, 6, 8", "1"] {
        let mut book = book();
        book["prices"]["quantities"] = json!(quantities);
        let made = made(&book).unwrap_or_else(|errors| panic!("{errors:?}"));
        let told = bargain(&made).unwrap();
        let card = serde_json::to_value(&made).unwrap();
        let each = asked_for_each(&card);
        assert_eq!(
            told.map(|told| (told.fewer, told.more)),
            each.first().copied(),
            "{quantities}: {each:?}"
        );
    }
}

/// A card has the films, sizes and channels that are offered, in their order: what is wrong with one of them is told at its
/// place in the book.
#[test]
fn a_mistake_of_the_card_is_told_at_its_place_in_the_book() {
    for (place, value, code, field) in [
        ("/edition", json!(""), Code::Missing, "edition"),
        ("/edition", json!("0"), Code::TooSmall, "edition"),
        ("/edition", json!("x"), Code::NotANumber, "edition"),
        ("/most", json!("3"), Code::TooSmall, "most"),
        ("/mail", json!("not a mail"), Code::WrongType, "mail"),
        (
            "/mail",
            json!("javascript:alert(1)"),
            Code::WrongType,
            "mail",
        ),
        ("/until", json!("2020-01-01"), Code::Impossible, "until"),
        ("/shop", json!(""), Code::Missing, "shop"),
        // 90 in are wider than any film.
        (
            "/prices/sizes/1/width",
            json!("90"),
            Code::DoesNotFit,
            "prices.sizes[1].width",
        ),
        ("/design", json!(" "), Code::Missing, "design"),
        // The first film on the card is the second one on the shelf.
        ("/stock/1/name", json!(""), Code::Missing, "stock[1].name"),
        (
            "/films/1/colour",
            json!("red"),
            Code::WrongType,
            "films[1].colour",
        ),
        (
            "/prices/channels/1/name",
            json!(""),
            Code::Missing,
            "prices.channels[1].name",
        ),
    ] {
        let mut book = book();
        book["films"][0]["offered"] = json!(false);
        book["prices"]["channels"][0]["offered"] = json!(false);
        let errors = made(&spoil(&book, place, &value)).expect_err(place);
        assert_eq!(
            (errors.first().code, errors.first().field.as_str()),
            (code, field),
            "{place} {value}"
        );
    }
}
