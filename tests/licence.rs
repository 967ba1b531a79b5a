//! Licences: what each kind of design says, by counts and days worked by hand.

use decal_reckoner::api::decode;
use decal_reckoner::error::{Code, InputErrors};
use decal_reckoner::quote::{DesignReport, LicencesInput, LicencesReport, May, licences};
use proptest::prelude::*;
use serde_json::{Value, json};

fn ask(all: &Value) -> Result<LicencesReport, InputErrors> {
    let mut input = json!({ "currency": "USD", "today": "2026-11-25" });
    for (name, value) in all.as_object().unwrap() {
        input[name] = value.clone();
    }
    let input: LicencesInput = decode(&input.to_string()).unwrap();
    licences(&input)
}

fn design(members: &Value) -> DesignReport {
    let report = ask(&json!({ "designs": [members] })).unwrap();
    report.designs.into_iter().next().unwrap()
}

fn verdict(members: &Value) -> (May, String) {
    let design = design(members);
    assert_eq!(design.blocked, design.may == May::No);
    assert_eq!(design.careful, design.may == May::Careful);
    (design.may, design.verdict)
}

fn says(may: May, text: &str) -> (May, String) {
    (may, text.to_owned())
}

#[test]
fn what_may_be_sold() {
    assert_eq!(
        verdict(&json!({ "sale": "own" })),
        says(May::Yes, "your own design: it needs no licence")
    );
    assert_eq!(
        verdict(&json!({ "sale": "yes" })),
        says(May::Yes, "its licence sets no number")
    );
    assert_eq!(
        verdict(&json!({ "sale": "no" })),
        says(May::No, "its licence does not allow to sell it")
    );
    let unclear = says(
        May::Careful,
        "its terms are unclear: ask before you sell it",
    );
    assert_eq!(verdict(&json!({ "sale": "unclear" })), unclear);
    // Nothing that was not said is taken for allowed.
    assert_eq!(verdict(&json!({})), unclear);
}

#[test]
fn a_number_is_used_up() {
    let counted = |sold: u32| json!({ "sale": "yes", "allowed": "100", "sold": sold });
    assert_eq!(verdict(&counted(99)), says(May::Yes, "99 of 100 sold"));
    assert_eq!(design(&counted(99)).left, Some(1));
    assert_eq!(
        verdict(&counted(100)),
        says(May::No, "its licence is used up: 100 of 100 sold")
    );
    assert_eq!(design(&counted(103)).left, Some(0));
    assert_eq!(design(&json!({ "sale": "yes", "sold": 5 })).left, None);
    // A licence that is used up may not be sold, however unclear the rest of it is.
    let both = json!({ "sale": "unclear", "allowed": 3, "sold": 3 });
    assert_eq!(verdict(&both).0, May::No);
    // The maker's own design has no number.
    let own = json!({ "sale": "own", "allowed": 3, "sold": 3, "expires": "2020-01-01" });
    assert_eq!(verdict(&own).0, May::Yes);
    assert_eq!(design(&own).left, None);
}

/// 2026-11-25 and 12 days are 2026-12-07; and 30 days 2026-12-25.
#[test]
fn a_licence_ends() {
    let until = |day: &str| verdict(&json!({ "sale": "yes", "expires": day }));
    assert_eq!(
        until("2026-11-24"),
        says(May::No, "its licence ended on 2026-11-24")
    );
    assert_eq!(
        until("2026-11-25"),
        says(May::Careful, "its licence ends today")
    );
    assert_eq!(
        until("2026-11-26"),
        says(May::Careful, "its licence ends tomorrow")
    );
    assert_eq!(
        until("2026-12-07"),
        says(May::Careful, "its licence ends in 12 days")
    );
    assert_eq!(
        until("2026-12-25"),
        says(May::Careful, "its licence ends in 30 days")
    );
    assert_eq!(
        until("2026-12-26"),
        says(May::Yes, "its licence sets no number")
    );
}

/// What may be sold only after something was asked does not count as what may be sold.
#[test]
fn the_headline_counts_what_may_be_sold_for_certain() {
    let report = ask(&json!({
        "designs": [
            { "name": "Heron", "sale": "own" },
            { "name": "Old map", "sale": "unclear" },
            { "name": "Crest", "sale": "no" },
        ],
    }));
    assert_eq!(
        report.unwrap().headline,
        "1 of 3 may be sold; look at 1 first"
    );
}

