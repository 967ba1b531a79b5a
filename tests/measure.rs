//! Lengths, weights, times and dates: what people type, exact conversions, printing that reads back.

use decal_reckoner::error::Code;
use decal_reckoner::measure::{
    Date, Length, LengthInput, Range, Time, Unit, Weight, optional, required,
};
use proptest::prelude::*;

const UNITS: [Unit; 6] = [Unit::In, Unit::Ft, Unit::Yd, Unit::Mm, Unit::Cm, Unit::M];

fn nm(text: &str, bare: Unit) -> i64 {
    Length::parse(text, bare)
        .unwrap_or_else(|error| panic!("{text}: {error:?}"))
        .nm()
}

/// International yard and pound agreement of 1959: 1 yd = 0.9144 m exactly; a foot is a third of a
/// yard and an inch a twelfth of a foot. National Institute of Standards and Technology, Special
/// Publication 811, appendix B.6.
#[test]
fn units_have_their_defined_sizes() {
    assert_eq!(nm("1 yd", Unit::M), 914_400_000);
    assert_eq!(nm("1 ft", Unit::M) * 3, 914_400_000);
    assert_eq!(nm("1 in", Unit::M) * 36, 914_400_000);
    assert_eq!(nm("1 m", Unit::In), 1_000_000_000);
    assert_eq!(nm("100 cm", Unit::In), 1_000_000_000);
    assert_eq!(nm("1000 mm", Unit::In), 1_000_000_000);
    assert_eq!(nm("1 km", Unit::In), 1_000_000_000_000);
    // The statute mile of 1760 yd.
    assert_eq!(nm("1 mi", Unit::In), 1_609_344_000_000);
    assert_eq!(nm("1/64 in", Unit::Mm), 396_875);
}

/// Real Academia Española, Diccionario de la lengua española: the Spanish names of these units (from memory).
#[test]
fn units_go_by_their_spanish_names() {
    for (spanish, english) in [
        ("2 pulgadas", "2 in"),
        ("1 pulgada", "1 in"),
        ("5 1/4 pulg.", "5 1/4 in"),
        ("3 pies", "3 ft"),
        ("1 pie", "1 ft"),
        ("4 pies 2", "4 ft 2"),
        ("4 Pies, 2 Pulgadas", "4 ft 2 in"),
        ("10 yardas", "10 yd"),
        ("2 millas", "2 mi"),
        ("12 metros", "12 m"),
        ("1 metro", "1 m"),
        ("13 centímetros", "13 cm"),
        ("13 centimetros", "13 cm"),
        ("1 CENTÍMETRO", "1 cm"),
        ("133 milímetros", "133 mm"),
        ("1 milimetro", "1 mm"),
        ("2 kilómetros", "2 km"),
        ("1 kilometro", "1 km"),
    ] {
        let units = [Unit::In, Unit::M];
        assert_eq!(
            units.map(|bare| nm(spanish, bare)),
            units.map(|bare| nm(english, bare)),
            "{spanish}"
        );
    }
    for (spanish, english) in [
        ("3 onzas", "3 oz"),
        ("1 onza", "1 oz"),
        ("2 libras 4 onzas", "2 lb 4 oz"),
        ("1 libra", "1 lb"),
        ("100 gramos", "100 g"),
        ("2 kilogramos", "2 kg"),
        ("1 kilo", "1 kg"),
    ] {
        let weight = |text| Weight::parse(text, true).unwrap();
        assert_eq!(weight(spanish), weight(english), "{spanish}");
    }
    for (spanish, english) in [
        ("1 hora 15 minutos", "1 h 15 min"),
        ("2 horas", "2 h"),
        ("90 segundos", "90 s"),
    ] {
        assert_eq!(Time::parse(spanish), Time::parse(english), "{spanish}");
    }
}

