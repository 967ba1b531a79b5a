//! Checks a layout before it is told, sharing no code with whoever made it: distances between the outlines as they
//! were drawn, edge by edge.

use super::super::sorted::sort;
use super::{EDGE, NestInput, Placement};
use kurbo::{Affine, Point, Rect, Vec2};

/// An edge of an outline, or a run of them, with the rectangle round it.
struct Part {
    round: Rect,
    edge: (Point, Point),
    /// The places of its two halves; none for an edge.
    halves: Option<(usize, usize)>,
}

/// A decal turned, about the origin of its drawing.
pub(super) struct Shape {
    parts: Vec<Part>,
    rings: Vec<Vec<Point>>,
    round: Rect,
}

/// What is wrong with a layout; copies by their place in it, from 0.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Fault {
    /// Lies in the margin or beyond the film.
    Outside(usize),
    /// Is turned though it may not be.
    Turned(usize),
    /// Two copies overlap, or lie nearer to each other than the gap.
    TooNear(usize, usize),
    /// The layout says that it is shorter than its copies need.
    TooShort,
    /// More copies than were asked for.
    TooMany,
}

/// The first fault of a layout that takes `length` mm of film.
pub(super) fn fault(input: &NestInput, placements: &[Placement], length: f64) -> Option<Fault> {
    let shapes: Vec<Shape> = (0..4).map(|turn| Shape::new(input.rings, turn)).collect();
    if placements.len() > input.quantity as usize {
        return Some(Fault::TooMany);
    }
    let mut placed = Vec::new();
    for (index, placement) in placements.iter().enumerate() {
        let quarters = usize::from(placement.turn / 90);
        let allowed = placement.turn % 90 == 0 && input.turns.quarters().contains(&quarters);
        let Some(shape) = shapes.get(quarters).filter(|_| allowed) else {
            return Some(Fault::Turned(index));
        };
        let round: Rect = shape.round + Vec2::new(placement.dx, placement.dy);
        let edge = input.margin - EDGE;
        let most = input.length.unwrap_or(length);
        if !(round.x0 >= edge && round.y0 >= edge && round.x1 <= input.width - edge)
            || round.y1 > most - edge
        {
            return Some(Fault::Outside(index));
        }
        if round.y1 > length - edge {
            return Some(Fault::TooShort);
        }
        placed.push((round, shape, placement));
    }
    let mut order: Vec<usize> = (0..placed.len()).collect();
    sort(&mut order, |copy| [placed[*copy].0.y0, 0.0]);
    for (place, &one) in order.iter().enumerate() {
        for &other in &order[place + 1..] {
            let ((round, shape, at), (next, next_shape, next_at)) = (&placed[one], &placed[other]);
            if next.y0 - round.y1 > input.gap {
                break;
            }
            let off = Vec2::new(next_at.dx - at.dx, next_at.dy - at.dy);
            if apart(*round, *next) <= input.gap && shape.too_near(next_shape, off, input.gap) {
                return Some(Fault::TooNear(one.min(other), one.max(other)));
            }
        }
    }
    None
}

/// How far two rectangles are apart, along the axis on which they are farther.
fn apart(one: Rect, other: Rect) -> f64 {
    let across = (other.x0 - one.x1).max(one.x0 - other.x1);
    let along = (other.y0 - one.y1).max(one.y0 - other.y1);
    across.max(along)
}

impl Shape {
    pub fn new(rings: &[Vec<Point>], quarters: u8) -> Self {
        let turn = Affine::new(match quarters {
            0 => [1.0, 0.0, 0.0, 1.0, 0.0, 0.0],
            1 => [0.0, 1.0, -1.0, 0.0, 0.0, 0.0],
            2 => [-1.0, 0.0, 0.0, -1.0, 0.0, 0.0],
            _ => [0.0, -1.0, 1.0, 0.0, 0.0, 0.0],
        });
        let turned = rings
            .iter()
            .map(|ring| ring.iter().map(|at| turn * *at).collect());
        let rings: Vec<Vec<Point>> = turned.collect();
        let mut edges = Vec::new();
        for ring in &rings {
            for place in 0..ring.len() {
                edges.push((ring[place], ring[(place + 1) % ring.len()]));
            }
        }
        let mut shape = Self {
            parts: Vec::new(),
            rings,
            round: Rect::ZERO,
        };
        if !edges.is_empty() {
            let whole = shape.gather(&edges);
            shape.round = shape.parts[whole].round;
        }
        shape
    }

