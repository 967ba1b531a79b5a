//! The curves that lines of the result stand for.

use super::super::flat::{Chord, Curve, Flat, Lattice, Node, count, in_steps};
use super::super::outline::Contour;
use super::super::sorted::{sort, sort_by_bits};
use super::crowd::Crowd;
use super::limits::Budget;
use super::{in_order, vector};
use crate::error::InputError;
use kurbo::{BezPath, Line, ParamCurve, PathSeg, Point};

/// A line of the result lies on one that went in if its ends are within so many steps of it: each time a line
/// is split, its parts may be moved by a step.
const NEAR: f64 = 12.0;

/// A part of a curve, from one of its parameters to another, which is below the first where it is followed
/// backwards.
#[derive(Clone, Copy, Debug)]
struct Run {
    /// None for a line that lies on nothing that went in, which does not happen but for a split that moved
    /// it too far.
    curve: Option<u32>,
    from: f64,
    to: f64,
    begin: Node,
    end: Node,
}

/// The lines that went in, to be found again.
pub(super) struct Edges<'a> {
    flat: &'a Flat,
    /// The same lines by where they are.
    drawn: &'a Crowd,
    lattice: &'a Lattice,
    /// The ends of each line, the lesser one first, and its place; sorted.
    whole: Vec<([u64; 2], u32)>,
    /// Which parts of lines are on the edge of what stays: the line, and where the part begins and ends as
    /// shares of it.
    used: Vec<(u32, f64, f64)>,
}

impl<'a> Edges<'a> {
    pub(super) fn new(flat: &'a Flat, drawn: &'a Crowd, lattice: &'a Lattice) -> Self {
        let chords = flat.chords.iter().enumerate();
        let mut whole: Vec<_> = chords
            .map(|(place, chord)| (key(chord.from, chord.to), count(place)))
            .collect();
        sort_by_bits(&mut whole, |(key, _)| *key);
        Self {
            flat,
            drawn,
            lattice,
            whole,
            used: Vec::new(),
        }
    }

    pub(super) fn contour(
        &mut self,
        ring: &[Node],
        hole: bool,
        budget: &mut Budget,
    ) -> Result<Contour, InputError> {
        let mut runs: Vec<Run> = Vec::new();
        for (place, from) in ring.iter().enumerate() {
            let to = ring[(place + 1) % ring.len()];
            let run = self.run(*from, to, budget)?;
            match runs.last_mut() {
                Some(last) if self.goes_on(last, &run) => {
                    last.to = run.to;
                    last.end = run.end;
                }
                _ => runs.push(run),
            }
        }
        // What goes on over the end of the list.
        if runs.len() > 1 && self.goes_on(&runs[runs.len() - 1], &runs[0]) {
            let first = runs.remove(0);
            if let Some(last) = runs.last_mut() {
                last.to = first.to;
                last.end = first.end;
            }
        }
        let ring = ring.iter().map(|node| self.lattice.point(*node)).collect();
        Ok(Contour {
            path: self.path(&runs),
            ring,
            hole,
            piece: 0,
        })
    }

    /// Which part of which curve a line of the result is.
    fn run(&mut self, begin: Node, end: Node, budget: &mut Budget) -> Result<Run, InputError> {
        let key = key(begin, end);
        let mut at = self.whole.partition_point(|(other, _)| *other < key);
        if self.whole.get(at).is_some_and(|(other, _)| *other == key) {
            let place = self.whole[at].1;
            // The same line may have gone in several times.
            while let Some((_, same)) = self.whole.get(at).filter(|(other, _)| *other == key) {
                self.used.push((*same, 0.0, 1.0));
                at += 1;
            }
            let chord = self.flat.chords[place as usize];
            let parts = f64::from(self.flat.curves[chord.curve as usize].parts);
            let part = f64::from(chord.part);
            let (from, to) = (part / parts, (part + 1.0) / parts);
            let (from, to) = if chord.from == begin {
                (from, to)
            } else {
                (to, from)
            };
            return Ok(Run {
                curve: Some(chord.curve),
                from,
                to,
                begin,
                end,
            });
        }
        let mut best: Option<(f64, u32)> = None;
        for place in self.drawn.around([begin, end], NEAR, budget)? {
            let chord = &self.flat.chords[place];
            let off = off(chord, begin).max(off(chord, end));
            if off > NEAR {
                continue;
            }
            let shares = [begin, end].map(|node| share(chord, node));
            let (from, to) = (shares[0].min(shares[1]), shares[0].max(shares[1]));
            let place = count(place);
            self.used.push((place, from, to));
            if best.is_none_or(|best| (off, place) < best) {
                best = Some((off, place));
            }
        }
        let Some((_, place)) = best else {
            return Ok(Run {
                curve: None,
                from: 0.0,
                to: 1.0,
                begin,
                end,
            });
        };
        let chord = self.flat.chords[place as usize];
        Ok(Run {
            curve: Some(chord.curve),
            from: self.parameter(&chord, begin),
            to: self.parameter(&chord, end),
            begin,
            end,
        })
    }

