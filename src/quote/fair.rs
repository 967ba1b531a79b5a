//! A day at a fair: what a sale leaves there, how many pay for the table, what is paid in cash, and
//! how many pieces to bring.
//!
//! How many to bring is the newsvendor's question: a missed sale costs what it would have left, a
//! piece brought home what it cost beyond what it is still worth; the best number is the least for
//! which the chance that no more are asked for is at least the first over the sum of both.

use super::costs::{Reader, carried};
use super::input::TaxInput;
use super::normal;
use crate::error::{Code, InputError, InputErrors};
use crate::input::read_by_members;
use crate::measure::{Count, NumberInput, Unit, decimals, number};
use crate::money::{Currency, Rounding, TaxKind, parse_amount, to_coins};
use rust_decimal::prelude::ToPrimitive;
use rust_decimal::{Decimal, RoundingStrategy};
use say::say;
use serde::{Deserialize, Serialize};

/// Sales of a day are at most this many.
const MOST_SALES: u32 = 1_000_000;

read_by_members! {
    /// What a day at a fair is reckoned from. Amounts are decimal texts in `currency`; an amount that is
    /// left out counts as nothing.
    #[derive(Clone, Debug, Default, PartialEq)]
    pub struct FairInput {
        /// ISO 4217 code.
        pub currency: String,
        /// Price of a piece, as it stands on the tag; rounded to the minor unit.
        pub price: Option<String> = default,
        /// What one piece costs the maker, material and work, without table and travel.
        pub cost: Option<String> = default,
        /// What the table costs for the day.
        pub table_fee: Option<String> = default,
        /// What getting there and the day itself cost beside.
        pub travel: Option<String> = default,
        /// Time of the day; in hours where no unit stands.
        pub hours: Option<NumberInput> = default,
        /// Wage for an hour of that.
        pub wage: Option<String> = default,
        /// The tax on sales; nothing is posted, so that only its kind and its hundredths count.
        pub tax: TaxInput = default,
        /// The smallest coin in which cash is paid; the minor unit where left out.
        pub coin: Option<String> = default,
        /// Where a total half way between two coins goes.
        pub half: HalfCoin = default,
        /// Hundredths of the sales that are paid by card, in full.
        pub card_share: Option<NumberInput> = default,
        /// What a payment by card costs in hundredths of all that the customer pays.
        pub card_percent: Option<NumberInput> = default,
        /// What each payment by card costs besides.
        pub card_fixed: Option<String> = default,
        /// The guess of how many are asked for.
        pub sales: SalesInput = default,
        /// What a piece that is brought home is still worth.
        pub leftover: Option<String> = default,
        /// How many the maker means to bring, to see what comes of it.
        pub own: Option<Count> = default,
    }
}

/// Where a total half way between two coins goes. Practice differs from country to country.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "camelCase")]
pub enum HalfCoin {
    /// To the greater coin.
    #[default]
    Up,
    /// To the smaller one, in favour of the buyer.
    Down,
}

read_by_members! {
    /// A guess of how many pieces are asked for on such a day. Without it nothing is said of the day's
    /// earnings, and without its spread nothing of how many to bring.
    #[derive(Clone, Debug, Default, PartialEq)]
    pub struct SalesInput {
        /// Of which kind the guess is.
        pub kind: SalesKind = default,
        /// Their mean; for the normal kind.
        pub mean: Option<NumberInput> = default,
        /// Their standard deviation; for the normal kind.
        pub spread: Option<NumberInput> = default,
        /// The least; for the uniform kind.
        pub least: Option<NumberInput> = default,
        /// The most; for the uniform kind.
        pub most: Option<NumberInput> = default,
    }
}

/// The kinds of guess.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "camelCase")]
pub enum SalesKind {
    /// Near a mean mostly, two days in three within one spread of it: the normal distribution.
    #[default]
    Normal,
    /// Any number from the least to the most as often as any other.
    Uniform,
}

