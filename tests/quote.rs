//! Prices: against examples worked by hand and textbook values, and every mistake at its field. Random
//! books are in `price.rs`.

use decal_reckoner::api::decode;
use decal_reckoner::error::{Code, InputErrors};
use decal_reckoner::quote::{PriceReport, QuoteInput, QuoteReport, report};
use proptest::prelude::*;
use serde_json::{Value, json};

fn input(members: &Value) -> QuoteInput {
    let mut all = json!({
        "currency": "USD",
        "material": {
            "unit": "in",
            "sheet": { "width": "12", "length": "24" },
            "margin": "1/4",
            "gap": "1/8",
            "pieces": [{ "width": "9", "height": "3" }],
        },
    });
    for (name, value) in members.as_object().unwrap() {
        all[name] = value.clone();
    }
    decode(&all.to_string()).unwrap_or_else(|errors| panic!("{errors:?}"))
}

fn quote(members: &Value) -> QuoteReport {
    report(&input(members)).unwrap_or_else(|errors| panic!("{errors:?}"))
}

fn refused(members: &Value) -> InputErrors {
    report(&input(members)).expect_err("this cannot be reckoned")
}

fn line<'a>(report: &'a QuoteReport, id: &str) -> &'a str {
    &report
        .lines
        .iter()
        .find(|line| line.id == id)
        .unwrap()
        .amount
}

fn named<'a>(report: &'a QuoteReport, label: &str) -> &'a str {
    let found = report.lines.iter().find(|line| line.label == label);
    &found.unwrap().amount
}

/// What an own price leaves of an order without any other costs.
fn left(members: &Value) -> String {
    quote(members).own.unwrap().left
}

/// Margin m and mark-up g of one price: m = g/(1+g). A margin of 20 % is a mark-up of 25 %
/// (themathsguide.ie, junior cycle, profit and loss); cost 12 000 and price 15 000 are 25 % and 20 %
/// (algebra.com, solution 47041). Cost 100 at 50 % margin is 200; cost 40 at 50 % mark-up is 60, a
/// margin of 33.3 %.
#[test]
fn margin_and_markup_are_the_textbooks() {
    let at_margin = |cost: &str, margin: &str| {
        quote(
            &json!({ "supplies": [{ "each": cost }], "target": { "kind": "margin", "value": margin } }),
        )
    };
    let report = at_margin("100", "50");
    assert_eq!(report.asked.price, "200.00");
    assert_eq!(report.asked.markup.as_deref(), Some("100"));
    let report = at_margin("100", "20");
    assert_eq!(report.asked.price, "125.00");
    assert_eq!(report.asked.markup.as_deref(), Some("25"));
    let report = quote(
        &json!({ "supplies": [{ "each": "40" }], "target": { "kind": "markup", "value": "50 %" } }),
    );
    assert_eq!(report.asked.price, "60.00");
    assert_eq!(report.asked.margin.as_deref(), Some("33.3"));
    assert_eq!(report.asked.markup.as_deref(), Some("50"));
    // A mark-up may be more than a hundred, and is a number as well as a text.
    let report = quote(
        &json!({ "supplies": [{ "each": "40" }], "target": { "kind": "markup", "value": 150 } }),
    );
    assert_eq!(report.asked.price, "100.00");
    let own = |cost: &str, price: &str| {
        let report = quote(&json!({ "supplies": [{ "each": cost }], "ownPrice": price }));
        let own = report.own.unwrap();
        (own.margin.unwrap(), own.markup.unwrap())
    };
    assert_eq!(own("12000", "15000"), ("20".to_owned(), "25".to_owned()));
    assert_eq!(own("40", "60"), ("33.3".to_owned(), "50".to_owned()));
}

/// Worked by hand. A sheet of 12 by 24 in for 3.50 gives seven pieces, so 0.50 of film each. Tape of
/// 12 in by 100 ft is 14 400 sq in for 14.40, so 27 sq in are 0.027. Twelve minutes at 20.00 are
/// 4.00; setting up for 14 minutes is 2 minutes for each of seven, 2/3 of a unit. One piece in five
/// spoilt: each sold piece bears a quarter of 0.50 + 0.027 + 4.00, 1.13175. Mailer 0.60, card 0.10,
/// overhead 0.40, postage 1.50 against 2.00 charged. The costs are
/// 0.5 + 0.027 + 4.6667 + 1.1318 + 0.6 + 0.1 + 0.4 + 1.5 = 8.9254.
/// Own price 15.00: total 17.00; channel 10 % + 0.30 = 2.00; payment 3 % + 0.25 = 0.76; left
/// 17 - 2 - 0.76 - 8.9254 = 5.3146. Hours: 14 min + a quarter of 12 min = 17 min; pay
/// (5.3146 + 20 * 17/60) / (17/60) = 38.7574.
#[test]
fn an_order_worked_by_hand() {
    let report = quote(&json!({
        "film": { "price": "3.50" },
        "tape": { "price": "14.40", "width": "12 in", "length": "100 ft" },
        "wage": "20",
        "setupTime": "14 min",
        "pieceTime": "12",
        "spoilage": "20 %",
        "supplies": [{ "name": "Mailer", "each": "0.60" }, { "name": "Card", "each": "0.10" }],
        "overhead": "0.40",
        "postage": { "paid": "1.50", "charged": "2.00" },
        "channel": { "fees": [
            { "name": "Selling", "item": "10", "postage": "10", "order": "0.30" },
            { "name": "Payment", "item": "3", "postage": "3", "order": "0.25" },
        ] },
        "ownPrice": "15.00",
    }));
    let own = report.own.as_ref().unwrap();
    assert_eq!(own.total, "17.00");
    assert_eq!(own.left, "5.31");
    assert_eq!(own.hourly_pay.as_deref(), Some("38.76"));
    assert_eq!(report.work, "17 min");
    assert!(!own.loss);
    // The least price that pays everything: (p + 2)(1 - 0.13) - 0.55 = 8.9254 without rounding of
    // fees, p = 8.8913. At 8.89 the fees are 1.39 and 0.58, together 0.0043 below what they would be
    // unrounded: 10.89 - 1.39 - 0.58 = 8.92 < 8.9254. At 8.90 they are 1.39 and 0.58: 8.93.
    assert_eq!(report.asked.price, "8.90");
    assert_eq!(named(&report, "Selling"), "1.39");
    assert_eq!(named(&report, "Payment"), "0.58");
    assert_eq!(named(&report, "Mailer"), "0.60");
    assert_eq!(line(&report, "postage"), "1.50");
    assert_eq!(line(&report, "left"), "0.00");
}

