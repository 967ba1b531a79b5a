//! Everything an order costs whatever its price, read from the input.

use super::fees::{Fee, Terms};
use super::input::{
    BladeInput, ChannelKind, FeeInput, FilmInput, MachineInput, QuoteInput, Share, SupplyInput,
    SupplyUse, TargetKind,
};
use super::learning;
use super::packs::price_each;
use super::unit;
use crate::decal::SIDE;
use crate::error::{Checks, Code, InputError, InputErrors};
use crate::material::MaterialReport;
use crate::measure::{Area, Count, Length, LengthInput, NumberInput, Range, Time, Unit, required};
use crate::money::{Currency, Rounding, TaxKind, parse_amount, parse_percent, plus};
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;
use say::say;

/// Rolls of film and of tape: nobody buys less than 10 cm or more than a kilometre of either.
const ROLL: Range = Range::new(Length::whole(10, Unit::Cm), Length::whole(1000, Unit::M));

/// What is cut for one piece, and what a blade cuts before it is dull.
const CUT: Range = Range::new(Length::whole(1, Unit::Mm), Length::whole(1000, Unit::M));
const LIFE: Range = Range::new(Length::whole(1, Unit::M), Length::whole(10_000, Unit::M));

/// The greatest part of the pieces, or of the orders, that may come to nothing.
const MOST_LOST: Decimal = Decimal::from_parts(95, 0, 0, false, 2);

/// The greatest number of fees, and of the tiers of one.
const MOST_FEES: usize = 20;

/// What a price shall reach.
#[derive(Clone, Copy, Debug)]
pub(super) enum Target {
    /// Everything that is bought is paid, and nothing for the work.
    Bought,
    /// Fraction of what the items bring that is left when everything is paid.
    Margin(Decimal),
    /// What is left in parts of all that is paid from what the items bring.
    Markup(Decimal),
    /// What an hour of work brings, the wage included.
    HourlyPay(Decimal),
    /// What is left of each piece.
    Profit(Decimal),
}

/// Something that goes along with an order.
#[derive(Clone, Debug)]
pub(super) struct Supply {
    pub name: String,
    /// For the whole order.
    pub cost: Decimal,
    /// So many of them.
    pub count: u32,
    pub per: SupplyUse,
}

/// How many times what the input says the work on a piece and the length of its cut are.
#[derive(Clone, Copy, Debug)]
pub(super) struct Growth {
    pub work: Decimal,
    pub cut: Decimal,
}

impl Default for Growth {
    fn default() -> Self {
        Self {
            work: Decimal::ONE,
            cut: Decimal::ONE,
        }
    }
}

/// What an order costs. Amounts are for the whole order, and exact.
#[derive(Clone, Debug)]
pub(super) struct Costs {
    /// Pieces that are priced one by one; a set is one.
    pub pieces: u32,
    /// Pieces that are made.
    pub made: u32,
    /// Pieces that are cut at once and share the setting up.
    pub batch: u32,
    /// Pieces on a sheet; none for a roll.
    pub per_sheet: Option<u32>,
    /// The part of a roll that is cut off for all that is cut at once; none for sheets.
    pub roll_part: Option<Decimal>,
    pub by: Share,
    pub film: Decimal,
    pub tape: Decimal,
    /// Hours of work on the pieces that are sold, with their share of setting up and with packing.
    pub work_hours: Decimal,
    /// Those of packing among them.
    pub packing_hours: Decimal,
    pub wage: Decimal,
    pub work: Decimal,
    /// Fraction of the pieces made that cannot be sold.
    pub spoilage: Decimal,
    /// Hours of work on pieces that are not sold.
    pub spoiled_hours: Decimal,
    /// Film, tape, wear and work of pieces that are not sold.
    pub spoiled: Decimal,
    pub wear: Decimal,
    pub licence: Decimal,
    pub supplies: Vec<Supply>,
    pub overhead: Decimal,
    /// Orders in a month, if they were told.
    pub orders: Option<u32>,
    /// Whether it goes by post.
    pub posted: bool,
    pub postage_paid: Decimal,
    pub terms: Terms,
    pub target: Target,
    pub own_price: Option<Decimal>,
    pub ending: crate::money::Ending,
}

