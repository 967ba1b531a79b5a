//! The times of a drawing in words.

use super::super::timing::{places, with_places};
use super::{Drawing, Plotter, Settled, WEEDING, WeedingEffort};
use crate::measure::{Length, Unit, decimals, decimals_with_point};

/// Pieces and islands on a metre of cut line from which on weeding is middling, and fiddly (rule of
/// thumb): on 10 of them each has an outline of 10 cm, on 30 one of 3 cm.
const GRADES: [f64; 2] = [10.0, 30.0];

/// A number to two figures.
fn two_figures(number: f64) -> String {
    let mut step = 0.01;
    while number >= step * 99.5 {
        step *= 10.0;
    }
    decimals((number / step).round() * step, 2)
}

/// A number to three figures, two decimals at most, as the log has it in every language: its cells may be
/// divided by commas.
fn three_figures(number: f64) -> String {
    let places = match number {
        small if small < 9.995 => 2,
        middling if middling < 99.95 => 1,
        _ => 0,
    };
    decimals_with_point(number, places)
}

/// No log knows a time better than this part of it, however well its entries agree (rule of thumb).
const NO_BETTER: f64 = 0.01;

/// `1.9 min a metre, give or take 0.4`; seconds below a minute. Without an error, to two figures.
pub(super) fn figure(minutes: f64, error: Option<f64>, counted: &str) -> String {
    let error = error.map(|error| error.max(minutes * NO_BETTER));
    let (times, unit) = if minutes < 1.0 {
        (60.0, "s")
    } else {
        (1.0, "min")
    };
    let figure = match error {
        Some(error) => with_places(minutes * times, places(error * times)),
        None => two_figures(minutes * times),
    };
    let mut text = [&figure, " ", unit, " ", counted].concat();
    if let Some(error) = error {
        let error = error * times;
        text.push_str(", give or take ");
        text.push_str(&with_places(error, places(error)));
    }
    text
}

/// `1 entry`.
fn entries(count: usize) -> String {
    match count {
        1 => "1 entry".to_owned(),
        more => format!("{more} entries"),
    }
}

impl<const N: usize> Settled<N> {
    /// What the figures of a step, `cutting`, come from: the log, or else `by`; `rates` are what one factor
    /// sets right.
    pub fn from(&self, step: &str, by: &str, rates: &str) -> String {
        match self {
            Self::Rates(_, count) => format!("from {} of the log", entries(*count)),
            Self::Factor(factor, error, count) => {
                let why = match count {
                    1 => "which is too few to tell the rates apart",
                    few if *few < N + 2 => "which are too few to tell the rates apart",
                    _ => "which do not tell the rates apart",
                };
                let factor = error.map_or_else(
                    || two_figures(*factor),
                    |error| with_places(*factor, places(error)),
                );
                let entries = entries(*count);
                format!(
                    "from {entries} of the log, {why}: one factor of {factor} sets {rates} right"
                )
            }
            Self::Own => {
                format!("by {by}; no entry for {step} in the log tells its drawing's measures")
            }
        }
    }
}

impl Drawing {
    /// The measures as the log reads them. Outlines are told only where they are not those of pieces and
    /// islands.
    pub fn note(&self, unit: Unit) -> String {
        let (unit, times) = match unit {
            unit if unit.is_imperial() => (Unit::In, Length::whole(1, Unit::M).to_f64(Unit::In)),
            _ if self.metres < 1.0 => (Unit::Cm, 100.0),
            _ => (Unit::M, 1.0),
        };
        let mut note = [&three_figures(self.metres * times), " ", unit.symbol()].concat();
        let outlines = Some(self.outlines).filter(|all| *all != self.pieces + self.islands);
        for (count, one, more) in [
            (Some(self.pieces), " piece", " pieces"),
            (Some(self.islands), " island", " islands"),
            (outlines, " outline", " outlines"),
        ] {
            if let Some(count) = count {
                note.push_str(", ");
                note.push_str(&count.to_string());
                note.push_str(if count == 1 { one } else { more });
            }
        }
        note
    }
}

