//! The published schemas of rate cards and of the messages of `<decal-quote>`: that the program and they say the same, by
//! another library's reading of JSON Schema.

mod rate_cards;
#[path = "rate_cards/spoilt.rs"]
mod spoilt;

use decal_reckoner::api::decode;
use decal_reckoner::quote::{RateCardInput, rate_card};
use decal_reckoner::rate_card::{RateCard, check};
use jsonschema::Validator;
use proptest::prelude::*;
use rate_cards::{book, spoil};
use serde_json::{Value, json};
use spoilt::spoilt;
use std::fs;
use std::path::Path;
use std::sync::LazyLock;

fn schema(name: &str) -> Value {
    let file = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("schemas")
        .join(name);
    let text = fs::read_to_string(file).unwrap();
    let schema: Value = serde_json::from_str(&text).unwrap();
    assert!(jsonschema::meta::is_valid(&schema), "{name} is no schema");
    schema
}

static CARDS: LazyLock<Validator> =
    LazyLock::new(|| jsonschema::draft202012::new(&schema("rate-card.schema.json")).unwrap());

static MESSAGES: LazyLock<Validator> =
    LazyLock::new(|| jsonschema::draft202012::new(&schema("messages.schema.json")).unwrap());

/// What the schema holds against a value.
fn complaints(schema: &Validator, value: &Value) -> Vec<String> {
    let errors = schema.iter_errors(value);
    errors
        .map(|error| format!("{}: {error}", error.instance_path()))
        .collect()
}

/// The program's own word for it.
fn is_taken(card: &Value) -> bool {
    decode::<RateCard>(&card.to_string()).is_ok_and(|card| check(&card).is_ok())
}

fn card() -> Value {
    let input: RateCardInput = decode(&book().to_string()).unwrap();
    serde_json::to_value(rate_card(&input).unwrap()).unwrap()
}

#[test]
fn a_card_that_the_program_makes_is_as_the_schema_says() {
    let made = card();
    assert_eq!(complaints(&CARDS, &made), [""; 0]);
    // With everything that the schema knows of.
    let mut full = made;
    full["note"] = json!("Weeded and taped.\nTwo days.");
    full["outline"] = json!("M0 0h1000v333.3H0Z\nM1e2,1-2a1 1 0 0 1 2.5 3");
    full["lettering"] = json!({
        "words": "KITTIWAKE\nBay", "free": false, "face": "script", "reader": "safety", "acuity": "6/12",
        "mount": "high", "case": "mixed", "xHeight": 70, "light": "dusk", "lightShare": "45 %", "aside": "30",
        "rake": 10.5, "reserve": "5", "factor": 100,
        "contrast": { "by": "reflectances", "film": "#fff", "ground": "24516B", "filmReflectance": 85,
                      "groundReflectance": "12", "glass": "outside", "transmission": "70 %", "interior": 5 },
    });
    assert!(is_taken(&full));
    assert_eq!(complaints(&CARDS, &full), [""; 0]);
}

/// What only the program can say: what it costs to know what a length, a day or a currency is, and what two places of a
/// card have to do with each other.
const BEYOND: [(&str, &str); 10] = [
    ("/until", "\"2026-11-27\""),
    ("/until", "\"2027-02-30\""),
    ("/sizes/0/width", "\"0 in\""),
    ("/sizes/0/width", "\"60 ells\""),
    ("/sizes/1/width", "\"6 in\""),
    ("/films/1/name", "\"lake white\""),
    ("/quantities", "[1,5,5]"),
    ("/most", "9"),
    ("/channels/1/name", "\"shop page\""),
    ("/prices/0/1/2", "[\"9.99\"]"),
];

#[test]
fn what_the_program_refuses_the_schema_refuses_where_it_can() {
    let good = card();
    for (place, value, _, _) in spoilt() {
        let bad = spoil(&good, place, &value);
        assert!(!is_taken(&bad), "{place} {value}");
        let beyond = BEYOND.contains(&(place, value.to_string().as_str()));
        assert_eq!(CARDS.is_valid(&bad), beyond, "{place} {value}");
    }
    // Nothing that is not listed, at any depth.
    for place in [
        "/wage",
        "/lettering/wage",
        "/lettering/contrast/wage",
        "/sizes/0/cost",
        "/films/0/price",
        "/channels/0/fees",
    ] {
        let bad = spoil(&good, place, &json!("21.50"));
        assert!(!is_taken(&bad) && !CARDS.is_valid(&bad), "{place}");
    }
    // Each member that must be there, left out.
    for place in [
        "/format",
        "/version",
        "/edition",
        "/shop",
        "/design",
        "/from",
        "/currency",
        "/unit",
        "/lettering",
        "/sizes",
        "/films",
        "/quantities",
        "/most",
        "/channels",
        "/prices",
        "/sizes/0/width",
        "/sizes/0/height",
        "/films/0/name",
        "/channels/0/name",
    ] {
        let bad = spoil(&good, place, &Value::Null);
        assert!(!is_taken(&bad) && !CARDS.is_valid(&bad), "{place}");
    }
}

