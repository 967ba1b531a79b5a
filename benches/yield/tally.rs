//! What the columns of a table come to, and the figures in their cells.

use std::time::Duration;

/// What each column of a table has come to, by its name, in the order in which the names came up.
#[derive(Default)]
pub struct Tallies(Vec<(String, Tally)>);

/// What a column has come to.
#[derive(Default)]
struct Tally {
    /// By how much each falls short, or is too long, in hundredths of what is possible.
    off: Vec<f64>,
    /// How many are as good as is possible.
    met: usize,
    times: Vec<Duration>,
}

impl Tallies {
    /// Adds a case to the column of that name.
    pub fn add(&mut self, name: &str, off: f64, time: Duration) {
        let place = self.0.iter().position(|(other, _)| other == name);
        let place = place.unwrap_or_else(|| {
            self.0.push((name.to_owned(), Tally::default()));
            self.0.len() - 1
        });
        let tally = &mut self.0[place].1;
        tally.off.push(off);
        tally.met += usize::from(off <= 0.0);
        tally.times.push(time);
    }

    /// Prints what all columns come to as a table; `off` says what a figure below the best means.
    pub fn print(&self, off: &str) {
        println!("\n| | cases | {off} | best | ms, median | 95 % | most |");
        println!("| --- | ---: | ---: | ---: | ---: | ---: | ---: |");
        for (name, tally) in &self.0 {
            let mut times = tally.times.clone();
            times.sort_unstable();
            let at = |hundredths: usize| ms(times[(times.len() - 1) * hundredths / 100]);
            let cases = count(tally.off.len());
            println!(
                "| {name} | {cases:.0} | {:.2} | {:.0} ({:.0} %) | {} | {} | {} |",
                tally.off.iter().sum::<f64>() / cases,
                count(tally.met),
                count(tally.met) / cases * 100.0,
                at(50),
                at(95),
                at(100),
            );
        }
    }
}

/// A time as a figure in milliseconds.
pub fn ms(time: Duration) -> String {
    format!("{:.2}", time.as_secs_f64() * 1e3)
}

#[expect(clippy::cast_precision_loss, reason = "a few thousand at most")]
const fn count(number: usize) -> f64 {
    number as f64
}

/// A part of a whole in hundredths.
pub fn hundredths(part: f64, whole: f64) -> f64 {
    part / whole * 100.0
}

/// What the machine is busy with beside this, where it says so: times are worth less the more it is.
pub fn load() -> String {
    let load = std::fs::read_to_string("/proc/loadavg").unwrap_or_default();
    let last_minute = load.split(' ').next().filter(|load| !load.is_empty());
    last_minute.map_or_else(
        || "unknown".to_owned(),
        |load| format!("{load} in the last minute"),
    )
}
