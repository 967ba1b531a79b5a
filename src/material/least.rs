//! What no layout of pieces of several sizes can go below, found without looking at any layout.
//!
//! A conservative scale counts every side anew, so that sides which lie next to each other never
//! count more than the width of the film does; what the pieces count then bounds the film as their
//! area does. Wide pieces may count as much as the whole width, so that the bound sees that nothing
//! lies beside them. It shares no code with `nest`, so that a layout which meets it is proven best.
//!
//! Sources: S. P. Fekete, J. Schepers, "New classes of fast lower bounds for bin packing problems",
//! Mathematical Programming 91 (2001) 11-31, for the scales; the same, "A general framework for
//! bounds for higher-dimensional orthogonal packing problems", Mathematical Methods of Operations
//! Research 60 (2004) 311-329, for using one in each direction. A piece that may be turned counts as
//! it counts least.

use super::nest::{Kind, Space};
use super::sorted::sort_by_key;

/// The scales by multiples of a part of the width go up to this one.
const MOST_PARTS: i64 = 12;

/// So many sides are tried as the least that counts, where only the width is scaled.
const ROLL_SIDES: usize = 64;

/// The same where both directions are scaled, each with each.
const SHEET_SIDES: usize = 8;

/// The shares of remnants are rounded up to one of so many parts.
const PARTS: i128 = 1 << 40;

/// Counts the sides of pieces in a space of a given size.
#[derive(Clone, Copy, Debug)]
enum Scale {
    /// As they are.
    Same,
    /// In whole parts of the space, of which there are one more than said here (`u` in the source).
    Parts(i64),
    /// Sides below this count nothing, and those that leave less of the space count all of it (`U`).
    Ends(i64),
    /// Sides above half count all but what fits beside them in sides of this size; those from this
    /// size to half count one, smaller ones nothing (`phi`).
    Halves(i64),
}

impl Scale {
    /// What the whole space counts.
    const fn whole(self, space: i64) -> i64 {
        match self {
            Self::Same | Self::Ends(_) => space,
            Self::Parts(parts) => space * parts,
            Self::Halves(least) => space / least,
        }
    }

    /// What a side counts.
    const fn of(self, side: i64, space: i64) -> i64 {
        match self {
            Self::Same => side,
            Self::Parts(parts) => {
                let wide = (parts + 1) * side;
                if wide % space == 0 {
                    side * parts
                } else {
                    wide / space * space
                }
            }
            Self::Ends(least) => {
                if side < least {
                    0
                } else if side > space - least {
                    space
                } else {
                    side
                }
            }
            Self::Halves(least) => {
                if side < least {
                    0
                } else if 2 * side > space {
                    space / least - (space - side) / least
                } else {
                    1
                }
            }
        }
    }
}

/// The sides of a piece along and across the stock as it may lie, and how often.
#[derive(Clone, Copy, Debug)]
struct Piece {
    along: i64,
    across: i64,
    /// Whether both ways fit the fresh film.
    both: bool,
    /// Whether it fits one of the remnants.
    spare: bool,
    count: i64,
}

/// Pieces and spaces in the greatest unit in which all sides of pieces are whole numbers. In some best
/// layout every piece touches others or the edge, so that spaces are good for whole units only.
#[derive(Debug)]
struct Order {
    unit: i64,
    pieces: Vec<Piece>,
    /// The area of the remnants that take a piece.
    remnants: i128,
    /// The unit in which all sides that may lie along the stock are whole numbers.
    step: i64,
}

