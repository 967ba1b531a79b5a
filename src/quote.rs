//! What a decal costs, what to ask for it, and what a price leaves.
//!
//! Everything is reckoned for one order of one or more pieces, in decimals. What is really charged
//! in whole minor units, the price, each fee and the tax, is rounded so; a cost that is no finite decimal
//! (a third of an hour's wage) is carried to twelve decimals.

#[cfg(feature = "artwork")]
mod by_drawing;
mod costs;
mod eoq;
mod fair;
mod fees;
mod input;
mod job;
mod learning;
mod licence;
mod normal;
mod packs;
mod payback;
mod picture;
mod price;
mod prices;
mod sale;
mod steps;
mod supplies;
mod timing;
mod told;

use crate::drawing::Element;
use crate::error::InputErrors;
use crate::material::{self, MaterialReport};
use crate::measure::{Unit, for_people, pieces};
#[cfg(feature = "artwork")]
pub use by_drawing::{
    DrawingMeasuresInput, DrawingRate, DrawingTimeInput, DrawingTimeReport, PlotterInput,
    WeedingEffort, WeedingRatesInput, drawing_time, without_drawing,
};
use costs::{Costs, Target};
pub use fair::{Bringing, FairInput, FairReport, HalfCoin, SalesInput, SalesKind, Stakes, fair};
pub use input::{
    BladeInput, ChannelInput, ChannelKind, FeeInput, FilmInput, MachineInput, PostageInput,
    QuoteInput, Share, SupplyInput, SupplyUse, TapeInput, TargetInput, TargetKind, TaxInput,
    TierInput,
};
pub use job::{JobQuote, JobQuoteInput, JobQuoteReport};
pub use licence::{DesignInput, DesignReport, LicencesInput, LicencesReport, May, Sale, licences};
pub use packs::{PackRow, PacksInput, PacksReport, packs, price_each};
pub use payback::{PaybackInput, PaybackReport, payback};
pub use prices::{
    Change, ChannelPrice, Lower, MOST, OfferedFilmInput, PricesInput, PricesReport, QuantityBreak,
    RateCardInput, Rung, SetPartInput, SetReport, SizeInput, StepUp, prices, rate_card,
};
use rust_decimal::prelude::ToPrimitive;
use rust_decimal::{Decimal, RoundingStrategy};
pub use sale::{SaleReport, SupplyCount, sale};
use serde::Serialize;
pub use steps::{PricedStep, SizeStepsInput, SizeStepsReport, steps};
pub use supplies::{ListedSupply, RollInput, SupplyListInput, SupplyListReport, SupplyRow, list};
pub use timing::{
    DrawnTimesInput, LearningInput, LearningReport, StepTime, StepTimesInput, TimeInput,
    TimeReport, work_time,
};

/// The answer: the price to ask, what it is made of, and what it and the maker's own price leave.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "camelCase")]
pub struct QuoteReport {
    /// ISO 4217 code of every amount below.
    pub currency: String,
    /// Decimals that the amounts are shown with.
    pub decimals: u32,
    /// How many pieces are ordered, all of one size.
    pub pieces: u32,
    /// The same in words: `1 piece`.
    pub pieces_text: String,
    /// The floor: the price that pays all that is bought, with nothing earned for the work.
    pub floor: PriceReport,
    /// The price that pays the costs and the wage, and leaves nothing over.
    pub paid: PriceReport,
    /// The price of a piece that reaches the target, rounded up to the ending and checked.
    pub asked: PriceReport,
    /// The same reckoning for the maker's own price, if one was given.
    pub own: Option<PriceReport>,
    /// What a piece costs that is sold over a table: its material, its share of cutter and licence, what
    /// goes along with it, and the wage for the work on it; without packing, overhead and fees.
    pub piece_cost: String,
    /// What the customer pays for the whole order at the asked price, line by line; the lines add
    /// up to it to the minor unit.
    pub lines: Vec<Line>,
    /// How many rolls have to be bought, where what is cut at once is longer than one.
    pub rolls_text: Option<String>,
    /// Time that the order takes, its share of setting up and of spoiled pieces included.
    pub work: String,
    /// Why the price is what it is, without amounts.
    pub reason: String,
    /// What was taken for granted.
    pub assumptions: Vec<String>,
    /// Whether the order is posted.
    pub posted: bool,
    /// Prices around the asked one, and what an hour of work brings at each.
    #[serde(skip)]
    pay: Vec<(f64, f64)>,
}

/// What a price leaves.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "camelCase")]
pub struct PriceReport {
    /// Price of one piece.
    pub price: String,
    /// What the customer pays for the order, postage included.
    pub total: String,
    /// What is left of the order when everything is paid, the wage included; negative for a loss.
    pub left: String,
    /// The same for one piece.
    pub left_per_piece: String,
    /// What a piece brings for the work on it: the wage and what is left.
    pub earned_per_piece: String,
    /// What an hour of work on the order brings, wage and what is left together; none where no time
    /// was entered.
    pub hourly_pay: Option<String>,
    /// What a sheetful of pieces brings for the work on them; none for a roll.
    pub per_sheet: Option<String>,
    /// What a month of such orders brings for the work; none where the orders of a month were not told.
    pub per_month: Option<String>,
    /// What is left, in hundredths of the item price without tax, to one decimal; none at a price of zero.
    pub margin: Option<String>,
    /// What is left, in hundredths of all that the item price pays for, to one decimal; none where
    /// that is nothing.
    pub markup: Option<String>,
    /// Whether the price leaves less than nothing.
    pub loss: bool,
    /// The price of one piece as a number.
    #[serde(skip)]
    number: Decimal,
}

