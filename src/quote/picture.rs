//! The pictures of a price: what it is made of, and what an hour brings by it.

use super::{Line, PriceReport, QuoteReport};
use crate::drawing::{self, Chart, Element, number};
use crate::measure::decimals;
use rust_decimal::prelude::ToPrimitive;
use say::say;

/// Width of the picture; all other measures follow from it.
const WIDTH: f64 = 360.0;
/// The strip, below the numbers of its parts.
const TOP: f64 = 15.0;
const STRIP: f64 = 42.0;
const TYPE: f64 = 12.5;
const ROW: f64 = 18.0;

/// A part below this share of the strip is too narrow for its number; the table names it.
const NUMBERED: f64 = 0.03;

/// The strip of the lines, its wider parts numbered, and the key to the numbers in two columns.
pub(super) fn drawing(lines: &[Line]) -> Element {
    let parts: Vec<&Line> = lines.iter().filter(|line| line.share > 0.0).collect();
    let spoken: Vec<String> = parts.iter().map(|line| name(line)).collect();
    let mut drawn = Vec::new();
    let mut key = Vec::new();
    let mut x = 0.0;
    for (index, part) in parts.into_iter().enumerate() {
        let (class, fill) = match (part.id, index % 2) {
            ("left", _) => ("part left", "#f6ded6"),
            (_, 0) => ("part", "#dbe7ea"),
            _ => ("part other", "#fffdf6"),
        };
        let width = part.share * WIDTH;
        drawn.push(
            Element::new("rect")
                .with("class", class)
                .with("x", number(x))
                .with("y", number(TOP))
                .with("width", number(width))
                .with("height", number(STRIP))
                .with("fill", fill)
                .with("stroke", "#24516b")
                .with("stroke-width", "1"),
        );
        if part.share >= NUMBERED {
            key.push(name(part));
            drawn.push(
                words(x + width / 2.0, TOP - 4.0, key.len().to_string())
                    .with("text-anchor", "middle"),
            );
        }
        x += width;
    }
    let rows = key.len().div_ceil(2);
    for (index, name) in key.into_iter().enumerate() {
        let column = if index < rows { 0.0 } else { WIDTH / 2.0 };
        let y = baseline(index % rows.max(1));
        drawn.push(words(column, y, format!("{}  {name}", index + 1)));
    }
    let height = rows.checked_sub(1).map_or(TOP + STRIP, baseline) + ROW / 2.0;
    Element::new("svg")
        .with(
            "viewBox",
            format!("-2 0 {} {}", number(WIDTH + 4.0), number(height)),
        )
        .with("role", "img")
        .with(
            "aria-label",
            say!(
                "What the price is made of: {parts}",
                parts = spoken.join(", ")
            ),
        )
        .children(drawn)
}

fn words(x: f64, y: f64, words: String) -> Element {
    Element::new("text")
        .with("class", "key")
        .with("x", number(x))
        .with("y", number(y))
        .with("font-size", number(TYPE))
        .with("fill", "#16232b")
        .text(words)
}

#[expect(clippy::cast_precision_loss, reason = "half a dozen rows at most")]
fn baseline(row: usize) -> f64 {
    TOP + STRIP + ROW * (row as f64 + 1.1)
}

/// `Film 4 %`; the smallest parts as less than one.
fn name(line: &Line) -> String {
    if line.share < 0.01 {
        format!("{} <1 %", line.label)
    } else {
        format!("{} {} %", line.label, decimals(line.share * 100.0, 0))
    }
}

/// What an hour of work brings, by the price of a piece.
pub(super) fn pay(report: &QuoteReport, points: &[(f64, f64)]) -> Element {
    let mut marks = Vec::new();
    let mut mark = |price: &PriceReport, name| {
        marks.extend(price.number.to_f64().map(|price| (price, name)));
    };
    mark(&report.paid, say!(in "the price that pays it": "wage"));
    mark(&report.asked, say!(in "the price to ask": "ask"));
    if let Some(own) = &report.own {
        mark(own, say!(in "the maker's own price": "own"));
    }
    let currency = report.currency.as_str();
    let price = report.asked.price.as_str();
    let label = match &report.asked.hourly_pay {
        Some(pay) => {
            say!("Pay an hour by the price of a piece, in {currency}: at {price} it is {pay}")
        }
        None => {
            say!("Pay an hour by the price of a piece, in {currency}: at {price} it is nothing")
        }
    };
    let chart = Chart {
        label,
        across: say!("price of a piece, {currency}"),
        up: say!("an hour, {currency}"),
        bands: Vec::new(),
        lines: vec![drawing::Line {
            name: say!(in "of an hour of work": "pay"),
            points: points.to_vec(),
            dots: false,
        }],
        marks,
        ticks: Vec::new(),
    };
    chart.drawing()
}
