//! Money: currencies, rounding, endings, cash.

use decal_reckoner::error::Code;
use decal_reckoner::money::{
    Currency, Ending, Rounding, apportion, parse_amount, parse_percent, to_coins,
};
use proptest::prelude::*;
use rust_decimal::Decimal;

fn decimal(text: &str) -> Decimal {
    text.parse().unwrap()
}

fn currency(code: &str) -> Currency {
    Currency::parse(code).unwrap()
}

/// ISO 4217 list one: minor units of the currencies named (the same figures stand in the ECMA-402
/// currency data generated from it, 2025-02-04). Payment firms' own tables differ (HUF 0, KWD 2).
#[test]
fn currencies_have_the_decimals_of_the_standard() {
    for (code, exponent) in [
        ("USD", 2),
        ("EUR", 2),
        ("HUF", 2),
        ("SEK", 2),
        ("JPY", 0),
        ("KRW", 0),
        ("ISK", 0),
        ("CLP", 0),
        ("VND", 0),
        ("XOF", 0),
        ("KWD", 3),
        ("TND", 3),
        ("BHD", 3),
        ("CLF", 4),
        ("UYW", 4),
    ] {
        assert_eq!(currency(code).exponent(), exponent, "{code}");
    }
    assert_eq!(currency("usd").code(), "USD");
    for bad in ["", "US", "USDT", "12A", "€", "É€D"] {
        assert_eq!(Currency::parse(bad).unwrap_err().code, Code::NotAChoice);
    }
    assert_eq!(currency("JPY").text(decimal("123.4")), "123");
    assert_eq!(currency("KWD").text(decimal("1.5")), "1.500");
    assert_eq!(currency("USD").text(decimal("-0.001")), "0.00");
}

/// ISO 80000-1 annex B: rule A rounds a tie to the even neighbour, rule B away from zero (examples
/// from memory). 12.35 has no exact binary form, so a float would tell nothing here.
#[test]
fn ties_follow_the_named_rule() {
    let tenths = |amount: &str, rounding| {
        // KWD has three decimals: shift by two places to round to a tenth.
        (currency("KWD").round(decimal(amount) / Decimal::ONE_HUNDRED, rounding)
            * Decimal::ONE_HUNDRED)
            .normalize()
            .to_string()
    };
    for (amount, even, away) in [
        ("12.25", "12.2", "12.3"),
        ("12.35", "12.4", "12.4"),
        ("12.251", "12.3", "12.3"),
    ] {
        assert_eq!(tenths(amount, Rounding::HalfToEven), even, "{amount}");
        assert_eq!(tenths(amount, Rounding::HalfAwayFromZero), away, "{amount}");
    }
    assert_eq!(tenths("12.35", Rounding::HalfTowardsZero), "12.3");
    assert_eq!(tenths("12.31", Rounding::Up), "12.4");
}

/// Canada's Economic Action Plan 2012, "Eliminating the penny": 1.83 + 2.86 with 5 % tax is 4.92,
/// paid 4.90 in cash. Swedish rounding to 0.50, 1992 to 2010: 223.20 and 65.40 to 223.00 and 65.50.
#[test]
fn cash_totals_come_in_coins() {
    let nickel = decimal("0.05");
    let total = currency("CAD").round(
        (decimal("1.83") + decimal("2.86")) * decimal("1.05"),
        Rounding::HalfAwayFromZero,
    );
    assert_eq!(total, decimal("4.92"));
    let cash = |total: &str, coin| to_coins(decimal(total), coin, Rounding::HalfAwayFromZero);
    assert_eq!(cash("4.92", nickel), decimal("4.90"));
    for (cents, coins) in [
        (1, 0),
        (2, 0),
        (3, 5),
        (4, 5),
        (5, 5),
        (6, 5),
        (7, 5),
        (8, 10),
        (9, 10),
    ] {
        assert_eq!(
            to_coins(Decimal::new(cents, 2), nickel, Rounding::HalfToEven),
            Decimal::new(coins, 2)
        );
    }
    let half_krona = decimal("0.50");
    assert_eq!(cash("223.20", half_krona), decimal("223.00"));
    assert_eq!(cash("65.40", half_krona), decimal("65.50"));
    assert_eq!(cash("0.25", half_krona), decimal("0.50"));
    assert_eq!(
        to_coins(decimal("0.25"), half_krona, Rounding::HalfTowardsZero),
        Decimal::ZERO
    );
}

/// The endings are common practice, no source; what follows is their plain meaning.
#[test]
fn prices_end_as_chosen_and_are_never_below() {
    let usd = currency("USD");
    for (ending, amount, price) in [
        (Ending::Any, "11.031", "11.04"),
        (Ending::Any, "11.03", "11.03"),
        (Ending::Whole, "11.03", "12"),
        (Ending::Whole, "11", "11"),
        (Ending::Half, "11.03", "11.50"),
        (Ending::Half, "11.51", "12.00"),
        (Ending::NinetyFive, "11.03", "11.95"),
        (Ending::NinetyFive, "11.96", "12.95"),
        (Ending::NinetyNine, "11.99", "11.99"),
        (Ending::NinetyNine, "11.990001", "12.99"),
    ] {
        assert_eq!(
            ending.round_up(decimal(amount), usd),
            decimal(price),
            "{ending:?} {amount}"
        );
    }
    let yen = currency("JPY");
    assert_eq!(
        Ending::NinetyFive.round_up(decimal("1103"), yen),
        decimal("1195")
    );
    assert_eq!(
        Ending::Any.round_up(decimal("1103.2"), yen),
        decimal("1104")
    );
    let dinar = currency("KWD");
    assert_eq!(
        Ending::NinetyFive.round_up(decimal("4.203"), dinar),
        decimal("4.95")
    );
}

