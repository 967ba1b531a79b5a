//! What trunk calls when a build stands in its staging folder, before it takes the place of the last one.
//!
//! It adds the parts, modules of their own that the page loads when they are asked for, makes all WebAssembly smaller,
//! names the build by what is in it, and gives the service worker the lists of the build's files with their hashes.

use crate::Result;
use crate::minify::minify_all;
use crate::module;
use crate::run::{at_once, cargo, files_below, output, read, root, run, target, write};
use crate::seal::{join_styles, seal};
use crate::shop;
use crate::tools::{Tool, installed};
use crate::words::LANGUAGES;
use crate::words::site::{Tongue, begin, speak};
use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use sha2::{Digest, Sha256};
use std::cmp::Reverse;
use std::collections::BTreeMap;
use std::env;
use std::ffi::OsStr;
use std::fmt::Write;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

/// The script that keeps the other files for offline use, and is itself never kept.
const WORKER: &str = "sw.js";
/// The lines of that script which a build fills in.
const BLANK_VERSION: &str = "const VERSION = \"unbuilt\";";
const BLANK_FILES: &str = "const FILES = {};";
const BLANK_PARTS: &str = "const PARTS = {};";

/// What the page loads only when it is asked for, each a script and its module, named as the feature that they are
/// built with.
pub const PARTS: [&str; 3] = ["desk", "light-table", "counter"];
/// Of these, what is built to be fast rather than small: every line of a drawing is looked at against those near it, and
/// built as the others are it takes twice as long.
const FAST: [&str; 1] = ["light-table"];
/// Other files that are asked for only then, each with the part that it goes with.
const ASKED_FOR: [(&str, &str); 5] = [
    (shop::PAGE, shop::SHOP),
    (shop::PAPERS_PAGE, shop::PAPERS),
    ("decal-quote.js", shop::SHOP),
    ("publish.js", "counter"),
    (COPY_OUT, "copy-out"),
];
/// The script that offers tables and pictures as files, and its source, which stands behind [`shop::COPIED`].
const COPY_OUT: &str = "copy-out.js";
const COPY_OUT_SOURCE: &str = "src/page/copy-out.js";
/// The feature of the page's own module, and the name that it has in the site.
const PAGE: &str = "page";
const PAGE_MODULE: &str = "decal-reckoner";
/// What stands in the script of each of them behind what wasm-bindgen writes.
const PART: &str = "src/part.js";
/// The line of a part's script, beside that of the version, which a build fills in with the module's hash.
const BLANK_CORE: &str = "const CORE = \"unbuilt\";";

/// What makes WebAssembly small.
///
/// Functions of more than 30 bytes stay functions, even those that are called from one place only: in one
/// piece with their caller they are somewhat smaller, but far worse to compress. Taken apart into single
/// steps and put together anew, the whole is optimised better. With low memory unused, a constant of up
/// to 1023 that is added to an address may move into the access itself, which is the same unless the sum
/// runs over the end of memory and back into its first 1024 bytes. Nothing of ours is there: the stack
/// takes the first megabyte and grows down from its end, and what the program holds begins behind it.
const SMALLER: [&str; 8] = [
    "--one-caller-inline-max-function-size=30",
    "-Oz",
    "--flatten",
    "--rereloop",
    "-Oz",
    "-Oz",
    "--low-memory-unused",
    // The names of the tools that made it.
    "--strip-producers",
];

/// What makes WebAssembly fast. Nothing is taken apart into single steps, which are slow as long as the browser has not
/// optimised them itself.
const FASTER: [&str; 3] = ["-O3", "--low-memory-unused", "--strip-producers"];

/// Finishes the build that trunk names in its environment.
///
/// # Errors
/// When no build is named, or its files are not as they must be.
pub fn finish_staged() -> Result<()> {
    let staged = env::var_os("TRUNK_STAGING_DIR").map(PathBuf::from).ok_or(
        "This task is called by trunk, which names the folder of its build in TRUNK_STAGING_DIR.",
    )?;
    let release = env::var("TRUNK_PROFILE").is_ok_and(|profile| profile == "release");
    // A build that is finished anew has all of it already.
    if !staged.join(COPY_OUT).exists() {
        // While one works on the site, it is built in one language.
        let languages: &[&str] = if release { &LANGUAGES } else { &[] };
        compile_all(languages, release)?;
        for part in PARTS {
            add(part, None, &staged, release)?;
        }
        let script = read(&root().join(shop::COPIED))? + &read(&root().join(COPY_OUT_SOURCE))?;
        write(&staged.join(COPY_OUT), script)?;
        join_styles(&staged)?;
        for language in languages {
            add_language(language, &staged, release)?;
        }
        speak(&Tongue::english(languages)?, &staged)?;
        if release {
            shrink_all(&staged)?;
            minify_all(&staged)?;
        }
        // Their policies name the hashes of what stands in them: nothing of it is changed any more.
        shop::add_shop(&staged, release, None)?;
        shop::add_papers(&staged, release)?;
        for language in languages {
            let tongue = Tongue::of(language)?;
            for page in [shop::PAGE, shop::PAPERS_PAGE] {
                let whole = read(&staged.join(page))?;
                write(&staged.join(language).join(page), tongue.placed(&whole))?;
            }
        }
    }
    for language in LANGUAGES {
        if staged.join(language).exists() {
            finish(&staged.join(language))?;
        }
    }
    let version = finish(&staged)?;
    println!("Build {version} is finished.");
    Ok(())
}

