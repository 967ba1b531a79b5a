//! The joined drawing as an SVG file for the cutter.
//!
//! Whole at its chosen size: a unit of the file is a millimetre. Curves stay curves. Coordinates are rounded to
//! 0.001 mm, which is finer than a knife is set (rule of thumb).

use super::outline::{Contour, Film};
use crate::drawing::{Element, number};
use crate::measure::decimals;
use kurbo::{PathEl, Point, Rect, Size};
use say::say;

/// The side of a registration mark in mm; rule of thumb.
pub const MARK: f64 = 5.0;

/// What is left between the drawing and its registration marks in mm; rule of thumb.
pub const MARK_GAP: f64 = 2.0;

/// The width in mm at which the weeding border is drawn; cutters follow the middle of a line.
const HAIRLINE: &str = "0.1";

/// What is written into a file.
#[derive(Clone, Copy, Debug)]
pub struct CutFile<'a> {
    /// What it is, as the file's title.
    pub title: &'a str,
    /// What is cut, a film for each colour.
    pub films: &'a [Film],
    /// Millimetres of the chosen size for one of the drawing.
    pub scale: f64,
    /// The drawing's outermost edges, in mm as it was drawn.
    pub bounds: Rect,
    /// How far from the drawing, and from its marks, a rectangle is cut round it, in mm of the chosen size; none
    /// for no rectangle.
    pub weeding_border: Option<f64>,
    /// Whether it is mirrored left to right, for film that is stuck behind glass and seen through it.
    pub reverse: bool,
    /// Whether every film gets the same three marks, by which films are laid upon each other: squares of [`MARK`]
    /// at the upper left and the lower right, a triangle with two sides of that length at the upper right, each
    /// off a corner of the drawing by [`MARK_GAP`] both ways. Films match where all three do: one that was turned
    /// round or over has its triangle elsewhere.
    pub marks: bool,
    /// The one film that is written, by its place from 0 on; none for all of them, each in its place.
    pub only: Option<usize>,
}

