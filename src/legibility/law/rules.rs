//! The rules, as data: whom each is for, where it stands, and its points.

use super::{Craft, Kind, Zone};
use crate::decal::Face;
use crate::measure::{Length, Unit};
use say::say;

/// A rule.
#[derive(Debug)]
pub(super) struct Rule {
    /// What it is called.
    pub name: &'static str,
    /// For whom or what the rule is made, in a sentence.
    pub applies: &'static str,
    /// Publication, section and edition.
    pub source: &'static str,
    /// Address of a page that has its text.
    pub address: Option<&'static str>,
    /// What it asks, point by point in its own order.
    pub points: &'static [Point],
}

/// A point of a rule.
#[derive(Debug)]
pub(super) struct Point {
    /// The case that it is about.
    pub only: Only,
    /// What it asks.
    pub check: Check,
    /// Where it stands.
    pub section: &'static str,
    /// How surely it is known.
    pub mark: &'static str,
}

/// The case that a point is about.
#[derive(Clone, Copy, Debug)]
pub(super) enum Only {
    /// Every one.
    Any,
    /// Words with one of these characters.
    Has(&'static str),
    /// Letters of this face.
    Face(Face),
    /// Aircraft of this class.
    Craft(Craft),
    /// Decals in this place on a car.
    Zone(Zone),
}

/// What a point asks.
#[derive(Clone, Copy, Debug)]
pub(super) enum Check {
    /// A part of so much, at least and at most; the same twice where it must be equal.
    Part(Part, Of, Option<Share>, Option<Share>),
    /// Letters of one of these heights, in micrometres.
    Series(&'static [i32]),
    /// Readable from so far, in micrometres, by day.
    Reach(i32),
    /// Something else: what tells it, the point in words, and what would be right.
    Said(Say, &'static str, &'static str),
}

/// What tells a point that no measure does.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Say {
    /// Only the maker's own eyes.
    Look,
    /// The contrast of the letters with what is behind them.
    Contrast,
    /// It is about other things than lettering.
    Other,
    /// A place that is to stay free is where the decal lies.
    Free,
    /// The face: no script.
    Plain,
    /// Whether the wipers sweep it.
    Swept,
    /// The groups of a boat's number.
    Groups,
    /// Figures rather than words.
    Figures,
}

/// A share: so many parts of so many.
pub(super) type Share = (i16, i16);

/// A part of the lettering that is measured.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Part {
    /// The height of a capital I.
    Height,
    /// Its stroke.
    Stroke,
    /// The width of an O.
    Width,
    /// Between two letters.
    Gap,
    /// Between two groups of a boat's number.
    Groups,
    /// From the lower edge of a windscreen to the top of the decal.
    TopEdge,
    /// The width of the decal.
    DecalWidth,
    /// Its height.
    DecalHeight,
    /// The width of a letter that has one of its own, or what else is not asked for: what it is called.
    Own(&'static str),
}

/// What a part is measured against.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Of {
    /// A length, in micrometres.
    Fixed(i32),
    /// The letter height.
    Height,
    /// The width of an O; where that is not measured, so much of the letter height.
    Width(Option<Share>),
    /// The distance from which it is to be read.
    Distance,
    /// The height that the table for accessible signs asks for at that distance.
    Table,
    /// The height that a local rule asks for at the distance from the street.
    Street,
    /// The least length of an aircraft's mark of these characters.
    Mark,
}

const LOOKED_UP: &str = say!("looked up");
const DERIVED: &str = say!("derived");
const FROM_MEMORY: &str = say!("from memory");
const COMMON: &str = say!("common practice");

const WHOLE: Option<Share> = Some((1, 1));

const fn inches(count: i32) -> Of {
    Of::Fixed(count * 25_400)
}

const HALF_INCH: Of = Of::Fixed(12_700);
const TEN_CENTIMETRES: Of = Of::Fixed(100_000);

const fn at_least(part: Part, of: Of) -> Check {
    Check::Part(part, of, WHOLE, None)
}

const fn at_most(part: Part, of: Of) -> Check {
    Check::Part(part, of, None, WHOLE)
}

/// A part that is this share of the letter height.
const fn equal(part: Part, share: Share) -> Check {
    Check::Part(part, Of::Height, Some(share), Some(share))
}

/// A part between these percents of the letter height.
const fn percent(part: Part, least: i16, most: i16) -> Check {
    Check::Part(part, Of::Height, Some((least, 100)), Some((most, 100)))
}