/// Film from a roll: sixteen pieces of 9 by 3 in across a roll of 24 in. What they take of it is the
/// length to cut, and ten times the price of the roll makes it cost ten times as much.
#[test]
fn film_is_shared_by_what_is_cut_off() {
    let roll = |price: &str| {
        let report = quote(&json!({
            "material": {
                "sheet": { "width": "24" }, "margin": "0", "gap": "0",
                "pieces": [{ "width": "9", "height": "3", "quantity": "16", "turn": false }],
            },
            "film": { "price": price, "length": "10 yd" },
            "pieces": "16",
        }));
        let film = &report.lines[0];
        assert!(
            film.detail.ends_with("the cut takes 6.67 % of the roll"),
            "{}",
            film.detail
        );
        report.asked.price
    };
    // Two lie across 24 in, so sixteen take 8 rows of 3 in: 24 in of 360, 1/15 of the roll.
    // 54.00 / 15 / 16 = 0.225 each, rounded up.
    assert_eq!(roll("54"), "0.23");
    // 540 / 15 / 16 = 2.25.
    assert_eq!(roll("540"), "2.25");
}

/// Twenty pieces of 24 by 12 in, one behind the other across a roll 24 in wide, take 20 ft: two rolls
/// of 12 or 19 ft, four of 6 ft. A piece of 24 by 24 in is longer than a roll of 1 ft.
#[test]
fn a_cut_longer_than_the_roll_is_told() {
    let roll = |height: &str, length: &str| {
        let members = json!({
            "material": {
                "sheet": { "width": "24" },
                "pieces": [{ "width": "24", "height": height, "quantity": 20, "turn": false }],
            },
            "film": { "price": "46", "length": length },
        });
        report(&input(&members))
    };
    let rolls = |length: &str| roll("12", length).unwrap().rolls_text;
    assert_eq!(rolls("20 ft"), None);
    assert!(rolls("12 ft").unwrap().contains("2 rolls"));
    assert!(rolls("19 ft").unwrap().contains("2 rolls"));
    assert!(rolls("6 ft").unwrap().contains("4 rolls"));
    let errors = roll("24", "1 ft").unwrap_err();
    assert_eq!(errors.first().code, Code::DoesNotFit);
    assert_eq!(errors.first().field, "film.length");
}

#[test]
fn an_hourly_pay_is_reached_and_not_much_surpassed() {
    let members = json!({
        "wage": "18", "pieceTime": "7", "supplies": [{ "each": "0.62" }],
        "target": { "kind": "hourlyPay", "value": "30" },
    });
    // 7 min at 30.00 an hour are 3.50; with the mailer 4.12.
    assert_eq!(quote(&members).asked.price, "4.12");
    assert_eq!(quote(&members).asked.hourly_pay.as_deref(), Some("30.00"));
    let errors = refused(&json!({ "target": { "kind": "hourlyPay", "value": "30" } }));
    assert_eq!(
        (errors.first().code, errors.first().field.as_str()),
        (Code::Impossible, "target.value")
    );
}

#[test]
fn a_loss_is_called_one() {
    let report = quote(&json!({ "supplies": [{ "each": "5" }], "ownPrice": "4.00" }));
    let own = report.own.unwrap();
    assert!(own.loss);
    assert_eq!(own.left, "-1.00");
    assert_eq!(own.margin.as_deref(), Some("-25"));
    assert_eq!(own.hourly_pay, None);
}

#[test]
fn other_currencies_have_other_decimals() {
    let ending = |currency: &str, cost: &str, ending: &str| {
        quote(&json!({ "currency": currency, "supplies": [{ "each": cost }], "ending": ending }))
            .asked
            .price
    };
    assert_eq!(ending("JPY", "1103.2", "none"), "1104");
    assert_eq!(ending("JPY", "1103.2", "95"), "1195");
    assert_eq!(ending("KWD", "1.0301", "none"), "1.031");
    assert_eq!(ending("EUR", "11.03", "95"), "11.95");
    // A price that cannot be paid is looked at as the nearest one that can.
    let own = quote(&json!({ "currency": "JPY", "overhead": "5", "ownPrice": "9.95" })).own;
    assert_eq!(own.map(|own| own.price).as_deref(), Some("10"));
}

/// Members that are all read, and none of which is a mistake.
fn full() -> Value {
    json!({
        "pieces": "3", "orderLines": "2", "film": { "price": "3.50" },
        "tape": { "price": "14.40", "width": "12 in", "length": "100 ft" },
        "supplies": [{ "name": "Mailer", "each": "0.60", "count": "1", "per": "posted" }, { "each": "0.10", "count": "2", "per": "piece" }],
        "wage": "20", "setupTime": "14", "pieceTime": "12", "orderTime": "6", "spoilage": "4",
        "machine": { "price": "600", "hours": "1000", "pieceTime": "6" },
        "blade": { "price": "12", "length": "600", "pieceLength": "5" },
        "monthly": "240", "orders": "40", "overhead": "0.40", "licence": "0.30",
        "channel": {
            "name": "Post", "kind": "post",
            "fees": [
                {
                    "name": "Selling", "item": "6.5", "postage": "6.5", "tax": "1", "tiers": [{ "from": "100", "item": "5" }, { "from": "200", "item": "4" }],
                    "whole": false, "least": "0.30", "most": "20", "order": "0.20", "line": "0.05", "piece": "0.01", "chance": "100",
                },
                { "name": "Advertising", "item": "15", "chance": "20", "returned": true },
            ],
            "tax": { "kind": "added", "percent": "8.25", "postage": true }, "refunds": "2",
        },
        "postage": { "paid": "1.50", "charged": "2.00" },
        "target": { "kind": "margin", "value": "20" }, "ending": "95", "ownPrice": "15.00",
    })
}

