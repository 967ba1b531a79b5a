//! Lettering whose size the law sets, checked point by point on the decal.
//!
//! Each rule is data: whom it is for, publication and section, and its points. A point that the decal
//! says enough about is met or not; one that it does not is never taken for met: it says what would be
//! right. Of the law itself nothing is said: what counts is its current text, and what is local.

mod check;
mod rules;

use super::{DISTANCE, LegibilityInput};
use crate::decal::SIDE;
use crate::error::{Checks, InputErrors};
use crate::input::read_by_members;
use crate::measure::{Length, LengthInput, Range, Unit, optional};
use check::Case;
use say::say;
use serde::{Deserialize, Serialize, Serializer};

/// What is lettered.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "camelCase")]
pub enum Kind {
    /// The registration number of a boat, United States.
    #[default]
    BoatNumber,
    /// The capacity plate of a boat, United States.
    CapacityPlate,
    /// The mark of a small craft on European inland waterways.
    SmallCraft,
    /// The name of a ship, United Kingdom.
    ShipName,
    /// Warnings on board of an offshore unit, United States.
    SafetyLetters,
    /// The marking of a commercial vehicle, United States.
    CommercialVehicle,
    /// The windscreen of a commercial vehicle, United States.
    Windscreen,
    /// The glass of a car.
    CarGlass,
    /// The number of a building.
    HouseNumber,
    /// The nationality and registration mark of an aircraft, United States.
    AircraftMark,
    /// A word such as EXPERIMENTAL on an aircraft, United States.
    CategoryWord,
    /// The visual characters of a sign that must be accessible, United States.
    AccessibleSign,
    /// The message of a safety sign.
    SafetyMessage,
    /// The signal word of a safety sign, such as WARNING.
    SignalWord,
    /// Lettering by DIN 1451-4.
    Din1451,
    /// Lettering of drawings by ISO 3098, type B.
    Iso3098B,
    /// The same, type A.
    Iso3098A,
}

/// The classes of aircraft by the height of their marks.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "camelCase")]
pub enum Craft {
    /// Fixed-wing and rotorcraft.
    #[default]
    Standard,
    /// Gliders, some experimental ones of up to 180 kt, airships, balloons, powered parachutes.
    Light,
    /// Some antiques.
    Antique,
}

/// Where on a car a decal lies.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "camelCase")]
pub enum Zone {
    /// The rear window.
    #[default]
    Rear,
    /// The windscreen where its wipers sweep.
    Swept,
    /// A lower corner of the windscreen.
    Corner,
    /// The band along the upper edge of the windscreen.
    TopBand,
    /// A side window beside the driver or the front seat.
    FrontSide,
    /// A mirror, a lamp, a plate, a camera.
    Fixture,
}

read_by_members! {
    /// The question: whether a decal keeps a rule.
    #[derive(Clone, Debug, Default, PartialEq)]
    pub struct LawInput {
        /// The decal with its unit, and the distance from which it is to be read. What is not measured of
        /// its letters is not checked.
        pub legibility: LegibilityInput,
        /// What is lettered; the registration number of a boat if left out.
        pub kind: Kind = default,
        /// The gap, or the hyphen, between the groups of a boat's number.
        pub group_gap: Option<LengthInput> = default,
        /// From a house to its street, where a local rule goes by that. A bare text counts in feet or metres.
        pub street: Option<LengthInput> = default,
        /// The class of the aircraft.
        pub craft: Craft = default,
        /// From the lower edge of a commercial vehicle's windscreen to the top of the decal.
        pub top_edge: Option<LengthInput> = default,
        /// Where on that windscreen it lies, if that was looked at: it counts whether the wipers sweep it.
        pub screen: Option<Zone> = default,
        /// Where on a car it lies.
        pub zone: Zone = default,
    }
}

/// What the decal is by one point of a rule.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
pub enum State {
    /// What was measured keeps it.
    #[cfg_attr(target_arch = "wasm32", serde(rename = "met"))]
    Met,
    /// What was measured does not.
    #[cfg_attr(target_arch = "wasm32", serde(rename = "not met"))]
    NotMet,
    /// What it goes by was not measured.
    #[cfg_attr(target_arch = "wasm32", serde(rename = "not measured"))]
    NotMeasured,
    /// No measure tells.
    #[cfg_attr(target_arch = "wasm32", serde(rename = "look yourself"))]
    Look,
    /// It is about other cases.
    #[cfg_attr(target_arch = "wasm32", serde(rename = "not asked of this"))]
    NotAsked,
}

