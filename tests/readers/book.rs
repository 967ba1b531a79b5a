//! A book that is taken outlasts being saved and read again, and another reader of JSON agrees on what is JSON.

use super::{Told, size};
use decal_reckoner::book::{self, Figures, MOST_BYTES, is_figure};
use decal_reckoner::error::Code;
use serde_json::Value;
use std::collections::BTreeSet;

pub fn read(text: &str) -> Told {
    let read = book::read(text);
    let bare = text.strip_prefix('\u{feff}').unwrap_or(text);
    let other = serde_json::from_str::<Value>(bare).map_err(|error| error.to_string());
    // A number is a text here, however large it is.
    let large = |error: &String| error.starts_with("number out of range");
    let book = match read {
        Ok(book) => book,
        Err(error) => {
            assert!(
                error.message != "this is no JSON text" || other.is_err(),
                "it is JSON, but was refused as none: {error:?}"
            );
            return Told::mistakes(&error.into());
        }
    };
    let json = other.is_ok() || other.as_ref().is_err_and(large);
    assert!(json, "it is no JSON, but was taken: {other:?}");
    assert!(book.figures.iter().all(|(name, _)| is_figure(name)));
    let names = sorted(
        book.figures
            .iter()
            .map(|(name, _)| (name.clone(), String::new()))
            .collect(),
    );
    assert!(
        names.windows(2).all(|pair| pair[0] != pair[1]),
        "a name stands for one figure"
    );
    let file = book.to_json();
    serde_json::from_str::<Value>(&file).expect("what is written is JSON");
    if file.len() > MOST_BYTES {
        // Its line breaks alone can make a file of nearly as many bytes too long, which no shop's is.
        assert_eq!(
            book::read(&file).map_err(|error| error.code),
            Err(Code::TooLarge)
        );
        assert!(text.len() > MOST_BYTES / 20);
        return Told::taken("book beyond all sizes");
    }
    let again = book::read(&file).expect("what is written is read");
    // All figures are as they were. How many rows a list has is counted anew: rows at its end in which nothing stands are
    // none, and a file of the first version may not have said it.
    let lists: BTreeSet<&str> = book
        .figures
        .iter()
        .filter_map(|(name, _)| name.split_once('[').map(|(list, _)| list))
        .collect();
    let kept = |figures: &Figures| {
        let told = figures
            .iter()
            .filter(|(name, _)| !lists.contains(name.as_str()));
        sorted(told.cloned().collect())
    };
    assert_eq!(kept(&again.figures), kept(&book.figures));
    for list in &lists {
        let rows = |text: &str| text.parse::<usize>().ok();
        let told = rows(again.text(list)).expect("a list that is written has its rows");
        assert!(
            rows(book.text(list)).is_none_or(|rows| told <= rows),
            "{list}"
        );
    }
    assert!(again.differences(&book) <= lists.len());
    assert_eq!(
        (&again.saved, &again.invented),
        (&book.saved, &book.invented)
    );
    assert_eq!(again.others, [""; 0]);
    assert_eq!(again.to_json(), file);
    let once_more = book::read(&file).expect("it was read before");
    assert_eq!(once_more.differences(&again), 0);
    let name = book.file_name();
    let plain = |sign: char| sign.is_ascii_lowercase() || sign.is_ascii_digit() || sign == '-';
    let front = &name[..name.len() - book.saved.len() - "-.json".len()];
    assert!(!front.is_empty() && front.chars().all(plain), "{name}");
    Told::taken(format!(
        "book {} {} {}",
        size(book.figures.len()),
        size(book.others.len()),
        size(book.invented.len())
    ))
}

fn sorted(mut figures: Figures) -> Figures {
    figures.sort();
    figures
}
