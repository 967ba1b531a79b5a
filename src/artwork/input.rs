//! What is asked about a drawing.

use super::join::Split;
use super::outline::Colour;
use crate::error::{Checks, Code, InputError, InputErrors};
use crate::input::read_by_members;
use crate::measure::{Count, Length, LengthInput, Range, Unit, optional};
use say::say;
use serde::Deserialize;

read_by_members! {
    /// A drawing, and how large it is cut.
    #[derive(Clone, Debug, Default, PartialEq)]
    pub struct ArtworkInput {
        /// The unit of lengths without one, and of every length in the answer; inches when absent.
        pub unit: Unit = default,
        /// The text of an SVG file.
        pub svg: String = default,
        /// The width of what is cut; as it was drawn where neither this nor the height is told.
        pub width: Option<LengthInput> = default,
        /// The height of what is cut; follows from the width where that is told.
        pub height: Option<LengthInput> = default,
        /// What is cut of a line that has a width.
        pub lines: Lines = default,
        /// Whether all colours are cut from one film.
        pub colours: Colours = default,
        /// A colour that stands for no film and takes away what lies under it, such as `#ffffff`.
        pub ground: Option<String> = default,
        /// What the film and the hand can do.
        pub limits: LimitsInput = default,
    }
}

read_by_members! {
    /// What can be cut and weeded; common practice for plain film where left out, no source.
    #[derive(Clone, Debug, Default, PartialEq)]
    pub struct LimitsInput {
        /// The thinnest part that holds while it is weeded; 1 mm.
        pub part: Option<LengthInput> = default,
        /// The narrowest gap that can be weeded; 0.5 mm.
        pub gap: Option<LengthInput> = default,
        /// The greater side of the smallest piece that stays; 2 mm.
        pub speck: Option<LengthInput> = default,
        /// The greater side of the smallest island that can be picked out; 1 mm.
        pub island: Option<LengthInput> = default,
    }
}

read_by_members! {
    /// A file for the cutter.
    #[derive(Clone, Debug, Default, PartialEq)]
    pub struct CutFileInput {
        /// The drawing, and how large it is cut.
        pub artwork: ArtworkInput = default,
        /// What it is called; may be left out.
        pub title: Option<String> = default,
        /// How far from the drawing a weeding border is cut; none where left out.
        pub border: Option<LengthInput> = default,
        /// Whether it is mirrored, to be read through glass from the other side.
        pub reverse: bool = default,
        /// Whether each film gets registration marks.
        pub marks: bool = default,
        /// The one film that is written, from 1 on; all where left out.
        pub only: Option<Count> = default,
    }
}

/// What is cut of a line that has a width.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "lowercase")]
pub enum Lines {
    /// The line itself where nothing fills it, and of what is filled its edge.
    #[default]
    Outlines,
    /// The outline of the line as wide as it is drawn, beside what is filled.
    Strokes,
}

/// Whether all colours are cut from one film.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "lowercase")]
pub enum Colours {
    /// All from one.
    #[default]
    One,
    /// Each from a film of its own.
    Layers,
}

/// Sizes of what is cut: from a millimetre to the width of the widest film and the length of a roll.
const SIDE: Range = Range::new(Length::whole(1, Unit::Mm), Length::whole(100, Unit::M));

/// Limits: what a hand weeds is told in millimetres, that of a wall's letters in centimetres.
const LIMIT: Range = Range::up_to(Length::whole(100, Unit::Mm));

/// Weeding borders.
const BORDER: Range = Range::up_to(Length::whole(200, Unit::Mm));

/// What is asked, checked.
#[derive(Clone, Debug)]
pub(super) struct Asked {
    pub unit: Unit,
    pub width: Option<Length>,
    pub height: Option<Length>,
    pub limits: Limits,
}

/// Limits in millimetres.
#[derive(Clone, Copy, Debug)]
pub(super) struct Limits {
    pub part: Length,
    pub gap: Length,
    pub speck: Length,
    pub island: Length,
}

impl ArtworkInput {
    /// How the drawing is to be read.
    ///
    /// # Errors
    /// [`Code::NotAChoice`] where the ground is no colour.
    pub(super) fn split(&self) -> Result<Split, InputError> {
        let ground = self.ground.as_deref().map(str::trim).unwrap_or_default();
        Ok(Split {
            layers: self.colours == Colours::Layers,
            ground: if ground.is_empty() {
                None
            } else {
                Some(colour(ground)?)
            },
        })
    }

    /// How large it is cut, and by which limits.
    ///
    /// # Errors
    /// Every length that is none, or out of range.
    pub(super) fn asked(&self) -> Result<Asked, InputErrors> {
        let mut checks = Checks::default();
        let mut side = |length: &Option<LengthInput>, path| {
            checks
                .take(optional(length.as_ref(), path, self.unit, SIDE))
                .flatten()
        };
        let (width, height) = (side(&self.width, "width"), side(&self.height, "height"));
        let LimitsInput {
            part,
            gap,
            speck,
            island,
        } = &self.limits;
        let mut limit = |length: &Option<LengthInput>, path, micrometres: i64| {
            let read = optional(length.as_ref(), path, self.unit, LIMIT);
            let usual = Length::from_nm(1_000 * micrometres);
            checks.take(read).flatten().unwrap_or(usual)
        };
        let limits = Limits {
            part: limit(part, "limits.part", 1_000),
            gap: limit(gap, "limits.gap", 500),
            speck: limit(speck, "limits.speck", 2_000),
            island: limit(island, "limits.island", 1_000),
        };
        checks.finish(Asked {
            unit: self.unit,
            width,
            height,
            limits,
        })
    }
}

/// What is asked about a file, checked.
pub(super) struct File {
    /// In millimetres.
    pub border: Option<f64>,
    /// The film's place, from 0 on.
    pub only: Option<usize>,
}

impl CutFileInput {
    /// What is written beside the drawing.
    ///
    /// # Errors
    /// A border that is none, or a film that the drawing does not have.
    pub(super) fn file(&self, films: usize) -> Result<File, InputErrors> {
        let mut checks = Checks::default();
        let unit = self.artwork.unit;
        let border = checks.take(optional(self.border.as_ref(), "border", unit, BORDER));
        let most = super::flat::count(films).max(1);
        let only = checks.take(Count::optional_from(self.only.as_ref(), "only", 1, most));
        checks.finish(File {
            border: border.flatten().map(|border| border.to_f64(Unit::Mm)),
            only: only.flatten().map(|film| film as usize - 1),
        })
    }
}

/// Reads `#rrggbb`, or `#rgb`.
fn colour(text: &str) -> Result<Colour, InputError> {
    let bare = text.strip_prefix('#').unwrap_or(text);
    let digit = |digit: char| {
        digit
            .to_digit(16)
            .and_then(|digit| u8::try_from(digit).ok())
    };
    let digits: Option<Vec<u8>> = bare.chars().map(digit).collect();
    match digits.as_deref() {
        Some(&[red, green, blue]) => Ok(Colour([red, green, blue].map(|digit| digit * 17))),
        Some(digits) if digits.len() == 6 => {
            let two = |at: usize| digits[at] * 16 + digits[at + 1];
            Ok(Colour([two(0), two(2), two(4)]))
        }
        _ => Err(InputError::new(
            Code::NotAChoice,
            say!("this is no colour"),
            "write it like #ffffff",
        )
        .at("ground")),
    }
}
