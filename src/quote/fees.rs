//! What is taken from a sale before the maker has it: tax, fees, refunds.
//!
//! Without rounding, what is kept of a sale is a piecewise linear function of what the items cost the
//! customer: its slope changes where a tier begins and where a fee reaches its least or its most, and
//! it jumps where a tier counts for all of the amount. Each piece is solved for itself.

use super::costs::carried;
use crate::money::{Currency, Rounding, TaxKind, plus};
use rust_decimal::Decimal;

/// A fee, as fractions of one and amounts for the whole order.
#[derive(Clone, Debug, Default)]
pub(super) struct Fee {
    pub name: String,
    /// The fraction of the items from an amount on; the first one from nothing on, the others above it.
    pub tiers: Vec<(Decimal, Decimal)>,
    /// Whether a tier counts for all of the amount.
    pub whole: bool,
    pub postage: Decimal,
    pub tax: Decimal,
    pub least: Decimal,
    pub most: Option<Decimal>,
    pub fixed: Decimal,
    /// Fraction of the orders on which it is charged.
    pub chance: Decimal,
    pub returned: bool,
}

/// The terms on which an order is sold.
#[derive(Clone, Debug)]
pub(super) struct Terms {
    pub currency: Currency,
    pub fees: Vec<Fee>,
    pub tax_kind: TaxKind,
    /// Fraction of the amount before tax.
    pub tax: Decimal,
    pub tax_on_postage: bool,
    /// Fraction of the orders that are paid back.
    pub refunds: Decimal,
    /// What the customer is charged for postage.
    pub postage: Decimal,
}

/// What becomes of a sale.
#[derive(Clone, Debug)]
pub(super) struct Sale {
    /// What the customer pays, tax and postage included.
    pub total: Decimal,
    pub tax: Decimal,
    /// Each fee, by the chance that it is charged.
    pub fees: Vec<Decimal>,
    /// What is paid back, by its chance.
    pub refunds: Decimal,
    /// What the items bring without tax.
    pub net: Decimal,
    /// What is left of it all to pay the costs from.
    pub kept: Decimal,
}

/// Fees and margin may take at most this part of a price; beyond, the price would be more than a
/// hundred times the costs.
pub(super) const LEAST_KEPT: Decimal = Decimal::from_parts(1, 0, 0, false, 2);

impl Fee {
    /// What its fractions come to, before its least and its most.
    fn hundredths(&self, items: Decimal, postage: Decimal, tax: Decimal) -> Decimal {
        let mut all = postage * self.postage + tax * self.tax;
        for (index, (from, share)) in self.tiers.iter().enumerate() {
            let next = self.tiers.get(index + 1).map(|(next, _)| *next);
            let part = if self.whole {
                let reached = items >= *from && next.is_none_or(|next| items < next);
                if reached { items } else { Decimal::ZERO }
            } else {
                let end = next.map_or(items, |next| next.min(items));
                (end - *from).max(Decimal::ZERO)
            };
            all = plus(all, part * share);
        }
        all
    }

    fn charge(&self, items: Decimal, postage: Decimal, tax: Decimal) -> Decimal {
        let hundredths = self.hundredths(items, postage, tax).max(self.least);
        self.most
            .map_or(hundredths, |most| hundredths.min(most.max(self.least)))
            + self.fixed
    }
}

impl Terms {
    /// Reckons a sale forward, each charge rounded as it is made.
    pub(super) fn sale(&self, items: Decimal) -> Sale {
        let sale = self.reckon(items, |amount| {
            self.currency.round(amount, Rounding::HalfAwayFromZero)
        });
        Sale {
            net: carried(sale.net),
            ..sale
        }
    }

    fn reckon(&self, items: Decimal, charged: impl Fn(Decimal) -> Decimal) -> Sale {
        let taxed = if self.tax_on_postage {
            items + self.postage
        } else {
            items
        };
        let tax = charged(self.tax_kind.on(taxed, self.tax));
        let (on_top, net) = match self.tax_kind {
            TaxKind::None => (Decimal::ZERO, items),
            TaxKind::Added => (tax, items),
            TaxKind::Included => (Decimal::ZERO, items / (Decimal::ONE + self.tax)),
        };
        let mut fees = Vec::new();
        let (mut all_fees, mut returned) = (Decimal::ZERO, Decimal::ZERO);
        for fee in &self.fees {
            let fee_charged = fee.chance * charged(fee.charge(items, self.postage, on_top));
            all_fees = plus(all_fees, fee_charged);
            if fee.returned {
                returned = plus(returned, fee_charged);
            }
            fees.push(fee_charged);
        }
        let brought = items + self.postage + on_top - tax;
        let refunds = self.refunds * (brought - returned);
        Sale {
            total: items + self.postage + on_top,
            tax,
            fees,
            refunds,
            net,
            kept: brought - all_fees - refunds,
        }
    }

