//! A boundary measured at points along it, and what follows for a limit.

use super::balls::{Ball, LEAN, Lines, Spot, foot};
use super::{MOST, Narrow, Place, Side, Tip};
use kurbo::{Point, Rect, Vec2};
use std::cmp::Ordering;
use std::collections::{BTreeSet, BinaryHeap};
use std::f64::consts::{PI, SQRT_2};
use std::ops::Range;

/// So many boxes and lines may be looked at while discs are measured, and then while they are judged.
const WORK: [usize; 2] = [100_000_000, 20_000_000];

/// Where sides that lean by less than this, in radians (25 degrees), end, something else begins: an end, a shoulder. Where
/// they lean by more, they close by and by.
const BLUNT: f64 = PI / 7.2;

/// Sides that lean by less, in radians, do not.
const LEVEL: f64 = 1e-3;

/// Where the width is least between wider parts, sides lean by less than this, in radians: not at all where they are
/// straight or curved, and by some degrees where curves are drawn as lines.
const EVEN: f64 = 0.1;

/// A tip widens to so many times the width of its end.
const SHARP: f64 = 4.0;

/// Corners that turn by more, in radians (10 degrees), are measured in several directions.
const CORNER: f64 = PI / 18.0;

/// A point on the boundary, what points from there into the region, and the disc there.
struct Sample {
    spot: Spot,
    normal: Vec2,
    own: [usize; 2],
    ball: Ball,
}

/// What lies on both sides of a stroke.
#[derive(Clone, Copy)]
struct Pair {
    a: Spot,
    b: Spot,
    /// The diameter of the disc between them.
    width: f64,
    /// By how much the sides lean, in radians.
    lean: f64,
    /// Whether the sides end there rather than close by and by.
    blunt: bool,
}

impl Pair {
    /// The way straight across.
    fn span(&self) -> f64 {
        self.a.point.distance(self.b.point)
    }

    fn middle(&self) -> Point {
        self.a.point.midpoint(self.b.point)
    }
}

/// What is met on the way along a stroke.
struct Walk {
    /// The last place at which there is an opposite side.
    last: Pair,
    /// Whether the stroke ends there.
    ends: bool,
    /// How wide it gets.
    widest: f64,
    /// Its width where it is as wide as the limit, or widest, and the way to there along its middle.
    limit: (f64, f64),
}

/// A square in which the middle of a disc may lie, and the most that its radius may be. Those with the largest ones
/// come first.
struct Square {
    most: f64,
    middle: Point,
    half: f64,
}

impl PartialEq for Square {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other).is_eq()
    }
}

impl Eq for Square {}

impl PartialOrd for Square {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Square {
    fn cmp(&self, other: &Self) -> Ordering {
        self.most.total_cmp(&other.most)
    }
}

/// A boundary measured at points along it.
pub(super) struct Survey<'a> {
    lines: &'a Lines,
    side: Side,
    /// The limit.
    below: f64,
    /// Discs are measured up to this diameter: in a direction of a corner they are up to 2.3 % larger than in the best one.
    reach: f64,
    samples: Vec<Sample>,
    /// The samples of each ring.
    rings: Vec<Range<usize>>,
    /// For each sample, another one of the same stretch; the first one names itself.
    stretch: Vec<usize>,
    work: usize,
    limit: usize,
    /// The least way from one sample to the next.
    floor: f64,
    complete: bool,
}

impl<'a> Survey<'a> {
    /// Measures discs up to a diameter.
    pub(super) fn new(lines: &'a Lines, side: Side, below: f64) -> Self {
        let mut survey = Self {
            lines,
            side,
            below,
            reach: below * 1.03,
            samples: Vec::new(),
            rings: Vec::new(),
            stretch: Vec::new(),
            work: 0,
            limit: WORK[0],
            floor: 0.0,
            complete: true,
        };
        let total: f64 = lines.length.iter().sum();
        // Lines are measured at least every half of the limit, and where it is narrow more often; lines much shorter
        // are taken together as long as they are nearly straight. Enormous drawings are measured more coarsely.
        survey.floor = (survey.reach / 256.0).max(total / 150_000.0);
        let least = survey.reach / 64.0;
        let mut hint = None;
        for ring in &lines.rings {
            let start = survey.samples.len();
            let (mut since, mut turned) = (f64::INFINITY, 0.0);
            for line in ring.clone() {
                let turn = lines.turn(line, side);
                turned += turn.abs();
                if !survey.goes_on() {
                    break;
                }
                if turn < -CORNER {
                    survey.fan(line, turn, &mut hint);
                }
                let length = lines.length[line];
                since += length;
                if since >= least || turned > CORNER {
                    survey.part(line, (0.0, 1.0), 2, &mut hint);
                    (since, turned) = (0.0, 0.0);
                }
            }
            survey.rings.push(start..survey.samples.len());
        }
        survey.join();
        survey
    }

