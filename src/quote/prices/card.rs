//! From the shop book to the rate card: every price that customers are told.

use super::breaks::{floor, least_price, quantities};
use super::{Day, Desk, PricesInput};
use crate::error::{Checks, Code, InputError, InputErrors};
use crate::input::read_by_members;
use crate::material::StockInput;
use crate::measure::{Count, Length, LengthInput, optional};
use crate::money::TaxKind;
use crate::quote::costs::{Growth, Target};
use crate::quote::input::{ChannelInput, ChannelKind, FilmInput};
use crate::rate_card::{self, CardChannel, CardFilm, CardSize, Lettering, RateCard};
use rust_decimal::Decimal;
use say::say;
use serde::Deserialize;

read_by_members! {
    /// What a rate card is made from.
    #[derive(Clone, Debug, Default, PartialEq)]
    pub struct RateCardInput {
        /// The costs, sizes, quantities and channels.
        pub prices: PricesInput,
        /// The films on the shelf.
        pub stock: Vec<StockInput> = default,
        /// The same as they are bought.
        pub bought: Vec<FilmInput> = default,
        /// Which of them are on the card, in their order.
        pub films: Vec<OfferedFilmInput> = default,
        /// How far the price falls with the quantity.
        pub lower: Lower = default,
        /// Which edition it is; the first where left out.
        pub edition: Option<Count> = default,
        /// Who sells.
        pub shop: Option<String> = default,
        /// What is sold.
        pub design: Option<String> = default,
        /// What the maker says beside the prices.
        pub note: Option<String> = default,
        /// Where to ask: an address for mail.
        pub mail: Option<String> = default,
        /// The first day on which it counts.
        pub from: Option<String> = default,
        /// The last one.
        pub until: Option<String> = default,
        /// The most pieces that are told a price; twice the greatest quantity where left out.
        pub most: Option<Count> = default,
        /// Height of a capital I at the quote's own size; worked out from the words where left out.
        pub letter_height: Option<LengthInput> = default,
        /// What is written, and who reads it.
        pub lettering: Lettering = default,
        /// The outline of what is cut, in a box 1,000 wide.
        pub outline: Option<String> = default,
    }
}

read_by_members! {
    /// Whether a film is on the card, and how it looks there.
    #[derive(Clone, Debug, Default, PartialEq)]
    pub struct OfferedFilmInput {
        /// Whether customers may choose it.
        pub offered: bool = default,
        /// Its colour on a screen, `#rrggbb`.
        pub colour: Option<String> = default,
    }
}

/// How far the price of a piece falls with the quantity.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "camelCase")]
pub enum Lower {
    /// As far as the aim is still reached.
    #[default]
    Aim,
    /// As far as the pay an hour stays above the floor.
    Floor,
    /// Not at all.
    No,
}

/// So many quantities between two breaks are reckoned through; of more, so many evenly spread.
const TRIED: u32 = 24;