impl CutFile<'_> {
    /// The size of the file's page in mm: the weeding border, or without one the drawing with its marks.
    #[must_use]
    pub fn size(&self) -> Size {
        (self.bounds.size() * self.scale) + Size::new(2.0, 2.0) * (self.room() + self.border())
    }

    /// The file as text. Each film is a group `film-1` and so on, filled in its colour, with a path for each piece
    /// and its holes; its marks are the path `film-1-marks`. The border is the group `weeding-border`.
    #[must_use]
    pub fn svg(&self) -> String {
        let size = self.size();
        let (width, height) = (coordinate(size.width), coordinate(size.height));
        let films = self.films.iter().enumerate();
        let films = films.filter(|(place, _)| self.only.is_none_or(|only| only == *place));
        Element::new("svg")
            .with("width", format!("{width}mm"))
            .with("height", format!("{height}mm"))
            .with("viewBox", format!("0 0 {width} {height}"))
            .child(Element::new("title").text(self.title))
            .child(Element::new("desc").text(self.described()))
            .children(films.map(|(place, film)| self.film(place, film)))
            .children(self.weeding_border.map(|_| around(size)))
            .to_svg()
    }

    /// The size of the drawing, and how it is meant to be read.
    fn described(&self) -> String {
        let size = self.bounds.size() * self.scale;
        let mut sentences = vec![say!(
            "The drawing is {width} mm wide and {height} mm high, without border and marks. A unit of this file is a \
             millimetre; coordinates are rounded to 0.001 mm.",
            width = decimals(size.width, 3),
            height = decimals(size.height, 3)
        )];
        if self.films.len() > 1 {
            let films = self.films.len();
            sentences.push(say!("{films} films, each in its colour."));
        }
        if let Some(only) = self.only {
            sentences.push(say!(
                "Only film {number} is in this file.",
                number = only + 1
            ));
        }
        if self.marks {
            let match_where =
                say!("Films match where both squares and the triangle lie upon each other.");
            sentences.push(match_where.to_owned());
        }
        if self.reverse {
            let mirrored = say!("Mirrored, to be seen through the glass that it is stuck on.");
            sentences.push(mirrored.to_owned());
        }
        sentences.join(" ")
    }

    fn film(&self, place: usize, film: &Film) -> Element {
        let name = format!("film-{}", place + 1);
        let pieces = film
            .contours
            .chunk_by(|one, next| one.piece == next.piece)
            .map(|piece| Element::new("path").with("d", self.piece(piece)));
        let marks = self.marks.then(|| {
            Element::new("path")
                .with("id", format!("{name}-marks"))
                .with("d", self.marks())
        });
        let [red, green, blue] = film.colour.map_or([0; 3], |colour| colour.0);
        Element::new("g")
            .with("id", name)
            .with("fill", format!("#{red:02x}{green:02x}{blue:02x}"))
            .with("fill-rule", "evenodd")
            .children(pieces)
            .children(marks)
    }

    /// A piece and its holes as the data of one path.
    fn piece(&self, contours: &[Contour]) -> String {
        let mut data = String::new();
        for element in contours.iter().flat_map(|contour| &contour.path) {
            match element {
                PathEl::MoveTo(end) => self.command(&mut data, 'M', &[end]),
                PathEl::LineTo(end) => self.command(&mut data, 'L', &[end]),
                PathEl::QuadTo(control, end) => self.command(&mut data, 'Q', &[control, end]),
                PathEl::CurveTo(first, second, end) => {
                    self.command(&mut data, 'C', &[first, second, end]);
                }
                PathEl::ClosePath => data.push('Z'),
            }
        }
        data
    }

    /// One command of a path, with points of the drawing.
    fn command(&self, data: &mut String, letter: char, points: &[Point]) {
        let origin = self.bounds.origin();
        let placed = points
            .iter()
            .map(|point| ((*point - origin) * self.scale).to_point());
        self.write(data, letter, placed);
    }

    /// The registration marks as the data of one path.
    fn marks(&self) -> String {
        let size = (self.bounds.size() * self.scale).to_vec2();
        let (near, far) = (-MARK_GAP - MARK, -MARK_GAP);
        let square = |at: f64, x: f64, y: f64| {
            [
                (at, at),
                (at + MARK, at),
                (at + MARK, at + MARK),
                (at, at + MARK),
            ]
            .map(|(across, down)| Point::new(x + across, y + down))
        };
        let mut data = String::new();
        for corners in [
            &square(near, 0.0, 0.0)[..],
            &square(MARK_GAP, size.x, size.y),
            // Its right angle lies outermost, where the square of a film that was turned over would have one too.
            &[
                Point::new(size.x - near, near),
                Point::new(size.x - near, far),
                Point::new(size.x - far, near),
            ],
        ] {
            let (first, rest) = corners.split_at(1);
            self.write(&mut data, 'M', first.iter().copied());
            for corner in rest {
                self.write(&mut data, 'L', [*corner]);
            }
            data.push('Z');
        }
        data
    }

    /// A command with points in mm from the drawing's upper left corner, before it is mirrored.
    fn write(&self, data: &mut String, letter: char, points: impl IntoIterator<Item = Point>) {
        let (from_edge, width) = (self.room() + self.border(), self.size().width);
        data.push(letter);
        for (place, point) in points.into_iter().enumerate() {
            let x = from_edge + point.x;
            let x = if self.reverse { width - x } else { x };
            if place > 0 {
                data.push(' ');
            }
            data.push_str(&coordinate(x));
            data.push(' ');
            data.push_str(&coordinate(from_edge + point.y));
        }
    }

    /// What the marks take on each side of the drawing, in mm.
    fn room(&self) -> f64 {
        if self.marks { MARK_GAP + MARK } else { 0.0 }
    }

    fn border(&self) -> f64 {
        self.weeding_border.unwrap_or(0.0)
    }
}

/// The weeding border: the edge of the page.
fn around(size: Size) -> Element {
    let (width, height) = (coordinate(size.width), coordinate(size.height));
    Element::new("g")
        .with("id", "weeding-border")
        .with("fill", "none")
        .with("stroke", "#000000")
        .with("stroke-width", HAIRLINE)
        .child(
            Element::new("path").with("d", format!("M0 0L{width} 0L{width} {height}L0 {height}Z")),
        )
}

/// A coordinate in mm, to 0.001; nothing that is cut is a million kilometres away.
fn coordinate(value: f64) -> String {
    number(value.clamp(-1e12, 1e12))
}
