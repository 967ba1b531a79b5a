//! Lettering that moves past its reader, or whose reader moves past it: for how long it can be read,
//! against how long its words take.
//!
//! D is how far it reads straight on, o how far aside the path of the reader runs, v how fast the two
//! come closer.
//!
//! - A surface that faces the reader (a board across the road, a vehicle that comes closer) reads
//!   from D on until the reader would have to look away from the path by more than 15 degrees, which is
//!   at o / tan 15°: for (D − o / tan 15°) / v.
//! - A surface along the path (a shop window, the side of a parked car) is seen from s before or behind
//!   it over √(o² + s²), and its letters are narrowed by the cosine of the angle off the perpendicular,
//!   o / √(o² + s²). A reach that shrinks like that cosine allows o² + s² ≤ D o, s up to √(o (D − o)):
//!   none from o = D on, most at o = D / 2. Who walks reads before it and behind it, twice that stretch.
//!   Who drives reads while it comes, and turns the head by 30 degrees at most, which is s = o √3: for
//!   (√(o (D − o)) − o √3) / v.
//! - Behind a vehicle it reads as long as D is not less than the distance kept.

mod industry;
mod reading;

use super::rules::Mark;
use super::{LegibilityInput, Viewing, figure as rounded, governing, letter_height_for, reach};
use crate::decal::{Decal, size_text};
use crate::error::{Checks, Code, InputError, InputErrors};
use crate::input::read_by_members;
use crate::measure::{
    Count, Length, LengthInput, Measured, NumberInput, Range, Speed, Time, Unit, decimals,
    optional, required, seconds,
};
use reading::text as time;
pub use reading::{ReadingTime, WordLimit};
use say::say;
use serde::{Deserialize, Serialize};

/// How reader and lettering pass each other.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Deserialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "camelCase")]
pub enum Way {
    /// On foot past a surface along the path.
    #[default]
    Walking,
    /// In traffic behind it.
    Following,
    /// Towards it while it comes closer too.
    Oncoming,
    /// Behind it at a light.
    Light,
    /// Past a board that faces the traffic.
    Board,
    /// Past a surface along the road.
    Wall,
}

read_by_members! {
    /// What is asked about lettering in motion. A speed is a text with its unit, or in miles an hour beside
    /// inches and feet, otherwise in kilometres an hour.
    #[derive(Clone, Debug, Default, PartialEq)]
    pub struct MovingInput {
        /// The decal and who reads it.
        pub legibility: LegibilityInput,
        /// How they pass each other.
        pub way: Way = default,
        /// The reader's speed; not asked for at a light.
        pub speed: Option<NumberInput> = default,
        /// The speed of the oncoming lettering; as fast as the reader if left out.
        pub other_speed: Option<NumberInput> = default,
        /// How far the lettering is aside of the reader's path, or of the kerb where lanes are counted. A
        /// bare text counts in feet or metres.
        pub aside: Option<LengthInput> = default,
        /// From the reader to the lettering ahead, likewise. Left out it is two seconds of travel, at a light
        /// 20 ft or 6 m.
        pub gap: Option<LengthInput> = default,
        /// Seconds that they stand at a light; 20 if left out.
        pub wait: Option<NumberInput> = default,
        /// How many words there are; those of the lettering if left out.
        pub words: Option<Count> = default,
        /// Lanes between the kerb and the reader, of 10 ft each, for lettering along the road; 2 if left out.
        pub lanes: Option<Count> = default,
        /// Seconds to see a sign, read it and act, for the sign industry's reckoning; 10 if left out.
        pub reaction: Option<NumberInput> = default,
        /// Feet that an inch of letter height serves there, from 1 to 100; 25 for capitals and 29 for small
        /// letters if left out.
        pub index: Option<Count> = default,
    }
}