/// Makes a rate card. It holds prices, and nothing of the costs, fees and aims that they come from.
///
/// A price counts for all quantities up to the next break; no larger size is cheaper than a smaller one, and no larger
/// quantity dearer by the piece, except where the maker's own prices say so. A size with an own price keeps it, in every
/// film and channel, as the price of one.
///
/// # Errors
/// Those of [`prices`](super::prices) within `prices`; [`Code::Impossible`] where no film or no channel is offered,
/// [`Code::Missing`] where no size is and for a film without a price, which would be sold as if it cost nothing; those of [`rate_card::check`].
pub fn rate_card(input: &RateCardInput) -> Result<RateCard, InputErrors> {
    let within = |errors: InputErrors| errors.within("prices");
    let base = Desk::read(&input.prices).map_err(within)?;
    let mut checks = Checks::default();
    let mut froms = checks.take(quantities(input.prices.quantities.as_deref()).map_err(within));
    if let Some(froms) = &mut froms
        && froms.first() != Some(&1)
    {
        froms.insert(0, 1);
    }
    let floor = checks.take(floor(&base).map_err(within));
    let day = checks.take(Day::read(&base).map_err(within));
    let sizes = checks.take(widths(&base));
    let films = checks.take(films(input));
    let channels = checks.take(channels(input));
    let letter = optional(
        input.letter_height.as_ref(),
        "letterHeight",
        base.unit,
        crate::decal::SIDE,
    );
    let letter = checks.take(letter).flatten();
    let most = checks
        .take(Count::optional(input.most.as_ref(), "most"))
        .flatten();
    // Left out it is the first one; what was emptied is to be filled in.
    let edition = input.edition.as_ref().map_or(Ok(1), Count::read);
    let edition = checks.take(edition.map_err(|error| error.at("edition")));
    checks.finish(())?;
    let (Some(froms), Some(sizes), Some(films), Some(channels)) = (froms, sizes, films, channels)
    else {
        // All of them were taken, or a mistake was found.
        return Ok(RateCard::default());
    };
    let greatest = froms.last().copied().unwrap_or(1);
    let most = most.unwrap_or(greatest * 2).min(Count::MAX);
    let maker = Maker {
        input,
        base: &base,
        froms: &froms,
        most,
        floor: floor.unwrap_or_default(),
        day: day.is_some_and(|day| day.is_some()),
    };
    let mut checks = Checks::default();
    let mut prices = Vec::new();
    for channel in &channels {
        let mut of_channel = Vec::new();
        for film in &films {
            let read = maker.prices_of(*channel, *film, &sizes);
            of_channel.push(checks.take(read).unwrap_or_default());
        }
        prices.push(of_channel);
    }
    let card = checks.finish(RateCard {
        format: rate_card::FORMAT.to_owned(),
        version: rate_card::VERSION.into(),
        edition: edition.unwrap_or(1).into(),
        shop: told(input.shop.as_ref()).unwrap_or_default(),
        design: told(input.design.as_ref()).unwrap_or_default(),
        note: told(input.note.as_ref()),
        mail: told(input.mail.as_ref()),
        from: told(input.from.as_ref()).unwrap_or_default(),
        until: told(input.until.as_ref()),
        currency: base.base.terms.currency.code().to_owned(),
        unit: base.unit,
        lettering: input.lettering.clone(),
        sizes: sizes
            .iter()
            .map(|(width, _)| size(&base, *width, letter))
            .collect(),
        films: films.iter().map(|index| film(input, *index)).collect(),
        quantities: froms.iter().map(|from| Count::from(*from)).collect(),
        most: most.into(),
        channels: channels
            .iter()
            .map(|index| channel(input, *index))
            .collect(),
        prices,
        outline: told(input.outline.as_ref()),
    })?;
    // What the page is shown is what everybody else can read.
    let checked = rate_card::check(&card);
    checked.map_err(|errors| errors.moved(|path| typed_at(path, &sizes, &films, &channels)))?;
    Ok(card)
}

/// Where a mistake of the card lies in what it was made from.
fn typed_at(
    path: &str,
    sizes: &[(Length, Option<usize>)],
    films: &[usize],
    channels: &[usize],
) -> String {
    let (list, rest) = path.split_once('[').unwrap_or((path, ""));
    let (place, member) = rest.split_once(']').unwrap_or_default();
    let place = place.parse().unwrap_or(usize::MAX);
    let found = match (list, member) {
        ("currency", _) => Some("prices.quote.currency".to_owned()),
        ("quantities", _) => Some("prices.quantities".to_owned()),
        ("sizes", ".letterHeight") => Some("letterHeight".to_owned()),
        ("sizes", _) => sizes.get(place).map(|(_, rung)| match rung {
            Some(rung) => format!("prices.sizes[{rung}].width"),
            None => "prices.quote.material.pieces[0].width".to_owned(),
        }),
        ("films", ".name") => films.get(place).map(|film| format!("stock[{film}].name")),
        ("films", _) => films
            .get(place)
            .map(|film| format!("films[{film}]{member}")),
        ("channels", _) => channels
            .get(place)
            .map(|channel| format!("prices.channels[{channel}]{member}")),
        _ => None,
    };
    found.unwrap_or_else(|| path.to_owned())
}

/// A text, if there is one.
fn told(text: Option<&String>) -> Option<String> {
    let text = text.map(|text| text.trim())?;
    (!text.is_empty()).then(|| text.to_owned())
}

/// The widths of the ladder, and the place of each in it, from the least to the greatest; the present one where there is
/// no ladder.
fn widths(base: &Desk) -> Result<Vec<(Length, Option<usize>)>, InputErrors> {
    let mut checks = Checks::default();
    let mut widths = Vec::new();
    for (index, size) in base.input.sizes.iter().enumerate() {
        let path = format!("prices.sizes[{index}].width");
        if let Some(width) = checks.take(base.width_at(size.width.as_ref(), &path)) {
            widths.push((width, Some(index)));
        }
    }
    checks.finish(())?;
    if widths.is_empty() {
        widths.push((base.width, None));
    }
    widths.sort_by_key(|(width, _)| *width);
    widths.dedup_by_key(|(width, _)| *width);
    Ok(widths)
}

