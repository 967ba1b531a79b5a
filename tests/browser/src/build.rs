//! The built site, and builds made from it that differ in what a test wants.

use crate::{Result, Scratch, Trouble, root};
use std::env;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

/// The parts that the page loads when they are asked for: a script and a module each.
pub const PARTS: [&str; 3] = ["desk", "light-table", "counter"];

/// The folder of the built site: `dist/`, or what the variable `SITE_DIST` names.
///
/// # Errors
/// When there is no built site in it.
pub fn built() -> Result<PathBuf> {
    let folder = env::var_os("SITE_DIST").map_or_else(|| root().join("dist"), PathBuf::from);
    if folder.join("index.html").is_file() && folder.join("sw.js").is_file() {
        Ok(folder)
    } else {
        Err(Trouble::new(format!(
            "There is no built site in {}: run `cargo xtask build` first.",
            folder.display()
        )))
    }
}

/// A build in a folder of its own, made from the built site.
pub struct Build(Scratch);

impl Build {
    /// A build as the same sources would make it, had they differed by this change to the built files.
    ///
    /// # Errors
    /// When the site is not built, or the change or the finishing of the build fails.
    pub fn with(change: impl FnOnce(&Self) -> Result<()>) -> Result<Self> {
        let build = Self(Scratch::new()?);
        copy(&built()?, build.folder())?;
        // The site in another language is a build of its own.
        fs::remove_dir_all(build.folder().join("es"))?;
        // Back to what trunk hands over: a page without the build's name, a worker without the list.
        let stamp = format!("?v={}", build.version()?);
        build.edit("index.html", |page| page.replace(&stamp, ""))?;
        fs::copy(root().join("public/sw.js"), build.folder().join("sw.js"))?;
        for part in PARTS {
            build.edit(&format!("{part}.js"), |script| {
                let lines = script.lines().map(|line| {
                    ["const VERSION = ", "const CORE = "]
                        .into_iter()
                        .find(|filled| line.starts_with(filled))
                        .map_or(line.to_owned(), |filled| format!("{filled}\"unbuilt\";"))
                });
                lines.map(|line| line + "\n").collect()
            })?;
        }
        change(&build)?;
        let mut finish = Command::new(env::var_os("CARGO").unwrap_or_else(|| "cargo".into()));
        finish
            .current_dir(root())
            .args(["xtask", "finish"])
            .env("TRUNK_STAGING_DIR", build.folder());
        let output = finish.env_remove("TRUNK_PROFILE").output()?;
        if output.status.success() {
            Ok(build)
        } else {
            Err(Trouble::new(String::from_utf8_lossy(&output.stderr)))
        }
    }

    /// Where its files are.
    #[must_use]
    pub fn folder(&self) -> &Path {
        self.0.path()
    }

    /// Its name, as the service worker has it.
    ///
    /// # Errors
    /// When the service worker has none.
    pub fn version(&self) -> Result<String> {
        let worker = fs::read_to_string(self.folder().join("sw.js"))?;
        let version = worker
            .lines()
            .find_map(|line| line.strip_prefix("const VERSION = \"")?.strip_suffix("\";"));
        version
            .map(str::to_owned)
            .ok_or_else(|| Trouble::new("The service worker names no build."))
    }

    /// Rewrites one of its files.
    ///
    /// # Errors
    /// When the file cannot be read or written, or the rewriting changes nothing.
    pub fn edit(&self, file: &str, rewrite: impl FnOnce(String) -> String) -> Result<()> {
        let path = self.folder().join(file);
        let before = fs::read_to_string(&path)?;
        let after = rewrite(before.clone());
        if before == after {
            return Err(Trouble::new(format!(
                "The change to {file} changes nothing."
            )));
        }
        Ok(fs::write(path, after)?)
    }
}

/// Copies a folder with all that is in it.
///
/// # Errors
/// When something in it cannot be read, or not be written.
pub fn copy(from: &Path, to: &Path) -> Result<()> {
    fs::create_dir_all(to)?;
    for entry in fs::read_dir(from)? {
        let entry = entry?;
        let target = to.join(entry.file_name());
        if entry.path().is_dir() {
            copy(&entry.path(), &target)?;
        } else {
            fs::copy(entry.path(), target)?;
        }
    }
    Ok(())
}
