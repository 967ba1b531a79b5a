//! Prices of random books against the same sale in whole numbers: forward, by trying every price, and
//! by laws that hold whatever the figures are.

use decal_reckoner::api::decode;
use decal_reckoner::error::{Code, InputErrors};
use decal_reckoner::material::{self, MaterialReport};
use decal_reckoner::quote::{Line, PriceReport, QuoteInput, QuoteReport, report_for};
use num_rational::Ratio;
use proptest::prelude::*;
use serde_json::{Value, json};
use std::sync::OnceLock;

/// An exact fraction. An overflow panics, so that nothing wrong comes of it.
type Exact = Ratio<i128>;

/// Charges stand in ten-thousandths of a minor unit: a percentage with two decimals of whole minor units
/// comes to whole ones of them, and so does the hundredth part of a hundredth.
const PARTS: i128 = 10_000;

/// Nine by three on 12 by 24 in; seven pieces fit on the sheet, as the tests of the layout show.
fn material() -> Value {
    json!({
        "sheet": { "width": 12, "length": 24 }, "margin": "1/4", "gap": "1/8",
        "pieces": [{ "width": 9, "height": 3 }],
    })
}

fn layout() -> &'static MaterialReport {
    static LAYOUT: OnceLock<MaterialReport> = OnceLock::new();
    LAYOUT.get_or_init(|| {
        let input = decode(&material().to_string()).unwrap_or_else(|errors| panic!("{errors:?}"));
        material::report(&input).unwrap_or_else(|errors| panic!("{errors:?}"))
    })
}

/// A fee as it is typed: percentages in hundredths of one, `least`, `most` and tiers in minor units, the
/// sums in hundredths of a minor unit.
#[derive(Clone, Debug, Default)]
struct Fee {
    item: i128,
    postage: i128,
    tax: i128,
    tiers: Vec<(i128, i128)>,
    whole: bool,
    least: i128,
    most: Option<i128>,
    sums: [i128; 3],
    chance: i128,
    returned: bool,
}

/// What is used for an order: its price in hundredths of a minor unit, how many, for what.
type Supply = (i128, i128, usize);

/// A whole book as it is typed: amounts in minor units, times in minutes, percentages in whole ones
/// unless another unit is named.
#[derive(Clone, Debug)]
struct Book {
    currency: usize,
    pieces: i128,
    lines: i128,
    film: i128,
    by_area: bool,
    tape: i128,
    supplies: Vec<Supply>,
    wage: i128,
    setup: i128,
    each: i128,
    packing: i128,
    spoilage: i128,
    /// Price, hours and minutes.
    machine: [i128; 3],
    /// Price, and feet that it cuts and that are cut.
    blade: [i128; 3],
    monthly: i128,
    orders: i128,
    overhead: i128,
    licence: i128,
    fair: bool,
    fees: Vec<Fee>,
    /// 0 for none, 1 for added, 2 for included.
    tax_kind: usize,
    /// In hundredths of a percent.
    tax: i128,
    tax_on_postage: bool,
    refunds: i128,
    paid: i128,
    charged: i128,
    target: Target,
    ending: usize,
}

/// What a price shall reach.
#[derive(Clone, Debug)]
enum Target {
    /// Nothing for the work.
    Bought,
    /// In hundredths of a percent.
    Margin(i128),
    Markup(i128),
    /// In minor units.
    HourlyPay(i128),
    Profit(i128),
    /// A kind and its value as they are written.
    Written(&'static str, String),
}

const CURRENCIES: [(&str, u32); 4] = [("USD", 2), ("JPY", 0), ("KWD", 3), ("CLF", 4)];
const USES: [&str; 3] = ["order", "posted", "piece"];
const TAXES: [&str; 3] = ["none", "added", "included"];
const ENDINGS: [&str; 5] = ["none", "00", "50", "95", "99"];

/// A whole number of parts, of which 10 to the power of `decimals` are one, as a decimal text.
fn text(parts: i128, decimals: u32) -> String {
    let one = 10_i128.pow(decimals);
    let (sign, parts) = (if parts < 0 { "-" } else { "" }, parts.abs());
    let width = decimals as usize;
    if decimals == 0 {
        format!("{sign}{parts}")
    } else {
        format!("{sign}{}.{:0width$}", parts / one, parts % one)
    }
}

/// A decimal text in whole parts, of which 10 to the power of `decimals` are one.
fn parts(text: &str, decimals: u32) -> i128 {
    let (sign, bare) = text.strip_prefix('-').map_or((1, text), |bare| (-1, bare));
    let (whole, rest) = bare.split_once('.').unwrap_or((bare, ""));
    assert_eq!(rest.len(), decimals as usize, "{text}");
    sign * format!("{whole}{rest}").parse::<i128>().unwrap()
}

/// `top / bottom`, neither of them negative, to the nearest whole number; half goes up.
fn nearest(top: i128, bottom: i128) -> i128 {
    (2 * top + bottom).div_euclid(2 * bottom)
}

impl Fee {
    /// What is charged on one order, in whole minor units.
    fn charge(&self, items: i128, postage: i128, tax: i128, lines: i128, pieces: i128) -> i128 {
        let mut steps = vec![(0, self.item)];
        steps.extend(&self.tiers);
        let of_items: i128 = if self.whole {
            let reached = steps.iter().rev().find(|(from, _)| *from <= items);
            reached.map_or(0, |(_, share)| items * share)
        } else {
            // From the top down: what lies above a tier is charged by it, the rest by those below.
            let mut rest = items;
            let mut all = 0;
            for (from, share) in steps.iter().rev() {
                if rest > *from {
                    all += (rest - from) * share;
                    rest = *from;
                }
            }
            all
        };
        let mut charge = of_items + postage * self.postage + tax * self.tax;
        if let Some(most) = self.most {
            charge = charge.min(most * PARTS);
        }
        charge = charge.max(self.least * PARTS);
        let [order, line, piece] = self.sums;
        charge += (order + line * lines + piece * pieces) * 100;
        nearest(charge, PARTS)
    }

