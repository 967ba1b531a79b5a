//! Straight cuts with knife and straightedge, in the order in which they are made.
//!
//! Whatever way a layout was found, its cuts are derived from where the pieces lie: a part of the
//! stock is trimmed to its pieces, then divided wherever a line from edge to edge meets none of
//! them, and so is each part that this leaves. A line that meets no piece may always be cut, for it
//! leaves every other one possible; so nothing has to be tried twice.

use super::sorted::sort_by_key;
use crate::measure::Length;

/// From one distance to another.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Span {
    pub from: Length,
    pub to: Length,
}

/// A piece, or a part of the stock.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Rect {
    /// From the side edge at the loading corner.
    pub across: Span,
    /// From the loaded end.
    pub along: Span,
}

/// A straight cut from edge to edge of one part of the stock.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Cut {
    /// Whether it runs across the stock, rather than along it.
    pub across: bool,
    /// Its distance from the loaded end if it runs across, from the side edge at the loading corner
    /// if it runs along.
    pub at: Length,
    /// Where it begins and ends, measured the other way.
    pub span: Span,
    /// Whether it divides all that is left of the stock, so that nobody has to measure its ends.
    pub whole: bool,
}

/// A part of the stock that is still to be cut, with the pieces in it.
struct Part {
    rect: Rect,
    pieces: Vec<Rect>,
}

/// What has been cut so far.
struct Table {
    /// What a cut in the middle of the gap leaves round the border that lies before it.
    half: Length,
    /// The same round the one behind it; a nanometre more where the gap is odd.
    other_half: Length,
    gap: Length,
    cuts: Vec<Cut>,
    parts: Vec<Part>,
}

/// The cuts that free every piece: first the one at `cut_off`, if any, that takes the pieces off the
/// `stock`, then part by part what trims and divides it, rows before columns, each in the middle of a
/// gap; none where straight cuts cannot free them.
///
/// Afterwards each piece is a rectangle by itself that is nowhere more than half a gap larger than
/// its border. The pieces lie inside of the stock, before the cut, and apart by the gap.
pub(super) fn sequence(
    stock: Rect,
    cut_off: Option<Length>,
    pieces: Vec<Rect>,
    gap: Length,
) -> Option<Vec<Cut>> {
    let half = Length::from_nm(gap.nm() / 2);
    let mut table = Table {
        half,
        other_half: gap - half,
        gap,
        cuts: Vec::new(),
        parts: Vec::new(),
    };
    let mut rect = stock;
    if let Some(at) = cut_off {
        table.cut(&mut rect, true, at, true);
    }
    if !pieces.is_empty() {
        table.parts.push(Part { rect, pieces });
    }
    // Parts wait in the order in which they come off, so that all cuts of one kind follow each other.
    let mut next = 0;
    while next < table.parts.len() {
        let Part { rect, .. } = table.parts[next];
        let pieces = std::mem::take(&mut table.parts[next].pieces);
        table.divide(rect, pieces, next == 0)?;
        next += 1;
    }
    Some(table.cuts)
}

impl Table {
    /// Cuts `rect` across the stock or along it, and goes on with what lies before the cut.
    fn cut(&mut self, rect: &mut Rect, across: bool, at: Length, whole: bool) {
        self.mark(rect, across, at, whole);
        rect.side_mut(across).to = at;
    }

    fn mark(&mut self, rect: &Rect, across: bool, at: Length, whole: bool) {
        self.cuts.push(Cut {
            across,
            at,
            span: rect.side(!across),
            whole,
        });
    }

    /// Trims a part and divides it; none where it holds several pieces that no cut divides. The cuts of
    /// each kind follow each other in the order of their distance.
    fn divide(&mut self, mut rect: Rect, mut pieces: Vec<Rect>, whole: bool) -> Option<()> {
        let (across, mut starts) = self.rows_or_columns(&mut pieces);
        if starts.len() < 2 && pieces.len() > 1 {
            return None;
        }
        self.keep_together(&pieces, &mut starts, across);
        self.trim_near(&mut rect, !across, &pieces, whole);
        self.trim_far(&mut rect, !across, &pieces, whole);
        self.trim_near(&mut rect, across, &pieces, whole);
        let ends = starts[1..].iter().copied().chain([pieces.len()]);
        for (start, end) in starts.iter().zip(ends) {
            let row = pieces[*start..end].to_vec();
            let mut near = rect;
            if end < pieces.len() {
                let at = extent(&row, across).to + self.half;
                self.cut(&mut near, across, at, whole);
                rect.side_mut(across).from = at;
            } else {
                self.trim_far(&mut near, across, &row, whole);
            }
            // A piece by itself has been trimmed on all sides now.
            if starts.len() > 1 {
                self.parts.push(Part {
                    rect: near,
                    pieces: row,
                });
            }
        }
        Some(())
    }

