//! Whether a piece keeps a limit; if not, why, and what would make it so.

use super::rules::{Limit, MANNERS};
use super::{Misfit, PostChange, Stiffness};
use crate::measure::{Length, Unit, Weight, decimals};
use say::say;

/// A packed piece.
#[derive(Clone, Copy, Debug)]
pub(super) struct Piece {
    /// Its sides with the members of the input that they stand in, the longest first.
    pub sides: [(Length, &'static str); 3],
    /// None where it is not known.
    pub weight: Option<Weight>,
    pub stiff: Stiffness,
    /// Whether it is in the right one of each of the [`MANNERS`].
    pub manners: [bool; 4],
    /// The unit in which it is spoken of.
    pub unit: Unit,
}

impl Piece {
    /// Sorts the sides, of which two may have changed places.
    pub fn sorted(mut self) -> Self {
        let longer = |a: (Length, _), b: (Length, _)| if a.0 < b.0 { (b, a) } else { (a, b) };
        let [first, second, third] = self.sides;
        let (first, second) = longer(first, second);
        let (second, third) = longer(second, third);
        let (first, second) = longer(first, second);
        self.sides = [first, second, third];
        self
    }

    /// The lengths of the sides.
    pub fn lengths(&self) -> [Length; 3] {
        self.sides.map(|(length, _)| length)
    }

    /// What is wrong with it by these limits.
    pub fn misfits(&self, limits: &[Limit]) -> Vec<Misfit> {
        let misfits = limits.iter().filter_map(|limit| self.misfit(*limit));
        misfits.collect()
    }

    /// The piece with these changes, as they are written.
    pub fn changed(mut self, misfits: &[Misfit]) -> Self {
        for change in misfits.iter().flat_map(|misfit| &misfit.changes) {
            let to = change.to.as_str();
            for (length, member) in &mut self.sides {
                if *member == change.member {
                    *length = Length::parse(to, self.unit).unwrap_or(*length);
                }
            }
            for (manner, kept) in MANNERS.iter().zip(&mut self.manners) {
                *kept |= manner.member == change.member;
            }
            match change.member {
                "weight" => self.weight = Weight::parse(to, self.unit.is_imperial()).ok(),
                "stiff" if to == "easy" => self.stiff = Stiffness::Easy,
                "stiff" => self.stiff = Stiffness::Little,
                _ => {}
            }
        }
        self.sorted()
    }

    fn misfit(&self, limit: Limit) -> Option<Misfit> {
        let [length, width, thickness] = self.lengths();
        match limit {
            Limit::Face {
                least,
                thin,
                tolerance,
            } => self.small(least, thin, tolerance),
            Limit::Most(most) => self.large(most),
            Limit::Thin(least) => self.thin(least, false),
            Limit::ThinForSize {
                thick,
                over: [long, wide],
            } => (length > long || width > wide)
                .then(|| self.thin(thick, true))
                .flatten(),
            Limit::Thick(most) => (thickness > most).then(|| {
                let to = safe(most, self.unit, false);
                let wrong = say!(
                    "too thick: {is} where at most {most}",
                    is = self.text(thickness, true),
                    most = self.text(to, false)
                );
                let cure = say!(
                    "make it {length} thinner",
                    length = self.text(thickness - to, true)
                );
                Misfit::new(wrong, cure, vec![self.side(2, to, false)])
            }),
            Limit::Heavy(most) => self.heavy(most),
            Limit::Round(times, most) => self.round(times, most),
            Limit::Aspect => self.aspect(),
            Limit::Bends(most) => (self.stiff > most).then(|| stiff(most)),
            Limit::Manner(place, thin) => {
                let manner = MANNERS.get(place)?;
                let kept = self.manners.get(place).copied().unwrap_or(true);
                if kept || thin.is_some_and(|thin| thickness > thin) {
                    return None;
                }
                Some(said(manner.wrong, manner.cure, manner.member, manner.right))
            }
        }
    }

    fn small(
        &self,
        [long, wide]: [Length; 2],
        thin: Option<Length>,
        tolerance: Length,
    ) -> Option<Misfit> {
        let [length, width, thickness] = self.lengths();
        if thin.is_some_and(|thin| thickness > thin)
            || (length + tolerance >= long && width + tolerance >= wide)
        {
            return None;
        }
        let least = self.face([long, wide], true);
        let is = self.face([length, width], false);
        let wrong = say!("too small: {is} where at least {least}");
        let cure = match thin {
            None => say!("use a mailer of at least {least}"),
            Some(thin) => say!(
                "use a mailer of at least {least}, or make it thicker than {thickness}",
                thickness = self.text(thin, true)
            ),
        };
        let mut changes = Vec::new();
        for (place, is, to) in [(0, length, long), (1, width, wide)] {
            if is < to {
                changes.push(self.side(place, to, true));
            }
        }
        Some(Misfit::new(wrong, cure, changes))
    }

    fn large(&self, [long, wide]: [Length; 2]) -> Option<Misfit> {
        let [length, width, _] = self.lengths();
        let mut changes = Vec::new();
        for (place, is, to) in [(0, length, long), (1, width, wide)] {
            if is > to {
                changes.push(self.side(place, to, false));
            }
        }
        if changes.is_empty() {
            return None;
        }
        let most = self.face([long, wide], false);
        let is = self.face([length, width], true);
        let wrong = say!("too large: {is} where at most {most}");
        let cure = say!("use a mailer of at most {most}");
        Some(Misfit::new(wrong, cure, changes))
    }

    /// Whether it is as thick as that, which may be asked `for_size`.
    fn thin(&self, least: Length, for_size: bool) -> Option<Misfit> {
        let [.., thickness] = self.lengths();
        if thickness >= least {
            return None;
        }
        let to = safe(least, self.unit, true);
        let (is, least) = (self.text(thickness, false), self.text(to, true));
        let wrong = if for_size {
            say!("too thin for its size: {is} where at least {least}")
        } else {
            say!("too thin: {is} where at least {least}")
        };
        let cure = say!(
            "make it {length} thicker",
            length = self.text(to - thickness, true)
        );
        Some(Misfit::new(wrong, cure, vec![self.side(2, to, true)]))
    }

    fn heavy(&self, most: Weight) -> Option<Misfit> {
        let weight = self.weight.filter(|weight| *weight > most)?;
        let to = most.text(self.unit, false);
        let least = Weight::parse(&to, self.unit.is_imperial()).unwrap_or(most);
        let is = weight.text(self.unit, true);
        let lighter = Weight::from_ng(weight.ng() - least.ng()).text(self.unit, true);
        let wrong = say!("too heavy: {is} where at most {most}", most = to);
        let cure = say!("make it {weight} lighter", weight = lighter);
        let changes = vec![PostChange {
            member: "weight",
            to,
        }];
        Some(Misfit::new(wrong, cure, changes))
    }

    fn round(&self, times: i64, most: Length) -> Option<Misfit> {
        let [length, width, thickness] = self.lengths();
        let round = length + (width + thickness) * times;
        if round <= most {
            return None;
        }
        let over = round - most;
        let (is, most) = (self.text(round, true), self.text(most, false));
        let wrong = if times == 1 {
            say!("too large: length, width and thickness come to {is} where at most {most}")
        } else {
            say!("too large: length and girth come to {is} where at most {most}")
        };
        let cure = say!("make it {length} shorter", length = self.text(over, true));
        let mut changes = Vec::new();
        if over < length {
            changes.push(self.side(0, length - over, false));
        }
        Some(Misfit::new(wrong, cure, changes))
    }

    /// A face that is too near to a square, or too long; a larger mailer is named, for what goes into
    /// it stays as large as it is.
    fn aspect(&self) -> Option<Misfit> {
        let unit = self.unit;
        let [length, width, _] = self.lengths();
        let grain = if unit.is_imperial() {
            Length::inches(1, 16)
        } else {
            Length::whole(1, Unit::Mm)
        };
        let square = length * 10 < width * 13;
        if !square && length * 10 <= width * 25 {
            return None;
        }
        let ratio = decimals(length.to_f64(unit) / width.to_f64(unit), 4);
        let (wrong, place, to) = if square {
            let to = width.scaled_up(13, 10).round_up(grain);
            (say!("aspect ratio {ratio}, under 1.3"), 0, to)
        } else {
            let to = length.scaled_up(10, 25).round_up(grain);
            (say!("aspect ratio {ratio}, over 2.5"), 1, to)
        };
        let (long, wide) = if square { (to, width) } else { (length, to) };
        let cure = say!(
            "use a mailer of {size}",
            size = self.face([long, wide], true)
        );
        Some(Misfit::new(wrong, cure, vec![self.side(place, to, true)]))
    }

    fn text(&self, length: Length, up: bool) -> String {
        with_unit(length, self.unit, up)
    }

    fn face(&self, sides: [Length; 2], up: bool) -> String {
        let [long, wide] = sides.map(|side| number(side, self.unit, up));
        format!("{long} × {wide} {}", self.unit.for_size().symbol())
    }

    /// A side changed to a limit, on the safe side of it.
    fn side(&self, place: usize, to: Length, up: bool) -> PostChange {
        let member = self.sides.get(place).map_or("", |(_, member)| *member);
        PostChange {
            member,
            to: self.text(to, up),
        }
    }
}

impl Misfit {
    const fn new(text: String, cure: String, changes: Vec<PostChange>) -> Self {
        Self {
            text,
            cure,
            changes,
        }
    }
}

/// A misfit with one change, said in fixed words.
fn said(wrong: &str, cure: &str, member: &'static str, to: &str) -> Misfit {
    let to = to.to_owned();
    let changes = vec![PostChange { member, to }];
    Misfit::new(wrong.to_owned(), cure.to_owned(), changes)
}

fn stiff(most: Stiffness) -> Misfit {
    let (wrong, cure, to) = if most == Stiffness::Easy {
        (
            say!("too stiff: it must bend easily, as the belts of a sorting machine bend it"),
            say!("leave the board out, or use a board and a mailer that bend easily"),
            "easy",
        )
    } else {
        (
            say!("too stiff: it must bend by 1 in at least"),
            say!("use a board and a mailer that bend by 1 in"),
            "little",
        )
    };
    said(wrong, cure, "stiff", to)
}

/// The nearest length on that side which can be written in a few figures: to 0.001 in, below an inch to
/// 0.0001 in, or to 0.01 mm.
fn safe(length: Length, unit: Unit, up: bool) -> Length {
    let inch = Length::whole(1, Unit::In);
    let step = match (unit.is_imperial(), length < inch) {
        (false, _) => 10_000,
        (true, true) => 2_540,
        (true, false) if length.nm() % (inch.nm() / 64) == 0 => 1,
        (true, false) => 25_400,
    };
    let step = Length::from_nm(step);
    if up {
        length.round_up(step)
    } else {
        length.round_down(step)
    }
}

/// The number of such a length: a fraction from an inch on, decimals below, for thickness is measured
/// so.
fn number(length: Length, unit: Unit, up: bool) -> String {
    let length = safe(length, unit, up);
    if unit.is_imperial() && length < Length::whole(1, Unit::In) {
        decimals(length.to_f64(Unit::In), 4)
    } else {
        length.exact(unit.for_size())
    }
}

/// The same with its unit.
pub(super) fn with_unit(length: Length, unit: Unit, up: bool) -> String {
    format!("{} {}", number(length, unit, up), unit.for_size().symbol())
}