    fn json(&self, decimals: u32) -> Value {
        let percent = |hundredths: i128| text(hundredths, 2);
        let tiers = self.tiers.iter();
        let tiers = tiers
            .map(|(from, item)| json!({ "from": text(*from, decimals), "item": percent(*item) }));
        let mut fee = json!({
            "item": percent(self.item), "postage": percent(self.postage), "tax": percent(self.tax),
            "tiers": tiers.collect::<Vec<_>>(), "whole": self.whole, "least": text(self.least, decimals),
            "order": text(self.sums[0], decimals + 2), "line": text(self.sums[1], decimals + 2),
            "piece": text(self.sums[2], decimals + 2), "chance": self.chance.to_string(), "returned": self.returned,
        });
        if let Some(most) = self.most {
            fee["most"] = text(most, decimals).into();
        }
        fee
    }
}

/// What becomes of an order; in ten-thousandths of a minor unit where nothing else is said.
struct Sale {
    /// In minor units.
    total: i128,
    /// In minor units.
    tax: i128,
    fees: Vec<i128>,
    refunds: i128,
    kept: i128,
    /// What the items bring without tax, in minor units.
    net: Exact,
}

impl Book {
    fn decimals(&self) -> u32 {
        CURRENCIES[self.currency].1
    }

    fn json(&self) -> Value {
        let decimals = self.decimals();
        let amount = |minor: i128| text(minor, decimals);
        let fine = |hundredths: i128| text(hundredths, decimals + 2);
        let supplies = self.supplies.iter().map(|(each, count, per)| {
            json!({ "name": "a", "each": fine(*each), "count": count.to_string(), "per": USES[*per] })
        });
        let (kind, value) = match &self.target {
            Target::Bought => unreachable!("nobody types it"),
            Target::Margin(share) => ("margin", text(*share, 2)),
            Target::Markup(share) => ("markup", text(*share, 2)),
            Target::HourlyPay(pay) => ("hourlyPay", amount(*pay)),
            Target::Profit(each) => ("profit", amount(*each)),
            Target::Written(kind, value) => (*kind, value.clone()),
        };
        json!({
            "currency": CURRENCIES[self.currency].0, "material": material(),
            "pieces": self.pieces.to_string(), "orderLines": self.lines.to_string(),
            "film": { "price": amount(self.film), "by": if self.by_area { "area" } else { "layout" } },
            "tape": { "price": amount(self.tape), "width": "12 in", "length": "100 ft" },
            "supplies": supplies.collect::<Vec<_>>(),
            "wage": amount(self.wage), "setupTime": self.setup.to_string(),
            "pieceTime": self.each.to_string(), "orderTime": self.packing.to_string(),
            "spoilage": self.spoilage.to_string(),
            "machine": { "price": amount(self.machine[0]), "hours": self.machine[1].to_string(), "pieceTime": self.machine[2].to_string() },
            "blade": { "price": amount(self.blade[0]), "length": self.blade[1].to_string(), "pieceLength": self.blade[2].to_string() },
            "monthly": amount(self.monthly), "orders": self.orders.to_string(), "overhead": amount(self.overhead),
            "licence": amount(self.licence),
            "channel": {
                "kind": if self.fair { "fair" } else { "post" },
                "fees": self.fees.iter().map(|fee| fee.json(decimals)).collect::<Vec<_>>(),
                "tax": { "kind": TAXES[self.tax_kind], "percent": text(self.tax, 2), "postage": self.tax_on_postage },
                "refunds": self.refunds.to_string(),
            },
            "postage": { "paid": amount(self.paid), "charged": amount(self.charged) },
            "target": { "kind": kind, "value": value }, "ending": ENDINGS[self.ending],
        })
    }

