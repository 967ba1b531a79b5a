//! After how many sales the machine and the first stock are paid back: the break-even of the trade.

use super::costs::Reader;
use super::places;
use super::supplies::{Figure, decimal, figure};
use crate::error::{Code, InputError, InputErrors};
use crate::input::read_by_members;
use crate::measure::{NumberInput, Unit};
use rust_decimal::{Decimal, RoundingStrategy};
use say::say;
use serde::Serialize;

read_by_members! {
    /// What has to be paid back, and from what. Amounts are decimal texts in `currency`; one that is left
    /// out counts as nothing.
    #[derive(Clone, Debug, Default, PartialEq)]
    pub struct PaybackInput {
        /// ISO 4217 code.
        pub currency: String,
        /// Price of cutter, tools, stall and what else is bought once.
        pub machine: Option<String> = default,
        /// Price of the first films and supplies.
        pub stock: Option<String> = default,
        /// What a sale brings.
        pub price: Option<String> = default,
        /// What a sale costs: materials, fees, postage, and the wage if it is to be paid meanwhile; without
        /// the wear of what is paid back, which would count twice.
        pub costs: Option<String> = default,
        /// Sales a month; no time is told where left out.
        pub sales: Option<NumberInput> = default,
    }
}

/// After how many sales it is paid back.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "camelCase")]
pub struct PaybackReport {
    /// ISO 4217 code of every amount below.
    pub currency: String,
    /// Decimals that the amounts are shown with.
    pub decimals: u32,
    /// Machine and stock together.
    pub paid: String,
    /// What one sale leaves.
    pub left: String,
    /// So many sales pay it back, in whole sales: a whole number as text.
    pub sales: String,
    /// What has been sold at the very point where nothing is owed any more, which lies within the last
    /// of these sales.
    pub sold: String,
    /// The months it takes, to a tenth, rounded up; none without sales a month.
    pub months: Option<String>,
}

/// Reckons after how many sales machine and stock are paid back: what they cost, divided by what a sale
/// leaves, rounded up.
///
/// # Errors
/// Every field that cannot be read; [`Code::Impossible`] at `price` where a sale leaves nothing.
pub fn payback(input: &PaybackInput) -> Result<PaybackReport, InputErrors> {
    let mut read = Reader::new(&input.currency, Unit::default());
    let machine = read.amount(input.machine.as_deref(), "machine");
    let stock = read.amount(input.stock.as_deref(), "stock");
    let price = read.amount(input.price.as_deref(), "price");
    let costs = read.amount(input.costs.as_deref(), "costs");
    let monthly = figure(
        &mut read.checks,
        input.sales.as_ref(),
        "sales",
        Figure::Above,
    );
    let currency = read.currency;
    read.checks.finish(())?;
    let (paid, left) = (machine + stock, price - costs);
    // Of next to nothing so many sales are needed that what they bring is beyond reckoning.
    let reached = (left > Decimal::ZERO).then(|| paid / left);
    let reached = reached.and_then(|exact| Some((exact, exact.checked_mul(price)?)));
    let Some((exact, sold)) = reached else {
        let error = InputError::new(
            Code::Impossible,
            say!("a sale leaves nothing, so that nothing is ever paid back"),
            say!("write a price above what a sale costs"),
        );
        return Err(error.at("price").into());
    };
    let sales = exact.ceil();
    let months = monthly.map(|monthly| sales / decimal(monthly));
    Ok(PaybackReport {
        currency: currency.code().to_owned(),
        decimals: currency.exponent(),
        paid: currency.text(paid),
        left: currency.text(left),
        sales: sales.normalize().to_string(),
        sold: currency.text(sold),
        months: months.map(|months| places(months, 1, RoundingStrategy::ToPositiveInfinity)),
    })
}
