//! Joins outlines that overlap to the contours that are cut.
//!
//! Regions are worked out in exact integers, with straight lines for curves. Each line of the result lies on one
//! of the lines that went in, which knows its curve; so what is left of a curve is cut out of the curve itself,
//! and one that is left whole comes out as it went in. Only where outlines cross, the curves' new ends are
//! moved to where their straight lines meet, which is off by no more than [`FLAT`](super::outline::FLAT) of the
//! drawing's greater side.

use super::flat::{Chord, Curve, Flat, Lattice, Node, count};
use super::outline::{Artwork, Colour, Contour, Film, Kind, Rule, Shape};
use super::sorted::{sort, sort_by_bits};
use i_overlay::core::fill_rule::FillRule;
use i_overlay::core::overlay::{ContourDirection, IntOverlayOptions, Overlay, ShapeType};
use i_overlay::core::overlay_rule::OverlayRule;
use i_overlay::i_shape::int::shape::IntShapes;
use kurbo::{BezPath, Line, ParamCurve, PathSeg, Point, Rect, Shape as _, Vec2};

/// A line of the result lies on one that went in if its ends are within so many steps of it: each time a line
/// is split, its parts may be moved by a step.
const NEAR: f64 = 12.0;

/// So many lines of a neighbourhood are looked at for one line of the result, at most.
const MOST_LOOKED_AT: usize = 4_000;

/// Which films a drawing is cut from.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Split {
    /// Whether each colour is cut from a film of its own, rather than all from one.
    pub layers: bool,
    /// A colour that stands for no film: it takes away what lies under it.
    pub ground: Option<Colour>,
}

/// A drawing with its outlines joined.
#[derive(Clone, Debug)]
pub struct Joined {
    /// The films, in the order in which their colours are painted.
    pub films: Vec<Film>,
    /// What is cut, all films together.
    pub bounds: Rect,
    /// Separate pieces of the shapes, each taken for itself: what a cutter makes of the drawing as it is.
    pub pieces_before: usize,
    /// The area of the shapes, each taken for itself, by the straight lines for their curves.
    pub area_before: f64,
    /// The area of what is joined, by straight lines too.
    pub area_after: f64,
    /// Lines of the drawing that run through film, where the cutter would cut its own letters.
    pub inner: Vec<Vec<Point>>,
}

/// Joins the outlines of a drawing, film by film.
#[must_use]
pub fn join(artwork: &Artwork, split: Split) -> Joined {
    let lattice = Lattice::over(artwork.bounds());
    let mut joined = Joined {
        films: Vec::new(),
        bounds: Rect::ZERO,
        pieces_before: 0,
        area_before: 0.0,
        area_after: 0.0,
        inner: Vec::new(),
    };
    let mut colours = Vec::new();
    if split.layers {
        for colour in artwork.colours() {
            if Some(colour) != split.ground {
                colours.push(Some(colour));
            }
        }
    } else {
        colours.push(None);
    }
    for colour in colours {
        let counts = |shape: &&Shape| {
            Some(shape.colour) == split.ground || colour.is_none_or(|colour| shape.colour == colour)
        };
        let shapes: Vec<&Shape> = artwork.shapes.iter().filter(counts).collect();
        joined.add(&shapes, colour, split.ground, &lattice);
    }
    let boxes = joined.films.iter().flat_map(|film| &film.contours);
    joined.bounds = boxes
        .map(|contour| contour.path.bounding_box())
        .reduce(|all, one| all.union(one))
        .unwrap_or_default();
    joined
}

impl Joined {
    fn add(
        &mut self,
        shapes: &[&Shape],
        colour: Option<Colour>,
        ground: Option<Colour>,
        lattice: &Lattice,
    ) {
        let flat = Flat::of(shapes.iter().copied(), lattice);
        let mut region = Region::default();
        // Lines without a fill are one shape together: what lies inside of an odd number of them stays.
        let mut lines = Vec::new();
        for (shape, rings) in shapes.iter().zip(&flat.rings) {
            let is_ground = Some(shape.colour) == ground;
            if shape.kind == Kind::Line && !is_ground {
                lines.extend(rings.iter().cloned());
                continue;
            }
            let own = resolved(rings, shape.rule);
            if is_ground {
                region.take_away(own);
            } else {
                self.count_before(&own, lattice);
                region.put(own);
            }
        }
        let own = resolved(&lines, Rule::EvenOdd);
        self.count_before(&own, lattice);
        region.put(own);
        let mut edges = Edges::new(&flat, lattice);
        let mut pieces: Vec<Vec<Contour>> = Vec::new();
        for piece in region.whole() {
            let mut contours: Vec<Contour> = Vec::new();
            for (place, ring) in piece.iter().enumerate() {
                if is_sliver(ring, lattice) {
                    if place == 0 {
                        break;
                    }
                    continue;
                }
                self.area_after += area(ring, lattice);
                contours.push(edges.contour(ring, place > 0));
            }
            if !contours.is_empty() {
                let outer = contours.remove(0);
                sort(&mut contours, |hole| down(first(hole)));
                contours.insert(0, outer);
                pieces.push(contours);
            }
        }
        sort(&mut pieces, |piece| down(first(&piece[0])));
        let mut contours = Vec::new();
        for (place, piece) in pieces.into_iter().enumerate() {
            contours.extend(piece.into_iter().map(|contour| Contour {
                piece: place,
                ..contour
            }));
        }
        self.inner.extend(edges.unused());
        if !contours.is_empty() {
            self.films.push(Film { colour, contours });
        }
    }

