//! What comes out of film, beside general-purpose packers of rectangles: `cargo xtask bench yield`.
//!
//! Prints tables in Markdown. Equal pieces on a sheet: how many, and how many no layout can surpass.
//! Pieces of several sizes on a roll: what length they take, against the best that is known. The
//! same in a browser is measured by `tests/browser/src/bin/yields.rs`.

mod instances;
mod packers;
mod tally;

use decal_reckoner::api::decode;
use decal_reckoner::material::{
    self, FilmReport, JobInput, JobPlan, JobReport, MaterialInput, MaterialReport,
};
use decal_reckoner::measure::{Length, Measured, Unit};
use instances::{Sheet, Size, Strip, sheets, strips};
use packers::{PACKERS, Packer};
use std::hint::black_box;
use std::path::Path;
use std::time::{Duration, Instant};
use tally::{Tallies, hundredths, load, ms};

/// So many slices of the search take about a tenth of a second, and a second, on the machine that the
/// figures in `DEVELOPERS.md` are from; where pieces may be turned a step takes longer. The search is
/// counted in steps and not in time, so that the lengths come out alike on every machine.
const fn slices(turn: bool) -> [u32; 2] {
    if turn { [2, 22] } else { [3, 33] }
}

/// Steps of one slice.
const SLICE: &str = "10 million";

fn main() {
    let project = Path::new(env!("CARGO_MANIFEST_DIR"));
    println!(
        "Natively, built for size as the module is. Load of the machine: {}.\n",
        load()
    );
    println!("## Equal pieces on a sheet\n");
    equal(&sheets(project));
    let strips = strips(project);
    for turn in [true, false] {
        let way = if turn { "turned as fits" } else { "not turned" };
        println!("\n## Several sizes on a roll, {way}\n");
        several(&strips, turn);
    }
    println!("\nLoad of the machine at the end: {}.", load());
}

/// How long one call takes, and what comes of it.
fn timed<T>(call: impl FnOnce() -> T) -> (T, Duration) {
    let start = Instant::now();
    let made = black_box(call());
    (made, start.elapsed())
}

/// Our own answer, all that a form is told, and how long it takes.
fn reckoned(sheet: &Sheet, effort: &str) -> (MaterialReport, Duration) {
    let input: MaterialInput = ours(&sheet.name, decode(&sheet.input(effort).to_string()));
    let (report, time) = timed(|| material::report(&input));
    (ours(&sheet.name, report), time)
}

/// What the core made of an instance that it must be able to use.
fn ours<T, E: std::fmt::Debug>(name: &str, made: Result<T, E>) -> T {
    made.unwrap_or_else(|e| panic!("{name}: {e:?}"))
}

/// A sheet and its piece for packers: whole numbers, the margin taken off, the gap added to both.
fn whole(sheet: &Sheet) -> (Size, Size) {
    let unit = Unit::from_symbol(&sheet.unit).unwrap_or_default();
    let [width, length, margin, gap, w, h] = sheet
        .typed
        .each_ref()
        .map(|typed| ours(&sheet.name, Length::parse(typed, unit)).nm());
    let usable = |side: i64| side - 2 * margin + gap;
    let sides = [usable(width), usable(length), w + gap, h + gap];
    let common = sides.into_iter().fold(0, common);
    let [width, length, w, h] = sides.map(|side| i32::try_from(side / common).unwrap_or(i32::MAX));
    ((width, length), (w, h))
}

/// The greatest common divisor.
fn common(a: i64, b: i64) -> i64 {
    if b == 0 { a } else { common(b, a % b) }
}

/// One table of all sheets, and what it comes to.
fn equal(sheets: &[Sheet]) {
    let names = PACKERS.map(|packer| packer.name).join(" | ");
    println!(
        "| | | possible | rows and columns | {names} | quick | gap | ms | thorough | gap | ms |"
    );
    println!(
        "| --- | --- | ---: | ---: |{} ---: | ---: | ---: | ---: | ---: | ---: |",
        " ---: |".repeat(PACKERS.len())
    );
    let mut tallies = Tallies::default();
    let (mut certified, mut reached) = (0, 0);
    for sheet in sheets {
        let (quick, time) = reckoned(sheet, "quick");
        let bound = f64::from(quick.bound);
        let mut add = |name: &str, count: u32, time| {
            tallies.add(name, hundredths(bound - f64::from(count), bound), time);
        };
        add("rows and columns", quick.naive, Duration::ZERO);
        let (space, piece) = whole(sheet);
        let pieces = vec![piece; quick.bound as usize];
        let others = PACKERS.map(|packer| {
            let (best, time) = timed(|| packer.best(space, &pieces, true));
            add(packer.name, u32::try_from(best.0).unwrap_or(u32::MAX), time);
            best.0.to_string()
        });
        add("quick", quick.count, time);
        add(&format!("quick, {}", sheet.family), quick.count, time);
        let mut most = quick.count;
        let thorough = if quick.count < quick.bound {
            let (thorough, time) = reckoned(sheet, "thorough");
            add("thorough, where quick is short", thorough.count, time);
            most = thorough.count;
            let gap = thorough.bound - thorough.count;
            format!("{} | {gap} | {}", thorough.count, ms(time))
        } else {
            " | | ".to_owned()
        };
        if let Some(known) = sheet.most {
            certified += 1;
            reached += usize::from(most == known);
        }
        println!(
            "| {} | {} | {} | {} | {} | {} | {} | {} | {thorough} |",
            sheet.family,
            sheet.name,
            quick.bound,
            quick.naive,
            others.join(" | "),
            quick.count,
            quick.bound - quick.count,
            ms(time),
        );
    }
    tallies.print("short by, %");
    println!("\n{reached} of the {certified} with a certified best count reach it.");
}

