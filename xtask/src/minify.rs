//! Making what is sent short: scripts and styles by esbuild, pages by leaving their indentation out.

use crate::Result;
use crate::run::{files_below, piped, read, write};
use crate::tools::{Tool, installed};
use std::ffi::OsStr;
use std::path::Path;
use std::process::Command;

/// How the lines begin that a build fills in later, by their text. They would else be worked into the rest.
const FILLED_LATER: [&str; 5] = [
    "const VERSION = ",
    "const FILES = ",
    "const PARTS = ",
    "const CORE = ",
    "const CATALOGUES = ",
];

/// What a text is read as.
#[derive(Clone, Copy)]
pub enum Kind {
    /// A script with imports or exports.
    Module,
    /// A script that is none, and whose names are its own.
    Alone,
    /// Any other script. What it finds around it, and what it leaves there, has the names that it had.
    Script,
    /// A style sheet.
    Style,
}

/// Makes the scripts, styles and pages of a folder short.
///
/// # Errors
/// When a file cannot be read or written, or is not what its name says.
pub fn minify_all(folder: &Path) -> Result<()> {
    if installed(Tool::Esbuild)?.is_none() {
        println!("esbuild is not installed: scripts and styles are left as large as they are.");
    }
    for (name, file) in files_below(folder)? {
        let kind = file.extension().and_then(OsStr::to_str);
        let short = match (name.rsplit('/').next().unwrap_or_default(), kind) {
            ("sw.js", _) => minified(&read(&file)?, Kind::Alone),
            // It may be taken in as either.
            ("decal-quote.js", _) => minified(&read(&file)?, Kind::Script),
            (_, Some("js")) => minified(&read(&file)?, Kind::Module),
            (_, Some("css")) => minified(&read(&file)?, Kind::Style),
            (_, Some("html")) => Ok(without_indentation(&read(&file)?)),
            _ => continue,
        };
        let short = short.map_err(|error| format!("{name} was not made short. {error}"))?;
        write(&file, short)?;
    }
    Ok(())
}

/// A script or style in few bytes, or as it is where esbuild could not be had. The lines that a build fills in stand before
/// the rest, as they are.
///
/// # Errors
/// When the text is not what it is read as.
pub fn minified(text: &str, kind: Kind) -> Result<String> {
    let Some(esbuild) = installed(Tool::Esbuild)? else {
        return Ok(text.to_owned());
    };
    let (blanks, rest) = apart(text);
    let switches: &[&str] = match kind {
        Kind::Module => &["--loader=js", "--format=esm"],
        // In a function of its own, in which names can be short.
        Kind::Alone => &["--loader=js", "--format=iife"],
        // No format: a library that looks for `exports` would be taken for a module of Node.
        Kind::Script => &["--loader=js"],
        Kind::Style => &["--loader=css"],
    };
    let mut command = Command::new(esbuild);
    command.args(["--minify", "--charset=utf8"]).args(switches);
    Ok(blanks + &piped(&mut command, &rest)?)
}

/// The lines of a script that a build fills in, and the others.
fn apart(text: &str) -> (String, String) {
    let lines = text.split_inclusive('\n');
    lines.partition(|line| FILLED_LATER.iter().any(|begin| line.starts_with(begin)))
}

/// A page without indentation and blank lines, but for what stands in a field of several lines.
pub fn without_indentation(page: &str) -> String {
    let mut kept = String::new();
    let mut in_field = false;
    for line in page.lines() {
        let rest = if in_field { line } else { line.trim() };
        let [begins, ends] = ["<textarea", "</textarea"].map(|mark| line.rfind(mark));
        // The later of the two marks tells.
        if begins.or(ends).is_some() {
            in_field = begins > ends;
        }
        if in_field && begins.is_some() {
            kept.push_str(line.trim_start());
        } else if rest.is_empty() && !in_field {
            continue;
        } else {
            kept.push_str(rest);
        }
        kept.push('\n');
    }
    kept
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_that_are_filled_in_are_kept_apart() {
        let script = "// a\nconst VERSION = \"unbuilt\";\nconst b = VERSION;\n  const CORE = c;\nconst FILES = {};\n";
        let (blanks, rest) = apart(script);
        assert_eq!(blanks, "const VERSION = \"unbuilt\";\nconst FILES = {};\n");
        assert_eq!(rest, "// a\nconst b = VERSION;\n  const CORE = c;\n");
    }

    #[test]
    fn a_page_keeps_what_stands_in_its_fields() {
        let page = "\
<div>
  <p>a

  <textarea>
  b

 c </textarea>
  <textarea>d</textarea>
  e
";
        let expected = "\
<div>
<p>a
<textarea>
  b

 c </textarea>
<textarea>d</textarea>
e
";
        assert_eq!(without_indentation(page), expected);
    }
}
