//! The texts of the maker's page in other languages: `locales/messages.pot` lists them in English, and a catalogue beside
//! it has them in another language. Texts stand in the Rust sources and in the page's scripts as `say!("…")` and
//! `say("…")`, and in its HTML as they are.

mod page;
mod script;
pub mod site;

use crate::Result;
use crate::run::{files_below, read, root};
use catalogue::{Catalog, Message, MessageView, calls_in, names, po_file};
use std::collections::BTreeSet;
use std::ffi::OsStr;
use std::path::{Path, PathBuf};

/// The languages in which the page is built beside English: the name of the catalogue, of the folder in the site and of the
/// feature of the crate.
pub const LANGUAGES: [&str; 1] = ["es"];

/// A text of the sources.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Text {
    /// Where the words stand, if they stand elsewhere in another sense.
    pub context: Option<String>,
    /// The English words; two, for one and for more, where something is counted.
    pub texts: Vec<String>,
    /// The files in which they stand.
    pub files: BTreeSet<String>,
}

fn folder() -> PathBuf {
    root().join("locales")
}

/// Writes the list of texts anew, and brings every catalogue to it: what is new comes in empty, what is gone goes.
///
/// # Errors
/// When a source or a catalogue cannot be read or written.
pub fn words() -> Result<()> {
    let texts = texts()?;
    let list = list(&texts)?;
    po_file::write_to_file(&list, &folder().join("messages.pot"))
        .map_err(|error| error.to_string())?;
    for language in LANGUAGES {
        let old = catalogue(language)?;
        let mut new = Catalog::new(old.metadata.clone());
        for text in &texts {
            new.append_or_update(message(text, found(&old, text)));
        }
        po_file::write_to_file(&new, &folder().join(format!("{language}.po")))
            .map_err(|error| error.to_string())?;
        let missing = new.messages().filter(|message| !message.is_translated());
        println!(
            "{language}: {} texts, {} to be written.",
            texts.len(),
            missing.count()
        );
    }
    Ok(())
}

/// Looks whether the list is that of the sources, and whether every catalogue has all of it.
///
/// # Errors
/// With what is wrong, line by line.
pub fn check() -> Result<()> {
    let texts = texts()?;
    let mut wrong = Vec::new();
    let listed = catalogue::read(&folder().join("messages.pot"))?;
    if told(&listed) != told(&list(&texts)?) {
        wrong
            .push("locales/messages.pot is not what the sources say: cargo xtask words".to_owned());
    }
    for language in LANGUAGES {
        let catalogue = catalogue(language)?;
        for text in &texts {
            if let Some(why) = trouble(&catalogue, text) {
                wrong.push(format!("{language}: {why}: {}", text.texts[0]));
            }
        }
        if catalogue.count() != texts.len() {
            wrong.push(format!(
                "{language} has texts that nobody says: cargo xtask words"
            ));
        }
    }
    if wrong.is_empty() {
        return Ok(());
    }
    Err(wrong.join("\n"))
}

/// What is wrong with a text in a catalogue.
fn trouble(catalogue: &Catalog, text: &Text) -> Option<&'static str> {
    let Some(message) = found(catalogue, text).filter(|message| message.is_translated()) else {
        return Some("not there");
    };
    if message.is_fuzzy() {
        return Some("marked as doubtful");
    }
    let is_html = text.files.iter().any(|file| is_page(file));
    let all = |texts: &[String]| -> Option<BTreeSet<String>> {
        let mut all = BTreeSet::new();
        for text in texts {
            all.extend(names(text).ok()?);
            if is_html {
                all.extend(page::tags(text).ok()?);
            }
        }
        Some(all)
    };
    let theirs = match message.msgstr_plural() {
        Ok(texts) => texts.clone(),
        Err(_) => vec![message.msgstr().ok()?.to_owned()],
    };
    match (all(&text.texts), all(&theirs)) {
        (Some(ours), Some(theirs)) if ours == theirs => None,
        (_, None) => Some("a brace or a tag is open"),
        _ => Some("it has other names in braces, or other tags"),
    }
}

/// Whether a file of the project has the page's own HTML, or a part of it.
fn is_page(name: &str) -> bool {
    name == "index.html" || name.starts_with("src/page/") && has_ending(name, "html")
}

