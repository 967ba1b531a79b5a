//! From how far lettering can be read, and how high it must be for a distance.
//!
//! Published rules stand side by side, each with its source and with what it presumes. Of those that
//! were made for the reader in question the most cautious governs: it is the recommended figure. What the
//! case lacks of what the rules presume takes its share of their distances (`conditions.rs`).

pub mod conditions;
pub mod contrast;
pub mod eye;
mod figure;
mod grades;
pub mod law;
pub mod moving;
pub mod notes;
mod picture;
mod places;
mod recommended;
pub mod rules;
pub mod screen;

use crate::decal::{Decal, DecalInput, shown};
use crate::drawing::Element;
use crate::error::{Checks, InputErrors};
use crate::input::read_by_members;
use crate::measure::{
    Count, Length, LengthInput, Measured, NumberInput, Range, Unit, decimals, optional,
};
use conditions::{Effect, Light, Shares, effects};
use contrast::{Contrast, ContrastInput, ContrastReport};
use eye::Acuity;
pub use grades::Grade;
use grades::grades;
pub use law::law;
use notes::{NOTES, Note};
pub use places::{Place, PlaceInput};
pub use recommended::Recommended;
use recommended::recommended;
use rules::{COUNT, Mark, RULES, Rule};
use say::say;
use serde::{Deserialize, Serialize};

/// Who is to read the lettering.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "camelCase")]
pub enum Reader {
    /// Somebody who walks or drives past and has a glance for it.
    #[default]
    Passing,
    /// Somebody who stands or sits and reads in comfort.
    AtEase,
    /// Everybody who comes by a sign that must be accessible.
    Accessible,
    /// A driver, of the sign board of a business.
    Board,
    /// Somebody in danger, of a safety sign.
    Safety,
}

/// How high above the floor the baseline of the lettering is, in the bands of the 2010 ADA
/// Standards, table 703.5.5.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "camelCase")]
pub enum Mount {
    /// 40 to 70 in.
    #[default]
    EyeLevel,
    /// More than 70 and up to 120 in.
    Overhead,
    /// More than 120 in.
    High,
}

/// Which letters the words are made of.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "camelCase")]
pub enum Case {
    /// As the words of the decal are written; capitals where there are none.
    #[default]
    AsWritten,
    /// Capitals only.
    Caps,
    /// Small letters with capitals.
    Mixed,
}

read_by_members! {
    /// What is asked about the legibility of a decal.
    #[derive(Clone, Debug, Default, PartialEq)]
    pub struct LegibilityInput {
        /// Unit of lengths without one, and of the answers; inches if left out. A distance as a bare text counts
        /// in feet beside inches and in metres beside millimetres and centimetres.
        pub unit: Unit = default,
        /// What is read: its words and its sizes.
        pub decal: DecalInput = default,
        /// The distance from which it is to be read, [`DISTANCE`]; may be left out.
        pub distance: Option<LengthInput> = default,
        /// Who is to read it; somebody passing if left out.
        pub reader: Reader = default,
        /// How sharply that reader sees, as in `20/40`, `6/12` or `0.5`, from 20/400 to 20/10; 20/40 if
        /// left out.
        pub acuity: Option<String> = default,
        /// How high it is mounted, for a sign that must be accessible; at eye level if left out.
        pub mount: Mount = default,
        /// Capitals only, or small letters too; as the words are written if left out.
        pub case: Case = default,
        /// Height of small letters without ascenders, in percent of capitals'; 75 if left out.
        pub x_height: Option<NumberInput> = default,
        /// How film and ground differ; strongly if left out.
        pub contrast: ContrastInput = default,
        /// The light; daylight if left out.
        pub light: Light = default,
        /// What that light leaves of the distance by day, in percent; a rule of thumb if left out.
        pub light_share: Option<NumberInput> = default,
        /// The angle from straight before it to the reader, to the side, in degrees from 0 to 85.
        pub aside: Option<NumberInput> = default,
        /// The angle by which its ground slopes away from upright, in degrees from 0 to 85.
        pub rake: Option<NumberInput> = default,
        /// What haze and dirt take off as a reserve, in percent.
        pub reserve: Option<NumberInput> = default,
        /// The distance factor of a safety sign, from 10 to 3,000 times the letter height; may be left out.
        pub factor: Option<Count> = default,
        /// Places where people read it, each with its distance.
        pub places: Vec<PlaceInput> = default,
        /// Which of them counts as the distance from which it is to be read, from 0 on; none if left out.
        pub place: Option<Count> = default,
    }
}