/// The same with another value at a path such as `channel.fees[0].item`.
fn with(path: &str, value: Value) -> Value {
    let mut members = full();
    let pointer = path.replace(']', "").replace(['.', '['], "/");
    let place = members.pointer_mut(&format!("/{pointer}"));
    *place.unwrap_or_else(|| panic!("{path}")) = value;
    members
}

/// The fields of all mistakes.
fn places(members: &Value) -> Vec<String> {
    let errors = refused(members);
    errors.iter().map(|error| error.field.clone()).collect()
}

#[test]
fn every_mistake_is_found_at_its_field() {
    quote(&full());
    let fields = [
        "film.price",
        "tape.price",
        "tape.width",
        "tape.length",
        "supplies[0].each",
        "supplies[0].count",
        "supplies[1].each",
        "supplies[1].count",
        "wage",
        "setupTime",
        "pieceTime",
        "orderTime",
        "spoilage",
        "machine.price",
        "machine.hours",
        "machine.pieceTime",
        "blade.price",
        "blade.length",
        "blade.pieceLength",
        "monthly",
        "orders",
        "overhead",
        "licence",
        "pieces",
        "orderLines",
        "channel.fees[0].item",
        "channel.fees[0].postage",
        "channel.fees[0].tax",
        "channel.fees[0].tiers[0].from",
        "channel.fees[0].tiers[1].from",
        "channel.fees[0].tiers[1].item",
        "channel.fees[0].least",
        "channel.fees[0].most",
        "channel.fees[0].order",
        "channel.fees[0].line",
        "channel.fees[0].piece",
        "channel.fees[0].chance",
        "channel.fees[1].item",
        "channel.fees[1].chance",
        "channel.tax.percent",
        "channel.refunds",
        "postage.paid",
        "postage.charged",
        "target.value",
    ];
    for field in fields {
        for text in [
            "",
            " ",
            "-1",
            "x",
            "1e3",
            "99999999999999",
            "1,2,3",
            "12 parsecs",
        ] {
            assert_eq!(places(&with(field, text.into())), [field], "{field} {text}");
        }
    }
    for kind in ["margin", "markup", "hourlyPay", "profit"] {
        for text in ["", "-1", "x", "99999999999999"] {
            let members = with("target", json!({ "kind": kind, "value": text }));
            assert_eq!(places(&members), ["target.value"], "{kind} {text}");
        }
    }
    // As a number, money would have lost its last digits before it is read.
    for kind in ["hourlyPay", "profit"] {
        let errors = refused(&with("target", json!({ "kind": kind, "value": 30.1 })));
        let first = errors.first();
        assert_eq!(
            (first.code, first.field.as_str()),
            (Code::WrongType, "target.value")
        );
    }
    // An own price may be left empty, as the field of a form is.
    quote(&with("ownPrice", "".into()));
    for text in ["-1", "x", "99999999999999"] {
        assert_eq!(places(&with("ownPrice", text.into())), ["ownPrice"]);
    }
    assert_eq!(
        places(
            &json!({ "supplies": [{ "each": "" }], "wage": "soon", "ownPrice": "-9", "spoilage": "96" })
        ),
        ["wage", "spoilage", "supplies[0].each", "ownPrice"]
    );
    // The layout's mistakes come with those of the quote.
    assert_eq!(
        places(&json!({
            "wage": "x",
            "material": { "sheet": { "width": "" }, "margin": "0", "gap": "0", "pieces": [{ "width": "9", "height": "3", "quantity": 1 }] },
        })),
        ["material.sheet.width", "wage"]
    );
    assert_eq!(
        places(&json!({ "tape": { "price": "5" } })),
        ["tape.width", "tape.length"]
    );
    assert_eq!(places(&json!({ "currency": "money" })), ["currency"]);
}

/// The code of the only mistake, and its field.
fn mistake(members: &Value) -> (Code, String) {
    let errors = refused(members);
    assert_eq!(errors.iter().count(), 1, "{errors:?}");
    (errors.first().code, errors.first().field.clone())
}

#[test]
fn figures_that_do_not_go_together_are_refused() {
    let at = |code: Code, field: &str| (code, field.to_owned());
    let tiers = |tiers: Value| json!({ "channel": { "fees": [{ "item": "5" }, { "item": "10", "tiers": tiers }] } });
    let second = "channel.fees[1].tiers[1].from";
    for from in ["100", "99.99", "0"] {
        let members = tiers(json!([{ "from": "100", "item": "5" }, { "from": from, "item": "3" }]));
        assert_eq!(mistake(&members), at(Code::TooSmall, second), "{from}");
    }
    // The first tier may begin at nothing; then it stands for the fee itself.
    let members = json!({ "ownPrice": "10", "channel": { "fees": [{ "item": "50", "tiers": [{ "from": "0", "item": "5" }] }] } });
    assert_eq!(left(&members), "9.50");
    let members = tiers(json!([{ "item": "5" }]));
    assert_eq!(
        mistake(&members),
        at(Code::Missing, "channel.fees[1].tiers[0].from")
    );

    assert_eq!(
        mistake(&with("channel.refunds", "95.01".into())),
        at(Code::TooLarge, "channel.refunds")
    );
    assert_eq!(
        mistake(&with("spoilage", "95.01".into())),
        at(Code::TooLarge, "spoilage")
    );
    assert_eq!(
        mistake(&json!({ "monthly": "9" })),
        at(Code::Missing, "orders")
    );
    let machine =
        |hours: Value| json!({ "machine": { "price": "600", "hours": hours, "pieceTime": "6" } });
    let hours = refused(&json!({ "machine": { "price": "600", "pieceTime": "6" } }));
    assert_eq!(
        (hours.first().code, hours.first().field.as_str()),
        (Code::Missing, "machine.hours")
    );
    // A life of nothing is no answer.
    assert!(!hours.first().hint.contains("write 0"));
    for hours in ["0", "0.99", "0.000000000001"] {
        assert_eq!(
            mistake(&machine(hours.into())),
            at(Code::TooSmall, "machine.hours")
        );
    }
    assert_eq!(
        mistake(&machine(1_000_000_001.into())),
        at(Code::TooLarge, "machine.hours")
    );
    quote(&machine(1.into()));
    let blade = json!({ "blade": { "price": "12", "pieceLength": "5" } });
    assert_eq!(mistake(&blade), at(Code::Missing, "blade.length"));

    let many = |count: usize| vec![json!({ "item": "1" }); count];
    quote(&json!({ "channel": { "fees": many(20) } }));
    assert_eq!(
        mistake(&json!({ "channel": { "fees": many(21) } })),
        at(Code::TooLarge, "channel.fees")
    );
    let many = |count: usize| {
        let tiers = (1..=count).map(|from| json!({ "from": from.to_string(), "item": "1" }));
        tiers.collect::<Value>()
    };
    quote(&tiers(many(20)));
    assert_eq!(
        mistake(&tiers(many(21))),
        at(Code::TooLarge, "channel.fees[1].tiers")
    );
}

