//! What comes out of film, beside general-purpose packers of rectangles: `cargo xtask bench yield`.
//!
//! Prints tables in Markdown. Equal pieces on a sheet: how many, and how many no layout can surpass.
//! Pieces of several sizes on a roll: what length they take, against the best that is known. Every
//! layout of another packer is looked through before it counts.

use binpack2d::Dimension;
use binpack2d::maxrects::{Heuristic, MaxRectsBin};
use decal_reckoner::material::{
    Effort, MaterialInput, MaterialReport, PieceInput, SheetInput, report,
};
use decal_reckoner::measure::{Length, LengthInput, Unit};
use rectangle_pack::{
    GroupedRectsToPlace, RectToInsert, TargetBin, contains_smallest_box, pack_rects,
    volume_heuristic,
};
use std::collections::BTreeMap;
use std::fs;
use std::hint::black_box;
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

fn main() {
    let sheets = sheets();
    println!("## Equal pieces on a sheet\n");
    equal(&sheets);
    let strips = strips();
    for turn in [true, false] {
        let way = if turn { "turned as fits" } else { "not turned" };
        println!("\n## Several sizes on a roll, {way}\n");
        several(&strips, turn);
    }
}

/// Width and length, or the two sides of a piece.
type Size = (i32, i32);

/// A rectangle where a packer has put it.
#[derive(Clone, Copy, Debug)]
struct Spot {
    x: i32,
    y: i32,
    w: i32,
    h: i32,
}

/// A packer of rectangles that is no part of this project.
struct Packer {
    name: &'static str,
    /// Whether it turns pieces by itself.
    turns: bool,
    /// Packs what fits of the pieces into a space.
    pack: fn(space: Size, pieces: &[Size], turn: bool) -> Vec<Spot>,
}

const PACKERS: [Packer; 4] = [
    Packer {
        name: "crunch",
        turns: true,
        pack: crunch,
    },
    Packer {
        name: "binpack2d",
        turns: false,
        pack: binpack2d,
    },
    Packer {
        name: "rect_packer",
        turns: true,
        pack: rect_packer,
    },
    Packer {
        name: "rectangle-pack",
        turns: false,
        pack: rectangle_pack,
    },
];

impl Packer {
    /// The most of the pieces that the packer gets into the space, and how long a part of it they
    /// take. One that turns no piece is shown them as they are and, where they may be turned, all of
    /// them upright and all of them lying, and the best counts.
    fn best(&self, space: Size, pieces: &[Size], turn: bool) -> (usize, i32) {
        let mut ways = vec![pieces.to_vec()];
        if turn && !self.turns {
            let fitting = |(w, h): Size, (to_w, to_h): Size| {
                if to_w <= space.0 && to_h <= space.1 {
                    (to_w, to_h)
                } else {
                    (w, h)
                }
            };
            let lie = |&(w, h): &Size| fitting((w, h), (w.max(h), w.min(h)));
            let stand = |&(w, h): &Size| fitting((w, h), (w.min(h), w.max(h)));
            ways.push(pieces.iter().map(lie).collect());
            ways.push(pieces.iter().map(stand).collect());
        }
        let packed = ways.iter().map(|pieces| {
            let spots = (self.pack)(space, pieces, turn);
            check(self.name, space, &spots, pieces, turn);
            let end = spots.iter().map(|spot| spot.y + spot.h).max();
            (spots.len(), end.unwrap_or(0))
        });
        // Of as many pieces, those that take less.
        let best = packed.max_by_key(|(count, end)| (*count, -end));
        best.unwrap_or((0, 0))
    }
}

/// Stops the bench where a layout is none: out of the space, one piece on another, or other pieces.
fn check(name: &str, space: Size, spots: &[Spot], pieces: &[Size], turn: bool) {
    let sides = |w: i32, h: i32| if turn { (w.min(h), w.max(h)) } else { (w, h) };
    let mut left: Vec<Size> = pieces.iter().map(|&(w, h)| sides(w, h)).collect();
    for (place, a) in spots.iter().enumerate() {
        let inside = a.x >= 0 && a.y >= 0 && a.x + a.w <= space.0 && a.y + a.h <= space.1;
        let apart = spots[..place]
            .iter()
            .all(|b| a.x + a.w <= b.x || b.x + b.w <= a.x || a.y + a.h <= b.y || b.y + b.h <= a.y);
        let asked = left.iter().position(|size| *size == sides(a.w, a.h));
        assert!(
            inside && apart && asked.is_some(),
            "{name}: {a:?} in {space:?}"
        );
        left.swap_remove(asked.unwrap_or(0));
    }
}