    /// The parameter of the curve at a point of one of its lines.
    fn parameter(&self, chord: &Chord, node: Node) -> f64 {
        let parts = f64::from(self.flat.curves[chord.curve as usize].parts);
        let part = f64::from(chord.part);
        if node == chord.from {
            return part / parts;
        }
        if node == chord.to {
            return (part + 1.0) / parts;
        }
        (part + share(chord, node)) / parts
    }

    /// Whether one run is the further part of another one's curve.
    fn goes_on(&self, last: &Run, next: &Run) -> bool {
        let (Some(curve), true) = (last.curve, last.curve == next.curve) else {
            return last.curve.is_none() && next.curve.is_none() && is_straight(last, next);
        };
        let forwards = last.to > last.from;
        if forwards != (next.to > next.from) {
            return false;
        }
        // Over the end of a closed curve there is a corner, or at least a point of its own.
        let gap = if forwards {
            next.from - last.to
        } else {
            last.to - next.from
        };
        let parts = f64::from(self.flat.curves[curve as usize].parts);
        gap.abs() * parts <= 0.5 || last.end == next.begin && gap > 0.0 && gap * parts <= 1.5
    }

    /// The contour that goes along runs.
    fn path(&self, runs: &[Run]) -> BezPath {
        let runs = self.without_needless_points(runs);
        // Where two runs meet: at the end of a curve as it was drawn, or where straight lines meet.
        let points: Vec<Point> = (0..runs.len())
            .map(|place| self.meeting(&runs[(place + runs.len() - 1) % runs.len()], &runs[place]))
            .collect();
        let begin = (0..points.len())
            .min_by(|a, b| in_order(points[*a], points[*b]))
            .unwrap_or_default();
        let mut path = BezPath::new();
        for step in 0..runs.len() {
            let place = (begin + step) % runs.len();
            let (from, to) = (points[place], points[(place + 1) % runs.len()]);
            if step == 0 {
                path.move_to(from);
            }
            let seg = self.seg(&runs[place], from, to);
            let closing = step + 1 == runs.len() && matches!(seg, PathSeg::Line(_));
            if !closing {
                path.push(seg.as_path_el());
            }
        }
        path.close_path();
        path
    }

    /// Runs along straight lines that go on in the same direction are one.
    fn without_needless_points(&self, runs: &[Run]) -> Vec<Run> {
        let mut kept: Vec<Run> = Vec::new();
        for run in runs {
            match kept.last_mut() {
                Some(last) if self.is_line(last) && self.is_line(run) && is_straight(last, run) => {
                    *last = Run {
                        curve: None,
                        end: run.end,
                        ..*last
                    };
                }
                _ => kept.push(*run),
            }
        }
        if let [first, .., last] = kept[..]
            && self.is_line(&last)
            && self.is_line(&first)
            && is_straight(&last, &first)
        {
            kept[0] = Run {
                curve: None,
                begin: last.begin,
                ..first
            };
            kept.pop();
        }
        kept
    }

    fn is_line(&self, run: &Run) -> bool {
        run.curve
            .is_none_or(|curve| matches!(self.flat.curves[curve as usize].seg, PathSeg::Line(_)))
    }

    fn meeting(&self, before: &Run, after: &Run) -> Point {
        let ends = [
            (before, before.to, before.end),
            (after, after.from, after.begin),
        ];
        ends.iter()
            .filter_map(|(run, at, node)| {
                let Curve { seg, .. } = self.flat.curves[run.curve? as usize];
                let point = [seg.start(), seg.end()][usize::from(*at > 0.5)];
                (self.lattice.node(point) == *node).then_some(point)
            })
            .min_by(|a, b| in_order(*a, *b))
            .unwrap_or_else(|| self.lattice.point(after.begin))
    }

