//! A link that is taken is the one link of what it says, and asks a card without harm.

use super::Told;
use decal_reckoner::api::decode;
use decal_reckoner::error::Code;
use decal_reckoner::measure::Unit;
use decal_reckoner::rate_card::{
    CardLink, CardQuestion, LONGEST_LINK, RateCard, quote_link, read_quote_link, unlink,
};
use std::fmt::Write as _;
use std::sync::LazyLock;

#[path = "../rate_cards/card.rs"]
mod example;

static CARD: LazyLock<RateCard> =
    LazyLock::new(|| decode(&example::card().to_string()).expect("the card is a good one"));

pub fn read(text: &str) -> Told {
    let link = match unlink(text) {
        Ok(link) => link,
        Err(error) => return Told::mistakes(&error.into()),
    };
    let plain = text.strip_prefix('#').unwrap_or(text);
    assert_eq!(written(&link), plain, "one link for one thing");
    assert!(plain.len() <= LONGEST_LINK);
    let asked = question(&link, &CARD, "2026-11-28");
    match quote_link(&asked) {
        Ok(made) => {
            same_again(&asked, &made.link);
            Told::taken("told")
        }
        Err(errors) => Told::taken(format!("asked {}", Told::mistakes(&errors).words)),
    }
}

/// A link that was made says what makes it again.
pub fn same_again(question: &CardQuestion, made: &str) {
    let link = read_quote_link(&decal_reckoner::rate_card::QuoteLink { link: made.into() });
    let link = link.expect("what was made is read");
    let again = self::question(&link, &question.card, &question.today);
    let again = quote_link(&again).expect("what was told once is told again");
    assert_eq!(again.link, made);
}

/// No link is refused but for its length.
pub fn of(question: &CardQuestion) {
    match quote_link(question) {
        Ok(made) => same_again(question, &made.link),
        Err(errors) => {
            let error = errors.first();
            assert_eq!(
                (error.code, error.field.as_str()),
                (Code::TooLarge, "words")
            );
        }
    }
}

/// What a link asks of a card.
fn question(link: &CardLink, card: &RateCard, today: &str) -> CardQuestion {
    CardQuestion {
        card: card.clone(),
        unit: Unit::from_symbol(&link.unit),
        channel: Some(link.channel.clone()),
        film: Some(link.film.clone()),
        width: Some(link.width.as_str().into()),
        pieces: Some(link.pieces.as_str().into()),
        words: Some(link.words.clone()),
        today: today.to_owned(),
    }
}

/// Another writer of links: RFC 3986, section 2, with capital digits as its section 6.2.2.1 has them, and FNV-1a of 32
/// bits by RFC 9923.
fn written(link: &CardLink) -> String {
    let mut text = String::from("quote=1");
    for (name, value) in [
        ("edition", &link.edition),
        ("channel", &link.channel),
        ("film", &link.film),
        ("width", &link.width),
        ("unit", &link.unit),
        ("pieces", &link.pieces),
        ("words", &link.words),
        ("total", &link.total),
    ] {
        let _ = write!(text, "&{name}=");
        for byte in value.bytes() {
            match byte {
                b'a'..=b'z' | b'A'..=b'Z' | b'0'..=b'9' | b'-' | b'.' | b'_' | b'~' => {
                    text.push(char::from(byte));
                }
                byte => {
                    let _ = write!(text, "%{byte:02X}");
                }
            }
        }
    }
    let mut sum: u32 = 2_166_136_261;
    for byte in text.bytes() {
        sum = (sum ^ u32::from(byte)).wrapping_mul(16_777_619);
    }
    let _ = write!(text, "&check={sum:08x}");
    text
}
