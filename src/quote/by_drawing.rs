//! How long a decal takes to cut and to weed by what is measured on its drawing, set right by what earlier
//! ones took.
//!
//! Minutes of cutting = a rate times the cut length + a rate times the outlines; minutes of weeding = a
//! rate times the cut length + one times the pieces + one times the islands. Where the log of the shop
//! tells the measures of enough unlike drawings, these rates are found from it. Otherwise one factor sets
//! the machine's speeds, or the rates of weeding that somebody told, right; and without any entry they
//! count as they are.

mod fit;
mod log;
mod told;

use super::timing::{a_piece, entries, residue, through_origin, time};
use crate::error::{Checks, InputErrors};
use crate::input::read_by_members;
use crate::measure::{Count, Length, LengthInput, NumberInput, Range, Unit, optional, required};
use fit::{Fit, dot, fit, number};
use log::{Measured, measured};
use say::say;
use serde::Serialize;
use told::{a_decal, assumptions, effort, figure};

/// More outlines, pieces or islands than any drawing that is weeded by hand.
const MOST_PARTS: u32 = 1_000_000;

/// A machine's speed on a line and on the way to the next one, in millimetres a second (common practice,
/// no source: what desktop cutters are set to for film; they can go faster, and are slower in curves).
const SPEED: i64 = 100;
const TRAVEL_SPEED: i64 = 300;
/// Seconds that it takes to lower the blade, turn it into the cut, and lift it (rule of thumb).
const LIFT: f64 = 0.2;
/// The way between outlines, as a share of the cut length, where it is not told: from the middle of a
/// square to the next one's it is a quarter of the way round it (rule of thumb).
const TRAVEL_SHARE: f64 = 0.25;

/// Minutes of weeding a metre of cut line, a piece and an island (rule of thumb).
const WEEDING: [f64; 3] = [0.5, 0.05, 0.06];

/// Rates are told apart only where they meet the entries so much better than one factor does: what goes
/// away of the residue, for each rate more, against what stays, for each entry more than rates (rule of
/// thumb). It is the ratio of an F test; for three rates chance alone brings it above this one time in
/// four with five entries, one time in ten with twelve: (1 + 2 · 3 / m)^(-m / 2), m entries more than
/// rates.
const CLEARLY_BETTER: f64 = 3.0;

read_by_members! {
    /// What the time for a drawing is reckoned from.
    #[derive(Clone, Debug, Default, PartialEq)]
    pub struct DrawingTimeInput {
        /// The unit of every plain number and bare text that is a length, and in which lengths are told.
        pub unit: Unit = default,
        /// The log of times, as [`TimeInput`](super::TimeInput) has it. Of what follows the time of an
        /// entry, a length with its unit is the cut length of one decal, and a number of `outlines`,
        /// `pieces` or `islands` is that of one decal: `weed, 6, 14:30, 2.41 m, 38 pieces, 12 islands`.
        pub log: Option<String> = default,
        /// The drawing in hand.
        pub measures: DrawingMeasuresInput = default,
        /// The machine that cuts.
        pub machine: PlotterInput = default,
        /// What weeding takes, until the log tells.
        pub rates: WeedingRatesInput = default,
    }
}

read_by_members! {
    /// What is measured on a drawing; all but the way between its outlines must be there.
    #[derive(Clone, Debug, Default, PartialEq)]
    pub struct DrawingMeasuresInput {
        /// The length of all that is cut.
        pub cut_length: Option<LengthInput> = default,
        /// The way of the lifted blade between outlines; a quarter of the cut length where left out
        /// (rule of thumb).
        pub travel: Option<LengthInput> = default,
        /// Outlines to be cut, each with a start of the blade.
        pub outlines: Option<Count> = default,
        /// Separate bits of film that stay.
        pub pieces: Option<Count> = default,
        /// Enclosed bits of waste, which are picked out one by one: the inside of an O.
        pub islands: Option<Count> = default,
    }
}

