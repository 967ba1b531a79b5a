//! The words of a decal: how many there are, and how high their letters are in a given size.

use super::Face;
use crate::measure::Length;

/// Lines of lettering in a face.
///
/// How wide a line is follows from the proportions of DIN 1451-4 (lettering on a grid of seven units of
/// height): most letters are 4 units wide, narrow ones 3, between two letters is 1 unit, between two
/// words are 4 units, or 3 of the narrow face (looked up,
/// <http://dybas.de/dybas/index/s/schrift.html>). A script has no such standard and is counted as
/// narrow, by common practice. Lines lie one and a half letter heights apart, from baseline to baseline:
/// the middle of the 135 to 170 % of the 2010 ADA Standards, section 703.5.9. What hangs below the last
/// line, as of a `g`, takes three tenths of the height, and so does what stands on letters, as on an `É`:
/// common practice, no source.
#[derive(Clone, Copy, Debug)]
pub struct Words<'a> {
    lines: &'a [String],
    face: Face,
}

/// Units of the grid in the height of a letter.
const HIGH: i64 = 7;

impl<'a> Words<'a> {
    pub(super) const fn new(lines: &'a [String], face: Face) -> Self {
        Self { lines, face }
    }

    /// The lines, without empty ones.
    #[must_use]
    pub const fn lines(self) -> &'a [String] {
        self.lines
    }

    /// How many words there are.
    #[must_use]
    pub fn count(self) -> usize {
        let words = |line: &String| line.split_ascii_whitespace().count();
        self.lines.iter().map(words).sum()
    }

    /// How many characters there are, without spaces.
    #[must_use]
    pub fn characters(self) -> usize {
        let all = self.lines.iter().flat_map(|line| line.chars());
        all.filter(|letter| *letter != ' ').count()
    }

    /// Whether there are small letters among them: of Latin, Greek or Cyrillic writing, the others that
    /// films are cut in have none.
    #[must_use]
    pub fn has_small_letters(self) -> bool {
        let small = |letter: char| {
            letter.is_ascii_lowercase()
                || matches!(letter, 'ß'..='ö' | 'ø'..='ÿ' | 'α'..='ώ' | 'а'..='џ')
        };
        self.lines.iter().any(|line| line.chars().any(small))
    }

    /// The width of the longest line, in sevenths of the letter height.
    #[must_use]
    pub fn width(self) -> i64 {
        let (letter, space) = match self.face {
            Face::Plain => (4, 4),
            Face::Condensed | Face::Script => (3, 3),
        };
        let width = |line: &String| {
            let mut width = 0;
            for word in line.split_ascii_whitespace() {
                let letters = i64::try_from(word.chars().count()).unwrap_or(i64::MAX / HIGH);
                let before = if width > 0 { space } else { 0 };
                width += before + letters * letter + (letters - 1);
            }
            width
        };
        self.lines.iter().map(width).max().unwrap_or(0)
    }

    /// What stands above the capitals of the first line, from baseline to baseline, and what hangs below the
    /// last one, in tenths of the letter height.
    fn tenths(self) -> [u8; 3] {
        let accents = |line: &String| !line.is_ascii();
        let hangs = |line: &String| line.bytes().any(|letter| b"gjpqy,;".contains(&letter));
        let first = self.lines.first().is_some_and(accents);
        let next = self.lines.iter().skip(1).any(accents);
        let last = self.lines.last();
        let last = last.is_some_and(|line| accents(line) || hangs(line));
        [
            if first { 3 } else { 0 },
            if next { 18 } else { 15 },
            if last { 3 } else { 0 },
        ]
    }

    /// How far below the upper edge of a decal of this height each baseline lies, with letters of this
    /// height: one block in the middle, its lines closer together where it has no room. All in one unit.
    #[must_use]
    pub fn baselines(self, letter: f64, height: f64) -> Vec<f64> {
        let [above, pitch, below] = self
            .tenths()
            .map(|tenths| f64::from(tenths) * letter / 10.0);
        let room = (height - letter - above - below).max(0.0);
        let mut gaps = 0.0;
        for _ in self.lines.iter().skip(1) {
            gaps += 1.0;
        }
        let pitch = if gaps > 0.0 {
            pitch.min(room / gaps)
        } else {
            0.0
        };
        let mut baseline = above + letter + (room - gaps * pitch) / 2.0;
        let mut baselines = Vec::new();
        for _ in 0..self.lines.len().max(1) {
            baselines.push(baseline);
            baseline += pitch;
        }
        baselines
    }

    /// The height of a capital I with which they fill a decal, to the nanometre below: as high as width
    /// and height allow. None where there are no words.
    #[must_use]
    pub fn letter_height(self, width: Length, height: Length) -> Option<Length> {
        let lines = i64::try_from(self.lines.len()).ok()?;
        let wide = self.width();
        if wide <= 0 {
            return None;
        }
        let [above, pitch, below] = self.tenths().map(i64::from);
        let by_width = Length::from_nm(width.nm() * HIGH / wide);
        let by_height =
            Length::from_nm(height.nm() * 10 / (10 + pitch * (lines - 1) + above + below));
        Some(by_width.min(by_height))
    }

    /// The width that the longest line takes with letters of this height, to the nanometre above.
    #[must_use]
    pub fn width_at(self, letter: Length) -> Length {
        letter.scaled_up(self.width(), HIGH)
    }
}