/// Whether lettering in motion can be read.
///
/// `value`s are not rounded; texts are, to the safe side where a size or a speed depends on them.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "camelCase")]
pub struct MovingReport {
    /// The unit of every length here.
    pub unit: Unit,
    /// Whether the words can be read in the time there is.
    pub enough: bool,
    /// The time in which it is legible, for people.
    pub headline: String,
    /// That time against what the words take, in a sentence.
    pub verdict: String,
    /// What this message needs, and what this lettering serves.
    pub advice: String,
    /// Seconds in which it is legible; none where there is no end to them.
    pub seconds: Option<f64>,
    /// Seconds that the words take by the rule that counts.
    pub needed_seconds: f64,
    /// The words that are to be read.
    pub words: u32,
    /// The most words that can be read in that time; none where it has no end.
    pub most_words: Option<u32>,
    /// Each figure, with what it comes from.
    pub figures: Vec<MovingFigure>,
    /// How long the words take by each rule.
    pub readings: Vec<ReadingTime>,
    /// How many words a driver is asked for at most; nothing for those who do not drive.
    pub limits: Vec<WordLimit>,
    /// What the sign industry asks of a sign that is read from the road; nothing for other ways.
    pub industry: Vec<MovingFigure>,
    /// What was taken for granted.
    pub assumptions: Vec<&'static str>,
    /// What counts more than this answer.
    pub caution: &'static str,
}

/// A figure of the answer.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
pub struct MovingFigure {
    /// Short name for programs; stable.
    pub id: &'static str,
    /// What the figure says, in a few words for people.
    pub label: &'static str,
    /// The figure: a length in the unit of the report, an area in its square, a speed in miles or
    /// kilometres an hour.
    pub value: f64,
    /// The figure for people, with its unit.
    pub text: String,
    /// The publication or rule that it comes from.
    pub source: &'static str,
    /// How surely that is known.
    pub mark: Mark,
}

fn figure(
    id: &'static str,
    label: &'static str,
    (value, text): (f64, String),
    source: &'static str,
    mark: Mark,
) -> MovingFigure {
    MovingFigure {
        id,
        label,
        value,
        text,
        source,
        mark,
    }
}

/// The tangent of the angle by which a driver turns to a sign along the road, from the perpendicular: 60
/// degrees, √3.
const TURNED: f64 = 1.732_050_807_568_877_2;
/// The angle by which nobody looks away from the road: 15 degrees, whose tangent is 2 − √3.
const LOOK_AWAY: f64 = 0.267_949_192_431_122_7;
/// Seconds of travel between two vehicles.
const APART: i32 = 2;
/// Offsets of readers, and distances from vehicle to vehicle.
const ASIDE: Range = Range::up_to(Length::whole(1_000, Unit::M));
/// A surface along the path is not read from the path itself.
const ALONG: Range = Range::new(Length::whole(10, Unit::Cm), Length::whole(1_000, Unit::M));

/// Where the figures about a way come from, and what they presume.
struct Course {
    source: &'static str,
    mark: Mark,
    assumption: &'static str,
}

/// On surfaces along the path; what was measured was looked up at
/// <https://www.yumpu.com/en/document/view/31414187/an-evidence-based-model-sign-code-college-of-design-/23>.
static ALONGSIDE: Course = Course {
    source: say!(
        "Geometry: o² + s² up to D × o, as the cosine narrows letters that are seen from the side"
    ),
    mark: Mark::Derived,
    assumption: say!(
        "They read before it and behind it. The letters are taken to reach less far as they are narrowed, by the cosine of the angle \
         off the perpendicular. Measured readers kept all of it to 70° (Griffin and Bailey 2002, \
         Garvey and others 2002, as cited in An Evidence Based Model Sign Code): the cosine is \
         the cautious figure."
    ),
};
/// On the same for a driver.
static ALONG_ROAD: Course = Course {
    source: say!(
        "Geometry as for those who walk; a sign along the road is read from up to 30° off the line of \
         travel (United States Sign Council)"
    ),
    mark: Mark::FromMemory,
    assumption: say!(
        "Only the way up to it counts, and no driver turns by more than 30° from the road. The \
         letters reach less far as they are narrowed, by the cosine of the angle off the \
         perpendicular. The sign industry's formula asks for far less: it looks neither at speed \
         and words nor at eyes."
    ),
};
/// On surfaces that face the reader; looked up at
/// <https://en.wikisource.org/wiki/Page:Traffic_Signs_for_Motorways_(1962).pdf/18>.
static FACING: Course = Course {
    source: say!(
        "Traffic Signs for Motorways (Anderson committee), 1962, paragraphs 19 to 21: at most 15° off the \
         road"
    ),
    mark: Mark::LookedUp,
    assumption: say!(
        "It faces the reader, and is read from where it becomes legible to where they would have \
         to look away from the path by more than 15°."
    ),
};
/// On vehicles ahead in traffic.
static AHEAD: Course = Course {
    source: say!("Two seconds of travel between two vehicles"),
    mark: Mark::CommonPractice,
    assumption: say!(
        "It is on the back of the vehicle ahead. A driver has only glances for it, of two seconds \
         at most (from memory)."
    ),
};
/// On vehicles ahead at a light.
static STANDING: Course = Course {
    source: say!("20 ft (6 m): a car's length between them and the bonnet"),
    mark: Mark::CommonPractice,
    assumption: say!(
        "It is on the back of the vehicle ahead, and nobody moves meanwhile. 20 s at a light are \
         common practice, no source."
    ),
};

