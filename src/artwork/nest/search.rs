//! The search for short layouts: in three ways, by keys drawn at random.
//!
//! Along the film, each copy as near to its start as it goes. On a ring, each copy as far left as it goes: what the
//! width of the film holds repeats itself along it. Within a length, each copy as far left as it goes, from nothing or
//! from copies of a pattern.

use super::bed::{Bed, Key, Kit, Spot};
use super::contact::{cell, index};
use super::pattern::{Pattern, Ring, run};
use super::settle::Rests;
use super::shape::{area, bounds, simplified, turned};
use super::{APART, Copy, EDGE, Nest, NestInput, Placement, better, check, sensible};
use crate::error::{Code, InputError};
use kurbo::{Rect, Size};
use say::say;

/// A search takes so many steps, and a part of it so many; a step takes some 30 ns (measured).
const STEPS: u64 = 50_000_000;
const PART: u64 = 2_000_000;

/// So many places of a grid lie along the smaller side of a decal with its gap, no more along the greater one, and no
/// more along the width of the film.
const GRID: f64 = 64.0;
const GRID_LONG: f64 = 320.0;
const GRID_FILM: f64 = 3000.0;

/// A grid so many times finer is used for patterns that are good.
const FINER: i32 = 4;

/// So many patterns are kept.
const KEPT: usize = 12;

/// A pattern that takes this much more than the best one, or a layout that is so much longer, is not worth a closer
/// look.
const WORTH: f64 = 1.03;

/// More copies than these come out of patterns only: what a better end saves is little then.
const FEW: usize = 100;

/// A search, which finds better layouts part by part. It counts steps instead of time, and finds the same everywhere.
pub struct Search<'a> {
    input: NestInput<'a>,
    drawn: Rect,
    /// What the film has room for within its margins.
    room: Size,
    quantity: usize,
    sizes: [Size; 4],
    /// Turns that are laid together.
    groups: Vec<Vec<usize>>,
    along: Kit,
    around: Kit,
    finer: Kit,
    rests: Rests,
    fits: Rests,
    patterns: Vec<Pattern>,
    chance: Chance,
    steps: u64,
    found: Option<Vec<Copy>>,
    /// How many copies the best layout has, and how far along the film they reach.
    reached: (usize, f64),
    best: Nest,
}

/// Numbers that look drawn at random and are always the same (Marsaglia 2003, Xorshift RNGs, by 13, 7 and 17; from
/// memory).
struct Chance(u64);

impl Chance {
    /// From 0 up to below 1.
    #[expect(clippy::cast_precision_loss, reason = "53 bits are kept exactly")]
    fn share(&mut self) -> f64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 >> 11) as f64 / (1_u64 << 53) as f64
    }

    /// A place in a list of so many.
    fn of(&mut self, count: usize) -> usize {
        let count = f64::from(u32::try_from(count).unwrap_or(u32::MAX));
        index(cell(self.share() * count)).unwrap_or(0)
    }
}

impl<'a> Search<'a> {
    /// Finds a first layout.
    ///
    /// # Errors
    /// Where the film is too narrow or too short for one copy, or a figure is none that makes sense.
    pub fn new(input: &NestInput<'a>) -> Result<Self, InputError> {
        let drawn = bounds(input.rings);
        sensible(input, drawn)?;
        let outlines =
            |rings: &[_], across| [0, 1, 2, 3].map(|turn| turned(rings, drawn, turn, across));
        let sizes = [0, 1, 2, 3].map(|turn| turned(&[], drawn, turn, false).1);
        let inner = |side: f64| side - 2.0 * input.margin;
        let room = Size::new(
            inner(input.width),
            input.length.map_or(f64::INFINITY, inner),
        );
        let mut groups: Vec<Vec<usize>> = Vec::new();
        for group in [&[0, 2][..], &[1, 3], &[0, 1, 2, 3]] {
            let fits = |turn: &usize| {
                let size = sizes[*turn];
                let inside = size.width <= room.width + EDGE && size.height <= room.height + EDGE;
                inside && input.turns.quarters().contains(turn)
            };
            let group: Vec<usize> = group.iter().copied().filter(fits).collect();
            if !group.is_empty() && !groups.contains(&group) {
                groups.push(group);
            }
        }
        if groups.is_empty() {
            return Err(InputError::new(
                Code::DoesNotFit,
                say!("the decal does not fit between the margins of the film"),
                say!("a smaller size, or larger film"),
            )
            .at("width"));
        }
        let (fine, coarse) = simplified(input.rings);
        let gap = input.gap + APART + 2.0 * (fine.stray + coarse.stray);
        let side = drawn.size();
        let grid = ((side.min_side() + gap) / GRID)
            .max((side.max_side() + gap) / GRID_LONG)
            .max(room.width / GRID_FILM);
        // So that a copy lies at the right edge as it does at the left one.
        let slack = groups.first().and_then(|group| group.first());
        let slack = room.width + EDGE / 2.0 - slack.map_or(0.0, |turn| sizes[*turn].width);
        let flush = slack / (slack / grid).ceil();
        let flush = if flush > grid / 2.0 { flush } else { grid };
        let kit = |across, grid| Kit::new(outlines(&coarse.rings, across), gap, grid);
        let mut search = Self {
            input: *input,
            drawn,
            room,
            quantity: input.quantity as usize,
            sizes,
            groups,
            along: kit(false, flush),
            around: kit(true, grid),
            finer: kit(true, grid / f64::from(FINER)),
            rests: Rests::new(outlines(&coarse.rings, false), gap),
            fits: Rests::new(
                outlines(&fine.rings, false),
                input.gap + APART + 2.0 * fine.stray,
            ),
            patterns: Vec::new(),
            chance: Chance(0x9e37_79b9_7f4a_7c15),
            steps: 0,
            found: None,
            reached: (0, f64::INFINITY),
            best: Nest {
                placements: Vec::new(),
                length_mm: f64::INFINITY,
                boxes: (0, f64::INFINITY),
                share_used: 0.0,
            },
        };
        search.boxes();
        search.first();
        search.tell();
        Ok(search)
    }

