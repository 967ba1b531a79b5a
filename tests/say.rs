//! Texts in the language of the build, which is English in all tests.

use say::say;

/// A text without names is one that constants can hold.
const TITLE: &str = say!("Film");

#[test]
fn texts_are_said_as_they_stand() {
    assert_eq!(TITLE, "Film");
    assert_eq!(say!(in "a price": "free"), "free");
}

#[test]
fn names_are_filled_with_values_or_with_what_stands_beside_them() {
    let count = 3;
    assert_eq!(say!("{count} of {size}", size = "2 in"), "3 of 2 in");
    assert_eq!(say!("{{{count}}}"), "{3}");
}

#[test]
fn one_and_more_have_texts_of_their_own() {
    let said = |pieces: u32| say!(pieces; "one piece", "{pieces} pieces");
    assert_eq!(
        [said(0), said(1), said(2)],
        ["0 pieces", "one piece", "2 pieces"]
    );
}
