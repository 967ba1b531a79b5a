//! Chance, and how it changes a text.

use super::kinds::Kind;
use std::ops::Range;

/// A source of numbers: `SplitMix64` (Steele, Lea and Flood 2014).
pub(super) struct Chance(pub(super) u64);

impl Chance {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mixed = (self.0 ^ (self.0 >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        let mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        mixed ^ (mixed >> 31)
    }

    /// A number below another one, or zero.
    pub(super) fn below(&mut self, end: usize) -> usize {
        let end = u64::try_from(end).unwrap_or(u64::MAX).max(1);
        usize::try_from(self.next() % end).unwrap_or(0)
    }

    /// One of these.
    pub(super) fn one_of<'a>(&mut self, pieces: &[&'a str]) -> &'a str {
        let place = self.below(pieces.len());
        pieces.get(place).copied().unwrap_or_default()
    }

    /// A range of a text, short more often than long.
    fn range(&mut self, text: &[u8]) -> Range<usize> {
        let most = 1 << self.below(16);
        let from = self.below(text.len() + 1);
        let to = (from + self.below(most)).min(text.len());
        from..to
    }

    /// A text changed in one to sixteen places, or one made of pieces. Most of them are changed only in what they say,
    /// so that they are still well-formed as a rule.
    pub(super) fn changed(&mut self, kind: &Kind, texts: &[Vec<u8>]) -> Vec<u8> {
        let mut text = if self.below(8) == 0 {
            let mut text = kind.pieces[0].as_bytes().to_vec();
            for _ in 0..self.below(60) {
                text.extend_from_slice(self.one_of(kind.pieces).as_bytes());
            }
            text
        } else {
            texts[self.below(texts.len())].clone()
        };
        let gentle = self.below(4) > 0;
        for _ in 0..1 << self.below(5) {
            if gentle {
                (kind.gently)(self, &mut text, kind, texts);
            } else {
                self.change(&mut text, kind, texts);
            }
        }
        text.truncate(kind.longest);
        if let Some(finish) = kind.finish
            && self.below(8) > 0
        {
            finish(&mut text);
        }
        text
    }

    fn change(&mut self, text: &mut Vec<u8>, kind: &Kind, texts: &[Vec<u8>]) {
        let range = self.range(text);
        match self.below(10) {
            0 => {
                if let Some(byte) = text.get_mut(range.start) {
                    *byte ^= 1 << (self.below(8));
                }
            }
            1 | 2 => {
                let piece = self.one_of(kind.pieces).bytes();
                text.splice(range.start..range.start, piece);
            }
            3 => {
                let piece = self.one_of(kind.pieces).bytes();
                text.splice(range, piece);
            }
            4 => {
                text.drain(range);
            }
            5 => {
                let other = &texts[self.below(texts.len())];
                let part = other[self.range(other)].to_vec();
                text.splice(range, part);
            }
            6 => {
                let part = text[range.clone()].to_vec();
                self.repeat(text, range.start, &part, kind.longest);
            }
            7 => {
                let piece = self.one_of(kind.pieces).as_bytes().to_vec();
                self.repeat(text, range.start, &piece, kind.longest);
            }
            // Behind a sign that often has something behind it.
            8 => {
                let piece = self.one_of(kind.pieces).bytes();
                let signs = kind.before.as_bytes();
                let found = text[range.start..]
                    .iter()
                    .position(|byte| signs.contains(byte));
                let at = found.map_or(text.len(), |found| range.start + found + 1);
                text.splice(at..at, piece);
            }
            _ => (kind.gently)(self, text, kind, texts),
        }
    }

    /// Puts a part in many times over, as far as there is room.
    pub(super) fn repeat(&mut self, text: &mut Vec<u8>, at: usize, part: &[u8], longest: usize) {
        // A text of many equal parts takes longest where something is looked for in all of them.
        let times = 1_usize << self.below(18);
        let room = longest.saturating_sub(text.len()) / part.len().max(1);
        text.splice(at..at, part.repeat(times.min(room)));
    }

    /// Puts a word, a number or what stands in quotes in the place of another one, takes it out, or puts it in once
    /// more.
    pub(super) fn change_token(&mut self, text: &mut Vec<u8>, kind: &Kind, texts: &[Vec<u8>]) {
        let token = self.token(text);
        match self.below(8) {
            0..=3 => {
                let quoted = text.get(token.start) == Some(&b'"') && self.below(8) > 0;
                let value = self.one_of(kind.values);
                let value = if quoted {
                    format!("\"{value}\"")
                } else {
                    value.to_owned()
                };
                text.splice(token, value.bytes());
            }
            4 | 5 => {
                let other = &texts[self.below(texts.len())];
                let part = other[self.token(other)].to_vec();
                text.splice(token, part);
            }
            6 => {
                text.drain(token);
            }
            _ => {
                let part = text[token.clone()].to_vec();
                let other = self.token(text);
                text.splice(other, part);
            }
        }
    }

    /// The next word, number or quoted text from a place on.
    fn token(&mut self, text: &[u8]) -> Range<usize> {
        let from = self.below(text.len());
        let is_word =
            |byte: u8| byte.is_ascii_alphanumeric() || b".-+%#_/\x27".contains(&byte) || byte > 127;
        let starts = |byte: &u8| *byte == b'"' || is_word(*byte);
        let Some(start) = text[from..].iter().position(starts) else {
            return text.len()..text.len();
        };
        let start = from + start;
        let rest = &text[start + 1..];
        let end = if text[start] == b'"' {
            rest.iter()
                .position(|byte| *byte == b'"')
                .map(|end| end + 1)
        } else {
            rest.iter().position(|byte| !is_word(*byte))
        };
        start..start + 1 + end.unwrap_or(rest.len())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn chance_gives_the_published_numbers() {
        // The first numbers of SplitMix64 from the seed 1234567, as the test vectors of its reference give them.
        let mut chance = Chance(1_234_567);
        assert_eq!(
            [chance.next(), chance.next(), chance.next()],
            [
                6_457_827_717_110_365_317,
                3_203_168_211_198_807_973,
                9_817_491_932_198_370_423
            ]
        );
    }
}
