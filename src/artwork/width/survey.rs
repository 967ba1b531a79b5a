//! A boundary measured at points along it, and what follows for a limit.

use super::balls::{Ball, LEAN, Lines, Spot, foot};
use super::{MOST, Narrow, Place, Side, Tip};
use kurbo::{Point, Vec2};
use std::collections::BTreeSet;
use std::f64::consts::PI;
use std::ops::Range;

/// So many boxes and lines may be looked at while discs are measured, and then while they are judged.
const WORK: [usize; 2] = [100_000_000, 20_000_000];

/// Sides that lean by less, in radians (20 degrees), where they meet an end have met something straight or round; where
/// they lean by more, they close by and by.
const BLUNT: f64 = PI / 9.0;

/// A tip widens to so many times the width of its end.
const SHARP: f64 = 4.0;

/// Corners that turn by more, in radians (10 degrees), are measured in several directions.
const CORNER: f64 = PI / 18.0;

/// The directions in a corner are so far apart at most, in radians (24 degrees): every direction from it is within
/// 14 degrees of one of them.
const FAN: f64 = PI / 7.5;

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

/// A boundary measured at points along it.
pub(super) struct Survey<'a> {
    lines: &'a Lines,
    side: Side,
    below: f64,
    samples: Vec<Sample>,
    /// The samples of each ring.
    rings: Vec<Range<usize>>,
    /// For each sample, another one of the same stretch; the first one names itself.
    stretch: Vec<usize>,
    work: usize,
    limit: usize,
    complete: bool,
}

