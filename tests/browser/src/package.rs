//! The package, as `cargo xtask package` writes it.

use crate::{Result, root};
use std::path::{Path, PathBuf};
use std::{env, fs};

/// Where it is: where `cargo xtask` says that it has put it, or in `target/pkg/`.
fn folder() -> PathBuf {
    let named = env::var_os("DECAL_RECKONER_PACKAGE").map(PathBuf::from);
    named.unwrap_or_else(|| root().join("target/pkg"))
}

/// Copies the package into a folder that is not there yet.
///
/// # Errors
/// When there is no package, or the folder cannot be made.
pub fn copy_package(to: &Path) -> Result<()> {
    fs::create_dir(to)?;
    for file in fs::read_dir(folder())? {
        let file = file?;
        fs::copy(file.path(), to.join(file.file_name()))?;
    }
    Ok(())
}
