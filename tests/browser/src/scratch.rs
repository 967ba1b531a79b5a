//! Folders that last as long as a test.

use crate::Result;
use std::fs;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicUsize, Ordering};

static COUNT: AtomicUsize = AtomicUsize::new(0);

/// A folder of its own, which is removed when it is no longer used.
pub struct Scratch(PathBuf);

impl Scratch {
    /// Makes an empty folder.
    ///
    /// # Errors
    /// When it cannot be made.
    pub fn new() -> Result<Self> {
        let number = COUNT.fetch_add(1, Ordering::Relaxed);
        let folder =
            std::env::temp_dir().join(format!("site-tests-{}-{number}", std::process::id()));
        fs::create_dir_all(&folder)?;
        Ok(Self(folder))
    }

    /// Where it is.
    #[must_use]
    pub fn path(&self) -> &Path {
        &self.0
    }
}

impl Drop for Scratch {
    fn drop(&mut self) {
        // A file that a dying browser still writes may keep the folder: the system clears what is left in its own time.
        let _ = fs::remove_dir_all(&self.0);
    }
}
