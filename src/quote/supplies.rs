//! The shopping list: what a planned number of orders takes of each supply, what is on hand, and what to
//! buy, in which packs.

use super::costs::Reader;
use super::input::SupplyUse;
use super::packs::{self, Ways};
use crate::error::{Checks, Code, InputError, InputErrors};
use crate::input::read_by_members;
use crate::measure::{
    Count, Length, LengthInput, Number, NumberInput, Range, Unit, optional, pieces as worded,
    required,
};
use rust_decimal::Decimal;
use say::say;
use serde::Serialize;

/// More of one thing than anybody plans for, and few enough to find the cheapest packs while somebody
/// types.
pub(super) const MOST_NEEDED: u32 = 100_000;

/// What is said where nothing has to be bought.
const NOTHING: &str = say!(in "to buy": "nothing");

/// The film that one piece takes of a roll, and what is left on rolls.
const OF_ROLL: Range = Range::up_to(Length::whole(1000, Unit::M));

read_by_members! {
    /// What is planned, and the supplies that it takes.
    #[derive(Clone, Debug, Default, PartialEq)]
    pub struct SupplyListInput {
        /// ISO 4217 code.
        pub currency: String,
        /// Unit of lengths without one, and of those in the answer.
        pub unit: Unit = default,
        /// Orders or sales planned.
        pub orders: Option<Count> = default,
        /// How many of them are posted; all where left out.
        pub posted: Option<NumberInput> = default,
        /// Pieces in an order, on average; one where left out.
        pub pieces: Option<NumberInput> = default,
        /// What is bought in packs: mailers, cards, films in sheets.
        pub supplies: Vec<ListedSupply> = default,
        /// What is bought by the roll: film, transfer tape.
        pub rolls: Vec<RollInput> = default,
    }
}

read_by_members! {
    /// One thing that is bought in packs.
    #[derive(Clone, Debug, Default, PartialEq)]
    pub struct ListedSupply {
        /// What it is called.
        pub name: Option<String> = default,
        /// What takes it.
        pub per: SupplyUse = default,
        /// So many each of them takes; one where left out, `1/8` where a sheet makes eight pieces.
        pub count: Option<NumberInput> = default,
        /// The packs it is sold in: `25 for 12.00; 350 for 60.00`.
        pub packs: String,
        /// So many are there already.
        pub on_hand: Option<NumberInput> = default,
    }
}

read_by_members! {
    /// One thing that is bought by the roll.
    #[derive(Clone, Debug, Default, PartialEq)]
    pub struct RollInput {
        /// What it is called: a film by its colour, the tape.
        pub name: Option<String> = default,
        /// Pieces that are made of it; all that are planned where left out.
        pub pieces: Option<NumberInput> = default,
        /// Length that one piece takes, its share of waste included.
        pub each: Option<LengthInput> = default,
        /// Length of a whole roll; a bare text counts in feet or metres.
        pub roll: Option<LengthInput> = default,
        /// Price of a whole roll.
        pub price: Option<String> = default,
        /// Length that is there already; a bare text counts in feet or metres.
        pub on_hand: Option<LengthInput> = default,
    }
}

/// The shopping list.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "camelCase")]
pub struct SupplyListReport {
    /// ISO 4217 code of every amount below.
    pub currency: String,
    /// Decimals that the amounts are shown with.
    pub decimals: u32,
    /// What it is for: `40 orders of 60 pieces, 25 posted`.
    pub planned: String,
    /// Each supply in the order of the input, rolls last.
    pub rows: Vec<SupplyRow>,
    /// All that is to be bought.
    pub total: String,
    /// What was taken for granted.
    pub assumptions: Vec<&'static str>,
}

/// What is needed and bought of one supply.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "camelCase")]
pub struct SupplyRow {
    /// What it is called.
    pub name: String,
    /// How many, or what length, is needed.
    pub needed: String,
    /// How much of it is there.
    pub on_hand: String,
    /// In which packs the rest is bought: `1 × 350 and 2 × 25`, `2 rolls`; `nothing` where none is missing.
    pub packs: String,
    /// What is left over then.
    pub left: String,
    /// What that costs.
    pub cost: String,
}

