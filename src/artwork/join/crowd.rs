//! Which lines meet, and on which side of an outline something lies.

use super::super::boxes::{Boxes, meet};
use super::super::flat::{Flat, Node, in_steps};
use super::super::outlines::side;
use super::limits::{Budget, FREE};
use crate::error::InputError;
use kurbo::{Point, Rect};
use std::ops::Range;

/// A straight line between two points of the lattice.
pub(super) type Ends = [Node; 2];

/// Lines that can be found by where they are.
pub(super) struct Crowd {
    lines: Vec<Ends>,
    boxes: Boxes,
}

impl Crowd {
    /// Of lines of which those in one part follow each other.
    pub(super) fn new(lines: Vec<Ends>, parts: &[Range<usize>]) -> Self {
        let boxes = Boxes::new(parts, |number| lines[number].map(in_steps));
        Self { lines, boxes }
    }

    /// Of the straight lines that stand for outlines.
    pub(super) fn of_chords(flat: &Flat) -> Self {
        let lines = flat.chords.iter().map(|chord| [chord.from, chord.to]);
        let begins = flat.spans.iter().map(|span| span.chords.start);
        let ends = begins.clone().skip(1).chain([flat.chords.len()]);
        // With the line that closes each.
        let parts: Vec<Range<usize>> = begins.zip(ends).map(|(begin, end)| begin..end).collect();
        Self::new(lines.collect(), &parts)
    }

    /// Of closed rings.
    pub(super) fn of_rings<'a>(rings: impl IntoIterator<Item = &'a [Node]>) -> Self {
        let (mut lines, mut parts) = (Vec::new(), Vec::new());
        for ring in rings {
            let begin = lines.len();
            lines.extend(lines_of(ring));
            parts.push(begin..lines.len());
        }
        Self::new(lines, &parts)
    }

    /// Shows each pair of lines that have a point in common, the later one first, and whether that is no more
    /// than an end of both.
    pub(super) fn meetings(
        &self,
        budget: &mut Budget,
        mut call: impl FnMut(&mut Budget, [usize; 2], bool) -> Result<(), InputError>,
    ) -> Result<(), InputError> {
        // Lines of one run lie together: what is near one of them is looked for once.
        for (area, run) in self.boxes.runs() {
            let (found, steps) = self.boxes.near(area);
            budget.steps(steps.saturating_sub(FREE) * run.len())?;
            for number in run {
                let [from, to] = self.lines[number].map(in_steps);
                let own = Rect::from_points(from, to);
                for (area, lines) in &found {
                    if !meet(area, &own) {
                        continue;
                    }
                    for other in lines.start..lines.end.min(number) {
                        match meeting(self.lines[number], self.lines[other]) {
                            Meeting::None => {}
                            Meeting::Ends => call(budget, [number, other], true)?,
                            Meeting::Cross => call(budget, [number, other], false)?,
                        }
                    }
                }
            }
        }
        Ok(())
    }

    /// How many lines lie to the left of a point, at its height. The point is told in half steps.
    fn to_the_left(&self, [x, y]: [i64; 2], budget: &mut Budget) -> Result<usize, InputError> {
        #[expect(clippy::cast_precision_loss, reason = "below 2^53")]
        let (right, at) = (x as f64 / 2.0, y as f64 / 2.0);
        let area = Rect::new(f64::NEG_INFINITY, at, right, at);
        let (found, steps) = self.boxes.near(area);
        budget.steps(steps)?;
        let mut left = 0;
        for line in found.into_iter().flat_map(|(_, lines)| lines) {
            left += usize::from(is_left(self.lines[line], [x, y]));
        }
        Ok(left)
    }

    /// The lines whose boxes come within so many steps of the box between two corners.
    pub(super) fn around(
        &self,
        corners: Ends,
        within: f64,
        budget: &mut Budget,
    ) -> Result<Vec<usize>, InputError> {
        let [from, to] = corners.map(in_steps);
        let area = Rect::from_points(from, to).inflate(within, within);
        let (found, steps) = self.boxes.near(area);
        budget.steps(steps)?;
        let mut lines: Vec<usize> = found.into_iter().flat_map(|(_, lines)| lines).collect();
        lines.retain(|line| {
            let [from, to] = self.lines[*line].map(in_steps);
            meet(&Rect::from_points(from, to), &area)
        });
        Ok(lines)
    }

    /// Whether a point, told in steps, lies inside of an odd number of the rings; to half a step.
    pub(super) fn encloses(&self, point: Point, budget: &mut Budget) -> Result<bool, InputError> {
        #[expect(clippy::cast_possible_truncation, reason = "within the lattice")]
        let halves = [point.x, point.y].map(|at| (at * 2.0).round() as i64);
        Ok(self.to_the_left(halves, budget)? % 2 == 1)
    }

    /// Where on the way from one point to another one the lines are crossed, as shares of the way, in rising
    /// order. Points are told in steps.
    pub(super) fn crossed(
        &self,
        from: Point,
        to: Point,
        budget: &mut Budget,
    ) -> Result<Vec<f64>, InputError> {
        let (found, steps) = self.boxes.near(Rect::from_points(from, to));
        budget.steps(steps.saturating_sub(FREE))?;
        let way = to - from;
        let mut shares: Vec<f64> = Vec::new();
        for line in found.into_iter().flat_map(|(_, lines)| lines) {
            let [begin, end] = self.lines[line].map(in_steps);
            let along = end - begin;
            let turn = way.cross(along);
            let share = (begin - from).cross(along) / turn;
            let other = (begin - from).cross(way) / turn;
            if (0.0..=1.0).contains(&share) && (0.0..=1.0).contains(&other) {
                shares.push(share);
            }
        }
        shares.sort_unstable_by(f64::total_cmp);
        Ok(shares)
    }
}

