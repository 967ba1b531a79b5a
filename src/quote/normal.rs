//! The normal distribution, for a guess of how many will be sold.

use std::f64::consts::TAU;

/// Beyond so many standard deviations nothing is left that a float could tell from none.
const FAR: f64 = 8.3;

/// The height of the curve `z` standard deviations from its mean.
fn density(z: f64) -> f64 {
    (-0.5 * z * z).exp() / TAU.sqrt()
}

/// The share of all that lies below `z` standard deviations above the mean.
///
/// The series of G. Marsaglia, Evaluating the Normal Distribution, Journal of Statistical Software
/// 11(4), 2004, which states an absolute error of less than 8e-16 (from memory).
pub(super) fn below(z: f64) -> f64 {
    let z = z.clamp(-FAR, FAR);
    let (mut sum, mut term, mut odd) = (z, z, 1.0);
    // At the farthest z the terms fall below any figure of the sum before this many.
    for _ in 0..150 {
        odd += 2.0;
        term *= z * z / odd;
        sum += term;
    }
    (0.5 + sum * density(z)).clamp(0.0, 1.0)
}

/// The least z below which at least `share` of all lies, found by halving between both ends of the
/// curve; its error is that of [`below`], divided by the height of the curve there.
pub(super) fn quantile(share: f64) -> f64 {
    let (mut low, mut high) = (-FAR, FAR);
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        if below(middle) < share {
            low = middle;
        } else {
            high = middle;
        }
    }
    high
}

/// The normal loss function: by how much, on average, a draw exceeds `z`, in standard deviations.
pub(super) fn loss(z: f64) -> f64 {
    (density(z) - z * (1.0 - below(z))).max(0.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;
    use statrs::distribution::{Continuous, ContinuousCDF, Normal};

    fn close(ours: f64, known: f64, error: f64) {
        assert!((ours - known).abs() <= error, "{ours} is not {known}");
    }

    /// The percentage points that every table of the normal distribution prints (NIST/SEMATECH
    /// e-Handbook of Statistical Methods, 1.3.6.7.1, and Abramowitz and Stegun, table 26.5; from memory).
    #[test]
    fn printed_points_of_the_curve_are_met() {
        for (share, z) in [
            (0.5, 0.0),
            (0.75, 0.674_490),
            (0.8, 0.841_621),
            (0.9, 1.281_552),
            (0.95, 1.644_854),
            (0.975, 1.959_964),
            (0.99, 2.326_348),
            (0.995, 2.575_829),
            (0.999, 3.090_232),
            (0.9999, 3.719_016),
        ] {
            close(quantile(share), z, 5e-7);
            close(quantile(1.0 - share), -z, 5e-7);
            close(below(z), share, 5e-7);
        }
        // The share within one, two and three standard deviations.
        for (z, within) in [
            (1.0, 0.682_689_492),
            (2.0, 0.954_499_736),
            (3.0, 0.997_300_204),
        ] {
            close(below(z) - below(-z), within, 5e-10);
        }
    }

    /// The standard normal loss function as its tables print it in books on stock keeping, to four
    /// places (from memory): Cachon and Terwiesch, Matching Supply with Demand, appendix B.
    #[test]
    fn printed_losses_are_met() {
        for (z, lost) in [
            (0.0, 0.3989),
            (0.5, 0.1978),
            (0.85, 0.1100),
            (1.0, 0.0833),
            (2.0, 0.0085),
            (-1.0, 1.0833),
        ] {
            close(loss(z), lost, 5e-5);
        }
    }

    #[test]
    fn the_ends_of_the_curve_are_numbers() {
        for share in [-1.0, 0.0, 1.0, 2.0, f64::NAN] {
            assert!(quantile(share).abs() <= FAR, "{share}");
        }
        for z in [f64::NEG_INFINITY, -1e300, 1e300, f64::INFINITY] {
            close(below(z), if z < 0.0 { 0.0 } else { 1.0 }, 1e-15);
        }
    }

    proptest! {
        /// Another library.
        #[test]
        fn another_library_agrees(z in -8.0..8.0_f64, share in 1e-6..0.999_999_f64) {
            let normal = Normal::new(0.0, 1.0).unwrap();
            close(below(z), normal.cdf(z), 1e-10);
            close(density(z), normal.pdf(z), 1e-14);
            close(quantile(share), normal.inverse_cdf(share), 1e-7);
            // The stated error, against the reflection of the curve.
            close(below(z) + below(-z), 1.0, 16e-16);
            close(below(quantile(share)), share, 2e-15);
        }

        /// The loss is what lies beyond z, added up slice by slice.
        #[test]
        fn the_loss_is_the_area_above_the_curve(z in -4.0..4.0_f64) {
            let slices = 20_000;
            let width = (FAR - z) / f64::from(slices);
            let sum: f64 = (0..slices)
                .map(|slice| z + (f64::from(slice) + 0.5) * width)
                .map(|x| (x - z) * density(x) * width)
                .sum();
            close(loss(z), sum, 1e-6);
        }
    }
}
