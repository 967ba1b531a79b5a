//! The rate card: what a customer is told, and nothing else of the shop book.
//!
//! It holds prices for sizes, quantities, films and ways of selling, with what says how far the lettering can be read.
//! Whoever reads it can work out no cost from it beyond what the prices themselves say. A card comes from another
//! place than the page that shows it, so that every member of it is checked before any is used.

mod ask;
mod check;
mod link;
mod picture;
mod totals;

use crate::decal::Face;
use crate::input::read_by_members;
use crate::legibility::conditions::Light;
use crate::legibility::contrast::ContrastInput;
use crate::legibility::{Case, Mount, Reader};
use crate::measure::{Count, LengthInput, NumberInput, Unit};
use crate::money::TaxKind;
pub use ask::{Ask, CardAnswer, CardBreak, CardQuestion, LargerSize, ask};
pub use check::{CardReport, LEAST_YEAR, check};
pub use link::{CardLink, LONGEST_LINK, QuoteLink, link, quote_link, read_quote_link, unlink};
pub use picture::picture;
use serde::Serialize;
pub use totals::{Bargain, bargain};

/// What a card says it is.
pub const FORMAT: &str = "decal-reckoner rate card";

/// Of the members of a card; goes up when they change.
pub const VERSION: u32 = 1;

/// A card lists so many sizes, quantities and channels at most.
pub const MOST: usize = 12;

/// A card lists so many films at most.
pub const MOST_FILMS: usize = 24;

read_by_members! {
    /// A rate card, as it is published. What may be left out and is, is not written.
    #[derive(Clone, Debug, Default, PartialEq, Serialize)]
    #[cfg_attr(not(target_arch = "wasm32"), serde(rename_all = "camelCase"))]
    pub struct RateCard {
        /// Says that a file is a rate card: [`FORMAT`], or it is refused.
        pub format: String,
        /// Which members it may have: [`VERSION`]; a higher one is refused.
        pub version: Count,
        /// Which edition of the maker's card it is, from 1 on; a later one takes the place of an earlier one.
        pub edition: Count,
        /// Who sells.
        pub shop: String,
        /// What is sold.
        pub design: String,
        /// What the maker says beside the prices.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub note: Option<String> = default,
        /// Where to ask: an address for electronic mail.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub mail: Option<String> = default,
        /// The first day on which it counts, as ISO 8601 writes it.
        pub from: String,
        /// The last day on which it counts; without end if left out.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub until: Option<String> = default,
        /// ISO 4217 code of every amount.
        pub currency: String,
        /// Unit of lengths without one.
        pub unit: Unit,
        /// What is written, and who reads it from where.
        pub lettering: Lettering,
        /// The sizes, each wider than the one before it.
        pub sizes: Vec<CardSize>,
        /// The films that customers may choose from, each name once, [`MOST_FILMS`] at most.
        pub films: Vec<CardFilm>,
        /// From how many pieces on a price counts, from 1 on, each more than the one before it.
        pub quantities: Vec<Count>,
        /// The most pieces that are told a price; more are to be asked about.
        pub most: Count,
        /// The ways of selling.
        pub channels: Vec<CardChannel>,
        /// The price of a piece: of each channel, of each film in it, of each size in that, from each quantity on. A
        /// decimal text with all decimals of the currency; empty where it is to be asked about.
        pub prices: Vec<Vec<Vec<Vec<String>>>>,
        /// The outline of what is cut, as path data of SVG in a box 1,000 wide; a picture, and no more.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub outline: Option<String> = default,
    }
}

read_by_members! {
    /// What is written on the decal, and under which conditions it is read. What is left out is as in
    /// [`LegibilityInput`](crate::legibility::LegibilityInput).
    #[derive(Clone, Debug, Default, PartialEq, Serialize)]
    #[cfg_attr(not(target_arch = "wasm32"), serde(rename_all = "camelCase"))]
    pub struct Lettering {
        /// The words, one line of lettering a line.
        #[serde(skip_serializing_if = "String::is_empty")]
        pub words: String = default,
        /// Whether the customer says what is written.
        pub free: bool = default,
        /// The kind of letters, by which the sizes of words are estimated.
        pub face: Face = default,
        /// Who is to read it.
        pub reader: Reader = default,
        /// How sharply that reader sees.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub acuity: Option<String> = default,
        /// How high it is mounted.
        pub mount: Mount = default,
        /// Capitals only, or small letters too.
        pub case: Case = default,
        /// Height of small letters, in percent of capitals'.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub x_height: Option<NumberInput> = default,
        /// How film and ground differ.
        pub contrast: ContrastInput = default,
        /// The light in which it is read.
        pub light: Light = default,
        /// What that light leaves of the distance by day, in percent.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub light_share: Option<NumberInput> = default,
        /// The angle from straight before it to the reader, in degrees.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub aside: Option<NumberInput> = default,
        /// The angle by which its ground slopes away from upright, in degrees.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub rake: Option<NumberInput> = default,
        /// What haze and dirt take off, in percent.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub reserve: Option<NumberInput> = default,
        /// The distance factor of a safety sign.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub factor: Option<Count> = default,
    }
}

read_by_members! {
    /// A size that is sold. One between two of them costs what the wider does.
    #[derive(Clone, Debug, Default, PartialEq, Serialize)]
    #[cfg_attr(not(target_arch = "wasm32"), serde(rename_all = "camelCase"))]
    pub struct CardSize {
        /// Width over everything that is cut.
        pub width: Option<LengthInput>,
        /// Height over everything that is cut.
        pub height: Option<LengthInput>,
        /// Height of a capital I; worked out from the words where it is left out.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub letter_height: Option<LengthInput> = default,
    }
}

read_by_members! {
    /// A film that is offered.
    #[derive(Clone, Debug, Default, PartialEq, Serialize)]
    #[cfg_attr(not(target_arch = "wasm32"), serde(rename_all = "camelCase"))]
    pub struct CardFilm {
        /// What it is called.
        pub name: String,
        /// Its colour on a screen, `#rrggbb`.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub colour: Option<String> = default,
    }
}

read_by_members! {
    /// A way of selling, as the customer knows it.
    #[derive(Clone, Debug, Default, PartialEq, Serialize)]
    #[cfg_attr(not(target_arch = "wasm32"), serde(rename_all = "camelCase"))]
    pub struct CardChannel {
        /// What it is called.
        pub name: String,
        /// What is charged for posting an order beside its price; left out where the order is not posted, or where
        /// postage is in the price.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub postage: Option<String> = default,
        /// Whether the order is posted.
        pub posted: bool = default,
        /// How the tax on sales stands to the price.
        pub tax: TaxKind = default,
        /// Hundredths of the amount before tax; 0 where there is none.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub tax_percent: Option<NumberInput> = default,
        /// Whether postage is taxed as the items are.
        pub tax_on_postage: bool = default,
    }
}
