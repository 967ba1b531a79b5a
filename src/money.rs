//! Money: exact decimal amounts in a currency of ISO 4217, rounded once and by a named rule.

mod ending;

pub use ending::Ending;

use crate::error::{Code, InputError};
use crate::measure::{Number, ambiguous, number, plain, shown};
use rust_decimal::{Decimal, RoundingStrategy};
use say::say;
use serde::{Deserialize, Serialize};
use std::cmp::Reverse;
use std::fmt;

/// A currency by its ISO 4217 code.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Currency([u8; 3]);

/// The code that ISO 4217 keeps for no currency at all.
impl Default for Currency {
    fn default() -> Self {
        Self([b'X'; 3])
    }
}

/// Currencies whose minor unit is not a hundredth, and the decimals it has.
///
/// ISO 4217 list one (maintained by SIX), as edited into the ECMA-402 currency data of 2025-02-04.
const EXPONENTS: &[(&str, u32)] = &[
    ("BIF", 0),
    ("CLP", 0),
    ("DJF", 0),
    ("GNF", 0),
    ("ISK", 0),
    ("JPY", 0),
    ("KMF", 0),
    ("KRW", 0),
    ("PYG", 0),
    ("RWF", 0),
    ("UGX", 0),
    ("UYI", 0),
    ("VND", 0),
    ("VUV", 0),
    ("XAF", 0),
    ("XOF", 0),
    ("XPF", 0),
    ("BHD", 3),
    ("IQD", 3),
    ("JOD", 3),
    ("KWD", 3),
    ("LYD", 3),
    ("OMR", 3),
    ("TND", 3),
    ("CLF", 4),
    ("UYW", 4),
];

impl Currency {
    /// Reads a currency code: three letters, large or small.
    ///
    /// # Errors
    /// [`Code::NotAChoice`] for anything else.
    pub fn parse(code: &str) -> Result<Self, InputError> {
        let upper = code.trim().to_ascii_uppercase();
        match upper.as_bytes() {
            [a, b, c] if [a, b, c].iter().all(|letter| letter.is_ascii_uppercase()) => {
                Ok(Self([*a, *b, *c]))
            }
            _ => Err(InputError::new(
                Code::NotAChoice,
                say!("this is not a currency code"),
                say!("write the three letters of ISO 4217, for example USD, EUR or JPY"),
            )),
        }
    }

    /// The three capitals of ISO 4217: `USD`.
    #[must_use]
    pub fn code(&self) -> &str {
        // Only ASCII letters are ever stored.
        std::str::from_utf8(&self.0).unwrap_or_default()
    }

    /// Decimals of the minor unit by ISO 4217: 2 for most, 0 for the yen, 3 for the Kuwaiti dinar.
    #[must_use]
    pub fn exponent(self) -> u32 {
        EXPONENTS
            .iter()
            .find(|(code, _)| *code == self.code())
            .map_or(2, |(_, exponent)| *exponent)
    }

    /// One minor unit: 0.01 for most.
    #[must_use]
    pub fn minor_unit(self) -> Decimal {
        Decimal::new(1, self.exponent())
    }

    /// The amount in whole minor units.
    #[must_use]
    pub fn round(self, amount: Decimal, rounding: Rounding) -> Decimal {
        amount.round_dp_with_strategy(self.exponent(), rounding.strategy())
    }

    /// The amount in whole minor units with all its decimals, for programs: `11.50`, `1195`.
    #[must_use]
    pub fn text(self, amount: Decimal) -> String {
        let mut rounded = self.round(amount, Rounding::HalfAwayFromZero);
        if rounded.is_zero() {
            rounded = Decimal::ZERO;
        }
        rounded.rescale(self.exponent());
        rounded.to_string()
    }
}

impl fmt::Display for Currency {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.write_str(self.code())
    }
}

/// How an amount that lies between two is rounded.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Rounding {
    /// To the nearest; half goes away from zero, as a till does. ISO 80000-1 annex B, rule B.
    HalfAwayFromZero,
    /// To the nearest; half goes to the even neighbour. ISO 80000-1 annex B, rule A.
    HalfToEven,
    /// To the nearest; half goes towards zero, which favours the buyer.
    HalfTowardsZero,
    /// To the next greater amount: a price that must still pay its costs.
    Up,
}

impl Rounding {
    const fn strategy(self) -> RoundingStrategy {
        match self {
            Self::HalfAwayFromZero => RoundingStrategy::MidpointAwayFromZero,
            Self::HalfToEven => RoundingStrategy::MidpointNearestEven,
            Self::HalfTowardsZero => RoundingStrategy::MidpointTowardZero,
            Self::Up => RoundingStrategy::ToPositiveInfinity,
        }
    }
}