#[test]
fn lengths_are_read_as_people_type_them() {
    let five_and_a_quarter = 133_350_000;
    for text in [
        "5 1/4",
        "5-1/4\"",
        "5¼ in",
        "5.25",
        "5,25",
        "5 ¼″",
        " 5 1/4 in. ",
        "5 1⁄4 inches",
        "21/4 in",
        "5\u{a0}1/4”",
        "5.25IN",
        "13.335 cm",
        "133,35 mm",
        "0.13335 m",
        "+5.25",
        "5.250000",
        "05.25",
    ] {
        assert_eq!(nm(text, Unit::In), five_and_a_quarter, "{text}");
    }
    assert_eq!(nm("13,3 cm", Unit::In), 133_000_000);
    let four_foot_two = 50 * 25_400_000;
    for text in [
        "4 ft 2 in",
        "4ft2in",
        "4' 2\"",
        "4′2″",
        "4’ 2",
        "4'-2\"",
        "4 ft, 2 in",
        "4 feet 2 inches",
        "4 ft 2",
        "50 in",
        "4 1/6 ft",
        "1 yd 1 ft 2 in",
        "3 ft 14 in",
        "4'2''",
    ] {
        assert_eq!(nm(text, Unit::Cm), four_foot_two, "{text}");
    }
    assert_eq!(nm("1 m 20 cm", Unit::In), 1_200_000_000);
    assert_eq!(nm("4' 2 1/2", Unit::In), 101 * 12_700_000);
    assert_eq!(nm(".5", Unit::In), 12_700_000);
    assert_eq!(nm("-3 in", Unit::In), -76_200_000);
    assert_eq!(nm("−3", Unit::In), -76_200_000);
    assert_eq!(nm("1,234,567 mm", Unit::In), 1_234_567_000_000);
    assert_eq!(nm("1.234,5 mm", Unit::In), 1_234_500_000);
    assert_eq!(nm("1,234.5 mm", Unit::In), 1_234_500_000);
    assert_eq!(nm("0,125", Unit::In), 3_175_000);
    // A third of an inch is 8 466 666.67 nm.
    assert_eq!(nm("1/3 in", Unit::In), 8_466_667);
    assert_eq!(
        nm("0.3333333333333333333333333333333333 in", Unit::In),
        8_466_667
    );
}

#[test]
fn what_is_no_length_is_refused_with_its_reason() {
    for (text, code) in [
        ("", Code::Missing),
        ("   ", Code::Missing),
        ("abc", Code::NotANumber),
        ("in", Code::NotANumber),
        ("-", Code::NotANumber),
        ("5-", Code::NotANumber),
        (".", Code::NotANumber),
        ("1/0", Code::NotANumber),
        ("1/", Code::NotANumber),
        ("5 1/4 1/4", Code::NotANumber),
        ("3 in 5 in", Code::NotANumber),
        ("2 in 4 ft", Code::NotANumber),
        ("5 5", Code::NotANumber),
        ("1 000", Code::NotANumber),
        ("1 500 ft", Code::NotANumber),
        ("4 2'", Code::NotANumber),
        ("5 mm 3", Code::NotANumber),
        ("1.2.3", Code::NotANumber),
        ("1,23,456", Code::NotANumber),
        ("9 x 3", Code::UnknownUnit),
        ("12 furlongs", Code::UnknownUnit),
        ("1e3", Code::UnknownUnit),
        ("5 kg", Code::UnknownUnit),
        ("NaN", Code::NotANumber),
        ("<b>5</b>", Code::NotANumber),
        ("1,125", Code::Ambiguous),
        ("12,500 mm", Code::Ambiguous),
        (
            "99999999999999999999999999999999999999999 in",
            Code::TooLarge,
        ),
        ("11 km", Code::TooLarge),
        ("10001 m", Code::TooLarge),
        ("7 mi", Code::TooLarge),
        ("1000000/1000001", Code::NotANumber),
    ] {
        let error = Length::parse(text, Unit::In).expect_err(text);
        assert_eq!(error.code, code, "{text}: {error:?}");
        assert!(!error.message.is_empty() && !error.hint.is_empty());
    }
}

