//! A quote in words and lines: what a price is made of, and what was taken for granted.

use super::costs::{Costs, Supply, Target};
use super::fees::Fee;
use super::input::{Share, SupplyUse};
use super::price::Outcome;
use super::{Line, PriceReport, hundredths, percent, places};
use crate::material::MaterialReport;
use crate::measure::pieces;
use crate::money::{Ending, Rounding, TaxKind, apportion};
use rust_decimal::prelude::ToPrimitive;
use rust_decimal::{Decimal, RoundingStrategy};
use say::say;

/// What a price leaves.
pub(super) fn price_report(outcome: &Outcome, costs: &Costs) -> PriceReport {
    let currency = costs.terms.currency;
    let money = |amount| currency.text(amount);
    let count = Decimal::from(costs.pieces);
    let left = currency.round(outcome.left, Rounding::HalfAwayFromZero);
    let each = outcome.earned(costs) / count;
    let times = |number: Option<u32>| number.map(|number| money(each * Decimal::from(number)));
    PriceReport {
        price: money(outcome.price),
        total: money(outcome.sale.total),
        left: money(left),
        left_per_piece: money(outcome.left / count),
        earned_per_piece: money(each),
        hourly_pay: outcome.hourly_pay(costs).map(money),
        per_sheet: times(costs.per_sheet),
        per_month: times(
            costs
                .orders
                .and_then(|orders| orders.checked_mul(costs.pieces)),
        ),
        margin: hundredths(outcome.left, outcome.sale.net),
        markup: hundredths(outcome.left, outcome.sale.net - outcome.left),
        loss: left < Decimal::ZERO,
        number: outcome.price,
    }
}

/// What the customer pays, line by line; the last one is what is left.
pub(super) fn lines(outcome: &Outcome, costs: &Costs, layout: &MaterialReport) -> Vec<Line> {
    let sale = &outcome.sale;
    let count = if costs.pieces == 1 {
        String::new()
    } else {
        format!("{}; ", pieces(costs.pieces))
    };
    let lost = percent(costs.spoilage);
    let lost = say!("film, tape, wear and work of {lost} in 100 pieces made");
    let mut rows: Vec<(&'static str, &str, String, Decimal)> = Vec::new();
    let mut row = |id, label, detail, amount| rows.push((id, label, detail, amount));
    row(
        "film",
        say!("Film"),
        count.clone() + &film_text(costs, layout),
        costs.film,
    );
    row(
        "tape",
        say!("Transfer tape"),
        count + say!("the size of the decal"),
        costs.tape,
    );
    row(
        "work",
        say!("Work"),
        work_text(costs.work_hours),
        costs.work,
    );
    row("spoilage", say!("Spoilage"), lost, costs.spoiled);
    row(
        "wear",
        say!("Cutter and blade"),
        say!("what they wear off").into(),
        costs.wear,
    );
    for supply in &costs.supplies {
        row("supply", &supply.name, supply_text(supply), supply.cost);
    }
    row(
        "licence",
        say!("Licence"),
        say!("the design's share").into(),
        costs.licence,
    );
    row(
        "overhead",
        say!("Overhead"),
        say!("the order's share").into(),
        costs.overhead,
    );
    row(
        "postage",
        say!("Postage"),
        postage_text(costs).into(),
        costs.postage_paid,
    );
    let taxed = costs.terms.tax_kind == TaxKind::Added;
    for (fee, amount) in costs.terms.fees.iter().zip(&sale.fees) {
        row("fee", &fee.name, fee_text(fee, taxed), *amount);
    }
    row(
        "refunds",
        say!("Refunds"),
        refunds_text(costs),
        sale.refunds,
    );
    row("tax", say!("Sales tax"), tax_text(costs).into(), sale.tax);

    // What is left is rounded for itself, so that table and sentences say the same of it.
    let currency = costs.terms.currency;
    let left = currency.round(outcome.left, Rounding::HalfAwayFromZero);
    let exact: Vec<Decimal> = rows.iter().map(|(.., amount)| *amount).collect();
    let mut amounts = apportion(currency, &exact, sale.total - left);
    amounts.push(left);
    let label = if left < Decimal::ZERO {
        say!("Loss")
    } else {
        say!("Left for the shop")
    };
    let paid = say!("when all of the above is paid");
    rows.push(("left", label, paid.into(), left));
    // A loss makes the costs longer than what the customer pays.
    let whole_strip = sale.total - left.min(Decimal::ZERO);
    let mut lines = Vec::new();
    for ((id, label, detail, exact), amount) in rows.into_iter().zip(amounts) {
        // What is not there takes no line; film and work are looked for.
        if exact.is_zero() && !matches!(id, "film" | "work" | "left") {
            continue;
        }
        let label = match (label.trim(), id) {
            ("", "fee") => say!("Fee"),
            ("", _) => say!("Supply"),
            (label, _) => label,
        };
        lines.push(Line {
            id,
            label: label.to_owned(),
            detail,
            amount: currency.text(amount),
            share: share(amount, whole_strip),
        });
    }
    lines
}

fn film_text(costs: &Costs, layout: &MaterialReport) -> String {
    let film = match costs.by {
        Share::Layout => layout.share_text.as_str(),
        Share::Area => say!("by its own area"),
    };
    let Some(part) = costs.roll_part else {
        return film.to_owned();
    };
    let of_roll = if part > Decimal::ONE {
        let rolls = places(part, 1, RoundingStrategy::ToPositiveInfinity);
        say!("the cut takes {rolls} rolls")
    } else {
        let part = percent(part);
        say!("the cut takes {part} % of the roll")
    };
    format!("{film}; {of_roll}")
}

fn postage_text(costs: &Costs) -> &'static str {
    let charged = costs.terms.postage;
    if charged.is_zero() {
        say!("paid from the price")
    } else if charged < costs.postage_paid {
        say!("paid in part from what the customer is charged for it")
    } else {
        say!("paid from what the customer is charged for it")
    }
}

