//! What a decal costs, what to ask for it, and what a price leaves.
//!
//! Everything is reckoned for one order of one or more pieces, in decimals. What is really charged
//! in whole minor units, the price and each fee, is rounded so; a cost that is no finite decimal (a
//! third of an hour's wage) is carried to twelve decimals.

mod costs;
mod job;
mod picture;
mod price;
mod steps;

use crate::drawing::Element;
use crate::error::InputErrors;
use crate::input::read_by_members;
use crate::material::{self, MaterialInput, MaterialReport};
use crate::measure::{Count, LengthInput, NumberInput, Unit, pieces};
use crate::money::{Ending, Rounding, apportion};
use costs::{Costs, Target};
pub use job::{JobQuote, JobQuoteInput, JobQuoteReport};
use price::Outcome;
use rust_decimal::prelude::ToPrimitive;
use rust_decimal::{Decimal, RoundingStrategy};
use serde::{Deserialize, Serialize};
pub use steps::{PricedStep, SizeStepsInput, SizeStepsReport, steps};

read_by_members! {
    /// What one order is reckoned from. Amounts are decimal texts in `currency`; an amount or a time that
    /// is left out counts as nothing.
    #[derive(Clone, Debug, Default, PartialEq)]
    pub struct QuoteInput {
        /// ISO 4217 code.
        pub currency: String,
        /// The piece, the stock it is cut from, and how many are cut at once.
        pub material: MaterialInput,
        /// Pieces in the order; one where left out.
        pub pieces: Option<Count> = default,
        /// The film as it is bought.
        pub film: FilmInput = default,
        /// The transfer tape as it is bought.
        pub tape: TapeInput = default,
        /// Mailer, each; one an order.
        pub mailer: Option<String> = default,
        /// Card and what else goes along, each; one an order.
        pub card: Option<String> = default,
        /// Wage for an hour of work.
        pub wage: Option<String> = default,
        /// Time to set up the cutter and load the film, for everything that is cut at once; in minutes
        /// where no unit stands.
        pub setup_time: Option<NumberInput> = default,
        /// Time to cut, weed, tape and pack one piece; in minutes where no unit stands.
        pub piece_time: Option<NumberInput> = default,
        /// Pieces in a hundred that are made and cannot be sold.
        pub spoilage: Option<NumberInput> = default,
        /// Share of rent, power, machine and blades that an order bears.
        pub overhead: Option<String> = default,
        /// What the channel charges for selling.
        pub channel: FeeInput = default,
        /// What is charged for taking the payment.
        pub payment: FeeInput = default,
        /// What posting the order costs and what the customer is charged for it.
        pub postage: PostageInput = default,
        /// What the price shall reach; the bare costs where left out.
        pub target: TargetInput = default,
        /// What the price ends in.
        pub ending: Ending = default,
        /// A price of the maker's own for a piece, to see what it leaves; rounded to the minor unit.
        pub own_price: Option<String> = default,
    }
}

read_by_members! {
    /// The film as it is bought.
    #[derive(Clone, Debug, Default, PartialEq)]
    pub struct FilmInput {
        /// Price of one sheet, or of the whole roll.
        pub price: Option<String> = default,
        /// Length of the whole roll; a bare text counts in feet or metres. Not asked for sheets.
        pub length: Option<LengthInput> = default,
    }
}

read_by_members! {
    /// The transfer tape as it is bought.
    #[derive(Clone, Debug, Default, PartialEq)]
    pub struct TapeInput {
        /// Price of the whole roll.
        pub price: Option<String> = default,
        /// Width of the roll.
        pub width: Option<LengthInput> = default,
        /// Length of the roll; a bare text counts in feet or metres.
        pub length: Option<LengthInput> = default,
    }
}

read_by_members! {
    /// A fee: a share of all that the customer pays, item and postage, and an amount for each order.
    #[derive(Clone, Debug, Default, PartialEq)]
    pub struct FeeInput {
        /// Hundredths of item and postage.
        pub percent: Option<NumberInput> = default,
        /// Amount for each order.
        pub fixed: Option<String> = default,
    }
}

read_by_members! {
    /// Postage of one order.
    #[derive(Clone, Debug, Default, PartialEq)]
    pub struct PostageInput {
        /// What the maker pays.
        pub paid: Option<String> = default,
        /// What the customer is charged beside the price; nothing where postage is in the price.
        pub charged: Option<String> = default,
    }
}

read_by_members! {
    /// What the price shall reach.
    #[derive(Clone, Debug, Default, PartialEq)]
    pub struct TargetInput {
        /// Of which kind the value is.
        pub kind: TargetKind = default,
        /// Hundredths of the item price for a margin, an amount an hour for a wage.
        pub value: Option<NumberInput> = default,
    }
}

/// The kinds of target.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "camelCase")]
pub enum TargetKind {
    /// Hundredths of the item price that are left when everything is paid, the wage included.
    #[default]
    Margin,
    /// What an hour of the work on the order brings, the wage included.
    HourlyPay,
}

