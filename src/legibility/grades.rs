//! How it reads from farther and from nearer: noticed, read with effort, read at ease.
//!
//! The grades are angles over the whole height of a letter. For eyes of 20/20 they are 5 arcmin, the
//! letter of the eye chart that they just tell apart (from memory); 10, twice that, close to the 9.5 of
//! the traffic index of 30 ft to the inch; and 20, what NUREG-0700 rev. 2, guideline 1.3.1-4, prefers for
//! reading (looked up). Weaker eyes take larger angles in proportion to the detail that they tell apart:
//! geometry.

use super::conditions::{Share, Shares};
use super::eye::{Acuity, Ratio, minutes};
use super::{Answer, Viewing, figure};
use crate::decal::Decal;
use crate::drawing::{Chart, Element, Line};
use crate::measure::{Angle, Length, Measured, Unit, decimals};
use serde::Serialize;

/// One grade of legibility.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "camelCase")]
pub struct Grade {
    /// What it is: `read at ease`.
    pub name: &'static str,
    /// The angle that a letter fills over its height from there on, for these eyes: `20 arcmin`.
    pub letter: String,
    /// The same of its stroke, a fifth of that on eye charts.
    pub stroke: String,
    /// How far these eyes have the grade, under the conditions told; none where they never do.
    pub distance: Option<Measured>,
    /// The same of eyes of 20/20.
    pub standard: Option<Measured>,
}

/// The grades, from the nearest on: names, and arcmin over a letter's height for eyes of 20/20.
const GRADES: [(&str, f64); 3] = [
    ("read at ease", 20.0),
    ("read with effort", 10.0),
    ("noticed, just told apart", 5.0),
];

/// How far a grade reaches.
fn far(decal: &Decal, acuity: Acuity, minutes: f64, share: Share) -> Length {
    let ratio = Ratio::of_angle(Angle::arcmin(minutes * acuity.detail()));
    share.left_of(ratio.distance(decal.letter_height()))
}

/// The grades of a decal; `share` is what the conditions leave of the acuity's distance.
pub(super) fn grades(decal: &Decal, viewing: &Viewing, share: Share, unit: Unit) -> Vec<Grade> {
    let arcmin = |minutes: f64| decimals(minutes, 1) + " arcmin";
    let standard = Acuity::STANDARD;
    let each = GRADES.iter().map(|(name, minutes)| {
        let measured = |acuity| {
            let distance = far(decal, acuity, *minutes, share);
            (distance > Length::ZERO).then(|| figure::distance(distance, unit))
        };
        let own = minutes * viewing.acuity.detail();
        Grade {
            name,
            letter: arcmin(own),
            stroke: arcmin(own / 5.0),
            distance: measured(viewing.acuity),
            standard: measured(standard),
        }
    });
    each.collect()
}

/// The grade from a distance; none where nothing is told apart any more.
pub(super) fn at(
    distance: Length,
    decal: &Decal,
    viewing: &Viewing,
    share: Share,
) -> Option<&'static str> {
    let mut grades = GRADES.iter();
    let grade = grades.find(|(_, minutes)| distance <= far(decal, viewing.acuity, *minutes, share));
    grade.map(|(name, _)| *name)
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
    for (grade, (name, _)) in answer.grades.iter().zip(GRADES) {
        let Some(distance) = &grade.distance else {
            continue;
        };
        let to = of(distance);
        bands.push((from, to, short(name)));
        told = [&told, ", ", name, " up to ", &distance.text].concat();
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
        label: format!(
            "Legibility against distance: letters of {}{told}",
            answer.letter_height.text
        ),
        across: format!("distance, {}", unit.symbol()),
        up: "the letters fill, arcmin".to_owned(),
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

/// The name of a grade where there is little room.
fn short(name: &'static str) -> &'static str {
    let short = name.strip_prefix("read ").unwrap_or(name);
    short.split_once(',').map_or(short, |(short, _)| short)
}
