//! The rate card: its prices against the quote of each offer by itself, what it must not tell, what it refuses, and what
//! a customer is told of it.

#[path = "rate_cards/card.rs"]
mod card;
mod rate_cards;
#[path = "rate_cards/spoilt.rs"]
mod spoilt;

use card::card as easy;
use decal_reckoner::api::decode;
use decal_reckoner::error::{Code, InputErrors};
use decal_reckoner::measure::Measured;
use decal_reckoner::quote::{QuoteInput, QuoteReport, RateCardInput, rate_card, report};
use decal_reckoner::rate_card::{
    Ask, CardAnswer, CardQuestion, LONGEST_LINK, RateCard, ask, check, link, unlink,
};
use proptest::prelude::*;
use rate_cards::{book, spoil};
use rust_decimal::Decimal;
use serde_json::{Value, json};
use spoilt::spoilt;

fn merge(all: &mut Value, more: &Value) {
    match (all, more) {
        (Value::Object(all), Value::Object(more)) => {
            for (name, value) in more {
                merge(all.entry(name).or_insert(Value::Null), value);
            }
        }
        (all, more) => *all = more.clone(),
    }
}

fn with(more: &Value) -> Value {
    let mut all = book();
    merge(&mut all, more);
    all
}

fn made(book: &Value) -> Result<RateCard, InputErrors> {
    let input: RateCardInput =
        decode(&book.to_string()).unwrap_or_else(|errors| panic!("{errors:?}"));
    rate_card(&input)
}

fn card(book: &Value) -> Value {
    let card = made(book).unwrap_or_else(|errors| panic!("{errors:?}"));
    serde_json::to_value(card).unwrap()
}

/// Reads a card as it is read from a file.
fn read(card: &Value) -> Result<RateCard, InputErrors> {
    decode(&card.to_string())
}

fn decimal(text: &str) -> Decimal {
    text.parse().unwrap()
}

/// One offer of the book as a quote by itself.
fn offer(book: &Value, channel: usize, film: usize, width: i64, pieces: u32) -> Value {
    let mut quote = book["prices"]["quote"].clone();
    quote["channel"] = book["prices"]["channels"][channel].clone();
    let stock = &book["stock"][film];
    quote["material"]["sheet"] = json!({ "width": stock["width"] });
    if stock["length"].is_null() {
        // As many as the sheet in hand gives.
        quote["material"]["pieces"][0]["quantity"] = json!(8);
    } else {
        quote["material"]["sheet"]["length"] = stock["length"].clone();
    }
    quote["film"] = book["bought"][film].clone();
    quote["material"]["pieces"][0]["width"] = json!(width);
    // The design is three times as wide as high.
    quote["material"]["pieces"][0]["height"] = json!(format!("{width}/3"));
    quote["pieces"] = json!(pieces);
    // 40 % of the work on a piece grow with the width.
    let minutes = decimal("6.5")
        * (Decimal::ONE
            + decimal("0.4") * (Decimal::from(width) / Decimal::from(9) - Decimal::ONE));
    quote["pieceTime"] = json!(minutes.to_string());
    quote
}

fn quoted(quote: &Value) -> QuoteReport {
    let input: QuoteInput =
        decode(&quote.to_string()).unwrap_or_else(|errors| panic!("{errors:?}"));
    report(&input).unwrap_or_else(|errors| panic!("{errors:?}"))
}

/// In the channel without a fair's day, the price of one is the one that the quote of that offer asks; none is below it.
#[test]
fn a_price_of_one_is_what_the_offer_by_itself_asks() {
    let book = with(&json!({ "prices": { "quantities": "1, 2" } }));
    let card = card(&book);
    for film in 0..2 {
        for (size, width) in [6, 9, 12].into_iter().enumerate() {
            let alone = quoted(&offer(&book, 0, film, width, 1));
            assert_eq!(
                card["prices"][0][film][size][0], alone.asked.price,
                "{film} {width}"
            );
        }
    }
}

