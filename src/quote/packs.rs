//! One supply in packs of several sizes: from how many pieces on the larger pack costs less, the cheapest
//! packs for a need, and which pack to keep buying.

mod picture;

use super::costs::{Reader, carried};
use super::eoq::{self, Demand, Tier};
use super::supplies::{Figure, MOST_NEEDED, SupplyRow, decimal, figure, on_hand, row};
use super::{hundredths, places};
use crate::drawing::Element;
use crate::error::{Code, InputError, InputErrors};
use crate::input::read_by_members;
use crate::measure::{Count, NumberInput, Unit, decimals, shown};
use crate::money::{Currency, parse_amount, parse_percent};
use rust_decimal::prelude::ToPrimitive;
use rust_decimal::{Decimal, RoundingStrategy};
use say::say;
use serde::Serialize;

/// More sizes of pack than anybody sells one thing in.
const MOST_PACKS: usize = 12;

/// How a right entry looks.
const EXAMPLE: &str = say!("write each pack like 25 for 12.00, with a semicolon between two");

/// The word between a number of pieces and their price, in every language of the site: its pages share their books.
const FOR: [&str; 2] = ["for", "por"];

/// Which of several ways of one cost is told.
pub(super) const TIES: &str =
    say!("Of two ways to buy that cost the same, the one with more pieces is told.");

/// Prices are reckoned in whole numbers of the twelfth decimal.
const SCALE: u32 = 12;

read_by_members! {
    /// One supply, the packs it is sold in, and how it is used. Amounts are decimal texts in `currency`.
    #[derive(Clone, Debug, Default, PartialEq)]
    pub struct PacksInput {
        /// ISO 4217 code.
        pub currency: String,
        /// The packs, a dozen sizes at most: `25 for 12.00; 350 for 60.00`.
        pub packs: String,
        /// Pieces that are needed now, to be told the cheapest packs for them.
        pub need: Option<NumberInput> = default,
        /// Pieces used in a month.
        pub rate: Option<NumberInput> = default,
        /// Pieces that are there already, and are used up first.
        pub on_hand: Option<NumberInput> = default,
        /// Months that a piece keeps, or that what it is for sells on.
        pub keeps: Option<NumberInput> = default,
        /// What one order to the supplier costs whatever is ordered: postage, time.
        pub order_cost: Option<String> = default,
        /// What it costs to keep stock for a year, in hundredths of its price.
        pub carrying: Option<NumberInput> = default,
    }
}

/// What is said of each pack, and which one to buy.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "camelCase")]
pub struct PacksReport {
    /// ISO 4217 code of every amount below.
    pub currency: String,
    /// Decimals that the amounts are shown with.
    pub decimals: u32,
    /// Pieces in the pack to buy.
    pub buy: u32,
    /// Why that one.
    pub reason: String,
    /// Every pack, the smallest first.
    pub packs: Vec<PackRow>,
    /// The cheapest way to what is needed now; none where no need was given.
    pub need: Option<SupplyRow>,
    /// Whether a rate of use was given, so that a year can be reckoned.
    pub rated: bool,
    /// What was taken for granted.
    pub assumptions: Vec<&'static str>,
    #[serde(skip)]
    ways: Ways,
}

/// One size of pack.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "camelCase")]
pub struct PackRow {
    /// How many pieces a pack of this size holds.
    pub count: u32,
    /// Price of the pack, which is also the cash that buying it takes.
    pub price: String,
    /// Price of a piece, to four decimals at most.
    pub each: String,
    /// From so many needed pieces on, up to its own number, it costs less than smaller packs.
    pub wins_from: Option<u32>,
    /// That in words, and from how many on it costs no more; none for the smallest pack.
    pub wins_text: Option<String>,
    /// What lies on the shelf between two purchases, on average: of so many packs as are ordered at a
    /// time, where that is told, or of one. What is on hand now is not in it.
    pub tied_up: String,
    /// Months that it lasts together with what is on hand, but no more than it keeps, to a tenth.
    pub months: Option<String>,
    /// Hundredths of it that are left over when they no longer keep, at an even rate.
    pub left: Option<String>,
    /// Chance in hundredths that any are left over then.
    pub risk: Option<String>,
    /// Packs to order at a time.
    pub at_a_time: Option<u32>,
    /// What a year costs where this pack alone is bought.
    pub year: Option<String>,
    /// Whether it is the one to buy.
    pub best: bool,
}

