//! What a customer asks of a card: so many of such a size, and what is told.

use super::RateCard;
use super::check::{Card, Size, read_from};
use crate::decal::SIDE;
use crate::error::{Checks, Code, InputError, InputErrors};
use crate::input::read_by_members;
use crate::legibility;
use crate::measure::{Count, Date, Length, LengthInput, Measured, Unit, required};
use crate::money::{Rounding, TaxKind, plus};
use rust_decimal::Decimal;
use say::say;
use serde::Serialize;

read_by_members! {
    /// What a customer asks.
    #[derive(Clone, Debug, Default, PartialEq)]
    pub struct CardQuestion {
        /// The card that is asked, checked as a whole each time.
        pub card: RateCard,
        /// Unit of a width without one, and of the answer; that of the card if left out.
        pub unit: Option<Unit> = default,
        /// The way of selling by its name; the first one if left out.
        pub channel: Option<String> = default,
        /// The film by its name; the first one if left out.
        pub film: Option<String> = default,
        /// Width over everything that is cut; the least size if left out.
        pub width: Option<LengthInput> = default,
        /// How many; one if left out.
        pub pieces: Option<Count> = default,
        /// What is to be written, where the customer says so; the card's words if left out.
        pub words: Option<String> = default,
        /// The day on which it is asked, as ISO 8601 writes it.
        pub today: String,
    }
}

/// Why no price is told, and the maker is to be asked.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "camelCase")]
pub enum Ask {
    /// The card does not count yet.
    NotYet,
    /// The card's time is over.
    Expired,
    /// Smaller than the least size.
    TooSmall,
    /// Larger than the largest size.
    TooLarge,
    /// More than the card tells a price for.
    TooMany,
    /// The words do not fit into the size.
    Words,
    /// The card has no price for it.
    NoPrice,
}

/// What is told.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "camelCase")]
pub struct CardAnswer {
    /// The unit of every length.
    pub unit: Unit,
    /// ISO 4217 code of every amount.
    pub currency: String,
    /// Decimals that the amounts are shown with.
    pub decimals: u32,
    /// Which edition of the card tells it.
    pub edition: u32,
    /// Why the maker is to be asked, the first reason first; empty where a price is told.
    pub asks: Vec<Ask>,
    /// The way of selling.
    pub channel: String,
    /// The film that was asked for, or the card's first.
    pub film: String,
    /// What is written.
    pub words: String,
    /// How many.
    pub pieces: u32,
    /// Width over everything that is cut.
    pub width: Measured,
    /// The same to the nanometre, for whoever asks again: the text of `width` may be rounded.
    pub exact: String,
    /// Height over everything that is cut; in proportion to the size that is charged.
    pub height: Measured,
    /// The width that is charged, where it is another one: the next size up.
    pub charged: Option<Measured>,
    /// Height of a capital I; none where nothing is written.
    pub letter_height: Option<Measured>,
    /// From how far it can be read; none where it cannot, or where nothing is written.
    pub distance: Option<Measured>,
    /// The price of a piece at this quantity.
    pub price: Option<String>,
    /// All pieces together.
    pub items: Option<String>,
    /// What is charged for postage; none where it is not posted, `0.00` where it is in the price.
    pub postage: Option<String>,
    /// The tax on sales, on top or included, as `tax_kind` says.
    pub tax: Option<String>,
    /// How the tax stands to the price.
    pub tax_kind: TaxKind,
    /// All that is paid.
    pub total: Option<String>,
    /// The prices of a piece by quantity, for this size and film; empty where the card has none.
    pub breaks: Vec<CardBreak>,
    /// The next size that is sold, and what it adds.
    pub larger: Option<LargerSize>,
    /// What is drawn.
    #[serde(skip)]
    pub(super) shown: Size,
}

/// The price of a piece from a quantity on.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "camelCase")]
pub struct CardBreak {
    /// From so many pieces.
    pub from: u32,
    /// What each piece costs from there on, with all decimals of the currency.
    pub price: String,
    /// Whether it is the one that counts.
    pub counts: bool,
}

/// The next size that is sold.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "camelCase")]
pub struct LargerSize {
    /// How wide it is, as the card lists it.
    pub width: Measured,
    /// The same to the nanometre.
    pub exact: String,
    /// How high it is, told to 1/16 in or 1 mm, up.
    pub height: Measured,
    /// By how much a piece costs more.
    pub more: String,
    /// From how far it can be read.
    pub distance: Option<Measured>,
}

