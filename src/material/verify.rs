//! Checks a layout before anyone sees it, and the cuts that free its pieces, sharing no code with
//! whoever made them.

use super::layout::{Layout, Placed};
use super::order::{Piece, Stock};
use super::straight::{Cut, Rect};
use crate::measure::Length;
use std::collections::BinaryHeap;

/// What is wrong with a layout; pieces by their place in it, from 0.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Fault {
    /// Lies in the margin or beyond the stock.
    Outside(usize),
    /// Is not of a size asked for.
    WrongSize(usize),
    /// Is turned though it may not be.
    Turned(usize),
    /// Two pieces overlap, or lie nearer to each other than the gap.
    TooNear(usize, usize),
    /// The layout says that it is shorter than its pieces need.
    TooShort,
}

/// The first fault of a layout, found by sweeping a line along the stock.
pub(super) fn fault(layout: &Layout, stock: &Stock, pieces: &[Piece]) -> Option<Fault> {
    let ends = layout.placed.iter().map(|placed| placed.y + placed.height);
    let end = ends.max().map(|end| end + stock.margin);
    layout
        .placed
        .iter()
        .enumerate()
        .find_map(|(index, placed)| own_fault(index, placed, stock, pieces))
        .or_else(|| too_near(&layout.placed, stock.gap))
        .or_else(|| {
            let short = end.is_some_and(|end| end > layout.length);
            short.then_some(Fault::TooShort)
        })
}

fn own_fault(index: usize, placed: &Placed, stock: &Stock, pieces: &[Piece]) -> Option<Fault> {
    let Some(piece) = pieces.get(placed.piece as usize) else {
        return Some(Fault::WrongSize(index));
    };
    let asked = if placed.turned {
        (piece.height, piece.width)
    } else {
        (piece.width, piece.height)
    };
    let right = stock.width - stock.margin;
    let end = stock.length.map(|length| length - stock.margin);
    if (placed.width, placed.height) != asked {
        Some(Fault::WrongSize(index))
    } else if placed.turned && !piece.turn {
        Some(Fault::Turned(index))
    } else if placed.x < stock.margin
        || placed.y < stock.margin
        || placed.x + placed.width > right
        || end.is_some_and(|end| placed.y + placed.height > end)
    {
        Some(Fault::Outside(index))
    } else {
        None
    }
}

/// Two pieces that are nearer than `gap` both across and along the stock.
///
/// The line meets the near end of each piece in turn. The pieces that it crosses, each kept until
/// the line is a gap beyond it, must be a gap apart across; so they have an order there, and a new
/// one needs to be compared with its two neighbours only.
fn too_near(placed: &[Placed], gap: Length) -> Option<Fault> {
    let by_start = sorted(placed.iter().map(|piece| piece.y));
    let by_end = sorted(placed.iter().map(|piece| piece.y + piece.height + gap));
    let mut leaving = by_end.into_iter().peekable();
    let mut crossed: Vec<(Length, usize)> = Vec::new();
    for (start, _, entering) in by_start {
        let new = &placed[entering];
        while let Some((.., gone)) = leaving.next_if(|(end, ..)| *end <= start) {
            crossed.retain(|(_, other)| *other != gone);
        }
        let at = crossed.partition_point(|(x, _)| *x <= new.x);
        let before = at.checked_sub(1).map(|before| crossed[before]);
        if let Some((_, other)) =
            before.filter(|(x, other)| *x + placed[*other].width + gap > new.x)
        {
            return Some(Fault::TooNear(other, entering));
        }
        let after = crossed.get(at);
        if let Some((_, other)) = after.filter(|(x, _)| new.x + new.width + gap > *x) {
            return Some(Fault::TooNear(*other, entering));
        }
        crossed.insert(at, (new.x, entering));
    }
    None
}

/// Lengths in rising order with their places, in a form for which the standard library's heap is made
/// anyway.
fn sorted(lengths: impl Iterator<Item = Length>) -> Vec<(i128, i64, usize)> {
    let lengths: BinaryHeap<(i128, i64, usize)> = lengths
        .enumerate()
        .map(|(place, length)| (length.nm().into(), 0, place))
        .collect();
    lengths.into_sorted_vec()
}

/// What is wrong with a sequence of straight cuts; cuts and pieces by their place, from 0.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum CutFault {
    /// Does not go from edge to edge of any part that is there by then.
    NoPart(usize),
    /// Goes through a piece.
    Through(usize, usize),
    /// In the end the piece is not alone in a rectangle that is nowhere more than the allowance larger.
    NotFree(usize),
}