/// The corners of the box round points.
pub(super) fn corners<'a>(nodes: impl IntoIterator<Item = &'a Node>) -> Ends {
    let mut nodes = nodes.into_iter();
    let first = nodes.next().copied().unwrap_or(Node::new(0, 0));
    nodes.fold([first; 2], |[low, high], node| {
        [
            Node::new(low.x.min(node.x), low.y.min(node.y)),
            Node::new(high.x.max(node.x), high.y.max(node.y)),
        ]
    })
}

/// The lines of a closed ring.
pub(super) fn lines_of(ring: &[Node]) -> impl Iterator<Item = Ends> {
    let next = ring.iter().skip(1).chain(ring.first());
    ring.iter().zip(next).map(|(from, to)| [*from, *to])
}

/// Whether a line lies to the left of a point, at its height: of the lines of a ring an odd number, if the point
/// lies inside of it. The point is told in half steps, and lies on no line.
pub(super) fn is_left(line: Ends, [x, y]: [i64; 2]) -> bool {
    let [from, to] = line.map(|node| [2 * i64::from(node.x), 2 * i64::from(node.y)]);
    let (upper, lower) = if from[1] < to[1] {
        (from, to)
    } else {
        (to, from)
    };
    let across = (lower[0] - upper[0]) * (y - upper[1]);
    upper[1] <= y && y < lower[1] && across < (x - upper[0]) * (lower[1] - upper[1])
}

/// What two lines have in common.
enum Meeting {
    None,
    /// An end of both, and nothing else.
    Ends,
    Cross,
}

fn meeting([a, b]: Ends, [c, d]: Ends) -> Meeting {
    let apart = |a: i32, b: i32, c: i32, d: i32| a.max(b) < c.min(d) || c.max(d) < a.min(b);
    if apart(a.x, b.x, c.x, d.x) || apart(a.y, b.y, c.y, d.y) {
        return Meeting::None;
    }
    let sides = [side(a, b, c), side(a, b, d), side(c, d, a), side(c, d, b)];
    if sides[0] * sides[1] > 0 || sides[2] * sides[3] > 0 {
        return Meeting::None;
    }
    let shared = [(a, b, c, d), (a, b, d, c), (b, a, c, d), (b, a, d, c)]
        .into_iter()
        .find(|(one, _, other, _)| one == other);
    let Some((corner, one, _, other)) = shared else {
        return Meeting::Cross;
    };
    // From one corner they have more in common only where they go the same way.
    let forwards = super::vector(corner, one).dot(super::vector(corner, other)) > 0.0;
    if sides == [0; 4] && forwards {
        Meeting::Cross
    } else {
        Meeting::Ends
    }
}