fn crunch((width, length): Size, pieces: &[Size], turn: bool) -> Vec<Spot> {
    use crunch::{Item, Packer, Rect, Rotation};
    let side = |side: i32| usize::try_from(side).unwrap_or(0);
    let back = |side: usize| i32::try_from(side).unwrap_or(i32::MAX);
    let turn = if turn {
        Rotation::Allowed
    } else {
        Rotation::None
    };
    let items = pieces
        .iter()
        .map(|&(w, h)| Item::new((), side(w), side(h), turn));
    let packed = Packer::with_items(items).pack(Rect::of_size(side(width), side(length)));
    let (Ok(packed) | Err(packed)) = packed;
    let spot = |rect: Rect| Spot {
        x: back(rect.x),
        y: back(rect.y),
        w: back(rect.w),
        h: back(rect.h),
    };
    packed.into_iter().map(|item| spot(item.rect)).collect()
}

/// With the best of its rules.
fn binpack2d((width, length): Size, pieces: &[Size], _: bool) -> Vec<Spot> {
    let pieces: Vec<Dimension> = (0..)
        .zip(pieces)
        .map(|(id, &(w, h))| Dimension::with_id(id, w, h, 0))
        .collect();
    let rules = [
        Heuristic::BestShortSideFit,
        Heuristic::BestLongSideFit,
        Heuristic::BestAreaFit,
        Heuristic::BottomLeftRule,
        Heuristic::ContactPointRule,
    ];
    let packed = rules.map(|rule| {
        let (packed, _) = MaxRectsBin::new(width, length).insert_list(&pieces, rule);
        let spots = packed.iter().map(|rect| Spot {
            x: rect.x(),
            y: rect.y(),
            w: rect.width(),
            h: rect.height(),
        });
        spots.collect::<Vec<_>>()
    });
    let end = |spots: &[Spot]| spots.iter().map(|spot| spot.y + spot.h).max().unwrap_or(0);
    let best = packed
        .into_iter()
        .max_by_key(|spots| (spots.len(), -end(spots)));
    best.unwrap_or_default()
}

/// Takes one piece after the other; they are handed over by their longer sides, as its kind wants.
fn rect_packer((width, height): Size, pieces: &[Size], turn: bool) -> Vec<Spot> {
    let mut packer = rect_packer::Packer::new(rect_packer::Config {
        width,
        height,
        border_padding: 0,
        rectangle_padding: 0,
    });
    let mut pieces = pieces.to_vec();
    pieces.sort_by_key(|&(w, h)| (-w.max(h), -w.min(h)));
    let rects = pieces.iter().filter_map(|&(w, h)| packer.pack(w, h, turn));
    let spots = rects.map(|rect| Spot {
        x: rect.x,
        y: rect.y,
        w: rect.width,
        h: rect.height,
    });
    spots.collect()
}

/// Packs all or nothing, so that the pieces from the back are left out by halves until it can.
fn rectangle_pack((width, length): Size, pieces: &[Size], _: bool) -> Vec<Spot> {
    let side = |side: i32| u32::try_from(side).unwrap_or(0);
    let back = |side: u32| i32::try_from(side).unwrap_or(i32::MAX);
    let first = |count: usize| {
        let mut rects: GroupedRectsToPlace<usize, ()> = GroupedRectsToPlace::new();
        for (id, &(w, h)) in pieces[..count].iter().enumerate() {
            rects.push_rect(id, None, RectToInsert::new(side(w), side(h), 1));
        }
        let mut bins = BTreeMap::from([((), TargetBin::new(side(width), side(length), 1))]);
        let packed = pack_rects(&rects, &mut bins, &volume_heuristic, &contains_smallest_box);
        packed.ok().map(|packed| {
            let places = packed.packed_locations().values();
            let spots = places.map(|((), place)| Spot {
                x: back(place.x()),
                y: back(place.y()),
                w: back(place.width()),
                h: back(place.height()),
            });
            spots.collect::<Vec<_>>()
        })
    };
    if let Some(all) = first(pieces.len()) {
        return all;
    }
    let (mut best, mut fits, mut too_many) = (Vec::new(), 0, pieces.len());
    while fits + 1 < too_many {
        let middle = fits.midpoint(too_many);
        if let Some(spots) = first(middle) {
            (best, fits) = (spots, middle);
        } else {
            too_many = middle;
        }
    }
    best
}

/// Equal pieces on a sheet.
struct Sheet {
    name: String,
    family: String,
    input: MaterialInput,
    /// The same for packers: space and piece in whole numbers, the gap added to both.
    space: Size,
    piece: Size,
}

/// How long one call takes, and what comes of it.
fn timed<T>(call: impl FnOnce() -> T) -> (T, Duration) {
    let start = Instant::now();
    let made = black_box(call());
    (made, start.elapsed())
}

fn data() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data")
}