/// The answer about a day at a fair.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "camelCase")]
pub struct FairReport {
    /// ISO 4217 code of every amount below.
    pub currency: String,
    /// Decimals that the amounts are shown with.
    pub decimals: u32,
    /// What is charged for one piece, tax included: paid so by card.
    pub due: String,
    /// The same in coins.
    pub cash: String,
    /// The tax on sales in what is charged by card; `0.00` where there is none.
    pub tax: String,
    /// What a sale leaves when the piece, the tax and the mean fee of a card are paid.
    pub leaves: String,
    /// What the day costs before anything is sold.
    pub fixed: String,
    /// The number of sales that pay for that.
    pub break_even: u32,
    /// The number that pays the wage for the hours of the day as well; none without hours and wage.
    pub break_even_paid: Option<u32>,
    /// What is left of the day where as many are sold as are asked for on average; none without a
    /// guess. The time of the day is not paid from it yet.
    pub day: Option<String>,
    /// The same for an hour of the day; none without hours.
    pub day_hour: Option<String>,
    /// How many to bring; none without a guess and its spread.
    pub bring: Option<Bringing>,
    /// What comes of the maker's own number.
    pub own: Option<Bringing>,
    /// What a missed sale and a piece brought home cost, and what follows from that.
    pub stakes: Option<Stakes>,
    /// Whether a piece brought home loses nothing, so that one brings all one can.
    pub bring_all: bool,
    /// Whether there is tax in what is charged.
    pub taxed: bool,
    /// Whether the day leaves less than nothing.
    pub loss: bool,
    /// What was taken for granted.
    pub assumptions: Vec<&'static str>,
}

/// What comes of bringing so many pieces, on average over many such days.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "camelCase")]
pub struct Bringing {
    /// The number of pieces.
    pub count: u32,
    /// How many are sold, to a tenth.
    pub sold: String,
    /// How many come home, to a tenth.
    pub left: String,
    /// How many are asked for after the last is sold, to a tenth.
    pub missed: String,
    /// On how many days in a hundred all are sold.
    pub sold_out: String,
    /// What the day leaves, what is lost on the pieces that come home taken off.
    pub earned: String,
}

/// What a missed sale and a piece brought home cost.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "camelCase")]
pub struct Stakes {
    /// What a missed sale costs: all that it would have left.
    pub missed: String,
    /// What a piece brought home costs: what it cost without what it is still worth; none where it
    /// loses nothing, so that one brings all one can.
    pub home: Option<String>,
    /// The part of the days, in hundredths, on which what is brought should be enough; none where a
    /// piece brought home loses nothing.
    pub enough: Option<String>,
}

/// How many are asked for.
#[derive(Clone, Copy, Debug)]
enum Sales {
    Normal { mean: f64, spread: f64 },
    Uniform { least: f64, most: f64 },
}

impl Sales {
    fn mean(self) -> f64 {
        match self {
            Self::Normal { mean, .. } => mean,
            Self::Uniform { least, most } => 0.5 * (least + most),
        }
    }

    /// The least number that is enough for this part of the days.
    fn quantile(self, share: f64) -> f64 {
        match self {
            Self::Normal { mean, spread } => mean + spread * normal::quantile(share),
            Self::Uniform { least, most } => least + share * (most - least),
        }
    }

    /// The part of the days for which `count` is enough.
    fn enough(self, count: f64) -> f64 {
        match self {
            Self::Normal { mean, spread } if spread > 0.0 => normal::below((count - mean) / spread),
            Self::Uniform { least, most } if most > least => {
                ((count - least) / (most - least)).clamp(0.0, 1.0)
            }
            // Always the same number.
            _ => f64::from(u8::from(count >= self.mean())),
        }
    }

    /// How many are asked for beyond `count`, on average.
    fn missed(self, count: f64) -> f64 {
        match self {
            Self::Normal { mean, spread } if spread > 0.0 => {
                spread * normal::loss((count - mean) / spread)
            }
            Self::Uniform { least, most } if most > least && count > least => {
                let beyond = (most - count).max(0.0);
                0.5 * beyond * beyond / (most - least)
            }
            _ => (self.mean() - count).max(0.0),
        }
    }
}

