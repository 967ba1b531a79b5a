//! Places where people read it, each with its distance, and whether they can.

use super::{DISTANCE, LegibilityInput, Viewing, figure, grades, letter_height_for, reach};
use crate::decal::Decal;
use crate::error::{Checks, Code, InputError, InputErrors};
use crate::input::read_by_members;
use crate::measure::{Length, LengthInput, Measured, Unit, optional};
use say::say;
use serde::Serialize;

read_by_members! {
    /// A place where people read it.
    #[derive(Clone, Debug, Default, PartialEq)]
    pub struct PlaceInput {
        /// What it is called.
        pub name: String = default,
        /// How far away they are there; a place without a distance is not looked at.
        pub distance: Option<LengthInput> = default,
    }
}

/// So many places are taken, far more than anybody looks through.
const MOST: usize = 1_000;

/// Whether it can be read at a place.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "camelCase")]
pub struct Place {
    /// What it is called.
    pub name: String,
    /// How far away people are there.
    pub distance: Measured,
    /// Whether it can be read from there by every rule that applies.
    pub enough: bool,
    /// The grade for the eyes told; none where nothing is told apart.
    pub grade: Option<&'static str>,
    /// The letter height that it takes; none where no letters do.
    pub letter_height: Option<Measured>,
}

/// Reads the places.
///
/// # Errors
/// Those of [`optional`] at each one's `distance`, and [`Code::TooLarge`] at `places` for more than 1,000.
pub(super) fn read(places: &[PlaceInput], unit: Unit) -> Result<Vec<(&str, Length)>, InputErrors> {
    let mut checks = Checks::default();
    if places.len() > MOST {
        let message = say!(
            "{count} places are more than can be looked through",
            count = places.len()
        );
        let hint = say!("keep at most 1,000");
        checks.add(InputError::new(Code::TooLarge, message, hint).at("places"));
        return checks.finish(Vec::new());
    }
    let mut read = Vec::new();
    for (row, place) in places.iter().enumerate() {
        if let Some(distance) = checks.take(distance(place, row, unit)).flatten() {
            read.push((place.name.as_str(), distance));
        }
    }
    checks.finish(read)
}

fn distance(place: &PlaceInput, row: usize, unit: Unit) -> Result<Option<Length>, InputError> {
    let distance = place.distance.as_ref();
    let distance = distance.map(|distance| distance.counted_in(unit));
    let path = format!("places[{row}].distance");
    optional(distance.as_ref(), &path, unit.for_distance(), DISTANCE)
}

/// The distance of the place that is chosen, which has to have one. What else is wrong with it is told
/// among the places.
pub(super) fn chosen(input: &LegibilityInput, checks: &mut Checks) -> Option<Length> {
    let row = input.place.as_ref()?.read_from(0, u32::MAX);
    let row = checks.take(row.map_err(|error| error.at("place")))? as usize;
    let Some(place) = input.places.get(row) else {
        let (message, hint) = (
            say!("there is no such place"),
            say!("choose one of the places"),
        );
        checks.add(InputError::new(Code::NotAChoice, message, hint).at("place"));
        return None;
    };
    let read = distance(place, row, input.unit).ok()?;
    if read.is_none() {
        let (message, hint) = (
            say!("this place has no distance"),
            say!("write how far away people are there"),
        );
        let path = format!("places[{row}].distance");
        checks.add(InputError::new(Code::Missing, message, hint).at(path));
    }
    read
}

/// Whether the decal can be read at each of them; `viewing` says which case counts.
pub(super) fn report(
    places: &[(&str, Length)],
    decal: &Decal,
    viewing: &Viewing,
    unit: Unit,
) -> Vec<Place> {
    let reach = reach(decal, viewing);
    let letter = decal.letter_height();
    let each = places.iter().map(|(name, distance)| Place {
        name: (*name).to_owned(),
        distance: Measured {
            value: distance.to_f64(unit),
            text: distance.text(unit.for_distance()),
        },
        enough: reach.is_some_and(|reach| *distance <= reach),
        grade: grades::of(*distance, decal, viewing),
        letter_height: letter_height_for(*distance, decal, viewing)
            .map(|needed| figure::size(needed, figure::shown(needed, letter, unit), unit)),
    });
    each.collect()
}
