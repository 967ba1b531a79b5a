//! Everything an order costs whatever its price, read from the input.

use super::{FeeInput, FilmInput, QuoteInput, TargetKind, unit};
use crate::decal::SIDE;
use crate::error::{Checks, Code, InputError, InputErrors};
use crate::material::MaterialReport;
use crate::measure::{Area, Count, Length, LengthInput, NumberInput, Range, Time, Unit, required};
use crate::money::{Currency, Rounding, parse_amount, parse_percent};
use rust_decimal::Decimal;

/// Rolls of film and of tape: nobody buys less than 10 cm or more than a kilometre of either.
const ROLL: Range = Range::new(Length::whole(10, Unit::Cm), Length::whole(1000, Unit::M));

/// A fee of a channel or of a payment.
#[derive(Clone, Debug, Default)]
pub(super) struct Fee {
    /// Fraction of item and postage.
    pub share: Decimal,
    /// Amount for each order.
    pub fixed: Decimal,
}

/// What a price shall reach.
#[derive(Clone, Copy, Debug)]
pub(super) enum Target {
    /// Fraction of the item price that is left when everything is paid.
    Margin(Decimal),
    /// What an hour of work brings, the wage included.
    HourlyPay(Decimal),
}

/// What an order costs. Amounts are for the whole order, and exact.
#[derive(Clone, Debug)]
pub(super) struct Costs {
    pub currency: Currency,
    pub pieces: u32,
    /// Pieces that are cut at once and share the setting up.
    pub batch: u32,
    /// The part of a roll that is cut off for all that is cut at once; none for sheets.
    pub roll_part: Option<Decimal>,
    pub film: Decimal,
    pub tape: Decimal,
    /// Hours of work on the pieces that are sold, with their share of setting up.
    pub work_hours: Decimal,
    pub wage: Decimal,
    pub work: Decimal,
    /// Fraction of the pieces made that cannot be sold.
    pub spoilage: Decimal,
    /// Hours of work on pieces that are not sold.
    pub spoiled_hours: Decimal,
    /// Film, tape and work of pieces that are not sold.
    pub spoiled: Decimal,
    pub mailer: Decimal,
    pub card: Decimal,
    pub overhead: Decimal,
    pub postage_paid: Decimal,
    pub postage_charged: Decimal,
    pub channel: Fee,
    pub payment: Fee,
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
        let mut read = Reader::new(&input.currency, unit(input));
        let currency = read.currency;
        let pieces = input.pieces.as_ref().map_or(Ok(1), Count::read);
        let pieces = pieces.map_err(|error| error.at("pieces"));
        let pieces = read.checks.take(pieces).unwrap_or(1);
        let roll = input.material.sheet.length.is_none();
        let (film_price, stock) = read.film(&input.film, roll, layout.map(Bought::of));
        let tape_rate = read.tape_rate(input);
        let wage = read.amount(input.wage.as_deref(), "wage");
        let setup = read.hours(input.setup_time.as_ref(), "setupTime");
        let each = read.hours(input.piece_time.as_ref(), "pieceTime");
        let spoilage = read.spoilage(input.spoilage.as_ref());
        let mailer = read.amount(input.mailer.as_deref(), "mailer");
        let card = read.amount(input.card.as_deref(), "card");
        let overhead = read.amount(input.overhead.as_deref(), "overhead");
        let channel = read.fee(&input.channel, "channel");
        let payment = read.fee(&input.payment, "payment");
        let postage_paid = read.amount(input.postage.paid.as_deref(), "postage.paid");
        let postage_charged = read.amount(input.postage.charged.as_deref(), "postage.charged");
        // What is charged has to be paid, so it comes in whole minor units.
        let postage_charged = currency.round(postage_charged, Rounding::HalfAwayFromZero);
        let target = read.target(input, setup + each);
        let own_price = read.own_price(input.own_price.as_deref());