#[test]
fn the_order_in_hand_is_judged_before_its_price() {
    let order = |chosen: &str, pieces: u32| {
        ask(&json!({
            "designs": [
                { "name": "Heron", "sale": "own" },
                { "name": " Otter ", "sale": "yes", "allowed": 100, "sold": 98, "cost": "40.00",
                  "credit": "Otter by the example studio" },
            ],
            "chosen": chosen, "pieces": pieces,
        }))
    };
    let report = order("Otter", 5).unwrap();
    let chosen = report.chosen.unwrap();
    assert!(chosen.blocked);
    assert_eq!(
        chosen.verdict,
        "this order is 3 more than its licence allows: 98 of 100 sold"
    );
    assert_eq!(chosen.credit, "Otter by the example studio");
    // For one more piece it is fine.
    assert_eq!(report.designs[1].may, May::Yes);
    assert_eq!(report.headline, "2 of 2 may be sold");
    assert!(!order("Otter", 2).unwrap().chosen.unwrap().blocked);
    assert!(!order(" Heron", 500).unwrap().chosen.unwrap().blocked);
    assert_eq!(order("", 5).unwrap().chosen, None);
    // By its place, as a list offers it.
    let placed = |place: Value| {
        ask(&json!({
            "designs": [{ "name": "1", "sale": "own" }, { "sale": "no" }],
            "chosen": place,
        }))
    };
    let name = |place: Value| placed(place).unwrap().chosen.unwrap().name;
    assert_eq!(name(json!(1)), "Design 2");
    assert_eq!(name(json!("1")), "1");
    for wrong in [json!(2), json!(-1), json!(0.5)] {
        assert_eq!(placed(wrong).unwrap_err().first().code, Code::NotAChoice);
    }
    let errors = order("Grebe", 1).unwrap_err();
    assert_eq!(errors.first().field, "chosen");
    assert_eq!(errors.first().code, Code::NotAChoice);
}

/// 40.00 over 200 expected sales is 0.20 a piece; over the 100 that are allowed 0.40; 10.00 over 3 does
/// not end.
#[test]
fn the_cost_is_spread_over_the_sales() {
    let cost = |members: Value| {
        let design = design(&members);
        (design.cost_per_piece, design.exact_cost, design.spread_over)
    };
    let text = |text: &str| Some(text.to_owned());
    assert_eq!(
        cost(json!({ "cost": "40.00", "expected": 200 })),
        (text("0.20"), text("0.2"), Some(200))
    );
    assert_eq!(
        cost(json!({ "cost": "40.00", "expected": 200, "allowed": 100 })),
        (text("0.40"), text("0.4"), Some(100))
    );
    assert_eq!(
        cost(json!({ "cost": "40.00", "expected": 50, "allowed": 100 })),
        (text("0.80"), text("0.8"), Some(50))
    );
    assert_eq!(
        cost(json!({ "cost": "10.00", "allowed": 3 })),
        (text("3.33"), text("3.333333333333"), Some(3))
    );
    assert_eq!(cost(json!({ "cost": "10.00" })), (None, None, None));
    assert_eq!(cost(json!({ "expected": 7 })), (None, None, None));
}

/// A cost that is spread over fewer than were sold is paid back; one that is spread over none is borne by
/// no piece. Both are said, and nothing where neither is so.
#[test]
fn a_cost_that_is_paid_back_or_borne_by_no_piece_is_told() {
    let note = |members: Value| design(&members).cost_note;
    let spread = |sold: u32| note(json!({ "cost": "35.00", "expected": 70, "sold": sold }));
    assert_eq!(spread(69), "");
    for sold in [70, 88] {
        assert!(spread(sold).contains("paid back"), "{}", spread(sold));
    }
    // A licence for fewer than are expected is paid back by those.
    let fewer = json!({ "cost": "35", "expected": 70, "allowed": 50, "sold": 50 });
    assert!(note(fewer).contains("paid back"));
    let unborne = note(json!({ "cost": "35.00", "sold": 70 }));
    assert!(unborne.contains("no piece bears"), "{unborne}");
    for costless in [
        json!({}),
        json!({ "cost": "0", "sold": 9 }),
        json!({ "expected": 3, "sold": 9 }),
    ] {
        assert_eq!(note(costless), "");
    }
    // It is said of the order's design, too.
    let report = ask(&json!({
        "designs": [{ "name": "Pike", "sale": "yes", "cost": "35.00" }], "chosen": "Pike", "pieces": 4,
    }));
    assert_eq!(report.unwrap().chosen.unwrap().cost_note, unborne);
}

#[test]
fn every_mistake_is_told_at_its_field() {
    let errors = ask(&json!({
        "currency": "?", "today": "25.11.2026", "pieces": "none",
        "designs": [
            { "name": "fine" },
            { "allowed": 0, "sold": "-1", "expected": "1.5", "cost": "much", "expires": "2026-02-29" },
        ],
    }))
    .unwrap_err();
    let all: Vec<(&str, Code)> = errors
        .iter()
        .map(|error| (error.field.as_str(), error.code))
        .collect();
    assert_eq!(
        all,
        [
            ("currency", Code::NotAChoice),
            ("today", Code::NotANumber),
            ("pieces", Code::NotANumber),
            ("designs[1].allowed", Code::TooSmall),
            ("designs[1].sold", Code::TooSmall),
            ("designs[1].expected", Code::NotWhole),
            ("designs[1].expires", Code::Impossible),
            ("designs[1].cost", Code::NotANumber),
        ]
    );
}

proptest! {
    /// An order is blocked for its number exactly where it and what was sold are more than are allowed.
    #[test]
    fn numbers_are_never_exceeded(allowed in 1_u32..500, sold in 0_u32..600, pieces in 1_u32..500) {
        let report = ask(&json!({
            "designs": [{ "name": "x", "sale": "yes", "allowed": allowed, "sold": sold }],
            "chosen": "x", "pieces": pieces,
        }));
        let chosen = report.unwrap().chosen.unwrap();
        prop_assert_eq!(chosen.blocked, sold + pieces > allowed);
    }
}