/// At every quantity that a price counts for, the aim is reached: by the quote at that price.
#[test]
fn every_quantity_reaches_the_aim() {
    let book = book();
    let card = card(&book);
    let aim = decimal("22");
    for (size, width) in [6, 9, 12].into_iter().enumerate() {
        for (from, until, place) in [(1, 4, 0), (5, 9, 1), (10, 20, 2)] {
            for pieces in [from, u32::midpoint(from, until), until] {
                let price = card["prices"][0][1][size][place].as_str().unwrap();
                let mut quote = offer(&book, 0, 1, width, pieces);
                quote["ownPrice"] = json!(price);
                let own = quoted(&quote).own.unwrap();
                let margin = decimal(own.margin.as_deref().unwrap());
                // Margins are told in tenths of a hundredth, rounded.
                assert!(
                    margin >= aim - decimal("0.1"),
                    "{pieces} of {width} in at {price}: {margin} %"
                );
            }
        }
    }
}

#[test]
fn more_pieces_and_smaller_sizes_are_never_dearer() {
    for lower in ["aim", "floor", "no"] {
        let card = card(&with(&json!({ "lower": lower })));
        let price = |c: usize, f: usize, s: usize, q: usize| {
            decimal(card["prices"][c][f][s][q].as_str().unwrap())
        };
        for (channel, film) in [(0, 0), (0, 1), (1, 0), (1, 1)] {
            for size in 0..3 {
                for quantity in 0..3 {
                    let this = price(channel, film, size, quantity);
                    assert!(quantity == 0 || this <= price(channel, film, size, quantity - 1));
                    assert!(size == 0 || this >= price(channel, film, size - 1, quantity));
                    assert!(lower != "no" || this == price(channel, film, size, 0));
                }
            }
        }
    }
}

/// What the maker's own prices say, the card says, and nothing else that a price could be worked out from: whatever the
/// costs are, the cards are the same to the last letter.
#[test]
fn a_card_of_own_prices_tells_nothing_of_the_costs() {
    let own = json!({
        "lower": "no",
        "prices": { "sizes": [
            { "width": "6", "price": "9.00" }, { "width": "9", "price": "12.00" }, { "width": "12", "price": "16.00" },
        ] },
    });
    let one = card(&with(&own));
    let mut dearer = own.clone();
    merge(
        &mut dearer,
        &json!({
            "prices": {
                "quote": {
                    "film": { "price": "77.77" }, "tape": { "price": "88.88" }, "wage": "99.99", "setupTime": "44",
                    "pieceTime": "33", "orderTime": "22", "spoilage": "11", "monthly": "555.55", "orders": "3",
                    "supplies": [{ "name": "velvet", "each": "6.66", "per": "piece" }],
                    "postage": { "paid": "5.44" }, "target": { "kind": "markup", "value": "71" }, "licence": "2.34",
                    "machine": { "price": "1234", "hours": "567", "pieceTime": "8" }, "learning": "83",
                },
                "grows": "91", "floor": "61.61", "fair": { "tableFee": "471", "sales": "7" },
            },
            "bought": [{ "price": "91.19", "length": "7" }, { "price": "17.71" }, { "price": "39.00", "length": "15" }],
        }),
    );
    let mut dearer = with(&dearer);
    dearer["prices"]["channels"][0]["fees"] =
        json!([{ "name": "other", "item": "31", "order": "1.11" }]);
    dearer["prices"]["channels"][0]["refunds"] = json!("19");
    dearer["prices"]["channels"][2]["name"] = json!("another shop");
    assert_eq!(one, card(&dearer));
    // Without own prices the costs are felt: the two books do differ.
    for size in 0..3 {
        dearer["prices"]["sizes"][size]["price"] = json!("");
    }
    assert_ne!(one, card(&dearer));
}

