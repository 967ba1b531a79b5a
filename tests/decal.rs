//! The decal: what fits into it, and how its letters stand.

use decal_reckoner::decal::{Decal, DecalInput};
use decal_reckoner::error::Code;
use decal_reckoner::measure::Unit;

fn decal(lettering: &str, width: &str, height: &str, letter: &str) -> Result<Decal, Code> {
    let input = DecalInput {
        lettering: Some(lettering.to_owned()),
        width: Some(width.into()),
        height: Some(height.into()),
        letter_height: Some(letter.into()),
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
