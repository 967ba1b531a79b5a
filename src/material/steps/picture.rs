//! The step chart: how many pieces come out, by the width of a piece.

use super::{SizeStep, StepsReport};
use crate::decal::size_text;
use crate::drawing::chart::{
    BOTTOM, EDGE, LEFT, RIGHT, TOP, TYPE, axis, chart, figure, pencilled, round_step, title, words,
};
use crate::drawing::{Element, number};
use crate::measure::{Length, Unit};
use say::say;
use std::fmt::Write as _;

/// Width of a digit, on the generous side.
const DIGIT: f64 = 7.5;

/// One step on the picture.
struct Mark<'a> {
    step: &'a SizeStep,
    x: f64,
    y: f64,
}

/// The steps as runs that end in a dot at the largest size for their count, the present width as a
/// line down through them.
///
/// Classes for a style sheet: `run`, with `present` for the present step; `wanted` for the line of
/// the present width; `ruler` for the axes; `note`.
pub(super) fn drawing(report: &StepsReport) -> Element {
    let present = report.film.present.to_f64(report.unit);
    let widths = report.steps.iter().map(|step| step.width.value);
    let narrowest = widths.clone().fold(present, f64::min);
    let widest = widths.fold(present, f64::max);
    // The first run comes from sizes that are not shown.
    let room = ((widest - narrowest) / 12.0).max(widest / 40.0);
    let start = narrowest - room;
    let across = |width: f64| LEFT + (RIGHT - LEFT) * (width - start) / (widest - start);
    let counts = report.steps.iter().map(|step| step.count);
    let most = counts.clone().max().unwrap_or(1);
    let rise = rise(most, counts.min().unwrap_or(0));
    let least = rise.least;
    let up = |count: u32| {
        BOTTOM - (BOTTOM - TOP) * f64::from(count - least) / f64::from((most - least).max(1))
    };
    let marks: Vec<Mark> = report
        .steps
        .iter()
        .map(|step| Mark {
            step,
            x: across(step.width.value),
            y: up(step.count),
        })
        .collect();
    let mut content = vec![
        title(heading(report)),
        counts_axis(&rise, &up),
        widths_axis(report.unit, start, widest, &across),
        now(report, across(present)),
    ];
    content.extend(runs(&marks));
    content.extend(figures(&marks, across(present)));
    let unproven = report.steps.iter().any(|step| !step.proven);
    let height = if unproven {
        content.push(
            words(
                EDGE,
                BOTTOM + 56.0,
                say!("Open dots: best found, not proven").to_owned(),
            )
            .with("class", "note")
            .with("fill", "#53616a"),
        );
        BOTTOM + 64.0
    } else {
        BOTTOM + 46.0
    };
    chart(height, label(report), content)
}

/// What is counted.
fn heading(report: &StepsReport) -> String {
    let (film, size) = (&report.film, report.unit.for_size());
    if film.sheet {
        say!(
            "Pieces on a sheet of {size}",
            size = size_text(film.width, film.length, size)
        )
    } else {
        say!(
            "Pieces from {length} of roll",
            length = film.length.text(size)
        )
    }
}

/// The picture in words.
fn label(report: &StepsReport) -> String {
    let steps: Vec<String> = report
        .steps
        .iter()
        .map(|step| {
            say!(
                "{count} up to {width}",
                count = step.count,
                width = step.width.text
            )
        })
        .collect();
    say!(
        "{heading} by the width of a piece, now {width} with {count}: {steps}",
        heading = heading(report),
        width = report.film.present.text(report.unit.for_size()),
        count = report.count,
        steps = steps.join(", ")
    )
}

/// Each count as a run from the size of the step before to its own largest one, where the dot is; open
/// where that is not proven.
fn runs(marks: &[Mark]) -> Vec<Element> {
    let mut from = LEFT;
    let mut drawn = Vec::new();
    for mark in marks {
        let (x, y) = (number(mark.x), number(mark.y));
        let (class, thick) = if mark.step.present {
            ("run present", "4")
        } else {
            ("run", "2")
        };
        drawn.push(
            Element::new("g")
                .with("class", class)
                .with("stroke", "#24516b")
                .with("stroke-width", thick)
                .child(
                    Element::new("path")
                        .with("d", format!("M{} {y}H{x}", number(from)))
                        .with("fill", "none"),
                )
                .child(
                    Element::new("circle")
                        .with("class", if mark.step.proven { "dot" } else { "dot open" })
                        .with("cx", x)
                        .with("cy", y)
                        .with("r", "3.5")
                        .with("stroke-width", "2")
                        .with(
                            "fill",
                            if mark.step.proven {
                                "#24516b"
                            } else {
                                "#fffdf6"
                            },
                        ),
                ),
        );
        from = mark.x;
    }
    drawn
}

