//! What the page loads first: its styles in one file, and the hashes by which the browser knows scripts, styles and module.

use crate::Result;
use crate::run::{read, write};
use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use sha2::{Digest, Sha256};
use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

/// The file that all style sheets of the page become.
const STYLE: &str = "page.css";
/// How the place of a style sheet begins in the page.
const STYLE_LINK: &str = "<link rel=\"stylesheet\" href=\"";
/// Where the page's scripts are listed with their hashes; what stands in it is the build's.
const MAP: [&str; 2] = ["<script type=\"importmap\">", "</script>"];
/// Where the page's policy has the hash of that list.
const MAP_HASH: [&str; 2] = ["script-src 'self' 'sha256-", "'"];
/// What is loaded by the page itself, and by its address there.
const LOADED: [(&str, &str); 2] = [
    ("<link rel=\"stylesheet\" ", STYLE),
    ("<script type=\"module\" ", "boot.js"),
];
/// What the scripts load: those that they import, and the module of the first visit, whose hash `boot.js` looks for there.
const IMPORTED: [&str; 5] = [
    "books.js",
    "copy-out.js",
    "decal-reckoner.js",
    "decal-reckoner_bg.wasm",
    "publish.js",
];

/// Puts the style sheets of the page into one, in the order in which the page names them.
///
/// # Errors
/// When the page names none, or one of them cannot be read.
pub fn join_styles(folder: &Path) -> Result<()> {
    if folder.join(STYLE).exists() {
        // A build that is finished anew.
        return Ok(());
    }
    let index = folder.join("index.html");
    let page = read(&index)?;
    let mut pieces = page.split(STYLE_LINK);
    let mut kept = pieces.next().unwrap_or_default().trim_end().to_owned();
    let mut style = String::new();
    for piece in pieces {
        let (name, rest) = piece
            .split_once('"')
            .ok_or("A style sheet of the page has no address.")?;
        let file = folder.join(name.trim_start_matches("./"));
        style.push_str(&read(&file)?);
        fs::remove_file(&file).map_err(|error| format!("{} is stuck: {error}.", file.display()))?;
        if !kept.contains(STYLE_LINK) {
            kept += &["\n    ", STYLE_LINK, STYLE, "\">"].concat();
        }
        kept.push_str(rest.split_once('>').map_or("", |(_, rest)| rest).trim_end());
    }
    if style.is_empty() {
        return Err("The page names no style sheet.".into());
    }
    write(&folder.join(STYLE), style)?;
    write(&index, kept + "\n")
}

/// Writes the hashes of scripts and styles into the page, so that the browser refuses any other; `version` is the build's.
///
/// # Errors
/// When the page lacks a place for them, or the build one of the files.
pub fn seal(page: &str, hashes: &BTreeMap<String, String>, version: &str) -> Result<String> {
    let hash = |name: &str| {
        hashes
            .get(name)
            .ok_or_else(|| format!("The build has no {name}."))
    };
    let entries = IMPORTED
        .iter()
        .map(|name| Ok(format!("\"./{name}?v={version}\":\"{}\"", hash(name)?)))
        .collect::<Result<Vec<_>>>()?;
    let map = format!("{{\"integrity\":{{{}}}}}", entries.join(","));
    let mut page = exchanged(page, MAP, &map)?;
    page = exchanged(&page, MAP_HASH, &STANDARD.encode(Sha256::digest(map)))?;
    for (begin, name) in LOADED {
        let place = format!("{begin}integrity=\"");
        if !page.contains(&place) {
            page = page.replacen(begin, &format!("{place}\" "), 1);
        }
        page = exchanged(&page, [&place, "\""], hash(name)?)?;
    }
    Ok(page)
}

/// The page with something else between two marks.
fn exchanged(page: &str, [begin, end]: [&str; 2], between: &str) -> Result<String> {
    let missing = || format!("The page must have `{begin}`, for the build to fill in.");
    let (before, rest) = page.split_once(begin).ok_or_else(missing)?;
    let (_, after) = rest.split_once(end).ok_or_else(missing)?;
    Ok([before, begin, between, end, after].concat())
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::env;

    #[test]
    fn style_sheets_become_one_in_their_order() {
        let folder = env::temp_dir().join(format!("styles-{}", std::process::id()));
        let _ = fs::remove_dir_all(&folder);
        fs::create_dir_all(&folder).expect("the folder can be made");
        let files = [
            (
                "index.html",
                "<head>\n  <link rel=\"stylesheet\" href=\"./b.css\"/>\n  <link rel=\"stylesheet\" href=\"a.css\">\n</head>\n",
            ),
            ("a.css", "a{}\n"),
            ("b.css", "b{}\n"),
        ];
        for (file, text) in files {
            fs::write(folder.join(file), text).expect("the file can be written");
        }
        for _ in 0..2 {
            join_styles(&folder).expect("there are style sheets");
            assert_eq!(
                read(&folder.join("index.html")),
                Ok("<head>\n    <link rel=\"stylesheet\" href=\"page.css\">\n</head>\n".into())
            );
            assert_eq!(read(&folder.join(STYLE)), Ok("b{}\na{}\n".into()));
        }
        assert!(!folder.join("a.css").exists());
    }

    #[test]
    fn hashes_stand_where_the_browser_looks_for_them_and_are_made_anew() {
        let page = "<meta content=\"script-src 'self' 'sha256-' b\"><script type=\"importmap\">{}</script>\
                    <link rel=\"stylesheet\" href=\"page.css\"><script type=\"module\" src=\"boot.js\"></script>";
        let names = IMPORTED.into_iter().chain([STYLE, "boot.js"]);
        let mut hashes: BTreeMap<String, String> = names
            .map(|name| (name.to_owned(), format!("sha256-{name}")))
            .collect();
        let sealed = seal(page, &hashes, "1").expect("all is there");
        assert!(
            sealed.contains(
                "<link rel=\"stylesheet\" integrity=\"sha256-page.css\" href=\"page.css\">"
            ),
            "{sealed}"
        );
        assert!(
            sealed
                .contains("<script type=\"module\" integrity=\"sha256-boot.js\" src=\"boot.js\">"),
            "{sealed}"
        );
        assert!(
            sealed.contains("\"./books.js?v=1\":\"sha256-books.js\""),
            "{sealed}"
        );
        assert_eq!(seal(&sealed, &hashes, "1"), Ok(sealed.clone()));
        hashes.remove("books.js");
        assert_eq!(
            seal(page, &hashes, "1"),
            Err("The build has no books.js.".into())
        );
    }
}
