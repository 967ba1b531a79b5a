//! The largest discs that touch a boundary, against its lines themselves.

use super::super::boxes::{Boxes, Search};
use super::Side;
use kurbo::{Point, Rect, Vec2};
use std::cell::Cell;
use std::ops::Range;

/// Sine, cosine and cotangent of 14 degrees, half of the angle by which the sides of a stroke may lean.
pub(super) const LEAN: (f64, f64, f64) = (
    0.241_921_895_599_667_7,
    0.970_295_726_275_996_5,
    4.010_780_933_535_844,
);

/// So far another part of the boundary may reach into the disc between two sides, in parts of it: as far as
/// the sides themselves do where they lean as much as they may.
pub(super) const SLACK: f64 = 1.03;

/// The lines of a boundary.
pub(super) struct Lines {
    /// Where each line begins and ends.
    pub(super) ends: Vec<[Point; 2]>,
    /// The direction of each line.
    pub(super) along: Vec<Vec2>,
    /// The length of each line.
    pub(super) length: Vec<f64>,
    /// The way from the first point of the ring to the begin of each line.
    way: Vec<f64>,
    /// The ring of each line.
    pub(super) ring: Vec<usize>,
    /// The lines of each ring.
    pub(super) rings: Vec<Range<usize>>,
    pub(super) boxes: Boxes,
    /// How many boxes and lines have been looked at.
    pub(super) looked: Cell<usize>,
}

/// A place on the boundary.
#[derive(Clone, Copy, Debug)]
pub(super) struct Spot {
    /// Its line.
    pub(super) line: usize,
    /// How far along it, from 0 to 1.
    pub(super) at: f64,
    /// Where it is.
    pub(super) point: Point,
}

/// The disc that touches a boundary at a point.
#[derive(Clone, Copy, Debug)]
pub(super) struct Ball {
    /// The diameter of the largest one with no boundary in it, at most the one that was asked for.
    pub(super) across: f64,
    /// A line that keeps it from growing.
    pub(super) stop: Option<usize>,
    /// Where it touches the opposite side, and the diameter of the disc that touches just there.
    pub(super) opposite: Option<(Spot, f64)>,
}

impl Lines {
    /// The lines of closed rings. Rings of less than three points, or with points that are no numbers or enormous, are left out.
    pub(super) fn new(rings: &[Vec<Point>]) -> Self {
        let sound = |ring: &&Vec<Point>| {
            ring.iter()
                .all(|point| point.x.abs() < 1e100 && point.y.abs() < 1e100)
        };
        let far = rings
            .iter()
            .filter(sound)
            .flatten()
            .map(|point| point.x.abs().max(point.y.abs()))
            .fold(0.0, f64::max);
        // Points so near each other say nothing about the direction of the line between them.
        let apart = far * 1e-10;
        let mut points: Vec<Point> = Vec::new();
        let mut parts = Vec::new();
        for ring in rings.iter().filter(sound) {
            let start = points.len();
            for point in ring {
                let double = |last: &Point| last.distance(*point) <= apart;
                if points.len() == start || !points.last().is_some_and(double) {
                    points.push(*point);
                }
            }
            while points.len() > start + 1
                && points[start].distance(points[points.len() - 1]) <= apart
            {
                points.pop();
            }
            if points.len() < start + 3 {
                points.truncate(start);
            } else {
                parts.push(start..points.len());
            }
        }
        let mut ends = Vec::with_capacity(points.len());
        let mut along = Vec::with_capacity(points.len());
        let mut length = Vec::with_capacity(points.len());
        let mut way = Vec::with_capacity(points.len());
        let mut ring = Vec::with_capacity(points.len());
        for (number, part) in parts.iter().enumerate() {
            let mut total = 0.0;
            for line in part.clone() {
                let end = if line + 1 < part.end {
                    line + 1
                } else {
                    part.start
                };
                let step = points[end] - points[line];
                let long = step.hypot();
                ends.push([points[line], points[end]]);
                along.push(step / long);
                length.push(long);
                way.push(total);
                ring.push(number);
                total += long;
            }
        }
        let boxes = Boxes::new(&parts, |line| ends[line]);
        Self {
            ends,
            along,
            length,
            way,
            ring,
            rings: parts,
            boxes,
            looked: Cell::new(0),
        }
    }

    /// The line after one.
    pub(super) fn next(&self, line: usize) -> usize {
        let part = &self.rings[self.ring[line]];
        if line + 1 < part.end {
            line + 1
        } else {
            part.start
        }
    }

