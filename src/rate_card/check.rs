//! A card is checked as a whole before anything of it is used.

use super::ask::exact;
use super::{CardChannel, CardSize, FORMAT, Lettering, MOST, MOST_FILMS, RateCard, VERSION};
use crate::decal::{Decal, DecalInput, SIDE};
use crate::error::{Checks, Code, InputError, InputErrors};
use crate::legibility::{self, LegibilityInput, Viewing};
use crate::measure::{Count, Date, Length, LengthInput, Unit, required};
use crate::money::{Currency, TaxKind, parse_amount, parse_percent};
use rust_decimal::Decimal;
use say::say;
use serde::Serialize;

/// Names are so long at most, notes and outlines so long.
const LONGEST_NAME: usize = 80;
const LONGEST_NOTE: usize = 600;
const LONGEST_OUTLINE: usize = 100_000;

/// Dates of cards begin here: an earlier one was mistyped.
pub const LEAST_YEAR: &str = "2000-01-01";

/// What a page needs to know of a card before anything is asked.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "camelCase")]
pub struct CardReport {
    /// Who sells.
    pub shop: String,
    /// What is sold.
    pub design: String,
    /// What the maker says beside the prices.
    pub note: Option<String>,
    /// Where to ask.
    pub mail: Option<String>,
    /// Which edition of the maker's card it is, from 1 on.
    pub edition: u32,
    /// The first day on which it counts.
    pub from: String,
    /// The last one, if there is one.
    pub until: Option<String>,
    /// ISO 4217 code of every amount.
    pub currency: String,
    /// Decimals that the amounts are shown with.
    pub decimals: u32,
    /// The unit in which sizes are told.
    pub unit: Unit,
    /// What is written.
    pub words: String,
    /// Whether the customer says what is written.
    pub free: bool,
    /// The widths that are sold, to the nanometre, the least first.
    pub widths: Vec<String>,
    /// The films that customers may choose from, in the card's order.
    pub films: Vec<FilmName>,
    /// The ways of selling.
    pub channels: Vec<String>,
    /// The most pieces that are told a price.
    pub most: u32,
    /// The outline of what is cut, in a box 1,000 wide.
    pub outline: Option<String>,
}

/// A film as it is offered.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "camelCase")]
pub struct FilmName {
    /// What it is called.
    pub name: String,
    /// Its colour on a screen.
    pub colour: Option<String>,
}

/// What a page needs to know of a card, if it is a good one.
///
/// # Errors
/// [`Code::NotAChoice`] for an object of another kind, [`Code::Impossible`] for the card of a newer program and for
/// members that contradict each other; of every member what is wrong with it.
pub fn check(card: &RateCard) -> Result<CardReport, InputErrors> {
    let card = Card::read(card)?;
    let raw = card.raw;
    Ok(CardReport {
        shop: raw.shop.clone(),
        design: raw.design.clone(),
        note: raw.note.clone(),
        mail: raw.mail.clone(),
        edition: card.edition,
        from: raw.from.clone(),
        until: raw.until.clone(),
        currency: card.currency.code().to_owned(),
        decimals: card.currency.exponent(),
        unit: raw.unit,
        words: raw.lettering.words.clone(),
        free: raw.lettering.free,
        widths: card.sizes.iter().map(|size| exact(size.width)).collect(),
        films: raw
            .films
            .iter()
            .map(|film| FilmName {
                name: film.name.clone(),
                colour: film.colour.clone(),
            })
            .collect(),
        channels: raw
            .channels
            .iter()
            .map(|channel| channel.name.clone())
            .collect(),
        most: card.most,
        outline: raw.outline.clone(),
    })
}

/// A card whose members are all good.
pub(super) struct Card<'a> {
    pub raw: &'a RateCard,
    pub edition: u32,
    pub from: Date,
    pub until: Option<Date>,
    pub currency: Currency,
    pub sizes: Vec<Size>,
    pub quantities: Vec<u32>,
    pub most: u32,
    pub channels: Vec<Channel>,
    /// In the order of the card's; none where it is to be asked about.
    pub prices: Vec<Vec<Vec<Vec<Option<Decimal>>>>>,
}

/// A size that is sold.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) struct Size {
    pub width: Length,
    pub height: Length,
    /// None where it follows from the words.
    pub letter: Option<Length>,
}

