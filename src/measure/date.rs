//! Days of the calendar, written as ISO 8601 has them. Which day it is today is said by whoever asks:
//! nothing here looks at a clock.

use super::parse::shown;
use crate::error::{Code, InputError};
use say::say;

/// A day of the Gregorian calendar from the year 1 to 9999.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Date {
    year: i32,
    month: i32,
    day: i32,
}

impl Date {
    /// Reads `2026-11-25`, and nothing that is written otherwise.
    ///
    /// # Errors
    /// [`Code::Missing`] for nothing, [`Code::NotANumber`] for what is not written so,
    /// [`Code::Impossible`] for a day that no calendar has.
    pub fn parse(text: &str) -> Result<Self, InputError> {
        let text = text.trim();
        if text.is_empty() {
            let message = say!("nothing is entered here");
            return Err(InputError::new(Code::Missing, message, HINT));
        }
        let unusable = || {
            let message = say!(
                "`{typed}` is not a date that can be used here",
                typed = shown(text)
            );
            InputError::new(Code::NotANumber, message, HINT)
        };
        let mut parts = [0; 3];
        let mut at = 0;
        for (place, byte) in text.bytes().enumerate() {
            match (place, byte) {
                (4 | 7, b'-') => at += 1,
                (0..=3 | 5 | 6 | 8 | 9, b'0'..=b'9') => {
                    // Two dashes at most, and four digits at most in a part.
                    if let Some(part) = parts.get_mut(at) {
                        *part = *part * 10 + i32::from(byte - b'0');
                    }
                }
                _ => return Err(unusable()),
            }
        }
        if text.len() != 10 {
            return Err(unusable());
        }
        let [year, month, day] = parts;
        let date = Self { year, month, day };
        if year == 0 || !(1..=12).contains(&month) || day == 0 || day > date.days_of_month() {
            let message = say!("no calendar has this day");
            return Err(InputError::new(Code::Impossible, message, HINT));
        }
        Ok(date)
    }

    /// Reads a date that may be left out or empty; `path` is the field's place in the input.
    ///
    /// # Errors
    /// Those of [`Date::parse`], at `path`.
    pub fn optional(text: Option<&str>, path: &str) -> Result<Option<Self>, InputError> {
        match text.filter(|text| !text.trim().is_empty()) {
            None => Ok(None),
            Some(text) => Self::parse(text).map(Some).map_err(|error| error.at(path)),
        }
    }

    /// The day as it is read.
    #[must_use]
    pub fn text(self) -> String {
        let Self { year, month, day } = self;
        format!("{year:04}-{month:02}-{day:02}")
    }

    const fn days_of_month(self) -> i32 {
        let leap = self.year % 4 == 0 && (self.year % 100 != 0 || self.year % 400 == 0);
        match self.month {
            2 if leap => 29,
            2 => 28,
            4 | 6 | 9 | 11 => 30,
            _ => 31,
        }
    }

    /// Days from 1970-01-01 on, below zero for those before it.
    #[must_use]
    pub const fn day_number(self) -> i32 {
        // Counted from March on, so that the leap day is a year's last.
        let (year, month) = if self.month > 2 {
            (self.year, self.month - 3)
        } else {
            (self.year - 1, self.month + 9)
        };
        let leap_days = year / 4 - year / 100 + year / 400;
        // The months from March on have 31, 30, 31, 30, 31 days, and so on: 153 in each five.
        let before = (153 * month + 2) / 5;
        365 * year + leap_days + before + self.day - 719_469
    }

    /// Whether more than a year lies between this day and `today`: the same day a year ago is not older.
    #[must_use]
    pub fn is_a_year_before(self, today: Self) -> bool {
        let in_a_year = Self {
            year: self.year + 1,
            ..self
        };
        in_a_year < today
    }
}

/// How a date is written.
const HINT: &str = say!("write year, month and day, for example 2026-11-25");