/// As people read it.
impl Serialize for State {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(match self {
            Self::Met => say!(in "a point of a rule": "met"),
            Self::NotMet => say!(in "a point of a rule": "not met"),
            Self::NotMeasured => say!("not measured"),
            Self::Look => say!("look yourself"),
            Self::NotAsked => say!("not asked of this"),
        })
    }
}

/// The answer: a rule, and each of its points on this decal.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "camelCase")]
pub struct LawReport {
    /// How many points are met and how many are not, with the first of these; where there are none of
    /// both, how many could not be checked.
    pub headline: String,
    /// How many could not be checked; empty where all were, or where the headline says it.
    pub open: String,
    /// What the rule is called.
    pub name: &'static str,
    /// For whom or what the rule is made, in a sentence.
    pub applies: &'static str,
    /// Publication, section and edition.
    pub source: &'static str,
    /// Address of a page that has its text.
    pub address: Option<&'static str>,
    /// What the rule asks, point by point in its own order.
    pub points: Vec<LawPoint>,
    /// How the points are to be read.
    pub note: &'static str,
    /// What counts more than this answer.
    pub caution: &'static str,
}

/// One point of a rule.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "camelCase")]
pub struct LawPoint {
    /// What is required.
    pub asked: String,
    /// What there is; empty where that is not known.
    pub is: String,
    /// What would be right; empty where no measure is, or where the words say it already.
    pub right: String,
    /// What follows.
    pub state: State,
    /// The section, and the edition if it is another one than the rule's.
    pub section: &'static str,
    /// How surely it is known: `looked up`, `derived`, `from memory`, `common practice`.
    pub mark: &'static str,
}

/// Heights on a windscreen.
const GLASS: Range = Range::up_to(Length::whole(5, Unit::M));

/// Checks a decal against a rule.
///
/// # Errors
/// Those of [`super::read`] under `legibility`, and of every length that cannot be read.
pub fn law(input: &LawInput) -> Result<LawReport, InputErrors> {
    let asked = &input.legibility;
    let unit = asked.unit;
    let mut checks = Checks::default();
    let read = super::read(asked).map_err(|errors| errors.within("legibility"));
    let read = checks.take(read);
    let mut length = |value: Option<&LengthInput>, member: &str, unit: Unit, range: Range| {
        let read = optional(value, member, unit, range);
        checks.take(read).flatten()
    };
    let groups = length(input.group_gap.as_ref(), "groupGap", unit, SIDE);
    let street = input.street.as_ref().map(|street| street.counted_in(unit));
    let street = length(street.as_ref(), "street", unit.for_distance(), DISTANCE);
    let top_edge = length(input.top_edge.as_ref(), "topEdge", unit, GLASS);
    let (decal, viewing) = checks.finish(read.unwrap_or_default())?;
    let viewing = viewing.of(&decal);
    let case = Case {
        input,
        decal: &decal,
        viewing: &viewing,
        groups,
        street,
        top_edge,
        unit: unit.for_size(),
    };
    Ok(told(&case))
}

/// Both of them, or the mistakes of both.
fn told(case: &Case) -> LawReport {
    let rule = case.input.kind.rule();
    let mut counts = [0_usize; 4];
    let mut wrong = None;
    let mut points = Vec::new();
    for point in rule.points {
        let (point, why) = case.find(point);
        if let Some(count) = counts.get_mut(point.state as usize) {
            *count += 1;
        }
        if point.state == State::NotMet && wrong.is_none() {
            wrong = Some(why);
        }
        points.push(point);
    }
    let [met, not, unmeasured, look] = counts;
    let mut open = match (unmeasured, look) {
        (0, 0) => String::new(),
        (0, _) => say!("{look} to look at yourself"),
        (_, 0) => say!("{unmeasured} not measured"),
        _ => say!("{unmeasured} not measured, {look} to look at yourself"),
    };
    let headline = match wrong {
        Some(wrong) => say!(
            met;
            "{met} point met, {not} not: {wrong}",
            "{met} points met, {not} not: {wrong}"
        ),
        // Nothing missed is no good news where nothing was measured.
        None if met == 0 => std::mem::take(&mut open),
        None => say!(met; "{met} point met, none missed", "{met} points met, none missed"),
    };
    LawReport {
        headline,
        open,
        name: rule.name,
        applies: rule.applies,
        source: rule.source,
        address: rule.address,
        points,
        note: NOTE,
        caution: CAUTION,
    }
}

/// Said beside every answer.
const CAUTION: &str =
    say!("Check the current text and your local rules: they count, not this page.");

const NOTE: &str = say!(
    "Heights are those of a capital I, widths those of an O. At least and at most are \
     exact; where a part must equal another, half a percent is left, for no text names \
     a tolerance."
);
