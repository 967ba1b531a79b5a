//! What trunk calls when a build stands in its staging folder, before it takes the place of the last one.
//!
//! It makes the WebAssembly smaller, names the build by what is in it, and gives the service worker the list of the
//! build's files with their hashes.

use crate::Result;
use crate::run::{files_below, output, read, write};
use crate::tools::installed_wasm_opt;
use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use sha2::{Digest, Sha256};
use std::collections::BTreeMap;
use std::env;
use std::fmt::Write;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

/// The script that keeps the other files for offline use, and is itself never kept.
const WORKER: &str = "sw.js";
/// The lines of that script which a build fills in.
const BLANK_VERSION: &str = "const VERSION = \"unbuilt\";";
const BLANK_FILES: &str = "const FILES = {};";

/// Finishes the build that trunk names in its environment.
///
/// # Errors
/// When no build is named, or its files are not as they must be.
pub fn finish_staged() -> Result<()> {
    let staged = env::var_os("TRUNK_STAGING_DIR").map(PathBuf::from).ok_or(
        "This task is called by trunk, which names the folder of its build in TRUNK_STAGING_DIR.",
    )?;
    if env::var("TRUNK_PROFILE").is_ok_and(|profile| profile == "release") {
        match installed_wasm_opt()? {
            Some(program) => shrink_all(&program, &staged)?,
            None => {
                println!("wasm-opt is not installed: the WebAssembly is left as large as it is.");
            }
        }
    }
    let version = finish(&staged)?;
    println!("Build {version} is finished.");
    Ok(())
}

/// Makes every WebAssembly file of a folder smaller.
///
/// # Errors
/// When a file cannot be read or written.
pub fn shrink_all(wasm_opt: &Path, folder: &Path) -> Result<()> {
    for (_, file) in files_below(folder)?
        .iter()
        .filter(|(_, file)| file.extension().is_some_and(|kind| kind == "wasm"))
    {
        let smaller = file.with_extension("smaller");
        let mut command = Command::new(wasm_opt);
        let size = |file: &Path| fs::metadata(file).map_or(0, |data| data.len());
        match output(
            command
                // Only the features that the file itself names: an optimiser that may use every one it
                // knows writes files that today's browsers refuse.
                .arg("-Oz")
                .arg(file)
                .arg("-o")
                .arg(&smaller),
        ) {
            Ok(_) => {
                println!("wasm-opt: {} bytes became {}.", size(file), size(&smaller));
                fs::rename(&smaller, file)
                    .map_err(|error| format!("{} is stuck: {error}.", smaller.display()))?;
            }
            Err(sentence) => println!(
                "wasm-opt failed, so the WebAssembly is left as large as it is. {sentence}"
            ),
        }
    }
    Ok(())
}

/// Names the build in a folder and lists its files in the service worker; returns the name.
fn finish(folder: &Path) -> Result<String> {
    let version = version(&hashes(folder)?);
    let index = folder.join("index.html");
    let names: Vec<String> = files_below(folder)?
        .into_iter()
        .map(|(name, _)| name)
        .collect();
    write(
        &index,
        stamp(&without_build_marks(&read(&index)?), &names, &version),
    )?;
    let worker = folder.join(WORKER);
    let files = hashes(folder)?
        .into_iter()
        .filter(|(name, _)| name != WORKER)
        .collect();
    write(&worker, list(&read(&worker)?, &version, &files)?)?;
    Ok(version)
}

/// The hash of each file of a folder, in the form of the `integrity` attribute.
fn hashes(folder: &Path) -> Result<BTreeMap<String, String>> {
    let files = files_below(folder)?.into_iter();
    files
        .map(|(name, file)| {
            let bytes = fs::read(&file)
                .map_err(|error| format!("{} could not be read: {error}.", file.display()))?;
            Ok((
                name,
                format!("sha256-{}", STANDARD.encode(Sha256::digest(bytes))),
            ))
        })
        .collect()
}

/// A name for these files, which no other set of files has.
fn version(hashes: &BTreeMap<String, String>) -> String {
    let mut all = Sha256::new();
    for (name, hash) in hashes {
        all.update(format!("{name}\n{hash}\n"));
    }
    all.finalize()
        .iter()
        .take(8)
        .fold(String::new(), |mut text, byte| {
            // Writing to a string cannot fail.
            let _ = write!(text, "{byte:02x}");
            text
        })
}

