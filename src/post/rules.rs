//! The classes of mail by public rules, as data: each with its publication, its edition, and what of
//! it is from memory. They hold limits only: prices change too often, and are the maker's own entries.

use super::{RuleSet, Stiffness};
use crate::measure::{Length, Unit, Weight};
use say::say;

/// One limit of a class of mail. The sides of a piece are sorted: its length is the longest, its
/// thickness the shortest.
#[derive(Clone, Copy, Debug)]
pub(super) enum Limit {
    /// Length and width at least so much; only for pieces no thicker than that, where it is given.
    /// A face that is too small by the tolerance passes.
    Face {
        least: [Length; 2],
        thin: Option<Length>,
        tolerance: Length,
    },
    /// Length and width at most so much.
    Most([Length; 2]),
    /// At least so thick.
    Thin(Length),
    /// At least `thick` where longer or wider than `over`.
    ThinForSize { thick: Length, over: [Length; 2] },
    /// At most so thick.
    Thick(Length),
    /// At most so heavy.
    Heavy(Weight),
    /// Length, and so many times width and thickness together, at most so much: once for the sum of the
    /// sides, twice for length and girth.
    Round(i64, Length),
    /// The length is from 1.3 to 2.5 times the width.
    Aspect,
    /// Bends as easily as that.
    Bends(Stiffness),
    /// One of [`MANNERS`]; only for pieces no thicker than that, where it is given.
    Manner(usize, Option<Length>),
}

/// A class of mail.
#[derive(Debug)]
pub(super) struct Class {
    /// Short name for programs; stable.
    pub id: &'static str,
    /// What people call it.
    pub name: &'static str,
    /// Publication and section.
    pub source: &'static str,
    /// The edition that was read, and through which page where not in itself.
    pub edition: &'static str,
    /// Which of its limits were not read anywhere; empty where all were.
    pub from_memory: &'static str,
    /// Whether a light and large piece is charged by its size.
    pub by_size: bool,
    /// What a piece of the class must keep.
    pub limits: &'static [Limit],
}

/// A set of public rules.
#[derive(Debug)]
pub(super) struct Rules {
    /// What every piece must keep.
    pub all: &'static [Limit],
    /// The classes, usually the cheapest first.
    pub classes: &'static [Class],
    /// What else is to be known about them.
    pub assumptions: &'static [&'static str],
}

/// How a piece is made up: what is wrong otherwise, what mends it, and the member of the input with
/// its right value.
pub(super) struct Manner {
    pub wrong: &'static str,
    pub cure: &'static str,
    pub member: &'static str,
    pub right: &'static str,
}

pub(super) const EVEN: usize = 0;
pub(super) const PAPER: usize = 1;
pub(super) const PLAIN: usize = 2;
pub(super) const SQUARE: usize = 3;

/// The manners in the order of the places above.
pub(super) static MANNERS: [Manner; 4] = [
    Manner {
        wrong: say!("it is not evenly thick"),
        cure: say!("lay what is inside so that it is evenly thick and stays so"),
        member: "even",
        right: "true",
    },
    Manner {
        wrong: say!("its outside is not paper"),
        cure: say!("use a paper mailer"),
        member: "wrap",
        right: "paper",
    },
    Manner {
        wrong: say!("it has a clasp, string or button"),
        cure: say!("close it flat, with glue or tape"),
        member: "clasps",
        right: "false",
    },
    Manner {
        wrong: say!("it is not rectangular with square corners"),
        cure: say!("use a rectangular mailer"),
        member: "rectangular",
        right: "true",
    },
];

const fn mm(count: i64) -> Length {
    Length::whole(count, Unit::Mm)
}

const QUARTER: Length = Length::inches(1, 4);
const US_LETTER: Limit = Limit::Most([Length::inches(23, 2), Length::inches(49, 8)]);
const US_LETTER_WEIGHT: Limit = Limit::Heavy(Weight::tenths_of_ounce(35));
const RECTANGULAR: Limit = Limit::Manner(SQUARE, None);