    /// What is kept of a sale beyond a fraction of what the items bring, without any rounding.
    fn beyond(&self, items: Decimal, margin: Decimal) -> Decimal {
        let sale = self.reckon(items, |amount| amount);
        sale.kept - margin * sale.net
    }

    /// The amounts of the items at which a piece of the function begins, from nothing up.
    fn starts(&self) -> Vec<Decimal> {
        let mut starts = vec![Decimal::ZERO];
        let (postage, on_top) = match self.tax_kind {
            TaxKind::Added if self.tax_on_postage => (self.postage, self.tax),
            TaxKind::Added => (Decimal::ZERO, self.tax),
            TaxKind::None | TaxKind::Included => (Decimal::ZERO, Decimal::ZERO),
        };
        for fee in &self.fees {
            for (from, share) in &fee.tiers {
                starts.push(*from);
                // From here on each further unit adds as much, until the next tier begins.
                let start = fee.hundredths(*from, self.postage, (*from + postage) * on_top);
                let slope = *share + fee.tax * on_top;
                for limit in std::iter::once(fee.least).chain(fee.most) {
                    // A flat piece reaches nothing, and what lies far out is no amount. One behind
                    // the next tier divides a piece that is one: that does no harm.
                    let Some(way) = (limit - start).checked_div(slope) else {
                        continue;
                    };
                    if way > Decimal::ZERO && way < FAR {
                        starts.push(*from + way);
                    }
                }
            }
        }
        in_order(&mut starts);
        starts
    }

    /// The pieces of what is kept beyond a fraction of what the items bring, without any rounding.
    pub(super) fn pieces(&self, margin: Decimal) -> Vec<Piece> {
        let starts = self.starts();
        let mut pieces = Vec::new();
        for (index, from) in starts.iter().enumerate() {
            let until = starts.get(index + 1).copied();
            // The function may jump where the piece ends, so its slope is found inside.
            let inner = until.map_or(*from + *from + Decimal::ONE, |until| {
                (*from + until) / Decimal::TWO
            });
            let kept = self.beyond(*from, margin);
            // Two starts may lie too close together for anything to be between them.
            let slope = (self.beyond(inner, margin) - kept).checked_div(inner - *from);
            pieces.push(Piece {
                from: *from,
                until,
                kept,
                slope: slope.unwrap_or_default(),
            });
        }
        pieces
    }

    /// What is kept of each further unit, where no tier and no limit is ahead any more.
    pub(super) fn kept_of_more(&self, margin: Decimal) -> Decimal {
        let last = self.pieces(margin).pop();
        last.map_or(Decimal::ONE, |last| carried(last.slope))
    }
}

/// A part of the items' amounts on which each further unit leaves as much as the one before it.
#[derive(Clone, Debug)]
pub(super) struct Piece {
    from: Decimal,
    /// None for the last one.
    until: Option<Decimal>,
    /// What is kept where it begins.
    kept: Decimal,
    /// What is kept of each further unit.
    slope: Decimal,
}

/// The least amount of the items, `from` some amount on, of which `need` is kept; without any
/// rounding. None where no amount is enough.
pub(super) fn least_items(pieces: &[Piece], from: Decimal, need: Decimal) -> Option<Decimal> {
    for piece in pieces {
        if piece.until.is_some_and(|until| until <= from) {
            continue;
        }
        let start = from.max(piece.from);
        let kept = piece.kept + (start - piece.from) * piece.slope;
        if kept >= need {
            return Some(start);
        }
        // What would be reached only by a price of more than a hundred times the costs is not.
        let least = match piece.until {
            Some(_) => Decimal::ZERO,
            None => LEAST_KEPT,
        };
        if carried(piece.slope) < least {
            continue;
        }
        let Some(way) = (need - kept).checked_div(piece.slope) else {
            continue;
        };
        let items = start.checked_add(way)?;
        if piece.until.is_none_or(|until| items < until) {
            return Some(items);
        }
    }
    None
}

/// Beyond it, 2 to the power of 80, nothing is an amount of money that an order comes to.
const FAR: Decimal = Decimal::from_parts(0, 0, 1 << 16, false, 0);

/// Puts amounts in their order, each one once.
fn in_order(amounts: &mut Vec<Decimal>) {
    // A handful: an insertion is shorter than the library's sort for one more kind of list.
    for index in 1..amounts.len() {
        let mut at = index;
        while at > 0 && amounts[at - 1] > amounts[at] {
            amounts.swap(at - 1, at);
            at -= 1;
        }
    }
    amounts.dedup();
}
