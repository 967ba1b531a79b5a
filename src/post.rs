//! What a packed piece is for the post: letter, flat or parcel, by dated public rules or by the
//! maker's own.
//!
//! The classes are tried from the cheapest on, and of each that the piece misses it is said why, and
//! what would make it so. Which changes would do is not guessed: the piece is changed as the words say,
//! and tried again. What a class costs is the maker's own entry, with the day on which it was made.

mod check;
mod rules;

use crate::error::{Checks, Code, InputError, InputErrors};
use crate::input::read_by_members;
use crate::measure::{
    Count, Date, Length, LengthInput, NumberInput, Range, Unit, Weight, required,
};
use crate::money::{Currency, parse_amount};
use check::{Piece, with_unit};
use rules::Limit;
use rust_decimal::Decimal;
use say::say;
use serde::{Deserialize, Serialize};

/// Sides of a packed piece, from a sheet of paper to what no post takes.
const SIDE: Range = Range::new(Length::from_nm(10_000), Length::whole(3, Unit::M));
/// Above this volume, in cubic inches, a parcel is charged by its size.
const LARGE: i128 = 1_728;
/// So many cubic inches count as a pound, where nothing else is entered.
const DIVISOR: u32 = 166;

read_by_members! {
    /// The question: which class of mail a packed piece is, and what it costs.
    #[derive(Clone, Debug, Default, PartialEq)]
    pub struct PostInput {
        /// ISO 4217 code.
        pub currency: String,
        /// The unit of a number without one; a bare weight is in ounces or in grams to match.
        pub unit: Unit = default,
        /// The day on which it is asked, `2026-11-25`; without it no price is called old.
        pub today: Option<String> = default,
        /// Whose rules count.
        pub rules: RuleSet = default,
        /// The outside of the piece as it is posted. The longest side counts as its length, the shortest
        /// as its thickness.
        pub length: Option<LengthInput>,
        /// Its second side.
        pub width: Option<LengthInput>,
        /// Its third side.
        pub thickness: Option<LengthInput>,
        /// What it weighs; where left out it is reckoned from its parts.
        pub weight: Option<NumberInput> = default,
        /// What goes into it, to reckon its weight from.
        pub parts: PartsInput = default,
        /// How it bends.
        pub stiff: Stiffness = default,
        /// Whether its thickness is the same all over, to 1/4 in.
        pub even: Option<bool> = default,
        /// What its outside is made of.
        pub wrap: Wrap = default,
        /// Whether a clasp, string or button closes it.
        pub clasps: bool = default,
        /// Whether it is a rectangle with square corners.
        pub rectangular: Option<bool> = default,
        /// How the sides of a parcel are rounded before it is charged by its size.
        pub rounding: SideRounding = default,
        /// Cubic inches that count as a pound; 166 where left out.
        pub divisor: Option<Count> = default,
        /// The maker's own classes, the cheapest first.
        pub classes: Vec<OwnClassInput> = default,
        /// What the classes cost, by the maker's own entries.
        pub prices: Vec<PostPriceInput> = default,
    }
}

read_by_members! {
    /// What goes into a packed piece. A part that is left out weighs nothing.
    #[derive(Clone, Debug, Default, PartialEq)]
    pub struct PartsInput {
        /// Width of the film of one decal.
        pub width: Option<LengthInput> = default,
        /// Height of the film of one decal.
        pub height: Option<LengthInput> = default,
        /// Decals in the piece; one where left out.
        pub pieces: Option<Count> = default,
        /// Weight of a square metre of film with its adhesive, in grams where no unit stands.
        pub film: Option<NumberInput> = default,
        /// The same of transfer tape.
        pub tape: Option<NumberInput> = default,
        /// The same of the liner that stays on.
        pub liner: Option<NumberInput> = default,
        /// Weight of the empty mailer, in grams or ounces by the unit where none stands.
        pub mailer: Option<NumberInput> = default,
        /// Weight of board, card and what else goes along.
        pub card: Option<NumberInput> = default,
    }
}