/// Answers a customer.
///
/// A size between two that are sold costs what the larger one does, in proportion to which its height is. What the
/// card tells no price for is no mistake: the answer says why to ask.
///
/// # Errors
/// Those of [`check`](super::check) within `card`; a width, a count or a day that cannot be read; a channel or a film
/// that the card does not have.
pub fn ask(question: &CardQuestion) -> Result<CardAnswer, InputErrors> {
    let card = Card::read(&question.card).map_err(|errors| errors.within("card"))?;
    let asked = Asked::read(question, &card)?;
    let unit = question.unit.unwrap_or(question.card.unit);
    let words = asked.words;
    let (size, step) = card.size_for(asked.width);
    let mut asks = card.day_asks(asked.today);
    asks.extend(match step {
        Step::Below => Some(Ask::TooSmall),
        Step::Above => Some(Ask::TooLarge),
        Step::At(_) => None,
    });
    if asked.pieces > card.most {
        asks.push(Ask::TooMany);
    }
    let told = read_from(&question.card.lettering, words, size, unit);
    if told.is_err() {
        asks.push(Ask::Words);
    }
    let told = told.ok().flatten();
    let distance = told
        .as_ref()
        .and_then(|(decal, viewing)| legibility::reads_from(decal, viewing, unit));
    let prices = match step {
        Step::At(index) => Some(&card.prices[asked.channel][asked.film][index]),
        Step::Below | Step::Above => None,
    };
    let counting = card
        .quantities
        .iter()
        .rposition(|from| *from <= asked.pieces);
    let price = prices.and_then(|prices| prices[counting.unwrap_or_default()]);
    if prices.is_some() && price.is_none() {
        asks.push(Ask::NoPrice);
    }
    let money = |amount: Decimal| card.currency.text(amount);
    let breaks = prices
        .into_iter()
        .flatten()
        .zip(&card.quantities)
        .enumerate();
    let breaks = breaks.filter_map(|(index, (price, from))| {
        price.map(|price| CardBreak {
            from: *from,
            price: money(price),
            counts: Some(index) == counting,
        })
    });
    let breaks: Vec<CardBreak> = breaks.collect();
    let channel = &card.channels[asked.channel];
    // What is to be asked about has no price, whatever the card says of a part of it.
    let price = price.filter(|_| asks.is_empty());
    let sum = price.map(|price| card.sum(&asked, price));
    let larger = match step {
        Step::At(index) if asks.is_empty() => card.larger(&asked, index, price, words, unit),
        _ => None,
    };
    let width = card.sizes.get(match step {
        Step::At(index) => index,
        Step::Below | Step::Above => usize::MAX,
    });
    Ok(CardAnswer {
        unit,
        currency: card.currency.code().to_owned(),
        decimals: card.currency.exponent(),
        edition: card.edition,
        channel: question.card.channels[asked.channel].name.clone(),
        film: question.card.films[asked.film].name.clone(),
        words: words.to_owned(),
        pieces: asked.pieces,
        width: size.width.measured(unit),
        exact: exact(size.width),
        height: height(size, unit),
        charged: width
            .filter(|charged| charged.width != size.width)
            .map(|charged| charged.width.measured(unit)),
        letter_height: told
            .as_ref()
            .map(|(decal, _)| decal.letter_height().measured(unit)),
        distance,
        price: price.map(money),
        items: sum.map(|sum| money(sum.items)),
        postage: (channel.posted && price.is_some()).then(|| money(channel.postage)),
        tax: sum
            .filter(|_| channel.tax != TaxKind::None)
            .map(|sum| money(sum.tax)),
        tax_kind: channel.tax,
        total: sum.map(|sum| money(sum.total)),
        breaks,
        larger,
        asks,
        shown: Size {
            letter: told.as_ref().map(|(decal, _)| decal.letter_height()),
            ..size
        },
    })
}

/// A height, which follows from a width: told to 1/16 in or 1 mm, up.
fn height(size: Size, unit: Unit) -> Measured {
    let step = if unit.is_imperial() {
        Length::inches(1, 16)
    } else {
        Length::whole(1, Unit::Mm)
    };
    Measured {
        text: size.height.round_up(step).text(unit),
        ..size.height.measured(unit)
    }
}

/// A length that reads back as it is.
pub(super) fn exact(length: Length) -> String {
    format!("{} mm", length.exact_with_point(Unit::Mm))
}

/// What is asked, read.
struct Asked<'a> {
    channel: usize,
    film: usize,
    width: Length,
    pieces: u32,
    words: &'a str,
    today: Date,
}

/// Where a width lies among the sizes.
#[derive(Clone, Copy)]
enum Step {
    Below,
    /// The size that is charged.
    At(usize),
    Above,
}

