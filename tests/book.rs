//! The shop book as a file: written, read back, brought over from older versions, refused where it must be.
//!
//! Another reader and writer of JSON (`serde_json`) says what is JSON and what it means.

use decal_reckoner::book::{self, Book, Figures, MOST_BYTES, VERSION};
use decal_reckoner::error::Code;
use proptest::prelude::*;
use serde_json::{Value, json};

fn figures(list: &[(&str, &str)]) -> Figures {
    let list = list.iter();
    list.map(|(name, text)| ((*name).to_owned(), (*text).to_owned()))
        .collect()
}

fn shop() -> Book {
    Book {
        saved: "2026-11-25".into(),
        figures: figures(&[
            ("unit", "in"),
            ("book.name", "Heron Lake Lettering (invented)"),
            ("book.wage", "18.00"),
            ("book.tape.price", "28.00"),
            ("book.channels[0].name", "shop page"),
            ("book.channels[0].fees[0].item", "6.5"),
            ("book.channels[0].fees[1].item", "3"),
            ("shelf[0].name", "lake white"),
            ("shelf[0].price", "46.00"),
            ("shelf[1].name", "night \"black\""),
            ("shelf[1].price", "3.60"),
            ("book.log", "first line\nsecond\tline"),
            ("remnants", "0"),
            ("shelf", "2"),
            ("book.channels", "1"),
        ]),
        invented: vec!["book.wage".into(), "shelf".into()],
        others: Vec::new(),
    }
}

fn sorted(mut figures: Figures) -> Figures {
    figures.sort();
    figures
}

fn refusal(text: &str) -> (Code, String, String) {
    let error = book::read(text).expect_err("this must be refused");
    (error.code, error.field.clone(), error.message.to_string())
}

/// A file of this version with other figures.
fn file(figures: &Value) -> Value {
    json!({"format": "decal-reckoner shop book", "version": VERSION, "saved": "2026-11-25", "figures": figures})
}

fn with_wage(value: &Value) -> String {
    file(&json!({"book": {"wage": value}})).to_string()
}

#[test]
fn a_file_is_nested_json_that_another_program_reads() {
    let json: Value = serde_json::from_str(&shop().to_json()).expect("the file is JSON");
    let expected = json!({
        "format": "decal-reckoner shop book",
        "version": 2,
        "name": "Heron Lake Lettering (invented)",
        "saved": "2026-11-25",
        "figures": {
            "unit": "in",
            "book": {
                "name": "Heron Lake Lettering (invented)",
                "wage": "18.00",
                "tape": {"price": "28.00"},
                "channels": [{"name": "shop page", "fees": [{"item": "6.5"}, {"item": "3"}]}],
                "log": "first line\nsecond\tline",
            },
            "shelf": [
                {"name": "lake white", "price": "46.00"},
                {"name": "night \"black\"", "price": "3.60"},
            ],
            "remnants": "0",
        },
        "invented": "book.wage shelf",
    });
    assert_eq!(json, expected);
    let lines = shop().to_json();
    assert!(lines.contains("\n      \"wage\": \"18.00\",\n"), "{lines}");
}

#[test]
fn a_book_is_read_back_as_it_was() {
    let read = book::read(&shop().to_json()).expect("the page reads its own file");
    assert_eq!(sorted(read.figures.clone()), sorted(shop().figures));
    assert_eq!(read.invented, shop().invented);
    assert_eq!(read.saved, "2026-11-25");
    assert_eq!(read.others, [""; 0]);
    // What is read and written once more is the same file.
    assert_eq!(read.to_json(), shop().to_json());
}

#[test]
fn a_number_is_taken_as_it_is_written() {
    let text = with_wage(&json!("W")).replace("\"W\"", "18.00");
    let read = book::read(&text).expect("a number is a figure");
    assert_eq!(read.text("book.wage"), "18.00");
}

#[test]
fn a_file_saved_by_a_text_editor_may_begin_with_a_byte_order_mark() {
    assert!(book::read(&format!("\u{feff}{}", shop().to_json())).is_ok());
}

