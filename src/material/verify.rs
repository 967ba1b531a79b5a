//! Checks a layout before anyone sees it, sharing no code with whoever made it.

use super::layout::{Layout, Placed};
use super::order::{Piece, Stock};
use crate::measure::Length;
use std::collections::BTreeMap;

/// What is wrong with a layout; pieces by their place in it, from 0.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Fault {
    /// Lies in the margin or beyond the stock.
    Outside(usize),
    /// Is not of the size asked for.
    WrongSize(usize),
    /// Is turned though it may not be.
    Turned(usize),
    /// Two pieces overlap, or lie nearer to each other than the gap.
    TooNear(usize, usize),
    /// The layout says that it is shorter than its pieces need.
    TooShort,
}

/// The first fault of a layout, found by sweeping a line along the stock.
pub(super) fn fault(layout: &Layout, stock: &Stock, piece: Piece) -> Option<Fault> {
    let pieces = layout.placed.iter().enumerate();
    pieces
        .clone()
        .find_map(|(index, placed)| own_fault(index, placed, stock, piece))
        .or_else(|| too_near(&layout.placed, stock.gap))
        .or_else(|| {
            let ends = pieces.map(|(_, placed)| placed.y + placed.height + stock.margin);
            ends.max()
                .is_some_and(|end| end > layout.length)
                .then_some(Fault::TooShort)
        })
}

fn own_fault(index: usize, placed: &Placed, stock: &Stock, piece: Piece) -> Option<Fault> {
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
    let mut by_start: Vec<usize> = (0..placed.len()).collect();
    by_start.sort_by_key(|index| placed[*index].y);
    let mut by_end = by_start.clone();
    by_end.sort_by_key(|index| placed[*index].y + placed[*index].height);
    let mut leaving = by_end.into_iter().peekable();
    let mut crossed: BTreeMap<Length, usize> = BTreeMap::new();
    for entering in by_start {
        let new = &placed[entering];
        while let Some(gone) =
            leaving.next_if(|index| placed[*index].y + placed[*index].height + gap <= new.y)
        {
            crossed.remove(&placed[gone].x);
        }
        let before = crossed.range(..=new.x).next_back();
        if let Some((_, other)) =
            before.filter(|(x, other)| **x + placed[**other].width + gap > new.x)
        {
            return Some(Fault::TooNear(*other, entering));
        }
        let after = crossed.range(new.x..).next();
        if let Some((_, other)) = after.filter(|(x, _)| new.x + new.width + gap > **x) {
            return Some(Fault::TooNear(*other, entering));
        }
        crossed.insert(new.x, entering);
    }
    None
}