impl Costs {
    /// Reads the input; without a layout it only finds the mistakes in it.
    pub(super) fn read(
        input: &QuoteInput,
        layout: Option<&MaterialReport>,
    ) -> Result<Self, InputErrors> {
        Self::read_grown(input, layout, Growth::default())
    }

    /// The same where the work on a piece and the length of its cut are so many times what the input says.
    pub(super) fn read_grown(
        input: &QuoteInput,
        layout: Option<&MaterialReport>,
        growth: Growth,
    ) -> Result<Self, InputErrors> {
        let mut read = Reader::new(&input.currency, unit(input));
        let pieces = read.count(input.pieces.as_ref(), "pieces").unwrap_or(1);
        let roll = input.material.sheet.length.is_none();
        let (film_price, stock) = read.film(&input.film, roll, layout.map(Bought::of));
        let tape_rate = read.tape_rate(input);
        let wage = read.amount(input.wage.as_deref(), "wage");
        let setup = read.hours(input.setup_time.as_ref(), "setupTime");
        let practice = read.practice(input.learning.as_ref(), pieces);
        let each = read.hours(input.piece_time.as_ref(), "pieceTime") * growth.work * practice;
        let packing = read.hours(input.order_time.as_ref(), "orderTime");
        let spoilage = read.spoilage(input.spoilage.as_ref());
        let posted = input.channel.kind != ChannelKind::Fair;
        let supplies = read.supplies(&input.supplies, pieces, posted);
        let wear_rate = read.wear(&input.machine, &input.blade) * growth.cut;
        let licence = read.amount(input.licence.as_deref(), "licence");
        let orders = read.count(input.orders.as_ref(), "orders");
        let overhead = read.overhead(input, orders);
        let terms = read.terms(input, pieces, posted);
        // Over a table nothing is packed for the post.
        let packing = if posted { packing } else { Decimal::ZERO };
        let postage_paid = read.amount(input.postage.paid.as_deref(), "postage.paid");
        let postage_paid = if posted { postage_paid } else { Decimal::ZERO };
        let target = read.target(input, setup + each + packing);
        let own_price = read.own_price(input.own_price.as_deref(), "ownPrice");

        let (film_area, batch) =
            layout.map_or((Area::default(), 1), MaterialReport::film_per_piece);
        let piece_area = layout.map_or_else(Area::default, MaterialReport::piece_area);
        let count = Decimal::from(pieces);
        // What is cut at once, as a part of the stock as it is bought.
        let part = stock.map(|stock| part_of(film_area, stock));
        let film = match input.film.by {
            Share::Layout => film_cost(film_price, part.unwrap_or_default(), pieces, batch),
            Share::Area => {
                let part = stock.map(|stock| part_of(piece_area, stock));
                film_cost(film_price, part.unwrap_or_default(), pieces, 1)
            }
        };
        let roll_part = part.filter(|_| roll);
        let tape = carried(count * tape_rate * square_metres(piece_area));
        let work_hours = count * (each + setup / Decimal::from(batch)) + packing;
        let work = carried(wage * work_hours);
        let wear = carried(count * wear_rate);
        // Of 100 pieces made, s are lost: each one sold bears s / (100 - s) of one that is not.
        let lost = spoilage / (Decimal::ONE - spoilage);
        let spoiled_hours = count * each * lost;
        let spoiled = carried((film + tape + wear) * lost + wage * spoiled_hours);
        read.checks.finish(Self {
            pieces,
            made: pieces,
            batch,
            per_sheet: layout.and_then(|layout| layout.per_sheet),
            roll_part,
            by: input.film.by,
            film,
            tape,
            work_hours,
            packing_hours: packing,
            wage,
            work,
            spoilage,
            spoiled_hours,
            spoiled,
            wear,
            licence: carried(licence * count),
            supplies,
            overhead,
            orders,
            posted,
            postage_paid,
            terms,
            target,
            own_price,
            ending: input.ending,
        })
    }

    /// Everything but what is taken from the sale.
    pub(super) fn all(&self) -> Decimal {
        let supplies = self
            .supplies
            .iter()
            .fold(Decimal::ZERO, |all, supply| all + supply.cost);
        self.film
            + self.tape
            + self.work
            + self.spoiled
            + self.wear
            + self.licence
            + supplies
            + self.overhead
            + self.postage_paid
    }