    /// Halves a run of edges until each part is one. Gives the place of the whole.
    fn gather(&mut self, edges: &[(Point, Point)]) -> usize {
        let part = if let [edge] = edges {
            Part {
                round: Rect::from_points(edge.0, edge.1),
                edge: *edge,
                halves: None,
            }
        } else {
            let (one, other) = edges.split_at(edges.len() / 2);
            let (one, other) = (self.gather(one), self.gather(other));
            Part {
                round: self.parts[one].round.union(self.parts[other].round),
                edge: edges[0],
                halves: Some((one, other)),
            }
        };
        self.parts.push(part);
        self.parts.len() - 1
    }

    /// Whether another one, moved by `off`, lies nearer than the gap, or inside of this one or round it.
    pub fn too_near(&self, other: &Self, off: Vec2, gap: f64) -> bool {
        let whole = (
            self.parts.len().checked_sub(1),
            other.parts.len().checked_sub(1),
        );
        let (Some(one), Some(two)) = whole else {
            return false;
        };
        let mut pairs = vec![(one, two)];
        while let Some((one, two)) = pairs.pop() {
            let (part, next) = (&self.parts[one], &other.parts[two]);
            if apart(part.round, next.round + off) > gap {
                continue;
            }
            match (part.halves, next.halves) {
                (None, None) => {
                    let edge = (next.edge.0 + off, next.edge.1 + off);
                    let between = between(part.edge, edge);
                    if between < gap || between <= 0.0 {
                        return true;
                    }
                }
                (Some((first, second)), None) => pairs.extend([(first, two), (second, two)]),
                (None, Some((first, second))) => pairs.extend([(one, first), (one, second)]),
                (Some((first, second)), Some((third, fourth))) => {
                    pairs.extend([
                        (first, third),
                        (first, fourth),
                        (second, third),
                        (second, fourth),
                    ]);
                }
            }
        }
        let first = |rings: &[Vec<Point>], by| -> Vec<Point> {
            rings
                .iter()
                .filter_map(|ring| ring.first())
                .map(|at| *at + by)
                .collect()
        };
        let holds = |rings: &[Vec<Point>], points: &[Point]| {
            rings
                .iter()
                .any(|ring| points.iter().any(|at| encloses(ring, *at)))
        };
        holds(&self.rings, &first(&other.rings, off))
            || holds(&other.rings, &first(&self.rings, -off))
    }
}

/// The distance of two edges; 0 where they meet.
fn between(one: (Point, Point), other: (Point, Point)) -> f64 {
    let side = |edge: (Point, Point), at: Point| (edge.1 - edge.0).cross(at - edge.0);
    let apart = |edge: (Point, Point), two: (Point, Point)| {
        let (first, second) = (side(edge, two.0), side(edge, two.1));
        (first < 0.0 && second > 0.0) || (first > 0.0 && second < 0.0)
    };
    if apart(one, other) && apart(other, one) {
        return 0.0;
    }
    let from = |edge: (Point, Point), at: Point| {
        let (way, to) = (edge.1 - edge.0, at - edge.0);
        let square = way.dot(way);
        let share = if square > 0.0 {
            (way.dot(to) / square).clamp(0.0, 1.0)
        } else {
            0.0
        };
        (to - way * share).hypot()
    };
    let ends = [
        from(one, other.0),
        from(one, other.1),
        from(other, one.0),
        from(other, one.1),
    ];
    ends.into_iter().fold(f64::INFINITY, f64::min)
}

/// Whether a ring encloses a point: a ray from it crosses the ring an odd number of times.
fn encloses(ring: &[Point], at: Point) -> bool {
    let mut inside = false;
    let mut before = ring.last();
    for corner in ring {
        if let Some(before) = before
            && (before.y > at.y) != (corner.y > at.y)
        {
            let share = (at.y - before.y) / (corner.y - before.y);
            inside ^= before.x + share * (corner.x - before.x) > at.x;
        }
        before = Some(corner);
    }
    inside
}