/// Distances that can be asked for: arm's reach on a bench to the horizon.
pub const DISTANCE: Range = Range::new(Length::whole(10, Unit::Cm), Length::MAX);

/// Who looks, from where: what the rules need to know beside the decal.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Viewing {
    /// The distance from which the decal is to be read, if one is asked for.
    pub distance: Option<Length>,
    /// Who is to read it.
    pub reader: Reader,
    /// How sharply that reader sees.
    pub acuity: Acuity,
    /// How high it is mounted.
    pub mount: Mount,
    /// Capitals only, or small letters too.
    pub case: Case,
    /// Height of small letters, as a share of that of capitals.
    pub x_height: f64,
    /// How film and ground differ, where that is asked.
    pub contrast: Option<Contrast>,
    /// The light in which it is read.
    pub light: Light,
    /// What that light leaves of the distance, from 0 to 1.
    pub light_share: f64,
    /// The angle at which it is seen from the side, in degrees.
    pub aside: f64,
    /// The angle by which it slopes away from upright, in degrees.
    pub rake: f64,
    /// What is taken off as a reserve, from 0 to 1.
    pub reserve: f64,
    /// The distance factor of a safety sign, if one is stated.
    pub factor: Option<u32>,
}

impl Default for Viewing {
    /// Somebody passing, by daylight, straight before it.
    fn default() -> Self {
        Self {
            distance: None,
            reader: Reader::default(),
            acuity: Acuity::default(),
            mount: Mount::default(),
            case: Case::default(),
            x_height: conditions::X_HEIGHT,
            contrast: None,
            light: Light::default(),
            light_share: 1.0,
            aside: 0.0,
            rake: 0.0,
            reserve: 0.0,
            factor: None,
        }
    }
}

impl Viewing {
    /// Reads everything but the decal.
    ///
    /// # Errors
    /// Those of [`LengthInput::read`] at `distance`, of [`Acuity::parse`] at `acuity`, of
    /// [`Contrast::read`] under `contrast`, of [`NumberInput::between`] at the members of the conditions,
    /// and those of the places; [`Code::NotAChoice`](crate::error::Code::NotAChoice) at `place` where
    /// there is none at that number.
    pub fn read(input: &LegibilityInput) -> Result<Self, InputErrors> {
        let mut checks = Checks::default();
        let unit = input.unit.for_distance();
        let distance = input.distance.as_ref();
        let distance = distance.map(|distance| distance.counted_in(input.unit));
        let distance = optional(distance.as_ref(), "distance", unit, DISTANCE);
        let distance = checks.take(distance);
        let acuity = Acuity::parse(input.acuity.as_deref().unwrap_or_default());
        let acuity = checks.take(acuity.map_err(|error| error.at("acuity")));
        let mut viewing = Self {
            distance: distance.flatten(),
            reader: input.reader,
            acuity: acuity.unwrap_or_default(),
            mount: input.mount,
            case: input.case,
            ..Self::default()
        };
        conditions::read(input, &mut viewing, &mut checks);
        let factor = Count::optional_from(input.factor.as_ref(), "factor", 10, 3_000);
        viewing.factor = checks.take(factor).flatten();
        let contrast = Contrast::read(&input.contrast).map_err(|errors| errors.within("contrast"));
        viewing.contrast = checks.take(contrast).flatten();
        if let Some(place) = places::chosen(input, &mut checks) {
            viewing.distance = Some(place);
        }
        checks.finish(viewing)
    }

    /// The same with the case that the decal's words are written in.
    fn of(&self, decal: &Decal) -> Self {
        let case = match self.case {
            Case::AsWritten if decal.words().has_small_letters() => Case::Mixed,
            Case::AsWritten => Case::Caps,
            case => case,
        };
        Self { case, ..*self }
    }
}

