//! How long the work takes: the maker's estimates, set right by a log of what it really took.
//!
//! Each step is fitted for itself: minutes = getting ready + minutes a piece times pieces, by least
//! squares. Getting ready is never below nothing: where it would be, or where the entries cannot tell
//! it from the rest, the line goes through the origin.

use super::fair::billionths;
use super::learning;
use super::told::work_text;
use crate::error::{Checks, Code, InputError, InputErrors};
use crate::input::read_by_members;
use crate::measure::{Count, NumberInput, Time, decimals, for_people, pieces, shown};
use crate::money::parse_percent;
use rust_decimal::prelude::ToPrimitive;
use say::say;
use serde::Serialize;

/// More mistakes of a log are not told at once.
const MOST_MISTAKES: usize = 10;

read_by_members! {
    /// What the times of work are reckoned from.
    #[derive(Clone, Debug, Default, PartialEq)]
    pub struct TimeInput {
        /// The maker's estimates, which count for a step until something of it is in the log.
        pub estimates: StepTimesInput = default,
        /// What the work really took, an entry a line: step, pieces, time, and any note, divided by
        /// commas, semicolons or tabs: `weed, 6, 14:30`. The time is in minutes and seconds, or
        /// as it is written elsewhere: `14.5 min`.
        pub log: Option<String> = default,
        /// Pieces of one kind that are made at once, to see how long they take; one where left out.
        pub pieces: Option<Count> = default,
        /// How the work on one kind of piece gets faster.
        pub learning: LearningInput = default,
        /// What a piece takes by its drawing, in place of estimates and log.
        pub drawing: DrawnTimesInput = default,
    }
}

read_by_members! {
    /// Times that a drawing tells; in minutes where no unit stands.
    #[derive(Clone, Debug, Default, PartialEq)]
    pub struct DrawnTimesInput {
        /// To cut a piece, by the way that the blade goes over it.
        pub cut: Option<NumberInput> = default,
        /// To weed a piece: to pull off the film that is not to stay.
        pub weed: Option<NumberInput> = default,
    }
}

read_by_members! {
    /// A time for each step; in minutes where no unit stands, nothing where it is left out.
    #[derive(Clone, Debug, Default, PartialEq)]
    pub struct StepTimesInput {
        /// To set up, once for all that is cut at once.
        pub setup: Option<NumberInput> = default,
        /// To cut a piece.
        pub cut: Option<NumberInput> = default,
        /// To weed a piece.
        pub weed: Option<NumberInput> = default,
        /// To tape a piece: to lay transfer tape on it.
        pub tape: Option<NumberInput> = default,
        /// To pack an order, however many pieces it has.
        pub pack: Option<NumberInput> = default,
    }
}

read_by_members! {
    /// How the work on one kind of piece gets faster: by a rate, or by two times from which it is found.
    #[derive(Clone, Debug, Default, PartialEq)]
    pub struct LearningInput {
        /// Hundredths to which the time of a piece falls each time their number doubles.
        pub rate: Option<NumberInput> = default,
        /// What the first piece took; what a piece takes by estimate or log where left out.
        pub first: Option<NumberInput> = default,
        /// The number of a later piece.
        pub number: Option<Count> = default,
        /// What that one took.
        pub later: Option<NumberInput> = default,
    }
}

/// The answer about the times of work.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "camelCase")]
pub struct TimeReport {
    /// Setting up, cutting, weeding, taping, packing.
    pub steps: Vec<StepTime>,
    /// Minutes once for all that is cut at once: setting up, and getting ready for each step.
    pub setup: f64,
    /// The same for people.
    pub setup_text: String,
    /// Minutes a piece: cutting, weeding, taping.
    pub piece: f64,
    /// The same for people.
    pub piece_text: String,
    /// Minutes an order: packing, as if it were packed alone.
    pub order: f64,
    /// The same for people.
    pub order_text: String,
    /// How many pieces are looked at: `1 piece`.
    pub pieces_text: String,
    /// What they take when they are made at once for one order, and get faster if so asked.
    pub whole_text: String,
    /// How the work gets faster; none where it does not.
    pub learning: Option<LearningReport>,
}