    fn count_before(&mut self, own: &IntShapes<i32>, lattice: &Lattice) {
        for piece in own {
            if piece.first().is_none_or(|ring| is_sliver(ring, lattice)) {
                continue;
            }
            self.pieces_before += 1;
            for ring in piece {
                self.area_before += area(ring, lattice);
            }
        }
    }
}

/// A part of the plane, put together from the bottom up.
#[derive(Default)]
struct Region {
    whole: IntShapes<i32>,
    /// What is to be added, or to be taken away, next: done for all at once, for each time takes as long as
    /// all that is there.
    next: IntShapes<i32>,
    takes_away: bool,
}

impl Region {
    fn put(&mut self, shapes: IntShapes<i32>) {
        self.add(shapes, false);
    }

    fn take_away(&mut self, shapes: IntShapes<i32>) {
        self.add(shapes, true);
    }

    fn add(&mut self, shapes: IntShapes<i32>, takes_away: bool) {
        if self.takes_away != takes_away {
            self.work();
            self.takes_away = takes_away;
        }
        self.next.extend(shapes);
    }

    fn work(&mut self) {
        if self.next.is_empty() {
            return;
        }
        let (whole, next) = (
            std::mem::take(&mut self.whole),
            std::mem::take(&mut self.next),
        );
        let mut overlay = overlay(&whole);
        overlay.add_source(&whole, ShapeType::Subject);
        overlay.add_source(&next, ShapeType::Clip);
        let rule = if self.takes_away {
            OverlayRule::Difference
        } else {
            OverlayRule::Union
        };
        self.whole = overlay.overlay(rule, FillRule::NonZero);
    }

    fn whole(mut self) -> IntShapes<i32> {
        self.work();
        self.whole
    }
}

fn overlay(shapes: &IntShapes<i32>) -> Overlay<i32> {
    let capacity = shapes.iter().flatten().map(Vec::len).sum();
    let options = IntOverlayOptions {
        // Points on a straight line tell where one part of a curve ends.
        preserve_input_collinear: true,
        preserve_output_collinear: true,
        output_direction: ContourDirection::CounterClockwise,
        min_output_area: 0,
        // Pieces that meet in a point are two pieces.
        ogc: true,
    };
    Overlay::new_custom(
        capacity,
        options,
        i_overlay::core::solver::Solver::default(),
    )
}

/// What lies inside of one shape by its own rule.
fn resolved(rings: &[Vec<Node>], rule: Rule) -> IntShapes<i32> {
    let mut overlay = overlay(&Vec::new());
    overlay.add_source(rings, ShapeType::Subject);
    let rule = match rule {
        Rule::NonZero => FillRule::NonZero,
        Rule::EvenOdd => FillRule::EvenOdd,
    };
    overlay.overlay(OverlayRule::Subject, rule)
}

/// The signed area of a ring in square millimetres.
fn area(ring: &[Node], lattice: &Lattice) -> f64 {
    let points: Vec<Point> = ring.iter().map(|node| lattice.point(*node)).collect();
    signed_area(&points)
}

