//! Copies laid one by one, each as low as it goes on one line of a grid.
//!
//! A bed has an axis along which copies are laid as low as they go, exactly, and one across it, on which their
//! corners lie on a grid. That one may be a ring, on which what is laid repeats itself.

use super::contact::{Pair, Span, Table, cell, index};
use super::shape::Rings;
use kurbo::Size;

/// A copy: how it is turned, in right angles; the place of its corner on the grid; how low that lies.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Spot {
    pub turn: usize,
    pub place: i32,
    pub low: f64,
}

/// A decal in each of its turns with what its copies forbid each other.
pub(super) struct Kit {
    outlines: [(Rings, Size); 4],
    gap: f64,
    pub sizes: [Size; 4],
    pub grid: f64,
    /// So many places of the grid a copy takes with the gap.
    pub cells: [i32; 4],
    tables: [Option<Table>; 16],
}

/// By what the next place is chosen: the lowest of all by the sum of how low it is, a share of the height of what
/// is laid there, a share of how far across it is, and what is added for its turn.
#[derive(Clone, Copy, Debug)]
pub(super) struct Key {
    pub height: f64,
    pub across: f64,
    pub turn: [f64; 4],
}

/// What is laid.
pub(super) struct Bed<'a> {
    kit: &'a Kit,
    turns: &'a [usize],
    ring: Option<i32>,
    limit: f64,
    /// For each turn, how low it goes at each place.
    lows: [Vec<f64>; 4],
    pub laid: Vec<Spot>,
    /// What is laid, by where it is across.
    near: Vec<Vec<Spot>>,
    /// So many places of the grid each of them takes.
    wide: i32,
    steps: u64,
    /// Copies that were looked at and found to be far away.
    skipped: u64,
}

impl Kit {
    /// For outlines with their corners at the origin.
    pub fn new(outlines: [(Rings, Size); 4], gap: f64, grid: f64) -> Self {
        let sizes = [0, 1, 2, 3].map(|turn: usize| outlines[turn].1);
        Self {
            outlines,
            gap,
            sizes,
            grid,
            cells: sizes.map(|size| cell((size.width + gap) / grid) + 1),
            tables: Default::default(),
        }
    }

    /// Finds what copies in these turns forbid each other; `steps` grows by what it took.
    pub fn ready(&mut self, turns: &[usize], steps: &mut u64) {
        for &one in turns {
            for &other in turns {
                let (place, back) = (Self::table(one, other), Self::table(other, one));
                if self.tables[place].is_none() {
                    let known = self.tables[back].as_ref().map(Table::opposite);
                    let pair =
                        || Pair::new(&self.outlines[one].0, &self.outlines[other].0, self.gap);
                    let table = known.unwrap_or_else(|| Table::new(&pair(), self.grid, steps));
                    self.tables[place] = Some(table);
                }
            }
        }
    }

    /// Turned by half a turn, both forbid the same as before.
    const fn table(one: usize, other: usize) -> usize {
        if one == other {
            one % 2 * 5
        } else {
            one * 4 + other
        }
    }

    fn line(&self, one: usize, other: usize, place: i32) -> &[Span] {
        let table = self.tables[Self::table(one, other)].as_ref();
        table.map_or(&[], |table| table.line(place))
    }

    /// How far another copy has to be moved on to be clear of one from there on.
    pub fn beyond(&self, one: Spot, other: Spot) -> f64 {
        let spans = self.line(one.turn, other.turn, other.place - one.place);
        spans
            .last()
            .map_or(0.0, |span| one.low + span.1 - other.low)
    }

    /// Whether a copy keeps clear of itself on a ring of so many places.
    fn rings(&self, turn: usize, ring: i32) -> bool {
        ring > 0
            && (1..=self.cells[turn] / ring).all(|times| {
                let line = self.line(turn, turn, times * ring);
                line.iter().all(|span| 0.0 <= span.0 || span.1 <= 0.0)
            })
    }
}

impl<'a> Bed<'a> {
    /// A bed `width` across, in which nothing lies higher than `limit`.
    pub fn new(kit: &'a Kit, turns: &'a [usize], width: f64, limit: f64) -> Self {
        let places = |turn: usize| cell((width - kit.sizes[turn].width) / kit.grid) + 1;
        Self::empty(kit, turns, None, limit, places)
    }

    /// A bed round a ring of so many places.
    pub fn on_ring(kit: &'a Kit, turns: &'a [usize], ring: i32, limit: f64) -> Self {
        let places = |turn: usize| if kit.rings(turn, ring) { ring } else { 0 };
        Self::empty(kit, turns, Some(ring), limit, places)
    }