        let (film_area, batch) =
            layout.map_or((Area::default(), 1), MaterialReport::film_per_piece);
        let piece_area = layout.map_or_else(Area::default, MaterialReport::piece_area);
        let count = Decimal::from(pieces);
        // What is cut at once, as a part of the stock as it is bought.
        let part = stock.map(|stock| part_of(film_area, stock));
        let film = film_cost(film_price, part.unwrap_or_default(), pieces, batch);
        let roll_part = part.filter(|_| roll);
        let tape = carried(count * tape_rate * square_metres(piece_area));
        let work_hours = count * (each + setup / Decimal::from(batch));
        let work = carried(wage * work_hours);
        // Of 100 pieces made, s are lost: each one sold bears s / (100 - s) of one that is not.
        let lost = spoilage / (Decimal::ONE - spoilage);
        let spoiled_hours = count * each * lost;
        let spoiled = carried((film + tape) * lost + wage * spoiled_hours);
        read.checks.finish(Self {
            currency,
            pieces,
            batch,
            roll_part,
            film,
            tape,
            work_hours,
            wage,
            work,
            spoilage,
            spoiled_hours,
            spoiled,
            mailer,
            card,
            overhead,
            postage_paid,
            postage_charged,
            channel,
            payment,
            target,
            own_price,
            ending: input.ending,
        })
    }

    /// Everything but the fees.
    pub(super) fn before_fees(&self) -> Decimal {
        self.film
            + self.tape
            + self.work
            + self.spoiled
            + self.mailer
            + self.card
            + self.overhead
            + self.postage_paid
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

    fn percent(&mut self, input: Option<&NumberInput>, path: &str) -> Decimal {
        let Some(input) = input else {
            return Decimal::ZERO;
        };
        let read = parse_percent(&input.text()).map_err(|error| or_zero(error).at(path));
        self.checks.take(read).unwrap_or_default()
    }

    fn hours(&mut self, input: Option<&NumberInput>, path: &str) -> Decimal {
        let Some(input) = input else {
            return Decimal::ZERO;
        };
        let read = Time::parse(&input.text()).map_err(|error| or_zero(error).at(path));
        let time = self.checks.take(read).unwrap_or_default();
        Decimal::from(time.ms()) / Decimal::from(3_600_000)
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
                format!("one piece takes {} of roll", longest.text(unit)),
                "write the length of a roll that holds it, or make the piece shorter",
            );
            self.checks.add(error.at("film.length"));
        }
    }

    fn fee(&mut self, input: &FeeInput, path: &str) -> Fee {
        Fee {
            share: self.percent(input.percent.as_ref(), &format!("{path}.percent")),
            fixed: self.amount(input.fixed.as_deref(), &format!("{path}.fixed")),
        }
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
        if spoilage > Decimal::new(95, 2) {
            self.checks.add(
                InputError::new(
                    Code::TooLarge,
                    "hardly anything is left to sell",
                    "write how many in a hundred are spoiled, from 0 to 95",
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
            TargetKind::HourlyPay => {
                // Money comes as text: as a number it would have lost its last digits before it is read.
                if matches!(value, Some(NumberInput::Number(_))) {
                    let error = InputError::new(
                        Code::WrongType,
                        "an amount of money is a text",
                        "write it like \"25.00\"",
                    );
                    self.checks.add(error.at(path));
                }
                let text = value.map(NumberInput::text);
                let pay = self.amount(text.as_deref(), path);
                if hours.is_zero() {
                    self.checks.add(
                        InputError::new(
                            Code::Impossible,
                            "pay an hour cannot be reached where no time is worked",
                            "write the time for a piece, or aim at a margin",
                        )
                        .at(path),
                    );
                }
                Target::HourlyPay(pay)
            }
        }
    }

    /// A price that may be left out or empty, in whole minor units, as it has to be paid.
    fn own_price(&mut self, text: Option<&str>) -> Option<Decimal> {
        let text = text.filter(|text| !text.trim().is_empty())?;
        let price = parse_amount(text, self.currency).map_err(|error| error.at("ownPrice"));
        let price = self.checks.take(price)?;
        Some(self.currency.round(price, Rounding::HalfAwayFromZero))
    }
}

/// An amount that is left empty is asked for in words of its own: nothing at all is written as 0.
fn or_zero(mut error: InputError) -> InputError {
    if error.code == Code::Missing {
        error.hint = "write 0 if there is none".into();
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
