//! Straight cuts on a picture: one dashed line each, numbered where it begins.

use super::straight::Cut;
use crate::drawing::{Element, number};
use crate::measure::Length;
use std::fmt::Write as _;

/// So many cuts are numbered, the first ones; more would hide what they are about.
const NUMBERED: u32 = 40;

/// The lines of the cuts and their numbers, those beyond the end of the picture left out.
///
/// `place` gives for a distance from the side edge and one from the loaded end the place on the
/// picture, from the left and from the top; `shown` is how much of the stock's length it shows.
pub(super) fn lines(
    cuts: &[Cut],
    shown: Length,
    place: &dyn Fn(Length, Length) -> (f64, f64),
    type_size: f64,
) -> Vec<Element> {
    let mut drawn = String::new();
    let mut numbers: Vec<Element> = Vec::new();
    let mut taken: Vec<(f64, f64)> = Vec::new();
    let radius = type_size * 0.62;
    for (count, cut) in (1..).zip(cuts) {
        let (from, to) = (cut.span.from, cut.span.to);
        let ((x, y), (end_x, end_y)) = if cut.across {
            (place(from, cut.at), place(to, cut.at))
        } else {
            (place(cut.at, from), place(cut.at, to.min(shown)))
        };
        let begins = if cut.across { cut.at } else { from };
        if begins > shown {
            continue;
        }
        // Writing into a String cannot fail.
        let _ = write!(
            drawn,
            "M{} {}L{} {}",
            number(x),
            number(y),
            number(end_x),
            number(end_y)
        );
        if count <= NUMBERED
            && let Some(middle) = free_place((x, y), (end_x, end_y), radius, &taken)
        {
            taken.push(middle);
            numbers.extend(numbered(count, middle, radius));
        }
    }
    if drawn.is_empty() {
        return Vec::new();
    }
    let dash = format!("{} {}", number(type_size * 0.5), number(type_size * 0.25));
    let lines = Element::new("path")
        .with("class", "knife")
        .with("d", drawn)
        .with("fill", "none")
        .with("stroke", "#16232b")
        .with("stroke-width", number(type_size / 11.0))
        .with("stroke-dasharray", dash);
    std::iter::once(lines).chain(numbers).collect()
}

/// Where on a line a number has room among those that are `taken`, as near to its beginning as can
/// be; none where it has none.
fn free_place(
    (x, y): (f64, f64),
    (end_x, end_y): (f64, f64),
    radius: f64,
    taken: &[(f64, f64)],
) -> Option<(f64, f64)> {
    let long = (end_x - x).abs().max((end_y - y).abs());
    let clear = |(x, y): &(f64, f64)| {
        taken
            .iter()
            .all(|(other_x, other_y)| (x - other_x).hypot(y - other_y) >= radius * 2.0)
    };
    let at = |along: f64| {
        let share = along / long;
        (x + (end_x - x) * share, y + (end_y - y) * share)
    };
    // On a line that is too short for a number it stands in the middle.
    let steps = (0..12).map(|step| radius * (1.0 + f64::from(step) * 0.5));
    let steps = steps.take_while(|along| *along <= long - radius);
    steps.chain([long / 2.0]).map(at).find(clear)
}

/// The number of a cut in a disc.
fn numbered(count: u32, (x, y): (f64, f64), radius: f64) -> [Element; 2] {
    let size = radius * if count < 10 { 1.45 } else { 1.25 };
    [
        Element::new("circle")
            .with("class", "knife")
            .with("cx", number(x))
            .with("cy", number(y))
            .with("r", number(radius))
            .with("fill", "#f7f3e8")
            .with("stroke", "#16232b")
            .with("stroke-width", number(radius / 8.0)),
        Element::new("text")
            .with("class", "knife")
            .with("x", number(x))
            .with("y", number(y + size * 0.36))
            .with("text-anchor", "middle")
            .with("font-size", number(size))
            .with("fill", "#16232b")
            .text(count.to_string()),
    ]
}