/// From how far a decal can be read.
///
/// `value`s are not rounded. Texts are, to the safe side: distances are cut to two figures of feet
/// or metres, sizes go up to 1/16 in or 1 mm (to a finer step where what there is suffices and that
/// step would ask for more), so that a distance as shown never asks for taller letters than those
/// it came from.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "camelCase")]
pub struct LegibilityReport {
    /// The unit of every number here.
    pub unit: Unit,
    /// The distance that was asked for, if one was.
    pub wanted: Option<Measured>,
    /// The height of a capital I, typed or worked out.
    pub letter_height: Measured,
    /// The figure to go by.
    pub recommended: Recommended,
    /// How it reads from farther and from nearer, the nearest last.
    pub grades: Vec<Grade>,
    /// The grade at the wanted distance; none where nothing is noticed from there.
    pub grade: Option<&'static str>,
    /// The width of the smallest stroke or gap that the reader's eyes tell apart from the wanted distance
    /// under the conditions told; none where they tell nothing apart.
    pub stroke: Option<Measured>,
    /// What takes from the distances, and how much is left.
    pub effects: Vec<Effect>,
    /// The contrast of film and ground, where that was asked.
    pub contrast: Option<ContrastReport>,
    /// What every rule says, in their order, those that apply first.
    pub rules: Vec<Reading>,
    /// Whether it can be read at each of the places.
    pub places: Vec<Place>,
    /// What all figures presume.
    pub assumptions: Vec<String>,
    /// What no figure can tell.
    pub caution: String,
}

/// What one rule says about the decal.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "camelCase")]
pub struct Reading {
    /// The rule's short name, for programs.
    pub id: &'static str,
    /// The rule's name.
    pub name: String,
    /// What the rule says: `30 ft for each inch of letter height`.
    pub formula: String,
    /// Publication, edition and section.
    pub source: &'static str,
    /// Address of the page on which the figure was looked up.
    pub address: Option<&'static str>,
    /// How surely the figure is known.
    pub mark: Mark,
    /// What it was made for.
    pub domain: &'static str,
    /// Who reads, in what light, and what else the rule presumes.
    pub assumption: &'static str,
    /// Whether the rule is made for this case.
    pub applies: bool,
    /// Why it is not, or why it allows no distance.
    pub why: Option<String>,
    /// How far the letters can be read from by this rule; none where they are too small for it.
    pub distance: Option<Measured>,
    /// The letter height that it asks for at the wanted distance; none where it has no figure for that.
    pub letter_height: Option<Measured>,
    /// The angle that a letter fills from the rule's distance, such as `9.5 arcmin`.
    pub visual_angle: Option<String>,
    /// The rule's distance as a share of the longest of all rules, for a bar.
    pub share: f64,
}

/// The part of a [`LegibilityReport`] that a form shows while one types.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[serde(rename_all = "camelCase")]
pub struct Answer {
    /// As in the report.
    pub unit: Unit,
    /// As in the report.
    pub wanted: Option<Measured>,
    /// As in the report.
    pub letter_height: Measured,
    /// As in the report.
    pub recommended: Recommended,
    /// As in the report.
    pub grades: Vec<Grade>,
    /// As in the report.
    pub grade: Option<&'static str>,
    /// As in the report.
    pub stroke: Option<Measured>,
    /// As in the report.
    pub effects: Vec<Effect>,
}

impl Answer {
    /// The angle that the letters fill against the distance, with the grades as bands and a mark at the
    /// wanted distance.
    #[must_use]
    pub fn drawing(&self) -> Element {
        grades::drawing(self)
    }
}

impl LegibilityReport {
    /// Each rule as a bar as long as the distance from which it says that the letters can be read,
    /// with marks at the wanted distance and at the recommended figure.
    #[must_use]
    pub fn drawing(&self) -> Element {
        picture::drawing(self)
    }
}

