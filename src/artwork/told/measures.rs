//! What a drawing measures, film by film and letter by letter, and what joining it changes.

use super::texts::{area_text, near, way};
use super::{FilmLayerReport, JoinedReport, LetterHeightReport, Prepared};
use crate::artwork::flat;
use crate::artwork::join::Joined;
use crate::artwork::measures::letter_heights;
use crate::artwork::picture;
use crate::measure::{Unit, pieces};
use say::say;

impl Prepared {
    pub(super) fn films(&self, scale: f64, unit: Unit) -> Vec<FilmLayerReport> {
        let films = self.joined.films.iter().zip(&self.measures);
        (1..)
            .zip(films)
            .map(|(number, (film, measures))| FilmLayerReport {
                number,
                colour: picture::css(film.colour),
                pieces: measures.pieces,
                pieces_text: pieces(measures.pieces),
                islands: measures.islands,
                cut_length: way(measures.cut * scale, unit),
                stays_text: area_text(measures.stays * scale * scale, unit),
            })
            .collect()
    }

    pub(super) fn letter_heights(&self, scale: f64, unit: Unit) -> Vec<LetterHeightReport> {
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

    pub(super) fn joined_report(&self, unit: Unit, scale: f64) -> JoinedReport {
        let before = flat::count(self.joined.pieces_before);
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
            say!("{pieces} before and after", pieces = pieces(after))
        } else {
            say!("from {before} to {after}", before = pieces(before))
        };
        let area = |area: f64| area_text(area.abs() * scale * scale, unit);
        let mut changes = Vec::new();
        if counts(twice) {
            changes.push(if twice > 0.0 {
                say!("{area} that lay twice is counted once", area = area(twice))
            } else {
                say!(in "an area": "{area} more", area = area(twice))
            });
        }
        if counts(taken) {
            changes.push(say!(
                "{area} is taken away by the ground",
                area = area(taken)
            ));
        }
        let area_text = if changes.is_empty() {
            say!("the same area").to_owned()
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
}
