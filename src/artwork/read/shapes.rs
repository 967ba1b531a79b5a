//! From the attributes of paths and basic shapes to outlines, in the space of their element.

use super::limits::HUGE;
use super::units::{Along, Scale};
use super::{Budget, too_far};
use crate::error::InputError;
use kurbo::{Arc, BezPath, PathEl, Point, SvgArc, Vec2};
use std::f64::consts::FRAC_PI_2;
use svgtypes::{PathParser, PathSegment, PointsParser};

/// So far the curves that stand for an arc may stray from it, in parts of its greater radius.
const ARC: f64 = 1e-6;

/// The outlines of one element.
#[derive(Debug, Default)]
pub struct Outline {
    /// Lines and curves, each subpath with a `MoveTo` of its own, without any that has no length at all.
    pub path: BezPath,
    /// Subpaths without a length: a stroke with round or square caps shows there (SVG 2, 13.5.4).
    pub dots: Vec<Point>,
    /// Whether the data have a mistake, behind which nothing of them counts (SVG 2, 9.5.4).
    pub broken: bool,
}

/// The outlines of an element by its name and its attributes or properties; none where it is no shape.
///
/// # Errors
/// Where a coordinate is too far out, or there are too many lines and curves.
pub fn outline<'a>(
    name: &str,
    property: &dyn Fn(&str) -> Option<&'a str>,
    scale: &Scale,
    budget: &mut Budget,
) -> Result<Option<Outline>, InputError> {
    let length = |name: &str, along| {
        property(name)
            .filter(|text| *text != "auto")
            .and_then(|text| scale.length(text, along))
    };
    let x = |name: &str| length(name, Along::X).unwrap_or(0.0);
    let y = |name: &str| length(name, Along::Y).unwrap_or(0.0);
    // Below zero is a mistake, and counts as not given (SVG 2, 10).
    let across = |name: &str| length(name, Along::X).filter(|length| *length >= 0.0);
    let down = |name: &str| length(name, Along::Y).filter(|length| *length >= 0.0);
    let mut pen = Pen::new(budget);
    match name {
        "path" => pen.data(property("d").unwrap_or_default())?,
        "rect" => {
            let size = (
                across("width").unwrap_or(0.0),
                down("height").unwrap_or(0.0),
            );
            pen.rectangle(Point::new(x("x"), y("y")), size, (across("rx"), down("ry")))?;
        }
        "circle" => {
            let radius = length("r", Along::Other).unwrap_or(0.0);
            pen.ellipse(Point::new(x("cx"), y("cy")), Vec2::new(radius, radius))?;
        }
        "ellipse" => {
            // One that is not given is the other one (SVG 2, 10.4).
            let (right, below) = (across("rx"), down("ry"));
            let radii = Vec2::new(
                right.or(below).unwrap_or(0.0),
                below.or(right).unwrap_or(0.0),
            );
            pen.ellipse(Point::new(x("cx"), y("cy")), radii)?;
        }
        "line" => {
            pen.move_to(Point::new(x("x1"), y("y1")));
            pen.line(Point::new(x("x2"), y("y2")))?;
        }
        "polyline" | "polygon" => {
            pen.points(property("points").unwrap_or_default(), name == "polygon")?;
        }
        _ => return Ok(None),
    }
    Ok(Some(pen.finish()))
}

/// Draws subpaths, as path data tell it.
struct Pen<'a> {
    out: Outline,
    budget: &'a mut Budget,
    /// Where the subpath began.
    start: Point,
    /// Where the pen is.
    at: Point,
    /// Whether a subpath is begun that was not closed.
    begun: bool,
    /// Whether a line was asked for in it, with or without a length.
    asked: bool,
    /// Whether one with a length was drawn.
    drawn: bool,
}

impl<'a> Pen<'a> {
    fn new(budget: &'a mut Budget) -> Self {
        Self {
            out: Outline::default(),
            budget,
            start: Point::ZERO,
            at: Point::ZERO,
            begun: false,
            asked: false,
            drawn: false,
        }
    }

    fn finish(mut self) -> Outline {
        self.end();
        self.out
    }

    /// Ends a subpath.
    fn end(&mut self) {
        if self.asked && !self.drawn {
            self.out.dots.push(self.start);
        }
        (self.asked, self.drawn) = (false, false);
    }

    fn move_to(&mut self, to: Point) {
        self.end();
        (self.start, self.at) = (to, to);
        self.begun = true;
    }