read_by_members! {
    /// A class of mail by the maker's own limits; one that is left out does not count.
    #[derive(Clone, Debug, Default, PartialEq)]
    pub struct OwnClassInput {
        /// What it is called.
        pub name: Option<String> = default,
        /// The longest side at most.
        pub length: Option<LengthInput> = default,
        /// The second side at most; not without the first.
        pub width: Option<LengthInput> = default,
        /// The thickness at most.
        pub thickness: Option<LengthInput> = default,
        /// The weight at most.
        pub weight: Option<NumberInput> = default,
    }
}

read_by_members! {
    /// What a class costs up to some weight. An entry without a price does not count.
    #[derive(Clone, Debug, Default, PartialEq)]
    pub struct PostPriceInput {
        /// The class by its id, such as `us-letter`; those of other rules are passed over. Those of the
        /// maker's own rules are `own-1` and so on.
        pub class: String,
        /// The weight at most; any where left out.
        pub up_to: Option<NumberInput> = default,
        /// What the post asks for a piece of this class up to that weight, in the currency of the input.
        pub price: Option<String> = default,
        /// The day on which it was looked up, `2026-11-25`.
        pub as_of: Option<String> = default,
    }
}

/// Whose rules count.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "camelCase")]
pub enum RuleSet {
    /// Letters, flats and parcels of the United States.
    #[default]
    UsPost,
    /// Letters, large letters and parcels of the United Kingdom.
    UkPost,
    /// Letter post of the Universal Postal Union, by format.
    Upu,
    /// The maker's own limits.
    Own,
}

/// How a piece bends, the easiest first.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Deserialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "camelCase")]
pub enum Stiffness {
    /// As paper does.
    #[default]
    Easy,
    /// By 1 in at least, when half of it hangs over the edge of a table.
    Little,
    /// Less: a rigid board.
    Rigid,
}

/// What the outside of a piece is made of.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "camelCase")]
pub enum Wrap {
    /// Paper, be it with a window.
    #[default]
    Paper,
    /// Plastic.
    Plastic,
    /// Anything else.
    Other,
}

/// How the sides of a parcel are rounded to whole inches.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "camelCase")]
pub enum SideRounding {
    /// Up: believed to be the rule since 2025, and the cautious way.
    #[default]
    Up,
    /// To the nearest, half an inch up: the rule of 2006.
    Nearest,
    /// Not at all.
    Exact,
}

/// The answer: the class, why it is none of the cheaper ones, and its price.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "camelCase")]
pub struct PostReport {
    /// ISO 4217 code of the price.
    pub currency: String,
    /// Decimals that it is shown with.
    pub decimals: u32,
    /// The class by its id; none where the post does not take the piece.
    pub id: Option<String>,
    /// Its name, or that the post does not take it.
    pub headline: String,
    /// Size and weight of the piece.
    pub detail: String,
    /// Why the post does not take it at all, and what would make it mailable.
    pub refused: Vec<Misfit>,
    /// The classes from the cheapest to that of the piece, or to that which it would be of if it were
    /// mailable; all where it is of none.
    pub classes: Vec<ClassReport>,
    /// What its parts weigh, where its weight was reckoned.
    pub parts: Vec<PartReport>,
    /// The weight that counts where that is more than its own: that of its size.
    pub billed: Option<String>,
    /// What the class costs by the maker's own entry, for the weight; none where there is no such entry.
    pub price: Option<String>,
    /// The day of that entry, if one was given.
    pub as_of: Option<String>,
    /// Whether that day is more than a year ago.
    pub old: bool,
    /// What is to be known about this piece.
    pub notes: Vec<String>,
    /// What was taken for granted.
    pub assumptions: Vec<String>,
    /// What counts more than this answer.
    pub caution: &'static str,
}