    fn empty(
        kit: &'a Kit,
        turns: &'a [usize],
        ring: Option<i32>,
        limit: f64,
        places: impl Fn(usize) -> i32,
    ) -> Self {
        let mut lows: [Vec<f64>; 4] = Default::default();
        let (mut most, mut wide) = (0, 1);
        for &turn in turns {
            lows[turn] = vec![0.0; index(places(turn)).unwrap_or(0)];
            most = most.max(places(turn));
            wide = wide.max(kit.cells[turn]);
        }
        let buckets = if ring.is_some() { 0 } else { most / wide };
        Self {
            kit,
            turns,
            ring,
            limit,
            lows,
            laid: Vec::new(),
            near: (0..=buckets).map(|_| Vec::new()).collect(),
            wide,
            steps: 0,
            skipped: 0,
        }
    }

    /// The steps that it took.
    pub const fn steps(&self) -> u64 {
        self.steps + self.skipped / 16 + 100
    }

    /// Lays copies by `key` until there are `most`, or no room for another one.
    pub fn fill(&mut self, key: &Key, most: usize) {
        while self.laid.len() < most {
            let Some(spot) = self.next(key) else { break };
            self.lay(spot);
        }
    }

    /// The place of the next copy.
    fn next(&self, key: &Key) -> Option<Spot> {
        let mut next = None;
        let mut least = f64::INFINITY;
        for &turn in self.turns {
            let height = self.kit.sizes[turn].height;
            let fixed = key.height * height + key.turn[turn];
            let across = key.across * self.kit.grid;
            for (place, &low) in (0..).zip(&self.lows[turn]) {
                let worth = low + fixed + across * f64::from(place);
                if worth < least && low + height <= self.limit {
                    least = worth;
                    next = Some(Spot { turn, place, low });
                }
            }
        }
        next
    }

    /// Lays a copy, which has to keep clear of all others.
    pub fn lay(&mut self, spot: Spot) {
        let kit = self.kit;
        self.laid.push(spot);
        let bucket = self.bucket(spot.place);
        if let Some(near) = self.near.get_mut(bucket) {
            near.push(spot);
        }
        for &turn in self.turns {
            let Ok(places) = i32::try_from(self.lows[turn].len()) else {
                continue;
            };
            if places == 0 {
                continue;
            }
            let (from, to) = (
                spot.place - kit.cells[turn],
                spot.place + kit.cells[spot.turn],
            );
            let (from, to) = match self.ring {
                Some(ring) if to - from >= ring => (0, ring - 1),
                Some(_) => (from, to),
                None => (from.max(0), to.min(places - 1)),
            };
            for place in from..=to {
                let place = if self.ring.is_some() {
                    place.rem_euclid(places)
                } else {
                    place
                };
                let Some(&low) = index(place).and_then(|at| self.lows[turn].get(at)) else {
                    continue;
                };
                if low + kit.sizes[turn].height <= self.limit {
                    let low = self.lowest(turn, place, low);
                    if let Some(kept) = index(place).and_then(|at| self.lows[turn].get_mut(at)) {
                        *kept = low;
                    }
                }
            }
        }
    }

    fn bucket(&self, place: i32) -> usize {
        if self.ring.is_some() {
            0
        } else {
            index(place / self.wide).unwrap_or(0)
        }
    }

    /// How low a copy goes at a place, no lower than `low`.
    fn lowest(&mut self, turn: usize, place: i32, low: f64) -> f64 {
        let kit = self.kit;
        let (bucket, size) = (self.bucket(place), kit.sizes[turn]);
        let buckets = bucket.saturating_sub(1)..(bucket + 2).min(self.near.len());
        let mut lowest = low;
        loop {
            let before = lowest;
            for other in self.near[buckets.clone()].iter().flatten() {
                self.skipped += 1;
                // Far below or above, it forbids nothing.
                let (below, above) = (
                    kit.sizes[other.turn].height + kit.gap,
                    size.height + kit.gap,
                );
                if other.low + below <= lowest || other.low >= lowest + above {
                    continue;
                }
                self.steps += 1;
                let (mut off, mut last, mut step) = (place - other.place, place - other.place, 1);
                if let Some(ring) = self.ring {
                    // On a ring the other one lies at every turn of it.
                    off = off.rem_euclid(ring);
                    off -= (off + kit.cells[turn]) / ring * ring;
                    (last, step) = (kit.cells[other.turn], ring);
                }
                while off <= last {
                    let spans = kit.line(other.turn, turn, off);
                    let reached = lowest - other.low;
                    // A little less than the end of a stretch is no nearer than it, for rounding.
                    if let Some(span) = spans.iter().find(|span| reached < span.1 - 1e-10)
                        && span.0 < reached
                    {
                        lowest = other.low + span.1;
                    }
                    off += step;
                }
            }
            if lowest <= before {
                return lowest;
            }
        }
    }
}
