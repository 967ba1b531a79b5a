//! What is inherited from element to element: paint, the rule of filling, strokes, the size of type.

use super::sheets::Declaration;
use super::units::{Along, Scale, parsed, part};
use crate::artwork::outline::Rule;
use kurbo::{Cap, Join, Size};
use std::rc::Rc;
use svgtypes::{Color, LengthListParser, LengthUnit, PaintFallback};

/// What something is painted with.
#[derive(Clone, Debug)]
pub enum Paint {
    /// Nothing.
    None,
    /// The property `color`.
    Current,
    /// A colour.
    Colour(Color),
    /// A gradient or a pattern of the file, named by its identifier, and what counts where there is none.
    Server(Rc<str>, Fallback),
    /// Something in another file, and what counts instead.
    Elsewhere(Fallback),
}

/// What counts where a paint is not found.
#[derive(Clone, Copy, Debug)]
pub enum Fallback {
    /// Nothing.
    None,
    /// The property `color`.
    Current,
    /// A colour.
    Colour(Color),
}

/// A paint and whether its opacity lets it show.
#[derive(Clone, Debug)]
pub struct Layer {
    /// The paint.
    pub paint: Paint,
    /// Whether its opacity is above zero.
    pub shows: bool,
}

/// The inherited properties of an element, by SVG 2, 13 and 14.
#[derive(Clone, Debug)]
pub struct Style {
    /// `fill` and `fill-opacity`.
    pub fill: Layer,
    /// `stroke` and `stroke-opacity`.
    pub stroke: Layer,
    /// `fill-rule`.
    pub rule: Rule,
    /// `stroke-width`, in units of the user.
    pub width: f64,
    /// `stroke-linecap`.
    pub cap: Cap,
    /// `stroke-linejoin`.
    pub join: Join,
    /// `stroke-miterlimit`.
    pub miter: f64,
    /// `stroke-dasharray`; empty for none.
    pub dashes: Rc<[f64]>,
    /// `stroke-dashoffset`.
    pub offset: f64,
    /// `color`.
    pub colour: Color,
    /// `visibility`.
    pub visible: bool,
    /// `font-size`, in units of the user.
    pub font: f64,
    /// Whether `paint-order` puts the stroke below the fill.
    pub stroke_first: bool,
    /// Whether there are markers.
    pub markers: bool,
}

impl Default for Style {
    fn default() -> Self {
        Self {
            fill: Layer {
                paint: Paint::Colour(Color::black()),
                shows: true,
            },
            stroke: Layer {
                paint: Paint::None,
                shows: true,
            },
            rule: Rule::NonZero,
            width: 1.0,
            cap: Cap::Butt,
            join: Join::Miter,
            miter: 4.0,
            dashes: Rc::new([]),
            offset: 0.0,
            colour: Color::black(),
            visible: true,
            // `medium` in browsers.
            font: 16.0,
            stroke_first: false,
            markers: false,
        }
    }
}

/// The properties of an element that its children do not inherit.
#[derive(Clone, Copy, Debug)]
pub struct Own<'a> {
    /// Whether `display` and `opacity` let anything be seen.
    pub shows: bool,
    /// `clip-path`, `mask` and `filter`, where they are not `none`.
    pub effects: [Option<&'a str>; 3],
    /// `transform`.
    pub transform: Option<&'a str>,
    /// `transform-origin`.
    pub origin: Option<&'a str>,
    /// Whether `vector-effect` keeps the width of strokes as it is.
    pub fixed_stroke: bool,
}

