//! The rules' distances as bars, with the wanted one and the recommended one marked.

use super::{LegibilityReport, Reading};
use crate::drawing::{Element, chart, number};
use crate::measure::{Length, Unit, decimals};
use say::say;
use std::fmt::Write as _;

/// Width of the picture in its own units: about the CSS pixels that a phone gives it.
const WIDE: f64 = 360.0;
const LEFT: f64 = 8.0;
const RIGHT: f64 = 352.0;
/// Height of the wanted distance's label above the bars, and of the other mark's below.
const HEAD: f64 = 24.0;
/// Height of one rule: its name, and its bar.
const ROW: f64 = 40.0;
const BAR: f64 = 12.0;

/// The distance from which each rule says the letters can be read, as a horizontal bar, with a mark
/// across all bars for the recommended distance and one for the wanted distance.
///
/// Classes for a style sheet: `bar`, with `governing` or `aside` (the rule is not made for this
/// case); `recommended` and `wanted` for the marks.
pub(super) fn drawing(report: &LegibilityReport) -> Element {
    let recommended = report.recommended.distance.as_ref();
    let marked = [recommended, report.wanted.as_ref()].into_iter().flatten();
    let distances = report
        .rules
        .iter()
        .filter_map(|rule| rule.distance.as_ref());
    let longest = distances
        .chain(marked)
        .map(|distance| distance.value)
        .fold(0.0, f64::max);
    let across = |value: f64| (RIGHT - LEFT) * value / longest;
    let mut content = Vec::new();
    let mut top = HEAD;
    for rule in &report.rules {
        content.push(row(rule, rule.id == report.recommended.rule, top, &across));
        top += ROW;
    }
    if let Some(distance) = recommended {
        let at = LEFT + across(distance.value);
        let label = say!("readable from {distance}", distance = distance.text);
        content.push(mark("recommended", "#16232b", at, top, &label, top + 16.0));
    }
    if let Some(distance) = &report.wanted {
        let at = LEFT + across(distance.value);
        let label = say!("wanted from {distance}", distance = distance.text);
        content.push(mark("wanted", "#a3301c", at, top, &label, 16.0));
    }
    let bottom = top + HEAD;
    content.push(axis(longest, report.unit, bottom, &across));
    content.push(
        Element::new("text")
            .with("class", "note")
            .with("x", number(LEFT))
            .with("y", number(bottom + 38.0))
            .with("font-size", "11")
            .with("fill", "#53616a")
            .text(say!("Dashed: rules made for other cases")),
    );
    Element::new("svg")
        .with(
            "viewBox",
            format!("0 0 {} {}", number(WIDE), number(bottom + 46.0)),
        )
        .with("role", "img")
        .with("aria-label", label(report))
        .with("font-family", "system-ui, sans-serif")
        .with("font-size", "13")
        .children(content)
}

fn label(report: &LegibilityReport) -> String {
    let rules: Vec<String> = report
        .rules
        .iter()
        .map(|rule| format!("{} {}", rule.name, far(rule)))
        .collect();
    let (recommended, rules) = (&report.recommended.headline, rules.join("; "));
    match &report.wanted {
        Some(wanted) => say!(
            "Distances of legibility, {recommended} recommended, wanted from {wanted}: {rules}",
            wanted = wanted.text
        ),
        None => say!("Distances of legibility, {recommended} recommended: {rules}"),
    }
}

fn far(rule: &Reading) -> &str {
    rule.distance
        .as_ref()
        .map_or(say!(in "a distance": "none"), |distance| {
            distance.text.as_str()
        })
}