impl<'a> Asked<'a> {
    fn read(question: &'a CardQuestion, card: &Card) -> Result<Self, InputErrors> {
        let mut checks = Checks::default();
        let raw = &question.card;
        let channels = raw.channels.iter().map(|channel| channel.name.as_str());
        let channel = checks.take(named(question.channel.as_deref(), channels, "channel"));
        let films = raw.films.iter().map(|film| film.name.as_str());
        let film = checks.take(named(question.film.as_deref(), films, "film"));
        let unit = question.unit.unwrap_or(raw.unit);
        let width = match &question.width {
            None => card.sizes.first().map(|size| size.width),
            Some(width) => checks.take(required(Some(width), "width", unit, SIDE)),
        };
        let pieces = checks.take(Count::optional(question.pieces.as_ref(), "pieces"));
        let today = checks.take(Date::parse(&question.today).map_err(|error| error.at("today")));
        let words = question.words.as_deref().filter(|_| raw.lettering.free);
        let words = words.unwrap_or(&raw.lettering.words);
        checks.finish(())?;
        Ok(Self {
            channel: channel.unwrap_or_default(),
            film: film.unwrap_or_default(),
            width: width.unwrap_or_default(),
            pieces: pieces.flatten().unwrap_or(1),
            words,
            today: today.unwrap_or(card.from),
        })
    }
}

/// The place of a name; the first one where none is told.
fn named<'n>(
    name: Option<&str>,
    mut names: impl Iterator<Item = &'n str>,
    path: &str,
) -> Result<usize, InputError> {
    let Some(name) = name else { return Ok(0) };
    names.position(|other| other == name).ok_or_else(|| {
        let message = say!("the card does not have this");
        let hint = say!("choose one that it lists");
        InputError::new(Code::NotAChoice, message, hint).at(path)
    })
}

/// What an order comes to.
#[derive(Clone, Copy)]
struct Sum {
    items: Decimal,
    tax: Decimal,
    total: Decimal,
}

impl Card<'_> {
    /// The tax is rounded to the minor unit, half of it away from zero, as in the quote.
    fn sum(&self, asked: &Asked, price: Decimal) -> Sum {
        let channel = &self.channels[asked.channel];
        let items = price * Decimal::from(asked.pieces);
        let with_postage = plus(items, channel.postage);
        let taxed = if channel.tax_on_postage {
            with_postage
        } else {
            items
        };
        let tax = channel.tax.on(taxed, channel.rate);
        let tax = self.currency.round(tax, Rounding::HalfAwayFromZero);
        let total = match channel.tax {
            TaxKind::Added => plus(with_postage, tax),
            TaxKind::None | TaxKind::Included => with_postage,
        };
        Sum { items, tax, total }
    }

    fn day_asks(&self, today: Date) -> Vec<Ask> {
        if today < self.from {
            vec![Ask::NotYet]
        } else if self.until.is_some_and(|until| until < today) {
            vec![Ask::Expired]
        } else {
            Vec::new()
        }
    }

    /// The size of a width, in proportion to the one that is charged, and which that is. Beyond the sizes it is in
    /// proportion to the nearest.
    fn size_for(&self, width: Length) -> (Size, Step) {
        let at = self.sizes.iter().position(|size| size.width >= width);
        let step = match at {
            Some(0) if self.sizes[0].width > width => Step::Below,
            Some(index) => Step::At(index),
            None => Step::Above,
        };
        let of = match at {
            Some(index) => self.sizes[index],
            None => self.sizes.last().copied().unwrap_or_default(),
        };
        if width == of.width {
            return (of, step);
        }
        let (part, whole) = (width.nm(), of.width.nm().max(1));
        let size = Size {
            width,
            height: of.height.scaled_up(part, whole),
            letter: of.letter.map(|letter| letter.scaled_down(part, whole)),
        };
        (size, step)
    }

    /// The size after the one at `index`, where it has a price in this quantity.
    fn larger(
        &self,
        asked: &Asked,
        index: usize,
        price: Option<Decimal>,
        words: &str,
        unit: Unit,
    ) -> Option<LargerSize> {
        let size = *self.sizes.get(index + 1)?;
        let counting = self
            .quantities
            .iter()
            .rposition(|from| *from <= asked.pieces)?;
        let dearer = self.prices[asked.channel][asked.film][index + 1][counting]?;
        let told = read_from(&self.raw.lettering, words, size, unit).ok()?;
        Some(LargerSize {
            width: size.width.measured(unit),
            exact: exact(size.width),
            height: height(size, unit),
            more: self.currency.text(dearer - price?),
            distance: told
                .and_then(|(decal, viewing)| legibility::reads_from(&decal, &viewing, unit)),
        })
    }
}
