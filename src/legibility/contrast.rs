//! How much lettering differs in lightness from what is behind it: two colours, two light reflectance
//! values, or film on a window.
//!
//! A luminance is here the share of the light that comes back, as seen beside a white surface in the same
//! light: 0 for black, 1 for white. Of a painted surface it is the light reflectance value over 100, of a
//! screen's colour the relative luminance; a colour picked on a screen stands for a film only as nearly as
//! it looks like it.

use crate::error::{Checks, Code, InputError, InputErrors};
use crate::input::read_by_members;
use crate::measure::{NumberInput, decimals};
use say::say;
use serde::{Deserialize, Serialize};

/// By what film and ground are told.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "camelCase")]
pub enum By {
    /// By nothing: they are in strong contrast, as the rules presume.
    #[default]
    Strong,
    /// By two colours of a screen.
    Colours,
    /// By two light reflectance values.
    Reflectances,
}

/// Whether the film is on a window, and on which side of it, seen from where the reader stands.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "camelCase")]
pub enum Glass {
    /// It is on paint, or on anything that nobody looks through.
    #[default]
    None,
    /// On the outside of the glass: only the ground is seen through it.
    Outside,
    /// Cut in reverse, on the inside of the glass: film and ground are seen through it.
    Inside,
}

read_by_members! {
    /// What is asked about the contrast of a decal.
    #[derive(Clone, Debug, Default, PartialEq, Serialize)]
    #[cfg_attr(not(target_arch = "wasm32"), serde(rename_all = "camelCase"))]
    pub struct ContrastInput {
        /// By what film and ground are told; by nothing if left out.
        pub by: By = default,
        /// The film's colour: `#rrggbb`, `#rgb`, or the same without `#`.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub film: Option<String> = default,
        /// The ground's colour; not asked on glass.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub ground: Option<String> = default,
        /// The film's light reflectance value, 0 to 100.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub film_reflectance: Option<NumberInput> = default,
        /// The ground's; not asked on glass.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub ground_reflectance: Option<NumberInput> = default,
        /// Whether the film is on a window.
        pub glass: Glass = default,
        /// How much of the light the glass lets through, tint included: above 0, at most 100 %; 70 % if
        /// left out.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub transmission: Option<NumberInput> = default,
        /// The light reflectance value of what is behind the glass, 0 to 100; 5, a dark interior, if left
        /// out.
        #[serde(skip_serializing_if = "Option::is_none")]
        pub interior: Option<NumberInput> = default,
    }
}

/// The contrast of light reflectance values from which on lettering is in strong contrast: 70 %, as
/// proposed for ANSI A117.1 (looked up: first public review draft, background report, chapter 7) and
/// advised in the appendix of the 1991 ADA guidelines, A4.30.5 (from memory). The 2010 ADA Standards give
/// no number.
pub const ADVISED: f64 = 0.70;

/// How light the lighter of the two is to be, as a luminance: a light reflectance value of 45, from the
/// same proposal.
pub const LIGHTER: f64 = 0.45;

/// The ratio that WCAG 2.2 asks for between graphics and what is beside them (1.4.11), and for large text
/// (1.4.3). The ratio was looked up, the numbers of the criteria are from memory.
pub const WCAG_GRAPHICS: f64 = 3.0;

/// The ratio that WCAG 2.2 asks for of ordinary text (1.4.3).
pub const WCAG_TEXT: f64 = 4.5;

/// The light that a window mirrors, as a share of what is before it, at most: 4 % at each of its two
/// faces, ((n - 1) / (n + 1))² by Fresnel for light straight at glass of index 1.5. Light that goes to and
/// fro between the faces is left out, which leaves 0.08 instead of 0.077.
const MIRRORED: f64 = 0.08;

/// How much of the light a window lets through if nothing is said, in percent: what FMVSS 205 asks for of
/// glass that is needed for driving. From memory.
const TRANSMISSION: Option<f64> = Some(70.0);

/// The light reflectance value of an interior by day, seen from outside, if nothing is said. Common
/// practice, no source.
const INTERIOR: Option<f64> = Some(5.0);

/// The luminance of real white films and paints. From memory.
const WHITE: f64 = 0.85;

/// The luminance of real black films and paints. From memory.
const BLACK: f64 = 0.05;

/// Differences below this are those of floating-point numbers: a contrast of 70 % that comes out as
/// 69.999999999999 % is 70 %.
const GUARD: f64 = 1e-9;

/// Film and ground as they are seen, as luminances from 0 to 1.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Contrast {
    /// Luminance of the film.
    pub film: f64,
    /// Luminance of what is beside it.
    pub ground: f64,
    /// Whether the film is on a window.
    pub glass: Glass,
}