read_by_members! {
    /// A machine that cuts.
    #[derive(Clone, Debug, Default, PartialEq)]
    pub struct PlotterInput {
        /// How far it cuts in a second, in millimetres where no unit stands: `100`, `4 in/s`; 100 mm
        /// where left out (common practice, no source).
        pub speed: Option<NumberInput> = default,
        /// How far it goes in a second between outlines; 300 mm where left out (common practice, no
        /// source).
        pub travel_speed: Option<NumberInput> = default,
        /// Seconds for a start of the blade, up to a minute; 0.2 where left out (rule of thumb).
        pub lift: Option<NumberInput> = default,
    }
}

read_by_members! {
    /// What weeding takes; in minutes where no unit stands.
    #[derive(Clone, Debug, Default, PartialEq)]
    pub struct WeedingRatesInput {
        /// A metre of cut line; 0.5 min where left out (rule of thumb).
        pub metre: Option<NumberInput> = default,
        /// A piece that stays; 0.05 min where left out (rule of thumb).
        pub piece: Option<NumberInput> = default,
        /// An island; 0.06 min where left out (rule of thumb).
        pub island: Option<NumberInput> = default,
    }
}

/// The answer about the time that a drawing takes.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "camelCase")]
pub struct DrawingTimeReport {
    /// Minutes that cutting one decal takes.
    pub cut: f64,
    /// The standard error of that; none where no two entries tell it.
    pub cut_error: Option<f64>,
    /// The same for people: `34 s a decal, give or take 5`.
    pub cut_text: String,
    /// What that comes from: `from 5 entries of the log`.
    pub cut_from: String,
    /// Minutes that weeding one decal takes.
    pub weed: f64,
    /// The standard error of that; none where no two entries tell it.
    pub weed_error: Option<f64>,
    /// The same for people.
    pub weed_text: String,
    /// What that comes from.
    pub weed_from: String,
    /// What the two are made of.
    pub rates: Vec<DrawingRate>,
    /// How fiddly the weeding is.
    pub effort: WeedingEffort,
    /// The measures as an entry of the log tells them, behind its time: `2.41 m, 38 pieces, 12 islands`.
    pub log_note: String,
    /// What was taken for granted.
    pub assumptions: Vec<String>,
}

/// What a metre, an outline, a piece or an island takes.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "camelCase")]
pub struct DrawingRate {
    /// For programs, of what step: `cut`, `weed`.
    pub step: &'static str,
    /// For programs, of what: `metre`, `travel`, `outline`, `piece`, `island`.
    pub id: &'static str,
    /// What is counted, in a few words for people.
    pub label: &'static str,
    /// Minutes for each, lengths by the metre.
    pub each: f64,
    /// The standard error of that; none where no two entries tell it, and where the entries are met best
    /// if it takes no time at all.
    pub each_error: Option<f64>,
    /// The same for people, lengths by the metre or the foot: `1.9 min a metre, give or take 0.4`.
    pub figure: String,
}

/// How fiddly the weeding of a drawing is.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "camelCase")]
pub struct WeedingEffort {
    /// By the pieces and islands on a metre of cut line: `easy`, `middling` from 10 on, `fiddly` from 30
    /// on (rule of thumb).
    pub grade: &'static str,
    /// The same in a word for people.
    pub word: String,
    /// Pieces and islands on a metre of cut line.
    pub bits: f64,
    /// The share of the weeding that picking out islands is, from 0 to 1.
    pub island_share: f64,
    /// The rest of that for people.
    pub text: String,
}

/// How sure an own reckoning, such as by the machine's speeds, is made by the log.
enum Settled<const N: usize> {
    /// Rates from so many entries.
    Rates(Fit<N>, usize),
    /// One factor for all own rates, its standard error, and from how many entries it is.
    Factor(f64, Option<f64>, usize),
    /// No entry tells anything.
    Own,
}