    fn answer(&self, own: Option<&str>) -> Result<QuoteReport, InputErrors> {
        let mut members = self.json();
        if let Some(own) = own {
            members["ownPrice"] = own.into();
        }
        let input: QuoteInput =
            decode(&members.to_string()).unwrap_or_else(|errors| panic!("{errors:?}"));
        report_for(&input, layout())
    }

    /// The asked price in minor units; none where there is none.
    fn price(&self) -> Option<i128> {
        match self.answer(None) {
            Ok(report) => Some(parts(&report.asked.price, self.decimals())),
            Err(errors) => {
                assert!(
                    errors.iter().all(|error| error.code == Code::Impossible),
                    "{errors:?}"
                );
                None
            }
        }
    }

    /// Reckons a sale forward at a price in minor units.
    fn sale(&self, price: i128) -> Sale {
        let items = price * self.pieces;
        let postage = if self.fair { 0 } else { self.charged };
        let taxed = items + if self.tax_on_postage { postage } else { 0 };
        let (tax, on_top, net) = match self.tax_kind {
            1 => {
                let tax = nearest(taxed * self.tax, PARTS);
                (tax, tax, Exact::from(items))
            }
            2 => {
                let tax = nearest(taxed * self.tax, PARTS + self.tax);
                (tax, 0, Exact::new(items * PARTS, PARTS + self.tax))
            }
            _ => (0, 0, Exact::from(items)),
        };
        let total = items + postage + on_top;
        let (mut fees, mut back) = (Vec::new(), (total - tax) * PARTS);
        for fee in &self.fees {
            let charged = fee.charge(items, postage, on_top, self.lines, self.pieces);
            let charged = charged * 100 * fee.chance;
            if fee.returned {
                back -= charged;
            }
            fees.push(charged);
        }
        let refunds = back * self.refunds / 100;
        assert_eq!(refunds * 100, back * self.refunds);
        let kept = (total - tax) * PARTS - fees.iter().sum::<i128>() - refunds;
        Sale {
            total,
            tax,
            fees,
            refunds,
            kept,
            net,
        }
    }

    fn lost(&self) -> Exact {
        Exact::new(self.spoilage, 100 - self.spoilage)
    }

    /// Minutes of packing: none over a table.
    fn packed(&self) -> i128 {
        if self.fair { 0 } else { self.packing }
    }

    /// All hours that the order takes.
    fn hours(&self) -> Exact {
        let each = Exact::new(self.each, 60);
        let shared = Exact::new(self.setup, 60 * 7);
        (each + each * self.lost() + shared) * self.pieces + Exact::new(self.packed(), 60)
    }

    /// What the order costs before anything is taken from the sale, by the lines, in minor units.
    fn costs(&self) -> Vec<(&'static str, Exact)> {
        let count = self.pieces;
        let film = if self.by_area {
            Exact::new(self.film * 27, 288)
        } else {
            Exact::new(self.film, 7)
        };
        let tape = Exact::new(self.tape * 27, 12 * 1200);
        let [machine, life, runs] = self.machine;
        let [blade, cuts, cut] = self.blade;
        let wear = Exact::new(machine * runs, life * 60) + Exact::new(blade * cut, cuts);
        let each = Exact::new(self.each * self.wage, 60);
        let shared = Exact::new(self.setup * self.wage, 60 * 7);
        let supply = |(price, number, per): &Supply| {
            let used = [1, i128::from(!self.fair), count][*per];
            Exact::new(price * number * used, 100)
        };
        let packing = Exact::new(self.packed() * self.wage, 60);
        let postage = if self.fair { 0 } else { self.paid };
        vec![
            ("film", film * count),
            ("tape", tape * count),
            ("work", (each + shared) * count + packing),
            (
                "spoilage",
                (film + tape + wear + each) * self.lost() * count,
            ),
            ("wear", wear * count),
            ("supply", self.supplies.iter().map(supply).sum()),
            ("licence", Exact::from(self.licence * count)),
            (
                "overhead",
                Exact::new(self.monthly, self.orders) + self.overhead,
            ),
            ("postage", postage.into()),
        ]
    }