const fn look(asked: &'static str) -> Check {
    Check::Said(Say::Look, asked, "")
}

const fn contrast(asked: &'static str) -> Check {
    Check::Said(Say::Contrast, asked, "")
}

const fn other(asked: &'static str) -> Check {
    Check::Said(Say::Other, asked, "")
}

const fn plain(asked: &'static str) -> Check {
    Check::Said(Say::Plain, asked, say!("plain letters"))
}

/// Points, each with its section, how surely it is known, and its case.
macro_rules! points {
    ($($section:expr, $mark:expr, $only:expr, $check:expr;)*) => {
        &[$(Point { only: $only, check: $check, section: $section, mark: $mark }),*]
    };
}

/// Least heights of house numbers by the distance from the street: up to so far, so many inches.
pub(super) const FOUNTAIN: [(Length, i64); 4] = [
    (Length::whole(75, Unit::Ft), 5),
    (Length::whole(150, Unit::Ft), 6),
    (Length::whole(250, Unit::Ft), 8),
    (Length::MAX, 10),
];

/// From how far the marking of a commercial vehicle is to be read, in micrometres.
const FIFTY_FEET: i32 = 15_240_000;

const ANY: Only = Only::Any;
const ONE: Only = Only::Has("1");

const CFR_173_27: &str = "33 CFR 173.27";
const CFR_183_25: &str = "33 CFR 183.25";
const CEVNI: &str = "CEVNI article 2.02";
const SI_1993: &str = "SI 1993/3138, schedule 3";
const CFR_108_621: &str = "46 CFR 108.621";
const CFR_390_21: &str = "49 CFR 390.21(c)";
const CFR_393_60: &str = "49 CFR 393.60(e)";
const WEST_VIRGINIA: &str = say!("West Virginia, vehicle inspection: an example");
const NORTH_CAROLINA: &str = say!("North Carolina, 19A NCAC 03D .0704: an example");
const USUAL: &str = say!("usual in many places; local law comes first");
const IBC: &str = "IBC 501.2";
const CFR_45_29: &str = "14 CFR 45.29";
const CFR_45_23: &str = "14 CFR 45.23(b)";
const Z535: &str = "ANSI Z535";
const DIN: &str = "DIN 1451-4";
const ISO: &str = "ISO 3098";

