//! What no layout can surpass, found without looking at any layout.
//!
//! The bound is the least of the area bound and of Barnes' bound over relaxed equivalents of the
//! instance. It shares no code with the solvers, so that a layout which meets it is proven best.
//!
//! Sources: F. W. Barnes, "Packing the maximum number of m × n tiles in a large p × q rectangle",
//! Discrete Mathematics 26 (1979) 93-100; K. A. Dowsland, "An exact algorithm for the pallet loading
//! problem", European Journal of Operational Research 31 (1987) 78-84, for equivalents; relaxed as
//! in E. G. Birgin, R. D. Lobato, R. Morabito, Journal of the Operational Research Society 61 (2010).

/// Rectangles to be packed that are all alike, in whole units of any size, with whatever keeps them
/// apart already added to them and to the space.
#[derive(Clone, Copy, Debug)]
pub(super) struct Question {
    /// The sides of one rectangle: along the space and across it as it lies unturned.
    pub piece: (i64, i64),
    /// The size of the space across.
    pub across: i64,
    /// Whether the rectangles may be turned.
    pub turn: bool,
}

/// Sides of equivalent rectangles are tried up to this one: the literature's instances need less
/// than half of it.
const GREATEST_SIDE: i64 = 64;

/// So many equivalents are kept for finding a length: those that bind at one length bind near it.
const KEPT: usize = 24;

/// So many patterns beyond the first length that the monotone bounds allow are looked at.
const STEPS: usize = 400;

impl Question {
    /// No layout holds more than this in a space of the length `along`.
    pub fn most(&self, along: i64) -> i64 {
        match self.sides(along) {
            Sides::OneWay(a, b) => (along / a) * (self.across / b),
            Sides::BothWays(long, short) => {
                let reach = corners(long, short, along);
                let bounds = self.equivalents(long, short).map(|e| e.most(&reach));
                bounds.min().unwrap_or(0)
            }
        }
    }

    /// No layout of `count` rectangles is shorter than this; `enough` is a length into which they
    /// are known to fit.
    pub fn shortest(&self, count: i64, enough: i64) -> i64 {
        let (long, short) = match self.sides(enough) {
            Sides::OneWay(a, b) => {
                let abreast = (self.across / b).max(1);
                return (count + abreast - 1) / abreast * a;
            }
            Sides::BothWays(long, short) => (long, short),
        };
        let reach = corners(long, short, enough);
        let mut kept: Vec<(i64, Equivalent)> = Vec::new();
        for equivalent in self.equivalents(long, short) {
            let most = equivalent.most(&reach);
            let at = kept.partition_point(|(other, _)| *other <= most);
            kept.insert(at, (most, equivalent));
            kept.truncate(KEPT);
        }
        // By area alone each equivalent allows more the longer the space is, so that the first
        // length which they all allow can be halved in upon.
        let (mut too_short, mut long_enough) = (0, enough);
        while too_short + 1 < long_enough {
            let middle = too_short + (long_enough - too_short) / 2;
            let reach = corners(long, short, middle);
            if kept.iter().all(|(_, e)| e.most_by_area(&reach) >= count) {
                long_enough = middle;
            } else {
                too_short = middle;
            }
        }
        // Barnes' bound may sink as the space grows, so from here on every length that a row of
        // rectangles can have is asked; a best layout has such a length.
        let mut length = next_row(long, short, long_enough);
        for _ in 0..STEPS {
            let reach = corners(long, short, length);
            if length >= enough || kept.iter().all(|(_, e)| e.most(&reach) >= count) {
                break;
            }
            length = next_row(long, short, length + 1);
        }
        length.min(enough)
    }

    /// The sides as far as they matter: rectangles that cannot lie both ways leave nothing to choose.
    fn sides(&self, along: i64) -> Sides {
        let (a, b) = self.piece;
        let (long, short) = (a.max(b), a.min(b));
        if !self.turn || long == short {
            Sides::OneWay(a, b)
        } else if long > self.across {
            Sides::OneWay(long, short)
        } else if long > along {
            Sides::OneWay(short, long)
        } else {
            Sides::BothWays(long, short)
        }
    }