/// The answer: the price to ask, what it is made of, and what it and the maker's own price leave.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "camelCase")]
pub struct QuoteReport {
    /// ISO 4217 code of every amount below.
    pub currency: String,
    /// Decimals that the amounts are shown with.
    pub decimals: u32,
    /// Pieces in the order.
    pub pieces: u32,
    /// The same in words: `1 piece`.
    pub pieces_text: String,
    /// The price of a piece that reaches the target, rounded up to the ending and checked.
    pub asked: PriceReport,
    /// The same reckoning for the maker's own price, if one was given.
    pub own: Option<PriceReport>,
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
    /// What an hour of work on the order brings, wage and what is left together; none where no time
    /// was entered.
    pub hourly_pay: Option<String>,
    /// What is left, in hundredths of the item price, to one decimal; none at a price of zero.
    pub margin: Option<String>,
    /// What is left, in hundredths of all that the item price pays for, to one decimal; none where
    /// that is nothing.
    pub markup: Option<String>,
    /// Whether the price leaves less than nothing.
    pub loss: bool,
}

/// One line of what a price is made of.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "camelCase")]
pub struct Line {
    /// For programs: `film`, `work`, `left`, ...
    pub id: &'static str,
    /// What is paid.
    pub label: &'static str,
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
    let asked = costs.outcome(costs.price_for_target()?);
    let own = costs.own_price.map(|price| costs.outcome(price));
    Ok(QuoteReport {
        currency: costs.currency.code().to_owned(),
        decimals: costs.currency.exponent(),
        pieces: costs.pieces,
        pieces_text: pieces(costs.pieces),
        asked: price_report(&asked, costs),
        own: own.map(|own| price_report(&own, costs)),
        lines: lines(&asked, costs, layout),
        rolls_text: costs.roll_part.and_then(rolls_text),
        work: work_text(costs.order_hours()),
        reason: reason(costs, input),
        assumptions: assumptions(costs),
    })
}

fn price_report(outcome: &Outcome, costs: &Costs) -> PriceReport {
    let money = |amount| costs.currency.text(amount);
    let goods = outcome.price * Decimal::from(costs.pieces);
    let left = costs
        .currency
        .round(outcome.left, Rounding::HalfAwayFromZero);
    PriceReport {
        price: money(outcome.price),
        total: money(outcome.total),
        left: money(left),
        left_per_piece: money(outcome.left / Decimal::from(costs.pieces)),
        hourly_pay: outcome.hourly_pay(costs).map(money),
        margin: hundredths(outcome.left, goods),
        markup: hundredths(outcome.left, goods - outcome.left),
        loss: left < Decimal::ZERO,
    }
}

/// The amounts of the lines in whole minor units, in the order of the table; the last one is what is
/// left. They add up to what the customer pays.
fn apportioned(outcome: &Outcome, costs: &Costs) -> [Decimal; 11] {
    let exact = [
        costs.film,
        costs.tape,
        costs.work,
        costs.spoiled,
        costs.mailer,
        costs.card,
        costs.overhead,
        costs.postage_paid,
        outcome.channel_fee,
        outcome.payment_fee,
    ];
    // What is left is rounded for itself, so that table and sentences say the same of it.
    let left = costs
        .currency
        .round(outcome.left, Rounding::HalfAwayFromZero);
    let [
        film,
        tape,
        work,
        spoiled,
        mailer,
        card,
        overhead,
        postage,
        channel,
        payment,
    ] = apportion(costs.currency, exact, outcome.total - left);
    [
        film, tape, work, spoiled, mailer, card, overhead, postage, channel, payment, left,
    ]
}

/// A share in hundredths, to two decimals.
fn percent(share: Decimal) -> String {
    let hundredths = share * Decimal::ONE_HUNDRED;
    let rounded = hundredths.round_dp_with_strategy(2, RoundingStrategy::MidpointAwayFromZero);
    rounded.normalize().to_string()
}

/// `part` in hundredths of `whole`, to one decimal, or whole from 100 up; none where the whole is nothing or less.
fn hundredths(part: Decimal, whole: Decimal) -> Option<String> {
    // Of next to nothing a share has no end of digits, and says nothing.
    let hundredths = part.checked_div(whole)?.checked_mul(Decimal::ONE_HUNDRED)?;
    if whole <= Decimal::ZERO || hundredths.abs() > Decimal::from(1_000_000) {
        return None;
    }
    let places = u32::from(hundredths.abs() < Decimal::ONE_HUNDRED);
    let rounded = hundredths.round_dp_with_strategy(places, RoundingStrategy::MidpointAwayFromZero);
    Some(rounded.normalize().to_string())
}

