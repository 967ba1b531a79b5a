//! From element to element: what is painted, where, and with what.
//!
//! The way back up is kept in a list rather than on the stack of calls, so that no nesting can exhaust that.

use super::limits::DEPTH;
use super::paint::{Own, Style, styled};
use super::sheets::{Declaration, Sheets};
use super::units::{Along, MM_PER_PX, Scale, ViewBox, fitted, origin, transform};
use super::{Budget, ReadOptions, attribute, placed, shapes, too_much};
use crate::artwork::outline::{Artwork, Omission, Omitted};
use crate::error::InputError;
use kurbo::{Affine, Size};
use roxmltree::{Document, Node};
use say::say;
use std::collections::BTreeMap;
use std::rc::Rc;

/// The steps of one element beside those of its attributes.
const ELEMENT: usize = 40;
/// The namespace of `href`, besides none.
const XLINK: &str = "http://www.w3.org/1999/xlink";

/// The walk through a document.
pub struct Walk<'a, 'input> {
    document: &'a Document<'input>,
    sheets: &'a Sheets<'a>,
    pub options: ReadOptions,
    /// The namespace of its elements.
    namespace: Option<&'a str>,
    pub ids: BTreeMap<&'a str, Node<'a, 'input>>,
    pub budget: Budget,
    pub art: Artwork,
    omitted: BTreeMap<Omission, u32>,
}

/// What holds for the children of an element.
#[derive(Clone)]
pub struct Around {
    pub style: Rc<Style>,
    /// From its units to millimetres.
    pub place: Affine,
    viewport: Size,
    /// Whether nothing in it shows, whatever it says.
    hidden: bool,
}

/// An element whose children are being read.
struct Open<'a, 'input> {
    node: Node<'a, 'input>,
    around: Around,
    /// What is next in it, an element or not.
    next: Option<Node<'a, 'input>>,
    /// The element that copies `next`, of which there is no more.
    copier: Option<Node<'a, 'input>>,
    /// Whether `next` is the only one.
    single: bool,
}

/// An element with what is declared for it.
pub struct Element<'a, 'input> {
    node: Node<'a, 'input>,
    declared: Vec<Declaration<'a>>,
}

impl<'a> Element<'a, '_> {
    /// All declarations, what counts more behind what counts less; attributes count least (SVG 2, 6.6).
    pub fn all(&self) -> impl Iterator<Item = Declaration<'a>> + Clone + '_ {
        attributes(self.node).chain(self.declared.iter().copied())
    }

    /// The value of a property or attribute.
    pub fn get(&self, name: &str) -> Option<&'a str> {
        let of_sheets = self.declared.iter().rev().find(|(other, _)| *other == name);
        of_sheets
            .map(|(_, value)| *value)
            .or_else(|| attribute(self.node, name))
    }
}

/// The attributes of an element without a namespace.
fn attributes<'a>(node: Node<'a, '_>) -> impl Iterator<Item = Declaration<'a>> + Clone {
    node.attributes()
        .filter(|attribute| attribute.namespace().is_none())
        .map(|attribute| (attribute.name(), attribute.value()))
}

/// What an element refers to: the newer attribute counts more (SVG 2, 16.1).
pub fn reference<'a>(node: Node<'a, '_>) -> Option<&'a str> {
    attribute(node, "href")
        .or_else(|| node.attribute((XLINK, "href")))
        .map(str::trim_ascii)
}

impl<'a, 'input> Walk<'a, 'input> {
    /// A walk that has not begun.
    pub fn new(
        document: &'a Document<'input>,
        sheets: &'a Sheets<'a>,
        options: ReadOptions,
    ) -> Self {
        let mut ids = BTreeMap::new();
        let mut omitted = BTreeMap::new();
        let namespace = document.root_element().tag_name().namespace();
        if sheets.imports > 0 {
            omitted.insert(Omission::External, sheets.imports);
        }
        for node in document.descendants() {
            if node.is_element() {
                if let Some(id) = attribute(node, "id") {
                    ids.entry(id).or_insert(node);
                }
                if node.tag_name().name() == "script" && node.tag_name().namespace() == namespace {
                    *omitted.entry(Omission::Script).or_default() += 1;
                }
            } else if node.pi().is_some_and(|pi| pi.target == "xml-stylesheet") {
                *omitted.entry(Omission::External).or_default() += 1;
            }
        }
        Self {
            document,
            sheets,
            options,
            namespace,
            ids,
            budget: Budget::default(),
            art: Artwork::default(),
            omitted,
        }
    }

    /// What was read.
    pub fn finish(mut self) -> Artwork {
        self.art.omitted = self
            .omitted
            .into_iter()
            .map(|(what, count)| Omitted { what, count })
            .collect();
        self.art
    }

    /// Counts something that is not cut.
    pub fn omit(&mut self, what: Omission) {
        *self.omitted.entry(what).or_default() += 1;
    }

