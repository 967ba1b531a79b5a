//! The messages of the customers' page and of the papers: that all languages have the same ones, that the pages say none
//! that is missing and none is left over. Read by another library than the page's own.

use decal_reckoner::error::Code;
use decal_reckoner::rate_card::Ask;
use fluent_syntax::ast::{
    Entry, Expression, InlineExpression, Pattern, PatternElement, VariantKey,
};
use fluent_syntax::parser::parse;
use serde_json::json;
use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};

/// The pages that have catalogues, as their folders are named.
const PAGES: [&str; 2] = ["shop", "papers"];

fn sources(page: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("src").join(page)
}

fn source(page: &str, name: &str) -> String {
    fs::read_to_string(sources(page).join(name)).unwrap()
}

/// What a message is made of.
#[derive(Debug, Default, PartialEq, Eq)]
struct Parts {
    variables: BTreeSet<String>,
    /// The names of its variants, that of the default one with its mark.
    variants: BTreeSet<String>,
    /// Its words, of all its variants.
    text: String,
}

impl Parts {
    fn gather(&mut self, pattern: &Pattern<&str>) {
        for element in &pattern.elements {
            match element {
                PatternElement::TextElement { value } => self.text.push_str(value),
                PatternElement::Placeable { expression } => self.place(expression),
            }
        }
    }

    fn place(&mut self, expression: &Expression<&str>) {
        match expression {
            Expression::Inline(inline) => self.inline(inline),
            Expression::Select { selector, variants } => {
                self.inline(selector);
                for variant in variants {
                    // By how many: English and Spanish have `one` and `other` by CLDR; `many` of Spanish is for
                    // millions, which no order has. By a choice: its names.
                    let VariantKey::Identifier { name } = variant.key else {
                        panic!("a variant for one number only");
                    };
                    let mark = if variant.default { "*" } else { "" };
                    self.variants.insert(format!("{mark}{name}"));
                    self.gather(&variant.value);
                }
            }
        }
    }

    fn inline(&mut self, inline: &InlineExpression<&str>) {
        // Neither messages in messages nor functions nor texts in quotes: each message stands whole.
        let InlineExpression::VariableReference { id } = inline else {
            panic!("{inline:?}");
        };
        self.variables.insert(id.name.to_owned());
    }
}

fn catalogue(page: &str, language: &str) -> BTreeMap<String, Parts> {
    let text = source(page, &format!("{language}.ftl"));
    let resource = parse(text.as_str()).unwrap_or_else(|(_, errors)| panic!("{errors:?}"));
    let mut messages = BTreeMap::new();
    for entry in &resource.body {
        match entry {
            Entry::Message(message) => {
                assert!(message.attributes.is_empty());
                let mut parts = Parts::default();
                parts.gather(message.value.as_ref().unwrap());
                let twice = messages.insert(message.id.name.to_owned(), parts);
                assert_eq!(twice, None, "{} is there twice", message.id.name);
            }
            Entry::Comment(_) | Entry::GroupComment(_) | Entry::ResourceComment(_) => {}
            other => panic!("{other:?}"),
        }
    }
    messages
}

fn languages(page: &str) -> Vec<String> {
    let files = fs::read_dir(sources(page)).unwrap();
    let names = files.map(|file| file.unwrap().file_name().into_string().unwrap());
    let mut all: Vec<String> = names
        .filter_map(|name| name.strip_suffix(".ftl").map(str::to_owned))
        .collect();
    all.sort();
    all
}

#[test]
fn all_languages_say_the_same_with_the_same_values() {
    for page in PAGES {
        let english = catalogue(page, "en");
        assert_eq!(languages(page), ["en", "es"], "{page}");
        for language in languages(page) {
            let other = catalogue(page, &language);
            let ids = |all: &BTreeMap<String, Parts>| all.keys().cloned().collect::<Vec<_>>();
            assert_eq!(ids(&english), ids(&other), "{page} in {language}");
            for (id, parts) in &other {
                let Parts {
                    variables,
                    variants,
                    ..
                } = &english[id];
                assert_eq!(&parts.variables, variables, "{page} in {language}: {id}");
                assert_eq!(&parts.variants, variants, "{page} in {language}: {id}");
            }
        }
    }
}

/// Messages that are written alike in both languages.
const ALIKE: [&str; 2] = ["paper-a4", "minutes"];

/// Words that English cannot do without and Spanish does not have.
const ENGLISH: [&str; 36] = [
    "the", "and", "of", "is", "are", "was", "this", "that", "it", "with", "for", "from", "by",
    "to", "your", "you", "not", "here", "there", "price", "prices", "size", "sizes", "film",
    "piece", "pieces", "words", "width", "please", "each", "than", "page", "link", "list",
    "reload", "cost",
];

#[test]
fn no_english_is_left_in_other_languages() {
    let words = |text: &str| {
        let words = text.split(|letter: char| !letter.is_alphabetic());
        let words = words.filter(|word| !word.is_empty());
        words.map(str::to_lowercase).collect::<Vec<_>>()
    };
    for page in PAGES {
        let english = catalogue(page, "en");
        for language in languages(page).iter().filter(|language| *language != "en") {
            for (id, parts) in catalogue(page, language) {
                let (own, english) = (words(&parts.text), words(&english[&id].text));
                let same = own == english && !ALIKE.contains(&id.as_str());
                assert!(own.is_empty() || !same, "{page} in {language}: {id}");
                for word in own {
                    let place = format!("{page} in {language}: {word} in {id}");
                    assert!(!ENGLISH.contains(&word.as_str()), "{place}");
                }
            }
        }
    }
}