    /// The part of its curve that a run is, between these points.
    fn seg(&self, run: &Run, from: Point, to: Point) -> PathSeg {
        let Some(curve) = run.curve else {
            return Line::new(from, to).into();
        };
        let seg = self.flat.curves[curve as usize].seg;
        let whole = run.from.min(run.to) <= 0.0 && run.from.max(run.to) >= 1.0;
        let part = match (run.from < run.to, whole) {
            (true, true) => seg,
            (false, true) => seg.reverse(),
            (true, false) => seg.subsegment(run.from..run.to),
            (false, false) => seg.subsegment(run.to..run.from).reverse(),
        };
        match part {
            PathSeg::Line(_) => Line::new(from, to).into(),
            PathSeg::Quad(mut q) => {
                q.p1 += ((from - q.p0) + (to - q.p2)) / 2.0;
                (q.p0, q.p2) = (from, to);
                q.into()
            }
            PathSeg::Cubic(mut c) => {
                c.p1 += from - c.p0;
                c.p2 += to - c.p3;
                (c.p0, c.p3) = (from, to);
                c.into()
            }
        }
    }

    /// What of the lines that were drawn lies within what stays and is on no edge of it, pieces that follow each
    /// other in one. `kept` are the edges of what stays; lines of shapes that are left out are not told.
    pub(super) fn within(
        mut self,
        kept: &Crowd,
        left_out: impl Fn(usize) -> bool,
        budget: &mut Budget,
    ) -> Result<Vec<Vec<Point>>, InputError> {
        sort(&mut self.used, |(line, from, _)| [f64::from(*line), *from]);
        let mut used = &self.used[..];
        let mut inner = Inner {
            kept,
            lattice: self.lattice,
            last: None,
            lines: Vec::new(),
        };
        for span in &self.flat.spans {
            if left_out(span.shape) {
                continue;
            }
            for place in span.chords.clone() {
                let chord = &self.flat.chords[place];
                let (from, to) = (in_steps(chord.from), in_steps(chord.to));
                used = &used[used.partition_point(|(line, ..)| (*line as usize) < place)..];
                let own = used.partition_point(|(line, ..)| *line as usize == place);
                let ends = used[..own].iter().map(|(_, from, to)| (*from, *to));
                let mut begin = 0.0;
                for (end, next) in ends.chain([(1.0, 1.0)]) {
                    if end > begin {
                        inner.add(from.lerp(to, begin), from.lerp(to, end), budget)?;
                    }
                    begin = next.max(begin);
                }
            }
        }
        Ok(inner.lines)
    }
}

/// What of lines lies within what stays.
struct Inner<'a> {
    kept: &'a Crowd,
    lattice: &'a Lattice,
    /// Where the last line ended, and whether it was within.
    last: Option<(Point, bool)>,
    lines: Vec<Vec<Point>>,
}

impl Inner<'_> {
    /// Adds what of a line, told in steps, lies within.
    fn add(&mut self, from: Point, to: Point, budget: &mut Budget) -> Result<(), InputError> {
        // What is shorter than a line may have been moved is not told.
        if (to - from).hypot() <= NEAR {
            return Ok(());
        }
        // Where it runs in and out of what stays.
        let mut shares = self.kept.crossed(from, to, budget)?;
        let goes_on = self
            .last
            .filter(|(end, _)| *end == from && shares.is_empty());
        shares.push(1.0);
        let mut begin = from;
        for share in shares {
            let end = from.lerp(to, share);
            if (end - begin).hypot() <= NEAR {
                continue;
            }
            let within = match goes_on {
                Some((_, within)) => within,
                None => self.kept.encloses(begin.midpoint(end), budget)?,
            };
            if within {
                let ends = [begin, end].map(|at| self.lattice.between(at));
                match self.lines.last_mut() {
                    Some(line) if line.last() == Some(&ends[0]) => line.push(ends[1]),
                    _ => self.lines.push(ends.to_vec()),
                }
            }
            self.last = Some((end, within));
            begin = end;
        }
        Ok(())
    }
}

/// The ends of a line, whichever way it goes.
fn key(a: Node, b: Node) -> [u64; 2] {
    let bits = |coordinate: i32| u64::from(coordinate.cast_unsigned());
    let [a, b] = [a, b].map(|node| bits(node.x) << 32 | bits(node.y));
    if a <= b { [a, b] } else { [b, a] }
}

/// Where a line comes nearest to a point, as a share of the line.
fn share(chord: &Chord, node: Node) -> f64 {
    let way = vector(chord.from, chord.to);
    (vector(chord.from, node).dot(way) / way.hypot2()).clamp(0.0, 1.0)
}

/// How many steps a point lies beside a line.
fn off(chord: &Chord, node: Node) -> f64 {
    let way = vector(chord.from, chord.to);
    (vector(chord.from, node) - way * share(chord, node)).hypot()
}

/// Whether two runs lie on one straight line and go the same way, to within a step.
fn is_straight(last: &Run, next: &Run) -> bool {
    let (before, after) = (vector(last.begin, last.end), vector(next.begin, next.end));
    let whole = vector(last.begin, next.end);
    before.dot(after) > 0.0 && before.cross(whole).abs() <= whole.hypot()
}
