//! What a point of a rule asks of one decal, what there is, and what would be right.

use super::rules::{Check, FOUNTAIN, Of, Only, Part, Point, Say, Share};
use super::{LawInput, LawPoint, State, Zone};
use crate::decal::{Decal, Face};
use crate::legibility::conditions::Light;
use crate::legibility::rules::RULES;
use crate::legibility::{Reader, Viewing, figure, letter_height_for, reach};
use crate::measure::{Length, Unit};
use say::say;

/// A decal and what else the points go by.
pub(super) struct Case<'a> {
    pub input: &'a LawInput,
    pub decal: &'a Decal,
    pub viewing: &'a Viewing,
    pub groups: Option<Length>,
    pub street: Option<Length>,
    pub top_edge: Option<Length>,
    /// The unit of sizes in which it is spoken of.
    pub unit: Unit,
}

/// The texts, one behind the other.
#[inline(never)]
fn join(texts: &[&str]) -> String {
    texts.concat()
}

impl Case<'_> {
    /// What a point says about the decal, and, where it is not met, that in a few words.
    pub fn find(&self, point: &Point) -> (LawPoint, String) {
        let mut found = LawPoint {
            asked: String::new(),
            is: String::new(),
            right: String::new(),
            state: State::NotMeasured,
            section: point.section,
            mark: point.mark,
        };
        let mut wrong = String::new();
        match point.check {
            Check::Part(part, of, least, most) => {
                wrong = self.part(part, of, (least, most), &mut found);
            }
            Check::Series(heights) => self.series(heights, &mut found),
            Check::Reach(distance) => self.reach(um(distance), &mut found),
            Check::Said(say, asked, right) => self.said(say, asked, right, &mut found),
        }
        if !self.is_about(point.only) {
            found.state = State::NotAsked;
        }
        match found.state {
            State::NotAsked => {
                found.is.clear();
                found.right.clear();
            }
            State::NotMet if wrong.is_empty() => {
                let (is, right) = (&found.is, &found.right);
                wrong = say!("{is}, right would be {right}");
            }
            _ => {}
        }
        (found, wrong)
    }

    fn is_about(&self, only: Only) -> bool {
        match only {
            Only::Any => true,
            Only::Has(characters) => {
                let mut letters = self
                    .decal
                    .words()
                    .lines()
                    .iter()
                    .flat_map(|line| line.bytes());
                letters.any(|letter| characters.bytes().any(|other| other == letter))
            }
            Only::Face(face) => self.decal.face() == face,
            Only::Craft(craft) => self.input.craft == craft,
            Only::Zone(zone) => self.input.zone == zone,
        }
    }

    /// A point that no measure tells.
    fn said(&self, say: Say, asked: &str, right: &str, found: &mut LawPoint) {
        asked.clone_into(&mut found.asked);
        right.clone_into(&mut found.right);
        let lines = self.decal.words().lines();
        let (is, met) = match say {
            Say::Look => return found.state = State::Look,
            Say::Contrast => return self.contrast(found),
            Say::Other => return found.state = State::NotAsked,
            Say::Free => (say!("in the way"), false),
            Say::Plain if self.decal.face() == Face::Script => (say!("a script"), false),
            // Where the width was measured, that is judged by itself.
            Say::Plain if self.decal.letter_width().is_none() && self.decal.is_narrow() => {
                (say!("squeezed letters"), false)
            }
            Say::Plain => (say!("plain letters"), true),
            Say::Swept => match self.input.screen {
                Some(Zone::Swept) => (say!("swept"), false),
                Some(_) => (say!("not swept"), true),
                None => return found.state = State::Look,
            },
            Say::Groups | Say::Figures => {
                let is_right = if say == Say::Groups {
                    is_boat_number
                } else {
                    has_figures
                };
                let good = lines.iter().find(|line| is_right(line));
                match good.or(lines.first()) {
                    Some(line) => (line.as_str(), good.is_some()),
                    None => return,
                }
            }
        };
        found.is(is, met);
    }

    /// A part that is measured against something.
    fn part(
        &self,
        part: Part,
        of: Of,
        (least, most): (Option<Share>, Option<Share>),
        found: &mut LawPoint,
    ) -> String {
        let base = self.base(of);
        found.asked = self.asked(part, of, least, most);
        found.right = match base {
            Some(base) => self.right(base, least, most),
            None => of.words().to_owned(),
        };
        if of == Of::Street && base.is_none() {
            found.state = State::NotAsked;
        }
        let Some(is) = self.measured(part) else {
            return String::new();
        };
        found.is = self.text(is, false);
        let rough = part == Part::Height && self.decal.is_fitted();
        if rough {
            found.is = say!("about {size}, worked out", size = found.is);
        }
        let Some(base) = base else {
            return String::new();
        };
        if !keeps(is, base, least, most) {
            found.state = State::NotMet;
            return part.wrong(&found.is, &found.right);
        }
        // What was worked out by a plain face's proportions is nothing to rely on, nor is the least of a
        // table by distance where no distance is known.
        let unsure = rough || (of == Of::Table && self.viewing.distance.is_none());
        if !unsure {
            found.state = State::Met;
        }
        String::new()
    }

    /// What is asked of a part. Of parts that are held against a length of their own, letters are at least or at
    /// most so high, strokes at least so wide, and all else is at most so much.
    fn asked(&self, part: Part, of: Of, least: Option<Share>, most: Option<Share>) -> String {
        let [low, high] = [least, most].map(|share| share.map(share_text).unwrap_or_default());
        let bound = match of {
            Of::Fixed(length) => {
                let unit = if length < 1_000_000 {
                    self.unit
                } else {
                    self.unit.for_distance()
                };
                let length = um(length).text(unit);
                return match part {
                    Part::Height if most.is_some() => say!("Letters at most {length} high"),
                    Part::Height if low.is_empty() => say!("Letters at least {length} high"),
                    Part::Height => say!("Letters at least {low} of {length} high"),
                    Part::TopEdge => {
                        say!("Top at most {length} above the lower edge of the glass")
                    }
                    Part::DecalWidth => say!("Decal at most {length} wide"),
                    Part::DecalHeight => say!("Decal at most {length} high"),
                    _ => say!("{part} at least {length}", part = part.words()),
                };
            }
            Of::Table => {
                return say!("Letters high as the table asks at the reading distance").to_owned();
            }
            Of::Street => return say!("Letters high by the distance from the street").to_owned(),
            Of::Mark => return say!("Decal wide enough for these characters and gaps").to_owned(),
            Of::Height if least == most => say!("{low} of the letter height"),
            Of::Height if least.is_none() => say!("at most the letter height").to_owned(),
            Of::Height => say!("{low} to {high} of the letter height"),
            Of::Width(Some(_)) => say!("at least {low} of the width of a letter"),
            Of::Distance => say!("at least {low} of the reading distance"),
            Of::Width(None) => of.words().to_owned(),
        };
        join(&[part.words(), ": ", &bound])
    }

    /// What would be right of a part, on the safe side.
    fn right(&self, base: Length, least: Option<Share>, most: Option<Share>) -> String {
        let limit = |share, up| self.text(times(base, share, up), up);
        match (least, most) {
            (Some(low), Some(high)) if low != high => {
                let (low, high) = (limit(low, true), limit(high, false));
                say!("{low} to {high}")
            }
            (Some(low), _) => limit(low, true),
            (None, Some(high)) => say!("at most {high}", high = limit(high, false)),
            (None, None) => String::new(),
        }
    }

    /// What a part is measured against; none where that is not known.
    fn base(&self, of: Of) -> Option<Length> {
        let letter = self.decal.letter_height();
        match of {
            Of::Fixed(length) => Some(um(length)),
            Of::Height => Some(letter),
            Of::Width(otherwise) => {
                let width = otherwise.map(|share| times(letter, share, true));
                self.decal.letter_width().or(width)
            }
            Of::Distance => self.viewing.distance,
            Of::Table => {
                let table = RULES.iter().find(|rule| rule.id == "ada-703.5.5")?;
                let distance = self.viewing.distance.unwrap_or_default();
                Some(table.scale(self.viewing).height(distance))
            }
            Of::Street => {
                let street = self.street?;
                let (_, inches) = FOUNTAIN.iter().find(|(up_to, _)| street <= *up_to)?;
                Some(Length::whole(*inches, Unit::In))
            }
            Of::Mark => {
                let lines = self.decal.words().lines().iter();
                let sixths = lines.map(|line| mark_length(line)).max()?;
                Some(letter.scaled_up(sixths, 6))
            }
        }
    }

    const fn measured(&self, part: Part) -> Option<Length> {
        match part {
            Part::Height => Some(self.decal.letter_height()),
            Part::Stroke => self.decal.stroke(),
            Part::Width => self.decal.letter_width(),
            Part::Gap => self.decal.letter_gap(),
            Part::Groups => self.groups,
            Part::TopEdge => self.top_edge,
            Part::DecalWidth => Some(self.decal.width()),
            Part::DecalHeight => Some(self.decal.height()),
            Part::Own(_) => None,
        }
    }

    /// Letters of one of the heights of a series; the nearest one that is not larger, or the least, is
    /// named.
    fn series(&self, heights: &[i32], found: &mut LawPoint) {
        let letter = self.decal.letter_height();
        let mut right = Length::ZERO;
        for height in heights {
            let height = um(*height);
            if right == Length::ZERO || height <= letter {
                right = height;
            }
        }
        say!("Letters of a height of the series").clone_into(&mut found.asked);
        found.right = right.text(Unit::Mm);
        let is = say!("letters {height} high", height = self.text(letter, false));
        found.is(&is, letter == right);
    }

    /// Whether lettering stands out from its ground. The texts give no figure, so that it is for the eye to
    /// say; what is known of it stands beside.
    fn contrast(&self, found: &mut LawPoint) {
        found.state = State::Look;
        if let Some(contrast) = self.viewing.contrast {
            let contrast = contrast.report().lrv_text;
            found.is = say!("light reflectance differs by {contrast}");
            say!("70 % and more is advised").clone_into(&mut found.right);
        }
    }

    /// Whether it reads from a distance, by day and in passing.
    fn reach(&self, distance: Length, found: &mut LawPoint) {
        let viewing = Viewing {
            reader: Reader::Passing,
            light: Light::Day,
            light_share: 1.0,
            ..*self.viewing
        };
        let far = self.unit.for_distance();
        found.asked = say!(
            "Readable from {distance} by day, standing",
            distance = distance.text(far)
        );
        let reads = reach(self.decal, &viewing);
        let parts = if far == Unit::Ft { 1 } else { 10 };
        let step = Length::from_nm(far.nanometres() / parts);
        let is = reads.unwrap_or_default().round_down(step).text(far);
        let is = say!("reads from {is}");
        found.right = match letter_height_for(distance, self.decal, &viewing) {
            Some(needed) => {
                // An estimate, and no limit of a text: a step of a ruler up.
                let shown = figure::shown(needed, self.decal.letter_height(), self.unit);
                say!("letters {height} high", height = shown.text(self.unit))
            }
            None => say!("more contrast").to_owned(),
        };
        let met = reads.is_some_and(|reads| reads >= distance);
        found.is(&is, met);
    }

    /// A length in a few figures, exact where those do: sixty-fourths of an inch, or else to 0.001 in
    /// (below an inch to 0.0001 in) or 0.01 mm (below 2 mm to 0.001 mm). Half a percent is more than that.
    fn text(&self, length: Length, up: bool) -> String {
        let inch = Unit::In.nanometres();
        let step = match (self.unit.is_imperial(), length.nm() < inch) {
            (false, _) if length.nm() < 2_000_000 => 1_000,
            (false, _) => 10_000,
            (true, _) if length.nm() % (inch / 64) == 0 => 1,
            (true, true) => 2_540,
            (true, false) => 25_400,
        };
        let step = Length::from_nm(step);
        let length = if up {
            length.round_up(step)
        } else {
            length.round_down(step)
        };
        join(&[&length.exact(self.unit), " ", self.unit.symbol()])
    }
}