/// Where figures come from that were typed.
const OWN_ENTRY: (&str, Mark) = (say!("Your entry"), Mark::Derived);
/// Where the reach of the lettering comes from.
const REACH: &str = say!("The rule that governs under Readable from");
/// Where figures come from that serve the time of reading; the rules that count for it are from memory.
const BY_READING: &str = say!("The path, and the time of reading that counts");
/// Presumed in every answer.
const STRAIGHT: &str = say!(
    "The path is straight and level, the speed stays the same, and nothing stands between. \
     Lettering sways with a boat or a trailer, and reads for less time then."
);
/// Said of every answer.
const CAUTION: &str = say!(
    "Who drives should watch the road, not read: lettering for drivers is short, large and \
     never in their view of the road. What may be stuck to a vehicle or put up beside a \
     road, the local rules say first."
);

/// How they pass each other, in metres and seconds.
struct Trip {
    way: Way,
    /// How fast they come closer.
    speed: f64,
    aside: f64,
    /// From reader to lettering, where one is ahead of the other.
    gap: f64,
    wait: f64,
}

impl Trip {
    const fn course(&self) -> &'static Course {
        match self.way {
            Way::Walking => &ALONGSIDE,
            Way::Wall => &ALONG_ROAD,
            Way::Oncoming | Way::Board => &FACING,
            Way::Following => &AHEAD,
            Way::Light => &STANDING,
        }
    }

    /// How much of the path lettering of this reach can be read on; none where one is ahead of the other.
    fn stretch(&self, reach: f64) -> Option<f64> {
        let along = || (self.aside * (reach - self.aside)).max(0.0).sqrt();
        match self.way {
            Way::Walking => Some(2.0 * along()),
            Way::Wall => Some((along() - self.aside * TURNED).max(0.0)),
            Way::Oncoming | Way::Board => Some((reach - self.look_away()).max(0.0)),
            Way::Following | Way::Light => None,
        }
    }

    /// The distance at which the reader has to look away too far.
    fn look_away(&self) -> f64 {
        self.aside / LOOK_AWAY
    }

    /// Seconds in which lettering of this reach can be read; infinite where there is no end to them.
    fn seconds(&self, reach: f64) -> f64 {
        match self.stretch(reach) {
            Some(stretch) => stretch / self.speed,
            None if reach < self.gap => 0.0,
            None => self.wait,
        }
    }

    /// The reach with which it can be read for so many seconds; infinite where none will do.
    fn reach_for(&self, seconds: f64) -> f64 {
        let way = self.speed * seconds;
        match self.way {
            Way::Walking => self.aside + way * way / (4.0 * self.aside),
            Way::Wall => {
                let along = way + self.aside * TURNED;
                self.aside + along * along / self.aside
            }
            Way::Oncoming | Way::Board => self.look_away() + way,
            Way::Following | Way::Light if seconds <= self.wait => self.gap,
            Way::Following | Way::Light => f64::INFINITY,
        }
    }
}

