//! What a shape is painted with, and what of it is cut.

use super::limits::FAR;
use super::paint::{Fallback, Paint, Style};
use super::units::{MM_PER_PX, part};
use super::walk::{Around, Walk, reference};
use super::{shapes, strokes, tidy, too_far};
use crate::artwork::outline::{Colour, Kind, Omission, Rule, Shape};
use crate::error::InputError;
use kurbo::{Affine, BezPath, PathEl};
use roxmltree::Node;
use svgtypes::Color;

/// So many gradients may refer to one another.
const GRADIENTS: usize = 16;

impl<'a, 'input> Walk<'a, 'input> {
    /// Paints a shape.
    pub fn paint(
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
            self.omit(Omission::Marker);
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
            for stop in node.children() {
                self.budget.spend(1)?;
                if stop.tag_name().name() != "stop" {
                    continue;
                }
                stops = true;
                let element = self.element(stop)?;
                let mut colour = Color::black();
                let mut shows = true;
                for (name, value) in element.all() {
                    match name {
                        "stop-color" => colour = self.stop_colour(value, stop)?.unwrap_or(colour),
                        "stop-opacity" => {
                            shows = part(value).map_or(shows, |part| part > 0.0);
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