/// The first fault of a sequence, found by cutting rectangles as it says. `allowance` is what may be
/// left on each side of a piece.
pub(super) fn cut_fault(
    cuts: &[Cut],
    stock: Rect,
    pieces: &[Rect],
    allowance: Length,
) -> Option<CutFault> {
    // Each part: from the side, from the end, and the same two to its far corner.
    let corners = |rect: &Rect| {
        [
            rect.across.from,
            rect.along.from,
            rect.across.to,
            rect.along.to,
        ]
    };
    let pieces: Vec<[Length; 4]> = pieces.iter().map(corners).collect();
    let mut parts = vec![corners(&stock)];
    for (number, cut) in cuts.iter().enumerate() {
        // The coordinates that the cut divides, and those between which it runs.
        let (near, far) = if cut.across { (1, 3) } else { (0, 2) };
        let (begin, end) = (1 - near, 5 - far);
        let divided = parts.iter_mut().find(|part| {
            part[near] < cut.at
                && cut.at < part[far]
                && part[begin] == cut.span.from
                && part[end] == cut.span.to
        });
        let Some(part) = divided else {
            return Some(CutFault::NoPart(number));
        };
        let crossed = pieces.iter().position(|piece| {
            piece[near] < cut.at
                && cut.at < piece[far]
                && piece[begin] < part[end]
                && piece[end] > part[begin]
        });
        if let Some(piece) = crossed {
            return Some(CutFault::Through(number, piece));
        }
        let mut beyond = *part;
        beyond[near] = cut.at;
        part[far] = cut.at;
        parts.push(beyond);
    }
    let free = |piece: &[Length; 4], part: &[Length; 4]| {
        (0..2).all(|side| {
            let (before, behind) = (piece[side] - part[side], part[side + 2] - piece[side + 2]);
            let kept = Length::ZERO..=allowance;
            kept.contains(&before) && kept.contains(&behind)
        })
    };
    let holder = |piece: &[Length; 4]| parts.iter().position(|part| free(piece, part));
    let mut taken: Vec<usize> = Vec::new();
    for (index, piece) in pieces.iter().enumerate() {
        match holder(piece) {
            Some(part) if !taken.contains(&part) => taken.push(part),
            _ => return Some(CutFault::NotFree(index)),
        }
    }
    None
}

#[cfg(test)]
mod tests {
    use super::super::straight::Span;
    use super::*;
    use crate::measure::Unit;

    fn mm(count: i64) -> Length {
        Length::whole(count, Unit::Mm)
    }

    fn stock() -> Stock {
        Stock {
            width: mm(100),
            length: Some(mm(200)),
            margin: mm(5),
            gap: mm(2),
        }
    }

    const PIECE: Piece = Piece {
        width: Length::whole(30, Unit::Mm),
        height: Length::whole(40, Unit::Mm),
        turn: true,
    };

    fn layout(spots: &[(i64, i64, bool)]) -> Layout {
        let placed = spots.iter().map(|(x, y, turned)| {
            let (width, height) = if *turned { (40, 30) } else { (30, 40) };
            Placed {
                piece: 0,
                x: mm(*x),
                y: mm(*y),
                width: mm(width),
                height: mm(height),
                turned: *turned,
            }
        });
        Layout {
            placed: placed.collect(),
            length: mm(200),
        }
    }

    fn found(layout: &Layout) -> Option<Fault> {
        fault(layout, &stock(), &[PIECE])
    }

    #[test]
    fn a_sound_layout_has_no_fault() {
        // The last one ends at 95 and 195: on both margins exactly.
        let sound = layout(&[
            (5, 5, false),
            (37, 5, true),
            (5, 47, false),
            (37, 37, true),
            (65, 155, false),
        ]);
        assert_eq!(found(&sound), None);
    }