/// Every text and every figure of the book that is not meant for customers is marked; no mark is in the card.
#[test]
fn no_secret_figure_is_in_the_card() {
    let marked = json!({
        "prices": {
            "quote": {
                "film": { "price": "7.0301" }, "tape": { "price": "71.0302", "width": "12.0303", "length": "100.0304" },
                "supplies": [{ "name": "SECRET-mailer", "each": "0.0305", "per": "posted" }],
                "wage": "21.0306", "setupTime": "7.0307", "pieceTime": "6.0308", "orderTime": "4.0309",
                "spoilage": "4.0310", "monthly": "61.0311", "orders": "23", "overhead": "1.0312", "licence": "0.0313",
                "machine": { "price": "300.0314", "hours": "2000.0315", "pieceTime": "2.0316" },
                "blade": { "price": "12.0317", "length": "8000.0318", "pieceLength": "3.0319" },
                "postage": { "paid": "1.0320" }, "target": { "value": "22.0321" },
            },
            "grows": "40.0322", "floor": "17.0323", "postages": "10 for 2.0324",
            "set": [{ "width": "9.0325", "count": 2 }],
            "fair": { "tableFee": "47.0326", "travel": "13.0327", "hours": "6.0328", "sales": "29" },
        },
        "bought": [{ "price": "46.0329", "length": "30.0330" }, { "price": "3.0331" }, { "price": "39.0332", "length": "15" }],
    });
    let mut book = with(&marked);
    for (index, member) in ["item", "postage", "tax", "order", "line", "piece", "least"]
        .into_iter()
        .enumerate()
    {
        book["prices"]["channels"][0]["fees"][0][member] = json!(format!("0.{}", 340 + index));
    }
    book["prices"]["channels"][0]["fees"][0]["name"] = json!("SECRET-fee");
    book["prices"]["channels"][0]["refunds"] = json!("2.0350");
    book["prices"]["channels"][2]["name"] = json!("SECRET-channel");
    book["stock"][2]["name"] = json!("SECRET-film");
    let card = card(&book);
    let text = card.to_string();
    assert!(!text.contains("SECRET"), "{text}");
    for mark in 301..=350 {
        let mark = format!("0{mark}");
        assert!(!text.contains(&mark), "{mark} in {text}");
    }
    for mark in 340..=346 {
        assert!(!text.contains(&format!("0.{mark}")), "{mark} in {text}");
    }
    // And no member that a card does not have.
    let names: Vec<&String> = card.as_object().unwrap().keys().collect();
    assert_eq!(
        names,
        [
            "format",
            "version",
            "edition",
            "shop",
            "design",
            "mail",
            "from",
            "until",
            "currency",
            "unit",
            "lettering",
            "sizes",
            "films",
            "quantities",
            "most",
            "channels",
            "prices",
        ]
    );
    let channel: Vec<&String> = card["channels"][0].as_object().unwrap().keys().collect();
    assert_eq!(
        channel,
        [
            "name",
            "postage",
            "posted",
            "tax",
            "taxPercent",
            "taxOnPostage"
        ]
    );
}

#[test]
fn a_card_is_read_back_as_it_was_written() {
    let written = made(&book()).unwrap();
    let text = serde_json::to_string_pretty(&written).unwrap();
    let back: RateCard = decode(&text).unwrap_or_else(|errors| panic!("{errors:?}"));
    assert_eq!(
        serde_json::to_value(&back).unwrap(),
        serde_json::to_value(&written).unwrap()
    );
    assert!(check(&back).is_ok());
}

fn refused(card: &Value) -> (Code, String) {
    let errors = match read(card) {
        Ok(card) => check(&card).expect_err(&serde_json::to_string(&card).unwrap()),
        Err(errors) => errors,
    };
    (errors.first().code, errors.first().field.clone())
}

#[test]
fn a_bad_card_is_refused_at_the_member_that_is_bad() {
    let good = card(&book());
    for (place, value, code, field) in spoilt() {
        let (found, at) = refused(&spoil(&good, place, &value));
        assert_eq!((found, at.as_str()), (code, field), "{place} {value}");
    }
    let mut more = good.clone();
    more["wage"] = json!("21.50");
    assert_eq!(refused(&more), (Code::UnknownField, "wage".to_owned()));
    let mut script = good.clone();
    script["outline"] = json!("M0 0\"/><script>");
    assert_eq!(refused(&script), (Code::WrongType, "outline".to_owned()));
}

fn question(more: &Value) -> CardQuestion {
    let mut all = json!({ "card": small(), "today": "2026-12-01" });
    merge(&mut all, more);
    decode(&all.to_string()).unwrap_or_else(|errors| panic!("{errors:?}"))
}

fn answer(more: &Value) -> CardAnswer {
    ask(&question(more)).unwrap_or_else(|errors| panic!("{errors:?}"))
}

/// A card with prices that are easy to reckon with, for a month.
fn small() -> Value {
    let mut small = easy();
    merge(
        &mut small,
        &json!({ "from": "2026-11-28", "until": "2026-12-31" }),
    );
    small
}