impl Order {
    /// The order on fresh film of the width `across`, and of any length or of `along`.
    fn new(kinds: &[Kind], remnants: &[Space], across: i64, along: Option<i64>) -> Self {
        let sides = kinds.iter().flat_map(|kind| [kind.along, kind.across]);
        let unit = sides.fold(0, common).max(1);
        let holds = |space: Space, kind: &Kind| {
            let fits = |a: i64, b: i64| a <= space.along && b <= space.across;
            fits(kind.along, kind.across) || kind.turn && fits(kind.across, kind.along)
        };
        let fresh = Space {
            along: along.unwrap_or(i64::MAX),
            across,
        };
        let pieces: Vec<Piece> = kinds
            .iter()
            .filter(|kind| kind.count > 0)
            .map(|kind| {
                let straight = kind.along <= fresh.along && kind.across <= fresh.across;
                let turned = kind.turn && kind.across <= fresh.along && kind.along <= fresh.across;
                let (along, across) = if straight {
                    (kind.along, kind.across)
                } else {
                    (kind.across, kind.along)
                };
                Piece {
                    along: along / unit,
                    across: across / unit,
                    both: straight && turned,
                    spare: remnants.iter().any(|remnant| holds(*remnant, kind)),
                    count: i64::from(kind.count),
                }
            })
            .collect();
        let used = remnants
            .iter()
            .filter(|remnant| kinds.iter().any(|kind| holds(**remnant, kind)))
            .map(|remnant| product(remnant.along / unit, remnant.across / unit));
        let step = pieces.iter().fold(0, |step, piece| {
            let step = common(step, piece.along);
            if piece.both {
                common(step, piece.across)
            } else {
                step
            }
        });
        Self {
            unit,
            remnants: used.sum(),
            step: step.max(1),
            pieces,
        }
    }

    /// What the pieces must count on fresh film at least, where `value` says what one of each size
    /// counts at least.
    fn beyond_remnants(&self, mut value: impl FnMut(&Piece) -> i128) -> i128 {
        let mut fresh = 0;
        let mut either = 0;
        // The most that a piece which may lie on a remnant counts for its area.
        let mut share = 0;
        for piece in &self.pieces {
            let value = value(piece);
            let all = value * i128::from(piece.count);
            if piece.spare {
                either += all;
                let area = product(piece.along, piece.across).max(1);
                let parts = value.checked_mul(PARTS);
                share = parts.map_or(i128::MAX, |parts| up(parts, area)).max(share);
            } else {
                fresh += all;
            }
        }
        let held = share.checked_mul(self.remnants);
        let held = held.map_or(either, |held| up(held, PARTS));
        fresh + (either - held).max(0)
    }

    /// The scales for a space: `sides` of the pieces' sides are tried as the least that counts.
    fn scales(&self, space: i64, sides: usize) -> Vec<Scale> {
        let mut all: Vec<i64> = self
            .pieces
            .iter()
            .flat_map(|piece| [piece.along, piece.across])
            .filter(|side| 2 * side <= space)
            .collect();
        sort_by_key(&mut all, |side| (i128::from(*side), 0));
        all.dedup();
        let every = all.len().div_ceil(sides).max(1);
        let least = all.iter().rev().step_by(every).copied();
        let scales = least.flat_map(|least| [Scale::Ends(least), Scale::Halves(least)]);
        [Scale::Same]
            .into_iter()
            .chain((1..=MOST_PARTS).map(Scale::Parts))
            .chain(scales)
            .collect()
    }
}

/// The length of roll of the width `across` that no layout goes below which also uses the remnants.
pub(super) fn roll(kinds: &[Kind], remnants: &[Space], across: i64) -> i64 {
    let order = Order::new(kinds, remnants, across, None);
    let across = (across / order.unit).max(1);
    let longest = order
        .pieces
        .iter()
        .filter(|piece| !piece.spare)
        .map(|piece| {
            if piece.both {
                piece.along.min(piece.across)
            } else {
                piece.along
            }
        })
        .max();
    let lengths = order.scales(across, ROLL_SIDES).into_iter().map(|scale| {
        let area = |along: i64, wide: i64| product(along, scale.of(wide, across));
        let counted = order.beyond_remnants(|piece| {
            let straight = area(piece.along, piece.across);
            if piece.both {
                straight.min(area(piece.across, piece.along))
            } else {
                straight
            }
        });
        up(counted, i128::from(scale.whole(across)))
    });
    let length = lengths
        .max()
        .unwrap_or(0)
        .max(i128::from(longest.unwrap_or(0)));
    let step = i128::from(order.step);
    let nanometres = up(length, step) * step * i128::from(order.unit);
    i64::try_from(nanometres).unwrap_or(i64::MAX)
}

