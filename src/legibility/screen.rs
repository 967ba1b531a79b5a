//! The lettering on the reader's own screen, as large as it looks from where it is to be read.
//!
//! How many pixels of the screen make a millimetre is measured once, with a bank card or a ruler. What
//! is drawn for an eye at arm's length then fills the same angle as the decal does from afar (similar
//! triangles). Beside it stands what weaker eyes make of it: a blur that is reckoned from their acuity.

use super::contrast::on_screen;
use super::eye::{self, Acuity, Ratio};
use super::{LegibilityInput, Viewing, figure, reach};
use crate::decal::{Decal, Face};
use crate::drawing::{self, Element, number};
use crate::error::{Checks, Code, InputError, InputErrors};
use crate::input::read_by_members;
use crate::measure::{
    Angle, Length, LengthInput, NumberInput, Range, Unit, decimals, decimals_with_point, optional,
};
use say::say;
use serde::Serialize;

/// The long side of a bank card: ISO/IEC 7810, size ID-1, from memory; the short side is 53.98 mm.
pub const CARD: Length = Length::from_nm(85_600_000);

/// How many of the pixels that a screen really has make a millimetre of it.
///
/// A browser's zoom changes how many of them a CSS pixel has, which `devicePixelRatio` tells, but not
/// how large they are: a scale holds at any zoom.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct ScreenScale {
    per_mm: f64,
}

impl ScreenScale {
    /// So many pixels to the millimetre; none for what no screen has, which is less than a wall of
    /// lamps or more than a viewfinder.
    #[must_use]
    pub fn of(per_mm: f64) -> Option<Self> {
        let [least, most] = SCALES;
        (least..=most).contains(&per_mm).then_some(Self { per_mm })
    }

    /// The scale of a screen on which something drawn `css` pixels long measures `length`, where each
    /// of them has `ratio` pixels of the screen.
    ///
    /// # Errors
    /// [`Code::DoesNotFit`] where no screen has such pixels.
    ///
    /// # Examples
    /// ```
    /// use decal_reckoner::legibility::screen::{CARD, ScreenScale};
    ///
    /// // On a screen with 4 pixels to the millimetre a card is 342.4 of them long.
    /// let scale = ScreenScale::measured(342.4, 1.0, CARD)?;
    /// assert!((scale.per_mm() - 4.0).abs() < 1e-12);
    /// # Ok::<(), decal_reckoner::error::InputError>(())
    /// ```
    pub fn measured(css: f64, ratio: f64, length: Length) -> Result<Self, InputError> {
        Self::of(css * ratio / length.to_f64(Unit::Mm)).ok_or_else(|| {
            InputError::new(
                Code::DoesNotFit,
                say!("no screen has pixels of such a size"),
                say!("write what the line measures from end to end, for example 2 in or 5 cm"),
            )
        })
    }

    /// What is taken where nothing was measured: 96 CSS pixels to the inch, as CSS defines them (CSS
    /// Values and Units Level 3, section 5.2) and few screens have them.
    #[must_use]
    pub fn guess(ratio: f64) -> Self {
        Self {
            per_mm: 96.0 * ratio / 25.4,
        }
    }

    /// Pixels of the screen in a millimetre.
    #[must_use]
    pub const fn per_mm(self) -> f64 {
        self.per_mm
    }

    /// How many CSS pixels long `length` is drawn, where each has `ratio` pixels of the screen.
    #[must_use]
    pub fn css(self, length: Length, ratio: f64) -> f64 {
        length.to_f64(Unit::Mm) * self.per_mm / ratio
    }

    /// The width of a pixel of the screen.
    fn pixel(self) -> Length {
        Length::from_metres(0.001 / self.per_mm).unwrap_or_default()
    }

    /// The angle that a pixel of the screen fills from `arm`.
    #[must_use]
    pub fn pixel_angle(self, arm: Length) -> Angle {
        eye::angle(self.pixel(), arm)
    }

    /// The least distance from which the screen shows all that these eyes tell apart: two pixels to
    /// the smallest detail (two samples to the half of a period, which is twice what the sampling
    /// theorem asks for at the least; the criterion is ours).
    #[must_use]
    pub fn fine_from(self, acuity: Acuity) -> Length {
        let half = Angle::arcmin(acuity.detail() / 2.0);
        Ratio::of_angle(half).distance(self.pixel()) + Length::from_nm(1)
    }
}

/// How large something of `size`, seen from `distance`, looks at arm's length: of similar triangles, to
/// the nanometre above. `distance` is above zero.
#[must_use]
pub fn at_arm(size: Length, arm: Length, distance: Length) -> Length {
    size.scaled_up(arm.nm(), distance.nm())
}