/// The part that a file of the build belongs to, if it belongs to one.
#[must_use]
pub fn part_of(file: &str) -> Option<&'static str> {
    let within = |language: &str| file.strip_prefix(language)?.strip_prefix('/');
    let file = language_of(file).and_then(within).unwrap_or(file);
    let is_of = |part: &&str| file == script_of(part) || file == module_of(part);
    let other = ASKED_FOR.into_iter().find(|(name, _)| *name == file);
    PARTS
        .into_iter()
        .find(is_of)
        .or(other.map(|(_, part)| part))
}

/// The language of whose site a file of the build is, beside English.
#[must_use]
pub fn language_of(file: &str) -> Option<&'static str> {
    let (folder, _) = file.split_once('/')?;
    LANGUAGES.into_iter().find(|language| *language == folder)
}

fn script_of(part: &str) -> String {
    format!("{part}.js")
}

fn module_of(part: &str) -> String {
    format!("{part}_bg.wasm")
}

/// Builds the site in a language into a folder of its own: what differs is built anew, all else is the same.
fn add_language(language: &str, staged: &Path, release: bool) -> Result<()> {
    let folder = staged.join(language);
    begin(staged, &folder)?;
    bind_as(PAGE, PAGE_MODULE, Some(language), &folder, release)?;
    for part in PARTS {
        add(part, Some(language), &folder, release)?;
    }
    speak(&Tongue::of(language)?, &folder)
}

/// Builds the module of a part into a folder, and its script with it.
fn add(part: &str, language: Option<&str>, staged: &Path, release: bool) -> Result<()> {
    bind_as(part, part, language, staged, release)?;
    let script = staged.join(script_of(part));
    let own = read(&root().join(PART))?;
    write(&script, read(&script)? + "\n" + &own)
}

/// Builds the module of a feature in a language, English if none is named, into a folder of the site under a name, and
/// beside it the script that wasm-bindgen writes.
fn bind_as(
    feature: &str,
    name: &str,
    language: Option<&str>,
    folder: &Path,
    release: bool,
) -> Result<()> {
    let module = compiled(feature, language, release)?;
    run(bindgen("web", name, folder).arg(module))
}

/// Builds the module of a feature into a folder, and beside it the script that wasm-bindgen writes for a target. `path`
/// is where wasm-bindgen is looked for; that of this task if left out, in which trunk puts it.
///
/// # Errors
/// When one of the two fails.
pub fn bind(
    feature: &str,
    kind: &str,
    folder: &Path,
    release: bool,
    path: Option<&OsStr>,
) -> Result<()> {
    let module = compiled(feature, None, release)?;
    let mut bindgen = bindgen(kind, feature, folder);
    if let Some(path) = path {
        bindgen.env("PATH", path);
    }
    run(bindgen.arg(module))
}

fn bindgen(kind: &str, name: &str, folder: &Path) -> Command {
    let mut bindgen = Command::new("wasm-bindgen");
    bindgen
        .args(["--target", kind, "--no-typescript", "--out-name", name])
        .arg("--out-dir")
        .arg(folder);
    bindgen
}

