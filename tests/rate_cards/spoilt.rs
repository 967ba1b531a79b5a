//! What is wrong with a card, and how it is told.

use decal_reckoner::error::Code;
use serde_json::{Value, json};

/// Members of the card of `book`, each with a value that spoils it, and the mistake that is then told, with its place.
#[expect(clippy::too_many_lines, reason = "a table")]
pub fn spoilt() -> Vec<(&'static str, Value, Code, &'static str)> {
    let long = "x".repeat(81);
    vec![
        ("/format", json!("a shop book"), Code::NotAChoice, "format"),
        ("/version", json!(2), Code::Impossible, "version"),
        ("/version", json!("none"), Code::NotANumber, "version"),
        ("/edition", json!(0), Code::TooSmall, "edition"),
        ("/edition", json!(1.5), Code::NotWhole, "edition"),
        ("/shop", json!(" "), Code::Missing, "shop"),
        ("/shop", json!(long), Code::TooLarge, "shop"),
        ("/shop", json!("a\u{202e}b"), Code::WrongType, "shop"),
        ("/design", json!("a\nb"), Code::WrongType, "design"),
        ("/design", json!(7), Code::WrongType, "design"),
        ("/mail", json!("a@b"), Code::WrongType, "mail"),
        (
            "/mail",
            json!("a@b.example?bcc=c@d.example"),
            Code::WrongType,
            "mail",
        ),
        ("/mail", json!("a@b@c.example"), Code::WrongType, "mail"),
        ("/from", json!("28.11.2026"), Code::NotANumber, "from"),
        ("/from", json!("1999-12-31"), Code::TooSmall, "from"),
        ("/until", json!("2026-11-27"), Code::Impossible, "until"),
        ("/until", json!("2027-02-30"), Code::Impossible, "until"),
        ("/currency", json!("dollars"), Code::NotAChoice, "currency"),
        ("/unit", json!("ell"), Code::NotAChoice, "unit"),
        (
            "/lettering/face",
            json!("gothic"),
            Code::NotAChoice,
            "lettering.face",
        ),
        (
            "/lettering/acuity",
            json!("eagle"),
            Code::NotANumber,
            "lettering.acuity",
        ),
        (
            "/lettering/words",
            json!("x".repeat(201)),
            Code::TooLarge,
            "lettering.words",
        ),
        ("/sizes", json!([]), Code::Missing, "sizes"),
        (
            "/sizes/0/width",
            json!("0 in"),
            Code::TooSmall,
            "sizes[0].width",
        ),
        (
            "/sizes/0/width",
            json!("-6 in"),
            Code::TooSmall,
            "sizes[0].width",
        ),
        (
            "/sizes/0/width",
            json!("60 ells"),
            Code::UnknownUnit,
            "sizes[0].width",
        ),
        (
            "/sizes/1/width",
            json!("6 in"),
            Code::TooSmall,
            "sizes[1].width",
        ),
        (
            "/sizes/1/height",
            json!(null),
            Code::Missing,
            "sizes[1].height",
        ),
        ("/films", json!([]), Code::Missing, "films"),
        ("/films/0/name", json!(""), Code::Missing, "films[0].name"),
        (
            "/films/1/name",
            json!("lake white"),
            Code::Impossible,
            "films[1].name",
        ),
        (
            "/films/0/colour",
            json!("red"),
            Code::WrongType,
            "films[0].colour",
        ),
        (
            "/films/0/colour",
            json!("url(x)"),
            Code::WrongType,
            "films[0].colour",
        ),
        (
            "/quantities",
            json!([2, 5, 10]),
            Code::TooSmall,
            "quantities[0]",
        ),
        (
            "/quantities",
            json!([1, 5, 5]),
            Code::TooSmall,
            "quantities[2]",
        ),
        ("/most", json!(9), Code::TooSmall, "most"),
        ("/most", json!(1e9), Code::TooLarge, "most"),
        ("/channels", json!([]), Code::Missing, "channels"),
        (
            "/channels/0/postage",
            json!("2.5"),
            Code::NotANumber,
            "channels[0].postage",
        ),
        (
            "/channels/0/postage",
            json!("-2.50"),
            Code::TooSmall,
            "channels[0].postage",
        ),
        (
            "/channels/0/taxPercent",
            json!(101),
            Code::TooLarge,
            "channels[0].taxPercent",
        ),
        (
            "/channels/1/name",
            json!("shop page"),
            Code::Impossible,
            "channels[1].name",
        ),
        (
            "/channels/1/postage",
            json!("1.00"),
            Code::Impossible,
            "channels[1].postage",
        ),
        ("/prices", json!([]), Code::Impossible, "prices"),
        (
            "/prices/0/1/2",
            json!(["9.99"]),
            Code::Impossible,
            "prices[0][1][2]",
        ),
        (
            "/prices/0/1/2/0",
            json!("9.9"),
            Code::NotANumber,
            "prices[0][1][2][0]",
        ),
        (
            "/prices/0/1/2/0",
            json!(9.99),
            Code::WrongType,
            "prices[0][1][2][0]",
        ),
        (
            "/prices/0/1/2/0",
            json!("<b>9.99"),
            Code::NotANumber,
            "prices[0][1][2][0]",
        ),
    ]
}