/// The blur of such eyes: the standard deviation of a Gaussian that leaves 5 % of the contrast of the
/// finest stripes that they tell apart.
///
/// These have a period of two details, f = 1 / 2m cycles to the minute of arc for a detail of m
/// minutes, and a Gaussian leaves exp(-2 pi² sigma² f²) of a contrast (its Fourier transform). So
/// sigma = m sqrt(2 ln 20) / pi = 0.779 m. That 5 % are just seen is a model of ours.
#[must_use]
pub fn blur(acuity: Acuity) -> Angle {
    Angle::arcmin(0.779_142_015_080_745_1 * acuity.detail())
}

read_by_members! {
    /// What is asked about the look of a decal on a screen.
    #[derive(Clone, Debug, Default, PartialEq)]
    pub struct SightInput {
        /// The decal, from where it is read, and by whose eyes. Without a distance it is looked at from
        /// the greatest from which it can be read.
        pub legibility: LegibilityInput = default,
        /// From the eye to the screen; 24 in or 60 cm if left out (common practice).
        pub arm: Option<LengthInput> = default,
        /// Pixels of the screen in a millimetre, [`ScreenScale`]; where it is left out nothing is said
        /// of them.
        pub scale: Option<NumberInput> = default,
        /// The height of a capital in the screen's plain face as a share of its type size; 0.72 if left
        /// out.
        pub cap_height: Option<NumberInput> = default,
        /// The width of an I of that face as a share of its type size; 0.148 if left out.
        pub stem: Option<NumberInput> = default,
        /// The same of its script face.
        pub script_cap_height: Option<NumberInput> = default,
        /// What the printed bar of [`SightReport::bar`] measures; may be left out.
        pub bar: Option<LengthInput> = default,
    }
}

/// Arms, and screens on a wall.
const ARM: Range = Range::new(Length::whole(10, Unit::Cm), Length::whole(10, Unit::M));

/// A bar that a printer has made a tenth as long, or ten times.
const BAR: Range = Range::new(Length::whole(1, Unit::Cm), Length::whole(1, Unit::M));

/// How the decal looks on a screen.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "camelCase")]
pub struct SightReport {
    /// From where it is seen.
    pub distance: String,
    /// Whether that is the greatest distance from which it can be read, for want of another one.
    pub reached: bool,
    /// From the eye to the screen.
    pub arm: String,
    /// The height of a letter at arm's length.
    pub letter: String,
    /// The angle that it fills, in minutes of arc.
    pub angle: String,
    /// The eyes: `20/40`.
    pub acuity: String,
    /// The smallest detail that they tell apart, in minutes of arc.
    pub detail: String,
    /// The width of a stroke of the letters, in minutes of arc, of a script only where it was measured.
    pub stroke: Option<String>,
    /// The standard deviation of their [`blur`], in minutes of arc.
    pub blur: String,
    /// The same in hundredths of the letter height.
    pub share: String,
    /// The same for eyes of 20/20; none where these are such.
    pub normal: Option<String>,
    /// What of it the screen is too coarse to show.
    pub coarse: Option<String>,
    /// The length of the bar against which a print is held.
    pub bar: String,
    /// By how many hundredths the print is as large as it should be.
    pub printed: Option<String>,
    /// At how many hundredths it has to be printed.
    pub print_at: Option<String>,
    #[serde(skip)]
    drawings: Element,
}

impl SightReport {
    /// The drawings, as the children of one element: the decal as large as it looks at arm's length; it
    /// enlarged, as these eyes see it; it at its actual size; the bar; and it enlarged as eyes of 20/20
    /// see it, unless these are such.
    ///
    /// Those of a size are as wide and high as they say in `em`, where one `em` is a centimetre.
    #[must_use]
    pub fn drawings(&self) -> Element {
        self.drawings.clone()
    }
}

