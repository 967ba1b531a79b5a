//! Lines by where they are, to find those that a line of the result lies on.

use super::super::flat::{Chord, Node, count};

/// So many lines of a neighbourhood are looked at for one line of the result, at most.
const MOST_LOOKED_AT: usize = 4_000;

/// A line goes through so many cells at most, on average; some more for its width.
const MOST_CELLS: i64 = 16;

/// Lines by the square cell of the plane that they go through.
pub(super) struct Cells {
    origin: [i64; 2],
    side: i64,
    across: i64,
    /// Where the lines of each cell begin in `lines`; the last one is where the list ends.
    begins: Vec<u32>,
    lines: Vec<u32>,
}

impl Cells {
    pub(super) fn over(chords: &[Chord]) -> Self {
        let (mut low, mut high) = ([i64::MAX; 2], [i64::MIN; 2]);
        for node in chords.iter().flat_map(|chord| [chord.from, chord.to]) {
            for (axis, at) in [node.x, node.y].into_iter().enumerate() {
                low[axis] = low[axis].min(i64::from(at));
                high[axis] = high[axis].max(i64::from(at));
            }
        }
        if chords.is_empty() {
            (low, high) = ([0; 2], [0; 2]);
        }
        let cells = i64::from(count(chords.len()).isqrt()).clamp(1, 1024);
        let mut side = ((high[0] - low[0]).max(high[1] - low[1]) + 2 * PAD) / cells + 1;
        // Many long lines go through so many cells that the list would be too long.
        let [across, down] = [0, 1].map(|axis| {
            let ways = chords.iter().map(|chord| {
                let [from, to] = [chord.from, chord.to].map(|node| [node.x, node.y][axis]);
                i64::from(from.abs_diff(to))
            });
            ways.sum::<i64>()
        });
        let most = MOST_CELLS * i64::from(count(chords.len()));
        while (across + down) / side > most {
            side *= 2;
        }
        let mut all = Self {
            origin: [low[0] - PAD, low[1] - PAD],
            side,
            across: 0,
            begins: Vec::new(),
            lines: Vec::new(),
        };
        all.across = all.column(high[0] + PAD) + 1;
        let down = all.row(high[1] + PAD) + 1;
        // Counted first, so that all of them are in one list.
        let mut begins = vec![0_u32; place(all.across * down) + 1];
        for chord in chords {
            all.visit(chord, &mut |cell| begins[cell + 1] += 1);
        }
        for cell in 1..begins.len() {
            begins[cell] += begins[cell - 1];
        }
        let mut lines = vec![0; begins.last().map_or(0, |end| *end as usize)];
        let mut next = begins.clone();
        for (line, chord) in chords.iter().enumerate() {
            all.visit(chord, &mut |cell| {
                lines[next[cell] as usize] = count(line);
                next[cell] += 1;
            });
        }
        (all.begins, all.lines) = (begins, lines);
        all
    }

    const fn column(&self, x: i64) -> i64 {
        (x - self.origin[0]) / self.side
    }

    const fn row(&self, y: i64) -> i64 {
        (y - self.origin[1]) / self.side
    }

    /// Calls for each cell that a line comes near to.
    fn visit(&self, chord: &Chord, call: &mut impl FnMut(usize)) {
        let [a, b] = [chord.from, chord.to].map(|node| (i64::from(node.x), i64::from(node.y)));
        let (upper, lower) = if a.1 <= b.1 { (a, b) } else { (b, a) };
        for row in self.row(upper.1 - PAD)..=self.row(lower.1 + PAD) {
            // Where the line enters and leaves this row of cells.
            let top = (self.origin[1] + row * self.side - PAD).clamp(upper.1, lower.1);
            let bottom = (self.origin[1] + (row + 1) * self.side + PAD).clamp(upper.1, lower.1);
            let at = |y: i64| {
                if lower.1 == upper.1 {
                    return None;
                }
                Some(upper.0 + (lower.0 - upper.0) * (y - upper.1) / (lower.1 - upper.1))
            };
            let (left, right) = match (at(top), at(bottom)) {
                (Some(a), Some(b)) => (a.min(b), a.max(b)),
                _ => (a.0.min(b.0), a.0.max(b.0)),
            };
            for column in self.column(left - PAD)..=self.column(right + PAD) {
                call(place(row * self.across + column));
            }
        }
    }

    /// Lines near the middle of what lies between two points.
    pub(super) fn around(&self, begin: Node, end: Node) -> &[u32] {
        let middle = |a: i32, b: i32| i64::midpoint(i64::from(a), i64::from(b));
        let (x, y) = (middle(begin.x, end.x), middle(begin.y, end.y));
        let cell = place(self.row(y) * self.across + self.column(x));
        let bounds = self.begins.get(cell).zip(self.begins.get(cell + 1));
        let lines = bounds.and_then(|(from, to)| self.lines.get(*from as usize..*to as usize));
        let lines = lines.unwrap_or_default();
        &lines[..lines.len().min(MOST_LOOKED_AT)]
    }
}

/// Further than this from a line nothing is looked for.
const PAD: i64 = 32;

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "cells of the grid, whose numbers are small and not below zero"
)]
const fn place(cell: i64) -> usize {
    cell as usize
}