/// From how far the decal of `input` can be read.
///
/// # Errors
/// Those of [`Decal::read`] under `decal`, and of [`Viewing::read`].
///
/// # Examples
/// ```
/// use decal_reckoner::decal::DecalInput;
/// use decal_reckoner::legibility::{LegibilityInput, report};
///
/// let input = LegibilityInput {
///     decal: DecalInput {
///         width: Some("9".into()),
///         height: Some("3".into()),
///         letter_height: Some("1 1/2".into()),
///         ..DecalInput::default()
///     },
///     distance: Some("60 ft".into()),
///     ..LegibilityInput::default()
/// };
/// // 30 ft to the inch: 45 ft.
/// assert_eq!(report(&input)?.rules[0].distance.as_ref().map(|d| d.text.as_str()), Some("45 ft"));
/// # Ok::<(), decal_reckoner::error::InputErrors>(())
/// ```
pub fn report(input: &LegibilityInput) -> Result<LegibilityReport, InputErrors> {
    let (decal, viewing) = read(input)?;
    let places = places::read(&input.places, input.unit)?;
    let Answer {
        unit,
        wanted,
        letter_height,
        recommended,
        grades,
        grade,
        stroke,
        effects,
    } = assess(&decal, &viewing, input.unit);
    let viewing = viewing.of(&decal);
    let shares = Shares::of(&decal, &viewing);
    let findings = findings(&decal, &viewing, &shares);
    let longest = findings.iter().filter_map(|finding| finding.distance).max();
    let mut rules = Vec::new();
    for counts in [true, false] {
        for (finding, note) in findings.iter().zip(&NOTES) {
            if finding.rule.applies(&viewing) == counts {
                rules.push(reading(finding, note, longest, &decal, &viewing, unit));
            }
        }
    }
    Ok(LegibilityReport {
        unit,
        wanted,
        letter_height,
        recommended,
        grades,
        grade,
        stroke,
        effects,
        contrast: viewing.contrast.map(Contrast::report),
        rules,
        places: places::report(&places, &decal, &viewing, unit),
        assumptions: assumptions(&viewing),
        caution: CAUTION.to_owned(),
    })
}

/// The part of [`report`] that a form shows while one types.
///
/// # Errors
/// Those of [`report`].
pub fn answer(input: &LegibilityInput) -> Result<Answer, InputErrors> {
    let (decal, viewing) = read(input)?;
    Ok(assess(&decal, &viewing, input.unit))
}

/// Reads the decal and who looks at it.
///
/// # Errors
/// Those of [`Decal::read`] under `decal`, of [`Viewing::read`], and of the places.
pub fn read(input: &LegibilityInput) -> Result<(Decal, Viewing), InputErrors> {
    let mut checks = Checks::default();
    let decal = Decal::read(&input.decal, input.unit).map_err(|errors| errors.within("decal"));
    let decal = checks.take(decal);
    let viewing = checks.take(Viewing::read(input));
    checks.take(places::read(&input.places, input.unit));
    checks.finish(decal.zip(viewing).unwrap_or_default())
}

/// A rule with what it says about one decal.
struct Finding {
    rule: &'static Rule,
    distance: Option<Length>,
    /// The letter height that the wanted distance takes, if any does.
    needed: Option<Length>,
}

/// What every rule says; `viewing` says which case counts.
fn findings(decal: &Decal, viewing: &Viewing, shares: &Shares) -> [Finding; COUNT] {
    RULES.each_ref().map(|rule| Finding {
        rule,
        distance: rule.distance(decal.letter_height(), viewing, shares),
        needed: viewing
            .distance
            .and_then(|distance| rule.height(distance, viewing, shares)),
    })
}

fn assess(decal: &Decal, viewing: &Viewing, unit: Unit) -> Answer {
    let viewing = &viewing.of(decal);
    let shares = Shares::of(decal, viewing);
    let findings = findings(decal, viewing, &shares);
    let grades = grades(decal, viewing, shares.eye, unit);
    Answer {
        unit,
        wanted: viewing.distance.map(|distance| Measured {
            value: distance.to_f64(unit),
            text: distance.text(unit.for_distance()),
        }),
        letter_height: Measured {
            value: decal.letter_height().to_f64(unit),
            text: shown(decal.letter_height(), unit.for_size()),
        },
        recommended: recommended(&findings, decal, viewing, unit),
        grade: viewing
            .distance
            .and_then(|distance| grades::at(distance, decal, viewing, shares.eye)),
        stroke: viewing
            .distance
            .and_then(|distance| grades::stroke(distance, viewing, shares.eye, unit)),
        grades,
        effects: effects(decal, viewing, governing(decal, viewing)),
    }
}