/// One class of mail, and why the piece is not of it.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "camelCase")]
pub struct ClassReport {
    /// Short name for programs; stable.
    pub id: String,
    /// What people call it.
    pub name: String,
    /// Publication and section.
    pub source: &'static str,
    /// The edition that was read.
    pub edition: &'static str,
    /// What of its limits is from memory; empty where all were looked up.
    pub from_memory: &'static str,
    /// Whether the piece is of this class.
    pub chosen: bool,
    /// What the class costs by the maker's own entry for the weight of the piece, if there is one.
    pub price: Option<String>,
    /// The day of that entry, if one was given.
    pub as_of: Option<String>,
    /// Whether that day is more than a year ago.
    pub old: bool,
    /// Why it is not.
    pub misfits: Vec<Misfit>,
    /// Whether all that is named beside the reasons would make it so: tried, not guessed.
    pub enough: bool,
}

/// A limit that a piece misses.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "camelCase")]
pub struct Misfit {
    /// Why, with both measures.
    pub text: String,
    /// What would mend it.
    pub cure: String,
    /// The same for programs.
    pub changes: Vec<PostChange>,
}

/// A member of the input that would have to be otherwise.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "camelCase")]
pub struct PostChange {
    /// Its path in the input, such as `weight`.
    pub member: &'static str,
    /// Its value as text: a measure with its unit, a choice, `true` or `false`.
    pub to: String,
}

/// A part of the weight.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "camelCase")]
pub struct PartReport {
    /// What weighs.
    pub label: &'static str,
    /// How much that is, for people: `0.4 oz`, `12 g`.
    pub weight: String,
}

/// A class to try: its report without an answer yet, its limits, whether it is charged by size.
type Trial = (ClassReport, Vec<Limit>, bool);

/// A price of the maker's own.
struct Price<'a> {
    class: &'a str,
    up_to: Weight,
    amount: Decimal,
    as_of: Option<(Date, &'a str)>,
}

/// Finds the class of a packed piece.
///
/// # Errors
/// Every field that cannot be read; [`Code::Impossible`] at `rules` for rules of one's own without a class.
pub fn report(input: &PostInput) -> Result<PostReport, InputErrors> {
    let mut checks = Checks::default();
    let currency = Currency::parse(&input.currency).map_err(|error| error.at("currency"));
    let currency = checks.take(currency).unwrap_or_default();
    let today = checks.take(Date::optional(input.today.as_deref(), "today"));
    let today = today.flatten();
    let unit = input.unit;
    let imperial = unit.is_imperial();
    let mut side = |value: Option<&LengthInput>, member: &'static str| {
        let read = required(value, member, unit, SIDE);
        (checks.take(read).unwrap_or_default(), member)
    };
    let sides = [
        side(input.length.as_ref(), "length"),
        side(input.width.as_ref(), "width"),
        side(input.thickness.as_ref(), "thickness"),
    ];
    let divisor = Count::optional(input.divisor.as_ref(), "divisor");
    let divisor = checks.take(divisor).flatten().unwrap_or(DIVISOR);
    let weight = Weight::optional(input.weight.as_ref(), "weight", imperial);
    let mut weight = checks.take(weight).flatten();
    let mut parts = Vec::new();
    if weight.is_none() {
        (parts, weight) = weigh(&input.parts, unit, &mut checks);
    }
    let trials = trials(input, &mut checks);
    let prices = prices(input, currency, &mut checks);
    checks.finish(())?;

    let mut manners = [true; 4];
    let [even, paper, plain, square] = &mut manners;
    *even = input.even.unwrap_or(true);
    *paper = input.wrap == Wrap::Paper;
    *plain = !input.clasps;
    *square = input.rectangular.unwrap_or(true);
    let piece = Piece {
        sides,
        weight,
        stiff: input.stiff,
        manners,
        unit,
    };
    let piece = piece.sorted();
    let rules = input.rules.rules();
    let (refused, mut classes, by_size) = find(&piece, rules.all, trials);
    for class in &mut classes {
        let price = price_of(&prices, &class.id, weight);
        class.price = price.map(|price| currency.text(price.amount));
        (class.as_of, class.old) = dated(price, today);
    }
    let chosen = classes.last().filter(|class| class.chosen);
    let mut notes = notes(&piece, rules.all);
    let billed = weight.filter(|_| by_size).and_then(|weight| {
        let billed = weight_by_size(&piece, input.rounding, divisor);
        billed.filter(|billed| *billed > weight)
    });
    let id = chosen.map(|class| class.id.clone());
    let price = chosen.and_then(|class| price_of(&prices, &class.id, billed.or(weight)));
    if weight.is_none() {
        notes.push(say!("No weight is known: the limits of weight were left out.").to_owned());
    }
    let [length, width, thickness] = piece.lengths().map(|side| with_unit(side, unit, true));
    let mut detail = format!("{length} × {width} × {thickness}");
    if let Some(weight) = weight {
        detail = format!("{detail}, {}", weight.text(unit, true));
    }
    let (as_of, old) = dated(price, today);
    Ok(PostReport {
        currency: currency.code().to_owned(),
        decimals: currency.exponent(),
        headline: chosen
            .map_or(say!(in "by the post": "Not taken"), |class| &class.name)
            .to_owned(),
        id,
        detail,
        refused,
        classes,
        parts,
        billed: billed.map(|billed| billed.text(unit, true)),
        price: price.map(|price| currency.text(price.amount)),
        as_of,
        old,
        notes,
        assumptions: assumptions(rules.assumptions),
        caution: say!(
            "What counts is the post's own text of today, and the counter that takes the piece."
        ),
    })
}