/// Reckons the shopping list.
///
/// # Errors
/// Every field that cannot be read; [`Code::TooLarge`] where more than a hundred thousand are needed;
/// those of the packs at `supplies[0].packs`.
pub fn list(input: &SupplyListInput) -> Result<SupplyListReport, InputErrors> {
    let mut read = Reader::new(&input.currency, input.unit);
    let orders = input.orders.clone().unwrap_or_else(|| Count::from(""));
    let orders = orders.read().map_err(|error| error.at("orders"));
    let orders = read.checks.take(orders).unwrap_or(1);
    let all = Number {
        numerator: i128::from(orders),
        denominator: 1,
    };
    let posted = figure(
        &mut read.checks,
        input.posted.as_ref(),
        "posted",
        Figure::Whole,
    );
    let posted = posted.unwrap_or(all);
    if posted.numerator > all.numerator {
        let error = InputError::new(
            Code::TooLarge,
            say!("more are posted than are planned"),
            say!("write how many of the orders are posted"),
        );
        read.checks.add(error.at("posted"));
    }
    let each = figure(
        &mut read.checks,
        input.pieces.as_ref(),
        "pieces",
        Figure::Above,
    );
    let planned = times(orders, each);
    let pieces = read.checks.take(needed(planned, "pieces")).unwrap_or(1);
    let mut bought = Vec::new();
    for (place, supply) in input.supplies.iter().enumerate() {
        let path = format!("supplies[{place}]");
        bought.push(of_packs(
            &mut read,
            supply,
            &path,
            match supply.per {
                SupplyUse::Posted => u32::try_from(posted.numerator).unwrap_or(orders),
                SupplyUse::Order => orders,
                SupplyUse::Piece => pieces,
            },
        ));
    }
    for (place, roll) in input.rolls.iter().enumerate() {
        let path = format!("rolls[{place}]");
        bought.push(of_rolls(&mut read, roll, &path, pieces));
    }
    let currency = read.currency;
    read.checks.finish(())?;
    let bought: Vec<(SupplyRow, Decimal)> = bought.into_iter().flatten().collect();
    let costs = bought.iter().map(|(_, cost)| *cost);
    let total = costs.fold(Decimal::ZERO, |total, cost| total + cost);
    let mut rows = Vec::new();
    for (place, (mut row, cost)) in bought.into_iter().enumerate() {
        if row.name.is_empty() {
            row.name = say!("Supply {number}", number = place + 1);
        }
        row.cost = currency.text(cost);
        rows.push(row);
    }
    Ok(SupplyListReport {
        currency: currency.code().to_owned(),
        decimals: currency.exponent(),
        planned: say!(
            orders;
            "{orders} order of {pieces}, {posted} posted",
            "{orders} orders of {pieces}, {posted} posted",
            pieces = worded(pieces),
            posted = posted.numerator
        ),
        rows,
        total: currency.text(total),
        assumptions: vec![
            say!("Nothing is added for spoiled pieces and samples."),
            packs::TIES,
            say!(
                "Lengths of a roll are reckoned end to end: the ends of rolls that are too short for a piece are not counted."
            ),
        ],
    })
}

/// The row of a supply in packs and its exact cost; none where its input has a mistake.
fn of_packs(
    read: &mut Reader,
    supply: &ListedSupply,
    path: &str,
    takers: u32,
) -> Option<(SupplyRow, Decimal)> {
    let at = |member: &str| format!("{path}.{member}");
    let count_path = at("count");
    let count = figure(
        &mut read.checks,
        supply.count.as_ref(),
        &count_path,
        Figure::Above,
    );
    let needed = read.checks.take(needed(times(takers, count), &count_path));
    let on_hand = on_hand(&mut read.checks, supply.on_hand.as_ref(), &at("onHand"));
    let packs = packs::parse(&supply.packs, read.currency).map_err(|error| error.at(at("packs")));
    let packs = read.checks.take(packs)?;
    let name = supply.name.clone().unwrap_or_default();
    Some(row(name, needed?, on_hand, &Ways::of(packs, needed?)))
}

/// What is bought where some are on hand already, and its exact cost; the text of the cost is still to
/// be written.
pub(super) fn row(name: String, needed: u32, on_hand: u32, ways: &Ways) -> (SupplyRow, Decimal) {
    let missing = needed.saturating_sub(on_hand);
    let way = ways.to(missing);
    let left = on_hand.saturating_add(way.pieces).saturating_sub(needed);
    let row = SupplyRow {
        name,
        needed: needed.to_string(),
        on_hand: on_hand.to_string(),
        packs: if missing == 0 {
            NOTHING.to_owned()
        } else {
            ways.text(missing)
        },
        left: left.to_string(),
        cost: String::new(),
    };
    (row, way.cost())
}

