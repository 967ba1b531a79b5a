//! The drawing to scale, with what is wrong with it marked, and its silhouette.
//!
//! Each kind of mark has a form of its own, so that they are told apart without colours.

use super::join::Joined;
use super::outline::{Colour, Contour};
use super::outlines::Faults;
use super::told::Found;
use crate::drawing::{Element, Frame, number};
use crate::measure::{Length, Unit};
use kurbo::{Affine, PathEl, Point, Rect};
use say::say;

/// Curves are drawn as they are up to so many points; of more, straight lines are drawn that stray by no more
/// than can be seen.
const MOST_POINTS: usize = 6_000;

/// So many marks of one kind are drawn.
pub(super) const MOST_MARKS: usize = 60;

/// So many points of a line along something narrow are drawn.
const MOST_RUN: usize = 400;

/// So many points of a silhouette are told.
const MOST_SILHOUETTE: usize = 1_200;

/// A colour as CSS has it; black for none.
pub(super) fn css(colour: Option<Colour>) -> String {
    let [red, green, blue] = colour.map_or([0; 3], |colour| colour.0);
    format!("#{red:02x}{green:02x}{blue:02x}")
}

/// The drawing with rulers; what stays in its colours, and over it what is wrong with it.
pub(super) fn drawing(
    joined: &Joined,
    faults: &Faults,
    found: &Found,
    scale: f64,
    unit: Unit,
) -> Element {
    let bounds = joined.bounds;
    let side = |mm: f64| Length::from_metres(mm * scale / 1_000.0).unwrap_or(Length::MAX);
    let to_scale = placed(bounds, scale);
    Frame {
        size: (side(bounds.width()), side(bounds.height())),
        lines: 0,
        unit,
        label: say!("The drawing to scale, with its outlines joined"),
        whole: false,
    }
    .around(&|type_size| {
        let mut parts = films(joined, to_scale);
        let radius = type_size * 0.45;
        let line = |id: &'static str, points: &[Point]| {
            Element::new("path")
                .with("class", class(id))
                .with("d", lines(&[points], to_scale, false))
                .with("fill", "none")
                .with("stroke", "#b3261e")
                .with("stroke-width", number(type_size / 12.0))
        };
        for points in joined.inner.iter().take(4 * MOST_MARKS) {
            parts.push(line("through", points));
        }
        for points in faults.doubles.iter().take(4 * MOST_MARKS) {
            let dash = number(type_size / 4.0);
            parts.push(line("double", points).with("stroke-dasharray", dash));
        }
        for (id, runs) in ["part", "gap"].into_iter().zip(&found.runs) {
            for run in runs.iter().take(4 * MOST_MARKS) {
                // Of a long one its beginning shows where to look.
                parts.push(line(id, &run[..run.len().min(MOST_RUN)]));
            }
        }
        let mut marked = |id: &'static str, points: &mut dyn Iterator<Item = Point>| {
            for point in points.take(MOST_MARKS) {
                parts.push(mark(id, to_scale * point, radius));
            }
        };
        marked("crossing", &mut faults.crossings.iter().copied());
        marked(
            "open",
            &mut faults.open.iter().flat_map(|open| [open.from, open.to]),
        );
        for (id, places) in ["part", "gap"].into_iter().zip(&found.narrow) {
            marked(id, &mut places.iter().map(|at| at.a.midpoint(at.b)));
        }
        marked("tip", &mut found.tips.iter().map(|tip| tip.point));
        marked("speck", &mut found.specks.iter().copied());
        marked("island", &mut found.islands.iter().copied());
        parts
    })
}

/// Moves the corner of the drawing to the origin, at its size.
fn placed(bounds: Rect, scale: f64) -> Affine {
    Affine::scale(scale) * Affine::translate(-bounds.origin().to_vec2())
}

