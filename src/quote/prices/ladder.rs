//! The ladder: what each size costs, asks and pays, and what the step up to it earns.

use super::super::costs::Costs;
use super::super::price::Outcome;
use super::super::told::work_text;
use super::Desk;
use crate::drawing::{Chart, Element, Line};
use crate::error::{Checks, InputErrors};
use crate::material;
use crate::measure::for_people;
use crate::money::Ending;
use crate::money::Rounding;
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;
use say::say;
use serde::Serialize;

/// One size of the ladder.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "camelCase")]
pub struct Rung {
    /// Its width: `4 in`.
    pub width: String,
    /// Pieces on a sheet, or cut at once from a roll.
    pub count: u32,
    /// Price of a piece of this size, in the currency of the ladder.
    pub price: String,
    /// Whether that is the maker's own price.
    pub own: bool,
    /// All that an order of it costs, for one piece: everything but what is left.
    pub cost: String,
    /// What is left of a piece when everything is paid, the wage included.
    pub left: String,
    /// Whether that is less than nothing.
    pub loss: bool,
    /// What an hour of work brings; none where no time was entered.
    pub hourly_pay: Option<String>,
    /// What the step up from the size before earns; none for the first one.
    pub step: Option<StepUp>,
    /// What an hour of work brings as a number, in whole minor units.
    #[serde(skip)]
    pay: Option<Decimal>,
}

/// What a step from one size up to the next brings, for a piece.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "camelCase")]
pub struct StepUp {
    /// The width before: `3 in`.
    pub from: String,
    /// What the step earns for the work: the difference of wage and what is left.
    pub earned: String,
    /// By how much more or less an hour of work brings; without a sign.
    pub hourly: Option<String>,
    /// Whether an hour brings less than before.
    pub less: bool,
    /// Why, in words and without amounts.
    pub why: String,
    /// Where the difference in price goes; the last one is what is left of it.
    pub changes: Vec<Change>,
}

/// One part of a difference.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "camelCase")]
pub struct Change {
    /// Where this part of it goes, in a few words for people.
    pub label: &'static str,
    /// By how much a piece brings or costs more; negative for less.
    pub amount: String,
}

/// The rungs, and their chart.
#[derive(Default)]
pub(super) struct Ladder {
    pub rungs: Vec<Rung>,
    pub chart: Option<Element>,
}

/// One size reckoned through.
struct Reckoned {
    costs: Costs,
    outcome: Outcome,
    width: crate::measure::Length,
    count: u32,
    own: bool,
    /// What an hour would bring at a price without an ending; none for a price of the maker's own.
    exact_pay: Option<Decimal>,
}

impl Reckoned {
    fn each(&self, amount: Decimal) -> Decimal {
        amount / Decimal::from(self.costs.pieces)
    }

    fn earned(&self) -> Decimal {
        self.each(self.outcome.earned(&self.costs))
    }

    fn hours(&self) -> Decimal {
        self.each(self.costs.order_hours())
    }

    /// Film, tape, wear and what is spoiled.
    fn material(&self) -> Decimal {
        let costs = &self.costs;
        self.each(costs.film + costs.tape + costs.wear + costs.spoiled)
    }
}

