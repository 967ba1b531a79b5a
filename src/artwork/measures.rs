//! What a joined drawing measures, at the size in which it was made.

use super::outline::{Contour, Film};
use super::sorted::sort;
use kurbo::{PathEl, Point, Rect, Shape as _};

/// What one film, or several together, measure.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Measures {
    /// Separate pieces that stay.
    pub pieces: u32,
    /// Enclosed bits of waste, to be weeded one by one.
    pub islands: u32,
    /// Points at which a curve or a line ends.
    pub nodes: u32,
    /// What the blade cuts, in millimetres.
    pub cut: f64,
    /// What the blade travels lifted, from the end of one contour to the start of the nearest one that is not
    /// cut yet, in millimetres.
    pub travel: f64,
    /// The area that stays, in square millimetres.
    pub stays: f64,
    /// The area of the least upright rectangle round it, or of those of all films, in square millimetres.
    pub rectangle: f64,
}

/// So exact are lengths of curves, in parts of the greater side of what is measured.
const ACCURACY: f64 = 1e-8;

/// The nearest contour is looked for among the next so many that are left, in their order.
pub const MOST_NEAREST: usize = 5_000;

impl Measures {
    /// What a film measures.
    #[must_use]
    pub fn of(film: &Film) -> Self {
        let bounds = bounds(film);
        let accuracy = ACCURACY * bounds.width().max(bounds.height());
        let mut all = Self {
            travel: travel(&film.contours),
            rectangle: bounds.area(),
            ..Self::default()
        };
        for contour in &film.contours {
            if contour.hole {
                all.islands += 1;
            } else {
                all.pieces += 1;
            }
            for _ in contour.path.segments() {
                all.nodes += 1;
            }
            all.cut += contour.path.perimeter(accuracy);
            all.stays += contour.path.area();
        }
        all
    }

    /// What these and those measure together.
    #[must_use]
    pub fn and(self, other: Self) -> Self {
        Self {
            pieces: self.pieces + other.pieces,
            islands: self.islands + other.islands,
            nodes: self.nodes + other.nodes,
            cut: self.cut + other.cut,
            travel: self.travel + other.travel,
            stays: self.stays + other.stays,
            rectangle: self.rectangle + other.rectangle,
        }
    }

    /// Closed lines to be cut: the blade is set down once for each.
    #[must_use]
    pub const fn outlines(&self) -> u32 {
        self.pieces + self.islands
    }
}

/// The least upright rectangle round a film.
#[must_use]
pub fn bounds(film: &Film) -> Rect {
    let boxes = film
        .contours
        .iter()
        .map(|contour| contour.path.bounding_box());
    boxes.reduce(|all, one| all.union(one)).unwrap_or_default()
}

/// How far the blade travels lifted, from the first contour on, always to the nearest start of one that is not
/// cut yet. A contour ends where it starts. Programs that drive cutters may take another order.
fn travel(contours: &[Contour]) -> f64 {
    let mut starts = contours.iter().map(start);
    let Some(mut at) = starts.next() else {
        return 0.0;
    };
    let mut left: Vec<Point> = starts.by_ref().take(MOST_NEAREST).collect();
    let mut way = 0.0;
    while !left.is_empty() {
        let near = left.iter().map(|start| (*start - at).hypot2());
        let nearest = near.enumerate().min_by(|a, b| a.1.total_cmp(&b.1));
        let next = left.swap_remove(nearest.map_or(0, |(place, _)| place));
        left.extend(starts.next());
        way += (next - at).hypot();
        at = next;
    }
    way
}

/// Where the blade is set down: where the path begins, as it is saved.
fn start(contour: &Contour) -> Point {
    match contour.path.elements().first() {
        Some(PathEl::MoveTo(point)) => *point,
        _ => Point::ZERO,
    }
}

/// A height that several pieces of a drawing have: that of its capitals, it may be.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LetterHeight {
    /// In millimetres, the middle one of all.
    pub height: f64,
    /// So many pieces that stand on one line have it.
    pub count: u32,
}

/// Round letters reach over straight ones by a part of their height at both ends (2 to 3 %; common practice,
/// no source): so much may heights and base lines of one line differ.
const OVERSHOOT: f64 = 0.05;

/// The heights of so many pieces are looked at, the tallest ones: each may have to be compared with all others.
const MOST_LETTERS: usize = 5_000;

/// So many heights are told.
const HEIGHTS: usize = 4;

/// Heights that at least two pieces which stand on the same line have, those of most pieces first; where there
/// are none, that of the highest piece. Of more than 5000 pieces the tallest 5000 are looked at.
#[must_use]
pub fn letter_heights(films: &[Film]) -> Vec<LetterHeight> {
    let contours = films.iter().flat_map(|film| &film.contours);
    let outer = contours.filter(|contour| !contour.hole);
    let mut boxes: Vec<Rect> = outer.map(|contour| contour.path.bounding_box()).collect();
    // The tallest first, so that a row of small letters is not told by a few that are taller.
    sort(&mut boxes, |one| [-one.height(), 0.0]);
    boxes.truncate(MOST_LETTERS);
    let tallest = boxes.first().map(Rect::height);
    let mut heights: Vec<LetterHeight> = Vec::new();
    while let Some(first) = boxes.first().copied() {
        let slack = first.height() * OVERSHOOT;
        // What is far wider than high is a rule or an underline, not a letter.
        let alike = |one: &Rect| {
            first.height() - one.height() <= slack
                && (first.y1 - one.y1).abs() <= slack
                && one.width() <= 3.0 * one.height()
        };
        let (like, others): (Vec<Rect>, Vec<Rect>) = boxes.iter().partition(|one| alike(one));
        if like.len() > 1 {
            heights.push(LetterHeight {
                height: like[like.len() / 2].height(),
                count: super::flat::count(like.len()),
            });
        }
        boxes = if like.is_empty() {
            others[1..].to_vec()
        } else {
            others
        };
    }
    sort(&mut heights, |one| [-f64::from(one.count), 0.0]);
    // The same height on several lines is one.
    let mut told: Vec<LetterHeight> = Vec::new();
    for one in heights {
        let same =
            |other: &&mut LetterHeight| (other.height - one.height).abs() <= one.height * 0.02;
        match told.iter_mut().find(same) {
            Some(other) => other.count += one.count,
            None => told.push(one),
        }
    }
    told.truncate(HEIGHTS);
    if told.is_empty() {
        told.extend(tallest.map(|height| LetterHeight { height, count: 1 }));
    }
    told
}
