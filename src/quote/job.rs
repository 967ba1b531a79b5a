//! What the film of a whole order costs.

use super::costs::{Reader, carried, square_metres};
use super::input::FilmInput;
use crate::error::InputErrors;
use crate::input::read_by_members;
use crate::material::{FilmReport, JobInput, JobPlan, JobReport};
use crate::measure::Length;
use crate::money::{Currency, Rounding};
use rust_decimal::Decimal;
use serde::Serialize;

read_by_members! {
    /// A whole order with what its films cost.
    #[derive(Clone, Debug, Default, PartialEq)]
    pub struct JobQuoteInput {
        /// ISO 4217 code.
        pub currency: String,
        /// The order and its stock.
        pub job: JobInput,
        /// The films as they are bought, in the order of the stock; a film without a price costs nothing.
        pub prices: Vec<FilmInput> = default,
    }
}

/// How an order is cut, and what its film costs.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "camelCase")]
pub struct JobQuoteReport {
    /// ISO 4217 code of every amount below.
    pub currency: String,
    /// Decimals that the amounts are shown with.
    pub decimals: u32,
    /// How the order is cut.
    pub job: JobReport,
    /// The fresh film of each film that the order takes, in the order of the job's `films`; rounded
    /// to the minor unit, half of it away from zero.
    pub film_costs: Vec<String>,
    /// All of them together, to which the amounts above add up.
    pub film_cost: String,
}

/// A whole order while it is laid out, with what its films cost.
#[derive(Debug)]
pub struct JobQuote {
    /// The layouts of the order, which may still get better.
    pub plan: JobPlan,
    currency: Currency,
    /// Price and length of the whole roll, or price of a sheet.
    prices: Vec<(Decimal, Option<Length>)>,
}

impl JobQuote {
    /// Reads an order and lays it out for a start.
    ///
    /// # Errors
    /// Those of [`JobPlan::new`], within `job`; a price that is no amount, and a roll without a
    /// length that has a price, within `prices`; an unknown currency.
    pub fn new(input: &JobQuoteInput) -> Result<Self, InputErrors> {
        let mut reader = Reader::new(&input.currency, input.job.unit);
        let currency = reader.currency;
        let mut prices = Vec::new();
        for (index, film) in input.prices.iter().enumerate() {
            let path = |member: &str| format!("prices[{index}].{member}");
            let price = reader.amount(film.price.as_deref(), &path("price"));
            let stock = input.job.films.get(index);
            let roll = stock.is_some_and(|stock| stock.length.is_none());
            let length = if roll && !price.is_zero() {
                reader.long(film.length.as_ref(), &path("length"))
            } else {
                None
            };
            prices.push((price, length));
        }
        let plan = JobPlan::new(&input.job).map_err(|errors| errors.within("job"));
        match plan {
            Ok(plan) => reader.checks.finish(Self {
                plan,
                currency,
                prices,
            }),
            Err(errors) => Err(match reader.checks.finish(()) {
                Ok(()) => errors,
                Err(own) => own.and(errors),
            }),
        }
    }

    /// How the order is cut by the best layouts found so far, and what its film costs.
    #[must_use]
    pub fn report(&self) -> JobQuoteReport {
        let job = self.plan.report();
        let rounded = |cost| self.currency.round(cost, Rounding::HalfAwayFromZero);
        let costs = job.films.iter().map(|film| rounded(self.cost(film)));
        let costs: Vec<Decimal> = costs.collect();
        JobQuoteReport {
            currency: self.currency.code().to_owned(),
            decimals: self.currency.exponent(),
            film_cost: self
                .currency
                .text(costs.iter().fold(Decimal::ZERO, |all, cost| all + *cost)),
            film_costs: costs.iter().map(|cost| self.currency.text(*cost)).collect(),
            job,
        }
    }

    /// What the fresh film of one film costs, by its share of the sheet or roll as it is bought.
    fn cost(&self, film: &FilmReport) -> Decimal {
        let Some((price, length)) = self.prices.get(film.index as usize) else {
            return Decimal::ZERO;
        };
        let Some(length) = length.or(film.sheet_length()) else {
            return Decimal::ZERO;
        };
        let bought = square_metres(film.stock_width() * length);
        carried(price * square_metres(film.film_taken()) / bought)
    }
}