/// What was read of an input.
struct Read {
    price: Decimal,
    cost: Decimal,
    fixed: Decimal,
    hours: Decimal,
    wage: Decimal,
    tax: Decimal,
    coin: Option<Decimal>,
    card_share: Decimal,
    card_percent: Decimal,
    card_fixed: Decimal,
    /// The mean of the guess.
    mean: Option<f64>,
    sales: Option<Sales>,
    leftover: Decimal,
    own: Option<u32>,
}

impl Read {
    fn of(reader: &mut Reader, input: &FairInput) -> Self {
        let currency = reader.currency;
        let price = parse_amount(input.price.as_deref().unwrap_or_default(), currency);
        let price = reader.checks.take(price.map_err(|error| error.at("price")));
        let price = currency.round(price.unwrap_or_default(), Rounding::HalfAwayFromZero);
        let [cost, table_fee, travel, wage, card_fixed, leftover] = [
            (&input.cost, "cost"),
            (&input.table_fee, "tableFee"),
            (&input.travel, "travel"),
            (&input.wage, "wage"),
            (&input.card_fixed, "cardFixed"),
            (&input.leftover, "leftover"),
        ]
        .map(|(input, path)| reader.amount(input.as_deref(), path));
        let hours = reader.hours(input.hours.as_ref().map(in_hours).as_ref(), "hours");
        let [tax, card_share, card_percent] = [
            (&input.tax.percent, "tax.percent"),
            (&input.card_share, "cardShare"),
            (&input.card_percent, "cardPercent"),
        ]
        .map(|(input, path)| reader.percent(input.as_ref(), path));
        let coin = coin(reader, input.coin.as_deref());
        let (mean, sales) = guess(reader, &input.sales);
        let own = Count::optional(input.own.as_ref(), "own");
        Self {
            price,
            cost,
            fixed: table_fee + travel,
            hours,
            wage,
            tax,
            coin,
            card_share,
            card_percent,
            card_fixed,
            mean,
            sales,
            leftover,
            own: reader.checks.take(own).flatten(),
        }
    }
}

/// A time that counts in hours where it names no unit.
fn in_hours(input: &NumberInput) -> NumberInput {
    let text = input.text();
    NumberInput::Text(if number(&text, "").is_ok() {
        format!("{text} h")
    } else {
        text
    })
}

fn coin(reader: &mut Reader, text: Option<&str>) -> Option<Decimal> {
    let coin = reader.amount(Some(text?), "coin");
    // One that could not be read is told already, and counts as nothing.
    if coin.is_zero() && parse_amount(text?, reader.currency).is_ok() {
        let error = InputError::new(
            Code::TooSmall,
            say!("there is no coin of nothing"),
            say!("write the smallest coin that is in use, for example 0.05"),
        );
        reader.checks.add(error.at("coin"));
    }
    Some(coin)
}

/// A number of sales, whole or not; `None` where none is given, zero where it has a mistake.
fn sales_number(reader: &mut Reader, input: Option<&NumberInput>, path: &str) -> Option<f64> {
    let read = input?.figure("40").and_then(|(negative, number)| {
        if negative && number.numerator > 0 {
            return Err(InputError::new(
                Code::TooSmall,
                say!("less than no sales"),
                say!("write 0 or more, for example 40"),
            ));
        }
        if number.numerator > i128::from(MOST_SALES) * number.denominator {
            return Err(InputError::new(
                Code::TooLarge,
                say!("more than a million sales"),
                say!("write a number such as 40"),
            ));
        }
        #[expect(
            clippy::cast_precision_loss,
            reason = "a guess is no exact number anyway"
        )]
        Ok(number.numerator as f64 / number.denominator as f64)
    });
    let read = read.map_err(|error| error.at(path));
    Some(reader.checks.take(read).unwrap_or_default())
}