/// How long a step takes, and how sure that is.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "camelCase")]
pub struct StepTime {
    /// For programs: `setup`, `cut`, `weed`, `tape`, `pack`.
    pub id: &'static str,
    /// The step in a few words for people.
    pub label: &'static str,
    /// Entries in the log; without any the estimate counts.
    pub entries: u32,
    /// Minutes a piece; each time for setting up, an order for packing.
    pub each: f64,
    /// The standard error of that; none for an estimate or a single entry.
    pub each_error: Option<f64>,
    /// Minutes to get ready, once for what is done at once.
    pub ready: f64,
    /// The standard error of that; none where the line was put through the origin.
    pub ready_error: Option<f64>,
    /// By how many minutes an entry strays from the line (the residual standard deviation).
    pub spread: Option<f64>,
    /// Which figure counts and how sure it is: `2.4 min a piece, give or take 0.3, from 6 entries`.
    pub text: String,
}

/// How the work on one kind of piece gets faster, by Crawford's curve of unit times.
#[derive(Clone, Debug, PartialEq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "camelCase")]
pub struct LearningReport {
    /// Hundredths to which the time falls each time the number doubles, to a tenth.
    pub rate: String,
    /// The same as a number, unrounded.
    pub percent: f64,
    /// Minutes that the first piece takes.
    pub first: f64,
    /// The same for people.
    pub first_text: String,
    /// What the last of the pieces takes.
    pub last_text: String,
    /// Minutes a piece on average.
    pub mean: f64,
    /// The same for people.
    pub mean_text: String,
}

/// A step: for programs, for people, the names that a log may call it by, what a time is for.
struct Step {
    id: &'static str,
    label: &'static str,
    /// Those of every language of the site, whose pages share their books.
    names: [&'static str; 5],
    counted: fn(&str) -> String,
}

const STEPS: [Step; 5] = [
    Step {
        id: "setup",
        label: say!(in "a step of the work": "Set up"),
        names: ["set up", "setup", "setting up", "preparar", "preparación"],
        counted: |time| say!("{time} each time"),
    },
    Step {
        id: "cut",
        label: say!(in "a step of the work": "Cut"),
        names: ["cut", "cutting", "cuts", "cortar", "corte"],
        counted: a_piece,
    },
    Step {
        id: "weed",
        label: say!(in "a step of the work": "Weed"),
        names: ["weed", "weeding", "weeds", "pelar", "pelado"],
        counted: a_piece,
    },
    Step {
        id: "tape",
        label: say!(in "a step of the work": "Tape"),
        names: ["tape", "taping", "tapes", "cinta", "poner la cinta"],
        counted: a_piece,
    },
    Step {
        id: "pack",
        label: say!(in "a step of the work": "Pack"),
        names: ["pack", "packing", "packs", "empaquetar", "empaquetado"],
        counted: |time| say!("{time} an order"),
    },
];

/// A time that each piece takes.
pub(super) fn a_piece(time: &str) -> String {
    say!("{time} a piece")
}

/// Minutes for people: `2.4 min`, `1 h 15 min`.
fn text(minutes: f64) -> String {
    work_text(billionths(minutes / 60.0))
}

#[expect(
    clippy::cast_precision_loss,
    reason = "milliseconds of ten thousand hours are exact in 53 bits"
)]
fn minutes(time: Time) -> f64 {
    time.ms() as f64 / 60_000.0
}

/// A time of work as a stopwatch shows it, `14:30` or `1:14:30`, or as it is typed elsewhere.
fn stopped(text: &str) -> Result<Time, InputError> {
    let parts: Vec<&str> = text.split(':').map(str::trim).collect();
    let (hours, minutes, seconds) = match parts[..] {
        [minutes, seconds] => ("0", minutes, seconds),
        [hours, minutes, seconds] => (hours, minutes, seconds),
        [_] => return Time::parse(text),
        _ => ("", "", ""),
    };
    let digits = |part: &str| !part.is_empty() && part.bytes().all(|byte| byte.is_ascii_digit());
    let below_sixty =
        |part: &str| part.len() == 2 && part.starts_with(['0', '1', '2', '3', '4', '5']);
    let right = [hours, minutes, seconds].into_iter().all(digits)
        && below_sixty(seconds)
        && (parts.len() == 2 || below_sixty(minutes));
    if !right {
        return Err(InputError::new(
            Code::NotANumber,
            say!("`{typed}` is no time of a stopwatch", typed = shown(text)),
            say!("write minutes and seconds like 14:30, or 14.5 min"),
        ));
    }
    Time::parse(&format!("{hours} h {minutes} min {seconds} s"))
}

