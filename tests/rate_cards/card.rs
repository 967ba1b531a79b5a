//! A rate card for tests of the core and of the pages.

use serde_json::{Value, json};

/// A card with prices that are easy to reckon with.
pub fn card() -> Value {
    json!({
        "format": "decal-reckoner rate card", "version": 1, "edition": 7, "shop": "Heron Lake Lettering",
        "design": "Boat name", "from": "2020-01-01", "currency": "USD", "unit": "in", "mail": "ask@heron-lake.example",
        "lettering": { "words": "KITTIWAKE", "free": true },
        "sizes": [{ "width": "6 in", "height": "2 in" }, { "width": "9 in", "height": "3 in" },
                  { "width": "12 in", "height": "4 in" }],
        "films": [{ "name": "white", "colour": "#f8f8f4" }, { "name": "black" }],
        "quantities": [1, 5], "most": 10,
        "channels": [
            { "name": "post", "posted": true, "postage": "2.25", "tax": "added", "taxPercent": "8.25", "taxOnPostage": true },
            { "name": "table", "tax": "included", "taxPercent": 19 },
        ],
        "prices": [
            [[["8.00", "7.00"], ["11.00", "9.50"], ["15.00", "13.00"]], [["9.00", "8.00"], ["12.00", "10.50"], ["16.00", ""]]],
            [[["7.00", "6.00"], ["10.00", "8.50"], ["14.00", "12.00"]], [["8.00", "7.00"], ["11.00", "9.50"], ["15.00", "13.00"]]],
        ],
    })
}
