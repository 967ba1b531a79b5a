//! The figure to go by: of the rules made for the reader, the most cautious one's.

use super::rules::{COUNT, Mark, Rule, Takes};
use super::{Finding, Reader, Viewing, figure, too_small};
use crate::decal::{Decal, size_text};
use crate::measure::{Length, Measured, Unit};
use say::say;
use serde::Serialize;

/// The figure to go by, and the rule that it comes from.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "camelCase")]
pub struct Recommended {
    /// The rule that governs: the most cautious of those that apply.
    pub rule: &'static str,
    /// The rule's name.
    pub name: String,
    /// Publication, edition and section.
    pub source: &'static str,
    /// How surely the figure is known.
    pub mark: Mark,
    /// How far the letters can be read from; none where the rule allows no letters so small.
    pub distance: Option<Measured>,
    /// The letter height that the wanted distance takes by all rules that apply.
    pub letter_height: Option<Measured>,
    /// The decal's width at that letter height, its proportions kept. The text is the width that
    /// belongs to the letter height as its text has it.
    pub decal_width: Option<Measured>,
    /// The decal's height at that letter height, likewise.
    pub decal_height: Option<Measured>,
    /// Whether the letters can be read from the wanted distance.
    pub enough: Option<bool>,
    /// Why this rule governs.
    pub reason: String,
    /// The answer in two words: `42 ft`.
    pub headline: String,
    /// The rule, and what the wanted distance takes, in a sentence or two.
    pub detail: String,
}

/// The rule that governs: of those that apply, the one that allows the least distance; no distance
/// at all is less than any. The first of equals, in the order of the rules.
pub(super) fn recommended(
    findings: &[Finding; COUNT],
    decal: &Decal,
    viewing: &Viewing,
    unit: Unit,
) -> Recommended {
    let applying = || findings.iter().filter(|each| each.rule.applies(viewing));
    // Every reader has a rule that applies, so the first rule of all never stands in.
    let [first, ..] = findings;
    let governing = applying().min_by_key(|finding| finding.distance);
    let governing = governing.unwrap_or(first);
    let rule = governing.rule;
    let name = rule.name_for(viewing, unit);
    let any = viewing.distance.is_some() && applying().all(|finding| finding.needed.is_some());
    let needed = applying().filter_map(|finding| finding.needed).max();
    let needed = needed.filter(|_| any);
    let resized = needed.map(|needed| Resized::new(decal, needed, unit));
    let mut detail = format!("{name}, {}.", rule.words(viewing, unit));
    if governing.distance.is_none() {
        detail = format!("{detail} {}", too_small(rule, viewing, unit));
    }
    if let (Some(wanted), Some(resized)) = (viewing.distance, &resized) {
        detail = format!("{detail} {}", resized.sentence(wanted, unit));
    }
    let distance = governing.distance.map(|far| figure::distance(far, unit));
    let headline = distance.as_ref().map(|distance| distance.text.clone());
    let (height, sides) = resized.as_ref().map(|it| it.measured(unit)).unzip();
    let (decal_width, decal_height) = sides.unzip();
    Recommended {
        rule: rule.id,
        name,
        source: rule.source,
        mark: rule.mark,
        distance,
        letter_height: height,
        decal_width,
        decal_height,
        enough: viewing
            .distance
            .map(|_| resized.is_some_and(|resized| resized.enough)),
        reason: reason(governing, applying(), viewing, unit),
        headline: headline.unwrap_or_else(|| none(rule).to_owned()),
        detail,
    }
}

/// What is said in place of a distance: only what a standard asks for is asked of letters that are seen.
const fn none(rule: &Rule) -> &'static str {
    match rule.takes {
        Takes::Nothing => say!(in "letters": "too small"),
        Takes::Straight | Takes::All | Takes::Eyes | Takes::Details => {
            say!(in "letters": "not seen")
        }
    }
}

/// The decal with letters as high as a distance takes, its proportions kept: exactly, and as shown.
struct Resized {
    enough: bool,
    unchanged: bool,
    letter: [Length; 2],
    width: [Length; 2],
    height: [Length; 2],
}

impl Resized {
    fn new(decal: &Decal, needed: Length, unit: Unit) -> Self {
        let letter = decal.letter_height();
        let shown = figure::shown(needed, letter, unit);
        // A maker takes the letter height that is shown, so the sides as shown belong to that.
        let side = |side: Length| {
            let at = |height: Length| side.scaled_up(height.nm(), letter.nm());
            [at(needed), figure::shown(at(shown), side, unit)]
        };
        Self {
            enough: needed <= letter,
            unchanged: shown == letter,
            letter: [needed, shown],
            width: side(decal.width()),
            height: side(decal.height()),
        }
    }

    fn sentence(&self, wanted: Length, unit: Unit) -> String {
        let wanted = wanted.text(unit.for_distance());
        let unit = unit.for_size();
        let letter = self.letter[1].text(unit);
        let sides = size_text(self.width[1], self.height[1], unit);
        if !self.enough {
            say!("For {wanted} the letters would need {letter}, the decal {sides}.")
        } else if self.unchanged {
            say!("For {wanted} the letters are just high enough.")
        } else {
            say!("For {wanted} letters of {letter} would do, on a decal of {sides}.")
        }
    }

    /// Letter height, and width and height of the decal.
    fn measured(&self, unit: Unit) -> (Measured, (Measured, Measured)) {
        let measured = |[exact, shown]: [Length; 2]| figure::size(exact, shown, unit);
        (
            measured(self.letter),
            (measured(self.width), measured(self.height)),
        )
    }
}

/// Why the governing rule does: what it is compared with, and what its figure rests on.
fn reason<'a>(
    governing: &Finding,
    applying: impl Iterator<Item = &'a Finding>,
    viewing: &Viewing,
    unit: Unit,
) -> String {
    let most = match viewing.reader {
        Reader::Passing => say!("The most cautious of the rules for somebody passing counts."),
        Reader::AtEase => {
            say!("The most cautious of the rules for somebody who reads at ease counts.")
        }
        Reader::Accessible => {
            say!("The most cautious of the rules for a sign that must be accessible counts.")
        }
        Reader::Board => {
            say!("The most cautious of the rules for a driver and the board of a business counts.")
        }
        Reader::Safety => say!("The most cautious of the rules for a safety sign counts."),
    };
    let because = match governing.rule.takes {
        Takes::Details => say!("Farther away such eyes cannot tell the letters apart."),
        Takes::Eyes => say!("Reading at ease takes larger letters than can just be told apart."),
        Takes::Nothing => say!("The standard asks for more than the eye needs."),
        Takes::All | Takes::Straight => {
            say!("A glance takes larger letters than such eyes just tell apart.")
        }
    };
    let says = |finding: &Finding| {
        let name = finding.rule.name_for(viewing, unit);
        match finding.distance {
            Some(far) => format!("{name}: {}", figure::distance(far, unit).text),
            None => format!("{name}: {}", none(finding.rule)),
        }
    };
    let others: Vec<String> = applying
        .filter(|finding| finding.rule.id != governing.rule.id)
        .map(says)
        .collect();
    let others = say!("The others: {others}.", others = others.join("; "));
    format!("{most} {}. {others} {because}", says(governing))
}