/// The signed area of a polygon, above zero where it runs clockwise as one sees it.
pub(super) fn signed_area(ring: &[Point]) -> f64 {
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
fn is_sliver(ring: &[Node], lattice: &Lattice) -> bool {
    let points: Vec<Point> = ring.iter().map(|node| lattice.point(*node)).collect();
    let mut way = 0.0;
    for (place, point) in points.iter().enumerate() {
        way += (points[(place + 1) % points.len()] - *point).hypot();
    }
    signed_area(&points).abs() <= way * lattice.flat
}

/// Where a contour begins.
fn first(contour: &Contour) -> Point {
    contour
        .path
        .segments()
        .next()
        .map_or(Point::ZERO, |seg| seg.start())
}

/// From the top down, from left to right.
const fn down(point: Point) -> [f64; 2] {
    [point.y, point.x]
}

/// The same.
fn in_order(a: Point, b: Point) -> std::cmp::Ordering {
    a.y.total_cmp(&b.y).then(a.x.total_cmp(&b.x))
}

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
struct Edges<'a> {
    flat: &'a Flat,
    lattice: &'a Lattice,
    /// The ends of each line, the lesser one first, and its place; sorted.
    whole: Vec<([u64; 2], u32)>,
    /// Which parts of lines are on the edge of what stays: the line, and where the part begins and ends as
    /// shares of it.
    used: Vec<(u32, f64, f64)>,
    cells: Cells,
}

impl<'a> Edges<'a> {
    fn new(flat: &'a Flat, lattice: &'a Lattice) -> Self {
        let chords = flat.chords.iter().enumerate();
        let mut whole: Vec<_> = chords
            .map(|(place, chord)| (key(chord.from, chord.to), count(place)))
            .collect();
        sort_by_bits(&mut whole, |(key, _)| *key);
        Self {
            flat,
            lattice,
            whole,
            used: Vec::new(),
            cells: Cells::over(&flat.chords),
        }
    }

