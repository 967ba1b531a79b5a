//! Rates that are not below nothing, by least squares.

/// So many times as large, in squares, may the error of a rate be as it were if no other column went with
/// its own (the variance inflation factor; rule of thumb): beyond that the drawings are of one kind, only
/// larger and smaller.
const MOST_INFLATED: f64 = 1_000.0;

/// Rates that meet a log best.
pub(super) struct Fit<const N: usize> {
    /// The rates, none below nothing.
    pub rates: [f64; N],
    /// Their variances and covariances; nothing for a rate that is nothing.
    pub covariance: [[f64; N]; N],
    /// The sum of the squares that they leave.
    pub residue: f64,
}

/// The product of a row with rates.
pub(super) fn dot<const N: usize>(row: &[f64; N], rates: &[f64; N]) -> f64 {
    let mut sum = 0.0;
    for (part, rate) in row.iter().zip(rates) {
        sum += part * rate;
    }
    sum
}

impl<const N: usize> Fit<N> {
    /// The standard error of each rate.
    pub fn errors(&self) -> [f64; N] {
        std::array::from_fn(|place| self.covariance[place][place].sqrt())
    }

    /// The standard error of what the rates make of a row.
    pub fn error_of(&self, row: &[f64; N]) -> f64 {
        let lines = self.covariance.map(|line| dot(&line, row));
        // Rounding may leave a little less than nothing.
        dot(row, &lines).max(0.0).sqrt()
    }
}

/// The inverse of the part of a symmetric matrix whose rows and columns are `chosen`, by their bits, with
/// nothing in the others: elimination without a choice of pivots, which a matrix such as this one, with
/// ones on its diagonal, does not need. None where that part is not positive definite.
fn inverse<const N: usize>(matrix: &[[f64; N]; N], chosen: u32) -> Option<[[f64; N]; N]> {
    let within = |place: &usize| chosen >> place & 1 == 1;
    let mut left = *matrix;
    let mut right = [[0.0; N]; N];
    for place in (0..N).filter(within) {
        right[place][place] = 1.0;
    }
    for pivot in (0..N).filter(within) {
        // What is left of the one is the share of a column that those before it do not tell.
        let share = left[pivot][pivot];
        if share * MOST_INFLATED < 0.1 {
            return None;
        }
        for column in 0..N {
            left[pivot][column] /= share;
            right[pivot][column] /= share;
        }
        for row in (0..N).filter(within).filter(|row| *row != pivot) {
            let factor = left[row][pivot];
            for column in 0..N {
                left[row][column] -= factor * left[pivot][column];
                right[row][column] -= factor * right[pivot][column];
            }
        }
    }
    Some(right)
}

/// The rates by which `rows`, of measures and minutes, are met best and of which none is below nothing:
/// nonnegative least squares (Lawson and Hanson, Solving Least Squares Problems, 1974, chapter 23; from
/// memory). Of so few columns every choice of those that count can be tried, by the normal equations of
/// columns of length one, and the best is the answer. None with fewer than two rows more than columns,
/// and where the columns are too much alike to be told apart.
pub(super) fn fit<const N: usize>(rows: &[([f64; N], f64)]) -> Option<Fit<N>> {
    if rows.len() < N + 2 {
        return None;
    }
    let mut squares = [0.0; N];
    for (row, _) in rows {
        for (square, part) in squares.iter_mut().zip(row) {
            *square += part * part;
        }
    }
    let lengths = squares.map(f64::sqrt);
    if lengths.contains(&0.0) {
        return None;
    }
    let mut products = [[0.0; N]; N];
    let mut aims = [0.0; N];
    for (row, minutes) in rows {
        let row: [f64; N] = std::array::from_fn(|place| row[place] / lengths[place]);
        for (line, part) in products.iter_mut().zip(row) {
            for (product, other) in line.iter_mut().zip(row) {
                *product += part * other;
            }
        }
        for (aim, part) in aims.iter_mut().zip(row) {
            *aim += part * minutes;
        }
    }
    let all = (1 << N) - 1;
    let inflated = inverse(&products, all)?;
    if (0..N).any(|place| inflated[place][place] > MOST_INFLATED) {
        return None;
    }
    let mut best: Option<Fit<N>> = None;
    for chosen in 1..=all {
        let Some(inverse) = inverse(&products, chosen) else {
            continue;
        };
        let scaled = inverse.map(|line| dot(&line, &aims));
        if scaled.iter().any(|rate| *rate < 0.0) {
            continue;
        }
        let rates: [f64; N] = std::array::from_fn(|place| scaled[place] / lengths[place]);
        let mut residue = 0.0;
        for (row, minutes) in rows {
            let off = minutes - dot(row, &rates);
            residue += off * off;
        }
        if best.as_ref().is_none_or(|best| residue < best.residue) {
            let freedom = number(rows.len()) - f64::from(chosen.count_ones());
            let variance = residue / freedom;
            let mut covariance = inverse;
            for (line, length) in covariance.iter_mut().zip(lengths) {
                for (value, other) in line.iter_mut().zip(lengths) {
                    *value *= variance / (length * other);
                }
            }
            best = Some(Fit {
                rates,
                covariance,
                residue,
            });
        }
    }
    best
}

/// A number of entries.
#[expect(clippy::cast_precision_loss, reason = "nobody logs so much")]
pub(super) const fn number(count: usize) -> f64 {
    count as f64
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The example of the manual of MATLAB for its `lsqnonneg`, which has the algorithm of Lawson and
    /// Hanson, in ten thousandths: the answer is 0 and 0.6929, where plain least squares would have one
    /// rate below nothing; the norm of what is left is 0.9118 (from memory, to a unit of the last digit).
    #[test]
    fn a_published_example_is_met() {
        let rows = [
            ([372.0, 2868.0], 8587.0),
            ([6861.0, 7071.0], 1781.0),
            ([6233.0, 6245.0], 747.0),
            ([6344.0, 6170.0], 8405.0),
        ];
        let fit = fit(&rows).unwrap();
        assert!(fit.rates[0].abs() < 1e-12, "{:?}", fit.rates);
        assert!((fit.rates[1] - 0.6929).abs() < 1e-4, "{:?}", fit.rates);
        assert!((fit.residue.sqrt() - 9118.0).abs() < 1.0);
    }
}