    /// The best layout found so far.
    #[must_use]
    pub const fn best(&self) -> &Nest {
        &self.best
    }

    /// The steps taken so far.
    #[must_use]
    pub const fn steps(&self) -> u64 {
        self.steps
    }

    /// Whether the search has come to its end.
    #[must_use]
    pub const fn is_done(&self) -> bool {
        self.steps >= STEPS || self.quantity < 2
    }

    /// How much of the search is done, from 0 to 1.
    #[must_use]
    #[expect(clippy::cast_precision_loss, reason = "small numbers")]
    pub fn share_done(&self) -> f64 {
        if self.is_done() {
            1.0
        } else {
            self.steps as f64 / STEPS as f64
        }
    }

    /// Goes on for a part of the search. Whether it found something better.
    pub fn search(&mut self) -> bool {
        let end = self.steps + PART;
        while self.steps < end && !self.is_done() {
            // Shares that did well on triangles, stars, letters and the like (measured).
            let (along, within) = match self.reached.0 {
                0..=40 => (0.3, 0.6),
                41..=FEW => (0.1, 0.2),
                _ => (0.2, 0.2),
            };
            let way = self.chance.share();
            let group = self.chance.of(self.groups.len());
            let key = self.key();
            if way < along {
                let many = self.reached.0 > FEW;
                self.along(&key, group, if many { FEW / 2 } else { FEW });
            } else if way < within {
                self.within(&key, group);
            } else if self.steps > STEPS / 3 && self.chance.share() < 0.5 {
                self.refine();
            } else {
                let places = self.places(group);
                self.around(&key, group, places, false);
            }
            // Whatever it was, it comes to an end.
            self.steps += 200;
        }
        self.tell()
    }

    /// Rows and columns of rectangles, for which nothing is searched.
    #[expect(clippy::cast_precision_loss, reason = "small numbers")]
    fn boxes(&mut self) {
        let gap = self.input.gap;
        for &turn in self.input.turns.quarters() {
            let size = self.sizes[turn];
            let fit =
                |room: f64, side: f64| index(cell((room + gap + EDGE) / (side + gap))).unwrap_or(0);
            let columns = fit(self.room.width, size.width);
            let most = columns.saturating_mul(fit(self.room.height, size.height));
            let copies: Vec<Copy> = (0..self.quantity.min(most))
                .map(|place| Copy {
                    turn,
                    x: (place % columns) as f64 * (size.width + gap),
                    y: (place / columns) as f64 * (size.height + gap),
                })
                .collect();
            let reached = self.reach(&copies);
            if better(reached, self.reached) {
                self.reached = reached;
                self.best = self.nest(&copies);
                self.best.boxes = (self.best.placements.len(), self.best.length_mm);
            }
        }
    }

