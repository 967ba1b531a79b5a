//! What is wrong with outlines as they were drawn, before they are joined.
//!
//! Lines are compared in the whole steps of a lattice: whether two of them cross is never a matter of rounding.

use super::boxes::{Boxes, RUN, meet};
use super::flat::{Chord, Flat, Lattice, Node, Span, in_steps};
use super::join::vector;
use super::outline::{Artwork, Shape};
use super::sorted::sort;
use kurbo::{Point, Rect};
use std::collections::BTreeSet;
use std::ops::Range;

/// What is wrong with the outlines of a drawing.
#[derive(Clone, Debug, Default)]
pub struct Faults {
    /// Outlines whose ends are apart, the widest first, at most [`MOST`].
    pub open: Vec<Open>,
    /// How many there are.
    pub open_count: usize,
    /// Points at which outlines cross each other or themselves, each once, at most [`MOST`]. Outlines that
    /// only touch, or share a part, do not cross there.
    pub crossings: Vec<Point>,
    /// How many there are.
    pub crossing_count: usize,
    /// Stretches of line that lie upon one that was drawn before, at most [`MOST`].
    pub doubles: Vec<Vec<Point>>,
    /// How many there are.
    pub double_count: usize,
    /// Their length in all, in mm as it was drawn.
    pub double_length: f64,
    /// Whether all was looked at; if not, there may be more.
    pub complete: bool,
}

/// The ends of an outline that is open.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Open {
    /// Where it begins.
    pub from: Point,
    /// Where it ends.
    pub to: Point,
}

/// So many places of each kind are listed.
pub const MOST: usize = 200;

/// So many boxes and lines are looked at, some half a second of them; and so many crossings counted.
const MOST_LOOKS: usize = 20_000_000;
const MOST_CROSSINGS: usize = 50_000;

/// A line lies upon another one only over so many times what they may be apart: the sides of a sharp corner
/// are near each other, too.
const LEAST_DOUBLE: f64 = 20.0;

/// What is wrong with the outlines that are cut from one film, group by group. Lines no further apart than
/// `near`, in mm as it was drawn, are the same line drawn twice.
#[must_use]
pub fn faults<'a>(
    artwork: &Artwork,
    groups: impl IntoIterator<Item = Vec<&'a Shape>>,
    near: f64,
) -> Faults {
    let lattice = Lattice::over(artwork.bounds());
    let mut faults = Faults {
        complete: true,
        ..Faults::default()
    };
    for shapes in groups {
        let flat = Flat::of(shapes, &lattice);
        faults.add(&flat, &lattice, near);
    }
    sort(&mut faults.open, |open| {
        [-(open.to - open.from).hypot(), 0.0]
    });
    faults.open.truncate(MOST);
    faults
}

impl Faults {
    fn add(&mut self, flat: &Flat, lattice: &Lattice, near: f64) {
        for span in &flat.spans {
            if let Some(open) = span.open {
                self.open_count += 1;
                self.open.push(Open {
                    from: open.p1,
                    to: open.p0,
                });
            }
        }
        let lines = Lines::new(flat);
        let steps = near / lattice.step();
        let mut looks = 0;
        let mut crossings: BTreeSet<[i32; 2]> = BTreeSet::new();
        for span in &flat.spans {
            let mut double: Option<Vec<Point>> = None;
            // What is near one line of a run is near the others too: it is looked for once.
            for start in span.chords.clone().step_by(RUN) {
                if looks > MOST_LOOKS || crossings.len() > MOST_CROSSINGS {
                    self.complete = false;
                    break;
                }
                let run = start..(start + RUN).min(span.chords.end);
                let areas = run.clone().map(|number| lines.area(number, steps));
                let area = areas.reduce(|all, area| all.union(area));
                let (found, seen) = lines.boxes.near(area.unwrap_or_default());
                looks += seen * run.len();
                for number in run {
                    let mut meeting = Meeting {
                        lines: &lines,
                        number,
                        area: lines.area(number, steps),
                        near: steps,
                        crossings: &mut crossings,
                        covered: Vec::new(),
                    };
                    for (area, lines) in &found {
                        if meet(area, &meeting.area) {
                            meeting.meet(lines);
                        }
                    }
                    let covered = united(meeting.covered);
                    self.stretch(&mut double, &flat.chords[number], &covered, lattice, near);
                }
            }
            self.end_stretch(&mut double, near);
        }
        self.crossing_count += crossings.len();
        let points = crossings
            .into_iter()
            .map(|[x, y]| lattice.point(Node::new(x, y)));
        self.crossings.extend(points);
        self.crossings.truncate(MOST);
    }

