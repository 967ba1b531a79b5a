//! What is right and what is wrong with a drawing.

use super::texts::{length, narrow_text, ruler_up, way};
use super::{CheckReport, Prepared};
use crate::artwork::flat;
use crate::artwork::input::Limits;
use crate::artwork::outlines::Faults;
use crate::artwork::width::{Place, Side, Tip};
use crate::decal::SIDE;
use crate::measure::{Length, Unit, decimals};
use kurbo::Point;
use say::say;

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
    /// The width of the narrowest ones anywhere.
    pub finest: [Option<f64>; 2],
    /// The parts of the edges along them.
    pub runs: [Vec<Vec<Point>>; 2],
    /// Tips that run out to nothing; those that end blunt are thin parts.
    pub tips: Vec<Tip>,
    pub tip_count: usize,
    pub specks: Vec<Point>,
    pub islands: Vec<Point>,
    /// Whether all edges could be looked at.
    pub complete: bool,
}

/// One kind of what may be too fine, at one size.
pub(super) struct Kind {
    id: &'static str,
    label: &'static str,
    /// What is said of the finest of it, so wide.
    least: fn(&str) -> String,
    /// The same where that is told as wide as the limit, and is not.
    hardly: &'static str,
    /// The least of them anywhere, mm as drawn; none where there are none of this kind.
    finest: Option<f64>,
    limit: Length,
    /// How many are below the limit.
    count: usize,
    /// What is finer than that is not narrow but touches.
    touching: f64,
}

impl Kind {
    /// The least millimetres for one of the drawing at which it is right; none where no size helps.
    fn least_scale(&self) -> Option<f64> {
        match self.finest {
            Some(finest) if self.limit > Length::ZERO => {
                (finest >= self.touching).then(|| self.limit.to_f64(Unit::Mm) / finest)
            }
            _ => Some(0.0),
        }
    }

    /// Whether it is right. What is as wide as its limit but for rounding passes, as it does at the width that is told
    /// for it.
    fn passes(&self, scale: f64) -> bool {
        self.least_scale()
            .is_some_and(|least| least * (1.0 - EQUAL) <= scale)
    }

    fn text(&self, scale: f64, can_pass: bool, unit: Unit) -> String {
        let limit = narrow_text(self.limit.to_f64(Unit::Mm), unit);
        let Some(finest) = self.finest else {
            return say!("none there").to_owned();
        };
        let width = narrow_text(finest * scale, unit);
        if self.passes(scale) {
            return say!(
                "{finest}, and {limit} will do",
                finest = (self.least)(&width)
            );
        }
        let count = self.count.max(1);
        if self.least_scale().is_none() {
            return say!(
                "{count} below {limit}: edges touch at a point, which no size mends. Draw them apart, or let them overlap"
            );
        }
        let finest = if width == limit {
            self.hardly.to_owned()
        } else {
            (self.least)(&width)
        };
        if can_pass {
            say!("{count} below {limit}, {finest}")
        } else {
            say!("{count} below {limit}, {finest}; passes at no size that can be cut")
        }
    }
}

/// What differs by less than this part is equal: lengths that are told are whole nanometres, of sizes from 1 mm on.
const EQUAL: f64 = 1e-6;

/// The same place is found as wide to 1 in 100 whatever the limit.
const SAME: f64 = 0.99;

/// Widths are looked for from narrow ones on, in parts of the greater side: discs that are much larger than what is
/// narrow take longest.
const STEPS: [f64; 5] = [256.0, 64.0, 16.0, 4.0, 0.5];