    /// What comes first: some of what is likely to be good.
    fn first(&mut self) {
        let groups = self.groups.len();
        for (across, most) in [(1e-4, 24), (0.1, 24), (1e-4, FEW), (0.1, FEW)] {
            for group in 0..groups {
                if self.steps < PART / 3 {
                    let key = Key {
                        height: 0.5,
                        across,
                        turn: [0.0; 4],
                    };
                    self.along(&key, group, most);
                }
            }
        }
        if self.quantity < 2 {
            return;
        }
        let key = Key {
            height: 0.0,
            across: 1e-4,
            turn: [0.0; 4],
        };
        for share in 0..24 {
            for group in 0..groups {
                if self.steps < PART {
                    let (least, most) = self.rings(group);
                    // By the golden ratio, which spreads evenly however many there are.
                    let part = (f64::from(share) * 0.618_033_988_7).fract();
                    let places = least + cell(f64::from(most - least) * part);
                    self.around(&key, group, places, false);
                }
            }
        }
    }

    /// A key drawn at random.
    fn key(&mut self) -> Key {
        let some = self.drawn.size().max_side() * 0.3;
        let chance = &mut self.chance;
        let height = if chance.share() < 0.5 {
            0.0
        } else {
            chance.share()
        };
        let across = if chance.share() < 0.5 {
            1e-4
        } else {
            chance.share() * chance.share()
        };
        let turn = [(); 4].map(|()| chance.share() * some);
        Key {
            height,
            across,
            turn,
        }
    }

    /// The least and the greatest ring for a group of turns, in places of the grid.
    fn rings(&self, group: usize) -> (i32, i32) {
        let cells = self.groups[group]
            .iter()
            .map(|turn| self.around.cells[*turn]);
        let most = cells.max().unwrap_or(1);
        (most / 8, most.saturating_mul(23) / 10)
    }

    /// The places of a ring drawn at random, often of one near that of a good pattern.
    fn places(&mut self, group: usize) -> i32 {
        let (least, most) = self.rings(group);
        if self.chance.share() < 0.4
            && let Some(ring) = self.known()
        {
            let places = ring.places / if ring.finer { FINER } else { 1 };
            return (places + cell(self.chance.share() * 7.0) - 4).max(1);
        }
        least + cell(self.chance.share() * f64::from(most - least))
    }

    /// A good pattern that was laid on a ring, if the one drawn at random was.
    fn known(&mut self) -> Option<Ring> {
        let place = self.chance.of(self.patterns.len());
        self.patterns
            .get(place)
            .and_then(|pattern| pattern.ring.clone())
    }

    /// At most so many copies along the film, each as near to its start as it goes.
    fn along(&mut self, key: &Key, group: usize, most: usize) {
        self.along.ready(&self.groups[group], &mut self.steps);
        let mut bed = Bed::new(
            &self.along,
            &self.groups[group],
            self.room.width + EDGE,
            self.room.height + EDGE,
        );
        bed.fill(key, most.min(self.quantity));
        self.steps += bed.steps();
        let spots = bed.laid;
        let grid = self.along.grid;
        let copies: Vec<Copy> = spots
            .iter()
            .map(|spot| Copy {
                turn: spot.turn,
                x: f64::from(spot.place) * grid,
                y: spot.low,
            })
            .collect();
        if let Some((from, to, period)) = run(&self.along, &spots, &mut self.steps) {
            self.keep(Pattern::new(copies[from..to].to_vec(), period, None));
        }
        self.offer(copies);
    }

    /// Copies on a ring of so many places, as many as the width of the film holds.
    fn around(&mut self, key: &Key, group: usize, places: i32, finer: bool) {
        let kit = if finer {
            &mut self.finer
        } else {
            &mut self.around
        };
        kit.ready(&self.groups[group], &mut self.steps);
        let mut bed = Bed::on_ring(kit, &self.groups[group], places, self.room.width + EDGE);
        bed.fill(key, 2 * self.quantity);
        self.steps += bed.steps();
        let (spots, grid) = (bed.laid, kit.grid);
        let copies = lying(&spots, grid);
        let ring = Ring {
            spots,
            places,
            finer,
            group,
            key: *key,
        };
        self.keep(Pattern::new(copies, f64::from(places) * grid, Some(ring)));
    }

    /// A good pattern again, on a finer grid and a ring that is a little smaller.
    fn refine(&mut self) {
        if let Some(ring) = self.known() {
            let places = ring.places * if ring.finer { 1 } else { FINER };
            let off = cell(self.chance.share() * f64::from(2 * FINER));
            self.around(&ring.key, ring.group, places - off, true);
        }
    }

    /// Keeps a pattern if it is among the best ones, and offers what comes out of it.
    fn keep(&mut self, pattern: Option<Pattern>) {
        let known = self
            .patterns
            .first()
            .map_or(f64::INFINITY, |best| best.each);
        let Some(pattern) = pattern.filter(|pattern| pattern.each <= known * WORTH) else {
            return;
        };
        let copies = pattern.repeated(
            self.quantity,
            self.room.height,
            &self.sizes,
            &mut self.steps,
        );
        self.offer(copies);
        let same = |other: &Pattern| {
            (other.each - pattern.each).abs() < 1e-9 && other.copies.len() == pattern.copies.len()
        };
        if !self.patterns.iter().any(same) {
            let place = self
                .patterns
                .partition_point(|other| other.each <= pattern.each);
            self.patterns.insert(place, pattern);
            self.patterns.truncate(KEPT);
        }
    }