/// The properties of an element: its own, and those its children inherit, from its attributes and what sheets declare,
/// each value only where it can be read.
pub fn styled<'a>(
    parent: &Style,
    viewport: Size,
    declared: impl Iterator<Item = Declaration<'a>> + Clone,
) -> (Style, Own<'a>) {
    let mut style = parent.clone();
    let mut own = Own {
        shows: true,
        effects: [None; 3],
        transform: None,
        origin: None,
        fixed_stroke: false,
    };
    // Lengths may be in units of the size of type, whichever is declared first.
    for (_, value) in declared.clone().filter(|(name, _)| *name == "font-size") {
        if let Some(size) = font_size(value, parent.font) {
            style.font = size;
        }
    }
    let scale = Scale {
        viewport,
        font: style.font,
    };
    let (mut displayed, mut opaque) = (true, true);
    for (name, value) in declared {
        let value = value.trim_ascii();
        match name {
            "display" => displayed = value != "none",
            "opacity" => opaque = part(value).map_or(opaque, |part| part > 0.0),
            "clip-path" => own.effects[0] = some(value),
            "mask" => own.effects[1] = some(value),
            "filter" => own.effects[2] = some(value),
            "transform" => own.transform = Some(value),
            "transform-origin" => own.origin = Some(value),
            "vector-effect" => own.fixed_stroke = value == "non-scaling-stroke",
            _ => style.set(name, value, parent, &scale),
        }
    }
    own.shows = displayed && opaque;
    (style, own)
}

/// The value of a property that may be `none`; what is taken from the parent is counted there.
fn some(value: &str) -> Option<&str> {
    (!matches!(value, "none" | "initial" | "inherit" | "unset")).then_some(value)
}

fn font_size(value: &str, parent: f64) -> Option<f64> {
    let length = parsed(value)?;
    let unit = match length.unit {
        LengthUnit::Percent => parent / 100.0,
        LengthUnit::Em => parent,
        LengthUnit::Ex => parent / 2.0,
        unit => super::units::pixels(unit),
    };
    Some(length.number * unit).filter(|size| (0.0..1e9).contains(size))
}

impl Style {
    /// Sets one property from its value; one that cannot be read changes nothing.
    fn set(&mut self, name: &str, value: &str, parent: &Self, scale: &Scale) {
        // `inherit` gives what a parent has; `unset` is the same for what is inherited (CSS Cascade 4, 7.3).
        let given = match value {
            "inherit" | "unset" => Some(parent.clone()),
            "initial" => Some(Self::default()),
            _ => None,
        };
        if let Some(given) = given {
            self.take(name, given);
            return;
        }
        match name {
            "fill" => assign(&mut self.fill.paint, paint(value)),
            "stroke" => assign(&mut self.stroke.paint, paint(value)),
            "color" => assign(&mut self.colour, value.parse().ok()),
            "fill-opacity" => assign(&mut self.fill.shows, part(value).map(|part| part > 0.0)),
            "stroke-opacity" => assign(&mut self.stroke.shows, part(value).map(|part| part > 0.0)),
            "fill-rule" => assign(
                &mut self.rule,
                match value {
                    "nonzero" => Some(Rule::NonZero),
                    "evenodd" => Some(Rule::EvenOdd),
                    _ => None,
                },
            ),
            "stroke-width" => assign(
                &mut self.width,
                scale
                    .length(value, Along::Other)
                    .filter(|width| *width >= 0.0),
            ),
            "stroke-linecap" => assign(
                &mut self.cap,
                match value {
                    "butt" => Some(Cap::Butt),
                    "round" => Some(Cap::Round),
                    "square" => Some(Cap::Square),
                    _ => None,
                },
            ),
            "stroke-linejoin" => assign(
                &mut self.join,
                match value {
                    "miter" | "miter-clip" | "arcs" => Some(Join::Miter),
                    "round" => Some(Join::Round),
                    "bevel" => Some(Join::Bevel),
                    _ => None,
                },
            ),
            "stroke-miterlimit" => {
                assign(&mut self.miter, part(value).filter(|limit| *limit >= 1.0));
            }
            "stroke-dasharray" => assign(&mut self.dashes, dashes(value, scale)),
            "stroke-dashoffset" => assign(&mut self.offset, scale.length(value, Along::Other)),
            "visibility" => assign(
                &mut self.visible,
                match value {
                    "visible" => Some(true),
                    "hidden" | "collapse" => Some(false),
                    _ => None,
                },
            ),
            "paint-order" => {
                let first = value
                    .split_ascii_whitespace()
                    .find(|word| matches!(*word, "fill" | "stroke"));
                self.stroke_first = first == Some("stroke");
            }
            "marker" | "marker-start" | "marker-mid" | "marker-end" => {
                self.markers = value != "none";
            }
            _ => {}
        }
    }

