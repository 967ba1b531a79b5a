//! A picture as data: elements that become nodes of a page or the text of an SVG file.
//!
//! The page builds its nodes from the tree and sets every text as text, so nothing typed is ever
//! parsed as markup; a file is written by `Element::to_svg`, which escapes.
//!
//! Colours stand as presentation attributes, which a style sheet overrules through the classes.

pub mod chart;
#[cfg(feature = "code")]
mod code;
mod curves;

#[cfg(feature = "code")]
pub use code::code;
pub use curves::{Chart, Line};

use crate::measure::{Length, Unit, decimals_with_point};
use std::fmt::Write as _;

/// One SVG element with its attributes and children.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Element {
    /// The element's name, such as `rect`.
    pub tag: &'static str,
    /// Names and values, in the order in which they were given.
    pub attributes: Vec<(&'static str, String)>,
    /// What stands inside.
    pub children: Vec<Node>,
}

/// What may stand inside an element.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Node {
    /// Another element.
    Element(Element),
    /// Text, not escaped.
    Text(String),
}

impl Element {
    /// An element without attributes or children.
    #[must_use]
    pub const fn new(tag: &'static str) -> Self {
        Self {
            tag,
            attributes: Vec::new(),
            children: Vec::new(),
        }
    }

    /// The element with one more attribute.
    #[must_use]
    pub fn with(mut self, name: &'static str, value: impl Into<String>) -> Self {
        self.attributes.push((name, value.into()));
        self
    }

    /// The element with one more child.
    #[must_use]
    pub fn child(mut self, child: Self) -> Self {
        self.children.push(Node::Element(child));
        self
    }

    /// The element with more children.
    #[must_use]
    pub fn children(mut self, children: impl IntoIterator<Item = Self>) -> Self {
        self.children
            .extend(children.into_iter().map(Node::Element));
        self
    }

    /// The element with text inside.
    #[must_use]
    pub fn text(mut self, text: impl Into<String>) -> Self {
        self.children.push(Node::Text(text.into()));
        self
    }

    /// The picture as an SVG file.
    #[must_use]
    pub fn to_svg(&self) -> String {
        let mut svg = String::new();
        self.write(&mut svg, true);
        svg
    }

    fn write(&self, svg: &mut String, outermost: bool) {
        // Writing into a String cannot fail.
        let _ = write!(svg, "<{}", self.tag);
        if outermost {
            svg.push_str(" xmlns=\"http://www.w3.org/2000/svg\"");
        }
        for (name, value) in &self.attributes {
            let _ = write!(svg, " {name}=\"{}\"", escaped(value));
        }
        if self.children.is_empty() {
            svg.push_str("/>");
            return;
        }
        svg.push('>');
        for child in &self.children {
            match child {
                Node::Element(element) => element.write(svg, false),
                Node::Text(text) => svg.push_str(&escaped(text)),
            }
        }
        let _ = write!(svg, "</{}>", self.tag);
    }
}

/// The text as it may stand in an attribute or between tags; characters that XML 1.0 forbids are
/// left out.
fn escaped(text: &str) -> String {
    let mut escaped = String::with_capacity(text.len());
    for character in text.chars() {
        match character {
            '&' => escaped.push_str("&amp;"),
            '<' => escaped.push_str("&lt;"),
            '>' => escaped.push_str("&gt;"),
            '"' => escaped.push_str("&quot;"),
            '\t' | '\n' | '\r' | ' '..='\u{d7ff}' | '\u{e000}'..='\u{fffd}' | '\u{10000}'.. => {
                escaped.push(character);
            }
            _ => {}
        }
    }
    escaped
}

/// A length as a coordinate: millimetres to 0.001.
#[must_use]
pub fn mm(length: Length) -> String {
    number(length.to_f64(Unit::Mm))
}

/// A number as a coordinate, to 0.001.
#[must_use]
pub fn number(value: f64) -> String {
    decimals_with_point(value, 3)
}

/// A frame that holds a picture of `width` by `height` with a ruler along its top and its left
/// edge, in millimetres of the thing shown. Everything inside is placed from the corner where the
/// two rulers meet, by `content`, which is told the size of type that stays legible on a phone.
/// `lines` lines of text have room below the picture, where no ruler runs.
#[must_use]
pub fn framed(
    size: (Length, Length),
    lines: u32,
    unit: Unit,
    label: &str,
    content: &dyn Fn(f64) -> Vec<Element>,
) -> Element {
    let frame = Frame {
        size,
        lines,
        unit,
        label,
        whole: false,
    };
    frame.around(content)
}

/// What a framed picture is drawn into.
#[derive(Clone, Copy, Debug)]
pub struct Frame<'a> {
    /// Width and height of the thing shown.
    pub size: (Length, Length),
    /// So many lines of text have room below.
    pub lines: u32,
    /// The unit in which the rulers along its edges count.
    pub unit: Unit,
    /// The picture in words.
    pub label: &'a str,
    /// Whether a thing much higher than wide is shown in its full width, however far down it goes.
    pub whole: bool,
}