/// How the decal looks on a screen.
///
/// # Errors
/// Those of [`super::report`] under `legibility`; every other member that cannot be read.
pub fn sight(input: &SightInput) -> Result<SightReport, InputErrors> {
    let legibility = &input.legibility;
    let unit = legibility.unit;
    let mut checks = Checks::default();
    let read = super::read(legibility).map_err(|errors| errors.within("legibility"));
    let read = checks.take(read);
    let arm = checks.take(optional(input.arm.as_ref(), "arm", unit, ARM));
    let bar = checks.take(optional(input.bar.as_ref(), "bar", unit, BAR));
    let mut share = |input: Option<&NumberInput>, path, range: [f64; 2]| {
        let read = NumberInput::between(input, path, ' ', range);
        checks.take(read).flatten()
    };
    let scale = share(input.scale.as_ref(), "scale", SCALES);
    let plain = share(input.cap_height.as_ref(), "capHeight", CAP_HEIGHT);
    let stem = share(input.stem.as_ref(), "stem", [0.01, 0.5]);
    let script = share(
        input.script_cap_height.as_ref(),
        "scriptCapHeight",
        CAP_HEIGHT,
    );
    let (decal, viewing) = checks.finish(read.unwrap_or_default())?;
    let arm = arm.flatten().unwrap_or(if unit.is_imperial() {
        Length::whole(24, Unit::In)
    } else {
        Length::whole(60, Unit::Cm)
    });
    let is_script = decal.face() == Face::Script;
    let [film, ground] = colours(legibility, &viewing);
    let plain = plain.unwrap_or(0.72);
    let painter = Painter {
        decal: &decal,
        cap_height: if is_script {
            script.unwrap_or(0.72)
        } else {
            plain
        },
        // About that of common faces, from memory.
        stem: (!is_script).then(|| (stem.unwrap_or(0.148) / plain).min(0.6)),
        film,
        ground,
    };
    Ok(painter.report(
        &viewing,
        arm,
        scale.and_then(ScreenScale::of),
        bar.flatten(),
        unit,
    ))
}

/// Capitals of the faces that screens have: from those of a delicate script to those of a face without
/// small letters.
const CAP_HEIGHT: [f64; 2] = [0.2, 1.5];

/// Pixels in a millimetre, of a wall of lamps and of a viewfinder.
const SCALES: [f64; 2] = [0.2, 100.0];

/// The colours of the film and of what is behind it; dark on light where nothing is told.
fn colours(input: &LegibilityInput, viewing: &Viewing) -> [String; 2] {
    let Some(contrast) = viewing.contrast else {
        return ["#16232b", "#fffdf6"].map(str::to_owned);
    };
    on_screen(&input.contrast, contrast).map(|colour| {
        let mut text = "#".to_owned();
        for channel in colour {
            for digit in [channel >> 4, channel & 15] {
                text.extend(char::from_digit(digit.into(), 16));
            }
        }
        text
    })
}

/// What is drawn, and in which colours; everything in millimetres of the decal.
struct Painter<'a> {
    decal: &'a Decal,
    /// Of the face on the screen, as a share of the type size.
    cap_height: f64,
    /// The width of a stem of that face as a share of the height of its capitals, where it is plain.
    stem: Option<f64>,
    film: String,
    ground: String,
}