/// A number, or the same as a text.
fn told(number: u32) -> impl Strategy<Value = Value> {
    prop_oneof![Just(json!(number)), Just(json!(number.to_string()))]
}

fn name() -> impl Strategy<Value = String> {
    "[^\\p{C}\u{2028}\u{2029}]{1,80}"
}

fn maybe(value: impl Strategy<Value = Value> + 'static) -> BoxedStrategy<Option<Value>> {
    prop::option::of(value).boxed()
}

/// An object of the members that are there.
fn object(members: Vec<(&'static str, BoxedStrategy<Option<Value>>)>) -> BoxedStrategy<Value> {
    let (names, values): (Vec<_>, Vec<_>) = members.into_iter().unzip();
    let object = move |values: Vec<Option<Value>>| {
        let members = names.iter().zip(values);
        let members = members.filter_map(|(name, value)| Some(((*name).to_owned(), value?)));
        Value::Object(members.collect())
    };
    values.prop_map(object).boxed()
}

fn one_of(choices: &'static [&'static str]) -> BoxedStrategy<Option<Value>> {
    maybe(prop::sample::select(choices).prop_map(|choice| json!(choice)))
}

fn lettering() -> BoxedStrategy<Value> {
    let colour = || maybe("#?([0-9a-fA-F]{3}|[0-9a-fA-F]{6})".prop_map(Value::from));
    let percent = || maybe((1..=100_u32).prop_flat_map(told));
    let contrast = object(vec![
        ("by", one_of(&["strong", "colours", "reflectances"])),
        ("film", colour()),
        ("ground", colour()),
        ("filmReflectance", percent()),
        ("groundReflectance", percent()),
        ("glass", one_of(&["none", "outside", "inside"])),
        ("transmission", percent()),
        ("interior", percent()),
    ]);
    let acuity = prop::sample::select(vec!["20/40", "6/7.5", "0.5", "", " 20/20 "]);
    object(vec![
        (
            "words",
            maybe("[^\\p{Cc}]{0,20}(\n[A-Za-z]{0,9})?".prop_map(Value::from)),
        ),
        ("free", maybe(any::<bool>().prop_map(Value::from))),
        ("face", one_of(&["plain", "condensed", "script"])),
        (
            "reader",
            one_of(&["passing", "atEase", "accessible", "board", "safety"]),
        ),
        ("acuity", maybe(acuity.prop_map(Value::from))),
        ("mount", one_of(&["eyeLevel", "overhead", "high"])),
        ("case", one_of(&["asWritten", "caps", "mixed"])),
        ("xHeight", maybe((30..=100_u32).prop_flat_map(told))),
        ("contrast", maybe(contrast)),
        (
            "light",
            one_of(&["day", "dusk", "retroreflective", "headlights"]),
        ),
        ("lightShare", percent()),
        ("aside", maybe((0..=80_u32).prop_flat_map(told))),
        ("rake", maybe((0..=80_u32).prop_flat_map(told))),
        ("reserve", maybe((0..=80_u32).prop_flat_map(told))),
        ("factor", maybe((10..=3_000_u32).prop_flat_map(told))),
    ])
}

/// A width from the place in the list on, so that each is wider than the one before it, as people write it.
fn sizes(count: usize) -> BoxedStrategy<Value> {
    let size = |at: usize| {
        let least = 100 + 250 * u32::try_from(at).unwrap();
        let width = (least..least + 250, 0..4_u8).prop_map(|(width, way)| match way {
            0 => json!(format!("{width} mm")),
            1 => json!(format!("{}.{} cm", width / 10, width % 10)),
            2 => json!(format!("{}m", f64::from(width) / 1000.0)),
            _ => json!(format!(
                "{} {}/8 in",
                width * 8 / 203,
                width * 8 % 203 * 8 / 203
            )),
        });
        let height = (30..90_u32).prop_map(|height| json!(format!("{height}mm")));
        let letter = maybe((10..30_u32).prop_map(|letter| json!(format!("{letter} mm"))));
        let width = width.prop_map(Some).boxed();
        object(vec![
            ("width", width),
            ("height", height.prop_map(Some).boxed()),
            ("letterHeight", letter),
        ])
    };
    let sizes: Vec<_> = (0..count).map(size).collect();
    sizes.prop_map(Value::from).boxed()
}

