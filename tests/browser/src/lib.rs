//! What the tests of the built site share: a host that serves a folder and can really be stopped, builds that differ
//! in what a test wants, orders, and a browser with a profile of its own.

mod bidi;
mod browser;
mod build;
mod chromium;
mod driver;
mod firefox;
mod host;
pub mod orders;
mod package;
mod printed;
mod scratch;

pub use browser::{Browser, skipped_in_firefox};
pub use build::{Build, PARTS, built, copy};
pub use host::{Host, Spoiled};
pub use package::copy_package;
pub use printed::{Printed, printed};
pub use scratch::Scratch;

use std::fmt;
use std::path::{Path, PathBuf};

/// What went wrong, as a sentence.
pub struct Trouble(String);

/// What a step of a test comes to.
pub type Result<T> = std::result::Result<T, Trouble>;

impl Trouble {
    /// A trouble described by this sentence.
    pub fn new(sentence: impl Into<String>) -> Self {
        Self(sentence.into())
    }
}

// The test runner prints a failed test's error in this form.
impl fmt::Debug for Trouble {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

impl<E: std::error::Error> From<E> for Trouble {
    fn from(error: E) -> Self {
        Self(error.to_string())
    }
}

/// The project's top folder.
#[must_use]
pub fn root() -> PathBuf {
    let here = Path::new(env!("CARGO_MANIFEST_DIR"));
    here.ancestors().nth(2).unwrap_or(here).to_path_buf()
}