/// A way of selling.
pub(super) struct Channel {
    pub postage: Decimal,
    pub posted: bool,
    pub tax: TaxKind,
    /// Fraction of the amount before tax.
    pub rate: Decimal,
    pub tax_on_postage: bool,
}

impl<'a> Card<'a> {
    pub(super) fn read(raw: &'a RateCard) -> Result<Self, InputErrors> {
        // Before all other mistakes: a newer card may say what is none.
        its_kind(raw)?;
        let mut checks = Checks::default();
        let edition = checks.take(counted(&raw.edition, 1_000_000, "edition"));
        for (text, path) in [(&raw.shop, "shop"), (&raw.design, "design")] {
            checks.take(name(text, path));
        }
        checks.take(note(raw.note.as_deref()));
        checks.take(mail(raw.mail.as_deref()));
        checks.take(outline(raw.outline.as_deref()));
        let from = checks.take(day(&raw.from, "from"));
        let until = raw.until.as_deref().map(|until| day(until, "until"));
        let until = until.and_then(|until| checks.take(until));
        if let (Some(from), Some(until)) = (from, until)
            && until < from
        {
            let message = say!("the card ends before it begins");
            let hint = say!("write a later day");
            checks.add(InputError::new(Code::Impossible, message, hint).at("until"));
        }
        let currency = Currency::parse(&raw.currency).map_err(|error| error.at("currency"));
        let currency = checks.take(currency).unwrap_or_default();
        let sizes = sizes(&raw.sizes, raw.unit, &mut checks);
        films(raw, &mut checks);
        let quantities = quantities(&raw.quantities, &mut checks);
        let most = checks.take(counted(&raw.most, Count::MAX, "most"));
        if let (Some(most), Some(last)) = (most, quantities.last())
            && most < *last
        {
            let message = say!("less than the greatest quantity with a price");
            let hint = say!("write at least as many");
            checks.add(InputError::new(Code::TooSmall, message, hint).at("most"));
        }
        let channels = channels(&raw.channels, currency, &mut checks);
        let counts = [
            raw.channels.len(),
            raw.films.len(),
            raw.sizes.len(),
            raw.quantities.len(),
        ];
        let prices = prices(&raw.prices, counts, currency, &mut checks);
        let card = checks.finish(Self {
            raw,
            edition: edition.unwrap_or_default(),
            from: from.unwrap_or(Date::parse(LEAST_YEAR)?),
            until,
            currency,
            sizes,
            quantities,
            most: most.unwrap_or_default(),
            channels,
            prices,
        })?;
        // What is written must be legible in every size, or no distance could be told.
        let mut checks = Checks::default();
        for (index, size) in card.sizes.iter().enumerate() {
            if let Err(errors) = read_from(&raw.lettering, &raw.lettering.words, *size, raw.unit) {
                checks.add(errors.moved(|path| match path {
                    "decal.letterHeight" | "decal.width" | "decal.height" => {
                        format!("sizes[{index}].{}", &path["decal.".len()..])
                    }
                    "decal.lettering" => "lettering.words".to_owned(),
                    "decal.face" => "lettering.face".to_owned(),
                    _ => format!("lettering.{path}"),
                }));
                break;
            }
        }
        checks.finish(card)
    }
}

/// The decal of a size with these words, and who reads it; none of a picture without letters, which is not read.
///
/// # Errors
/// Those of [`legibility::read`].
pub(super) fn read_from(
    lettering: &Lettering,
    words: &str,
    size: Size,
    unit: Unit,
) -> Result<Option<(Decal, Viewing)>, InputErrors> {
    if words.trim().is_empty() && size.letter.is_none() {
        return Ok(None);
    }
    let mut decal = DecalInput {
        lettering: Some(words.to_owned()),
        width: Some(size.width.into()),
        height: Some(size.height.into()),
        face: lettering.face,
        ..DecalInput::default()
    };
    // The card's height of letters is that of its own words; others may have more lines, or longer ones.
    let other = words.trim() != lettering.words.trim() && !words.trim().is_empty();
    let letter = match size.letter {
        Some(letter) if other => Some(Decal::read(&decal, unit)?.letter_height().min(letter)),
        letter => letter,
    };
    decal.letter_height = letter.map(LengthInput::from);
    let question = LegibilityInput {
        unit,
        decal,
        reader: lettering.reader,
        acuity: lettering.acuity.clone(),
        mount: lettering.mount,
        case: lettering.case,
        x_height: lettering.x_height.clone(),
        contrast: lettering.contrast.clone(),
        light: lettering.light,
        light_share: lettering.light_share.clone(),
        aside: lettering.aside.clone(),
        rake: lettering.rake.clone(),
        reserve: lettering.reserve.clone(),
        factor: lettering.factor.clone(),
        ..LegibilityInput::default()
    };
    legibility::read(&question).map(Some)
}