    /// Reads all that is in the outermost element, whose units `place` brings to pixels.
    ///
    /// # Errors
    /// Where the drawing asks for more than is read.
    pub fn run(
        &mut self,
        root: Node<'a, 'input>,
        place: Affine,
        viewport: Size,
    ) -> Result<(), InputError> {
        let outside = Around {
            style: Rc::new(Style::default()),
            place: Affine::scale(MM_PER_PX),
            viewport,
            hidden: false,
        };
        let element = self.element(root)?;
        let (mut around, own) = entered(&element, &outside);
        around.place *= place;
        self.effects(&own, around.hidden);
        let mut open = vec![Open {
            node: root,
            around,
            next: root.first_child(),
            copier: None,
            single: false,
        }];
        while let Some(last) = open.last_mut() {
            let Some(node) = last.next.take() else {
                open.pop();
                continue;
            };
            if !last.single {
                last.next = node.next_sibling();
            }
            self.budget.spend(1)?;
            let (around, copier) = (last.around.clone(), last.copier);
            if !node.is_element() || node.tag_name().namespace() != self.namespace {
                continue;
            }
            let opened = self
                .visit(node, &around, copier, &open)
                .map_err(|error| placed(error, self.document.text_pos_at(node.range().start)))?;
            if let Some(opened) = opened {
                if open.len() >= DEPTH {
                    let error = too_much(
                        say!("the drawing has more than 256 groups within groups"),
                        say!("dissolve groups in your drawing program"),
                    );
                    return Err(placed(error, self.document.text_pos_at(node.range().start)));
                }
                open.push(opened);
            }
        }
        Ok(())
    }

    /// An element with what is declared for it.
    ///
    /// # Errors
    /// Where that takes too many steps.
    pub fn element(&mut self, node: Node<'a, 'input>) -> Result<Element<'a, 'input>, InputError> {
        let length: usize = node
            .attributes()
            .map(|attribute| attribute.value().len() + 8)
            .sum();
        self.budget.spend(length + ELEMENT)?;
        let declared = self.sheets.declared(node, &mut self.budget)?;
        Ok(Element { node, declared })
    }

    /// Counts the effects of an element that shows.
    fn effects(&mut self, own: &Own, hidden: bool) {
        for effect in own.effects.into_iter().flatten() {
            // One that names what is not there has no effect.
            let named = effect
                .strip_prefix("url(")
                .and_then(|text| text.split_once(')'))
                .map(|(text, _)| text.trim_matches(['"', '\'', ' ']));
            let there = match named.and_then(|text| text.strip_prefix('#')) {
                Some(id) => self.ids.contains_key(id),
                None => true,
            };
            if there && !hidden {
                self.omit(Omission::Effect);
            }
        }
    }

    /// Reads one element; returns it where its children are next.
    fn visit(
        &mut self,
        node: Node<'a, 'input>,
        around: &Around,
        copier: Option<Node<'a, 'input>>,
        open: &[Open<'a, 'input>],
    ) -> Result<Option<Open<'a, 'input>>, InputError> {
        let name = node.tag_name().name();
        match name {
            // Painted only where something refers to them, or never.
            "defs" | "clipPath" | "mask" | "marker" | "pattern" | "linearGradient"
            | "radialGradient" | "filter" | "style" | "script" | "title" | "desc" | "metadata"
            | "view" | "cursor" | "font" | "font-face" | "color-profile" | "animate"
            | "animateMotion" | "animateTransform" | "animateColor" | "set" | "discard"
            | "hatch" | "meshgradient" | "solidcolor" => return Ok(None),
            "symbol" if copier.is_none() => return Ok(None),
            _ => {}
        }
        self.budget.element()?;
        let element = self.element(node)?;
        // An extension that must be known is not (SVG 2, 5.6).
        if attribute(node, "requiredExtensions").is_some_and(|all| !all.trim_ascii().is_empty()) {
            return Ok(None);
        }
        let (inside, own) = entered(&element, around);
        let shown = inside.style.visible && !inside.hidden;
        self.effects(&own, inside.hidden);
        let mut opened = Open {
            node,
            around: inside,
            next: node.first_child(),
            copier: None,
            single: false,
        };
        match name {
            "g" | "a" => Ok(Some(opened)),
            "switch" => {
                opened.next = None;
                opened.single = true;
                for child in node.children() {
                    self.budget.spend(1)?;
                    if child.tag_name().namespace() == self.namespace && chosen(child) {
                        opened.next = Some(child);
                        break;
                    }
                }
                Ok(Some(opened))
            }
            "svg" | "symbol" => Ok(viewport(&element, opened, copier)),
            "use" => Ok(self.copied(&element, opened, shown, open)),
            "text" | "flowRoot" => {
                if shown {
                    for inner in node.descendants() {
                        let text = inner.text().filter(|_| inner.is_text()).unwrap_or_default();
                        self.budget.spend(text.len() + 1)?;
                        if !text.trim_ascii().is_empty() {
                            self.omit(Omission::Text);
                            break;
                        }
                    }
                }
                Ok(None)
            }
            "image" => {
                if shown && let Some(source) = reference(node) {
                    self.omit(if source.starts_with("data:") {
                        Omission::Image
                    } else {
                        Omission::External
                    });
                }
                Ok(None)
            }
            _ => {
                let scale = Scale {
                    viewport: around.viewport,
                    font: opened.around.style.font,
                };
                let outline =
                    shapes::outline(name, &|name| element.get(name), &scale, &mut self.budget)?;
                match outline {
                    Some(outline) => {
                        self.paint(name, &outline, &opened.around, shown, own.fixed_stroke)?;
                    }
                    None if shown => self.omit(Omission::Foreign),
                    None => {}
                }
                Ok(None)
            }
        }
    }

