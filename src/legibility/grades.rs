//! How it reads from farther and from nearer: noticed, read with effort, read at ease.
//!
//! The grades are angles over the whole height of a letter, straight on and by good light. Read with
//! effort is what the eyes in question can just tell apart, the letter of the eye chart: 5 arcmin for
//! 20/20, in proportion to the detail for others. Read at ease is what reading rules ask for, 20 arcmin,
//! and for eyes below an acuity of 0.7 more in proportion. Noticed is half of the letter of the eye chart:
//! seen to be lettering, and not read.

use super::conditions::{READING_ACUITY, Share, Shares};
use super::eye::{Acuity, Ratio, angle, minutes};
use super::rules::Mark;
use super::{Answer, Viewing, figure};
use crate::decal::Decal;
use crate::drawing::{Chart, Element, Line};
use crate::measure::{Angle, Length, Measured, Unit, decimals};
use say::say;
use serde::Serialize;

/// One grade of legibility.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "camelCase")]
pub struct Grade {
    /// What it is: `read at ease`.
    pub name: &'static str,
    /// The angle that a letter fills over its height from the farthest place of that grade, as these eyes
    /// see it: `20 arcmin`.
    pub letter: String,
    /// The same of a stroke of a fifth of that, as eye charts have it.
    pub stroke: String,
    /// What the grade comes from.
    pub source: &'static str,
    /// How surely that is known.
    pub mark: Mark,
    /// How far these eyes have the grade, under the conditions told; none where they never do.
    pub distance: Option<Measured>,
    /// The same of eyes of 20/20.
    pub standard: Option<Measured>,
    /// The letter height with which these eyes have the grade at the wanted distance, if one is asked for.
    pub needed: Option<Measured>,
}

/// A grade as such.
struct Kind {
    name: &'static str,
    /// A word or two for where there is little room.
    short: &'static str,
    source: &'static str,
    mark: Mark,
    /// The angle over a letter's height, in arcmin, for eyes that tell this detail apart.
    angle: fn(f64) -> f64,
}

/// The grades, from the nearest on.
static KINDS: [Kind; 3] = [
    Kind {
        name: say!("read at ease"),
        short: say!("at ease"),
        source: say!(
            "NUREG-0700 rev. 2, 1.3.1-4, preferred size, and DIN 1450:2013 from memory for weak eyes"
        ),
        mark: Mark::LookedUp,
        angle: |detail| 20.0 * (READING_ACUITY * detail).max(1.0),
    },
    Kind {
        name: say!("read with effort"),
        short: say!("with effort"),
        source: say!("letters that such eyes just tell apart, as on an eye chart"),
        mark: Mark::FromMemory,
        angle: limit,
    },
    Kind {
        name: say!("noticed, not read"),
        short: say!("noticed"),
        source: say!("half of that"),
        mark: Mark::RuleOfThumb,
        angle: |detail| limit(detail) / 2.0,
    },
];

/// The letter of the eye chart, for eyes that tell this detail apart.
fn limit(detail: f64) -> f64 {
    5.0 * detail
}

/// How far a grade reaches.
fn far(decal: &Decal, acuity: Acuity, kind: &Kind, share: Share) -> Length {
    share.left_of(kind.ratio(acuity).distance(decal.letter_height()))
}

impl Kind {
    fn ratio(&self, acuity: Acuity) -> Ratio {
        Ratio::of_angle(Angle::arcmin((self.angle)(acuity.detail())))
    }
}

