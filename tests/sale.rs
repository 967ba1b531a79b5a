//! What a customer pays: worked by hand from what was typed.

use decal_reckoner::api::decode;
use decal_reckoner::material;
use decal_reckoner::quote::{QuoteInput, SaleReport, report, sale};
use serde_json::{Value, json};

fn input(members: &Value) -> QuoteInput {
    let mut all = json!({
        "currency": "USD",
        "material": {
            "unit": "in",
            "sheet": { "width": "12", "length": "24" },
            "pieces": [{ "width": "9", "height": "3" }],
        },
        "supplies": [
            { "name": "mailer", "each": "1.00", "per": "posted", "count": 2 },
            { "name": "care card", "each": "0.10", "per": "piece" },
            { "name": " ", "each": "3.00" },
            { "name": "board", "each": "0.40", "per": "order" },
        ],
    });
    for (name, value) in members.as_object().unwrap() {
        all[name] = value.clone();
    }
    decode(&all.to_string()).unwrap_or_else(|errors| panic!("{errors:?}"))
}

fn sold(members: &Value) -> SaleReport {
    let input = input(members);
    let layout = material::report(&input.material).unwrap();
    sale(&input, &layout).unwrap_or_else(|errors| panic!("{errors:?}"))
}

/// 3 × 9.95 = 29.85; 7 % of it and of 4.00 of postage are 2.3695, that is 2.37; 29.85 + 4.00 + 2.37 = 36.22.
#[test]
fn an_own_price_is_what_is_asked() {
    let told = sold(&json!({
        "pieces": 3,
        "ownPrice": "9.95",
        "postage": { "paid": "5.55", "charged": "4.00" },
        "channel": { "name": "by mail", "tax": { "kind": "added", "percent": "7", "postage": true } },
    }));
    assert_eq!(told.price, "9.95");
    assert_eq!(told.items, "29.85");
    assert_eq!(told.postage.as_deref(), Some("4.00"));
    assert_eq!(told.tax.as_deref(), Some("2.37"));
    assert_eq!(told.total, "36.22");
    assert_eq!(told.channel, "by mail");
    let supplies: Vec<_> = told
        .supplies
        .iter()
        .map(|supply| (&*supply.name, supply.count))
        .collect();
    assert_eq!(supplies, [("mailer", 2), ("care card", 3), ("board", 1)]);
}

/// 20 % in a price of 60.00 are 60 - 60 / 1.2 = 10.00, and the customer pays no more for them.
#[test]
fn tax_in_the_price_adds_nothing() {
    let told = sold(&json!({
        "ownPrice": "60",
        "channel": { "tax": { "kind": "included", "percent": "20" } },
    }));
    assert_eq!(told.tax.as_deref(), Some("10.00"));
    assert_eq!(told.total, "60.00");
}

#[test]
fn over_a_table_nothing_is_posted() {
    let told = sold(&json!({
        "ownPrice": "5",
        "postage": { "charged": "4.00" },
        "channel": { "kind": "fair" },
    }));
    assert!(!told.posted);
    assert_eq!((told.postage, told.tax), (None, None));
    assert_eq!(told.total, "5.00");
    assert!(told.supplies.iter().all(|supply| supply.name != "mailer"));
}

/// Without a price of the maker's own it is that of the quote.
#[test]
fn the_price_is_that_of_the_quote() {
    let members =
        json!({ "pieces": 4, "wage": "18", "pieceTime": "7", "target": { "value": "20" } });
    let (told, quoted) = (sold(&members), report(&input(&members)).unwrap());
    assert_eq!(told.price, quoted.asked.price);
    assert_eq!(told.total, quoted.asked.total);
}
