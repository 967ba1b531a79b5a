//! What counts as narrow, of all that was measured.

use super::balls::{LEAN, Spot, foot};
use super::ends::{LEVEL, SHARP};
use super::survey::{Pair, Survey, WORK};
use super::{MOST, Narrow, Place, Tip};
use crate::artwork::sorted::{sort, sort_by_bits};
use kurbo::{Point, Rect, Vec2};
use std::cmp::Ordering;
use std::collections::{BTreeSet, BinaryHeap};
use std::f64::consts::SQRT_2;

/// Where the width is least between wider parts, sides lean by less than this, in radians: not at all where they are
/// straight or curved, and by some degrees where curves are drawn as lines.
const EVEN: f64 = 0.1;

/// Next to where two sides meet, what is up to so many times as wide as what touches is found by how densely they are
/// measured, and says nothing about the drawing (seen in public icons).
const CLOSING: f64 = 4.0;

/// Curves that meet and bend by radii up to the size of the drawing touch no further than this from there, in parts of the
/// width below which they do, and on both sides together: `2 sqrt(2 r w)` for `w` of 4/65 536 of `r`.
const NEAR: f64 = 400.0;

/// A square in which the middle of a disc may lie, and the most that its radius may be. Those with the largest ones
/// come first.
struct Square {
    most: f64,
    middle: Point,
    half: f64,
    /// The way from its middle to the boundary, or more.
    away: f64,
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

impl Survey<'_> {
    /// The place at a sample that is the narrowest one there. Where a tip begins it is one only straight across: what
    /// ends in a point may have a neck before it.
    pub(super) fn place(&self, place: usize, tip: bool) -> Option<Place> {
        let pair = self.pair(place, self.reach, None)?;
        if let Some(straight) = self.straight(&pair) {
            return Some(straight).filter(|found| !self.in_tip(place, found.width));
        }
        // From a corner it is straight across where it is least, or it gets less along one of its lines.
        if tip
            || self.corner(place)
            || [true, false]
                .into_iter()
                .any(|ahead| self.tip(place, ahead).is_some())
        {
            return None;
        }
        let mut narrowest = pair;
        let mut end = false;
        for ahead in [true, false] {
            let next = self.after(place, ahead);
            if pair.lean > LEVEL
                && self
                    .pair(next, self.reach * 2.0, Some(pair.b.line))
                    .is_none()
            {
                let last = self.last(place, &pair, ahead);
                if last.width <= narrowest.width {
                    (narrowest, end) = (last, true);
                }
                if last.width <= pair.width && !(last.blunt && last.width * SHARP > pair.width) {
                    return None;
                }
            }
        }
        let level = end || narrowest.lean < EVEN;
        let Pair { a, b, width, .. } = narrowest;
        level.then_some(Place {
            a: a.point,
            b: b.point,
            width,
        })
    }

    /// The shortest way straight across near a pair, where there is one.
    pub(super) fn straight(&self, pair: &Pair) -> Option<Place> {
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
    pub(super) fn across(&self, one: usize, other: usize) -> Option<(f64, Spot, Spot)> {
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
    pub(super) fn pull(&self, spot: &Spot, direction: Vec2) -> f64 {
        if !self.lines.faces(spot, direction, self.side) {
            return 1.0;
        }
        let [before, after] = self.lines.around_spot(spot);
        (-self.lines.along[before].dot(direction)).max(self.lines.along[after].dot(direction))
    }

    /// The largest disc in the piece or hole of a sample, which has no ring in it: the square round it is quartered
    /// wherever a larger one may be. To 1 in 100 000.
    pub(super) fn disc(&self, place: usize) -> Place {
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
            away: whole.width() + whole.height(),
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
                let within = (square.away + around) * 1.001;
                let Some(spot) = self.lines.nearest_on(ring, middle, within) else {
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
                    away: distance,
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
    pub(super) fn candidates(&self) -> Vec<(usize, usize)> {
        let mut least = vec![false; self.samples.len()];
        let mut lowest: Vec<Option<usize>> = vec![None; self.samples.len()];
        let equal = self.reach * 1e-9;
        for (place, is_least) in least.iter_mut().enumerate() {
            let width = self.width(place);
            if width >= self.reach {
                continue;
            }
            // What is a little wider than the limit is no stretch: of that only what is least counts.
            let low = &mut lowest[self.stretch[place]];
            if self.thin(place) && low.is_none_or(|low| self.width(low) > width) {
                *low = Some(place);
            }
            // A corner may be opposite of something though it gets narrower yet on one side of it. In each direction
            // it is measured against another line, and a disc against one that leans may be the smaller one though
            // the way straight across is to the next line.
            let corner = self.corner(place);
            let across =
                |place: usize| self.samples[place].ball.opposite.map(|(spot, _)| spot.line);
            let [before, after] = [false, true].map(|ahead| {
                let next = self.after(place, ahead);
                let apart = self.samples[next].spot.point != self.samples[place].spot.point;
                if corner && (apart || across(next) != across(place)) {
                    f64::INFINITY
                } else {
                    self.width(next)
                }
            });
            *is_least = before >= width - equal
                && after >= width - equal
                && (before > width + equal || after > width + equal);
        }
        for low in lowest.into_iter().flatten() {
            least[low] = true;
        }
        let mut found: Vec<(usize, usize)> = (0..least.len())
            .filter(|place| least[*place])
            .map(|place| (self.stretch[place], place))
            .collect();
        // Widths are not below zero, and such numbers rise with their bits.
        sort_by_bits(&mut found, |(stretch, place)| {
            [*stretch as u64, self.width(*place).to_bits()]
        });
        found
    }

    /// Whether a place is too narrow to be a width, and next to where its sides meet.
    fn closes(&self, place: usize, found: &Place) -> bool {
        if found.width >= CLOSING * self.touching {
            return false;
        }
        let Some(pair) = self.pair(place, self.reach, None) else {
            return false;
        };
        let ways = [true, false].map(|ahead| self.way(&pair.a, &pair.b, ahead));
        let near = |way: &f64| *way <= NEAR * self.touching;
        ways.iter().flatten().any(near)
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
                if !narrow || tried > 16 {
                    continue;
                }
                let found = self.place(place, tip);
                if let Some(found) = found.filter(|found| !self.closes(place, found)) {
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
        // What is hardly narrower than the limit may be found from both sides, each by itself.
        let mut known: Vec<Place> = Vec::new();
        for place in &places {
            let double = |other: &&Place| {
                let apart = |a: Point, b: Point| a.distance(place.a).max(b.distance(place.b));
                apart(other.a, other.b).min(apart(other.b, other.a)) <= 1e-6 * self.below
            };
            if known.iter().rev().take(32).find(double).is_none() {
                known.push(*place);
            }
        }
        let count = count - (places.len() - known.len());
        let mut places = known;
        places.truncate(MOST);
        sort(&mut tips, |tip| [-tip.length, 0.0]);
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
    pub(super) fn discs(&mut self, whole: &[(usize, usize)], places: &mut Vec<Place>) -> usize {
        let mut count = places.len() + whole.len();
        // A disc is at least as large as that of a sample: those with small ones come first.
        let across = |place: usize| self.samples[place].ball.across;
        let mut order: Vec<usize> = whole.iter().map(|(_, place)| *place).collect();
        sort(&mut order, |place| [across(*place), 0.0]);
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
        sort(places, |place| [place.width, 0.0]);
        count
    }
}