/// A margin of 100 %, or fees that take everything, leave no price that could pay. What is named as the
/// most that can be reached is reached.
#[test]
fn what_no_price_can_reach_is_said() {
    let cost = json!([{ "each": "1" }]);
    let fees = |shares: &[&str]| -> Value {
        let fees = shares.iter().map(|share| json!({ "item": share }));
        json!({ "fees": fees.collect::<Vec<_>>() })
    };
    let included = json!({ "tax": { "kind": "included", "percent": "20" } });
    for (target, channel, field, hint) in [
        (
            json!({ "value": "100" }),
            json!({}),
            "target.value",
            Some("a margin of at most 99 %"),
        ),
        (
            json!({ "value": "95" }),
            fees(&["5"]),
            "target.value",
            Some("a margin of at most 94 %"),
        ),
        (json!({}), fees(&["100"]), "channel.fees[0].item", None),
        (json!({}), fees(&["60", "40"]), "channel.fees[0].item", None),
        (
            json!({}),
            fees(&["100", "100"]),
            "channel.fees[0].item",
            None,
        ),
        // Of 120 five sixths are kept; a hundredth of 120 is 1.2 in 100 of them.
        (
            json!({ "value": "99" }),
            included.clone(),
            "target.value",
            Some("a margin of at most 98.8 %"),
        ),
        // A third of 0.94 is 0.3133: 0.9468 - 0.01, rounded down.
        (
            json!({ "value": "99" }),
            fees(&["1/3"]),
            "target.value",
            Some("a margin of at most 98.66 %"),
        ),
        (
            json!({ "kind": "markup", "value": "10000" }),
            json!({}),
            "target.value",
            Some("a mark-up of at most 9900 %"),
        ),
        // With 5 % of fees a margin of 94 %: 94 / 6.
        (
            json!({ "kind": "markup", "value": "1600" }),
            fees(&["5"]),
            "target.value",
            Some("a mark-up of at most 1566.66 %"),
        ),
    ] {
        let members = json!({ "supplies": cost, "target": target, "channel": channel });
        let errors = refused(&members);
        let first = errors.first();
        assert_eq!(
            (first.code, first.field.as_str()),
            (Code::Impossible, field),
            "{members}"
        );
        if let Some(hint) = hint {
            assert_eq!(first.hint, format!("aim at {hint}"), "{members}");
            let most: String = hint
                .chars()
                .filter(|c| c.is_ascii_digit() || *c == '.')
                .collect();
            let mut target = target.clone();
            target["value"] = most.into();
            quote(&json!({ "supplies": cost, "target": target, "channel": channel }));
        }
    }
    // From 100 on nothing more is kept: above, or beyond the margin.
    let tier = |share: &str| json!({ "fees": [{ "tiers": [{ "from": "100", "item": share }] }] });
    let members = |cost: &str, margin: &str, share: &str| json!({ "supplies": [{ "each": cost }], "target": { "value": margin }, "channel": tier(share) });
    assert_eq!(quote(&members("100", "0", "100")).asked.price, "100.00");
    assert_eq!(
        refused(&members("100.01", "0", "100")).first().code,
        Code::Impossible
    );
    assert_eq!(quote(&members("10", "90", "10")).asked.price, "100.00");
    assert_eq!(
        refused(&members("10.01", "90", "10")).first().code,
        Code::Impossible
    );
}

#[test]
fn the_picture_names_what_it_shows() {
    let report = quote(
        &json!({ "supplies": [{ "name": "Mailer", "each": "1" }], "wage": "18", "pieceTime": "10" }),
    );
    let svg = report.drawing().to_svg();
    assert!(
        svg.starts_with("<svg xmlns=") && svg.contains("Work 75 %") && svg.contains("Mailer 25 %")
    );
}

/// 10 % up to 100 and 5 % above: of 250 that is 10.00 and 7.50. Where the tier counts for the whole, 5 % of
/// 250, 12.50. A tier begins at its amount, not behind it.
#[test]
fn a_fee_goes_by_tiers() {
    let left = |price: &str, whole: bool| {
        left(&json!({
            "ownPrice": price,
            "channel": { "fees": [{ "item": "10", "tiers": [{ "from": "100", "item": "5" }], "whole": whole }] },
        }))
    };
    assert_eq!(left("250", false), "232.50");
    assert_eq!(left("250", true), "237.50");
    assert_eq!(left("100", false), "90.00");
    assert_eq!(left("100", true), "95.00");
    assert_eq!(left("99.99", false), "89.99");
    assert_eq!(left("99.99", true), "89.99");
    // It is the items of the order that count: three at 50 are 150, 10.00 and 2.50.
    let three = json!({
        "pieces": "3", "ownPrice": "50", "postage": { "charged": "1000", "paid": "1000" },
        "channel": { "fees": [{ "item": "10", "tiers": [{ "from": "100", "item": "5" }] }] },
    });
    assert_eq!(self::left(&three), "137.50");
}

/// The cheapest price through tiers. 10 % to 100 and 20 % above: p - 10 - 0.2 (p - 100) = 100 at 112.50.
/// Where 20 % count for the whole from 100 on: 85 / 0.9 = 94.44, while 100 keeps 80 only; and 91 / 0.9 =
/// 101.11 is a price that is charged 20 %, so 91 / 0.8 = 113.75. Where 10 % count for the whole from 100
/// on, and 20 % below: 85 / 0.8 = 106.25, but 100 keeps 90 already.
#[test]
fn the_cheapest_price_is_found_through_tiers() {
    let price = |cost: &str, below: &str, above: &str, whole: bool| {
        let fee =
            json!({ "item": below, "tiers": [{ "from": "100", "item": above }], "whole": whole });
        quote(&json!({ "supplies": [{ "each": cost }], "channel": { "fees": [fee] } }))
            .asked
            .price
    };
    assert_eq!(price("100", "10", "20", false), "112.50");
    assert_eq!(price("85", "10", "20", true), "94.44");
    assert_eq!(price("91", "10", "20", true), "113.75");
    assert_eq!(price("85", "20", "10", true), "100.00");
    // 79 / 0.8 = 98.75 is below it.
    assert_eq!(price("79", "20", "10", true), "98.75");
}