#[test]
fn a_newer_file_is_refused_whatever_else_is_in_it() {
    for version in [json!(3), json!("3"), json!(u64::MAX), json!(100)] {
        let mut newer =
            file(&json!({"book": {"wage": true, "deep": [[[[[[[[[[[[["x"]]]]]]]]]]]]]}}));
        newer["version"] = version.clone();
        let (code, _, message) = refusal(&newer.to_string());
        assert_eq!(code, Code::Impossible, "{version}");
        assert!(message.contains("newer version"), "{message}");
    }
    // The version may stand behind the figures.
    let figures = "{\"format\": \"decal-reckoner shop book\", \"figures\": {\"book\": {\"wage\": null}}, \"version\": 3}";
    assert_eq!(refusal(figures).0, Code::Impossible);
}

#[test]
fn what_is_no_shop_book_is_refused_with_a_reason() {
    let cases = [
        (String::new(), Code::WrongType, ""),
        ("width,height\n9,3\n".into(), Code::WrongType, ""),
        ("[]".into(), Code::NotAChoice, ""),
        ("\"decal-reckoner shop book\"".into(), Code::NotAChoice, ""),
        ("7".into(), Code::NotAChoice, ""),
        (
            json!({"format": "another"}).to_string(),
            Code::NotAChoice,
            "",
        ),
        (
            json!({"format": "decal-reckoner shop book"}).to_string(),
            Code::Missing,
            "version",
        ),
        (
            file(&json!({}))
                .to_string()
                .replace("\"version\":2", "\"version\":0"),
            Code::Missing,
            "version",
        ),
        (
            file(&json!({}))
                .to_string()
                .replace("\"version\":2", "\"version\":-1"),
            Code::Missing,
            "version",
        ),
        (
            file(&json!({}))
                .to_string()
                .replace("\"version\":2", "\"version\":1.5"),
            Code::Missing,
            "version",
        ),
        (file(&json!({})).to_string(), Code::Missing, "figures"),
        (file(&json!([])).to_string(), Code::Missing, "figures"),
        (file(&json!("book")).to_string(), Code::Missing, "figures"),
        // Of no shop: the job's own figures alone.
        (
            file(&json!({"unit": "in", "decal": {"width": "9"}})).to_string(),
            Code::Missing,
            "figures",
        ),
        (
            with_wage(&json!(true)),
            Code::WrongType,
            "figures.book.wage",
        ),
        (
            with_wage(&Value::Null),
            Code::WrongType,
            "figures.book.wage",
        ),
        (
            file(&json!({"shelf": [{"price": "1"}, {"price": false}]})).to_string(),
            Code::WrongType,
            "figures.shelf[1].price",
        ),
    ];
    for (text, code, field) in cases {
        let (found, at, message) = refusal(&text);
        assert_eq!((found, at.as_str()), (code, field), "{text}: {message}");
    }
}

#[test]
fn hostile_names_and_nesting_are_refused() {
    for name in [
        "__proto__",
        "a.b",
        "a[0]",
        "",
        "with space",
        "\u{0}",
        "ü",
        &"a".repeat(1000),
    ] {
        let (code, ..) = refusal(&file(&json!({"book": {"wage": "1", name: "x"}})).to_string());
        assert_eq!(code, Code::WrongType, "{name}");
    }
    // A name that objects of JavaScript have is one like any other: it is no member of anything here.
    let read = book::read(&file(&json!({"book": {"wage": "1", "constructor": "x"}})).to_string());
    assert_eq!(read.expect("letters only").text("book.constructor"), "x");
    // Half a million levels; no stack holds so many calls.
    for (open, close) in [("[", "]"), ("{\"a\":", "}")] {
        let levels = MOST_BYTES / 2 / (open.len() + close.len());
        let deep = format!("{}1{}", open.repeat(levels), close.repeat(levels));
        let text = with_wage(&json!("W")).replace("\"W\"", &deep);
        assert_eq!(refusal(&text).0, Code::WrongType);
        assert_eq!(refusal(&open.repeat(levels)).0, Code::WrongType);
    }
}

