//! Curves as straight lines between the points of a lattice, each line remembering which part of which
//! curve it stands for.

use super::outline::{FLAT, Shape};
use i_overlay::i_float::int::point::IntPoint;
use kurbo::{Line, ParamCurve, PathEl, PathSeg, Point, Rect};
use std::ops::Range;

/// A point of the lattice.
pub(super) type Node = IntPoint<i32>;

/// So many steps of the lattice make the greater side of a drawing, or up to twice as many: below 2^30, which the
/// library for regions takes, even for what lies far off centre.
const STEPS: f64 = 33_554_432.0;

/// One curve is taken as so many straight lines at most.
const MOST_PARTS: f64 = 4096.0;

/// The points whose coordinates are whole multiples of a step, which is a power of two: they are exact as
/// floats, and the same points for a drawing that was joined before.
#[derive(Clone, Copy, Debug)]
pub(super) struct Lattice {
    origin: Point,
    step: f64,
    /// How far straight lines may stray from their curves.
    pub flat: f64,
}

impl Lattice {
    /// The lattice for what lies in these bounds.
    pub(super) fn over(bounds: Rect) -> Self {
        let side = bounds
            .width()
            .max(bounds.height())
            .max(f64::MIN_POSITIVE * STEPS);
        let mut step = 1.0;
        while step * STEPS > side {
            step /= 2.0;
        }
        while step * STEPS <= side {
            step *= 2.0;
        }
        step /= 2.0;
        let whole = |coordinate: f64| (coordinate / step).round() * step;
        let centre = bounds.center();
        Self {
            origin: Point::new(whole(centre.x), whole(centre.y)),
            step,
            flat: side * FLAT,
        }
    }

    #[expect(
        clippy::cast_possible_truncation,
        reason = "what lies in the bounds is within 2^26 steps of their centre; casts saturate"
    )]
    pub(super) fn node(&self, point: Point) -> Node {
        let steps = (point - self.origin) / self.step;
        Node::new(steps.x.round() as i32, steps.y.round() as i32)
    }

    /// The length of a step in mm.
    pub(super) const fn step(&self) -> f64 {
        self.step
    }

    /// A point that is told in steps and may lie between those of the lattice.
    pub(super) fn between(&self, steps: Point) -> Point {
        self.origin + steps.to_vec2() * self.step
    }

    pub(super) fn point(&self, node: Node) -> Point {
        Point::new(
            f64::from(node.x) * self.step + self.origin.x,
            f64::from(node.y) * self.step + self.origin.y,
        )
    }
}

/// A point of the lattice in steps.
pub(super) fn in_steps(node: Node) -> Point {
    Point::new(f64::from(node.x), f64::from(node.y))
}

/// A curve of an outline.
#[derive(Clone, Copy, Debug)]
pub(super) struct Curve {
    pub seg: PathSeg,
    /// The number of straight lines, equal in the curve's parameter, that stand for it.
    pub parts: u32,
}

/// A straight line that stands for a part of a curve.
#[derive(Clone, Copy, Debug)]
pub(super) struct Chord {
    /// The place of the curve among all.
    pub curve: u32,
    /// Which of its parts.
    pub part: u32,
    pub from: Node,
    pub to: Node,
}

/// An outline.
#[derive(Clone, Debug)]
pub(super) struct Span {
    /// Its straight lines, without one that was not drawn.
    pub chords: Range<usize>,
    /// Where it ends and begins, if it is open.
    pub open: Option<Line>,
    /// The place of the shape that it belongs to.
    pub shape: usize,
}

/// The outlines of shapes as straight lines.
#[derive(Debug, Default)]
pub(super) struct Flat {
    pub curves: Vec<Curve>,
    pub chords: Vec<Chord>,
    /// Each outline.
    pub spans: Vec<Span>,
    /// The closed rings of each shape, one for each outline; one that is open is closed by a straight line,
    /// as a fill does.
    pub rings: Vec<Vec<Vec<Node>>>,
}