/// The same for what is bought by the roll.
fn of_rolls(
    read: &mut Reader,
    roll: &RollInput,
    path: &str,
    planned: u32,
) -> Option<(SupplyRow, Decimal)> {
    let at = |member: &str| format!("{path}.{member}");
    let pieces_path = at("pieces");
    let pieces = figure(
        &mut read.checks,
        roll.pieces.as_ref(),
        &pieces_path,
        Figure::Whole,
    );
    let pieces = pieces.map_or(Ok(planned), |pieces| needed(pieces, &pieces_path));
    let pieces = read.checks.take(pieces);
    let unit = read.unit;
    let each = required(roll.each.as_ref(), &at("each"), unit, OF_ROLL);
    let each = read.checks.take(each);
    let length = read.long(roll.roll.as_ref(), &at("roll"));
    let price = read.amount(roll.price.as_deref(), &at("price"));
    let far = unit.for_distance();
    let on_hand = roll.on_hand.as_ref().map(|length| length.counted_in(unit));
    let on_hand = optional(on_hand.as_ref(), &at("onHand"), far, OF_ROLL);
    let on_hand = read.checks.take(on_hand)?.unwrap_or(Length::ZERO);
    // A hundred thousand kilometres at most.
    let needed = Length::from_nm(each?.nm().saturating_mul(i64::from(pieces?)));
    let missing = (needed.nm() - on_hand.nm()).max(0);
    let roll_length = length?.nm().max(1);
    let rolls = missing / roll_length + i64::from(missing % roll_length > 0);
    let left = on_hand.nm() + rolls.saturating_mul(roll_length) - needed.nm();
    let row = SupplyRow {
        name: roll.name.clone().unwrap_or_default(),
        needed: needed.text(far),
        on_hand: on_hand.text(far),
        packs: match rolls {
            0 => NOTHING.to_owned(),
            rolls => say!(rolls; "{rolls} roll", "{rolls} rolls"),
        },
        left: Length::from_nm(left).text(far),
        cost: String::new(),
    };
    Some((row, price * Decimal::from(rolls)))
}

/// Of which kind a figure is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Figure {
    /// A whole number from nothing up.
    Whole,
    /// Any number that is not next to nothing.
    Above,
}

/// Reads a figure that may be left out or empty, a million at most; `path` is its place in the input.
pub(super) fn figure(
    checks: &mut Checks,
    input: Option<&NumberInput>,
    path: &str,
    kind: Figure,
) -> Option<Number> {
    let text = input?.text();
    if text.trim().is_empty() {
        return None;
    }
    let read = input?.figure("12").and_then(|(negative, read)| {
        let Number {
            numerator,
            denominator,
        } = read;
        let (code, message) = if negative && numerator > 0 {
            (Code::TooSmall, say!("less than nothing"))
        } else if kind == Figure::Above && numerator * 1000 < denominator {
            (Code::TooSmall, say!("this is too small"))
        } else if numerator > denominator * 1_000_000 {
            (Code::TooLarge, say!("more than a million"))
        } else if kind == Figure::Whole && numerator % denominator != 0 {
            (Code::NotWhole, say!("only whole pieces can be counted"))
        } else {
            return Ok(match kind {
                Figure::Whole => Number {
                    numerator: numerator / denominator,
                    denominator: 1,
                },
                Figure::Above => read,
            });
        };
        Err(InputError::new(
            code,
            message,
            say!("write a number such as 12, or leave this empty"),
        ))
    });
    checks.take(read.map_err(|error| error.at(path)))
}

/// A figure that was read, as a decimal.
pub(super) fn decimal(figure: Number) -> Decimal {
    let part = |part| Decimal::try_from_i128_with_scale(part, 0).unwrap_or_default();
    let quotient = part(figure.numerator).checked_div(part(figure.denominator));
    quotient.unwrap_or_default()
}

/// How many are on hand; none where left out.
pub(super) fn on_hand(checks: &mut Checks, input: Option<&NumberInput>, path: &str) -> u32 {
    let read = figure(checks, input, path, Figure::Whole);
    read.map_or(0, |read| u32::try_from(read.numerator).unwrap_or(u32::MAX))
}

/// So many times a figure, which is one where it is left out.
fn times(count: u32, figure: Option<Number>) -> Number {
    let count = i128::from(count);
    figure.map_or(
        Number {
            numerator: count,
            denominator: 1,
        },
        |figure| Number {
            numerator: figure.numerator * count,
            denominator: figure.denominator,
        },
    )
}

/// The whole number that is needed for a figure; `path` is the place of the field to blame for too many.
fn needed(figure: Number, path: &str) -> Result<u32, InputError> {
    let whole = (figure.numerator + figure.denominator - 1) / figure.denominator;
    let whole = u32::try_from(whole).ok();
    whole.filter(|whole| *whole <= MOST_NEEDED).ok_or_else(|| {
        let error = InputError::new(
            Code::TooLarge,
            say!("more than a hundred thousand are needed"),
            say!("plan for fewer orders, or write a smaller number here"),
        );
        error.at(path)
    })
}