/// 3 %, 0.50 at least and 7.50 at most, and 0.30 on top: of 10 0.50, of 100 3.00, of 400 7.50.
#[test]
fn a_fee_has_a_least_and_a_most() {
    let fee = json!({ "item": "3", "least": "0.50", "most": "7.50", "order": "0.30" });
    let left =
        |price: &str| left(&json!({ "ownPrice": price, "channel": { "fees": [fee.clone()] } }));
    assert_eq!(left("10"), "9.20");
    assert_eq!(left("100"), "96.70");
    assert_eq!(left("400"), "392.20");
    // Backwards: 10 + 0.50 + 0.30; p - 0.03 p - 0.30 = 100 at 103.402, whose fee of 3.40206 is charged
    // as 3.40; 400 + 7.50 + 0.30.
    let price = |cost: &str| {
        quote(&json!({ "supplies": [{ "each": cost }], "channel": { "fees": [fee.clone()] } }))
            .asked
            .price
    };
    assert_eq!(price("10"), "10.80");
    assert_eq!(price("100"), "103.40");
    assert_eq!(price("400"), "407.80");
    // With a tier: 10 % of 100 and 1 % above reach a most of 12 at 300.
    let fee = json!({ "item": "10", "least": "5", "most": "12", "tiers": [{ "from": "100", "item": "1" }] });
    let price = |cost: &str| {
        quote(&json!({ "supplies": [{ "each": cost }], "channel": { "fees": [fee.clone()] } }))
            .asked
            .price
    };
    assert_eq!(price("500"), "512.00");
    assert_eq!(price("20"), "25.00");
    // p - 10 - 0.01 (p - 100) = 189 at 200.
    assert_eq!(price("189"), "200.00");
    // The least is reached where the tier begins.
    let fee = json!({ "item": "10", "least": "10", "tiers": [{ "from": "100", "item": "5" }] });
    let report = quote(&json!({ "supplies": [{ "each": "5" }], "channel": { "fees": [fee] } }));
    assert_eq!(report.asked.price, "15.00");
}

/// 0.20 an order, 0.10 for each of three lines, 0.05 for each of six pieces: 0.80 of 6.00.
#[test]
fn a_fee_is_charged_by_the_line_and_by_the_piece() {
    let members = json!({
        "pieces": "6", "orderLines": "3", "ownPrice": "1",
        "channel": { "fees": [{ "order": "0.20", "line": "0.10", "piece": "0.05" }] },
    });
    assert_eq!(left(&members), "5.20");
}

/// 8 % on top of 100 are 8.00; 3 % of 100, 10 and 8 are 3.54. With the postage taxed the tax is 8.80, and 3 %
/// of 118.80 are 3.564.
#[test]
fn a_fee_is_charged_on_tax_and_postage() {
    let own = |postage: bool| {
        let report = quote(&json!({
            "ownPrice": "100", "postage": { "charged": "10" },
            "channel": {
                "fees": [{ "item": "3", "postage": "3", "tax": "3" }],
                "tax": { "kind": "added", "percent": "8", "postage": postage },
            },
        }));
        let own = report.own.unwrap();
        (own.total, own.left)
    };
    assert_eq!(own(false), ("118.00".to_owned(), "106.46".to_owned()));
    assert_eq!(own(true), ("118.80".to_owned(), "106.44".to_owned()));
    // Backwards, with 10 % of tax: p (1 - 0.033) = 100 at 103.4126. At 103.41 the tax is 10.34, and 3 % of
    // 113.75 are 3.4125, charged as 3.41: 100.00. At 103.40 they are as much: 99.99.
    let report = quote(&json!({
        "supplies": [{ "each": "100" }],
        "channel": { "fees": [{ "item": "3", "tax": "3" }], "tax": { "kind": "added", "percent": "10" } },
    }));
    assert_eq!(report.asked.price, "103.41");
    assert_eq!(line(&report, "tax"), "10.34");
    assert_eq!(line(&report, "fee"), "3.41");
}

/// 15 % of 40 are 6.00; on one order in five that is 1.20 of each.
#[test]
fn a_fee_by_chance_counts_by_its_chance() {
    let members =
        json!({ "ownPrice": "40", "channel": { "fees": [{ "item": "15", "chance": "20" }] } });
    assert_eq!(left(&members), "38.80");
    // It is charged as whole cents, and then shared out: 15 % of 40.03 are 6.0045, a fifth of 6.00.
    let members =
        json!({ "ownPrice": "40.03", "channel": { "fees": [{ "item": "15", "chance": "20" }] } });
    assert_eq!(left(&members), "38.83");
}

/// Of 50 with a fee of 8 %, 4.00, and costs of 10: five orders in a hundred paid back take 2.50, and with a
/// fee that comes back 2.30, five hundredths of 46.
#[test]
fn refunds_take_what_was_paid_and_may_bring_back_a_fee() {
    let left = |returned: bool| {
        left(&json!({
            "ownPrice": "50", "supplies": [{ "each": "10" }],
            "channel": { "refunds": "5", "fees": [{ "item": "8", "returned": returned }] },
        }))
    };
    assert_eq!(left(false), "33.50");
    assert_eq!(left(true), "33.70");
    // Of every 100 sold at p, 95 pay: 0.95 p = 10 at 10.5263. Refunds are no charge and are not rounded.
    let report = quote(&json!({ "supplies": [{ "each": "10" }], "channel": { "refunds": "5" } }));
    assert_eq!(report.asked.price, "10.53");
    assert_eq!(line(&report, "refunds"), "0.53");
}