#[test]
fn a_field_allows_its_range_and_no_more() {
    let range = Range::new(Length::whole(1, Unit::In), Length::whole(10, Unit::In));
    let read = |text: &str| required(Some(&text.into()), "width", Unit::In, range);
    assert_eq!(read("1"), Ok(Length::whole(1, Unit::In)));
    assert_eq!(read("254 mm"), Ok(Length::whole(10, Unit::In)));
    for (text, code) in [
        ("0", Code::TooSmall),
        ("-4", Code::TooSmall),
        ("63/64", Code::TooSmall),
        ("10 1/64", Code::TooLarge),
        ("", Code::Missing),
    ] {
        let error = read(text).expect_err(text);
        assert_eq!(
            (error.code, error.field.as_str()),
            (code, "width"),
            "{text}"
        );
    }
    assert_eq!(
        required(None, "width", Unit::In, range).map_err(|e| e.code),
        Err(Code::Missing)
    );
    assert_eq!(
        optional(Some(&" ".into()), "width", Unit::In, range),
        Ok(None)
    );
    assert_eq!(
        required(Some(&LengthInput::Number(5.1)), "width", Unit::Mm, range),
        Err(LengthInput::Number(5.1)
            .read(Unit::Mm, range)
            .unwrap_err()
            .at("width"))
    );
    // 0.1 has no exact binary form; in fifteen figures it is what was meant.
    let small = Range::up_to(Length::MAX);
    assert_eq!(
        LengthInput::Number(0.1).read(Unit::Mm, small),
        Ok(Length::from_nm(100_000))
    );
    for bad in [f64::NAN, f64::INFINITY, -1.0, 1e300, 1e20] {
        assert!(
            LengthInput::Number(bad).read(Unit::Mm, small).is_err(),
            "{bad}"
        );
    }
    assert_eq!(
        LengthInput::Number(1e-300).read(Unit::Mm, small),
        Ok(Length::ZERO)
    );
}

#[test]
fn times_are_read_as_people_type_them() {
    let minutes = |text: &str| Time::parse(text).map(Time::ms);
    for text in [
        "75",
        "75 min",
        "1 h 15 min",
        "1h15",
        "1 hr 15",
        "1.25 h",
        "1 1/4 h",
        "4500 s",
    ] {
        assert_eq!(minutes(text), Ok(4_500_000), "{text}");
    }
    assert_eq!(minutes("0"), Ok(0));
    assert_eq!(minutes("1,5"), Ok(90_000));
    for (text, code) in [
        ("", Code::Missing),
        ("-1", Code::TooSmall),
        ("soon", Code::NotANumber),
        ("1 30", Code::NotANumber),
        ("5 in", Code::UnknownUnit),
        ("10001 h", Code::TooLarge),
    ] {
        assert_eq!(Time::parse(text).expect_err(text).code, code, "{text}");
    }
}

#[test]
fn lengths_print_for_people() {
    let inches = |sixteenths| Length::inches(sixteenths, 16).text(Unit::In);
    assert_eq!(inches(84), "5 1/4 in");
    assert_eq!(inches(16), "1 in");
    assert_eq!(inches(3), "3/16 in");
    assert_eq!(inches(-24), "-1 1/2 in");
    assert_eq!(Length::whole(133, Unit::Mm).text(Unit::In), "5.236 in");
    assert_eq!(Length::inches(21, 4).text(Unit::Mm), "133.4 mm");
    assert_eq!(Length::inches(21, 4).text(Unit::Cm), "13.34 cm");
    assert_eq!(Length::whole(45, Unit::Ft).text(Unit::M), "13.72 m");
    assert_eq!(Length::from_nm(-1).text(Unit::Mm), "0 mm");
}

#[test]
fn rounding_to_what_a_person_can_measure() {
    let eighth = Length::inches(1, 8);
    assert_eq!(
        Length::inches(17, 16).round_up(eighth),
        Length::inches(9, 8)
    );
    assert_eq!(
        Length::inches(17, 16).round_down(eighth),
        Length::inches(1, 1)
    );
    assert_eq!(Length::inches(9, 8).round_up(eighth), Length::inches(9, 8));
    assert_eq!(Length::from_nm(1).round_up(eighth), eighth);
    // Nothing is above the last that 64 bits hold.
    let last = Length::from_nm(i64::MAX);
    assert_eq!(last.round_up(eighth), last);
}