fn films(joined: &Joined, to_scale: Affine) -> Vec<Element> {
    let contours = joined.films.iter().flat_map(|film| &film.contours);
    let points: usize = contours.map(|contour| contour.path.elements().len()).sum();
    let films = joined.films.iter();
    films
        .map(|film| {
            let data = if points <= MOST_POINTS {
                film.contours
                    .iter()
                    .map(|contour| curves(contour, to_scale))
                    .collect()
            } else {
                let least = joined.bounds.width().max(joined.bounds.height()) / 2_000.0;
                simple(&film.contours, least, MOST_POINTS, to_scale)
            };
            Element::new("path")
                .with("class", "film")
                .with("fill", css(film.colour))
                .with("fill-rule", "evenodd")
                .with("d", data)
        })
        .collect()
}

/// A contour with its curves, as the data of a path.
fn curves(contour: &Contour, to_scale: Affine) -> String {
    let mut data = String::new();
    for element in &contour.path {
        let (letter, points) = match element {
            PathEl::MoveTo(end) => ('M', vec![end]),
            PathEl::LineTo(end) => ('L', vec![end]),
            PathEl::QuadTo(control, end) => ('Q', vec![control, end]),
            PathEl::CurveTo(first, second, end) => ('C', vec![first, second, end]),
            PathEl::ClosePath => ('Z', Vec::new()),
        };
        data.push(letter);
        write(&mut data, &points, to_scale);
    }
    data
}

/// Straight lines as the data of a path.
fn lines(lines: &[&[Point]], to_scale: Affine, closed: bool) -> String {
    let mut data = String::new();
    for points in lines {
        let Some((first, rest)) = points.split_first() else {
            continue;
        };
        data.push('M');
        write(&mut data, &[*first], to_scale);
        data.push('L');
        write(&mut data, rest, to_scale);
        if closed {
            data.push('Z');
        }
    }
    data
}

fn write(data: &mut String, points: &[Point], to_scale: Affine) {
    for (place, point) in points.iter().enumerate() {
        let point = to_scale * *point;
        if place > 0 {
            data.push(' ');
        }
        data.push_str(&number(point.x));
        data.push(' ');
        data.push_str(&number(point.y));
    }
}

/// The outlines of what stays as the data of a path in a box so wide, so simple that it is quickly drawn many
/// times.
pub(super) fn silhouette(joined: &Joined, width: f64) -> String {
    let bounds = joined.bounds;
    let contours: Vec<Contour> = joined
        .films
        .iter()
        .flat_map(|film| &film.contours)
        .cloned()
        .collect();
    let to_box = placed(bounds, width / bounds.width());
    let least = bounds.width().max(bounds.height()) / 800.0;
    simple(&contours, least, MOST_SILHOUETTE, to_box)
}

/// Contours by straight lines that stray from them by no more than `stray`, or by as much more as leaves no more
/// than `most` points; what is smaller than that is left out.
fn simple(contours: &[Contour], mut stray: f64, most: usize, to_scale: Affine) -> String {
    loop {
        let rings = contours.iter().map(|contour| thinned(&contour.ring, stray));
        let rings: Vec<Vec<Point>> = rings.filter(|ring| ring.len() > 2).collect();
        let points: usize = rings.iter().map(Vec::len).sum();
        if points <= most {
            let rings: Vec<&[Point]> = rings.iter().map(Vec::as_slice).collect();
            return lines(&rings, to_scale, true);
        }
        stray *= 1.5;
    }
}

/// The points of a ring that are needed so that it strays by no more than `stray` (Ramer 1972, Douglas and
/// Peucker 1973; from memory).
pub(super) fn thinned(ring: &[Point], stray: f64) -> Vec<Point> {
    let Some(first) = ring.first() else {
        return Vec::new();
    };
    // A ring is divided at the point that is farthest from the first one.
    let stray = stray * stray;
    let far = farthest(ring, |point| (*point - *first).hypot2());
    let Some((far, _)) = far.filter(|(_, off)| *off > stray) else {
        return Vec::new();
    };
    let mut needed = vec![false; ring.len()];
    needed[0] = true;
    needed[far] = true;
    let mut open = vec![(0, far), (far, ring.len())];
    while let Some((from, to)) = open.pop() {
        let (begin, end) = (ring[from], ring[to % ring.len()]);
        let way = end - begin;
        let least = way.hypot2().max(f64::MIN_POSITIVE);
        let off = |point: &Point| {
            let to = *point - begin;
            let along = to.dot(way);
            let beside = if along <= 0.0 {
                to
            } else if along >= least {
                *point - end
            } else {
                to - way * (along / least)
            };
            beside.hypot2()
        };
        if let Some((place, most)) = farthest(&ring[from + 1..to], off)
            && most > stray
        {
            let middle = from + 1 + place;
            needed[middle] = true;
            open.extend([(from, middle), (middle, to)]);
        }
    }
    let kept = ring.iter().zip(needed).filter(|(_, needed)| *needed);
    kept.map(|(point, _)| *point).collect()
}

