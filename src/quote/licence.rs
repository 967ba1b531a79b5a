//! The register of designs: which may be sold by their licences, how many are left, and what a
//! licence costs a piece.
//!
//! Only what the maker wrote down is looked at; the text of a licence decides.

use super::costs::{Reader, carried};
use crate::error::{Code, InputError, InputErrors};
use crate::input::read_by_members;
use crate::measure::{Count, Date, NumberInput, Unit};
use rust_decimal::Decimal;
use say::say;
use serde::{Deserialize, Serialize};

/// More pieces than any licence counts.
const MANY: u32 = 100_000_000;
/// Days before its end from which on a licence is pointed out.
const SOON: i32 = 30;

/// As many were sold as its cost was spread over.
const PAID_BACK: &str = say!(
    "its cost is paid back: as many are sold as it is spread over, and what a piece still bears of it is yours"
);
/// Nobody said over how many its cost is spread.
const UNBORNE: &str = say!("no piece bears its cost: write how many sales you expect under it");

read_by_members! {
    /// The question: which designs may be sold, and whether this order may be.
    #[derive(Clone, Debug, Default, PartialEq)]
    pub struct LicencesInput {
        /// ISO 4217 code.
        pub currency: String,
        /// The day on which it is asked, `2026-11-25`.
        pub today: String,
        /// The maker's designs, each with where it comes from and what its licence allows.
        pub designs: Vec<DesignInput> = default,
        /// The design of the order in hand: its name, or its place among them, from 0 on; none where left
        /// out.
        pub chosen: Option<NumberInput> = default,
        /// Pieces in that order; one where left out.
        pub pieces: Option<Count> = default,
    }
}

read_by_members! {
    /// A design and its licence.
    #[derive(Clone, Debug, Default, PartialEq)]
    pub struct DesignInput {
        /// What it is called.
        pub name: Option<String> = default,
        /// Whom or what it is from.
        pub source: Option<String> = default,
        /// Whether its licence allows to sell it.
        pub sale: Sale = default,
        /// How many may be sold; without limit where left out.
        pub allowed: Option<Count> = default,
        /// How many were sold; none where left out.
        pub sold: Option<Count> = default,
        /// What the licence cost.
        pub cost: Option<String> = default,
        /// How many will be sold under it, over which its cost is spread; as many as it allows where
        /// left out.
        pub expected: Option<Count> = default,
        /// The line that names its maker, to be printed.
        pub credit: Option<String> = default,
        /// Its last day, `2026-11-25`; it never ends where left out.
        pub expires: Option<String> = default,
    }
}

/// Whether a design may be sold by its licence.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "camelCase")]
pub enum Sale {
    /// It is the maker's own, and needs no licence.
    Own,
    /// It may.
    Yes,
    /// It may not.
    No,
    /// Its terms do not say, or are not understood.
    #[default]
    Unclear,
}

/// Whether something may be sold now.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "camelCase")]
pub enum May {
    /// It may.
    Yes,
    /// It may, or perhaps may; something is to be looked after first.
    Careful,
    /// It may not.
    No,
}

/// The answer: each design, and the order in hand.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "camelCase")]
pub struct LicencesReport {
    /// ISO 4217 code of every amount below.
    pub currency: String,
    /// Decimals that the amounts are shown with.
    pub decimals: u32,
    /// How many of the designs may be sold.
    pub headline: String,
    /// The designs in their order, each for one piece more.
    pub designs: Vec<DesignReport>,
    /// The design of the order, for all pieces of it; none where none was chosen.
    pub chosen: Option<DesignReport>,
    /// What counts more than this answer.
    pub caution: &'static str,
}

