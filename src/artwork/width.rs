//! How wide film is, and the gaps in it.
//!
//! At a point of the boundary the largest disc inside of the region that touches it there touches the boundary
//! elsewhere too. Where it does so on the opposite side, its diameter is the width. *Opposite* is where the two
//! tangents lean towards each other by less than 28 degrees: between the sides of a stroke, at a neck, round the
//! end of a stroke. That leaves out corners, in which discs shrink to nothing though the film holds well, and takes
//! curves drawn as straight lines for curves. (28 degrees are a rule of thumb: there a corner keeps a disc four times
//! its radius away.) Discs are found as in "3D medial axis point approximation using nearest neighbors and the normal
//! field" (Ma, Bae and Choi 2012, from memory), but against the lines themselves rather than points on them.
//!
//! - What counts is where the width is least among its neighbours. Two corners that stick into a region, or one
//!   opposite a line, are measured from corner to corner, or straight across.
//! - A wedge of less than 28 degrees that ends in a point narrows to nothing at any size, so that its width says
//!   nothing about the drawing. It is a *tip*, told apart and not counted. One that ends blunt, straight or round,
//!   is a tip too if the end is less than a quarter as wide as it gets; otherwise its width is that of the disc that
//!   fills its end. An end that closes by and by, as of an ellipse, has no width of its own: it is a tip if it closes
//!   at less than 28 degrees on average, and else nothing. A neck before a tip counts, unless on its other side it
//!   gets four times as wide: then it is a part of the tip. (Rules of thumb.)
//! - A piece without any such place, as a triangle, a pentagon or an ellipse, is as wide as the largest disc in it.
//!
//! Widths are right to twice what the straight lines stray from the curves, once for each side; largest discs to 1 in
//! 100 000. What is a neck is found whatever the limit; between a blunt end and one that closes by and by the line is
//! thin, and there another limit may decide otherwise.

mod balls;
mod beside;
mod ends;
mod places;
mod survey;

use balls::Lines;
use kurbo::Point;
use survey::Survey;

/// Which side of a boundary is measured.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Side {
    /// The film.
    Inside,
    /// The gaps: between pieces, in holes and in bays. What is round everything has no width.
    Outside,
}

impl Side {
    /// What the left-hand normal of a line is multiplied by.
    const fn sign(self) -> f64 {
        match self {
            Self::Inside => 1.0,
            Self::Outside => -1.0,
        }
    }
}

/// Where a region is narrow.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Place {
    /// A point on the boundary.
    pub a: Point,
    /// The one opposite. In the largest disc of a piece without opposite sides, the other end of a diameter.
    pub b: Point,
    /// The width there, mm.
    pub width: f64,
}

/// Where a region narrows to an end.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tip {
    /// Its end.
    pub point: Point,
    /// The angle between its sides, degrees: on average where they are curved.
    pub angle: f64,
    /// The length from its end to where it is as wide as the limit, or to where it stops widening, mm.
    pub length: f64,
    /// The width of its end, mm; 0 where it ends in a point.
    pub end: f64,
}

/// What is narrower than a limit.
#[derive(Clone, Debug, Default)]
pub struct Narrow {
    /// The narrowest place of each separate stretch that is narrower, the narrowest of all first; at most [`MOST`].
    pub places: Vec<Place>,
    /// How many such stretches there are. Where more than are listed have no opposite sides, some that are little wider
    /// than the limit may be among them.
    pub count: usize,
    /// The tips, the longest first; at most [`MOST`].
    pub tips: Vec<Tip>,
    /// How many tips there are.
    pub tip_count: usize,
    /// The parts of the boundary along these stretches and tips, as open lines.
    pub runs: Vec<Vec<Point>>,
    /// Whether the whole boundary was looked at. If not, there may be more of everything, and narrower places.
    pub complete: bool,
}

/// So many places and tips are listed.
pub const MOST: usize = 200;

/// The boundary of a region, made ready for measuring.
pub struct Widths {
    lines: Lines,
    touching: f64,
}

impl Widths {
    /// Takes the rings of a region, mm: outer ones with a signed area above zero, holes with one below, without
    /// crossings. Rings of less than three points, or with points that are no numbers or enormous, are left
    /// out.
    #[must_use]
    pub fn new(rings: &[Vec<Point>]) -> Self {
        Self {
            lines: Lines::new(rings),
            touching: 0.0,
        }
    }

    /// Takes what is narrower than this, mm, for two curves that touch. Next to where they meet, at a joint or in a cusp,
    /// that is no width, and left out.
    #[must_use]
    pub const fn with_touching(mut self, touching: f64) -> Self {
        self.touching = touching;
        self
    }

    /// What is narrower than a limit, mm.
    ///
    /// The work is bounded: it stops after some 120 million looks at parts of the boundary, and says so. Lettering of
    /// 100 000 lines takes 6 to 27 million, by the limit. What takes most for its lines are long strokes that widen slowly:
    /// 200 rays that do so from where they are hardly narrower than the limit are too many.
    #[must_use]
    pub fn narrower(&self, side: Side, below: f64) -> Narrow {
        if below > 0.0 && below.is_finite() && self.lines.side() > 0.0 {
            let mut survey = Survey::new(&self.lines, side, below);
            survey.touching = self.touching;
            survey.narrow()
        } else {
            Narrow {
                complete: true,
                ..Narrow::default()
            }
        }
    }

    /// The narrowest place of all, as the only one of its list; none where nothing has a width, as
    /// the outside of a single triangle.
    #[must_use]
    pub fn narrowest(&self, side: Side) -> Narrow {
        // Discs that are much larger than what is narrow take longest, so that small ones are tried first.
        let mut narrow = Narrow {
            complete: true,
            ..Narrow::default()
        };
        for part in [256.0, 64.0, 16.0, 4.0, 0.5] {
            narrow = self.narrower(side, self.lines.side() / part);
            if !narrow.places.is_empty() || !narrow.complete {
                break;
            }
        }
        narrow.places.truncate(1);
        narrow
    }
}
