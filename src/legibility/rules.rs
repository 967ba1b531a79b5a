//! The published rules, as data: each with its source, how surely it is known, and whom it is for.

use super::eye::Ratio;
use super::{Case, Mount, Reader, Viewing};
use crate::measure::{Angle, Length, Unit, decimals};
use serde::Serialize;

/// How surely a figure is known here.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
pub enum Mark {
    /// Read in the publication, or on a page that prints it.
    #[serde(rename = "looked up")]
    LookedUp,
    /// Known, but not read again while this was written: check it before you rely on it.
    #[serde(rename = "from memory")]
    FromMemory,
    /// Worked out from a figure that was looked up.
    #[serde(rename = "derived")]
    Derived,
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
    /// Address of the page on which the figure was read; none where it was not.
    pub address: Option<&'static str>,
    /// How surely the figure is known.
    pub mark: Mark,
    /// Who reads, in what light, and what else the rule presumes.
    pub assumption: &'static str,
    /// The readers that it was made for.
    pub serves: &'static [Reader],
    /// Why it does not count for the others.
    pub otherwise: &'static str,
    /// What it says.
    pub formula: Formula,
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
    /// The letter fills so many minutes of arc.
    Arcmin(f64),
    /// The letter is the smallest that the stated acuity tells apart.
    Acuity,
    /// A least height up to some distance and an increment beyond, by the height of the sign.
    ByMount(&'static Bands),
}

/// A table by the height of the sign's baseline above the floor.
#[derive(Debug)]
pub struct Bands {
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
    /// The increment beyond.
    pub beyond: Ratio,
}

/// The increment of the accessibility table: 1/8 in of height for each foot, 1 to 96.
const EIGHTH_PER_FOOT: Ratio = Ratio::one_to(96);

/// Table 703.5.5 of the 2010 ADA Standards: least heights of characters by the height of the baseline
/// above the floor and by viewing distance, in its inches.
static ADA_703_5_5: Bands = Bands {
    eye_level: Band {
        place: "at eye level",
        baseline: ["40 to 70 in", "1015 to 1780 mm"],
        least: Length::inches(5, 8),
        up_to: Length::whole(72, Unit::In),
        beyond: EIGHTH_PER_FOOT,
    },
    overhead: Band {
        place: "overhead",
        baseline: ["over 70 to 120 in", "over 1780 to 3050 mm"],
        least: Length::whole(2, Unit::In),
        up_to: Length::whole(180, Unit::In),
        beyond: EIGHTH_PER_FOOT,
    },
    high: Band {
        place: "high up",
        baseline: ["over 120 in", "over 3050 mm"],
        least: Length::whole(3, Unit::In),
        up_to: Length::whole(21, Unit::Ft),
        beyond: EIGHTH_PER_FOOT,
    },
};

/// So many rules there are.
pub const COUNT: usize = 10;

/// Every rule, in the order in which people see them.
///
/// The index rules of traffic and sign engineering count feet of distance for an inch of letter
/// height; 30 ft to the inch are 360 times the letter height.
pub static RULES: [Rule; COUNT] = [
    Rule {
        id: "traffic-30",
        name: "Traffic legibility index",
        source: "Manual on Uniform Traffic Control Devices, 2009 edition, section 2A.13",
        address: None,
        mark: Mark::FromMemory,
        assumption: "A driver reads a road sign by day: plain letters in strong contrast. The \
                     manual gives it as guidance, and as the least that should do.",
        serves: &[Reader::Passing],
        otherwise: "It is about signs that are read in passing, from the road.",
        formula: Formula::Times(360),
    },
    Rule {
        id: "acuity",
        name: "Visual acuity",
        source: "Geometry of the visual angle; a letter of 5 arcmin over its height is the \
                 smallest that acuity 20/20 tells apart",
        address: None,
        mark: Mark::FromMemory,
        assumption: "Good daylight, strong contrast, plain letters with strokes of a fifth of \
                     their height. From there they can just be told apart, no more.",
        serves: &[Reader::Passing, Reader::AtEase, Reader::Accessible],
        otherwise: "",
        formula: Formula::Acuity,
    },
    Rule {
        id: "reading-20",
        name: "Comfortable reading",
        source: "NUREG-0700 rev. 2, guideline 1.3.1-4, preferred size of characters",
        address: Some(
            "http://create.ife.no/vr/create4/Data/guidelines/nureg/nureg0700rev2_review_us.zip",
        ),
        mark: Mark::LookedUp,
        assumption: "An operator reads text on a display, indoors, in good contrast. 20 to 22 \
                     arcmin are preferred.",
        serves: &[Reader::AtEase],
        otherwise: "It is about text that is read at ease.",
        formula: Formula::Arcmin(20.0),
    },
    Rule {
        id: "reading-16",
        name: "Least size for reading",
        source: "NUREG-0700 rev. 2, guideline 1.3.1-4, least size of characters",
        address: Some(
            "http://create.ife.no/vr/create4/Data/guidelines/nureg/nureg0700rev2_review_us.zip",
        ),
        mark: Mark::LookedUp,
        assumption: "An operator reads text on a display, indoors, in good contrast. Less than \
                     16 arcmin is too small for text.",
        serves: &[Reader::AtEase],
        otherwise: "It is about text that is read at ease.",
        formula: Formula::Arcmin(16.0),
    },
    Rule {
        id: "display-200",
        name: "Displays, 1/200 of the distance",
        source: "Rule of thumb of the US Federal Aviation Administration, quoted in \
                 doi:10.1201/b22361-52",
        address: Some(
            "https://www.taylorfrancis.com/books/e/9781315098128/chapters/10.1201/b22361-52",
        ),
        mark: Mark::LookedUp,
        assumption: "Somebody at work reads a display. In good contrast a little less may do.",
        serves: &[Reader::AtEase],
        otherwise: "It is about text that is read at ease.",
        formula: Formula::Times(200),
    },
    Rule {
        id: "ada-703.5.5",
        name: "Accessible sign",
        source: "2010 ADA Standards for Accessible Design, section 703.5.5 and its table",
        address: Some("https://up.codes/s/signs"),
        mark: Mark::LookedUp,
        assumption: "The distance runs along the floor, from the letters to whatever keeps a \
                     person from coming closer. Worked in the inches of the table; its \
                     millimetres are rounded. Other points of 703.5 apply too: finish, contrast, \
                     style, proportions, spacing.",
        serves: &[Reader::Accessible],
        otherwise: "It is asked of signs that must be accessible.",
        formula: Formula::ByMount(&ADA_703_5_5),
    },
    Rule {
        id: "traffic-40",
        name: "Traffic legibility index before 2009",
        source: "Manual on Uniform Traffic Control Devices, 2000 and 2003 editions, section 2A.14",
        address: None,
        mark: Mark::FromMemory,
        assumption: "As the index of 2009.",
        serves: &[],
        otherwise: "The edition of 2009 took its place.",
        formula: Formula::Times(480),
    },
    Rule {
        id: "sign-index",
        name: "Sign industry index",
        source: "United States Sign Council, legibility index for plain sans letters, black on \
                 white, lit from outside",
        address: None,
        mark: Mark::FromMemory,
        assumption: "A driver reads the sign of a business beside the road, in daylight or well \
                     lit.",
        serves: &[],
        otherwise: "It is about sign boards of a business, not about lettering on glass or on a \
                    vehicle.",
        formula: Formula::TimesByCase {
            caps: 300,
            mixed: 348,
        },
    },
    Rule {
        id: "safety-300",
        name: "Safety signs, 1/300 of the distance",
        source: "German workplace rule ASR A1.3 and DIN 4844-1, distance factor for letters",
        address: None,
        mark: Mark::FromMemory,
        assumption: "People at work read the words of a safety sign.",
        serves: &[],
        otherwise: "It is about safety signs in workplaces.",
        formula: Formula::Times(300),
    },
    Rule {
        id: "fire-250",
        name: "Older fire signs, 100 mm for 25 m",
        source: "Older British fire guidance, as quoted by Means of Escape, About viewing distances",
        address: Some("https://meansofescape.com/about-viewing-distances"),
        mark: Mark::LookedUp,
        assumption: "Anybody reads the words of an escape sign.",
        serves: &[],
        otherwise: "It is about escape signs in buildings.",
        formula: Formula::Times(250),
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
        self.serves.contains(&viewing.reader)
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
                Case::Caps => format!("{}, capitals", self.name),
                Case::Mixed => format!("{}, small letters", self.name),
            },
            Formula::Times(_) | Formula::Arcmin(_) => self.name.to_owned(),
        }
    }

    /// What the rule asks of letters in this case.
    #[must_use]
    pub fn scale(&self, viewing: &Viewing) -> Scale {
        match &self.formula {
            Formula::Times(times) => Scale::of(Ratio::one_to(*times)),
            Formula::TimesByCase { caps, mixed } => Scale::of(Ratio::one_to(match viewing.case {
                Case::Caps => *caps,
                Case::Mixed => *mixed,
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
        }
    }

    /// What the rule says, in the units that the reader counts in.
    #[must_use]
    pub fn words(&self, viewing: &Viewing, unit: Unit) -> String {
        match &self.formula {
            Formula::Times(_) | Formula::TimesByCase { .. } => {
                for_each(self.scale(viewing).beyond, unit)
            }
            Formula::Arcmin(_) | Formula::Acuity => {
                let ratio = self.scale(viewing).beyond;
                let minutes = decimals(ratio.angle().to_arcmin(), 1);
                format!("{} ({minutes} arcmin)", for_each(ratio, unit))
            }
            Formula::ByMount(bands) => {
                let band = bands.band(viewing.mount);
                let (least, up_to) = (band.least, band.up_to);
                let [inches, millimetres] = band.baseline;
                if unit.is_imperial() {
                    format!(
                        "baseline {inches} above the floor: letters of {} up to {}, and 1/8 in more \
                         for each foot beyond",
                        least.text(Unit::In),
                        up_to.text(Unit::Ft)
                    )
                } else {
                    format!(
                        "baseline {millimetres} above the floor: letters of {} up to {}, and \
                         1/8 in for each foot (10.4 mm for each metre) more beyond",
                        least.text(Unit::Cm),
                        up_to.text(Unit::M)
                    )
                }
            }
        }
    }
}

/// A ratio as sign makers state it.
fn for_each(ratio: Ratio, unit: Unit) -> String {
    if unit.is_imperial() {
        let feet = decimals(ratio.times() / 12.0, 1);
        format!("{feet} ft for each inch of letter height")
    } else {
        let metres = decimals(ratio.times() / 100.0, 2);
        format!("{metres} m for each centimetre of letter height")
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