fn supply_text(supply: &Supply) -> String {
    let count = supply.count;
    match supply.per {
        SupplyUse::Order => say!("{count} an order"),
        SupplyUse::Posted => say!("{count} an order that is posted"),
        SupplyUse::Piece => say!("{count} a piece"),
    }
}

/// `6.5 % of the items, 3 % of postage, from 0.30 at least, and a sum` without the amounts.
fn fee_text(fee: &Fee, taxed: bool) -> String {
    let mut parts = Vec::new();
    let mut add = |share: Decimal, of: fn(String) -> String| {
        if !share.is_zero() {
            parts.push(of(percent(share)));
        }
    };
    let of_items = match fee.tiers.first() {
        Some((_, item)) if fee.tiers.len() == 1 && *item == fee.postage => {
            add(*item, |share| say!("{share} % of item and postage"));
            true
        }
        Some((_, item)) => {
            add(*item, |share| say!("{share} % of the item"));
            false
        }
        None => false,
    };
    for (_, item) in fee.tiers.iter().skip(1) {
        if fee.whole {
            add(*item, |share| say!("{share} % of the item from a tier on"));
        } else {
            add(*item, |share| say!("{share} % of the item above a tier"));
        }
    }
    if !of_items {
        add(fee.postage, |share| say!("{share} % of postage"));
    }
    if taxed {
        add(fee.tax, |share| say!("{share} % of the tax"));
    }
    for (there, words) in [
        (!fee.least.is_zero(), say!("with a least")),
        (fee.most.is_some(), say!("with a most")),
        (!fee.fixed.is_zero(), say!("a sum for the order")),
    ] {
        if there {
            parts.push(words.to_owned());
        }
    }
    let text = parts.join(", ");
    if fee.chance < Decimal::ONE {
        let orders = percent(fee.chance);
        return text + "; " + &say!("on {orders} in 100 orders");
    }
    text
}

fn refunds_text(costs: &Costs) -> String {
    say!(
        "{orders} in 100 orders are paid back",
        orders = percent(costs.terms.refunds)
    )
}