    fn contour(&mut self, ring: &[Node], hole: bool) -> Contour {
        let mut runs: Vec<Run> = Vec::new();
        for (place, from) in ring.iter().enumerate() {
            let to = ring[(place + 1) % ring.len()];
            let run = self.run(*from, to);
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
        Contour {
            path: self.path(&runs),
            ring,
            hole,
            piece: 0,
        }
    }

    /// Which part of which curve a line of the result is.
    fn run(&mut self, begin: Node, end: Node) -> Run {
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
            return Run {
                curve: Some(chord.curve),
                from,
                to,
                begin,
                end,
            };
        }
        let mut best: Option<(f64, u32)> = None;
        for place in self.cells.around(begin, end) {
            let chord = &self.flat.chords[*place as usize];
            let off = off(chord, begin).max(off(chord, end));
            if off > NEAR {
                continue;
            }
            let shares = [begin, end].map(|node| share(chord, node));
            let (from, to) = (shares[0].min(shares[1]), shares[0].max(shares[1]));
            self.used.push((*place, from, to));
            if best.is_none_or(|(least, _)| off < least) {
                best = Some((off, *place));
            }
        }
        let Some((_, place)) = best else {
            return Run {
                curve: None,
                from: 0.0,
                to: 1.0,
                begin,
                end,
            };
        };
        let chord = self.flat.chords[place as usize];
        Run {
            curve: Some(chord.curve),
            from: self.parameter(&chord, begin),
            to: self.parameter(&chord, end),
            begin,
            end,
        }
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

    /// What of the lines is on no edge of what stays, pieces that follow each other in one.
    fn unused(mut self) -> Vec<Vec<Point>> {
        sort(&mut self.used, |(line, from, _)| [f64::from(*line), *from]);
        let mut used = self.used.iter().peekable();
        let mut lines: Vec<Vec<Point>> = Vec::new();
        for (place, chord) in (0..).zip(&self.flat.chords) {
            let (from, to) = (self.lattice.point(chord.from), self.lattice.point(chord.to));
            // What is shorter than a line may have been moved is not told.
            let least = NEAR / vector(chord.from, chord.to).hypot();
            let mut begin = 0.0;
            let mut rest = |begin: f64, end: f64| {
                if end - begin <= least {
                    return;
                }
                let (from, to) = (from.lerp(to, begin), from.lerp(to, end));
                match lines.last_mut() {
                    Some(line) if line.last() == Some(&from) => line.push(to),
                    _ => lines.push(vec![from, to]),
                }
            };
            while let Some((_, from, to)) = used.next_if(|(line, ..)| *line == place) {
                rest(begin, *from);
                begin = to.max(begin);
            }
            rest(begin, 1.0);
        }
        lines
    }
}

/// The ends of a line, whichever way it goes.
fn key(a: Node, b: Node) -> [u64; 2] {
    let bits = |coordinate: i32| u64::from(coordinate.cast_unsigned());
    let [a, b] = [a, b].map(|node| bits(node.x) << 32 | bits(node.y));
    if a <= b { [a, b] } else { [b, a] }
}

pub(super) fn vector(from: Node, to: Node) -> Vec2 {
    Vec2::new(
        f64::from(to.x) - f64::from(from.x),
        f64::from(to.y) - f64::from(from.y),
    )
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

/// Lines by the square cell of the plane that they go through.
struct Cells {
    origin: [i64; 2],
    side: i64,
    across: i64,
    /// Where the lines of each cell begin in `lines`; the last one is where the list ends.
    begins: Vec<u32>,
    lines: Vec<u32>,
}

impl Cells {
    fn over(chords: &[Chord]) -> Self {
        let (mut low, mut high) = ([i64::MAX; 2], [i64::MIN; 2]);
        for node in chords.iter().flat_map(|chord| [chord.from, chord.to]) {
            for (axis, at) in [node.x, node.y].into_iter().enumerate() {
                low[axis] = low[axis].min(i64::from(at));
                high[axis] = high[axis].max(i64::from(at));
            }
        }
        if chords.is_empty() {
            (low, high) = ([0; 2], [0; 2]);
        }
        let cells = i64::from(count(chords.len()).isqrt()).clamp(1, 1024);
        let side = ((high[0] - low[0]).max(high[1] - low[1]) + 2 * PAD) / cells + 1;
        let mut all = Self {
            origin: [low[0] - PAD, low[1] - PAD],
            side,
            across: 0,
            begins: Vec::new(),
            lines: Vec::new(),
        };
        all.across = all.column(high[0] + PAD) + 1;
        let down = all.row(high[1] + PAD) + 1;
        // Counted first, so that all of them are in one list.
        let mut begins = vec![0_u32; place(all.across * down) + 1];
        for chord in chords {
            all.visit(chord, &mut |cell| begins[cell + 1] += 1);
        }
        for cell in 1..begins.len() {
            begins[cell] += begins[cell - 1];
        }
        let mut lines = vec![0; begins.last().map_or(0, |end| *end as usize)];
        let mut next = begins.clone();
        for (line, chord) in chords.iter().enumerate() {
            all.visit(chord, &mut |cell| {
                lines[next[cell] as usize] = count(line);
                next[cell] += 1;
            });
        }
        (all.begins, all.lines) = (begins, lines);
        all
    }

    const fn column(&self, x: i64) -> i64 {
        (x - self.origin[0]) / self.side
    }

    const fn row(&self, y: i64) -> i64 {
        (y - self.origin[1]) / self.side
    }

    /// Calls for each cell that a line comes near to.
    fn visit(&self, chord: &Chord, call: &mut impl FnMut(usize)) {
        let [a, b] = [chord.from, chord.to].map(|node| (i64::from(node.x), i64::from(node.y)));
        let (upper, lower) = if a.1 <= b.1 { (a, b) } else { (b, a) };
        for row in self.row(upper.1 - PAD)..=self.row(lower.1 + PAD) {
            // Where the line enters and leaves this row of cells.
            let top = (self.origin[1] + row * self.side - PAD).clamp(upper.1, lower.1);
            let bottom = (self.origin[1] + (row + 1) * self.side + PAD).clamp(upper.1, lower.1);
            let at = |y: i64| {
                if lower.1 == upper.1 {
                    return None;
                }
                Some(upper.0 + (lower.0 - upper.0) * (y - upper.1) / (lower.1 - upper.1))
            };
            let (left, right) = match (at(top), at(bottom)) {
                (Some(a), Some(b)) => (a.min(b), a.max(b)),
                _ => (a.0.min(b.0), a.0.max(b.0)),
            };
            for column in self.column(left - PAD)..=self.column(right + PAD) {
                call(place(row * self.across + column));
            }
        }
    }

    /// Lines near the middle of what lies between two points.
    fn around(&self, begin: Node, end: Node) -> &[u32] {
        let middle = |a: i32, b: i32| i64::midpoint(i64::from(a), i64::from(b));
        let (x, y) = (middle(begin.x, end.x), middle(begin.y, end.y));
        let cell = place(self.row(y) * self.across + self.column(x));
        let bounds = self.begins.get(cell).zip(self.begins.get(cell + 1));
        let lines = bounds.and_then(|(from, to)| self.lines.get(*from as usize..*to as usize));
        let lines = lines.unwrap_or_default();
        &lines[..lines.len().min(MOST_LOOKED_AT)]
    }
}

/// Further than this from a line nothing is looked for.
const PAD: i64 = 32;

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "cells of the grid, whose numbers are small and not below zero"
)]
const fn place(cell: i64) -> usize {
    cell as usize
}
