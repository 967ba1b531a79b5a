//! What lies near a place: a tree of boxes round short runs of lines.
//!
//! Unlike the cells of a grid, its boxes are as small as what is in them, wherever the lines crowd: all of a
//! drawing in one corner, or one line across all of it, are no worse than lines spread evenly. What stays slow is
//! thousands of long slanted lines side by side, whose boxes all overlap; who searches therefore counts the boxes
//! that were looked into and stops at a limit.

use kurbo::{Point, Rect};
use std::ops::Range;

/// Lines in a run at the foot of the tree.
pub(super) const RUN: usize = 6;

/// Boxes in a box of the next level.
const FAN: usize = 4;

/// A tree of boxes over lines that are numbered from 0 on.
pub(super) struct Boxes {
    /// The boxes of each level from the foot up; the last one has one box at most.
    levels: Vec<Vec<Rect>>,
    /// The lines in each box of the foot.
    runs: Vec<Range<usize>>,
}

/// What is searched for.
pub(super) trait Search {
    /// Whether anything in a box could matter.
    fn wants(&self, area: &Rect) -> bool;

    /// Looks at lines of a box that was wanted.
    fn meet(&mut self, area: &Rect, lines: Range<usize>);
}

impl Boxes {
    /// A tree over lines, of which those in one part (of a ring, say) follow each other in space too.
    pub(super) fn new(parts: &[Range<usize>], line: impl Fn(usize) -> [Point; 2]) -> Self {
        let mut found: Vec<(Rect, Range<usize>)> = Vec::new();
        for part in parts {
            for start in part.clone().step_by(RUN) {
                let run = start..(start + RUN).min(part.end);
                let areas = run.clone().map(|number| {
                    let [from, to] = line(number);
                    Rect::from_points(from, to)
                });
                if let Some(area) = areas.reduce(|all, area| all.union(area)) {
                    found.push((area, run));
                }
            }
        }
        // Places are counted off rather than measured, so that a crowd in a corner is told apart too.
        let counted = |along: &dyn Fn(&Rect) -> f64| {
            let mut order: Vec<usize> = (0..found.len()).collect();
            order.sort_unstable_by(|one, other| {
                along(&found[*one].0)
                    .total_cmp(&along(&found[*other].0))
                    .then(one.cmp(other))
            });
            let mut places = vec![0_u32; order.len()];
            for (place, number) in (0..).zip(order) {
                places[number] = place;
            }
            places
        };
        let (x, y) = (
            counted(&|area| area.x0 + area.x1),
            counted(&|area| area.y0 + area.y1),
        );
        let mut order: Vec<usize> = (0..found.len()).collect();
        order.sort_unstable_by_key(|number| interleaved(x[*number], y[*number]));
        let found: Vec<_> = order
            .into_iter()
            .filter_map(|number| found.get(number).cloned())
            .collect();
        let mut levels = vec![found.iter().map(|(area, _)| *area).collect::<Vec<_>>()];
        while let Some(under) = levels.last().filter(|level| level.len() > 1) {
            let union = |boxes: &[Rect]| {
                let all = boxes.iter().copied().reduce(|all, area| all.union(area));
                all.unwrap_or_default()
            };
            levels.push(under.chunks(FAN).map(union).collect());
        }
        let runs = found.into_iter().map(|(_, run)| run).collect();
        Self { levels, runs }
    }

    /// The box round everything.
    pub(super) fn whole(&self) -> Rect {
        let top = self.levels.last().and_then(|level| level.first());
        top.copied().unwrap_or_default()
    }

    /// The runs of lines at the foot of the tree, each with its box.
    pub(super) fn runs(&self) -> impl Iterator<Item = (Rect, Range<usize>)> {
        let areas = self.levels.iter().take(1).flatten().copied();
        areas.zip(self.runs.iter().cloned())
    }

    /// Shows a search all lines whose boxes it wants, and tells how many boxes and lines were looked at.
    pub(super) fn search(&self, search: &mut impl Search) -> usize {
        let mut seen = 1;
        if search.wants(&self.whole()) {
            self.descend(self.levels.len() - 1, 0, search, &mut seen);
        }
        seen
    }

    /// The runs of lines whose boxes have a point in common with an area, each with its box, and how many boxes and lines
    /// were looked at.
    pub(super) fn near(&self, area: Rect) -> (Vec<(Rect, Range<usize>)>, usize) {
        let mut near = Near {
            area,
            found: Vec::new(),
        };
        let seen = self.search(&mut near);
        (near.found, seen)
    }

    /// Goes on in a box that is wanted.
    fn descend(&self, level: usize, place: usize, search: &mut impl Search, seen: &mut usize) {
        if level > 0 {
            let level = level - 1;
            let under = &self.levels[level];
            let from = place * FAN;
            let to = (from + FAN).min(under.len());
            *seen += to - from;
            for (place, area) in under[from..to].iter().enumerate() {
                if search.wants(area) {
                    self.descend(level, from + place, search, seen);
                }
            }
        } else if let Some((area, run)) = self.levels[0].get(place).zip(self.runs.get(place)) {
            *seen += run.len();
            search.meet(area, run.clone());
        }
    }
}

/// The search for what has a point in common with an area.
struct Near {
    area: Rect,
    found: Vec<(Rect, Range<usize>)>,
}

impl Search for Near {
    fn wants(&self, area: &Rect) -> bool {
        meet(area, &self.area)
    }

    fn meet(&mut self, area: &Rect, lines: Range<usize>) {
        self.found.push((*area, lines));
    }
}

/// Whether two boxes have a point in common.
#[expect(clippy::inline_always, reason = "most of a search is this")]
#[inline(always)]
pub(super) fn meet(one: &Rect, other: &Rect) -> bool {
    one.x0 <= other.x1 && one.x1 >= other.x0 && one.y0 <= other.y1 && one.y1 >= other.y0
}

/// The bits of two numbers in turn, so that places with near numbers are near each other.
fn interleaved(x: u32, y: u32) -> u64 {
    let spread = |value: u32| {
        let bits = u64::from(value);
        let bits = (bits | bits << 16) & 0x0000_ffff_0000_ffff;
        let bits = (bits | bits << 8) & 0x00ff_00ff_00ff_00ff;
        let bits = (bits | bits << 4) & 0x0f0f_0f0f_0f0f_0f0f;
        let bits = (bits | bits << 2) & 0x3333_3333_3333_3333;
        (bits | bits << 1) & 0x5555_5555_5555_5555
    };
    spread(x) | spread(y) << 1
}
