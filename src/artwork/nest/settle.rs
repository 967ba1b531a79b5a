//! Moves copies down until each rests on another one or the edge.

use super::Copy;
use super::contact::{Pair, Span};
use super::shape::Rings;
use kurbo::Size;
use std::collections::BTreeMap;

/// What keeps copies apart, on the lines for which it was asked.
pub(super) struct Rests {
    pairs: Vec<Option<Pair>>,
    outlines: [(Rings, Size); 4],
    gap: f64,
    lines: BTreeMap<(usize, usize, u64), Vec<Span>>,
}

/// So many times all copies are moved down.
const ROUNDS: usize = 4;

/// So many lines are kept.
const KNOWN: usize = 20_000;

impl Rests {
    pub fn new(outlines: [(Rings, Size); 4], gap: f64) -> Self {
        Self {
            pairs: (0..16).map(|_| None).collect(),
            outlines,
            gap,
            lines: BTreeMap::new(),
        }
    }

    /// Moves copies straight down, the lowest ones first; `steps` grows by what it took.
    pub fn settle(&mut self, copies: &mut [Copy], steps: &mut u64) {
        let mut skipped = 0;
        for _ in 0..ROUNDS {
            copies.sort_by(|one, other| one.y.total_cmp(&other.y).then(one.x.total_cmp(&other.x)));
            let mut moved = 0.0_f64;
            for place in 0..copies.len() {
                let copy = copies[place];
                let mut rest = 0.0_f64;
                for (other_place, other) in copies.iter().enumerate() {
                    skipped += 1;
                    if other_place != place && self.beside(*other, copy) {
                        rest = rest.max(self.top(*other, copy, steps));
                    }
                }
                moved = moved.max(copy.y - rest);
                copies[place].y = rest.min(copy.y);
            }
            if moved < 1e-6 {
                break;
            }
        }
        *steps += skipped / 16;
        // Lines of one layout are rarely those of the next one.
        if self.lines.len() > KNOWN {
            self.lines.clear();
        }
    }

    /// Whether one copy lies so that the other one may come upon it.
    fn beside(&self, one: Copy, other: Copy) -> bool {
        let (size, next) = (self.outlines[one.turn].1, self.outlines[other.turn].1);
        let off = other.x - one.x;
        off < size.width + self.gap
            && -off < next.width + self.gap
            && one.y < other.y + next.height + self.gap
    }

    /// How far down a copy goes until it meets another one.
    fn top(&mut self, other: Copy, copy: Copy, steps: &mut u64) -> f64 {
        let off = copy.x - other.x;
        let none = f64::NEG_INFINITY;
        let (pairs, outlines, gap) = (&mut self.pairs, &self.outlines, self.gap);
        let spans = self
            .lines
            .entry((other.turn, copy.turn, off.to_bits()))
            .or_insert_with(|| {
                let pair = pairs[other.turn * 4 + copy.turn].get_or_insert_with(|| {
                    Pair::new(&outlines[other.turn].0, &outlines[copy.turn].0, gap)
                });
                *steps += pair.cost();
                pair.line(off)
            });
        *steps += 1;
        let reached = copy.y - other.y;
        let tops = spans.iter().map(|span| {
            if reached >= span.1 - 1e-8 {
                other.y + span.1
            } else if reached > span.0 {
                // Too near already: it stays, and the check finds it.
                copy.y
            } else {
                none
            }
        });
        tops.fold(none, f64::max)
    }
}
