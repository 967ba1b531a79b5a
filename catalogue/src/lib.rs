//! Texts of a program in other languages, as GNU gettext has them: the English text in the source is the key, and a
//! catalogue of each further language (`locales/es.po`) has the same text in that language.

mod call;

pub use call::{Call, Trouble, calls_in};
pub use polib::catalog::Catalog;
pub use polib::message::{Message, MessageView};
pub use polib::po_file;

use std::collections::BTreeSet;
use std::fmt::Display;
use std::fs;
use std::path::Path;

/// The catalogue in a file.
///
/// # Errors
/// When it cannot be read, or is no catalogue.
pub fn read(file: &Path) -> Result<Catalog, String> {
    let trouble = |why: &dyn Display| format!("{}: {why}", file.display());
    let text = fs::read_to_string(file).map_err(|error| trouble(&error))?;
    // Programs of translators begin a file with an empty comment, which the reader takes for one of no entry.
    let lines = text.lines().filter(|line| *line != "#");
    let text = lines.collect::<Vec<_>>().join("\n");
    po_file::parse_from_reader(text.as_bytes()).map_err(|error| trouble(&error))
}

/// What a catalogue has for a call: one text, or one for each number that the language knows. None where it has nothing.
#[must_use]
pub fn translated(catalogue: &Catalog, call: &Call) -> Option<Vec<String>> {
    let texts: Vec<&str> = call.texts.iter().map(|(text, _)| text.as_str()).collect();
    let message =
        catalogue.find_message(call.context.as_deref(), texts[0], texts.get(1).copied())?;
    if !message.is_translated() || message.is_fuzzy() {
        return None;
    }
    match message.msgstr_plural() {
        Ok(texts) => Some(texts.clone()),
        Err(_) => Some(vec![message.msgstr().ok()?.to_owned()]),
    }
}

/// The names that stand in braces in a text: `count` and `size` in `{count} of {size}`. Doubled braces are braces.
///
/// # Errors
/// When a brace is left open, or what stands in braces is no name.
pub fn names(text: &str) -> Result<BTreeSet<String>, String> {
    let mut names = BTreeSet::new();
    let mut letters = text.chars().peekable();
    while let Some(letter) = letters.next() {
        if !matches!(letter, '{' | '}') {
            continue;
        }
        if letters.next_if_eq(&letter).is_some() {
            continue;
        }
        let name: String = letters
            .by_ref()
            .take_while(|letter| *letter != '}')
            .collect();
        let is_name = |name: &str| {
            name.chars()
                .all(|letter| letter.is_ascii_alphanumeric() || letter == '_')
        };
        if letter == '}' || name.is_empty() || !is_name(&name) {
            return Err(format!("what stands in braces must be a name: {text}"));
        }
        names.insert(name);
    }
    Ok(names)
}