    /// Leaves neighbouring rows together that are to be trimmed at the same ends, so that one cut does
    /// it for all of them. They are never all rows, for what the widest reach is no longer trimmed.
    fn keep_together(&self, pieces: &[Rect], starts: &mut Vec<usize>, across: bool) {
        let widest = extent(pieces, !across);
        let mut end = pieces.len();
        let mut behind = None;
        let mut kept = Vec::new();
        for start in starts.iter().rev() {
            let ends = extent(&pieces[*start..end], !across);
            let trimmed =
                widest.to - ends.to > self.other_half || ends.from - widest.from > self.other_half;
            if trimmed && behind == Some(ends) {
                kept.pop();
            }
            kept.push(*start);
            (behind, end) = (Some(ends), *start);
        }
        kept.reverse();
        *starts = kept;
    }

    /// Cuts off what lies before the pieces, if it is more than half a gap.
    fn trim_near(&mut self, rect: &mut Rect, across: bool, pieces: &[Rect], whole: bool) {
        let taken = extent(pieces, across);
        if taken.from - rect.side(across).from > self.other_half {
            let at = taken.from - self.half;
            self.mark(rect, across, at, whole);
            rect.side_mut(across).from = at;
        }
    }

    /// Cuts off what lies behind them.
    fn trim_far(&mut self, rect: &mut Rect, across: bool, pieces: &[Rect], whole: bool) {
        let taken = extent(pieces, across);
        if rect.side(across).to - taken.to > self.other_half {
            self.cut(rect, across, taken.to + self.half, whole);
        }
    }

    /// Whether pieces are divided by cuts across, and with which of them, then in that order, each
    /// part begins: rows if they are alike, or else columns if those are, or else what there is.
    fn rows_or_columns(&self, pieces: &mut Vec<Rect>) -> (bool, Vec<usize>) {
        let starts = rows(pieces, true, self.gap);
        if alike(pieces, &starts, true) {
            return (true, starts);
        }
        let mut turned = pieces.clone();
        let columns = rows(&mut turned, false, self.gap);
        if starts.len() > 1 && !alike(&turned, &columns, false) {
            return (true, starts);
        }
        *pieces = turned;
        (false, columns)
    }
}

impl Rect {
    /// What cuts across or along divide: the extent along for those that run across.
    const fn side(&self, across: bool) -> Span {
        if across { self.along } else { self.across }
    }

    const fn side_mut(&mut self, across: bool) -> &mut Span {
        if across {
            &mut self.along
        } else {
            &mut self.across
        }
    }
}

/// From the first border to the last one.
fn extent(pieces: &[Rect], across: bool) -> Span {
    let sides = || pieces.iter().map(|piece| piece.side(across));
    Span {
        from: sides().map(|side| side.from).min().unwrap_or_default(),
        to: sides().map(|side| side.to).max().unwrap_or_default(),
    }
}

/// Sorts the pieces and tells with which of them a row begins that a whole gap keeps apart from all
/// before.
fn rows(pieces: &mut [Rect], across: bool, gap: Length) -> Vec<usize> {
    sort_by_key(pieces, |piece| {
        let (side, other) = (piece.side(across), piece.side(!across));
        (side.from.nm().into(), other.from.nm())
    });
    let mut starts = vec![0];
    let mut reach = Length::ZERO;
    for (index, piece) in pieces.iter().enumerate() {
        let side = piece.side(across);
        if index > 0 && side.from >= reach + gap {
            starts.push(index);
        }
        reach = reach.max(side.to);
    }
    starts
}