impl PacksReport {
    /// The chart of lines: what so many pieces cost, in each size of pack and by the cheapest packs.
    #[must_use]
    pub fn drawing(&self) -> Element {
        picture::drawing(self)
    }
}

/// One size of pack as it was typed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Pack {
    /// Pieces in it, from 1 to 10 000.
    pub count: u32,
    pub price: Decimal,
}

impl Pack {
    fn each(self) -> Decimal {
        self.price / Decimal::from(self.count)
    }

    /// Its price in units of the twelfth decimal.
    fn units(self) -> i128 {
        let mut price = self.price;
        price.rescale(SCALE);
        price.mantissa()
    }

    /// What lies on the shelf on average, from the whole pack to `left` of it.
    fn shelf(self, left: Decimal) -> Decimal {
        carried((self.price + self.each() * left) / Decimal::TWO)
    }
}

/// Reads packs in the order in which they were typed: `25 for 12.00; 350 for 60.00`, a semicolon or a
/// new line between two.
///
/// # Errors
/// [`Code::Missing`] where there is none, [`Code::TooLarge`] for more than twelve, those of a count and
/// of an amount, which then name the entry.
pub(super) fn parse(text: &str, currency: Currency) -> Result<Vec<Pack>, InputError> {
    let mut packs = Vec::new();
    for entry in text.split([';', '\n']) {
        let entry = entry.trim();
        if entry.is_empty() {
            continue;
        }
        if packs.len() == MOST_PACKS {
            return Err(InputError::new(
                Code::TooLarge,
                say!("more than a dozen packs"),
                say!("leave out those that you would never buy"),
            ));
        }
        packs.push(pack(entry, currency).map_err(|mut error| {
            if error.code == Code::Missing {
                // Something was typed, only not all of it.
                error = not_a_pack();
            }
            let (entry, message) = (shown(entry), &error.message);
            error.message = say!("in `{entry}`: {message}").into();
            error
        })?);
    }
    if packs.is_empty() {
        return Err(InputError::new(
            Code::Missing,
            say!("no packs are entered"),
            EXAMPLE,
        ));
    }
    Ok(packs)
}

fn pack(entry: &str, currency: Currency) -> Result<Pack, InputError> {
    let word = entry.find(|letter: char| letter.is_ascii_alphabetic());
    let divided = word.and_then(|at| entry.split_at_checked(at));
    let divided = divided.and_then(|(count, rest)| {
        let (word, price) = rest.split_at_checked(3)?;
        let named = FOR.iter().any(|known| word.eq_ignore_ascii_case(known));
        named.then_some((count, price))
    });
    let Some((count, price)) = divided else {
        return Err(not_a_pack());
    };
    let count = Count::from(count.trim()).read().map_err(|mut error| {
        if error.code == Code::TooLarge {
            error.message = say!("more than ten thousand in a pack").into();
        }
        error
    });
    Ok(Pack {
        count: count?,
        price: carried(parse_amount(price, currency)?),
    })
}

fn not_a_pack() -> InputError {
    let message = say!("this is not a number of pieces and their price");
    InputError::new(Code::NotANumber, message, EXAMPLE)
}

/// Price of one piece of the first pack, which is the one that the maker buys; exact, or as many
/// decimals as a decimal holds.
///
/// # Errors
/// Packs that cannot be read, as in [`packs`]; the place of the field is still to be named.
pub fn price_each(packs: &str, currency: Currency) -> Result<Decimal, InputError> {
    let packs = parse(packs, currency)?;
    Ok(packs.first().map_or(Decimal::ZERO, |pack| pack.each()))
}

