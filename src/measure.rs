//! Lengths, areas, weights, speeds, times, dates and angles: exact inside, typed and printed as people
//! write them.

mod count;
mod date;
mod entry;
mod parse;
mod part;
mod speed;
mod weight;

use crate::error::{Code, InputError};
pub use count::{Count, pieces};
pub use date::Date;
pub use entry::{LengthInput, NumberInput, Range, optional, required};
pub(crate) use parse::{Number, ambiguous, number, plain, shown};
use parse::{UnitName, quantity};
use say::say;
use serde::{Deserialize, Serialize};
pub use speed::{Speed, seconds};
use std::ops::{Add, Mul, Sub};
pub use weight::Weight;

/// A unit in which lengths are typed and told; each is a whole number of nanometres.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "lowercase")]
pub enum Unit {
    /// The international inch, 25.4 mm exactly (international yard and pound agreement, 1959).
    #[default]
    In,
    /// The international foot, 12 in.
    Ft,
    /// The international yard, 3 ft.
    Yd,
    /// The millimetre.
    Mm,
    /// The centimetre.
    Cm,
    /// The metre.
    M,
}

impl Unit {
    /// Whole nanometres in one of this unit.
    #[must_use]
    pub const fn nanometres(self) -> i64 {
        match self {
            Self::In => 25_400_000,
            Self::Ft => 304_800_000,
            Self::Yd => 914_400_000,
            Self::Mm => 1_000_000,
            Self::Cm => 10_000_000,
            Self::M => 1_000_000_000,
        }
    }

    /// The sign of the unit: `in`, `cm`.
    #[must_use]
    pub const fn symbol(self) -> &'static str {
        match self {
            Self::In => "in",
            Self::Ft => "ft",
            Self::Yd => "yd",
            Self::Mm => "mm",
            Self::Cm => "cm",
            Self::M => "m",
        }
    }

    /// The unit of that sign.
    #[must_use]
    pub fn from_symbol(symbol: &str) -> Option<Self> {
        let all = [Self::In, Self::Ft, Self::Yd, Self::Mm, Self::Cm, Self::M];
        all.into_iter().find(|unit| unit.symbol() == symbol)
    }

    /// Whether the unit belongs to the inch, foot and yard.
    #[must_use]
    pub const fn is_imperial(self) -> bool {
        matches!(self, Self::In | Self::Ft | Self::Yd)
    }

    /// The unit in which people who use this one state how far away something is.
    #[must_use]
    pub const fn for_distance(self) -> Self {
        if self.is_imperial() {
            Self::Ft
        } else {
            Self::M
        }
    }

    /// The unit in which people who use this one state the size of a decal or of a piece of film.
    #[must_use]
    pub const fn for_size(self) -> Self {
        match self {
            Self::In | Self::Ft | Self::Yd => Self::In,
            Self::Mm | Self::M => Self::Mm,
            Self::Cm => Self::Cm,
        }
    }

    /// The unit of the other system in which an entry in this one is echoed.
    #[must_use]
    pub const fn for_echo(self) -> Self {
        match self {
            Self::In => Self::Mm,
            Self::Ft | Self::Yd => Self::M,
            Self::Mm | Self::Cm => Self::In,
            Self::M => Self::Ft,
        }
    }
}