fn its_kind(raw: &RateCard) -> Result<(), InputError> {
    if raw.format != FORMAT {
        let message = say!("this is no rate card");
        let hint = say!("choose one that this program has saved");
        return Err(InputError::new(Code::NotAChoice, message, hint).at("format"));
    }
    let version = counted(&raw.version, u32::MAX, "version")?;
    if version > VERSION {
        let message = say!("this card was written by a newer version of this page");
        let hint = say!("reload the page with a network");
        return Err(InputError::new(Code::Impossible, message, hint).at("version"));
    }
    Ok(())
}

fn counted(count: &Count, most: u32, path: &str) -> Result<u32, InputError> {
    count.read_from(1, most).map_err(|error| error.at(path))
}

fn too_long(longest: usize) -> InputError {
    let hint = say!("write {longest} characters at most");
    InputError::new(Code::TooLarge, say!("this is too long"), hint)
}

/// A name: something is in it, on one line, and nothing that steers a screen.
fn name(text: &str, path: &str) -> Result<(), InputError> {
    if text.trim().is_empty() {
        let message = say!("nothing is entered here");
        let missing = InputError::new(Code::Missing, message, say!("write a name"));
        return Err(missing.at(path));
    }
    if text.chars().count() > LONGEST_NAME {
        return Err(too_long(LONGEST_NAME).at(path));
    }
    if text.chars().any(steers) {
        return Err(unprintable().at(path));
    }
    Ok(())
}

/// Whether a character is none that is read, but turns the writing round or steers a device.
fn steers(character: char) -> bool {
    character.is_control()
        || matches!(character, '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' | '\u{2028}' | '\u{2029}')
}

fn unprintable() -> InputError {
    let message = say!("there is a character in it that cannot be printed");
    InputError::new(
        Code::WrongType,
        message,
        say!("write letters, digits and signs"),
    )
}

fn note(note: Option<&str>) -> Result<(), InputError> {
    let Some(note) = note else { return Ok(()) };
    if note.chars().count() > LONGEST_NOTE {
        return Err(too_long(LONGEST_NOTE).at("note"));
    }
    if note
        .chars()
        .any(|character| character != '\n' && steers(character))
    {
        return Err(unprintable().at("note"));
    }
    Ok(())
}

/// An address for mail that can stand in a link: one `@`, a dot behind it, and none of what would divide a link.
fn mail(mail: Option<&str>) -> Result<(), InputError> {
    let Some(mail) = mail else { return Ok(()) };
    let plain = |byte: u8| byte.is_ascii_alphanumeric() || b"._+-@".contains(&byte);
    let (name, host) = mail.split_once('@').unwrap_or_default();
    let good = !name.is_empty()
        && mail.len() <= 254
        && mail.bytes().all(plain)
        && !host.contains('@')
        && host.split('.').count() > 1
        && host.split('.').all(|part| !part.is_empty());
    if good {
        return Ok(());
    }
    let message = say!("this is no address for mail that can be used here");
    let hint = say!("write one such as name@shop.example");
    Err(InputError::new(Code::WrongType, message, hint).at("mail"))
}

/// Path data of SVG: nothing but its letters, digits and what divides them.
fn outline(outline: Option<&str>) -> Result<(), InputError> {
    let Some(outline) = outline else {
        return Ok(());
    };
    if outline.len() > LONGEST_OUTLINE {
        return Err(too_long(LONGEST_OUTLINE).at("outline"));
    }
    let plain =
        |byte: u8| byte.is_ascii_digit() || b"MmLlHhVvCcSsQqTtAaZzeE+-., \n".contains(&byte);
    if outline.bytes().all(plain) {
        return Ok(());
    }
    let message = say!("this is no path data of SVG");
    Err(InputError::new(Code::WrongType, message, say!("leave it out")).at("outline"))
}