/// Sets an own reckoning right by the log: `rows` are measures and minutes of its entries, `own` is what
/// that reckoning makes of measures.
fn settled<const N: usize>(rows: &[([f64; N], f64)], own: impl Fn(&[f64; N]) -> f64) -> Settled<N> {
    let points: Vec<(f64, f64)> = rows
        .iter()
        .map(|(row, minutes)| (own(row), *minutes))
        .collect();
    // Where the own rates are all nothing, there is nothing to set right.
    let factor = points
        .iter()
        .any(|(own, _)| *own > 0.0)
        .then(|| through_origin(&points));
    let entries = number(rows.len());
    if let Some(fit) = fit(rows) {
        let rates = number(N);
        let better = factor.as_ref().is_none_or(|factor| {
            let gone = residue(&points, 0.0, factor.each) - fit.residue;
            let stays = fit.residue / (entries - rates);
            gone / (rates - 1.0) > CLEARLY_BETTER * stays
        });
        if better {
            return Settled::Rates(fit, rows.len());
        }
    }
    factor.map_or(Settled::Own, |factor| {
        Settled::Factor(factor.each, factor.each_error, rows.len())
    })
}

impl<const N: usize> Settled<N> {
    /// Minutes for a decal and their standard error, where the own reckoning makes `own` of it.
    fn minutes(&self, row: &[f64; N], own: f64) -> (f64, Option<f64>) {
        match self {
            Self::Rates(fit, _) => (dot(row, &fit.rates), Some(fit.error_of(row))),
            Self::Factor(factor, error, _) => (factor * own, error.map(|error| error * own)),
            Self::Own => (own, None),
        }
    }
}

/// What a rate is of.
struct Part {
    id: &'static str,
    label: &'static str,
    /// How a time for each is told; none for a length.
    counted: Option<Counted>,
}

/// How a time for each of something is told: what is said of `3 s`, and of none.
#[derive(Clone, Copy)]
struct Counted {
    time: fn(&str) -> String,
    none: &'static str,
}

const LINE: Part = Part {
    id: "metre",
    label: say!("Cut line"),
    counted: None,
};
const WAY: Part = Part {
    id: "travel",
    label: say!("Way between outlines"),
    counted: None,
};
const OUTLINES: Part = Part {
    id: "outline",
    label: say!("Outlines"),
    counted: Some(Counted {
        time: |time| say!("{time} an outline"),
        none: say!("no time an outline"),
    }),
};
const PIECES: Part = Part {
    id: "piece",
    label: say!("Pieces"),
    counted: Some(Counted {
        time: a_piece,
        none: say!("no time a piece"),
    }),
};
const ISLANDS: Part = Part {
    id: "island",
    label: say!("Islands"),
    counted: Some(Counted {
        time: an_island,
        none: say!("no time an island"),
    }),
};
const FOOT: Counted = Counted {
    time: |time| say!("{time} a foot"),
    none: say!("no time a foot"),
};
const METRE: Counted = Counted {
    time: |time| say!("{time} a metre"),
    none: say!("no time a metre"),
};

/// A time that each island takes.
fn an_island(time: &str) -> String {
    say!("{time} an island")
}

impl Part {
    fn rate(&self, step: &'static str, each: f64, error: Option<f64>, unit: Unit) -> DrawingRate {
        let (share, counted) = match self.counted {
            Some(counted) => (1.0, counted),
            None if unit.is_imperial() => (Length::whole(1, Unit::Ft).to_f64(Unit::M), FOOT),
            None => (1.0, METRE),
        };
        // A rate at nothing is not known to be so: the entries would be met better still by less.
        let error = error.filter(|_| each > 0.0);
        let figure = if each > 0.0 {
            figure(each * share, error.map(|error| error * share), counted.time)
        } else {
            counted.none.to_owned()
        };
        DrawingRate {
            step,
            id: self.id,
            label: self.label,
            each,
            each_error: error,
            figure,
        }
    }
}

/// The rates of a step: those of the log for `parts`, or the own ones for theirs, set right.
fn rates<const N: usize>(
    step: &'static str,
    settled: &Settled<N>,
    parts: &[Part; N],
    own: &[(Part, f64)],
    unit: Unit,
) -> Vec<DrawingRate> {
    let (factor, error) = match settled {
        Settled::Rates(fit, _) => {
            let figures = parts.iter().zip(fit.rates).zip(fit.errors());
            return figures
                .map(|((part, each), error)| part.rate(step, each, Some(error), unit))
                .collect();
        }
        Settled::Factor(factor, error, _) => (*factor, *error),
        Settled::Own => (1.0, None),
    };
    own.iter()
        .map(|(part, each)| {
            let error = error.map(|error| error * each);
            part.rate(step, factor * each, error, unit)
        })
        .collect()
}

