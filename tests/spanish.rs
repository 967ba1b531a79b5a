//! The Spanish build: people read and type a comma before decimals, what programs read has a point, and whatever the
//! program writes for people it reads back itself.
#![cfg(feature = "es")]

#[path = "rate_cards/card.rs"]
mod card;

use decal_reckoner::api::decode;
use decal_reckoner::drawing::{Element, Node};
use decal_reckoner::error::Code;
use decal_reckoner::material::list::{read, write_line};
use decal_reckoner::material::{MaterialInput, report};
use decal_reckoner::measure::{
    Count, Length, LengthInput, NumberInput, Speed, Unit, Weight, decimals, decimals_with_point,
};
use decal_reckoner::money::{Currency, parse_amount, parse_percent};
use decal_reckoner::post::{self, PostInput};
use decal_reckoner::quote::{FairInput, fair};
use decal_reckoner::rate_card::{CardQuestion, ask, link, unlink};
use proptest::prelude::*;
use serde_json::{Value, json};

const UNITS: [Unit; 6] = [Unit::In, Unit::Ft, Unit::Yd, Unit::Mm, Unit::Cm, Unit::M];

fn nm(text: &str, bare: Unit) -> i64 {
    Length::parse(text, bare)
        .unwrap_or_else(|error| panic!("{text}: {error:?}"))
        .nm()
}

fn decoded<T: serde::de::DeserializeOwned>(value: &Value) -> T {
    serde_json::from_value(value.clone()).unwrap()
}

/// Nine eighths of 25.4 mm are 28.575 mm.
#[test]
fn a_comma_has_decimals_behind_it_however_many() {
    for text in [
        "1,125 in",
        "1.125 in",
        "1 1/8 in",
        "1,125",
        "01,125",
        "28,575 mm",
        "28.575 mm",
        "2,8575 cm",
        "1,125 pulgadas",
        "+1,125\"",
    ] {
        assert_eq!(nm(text, Unit::In), 28_575_000, "{text}");
    }
    assert_eq!(nm("1,125", Unit::M), 1_125_000_000);
    assert_eq!(nm("1.125", Unit::M), 1_125_000_000);
    assert_eq!(nm("0,001 mm", Unit::In), 1_000);
    assert_eq!(nm("-0,5 mm", Unit::In), -500_000);
    // Two signs that differ are those of thousands and of decimals, in this order.
    assert_eq!(nm("1.234,5 mm", Unit::In), 1_234_500_000);
    assert_eq!(nm("1,234.5 mm", Unit::In), 1_234_500_000);
    // Terms may be joined by a comma.
    assert_eq!(nm("4 pies, 2 pulg", Unit::Mm), 50 * 25_400_000);
}

#[test]
fn weights_speeds_and_percents_have_a_comma() {
    let weight = |text: &str| Weight::parse(text, false).unwrap();
    assert_eq!(weight("1,125 kg"), Weight::grams(1_125));
    assert_eq!(weight("1.125 kg"), Weight::grams(1_125));
    assert_eq!(weight("0,5 kilogramos"), Weight::grams(500));
    let speed = |text: &str| {
        let input = NumberInput::Text(text.to_owned());
        Speed::optional(Some(&input), "speed", false, Speed::LEAST).unwrap()
    };
    assert_eq!(speed("37,125 km/h"), speed("37 1/8 km/h"));
    let share = |text: &str| parse_percent(text).unwrap().normalize().to_string();
    assert_eq!(share("8,125 %"), "0.08125");
    assert_eq!(share("8.125"), "0.08125");
    let angle = NumberInput::Text("12,125°".to_owned());
    let angle = NumberInput::between(Some(&angle), "aside", '°', [0.0, 89.0]).unwrap();
    assert_eq!(angle, Some(12.125));
}