/// A price of 120 that includes 20 % holds 20 of tax, a sixth (HMRC's VAT fraction for 20 %, Notice 700, from
/// memory; it follows from 20/120). The margin is a share of the 100 that are left.
#[test]
fn tax_in_the_price_is_taken_out_of_it() {
    let tax = json!({ "kind": "included", "percent": "20" });
    let members = json!({
        "supplies": [{ "each": "50" }], "target": { "value": "50" }, "channel": { "tax": tax }, "ownPrice": "120",
    });
    let report = quote(&members);
    assert_eq!(report.asked.price, "120.00");
    assert_eq!(report.asked.total, "120.00");
    assert_eq!(line(&report, "tax"), "20.00");
    assert_eq!(report.asked.left, "50.00");
    assert_eq!(report.asked.margin.as_deref(), Some("50"));
    assert_eq!(report.asked.markup.as_deref(), Some("100"));
    assert_eq!(report.own, Some(report.asked.clone()));
    // A mark-up of 100 % on 50, and a gain of 50 a piece, are the same price.
    for (kind, value) in [("markup", "100"), ("profit", "50.00")] {
        let mut members = members.clone();
        members["target"] = json!({ "kind": kind, "value": value });
        assert_eq!(quote(&members).asked.price, "120.00", "{kind}");
    }
    // Postage of 12 that is taxed as the items are: a sixth of 132.
    let members = json!({
        "supplies": [{ "each": "110" }], "postage": { "charged": "12" },
        "channel": { "tax": { "kind": "included", "percent": "20", "postage": true } },
    });
    let report = quote(&members);
    assert_eq!(
        (report.asked.price.as_str(), line(&report, "tax")),
        ("120.00", "22.00")
    );
    // On top: the customer pays 120 for a price of 100.
    let report = quote(&json!({
        "supplies": [{ "each": "50" }], "target": { "value": "50" }, "channel": { "tax": { "kind": "added", "percent": "20" } },
    }));
    assert_eq!(report.asked.price, "100.00");
    assert_eq!(report.asked.total, "120.00");
    assert_eq!(line(&report, "tax"), "20.00");
    assert_eq!(report.asked.margin.as_deref(), Some("50"));
}

/// Over a table nothing is posted: 0.20 an order and 0.10 for each of three pieces are 0.50, a third of which
/// is 0.17 rounded up. Posted, a mailer of 1.00 and 1.00 of postage that is not charged come to 2.50.
#[test]
fn over_a_table_nothing_is_posted() {
    let at = |kind: &str| {
        quote(&json!({
            "pieces": "3",
            "supplies": [
                { "name": "Mailer", "each": "1.00", "per": "posted" }, { "name": "Card", "each": "0.20" },
                { "name": "Sleeve", "each": "0.05", "count": "2", "per": "piece" },
            ],
            "postage": { "paid": "5", "charged": "4" }, "channel": { "kind": kind },
        }))
    };
    let report = at("fair");
    assert!(!report.posted);
    assert_eq!(report.asked.price, "0.17");
    assert_eq!(report.asked.total, "0.51");
    let labels: Vec<&str> = report
        .lines
        .iter()
        .map(|line| line.label.as_str())
        .collect();
    assert!(
        !labels.contains(&"Mailer") && !labels.contains(&"Postage"),
        "{labels:?}"
    );
    assert_eq!(named(&report, "Sleeve"), "0.30");
    for kind in ["post", "order", "wholesale"] {
        let report = at(kind);
        assert!(report.posted);
        assert_eq!(report.asked.price, "0.84", "{kind}");
        assert_eq!(named(&report, "Mailer"), "1.00");
        assert_eq!(line(&report, "postage"), "5.00");
    }
}

/// 240 a month over 40 orders are 6.00 each, and 0.50 besides. An own price of 10 leaves 3.50 of an order,
/// 140 of 40 of them; of orders of two pieces 13.50, 540.
#[test]
fn what_is_paid_by_the_month_is_borne_by_its_orders() {
    let report = |pieces: &str| {
        quote(
            &json!({ "monthly": "240", "orders": "40", "overhead": "0.50", "ownPrice": "10", "pieces": pieces }),
        )
    };
    let one = report("1");
    assert_eq!(one.asked.price, "6.50");
    assert_eq!(line(&one, "overhead"), "6.50");
    let month = |report: QuoteReport| report.own.unwrap().per_month;
    assert_eq!(month(one).as_deref(), Some("140.00"));
    assert_eq!(month(report("2")).as_deref(), Some("540.00"));
    assert_eq!(month(quote(&json!({ "ownPrice": "10" }))), None);
}

/// A cutter of 600 that runs for 1000 h wears 0.06 in six minutes; a blade of 12 that cuts 600 ft wears 0.10
/// on 5 ft. One piece in five spoilt adds a quarter of it to each.
#[test]
fn cutter_and_blade_wear() {
    let report = |spoilage: &str| {
        quote(&json!({
            "pieces": "10", "spoilage": spoilage, "machine": { "price": "600", "hours": "1000", "pieceTime": "6" },
            "blade": { "price": "12", "length": "600", "pieceLength": "5" },
        }))
    };
    assert_eq!(report("0").asked.price, "0.16");
    assert_eq!(line(&report("0"), "wear"), "1.60");
    assert_eq!(report("20").asked.price, "0.20");
    assert_eq!(line(&report("20"), "spoilage"), "0.40");
    // Bare numbers count in the unit of the whole: 60 in are 5 ft.
    let blade =
        quote(&json!({ "blade": { "price": "12", "length": "600 ft", "pieceLength": 60 } }));
    assert_eq!(blade.asked.price, "0.10");
}

/// A sheet of 12 by 24 in for 2.88 is 0.01 a square inch: 27 of them are 0.27. Seven lie on the sheet, so
/// that by the layout each bears a seventh, 0.4114.
#[test]
fn film_is_shared_by_layout_or_by_area() {
    let price = |by: &str| {
        quote(&json!({ "film": { "price": "2.88", "by": by } }))
            .asked
            .price
    };
    assert_eq!(price("area"), "0.27");
    assert_eq!(price("layout"), "0.42");
    // Of a roll by area: 27 square inches of 24 in by 10 ft, 2880 square inches for 28.80.
    let report = quote(&json!({
        "material": { "sheet": { "width": "24" }, "pieces": [{ "width": "9", "height": "3", "quantity": "5" }] },
        "film": { "price": "28.80", "length": "10 ft", "by": "area" },
    }));
    assert_eq!(report.asked.price, "0.27");
    assert_eq!(report.asked.per_sheet, None);
}