/// So many micrometres.
fn um(count: i32) -> Length {
    Length::from_nm(i64::from(count) * 1_000)
}

/// A share of a length, rounded up or down to a nanometre.
fn times(length: Length, (parts, whole): Share, up: bool) -> Length {
    let (parts, whole) = (i64::from(parts), i64::from(whole));
    if up {
        length.scaled_up(parts, whole)
    } else {
        Length::from_nm(length.nm() * parts / whole)
    }
}

/// Whether a part is at least and at most these shares of a length; where both are the same, to half a
/// percent.
fn keeps(part: Length, base: Length, least: Option<Share>, most: Option<Share>) -> bool {
    let difference =
        |(parts, whole): Share| part.nm() * i64::from(whole) - base.nm() * i64::from(parts);
    if let (Some(least), true) = (least, least == most) {
        return difference(least).abs() * 200 <= base.nm() * i64::from(least.0);
    }
    least.is_none_or(|share| difference(share) >= 0)
        && most.is_none_or(|share| difference(share) <= 0)
}

/// A share before what it is of: `1/6`, `10 %`; nothing for the whole.
fn share_text((parts, whole): Share) -> String {
    match whole {
        1 => String::new(),
        100 => format!("{parts} %"),
        _ => format!("{parts}/{whole}"),
    }
}