fn films(count: usize) -> BoxedStrategy<Value> {
    let film = || {
        object(vec![
            ("name", name().prop_map(|name| Some(json!(name))).boxed()),
            ("colour", maybe("#[0-9a-fA-F]{6}".prop_map(Value::from))),
        ])
    };
    prop::collection::vec(film(), count)
        .prop_map(Value::from)
        .boxed()
}

fn amounts(currency: &str) -> BoxedStrategy<String> {
    match currency {
        "JPY" => "[1-9][0-9]{0,4}".boxed(),
        "KWD" => "[1-9][0-9]{0,2}\\.[0-9]{3}".boxed(),
        _ => "[1-9][0-9]{0,3}\\.[0-9]{2}".boxed(),
    }
}

fn channels(count: usize, currency: &'static str) -> BoxedStrategy<Value> {
    let posted = prop_oneof![
        Just((None, None)),
        Just((Some(json!(false)), None)),
        amounts(currency).prop_map(|postage| (Some(json!(true)), Some(json!(postage)))),
        Just((Some(json!(true)), None)),
    ];
    let rest = || {
        object(vec![
            ("name", name().prop_map(|name| Some(json!(name))).boxed()),
            ("tax", one_of(&["none", "added", "included"])),
            ("taxPercent", maybe((0..=100_u32).prop_flat_map(told))),
            ("taxOnPostage", maybe(any::<bool>().prop_map(Value::from))),
        ])
    };
    let channel = (rest(), posted).prop_map(|(mut channel, (posted, postage))| {
        for (member, value) in [("posted", posted), ("postage", postage)] {
            if let Some(value) = value {
                channel[member] = value;
            }
        }
        channel
    });
    prop::collection::vec(channel, count)
        .prop_map(Value::from)
        .boxed()
}

fn cards() -> BoxedStrategy<Value> {
    // Few of each as a rule, and now and then as many as there may be.
    let up_to = |most: usize| prop_oneof![12 => 1..=3_usize, 1 => Just(most)];
    let counts = (
        up_to(12),
        up_to(24),
        up_to(12),
        up_to(12),
        prop::sample::select(vec!["USD", "JPY", "KWD", "eur"]),
    );
    let card = |(channels, films, sizes, quantities, currency): (
        usize,
        usize,
        usize,
        usize,
        &'static str,
    )| {
        let price = prop_oneof![1 => Just(String::new()), 4 => amounts(currency)];
        let rows = prop::collection::vec(price, quantities);
        let rows = prop::collection::vec(
            prop::collection::vec(prop::collection::vec(rows, sizes), films),
            channels,
        );
        let quantities: Vec<_> = (0..u32::try_from(quantities).unwrap())
            .map(|at| told(1 + at * 7))
            .collect();
        let day = || "20[0-9]{2}-(0[1-9]|1[0-2])-(0[1-9]|1[0-9]|2[0-8])";
        object(vec![
            (
                "format",
                Just(Some(json!("decal-reckoner rate card"))).boxed(),
            ),
            ("version", told(1).prop_map(Some).boxed()),
            (
                "edition",
                (1..=1_000_000_u32)
                    .prop_flat_map(told)
                    .prop_map(Some)
                    .boxed(),
            ),
            ("shop", name().prop_map(|name| Some(json!(name))).boxed()),
            ("design", name().prop_map(|name| Some(json!(name))).boxed()),
            (
                "note",
                maybe(
                    "[^\\p{C}\u{2028}\u{2029}]{0,300}\n?[^\\p{C}\u{2028}\u{2029}]{0,299}"
                        .prop_map(Value::from),
                ),
            ),
            (
                "mail",
                maybe(
                    "[a-zA-Z0-9._+-]{1,20}@[a-z0-9-]{1,20}(\\.[a-z0-9-]{1,9}){1,3}"
                        .prop_map(Value::from),
                ),
            ),
            ("from", day().prop_map(|day| Some(json!(day))).boxed()),
            (
                "until",
                maybe("2[1-9][0-9]{2}-12-3[01]".prop_map(Value::from)),
            ),
            ("currency", Just(Some(json!(currency))).boxed()),
            (
                "unit",
                prop::sample::select(vec!["in", "ft", "yd", "mm", "cm", "m"])
                    .prop_map(|unit| Some(json!(unit)))
                    .boxed(),
            ),
            ("lettering", lettering().prop_map(Some).boxed()),
            ("sizes", self::sizes(sizes).prop_map(Some).boxed()),
            ("films", self::films(films).prop_map(Some).boxed()),
            (
                "quantities",
                quantities.prop_map(|all| Some(json!(all))).boxed(),
            ),
            (
                "most",
                (100..=10_000_u32)
                    .prop_flat_map(told)
                    .prop_map(Some)
                    .boxed(),
            ),
            (
                "channels",
                self::channels(channels, currency).prop_map(Some).boxed(),
            ),
            ("prices", rows.prop_map(|rows| Some(json!(rows))).boxed()),
            (
                "outline",
                maybe("[MmLlHhVvCcSsQqTtAaZz0-9eE+., \n-]{0,200}".prop_map(Value::from)),
            ),
        ])
    };
    counts.prop_flat_map(card).boxed()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 256, max_global_rejects: 4_096, ..ProptestConfig::default() })]

    /// Whatever the program takes is as the schema says. One in a few of these cards is not taken: words that do not fit,
    /// a name that stands there twice.
    #[test]
    fn a_card_that_the_program_takes_is_as_the_schema_says(card in cards()) {
        prop_assume!(is_taken(&card));
        let complaints = complaints(&CARDS, &card);
        prop_assert!(complaints.is_empty(), "{complaints:?}\n{card}");
    }
}