    /// Adds what of a line lies upon others to the stretch that it goes on, or begins another one.
    fn stretch(
        &mut self,
        double: &mut Option<Vec<Point>>,
        chord: &Chord,
        covered: &[[f64; 2]],
        lattice: &Lattice,
        near: f64,
    ) {
        let (from, to) = (lattice.point(chord.from), lattice.point(chord.to));
        let mut end = 0.0;
        for [begin, stop] in covered {
            if *begin > end || double.is_none() {
                self.end_stretch(double, near);
                *double = Some(vec![from.lerp(to, *begin)]);
            }
            double.get_or_insert_default().push(from.lerp(to, *stop));
            end = *stop;
        }
        if end < 1.0 {
            self.end_stretch(double, near);
        }
    }

    fn end_stretch(&mut self, double: &mut Option<Vec<Point>>, near: f64) {
        let Some(points) = double.take() else {
            return;
        };
        let length: f64 = points
            .windows(2)
            .map(|ends| (ends[1] - ends[0]).hypot())
            .sum();
        if length < near * LEAST_DOUBLE {
            return;
        }
        self.double_length += length;
        self.double_count += 1;
        if self.doubles.len() < MOST {
            self.doubles.push(points);
        }
    }
}

/// Lines, and which of them follow each other.
struct Lines<'a> {
    chords: &'a [Chord],
    /// The place of the line before each, if its outline has one there.
    before: Vec<Option<usize>>,
    boxes: Boxes,
}

impl<'a> Lines<'a> {
    fn new(flat: &'a Flat) -> Self {
        let mut before = vec![None; flat.chords.len()];
        for Span { chords, open, .. } in &flat.spans {
            for number in chords.clone() {
                before[number] = if number > chords.start {
                    Some(number - 1)
                } else {
                    open.is_none().then(|| chords.end - 1)
                };
            }
        }
        let parts: Vec<Range<usize>> = flat.spans.iter().map(|span| span.chords.clone()).collect();
        let boxes = Boxes::new(&parts, |number| {
            let chord = &flat.chords[number];
            [chord.from, chord.to].map(in_steps)
        });
        Self {
            chords: &flat.chords,
            before,
            boxes,
        }
    }

    fn area(&self, number: usize, near: f64) -> Rect {
        let Chord { from, to, .. } = self.chords[number];
        Rect::from_points(in_steps(from), in_steps(to)).inflate(near, near)
    }

    /// Where an outline comes from and goes to at a point of one of its lines; none where it ends there, or where
    /// the point counts as one of the next line.
    fn pass(&self, number: usize, at: Node) -> Option<[Node; 2]> {
        let Chord { from, to, .. } = self.chords[number];
        if at == to {
            None
        } else if at == from {
            Some([self.chords[self.before[number]?].from, to])
        } else {
            Some([from, to])
        }
    }
}

/// One line that meets all that come before it.
struct Meeting<'a> {
    lines: &'a Lines<'a>,
    number: usize,
    area: Rect,
    near: f64,
    crossings: &'a mut BTreeSet<[i32; 2]>,
    /// Which parts of it lie upon others, as shares of its length.
    covered: Vec<[f64; 2]>,
}

impl Meeting<'_> {
    /// Meets those of some lines that come before it.
    fn meet(&mut self, lines: &Range<usize>) {
        for other in lines.start..lines.end.min(self.number) {
            let Chord { from, to, .. } = self.lines.chords[other];
            if !meet(&Rect::from_points(in_steps(from), in_steps(to)), &self.area) {
                continue;
            }
            self.cross(other);
            if let Some(part) = upon(
                &self.lines.chords[self.number],
                &self.lines.chords[other],
                self.near,
            ) {
                self.covered.push(part);
            }
        }
    }

    fn cross(&mut self, other: usize) {
        let (one, two) = (&self.lines.chords[self.number], &self.lines.chords[other]);
        let sides = [
            side(one.from, one.to, two.from),
            side(one.from, one.to, two.to),
            side(two.from, two.to, one.from),
            side(two.from, two.to, one.to),
        ];
        if sides[0] * sides[1] > 0 || sides[2] * sides[3] > 0 {
            return;
        }
        if sides.iter().all(|side| *side != 0) {
            let node = meeting_point(one, two);
            self.crossings.insert([node.x, node.y]);
            return;
        }
        // Where an end of one lies on the other, it depends on where the outlines come from and go to.
        for at in [one.from, two.from] {
            if !(on(one, at) && on(two, at)) {
                continue;
            }
            let passes = [self.number, other].map(|number| self.lines.pass(number, at));
            if let [Some(first), Some(second)] = passes
                && passes_over(at, first, second)
            {
                self.crossings.insert([at.x, at.y]);
            }
        }
    }
}

