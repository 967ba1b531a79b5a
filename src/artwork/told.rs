//! What is told of a drawing at the size in which it is cut.

mod checks;
mod measures;
mod texts;

use super::input::{ArtworkInput, Asked, CutFileInput, Lines};
use super::join::{Joined, Split, join};
use super::measures::Measures;
use super::outline::{Artwork, FLAT, Film, Shape};
use super::outlines::{Faults, faults};
use super::picture;
use super::read::{ReadOptions, read};
use super::width::{Place, Widths};
use super::write::CutFile;
use crate::decal::size_text;
use crate::drawing::Element;
use crate::error::{Code, InputError, InputErrors};
use crate::measure::{Measured, Unit, decimals};
pub(super) use checks::Found;
use kurbo::Point;
use say::say;
use serde::Serialize;
use std::cell::OnceCell;
use texts::{area_text, near, ruler_up, way};

/// What a drawing measures, and what is wrong with it, at the size in which it is cut.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "camelCase")]
pub struct ArtworkReport {
    /// The unit of every length in this report.
    pub unit: Unit,
    /// The size in which it was drawn, and whether the file tells it.
    pub drawn_text: String,
    /// Width over height.
    pub proportion: f64,
    /// The width of what is cut.
    pub width: Measured,
    /// The height of what is cut.
    pub height: Measured,
    /// Both for people: `9 × 3 in`.
    pub size_text: String,
    /// Separate pieces that stay.
    pub pieces: u32,
    /// Enclosed bits of waste, to be weeded one by one.
    pub islands: u32,
    /// Closed lines to be cut.
    pub outlines: u32,
    /// Points at which a curve or a line ends.
    pub nodes: u32,
    /// What the blade cuts.
    pub cut_length: Measured,
    /// What the blade travels lifted.
    pub travel: Measured,
    /// The area that stays, for people.
    pub stays_text: String,
    /// The area of the rectangle round it that does not, for people.
    pub goes_text: String,
    /// Share of the rectangle that stays, from 0 to 1.
    pub stays: f64,
    /// What each film measures, in the order in which colours are painted.
    pub films: Vec<FilmLayerReport>,
    /// Heights that several pieces have, to be taken as the letter height.
    pub letter_heights: Vec<LetterHeightReport>,
    /// What is right and what is wrong with it.
    pub checks: Vec<CheckReport>,
    /// How many of them are not right.
    pub faults: u32,
    /// The least width at which everything passes that depends on the size; none where no size that can be cut does.
    pub passes_from: Option<Measured>,
    /// What joining its outlines changes.
    pub joined: JoinedReport,
    /// What of the file is not cut, in sentences.
    pub omitted: Vec<String>,
    /// Its outline as the data of an SVG path in a box 1000 wide, simplified.
    pub silhouette: String,
    /// What was assumed, in sentences.
    pub assumptions: Vec<String>,
    #[serde(skip)]
    drawing: Option<Element>,
    #[serde(skip)]
    signs: Vec<Element>,
}

/// What is cut from one film.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "camelCase")]
pub struct FilmLayerReport {
    /// From 1 on.
    pub number: u32,
    /// As CSS has it: `#1d4e5f`; black where all colours are cut from one film.
    pub colour: String,
    /// Separate pieces that stay.
    pub pieces: u32,
    /// The same for people.
    pub pieces_text: String,
    /// Enclosed bits of waste.
    pub islands: u32,
    /// What the blade cuts.
    pub cut_length: Measured,
    /// The area that stays, for people.
    pub stays_text: String,
}

/// A height that several pieces have.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "camelCase")]
pub struct LetterHeightReport {
    /// The height, down to what a ruler has.
    pub height: Measured,
    /// So many pieces have it.
    pub count: u32,
    /// The same in words: `1 1/2 in, 9 pieces`.
    pub text: String,
}

/// One thing that is right or wrong with a drawing.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "camelCase")]
pub struct CheckReport {
    /// For programs: `crossing`, `through`, `open`, `double`, `part`, `gap`, `tip`, `speck`, `island`.
    pub id: &'static str,
    /// What was looked for, in a few words for people.
    pub label: &'static str,
    /// Whether it is right.
    pub ok: bool,
    /// At how many places it is not.
    pub count: u32,
    /// What was found, and what mends it.
    pub text: String,
    /// The least width of what is cut at which it is right; none where the size does not matter, or does not help, or
    /// would be more than can be cut.
    pub passes_from: Option<Measured>,
}

/// What joining the outlines changes.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "camelCase")]
pub struct JoinedReport {
    /// Pieces of the shapes as they were drawn, each for itself.
    pub before: u32,
    /// Pieces of the joined drawing.
    pub after: u32,
    /// Whether there is nothing to join.
    pub same: bool,
    /// The change in words: `from 37 pieces to 9`.
    pub text: String,
    /// The change of area in words: film that was counted twice.
    pub area_text: String,
}