/// By hand: 5 × 9.50 = 47.50; 8.25 % of 47.50 + 2.25 are 4.104375, 4.10; together 53.85.
#[test]
fn a_sum_is_right() {
    let told = answer(&json!({ "width": "9 in", "pieces": 5 }));
    assert_eq!(told.asks, []);
    assert_eq!(told.price.as_deref(), Some("9.50"));
    assert_eq!(told.items.as_deref(), Some("47.50"));
    assert_eq!(told.postage.as_deref(), Some("2.25"));
    assert_eq!(told.tax.as_deref(), Some("4.10"));
    assert_eq!(told.total.as_deref(), Some("53.85"));
    let breaks: Vec<_> = told
        .breaks
        .iter()
        .map(|b| (b.from, b.price.as_str(), b.counts))
        .collect();
    assert_eq!(breaks, [(1, "11.00", false), (5, "9.50", true)]);
    let larger = told.larger.unwrap();
    assert_eq!(
        (larger.more.as_str(), larger.height.text.as_str()),
        ("3.50", "4 in")
    );
    // 30 ft for each inch of letter height is the rule for one who passes; a larger decal reads from farther.
    assert!(larger.distance.unwrap().value > told.distance.unwrap().value);
    // In the price: 4 × 10.00 hold 40 × 19 / 119 = 6.386…, 6.39.
    let told = answer(&json!({ "channel": "table", "width": "7", "pieces": "4" }));
    assert_eq!(
        (told.total.as_deref(), told.tax.as_deref(), told.postage),
        (Some("40.00"), Some("6.39"), None)
    );
    assert_eq!(
        told.charged.map(|charged| charged.text).as_deref(),
        Some("9 in")
    );
    // In proportion to the size that is charged: a third of the width.
    assert!((told.height.value - 7.0 / 3.0).abs() < 1e-6);
}

#[test]
fn beyond_the_card_the_maker_is_to_be_asked() {
    let asks = |more: Value| {
        let told = answer(&more);
        assert!(
            told.asks.is_empty() || told.price.is_none() && told.total.is_none(),
            "{told:?}"
        );
        told.asks
    };
    assert_eq!(asks(json!({ "width": "6 in" })), []);
    assert_eq!(asks(json!({ "width": "12 in" })), []);
    assert_eq!(asks(json!({ "width": "5 63/64 in" })), [Ask::TooSmall]);
    assert_eq!(asks(json!({ "width": "12 1/64 in" })), [Ask::TooLarge]);
    assert_eq!(asks(json!({ "pieces": 10 })), []);
    assert_eq!(asks(json!({ "pieces": 11 })), [Ask::TooMany]);
    assert_eq!(
        asks(json!({ "film": "black", "width": "12 in", "pieces": 4 })),
        []
    );
    assert_eq!(
        asks(json!({ "film": "black", "width": "12 in", "pieces": 5 })),
        [Ask::NoPrice]
    );
    assert_eq!(asks(json!({ "today": "2026-11-27" })), [Ask::NotYet]);
    assert_eq!(asks(json!({ "today": "2026-11-28" })), []);
    assert_eq!(asks(json!({ "today": "2026-12-31" })), []);
    assert_eq!(asks(json!({ "today": "2027-01-01" })), [Ask::Expired]);
    assert_eq!(asks(json!({ "words": "x".repeat(201) })), [Ask::Words]);
    assert_eq!(asks(json!({ "words": "" })), []);
    assert_eq!(answer(&json!({ "words": "" })).distance, None);
    assert_eq!(
        asks(json!({ "width": "40", "pieces": 900, "today": "2030-01-01" })),
        [Ask::Expired, Ask::TooLarge, Ask::TooMany]
    );
}

#[test]
fn what_cannot_be_read_is_told_at_its_field() {
    for (more, code, field) in [
        (json!({ "width": "" }), Code::Missing, "width"),
        (json!({ "width": "-1 in" }), Code::TooSmall, "width"),
        (json!({ "width": "99999 in" }), Code::TooLarge, "width"),
        (json!({ "width": "wide" }), Code::NotANumber, "width"),
        (json!({ "pieces": "0" }), Code::TooSmall, "pieces"),
        (json!({ "pieces": "2.5" }), Code::NotWhole, "pieces"),
        (json!({ "film": "gold" }), Code::NotAChoice, "film"),
        (json!({ "channel": "" }), Code::NotAChoice, "channel"),
        (json!({ "today": "tomorrow" }), Code::NotANumber, "today"),
    ] {
        let errors = ask(&question(&more)).expect_err(&more.to_string());
        assert_eq!(
            (errors.first().code, errors.first().field.as_str()),
            (code, field),
            "{more}"
        );
    }
}

