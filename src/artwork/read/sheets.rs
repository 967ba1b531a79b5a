//! Style sheets: which declarations are for an element, and in which order they count.
//!
//! Selectors are cut into words by simplecss; what they ask is compared here, by the last simple selector first, and
//! counted, since one selector may be compared with one element in very many ways.

use super::limits::{COMPOUNDS, SELECTORS, VALUE};
use super::{Budget, attribute, too_much};
use crate::error::InputError;
use roxmltree::Node;
use say::say;
use simplecss::{AttributeOperator, SelectorToken, SelectorTokenizer};
use std::collections::{BTreeMap, BTreeSet};

/// A property and its value.
pub type Declaration<'a> = (&'a str, &'a str);

/// How a simple selector stands to the one on its right.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Relation {
    Ancestor,
    Parent,
    Before,
}

/// What an element must be like.
#[derive(Clone, Copy, Debug)]
enum Test<'a> {
    Type(&'a str),
    Attribute(&'a str, AttributeOperator<'a>),
    Class(&'a str),
    Root,
    First,
    /// What no drawing on paper is, such as pointed at.
    Never,
}

/// A simple selector.
#[derive(Debug, Default)]
struct Compound<'a> {
    tests: Vec<Test<'a>>,
    /// How the one on its left stands to it.
    left: Option<Relation>,
}

/// A selector with what it declares.
#[derive(Debug)]
struct Rule<'a> {
    /// From left to right.
    compounds: Vec<Compound<'a>>,
    /// Counts of identifiers, of classes and attributes, and of types: CSS Selectors 3, 9.
    specificity: [usize; 3],
    /// The place of its declarations.
    block: usize,
}

/// What is declared: plainly, and as important.
#[derive(Debug, Default)]
struct Block<'a> {
    plain: Vec<Declaration<'a>>,
    important: Vec<Declaration<'a>>,
}

/// The rules of all sheets of a file.
#[derive(Debug, Default)]
pub struct Sheets<'a> {
    rules: Vec<Rule<'a>>,
    blocks: Vec<Block<'a>>,
    /// Rules by a class, an identifier or a type that their last simple selector asks for.
    keyed: BTreeMap<(u8, &'a str), Vec<usize>>,
    /// Those that ask for none of these.
    others: Vec<usize>,
    /// How many other files the sheets ask for.
    pub imports: u32,
}

/// The text of a sheet without comments, which may stand anywhere in it, and without the marks that hid sheets from
/// browsers before these knew any: CSS 2, 4.1.9 and 4.4.
pub fn without_comments(text: &str) -> String {
    let bytes = text.as_bytes();
    let mut clean = String::with_capacity(text.len());
    let (mut at, mut kept, mut quote) = (0, 0, 0);
    while let Some(byte) = bytes.get(at) {
        let from = bytes.get(at..).unwrap_or_default();
        let skip = if quote != 0 {
            if *byte == quote || *byte == b'\n' {
                quote = 0;
            }
            0
        } else if from.starts_with(b"/*") {
            let inside = from.get(2..).unwrap_or_default();
            let end = inside.windows(2).position(|pair| pair == b"*/");
            end.map_or(from.len(), |end| end + 4)
        } else if from.starts_with(b"<!--") {
            4
        } else if from.starts_with(b"-->") {
            3
        } else {
            if matches!(byte, b'"' | b'\'') {
                quote = *byte;
            }
            0
        };
        if skip > 0 {
            clean.push_str(text.get(kept..at).unwrap_or_default());
            clean.push(' ');
            kept = at + skip;
        }
        at += skip.max(1);
    }
    clean.push_str(text.get(kept..).unwrap_or_default());
    clean
}

/// How far it is to the first of these signs that stands neither in quotes nor in brackets; to the end where there is
/// none.
fn reach(text: &str, signs: &[u8]) -> usize {
    let (mut quote, mut brackets) = (0, 0_usize);
    for (at, byte) in text.bytes().enumerate() {
        if quote != 0 {
            if byte == quote {
                quote = 0;
            }
            continue;
        }
        match byte {
            b'"' | b'\'' => quote = byte,
            b'(' | b'[' => brackets += 1,
            b')' | b']' => brackets = brackets.saturating_sub(1),
            _ if brackets == 0 && signs.contains(&byte) => return at,
            _ => {}
        }
    }
    text.len()
}

/// The text before the sign, and what is behind it.
fn cut<'a>(text: &'a str, signs: &[u8]) -> (&'a str, &'a str) {
    let (before, from) = text
        .split_at_checked(reach(text, signs))
        .unwrap_or((text, ""));
    (before, from.get(1..).unwrap_or_default())
}

/// What stands in a block up to the brace that ends it, and what is behind that.
fn block(text: &str) -> (&str, &str) {
    let (mut depth, mut end) = (0, 0);
    loop {
        let rest = text.get(end..).unwrap_or_default();
        end += reach(rest, b"{}");
        match text.as_bytes().get(end) {
            Some(b'{') => depth += 1,
            Some(_) if depth > 0 => depth -= 1,
            _ => break,
        }
        end += 1;
    }
    let (inside, from) = text.split_at_checked(end).unwrap_or((text, ""));
    (inside, from.get(1..).unwrap_or_default())
}