/// Where the tax on sales stands.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "camelCase")]
pub enum TaxKind {
    /// None is reckoned.
    #[default]
    None,
    /// The customer pays it on top of the price.
    Added,
    /// It is a part of the price.
    Included,
}

impl TaxKind {
    /// The tax on an amount by this rate, a fraction of the amount before tax; not rounded.
    #[must_use]
    pub fn on(self, amount: Decimal, rate: Decimal) -> Decimal {
        match self {
            Self::None => Decimal::ZERO,
            Self::Added => amount * rate,
            Self::Included => amount * rate / (Decimal::ONE + rate),
        }
    }
}

/// Two amounts together. By value, and as a function, for `+=` brings its own copy of all that is in it
/// into the module.
#[must_use]
pub(crate) fn plus(one: Decimal, other: Decimal) -> Decimal {
    one + other
}

/// Rounds the total of a cash sale to whole coins of `coin`, which is above zero; the lines of the
/// bill are never rounded. What happens to a total half way between two coins differs from country
/// to country and is chosen by `half`.
#[must_use]
pub fn to_coins(total: Decimal, coin: Decimal, half: Rounding) -> Decimal {
    let coins = (total / coin).round_dp_with_strategy(0, half.strategy());
    (coins * coin).normalize()
}

/// Rounds `lines` to whole minor units so that they add up to `total`, which is whole and within one
/// minor unit of their sum: each is cut off downwards, and the units that are then missing go to the
/// lines that lost the largest part (the method of the largest remainder).
#[must_use]
pub fn apportion(currency: Currency, lines: &[Decimal], total: Decimal) -> Vec<Decimal> {
    let unit = currency.minor_unit();
    let down = |amount: Decimal| {
        amount.round_dp_with_strategy(currency.exponent(), RoundingStrategy::ToNegativeInfinity)
    };
    let mut rounded: Vec<Decimal> = lines.iter().copied().map(down).collect();
    // By value throughout: each other form of plus and minus is made anew, with all that is in it.
    let mut missing = rounded.iter().fold(total, |total, line| total - *line);
    while missing >= unit {
        // Fewer units are missing than there are lines, so each line gets one at most.
        let most =
            (0..lines.len()).max_by_key(|index| (lines[*index] - rounded[*index], Reverse(*index)));
        let Some(most) = most else { break };
        rounded[most] = unit + rounded[most];
        let still = missing - unit;
        missing = still;
    }
    rounded
}

/// No amount that is entered is greater, so that no product of amounts overflows.
const GREATEST: Decimal = Decimal::from_parts(1_000_000_000, 0, 0, false, 0);

/// Signs of money, and the codes of the currencies that are written with them; a sign with a full
/// stop stands before the same without.
const SIGNS: &[(&str, &[&str])] = &[
    ("us$", &["USD"]),
    ("r$", &["BRL"]),
    (
        "$",
        &[
            "USD", "CAD", "AUD", "NZD", "SGD", "HKD", "TWD", "MXN", "ARS", "CLP", "COP", "UYU",
            "DOP", "CUP", "BBD", "BMD", "BND", "BSD", "BZD", "FJD", "GYD", "JMD", "KYD", "LRD",
            "NAD", "SBD", "SRD", "TTD", "XCD",
        ],
    ),
    ("€", &["EUR"]),
    (
        "£",
        &["GBP", "EGP", "GIP", "FKP", "SHP", "SYP", "LBP", "SDG"],
    ),
    ("¥", &["JPY", "CNY"]),
    ("₩", &["KRW", "KPW"]),
    ("₹", &["INR"]),
    ("₺", &["TRY"]),
    ("₽", &["RUB"]),
    ("kr.", &["SEK", "NOK", "DKK", "ISK"]),
    ("kr", &["SEK", "NOK", "DKK", "ISK"]),
    ("zł", &["PLN"]),
    ("fr.", &["CHF"]),
    ("fr", &["CHF"]),
];