    /// The rectangles themselves, in their greatest common unit, and others of small sides.
    fn equivalents(&self, long: i64, short: i64) -> impl Iterator<Item = Equivalent> {
        let unit = common(long, short);
        let reach = corners(long, short, self.across);
        let pairs = (1..=GREATEST_SIDE)
            .flat_map(|a| (1..=GREATEST_SIDE).map(move |b| (a, b)))
            .filter(|(a, b)| common(*a, *b) == 1);
        std::iter::once((long / unit, short / unit))
            .chain(pairs)
            .map(move |(a, b)| Equivalent {
                a,
                b,
                across: furthest(&reach, a, b),
            })
    }
}

enum Sides {
    /// All lie alike, `.0` along and `.1` across. A line along the space meets no more of them than
    /// fit end to end, and so does a line across, so that rows by columns is best.
    OneWay(i64, i64),
    /// The longer and the shorter side.
    BothWays(i64, i64),
}

/// Rectangles `a` by `b`, without a common divisor, that stand for the real ones. Wherever `i` long
/// and `j` short sides of real ones find room end to end, `i` sides of `a` and `j` of `b` find room
/// in the space that goes with them, so that this space holds at least as many.
#[derive(Clone, Copy, Debug)]
struct Equivalent {
    a: i64,
    b: i64,
    /// Size across of the space that goes with them.
    across: i64,
}

impl Equivalent {
    /// Barnes' bound, in the space whose length is the furthest of `reach`.
    ///
    /// An `a` by `b` rectangle can be sliced into strips 1 by `a` as well as 1 by `b`, so that the
    /// space must waste at least what the worse kind of strip leaves bare.
    fn most(&self, reach: &[(i64, i64)]) -> i64 {
        let along = furthest(reach, self.a, self.b);
        let bare = bare(along, self.across, self.a).max(bare(along, self.across, self.b));
        whole(
            i128::from(along) * i128::from(self.across) - bare,
            self.a,
            self.b,
        )
    }

    /// The bound by area alone, in the same space.
    fn most_by_area(&self, reach: &[(i64, i64)]) -> i64 {
        let along = furthest(reach, self.a, self.b);
        whole(i128::from(along) * i128::from(self.across), self.a, self.b)
    }
}

/// Whole rectangles of `a` by `b` in an area.
fn whole(area: i128, a: i64, b: i64) -> i64 {
    i64::try_from(area / (i128::from(a) * i128::from(b))).unwrap_or(i64::MAX)
}

/// What strips of 1 by `strip` must leave bare of a space of whole numbers (Barnes, theorem 1): colour
/// the squares along the diagonals in `strip` colours; each strip covers one square of each colour,
/// and of the rarest colour there are too few.
fn bare(along: i64, across: i64, strip: i64) -> i128 {
    let (r, s) = (along % strip, across % strip);
    let product = |a: i64, b: i64| i128::from(a) * i128::from(b);
    product(r, s).min(product(strip - r, strip - s))
}

/// The furthest that sides of `a` and `b` reach, in place of long and short ones.
fn furthest(reach: &[(i64, i64)], a: i64, b: i64) -> i64 {
    let ends = reach.iter().map(|(i, j)| i * a + j * b);
    ends.max().unwrap_or(0)
}

/// The ways to fill `space` with `i` long and `j` short sides end to end which are furthest for some
/// weights of `i` and `j`: the corners of the hull of all ways.
fn corners(long: i64, short: i64, space: i64) -> Vec<(i64, i64)> {
    let mut corners: Vec<(i64, i64)> = Vec::new();
    for i in 0..=space / long {
        let next = (i, (space - i * long) / short);
        while let [.., before, last] = corners[..] {
            let rise = |from: (i64, i64), to: (i64, i64)| (to.0 - from.0, to.1 - from.1);
            let (first, second) = (rise(before, last), rise(last, next));
            // The last way is no corner if the line from the one before to the next passes above it.
            if first.0 * second.1 < second.0 * first.1 {
                break;
            }
            corners.pop();
        }
        corners.push(next);
    }
    corners
}

/// The first length, not below `least`, of a row of long and short sides.
fn next_row(long: i64, short: i64, least: i64) -> i64 {
    let up = |length: i64| (length.max(0) + short - 1) / short * short;
    let rows = (0..=(least + long - 1) / long).map(|i| i * long + up(least - i * long));
    rows.min().unwrap_or(least)
}

/// The greatest common divisor.
fn common(mut a: i64, mut b: i64) -> i64 {
    while b != 0 {
        (a, b) = (b, a % b);
    }
    a
}