impl Prepared {
    pub(super) fn look(&self, scale: f64, limits: Limits) -> Found {
        let below = |limit: Length| limit.to_f64(Unit::Mm) / scale * (1.0 - EQUAL);
        let mut found = Found {
            specks: self.small(false, below(limits.speck)),
            islands: self.small(true, below(limits.island)),
            complete: self.faults.complete,
            ..Found::default()
        };
        let sides = [(Side::Inside, limits.part), (Side::Outside, limits.gap)];
        for (at, (side, limit)) in sides.into_iter().enumerate() {
            let known = self.narrowest[at].get().copied();
            let before = std::mem::replace(&mut found.complete, true);
            if known.is_none() {
                self.look_at(side, below(limit), &mut found);
            }
            let (least, complete) = known.unwrap_or_else(|| {
                // What this limit finds is the narrowest of all; only where it finds nothing are larger ones tried.
                let least = narrowest(found.narrow[at].iter().copied());
                let told = if least.is_some() || !found.complete {
                    (least, found.complete)
                } else {
                    self.least(side, below(limit))
                };
                *self.narrowest[at].get_or_init(|| told)
            });
            found.finest[at] = least.map(|place| place.width);
            found.complete &= before && complete;
            let narrow = least.filter(|place| place.width < below(limit));
            if side == Side::Outside && complete && narrow.is_none() {
                // Nothing is so narrow; inside there may be tips all the same.
                continue;
            }
            if known.is_some() {
                self.look_at(side, below(limit), &mut found);
            }
            let places = &mut found.narrow[at];
            let narrower =
                |place: &Place| least.is_none_or(|least| place.width < SAME * least.width);
            if let Some(place) = narrowest(places.iter().copied().filter(narrower)) {
                found.finest[at] = Some(place.width);
            } else if narrow.is_none() {
                // It passes but for how exactly it was measured.
                found.counts[at] -= places.len().min(found.counts[at]);
                places.clear();
            }
            if places.is_empty() {
                places.extend(narrow);
                found.counts[at] += places.len();
            }
        }
        found
    }

    /// Looks at one side for what is narrower than a limit.
    fn look_at(&self, side: Side, below: f64, found: &mut Found) {
        let at = usize::from(side == Side::Outside);
        for widths in &self.widths {
            let narrow = widths.narrower(side, below);
            found.narrow[at].extend(&narrow.places);
            found.counts[at] += narrow.count;
            found.complete &= narrow.complete;
            if side == Side::Inside {
                let blunt = narrow.tips.iter().filter_map(|tip| self.blunt(tip));
                let ends: Vec<Place> = blunt.collect();
                found.tip_count += narrow.tip_count - ends.len();
                let ends = ends.into_iter().filter(|end| end.width < below);
                let before = found.narrow[at].len();
                found.narrow[at].extend(ends);
                found.counts[at] += found.narrow[at].len() - before;
                let tips = narrow.tips.into_iter();
                found
                    .tips
                    .extend(tips.filter(|tip| self.blunt(tip).is_none()));
            }
            found.runs[at].extend(narrow.runs);
        }
    }

    /// The end of a tip that does not run out to nothing, as a place so wide.
    fn blunt(&self, tip: &Tip) -> Option<Place> {
        (tip.end >= self.touching).then_some(Place {
            a: tip.point,
            b: tip.point,
            width: tip.end,
        })
    }

