//! The eye: its sharpness, and the angle under which it sees a letter.

use crate::error::{Code, InputError};
use crate::measure::{Angle, Length, Unit, decimals, number, plain};
use say::say;

/// The angle over the whole height of a letter that acuity 20/20 can just tell apart, in minutes of
/// arc: five strokes of one minute each, as letters of eye charts are drawn. From memory.
const LETTER_AT_20_20: f64 = 5.0;

/// Whole parts into which [`Ratio`] divides a tangent: fine enough that 10 km are right to 20 nm.
const PARTS: i64 = 1_000_000_000_000_000;

/// How sharply somebody sees: the smallest detail told apart, in minutes of arc.
///
/// It is written as a fraction of two distances (20/40 in feet, 6/12 in metres) or as its decimal
/// (0.5): such a person reads from 20 ft what acuity 20/20 reads from 40 ft.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Acuity {
    detail: f64,
}

impl Default for Acuity {
    /// 20/40, twice the detail of 20/20: the reader that a sign should still reach.
    fn default() -> Self {
        Self { detail: 2.0 }
    }
}

impl Acuity {
    /// 20/20, the standard of eye charts.
    pub const STANDARD: Self = Self { detail: 1.0 };

    /// Reads an acuity as people write it: `20/40`, `6/12`, `6/7.5`, `0.5`. Nothing at all stands
    /// for [`Acuity::default`].
    ///
    /// # Errors
    /// [`Code::NotANumber`]; [`Code::TooLarge`] for eyes better than 20/10 and [`Code::TooSmall`]
    /// for eyes worse than 20/400.
    ///
    /// # Examples
    /// ```
    /// use decal_reckoner::legibility::eye::Acuity;
    ///
    /// assert_eq!(Acuity::parse("6/12")?, Acuity::parse("0.5")?);
    /// # Ok::<(), decal_reckoner::error::InputError>(())
    /// ```
    pub fn parse(text: &str) -> Result<Self, InputError> {
        let hint = say!("write it like 20/40, 6/12 or 0.5, from 20/400 to 20/10");
        let plain = plain(text);
        if plain.trim().is_empty() {
            return Ok(Self::default());
        }
        let (own, normal) = plain.split_once('/').unwrap_or((&plain, "1"));
        let unread = || {
            InputError::new(
                Code::NotANumber,
                say!("this cannot be read as an acuity"),
                hint,
            )
        };
        let part = |part: &str| match number(part, hint) {
            Ok((negative, part)) => Ok(if negative { 0.0 } else { part.to_f64() }),
            Err(_) => Err(unread()),
        };
        // A second stroke would be read as a fraction of its own.
        if normal.bytes().any(|byte| byte == b'/') {
            return Err(unread());
        }
        let (own, normal) = (part(own)?, part(normal)?);
        if own <= 0.0 || normal <= 0.0 {
            let message = say!("an acuity is above zero");
            return Err(InputError::new(Code::TooSmall, message, hint));
        }
        let detail = normal / own;
        if detail < 0.5 {
            let message = say!("sharper than 20/10, the sharpest reckoned with");
            Err(InputError::new(Code::TooLarge, message, hint))
        } else if detail > 20.0 {
            let message = say!("weaker than 20/400, the weakest reckoned with");
            Err(InputError::new(Code::TooSmall, message, hint))
        } else {
            Ok(Self { detail })
        }
    }

    /// The angle over the whole height of a letter that these eyes can just tell apart.
    #[must_use]
    pub fn letter(self) -> Angle {
        Angle::arcmin(LETTER_AT_20_20 * self.detail)
    }

    /// The smallest detail that these eyes tell apart, in minutes of arc; 1 for 20/20.
    #[must_use]
    pub const fn detail(self) -> f64 {
        self.detail
    }

    /// `20/40` for people who count in feet, `6/12` for the others.
    #[must_use]
    pub fn text(self, unit: Unit) -> String {
        let own = if unit.is_imperial() { 20 } else { 6 };
        format!("{own}/{}", decimals(f64::from(own) * self.detail, 1))
    }
}

/// How much letter height a stretch of distance takes: `height` to `distance`, as whole numbers, so
/// that a height found from a distance and a distance found from a height undo each other exactly.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Ratio {
    height: i64,
    distance: i64,
}

