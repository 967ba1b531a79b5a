//! The decal: what fits into it, and how its letters stand.

use decal_reckoner::decal::{Decal, DecalInput, Face, other_side};
use decal_reckoner::error::Code;
use decal_reckoner::measure::{Length, Unit};
use proptest::prelude::*;

fn decal(lettering: &str, width: &str, height: &str, letter: &str) -> Result<Decal, Code> {
    let input = DecalInput {
        lettering: Some(lettering.to_owned()),
        width: Some(width.into()),
        height: Some(height.into()),
        letter_height: Some(letter.into()),
        ..DecalInput::default()
    };
    Decal::read(&input, Unit::In).map_err(|errors| errors.first().code)
}

/// 2010 ADA Standards, section 703.5.4: an O is at least 55 % as wide as an I is high. Ten letters of
/// 1 in therefore take 5.5 in at least.
#[test]
fn letters_are_narrow_below_the_standards_least_width() {
    let narrow = |width: &str| decal("ABCDEFGHIJ\nABC", width, "3", "1").map(|it| it.is_narrow());
    assert_eq!(narrow("5.5"), Ok(false));
    assert_eq!(narrow("5.49"), Ok(true));
    assert_eq!(
        decal("", "1/4", "3", "3").map(|it| it.is_narrow()),
        Ok(false)
    );
}

#[test]
fn lines_of_letters_fit_into_the_height() {
    assert!(decal("ONE\nTWO", "9", "3", "1 1/2").is_ok());
    assert_eq!(
        decal("ONE\nTWO", "9", "3", "1 33/64"),
        Err(Code::DoesNotFit)
    );
    assert_eq!(
        decal("ONE\nTWO\nTEN", "9", "3", "1 1/2"),
        Err(Code::DoesNotFit)
    );
    assert_eq!(decal(&"X".repeat(201), "9", "3", "1"), Err(Code::TooLarge));
}

/// What was typed stands in the picture as text, never as markup.
#[test]
fn typed_markup_stays_text() {
    let drawn = decal("<img src=x> & \"q\"", "9", "3", "1")
        .unwrap()
        .drawing(Unit::In);
    let svg = drawn.to_svg();
    assert!(svg.contains("&lt;img src=x&gt; &amp; "));
    assert!(!svg.contains("<img"));
}

/// A decal whose letter height is worked out.
fn fitted(lettering: &str, face: Face, width: &str, height: &str) -> Result<Decal, Code> {
    let input = DecalInput {
        lettering: Some(lettering.to_owned()),
        width: Some(width.into()),
        height: Some(height.into()),
        face,
        ..DecalInput::default()
    };
    Decal::read(&input, Unit::Mm).map_err(|errors| errors.first().code)
}

/// DIN 1451-4, <http://dybas.de/dybas/index/s/schrift.html>: at a height of 63 mm an H is 36 mm wide,
/// a gap 9 mm; a narrow letter 27 mm; between words are 36 and 27 mm.
#[test]
fn words_are_as_wide_as_the_grid_of_din_1451_makes_them() {
    let cases = [
        ("H", Face::Plain, 36),
        ("HH", Face::Plain, 36 + 9 + 36),
        ("H H", Face::Plain, 36 * 3),
        ("  HH   H ", Face::Plain, 36 + 9 + 36 + 36 + 36),
        ("H\nHH", Face::Plain, 81),
        ("HH", Face::Condensed, 27 + 9 + 27),
        ("H H", Face::Condensed, 27 * 3),
    ];
    for (lettering, face, width) in cases {
        let decal = fitted(lettering, face, "1000", "1000").unwrap();
        let height = Length::whole(63, Unit::Mm);
        let is = decal.words().width_at(height);
        assert_eq!(is, Length::whole(width, Unit::Mm), "{lettering}");
        // The same grid the other way: just so wide a decal gets letters of 63 mm.
        let wide = format!("{width}");
        let decal = fitted(lettering, face, &wide, "1000").unwrap();
        assert_eq!(decal.letter_height(), height, "{lettering}");
        assert!(decal.is_fitted());
    }
}

/// Lines lie 1.5 letter heights apart: two take 2.5, three 4 of them.
#[test]
fn lines_are_as_high_as_their_number_allows() {
    for (lettering, height, letter) in
        [("A", "40", 40), ("A\nA", "100", 40), ("A\nA\nA", "160", 40)]
    {
        let decal = fitted(lettering, Face::Plain, "900", height).unwrap();
        assert_eq!(decal.letter_height(), Length::whole(letter, Unit::Mm));
    }
}

/// What hangs below the last line, and what stands on letters, takes three tenths of the height; lines with
/// accents lie that much further apart: 100 mm are 1.3 letters of 76.9 mm, 1.6 of 62.5, 4 of 25.
#[test]
fn letters_have_room_above_and_below() {
    for (lettering, tenths) in [
        ("HERON", 10),
        ("heron", 10),
        ("gypsy", 13),
        ("Ågge", 16),
        ("Heron\ngypsy", 28),
        ("gypsy\nHeron", 25),
        ("Heron\nÅgge", 31),
        ("Ågge\nÅgge", 34),
    ] {
        let decal = fitted(lettering, Face::Plain, "900", "100").unwrap();
        let letter = Length::from_nm(1_000_000_000 / tenths);
        assert_eq!(decal.letter_height(), letter, "{lettering}");
        // The lines are drawn with that room.
        let high = letter.to_f64(Unit::Mm);
        let drawn = decal.words().baselines(high, 100.0);
        assert!(
            drawn
                .iter()
                .all(|line| *line >= high - 1e-6 && *line <= 100.0 + 1e-6)
        );
        if let [one, two] = drawn[..] {
            assert!(two - one >= 1.5 * high - 1e-6, "{lettering}");
        }
    }
    // Where there is no room lines come closer, down to one on the other, and none leaves the decal.
    let decal = decal("ONE\nTWO", "9", "3", "1 1/2").unwrap();
    let drawn = decal.words().baselines(1.5, 3.0);
    assert!(
        drawn
            .iter()
            .zip([1.5, 3.0])
            .all(|(is, should)| (is - should).abs() < 1e-9)
    );
}

