//! Prices by quantity, down to a pay that is never undercut.

use super::super::costs::{Reader, Target, too_many};
use super::super::hundredths;
use super::{Desk, MOST};
use crate::error::{Checks, Code, InputError, InputErrors};
use crate::measure::Count;
use rust_decimal::Decimal;
use say::say;
use serde::Serialize;

/// The price of a piece from a quantity on.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "camelCase")]
pub struct QuantityBreak {
    /// From so many pieces in an order.
    pub from: u32,
    /// The least price of a piece at which no quantity from here to the next break pays less than the
    /// floor; never above the price of fewer.
    pub price: String,
    /// What so many cost the customer, without postage and tax on top.
    pub items: String,
    /// How much lower the price is than the maker's own price of a piece, or the asked one where there is
    /// none, in hundredths; none where it is not lower.
    pub discount: Option<String>,
    /// What an hour of work brings at this quantity; none where no time was entered.
    pub hourly_pay: Option<String>,
    /// The same at the last quantity before the next break, or at twice this one.
    pub last_hourly_pay: Option<String>,
    /// That last quantity.
    pub until: u32,
}

/// So many quantities between two breaks are reckoned through one by one; of more, so many are, evenly
/// spread.
const TRIED: u32 = 200;

/// The quantities as they were typed, from the least to the greatest.
pub(super) fn quantities(typed: Option<&str>) -> Result<Vec<u32>, InputErrors> {
    let mut checks = Checks::default();
    let mut quantities: Vec<u32> = Vec::new();
    let entries = typed.unwrap_or_default().split([',', ';', ' ', '\n']);
    for entry in entries.filter(|entry| !entry.is_empty()) {
        let read = Count::Text(entry.to_owned()).read();
        let read = read.and_then(|quantity| {
            let rises = quantities.last().is_none_or(|last| *last < quantity);
            match (rises, quantities.len() < MOST) {
                (true, true) => Ok(quantity),
                (true, false) => Err(too_many(MOST)),
                (false, _) => Err(InputError::new(
                    Code::TooSmall,
                    say!("{quantity} is no greater than the quantity before it"),
                    say!("write the quantities from the least to the greatest"),
                )),
            }
        });
        match read {
            Ok(quantity) => quantities.push(quantity),
            Err(error) => {
                checks.add(error.at("quantities"));
                break;
            }
        }
    }
    checks.finish(quantities)
}

/// The pay an hour that is never undercut: the wage where none is told.
pub(super) fn floor(desk: &Desk) -> Result<Decimal, InputErrors> {
    let mut reader = Reader::new(&desk.input.quote.currency, desk.unit);
    let floor = desk.input.floor.as_deref();
    let floor = floor.map_or(desk.base.wage, |text| reader.amount(Some(text), "floor"));
    reader.checks.finish(floor)
}

/// The least price of a piece from `price` up at which no number of pieces from one to another misses the target; of
/// many numbers only some are tried.
pub(super) fn least_price(
    desk: &Desk,
    (from, until): (u32, u32),
    at_most: u32,
    target: Target,
    mut price: Decimal,
) -> Result<Decimal, InputErrors> {
    let stride = (until - from).div_ceil(at_most).max(1);
    let mut tried = vec![desk.of_pieces(until)?];
    let mut pieces = from;
    while pieces < until {
        tried.push(desk.of_pieces(pieces)?);
        pieces += stride;
    }
    // What one of them needs may be too little for another, even above what that needs by itself: until a price stands
    // for all.
    loop {
        let before = price;
        for costs in &tried {
            price = costs
                .price_from(target, price)
                .map_err(|error| error.within("quote"))?;
        }
        if price == before {
            return Ok(price);
        }
    }
}

pub(super) fn breaks(desk: &Desk) -> Result<Vec<QuantityBreak>, InputErrors> {
    let quantities = quantities(desk.input.quantities.as_deref());
    let (quantities, floor) = match (quantities, floor(desk)) {
        (Ok(quantities), Ok(floor)) => (quantities, floor),
        (Err(one), Err(other)) => return Err(one.and(other)),
        (Err(errors), Ok(_)) | (Ok(_), Err(errors)) => return Err(errors),
    };
    let full = desk.full_price()?;
    let mut breaks: Vec<(u32, u32, Decimal)> = Vec::new();
    // From the most pieces down: more pieces are never dearer, so where they have to be, fewer are not
    // sold for less.
    let mut price = desk.base.terms.currency.minor_unit();
    let mut next = None;
    for from in quantities.into_iter().rev() {
        let until = next.map_or(from * 2, |next| next - 1).min(Count::MAX);
        price = least_price(desk, (from, until), TRIED, Target::HourlyPay(floor), price)?;
        breaks.push((from, until, price));
        next = Some(from);
    }
    breaks.reverse();
    let told = breaks.into_iter().map(|(from, until, price)| {
        let currency = desk.base.terms.currency;
        let pay = |pieces: u32| -> Result<Option<String>, InputErrors> {
            let costs = desk.of_pieces(pieces)?;
            let pay = costs.outcome(price).hourly_pay(&costs);
            Ok(pay.map(|pay| currency.text(pay)))
        };
        Ok(QuantityBreak {
            from,
            until,
            price: currency.text(price),
            items: currency.text(price * Decimal::from(from)),
            discount: if price < full {
                hundredths(full - price, full)
            } else {
                None
            },
            hourly_pay: pay(from)?,
            last_hourly_pay: pay(until)?,
        })
    });
    told.collect()
}