/// Whether the lettering of `input` can be read as it passes.
///
/// # Errors
/// Those of [`super::report`] under `legibility`; every other member that cannot be read or is missing.
///
/// # Examples
/// ```
/// use decal_reckoner::decal::DecalInput;
/// use decal_reckoner::legibility::LegibilityInput;
/// use decal_reckoner::legibility::moving::{MovingInput, Way, report};
/// use decal_reckoner::measure::NumberInput;
///
/// let input = MovingInput {
///     legibility: LegibilityInput {
///         decal: DecalInput {
///             lettering: Some("BAIT AND ICE".into()),
///             width: Some("60".into()),
///             height: Some("20".into()),
///             letter_height: Some("10".into()),
///             ..DecalInput::default()
///         },
///         acuity: Some("20/20".into()),
///         ..LegibilityInput::default()
///     },
///     way: Way::Board,
///     speed: Some(NumberInput::Text("60 ft/s".into())),
///     aside: Some("0".into()),
///     ..MovingInput::default()
/// };
/// // 30 ft to the inch: 300 ft, at 60 ft a second.
/// assert_eq!(report(&input)?.seconds, Some(5.0));
/// # Ok::<(), decal_reckoner::error::InputErrors>(())
/// ```
pub fn report(input: &MovingInput) -> Result<MovingReport, InputErrors> {
    let about = &input.legibility;
    let seen = super::read(about).map_err(|errors| errors.within("legibility"));
    let lettering = seen.as_ref().ok().map(|(decal, _)| decal.words().count());
    let ((decal, mut viewing), asked) = match (seen, Asked::read(input, lettering)) {
        (Ok(seen), Ok(asked)) => (seen, asked),
        (Err(errors), Ok(_)) | (Ok(_), Err(errors)) => return Err(errors),
        (Err(seen), Err(asked)) => return Err(seen.and(asked)),
    };
    if matches!(input.way, Way::Walking | Way::Wall) {
        // The way past it has every angle.
        viewing.aside = 0.0;
    }
    let viewing = viewing.of(&decal);
    Ok(asked.answer(&decal, &viewing, about.unit))
}

/// What is asked beside the decal and the reader.
struct Asked {
    trip: Trip,
    /// The reader's own speed.
    speed: Speed,
    words: u32,
    /// Whether the distance that the way is about was typed.
    own_distance: bool,
    aside: Length,
    reaction: i64,
    index: Option<u32>,
}

