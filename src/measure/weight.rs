//! Weights: exact inside, typed in ounces and pounds or in grams, printed the same way.

use super::parse::{UnitName, quantity};
use super::{NumberInput, Unit, decimals};
use crate::error::{Code, InputError};
use say::say;

/// Nanograms in an ounce: 28.349523125 g exactly, a sixteenth of the pound.
const OUNCE: i64 = 28_349_523_125;
/// Nanograms in a gram.
const GRAM: i64 = 1_000_000_000;

/// Names of the units of weight, in English and in Spanish, factors in nanograms.
const WEIGHTS: &[UnitName] = &[
    UnitName {
        names: &["oz", "ounce", "ounces", "onza", "onzas"],
        factor: OUNCE,
    },
    UnitName {
        names: &["lb", "lbs", "pound", "pounds", "libra", "libras"],
        factor: 16 * OUNCE,
    },
    UnitName {
        names: &["g", "gram", "grams", "gramo", "gramos"],
        factor: GRAM,
    },
    UnitName {
        names: &[
            "kg",
            "kilo",
            "kilos",
            "kilogram",
            "kilograms",
            "kilogramo",
            "kilogramos",
        ],
        factor: 1_000 * GRAM,
    },
];

/// A weight in whole nanograms, in which the ounce and the pound are whole numbers.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub struct Weight(i64);

impl Weight {
    /// The greatest weight that a field takes: a tonne.
    pub const MAX: Self = Self(1_000_000 * GRAM);

    /// `count` whole nanograms.
    #[must_use]
    pub const fn from_ng(count: i64) -> Self {
        Self(count)
    }

    /// `count` tenths of an ounce, rounded to the nanogram.
    #[must_use]
    pub const fn tenths_of_ounce(count: i64) -> Self {
        Self((count * OUNCE + 5) / 10)
    }

    /// `count` whole grams, exactly.
    #[must_use]
    pub const fn grams(count: i64) -> Self {
        Self(count * GRAM)
    }

    /// `count` pounds of 0.45359237 kg (international yard and pound agreement, 1959).
    #[must_use]
    pub const fn pounds(count: i64) -> Self {
        Self(count * 16 * OUNCE)
    }

    /// The weight in nanograms.
    #[must_use]
    pub const fn ng(self) -> i64 {
        self.0
    }

    /// Reads a weight as people write it: `3.5 oz`, `1 lb 2 oz`, `100 g`, `0.1 kg`. A number without
    /// a unit counts in ounces if `imperial`, otherwise in grams.
    ///
    /// # Errors
    /// [`Code::Missing`], [`Code::NotANumber`], [`Code::UnknownUnit`], [`Code::Ambiguous`];
    /// [`Code::TooSmall`] below zero and [`Code::TooLarge`] beyond [`Weight::MAX`], by a hundredth of an ounce or more.
    pub fn parse(text: &str, imperial: bool) -> Result<Self, InputError> {
        let (bare, example) = if imperial {
            (OUNCE, say!("3.5 oz or 100 g"))
        } else {
            (GRAM, say!("100 g or 3.5 oz"))
        };
        let nanograms = quantity(text, WEIGHTS, bare, example)?;
        let refused = |code, message| {
            InputError::new(code, message, say!("write a weight such as {example}"))
        };
        if nanograms < 0 {
            return Err(refused(
                Code::TooSmall,
                say!("nothing weighs less than nothing"),
            ));
        }
        // A tonne is told in ounces as up to a hundredth of one more, and is a tonne when it is read again.
        i64::try_from(nanograms)
            .ok()
            .filter(|ng| *ng < Self::MAX.0 + OUNCE / 100)
            .map(|ng| Self(ng).min(Self::MAX))
            .ok_or_else(|| refused(Code::TooLarge, say!("this is too heavy")))
    }

    /// Reads a weight that may be left out or empty; `path` is the field's place in the input.
    ///
    /// # Errors
    /// Those of [`Weight::parse`], at `path`.
    pub fn optional(
        input: Option<&NumberInput>,
        path: &str,
        imperial: bool,
    ) -> Result<Option<Self>, InputError> {
        let text = input.map(NumberInput::text).unwrap_or_default();
        if text.trim().is_empty() {
            return Ok(None);
        }
        let read = Self::parse(&text, imperial).map(Some);
        read.map_err(|error| error.at(path))
    }

    /// The weight for people: in pounds and ounces to 0.01 oz for a maker who measures in such a
    /// `unit`, otherwise in grams to 0.1 g, in kilograms from one on. What lies between is rounded `up`
    /// or down; what was typed so finely comes back as it was.
    #[must_use]
    pub fn text(self, unit: Unit, up: bool) -> String {
        let (base, per, names) = if unit.is_imperial() {
            (OUNCE, 100, ["oz", "lb"])
        } else {
            (GRAM, 10, ["g", "kg"])
        };
        let [value, base, scale] = [self.0, base, per].map(i128::from);
        let nearest = (2 * value * scale + base) / (2 * base);
        let count = if (2 * nearest * base + scale) / (2 * scale) == value {
            nearest
        } else {
            (value * scale + if up { base - 1 } else { 0 }) / base
        };
        // A tonne is far fewer of these parts than 32 bits hold.
        let count = i32::try_from(count).unwrap_or(i32::MAX);
        let [small, large] = names;
        if !unit.is_imperial() {
            return if count < 10_000 {
                format!("{} {small}", decimals(f64::from(count) / 10.0, 1))
            } else {
                format!("{} {large}", decimals(f64::from(count) / 10_000.0, 4))
            };
        }
        let (pounds, rest) = (count / 1_600, count % 1_600);
        let ounces = decimals(f64::from(rest) / 100.0, 2);
        match (pounds, rest) {
            (0, _) => format!("{ounces} {small}"),
            (_, 0) => format!("{pounds} {large}"),
            _ => format!("{pounds} {large} {ounces} {small}"),
        }
    }
}