/// Ten minutes to pack at 30 an hour are 5.00 an order, 1.00 for each of five pieces; two minutes a piece are
/// 1.00. A piece spoilt for each one sold is worked on, but not packed.
#[test]
fn packing_is_worked_once_an_order() {
    let report = |spoilage: &str| {
        quote(
            &json!({ "pieces": "5", "wage": "30", "pieceTime": "2", "orderTime": "10", "spoilage": spoilage }),
        )
    };
    assert_eq!(report("0").asked.price, "2.00");
    assert_eq!(report("0").work, "20 min");
    assert_eq!(report("50").asked.price, "3.00");
    assert_eq!(report("50").work, "30 min");
}

/// Costs of 5 for the order and a gain of 2 on each of four: 13 / 4.
#[test]
fn a_sum_is_gained_on_each_piece() {
    let report = quote(&json!({
        "pieces": "4", "supplies": [{ "each": "5" }], "target": { "kind": "profit", "value": "2.00" },
    }));
    assert_eq!(report.asked.price, "3.25");
    assert_eq!(report.asked.left_per_piece, "2.00");
    assert_eq!(report.asked.left, "8.00");
}

/// What is bought costs 4.00, five minutes at 24 an hour are 2.00, and a margin of a quarter makes 8.00 of 6.00.
/// The work is paid with 0, 2.00 and 4.00 a piece: 0, 24 and 48 an hour, 28 for the seven of a sheet.
#[test]
fn floor_paid_and_asked_are_three_prices() {
    let report = quote(&json!({
        "supplies": [{ "each": "4" }], "wage": "24", "pieceTime": "5", "orders": "30", "target": { "value": "25" },
    }));
    let told = |report: &PriceReport| {
        let figures = [&report.price, &report.left, &report.earned_per_piece];
        let more = [&report.hourly_pay, &report.per_sheet, &report.per_month]
            .map(|text| text.clone().unwrap());
        [figures.map(String::clone), more].concat()
    };
    assert_eq!(
        told(&report.floor),
        ["4.00", "-2.00", "0.00", "0.00", "0.00", "0.00"]
    );
    assert!(report.floor.loss);
    assert_eq!(
        told(&report.paid),
        ["6.00", "0.00", "2.00", "24.00", "14.00", "60.00"]
    );
    assert_eq!(
        told(&report.asked),
        ["8.00", "2.00", "4.00", "48.00", "28.00", "120.00"]
    );
    assert!(!report.paid.loss && !report.asked.loss);
}

/// Thirds of a cent add up: three times two thirds are 2.00, and not a cent more. A minute at 10 an hour and a
/// third of it for spoiled pieces are nothing where the work is not paid.
#[test]
fn thirds_add_up_to_wholes() {
    let report = quote(&json!({
        "supplies": [{ "each": "2/3" }], "wage": "20", "pieceTime": "2", "monthly": "20", "orders": "30",
    }));
    assert_eq!(
        (report.asked.price.as_str(), report.asked.left.as_str()),
        ("2.00", "0.00")
    );
    let report = quote(
        &json!({ "supplies": [{ "each": "5" }], "wage": "10", "pieceTime": "1", "spoilage": "25" }),
    );
    assert_eq!(report.floor.price, "5.00");
}

/// Sums at the ends of what is taken: 10,000 pieces with 10,000 supplies of 1,000,000,000 each are a price of
/// 10,000,000,000,000 a piece, and a fee of a hundred-thousandth of a hundredth stops at its most.
#[test]
fn the_greatest_sums_are_exact() {
    let members = json!({
        "pieces": "10000", "supplies": [{ "each": "1000000000", "count": "10000", "per": "piece" }],
        "channel": { "fees": [{ "item": "0.00001", "most": "1000000000" }] },
    });
    let report = quote(&members);
    assert_eq!(report.asked.price, "10000000100000.00");
    assert_eq!(report.asked.total, "100000001000000000.00");
    assert_eq!(line(&report, "fee"), "1000000000.00");
    // An eleventh of the price for the tax, and half of the rest for the margin.
    let members = json!({
        "pieces": "10000", "supplies": [{ "each": "1000000000", "count": "10000", "per": "piece" }],
        "target": { "value": "50" }, "channel": { "tax": { "kind": "included", "percent": "10" } }, "ending": "00",
    });
    assert_eq!(quote(&members).asked.price, "22000000000000.00");
}

/// Lines of nothing are left out; what is always looked for is there.
#[test]
fn lines_of_nothing_are_left_out() {
    let ids = |members: &Value| -> Vec<&'static str> {
        quote(members).lines.iter().map(|line| line.id).collect()
    };
    assert_eq!(
        ids(&json!({ "channel": { "fees": [{ "item": "0" }] } })),
        ["film", "work", "left"]
    );
    let all = [
        "film", "tape", "work", "spoilage", "wear", "supply", "supply", "licence", "overhead",
        "postage", "fee", "fee", "refunds", "tax", "left",
    ];
    assert_eq!(ids(&full()), all);
}

/// Prices that leave next to nothing to pay for: a share of almost nothing is no number to show.
#[test]
fn a_share_of_next_to_nothing_is_left_out() {
    let report = quote(&json!({
        "supplies": [{ "each": "2/3", "count": "2" }], "overhead": "2/3", "postage": { "charged": "2" }, "ending": "00",
    }));
    // The customer pays 2 for postage, which covers the three thirds; the price is pure gain.
    assert_eq!(report.asked.price, "1.00");
    assert_eq!(report.asked.left, "1.00");
    assert_eq!(report.asked.markup, None);
}

/// An amount that a field takes: fractions, many decimals, and the ends of the range.
fn valid_amount() -> impl Strategy<Value = String> {
    prop_oneof![
        Just("0".to_owned()),
        Just("1000000000".to_owned()),
        Just("0.000000000001".to_owned()),
        (0..100_u32, 1..100_u32).prop_map(|(top, bottom)| format!("{top}/{bottom}")),
        (0..10_000_u32, 0..100_u32).prop_map(|(whole, cents)| format!("{whole}.{cents:02}")),
    ]
}

