//! The published rules, as data: each with its source, how surely it is known, and whom it is for.
//!
//! What is only read beside a whole list of rules stands in [`super::notes`].

use super::conditions::{Share, Shares};
use super::contrast::Contrast;
use super::eye::Ratio;
use super::{Case, Mount, Reader, Viewing};
use crate::measure::{Angle, Length, Unit, decimals};
use say::say;
use serde::{Serialize, Serializer};

/// How surely a figure is known here.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
pub enum Mark {
    /// Read in the publication, or on a page that prints it.
    #[cfg_attr(target_arch = "wasm32", serde(rename = "looked up"))]
    LookedUp,
    /// Known, but not read again while this was written: check it before you rely on it.
    #[cfg_attr(target_arch = "wasm32", serde(rename = "from memory"))]
    FromMemory,
    /// Worked out from a figure that was looked up, or from geometry.
    #[cfg_attr(target_arch = "wasm32", serde(rename = "derived"))]
    Derived,
    /// What people do; no publication says so.
    #[cfg_attr(target_arch = "wasm32", serde(rename = "common practice"))]
    CommonPractice,
    /// An estimate of our own, to be safe.
    #[cfg_attr(target_arch = "wasm32", serde(rename = "rule of thumb"))]
    RuleOfThumb,
}

impl Mark {
    /// The same for people.
    #[must_use]
    pub const fn text(self) -> &'static str {
        match self {
            Self::LookedUp => say!("looked up"),
            Self::FromMemory => say!("from memory"),
            Self::Derived => say!("derived"),
            Self::CommonPractice => say!("common practice"),
            Self::RuleOfThumb => say!("rule of thumb"),
        }
    }
}

/// As people read it.
impl Serialize for Mark {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self.text())
    }
}

/// A published rule for how high letters must be to be read from a distance.
#[derive(Debug)]
pub struct Rule {
    /// Short name for programs; stable.
    pub id: &'static str,
    /// What people call it. The stated acuity or the place of the sign is put behind it where the
    /// rule depends on that.
    pub name: &'static str,
    /// Publication, edition and section, as a reader would look it up.
    pub source: &'static str,
    /// How surely the figure is known.
    pub mark: Mark,
    /// The readers that it was made for.
    pub serves: &'static [Reader],
    /// What else the case has to be.
    pub only: Only,
    /// Which conditions take from its distance.
    pub takes: Takes,
    /// What it says.
    pub formula: Formula,
}

/// What the case has to be for a rule, beside the reader.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Only {
    /// Nothing else.
    Always,
    /// Letters not known to be lighter than what is behind them.
    DarkOnLight,
    /// Letters not known to be darker than what is behind them.
    LightOnDark,
    /// Seen from 60° aside or more, as a sign along a road is.
    Aside,
    /// A distance factor was typed.
    Factor,
}

/// Which conditions take from the distance of a rule.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Takes {
    /// None: it is asked as it stands.
    Nothing,
    /// All but the slant, which it counts in.
    Straight,
    /// All that change what reaches the eye.
    All,
    /// The same, and weak eyes: it presumes good ones.
    Eyes,
    /// The same as all, and how the letters are drawn: the eye has to tell their details apart.
    Details,
}