#[test]
fn too_much_is_refused() {
    let rows =
        |count: usize| file(&json!({"shelf": vec![json!({"price": "1"}); count]})).to_string();
    assert_eq!(
        book::read(&rows(200)).expect("200 films").text("shelf"),
        "200"
    );
    assert_eq!(refusal(&rows(201)).2, "this list has too many rows");
    assert_eq!(
        refusal(&with_wage(&json!("x".repeat(MOST_BYTES)))).0,
        Code::TooLarge
    );
    // The most that the page holds: it must be able to read its own file.
    let mut full = Book {
        saved: "2026-11-25".into(),
        ..Book::default()
    };
    for list in [
        "shelf",
        "remnants",
        "book.channels",
        "book.supplies",
        "book.designs",
        "book.postage",
    ] {
        for row in 0..200 {
            for member in ["name", "price", "stock", "width", "length", "note"] {
                full.figures
                    .push((format!("{list}[{row}].{member}"), "4 ft 2 in".into()));
            }
        }
        full.figures.push((list.into(), "200".into()));
    }
    let read = book::read(&full.to_json()).expect("a full book is read");
    assert_eq!(sorted(read.figures), sorted(full.figures));
}

#[test]
fn a_name_that_stands_twice_is_refused_and_not_chosen_from() {
    let text = with_wage(&json!("18.00")).replace("\"wage\":", "\"wage\":\"17.00\",\"wage\":");
    assert_eq!(
        refusal(&text),
        (
            Code::WrongType,
            "figures.book.wage".into(),
            "this name stands here twice".into()
        )
    );
    // In two places it is twice as good.
    let twice = file(&json!({"book": {"tape": {"price": "1"}, "film": {"price": "2"}}}));
    assert!(book::read(&twice.to_string()).is_ok());
}

#[test]
fn what_is_no_figure_of_a_shop_is_told_by_name() {
    let mut file = file(
        &json!({"book": {"wage": "18.00"}, "quote": {"pieces": "3"}, "shelf": {"price": "2"}}),
    );
    file["note"] = json!("from the old laptop");
    let mut others = book::read(&file.to_string())
        .expect("the rest is good")
        .others;
    others.sort();
    assert_eq!(others, ["note", "quote.pieces", "shelf.price"]);
}

#[test]
fn a_mistake_of_spelling_is_told_with_its_line() {
    let broken = shop()
        .to_json()
        .replace("\"wage\": \"18.00\",", "\"wage\": \"18.00\"");
    let line = broken
        .lines()
        .position(|line| line.contains("wage"))
        .expect("the wage is there")
        + 2;
    let error = book::read(&broken).expect_err("a comma is missing");
    assert!(
        error.hint.contains(&format!("line {line},")),
        "{}",
        error.hint
    );
    // Cut off within a text.
    let whole = shop().to_json();
    let (cut, _) = whole.split_once("shop pa").expect("the channel is there");
    let error = book::read(cut).expect_err("the end is missing");
    let line = format!("line {},", cut.lines().count());
    assert!(error.hint.contains(&line), "{}", error.hint);
}