/// A drawing that was read, and all about it that does not depend on its size.
pub struct Prepared {
    artwork: Artwork,
    joined: Joined,
    faults: Faults,
    measures: Vec<Measures>,
    /// The edge of each film.
    widths: Vec<Widths>,
    /// What is narrower touches, mm.
    touching: f64,
    /// Where what stays, and what goes, is narrowest at any size, and whether all edges were looked at for it; known
    /// once it was asked for.
    narrowest: [OnceCell<(Option<Place>, bool)>; 2],
    strokes: bool,
}

/// Two edges that come nearer than so many times what straight lines stray from curves touch: each may stray on its own,
/// from its curve as it was joined and as it was thinned.
const TOUCHING: f64 = 4.0;

/// The width of the box in which a silhouette is told.
const SILHOUETTE: f64 = 1_000.0;

/// Reads a drawing and joins its outlines; `share` is told how much of the work is done.
///
/// # Errors
/// Those of [`read`] and [`join`], at `svg`; [`Code::NotAChoice`] for a ground that is no colour; [`Code::Impossible`] where
/// nothing is left to be cut.
pub fn prepare(input: &ArtworkInput, share: &mut dyn FnMut(f64)) -> Result<Prepared, InputErrors> {
    let split = input.split()?;
    let strokes = input.lines == Lines::Strokes;
    let artwork = read(&input.svg, &ReadOptions { strokes })?;
    share(0.2);
    let joined = join(&artwork, split)?;
    if joined.films.is_empty() {
        return Err(InputError::new(
            Code::Impossible,
            say!("no area is left to be cut"),
            say!("a single line without width cannot be cut out: close it, or take its stroke as an outline"),
        )
        .at("svg")
        .into());
    }
    share(0.4);
    let faults = faults(&artwork, groups(&artwork, split), double(&joined));
    share(0.6);
    let stray = FLAT * joined.bounds.width().max(joined.bounds.height());
    let widths = joined
        .films
        .iter()
        .map(|film| widths(film, stray).with_touching(TOUCHING * stray))
        .collect();
    share(0.7);
    Ok(Prepared {
        measures: joined.films.iter().map(Measures::of).collect(),
        artwork,
        joined,
        faults,
        widths,
        touching: TOUCHING * stray,
        narrowest: [OnceCell::new(), OnceCell::new()],
        strokes,
    })
}

/// What a drawing measures, and what is wrong with it.
///
/// # Errors
/// Those of [`prepare`]; every length of the input that is none, or out of range.
pub fn report(input: &ArtworkInput) -> Result<ArtworkReport, InputErrors> {
    prepare(input, &mut |_| {})?.report(input)
}

/// A file for the cutter.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
pub struct CutFileReport {
    /// The text of an SVG file.
    pub svg: String,
}

/// The joined drawing as a file for the cutter, in millimetres at the chosen size.
///
/// # Errors
/// Those of [`report`]; a border out of range, or a film that the drawing does not have.
pub fn cut_file(input: &CutFileInput) -> Result<CutFileReport, InputErrors> {
    let prepared =
        prepare(&input.artwork, &mut |_| {}).map_err(|errors| errors.within("artwork"))?;
    let svg = prepared.cut_file(input)?;
    Ok(CutFileReport { svg })
}

/// The edge of a film by as few lines as stray no further from it than they did.
fn widths(film: &Film, stray: f64) -> Widths {
    let rings = film.contours.iter();
    let rings: Vec<Vec<Point>> = rings
        .map(|contour| picture::thinned(&contour.ring, stray))
        .collect();
    Widths::new(&rings)
}

/// The shapes that are cut from one film, film by film.
fn groups(artwork: &Artwork, split: Split) -> Vec<Vec<&Shape>> {
    let film = artwork
        .shapes
        .iter()
        .filter(|shape| Some(shape.colour) != split.ground);
    if !split.layers {
        return vec![film.collect()];
    }
    let of = |colour| film.clone().filter(move |shape| shape.colour == colour);
    artwork
        .colours()
        .into_iter()
        .map(|colour| of(colour).collect())
        .collect()
}

/// Lines so near to each other are the same line drawn twice, in parts of the greater side of the drawing.
fn double(joined: &Joined) -> f64 {
    joined.bounds.width().max(joined.bounds.height()) / 20_000.0
}

impl Prepared {
    /// Millimetres of the chosen size for one of the drawing.
    fn scale(&self, asked: &Asked) -> f64 {
        let bounds = self.joined.bounds;
        match (asked.width, asked.height) {
            (Some(width), _) => width.to_f64(Unit::Mm) / bounds.width(),
            (None, Some(height)) => height.to_f64(Unit::Mm) / bounds.height(),
            (None, None) => 1.0,
        }
    }