    /// The line before one.
    pub(super) fn previous(&self, line: usize) -> usize {
        let part = &self.rings[self.ring[line]];
        if line > part.start {
            line - 1
        } else {
            part.end - 1
        }
    }

    /// The place at a part of a line.
    pub(super) fn spot(&self, line: usize, at: f64) -> Spot {
        let [from, to] = self.ends[line];
        Spot {
            line,
            at,
            point: from.lerp(to, at),
        }
    }

    /// What points from a line into a side of it.
    pub(super) fn normal(&self, line: usize, side: Side) -> Vec2 {
        self.along[line].turn_90() * side.sign()
    }

    /// By how much the boundary turns at the begin of a line, in radians: above zero where a side has a corner
    /// that sticks out, below where the boundary sticks into it.
    pub(super) fn turn(&self, line: usize, side: Side) -> f64 {
        let (before, after) = (self.along[self.previous(line)], self.along[line]);
        before.cross(after).atan2(before.dot(after)) * side.sign()
    }

    /// The lines that meet at a place.
    pub(super) fn around_spot(&self, spot: &Spot) -> [usize; 2] {
        if spot.at <= 0.0 {
            [self.previous(spot.line), spot.line]
        } else if spot.at >= 1.0 {
            [spot.line, self.next(spot.line)]
        } else {
            [spot.line; 2]
        }
    }

    /// Whether a direction from a place on the boundary leads to a side.
    pub(super) fn faces(&self, spot: &Spot, direction: Vec2, side: Side) -> bool {
        let [before, after] = self.around_spot(spot);
        let [one, other] = [before, after].map(|line| self.normal(line, side).dot(direction));
        // From a corner that sticks out it does so if it does from both lines, else if it does from one.
        let out = self.along[before].cross(self.along[after]) * side.sign() >= 0.0;
        (if out { one.min(other) } else { one.max(other) }) > 1e-9 * direction.hypot()
    }

    /// The length of a ring.
    pub(super) fn around(&self, ring: usize) -> f64 {
        let last = self.rings[ring].end - 1;
        self.way[last] + self.length[last]
    }

    /// The way along a ring from one place to another; none where they are not on one ring.
    pub(super) fn way(&self, from: &Spot, to: &Spot) -> Option<f64> {
        let ring = self.ring[from.line];
        if ring != self.ring[to.line] {
            return None;
        }
        let place = |spot: &Spot| self.way[spot.line] + spot.at * self.length[spot.line];
        let way = place(to) - place(from);
        Some(if way < 0.0 {
            way + self.around(ring)
        } else {
            way
        })
    }

    /// The greater side of all.
    pub(super) fn side(&self) -> f64 {
        let whole = self.boxes.whole();
        whole.width().max(whole.height())
    }

    /// How many boxes and lines have been looked at since this was last asked.
    pub(super) fn looked(&self) -> usize {
        self.looked.take()
    }

    /// The largest disc that touches the boundary at a point, on the side of a normal, up to a diameter. Lines of
    /// which the point itself is a part are left out, and so is whatever lies within 14 degrees of the tangent:
    /// the next lines of a curve, and corners so blunt that the disc reaches into them by no more than 3 % of its
    /// radius. A line that probably stops it makes the search short.
    pub(super) fn ball(
        &self,
        point: Point,
        normal: Vec2,
        own: [usize; 2],
        most: f64,
        hint: Option<usize>,
    ) -> Ball {
        let search =
            |most: f64, opposite: f64| Touch::new(self, point, normal, own, most, opposite);
        let mut touch = search(most, most);
        if let Some(line) = hint {
            touch.meet_lines(line..line + 1);
        }
        // Without a good hint a small disc is tried first, since a large one may hold thousands of lines.
        let mut small = 16.0 * self.length[own[0]].min(self.length[own[1]]);
        while small < touch.ball.across {
            let mut near = search(small, (small * SLACK).min(most));
            self.looked
                .set(self.looked.get() + self.boxes.search(&mut near));
            if near.ball.stop.is_some() {
                touch = near;
                break;
            }
            small *= 16.0;
        }
        if small >= touch.ball.across {
            self.looked
                .set(self.looked.get() + self.boxes.search(&mut touch));
        }
        touch.found()
    }