/// The names before and after, as both versions of the page have them.
#[test]
fn figures_of_version_1_are_brought_over() {
    let old = figures(&[
        ("unit", "in"),
        ("quote.wage", "21.50"),
        ("quote.pieceTime", "7"),
        ("quote.setupTime", "6"),
        ("quote.spoilage", "4"),
        ("quote.overhead", "0.40"),
        ("quote.tape.price", "28.00"),
        ("quote.tape.width", "12"),
        ("quote.tape.length", "100"),
        ("filmSheet", "3.60"),
        ("filmRoll", "46.00"),
        ("quote.film.length", "30"),
        ("quote.mailer", "0.62"),
        ("quote.card", "0.12"),
        ("quote.channel.percent", "6.5"),
        ("quote.channel.fixed", "0.20"),
        ("quote.payment.percent", "3"),
        ("quote.payment.fixed", "0.25"),
        ("quote.postage.paid", "1.63"),
        ("shelf[0].price", "46.00"),
        ("shelf", "1"),
        ("of.a.later.day", "kept"),
    ]);
    let new = figures(&[
        ("unit", "in"),
        ("book.wage", "21.50"),
        ("book.time.weed", "7"),
        ("book.time.cut", "0"),
        ("book.time.tape", "0"),
        ("book.time.pack", "0"),
        ("book.log", ""),
        ("book.time.setup", "6"),
        ("book.spoilage", "4"),
        ("book.overhead", "0.40"),
        ("book.monthly", "0"),
        ("book.machine.price", "0"),
        ("book.blade.price", "0"),
        ("book.tape.price", "28.00"),
        ("book.tape.width", "12"),
        ("book.tape.length", "100"),
        ("book.film.sheet", "3.60"),
        ("book.film.roll", "46.00"),
        ("book.film.length", "30"),
        ("book.supplies[0].name", "mailer"),
        ("book.supplies[0].per", "posted"),
        ("book.supplies[0].count", "1"),
        ("book.supplies[0].packs", "1 for 0.62"),
        ("book.supplies[1].name", "card"),
        ("book.supplies[1].per", "order"),
        ("book.supplies[1].count", "1"),
        ("book.supplies[1].packs", "1 for 0.12"),
        ("book.supplies", "2"),
        ("book.channels[0].name", "shop page"),
        ("book.channels[0].kind", "post"),
        ("book.channels[0].fees[0].item", "6.5"),
        ("book.channels[0].fees[0].postage", "6.5"),
        ("book.channels[0].fees[0].order", "0.20"),
        ("book.channels[0].fees[1].item", "3"),
        ("book.channels[0].fees[1].order", "0.25"),
        ("book.channels", "1"),
        ("quote.postage.paid", "1.63"),
        ("shelf[0].price", "46.00"),
        ("shelf", "1"),
        ("of.a.later.day", "kept"),
    ]);
    assert_eq!(sorted(book::migrate(1, old.clone())), sorted(new));
    // Whoever typed the old figure typed the new ones, too.
    assert_eq!(book::renamed(1, "quote.wage"), ["book.wage"]);
    assert!(
        book::renamed(1, "quote.channel.percent")
            .contains(&"book.channels[0].fees[0].postage".into())
    );
    assert_eq!(book::renamed(1, "decal.width"), ["decal.width"]);
    // What has this version already stays.
    assert_eq!(book::migrate(VERSION, old.clone()), old);
    assert_eq!(book::renamed(VERSION, "quote.wage"), ["quote.wage"]);
}

#[test]
fn a_file_of_version_1_is_brought_over_too() {
    let mut old = file(&json!({"quote": {"wage": "21.50", "pieces": "3"}, "filmSheet": 3.60}));
    old["version"] = json!(1);
    let read = book::read(&old.to_string()).expect("an older file is read");
    assert_eq!(read.text("book.wage"), "21.50");
    assert_eq!(read.others, ["quote.pieces"]);
}

#[test]
fn a_field_that_was_left_empty_stays_empty() {
    let old = figures(&[("quote.mailer", " "), ("quote.wage", "")]);
    let new = book::migrate(1, old);
    let text = |name: &str| {
        new.iter()
            .find(|(other, _)| other == name)
            .map(|(_, text)| text.as_str())
    };
    assert_eq!(text("book.supplies[0].packs"), Some(""));
    assert_eq!(text("book.wage"), Some(""));
}

#[test]
fn a_figure_whose_new_place_is_taken_is_not_lost() {
    let both = figures(&[("quote.wage", "21.50"), ("book.wage", "18.00")]);
    assert_eq!(sorted(book::migrate(1, both.clone())), sorted(both));
}

#[test]
fn a_file_is_called_by_the_name_of_the_book_and_the_day() {
    let called = |name: &str| {
        let figures = figures(&[("book.name", name)]);
        Book {
            figures,
            saved: "2026-11-25".into(),
            ..Book::default()
        }
        .file_name()
    };
    assert_eq!(
        called("Heron Lake Lettering"),
        "heron-lake-lettering-2026-11-25.json"
    );
    assert_eq!(called(" 2 & 3 / Co. "), "2-3-co-2026-11-25.json");
    assert_eq!(called("../../etc/passwd"), "etc-passwd-2026-11-25.json");
    assert_eq!(called("Ünü"), "n-2026-11-25.json");
    assert_eq!(called("船"), "shop-book-2026-11-25.json");
    assert_eq!(called(""), "a-book-without-a-name-2026-11-25.json");
    assert!(called(&"long ".repeat(1000)).len() <= 80);
}