    /// What the pieces of an order cost that is sold over a table: all but packing, postage, what only
    /// goes by post, and overhead.
    pub(super) fn of_making(&self) -> Decimal {
        let along = self
            .supplies
            .iter()
            .filter(|supply| supply.per != SupplyUse::Posted);
        let along = along.fold(Decimal::ZERO, |all, supply| all + supply.cost);
        self.film + self.tape + self.work - self.pay_of_packing()
            + self.spoiled
            + self.wear
            + self.licence
            + along
    }

    /// A price of the maker's own for these costs, which may be left out or empty.
    pub(super) fn own(
        &self,
        text: Option<&str>,
        path: &str,
    ) -> Result<Option<Decimal>, InputErrors> {
        let mut read = Reader {
            checks: Checks::default(),
            currency: self.terms.currency,
            unit: Unit::default(),
        };
        let price = read.own_price(text, path);
        read.checks.finish(price)
    }

    /// The costs of this order with the pieces of another one in it: packed, posted and sold as one.
    pub(super) fn with(mut self, other: Self) -> Self {
        self.film = plus(self.film, other.film);
        self.tape = plus(self.tape, other.tape);
        self.work_hours = plus(self.work_hours, other.work_hours - other.packing_hours);
        self.work = plus(self.work, other.work - other.pay_of_packing());
        self.spoiled = plus(self.spoiled, other.spoiled);
        self.spoiled_hours = plus(self.spoiled_hours, other.spoiled_hours);
        self.made += other.made;
        self.wear = plus(self.wear, other.wear);
        self.licence = plus(self.licence, other.licence);
        for (supply, more) in self.supplies.iter_mut().zip(other.supplies) {
            if supply.per == SupplyUse::Piece {
                supply.cost = plus(supply.cost, more.cost);
            }
        }
        self
    }

    fn pay_of_packing(&self) -> Decimal {
        carried(self.wage * self.packing_hours)
    }

    /// What `pay` an hour comes to for all hours that the order takes.
    pub(super) fn pay(&self, pay: Decimal) -> Decimal {
        carried(pay * self.order_hours())
    }

    /// All hours that the order takes.
    pub(super) fn order_hours(&self) -> Decimal {
        self.work_hours + self.spoiled_hours
    }
}

/// Reads fields one after the other and keeps what is wrong with them; a field that cannot be read
/// counts as nothing until the mistakes are reported.
pub(super) struct Reader {
    pub checks: Checks,
    pub currency: Currency,
    pub unit: Unit,
}

/// The film as it is bought, and the longest piece that is cut from it.
#[derive(Clone, Copy, Debug)]
pub(super) struct Bought {
    pub width: Length,
    /// None for a roll.
    pub sheet_length: Option<Length>,
    /// The longest piece as it lies, with the margin at both ends.
    pub longest_piece: Length,
}

impl Bought {
    fn of(layout: &MaterialReport) -> Self {
        Self {
            width: layout.stock_width(),
            sheet_length: layout.sheet_length(),
            longest_piece: layout.longest_piece(),
        }
    }
}

impl Reader {
    /// A reader for amounts in the currency of that code, which stands in the input's `currency`.
    pub(super) fn new(currency: &str, unit: Unit) -> Self {
        let mut checks = Checks::default();
        let currency = Currency::parse(currency).map_err(|error| error.at("currency"));
        // Until the mistake is reported any currency will do, so that the others are found as well.
        let currency = checks.take(currency).unwrap_or_default();
        Self {
            checks,
            currency,
            unit,
        }
    }

    /// An amount; nothing where it is left out, a mistake where it is empty.
    pub fn amount(&mut self, text: Option<&str>, path: &str) -> Decimal {
        let Some(text) = text else {
            return Decimal::ZERO;
        };
        let read = parse_amount(text, self.currency).map_err(|error| or_zero(error).at(path));
        carried(self.checks.take(read).unwrap_or_default())
    }

    pub fn percent(&mut self, input: Option<&NumberInput>, path: &str) -> Decimal {
        let read = percent(input).map_err(|error| error.at(path));
        self.checks.take(read).unwrap_or_default()
    }