/// The mean of the guess, and the whole of it where its spread is given too.
fn guess(reader: &mut Reader, input: &SalesInput) -> (Option<f64>, Option<Sales>) {
    let (paths, members) = match input.kind {
        SalesKind::Normal => (["sales.mean", "sales.spread"], [&input.mean, &input.spread]),
        SalesKind::Uniform => (["sales.least", "sales.most"], [&input.least, &input.most]),
    };
    let first = sales_number(reader, members[0].as_ref(), paths[0]);
    let second = sales_number(reader, members[1].as_ref(), paths[1]);
    let uniform = input.kind == SalesKind::Uniform;
    let lacking = match (first, second) {
        (None, Some(_)) => Some(paths[0]),
        (Some(_), None) if uniform => Some(paths[1]),
        _ => None,
    };
    if let Some(path) = lacking {
        let error = InputError::new(
            Code::Missing,
            say!("the guess of the sales needs this too"),
            say!("write a number, for example 40, or leave both away"),
        );
        reader.checks.add(error.at(path));
    }
    let sales = first.zip(second).map(|(first, second)| {
        if uniform {
            if second < first {
                let error = InputError::new(
                    Code::Impossible,
                    say!("the most is less than the least"),
                    say!("write a number that is not below the least"),
                );
                reader.checks.add(error.at(paths[1]));
            }
            Sales::Uniform {
                least: first,
                most: second,
            }
        } else {
            Sales::Normal {
                mean: first,
                spread: second,
            }
        }
    });
    (sales.map(Sales::mean).or(first), sales)
}

/// A day with all that it takes, in exact amounts.
struct Day {
    currency: Currency,
    /// What a sale leaves; above zero.
    leaves: Decimal,
    /// What a piece brought home costs; zero or less where it loses nothing.
    home: Decimal,
    fixed: Decimal,
}

impl Day {
    /// The least number of sales that pay for `fixed`.
    fn break_even(&self, fixed: Decimal) -> Result<u32, InputError> {
        // Carried first: what is less than a billionth of a sale is a trace of the division.
        let sales = fixed / self.leaves;
        let sales = sales.round_dp_with_strategy(9, RoundingStrategy::MidpointNearestEven);
        let sales = sales.ceil().to_u32().filter(|sales| *sales <= MOST_SALES);
        sales.ok_or_else(|| {
            too_little(say!(
                "a sale leaves so little that a million of them do not pay for the day"
            ))
        })
    }

    /// What is left of the day with so many sales and pieces brought home.
    fn earned(&self, sold: f64, left: f64) -> Decimal {
        carried(self.leaves * billionths(sold) - self.home * billionths(left) - self.fixed)
    }

    fn bringing(&self, sales: Sales, count: u32) -> Bringing {
        let brought = f64::from(count);
        let missed = sales.missed(brought);
        // A wide normal guess has days with less than no sales in it, as the textbook's formula has; only
        // where they would make less than none of all that is sold are they cut off.
        let sold = (sales.mean() - missed).max(0.0);
        let left = brought - sold;
        Bringing {
            count,
            sold: decimals(sold, 1),
            left: decimals(left, 1),
            missed: decimals(missed, 1),
            sold_out: decimals(100.0 * (1.0 - sales.enough(brought)), 0),
            earned: self.currency.text(self.earned(sold, left)),
        }
    }

    /// The least whole number that is enough for the part of the days that the stakes ask for; none
    /// where a piece brought home loses nothing.
    fn best(&self, sales: Sales) -> Option<u32> {
        let exact = sales.quantile(self.enough()?);
        // A whole number that is met but for the last digits is met.
        let count = (exact - 1e-7).ceil().max(0.0);
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "from zero to a few millions"
        )]
        Some(count as u32)
    }

    /// The critical ratio; none where a piece brought home loses nothing.
    fn enough(&self) -> Option<f64> {
        let ratio = self.leaves / (self.leaves + self.home.max(Decimal::ZERO));
        ratio.to_f64().filter(|_| self.home > Decimal::ZERO)
    }

    fn stakes(&self) -> Stakes {
        let loses = self.home > Decimal::ZERO;
        Stakes {
            missed: self.currency.text(self.leaves),
            home: loses.then(|| self.currency.text(self.home)),
            enough: self.enough().map(|ratio| decimals(100.0 * ratio, 1)),
        }
    }
}

/// A number of pieces as a decimal, to a billionth.
#[expect(
    clippy::cast_possible_truncation,
    reason = "a few millions of pieces at most"
)]
pub(super) fn billionths(number: f64) -> Decimal {
    Decimal::new((number * 1e9).round() as i64, 9)
}