/// How fiddly the weeding is; `picking` are minutes for its islands, `all` for all of it.
pub(super) fn effort(drawing: &Drawing, picking: f64, all: f64, unit: Unit) -> WeedingEffort {
    let bits = f64::from(drawing.pieces + drawing.islands) / drawing.metres;
    let [middling, fiddly] = GRADES;
    let (grade, word) = match bits {
        few if few < middling => ("easy", "Easy"),
        some if some < fiddly => ("middling", "Middling"),
        _ => ("fiddly", "Fiddly"),
    };
    let island_share = if all > 0.0 { picking / all } else { 0.0 };
    let (share, length) = if unit.is_imperial() {
        (Length::whole(1, Unit::Ft).to_f64(Unit::M), "foot")
    } else {
        (1.0, "metre")
    };
    let islands = match drawing.islands {
        0 => "there are no islands to be picked out".to_owned(),
        islands => {
            let them = match islands {
                1 => "the 1 island".to_owned(),
                more => format!("the {more} islands"),
            };
            let hundredths = decimals(island_share * 100.0, 0);
            format!("picking out {them} is {hundredths} % of the time")
        }
    };
    let bits_text = two_figures(bits * share);
    WeedingEffort {
        grade,
        bits,
        island_share,
        text: format!(
            "{word}: {bits_text} pieces and islands on a {length} of cut line; {islands}"
        ),
    }
}

/// What was taken for granted: for cutting, with its machine and whether the way between outlines is told;
/// for weeding, with the rates that are told; and how many entries tell only a part of what they should.
pub(super) fn assumptions(
    (cutting, plotter, way_told): (&Settled<2>, &Plotter, bool),
    (weeding, rates): (&Settled<3>, &[Option<f64>; 3]),
    left_out: usize,
) -> Vec<String> {
    const PRACTICE: &str = " (common practice, no source)";
    const THUMB: &str = " (rule of thumb)";
    let mark = |told: bool, mark: &'static str| if told { "" } else { mark };
    let mut all = Vec::new();
    if matches!(cutting, Settled::Rates(..)) {
        all.push("An outline's time holds the start of the blade and the way to it.".to_owned());
    } else {
        let speed = |minutes: f64| decimals(1000.0 / (60.0 * minutes), 1);
        let [line, way, lift] = plotter.told;
        all.push(format!(
            "The machine cuts {} mm a second{} and goes {} mm a second between outlines{}; a start of the blade takes {} s{}. That it is slower in curves and corners only a log can tell.",
            speed(plotter.line),
            mark(line, PRACTICE),
            speed(plotter.way),
            mark(way, PRACTICE),
            decimals(plotter.lift * 60.0, 2),
            mark(lift, THUMB),
        ));
        let in_log = matches!(cutting, Settled::Factor(..));
        if in_log || !way_told {
            let of = match (in_log, way_told) {
                (true, true) => " of the log's drawings",
                _ => "",
            };
            all.push(format!(
                "The way between outlines{of} is taken to be a quarter of the cut length{THUMB}."
            ));
        }
    }
    if !matches!(cutting, Settled::Own) {
        all.push("A cut in the log without its number of outlines is taken to have one round each piece and each island.".to_owned());
    }
    if !matches!(weeding, Settled::Rates(..)) {
        let rate = |place: usize| {
            let minutes = rates[place].unwrap_or(WEEDING[place]);
            decimals(minutes, 3) + " min"
        };
        let own: [&str; 3] = std::array::from_fn(|place| mark(rates[place].is_some(), THUMB));
        let start = if matches!(weeding, Settled::Own) {
            "Weeding takes"
        } else {
            "But for the factor, weeding takes"
        };
        all.push(format!(
            "{start} {} a metre of cut line{}, {} a piece{} and {} an island{}.",
            rate(0),
            own[0],
            rate(1),
            own[1],
            rate(2),
            own[2],
        ));
    }
    if !matches!((cutting, weeding), (Settled::Own, Settled::Own)) {
        all.push("Rates are found from the log by least squares, none below nothing, where two entries more than rates tell unlike drawings, and where they meet the times clearly better than one factor for all does (rule of thumb). “Give or take” is one standard error, of the average and not of a single decal.".to_owned());
    }
    if left_out > 0 {
        all.push(format!(
            "{} of the log that tell{} only a part of the measures {} left out: cutting needs the cut length and outlines, weeding the cut length, pieces and islands.",
            entries(left_out),
            if left_out == 1 { "s" } else { "" },
            if left_out == 1 { "is" } else { "are" },
        ));
    }
    all.push("Getting ready is no part of these times: it is a step of its own, and is not taken off the entries of the log.".to_owned());
    all.push("Several decals take as many times as long as one.".to_owned());
    all
}
