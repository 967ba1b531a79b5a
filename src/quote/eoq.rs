//! How much to order at a time: the economic order quantity, with discounts for larger quantities.
//!
//! A small order costs its postage often, a large one lies on the shelf for long. In a year D pieces at
//! a price P, S for each order and H for keeping a piece come to P D + S D / Q + H Q / 2 where Q are
//! ordered at a time; least where Q is sqrt(2 D S / H) (Harris 1913). Where larger quantities have a
//! lower price, that is reckoned for each price by itself, within the quantities that have it.

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

/// What it costs to keep one piece for a year.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Holding {
    /// An amount, whatever the piece costs.
    Fixed(Decimal),
    /// A fraction of its price.
    Share(Decimal),
}

/// What is used and what ordering costs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Demand {
    /// Pieces used in a year.
    pub a_year: Decimal,
    /// Cost of one order, whatever is ordered.
    pub order_cost: Decimal,
    /// Cost of keeping a piece.
    pub holding: Holding,
}

/// A price with the quantities that have it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Tier {
    /// The least quantity at this price.
    pub from: Decimal,
    /// Quantities below this one have this price; all from the least one on where there is none.
    pub below: Option<Decimal>,
    /// Only multiples of this whole number, of which `from` is one, can be had; any quantity where there
    /// is none. `below` is whole as well then.
    pub step: Option<Decimal>,
    /// Price of one piece.
    pub each: Decimal,
}

impl Tier {
    /// Discounts on all pieces of an order: each price with the least quantity that has it, the least
    /// quantity first.
    #[must_use]
    pub fn discounts(prices: &[(Decimal, Decimal)]) -> Vec<Self> {
        let next = prices.iter().skip(1).map(|(from, _)| Some(*from));
        let tiers = prices.iter().zip(next.chain([None]));
        tiers
            .map(|((from, each), below)| Self {
                from: *from,
                below,
                step: None,
                each: *each,
            })
            .collect()
    }
}

/// The best that can be done at one price.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Choice {
    /// The economic order quantity at this price, to four decimals; none where keeping costs nothing,
    /// so that no quantity is too large.
    pub eoq: Option<Decimal>,
    /// Whether the economic order quantity itself has this price.
    pub feasible: bool,
    /// The quantity of this price that costs the least in a year, and what that is, purchase, ordering
    /// and keeping together; none where it lies at the upper end, so that the next price serves better,
    /// or where a figure is beyond reckoning. A year's need where keeping costs nothing.
    pub best: Option<(Decimal, Decimal)>,
}

/// The best quantity at each price.
#[must_use]
pub fn choices(demand: &Demand, tiers: &[Tier]) -> Vec<Choice> {
    tiers.iter().map(|tier| choice(demand, tier)).collect()
}

/// The place of the price at which a year costs the least; the first of several.
#[must_use]
pub fn cheapest(choices: &[Choice]) -> Option<usize> {
    let mut least: Option<(Decimal, usize)> = None;
    for (place, choice) in choices.iter().enumerate() {
        if let Some((_, total)) = choice.best
            && least.is_none_or(|(known, _)| total < known)
        {
            least = Some((total, place));
        }
    }
    least.map(|(_, place)| place)
}

fn choice(demand: &Demand, tier: &Tier) -> Choice {
    let Demand {
        a_year,
        order_cost,
        holding,
    } = *demand;
    let holding = match holding {
        Holding::Fixed(amount) => Some(amount),
        Holding::Share(share) => share.checked_mul(tier.each),
    };
    let eoq = holding.and_then(|holding| {
        let both = a_year.checked_mul(order_cost)?.checked_mul(Decimal::TWO)?;
        both.checked_div(holding).map(root)
    });
    let has = |quantity: Decimal| {
        quantity >= tier.from && tier.below.is_none_or(|below| quantity < below)
    };
    let wanted = eoq.unwrap_or(a_year).max(tier.from);
    let a_year_with = |quantity: Decimal| {
        let purchase = tier.each.checked_mul(a_year)?;
        let ordering = order_cost.checked_mul(a_year)?.checked_div(quantity)?;
        let keeping = holding?.checked_mul(quantity)?.checked_div(Decimal::TWO)?;
        let total = purchase.checked_add(ordering)?.checked_add(keeping)?;
        Some((quantity, super::costs::carried(total)))
    };
    let mut best = None;
    for quantity in near(wanted, tier) {
        if has(quantity)
            && let Some(found) = a_year_with(quantity)
            && best.is_none_or(|(_, total)| found.1 < total)
        {
            best = Some(found);
        }
    }
    Choice {
        eoq,
        feasible: eoq.is_some_and(has),
        best,
    }
}

/// The quantities next to the wanted one that can be had: the total falls up to the wanted one and
/// rises from there on, so that one of them is the best.
fn near(wanted: Decimal, tier: &Tier) -> [Decimal; 2] {
    let Some(step) = tier.step.filter(|step| !step.is_zero()) else {
        return [wanted; 2];
    };
    let down = |quantity: Decimal| (quantity / step).floor() * step;
    let lower = down(wanted);
    // Of whole numbers, the last one that is still below.
    let last = tier.below.map(|below| down(below - Decimal::ONE));
    match last.filter(|last| *last < lower) {
        Some(last) => [last; 2],
        None => [lower, lower.checked_add(step).unwrap_or(lower)],
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