/// Compiles the module of a feature, in a language if one is named, and gives the file.
///
/// # Errors
/// When the compiler fails, or warns of anything in what is to be released.
pub fn compiled(feature: &str, language: Option<&str>, release: bool) -> Result<PathBuf> {
    // Each language has a folder of its own: cargo builds into a folder for one at a time.
    let built = language.map_or_else(target, |language| target().join(language));
    let profile = match (release, FAST.contains(&feature)) {
        (true, true) => "fast",
        (true, false) => "release",
        (false, _) => "dev",
    };
    let mut command = cargo();
    command.args(["rustc", "--quiet", "--package", "decal-reckoner", "--lib"]);
    command.args(["--target", "wasm32-unknown-unknown"]);
    let features = language.map_or(feature.to_owned(), |language| {
        format!("{feature},{language}")
    });
    command.args(["--no-default-features", "--features", &features]);
    command.arg("--target-dir").arg(&built);
    command.args(["--profile", profile]);
    if release {
        // What is in none of the modules would be found by nobody else: lints look at all of them together.
        command.args(["--", "-D", "warnings"]);
    }
    run(&mut command)?;
    // All of them have this name: what is done with one is done before the next is compiled.
    Ok(built
        .join("wasm32-unknown-unknown")
        .join(if release { profile } else { "debug" })
        .join("decal_reckoner.wasm"))
}

/// Compiles all modules that are missing beside the page's own, English, which trunk compiles: each language for itself,
/// and several languages at once. Whoever needs one finds it done.
fn compile_all(languages: &[&str], release: bool) -> Result<()> {
    let english = PARTS
        .into_iter()
        .chain([shop::SHOP])
        .map(|part| (part, None));
    let mut lanes = vec![english.collect::<Vec<_>>()];
    for language in languages {
        let all = [PAGE].into_iter().chain(PARTS);
        lanes.push(all.map(|part| (part, Some(*language))).collect());
    }
    at_once(&lanes, |lane| {
        lane.iter()
            .try_for_each(|(part, language)| compiled(part, *language, release).map(drop))
    })
}

/// What puts the functions in the order of their names, and writes them as small as before; the names
/// themselves are not written, nor which features the file uses, which no browser reads.
const IN_ORDER: [&str; 4] = [
    "--reorder-functions-by-name",
    "--optimize-level=2",
    "--shrink-level=2",
    "--strip-target-features",
];

/// Makes every WebAssembly file of a folder smaller, or faster where it is one of those, if its optimiser could be had.
///
/// # Errors
/// When a file cannot be read or written, or is not as [`module`] must find it.
pub fn shrink_all(folder: &Path) -> Result<()> {
    let Some(wasm_opt) = installed(Tool::WasmOpt)? else {
        println!("wasm-opt is not installed: the WebAssembly is left as large as it is.");
        return Ok(());
    };
    let mut modules = Vec::new();
    for (_, file) in files_below(folder)? {
        if file.extension().is_some_and(|kind| kind == "wasm") {
            let bytes = fs::read(&file)
                .map_err(|error| format!("{} could not be read: {error}.", file.display()))?;
            modules.push((file, bytes));
        }
    }
    // What takes longest is begun first.
    modules.sort_by_key(|(_, bytes)| Reverse(bytes.len()));
    at_once(&modules, |(file, whole)| shrink(&wasm_opt, file, whole))
}

/// Makes one of them smaller, whose bytes are these.
fn shrink(wasm_opt: &Path, file: &Path, whole: &[u8]) -> Result<()> {
    let smaller = file.with_extension("smaller");
    let bytes = || {
        fs::read(&smaller)
            .map_err(|error| format!("{} could not be read: {error}.", smaller.display()))
    };
    let optimise = |switches: &[&str]| {
        output(
            Command::new(wasm_opt)
                // Only the features that the file itself names: an optimiser that may use every one it
                // knows writes files that today's browsers refuse.
                .args(switches)
                .arg(&smaller)
                .arg("-o")
                .arg(&smaller),
        )
    };
    let (trapping, traps) = module::with_traps(whole)?;
    let (blank, places) = module::without_places(&trapping)?;
    write(&smaller, blank)?;
    let is_fast = FAST.iter().any(|part| file.ends_with(module_of(part)));
    let switches: &[&str] = if is_fast { &FASTER } else { &SMALLER };
    let kept = kept(wasm_opt, switches, &bytes()?);
    let optimised = || {
        if fs::copy(&kept, &smaller).is_ok() {
            return Ok(());
        }
        optimise(switches)?;
        write(&smaller, module::named_by_likeness(&bytes()?)?)?;
        optimise(&IN_ORDER)?;
        keep(&smaller, &kept)
    };
    if let Err(sentence) = optimised() {
        println!(
            "{} was not made smaller, so it is left as large as it is. {sentence}",
            file.display()
        );
        return fs::remove_file(&smaller)
            .map_err(|error| format!("{} is stuck: {error}.", smaller.display()));
    }
    println!(
        "{}: {} bytes became {}; {traps} functions that only panic are traps now, and {places} places in the \
         sources that they would have named are blank.",
        file.file_name().unwrap_or_default().display(),
        whole.len(),
        bytes()?.len()
    );
    let (short, names) = module::with_short_imports(&bytes()?)?;
    write(&smaller, short)?;
    let script = script_beside(file)?;
    write(
        &script,
        module::script_with_short_imports(&read(&script)?, &names)?,
    )?;
    fs::rename(&smaller, file).map_err(|error| format!("{} is stuck: {error}.", smaller.display()))
}