impl Painter<'_> {
    fn report(
        &self,
        viewing: &Viewing,
        arm: Length,
        scale: Option<ScreenScale>,
        bar: Option<Length>,
        unit: Unit,
    ) -> SightReport {
        let decal = self.decal;
        let letter = decal.letter_height();
        let acuity = viewing.acuity;
        // Where no rule lets it be read from anywhere, from where such eyes can just tell its letters.
        let distance = viewing.distance.unwrap_or_else(|| {
            let told = || Ratio::of_angle(acuity.letter()).distance(letter);
            reach(decal, viewing).unwrap_or_else(told)
        });
        let distance = distance.max(Length::whole(1, Unit::Mm));
        let far = viewing.distance.map_or_else(
            || figure::distance(distance, unit).text,
            |wanted| wanted.text(unit.for_distance()),
        );
        let angle = eye::angle(letter, distance).to_arcmin();
        let high = letter.to_f64(Unit::Mm);
        let stroke = decal.stroke().map(|stroke| stroke.to_f64(Unit::Mm) / high);
        let stroke = stroke.or(self.stem);
        let of_letter = |acuity| blur(acuity).to_arcmin() / angle;
        let percent = |share: f64| decimals(share * 100.0, u32::from(share < 0.1));
        let normal = Acuity::STANDARD;
        let normal = (acuity != normal).then(|| of_letter(normal));
        let length = if unit.is_imperial() {
            Length::whole(4, Unit::In)
        } else {
            Length::whole(10, Unit::Cm)
        };
        let printed = bar.map(|bar| bar.to_f64(Unit::Mm) / length.to_f64(Unit::Mm));
        let ratio = arm.to_f64(Unit::Mm) / distance.to_f64(Unit::Mm);
        let mut drawings = Element::new("g")
            .child(self.drawn(Some(ratio), say!("The decal as it looks from {far}")))
            .child(self.blurred("sight-own", of_letter(acuity) * high, acuity, unit))
            .child(self.drawn(Some(1.0), say!("The decal at its actual size").to_owned()))
            .child(drawn_bar(length, unit));
        if let Some(normal) = normal {
            drawings =
                drawings.child(self.blurred("sight-normal", normal * high, Acuity::STANDARD, unit));
        }
        SightReport {
            distance: far,
            reached: viewing.distance.is_none(),
            arm: arm.text(unit.for_size()),
            letter: fine(at_arm(letter, arm, distance), unit),
            angle: decimals(angle, 2),
            acuity: acuity.text(unit),
            detail: decimals(acuity.detail(), 2),
            stroke: stroke.map(|stroke| decimals(stroke * angle, 2)),
            blur: decimals(blur(acuity).to_arcmin(), 2),
            share: percent(of_letter(acuity)),
            normal: normal.map(percent),
            coarse: scale.and_then(|scale| too_coarse(scale, arm, acuity, unit)),
            bar: length.text(if unit.is_imperial() { unit } else { Unit::Mm }),
            printed: printed.map(|share| decimals(share * 100.0, 1)),
            print_at: printed.map(|share| decimals(100.0 / share, 1)),
            drawings,
        }
    }

    /// The picture of the decal around `content`, so many times as large as the decal, if of a size.
    fn picture(&self, times: Option<f64>, label: String, content: Vec<Element>) -> Element {
        let (wide, high) = self.size();
        let mut picture = Element::new("svg")
            .with("viewBox", format!("0 0 {} {}", number(wide), number(high)))
            .with("role", "img")
            .with("aria-label", label);
        if let Some(times) = times {
            picture = picture
                .with("width", centimetres(wide * times))
                .with("height", centimetres(high * times));
        }
        picture.children(content)
    }

    fn size(&self) -> (f64, f64) {
        let [wide, high] =
            [self.decal.width(), self.decal.height()].map(|side| side.to_f64(Unit::Mm));
        (wide, high)
    }

    /// The decal with nothing around it.
    fn drawn(&self, times: Option<f64>, label: String) -> Element {
        let mut content = vec![self.ground(0.0)];
        content.extend(self.letters());
        self.picture(times, label, content)
    }

    /// The decal through a blur of so many millimetres; what is behind it goes on around it.
    fn blurred(&self, id: &'static str, sigma: f64, acuity: Acuity, unit: Unit) -> Element {
        let (wide, high) = self.size();
        // By then all of it is one grey.
        let sigma = sigma.min(wide.max(high) / 2.0);
        let around = sigma * 3.0;
        let blur =
            Element::new("feGaussianBlur").with("stdDeviation", decimals_with_point(sigma, 5));
        // Light is blurred, not its figures: the filter's colours are linear, as SVG has them where
        // nothing else is said.
        let filter = framed(Element::new("filter"), around, (wide, high))
            .with("id", id)
            .with("filterUnits", "userSpaceOnUse")
            .child(blur);
        let seen = Element::new("g")
            .with("filter", format!("url(#{id})"))
            .child(self.ground(around))
            .children(self.letters());
        let label = say!(
            "The decal as eyes of {acuity} see it",
            acuity = acuity.text(unit)
        );
        self.picture(None, label, vec![filter, seen])
    }

    /// What is behind the letters, so far beyond the decal.
    fn ground(&self, around: f64) -> Element {
        framed(Element::new("rect"), around, self.size()).with("fill", self.ground.clone())
    }

    /// The lines, spread evenly over the height, their capitals as high as they are cut.
    ///
    /// The face is what the screen has. Where a stroke was measured, the letters are painted around in
    /// the colour of the ground, or in their own, so that a stem of the bold face becomes as wide: of
    /// letters of the height H + w, of which the paint takes w/2 on every side, the stem b (H + w) - w
    /// is s H for w = H (b - s) / (1 - b).
    fn letters(&self) -> Vec<Element> {
        let decal = self.decal;
        let (wide, high) = self.size();
        let letter = decal.letter_height().to_f64(Unit::Mm);
        let share = |part: Option<Length>| part.map(|part| part.to_f64(Unit::Mm));
        let script = decal.face() == Face::Script;
        let painted = share(decal.stroke()).zip(self.stem);
        let paint = painted.map_or(0.0, |(stroke, stem)| {
            (stem * letter - stroke) / (1.0 - stem)
        });
        let size = (letter + paint) / self.cap_height;
        let (family, weight) = if script {
            ("cursive", "400")
        } else {
            ("Arial, Helvetica, sans-serif", "700")
        };
        let words = decal.words();
        let nothing = ["I".to_owned()];
        let lines = if words.lines().is_empty() {
            &nothing
        } else {
            words.lines()
        };
        #[expect(clippy::cast_precision_loss, reason = "at most 200 characters")]
        let count = |count: usize| count as f64;
        let condensed = (decal.face() == Face::Condensed).then_some(letter * 3.0 / 7.0);
        let letter_width = share(decal.letter_width()).or(condensed);
        let gap = share(decal.letter_gap()).unwrap_or(letter / 7.0);
        let mut drawn = Vec::new();
        for (line, base) in lines.iter().zip(words.baselines(letter, high)) {
            let mut text = Element::new("text")
                .with("x", number(wide / 2.0))
                .with("y", number(base + paint / 2.0))
                .with("text-anchor", "middle")
                .with("font-size", decimals_with_point(size, 5))
                .with("font-family", family)
                .with("font-weight", weight)
                // At a few pixels, too, letters are as wide as they are drawn.
                .with("text-rendering", "geometricPrecision")
                .with("fill", self.film.clone());
            if paint != 0.0 {
                let colour = if paint > 0.0 {
                    &self.ground
                } else {
                    &self.film
                };
                text = text
                    .with("stroke", colour.clone())
                    .with("stroke-width", number(paint.abs()));
            }
            let fit = wide * 0.96;
            let length = letter_width.map_or_else(
                || Some(fit).filter(|fit| natural(line) * size > *fit),
                |one| {
                    let letters = count(line.chars().count());
                    Some((letters * (one + gap) - gap).min(fit))
                },
            );
            if let Some(length) = length {
                text = text
                    .with("textLength", number(length))
                    .with("lengthAdjust", "spacingAndGlyphs");
            }
            drawn.push(text.text(line.as_str()));
        }
        drawn
    }
}