proptest! {
    /// A number of up to fifteen figures is stored in binary in such a way that it can be told again
    /// (IEEE 754 double precision: 15 decimal digits), so it means what its decimal text means.
    #[test]
    fn a_plain_number_means_what_its_text_means(digits in 0..1_000_000_000_i64, places in 0..9_u32) {
        let text = format!("{}.{:0width$}", digits / 10_i64.pow(places), digits % 10_i64.pow(places), width = places as usize);
        let text = text.trim_end_matches('.');
        let number: f64 = text.parse().unwrap();
        let range = Range::up_to(Length::MAX);
        let typed = LengthInput::from(text).read(Unit::Mm, range);
        prop_assert_eq!(LengthInput::Number(number).read(Unit::Mm, range), typed);
    }

    #[test]
    fn printing_then_reading_is_the_identity(nm in -Length::MAX.nm()..=Length::MAX.nm(), unit in 0..6_usize) {
        let (length, unit) = (Length::from_nm(nm), UNITS[unit]);
        prop_assert_eq!(Length::parse(&length.exact(unit), unit), Ok(length));
        prop_assert_eq!(Length::parse(&format!("{} {}", length.exact(unit), unit.symbol()), Unit::Yd), Ok(length));
    }

    #[test]
    fn a_text_for_people_is_near_what_it_stands_for(nm in 0..=Length::MAX.nm(), unit in 0..6_usize) {
        let (length, unit) = (Length::from_nm(nm), UNITS[unit]);
        let back = Length::parse(&length.text(unit), Unit::Yd).unwrap();
        // Half of the last place that `text` promises: 0.0005 in, 0.05 mm, 0.005 of the others.
        let half = match unit { Unit::In => 12_700, Unit::Mm => 50_000, other => other.nanometres() / 200 };
        prop_assert!((back.nm() - nm).abs() <= half);
    }

    #[test]
    fn no_text_panics(text in "\\PC{0,40}", unit in 0..6_usize) {
        let _ = Length::parse(&text, UNITS[unit]);
        let _ = Time::parse(&text);
    }

    #[test]
    fn no_text_of_the_right_signs_panics(text in "[-+0-9 .,/'\"¼½infcmty]{0,60}", unit in 0..6_usize) {
        let _ = Length::parse(&text, UNITS[unit]);
        let _ = Time::parse(&text);
    }

    #[test]
    fn fractions_are_exact(whole in 0..1000_i64, top in 0..64_i64) {
        let length = Length::inches(whole * 64 + top, 64);
        prop_assert_eq!(Length::parse(&format!("{whole} {top}/64"), Unit::In), Ok(length));
        prop_assert_eq!(Length::parse(&format!("{whole}-{top}/64\""), Unit::M), Ok(length));
    }
}

/// 1 lb = 0.45359237 kg exactly (international yard and pound agreement, 1959), 1 oz = 1/16 lb.
#[test]
fn weights_are_exact() {
    let ng = |text: &str| Weight::parse(text, true).map(Weight::ng);
    assert_eq!(ng("1 lb"), Ok(453_592_370_000));
    assert_eq!(ng("1 oz"), Ok(28_349_523_125));
    assert_eq!(ng("16 oz"), ng("1 lb"));
    assert_eq!(ng("1 lb 2 oz"), ng("18 oz"));
    assert_eq!(ng("1 lb 2"), ng("18 oz"));
    assert_eq!(ng("3.5 oz"), ng("3 1/2"));
    assert_eq!(ng("0.1 kg"), ng("100 g"));
    assert_eq!(ng("1 kg 200 g"), ng("1200 g"));
    assert_eq!(Weight::parse("100", false), Ok(Weight::grams(100)));
    assert_eq!(Weight::parse("70 lb", false), Ok(Weight::pounds(70)));
    assert_eq!(
        Weight::parse("3.5 oz", false),
        Ok(Weight::tenths_of_ounce(35))
    );
    assert_eq!(ng("1000 kg"), Ok(Weight::MAX.ng()));
    for (text, code) in [
        ("", Code::Missing),
        ("-1 g", Code::TooSmall),
        ("1001 kg", Code::TooLarge),
        ("3 in", Code::UnknownUnit),
        ("2 oz 1 lb", Code::NotANumber),
        ("light", Code::NotANumber),
    ] {
        assert_eq!(ng(text).map_err(|error| error.code), Err(code), "{text}");
    }
}