/// The declarations of a block or of an attribute `style`: a mistake spoils only the one it is in. Whether each is
/// important stands behind it.
fn declarations(text: &str) -> impl Iterator<Item = (Declaration<'_>, bool)> {
    let mut rest = text;
    std::iter::from_fn(move || {
        if rest.is_empty() {
            return None;
        }
        let (one, behind) = cut(rest, b";");
        rest = behind;
        Some(one)
    })
    .filter_map(|one| {
        let (name, value) = one.split_once(':')?;
        let value = value.trim_ascii();
        let (value, important) = match value.rsplit_once('!') {
            Some((value, mark)) if mark.trim_ascii().eq_ignore_ascii_case("important") => {
                (value.trim_ascii_end(), true)
            }
            _ => (value, false),
        };
        (!value.is_empty() && value.len() <= VALUE).then(|| ((name.trim_ascii(), value), important))
    })
}

impl<'a> Sheets<'a> {
    /// Takes in the rules of one more sheet, the text of which has no comments. Rules about media count where they
    /// are for all or for screens; other rules with an `@` are left out.
    ///
    /// # Errors
    /// Where there are too many selectors.
    pub fn add(&mut self, sheet: &'a str) -> Result<(), InputError> {
        let mut rest = sheet;
        loop {
            // A brace that is left over ends a rule about media.
            rest = rest.trim_ascii_start();
            if let Some(behind) = rest.strip_prefix(['}', ';']) {
                rest = behind;
                continue;
            }
            if rest.is_empty() {
                return Ok(());
            }
            if rest.starts_with('@') {
                let at = reach(rest, b";{");
                let opens = rest.as_bytes().get(at) == Some(&b'{');
                let (start, behind) = cut(rest, b";{");
                rest = behind;
                if start.starts_with("@import") {
                    self.imports += 1;
                }
                let media = start.strip_prefix("@media").map(str::trim_ascii);
                if opens && !matches!(media, Some("all" | "screen")) {
                    rest = block(rest).1;
                }
                continue;
            }
            let (selectors, behind) = cut(rest, b"{");
            let (inside, behind) = block(behind);
            rest = behind;
            self.rule(selectors, inside)?;
        }
    }

    fn rule(&mut self, selectors: &'a str, inside: &'a str) -> Result<(), InputError> {
        let mut declared = Block::default();
        for (declaration, important) in declarations(inside) {
            if important {
                declared.important.push(declaration);
            } else {
                declared.plain.push(declaration);
            }
        }
        if declared.plain.is_empty() && declared.important.is_empty() {
            return Ok(());
        }
        let block = self.blocks.len();
        self.blocks.push(declared);
        let mut rest = selectors;
        while !rest.is_empty() {
            let (one, behind) = cut(rest, b",");
            rest = behind;
            let Some((compounds, specificity)) = selector(one.trim_ascii()) else {
                continue;
            };
            if self.rules.len() >= SELECTORS {
                return Err(too_much(
                    say!("the style sheets of the file have too many selectors"),
                    say!("save it as plain SVG, with colours as attributes"),
                ));
            }
            let place = self.rules.len();
            match compounds.last().and_then(key) {
                Some(key) => self.keyed.entry(key).or_default().push(place),
                None => self.others.push(place),
            }
            self.rules.push(Rule {
                compounds,
                specificity,
                block,
            });
        }
        Ok(())
    }

    /// What sheets and the attribute `style` declare for an element, what counts more behind what counts less: CSS 2,
    /// 6.4.1, and SVG 2, 6.
    ///
    /// # Errors
    /// Where comparing takes too many steps.
    pub fn declared(
        &self,
        node: Node<'a, '_>,
        budget: &mut Budget,
    ) -> Result<Vec<Declaration<'a>>, InputError> {
        // Later rules count more among those that are equally specific.
        let mut found = BTreeMap::new();
        if !self.rules.is_empty() {
            let mut places: BTreeSet<usize> = BTreeSet::new();
            places.extend(&self.others);
            let mut look = |kind, name| {
                places.extend(self.keyed.get(&(kind, name)).into_iter().flatten());
            };
            look(TYPE, node.tag_name().name());
            if let Some(id) = attribute(node, "id") {
                look(ID, id);
            }
            for class in attribute(node, "class")
                .unwrap_or_default()
                .split_ascii_whitespace()
            {
                look(CLASS, class);
            }
            for place in places {
                if let Some(rule) = self.rules.get(place)
                    && matches(&rule.compounds, node, budget)?
                {
                    found.insert((rule.specificity, place), rule.block);
                }
            }
        }
        let inline = attribute(node, "style").unwrap_or_default();
        let of = |important: bool| {
            declarations(inline)
                .filter(move |(_, other)| *other == important)
                .map(|(declaration, _)| declaration)
        };
        let blocks = || found.values().filter_map(|block| self.blocks.get(*block));
        let mut all: Vec<Declaration> = Vec::new();
        all.extend(blocks().flat_map(|block| &block.plain));
        all.extend(of(false));
        all.extend(blocks().flat_map(|block| &block.important));
        all.extend(of(true));
        // Each is read for each element.
        budget.spend(all.iter().map(|(_, value)| value.len() + DECLARED).sum())?;
        Ok(all)
    }
}