pub(super) fn ladder(desk: &Desk) -> Result<Ladder, InputErrors> {
    let mut checks = Checks::default();
    let mut all: Vec<Reckoned> = Vec::new();
    for (index, size) in desk.input.sizes.iter().enumerate() {
        let path = |member: &str| format!("sizes[{index}].{member}");
        let reckoned = desk
            .width_at(size.width.as_ref(), &path("width"))
            .and_then(|width| {
                let (costs, layout) = desk.at_width(width, desk.base.pieces, &path("width"))?;
                let own = costs.own(size.price.as_deref(), &path("price"))?;
                let price = match own {
                    Some(price) => price,
                    None => costs
                        .price_for(costs.target)
                        .map_err(|error| error.within("quote"))?,
                };
                let mut plain = costs.clone();
                plain.ending = Ending::Any;
                let exact = own.map_or_else(|| plain.price_for(plain.target).ok(), |_| None);
                Ok(Reckoned {
                    exact_pay: exact.and_then(|price| plain.outcome(price).hourly_pay(&plain)),
                    outcome: costs.outcome(price),
                    count: layout.per_sheet.unwrap_or(costs.batch),
                    costs,
                    width,
                    own: own.is_some(),
                })
            });
        if let Some(reckoned) = checks.take(reckoned) {
            // From the smallest up, however they were entered.
            let place = all.iter().take_while(|other| other.width <= reckoned.width);
            all.insert(place.count(), reckoned);
        }
    }
    let chart = (all.len() > 1).then(|| chart(desk, &all));
    let rungs = all.iter().enumerate().map(|(index, reckoned)| {
        let before = index.checked_sub(1).and_then(|index| all.get(index));
        rung(desk, reckoned, before)
    });
    checks.finish(Ladder {
        rungs: rungs.collect(),
        chart,
    })
}

fn rung(desk: &Desk, size: &Reckoned, before: Option<&Reckoned>) -> Rung {
    let currency = size.costs.terms.currency;
    let money = |amount| currency.text(amount);
    let left = size.each(size.outcome.left);
    let pay = size.outcome.hourly_pay(&size.costs);
    Rung {
        width: width_text(desk, size),
        count: size.count,
        price: money(size.outcome.price),
        own: size.own,
        cost: money(size.outcome.price - left),
        left: money(left),
        loss: currency.round(left, Rounding::HalfAwayFromZero) < Decimal::ZERO,
        pay: pay.map(|pay| currency.round(pay, Rounding::HalfAwayFromZero)),
        hourly_pay: pay.map(money),
        step: before.map(|before| step_up(desk, before, size)),
    }
}

fn width_text(desk: &Desk, size: &Reckoned) -> String {
    size.width.text(desk.unit.for_size())
}

fn step_up(desk: &Desk, before: &Reckoned, size: &Reckoned) -> StepUp {
    let currency = size.costs.terms.currency;
    let money = |amount| currency.text(amount);
    let hourly = |size: &Reckoned| size.outcome.hourly_pay(&size.costs);
    let hourly = hourly(size)
        .zip(hourly(before))
        .map(|(now, before)| risen(size, now, before));
    // Of the price alone: tax on top of it comes and goes.
    let taken = |size: &Reckoned| size.outcome.price - size.each(size.outcome.sale.kept);
    let changes = [
        (say!("Price"), size.outcome.price - before.outcome.price),
        (
            say!("Film, tape, wear, spoilage"),
            size.material() - before.material(),
        ),
        (
            say!("Wage for the work"),
            size.each(size.costs.work) - before.each(before.costs.work),
        ),
        (say!("Fees, tax, refunds"), taken(size) - taken(before)),
        (
            say!("So left for the shop"),
            size.each(size.outcome.left) - before.each(before.outcome.left),
        ),
    ];
    StepUp {
        from: width_text(desk, before),
        earned: money(size.earned() - before.earned()),
        hourly: hourly.map(|hourly| money(hourly.abs())),
        less: hourly.is_some_and(|hourly| hourly < Decimal::ZERO),
        why: why(before, size, hourly),
        changes: changes
            .into_iter()
            .map(|(label, amount)| Change {
                label,
                amount: money(amount),
            })
            .collect(),
    }
}

/// By how much a pay rises, in whole minor units: a smaller difference is none.
fn risen(size: &Reckoned, now: Decimal, before: Decimal) -> Decimal {
    let currency = size.costs.terms.currency;
    currency.round(now - before, Rounding::HalfAwayFromZero)
}