static US: Rules = Rules {
    all: &[
        Limit::Thin(Length::inches(7, 1_000)),
        Limit::Face {
            least: [Length::inches(5, 1), Length::inches(7, 2)],
            thin: Some(QUARTER),
            tolerance: Length::ZERO,
        },
        Limit::Manner(SQUARE, Some(QUARTER)),
    ],
    classes: &[
        Class {
            id: "us-letter",
            name: say!(in "a class of mail": "Letter"),
            source: say!("United States, Domestic Mail Manual 101.1"),
            edition: say!(
                "archived text of 4 January 2010; stiffness and the thickness of large pieces \
                      as quoted in 2016"
            ),
            from_memory: say!(
                "That every piece of up to 1/4 in must be rectangular, and that the address \
                          must run along the long side."
            ),
            by_size: false,
            limits: &[
                US_LETTER,
                Limit::Thick(QUARTER),
                US_LETTER_WEIGHT,
                RECTANGULAR,
                Limit::Aspect,
                Limit::ThinForSize {
                    thick: Length::inches(9, 1_000),
                    over: [Length::inches(6, 1), Length::inches(17, 4)],
                },
                Limit::Bends(Stiffness::Easy),
                Limit::Manner(EVEN, None),
                Limit::Manner(PAPER, None),
                Limit::Manner(PLAIN, None),
            ],
        },
        Class {
            id: "us-letter-nonmachinable",
            name: say!(in "a class of mail": "Letter, non-machinable"),
            source: say!("United States, Domestic Mail Manual 101.1.2"),
            edition: say!("archived text of 4 January 2010"),
            from_memory: "",
            by_size: false,
            limits: &[
                US_LETTER,
                Limit::Thick(QUARTER),
                US_LETTER_WEIGHT,
                RECTANGULAR,
            ],
        },
        Class {
            id: "us-flat",
            name: say!(in "a class of mail": "Large envelope (flat)"),
            source: say!("United States, Domestic Mail Manual 101.2 and 301.1.1"),
            edition: say!("archived text of 12 May 2008 and quotations of it"),
            from_memory: say!(
                "The limit of 13 oz, and how far a piece with a rigid board must bend."
            ),
            by_size: false,
            limits: &[
                Limit::Most([Length::inches(15, 1), Length::inches(12, 1)]),
                Limit::Thick(Length::inches(3, 4)),
                Limit::Heavy(Weight::tenths_of_ounce(130)),
                RECTANGULAR,
                Limit::Bends(Stiffness::Little),
                Limit::Manner(EVEN, None),
            ],
        },
        Class {
            id: "us-parcel",
            name: say!(in "a class of mail": "Parcel"),
            source: say!("United States, Quick Service Guide 201e"),
            edition: say!("archived text of 6 June 2016; no least size since 4 November 2024"),
            from_memory: "",
            by_size: true,
            limits: &[
                Limit::Heavy(Weight::pounds(70)),
                Limit::Round(2, Length::inches(108, 1)),
            ],
        },
        Class {
            id: "us-parcel-oversize",
            name: say!(in "a class of mail": "Oversize parcel, by ground only"),
            source: say!("United States, Quick Service Guide 201e"),
            edition: say!("archived text of 6 June 2016"),
            from_memory: "",
            by_size: true,
            limits: &[
                Limit::Heavy(Weight::pounds(70)),
                Limit::Round(2, Length::inches(130, 1)),
            ],
        },
    ],
    assumptions: &[
        say!(
            "Bending, for flats: half of the piece over the edge of a table, pressed 1 in from its outer \
         edge, it goes down 1 in at least and takes no harm. That is reckoned for every piece."
        ),
        say!(
            "A piece of 10 in and more with a rigid board is tried harder: 5 in of its length over the edge, \
         it must go down 2 in at least (from memory). That is not reckoned: try it so before you call it \
         a flat."
        ),
        say!("A letter over 3.5 oz is paid as a flat. A box is never a flat."),
        say!(
            "A parcel of more than 1728 cubic inches is charged by the larger of its weight and a pound \
         for each 166 cubic inches, or for as many as are entered; odd shapes are reckoned as boxes."
        ),
    ],
};