impl Flat {
    pub(super) fn of<'a>(shapes: impl IntoIterator<Item = &'a Shape>, lattice: &Lattice) -> Self {
        let mut flat = Self::default();
        for (place, shape) in shapes.into_iter().enumerate() {
            let mut rings = Vec::new();
            for (outline, open) in outlines(shape.path.elements()) {
                let mut ring = Vec::new();
                let begin = flat.chords.len();
                for seg in outline {
                    flat.add(seg, lattice, &mut ring);
                }
                let chords = begin..flat.chords.len();
                flat.spans.push(Span {
                    chords,
                    open,
                    shape: place,
                });
                if let Some(open) = open {
                    flat.add(open.into(), lattice, &mut ring);
                }
                while ring.len() > 1 && ring.first() == ring.last() {
                    ring.pop();
                }
                if ring.len() > 2 {
                    rings.push(ring);
                }
            }
            flat.rings.push(rings);
        }
        flat
    }

    /// The place of the outline of a line, that which closes it included.
    fn outline(&self, line: usize) -> usize {
        let after = self.spans.partition_point(|span| span.chords.start <= line);
        after.saturating_sub(1)
    }

    /// The place of the shape of a line.
    pub(super) fn shape(&self, line: usize) -> usize {
        self.spans[self.outline(line)].shape
    }

    /// Whether of two lines, the later one first, one follows the other round an outline.
    pub(super) fn follow(&self, [later, other]: [usize; 2]) -> bool {
        let outline = self.outline(later);
        let begin = self.spans[outline].chords.start;
        let next = self.spans.get(outline + 1);
        let end = next.map_or(self.chords.len(), |next| next.chords.start);
        other >= begin && (later == other + 1 || (other == begin && later + 1 == end))
    }

    fn add(&mut self, seg: PathSeg, lattice: &Lattice, ring: &mut Vec<Node>) {
        let parts = parts(&seg, lattice.flat);
        let curve = count(self.curves.len());
        self.curves.push(Curve { seg, parts });
        let mut from = lattice.node(seg.start());
        if ring.last() != Some(&from) {
            ring.push(from);
        }
        for part in 0..parts {
            let to = lattice.node(if part + 1 == parts {
                seg.end()
            } else {
                seg.eval(f64::from(part + 1) / f64::from(parts))
            });
            if to != from {
                self.chords.push(Chord {
                    curve,
                    part,
                    from,
                    to,
                });
                ring.push(to);
            }
            from = to;
        }
    }
}

/// So many straight lines stand for a shape.
pub(super) fn lines(shape: &Shape, lattice: &Lattice) -> usize {
    let segs = shape.path.segments();
    segs.map(|seg| parts(&seg, lattice.flat) as usize).sum()
}

/// A place in a list.
#[expect(
    clippy::cast_possible_truncation,
    reason = "there are far fewer than 2^32 lines"
)]
pub(super) const fn count(place: usize) -> u32 {
    place as u32
}

/// The curves of each outline of a path, and the line that would close it where it does not end where it began.
fn outlines(path: &[PathEl]) -> Vec<(Vec<PathSeg>, Option<Line>)> {
    let mut outlines = Vec::new();
    let mut begin = 0;
    for at in 1..=path.len() {
        if at < path.len() && !matches!(path[at], PathEl::MoveTo(_)) {
            continue;
        }
        let segs: Vec<PathSeg> = kurbo::segments(path[begin..at].iter().copied()).collect();
        if let (Some(first), Some(last)) = (segs.first(), segs.last()) {
            let (start, end) = (first.start(), last.end());
            outlines.push((segs, (start != end).then(|| Line::new(end, start))));
        }
        begin = at;
    }
    outlines
}

/// So many straight lines, equal in the parameter, stray no further from a curve than `flat` (Wang, Chen
/// and Zhang 1984, "The number of subdivisions for Bezier curves"; from memory): the square of their number is
/// n (n - 1) / 8 times the greatest second difference of the curve's points, over the distance.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "between 1 and the most"
)]
fn parts(seg: &PathSeg, flat: f64) -> u32 {
    let bend = |a: Point, b: Point, c: Point| ((a - b) + (c - b)).hypot();
    let parts = match seg {
        PathSeg::Line(_) => 1.0,
        PathSeg::Quad(q) => (2.0 / 8.0 * bend(q.p0, q.p1, q.p2) / flat).sqrt(),
        PathSeg::Cubic(c) => {
            let most = bend(c.p0, c.p1, c.p2).max(bend(c.p1, c.p2, c.p3));
            (6.0 / 8.0 * most / flat).sqrt()
        }
    };
    parts.ceil().clamp(1.0, MOST_PARTS) as u32
}
