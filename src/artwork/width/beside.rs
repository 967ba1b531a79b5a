//! What lies beside a line, looked for once for all the discs that touch it.

use super::super::boxes::Search;
use super::Side;
use super::balls::{FEW, LEAN, Lines, SLACK, seen, touching};
use kurbo::{Point, Rect, Vec2};
use std::ops::Range;

impl Lines {
    /// The diameter above which no disc that touches a part of a line gets, since another line stops it: the diameter of
    /// those that touch both rises and falls along a line as a convex function does, so that it is greatest at an end.
    pub(super) fn bound(
        &self,
        line: usize,
        (from, to): (f64, f64),
        side: Side,
        stop: usize,
    ) -> Option<f64> {
        let normal = self.normal(line, side);
        let at = |at: f64| {
            let ends = seen(self, stop, self.spot(line, at).point, normal);
            touching(ends, LEAN.2).map(|(_, across)| across)
        };
        Some(at(from)?.max(at(to)?))
    }

    /// The lines that can matter to discs that touch a part of a line, up to a diameter; none where they are many. They
    /// are looked for among some lines, or among all.
    pub(super) fn beside(
        &self,
        line: usize,
        (from, to): (f64, f64),
        side: Side,
        most: f64,
        among: Option<&[usize]>,
    ) -> Option<Vec<usize>> {
        let (start, normal) = (self.spot(line, from).point, self.normal(line, side));
        let end = normal.cross(self.spot(line, to).point - start);
        let mut strip = Strip {
            lines: self,
            line,
            start,
            normal,
            along: (end.min(0.0), end.max(0.0)),
            // Somewhat more, so that nothing depends on rounding.
            height: most * SLACK * 1.01,
            found: Vec::new(),
        };
        if let Some(among) = among {
            for line in among {
                strip.meet_lines(*line..line + 1);
            }
            self.looked.set(self.looked.get() + among.len());
        } else {
            let looked = self.boxes.search(&mut strip);
            self.looked.set(self.looked.get() + looked);
        }
        Some(strip.found).filter(|found| found.len() <= FEW)
    }
}

/// The search for what discs can meet that touch a part of a line.
struct Strip<'a> {
    lines: &'a Lines,
    line: usize,
    /// Where the part begins.
    start: Point,
    normal: Vec2,
    /// From where to where it goes, as seen from its begin in the direction of the normal.
    along: (f64, f64),
    /// So high the discs are.
    height: f64,
    found: Vec<usize>,
}

impl Search for Strip<'_> {
    fn wants(&self, area: &Rect) -> bool {
        let middle = area.center() - self.start;
        let half = area.size().to_vec2() / 2.0;
        let (x, y) = (self.normal.cross(middle), self.normal.dot(middle));
        let normal = Vec2::new(self.normal.x.abs(), self.normal.y.abs());
        let wide = normal.y * half.x + normal.x * half.y + self.height / 2.0;
        let high = normal.dot(half);
        self.found.len() <= FEW
            && y + high >= 0.0
            && y - high <= self.height
            && x + wide >= self.along.0
            && x - wide <= self.along.1
    }

    fn meet(&mut self, _: &Rect, lines: Range<usize>) {
        self.meet_lines(lines);
    }
}

impl Strip<'_> {
    fn meet_lines(&mut self, lines: Range<usize>) {
        for line in lines {
            if line == self.line || self.found.len() > FEW {
                continue;
            }
            let [from, to] = seen(self.lines, line, self.start, self.normal);
            let mut part = (0.0_f64, 1.0_f64);
            let mut cut = |start: f64, end: f64| {
                if start < 0.0 && end < 0.0 {
                    part = (1.0, 0.0);
                } else if start < 0.0 {
                    part.0 = part.0.max(start / (start - end));
                } else if end < 0.0 {
                    part.1 = part.1.min(start / (start - end));
                }
            };
            let near = self.height * 1e-6;
            cut(from.y + near, to.y + near);
            cut(self.height - from.y, self.height - to.y);
            for (from, to) in [
                (
                    Vec2::new(from.x - self.along.0, from.y),
                    Vec2::new(to.x - self.along.0, to.y),
                ),
                (
                    Vec2::new(self.along.1 - from.x, from.y),
                    Vec2::new(self.along.1 - to.x, to.y),
                ),
            ] {
                cut(from.x + self.height / 2.0, to.x + self.height / 2.0);
                let aside = |end: Vec2| end.x + LEAN.2 * end.y + 8.0 * near;
                cut(aside(from), aside(to));
            }
            if part.0 <= part.1 + 1e-9 {
                self.found.push(line);
            }
        }
    }
}