    /// Measures a part of a line in the middle, and then in both halves where that is too far apart: between opposite
    /// sides, one and a half times their distance; elsewhere where it is narrow, so many more times only.
    fn part(&mut self, line: usize, (from, to): (f64, f64), more: u32, hint: &mut Option<usize>) {
        let at = f64::midpoint(from, to);
        let ball = self.lines.ball(
            self.lines.spot(line, at).point,
            self.lines.normal(line, self.side),
            [line; 2],
            self.reach,
            *hint,
        );
        *hint = ball.stop;
        let length = self.lines.length[line] * (to - from);
        let (apart, more) = if ball.across >= self.reach {
            (self.reach / 2.0, more)
        } else if ball.opposite.is_some() {
            (1.5 * ball.across, more)
        } else {
            (1.5 * ball.across, more.saturating_sub(1))
        };
        let halves = length > apart.max(self.floor) && (more > 0 || length > self.reach / 2.0);
        if halves {
            self.part(line, (from, at), more, hint);
        }
        let spot = self.lines.spot(line, at);
        self.samples.push(Sample {
            spot,
            normal: self.lines.normal(line, self.side),
            own: [line; 2],
            ball,
        });
        if halves {
            self.part(line, (at, to), more, hint);
        }
    }

    /// Measures in the directions from a corner: every direction from it is within 12 degrees of one of them, and where
    /// it is narrow within 4.
    fn fan(&mut self, line: usize, turn: f64, hint: &mut Option<usize>) {
        let start = self.samples.len();
        let before = self.lines.previous(line);
        for step in [PI / 7.5, PI / 22.5] {
            self.samples.truncate(start);
            let count = (-turn / step).ceil();
            let mut place = 0.5;
            while place < count {
                let turned = Vec2::from_angle(turn * self.side.sign() * place / count);
                let normal = self.lines.normal(before, self.side).rotate_scale(turned);
                self.measure(self.lines.spot(line, 0.0), normal, [before, line], hint);
                place += 1.0;
            }
            if (start..self.samples.len()).all(|place| !self.near(place)) {
                break;
            }
        }
    }

    fn measure(&mut self, spot: Spot, normal: Vec2, own: [usize; 2], hint: &mut Option<usize>) {
        let ball = self.lines.ball(spot.point, normal, own, self.reach, *hint);
        *hint = ball.stop;
        self.samples.push(Sample {
            spot,
            normal,
            own,
            ball,
        });
    }

    /// Whether a disc was stopped.
    fn near(&self, place: usize) -> bool {
        self.samples[place].ball.across < self.reach
    }

    /// Whether it is narrower than the limit.
    fn thin(&self, place: usize) -> bool {
        self.samples[place].ball.across < self.below
    }

    /// What lies opposite of a sample, where the width is less than a limit that may be above that of all.
    fn pair(&self, place: usize, most: f64) -> Option<Pair> {
        let sample = &self.samples[place];
        let ball = if !self.near(place) && most > self.reach {
            self.lines
                .ball(sample.spot.point, sample.normal, sample.own, most, None)
        } else {
            sample.ball
        };
        opposite(&sample.spot, sample.normal, &ball)
    }

    fn width(&self, place: usize) -> f64 {
        let opposite = self.samples[place].ball.opposite;
        opposite.map_or(f64::INFINITY, |(_, width)| width)
    }

