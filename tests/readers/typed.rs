//! What is read of an entry lies within its limits, and is the same when it is written and read once more.

use super::Told;
use decal_reckoner::decal::SIDE;
use decal_reckoner::error::InputError;
use decal_reckoner::measure::{
    Count, Date, Length, LengthInput, NumberInput, Range, Speed, Time, Unit, Weight, optional,
    required, seconds,
};
use decal_reckoner::money::{Currency, Rounding, parse_amount, parse_percent};
use rust_decimal::Decimal;
use std::fmt::Write as _;

const UNITS: [Unit; 6] = [Unit::In, Unit::Ft, Unit::Yd, Unit::Mm, Unit::Cm, Unit::M];

pub fn read(text: &str) -> Told {
    let mut tally = Tally::default();
    for unit in UNITS {
        tally.add("length", Length::parse(text, unit).map(length));
        let input = LengthInput::from(text);
        let side = required(Some(&input), "side", unit, SIDE);
        tally.add("side", side.map(|side| assert!(SIDE.holds(side))));
        let blank = optional(Some(&input), "side", unit, SIDE);
        assert_eq!(matches!(blank, Ok(None)), text.trim().is_empty());
    }
    for code in ["USD", "JPY", "KWD", "CLF", "SEK"] {
        let currency = Currency::parse(code).expect("a currency");
        tally.add(
            code,
            parse_amount(text, currency).map(|read| amount(read, currency)),
        );
    }
    let share = |share: Decimal| assert!((Decimal::ZERO..=Decimal::ONE).contains(&share));
    tally.add("percent", parse_percent(text).map(share));
    tally.add("count", Count::from(text).read().map(count));
    for imperial in [true, false] {
        tally.add("weight", Weight::parse(text, imperial).map(weight));
        let input = NumberInput::Text(text.to_owned());
        let speed = Speed::optional(Some(&input), "speed", imperial, Speed::LEAST);
        let within = |speed: Option<Speed>| {
            assert!(speed.is_none_or(|speed| (Speed::LEAST..=Speed::MAX).contains(&speed)));
        };
        tally.add("speed", speed.map(within));
    }
    let time = |time: Time| assert!((Time::default()..=Time::MAX).contains(&time));
    tally.add("time", Time::parse(text).map(time));
    let input = NumberInput::Text(text.to_owned());
    tally.add(
        "wait",
        seconds(Some(&input), "wait").map(|wait| wait.map_or((), time)),
    );
    let angle = NumberInput::between(Some(&input), "angle", '°', [-80.0, 80.0]);
    tally.add(
        "angle",
        angle.map(|angle| assert!(angle.is_none_or(|angle| angle.abs() <= 80.0))),
    );
    let date = |date: Date| assert_eq!(Date::parse(&date.text()), Ok(date));
    tally.add("date", Date::parse(text).map(date));
    tally.add(
        "currency",
        Currency::parse(text).map(|code| assert_eq!(code.code(), text.trim().to_ascii_uppercase())),
    );
    if let Ok(number) = text.trim().parse() {
        plain_number(number);
    }
    Told {
        taken: tally.taken,
        words: tally.words,
    }
}

/// What each reader said.
#[derive(Default)]
struct Tally {
    taken: bool,
    words: String,
}

impl Tally {
    fn add(&mut self, name: &str, read: Result<(), InputError>) {
        match read {
            Ok(()) => {
                self.taken = true;
                self.words.push_str(name);
                self.words.push(' ');
            }
            Err(error) => {
                assert!(
                    error.message.len() < 200 && error.hint.len() < 200,
                    "{error:?}"
                );
                let _ = write!(self.words, "{:?} ", error.code);
            }
        }
    }
}

fn length(length: Length) {
    assert!(length.nm().abs() <= Length::MAX.nm());
    for unit in UNITS {
        let exact = length.exact(unit);
        assert_eq!(Length::parse(&exact, unit), Ok(length), "{exact}");
        let exact = format!("{exact} {}", unit.symbol());
        assert_eq!(Length::parse(&exact, Unit::Yd), Ok(length), "{exact}");
        // Told to so many parts of the unit: to half of one of them.
        let parts = match unit {
            Unit::In => 1_000,
            Unit::Mm => 10,
            Unit::Ft | Unit::Yd | Unit::Cm | Unit::M => 100,
        };
        // What is told may be rounded beyond the longest length that a field takes.
        let Ok(told) = Length::parse(&length.text(unit), Unit::Yd) else {
            let beyond = Length::MAX.nm() - length.nm().abs();
            assert!(beyond < unit.nanometres() / parts, "{length:?} in {unit:?}");
            continue;
        };
        let astray = (told.nm() - length.nm()).abs();
        assert!(
            2 * parts * astray <= unit.nanometres() + 2 * parts,
            "{length:?} in {unit:?}"
        );
    }
}

fn amount(amount: Decimal, currency: Currency) {
    assert!((Decimal::ZERO..=Decimal::from(1_000_000_000)).contains(&amount));
    let text = currency.text(amount);
    let rounded = currency.round(amount, Rounding::HalfAwayFromZero);
    assert_eq!(parse_amount(&text, currency), Ok(rounded), "{text}");
}

fn count(count: u32) {
    assert!((1..=Count::MAX).contains(&count));
    assert_eq!(Count::from(count.to_string().as_str()).read(), Ok(count));
    assert_eq!(Count::from(count).read(), Ok(count));
}

fn weight(weight: Weight) {
    assert!((Weight::default()..=Weight::MAX).contains(&weight));
    for unit in [Unit::In, Unit::Mm] {
        let [down, up] = [false, true].map(|up| {
            let text = weight.text(unit, up);
            let told = Weight::parse(&text, false).expect("what is told is a weight");
            told.ng()
        });
        // A weight that was typed comes back to the nanogram.
        assert!(
            down <= weight.ng() + 1 && weight.ng() <= up + 1,
            "{weight:?}"
        );
    }
}

/// A number of a program, be it none or without end, is read as its text is, or refused.
fn plain_number(number: f64) {
    let range = Range::new(Length::from_nm(-Length::MAX.nm()), Length::MAX);
    for unit in UNITS {
        if let Ok(length) = LengthInput::Number(number).read(unit, range) {
            assert!(range.holds(length) && number.is_finite());
            let written = format!("{number}");
            // Fifteen figures are kept of a number.
            if written.len() <= 12 && !written.contains('e') {
                assert_eq!(Length::parse(&written, unit), Ok(length), "{written}");
            }
        }
    }
    if let Ok(count) = Count::Number(number).read() {
        assert!((number - f64::from(count)).abs() < 1e-9);
    }
    assert!(NumberInput::Number(number).text().len() < 40);
}