/// What an entry of the log says.
pub(super) struct Entry {
    /// The place among [`STEPS`].
    step: usize,
    pub(super) pieces: u32,
    pub(super) minutes: f64,
}

impl Entry {
    /// For programs: the step's name.
    #[cfg(feature = "artwork")]
    pub(super) const fn step(&self) -> &'static str {
        STEPS[self.step].id
    }
}

/// The cells of a line as they stand there, and whether commas divide them, which may be decimal ones.
pub(super) fn cells(line: &str) -> (bool, impl Iterator<Item = &str>) {
    let divider = [';', '\t'].into_iter().find(|sign| line.contains(*sign));
    (divider.is_none(), line.split(divider.unwrap_or(',')))
}

pub(super) fn entry(line: &str) -> Result<Entry, InputError> {
    let (by_commas, cells) = cells(line);
    let cells: Vec<&str> = cells.map(str::trim).collect();
    let cell = |place: usize| cells.get(place).copied().unwrap_or_default();
    let name = cell(0).to_ascii_lowercase();
    let step = STEPS.iter().position(|step| step.names.contains(&&*name));
    let step = step.ok_or_else(|| {
        InputError::new(
            Code::NotAChoice,
            say!("`{typed}` is no step of the work", typed = shown(cell(0))),
            say!("begin with set up, cut, weed, tape or pack"),
        )
    })?;
    let pieces = Count::Text(cell(1).to_owned()).read()?;
    let taken = cell(2);
    if by_commas && taken.bytes().all(|byte| byte.is_ascii_digit()) && Time::parse(cell(3)).is_ok()
    {
        // `14,5 min` is divided where it should not be.
        return Err(InputError::new(
            Code::Ambiguous,
            say!(
                "`{before}, {behind}` can be read in two ways",
                before = shown(taken),
                behind = shown(cell(3))
            ),
            say!("write 14.5 min with a point, or divide the line by semicolons"),
        ));
    }
    let time = stopped(taken)?;
    if time.ms() == 0 {
        return Err(InputError::new(
            Code::TooSmall,
            say!("no time at all"),
            say!("write what it took, or take the line away"),
        ));
    }
    Ok(Entry {
        step,
        pieces,
        minutes: minutes(time),
    })
}

/// Reads the lines of a log, each with `entry`; the mistakes name theirs.
pub(super) fn entries<T>(
    checks: &mut Checks,
    log: &str,
    entry: impl Fn(&str) -> Result<T, InputError>,
) -> Vec<T> {
    let mut entries = Vec::new();
    let mut mistakes = 0;
    for (place, line) in log.lines().enumerate() {
        if line.trim().is_empty() {
            continue;
        }
        match entry(line) {
            Ok(entry) => entries.push(entry),
            Err(mut error) if mistakes < MOST_MISTAKES => {
                mistakes += 1;
                let message = &error.message;
                error.message = say!("line {line}: {message}", line = place + 1).into();
                checks.add(error.at("log"));
            }
            Err(_) => {}
        }
    }
    entries
}

/// A straight line through points, and how sure it is.
#[derive(Default)]
pub(super) struct Line {
    ready: f64,
    pub(super) each: f64,
    ready_error: Option<f64>,
    pub(super) each_error: Option<f64>,
    spread: Option<f64>,
}