impl Contrast {
    /// Reads what is seen; none where nothing is asked, for the contrast is strong as the rules presume.
    ///
    /// On a window there is always an answer, since the glass takes its share of the best of films:
    /// where film is told by nothing, whoever chose it for strong contrast has chosen white or black,
    /// whichever is in the stronger contrast with what is seen in the window.
    ///
    /// What is not asked for in a case is not looked at.
    ///
    /// # Errors
    /// [`Code::Missing`], [`Code::NotANumber`], [`Code::Ambiguous`], [`Code::TooSmall`] or
    /// [`Code::TooLarge`] at the member's path.
    ///
    /// # Examples
    /// ```
    /// use decal_reckoner::legibility::contrast::{By, Contrast, ContrastInput};
    ///
    /// let input = ContrastInput {
    ///     by: By::Colours,
    ///     film: Some("#ff0000".into()),
    ///     ground: Some("#fff".into()),
    ///     ..ContrastInput::default()
    /// };
    /// let contrast = Contrast::read(&input)?.expect("colours are told");
    /// // Red on white is known to miss the 4.5 of ordinary text.
    /// assert!(contrast.wcag() > 3.99 && contrast.wcag() < 4.0);
    /// # Ok::<(), decal_reckoner::error::InputErrors>(())
    /// ```
    pub fn read(input: &ContrastInput) -> Result<Option<Self>, InputErrors> {
        if input.by == By::Strong && input.glass == Glass::None {
            return Ok(None);
        }
        let mut checks = Checks::default();
        let film = surface(
            &mut checks,
            input.by,
            input.film.as_ref(),
            input.film_reflectance.as_ref(),
            ["film", "filmReflectance"],
        );
        let (behind, transmission);
        if input.glass == Glass::None {
            transmission = 1.0;
            behind = surface(
                &mut checks,
                input.by,
                input.ground.as_ref(),
                input.ground_reflectance.as_ref(),
                ["ground", "groundReflectance"],
            );
        } else {
            let through = input.transmission.as_ref();
            transmission = hundredths(&mut checks, through, "transmission", TRANSMISSION);
            if transmission <= 0.0 {
                let message = say!("nothing is seen through it");
                let error = InputError::new(Code::TooSmall, message, say!("write more than 0 %"));
                checks.add(error.at("transmission"));
            }
            let interior = input.interior.as_ref();
            behind = hundredths(&mut checks, interior, "interior", INTERIOR);
        }
        let mut contrast = Self::seen(film, behind, transmission, input.glass);
        if input.by == By::Strong {
            let black = Self::seen(BLACK, behind, transmission, input.glass);
            if contrast.lrv() < black.lrv() {
                contrast = black;
            }
        }
        checks.finish(Some(contrast))
    }

    /// What is seen of a film and of what is behind it, all told as luminances, through glass that lets
    /// `transmission`, 0 to 1, of the light through. Without glass both are seen as they are.
    ///
    /// What lies behind glass is lit and seen through it, so that the light passes twice: its luminance
    /// counts with the square of the transmission. Over it lies what the glass mirrors, 8 % at most (and
    /// no more than it does not let through, for no light is made in it). Both are physics. A rule of
    /// thumb is how bright that is which is mirrored: as bright as white in the light that the sign is
    /// in, such as a bright sky or a white wall, which is the worst that is common. Film on the inside
    /// counts as lit through the glass only, and film hides the interior.
    #[must_use]
    pub fn seen(film: f64, behind: f64, transmission: f64, glass: Glass) -> Self {
        let mirrored = MIRRORED.min(1.0 - transmission);
        let through = |luminance: f64| mirrored + transmission * transmission * luminance;
        Self {
            film: if glass == Glass::Inside {
                through(film)
            } else {
                film
            },
            ground: if glass == Glass::None {
                behind
            } else {
                through(behind)
            },
            glass,
        }
    }

    /// The lighter and the darker luminance.
    const fn ends(self) -> (f64, f64) {
        (self.film.max(self.ground), self.film.min(self.ground))
    }

    /// The contrast ratio of WCAG 2.2, from 1 to 21: (L1 + 0.05) / (L2 + 0.05), L1 the lighter.
    #[must_use]
    pub fn wcag(self) -> f64 {
        let (lighter, darker) = self.ends();
        (lighter + 0.05) / (darker + 0.05)
    }

    /// The contrast of light reflectance values as a share from 0 to 1: (B1 - B2) / B1, B1 the lighter,
    /// by the ADA guidelines and the proposal for ANSI A117.1; none where both are wholly black.
    #[must_use]
    pub fn lrv(self) -> Option<f64> {
        let (lighter, darker) = self.ends();
        (lighter > 0.0).then(|| (lighter - darker) / lighter)
    }

