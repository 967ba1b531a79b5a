//! What is wrong with an input, and what would be right.
//!
//! The one thing every room of the house may name.

use serde::Serialize;
use std::borrow::Cow;
use std::ops::{Deref, DerefMut};

/// What kind of mistake an input contains; stable, for programs to match on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Code {
    /// A needed value is absent or empty.
    Missing,
    /// The text does not begin with a number, or has something behind it that is not one.
    NotANumber,
    /// A comma that may divide thousands or decimals: `1,125`.
    Ambiguous,
    /// A unit that is not known here.
    UnknownUnit,
    /// Below the least value that makes sense.
    TooSmall,
    /// Above the greatest value that makes sense.
    TooLarge,
    /// A count that is not a whole number.
    NotWhole,
    /// A word that is not one of the choices.
    NotAChoice,
    /// A field that this input does not have.
    UnknownField,
    /// A value of the wrong type: a list for a text, say.
    WrongType,
    /// One thing does not fit into another: a piece into its sheet.
    DoesNotFit,
    /// Values that are each fine, but that nothing can satisfy together.
    Impossible,
}

/// One mistake in an input: where, what is wrong, what would be right. In a box, because each of the
/// many places that hand it on is then a word.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[serde(transparent)]
pub struct InputError(Box<Mistake>);

/// What an [`InputError`] says.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Mistake {
    /// What kind of mistake it is.
    pub code: Code,
    /// Path into the input, such as `pieces[2].width`; empty where the whole input is meant.
    pub field: String,
    /// What is wrong, as a sentence without a full stop.
    pub message: Cow<'static, str>,
    /// What would be right, as a sentence without a full stop.
    pub hint: Cow<'static, str>,
}

impl Deref for InputError {
    type Target = Mistake;

    fn deref(&self) -> &Mistake {
        &self.0
    }
}

impl DerefMut for InputError {
    fn deref_mut(&mut self) -> &mut Mistake {
        &mut self.0
    }
}

impl InputError {
    /// A mistake whose place is not known yet; [`InputError::at`] adds it.
    #[must_use]
    pub fn new(
        code: Code,
        message: impl Into<Cow<'static, str>>,
        hint: impl Into<Cow<'static, str>>,
    ) -> Self {
        Self::made(code, message.into(), hint.into())
    }

    fn made(code: Code, message: Cow<'static, str>, hint: Cow<'static, str>) -> Self {
        Self(Box::new(Mistake {
            code,
            field: String::new(),
            message,
            hint,
        }))
    }

    /// The same mistake at the field named by `path`.
    #[must_use]
    pub fn at(mut self, path: impl Into<String>) -> Self {
        self.field = path.into();
        self
    }

    /// The same mistake seen from outside: `outer` is put before its path.
    #[must_use]
    pub fn within(mut self, outer: &str) -> Self {
        self.field = match self.field.as_str() {
            inner if outer.is_empty() => inner.to_owned(),
            "" => outer.to_owned(),
            inner if inner.starts_with('[') => format!("{outer}{inner}"),
            inner => format!("{outer}.{inner}"),
        };
        self
    }
}

/// Every mistake found in one input, in the order of its fields.
///
/// A form shows them all at once, so that a person mends them in one go.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct InputErrors {
    first: InputError,
    rest: Vec<InputError>,
}

impl InputErrors {
    /// The mistake that was found first, by the order of the input's fields.
    #[must_use]
    pub const fn first(&self) -> &InputError {
        &self.first
    }

    /// All of them, the first one first.
    pub fn iter(&self) -> impl Iterator<Item = &InputError> {
        std::iter::once(&self.first).chain(&self.rest)
    }

    /// These mistakes and then those.
    #[must_use]
    pub fn and(mut self, others: Self) -> Self {
        self.rest.push(others.first);
        self.rest.extend(others.rest);
        self
    }

    /// The same mistakes seen from outside: `outer` is put before each path.
    #[must_use]
    pub fn within(self, outer: &str) -> Self {
        Self {
            first: self.first.within(outer),
            rest: self.rest.into_iter().map(|e| e.within(outer)).collect(),
        }
    }

    /// The same mistakes at other places, which `path` tells from those they had.
    #[must_use]
    pub fn moved(mut self, path: impl Fn(&str) -> String) -> Self {
        for error in std::iter::once(&mut self.first).chain(&mut self.rest) {
            error.0.field = path(&error.0.field);
        }
        self
    }
}

impl From<InputError> for InputErrors {
    fn from(first: InputError) -> Self {
        Self {
            first,
            rest: Vec::new(),
        }
    }
}

/// Gathers the mistakes of one input while its fields are read.
///
/// # Examples
/// ```
/// use decal_reckoner::error::{Checks, Code, InputError};
///
/// let mut checks = Checks::default();
/// let good: Result<i32, InputError> = Ok(3);
/// let bad: Result<i32, InputError> =
///     Err(InputError::new(Code::Missing, "no height", "write one").at("height"));
/// let (width, height) = (checks.take(good), checks.take(bad));
/// assert_eq!((width, height), (Some(3), None));
/// assert_eq!(checks.finish(()).unwrap_err().first().field, "height");
/// ```
#[derive(Debug, Default)]
pub struct Checks(Option<InputErrors>);

impl Checks {
    /// The value, if it is good; otherwise its mistakes are kept.
    pub fn take<T, E: Into<InputErrors>>(&mut self, read: Result<T, E>) -> Option<T> {
        read.map_err(|errors| self.add(errors)).ok()
    }

    /// Keeps mistakes.
    pub fn add(&mut self, errors: impl Into<InputErrors>) {
        let errors = errors.into();
        self.0 = Some(match self.0.take() {
            Some(kept) => kept.and(errors),
            None => errors,
        });
    }

    /// `value`, if no mistake was found.
    ///
    /// # Errors
    /// Every mistake that was kept.
    pub fn finish<T>(self, value: T) -> Result<T, InputErrors> {
        self.0.map_or(Ok(value), Err)
    }
}
