//! A decal's outlines with fewer points, and what has to be kept off them for it.

use kurbo::{Point, Rect, Size};

/// Closed outlines, each a list of its corners.
pub(super) type Rings = Vec<Vec<Point>>;

/// So many points of a decal are searched with, and so many for the last fit; rule of thumb.
const COARSE: usize = 72;
const FINE: usize = 240;

/// More pieces than these, or half as many points again, are taken as one, without the room between them.
const PIECES: usize = 48;

/// How far points may be left out for fewer of them, in parts of the decal's greater side.
const STRAY: f64 = 0.003;

/// So many strips make the outline of a decal that has too many points otherwise.
const STRIPS: i32 = 48;

/// Outlines in place of others that stray from them by `stray` mm at most.
#[derive(Clone, Debug)]
pub(super) struct Outline {
    pub rings: Rings,
    pub stray: f64,
}

/// The smallest rectangle round all points.
pub(super) fn bounds(rings: &[Vec<Point>]) -> Rect {
    let none = Rect::new(
        f64::INFINITY,
        f64::INFINITY,
        f64::NEG_INFINITY,
        f64::NEG_INFINITY,
    );
    rings
        .iter()
        .flatten()
        .fold(none, |rect, at| rect.union_pt(*at))
}

/// The sides of a ring.
pub(super) fn edges(ring: &[Point]) -> impl Iterator<Item = (Point, Point)> + '_ {
    let next = ring.iter().cycle().skip(1);
    ring.iter().copied().zip(next.copied())
}

/// What a ring encloses, by the shoelace formula.
pub(super) fn area(ring: &[Point]) -> f64 {
    let twice: f64 = edges(ring)
        .map(|(from, to)| from.to_vec2().cross(to.to_vec2()))
        .sum();
    twice.abs() / 2.0
}

/// The outlines turned clockwise, as one sees them, by so many right angles, with the corner of their smallest
/// rectangle at the origin; and its size. `across` exchanges both axes after that.
pub(super) fn turned(rings: &[Vec<Point>], size: Rect, turn: usize, across: bool) -> (Rings, Size) {
    let rotate = |at: Point| match turn {
        0 => (at.x - size.x0, at.y - size.y0),
        1 => (size.y1 - at.y, at.x - size.x0),
        2 => (size.x1 - at.x, size.y1 - at.y),
        _ => (at.y - size.y0, size.x1 - at.x),
    };
    let order = |(x, y): (f64, f64)| if across { (y, x) } else { (x, y) };
    let rings = rings.iter();
    let rings = rings.map(|ring| ring.iter().map(|at| order(rotate(*at)).into()).collect());
    let sides = if turn.is_multiple_of(2) {
        (size.width(), size.height())
    } else {
        (size.height(), size.width())
    };
    (rings.collect(), order(sides).into())
}

/// The outlines for the last fit, which stray from what was drawn, and those for the search, which stray from the
/// former.
pub(super) fn simplified(rings: &[Vec<Point>]) -> (Outline, Outline) {
    let whole = |rings: &[Vec<Point>]| Outline {
        rings: silhouette(rings),
        stray: 0.0,
    };
    let mut fine = fewer(rings, FINE, 1e-5);
    if rings.len() > PIECES || 2 * count(&fine.rings) > 3 * FINE {
        fine = whole(rings);
    }
    let mut coarse = fewer(&fine.rings, COARSE + 8 * rings.len().min(16), 1e-4);
    if count(&coarse.rings) > 3 * COARSE {
        coarse = whole(&fine.rings);
    }
    (fine, coarse)
}

fn count(rings: &[Vec<Point>]) -> usize {
    rings.iter().map(Vec::len).sum()
}

/// No more than `most` points where that needs to stray no farther than [`STRAY`].
fn fewer(rings: &[Vec<Point>], most: usize, first: f64) -> Outline {
    let size = bounds(rings).size().max_side();
    let mut within = first * size;
    loop {
        let mut stray = 0.0;
        let rings: Rings = rings
            .iter()
            .map(|ring| straightened(ring, within, &mut stray))
            .collect();
        within *= 1.5;
        if count(&rings) <= most || within > STRAY * size {
            return Outline { rings, stray };
        }
    }
}