    #[test]
    fn each_planted_fault_is_found() {
        assert_eq!(found(&layout(&[(4, 5, false)])), Some(Fault::Outside(0)));
        assert_eq!(found(&layout(&[(5, 4, false)])), Some(Fault::Outside(0)));
        assert_eq!(
            found(&layout(&[(5, 5, false), (66, 5, false)])),
            Some(Fault::Outside(1))
        );
        assert_eq!(found(&layout(&[(5, 156, false)])), Some(Fault::Outside(0)));
        for near in [
            (36, 5, false),
            (5, 46, false),
            (36, 46, false),
            (20, 20, true),
        ] {
            let near = layout(&[(5, 5, false), near]);
            assert!(
                matches!(found(&near), Some(Fault::TooNear(_, _))),
                "{near:?}"
            );
        }
        let mut wrong = layout(&[(5, 5, false)]);
        wrong.placed[0].width = mm(29);
        assert_eq!(found(&wrong), Some(Fault::WrongSize(0)));
        let mut unknown = layout(&[(5, 5, false)]);
        unknown.placed[0].piece = 1;
        assert_eq!(found(&unknown), Some(Fault::WrongSize(0)));
        let mut short = layout(&[(5, 5, false)]);
        short.length = mm(49);
        assert_eq!(found(&short), Some(Fault::TooShort));
        let patterned = Piece {
            turn: false,
            ..PIECE
        };
        let turned = layout(&[(5, 5, true)]);
        assert_eq!(
            fault(&turned, &stock(), &[patterned]),
            Some(Fault::Turned(0))
        );
    }

    /// The sweep against a comparison of all pairs, on layouts of pieces thrown at random by a
    /// linear congruence.
    #[test]
    fn the_sweep_agrees_with_a_comparison_of_all_pairs() {
        let mut state = 12_345_u64;
        let mut random = |below: u64| {
            state = state
                .wrapping_mul(6_364_136_223_846_793_005)
                .wrapping_add(1);
            i64::try_from((state >> 33) % below).unwrap()
        };
        let mut sound = 0;
        for _ in 0..4_000 {
            let count = 2 + random(4);
            let spots: Vec<_> = (0..count)
                .map(|_| (5 + random(56), 5 + random(146), random(2) == 1))
                .collect();
            let layout = layout(&spots);
            let gap = stock().gap;
            let near = |a: &Placed, b: &Placed| {
                a.x < b.x + b.width + gap
                    && b.x < a.x + a.width + gap
                    && a.y < b.y + b.height + gap
                    && b.y < a.y + a.height + gap
            };
            let pairs = layout.placed.iter().enumerate();
            let any = pairs
                .flat_map(|(i, a)| layout.placed[i + 1..].iter().map(move |b| (a, b)))
                .any(|(a, b)| near(a, b));
            assert_eq!(too_near(&layout.placed, gap).is_some(), any, "{spots:?}");
            sound += u32::from(!any);
        }
        assert!(
            sound > 200,
            "too few sound layouts to mean anything: {sound}"
        );
    }

    /// Two pieces of 30 by 40 side by side, 2 apart, on 82 by 50, in the corner.
    #[test]
    fn each_planted_fault_of_a_sequence_is_found() {
        let span = |from, to| Span {
            from: mm(from),
            to: mm(to),
        };
        let rect = |x, x_end, y, y_end| Rect {
            across: span(x, x_end),
            along: span(y, y_end),
        };
        let stock = rect(0, 82, 0, 50);
        let pieces = [rect(0, 30, 0, 40), rect(32, 62, 0, 40)];
        let cut = |across, at, from, to| Cut {
            across,
            at: mm(at),
            span: span(from, to),
            whole: true,
        };
        let right = vec![
            cut(true, 41, 0, 82),
            cut(false, 63, 0, 41),
            cut(false, 31, 0, 41),
        ];
        let found = |cuts: &[Cut]| cut_fault(cuts, stock, &pieces, mm(1));
        assert_eq!(found(&right), None);
        let with = |index: usize, cut: Cut| {
            let mut cuts = right.clone();
            cuts[index] = cut;
            found(&cuts)
        };
        // Ends inside of the part, or is no longer there to be cut.
        assert_eq!(with(0, cut(true, 41, 0, 63)), Some(CutFault::NoPart(0)));
        assert_eq!(with(1, cut(false, 63, 0, 50)), Some(CutFault::NoPart(1)));
        assert_eq!(with(2, right[1]), Some(CutFault::NoPart(2)));
        assert_eq!(with(0, cut(true, 39, 0, 82)), Some(CutFault::Through(0, 0)));
        assert_eq!(
            with(1, cut(false, 61, 0, 41)),
            Some(CutFault::Through(1, 1))
        );
        // Nothing divides the two, or too much is left beside one of them.
        assert_eq!(found(&right[..2]), Some(CutFault::NotFree(0)));
        assert_eq!(with(1, cut(false, 64, 0, 41)), Some(CutFault::NotFree(1)));
    }
}