/// What is measured on the drawing in hand.
#[derive(Default)]
struct Drawing {
    metres: f64,
    /// Metres between outlines, where they are told.
    travel: Option<f64>,
    outlines: u32,
    pieces: u32,
    islands: u32,
}

impl Drawing {
    fn read(checks: &mut Checks, input: &DrawingMeasuresInput, unit: Unit) -> Self {
        let lengths = Range::new(Length::whole(1, Unit::Mm), Length::MAX);
        let path = "measures.cutLength";
        let length = checks.take(required(input.cut_length.as_ref(), path, unit, lengths));
        let path = "measures.travel";
        let lengths = Range::up_to(Length::MAX);
        let travel = checks.take(optional(input.travel.as_ref(), path, unit, lengths));
        let mut count = |input: Option<&Count>, path: &str, least| {
            let missing = Count::Text(String::new());
            let read = input.unwrap_or(&missing).read_from(least, MOST_PARTS);
            checks
                .take(read.map_err(|error| error.at(path)))
                .unwrap_or_default()
        };
        Self {
            metres: length.unwrap_or_default().to_f64(Unit::M),
            travel: travel.flatten().map(|travel| travel.to_f64(Unit::M)),
            outlines: count(input.outlines.as_ref(), "measures.outlines", 1),
            pieces: count(input.pieces.as_ref(), "measures.pieces", 0),
            islands: count(input.islands.as_ref(), "measures.islands", 0),
        }
    }
}

/// The machine: minutes a metre of cut line, a metre between outlines, and an outline.
struct Plotter {
    line: f64,
    way: f64,
    lift: f64,
    /// Which of the three were told.
    told: [bool; 3],
}

impl Plotter {
    fn read(checks: &mut Checks, input: &PlotterInput) -> Self {
        let mut speed = |input: Option<&NumberInput>, path: &str, usual: i64| {
            let least = Length::whole(1, Unit::Mm);
            let range = Range::new(least, Length::whole(10, Unit::M));
            let text = input.map_or_else(|| usual.to_string(), NumberInput::text);
            let text = text.trim_end();
            let text = text.strip_suffix("/s").unwrap_or(text);
            let read = LengthInput::from(text).read(Unit::Mm, range);
            let read = checks.take(read.map_err(|mut error| {
                error.hint = say!("write it like 100 mm/s, from 1 mm/s to 10 m/s").into();
                error.at(path)
            }));
            1.0 / (60.0 * read.unwrap_or(least).to_f64(Unit::M))
        };
        let line = speed(input.speed.as_ref(), "machine.speed", SPEED);
        let way = speed(
            input.travel_speed.as_ref(),
            "machine.travelSpeed",
            TRAVEL_SPEED,
        );
        let lift = NumberInput::between(input.lift.as_ref(), "machine.lift", 's', [0.0, 60.0]);
        let lift = checks.take(lift).flatten().unwrap_or(LIFT) / 60.0;
        let told = [&input.speed, &input.travel_speed, &input.lift].map(Option::is_some);
        Self {
            line,
            way,
            lift,
            told,
        }
    }

    /// Minutes for metres and outlines; `travel` is in metres.
    fn minutes(&self, [metres, outlines]: &[f64; 2], travel: Option<f64>) -> f64 {
        let travel = travel.unwrap_or(TRAVEL_SHARE * metres);
        self.line * metres + self.way * travel + self.lift * outlines
    }
}

