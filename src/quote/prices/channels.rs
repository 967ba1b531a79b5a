//! Ways of selling side by side: the price that each needs for the same pay.

use super::super::costs::{Costs, Reader, Target, carried};
use super::Desk;
use crate::error::{Checks, InputErrors};
use crate::measure::NumberInput;
use crate::money::plus;
use rust_decimal::Decimal;
use serde::Serialize;

/// What one way of selling needs and brings.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "camelCase")]
pub struct ChannelPrice {
    /// What it is called.
    pub name: String,
    /// The price of a piece that brings as much an hour as the asked price does in the channel of the
    /// quote; as much a piece where no time was entered.
    pub price: String,
    /// What the customer pays for the order at that price.
    pub total: String,
    /// What channel, payment and tax office take of it, refunds included.
    pub taken: String,
    /// What is left of the order when everything is paid, the wage included.
    pub left: String,
    /// What an hour of work brings; none where no time was entered.
    pub hourly_pay: Option<String>,
    /// What an hour would bring at the maker's own price, or at the asked price of the quote where there
    /// is none; none where no time was entered.
    pub same_price_hourly_pay: Option<String>,
    /// Whether the order is posted.
    pub posted: bool,
    /// Whether it bears its part of a day at a fair: of the table, the other costs, and the hours.
    pub day: bool,
}

/// What a sale bears of a day at a fair.
pub(super) struct Day {
    costs: Decimal,
    hours: Decimal,
}

impl Day {
    /// None where the number of sales was not told.
    pub(super) fn read(desk: &Desk) -> Result<Option<Self>, InputErrors> {
        let input = &desk.input.fair;
        let mut read = Reader::new(&desk.input.quote.currency, desk.unit);
        let table = read.amount(input.table_fee.as_deref(), "fair.tableFee");
        let travel = read.amount(input.travel.as_deref(), "fair.travel");
        let hours = input
            .hours
            .as_ref()
            .map_or_else(String::new, NumberInput::text);
        let hours = if hours.is_empty() {
            Decimal::ZERO
        } else {
            read.amount(Some(&hours), "fair.hours")
        };
        let sales = read.count(input.sales.as_ref(), "fair.sales");
        read.checks.finish(sales.map(|sales| {
            let sales = Decimal::from(sales);
            Self {
                costs: carried((table + travel) / sales),
                hours: carried(hours / sales),
            }
        }))
    }

    pub(super) fn borne_by(&self, mut costs: Costs) -> Costs {
        costs.overhead = plus(costs.overhead, self.costs);
        costs.work_hours = plus(costs.work_hours, self.hours);
        costs.work = plus(costs.work, carried(costs.wage * self.hours));
        costs
    }
}

pub(super) fn channels(desk: &Desk) -> Result<Vec<ChannelPrice>, InputErrors> {
    let mut checks = Checks::default();
    let base = &desk.base;
    let asked = base
        .price_for(base.target)
        .map_err(|error| error.within("quote"))?;
    let there = base.outcome(asked);
    let aim = there.hourly_pay(base).map_or_else(
        || Target::Profit(there.left / Decimal::from(base.pieces)),
        Target::HourlyPay,
    );
    let day = checks.take(Day::read(desk)).flatten();
    let currency = base.terms.currency;
    let money = |amount| currency.text(amount);
    let mut all = Vec::new();
    for (index, channel) in desk.input.channels.iter().enumerate() {
        let mut quote = desk.input.quote.clone();
        quote.channel = channel.clone();
        let read = Costs::read(&quote, Some(&desk.layout)).map(|costs| match &day {
            Some(day) if !costs.posted => day.borne_by(costs),
            _ => costs,
        });
        let priced = read.and_then(|costs| Ok((costs.price_for(aim)?, costs)));
        let priced = priced.map_err(|errors| {
            errors.moved(|path| match path.split_once('.') {
                Some(("channel", member)) => format!("channels[{index}].{member}"),
                _ => format!("quote.{path}"),
            })
        });
        let Some((price, costs)) = checks.take(priced) else {
            continue;
        };
        let outcome = costs.outcome(price);
        let same = costs.outcome(costs.own_price.unwrap_or(asked));
        let sold = &outcome.sale;
        let taken = plus(sold.total, -sold.kept);
        all.push(ChannelPrice {
            name: channel.name.clone().unwrap_or_default(),
            price: money(price),
            total: money(sold.total),
            taken: money(taken),
            left: money(outcome.left),
            hourly_pay: outcome.hourly_pay(&costs).map(money),
            same_price_hourly_pay: same.hourly_pay(&costs).map(money),
            posted: costs.posted,
            day: !costs.posted && day.is_some(),
        });
    }
    checks.finish(all)
}
