//! What a drawing measures, film by film and letter by letter, and what joining it changes.

use super::texts::{area_text, near, way};
use super::{FilmLayerReport, JoinedReport, LetterHeightReport, Prepared};
use crate::artwork::flat;
use crate::artwork::measures::letter_heights;
use crate::artwork::picture;
use crate::measure::{Unit, pieces};

impl Prepared {
    pub(super) fn films(&self, scale: f64, unit: Unit) -> Vec<FilmLayerReport> {
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
        let stays = self.joined.area_after;
        let same = self.joined.inner.is_empty() && before == after;
        let change = self.joined.area_before - stays;
        let text = if before == after {
            format!("{} before and after", pieces(after))
        } else {
            format!("from {} to {after}", pieces(before))
        };
        let area = area_text(change.abs() * scale * scale, unit);
        let area_text = if change.abs() <= stays * 1e-4 {
            "the same area".to_owned()
        } else if change > 0.0 {
            format!("{area} that lay twice is counted once")
        } else {
            format!("{area} more")
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
