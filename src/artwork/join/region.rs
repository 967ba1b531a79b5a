//! Parts of the plane, in whole steps of the lattice.

use super::super::flat::{Lattice, Node};
use super::super::outline::Rule;
use super::super::outlines::cross;
use super::crowd::{Crowd, Ends, corners};
use super::limits::Budget;
use crate::error::InputError;
use i_overlay::core::fill_rule::FillRule;
use i_overlay::core::overlay::{ContourDirection, IntOverlayOptions, Overlay, ShapeType};
use i_overlay::core::overlay_rule::OverlayRule;
use i_overlay::core::solver::Solver;
use i_overlay::i_shape::int::shape::IntShapes;
use kurbo::Point;
use std::cmp::Ordering;

/// A part of the plane, put together from the bottom up.
#[derive(Default)]
pub(super) struct Region {
    steps: Vec<Step>,
}

/// What is put, or taken away from what was put before.
struct Step {
    takes_away: bool,
    shapes: IntShapes<i32>,
}

/// What is taken away from what lies below, and what is put there then. Shapes of each may lie on each other.
#[derive(Default)]
struct Layer {
    taken: IntShapes<i32>,
    put: IntShapes<i32>,
}

/// What a region comes to.
pub(super) struct Whole {
    /// Pieces and their holes.
    pub stays: IntShapes<i32>,
    /// What would stay if nothing had been taken away; none where nothing was.
    pub without_ground: Option<IntShapes<i32>>,
}

impl Region {
    pub(super) fn put(&mut self, shapes: IntShapes<i32>) {
        self.add(shapes, false);
    }

    pub(super) fn take_away(&mut self, shapes: IntShapes<i32>) {
        self.add(shapes, true);
    }

    fn add(&mut self, shapes: IntShapes<i32>, takes_away: bool) {
        if shapes.iter().flatten().any(|ring| !ring.is_empty()) {
            self.steps.push(Step { takes_away, shapes });
        }
    }

    /// Puts all of another region on top.
    pub(super) fn put_all(&mut self, other: Self) {
        self.steps.extend(other.steps);
    }

    /// What was put, each shape for itself.
    pub(super) fn shapes(&self) -> impl Iterator<Item = &[Vec<Node>]> {
        let put = self.steps.iter().filter(|step| !step.takes_away);
        put.flat_map(|step| &step.shapes).map(Vec::as_slice)
    }

    /// Layers are put together two by two, so that each line is gone through as often as their number can be
    /// halved, rather than as often as there are layers.
    pub(super) fn whole(self, budget: &mut Budget) -> Result<Whole, InputError> {
        let without_ground = self.steps.iter().any(|step| step.takes_away).then(|| {
            let shapes: IntShapes<i32> = self.shapes().map(<[_]>::to_vec).collect();
            united(&shapes)
        });
        let mut layers = self.layers(budget)?;
        while layers.len() > 1 {
            budget.layered(layers.iter().map(Layer::lines).sum())?;
            let mut pairs = layers.into_iter();
            layers = Vec::new();
            while let Some(lower) = pairs.next() {
                layers.push(match pairs.next() {
                    Some(upper) => lower.under(upper),
                    None => lower,
                });
            }
        }
        let put = layers.pop().map(|layer| layer.put).unwrap_or_default();
        Ok(Whole {
            stays: united(&put),
            without_ground,
        })
    }

    /// As few layers as do: what lies apart may be put and taken away in any order.
    fn layers(self, budget: &mut Budget) -> Result<Vec<Layer>, InputError> {
        let mut layers = vec![Layer::default()];
        if self.steps.iter().all(|step| !step.takes_away) {
            layers[0].put = self
                .steps
                .into_iter()
                .flat_map(|step| step.shapes)
                .collect();
            return Ok(layers);
        }
        let takes_away: Vec<bool> = self.steps.iter().map(|step| step.takes_away).collect();
        let boxes: Vec<Ends> = self
            .steps
            .iter()
            .map(|step| corners(step.shapes.iter().flatten().flatten()))
            .collect();
        let all = 0..boxes.len();
        let crowd = Crowd::new(boxes.clone(), &[all]);
        // The layer of each that was put or taken away.
        let mut places: Vec<Option<usize>> = Vec::new();
        for (number, step) in self.steps.into_iter().enumerate() {
            let near = crowd.around(boxes[number], 0.0, budget)?.into_iter();
            let below = near
                .filter_map(|other| places.get(other).copied().flatten().zip(Some(other)))
                .filter(|(_, other)| step.takes_away != takes_away[*other])
                .map(|(place, _)| place)
                .max();
            let place = if step.takes_away {
                below.map(|place| place + 1)
            } else {
                Some(below.unwrap_or_default())
            };
            places.push(place);
            let Some(place) = place else {
                // There is nothing to be taken away.
                continue;
            };
            if place == layers.len() {
                layers.push(Layer::default());
            }
            let layer = &mut layers[place];
            if step.takes_away {
                layer.taken.extend(step.shapes);
            } else {
                layer.put.extend(step.shapes);
            }
        }
        Ok(layers)
    }
}