static UK: Rules = Rules {
    all: &[Limit::Face {
        least: [mm(100), mm(70)],
        thin: None,
        tolerance: Length::ZERO,
    }],
    classes: &[
        Class {
            id: "uk-letter",
            name: say!(in "a class of mail": "Letter"),
            source: say!("United Kingdom, the regulator's help page on letters and large letters"),
            edition: say!("page without a date"),
            from_memory: say!("The limit of 100 g, and the least face of 100 by 70 mm."),
            by_size: false,
            limits: &[
                Limit::Most([mm(240), mm(165)]),
                Limit::Thick(mm(5)),
                Limit::Heavy(Weight::grams(100)),
            ],
        },
        Class {
            id: "uk-large-letter",
            name: say!(in "a class of mail": "Large letter"),
            source: say!("United Kingdom, the regulator's help page on letters and large letters"),
            edition: say!("page without a date"),
            from_memory: say!("The limit of 750 g."),
            by_size: false,
            limits: &[
                Limit::Most([mm(353), mm(250)]),
                Limit::Thick(mm(25)),
                Limit::Heavy(Weight::grams(750)),
            ],
        },
        Class {
            id: "uk-parcel",
            name: say!(in "a class of mail": "Parcel"),
            source: say!("United Kingdom, parcels by the universal service"),
            edition: say!("not read"),
            from_memory: say!("All limits: 61 by 46 by 46 cm, 20 kg."),
            by_size: false,
            limits: &[
                Limit::Most([mm(610), mm(460)]),
                Limit::Thick(mm(460)),
                Limit::Heavy(Weight::grams(20_000)),
            ],
        },
    ],
    assumptions: &[],
};

static UPU: Rules = Rules {
    all: &[
        Limit::Face {
            least: [mm(140), mm(90)],
            thin: None,
            tolerance: mm(2),
        },
        Limit::Most([mm(600), mm(600)]),
        Limit::Round(1, mm(900)),
    ],
    classes: &[
        Class {
            id: "upu-p",
            name: say!(in "a class of mail": "Small letter (P)"),
            source: say!("Universal Postal Union, letter post by format"),
            edition: say!("not read; least and greatest size as two of its members print them"),
            from_memory: say!("All limits: 245 by 165 by 5 mm, 100 g."),
            by_size: false,
            limits: &[
                Limit::Most([mm(245), mm(165)]),
                Limit::Thick(mm(5)),
                Limit::Heavy(Weight::grams(100)),
            ],
        },
        Class {
            id: "upu-g",
            name: say!(in "a class of mail": "Large letter (G)"),
            source: say!("Universal Postal Union, letter post by format"),
            edition: say!("not read"),
            from_memory: say!("All limits: 381 by 305 by 20 mm, 500 g."),
            by_size: false,
            limits: &[
                Limit::Most([mm(381), mm(305)]),
                Limit::Thick(mm(20)),
                Limit::Heavy(Weight::grams(500)),
            ],
        },
        Class {
            id: "upu-e",
            name: say!(in "a class of mail": "Bulky letter or small packet (E)"),
            source: say!("Universal Postal Union, letter post by format"),
            edition: say!("not read; greatest size as two of its members print it"),
            from_memory: say!("The limit of 2 kg."),
            by_size: false,
            limits: &[Limit::Heavy(Weight::grams(2_000))],
        },
    ],
    assumptions: &[
        say!("Rolls have limits of their own, which are not reckoned here."),
        say!("What a country's own post offers by letter post may be less."),
    ],
};

static OWN: Rules = Rules {
    all: &[],
    classes: &[],
    assumptions: &[say!("The classes and their limits are your own entries.")],
};

impl RuleSet {
    pub(super) const fn rules(self) -> &'static Rules {
        match self {
            Self::UsPost => &US,
            Self::UkPost => &UK,
            Self::Upu => &UPU,
            Self::Own => &OWN,
        }
    }
}
