//! How far two outlines have to be apart: where the second one may not lie, as seen from the first.
//!
//! Two outlines come nearer to each other than the gap just where one of their edges comes nearer to an edge of the
//! other, or where one lies inside the other. For two edges, the offsets at which they do are a parallelogram, the
//! Minkowski difference of both, with the gap all round it (de Berg et al., Computational Geometry, chapter 13; from
//! memory); a line along an axis meets it in one stretch, whose ends have formulas. What all pairs of edges forbid on
//! such a line is thus known without any raster.

use super::shape::{Rings, bounds, edges};
use kurbo::{Point, Vec2};

/// A stretch of offsets that are too near; its ends are not.
pub(super) type Span = (f64, f64);

/// So many stretches of a line are gathered before they are joined.
const PENDING: usize = 512;

/// Stretches no farther apart than this are one, in mm: what lies between them is rounding.
const JOINED: f64 = 1e-9;

/// One side of the region that two edges forbid: a line, and an arc round each of its ends.
#[derive(Clone, Copy)]
struct Side {
    start: Point,
    end: Point,
    /// Where the line begins and ends, and its height at its beginning.
    from: f64,
    to: f64,
    height: f64,
    slope: f64,
}

/// The offsets at which one edge comes too near to another one.
struct Near {
    gap: f64,
    upper: [Side; 2],
    lower: [Side; 2],
}

/// An edge from left to right.
fn rising(from: Point, to: Point) -> (Point, Point) {
    if (from.x, from.y) <= (to.x, to.y) {
        (from, to)
    } else {
        (to, from)
    }
}

impl Near {
    /// For two edges that run from left to right, the second one seen from the other end of both axes.
    fn new(edge: (Point, Point), other: (Point, Point), gap: f64) -> Self {
        let (along, across) = (edge.1 - edge.0, other.1 - other.0);
        let start = edge.0 + other.0.to_vec2();
        let end = start + along + across;
        // The steeper edge first is the upper way from the left corner to the right one.
        let (up, down) = if along.cross(across) > 0.0 {
            (across, along)
        } else {
            (along, across)
        };
        let way = |by: Vec2, sign: f64| {
            let (one, other) = (
                side(start, start + by, gap * sign),
                side(start + by, end, gap * sign),
            );
            // An edge without a length has no side.
            if by.hypot2() < 1e-18 {
                [other; 2]
            } else if start.distance_squared(end - by) < 1e-18 {
                [one; 2]
            } else {
                [one, other]
            }
        };
        Self {
            gap,
            upper: way(up, 1.0),
            lower: way(down, -1.0),
        }
    }

    /// What they forbid on the line at `x`.
    fn at(&self, x: f64) -> Span {
        let height = |sides: &[Side; 2], sign: f64| {
            let [one, other] = sides;
            let arc = |about: Point| {
                let off = x - about.x;
                about.y + sign * (self.gap * self.gap - off * off).max(0.0).sqrt()
            };
            // The region is convex: its lines and arcs come in the order of x.
            if x < one.from {
                arc(one.start)
            } else if x <= one.to {
                one.height + (x - one.from) * one.slope
            } else if x < other.from {
                arc(other.start)
            } else if x <= other.to {
                other.height + (x - other.from) * other.slope
            } else {
                arc(other.end)
            }
        };
        (height(&self.lower, -1.0), height(&self.upper, 1.0))
    }
}

/// The line beside an edge, above it by `gap`, or below it where that is below zero.
fn side(start: Point, end: Point, gap: f64) -> Side {
    let along = end - start;
    let length = along.hypot();
    let unit = if length > 1e-9 {
        along / length
    } else {
        Vec2::ZERO
    };
    let from = start.x - gap * unit.y;
    let upright = unit.x < 1e-12;
    Side {
        start,
        end,
        from,
        // An upright edge has no line above it.
        to: if upright {
            f64::NEG_INFINITY
        } else {
            end.x - gap * unit.y
        },
        height: start.y + gap * unit.x,
        slope: if upright { 0.0 } else { unit.y / unit.x },
    }
}

/// Two outlines and what both have to keep between them.
pub(super) struct Pair {
    edges: Vec<(Point, Point)>,
    /// The edges of the other one seen from the other end of both axes.
    others: Vec<(Point, Point)>,
    gap: f64,
    /// The rings with a corner of each ring of the other one, and the other way round: where the corner lies inside of
    /// the ring, one of both lies inside of the other, unless their edges meet.
    nested: Vec<Nested>,
    reach: (f64, f64),
}

/// A ring as it is seen from a corner of another one.
struct Nested {
    edges: Vec<(Point, Point)>,
    from: f64,
    to: f64,
}

