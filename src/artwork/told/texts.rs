//! Sentences, and lengths for people.

use super::Prepared;
use crate::artwork::input::ArtworkInput;
use crate::artwork::measures::MOST_NEAREST;
use crate::artwork::measures::Measures;
use crate::artwork::outline::{Kind, Omission};
use crate::artwork::picture::MOST_MARKS;
use crate::decal::size_text;
use crate::measure::{Area, Length, Measured, Unit, decimals};
use say::say;

/// Millimetres as a length; what is absurdly long is cut short.
pub(super) fn length(mm: f64) -> Length {
    Length::from_metres(mm / 1_000.0).unwrap_or(Length::MAX)
}

/// Square millimetres as an area, for people.
pub(super) fn area_text(mm2: f64, unit: Unit) -> String {
    // The side of a square of that area: areas are made of lengths.
    let side = length(mm2.max(0.0).sqrt());
    Area::text(side * side, unit)
}

/// A number of a unit, for people; what is more than nothing is never told as nothing.
fn number_text(number: f64, places: u32, name: &str) -> String {
    let text = decimals(number, places);
    if text == "0" && number > 0.0 {
        let least = decimals([1.0, 0.1, 0.01, 0.001][places.min(3) as usize], places);
        return say!("less than {least} {unit}", unit = name);
    }
    format!("{text} {name}")
}

/// Something narrow, for people: to 0.001 in or 0.01 mm.
pub(super) fn narrow_text(mm: f64, unit: Unit) -> String {
    if unit.is_imperial() {
        number_text(mm / 25.4, 3, "in")
    } else {
        number_text(mm, 2, "mm")
    }
}

/// A way of the blade, for people: to 0.1 in or 0.1 cm, from 10 ft or 1 m on to a hundredth of it.
pub(super) fn way(mm: f64, unit: Unit) -> Measured {
    let (number, places, name) = match (unit.is_imperial(), mm) {
        (true, mm) if mm < 3_048.0 => (mm / 25.4, 1, "in"),
        (true, mm) => (mm / 304.8, 1, "ft"),
        (false, mm) if mm < 1_000.0 => (mm / 10.0, 1, "cm"),
        (false, mm) => (mm / 1_000.0, 2, "m"),
    };
    Measured {
        value: length(mm).to_f64(unit),
        text: number_text(number, places, name),
    }
}

/// A size that was worked out, rounded up to what a ruler has.
pub(super) fn ruler_up(mm: f64, unit: Unit) -> Measured {
    let step = if unit.is_imperial() {
        Length::inches(1, 16)
    } else {
        Length::whole(1, Unit::Mm)
    };
    length(mm).round_up(step).measured(unit)
}

/// A size that follows from the drawing, to 1/64 in or 0.1 mm.
pub(super) fn near(mm: f64, unit: Unit) -> Length {
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
    pub(super) fn drawn_text(&self, unit: Unit) -> String {
        let bounds = self.joined.bounds;
        let size = [bounds.width(), bounds.height()].map(|side| near(side, unit));
        let size = size_text(size[0], size[1], unit.for_size());
        if self.artwork.sized {
            say!("drawn {size}")
        } else {
            say!("{size} by its pixels, 96 to the inch: the file names no unit")
        }
    }

    pub(super) fn omitted(&self) -> Vec<String> {
        let omitted = self.artwork.omitted.iter();
        omitted
            .map(|one| format!("{}: {}", one.count, omission(one.what)))
            .collect()
    }

    /// What was assumed, with so many places of the most frequent kind of fault.
    pub(super) fn assumptions(
        &self,
        input: &ArtworkInput,
        all: &Measures,
        most: usize,
        complete: bool,
    ) -> Vec<String> {
        let mut assumptions = vec![
            say!(
                "Overlapping outlines of one film are joined by the fill rule of each shape; curves stay curves, and where they \
                 are divided they stray by no more than 1/65 000 of the greater side."
            )
            .to_owned(),
            say!(
                "What stays and what goes is measured on the joined outlines; the rectangle is the least upright one round \
                 each film."
            )
            .to_owned(),
            say!(
                "The blade travels from each outline to the start of the nearest one that is left; a cutter's own program \
                 may take another way."
            )
            .to_owned(),
            say!(
                "The width at a point of an edge is that of the largest disc inside that touches the edge there and opposite; \
                 corners do not count, nor tips below 28°, which are told for themselves."
            )
            .to_owned(),
            say!(
                "A weeding border and registration marks are cut, too, but are in none of these figures."
            )
            .to_owned(),
            say!(
                "Limits where none are typed: parts 1 mm, gaps 0.5 mm, pieces 2 mm, islands 1 mm (common practice, no \
                 source). Your film and your blade decide."
            )
            .to_owned(),
        ];
        if !self.strokes
            && self
                .artwork
                .shapes
                .iter()
                .any(|shape| shape.kind == Kind::Line)
        {
            assumptions.push(
                say!(
                    "A line that nothing fills is what is cut: one that lies wholly inside of another is the edge of a hole in it, and \
                     those that cross or touch are taken as shapes that lie on each other. To cut round the edge of lines that \
                     have a width, choose so where it says how the drawing is read."
                )
                .to_owned(),
            );
        }
        if input
            .ground
            .as_deref()
            .is_some_and(|ground| !ground.trim().is_empty())
        {
            assumptions.push(
                say!("What the ground's colour covers is taken away from what lies under it.")
                    .to_owned(),
            );
        }
        if !complete {
            assumptions.push(
                say!(
                    "The drawing is so full that not all of its edges were looked at: there may be narrower places."
                )
                .to_owned(),
            );
        }
        if most > MOST_MARKS {
            assumptions.push(say!(
                "In the picture at most {most} places of each kind are marked.",
                most = MOST_MARKS
            ));
        }
        if all.outlines() as usize > MOST_NEAREST {
            assumptions.push(
                say!("Of so many outlines, the nearest of the next 5000 is travelled to.")
                    .to_owned(),
            );
        }
        assumptions
    }
}

const fn omission(what: Omission) -> &'static str {
    match what {
        Omission::Text => {
            say!(
                "text that is not outlines, so its letters are not known here: turn it into paths in your drawing program"
            )
        }
        Omission::Image => say!("a picture made of pixels, which has no outlines: trace it first"),
        Omission::External => say!("something that is in another file: put it into this one"),
        Omission::Missing => say!("a copy of something that is not in this file"),
        Omission::Marker => {
            say!("with markers, such as arrowheads, which are left out: turn them into paths")
        }
        Omission::Effect => {
            say!("a filter, mask, pattern or clip, left out: what it covers is cut as drawn")
        }
        Omission::Hidden => say!("hidden or without paint, and not cut"),
        Omission::Gradient => say!("a gradient, cut as its first colour"),
        Omission::Script => say!("a script, which is never run here"),
        Omission::Foreign => say!("an element that is not of SVG"),
        Omission::Broken => say!("with a mistake in the file, cut up to it"),
    }
}
