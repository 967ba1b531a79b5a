//! Prices: against worked examples, and against the same reckoning in exact fractions by another
//! library.

use decal_reckoner::api::decode;
use decal_reckoner::error::{Code, InputErrors};
use decal_reckoner::quote::{QuoteInput, QuoteReport, report};
use num_bigint::BigInt;
use num_rational::BigRational;
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

/// Margin m and mark-up g of one price: m = g/(1+g). A margin of 20 % is a mark-up of 25 %
/// (themathsguide.ie, junior cycle, profit and loss); cost 12 000 and price 15 000 are 25 % and 20 %
/// (algebra.com, solution 47041). Cost 100 at 50 % margin is 200; cost 40 at 50 % mark-up is 60, a
/// margin of 33.3 %.
#[test]
fn margin_and_markup_are_the_textbooks() {
    let at_margin = |cost: &str, margin: &str| {
        quote(&json!({ "mailer": cost, "target": { "kind": "margin", "value": margin } }))
    };
    let report = at_margin("100", "50");
    assert_eq!(report.asked.price, "200.00");
    assert_eq!(report.asked.markup.as_deref(), Some("100"));
    let report = at_margin("100", "20");
    assert_eq!(report.asked.price, "125.00");
    assert_eq!(report.asked.markup.as_deref(), Some("25"));
    let own = |cost: &str, price: &str| {
        let report = quote(&json!({ "mailer": cost, "ownPrice": price }));
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
        "mailer": "0.60",
        "card": "0.10",
        "overhead": "0.40",
        "postage": { "paid": "1.50", "charged": "2.00" },
        "channel": { "percent": "10", "fixed": "0.30" },
        "payment": { "percent": "3", "fixed": "0.25" },
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
    assert_eq!(line(&report, "channel"), "1.39");
    assert_eq!(line(&report, "payment"), "0.58");
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
        "wage": "18", "pieceTime": "7", "mailer": "0.62",
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
    let report = quote(&json!({ "mailer": "5", "ownPrice": "4.00" }));
    let own = report.own.unwrap();
    assert!(own.loss);
    assert_eq!(own.left, "-1.00");
    assert_eq!(own.margin.as_deref(), Some("-25"));
    assert_eq!(own.hourly_pay, None);
}

#[test]
fn other_currencies_have_other_decimals() {
    let ending = |currency: &str, cost: &str, ending: &str| {
        quote(&json!({ "currency": currency, "mailer": cost, "ending": ending }))
            .asked
            .price
    };
    assert_eq!(ending("JPY", "1103.2", "none"), "1104");
    assert_eq!(ending("JPY", "1103.2", "95"), "1195");
    assert_eq!(ending("KWD", "1.0301", "none"), "1.031");
    assert_eq!(ending("EUR", "11.03", "95"), "11.95");
    // A price that cannot be paid is looked at as the nearest one that can.
    let own = quote(&json!({ "currency": "JPY", "mailer": "5", "ownPrice": "9.95" })).own;
    assert_eq!(own.map(|own| own.price).as_deref(), Some("10"));
}

#[test]
fn every_mistake_is_found_at_its_field() {
    let bad = ["", "-1", "x", "99999999999999"];
    let amounts = [
        "film.price",
        "tape.price",
        "mailer",
        "card",
        "wage",
        "overhead",
        "channel.fixed",
        "payment.fixed",
        "postage.paid",
        "postage.charged",
    ];
    let shares = [
        "spoilage",
        "channel.percent",
        "payment.percent",
        "target.value",
    ];
    let others = ["setupTime", "pieceTime", "pieces"];
    for field in amounts.iter().chain(&shares).chain(&others) {
        for text in bad {
            let members = match field.split_once('.') {
                Some((outer, inner)) => json!({ outer: { inner: text } }),
                None => json!({ *field: text }),
            };
            let errors = refused(&members);
            assert_eq!(errors.first().field, *field, "{field} {text}");
        }
    }
    let places = |members: &Value| {
        let errors = refused(members);
        let places: Vec<String> = errors.iter().map(|error| error.field.clone()).collect();
        places
    };
    assert_eq!(
        places(&json!({ "mailer": "", "wage": "soon", "ownPrice": "-9", "spoilage": "96" })),
        ["wage", "spoilage", "mailer", "ownPrice"]
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

/// A margin of 100 %, or fees that take everything, leave no price that could pay.
#[test]
fn what_no_price_can_reach_is_said() {
    for members in [
        json!({ "mailer": "1", "target": { "value": "100" } }),
        json!({ "mailer": "1", "target": { "value": "95" }, "channel": { "percent": "5" } }),
        json!({ "mailer": "1", "channel": { "percent": "60" }, "payment": { "percent": "40" } }),
    ] {
        assert_eq!(
            refused(&members).first().code,
            Code::Impossible,
            "{members}"
        );
    }
}

#[test]
fn the_picture_names_what_it_shows() {
    let report = quote(&json!({ "mailer": "1", "wage": "18", "pieceTime": "10" }));
    let svg = report.drawing().to_svg();
    assert!(
        svg.starts_with("<svg xmlns=") && svg.contains("Work 75 %") && svg.contains("Mailer 25 %")
    );
}

/// One order in exact fractions.
struct Fractions {
    costs: BigRational,
    hours: BigRational,
    wage: BigRational,
    fees: [(BigRational, BigRational); 2],
    charged: BigRational,
    pieces: BigRational,
}

fn fraction(numerator: u64, denominator: u64) -> BigRational {
    BigRational::new(BigInt::from(numerator), BigInt::from(denominator))
}

fn parsed(text: &str) -> BigRational {
    let (whole, decimals) = text.split_once('.').unwrap_or((text, ""));
    let digits: BigInt = format!("{whole}{decimals}").parse().unwrap();
    BigRational::new(
        digits,
        BigInt::from(10).pow(u32::try_from(decimals.len()).unwrap()),
    )
}

impl Fractions {
    fn left(&self, price: &BigRational) -> BigRational {
        let total = price * &self.pieces + &self.charged;
        let mut left = &total - &self.costs;
        for (share, fixed) in &self.fees {
            let cents = (&total * share + fixed) * fraction(100, 1) + fraction(1, 2);
            left -= cents.floor() / fraction(100, 1);
        }
        left
    }
}

/// Prices that leave next to nothing to pay for: a share of almost nothing is no number to show.
#[test]
fn a_share_of_next_to_nothing_is_left_out() {
    let report = quote(&json!({
        "mailer": "2/3", "card": "2/3", "overhead": "2/3", "postage": { "charged": "2" }, "ending": "00",
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

proptest! {
    /// Whatever valid figures come together there is a price, unless fees and aim leave nothing of any.
    #[test]
    fn valid_figures_have_a_price(
        amounts in prop::collection::vec(valid_amount(), 11),
        shares in prop::collection::vec(valid_share(30), 4),
        spoilage in valid_share(94), pieces in 1..=10_000_u32, time in 0..600_000_u32,
        currency in 0..4_usize, ending in 0..5_usize, hourly in any::<bool>(),
    ) {
        let amount = |index: usize| amounts[index].clone();
        let currency = ["USD", "JPY", "KWD", "CLF"][currency];
        let ending = ["none", "00", "50", "95", "99"][ending];
        let members = json!({
            "currency": currency, "ending": ending, "pieces": pieces,
            "film": { "price": amount(0) }, "tape": { "price": amount(1), "width": "1 mm", "length": "10 cm" },
            "mailer": amount(2), "card": amount(3), "wage": amount(4), "overhead": amount(5),
            "channel": { "percent": shares[0], "fixed": amount(6) },
            "payment": { "percent": shares[1], "fixed": amount(7) },
            "postage": { "paid": amount(8), "charged": amount(9) },
            "spoilage": spoilage, "pieceTime": format!("{time} s"), "setupTime": format!("{time} min"),
            "target": if hourly && time > 0 { json!({ "kind": "hourlyPay", "value": amount(10) }) }
                else { json!({ "kind": "margin", "value": shares[2] }) },
            "ownPrice": amount(10),
        });
        match report(&input(&members)) {
            Ok(report) => {
                prop_assert!(report.lines.iter().all(|line| (0.0..=1.0).contains(&line.share)));
                prop_assert!(report.drawing().to_svg().ends_with("</svg>"));
            }
            Err(errors) => prop_assert!(
                errors.iter().all(|error| error.code == Code::Impossible), "{:?}", errors
            ),
        }
    }

    /// The asked price reaches its target when another library reckons it in fractions, the next
    /// lower price with the same ending does not, and the lines add up to what the customer pays.
    #[test]
    fn the_asked_price_is_the_least_that_holds(
        film in 0..2_000_u64, mailer in 0..500_u64, wage in 0..6_000_u64, minutes in 1..90_u64, setup in 0..60_u64,
        spoilage in 0..50_u64, channel in 0..2_000_u64, channel_fixed in 0..100_u64, payment in 0..500_u64,
        paid in 0..900_u64, charged in 0..900_u64, aim in 0..60_u64, hourly in any::<bool>(), pieces in 1..30_u64, ending in 0..5_usize,
    ) {
        let cents = |amount: u64| format!("{}.{:02}", amount / 100, amount % 100);
        let name_of_ending = ["none", "00", "50", "95", "99"][ending];
        let report = quote(&json!({
            "film": { "price": cents(film) }, "mailer": cents(mailer), "wage": cents(wage),
            "pieceTime": minutes.to_string(), "setupTime": setup.to_string(), "spoilage": spoilage.to_string(),
            "channel": { "percent": cents(channel), "fixed": cents(channel_fixed) },
            "payment": { "percent": cents(payment) },
            "postage": { "paid": cents(paid), "charged": cents(charged) },
            "target": { "kind": if hourly { "hourlyPay" } else { "margin" }, "value": aim.to_string() },
            "pieces": pieces.to_string(),
            "ending": name_of_ending,
        }));
        let n = fraction(pieces, 1);
        // Seven pieces fit on the sheet, as the tests of the layout show.
        let film_each = fraction(film, 700);
        let lost = fraction(spoilage, 100 - spoilage);
        let each = fraction(minutes, 60);
        let set_up = fraction(setup, 60 * 7);
        let wage = fraction(wage, 100);
        let one = fraction(1, 1);
        let hours = &n * (&each * (&one + &lost) + &set_up);
        let order = Fractions {
            costs: &n * &film_each * (&one + &lost) + &wage * &hours + fraction(mailer, 100) + fraction(paid, 100),
            fees: [(fraction(channel, 10_000), fraction(channel_fixed, 100)), (fraction(payment, 10_000), fraction(0, 1))],
            charged: fraction(charged, 100),
            pieces: n.clone(),
            hours,
            wage,
        };
        let reaches = |price: &BigRational| {
            let aim = fraction(aim, 1);
            let wanted = if hourly {
                (aim - &order.wage) * &order.hours
            } else {
                aim / fraction(100, 1) * price * &n
            };
            // The core carries a cost that is no finite decimal to twelve decimals.
            order.left(price) + fraction(1, 10_000_000_000) >= wanted
        };
        let price = parsed(&report.asked.price);
        prop_assert!(reaches(&price), "{} does not reach the target", report.asked.price);
        let step = [fraction(1, 100), one.clone(), fraction(1, 2), one.clone(), one][ending].clone();
        let lower = &price - step;
        if lower >= fraction(1, 100) {
            let strictly = |price: &BigRational| {
                let slack = fraction(2, 10_000_000_000);
                let aim = fraction(aim, 1);
                let wanted = if hourly { (aim - &order.wage) * &order.hours } else { aim / fraction(100, 1) * price * &n };
                order.left(price) >= wanted + slack
            };
            prop_assert!(!strictly(&lower), "{} would do as well", lower);
        }
        let sum: BigRational = report.lines.iter().map(|line| {
            line.amount.strip_prefix('-').map_or_else(|| parsed(&line.amount), |loss| -parsed(loss))
        }).sum();
        prop_assert_eq!(sum, parsed(&report.asked.total));
    }

    /// No input of the right shape panics, whatever its texts are.
    #[test]
    fn no_text_panics(texts in prop::collection::vec("\\PC{0,12}|[0-9]{1,14}([.][0-9]{0,12})?", 12)) {
        let text = |index: usize| texts[index].clone();
        let _ = report(&input(&json!({
            "film": { "price": text(0) }, "tape": { "price": text(1), "width": text(2), "length": text(3) },
            "mailer": text(4), "wage": text(5), "pieceTime": text(6), "spoilage": text(7),
            "channel": { "percent": text(8) }, "target": { "value": text(9) }, "pieces": text(10), "ownPrice": text(11),
        })));
    }
}