impl LawPoint {
    /// Says what there is, and whether that is right; nothing else needs to be then.
    fn is(&mut self, is: &str, met: bool) {
        is.clone_into(&mut self.is);
        self.state = State::NotMet;
        if met {
            self.state = State::Met;
            self.right.clear();
        }
    }
}

impl Part {
    /// What it is called.
    const fn words(self) -> &'static str {
        match self {
            Self::Height => say!("Letters"),
            Self::Stroke => say!("Stroke"),
            Self::Width => say!("Width of an O"),
            Self::Gap => say!("Gap between letters"),
            Self::Groups => say!("Gap between groups"),
            Self::TopEdge => say!("Upper edge"),
            Self::DecalWidth => say!("Width of the decal"),
            Self::DecalHeight => say!("Height of the decal"),
            Self::Own(name) => name,
        }
    }

    /// That it is so much, and not what would be right.
    fn wrong(self, is: &str, right: &str) -> String {
        match self {
            Self::Height => say!("letters {is} high, {right} needed"),
            Self::Stroke => say!("stroke {is}, {right} needed"),
            Self::Width => say!("width of an O {is}, {right} needed"),
            Self::Gap => say!("gap between letters {is}, {right} needed"),
            Self::Groups => say!("gap between groups {is}, {right} needed"),
            Self::TopEdge => say!("top {is} above the lower edge of the glass, {right} needed"),
            Self::DecalWidth => say!("decal {is} wide, {right} needed"),
            Self::DecalHeight => say!("decal {is} high, {right} needed"),
            // Nothing of these is measured.
            Self::Own(_) => String::new(),
        }
    }
}