impl Layer {
    fn lines(&self) -> usize {
        lines(&self.taken) + lines(&self.put)
    }

    /// Both as one: taking away and putting twice takes away what either does, and puts what the lower one does
    /// but for what the upper one takes away, and what the upper one does.
    fn under(mut self, mut upper: Self) -> Self {
        let mut put = combined(&self.put, &upper.taken, OverlayRule::Difference);
        put.append(&mut upper.put);
        self.taken.append(&mut upper.taken);
        Self {
            taken: united(&self.taken),
            put,
        }
    }
}

fn lines(shapes: &IntShapes<i32>) -> usize {
    shapes.iter().flatten().map(Vec::len).sum()
}

fn united(shapes: &IntShapes<i32>) -> IntShapes<i32> {
    combined(shapes, &Vec::new(), OverlayRule::Subject)
}

/// What shapes come to, each kind of them taken together by the nonzero rule.
pub(super) fn combined(
    shapes: &IntShapes<i32>,
    others: &IntShapes<i32>,
    rule: OverlayRule,
) -> IntShapes<i32> {
    let mut overlay = overlay(lines(shapes) + lines(others));
    overlay.add_source(shapes, ShapeType::Subject);
    overlay.add_source(others, ShapeType::Clip);
    overlay.overlay(rule, FillRule::NonZero)
}

fn overlay(lines: usize) -> Overlay<i32> {
    let options = IntOverlayOptions {
        // Points on a straight line tell where one part of a curve ends.
        preserve_input_collinear: true,
        preserve_output_collinear: true,
        output_direction: ContourDirection::CounterClockwise,
        min_output_area: 0,
        // Pieces that meet in a point are two pieces.
        ogc: true,
    };
    // The other ways to find what crosses take many times as long for long slanted lines side by side.
    Overlay::new_custom(lines, options, Solver::TREE)
}

/// What lies inside of one shape by its own rule.
pub(super) fn resolved(rings: &[Vec<Node>], rule: Rule) -> IntShapes<i32> {
    let mut overlay = overlay(rings.iter().map(Vec::len).sum());
    overlay.add_source(rings, ShapeType::Subject);
    let rule = match rule {
        Rule::NonZero => FillRule::NonZero,
        Rule::EvenOdd => FillRule::EvenOdd,
    };
    overlay.overlay(OverlayRule::Subject, rule)
}

/// A ring that keeps clear of itself, so that it runs clockwise as one sees it; none where it encloses nothing.
pub(super) fn clockwise(ring: &[Node]) -> Option<Vec<Node>> {
    let first = ring.first()?;
    let ends = ring.iter().zip(ring.iter().skip(1));
    let doubled: i128 = ends
        .map(|(from, to)| i128::from(cross([*first, *from], [*first, *to])))
        .sum();
    match doubled.cmp(&0) {
        Ordering::Greater => Some(ring.to_vec()),
        Ordering::Less => Some(ring.iter().rev().copied().collect()),
        Ordering::Equal => None,
    }
}

/// The signed area of a ring in square millimetres.
pub(super) fn area(ring: &[Node], lattice: &Lattice) -> f64 {
    let points: Vec<Point> = ring.iter().map(|node| lattice.point(*node)).collect();
    signed_area(&points)
}

/// The signed area of a polygon, above zero where it runs clockwise as one sees it.
pub(in crate::artwork) fn signed_area(ring: &[Point]) -> f64 {
    let Some(first) = ring.first() else {
        return 0.0;
    };
    let mut area = 0.0;
    for (place, point) in ring.iter().enumerate() {
        let next = ring.get(place + 1).unwrap_or(first);
        // From the first point on, so that what lies far from the origin loses no digits.
        area += (*point - *first).cross(*next - *first);
    }
    area / 2.0
}

/// Whether a ring is no wider than what straight lines stray from their curves: it lies between two
/// approximations of the same curve, or a curve and one beside it.
pub(super) fn is_sliver(ring: &[Node], lattice: &Lattice) -> bool {
    let points: Vec<Point> = ring.iter().map(|node| lattice.point(*node)).collect();
    let mut way = 0.0;
    for (place, point) in points.iter().enumerate() {
        way += (points[(place + 1) % points.len()] - *point).hypot();
    }
    signed_area(&points).abs() <= way * lattice.flat
}

/// The area of pieces that are wide enough to be any, in square millimetres, and how many they are.
pub(super) fn area_of<'a>(
    pieces: impl IntoIterator<Item = &'a [Vec<Node>]>,
    lattice: &Lattice,
) -> (f64, usize) {
    let (mut all, mut count) = (0.0, 0);
    for piece in pieces {
        if piece.first().is_none_or(|ring| is_sliver(ring, lattice)) {
            continue;
        }
        count += 1;
        for ring in piece {
            all += area(ring, lattice);
        }
    }
    (all, count)
}
