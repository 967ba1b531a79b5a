//! The decal: the one thing that all answers are about.

mod words;

use crate::drawing::{Element, framed, mm, number};
use crate::error::{Checks, Code, InputError, InputErrors};
use crate::input::read_by_members;
use crate::measure::{Area, Length, LengthInput, Range, Unit, optional, required};
use say::say;
use serde::{Deserialize, Serialize};
pub use words::Words;

/// The face that the letters are cut in.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "camelCase")]
pub enum Face {
    /// Plain upright letters without serifs.
    #[default]
    Plain,
    /// The same, drawn narrow.
    Condensed,
    /// Joined or slanted as if written by hand.
    Script,
}

read_by_members! {
    /// A decal as a person describes it.
    #[derive(Clone, Debug, Default, PartialEq)]
    pub struct DecalInput {
        /// The words, one line of lettering a line; may be left out.
        pub lettering: Option<String> = default,
        /// Width over everything that is cut.
        pub width: Option<LengthInput> = default,
        /// Height over everything that is cut.
        pub height: Option<LengthInput> = default,
        /// Height of a capital I; where it is left out it is worked out from the words and the size,
        /// [`Words::letter_height`].
        pub letter_height: Option<LengthInput> = default,
        /// The face of the letters; plain if left out.
        pub face: Face = default,
        /// Width of the stroke of a capital I; may be left out.
        pub stroke: Option<LengthInput> = default,
        /// Width of a capital O; may be left out.
        pub letter_width: Option<LengthInput> = default,
        /// Between the closest points of two letters side by side; may be left out.
        pub letter_gap: Option<LengthInput> = default,
    }
}

/// A decal that can be made: its letters fit into it.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Decal {
    lettering: Vec<String>,
    width: Length,
    height: Length,
    letter_height: Length,
    fitted: bool,
    face: Face,
    stroke: Option<Length>,
    letter_width: Option<Length>,
    letter_gap: Option<Length>,
}

/// Sides of decals and of letters: nothing smaller than a millimetre can be weeded and sold, and
/// nothing longer than 50 m is cut on a desk.
pub const SIDE: Range = Range::new(Length::whole(1, Unit::Mm), Length::whole(50, Unit::M));

/// Strokes of letters and gaps between them: from a tenth of a millimetre, less than any knife leaves.
const PART: Range = Range::new(Length::from_nm(100_000), Length::whole(50, Unit::M));

/// So many characters of lettering are taken.
const MAX_CHARACTERS: usize = 200;

impl Decal {
    /// Reads a decal; lengths without a unit are in `unit`.
    ///
    /// # Errors
    /// Every field that is missing, not a length or outside of [`SIDE`]; [`Code::TooLarge`] for
    /// lettering of more than 200 characters; [`Code::DoesNotFit`] where the lines of letters are
    /// together higher than the decal, or a stroke, a width or a gap is larger than letters of that
    /// height can have. Without a letter height there must be words to work it out from.
    pub fn read(input: &DecalInput, unit: Unit) -> Result<Self, InputErrors> {
        let mut checks = Checks::default();
        let lettering = checks.take(lines(input.lettering.as_deref().unwrap_or_default()));
        let width = checks.take(required(input.width.as_ref(), "width", unit, SIDE));
        let height = checks.take(required(input.height.as_ref(), "height", unit, SIDE));
        let mut part = |part: Option<&LengthInput>, path: &str| {
            let range = if path == "letterHeight" { SIDE } else { PART };
            let read = checks.take(optional(part, path, unit, range));
            (read.is_some(), read.flatten())
        };
        let (readable, typed) = part(input.letter_height.as_ref(), "letterHeight");
        let (_, stroke) = part(input.stroke.as_ref(), "stroke");
        let (_, letter_width) = part(input.letter_width.as_ref(), "letterWidth");
        let (_, letter_gap) = part(input.letter_gap.as_ref(), "letterGap");
        let mut letter_height = None;
        if let (Some(lettering), true) = (&lettering, readable) {
            let size = width.zip(height);
            let letter = typed.map_or_else(
                || worked_out(lettering, input.face, size),
                |letter| {
                    let fits = |height| letters_fit(lettering.len(), letter, height, unit);
                    height.map_or(Ok(()), fits).map(|()| Some(letter))
                },
            );
            letter_height = checks
                .take(letter.map_err(|error| error.at("letterHeight")))
                .flatten();
        }
        if let Some(letter) = letter_height {
            // An O is hardly wider than it is high, and letters further apart than that are no words.
            for (part, path, most) in [
                (stroke, "stroke", (3, 10)),
                (letter_width, "letterWidth", (3, 2)),
                (letter_gap, "letterGap", (3, 2)),
            ] {
                checks.take(part.map_or(Ok(()), |part| below(part, path, most, letter, unit)));
            }
            if let (Some(stroke), Some(width)) = (stroke, letter_width)
                && width <= stroke * 2
            {
                let message = say!("an O with such strokes is closed");
                let least = shown(stroke * 2, unit);
                let hint = say!("write more than two strokes, {least}");
                checks.add(InputError::new(Code::DoesNotFit, message, hint).at("letterWidth"));
            }
        }
        checks.finish(Self {
            lettering: lettering.unwrap_or_default(),
            width: width.unwrap_or_default(),
            height: height.unwrap_or_default(),
            letter_height: letter_height.unwrap_or_default(),
            fitted: typed.is_none(),
            face: input.face,
            stroke,
            letter_width,
            letter_gap,
        })
    }

