//! What several tests of rate cards begin with.

use serde_json::{Value, json};

/// The book of Heron Lake Lettering, a maker who does not exist.
pub fn book() -> Value {
    json!({
        "prices": {
            "quote": {
                "currency": "USD",
                "material": {
                    "unit": "in", "sheet": { "width": "12", "length": "24" }, "margin": "1/4", "gap": "1/8",
                    "pieces": [{ "width": "9", "height": "3" }],
                },
                "film": { "price": "3.60" },
                "tape": { "price": "31.00", "width": "12", "length": "100" },
                "supplies": [{ "name": "mailer", "each": "0.37", "per": "posted" }],
                "wage": "21.50", "setupTime": "7", "pieceTime": "6.5", "orderTime": "4",
                "spoilage": "4", "monthly": "61.00", "orders": "23",
                "postage": { "paid": "1.83", "charged": "2.25" },
                "target": { "kind": "margin", "value": "22" },
                "ending": "99",
            },
            "sizes": [{ "width": "9" }, { "width": "6" }, { "width": "12" }],
            "grows": "40", "quantities": "1, 5, 10", "floor": "17.00",
            "channels": [
                { "name": "shop page", "kind": "post", "fees": [{ "name": "selling", "item": "6.7", "order": "0.31" }],
                  "tax": { "kind": "added", "percent": "8.25", "postage": true }, "refunds": "2" },
                { "name": "fair table", "kind": "fair", "fees": [{ "name": "card", "item": "2.6", "order": "0.13" }],
                  "tax": { "kind": "included", "percent": "8.25" } },
                { "name": "a friend's shop", "kind": "wholesale", "offered": false },
            ],
            "fair": { "tableFee": "47.00", "travel": "13.00", "hours": "6.5", "sales": "29" },
        },
        "stock": [
            { "name": "lake white", "width": "24", "left": "30" },
            { "name": "night black", "width": "12", "length": "24" },
            { "name": "birch grain", "width": "24", "patterned": true },
        ],
        "bought": [{ "price": "46.00", "length": "30" }, { "price": "3.60" }, { "price": "39.00", "length": "15" }],
        "films": [{ "offered": true, "colour": "#f8f8f4" }, { "offered": true }, { "offered": false }],
        "edition": 3, "shop": "Heron Lake Lettering", "design": "Boat name", "mail": "ask@heron-lake.example",
        "from": "2026-11-28", "until": "2027-02-28", "most": 20,
        "lettering": { "words": "KITTIWAKE", "free": true },
    })
}

/// The card with another value at this place; a member that is to be nothing is left out.
pub fn spoil(card: &Value, place: &str, value: &Value) -> Value {
    let mut bad = card.clone();
    let (of, member) = place.rsplit_once('/').unwrap();
    let of = bad.pointer_mut(of).unwrap_or_else(|| panic!("{place}"));
    match member.parse::<usize>() {
        Ok(index) => of[index] = value.clone(),
        Err(_) if value.is_null() => drop(of.as_object_mut().unwrap().remove(member)),
        Err(_) => of[member] = value.clone(),
    }
    bad
}