impl Pair {
    pub fn new(rings: &Rings, others: &Rings, gap: f64) -> Self {
        let all = |rings: &Rings, sign: f64| {
            let edges = rings.iter().flat_map(|ring| edges(ring));
            let seen = |at: Point| Point::new(at.x * sign, at.y * sign);
            edges
                .map(|(from, to)| rising(seen(from), seen(to)))
                .collect()
        };
        let mut nested = Vec::new();
        for ring in rings {
            for other in others {
                let corner = |ring: &[Point]| ring.first().copied().unwrap_or_default();
                nested.push(Nested::new(ring, corner(other), 1.0));
                nested.push(Nested::new(other, corner(ring), -1.0));
            }
        }
        let (own, other) = (bounds(rings), bounds(others));
        Self {
            edges: all(rings, 1.0),
            others: all(others, -1.0),
            gap,
            nested,
            reach: (own.x0 - other.x1 - gap, own.x1 - other.x0 + gap),
        }
    }

    /// What [`Pair::line`] takes, in steps.
    pub fn cost(&self) -> u64 {
        (self.edges.len() * self.others.len()) as u64 / 8
    }

    /// Where the other one may not lie on the line at `x`, in rising order.
    pub fn line(&self, x: f64) -> Vec<Span> {
        let mut spans = Vec::new();
        for edge in &self.edges {
            for other in &self.others {
                let reach = self.gap - JOINED;
                if edge.0.x + other.0.x - reach < x && x < edge.1.x + other.1.x + reach {
                    spans.push(Near::new(*edge, *other, self.gap).at(x));
                }
            }
        }
        self.inside(x, &mut spans, &mut Vec::new());
        join(&mut spans);
        spans
    }

    /// Where one of the outlines lies inside the other, if none of their edges meet.
    fn inside(&self, x: f64, spans: &mut Vec<Span>, crossings: &mut Vec<f64>) {
        for nested in &self.nested {
            if nested.from <= x && x < nested.to {
                crossings.clear();
                for (from, to) in &nested.edges {
                    if from.x <= x && x < to.x {
                        let share = (x - from.x) / (to.x - from.x);
                        crossings.push(from.y + share * (to.y - from.y));
                    }
                }
                crossings.sort_unstable_by(f64::total_cmp);
                spans.extend(crossings.chunks_exact(2).map(|two| (two[0], two[1])));
            }
        }
    }
}

impl Nested {
    fn new(ring: &[Point], corner: Point, sign: f64) -> Self {
        let seen = |at: Point| ((at - corner) * sign).to_point();
        let edges: Vec<_> = edges(ring)
            .map(|(from, to)| rising(seen(from), seen(to)))
            .collect();
        let ends = |least: f64, edge: &(Point, Point)| least.min(edge.0.x);
        let from = edges.iter().fold(f64::INFINITY, ends);
        let to = edges
            .iter()
            .fold(f64::NEG_INFINITY, |most, edge| most.max(edge.1.x));
        Self { edges, from, to }
    }
}

/// Puts stretches in order and joins those that overlap.
fn join(spans: &mut Vec<Span>) {
    spans.sort_unstable_by(|one, other| one.0.total_cmp(&other.0));
    spans.dedup_by(|next, kept| {
        let joined = next.0 <= kept.1 + JOINED;
        if joined {
            kept.1 = kept.1.max(next.1);
        }
        joined
    });
}

/// What a pair forbids on all lines of a grid.
#[derive(Clone)]
pub(super) struct Table {
    /// The place of the first line in the grid.
    first: i32,
    starts: Vec<usize>,
    spans: Vec<Span>,
}

impl Table {
    /// For lines a `grid` apart. `steps` grows by what it took.
    pub fn new(pair: &Pair, grid: f64, steps: &mut u64) -> Self {
        let (first, last) = (cell(pair.reach.0 / grid), cell(pair.reach.1 / grid) + 1);
        let mut lines: Vec<Vec<Span>> = (first..=last).map(|_| Vec::new()).collect();
        for edge in &pair.edges {
            for other in &pair.others {
                let reach = pair.gap - JOINED;
                let from = (edge.0.x + other.0.x - reach) / grid;
                let to = (edge.1.x + other.1.x + reach) / grid;
                let (from, to) = (cell(from), cell(to));
                *steps += 1;
                if from >= to {
                    continue;
                }
                let near = Near::new(*edge, *other, pair.gap);
                for place in from + 1..=to {
                    if let Some(line) = index(place - first).and_then(|line| lines.get_mut(line)) {
                        line.push(near.at(f64::from(place) * grid));
                        if line.len() >= PENDING {
                            join(line);
                        }
                        *steps += 1;
                    }
                }
            }
        }
        let mut table = Self {
            first,
            starts: vec![0],
            spans: Vec::new(),
        };
        let mut crossings = Vec::new();
        for (place, mut line) in (first..).zip(lines) {
            pair.inside(f64::from(place) * grid, &mut line, &mut crossings);
            join(&mut line);
            *steps += pair.nested.len() as u64 / 8;
            table.spans.append(&mut line);
            table.starts.push(table.spans.len());
        }
        table
    }