/// In Spain `1.125` is a thousand and more, where the keyboard of a till has a point it is one and an eighth.
#[test]
fn money_and_counts_doubt_a_point_with_three_digits_behind_it() {
    let euro = Currency::parse("EUR").unwrap();
    let amount = |text: &str| {
        parse_amount(text, euro)
            .map(|amount| amount.normalize().to_string())
            .map_err(|error| error.code)
    };
    for (text, right) in [
        ("12,50", "12.5"),
        ("12,50 €", "12.5"),
        ("12.50", "12.5"),
        ("1,125", "1.125"),
        ("0,085", "0.085"),
        ("1.125,50", "1125.5"),
        ("1 125,50", "1125.5"),
        ("1.250.000", "1250000"),
    ] {
        assert_eq!(amount(text).as_deref(), Ok(right), "{text}");
    }
    assert_eq!(amount("1.125"), Err(Code::Ambiguous));
    assert_eq!(amount("12.000 €"), Err(Code::Ambiguous));
    // The dinar of Kuwait has three decimals.
    let dinar = Currency::parse("KWD").unwrap();
    let dinars = parse_amount("1.125", dinar).unwrap();
    assert_eq!(dinars.to_string(), "1.125");

    let count = |text: &str| Count::from(text).read().map_err(|error| error.code);
    assert_eq!(count("12"), Ok(12));
    assert_eq!(count("1125"), Ok(1_125));
    // As English has it as well, for a count has no decimals.
    for text in ["1.125", "1,125", "12.000", " 12,000 "] {
        assert_eq!(count(text), Err(Code::Ambiguous), "{text}");
    }
    assert_eq!(count("2,5"), Err(Code::NotWhole));
    assert_eq!(count("12,0"), Ok(12));
    // A number has one meaning only.
    let number = |number: f64| Count::Number(number).read().map_err(|error| error.code);
    assert_eq!(number(1.125), Err(Code::NotWhole));
    assert_eq!(number(1_125.0), Ok(1_125));
}

/// A guess of sales need not be whole, so that a comma has its decimals; a point may divide thousands.
#[test]
fn numbers_of_things_doubt_a_point_and_take_a_comma() {
    let guess = |mean: Value| {
        let asked = json!({
            "currency": "EUR", "price": "8", "cost": "3", "sales": { "mean": mean, "spread": "0" },
        });
        let input: FairInput = decode(&asked.to_string()).unwrap();
        fair(&input).map(|report| report.bring.map(|bring| bring.count))
    };
    let errors = guess(json!("12.000")).unwrap_err();
    let first = errors.first();
    assert_eq!((first.code, &*first.field), (Code::Ambiguous, "sales.mean"));
    // A guess without a spread is brought as it is, up to the next piece.
    assert_eq!(guess(json!("12,125")), Ok(Some(13)));
    assert_eq!(guess(json!("12.5")), Ok(Some(13)));
    assert_eq!(guess(json!(12.125)), Ok(Some(13)));
}

#[test]
fn whatever_a_hint_offers_for_an_amount_is_read_in_one_way() {
    let euro = Currency::parse("EUR").unwrap();
    let hint = parse_amount("1.125", euro).unwrap_err().hint.clone();
    let offered = hint
        .split_whitespace()
        .filter_map(|word| parse_amount(word, euro).ok());
    let offered: Vec<String> = offered
        .map(|amount| amount.normalize().to_string())
        .collect();
    assert_eq!(offered, ["1125", "1.125"], "{hint}");
}

#[test]
fn people_read_a_comma_and_programs_a_point() {
    let length = Length::from_nm(133_400_000);
    assert_eq!(length.text(Unit::Mm), "133,4 mm");
    assert_eq!(length.text(Unit::Cm), "13,34 cm");
    assert_eq!(length.exact(Unit::M), "0,1334");
    assert_eq!(length.text_with_point(Unit::Mm), "133.4 mm");
    assert_eq!(length.exact_with_point(Unit::M), "0.1334");
    assert_eq!(Length::inches(21, 4).text(Unit::In), "5 1/4 in");
    assert_eq!(
        LengthInput::from(length),
        LengthInput::Text("133.4 mm".to_owned())
    );
    assert_eq!(decimals(1_234.5, 2), "1234,5");
    assert_eq!(decimals(2.0, 2), "2");
    assert_eq!(decimals_with_point(1_234.5, 2), "1234.5");
    assert_eq!(Weight::grams(1_250).text(Unit::Mm, true), "1,25 kg");
    let area = Length::whole(15, Unit::Mm) * Length::whole(15, Unit::Mm);
    assert_eq!(area.text(Unit::Mm), "2,25 cm²");
    // Amounts are written by the browser, which reads them as programs do.
    let euro = Currency::parse("EUR").unwrap();
    let amount = parse_amount("12,5", euro).unwrap();
    assert_eq!(euro.text(amount), "12.50");
    // A number of an input is no text that anybody typed.
    let number = NumberInput::Number(2.5).text();
    assert_eq!(number, "2.5");
}

