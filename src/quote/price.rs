//! From the costs to a price, and from a price to what it leaves.

use super::costs::{Costs, Fee, Target};
use super::percent;
use crate::error::{Code, InputError};
use crate::money::Rounding;
use rust_decimal::Decimal;

/// What a price comes to for the whole order.
#[derive(Clone, Debug)]
pub(super) struct Outcome {
    /// Price of a piece.
    pub price: Decimal,
    /// What the customer pays.
    pub total: Decimal,
    pub channel_fee: Decimal,
    pub payment_fee: Decimal,
    /// What is left when everything is paid, the wage included.
    pub left: Decimal,
}

impl Outcome {
    /// What an hour of work on the order brings, the wage included.
    pub(super) fn hourly_pay(&self, costs: &Costs) -> Option<Decimal> {
        let hours = costs.order_hours();
        (!hours.is_zero()).then(|| (self.left + costs.pay(costs.wage)) / hours)
    }
}

/// Fees and margin may take at most this part of a price; beyond, the price would be more than a
/// hundred times the costs.
const LEAST_KEPT: Decimal = Decimal::from_parts(1, 0, 0, false, 2);

impl Costs {
    /// Reckons a price forward, each fee rounded as it is charged.
    pub(super) fn outcome(&self, price: Decimal) -> Outcome {
        let total = price * Decimal::from(self.pieces) + self.postage_charged;
        let charged = |fee: &Fee| {
            let fee = total * fee.share + fee.fixed;
            self.currency.round(fee, Rounding::HalfAwayFromZero)
        };
        let (channel_fee, payment_fee) = (charged(&self.channel), charged(&self.payment));
        Outcome {
            price,
            total,
            channel_fee,
            payment_fee,
            left: total - self.before_fees() - channel_fee - payment_fee,
        }
    }

    /// The least price with the chosen ending that reaches the target.
    ///
    /// Without rounding, what is left of an order of n pieces at the price p with postage s charged
    /// is (n p + s)(1 - f) - F - C, with f and F the fees' shares and fixed sums and C the costs.
    /// This is linear in p and solved exactly; the rounding of two fees can move it by one minor
    /// unit at most, so the search starts that much below and takes the first price that holds when
    /// it is reckoned forward.
    pub(super) fn price_for_target(&self) -> Result<Decimal, InputError> {
        let count = Decimal::from(self.pieces);
        let fees = self.channel.share + self.payment.share;
        let (margin, sum) = match self.target {
            Target::Margin(share) => (share, Decimal::ZERO),
            Target::HourlyPay(pay) => (Decimal::ZERO, self.pay(pay) - self.pay(self.wage)),
        };
        let kept = Decimal::ONE - fees - margin;
        if kept < LEAST_KEPT {
            return Err(nothing_kept(fees, margin));
        }
        let fixed = self.channel.fixed + self.payment.fixed;
        let needed =
            sum + self.before_fees() + fixed - self.postage_charged * (Decimal::ONE - fees);
        let unit = self.currency.minor_unit();
        let start = ((needed - unit) / kept / count).max(unit);
        let mut price = self.ending.round_up(start, self.currency);
        let enough = |price: Decimal| self.outcome(price).left >= sum + margin * price * count;
        while !enough(price) {
            price = self.ending.round_up(price + unit, self.currency);
        }
        Ok(price)
    }
}

fn nothing_kept(fees: Decimal, margin: Decimal) -> InputError {
    if Decimal::ONE - fees < LEAST_KEPT {
        return InputError::new(
            Code::Impossible,
            format!("the fees take {} % of every price", percent(fees)),
            "lower the fees: at least 1 % must be left to pay the costs from",
        )
        .at("channel.percent");
    }
    let most = (Decimal::ONE - fees - LEAST_KEPT).max(Decimal::ZERO);
    InputError::new(
        Code::Impossible,
        format!(
            "fees of {} % and a margin of {} % leave less than 1 % of a price to pay the costs from",
            percent(fees),
            percent(margin)
        ),
        format!("aim at a margin of at most {} %", percent(most)),
    )
    .at("target.value")
}