/// Why a size pays more or less an hour than the one before it: how its price differs, and what else does.
fn why(before: &Reckoned, size: &Reckoned, hourly: Option<Decimal>) -> String {
    let rise = size.outcome.price - before.outcome.price;
    let left = size.each(size.outcome.left) - before.each(before.outcome.left);
    // Where no time was entered, what is left tells.
    let more = hourly.unwrap_or(left) >= Decimal::ZERO;
    let price = if rise.is_zero() {
        say!("The price is the same")
    } else if rise < Decimal::ZERO {
        say!("The price is lower")
    } else if more {
        say!("The price rises by more than the costs and the work")
    } else if left < Decimal::ZERO {
        say!("The price rises by less than the costs")
    } else {
        say!("What is left rises by less than the work")
    };
    let mut clauses = vec![price.to_owned()];
    if size.count != before.count {
        let (count, before) = (size.count, before.count);
        clauses.push(say!("{count} come from the film instead of {before}"));
    }
    let longer = size.hours() - before.hours();
    if longer > Decimal::ZERO {
        let time = work_text(longer);
        clauses.push(say!("a piece takes {time} longer"));
    }
    let exact = size.exact_pay.zip(before.exact_pay);
    if let Some((now, before)) = exact
        && (risen(size, now, before) >= Decimal::ZERO) != more
    {
        let ending = say!("only the rounding of the prices to their ending makes it so");
        clauses.push(ending.to_owned());
    }
    clauses.join("; ")
}

/// Which size pays best.
pub(super) fn best(rungs: &[Rung]) -> Option<String> {
    let mut best: Option<&Rung> = None;
    for rung in rungs {
        rung.pay?;
        if best.is_none_or(|best| best.pay < rung.pay) {
            best = Some(rung);
        }
    }
    let best = best.filter(|_| rungs.len() > 1)?;
    let width = &best.width;
    Some(say!("{width} pays best for an hour of work"))
}

/// The first size that pays less an hour than the one before it.
pub(super) fn drop(rungs: &[Rung]) -> Option<String> {
    let rung = rungs
        .iter()
        .find(|rung| rung.step.as_ref().is_some_and(|step| step.less))?;
    let step = rung.step.as_ref()?;
    let mut letters = step.why.chars();
    let first: String = letters.next()?.to_ascii_lowercase().into();
    Some(say!(
        "{width} pays less an hour than {before}: {why}",
        width = rung.width,
        before = step.from,
        why = first + letters.as_str()
    ))
}

/// Price and cost of a piece by its width; the steps of the film are ticked.
fn chart(desk: &Desk, all: &[Reckoned]) -> Element {
    let unit = desk.unit;
    let float = |amount: Decimal| amount.to_f64().unwrap_or_default();
    let points = |amount: &dyn Fn(&Reckoned) -> Decimal| {
        all.iter()
            .map(|size| (size.width.to_f64(unit), float(amount(size))))
            .collect()
    };
    let steps = material::steps(&desk.input.quote.material);
    let ticks = steps.map_or_else(
        |_| Vec::new(),
        |steps| steps.steps.iter().map(|step| step.width.value).collect(),
    );
    let currency = desk.base.terms.currency;
    let said: Vec<String> = all
        .iter()
        .map(|size| {
            say!(
                "{width} at {price}",
                width = width_text(desk, size),
                price = for_people(currency.text(size.outcome.price))
            )
        })
        .collect();
    let chart = Chart {
        label: say!(
            "Price and cost of a piece by its width, in {currency}: {sizes}",
            sizes = said.join(", ")
        ),
        across: say!("width of a piece, {unit}", unit = unit.symbol()),
        up: currency.code().to_owned(),
        bands: Vec::new(),
        lines: vec![
            Line {
                name: say!(in "a line of a chart": "price"),
                points: points(&|size| size.outcome.price),
                dots: true,
            },
            Line {
                name: say!(in "a line of a chart": "cost"),
                points: points(&|size| size.outcome.price - size.each(size.outcome.left)),
                dots: true,
            },
        ],
        marks: Vec::new(),
        ticks,
    };
    chart.drawing()
}
