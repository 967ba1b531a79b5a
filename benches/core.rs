//! How long the core takes for one answer, natively: `cargo xtask bench core`.

use decal_reckoner::api::decode;
use decal_reckoner::legibility::{self, LegibilityInput};
use decal_reckoner::material::{self, MaterialInput};
use decal_reckoner::quote::{self, QuoteInput};
use divan::{Bencher, black_box};
use serde_json::{Value, json};

fn main() {
    divan::main();
}

fn input<T: serde::de::DeserializeOwned>(value: &Value) -> T {
    decode(&value.to_string()).unwrap_or_else(|errors| panic!("{errors:?}"))
}

fn story() -> Value {
    json!({
        "sheet": { "width": 12, "length": 24 }, "margin": "1/4", "gap": "1/8",
        "pieces": [{ "width": 9, "height": 3 }],
    })
}

#[divan::bench]
fn legibility(bencher: Bencher) {
    let input: LegibilityInput = input(&json!({
        "decal": { "width": 9, "height": 3, "letterHeight": "1 1/2" }, "distance": "60 ft",
    }));
    bencher.bench_local(|| legibility::report(black_box(&input)));
}

#[divan::bench]
fn layout_of_a_few_pieces(bencher: Bencher) {
    let input: MaterialInput = input(&story());
    bencher.bench_local(|| material::report(black_box(&input)));
}

/// A published instance on which five-block layouts fall short of the best.
#[divan::bench]
fn layout_of_a_hard_sheet(bencher: Bencher) {
    let input: MaterialInput = input(&json!({
        "unit": "cm", "sheet": { "width": 26, "length": 43 }, "pieces": [{ "width": 7, "height": 3 }],
    }));
    bencher.bench_local(|| material::report(black_box(&input)));
}

#[divan::bench]
fn layout_of_ten_thousand_on_a_roll(bencher: Bencher) {
    let input: MaterialInput = input(&json!({
        "unit": "mm", "sheet": { "width": 610 }, "margin": 6, "gap": 3,
        "pieces": [{ "width": 97, "height": 41, "quantity": 10_000 }],
    }));
    bencher.bench_local(|| material::report(black_box(&input)));
}

#[divan::bench]
fn size_steps_of_a_few_pieces(bencher: Bencher) {
    let input: MaterialInput = input(&story());
    bencher.bench_local(|| material::steps(black_box(&input)));
}

#[divan::bench]
fn size_steps_of_some_hundreds(bencher: Bencher) {
    let input: MaterialInput = input(&json!({
        "sheet": { "width": 24, "length": 48 }, "margin": "1/4", "gap": "1/8",
        "pieces": [{ "width": "2 1/4", "height": "1 5/8" }],
    }));
    bencher.bench_local(|| material::steps(black_box(&input)));
}

#[divan::bench]
fn price_of_an_order(bencher: Bencher) {
    let input: QuoteInput = input(&json!({
        "currency": "USD", "material": story(), "film": { "price": "3.60" }, "supplies": [{ "each": "0.62" }],
        "wage": "18", "pieceTime": "7 min", "spoilage": "4", "channel": { "fees": [{ "item": "6.5", "order": "0.20" }] },
        "target": { "kind": "margin", "value": "20" }, "ending": "50",
    }));
    let layout = material::report(&input.material).unwrap_or_else(|errors| panic!("{errors:?}"));
    bencher.bench_local(|| quote::report_for(black_box(&input), &layout));
}