impl Of {
    /// What would be right where the length is not known that it goes by.
    const fn words(self) -> &'static str {
        match self {
            Self::Width(None) => say!("as wide as a letter, not an I or 1"),
            Self::Distance => say!(in "what it goes by": "the reading distance"),
            Self::Street => say!("by the distance from the street"),
            Self::Mark => say!("enough for these characters and gaps"),
            // These lengths are known of every decal.
            Self::Fixed(_) | Self::Height | Self::Width(Some(_)) | Self::Table => "",
        }
    }
}

/// Whether a line is two letters, up to four figures and up to two letters, set apart by spaces or a
/// hyphen; a tender has a figure more (33 CFR 173.27; how many there are of each, 33 CFR 174.23, from
/// memory).
fn is_boat_number(line: &str) -> bool {
    let letters = |group: &str, least: usize| {
        group.len() >= least && group.len() <= 2 && group.bytes().all(|c| c.is_ascii_uppercase())
    };
    let figures = |group: &str| group.len() <= 4 && group.bytes().all(|c| c.is_ascii_digit());
    let mut groups = ["", "", "", ""];
    let mut count = 0;
    for group in line.split([' ', '-', '\u{2010}', '\u{2011}', '\u{2013}']) {
        if group.is_empty() {
            continue;
        }
        let Some(place) = groups.get_mut(count) else {
            return false;
        };
        *place = group;
        count += 1;
    }
    let [state, number, suffix, tender] = groups;
    count >= 3 && letters(state, 2) && figures(number) && letters(suffix, 1) && figures(tender)
}

/// Whether a line has a figure, or is letters each for itself.
fn has_figures(line: &str) -> bool {
    let mut words = line.split_ascii_whitespace();
    line.bytes().any(|c| c.is_ascii_digit())
        || words.all(|word| word.len() == 1 && word.bytes().all(|c| c.is_ascii_alphabetic()))
}

/// The least length of an aircraft's mark in sixths of its height: two thirds for a character, a sixth
/// for a 1, a sixth between two of them.
fn mark_length(line: &str) -> i64 {
    let mut sixths = 0;
    for character in line.chars() {
        let wide = match character {
            ' ' | '-' => continue,
            '1' => 1,
            _ => 4,
        };
        sixths += if sixths > 0 { wide + 1 } else { wide };
    }
    sixths
}