/// Whether the text is written as the name of a message.
fn is_id(text: &str) -> bool {
    text.starts_with(|first: char| first.is_ascii_lowercase())
        && text
            .chars()
            .all(|letter| letter.is_ascii_alphanumeric() || letter == '-')
}

/// The texts in quotes, of those that can be names of messages.
fn quoted(text: &str) -> impl Iterator<Item = &str> {
    text.split('"')
        .skip(1)
        .step_by(2)
        .filter(|text| is_id(text))
}

/// All that stands behind this, up to one of these ends.
fn behind<'a>(
    text: &'a str,
    begin: &'a str,
    ends: &'static [char],
) -> impl Iterator<Item = &'a str> {
    let parts = text.split(begin).skip(1);
    parts.map(move |part| part.split(ends).next().unwrap_or_default())
}

/// As the core writes a choice.
fn written<T: serde::Serialize>(choice: T) -> String {
    json!(choice).as_str().unwrap().to_owned()
}

/// Messages whose names the page puts together: how, and which there are.
fn families() -> Vec<(&'static str, Vec<String>)> {
    let ask = |ask: Ask| match ask {
        Ask::NotYet
        | Ask::Expired
        | Ask::TooSmall
        | Ask::TooLarge
        | Ask::TooMany
        | Ask::Words
        | Ask::NoPrice => {
            format!("ask-{}", written(ask))
        }
    };
    let asks = [
        Ask::NotYet,
        Ask::Expired,
        Ask::TooSmall,
        Ask::TooLarge,
        Ask::TooMany,
        Ask::Words,
        Ask::NoPrice,
    ];
    let mistakes = [
        Code::Missing,
        Code::NotANumber,
        Code::Ambiguous,
        Code::UnknownUnit,
        Code::TooSmall,
        Code::TooLarge,
        Code::NotWhole,
        Code::DoesNotFit,
    ];
    let texts = |all: &[&str]| all.iter().map(|text| (*text).to_owned()).collect();
    vec![
        ("ask-${reason}", asks.map(ask).to_vec()),
        // All others are told as `mistake-other`.
        (
            "mistake-${error.code}",
            mistakes
                .map(|code| format!("mistake-{}", written(code)))
                .to_vec(),
        ),
        ("unit-${unit}", texts(&["unit-in", "unit-cm", "unit-mm"])),
        ("larger${same}", texts(&["larger", "larger-same"])),
        (
            "larger-reads${same}",
            texts(&["larger-reads", "larger-reads-same"]),
        ),
    ]
}

#[test]
fn the_customers_page_says_what_there_is_and_all_of_it() {
    let (script, page) = (source("shop", "shop.js"), source("shop", "shop.html"));
    let messages = catalogue("shop", "en");
    // What is certainly said is there.
    let mut said: BTreeSet<&str> = behind(&page, "data-message=\"", &['"']).collect();
    assert!(said.len() > 20, "{said:?}");
    let calls: [(&str, &'static [char]); 3] = [
        ("say(", &[',', ')']),
        ("inform(", &[',', ')']),
        ("new Problem(", &[')']),
    ];
    for (begin, ends) in calls {
        let before = said.len();
        said.extend(behind(&script, begin, ends).flat_map(quoted));
        assert!(said.len() > before, "{begin}");
    }
    for id in &said {
        assert!(messages.contains_key(*id), "{id} is said and is not there");
    }
    // What is put together is there, and put together so.
    let families = families();
    for (how, ids) in &families {
        assert!(script.contains(&format!("`{how}`")), "{how}");
        for id in ids {
            assert!(messages.contains_key(id), "{id} is said and is not there");
        }
    }
    // What is there is said: by its name somewhere in the script, or as above.
    let words = source("", "words.js");
    let mut named = quoted_anywhere(&script);
    named.extend(quoted_anywhere(&words));
    for id in messages.keys() {
        let together = families.iter().any(|(_, ids)| ids.contains(id));
        assert!(
            said.contains(id.as_str()) || together || named.contains(id.as_str()),
            "{id} is there and never said"
        );
    }
}

/// All texts in quotes on lines of the script that are no comments.
fn quoted_anywhere(script: &str) -> BTreeSet<&str> {
    let lines = script
        .lines()
        .filter(|line| !line.trim_start().starts_with("//"));
    lines.flat_map(quoted).collect()
}

/// The papers put many names together: what stands before the part that differs.
#[test]
fn the_papers_say_what_there_is_and_all_of_it() {
    let (script, page) = (
        source("papers", "papers.js"),
        source("papers", "papers.html"),
    );
    let messages = catalogue("papers", "en");
    let mut said: BTreeSet<&str> = behind(&page, "data-message=\"", &['"']).collect();
    // What a value is compared with is no message.
    let mut parts = script.split("=== \"");
    let mut calls = parts.next().unwrap_or_default().to_owned();
    for part in parts {
        calls.push_str(part.split_once('"').unwrap_or_default().1);
    }
    said.extend(behind(&calls, "say(", &[',', ')']).flat_map(quoted));
    for id in &said {
        assert!(messages.contains_key(*id), "{id} is said and is not there");
    }
    let words = source("", "words.js");
    said.extend(quoted_anywhere(&script));
    said.extend(quoted_anywhere(&words));
    let begins: BTreeSet<&str> = behind(&script, "`", &['$'])
        .filter(|begin| begin.len() > 2 && begin.ends_with('-') && is_id(begin))
        .collect();
    assert!(begins.len() > 3, "{begins:?}");
    for id in messages.keys() {
        let together = begins.iter().any(|begin| id.starts_with(begin));
        assert!(
            together || said.contains(id.as_str()),
            "{id} is there and never said"
        );
    }
    for begin in behind(&script, "say(`", &['$']) {
        assert!(messages.keys().any(|id| id.starts_with(begin)), "{begin}");
    }
}