    /// Whether the film is lighter than its ground.
    #[must_use]
    pub const fn is_light_on_dark(self) -> bool {
        self.film > self.ground
    }

    /// How far lettering in this contrast reads, as a share of how far it reads in strong contrast: 1
    /// from [`ADVISED`] on, 0 without any contrast, between them the root of the contrast over
    /// [`ADVISED`].
    ///
    /// A rule of thumb, no published formula: the contrast at which a small thing is just seen goes with
    /// one over its area (Ricco's law, from memory), thus with the square of the distance.
    #[must_use]
    pub fn share(self) -> f64 {
        (self.lrv().unwrap_or_default() / ADVISED).min(1.0).sqrt()
    }

    /// All that is known about this contrast, for people.
    #[must_use]
    pub fn report(self) -> ContrastReport {
        let (lighter, _) = self.ends();
        let (lrv, wcag) = (self.lrv(), self.wcag());
        let shown = lrv.map(percent);
        let ratio = cut(wcag * 10.0) / 10.0;
        let mut notes = vec![say!(
            "The ratio of WCAG is made for screens, which shine by themselves. Film is seen by the light \
             that falls on it: there the ratio is a stand-in, and the contrast of light reflectance \
             values is the one made for signs."
        )];
        if self.glass != Glass::None {
            notes.push(
                say!("In a window by day: light passes the glass twice, and up to 8 % of a bright sky or a \
                      white wall is mirrored in it. How bright that is, is a rule of thumb. By night, with \
                      light inside, it is another picture."),
            );
        }
        ContrastReport {
            film_reflectance: percent(self.film),
            ground_reflectance: percent(self.ground),
            lrv: shown,
            lrv_text: shown.map_or(say!("none: both are black").to_owned(), |shown| {
                decimals(shown, 0) + " %"
            }),
            wcag: ratio,
            wcag_text: decimals(ratio, 1) + " : 1",
            meets_advice: lrv.is_some_and(|lrv| lrv + GUARD >= ADVISED),
            light_enough: lighter + GUARD >= LIGHTER,
            meets_graphics: wcag + GUARD >= WCAG_GRAPHICS,
            light_on_dark: self.is_light_on_dark(),
            notes,
        }
    }
}

/// The contrast of a decal, for people. Figures are cut, never rounded up, so that none looks as if it
/// met what it misses.
#[expect(
    clippy::struct_excessive_bools,
    reason = "each answers a question of its own"
)]
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "camelCase")]
pub struct ContrastReport {
    /// The film's light reflectance value as it is seen, in whole percent.
    pub film_reflectance: f64,
    /// The ground's light reflectance value, in whole percent.
    pub ground_reflectance: f64,
    /// The contrast of both in whole percent; none where both are wholly black.
    pub lrv: Option<f64>,
    /// The same for people.
    pub lrv_text: String,
    /// The contrast ratio of WCAG, to one decimal.
    pub wcag: f64,
    /// The same for people: `4.5 : 1`.
    pub wcag_text: String,
    /// Whether the contrast is at least [`ADVISED`].
    pub meets_advice: bool,
    /// Whether the lighter of both is at least [`LIGHTER`].
    pub light_enough: bool,
    /// Whether the ratio is at least [`WCAG_GRAPHICS`].
    pub meets_graphics: bool,
    /// Whether the film is lighter than its ground.
    pub light_on_dark: bool,
    /// What the figures presume.
    pub notes: Vec<&'static str>,
}

/// A share in whole percent, cut.
fn percent(share: f64) -> f64 {
    cut(share * 100.0)
}

fn cut(number: f64) -> f64 {
    (number + GUARD).floor()
}

/// The relative luminance of a colour of a screen, 0 to 1, by WCAG 2.2: 0.2126 R + 0.7152 G + 0.0722 B
/// of the sRGB channels made linear.
#[must_use]
pub fn luminance(colour: [u8; 3]) -> f64 {
    let [red, green, blue] = colour.map(|channel| linear(f64::from(channel) / 255.0));
    0.2126 * red + 0.7152 * green + 0.0722 * blue
}

/// Film and ground as a screen shows them: in the colours that are told, or else as greys as light as they
/// are seen.
#[must_use]
pub fn on_screen(input: &ContrastInput, contrast: Contrast) -> [[u8; 3]; 2] {
    let grey = |seen: f64| {
        let mut channel = 0;
        while channel < u8::MAX && luminance([channel; 3]) < seen {
            channel += 1;
        }
        [channel; 3]
    };
    let told = |colour: &Option<String>, seen| {
        let asked = input.by == By::Colours && input.glass == Glass::None;
        let colour = colour.as_deref().filter(|_| asked).and_then(colour_of);
        colour.unwrap_or_else(|| grey(seen))
    };
    [
        told(&input.film, contrast.film),
        told(&input.ground, contrast.ground),
    ]
}

