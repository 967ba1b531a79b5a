//! What a customer pays for an order: nothing of what it costs, nor of what is left of it.

use super::costs::Costs;
use super::input::{ChannelKind, QuoteInput, SupplyUse};
use crate::error::InputErrors;
use crate::material::MaterialReport;
use crate::money::TaxKind;
use rust_decimal::Decimal;
use serde::Serialize;

/// What a customer pays for an order, and what goes along with it.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(rename_all = "camelCase")]
pub struct SaleReport {
    /// ISO 4217 code of every amount below.
    pub currency: String,
    /// Decimals that the amounts are shown with.
    pub decimals: u32,
    /// How many pieces are ordered, all of one size.
    pub pieces: u32,
    /// Price of a piece: the maker's own where one was typed, else the one that reaches the target.
    pub price: String,
    /// What the pieces cost together.
    pub items: String,
    /// What is charged for postage; none over a table.
    pub postage: Option<String>,
    /// Where the tax on the sale stands.
    pub tax_kind: TaxKind,
    /// What it comes to; none where none is reckoned.
    pub tax: Option<String>,
    /// All that the customer pays.
    pub total: String,
    /// Through what it is sold, as the maker calls it.
    pub channel: String,
    /// Whether the order goes by post, rather than over a table.
    pub posted: bool,
    /// Mailers, boards, cards, for the whole order.
    pub supplies: Vec<SupplyCount>,
}

/// So many of a supply.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct SupplyCount {
    /// What it is called.
    pub name: String,
    /// How many the order takes.
    pub count: u32,
}

/// What a customer pays for an order whose layout is known.
///
/// # Errors
/// Those of [`report_for`](super::report_for).
pub fn sale(input: &QuoteInput, layout: &MaterialReport) -> Result<SaleReport, InputErrors> {
    let costs = Costs::read(input, Some(layout))?;
    let asked = costs.price_for(costs.target);
    let price = costs.own_price.map_or(asked, Ok)?;
    let outcome = costs.outcome(price);
    let terms = &costs.terms;
    let money = |amount| terms.currency.text(amount);
    let posted = input.channel.kind != ChannelKind::Fair;
    let mut supplies = Vec::new();
    for supply in &costs.supplies {
        let times = match supply.per {
            SupplyUse::Order => 1,
            SupplyUse::Posted => u32::from(posted),
            SupplyUse::Piece => costs.pieces,
        };
        let count = supply.count.saturating_mul(times);
        let name = supply.name.trim();
        if count > 0 && !name.is_empty() {
            supplies.push(SupplyCount {
                name: name.to_owned(),
                count,
            });
        }
    }
    let taxed = terms.tax_kind != TaxKind::None;
    Ok(SaleReport {
        currency: terms.currency.code().to_owned(),
        decimals: terms.currency.exponent(),
        pieces: costs.pieces,
        price: money(price),
        items: money(price * Decimal::from(costs.pieces)),
        postage: posted.then(|| money(terms.postage)),
        tax_kind: terms.tax_kind,
        tax: taxed.then(|| money(outcome.sale.tax)),
        total: money(outcome.sale.total),
        channel: input.channel.name.clone().unwrap_or_default(),
        posted,
        supplies,
    })
}
