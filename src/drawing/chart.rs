//! What charts have in common: the field that their lines lie in, words, and axes with figures.
//!
//! Measures are in the picture's own units, about the CSS pixels that a phone gives it.

use super::{Element, number};

/// Width of the picture.
pub const WIDE: f64 = 360.0;
/// Where words begin that belong to the whole picture.
pub const EDGE: f64 = 6.0;
/// Left end of the field.
pub const LEFT: f64 = 46.0;
/// Right end of the field.
pub const RIGHT: f64 = 326.0;
/// Top of the field; the words above it have two lines.
pub const TOP: f64 = 52.0;
/// Bottom of the field, where the lower axis stands.
pub const BOTTOM: f64 = 236.0;
/// Size of type, in the units of the view box.
pub const TYPE: f64 = 12.5;

/// The picture of that height around its content.
#[must_use]
pub fn chart(height: f64, label: String, content: Vec<Element>) -> Element {
    Element::new("svg")
        .with(
            "viewBox",
            format!("0 0 {} {}", number(WIDE), number(height)),
        )
        .with("role", "img")
        .with("aria-label", label)
        .with("font-family", "system-ui, sans-serif")
        .with("font-size", number(TYPE))
        .children(content)
}

/// Words that begin there.
#[must_use]
pub fn words(x: f64, y: f64, words: String) -> Element {
    Element::new("text")
        .with("x", number(x))
        .with("y", number(y))
        .text(words)
}

/// What the picture shows, as its first line.
#[must_use]
pub fn title(title: String) -> Element {
    words(EDGE, 14.0, title)
        .with("class", "key")
        .with("fill", "#16232b")
}

/// A figure at an axis; `anchor` is the end of it that stands there.
#[must_use]
pub fn figure(x: f64, y: f64, anchor: &'static str, text: String) -> Element {
    words(x, y, text)
        .with("text-anchor", anchor)
        .with("stroke", "none")
}

/// An axis with its divisions as one path, and its figures.
#[must_use]
pub fn axis(path: String, figures: Vec<Element>) -> Element {
    Element::new("g")
        .with("class", "ruler")
        .with("fill", "#53616a")
        .with("stroke", "#8a8471")
        .child(Element::new("path").with("d", path).with("fill", "none"))
        .children(figures)
}

/// A line down through the field at `x` with words above it, like a stroke of a pencil along a
/// straightedge.
#[must_use]
pub fn pencilled(x: f64, text: String) -> Element {
    let anchor = if x > WIDE / 2.0 { "end" } else { "start" };
    let path = format!("M{} {}V{}", number(x), number(TOP - 16.0), number(BOTTOM));
    Element::new("g")
        .with("class", "wanted")
        .child(
            Element::new("path")
                .with("d", path)
                .with("fill", "none")
                .with("stroke", "#a3301c")
                .with("stroke-width", "2"),
        )
        .child(
            words(x, TOP - 20.0, text)
                .with("text-anchor", anchor)
                .with("fill", "#a3301c")
                .with("font-weight", "600"),
        )
}

/// The least of 1, 2, 5, 10, 20, ... that divides `span` into at most six.
#[must_use]
pub fn round_step(span: u64) -> u64 {
    let mut ten = 1_u64;
    loop {
        let steps = [1, 2, 5].map(|n| ten.saturating_mul(n));
        if let Some(step) = steps.into_iter().find(|step| span / step <= 6) {
            return step;
        }
        ten = ten.saturating_mul(10);
    }
}
