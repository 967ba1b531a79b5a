//! A book that is taken outlasts being saved and read again, and another reader of JSON agrees on what is JSON.

use super::{Told, size};
use decal_reckoner::book::{self, Figures, MOST_BYTES, is_figure};
use serde::de::IgnoredAny;

pub fn read(text: &str) -> Told {
    let read = book::read(text);
    let bare = text.strip_prefix('\u{feff}').unwrap_or(text);
    let other = serde_json::from_str::<IgnoredAny>(bare).map_err(|error| error.to_string());
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
    assert!(other.is_ok(), "it is no JSON, but was taken: {other:?}");
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
    serde_json::from_str::<IgnoredAny>(&file).expect("what is written is JSON");
    assert!(
        file.len() <= MOST_BYTES,
        "a book that is taken can be saved: {}",
        file.len()
    );
    let again = book::read(&file).expect("what is written is read");
    assert_eq!(sorted(again.figures.clone()), sorted(book.figures.clone()));
    assert_eq!(
        (&again.saved, &again.invented),
        (&book.saved, &book.invented)
    );
    assert_eq!(again.others, [""; 0]);
    assert_eq!(again.to_json(), file);
    assert_eq!(again.differences(&book), 0);
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