/// The counts beside their dots, above the run that follows; the present one first, others where they
/// leave those before them, and the line at `now`, legible.
fn figures(marks: &[Mark], now: f64) -> Vec<Element> {
    let mut kept: Vec<&Mark> = marks.iter().filter(|mark| mark.step.present).collect();
    for mark in marks.iter().filter(|mark| !mark.step.present) {
        let wide = |mark: &Mark| DIGIT * f64::from(mark.step.count.max(1).ilog10() + 1) + 3.0;
        let clear = |other: &&Mark| {
            let left = if mark.x < other.x { mark } else { other };
            (mark.y - other.y).abs() >= TYPE || (mark.x - other.x).abs() >= wide(left)
        };
        let crossed = mark.x < now && now < mark.x + 5.0 + wide(mark);
        if !crossed && kept.iter().all(clear) {
            kept.push(mark);
        }
    }
    kept.into_iter()
        .map(|mark| {
            words(mark.x + 5.0, mark.y - 4.0, mark.step.count.to_string())
                .with("class", "key")
                .with("font-weight", if mark.step.present { "600" } else { "400" })
                .with("fill", "#16232b")
        })
        .collect()
}

/// The present width.
fn now(report: &StepsReport, x: f64) -> Element {
    let width = report.film.present.text(report.unit.for_size());
    pencilled(x, say!("now {width}"))
}

/// The figures of the counts: from `least`, in steps of `step`, to `most`.
struct Rise {
    least: u32,
    step: u32,
    most: u32,
}

/// The least round step that divides the counts into at most six; from nothing, unless that would
/// leave most of the field empty.
fn rise(most: u32, fewest: u32) -> Rise {
    let from_nothing = fewest <= most / 2;
    let span = if from_nothing { most } else { most - fewest };
    let step = u32::try_from(round_step(span.into())).unwrap_or(u32::MAX);
    let least = if from_nothing {
        0
    } else {
        fewest / step * step
    };
    Rise { least, step, most }
}

fn counts_axis(rise: &Rise, up: &impl Fn(u32) -> f64) -> Element {
    let x = number(LEFT);
    let mut path = format!("M{x} {}V{}", number(TOP), number(BOTTOM));
    let mut figures = Vec::new();
    let mut count = rise.least;
    while count <= rise.most {
        let y = up(count);
        // Writing into a String cannot fail.
        let _ = write!(path, "M{x} {}h-5", number(y));
        figures.push(figure(
            LEFT - 8.0,
            y + TYPE * 0.36,
            "end",
            count.to_string(),
        ));
        count += rise.step;
    }
    axis(path, figures)
}

/// A rule's edge below the steps, divided as rules are.
fn widths_axis(unit: Unit, start: f64, end: f64, across: &impl Fn(f64) -> f64) -> Element {
    let size = unit.for_size();
    let step = divisions(unit, end - start);
    let each = step.to_f64(unit);
    let bottom = number(BOTTOM);
    let mut path = format!("M{} {bottom}H{}", number(LEFT), number(RIGHT));
    let mut figures = Vec::new();
    let mut at = Length::ZERO;
    while at.to_f64(unit) <= end + each * 1e-6 {
        let x = across(at.to_f64(unit));
        if x >= LEFT {
            // Writing into a String cannot fail.
            let _ = write!(path, "M{} {bottom}v6", number(x));
            figures.push(figure(x, BOTTOM + 20.0, "middle", at.exact(size)));
        }
        at = at + step;
    }
    let name = say!("width of a piece, {unit}", unit = size.symbol());
    figures.push(figure(RIGHT, BOTTOM + 37.0, "end", name));
    axis(path, figures)
}

/// The least division of a rule that gives at most six figures in `span` of `unit`.
fn divisions(unit: Unit, span: f64) -> Length {
    let inches: &[Length] = &[
        Length::inches(1, 64),
        Length::inches(1, 32),
        Length::inches(1, 16),
        Length::inches(1, 8),
        Length::inches(1, 4),
        Length::inches(1, 2),
        Length::inches(1, 1),
        Length::inches(2, 1),
        Length::inches(3, 1),
        Length::inches(6, 1),
        Length::inches(12, 1),
    ];
    let tenth = Length::from_nm(100_000);
    let millimetres: &[Length] = &[
        tenth,
        tenth * 2,
        tenth * 5,
        tenth * 10,
        tenth * 20,
        tenth * 50,
        tenth * 100,
        tenth * 200,
        tenth * 500,
        tenth * 1_000,
    ];
    let rules = if unit.is_imperial() {
        inches
    } else {
        millimetres
    };
    let enough = |step: &Length| span / step.to_f64(unit) <= 6.0;
    let found = rules.iter().copied().find(enough);
    found.unwrap_or_else(|| {
        // Sizes of many feet or metres.
        let mut step = rules.last().copied().unwrap_or(Length::MAX);
        while !enough(&step) {
            step = step * 2;
        }
        step
    })
}