/// The place of the point that is off the most, the last one of several, and how much.
fn farthest(points: &[Point], off: impl Fn(&Point) -> f64) -> Option<(usize, f64)> {
    let mut most: Option<(usize, f64)> = None;
    for (place, point) in points.iter().enumerate() {
        let off = off(point);
        if most.is_none_or(|(_, most)| off >= most) {
            most = Some((place, off));
        }
    }
    most
}

/// The sign by which a check is marked, for itself.
pub(super) fn sign(id: &'static str) -> Element {
    let shown = match id {
        "through" | "double" => Element::new("path")
            .with("class", id)
            .with("d", "M-8 0L8 0")
            // As in the drawing.
            .with(
                "stroke-dasharray",
                if id == "double" { "4 2" } else { "none" },
            )
            .with("fill", "none")
            .with("stroke", "#b3261e")
            .with("stroke-width", "3"),
        _ => mark(id, Point::ZERO, 6.0),
    };
    Element::new("svg")
        .with("viewBox", "-10 -10 20 20")
        .with("aria-hidden", "true")
        .child(shown)
}

/// The class of what marks a check; a `part` is one of a layout elsewhere on the page.
fn class(id: &'static str) -> &'static str {
    if id == "part" { "thin" } else { id }
}

/// A mark round a place: a cross where outlines cross, a ring at an open end, a diamond at a thin part, a square at
/// a gap, triangles at tips and specks, a hexagon round an island.
fn mark(id: &'static str, at: Point, radius: f64) -> Element {
    let corners: &[(f64, f64)] = match id {
        "part" => &[(0.0, -1.3), (1.3, 0.0), (0.0, 1.3), (-1.3, 0.0)],
        "gap" => &[(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)],
        "tip" => &[(-1.1, -0.8), (1.1, -0.8), (0.0, 1.2)],
        "speck" => &[(0.0, -1.2), (1.1, 0.8), (-1.1, 0.8)],
        "island" => &[
            (-0.6, -1.0),
            (0.6, -1.0),
            (1.2, 0.0),
            (0.6, 1.0),
            (-0.6, 1.0),
            (-1.2, 0.0),
        ],
        _ => &[],
    };
    let place = |(x, y): (f64, f64)| Point::new(x.mul_add(radius, at.x), y.mul_add(radius, at.y));
    let drawn = if id == "open" {
        Element::new("circle")
            .with("cx", number(at.x))
            .with("cy", number(at.y))
            .with("r", number(radius))
    } else if corners.is_empty() {
        let ends = [[(-1.0, -1.0), (1.0, 1.0)], [(-1.0, 1.0), (1.0, -1.0)]];
        let ends = ends.map(|ends| ends.map(place));
        Element::new("path").with("d", lines(&[&ends[0], &ends[1]], Affine::IDENTITY, false))
    } else {
        let corners: Vec<Point> = corners.iter().copied().map(place).collect();
        Element::new("path").with("d", lines(&[&corners], Affine::IDENTITY, true))
    };
    // A wide light line under a narrow dark one is seen on any film.
    let line = |drawn: Element, class: String, colour: &'static str, width: f64| {
        drawn
            .with("class", class)
            .with("fill", "none")
            .with("stroke", colour)
            .with("stroke-width", number(width))
    };
    Element::new("g")
        .child(line(
            drawn.clone(),
            "mark under".to_owned(),
            "#fffdf5",
            radius * 0.6,
        ))
        .child(line(
            drawn,
            format!("mark {}", class(id)),
            "#b3261e",
            radius * 0.28,
        ))
}