/// The line of least squares through `points`, of pieces and minutes; none where they do not tell both
/// of its figures and an error. Formulas of any textbook, with the means taken off first.
fn least_squares(points: &[(f64, f64)]) -> Option<Line> {
    let count = number_of(points);
    let (mut x_mean, mut y_mean) = (0.0, 0.0);
    for (x, y) in points {
        x_mean += x / count;
        y_mean += y / count;
    }
    let (mut xx, mut xy) = (0.0, 0.0);
    for (x, y) in points {
        xx += (x - x_mean) * (x - x_mean);
        xy += (x - x_mean) * (y - y_mean);
    }
    // Counts that differ differ by a whole piece.
    if count < 3.0 || xx < 0.1 {
        return None;
    }
    let each = xy / xx;
    let ready = y_mean - each * x_mean;
    let spread = (residue(points, ready, each) / (count - 2.0)).sqrt();
    Some(Line {
        ready,
        each,
        ready_error: Some(spread * (1.0 / count + x_mean * x_mean / xx).sqrt()),
        each_error: Some(spread / xx.sqrt()),
        spread: Some(spread),
    })
}

/// The line of least squares that goes through the origin; `points` are not empty, nor all at zero.
pub(super) fn through_origin(points: &[(f64, f64)]) -> Line {
    let (mut xx, mut xy) = (0.0, 0.0);
    for (x, y) in points {
        xx += x * x;
        xy += x * y;
    }
    let each = xy / xx;
    let count = number_of(points);
    let spread = (residue(points, 0.0, each) / (count - 1.0)).sqrt();
    let spread = (count > 1.0).then_some(spread);
    Line {
        each,
        each_error: spread.map(|spread| spread / xx.sqrt()),
        spread,
        ..Line::default()
    }
}

#[expect(clippy::cast_precision_loss, reason = "nobody logs so much")]
fn number_of(points: &[(f64, f64)]) -> f64 {
    points.len() as f64
}

/// The sum of the squares that a line leaves.
pub(super) fn residue(points: &[(f64, f64)], ready: f64, each: f64) -> f64 {
    let mut sum = 0.0;
    for (x, y) in points {
        let off = y - ready - each * x;
        sum += off * off;
    }
    sum
}

/// Decimals that a figure with this error deserves: those of the error's first figure, or of its
/// second where the first is a 1; two at most.
pub(super) fn places(error: f64) -> u32 {
    if error >= 2.0 {
        0
    } else if error >= 0.2 {
        1
    } else {
        2
    }
}

/// A number that is not below zero with so many decimals, zeros at the end included: they tell how
/// sure it is.
#[expect(
    clippy::cast_possible_truncation,
    reason = "a few thousand hours in hundredths of a minute"
)]
pub(super) fn with_places(number: f64, places: u32) -> String {
    let scale = 10_i64.pow(places);
    let parts = (number * f64::from(10_u32.pow(places))).round() as i64;
    let (whole, part) = (parts / scale, parts % scale);
    match places {
        0 => whole.to_string(),
        _ => for_people(format!("{whole}.{part:0width$}", width = places as usize)),
    }
}

/// `2.4 min a piece, give or take 0.3`.
fn sure(minutes: f64, error: Option<f64>, counted: fn(&str) -> String) -> String {
    let places = error.map_or(1, places);
    let time = counted(&format!("{} min", with_places(minutes, places)));
    match error {
        Some(error) => give_or_take(&time, &with_places(error, places)),
        None => time,
    }
}

/// A time for something, and its standard error.
pub(super) fn give_or_take(time: &str, error: &str) -> String {
    say!("{time}, give or take {error}")
}