    /// Where one side is narrowest of what is not narrower than a limit, and whether all of its edges were looked at.
    fn least(&self, side: Side, above: f64) -> (Option<Place>, bool) {
        let bounds = self.joined.bounds;
        let greater = bounds.width().max(bounds.height());
        for part in STEPS.into_iter().filter(|part| greater / part > above) {
            let mut found = Found {
                complete: true,
                ..Found::default()
            };
            self.look_at(side, greater / part, &mut found);
            let [inside, outside] = found.narrow;
            let least = narrowest(inside.into_iter().chain(outside));
            if least.is_some() || !found.complete {
                return (least, found.complete);
            }
        }
        (None, true)
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

    /// What may be too fine, kind by kind.
    pub(super) fn kinds(&self, found: &Found, limits: Limits) -> [Kind; 4] {
        let Limits {
            part,
            gap,
            speck,
            island,
        } = limits;
        [
            Kind {
                id: "part",
                label: say!("Thin parts"),
                least: |width| say!("the thinnest {width}"),
                hardly: say!("the thinnest hardly less"),
                finest: found.finest[0],
                limit: part,
                count: found.counts[0],
                touching: self.touching,
            },
            Kind {
                id: "gap",
                label: say!("Narrow gaps"),
                least: |width| say!("the narrowest {width}"),
                hardly: say!("the narrowest hardly less"),
                finest: found.finest[1],
                limit: gap,
                count: found.counts[1],
                touching: self.touching,
            },
            Kind {
                id: "speck",
                label: say!("Specks"),
                least: |width| say!("the smallest piece {width} across"),
                hardly: say!("the smallest piece hardly less"),
                finest: self.smallest(false),
                limit: speck,
                count: found.specks.len(),
                touching: 0.0,
            },
            Kind {
                id: "island",
                label: say!("Small islands"),
                least: |width| say!("the smallest island {width} across"),
                hardly: say!("the smallest island hardly less"),
                finest: self.smallest(true),
                limit: island,
                count: found.islands.len(),
                touching: 0.0,
            },
        ]
    }

    /// The least width, mm, at which nothing of these kinds is too fine; none where that is none, or where the drawing is
    /// larger then than a decal can be.
    pub(super) fn passes_from(&self, kinds: &[Kind]) -> Option<f64> {
        let mut scales = kinds.iter().map(Kind::least_scale);
        let least = scales.try_fold(0.0, |most: f64, least| Some(most.max(least?)))?;
        let bounds = self.joined.bounds;
        let side = length(bounds.width().max(bounds.height()) * least);
        // The least side of a decal is reached by rounding.
        let fits = SIDE.holds(side.max(Length::whole(1, Unit::Mm)));
        // What is all but round is not rounded up to the next size that passes as well.
        (least > 0.0 && fits).then_some(bounds.width() * least * (1.0 - EQUAL / 2.0))
    }

    pub(super) fn checks(
        &self,
        found: &Found,
        kinds: &[Kind],
        scale: f64,
        unit: Unit,
    ) -> Vec<CheckReport> {
        let mut checks = self.outline_checks(scale, unit);
        checks.extend(self.size_checks(kinds, scale, unit));
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
        let crossing = if complete {
            say!(
                crossing_count;
                "1 place: the blade would cut through. Joined, they are one edge.",
                "{crossing_count} places: the blade would cut through. Joined, they are one edge."
            )
        } else {
            say!(
                crossing_count;
                "1 place or more: the blade would cut through. Joined, they are one edge.",
                "{crossing_count} places or more: the blade would cut through. Joined, they are one edge."
            )
        };
        vec![
            plain(
                "crossing",
                say!("Outlines that cross"),
                count(crossing_count),
                crossing,
            ),
            plain(
                "through",
                say!("Lines through film"),
                count(self.joined.inner.len()),
                say!(
                    "{length} of line lies inside of what stays: the blade would cut its own letters. Joined, it is gone.",
                    length = way(through * scale, unit).text
                ),
            ),
            plain(
                "open",
                say!("Open outlines"),
                count(open_count),
                self.open_text(scale, unit),
            ),
            plain(
                "double",
                say!("Lines drawn twice"),
                count(double_count),
                say!(
                    "{length} is cut twice, and the film tears there. Joined, it is cut at most once.",
                    length = way(double_length * scale, unit).text
                ),
            ),
        ]
    }

    /// What is too fine at this size.
    fn size_checks(&self, kinds: &[Kind], scale: f64, unit: Unit) -> Vec<CheckReport> {
        let checks = kinds.iter().map(|kind| {
            let from = self.passes_from(std::slice::from_ref(kind));
            let ok = kind.passes(scale);
            CheckReport {
                id: kind.id,
                label: kind.label,
                ok,
                count: if ok {
                    0
                } else {
                    flat::count(kind.count.max(1))
                },
                text: kind.text(scale, from.is_some(), unit),
                passes_from: from.map(|mm| ruler_up(mm, unit)),
            }
        });
        checks.collect()
    }

    fn open_text(&self, scale: f64, unit: Unit) -> String {
        let widest = self.faults.open.first();
        let widest = widest.map_or(0.0, |open| (open.to - open.from).hypot());
        say!(
            "{count} not closed, the ends up to {width} apart: the piece stays attached there. Joined, they are closed by a \
             straight line.",
            count = self.faults.open_count,
            width = narrow_text(widest * scale, unit)
        )
    }
}

fn tip_check(found: &Found) -> CheckReport {
    let angles = found.tips.iter().map(|tip| tip.angle);
    let sharpest = angles.min_by(f64::total_cmp).unwrap_or_default();
    let count = flat::count(found.tip_count);
    plain(
        "tip",
        say!("Sharp tips"),
        count,
        say!(
            count;
            "1 runs out to nothing at any size, the sharpest in {angle}°: they lift first. Blunt them, or weed towards the tip.",
            "{count} run out to nothing at any size, the sharpest in {angle}°: they lift first. Blunt them, or weed towards the tip.",
            angle = decimals(sharpest, 0)
        ),
    )
}

/// A check on which the size has no bearing.
fn plain(id: &'static str, label: &'static str, count: u32, wrong: String) -> CheckReport {
    CheckReport {
        id,
        label,
        ok: count == 0,
        count,
        text: if count == 0 {
            say!(in "faults of a drawing": "none").to_owned()
        } else {
            wrong
        },
        passes_from: None,
    }
}

fn long(line: &[Point]) -> f64 {
    line.windows(2)
        .map(|ends| (ends[1] - ends[0]).hypot())
        .sum()
}
