//! The times of a drawing in words.

use super::super::timing::{a_piece, give_or_take, places, with_places};
use super::log::COUNTED;
use super::{Drawing, Plotter, Settled, WEEDING, WeedingEffort, an_island};
use crate::measure::{Length, Unit, decimals, decimals_with_point};
use say::say;

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

/// A time that each decal takes.
pub(super) fn a_decal(time: &str) -> String {
    say!("{time} a decal")
}

/// `1.9 min a metre, give or take 0.4`; seconds below a minute. Without an error, to two figures.
pub(super) fn figure(minutes: f64, error: Option<f64>, counted: fn(&str) -> String) -> String {
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
    let time = counted(&[&figure, " ", unit].concat());
    match error {
        Some(error) => {
            let error = error * times;
            give_or_take(&time, &with_places(error, places(error)))
        }
        None => time,
    }
}

impl<const N: usize> Settled<N> {
    /// What the figures of a step come from: the log, with what is said of the factor that sets own rates
    /// right; or else what `by` says, and that the log is `silent`.
    pub fn from(&self, by: &str, silent: &str, factor_text: fn(String) -> String) -> String {
        match self {
            Self::Rates(_, entries) => say!(
                *entries;
                "from {entries} entry of the log",
                "from {entries} entries of the log"
            ),
            Self::Factor(factor, error, entries) => {
                let log = if *entries < N + 2 {
                    say!(
                        *entries;
                        "from {entries} entry of the log, which is too few to tell the rates apart",
                        "from {entries} entries of the log, which are too few to tell the rates apart"
                    )
                } else {
                    say!("from {entries} entries of the log, which do not tell the rates apart")
                };
                let factor = error.map_or_else(
                    || two_figures(*factor),
                    |error| with_places(*factor, places(error)),
                );
                format!("{log}: {}", factor_text(factor))
            }
            Self::Own => format!("{by}; {silent}"),
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
        let [of_outlines, of_pieces, of_islands] = COUNTED;
        for (count, [one, more, ..]) in [
            (Some(self.pieces), of_pieces),
            (Some(self.islands), of_islands),
            (outlines, of_outlines),
        ] {
            if let Some(count) = count {
                note.push_str(say!(in "between the cells of the log of times": ", "));
                note.push_str(&count.to_string());
                note.push(' ');
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
        few if few < middling => ("easy", say!(in "weeding": "Easy")),
        some if some < fiddly => ("middling", say!(in "weeding": "Middling")),
        _ => ("fiddly", say!(in "weeding": "Fiddly")),
    };
    let island_share = if all > 0.0 { picking / all } else { 0.0 };
    let bits_text = if unit.is_imperial() {
        let bits = two_figures(bits * Length::whole(1, Unit::Ft).to_f64(Unit::M));
        say!("{bits} pieces and islands on a foot of cut line")
    } else {
        let bits = two_figures(bits);
        say!("{bits} pieces and islands on a metre of cut line")
    };
    let islands_text = match drawing.islands {
        0 => say!("there are no islands to be picked out").to_owned(),
        islands => {
            let share = decimals(island_share * 100.0, 0);
            say!(
                islands;
                "picking out the {islands} island is {share} % of the time",
                "picking out the {islands} islands is {share} % of the time"
            )
        }
    };
    WeedingEffort {
        grade,
        word: word.to_owned(),
        bits,
        island_share,
        text: format!("{bits_text}; {islands_text}"),
    }
}

/// What was taken for granted: for cutting, with its machine and whether the way between outlines is told;
/// for weeding, with the rates that are told; and how many entries tell only a part of what they should.
pub(super) fn assumptions(
    (cutting, plotter, way_told): (&Settled<2>, &Plotter, bool),
    (weeding, rates): (&Settled<3>, &[Option<f64>; 3]),
    left_out: usize,
) -> Vec<String> {
    let mut all = Vec::new();
    if matches!(cutting, Settled::Rates(..)) {
        all.push(
            say!("An outline's time holds the start of the blade and the way to it.").to_owned(),
        );
    } else {
        all.push(of_machine(plotter));
        if !way_told {
            all.push(
                say!("The way between outlines is taken to be a quarter of the cut length (rule of thumb).")
                    .to_owned(),
            );
        } else if matches!(cutting, Settled::Factor(..)) {
            all.push(
                say!("The way between outlines of the log's drawings is taken to be a quarter of the cut length (rule of thumb).")
                    .to_owned(),
            );
        }
    }
    if !matches!(cutting, Settled::Own) {
        all.push(say!("A cut in the log without its number of outlines is taken to have one round each piece and each island.").to_owned());
    }
    if !matches!(weeding, Settled::Rates(..)) {
        let counted = [a_metre_of_line, a_piece, an_island];
        let [metre, piece, island] = std::array::from_fn(|place| {
            let minutes = rates[place].unwrap_or(WEEDING[place]);
            let rate = counted[place](&(decimals(minutes, 3) + " min"));
            match rates[place] {
                Some(_) => rate,
                None => by_thumb(&rate),
            }
        });
        all.push(if matches!(weeding, Settled::Own) {
            say!("Weeding takes {metre}, {piece} and {island}.")
        } else {
            say!("But for the factor, weeding takes {metre}, {piece} and {island}.")
        });
    }
    if !matches!((cutting, weeding), (Settled::Own, Settled::Own)) {
        all.push(say!("Rates are found from the log by least squares, none below nothing, where two entries more than rates tell unlike drawings, and where they meet the times clearly better than one factor for all does (rule of thumb). “Give or take” is one standard error, of the average and not of a single decal.").to_owned());
    }
    if left_out > 0 {
        all.push(say!(
            left_out;
            "{left_out} entry of the log that tells only a part of the measures is left out: cutting needs the cut length and outlines, weeding the cut length, pieces and islands.",
            "{left_out} entries of the log that tell only a part of the measures are left out: cutting needs the cut length and outlines, weeding the cut length, pieces and islands."
        ));
    }
    all.push(say!("Getting ready is no part of these times: it is a step of its own, and is not taken off the entries of the log.").to_owned());
    all.push(say!("Several decals take as many times as long as one.").to_owned());
    all
}

/// How fast the machine is taken to be.
fn of_machine(plotter: &Plotter) -> String {
    let speed = |minutes: f64, told: bool| {
        let speed = decimals(1000.0 / (60.0 * minutes), 1);
        let speed = say!("{speed} mm a second");
        if told {
            speed
        } else {
            say!("{speed} (common practice, no source)")
        }
    };
    let [line_told, way_told, lift_told] = plotter.told;
    let (line, way) = (speed(plotter.line, line_told), speed(plotter.way, way_told));
    let mut lift = decimals(plotter.lift * 60.0, 2) + " s";
    if !lift_told {
        lift = by_thumb(&lift);
    }
    say!(
        "The machine cuts {line} and goes {way} between outlines; a start of the blade takes {lift}. That it is slower in curves and corners only a log can tell."
    )
}

/// A time that each metre of cut line takes.
fn a_metre_of_line(time: &str) -> String {
    say!("{time} a metre of cut line")
}

/// A figure that nobody told.
fn by_thumb(figure: &str) -> String {
    say!("{figure} (rule of thumb)")
}