/// Tries the classes one after the other: what of the rules for all pieces is missed, the classes up to
/// the first that fits, and whether that one is charged by size.
fn find(piece: &Piece, all: &[Limit], trials: Vec<Trial>) -> (Vec<Misfit>, Vec<ClassReport>, bool) {
    let mut refused = piece.misfits(all);
    let mut classes = Vec::new();
    let mut fits = false;
    let mut sized = false;
    for (mut class, limits, by_size) in trials {
        class.misfits = piece.misfits(&limits);
        fits = class.misfits.is_empty();
        class.chosen = fits && refused.is_empty();
        if !class.chosen {
            let changed = piece.changed(&refused).changed(&class.misfits);
            class.enough = changed.misfits(all).is_empty() && changed.misfits(&limits).is_empty();
        }
        classes.push(class);
        if fits {
            sized = by_size && refused.is_empty();
            break;
        }
    }
    if let (false, true, Some(last)) = (fits, refused.is_empty(), classes.last()) {
        refused.clone_from(&last.misfits);
    }
    (refused, classes, sized)
}

fn assumptions(own: &[&str]) -> Vec<String> {
    let all = [
        say!(
            "The longest side counts as the length, the shortest as the thickness; the address runs along \
             the length."
        ),
        say!("The classes stand in their usual order of price."),
    ];
    let told = all.iter().chain(own);
    told.map(|assumption| (*assumption).to_owned()).collect()
}