/// The films that are offered, by their places on the shelf.
fn films(input: &RateCardInput) -> Result<Vec<usize>, InputErrors> {
    let mut checks = Checks::default();
    let offered = |index: &usize| input.films.get(*index).is_some_and(|film| film.offered);
    let films: Vec<usize> = (0..input.stock.len()).filter(offered).collect();
    if films.is_empty() {
        let message = say!("no film is on the card");
        let hint = say!("tick one on the shelf");
        checks.add(InputError::new(Code::Impossible, message, hint).at("films"));
    }
    for index in &films {
        let price = input
            .bought
            .get(*index)
            .and_then(|film| film.price.as_deref());
        let price = price.unwrap_or_default();
        if price.trim().is_empty() || price.bytes().all(|byte| !(b'1'..=b'9').contains(&byte)) {
            let message = say!("without a price this film would be sold as if it cost nothing");
            let hint = say!("type what it costs, or take it off the card");
            checks.add(
                InputError::new(Code::Missing, message, hint).at(format!("bought[{index}].price")),
            );
        }
    }
    checks.finish(films)
}

/// The channels that are offered, by their places in the book.
fn channels(input: &RateCardInput) -> Result<Vec<usize>, InputErrors> {
    let all = input.prices.channels.iter().enumerate();
    let offered = all.filter(|(_, channel)| channel.offered.unwrap_or(true));
    let channels: Vec<usize> = offered.map(|(index, _)| index).collect();
    if channels.is_empty() {
        let message = say!("no channel is on the card");
        let hint = say!("tick one under channels");
        let error = InputError::new(Code::Impossible, message, hint);
        return Err(error.at("prices.channels").into());
    }
    Ok(channels)
}

fn size(base: &Desk, width: Length, letter: Option<Length>) -> CardSize {
    let (of, part) = (base.width.nm(), width.nm());
    CardSize {
        width: Some(width.into()),
        height: Some(base.height.scaled_up(part, of).into()),
        // Down, so that lines of letters that fill the height still fit into it.
        letter_height: letter.map(|letter| letter.scaled_down(part, of).into()),
    }
}

fn film(input: &RateCardInput, index: usize) -> CardFilm {
    let stock = input.stock.get(index);
    let offered = input.films.get(index);
    CardFilm {
        name: stock
            .map(|stock| stock.name.trim().to_owned())
            .unwrap_or_default(),
        colour: offered.and_then(|film| told(film.colour.as_ref())),
    }
}

fn channel(input: &RateCardInput, index: usize) -> CardChannel {
    let fallback = ChannelInput::default();
    let channel = input.prices.channels.get(index).unwrap_or(&fallback);
    let posted = channel.kind != ChannelKind::Fair;
    let currency = crate::money::Currency::parse(&input.prices.quote.currency).unwrap_or_default();
    let charged = input
        .prices
        .quote
        .postage
        .charged
        .as_deref()
        .unwrap_or_default();
    let charged = crate::money::parse_amount(charged, currency).ok();
    let taxed = channel.tax.kind != TaxKind::None;
    CardChannel {
        name: channel
            .name
            .as_deref()
            .unwrap_or_default()
            .trim()
            .to_owned(),
        postage: charged
            .filter(|charged| posted && !charged.is_zero())
            .map(|charged| currency.text(charged)),
        posted,
        tax: channel.tax.kind,
        tax_percent: channel.tax.percent.clone().filter(|_| taxed),
        tax_on_postage: taxed && channel.tax.postage,
    }
}

/// All that the prices are made from.
struct Maker<'a> {
    input: &'a RateCardInput,
    base: &'a Desk<'a>,
    froms: &'a [u32],
    most: u32,
    floor: Decimal,
    /// Whether what is sold over a table bears its part of a day.
    day: bool,
}

