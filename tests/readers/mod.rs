//! What the readers of what others hand in must hold to, whatever that is: read by `cargo xtask fuzz` with what chance
//! makes, and by `tests/handed_in.rs` with what is kept.
//!
//! Each reads a text and panics where a law is broken. What it says is whether the text was taken, and in a few words
//! what it was like.

mod book;
mod card;
mod link;
mod list;
mod typed;

use decal_reckoner::error::InputErrors;
use std::fmt::Write as _;

/// What became of a text.
pub struct Told {
    /// Whether all of it was taken.
    pub taken: bool,
    /// What it was like, in a few words that are the same for what is alike.
    pub words: String,
}

impl Told {
    fn taken(words: impl Into<String>) -> Self {
        Self {
            taken: true,
            words: words.into(),
        }
    }

    fn refused(words: impl Into<String>) -> Self {
        Self {
            taken: false,
            words: words.into(),
        }
    }

    /// What is wrong and where, without what differs from text to text.
    fn mistakes(errors: &InputErrors) -> Self {
        let mut words = String::new();
        for error in errors.iter().take(2) {
            // A path may have the name of a member in it that nobody knows.
            let plain = |sign: &char| sign.is_ascii_alphabetic() || *sign == '.';
            let field = error.field.chars().filter(plain);
            let _ = write!(words, "{:?} ", error.code);
            words.extend(field.take(40));
            let message = error.message.split(['`', '(']).next().unwrap_or_default();
            words.extend(message.chars().filter(char::is_ascii_lowercase).take(30));
            assert!(!error.message.is_empty() && !error.hint.is_empty());
        }
        Self::refused(words)
    }
}

/// The readers by their names.
pub const READERS: [&str; 5] = ["link", "card", "book", "list", "typed"];

/// Has a text read by one of the readers, in one of its ways; none where there is no such reader.
pub fn read(reader: &str, way: u8, text: &str) -> Option<Told> {
    Some(match reader {
        "link" => link::read(text),
        "card" => card::read(text),
        "book" => book::read(text),
        "list" => list::read(text, way),
        "typed" => typed::read(text),
        _ => return None,
    })
}

/// How large a number is, in steps of two.
fn size(count: usize) -> u32 {
    usize::BITS - count.leading_zeros()
}