const fn tax_text(costs: &Costs) -> &'static str {
    match costs.terms.tax_kind {
        TaxKind::Included => say!("in the price; passed on"),
        TaxKind::Added | TaxKind::None => say!("on top of the price; passed on"),
    }
}

/// What is said of a cut that is longer than one roll.
pub(super) fn rolls_text(part: Decimal) -> Option<String> {
    (part > Decimal::ONE).then(|| {
        say!(
            "That is longer than one roll: it takes {rolls} rolls at least, and has to be divided",
            rolls = part.ceil().normalize()
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
pub(super) fn work_text(hours: Decimal) -> String {
    use RoundingStrategy::MidpointAwayFromZero as Nearest;
    let minutes = hours * Decimal::from(60);
    if minutes < Decimal::TEN {
        let minutes = places(minutes, 1, Nearest);
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

/// Why the asked price is what it is.
pub(super) fn reason(costs: &Costs) -> String {
    let aim = match costs.target {
        Target::Margin(share) | Target::Markup(share) if share.is_zero() => {
            say!("Pays all costs and the wage").to_owned()
        }
        Target::Margin(share) => say!(
            "Leaves at least {share} % of the item price when all costs and the wage are paid",
            share = percent(share)
        ),
        Target::Markup(share) => say!(
            "Adds at least {share} % to all that the item price pays for, the wage included",
            share = percent(share)
        ),
        Target::HourlyPay(_) => {
            say!("Brings at least the pay an hour that was asked for").to_owned()
        }
        Target::Profit(_) => {
            say!("Leaves at least the sum a piece that was asked for, the wage paid").to_owned()
        }
        Target::Bought => say!("Pays all that is bought, and nothing for the work").to_owned(),
    };
    let rounding = match costs.ending {
        Ending::Any => {
            say!("rounded up to what can be paid and reckoned through again after rounding.")
        }
        Ending::Whole => say!("rounded up to end in 00 and reckoned through again after rounding."),
        Ending::Half => {
            say!("rounded up to end in 50 or 00 and reckoned through again after rounding.")
        }
        Ending::NinetyFive => {
            say!("rounded up to end in 95 and reckoned through again after rounding.")
        }
        Ending::NinetyNine => {
            say!("rounded up to end in 99 and reckoned through again after rounding.")
        }
    };
    aim + "; " + rounding
}

/// What was taken for granted.
pub(super) fn assumptions(costs: &Costs) -> Vec<String> {
    let film = match costs.by {
        Share::Layout => say!(
            "Film is shared out by the layout: each piece bears its part of all the film that is used up, waste included."
        ),
        Share::Area => say!(
            "Film is reckoned by the area of the piece alone: what lies between and beside the pieces is taken to be used up otherwise."
        ),
    };
    let tax = if costs.terms.tax_kind == TaxKind::None {
        say!("Sales tax is not reckoned.")
    } else {
        say!(
            "Sales tax is a cost to nobody here: it is taken in and passed on. What has to be taxed, and how, the tax office says."
        )
    };
    let mut all = vec![
        film.to_owned(),
        say!(
            "Setting up is shared by all that is cut at once: {pieces}.",
            pieces = pieces(costs.batch)
        ),
        say!("A spoiled piece costs its film, its tape, its wear and the time of a piece, but no setting up, licence, mailer or postage.").to_owned(),
        say!("Each fee is rounded to the minor unit as it is charged; one that is charged on some orders only counts by its chance.").to_owned(),
        say!("Margin is what is left in hundredths of the item price without tax; mark-up is the same sum in hundredths of what the item price pays for.").to_owned(),
        tax.to_owned(),
    ];
    if costs.terms.postage > costs.postage_paid {
        all.push(
            say!("What is charged for postage beyond what it costs counts as left of the item.")
                .to_owned(),
        );
    }
    if !costs.terms.refunds.is_zero() {
        all.push(
            say!("Of an order that is paid back the customer gets all, and the costs stay; a fee comes back only where that is said of it.")
                .to_owned(),
        );
    }
    all
}
