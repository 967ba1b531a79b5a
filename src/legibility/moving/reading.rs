//! How long reading takes, and how many words a driver is asked for at most: published rules as data.

use super::Way;
use crate::legibility::rules::Mark;
use crate::measure::{Speed, decimals};
use say::say;
use serde::Serialize;

/// A rule for the time that words take.
pub(super) struct Rule {
    /// Short name for programs; stable.
    id: &'static str,
    formula: &'static str,
    source: &'static str,
    mark: Mark,
    assumption: &'static str,
    /// Seconds are `(times * words + plus) / over`.
    times: i32,
    plus: i32,
    over: i32,
    /// The words that it was measured for.
    words: [u32; 2],
    /// Whether it is about drivers only.
    driving: bool,
}

/// Every rule, in the order in which people see them; the first was looked up at
/// <https://trid.trb.org/view/152354>, the second at
/// <https://pdf4pro.com/amp/view/chapter-2-signs-59b4d0.html>. The last one counts for everybody and for any
/// number of words.
pub(super) static RULES: [Rule; 3] = [
    Rule {
        id: "exposure",
        formula: say!("0.32 s a word, less 0.21 s"),
        source: say!("Australian Road Research Board, Proceedings 9(5), pages 390 to 395"),
        mark: Mark::LookedUp,
        assumption: say!(
            "Measured: 20 people who waited for it and saw road signs of 2 to 40 words for a \
             moment."
        ),
        times: 32,
        plus: -21,
        over: 100,
        words: [2, 40],
        driving: false,
    },
    Rule {
        id: "signs",
        formula: say!("1/3 s a word, and 2 s"),
        source: say!(
            "The bracket in table 2-1 of Washington State's Traffic Manual M 51-02, 2011, taken as \
             seconds"
        ),
        mark: Mark::FromMemory,
        assumption: say!("A driver finds the sign, reads it and looks back to the road."),
        times: 1,
        plus: 6,
        over: 3,
        words: [1, u32::MAX],
        driving: true,
    },
    Rule {
        id: "word",
        formula: say!("1 s a word, or 2 s a unit of information"),
        source: say!("Rule of thumb for road signs"),
        mark: Mark::FromMemory,
        assumption: say!("Two words count as a unit of information, as the rule itself has it."),
        times: 1,
        plus: 0,
        over: 1,
        words: [1, u32::MAX],
        driving: false,
    },
];

/// More words than that are not counted.
const MOST: u32 = 10_000;

/// How long the words take by one rule.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "camelCase")]
pub struct ReadingTime {
    /// Short name for programs; stable.
    pub id: &'static str,
    /// What the rule says.
    pub formula: &'static str,
    /// Publication and place in it.
    pub source: &'static str,
    /// How surely the figure is known.
    pub mark: Mark,
    /// Who reads, and how.
    pub assumption: &'static str,
    /// Why it is not for this case; empty where it is.
    pub why: &'static str,
    /// Whether it is the one that counts: the most cautious of those that are for this case.
    pub governs: bool,
    /// Seconds that the words take; none for numbers of words that the rule does not know.
    pub seconds: Option<f64>,
    /// The same for people.
    pub text: String,
    /// The most words that can be read in the time there is, by this rule; none where it has no end.
    pub most_words: Option<u32>,
}

impl Rule {
    fn seconds(&self, words: u32) -> f64 {
        let words = f64::from(words.min(MOST));
        (f64::from(self.times) * words + f64::from(self.plus)) / f64::from(self.over)
    }

    const fn knows(&self, words: u32) -> bool {
        let [least, most] = self.words;
        least <= words && words <= most
    }

    const fn serves(&self, way: Way) -> bool {
        !self.driving || !matches!(way, Way::Walking)
    }

    /// The most words that can be read in so many seconds.
    fn most_words(&self, seconds: f64) -> u32 {
        let [least, most] = self.words;
        let most = most.min(MOST);
        // Halved in upon, so that this is exactly the last number that its own time allows.
        let (mut low, mut high) = (least - 1, most);
        while low < high {
            let middle = (low + high).div_ceil(2);
            if self.seconds(middle) <= seconds {
                low = middle;
            } else {
                high = middle - 1;
            }
        }
        if low < least { 0 } else { low }
    }
}

/// The seconds that the words take by the rule that counts.
pub(super) fn needed(words: u32, way: Way) -> f64 {
    let counting = RULES
        .iter()
        .filter(|rule| rule.serves(way) && rule.knows(words));
    counting.fold(0.0, |most, rule| rule.seconds(words).max(most))
}

/// The most words that can be read in so many seconds by every rule that is for this case.
pub(super) fn most_words(seconds: f64, way: Way) -> u32 {
    // What was measured up to so many words says nothing of more.
    let counting = RULES
        .iter()
        .filter(|rule| rule.serves(way) && rule.knows(MOST));
    let words = counting.map(|rule| rule.most_words(seconds));
    words.min().unwrap_or(0)
}

/// What each rule says of so many words, where there are so many seconds for them.
pub(super) fn all(words: u32, way: Way, seconds: f64) -> Vec<ReadingTime> {
    let needed = needed(words, way);
    let mut counts = false;
    let mut readings = Vec::new();
    for rule in &RULES {
        let known = rule.knows(words);
        let serves = rule.serves(way);
        let takes = rule.seconds(words);
        let governs = known && serves && takes >= needed && !counts;
        counts |= governs;
        readings.push(ReadingTime {
            id: rule.id,
            formula: rule.formula,
            source: rule.source,
            mark: rule.mark,
            assumption: rule.assumption,
            why: if !serves {
                say!("It is about drivers.")
            } else if known {
                ""
            } else {
                say!("It was measured for 2 to 40 words.")
            },
            governs,
            seconds: known.then_some(takes),
            text: if known { text(takes) } else { String::new() },
            most_words: seconds.is_finite().then(|| rule.most_words(seconds)),
        });
    }
    readings
}

/// A time for people, to hundredths of a second.
pub(super) fn text(seconds: f64) -> String {
    format!("{} s", decimals(seconds, 2))
}

/// What a driver is asked for at most.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
pub struct WordLimit {
    /// The limit, and what there is.
    pub text: String,
    /// The publication that sets the limit.
    pub source: &'static str,
    /// Whether the lettering keeps to it.
    pub met: bool,
}

/// The limits for a driver at this speed; looked up at
/// <http://www.nap.edu/openbook.php?record_id=14396&page=41> and <https://safedesign.uky.edu/?p=833>.
pub(super) fn limits(words: u32, speed: Speed) -> Vec<WordLimit> {
    let fast = |mph| speed >= Speed::mph(mph);
    let (count, most) = (words.div_ceil(2), if fast(35) { 4 } else { 5 });
    let mut limits = vec![WordLimit {
        text: say!("At most {most} units of information, of two words each; here {count}"),
        source: say!(
            "Human Factors Guidelines for Road Systems, NCHRP Report 600: four from 35 mph on, five below"
        ),
        met: count <= most,
    }];
    if fast(55) {
        let most = if fast(65) { 7 } else { 8 };
        limits.push(WordLimit {
            text: say!("At most {most} words; here {words}"),
            source: say!(
                "University of Kentucky, safedesign.uky.edu: eight at 55 mph, seven at 65 mph"
            ),
            met: words <= most,
        });
    }
    limits
}
