//! Reading numbers and quantities as people type them.

use crate::error::{Code, InputError};
use say::say;

/// A number exactly as typed: `numerator / denominator`, the denominator above zero.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Number {
    pub numerator: i128,
    pub denominator: i128,
}

impl Number {
    /// The number as near as a float has it, for what is physics.
    #[expect(
        clippy::cast_precision_loss,
        reason = "angles, shares and eyes are not measured to more than a few figures"
    )]
    pub(crate) fn to_f64(self) -> f64 {
        self.numerator as f64 / self.denominator as f64
    }
}

/// The sign that may divide thousands as well as decimals where three digits stand behind it: in English
/// the comma. Who writes Spanish has decimals behind a comma; the point is one for the decimals of lengths
/// and weights, which have it in books and lists from elsewhere, and is doubted where money and counts are
/// read.
const DOUBTFUL: Option<char> = if cfg!(feature = "es") {
    None
} else {
    Some(',')
};

/// So many digits before and behind the point are read; far more than any field allows, and few
/// enough that no product below leaves 128 bits.
const MAX_DIGITS: usize = 13;

/// A unit of one kind of quantity: the names it goes by, and how many of the base unit it is.
pub(crate) struct UnitName {
    pub names: &'static [&'static str],
    pub factor: i64,
}

/// Reads a quantity made of one or more terms, as in `5 1/4`, `4 ft 2 in`, `13,3 cm`, in whole base
/// units, rounded half away from zero. `bare` is the factor of a number without unit; after a term
/// with a unit a bare number counts in the next smaller unit of `units` of the same family, as in
/// `4' 2`; after one without it stands for nothing. `example` is what a right entry looks like.
pub(crate) fn quantity(
    text: &str,
    units: &[UnitName],
    bare: i64,
    example: &str,
) -> Result<i128, InputError> {
    let plain = plain(text);
    let mut rest = plain.trim();
    if rest.is_empty() {
        return Err(missing(example));
    }
    let negative = take_sign(&mut rest);
    let mut total: i128 = 0;
    let mut last: Option<i64> = None;
    loop {
        let number = take_number(&mut rest, text, example)?;
        rest = rest.trim_start();
        let unit = take_unit(&mut rest, units);
        let factor = match (unit, last) {
            (Some(Ok(factor)), _) => factor,
            (Some(Err(name)), _) => return Err(unknown_unit(&name, units)),
            (None, None) => {
                // `1 000` is no foot and no inches: only a unit that was written has a follower.
                if !rest.is_empty() {
                    return Err(not_a_number(text, example));
                }
                bare
            }
            (None, Some(previous)) => {
                follower(previous, units).ok_or_else(|| not_a_number(text, example))?
            }
        };
        // `2 in 4 ft` and `3 in 5 in` are slips of the pen, not sums.
        if last.is_some_and(|previous| factor >= previous) {
            return Err(not_a_number(text, example));
        }
        last = Some(factor);
        total += scaled(number, factor);
        rest = rest.trim_start();
        // Feet and inches are often joined by a dash: 4'-2".
        if let Some(after) = rest.strip_prefix('-') {
            rest = after.trim_start();
        } else if rest.is_empty() {
            break;
        }
    }
    Ok(if negative { -total } else { total })
}

/// The unit in which a bare number after one of `factor` counts: the next smaller one that divides
/// it by 12, 16 or 60 (feet and inches, pounds and ounces, hours and minutes); none where people do not
/// write so.
fn follower(factor: i64, units: &[UnitName]) -> Option<i64> {
    units
        .iter()
        .map(|unit| unit.factor)
        .find(|smaller| [12, 16, 60].iter().any(|times| smaller * times == factor))
}

fn scaled(number: Number, factor: i64) -> i128 {
    let product = number.numerator * i128::from(factor);
    (2 * product + number.denominator) / (2 * number.denominator)
}

/// Reads one number and nothing else: `12`, `12.50`, `12,50`, `1 1/2`.
pub(crate) fn number(text: &str, example: &str) -> Result<(bool, Number), InputError> {
    let plain = plain(text);
    let mut rest = plain.trim();
    if rest.is_empty() {
        return Err(missing(example));
    }
    let negative = take_sign(&mut rest);
    let number = take_number(&mut rest, text, example)?;
    if rest.trim().is_empty() {
        Ok((negative, number))
    } else {
        Err(not_a_number(text, example))
    }
}