/// The grades of a decal; `share` is what the conditions leave of the acuity's distance.
pub(super) fn grades(decal: &Decal, viewing: &Viewing, share: Share, unit: Unit) -> Vec<Grade> {
    let arcmin = |minutes: f64| decimals(minutes, 1) + " arcmin";
    let mut grades = Vec::new();
    for kind in &KINDS {
        let [own, standard] = [viewing.acuity, Acuity::STANDARD].map(|acuity| {
            let distance = far(decal, acuity, kind, share);
            (distance > Length::ZERO).then_some(distance)
        });
        // Under conditions that take something it is a larger angle than straight on and by day.
        let seen = own.map_or(0.0, |own| angle(decal.letter_height(), own).to_arcmin());
        let measured = |distance: Option<Length>| distance.map(|far| figure::distance(far, unit));
        grades.push(Grade {
            name: kind.name,
            letter: arcmin(seen),
            stroke: arcmin(seen / 5.0),
            source: kind.source,
            mark: kind.mark,
            distance: measured(own),
            standard: measured(standard),
            needed: viewing.distance.and_then(|wanted| {
                let needed = kind.ratio(viewing.acuity).height(share.before(wanted)?);
                let shown = figure::shown(needed, decal.letter_height(), unit);
                Some(figure::size(needed, shown, unit))
            }),
        });
    }
    grades
}

/// The width of the smallest stroke or gap that such eyes tell apart from a distance; none where they tell
/// nothing apart. `share` is what the conditions leave of the acuity's distance.
pub(super) fn stroke(
    distance: Length,
    viewing: &Viewing,
    share: Share,
    unit: Unit,
) -> Option<Measured> {
    let detail = Ratio::of_angle(Angle::arcmin(viewing.acuity.detail()));
    let stroke = detail.height(share.before(distance)?);
    let shown = figure::shown(stroke, Length::ZERO, unit);
    Some(figure::size(stroke, shown, unit))
}

/// The grade from a distance; none where nothing is told apart any more.
pub(super) fn at(
    distance: Length,
    decal: &Decal,
    viewing: &Viewing,
    share: Share,
) -> Option<&'static str> {
    let mut kinds = KINDS.iter();
    let kind = kinds.find(|kind| distance <= far(decal, viewing.acuity, kind, share));
    kind.map(|kind| kind.name)
}

/// The same for a decal and whoever looks at it.
pub(super) fn of(distance: Length, decal: &Decal, viewing: &Viewing) -> Option<&'static str> {
    at(distance, decal, viewing, Shares::of(decal, viewing).eye)
}

/// The angle that the letters fill against the distance, with the grades as bands.
pub(super) fn drawing(answer: &Answer) -> Element {
    let unit = answer.unit.for_distance();
    let one = Length::whole(1, unit).to_f64(answer.unit);
    let of = |measured: &Measured| measured.value / one;
    let mut bands = Vec::new();
    let mut told = String::new();
    let mut from = 0.0;
    for (grade, kind) in answer.grades.iter().zip(&KINDS) {
        let Some(distance) = &grade.distance else {
            continue;
        };
        let to = of(distance);
        bands.push((from, to, kind.short));
        let (grade, distance) = (kind.name, &distance.text);
        told = told + ", " + &say!("{grade} up to {distance}");
        from = to;
    }
    let wanted = answer.wanted.as_ref();
    let letter = of(&answer.letter_height);
    let end = wanted.map_or(0.0, of).max(from).max(letter) * 1.1;
    // From half of the nearest grade on: nearer, the curve only rises.
    let nearest = bands.first().map_or(end, |(_, to, _)| *to) / 2.0;
    let mut points = Vec::new();
    for step in 0..=40_u8 {
        let distance = nearest + (end - nearest) * f64::from(step) / 40.0;
        points.push((distance, minutes(letter, distance)));
    }
    let chart = Chart {
        label: say!(
            "Legibility against distance: letters of {letter}",
            letter = answer.letter_height.text
        ) + &told,
        across: say!("distance, {unit}", unit = unit.symbol()),
        up: say!("the letters fill, arcmin").to_owned(),
        bands,
        lines: vec![Line {
            name: "",
            points,
            dots: false,
        }],
        marks: wanted
            .map(|wanted| (of(wanted), wanted.text.as_str()))
            .into_iter()
            .collect(),
        ticks: Vec::new(),
    };
    chart.drawing()
}
