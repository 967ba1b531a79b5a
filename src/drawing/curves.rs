//! A chart of lines: how one figure follows from another.

use super::chart::{BOTTOM, EDGE, LEFT, RIGHT, TOP, TYPE, axis, chart, figure, pencilled};
use super::{Element, number};
use crate::measure::decimals;

/// What a chart of lines over one axis shows.
pub struct Chart<'a> {
    /// The picture in words.
    pub label: String,
    /// What is told along the lower edge, with its unit.
    pub across: String,
    /// What is told along the left edge, with its unit.
    pub up: String,
    /// Stretches along the lower edge that are shaded, from left to right, each less than the one before,
    /// with a word or two.
    pub bands: Vec<(f64, f64, &'a str)>,
    /// The lines, the most important one first.
    pub lines: Vec<Line<'a>>,
    /// Places along the lower edge that are marked, with a word or two.
    pub marks: Vec<(f64, &'a str)>,
    /// Places along the lower edge that are ticked, without words.
    pub ticks: Vec<f64>,
}

/// A row of points of a chart, joined from left to right.
pub struct Line<'a> {
    /// What it is called.
    pub name: &'a str,
    /// Its points, from left to right.
    pub points: Vec<(f64, f64)>,
    /// Whether the points are told apart by dots.
    pub dots: bool,
}

/// How each line is told from the others: class, colour, dashes. Lines beyond the third look like the
/// second and the third in turn.
const LOOKS: [(&str, &str, &str); 3] = [
    ("curve", "#24516b", ""),
    ("curve other", "#53616a", "5 4"),
    ("curve third", "#a3301c", "2 3"),
];

impl Chart<'_> {
    /// The picture. Classes for a style sheet: `band` for shaded stretches; `curve`, with `other` or
    /// `third`, for the lines and their names; `wanted` for the marks; `ruler` for the axes; `note` for what
    /// they tell.
    #[must_use]
    pub fn drawing(&self) -> Element {
        let all = || self.lines.iter().flat_map(|line| &line.points);
        let (mut start, mut end, mut low, mut high) = (f64::MAX, f64::MIN, 0.0_f64, 0.0_f64);
        for (x, y) in all() {
            (start, end) = (start.min(*x), end.max(*x));
            (low, high) = (low.min(*y), high.max(*y));
        }
        for (from, to, _) in &self.bands {
            (start, end) = (start.min(*from), end.max(*to));
        }
        let room = (end - start).max(end.abs() / 1000.0).max(1e-9) / 20.0;
        (start, end) = (start - room, end + room);
        let rise = (high - low).max(1e-9);
        let across = |x: f64| LEFT + (RIGHT - LEFT) * (x - start) / (end - start);
        let up = |y: f64| BOTTOM - (BOTTOM - TOP) * (y - low) / rise;
        let mut content = Vec::new();
        let mut strength = 0.9;
        for (from, to, words) in &self.bands {
            let (left, right) = (across(*from), across(*to));
            content.push(band(left, right - left, strength, words));
            strength *= 0.6;
        }
        content.extend([
            figure(EDGE, 14.0, "start", self.up.clone())
                .with("class", "note")
                .with("fill", "#53616a"),
            ruler(start, end, |x| {
                (across(x), BOTTOM, "v6", 0.0, 20.0, "middle")
            }),
            ruler(low, high, |y| {
                (LEFT, up(y), "h-5", -8.0, TYPE * 0.36, "end")
            }),
            figure(RIGHT, BOTTOM + 37.0, "end", self.across.clone())
                .with("class", "note")
                .with("fill", "#53616a"),
        ]);
        let mut ticks = String::new();
        for x in self.ticks.iter().filter(|x| start < **x && **x < end) {
            ticks.push_str(&["M", &number(across(*x)), " ", &number(BOTTOM), "v-9"].concat());
        }
        content.push(axis(ticks, Vec::new()));
        for (x, words) in self.marks.iter().filter(|(x, _)| start <= *x && *x <= end) {
            content.push(pencilled(across(*x), (*words).to_owned()));
        }
        let mut key = RIGHT;
        let [first, others @ ..] = LOOKS;
        let looks = std::iter::once(first).chain(others.into_iter().cycle());
        for (line, (class, colour, dashes)) in self.lines.iter().zip(looks) {
            let mut drawn = String::new();
            for (x, y) in &line.points {
                let to = if drawn.is_empty() { "M" } else { "L" };
                drawn.push_str(&[to, &number(across(*x)), " ", &number(up(*y))].concat());
            }
            let mut dots = Vec::new();
            for (x, y) in line.points.iter().filter(|_| line.dots) {
                dots.push(
                    Element::new("circle")
                        .with("cx", number(across(*x)))
                        .with("cy", number(up(*y)))
                        .with("r", "3")
                        .with("fill", colour),
                );
            }
            content.push(
                Element::new("g")
                    .with("class", class)
                    .with("stroke-width", "2")
                    .with("stroke-dasharray", dashes)
                    .child(path(colour, drawn))
                    .children(dots),
            );
            // The names, from the right, each behind a stroke of its line, as long as there is room.
            if key < LEFT + 60.0 || line.name.is_empty() {
                continue;
            }
            let name = figure(key, 14.0, "end", line.name.to_owned()).with("fill", colour);
            #[expect(clippy::cast_precision_loss, reason = "a word or two")]
            let width = line.name.chars().count() as f64 * 7.0;
            let stroke = ["M", &number(key - width - 26.0), " 10h20"].concat();
            content.push(
                Element::new("g")
                    .with("class", class)
                    .child(
                        path(colour, stroke)
                            .with("stroke-width", "2")
                            .with("stroke-dasharray", dashes),
                    )
                    .child(name),
            );
            key -= width + 40.0;
        }
        chart(BOTTOM + 46.0, self.label.clone(), content)
    }
}