/// The text with every typographic variant of a sign replaced by the plain one.
pub(crate) fn plain(text: &str) -> String {
    let mut plain = String::with_capacity(text.len());
    for character in text.chars() {
        if let Some(fraction) = vulgar_fraction(character) {
            plain.push(' ');
            plain.push_str(fraction);
            plain.push(' ');
            continue;
        }
        let mark = match character {
            '\u{2044}' | '\u{2215}' => '/',
            '\u{2212}' | '\u{2010}'..='\u{2014}' => '-',
            '\u{2033}' | '\u{201c}' | '\u{201d}' | '\u{2dd}' => '"',
            '\u{2032}' | '\u{2018}' | '\u{2019}' | '\u{b4}' | '`' => '\'',
            '\u{b5}' | '\u{3bc}' => 'u',
            // The names of units with an accent are read without it, as many type them.
            'í' | 'Í' => 'i',
            'ó' | 'Ó' => 'o',
            space if space.is_whitespace() => ' ',
            other => other.to_ascii_lowercase(),
        };
        if mark == '\'' && plain.ends_with('\'') {
            plain.pop();
            plain.push('"');
        } else {
            plain.push(mark);
        }
    }
    plain
}

const fn vulgar_fraction(character: char) -> Option<&'static str> {
    Some(match character {
        '¼' => "1/4",
        '½' => "1/2",
        '¾' => "3/4",
        '⅓' => "1/3",
        '⅔' => "2/3",
        '⅕' => "1/5",
        '⅖' => "2/5",
        '⅗' => "3/5",
        '⅘' => "4/5",
        '⅙' => "1/6",
        '⅚' => "5/6",
        '⅛' => "1/8",
        '⅜' => "3/8",
        '⅝' => "5/8",
        '⅞' => "7/8",
        _ => return None,
    })
}

fn take_sign(rest: &mut &str) -> bool {
    if let Some(unsigned) = rest.strip_prefix('-') {
        *rest = unsigned.trim_start();
        return true;
    }
    *rest = rest.strip_prefix('+').unwrap_or(rest).trim_start();
    false
}

/// Takes `12`, `12.5`, `12,5`, `1/4`, `5 1/4` or `5-1/4` off the front of `rest`.
fn take_number(rest: &mut &str, typed: &str, example: &str) -> Result<Number, InputError> {
    let digits = take_while(rest, |c| c.is_ascii_digit() || c == '.' || c == ',');
    if !digits.contains(|c: char| c.is_ascii_digit()) {
        return Err(not_a_number(typed, example));
    }
    let whole = decimal(digits, typed, example)?;
    if whole.denominator != 1 {
        return Ok(whole);
    }
    // The digits may be a numerator themselves (`1/4`), or be followed by a fraction (`5 1/4`, `5-1/4`).
    if let Some(denominator) = take_denominator(rest, typed, example)? {
        return fraction(whole.numerator, denominator, typed, example);
    }
    let mut ahead = rest.trim_start();
    ahead = ahead.strip_prefix('-').unwrap_or(ahead).trim_start();
    let numerator = take_while(&mut ahead, |c| c.is_ascii_digit());
    if numerator.is_empty() {
        return Ok(whole);
    }
    let Some(denominator) = take_denominator(&mut ahead, typed, example)? else {
        return Ok(whole);
    };
    *rest = ahead;
    let numerator = decimal(numerator, typed, example)?.numerator;
    let part = fraction(numerator, denominator, typed, example)?;
    Ok(Number {
        numerator: whole.numerator * part.denominator + part.numerator,
        denominator: part.denominator,
    })
}

/// Takes `/ 4` off the front of `rest`.
fn take_denominator(
    rest: &mut &str,
    typed: &str,
    example: &str,
) -> Result<Option<i128>, InputError> {
    let Some(mut ahead) = rest.trim_start().strip_prefix('/') else {
        return Ok(None);
    };
    ahead = ahead.trim_start();
    let digits = take_while(&mut ahead, |c| c.is_ascii_digit());
    if digits.is_empty() {
        return Err(not_a_number(typed, example));
    }
    *rest = ahead;
    decimal(digits, typed, example).map(|number| Some(number.numerator))
}

fn fraction(
    numerator: i128,
    denominator: i128,
    typed: &str,
    example: &str,
) -> Result<Number, InputError> {
    // Nobody measures in more than thousandths; the limit keeps every product inside 128 bits.
    if (1..=1_000_000).contains(&denominator) {
        Ok(Number {
            numerator,
            denominator,
        })
    } else {
        Err(not_a_number(typed, example))
    }
}