/// An sRGB channel, 0 to 1, made linear, with the knee at 0.04045 as WCAG 2.2 prints it.
fn linear(channel: f64) -> f64 {
    if channel <= 0.04045 {
        return channel / 12.92;
    }
    let base = (channel + 0.055) / 1.055;
    let root = fifth_root(base);
    base * base * root * root
}

/// The fifth root of a number from 0.09 to 1, by Newton from above, which eight steps bring to the last
/// digits. The general power would bring tables and more code than all of this file.
fn fifth_root(number: f64) -> f64 {
    let mut root = 1.0_f64;
    for _ in 0..8 {
        let square = root * root;
        root = (4.0 * root + number / (square * square)) / 5.0;
    }
    root
}

/// Reads the luminance of film or ground by one of two members, whose names these are; white where
/// neither is asked for.
fn surface(
    checks: &mut Checks,
    by: By,
    colour: Option<&String>,
    reflectance: Option<&NumberInput>,
    [name_of_colour, name_of_reflectance]: [&'static str; 2],
) -> f64 {
    if by == By::Strong {
        return WHITE;
    }
    if by == By::Reflectances {
        return hundredths(checks, reflectance, name_of_reflectance, None);
    }
    let text = colour.map_or("", |colour| colour.trim());
    let read = colour_of(text).ok_or_else(|| {
        let (code, message) = if text.is_empty() {
            (Code::Missing, say!("no colour is entered"))
        } else {
            (Code::NotANumber, say!("this cannot be read as a colour"))
        };
        let hint = say!("write red, green and blue in digits to the base 16, like #cc2200 or #c20");
        InputError::new(code, message, hint).at(name_of_colour)
    });
    checks.take(read).map(luminance).unwrap_or_default()
}

/// The channels of six digits to the base 16, or of three that each stand for two of the same.
pub(crate) fn colour_of(text: &str) -> Option<[u8; 3]> {
    let text = text.trim();
    let digits = text.strip_prefix('#').unwrap_or(text);
    let mut value = 0_u32;
    for digit in digits.chars() {
        value = value << 4 | digit.to_digit(16)?;
    }
    match digits.len() {
        3 => value = (value & 0xf00) * 0x1100 + (value & 0xf0) * 0x110 + (value & 0xf) * 0x11,
        6 => {}
        _ => return None,
    }
    let [_, red, green, blue] = value.to_be_bytes();
    Some([red, green, blue])
}

/// Reads hundredths of light, 0 to 100, with or without a sign of percent, as a share; the lack of them
/// counts as `absent`, or is a mistake without it. Where there is a mistake the share is 1, which
/// nothing is reckoned with.
fn hundredths(
    checks: &mut Checks,
    input: Option<&NumberInput>,
    path: &'static str,
    absent: Option<f64>,
) -> f64 {
    let read = NumberInput::between(input, path, '%', [0.0, 100.0]);
    let read = read.and_then(|percent| {
        let missing = || {
            let hint = say!("write which share of the light it is, from 0 to 100 %");
            InputError::new(Code::Missing, say!("nothing is entered here"), hint).at(path)
        };
        percent.or(absent).ok_or_else(missing)
    });
    checks.take(read).map_or(1.0, |percent| percent / 100.0)
}

#[cfg(test)]
mod tests {
    use super::{fifth_root, linear};

    /// The standard library's power, over every base that a channel gives.
    #[test]
    fn the_power_is_right_to_its_last_digits() {
        for step in 0..=10_000 {
            let number = 0.09 + 0.91 * f64::from(step) / 10_000.0;
            let is = number * number * fifth_root(number) * fifth_root(number);
            assert!((is - number.powf(2.4)).abs() <= 1e-15, "{number}: {is}");
        }
    }

    /// Below the knee a straight line, above it the power; they meet there to within 1e-7 (IEC
    /// 61966-2-1 rounds its constants). With the knee that WCAG printed before 2021 no channel of eight
    /// bits is on the other side.
    #[test]
    fn the_knee_is_where_wcag_prints_it() {
        let power = |channel: f64| ((channel + 0.055) / 1.055).powf(2.4);
        assert!((linear(0.04045) - 0.04045 / 12.92).abs() < 1e-18);
        assert!((linear(0.04046) - power(0.04046)).abs() < 1e-15);
        assert!((power(0.04045) - 0.04045 / 12.92).abs() < 1e-7);
        assert!((0..=255).all(|channel| {
            let channel = f64::from(channel) / 255.0;
            (channel <= 0.04045) == (channel <= 0.03928)
        }));
    }
}