/// The steps of one comparison, beside one byte of an attribute.
const COMPARED: usize = 8;
/// The steps of one declaration beside those of its value.
const DECLARED: usize = 16;

const ID: u8 = 0;
const CLASS: u8 = 1;
const TYPE: u8 = 2;

/// By what elements are sorted out that cannot match.
fn key<'a>(last: &Compound<'a>) -> Option<(u8, &'a str)> {
    last.tests
        .iter()
        .filter_map(|test| match *test {
            Test::Attribute("id", AttributeOperator::Matches(id)) => Some((ID, id)),
            Test::Class(class) => Some((CLASS, class)),
            Test::Type(name) => Some((TYPE, name)),
            _ => None,
        })
        .min()
}

/// Reads a selector; none where it asks for what is not known here.
fn selector(text: &str) -> Option<(Vec<Compound<'_>>, [usize; 3])> {
    let mut compounds = vec![Compound::default()];
    let mut specificity = [0; 3];
    for token in SelectorTokenizer::from(text) {
        let relation = match token.ok()? {
            SelectorToken::UniversalSelector => continue,
            SelectorToken::TypeSelector(name) => {
                specificity[2] += 1;
                compounds.last_mut()?.tests.push(Test::Type(name));
                continue;
            }
            SelectorToken::IdSelector(id) => {
                specificity[0] += 1;
                let asked = Test::Attribute("id", AttributeOperator::Matches(id));
                compounds.last_mut()?.tests.push(asked);
                continue;
            }
            SelectorToken::ClassSelector(class) => {
                specificity[1] += 1;
                compounds.last_mut()?.tests.push(Test::Class(class));
                continue;
            }
            SelectorToken::AttributeSelector(name, operator) => {
                specificity[1] += 1;
                compounds
                    .last_mut()?
                    .tests
                    .push(Test::Attribute(name, operator));
                continue;
            }
            SelectorToken::PseudoClass(name) => {
                specificity[1] += 1;
                let asked = match name {
                    "root" => Test::Root,
                    "first-child" => Test::First,
                    "link" | "visited" | "hover" | "active" | "focus" => Test::Never,
                    _ => return None,
                };
                compounds.last_mut()?.tests.push(asked);
                continue;
            }
            SelectorToken::LangPseudoClass(_) => return None,
            SelectorToken::DescendantCombinator => Relation::Ancestor,
            SelectorToken::ChildCombinator => Relation::Parent,
            SelectorToken::AdjacentCombinator => Relation::Before,
        };
        compounds.push(Compound {
            tests: Vec::new(),
            left: Some(relation),
        });
    }
    (!text.is_empty() && compounds.len() <= COMPOUNDS).then_some((compounds, specificity))
}

/// Whether an element is as the last of these simple selectors asks, and stands as they ask to such as the ones before
/// it ask for.
fn matches(compounds: &[Compound], node: Node, budget: &mut Budget) -> Result<bool, InputError> {
    let Some((last, before)) = compounds.split_last() else {
        return Ok(true);
    };
    for test in &last.tests {
        budget.spend(COMPARED)?;
        if !passes(*test, node, budget)? {
            return Ok(false);
        }
    }
    match last.left {
        None => Ok(true),
        Some(Relation::Parent) => match node.parent_element() {
            Some(parent) => matches(before, parent, budget),
            None => Ok(false),
        },
        Some(Relation::Before) => match preceding(node, budget)? {
            Some(other) => matches(before, other, budget),
            None => Ok(false),
        },
        Some(Relation::Ancestor) => {
            let mut above = node.parent_element();
            while let Some(ancestor) = above {
                budget.spend(COMPARED)?;
                if matches(before, ancestor, budget)? {
                    return Ok(true);
                }
                above = ancestor.parent_element();
            }
            Ok(false)
        }
    }
}

/// The element before this one.
fn preceding<'a, 'input>(
    node: Node<'a, 'input>,
    budget: &mut Budget,
) -> Result<Option<Node<'a, 'input>>, InputError> {
    for other in node.prev_siblings().skip(1) {
        budget.spend(1)?;
        if other.is_element() {
            return Ok(Some(other));
        }
    }
    Ok(None)
}

fn passes(test: Test, node: Node, budget: &mut Budget) -> Result<bool, InputError> {
    Ok(match test {
        Test::Type(name) => node.tag_name().name() == name,
        Test::Attribute(name, operator) => match attribute(node, name) {
            Some(value) => {
                budget.spend(value.len())?;
                operator.matches(value)
            }
            None => false,
        },
        Test::Class(class) => match attribute(node, "class") {
            Some(all) => {
                budget.spend(all.len())?;
                all.split_ascii_whitespace().any(|one| one == class)
            }
            None => false,
        },
        Test::Root => node.parent_element().is_none(),
        Test::First => preceding(node, budget)?.is_none(),
        Test::Never => false,
    })
}
