//! A quote as a link: what was asked, and what was told, behind the `#` of an address, where no server sees it.
//!
//! `quote=1&edition=3&film=lake%20white&width=7%20in&…&check=9af2e0c7`: names and values in this order, percent-encoded
//! by RFC 3986, and at the end a checksum of all that stands before it, by which a link that was cut off or mistyped is
//! told from a good one. It is no seal: whoever writes a link can write any price into it, so that a page tells the
//! card's own and says where the link's was another.

use super::ask::{CardQuestion, ask};
use crate::error::{Code, InputError, InputErrors};
use crate::input::read_by_members;
use crate::measure::Length;
use say::say;
use serde::Serialize;

/// A link has so many characters at most: all browsers, messengers and codes take so many.
pub const LONGEST_LINK: usize = 2_000;

/// Of the members of a link; goes up when they change.
const VERSION: &str = "1";

/// The members in their order, without the version before them and the checksum behind them.
const MEMBERS: [&str; 8] = [
    "edition", "channel", "film", "width", "unit", "pieces", "words", "total",
];

read_by_members! {
    /// A quote as a link.
    #[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
    #[cfg_attr(not(target_arch = "wasm32"), serde(rename_all = "camelCase"))]
    pub struct QuoteLink {
        /// What stands behind the `#` of an address, [`LONGEST_LINK`] characters at most.
        pub link: String,
    }
}

/// The link of a question.
///
/// # Errors
/// Those of [`link`].
pub fn quote_link(question: &CardQuestion) -> Result<QuoteLink, InputErrors> {
    link(question).map(|link| QuoteLink { link })
}

/// What a link says; a `#` before it may be left.
///
/// # Errors
/// Those of [`unlink`], at `link`.
pub fn read_quote_link(link: &QuoteLink) -> Result<CardLink, InputErrors> {
    unlink(&link.link).map_err(|error| error.at("link").into())
}

/// What a link says. Texts, as they were typed once: they are checked like others where they are used.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "camelCase")]
pub struct CardLink {
    /// The edition of the card that told the price.
    pub edition: String,
    /// The way of selling.
    pub channel: String,
    /// The name of the film, as the card had it.
    pub film: String,
    /// The width over everything that is cut, with its unit.
    pub width: String,
    /// The unit in which it was asked.
    pub unit: String,
    /// How many.
    pub pieces: String,
    /// What is to be written.
    pub words: String,
    /// What was to be paid; empty where no price was told.
    pub total: String,
}

/// What stands behind the `#` for this question.
///
/// # Errors
/// Those of [`ask`]; [`Code::TooLarge`] at `words` where it gets longer than [`LONGEST_LINK`].
pub fn link(question: &CardQuestion) -> Result<String, InputErrors> {
    let answer = ask(question)?;
    // As it is told, but read by builds in any language.
    let width = answer.shown.width.text_with_point(answer.unit.for_size());
    let is_exact = Length::parse(&width, answer.unit) == Ok(answer.shown.width);
    let members = [
        answer.edition.to_string(),
        answer.channel,
        answer.film,
        if is_exact { width } else { answer.exact },
        answer.unit.symbol().to_owned(),
        answer.pieces.to_string(),
        answer.words,
        answer.total.unwrap_or_default(),
    ];
    let mut link = format!("quote={VERSION}");
    for (name, value) in MEMBERS.into_iter().zip(&members) {
        link.push('&');
        link.push_str(name);
        link.push('=');
        encode(&mut link, value);
    }
    let check = checksum(&link);
    let link = format!("{link}&check={check}");
    if link.len() > LONGEST_LINK {
        let message = say!("these words make the link too long");
        let hint = say!("write fewer words, or send them beside the link");
        let error = InputError::new(Code::TooLarge, message, hint);
        return Err(error.at("words").into());
    }
    Ok(link)
}

/// Reads what stands behind the `#`; a `#` before it may be left.
///
/// # Errors
/// [`Code::TooLarge`] for a link longer than [`LONGEST_LINK`], [`Code::Impossible`] for one of a newer program,
/// [`Code::WrongType`] for one that is damaged.
pub fn unlink(link: &str) -> Result<CardLink, InputError> {
    let link = link.strip_prefix('#').unwrap_or(link);
    if link.len() > LONGEST_LINK {
        let message = say!("this link is longer than any that is made here");
        return Err(InputError::new(Code::TooLarge, message, AGAIN));
    }
    let version = link.strip_prefix("quote=").ok_or_else(damaged)?;
    let version = version.split('&').next().unwrap_or_default();
    let digits = !version.is_empty() && version.bytes().all(|digit| digit.is_ascii_digit());
    if digits && version != VERSION {
        let message = say!("this link is of another version of this page");
        let hint = say!("reload the page with a network, or ask for a new link");
        return Err(InputError::new(Code::Impossible, message, hint));
    }
    read(link).ok_or_else(damaged)
}