fn step_time(
    place: usize,
    step: &Step,
    entries: &[Entry],
    estimate: f64,
    drawn: Option<f64>,
) -> StepTime {
    // Setting up is done once, however many pieces are cut.
    let count = |entry: &Entry| {
        if place == 0 {
            1.0
        } else {
            f64::from(entry.pieces)
        }
    };
    let of_step = entries
        .iter()
        .filter(|entry| entry.step == place && drawn.is_none());
    let points: Vec<(f64, f64)> = of_step.map(|entry| (count(entry), entry.minutes)).collect();
    let (line, text) = if points.is_empty() {
        let each = drawn.unwrap_or(estimate);
        let line = Line {
            each,
            ..Line::default()
        };
        let time = (step.counted)(&format!("{} min", decimals(each, 2)));
        let text = if drawn.is_some() {
            say!("{time}, by the drawing")
        } else {
            say!("{time}, as estimated")
        };
        (line, text)
    } else {
        let line = least_squares(&points)
            .filter(|line| line.ready >= 0.0 && line.each >= 0.0)
            .unwrap_or_else(|| through_origin(&points));
        let time = sure(line.each, line.each_error, step.counted);
        let entries = points.len();
        let text = if line.ready_error.is_some() {
            let ready = sure(line.ready, line.ready_error, |time| {
                say!("{time} to get ready")
            });
            say!("{time}, and {ready}, from {entries} entries")
        } else {
            say!(
                entries;
                "{time}, from {entries} entry, too few to tell how sure",
                "{time}, from {entries} entries"
            )
        };
        (line, text)
    };
    StepTime {
        id: step.id,
        label: step.label,
        entries: u32::try_from(points.len()).unwrap_or(u32::MAX),
        each: line.each,
        each_error: line.each_error,
        ready: line.ready,
        ready_error: line.ready_error,
        spread: line.spread,
        text,
    }
}

pub(super) fn time(checks: &mut Checks, input: Option<&NumberInput>, path: &str) -> Option<f64> {
    let read = Time::parse(&input?.text()).map_err(|error| error.at(path));
    checks.take(read).map(minutes)
}

/// The rate at which the work gets faster, and the time of the first piece if that is known.
fn learned(checks: &mut Checks, input: &LearningInput) -> (Option<f64>, Option<f64>) {
    let first = time(checks, input.first.as_ref(), "learning.first");
    let later = time(checks, input.later.as_ref(), "learning.later");
    let number = checks.take(Count::optional(input.number.as_ref(), "learning.number"));
    let mut wrong = |code, path: &str, message: &'static str, hint: &'static str| {
        checks.add(InputError::new(code, message, hint).at(path));
        None
    };
    let rate = match (&input.rate, first, number.flatten(), later) {
        (Some(rate), ..) => match parse_percent(&rate.text()) {
            Ok(rate) if rate < rust_decimal::Decimal::new(1, 2) => wrong(
                Code::TooSmall,
                "learning.rate",
                say!("nobody learns that fast"),
                say!("write a rate from 1 to 100, for example 90"),
            ),
            Ok(rate) => rate.to_f64(),
            Err(error) => {
                checks.add(error.at("learning.rate"));
                None
            }
        },
        (None, Some(first), Some(number), Some(later)) => {
            if number < 2 {
                wrong(
                    Code::TooSmall,
                    "learning.number",
                    say!("the later piece cannot be the first"),
                    say!("write which piece it was, from 2 on"),
                )
            } else if later <= 0.0 || later > first {
                wrong(
                    Code::Impossible,
                    "learning.later",
                    say!("the later piece took longer than the first, or no time"),
                    say!("write a time that is above zero and not above that of the first"),
                )
            } else {
                Some(learning::rate(later / first, number))
            }
        }
        _ => None,
    };
    (rate, first)
}

