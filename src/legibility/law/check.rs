//! What a point of a rule asks of one decal, what there is, and what would be right.

use super::rules::{Check, FOUNTAIN, Of, Only, Part, Point, Share};
use super::{LawInput, State};
use crate::decal::{Decal, Face};
use crate::legibility::conditions::Light;
use crate::legibility::rules::RULES;
use crate::legibility::{Reader, Viewing, letter_height_for, reach};
use crate::measure::{Length, Unit};

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

/// What a point says; texts are empty where there is nothing to say.
pub(super) struct Finding {
    /// What is required.
    pub asked: String,
    /// What there is.
    pub is: String,
    /// What would be right.
    pub right: String,
    pub state: State,
    /// Where it is not met: that, in a few words.
    pub wrong: String,
}

impl Finding {
    fn new(asked: &str, state: State) -> Self {
        Self {
            asked: asked.to_owned(),
            is: String::new(),
            right: String::new(),
            state,
            wrong: String::new(),
        }
    }

    /// One about words or places; what would be right is said where it is not.
    fn said(asked: &str, met: bool, is: &str, right: &str) -> Self {
        let mut finding = Self::new(asked, State::Met);
        is.clone_into(&mut finding.is);
        if !met {
            finding.state = State::NotMet;
            right.clone_into(&mut finding.right);
            finding.wrong = format!("{is}, right would be {right}");
        }
        finding
    }
}

