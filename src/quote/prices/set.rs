//! A set: several sizes together for one price.

use super::super::costs::{Costs, Target};
use super::Desk;
use crate::error::{Checks, InputErrors};
use crate::measure::{Count, pieces};
use rust_decimal::Decimal;
use say::say;
use serde::Serialize;

/// What a set brings.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "camelCase")]
pub struct SetReport {
    /// What is in it: `2 of 4 in, 1 of 8 in; 3 pieces`.
    pub text: String,
    /// The least price of the set that reaches the target.
    pub price: String,
    /// What its pieces would cost one by one, each at the maker's own price for its size, or at the one that
    /// reaches the target.
    pub apart: String,
    /// What the customer saves; nothing where the set is dearer.
    pub saved: String,
    /// What is left of the set when everything is paid, the wage included.
    pub left: String,
    /// What an hour of work brings; none where no time was entered.
    pub hourly_pay: Option<String>,
}

pub(super) fn set(desk: &Desk) -> Result<Option<SetReport>, InputErrors> {
    let parts = &desk.input.set;
    if parts.is_empty() {
        return Ok(None);
    }
    let mut checks = Checks::default();
    let mut read = Vec::new();
    for (index, part) in parts.iter().enumerate() {
        let path = |member: &str| format!("set[{index}].{member}");
        let width = checks.take(desk.width_at(part.width.as_ref(), &path("width")));
        let count = part.count.as_ref().map_or(Ok(1), Count::read);
        let count = checks.take(count.map_err(|error| error.at(path("count"))));
        read.extend(width.zip(count));
    }
    let read = checks.finish(read)?;
    let all = read.iter().fold(0_u32, |all, (_, count)| all + count);
    let currency = desk.base.terms.currency;
    let asked = |costs: &Costs, target: Target| {
        let price = costs.price_for(target);
        price.map_err(|error| InputErrors::from(error.within("quote")))
    };
    let mut text = String::new();
    let mut together: Option<Costs> = None;
    let mut apart = Decimal::ZERO;
    for (index, (width, count)) in read.iter().enumerate() {
        let path = format!("set[{index}].width");
        let (part, _) = desk.at_width(*width, *count, &path)?;
        let each = if let Some(price) = desk.own_price(*width) {
            price
        } else {
            let (single, _) = desk.at_width(*width, 1, &path)?;
            asked(&single, single.target)?
        };
        apart = crate::money::plus(apart, each * Decimal::from(*count));
        let width = width.text(desk.unit.for_size());
        text.push_str(&say!("{count} of {width}"));
        text.push_str(if index + 1 == read.len() { "; " } else { ", " });
        together = Some(match together {
            Some(before) => before.with(part),
            None => part,
        });
    }
    let Some(mut together) = together else {
        return Ok(None);
    };
    // One thing with one price, on one line of the order; fees by the piece count for each in it.
    let order = desk.of_pieces(all.min(Count::MAX))?;
    (together.terms, together.postage_paid) = (order.terms, order.postage_paid);
    together.pieces = 1;
    text.push_str(&pieces(all));
    let outcome = together.outcome(asked(&together, together.target)?);
    let money = |amount| currency.text(amount);
    Ok(Some(SetReport {
        text,
        price: money(outcome.price),
        apart: money(apart),
        saved: money((apart - outcome.price).max(Decimal::ZERO)),
        left: money(outcome.left),
        hourly_pay: outcome.hourly_pay(&together).map(money),
    }))
}