impl Frame<'_> {
    /// The frame around `content`, as [`framed`] tells.
    #[must_use]
    pub fn around(&self, content: &dyn Fn(f64) -> Vec<Element>) -> Element {
        let Self {
            size: (width, height),
            lines,
            unit,
            label,
            whole,
        } = *self;
        let (wide, high) = (width.to_f64(Unit::Mm), height.to_f64(Unit::Mm));
        // Otherwise such a thing is shown small rather than pages long.
        let across = if whole { wide } else { wide.max(high * 0.9) };
        let type_size = across / 30.0;
        let band = type_size * 1.5;
        let pad = type_size * 0.7;
        let left = (across - wide) / 2.0;
        let origin = band + pad;
        let size = (
            number(across + origin + pad),
            number(high + f64::from(lines) * type_size * 1.35 + origin + pad),
        );
        Element::new("svg")
            .with(
                "viewBox",
                format!("{} 0 {} {}", number(-left), size.0, size.1),
            )
            // Saved or printed as it is, the thing comes out at its actual size.
            .with("width", format!("{}mm", size.0))
            .with("height", format!("{}mm", size.1))
            .with("role", "img")
            .with("aria-label", label)
            .child(
                Element::new("g")
                    .with("class", "ruler")
                    .with("stroke", "#8a8471")
                    .with("fill", "#8a8471")
                    .with("stroke-width", number(across / 600.0))
                    .child(
                        Element::new("text")
                            .with("x", number(-left + band * 0.1))
                            .with("y", number(band * 0.7))
                            .with("font-size", number(type_size * 0.8))
                            .with("stroke", "none")
                            .text(unit_of_figures(unit).symbol()),
                    )
                    .child(
                        Element::new("g")
                            .with("transform", format!("translate({} 0)", number(origin)))
                            .children(ruler(wide, 'x', unit, type_size)),
                    )
                    .child(
                        Element::new("g")
                            .with("transform", format!("translate(0 {})", number(origin)))
                            .children(ruler(high, 'y', unit, type_size)),
                    ),
            )
            .child(
                Element::new("g")
                    .with("transform", format!("translate({0} {0})", number(origin)))
                    .children(content(type_size)),
            )
    }
}

/// The unit that the figures of a ruler count.
const fn unit_of_figures(unit: Unit) -> Unit {
    if unit.is_imperial() {
        Unit::In
    } else if matches!(unit, Unit::Mm) {
        Unit::Mm
    } else {
        Unit::Cm
    }
}

/// The marks of a ruler: where, how long (1 longest), and the number beside the longest.
struct Tick {
    at: f64,
    rank: f64,
    figure: Option<String>,
}

/// The marks and figures of a ruler of `length` millimetres, along `x` or `y`, with figures of about that
/// type size; none where the length is too odd to divide.
#[must_use]
pub fn ruler(length: f64, along: char, unit: Unit, type_size: f64) -> Vec<Element> {
    let band = type_size * 1.5;
    ticks(length, unit, type_size).map_or_else(Vec::new, |marks| {
        drawn_ticks(&marks, along, band, type_size)
    })
}

/// Divides `length` (mm) so that marks stay apart; none where the length is too odd to divide.
fn ticks(length: f64, unit: Unit, type_size: f64) -> Option<Vec<Tick>> {
    // Graduations as on real rules: (one step, steps to a half mark, steps to a figure, figure counts).
    let inch = 25.4;
    let rules: &[(f64, u32, u32, u32)] = if unit.is_imperial() {
        &[
            (inch / 8.0, 4, 8, 1),
            (inch / 4.0, 2, 4, 1),
            (inch / 2.0, 1, 2, 1),
            (inch, 3, 6, 6),
            (inch * 6.0, 1, 2, 12),
            (inch * 12.0, 5, 10, 120),
            (inch * 120.0, 5, 10, 1200),
        ]
    } else {
        &[
            (1.0, 5, 10, 1),
            (5.0, 1, 2, 1),
            (10.0, 5, 10, 10),
            (50.0, 1, 2, 10),
            (100.0, 5, 10, 100),
            (1000.0, 5, 10, 1000),
            (10_000.0, 5, 10, 10_000),
        ]
    };
    let (step, half, whole, counts) = rules
        .iter()
        .find(|(step, _, whole, _)| {
            *step >= type_size / 4.5 && step * f64::from(*whole) >= type_size * 1.6
        })
        .copied()?;
    // The figures above count inches or centimetres.
    let tens = if unit_of_figures(unit) == Unit::Mm {
        10
    } else {
        1
    };
    let mut marks = Vec::new();
    let mut index = 0;
    while f64::from(index) * step <= length + 1e-6 {
        let rank = if index % whole == 0 {
            1.0
        } else if index % half == 0 {
            0.7
        } else {
            0.4
        };
        marks.push(Tick {
            at: f64::from(index) * step,
            rank,
            figure: (index > 0 && index % whole == 0)
                .then(|| (index / whole * counts * tens).to_string()),
        });
        index += 1;
    }
    Some(marks)
}

fn drawn_ticks(marks: &[Tick], along: char, band: f64, type_size: f64) -> Vec<Element> {
    let mut path = String::new();
    let mut figures = Vec::new();
    for mark in marks {
        let (at, long) = (number(mark.at), number(mark.rank * band * 0.55));
        // Writing into a String cannot fail.
        let _ = if along == 'x' {
            write!(path, "M{at} 0v{long}")
        } else {
            write!(path, "M0 {at}h{long}")
        };
        if let Some(figure) = &mark.figure {
            let (x, y, anchor) = if along == 'x' {
                (mark.at - type_size * 0.2, band * 0.85, "end")
            } else {
                (band * 1.4, mark.at + type_size * 0.28, "end")
            };
            figures.push(
                Element::new("text")
                    .with("x", number(x))
                    .with("y", number(y))
                    .with("text-anchor", anchor)
                    .with("font-size", number(type_size * 0.8))
                    .with("stroke", "none")
                    .text(figure),
            );
        }
    }
    let mut drawn = vec![Element::new("path").with("d", path).with("fill", "none")];
    drawn.extend(figures);
    drawn
}