/// The number of fresh sheets that no layout goes below which also uses the remnants.
pub(super) fn sheets(kinds: &[Kind], remnants: &[Space], sheet: Space) -> u32 {
    let order = Order::new(kinds, remnants, sheet.across, Some(sheet.along));
    let along = (sheet.along / order.unit).max(1);
    let across = (sheet.across / order.unit).max(1);
    let needed = i128::from(order.pieces.iter().any(|piece| !piece.spare));
    let counts = |space: i64| -> Vec<Counts> {
        let scales = order.scales(space, SHEET_SIDES);
        scales
            .into_iter()
            .map(|scale| Counts {
                whole: scale.whole(space),
                along: sides(&order.pieces, |p| scale.of(p.along, space)),
                across: sides(&order.pieces, |p| scale.of(p.across, space)),
            })
            .collect()
    };
    let (by_along, by_across) = (counts(along), counts(across));
    let pairs = by_along
        .iter()
        .flat_map(|a| by_across.iter().map(move |b| (a, b)));
    let bounds = pairs.map(|(a, b)| {
        let mut straight = a.along.iter().zip(&b.across);
        let mut turned = a.across.iter().zip(&b.along);
        let counted = order.beyond_remnants(|piece| {
            let straight = straight.next().map_or(0, |(a, b)| product(*a, *b));
            let turned = turned.next().map_or(0, |(a, b)| product(*a, *b));
            if piece.both {
                straight.min(turned)
            } else {
                straight
            }
        });
        up(counted, product(a.whole, b.whole))
    });
    let most = bounds.max().unwrap_or(0).max(needed);
    u32::try_from(most).unwrap_or(u32::MAX)
}

/// What a scale counts for a space and for each piece's sides.
#[derive(Debug)]
struct Counts {
    whole: i64,
    along: Vec<i64>,
    across: Vec<i64>,
}

fn sides(pieces: &[Piece], side: impl Fn(&Piece) -> i64) -> Vec<i64> {
    pieces.iter().map(side).collect()
}

fn product(a: i64, b: i64) -> i128 {
    i128::from(a) * i128::from(b)
}

/// A quotient, rounded up.
fn up(a: i128, b: i128) -> i128 {
    (a - 1).div_euclid(b.max(1)) + 1
}

/// The greatest common divisor.
fn common(mut a: i64, mut b: i64) -> i64 {
    while b != 0 {
        (a, b) = (b, a % b);
    }
    a
}