/// What a rule says.
#[derive(Debug)]
pub enum Formula {
    /// So many times the letter height.
    Times(i64),
    /// So many times the letter height, in capitals only and in capitals with small letters.
    TimesByCase {
        /// For words in capitals.
        caps: i64,
        /// For words in small letters with capitals.
        mixed: i64,
    },
    /// As many times the letter height as was typed.
    Own,
    /// The letter fills so many minutes of arc.
    Arcmin(f64),
    /// The letter is the smallest that the stated acuity tells apart.
    Acuity,
    /// A least height up to some distance and an increment beyond, by the height of the sign.
    ByMount(&'static Bands),
    /// A least height up to some distance and an increment beyond.
    Level(Scale),
    /// A height for each stretch of distance: up to where, how high. It ends with the last one.
    Steps(&'static [(Length, Length)]),
}

/// A table by the height of the sign's baseline above the floor.
#[derive(Debug)]
pub struct Bands {
    /// The increment for each foot, and for each 305 mm.
    pub increment: [&'static str; 2],
    /// Baseline at eye level.
    pub eye_level: Band,
    /// Baseline overhead.
    pub overhead: Band,
    /// Baseline higher still.
    pub high: Band,
}

/// One line of a table by the height of the sign.
#[derive(Debug)]
pub struct Band {
    /// Where such a sign is, in a word or two.
    pub place: &'static str,
    /// Height of the baseline above the floor, in inches and in millimetres as the table has them.
    pub baseline: [&'static str; 2],
    /// The least letter height.
    pub least: Length,
    /// The distance up to which the least height is enough.
    pub up_to: Length,
    /// By how much letters grow for each length of distance beyond that.
    pub beyond: Ratio,
}

/// The increments for each foot: 1/8 in, 1 to 96, and 1/5 in, 1 to 60.
const EIGHTH_PER_FOOT: Ratio = Ratio::one_to(96);
const FIFTH_PER_FOOT: Ratio = Ratio::one_to(60);

const PLACES: [&str; 3] = [
    say!(in "where a sign is": "at eye level"),
    say!(in "where a sign is": "overhead"),
    say!(in "where a sign is": "high up"),
];
const BASELINES: [[&str; 2]; 3] = [
    [say!("40 to 70 in"), say!("1015 to 1780 mm")],
    [say!("over 70 to 120 in"), say!("over 1780 to 3050 mm")],
    [say!("over 120 in"), say!("over 3050 mm")],
];

/// A line of a table by the height of the sign, in inches of letter height and feet of distance.
const fn band(place: usize, least: Length, feet: i64, beyond: Ratio) -> Band {
    Band {
        place: PLACES[place],
        baseline: BASELINES[place],
        least,
        up_to: Length::whole(feet, Unit::Ft),
        beyond,
    }
}

/// Table 703.5.5 of the 2010 ADA Standards: least heights of characters by the height of the baseline
/// above the floor and by viewing distance, in its inches.
static ADA_703_5_5: Bands = Bands {
    increment: ["1/8 in", "3.2 mm"],
    eye_level: band(0, Length::inches(5, 8), 6, EIGHTH_PER_FOOT),
    overhead: band(1, Length::whole(2, Unit::In), 15, EIGHTH_PER_FOOT),
    high: band(2, Length::whole(3, Unit::In), 21, EIGHTH_PER_FOOT),
};

/// The California Building Code's table of the same kind for changeable signs of low resolution.
static CBC_703_8_4: Bands = Bands {
    increment: ["1/5 in", "5.1 mm"],
    eye_level: band(0, Length::whole(2, Unit::In), 10, FIFTH_PER_FOOT),
    overhead: band(1, Length::whole(3, Unit::In), 15, FIFTH_PER_FOOT),
    high: band(2, Length::whole(4, Unit::In), 20, FIFTH_PER_FOOT),
};

/// Label heights of MIL-STD-1472 for low light, in millimetres.
static MIL_1472: [(Length, Length); 5] = [
    (Length::whole(500, Unit::Mm), Length::from_nm(2_300_000)),
    (Length::whole(1, Unit::M), Length::from_nm(4_700_000)),
    (Length::whole(2, Unit::M), Length::from_nm(9_400_000)),
    (Length::whole(4, Unit::M), Length::whole(19, Unit::Mm)),
    (Length::whole(8, Unit::M), Length::whole(38, Unit::Mm)),
];

/// So many rules there are.
pub const COUNT: usize = 24;

use Mark::{FromMemory, LookedUp};
use Reader::{Accessible, AtEase, Board, Passing, Safety};

/// Every rule, in the order in which people see them.
///
/// The index rules of traffic and sign engineering count feet of distance for an inch of letter
/// height; 30 ft to the inch are 360 times the letter height.
pub static RULES: [Rule; COUNT] = [
    Rule {
        id: "traffic-30",
        name: say!("Traffic legibility index"),
        source: say!("Manual on Uniform Traffic Control Devices, 2009 edition, section 2A.13"),
        mark: FromMemory,
        serves: &[Passing],
        only: Only::Always,
        takes: Takes::All,
        formula: Formula::Times(360),
    },
    Rule {
        id: "acuity",
        name: say!("Visual acuity"),
        source: say!(
            "Geometry of the visual angle; a letter of 5 arcmin over its height is the smallest that acuity 20/20 tells apart"
        ),
        mark: FromMemory,
        serves: &[Passing, AtEase, Accessible, Board, Safety],
        only: Only::Always,
        takes: Takes::Details,
        formula: Formula::Acuity,
    },
    Rule {
        id: "reading-20",
        name: say!("Comfortable reading"),
        source: say!("NUREG-0700 rev. 2, guideline 1.3.1-4, preferred size of characters"),
        mark: LookedUp,
        serves: &[AtEase],
        only: Only::Always,
        takes: Takes::Eyes,
        formula: Formula::Arcmin(20.0),
    },
    Rule {
        id: "reading-16",
        name: say!("Least size for reading"),
        source: say!("NUREG-0700 rev. 2, guideline 1.3.1-4, least size of characters"),
        mark: LookedUp,
        serves: &[AtEase],
        only: Only::Always,
        takes: Takes::Eyes,
        formula: Formula::Arcmin(16.0),
    },
    Rule {
        id: "display-200",
        name: say!("Displays, 1/200 of the distance"),
        source: say!(
            "Rule of thumb of the US Federal Aviation Administration, quoted in doi:10.1201/b22361-52"
        ),
        mark: LookedUp,
        serves: &[AtEase],
        only: Only::Always,
        takes: Takes::Eyes,
        formula: Formula::Times(200),
    },
    Rule {
        id: "ada-703.5.5",
        name: say!("Accessible sign"),
        source: say!("2010 ADA Standards for Accessible Design, section 703.5.5 and its table"),
        mark: LookedUp,
        serves: &[Accessible],
        only: Only::Always,
        takes: Takes::Nothing,
        formula: Formula::ByMount(&ADA_703_5_5),
    },
    Rule {
        id: "sign-30",
        name: say!("Sign industry, simple rule"),
        source: say!("United States Sign Council, Rules of Thumb, 2006, sign facing the traffic"),
        mark: FromMemory,
        serves: &[Board],
        only: Only::Always,
        takes: Takes::All,
        formula: Formula::Times(360),
    },
    Rule {
        id: "sign-index",
        name: say!("Sign industry index"),
        source: say!(
            "United States Sign Council, legibility index, lit from outside, plain letters, black on white"
        ),
        mark: FromMemory,
        serves: &[Board],
        only: Only::DarkOnLight,
        takes: Takes::All,
        formula: Formula::TimesByCase {
            caps: 300,
            mixed: 348,
        },
    },
    Rule {
        id: "sign-light",
        name: say!("Sign industry index, light on dark"),
        source: say!(
            "United States Sign Council, legibility index, lit from outside, plain letters, white on black"
        ),
        mark: FromMemory,
        serves: &[Board],
        only: Only::LightOnDark,
        takes: Takes::All,
        formula: Formula::TimesByCase {
            caps: 264,
            mixed: 312,
        },
    },
    Rule {
        id: "sign-10",
        name: say!("Sign along the road"),
        source: say!("United States Sign Council, simple rule for signs parallel to the road"),
        mark: FromMemory,
        serves: &[Board],
        only: Only::Aside,
        takes: Takes::Straight,
        formula: Formula::Times(120),
    },
    Rule {
        id: "safety-300",
        name: say!("Safety signs, 1/300 of the distance"),
        source: say!("German workplace rule ASR A1.3 and DIN 4844-1, distance factor for letters"),
        mark: FromMemory,
        serves: &[Safety],
        only: Only::Always,
        takes: Takes::All,
        formula: Formula::Times(300),
    },
    Rule {
        id: "ansi-300",
        name: say!("Safety message, 25 ft to the inch"),
        source: say!("ANSI Z535.2 and Z535.4, message text"),
        mark: FromMemory,
        serves: &[Safety],
        only: Only::Always,
        takes: Takes::All,
        formula: Formula::Times(300),
    },
    Rule {
        id: "fire-250",
        name: say!("Older fire signs, 100 mm for 25 m"),
        source: say!(
            "Older British fire guidance, as quoted by Means of Escape, About viewing distances"
        ),
        mark: LookedUp,
        serves: &[Safety],
        only: Only::Always,
        takes: Takes::All,
        formula: Formula::Times(250),
    },
    Rule {
        id: "own-factor",
        name: say!("Safety signs, your distance factor"),
        source: say!("ISO 3864-1, distance factor Z by light and contrast: the one that you typed"),
        mark: FromMemory,
        serves: &[Safety],
        only: Only::Factor,
        takes: Takes::All,
        formula: Formula::Own,
    },
    Rule {
        id: "ansi-150",
        name: say!("Signal word, 12 1/2 ft to the inch"),
        source: say!("ANSI Z535.2 and Z535.4, signal word"),
        mark: FromMemory,
        serves: &[],
        only: Only::Always,
        takes: Takes::All,
        formula: Formula::Times(150),
    },
    Rule {
        id: "traffic-40",
        name: say!("Traffic legibility index before 2009"),
        source: say!(
            "Manual on Uniform Traffic Control Devices, 2000 and 2003 editions, section 2A.14"
        ),
        mark: FromMemory,
        serves: &[],
        only: Only::Always,
        takes: Takes::All,
        formula: Formula::Times(480),
    },
    Rule {
        id: "traffic-50",
        name: say!("Traffic legibility index before 2000"),
        source: say!(
            "Manual on Uniform Traffic Control Devices, customary design value up to the 1988 edition"
        ),
        mark: FromMemory,
        serves: &[],
        only: Only::Always,
        takes: Takes::All,
        formula: Formula::Times(600),
    },
    Rule {
        id: "sign-yellow",
        name: say!("Sign industry index, yellow on green"),
        source: say!(
            "United States Sign Council, legibility index, lit from outside, plain letters, yellow on green"
        ),
        mark: FromMemory,
        serves: &[],
        only: Only::Always,
        takes: Takes::All,
        formula: Formula::TimesByCase {
            caps: 264,
            mixed: 312,
        },
    },
    Rule {
        id: "serif-dark",
        name: say!("Slab serif index"),
        source: say!(
            "United States Sign Council, legibility index, lit from outside, slab serifs, black on white"
        ),
        mark: FromMemory,
        serves: &[],
        only: Only::Always,
        takes: Takes::All,
        formula: Formula::TimesByCase {
            caps: 288,
            mixed: 336,
        },
    },
    Rule {
        id: "serif-light",
        name: say!("Slab serif index, light on dark"),
        source: say!(
            "United States Sign Council, legibility index, lit from outside, slab serifs, white on black"
        ),
        mark: FromMemory,
        serves: &[],
        only: Only::Always,
        takes: Takes::All,
        formula: Formula::TimesByCase {
            caps: 240,
            mixed: 288,
        },
    },
    Rule {
        id: "serif-yellow",
        name: say!("Slab serif index, yellow on green"),
        source: say!(
            "United States Sign Council, legibility index, lit from outside, slab serifs, yellow on green"
        ),
        mark: FromMemory,
        serves: &[],
        only: Only::Always,
        takes: Takes::All,
        formula: Formula::TimesByCase {
            caps: 312,
            mixed: 372,
        },
    },
    Rule {
        id: "cbc-703.8.4",
        name: say!("Changeable signs"),
        source: say!("California Building Code 2013, section 11B-703.8.4"),
        mark: LookedUp,
        serves: &[],
        only: Only::Always,
        takes: Takes::Nothing,
        formula: Formula::ByMount(&CBC_703_8_4),
    },
    Rule {
        id: "cbc-seating",
        name: say!("Changeable signs before seats"),
        source: say!(
            "California Building Code 2013, section 11B-703.8.4, assembly seating of 100 ft and more"
        ),
        mark: LookedUp,
        serves: &[],
        only: Only::Always,
        takes: Takes::Nothing,
        formula: Formula::Level(Scale {
            least: Length::whole(8, Unit::In),
            up_to: Length::whole(240, Unit::Ft),
            beyond: Ratio::one_to(360),
        }),
    },
    Rule {
        id: "label-1472",
        name: say!("Labels on equipment in dim light"),
        source: say!("MIL-STD-1472, editions D to F, height of labels by distance, low light"),
        mark: FromMemory,
        serves: &[],
        only: Only::Always,
        takes: Takes::Nothing,
        formula: Formula::Steps(&MIL_1472),
    },
];

impl Bands {
    /// The line of the table for a sign mounted like this.
    #[must_use]
    pub const fn band(&self, mount: Mount) -> &Band {
        match mount {
            Mount::EyeLevel => &self.eye_level,
            Mount::Overhead => &self.overhead,
            Mount::High => &self.high,
        }
    }
}

impl Rule {
    /// Whether the rule counts in this case.
    #[must_use]
    pub fn applies(&self, viewing: &Viewing) -> bool {
        // What is not known counts both ways.
        let light = viewing.contrast.map(Contrast::is_light_on_dark);
        let so = match self.only {
            Only::Always => true,
            Only::DarkOnLight => light != Some(true),
            Only::LightOnDark => light != Some(false),
            Only::Aside => viewing.aside >= 60.0,
            Only::Factor => viewing.factor.is_some(),
        };
        so && self.serves.contains(&viewing.reader)
    }

    /// What the conditions leave of its distance.
    pub(super) const fn share(&self, shares: &Shares) -> Share {
        match self.takes {
            Takes::Nothing => Share::WHOLE,
            Takes::Straight => shares.straight,
            Takes::All => shares.rules,
            Takes::Eyes => shares.ease,
            Takes::Details => shares.eye,
        }
    }

    /// How far letters of that height can be read from in this case; none where they are too small, or
    /// nothing of them is seen.
    pub(super) fn distance(
        &self,
        letter: Length,
        viewing: &Viewing,
        shares: &Shares,
    ) -> Option<Length> {
        let distance = match self.formula {
            Formula::Own if viewing.factor.is_none() => None,
            Formula::Steps(steps) => {
                let reached = steps.iter().take_while(|(_, height)| *height <= letter);
                reached.last().map(|(up_to, _)| *up_to)
            }
            _ => self.scale(viewing).distance(letter),
        };
        let left = self.share(shares).left_of(distance?);
        (left > Length::ZERO).then_some(left)
    }

    /// The letter height that a distance takes in this case; none where no letters do.
    pub(super) fn height(
        &self,
        distance: Length,
        viewing: &Viewing,
        shares: &Shares,
    ) -> Option<Length> {
        let before = self.share(shares).before(distance)?;
        match self.formula {
            Formula::Own if viewing.factor.is_none() => None,
            Formula::Steps(steps) => {
                let mut steps = steps.iter();
                let step = steps.find(|(up_to, _)| before <= *up_to);
                step.map(|(_, height)| *height)
            }
            _ => Some(self.scale(viewing).height(before)),
        }
    }

    /// The rule's name in this case.
    #[must_use]
    pub fn name_for(&self, viewing: &Viewing, unit: Unit) -> String {
        match &self.formula {
            Formula::Acuity => format!("{} {}", self.name, viewing.acuity.text(unit)),
            Formula::ByMount(bands) => {
                format!("{}, {}", self.name, bands.band(viewing.mount).place)
            }
            Formula::TimesByCase { .. } => match viewing.case {
                Case::Mixed => say!("{name}, small letters", name = self.name),
                Case::AsWritten | Case::Caps => say!("{name}, capitals", name = self.name),
            },
            Formula::Times(_)
            | Formula::Own
            | Formula::Arcmin(_)
            | Formula::Level(_)
            | Formula::Steps(_) => self.name.to_owned(),
        }
    }

    /// What the rule asks of letters in this case, before any condition takes from it; of a rule in
    /// steps the last one.
    #[must_use]
    pub fn scale(&self, viewing: &Viewing) -> Scale {
        match &self.formula {
            Formula::Times(times) => Scale::of(Ratio::one_to(*times)),
            Formula::Own => Scale::of(Ratio::one_to(viewing.factor.map_or(1, i64::from))),
            Formula::TimesByCase { caps, mixed } => Scale::of(Ratio::one_to(match viewing.case {
                Case::Mixed => *mixed,
                Case::AsWritten | Case::Caps => *caps,
            })),
            Formula::Arcmin(minutes) => Scale::of(Ratio::of_angle(Angle::arcmin(*minutes))),
            Formula::Acuity => Scale::of(Ratio::of_angle(viewing.acuity.letter())),
            Formula::ByMount(bands) => {
                let band = bands.band(viewing.mount);
                Scale {
                    least: band.least,
                    up_to: band.up_to,
                    beyond: band.beyond,
                }
            }
            Formula::Level(scale) => *scale,
            Formula::Steps(steps) => {
                let last = steps.last().copied().unwrap_or_default();
                Scale {
                    least: last.1,
                    up_to: last.0,
                    beyond: Ratio::one_to(1),
                }
            }
        }
    }

    /// What the rule says, in the units that the reader counts in.
    #[must_use]
    pub fn words(&self, viewing: &Viewing, unit: Unit) -> String {
        match &self.formula {
            Formula::Own if viewing.factor.is_none() => {
                say!(in "a distance factor": "none typed").to_owned()
            }
            Formula::Times(_) | Formula::Own | Formula::TimesByCase { .. } => {
                for_each(self.scale(viewing).beyond, unit)
            }
            Formula::Arcmin(_) | Formula::Acuity => {
                let ratio = self.scale(viewing).beyond;
                let minutes = decimals(ratio.angle().to_arcmin(), 1);
                format!("{} ({minutes} arcmin)", for_each(ratio, unit))
            }
            Formula::ByMount(bands) => {
                let band = bands.band(viewing.mount);
                let [least, up_to] = level(band.least, band.up_to, unit);
                let at = usize::from(!unit.is_imperial());
                let (baseline, more) = (band.baseline[at], bands.increment[at]);
                if unit.is_imperial() {
                    say!(
                        "baseline {baseline} above the floor: letters of {least} up to {up_to}, and {more} more for \
                         each foot beyond"
                    )
                } else {
                    say!(
                        "baseline {baseline} above the floor: letters of {least} up to {up_to}, and {more} more for \
                         each 305 mm beyond"
                    )
                }
            }
            Formula::Level(scale) => {
                let [least, up_to] = level(scale.least, scale.up_to, unit);
                let further = for_each(scale.beyond, unit);
                say!("letters of {least} up to {up_to}, and {further} beyond")
            }
            Formula::Steps(steps) => {
                let mut words = String::new();
                for (up_to, height) in *steps {
                    let (height, up_to) = (height.text(Unit::Mm), up_to.text(Unit::M));
                    words = words + &say!("{height} up to {up_to}") + ", ";
                }
                words + say!("no further")
            }
        }
    }
}

/// A least letter height and the distance up to which it is enough, as people state them.
fn level(least: Length, up_to: Length, unit: Unit) -> [String; 2] {
    if unit.is_imperial() {
        return [least.text(Unit::In), up_to.text(Unit::Ft)];
    }
    // Rounded to the millimetres and centimetres in which people state them.
    let [size, distance] = [(least, 1_000_000), (up_to, 10_000_000)].map(|(length, step)| {
        Length::from_nm(length.nm() + step / 2).round_down(Length::from_nm(step))
    });
    [size.text(Unit::Mm), distance.text(Unit::M)]
}

/// A ratio as sign makers state it.
fn for_each(ratio: Ratio, unit: Unit) -> String {
    if unit.is_imperial() {
        let feet = decimals(ratio.times() / 12.0, 1);
        say!("{feet} ft for each inch of letter height")
    } else {
        let metres = decimals(ratio.times() / 100.0, 2);
        say!("{metres} m for each centimetre of letter height")
    }
}

/// Letter height against distance as every rule here draws it: level up to some distance, and from
/// there a straight line.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Scale {
    /// The least letter height; smaller letters will not do at any distance.
    pub least: Length,
    /// The distance up to which the least height is enough.
    pub up_to: Length,
    /// The increment of height for distance beyond.
    pub beyond: Ratio,
}

impl Scale {
    /// Height in proportion to distance.
    #[must_use]
    pub const fn of(ratio: Ratio) -> Self {
        Self {
            least: Length::ZERO,
            up_to: Length::ZERO,
            beyond: ratio,
        }
    }

    /// The greatest distance that letters of `height` serve, rounded down to a nanometre; none
    /// where they are smaller than the least.
    #[must_use]
    pub fn distance(self, height: Length) -> Option<Length> {
        (height >= self.least).then(|| self.up_to + self.beyond.distance(height - self.least))
    }

    /// The letter height that `distance` takes, rounded up to a nanometre.
    #[must_use]
    pub fn height(self, distance: Length) -> Length {
        if distance <= self.up_to {
            self.least
        } else {
            self.least + self.beyond.height(distance - self.up_to)
        }
    }
}