    /// Draws one line or curve, unless all of its points are where the pen is.
    fn draw(&mut self, element: PathEl, points: &[Point]) -> Result<(), InputError> {
        (self.begun, self.asked) = (true, true);
        if points
            .iter()
            .chain([&self.at])
            .any(|point| !(point.x.abs() <= HUGE && point.y.abs() <= HUGE))
        {
            return Err(too_far());
        }
        if points.iter().all(|point| *point == self.at) {
            return Ok(());
        }
        self.budget.segment()?;
        if !self.drawn {
            self.out.path.move_to(self.at);
            self.drawn = true;
        }
        self.out.path.push(element);
        if let Some(last) = points.last() {
            self.at = *last;
        }
        Ok(())
    }

    fn line(&mut self, to: Point) -> Result<(), InputError> {
        self.draw(PathEl::LineTo(to), &[to])
    }

    fn cubic(&mut self, one: Point, two: Point, to: Point) -> Result<(), InputError> {
        self.draw(PathEl::CurveTo(one, two, to), &[one, two, to])
    }

    fn close(&mut self) {
        self.asked = self.begun;
        if self.drawn {
            self.out.path.close_path();
        }
        self.end();
        self.at = self.start;
        self.begun = false;
    }

    /// An elliptical arc to a point, by SVG 2, 9.5.1 and B.2.
    fn arc(
        &mut self,
        radii: Vec2,
        turned: f64,
        flags: (bool, bool),
        to: Point,
    ) -> Result<(), InputError> {
        let from = self.at;
        let radii = Vec2::new(radii.x.abs(), radii.y.abs());
        let greater = radii.x.max(radii.y);
        let chord = (to - from) / greater;
        // What is too flat or too short to be told from a line is one; so is what kurbo takes for one.
        let arc = (radii.x > 0.0 && radii.y > 0.0 && chord.hypot() > 1e-9)
            .then(|| {
                Arc::from_svg_arc(&SvgArc {
                    from: Point::ZERO,
                    to: chord.to_point(),
                    radii: radii / greater,
                    x_rotation: (turned % 360.0).to_radians(),
                    large_arc: flags.0,
                    sweep: flags.1,
                })
            })
            .flatten();
        let Some(arc) = arc else {
            return self.line(to);
        };
        let back = |point: Point| from + point.to_vec2() * greater;
        self.curves(&arc, &back, to)
    }

    /// The curves that stand for an arc, from where the pen is to a point that is its end.
    fn curves(
        &mut self,
        arc: &Arc,
        place: &dyn Fn(Point) -> Point,
        to: Point,
    ) -> Result<(), InputError> {
        let tolerance = ARC * arc.radii.x.max(arc.radii.y);
        let mut curves = arc.append_iter(tolerance).peekable();
        while let Some(PathEl::CurveTo(one, two, end)) = curves.next() {
            let end = if curves.peek().is_some() {
                place(end)
            } else {
                to
            };
            self.cubic(place(one), place(two), end)?;
        }
        Ok(())
    }

    /// A quarter of an ellipse round a centre, from one of its four ends clockwise to the next one.
    fn quarter(&mut self, centre: Point, radii: Vec2, from: u32) -> Result<(), InputError> {
        let unit = [(1.0, 0.0), (0.0, 1.0), (-1.0, 0.0), (0.0, -1.0)];
        let (x, y) = unit
            .get((from as usize + 1) % 4)
            .copied()
            .unwrap_or_default();
        let to = centre + Vec2::new(x * radii.x, y * radii.y);
        if radii.x <= 0.0 || radii.y <= 0.0 {
            return self.line(to);
        }
        let arc = Arc::new(centre, radii, f64::from(from) * FRAC_PI_2, FRAC_PI_2, 0.0);
        self.curves(&arc, &|point| point, to)
    }

    /// SVG 2, 10.3 and 10.4: four arcs, from the right end on.
    fn ellipse(&mut self, centre: Point, radii: Vec2) -> Result<(), InputError> {
        if radii.x <= 0.0 || radii.y <= 0.0 {
            return Ok(());
        }
        self.move_to(centre + Vec2::new(radii.x, 0.0));
        for from in 0..4 {
            self.quarter(centre, radii, from)?;
        }
        self.close();
        Ok(())
    }