/// Adds the build's name to the addresses of scripts and styles in the page.
///
/// A browser or a host may keep a file for hours under its address; with the build in the address, a page never
/// gets the script of another build from such a store.
fn stamp(page: &str, names: &[String], version: &str) -> String {
    let stampable = |name: &&String| {
        let kind = Path::new(name.as_str()).extension();
        name.as_str() != WORKER && kind.is_some_and(|kind| kind == "js" || kind == "css")
    };
    names
        .iter()
        .filter(stampable)
        .fold(page.to_owned(), |page, name| {
            let stamped = format!("\"./{name}?v={version}\"");
            page.replace(&format!("\"{name}\""), &stamped)
                .replace(&format!("\"./{name}\""), &stamped)
        })
}

/// The page without the marks for trunk that trunk leaves in it, since it is not to put its own script in their place.
fn without_build_marks(page: &str) -> String {
    let mut rest = page;
    let mut kept = String::new();
    while let Some((before, mark)) = rest.split_once("<link data-trunk ") {
        kept.push_str(before.trim_end());
        rest = mark.split_once('>').map_or("", |(_, after)| after);
    }
    kept + rest
}

/// Fills in the service worker.
fn list(worker: &str, version: &str, files: &BTreeMap<String, String>) -> Result<String> {
    for blank in [BLANK_VERSION, BLANK_FILES] {
        if worker.matches(blank).count() != 1 {
            return Err(format!(
                "{WORKER} must have the line `{blank}` once, for the build to fill in."
            ));
        }
    }
    let lines: Vec<String> = files
        .iter()
        .map(|(name, hash)| format!("  \"{name}\": \"{hash}\",\n"))
        .collect();
    Ok(worker
        .replace(BLANK_VERSION, &format!("const VERSION = \"{version}\";"))
        .replace(
            BLANK_FILES,
            &format!("const FILES = {{\n{}}};", lines.concat()),
        ))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A build in a folder of its own.
    fn staged(name: &str, script: &str) -> PathBuf {
        let folder = env::temp_dir().join(format!("finish-{name}-{}", std::process::id()));
        let _ = fs::remove_dir_all(&folder);
        fs::create_dir_all(folder.join("icons")).expect("the folder can be made");
        let worker = format!("{BLANK_VERSION}\n{BLANK_FILES}\n");
        let page = "<link data-trunk rel=\"rust\" data-trunk-id=\"1\"><link href=\"./base.css\"><script src=\"boot.js\"></script><img src=\"icons/a.svg\">";
        for (file, text) in [
            ("index.html", page),
            ("boot.js", script),
            ("base.css", "p{}"),
            ("icons/a.svg", "<svg/>"),
            (WORKER, &worker),
        ] {
            fs::write(folder.join(file), text).expect("the file can be written");
        }
        folder
    }

    #[test]
    fn every_file_but_the_worker_is_listed_with_its_hash() {
        let folder = staged("listed", "1");
        finish(&folder).expect("the build is in order");
        let worker = read(&folder.join(WORKER)).expect("the worker is there");
        // printf 1 | openssl dgst -sha256 -binary | base64
        assert!(
            worker.contains("\"boot.js\": \"sha256-a4ayc/80/OGda4BO/1o/V0etpOqiLx1JwB5S3beHW0s=\""),
            "{worker}"
        );
        assert!(worker.contains("\"icons/a.svg\": \"sha256-"), "{worker}");
        assert!(worker.contains("\"index.html\": \"sha256-"), "{worker}");
        assert!(!worker.contains("\"sw.js\""), "{worker}");
    }

    #[test]
    fn scripts_and_styles_are_asked_for_by_build_and_pictures_are_not() {
        let folder = staged("stamped", "1");
        let version = finish(&folder).expect("the build is in order");
        let page = read(&folder.join("index.html")).expect("the page is there");
        let expected = format!(
            "<link href=\"./base.css?v={version}\"><script src=\"./boot.js?v={version}\"></script>\
             <img src=\"icons/a.svg\">"
        );
        assert_eq!(page, expected);
    }

    #[test]
    fn the_same_files_have_the_same_name_and_others_another() {
        let name =
            |folder: &str, script| finish(&staged(folder, script)).expect("the build is in order");
        assert_eq!(name("same-1", "1"), name("same-2", "1"));
        assert_ne!(name("same-1", "1"), name("other", "2"));
    }

    #[test]
    fn a_worker_without_its_blanks_is_refused() {
        let folder = staged("refused", "1");
        fs::write(folder.join(WORKER), "// nothing to fill in").expect("the file can be written");
        let error = finish(&folder).expect_err("the worker has no blanks");
        assert!(error.contains("const VERSION"), "{error}");
    }
}