/// Whether a design may be sold, and what its licence costs.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "camelCase")]
pub struct DesignReport {
    /// What it is called.
    pub name: String,
    /// Whom or what it is from.
    pub source: String,
    /// Whether so many may be sold now.
    pub may: May,
    /// Whether they may not.
    pub blocked: bool,
    /// Whether something is to be looked after before they are sold.
    pub careful: bool,
    /// Why they may or may not, in a sentence.
    pub verdict: String,
    /// How many more may be sold; none where there is no limit.
    pub left: Option<u32>,
    /// What a piece bears of the licence's cost, in whole minor units; none where it costs nothing or
    /// nobody said over how many it is spread.
    pub cost_per_piece: Option<String>,
    /// The same before it is rounded, to reckon with.
    pub exact_cost: Option<String>,
    /// Over how many it is spread.
    pub spread_over: Option<u32>,
    /// That its cost is paid back, or that no piece bears it; empty otherwise.
    pub cost_note: &'static str,
    /// The line to be printed; empty where there is none.
    pub credit: String,
}

/// A licence as it was read.
struct Licence {
    sale: Sale,
    allowed: Option<u32>,
    sold: u32,
    expires: Option<Date>,
}

/// Looks through the register.
///
/// # Errors
/// Every field that cannot be read; [`Code::NotAChoice`] for a chosen design that is not there.
pub fn licences(input: &LicencesInput) -> Result<LicencesReport, InputErrors> {
    let mut read = Reader::new(&input.currency, Unit::default());
    let today = Date::parse(&input.today).map_err(|error| error.at("today"));
    let today = read.checks.take(today);
    let pieces = Count::optional(input.pieces.as_ref(), "pieces");
    let pieces = read.checks.take(pieces).flatten().unwrap_or(1);
    let named = match &input.chosen {
        Some(NumberInput::Text(name)) => name.trim(),
        _ => "",
    };
    let placed = match input.chosen {
        Some(NumberInput::Number(place)) => Some(place),
        _ => None,
    };
    let mut designs = Vec::new();
    let mut chosen = None;
    for (place, design) in input.designs.iter().enumerate() {
        let name = match trimmed(design.name.as_deref()) {
            "" => say!("Design {number}", number = place + 1),
            name => name.to_owned(),
        };
        let (licence, mut report) = read_design(&mut read, design, place, name);
        let Some(today) = today else { continue };
        let place = u32::try_from(place).ok().map(f64::from);
        let here = placed.is_some() && placed == place;
        if chosen.is_none() && (here || (!named.is_empty() && report.name == named)) {
            let mut order = report.clone();
            licence.judge(&mut order, today, pieces);
            chosen = Some(order);
        }
        licence.judge(&mut report, today, 1);
        designs.push(report);
    }
    if chosen.is_none() && (placed.is_some() || !named.is_empty()) && today.is_some() {
        let message = say!("this design is not in the register");
        let hint = say!("choose one that is, or none");
        let error = InputError::new(Code::NotAChoice, message, hint);
        read.checks.add(error.at("chosen"));
    }
    let count = |may: May| designs.iter().filter(|design| design.may == may).count();
    let (sold, all) = (count(May::Yes), designs.len());
    let mut headline = say!("{sold} of {all} may be sold");
    let careful = count(May::Careful);
    if careful > 0 {
        headline.push_str("; ");
        headline.push_str(&say!("look at {careful} first"));
    }
    let currency = read.currency;
    read.checks.finish(LicencesReport {
        currency: currency.code().to_owned(),
        decimals: currency.exponent(),
        headline,
        designs,
        chosen,
        caution: say!(
            "The text of each licence decides, and the law where you sell; this only keeps count of what you wrote down."
        ),
    })
}

fn trimmed(text: Option<&str>) -> &str {
    text.unwrap_or_default().trim()
}