/// The cheapest packs for every need.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Ways {
    /// The smallest first, one of each count.
    packs: Vec<Pack>,
    /// The way to none, to one, to two, ...
    table: Vec<Way>,
    /// For each pack the least needs that smaller packs cover at no less, and at more.
    wins: Vec<(usize, usize)>,
}

/// The cheapest way to at least so many pieces, and the one with the most pieces of several.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct Way {
    /// In units of the twelfth decimal: 10^26 at most.
    cost: i128,
    pub pieces: u32,
    /// The place of one of its packs.
    pack: usize,
}

impl Way {
    pub fn cost(self) -> Decimal {
        Decimal::try_from_i128_with_scale(self.cost, SCALE).unwrap_or_default()
    }
}

impl Ways {
    /// The ways to all needs up to `most`. Each pack in turn, the smallest first, is tried behind the
    /// best way to what it leaves, so that before its turn the ways are those of the smaller packs.
    pub fn of(typed: Vec<Pack>, most: u32) -> Self {
        let mut packs: Vec<Pack> = Vec::new();
        for pack in typed {
            let place = packs.partition_point(|known| known.count < pack.count);
            match packs
                .get_mut(place)
                .filter(|known| known.count == pack.count)
            {
                Some(known) => known.price = known.price.min(pack.price),
                None => packs.insert(place, pack),
            }
        }
        let unknown = Way {
            cost: i128::MAX,
            ..Way::default()
        };
        let mut table = vec![unknown; most as usize + 1];
        table[0] = Way::default();
        let mut wins = Vec::new();
        for (place, pack) in packs.iter().enumerate() {
            let price = pack.units();
            wins.push((
                table.partition_point(|way| way.cost < price).max(1),
                table.partition_point(|way| way.cost <= price).max(1),
            ));
            for need in 1..table.len() {
                let rest = table[need.saturating_sub(pack.count as usize)];
                let way = Way {
                    cost: rest.cost + price,
                    pieces: rest.pieces + pack.count,
                    pack: place,
                };
                let known = &mut table[need];
                if way.cost < known.cost || way.cost == known.cost && way.pieces >= known.pieces {
                    *known = way;
                }
            }
        }
        Self { packs, table, wins }
    }

    /// The cheapest way to a need, which is not above the greatest one.
    pub fn to(&self, need: u32) -> Way {
        self.table.get(need as usize).copied().unwrap_or_default()
    }

    /// The packs of that way, the largest first: `1 × 350 and 2 × 25`.
    pub fn text(&self, need: u32) -> String {
        let mut tally = vec![0_u32; self.packs.len()];
        let mut open = need;
        while open > 0 {
            let place = self.to(open).pack;
            let (Some(pack), Some(taken)) = (self.packs.get(place), tally.get_mut(place)) else {
                break;
            };
            *taken += 1;
            open = open.saturating_sub(pack.count);
        }
        let mut text = String::new();
        for (pack, taken) in self.packs.iter().zip(tally).rev() {
            if taken > 0 {
                let packs = format!("{taken}\u{a0}×\u{a0}{}", pack.count);
                text = if text.is_empty() {
                    packs
                } else {
                    say!("{others} and {packs}", others = text)
                };
            }
        }
        text
    }
}

/// How a supply is used, as far as that was told.
struct Use {
    /// Pieces a month.
    rate: Option<Decimal>,
    on_hand: Decimal,
    /// Pieces that are used while one keeps.
    used: Option<Decimal>,
    keeps: Option<Decimal>,
    order_cost: Decimal,
    carrying: Decimal,
}