/// A shaded stretch of the field, with its words at the foot where there is room for them.
fn band(left: f64, width: f64, strength: f64, words: &str) -> Element {
    let shade = Element::new("rect")
        .with("x", number(left))
        .with("y", number(TOP))
        .with("width", number(width.max(0.0)))
        .with("height", number(BOTTOM - TOP))
        .with("fill", "#bcd3db")
        .with("fill-opacity", number(strength));
    let mut content = vec![shade];
    #[expect(clippy::cast_precision_loss, reason = "a word or two")]
    let needed = words.chars().count() as f64 * 5.2;
    if needed < width {
        let middle = left + width / 2.0;
        content.push(
            figure(middle, BOTTOM - 8.0, "middle", words.to_owned())
                .with("font-size", "11")
                .with("fill", "#16232b"),
        );
    }
    Element::new("g").with("class", "band").children(content)
}

/// An axis with figures at round places. `place` gives for one of them where it lies, the stroke of its
/// tick, and where its figure stands from there.
fn ruler(
    from: f64,
    to: f64,
    place: impl Fn(f64) -> (f64, f64, &'static str, f64, f64, &'static str),
) -> Element {
    let (x, y, ..) = place(from);
    let (end_x, end_y, ..) = place(to);
    let mut strokes = [
        "M",
        &number(x),
        " ",
        &number(y),
        "L",
        &number(end_x),
        " ",
        &number(end_y),
    ]
    .concat();
    let mut figures = Vec::new();
    let step = round_step((to - from) / 5.0);
    let mut at = (from / step).ceil();
    while at * step <= to + step * 1e-6 {
        let (x, y, tick, aside, below, anchor) = place(at * step);
        strokes.push_str(&["M", &number(x), " ", &number(y), tick].concat());
        figures.push(figure(x + aside, y + below, anchor, decimals(at * step, 3)));
        at += 1.0;
    }
    axis(strokes, figures)
}

/// The least of 1, 2 and 5 with any number of noughts that is not below `least`.
fn round_step(least: f64) -> f64 {
    let mut ten = 1e-3;
    while ten * 10.0 <= least {
        ten *= 10.0;
    }
    let steps = [1.0, 2.0, 5.0];
    steps
        .into_iter()
        .map(|step| step * ten)
        .find(|step| *step >= least)
        .unwrap_or(ten * 10.0)
}

fn path(colour: &'static str, strokes: String) -> Element {
    Element::new("path")
        .with("d", strokes)
        .with("fill", "none")
        .with("stroke", colour)
}