/// A message with these members beside those of every message.
fn message(kind: &str, more: &Value) -> Value {
    let mut message = json!({ "decalQuote": 1, "frame": "1-7", "type": kind });
    for (name, value) in more.as_object().into_iter().flatten() {
        message[name] = value.clone();
    }
    message
}

/// What tests/browser/tests/site/shop.rs hears is held against the schema there; these are what it must tell apart.
#[test]
fn messages_are_told_apart() {
    let quote = json!({
        "edition": 3, "currency": "USD", "channel": "post", "film": "white", "words": "", "pieces": 5, "unit": "in",
        "taxKind": "none", "asks": [], "width": 9, "height": 3, "price": "9.50",
    });
    let with = |member: &str, value: Value| {
        let mut other = quote.clone();
        other[member] = value;
        json!({ "quote": other })
    };
    for (kind, more, good) in [
        ("ready", json!({}), true),
        ("ready", json!({ "card": 1 }), false),
        ("begin", json!({}), false),
        (
            "start",
            json!({ "theme": { "ink": "#000" }, "language": "es", "channel": "post", "card": null }),
            true,
        ),
        ("start", json!({ "card": { "format": "any" } }), true),
        ("start", json!({ "theme": { "ink": 7 } }), false),
        ("theme", json!({}), false),
        ("theme", json!({ "theme": { "else": 7 } }), true),
        ("language", json!({ "language": null }), true),
        ("language", json!({ "language": 7 }), false),
        ("height", json!({ "height": 812 }), true),
        ("height", json!({ "height": -1 }), false),
        ("height", json!({ "height": 0.5 }), false),
        ("quote", json!({ "quote": quote }), true),
        ("quote", with("price", json!(9.5)), false),
        ("quote", with("wage", json!("21.50")), false),
        ("quote", with("asks", json!(["because"])), false),
        (
            "request",
            json!({ "by": "mail", "subject": "a", "text": "b", "quote": quote }),
            true,
        ),
        (
            "request",
            json!({ "by": "post", "subject": "a", "text": "b", "quote": quote }),
            false,
        ),
        ("problem", json!({ "problem": "no-card" }), true),
        ("problem", json!({ "problem": "it broke" }), false),
    ] {
        assert_eq!(
            MESSAGES.is_valid(&message(kind, &more)),
            good,
            "{kind} {more}"
        );
    }
    for other in [
        json!(null),
        json!("ready"),
        json!({ "type": "ready" }),
        json!({ "decalQuote": 2, "frame": "1", "type": "ready" }),
    ] {
        assert!(!MESSAGES.is_valid(&other), "{other}");
    }
}