    /// Takes one property from another style.
    fn take(&mut self, name: &str, from: Self) {
        match name {
            "fill" => self.fill.paint = from.fill.paint,
            "stroke" => self.stroke.paint = from.stroke.paint,
            "color" => self.colour = from.colour,
            "fill-opacity" => self.fill.shows = from.fill.shows,
            "stroke-opacity" => self.stroke.shows = from.stroke.shows,
            "fill-rule" => self.rule = from.rule,
            "stroke-width" => self.width = from.width,
            "stroke-linecap" => self.cap = from.cap,
            "stroke-linejoin" => self.join = from.join,
            "stroke-miterlimit" => self.miter = from.miter,
            "stroke-dasharray" => self.dashes = from.dashes,
            "stroke-dashoffset" => self.offset = from.offset,
            "visibility" => self.visible = from.visible,
            "paint-order" => self.stroke_first = from.stroke_first,
            "marker" | "marker-start" | "marker-mid" | "marker-end" => self.markers = from.markers,
            _ => {}
        }
    }
}

fn assign<T>(to: &mut T, value: Option<T>) {
    if let Some(value) = value {
        *to = value;
    }
}

/// Dashes and gaps: none where a value is below zero, or all are zero (SVG 2, 13.5.6).
fn dashes(value: &str, scale: &Scale) -> Option<Rc<[f64]>> {
    if value == "none" {
        return Some(Rc::new([]));
    }
    let mut list = Vec::new();
    for length in LengthListParser::from(value) {
        let length = scale.of(length.ok()?, Along::Other)?;
        if length < 0.0 {
            return None;
        }
        list.push(length);
    }
    if list.iter().all(|length| *length == 0.0) {
        list.clear();
    }
    Some(list.into())
}

/// Reads a paint, by SVG 2, 13.2; none where it cannot be read.
fn paint(value: &str) -> Option<Paint> {
    if value.eq_ignore_ascii_case("currentcolor") {
        return Some(Paint::Current);
    }
    if value.eq_ignore_ascii_case("transparent") {
        return Some(Paint::None);
    }
    match svgtypes::Paint::from_str(value) {
        Ok(
            svgtypes::Paint::None | svgtypes::Paint::ContextFill | svgtypes::Paint::ContextStroke,
        ) => Some(Paint::None),
        Ok(svgtypes::Paint::CurrentColor) => Some(Paint::Current),
        Ok(svgtypes::Paint::Color(colour)) => Some(Paint::Colour(colour)),
        Ok(svgtypes::Paint::FuncIRI(id, fallback)) => Some(Paint::Server(
            id.into(),
            match fallback {
                None | Some(PaintFallback::None) => Fallback::None,
                Some(PaintFallback::CurrentColor) => Fallback::Current,
                Some(PaintFallback::Color(colour)) => Fallback::Colour(colour),
            },
        )),
        // What is in another file is never fetched.
        Err(_) if value.starts_with("url(") => {
            let (_, behind) = value.rsplit_once(')')?;
            let behind = behind.trim_ascii();
            Some(Paint::Elsewhere(match behind {
                "" | "none" => Fallback::None,
                colour => Fallback::Colour(colour.parse().ok()?),
            }))
        }
        Ok(svgtypes::Paint::Inherit) | Err(_) => None,
    }
}
