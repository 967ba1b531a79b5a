//! Measuring what a visitor waits for, the bytes that are sent and the time to an answer; and what comes out of film.

use crate::Result;
use crate::browser::{DRIVER_VARIABLE, driver};
use crate::build::{build, dist};
use crate::finish::{language_of, part_of};
use crate::package::{PACKAGE_VARIABLE, folder, package};
use crate::run::{cargo, files_below, run};
use crate::words::LANGUAGES;
use flate2::Compression;
use flate2::write::GzEncoder;
use std::fs;
use std::io::Write;
use std::path::PathBuf;
use std::process::Command;

/// What a first visit may send, compressed, in bytes.
const BUDGET: usize = 250_000;
/// What it should keep to.
const AIM: usize = 150_000;
/// What each part that is loaded when it is asked for may send beside it. The light table is loaded by those who
/// open a drawing: it brings readers of XML and style sheets, curves and regions along.
const PART_BUDGETS: [(&str, usize); 6] = [
    ("desk", 250_000),
    ("light-table", 400_000),
    ("counter", 200_000),
    ("shop", 150_000),
    ("papers", 50_000),
    ("copy-out", 10_000),
];

/// How much more of everything a language other than English may send, in thousandths: its words are longer (Spanish ones
/// by a sixth, which is 1.6 % of a first visit), and they cannot be cut as code can.
const LONGER: usize = 25;

/// Measures one thing, or all that a visitor waits for.
///
/// # Errors
/// When the site cannot be built or measured, or is larger than it may be.
pub fn bench(arguments: &[String]) -> Result<()> {
    let words: Vec<&str> = arguments.iter().map(String::as_str).collect();
    match words[..] {
        [] => build()
            .and_then(|()| size())
            .and_then(|()| page())
            .and_then(|()| core()),
        ["size"] => build().and_then(|()| size()),
        ["page"] => build().and_then(|()| page()),
        ["core"] => core(),
        ["yield"] => yields(),
        _ => Err(
            "bench knows `size`, `page`, `core` and `yield`; without one of them it measures the first three."
                .into(),
        ),
    }
}

/// Prints the size of each file of the built site, and holds what a first visit loads and each part that is loaded when
/// it is asked for to their budgets.
///
/// # Errors
/// When the site is not built, or one of them is larger than it may be.
pub fn size() -> Result<()> {
    let files = files_below(&dist())?;
    let mut sums = Vec::new();
    for language in [None].into_iter().chain(LANGUAGES.map(Some)) {
        let of = |part: Option<&str>| {
            let own = |name: &str| language_of(name) == language && part_of(name) == part;
            sum(&files
                .iter()
                .filter(|(name, _)| own(name))
                .collect::<Vec<_>>())
        };
        let site = language.unwrap_or("en");
        let allowed = |budget: usize| match language {
            None => budget,
            Some(_) => budget + budget * LONGER / 1000,
        };
        let (first, budget) = (of(None)?, allowed(BUDGET));
        println!("{first:>21}  {site}: the first visit (the aim is {AIM}, the limit {budget})");
        sums.push((format!("The first visit ({site})"), first, budget));
        for (part, budget) in PART_BUDGETS {
            println!();
            let (sent, budget) = (of(Some(part))?, allowed(budget));
            println!(
                "{sent:>21}  {site}: {part}, loaded when it is asked for (the limit is {budget})"
            );
            sums.push((format!("The part {part} ({site})"), sent, budget));
        }
    }
    for (what, sent, budget) in sums {
        if sent > budget {
            return Err(format!(
                "{what} sends {sent} bytes, more than its budget of {budget}."
            ));
        }
    }
    Ok(())
}

/// Prints the size of each file; the sum of their sizes, compressed.
fn sum(files: &[&(String, PathBuf)]) -> Result<usize> {
    println!("{:>9} {:>11}  file", "bytes", "compressed");
    let mut sum = 0;
    for (name, file) in files {
        let bytes = fs::read(file)
            .map_err(|error| format!("{} could not be read: {error}.", file.display()))?;
        let compressed = compressed(&bytes)?;
        println!("{:>9} {compressed:>11}  {name}", bytes.len());
        sum += compressed;
    }
    Ok(sum)
}

/// The bytes that a host sends for a file: compressed, or as it is where that is shorter.
fn compressed(bytes: &[u8]) -> Result<usize> {
    let mut gzip = GzEncoder::new(Vec::new(), Compression::best());
    let sent = gzip.write_all(bytes).and_then(|()| gzip.finish());
    let sent = sent.map_err(|error| format!("A file could not be compressed: {error}."))?;
    Ok(sent.len().min(bytes.len()))
}

/// Drives the built page in the browser and prints how long its answers take.
fn page() -> Result<()> {
    run(&mut in_browser("measure")?)
}

/// Runs the core's own benchmarks.
fn core() -> Result<()> {
    run(cargo().args(["bench", "--package", "decal-reckoner", "--bench", "core"]))
}

/// Lays known instances out, natively beside other packers and then in the browser, and prints what
/// comes of it as tables.
fn yields() -> Result<()> {
    run(cargo().args(["bench", "--package", "decal-reckoner", "--bench", "yield"]))?;
    package()?;
    run(in_browser("yields")?.env(PACKAGE_VARIABLE, folder()))
}

/// A program of the page tests that measures in the browser.
fn in_browser(program: &str) -> Result<Command> {
    let driver = driver()?;
    let mut command = cargo();
    command
        .args(["run", "--quiet", "--package", "site-tests", "--bin"])
        .arg(program)
        .env(DRIVER_VARIABLE, driver);
    Ok(command)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_file_counts_as_the_shorter_of_itself_and_its_compressed_form() {
        assert_eq!(compressed(b"a"), Ok(1));
        let plain = compressed(&[b'a'; 10_000]).expect("memory can be written to");
        assert!(plain < 100, "{plain}");
    }
}
