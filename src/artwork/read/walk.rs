//! From element to element: what is painted, where, and with what.
//!
//! The way back up is kept in a list rather than on the stack of calls, so that no nesting can exhaust that.

use super::limits::{DEPTH, FAR};
use super::paint::{Fallback, Own, Paint, Style, styled};
use super::sheets::{Declaration, Sheets};
use super::units::{Along, MM_PER_PX, Scale, ViewBox, fitted, origin, transform};
use super::{Budget, ReadOptions, placed, shapes, strokes, tidy, too_far, too_much};
use crate::artwork::outline::{Artwork, Colour, Kind, Omission, Omitted, Rule, Shape};
use crate::error::InputError;
use kurbo::{Affine, BezPath, PathEl, Size};
use roxmltree::{Document, Node};
use std::collections::BTreeMap;
use std::rc::Rc;
use svgtypes::Color;

/// Namespaces of `href`, besides none.
const XLINK: &str = "http://www.w3.org/1999/xlink";
/// So many gradients may refer to one another.
const GRADIENTS: usize = 16;

/// The walk through a document.
pub struct Walk<'a, 'input> {
    document: &'a Document<'input>,
    sheets: &'a Sheets<'a>,
    options: ReadOptions,
    /// The namespace of its elements.
    namespace: Option<&'a str>,
    ids: BTreeMap<&'a str, Node<'a, 'input>>,
    budget: Budget,
    art: Artwork,
    omitted: BTreeMap<Omission, u32>,
}

/// What holds for the children of an element.
#[derive(Clone)]
struct Around {
    style: Rc<Style>,
    /// From its units to millimetres.
    place: Affine,
    viewport: Size,
    /// Whether nothing in it shows, whatever it says.
    hidden: bool,
}

/// An element whose children are being read.
struct Open<'a, 'input> {
    node: Node<'a, 'input>,
    around: Around,
    /// The child that is next.
    next: Option<Node<'a, 'input>>,
    /// The element that copies `next`, of which there is no more.
    copier: Option<Node<'a, 'input>>,
    /// Whether `next` is the only one.
    single: bool,
}

/// An element with what is declared for it.
struct Element<'a, 'input> {
    node: Node<'a, 'input>,
    declared: Vec<Declaration<'a>>,
}

impl<'a> Element<'a, '_> {
    /// All declarations, what counts more behind what counts less; attributes count least (SVG 2, 6.6).
    fn all(&self) -> impl Iterator<Item = Declaration<'a>> + Clone + '_ {
        attributes(self.node).chain(self.declared.iter().copied())
    }

    /// The value of a property or attribute.
    fn get(&self, name: &str) -> Option<&'a str> {
        let of_sheets = self.declared.iter().rev().find(|(other, _)| *other == name);
        of_sheets
            .map(|(_, value)| *value)
            .or_else(|| self.node.attribute(name))
    }
}

/// The attributes of an element without a namespace.
fn attributes<'a>(node: Node<'a, '_>) -> impl Iterator<Item = Declaration<'a>> + Clone {
    node.attributes()
        .filter(|attribute| attribute.namespace().is_none())
        .map(|attribute| (attribute.name(), attribute.value()))
}