const AGAIN: &str = say!("ask for it again, or choose size and number here");

fn damaged() -> InputError {
    InputError::new(Code::WrongType, say!("this link is damaged"), AGAIN)
}

fn read(link: &str) -> Option<CardLink> {
    let at = link.rfind('&')?;
    let (whole, check) = link.split_at_checked(at)?;
    if check.strip_prefix("&check=")? != checksum(whole) {
        return None;
    }
    let mut members = whole.split('&');
    if members.next()?.strip_prefix("quote=")? != VERSION {
        return None;
    }
    let mut next = MEMBERS.into_iter().map(|name| {
        let value = members.next()?.strip_prefix(name)?.strip_prefix('=')?;
        decode(value)
    });
    let mut next = || next.next().flatten();
    let link = CardLink {
        edition: next()?,
        channel: next()?,
        film: next()?,
        width: next()?,
        unit: next()?,
        pieces: next()?,
        words: next()?,
        total: next()?,
    };
    // What goes on is none of ours.
    members.next().is_none().then_some(link)
}

/// Percent-encodes all but what RFC 3986, section 2.3, leaves as it is.
fn encode(into: &mut String, text: &str) {
    const DIGITS: [char; 16] = [
        '0', '1', '2', '3', '4', '5', '6', '7', '8', '9', 'A', 'B', 'C', 'D', 'E', 'F',
    ];
    for byte in text.bytes() {
        if byte.is_ascii_alphanumeric() || b"-._~".contains(&byte) {
            into.push(char::from(byte));
        } else {
            into.push('%');
            into.push(DIGITS[usize::from(byte >> 4)]);
            into.push(DIGITS[usize::from(byte & 15)]);
        }
    }
}

/// The text again; none where it is not encoded as [`encode`] does.
fn decode(value: &str) -> Option<String> {
    let mut bytes = Vec::new();
    let mut rest = value.bytes();
    while let Some(byte) = rest.next() {
        bytes.push(match byte {
            b'%' => {
                let mut digit = || char::from(rest.next()?).to_digit(16);
                u8::try_from(digit()? * 16 + digit()?).ok()?
            }
            byte => byte,
        });
    }
    let text = String::from_utf8(bytes).ok()?;
    // One text has one writing, so that a quote has one link.
    let mut written = String::new();
    encode(&mut written, &text);
    (written == value).then_some(text)
}

/// FNV-1a of 32 bits (RFC 9923), in eight digits of base 16. Any single character that is another one changes it.
fn checksum(text: &str) -> String {
    let step = |hash: u32, byte: u8| (hash ^ u32::from(byte)).wrapping_mul(0x0100_0193);
    let hash = text.bytes().fold(0x811c_9dc5, step);
    format!("{hash:08x}")
}

#[cfg(test)]
mod tests {
    use super::{checksum, decode, encode};

    /// Test vectors of FNV-1a, 32 bits: the published list of `test_fnv.c` (from memory).
    #[test]
    fn the_checksum_is_that_of_its_publication() {
        let known = [("", "811c9dc5"), ("a", "e40c292c"), ("foobar", "bf9cf968")];
        for (text, sum) in known {
            assert_eq!(checksum(text), sum, "{text}");
        }
    }

    /// RFC 3986, section 2.5: `A` with grave is `%C3%80`, katakana `A` is `%E3%82%A2`.
    #[test]
    fn characters_are_encoded_as_the_standard_says() {
        for (text, encoded) in [
            ("À", "%C3%80"),
            ("ア", "%E3%82%A2"),
            ("a b&c=%", "a%20b%26c%3D%25"),
        ] {
            let mut told = String::new();
            encode(&mut told, text);
            assert_eq!(told, encoded);
            assert_eq!(decode(&told).as_deref(), Some(text));
        }
        assert_eq!(decode("%"), None);
        assert_eq!(decode("%4"), None);
        assert_eq!(decode("%zz"), None);
        assert_eq!(decode("%ff"), None);
        // What may be written in another way is not.
        for other in ["%c3%80", "%41", "a b", "À", "a+b=c"] {
            assert_eq!(decode(other), None, "{other}");
        }
    }
}
