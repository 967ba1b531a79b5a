//! Joins outlines that overlap to the contours that are cut.
//!
//! Regions are worked out in exact integers, with straight lines for curves. Each line of the result lies on one
//! of the lines that went in, which knows its curve; so what is left of a curve is cut out of the curve itself,
//! and one that is left whole comes out as it went in. Only where outlines cross, the curves' new ends are
//! moved to where their straight lines meet, which is off by no more than [`FLAT`](super::outline::FLAT) of the
//! drawing's greater side.

mod crowd;
mod edges;
mod limits;
mod lines;
mod region;

use super::flat::{self, Flat, Lattice, Node};
use super::outline::{Artwork, Colour, Contour, Film, Kind, Shape};
use super::sorted::sort;
use crate::error::InputError;
use crowd::Crowd;
use edges::Edges;
use kurbo::{ParamCurve as _, Point, Rect, Shape as _, Vec2};
use limits::Budget;
use region::{Region, area, area_of, clockwise, is_sliver, resolved};

/// Which films a drawing is cut from.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Split {
    /// Whether each colour is cut from a film of its own, rather than all from one.
    pub layers: bool,
    /// A colour that stands for no film: it takes away what lies under it.
    pub ground: Option<Colour>,
}

/// A drawing with its outlines joined.
#[derive(Clone, Debug)]
pub struct Joined {
    /// The films, in the order in which their colours are painted.
    pub films: Vec<Film>,
    /// What is cut, all films together.
    pub bounds: Rect,
    /// Separate pieces of the shapes, each taken for itself: what a cutter makes of the drawing as it is.
    pub pieces_before: usize,
    /// The area of the shapes, each taken for itself, by the straight lines for their curves.
    pub area_before: f64,
    /// The area of what is joined, by straight lines too.
    pub area_after: f64,
    /// The area that the ground takes away of what would stay without it, by straight lines too.
    pub area_taken: f64,
    /// Lines of the drawing that run through film, where the cutter would cut its own letters; those of the ground
    /// are none.
    pub inner: Vec<Vec<Point>>,
}

/// Joins the outlines of a drawing, film by film.
///
/// # Errors
/// [`Code::TooLarge`](crate::error::Code::TooLarge), at the field `svg`, for a drawing that would take too long
/// (`join/limits.rs`).
pub fn join(artwork: &Artwork, split: Split) -> Result<Joined, InputError> {
    films(artwork, split).map_err(|error| error.at("svg"))
}

fn films(artwork: &Artwork, split: Split) -> Result<Joined, InputError> {
    let lattice = Lattice::over(artwork.bounds());
    let mut joined = Joined {
        films: Vec::new(),
        bounds: Rect::ZERO,
        pieces_before: 0,
        area_before: 0.0,
        area_after: 0.0,
        area_taken: 0.0,
        inner: Vec::new(),
    };
    let mut colours = Vec::new();
    if split.layers {
        for colour in artwork.colours() {
            if Some(colour) != split.ground {
                colours.push(Some(colour));
            }
        }
    } else {
        colours.push(None);
    }
    Budget::films(colours.len())?;
    let mut budget = Budget::default();
    for colour in colours {
        let counts = |shape: &&Shape| {
            Some(shape.colour) == split.ground || colour.is_none_or(|colour| shape.colour == colour)
        };
        let shapes: Vec<&Shape> = artwork.shapes.iter().filter(counts).collect();
        joined.add(&shapes, colour, split.ground, &lattice, &mut budget)?;
    }
    let boxes = joined.films.iter().flat_map(|film| &film.contours);
    joined.bounds = boxes
        .map(|contour| contour.path.bounding_box())
        .reduce(|all, one| all.union(one))
        .unwrap_or_default();
    Ok(joined)
}

