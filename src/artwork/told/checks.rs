//! What is right and what is wrong with a drawing.

use super::texts::{narrow_text, ruler_up, way};
use super::{CheckReport, Prepared};
use crate::artwork::flat;
use crate::artwork::input::{Asked, Limits};
use crate::artwork::outlines::Faults;
use crate::artwork::width::{Place, Side, Tip};
use crate::measure::{Length, Unit, decimals};
use kurbo::Point;

fn narrowest(places: impl Iterator<Item = Place>) -> Option<Place> {
    places.min_by(|one, other| one.width.total_cmp(&other.width))
}

/// Where a drawing is too fine at one size, in millimetres as it was drawn.
#[derive(Default)]
pub(in crate::artwork) struct Found {
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
    pub(super) fn look(&self, scale: f64, limits: Limits) -> Found {
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
    pub(super) fn least_scale(&self, limits: Limits) -> Option<f64> {
        let scales = self.finest(limits).into_iter();
        scales
            .filter_map(|(_, finest, limit)| Some(limit.to_f64(Unit::Mm) / finest?))
            .max_by(f64::total_cmp)
    }

    pub(super) fn checks(&self, found: &Found, scale: f64, asked: &Asked) -> Vec<CheckReport> {
        let mut checks = self.outline_checks(scale, asked.unit);
        checks.extend(self.size_checks(found, scale, asked));
        // Below the thin parts: it is about them, too, but no size helps.
        checks.insert(5, tip_check(found));
        checks
    }

    /// What is wrong with the outlines, at any size.
    fn outline_checks(&self, scale: f64, unit: Unit) -> Vec<CheckReport> {
        let count = flat::count;
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
                    "{} is cut twice, and the film tears there. Joined, it is cut once.",
                    way(double_length * scale, unit).text
                ),
            ),
        ]
    }

    /// What is too fine at this size.
    fn size_checks(&self, found: &Found, scale: f64, asked: &Asked) -> Vec<CheckReport> {
        let Asked { unit, limits, .. } = *asked;
        let count = flat::count;
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
}

fn tip_check(found: &Found) -> CheckReport {
    let angles = found.tips.iter().map(|tip| tip.angle);
    let sharpest = angles.min_by(f64::total_cmp).unwrap_or_default();
    plain(
        "tip",
        "Sharp tips",
        flat::count(found.tip_count),
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