/// Compares the packs of one supply.
///
/// # Errors
/// Every field that cannot be read; in `packs` the first entry that cannot.
pub fn packs(input: &PacksInput) -> Result<PacksReport, InputErrors> {
    let mut read = Reader::new(&input.currency, Unit::default());
    let currency = read.currency;
    let typed = parse(&input.packs, currency).map_err(|error| error.at("packs"));
    let typed = read.checks.take(typed).unwrap_or_default();
    let [need, rate, keeps] = [
        ("need", input.need.as_ref()),
        ("rate", input.rate.as_ref()),
        ("keeps", input.keeps.as_ref()),
    ]
    .map(|(path, input)| {
        let kind = if path == "need" {
            Figure::Whole
        } else {
            Figure::Above
        };
        figure(&mut read.checks, input, path, kind)
    });
    let need = need.map(|need| need.numerator);
    if need.is_some_and(|need| need > i128::from(MOST_NEEDED)) {
        let error = InputError::new(
            Code::TooLarge,
            say!("more than a hundred thousand"),
            say!("write how many are needed now"),
        );
        read.checks.add(error.at("need"));
    }
    let on_hand = on_hand(&mut read.checks, input.on_hand.as_ref(), "onHand");
    let order_cost = read.amount(input.order_cost.as_deref(), "orderCost");
    let carrying = input.carrying.as_ref().map(|carrying| {
        let read = parse_percent(&carrying.text());
        read.map_err(|error| error.at("carrying"))
    });
    let carrying = carrying.and_then(|carrying| read.checks.take(carrying));
    read.checks.finish(())?;
    let need = need.and_then(|need| u32::try_from(need).ok());
    let largest = typed.iter().map(|pack| pack.count).max().unwrap_or(0);
    let ways = Ways::of(typed, largest.max(need.unwrap_or(0)));
    let (rate, keeps) = (rate.map(decimal), keeps.map(decimal));
    let usage = Use {
        rate,
        on_hand: Decimal::from(on_hand),
        used: rate.zip(keeps).map(|(rate, keeps)| rate * keeps),
        keeps,
        order_cost,
        carrying: carrying.unwrap_or_default(),
    };
    Ok(report(
        currency,
        ways,
        &usage,
        need.map(|need| (need, on_hand)),
    ))
}

fn report(currency: Currency, ways: Ways, usage: &Use, need: Option<(u32, u32)>) -> PacksReport {
    let choices: Vec<(Decimal, Decimal)> =
        ways.packs.iter().map(|pack| usage.choice(*pack)).collect();
    // Without a rate, the price of a piece is all that is known.
    let mut best = 0;
    for (place, (_, year)) in choices.iter().enumerate() {
        if choices.get(best).is_some_and(|(_, least)| year < least) {
            best = place;
        }
    }
    let told = |(place, pack): (usize, &Pack)| {
        let choice = choices.get(place).copied();
        let wins = ways.wins.get(place).copied().unwrap_or_default();
        let mut row = pack_row(*pack, wins, choice, usage, currency);
        row.best = place == best;
        row.wins_text = row.wins_text.filter(|_| place > 0);
        row
    };
    let rows: Vec<PackRow> = ways.packs.iter().enumerate().map(told).collect();
    let need = need.map(|(need, on_hand)| {
        let (mut row, cost) = row(String::new(), need, on_hand, &ways);
        row.cost = currency.text(cost);
        row
    });
    let mut assumptions = vec![
        say!("A pack is set against the cheapest smaller packs that hold what is needed."),
        TIES,
        usage.counted(),
    ];
    if usage.rate.is_some() {
        assumptions.push(say!(
            "A year is one of many alike: an even rate, packs of one size alone, the next one bought when the last is used up or no longer keeps; what is on hand now is not in it, nor in the cash on the shelf."
        ));
        assumptions.push(say!(
            "How long a pack lasts, and what is left of it, is told of one that is bought now: what is on hand is used first, and the pack keeps from now on."
        ));
    }
    if usage.used.is_some() {
        assumptions.push(say!(
            "The chance of a rest takes each use for independent of the others (Poisson). It knows nothing of seasons and fashions, so the true one is greater."
        ));
    }
    PacksReport {
        currency: currency.code().to_owned(),
        decimals: currency.exponent(),
        buy: ways.packs.get(best).map_or(0, |pack| pack.count),
        reason: reason(rows.get(best), usage),
        packs: rows,
        need,
        rated: usage.rate.is_some(),
        assumptions,
        ways,
    }
}

