//! Texts in HTML, each as long as a sentence goes: words with the emphasis, links and answers that stand among them.
//!
//! In a text such elements are bare tags, `Of each piece the <a>drawing</a> keeps <span/>`, so that a language can put them
//! in an order of its own; which attributes they have stays the page's affair. One that is filled by the page, or has no
//! words, is a closed tag. A second one of a kind is told apart by a number: `<span2/>`.

use super::script::told as told_members;
use crate::Result;
use scraper::{Html, Node};
use std::collections::BTreeMap;

type Tree = ego_tree::Tree<Node>;
type Id = ego_tree::NodeId;

/// Elements that stand among the words of a sentence.
const INLINE: [&str; 12] = [
    "a", "abbr", "b", "br", "code", "em", "i", "kbd", "span", "strong", "sub", "sup",
];
/// Elements in which nothing is said.
const SILENT: [&str; 2] = ["script", "style"];
/// Attributes that are read out or shown.
const SAID: [&str; 6] = [
    "alt",
    "aria-label",
    "data-label",
    "label",
    "placeholder",
    "title",
];
/// The rows of a first visit, and what in them is said.
const ROWS: &str = "data-start";
const IN_ROWS: [&str; 5] = [
    "\"name\":\"",
    "\"packs\":\"",
    "\"film\":\"",
    "\"source\":\"",
    "\"credit\":\"",
];
/// Attributes that say that the page fills an element.
const FILLED: [&str; 3] = ["data-slot", "data-money", "data-link"];

/// A piece of a text.
#[derive(Debug, PartialEq)]
enum Piece {
    Words(String),
    Element(String, Option<Vec<Self>>),
}

/// The texts of a page or of a part of it, in their order.
///
/// # Errors
/// When a text cannot be told as one.
pub fn texts(html: &str) -> Result<Vec<String>> {
    let mut texts = Vec::new();
    exchange(html, &mut |text| {
        texts.push(text.to_owned());
        text.to_owned()
    })?;
    Ok(texts)
}

/// A page with its texts as `say` has them.
///
/// # Errors
/// When a text has other tags than the one in whose place it stands.
pub fn exchange(html: &str, say: &mut dyn FnMut(&str) -> String) -> Result<String> {
    let whole = html
        .trim_start()
        .get(..9)
        .is_some_and(|start| start.eq_ignore_ascii_case("<!doctype"));
    let mut page = if whole {
        Html::parse_document(html)
    } else {
        Html::parse_fragment(html)
    };
    let root = page.tree.root().id();
    walk(&mut page.tree, root, say)?;
    Ok(page.html())
}

/// The names of the tags in a text.
///
/// # Errors
/// When one is left open.
pub fn tags(text: &str) -> Result<Vec<String>> {
    fn gather(pieces: &[Piece], names: &mut Vec<String>) {
        for piece in pieces {
            if let Piece::Element(name, inner) = piece {
                let close = if inner.is_some() { "" } else { "/" };
                names.push(format!("<{name}{close}>"));
                gather(inner.as_deref().unwrap_or_default(), names);
            }
        }
    }
    let mut names = Vec::new();
    gather(&pieces(text)?, &mut names);
    Ok(names)
}

/// Goes through what stands in an element.
fn walk(tree: &mut Tree, at: Id, say: &mut dyn FnMut(&str) -> String) -> Result<()> {
    attributes(tree, at, say);
    if let Some(text) = without_scripts(tree, at) {
        let said = exchange(
            node(tree, text).value().as_text().map_or("", |text| text),
            say,
        )?;
        if let Some(mut text) = tree.get_mut(text) {
            let inner = said
                .trim_start_matches("<html>")
                .trim_end_matches("</html>");
            *text.value() = Node::Text(self::text(inner));
        }
        return Ok(());
    }
    let children: Vec<Id> = node(tree, at).children().map(|child| child.id()).collect();
    let together = |a: &Id, b: &Id| is_among_words(tree, *a) && is_among_words(tree, *b);
    let runs: Vec<Vec<Id>> = children
        .chunk_by(together)
        .map(|run| bare(tree, run).to_vec())
        .collect();
    for run in &runs {
        let is_one = matches!(run[..], [one] if !node(tree, one).value().is_text());
        if is_one || !has_words(tree, run) {
            for child in run {
                if !is_silent(tree, *child) {
                    walk(tree, *child, say)?;
                }
            }
        } else {
            exchange_run(tree, run, say)?;
        }
    }
    Ok(())
}