/// One rule: its name and distance, and the bar below them.
fn row(rule: &Reading, governs: bool, top: f64, across: &impl Fn(f64) -> f64) -> Element {
    let (class, fill, stroke, dash) = if governs {
        ("bar governing", "#24516b", "#24516b", "none")
    } else if rule.applies {
        ("bar", "#dbe7ea", "#24516b", "none")
    } else {
        ("bar aside", "none", "#8a8471", "3 2")
    };
    let name = if governs {
        say!("{name} – counts", name = rule.name)
    } else {
        rule.name.clone()
    };
    let text = |x: f64, anchor: &str, words: String| {
        Element::new("text")
            .with("x", number(x))
            .with("y", number(top + 14.0))
            .with("text-anchor", anchor.to_owned())
            .with("fill", if rule.applies { "#16232b" } else { "#53616a" })
            .with("font-weight", if governs { "600" } else { "400" })
            .text(words)
    };
    let width = rule.distance.as_ref().map_or(0.0, |d| across(d.value));
    Element::new("g")
        .with("class", class)
        .child(text(LEFT, "start", name))
        .child(text(RIGHT, "end", far(rule).to_owned()))
        .child(
            Element::new("rect")
                .with("x", number(LEFT))
                .with("y", number(top + 20.0))
                .with("width", number(width))
                .with("height", number(BAR))
                .with("fill", fill)
                .with("stroke", stroke)
                .with("stroke-dasharray", dash),
        )
}

/// A mark across every bar down to `bottom`, like a stroke of a pencil along a straightedge, and its
/// label on `baseline`, above or below all of them.
fn mark(
    class: &'static str,
    colour: &'static str,
    at: f64,
    bottom: f64,
    label: &str,
    baseline: f64,
) -> Element {
    let mut path = String::new();
    let mut row = HEAD;
    while row < bottom {
        // Writing into a String cannot fail.
        let _ = write!(
            path,
            "M{} {}v{}",
            number(at),
            number(row + 18.0),
            number(BAR + 4.0)
        );
        row += ROW;
    }
    // The label keeps inside of the picture on whichever side of the mark there is room.
    let anchor = if at > WIDE / 2.0 { "end" } else { "start" };
    Element::new("g")
        .with("class", class)
        .child(
            Element::new("path")
                .with("d", path)
                .with("fill", "none")
                .with("stroke", colour)
                .with("stroke-width", "2"),
        )
        .child(
            Element::new("text")
                .with("x", number(at))
                .with("y", number(baseline))
                .with("text-anchor", anchor)
                .with("fill", colour)
                .with("font-weight", "600")
                .text(label),
        )
}

/// A rule's edge below the bars, with figures in feet or metres.
fn axis(longest: f64, unit: Unit, top: f64, across: &impl Fn(f64) -> f64) -> Element {
    let far = Unit::for_distance(unit);
    let one = Length::whole(1, far).to_f64(unit);
    let step = step(longest / one);
    let mut path = format!("M{} {}H{}", number(LEFT), number(top), number(RIGHT));
    let mut figures = Vec::new();
    let mut index = 0;
    while f64::from(index) * step <= longest / one {
        let value = f64::from(index) * step;
        let at = LEFT + across(value * one);
        // Writing into a String cannot fail.
        let _ = write!(path, "M{} {}v6", number(at), number(top));
        let (words, anchor) = if index == 0 {
            (format!("0 {}", far.symbol()), "start")
        } else {
            (
                decimals(value, 3),
                if at > RIGHT - 16.0 { "end" } else { "middle" },
            )
        };
        figures.push(
            Element::new("text")
                .with("x", number(if index == 0 { LEFT } else { at }))
                .with("y", number(top + 18.0))
                .with("text-anchor", anchor)
                .with("font-size", "11")
                .with("stroke", "none")
                .text(words),
        );
        index += 1;
    }
    chart::axis(path, figures)
}

/// The least round step (1, 2 or 5 with zeros) that divides `longest` into at most six.
fn step(longest: f64) -> f64 {
    let mut step = 0.001;
    loop {
        for round in [1.0, 2.0, 5.0] {
            if longest / (step * round) <= 6.0 {
                return step * round;
            }
        }
        step *= 10.0;
    }
}
