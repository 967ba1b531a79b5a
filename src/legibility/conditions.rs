//! What takes from the distance: how the letters are drawn, and how they are seen.
//!
//! Each effect is a share of the distance that is left, with the publication or the geometry that it
//! comes from; where there is neither it is a rule of thumb, and says so. Two columns, because the eye's
//! geometry knows more than a rule does: a rule presumes plain letters as they are, the eye has to tell
//! their strokes apart.

use super::contrast::Contrast;
use super::eye::cosine;
use super::rules::{Mark, Rule, Takes};
use super::{Case, LegibilityInput, Reader, Viewing};
use crate::decal::{Decal, Face};
use crate::error::Checks;
use crate::measure::{Length, NumberInput, Unit, decimals};
use say::say;
use serde::{Deserialize, Serialize};

/// The light by which it is read.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "camelCase")]
pub enum Light {
    /// Daylight, or a sign that is lit well.
    #[default]
    Day,
    /// Dusk, or a yard with little light.
    Dusk,
    /// Headlights on film that throws them back.
    Retroreflective,
    /// Headlights on plain film.
    Headlights,
}

/// A share of a distance, in billionths, so that a distance and the one before it undo each other.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Share(i64);

impl Share {
    /// All of it.
    pub const WHOLE: Self = Self(1_000_000_000);

    /// The share, to the billionth below; from nothing to all.
    #[must_use]
    #[expect(clippy::cast_possible_truncation, reason = "from 0 to 1e9")]
    pub fn of(share: f64) -> Self {
        // What is a billionth short by the last digit of a float is not short of it.
        let parts = (share * 1e9 + 1e-6).floor();
        Self((parts as i64).clamp(0, Self::WHOLE.0))
    }

    /// What is left of a distance, to the nanometre below.
    #[must_use]
    pub fn left_of(self, distance: Length) -> Length {
        let left = i128::from(distance.nm()) * i128::from(self.0);
        let left = left.div_euclid(i128::from(Self::WHOLE.0));
        Length::from_nm(i64::try_from(left).unwrap_or(i64::MAX))
    }

    /// The distance of which so much is left, to the nanometre above; none where nothing is ever left.
    #[must_use]
    pub fn before(self, left: Length) -> Option<Length> {
        (self.0 > 0).then(|| left.scaled_up(Self::WHOLE.0, self.0))
    }
}

/// One effect, with what it leaves.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "camelCase")]
pub struct Effect {
    /// Short name, for programs.
    pub id: &'static str,
    /// What it is: `seen from 40° aside`.
    pub name: String,
    /// What it leaves of the distance of the rules, from 0 to 1.
    pub share: f64,
    /// The same as people write it: `77 %`.
    pub text: String,
    /// What it leaves of the distance of the acuity.
    pub eye_share: f64,
    /// The same as people write it, where it is another share.
    pub eye_text: Option<String>,
    /// What it leaves of the distance of the rule that governs, as people write it.
    pub counts: String,
    /// Publication and section, or the geometry that it is.
    pub source: &'static str,
    /// How surely it is known.
    pub mark: Mark,
}

/// What all effects leave, by what a rule presumes.
#[derive(Clone, Copy, Debug)]
pub(super) struct Shares {
    /// Of rules that presume letters seen as they are drawn.
    pub rules: Share,
    /// Of rules that count in the slant already.
    pub straight: Share,
    /// Of rules for reading at ease, which presume eyes that see well.
    pub ease: Share,
    /// Of the acuity.
    pub eye: Share,
}

/// The acuity that sizes for reading presume: DIN 1450:2013, from memory.
pub(super) const READING_ACUITY: f64 = 0.7;
/// Width of an O as a share of the height below which letters are no plain ones any more: 2010 ADA
/// Standards, section 703.5.4.
const PLAIN_WIDTH: f64 = 0.55;
/// The same of narrow letters on the grid of DIN 1451-4: 3 units of 7.
const NARROW_WIDTH: f64 = 3.0 / 7.0;
/// Height of small letters without ascenders as a share of capitals', as road signs have them: Manual on
/// Uniform Traffic Control Devices, 2009 edition, section 2D.05, from memory.
pub(super) const X_HEIGHT: f64 = 0.75;
/// The stroke of the letters of eye charts, a fifth of their height.
const CHART_STROKE: f64 = 0.2;

