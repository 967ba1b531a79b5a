//! What the sign industry asks of a business's sign that is read from the road.

use super::{Asked, MovingFigure, OWN_ENTRY, Way, figure};
use crate::decal::Decal;
use crate::legibility::rules::Mark;
use crate::legibility::{Case, Viewing, figure as rounded};
use crate::measure::{Length, Unit, decimals};
use say::say;

/// The source of the chain; looked up at
/// <http://www.signshop.com/picks/Bertucci-DeterminingSignSize.html>.
const CHAIN: &str =
    say!("Bertucci, Determining Sign Size, 2007, after the United States Sign Council");
/// The source of the index, unless it was entered.
const TABLE: (&str, Mark) = (
    say!("United States Sign Council, legibility index, plain letters, black on white"),
    Mark::FromMemory,
);
/// The source of the formula for signs along the road.
const ALONG: &str = say!("United States Sign Council: (10 × lanes + feet aside) / 5");

/// The steps of the industry's reckoning: for a sign that faces the traffic from speed to area, for one
/// along the road the letter height; nothing for other ways.
pub(super) fn steps(
    asked: &Asked,
    decal: &Decal,
    viewing: &Viewing,
    unit: Unit,
) -> Vec<MovingFigure> {
    let way = asked.trip.way;
    let size = |id, label, height: Length, source, mark| {
        let shown = rounded::shown(height, Length::ZERO, unit);
        let text = shown.text(unit.for_size());
        figure(id, label, (height.to_f64(unit), text), source, mark)
    };
    if way == Way::Wall {
        let height = asked.aside.scaled_up(1, 60);
        let label = say!("Letters of a sign along the road");
        return vec![size("wallLetters", label, height, ALONG, Mark::FromMemory)];
    }
    if way != Way::Board {
        return Vec::new();
    }
    let far = unit.for_distance();
    let distance = asked.speed.way_in(asked.reaction);
    // The index of the table is from memory, and so is what follows from it.
    let (index, mark, by) = match (asked.index, viewing.case) {
        (Some(index), _) => (index, Mark::LookedUp, OWN_ENTRY),
        (None, Case::AsWritten | Case::Caps) => (25, Mark::FromMemory, TABLE),
        (None, Case::Mixed) => (29, Mark::FromMemory, TABLE),
    };
    let letters = distance.scaled_up(1, 12 * i64::from(index));
    let way_in = |id, label, milliseconds| {
        let length = asked.speed.way_in(milliseconds);
        let text = length.text(far);
        figure(
            id,
            label,
            (length.to_f64(unit), text),
            CHAIN,
            Mark::LookedUp,
        )
    };
    let feet = (index.into(), format!("{index} ft"));
    let mut steps = vec![
        way_in("perSecond", say!("Way in a second"), 1_000),
        way_in("reaction", say!("Way in the reaction time"), asked.reaction),
        figure("index", say!("An inch of letter serves"), feet, by.0, by.1),
        size(
            "letters",
            say!("Letters for that distance"),
            letters,
            CHAIN,
            mark,
        ),
    ];
    #[expect(clippy::cast_precision_loss, reason = "at most 200 letters")]
    let count = decal.words().characters() as f64;
    let square = letters.to_f64(unit) * letters.to_f64(unit);
    let shown = letters.to_f64(far) * letters.to_f64(far);
    for (id, label, times) in [
        ("letterArea", say!("A letter with the space beside it"), 1.0),
        ("copyArea", say!("All letters"), count),
        ("signArea", say!("The sign: 2.5 times as much"), 2.5 * count),
    ] {
        let (area, unit) = (decimals(shown * times, 1), far.symbol());
        let text = say!("{area} sq {unit}");
        if count > 0.0 {
            steps.push(figure(id, label, (square * times, text), CHAIN, mark));
        }
    }
    steps
}