    pub fn hours(&mut self, input: Option<&NumberInput>, path: &str) -> Decimal {
        let Some(input) = input else {
            return Decimal::ZERO;
        };
        let read = Time::parse(&input.text()).map_err(|error| or_zero(error).at(path));
        let time = self.checks.take(read).unwrap_or_default();
        Decimal::from(time.ms()) / Decimal::from(3_600_000)
    }

    /// How much less time a piece takes on average, where so many are made in a row.
    fn practice(&mut self, rate: Option<&NumberInput>, pieces: u32) -> Decimal {
        let path = "learning";
        let rate = rate.map(|rate| percent(Some(rate)).map_err(|error| error.at(path)));
        let rate = rate.and_then(|rate| self.checks.take(rate));
        let Some(rate) = rate.and_then(|rate| rate.to_f64()) else {
            return Decimal::ONE;
        };
        if rate <= 0.0 {
            let error = InputError::new(
                Code::TooSmall,
                say!("work that takes no time at all after the first piece"),
                say!(
                    "write the hundredths that are left each time the number doubles, for example 90"
                ),
            );
            self.checks.add(error.at(path));
            return Decimal::ONE;
        }
        let factor = learning::mean_factor(rate, pieces) * 1e9;
        #[expect(
            clippy::cast_possible_truncation,
            reason = "from nothing to a thousand million"
        )]
        Decimal::from_i128_with_scale(factor.round() as i128, 9)
    }

    /// The length of a roll; a bare text counts in feet or metres.
    pub fn long(&mut self, input: Option<&LengthInput>, path: &str) -> Option<Length> {
        let input = input.map(|input| input.counted_in(self.unit));
        let unit = self.unit.for_distance();
        self.checks.take(required(input.as_ref(), path, unit, ROLL))
    }

    /// A roll that is shorter than a single piece serves for nothing.
    fn holds_a_piece(&mut self, roll: Option<Length>, bought: Option<Bought>) {
        let Some((roll, longest)) = roll.zip(bought.map(|bought| bought.longest_piece)) else {
            return;
        };
        if longest > roll {
            let unit = self.unit.for_distance();
            let error = InputError::new(
                Code::DoesNotFit,
                say!(
                    "one piece takes {length} of roll",
                    length = longest.text(unit)
                ),
                say!("write the length of a roll that holds it, or make the piece shorter"),
            );
            self.checks.add(error.at("film.length"));
        }
    }

    /// A number of pieces, lines or orders, which may be left out.
    pub(super) fn count(&mut self, input: Option<&Count>, path: &str) -> Option<u32> {
        let count = input?.read().map_err(|error| error.at(path));
        self.checks.take(count)
    }

    /// What goes along with an order of so many pieces.
    fn supplies(&mut self, input: &[SupplyInput], pieces: u32, posted: bool) -> Vec<Supply> {
        let mut supplies = Vec::new();
        for (index, supply) in input.iter().enumerate() {
            let path = |member: &str| format!("supplies[{index}].{member}");
            let each = match &supply.packs {
                Some(packs) => {
                    let each = price_each(packs, self.currency);
                    let each = each.map_err(|error| error.at(path("packs")));
                    self.checks.take(each).unwrap_or_default()
                }
                None => self.amount(supply.each.as_deref(), &path("each")),
            };
            let count = self
                .count(supply.count.as_ref(), &path("count"))
                .unwrap_or(1);
            let used = match supply.per {
                SupplyUse::Order => 1,
                SupplyUse::Posted => u32::from(posted),
                SupplyUse::Piece => pieces,
            };
            supplies.push(Supply {
                name: supply.name.clone().unwrap_or_default(),
                cost: carried(each * Decimal::from(count) * Decimal::from(used)),
                count,
                per: supply.per,
            });
        }
        supplies
    }

    /// What cutter and blade wear off for one piece.
    fn wear(&mut self, machine: &MachineInput, blade: &BladeInput) -> Decimal {
        let cost = self.amount(machine.price.as_deref(), "machine.price");
        let runs = self.hours(machine.piece_time.as_ref(), "machine.pieceTime");
        let mut wear = Decimal::ZERO;
        if !cost.is_zero() && !runs.is_zero() {
            let path = "machine.hours";
            let text = machine
                .hours
                .as_ref()
                .map_or_else(String::new, NumberInput::text);
            let life = parse_amount(&text, self.currency).and_then(|life| {
                // So short a life is a slip, and what it wears off beyond all amounts.
                if life < Decimal::ONE {
                    let short = say!("a machine that runs for less than an hour");
                    return Err(InputError::new(Code::TooSmall, short, HOURS));
                }
                Ok(life)
            });
            let life = life.map_err(|mut error| {
                if error.code == Code::Missing {
                    error.hint = HOURS.into();
                }
                error.at(path)
            });
            if let Some(life) = self.checks.take(life) {
                wear = cost * runs / life;
            }
        }
        let cost = self.amount(blade.price.as_deref(), "blade.price");
        if !cost.is_zero() && blade.piece_length.is_some() {
            let unit = self.unit.for_distance();
            let piece = blade.piece_length.as_ref();
            let piece = piece.map(|input| input.counted_in(self.unit));
            let piece = required(piece.as_ref(), "blade.pieceLength", unit, CUT);
            let life = blade
                .length
                .as_ref()
                .map(|input| input.counted_in(self.unit));
            let life = required(life.as_ref(), "blade.length", unit, LIFE);
            let (piece, life) = (self.checks.take(piece), self.checks.take(life));
            if let Some((piece, life)) = piece.zip(life) {
                wear = plus(
                    wear,
                    cost * Decimal::from(piece.nm()) / Decimal::from(life.nm()),
                );
            }
        }
        wear
    }

    /// What is paid by the month, as far as an order bears it, and what it bears besides.
    fn overhead(&mut self, input: &QuoteInput, orders: Option<u32>) -> Decimal {
        let monthly = self.amount(input.monthly.as_deref(), "monthly");
        let own = self.amount(input.overhead.as_deref(), "overhead");
        if monthly.is_zero() {
            return own;
        }
        let Some(orders) = orders else {
            if input.orders.is_none() {
                let error = InputError::new(
                    Code::Missing,
                    say!("what is paid by the month has no orders to bear it"),
                    say!("write how many orders you have in a month, for example 40"),
                );
                self.checks.add(error.at("orders"));
            }
            return own;
        };
        carried(monthly / Decimal::from(orders)) + own
    }

    /// The terms on which an order of so many pieces is sold.
    fn terms(&mut self, input: &QuoteInput, pieces: u32, posted: bool) -> Terms {
        let channel = &input.channel;
        let lines = self.count(input.order_lines.as_ref(), "orderLines");
        let lines = lines.unwrap_or(1);
        let charged = self.amount(input.postage.charged.as_deref(), "postage.charged");
        // What is charged has to be paid, so it comes in whole minor units.
        let charged = self.currency.round(charged, Rounding::HalfAwayFromZero);
        if channel.fees.len() > MOST_FEES {
            let message = say!("more than {MOST_FEES} fees");
            self.checks.add(too_many_alike(message).at("channel.fees"));
        }
        let fees = channel.fees.iter().take(MOST_FEES).enumerate();
        let fees = fees.map(|(index, fee)| self.fee(fee, index, lines, pieces));
        let fees = fees.collect();
        let (tax_kind, tax_path) = (channel.tax.kind, "channel.tax.percent");
        let tax = if tax_kind == TaxKind::None {
            Decimal::ZERO
        } else {
            self.percent(channel.tax.percent.as_ref(), tax_path)
        };
        let path = "channel.refunds";
        let refunds = self.percent(channel.refunds.as_ref(), path);
        if refunds > MOST_LOST {
            let error = InputError::new(
                Code::TooLarge,
                say!("hardly any order is paid for good"),
                say!("write how many orders in a hundred are paid back, from 0 to 95"),
            );
            self.checks.add(error.at(path));
        }
        Terms {
            currency: self.currency,
            fees,
            tax_kind,
            tax,
            tax_on_postage: channel.tax.postage,
            refunds,
            postage: if posted { charged } else { Decimal::ZERO },
        }
    }

    fn fee(&mut self, input: &FeeInput, index: usize, lines: u32, pieces: u32) -> Fee {
        let path = |member: &str| format!("channel.fees[{index}].{member}");
        let mut tiers = vec![(
            Decimal::ZERO,
            self.percent(input.item.as_ref(), &path("item")),
        )];
        if input.tiers.len() > MOST_FEES {
            let message = say!("more than {MOST_FEES} tiers");
            self.checks.add(too_many_alike(message).at(path("tiers")));
        }
        for (place, tier) in input.tiers.iter().take(MOST_FEES).enumerate() {
            let path = |member: &str| path(&format!("tiers[{place}].{member}"));
            let from_path = path("from");
            let from = self.needed(tier.from.as_deref(), &from_path);
            let share = self.percent(tier.item.as_ref(), &path("item"));
            let last = tiers.last().map_or(Decimal::ZERO, |(last, _)| *last);
            // The first one may begin at nothing, and so takes the place of `item`.
            if from.is_some_and(|from| from < last || from == last && place > 0) {
                let error = InputError::new(
                    Code::TooSmall,
                    say!("a tier begins where an earlier one does, or before it"),
                    say!("write the tiers from the least amount to the greatest"),
                );
                self.checks.add(error.at(from_path));
            }
            tiers.push((from.unwrap_or(last), share));
        }
        let amount = |read: &mut Self, text: &Option<String>, member: &str| {
            read.amount(text.as_deref(), &path(member))
        };
        let (lines, pieces) = (Decimal::from(lines), Decimal::from(pieces));
        let fixed = amount(self, &input.order, "order")
            + amount(self, &input.line, "line") * lines
            + amount(self, &input.piece, "piece") * pieces;
        let chance = input.chance.as_ref();
        Fee {
            name: input.name.clone().unwrap_or_default(),
            tiers,
            whole: input.whole,
            postage: self.percent(input.postage.as_ref(), &path("postage")),
            tax: self.percent(input.tax.as_ref(), &path("tax")),
            least: amount(self, &input.least, "least"),
            most: input
                .most
                .as_ref()
                .map(|_| amount(self, &input.most, "most")),
            fixed,
            chance: chance.map_or(Decimal::ONE, |_| self.percent(chance, &path("chance"))),
            returned: input.returned,
        }
    }

    /// An amount that must be there.
    fn needed(&mut self, text: Option<&str>, path: &str) -> Option<Decimal> {
        let read = parse_amount(text.unwrap_or_default(), self.currency);
        let read = read.map_err(|error| or_zero(error).at(path));
        self.checks.take(read).map(carried)
    }

    /// Price of the sheet or of the whole roll, and its area; none where there is no layout yet.
    pub(super) fn film(
        &mut self,
        input: &FilmInput,
        roll: bool,
        bought: Option<Bought>,
    ) -> (Decimal, Option<Area>) {
        let price = self.amount(input.price.as_deref(), "film.price");
        let length = if roll && !price.is_zero() {
            let roll = self.long(input.length.as_ref(), "film.length");
            self.holds_a_piece(roll, bought);
            roll
        } else {
            bought.and_then(|bought| bought.sheet_length)
        };
        (price, area(bought.map(|bought| bought.width), length))
    }

    /// Price of a square metre of transfer tape.
    fn tape_rate(&mut self, input: &QuoteInput) -> Decimal {
        let price = self.amount(input.tape.price.as_deref(), "tape.price");
        if price.is_zero() {
            return Decimal::ZERO;
        }
        let width = required(input.tape.width.as_ref(), "tape.width", self.unit, SIDE);
        let width = self.checks.take(width);
        let length = self.long(input.tape.length.as_ref(), "tape.length");
        area(width, length).map_or(Decimal::ZERO, |area| price / square_metres(area))
    }

    fn spoilage(&mut self, input: Option<&NumberInput>) -> Decimal {
        let spoilage = self.percent(input, "spoilage");
        if spoilage > MOST_LOST {
            self.checks.add(
                InputError::new(
                    Code::TooLarge,
                    say!("hardly anything is left to sell"),
                    say!("write how many in a hundred are spoiled, from 0 to 95"),
                )
                .at("spoilage"),
            );
            return Decimal::ZERO;
        }
        spoilage
    }

    fn target(&mut self, input: &QuoteInput, hours: Decimal) -> Target {
        let value = input.target.value.as_ref();
        let path = "target.value";
        match input.target.kind {
            TargetKind::Margin => Target::Margin(self.percent(value, path)),
            TargetKind::Markup => Target::Markup(self.markup(value, path)),
            TargetKind::HourlyPay => {
                let pay = self.sum_of_money(value, path);
                if hours.is_zero() {
                    self.checks.add(
                        InputError::new(
                            Code::Impossible,
                            say!("pay an hour cannot be reached where no time is worked"),
                            say!("write the time for a piece, or aim at a margin"),
                        )
                        .at(path),
                    );
                }
                Target::HourlyPay(pay)
            }
            TargetKind::Profit => Target::Profit(self.sum_of_money(value, path)),
        }
    }

    /// A mark-up in hundredths, which may be more than a hundred.
    fn markup(&mut self, value: Option<&NumberInput>, path: &str) -> Decimal {
        let Some(value) = value else {
            return Decimal::ZERO;
        };
        let text = value.text();
        let bare = text.trim().trim_end_matches('%');
        self.amount(Some(bare), path) / Decimal::ONE_HUNDRED
    }

    /// Money comes as text: as a number it would have lost its last digits before it is read.
    fn sum_of_money(&mut self, value: Option<&NumberInput>, path: &str) -> Decimal {
        if matches!(value, Some(NumberInput::Number(_))) {
            let error = InputError::new(
                Code::WrongType,
                say!("an amount of money is a text"),
                say!("write it like \"25.00\""),
            );
            self.checks.add(error.at(path));
        }
        let text = value.map(NumberInput::text);
        self.amount(text.as_deref(), path)
    }

    /// A price that may be left out or empty, in whole minor units, as it has to be paid.
    fn own_price(&mut self, text: Option<&str>, path: &str) -> Option<Decimal> {
        let text = text.filter(|text| !text.trim().is_empty())?;
        let price = parse_amount(text, self.currency).map_err(|error| error.at(path));
        let price = self.checks.take(price)?;
        Some(self.currency.round(price, Rounding::HalfAwayFromZero))
    }
}