    /// The same where only some lines can stop it.
    pub(super) fn ball_among(
        &self,
        point: Point,
        normal: Vec2,
        own: [usize; 2],
        most: f64,
        among: &[usize],
    ) -> Ball {
        let mut touch = Touch::new(self, point, normal, own, most, most);
        for line in among {
            touch.meet_lines(*line..line + 1);
        }
        self.looked.set(self.looked.get() + among.len());
        touch.found()
    }

    /// The place on the boundary next to a point, if it is within a distance.
    pub(super) fn nearest(&self, place: Point, within: f64) -> Option<Spot> {
        let mut nearest = Nearest {
            lines: self,
            place,
            within: within * within,
            found: None,
        };
        let looked = self.boxes.search(&mut nearest);
        self.looked.set(self.looked.get() + looked);
        nearest.found
    }

    /// The place on a ring next to a point, if it is within a distance; on any one where the ring has many lines.
    pub(super) fn nearest_on(&self, ring: usize, place: Point, within: f64) -> Option<Spot> {
        let lines = &self.rings[ring];
        if lines.len() > FEW {
            return self.nearest(place, within);
        }
        let mut nearest = Nearest {
            lines: self,
            place,
            within: within * within,
            found: None,
        };
        nearest.meet_lines(lines.clone());
        self.looked.set(self.looked.get() + lines.len());
        nearest.found
    }
}

/// The search for the largest disc that touches a point.
struct Touch<'a> {
    lines: &'a Lines,
    point: Point,
    normal: Vec2,
    own: [usize; 2],
    ball: Ball,
    /// The diameter of the smallest disc that touches an opposite side.
    opposite: f64,
    /// The diameter of the disc in which lines matter.
    reach: f64,
    /// Its middle, and the square of its radius.
    middle: Point,
    round: f64,
}

/// The ends of a line, as seen from a point in the direction of a normal.
#[expect(clippy::inline_always, reason = "most of what is measured is this")]
#[inline(always)]
pub(super) fn seen(lines: &Lines, line: usize, point: Point, normal: Vec2) -> [Vec2; 2] {
    let [from, to] = lines.ends[line];
    let (from, to) = (from - point, to - point);
    [
        Vec2::new(normal.cross(from), normal.dot(from)),
        Vec2::new(normal.cross(to), normal.dot(to)),
    ]
}

impl<'a> Touch<'a> {
    fn new(
        lines: &'a Lines,
        point: Point,
        normal: Vec2,
        own: [usize; 2],
        most: f64,
        opposite: f64,
    ) -> Self {
        let mut touch = Self {
            lines,
            point,
            normal,
            own,
            ball: Ball {
                across: most,
                stop: None,
                opposite: None,
            },
            opposite,
            reach: 0.0,
            middle: point,
            round: 0.0,
        };
        touch.shrink();
        touch
    }

    /// Reckons anew in which disc lines matter.
    fn shrink(&mut self) {
        let reach = self.ball.across * SLACK;
        self.reach = if reach < self.opposite {
            reach
        } else {
            self.opposite
        };
        let radius = self.reach / 2.0;
        self.middle = self.point + self.normal * radius;
        self.round = radius * radius;
    }

    /// The disc that was found.
    fn found(self) -> Ball {
        let reach = self.ball.across * SLACK;
        let mut ball = self.ball;
        ball.opposite = ball.opposite.filter(|(_, across)| *across <= reach);
        ball
    }

    fn ends(&self, line: usize) -> [Vec2; 2] {
        seen(self.lines, line, self.point, self.normal)
    }

    /// Whether a disc touches an opposite side, and not just a line that comes nearer further on.
    fn opposite(&self, line: usize, touch: Vec2, at: f64, across: f64) -> bool {
        if touch.x.abs() * LEAN.1 > touch.y * LEAN.0 {
            return false;
        }
        let on = match at {
            0.0 => self.lines.previous(line),
            1.0 => self.lines.next(line),
            _ => return true,
        };
        let further = touching(self.ends(on), LEAN.2);
        self.own.contains(&on)
            || further.is_none_or(|(_, further)| further >= across * (1.0 - 1e-12))
    }
}

impl Search for Touch<'_> {
    #[inline]
    fn wants(&self, area: &Rect) -> bool {
        near(self.middle, area) < self.round
    }

    fn meet(&mut self, _: &Rect, lines: Range<usize>) {
        self.meet_lines(lines);
    }
}

