//! Pages that stand alone, each one file with everything in it: so it can be put beside any page, sent as a file, shown in
//! a frame that has no origin and may load nothing, and opened without a network. The customers' page reckons with a module
//! of its own; the papers only show what the maker's page has reckoned.

use crate::Result;
use crate::finish::{bind, shrink_all};
use crate::minify::{Kind, minified, without_indentation};
use crate::run::{files_below, read, root, target, write};
use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use sha2::{Digest, Sha256};
use std::ffi::OsStr;
use std::fs;
use std::path::Path;

/// The file of the customers' page in the built site.
pub const PAGE: &str = "shop.html";
/// The feature that its module is built with, and the folder of its sources.
pub const SHOP: &str = "shop";
/// The file of the papers in the built site.
pub const PAPERS_PAGE: &str = "papers.html";
/// The folder of its sources.
pub const PAPERS: &str = "papers";

/// The library that reads the catalogues and puts values into their messages: Fluent, version 0.19.1, as its package has
/// it (`vendor/README.md`).
const FLUENT: &str = "vendor/fluent-bundle.js";
/// What stands before the script of each page: words, and behind them how tables and pictures are taken out.
const WORDS: &str = "src/words.js";
/// What stands before the style of each page.
const STYLE: &str = "src/pages.css";
/// The latter, which these pages have in common with the maker's.
pub const COPIED: &str = "src/copied.js";
/// The lines of the scripts which the build fills in.
const BLANK_CATALOGUES: &str = "const CATALOGUES = {};";
const BLANK_CORE: &str = "const CORE = \"unbuilt\";";

/// Builds the customers' page into a folder; `path` is where wasm-bindgen is looked for, as in [`bind`].
///
/// # Errors
/// When a tool fails, or a source lacks what is filled in.
pub fn add_shop(staged: &Path, release: bool, path: Option<&OsStr>) -> Result<()> {
    let folder = target().join(SHOP);
    let _ = fs::remove_dir_all(&folder);
    bind(SHOP, "no-modules", &folder, release, path)?;
    if release {
        shrink_all(&folder)?;
    }
    let module = folder.join(format!("{SHOP}_bg.wasm"));
    let module = fs::read(&module)
        .map_err(|error| format!("{} could not be read: {error}.", module.display()))?;
    let mut parts = Parts::of(SHOP)?;
    parts
        .libraries
        .push(read(&folder.join(format!("{SHOP}.js")))?);
    parts.module = Some(module);
    write(&staged.join(PAGE), parts.page(release)?)
}

/// Builds the papers into a folder.
///
/// # Errors
/// When a source lacks what is filled in.
pub fn add_papers(staged: &Path, release: bool) -> Result<()> {
    write(&staged.join(PAPERS_PAGE), Parts::of(PAPERS)?.page(release)?)
}

/// The catalogues of messages by their languages.
fn catalogues(sources: &Path) -> Result<Vec<(String, String)>> {
    let mut all = Vec::new();
    for (name, file) in files_below(sources)? {
        if let Some(language) = name.strip_suffix(".ftl") {
            all.push((language.to_owned(), read(&file)?));
        }
    }
    all.sort();
    Ok(all)
}

/// What a page is made of.
struct Parts {
    /// Its name, as that of the folder of its sources.
    name: &'static str,
    page: String,
    style: String,
    libraries: Vec<String>,
    /// What it has in common with the other pages, and its own.
    scripts: [String; 2],
    catalogues: Vec<(String, String)>,
    /// What it reckons with, if it does.
    module: Option<Vec<u8>>,
}

impl Parts {
    /// The parts of a page that reckons nothing.
    fn of(name: &'static str) -> Result<Self> {
        let sources = root().join("src").join(name);
        let source = |kind: &str| read(&sources.join(format!("{name}.{kind}")));
        Ok(Self {
            name,
            page: source("html")?,
            style: read(&root().join(STYLE))? + "\n" + &source("css")?,
            libraries: vec![read(&root().join(FLUENT))?],
            scripts: [
                read(&root().join(WORDS))? + &read(&root().join(COPIED))?,
                source("js")?,
            ],
            catalogues: catalogues(&sources)?,
            module: None,
        })
    }