/// Names of the units of length, in English and in Spanish, factors in nanometres.
const LENGTHS: &[UnitName] = &[
    UnitName {
        names: &[
            "in", "\"", "inch", "inches", "ins", "pulg", "pulgada", "pulgadas",
        ],
        factor: Unit::In.nanometres(),
    },
    UnitName {
        names: &["ft", "'", "foot", "feet", "pie", "pies"],
        factor: Unit::Ft.nanometres(),
    },
    UnitName {
        names: &["yd", "yds", "yard", "yards", "yarda", "yardas"],
        factor: Unit::Yd.nanometres(),
    },
    UnitName {
        names: &[
            "mm",
            "millimetre",
            "millimetres",
            "millimeter",
            "millimeters",
            "milimetro",
            "milimetros",
        ],
        factor: Unit::Mm.nanometres(),
    },
    UnitName {
        names: &[
            "cm",
            "centimetre",
            "centimetres",
            "centimeter",
            "centimeters",
            "centimetro",
            "centimetros",
        ],
        factor: Unit::Cm.nanometres(),
    },
    UnitName {
        names: &["m", "metre", "metres", "meter", "meters", "metro", "metros"],
        factor: Unit::M.nanometres(),
    },
    UnitName {
        names: &[
            "km",
            "kilometre",
            "kilometres",
            "kilometer",
            "kilometers",
            "kilometro",
            "kilometros",
        ],
        factor: 1_000 * Unit::M.nanometres(),
    },
    UnitName {
        names: &["mi", "mile", "miles", "milla", "millas"],
        factor: 1_760 * Unit::Yd.nanometres(),
    },
];

/// Names of the units of time, in English and in Spanish, factors in milliseconds.
const TIMES: &[UnitName] = &[
    UnitName {
        names: &[
            "s", "sec", "secs", "second", "seconds", "segundo", "segundos",
        ],
        factor: 1_000,
    },
    UnitName {
        names: &["min", "mins", "minute", "minutes", "minuto", "minutos"],
        factor: 60_000,
    },
    UnitName {
        names: &["h", "hr", "hrs", "hour", "hours", "hora", "horas"],
        factor: 3_600_000,
    },
];

/// A length in whole nanometres: 1/64 in and 0.001 mm are both exact.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub struct Length(i64);

impl Length {
    /// No length at all.
    pub const ZERO: Self = Self(0);

    /// The greatest length that any field takes: 10 km. Areas and sums of such lengths stay far
    /// inside their integers.
    pub const MAX: Self = Self(10_000_000_000_000);

    /// `count` whole nanometres.
    #[must_use]
    pub const fn from_nm(count: i64) -> Self {
        Self(count)
    }

    /// `count` whole units.
    #[must_use]
    pub const fn whole(count: i64, unit: Unit) -> Self {
        Self(count * unit.nanometres())
    }

    /// `numerator / denominator` inches, for the fractions that inch rules are divided by: halves to
    /// sixty-fourths, all exact.
    #[must_use]
    pub const fn inches(numerator: i64, denominator: i64) -> Self {
        Self(numerator * Unit::In.nanometres() / denominator)
    }

    /// The length in nanometres.
    #[must_use]
    pub const fn nm(self) -> i64 {
        self.0
    }

