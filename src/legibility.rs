//! From how far lettering can be read, and how high it must be for a distance.
//!
//! Published rules stand side by side, each with its source and with what it presumes. Of those that
//! were made for the reader in question the most cautious governs: it is the recommended figure.

pub mod contrast;
pub mod eye;
mod figure;
mod picture;
mod recommended;
pub mod rules;

use crate::decal::{Decal, DecalInput};
use crate::drawing::Element;
use crate::error::{Checks, InputErrors};
use crate::input::read_by_members;
use crate::measure::{Length, LengthInput, Measured, Range, Unit, decimals, optional};
use eye::Acuity;
pub use recommended::Recommended;
use recommended::recommended;
use rules::{Mark, RULES, Rule};
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
    /// Capitals only.
    #[default]
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
        /// The decal.
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
        /// Capitals only, or small letters too; capitals if left out.
        pub case: Case = default,
    }
}

/// Distances that can be asked for: arm's reach on a bench to the horizon.
pub const DISTANCE: Range = Range::new(Length::whole(10, Unit::Cm), Length::MAX);

/// Who looks, from where: what the rules need to know beside the decal.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
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
}

impl Viewing {
    /// Reads everything but the decal.
    ///
    /// # Errors
    /// Those of [`LengthInput::read`] at `distance`, and of [`Acuity::parse`] at `acuity`.
    pub fn read(input: &LegibilityInput) -> Result<Self, InputErrors> {
        let mut checks = Checks::default();
        let unit = input.unit.for_distance();
        let distance = input.distance.as_ref();
        let distance = distance.map(|distance| distance.counted_in(input.unit));
        let distance = optional(distance.as_ref(), "distance", unit, DISTANCE);
        let distance = checks.take(distance);
        let acuity = Acuity::parse(input.acuity.as_deref().unwrap_or_default());
        let acuity = checks.take(acuity.map_err(|error| error.at("acuity")));
        checks.finish(Self {
            distance: distance.flatten(),
            reader: input.reader,
            acuity: acuity.unwrap_or_default(),
            mount: input.mount,
            case: input.case,
        })
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
    /// The figure to go by.
    pub recommended: Recommended,
    /// What every rule says, in their order.
    pub rules: Vec<Reading>,
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
    /// Who reads, in what light, and what else the rule presumes.
    pub assumption: &'static str,
    /// Whether the rule is made for this case.
    pub applies: bool,
    /// Why it is not, or why it allows no distance.
    pub why: Option<String>,
    /// How far the letters can be read from by this rule; none where they are too small for it.
    pub distance: Option<Measured>,
    /// The letter height that it asks for at the wanted distance.
    pub letter_height: Option<Measured>,
    /// The angle that a letter fills from the rule's distance, such as `9.5 arcmin`.
    pub visual_angle: Option<String>,
    /// The rule's distance as a share of the longest of all rules, for a bar.
    pub share: f64,
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
    let decal = Decal::read(&input.decal, input.unit).map_err(|errors| errors.within("decal"));
    match (decal, Viewing::read(input)) {
        (Ok(decal), Ok(viewing)) => Ok(assess(&decal, &viewing, input.unit)),
        (Err(errors), Ok(_)) | (Ok(_), Err(errors)) => Err(errors),
        (Err(decal), Err(viewing)) => Err(decal.and(viewing)),
    }
}

/// A rule with what it says about one decal.
struct Finding {
    rule: &'static Rule,
    distance: Option<Length>,
    /// The letter height that the wanted distance takes.
    needed: Option<Length>,
}

/// From how far `decal` can be read in the case of `viewing`; numbers are given in `unit`.
#[must_use]
pub fn assess(decal: &Decal, viewing: &Viewing, unit: Unit) -> LegibilityReport {
    let letter = decal.letter_height();
    let findings = RULES.each_ref().map(|rule| {
        let scale = rule.scale(viewing);
        Finding {
            rule,
            distance: scale.distance(letter),
            needed: viewing.distance.map(|distance| scale.height(distance)),
        }
    });
    let longest = findings.iter().filter_map(|finding| finding.distance).max();
    LegibilityReport {
        unit,
        wanted: viewing.distance.map(|distance| Measured {
            value: distance.to_f64(unit),
            text: distance.text(unit.for_distance()),
        }),
        recommended: recommended(&findings, decal, viewing, unit),
        rules: findings
            .iter()
            .map(|finding| reading(finding, longest, decal, viewing, unit))
            .collect(),
        assumptions: assumptions(viewing),
        caution: CAUTION.to_owned(),
    }
}

/// How far the letters can be read from by the rule that governs; none where they are too small for it
/// at any distance.
#[must_use]
pub fn reach(decal: &Decal, viewing: &Viewing) -> Option<Length> {
    let applying = RULES.iter().filter(|rule| rule.applies(viewing));
    let distances = applying.map(|rule| rule.scale(viewing).distance(decal.letter_height()));
    distances.min().flatten()
}

/// The letter height with which the decal can be read from `distance` by every rule that applies.
#[must_use]
pub fn letter_height_for(distance: Length, _decal: &Decal, viewing: &Viewing) -> Length {
    let applying = RULES.iter().filter(|rule| rule.applies(viewing));
    let heights = applying.map(|rule| rule.scale(viewing).height(distance));
    heights.max().unwrap_or_default()
}

fn reading(
    finding: &Finding,
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
        Some(rule.otherwise.to_owned())
    };
    Reading {
        id: rule.id,
        name: rule.name_for(viewing, unit),
        formula: rule.words(viewing, unit),
        source: rule.source,
        address: rule.address,
        mark: rule.mark,
        assumption: rule.assumption,
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
    format!(
        "Letters below {} are too small for it at any distance.",
        least.text(unit.for_size())
    )
}

/// Said beside every answer; it blocks nothing.
const CAUTION: &str = "On a vehicle, keep the driver's view clear. What may be stuck to its glass is \
                       set by law and differs from place to place: check the local rules first.";

fn assumptions(viewing: &Viewing) -> Vec<String> {
    let mut assumptions = vec![
        "Letter height is the height of a capital I.".to_owned(),
        "Plain letters in strong contrast with what is behind them, clean, by good light and \
         without glare."
            .to_owned(),
        "The reader looks straight at it: from the side, on sloped glass or at speed it is read \
         from less far."
            .to_owned(),
        "Distances are rounded down to two figures, sizes up.".to_owned(),
    ];
    if viewing.case == Case::Mixed {
        assumptions.push(
            "Only the sign industry's index has a figure of its own for small letters; all others \
             go by the height of the capital I."
                .to_owned(),
        );
    }
    assumptions
}
