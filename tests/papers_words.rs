//! The messages of the papers: that all languages have the same ones with the same values and cases, that none is said that
//! is not there, and none is left over. Read by another library than the page's own.

use fluent_syntax::ast::{
    Entry, Expression, InlineExpression, Pattern, PatternElement, VariantKey,
};
use fluent_syntax::parser::parse;
use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::Path;

fn source(name: &str) -> String {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("src/papers");
    fs::read_to_string(folder.join(name)).unwrap()
}

/// What a message is made of.
#[derive(Debug, Default, PartialEq, Eq)]
struct Parts {
    variables: BTreeSet<String>,
    cases: BTreeSet<String>,
    text: String,
}

impl Parts {
    fn gather(&mut self, pattern: &Pattern<&str>) {
        for element in &pattern.elements {
            match element {
                PatternElement::TextElement { value } => self.text.push_str(value),
                PatternElement::Placeable {
                    expression: Expression::Inline(inline),
                } => self.inline(inline),
                PatternElement::Placeable {
                    expression: Expression::Select { selector, variants },
                } => {
                    self.inline(selector);
                    for variant in variants {
                        let VariantKey::Identifier { name } = variant.key else {
                            panic!("a case for one number only");
                        };
                        self.cases.insert(format!("{name} {}", variant.default));
                        self.gather(&variant.value);
                    }
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

fn catalogue(language: &str) -> BTreeMap<String, Parts> {
    let text = source(&format!("{language}.ftl"));
    let resource = parse(text.as_str()).unwrap_or_else(|(_, errors)| panic!("{errors:?}"));
    let mut messages = BTreeMap::new();
    for entry in &resource.body {
        match entry {
            Entry::Message(message) => {
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

#[test]
fn both_languages_say_the_same_with_the_same_values_and_cases() {
    let (english, spanish) = (catalogue("en"), catalogue("es"));
    let ids = |all: &BTreeMap<String, Parts>| all.keys().cloned().collect::<Vec<_>>();
    assert_eq!(ids(&english), ids(&spanish));
    for (id, parts) in &spanish {
        assert_eq!(parts.variables, english[id].variables, "{id}");
        assert_eq!(parts.cases, english[id].cases, "{id}");
        // A paper's name, sizes and a figure with its unit are alike.
        let alike = [
            "minutes",
            "size-text",
            "paper-a4",
            "quote-date",
            "row-total",
        ];
        if !alike.contains(&id.as_str()) {
            assert_ne!(parts.text, english[id].text, "{id}");
        }
    }
}

/// Words that English cannot do without and Spanish does not have.
#[test]
fn no_english_is_left_in_spanish() {
    let english = [
        "the", "and", "of", "is", "are", "this", "that", "it", "with", "for", "from", "by", "your",
        "not",
    ];
    for (id, parts) in catalogue("es") {
        for word in parts.text.split(|letter: char| !letter.is_alphabetic()) {
            assert!(
                !english.contains(&word.to_lowercase().as_str()),
                "{id}: {word}"
            );
        }
    }
}

#[test]
fn every_message_is_said_and_none_is_missing() {
    let messages = catalogue("en");
    let (page, script) = (source("papers.html"), source("papers.js"));
    let words =
        fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("src/words.js")).unwrap();
    let after = |text: &str, mark: &str| -> Vec<String> {
        let rests = text.split(mark).skip(1);
        rests
            .filter_map(|rest| rest.split_once('"'))
            .map(|(id, _)| id.to_owned())
            .collect()
    };
    let mut said = after(&page, "data-message=\"");
    said.extend(after(&script, "say(\""));
    assert!(said.len() > 50, "{}", said.len());
    for id in &said {
        assert!(messages.contains_key(id), "{id} is said and not there");
    }
    // Those whose end is filled in: `say(`step-${step}`)`.
    let mut begun = Vec::new();
    for rest in script.split('`').filter(|rest| rest.contains("-${")) {
        begun.extend(rest.split_once("${").map(|(start, _)| start.to_owned()));
    }
    for id in messages.keys() {
        let quoted = format!("\"{id}\"");
        let known = said.contains(id)
            || script.contains(&quoted)
            || words.contains(&quoted)
            || begun
                .iter()
                .any(|start| id.starts_with(start.as_str()) && !start.is_empty());
        assert!(known, "{id} is never said");
    }
}