/// Every rule, in the order of [`Kind`].
static RULES: [Rule; 17] = [
    Rule {
        name: say!("Boat registration numbers"),
        applies: say!("Numbered boats in the United States."),
        source: say!("33 CFR 173.27, text of January 2025"),
        address: Some(
            "https://codes.findlaw.com/cfr/title-33-navigation-and-navigable-waters/cfr-sect-33-173-27/",
        ),
        points: points! {
            CFR_173_27, LOOKED_UP, ANY, at_least(Part::Height, inches(3));
            CFR_173_27, LOOKED_UP, ANY, plain(say!("Plain vertical block characters"));
            say!("33 CFR 173.27; how many of each, 174.23"), FROM_MEMORY, ANY, Check::Said(
                Say::Groups,
                say!("Letters, figures and letters in groups set apart by a space or hyphen"),
                say!("groups as in DC 5678 EF")
            );
            CFR_173_27, LOOKED_UP, ANY, Check::Part(Part::Groups, Of::Width(None), WHOLE, WHOLE);
            CFR_173_27, LOOKED_UP, ANY, contrast(say!("In contrast with the hull, legible"));
            CFR_173_27, LOOKED_UP, ANY, look(say!("On each side of the forward half, reading from left to right"));
        },
    },
    Rule {
        name: say!("Boat capacity plate"),
        applies: say!("The figure of persons on the plate, United States."),
        source: say!("33 CFR 183.25, as read in November 2026"),
        address: Some("http://www.uscgboating.org/safety/boatbuilder/safeloading/subb-183-25b.htm"),
        points: points! {
            CFR_183_25, LOOKED_UP, ANY, at_least(Part::Height, HALF_INCH);
            CFR_183_25, LOOKED_UP, ANY, equal(Part::Width, (3, 5));
            CFR_183_25, LOOKED_UP, ONE, equal(Part::Own(say!("A 1")), (1, 6));
            CFR_183_25, LOOKED_UP, Only::Has("4"), look(say!("A 4 is wider"));
            CFR_183_25, LOOKED_UP, ANY, equal(Part::Stroke, (1, 6));
            CFR_183_25, LOOKED_UP, ANY, equal(Part::Gap, (1, 6));
        },
    },
    Rule {
        name: say!("Marks of small craft"),
        applies: say!("Small craft on inland waterways of Europe."),
        source: say!("CEVNI article 2.02, as read in November 2026"),
        address: Some("https://wiki.unece.org/pages/viewpage.action?pageId=25265204"),
        points: points! {
            CEVNI, LOOKED_UP, ANY, at_least(Part::Height, TEN_CENTIMETRES);
            CEVNI, LOOKED_UP, ANY, look(say!("Latin letters, legible and indelible"));
        },
    },
    Rule {
        name: say!("Name of a ship"),
        applies: say!(
            "Ships of the United Kingdom, but fishing vessels and pleasure vessels under 24 m."
        ),
        source: say!("SI 1993/3138, schedule 3, as of 31 December 2020"),
        address: Some(
            "https://legislation.gov.uk/uksi/1993/3138/schedule/3/2020-12-31?view=extent",
        ),
        points: points! {
            SI_1993, LOOKED_UP, ANY, at_least(Part::Height, TEN_CENTIMETRES);
            SI_1993, LOOKED_UP, ANY, look(say!("Letters of proportionate breadth"));
            SI_1993, LOOKED_UP, ANY, contrast(say!("White or yellow on dark, or black on light"));
        },
    },
    Rule {
        name: say!("Lettering on board"),
        applies: say!("Offshore drilling units of the United States."),
        source: say!("46 CFR 108.621, as read in November 2026"),
        address: Some("https://law.lawstack.com/cfr/46/108.621/"),
        points: points! {
            CFR_108_621, LOOKED_UP, ANY, at_least(Part::Height, HALF_INCH);
            CFR_108_621, LOOKED_UP, ANY, look(say!("Red, in English"));
            CFR_108_621, LOOKED_UP, ANY, contrast(say!("On a contrasting ground"));
        },
    },
    Rule {
        name: say!("Commercial vehicle marking"),
        applies: say!(
            "Self-propelled commercial vehicles, United States. It names no height, only a distance."
        ),
        source: say!("49 CFR 390.21(c), print of 2007"),
        address: Some("http://www.fmcsa.dot.gov/espanol/regs/390.21.htm"),
        points: points! {
            CFR_390_21, LOOKED_UP, ANY, Check::Reach(FIFTY_FEET);
            say!("by 30 ft for each inch, MUTCD 2009"), FROM_MEMORY, ANY,
                Check::Part(Part::Height, Of::Fixed(FIFTY_FEET), Some((1, 360)), None);
            CFR_390_21, LOOKED_UP, ANY, contrast(say!("In sharp contrast with the ground"));
            CFR_390_21, LOOKED_UP, ANY, look(say!("On both sides of the vehicle, kept legible"));
            CFR_390_21, LOOKED_UP, ANY, look(say!("Legal or single trade name as filed; USDOT and the number"));
        },
    },
    Rule {
        name: say!("Windscreen of a commercial vehicle"),
        applies: say!("Commercial vehicles, United States."),
        source: say!("49 CFR 393.60(e), wording of 2015 and 87 FR 12596 of 2022"),
        address: Some("https://pmta.org/Safety-Director/12646234"),
        points: points! {
            CFR_393_60, FROM_MEMORY, ANY, look(say!("No decals but those of inspection or that the law requires"));
            CFR_393_60, FROM_MEMORY, ANY, at_most(Part::TopEdge, Of::Fixed(114_300));
            CFR_393_60, FROM_MEMORY, ANY, Check::Said(Say::Swept, say!("Outside of what the wipers sweep"), say!("not swept"));
            CFR_393_60, LOOKED_UP, ANY, other(say!("Antennas to 6 in (152 mm) below the upper edge: for devices, not for film"));
            say!("49 CFR 393.60(e), since 7 March 2022"), LOOKED_UP, ANY, other(say!("Safety technology to 8.5 in (216 mm) below the top of the swept area, or 7 in (175 mm) \
                                                                                      above its bottom: not for film"));
        },
    },
    Rule {
        name: say!("Glass of a car"),
        applies: say!("It differs from place to place; these are the usual zones, and examples."),
        source: say!("Local law; examples of West Virginia and North Carolina"),
        address: Some("https://www.wvsp.gov/trafficSafety/Pages/WinshieldandWindows.aspx"),
        points: points! {
            USUAL, COMMON, Only::Zone(Zone::Swept), Check::Said(Say::Free, say!("What the wipers sweep stays free"), say!("another place"));
            NORTH_CAROLINA, LOOKED_UP, Only::Zone(Zone::Corner), at_most(Part::DecalWidth, inches(4));
            NORTH_CAROLINA, LOOKED_UP, Only::Zone(Zone::Corner), at_most(Part::DecalHeight, inches(3));
            NORTH_CAROLINA, LOOKED_UP, Only::Zone(Zone::Corner), look(say!("One private access decal, in the lower right corner"));
            USUAL, COMMON, Only::Zone(Zone::TopBand), look(say!("Upper band: only above the AS-1 line of the glass"));
            "FMVSS 205", FROM_MEMORY, Only::Zone(Zone::FrontSide), look(say!("Front side windows: 70 % of the light comes through where the driver looks"));
            USUAL, COMMON, Only::Zone(Zone::Rear), look(say!("Rear window: both outside mirrors are there and clear"));
            USUAL, COMMON, Only::Zone(Zone::Fixture), Check::Said(Say::Free, say!("Mirrors, lamps, plates and cameras stay free"), say!("another place"));
            WEST_VIRGINIA, LOOKED_UP, ANY, look(say!("No opaque sticker that is not required and obstructs the view"));
            WEST_VIRGINIA, LOOKED_UP, ANY, other(say!("Windscreens are of glass AS-1, others of AS-2"));
        },
    },
    Rule {
        name: say!("House numbers"),
        applies: say!(
            "Where the International Building and Fire Codes are in force; local amendments differ."
        ),
        source: say!("IBC 501.2 (2006 to 2009), IFC 505.1"),
        address: Some("http://www.ibc-wiki.com/section-501/"),
        points: points! {
            IBC, LOOKED_UP, ANY, at_least(Part::Height, inches(4));
            IBC, LOOKED_UP, ANY, at_least(Part::Stroke, HALF_INCH);
            "IBC 501.2, IFC 505.1", LOOKED_UP, ANY, Check::Said(
                Say::Figures, say!("Arabic figures or letters, not spelled out"), say!("figures, as in 12")
            );
            IBC, LOOKED_UP, ANY, contrast(say!("In contrast with the wall"));
            say!("Fountain CO, an example of local rules"), LOOKED_UP, ANY, at_least(Part::Height, Of::Street);
        },
    },
    Rule {
        name: say!("Aircraft marks"),
        applies: say!("Aircraft registered in the United States."),
        source: say!("14 CFR 45.29, as read in November 2026"),
        address: Some("https://www.ecfr.gov/current/title-14/section-45.29"),
        points: points! {
            CFR_45_29, LOOKED_UP, Only::Craft(Craft::Standard), at_least(Part::Height, inches(12));
            CFR_45_29, LOOKED_UP, Only::Craft(Craft::Light), at_least(Part::Height, inches(3));
            CFR_45_29, LOOKED_UP, Only::Craft(Craft::Antique), at_least(Part::Height, inches(2));
            CFR_45_29, LOOKED_UP, ANY, equal(Part::Width, (2, 3));
            CFR_45_29, LOOKED_UP, ONE, equal(Part::Own(say!("A 1")), (1, 6));
            CFR_45_29, LOOKED_UP, Only::Has("MW"),
                Check::Part(Part::Own(say!("An M or W")), Of::Height, None, WHOLE);
            CFR_45_29, LOOKED_UP, ANY, equal(Part::Stroke, (1, 6));
            CFR_45_29, LOOKED_UP, ANY,
                Check::Part(Part::Gap, Of::Width(Some((2, 3))), Some((1, 4)), None);
            CFR_45_29, DERIVED, ANY, at_least(Part::DecalWidth, Of::Mark);
            CFR_45_29, LOOKED_UP, ANY, look(say!("The same on both sides"));
        },
    },
    Rule {
        name: say!("Category words of aircraft"),
        applies: say!("Words such as EXPERIMENTAL, United States."),
        source: say!("14 CFR 45.23(b), as read in November 2026"),
        address: Some(
            "https://www.faraim.org/faa/far/cfr/title-14/part-45/section-45.23/title-14-part-45-sec45-23.html",
        ),
        points: points! {
            CFR_45_23, LOOKED_UP, ANY, at_least(Part::Height, inches(2));
            CFR_45_23, LOOKED_UP, ANY, at_most(Part::Height, inches(6));
            CFR_45_23, LOOKED_UP, ANY, look(say!("Near each entrance"));
        },
    },
    Rule {
        name: say!("Accessible sign, visual characters"),
        applies: say!("Signs that must be accessible, United States."),
        source: say!("2010 ADA Standards, section 703.5"),
        address: Some("https://up.codes/s/signs"),
        points: points! {
            say!("703.5.5 and its table"), LOOKED_UP, ANY, at_least(Part::Height, Of::Table);
            "703.5.4", LOOKED_UP, ANY, percent(Part::Width, 55, 110);
            "703.5.7", LOOKED_UP, ANY, percent(Part::Stroke, 10, 30);
            "703.5.8", LOOKED_UP, ANY, percent(Part::Gap, 10, 35);
            "703.5.9", LOOKED_UP, ANY, percent(Part::Own(say!("From baseline to baseline")), 135, 170);
            "703.5.3", LOOKED_UP, ANY, plain(say!("No italic, oblique, script or decorative letters"));
            "703.5.6", LOOKED_UP, ANY, look(say!("Baseline at least 40 in (1015 mm) above the floor"));
            "703.5.1", LOOKED_UP, ANY, contrast(say!("No glare; light on dark or dark on light"));
        },
    },
    Rule {
        name: say!("Safety sign, message"),
        applies: say!("Safety signs in the United States."),
        source: say!("ANSI Z535.2 and Z535.4, edition not known"),
        address: None,
        points: points! {
            Z535, FROM_MEMORY, ANY, Check::Part(Part::Height, Of::Distance, Some((1, 300)), None);
        },
    },
    Rule {
        name: say!("Safety sign, signal word"),
        applies: say!("Words such as WARNING on safety signs in the United States."),
        source: say!("ANSI Z535.2 and Z535.4, edition not known"),
        address: None,
        points: points! {
            Z535, FROM_MEMORY, ANY, Check::Part(Part::Height, Of::Distance, Some((1, 150)), None);
        },
    },
    Rule {
        name: say!("Lettering on a grid of seven"),
        applies: say!("Rail vehicles and technical lettering; a standard, not a law."),
        source: say!("DIN 1451-4, as read in November 2026"),
        address: Some("http://dybas.de/dybas/index/s/schrift.html"),
        points: points! {
            DIN, LOOKED_UP, ANY, Check::Series(&[
                10_000, 16_000, 20_000, 25_000, 30_000, 35_000, 40_000, 50_000, 60_000, 63_000, 80_000,
                100_000, 125_000,
            ]);
            DIN, LOOKED_UP, Only::Face(Face::Plain), equal(Part::Width, (4, 7));
            DIN, LOOKED_UP, Only::Face(Face::Condensed), equal(Part::Width, (3, 7));
            DIN, LOOKED_UP, ANY, equal(Part::Stroke, (1, 7));
            DIN, LOOKED_UP, ANY, equal(Part::Gap, (1, 7));
            DIN, LOOKED_UP, ANY, Check::Part(
                Part::Own(say!("Space between words")), Of::Height, Some((3, 7)), Some((4, 7))
            );
            DIN, LOOKED_UP, Only::Has("CGOQSU"),
                equal(Part::Own(say!("Height of round letters")), (72, 70));
            DIN, FROM_MEMORY, ANY, plain(say!("Upright letters without serifs"));
        },
    },
    Rule {
        name: say!("Lettering of drawings, type B"),
        applies: say!("Technical drawings; a standard, not a law."),
        source: say!("ISO 3098, as read in November 2026"),
        address: Some("http://wiechmann-at.de/MBStudium/TechnischesZeichnen/TZSchriften.html"),
        points: points! {
            ISO, LOOKED_UP, ANY, Check::Series(&ISO_HEIGHTS);
            ISO, LOOKED_UP, ANY, equal(Part::Stroke, (1, 10));
        },
    },
    Rule {
        name: say!("Lettering of drawings, type A"),
        applies: say!("Technical drawings; a standard, not a law."),
        source: say!("ISO 3098, as read in November 2026"),
        address: Some("http://wiechmann-at.de/MBStudium/TechnischesZeichnen/TZSchriften.html"),
        points: points! {
            ISO, LOOKED_UP, ANY, Check::Series(&ISO_HEIGHTS);
            ISO, LOOKED_UP, ANY, equal(Part::Stroke, (1, 14));
        },
    },
];

/// Heights of letters in drawings, in micrometres.
const ISO_HEIGHTS: [i32; 8] = [1_800, 2_500, 3_500, 5_000, 7_000, 10_000, 14_000, 20_000];

impl Kind {
    /// The rule for it.
    pub(super) const fn rule(self) -> &'static Rule {
        &RULES[self as usize]
    }
}
