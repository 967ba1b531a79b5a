//! Reading inputs: what is wrong is said with the path of the field.

use decal_reckoner::api::decode;
use decal_reckoner::error::Code;
use decal_reckoner::legibility::LegibilityInput;
use decal_reckoner::material::MaterialInput;
use decal_reckoner::quote::QuoteInput;
use serde_json::json;

fn mistake<T: serde::de::DeserializeOwned + std::fmt::Debug>(json: &str) -> (Code, String, String) {
    let errors = decode::<T>(json).expect_err(json);
    let first = errors.first();
    (first.code, first.field.clone(), first.hint.to_string())
}

fn place<T: serde::de::DeserializeOwned + std::fmt::Debug>(json: &str) -> (Code, String) {
    let (code, field, _) = mistake::<T>(json);
    (code, field)
}

#[test]
fn unknown_fields_are_refused_with_their_path() {
    let unknown = |json: &str| place::<MaterialInput>(json);
    assert_eq!(
        unknown(r#"{"sheets":{}}"#),
        (Code::UnknownField, "sheets".into())
    );
    assert_eq!(
        unknown(r#"{"sheet":{"width":"12","lenght":"24"},"pieces":[]}"#),
        (Code::UnknownField, "sheet.lenght".into())
    );
    assert_eq!(
        unknown(r#"{"sheet":{"width":"12"},"pieces":[{"width":1,"height":2},{"widht":1}]}"#),
        (Code::UnknownField, "pieces[1].widht".into())
    );
    // A text with everything in it that gives the text its structure.
    assert_eq!(
        unknown("{\n \"sheet\": {\"width\": \"a\\\"}],{[,:\"},\n \"extra\": 1}"),
        (Code::UnknownField, "extra".into())
    );
    assert_eq!(
        place::<QuoteInput>(r#"{"currency":"USD","material":{"sheet":{"width":12,"x":0}}}"#),
        (Code::UnknownField, "material.sheet.x".into())
    );
}

#[test]
fn types_and_choices_are_named_where_they_stand() {
    assert_eq!(
        mistake::<MaterialInput>(r#"{"unit":"furlong","sheet":{}}"#),
        (
            Code::NotAChoice,
            "unit".into(),
            "expected one of in, ft, yd, mm, cm, m".into()
        )
    );
    for (value, field) in [
        ("true", "margin"),
        ("[1]", "margin"),
        ("{\"a\":1}", "margin"),
    ] {
        let json = format!(r#"{{"sheet":{{"width":"12"}},"margin":{value},"pieces":[]}}"#);
        assert_eq!(
            place::<MaterialInput>(&json),
            (Code::WrongType, field.into()),
            "{value}"
        );
    }
    assert_eq!(
        place::<MaterialInput>(r#"{"sheet":{"width":"12"},"pieces":[{"width":"1","turn":"yes"}]}"#),
        (Code::WrongType, "pieces[0].turn".into())
    );
    assert_eq!(
        place::<MaterialInput>(r#"{"pieces":7}"#),
        (Code::WrongType, "pieces".into())
    );
    assert_eq!(
        place::<LegibilityInput>(r#"{"decal":{"width":"9","letterHeight":[]}}"#),
        (Code::WrongType, "decal.letterHeight".into())
    );
    // Money is a text: as a number it would have lost its last digits before it is read.
    let (code, field, hint) = mistake::<QuoteInput>(
        r#"{"currency":"USD","material":{"sheet":{"width":1}},"wage":18.62}"#,
    );
    assert_eq!((code, field.as_str()), (Code::WrongType, "wage"));
    assert!(hint.contains("string"), "{hint}");
    for json in ["", "null", "[]", "7", "\"text\"", "{\"sheet\":"] {
        let (code, field) = place::<MaterialInput>(json);
        assert_eq!(code, Code::WrongType, "{json}");
        assert!(field.is_empty() || field == "sheet", "{json}: {field}");
    }
}

#[test]
fn a_struct_is_an_object_and_a_choice_is_a_text() {
    for (json, field) in [
        (r#"{"sheet":["12","24"],"pieces":[]}"#, "sheet"),
        (
            r#"{"sheet":{"width":"12"},"pieces":[["9","3"]]}"#,
            "pieces[0]",
        ),
        (
            r#"{"sheet":{"width":"12"},"pieces":[{"width":1},null]}"#,
            "pieces[1]",
        ),
        (r#"{"sheet":{"width":"12"},"pieces":null}"#, "pieces"),
        (r#"{"unit":{"in":null}}"#, "unit"),
        (r#"{"unit":0}"#, "unit"),
        (r#"{"unit":null}"#, "unit"),
    ] {
        assert_eq!(
            place::<MaterialInput>(json),
            (Code::WrongType, field.into()),
            "{json}"
        );
    }
    // What may be left out may be nothing.
    let input = r#"{"sheet":{"width":"12"},"margin":null,"pieces":[{"width":1}]}"#;
    assert!(decode::<MaterialInput>(input).is_ok());
}

#[test]
fn the_first_mistake_of_the_text_is_told() {
    let told = |json: &str| place::<MaterialInput>(json).1;
    assert_eq!(told(r#"{"pieces":7,"margin":[],"b":1,"a":1}"#), "pieces");
    assert_eq!(told(r#"{"b":1,"margin":[],"pieces":7,"a":1}"#), "b");
}

#[test]
fn what_is_missing_is_named() {
    assert_eq!(
        place::<QuoteInput>("{}"),
        (Code::Missing, "currency".into())
    );
    assert_eq!(
        place::<QuoteInput>(r#"{"currency":"USD"}"#),
        (Code::Missing, "material".into())
    );
}

#[test]
fn numbers_and_texts_are_read_alike() {
    let read = |width: serde_json::Value| {
        let input = json!({ "sheet": { "width": width, "length": 24 }, "pieces": [{ "width": 9, "height": 3 }] });
        let input: MaterialInput = decode(&input.to_string()).unwrap();
        decal_reckoner::material::report(&input).unwrap().count
    };
    assert_eq!(read(json!(12)), read(json!("12")));
    assert_eq!(read(json!(12.0)), read(json!("12 in")));
    assert_eq!(read(json!(12.5)), read(json!("12 1/2")));
}
