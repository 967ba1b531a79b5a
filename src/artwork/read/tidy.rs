//! Paths without what is not there: lines without a length, subpaths without a line.

use kurbo::{BezPath, PathEl, Point, Vec2};

/// Points nearer to each other than this part of the drawing's greater side are one point.
const SAME: f64 = 1e-9;
/// A subpath is closed if it ends as near to its start as this part of the drawing's greater side.
const SHUT: f64 = 1e-6;

/// The path without lines and curves that have no length and without subpaths that have none, for a drawing of that
/// greater side. With `shut`, a subpath that ends where it began is closed, whether or not it says so: many drawing
/// programs leave that out, and a knife that comes back to its start has cut the piece out.
pub fn tidied(path: &BezPath, side: f64, shut: bool) -> BezPath {
    let mut out = Vec::with_capacity(path.elements().len());
    let mut sub: Vec<PathEl> = Vec::new();
    let (mut start, mut at) = (Point::ZERO, Point::ZERO);
    let near = |one: Point, other: Point, part: f64| (one - other).hypot() <= part * side;
    let mut end = |sub: &mut Vec<PathEl>, start: Point, at: Point, closed: bool| {
        let closes = closed || (shut && near(at, start, SHUT));
        if sub.len() > 1 {
            // The last point is the first one, to the bit, where they are one.
            let part = if closed { SAME } else { SHUT };
            if let Some(
                PathEl::LineTo(last) | PathEl::QuadTo(_, last) | PathEl::CurveTo(_, _, last),
            ) = sub.last_mut()
                && closes
                && near(*last, start, part)
            {
                *last = start;
            }
            out.append(sub);
            if closes {
                out.push(PathEl::ClosePath);
            }
        }
        sub.clear();
    };
    for element in path.elements() {
        let still = |points: &[Point]| points.iter().all(|point| near(*point, at, SAME));
        match *element {
            PathEl::MoveTo(to) => {
                end(&mut sub, start, at, false);
                sub.push(PathEl::MoveTo(to));
                (start, at) = (to, to);
            }
            PathEl::ClosePath => {
                end(&mut sub, start, at, true);
                at = start;
            }
            PathEl::LineTo(to) if still(&[to]) => {}
            PathEl::QuadTo(one, to) if still(&[one, to]) => {}
            PathEl::CurveTo(one, two, to) if still(&[one, two, to]) => {}
            PathEl::LineTo(to) | PathEl::QuadTo(_, to) | PathEl::CurveTo(_, _, to) => {
                if sub.is_empty() {
                    sub.push(PathEl::MoveTo(at));
                }
                sub.push(*element);
                at = to;
            }
        }
    }
    end(&mut sub, start, at, false);
    BezPath::from_vec(out)
}

/// Whether a path has an inside: whether any of its subpaths is more than one straight line to and fro.
pub fn has_inside(path: &BezPath) -> bool {
    let (mut from, mut along) = (Point::ZERO, Vec2::ZERO);
    let turns = |from: Point, along: &mut Vec2, point: Point| {
        let other = point - from;
        if *along == Vec2::ZERO {
            *along = other;
        }
        along.cross(other).abs() > SAME * along.hypot() * (along.hypot() + other.hypot())
    };
    path.elements().iter().any(|element| match *element {
        PathEl::MoveTo(to) => {
            (from, along) = (to, Vec2::ZERO);
            false
        }
        PathEl::LineTo(to) => turns(from, &mut along, to),
        PathEl::QuadTo(one, to) => [one, to]
            .iter()
            .any(|point| turns(from, &mut along, *point)),
        PathEl::CurveTo(one, two, to) => [one, two, to]
            .iter()
            .any(|point| turns(from, &mut along, *point)),
        PathEl::ClosePath => false,
    })
}