/// What a script leaves. Rule of thumb.
const SCRIPT: f64 = 0.5;
/// The finest stroke that takes nothing: a sixth of the height for dark letters on light, a seventh to an
/// eighth for light ones on dark are asked for by DOD-HDBK-791, 6-5.3.2 (looked up,
/// <https://www.yumpu.com/en/document/view/51300544/maintainability-design-techniques-metric-acqnotescom/108>).
const FINE: f64 = 0.125;

/// Angles to the letters that are reckoned with: beyond, one sees hardly more than the edge.
const ANGLES: [f64; 2] = [0.0, 85.0];
/// What is taken off as a reserve, in percent.
const RESERVES: [f64; 2] = [0.0, 90.0];
/// Heights of small letters, in percent of capitals'.
const X_HEIGHTS: [f64; 2] = [30.0, 100.0];
/// What weak light leaves, in percent.
const LIGHT_SHARES: [f64; 2] = [1.0, 100.0];

impl Light {
    /// What it leaves of the distance by day, where nothing else is entered. Rules of thumb of our own:
    /// no publication that we know gives figures for lettering of cut film.
    const fn share(self) -> f64 {
        match self {
            Self::Day => 1.0,
            Self::Dusk => 0.6,
            Self::Retroreflective => 0.8,
            Self::Headlights => 0.4,
        }
    }

    const fn name(self) -> &'static str {
        match self {
            Self::Day => say!("daylight"),
            Self::Dusk => say!("dusk"),
            Self::Retroreflective => say!("headlights on retroreflective film"),
            Self::Headlights => say!("headlights on plain film"),
        }
    }
}

/// Reads what is typed about the conditions into `viewing`.
pub(super) fn read(input: &LegibilityInput, viewing: &mut Viewing, checks: &mut Checks) {
    let mut number = |typed: Option<&NumberInput>, path, sign, range, otherwise| {
        let read = checks.take(NumberInput::between(typed, path, sign, range));
        read.flatten().unwrap_or(otherwise)
    };
    let x_height = input.x_height.as_ref();
    viewing.x_height = number(x_height, "xHeight", '%', X_HEIGHTS, X_HEIGHT * 100.0) / 100.0;
    viewing.light = input.light;
    let usual = input.light.share() * 100.0;
    // By day nothing is taken, whatever was typed for another light.
    let light_share = input.light_share.as_ref();
    let light_share = light_share.filter(|_| input.light != Light::Day);
    viewing.light_share = number(light_share, "lightShare", '%', LIGHT_SHARES, usual) / 100.0;
    viewing.aside = number(input.aside.as_ref(), "aside", '°', ANGLES, 0.0);
    viewing.rake = number(input.rake.as_ref(), "rake", '°', ANGLES, 0.0);
    viewing.reserve = number(input.reserve.as_ref(), "reserve", '%', RESERVES, 0.0) / 100.0;
}

/// A part of the letters as a share of their height.
fn of_height(part: Option<Length>, decal: &Decal) -> Option<f64> {
    let height = decal.letter_height().to_f64(Unit::M);
    part.map(|part| part.to_f64(Unit::M) / height)
}

/// What the drawing of the letters leaves, as the eye sees it: upright and across. The smallest detail
/// has to be told apart: the stroke, the gap between three strokes one above the other (as in an E), the
/// one between two side by side (as in an O or an H), the one to the next letter. Of good letters they
/// are an eighth of the height or more, [`FINE`]; below that the distance goes with them, by geometry.
///
/// It is told of the height of the small letters where these are to be read: strokes and gaps to the next
/// letter that were measured are as wide among them, what lies between their strokes is taken to shrink
/// with them.
fn details(decal: &Decal, viewing: &Viewing) -> [f64; 2] {
    let [_, high] = small(viewing);
    let measured = of_height(decal.stroke(), decal);
    let stroke = measured.unwrap_or(CHART_STROKE);
    let counter = (1.0 - 3.0 * stroke) / 2.0;
    let line = measured.map_or(CHART_STROKE, |stroke| stroke / high);
    let mut across = line;
    if let Some(width) = of_height(decal.letter_width(), decal) {
        // Where the stroke was not measured, it is not to blame the width for.
        let stroke = measured.unwrap_or(CHART_STROKE.min(width / 3.0));
        across = across.min(width - 2.0 * stroke);
    }
    if let Some(gap) = of_height(decal.letter_gap(), decal) {
        // Letters that touch leave as much as those of a script, which do so by intention.
        across = across.min((gap / high).max(FINE * SCRIPT));
    }
    // An eighth may be short of an eighth by the last digit of a float.
    [line.min(counter), across].map(|detail| (detail / FINE + 1e-12).clamp(0.0, 1.0))
}