#[cfg(test)]
mod tests {
    use super::super::Turns;
    use super::*;

    /// An L of 60 by 60, both arms 20 wide, its corner at the lower left, with a square of 5 in the free quarter.
    fn rings() -> Vec<Vec<Point>> {
        let ell = [(0, 0), (20, 0), (20, 40), (60, 40), (60, 60), (0, 60)];
        let square = [(50, 10), (55, 10), (55, 15), (50, 15)];
        let ring = |corners: &[(i32, i32)]| -> Vec<Point> {
            let points = corners.iter();
            points
                .map(|(x, y)| Point::new((*x).into(), (*y).into()))
                .collect()
        };
        vec![ring(&ell), ring(&square)]
    }

    fn found(placements: &[(f64, f64, u16)], length: f64) -> Option<Fault> {
        let rings = rings();
        let input = NestInput {
            rings: &rings,
            turns: Turns::Half,
            width: 200.0,
            length: Some(300.0),
            margin: 5.0,
            gap: 4.0,
            quantity: 2,
        };
        let placements: Vec<_> = placements
            .iter()
            .map(|&(dx, dy, turn)| Placement { dx, dy, turn })
            .collect();
        fault(&input, &placements, length)
    }

    #[test]
    fn every_fault_is_found() {
        let one = (5.0, 5.0, 0);
        assert_eq!(found(&[one, (69.0, 5.0, 0)], 70.0), None);
        assert_eq!(
            found(&[one, (68.9, 5.0, 0)], 70.0),
            Some(Fault::TooNear(0, 1))
        );
        // One upon the other, and one far inside of the rectangle round the other, but nearer than the gap.
        assert_eq!(found(&[one, one], 70.0), Some(Fault::TooNear(0, 1)));
        assert_eq!(
            found(&[one, (92.0, 96.9, 180)], 300.0),
            Some(Fault::TooNear(0, 1))
        );
        assert_eq!(found(&[(4.9, 5.0, 0)], 70.0), Some(Fault::Outside(0)));
        assert_eq!(found(&[(5.0, 4.9, 0)], 70.0), Some(Fault::Outside(0)));
        assert_eq!(
            found(&[one, (135.1, 70.0, 0)], 140.0),
            Some(Fault::Outside(1))
        );
        assert_eq!(found(&[(5.0, 235.1, 0)], 300.2), Some(Fault::Outside(0)));
        assert_eq!(found(&[(f64::NAN, 5.0, 0)], 70.0), Some(Fault::Outside(0)));
        assert_eq!(found(&[one], 69.9), Some(Fault::TooShort));
        assert_eq!(found(&[(65.0, 5.0, 90)], 70.0), Some(Fault::Turned(0)));
        assert_eq!(found(&[(65.0, 65.0, 180)], 70.0), None);
        assert_eq!(found(&[(65.0, 65.0, 360)], 70.0), Some(Fault::Turned(0)));
        assert_eq!(found(&[one; 3], 70.0), Some(Fault::TooMany));
    }

    /// The small square of one copy lies wholly inside an arm of the other one, no edge near another by a gap of 1.
    #[test]
    fn what_lies_inside_is_found() {
        let shape = Shape::new(&rings(), 0);
        let off = Vec2::new(-43.0, 20.0);
        assert!(shape.too_near(&shape, off, 0.0) && shape.too_near(&shape, -off, 0.0));
        let ring = |from: f64, to: f64| {
            let corners = [(from, from), (to, from), (to, to), (from, to)];
            vec![corners.map(Point::from).to_vec()]
        };
        let (large, small) = (
            Shape::new(&ring(0.0, 100.0), 0),
            Shape::new(&ring(40.0, 60.0), 0),
        );
        assert!(large.too_near(&small, Vec2::ZERO, 1.0) && small.too_near(&large, Vec2::ZERO, 1.0));
        assert!(!large.too_near(&small, Vec2::new(61.1, 0.0), 1.0));
        assert!(large.too_near(&small, Vec2::new(60.9, 0.0), 1.0));
    }
}