    /// What the second one forbids, as seen from it.
    pub fn opposite(&self) -> Self {
        let count = self.starts.len();
        let last = self.first + i32::try_from(count).unwrap_or(i32::MAX) - 2;
        Self {
            first: -last,
            starts: self
                .starts
                .iter()
                .rev()
                .map(|start| self.spans.len() - start)
                .collect(),
            spans: self
                .spans
                .iter()
                .rev()
                .map(|(from, to)| (-to, -from))
                .collect(),
        }
    }

    /// What is forbidden on the line at this place of the grid.
    pub fn line(&self, place: i32) -> &[Span] {
        let bounds = index(place - self.first)
            .and_then(|line| Some(*self.starts.get(line)?..*self.starts.get(line + 1)?));
        bounds
            .and_then(|bounds| self.spans.get(bounds))
            .unwrap_or(&[])
    }
}

/// The last place of a grid that is not beyond.
#[expect(
    clippy::cast_possible_truncation,
    reason = "it stays at the ends of what is possible"
)]
pub(super) fn cell(value: f64) -> i32 {
    value.floor() as i32
}

/// A place as an index; none below zero.
pub(super) fn index(place: i32) -> Option<usize> {
    usize::try_from(place).ok()
}

#[cfg(test)]
mod tests {
    use super::super::check::Shape;
    use super::*;
    use proptest::prelude::*;

    /// Two rings of corners at rising angles, most of them on whole numbers, where edges are parallel and upright.
    fn outline() -> impl Strategy<Value = Rings> {
        let ring = |aside: f64| {
            let distances = prop::collection::vec(1.0..9.0_f64, 3..8);
            (distances, any::<bool>()).prop_map(move |(distances, whole)| {
                let count = f64::from(u32::try_from(distances.len()).unwrap());
                let corner = |(place, distance): (u32, f64)| {
                    let (sin, cos) = (f64::from(place) * std::f64::consts::TAU / count).sin_cos();
                    let at = Point::new(aside + distance * cos, distance * sin);
                    if whole { at.round() } else { at }
                };
                (0..).zip(distances).map(corner).collect::<Vec<_>>()
            })
        };
        prop_oneof![
            ring(0.0).prop_map(|ring| vec![ring]),
            (ring(0.0), ring(19.0)).prop_map(|(one, other)| vec![one, other]),
        ]
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(1000))]

        /// Distances of edges and what lies inside of what, by code of its own; but where both are as far apart as
        /// they have to be, to within a millionth of a millimetre.
        #[test]
        fn what_is_forbidden_is_what_lies_too_near(
            (one, other) in (outline(), outline()), gap in prop_oneof![Just(1e-5), 0.5..4.0_f64],
            (x, y) in prop_oneof![
                (-30.0..30.0_f64, -20.0..20.0_f64),
                (-30.0..30.0_f64, -20.0..20.0_f64).prop_map(|(x, y)| (x.round(), y)),
            ],
        ) {
            let pair = Pair::new(&one, &other, gap);
            let inside = |spans: &[Span]| spans.iter().any(|span| span.0 < y && y < span.1);
            let shapes = [&one, &other].map(|rings| Shape::new(rings, 0));
            let near = |gap: f64| shapes[0].too_near(&shapes[1], Vec2::new(x, y), gap);
            let line = pair.line(x);
            prop_assert!(line.is_sorted_by(|one, next| one.1 < next.0));
            if near(gap - 1e-6) {
                prop_assert!(inside(&line));
            } else if !near(gap + 1e-6) {
                prop_assert!(!inside(&line));
            }
            // The table holds the same lines, and those of the other one as seen from it the other way round.
            let table = Table::new(&pair, 0.75, &mut 0);
            let back = Table::new(&Pair::new(&other, &one, gap), 0.75, &mut 0).opposite();
            for place in -45..45 {
                let line = pair.line(f64::from(place) * 0.75);
                for known in [table.line(place), back.line(place)] {
                    let same = |(one, other): (&Span, &Span)| {
                        (one.0 - other.0).abs() < 1e-3 && (one.1 - other.1).abs() < 1e-3
                    };
                    prop_assert!(known.len() == line.len() && known.iter().zip(&line).all(same));
                }
            }
        }
    }
}