    fn ring(&self, place: usize) -> &Range<usize> {
        &self.rings[self.lines.ring[self.samples[place].spot.line]]
    }

    fn after(&self, place: usize, ahead: bool) -> usize {
        let ring = self.ring(place);
        match (ahead, place + 1 == ring.end, place == ring.start) {
            (true, true, _) => ring.start,
            (true, false, _) => place + 1,
            (false, _, true) => ring.end - 1,
            (false, _, false) => place - 1,
        }
    }

    /// The way along a ring, ahead or back.
    fn way(&self, from: &Spot, to: &Spot, ahead: bool) -> Option<f64> {
        if ahead {
            self.lines.way(from, to)
        } else {
            self.lines.way(to, from)
        }
    }

    /// The sample next to the place opposite of one; in a corner that of which the direction is the most like.
    fn across_from(&self, from: &Spot, to: &Spot) -> Option<usize> {
        let nearest = self.nearest(to)?;
        let spot = &self.samples[nearest].spot;
        let towards = |place: usize| self.samples[place].normal.dot(from.point - to.point);
        let mut best = nearest;
        for ahead in [true, false] {
            let mut place = self.after(nearest, ahead);
            while place != nearest && self.samples[place].spot.point == spot.point {
                if towards(place) > towards(best) {
                    best = place;
                }
                place = self.after(place, ahead);
            }
        }
        Some(best)
    }

    /// The sample next to a place.
    fn nearest(&self, spot: &Spot) -> Option<usize> {
        let ring = self.rings.get(self.lines.ring[spot.line])?;
        let samples = &self.samples[ring.clone()];
        let before = |sample: &Sample| (sample.spot.line, sample.spot.at) < (spot.line, spot.at);
        let next = ring.start + samples.partition_point(before);
        let next = if next < ring.end { next } else { ring.start };
        if ring.is_empty() {
            return None;
        }
        let last = self.after(next, false);
        let to = self.lines.way(spot, &self.samples[next].spot)?;
        let from = self.lines.way(&self.samples[last].spot, spot)?;
        Some(if to < from { next } else { last })
    }

    fn root(&self, mut place: usize) -> usize {
        while self.stretch[place] != place {
            place = self.stretch[place];
        }
        place
    }

    fn unite(&mut self, one: usize, other: usize) {
        let (one, other) = (self.root(one), self.root(other));
        let first = one.min(other);
        self.stretch[one] = first;
        self.stretch[other] = first;
    }

    /// Finds which samples belong to one stretch.
    fn join(&mut self) {
        self.stretch = (0..self.samples.len()).collect();
        for place in 0..self.samples.len() {
            if !self.thin(place) {
                continue;
            }
            let next = self.after(place, true);
            if self.thin(next) {
                self.unite(place, next);
            }
            let Sample { spot, ball, .. } = &self.samples[place];
            let opposite = ball
                .opposite
                .and_then(|(opposite, _)| self.across_from(spot, &opposite));
            if let Some(opposite) = opposite.filter(|opposite| self.thin(*opposite)) {
                self.unite(place, opposite);
            }
            self.stretch[place] = self.root(place);
        }
        for place in 0..self.samples.len() {
            self.stretch[place] = self.root(place);
        }
    }

    /// The last pair of a stroke that ends, in one direction, between a sample and the next one.
    fn end(&self, place: usize, pair: &Pair, ahead: bool) -> Option<Pair> {
        let next = self.after(place, ahead);
        let around = self.way(&pair.a, &pair.b, ahead)?;
        let step = self.way(&pair.a, &self.samples[next].spot, ahead);
        if next == place || step.is_some_and(|step| around <= step * (1.0 + 1e-9)) {
            return Some(self.last(place, pair, ahead));
        }
        // What is left of a wedge is at most 4.13 times as long as it is wide, and that of a straight end twice.
        let closes = |pair: &Pair, around: f64| around <= 4.5 * pair.width;
        let left = self.lines.length[pair.a.line] * if ahead { 1.0 - pair.a.at } else { pair.a.at };
        if !closes(pair, around - 2.0 * left) || self.pair(next, self.reach * 2.0).is_some() {
            return None;
        }
        let last = self.last(place, pair, ahead);
        let around = self.way(&last.a, &last.b, ahead)?;
        closes(&last, around).then_some(last)
    }