impl Asked {
    /// Reads it; `lettering` is how many words the decal has, if that is known.
    fn read(input: &MovingInput, lettering: Option<usize>) -> Result<Self, InputErrors> {
        let mut checks = Checks::default();
        let way = input.way;
        let unit = input.legibility.unit;
        let mut fast = |entered: Option<&NumberInput>, path: &str, least: Speed| {
            checks.take(Speed::optional(entered, path, unit.is_imperial(), least))
        };
        let (mut speed, mut closing) = (None, Speed::default());
        let mut still = false;
        if way != Way::Light {
            let read = fast(input.speed.as_ref(), "speed", Speed::LEAST);
            still = read == Some(None);
            speed = read.flatten();
            closing = speed.unwrap_or_default();
        }
        if way == Way::Oncoming {
            let other = fast(input.other_speed.as_ref(), "otherSpeed", Speed::default());
            closing = closing.and(other.flatten().unwrap_or(closing));
        }
        if still {
            let error = InputError::new(
                Code::Missing,
                say!("no speed is entered"),
                say!("write it like 30 mph"),
            );
            checks.add(error.at("speed"));
        }
        let mut far = |entered: Option<&LengthInput>, path: &str, range: Option<Range>| {
            let entered = entered.map(|entered| entered.counted_in(unit));
            let far = unit.for_distance();
            let read = match range {
                Some(range) => required(entered.as_ref(), path, far, range).map(Some),
                None => optional(entered.as_ref(), path, far, ALONG),
            };
            checks.take(read).flatten()
        };
        let (mut aside, mut gap) = (None, None);
        match way {
            Way::Walking => aside = far(input.aside.as_ref(), "aside", Some(ALONG)),
            Way::Following | Way::Light => gap = far(input.gap.as_ref(), "gap", None),
            _ => aside = far(input.aside.as_ref(), "aside", Some(ASIDE)),
        }
        let mut aside = aside.unwrap_or_default();
        if way == Way::Wall {
            let lanes = Count::optional_from(input.lanes.as_ref(), "lanes", 1, 20);
            let lanes = checks.take(lanes).flatten().unwrap_or(2);
            aside = aside + Length::whole(10, Unit::Ft) * i64::from(lanes);
        }
        let mut wait = f64::INFINITY;
        if way == Way::Light {
            let read = checks.take(seconds(input.wait.as_ref(), "wait")).flatten();
            wait =
                f64::from(i32::try_from(read.map_or(20_000, Time::ms)).unwrap_or(i32::MAX)) / 1e3;
        }
        let kept = gap.unwrap_or(match way {
            Way::Light if unit.is_imperial() => Length::whole(20, Unit::Ft),
            Way::Light => Length::whole(6, Unit::M),
            _ => closing.way_in(1_000 * i64::from(APART)),
        });
        let words = match (
            checks.take(Count::optional(input.words.as_ref(), "words")),
            lettering,
        ) {
            (Some(None), Some(0)) => {
                let message = say!("the decal has no lettering whose words could be counted");
                let hint = say!("write how many words there are");
                checks.add(InputError::new(Code::Missing, message, hint).at("words"));
                None
            }
            (Some(None), Some(count)) => u32::try_from(count).ok(),
            (words, _) => words.flatten(),
        };
        let reaction = checks.take(seconds(input.reaction.as_ref(), "reaction"));
        let index = checks.take(Count::optional_from(input.index.as_ref(), "index", 1, 100));
        checks.finish(Self {
            trip: Trip {
                way,
                speed: closing.metres_a_second(),
                aside: aside.to_f64(Unit::M),
                gap: kept.to_f64(Unit::M),
                wait,
            },
            speed: speed.unwrap_or_default(),
            words: words.unwrap_or(1),
            own_distance: gap.is_some() || matches!(way, Way::Walking | Way::Wall),
            aside,
            reaction: reaction.flatten().map_or(10_000, Time::ms),
            index: index.flatten(),
        })
    }

    /// Reckons what is asked.
    fn answer(&self, decal: &Decal, viewing: &Viewing, unit: Unit) -> MovingReport {
        let (trip, words) = (&self.trip, self.words);
        let way = trip.way;
        let reach = reach(decal, viewing);
        let metres = reach.unwrap_or_default().to_f64(Unit::M);
        // Letters that are too small for any distance have no time at all.
        let there = reach.map_or(0.0, |_| trip.seconds(metres));
        let takes = reading::needed(words, way);
        let finite = there.is_finite();
        // A nanometre more than the nearest one is never too little.
        let needed = Length::from_metres(trip.reach_for(takes));
        let needed = needed.map(|needed| needed + Length::from_nm(1));
        let mut asked = Answer {
            asked: self,
            unit,
            enough: there >= takes,
            there,
            takes,
            most_words: reading::most_words(there, way),
            advice: String::new(),
            figures: Vec::new(),
        };
        let verdict = asked.verdict(reach);
        asked.resize(decal, viewing, reach, needed);
        asked.speed_up(metres);
        MovingReport {
            unit,
            enough: asked.enough,
            headline: if reach.is_none() {
                say!("Not read").to_owned()
            } else if !finite {
                say!("While they follow").to_owned()
            } else if there > 0.0 {
                time(there)
            } else {
                say!("Not read").to_owned()
            },
            verdict,
            advice: asked.advice,
            seconds: finite.then_some(there),
            needed_seconds: takes,
            words,
            most_words: finite.then_some(asked.most_words),
            figures: asked.figures,
            readings: reading::all(words, way, there),
            limits: match way {
                Way::Walking | Way::Light => Vec::new(),
                _ => reading::limits(words, self.speed),
            },
            industry: industry::steps(self, decal, viewing, unit),
            assumptions: vec![trip.course().assumption, STRAIGHT],
            caution: CAUTION,
        }
    }
}