impl Ratio {
    /// One of letter height for every `distance`; `distance` is above zero.
    #[must_use]
    pub const fn one_to(distance: i64) -> Self {
        Self {
            height: 1,
            distance,
        }
    }

    /// Letters that fill `angle` when they are looked at straight on: h = 2 d tan(a/2), the
    /// geometry of the visual angle. The tangent is rounded up once, here, to 15 decimals.
    #[must_use]
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_precision_loss,
        reason = "the parts are a whole number of 53 bits, and angles of reading are small"
    )]
    pub fn of_angle(angle: Angle) -> Self {
        let height = 2.0 * tangent(angle.radians() / 2.0) * PARTS as f64;
        Self {
            height: (height.ceil() as i64).max(1),
            distance: PARTS,
        }
    }

    /// Distance over height: 360 for 30 ft to the inch.
    #[must_use]
    #[expect(
        clippy::cast_precision_loss,
        reason = "printed to one decimal, never summed"
    )]
    pub fn times(self) -> f64 {
        self.distance as f64 / self.height as f64
    }

    /// The angle that such letters fill, seen straight on.
    #[must_use]
    pub fn angle(self) -> Angle {
        Angle::arcmin((0.5 / self.times()).atan().to_degrees() * 120.0)
    }

    /// The height that `distance` takes, rounded up to a nanometre.
    #[must_use]
    pub fn height(self, distance: Length) -> Length {
        distance.scaled_up(self.height, self.distance)
    }

    /// The distance that `height` serves, rounded down to a nanometre.
    #[must_use]
    pub fn distance(self, height: Length) -> Length {
        let product = i128::from(height.nm()) * i128::from(self.distance);
        let quotient = product.div_euclid(i128::from(self.height));
        Length::from_nm(i64::try_from(quotient).unwrap_or(Length::MAX.nm()))
    }
}

/// The cosine of an angle of up to a right one, in degrees: with t the tangent of its half,
/// (1 - t²) / (1 + t²).
#[must_use]
pub fn cosine(degrees: f64) -> f64 {
    let t = tangent(degrees.to_radians() / 2.0);
    ((1.0 - t * t) / (1.0 + t * t)).max(0.0)
}

/// The tangent of half an angle of reading, in radians: the sine over the cosine, each summed from its
/// series. Up to half a right angle what is left out is below the last digit. The general function
/// would bring 6 KB for angles that nothing is read under.
fn tangent(half: f64) -> f64 {
    let square = half * half;
    let (mut sine, mut cosine) = (1.0, 1.0);
    for step in (1..=10).rev() {
        let even = f64::from(2 * step);
        sine = 1.0 - square / (even * (even + 1.0)) * sine;
        cosine = 1.0 - square / ((even - 1.0) * even) * cosine;
    }
    half * sine / cosine
}

/// The angle that a letter of `height` fills from `distance`, seen straight on: 2 atan(h / 2d).
#[must_use]
pub fn angle(height: Length, distance: Length) -> Angle {
    Angle::arcmin(minutes(height.to_f64(Unit::M), distance.to_f64(Unit::M)))
}

/// The same in minutes of arc, of height and distance in one unit.
pub(super) fn minutes(height: f64, distance: f64) -> f64 {
    (height / (2.0 * distance)).atan().to_degrees() * 120.0
}

#[cfg(test)]
mod tests {
    use super::{cosine, tangent};

    /// The standard library's tangent, over every angle that anything is read under and far beyond.
    #[test]
    fn the_tangent_is_right_to_its_last_digits() {
        for step in 0..=10_000 {
            let half = f64::from(step) * std::f64::consts::FRAC_PI_4 / 10_000.0;
            let known = half.tan();
            assert!(
                (tangent(half) - known).abs() <= 2.0 * f64::EPSILON * known,
                "{half}"
            );
        }
    }
    #[test]
    fn the_cosine_is_that_of_the_standard_library() {
        for step in 0..=900 {
            let degrees = f64::from(step) / 10.0;
            let known = degrees.to_radians().cos().max(0.0);
            assert!((cosine(degrees) - known).abs() <= 4e-16, "{degrees}");
        }
    }
}