/// Customers' own words count where the card says so, and nowhere else.
#[test]
fn words_are_the_customers_only_where_the_card_says_so() {
    assert_eq!(answer(&json!({ "words": "OSPREY" })).words, "OSPREY");
    let fixed = json!({ "words": "OSPREY", "card": { "lettering": { "free": false } } });
    assert_eq!(answer(&fixed).words, "KITTIWAKE");
}

#[test]
fn a_link_says_again_what_was_asked() {
    let asked = json!({
        "channel": "table", "film": "black", "width": "7 1/2 in", "pieces": 4, "words": "Möwe & Söhne\n№ 7 = 100 %",
    });
    let link = link(&question(&asked)).unwrap();
    assert!(link.bytes().all(|byte| byte.is_ascii_graphic()), "{link}");
    let said = unlink(&format!("#{link}")).unwrap();
    assert_eq!(said.words, "Möwe & Söhne\n№ 7 = 100 %");
    assert_eq!(
        (
            said.channel.as_str(),
            said.film.as_str(),
            said.pieces.as_str()
        ),
        ("table", "black", "4")
    );
    assert_eq!(
        (said.width.as_str(), said.unit.as_str()),
        ("7 1/2 in", "in")
    );
    // 4 × 11.00
    assert_eq!((said.edition.as_str(), said.total.as_str()), ("7", "44.00"));
    // Widths that people would round come back to the nanometre.
    let odd = question(&json!({ "width": "177.803 mm", "unit": "in" }));
    assert_eq!(
        unlink(&self::link(&odd).unwrap()).unwrap().width,
        "177.803 mm"
    );
}

#[test]
fn links_of_others_are_refused_politely() {
    let good = link(&question(&json!({}))).unwrap();
    let code = |text: &str| unlink(text).map_err(|error| error.code);
    assert!(code(&good).is_ok());
    assert_eq!(
        code(&good.replacen("quote=1", "quote=2", 1)),
        Err(Code::Impossible)
    );
    assert_eq!(code(&"x".repeat(LONGEST_LINK + 1)), Err(Code::TooLarge));
    for bad in [
        "",
        "#",
        "quote",
        "quote=",
        "quote=x",
        "quote=1",
        "quote=1&check=",
        "quote=1&check=811c9dc5",
        "/path",
        "%",
        "quote=1&&&",
    ] {
        assert_eq!(code(bad), Err(Code::WrongType), "{bad}");
    }
    // The longest words that a card takes, of the longest characters.
    let long = json!({ "words": "\u{1f6f6}".repeat(200) });
    let errors = link(&question(&long)).unwrap_err();
    assert_eq!(
        (errors.first().code, errors.first().field.as_str()),
        (Code::TooLarge, "words")
    );
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    /// One character that is another one, one too many or one too few: never a link that says something else.
    #[test]
    fn a_damaged_link_is_found(words in "[ -~äß船]{0,40}", place in any::<prop::sample::Index>(), other in "[ -~]", kind in 0..3_u8) {
        let good = link(&question(&json!({ "words": words }))).unwrap();
        let at = place.index(good.len());
        let mut bad = good.clone();
        match kind {
            0 => bad.replace_range(at..=at, &other),
            1 => bad.insert_str(at, &other),
            _ => { bad.remove(at); }
        }
        prop_assume!(bad != good);
        prop_assert!(unlink(&bad).is_err(), "{bad}");
    }

    #[test]
    fn nothing_that_is_typed_as_a_link_is_more_than_a_mistake(text in ".{0,300}", tail in any::<bool>()) {
        let text = if tail { format!("quote=1&{text}") } else { text };
        prop_assert!(unlink(&text).is_err());
    }

    /// The total by whole cents: pieces times price, postage and tax, half a cent up.
    #[test]
    fn sums_are_right_to_the_cent(
        price in 1..100_000_i64, pieces in 1..=10_u32, postage in 0..2_000_i64, rate in 0..=10_000_i64,
        kind in 0..3_usize, on_postage in any::<bool>(),
    ) {
        let cents = |cents: i64| format!("{}.{:02}", cents / 100, cents % 100);
        let kinds = ["none", "added", "included"];
        let text = cents(price);
        let mut card = small();
        for size in 0..3 {
            for quantity in 0..2 {
                card["prices"][0][0][size][quantity] = json!(text);
            }
        }
        card["channels"][0] = json!({
            "name": "post", "posted": true, "postage": cents(postage), "tax": kinds[kind],
            "taxPercent": cents(rate), "taxOnPostage": on_postage,
        });
        let told = ask(&decode(&json!({ "card": card, "today": "2026-12-01", "pieces": pieces }).to_string()).unwrap()).unwrap();
        let items = i128::from(price) * i128::from(pieces);
        let taxed = items + if on_postage { i128::from(postage) } else { 0 };
        let rate = i128::from(rate);
        // In ten-thousandths: half of the divisor is added before it is cut off.
        let tax = match kind {
            1 => (2 * taxed * rate + 10_000) / 20_000,
            2 => (2 * taxed * rate + (10_000 + rate)) / (2 * (10_000 + rate)),
            _ => 0,
        };
        let total = items + i128::from(postage) + if kind == 1 { tax } else { 0 };
        let text = |cents: i128| format!("{}.{:02}", cents / 100, cents % 100);
        prop_assert_eq!(told.total, Some(text(total)));
        prop_assert_eq!(told.tax, (kind > 0).then(|| text(tax)));
    }
}