    /// A copy of another element of the file, by SVG 2, 5.5.
    fn copied(
        &mut self,
        element: &Element<'a, 'input>,
        mut opened: Open<'a, 'input>,
        shown: bool,
        open: &[Open<'a, 'input>],
    ) -> Option<Open<'a, 'input>> {
        let node = element.node;
        let id = reference(node)?.strip_prefix('#');
        let Some(target) = id.and_then(|id| self.ids.get(id)).copied() else {
            if shown {
                self.omit(if id.is_some() {
                    Omission::Missing
                } else {
                    Omission::External
                });
            }
            return None;
        };
        // A copy of what it stands in would never end.
        if target == node || open.iter().any(|above| above.node == target) {
            self.omit(Omission::Broken);
            return None;
        }
        let around = &opened.around;
        let scale = Scale {
            viewport: around.viewport,
            font: around.style.font,
        };
        let at = |name: &str, along| {
            element
                .get(name)
                .and_then(|text| scale.length(text, along))
                .unwrap_or(0.0)
        };
        let by = (at("x", Along::X), at("y", Along::Y));
        opened.around.place = around.place * Affine::translate(by);
        opened.next = Some(target);
        opened.copier = Some(node);
        opened.single = true;
        Some(opened)
    }
}

/// What holds inside of an element, and what is its own.
fn entered<'a>(element: &Element<'a, '_>, around: &Around) -> (Around, Own<'a>) {
    let (style, own) = styled(&around.style, around.viewport, element.all());
    let scale = Scale {
        viewport: around.viewport,
        font: style.font,
    };
    // A transform that cannot be read counts for none.
    let moved = own
        .transform
        .and_then(|text| transform(text, &scale))
        .unwrap_or_default();
    let moved = match own.origin {
        Some(text) => {
            let still = origin(text, &scale);
            Affine::translate(still) * moved * Affine::translate(-still)
        }
        None => moved,
    };
    let inside = Around {
        style: Rc::new(style),
        place: around.place * moved,
        viewport: around.viewport,
        // What is flattened to a line is not painted (SVG 2, 8.5).
        hidden: around.hidden || !own.shows || moved.determinant() == 0.0,
    };
    (inside, own)
}

/// A nested drawing or a symbol: a viewport of its own, by SVG 2, 8.8 and 5.4.
fn viewport<'a, 'input>(
    element: &Element<'a, 'input>,
    mut opened: Open<'a, 'input>,
    copier: Option<Node<'a, 'input>>,
) -> Option<Open<'a, 'input>> {
    let around = &opened.around;
    let scale = Scale {
        viewport: around.viewport,
        font: around.style.font,
    };
    let length = |name: &str, along| element.get(name).and_then(|text| scale.length(text, along));
    // The element that copies it says how large it is (SVG 2, 5.5.2).
    let side = |name: &str, along, whole| {
        copier
            .and_then(|copier| attribute(copier, name))
            .and_then(|text| scale.length(text, along))
            .or_else(|| length(name, along))
            .filter(|side| *side >= 0.0)
            .unwrap_or(whole)
    };
    let extent = Size::new(
        side("width", Along::X, around.viewport.width),
        side("height", Along::Y, around.viewport.height),
    );
    let at = (
        length("x", Along::X).unwrap_or(0.0),
        length("y", Along::Y).unwrap_or(0.0),
    );
    let view = ViewBox::read(attribute(element.node, "viewBox"));
    if extent.width <= 0.0 || extent.height <= 0.0 || matches!(view, ViewBox::Empty) {
        return None;
    }
    let mut place = around.place * Affine::translate(at);
    let mut viewport = extent;
    if let ViewBox::Box(view) = view {
        place *= fitted(view, attribute(element.node, "preserveAspectRatio"), extent);
        viewport = view.size();
    }
    opened.around.place = place;
    opened.around.viewport = viewport;
    Some(opened)
}

/// Whether a child of a `switch` is the one that counts: it asks for nothing that is not known, in a language that is
/// English or not named (SVG 2, 5.6).
fn chosen(child: Node) -> bool {
    let asks = |name: &str| attribute(child, name).is_some_and(|all| !all.trim_ascii().is_empty());
    let english = attribute(child, "systemLanguage").is_none_or(|all| {
        all.split(',').any(|one| {
            one.trim_ascii()
                .get(..2)
                .is_some_and(|start| start.eq_ignore_ascii_case("en"))
        })
    });
    child.is_element()
        && child.tag_name().name() != "foreignObject"
        && english
        && !asks("requiredExtensions")
}