    /// Copies within a length a little less than that of the best layout, or on the whole of a sheet that does not
    /// hold all of them yet.
    fn within(&mut self, key: &Key, group: usize) {
        let (count, length) = self.reached;
        let grid = self.around.grid;
        let length = if count < self.quantity {
            self.room.height
        } else {
            length - grid * self.chance.share() * 3.0
        };
        let mut group = group;
        let mut seeds = Vec::new();
        let ring = if self.chance.share() < 0.6 {
            self.known()
        } else {
            None
        };
        if let Some(ring) = ring.filter(|ring| !ring.finer) {
            group = ring.group;
            let from = ring
                .spots
                .get(self.chance.of(ring.spots.len()))
                .map_or(0, |spot| spot.place);
            for spot in &ring.spots {
                let mut place = (spot.place - from).rem_euclid(ring.places);
                let height = self.sizes[spot.turn].height;
                while f64::from(place) * grid + height <= length + EDGE {
                    seeds.push(Spot { place, ..*spot });
                    place += ring.places;
                }
            }
        }
        self.around.ready(&self.groups[group], &mut self.steps);
        let mut bed = Bed::new(
            &self.around,
            &self.groups[group],
            length + EDGE,
            self.room.width + EDGE,
        );
        for seed in seeds.into_iter().take(self.quantity) {
            bed.lay(seed);
        }
        bed.fill(key, self.quantity);
        self.steps += bed.steps();
        let copies = lying(&bed.laid, grid);
        self.offer(copies);
    }

    /// Takes a layout if it is the best one when all its copies are moved down.
    fn offer(&mut self, mut copies: Vec<Copy>) {
        let (count, length) = self.reach(&copies);
        if count < self.reached.0 || (count == self.reached.0 && length > self.reached.1 * WORTH) {
            return;
        }
        self.rests.settle(&mut copies, &mut self.steps);
        let reached = self.reach(&copies);
        if better(reached, self.reached) {
            self.reached = reached;
            self.found = Some(copies);
        }
    }

    /// How many copies there are, and how far along the film they reach.
    fn reach(&self, copies: &[Copy]) -> (usize, f64) {
        let tops = copies
            .iter()
            .map(|copy| copy.y + self.sizes[copy.turn].height);
        (copies.len(), tops.fold(0.0, f64::max))
    }

    /// Fits what was found by more points of the decal and tells it, if it stands every check.
    fn tell(&mut self) -> bool {
        let Some(mut copies) = self.found.take() else {
            return false;
        };
        self.fits.settle(&mut copies, &mut self.steps);
        let nest = self.nest(&copies);
        let known = (self.best.placements.len(), self.best.length_mm);
        let told = better((copies.len(), nest.length_mm), known)
            && check::fault(&self.input, &nest.placements, nest.length_mm).is_none();
        if told {
            let boxes = self.best.boxes;
            self.best = Nest { boxes, ..nest };
        }
        told
    }

    #[expect(clippy::cast_precision_loss, reason = "small numbers")]
    fn nest(&self, copies: &[Copy]) -> Nest {
        let (margin, drawn) = (self.input.margin, self.drawn);
        let placements = copies.iter().map(|copy| {
            // Where the upper left corner of the drawing comes to lie when it is turned about its origin.
            let (x, y, turn) = match copy.turn {
                0 => (drawn.x0, drawn.y0, 0),
                1 => (-drawn.y1, drawn.x0, 90),
                2 => (-drawn.x1, -drawn.y1, 180),
                _ => (drawn.y0, -drawn.x1, 270),
            };
            Placement {
                dx: margin + copy.x - x,
                dy: margin + copy.y - y,
                turn,
            }
        });
        let length_mm = self.reach(copies).1 + 2.0 * margin;
        let decal: f64 = self.input.rings.iter().map(|ring| area(ring)).sum();
        Nest {
            placements: placements.collect(),
            length_mm,
            boxes: (0, f64::INFINITY),
            share_used: decal * copies.len() as f64 / (length_mm * self.input.width),
        }
    }
}

/// Copies that were laid across the film.
fn lying(spots: &[Spot], grid: f64) -> Vec<Copy> {
    let copy = |spot: &Spot| Copy {
        turn: spot.turn,
        x: spot.low,
        y: f64::from(spot.place) * grid,
    };
    spots.iter().map(copy).collect()
}