impl Joined {
    fn add(
        &mut self,
        shapes: &[&Shape],
        colour: Option<Colour>,
        ground: Option<Colour>,
        lattice: &Lattice,
        budget: &mut Budget,
    ) -> Result<(), InputError> {
        for shape in shapes {
            budget.lines(flat::lines(shape, lattice))?;
        }
        let is_ground = |shape: &Shape| Some(shape.colour) == ground;
        let flat = Flat::of(shapes.iter().copied(), lattice);
        let drawn = Crowd::of_chords(&flat);
        // Most shapes are one ring that keeps clear of itself, and come out of their own rule as they went in.
        let mut plain: Vec<bool> = flat.rings.iter().map(|rings| rings.len() == 1).collect();
        drawn.meetings(budget, |budget, pair, only_ends| {
            if !(only_ends && flat.follow(pair))
                && let [one, other] = pair.map(|line| flat.shape(line))
                && one == other
            {
                plain[one] = false;
            }
            if only_ends { Ok(()) } else { budget.meeting() }
        })?;
        let mut region = Region::default();
        let mut lines: Vec<&[Vec<Node>]> = Vec::new();
        for ((shape, rings), plain) in shapes.iter().zip(&flat.rings).zip(plain) {
            let filled = || {
                let plain = rings
                    .first()
                    .filter(|_| plain)
                    .and_then(|ring| clockwise(ring));
                plain.map_or_else(|| resolved(rings, shape.rule), |ring| vec![vec![ring]])
            };
            if is_ground(shape) {
                region.take_away(filled());
            } else if shape.kind == Kind::Line {
                lines.push(rings);
            } else {
                region.put(filled());
            }
        }
        region.put_all(lines::shapes(&lines, lattice, budget)?);
        let (area_before, pieces) = area_of(region.shapes(), lattice);
        self.area_before += area_before;
        self.pieces_before += pieces;
        let whole = region.whole(budget)?;
        let mut edges = Edges::new(&flat, &drawn, lattice);
        let mut kept: Vec<&[Node]> = Vec::new();
        let mut pieces: Vec<Vec<Contour>> = Vec::new();
        let mut area_after = 0.0;
        for piece in &whole.stays {
            let mut contours: Vec<Contour> = Vec::new();
            for (place, ring) in piece.iter().enumerate() {
                if is_sliver(ring, lattice) {
                    if place == 0 {
                        break;
                    }
                    continue;
                }
                area_after += area(ring, lattice);
                contours.push(edges.contour(ring, place > 0, budget)?);
                kept.push(ring);
            }
            if !contours.is_empty() {
                let outer = contours.remove(0);
                sort(&mut contours, |hole| down(first(hole)));
                contours.insert(0, outer);
                pieces.push(contours);
            }
        }
        self.area_after += area_after;
        if let Some(without) = whole.without_ground {
            let without = area_of(without.iter().map(Vec::as_slice), lattice).0;
            self.area_taken += without - area_after;
        }
        sort(&mut pieces, |piece| down(first(&piece[0])));
        let mut contours = Vec::new();
        for (place, piece) in pieces.into_iter().enumerate() {
            contours.extend(piece.into_iter().map(|contour| Contour {
                piece: place,
                ..contour
            }));
        }
        let kept = Crowd::of_rings(kept);
        let left_out = |shape: usize| is_ground(shapes[shape]);
        self.inner.extend(edges.within(&kept, left_out, budget)?);
        if !contours.is_empty() {
            self.films.push(Film { colour, contours });
        }
        Ok(())
    }
}

/// Where a contour begins.
fn first(contour: &Contour) -> Point {
    contour
        .path
        .segments()
        .next()
        .map_or(Point::ZERO, |seg| seg.start())
}

/// From the top down, from left to right.
const fn down(point: Point) -> [f64; 2] {
    [point.y, point.x]
}

/// The same.
fn in_order(a: Point, b: Point) -> std::cmp::Ordering {
    a.y.total_cmp(&b.y).then(a.x.total_cmp(&b.x))
}

pub(super) fn vector(from: Node, to: Node) -> Vec2 {
    Vec2::new(
        f64::from(to.x) - f64::from(from.x),
        f64::from(to.y) - f64::from(from.y),
    )
}