/// About how wide a line of a bold plain face is, in its type size.
fn natural(line: &str) -> f64 {
    let widths = line.chars().map(|letter| match letter {
        'I' | 'f' | 'i' | 'j' | 'l' | 'r' | 't' | ' ' | '.' | ',' | '-' => 0.32,
        'A'..='Z' => 0.72,
        _ => 0.6,
    });
    widths.sum()
}

/// An element that begins so far outside of a corner and is so much larger.
fn framed(element: Element, around: f64, (wide, high): (f64, f64)) -> Element {
    element
        .with("x", number(-around))
        .with("y", number(-around))
        .with("width", number(wide + 2.0 * around))
        .with("height", number(high + 2.0 * around))
}

/// So many millimetres, where one `em` is a centimetre.
fn centimetres(mm: f64) -> String {
    decimals_with_point(mm / 10.0, 5) + "em"
}

/// A bar of that length with divisions below it.
fn drawn_bar(length: Length, unit: Unit) -> Element {
    let (long, pad, high) = (length.to_f64(Unit::Mm), 2.0, 9.0);
    let width = long + 2.0 * pad;
    Element::new("svg")
        .with(
            "viewBox",
            format!("{} 0 {} {}", number(-pad), number(width), number(high)),
        )
        .with("width", centimetres(width))
        .with("height", centimetres(high))
        .with("role", "img")
        .with("aria-label", say!("A bar with the divisions of a ruler"))
        .child(
            Element::new("rect")
                .with("class", "bar")
                .with("width", number(long))
                .with("height", "1.5"),
        )
        .child(
            Element::new("g")
                .with("class", "ruler")
                .with("transform", "translate(0 1.5)")
                .with("stroke-width", "0.2")
                .children(drawing::ruler(long, 'x', unit, 3.6)),
        )
}

/// A length that may be far below a millimetre, in millimetres too.
fn fine(length: Length, unit: Unit) -> String {
    if length < Length::from_nm(10_000) {
        return say!("under 0.01 mm").to_owned();
    }
    let metric = decimals(length.to_f64(Unit::Mm), 2) + " mm";
    if unit.is_imperial() {
        let inches = decimals(length.to_f64(Unit::In), 3);
        format!("{inches} in ({metric})")
    } else {
        metric
    }
}

/// What such eyes tell apart and the screen cannot show, and from where it would.
fn too_coarse(scale: ScreenScale, arm: Length, acuity: Acuity, unit: Unit) -> Option<String> {
    let from = scale.fine_from(acuity);
    (from > arm).then(|| {
        let step = if unit.is_imperial() {
            Length::whole(1, Unit::In)
        } else {
            Length::whole(1, Unit::Cm)
        };
        say!(
            "A pixel of it is {pixel} arcmin wide from there, more than half of the {detail} arcmin that such \
             eyes tell apart. From {from} on it would do.",
            pixel = decimals(scale.pixel_angle(arm).to_arcmin(), 2),
            detail = decimals(acuity.detail(), 2),
            from = from.round_up(step).text(unit.for_size())
        )
    })
}