    /// What is left of a sale when everything is paid, in minor units.
    fn left(&self, price: i128) -> Exact {
        let costs: Exact = self.costs().into_iter().map(|(_, cost)| cost).sum();
        Exact::new(self.sale(price).kept, PARTS) - costs
    }

    /// By how much a price surpasses its target, in minor units of what is left, of so much above the
    /// target as the aim itself grows with it.
    fn beyond(&self, price: i128, target: &Target) -> Exact {
        let left = self.left(price);
        let net = self.sale(price).net;
        match target {
            Target::Bought => left + self.hours() * self.wage,
            Target::Margin(share) => left - net * Exact::new(*share, PARTS),
            Target::Markup(share) => left - (net - left) * Exact::new(*share, PARTS),
            Target::HourlyPay(pay) => left + self.hours() * self.wage - self.hours() * *pay,
            Target::Profit(each) => left - Exact::from(each * self.pieces),
            Target::Written(..) => unreachable!("only read"),
        }
    }

    /// Whether a price reaches a target but for a hair: the core carries costs to twelve decimals, and
    /// takes what lies a thousand-millionth of the currency's unit below for reached.
    fn nearly(&self, price: i128, target: &Target) -> bool {
        let hair = Exact::new(10_i128.pow(self.decimals()), 400_000_000);
        // What is left counts once and again in what a mark-up is reckoned on.
        let hair = match target {
            Target::Markup(share) => hair * (Exact::new(*share, PARTS) + 1),
            _ => hair,
        };
        self.beyond(price, target) + hair >= Exact::from(0)
    }

    fn reaches(&self, price: i128, target: &Target) -> bool {
        self.beyond(price, target) >= Exact::from(0)
    }

    /// Whether, far out, less than a hundredth of each further unit is kept beyond the target.
    fn next_to_nothing(&self, target: &Target) -> bool {
        let far = 10_i128.pow(10);
        let more = self.beyond(2 * far, target) - self.beyond(far, target);
        // A mark-up is on what is left, too: its gain is so many times the one of the margin that
        // comes to the same.
        let times = match target {
            Target::Markup(share) => Exact::new(*share, PARTS) + 1,
            _ => Exact::from(1),
        };
        more < Exact::new(far * self.pieces, 100) * times + 9
    }

    /// Prices with the ending, in minor units: the least one, and the step from one to the next.
    fn ladder(&self) -> (i128, i128) {
        let cycle = if self.decimals() == 0 {
            100
        } else {
            10_i128.pow(self.decimals())
        };
        match self.ending {
            0 => (1, 1),
            1 => (cycle, cycle),
            2 => (cycle / 2, cycle / 2),
            3 => (cycle * 95 / 100, cycle),
            _ => (cycle * 99 / 100, cycle),
        }
    }