    /// Walks along a stroke until it is so wide, and wider than the limit, or until it ends.
    fn walk(&self, place: usize, start: &Pair, ahead: bool, enough: f64) -> Walk {
        let mut widest = start.span();
        let mut walk = Walk {
            last: *start,
            ends: false,
            widest,
            limit: (widest.min(self.below), 0.0),
        };
        let enough = enough.max(self.below);
        let mut place = place;
        let mut way = 0.0;
        for _ in self.ring(place).clone().take(2000) {
            if let Some(last) = self.end(place, &walk.last, ahead) {
                walk.last = last;
                walk.ends = true;
                break;
            }
            if widest >= enough {
                break;
            }
            place = self.after(place, ahead);
            let Some(pair) = self.pair(place, enough * 2.0) else {
                break;
            };
            let step = walk.last.middle().distance(pair.middle());
            let span = pair.span();
            if span > widest {
                if widest < self.below {
                    let rise = span - walk.last.span();
                    let part = ((self.below - walk.last.span()) / rise).min(1.0);
                    walk.limit = (span.min(self.below), way + step * part);
                }
                widest = span;
            }
            walk.last = pair;
            way += step;
        }
        walk.widest = widest;
        walk
    }

    /// The last pair between a sample and the next one.
    fn last(&self, place: usize, pair: &Pair, ahead: bool) -> Pair {
        let mut best = *pair;
        let next = &self.samples[self.after(place, ahead)];
        let line = pair.a.line;
        let measure = |spot: Spot| {
            let ball = self.lines.ball(
                spot.point,
                self.lines.normal(spot.line, self.side),
                [spot.line; 2],
                self.reach * 2.0,
                Some(pair.b.line),
            );
            (
                opposite(&spot, self.lines.normal(spot.line, self.side), &ball),
                ball.across,
            )
        };
        if self.lines.length[line] >= pair.width / 4.0 {
            if pair.lean > LEVEL {
                // Up to the disc that just touches the end, which is the same from both sides.
                let free = |pair: &Pair, across: f64| pair.width <= across * (1.0 + 1e-9);
                let (mut good, mut bad) = (pair.a.at, if ahead { 1.0 } else { 0.0 });
                if !free(pair, self.samples[place].ball.across) {
                    let before = &self.samples[self.after(place, !ahead)].spot;
                    (good, bad) = (
                        if before.line == line {
                            before.at
                        } else {
                            1.0 - bad
                        },
                        good,
                    );
                }
                let mut on = line;
                let mut left = self.way(&pair.a, &pair.b, ahead);
                for _ in 0..16 {
                    // All of this line, if the pair just before its end is free too, and on with the next one.
                    let (found, across) = measure(self.lines.spot(on, bad + (good - bad) * 1e-9));
                    let Some(found) = found.filter(|found| free(found, across)) else {
                        break;
                    };
                    let way = self.way(&found.a, &found.b, ahead);
                    if way > left {
                        // Round the point and on along the other side.
                        best.blunt = best.lean < BLUNT;
                        return best;
                    }
                    (best, left) = (found, way);
                    on = if ahead {
                        self.lines.next(on)
                    } else {
                        self.lines.previous(on)
                    };
                    good = if ahead { 0.0 } else { 1.0 };
                    bad = if on == next.spot.line {
                        next.spot.at
                    } else {
                        1.0 - good
                    };
                }
                for _ in 0..40 {
                    let at = f64::midpoint(good, bad);
                    let (found, across) = measure(self.lines.spot(on, at));
                    match found {
                        Some(found) if free(&found, across) => (best, good) = (found, at),
                        _ => bad = at,
                    }
                }
            }
            best.blunt = best.lean < BLUNT;
            return best;
        }
        // What points across from a short line of a curve is right in its middle only.
        let mut beyond = next.ball.across;
        let mut line = line;
        for _ in 0..64 {
            line = if ahead {
                self.lines.next(line)
            } else {
                self.lines.previous(line)
            };
            if line == next.spot.line {
                break;
            }
            let (found, across) = measure(self.lines.spot(line, 0.5));
            let Some(found) = found else {
                beyond = across;
                break;
            };
            best = found;
        }
        let curved = [best.a, best.b].map(|spot| {
            let turns = [spot.line, self.lines.next(spot.line)]
                .map(|line| self.lines.turn(line, self.side).abs());
            turns
                .into_iter()
                .filter(|turn| *turn < 0.35)
                .fold(0.0, f64::max)
        });
        best.blunt =
            best.lean + 1.5 * (curved[0] + curved[1]) < BLUNT && beyond < 0.98 * best.width;
        best
    }