/// Reckons how long the work takes.
///
/// # Errors
/// Every field that cannot be read; those of the log at `log`, the first ten of its lines named.
pub fn work_time(input: &TimeInput) -> Result<TimeReport, InputErrors> {
    let mut checks = Checks::default();
    let estimates = &input.estimates;
    let estimates = [
        (&estimates.setup, "estimates.setup"),
        (&estimates.cut, "estimates.cut"),
        (&estimates.weed, "estimates.weed"),
        (&estimates.tape, "estimates.tape"),
        (&estimates.pack, "estimates.pack"),
    ]
    .map(|(input, path)| time(&mut checks, input.as_ref(), path).unwrap_or_default());
    let log = input.log.as_deref().unwrap_or_default();
    let entries = entries(&mut checks, log, entry);
    let DrawnTimesInput { cut, weed } = &input.drawing;
    let [cut, weed] = [(cut, "drawing.cut"), (weed, "drawing.weed")]
        .map(|(input, path)| time(&mut checks, input.as_ref(), path));
    let drawn = [None, cut, weed, None, None];
    let count = checks.take(Count::optional(input.pieces.as_ref(), "pieces"));
    let count = count.flatten().unwrap_or(1);
    let (rate, first) = learned(&mut checks, &input.learning);
    checks.finish(())?;

    let steps: Vec<StepTime> = STEPS
        .iter()
        .zip(estimates.into_iter().zip(drawn))
        .enumerate()
        .map(|(place, (step, (estimate, drawn)))| step_time(place, step, &entries, estimate, drawn))
        .collect();
    let (mut setup, mut piece, mut order) = (0.0, 0.0, 0.0);
    for step in &steps {
        match step.id {
            "setup" => setup += step.each,
            "pack" => order += step.ready + step.each,
            _ => {
                setup += step.ready;
                piece += step.each;
            }
        }
    }
    let learning = rate.map(|rate| {
        let first = first.unwrap_or(piece);
        let mean = first * learning::mean_factor(rate, count);
        LearningReport {
            rate: decimals(100.0 * rate, 1),
            percent: rate * 100.0,
            first,
            first_text: text(first),
            last_text: text(first * learning::unit_factor(rate, count)),
            mean,
            mean_text: text(mean),
        }
    });
    let mean = learning.as_ref().map_or(piece, |learning| learning.mean);
    Ok(TimeReport {
        steps,
        setup,
        setup_text: text(setup),
        piece,
        piece_text: text(piece),
        order,
        order_text: text(order),
        pieces_text: pieces(count),
        whole_text: text(setup + f64::from(count) * mean + order),
        learning,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn close(ours: Option<f64>, certified: f64) {
        // To ten of the fifteen digits that are certified.
        let near = |ours: f64| (ours - certified).abs() <= 1e-10 * certified.abs();
        assert!(ours.is_some_and(near), "{ours:?} is not {certified}");
    }

    /// NIST Statistical Reference Datasets, linear regression, "Norris": observed against true ozone, 36
    /// readings; data and certified values from memory, which would not agree if one were wrong.
    #[test]
    fn the_certified_line_is_met() {
        let points = [
            (0.2, 0.1),
            (337.4, 338.8),
            (118.2, 118.1),
            (884.6, 888.0),
            (10.1, 9.2),
            (226.5, 228.1),
            (666.3, 668.5),
            (996.3, 998.5),
            (448.6, 449.1),
            (777.0, 778.9),
            (558.2, 559.2),
            (0.4, 0.3),
            (0.6, 0.1),
            (775.5, 778.1),
            (666.9, 668.8),
            (338.0, 339.3),
            (447.5, 448.9),
            (11.6, 10.8),
            (556.0, 557.7),
            (228.1, 228.3),
            (995.8, 998.0),
            (887.6, 888.8),
            (120.2, 119.6),
            (0.3, 0.3),
            (0.3, 0.6),
            (556.8, 557.6),
            (339.1, 339.3),
            (887.2, 888.0),
            (999.0, 998.5),
            (779.0, 778.9),
            (11.1, 10.2),
            (118.3, 117.6),
            (229.2, 228.9),
            (669.1, 668.4),
            (448.9, 449.2),
            (0.5, 0.2),
        ];
        let line = least_squares(&points).unwrap();
        close(Some(line.ready), -0.262_323_073_774_029);
        close(Some(line.each), 1.002_116_818_020_45);
        close(line.ready_error, 0.232_818_234_301_152);
        close(line.each_error, 0.429_796_848_199_937e-3);
        close(line.spread, 0.884_796_396_144_373);
    }

    /// The same, "`NoInt1`" and "`NoInt2`": lines through the origin (from memory).
    #[test]
    fn the_certified_lines_through_the_origin_are_met() {
        let points: Vec<(f64, f64)> = (0..11)
            .map(|place| (60.0 + f64::from(place), 130.0 + f64::from(place)))
            .collect();
        let line = through_origin(&points);
        close(Some(line.each), 2.074_380_165_289_26);
        close(line.each_error, 0.165_289_256_198_347e-1);
        close(line.spread, 3.567_530_340_063_38);
        let line = through_origin(&[(4.0, 3.0), (5.0, 4.0), (6.0, 4.0)]);
        close(Some(line.each), 0.727_272_727_272_727);
        close(line.each_error, 0.420_827_318_078_432e-1);
        close(line.spread, 0.369_274_472_937_998);
    }
}
