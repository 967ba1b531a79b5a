//! What a drawing is made of, before and after its outlines are joined.

use kurbo::{BezPath, Point, Rect, Shape as _, Size};
use std::collections::BTreeSet;

/// A drawing as it was read. Coordinates are millimetres at the size in which it was made, y downwards.
#[derive(Clone, Debug, Default)]
pub struct Artwork {
    /// What is cut, from the bottom up, as it is painted.
    pub shapes: Vec<Shape>,
    /// The size of its page, at 96 pixels an inch where it names no unit.
    pub page: Size,
    /// Whether it names its size in a unit of length, rather than in pixels or not at all.
    pub sized: bool,
    /// What of it is not cut, and why.
    pub omitted: Vec<Omitted>,
}

impl Artwork {
    /// The smallest upright rectangle round all shapes, tight to their curves, in millimetres; an empty one at the
    /// origin where there are none.
    #[must_use]
    pub fn bounds(&self) -> Rect {
        self.shapes
            .iter()
            .map(|shape| shape.path.bounding_box())
            .reduce(|all, one| all.union(one))
            .unwrap_or_default()
    }

    /// The paints of the shapes, each once, in the order in which they are first painted.
    #[must_use]
    pub fn colours(&self) -> Vec<Colour> {
        let mut seen = BTreeSet::new();
        self.shapes
            .iter()
            .map(|shape| shape.colour)
            .filter(|colour| seen.insert(*colour))
            .collect()
    }
}

/// One path, rectangle, circle or other shape, with all transforms applied.
#[derive(Clone, Debug)]
pub struct Shape {
    /// Its outlines; those that end in `ClosePath` are closed.
    pub path: BezPath,
    /// Which parts of the plane lie inside.
    pub rule: Rule,
    /// The colour that it is painted in, by which films are told apart.
    pub colour: Colour,
    /// What its outlines are.
    pub kind: Kind,
}

/// Which parts of the plane lie inside of a path, by SVG 2, 13.4.2.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Rule {
    /// Those round which it winds.
    NonZero,
    /// Those from which an odd number of its lines lie on the way out.
    EvenOdd,
}

/// What the outlines of a shape are.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// The edge of something that is filled.
    Fill,
    /// A line without a fill round it, taken as what is to be cut.
    Line,
    /// The outline of a stroke with its width.
    Stroke,
}

/// A colour of sRGB: red, green and blue from 0 to 255.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Colour(pub [u8; 3]);

/// Something in a drawing that is not cut.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Omitted {
    /// Why it is not cut, which also says what it is.
    pub what: Omission,
    /// How many of it.
    pub count: u32,
}

/// Why something in a drawing is not cut.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Omission {
    /// Text that is not outlines: which letters it shows depends on the fonts of a device.
    Text,
    /// A picture made of pixels.
    Image,
    /// Something that names what is not in the file.
    External,
    /// A copy of what is not in the file, and not in another one.
    Missing,
    /// Markers, such as arrowheads at the ends of a line.
    Marker,
    /// A filter, mask, pattern or clip, whose outlines are not those of what is under it.
    Effect,
    /// Something hidden, or without any paint.
    Hidden,
    /// A colour that runs into another one; cut as one colour.
    Gradient,
    /// A script, which is never run.
    Script,
    /// An element that is not of SVG.
    Foreign,
    /// Something with a mistake in it: path data, which are drawn up to it, or a copy that holds itself.
    Broken,
}

/// What one film is cut to, once overlapping outlines are joined: no contour crosses itself or another.
#[derive(Clone, Debug)]
pub struct Film {
    /// The paint of what is cut from it; none where all colours are cut from one film.
    pub colour: Option<Colour>,
    /// Its contours: each outer one, and after it the holes in it.
    pub contours: Vec<Contour>,
}

/// A closed line that is cut.
#[derive(Clone, Debug)]
pub struct Contour {
    /// The line with its curves; it ends in `ClosePath`. It runs clockwise round a piece as one sees it, the
    /// other way round a hole, so that its signed area is above zero for a piece and below for a hole.
    pub path: BezPath,
    /// Points on the line, none twice in a row, the first one not repeated at the end; what lies between them is
    /// straight to within [`FLAT`] of the drawing's greater side.
    pub ring: Vec<Point>,
    /// Whether it is the edge of a hole.
    pub hole: bool,
    /// Which piece it belongs to, from 0 on.
    pub piece: usize,
}

/// So far the straight lines between points of a ring may stray from the curve, in parts of the greater side of the
/// drawing.
pub const FLAT: f64 = 1.0 / 65_536.0;
