//! The shop book: the figures that are the shop's and not the job's in hand, as a file that people can
//! read.
//!
//! A figure is a text, as it was typed, under the name of its field (`book.wage`, `shelf[0].price`); under
//! the name of a list stands how many rows it has. The file is JSON in which the names are nested. What
//! older versions of the page kept under other names is brought over by steps (`migrate`).

mod json;
mod steps;

use crate::error::{Code, InputError};
use say::say;
pub use steps::{migrate, renamed};

/// Of the names of the figures; goes up when names change, with a step that brings them over.
pub const VERSION: u32 = 2;

/// What a file says it is.
const FORMAT: &str = "decal-reckoner shop book";

/// A file may have so many bytes: far more than any shop has figures.
pub const MOST_BYTES: usize = 1_000_000;

/// After so many days, or so many changed figures, a book should be saved to a file again. Common
/// practice for copies of what is kept in one place only, no source.
const MOST_DAYS: u32 = 30;
const MOST_CHANGES: usize = 20;

/// Texts by the names of their fields.
pub type Figures = Vec<(String, String)>;

/// A shop book as it is read and saved, or as the fields of the page hold it.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Book {
    /// The day on which it was saved, as ISO 8601 writes it; empty where nobody says.
    pub saved: String,
    /// What was typed, by the names of the fields.
    pub figures: Figures,
    /// The names of those that are invented: not the maker's own yet.
    pub invented: Vec<String>,
    /// What stands in its file and is no figure of a shop book, by name; not written again.
    pub others: Vec<String>,
}

/// Whether a field is the shop's, and not the job's in hand. Unit and currency say what bare numbers mean.
#[must_use]
pub fn is_figure(name: &str) -> bool {
    name == "unit" || name == "currency" || is_typed(name)
}

/// The same for the figures themselves, without unit and currency.
#[must_use]
pub fn is_typed(name: &str) -> bool {
    let beginning = name.split(['.', '[']).next().unwrap_or_default();
    let alone = beginning.len() == name.len();
    match beginning {
        "book" => !alone,
        "shelf" | "remnants" => !name.starts_with("shelf.") && !name.starts_with("remnants."),
        _ => false,
    }
}

impl Book {
    /// The text under a name; empty where there is none.
    #[must_use]
    pub fn text(&self, name: &str) -> &str {
        let found = self.figures.iter().find(|(other, _)| other == name);
        found.map_or("", |(_, text)| text)
    }

    /// What the book is called.
    #[must_use]
    pub fn name(&self) -> &str {
        match self.text("book.name").trim() {
            "" => say!("a book without a name"),
            name => name,
        }
    }

    /// The book as the text of a file; [`read`] gives the same book again.
    #[must_use]
    pub fn to_json(&self) -> String {
        let figures = self.figures.iter();
        let figures = figures.map(|(name, text)| (name.as_str(), text.as_str()));
        let mut file = String::from("{\n  \"format\": ");
        json::quote(&mut file, FORMAT);
        let version = format!(",\n  \"version\": {VERSION},\n  \"name\": ");
        file.push_str(&version);
        json::quote(&mut file, self.name());
        file.push_str(",\n  \"saved\": ");
        json::quote(&mut file, &self.saved);
        file.push_str(",\n  \"figures\": ");
        json::write(&mut file, &figures.collect::<Vec<_>>(), true, 1);
        if !self.invented.is_empty() {
            file.push_str(",\n  \"invented\": ");
            json::quote(&mut file, &self.invented.join(" "));
        }
        file.push_str("\n}\n");
        file
    }

    /// What a file of the book is called: its name in small letters, and the day.
    #[must_use]
    pub fn file_name(&self) -> String {
        let mut name = String::new();
        for letter in self.name().chars() {
            if letter.is_ascii_alphanumeric() {
                name.push(letter.to_ascii_lowercase());
            } else if !name.is_empty() && !name.ends_with('-') {
                name.push('-');
            }
            if name.len() == 60 {
                break;
            }
        }
        let name = match name.trim_end_matches('-') {
            "" => "shop-book",
            name => name,
        };
        format!("{name}-{}.json", self.saved)
    }