fn node(tree: &Tree, at: Id) -> ego_tree::NodeRef<'_, Node> {
    #[expect(
        clippy::expect_used,
        reason = "nothing is ever taken out of the tree's store"
    )]
    tree.get(at).expect("a node of this tree")
}

/// The HTML that an element has for browsers without scripts, which to all others is one text.
fn without_scripts(tree: &Tree, at: Id) -> Option<Id> {
    let node = node(tree, at);
    let is_such = node.value().as_element()?.name() == "noscript";
    node.first_child()
        .filter(|child| is_such && child.value().is_text())
        .map(|child| child.id())
}

/// Says the attributes of an element.
fn attributes(tree: &mut Tree, at: Id, say: &mut dyn FnMut(&str) -> String) {
    let Some(mut node) = tree.get_mut(at) else {
        return;
    };
    let Node::Element(element) = node.value() else {
        return;
    };
    let is_description = element.attr("name") == Some("description");
    // What stands in a field at first, where there are words in it.
    let is_field =
        element.name() == "input" && matches!(element.attr("type"), None | Some("text" | "hidden"));
    for (name, value) in &mut element.attrs {
        let name: &str = &name.local;
        if name == ROWS {
            *value = told_members(value, &IN_ROWS, say).into();
        }
        let is_said = SAID.contains(&name)
            || is_description && name == "content"
            || is_field && name == "value" && has_word(value);
        if is_said && value.chars().any(char::is_alphabetic) {
            *value = say(value).into();
        }
    }
}

/// Whether there is a word in the text of a field: three letters, not all of them capitals. Units are shorter.
fn has_word(text: &str) -> bool {
    text.split(|letter: char| !letter.is_alphabetic())
        .any(|word| word.chars().count() > 2 && word.chars().any(char::is_lowercase))
}

/// Whether a node is part of a sentence: words, or an element among them that has nothing else in it.
fn is_among_words(tree: &Tree, at: Id) -> bool {
    let node = node(tree, at);
    match node.value() {
        Node::Text(_) => true,
        Node::Element(element) => {
            INLINE.contains(&element.name())
                && node
                    .children()
                    .all(|child| is_among_words(tree, child.id()))
        }
        _ => false,
    }
}

fn is_silent(tree: &Tree, at: Id) -> bool {
    node(tree, at)
        .value()
        .as_element()
        .is_some_and(|element| SILENT.contains(&element.name()))
}

/// A run without the white space at its ends.
fn bare<'a>(tree: &Tree, run: &'a [Id]) -> &'a [Id] {
    let is_empty = |id: &Id| {
        node(tree, *id)
            .value()
            .as_text()
            .is_some_and(|text| text.trim().is_empty())
    };
    let start = run.iter().take_while(|id| is_empty(id)).count();
    let end = run.iter().rev().take_while(|id| is_empty(id)).count();
    run.get(start..run.len() - end).unwrap_or_default()
}

/// Whether the white space of a text counts.
fn is_kept(tree: &Tree, at: Id) -> bool {
    let parent = node(tree, at)
        .parent()
        .and_then(|parent| parent.value().as_element());
    parent.is_some_and(|parent| ["pre", "textarea"].contains(&parent.name()))
}

/// Whether the page fills an element.
fn is_filled(tree: &Tree, at: Id) -> bool {
    let element = node(tree, at).value().as_element();
    element.is_some_and(|element| FILLED.iter().any(|name| element.attr(name).is_some()))
}