    /// The length as a floating-point number of `unit`; for physics and for output, not for sums.
    #[must_use]
    #[expect(
        clippy::cast_precision_loss,
        reason = "lengths up to Length::MAX are exact in 53 bits"
    )]
    pub fn to_f64(self, unit: Unit) -> f64 {
        self.0 as f64 / unit.nanometres() as f64
    }

    /// The nearest whole nanometre to a physical result, in metres; none where it is not finite or
    /// is longer than [`Length::MAX`].
    #[must_use]
    #[expect(clippy::cast_possible_truncation, reason = "checked against MAX")]
    pub fn from_metres(metres: f64) -> Option<Self> {
        let nanometres = (metres * 1e9).round();
        (nanometres.abs() <= Self::MAX.to_f64(Unit::M) * 1e9).then_some(Self(nanometres as i64))
    }

    /// Reads a length as people write it; a number without a unit counts in `bare`.
    ///
    /// Understood are decimals with point or comma, fractions (`5 1/4`, `5-1/4`, `5¼`), the units
    /// in, ft, yd, mm, cm, m by sign or by their English or Spanish names, and feet with inches
    /// (`4 ft 2 in`, `4' 2`). The result is rounded to the nearest nanometre, half away from zero. It
    /// may be negative or zero: what a field allows is said by [`Range`].
    ///
    /// # Errors
    /// [`Code::Missing`] for nothing, [`Code::NotANumber`], [`Code::UnknownUnit`],
    /// [`Code::Ambiguous`] for `1,125` where a comma may divide thousands, as it may in English, and
    /// [`Code::TooLarge`] beyond [`Length::MAX`].
    ///
    /// # Examples
    /// ```
    /// use decal_reckoner::measure::{Length, Unit};
    ///
    /// assert_eq!(Length::parse("133 mm", Unit::In)?, Length::whole(133, Unit::Mm));
    /// assert_eq!(Length::parse("5 1/4", Unit::In)?, Length::inches(21, 4));
    /// assert_eq!(Length::parse("4 ft 2 in", Unit::Mm)?, Length::inches(50, 1));
    /// # Ok::<(), decal_reckoner::error::InputError>(())
    /// ```
    pub fn parse(text: &str, bare: Unit) -> Result<Self, InputError> {
        let example = example(bare);
        let nanometres = quantity(text, LENGTHS, bare.nanometres(), example)?;
        i64::try_from(nanometres)
            .ok()
            .filter(|nm| nm.abs() <= Self::MAX.0)
            .map(Self)
            .ok_or_else(|| {
                InputError::new(
                    Code::TooLarge,
                    say!("this is too large"),
                    say!("write a length such as {example}"),
                )
            })
    }

    /// The number of `unit` for people, printed so that [`Length::parse`] of the same build reads back
    /// exactly this length: `5 1/4` where sixty-fourths of an inch serve, otherwise `5.236` or `133.35`.
    #[must_use]
    pub fn exact(self, unit: Unit) -> String {
        for_people(self.exact_with_point(unit))
    }

    /// The same for files, links and whatever else is read by builds in any language.
    #[must_use]
    pub fn exact_with_point(self, unit: Unit) -> String {
        if let Some(fraction) = self.inch_fraction().filter(|_| unit == Unit::In) {
            return fraction;
        }
        // Nine decimals of a foot or metre, eight of an inch and seven of a centimetre are finer
        // than a nanometre, and rounding to the nearest brings the same nanometre back.
        self.decimals(unit, 9)
    }

    /// The length for people, with its unit: inches in sixty-fourths where exact, otherwise to
    /// 0.001 in; 0.1 mm, 0.01 cm; feet and metres to 0.01.
    #[must_use]
    pub fn text(self, unit: Unit) -> String {
        for_people(self.text_with_point(unit))
    }

    /// The same for links, which are read by builds in any language.
    #[must_use]
    pub fn text_with_point(self, unit: Unit) -> String {
        let number = match unit {
            Unit::In => self
                .inch_fraction()
                .unwrap_or_else(|| self.decimals(unit, 3)),
            Unit::Mm => self.decimals(unit, 1),
            Unit::Ft | Unit::Yd | Unit::Cm | Unit::M => self.decimals(unit, 2),
        };
        format!("{number} {}", unit.symbol())
    }

    /// The number of this length in `unit`, and its text in the unit that sizes are stated in beside
    /// that.
    #[must_use]
    pub fn measured(self, unit: Unit) -> Measured {
        Measured {
            value: self.to_f64(unit),
            text: self.text(unit.for_size()),
        }
    }

    /// The next multiple of `step` that is not shorter, cut short where it would leave 64 bits; `step`
    /// is above zero.
    #[must_use]
    pub const fn round_up(self, step: Self) -> Self {
        Self((-(-self.0).div_euclid(step.0)).saturating_mul(step.0))
    }

    /// The next multiple of `step` that is not longer; `step` is above zero.
    #[must_use]
    pub const fn round_down(self, step: Self) -> Self {
        Self(self.0.div_euclid(step.0) * step.0)
    }

    /// This length times `numerator / denominator`, rounded up to a nanometre; cut short only where it
    /// would leave 64 bits, far beyond [`Length::MAX`]. `denominator` is above zero.
    #[must_use]
    pub fn scaled_up(self, numerator: i64, denominator: i64) -> Self {
        let product = i128::from(self.0) * i128::from(numerator);
        let quotient = -(-product).div_euclid(i128::from(denominator));
        Self(i64::try_from(quotient).unwrap_or(i64::MAX))
    }

    /// The same, rounded down.
    #[must_use]
    pub fn scaled_down(self, numerator: i64, denominator: i64) -> Self {
        let product = i128::from(self.0) * i128::from(numerator);
        let quotient = product.div_euclid(i128::from(denominator));
        Self(i64::try_from(quotient).unwrap_or(i64::MAX))
    }

    /// `5 1/4`, if the length is a whole number of sixty-fourths of an inch.
    fn inch_fraction(self) -> Option<String> {
        let sixty_fourth = Unit::In.nanometres() / 64;
        if self.0 % sixty_fourth != 0 {
            return None;
        }
        let sign = if self.0 < 0 { "-" } else { "" };
        let parts = (self.0 / sixty_fourth).abs();
        let (whole, part) = (parts / 64, parts % 64);
        if part == 0 {
            return Some(format!("{sign}{whole}"));
        }
        let twos = 1 << part.trailing_zeros();
        let (top, bottom) = (part / twos, 64 / twos);
        Some(if whole == 0 {
            format!("{sign}{top}/{bottom}")
        } else {
            format!("{sign}{whole} {top}/{bottom}")
        })
    }

    /// The number of `unit` with at most `places` decimals, rounded half away from zero.
    fn decimals(self, unit: Unit, places: u32) -> String {
        let scale = 10_i128.pow(places);
        let unit = i128::from(unit.nanometres());
        let rounded = (2 * i128::from(self.0).abs() * scale + unit) / (2 * unit);
        let sign = if self.0 < 0 && rounded > 0 { "-" } else { "" };
        // What is left of a length in whole units, and what is below one, each fit again.
        let [whole, part] = [rounded / scale, rounded % scale]
            .map(|number| i64::try_from(number).unwrap_or(i64::MAX));
        let part = format!("{part:0width$}", width = places as usize);
        let part = part.trim_end_matches('0');
        if part.is_empty() {
            format!("{sign}{whole}")
        } else {
            format!("{sign}{whole}.{part}")
        }
    }
}