fn too_little(message: &'static str) -> InputError {
    let hint = say!("ask more, or bring a piece that costs less to make");
    InputError::new(Code::Impossible, message, hint).at("price")
}

/// Reckons a day at a fair.
///
/// # Errors
/// Every field that cannot be read; [`Code::Impossible`] at `price` where a sale leaves nothing, or
/// so little that not even a million would pay for the day; [`Code::TooLarge`] at `coin` for one so
/// large that the price rounds to nothing.
pub fn fair(input: &FairInput) -> Result<FairReport, InputErrors> {
    let mut reader = Reader::new(&input.currency, Unit::default());
    let read = Read::of(&mut reader, input);
    let (currency, read) = (reader.currency, reader.checks.finish(read)?);
    let nearest = |amount| currency.round(amount, Rounding::HalfAwayFromZero);
    let with_tax = Decimal::ONE + read.tax;
    let (net, due) = match input.tax.kind {
        TaxKind::None => (read.price, read.price),
        TaxKind::Included => (carried(read.price / with_tax), read.price),
        TaxKind::Added => (read.price, nearest(read.price * with_tax)),
    };
    let half = match input.half {
        HalfCoin::Up => Rounding::HalfAwayFromZero,
        HalfCoin::Down => Rounding::HalfTowardsZero,
    };
    let cash = read.coin.map_or(due, |coin| to_coins(due, coin, half));
    if cash.is_zero() && !due.is_zero() {
        let error = InputError::new(
            Code::TooLarge,
            say!("the price rounds to nothing in such coins"),
            say!("write the smallest coin that is in use"),
        );
        return Err(error.at("coin").into());
    }
    let fee = nearest(due * read.card_percent + read.card_fixed);
    let day = Day {
        currency,
        leaves: carried(net - read.cost - read.card_share * fee),
        home: read.cost - read.leftover,
        fixed: read.fixed,
    };
    if day.leaves <= Decimal::ZERO {
        let message =
            say!("a sale leaves nothing at this price, so no number of sales pays for the day");
        return Err(too_little(message).into());
    }
    let pay = carried(read.wage * read.hours);
    let earned = read.mean.map(|mean| day.earned(mean, 0.0));
    let hourly = earned.filter(|_| !read.hours.is_zero());
    let bring = |count| Some(day.bringing(read.sales?, count?));
    let money = |amount| currency.text(amount);
    Ok(FairReport {
        currency: currency.code().to_owned(),
        decimals: currency.exponent(),
        due: money(due),
        cash: money(cash),
        tax: money(due - net),
        leaves: money(day.leaves),
        fixed: money(day.fixed),
        break_even: day.break_even(day.fixed)?,
        break_even_paid: if pay.is_zero() {
            None
        } else {
            Some(day.break_even(day.fixed + pay)?)
        },
        day: earned.map(money),
        day_hour: hourly.map(|earned| money(earned / read.hours)),
        bring: bring(read.sales.and_then(|sales| day.best(sales))),
        own: bring(read.own),
        stakes: read.sales.map(|_| day.stakes()),
        bring_all: read.sales.is_some() && day.home <= Decimal::ZERO,
        taxed: due != net,
        loss: earned.is_some_and(|earned| nearest(earned) < Decimal::ZERO),
        assumptions: ASSUMPTIONS.to_vec(),
    })
}

/// What is taken for granted.
const ASSUMPTIONS: &[&str] = &[
    say!(
        "Each sale is one piece. A sum in cash is rounded once, as a whole with its tax, never piece by piece; what that gives or takes is not counted."
    ),
    say!(
        "How many to bring: the least number for which the chance of having enough is what a missed sale costs over what that and a piece brought home cost together (the newsvendor's rule)."
    ),
    say!(
        "A guess of about so many with a spread of more than a third of it has days of less than no sales in it: from least to most then suits better."
    ),
    say!(
        "A missed sale costs what it would have left; that the buyer may order later is not counted."
    ),
    say!(
        "Tax is what you write; the law of the place of the fair says which, and whether you owe it."
    ),
];