/// An answer while it is put together.
struct Answer<'a> {
    asked: &'a Asked,
    unit: Unit,
    enough: bool,
    /// Seconds in which it is legible, and that the words take.
    there: f64,
    takes: f64,
    most_words: u32,
    advice: String,
    figures: Vec<MovingFigure>,
}

impl Answer<'_> {
    fn far(&self, metres: f64) -> String {
        let length = Length::from_metres(metres).unwrap_or(Length::MAX);
        length.text(self.unit.for_distance())
    }

    /// The time there is against the time that the words take.
    fn verdict(&self, reach: Option<Length>) -> String {
        let trip = &self.asked.trip;
        let Some(reach) = reach else {
            return say!("By the rule that governs it is read from nowhere: its letters are too small, or too \
                         much like their ground.").to_owned();
        };
        let reach = reach.text(self.unit.for_distance());
        let (words, there, takes) = (self.asked.words, time(self.there), time(self.takes));
        if self.there.is_infinite() {
            let gap = self.far(trip.gap);
            return say!(
                words;
                "Read while they follow: it reads from {reach}, and they keep {gap}. A driver has only \
                 glances for {words} word that takes {takes}.",
                "Read while they follow: it reads from {reach}, and they keep {gap}. A driver has only \
                 glances for {words} words that take {takes}."
            );
        }
        if self.enough {
            return say!(
                words;
                "Read in time: {there} for {words} word that takes {takes}.",
                "Read in time: {there} for {words} words that take {takes}."
            );
        }
        if self.there > 0.0 {
            return say!(
                words;
                "Not read in time: {there} for {words} word that takes {takes}.",
                "Not read in time: {there} for {words} words that take {takes}."
            );
        }
        match trip.way {
            Way::Walking | Way::Wall => {
                let aside = self.far(trip.aside);
                say!(
                    "Not read: they pass {aside} aside, too far from the side for letters that read \
                     from {reach} straight on."
                )
            }
            Way::Oncoming | Way::Board => {
                let end = self.far(trip.look_away());
                say!(
                    "Not read: legible from {reach} on, and from {end} on they would have to look \
                     away too far."
                )
            }
            Way::Following | Way::Light => {
                let gap = self.far(trip.gap);
                say!("Too far: it reads from {reach}, and they keep {gap}.")
            }
        }
    }

    fn tell(&mut self, sentence: &str) {
        if !self.advice.is_empty() {
            self.advice.push(' ');
        }
        self.advice.push_str(sentence);
    }

    /// The reach that the message needs, and the decal that has it.
    fn resize(
        &mut self,
        decal: &Decal,
        viewing: &Viewing,
        reach: Option<Length>,
        needed: Option<Length>,
    ) {
        let unit = self.unit;
        let trip = &self.asked.trip;
        let course = trip.course();
        let far = |id, label, length: Length, (source, mark)| {
            let text = length.text(unit.for_distance());
            figure(id, label, (length.to_f64(unit), text), source, mark)
        };
        let mut figures = Vec::new();
        if let Some(reach) = reach {
            let by = (
                REACH,
                governing(decal, viewing).map_or(Mark::Derived, |rule| rule.mark),
            );
            let mut about = |id, label, length, (source, mark)| {
                let Measured { value, text } = rounded::distance(length, unit);
                figures.push(figure(id, label, (value, text), source, mark));
            };
            about("reach", say!("It reads from, straight on"), reach, by);
            let stretch = trip.stretch(reach.to_f64(Unit::M));
            if let Some(stretch) = stretch.and_then(Length::from_metres) {
                let label = say!("Stretch of the path on which it reads");
                about("stretch", label, stretch, (course.source, by.1));
            }
        }
        let mut by = (course.source, course.mark);
        let (id, label, length) = match trip.way {
            Way::Walking | Way::Wall => ("aside", say!("Aside of the path"), trip.aside),
            Way::Oncoming | Way::Board => (
                "lookAway",
                say!("Too far to look away, from"),
                trip.look_away(),
            ),
            Way::Following | Way::Light => ("gap", say!("Distance kept"), trip.gap),
        };
        if self.asked.own_distance {
            by = OWN_ENTRY;
        }
        if trip.way == Way::Wall {
            by.0 = say!("Your entry, and 10 ft for each lane");
        }
        if let Some(length) = Length::from_metres(length) {
            figures.push(far(id, label, length, by));
        }
        let height = needed.and_then(|needed| letter_height_for(needed, decal, viewing));
        let (Some(needed), Some(height)) = (needed, height) else {
            self.figures = figures;
            self.tell(say!(
                "No size helps: there is too little time for so many words, or nothing is seen."
            ));
            return;
        };
        let by = self.by_reading();
        let Measured { value, .. } = rounded::distance(needed, unit);
        let text = rounded::distance_up(needed, unit);
        let label = say!("It would have to read from");
        figures.push(figure("neededReach", label, (value, text), by.0, by.1));
        let letter = decal.letter_height();
        let shown = rounded::shown(height, letter, unit);
        let mut sides = [letter; 3];
        let of = [letter, decal.width(), decal.height()];
        let names = [
            ("letterHeight", say!("Letters that this takes")),
            ("decalWidth", say!("Width of that decal")),
            ("decalHeight", say!("Height of that decal")),
        ];
        for ((is, (id, label)), side) in of.into_iter().zip(names).zip(&mut sides) {
            let at = |height: Length| is.scaled_up(height.nm(), letter.nm());
            *side = rounded::shown(at(shown), is, unit);
            let Measured { value, text } = rounded::size(at(height), *side, unit);
            figures.push(figure(id, label, (value, text), REACH, by.1));
        }
        self.figures = figures;
        let [letter, width, height] = sides;
        let unit = unit.for_size();
        let (letter, size) = (letter.text(unit), size_text(width, height, unit));
        self.tell(&if self.enough {
            say!("Letters of {letter} would do, on a decal of {size}.")
        } else {
            say!("It takes letters of {letter}, the decal {size}.")
        });
    }

    /// The most words, and the greatest speed, that lettering of this reach serves.
    fn speed_up(&mut self, reach: f64) {
        let Asked {
            trip, own_distance, ..
        } = self.asked;
        if self.there.is_finite() && self.there > 0.0 {
            self.tell(&match self.most_words {
                0 => say!("Not one word can be read in that time.").to_owned(),
                words => say!(
                    words;
                    "Up to {words} word can be read in that time.",
                    "Up to {words} words can be read in that time."
                ),
            });
        }
        let fastest = match trip.way {
            Way::Light => 0.0,
            Way::Following if *own_distance => 0.0,
            Way::Following => reach / f64::from(APART),
            _ => trip.stretch(reach).unwrap_or_default() / self.takes,
        };
        let (part, sign) = Speed::unit(self.unit);
        let fastest = fastest / part;
        let step = if fastest < 10.0 { 10.0 } else { 1.0 };
        let shown = (fastest * step).floor() / step;
        if shown <= 0.0 {
            return;
        }
        let text = format!("{} {sign}", decimals(shown, 1));
        self.tell(&if trip.way == Way::Oncoming {
            say!("It reads in time at up to {text}, both speeds together.")
        } else {
            say!("It reads in time at up to {text}.")
        });
        let (source, mark) = self.by_reading();
        let label = say!("Greatest speed at which it reads");
        let greatest = figure("greatestSpeed", label, (fastest, text), source, mark);
        self.figures.push(greatest);
    }

    /// Where a figure comes from that serves the time of reading.
    const fn by_reading(&self) -> (&'static str, Mark) {
        let trip = &self.asked.trip;
        match trip.way {
            Way::Following | Way::Light => (trip.course().source, trip.course().mark),
            _ => (BY_READING, Mark::FromMemory),
        }
    }
}
