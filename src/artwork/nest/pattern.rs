//! Patterns: what is laid once and repeats itself along the film, for any number of copies.

use super::super::sorted::sort;
use super::bed::{Key, Kit, Spot};
use super::{Copy, EDGE, better};
use kurbo::Size;

/// What repeats itself along the film.
#[derive(Clone, Debug)]
pub(super) struct Pattern {
    pub copies: Vec<Copy>,
    /// How far along the film it repeats itself, in mm.
    pub period: f64,
    /// What it takes of the film for a copy, in mm.
    pub each: f64,
    /// How it was laid on a ring, if it was.
    pub ring: Option<Ring>,
}

/// How a pattern was laid on a ring.
#[derive(Clone, Debug)]
pub(super) struct Ring {
    pub spots: Vec<Spot>,
    /// So many places of the grid make the ring.
    pub places: i32,
    /// Whether its grid is the finer one.
    pub finer: bool,
    /// The turns that were laid together, by their place among all groups of them.
    pub group: usize,
    pub key: Key,
}

impl Pattern {
    #[expect(clippy::cast_precision_loss, reason = "small numbers")]
    pub fn new(copies: Vec<Copy>, period: f64, ring: Option<Ring>) -> Option<Self> {
        let each = period / copies.len() as f64;
        (!copies.is_empty() && period > 0.0).then_some(Self {
            copies,
            period,
            each,
            ring,
        })
    }

    /// As many copies as are needed, or as there is room for, cut out where they take least. `steps` grows by what it
    /// took.
    #[expect(clippy::cast_precision_loss, reason = "small numbers")]
    pub fn repeated(
        &self,
        quantity: usize,
        height: f64,
        sizes: &[Size; 4],
        steps: &mut u64,
    ) -> Vec<Copy> {
        let times = quantity / self.copies.len() + 2;
        let top = |copy: &Copy| copy.y + sizes[copy.turn].height;
        let mut best = ((0, f64::INFINITY), Vec::new());
        for first in &self.copies {
            let mut copies = Vec::with_capacity(times * self.copies.len());
            for copy in &self.copies {
                let start = (copy.y - first.y).rem_euclid(self.period);
                let rows = (0..times).map(|time| start + time as f64 * self.period);
                copies.extend(rows.map(|y| Copy { y, ..*copy }));
            }
            *steps += copies.len() as u64 / 4;
            copies.retain(|copy| top(copy) <= height + EDGE);
            sort(&mut copies, |copy| [top(copy), 0.0]);
            copies.truncate(quantity);
            let reached = (copies.len(), copies.last().map_or(0.0, top));
            if better(reached, best.0) {
                best = (reached, copies);
            }
        }
        best.1
    }
}

/// The run of copies, of those laid along the film, that repeats itself in the least length for each: its first one,
/// the one behind its last one, and its period. `steps` grows by what it took.
#[expect(clippy::cast_precision_loss, reason = "small numbers")]
pub(super) fn run(kit: &Kit, spots: &[Spot], steps: &mut u64) -> Option<(usize, usize, f64)> {
    let mut least = f64::INFINITY;
    let mut best = None;
    for from in 0..spots.len() / 2 {
        let mut period = 0.0_f64;
        for (place, next) in spots.iter().enumerate().skip(from) {
            // The copies again, as far on as every two of them need.
            for spot in &spots[from..=place] {
                period = period
                    .max(kit.beyond(*spot, *next))
                    .max(kit.beyond(*next, *spot));
            }
            let count = place + 1 - from;
            *steps += count as u64 / 4;
            let each = period / count as f64;
            if each < least {
                least = each;
                best = Some((from, place + 1, period));
            }
        }
    }
    best
}