impl Touch<'_> {
    fn meet_lines(&mut self, lines: Range<usize>) {
        for line in lines {
            if self.own.contains(&line) {
                continue;
            }
            let ends = self.ends(line);
            // Lines beside the disc, above it or behind the point, as most are.
            let [from, to] = ends;
            let (reach, half) = (self.reach, self.reach / 2.0);
            if (from.y <= 0.0 && to.y <= 0.0)
                || (from.y > reach && to.y > reach)
                || (from.x > half && to.x > half)
                || (from.x < -half && to.x < -half)
            {
                continue;
            }
            let Some((at, across)) = touching(ends, LEAN.2) else {
                continue;
            };
            if across < self.ball.across {
                self.ball.across = across;
                self.ball.stop = Some(line);
                self.shrink();
            }
            let near = across <= self.ball.across * SLACK && across < self.opposite;
            if near && self.opposite(line, ends[0].lerp(ends[1], at), at, across) {
                self.opposite = across;
                self.ball.opposite = Some((self.lines.spot(line, at), across));
                self.shrink();
            }
        }
    }
}

/// Where the smallest disc that touches the origin from above (y upwards) touches a line, and its diameter:
/// of the part of the line that is at most so many times as far aside as above.
pub(super) fn touching([from, to]: [Vec2; 2], slope: f64) -> Option<(f64, f64)> {
    let mut part = (0.0_f64, 1.0_f64);
    let step = to - from;
    for aside in [1.0, -1.0] {
        let start = slope * from.y + aside * from.x;
        let end = slope * to.y + aside * to.x;
        if start < 0.0 && end < 0.0 {
            return None;
        }
        if start < 0.0 {
            part.0 = part.0.max(start / (start - end));
        } else if end < 0.0 {
            part.1 = part.1.min(start / (start - end));
        }
    }
    if part.0 > part.1 {
        return None;
    }
    // A circle through the origin with its centre above it at the radius r touches the line whose unit normal is m,
    // at a distance of k, where k - r m.y = r.
    let normal = Vec2::new(-step.y, step.x) / step.hypot();
    let away = normal.dot(from);
    let (normal, away) = if away < 0.0 {
        (-normal, -away)
    } else {
        (normal, away)
    };
    let radius = away / (1.0 + normal.y).max(1e-12);
    let touch = Vec2::new(0.0, radius) + normal * radius;
    let at = (touch - from).dot(step) / step.hypot2();
    let at = at.max(part.0).min(part.1);
    let touch = from + step * at;
    let across = if touch.y > 0.0 {
        touch.hypot2() / touch.y
    } else {
        0.0
    };
    Some((at, across))
}

/// More lines than so many are looked for in boxes each time.
pub(super) const FEW: usize = 24;

/// The search for the point next to a place.
struct Nearest<'a> {
    lines: &'a Lines,
    place: Point,
    /// The square of its distance.
    within: f64,
    found: Option<Spot>,
}

impl Search for Nearest<'_> {
    fn wants(&self, area: &Rect) -> bool {
        near(self.place, area) < self.within
    }

    fn meet(&mut self, _: &Rect, lines: Range<usize>) {
        self.meet_lines(lines);
    }
}

impl Nearest<'_> {
    fn meet_lines(&mut self, lines: Range<usize>) {
        for line in lines {
            let [from, to] = self.lines.ends[line];
            let at = foot(self.place, [from, to]);
            let point = from.lerp(to, at);
            let distance = point.distance_squared(self.place);
            if distance < self.within {
                (self.within, self.found) = (distance, Some(Spot { line, at, point }));
            }
        }
    }
}

/// How far along a line its nearest place to a point lies, from 0 to 1.
pub(super) fn foot(point: Point, [from, to]: [Point; 2]) -> f64 {
    let step = to - from;
    ((point - from).dot(step) / step.hypot2()).clamp(0.0, 1.0)
}

/// The square of the distance from a point to a box.
#[expect(clippy::inline_always, reason = "most of what is measured is this")]
#[inline(always)]
fn near(point: Point, area: &Rect) -> f64 {
    // Comparisons rather than `f64::max`, which is a call where programs are kept small.
    let x = [area.x0 - point.x, point.x - area.x1];
    let y = [area.y0 - point.y, point.y - area.y1];
    let x = if x[0] > x[1] { x[0] } else { x[1] };
    let y = if y[0] > y[1] { y[0] } else { y[1] };
    let (x, y) = (if x > 0.0 { x } else { 0.0 }, if y > 0.0 { y } else { 0.0 });
    x * x + y * y
}