/// On which side of the line through two points a third one lies: above zero, below, or zero for on it.
pub(super) fn side(a: Node, b: Node, c: Node) -> i64 {
    cross([a, b], [a, c]).signum()
}

/// Twice the signed area between two ways, above zero where the second one turns clockwise from the first as one sees it.
pub(super) fn cross([a, b]: [Node; 2], [c, d]: [Node; 2]) -> i64 {
    let across = |from: Node, to: Node| i64::from(to.x) - i64::from(from.x);
    let down = |from: Node, to: Node| i64::from(to.y) - i64::from(from.y);
    across(a, b) * down(c, d) - down(a, b) * across(c, d)
}

/// Whether a point lies on a line, its ends included.
fn on(line: &Chord, at: Node) -> bool {
    let within = |a: i32, b: i32, c: i32| a.min(b) <= c && c <= a.max(b);
    side(line.from, line.to, at) == 0
        && within(line.from.x, line.to.x, at.x)
        && within(line.from.y, line.to.y, at.y)
}

/// The point nearest to where two lines cross.
fn meeting_point(one: &Chord, two: &Chord) -> Node {
    let (way, other) = (vector(one.from, one.to), vector(two.from, two.to));
    let share = vector(one.from, two.from).cross(other) / way.cross(other);
    let moved = way * share;
    #[expect(clippy::cast_possible_truncation, reason = "it lies between two nodes")]
    let [x, y] = [moved.x.round() as i32, moved.y.round() as i32];
    Node::new(one.from.x + x, one.from.y + y)
}

/// Whether one outline goes from one side of another one to the other, at a point of both; each is told by where
/// it comes from and goes to. Not where they have a part in common.
fn passes_over(at: Node, [from, to]: [Node; 2], other: [Node; 2]) -> bool {
    let [one, two] = other.map(|end| between(at, [to, from], end));
    match (one, two) {
        (Some(one), Some(two)) => one != two,
        _ => false,
    }
}

/// Whether a direction lies in the turn from one direction to another, clockwise as one sees it; none where it is
/// one of them.
fn between(at: Node, [first, last]: [Node; 2], end: Node) -> Option<bool> {
    let turn = |a: Node, b: Node| cross([at, a], [at, b]);
    let same = |a: Node, b: Node| turn(a, b) == 0 && vector(at, a).dot(vector(at, b)) > 0.0;
    if same(first, end) || same(last, end) {
        return None;
    }
    let after_first = turn(first, end) > 0;
    let before_last = turn(end, last) > 0;
    Some(if turn(first, last) > 0 {
        after_first && before_last
    } else if turn(first, last) == 0 && !same(first, last) {
        after_first
    } else {
        after_first || before_last
    })
}

/// Which part of a line lies upon another one, as shares of its length: at both ends of the part no further than
/// `near` steps away.
fn upon(line: &Chord, other: &Chord, near: f64) -> Option<[f64; 2]> {
    let way = vector(line.from, line.to);
    let share = |node: Node| vector(line.from, node).dot(way) / way.hypot2();
    let ends = [share(other.from), share(other.to)];
    let (begin, end) = (ends[0].min(ends[1]).max(0.0), ends[0].max(ends[1]).min(1.0));
    if end <= begin {
        return None;
    }
    let along = vector(other.from, other.to);
    let off = |share: f64| {
        let to = vector(other.from, line.from) + way * share;
        (to.cross(along) / along.hypot()).abs()
    };
    (off(begin) <= near && off(end) <= near).then_some([begin, end])
}

/// Parts that overlap, or nearly meet, as one.
fn united(mut parts: Vec<[f64; 2]>) -> Vec<[f64; 2]> {
    if parts.len() > 1 {
        sort(&mut parts, |part| *part);
    }
    let mut all: Vec<[f64; 2]> = Vec::new();
    for [begin, end] in parts {
        match all.last_mut() {
            Some(last) if begin <= last[1] + 1e-6 => last[1] = last[1].max(end),
            _ => all.push([begin, end]),
        }
    }
    if let Some(first) = all.first_mut().filter(|part| part[0] < 1e-6) {
        first[0] = 0.0;
    }
    if let Some(last) = all.last_mut().filter(|part| part[1] > 1.0 - 1e-6) {
        last[1] = 1.0;
    }
    all
}