    /// The cheapest price with the ending that reaches the target, by trying one after the other.
    fn cheapest(&self, target: &Target, most: i128) -> Option<i128> {
        let (mut price, step) = self.ladder();
        while price <= most {
            if self.reaches(price, target) {
                return Some(price);
            }
            price += step;
        }
        None
    }
}

/// The fees of a random book. A fee of a kind that few charge comes seldom.
fn fee() -> impl Strategy<Value = Fee> {
    let tiers = prop::collection::vec((1..3000_i128, 0..2000_i128), 0..3);
    let seldom = |most: i128| prop_oneof![3 => Just(0), 1 => 0..most];
    let shares = (0..1500_i128, seldom(600), seldom(600));
    let limits = (seldom(300), prop::option::weighted(0.3, 0..2000_i128));
    let sums = (seldom(10_000), seldom(4000), seldom(2000));
    let chance = prop_oneof![3 => Just(100), 1 => 0..=100_i128];
    (
        shares,
        tiers,
        any::<bool>(),
        limits,
        sums,
        chance,
        any::<bool>(),
    )
        .prop_map(
            |(
                (item, postage, tax),
                gaps,
                whole,
                (least, most),
                (order, line, piece),
                chance,
                returned,
            )| {
                let mut from = 0;
                let tiers = gaps.into_iter().map(|(gap, share)| {
                    from += gap;
                    (from, share)
                });
                let tiers = tiers.collect();
                Fee {
                    item,
                    postage,
                    tax,
                    tiers,
                    whole,
                    least,
                    most,
                    sums: [order, line, piece],
                    chance,
                    returned,
                }
            },
        )
}

fn target() -> impl Strategy<Value = Target> {
    prop_oneof![
        (0..6000_i128).prop_map(Target::Margin),
        (0..20_000_i128).prop_map(Target::Markup),
        (0..6000_i128).prop_map(Target::HourlyPay),
        (0..1500_i128).prop_map(Target::Profit),
    ]
}

/// A random book; `scale` makes its costs so many times as great as those of a trifle.
fn book(scale: i128) -> impl Strategy<Value = Book> {
    let costs = prop::collection::vec(0..50 * scale, 8);
    let supply = (0..3000 * scale, 1..4_i128, 0..3_usize);
    let supplies = prop::collection::vec(supply, 0..3);
    let pieces = prop_oneof![9 => 1..13_i128, 1 => 9_000..=10_000_i128];
    let order = (0..4_usize, pieces, 1..4_i128, any::<bool>(), 0..5_usize);
    let times = (
        0..60_i128,
        1..20_i128,
        0..15_i128,
        prop_oneof![Just(0), 0..60_i128],
    );
    let wears = (
        1..4000_i128,
        0..30_i128,
        4..3000_i128,
        1..40_i128,
        1..90_i128,
    );
    let fees = prop::collection::vec(fee(), 0..4);
    let tax = (0..3_usize, 0..3000_i128, any::<bool>());
    let rest = (
        prop_oneof![Just(0), 0..40_i128],
        0..900_i128,
        0..900_i128,
        prop::bool::weighted(0.2),
    );
    (
        costs,
        supplies,
        order,
        times,
        wears,
        fees,
        tax,
        rest,
        target(),
    )
        .prop_map(
            move |(costs, supplies, order, times, wears, fees, tax, rest, target)| {
                let (currency, pieces, lines, by_area, ending) = order;
                let (setup, each, packing, spoilage) = times;
                let (life, runs, cuts, cut, orders) = wears;
                let (tax_kind, tax, tax_on_postage) = tax;
                let (refunds, paid, charged, fair) = rest;
                Book {
                    currency,
                    pieces,
                    lines,
                    by_area,
                    ending,
                    setup,
                    each,
                    packing,
                    spoilage,
                    orders,
                    film: costs[0],
                    tape: costs[1] * 10,
                    wage: costs[2],
                    overhead: costs[4],
                    monthly: costs[3] * 20,
                    licence: costs[5],
                    machine: [costs[6] * 500, life, runs],
                    blade: [costs[7], cuts, cut],
                    supplies,
                    fair,
                    fees,
                    tax_kind,
                    tax,
                    tax_on_postage,
                    refunds,
                    paid,
                    charged,
                    target,
                }
            },
        )
}

/// The lines of what is asked, in minor units, by what they are.
fn amounts(report: &QuoteReport, decimals: u32) -> Vec<(&'static str, i128)> {
    let amount = |line: &Line| (line.id, parts(&line.amount, decimals));
    report.lines.iter().map(amount).collect()
}

fn config(cases: u32) -> ProptestConfig {
    ProptestConfig {
        cases,
        ..ProptestConfig::default()
    }
}

/// What a report of a price says is what comes out of it when it is reckoned in whole numbers.
fn says_what_is(book: &Book, report: &PriceReport) -> Result<(), TestCaseError> {
    let decimals = book.decimals();
    let said = |text: &str| parts(text, decimals);
    let price = said(&report.price);
    let (sale, left) = (book.sale(price), book.left(price));
    // Two ways to half a unit part at a hair.
    let close = |said: i128, exact: Exact| {
        let gap = Exact::from(said) - exact;
        gap.numer().abs() * 1_000_000 <= gap.denom() * 500_001
    };
    prop_assert_eq!(said(&report.total), sale.total);
    prop_assert!(close(said(&report.left), left), "{} {}", report.left, left);
    prop_assert!(close(said(&report.left_per_piece), left / book.pieces));
    let earned = left + book.hours() * book.wage;
    prop_assert!(close(said(&report.earned_per_piece), earned / book.pieces));
    let sheet = report.per_sheet.as_deref().map(said);
    prop_assert!(sheet.is_some_and(|sheet| close(sheet, earned / book.pieces * 7)));
    let month = report.per_month.as_deref().map(said);
    prop_assert!(month.is_some_and(|month| close(month, earned * book.orders)));
    let hour = report.hourly_pay.as_deref().map(said);
    prop_assert!(hour.is_some_and(|hour| close(hour, earned / book.hours())));
    prop_assert_eq!(report.loss, said(&report.left) < 0);
    // To one decimal, from 100 up to none.
    let share = |text: &Option<String>, of: Exact| {
        let Some(text) = text else {
            // Of nothing, or of next to nothing, there is no share.
            return of <= Exact::from(0) || left / of > Exact::from(9_999);
        };
        let (whole, tenths) = text.split_once('.').unwrap_or((text, "0"));
        let said = Exact::new(parts(&format!("{whole}.{tenths}"), 1), 10);
        let gap = said - left / of * 100;
        let half = Exact::new(
            1,
            if said.numer().abs() < 100 * said.denom() {
                20
            } else {
                2
            },
        );
        of > Exact::from(0) && (-half..=half).contains(&gap)
    };
    prop_assert!(
        share(&report.margin, sale.net),
        "margin {:?}",
        report.margin
    );
    prop_assert!(
        share(&report.markup, sale.net - left),
        "mark-up {:?}",
        report.markup
    );
    Ok(())
}

/// The fees, and the first fee there is in a book.
fn first(book: &mut Book) -> &mut Fee {
    if book.fees.is_empty() {
        book.fees.push(Fee {
            chance: 100,
            ..Fee::default()
        });
    }
    &mut book.fees[0]
}

/// A way to make a book dearer.
type Dearer = fn(&mut Book, i128);

/// Every cost of a book, and how it is raised. The tax in a price is not among them: it is rounded, and the
/// margin is reckoned on what it leaves, so that a price may fall by a unit where it rises.
const DEARER: &[(&str, Dearer)] = &[
    ("film.price", |book, by| book.film += by),
    ("tape.price", |book, by| book.tape += by),
    ("supplies[].each", |book, by| {
        book.supplies.iter_mut().for_each(|supply| supply.0 += by);
    }),
    ("supplies[].count", |book, by| {
        book.supplies
            .iter_mut()
            .for_each(|supply| supply.1 += by % 3);
    }),
    ("supplies", |book, by| book.supplies.push((by, 1, 0))),
    ("wage", |book, by| book.wage += by),
    ("setupTime", |book, by| book.setup += by % 20),
    ("pieceTime", |book, by| book.each += by % 20),
    ("orderTime", |book, by| book.packing += by % 20),
    ("spoilage", |book, by| book.spoilage += by % 30),
    ("machine.price", |book, by| book.machine[0] += by),
    ("machine.pieceTime", |book, by| book.machine[2] += by % 20),
    ("blade.price", |book, by| book.blade[0] += by),
    ("blade.pieceLength", |book, by| book.blade[2] += by % 20),
    ("monthly", |book, by| book.monthly += by),
    ("overhead", |book, by| book.overhead += by),
    ("licence", |book, by| book.licence += by),
    ("postage.paid", |book, by| book.paid += by),
    ("channel.refunds", |book, by| book.refunds += by % 40),
    ("fees[].item", |book, by| first(book).item += by),
    ("fees[].postage", |book, by| first(book).postage += by),
    ("fees[].tax", |book, by| first(book).tax += by),
    ("fees[].tiers[].item", |book, by| {
        first(book).tiers.iter_mut().for_each(|tier| tier.1 += by);
    }),
    ("fees[].least", |book, by| first(book).least += by),
    ("fees[].most", |book, by| {
        let most = &mut first(book).most;
        *most = most.map(|most| most + by);
    }),
    ("fees[].order", |book, by| first(book).sums[0] += by),
    ("fees[].line", |book, by| first(book).sums[1] += by),
    ("fees[].piece", |book, by| first(book).sums[2] += by),
    ("fees[].chance", |book, by| {
        let fee = first(book);
        fee.chance = (fee.chance + by).min(100);
    }),
    ("orderLines", |book, by| book.lines += by % 5),
    ("channel.tax.percent, added", |book, by| {
        if book.tax_kind == 1 {
            book.tax += by;
        }
    }),
];

proptest! {
    #![proptest_config(config(10_000))]

    /// The asked price, the floor and the paid one reach what they shall; no price on the step below them
    /// does, nor the next forty, nor one where a tier begins; the lines add up to what the customer
    /// pays, each within a unit of what it is; and what is said of each price is so.
    #[test]
    fn a_random_book_is_reckoned_right(book in prop_oneof![book(1), book(20), book(400)], own in 1..200_000_i128) {
        let decimals = book.decimals();
        let report = match book.answer(Some(&text(own, decimals))) {
            Ok(report) => report,
            Err(errors) => {
                prop_assert_eq!(errors.first().code, Code::Impossible);
                let target = if errors.first().field == "target.value" { &book.target } else { &Target::Bought };
                prop_assert!(book.next_to_nothing(target));
                return Ok(());
            }
        };
        let (lowest, step) = book.ladder();
        let said = |text: &str| parts(text, decimals);
        for (price, target) in [(&report.floor, &Target::Bought), (&report.paid, &Target::Margin(0)), (&report.asked, &book.target)] {
            says_what_is(&book, price)?;
            let price = said(&price.price);
            prop_assert!(price >= lowest && (price - lowest) % step == 0, "{} has another ending", price);
            prop_assert!(book.nearly(price, target), "{} misses {:?} by {}", price, target, book.beyond(price, target));
            let tiers = book.fees.iter().flat_map(|fee| &fee.tiers).map(|(from, _)| {
                let least = from / book.pieces - lowest;
                lowest + least.div_euclid(step) * step + step
            });
            let below = (1..=40).map(|steps| price - steps * step);
            for lower in below.chain(tiers).filter(|lower| (lowest..price).contains(lower)) {
                prop_assert!(!book.reaches(lower, target), "{} would do for {:?}, asked {}", lower, target, price);
            }
        }
        let own_report = report.own.as_ref().expect("an own price was given");
        prop_assert_eq!(said(&own_report.price), own);
        says_what_is(&book, own_report)?;

        let lines = amounts(&report, decimals);
        let all: i128 = lines.iter().map(|(_, amount)| amount).sum();
        prop_assert_eq!(all, said(&report.asked.total));
        let sale = book.sale(said(&report.asked.price));
        let named = |id: &str| -> Vec<i128> {
            let found = lines.iter().filter(|(name, _)| *name == id);
            found.map(|(_, amount)| *amount).collect()
        };
        let within = |said: i128, exact: i128| (said * PARTS - exact).abs() <= PARTS;
        let fees: Vec<i128> = sale.fees.into_iter().filter(|fee| *fee != 0).collect();
        prop_assert_eq!(named("fee").len(), fees.len());
        prop_assert!(named("fee").into_iter().zip(fees).all(|(said, exact)| within(said, exact)));
        prop_assert!(within(named("tax").into_iter().sum(), sale.tax * PARTS));
        prop_assert!(within(named("refunds").into_iter().sum(), sale.refunds));
        for (id, cost) in book.costs() {
            let said = named(id);
            let (sum, lines) = (said.iter().sum::<i128>(), said.len().max(1));
            let most = Exact::new(i128::try_from(lines).unwrap() * 1_000_000 + 1, 1_000_000);
            let gap = cost - sum;
            prop_assert!((-most..=most).contains(&gap), "{} {} {}", id, sum, cost);
        }
        let strip: f64 = report.lines.iter().map(|line| line.share).sum();
        prop_assert!((strip - 1.0).abs() < 1e-9, "the strip is {} long", strip);
        prop_assert!(report.drawing().to_svg().ends_with("</svg>"));
    }
}

proptest! {
    #![proptest_config(config(2000))]

    /// Of a trifle every price is tried, from the least one up: the first that reaches the target is the
    /// one that is asked. With tiers that count for the whole a higher price may keep less.
    #[test]
    fn no_cheaper_price_would_do(mut book in book(1), whole in any::<bool>()) {
        book.pieces = 1 + book.pieces % 3;
        for fee in &mut book.fees {
            fee.whole |= whole;
        }
        if let Ok(report) = book.answer(None) {
            let asked = parts(&report.asked.price, book.decimals());
            let cheapest = book.cheapest(&book.target, asked);
            let hair = cheapest.is_none() && book.nearly(asked, &book.target);
            prop_assert!(cheapest == Some(asked) || hair, "{:?}, asked {}", cheapest, asked);
        } else {
            prop_assert!(book.next_to_nothing(&book.target));
        }
    }

    /// The asked price as the maker's own leaves the same. Who then aims at exactly what it leaves, a
    /// piece, in hundredths or by the hour, gets a price that leaves as much and is not above it: the
    /// same, unless a cheaper one leaves as much because its fees are rounded down. Once more, and
    /// the price stays.
    #[test]
    fn from_price_to_profit_and_back(book in prop_oneof![book(1), book(20)]) {
        let decimals = book.decimals();
        let Ok(report) = book.answer(None) else { return Ok(()) };
        let again = book.answer(Some(&report.asked.price));
        prop_assert_eq!(again.ok().and_then(|again| again.own), Some(report.asked.clone()));
        let asked = parts(&report.asked.price, decimals);
        let one = 10_i128.pow(decimals);
        let ten = Exact::from(10_i128.pow(10));
        // Cut off after ten decimals, so that the price which it is read off reaches it.
        let written = |aim: Exact| text((aim * ten).floor().to_integer(), 10);
        for kind in ["profit", "margin", "markup", "hourlyPay"] {
            let aim = |price: i128| {
                let (left, net) = (book.left(price), book.sale(price).net);
                match kind {
                    "profit" => left / (book.pieces * one),
                    "margin" => left / net * 100,
                    "markup" if net > left => left / (net - left) * 100,
                    // Postage pays for everything: no mark-up is too much.
                    "markup" => ten * 10,
                    _ => (left / book.hours() + book.wage) / one,
                }
            };
            let priced = |from: i128| {
                let target = Target::Written(kind, written(aim(from)));
                Book { target, ..book.clone() }.price()
            };
            // Nobody can aim at a loss, nor, where postage pays for more than itself, at more than all.
            let most = if kind == "margin" { 100 } else { 10_i128.pow(9) };
            let usable = |aim: Exact| (Exact::from(0)..=Exact::from(most)).contains(&aim);
            let reached = aim(asked);
            if !usable(reached) {
                continue;
            }
            let Some(back) = priced(asked) else {
                prop_assert!(matches!(kind, "margin" | "markup"), "{}", kind);
                continue;
            };
            prop_assert!(back <= asked, "{} {} {}", kind, back, asked);
            prop_assert!(aim(back) + Exact::new(1, 10_000) >= reached, "{} {} {}", kind, back, asked);
            let (lowest, step) = book.ladder();
            let below = (1..=40).map(|steps| back - steps * step);
            for lower in below.filter(|lower| *lower >= lowest) {
                prop_assert!(aim(lower) < reached, "{} {} leaves as much as {}", kind, lower, asked);
            }
            if usable(aim(back)) {
                prop_assert_eq!(priced(back), Some(back), "{}", kind);
            }
        }
    }

    /// Who aims higher never gets a lower price.
    #[test]
    fn a_higher_aim_is_never_cheaper(book in prop_oneof![book(1), book(20)], more in 0..3000_i128) {
        let mut higher = book.clone();
        match &mut higher.target {
            Target::Margin(value) | Target::Markup(value) | Target::HourlyPay(value) | Target::Profit(value) => *value += more,
            Target::Bought | Target::Written(..) => unreachable!("no random book has it"),
        }
        let (before, after) = (book.price(), higher.price());
        prop_assert!(after.is_none_or(|after| before.is_some_and(|before| before <= after)), "{:?} {:?}", before, after);
        if let Ok(report) = book.answer(None) {
            let said = |price: &PriceReport| parts(&price.price, book.decimals());
            prop_assert!(said(&report.floor) <= said(&report.paid));
            if !matches!(book.target, Target::HourlyPay(_)) {
                prop_assert!(said(&report.paid) <= said(&report.asked));
            }
        }
    }
}

proptest! {
    #![proptest_config(config(400))]

    /// Every cost in its turn: who pays more for it never gets a lower price.
    #[test]
    fn a_dearer_book_is_never_cheaper(book in prop_oneof![book(1), book(20)], by in 1..900_i128) {
        let before = book.price();
        for (cost, raise) in DEARER {
            let mut dearer = book.clone();
            raise(&mut dearer, by);
            let after = dearer.price();
            prop_assert!(
                after.is_none_or(|after| before.is_some_and(|before| before <= after)),
                "{}: {:?} {:?}", cost, before, after
            );
        }
    }
}

/// As many fees and tiers as are taken: twenty of each, with a least and a most on every fee. Each fee takes
/// less than 4 % at most.
fn crowd() -> impl Strategy<Value = Book> {
    let tiers = prop::collection::vec((1..900_i128, 0..400_i128), 20);
    let fee = (tiers, any::<bool>(), 0..90_i128, 0..900_i128);
    let fees = prop::collection::vec(fee, 20);
    (book(400), fees).prop_map(|(mut book, fees)| {
        let fees = fees.into_iter().map(|(gaps, whole, least, most)| {
            let mut from = 0;
            let tiers = gaps.into_iter().map(|(gap, share)| {
                from += gap;
                (from, share)
            });
            Fee {
                item: 200,
                tax: 50,
                tiers: tiers.collect(),
                whole,
                least,
                most: Some(most),
                chance: 100,
                ..Fee::default()
            }
        });
        book.fees = fees.collect();
        book
    })
}

proptest! {
    #![proptest_config(config(24))]

    /// A crowd of fees ends in a price as well, and in the right one.
    #[test]
    fn a_crowd_of_fees_has_a_price(book in crowd()) {
        if let Some(price) = book.price() {
            prop_assert!(book.nearly(price, &book.target));
            let (lowest, step) = book.ladder();
            for lower in (1..=400).map(|steps| price - steps * step).filter(|lower| *lower >= lowest) {
                prop_assert!(!book.reaches(lower, &book.target), "{} would do, asked {}", lower, price);
            }
        } else {
            prop_assert!(book.next_to_nothing(&book.target));
        }
    }
}