fn day(text: &str, path: &str) -> Result<Date, InputError> {
    let date = Date::parse(text).map_err(|error| error.at(path))?;
    if date < Date::parse(LEAST_YEAR)? {
        let hint = say!("write a day of this century, for example 2026-11-25");
        let message = say!("this day is long past");
        return Err(InputError::new(Code::TooSmall, message, hint).at(path));
    }
    Ok(date)
}

/// So many rows are listed: one at least.
fn listed(count: usize, most: usize, path: &str) -> Result<(), InputError> {
    if count == 0 {
        let message = say!("nothing is listed here");
        let missing = InputError::new(Code::Missing, message, say!("list one at least"));
        return Err(missing.at(path));
    }
    if count > most {
        let many = InputError::new(
            Code::TooLarge,
            say!("these are too many"),
            say!("list {most} at most"),
        );
        return Err(many.at(path));
    }
    Ok(())
}

fn sizes(raw: &[CardSize], unit: Unit, checks: &mut Checks) -> Vec<Size> {
    if checks.take(listed(raw.len(), MOST, "sizes")).is_none() {
        return Vec::new();
    }
    let mut sizes: Vec<Size> = Vec::new();
    for (index, size) in raw.iter().enumerate() {
        let at = |member: &str| format!("sizes[{index}].{member}");
        let width = checks.take(required(size.width.as_ref(), &at("width"), unit, SIDE));
        let height = checks.take(required(size.height.as_ref(), &at("height"), unit, SIDE));
        let letter = size.letter_height.as_ref();
        let letter = letter.map(|letter| required(Some(letter), &at("letterHeight"), unit, SIDE));
        let letter = letter.map(|letter| checks.take(letter).unwrap_or_default());
        let (Some(width), Some(height)) = (width, height) else {
            continue;
        };
        if sizes.last().is_some_and(|last| last.width >= width) {
            let message = say!("this is no wider than the size before it");
            let hint = say!("list the sizes from the least to the greatest");
            checks.add(InputError::new(Code::TooSmall, message, hint).at(at("width")));
        }
        sizes.push(Size {
            width,
            height,
            letter,
        });
    }
    sizes
}

fn films(raw: &RateCard, checks: &mut Checks) {
    let mut names: Vec<&str> = Vec::new();
    checks.take(listed(raw.films.len(), MOST_FILMS, "films"));
    for (index, film) in raw.films.iter().enumerate().take(MOST_FILMS) {
        let path = format!("films[{index}]");
        checks.take(name(&film.name, "name").map_err(|error| error.within(&path)));
        checks.take(once(&mut names, &film.name).map_err(|error| error.within(&path)));
        let good = film.colour.as_deref().is_none_or(is_colour);
        if !good {
            let message = say!("this is no colour");
            let hint = say!("write one such as #24516b");
            let error = InputError::new(Code::WrongType, message, hint).at("colour");
            checks.add(error.within(&path));
        }
    }
}

fn is_colour(colour: &str) -> bool {
    let digits = colour.strip_prefix('#');
    digits.is_some_and(|digits| {
        digits.len() == 6 && digits.bytes().all(|digit| digit.is_ascii_hexdigit())
    })
}

/// Names stand for what they name, so that none stands for two.
fn once<'a>(names: &mut Vec<&'a str>, name: &'a str) -> Result<(), InputError> {
    if names.contains(&name) {
        let message = say!("this name stands here twice");
        let hint = say!("give each its own name");
        let twice = InputError::new(Code::Impossible, message, hint);
        return Err(twice.at("name"));
    }
    names.push(name);
    Ok(())
}

fn quantities(raw: &[Count], checks: &mut Checks) -> Vec<u32> {
    if checks.take(listed(raw.len(), MOST, "quantities")).is_none() {
        return Vec::new();
    }
    let mut quantities: Vec<u32> = Vec::new();
    for (index, count) in raw.iter().enumerate() {
        let path = format!("quantities[{index}]");
        let Some(count) = checks.take(counted(count, Count::MAX, &path)) else {
            continue;
        };
        let rises = match quantities.last() {
            Some(last) => *last < count,
            None => index > 0 || count == 1,
        };
        if !rises {
            let message =
                say!("the quantities begin with 1, and each is more than the one before it");
            let hint = say!("list them so, for example 1, 5, 10");
            checks.add(InputError::new(Code::TooSmall, message, hint).at(path));
        }
        quantities.push(count);
    }
    quantities
}