/// How a right entry in `unit` looks.
const fn example(unit: Unit) -> &'static str {
    match unit {
        Unit::In => say!("5 1/4 in or 133 mm"),
        Unit::Ft | Unit::Yd => say!("40 ft or 12 m"),
        Unit::Mm => say!("133 mm or 5 1/4 in"),
        Unit::Cm => say!("13.3 cm or 5 1/4 in"),
        Unit::M => say!("12 m or 40 ft"),
    }
}

impl Add for Length {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self(self.0 + other.0)
    }
}

impl Sub for Length {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self(self.0 - other.0)
    }
}

impl Mul<i64> for Length {
    type Output = Self;
    fn mul(self, count: i64) -> Self {
        Self(self.0 * count)
    }
}

impl Mul for Length {
    type Output = Area;
    fn mul(self, other: Self) -> Area {
        Area(i128::from(self.0) * i128::from(other.0))
    }
}

/// An area in whole square nanometres.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub struct Area(i128);

impl Area {
    /// The area in square nanometres.
    #[must_use]
    pub const fn nm2(self) -> i128 {
        self.0
    }

    /// `count` times this area.
    #[must_use]
    pub const fn times(self, count: i128) -> Self {
        Self(self.0 * count)
    }

    /// The area as a floating-point number of square `unit`s; for output.
    #[must_use]
    #[expect(
        clippy::cast_precision_loss,
        reason = "an area is printed, not summed, from here on"
    )]
    pub fn to_f64(self, unit: Unit) -> f64 {
        let unit = unit.nanometres() as f64;
        self.0 as f64 / (unit * unit)
    }

    /// The area for people, in square inches or square centimetres, to three figures or the whole.
    #[must_use]
    pub fn text(self, unit: Unit) -> String {
        let (unit, name) = if unit.is_imperial() {
            (Unit::In, say!("sq in"))
        } else {
            (Unit::Cm, "cm²")
        };
        let number = self.to_f64(unit);
        let places = if number >= 100.0 {
            0
        } else if number >= 10.0 {
            1
        } else {
            2
        };
        let number = decimals(number, places);
        format!("{number} {name}")
    }
}