/// Reads a design; whether it may be sold is not said yet.
fn read_design(
    read: &mut Reader,
    design: &DesignInput,
    place: usize,
    name: String,
) -> (Licence, DesignReport) {
    let path = |member: &str| format!("designs[{place}].{member}");
    let mut count = |entered: Option<&Count>, member: &str, least| {
        let count = Count::optional_from(entered, &path(member), least, MANY);
        read.checks.take(count).flatten()
    };
    let allowed = count(design.allowed.as_ref(), "allowed", 1);
    let sold = count(design.sold.as_ref(), "sold", 0).unwrap_or(0);
    let expected = count(design.expected.as_ref(), "expected", 1);
    let expires = Date::optional(design.expires.as_deref(), &path("expires"));
    let expires = read.checks.take(expires).flatten();
    let cost = Some(trimmed(design.cost.as_deref())).filter(|cost| !cost.is_empty());
    let cost = read.amount(cost, &path("cost"));
    // A licence for fewer than are expected is paid by those that it allows.
    let spread_over = match (expected, allowed) {
        (Some(expected), Some(allowed)) => Some(expected.min(allowed)),
        (expected, allowed) => expected.or(allowed),
    };
    let spread_over = spread_over.filter(|_| !cost.is_zero());
    let each = spread_over.map(|over| carried(cost / Decimal::from(over)));
    let cost_note = match spread_over {
        Some(over) if sold >= over => PAID_BACK,
        None if !cost.is_zero() => UNBORNE,
        _ => "",
    };
    let licence = Licence {
        sale: design.sale,
        allowed: allowed.filter(|_| design.sale != Sale::Own),
        sold,
        expires: expires.filter(|_| design.sale != Sale::Own),
    };
    let report = DesignReport {
        name,
        source: trimmed(design.source.as_deref()).to_owned(),
        may: May::Yes,
        blocked: false,
        careful: false,
        verdict: String::new(),
        left: licence.allowed.map(|allowed| allowed.saturating_sub(sold)),
        cost_per_piece: each.map(|each| read.currency.text(each)),
        exact_cost: each.map(|each| each.normalize().to_string()),
        spread_over,
        cost_note,
        credit: trimmed(design.credit.as_deref()).to_owned(),
    };
    (licence, report)
}

impl Licence {
    /// Says whether so many more may be sold today, and why.
    fn judge(&self, report: &mut DesignReport, today: Date, pieces: u32) {
        let (may, verdict) = self.verdict(today, pieces);
        report.may = may;
        report.blocked = may == May::No;
        report.careful = may == May::Careful;
        report.verdict = verdict;
    }

    fn verdict(&self, today: Date, pieces: u32) -> (May, String) {
        if self.sale == Sale::No {
            let verdict = say!("its licence does not allow to sell it");
            return (May::No, verdict.to_owned());
        }
        if let Some(last) = self.expires.filter(|last| *last < today) {
            let verdict = say!("its licence ended on {day}", day = last.text());
            return (May::No, verdict);
        }
        let sold = self.sold;
        if let Some(allowed) = self.allowed {
            if sold >= allowed {
                let verdict = say!("its licence is used up: {sold} of {allowed} sold");
                return (May::No, verdict);
            }
            let over = sold.saturating_add(pieces).saturating_sub(allowed);
            if over > 0 {
                let verdict = say!(
                    "this order is {over} more than its licence allows: {sold} of {allowed} sold"
                );
                return (May::No, verdict);
            }
        }
        if self.sale == Sale::Unclear {
            let verdict = say!("its terms are unclear: ask before you sell it");
            return (May::Careful, verdict.to_owned());
        }
        if let Some(last) = self.expires {
            let verdict = match last.day_number() - today.day_number() {
                0 => say!("its licence ends today").to_owned(),
                1 => say!("its licence ends tomorrow").to_owned(),
                days if days <= SOON => say!("its licence ends in {days} days"),
                _ => String::new(),
            };
            if !verdict.is_empty() {
                return (May::Careful, verdict);
            }
        }
        let verdict = match (self.sale, self.allowed) {
            (Sale::Own, _) => say!("your own design: it needs no licence").to_owned(),
            (_, Some(allowed)) => say!("{sold} of {allowed} sold"),
            _ => say!("its licence sets no number").to_owned(),
        };
        (May::Yes, verdict)
    }
}