/// The classes of the chosen rules.
fn trials(input: &PostInput, checks: &mut Checks) -> Vec<Trial> {
    let untried = |id: String, name: String| ClassReport {
        id,
        name,
        source: say!("your own limits"),
        edition: "",
        from_memory: "",
        chosen: false,
        price: None,
        as_of: None,
        old: false,
        misfits: Vec::new(),
        enough: false,
    };
    let mut trials = Vec::new();
    for class in input.rules.rules().classes {
        let report = ClassReport {
            source: class.source,
            edition: class.edition,
            from_memory: class.from_memory,
            ..untried(class.id.to_owned(), class.name.to_owned())
        };
        trials.push((report, class.limits.to_vec(), class.by_size));
    }
    if input.rules != RuleSet::Own {
        return trials;
    }
    if input.classes.is_empty() {
        let message = say!("no class of your own is entered");
        let hint = say!("add one, or choose other rules");
        let error = InputError::new(Code::Impossible, message, hint);
        checks.add(error.at("rules"));
    }
    for (place, class) in input.classes.iter().enumerate() {
        let mut side = |value: Option<&LengthInput>, member: &str, needed: bool| {
            let empty = match value {
                None => true,
                Some(LengthInput::Text(text)) => text.trim().is_empty(),
                Some(LengthInput::Number(_)) => false,
            };
            if empty && !needed {
                return None;
            }
            let path = format!("classes[{place}].{member}");
            checks.take(required(value, &path, input.unit, SIDE))
        };
        let width = side(class.width.as_ref(), "width", false);
        let length = side(class.length.as_ref(), "length", width.is_some());
        let thickness = side(class.thickness.as_ref(), "thickness", false);
        let path = format!("classes[{place}].weight");
        let weight = Weight::optional(class.weight.as_ref(), &path, input.unit.is_imperial());
        let weight = checks.take(weight).flatten();
        let mut limits = Vec::new();
        if let Some(length) = length {
            limits.push(Limit::Most([length, width.unwrap_or(length)]));
        }
        limits.extend(thickness.map(Limit::Thick));
        limits.extend(weight.map(Limit::Heavy));
        let number = place + 1;
        let name = class.name.as_deref().unwrap_or_default().trim();
        let name = if name.is_empty() {
            say!("Own class {number}")
        } else {
            name.to_owned()
        };
        trials.push((untried(format!("own-{number}"), name), limits, false));
    }
    trials
}

/// The maker's entries that have a price.
fn prices<'a>(input: &'a PostInput, currency: Currency, checks: &mut Checks) -> Vec<Price<'a>> {
    let mut prices = Vec::new();
    for (place, row) in input.prices.iter().enumerate() {
        let path = |member: &str| format!("prices[{place}].{member}");
        let Some(price) = row.price.as_deref().filter(|text| !text.trim().is_empty()) else {
            continue;
        };
        let price = parse_amount(price, currency).map_err(|error| error.at(path("price")));
        let imperial = input.unit.is_imperial();
        let up_to = Weight::optional(row.up_to.as_ref(), &path("upTo"), imperial);
        let as_of = Date::optional(row.as_of.as_deref(), &path("asOf"));
        let read = (checks.take(price), checks.take(up_to), checks.take(as_of));
        if let (Some(price), Some(up_to), Some(as_of)) = read {
            prices.push(Price {
                class: row.class.trim(),
                up_to: up_to.unwrap_or(Weight::MAX),
                amount: price,
                as_of: as_of.zip(row.as_of.as_deref().map(str::trim)),
            });
        }
    }
    prices
}

/// The entry of a class for the least weight that holds this one; where no weight is known, one for any.
fn price_of<'a, 'b>(
    prices: &'a [Price<'b>],
    class: &str,
    weight: Option<Weight>,
) -> Option<&'a Price<'b>> {
    let weight = weight.unwrap_or(Weight::MAX);
    let fitting = prices
        .iter()
        .filter(|price| price.class == class && price.up_to >= weight);
    fitting.min_by_key(|price| price.up_to)
}

/// The day of an entry as it was typed, and whether that is more than a year ago.
fn dated(price: Option<&Price>, today: Option<Date>) -> (Option<String>, bool) {
    let as_of = price.and_then(|price| price.as_of);
    let old = as_of
        .zip(today)
        .is_some_and(|((day, _), today)| day.is_a_year_before(today));
    (as_of.map(|(_, typed)| typed.to_owned()), old)
}

