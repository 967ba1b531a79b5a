//! Size steps with what the film of a piece costs at each of them.

use super::costs::{Bought, Reader, film_cost, part_of};
use super::input::FilmInput;
use crate::drawing::Element;
use crate::error::InputErrors;
use crate::input::read_by_members;
use crate::material::{self, MaterialInput, SizeStep, StepsReport, StockKind};
use crate::measure::Unit;
use say::say;
use serde::Serialize;

read_by_members! {
    /// The question: at which sizes more or fewer pieces come out of the same film, and what the film of a
    /// piece costs there.
    #[derive(Clone, Debug, Default, PartialEq)]
    pub struct SizeStepsInput {
        /// ISO 4217 code.
        pub currency: String,
        /// The piece at its present size, and the stock it is cut from. For sheets the quantity does not
        /// matter; what is cut from a roll is the length that the quantity takes now.
        pub material: MaterialInput,
        /// The film as it is bought; no costs are told without its price.
        pub film: FilmInput = default,
    }
}

/// The sizes at which more or fewer pieces come out of the same film, the height following the width
/// in proportion, with what the film costs.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "camelCase")]
pub struct SizeStepsReport {
    /// ISO 4217 code of every amount below.
    pub currency: String,
    /// Decimals that the amounts are shown with.
    pub decimals: u32,
    /// Whether the costs of film are told.
    pub priced: bool,
    /// The unit of every length in this report.
    pub unit: Unit,
    /// Whether the film is a sheet or a roll.
    pub stock: StockKind,
    /// The nearest gain in a few words: `1 more at 8 5/8 in wide`.
    pub headline: String,
    /// How far the present count reaches: `as many up to 9 7/8 in wide`.
    pub note: String,
    /// Pieces on a sheet, or from the length of roll, at the present size.
    pub count: u32,
    /// What the counts are of: `on a sheet of 12 × 24 in`, `from 27 3/4 in of roll`.
    pub from_text: String,
    /// The steps, the smallest size first. One of them holds the present size.
    pub steps: Vec<PricedStep>,
    /// What was assumed, in sentences.
    pub assumptions: Vec<String>,
    #[serde(skip)]
    sizes: StepsReport,
}

/// A size step with the cost of its film.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "camelCase")]
pub struct PricedStep {
    /// The largest size at which a number of pieces comes out.
    #[serde(flatten)]
    pub size: SizeStep,
    /// What the film of one piece costs with its share of waste, to the minor unit; none without a
    /// price of the film.
    pub film_cost: Option<String>,
}

impl SizeStepsReport {
    /// The step chart: pieces by width, the present width marked.
    #[must_use]
    pub fn drawing(&self) -> Element {
        self.sizes.drawing()
    }
}

/// Finds the size steps and what the film of a piece costs at each.
///
/// # Errors
/// Those of [`material::steps`] within `material`; mistakes in the currency, the price of the film or,
/// for a roll with a price, its length.
pub fn steps(input: &SizeStepsInput) -> Result<SizeStepsReport, InputErrors> {
    let sizes = material::steps(&input.material).map_err(|errors| errors.within("material"));
    let mut read = Reader::new(&input.currency, input.material.unit);
    let bought = sizes.as_ref().ok().map(|sizes| Bought {
        width: sizes.stock_width(),
        sheet_length: sizes.sheet_length(),
        longest_piece: sizes.longest_piece(),
    });
    let roll = input.material.sheet.length.is_none();
    let (price, stock) = read.film(&input.film, roll, bought);
    let currency = read.currency;
    let sizes = match (sizes, read.checks.finish(())) {
        (Ok(sizes), Ok(())) => sizes,
        (Err(sizes), Err(costs)) => return Err(sizes.and(costs)),
        (Err(errors), Ok(())) | (Ok(_), Err(errors)) => return Err(errors),
    };
    let priced = input.film.price.is_some();
    let cost = |step: &SizeStep| {
        let (taken, pieces) = step.film_per_piece();
        let part = stock.map(|stock| part_of(taken, stock));
        let cost = film_cost(price, part.unwrap_or_default(), 1, pieces);
        priced.then(|| currency.text(cost))
    };
    let steps = sizes.steps.iter().map(|step| PricedStep {
        film_cost: cost(step),
        size: step.clone(),
    });
    let mut assumptions = sizes.assumptions.clone();
    if priced {
        assumptions.push(
            say!("What the film of a piece costs is rounded to the minor unit, half of one up.")
                .to_owned(),
        );
    }
    Ok(SizeStepsReport {
        currency: currency.code().to_owned(),
        decimals: currency.exponent(),
        priced,
        unit: sizes.unit,
        stock: sizes.stock,
        headline: sizes.headline.clone(),
        note: sizes.note.clone(),
        count: sizes.count,
        from_text: sizes.from_text.clone(),
        steps: steps.collect(),
        assumptions,
        sizes,
    })
}