/// Whether there are several rows, all equally deep.
fn alike(pieces: &[Rect], starts: &[usize], across: bool) -> bool {
    let ends = starts[1..].iter().copied().chain([pieces.len()]);
    let mut depths = starts.iter().zip(ends).map(|(start, end)| {
        let row = extent(&pieces[*start..end], across);
        row.to - row.from
    });
    let first = depths.next();
    starts.len() > 1 && depths.all(|depth| Some(depth) == first)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rect(x: i64, y: i64, width: i64, height: i64) -> Rect {
        let span = |from: i64, long: i64| Span {
            from: Length::from_nm(from),
            to: Length::from_nm(from + long),
        };
        Rect {
            across: span(x, width),
            along: span(y, height),
        }
    }

    fn freed(pieces: &[Rect], gap: i64) -> bool {
        let stock = rect(0, 0, 1_000, 1_000);
        let gap = Length::from_nm(gap);
        sequence(stock, None, pieces.to_vec(), gap).is_some()
    }

    /// Whether some line from edge to edge divides the pieces, and so on, by trying each border.
    fn separable(pieces: &[Rect], gap: i64) -> bool {
        pieces.len() < 2
            || [true, false].into_iter().any(|across| {
                pieces.iter().any(|piece| {
                    let line = piece.side(across).to;
                    let (near, far): (Vec<Rect>, Vec<Rect>) =
                        pieces.iter().partition(|p| p.side(across).to <= line);
                    let clear = far
                        .iter()
                        .all(|p| p.side(across).from >= line + Length::from_nm(gap));
                    !far.is_empty() && clear && separable(&near, gap) && separable(&far, gap)
                })
            })
    }

    #[test]
    fn the_sails_of_a_mill_cannot_be_freed() {
        let mill = [
            rect(0, 0, 30, 20),
            rect(30, 0, 20, 30),
            rect(20, 30, 30, 20),
            rect(0, 20, 20, 30),
        ];
        assert!(!freed(&mill, 0));
        assert!(freed(&mill[..3], 0));
        // Beside it, a fifth that can be cut off does not help the others.
        let five = [&mill[..], &[rect(0, 60, 30, 20)]].concat();
        assert!(!freed(&five, 0));
    }

    /// On 100 by 100 a row as wide as the stock, then three of 60, all 20 deep: what lies beside the
    /// three is cut off at once.
    #[test]
    fn rows_that_end_alike_are_trimmed_together() {
        let pieces = vec![
            rect(0, 0, 100, 20),
            rect(0, 20, 60, 20),
            rect(0, 40, 60, 20),
            rect(0, 60, 60, 20),
        ];
        let cuts = sequence(rect(0, 0, 100, 100), None, pieces, Length::ZERO).unwrap();
        let told: Vec<_> = cuts
            .iter()
            .map(|cut| {
                (
                    cut.across,
                    cut.at.nm(),
                    cut.span.from.nm(),
                    cut.span.to.nm(),
                )
            })
            .collect();
        let expected = [
            (true, 20, 0, 100),
            (true, 80, 0, 100),
            (false, 60, 20, 80),
            (true, 40, 0, 60),
            (true, 60, 0, 60),
        ];
        assert_eq!(told, expected);
    }

    /// Pieces thrown at random by a linear congruence, of two sizes.
    #[test]
    fn what_trying_every_line_frees_is_freed() {
        let mut state = 2_026_u64;
        let mut random = |below: u64| {
            state = state
                .wrapping_mul(6_364_136_223_846_793_005)
                .wrapping_add(1);
            i64::try_from((state >> 33) % below).unwrap()
        };
        let (mut can, mut cannot) = (0, 0);
        for gap in [0, 2, 3] {
            for _ in 0..3_000 {
                let mut pieces: Vec<Rect> = Vec::new();
                for _ in 0..14 {
                    let sides = [(30, 12), (12, 30), (16, 16)];
                    let (width, height) = sides[usize::try_from(random(3)).unwrap()];
                    let new = rect(random(70), random(70), width, height);
                    let gap = Length::from_nm(gap);
                    let apart = |a: Span, b: Span| a.to + gap <= b.from || b.to + gap <= a.from;
                    let clear =
                        |old: &Rect| apart(old.across, new.across) || apart(old.along, new.along);
                    if pieces.iter().all(clear) {
                        pieces.push(new);
                    }
                }
                let truth = separable(&pieces, gap);
                assert_eq!(freed(&pieces, gap), truth, "{pieces:?}");
                can += u32::from(truth);
                cannot += u32::from(!truth);
            }
        }
        assert!(can > 100 && cannot > 100, "{can} {cannot}");
    }
}