/// The rows of a file, those of words left out.
fn rows(file: &str) -> Vec<Vec<String>> {
    let file = data().join(file);
    let text = fs::read_to_string(&file).unwrap_or_else(|e| panic!("{}: {e}", file.display()));
    let lines = text.lines().filter(|line| !line.starts_with('#'));
    lines
        .map(|line| line.split(',').map(|cell| cell.trim().to_owned()).collect())
        .collect()
}

/// The instances of the literature with those drawn at random, then our own.
fn sheets() -> Vec<Sheet> {
    let mut sheets = Vec::new();
    for row in rows("pallet.csv").iter().skip(1) {
        let note = row[7].split(['-', ';']).next().unwrap_or_default();
        // What is in thousandths of an inch counts as tenths of a millimetre here, what has no unit
        // as centimetres: only proportions matter.
        let text = |cell: &str| {
            let side: i64 = cell.parse().unwrap_or(0);
            let unit = if note == "decal" { 100_000 } else { 10_000_000 };
            Length::from_nm(side * unit).exact(Unit::Mm)
        };
        let lengths = [&row[1], &row[0], "0", "0", &row[3], &row[2]];
        let typed = lengths.map(|cell| {
            if cell == "0" {
                cell.to_owned()
            } else {
                text(cell)
            }
        });
        sheets.push(Sheet::new(note, Unit::Mm, &typed, row[..4].join(" ")));
    }
    for row in rows("decal-sheets.csv").iter().skip(1) {
        let unit = Unit::from_symbol(&row[0]).unwrap_or_default();
        let typed: [String; 6] = std::array::from_fn(|cell| row[cell + 1].clone());
        let name = format!(
            "{} × {} {unit}, {} × {}",
            typed[0],
            typed[1],
            typed[4],
            typed[5],
            unit = unit.symbol()
        );
        sheets.push(Sheet::new("our own", unit, &typed, name));
    }
    sheets
}

impl Sheet {
    /// `typed` are width, length, margin and gap of the sheet, width and height of the piece.
    fn new(family: &str, unit: Unit, typed: &[String; 6], name: String) -> Self {
        let input = |at: usize| Some(LengthInput::from(typed[at].as_str()));
        let nm = |at: usize| {
            let length = Length::parse(&typed[at], unit);
            length.unwrap_or_else(|e| panic!("{name}: {e:?}")).nm()
        };
        let sides = [
            nm(0) - 2 * nm(2) + nm(3),
            nm(1) - 2 * nm(2) + nm(3),
            nm(4) + nm(3),
            nm(5) + nm(3),
        ];
        let common = sides.into_iter().fold(0, common);
        let [width, length, w, h] =
            sides.map(|side| i32::try_from(side / common).unwrap_or(i32::MAX));
        Self {
            family: family.to_owned(),
            input: MaterialInput {
                unit,
                sheet: SheetInput {
                    width: input(0),
                    length: input(1),
                },
                margin: input(2),
                gap: input(3),
                pieces: vec![PieceInput {
                    width: input(4),
                    height: input(5),
                    ..PieceInput::default()
                }],
                ..MaterialInput::default()
            },
            space: (width, length),
            piece: (w, h),
            name,
        }
    }

    /// Our own answer, all that a form is told, and how long it takes.
    fn reckoned(&self, effort: Effort) -> (MaterialReport, Duration) {
        let input = MaterialInput {
            effort,
            ..self.input.clone()
        };
        let (report, time) = timed(|| report(&input));
        let report = report.unwrap_or_else(|e| panic!("{}: {e:?}", self.name));
        (report, time)
    }
}

/// The greatest common divisor.
fn common(a: i64, b: i64) -> i64 {
    if b == 0 { a } else { common(b, a % b) }
}

/// What a column of a table has come to, for the lines below it.
#[derive(Default)]
struct Tally {
    /// By how much each falls short, or is too long, in hundredths of what is possible.
    short: Vec<f64>,
    /// How many are as good as is possible.
    met: usize,
    times: Vec<Duration>,
}

impl Tally {
    fn add(&mut self, short: f64, time: Duration) {
        self.short.push(short);
        self.met += usize::from(short <= 0.0);
        self.times.push(time);
    }

    /// A row of the summary.
    fn print(&self, name: &str) {
        let mut times = self.times.clone();
        times.sort_unstable();
        let at = |hundredths: usize| times[(times.len() - 1) * hundredths / 100];
        let cases = count(self.short.len());
        println!(
            "| {name} | {cases:.0} | {:.2} | {:.0} ({:.0} %) | {} | {} | {} |",
            self.short.iter().sum::<f64>() / cases,
            count(self.met),
            count(self.met) / cases * 100.0,
            ms(at(50)),
            ms(at(95)),
            ms(at(100)),
        );
    }
}

fn summary(what: &str, tallies: &[(String, Tally)]) {
    println!("\n| | cases | {what} | best | ms, median | 95 % | most |");
    println!("| --- | ---: | ---: | ---: | ---: | ---: | ---: |");
    for (name, tally) in tallies.iter().filter(|(_, tally)| !tally.short.is_empty()) {
        tally.print(name);
    }
}