/// Two narrow letters of DIN 1451-4 are 7 units wide, as wide as they are high.
#[test]
fn narrow_faces_are_squeezed_only_below_their_own_widths() {
    for face in [Face::Condensed, Face::Script] {
        for (width, narrow) in [("30", false), ("29.9", true)] {
            let input = DecalInput {
                lettering: Some("HH".to_owned()),
                width: Some(width.into()),
                height: Some("90".into()),
                letter_height: Some("30".into()),
                face,
                ..DecalInput::default()
            };
            let decal = Decal::read(&input, Unit::Mm).unwrap();
            assert_eq!(decal.is_narrow(), narrow, "{width}");
        }
    }
}

#[test]
fn a_letter_height_is_worked_out_only_from_words_that_have_room() {
    assert_eq!(
        fitted("", Face::Plain, "90", "30").err(),
        Some(Code::Missing)
    );
    assert_eq!(
        fitted(&"X".repeat(200), Face::Plain, "90", "30").err(),
        Some(Code::DoesNotFit)
    );
    // One that is typed badly is not replaced by a reckoned one.
    assert_eq!(decal("ABC", "9", "3", "tall").err(), Some(Code::NotANumber));
}

#[test]
fn parts_of_letters_are_smaller_than_letters() {
    let read = |stroke: &str, width: &str, gap: &str| {
        let input = DecalInput {
            lettering: Some("LOON".to_owned()),
            width: Some("300".into()),
            height: Some("100".into()),
            letter_height: Some("60".into()),
            stroke: Some(stroke.into()),
            letter_width: Some(width.into()),
            letter_gap: Some(gap.into()),
            ..DecalInput::default()
        };
        Decal::read(&input, Unit::Mm).map_err(|errors| {
            let first = errors.first();
            (first.field.clone(), first.code)
        })
    };
    assert!(read("18", "90", "90").is_ok());
    assert!(read("", "", "").is_ok());
    let refused = |field: &str| Err((field.to_owned(), Code::DoesNotFit));
    assert_eq!(read("18.1", "40", "10").map(|_| ()), refused("stroke"));
    assert_eq!(read("12", "90.1", "10").map(|_| ()), refused("letterWidth"));
    assert_eq!(read("12", "40", "90.1").map(|_| ()), refused("letterGap"));
}

#[test]
fn words_and_small_letters_are_counted() {
    let words = |lettering: &str| {
        let decal = fitted(lettering, Face::Plain, "900", "300").unwrap();
        let words = decal.words();
        (words.count(), words.characters(), words.has_small_letters())
    };
    assert_eq!(words("HERON LAKE\nOR 1234 AB"), (5, 17, false));
    assert_eq!(words("Heron Lake"), (2, 9, true));
    assert_eq!(words("ÉTÉ 12-Ž"), (2, 7, false));
    assert_eq!(words("ÉTé"), (1, 3, true));
}

/// A third of nine inches, up to a sixteenth; of a side that no decal has, there is no other one to put in place of a
/// good one.
#[test]
fn the_other_side_follows_only_a_side_that_a_decal_has() {
    let third = |typed: &str| other_side(typed, 1.0 / 3.0, Unit::In);
    assert_eq!(third("9").as_deref(), Some("3"));
    assert_eq!(third("10").as_deref(), Some("3 3/8"));
    for typed in ["", "0", "-20", "wide", "99999999", "0.5 mm", "51 m"] {
        assert_eq!(third(typed), None, "{typed}");
    }
}

proptest! {
    /// Fitted letters fit: neither the longest line nor the stack of lines is larger than the decal, and
    /// with letters a hundredth higher one of them is.
    #[test]
    fn fitted_letters_fill_the_decal(
        lettering in "[A-Z]{1,9}( [A-Z]{1,9}){0,2}(\n[A-Z]{1,9}){0,3}",
        width in 200_i64..2_000,
        height in 100_i64..2_000,
    ) {
        let decal = fitted(&lettering, Face::Plain, &width.to_string(), &height.to_string());
        let decal = decal.unwrap();
        let letter = decal.letter_height().nm();
        let lines: Vec<&str> = lettering.lines().collect();
        let units = |line: &str| {
            // One letter after the other: 4 units, 1 after each, and a space in place of that.
            let mut units = 0;
            for letter in line.chars() {
                units += if letter == ' ' { 3 } else { 5 };
            }
            units - 1
        };
        let wide = lines.iter().map(|line| units(line)).max().unwrap();
        let stack = |letter: i64| (2 + 3 * (i64::try_from(lines.len()).unwrap() - 1)) * letter / 2;
        let (width, height) = (width * 1_000_000, height * 1_000_000);
        prop_assert!(wide * letter / 7 <= width && stack(letter) <= height);
        let more = letter + letter / 100;
        prop_assert!(wide * more / 7 > width || stack(more) > height);
    }
}