/// 3.5 oz are 99.223 g, 100 g are 3.527 oz.
#[test]
fn weights_are_told_on_the_side_that_is_asked_for() {
    let weight = |text: &str| Weight::parse(text, false).unwrap();
    assert_eq!(weight("3.5 oz").text(Unit::In, true), "3.5 oz");
    assert_eq!(weight("3.51 oz").text(Unit::In, true), "3.51 oz");
    assert_eq!(weight("3.5 oz").text(Unit::Mm, false), "99.2 g");
    assert_eq!(weight("3.5 oz").text(Unit::Mm, true), "99.3 g");
    assert_eq!(weight("100 g").text(Unit::In, false), "3.52 oz");
    assert_eq!(weight("100 g").text(Unit::In, true), "3.53 oz");
    assert_eq!(weight("18 oz").text(Unit::In, true), "1 lb 2 oz");
    assert_eq!(weight("70 lb").text(Unit::In, false), "70 lb");
    assert_eq!(weight("2 kg").text(Unit::Mm, false), "2 kg");
    assert_eq!(weight("1250.5 g").text(Unit::Mm, false), "1.2505 kg");
    assert_eq!(weight("0").text(Unit::Mm, true), "0 g");
}

/// Unix time counts days of 86 400 s from 1970-01-01: 1 000 000 000 s fall on 2001-09-09, 2^31 s on
/// 2038-01-19 (IEEE Std 1003.1, widely known dates).
#[test]
fn days_are_counted() {
    let number = |text: &str| Date::parse(text).unwrap().day_number();
    assert_eq!(number("1970-01-01"), 0);
    assert_eq!(number("1969-12-31"), -1);
    assert_eq!(number("2001-09-09"), 1_000_000_000 / 86_400);
    assert_eq!(i64::from(number("2038-01-19")), (1_i64 << 31) / 86_400);
}

/// Every day from the year 1 to 9999, against another library.
#[test]
fn days_agree_with_another_calendar() {
    let epoch = time::Date::from_calendar_date(1970, time::Month::January, 1).unwrap();
    let mut day = time::Date::from_calendar_date(1, time::Month::January, 1).unwrap();
    let mut last = None;
    while day.year() <= 9999 {
        let (year, month) = (day.year(), u8::from(day.month()));
        let text = format!("{year:04}-{month:02}-{:02}", day.day());
        let read = Date::parse(&text).unwrap();
        assert_eq!(
            read.day_number(),
            day.to_julian_day() - epoch.to_julian_day(),
            "{text}"
        );
        assert_eq!(read.text(), text);
        assert!(last < Some(read));
        last = Some(read);
        let Some(next) = day.next_day() else { break };
        day = next;
    }
}

/// The Gregorian rule: 2000 and 2024 have a 29th of February, 1900 and 2023 have none.
#[test]
fn only_days_of_the_calendar_are_read() {
    for text in [
        "2000-02-29",
        "2024-02-29",
        " 2026-11-25 ",
        "0001-01-01",
        "9999-12-31",
    ] {
        assert!(Date::parse(text).is_ok(), "{text}");
    }
    for text in [
        "1900-02-29",
        "2023-02-29",
        "2026-04-31",
        "2026-00-10",
        "2026-13-01",
        "2026-01-00",
        "2026-01-32",
        "0000-01-01",
    ] {
        let code = Date::parse(text).map_err(|error| error.code);
        assert_eq!(code, Err(Code::Impossible), "{text}");
    }
    for text in [
        "2026-1-05",
        "26-11-25",
        "2026/11/25",
        "20261125",
        "2026-11-25T00:00",
        "2026-11-2",
        "-026-11-25",
        "２026-11-25",
        "25.11.2026",
        "2026-11--5",
        "today",
    ] {
        let code = Date::parse(text).map_err(|error| error.code);
        assert_eq!(code, Err(Code::NotANumber), "{text}");
    }
    assert_eq!(
        Date::parse("").map_err(|error| error.code),
        Err(Code::Missing)
    );
}

#[test]
fn a_year_has_passed_on_the_day_after_the_same_day() {
    let old = |day: &str, today: &str| {
        Date::parse(day)
            .unwrap()
            .is_a_year_before(Date::parse(today).unwrap())
    };
    assert!(!old("2025-11-25", "2026-11-25"));
    assert!(old("2025-11-25", "2026-11-26"));
    assert!(!old("2024-02-29", "2025-02-28"));
    assert!(old("2024-02-29", "2025-03-01"));
    assert!(!old("2027-01-01", "2026-11-25"));
}