impl Use {
    /// Whether it is known what ordering and what keeping costs.
    fn orders(&self) -> bool {
        self.rate.is_some() && !self.order_cost.is_zero() && !self.carrying.is_zero()
    }

    /// What ordering and keeping count as, so that nothing that was typed or left empty is passed over in
    /// silence.
    fn counted(&self) -> &'static str {
        if self.rate.is_none() {
            return say!(
                "How long they keep, and what ordering and keeping cost, is reckoned only where it is told how many are used in a month."
            );
        }
        match (self.order_cost.is_zero(), self.carrying.is_zero()) {
            (false, false) => say!(
                "Packs at a time: the economic order quantity, the root of 2 × pieces a year × cost of an order / cost of keeping a piece for a year, in whole packs."
            ),
            (false, true) => say!(
                "One pack is ordered at a time. Keeping counts as nothing: no cost of it is told."
            ),
            (true, false) => say!(
                "One pack is ordered at a time. An order to the supplier counts as nothing: no cost of it is told."
            ),
            (true, true) => say!(
                "An order to the supplier and keeping count as nothing: no cost of them is told."
            ),
        }
    }

    /// How a pack is best ordered, and what a year costs then; without a rate of use, what a piece costs.
    fn choice(&self, pack: Pack) -> (Decimal, Decimal) {
        let count = Decimal::from(pack.count);
        let year = Decimal::from(12);
        let total = |total: Decimal| (count, total);
        let Some(rate) = self.rate else {
            return total(pack.each());
        };
        let (order_cost, carrying) = (self.order_cost, self.carrying);
        let spoils = self.keeps.zip(self.used).filter(|(_, used)| count > *used);
        if let Some((keeps, used)) = spoils {
            // A new one is bought whenever the old one no longer keeps; what is left of it is lost.
            let keeping = carrying * pack.shelf(count - used);
            return total(carried((pack.price + order_cost) * year / keeps + keeping));
        }
        if !self.orders() {
            // One pack at a time: it is ordered as often as it is used up.
            let bought = (pack.price + order_cost) * rate * year / count;
            return total(carried(bought + carrying * pack.shelf(Decimal::ZERO)));
        }
        let demand = Demand {
            a_year: rate * year,
            order_cost,
            carrying,
        };
        let tier = Tier {
            pack: count,
            below: self.used.map(|used| used.floor() + Decimal::ONE),
            each: pack.each(),
        };
        // One pack can always be had here, and no figure that may be typed is beyond reckoning.
        eoq::best(&demand, &tier).unwrap_or_else(|| total(pack.each()))
    }

    /// What is left over of so many, bought time and again, when they no longer keep.
    fn rest(&self, count: Decimal) -> Decimal {
        let used = self.used.unwrap_or(count);
        (count - used).max(Decimal::ZERO)
    }

    /// What of a pack that is bought now is left over when it no longer keeps.
    fn left(&self, pack: Pack) -> Decimal {
        let count = Decimal::from(pack.count);
        self.used.map_or(Decimal::ZERO, |used| {
            (self.on_hand + count - used).clamp(Decimal::ZERO, count)
        })
    }
}

