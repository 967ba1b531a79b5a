//! Where strokes end, and in what.

use super::Tip;
use super::balls::{LEAN, Spot};
use super::survey::{Pair, Survey, opposite};
use std::f64::consts::PI;

/// Where sides that lean by less than this, in radians (25 degrees), end, something else begins: an end, a shoulder. Where
/// they lean by more, they close by and by.
const BLUNT: f64 = PI / 7.2;

/// Sides that lean by less, in radians, do not.
pub(super) const LEVEL: f64 = 1e-3;

/// A tip widens to so many times the width of its end.
pub(super) const SHARP: f64 = 4.0;

/// What is wider by less than this is as wide.
const WIDER: f64 = 1.05;

/// What is met on the way along a stroke.
pub(super) struct Walk {
    /// The last place at which there is an opposite side.
    pub(super) last: Pair,
    /// Whether the stroke ends there.
    pub(super) ends: bool,
    /// How wide it gets.
    pub(super) widest: f64,
    /// Its width where it is as wide as the limit, or widest, and the way to there along its middle.
    pub(super) limit: (f64, f64),
}

impl Survey<'_> {
    /// The last pair of a stroke that ends, in one direction, between a sample and the next one.
    pub(super) fn end(&self, place: usize, pair: &Pair, ahead: bool) -> Option<Pair> {
        let next = self.after(place, ahead);
        let around = self.way(&pair.a, &pair.b, ahead)?;
        let step = self.way(&pair.a, &self.samples[next].spot, ahead);
        if next == place || step.is_some_and(|step| around <= step * (1.0 + 1e-9)) {
            return Some(self.last(place, pair, ahead));
        }
        // What is left of a wedge is at most 4.13 times as long as it is wide, and that of a straight end twice.
        let closes = |pair: &Pair, around: f64| around <= 4.5 * pair.width;
        let left = self.lines.length[pair.a.line] * if ahead { 1.0 - pair.a.at } else { pair.a.at };
        if !closes(pair, around - 2.0 * left)
            || self
                .pair(next, self.reach * 2.0, Some(pair.b.line))
                .is_some()
        {
            return None;
        }
        let last = self.last(place, pair, ahead);
        let around = self.way(&last.a, &last.b, ahead)?;
        (closes(&last, around) && self.narrows(next, &last, ahead)).then_some(last)
    }

    /// Whether it gets no wider on the way round the end of a stroke.
    pub(super) fn narrows(&self, mut place: usize, last: &Pair, ahead: bool) -> bool {
        let mut left = self.way(&last.a, &last.b, ahead);
        for _ in 0..1000 {
            let sample = &self.samples[place];
            let way = self.way(&sample.spot, &last.b, ahead);
            if way > left {
                return true;
            }
            if sample.ball.across > WIDER * last.width {
                return false;
            }
            left = way;
            place = self.after(place, ahead);
        }
        false
    }

    /// Walks along a stroke until it is so wide, and wider than the limit, or until it ends.
    pub(super) fn walk(&self, place: usize, start: &Pair, ahead: bool, enough: f64) -> Walk {
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
            let Some(pair) = self.pair(place, enough * 2.0, Some(walk.last.b.line)) else {
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
    pub(super) fn last(&self, place: usize, pair: &Pair, ahead: bool) -> Pair {
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
    pub(super) fn round(&self, pair: &Pair, ahead: bool) -> Option<(f64, Spot, Spot)> {
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
    pub(super) fn tip(&self, place: usize, ahead: bool) -> Option<(Spot, Tip)> {
        let start = self.pair(place, self.reach, None)?;
        let there = self.walk(place, &start, ahead, SHARP * start.width);
        if !there.ends || there.widest > WIDER * start.span() {
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
        let sharp = sharp
            && if blunt {
                back.widest >= SHARP * end
            } else {
                pointed || last.width < 0.75 * back.widest
            };
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
    pub(super) fn directions(&self, place: usize) -> impl Iterator<Item = bool> {
        let pair = self.pair(place, self.reach, None);
        [true, false]
            .into_iter()
            .filter(move |ahead| pair.is_some_and(|pair| self.end(place, &pair, *ahead).is_some()))
    }

    /// Whether a place straight across at a sample lies in a tip: it ends on one side, no wider, and gets so much wider on
    /// the other.
    pub(super) fn in_tip(&self, place: usize, width: f64) -> bool {
        let Some(pair) = self.pair(place, self.reach, None) else {
            return false;
        };
        let [back, ahead] =
            [false, true].map(|ahead| self.walk(place, &pair, ahead, SHARP * width));
        let closed = |walk: &Walk| walk.ends && walk.widest <= WIDER * pair.span();
        (closed(&back) && ahead.widest >= SHARP * width)
            || (closed(&ahead) && back.widest >= SHARP * width)
    }
}