/// Reads an amount from zero up: `12.50`, `12,50`, `$12.50`, `12.50 USD`, `1 234.50`. More decimals
/// than the currency has are kept, for a mailer at 0.085 costs what it costs.
///
/// # Errors
/// [`Code::Missing`], [`Code::NotANumber`] (the sign of another currency included),
/// [`Code::Ambiguous`] for `1.250` where it may be a thousand and more, [`Code::TooSmall`] below zero,
/// [`Code::TooLarge`] above a thousand million.
pub fn parse_amount(text: &str, currency: Currency) -> Result<Decimal, InputError> {
    let plain = plain(text);
    let code = currency.code().to_ascii_lowercase();
    let signs = SIGNS
        .iter()
        .filter(|(_, codes)| codes.contains(&currency.code()))
        .map(|(sign, _)| *sign);
    let mut bare = plain.trim();
    let negative = bare.starts_with('-');
    bare = bare.trim_start_matches('-').trim();
    for sign in std::iter::once(code.as_str()).chain(signs) {
        bare = bare.strip_prefix(sign).unwrap_or(bare);
        bare = bare.strip_suffix(sign).unwrap_or(bare).trim();
    }
    let bare = without_dividers(bare);
    let example = if currency.exponent() == 0 {
        "1250"
    } else {
        say!("12.50")
    };
    if let Some((whole, decimals)) = bare.split_once('.')
        && currency.exponent() < 3
        && decimals.len() == 3
        // A longer one is refused for its size, and too long to be told in a sentence.
        && (1..=9).contains(&whole.len())
        && !whole.starts_with('0')
        && whole
            .bytes()
            .chain(decimals.bytes())
            .all(|b| b.is_ascii_digit())
    {
        // In half of the world this is written for a thousand and more.
        let hint = say!("write {whole}{decimals} or {whole}.{decimals}0");
        return Err(ambiguous(&bare, hint));
    }
    let amount = read_decimal(&bare, text, example)?;
    in_range(
        if negative { -amount } else { amount },
        [
            say!("an amount below zero"),
            say!("an amount above a thousand million"),
        ],
        example,
    )
}

/// The text without the spaces and apostrophes that divide thousands: `1 234.50`, `1'234.50`.
fn without_dividers(text: &str) -> String {
    let bytes = text.as_bytes();
    let digit = |at: usize| bytes.get(at).is_some_and(u8::is_ascii_digit);
    let divides = |at: usize| {
        matches!(bytes[at], b' ' | b'\'')
            && at.checked_sub(1).is_some_and(digit)
            && (1..=3).all(|ahead| digit(at + ahead))
            && !digit(at + 4)
            && bytes.get(at + 4) != Some(&b'/')
    };
    let kept = text.char_indices().filter(|(at, _)| !divides(*at));
    kept.map(|(_, character)| character).collect()
}

/// Reads a share in hundredths from 0 to 100, `6.5` or `6.5 %`, as a fraction of one.
///
/// # Errors
/// [`Code::Missing`], [`Code::NotANumber`], [`Code::Ambiguous`], [`Code::TooSmall`] below zero,
/// [`Code::TooLarge`] above 100 %.
pub fn parse_percent(text: &str) -> Result<Decimal, InputError> {
    let example = say!("6.5 or 6.5 %");
    let bare = text.trim().trim_end_matches(['%', '\u{ff05}']).trim_end();
    let beyond = [
        say!("a share below zero"),
        say!("a share above a thousand million"),
    ];
    let percent = in_range(read_decimal(bare, text, example)?, beyond, example)?;
    if percent > Decimal::ONE_HUNDRED {
        return Err(InputError::new(
            Code::TooLarge,
            say!("more than 100 %"),
            say!("write a share from 0 to 100, for example {example}"),
        ));
    }
    Ok(percent / Decimal::ONE_HUNDRED)
}

fn read_decimal(bare: &str, typed: &str, example: &str) -> Result<Decimal, InputError> {
    let unusable = || {
        InputError::new(
            Code::NotANumber,
            say!(
                "`{typed}` is not a number that can be used here",
                typed = shown(typed)
            ),
            say!("write it like {example}"),
        )
    };
    let number = number(bare, example).map_err(|error| match error.code {
        Code::NotANumber => unusable(),
        _ => error,
    });
    let (
        negative,
        Number {
            numerator,
            denominator,
        },
    ) = number?;
    let numerator = Decimal::try_from_i128_with_scale(numerator, 0).map_err(|_| unusable())?;
    let denominator = Decimal::try_from_i128_with_scale(denominator, 0).map_err(|_| unusable())?;
    let amount = numerator.checked_div(denominator).ok_or_else(unusable)?;
    Ok(if negative { -amount } else { amount })
}

/// The amount, if it is neither less than nothing nor beyond all that is entered; `beyond` is what is said
/// of each.
fn in_range(
    amount: Decimal,
    [below, above]: [&'static str; 2],
    example: &str,
) -> Result<Decimal, InputError> {
    if amount < Decimal::ZERO {
        return Err(InputError::new(
            Code::TooSmall,
            below,
            say!("write 0 or more, for example {example}"),
        ));
    }
    if amount > GREATEST {
        return Err(InputError::new(
            Code::TooLarge,
            above,
            say!("write a number such as {example}"),
        ));
    }
    Ok(amount)
}