#[test]
fn amounts_are_read_as_people_type_them() {
    let usd = currency("USD");
    for text in [
        "12.50",
        "12,50",
        "$12.50",
        "12.5 USD",
        " $ 12.50 ",
        "12 1/2",
        "12.5 $",
    ] {
        assert_eq!(parse_amount(text, usd), Ok(decimal("12.5")), "{text}");
    }
    for text in [
        "1,234,567.50",
        "1 234 567.50",
        "1'234'567.5",
        "1.234.567,50",
    ] {
        assert_eq!(parse_amount(text, usd), Ok(decimal("1234567.5")), "{text}");
    }
    assert_eq!(parse_amount("0.085", usd), Ok(decimal("0.085")));
    assert_eq!(parse_amount("1.250", currency("KWD")), Ok(decimal("1.25")));
    for (text, code) in [
        ("£3", "GBP"),
        ("Fr. 3", "CHF"),
        ("3,00 kr.", "DKK"),
        ("US$3", "USD"),
        ("R$ 3", "BRL"),
        ("3 AED", "AED"),
    ] {
        assert_eq!(
            parse_amount(text, currency(code)),
            Ok(decimal("3")),
            "{text}"
        );
    }
    for text in ["-$5", "$-5", "-5", "- 5 USD"] {
        let error = parse_amount(text, usd).expect_err(text);
        assert_eq!(error.code, Code::TooSmall, "{text}");
    }
    assert!(parse_amount("$5", currency("AED")).is_err());
    assert_eq!(
        parse_amount("1.234,50 €", currency("EUR")),
        Ok(decimal("1234.5"))
    );
    for (text, code) in [
        ("", Code::Missing),
        ("$", Code::Missing),
        ("-1", Code::TooSmall),
        ("free", Code::NotANumber),
        ("12.50 EUR", Code::NotANumber),
        ("1,250", Code::Ambiguous),
        ("1.250", Code::Ambiguous),
        ("€12", Code::NotANumber),
        ("£12", Code::NotANumber),
        ("1000000001", Code::TooLarge),
        ("99999999999999999999999999", Code::TooLarge),
    ] {
        assert_eq!(
            parse_amount(text, usd).expect_err(text).code,
            code,
            "{text}"
        );
    }
    assert_eq!(parse_percent("6.5 %"), Ok(decimal("0.065")));
    assert_eq!(parse_percent("6,5"), Ok(decimal("0.065")));
    assert_eq!(parse_percent("100"), Ok(Decimal::ONE));
    for (text, code) in [
        ("", Code::Missing),
        ("-0.1", Code::TooSmall),
        ("100.01", Code::TooLarge),
        ("all", Code::NotANumber),
    ] {
        assert_eq!(parse_percent(text).expect_err(text).code, code, "{text}");
    }
}

fn any_amount() -> impl Strategy<Value = Decimal> {
    (0..10_000_000_000_i64, 0..10_u32).prop_map(|(mantissa, scale)| Decimal::new(mantissa, scale))
}

proptest! {
    #[test]
    fn an_ending_is_the_least_price_that_is_enough(amount in any_amount(), code in 0..3_usize) {
        let currency = currency(["USD", "JPY", "KWD"][code]);
        let cycle = if code == 1 { Decimal::ONE_HUNDRED } else { Decimal::ONE };
        for (ending, tail) in [(Ending::Whole, 0), (Ending::NinetyFive, 95), (Ending::NinetyNine, 99)] {
            let price = ending.round_up(amount, currency);
            prop_assert!(price >= amount);
            prop_assert!(price - cycle < amount);
            prop_assert_eq!(price % cycle, cycle * Decimal::new(tail, 2));
        }
        let half = Ending::Half.round_up(amount, currency);
        prop_assert!(half >= amount && half - cycle / Decimal::TWO < amount);
        prop_assert!((half * Decimal::TWO % cycle).is_zero());
        let any = Ending::Any.round_up(amount, currency);
        prop_assert!(any >= amount && any - currency.minor_unit() < amount);
    }

    #[test]
    fn apportioned_lines_add_up_and_stay_within_a_unit(lines in prop::collection::vec(any_amount(), 0..30)) {
        let usd = currency("USD");
        let total = usd.round(lines.iter().sum(), Rounding::HalfAwayFromZero);
        let rounded = apportion(usd, &lines, total);
        prop_assert_eq!(rounded.iter().sum::<Decimal>(), total);
        for (line, rounded) in lines.iter().zip(&rounded) {
            prop_assert!((line - rounded).abs() < usd.minor_unit());
            prop_assert_eq!(*rounded, usd.round(*rounded, Rounding::Up));
        }
    }

    #[test]
    fn no_text_panics(text in "\\PC{0,40}") {
        let _ = parse_amount(&text, currency("USD"));
        let _ = parse_percent(&text);
        let _ = Currency::parse(&text);
    }
}
