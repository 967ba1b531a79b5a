//! What is told of a drawing at the size in which it is cut.

use super::input::{ArtworkInput, Asked, CutFileInput, Limits, Lines};
use super::join::{Joined, Split, join};
use super::measures::{MOST_NEAREST, Measures, letter_heights};
use super::outline::{Artwork, FLAT, Film, Omission, Shape};
use super::outlines::{Faults, faults};
use super::picture;
use super::read::{ReadOptions, read};
use super::width::{Place, Side, Tip, Widths};
use super::write::CutFile;
use crate::decal::size_text;
use crate::drawing::Element;
use crate::error::{Code, InputError, InputErrors};
use crate::measure::{Area, Length, Measured, Unit, decimals, pieces};
use kurbo::Point;
use serde::Serialize;
use std::cell::OnceCell;

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
    /// The least width at which everything passes that depends on the size.
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
    /// For people.
    pub label: &'static str,
    /// Whether it is right.
    pub ok: bool,
    /// At how many places it is not.
    pub count: u32,
    /// What was found, and what mends it.
    pub text: String,
    /// The least width of what is cut at which it is right; none where the size does not matter, or does not help.
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
    /// Where what stays, and what goes, is narrowest, and whether all edges were looked at for it; known once
    /// it was asked for.
    narrowest: [OnceCell<(Option<Place>, bool)>; 2],
    strokes: bool,
}

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
            "no area is left to be cut",
            "a single line without width cannot be cut out: close it, or take its stroke as an outline",
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
        .map(|film| widths(film, stray))
        .collect();
    share(0.7);
    Ok(Prepared {
        measures: joined.films.iter().map(Measures::of).collect(),
        artwork,
        joined,
        faults,
        widths,
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

/// Millimetres as a length; what is absurdly long is cut short.
fn length(mm: f64) -> Length {
    Length::from_metres(mm / 1_000.0).unwrap_or(Length::MAX)
}

/// Square millimetres as an area, for people.
fn area_text(mm2: f64, unit: Unit) -> String {
    // The side of a square of that area: areas are made of lengths.
    let side = length(mm2.max(0.0).sqrt());
    Area::text(side * side, unit)
}

/// Something narrow, for people: to 0.001 in or 0.01 mm.
fn narrow_text(mm: f64, unit: Unit) -> String {
    if unit.is_imperial() {
        format!("{} in", decimals(mm / 25.4, 3))
    } else {
        format!("{} mm", decimals(mm, 2))
    }
}

/// A way of the blade, for people: to 0.1 in or 0.1 cm, from 10 ft or 1 m on to a hundredth of it.
fn way(mm: f64, unit: Unit) -> Measured {
    let (number, places, name) = match (unit.is_imperial(), mm) {
        (true, mm) if mm < 3_048.0 => (mm / 25.4, 1, "in"),
        (true, mm) => (mm / 304.8, 1, "ft"),
        (false, mm) if mm < 1_000.0 => (mm / 10.0, 1, "cm"),
        (false, mm) => (mm / 1_000.0, 2, "m"),
    };
    Measured {
        value: length(mm).to_f64(unit),
        text: format!("{} {name}", decimals(number, places)),
    }
}

/// A size that was worked out, rounded up to what a ruler has.
fn ruler_up(mm: f64, unit: Unit) -> Measured {
    let step = if unit.is_imperial() {
        Length::inches(1, 16)
    } else {
        Length::whole(1, Unit::Mm)
    };
    length(mm).round_up(step).measured(unit)
}

/// A size that follows from the drawing, to 1/64 in or 0.1 mm.
fn near(mm: f64, unit: Unit) -> Length {
    let step = if unit.is_imperial() {
        Length::inches(1, 64)
    } else {
        Length::from_nm(100_000)
    };
    let half = Length::from_nm(step.nm() / 2);
    let near = (length(mm) + half).round_down(step);
    if near == Length::ZERO {
        length(mm)
    } else {
        near
    }
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
        let checks = self.checks(&found, scale, &asked);
        let faults = checks.iter().filter(|check| !check.ok).count();
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
            stays_text: format!(
                "{}, {} % of its rectangle",
                area_text(all.stays * scale * scale, unit),
                decimals(share * 100.0, 0)
            ),
            goes_text: area_text((all.rectangle - all.stays) * scale * scale, unit),
            stays: share,
            films: self.films(scale, unit),
            letter_heights: self.letter_heights(scale, unit),
            passes_from: self
                .least_scale(limits)
                .map(|least| ruler_up(bounds.width() * least, unit)),
            faults: super::flat::count(faults),
            joined: self.joined_report(unit, scale),
            omitted: self.omitted(),
            silhouette: picture::silhouette(&self.joined, SILHOUETTE),
            assumptions: self.assumptions(input, &all, found.complete),
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
}

fn narrowest(places: impl Iterator<Item = Place>) -> Option<Place> {
    places.min_by(|one, other| one.width.total_cmp(&other.width))
}

/// Where a drawing is too fine at one size, in millimetres as it was drawn.
#[derive(Default)]
pub(super) struct Found {
    /// Thin parts, and then narrow gaps.
    pub narrow: [Vec<Place>; 2],
    /// How many there are of each.
    pub counts: [usize; 2],
    /// The parts of the edges along them.
    pub runs: [Vec<Vec<Point>>; 2],
    pub tips: Vec<Tip>,
    pub tip_count: usize,
    pub specks: Vec<Point>,
    pub islands: Vec<Point>,
    /// Whether all edges could be looked at.
    pub complete: bool,
}

impl Prepared {
    fn look(&self, scale: f64, limits: Limits) -> Found {
        // What is as wide as its limit but for the rounding of floats passes, as it does at the width that is
        // told for it.
        let below = |limit: Length| limit.to_f64(Unit::Mm) / scale * (1.0 - 1e-9);
        let mut found = Found {
            specks: self.small(false, below(limits.speck)),
            islands: self.small(true, below(limits.island)),
            complete: self.faults.complete,
            ..Found::default()
        };
        let sides = [(Side::Inside, limits.part), (Side::Outside, limits.gap)];
        for (at, (side, limit)) in sides.into_iter().enumerate() {
            let known = self.narrowest[at].get();
            let wide =
                |place: &Option<Place>| place.is_none_or(|place| place.width >= below(limit));
            if side == Side::Outside
                && known.is_some_and(|(place, complete)| *complete && wide(place))
            {
                // Nothing is so narrow; inside there may be tips all the same.
                continue;
            }
            for widths in &self.widths {
                let narrow = widths.narrower(side, below(limit));
                found.narrow[at].extend(narrow.places);
                found.counts[at] += narrow.count;
                found.runs[at].extend(narrow.runs);
                found.complete &= narrow.complete;
                if side == Side::Inside {
                    found.tips.extend(narrow.tips);
                    found.tip_count += narrow.tip_count;
                }
            }
            let places = found.narrow[at].iter().copied();
            let (_, complete) = self.narrowest[at].get_or_init(|| match narrowest(places) {
                None => self.least(side),
                known => (known, found.complete),
            });
            found.complete &= complete;
        }
        found
    }

    /// Where one side is narrowest at any size, and whether all of its edges were looked at.
    fn least(&self, side: Side) -> (Option<Place>, bool) {
        let mut places = Vec::new();
        let mut complete = true;
        for widths in &self.widths {
            let found = widths.narrowest(side);
            places.extend(found.places);
            complete &= found.complete;
        }
        (narrowest(places.into_iter()), complete)
    }

    /// The middles of pieces, or of islands, whose greater side is below a limit.
    fn small(&self, hole: bool, below: f64) -> Vec<Point> {
        let small = self.extents(hole).filter(|(side, _)| *side < below);
        small.map(|(_, middle)| middle).collect()
    }

    /// The greater side of each piece, or of each island, and its middle.
    fn extents(&self, hole: bool) -> impl Iterator<Item = (f64, Point)> {
        let contours = self.joined.films.iter().flat_map(|film| &film.contours);
        contours
            .filter(move |contour| contour.hole == hole)
            .map(|contour| {
                let bounds = kurbo::Shape::bounding_box(&contour.path);
                (bounds.width().max(bounds.height()), bounds.center())
            })
    }

    fn smallest(&self, hole: bool) -> Option<f64> {
        self.extents(hole)
            .map(|(side, _)| side)
            .min_by(f64::total_cmp)
    }

    /// What is finest of each kind, and its limit, both in millimetres.
    fn finest(&self, limits: Limits) -> [(&'static str, Option<f64>, Length); 4] {
        // Known since the drawing was looked at.
        let least = |at: usize| self.narrowest[at].get().and_then(|(place, _)| *place);
        let (inside, outside) = (least(0), least(1));
        [
            ("part", inside.map(|place| place.width), limits.part),
            ("gap", outside.map(|place| place.width), limits.gap),
            ("speck", self.smallest(false), limits.speck),
            ("island", self.smallest(true), limits.island),
        ]
    }

    /// The least millimetres for one of the drawing at which nothing is too fine.
    fn least_scale(&self, limits: Limits) -> Option<f64> {
        let scales = self.finest(limits).into_iter();
        scales
            .filter_map(|(_, finest, limit)| Some(limit.to_f64(Unit::Mm) / finest?))
            .max_by(f64::total_cmp)
    }

    fn checks(&self, found: &Found, scale: f64, asked: &Asked) -> Vec<CheckReport> {
        let mut checks = self.outline_checks(scale, asked.unit);
        checks.extend(self.size_checks(found, scale, asked));
        // Below the thin parts: it is about them, too, but no size helps.
        checks.insert(5, tip_check(found));
        checks
    }

    /// What is wrong with the outlines, at any size.
    fn outline_checks(&self, scale: f64, unit: Unit) -> Vec<CheckReport> {
        let count = super::flat::count;
        let through: f64 = self.joined.inner.iter().map(|line| long(line)).sum();
        let Faults {
            open_count,
            crossing_count,
            double_count,
            double_length,
            complete,
            ..
        } = self.faults;
        let least_of = if complete { "" } else { "at least " };
        vec![
            plain(
                "crossing",
                "Outlines that cross",
                count(crossing_count),
                "none",
                format!(
                    "at {least_of}{}: the blade would cut through. Joined, they are one edge.",
                    places(crossing_count)
                ),
            ),
            plain(
                "through",
                "Lines through film",
                count(self.joined.inner.len()),
                "none",
                format!(
                    "{} of line lies inside of what stays: the blade would cut its own letters. Joined, it is gone.",
                    way(through * scale, unit).text
                ),
            ),
            plain(
                "open",
                "Open outlines",
                count(open_count),
                "none",
                self.open_text(scale, unit),
            ),
            plain(
                "double",
                "Lines drawn twice",
                count(double_count),
                "none",
                format!(
                    "{} is cut twice, and the film tears there. Joined, it is cut at most once.",
                    way(double_length * scale, unit).text
                ),
            ),
        ]
    }

    /// What is too fine at this size.
    fn size_checks(&self, found: &Found, scale: f64, asked: &Asked) -> Vec<CheckReport> {
        let Asked { unit, limits, .. } = *asked;
        let count = super::flat::count;
        let mut checks = Vec::new();
        let counts = [
            count(found.counts[0]),
            count(found.counts[1]),
            count(found.specks.len()),
            count(found.islands.len()),
        ];
        let labels = ["Thin parts", "Narrow gaps", "Specks", "Small islands"];
        let least = ["thinnest", "narrowest", "smallest piece", "smallest island"];
        let width = self.joined.bounds.width();
        for (at, (id, finest, limit)) in self.finest(limits).into_iter().enumerate() {
            let limit_mm = limit.to_f64(Unit::Mm);
            let limit_text = narrow_text(limit_mm, unit);
            let text = match (finest, counts[at]) {
                (None, _) => "none there".to_owned(),
                (Some(finest), 0) => {
                    format!(
                        "the {} {}, and {limit_text} will do",
                        least[at],
                        measured(finest * scale, at, unit)
                    )
                }
                (Some(finest), places) => format!(
                    "{places} below {limit_text}, the {} {}",
                    least[at],
                    measured(finest * scale, at, unit)
                ),
            };
            checks.push(CheckReport {
                id,
                label: labels[at],
                ok: counts[at] == 0,
                count: counts[at],
                text,
                passes_from: finest.map(|finest| ruler_up(width * limit_mm / finest, unit)),
            });
        }
        checks
    }

    fn open_text(&self, scale: f64, unit: Unit) -> String {
        let widest = self.faults.open.first();
        let widest = widest.map_or(0.0, |open| (open.to - open.from).hypot());
        format!(
            "{} not closed, the ends up to {} apart: the piece stays attached there. Joined, they are closed by a \
             straight line.",
            self.faults.open_count,
            narrow_text(widest * scale, unit)
        )
    }

    fn films(&self, scale: f64, unit: Unit) -> Vec<FilmLayerReport> {
        let films = self.joined.films.iter().zip(&self.measures);
        (1..)
            .zip(films)
            .map(|(number, (film, measures))| FilmLayerReport {
                number,
                colour: picture::css(film.colour),
                pieces: measures.pieces,
                islands: measures.islands,
                cut_length: way(measures.cut * scale, unit),
                stays_text: area_text(measures.stays * scale * scale, unit),
            })
            .collect()
    }

    fn letter_heights(&self, scale: f64, unit: Unit) -> Vec<LetterHeightReport> {
        let heights = letter_heights(&self.joined.films).into_iter();
        heights
            .map(|one| {
                let height = near(one.height * scale, unit).measured(unit);
                LetterHeightReport {
                    text: format!("{}, {}", height.text, pieces(one.count)),
                    count: one.count,
                    height,
                }
            })
            .collect()
    }

    fn joined_report(&self, unit: Unit, scale: f64) -> JoinedReport {
        let before = super::flat::count(self.joined.pieces_before);
        let after = self.measures.iter().map(|one| one.pieces).sum();
        let Joined {
            area_before,
            area_after: stays,
            area_taken: taken,
            ..
        } = self.joined;
        let twice = area_before - stays - taken;
        let counts = |area: f64| area.abs() > stays * 1e-4;
        let same = self.joined.inner.is_empty() && before == after && !counts(taken);
        let text = if before == after {
            format!("{} before and after", pieces(after))
        } else {
            format!("from {} to {after}", pieces(before))
        };
        let area = |area: f64| area_text(area.abs() * scale * scale, unit);
        let mut changes = Vec::new();
        if counts(twice) {
            changes.push(if twice > 0.0 {
                format!("{} that lay twice is counted once", area(twice))
            } else {
                format!("{} more", area(twice))
            });
        }
        if counts(taken) {
            changes.push(format!("{} is taken away by the ground", area(taken)));
        }
        let area_text = if changes.is_empty() {
            "the same area".to_owned()
        } else {
            changes.join(", ")
        };
        JoinedReport {
            before,
            after,
            same,
            text,
            area_text,
        }
    }

    fn drawn_text(&self, unit: Unit) -> String {
        let bounds = self.joined.bounds;
        let size = [bounds.width(), bounds.height()].map(|side| near(side, unit));
        let size = size_text(size[0], size[1], unit.for_size());
        if self.artwork.sized {
            format!("drawn {size}")
        } else {
            format!("{size} by its pixels, 96 to the inch: the file names no unit")
        }
    }

    fn omitted(&self) -> Vec<String> {
        let omitted = self.artwork.omitted.iter();
        omitted
            .map(|one| format!("{}: {}", one.count, omission(one.what)))
            .collect()
    }

    fn assumptions(&self, input: &ArtworkInput, all: &Measures, complete: bool) -> Vec<String> {
        let mut assumptions = vec![
            "Overlapping outlines of one film are joined by the fill rule of each shape; curves stay curves, and where they \
             are divided they stray by no more than 1/65 000 of the greater side."
                .to_owned(),
            "What stays and what goes is measured on the joined outlines; the rectangle is the least upright one round \
             each film."
                .to_owned(),
            "The blade travels from each outline to the start of the nearest one that is left; a cutter's own program \
             may take another way."
                .to_owned(),
            "The width at a point of an edge is that of the largest disc inside that touches the edge there and opposite; \
             corners do not count, nor tips below 28°, which are told for themselves."
                .to_owned(),
            "Limits where none are typed: parts 1 mm, gaps 0.5 mm, pieces 2 mm, islands 1 mm (common practice, no \
             source). Your film and your blade decide."
                .to_owned(),
        ];
        if !self.strokes
            && self
                .artwork
                .shapes
                .iter()
                .any(|shape| shape.kind == super::outline::Kind::Line)
        {
            assumptions.push(
                "A line that nothing fills is what is cut: one that lies wholly inside of another is the edge of a hole in it, and \
                 those that cross or touch are taken as shapes that lie on each other."
                    .to_owned(),
            );
        }
        if input
            .ground
            .as_deref()
            .is_some_and(|ground| !ground.trim().is_empty())
        {
            assumptions.push(
                "What the ground's colour covers is taken away from what lies under it.".to_owned(),
            );
        }
        if !complete {
            assumptions.push(
                "The drawing is so full that not all of its edges were looked at: there may be narrower places."
                    .to_owned(),
            );
        }
        if all.outlines() as usize > MOST_NEAREST {
            assumptions.push(
                "Of so many outlines, the nearest of the next 5000 is travelled to.".to_owned(),
            );
        }
        assumptions
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
            title: if title.is_empty() { "Decal" } else { title },
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

fn tip_check(found: &Found) -> CheckReport {
    let angles = found.tips.iter().map(|tip| tip.angle);
    let sharpest = angles.min_by(f64::total_cmp).unwrap_or_default();
    plain(
        "tip",
        "Sharp tips",
        super::flat::count(found.tip_count),
        "none",
        format!(
            "{} run out to nothing at any size, the sharpest in {}°: they lift first. Blunt them, or weed towards the \
             tip.",
            found.tip_count,
            decimals(sharpest, 0)
        ),
    )
}

/// A check on which the size has no bearing.
fn plain(
    id: &'static str,
    label: &'static str,
    count: u32,
    right: &'static str,
    wrong: String,
) -> CheckReport {
    CheckReport {
        id,
        label,
        ok: count == 0,
        count,
        text: if count == 0 { right.to_owned() } else { wrong },
        passes_from: None,
    }
}

/// `0.31 mm`, or `0.8 mm across` for pieces and islands.
fn measured(mm: f64, kind: usize, unit: Unit) -> String {
    let text = narrow_text(mm, unit);
    if kind < 2 {
        text
    } else {
        format!("{text} across")
    }
}

fn places(count: usize) -> String {
    match count {
        1 => "1 place".to_owned(),
        more => format!("{more} places"),
    }
}

fn long(line: &[Point]) -> f64 {
    line.windows(2)
        .map(|ends| (ends[1] - ends[0]).hypot())
        .sum()
}

const fn omission(what: Omission) -> &'static str {
    match what {
        Omission::Text => {
            "text that is not outlines, so its letters are not known here: turn it into paths in your drawing program"
        }
        Omission::Image => "a picture made of pixels, which has no outlines: trace it first",
        Omission::External => "something that is in another file: put it into this one",
        Omission::Effect => {
            "a filter, mask, pattern or clip, left out: what it covers is cut as drawn"
        }
        Omission::Hidden => "hidden or without paint, and not cut",
        Omission::Gradient => "a gradient, cut as its first colour",
        Omission::Script => "a script, which is never run here",
        Omission::Foreign => "an element that is not of SVG",
        Omission::Broken => "with a mistake in the file, cut up to it",
    }
}