impl<'a> Survey<'a> {
    /// Measures discs up to a diameter.
    pub(super) fn new(lines: &'a Lines, side: Side, below: f64) -> Self {
        let mut survey = Self {
            lines,
            side,
            below,
            samples: Vec::new(),
            rings: Vec::new(),
            stretch: Vec::new(),
            work: 0,
            limit: WORK[0],
            complete: true,
        };
        let total: f64 = lines.length.iter().sum();
        // Lines are measured at least every third of the limit, but for enormous drawings; lines much shorter than
        // it are taken together as long as they are nearly straight.
        let apart = (below / 3.0).max(total / 300_000.0);
        let least = below / 64.0;
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
                    let count = (-turn / FAN).ceil();
                    let mut place = 0.5;
                    while place < count {
                        let normal = lines.normal(lines.previous(line), side);
                        let angle = turn * side.sign() * place / count;
                        let (sin, cos) = angle.sin_cos();
                        let normal = Vec2::new(
                            cos * normal.x - sin * normal.y,
                            sin * normal.x + cos * normal.y,
                        );
                        let own = [lines.previous(line), line];
                        survey.measure(lines.spot(line, 0.0), normal, own, &mut hint);
                        place += 1.0;
                    }
                }
                let length = lines.length[line];
                since += length;
                if since >= least || turned > CORNER {
                    // An odd number, so that the middle is among them.
                    let count = 1.0 + 2.0 * (length / apart / 2.0).floor();
                    let mut place = 0.5;
                    while place < count {
                        survey.measure(
                            lines.spot(line, place / count),
                            lines.normal(line, side),
                            [line; 2],
                            &mut hint,
                        );
                        place += 1.0;
                    }
                    (since, turned) = (0.0, 0.0);
                }
            }
            survey.rings.push(start..survey.samples.len());
        }
        survey.join();
        survey
    }

    fn measure(&mut self, spot: Spot, normal: Vec2, own: [usize; 2], hint: &mut Option<usize>) {
        let ball = self.lines.ball(spot.point, normal, own, self.below, *hint);
        *hint = ball.stop;
        self.samples.push(Sample {
            spot,
            normal,
            own,
            ball,
        });
    }

    fn thin(&self, place: usize) -> bool {
        self.samples[place].ball.across < self.below
    }

    /// What lies opposite of a sample, where the width is less than a limit that may be above that of all.
    fn pair(&self, place: usize, most: f64) -> Option<Pair> {
        let sample = &self.samples[place];
        let ball = if !self.thin(place) && most > self.below {
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
            let opposite = self.samples[place].ball.opposite;
            let opposite = opposite.and_then(|(spot, _)| self.nearest(&spot));
            if let Some(opposite) = opposite.filter(|opposite| self.thin(*opposite)) {
                self.unite(place, opposite);
            }
            self.stretch[place] = self.root(place);
        }
        for place in 0..self.samples.len() {
            self.stretch[place] = self.root(place);
        }
    }

    /// Whether a stroke ends, in one direction, between a sample and the next one.
    fn ends(&self, place: usize, pair: &Pair, ahead: bool) -> bool {
        let next = self.after(place, ahead);
        let Some(around) = self.way(&pair.a, &pair.b, ahead) else {
            return false;
        };
        let step = self.way(&pair.a, &self.samples[next].spot, ahead);
        let passes = next == place || step.is_some_and(|step| around <= step * (1.0 + 1e-9));
        // What is left of a wedge is at most 4.13 times as long as it is wide, and that of a straight end twice.
        passes || (around <= 4.5 * pair.width && self.pair(next, self.below * 2.0).is_none())
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
            walk.ends = self.ends(place, &walk.last, ahead);
            if walk.ends || widest >= enough {
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

    /// The last pair between a sample and the end of its line.
    fn last(&self, pair: &Pair, ahead: bool) -> Pair {
        let mut best = *pair;
        if pair.lean < 1e-3 {
            return best;
        }
        let (mut good, mut bad) = (pair.a.at, if ahead { 1.0 } else { 0.0 });
        for _ in 0..30 {
            let at = f64::midpoint(good, bad);
            let spot = self.lines.spot(pair.a.line, at);
            let ball = self.lines.ball_at(&spot, self.side, self.below);
            let normal = self.lines.normal(spot.line, self.side);
            if let Some(pair) = opposite(&spot, normal, &ball) {
                best = pair;
                good = at;
            } else {
                bad = at;
            }
        }
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
        let start = self.pair(place, self.below)?;
        let there = self.walk(place, &start, ahead, SHARP * start.width);
        if !there.ends || there.widest > 1.05 * start.span() {
            return None;
        }
        let last = self.last(&there.last, ahead);
        let (turn, corner, middle) = self.round(&last, ahead)?;
        let pointed = turn > PI - 2.0 * LEAN.0.asin();
        let blunt = !pointed && last.lean < BLUNT;
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
        let pair = self.pair(place, self.below);
        [true, false]
            .into_iter()
            .filter(move |ahead| pair.is_some_and(|pair| self.ends(place, &pair, *ahead)))
    }

    /// Whether a sample lies in a tip.
    fn in_tip(&self, place: usize) -> bool {
        [true, false]
            .into_iter()
            .any(|ahead| self.tip(place, ahead).is_some())
    }

    /// The place at a sample that is the narrowest one there.
    fn place(&self, place: usize) -> Option<Place> {
        let mut pair = self.pair(place, self.below)?;
        if let Some(place) = self.straight(&pair) {
            return Some(place);
        }
        for ahead in [true, false] {
            let next = self.after(place, ahead);
            if pair.lean > 1e-3 && self.pair(next, self.below * 2.0).is_none() {
                pair = self.last(&pair, ahead);
                if pair.lean >= BLUNT {
                    return None;
                }
            }
        }
        Some(Place {
            a: pair.a.point,
            b: pair.b.point,
            width: pair.width,
        })
    }

    /// The shortest way straight across near a pair, where there is one.
    fn straight(&self, pair: &Pair) -> Option<Place> {
        let (mut one, mut other) = (pair.a.line, pair.b.line);
        let mut best: Option<(f64, Spot, Spot)> = None;
        for _ in 0..64 {
            let mut better = None;
            for a in [self.lines.previous(one), one, self.lines.next(one)] {
                for b in [self.lines.previous(other), other, self.lines.next(other)] {
                    let shortest = best.map_or(f64::INFINITY, |(length, ..)| length);
                    if let Some(found) = self
                        .across(a, b)
                        .filter(|(length, ..)| *length < shortest * (1.0 - 1e-9))
                    {
                        best = Some(found);
                        better = best;
                    }
                }
            }
            let Some((_, a, b)) = better else { break };
            (one, other) = (a.line, b.line);
        }
        let (width, a, b) = best?;
        let direction = (b.point - a.point) / width;
        let least = self.pull(&a, direction).max(self.pull(&b, -direction)) < 1e-6;
        let least = least && width < pair.width * 1.001;
        (least
            && self
                .lines
                .clear(a.point.midpoint(b.point), width / 2.0 * (LEAN.1 - 0.01)))
        .then_some(Place {
            a: a.point,
            b: b.point,
            width,
        })
    }

    /// The shortest way from one line to another, where it is straight across for both, or nearly so.
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
        best.filter(|(length, a, b)| {
            let direction = (b.point - a.point) / *length;
            *length > 0.0 && self.pull(a, direction) < LEAN.0 && self.pull(b, -direction) < LEAN.0
        })
    }

    /// How much nearer one gets to what lies in a direction on the way along the boundary from a place, in parts of
    /// that way; 1 where the direction is not to this side.
    fn pull(&self, spot: &Spot, direction: Vec2) -> f64 {
        let (before, after) = if spot.at <= 0.0 {
            (self.lines.previous(spot.line), spot.line)
        } else if spot.at >= 1.0 {
            (spot.line, self.lines.next(spot.line))
        } else {
            (spot.line, spot.line)
        };
        let faces = |line| self.lines.normal(line, self.side).dot(direction) > 0.0;
        if !faces(before) && !faces(after) {
            return 1.0;
        }
        (-self.lines.along[before].dot(direction)).max(self.lines.along[after].dot(direction))
    }

    /// The largest disc that touches the line of a sample near it.
    fn disc(&self, place: usize) -> Place {
        let line = self.samples[place].spot.line;
        let near = |ahead: bool, end: f64| {
            let next = &self.samples[self.after(place, ahead)].spot;
            let here = self.samples[place].spot.at;
            let between = next.line == line
                && (if ahead {
                    next.at > here
                } else {
                    next.at < here
                });
            if between { next.at } else { end }
        };
        let (mut from, mut to) = (near(false, 0.0), near(true, 1.0));
        let most = self.below.min(2.0 * self.samples[place].ball.across);
        let across = |at: f64| {
            self.lines
                .ball_at(&self.lines.spot(line, at), self.side, most)
                .across
        };
        for _ in 0..45 {
            let (one, other) = (from + (to - from) * 0.382, to - (to - from) * 0.382);
            if across(one) < across(other) {
                from = one;
            } else {
                to = other;
            }
        }
        let spot = self.lines.spot(line, f64::midpoint(from, to));
        let width = across(spot.at).max(self.samples[place].ball.across);
        Place {
            a: spot.point,
            b: spot.point + self.lines.normal(line, self.side) * width,
            width,
        }
    }

    /// The samples narrower than the ones next to them, by stretch, and the narrowest ones first.
    fn candidates(&self) -> Vec<(usize, usize)> {
        let mut found = Vec::new();
        let mut lowest: Vec<Option<usize>> = vec![None; self.samples.len()];
        let equal = self.below * 1e-9;
        for place in 0..self.samples.len() {
            let width = self.width(place);
            if !self.thin(place) || width >= self.below {
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
                let narrow = best.is_none_or(|best| self.width(place) < best.width * 1.006);
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
                if best.is_some() || tips.len() > known {
                    shown.insert(stretch);
                }
                if let Some(best) = best {
                    counted.insert(stretch);
                    places.push(best);
                }
            }
        }
        let whole: Vec<_> = self
            .whole()
            .filter(|(stretch, _)| !counted.contains(stretch))
            .collect();
        shown.extend(whole.iter().map(|(stretch, _)| *stretch));
        let count = places.len() + whole.len();
        self.discs(&whole, &mut places);
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

    /// Adds the narrowest of the pieces that are as wide as the largest disc in them, and puts all in order.
    fn discs(&mut self, whole: &[(usize, usize)], places: &mut Vec<Place>) {
        // A sample tells the least that a disc may be. The next one is not looked for before it can be the next in
        // the order.
        let mut least: BTreeSet<(u64, usize)> = whole
            .iter()
            .map(|(_, place)| (self.samples[*place].ball.across.to_bits(), *place))
            .collect();
        let mut known: Vec<Place> = Vec::new();
        while known.len() < MOST && self.goes_on() {
            let Some((_, place)) = least.pop_first() else {
                break;
            };
            known.push(self.disc(place));
        }
        known.sort_by(|one, other| one.width.total_cmp(&other.width));
        places.append(&mut known);
        places.sort_by(|one, other| one.width.total_cmp(&other.width));
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
    })
}