    /// By how much the sharpest corner between the two sides of an end turns, where it is, and the place in the middle
    /// of the way round.
    fn round(&self, pair: &Pair, ahead: bool) -> Option<(f64, Spot, Spot)> {
        let (from, to) = if ahead {
            (&pair.a, &pair.b)
        } else {
            (&pair.b, &pair.a)
        };
        let half = self.lines.way(from, to)? / 2.0;
        let (mut turn, mut corner, mut middle) = (0.0, *from, *from);
        let mut line = from.line;
        let mut before = 0.0;
        for _ in 0..10_000 {
            let start = self
                .lines
                .spot(line, if line == from.line { from.at } else { 0.0 });
            let last = line == to.line && to.at >= start.at;
            let left = self.lines.length[line] * (1.0 - start.at);
            if before <= half {
                let at = start.at + (half - before) / self.lines.length[line];
                middle = self.lines.spot(line, at.min(1.0));
            }
            if last {
                break;
            }
            before += left;
            line = self.lines.next(line);
            let turned = self.lines.turn(line, self.side);
            if turned > turn {
                (turn, corner) = (turned, self.lines.spot(line, 0.0));
            }
        }
        Some((turn, corner, middle))
    }

    /// The tip in one direction from a sample, if it is one.
    fn tip(&self, place: usize, ahead: bool) -> Option<(Spot, Tip)> {
        let start = self.pair(place, self.reach)?;
        let there = self.walk(place, &start, ahead, SHARP * start.width);
        if !there.ends || there.widest > 1.05 * start.span() {
            return None;
        }
        let last = there.last;
        let (turn, corner, middle) = self.round(&last, ahead)?;
        let pointed = turn > PI - 2.0 * LEAN.0.asin();
        let blunt = !pointed && (last.blunt || last.lean < LEVEL);
        let back = self.walk(place, &start, !ahead, SHARP * start.width);
        let (point, end) = match (pointed, blunt) {
            (true, _) => (corner, 0.0),
            (_, true) => (middle, last.width),
            _ => (middle, 0.0),
        };
        let (width, way) = back.limit;
        let way =
            way + start.middle().distance(last.middle()) + last.middle().distance(point.point);
        let angle = 2.0 * ((width - end) / 2.0).atan2(way);
        let sharp = pointed || angle < 2.0 * LEAN.0.asin();
        let sharp = sharp && (!blunt || back.widest >= SHARP * end);
        sharp.then(|| {
            (
                point,
                Tip {
                    point: point.point,
                    angle: angle.to_degrees(),
                    length: way,
                    end,
                },
            )
        })
    }

    /// The directions in which a stroke ends next to a sample that is the narrowest one there.
    fn directions(&self, place: usize) -> impl Iterator<Item = bool> {
        let pair = self.pair(place, self.reach);
        [true, false]
            .into_iter()
            .filter(move |ahead| pair.is_some_and(|pair| self.end(place, &pair, *ahead).is_some()))
    }

    /// Whether a sample lies in a tip.
    fn in_tip(&self, place: usize) -> bool {
        [true, false]
            .into_iter()
            .any(|ahead| self.tip(place, ahead).is_some())
    }