    /// The page, with the hashes of its styles and its script in its policy: nothing else of it is ever run.
    fn page(&self, release: bool) -> Result<String> {
        let short = |text: String, kind: Kind| {
            if release {
                minified(&text, kind)
            } else {
                Ok(text)
            }
        };
        let once = |text: &str, blank: &str, filled: &str| once(self.name, text, blank, filled);
        let [words, own] = &self.scripts;
        let script = self.libraries.join("\n") + "\n(() => {\n" + words + own + "})();\n";
        let script = short(script, Kind::Script)?;
        let catalogues: Vec<String> = self
            .catalogues
            .iter()
            .map(|(language, messages)| format!("{}:{}", quoted(language), quoted(messages)))
            .collect();
        let catalogues = format!("const CATALOGUES = {{{}}};", catalogues.join(","));
        let mut script = once(&script, BLANK_CATALOGUES, &catalogues)?;
        if let Some(module) = &self.module {
            let core = format!("const CORE = \"{}\";", STANDARD.encode(module));
            script = once(&script, BLANK_CORE, &core)?;
        }
        for end in ["</script", "<!--"] {
            if script.contains(end) {
                return Err(format!(
                    "The script of {}.html would end at `{end}` in it.",
                    self.name
                ));
            }
        }
        let style = short(self.style.clone(), Kind::Style)?;
        let page = if release {
            without_indentation(&self.page)
        } else {
            self.page.clone()
        };
        let page = once(
            &page,
            "<style>STYLE</style>",
            &format!("<style>{style}</style>"),
        )?;
        let page = once(&page, "HASH-OF-STYLE", &styles(&page))?;
        let page = once(&page, "HASH-OF-SCRIPT", &hash(&script))?;
        once(
            &page,
            "<script>SCRIPT</script>",
            &format!("<script>{script}</script>"),
        )
    }
}

/// The hashes of all styles of a page, as its policy lists them.
fn styles(page: &str) -> String {
    let marks = page.split("<style").skip(1);
    let styles = marks.filter_map(|rest| rest.split_once('>')?.1.split_once("</style>"));
    let hashes: Vec<String> = styles.map(|(style, _)| hash(style)).collect();
    hashes.join("' '")
}

/// The text with what must be there once exchanged for something else.
fn once(name: &str, text: &str, blank: &str, filled: &str) -> Result<String> {
    if text.matches(blank).count() != 1 {
        return Err(format!(
            "{name}.html must have `{blank}` once, for the build to fill in."
        ));
    }
    Ok(text.replace(blank, filled))
}

/// The hash of a script or style as a policy names it.
fn hash(text: &str) -> String {
    format!("sha256-{}", STANDARD.encode(Sha256::digest(text)))
}

/// A text as a script writes it, in which no end of the script can be.
fn quoted(text: &str) -> String {
    let mut quoted = String::from("\"");
    for letter in text.chars() {
        match letter {
            '"' => quoted.push_str("\\\""),
            '\\' => quoted.push_str("\\\\"),
            '\n' => quoted.push_str("\\n"),
            '<' => quoted.push_str("\\u003c"),
            letter => quoted.push(letter),
        }
    }
    quoted.push('"');
    quoted
}

#[cfg(test)]
mod tests {
    use super::*;

    fn parts() -> Parts {
        Parts {
            name: "shop",
            page: "<meta content=\"'HASH-OF-SCRIPT' 'HASH-OF-STYLE'\"><style>STYLE</style>\n  <p>\n<style id=\"a\">b</style>\n<script>SCRIPT</script>\n".into(),
            style: "/* a */\np {}\n".into(),
            libraries: vec!["// one\none();\n".into(), "two();\n".into()],
            scripts: [
                format!("{BLANK_CATALOGUES}\n"),
                format!("{BLANK_CORE}\n"),
            ],
            catalogues: vec![("en".into(), "a = <b> \"c\"\n".into())],
            module: Some(b"wasm".to_vec()),
        }
    }

    #[test]
    fn the_policy_names_what_stands_in_the_page() {
        let page = parts().page(false).expect("all blanks are there");
        let between = |from: &str, to: &str| {
            let after = page.split_once(from).expect("it begins").1;
            after.split_once(to).expect("it ends").0.to_owned()
        };
        let script = between("<script>", "</script>");
        assert!(script.starts_with("// one\none();\n\ntwo();\n"), "{script}");
        assert!(
            script.contains("const CATALOGUES = {\"en\":\"a = \\u003cb> \\\"c\\\"\\n\"};"),
            "{script}"
        );
        // printf wasm | base64
        assert!(script.contains("const CORE = \"d2FzbQ==\";"), "{script}");
        let style = between("<style>", "</style>");
        assert_eq!(style, "/* a */\np {}\n");
        // printf '/* a */\np {}\n' | openssl dgst -sha256 -binary | base64
        assert!(
            page.contains("'sha256-KjxEqEji2W/1JEWGUiOrBSnjxjtintIS4iY2y3+HuDY='"),
            "{page}"
        );
        // printf b | openssl dgst -sha256 -binary | base64
        assert!(
            page.contains("' 'sha256-PiPoFgA5WUoziU9lZOGxNIu9egCI1CxKy3PurtWcAJ0='\">"),
            "{page}"
        );
        assert!(page.contains(&format!("'{}'", hash(&script))), "{page}");
    }

    #[test]
    fn a_page_without_its_blanks_is_refused() {
        let mut parts = parts();
        parts.scripts[1] = String::new();
        assert!(parts.page(false).is_err());
        let mut parts = self::parts();
        parts.page = parts.page.replace("<style>", "<style >");
        assert!(parts.page(false).is_err());
        let mut parts = self::parts();
        parts.scripts[0].push_str("a = '</script>';");
        assert!(parts.page(false).is_err());
    }
}
