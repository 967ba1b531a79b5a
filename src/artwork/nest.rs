//! Copies of one decal laid on a roll or a sheet by their outlines instead of the rectangles round them.
//!
//! Floats, as the drawing has them; every layout is checked, as the outlines were drawn, before it is told.

mod bed;
mod check;
mod contact;
mod pattern;
mod search;
mod settle;
mod shape;

use crate::error::{Code, InputError};
use crate::material::Watch;
use kurbo::{Point, Rect};
use say::say;
pub use search::Search;

/// By so much, in mm, a copy may lie beyond what the film has room for; it is what rounding makes of an exact fit.
pub const EDGE: f64 = 1e-4;

/// By so much, in mm, copies are kept farther apart than they have to be, so that rounding brings none too near.
const APART: f64 = 1e-7;

/// How copies may be turned.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Turns {
    /// Not at all: all are to look alike in light, on film with a grain.
    None,
    /// By half a turn.
    Half,
    /// By right angles.
    Quarter,
}

/// What is laid, and on what.
#[derive(Clone, Copy, Debug)]
pub struct NestInput<'a> {
    /// The outer contours of the decal, in mm of its chosen size, y downwards. They stay together as they are; the room
    /// between them is free for other copies, that inside of each is not.
    pub rings: &'a [Vec<Point>],
    /// How copies may be turned.
    pub turns: Turns,
    /// Across the film, in mm.
    pub width: f64,
    /// How long a sheet is, in mm; none for a roll.
    pub length: Option<f64>,
    /// What stays free along all edges of the film, in mm.
    pub margin: f64,
    /// What stays free at least between two copies, in mm.
    pub gap: f64,
    /// How many copies are needed, up to [`MOST`].
    pub quantity: u32,
}

/// The greatest number of copies.
pub const MOST: u32 = 500;

/// A copy: its drawing is turned about its origin, then moved.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Placement {
    /// By how much it is moved across the film, in mm from its left edge.
    pub dx: f64,
    /// By how much it is moved along the film, in mm from its start.
    pub dy: f64,
    /// By how much it is turned clockwise, as one sees it: 0, 90, 180 or 270 degrees.
    pub turn: u16,
}

/// A layout.
#[derive(Clone, Debug, PartialEq)]
pub struct Nest {
    /// The copies; on a sheet as many of those asked for as were found to go on one.
    pub placements: Vec<Placement>,
    /// The length of film that they take, with the margin at both ends, in mm.
    pub length_mm: f64,
    /// How many copies the rectangles round them, in rows and columns and all turned alike, make room for, up to those
    /// asked for, and what these take of the film, in mm; the layout is never worse.
    pub boxes: (usize, f64),
    /// Which part of the film taken lies within outer contours.
    pub share_used: f64,
}

/// A copy while it is searched for: right angles, and the corner of the rectangle round it, from the margins.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Copy {
    turn: usize,
    x: f64,
    y: f64,
}

impl Turns {
    /// The turns that are allowed, in right angles.
    const fn quarters(self) -> &'static [usize] {
        match self {
            Self::None => &[0],
            Self::Half => &[0, 2],
            Self::Quarter => &[0, 1, 2, 3],
        }
    }
}

/// Lays copies out, with as much effort as there is; ended by `watch`, it gives what is found by then.
///
/// # Errors
/// Where the film is too narrow or too short for one copy, or a figure is none that makes sense.
pub fn nest(input: &NestInput, watch: &mut Watch) -> Result<Nest, InputError> {
    let mut search = Search::new(input)?;
    let mut steps = search.steps();
    while !search.is_done() && watch(steps) {
        let before = search.steps();
        search.search();
        steps = search.steps() - before;
    }
    Ok(search.best().clone())
}

/// Whether so many copies that reach so far are better than others: more, or as many in less length.
fn better(one: (usize, f64), other: (usize, f64)) -> bool {
    one.0 > other.0 || (one.0 == other.0 && one.1 < other.1 - 1e-6)
}

/// Whether the figures are those of a decal and of film.
fn sensible(input: &NestInput, drawn: Rect) -> Result<(), InputError> {
    let length = |value: f64| (0.0..LONGEST).contains(&value);
    let side = |value: f64| length(value) && value > 0.0;
    let points = input.rings.iter().flatten();
    let near = |at: &Point| at.x.abs() < LONGEST && at.y.abs() < LONGEST;
    let wrong = |field: &'static str, message: &'static str| {
        let hint = say!("millimetres, less than ten kilometres");
        Err(InputError::new(Code::Impossible, message, hint).at(field))
    };
    if !(side(drawn.width()) && side(drawn.height()) && points.clone().all(near)) {
        wrong("rings", say!("the decal has no size"))
    } else if !side(input.width) {
        wrong("width", say!("the film has no width"))
    } else if !input.length.is_none_or(side) {
        wrong("length", say!("the film has no length"))
    } else if !length(input.margin) {
        wrong("margin", say!("the margin is no length"))
    } else if !length(input.gap) {
        wrong("gap", say!("the gap is no length"))
    } else if !(1..=MOST).contains(&input.quantity) {
        let code = if input.quantity == 0 {
            Code::TooSmall
        } else {
            Code::TooLarge
        };
        let message = say!("so many copies are not laid by their outlines");
        Err(InputError::new(code, message, say!("from 1 to 500 copies")).at("quantity"))
    } else {
        Ok(())
    }
}

/// Longer than any decal or film, in mm.
const LONGEST: f64 = 1e7;