    /// SVG 2, 10.2: a radius that is not given is the other one, and none is above half of its side.
    fn rectangle(
        &mut self,
        at: Point,
        (width, height): (f64, f64),
        (rx, ry): (Option<f64>, Option<f64>),
    ) -> Result<(), InputError> {
        if width <= 0.0 || height <= 0.0 {
            return Ok(());
        }
        let radii = Vec2::new(
            rx.or(ry).unwrap_or(0.0).min(width / 2.0),
            ry.or(rx).unwrap_or(0.0).min(height / 2.0),
        );
        let far = at + Vec2::new(width, height);
        if radii.x <= 0.0 || radii.y <= 0.0 {
            self.move_to(at);
            self.line(Point::new(far.x, at.y))?;
            self.line(far)?;
            self.line(Point::new(at.x, far.y))?;
            self.close();
            return Ok(());
        }
        self.move_to(Point::new(at.x + radii.x, at.y));
        self.line(Point::new(far.x - radii.x, at.y))?;
        self.quarter(Point::new(far.x - radii.x, at.y + radii.y), radii, 3)?;
        self.line(Point::new(far.x, far.y - radii.y))?;
        self.quarter(far - radii, radii, 0)?;
        self.line(Point::new(at.x + radii.x, far.y))?;
        self.quarter(Point::new(at.x + radii.x, far.y - radii.y), radii, 1)?;
        self.line(Point::new(at.x, at.y + radii.y))?;
        self.quarter(at + radii, radii, 2)?;
        self.close();
        Ok(())
    }

    /// SVG 2, 10.6 and 10.7; a number that is left over is a mistake.
    fn points(&mut self, list: &str, closed: bool) -> Result<(), InputError> {
        let mut first = true;
        for (x, y) in PointsParser::from(list) {
            let point = Point::new(x, y);
            if first {
                self.move_to(point);
                first = false;
            } else {
                self.line(point)?;
            }
        }
        if closed && !first {
            self.close();
        }
        let numbers = svgtypes::NumberListParser::from(list);
        let mut count = 0_usize;
        for number in numbers {
            self.out.broken |= number.is_err();
            count += 1;
        }
        self.out.broken |= count % 2 == 1;
        Ok(())
    }

    /// Path data, by SVG 2, 9.3.
    fn data(&mut self, data: &str) -> Result<(), InputError> {
        // The control point that a smooth curve mirrors, if the last command was one that has it.
        let (mut cubic, mut quadratic) = (None, None);
        for segment in PathParser::from(data) {
            let Ok(segment) = segment else {
                self.out.broken = true;
                break;
            };
            let origin = if segment.is_abs() {
                Vec2::ZERO
            } else {
                self.at.to_vec2()
            };
            let point = |x: f64, y: f64| Point::new(x, y) + origin;
            let (last_cubic, last_quadratic) = (cubic.take(), quadratic.take());
            let mirrored = |control: Option<Point>, at: Point| {
                control.map_or(at, |control| at + (at - control))
            };
            match segment {
                PathSegment::MoveTo { x, y, .. } => self.move_to(point(x, y)),
                PathSegment::LineTo { x, y, .. } => self.line(point(x, y))?,
                PathSegment::HorizontalLineTo { x, .. } => {
                    self.line(Point::new(x + origin.x, self.at.y))?;
                }
                PathSegment::VerticalLineTo { y, .. } => {
                    self.line(Point::new(self.at.x, y + origin.y))?;
                }
                PathSegment::CurveTo {
                    x1,
                    y1,
                    x2,
                    y2,
                    x,
                    y,
                    ..
                } => {
                    cubic = Some(point(x2, y2));
                    self.cubic(point(x1, y1), point(x2, y2), point(x, y))?;
                }
                PathSegment::SmoothCurveTo { x2, y2, x, y, .. } => {
                    cubic = Some(point(x2, y2));
                    let one = mirrored(last_cubic, self.at);
                    self.cubic(one, point(x2, y2), point(x, y))?;
                }
                PathSegment::Quadratic { x1, y1, x, y, .. } => {
                    let (one, to) = (point(x1, y1), point(x, y));
                    quadratic = Some(one);
                    self.draw(PathEl::QuadTo(one, to), &[one, to])?;
                }
                PathSegment::SmoothQuadratic { x, y, .. } => {
                    let (one, to) = (mirrored(last_quadratic, self.at), point(x, y));
                    quadratic = Some(one);
                    self.draw(PathEl::QuadTo(one, to), &[one, to])?;
                }
                PathSegment::EllipticalArc {
                    rx,
                    ry,
                    x_axis_rotation,
                    large_arc,
                    sweep,
                    x,
                    y,
                    ..
                } => {
                    let radii = Vec2::new(rx, ry);
                    if radii.hypot() > HUGE {
                        return Err(too_far());
                    }
                    self.arc(radii, x_axis_rotation, (large_arc, sweep), point(x, y))?;
                }
                PathSegment::ClosePath { .. } => self.close(),
            }
        }
        Ok(())
    }
}
