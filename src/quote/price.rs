//! From the costs to a price, and from a price to what it leaves.

use super::costs::{Costs, Target, carried};
use super::fees::{LEAST_KEPT, Sale, least_items};
use super::percent;
use crate::error::{Code, InputError};
use rust_decimal::{Decimal, RoundingStrategy};
use say::say;

/// What a price comes to for the whole order.
#[derive(Clone, Debug)]
pub(super) struct Outcome {
    /// Price of a piece.
    pub price: Decimal,
    pub sale: Sale,
    /// What is left when everything is paid, the wage included.
    pub left: Decimal,
}

impl Outcome {
    /// What the order brings for the work on it: the wage and what is left.
    pub(super) fn earned(&self, costs: &Costs) -> Decimal {
        self.left + costs.pay(costs.wage)
    }

    /// What an hour of work on the order brings, the wage included.
    pub(super) fn hourly_pay(&self, costs: &Costs) -> Option<Decimal> {
        let hours = costs.order_hours();
        (!hours.is_zero()).then(|| self.earned(costs) / hours)
    }
}

impl Costs {
    /// Reckons a price forward, each charge rounded as it is made.
    pub(super) fn outcome(&self, price: Decimal) -> Outcome {
        let sale = self.terms.sale(price * Decimal::from(self.pieces));
        Outcome {
            price,
            left: sale.kept - self.all(),
            sale,
        }
    }

    /// The least price with the chosen ending that reaches the target.
    ///
    /// Without rounding, what is kept of a sale is solved exactly, piece by piece. The rounding of a
    /// charge moves it by half a minor unit at most, and what is charged on a rounded tax by as much
    /// again, so the search starts below by one for each charge and takes the first price that holds
    /// when it is reckoned forward: no lower one can. Where next to nothing is kept of each further
    /// unit, that would take for ever: after so many prices the search goes on with the first one
    /// that holds whatever is rounded.
    ///
    /// # Errors
    /// [`Code::Impossible`] where fees and margin leave nothing to pay the costs from.
    pub(super) fn price_for(&self, target: Target) -> Result<Decimal, InputError> {
        self.price_from(target, self.terms.currency.minor_unit())
    }

    /// The same, not below `least`. A price above the least one need not reach the target too: a tier that
    /// counts for the whole, or the rounding of several charges at once, may take more than it adds.
    pub(super) fn price_from(
        &self,
        target: Target,
        mut least: Decimal,
    ) -> Result<Decimal, InputError> {
        let count = Decimal::from(self.pieces);
        let (margin, sum) = match target {
            Target::Bought => (Decimal::ZERO, -self.pay(self.wage)),
            Target::Margin(share) => (share, Decimal::ZERO),
            Target::Markup(share) => (share / (Decimal::ONE + share), Decimal::ZERO),
            Target::HourlyPay(pay) => (Decimal::ZERO, self.pay(pay) - self.pay(self.wage)),
            Target::Profit(each) => (Decimal::ZERO, each * Decimal::from(self.made)),
        };
        let need = sum + self.all();
        let unit = self.terms.currency.minor_unit();
        let charges = Decimal::from(self.terms.fees.len()) + Decimal::TWO;
        let pieces = self.terms.pieces(margin);
        let mut tries = 0;
        loop {
            let sought = if tries < TRIES {
                need - charges * unit
            } else {
                need + charges * unit
            };
            tries += 1;
            let items = least_items(&pieces, least * count, sought);
            let items = items.ok_or_else(|| self.nothing_kept(target, margin))?;
            let price = self
                .ending
                .round_up((items / count).max(least), self.terms.currency);
            let sale = self.terms.sale(price * count);
            if sale.kept + HAIR >= need + margin * sale.net {
                return Ok(price);
            }
            least = price + unit;
        }
    }

    fn nothing_kept(&self, target: Target, margin: Decimal) -> InputError {
        let kept = self.terms.kept_of_more(Decimal::ZERO);
        let taken = percent((Decimal::ONE - kept).max(Decimal::ZERO));
        if kept < LEAST_KEPT {
            return InputError::new(
                Code::Impossible,
                say!("fees, tax and refunds take {taken} % of every price"),
                say!("lower the fees: at least 1 % must be left to pay the costs from"),
            )
            .at("channel.fees[0].item");
        }
        // Where tax is in the price, a margin counts on what is left of it.
        let net = kept - self.terms.kept_of_more(Decimal::ONE);
        let net_most = ((kept - LEAST_KEPT) / net).max(Decimal::ZERO);
        // Rounded down, for what is named must be reached.
        let most =
            |most| percent(carried(most).round_dp_with_strategy(4, RoundingStrategy::ToZero));
        let (message, hint) = if let Target::Markup(share) = target {
            let (aim, most) = (percent(share), most(net_most / (Decimal::ONE - net_most)));
            (
                say!(
                    "fees, tax and refunds of {taken} % and a mark-up of {aim} % leave less than 1 % of a price to pay the costs from"
                ),
                say!("aim at a mark-up of at most {most} %"),
            )
        } else {
            let (aim, most) = (percent(margin), most(net_most));
            (
                say!(
                    "fees, tax and refunds of {taken} % and a margin of {aim} % leave less than 1 % of a price to pay the costs from"
                ),
                say!("aim at a margin of at most {most} %"),
            )
        };
        InputError::new(Code::Impossible, message, hint).at("target.value")
    }
}

/// So many prices are tried one by one; twenty fees of which each further unit leaves a hundredth
/// take fewer.
const TRIES: u32 = 4000;

/// Costs are carried to twelve decimals each, so their sum may lie a hair above what it is.
const HAIR: Decimal = Decimal::from_parts(1, 0, 0, false, 9);