/// Where a module is kept once it was optimised, by all that it comes from: it takes long, and most modules are the same
/// as the last time.
fn kept(wasm_opt: &Path, switches: &[&str], module: &[u8]) -> PathBuf {
    let mut all = Sha256::new_with_prefix(include_str!("module.rs"));
    all.update(wasm_opt.as_os_str().as_encoded_bytes());
    for switch in switches.iter().chain(&IN_ORDER) {
        all.update(format!("\n{switch}"));
    }
    all.update(module);
    let name = hexadecimal(&all.finalize());
    target().join("optimised").join(name)
}

/// Keeps a file under another name, whole or not at all.
fn keep(file: &Path, kept: &Path) -> Result<()> {
    let part = kept.with_extension(std::process::id().to_string());
    let folder = kept.parent().unwrap_or(kept);
    fs::create_dir_all(folder)
        .and_then(|()| fs::copy(file, &part))
        .and_then(|_| fs::rename(&part, kept))
        .map_err(|error| format!("{} could not be written: {error}.", kept.display()))
}

/// The script that wasm-bindgen writes beside a WebAssembly file.
fn script_beside(file: &Path) -> Result<PathBuf> {
    let name = file.file_name().and_then(|name| name.to_str());
    name.and_then(|name| name.strip_suffix("_bg.wasm"))
        .map(|name| file.with_file_name(format!("{name}.js")))
        .ok_or_else(|| format!("{} has no script beside it.", file.display()))
}

/// Names the build in a folder and lists its files in the service worker; returns the name.
fn finish(folder: &Path) -> Result<String> {
    let hashed = hashes(folder)?;
    let version = version(&hashed);
    let index = folder.join("index.html");
    let names: Vec<String> = hashed.keys().cloned().collect();
    let page = stamp(&without_build_marks(&read(&index)?), &names, &version);
    write(&index, seal(&page, &hashed, &version)?)?;
    let own = format!("const VERSION = \"{version}\";");
    for part in PARTS {
        let (name, core) = (script_of(part), hashed.get(&module_of(part)));
        let core = core.ok_or_else(|| format!("The build has no {}.", module_of(part)))?;
        let blanks = [
            (BLANK_VERSION, own.clone()),
            (BLANK_CORE, format!("const CORE = \"{core}\";")),
        ];
        let script = folder.join(&name);
        write(&script, filled(&name, read(&script)?, &blanks)?)?;
    }
    let worker = folder.join(WORKER);
    let mut files = hashes(folder)?;
    files.remove(WORKER);
    let (parts, files) = files
        .into_iter()
        .partition(|(name, _)| part_of(name).is_some());
    let blanks = [
        (BLANK_VERSION, own),
        (BLANK_FILES, format!("const FILES = {};", listed(&files))),
        (BLANK_PARTS, format!("const PARTS = {};", listed(&parts))),
    ];
    write(&worker, filled(WORKER, read(&worker)?, &blanks)?)?;
    Ok(version)
}

/// The hash of each file of a folder, in the form of the `integrity` attribute; without those of the site in another
/// language, which is one of its own.
fn hashes(folder: &Path) -> Result<BTreeMap<String, String>> {
    let files = files_below(folder)?.into_iter();
    files
        .filter(|(name, _)| language_of(name).is_none())
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
    hexadecimal(&all.finalize()[..8])
}