    /// How many figures differ from those of another book, or stand in one of the two only.
    #[must_use]
    pub fn differences(&self, other: &Self) -> usize {
        let (mut differences, mut same) = (0, 0);
        for (place, (name, text)) in self.figures.iter().enumerate() {
            let at_place = other.figures.get(place).filter(|(found, _)| found == name);
            let found = at_place.or_else(|| other.figures.iter().find(|(found, _)| found == name));
            match found {
                Some((_, found)) => {
                    same += 1;
                    differences += usize::from(found != text);
                }
                None => differences += 1,
            }
        }
        differences + other.figures.len().saturating_sub(same)
    }
}

/// Whether it is time to save a book to a file: so many days ago a maker did so last or put it off, and
/// so many figures have changed since.
#[must_use]
pub fn is_due(days: u32, changes: usize) -> bool {
    changes >= MOST_CHANGES || changes > 0 && days >= MOST_DAYS
}

/// When a book was saved to a file last, and what has changed since; days without end lie ahead.
#[must_use]
pub fn filed_text(days: Option<u32>, changes: usize) -> String {
    let Some(days) = days else {
        return say!("Never saved to a file.").to_owned();
    };
    let saved = match days {
        0 => say!("Saved to a file today").to_owned(),
        1 => say!("Saved to a file yesterday").to_owned(),
        u32::MAX => say!("Saved to a file on a later day than this device's clock says").to_owned(),
        days => say!("Saved to a file {days} days ago"),
    };
    match changes {
        0 => say!("{saved}, and not changed since."),
        changes => say!(
            changes;
            "{saved}; one figure has changed since.",
            "{saved}; {changes} figures have changed since."
        ),
    }
}

/// Reads a book from the text of a file, bringing over what an older version of the page has written.
///
/// # Errors
/// [`Code::TooLarge`] for a file of more than [`MOST_BYTES`], more rows of a list than the page has, or
/// deeper nesting; [`Code::WrongType`] for what is no JSON, for a value that is no text and no number, for
/// a name that no field has; [`Code::NotAChoice`] for JSON of another kind; [`Code::Impossible`] for a file
/// that a newer version has written; [`Code::Missing`] where there are no figures.
pub fn read(text: &str) -> Result<Book, InputError> {
    if text.len() > MOST_BYTES {
        return Err(too_large());
    }
    let file = json::flatten(text)?;
    let mut book = Book::default();
    let (mut format, mut version) = (String::new(), String::new());
    let mut figures = Figures::new();
    for (name, text) in file.texts {
        if let Some(figure) = name.strip_prefix("figures.") {
            figures.push((figure.to_owned(), text));
        } else {
            match name.as_str() {
                "format" => format = text,
                "version" => version = text,
                "saved" => book.saved = text,
                "invented" => {
                    let names = text.split_ascii_whitespace();
                    book.invented = names.map(ToOwned::to_owned).collect();
                }
                // Said for people: the name is a figure, too.
                "name" => {}
                _ => book.others.push(name),
            }
        }
    }
    if format != FORMAT {
        return Err(InputError::new(
            Code::NotAChoice,
            say!("this file is no shop book"),
            say!("choose one that this page has saved"),
        ));
    }
    let version = number(&version).ok_or_else(|| {
        InputError::new(
            Code::Missing,
            say!("this file does not say of which version it is"),
            say!("choose one as this page has saved it"),
        )
        .at("version")
    })?;
    // Before all other mistakes: a newer version may write what is none.
    if version > VERSION {
        return Err(InputError::new(
            Code::Impossible,
            say!("this book was written by a newer version of this page"),
            say!("update the page first: reload it with a network"),
        ));
    }
    if let Some(mistake) = file.mistake {
        return Err(mistake);
    }
    for (name, text) in migrate(version, figures) {
        if is_figure(&name) {
            book.figures.push((name, text));
        } else {
            book.others.push(name);
        }
    }
    if !book.figures.iter().any(|(name, _)| is_typed(name)) {
        return Err(InputError::new(
            Code::Missing,
            say!("this file holds no figures of a shop"),
            say!("choose one as this page has saved it"),
        )
        .at("figures"));
    }
    Ok(book)
}

/// What is said of a file of more than [`MOST_BYTES`], be it read or not.
#[must_use]
pub fn too_large() -> InputError {
    InputError::new(
        Code::TooLarge,
        say!("this file is too large for a shop book"),
        say!("choose one of at most 1 MB"),
    )
}

/// The number of a version; one that is too great to be counted is the greatest.
fn number(text: &str) -> Option<u32> {
    let digits = !text.is_empty() && text.bytes().all(|digit| digit.is_ascii_digit());
    let number = text.parse().unwrap_or(u32::MAX);
    (digits && number > 0).then_some(number)
}