/// Reads digits with at most one decimal sign, and with thousands divided where that is certain.
fn decimal(digits: &str, typed: &str, example: &str) -> Result<Number, InputError> {
    let groups: Vec<&str> = digits.split(['.', ',']).collect();
    let signs: Vec<char> = digits.chars().filter(|c| !c.is_ascii_digit()).collect();
    let thousands = |groups: &[&str]| {
        (1..=3).contains(&groups[0].len()) && groups[1..].iter().all(|group| group.len() == 3)
    };
    let last = groups.len() - 1;
    let (whole, decimals) = match signs[..] {
        [] => (digits.to_owned(), ""),
        // `1,125` is a thousand and more to one reader and one and an eighth to another.
        [sign] if Some(sign) == DOUBTFUL && thousands(&groups) && groups[0] != "0" => {
            let (whole, part) = (groups[0], groups[1]);
            let hint = say!("write {whole}{part} or {whole}.{part}");
            return Err(ambiguous(typed, hint));
        }
        [_] => (groups[0].to_owned(), groups[1]),
        // `1.234,5`: the last sign differs from those before it, which divide thousands.
        [.., before, sign]
            if before != sign
                && signs[..last - 1].iter().all(|s| *s == before)
                && thousands(&groups[..last]) =>
        {
            (groups[..last].concat(), groups[last])
        }
        // `1,234,567`: more than one of the same sign can only divide thousands.
        [first, ..] if signs.iter().all(|s| *s == first) && thousands(&groups) => {
            (groups.concat(), "")
        }
        _ => return Err(not_a_number(typed, example)),
    };
    let whole = whole.trim_start_matches('0');
    if whole.len() > MAX_DIGITS {
        return Err(InputError::new(
            Code::TooLarge,
            say!("this is far too large"),
            say!("write a number such as {example}"),
        ));
    }
    // What is cut off here is smaller than a ten-thousandth of a nanometre.
    let decimals = decimals.get(..MAX_DIGITS).unwrap_or(decimals);
    let decimals = decimals.trim_end_matches('0');
    let mut numerator: i128 = 0;
    for digit in whole.bytes().chain(decimals.bytes()) {
        numerator = numerator * 10 + i128::from(digit - b'0');
    }
    let mut denominator: i128 = 1;
    for _ in decimals.bytes() {
        denominator *= 10;
    }
    Ok(Number {
        numerator,
        denominator,
    })
}

/// The digits before and behind one of these `signs`, where three stand behind it, so that it may divide
/// thousands: `1.125`.
pub(super) fn divided<'a>(text: &'a str, signs: &[char]) -> Option<(&'a str, &'a str)> {
    let (whole, part) = text.trim().split_once(signs)?;
    let digits = |text: &str| text.bytes().all(|byte| byte.is_ascii_digit());
    let thousands = (1..=3).contains(&whole.len()) && whole != "0" && part.len() == 3;
    (thousands && digits(whole) && digits(part)).then_some((whole, part))
}

/// Whether a character joins numbers, or the digits of one.
const fn joins(character: char) -> bool {
    matches!(character, '/' | '.' | ',' | '-' | '+')
}

/// Takes a unit off the front of `rest`: its factor, or the name that is not known.
fn take_unit(rest: &mut &str, units: &[UnitName]) -> Option<Result<i64, String>> {
    let mut ahead = *rest;
    let name = match ahead.chars().next()? {
        '"' | '\'' => {
            let (mark, behind) = rest.split_at_checked(1)?;
            ahead = behind;
            mark
        }
        character if character.is_ascii_digit() || joins(character) => return None,
        _ => take_while(&mut ahead, |c| {
            !c.is_ascii_digit() && !c.is_whitespace() && !joins(c) && !matches!(c, '"' | '\'')
        }),
    };
    let factor = units
        .iter()
        .find(|unit| unit.names.contains(&name))
        .map(|unit| unit.factor);
    // `in.` and `ft.` are written with a full stop as often as without, and terms may be joined by a comma.
    *rest = ahead
        .strip_prefix(['.', ','])
        .filter(|after| !after.starts_with(|c: char| c.is_ascii_digit()))
        .unwrap_or(ahead);
    Some(factor.ok_or_else(|| name.to_owned()))
}

fn take_while<'a>(rest: &mut &'a str, belongs: impl Fn(char) -> bool) -> &'a str {
    let end = rest.find(|c| !belongs(c)).unwrap_or(rest.len());
    let (taken, left) = rest.split_at_checked(end).unwrap_or((rest, ""));
    *rest = left;
    taken
}

/// At most 24 characters of what was typed, to be shown in a message.
pub(crate) fn shown(typed: &str) -> String {
    let typed = typed.trim();
    if typed.chars().count() <= 24 {
        return typed.to_owned();
    }
    typed.chars().take(23).chain(['…']).collect()
}

/// What was typed has two meanings; `hint` is how to write either.
pub(crate) fn ambiguous(typed: &str, hint: String) -> InputError {
    let message = say!("`{typed}` can be read in two ways", typed = shown(typed));
    InputError::new(Code::Ambiguous, message, hint)
}

fn missing(example: &str) -> InputError {
    InputError::new(
        Code::Missing,
        say!("nothing is entered here"),
        say!("write a number, for example {example}"),
    )
}

fn not_a_number(typed: &str, example: &str) -> InputError {
    InputError::new(
        Code::NotANumber,
        say!(
            "`{typed}` is not a number that can be used here",
            typed = shown(typed)
        ),
        say!("write it like {example}"),
    )
}

fn unknown_unit(name: &str, units: &[UnitName]) -> InputError {
    let known: Vec<&str> = units.iter().map(|unit| unit.names[0]).collect();
    InputError::new(
        Code::UnknownUnit,
        say!(
            "`{name}` is not a unit that is known here",
            name = shown(name)
        ),
        say!("use one of {units}", units = known.join(", ")),
    )
}