impl Maker<'_> {
    /// The prices of a channel and a film, by size and quantity.
    fn prices_of(
        &self,
        channel: usize,
        film: usize,
        sizes: &[(Length, Option<usize>)],
    ) -> Result<Vec<Vec<String>>, InputErrors> {
        let currency = self.base.base.terms.currency;
        let mut all = Vec::new();
        let mut before = vec![currency.minor_unit(); self.froms.len()];
        for (width, rung) in sizes {
            let offer = self.offer(channel, film, *width);
            let growth = if *width == self.base.width {
                Growth::default()
            } else {
                self.base.growth_to(*width)
            };
            let prices = Desk::read_grown(&offer, growth)
                .and_then(|mut desk| {
                    if self.day {
                        desk.day = Day::read(&desk)?;
                    }
                    self.of_size(&desk, *rung, &before)
                })
                .map_err(|errors| errors.moved(|path| placed(path, channel, film, *rung)))?;
            all.push(prices.iter().map(|price| currency.text(*price)).collect());
            before = prices;
        }
        Ok(all)
    }

    /// The question about one size of a film in a channel.
    fn offer(&self, channel: usize, film: usize, width: Length) -> PricesInput {
        let mut offer = self.input.prices.clone();
        let quote = &mut offer.quote;
        if let Some(channel) = self.input.prices.channels.get(channel) {
            quote.channel = channel.clone();
        }
        if let Some(stock) = self.input.stock.get(film) {
            quote.material.sheet.width.clone_from(&stock.width);
            quote.material.sheet.length.clone_from(&stock.length);
            let by = quote.film.by;
            quote.film = self.input.bought.get(film).cloned().unwrap_or_default();
            quote.film.by = by;
            for piece in &mut quote.material.pieces {
                piece.turn &= !stock.patterned;
                let typed = piece
                    .quantity
                    .as_ref()
                    .is_some_and(|typed| *typed != Count::default());
                if stock.length.is_none() && !typed {
                    // As many are cut from a roll at once as from what is in hand.
                    piece.quantity = Some(self.base.base.batch.into());
                }
            }
        }
        if let Some(piece) = quote.material.pieces.first_mut()
            && width != self.base.width
        {
            let height = self.base.height.scaled_up(width.nm(), self.base.width.nm());
            piece.width = Some(width.into());
            piece.height = Some(height.into());
        }
        offer
    }

    /// The prices of a size by quantity; `before` are those of the size before it.
    fn of_size(
        &self,
        desk: &Desk,
        rung: Option<usize>,
        before: &[Decimal],
    ) -> Result<Vec<Decimal>, InputErrors> {
        let own = match rung.and_then(|rung| self.input.prices.sizes.get(rung)) {
            Some(size) => {
                let path = format!("sizes[{}].price", rung.unwrap_or_default());
                desk.base.own(size.price.as_deref(), &path)?
            }
            None => None,
        };
        let own = own.or(desk
            .base
            .own_price
            .filter(|_| desk.width == self.base.width));
        let target = match self.input.lower {
            Lower::Floor => Target::HourlyPay(self.floor),
            Lower::Aim | Lower::No => desk.base.target,
        };
        let mut prices = Vec::new();
        let mut price = desk.base.terms.currency.minor_unit();
        let mut next = None;
        for (from, before) in self.froms.iter().zip(before).rev() {
            let until = next.map_or(self.most.max(*from), |next: u32| next - 1);
            // One piece always asks what the aim needs.
            let target = if *from == 1 { desk.base.target } else { target };
            let least = if own.is_some() {
                price
            } else {
                price.max(*before)
            };
            price = if own.is_some() && (*from == 1 || self.input.lower == Lower::No) {
                own.unwrap_or(least)
            } else {
                least_price(desk, (*from, until), TRIED, target, least)?
            };
            price = own.map_or(price, |own| price.min(own));
            prices.push(price);
            next = Some(*from);
        }
        if self.input.lower == Lower::No {
            let one = prices.last().copied().unwrap_or(price);
            prices.fill(one);
        }
        prices.reverse();
        Ok(prices)
    }
}

/// Where a mistake lies in the input that an offer was made from.
fn placed(path: &str, channel: usize, film: usize, rung: Option<usize>) -> String {
    // A size of the ladder is the piece of its offer.
    if let Some(rung) = rung.filter(|_| path.starts_with("quote.material.pieces[0].")) {
        return format!("prices.sizes[{rung}].width");
    }
    for (inner, outer) in [
        ("quote.material.sheet.", format!("stock[{film}].")),
        ("quote.film.", format!("bought[{film}].")),
        ("quote.channel.", format!("prices.channels[{channel}].")),
    ] {
        if let Some(member) = path.strip_prefix(inner) {
            return format!("{outer}{member}");
        }
    }
    format!("prices.{path}")
}