/// A share in hundredths; nothing where it is left out, a mistake where it is empty.
pub(super) fn percent(input: Option<&NumberInput>) -> Result<Decimal, InputError> {
    input.map_or(Ok(Decimal::ZERO), |input| {
        parse_percent(&input.text()).map_err(or_zero)
    })
}

/// More rows than are reckoned with.
pub(super) fn too_many(most: usize) -> InputError {
    InputError::new(
        Code::TooLarge,
        say!("these are too many"),
        say!("write {most} at most"),
    )
}

/// More fees, or tiers of one, than anybody charges are refused: each of them may bend what is
/// kept of a price, and all the bends are looked at.
fn too_many_alike(message: String) -> InputError {
    let hint = say!("put those together that are charged alike");
    InputError::new(Code::TooLarge, message, hint)
}

/// What is said where the life of a machine cannot be used.
const HOURS: &str = say!("write how many hours it is expected to run, for example 2000");

/// An amount that is left empty is asked for in words of its own: nothing at all is written as 0.
fn or_zero(mut error: InputError) -> InputError {
    if error.code == Code::Missing {
        error.hint = say!("write 0 if there is none").into();
    }
    error
}

/// The part of the stock, as it is bought, that is taken.
pub(super) fn part_of(taken: Area, stock: Area) -> Decimal {
    square_metres(taken) / square_metres(stock)
}

/// What the film of `pieces` costs, where `batch` of them share a part of the stock, as it is bought,
/// that has a price.
pub(super) fn film_cost(price: Decimal, part: Decimal, pieces: u32, batch: u32) -> Decimal {
    carried(price * part * Decimal::from(pieces) / Decimal::from(batch))
}

/// The area of a stock; none where a side could not be read.
fn area(width: Option<Length>, length: Option<Length>) -> Option<Area> {
    width.zip(length).map(|(width, length)| width * length)
}

/// An amount to twelve decimals. A division that does not end would otherwise leave a trace in the
/// twenty-eighth decimal, enough to push a price that is just reached up to the next ending.
pub(super) fn carried(amount: Decimal) -> Decimal {
    amount.round_dp_with_strategy(12, rust_decimal::RoundingStrategy::MidpointNearestEven)
}

/// An area as a decimal number of square metres: exact, for an area has at most 18 decimals.
pub(super) fn square_metres(area: Area) -> Decimal {
    Decimal::try_from_i128_with_scale(area.nm2(), 18).unwrap_or_default()
}