fn channels(raw: &[CardChannel], currency: Currency, checks: &mut Checks) -> Vec<Channel> {
    if checks.take(listed(raw.len(), MOST, "channels")).is_none() {
        return Vec::new();
    }
    let mut names: Vec<&str> = Vec::new();
    let mut channels = Vec::new();
    for (index, channel) in raw.iter().enumerate() {
        let path = format!("channels[{index}]");
        let within = |error: InputError| error.within(&path);
        checks.take(name(&channel.name, "name").map_err(within));
        checks.take(once(&mut names, &channel.name).map_err(within));
        let postage = channel.postage.as_deref();
        let postage = postage.map_or(Ok(Decimal::ZERO), |postage| whole(postage, currency));
        let postage = postage.map_err(|error| within(error.at("postage")));
        let rate = channel.tax_percent.as_ref();
        let rate = rate.map_or(Ok(Decimal::ZERO), |rate| parse_percent(&rate.text()));
        let rate = rate.map_err(|error| within(error.at("taxPercent")));
        let (postage, rate) = (checks.take(postage), checks.take(rate));
        if !channel.posted && channel.postage.is_some() {
            let message = say!("what is not posted costs no postage");
            let hint = say!("leave one of the two out");
            let error = InputError::new(Code::Impossible, message, hint);
            checks.add(within(error.at("postage")));
        }
        channels.push(Channel {
            postage: postage.unwrap_or_default(),
            posted: channel.posted,
            tax: channel.tax,
            rate: rate.unwrap_or_default(),
            tax_on_postage: channel.tax_on_postage,
        });
    }
    channels
}

/// An amount in whole minor units, written as a card writes it.
fn whole(text: &str, currency: Currency) -> Result<Decimal, InputError> {
    let amount = parse_amount(text, currency)?;
    if currency.text(amount) == text {
        return Ok(amount);
    }
    let message = say!("this is not written as amounts of this currency are");
    let hint = say!(
        "write it like {amount}",
        amount = currency.text(Decimal::ONE_HUNDRED)
    );
    Err(InputError::new(Code::NotANumber, message, hint))
}

/// The prices, as many as there are channels, films, sizes and quantities.
fn prices(
    raw: &[Vec<Vec<Vec<String>>>],
    [channels, films, sizes, quantities]: [usize; 4],
    currency: Currency,
    checks: &mut Checks,
) -> Vec<Vec<Vec<Vec<Option<Decimal>>>>> {
    let fits = |count: usize, right: usize, path: &str| {
        if count == right {
            return Ok(());
        }
        let message = say!("{count} rows of prices, where {right} belong");
        let hint = say!("list them for each channel, film, size and quantity");
        Err(InputError::new(Code::Impossible, message, hint).at(path))
    };
    let mut all = Vec::new();
    if checks.take(fits(raw.len(), channels, "prices")).is_none() {
        return all;
    }
    for (channel, raw) in raw.iter().enumerate() {
        let path = format!("prices[{channel}]");
        let mut of_channel = Vec::new();
        if checks.take(fits(raw.len(), films, &path)).is_none() {
            return all;
        }
        for (film, raw) in raw.iter().enumerate() {
            let path = format!("{path}[{film}]");
            let mut of_film = Vec::new();
            if checks.take(fits(raw.len(), sizes, &path)).is_none() {
                return all;
            }
            for (size, raw) in raw.iter().enumerate() {
                let path = format!("{path}[{size}]");
                let mut of_size = Vec::new();
                if checks.take(fits(raw.len(), quantities, &path)).is_none() {
                    return all;
                }
                for (quantity, text) in raw.iter().enumerate() {
                    let read = if text.is_empty() {
                        Ok(None)
                    } else {
                        whole(text, currency).map(Some)
                    };
                    let read = read.map_err(|error| error.at(format!("{path}[{quantity}]")));
                    of_size.push(checks.take(read).flatten());
                }
                of_film.push(of_size);
            }
            of_channel.push(of_film);
        }
        all.push(of_channel);
    }
    all
}