    /// What is told of the drawing at the size that `input` asks for; `input.svg` is not looked at.
    ///
    /// # Errors
    /// Every length of the input that is none, or out of range.
    pub fn report(&self, input: &ArtworkInput) -> Result<ArtworkReport, InputErrors> {
        let asked = input.asked()?;
        let Asked { unit, limits, .. } = asked;
        let scale = self.scale(&asked);
        let bounds = self.joined.bounds;
        let (width, height) = (bounds.width() * scale, bounds.height() * scale);
        let all = self
            .measures
            .iter()
            .fold(Measures::default(), |all, one| all.and(*one));
        let found = self.look(scale, limits);
        let kinds = self.kinds(&found, limits);
        let checks = self.checks(&found, &kinds, scale, unit);
        let faults = checks.iter().filter(|check| !check.ok).count();
        let counts = checks.iter().map(|check| check.count as usize);
        let most = counts.max().unwrap_or_default();
        let passes_from = self.passes_from(&kinds).map(|mm| ruler_up(mm, unit));
        // What was typed stays as it is.
        let typed = asked.height.filter(|_| asked.width.is_none());
        let shown = (
            asked.width.unwrap_or_else(|| near(width, unit)),
            typed.unwrap_or_else(|| near(height, unit)),
        );
        let share = all.stays / all.rectangle;
        Ok(ArtworkReport {
            unit,
            drawn_text: self.drawn_text(unit),
            proportion: bounds.width() / bounds.height(),
            width: shown.0.measured(unit),
            height: shown.1.measured(unit),
            size_text: size_text(shown.0, shown.1, unit.for_size()),
            pieces: all.pieces,
            islands: all.islands,
            outlines: all.outlines(),
            nodes: all.nodes,
            cut_length: way(all.cut * scale, unit),
            travel: way(all.travel * scale, unit),
            stays_text: say!(
                "{area}, {percent} % of its rectangle",
                area = area_text(all.stays * scale * scale, unit),
                percent = decimals(share * 100.0, 0)
            ),
            goes_text: area_text((all.rectangle - all.stays) * scale * scale, unit),
            stays: share,
            films: self.films(scale, unit),
            letter_heights: self.letter_heights(scale, unit),
            passes_from,
            faults: super::flat::count(faults),
            joined: self.joined_report(unit, scale),
            omitted: self.omitted(),
            silhouette: picture::silhouette(&self.joined, SILHOUETTE),
            assumptions: self.assumptions(input, &all, most, found.complete),
            drawing: Some(picture::drawing(
                &self.joined,
                &self.faults,
                &found,
                scale,
                unit,
            )),
            signs: checks.iter().map(|check| picture::sign(check.id)).collect(),
            checks,
        })
    }

    /// The joined drawing as a file for the cutter.
    ///
    /// # Errors
    /// Every length of the input that is none, or out of range; a film that the drawing does not have.
    pub fn cut_file(&self, input: &CutFileInput) -> Result<String, InputErrors> {
        let asked = input
            .artwork
            .asked()
            .map_err(|errors| errors.within("artwork"))?;
        let file = input.file(self.joined.films.len())?;
        let title = input.title.as_deref().unwrap_or_default().trim();
        Ok(CutFile {
            title: if title.is_empty() {
                say!("Decal")
            } else {
                title
            },
            films: &self.joined.films,
            scale: self.scale(&asked),
            bounds: self.joined.bounds,
            weeding_border: file.border,
            reverse: input.reverse,
            marks: input.marks,
            only: file.only,
        }
        .svg())
    }

    /// The outer contours at the chosen size, in mm from the corner of the drawing, and the drawing as the data of
    /// a path in the same place.
    ///
    /// # Errors
    /// Every length of the input that is none, or out of range.
    pub(super) fn outer(
        &self,
        input: &ArtworkInput,
    ) -> Result<(Vec<Vec<Point>>, String), InputErrors> {
        let asked = input.asked().map_err(|errors| errors.within("artwork"))?;
        let scale = self.scale(&asked);
        let bounds = self.joined.bounds;
        let contours = self.joined.films.iter().flat_map(|film| &film.contours);
        let outer = contours.filter(|contour| !contour.hole);
        let moved = |point: &Point| ((*point - bounds.origin()) * scale).to_point();
        let rings = outer.map(|contour| contour.ring.iter().map(moved).collect());
        Ok((
            rings.collect(),
            picture::silhouette(&self.joined, bounds.width() * scale),
        ))
    }

    /// The drawing with its outlines joined.
    #[must_use]
    pub const fn joined(&self) -> &Joined {
        &self.joined
    }
}

impl ArtworkReport {
    /// The drawing to scale, with what is wrong with it marked.
    #[must_use]
    pub fn drawing(&self) -> Element {
        self.drawing.clone().unwrap_or_else(|| Element::new("svg"))
    }

    /// The sign by which each of the checks is marked in the drawing, in their order.
    #[must_use]
    pub fn signs(&self) -> &[Element] {
        &self.signs
    }
}
