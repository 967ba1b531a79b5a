//! The figures that a price ends in.

use super::{Currency, Rounding};
use rust_decimal::Decimal;
use serde::{Deserialize, Serialize};

/// What the last two figures of a price shall be.
///
/// In a currency without a minor unit they are the last two of the whole number (1195 yen); in one
/// with more than two decimals they are the first two decimals (4.950 dinar).
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
pub enum Ending {
    /// Any figures: only rounded up to the minor unit.
    #[default]
    #[serde(rename = "none")]
    Any,
    /// `.00`
    #[serde(rename = "00")]
    Whole,
    /// `.50` or `.00`: the next half.
    #[serde(rename = "50")]
    Half,
    /// `.95`
    #[serde(rename = "95")]
    NinetyFive,
    /// `.99`
    #[serde(rename = "99")]
    NinetyNine,
}

impl Ending {
    /// The least price with this ending that is not below `amount`.
    #[must_use]
    pub fn round_up(self, amount: Decimal, currency: Currency) -> Decimal {
        let cycle = if currency.exponent() == 0 {
            Decimal::ONE_HUNDRED
        } else {
            Decimal::ONE
        };
        let (step, offset) = match self {
            Self::Any => (currency.minor_unit(), Decimal::ZERO),
            Self::Whole => (cycle, Decimal::ZERO),
            Self::Half => (cycle / Decimal::TWO, Decimal::ZERO),
            Self::NinetyFive => (cycle, cycle * Decimal::new(95, 2)),
            Self::NinetyNine => (cycle, cycle * Decimal::new(99, 2)),
        };
        let steps = (amount - offset) / step;
        let steps = steps.round_dp_with_strategy(0, Rounding::Up.strategy());
        steps * step + offset
    }
}