#[test]
fn differences_are_counted_by_figure() {
    let base = shop();
    let mut other = base.clone();
    assert_eq!(base.differences(&other), 0);
    other.figures.reverse();
    assert_eq!(base.differences(&other), 0);
    other.figures[3].1 = "another".into();
    assert_eq!((base.differences(&other), other.differences(&base)), (1, 1));
    other
        .figures
        .push(("book.channels[1].name".into(), "fair".into()));
    assert_eq!((base.differences(&other), other.differences(&base)), (2, 2));
    other.figures.remove(0);
    assert_eq!((base.differences(&other), other.differences(&base)), (3, 3));
}

/// Common practice for copies, no source: thirty days, or twenty figures.
#[test]
fn a_book_is_due_after_thirty_days_with_a_change_or_twenty_changes() {
    let due = [(0, 20), (30, 1), (400, 400)];
    let not_yet = [(0, 0), (29, 19), (400, 0)];
    assert!(
        due.iter()
            .all(|(days, changes)| book::is_due(*days, *changes))
    );
    assert!(
        !not_yet
            .iter()
            .any(|(days, changes)| book::is_due(*days, *changes))
    );
}

#[test]
fn when_a_book_was_saved_is_told_in_words() {
    let cases = [
        (None, 7, "Never saved to a file."),
        (Some(0), 0, "Saved to a file today, and not changed since."),
        (
            Some(1),
            1,
            "Saved to a file yesterday; one figure has changed since.",
        ),
        (
            Some(23),
            5,
            "Saved to a file 23 days ago; 5 figures have changed since.",
        ),
        (
            Some(u32::MAX),
            0,
            "Saved to a file on a later day than this device's clock says, and not changed since.",
        ),
    ];
    for (days, changes, words) in cases {
        assert_eq!(book::filed_text(days, changes), words);
    }
}

#[test]
fn what_is_the_shops_is_told_from_the_job_in_hand() {
    for name in [
        "book.wage",
        "book.channels[0].fees[1].item",
        "shelf",
        "shelf[0].name",
        "remnants",
        "remnants[3].film",
        "unit",
        "currency",
    ] {
        assert!(book::is_figure(name), "{name}");
    }
    for name in [
        "book",
        "bookish.wage",
        "shelf.x",
        "list",
        "quote.pieces",
        "decal.width",
        "keep",
        "",
    ] {
        assert!(!book::is_figure(name), "{name}");
    }
    assert!(!book::is_typed("unit"));
}

/// The figures of a JSON value as this page names them, told by the other library.
fn flat(value: &Value, path: &str, into: &mut Figures) {
    match value {
        Value::Object(members) => {
            for (name, value) in members {
                flat(value, &format!("{path}.{name}"), into);
            }
        }
        Value::Array(rows) => {
            for (row, value) in rows.iter().enumerate() {
                flat(value, &format!("{path}[{row}]"), into);
            }
            // Lists in rows have as many rows as the page's fields.
            if !path.contains('[') {
                into.push((path.into(), rows.len().to_string()));
            }
        }
        Value::String(text) => into.push((path.into(), text.clone())),
        Value::Number(number) => into.push((path.into(), number.to_string())),
        Value::Bool(_) | Value::Null => {}
    }
}

fn values() -> impl Strategy<Value = Value> {
    let leaf = prop_oneof![
        any::<String>().prop_map(Value::from),
        "[ -~\"\\\\\n\t\u{1}ü€😀]{0,12}".prop_map(Value::from),
        any::<i32>().prop_map(Value::from),
    ];
    leaf.prop_recursive(4, 40, 5, |inner| {
        let members = prop::collection::vec(("[a-z][A-Za-z0-9]{0,3}", inner.clone()), 1..5);
        prop_oneof![
            prop::collection::vec(inner, 1..5).prop_map(Value::from),
            members.prop_map(|members| Value::Object(members.into_iter().collect())),
        ]
    })
}

