//! Speeds, and the seconds of a wait: exact inside, typed in the units that roads and waters count in.

use super::parse::{UnitName, quantity};
use super::{Length, NumberInput, TIMES, Time, Unit};
use crate::error::{Code, InputError};
use say::say;

/// Nanometres an hour in a kilometre an hour.
const KILOMETRE: i64 = 1_000 * Unit::M.nanometres();
/// Nanometres an hour in a mile an hour.
const MILE: i64 = 1_760 * Unit::Yd.nanometres();
/// Milliseconds in an hour, seconds in it times a thousand.
const HOUR: i64 = 3_600_000;

/// Names of the units of speed, factors in nanometres an hour. A stroke joins numbers, so that `km/h` is
/// read as `kmph`.
const SPEEDS: &[UnitName] = &[
    UnitName {
        names: &["mph", "miph"],
        factor: MILE,
    },
    UnitName {
        names: &["km/h", "kmph", "kmh", "kph"],
        factor: KILOMETRE,
    },
    UnitName {
        names: &["m/s", "mps"],
        factor: 3_600 * Unit::M.nanometres(),
    },
    // The international knot: a nautical mile of 1852 m an hour.
    UnitName {
        names: &["knots", "knot", "kn", "kt", "kts", "nudo", "nudos"],
        factor: 1_852 * Unit::M.nanometres(),
    },
    UnitName {
        names: &["ft/s", "ftps", "fps"],
        factor: 3_600 * Unit::Ft.nanometres(),
    },
];

/// A speed in whole nanometres an hour: miles and kilometres an hour, knots, metres and feet a second
/// are all whole numbers.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub struct Speed(i64);

impl Speed {
    /// The least speed of something that moves: 0.1 km/h.
    pub const LEAST: Self = Self(KILOMETRE / 10);
    /// The greatest speed that a field takes: 1000 km/h.
    pub const MAX: Self = Self(1_000 * KILOMETRE);

    /// `count` miles an hour.
    #[must_use]
    pub const fn mph(count: i64) -> Self {
        Self(count * MILE)
    }

    /// Reads a speed that may be left out or empty, from `least` to [`Speed::MAX`]: `30 mph`, `50 km/h`,
    /// `5 knots`, `1.4 m/s`. A number without a unit counts in miles an hour if `imperial`, otherwise in
    /// kilometres an hour. `path` is the field's place in the input.
    ///
    /// # Errors
    /// [`Code::NotANumber`], [`Code::UnknownUnit`], [`Code::Ambiguous`]; [`Code::TooSmall`] and
    /// [`Code::TooLarge`] outside of the limits; all at `path`.
    pub fn optional(
        input: Option<&NumberInput>,
        path: &str,
        imperial: bool,
        least: Self,
    ) -> Result<Option<Self>, InputError> {
        let (bare, example) = if imperial {
            (MILE, say!("30 mph or 5 knots"))
        } else {
            (KILOMETRE, say!("50 km/h or 5 knots"))
        };
        let limits = [least.0, Self::MAX.0];
        let text = without_stroke(input.map(NumberInput::text).unwrap_or_default());
        let read = read(&text, SPEEDS, bare, limits, example);
        read.map(|read| read.map(Self))
            .map_err(|error| error.at(path))
    }

    /// Both speeds together.
    #[must_use]
    pub const fn and(self, other: Self) -> Self {
        Self(self.0 + other.0)
    }

    /// The speed in metres a second; for physics.
    #[must_use]
    pub fn metres_a_second(self) -> f64 {
        Length::from_nm(self.0).to_f64(Unit::M) / 3_600.0
    }

    /// The way in so many milliseconds, rounded up to a nanometre.
    #[must_use]
    pub fn way_in(self, milliseconds: i64) -> Length {
        Length::from_nm(self.0).scaled_up(milliseconds, HOUR)
    }

    /// The unit of speed beside lengths in `unit`, as a part of metres a second, and its sign.
    #[must_use]
    pub const fn unit(unit: Unit) -> (f64, &'static str) {
        if unit.is_imperial() {
            (0.447_04, "mph")
        } else {
            (1.0 / 3.6, "km/h")
        }
    }
}

/// Reads a wait in seconds that may be left out or empty, up to an hour: `20`, `20 s`, `1 min`. `path`
/// is the field's place in the input.
///
/// # Errors
/// As [`Speed::optional`].
pub fn seconds(input: Option<&NumberInput>, path: &str) -> Result<Option<Time>, InputError> {
    let text = input.map(NumberInput::text).unwrap_or_default();
    let read = read(&text, TIMES, 1_000, [100, HOUR], "20 s");
    read.map(|read| read.map(Time))
        .map_err(|error| error.at(path))
}

/// The text with `km/h` at its end as `kmph`, and `m/s` as `mps`.
fn without_stroke(text: String) -> String {
    for (last, joined) in [(['h', 'H'], "ph"), (['s', 'S'], "ps")] {
        let front = text.trim_end().strip_suffix(last);
        if let Some(front) = front.and_then(|front| front.trim_end().strip_suffix('/')) {
            return format!("{}{joined}", front.trim_end());
        }
    }
    text
}

fn read(
    text: &str,
    units: &[UnitName],
    bare: i64,
    limits: [i64; 2],
    example: &str,
) -> Result<Option<i64>, InputError> {
    if text.trim().is_empty() {
        return Ok(None);
    }
    let [least, most] = limits.map(i128::from);
    let refused = |code, message| {
        let hint = say!("write it like {example}");
        Err(InputError::new(code, message, hint))
    };
    match quantity(text, units, bare, example)? {
        amount if amount < least => refused(Code::TooSmall, say!("this is too little")),
        amount if amount > most => refused(Code::TooLarge, say!("this is too much")),
        amount => Ok(i64::try_from(amount).ok()),
    }
}