/// Whether there are words in a run, beside what the page fills in.
fn has_words(tree: &Tree, run: &[Id]) -> bool {
    run.iter().any(|id| match node(tree, *id).value() {
        Node::Text(text) => text.chars().any(char::is_alphabetic),
        _ if is_filled(tree, *id) || is_silent(tree, *id) => false,
        _ => {
            let children: Vec<Id> = node(tree, *id).children().map(|child| child.id()).collect();
            is_among_words(tree, *id) && has_words(tree, &children)
        }
    })
}

/// Puts what `say` has for a run in its place.
fn exchange_run(tree: &mut Tree, run: &[Id], say: &mut dyn FnMut(&str) -> String) -> Result<()> {
    let mut elements = BTreeMap::new();
    let told = told(tree, run, &mut elements);
    // The space between this and what stands beside it stays.
    let (before, after) = (
        told.len() - told.trim_start().len(),
        told.len() - told.trim_end().len(),
    );
    let english = told.trim();
    let said = say(english);
    let pieces = pieces(&said)?;
    let (mut ours, mut theirs) = (tags(english)?, tags(&said)?);
    ours.sort();
    theirs.sort();
    if ours != theirs {
        return Err(format!("`{said}` has other tags than `{english}`."));
    }
    for id in elements.values() {
        attributes(tree, *id, say);
    }
    let place = tree.orphan(Node::Text(text(""))).id();
    if let Some(mut first) = tree.get_mut(run[0]) {
        first.insert_id_before(place);
    }
    for id in run {
        if let Some(mut node) = tree.get_mut(*id) {
            node.detach();
        }
    }
    let space = |width: usize| Piece::Words(if width > 0 { " ".into() } else { String::new() });
    put(tree, place, &[space(before)], &elements);
    put(tree, place, &pieces, &elements);
    put(tree, place, &[space(after)], &elements);
    if let Some(mut place) = tree.get_mut(place) {
        place.detach();
    }
    Ok(())
}

fn text(words: &str) -> scraper::node::Text {
    scraper::node::Text { text: words.into() }
}

/// Puts pieces before a node, with the elements that their tags stand for.
fn put(tree: &mut Tree, place: Id, pieces: &[Piece], elements: &BTreeMap<String, Id>) {
    for piece in pieces {
        let id = match piece {
            Piece::Words(words) if words.is_empty() => continue,
            Piece::Words(words) => tree.orphan(Node::Text(text(words))).id(),
            Piece::Element(name, inner) => {
                let id = elements[name];
                if let Some(inner) = inner {
                    let children: Vec<Id> =
                        node(tree, id).children().map(|child| child.id()).collect();
                    for child in children {
                        if let Some(mut child) = tree.get_mut(child) {
                            child.detach();
                        }
                    }
                    let end = tree.orphan(Node::Text(text(""))).id();
                    if let Some(mut element) = tree.get_mut(id) {
                        element.append_id(end);
                    }
                    put(tree, end, inner, elements);
                    if let Some(mut end) = tree.get_mut(end) {
                        end.detach();
                    }
                }
                id
            }
        };
        if let Some(mut place) = tree.get_mut(place) {
            place.insert_id_before(id);
        }
    }
}

/// A run as a text, and the elements that its tags stand for.
fn told(tree: &Tree, run: &[Id], elements: &mut BTreeMap<String, Id>) -> String {
    let mut told = String::new();
    for id in run {
        match node(tree, *id).value() {
            Node::Text(text) => {
                for letter in text.chars() {
                    match letter {
                        '&' => told.push_str("&amp;"),
                        '<' => told.push_str("&lt;"),
                        _ if letter.is_ascii_whitespace() && !is_kept(tree, *id) => {
                            if !told.ends_with(' ') {
                                told.push(' ');
                            }
                        }
                        _ => told.push(letter),
                    }
                }
            }
            Node::Element(element) => {
                let tag = element.name();
                let same = |name: &&String| {
                    name.trim_end_matches(|letter: char| letter.is_ascii_digit()) == tag
                };
                let number = elements.keys().filter(same).count() + 1;
                let name = if number == 1 {
                    tag.to_owned()
                } else {
                    format!("{tag}{number}")
                };
                elements.insert(name.clone(), *id);
                let children: Vec<Id> =
                    node(tree, *id).children().map(|child| child.id()).collect();
                let piece = if is_filled(tree, *id) || !has_words(tree, &children) {
                    format!("<{name}/>")
                } else {
                    let inner = self::told(tree, &children, elements);
                    format!("<{name}>{inner}</{name}>")
                };
                told.push_str(&piece);
            }
            _ => {}
        }
    }
    told
}