/// A plane angle, kept in radians; for physics.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Angle {
    radians: f64,
}

impl Angle {
    /// `minutes` of arc, sixtieths of a degree.
    #[must_use]
    pub fn arcmin(minutes: f64) -> Self {
        Self {
            radians: (minutes / 60.0).to_radians(),
        }
    }

    /// The angle in radians.
    #[must_use]
    pub const fn radians(self) -> f64 {
        self.radians
    }

    /// The angle in minutes of arc.
    #[must_use]
    pub fn to_arcmin(self) -> f64 {
        self.radians.to_degrees() * 60.0
    }
}

/// A time of work in whole milliseconds.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub struct Time(i64);

impl Time {
    /// The longest time that a field takes: 10 000 hours.
    pub const MAX: Self = Self(36_000_000_000);

    /// The time in milliseconds.
    #[must_use]
    pub const fn ms(self) -> i64 {
        self.0
    }

    /// Reads a time of work: `11` and `11 min` are minutes, `1 h 15`, `90 s`.
    ///
    /// # Errors
    /// [`Code::Missing`], [`Code::NotANumber`], [`Code::UnknownUnit`], [`Code::Ambiguous`];
    /// [`Code::TooSmall`] below zero and [`Code::TooLarge`] beyond [`Time::MAX`].
    pub fn parse(text: &str) -> Result<Self, InputError> {
        let example = say!("11 min or 1 h 15 min");
        let milliseconds = quantity(text, TIMES, 60_000, example)?;
        if milliseconds < 0 {
            return Err(InputError::new(
                Code::TooSmall,
                say!("work cannot take less than no time"),
                say!("write 0 or more, for example {example}"),
            ));
        }
        i64::try_from(milliseconds)
            .ok()
            .filter(|ms| *ms <= Self::MAX.0)
            .map(Self)
            .ok_or_else(|| {
                InputError::new(
                    Code::TooLarge,
                    say!("longer than 10 000 hours"),
                    say!("write a time such as {example}"),
                )
            })
    }
}

/// A length in an answer: the number for programs, the text for people.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
pub struct Measured {
    /// The number of the unit that the input named.
    pub value: f64,
    /// The length as it is read by people, with its unit.
    pub text: String,
}

/// The sign before the decimals of a number that people read: what programs read has a point in every
/// language.
pub const MARK: char = if cfg!(feature = "es") { ',' } else { '.' };

/// Figures with the sign before their decimals that people read.
#[must_use]
pub fn for_people(figures: String) -> String {
    if MARK == '.' {
        return figures;
    }
    let marked = figures
        .chars()
        .map(|sign| if sign == '.' { MARK } else { sign });
    marked.collect()
}

/// A number for people, rounded half away from zero to at most `places` decimals, zeros at the end left
/// out.
#[must_use]
pub fn decimals(value: f64, places: u32) -> String {
    for_people(decimals_with_point(value, places))
}

/// The same for programs: for the coordinates of a picture, say. Numbers from here on are shown, not
/// reckoned with; beyond thousands of millions of millions they are cut short.
#[must_use]
#[expect(
    clippy::cast_possible_truncation,
    reason = "a cast beyond the integers gives the greatest one"
)]
pub fn decimals_with_point(value: f64, places: u32) -> String {
    let scale = 10_i64.pow(places);
    #[expect(clippy::cast_precision_loss, reason = "a small power of ten")]
    let scaled = (value * scale as f64).round() as i64;
    let sign = if scaled < 0 { "-" } else { "" };
    let (whole, part) = (scaled.abs() / scale, scaled.abs() % scale);
    let number = format!("{sign}{whole}.{part:0width$}", width = places as usize);
    let number = number.trim_end_matches('0').trim_end_matches('.');
    number.to_owned()
}