    /// Width over everything that is cut.
    #[must_use]
    pub const fn width(&self) -> Length {
        self.width
    }

    /// Height over everything that is cut.
    #[must_use]
    pub const fn height(&self) -> Length {
        self.height
    }

    /// Height of a capital I.
    #[must_use]
    pub const fn letter_height(&self) -> Length {
        self.letter_height
    }

    /// Whether the letter height was worked out from the words, not typed.
    #[must_use]
    pub const fn is_fitted(&self) -> bool {
        self.fitted
    }

    /// The words in lines, with what their face says of their widths and heights.
    #[must_use]
    pub fn words(&self) -> Words<'_> {
        Words::new(&self.lettering, self.face)
    }

    /// The kind of letters, by which the sizes of words are estimated.
    #[must_use]
    pub const fn face(&self) -> Face {
        self.face
    }

    /// Width of a letter's stroke, if it was measured.
    #[must_use]
    pub const fn stroke(&self) -> Option<Length> {
        self.stroke
    }

    /// Width of a capital O, if it was measured.
    #[must_use]
    pub const fn letter_width(&self) -> Option<Length> {
        self.letter_width
    }

    /// Between two letters side by side, if it was measured.
    #[must_use]
    pub const fn letter_gap(&self) -> Option<Length> {
        self.letter_gap
    }

    /// The rectangle that the decal fills.
    #[must_use]
    pub fn area(&self) -> Area {
        self.width * self.height
    }

    /// `9 × 3 in`.
    #[must_use]
    pub fn size_text(&self, unit: Unit) -> String {
        size_text(self.width, self.height, unit)
    }

    /// Whether the longest line leaves each character less than 55 % of the letter height in width,
    /// the least that the 2010 ADA Standards, section 703.5.4, allow an O. Rules of legibility presume
    /// plain letters, which are not narrower than that. Letters of a narrow face or a script are squeezed
    /// where the line is longer than in their own widths.
    #[must_use]
    pub fn is_narrow(&self) -> bool {
        if self.face != Face::Plain {
            return self.words().width_at(self.letter_height) > self.width;
        }
        let counts = self.lettering.iter().map(|line| line.chars().count());
        let longest = i64::try_from(counts.max().unwrap_or(0)).unwrap_or(i64::MAX);
        i128::from(self.width.nm()) * 100
            < i128::from(self.letter_height.nm()) * 55 * i128::from(longest)
    }

    /// The decal to scale, with rulers in `unit`, its lettering indicated in a plain face at the
    /// stated letter height: the true letters are the maker's own.
    #[must_use]
    pub fn drawing(&self, unit: Unit) -> Element {
        let size = self.size_text(unit);
        let letter = shown(self.letter_height, unit);
        let label = if self.lettering.is_empty() {
            say!("The decal to scale, {size} with letters {letter} high: no lettering entered")
        } else {
            say!(
                "The decal to scale, {size} with letters {letter} high: {words}",
                words = self.lettering.join(", ")
            )
        };
        framed((self.width, self.height), 0, unit, &label, &|type_size| {
            let outline = Element::new("rect")
                .with("class", "decal")
                .with("width", mm(self.width))
                .with("height", mm(self.height))
                .with("fill", "#fffdf6")
                .with("stroke", "#24516b")
                .with("stroke-width", number(type_size / 12.0));
            let mut content = vec![outline];
            content.extend(self.drawn_lettering("#24516b"));
            content
        })
    }

    /// The lines of lettering in this colour, each squeezed to the width if needed.
    #[must_use]
    pub fn drawn_lettering(&self, fill: &str) -> Vec<Element> {
        let (width, height) = (self.width.to_f64(Unit::Mm), self.height.to_f64(Unit::Mm));
        let letter = self.letter_height.to_f64(Unit::Mm);
        let shown: Vec<&str> = if self.lettering.is_empty() {
            vec!["I"]
        } else {
            self.lettering.iter().map(String::as_str).collect()
        };
        #[expect(clippy::cast_precision_loss, reason = "at most 200 characters")]
        let longest = |line: &str| line.chars().count() as f64 * letter * 0.62 / 0.72;
        let baselines = self.words().baselines(letter, height);
        let mut drawn = Vec::new();
        for (line, baseline) in shown.into_iter().zip(baselines) {
            let mut text = Element::new("text")
                .with("class", "lettering")
                .with("x", number(width / 2.0))
                .with("y", number(baseline))
                .with("text-anchor", "middle")
                // Capitals of common sans faces are about 0.72 of the type size high; the picture
                // indicates, it does not measure.
                .with("font-size", number(letter / 0.72))
                .with("font-family", "Arial, Helvetica, sans-serif")
                .with("font-weight", "700")
                .with("fill", fill);
            let fit = width * 0.96;
            if longest(line) > fit {
                text = text
                    .with("textLength", number(fit))
                    .with("lengthAdjust", "spacingAndGlyphs");
            }
            drawn.push(text.text(line));
        }
        drawn
    }
}