/// How far the letters can be read from by the rule that governs; none where they are too small for it
/// at any distance, or nothing of them is seen.
#[must_use]
pub fn reach(decal: &Decal, viewing: &Viewing) -> Option<Length> {
    let viewing = &viewing.of(decal);
    let shares = Shares::of(decal, viewing);
    governing(decal, viewing)?.distance(decal.letter_height(), viewing, &shares)
}

/// The same as it is shown: cut to two figures of feet or metres.
#[must_use]
pub fn reads_from(decal: &Decal, viewing: &Viewing, unit: Unit) -> Option<Measured> {
    reach(decal, viewing).map(|distance| figure::distance(distance, unit))
}

/// The rule that governs: of those that apply the one that allows the least distance.
fn governing(decal: &Decal, viewing: &Viewing) -> Option<&'static Rule> {
    let viewing = &viewing.of(decal);
    let shares = Shares::of(decal, viewing);
    let applying = RULES.iter().filter(|rule| rule.applies(viewing));
    applying.min_by_key(|rule| rule.distance(decal.letter_height(), viewing, &shares))
}

/// The letter height with which the decal can be read from `distance` by every rule that applies, its
/// proportions kept; none where no letters are.
#[must_use]
pub fn letter_height_for(distance: Length, decal: &Decal, viewing: &Viewing) -> Option<Length> {
    let viewing = &viewing.of(decal);
    let shares = Shares::of(decal, viewing);
    let mut most = Length::ZERO;
    for rule in RULES.iter().filter(|rule| rule.applies(viewing)) {
        most = most.max(rule.height(distance, viewing, &shares)?);
    }
    Some(most)
}

fn reading(
    finding: &Finding,
    note: &Note,
    longest: Option<Length>,
    decal: &Decal,
    viewing: &Viewing,
    unit: Unit,
) -> Reading {
    let Finding {
        rule,
        distance,
        needed,
    } = *finding;
    let letter = decal.letter_height();
    let applies = rule.applies(viewing);
    let why = if applies {
        distance.is_none().then(|| too_small(rule, viewing, unit))
    } else {
        Some(note.otherwise.to_owned())
    };
    Reading {
        id: rule.id,
        name: rule.name_for(viewing, unit),
        formula: rule.words(viewing, unit),
        source: rule.source,
        address: note.address,
        mark: rule.mark,
        domain: note.domain,
        assumption: note.assumption,
        applies,
        why,
        distance: distance.map(|distance| figure::distance(distance, unit)),
        letter_height: needed
            .map(|needed| figure::size(needed, figure::shown(needed, letter, unit), unit)),
        visual_angle: distance.map(|distance| {
            let minutes = eye::angle(letter, distance).to_arcmin();
            format!("{} arcmin", decimals(minutes, 1))
        }),
        share: distance.zip(longest).map_or(0.0, |(distance, longest)| {
            distance.to_f64(unit) / longest.to_f64(unit)
        }),
    }
}

fn too_small(rule: &Rule, viewing: &Viewing, unit: Unit) -> String {
    let least = rule.scale(viewing).least;
    if least == Length::ZERO {
        return say!("Under these conditions nothing of them is seen.").to_owned();
    }
    let least = least.text(unit.for_size());
    say!("Letters below {least} are too small for it at any distance.")
}

/// Said beside every answer; it blocks nothing.
const CAUTION: &str = say!(
    "On a vehicle, keep the driver's view clear. What may be stuck to its glass is \
     set by law and differs from place to place: check the local rules first."
);

fn assumptions(viewing: &Viewing) -> Vec<String> {
    let mut assumptions = vec![
        say!("Letter height is the height of a capital I.").to_owned(),
        say!("The rules presume plain letters in strong contrast with what is behind them, clean, by good \
              light, without glare, and a reader straight before them.")
            .to_owned(),
        say!("Where the case lacks one of these, it takes its share of the distance, as listed.").to_owned(),
        say!("Distances are rounded down to two figures, sizes up.").to_owned(),
    ];
    if viewing.case == Case::Mixed {
        assumptions.push(
            say!("Only the sign industry's index has a figure of its own for small letters; the other rules \
                  go by the height of the capital I and small letters three quarters as high, the acuity by \
                  the small letters.")
                .to_owned(),
        );
    }
    assumptions
}