/// All attributes that are numbers, and all texts.
fn parts(element: &Element, numbers: &mut Vec<String>, texts: &mut Vec<String>) {
    for (name, value) in &element.attributes {
        if *name == "aria-label" {
            texts.push(value.clone());
        } else {
            numbers.push(value.clone());
        }
    }
    for child in &element.children {
        match child {
            Node::Element(element) => parts(element, numbers, texts),
            Node::Text(text) => texts.push(text.clone()),
        }
    }
}

/// SVG 1.1, section 4.2: the decimals of a number stand behind a full stop, and a comma divides numbers.
#[test]
fn a_picture_has_points_in_its_numbers_and_commas_in_its_words() {
    let input: MaterialInput = decoded(&json!({
        "unit": "mm", "sheet": { "width": "302,5", "length": "455,5" }, "margin": "6,35", "gap": "1,5",
        "pieces": [{ "width": "62,7", "height": "31,3" }],
    }));
    let laid = report(&input).unwrap();
    let drawing = laid.drawing();
    let (mut numbers, mut texts) = (Vec::new(), Vec::new());
    parts(&drawing, &mut numbers, &mut texts);
    assert!(numbers.iter().any(|number| number.contains('.')));
    for number in &numbers {
        assert!(!number.contains(','), "{number}");
    }
    assert!(texts.iter().any(|text| text.contains("62,7")), "{texts:?}");
    let digit = |sign: Option<char>| sign.is_some_and(|sign| sign.is_ascii_digit());
    for text in &texts {
        let signs: Vec<char> = text.chars().collect();
        let between = |window: &[char]| {
            digit(window.first().copied())
                && window.get(1) == Some(&'.')
                && digit(window.get(2).copied())
        };
        assert!(!signs.windows(3).any(between), "{text}");
    }
    // Another reader of SVG finds the frame as wide as it is high by the view.
    let tree = usvg::Tree::from_str(&drawing.to_svg(), &usvg::Options::default()).unwrap();
    assert!(tree.size().width() > 300.0 && tree.size().height() > 300.0);
    // Numbers in a report for programs are numbers.
    let told = serde_json::to_value(&laid).unwrap();
    assert!(told["sheets"][0]["length"]["value"].is_number());
}

/// What mends a piece is written into its fields: the class that it was not of is then the one that it is of.
#[test]
fn what_the_post_proposes_is_read_back() {
    let asked = |thickness: &str, weight: &str| {
        json!({
            "currency": "USD", "unit": "in", "length": "9 1/2", "width": "4 1/8", "thickness": thickness,
            "weight": weight,
        })
    };
    let told = |asked: &Value| {
        let input: PostInput = decode(&asked.to_string()).unwrap();
        post::report(&input).unwrap()
    };
    let mut piece = asked("0,3125", "3,75 oz");
    let before = told(&piece);
    let letter = &before.classes[0];
    assert!(!letter.chosen && letter.enough);
    let changes = letter.misfits.iter().flat_map(|misfit| &misfit.changes);
    let mut written = Vec::new();
    for change in changes {
        piece[change.member] = json!(change.to);
        written.push(change.to.clone());
    }
    assert_eq!(written, ["0,25 in", "3,5 oz"]);
    assert_eq!(told(&piece).id.as_deref(), Some("us-letter"));
}

#[test]
fn a_list_is_typed_in_spanish_and_written_for_every_build() {
    let list = read(
        "Nombre;Ancho;Alto;Cantidad;Vinilo;Girar\nPardela;9,5;3,125 pulgadas;4;azul mar;no\nCharrán;9.5;3;1;;sí\n",
        Unit::In,
    );
    assert_eq!(list.bad, []);
    let [first, second] = &list.lines[..] else {
        panic!("{:?}", list.lines);
    };
    assert_eq!(
        (first.name.as_str(), first.film.as_str()),
        ("Pardela", "azul mar")
    );
    assert_eq!(
        (first.width, first.height),
        (Length::inches(19, 2), Length::inches(25, 8))
    );
    assert_eq!((first.quantity, first.turn, second.turn), (4, false, true));
    assert_eq!(second.width, first.width);
    let odd = decal_reckoner::material::list::ListLine {
        width: Length::from_nm(123_456_789),
        ..first.clone()
    };
    for table in ["", "a;1;1", "name,width,height,quantity,film,turn"] {
        let line = write_line(&odd, table, Unit::Mm).unwrap();
        assert!(line.contains("123.456789 mm"), "{line}");
        let read = read(&format!("{table}\n{line}"), Unit::Mm);
        let read = read.lines.last().unwrap();
        assert_eq!((read.width, read.height), (odd.width, odd.height));
    }
}