/// Reckons how long a decal takes to cut and to weed by its drawing.
///
/// # Errors
/// Every field that cannot be read; those of the log at `log`, the first ten of its lines named.
pub fn drawing_time(input: &DrawingTimeInput) -> Result<DrawingTimeReport, InputErrors> {
    let mut checks = Checks::default();
    let unit = input.unit;
    let log = input.log.as_deref().unwrap_or_default();
    let log = entries(&mut checks, log, measured);
    let drawing = Drawing::read(&mut checks, &input.measures, unit);
    let plotter = Plotter::read(&mut checks, &input.machine);
    let told = [
        (&input.rates.metre, "rates.metre"),
        (&input.rates.piece, "rates.piece"),
        (&input.rates.island, "rates.island"),
    ]
    .map(|(input, path)| time(&mut checks, input.as_ref(), path));
    checks.finish(())?;

    let cuts = of("cut", &log, Measured::cut);
    let cutting = settled(&cuts, |row| plotter.minutes(row, None));
    let row = [drawing.metres, f64::from(drawing.outlines)];
    let (cut, cut_error) = cutting.minutes(&row, plotter.minutes(&row, drawing.travel));

    let own: [f64; 3] = std::array::from_fn(|place| told[place].unwrap_or(WEEDING[place]));
    let weedings = of("weed", &log, Measured::weed);
    let weeding = settled(&weedings, |row| dot(row, &own));
    let islands = f64::from(drawing.islands);
    let row = [drawing.metres, f64::from(drawing.pieces), islands];
    let (weed, weed_error) = weeding.minutes(&row, dot(&row, &own));

    let machine = [
        (LINE, plotter.line),
        (WAY, plotter.way),
        (OUTLINES, plotter.lift),
    ];
    let mut all = rates("cut", &cutting, &[LINE, OUTLINES], &machine, unit);
    let [metre, piece, island] = own;
    let by_hand = [(LINE, metre), (PIECES, piece), (ISLANDS, island)];
    all.extend(rates(
        "weed",
        &weeding,
        &[LINE, PIECES, ISLANDS],
        &by_hand,
        unit,
    ));
    let picking = all.last().map_or(0.0, |island| island.each * islands);
    let by = match told.iter().flatten().count() {
        0 => say!("by rule of thumb"),
        3 => say!("by the rates given"),
        _ => say!("by the rates given, and rule of thumb for the others"),
    };
    let left_out = log.iter().filter(|line| {
        let used = match line.entry.step() {
            "cut" => line.cut().is_some(),
            "weed" => line.weed().is_some(),
            _ => true,
        };
        line.tells() && !used
    });
    Ok(DrawingTimeReport {
        cut,
        cut_error,
        cut_text: figure(cut, cut_error, a_decal),
        cut_from: cutting.from(
            say!("by the machine's speed"),
            say!("no entry for cutting in the log tells its drawing's measures"),
            |factor| say!("one factor of {factor} sets the speeds right"),
        ),
        weed,
        weed_error,
        weed_text: figure(weed, weed_error, a_decal),
        weed_from: weeding.from(
            by,
            say!("no entry for weeding in the log tells its drawing's measures"),
            |factor| say!("one factor of {factor} sets all of them right"),
        ),
        rates: all,
        effort: effort(&drawing, picking, weed, unit),
        log_note: drawing.note(unit),
        assumptions: assumptions(
            (&cutting, &plotter, drawing.travel.is_some()),
            (&weeding, &told),
            left_out.count(),
        ),
    })
}

/// Whether all of the input can be read but for what is measured on the drawing, which is not known.
///
/// # Errors
/// Those of [`drawing_time`] with a drawing that is right.
pub fn without_drawing(input: &DrawingTimeInput) -> Result<(), InputErrors> {
    let count = |count| Some(Count::Number(count));
    let measures = DrawingMeasuresInput {
        cut_length: Some(LengthInput::from("1 m")),
        travel: None,
        outlines: count(1.0),
        pieces: count(1.0),
        islands: count(0.0),
    };
    let input = DrawingTimeInput {
        measures,
        ..input.clone()
    };
    drawing_time(&input).map(|_| ())
}

/// The entries of a step that tell what `tell` asks for: that, and their minutes.
fn of<const N: usize>(
    step: &str,
    log: &[Measured],
    tell: fn(&Measured) -> Option<[f64; N]>,
) -> Vec<([f64; N], f64)> {
    log.iter()
        .filter(|line| line.entry.step() == step)
        .filter_map(|line| Some((tell(line)?, line.entry.minutes)))
        .collect()
}