/// One line of what a price is made of.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "camelCase")]
pub struct Line {
    /// For programs: `film`, `work`, `fee`, `left`, ...
    pub id: &'static str,
    /// What is paid.
    pub label: String,
    /// How it was reckoned, without amounts.
    pub detail: String,
    /// Amount in whole minor units.
    pub amount: String,
    /// Part of the order's total, or of all costs where they are more, from 0 to 1, for a picture; 0
    /// for a loss.
    pub share: f64,
}

impl QuoteReport {
    /// The asked price as a strip cut into its lines, the wider parts named below it.
    #[must_use]
    pub fn drawing(&self) -> Element {
        picture::drawing(&self.lines)
    }

    /// What an hour of work brings, by the price of a piece, with the readings of the price marked.
    #[must_use]
    pub fn pay_drawing(&self) -> Element {
        picture::pay(self, &self.pay)
    }
}

/// Reckons an order.
///
/// # Errors
/// Every field that cannot be read; those of the material within `material`;
/// [`Code::Impossible`](crate::error::Code::Impossible) where fees and margin leave nothing to pay the costs from.
pub fn report(input: &QuoteInput) -> Result<QuoteReport, InputErrors> {
    let layout = material::report(&input.material).map_err(|errors| errors.within("material"));
    let costs = Costs::read(input, layout.as_ref().ok());
    match (layout, costs) {
        (Ok(layout), Ok(costs)) => reckon(input, &layout, &costs),
        (Err(layout), Err(costs)) => Err(layout.and(costs)),
        (Err(errors), Ok(_)) | (Ok(_), Err(errors)) => Err(errors),
    }
}

/// Reckons an order whose layout is known already: the one that [`material::report`] gives for
/// `input.material`.
///
/// # Errors
/// Those of [`report`].
pub fn report_for(input: &QuoteInput, layout: &MaterialReport) -> Result<QuoteReport, InputErrors> {
    reckon(input, layout, &Costs::read(input, Some(layout))?)
}

fn reckon(
    input: &QuoteInput,
    layout: &MaterialReport,
    costs: &Costs,
) -> Result<QuoteReport, InputErrors> {
    let priced = |target| -> Result<PriceReport, InputErrors> {
        Ok(told::price_report(
            &costs.outcome(costs.price_for(target)?),
            costs,
        ))
    };
    let asked = costs.outcome(costs.price_for(costs.target)?);
    let currency = costs.terms.currency;
    Ok(QuoteReport {
        currency: currency.code().to_owned(),
        decimals: currency.exponent(),
        pieces: costs.pieces,
        pieces_text: pieces(costs.pieces),
        floor: priced(Target::Bought)?,
        paid: priced(Target::Margin(Decimal::ZERO))?,
        asked: told::price_report(&asked, costs),
        own: costs
            .own_price
            .map(|price| told::price_report(&costs.outcome(price), costs)),
        piece_cost: currency.text(costs.of_making() / Decimal::from(costs.pieces)),
        lines: told::lines(&asked, costs, layout),
        rolls_text: costs.roll_part.and_then(told::rolls_text),
        work: told::work_text(costs.order_hours()),
        reason: told::reason(costs),
        assumptions: told::assumptions(costs),
        posted: input.channel.kind != ChannelKind::Fair,
        pay: pay(costs, asked.price),
    })
}

/// Prices from next to nothing to half as much again as the asked one, or the maker's own, and what an
/// hour of work brings at each; nothing where no time is worked.
fn pay(costs: &Costs, asked: Decimal) -> Vec<(f64, f64)> {
    let most = asked.max(costs.own_price.unwrap_or_default());
    let step = most / Decimal::from(24);
    let prices = (8..=36).map(|steps| step * Decimal::from(steps));
    let points = prices.filter_map(|price| {
        let pay = costs.outcome(price).hourly_pay(costs)?;
        price.to_f64().zip(pay.to_f64())
    });
    points.collect()
}

/// A share in hundredths, to two decimals.
fn percent(share: Decimal) -> String {
    let nearest = RoundingStrategy::MidpointAwayFromZero;
    places(share * Decimal::ONE_HUNDRED, 2, nearest)
}

/// A number with so many decimals at most, for people.
fn places(number: Decimal, most: u32, rounding: RoundingStrategy) -> String {
    let rounded = number.round_dp_with_strategy(most, rounding);
    for_people(rounded.normalize().to_string())
}

/// `part` in hundredths of `whole`, to one decimal, or whole from 100 up; none where the whole is
/// nothing or less.
fn hundredths(part: Decimal, whole: Decimal) -> Option<String> {
    // Of next to nothing a share has no end of digits, and says nothing.
    let hundredths = part.checked_div(whole)?.checked_mul(Decimal::ONE_HUNDRED)?;
    if whole <= Decimal::ZERO || hundredths.abs() > Decimal::from(1_000_000) {
        return None;
    }
    let most = u32::from(hundredths.abs() < Decimal::ONE_HUNDRED);
    let nearest = RoundingStrategy::MidpointAwayFromZero;
    Some(places(hundredths, most, nearest))
}

/// The unit of the lengths in the input of a quote.
const fn unit(input: &QuoteInput) -> Unit {
    input.material.unit
}