/// Whether the name of a file ends in a dot and these letters.
fn has_ending(name: &str, ending: &str) -> bool {
    Path::new(name).extension() == Some(OsStr::new(ending))
}

/// The catalogue of a language.
fn catalogue(language: &str) -> Result<Catalog> {
    catalogue::read(&folder().join(format!("{language}.po")))
}

/// All texts, in the order of the files.
fn texts() -> Result<Vec<Text>> {
    let mut texts: Vec<Text> = Vec::new();
    let mut add = |file: &str, context: Option<String>, words: Vec<String>| {
        let same = |text: &&mut Text| {
            text.context == context && text.texts[0] == words[0] && text.texts.len() == words.len()
        };
        match texts.iter_mut().find(same) {
            Some(text) => {
                text.files.insert(file.to_owned());
            }
            None => texts.push(Text {
                context,
                texts: words,
                files: [file.to_owned()].into(),
            }),
        }
    };
    let root = root();
    let mut files = vec![("index.html".to_owned(), root.join("index.html"))];
    for folder in ["public", "src"] {
        let below = files_below(&root.join(folder))?;
        files.extend(
            below
                .into_iter()
                .map(|(name, file)| (format!("{folder}/{name}"), file)),
        );
    }
    for (name, file) in files {
        if is_page(&name) {
            for text in page::texts(&read(&file)?)? {
                add(&name, None, vec![text]);
            }
        } else if has_ending(&name, "rs") {
            let calls = calls_in(&read(&file)?).map_err(|trouble| {
                let start = trouble.span.start();
                format!("{name}:{}: {}", start.line, trouble.why)
            })?;
            for call in calls {
                let words = call.texts.into_iter().map(|(text, _)| text).collect();
                add(&name, call.context, words);
            }
        } else if script::SCRIPTS.contains(&name.as_str()) || name == "public/manifest.webmanifest"
        {
            for text in script::texts(&name, &read(&file)?) {
                add(&name, None, vec![text]);
            }
        }
    }
    Ok(texts)
}

fn list(texts: &[Text]) -> Result<Catalog> {
    let mut metadata = catalogue(LANGUAGES[0])?.metadata;
    metadata.language = String::new();
    let mut list = Catalog::new(metadata);
    for text in texts {
        list.append_or_update(message(text, None));
    }
    Ok(list)
}

/// A text as an entry, with what an older one said and what its translator wrote beside it.
fn message(text: &Text, old: Option<&dyn MessageView>) -> Message {
    let files: Vec<&str> = text.files.iter().map(String::as_str).collect();
    let mut message = match &text.texts[..] {
        [one, more] => {
            let said = old.and_then(|old| old.msgstr_plural().ok().cloned());
            let mut message = Message::build_plural();
            message
                .with_msgid(one.clone())
                .with_msgid_plural(more.clone());
            message.with_msgstr_plural(said.unwrap_or_else(|| vec![String::new(); 2]));
            message
        }
        texts => {
            let said = old.and_then(|old| old.msgstr().ok());
            let mut message = Message::build_singular();
            message.with_msgid(texts[0].clone());
            message.with_msgstr(said.unwrap_or_default().to_owned());
            message
        }
    };
    if let Some(context) = &text.context {
        message.with_msgctxt(context.clone());
    }
    if let Some(old) = old {
        message.with_translator_comments(old.translator_comments().to_owned());
        message.with_flags(old.flags().clone());
    }
    message.with_source(files.join("\n"));
    message.done()
}

fn found<'a>(catalogue: &'a Catalog, text: &Text) -> Option<&'a dyn MessageView> {
    catalogue.find_message(
        text.context.as_deref(),
        &text.texts[0],
        text.texts.get(1).map(String::as_str),
    )
}

/// What a list says, without what its writer may order in its own way.
fn told(list: &Catalog) -> Vec<String> {
    let of = |message: &dyn MessageView| {
        format!(
            "{:?} {} {:?} {}",
            message.msgctxt(),
            message.msgid(),
            message.msgid_plural().ok(),
            message.source()
        )
    };
    let mut told: Vec<String> = list.messages().map(of).collect();
    told.sort();
    told
}