/// Bytes as people write them.
fn hexadecimal(bytes: &[u8]) -> String {
    bytes.iter().fold(String::new(), |mut text, byte| {
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

/// The page without the marks for trunk that trunk leaves in it, since it is not to put its own script in their place,
/// and since hashes that it took of the styles before they were finished would not be theirs.
fn without_build_marks(page: &str) -> String {
    let mut rest = page;
    let mut kept = String::new();
    while let Some((before, mark)) = rest.split_once("<link data-trunk") {
        kept.push_str(before.trim_end());
        rest = mark.split_once('>').map_or("", |(_, after)| after);
    }
    (kept + rest).replace(" data-integrity=\"none\"", "")
}

/// A script with its blank lines filled in.
fn filled(name: &str, script: String, blanks: &[(&str, String)]) -> Result<String> {
    blanks.iter().try_fold(script, |script, (blank, line)| {
        if script.matches(blank).count() != 1 {
            return Err(format!(
                "{name} must have the line `{blank}` once, for the build to fill in."
            ));
        }
        Ok(script.replace(blank, line))
    })
}

/// Files with their hashes as an object of a script.
fn listed(files: &BTreeMap<String, String>) -> String {
    let lines = files
        .iter()
        .map(|(name, hash)| format!("  \"{name}\": \"{hash}\",\n"));
    format!("{{\n{}}}", lines.collect::<String>())
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A build in a folder of its own.
    fn staged(name: &str, script: &str) -> PathBuf {
        let folder = env::temp_dir().join(format!("finish-{name}-{}", std::process::id()));
        let _ = fs::remove_dir_all(&folder);
        fs::create_dir_all(folder.join("icons")).expect("the folder can be made");
        let worker = format!("{BLANK_VERSION}\n{BLANK_FILES}\n{BLANK_PARTS}\n");
        let part = format!("{BLANK_VERSION}\n{BLANK_CORE}\n");
        // One mark is as trunk leaves it, one as a page has it that was written anew in another language.
        let page = "<link data-trunk rel=\"rust\" data-trunk-id=\"1\"><link data-trunk=\"\" rel=\"rust\"><p title=\"script-src 'self' 'sha256-'\">\
                    <script type=\"importmap\">{}</script><link rel=\"stylesheet\" href=\"./page.css\" data-integrity=\"none\">\
                    <script type=\"module\" src=\"boot.js\"></script><img src=\"icons/a.svg\">";
        for (file, text) in [
            ("index.html", page),
            ("boot.js", script),
            ("page.css", "p{}"),
            ("books.js", "4"),
            ("copy-out.js", "5"),
            ("decal-reckoner.js", "6"),
            ("decal-reckoner_bg.wasm", "7"),
            ("publish.js", "8"),
            ("icons/a.svg", "<svg/>"),
            ("desk_bg.wasm", "1"),
            ("desk.js", &part),
            ("light-table_bg.wasm", "2"),
            ("light-table.js", &part),
            ("counter_bg.wasm", "3"),
            ("counter.js", &part),
            (shop::PAGE, "<p>"),
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
    fn parts_are_listed_for_themselves_and_know_their_build() {
        let folder = staged("parts", "1");
        let version = finish(&folder).expect("the build is in order");
        let worker = read(&folder.join(WORKER)).expect("the worker is there");
        let (files, parts) = worker
            .split_once("const PARTS = {")
            .expect("the worker lists parts");
        // printf 1 | openssl dgst -sha256 -binary | base64
        for (part, hash) in [
            ("desk", "a4ayc/80/OGda4BO/1o/V0etpOqiLx1JwB5S3beHW0s="),
            (
                "light-table",
                "1HNeOiZeFu7gP1lxi5tdAwGcB9i2xR+Q2jpmbuwTqzU=",
            ),
        ] {
            for file in [format!("{part}.js"), format!("{part}_bg.wasm")] {
                assert!(!files.contains(&file), "{worker}");
                assert!(
                    parts.contains(&format!("\"{file}\": \"sha256-")),
                    "{worker}"
                );
            }
            let core = format!("const CORE = \"sha256-{hash}\";");
            assert_eq!(
                read(&folder.join(format!("{part}.js"))),
                Ok(format!("const VERSION = \"{version}\";\n{core}\n"))
            );
        }
        assert!(
            !files.contains(shop::PAGE) && parts.contains(shop::PAGE),
            "{worker}"
        );
    }

    #[test]
    fn scripts_and_styles_are_asked_for_by_build_and_pictures_are_not() {
        let folder = staged("stamped", "1");
        let version = finish(&folder).expect("the build is in order");
        let page = read(&folder.join("index.html")).expect("the page is there");
        for asked in [
            format!(" href=\"./page.css?v={version}\""),
            format!(" src=\"./boot.js?v={version}\""),
            format!("\"./books.js?v={version}\":"),
            "<img src=\"icons/a.svg\">".into(),
        ] {
            assert!(page.contains(&asked), "{asked}: {page}");
        }
        // printf 1 | openssl dgst -sha256 -binary | base64
        let hash =
            "integrity=\"sha256-a4ayc/80/OGda4BO/1o/V0etpOqiLx1JwB5S3beHW0s=\" src=\"./boot.js";
        assert!(page.contains(hash), "{page}");
        assert!(!page.contains("data-"), "{page}");
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