proptest! {
    /// Whatever the other library writes is read as it means it, and what is written from that means the same.
    #[test]
    fn any_figures_are_read_and_written_as_another_library_does(value in values(), pretty: bool) {
        let file = file(&json!({"book": {"x": value.clone()}}));
        let text = if pretty { serde_json::to_string_pretty(&file) } else { serde_json::to_string(&file) };
        let read = book::read(&text.unwrap()).unwrap();
        let mut expected = Figures::new();
        flat(&value, "book.x", &mut expected);
        prop_assert_eq!(sorted(read.figures.clone()), sorted(expected.clone()));
        let written: Value = serde_json::from_str(&read.to_json()).unwrap();
        let mut again = Figures::new();
        flat(&written["figures"]["book"]["x"], "book.x", &mut again);
        prop_assert_eq!(sorted(again), sorted(expected));
    }

    /// What is no JSON to the other library is none here, and the other way round; no text stops the program.
    #[test]
    fn what_is_json_is_told_as_another_library_tells_it(
        text in prop_oneof![
            any::<String>(),
            "[\\[\\]{}\",:a1 .eE+\\-]{0,14}",
            "\"(\\\\(u[0-9a-fA-F]{4}|[bfnrt\"\\\\/x])|[a ]){0,4}\"",
            "-?[0-9]{0,2}(\\.[0-9]{0,2})?([eE][+-]?[0-9]{0,1})?",
            "(true|false|null|tru|nul)",
        ]
    ) {
        // The other library knows no byte order mark.
        prop_assume!(!text.starts_with('\u{feff}'));
        let known = serde_json::from_str::<Value>(&text).is_ok();
        let error = book::read(&text).unwrap_err();
        prop_assert_eq!(error.message != "this is no JSON text", known, "{}", text);
    }

    /// A good file with a few bytes changed: refused or read, and never a panic.
    #[test]
    fn no_damage_to_a_file_stops_the_program(at: prop::sample::Index, new in any::<char>(), cut: bool) {
        let mut letters: Vec<char> = shop().to_json().chars().collect();
        let at = at.index(letters.len());
        letters[at] = new;
        if cut {
            letters.truncate(at + 1);
        }
        let text: String = letters.into_iter().collect();
        let known = serde_json::from_str::<Value>(&text).is_ok();
        match book::read(&text) {
            Ok(_) => prop_assert!(known),
            Err(error) => prop_assert_eq!(error.message != "this is no JSON text", known, "{}", text),
        }
    }

    /// Nothing that was typed is lost on the way from an old version.
    #[test]
    fn every_text_is_still_there_after_a_step(
        texts in prop::collection::vec(("[a-z]{1,3}", "[a-z0-9]{3,9}"), 0..6),
        known in prop::sample::subsequence(vec!["quote.wage", "quote.mailer", "quote.card", "filmRoll", "quote.payment.fixed"], 0..5),
    ) {
        let mut old = figures(&known.iter().map(|name| (*name, *name)).collect::<Vec<_>>());
        for (name, text) in texts {
            if !old.iter().any(|(other, _)| *other == name) {
                old.push((name, text));
            }
        }
        let new = book::migrate(1, old.clone());
        for (_, text) in old {
            prop_assert!(new.iter().any(|(_, other)| other.contains(&text)), "{}", text);
        }
    }
}

#[test]
fn a_place_of_a_book_has_two_hundred_names_at_most() {
    let with = |count: usize| {
        let names = (0..count).map(|number| (format!("a{number}"), json!("1")));
        file(&json!({"book": names.collect::<serde_json::Map<_, _>>()})).to_string()
    };
    assert_eq!(
        book::read(&with(200)).map(|book| book.figures.len()),
        Ok(200)
    );
    assert_eq!(refusal(&with(201)).0, Code::WrongType);
}