#[cfg(all(test, not(target_arch = "wasm32")))]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const fn kind(along: i64, across: i64, turn: bool, count: u32) -> Kind {
        Kind {
            along,
            across,
            turn,
            count,
        }
    }

    const fn space(along: i64, across: i64) -> Space {
        Space { along, across }
    }

    #[test]
    fn nothing_lies_beside_what_is_wider_than_half() {
        // Behind one another: 5 + 5 + 7.
        let kinds = [kind(5, 6, false, 2), kind(7, 9, false, 1)];
        assert_eq!(roll(&kinds, &[], 10), 17);
        // Turned as well.
        assert_eq!(roll(&[kind(6, 6, true, 4)], &[], 10), 24);
        assert_eq!(sheets(&[kind(6, 6, true, 5)], &[], space(10, 10)), 5);
    }

    #[test]
    fn three_lie_abreast_only_where_three_fit() {
        // Two abreast each way, so four to a sheet.
        let kinds = [kind(34, 34, true, 9)];
        assert_eq!(sheets(&kinds, &[], space(100, 100)), 3);
        assert_eq!(sheets(&kinds, &[], space(102, 102)), 1);
        // Two abreast: five rows of them.
        assert_eq!(roll(&kinds, &[], 100), 5 * 34);
    }

    #[test]
    fn a_piece_that_fits_no_remnant_needs_fresh_film() {
        let kinds = [kind(3, 8, true, 1), kind(1, 1, true, 4)];
        assert_eq!(roll(&kinds, &[space(7, 7)], 8), 3);
        assert_eq!(roll(&kinds, &[space(7, 7)], 7), 8);
        assert_eq!(roll(&kinds, &[space(9, 7)], 8), 0);
        assert_eq!(sheets(&kinds, &[space(7, 7)], space(8, 8)), 1);
        assert_eq!(sheets(&kinds, &[space(9, 7)], space(8, 8)), 0);
    }

    #[test]
    fn a_remnant_takes_no_more_than_its_area() {
        // Of 1000 square units 250 fit the remnant at most.
        let kinds = [kind(5, 5, true, 40)];
        assert_eq!(roll(&kinds, &[space(25, 10), space(4, 100)], 25), 30);
    }

    #[test]
    fn lengths_are_sums_of_sides() {
        // Area alone says 8.
        assert_eq!(roll(&[kind(6, 3, false, 4)], &[], 9), 12);
    }

    /// Which part is cut, whether across, where in hundredths, and whether the part left behind is
    /// asked for turned.
    type Cut = (prop::sample::Index, bool, i64, bool);

    fn cuts() -> impl Strategy<Value = Vec<Cut>> {
        prop::collection::vec(
            (
                any::<prop::sample::Index>(),
                any::<bool>(),
                1..100_i64,
                any::<bool>(),
            ),
            0..30,
        )
    }

    /// The pieces that spaces are cut into without waste.
    fn pieces(spaces: &[Space], cuts: &[Cut], turn: bool) -> Vec<Kind> {
        let mut parts: Vec<(i64, i64, bool)> =
            spaces.iter().map(|s| (s.along, s.across, false)).collect();
        for (part, across, at, turned) in cuts {
            let part = part.index(parts.len());
            let (a, b, _) = parts[part];
            let side = if *across { a } else { b };
            let at = side * at / 100;
            if at == 0 {
                continue;
            }
            let (first, second) = if *across {
                ((at, b), (a - at, b))
            } else {
                ((a, at), (a, b - at))
            };
            parts[part] = (first.0, first.1, *turned);
            parts.push((second.0, second.1, !*turned));
        }
        let piece = |(a, b, turned)| {
            if turn && turned {
                kind(b, a, true, 1)
            } else {
                kind(a, b, turn, 1)
            }
        };
        parts.into_iter().map(piece).collect()
    }

    proptest! {
        #[test]
        fn what_is_cut_without_waste_is_as_long_as_it_was(
            sides in prop::collection::vec((1..200_i64, 1..100_i64), 1..4),
            cuts in cuts(),
            turn in any::<bool>(),
        ) {
            let mut spaces: Vec<Space> = sides.iter().map(|(a, b)| space(*a, *b)).collect();
            let kinds = pieces(&spaces, &cuts, turn);
            let fresh = spaces.remove(0);
            // A piece cut from a remnant may not fit the roll, which is no question then.
            let fits = |k: &Kind| k.across <= fresh.across || k.turn && k.along <= fresh.across;
            prop_assume!(kinds.iter().all(fits));
            let least = roll(&kinds, &spaces, fresh.across);
            prop_assert!(least <= fresh.along);
            if spaces.is_empty() {
                prop_assert_eq!(least, fresh.along);
            }
        }

        #[test]
        fn sheets_cut_without_waste_are_as_many_as_they_were(
            sheet in (1..1_000_i64, 1..1_000_i64),
            number in 1..6_u32,
            remnant in (1..500_i64, 1..500_i64),
            cuts in cuts(),
            turn in any::<bool>(),
        ) {
            let sheet = space(sheet.0, sheet.1);
            let remnant = space(remnant.0.min(sheet.along), remnant.1.min(sheet.across));
            let mut spaces = vec![sheet; number as usize];
            let kinds = pieces(&spaces, &cuts, turn);
            prop_assert_eq!(sheets(&kinds, &[], sheet), number);
            spaces.push(remnant);
            let kinds = pieces(&spaces, &cuts, turn);
            prop_assert!(sheets(&kinds, &[remnant], sheet) <= number);
        }

        #[test]
        fn lengths_up_to_the_longest_do_not_overflow(
            kinds in prop::collection::vec((1..=10_000_000_000_000_i64, 1..=10_000_000_000_000_i64, any::<bool>()), 1..9),
        ) {
            let kinds: Vec<Kind> = kinds.into_iter().map(|(a, b, turn)| kind(a, b, turn, 1_000)).collect();
            let area: i128 = kinds.iter().map(|k| product(k.along, k.across) * 1_000).sum();
            let side = 10_000_000_000_000;
            let remnant = [space(side, side)];
            prop_assert!(i128::from(roll(&kinds, &[], side)) >= up(area, side.into()));
            prop_assert!(i128::from(sheets(&kinds, &[], space(side, side))) >= up(area, product(side, side)));
            prop_assert!(roll(&kinds, &remnant, side) <= roll(&kinds, &[], side));
        }
    }
}