    /// The place at a sample that is the narrowest one there.
    fn place(&self, place: usize) -> Option<Place> {
        let pair = self.pair(place, self.reach)?;
        if let Some(place) = self.straight(&pair) {
            return Some(place);
        }
        let mut least = pair;
        let mut end = false;
        for ahead in [true, false] {
            let next = self.after(place, ahead);
            if pair.lean > LEVEL && self.pair(next, self.reach * 2.0).is_none() {
                let ending = self.last(place, &pair, ahead);
                if ending.width <= least.width {
                    (least, end) = (ending, true);
                }
                if ending.width <= pair.width
                    && !(ending.blunt && ending.width * SHARP > pair.width)
                {
                    return None;
                }
            }
        }
        let level = end || least.lean < EVEN;
        level.then_some(Place {
            a: least.a.point,
            b: least.b.point,
            width: least.width,
        })
    }

    /// The shortest way straight across near a pair, where there is one.
    fn straight(&self, pair: &Pair) -> Option<Place> {
        let (mut one, mut other) = (pair.a.line, pair.b.line);
        let mut shortest = f64::INFINITY;
        let mut best: Option<Place> = None;
        for _ in 0..64 {
            let mut better = None;
            for a in [self.lines.previous(one), one, self.lines.next(one)] {
                for b in [self.lines.previous(other), other, self.lines.next(other)] {
                    let Some((width, a, b)) = self.across(a, b) else {
                        continue;
                    };
                    let direction = (b.point - a.point) / width;
                    let pull = self.pull(&a, direction).max(self.pull(&b, -direction));
                    let moved = a
                        .point
                        .distance(pair.a.point)
                        .max(b.point.distance(pair.b.point));
                    if pull > LEAN.0 || moved > pair.width || width > pair.width * 1.001 {
                        continue;
                    }
                    if width < shortest * (1.0 - 1e-9) {
                        shortest = width;
                        better = Some((a.line, b.line));
                    }
                    if pull < 1e-6 && best.is_none_or(|best| width < best.width) {
                        let (a, b) = (a.point, b.point);
                        let near = self
                            .lines
                            .nearest(a.midpoint(b), width / 2.0 * (LEAN.1 - 0.01));
                        if near.is_none() {
                            best = Some(Place { a, b, width });
                        }
                    }
                }
            }
            let Some(lines) = better else { break };
            (one, other) = lines;
        }
        best
    }

    /// The shortest way from one line to another that is not next to it.
    fn across(&self, one: usize, other: usize) -> Option<(f64, Spot, Spot)> {
        let lines = self.lines;
        if one == other || lines.next(one) == other || lines.next(other) == one {
            return None;
        }
        let mut best: Option<(f64, Spot, Spot)> = None;
        for (from, to, swapped) in [(one, other, false), (other, one, true)] {
            for at in [0.0, 1.0] {
                let a = lines.spot(from, at);
                let b = lines.spot(to, foot(a.point, lines.ends[to]));
                let length = a.point.distance(b.point);
                if best.is_none_or(|(least, ..)| length < least) {
                    best = Some(if swapped {
                        (length, b, a)
                    } else {
                        (length, a, b)
                    });
                }
            }
        }
        best.filter(|(length, ..)| *length > 0.0)
    }

    /// How much nearer one gets to what lies in a direction on the way along the boundary from a place, in parts of
    /// that way; 1 where the direction is not to this side.
    fn pull(&self, spot: &Spot, direction: Vec2) -> f64 {
        if !self.lines.faces(spot, direction, self.side) {
            return 1.0;
        }
        let [before, after] = self.lines.around_spot(spot);
        (-self.lines.along[before].dot(direction)).max(self.lines.along[after].dot(direction))
    }

