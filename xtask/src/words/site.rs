//! The built site in another language: a folder in it that is a site of its own, and keeps what is typed with the other.

use super::{LANGUAGES, catalogue, has_ending, page, script};
use crate::Result;
use crate::run::{files_below, read, write};
use catalogue::Catalog;
use std::fs;
use std::path::Path;

/// What each is called by those who speak it.
const NAMES: [(&str, &str); 1] = [("es", "Español")];
/// Where the page leads to itself in its other languages.
const LINKS: &str = "<span id=\"languages\"></span>";
/// How a page begins that is in English.
const ENGLISH: &str = "<html lang=\"en\"";
/// The same in the manifest.
const MANIFEST: &str = "manifest.webmanifest";
const MANIFEST_LANGUAGE: &str = "\"lang\": \"en\"";

/// A language of the site.
pub struct Tongue {
    name: &'static str,
    /// None for English.
    catalogue: Option<Catalog>,
    /// What stands in place of [`LINKS`].
    links: String,
}

impl Tongue {
    /// English, with links to others.
    ///
    /// # Errors
    /// When a catalogue cannot be read.
    pub fn english(others: &[&str]) -> Result<Self> {
        let links = others
            .iter()
            .map(|other| link(other, &format!("{other}/")))
            .collect::<Result<_>>()?;
        Ok(Self {
            name: "en",
            catalogue: None,
            links,
        })
    }

    /// One of the others, by its name.
    ///
    /// # Errors
    /// When there is none, or its catalogue cannot be read.
    pub fn of(language: &str) -> Result<Self> {
        let unknown = || format!("There is no catalogue for `{language}`.");
        let name = LANGUAGES
            .into_iter()
            .find(|name| *name == language)
            .ok_or_else(unknown)?;
        let mut links = "<a href=\"../\" hreflang=\"en\" lang=\"en\">English</a>".to_owned();
        for other in LANGUAGES.into_iter().filter(|other| *other != name) {
            links += &link(other, &format!("../{other}/"))?;
        }
        Ok(Self {
            name,
            catalogue: Some(catalogue(name)?),
            links,
        })
    }

    /// A page that says which language it is in, and that what it keeps is that of the folder above.
    #[must_use]
    pub fn placed(&self, page: &str) -> String {
        page.replacen(
            ENGLISH,
            &format!("<html lang=\"{}\" data-root=\"..\"", self.name),
            1,
        )
    }

    /// A text in this language; in English where there is none.
    fn say(&self, text: &str) -> String {
        self.catalogue
            .as_ref()
            .and_then(|catalogue| catalogue.find_message(None, text, None))
            .and_then(|message| message.msgstr().ok())
            .filter(|said| !said.is_empty())
            .unwrap_or(text)
            .to_owned()
    }
}

/// A link to the site in a language, under its own name.
fn link(language: &str, address: &str) -> Result<String> {
    let named = NAMES.iter().find(|(name, _)| *name == language);
    let (_, name) = named.ok_or_else(|| format!("Nobody says what `{language}` is called."))?;
    Ok(format!(
        "<a href=\"{address}\" hreflang=\"{language}\" lang=\"{language}\">{name}</a>"
    ))
}

/// Puts what is the same in every language into a folder: all but modules and their scripts.
///
/// # Errors
/// When a file cannot be copied.
pub fn begin(staged: &Path, folder: &Path) -> Result<()> {
    let files = files_below(staged)?;
    let has_module = |name: &str| {
        let module = name.replace(".js", "_bg.wasm");
        has_ending(name, "wasm")
            || files
                .iter()
                .any(|(other, _)| *other == module && module != name)
    };
    for (name, file) in &files {
        if has_module(name)
            || LANGUAGES
                .iter()
                .any(|language| name.starts_with(&format!("{language}/")))
        {
            continue;
        }
        let to = folder.join(name);
        let copied = to
            .parent()
            .map_or(Ok(()), fs::create_dir_all)
            .and_then(|()| fs::copy(file, &to));
        copied.map_err(|error| format!("{name} could not be copied: {error}."))?;
    }
    Ok(())
}

/// Puts the texts of a language into the page, the scripts and the manifest of a folder.
///
/// # Errors
/// When a file cannot be read or written, or a text does not fit.
pub fn speak(tongue: &Tongue, folder: &Path) -> Result<()> {
    let mut say = |text: &str| tongue.say(text);
    for (name, file) in files_below(folder)? {
        if name.contains('/') {
            continue;
        }
        if has_ending(&name, "js") {
            write(&file, script::spoken(&read(&file)?, &mut say))?;
        }
    }
    let index = folder.join("index.html");
    let mut whole = read(&index)?;
    if tongue.catalogue.is_some() {
        whole = tongue.placed(&page::exchange(&whole, &mut say)?);
        let manifest = folder.join(MANIFEST);
        let told = script::told(&read(&manifest)?, &script::MANIFEST, &mut say);
        write(
            &manifest,
            told.replace(MANIFEST_LANGUAGE, &format!("\"lang\": \"{}\"", tongue.name)),
        )?;
    }
    write(
        &index,
        whole.replace(
            LINKS,
            &format!("<span id=\"languages\">{}</span>", tongue.links),
        ),
    )
}