/// Adds to the tally of that name.
fn tally<'a>(tallies: &'a mut Vec<(String, Tally)>, name: &str) -> &'a mut Tally {
    let place = tallies.iter().position(|(other, _)| other == name);
    let place = place.unwrap_or_else(|| {
        tallies.push((name.to_owned(), Tally::default()));
        tallies.len() - 1
    });
    &mut tallies[place].1
}

fn ms(time: Duration) -> String {
    format!("{:.2}", time.as_secs_f64() * 1e3)
}

#[expect(clippy::cast_precision_loss, reason = "a few thousand at most")]
const fn count(number: usize) -> f64 {
    number as f64
}

fn hundredths(part: f64, whole: f64) -> f64 {
    part / whole * 100.0
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
    let mut tallies = Vec::new();
    for sheet in sheets {
        let (quick, time) = sheet.reckoned(Effort::Quick);
        let bound = f64::from(quick.bound);
        let mut add = |name: &str, count: f64, time| {
            let short = hundredths(bound - count, bound);
            tally(&mut tallies, name).add(short, time);
        };
        add("rows and columns", f64::from(quick.naive), Duration::ZERO);
        let pieces = vec![sheet.piece; quick.bound as usize];
        let others = PACKERS.map(|packer| {
            let (best, time) = timed(|| packer.best(sheet.space, &pieces, true));
            add(packer.name, count(best.0), time);
            best.0.to_string()
        });
        add("quick", f64::from(quick.count), time);
        add(
            &format!("quick, {}", sheet.family),
            f64::from(quick.count),
            time,
        );
        let thorough = if quick.count < quick.bound {
            let (thorough, time) = sheet.reckoned(Effort::Thorough);
            add(
                "thorough, where quick is short",
                f64::from(thorough.count),
                time,
            );
            let gap = thorough.bound - thorough.count;
            format!("{} | {gap} | {}", thorough.count, ms(time))
        } else {
            " | | ".to_owned()
        };
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
    summary("short by, %", &tallies);
}

/// Pieces of several sizes on a roll whose best length is known.
struct Strip {
    name: String,
    family: &'static str,
    width: i32,
    pieces: Vec<Size>,
    best: i32,
}

/// The instances of the literature, then our own.
fn strips() -> Vec<Strip> {
    let mut strips = Vec::new();
    for (folder, family) in [("strip", "C"), ("strip/decal", "D")] {
        let mut index = rows(&format!("{folder}/index.csv")).split_off(1);
        index.sort_unstable();
        for row in index {
            let number = |cell: &String| cell.parse::<i32>().unwrap_or(0);
            let mut pieces = Vec::new();
            for row in rows(&format!("{folder}/{}.csv", row[0])).iter().skip(2) {
                let size = (number(&row[0]), number(&row[1]));
                pieces.extend((0..number(&row[2])).map(|_| size));
            }
            strips.push(Strip {
                family,
                width: number(&row[2]),
                best: number(&row[6]),
                name: row[0].clone(),
                pieces,
            });
        }
    }
    strips
}

impl Strip {
    /// The shortest length into which a packer gets all pieces: halved in upon between the best that
    /// is known and what they take one behind the other, as far as it ever has them all.
    fn packed(&self, packer: &Packer, turn: bool) -> (i32, Duration) {
        timed(|| {
            let all = |length: i32| {
                let (count, end) = packer.best((self.width, length), &self.pieces, turn);
                (count == self.pieces.len()).then_some(end)
            };
            let mut shortest = self.pieces.iter().map(|(w, h)| (*w).max(*h)).sum();
            let mut too_short = self.best - 1;
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
}

/// One table of all rolls, and what it comes to.
fn several(strips: &[Strip], turn: bool) {
    let head = PACKERS.map(|packer| format!("{} | % over | ms", packer.name));
    println!("| | pieces | best known | {} |", head.join(" | "));
    println!(
        "| --- | ---: | ---: |{}",
        " ---: |".repeat(3 * PACKERS.len())
    );
    let mut tallies = Vec::new();
    for strip in strips {
        let mut row = |name: &str, (length, time): (i32, Duration)| {
            let over = hundredths(f64::from(length - strip.best), f64::from(strip.best));
            tally(&mut tallies, &format!("{}, {name}", strip.family)).add(over, time);
            format!("{length} | {over:.1} | {}", ms(time))
        };
        let cells = PACKERS.map(|packer| row(packer.name, strip.packed(&packer, turn)));
        println!(
            "| {} | {} | {} | {} |",
            strip.name,
            strip.pieces.len(),
            strip.best,
            cells.join(" | ")
        );
    }
    summary("over the best, %", &tallies);
}
