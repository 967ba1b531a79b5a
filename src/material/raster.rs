//! The places along one side of the stock where a piece may have to begin.
//!
//! Every layout can be pushed towards the loading corner until each piece touches another one or
//! the edge, so that it begins at a sum of piece sides (normal patterns: N. Christofides and C.
//! Whitlock, Operations Research 25 (1977) 30-44). Of those, only what is left over when another
//! such sum is taken off the whole side matters (raster points: G. Scheithauer and J. Terno, 1996).

use super::sorted::sort_by_key;

/// Places in rising order, the first of them 0, with a table of what is left between any two.
#[derive(Clone, Debug)]
pub(super) struct Raster {
    at: Vec<i64>,
    /// For places `i` and `k <= i`, at `i * len + k`: the last place not beyond `at[i] - at[k]`.
    left: Vec<u16>,
}

impl Raster {
    /// Every sum of `long` and `short` sides up to `space`, or the `most` smallest of them.
    pub fn sums(long: i64, short: i64, space: i64, most: usize) -> Self {
        // The next sum is the least one that follows from a sum found before, by one side or the other.
        let mut at = vec![0];
        let (mut by_long, mut by_short) = (0, 0);
        while at.len() < most {
            let (longer, shorter) = (at[by_long] + long, at[by_short] + short);
            let next = longer.min(shorter);
            if next > space {
                break;
            }
            by_long += usize::from(longer == next);
            by_short += usize::from(shorter == next);
            at.push(next);
        }
        Self::new(at)
    }

    /// Places for a `space` that has more sums than can be looked at: rows of sides of one kind, and
    /// what they leave over; of those at most about `most`, evenly.
    pub fn thinned(long: i64, short: i64, space: i64, most: usize) -> Self {
        let last_sum = |space: i64| {
            let ends = (0..=space / long).map(|i| space - (space - i * long) % short);
            ends.max().unwrap_or(0)
        };
        let mut at = vec![0, last_sum(space)];
        for side in [long, short] {
            let count = space / side;
            let stride = (4 * count / i64::try_from(most).unwrap_or(1)).max(1);
            let mut row = 0;
            while row <= count {
                at.extend([row * side, last_sum(space - row * side)]);
                row += stride;
            }
        }
        sort_by_key(&mut at, |at| (i128::from(*at), 0));
        at.dedup();
        Self::new(at)
    }

    /// Only the places that matter for the whole of this raster's space.
    pub fn reduced(&self) -> Self {
        let points = self.points(self.len() - 1);
        Self::new(points.into_iter().map(|point| self.at[point]).collect())
    }

    fn new(at: Vec<i64>) -> Self {
        let count = at.len();
        let mut left = vec![0; count * count];
        for i in 0..count {
            let mut rest = i;
            for k in 0..=i {
                while at[rest] > at[i] - at[k] {
                    rest -= 1;
                }
                left[i * count + k] = u16::try_from(rest).unwrap_or(0);
            }
        }
        Self { at, left }
    }

    /// How many places there are; at least one.
    pub fn len(&self) -> usize {
        self.at.len()
    }

    /// The last place.
    pub fn end(&self) -> i64 {
        self.at[self.len() - 1]
    }

    /// All places in rising order.
    pub fn places(&self) -> &[i64] {
        &self.at
    }

    /// The last place not beyond what is left of place `whole` when place `taken` is taken off it.
    pub fn left(&self, whole: usize, taken: usize) -> usize {
        usize::from(self.left[whole * self.at.len() + taken])
    }

    /// The places that matter inside of a part that ends at place `whole`, in rising order.
    pub fn points(&self, whole: usize) -> Vec<usize> {
        let mut points: Vec<usize> = (0..=whole).map(|taken| self.left(whole, taken)).collect();
        points.reverse();
        points.dedup();
        points
    }
}