/// The width of an O as a share of the height, where it is known to be less than that of plain letters.
fn narrowness(decal: &Decal) -> f64 {
    let width = of_height(decal.letter_width(), decal).unwrap_or(match decal.face() {
        Face::Condensed => NARROW_WIDTH,
        Face::Plain | Face::Script => PLAIN_WIDTH,
    });
    (width / PLAIN_WIDTH).min(1.0)
}

/// Whether small letters are to be read.
fn is_mixed(viewing: &Viewing) -> bool {
    viewing.case == Case::Mixed
}

/// What small letters leave of the distance of a rule, and of that of the acuity.
fn small(viewing: &Viewing) -> [f64; 2] {
    if is_mixed(viewing) {
        [(viewing.x_height / X_HEIGHT).min(1.0), viewing.x_height]
    } else {
        [1.0; 2]
    }
}

/// What is left of the distance whatever the rule: face, contrast, light, dirt.
fn for_all(decal: &Decal, viewing: &Viewing) -> f64 {
    face(decal) * contrast(viewing) * viewing.light_share * (1.0 - viewing.reserve)
}

fn face(decal: &Decal) -> f64 {
    if decal.face() == Face::Script {
        SCRIPT
    } else {
        1.0
    }
}

fn contrast(viewing: &Viewing) -> f64 {
    viewing.contrast.map_or(1.0, Contrast::share)
}

/// What the weaker eyes leave of reading at ease.
fn eyes(viewing: &Viewing) -> f64 {
    (1.0 / viewing.acuity.detail() / READING_ACUITY).min(1.0)
}

impl Shares {
    /// What the conditions leave of the decal's distances; `viewing` says which case counts.
    pub(super) fn of(decal: &Decal, viewing: &Viewing) -> Self {
        let all = for_all(decal, viewing);
        let [upright, across] = [viewing.rake, viewing.aside].map(cosine);
        let [detail_upright, detail_across] = details(decal, viewing);
        let narrow = narrowness(decal);
        let condensed = if decal.letter_width().is_none() {
            narrow
        } else {
            1.0
        };
        let [small, small_to_eye] = small(viewing);
        let seen = upright.min(across * narrow);
        let eye = (upright * detail_upright).min(across * detail_across * condensed);
        Self {
            rules: Share::of(all * small * seen),
            straight: Share::of(all * small * narrow),
            ease: Share::of(all * small * seen * eyes(viewing)),
            eye: Share::of(all * small_to_eye * eye),
        }
    }
}

/// An effect as such.
struct Kind {
    id: &'static str,
    /// Empty where what was typed is in it.
    name: &'static str,
    source: &'static str,
    mark: Mark,
}

const fn kind(id: &'static str, name: &'static str, mark: Mark, source: &'static str) -> Kind {
    Kind {
        id,
        name,
        source,
        mark,
    }
}

