//! Where pieces lie on a sheet or roll.

use super::order::{Piece, Stock};
use super::sorted::sort_by_key;
use crate::measure::Length;

/// One piece on the stock, placed from the loading corner, the margin included.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Placed {
    /// Which of the sizes asked for it is, from 0.
    pub piece: u32,
    /// Distance of the nearer side from the stock's edge, across its width.
    pub x: Length,
    /// The same along the stock's length.
    pub y: Length,
    pub width: Length,
    pub height: Length,
    pub turned: bool,
}

/// Where an origin in the usable part is, and which way the piece lies; the solvers' own terms.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Spot {
    /// Whole nanometres along the usable length.
    pub along: i64,
    /// Whole nanometres across the usable width.
    pub across: i64,
    pub turned: bool,
}

/// Pieces on one sheet or on the first part of a roll, in the order of their distance from the end
/// that is loaded.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Layout {
    pub placed: Vec<Placed>,
    /// What the pieces take of the stock's length, with the margin at both ends.
    pub length: Length,
}

impl Layout {
    /// The pieces at `spots`; of more than `count` those furthest from the loading end are left out.
    pub fn new(stock: &Stock, piece: Piece, mut spots: Vec<Spot>, count: usize) -> Self {
        sort_by_key(&mut spots, |spot| (spot.along.into(), spot.across));
        spots.truncate(count);
        let mut end = Length::ZERO;
        let placed = spots.into_iter().map(|spot| {
            let lies = if spot.turned { piece.turned() } else { piece };
            let y = stock.margin + Length::from_nm(spot.along);
            end = end.max(y + lies.height);
            Placed {
                piece: 0,
                x: stock.margin + Length::from_nm(spot.across),
                y,
                width: lies.width,
                height: lies.height,
                turned: spot.turned,
            }
        });
        let placed = placed.collect();
        Self {
            placed,
            length: end + stock.margin,
        }
    }

    /// The pieces where they are placed, in the order of their distance from the loading end.
    pub fn of(stock: &Stock, mut placed: Vec<Placed>) -> Self {
        sort_by_key(&mut placed, |placed| (placed.y.nm().into(), placed.x.nm()));
        let ends = placed.iter().map(|placed| placed.y + placed.height);
        let length = ends.max().unwrap_or_default() + stock.margin;
        Self { placed, length }
    }

    /// `count` pieces in rows and columns, the better of both ways: on a sheet the way that holds
    /// more of the `count`, then the shorter one.
    pub fn grid(stock: &Stock, piece: Piece, count: usize) -> Self {
        let one_way = Self::grid_one_way(stock, piece, false, count);
        if !piece.turn {
            return one_way;
        }
        let turned = Self::grid_one_way(stock, piece, true, count);
        let worth = |layout: &Self| (layout.placed.len(), -layout.length.nm());
        if worth(&turned) > worth(&one_way) {
            turned
        } else {
            one_way
        }
    }

    fn grid_one_way(stock: &Stock, piece: Piece, turned: bool, count: usize) -> Self {
        let lies = if turned { piece.turned() } else { piece };
        let (along, across) = (lies.height + stock.gap, lies.width + stock.gap);
        let columns = (stock.usable_width() + stock.gap).nm() / across.nm();
        let rows = stock
            .usable_length()
            .map_or(i64::MAX, |length| (length + stock.gap).nm() / along.nm());
        let spots = (0..rows).flat_map(|row| {
            (0..columns).map(move |column| Spot {
                along: along.nm() * row,
                across: across.nm() * column,
                turned,
            })
        });
        let spots = if columns == 0 {
            Vec::new()
        } else {
            spots.take(count).collect()
        };
        Self::new(stock, piece, spots, count)
    }
}