/// `9 × 3 in`.
#[must_use]
pub fn size_text(width: Length, height: Length, unit: Unit) -> String {
    let (width, height) = (width.text(unit), height.text(unit));
    let number = width.strip_suffix(unit.symbol()).unwrap_or(&width);
    format!("{}\u{a0}× {height}", number.trim_end())
}

fn lines(lettering: &str) -> Result<Vec<String>, InputError> {
    let count = lettering.chars().count();
    if count > MAX_CHARACTERS {
        return Err(InputError::new(
            Code::TooLarge,
            say!("{count} characters are more than the picture can show"),
            say!("write at most {most} characters", most = MAX_CHARACTERS),
        )
        .at("lettering"));
    }
    let lines = lettering.lines().map(str::trim);
    Ok(lines
        .filter(|line| !line.is_empty())
        .map(ToOwned::to_owned)
        .collect())
}

/// The letter height that the words have in a decal of this size, if that is known.
fn worked_out(
    lettering: &[String],
    face: Face,
    size: Option<(Length, Length)>,
) -> Result<Option<Length>, InputError> {
    if lettering.is_empty() {
        return Err(InputError::new(
            Code::Missing,
            say!("without words there is nothing to work the letter height out from"),
            say!("write the height of a capital I, or the words of the decal"),
        ));
    }
    let words = Words::new(lettering, face);
    let letter = size.and_then(|(width, height)| words.letter_height(width, height));
    if letter.is_some_and(|letter| !SIDE.holds(letter)) {
        return Err(InputError::new(
            Code::DoesNotFit,
            say!("so many words get letters below a millimetre in this size"),
            say!("make the decal larger, or write fewer words"),
        ));
    }
    Ok(letter)
}

/// Whether a part of letters is at most so many parts of their height.
fn below(
    part: Length,
    path: &str,
    (times, of): (i64, i64),
    letter: Length,
    unit: Unit,
) -> Result<(), InputError> {
    let most = Length::from_nm(letter.nm() * times / of);
    if part <= most {
        return Ok(());
    }
    let most = most.round_down(fine(unit)).text(unit);
    let hint = say!("write at most {most}");
    let letter = shown(letter, unit);
    let message = say!("too much for letters {letter} high");
    Err(InputError::new(Code::DoesNotFit, message, hint).at(path))
}

/// A letter height that was worked out, as a ruler has it: down to 1/16 in or 1 mm, small ones to
/// 1/64 in or 0.1 mm.
#[must_use]
pub fn on_ruler(length: Length, unit: Unit) -> String {
    let coarse = coarse(unit);
    let step = if length >= coarse * 10 {
        coarse
    } else {
        fine(unit)
    };
    length.round_down(step).text(unit)
}

/// A length that may have been worked out, down to a step that a ruler has.
#[must_use]
pub fn shown(length: Length, unit: Unit) -> String {
    let text = length.text(unit);
    if Length::parse(&text, unit) == Ok(length) {
        text
    } else {
        length.round_down(fine(unit)).text(unit)
    }
}

/// The side of a decal, as it is typed, that is so many times as long as the one that is typed: up to what
/// a ruler has, a sixteenth of an inch or a millimetre. None where no decal has the side that is typed.
#[must_use]
pub fn other_side(typed: &str, times: f64, unit: Unit) -> Option<String> {
    let side = Length::parse(typed, unit).ok()?;
    if !SIDE.holds(side) {
        return None;
    }
    // A micrometre is no reason to take the next step.
    let other = Length::from_metres(side.to_f64(Unit::M) * times)? - Length::from_nm(1_000);
    let other = other.round_up(coarse(unit));
    let text = other.text(unit);
    // Without the unit, as a bare number counts in it.
    text.rsplit_once(' ').map(|(number, _)| number.to_owned())
}

/// The coarser step of a ruler.
const fn coarse(unit: Unit) -> Length {
    if unit.is_imperial() {
        Length::inches(1, 16)
    } else {
        Length::whole(1, Unit::Mm)
    }
}

/// The finest step of a ruler.
const fn fine(unit: Unit) -> Length {
    if unit.is_imperial() {
        Length::inches(1, 64)
    } else {
        Length::from_nm(100_000)
    }
}

fn letters_fit(lines: usize, letter: Length, height: Length, unit: Unit) -> Result<(), InputError> {
    let lines = i64::try_from(lines.max(1)).unwrap_or(i64::MAX);
    if letter * lines <= height {
        return Ok(());
    }
    let most = Length::from_nm(height.nm() / lines)
        .round_down(fine(unit))
        .text(unit);
    let (letter, height) = (letter.text(unit), height.text(unit));
    Err(InputError::new(
        Code::DoesNotFit,
        say!(
            lines;
            "letters {letter} high do not fit into a decal {height} high",
            "{lines} lines of letters {letter} high do not fit into a decal {height} high"
        ),
        say!("write at most {most}, or make the decal higher"),
    ))
}