#[test]
fn a_link_has_a_point_whatever_was_typed() {
    let mut asked = json!({
        "width": "180,5 mm", "unit": "mm", "pieces": "2", "words": "KITTIWAKE", "channel": "table",
        "film": "black", "today": "2026-11-25",
    });
    asked["card"] = card::card();
    let question: CardQuestion = decode(&asked.to_string()).unwrap();
    assert_eq!(ask(&question).unwrap().width.text, "180,5 mm");
    let said = unlink(&link(&question).unwrap()).unwrap();
    assert_eq!(said.width, "180.5 mm");
    assert_eq!(said.total, "22.00");
}

proptest! {
    #[test]
    fn what_is_written_for_people_is_read_back_as_the_same_length(
        nm in -10_000_000_000_000_i64..=10_000_000_000_000,
        unit in prop::sample::select(UNITS.to_vec()),
    ) {
        let length = Length::from_nm(nm);
        let exact = length.exact(unit);
        prop_assert!(!exact.contains('.'), "{exact}");
        prop_assert_eq!(Length::parse(&exact, unit), Ok(length));
        prop_assert_eq!(Length::parse(&format!("{exact} {}", unit.symbol()), Unit::Mm), Ok(length));
        let point = length.exact_with_point(unit);
        prop_assert!(!point.contains(','), "{point}");
        prop_assert_eq!(Length::parse(&point, unit), Ok(length));
        // Both for people and for links, the same length: the nearest that the text has figures for.
        let text = length.text(unit);
        prop_assert!(!text.contains('.'), "{text}");
        let told = Length::parse(&text, unit);
        prop_assert_eq!(&told, &Length::parse(&length.text_with_point(unit), unit));
        // Half of 0.001 in, 0.1 mm, or 0.01 of another unit.
        let parts = match unit {
            Unit::In => 1_000,
            Unit::Mm => 10,
            Unit::Ft | Unit::Yd | Unit::Cm | Unit::M => 100,
        };
        let off = (told.unwrap().nm() - nm).abs();
        prop_assert!(2 * parts * off <= unit.nanometres(), "{text}");
    }

    /// Hundredths of an ounce and tenths of a gram are what texts have figures for.
    #[test]
    fn weights_are_read_back_as_they_are_written(tenths in 0_i64..=10_000_000) {
        let grams = Weight::from_ng(tenths * 100_000_000);
        let text = grams.text(Unit::Mm, true);
        prop_assert!(!text.contains('.'), "{text}");
        prop_assert_eq!(Weight::parse(&text, false), Ok(grams));
        let text = grams.text(Unit::In, true);
        let read = Weight::parse(&text, true).unwrap();
        prop_assert!(!text.contains('.'), "{text}");
        // Up, by less than a hundredth of an ounce.
        let more = read.ng() - grams.ng();
        prop_assert!((0..283_495_232).contains(&more), "{text}");
    }

    /// A comma and a point before decimals are the same to lengths.
    #[test]
    fn comma_and_point_are_read_alike(whole in 0_u32..10_000, part in "[0-9]{1,9}") {
        let comma = Length::parse(&format!("{whole},{part} mm"), Unit::In);
        let point = Length::parse(&format!("{whole}.{part} mm"), Unit::In);
        let exact = i64::from(whole) * 1_000_000
            + (format!("{part:0<9}").parse::<i64>().unwrap() + 500) / 1_000;
        prop_assert_eq!(comma, Ok(Length::from_nm(exact)));
        prop_assert_eq!(point, Ok(Length::from_nm(exact)));
    }

    #[test]
    fn numbers_for_people_differ_by_their_comma_alone(value in -1e9..1e9_f64, places in 0_u32..6) {
        let (people, programs) = (decimals(value, places), decimals_with_point(value, places));
        prop_assert_eq!(people.replace(',', "."), programs.clone());
        let read: f64 = programs.parse().unwrap();
        prop_assert!((read - value).abs() <= 0.5 / 10_f64.powi(places.cast_signed()) + 1e-6);
    }
}
