//! How much to order at a time: the economic order quantity, in whole packs.
//!
//! A small order costs its postage often, a large one lies on the shelf for long. In a year D pieces at
//! a price P, S for each order and H for keeping a piece come to P D + S D / Q + H Q / 2 where Q are
//! ordered at a time; least where Q is sqrt(2 D S / H) (Harris 1913). A larger pack has a lower price,
//! which is reckoned by itself, within the quantities that can be had of it.

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

/// What is used, and what ordering and keeping cost.
#[derive(Clone, Copy, Debug)]
pub(super) struct Demand {
    /// Pieces used in a year.
    pub a_year: Decimal,
    /// Cost of one order, whatever is ordered.
    pub order_cost: Decimal,
    /// What it costs to keep one piece for a year, as a fraction of its price.
    pub carrying: Decimal,
}

/// A price with the quantities that have it: the whole multiples of a pack.
#[derive(Clone, Copy, Debug)]
pub(super) struct Tier {
    /// Pieces in a pack, a whole number above zero, which is also the least quantity.
    pub pack: Decimal,
    /// Quantities below this whole number can be had; all where there is none.
    pub below: Option<Decimal>,
    /// Price of one piece.
    pub each: Decimal,
}

/// The quantity of this price that costs the least in a year, and what that is, purchase, ordering and
/// keeping together; none where no quantity can be had, or where a figure is beyond reckoning. As many
/// packs as hold a year's need where keeping costs nothing.
pub(super) fn best(demand: &Demand, tier: &Tier) -> Option<(Decimal, Decimal)> {
    let Demand {
        a_year,
        order_cost,
        carrying,
    } = *demand;
    let holding = carrying.checked_mul(tier.each)?;
    let both = a_year.checked_mul(order_cost)?.checked_mul(Decimal::TWO)?;
    let eoq = both.checked_div(holding).map(root);
    let a_year_with = |quantity: Decimal| {
        let purchase = tier.each.checked_mul(a_year)?;
        let ordering = order_cost.checked_mul(a_year)?.checked_div(quantity)?;
        let keeping = holding.checked_mul(quantity)?.checked_div(Decimal::TWO)?;
        let total = purchase.checked_add(ordering)?.checked_add(keeping)?;
        Some((quantity, super::costs::carried(total)))
    };
    let mut best = None;
    for quantity in near(eoq, a_year, tier) {
        if quantity >= tier.pack
            && tier.below.is_none_or(|below| quantity < below)
            && let Some(found) = a_year_with(quantity)
            && best.is_none_or(|(_, total)| found.1 < total)
        {
            best = Some(found);
        }
    }
    best
}

/// The whole packs next to the economic order quantity: the total falls up to it and rises from there
/// on, so that one of them is the best. Without that quantity, those that hold a year's need.
fn near(eoq: Option<Decimal>, a_year: Decimal, tier: &Tier) -> [Decimal; 2] {
    let packs = |quantity: Decimal| quantity.checked_div(tier.pack).unwrap_or_default();
    let lower = match eoq {
        Some(eoq) => packs(eoq.max(tier.pack)).floor(),
        None => packs(a_year).ceil(),
    } * tier.pack;
    // Of whole numbers, the last one that is still below.
    let last = tier
        .below
        .map(|below| packs(below - Decimal::ONE).floor() * tier.pack);
    match (eoq, last.filter(|last| *last < lower)) {
        (_, Some(last)) => [last; 2],
        (None, None) => [lower; 2],
        (Some(_), None) => [lower, lower.checked_add(tier.pack).unwrap_or(lower)],
    }
}

/// A square root to four decimals, 10^12 at most.
fn root(square: Decimal) -> Decimal {
    let root = square.to_f64().unwrap_or(0.0).sqrt().min(1e12);
    #[expect(
        clippy::cast_possible_truncation,
        reason = "a whole number below 2^63: the root of a decimal above zero is no greater than the limit"
    )]
    let ten_thousandths = (root * 1e4 + 0.5) as i64;
    Decimal::new(ten_thousandths, 4)
}