/// The pieces of a text.
fn pieces(text: &str) -> Result<Vec<Piece>> {
    let mut open: Vec<(String, Vec<Piece>)> = Vec::new();
    let mut pieces = Vec::new();
    let mut rest = text;
    let wrong = || format!("A tag is left open in `{text}`.");
    while let Some((words, tag)) = rest.split_once('<') {
        push_words(&mut pieces, words);
        let (tag, after) = tag.split_once('>').ok_or_else(wrong)?;
        if let Some(name) = tag.strip_prefix('/') {
            let (opened, before) = open
                .pop()
                .filter(|(opened, _)| opened == name)
                .ok_or_else(wrong)?;
            let inner = std::mem::replace(&mut pieces, before);
            pieces.push(Piece::Element(opened, Some(inner)));
        } else if let Some(name) = tag.strip_suffix('/') {
            pieces.push(Piece::Element(name.to_owned(), None));
        } else {
            open.push((tag.to_owned(), std::mem::take(&mut pieces)));
        }
        rest = after;
    }
    push_words(&mut pieces, rest);
    if open.is_empty() {
        Ok(pieces)
    } else {
        Err(wrong())
    }
}

fn push_words(pieces: &mut Vec<Piece>, words: &str) {
    if !words.is_empty() {
        pieces.push(Piece::Words(
            words.replace("&lt;", "<").replace("&amp;", "&"),
        ));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_text_is_as_long_as_a_sentence() {
        let page = "<section aria-label=\"All of it\"><h2>Film</h2><p>Of each <a href=\"#x\">piece</a> stays \
                    <span data-slot=\"y\">–</span>.  <button type=\"button\">Lay</button></p>\
                    <p class=\"figure\"><b data-slot=\"z\">–</b> <span data-slot=\"n\"></span></p>\
                    <label><input type=\"checkbox\" value=\"turned\"> Turned</label><noscript><p>Without</p></noscript>\
                    <input value=\"5 knots\"><input value=\"12 in\"><template><li>One <b>row</b> of <b>two</b></li></template></section>";
        assert_eq!(
            texts(page),
            Ok([
                "All of it",
                "Film",
                "Of each <a>piece</a> stays <span/>.",
                "Lay",
                "Turned",
                "Without",
                "5 knots",
                "One <b>row</b> of <b2>two</b2>"
            ]
            .map(str::to_owned)
            .to_vec())
        );
    }

    #[test]
    fn another_language_has_its_own_order() {
        let page = "<p>Of <a href=\"#x\">each <b>red</b> piece</a> stays <i data-slot=\"y\">0</i> now <button>Go</button></p>";
        let mut say = |text: &str| match text {
            "Go" => "Ya".to_owned(),
            _ => "<i/> queda de <a>cada pieza <b>roja &amp; más</b></a>".to_owned(),
        };
        assert_eq!(
            exchange(page, &mut say),
            Ok("<html><p><i data-slot=\"y\">0</i> queda de <a href=\"#x\">cada pieza <b>roja &amp; más</b></a> <button>Ya</button></p></html>".to_owned())
        );
    }

    #[test]
    fn other_tags_are_refused() {
        let mut say = |_: &str| "sin <b>nada".to_owned();
        assert!(exchange("<p>a <b>b</b></p>", &mut say).is_err());
        let mut say = |_: &str| "sin".to_owned();
        assert!(exchange("<p>a <b>b</b></p>", &mut say).is_err());
    }

    #[test]
    fn a_page_that_says_the_same_stays_the_same() {
        let page = "<!DOCTYPE html><html lang=\"en\"><head><title>A</title></head><body><p>1 &lt; 2 <b>b</b></p></body></html>";
        assert_eq!(exchange(page, &mut str::to_owned), Ok(page.to_owned()));
    }
}