    /// The largest disc in the piece or hole of a sample, which has no ring in it: the square round it is quartered
    /// wherever a larger one may be. To 1 in 100 000.
    fn disc(&self, place: usize) -> Place {
        let sample = &self.samples[place];
        let ring = self.lines.ring[sample.spot.line];
        let mut radius = sample.ball.across / 2.0;
        let mut centre = sample.spot.point + sample.normal * radius;
        let mut touch = sample.spot.point;
        let ends = self.lines.rings[ring]
            .clone()
            .map(|line| Rect::from_points(self.lines.ends[line][0], self.lines.ends[line][1]));
        let whole = ends.reduce(|all, end| all.union(end)).unwrap_or_default();
        let mut squares = BinaryHeap::from([Square {
            most: f64::INFINITY,
            middle: whole.center(),
            half: whole.width().max(whole.height()) / 2.0,
        }]);
        for _ in 0..2000 {
            let Some(square) = squares
                .pop()
                .filter(|square| square.most > radius * 1.000_01)
            else {
                break;
            };
            for (x, y) in [(-1.0, -1.0), (1.0, -1.0), (-1.0, 1.0), (1.0, 1.0)] {
                let half = square.half / 2.0;
                let middle = square.middle + Vec2::new(x, y) * half;
                // From the middle of a square it is not further than so to any point of it.
                let around = half * SQRT_2;
                let Some(spot) = self.lines.nearest(middle, f64::INFINITY) else {
                    continue;
                };
                let distance = spot.point.distance(middle);
                let inside = self.lines.ring[spot.line] == ring
                    && self.lines.faces(&spot, middle - spot.point, self.side);
                if inside && distance > radius {
                    (radius, centre, touch) = (distance, middle, spot.point);
                }
                squares.push(Square {
                    most: if inside { distance } else { -distance } + around,
                    middle,
                    half,
                });
            }
        }
        Place {
            a: touch,
            b: centre + (centre - touch),
            width: 2.0 * radius,
        }
    }

    /// The samples narrower than the ones next to them, by stretch, and the narrowest ones first.
    fn candidates(&self) -> Vec<(usize, usize)> {
        let mut found = Vec::new();
        let mut lowest: Vec<Option<usize>> = vec![None; self.samples.len()];
        let equal = self.reach * 1e-9;
        for place in 0..self.samples.len() {
            let width = self.width(place);
            if width >= self.reach {
                continue;
            }
            let low = &mut lowest[self.stretch[place]];
            if low.is_none_or(|low| self.width(low) > width) {
                *low = Some(place);
            }
            let [before, after] = [false, true].map(|ahead| self.width(self.after(place, ahead)));
            let least = before >= width - equal && after >= width - equal;
            if least && (before > width + equal || after > width + equal) {
                found.push((self.stretch[place], place));
            }
        }
        found.extend(
            lowest
                .into_iter()
                .flatten()
                .map(|place| (self.stretch[place], place)),
        );
        found.sort_by(|one, other| {
            let widths = self.width(one.1).total_cmp(&self.width(other.1));
            one.0.cmp(&other.0).then(widths).then(one.1.cmp(&other.1))
        });
        found.dedup();
        found
    }

    /// The rings of which every sample is thin and touches nothing but the ring itself: whole pieces without holes.
    fn whole(&self) -> impl Iterator<Item = (usize, usize)> {
        self.rings.iter().enumerate().filter_map(|(number, ring)| {
            let mut widest: Option<usize> = None;
            for place in ring.clone() {
                let stop = self.samples[place].ball.stop;
                if !self.thin(place) || stop.is_none_or(|line| self.lines.ring[line] != number) {
                    return None;
                }
                if widest.is_none_or(|widest| {
                    self.samples[widest].ball.across < self.samples[place].ball.across
                }) {
                    widest = Some(place);
                }
            }
            widest.map(|widest| (self.stretch[widest], widest))
        })
    }

