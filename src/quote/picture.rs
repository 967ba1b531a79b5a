//! The picture of what a price is made of.

use super::Line;
use crate::drawing::{Element, number};
use crate::measure::decimals;

/// Width of the picture; all other measures follow from it.
const WIDTH: f64 = 360.0;
const STRIP: f64 = 46.0;
const TYPE: f64 = 12.0;
const ROW: f64 = 17.0;

/// A part below this share of the strip is too narrow to be named beside it; the table names it.
const NAMED: f64 = 0.02;

/// The strip of the lines, the wider parts named below it.
pub(super) fn drawing(lines: &[Line]) -> Element {
    let parts: Vec<&Line> = lines.iter().filter(|line| line.share > 0.0).collect();
    let spoken: Vec<String> = parts.iter().map(|line| name(line)).collect();
    let mut strip = Vec::new();
    let mut labels = Labels::default();
    // From the right to the left, so that no leader runs through a name above it.
    let mut x: f64 = WIDTH * parts.iter().map(|part| part.share).sum::<f64>();
    for (index, part) in parts.into_iter().enumerate().rev() {
        let (class, fill) = match (part.id, index % 2) {
            ("left", _) => ("part left", "#f6ded6"),
            (_, 0) => ("part", "#dbe7ea"),
            _ => ("part other", "#fffdf6"),
        };
        let width = part.share * WIDTH;
        x -= width;
        strip.push(
            Element::new("rect")
                .with("class", class)
                .with("x", number(x))
                .with("width", number(width))
                .with("height", number(STRIP))
                .with("fill", fill)
                .with("stroke", "#24516b")
                .with("stroke-width", "1"),
        );
        if part.share >= NAMED {
            labels.add(x, name(part));
        }
    }
    let height = labels.bottom() + ROW / 2.0;
    Element::new("svg")
        .with(
            "viewBox",
            format!("-2 -2 {} {}", number(WIDTH + 4.0), number(height + 2.0)),
        )
        .with("role", "img")
        .with(
            "aria-label",
            format!("What the price is made of: {}", spoken.join(", ")),
        )
        .children(labels.drawn)
        .children(strip)
}

/// The names below the strip: each under its part, in the first row where it is not in the way.
#[derive(Default)]
struct Labels {
    /// Where the first name of each row begins.
    rows: Vec<f64>,
    drawn: Vec<Element>,
}

impl Labels {
    fn add(&mut self, x: f64, name: String) {
        #[expect(clippy::cast_precision_loss, reason = "a name of a few letters")]
        let long = name.chars().count() as f64 * TYPE * 0.55;
        let start = x.min(WIDTH - long).max(0.0);
        let free = self
            .rows
            .iter()
            .position(|begin| start + long + TYPE < *begin);
        let row = free.unwrap_or(self.rows.len());
        if free.is_none() {
            self.rows.push(WIDTH);
        }
        self.rows[row] = start;
        let base = baseline(row);
        let leader = format!("M{0} {1}V{2}", number(x + 1.0), number(STRIP), number(base));
        self.drawn.push(
            Element::new("path")
                .with("class", "leader")
                .with("d", leader)
                .with("stroke", "#8a8471")
                .with("stroke-width", "0.7"),
        );
        self.drawn.push(
            Element::new("text")
                .with("x", number(start + 4.0))
                .with("y", number(base))
                .with("font-size", number(TYPE))
                .with("fill", "#16232b")
                .text(name),
        );
    }

    fn bottom(&self) -> f64 {
        self.rows.len().checked_sub(1).map_or(STRIP, baseline)
    }
}

#[expect(clippy::cast_precision_loss, reason = "a dozen rows at most")]
fn baseline(row: usize) -> f64 {
    STRIP + ROW * (row as f64 + 1.0)
}

/// `Film 4 %`; the smallest parts as less than one.
fn name(line: &Line) -> String {
    if line.share < 0.01 {
        format!("{} <1 %", line.label)
    } else {
        format!("{} {} %", line.label, decimals(line.share * 100.0, 0))
    }
}