/// What an element refers to: the newer attribute counts more (SVG 2, 16.1.5).
fn reference<'a>(node: Node<'a, '_>) -> Option<&'a str> {
    node.attribute("href")
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
        for node in document.descendants() {
            if node.is_element() {
                if let Some(id) = node.attribute("id") {
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

    fn omit(&mut self, what: Omission) {
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
            next: root.first_element_child(),
            copier: None,
            single: false,
        }];
        while let Some(last) = open.last_mut() {
            let Some(node) = last.next.take() else {
                open.pop();
                continue;
            };
            if !last.single {
                last.next = node.next_sibling_element();
            }
            let (around, copier) = (last.around.clone(), last.copier);
            if node.tag_name().namespace() != self.namespace {
                continue;
            }
            let opened = self
                .visit(node, &around, copier, &open)
                .map_err(|error| placed(error, self.document.text_pos_at(node.range().start)))?;
            if let Some(opened) = opened {
                if open.len() >= DEPTH {
                    let error = too_much(
                        "the drawing has more than 256 groups within groups",
                        "dissolve groups in your drawing program",
                    );
                    return Err(placed(error, self.document.text_pos_at(node.range().start)));
                }
                open.push(opened);
            }
        }
        Ok(())
    }

    fn element(&mut self, node: Node<'a, 'input>) -> Result<Element<'a, 'input>, InputError> {
        let length: usize = node
            .attributes()
            .map(|attribute| attribute.value().len() + 8)
            .sum();
        self.budget.spend(length + 8)?;
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
        // An extension that must be known is not (SVG 2, 5.10).
        if node
            .attribute("requiredExtensions")
            .is_some_and(|all| !all.trim_ascii().is_empty())
        {
            return Ok(None);
        }
        let (inside, own) = entered(&element, around);
        let shown = inside.style.visible && !inside.hidden;
        self.effects(&own, inside.hidden);
        let mut opened = Open {
            node,
            around: inside,
            next: node.first_element_child(),
            copier: None,
            single: false,
        };
        match name {
            "g" | "a" => Ok(Some(opened)),
            "switch" => {
                opened.next = node
                    .children()
                    .find(|child| child.tag_name().namespace() == self.namespace && chosen(*child));
                opened.single = true;
                Ok(Some(opened))
            }
            "svg" | "symbol" => Ok(viewport(&element, opened, copier)),
            "use" => Ok(self.copied(&element, opened, shown, open)),
            "text" | "flowRoot" => {
                let written = node.descendants().any(|inner| {
                    inner.is_text()
                        && inner
                            .text()
                            .is_some_and(|text| !text.trim_ascii().is_empty())
                });
                if shown && written {
                    self.omit(Omission::Text);
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

    /// A copy of another element of the file, by SVG 2, 5.6.
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
                self.omit(Omission::External);
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

    /// Paints a shape.
    fn paint(
        &mut self,
        name: &str,
        outline: &shapes::Outline,
        around: &Around,
        shown: bool,
        fixed_stroke: bool,
    ) -> Result<(), InputError> {
        if outline.path.is_empty() && outline.dots.is_empty() {
            if outline.broken && shown {
                self.omit(Omission::Broken);
            }
            return Ok(());
        }
        if !shown {
            self.omit(Omission::Hidden);
            return Ok(());
        }
        if outline.broken {
            self.omit(Omission::Broken);
        }
        let style = &around.style;
        if style.markers && matches!(name, "path" | "line" | "polyline" | "polygon") {
            self.omit(Omission::Effect);
        }
        let fill = if style.fill.shows && tidy::has_inside(&outline.path) {
            self.colour(&style.fill.paint, style)?
        } else {
            None
        };
        let stroke = if style.stroke.shows
            && style.width > 0.0
            && (fill.is_none() || self.options.strokes)
        {
            self.colour(&style.stroke.paint, style)?
        } else {
            None
        };
        let filled = fill.map(|colour| {
            let path = around.place * &outline.path;
            (path, style.rule, colour, Kind::Fill)
        });
        let stroked = match stroke {
            Some(colour) if self.options.strokes => self
                .stroke(outline, around, fixed_stroke)?
                .map(|path| (path, Rule::NonZero, colour, Kind::Stroke)),
            Some(colour) if !outline.path.is_empty() => {
                let path = around.place * &outline.path;
                Some((path, Rule::EvenOdd, colour, Kind::Line))
            }
            _ => None,
        };
        if filled.is_none() && stroked.is_none() {
            self.omit(Omission::Hidden);
        }
        let order = if style.stroke_first {
            [stroked, filled]
        } else {
            [filled, stroked]
        };
        for (path, rule, colour, kind) in order.into_iter().flatten() {
            if !within_reach(&path) {
                return Err(too_far());
            }
            self.art.shapes.push(Shape {
                path,
                rule,
                colour,
                kind,
            });
        }
        Ok(())
    }

    /// The outline of a stroke in millimetres; none where it has none.
    fn stroke(
        &mut self,
        outline: &shapes::Outline,
        around: &Around,
        fixed: bool,
    ) -> Result<Option<BezPath>, InputError> {
        // A stroke that is not scaled is drawn in pixels of the page (SVG 2, 8.13).
        let (before, after) = if fixed {
            let px = Affine::scale(MM_PER_PX);
            (px.inverse() * around.place, px)
        } else {
            (Affine::IDENTITY, around.place)
        };
        let path = before * &outline.path;
        if !within_reach(&(around.place * &outline.path)) {
            return Err(too_far());
        }
        let dots: Vec<_> = outline.dots.iter().map(|dot| before * *dot).collect();
        let stroked = strokes::outlined(&path, &dots, &around.style, &mut self.budget)?;
        let Some(stroked) = stroked else {
            self.omit(Omission::Broken);
            return Ok(None);
        };
        for _ in stroked.elements() {
            self.budget.segment()?;
        }
        Ok((!stroked.is_empty()).then(|| after * stroked))
    }

    /// The colour of a paint; none where nothing is painted.
    fn colour(&mut self, paint: &Paint, style: &Style) -> Result<Option<Colour>, InputError> {
        let fallback = |fallback: Fallback| match fallback {
            Fallback::None => None,
            Fallback::Current => opaque(style.colour),
            Fallback::Colour(colour) => opaque(colour),
        };
        Ok(match paint {
            Paint::None => None,
            Paint::Current => opaque(style.colour),
            Paint::Colour(colour) => opaque(*colour),
            Paint::Elsewhere(other) => {
                self.omit(Omission::External);
                fallback(*other)
            }
            Paint::Server(id, other) => match self.ids.get(&**id).copied() {
                None => fallback(*other),
                Some(node) => match node.tag_name().name() {
                    "linearGradient" | "radialGradient" | "meshgradient" => {
                        let colour = self.gradient(node)?;
                        if colour.is_some() {
                            self.omit(Omission::Gradient);
                        }
                        colour
                    }
                    "pattern" | "hatch" => {
                        self.omit(Omission::Effect);
                        Some(fallback(*other).unwrap_or(Colour([0; 3])))
                    }
                    _ => fallback(*other),
                },
            },
        })
    }

    /// The first colour of a gradient that shows; stops may be those of another gradient (SVG 2, 14.2.2).
    fn gradient(&mut self, node: Node<'a, 'input>) -> Result<Option<Colour>, InputError> {
        let mut node = node;
        for _ in 0..GRADIENTS {
            let mut stops = false;
            for stop in node
                .descendants()
                .filter(|stop| stop.tag_name().name() == "stop")
            {
                stops = true;
                let element = self.element(stop)?;
                let mut colour = Color::black();
                let mut shows = true;
                for (name, value) in element.all() {
                    match name {
                        "stop-color" => colour = self.stop_colour(value, stop)?.unwrap_or(colour),
                        "stop-opacity" => {
                            shows = super::units::part(value).map_or(shows, |part| part > 0.0);
                        }
                        _ => {}
                    }
                }
                if shows && let Some(colour) = opaque(colour) {
                    return Ok(Some(colour));
                }
            }
            if stops {
                return Ok(None);
            }
            let next = reference(node)
                .and_then(|text| text.strip_prefix('#'))
                .and_then(|id| self.ids.get(id));
            match next {
                Some(next) => node = *next,
                None => return Ok(None),
            }
        }
        Ok(None)
    }

    /// The colour of a stop: `currentColor` is the nearest one declared above it.
    fn stop_colour(
        &mut self,
        value: &str,
        stop: Node<'a, 'input>,
    ) -> Result<Option<Color>, InputError> {
        if !value.trim_ascii().eq_ignore_ascii_case("currentcolor") {
            return Ok(value.parse().ok());
        }
        let mut above = Some(stop);
        while let Some(node) = above {
            let element = self.element(node)?;
            if let Some(colour) = element.get("color").and_then(|text| text.parse().ok()) {
                return Ok(Some(colour));
            }
            above = node.parent_element();
        }
        Ok(Some(Color::black()))
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

/// A nested drawing or a symbol: a viewport of its own, by SVG 2, 8.2 and 5.5.
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
    // The element that copies it says how large it is (SVG 2, 5.5.1).
    let side = |name: &str, along, whole| {
        copier
            .and_then(|copier| copier.attribute(name))
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
    let view = ViewBox::read(element.node.attribute("viewBox"));
    if extent.width <= 0.0 || extent.height <= 0.0 || matches!(view, ViewBox::Empty) {
        return None;
    }
    let mut place = around.place * Affine::translate(at);
    let mut viewport = extent;
    if let ViewBox::Box(view) = view {
        place *= fitted(view, element.node.attribute("preserveAspectRatio"), extent);
        viewport = view.size();
    }
    opened.around.place = place;
    opened.around.viewport = viewport;
    Some(opened)
}

/// The colour without its opacity; none where it cannot be seen at all.
fn opaque(colour: Color) -> Option<Colour> {
    (colour.alpha > 0).then_some(Colour([colour.red, colour.green, colour.blue]))
}

/// Whether all points are numbers and near enough.
fn within_reach(path: &BezPath) -> bool {
    let near = |point: kurbo::Point| point.x.abs() <= FAR && point.y.abs() <= FAR;
    path.elements().iter().all(|element| match *element {
        PathEl::MoveTo(to) | PathEl::LineTo(to) => near(to),
        PathEl::QuadTo(one, to) => near(one) && near(to),
        PathEl::CurveTo(one, two, to) => near(one) && near(two) && near(to),
        PathEl::ClosePath => true,
    })
}

/// Whether a child of a `switch` is the one that counts: it asks for nothing that is not known, in a language that is
/// English or not named (SVG 2, 5.9).
fn chosen(child: Node) -> bool {
    let asks = |name: &str| {
        child
            .attribute(name)
            .is_some_and(|all| !all.trim_ascii().is_empty())
    };
    let english = child.attribute("systemLanguage").is_none_or(|all| {
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