    /// What is narrower than the limit.
    pub(super) fn narrow(mut self) -> Narrow {
        (self.work, self.limit) = (0, WORK[1]);
        let candidates = self.candidates();
        let mut places: Vec<Place> = Vec::new();
        let mut tips: Vec<Tip> = Vec::new();
        let mut ended = BTreeSet::new();
        let mut shown = BTreeSet::new();
        let mut counted = BTreeSet::new();
        for stretch in candidates.chunk_by(|one, other| one.0 == other.0) {
            let mut best: Option<Place> = None;
            let mut tried = 0;
            let known = tips.len();
            for &(_, place) in stretch {
                if !self.goes_on() {
                    break;
                }
                let mut tip = false;
                for (spot, found) in self
                    .directions(place)
                    .filter_map(|ahead| self.tip(place, ahead))
                {
                    tip = true;
                    // Both sides of a tip find it.
                    let Some(near) = self.nearest(&spot) else {
                        continue;
                    };
                    let same = [near, self.after(near, true), self.after(near, false)];
                    if !same.iter().any(|place| ended.contains(place)) {
                        ended.insert(near);
                        tips.push(found);
                    }
                }
                let narrow = best.is_none_or(|best| self.width(place) < best.width * 1.03);
                if tip || !narrow || tried > 16 || self.in_tip(place) {
                    continue;
                }
                if let Some(found) = self.place(place) {
                    tried += 1;
                    if best.is_none_or(|best| found.width < best.width) {
                        best = Some(found);
                    }
                }
            }
            if let Some(&(stretch, _)) = stretch.first() {
                if best.is_some_and(|best| best.width < self.below) || tips.len() > known {
                    shown.insert(stretch);
                }
                if let Some(best) = best {
                    counted.insert(stretch);
                    places.extend((best.width < self.below).then_some(best));
                }
            }
        }
        let whole: Vec<_> = self
            .whole()
            .filter(|(stretch, _)| !counted.contains(stretch))
            .collect();
        shown.extend(whole.iter().map(|(stretch, _)| *stretch));
        let count = self.discs(&whole, &mut places);
        places.truncate(MOST);
        tips.sort_by(|one, other| other.length.total_cmp(&one.length));
        let tip_count = tips.len();
        tips.truncate(MOST);
        Narrow {
            places,
            count,
            tips,
            tip_count,
            runs: self.runs(&shown),
            complete: self.complete,
        }
    }

    /// Adds the narrowest of the pieces that are as wide as the largest disc in them, puts all in order, and tells how
    /// many there are.
    fn discs(&mut self, whole: &[(usize, usize)], places: &mut Vec<Place>) -> usize {
        let mut count = places.len() + whole.len();
        // A disc is at least as large as that of a sample: those with small ones come first.
        let across = |place: usize| self.samples[place].ball.across;
        let mut order: Vec<usize> = whole.iter().map(|(_, place)| *place).collect();
        order.sort_by(|one, other| across(*one).total_cmp(&across(*other)).then(one.cmp(other)));
        let mut listed = 0;
        for place in order.into_iter().take(5 * MOST) {
            if listed == MOST || !self.goes_on() {
                break;
            }
            let disc = self.disc(place);
            if disc.width < self.below {
                listed += 1;
                places.push(disc);
            } else {
                count -= 1;
            }
        }
        places.sort_by(|one, other| one.width.total_cmp(&other.width));
        count
    }

    /// Whether more may be looked at.
    fn goes_on(&mut self) -> bool {
        self.work += self.lines.looked();
        let goes_on = self.work <= self.limit;
        self.complete &= goes_on;
        goes_on
    }

    /// The parts of the boundary along stretches.
    fn runs(&self, shown: &BTreeSet<usize>) -> Vec<Vec<Point>> {
        let mut runs = Vec::new();
        for ring in &self.rings {
            let inside = |place: usize| self.thin(place) && shown.contains(&self.stretch[place]);
            let first = ring
                .clone()
                .find(|place| !inside(*place))
                .unwrap_or(ring.start);
            let mut run: Vec<Point> = Vec::new();
            let order = (first..ring.end)
                .chain(ring.start..=first)
                .filter(|place| ring.contains(place));
            for place in order {
                if !inside(place) {
                    runs.extend(Some(std::mem::take(&mut run)).filter(|run| run.len() > 1));
                    continue;
                }
                if !run.is_empty() {
                    let before = self.samples[self.after(place, false)].spot.line;
                    let mut line = before;
                    while line != self.samples[place].spot.line {
                        line = self.lines.next(line);
                        run.push(self.lines.ends[line][0]);
                    }
                }
                run.push(self.samples[place].spot.point);
            }
            runs.extend(Some(run).filter(|run| run.len() > 1));
        }
        runs
    }
}

/// The pair at a place, where there is an opposite side.
fn opposite(spot: &Spot, normal: Vec2, ball: &Ball) -> Option<Pair> {
    let (opposite, width) = ball.opposite?;
    let across = opposite.point - spot.point;
    let lean = 2.0 * normal.cross(across).atan2(normal.dot(across)).abs();
    Some(Pair {
        a: *spot,
        b: opposite,
        width,
        lean,
        blunt: false,
    })
}