fn valid_share(most: u32) -> impl Strategy<Value = String> {
    prop_oneof![
        Just("0".to_owned()),
        Just(most.to_string()),
        (0..most, 1..30_u32).prop_map(|(whole, third)| format!("{whole} 1/{third}")),
    ]
}

/// Fees of all kinds, from the amounts and shares that a field takes.
fn valid_fee() -> impl Strategy<Value = Value> {
    let amounts = prop::collection::vec(valid_amount(), 7);
    let shares = prop::collection::vec(valid_share(8), 5);
    (amounts, shares, any::<[bool; 5]>(), valid_share(99)).prop_map(|(amounts, shares, flags, chance)| {
        let mut fee = json!({
            "item": shares[0], "postage": shares[1], "tax": shares[2], "order": amounts[0], "line": amounts[1],
            "piece": amounts[2], "least": amounts[3], "whole": flags[0], "returned": flags[1], "chance": chance,
        });
        if flags[2] {
            fee["most"] = amounts[4].clone().into();
        }
        if flags[3] {
            fee["tiers"] = json!([{ "from": amounts[5], "item": shares[3] }]);
        }
        if flags[4] {
            fee["tiers"] = json!([{ "from": "0.000000000001", "item": shares[3] }, { "from": "999999999.99", "item": shares[4] }]);
        }
        fee
    })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 1000, ..ProptestConfig::default() })]

    /// Whatever valid figures come together there is a price, unless fees and aim leave nothing of any.
    #[test]
    fn valid_figures_have_a_price(
        amounts in prop::collection::vec(valid_amount(), 15), fees in prop::collection::vec(valid_fee(), 0..5),
        shares in (valid_share(30), valid_share(30), valid_share(95), valid_share(94)), pieces in 1..=10_000_u32, time in 1..600_000_u32,
        choices in (0..4_usize, 0..5_usize, 0..4_usize, 0..3_usize, 0..4_usize), area in any::<bool>(),
    ) {
        let amount = |index: usize| amounts[index].clone();
        let (currency, ending, target, tax, kind) = choices;
        let currency = ["USD", "JPY", "KWD", "CLF"][currency];
        let ending = ["none", "00", "50", "95", "99"][ending];
        let (aim, tax_percent, refunds, spoilage) = shares;
        let aim = if target < 2 { aim } else { amount(0) };
        let target = ["margin", "markup", "hourlyPay", "profit"][target];
        let tax = ["none", "added", "included"][tax];
        let kind = ["post", "fair", "order", "wholesale"][kind];
        let members = json!({
            "currency": currency, "ending": ending, "pieces": pieces, "orderLines": pieces,
            "film": { "price": amount(1), "by": if area { "area" } else { "layout" } },
            "tape": { "price": amount(2), "width": "1 mm", "length": "10 cm" },
            "supplies": [
                { "each": amount(3), "per": "posted" }, { "each": amount(4), "count": 10_000, "per": "piece" },
                { "each": amount(5), "count": pieces },
            ],
            "wage": amount(6), "overhead": amount(7), "monthly": amount(8), "orders": pieces, "licence": amount(9),
            "machine": { "price": amount(10), "hours": "1", "pieceTime": format!("{time} s") },
            "blade": { "price": amount(11), "length": "1 m", "pieceLength": "1000 m" },
            "channel": { "kind": kind, "fees": fees, "tax": { "kind": tax, "percent": tax_percent, "postage": area }, "refunds": refunds },
            "postage": { "paid": amount(12), "charged": amount(13) },
            "spoilage": spoilage, "pieceTime": format!("{time} s"), "setupTime": format!("{time} min"), "orderTime": format!("{time} s"),
            "target": { "kind": target, "value": aim }, "ownPrice": amount(14),
        });
        match report(&input(&members)) {
            Ok(report) => {
                prop_assert!(report.lines.iter().all(|line| (0.0..=1.0).contains(&line.share)));
                prop_assert!(report.drawing().to_svg().ends_with("</svg>"));
            }
            // A tier may happen to begin where the one before it does, at nothing.
            Err(errors) => prop_assert!(
                errors.iter().all(|error| error.code == Code::Impossible), "{:?}", errors
            ),
        }
    }

    /// No input of the right shape panics, whatever its texts are.
    #[test]
    fn no_text_panics(texts in prop::collection::vec("\\PC{0,12}|[0-9]{1,14}([.][0-9]{0,12})?", 36)) {
        let mut texts = texts.into_iter();
        let mut text = || texts.next().unwrap_or_default();
        let _ = report(&input(&json!({
            "film": { "price": text() }, "tape": { "price": text(), "width": text(), "length": text() },
            "supplies": [{ "name": text(), "each": text(), "count": text() }],
            "wage": text(), "pieceTime": text(), "setupTime": text(), "orderTime": text(), "spoilage": text(),
            "machine": { "price": text(), "hours": text(), "pieceTime": text() },
            "blade": { "price": text(), "length": text(), "pieceLength": text() },
            "monthly": text(), "orders": text(), "overhead": text(), "licence": text(),
            "channel": {
                "fees": [{
                    "name": text(), "item": text(), "postage": text(), "tax": text(), "tiers": [{ "from": text(), "item": text() }],
                    "least": text(), "most": text(), "order": text(), "line": text(), "piece": text(), "chance": text(),
                }],
                "refunds": text(),
            },
            "target": { "kind": "markup", "value": text() }, "pieces": text(), "ownPrice": text(),
        })));
    }

    /// Any one text in a book that is right otherwise panics nowhere, and what is wrong with it is told
    /// at its field.
    #[test]
    fn one_wrong_text_is_told_at_its_field(
        field in prop::sample::select(vec![
            "machine.hours", "blade.length", "orders", "supplies[1].count", "channel.fees[0].tiers[1].from",
            "channel.fees[0].most", "channel.fees[1].chance", "channel.tax.percent", "channel.refunds", "target.value",
        ]),
        text in "\\PC{0,12}|[0-9]{1,14}([.][0-9]{0,12})?|[0-9]{1,3}[.][0-9]{1,2}",
    ) {
        if let Err(errors) = report(&input(&with(field, text.into()))) {
            prop_assert!(
                errors.iter().all(|error| error.field == field || error.code == Code::Impossible), "{:?}", errors
            );
        }
    }
}
