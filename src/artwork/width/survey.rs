//! A boundary measured at points along it.

use super::Side;
use super::balls::{Ball, Lines, Spot};
use kurbo::{Point, Vec2};
use std::collections::BTreeSet;
use std::f64::consts::PI;
use std::ops::Range;

/// So many boxes and lines may be looked at while discs are measured, and then while they are judged.
pub(super) const WORK: [usize; 2] = [100_000_000, 20_000_000];

/// Corners that turn by more, in radians (10 degrees), are measured in several directions.
const CORNER: f64 = PI / 18.0;

/// A point on the boundary, what points from there into the region, and the disc there.
pub(super) struct Sample {
    pub(super) spot: Spot,
    pub(super) normal: Vec2,
    pub(super) own: [usize; 2],
    pub(super) ball: Ball,
}

/// What lies on both sides of a stroke.
#[derive(Clone, Copy)]
pub(super) struct Pair {
    pub(super) a: Spot,
    pub(super) b: Spot,
    /// The diameter of the disc between them.
    pub(super) width: f64,
    /// By how much the sides lean, in radians.
    pub(super) lean: f64,
    /// Whether the sides end there rather than close by and by.
    pub(super) blunt: bool,
}

impl Pair {
    /// The way straight across.
    pub(super) fn span(&self) -> f64 {
        self.a.point.distance(self.b.point)
    }

    pub(super) fn middle(&self) -> Point {
        self.a.point.midpoint(self.b.point)
    }
}

/// A boundary measured at points along it.
pub(super) struct Survey<'a> {
    pub(super) lines: &'a Lines,
    pub(super) side: Side,
    /// The limit.
    pub(super) below: f64,
    /// What is narrower touches.
    pub(super) touching: f64,
    /// Discs are measured up to this diameter: in a direction of a corner they are up to 2.3 % larger than in the best one.
    pub(super) reach: f64,
    pub(super) samples: Vec<Sample>,
    /// The samples of each ring.
    pub(super) rings: Vec<Range<usize>>,
    /// For each sample, another one of the same stretch; the first one names itself.
    pub(super) stretch: Vec<usize>,
    pub(super) work: usize,
    pub(super) limit: usize,
    /// The least way from one sample to the next.
    pub(super) floor: f64,
    pub(super) complete: bool,
}

impl<'a> Survey<'a> {
    /// Measures discs up to a diameter.
    pub(super) fn new(lines: &'a Lines, side: Side, below: f64) -> Self {
        let mut survey = Self {
            lines,
            side,
            below,
            touching: 0.0,
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
                // Blunt corners count between lines that are not short: against the limit, or, where they do not follow
                // each other in a curve, against the disc beside them.
                let length = lines.length[line];
                let beside = [lines.previous(line), lines.next(line)];
                let counts = || {
                    let shorter = length.min(lines.length[beside[0]]);
                    let disc = survey.samples[start..].last().map(|sample| sample.ball);
                    let across = disc.map_or(survey.reach, |disc| disc.across);
                    let curve = || beside.iter().all(|line| lines.turn(*line, side) < 0.0);
                    shorter > survey.reach / 8.0 || (shorter > across / 8.0 && !curve())
                };
                if turn < -CORNER || (turn < 0.0 && counts()) {
                    survey.fan(line, turn, &mut hint);
                }
                since += length;
                if since >= least || turned > CORNER {
                    survey.part(line, (0.0, 1.0), 2, None, &mut hint);
                    (since, turned) = (0.0, 0.0);
                }
            }
            survey.rings.push(start..survey.samples.len());
        }
        survey.join();
        survey
    }
}