/// Every effect, in the order in which people see them.
static KINDS: [Kind; 10] = [
    kind(
        "small-letters",
        say!("small letters"),
        Mark::FromMemory,
        say!(
            "the eye has to tell the small letters apart; road signs have them three quarters as high as \
             capitals (Manual on Uniform Traffic Control Devices, 2009 edition, section 2D.05)"
        ),
    ),
    kind(
        "details",
        say!("strokes, counters and gaps"),
        Mark::Derived,
        say!(
            "strokes of good letters are a sixth to an eighth of their height (DOD-HDBK-791, 6-5.3.2); where the \
             smallest of stroke, counter and gap is less, the distance goes with it, by geometry; letters that touch leave half, as a script"
        ),
    ),
    kind(
        "width",
        say!("narrow letters"),
        Mark::RuleOfThumb,
        say!(
            "in proportion below 55 % of the height, the least width of an O in the 2010 ADA Standards, \
             703.5.4; narrow letters of DIN 1451-4 have 3/7"
        ),
    ),
    kind(
        "script",
        say!("script"),
        Mark::RuleOfThumb,
        say!("half of the distance; the 2010 ADA Standards, 703.5.3, take no script at all"),
    ),
    kind(
        "contrast",
        say!("contrast of film and ground"),
        Mark::RuleOfThumb,
        say!(
            "the root of its share of the advised 70 %: of small things the eye sees alike what has contrast \
             times area alike (Ricco's law, from memory)"
        ),
    ),
    kind(
        "light",
        "",
        Mark::RuleOfThumb,
        say!("an estimate to be safe, or your own figure"),
    ),
    kind(
        "aside",
        "",
        Mark::Derived,
        say!(
            "geometry: widths shrink by the cosine. Readers were measured to lose nothing up to 70° and four \
             fifths at 80° (An Evidence Based Model Sign Code, after Griffin and Bailey 2002)"
        ),
    ),
    kind(
        "rake",
        "",
        Mark::Derived,
        say!(
            "geometry: heights shrink by the cosine; of side and slope the one that takes more counts"
        ),
    ),
    kind(
        "reserve",
        say!("haze and dirt"),
        Mark::RuleOfThumb,
        say!("your own reserve"),
    ),
    kind(
        "eyes",
        say!("weak eyes, for reading at ease"),
        Mark::FromMemory,
        say!(
            "DIN 1450:2013: its sizes are for an acuity of 0.7, weaker eyes take larger ones in proportion"
        ),
    ),
];

/// Every effect that takes something, in words; `rule` is the one that governs.
pub(super) fn effects(decal: &Decal, viewing: &Viewing, rule: Option<&Rule>) -> Vec<Effect> {
    let takes = rule.map_or(Takes::All, |rule| rule.takes);
    let [upright, across] = details(decal, viewing);
    let narrow = narrowness(decal);
    let condensed = decal.letter_width().is_none();
    let at_ease = viewing.reader == Reader::AtEase;
    let shares = [
        small(viewing),
        [1.0, upright.min(across)],
        [narrow, if condensed { narrow } else { 1.0 }],
        [face(decal); 2],
        [contrast(viewing); 2],
        [viewing.light_share; 2],
        [cosine(viewing.aside); 2],
        [cosine(viewing.rake); 2],
        [1.0 - viewing.reserve; 2],
        [if at_ease { eyes(viewing) } else { 1.0 }, 1.0],
    ];
    let mut effects = Vec::new();
    for (kind, [share, eye_share]) in KINDS.iter().zip(shares) {
        if share < 1.0 || eye_share < 1.0 {
            let name = match kind.id {
                "light" => viewing.light.name().to_owned(),
                "aside" => say!(
                    "seen from aside, {degrees}°",
                    degrees = decimals(viewing.aside, 1)
                ),
                "rake" => say!("sloped, {degrees}°", degrees = decimals(viewing.rake, 1)),
                _ => kind.name.to_owned(),
            };
            let counts = match takes {
                Takes::Nothing => 1.0,
                Takes::Details => eye_share,
                Takes::Straight if ["aside", "rake"].contains(&kind.id) => 1.0,
                Takes::All | Takes::Straight if kind.id == "eyes" => 1.0,
                Takes::All | Takes::Straight | Takes::Eyes => share,
            };
            effects.push(Effect {
                counts: left(counts),
                id: kind.id,
                name,
                share,
                text: left(share),
                eye_share,
                eye_text: (left(eye_share) != left(share)).then(|| left(eye_share)),
                source: kind.source,
                mark: kind.mark,
            });
        }
    }
    effects
}

/// `77 %`, rounded down; less than one percent is said so.
fn left(share: f64) -> String {
    let percent = (share * 100.0 + 1e-9).floor();
    if percent < 1.0 && share > 0.0 {
        say!("under 1 %").to_owned()
    } else {
        decimals(percent, 0) + " %"
    }
}
