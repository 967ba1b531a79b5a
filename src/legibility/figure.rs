//! How distances and sizes are rounded before people see them: always to the safe side.
//!
//! A distance is cut to two figures, a height or size goes up to a sixteenth of an inch or to a
//! millimetre. Whoever types a shown distance back is therefore never asked for taller letters than
//! those it came from.

use crate::measure::{Length, Measured, Unit};

/// The unit in which letters and decals are sized, for people whose input counts in `unit`.
pub(super) const fn letter_unit(unit: Unit) -> Unit {
    match unit {
        Unit::In | Unit::Ft | Unit::Yd => Unit::In,
        Unit::Mm | Unit::M => Unit::Mm,
        Unit::Cm => Unit::Cm,
    }
}

/// A distance in feet or metres, cut to two figures: 42.97 ft is shown as 42 ft, 1203 as 1200.
pub(super) fn distance(length: Length, unit: Unit) -> Measured {
    Measured {
        value: length.to_f64(unit),
        text: distance_text(length, unit),
    }
}

fn distance_text(length: Length, unit: Unit) -> String {
    let unit = unit.for_distance();
    // Feet and metres divide by a thousand without remainder; nothing that people read from less
    // than a hundredth of a foot is asked about.
    let mut step = unit.nanometres() / 1_000;
    while length.nm() / step >= 100 {
        step *= 10;
    }
    let shown = length.round_down(Length::from_nm(step));
    format!("{} {}", shown.exact(unit), unit.symbol())
}

/// A size with its text; the text is that of the size as `shown`.
pub(super) fn size(exact: Length, shown: Length, unit: Unit) -> Measured {
    Measured {
        value: exact.to_f64(unit),
        text: shown.text(letter_unit(unit)),
    }
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