impl Case<'_> {
    /// What a point says about the decal.
    pub fn find(&self, point: &Point) -> Finding {
        let mut finding = self.check(point.check);
        if !self.is_about(point.only) {
            finding.state = State::NotAsked;
        }
        if finding.state == State::NotAsked {
            finding.is.clear();
            finding.right.clear();
        }
        finding
    }

    fn is_about(&self, only: Only) -> bool {
        match only {
            Only::Any => true,
            Only::Has(characters) => {
                let has = |line: &String| line.chars().any(|letter| characters.contains(&letter));
                self.decal.words().lines().iter().any(has)
            }
            Only::Face(face) => self.decal.face() == face,
            Only::Craft(craft) => self.input.craft == craft,
            Only::Zone(zone) => self.input.zone == zone,
        }
    }

    fn check(&self, check: Check) -> Finding {
        match check {
            Check::Part(part, of, least, most) => self.part(part, of, least, most),
            Check::Series(heights) => self.series(heights),
            Check::Reach(distance) => self.reach(distance),
            Check::Plain(asked) => {
                let met = self.decal.face() != Face::Script;
                let is = if met { "plain letters" } else { "a script" };
                Finding::said(asked, met, is, "plain letters")
            }
            Check::Groups => self.words(
                "Letters, figures and letters in groups set apart by a space or hyphen",
                "groups as in DC 5678 EF",
                is_boat_number,
            ),
            Check::Figures => self.words(
                "Arabic figures or letters, not spelled out",
                "figures, as in 12",
                has_figures,
            ),
            Check::Unswept => {
                let asked = "Outside of what the wipers sweep";
                match self.input.swept {
                    Some(swept) => {
                        let is = if swept { "swept" } else { "not swept" };
                        Finding::said(asked, !swept, is, "not swept")
                    }
                    None => Finding::new(asked, State::Look),
                }
            }
            Check::Contrast(asked) => self.contrast(asked),
            Check::Look(asked) => Finding::new(asked, State::Look),
            Check::Free(asked) => Finding {
                asked: capital(asked),
                right: "another place".to_owned(),
                wrong: asked.to_owned(),
                ..Finding::new("", State::NotMet)
            },
            Check::Other(asked) => Finding::new(asked, State::NotAsked),
        }
    }

    /// A part that is measured against something.
    fn part(&self, part: Part, of: Of, least: Option<Share>, most: Option<Share>) -> Finding {
        let base = self.base(of);
        let exact = least == most;
        let least_is = self.limit(base, least, true);
        let most_is = self.limit(base, most, false);
        let right = match (least_is, most_is) {
            _ if base.is_none() => of.words().to_owned(),
            (None, None) => String::new(),
            (Some(right), None) => right,
            (None, Some(most)) => format!("at most {most}"),
            (Some(right), Some(_)) if exact => right,
            (Some(least), Some(most)) => format!("{least} to {most}"),
        };
        let (noun, high) = part.words();
        let bound = match (least, most) {
            (Some(least), Some(most)) if least != most => {
                format!("{} to {}", share_text(least), share_text(most))
            }
            (Some(share), None) => format!("at least {}", share_text(share)),
            (None, Some(share)) => format!("at most {}", share_text(share)),
            (share, _) => share.map(share_text).unwrap_or_default(),
        };
        let whole = [least, most].contains(&Some((1, 1)));
        let than = match of {
            Of::Fixed(length) => length.text(if length < Length::whole(10, Unit::Ft) {
                self.unit
            } else {
                self.unit.for_distance()
            }),
            _ => of.words().to_owned(),
        };
        let asked = match of {
            Of::Fixed(_) if whole => format!("{noun} {bound}{than}{high}"),
            Of::Fixed(_) => format!("{noun} {bound} of {than}{high}"),
            Of::Table | Of::Street | Of::Mark => format!("{noun}{high} {than}"),
            _ if whole && exact => format!("{noun}: {than}"),
            _ if whole => format!("{noun}: {bound}{than}"),
            _ => format!("{noun}: {bound} of {than}"),
        };
        let mut finding = Finding {
            right,
            ..Finding::new(&capital(&asked), State::NotMeasured)
        };
        let Some(is) = self.measured(part) else {
            return finding;
        };
        let text = self.text(is, false);
        let rough = part == Part::Height && self.decal.is_fitted();
        finding.is = if rough {
            format!("about {text}, worked out")
        } else {
            text
        };
        let Some(base) = base else {
            if of == Of::Street {
                finding.state = State::NotAsked;
            }
            return finding;
        };
        finding.state = if !keeps(is, base, least, most) {
            State::NotMet
        } else if rough {
            // What was worked out by a plain face's proportions is nothing to rely on.
            State::NotMeasured
        } else {
            State::Met
        };
        let Finding { is, right, .. } = &finding;
        finding.wrong = format!("{noun} {is}{high}, {right} needed");
        finding
    }

    /// What a part is measured against; none where that is not known.
    fn base(&self, of: Of) -> Option<Length> {
        let letter = self.decal.letter_height();
        match of {
            Of::Fixed(length) => Some(length),
            Of::Height => Some(letter),
            Of::Width(otherwise) => {
                let width = otherwise.map(|(parts, whole)| letter.scaled_up(parts, whole));
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

    /// A share of what a part is measured against, on the safe side.
    fn limit(&self, base: Option<Length>, share: Option<Share>, up: bool) -> Option<String> {
        let (base, (parts, whole)) = base.zip(share)?;
        let limit = if up {
            base.scaled_up(parts, whole)
        } else {
            Length::from_nm(base.nm() * parts / whole)
        };
        Some(self.text(limit, up))
    }

    /// Letters of one of the heights of a series; the nearest one that is not larger, or the least, is
    /// named.
    fn series(&self, heights: &[i64]) -> Finding {
        let letter = self.decal.letter_height();
        let mut right = Length::ZERO;
        for height in heights {
            let height = Length::from_nm(height * 1_000);
            if right == Length::ZERO || height <= letter {
                right = height;
            }
        }
        let is = self.text(letter, false);
        let right_text = right.text(Unit::Mm);
        let asked = "Letters of a height of the series";
        Finding {
            wrong: format!("letters {is} high, {right_text} would be in the series"),
            ..Finding::said(asked, letter == right, &is, &right_text)
        }
    }

    /// Whether lettering stands out from its ground. The texts give no figure, so that it is for the eye to
    /// say; what is known of it stands beside.
    fn contrast(&self, asked: &str) -> Finding {
        let mut finding = Finding::new(asked, State::Look);
        if let Some(contrast) = self.viewing.contrast {
            let told = contrast.report().lrv_text;
            finding.is = ["light reflectance differs by ", &told].concat();
            "70 % and more is advised".clone_into(&mut finding.right);
        }
        finding
    }

    /// Whether it reads from a distance, by day and in passing.
    fn reach(&self, distance: Length) -> Finding {
        let viewing = Viewing {
            reader: Reader::Passing,
            light: Light::Day,
            light_share: 1.0,
            ..*self.viewing
        };
        let far = self.unit.for_distance();
        let asked = format!("Readable from {} by day, standing", distance.text(far));
        let reads = reach(self.decal, &viewing);
        let step = Length::from_nm(far.nanometres() / 10);
        let is = reads.unwrap_or_default().round_down(step).text(far);
        let needed = letter_height_for(distance, self.decal, &viewing);
        let right = match needed {
            Some(needed) => ["letters ", &self.text(needed, true), " high"].concat(),
            None => "more contrast".to_owned(),
        };
        let met = reads.is_some_and(|reads| reads >= distance);
        let is = ["reads from ", &is].concat();
        Finding {
            wrong: [&is, ", ", &right, " needed"].concat(),
            ..Finding::said(&asked, met, &is, &right)
        }
    }

    /// Words of which one line is as it must be.
    fn words(&self, asked: &str, right: &str, is_right: fn(&str) -> bool) -> Finding {
        let lines = self.decal.words().lines();
        let good = lines.iter().find(|line| is_right(line));
        match good.or(lines.first()) {
            Some(line) => Finding::said(asked, good.is_some(), line, right),
            None => Finding {
                right: right.to_owned(),
                ..Finding::new(asked, State::NotMeasured)
            },
        }
    }

    /// A length in a few figures, exact where those do: sixty-fourths of an inch, or else to 0.001 in
    /// (below an inch to 0.0001 in) or 0.01 mm.
    fn text(&self, length: Length, up: bool) -> String {
        let inch = Unit::In.nanometres();
        let step = match (self.unit.is_imperial(), length.nm() < inch) {
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
        format!("{} {}", length.exact(self.unit), self.unit.symbol())
    }
}

/// Whether a part is at least and at most these shares of a length; where both are the same, to half a
/// percent.
fn keeps(part: Length, base: Length, least: Option<Share>, most: Option<Share>) -> bool {
    let difference = |(parts, whole): Share| part.nm() * whole - base.nm() * parts;
    if let (Some(least), true) = (least, least == most) {
        return difference(least).abs() * 200 <= base.nm() * least.0;
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

/// A text with a capital at its beginning.
fn capital(text: &str) -> String {
    let mut text = text.to_owned();
    if let Some(first) = text.get_mut(..1) {
        first.make_ascii_uppercase();
    }
    text
}

impl Part {
    /// What it is called, and what follows its measure.
    const fn words(self) -> (&'static str, &'static str) {
        match self {
            Self::Height => ("letters", " high"),
            Self::Stroke => ("stroke", ""),
            Self::Width => ("width of an O", ""),
            Self::Gap => ("gap between letters", ""),
            Self::Groups => ("gap between groups", ""),
            Self::TopEdge => ("top", " above the lower edge of the glass"),
            Self::DecalWidth => ("decal", " wide"),
            Self::DecalHeight => ("decal", " high"),
            Self::Own(name) => (name, ""),
        }
    }
}

impl Of {
    const fn words(self) -> &'static str {
        match self {
            Self::Fixed(_) => "",
            Self::Height => "the letter height",
            Self::Width(None) => "as wide as a letter, not an I or 1",
            Self::Width(Some(_)) => "the width of a letter",
            Self::Distance => "the reading distance",
            Self::Table => "as the table asks at the reading distance",
            Self::Street => "by the distance from the street",
            Self::Mark => "enough for these characters and gaps",
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