fn lines(outcome: &Outcome, costs: &Costs, layout: &MaterialReport) -> Vec<Line> {
    let count = if costs.pieces == 1 {
        String::new()
    } else {
        format!("{}; ", pieces(costs.pieces))
    };
    let fee = |fee: &costs::Fee| match (fee.share.is_zero(), fee.fixed.is_zero()) {
        (_, true) => format!("{} % of item and postage", percent(fee.share)),
        (true, false) => "for the order".to_owned(),
        (false, false) => format!(
            "{} % of item and postage, and a sum for the order",
            percent(fee.share)
        ),
    };
    let (paid, charged) = (costs.postage_paid, costs.postage_charged);
    let postage = if paid.is_zero() {
        "none"
    } else if charged.is_zero() {
        "paid from the price"
    } else if charged < paid {
        "paid in part from what the customer is charged for it"
    } else {
        "paid from what the customer is charged for it"
    };
    let lost = format!(
        "film, tape and work of {} in 100 pieces made",
        percent(costs.spoilage)
    );
    let left = if outcome.left < Decimal::ZERO {
        "Loss"
    } else {
        "Left for the shop"
    };
    let of_roll = costs.roll_part.map_or_else(String::new, |part| {
        if part > Decimal::ONE {
            let rolls = part.round_dp_with_strategy(1, RoundingStrategy::ToPositiveInfinity);
            format!("; the cut takes {} rolls", rolls.normalize())
        } else {
            format!("; the cut takes {} % of the roll", percent(part))
        }
    });
    let rows = [
        (
            "film",
            "Film",
            format!("{count}{}{of_roll}", layout.share_text),
        ),
        (
            "tape",
            "Transfer tape",
            format!("{count}the size of the decal"),
        ),
        ("work", "Work", work_text(costs.work_hours)),
        ("spoilage", "Spoilage", lost),
        ("mailer", "Mailer", "one an order".to_owned()),
        ("card", "Card and extras", "one an order".to_owned()),
        ("overhead", "Overhead", "the order's share".to_owned()),
        ("postage", "Postage", postage.to_owned()),
        ("channel", "Fee of the channel", fee(&costs.channel)),
        ("payment", "Fee of the payment", fee(&costs.payment)),
        ("left", left, "when all of the above is paid".to_owned()),
    ];
    // A loss makes the costs longer than what the customer pays.
    let whole_strip = outcome.total - outcome.left.min(Decimal::ZERO);
    rows.into_iter()
        .zip(apportioned(outcome, costs))
        .map(|((id, label, detail), amount)| Line {
            id,
            label,
            detail,
            amount: costs.currency.text(amount),
            share: share(amount, whole_strip),
        })
        .collect()
}

/// What is said of a cut that is longer than one roll.
fn rolls_text(part: Decimal) -> Option<String> {
    (part > Decimal::ONE).then(|| {
        format!(
            "That is longer than one roll: it takes {} rolls at least, and has to be divided",
            part.ceil().normalize()
        )
    })
}

fn share(part: Decimal, whole: Decimal) -> f64 {
    if whole <= Decimal::ZERO {
        return 0.0;
    }
    (part / whole)
        .clamp(Decimal::ZERO, Decimal::ONE)
        .to_f64()
        .unwrap_or(0.0)
}

/// `11 min` or `1 h 15 min`, to the minute; to tenths of a minute below ten minutes.
fn work_text(hours: Decimal) -> String {
    use RoundingStrategy::MidpointAwayFromZero as Nearest;
    let minutes = hours * Decimal::from(60);
    if minutes < Decimal::TEN {
        let minutes = minutes.round_dp_with_strategy(1, Nearest).normalize();
        return format!("{minutes} min");
    }
    let minutes = minutes.round_dp_with_strategy(0, Nearest);
    let (hours, rest) = (
        (minutes / Decimal::from(60)).floor(),
        minutes % Decimal::from(60),
    );
    if hours.is_zero() {
        format!("{rest} min")
    } else {
        format!("{hours} h {rest} min")
    }
}

fn reason(costs: &Costs, input: &QuoteInput) -> String {
    let aim = match costs.target {
        Target::Margin(share) if share.is_zero() => "Pays all costs and the wage".to_owned(),
        Target::Margin(share) => format!(
            "Leaves at least {} % of the item price when all costs and the wage are paid",
            percent(share)
        ),
        Target::HourlyPay(_) => "Brings at least the pay an hour that was asked for".to_owned(),
    };
    let rounding = match input.ending {
        Ending::Any => "rounded up to what can be paid",
        Ending::Whole => "rounded up to end in 00",
        Ending::Half => "rounded up to end in 50 or 00",
        Ending::NinetyFive => "rounded up to end in 95",
        Ending::NinetyNine => "rounded up to end in 99",
    };
    format!("{aim}; {rounding} and reckoned through again after rounding.")
}

fn assumptions(costs: &Costs) -> Vec<String> {
    vec![
        "Film is shared out by the layout: each piece bears its part of all the film that is used up, waste included.".to_owned(),
        format!(
            "Setting up is shared by all that is cut at once: {}.",
            pieces(costs.batch)
        ),
        "A spoiled piece costs its film, its tape and the time of a piece, but no mailer and no postage.".to_owned(),
        "Each fee is taken from item and postage together and rounded to the minor unit.".to_owned(),
        "Margin is what is left in hundredths of the item price; mark-up is the same sum in hundredths of what the item price pays for.".to_owned(),
        "Sales tax is not reckoned.".to_owned(),
    ]
}

/// The unit of the lengths in the input of a quote.
const fn unit(input: &QuoteInput) -> Unit {
    input.material.unit
}