fn pack_row(
    pack: Pack,
    (same, wins): (usize, usize),
    choice: Option<(Decimal, Decimal)>,
    usage: &Use,
    currency: Currency,
) -> PackRow {
    let nearest = RoundingStrategy::MidpointAwayFromZero;
    let count = Decimal::from(pack.count);
    let left = usage.left(pack);
    let within = |from: usize| u32::try_from(from).ok().filter(|from| *from <= pack.count);
    let (same_from, wins_from) = (within(same), within(wins));
    let wins_text = Some(match (same_from, wins_from) {
        (_, Some(1)) => say!("Cheaper than smaller packs for any number").to_owned(),
        (Some(same), Some(wins)) if same < wins => {
            say!("Cheaper than smaller packs from {wins} on, the same from {same}")
        }
        (_, Some(wins)) => say!("Cheaper than smaller packs from {wins} on"),
        (Some(same), None) => say!("Never cheaper than smaller packs, the same from {same}"),
        (None, None) => say!("Never cheaper than smaller packs").to_owned(),
    });
    let mut each = pack.each().round_dp_with_strategy(4, nearest).normalize();
    if each.scale() < currency.exponent() {
        each.rescale(currency.exponent());
    }
    let stock = usage.on_hand + count;
    let risk = usage.used.map(|used| {
        let chance =
            100.0 * chance_below(used.to_f64().unwrap_or(0.0), stock.to_f64().unwrap_or(0.0));
        match chance {
            small if small < 1.0 => say!("under 1").to_owned(),
            large if large > 99.0 => say!("over 99").to_owned(),
            chance => decimals(chance, 0),
        }
    });
    let months = usage.rate.map(|rate| {
        let used_up = stock / rate;
        usage.keeps.map_or(used_up, |keeps| used_up.min(keeps))
    });
    let ordered = choice.filter(|_| usage.orders());
    let packs = ordered.map(|(pieces, _)| pieces / count);
    PackRow {
        count: pack.count,
        price: currency.text(pack.price),
        each: each.to_string(),
        wins_from,
        wins_text,
        tied_up: currency.text(pack.shelf(usage.rest(count)) * packs.unwrap_or(Decimal::ONE)),
        months: months.map(|months| places(months, 1, nearest)),
        left: usage.used.and_then(|_| hundredths(left, count)),
        risk,
        at_a_time: packs.and_then(|packs| packs.to_u32()),
        year: choice
            .filter(|_| usage.rate.is_some())
            .map(|(_, total)| currency.text(total)),
        best: false,
    }
}

fn reason(best: Option<&PackRow>, usage: &Use) -> String {
    let Some(best) = best else {
        return String::new();
    };
    let Some(months) = &best.months else {
        return say!(
            "A piece costs the least in it. How long it lasts is told once you say how many you use a month."
        )
        .to_owned();
    };
    if usage.used.is_some_and(|used| usage.on_hand >= used) {
        return say!(
            "Nothing has to be bought yet: what is on hand lasts longer than a new pack keeps."
        )
        .to_owned();
    }
    match &best.left {
        None => say!("A year costs the least with it. Months that it lasts: {months}."),
        Some(left) if left == "0" => say!(
            "A year costs the least with it, and it is used up while it keeps. Months that it lasts: {months}."
        ),
        Some(_) => say!(
            "A year costs the least with it, although not all of it is used while it keeps. Months that it lasts: {months}."
        ),
    }
}

/// The chance that fewer than `stock` are used where `mean` are on average and each use is independent
/// of the others: the sum of the Poisson distribution below a number. Terms are reckoned from the
/// greatest one outwards, in parts of it, until they no longer count.
fn chance_below(mean: f64, stock: f64) -> f64 {
    const NEGLIGIBLE: f64 = 1e-17;
    // Far more than anybody has on hand.
    if mean > 2e6 {
        return 0.0;
    }
    let top = mean.floor();
    let (mut all, mut below) = (0.0, 0.0);
    let mut add = |uses: f64, part: f64| {
        all += part;
        if uses < stock {
            below += part;
        }
    };
    let (mut uses, mut part) = (top, 1.0);
    while uses >= 0.0 && part > NEGLIGIBLE {
        add(uses, part);
        part *= uses / mean;
        uses -= 1.0;
    }
    (uses, part) = (top + 1.0, mean / (top + 1.0));
    while part > NEGLIGIBLE {
        add(uses, part);
        uses += 1.0;
        part *= mean / uses;
    }
    below / all
}