/// The shortest length into which a packer gets all pieces: halved in upon between the best that is
/// known and what they take one behind the other, as far as it ever has them all.
fn packed(strip: &Strip, packer: &Packer, turn: bool) -> (i32, Duration) {
    timed(|| {
        let all = |length: i32| {
            let (count, end) = packer.best((strip.width, length), &strip.pieces, turn);
            (count == strip.pieces.len()).then_some(end)
        };
        let mut shortest = strip.pieces.iter().map(|(w, h)| (*w).max(*h)).sum();
        let mut too_short = strip.best - 1;
        while too_short + 1 < shortest {
            let middle = too_short.midpoint(shortest);
            match all(middle) {
                Some(end) => shortest = end,
                None => too_short = middle,
            }
        }
        shortest
    })
}

/// What our own search has at one point of it.
struct Point {
    name: String,
    length: f64,
    time: Duration,
}

/// The points at which our own search is looked at, by the slices that were searched until then.
fn looks(turn: bool) -> [(String, u32); 4] {
    let [tenth, second] = slices(turn);
    [
        ("first layout".to_owned(), 0),
        (format!("{tenth} slices"), tenth),
        (format!("{second} slices"), second),
        ("whole search".to_owned(), u32::MAX),
    ]
}

/// Our own search at the points that are looked at, and the length that no layout can go below.
fn searched(strip: &Strip, turn: bool) -> ([Point; 4], f64) {
    let input: JobInput = ours(&strip.name, decode(&strip.job(turn).to_string()));
    let (plan, time) = timed(|| JobPlan::new(&input));
    let mut plan = ours(&strip.name, plan);
    let (mut slices, mut time) = (0, time);
    let points = looks(turn).map(|(name, until)| {
        let (report, more) = timed(|| {
            while slices < until && !plan.is_done() {
                plan.search(&mut |_| true);
                slices += 1;
            }
            plan.report()
        });
        time += more;
        let length = length(&report, |film| film.length.as_ref());
        Point { name, length, time }
    });
    let bound = length(&plan.report(), |film| film.length_bound.as_ref());
    (points, bound)
}

/// A length of the only film of a report.
fn length(report: &JobReport, which: impl Fn(&FilmReport) -> Option<&Measured>) -> f64 {
    let film = report.films.first().and_then(which);
    film.map_or(f64::NAN, |length| length.value)
}

/// One table of all rolls, and what it comes to.
fn several(strips: &[Strip], turn: bool) {
    let [tenth, second] = slices(turn);
    println!(
        "A slice of the search is {SLICE} steps: {tenth} take about 0.1 s, {second} about 1 s.\n"
    );
    let names = PACKERS.map(|packer| packer.name.to_owned());
    let names = names.into_iter().chain(looks(turn).map(|(name, _)| name));
    let head: Vec<String> = names.map(|name| format!("{name} | % over | ms")).collect();
    println!("| | pieces | best known | bound | {} |", head.join(" | "));
    println!(
        "| --- | ---: | ---: | ---: |{}",
        " ---: |".repeat(3 * head.len())
    );
    let mut tallies = Tallies::default();
    for strip in strips {
        let best = f64::from(strip.best);
        let mut cell = |name: &str, length: f64, time: Duration| {
            let over = hundredths(length - best, best);
            tallies.add(&format!("{}, {name}", strip.family), over, time);
            format!("{length} | {over:.1} | {}", ms(time))
        };
        let mut cells = Vec::new();
        for packer in PACKERS {
            let (length, time) = packed(strip, &packer, turn);
            cells.push(cell(packer.name, f64::from(length), time));
        }
        let (points, bound) = searched(strip, turn);
        for point in points {
            cells.push(cell(&point.name, point.length, point.time));
        }
        println!(
            "| {} | {} | {} | {bound} | {} |",
            strip.name,
            strip.pieces.len(),
            strip.best,
            cells.join(" | ")
        );
    }
    tallies.print("over the best, %");
    let [first, second_c, second_d] = if turn {
        ["4.6", "0.3", "1.5"]
    } else {
        ["4.8", "0.9", "1.5"]
    };
    println!(
        "\nThe aim: C {second_c} % and D {second_d} % over the best in 1 s; a first layout of C within 50 ms, {first} % over."
    );
}