/// The ring without points that lie within a distance of the line between those that stay (Douglas and Peucker
/// 1973); `stray` becomes the farthest that any of them lay, if it was less.
fn straightened(ring: &[Point], within: f64, stray: &mut f64) -> Vec<Point> {
    let count = ring.len();
    let first = ring.first().copied().unwrap_or_default();
    let at = |place: usize| ring.get(place).copied().unwrap_or(first);
    let far = (0..count).fold((0, 0.0), |(most, farthest), place| {
        let off = at(place).distance_squared(first);
        if off > farthest {
            (place, off)
        } else {
            (most, farthest)
        }
    });
    let mut keep = vec![false; count];
    let mut spans = vec![(0, far.0), (far.0, count)];
    while let Some((from, to)) = spans.pop() {
        if let Some(kept) = keep.get_mut(from) {
            *kept = true;
        }
        let (mut most, mut which) = (0.0, from);
        for place in from + 1..to {
            let off = distance(at(place), at(from), at(to));
            if off > most {
                (most, which) = (off, place);
            }
        }
        if most > within {
            spans.extend([(from, which), (which, to)]);
        } else {
            *stray = most.max(*stray);
        }
    }
    let kept = ring.iter().zip(keep).filter(|(_, keep)| *keep);
    kept.map(|(at, _)| *at).collect()
}

/// How far a point lies from a line between two others.
fn distance(at: Point, from: Point, to: Point) -> f64 {
    let along = to - from;
    let length = along.hypot2();
    let share = if length > 0.0 {
        ((at - from).dot(along) / length).clamp(0.0, 1.0)
    } else {
        0.0
    };
    at.distance(from + along * share)
}

/// One outline round all rings, of strips along the one or the other axis, whichever encloses less.
fn silhouette(rings: &[Vec<Point>]) -> Rings {
    let size = bounds(rings);
    let (swapped, _) = turned(rings, size, 0, true);
    let upright = strips(rings);
    let lying = strips(&swapped);
    if area(&upright) <= area(&lying) {
        vec![upright]
    } else {
        let back = lying
            .iter()
            .map(|at| Point::new(at.y + size.x0, at.x + size.y0));
        vec![back.collect()]
    }
}

/// The outline of the least and greatest y within strips of equal width, each joined to the next so that nothing
/// juts out.
fn strips(rings: &[Vec<Point>]) -> Vec<Point> {
    let size = bounds(rings);
    let wide = size.width() / f64::from(STRIPS);
    let empty = (f64::INFINITY, f64::NEG_INFINITY);
    let mut reach = vec![empty; STRIPS as usize];
    for (from, to) in rings.iter().flat_map(|ring| edges(ring)) {
        let (left, right) = if from.x <= to.x {
            (from, to)
        } else {
            (to, from)
        };
        let slope = if right.x > left.x {
            (right.y - left.y) / (right.x - left.x)
        } else {
            0.0
        };
        for (strip, reach) in (0..STRIPS).zip(&mut reach) {
            let start = size.x0 + f64::from(strip) * wide;
            let (from, to) = (left.x.max(start), right.x.min(start + wide));
            // A little more on both sides, for rounding.
            if from <= to + 1e-9 * wide {
                let ends = if right.x > left.x {
                    [
                        left.y + (from - left.x) * slope,
                        left.y + (to - left.x) * slope,
                    ]
                } else {
                    [left.y, right.y]
                };
                for y in ends {
                    *reach = (reach.0.min(y), reach.1.max(y));
                }
            }
        }
    }
    // A strip without anything, between two letters, is as high as both beside it.
    let filled: Vec<_> = (0..reach.len())
        .map(|place| {
            let before = reach[..=place]
                .iter()
                .rev()
                .find(|reach| reach.0 <= reach.1);
            let after = reach[place..].iter().find(|reach| reach.0 <= reach.1);
            let (one, other) = (before.unwrap_or(&empty), after.unwrap_or(&empty));
            (one.0.min(other.0), one.1.max(other.1))
        })
        .collect();
    let edge = |upper: bool| {
        let corner = |place: i32| {
            let beside = [place - 1, place].map(|strip| {
                let strip = usize::try_from(strip)
                    .ok()
                    .and_then(|strip| filled.get(strip));
                *strip.unwrap_or(&empty)
            });
            let y = if upper {
                beside[0].1.max(beside[1].1)
            } else {
                beside[0].0.min(beside[1].0)
            };
            Point::new(size.x0 + f64::from(place) * wide, y)
        };
        (0..=STRIPS).map(corner).collect::<Vec<_>>()
    };
    let mut ring = edge(true);
    ring.extend(edge(false).iter().rev());
    ring
}