/// Weighs the parts; no weight where none is entered.
fn weigh(parts: &PartsInput, unit: Unit, checks: &mut Checks) -> (Vec<PartReport>, Option<Weight>) {
    let pieces = Count::optional(parts.pieces.as_ref(), "parts.pieces");
    let pieces = checks.take(pieces).flatten().unwrap_or(1);
    let mut area = None;
    let mut told = Vec::new();
    let mut total = 0;
    // What covers the decal weighs by its area, the rest as it is.
    let all = [
        (
            say!(in "what weighs": "Film"),
            "parts.film",
            &parts.film,
            true,
        ),
        (
            say!(in "what weighs": "Transfer tape"),
            "parts.tape",
            &parts.tape,
            true,
        ),
        (
            say!(in "what weighs": "Liner"),
            "parts.liner",
            &parts.liner,
            true,
        ),
        (
            say!(in "what weighs": "Mailer"),
            "parts.mailer",
            &parts.mailer,
            false,
        ),
        (
            say!(in "what weighs": "Board and card"),
            "parts.card",
            &parts.card,
            false,
        ),
    ];
    for (label, path, entered, by_area) in all {
        let read = Weight::optional(entered.as_ref(), path, unit.is_imperial() && !by_area);
        let Some(mut weight) = checks.take(read).flatten() else {
            continue;
        };
        if by_area {
            let area = *area.get_or_insert_with(|| {
                let width = required(parts.width.as_ref(), "parts.width", unit, SIDE);
                let height = required(parts.height.as_ref(), "parts.height", unit, SIDE);
                let (width, height) = (checks.take(width), checks.take(height));
                (width.unwrap_or_default() * height.unwrap_or_default()).nm2()
            });
            // Nine square metres at most, ten thousand of them, at a tonne each: far inside 128 bits.
            let nanograms =
                area * i128::from(pieces) * i128::from(weight.ng()) / 1_000_000_000_000_000_000;
            let most = i128::from(Weight::MAX.ng());
            weight = Weight::from_ng(i64::try_from(nanograms.min(most)).unwrap_or_default());
        }
        total += weight.ng();
        told.push(PartReport {
            label,
            weight: weight.text(unit, true),
        });
    }
    let total = (!told.is_empty()).then_some(Weight::from_ng(total));
    (told, total)
}

/// What a large parcel counts as by its size; none where it is not large.
fn weight_by_size(piece: &Piece, rounding: SideRounding, divisor: u32) -> Option<Weight> {
    let inch = Length::whole(1, Unit::In);
    let sides = piece.lengths().map(|side| match rounding {
        SideRounding::Up => side.round_up(inch),
        SideRounding::Nearest => (side + Length::inches(1, 2)).round_down(inch),
        SideRounding::Exact => side,
    });
    let cube = (inch * inch).nm2() * i128::from(inch.nm());
    let [length, width, height] = sides;
    let volume = (length * width).nm2() * i128::from(height.nm());
    if volume <= LARGE * cube {
        return None;
    }
    let pound = i128::from(divisor) * cube;
    let pounds = i64::try_from((volume + pound - 1) / pound).ok()?;
    Some(Weight::pounds(pounds))
}

/// That a face passes only by the tolerance.
fn notes(piece: &Piece, all: &[Limit]) -> Vec<String> {
    let [length, width, _] = piece.lengths();
    let mut notes = Vec::new();
    for limit in all {
        if let Limit::Face {
            least: [long, wide],
            tolerance,
            ..
        } = *limit
            && tolerance > Length::ZERO
            && (length < long || width < wide)
            && length + tolerance >= long
            && width + tolerance >= wide
        {
            let unit = piece.unit;
            notes.push(say!(
                "Smaller than the least face of {long} × {wide}, but inside the tolerance of {tolerance}.",
                long = with_unit(long, unit, true),
                wide = with_unit(wide, unit, true),
                tolerance = with_unit(tolerance, unit, false)
            ));
        }
    }
    notes
}