/// The sizes of the small card with capitals of half their height: 6 × 2 in and 1 in.
fn with_letters() -> Value {
    let mut card = small();
    for (size, letter) in card["sizes"]
        .as_array_mut()
        .unwrap()
        .iter_mut()
        .zip(["1 in", "1.5 in", "2 in"])
    {
        size["letterHeight"] = json!(letter);
    }
    card
}

fn letters(card: &Value, words: &str, width: &str) -> Option<(f64, f64)> {
    let told = answer(&json!({ "card": card, "width": width, "words": words }));
    let value = |length: Option<&Measured>| length.map(|length| length.value);
    value(told.letter_height.as_ref()).zip(value(told.distance.as_ref()))
}

/// The card's own words have the letters that it says; two lines of them cannot be as high, since they and a space
/// between them share the height, and the distance goes down with the letters (as in all rules for reading at a distance).
#[test]
fn letters_of_other_words_fit_the_decal() {
    let card = with_letters();
    let (own, far) = letters(&card, "KITTIWAKE", "6 in").unwrap();
    assert!((own - 1.0).abs() < 1e-9, "{own}");
    let (short, _) = letters(&card, "KITTI", "6 in").unwrap();
    assert!((short - 1.0).abs() < 1e-9, "never higher: {short}");
    for width in ["6 in", "7.3 in", "9 in", "200 mm", "12 in"] {
        let (one, far_one) = letters(&card, "KITTIWAKE", width).unwrap();
        let (two, far_two) = letters(&card, "SEA\nHERON", width).unwrap();
        assert!(two < one && far_two < far_one, "{width}: {two}, {far_two}");
        // Twice one inch in two inches leaves no space between the lines.
        assert!(two < 0.9 * one, "{width}: {two} of {one}");
    }
    let (four, far_four) = letters(&card, "A\nB\nC\nD", "6 in").unwrap();
    assert!(four < 0.5 && far_four < far / 2.0, "{four}, {far_four}");
    let many = answer(&json!({ "card": card, "width": "6 in", "words": "A\n".repeat(60) }));
    assert_eq!(many.asks, [Ask::Words]);
}

proptest! {
    /// Letters are scaled with the size, and so many lines of them as fill one size fill every other one.
    #[test]
    fn what_fits_one_size_fits_all(nanometres in 60_000_000_i64..300_000_000) {
        let mut card = with_letters();
        card["lettering"] = json!({ "words": "SEA\nHERON", "free": true });
        let width = format!("{}.{:06} mm", nanometres / 1_000_000, nanometres % 1_000_000);
        let told = answer(&json!({ "card": card, "width": width }));
        prop_assert!(!told.asks.contains(&Ask::Words), "{}", width);
    }
}