impl Survey<'_> {
    /// Measures a part of a line in the middle, and then in both halves where that is too far apart: between opposite
    /// sides, one and a half times their distance; elsewhere where it is narrow, so many more times only. All that can
    /// stop its discs is among some lines, where these are known.
    pub(super) fn part(
        &mut self,
        line: usize,
        (from, to): (f64, f64),
        more: u32,
        among: Option<&[usize]>,
        hint: &mut Option<usize>,
    ) {
        let at = f64::midpoint(from, to);
        let spot = self.lines.spot(line, at);
        let (normal, own) = (self.lines.normal(line, self.side), [line; 2]);
        let ball = if let Some(among) = among {
            self.lines
                .ball_among(spot.point, normal, own, self.reach, among)
        } else {
            self.lines.ball(spot.point, normal, own, self.reach, *hint)
        };
        *hint = ball.stop;
        let length = self.lines.length[line] * (to - from);
        let (apart, more) = if ball.across >= self.reach {
            (self.reach / 2.0, more)
        } else if ball.opposite.is_some() {
            (1.5 * ball.across, more)
        } else {
            (1.5 * ball.across, more.saturating_sub(1))
        };
        let apart = apart.max(self.floor);
        let halves = length > apart && (more > 0 || length > self.reach / 2.0);
        // Of lines that are measured in many places, what is beside them is looked for once.
        let known = among.map_or(usize::MAX, <[usize]>::len);
        let beside = (halves && length > 4.0 * apart && known > 2)
            .then(|| {
                let stop = ball.stop;
                let bound =
                    stop.and_then(|stop| self.lines.bound(line, (from, to), self.side, stop));
                let most = bound.map_or(self.reach, |bound| bound.min(self.reach));
                self.lines.beside(line, (from, to), self.side, most, among)
            })
            .flatten();
        let among = beside.as_deref().or(among);
        if halves {
            self.part(line, (from, at), more, among, hint);
        }
        self.samples.push(Sample {
            spot,
            normal,
            own,
            ball,
        });
        if halves {
            self.part(line, (at, to), more, among, hint);
        }
    }

    /// Measures in the directions from a corner: every direction from it is within 12 degrees of one of them, and where
    /// it is narrow within 4.
    pub(super) fn fan(&mut self, line: usize, turn: f64, hint: &mut Option<usize>) {
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

    pub(super) fn measure(
        &mut self,
        spot: Spot,
        normal: Vec2,
        own: [usize; 2],
        hint: &mut Option<usize>,
    ) {
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
    pub(super) fn near(&self, place: usize) -> bool {
        self.samples[place].ball.across < self.reach
    }

    pub(super) fn corner(&self, place: usize) -> bool {
        let [before, after] = self.samples[place].own;
        before != after
    }

    /// Whether it is narrower than the limit.
    pub(super) fn thin(&self, place: usize) -> bool {
        self.samples[place].ball.across < self.below
    }

    /// What lies opposite of a sample, where the width is less than a limit that may be above that of all.
    pub(super) fn pair(&self, place: usize, most: f64, hint: Option<usize>) -> Option<Pair> {
        let sample = &self.samples[place];
        let ball = if !self.near(place) && most > self.reach {
            self.lines
                .ball(sample.spot.point, sample.normal, sample.own, most, hint)
        } else {
            sample.ball
        };
        opposite(&sample.spot, sample.normal, &ball)
    }

    pub(super) fn width(&self, place: usize) -> f64 {
        let opposite = self.samples[place].ball.opposite;
        opposite.map_or(f64::INFINITY, |(_, width)| width)
    }

    pub(super) fn ring(&self, place: usize) -> &Range<usize> {
        &self.rings[self.lines.ring[self.samples[place].spot.line]]
    }

    pub(super) fn after(&self, place: usize, ahead: bool) -> usize {
        let ring = self.ring(place);
        match (ahead, place + 1 == ring.end, place == ring.start) {
            (true, true, _) => ring.start,
            (true, false, _) => place + 1,
            (false, _, true) => ring.end - 1,
            (false, _, false) => place - 1,
        }
    }

    /// The way along a ring, ahead or back.
    pub(super) fn way(&self, from: &Spot, to: &Spot, ahead: bool) -> Option<f64> {
        if ahead {
            self.lines.way(from, to)
        } else {
            self.lines.way(to, from)
        }
    }

    /// The sample next to the place opposite of one; in a corner that of which the direction is the most like.
    pub(super) fn across_from(&self, from: &Spot, to: &Spot) -> Option<usize> {
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
    pub(super) fn nearest(&self, spot: &Spot) -> Option<usize> {
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

    pub(super) fn root(&self, mut place: usize) -> usize {
        while self.stretch[place] != place {
            place = self.stretch[place];
        }
        place
    }

    pub(super) fn unite(&mut self, one: usize, other: usize) {
        let (one, other) = (self.root(one), self.root(other));
        let first = one.min(other);
        self.stretch[one] = first;
        self.stretch[other] = first;
    }

    /// Finds which samples belong to one stretch.
    pub(super) fn join(&mut self) {
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

    /// The rings of which every sample is thin and touches nothing but the ring itself: whole pieces without holes.
    pub(super) fn whole(&self) -> impl Iterator<Item = (usize, usize)> {
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

    /// Whether more may be looked at.
    pub(super) fn goes_on(&mut self) -> bool {
        self.work += self.lines.looked();
        let goes_on = self.work <= self.limit;
        self.complete &= goes_on;
        goes_on
    }

    /// The point halfway to the next sample, or to the end of the line.
    fn halfway(&self, place: usize, ahead: bool) -> Point {
        let spot = &self.samples[place].spot;
        let next = &self.samples[self.after(place, ahead)].spot;
        let line = if ahead || spot.at > 0.0 {
            spot.line
        } else {
            self.lines.previous(spot.line)
        };
        let end = self.lines.ends[line][usize::from(ahead)];
        spot.point
            .midpoint(if next.line == line { next.point } else { end })
    }

    /// The parts of the boundary along stretches.
    pub(super) fn runs(&self, shown: &BTreeSet<usize>) -> Vec<Vec<Point>> {
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
                let starts = run.is_empty();
                let mut more = |point: Point| {
                    if run.last() != Some(&point) {
                        run.push(point);
                    }
                };
                let before = self.after(place, false);
                if starts {
                    more(self.halfway(place, false));
                } else {
                    let mut line = self.samples[before].spot.line;
                    while line != self.samples[place].spot.line {
                        line = self.lines.next(line);
                        more(self.lines.ends[line][0]);
                    }
                }
                more(self.samples[place].spot.point);
                if !inside(self.after(place, true)) {
                    more(self.halfway(place, true));
                }
            }
            runs.extend(Some(run).filter(|run| run.len() > 1));
        }
        runs
    }
}

/// The pair at a place, where there is an opposite side.
pub(super) fn opposite(spot: &Spot, normal: Vec2, ball: &Ball) -> Option<Pair> {
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
