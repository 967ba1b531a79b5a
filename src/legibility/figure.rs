//! How distances and sizes are rounded before people see them: always to the safe side.
//!
//! A distance is cut to two figures, a height or size goes up to a sixteenth of an inch or to a
//! millimetre. Whoever types a shown distance back is therefore never asked for taller letters than
//! those it came from.

use crate::measure::{Length, Measured, Unit};

/// A distance in feet or metres, cut to two figures: 42.97 ft is shown as 42 ft, 1203 as 1200.
pub(super) fn distance(length: Length, unit: Unit) -> Measured {
    Measured {
        value: length.to_f64(unit),
        text: distance_text(length, unit),
    }
}

fn distance_text(length: Length, unit: Unit) -> String {
    let unit = unit.for_distance();
    let shown = length.round_down(step(length, unit));
    format!("{} {}", shown.exact(unit), unit.symbol())
}

/// A distance that something takes, rounded up to two figures.
pub(super) fn distance_up(length: Length, unit: Unit) -> String {
    let unit = unit.for_distance();
    let shown = length.round_up(step(length, unit));
    format!("{} {}", shown.exact(unit), unit.symbol())
}

/// What is left of a distance in two figures is whole numbers of this.
fn step(length: Length, unit: Unit) -> Length {
    // Feet and metres divide by a hundred thousand without remainder; nothing is read from less than a
    // thousandth of a foot.
    let mut step = unit.nanometres() / 100_000;
    while length.nm() / step >= 100 {
        step *= 10;
    }
    Length::from_nm(step)
}

/// A size with its text; the text is that of the size as `shown`.
pub(super) fn size(exact: Length, shown: Length, unit: Unit) -> Measured {
    Measured {
        value: exact.to_f64(unit),
        text: size_text(shown, unit.for_size()),
    }
}

/// A size that was rounded already; one that was not, for it is the size of what there is, goes up
/// to 0.001 in or 0.01 mm, so that the text is never short of it.
fn size_text(size: Length, unit: Unit) -> String {
    let text = size.text(unit);
    if Length::parse(&text, unit) == Ok(size) {
        return text;
    }
    let step = if unit.is_imperial() { 25_400 } else { 10_000 };
    let up = size.round_up(Length::from_nm(step));
    format!("{} {}", up.exact(unit), unit.symbol())
}

/// A needed size as it is shown: rounded up to 1/16 in or 1 mm. Where what there `is` suffices, the
/// rounding does not go beyond it: finer steps are tried, and at last it is shown itself.
pub(super) fn shown(needed: Length, is: Length, unit: Unit) -> Length {
    let steps = if unit.is_imperial() {
        [16, 32, 64].map(|parts| Length::inches(1, parts))
    } else {
        [1_000, 500, 100].map(|micrometres| Length::from_nm(micrometres * 1_000))
    };
    if needed > is {
        return needed.round_up(steps[0]);
    }
    let mut rounded = steps.iter().map(|step| needed.round_up(*step));
    rounded.find(|up| *up <= is).unwrap_or(is)
}
