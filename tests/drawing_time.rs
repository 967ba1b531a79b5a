//! The time that a drawing takes: against another solver in exact fractions, hand-made sums, and laws.

mod common;

use common::{float, fraction, lines_are_refused};
use decal_reckoner::api::decode;
use decal_reckoner::error::{Code, InputErrors};
use decal_reckoner::quote::{
    DrawingTimeInput, DrawingTimeReport, TimeInput, TimeReport, drawing_time, without_drawing,
    work_time,
};
use num_rational::BigRational;
use proptest::prelude::*;
use serde_json::{Value, json};

fn reckoned(members: &Value) -> Result<DrawingTimeReport, InputErrors> {
    let input: DrawingTimeInput =
        decode(&members.to_string()).unwrap_or_else(|errors| panic!("{members} {errors:?}"));
    drawing_time(&input)
}

fn times(members: &Value) -> DrawingTimeReport {
    reckoned(members).unwrap_or_else(|errors| panic!("{members} {errors:?}"))
}

/// How fiddly the weeding is, as the page tells it: the word, and what it comes from.
fn told(report: &DrawingTimeReport) -> String {
    format!("{}: {}", report.effort.word, report.effort.text)
}

/// The drawing in hand of most tests: 2.41 m, 50 outlines, 38 pieces, 12 islands.
fn with_log(log: &str) -> Value {
    json!({
        "unit": "mm", "log": log,
        "measures": { "cutLength": 2410, "outlines": 50, "pieces": 38, "islands": 12 },
    })
}

fn rate(report: &DrawingTimeReport, step: &str, id: &str) -> f64 {
    let named = |rate: &&decal_reckoner::quote::DrawingRate| rate.step == step && rate.id == id;
    report.rates.iter().find(named).unwrap().each
}

fn rates(report: &DrawingTimeReport) -> [f64; 3] {
    ["metre", "piece", "island"].map(|id| rate(report, "weed", id))
}

fn figure<'a>(report: &'a DrawingTimeReport, step: &str, id: &str) -> &'a str {
    let rate = report.rates.iter().find(|r| r.step == step && r.id == id);
    &rate.unwrap().figure
}

#[track_caller]
fn close(ours: f64, known: f64, error: f64) {
    assert!((ours - known).abs() <= error, "{ours} is not {known}");
}

/// By hand. Cutting: 2.41 m at 0.1 m/s are 24.1 s, a quarter of that way at 0.3 m/s takes 2.008 s, 50
/// starts of 0.2 s are 10 s: 36.108 s. Weeding: 2.41 · 0.5 + 38 · 0.05 + 12 · 0.06 = 3.825 min.
#[test]
fn without_a_log_speeds_and_rates_count() {
    let report = times(&with_log(""));
    close(report.cut, 36.108_333_333_333 / 60.0, 1e-9);
    assert_eq!(report.cut_text, "36 s a decal");
    close(report.weed, 3.825, 1e-12);
    assert_eq!(report.weed_text, "3.8 min a decal");
    assert_eq!((report.cut_error, report.weed_error), (None, None));
    assert_eq!(
        report.cut_from,
        "by the machine's speed; no entry for cutting in the log tells its drawing's measures"
    );
    assert_eq!(
        report.weed_from,
        "by rule of thumb; no entry for weeding in the log tells its drawing's measures"
    );
    assert_eq!(figure(&report, "cut", "metre"), "10 s a metre");
    assert_eq!(figure(&report, "cut", "travel"), "3.3 s a metre");
    assert_eq!(figure(&report, "cut", "outline"), "0.2 s an outline");
    assert_eq!(figure(&report, "weed", "metre"), "30 s a metre");
    assert_eq!(figure(&report, "weed", "piece"), "3 s a piece");
    assert_eq!(figure(&report, "weed", "island"), "3.6 s an island");
    // The share of the islands is 0.72 of 3.825; there are 50 / 2.41 = 20.7 bits on a metre.
    close(report.effort.island_share, 0.72 / 3.825, 1e-12);
    close(report.effort.bits, 50.0 / 2.41, 1e-9);
    assert_eq!(report.effort.grade, "middling");
    assert_eq!(
        told(&report),
        "Middling: 21 pieces and islands on a metre of cut line; picking out the 12 islands is 19 % of the time"
    );
    assert_eq!(report.log_note, "2.41 m, 38 pieces, 12 islands");
    let marked = |mark: &str| {
        report
            .assumptions
            .iter()
            .filter(|a| a.contains(mark))
            .count()
    };
    assert_eq!(marked("(common practice, no source)"), 1);
    assert_eq!(marked("(rule of thumb)"), 3);

    // All of it told: 2.41 m at 0.05 m/s, 1.2 m at 0.4 m/s, 50 · 0.5 s; 2.41 · 1 + 38 · 0.1 + 0.
    let mut input = with_log("");
    input["measures"]["travel"] = json!("1.2 m");
    input["machine"] = json!({ "speed": 50, "travelSpeed": "40 cm/s", "lift": "0.5 s" });
    input["rates"] = json!({ "metre": 1, "piece": "6 s", "island": 0 });
    let report = times(&input);
    close(report.cut * 60.0, 48.2 + 3.0 + 25.0, 1e-9);
    close(report.weed, 6.21, 1e-9);
    assert!(report.weed_from.starts_with("by the rates given; "));
    assert_eq!(figure(&report, "weed", "island"), "no time an island");
    let marked = |mark: &str| report.assumptions.iter().any(|a| a.contains(mark));
    assert!(!marked("(common practice") && !marked("(rule of thumb)"));
    input["rates"] = json!({ "metre": 1 });
    assert!(
        times(&input)
            .weed_from
            .contains("rule of thumb for the others")
    );
}

/// Entries made from 1.5 min a metre, 0.1 a piece, 0.2 an island and 0.4 a metre, 0.01 an outline.
#[test]
fn known_rates_are_found_again() {
    let log = "\
        weed, 1, 7.4 min, 2 m, 20 pieces, 12 islands\n\
        weed, 2, 13.2 min, 3 m, 15 pieces, 3 islands\n\
        weed, 3, 18 min, 1 m, 5 pieces, 20 islands\n\
        Weed, 4, 41 min, 0.5 m, 91 pieces, 2.0 islands, for the harbour\n\
        weeding, 1, 8.2 min, 5 m, 1 piece, 3 islands\n\
        cut, 1, 1.3 min, 2 m, 50 outlines\n\
        cut, 3, 4.05 min, 3 m, 10 pieces, 5 islands\n\
        cut, 2, 0.9 min, 1 m, 5 outlines, 99 pieces, 99 islands\n\
        cut, 1, 2.2 min, 0.5 m, 200 outlines\n";
    let report = times(&with_log(log));
    for (found, known) in rates(&report).into_iter().zip([1.5, 0.1, 0.2]) {
        close(found, known, 1e-9);
    }
    close(rate(&report, "cut", "metre"), 0.4, 1e-9);
    close(rate(&report, "cut", "outline"), 0.01, 1e-9);
    close(report.weed, 2.41 * 1.5 + 3.8 + 2.4, 1e-9);
    close(report.cut, 2.41 * 0.4 + 0.5, 1e-9);
    assert_eq!(report.weed_from, "from 5 entries of the log");
    assert_eq!(report.cut_from, "from 4 entries of the log");
    assert_eq!(report.weed_text, "9.82 min a decal, give or take 0.10");
    assert_eq!(
        figure(&report, "weed", "metre"),
        "1.50 min a metre, give or take 0.02"
    );
    // One entry less of each is too few.
    let fewer: Vec<&str> = log.lines().skip(1).take(7).collect();
    let report = times(&with_log(&fewer.join("\n")));
    let few = |count| format!("from {count} entries of the log, which are too few to tell");
    assert!(report.weed_from.starts_with(&few(4)));
    assert!(report.cut_from.starts_with(&few(3)));
    // What is shown for people who measure in inches is by the foot: 1.5 · 0.3048 min.
    let mut input = with_log(log);
    input["unit"] = json!("in");
    input["measures"]["cutLength"] = json!("2.41 m");
    let report = times(&input);
    close(rate(&report, "weed", "metre"), 1.5, 1e-9);
    assert_eq!(
        figure(&report, "weed", "metre"),
        "27.4 s a foot, give or take 0.3"
    );
    assert_eq!(report.log_note, "94.9 in, 38 pieces, 12 islands");
}

/// The same five entries, in other units, orders, letters and dividers, with notes among them: 2 m are
/// 200 cm, 3 m 3000 mm, 1 m is 39.370 078 740 157 in, 0.5 m 1.640 419 947 5 ft (the inch is 25.4 mm).
#[test]
fn measures_are_read_as_people_write_them() {
    let log = "\
        weed; 1; 7:24; 12 ISLANDS; 20 Pieces; 200 cm\n\
        weed, 2, 13.2 min, on a windy day, 3000mm, 15 pieces, 17, 3 islands, 4 letters, 2 m of tape\n\
        WEED\t3\t18 min\t39,370078740157 in\t5 pieces\t20 islands\t-2 m\n\
        weed, 4, 41 min, 1043, 1.6404199475 ft, 91 pieces, 2 islands, 6-8 pieces, pieces\n\
        weed; 1; 8,2 min; 5,0 metres; 1 PIECE; 3 islands; 1,125 sheep; 7\n";
    let report = times(&with_log(log));
    assert_eq!(report.weed_from, "from 5 entries of the log");
    for (found, known) in rates(&report).into_iter().zip([1.5, 0.1, 0.2]) {
        close(found, known, 1e-8);
    }
    for (length, metres) in [
        ("96 \"", 2.4384),
        ("8 ft", 2.4384),
        ("8' 2\"", 2.4892),
        ("8′ 2″", 2.4892),
        ("95 1/2 in", 2.4257),
        ("95½ in", 2.4257),
        (".5 m", 0.5),
        ("2 yards", 1.8288),
        ("2.41 M", 2.41),
    ] {
        // One entry sets the one rate that is not nothing right.
        let log = format!("weed, 2, 20 min, {length}, 1 piece, 0 islands");
        let mut input = with_log(&log);
        input["rates"] = json!({ "metre": 1, "piece": 0, "island": 0 });
        close(rates(&times(&input))[0], 10.0 / metres, 1e-9);
    }
}

/// By hand: by the rates of thumb the two take 2 · (0.5 + 0.5 + 0.3) = 2.6 and 1 + 1 + 0.6 = 2.6 min; it
/// took 3 and 4, so that the factor is 7 / 5.2, its deviation sqrt(2 · 0.5²) = 0.7071, its error that
/// divided by sqrt(2 · 2.6²): 0.1923.
#[test]
fn few_entries_set_one_factor_right() {
    let log =
        "weed, 2, 3 min, 1 m, 10 pieces, 5 islands\nweed, 1, 4 min, 2 m, 20 pieces, 10 islands";
    let report = times(&with_log(log));
    let factor = 7.0 / 5.2;
    for (found, known) in rates(&report).into_iter().zip([0.5, 0.05, 0.06]) {
        close(found, known * factor, 1e-12);
    }
    close(report.weed, 3.825 * factor, 1e-12);
    let error = 0.5_f64.sqrt() / 13.52_f64.sqrt();
    close(report.weed_error.unwrap(), 3.825 * error, 1e-12);
    // 5.149 and 0.7356.
    assert_eq!(report.weed_text, "5.1 min a decal, give or take 0.7");
    assert_eq!(
        report.weed_from,
        "from 2 entries of the log, which are too few to tell the rates apart: one factor of 1.35 sets all of them right"
    );
    // 0.5 · 60 · 1.346 = 40.38 s, its error 5.77.
    assert_eq!(
        figure(&report, "weed", "metre"),
        "40 s a metre, give or take 6"
    );

    // One entry: no error. 1 m at 10 s, 0.25 m at 300 mm/s and 15 starts of 0.2 s: 13.833 s; it took 20.
    let log = "cut, 3, 1:00, 1 m, 10 pieces, 5 islands";
    let report = times(&with_log(log));
    close(
        report.cut * 60.0,
        36.108_333_333_333 * 20.0 / 13.833_333_333_333,
        1e-9,
    );
    assert_eq!(report.cut_error, None);
    assert_eq!(report.cut_text, "52 s a decal");
    assert_eq!(
        report.cut_from,
        "from 1 entry of the log, which is too few to tell the rates apart: one factor of 1.4 sets the speeds right"
    );
    // Rates that are all nothing cannot be set right.
    let mut input = with_log("weed, 1, 4 min, 2 m, 20 pieces, 10 islands");
    input["rates"] = json!({ "metre": 0, "piece": 0, "island": 0 });
    let report = times(&input);
    assert_eq!((report.weed, &*report.weed_text), (0.0, "0 s a decal"));
    close(report.effort.island_share, 0.0, 0.0);
}

/// One design in many sizes: pieces and islands go together, so that nothing tells them apart, however
/// well a plane through the times would fit; nor does a drawing without any island among others.
#[test]
fn drawings_that_are_alike_set_one_factor_right() {
    // Exactly 0.12 s a millimetre, 6 s a piece and 18 s an island.
    let sizes = |islands: fn(i64) -> i64| -> Vec<Weeding> {
        let size = |n: i64| {
            let (length, pieces, islands) = (100 * n * n, 10 * n, islands(n));
            let seconds = length * 12 / 100 + 6 * pieces + 18 * islands;
            (1, seconds, length, pieces, islands)
        };
        (1..=9).map(size).collect()
    };
    for (entries, alike) in [
        (sizes(|n| 5 * n), true),
        (sizes(|_| 0), true),
        (sizes(|n| 50 * n + i64::from(n == 3)), true),
        (sizes(|n| 5 * n + n % 3), true),
        (sizes(|n| 5 * n + 4 * (n % 3)), false),
    ] {
        // 1000 times the variance that the rates would have if no two went together, in exact fractions.
        assert_eq!(inflated(&rows_of(&entries)) > 1000.0, alike);
        let report = times(&with_log(&log_of(&entries)));
        let said = "9 entries of the log, which do not tell the rates apart";
        let from = &report.weed_from;
        assert_eq!(from.contains(said), alike, "{entries:?} {from}");
        let [metre, piece, island] = rates(&report);
        let known = if alike {
            [metre, metre / 10.0, metre * 0.12]
        } else {
            [2.0, 0.1, 0.3]
        };
        for (found, known) in [metre, piece, island].into_iter().zip(known) {
            close(found, known, 1e-9);
        }
    }
}

/// By the rates of thumb five decals take 1.67, 3.7, 3.45, 4.65 and 0.55 min. It took 1.2 times as long, but
/// for a tenth more, less, more, less and more: that is no reason to tell the rates apart.
#[test]
fn rates_are_told_apart_only_where_that_says_more() {
    let log = "\
        weed, 1, 2.2044 min, 1 m, 15 pieces, 7 islands\n\
        weed, 1, 3.996 min, 3 m, 20 pieces, 20 islands\n\
        weed, 1, 4.554 min, 3 m, 27 pieces, 10 islands\n\
        weed, 1, 5.022 min, 2 m, 61 pieces, 10 islands\n\
        weed, 1, 0.726 min, 0.5 m, 6 pieces, 0 islands\n";
    let report = times(&with_log(log));
    assert!(
        report
            .weed_from
            .contains("5 entries of the log, which do not tell the rates apart: one factor of 1.1")
    );
    // Without the tenths the factor says it all, and the rates are left alone.
    let log = "\
        weed, 1, 2.004 min, 1 m, 15 pieces, 7 islands\n\
        weed, 1, 4.44 min, 3 m, 20 pieces, 20 islands\n\
        weed, 1, 4.14 min, 3 m, 27 pieces, 10 islands\n\
        weed, 1, 5.58 min, 2 m, 61 pieces, 10 islands\n\
        weed, 1, 0.66 min, 0.5 m, 6 pieces, 0 islands\n";
    for (found, known) in rates(&times(&with_log(log)))
        .into_iter()
        .zip([0.6, 0.06, 0.072])
    {
        close(found, known, 1e-9);
    }
}

/// What is in the log besides is no matter of the times of a piece.
#[test]
fn old_logs_say_what_they_said() {
    let old =
        "cut, 8, 9:10\nweed, 2, 7:40, 3 May\nweed, 8, 24:15, 17\nweed, 5, 16:30\ntape, 8, 14:00";
    let new = "cut, 8, 9:10, 2.41 m, 38 pieces, 12 islands\nweed, 2, 7:40, 3 May, 12 islands, 95 in\nweed, 8, 24:15, 17\nweed, 5, 16:30, 50 outlines\ntape, 8, 14:00, 1 piece";
    let all = |log: &str| -> TimeReport {
        let input: TimeInput = decode(&json!({ "log": log }).to_string()).unwrap();
        work_time(&input).unwrap()
    };
    assert_eq!(all(old), all(new));
    // And without measures they tell nothing about a drawing.
    let report = times(&with_log(old));
    assert!(report.cut_from.starts_with("by the machine's speed"));
    assert!(report.weed_from.starts_with("by rule of thumb"));
    let said = |report: &DrawingTimeReport, what: &str| {
        report.assumptions.iter().any(|said| said.contains(what))
    };
    assert!(!said(&report, "left out"));
    // An entry that tells only a part is left out, and that is said; a step that has no drawing is not.
    let report = times(&with_log(new));
    assert!(report.cut_from.starts_with("from 1 entry of the log"));
    assert!(report.weed_from.starts_with("by rule of thumb"));
    assert!(said(&report, "2 entries of the log that tell only a part"));
}

#[test]
fn a_mistake_in_the_log_tells_its_line() {
    let beside = |log: &str| reckoned(&with_log(log)).map(|_| ());
    lines_are_refused(
        beside,
        &[
            ("weed, 6, 14,5 min, 2.41 m", Code::Ambiguous, "`14, 5 min`"),
            ("weed, 6, 14:30, 2,41 m", Code::Ambiguous, "`2,41 m` can be"),
            ("weed,6,14:30,2,41 m", Code::Ambiguous, "`2,41 m` can be"),
            (
                "weed, 6, 14:30, 38 pieces, 2,41″",
                Code::Ambiguous,
                "`2,41″`",
            ),
            (
                "weed, 6, 14:30, 1,200 outlines",
                Code::Ambiguous,
                "`1,200 outlines`",
            ),
            ("weed; 6; 14:30; 1,200 outlines", Code::Ambiguous, "`1,200`"),
            ("weed; 6; 14:30; 1,125 m", Code::Ambiguous, "`1,125 m`"),
            (
                "weed, 6, 14:30, 2 m, 3 m",
                Code::Ambiguous,
                "`3 m` is told twice",
            ),
            (
                "weed, 6, 14:30, 2 pieces, 1 piece",
                Code::Ambiguous,
                "`1 piece` is told twice",
            ),
            ("weed, 6, 14:30, 0 m", Code::TooSmall, "no length at all"),
            ("cut, 6, 14:30, 0 outlines", Code::TooSmall, ""),
            ("weed, 6, 14:30, 2.5 pieces", Code::NotWhole, "whole"),
            ("weed, 6, 14:30, 1000001 islands", Code::TooLarge, ""),
        ],
    );
    for line in [
        "weed, 6, 14:30, 17, 2 m, 3, 38 pieces",
        "weed,6,14:30,17,38 pieces",
        "weed,6,14:30,17,2.41 m",
        "weed, 6, 14, 95 in, 20260503123456 m, 0, 1/0 m, 2 m 3",
    ] {
        assert!(reckoned(&with_log(line)).is_ok(), "{line}");
    }
}

#[test]
fn every_mistake_is_found_at_its_field() {
    let errors = reckoned(&json!({})).unwrap_err();
    let fields: Vec<&str> = errors.iter().map(|error| &*error.field).collect();
    assert_eq!(
        fields,
        [
            "measures.cutLength",
            "measures.outlines",
            "measures.pieces",
            "measures.islands"
        ]
    );
    assert!(errors.iter().all(|error| error.code == Code::Missing));
    for (path, text, code) in [
        ("measures.cutLength", "0", Code::TooSmall),
        ("measures.cutLength", "-2 m", Code::TooSmall),
        ("measures.cutLength", "11 km", Code::TooLarge),
        ("measures.travel", "-1", Code::TooSmall),
        ("measures.travel", "x", Code::NotANumber),
        ("measures.outlines", "0", Code::TooSmall),
        ("measures.outlines", "1.5", Code::NotWhole),
        ("measures.pieces", "1000001", Code::TooLarge),
        ("measures.islands", "-1", Code::TooSmall),
        ("machine.speed", "0", Code::TooSmall),
        ("machine.speed", "fast", Code::NotANumber),
        ("machine.speed", "10.1 m/s", Code::TooLarge),
        ("machine.speed", "100 mm/min", Code::NotANumber),
        ("machine.travelSpeed", "", Code::Missing),
        ("machine.lift", "61", Code::TooLarge),
        ("machine.lift", "-1 s", Code::TooSmall),
        ("rates.metre", "-1", Code::TooSmall),
        ("rates.piece", "x", Code::NotANumber),
        ("rates.island", "10001 h", Code::TooLarge),
    ] {
        let (outer, inner) = path.split_once('.').unwrap();
        let mut input = with_log("");
        input[outer][inner] = json!(text);
        let errors = reckoned(&input).expect_err(path);
        let first = errors.first();
        assert_eq!((&*first.field, first.code), (path, code), "{text}");
        assert_eq!(errors.iter().count(), 1);
        // A speed is no length, and what is right for it is told as one.
        if path.to_ascii_lowercase().ends_with("speed") {
            assert!(first.hint.contains("100 mm/s"), "{}", first.hint);
        }
        // Before a drawing is measured, all else is found, too.
        input["measures"] = json!({});
        let found = decode(&input.to_string()).map(|input| without_drawing(&input).err());
        let fields = found.unwrap().map(|errors| errors.first().field.clone());
        let known = (outer != "measures").then(|| path.to_owned());
        assert_eq!(fields, known);
    }
    let input = decode(&with_log("wed, 1, 2:00").to_string()).unwrap();
    assert_eq!(without_drawing(&input).unwrap_err().first().field, "log");
}

/// 100 mm is 10 bits a metre and more on 10 pieces; the grades by hand.
#[test]
fn weeding_is_graded_by_what_is_on_a_metre() {
    for (length, pieces, islands, grade, text) in [
        (
            "1 m",
            9,
            0,
            "easy",
            "Easy: 9 pieces and islands on a metre of cut line; there are no islands to be picked out",
        ),
        (
            "1 m",
            5,
            5,
            "middling",
            "Middling: 10 pieces and islands on a metre of cut line; picking out the 5 islands is 29 % of the time",
        ),
        (
            "1 m",
            28,
            1,
            "middling",
            "Middling: 29 pieces and islands on a metre of cut line; picking out the 1 island is 3 % of the time",
        ),
        (
            "1 m",
            15,
            15,
            "fiddly",
            "Fiddly: 30 pieces and islands on a metre of cut line; picking out the 15 islands is 42 % of the time",
        ),
    ] {
        let report = times(&json!({ "unit": "cm", "measures":
            { "cutLength": length, "outlines": 30, "pieces": pieces, "islands": islands } }));
        assert_eq!(report.effort.grade, grade);
        assert_eq!(told(&report), text);
    }
    // On a foot there are 0.3048 times as many.
    let report = times(
        &json!({ "measures": { "cutLength": "1 m", "outlines": 30, "pieces": 15, "islands": 15 } }),
    );
    assert!(told(&report).starts_with("Fiddly: 9.1 pieces and islands on a foot"));
}

/// A whole number that a float has exactly.
fn as_float<T: TryInto<i32, Error: std::fmt::Debug>>(whole: T) -> f64 {
    f64::from(whole.try_into().unwrap())
}

/// Solves a system of equations exactly; none where it is singular.
fn solved(mut rows: Vec<Vec<BigRational>>) -> Option<Vec<BigRational>> {
    let zero = fraction(0, 1);
    let size = rows.len();
    for pivot in 0..size {
        let from = (pivot..size).find(|row| rows[*row][pivot] != zero)?;
        rows.swap(pivot, from);
        let divisor = rows[pivot][pivot].clone();
        rows[pivot]
            .iter_mut()
            .for_each(|value| *value /= divisor.clone());
        let pivotal = rows[pivot].clone();
        for row in (0..size).filter(|row| *row != pivot) {
            let factor = rows[row][pivot].clone();
            for (value, other) in rows[row].iter_mut().zip(&pivotal) {
                *value -= &factor * other;
            }
        }
    }
    Some(rows.into_iter().map(|mut row| row.pop().unwrap()).collect())
}

type Row = (Vec<BigRational>, BigRational);

fn product(a: &Row, i: usize, j: Option<usize>) -> BigRational {
    &a.0[i] * j.map_or(&a.1, |j| &a.0[j])
}

fn sum(rows: &[Row], i: usize, j: Option<usize>) -> BigRational {
    rows.iter()
        .fold(fraction(0, 1), |sum, row| sum + product(row, i, j))
}

/// Least squares over some columns, exactly.
fn least_squares(rows: &[Row], chosen: &[usize]) -> Option<Vec<BigRational>> {
    let line = |i: &usize| -> Vec<BigRational> {
        let products = chosen.iter().map(|j| sum(rows, *i, Some(*j)));
        products.chain([sum(rows, *i, None)]).collect()
    };
    solved(chosen.iter().map(line).collect())
}

/// The algorithm NNLS of Lawson and Hanson (Solving Least Squares Problems, 1974, 23.10; from memory) in
/// exact fractions: which columns are above nothing, and what they are.
fn lawson_hanson(rows: &[Row]) -> Option<Vec<BigRational>> {
    let zero = fraction(0, 1);
    let columns = rows[0].0.len();
    let mut free: Vec<usize> = Vec::new();
    let mut x = vec![zero.clone(); columns];
    loop {
        let slope = |i: usize| {
            (0..columns).fold(sum(rows, i, None), |slope, j| {
                slope - sum(rows, i, Some(j)) * &x[j]
            })
        };
        let steepest = (0..columns)
            .filter(|i| !free.contains(i))
            .map(|i| (slope(i), i))
            .max()
            .filter(|(slope, _)| *slope > zero);
        let Some((_, next)) = steepest else {
            return Some(x);
        };
        free.push(next);
        loop {
            let found = least_squares(rows, &free)?;
            let mut aim = vec![zero.clone(); columns];
            for (i, value) in free.iter().zip(found) {
                aim[*i] = value;
            }
            let step = free
                .iter()
                .filter(|i| aim[**i] <= zero)
                .map(|i| &x[*i] / (&x[*i] - &aim[*i]))
                .min();
            let Some(step) = step else {
                x = aim;
                break;
            };
            for i in 0..columns {
                x[i] = &x[i] + &step * (&aim[i] - &x[i]);
            }
            free.retain(|i| x[*i] > zero);
        }
    }
}

/// An entry: decals, seconds, millimetres, pieces, islands.
type Weeding = (i64, i64, i64, i64, i64);

fn log_of(entries: &[Weeding]) -> String {
    let line = |(decals, seconds, length, pieces, islands): &Weeding| {
        format!("weed, {decals}, {seconds} s, {length} mm, {pieces} pieces, {islands} islands\n")
    };
    entries.iter().map(line).collect()
}

fn rows_of(entries: &[Weeding]) -> Vec<Row> {
    let row = |(decals, seconds, length, pieces, islands): &Weeding| {
        let measures = vec![
            fraction(decals * length, 1000),
            fraction(decals * pieces, 1),
            fraction(decals * islands, 1),
        ];
        (measures, fraction(*seconds, 60))
    };
    entries.iter().map(row).collect()
}

fn residue(rows: &[Row], x: &[BigRational]) -> BigRational {
    let mut all = fraction(0, 1);
    for (row, minutes) in rows {
        let off = row
            .iter()
            .zip(x)
            .fold(minutes.clone(), |off, (a, b)| off - a * b);
        all += &off * &off;
    }
    all
}

fn some_entries(count: std::ops::Range<usize>) -> impl Strategy<Value = Vec<Weeding>> {
    prop::collection::vec(
        (
            1..9_i64,
            60..4_000_i64,
            100..6_000_i64,
            1..90_i64,
            0..40_i64,
        ),
        count,
    )
}

/// Entries by rates of 0 to 40 s, off by up to a seventh.
fn likely_entries() -> impl Strategy<Value = Vec<Weeding>> {
    let entry = (1..9_i64, 100..6_000_i64, 1..90_i64, 0..40_i64, -15..16_i64);
    let entries = prop::collection::vec(entry, 5..14);
    (0..90_i64, 0..9_i64, 0..9_i64, entries).prop_map(|(metre, piece, island, entries)| {
        let seconds = |(decals, length, pieces, islands, off): (i64, i64, i64, i64, i64)| {
            let right = decals * (metre * length / 1000 + piece * pieces + island * islands) + 1;
            (decals, right + right * off / 100, length, pieces, islands)
        };
        entries.into_iter().map(seconds).collect()
    })
}

proptest! {
    /// Another algorithm in exact fractions finds the same rates, and the errors of textbooks on
    /// regression: the variance times the inverse of the products of the columns that are above nothing.
    #[test]
    fn another_solver_agrees(entries in prop_oneof![likely_entries(), some_entries(5..12)]) {
        let report = times(&with_log(&log_of(&entries)));
        let rows = rows_of(&entries);
        let zero = fraction(0, 1);
        let own = [fraction(1, 2), fraction(1, 20), fraction(6, 100)];
        let by_own: Vec<Row> = rows.iter().map(|(row, minutes)| {
            (vec![row.iter().zip(&own).fold(zero.clone(), |sum, (a, b)| sum + a * b)], minutes.clone())
        }).collect();
        let factor = least_squares(&by_own, &[0]).unwrap();
        let Some(best) = lawson_hanson(&rows) else {
            return Ok(());
        };
        let (one, many) = (residue(&by_own, &factor), residue(&rows, &best));
        let gained = float(&(&one - &many)) / 2.0;
        let stays = 3.0 * float(&many) / (as_float(entries.len()) - 3.0);
        if report.weed_from.contains("one factor") {
            for (found, own) in rates(&report).into_iter().zip(&own) {
                prop_assert!((found - float(&(own * &factor[0]))).abs() < 1e-9);
            }
            let alike = !least_squares(&rows, &[0, 1, 2]).is_some_and(|_| gained > stays * 1.000_001 + 1e-9);
            prop_assert!(alike || inflated(&rows) > 999.0);
            return Ok(());
        }
        prop_assert_eq!(&report.weed_from, &format!("from {} entries of the log", entries.len()));
        prop_assert!(gained > stays * 0.999_999 - 1e-9);
        prop_assert!(inflated(&rows) < 1001.0);
        for (found, known) in rates(&report).into_iter().zip(&best) {
            prop_assert!((found - float(known)).abs() < 1e-8, "{found} {}", float(known));
        }
        let free: Vec<usize> = (0..3).filter(|i| best[*i] > zero).collect();
        let variance = &many / fraction(i64::try_from(entries.len() - free.len()).unwrap(), 1);
        let mut of_decal = zero.clone();
        let decal = [fraction(241, 100), fraction(38, 1), fraction(12, 1)];
        for (at, i) in free.iter().enumerate() {
            // The column of the inverse.
            let line = |row: &usize| -> Vec<BigRational> {
                let products = free.iter().map(|j| sum(&rows, *row, Some(*j)));
                products.chain([fraction(i64::from(row == i), 1)]).collect()
            };
            let column = solved(free.iter().map(line).collect()).unwrap();
            let error = float(&(&variance * &column[at])).sqrt();
            let id = ["metre", "piece", "island"][*i];
            let ours = report.rates.iter().find(|r| r.step == "weed" && r.id == id).unwrap();
            prop_assert!((ours.each_error.unwrap() - error).abs() < 1e-6 * (1.0 + error));
            for (value, j) in column.iter().zip(&free) {
                of_decal += value * &decal[*i] * &decal[*j];
            }
        }
        let error = float(&(variance * of_decal)).sqrt();
        prop_assert!((report.weed_error.unwrap() - error).abs() < 1e-6 * (1.0 + error));
        // A rate at nothing is not known to be nothing.
        for rate in report.rates.iter().filter(|rate| rate.step == "weed") {
            prop_assert_eq!(rate.each == 0.0, rate.each_error.is_none());
        }
    }

    /// No other rates leave less, be they taken at random or near those that were found.
    #[test]
    fn no_other_rates_leave_less(entries in likely_entries(), seed in 1..u64::MAX) {
        let report = times(&with_log(&log_of(&entries)));
        prop_assume!(!report.weed_from.contains("one factor"));
        let found = rates(&report);
        prop_assert!(found.iter().all(|rate| *rate >= 0.0));
        let rows: Vec<([f64; 3], f64)> = entries.iter().map(|(decals, seconds, length, pieces, islands)| {
            let measures = [decals * length, 1000 * decals * pieces, 1000 * decals * islands];
            (measures.map(|part| as_float(part) / 1000.0), as_float(*seconds) / 60.0)
        }).collect();
        let left = |rates: [f64; 3]| -> f64 {
            rows.iter().map(|(row, minutes)| {
                let ours: f64 = row.iter().zip(rates).map(|(a, b)| a * b).sum();
                (minutes - ours).powi(2)
            }).sum()
        };
        let best = left(found);
        let mut state = seed;
        let mut random = || {
            state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            as_float(state >> 33) / 2_147_483_648.0
        };
        for place in 0..10_000 {
            let near = place % 2 == 0;
            let other = found.map(|rate| {
                if near { (rate + (random() - 0.5) * 0.05).max(0.0) } else { random() * 2.0 }
            });
            prop_assert!(best <= left(other) * (1.0 + 1e-12) + 1e-12, "{found:?} {other:?}");
        }
    }

    /// What the stopwatch appends is read back, to three figures of the length.
    #[test]
    fn the_note_is_read_back(
        micrometres in 1_000..900_000_000_i64, pieces in 0..500_u32, islands in 0..500_u32, more in 0..3_u32,
        unit in prop_oneof![Just("in"), Just("ft"), Just("mm"), Just("cm"), Just("m")],
    ) {
        let outlines = (pieces + islands + more).max(1);
        let drawing = json!({
            "cutLength": format!("{}.{:03} mm", micrometres / 1000, micrometres % 1000),
            "outlines": outlines, "pieces": pieces, "islands": islands,
        });
        let note = times(&json!({ "unit": unit, "measures": drawing })).log_note;
        let log = format!("cut, 3, 30 min, {note}\nweed, 3, 60 min, {note}\n");
        let rates = json!({ "metre": 0.5, "piece": 0.05, "island": 0.06 });
        let report = times(&json!({ "unit": unit, "measures": drawing, "log": log, "rates": rates }));
        prop_assert!(report.cut_from.starts_with("from 1 entry"), "{note}");
        // The same drawing takes what it took; a length below a hundredth of an inch or centimetre more.
        let error = 0.005 + 200.0 / as_float(micrometres);
        prop_assert!((report.cut / 10.0 - 1.0).abs() < error, "{} {note}", report.cut);
        prop_assert!((report.weed / 20.0 - 1.0).abs() < error, "{} {note}", report.weed);
        // And it divides into cells at its commas only: no decimal one.
        let cells = if note.contains("outline") { 4 } else { 3 };
        prop_assert_eq!(note.split(',').count(), cells);
    }

    /// The same drawings told in another unit take the same time.
    #[test]
    fn units_make_no_difference(entries in likely_entries()) {
        let in_mm = times(&with_log(&log_of(&entries)));
        let inches = |(decals, seconds, length, pieces, islands): &Weeding| {
            // Whole tenths of a millimetre are whole in 1/254 in.
            format!("weed, {decals}, {seconds} s, {} / 254 in, {pieces} pieces, {islands} islands\n", length * 10)
        };
        let mut input = with_log(&entries.iter().map(inches).collect::<String>());
        input["unit"] = json!("in");
        input["measures"]["cutLength"] = json!("241 cm");
        let in_inches = times(&input);
        prop_assert_eq!(&in_mm.weed_text, &in_inches.weed_text);
        prop_assert!((in_mm.weed - in_inches.weed).abs() < 1e-6 * (1.0 + in_mm.weed));
    }

    /// What is said for people is the figure, to within half of its last digit and of its error; no error is said to be
    /// less than a hundredth of the figure.
    #[test]
    fn digits_are_honest(entries in some_entries(1..9)) {
        let report = times(&with_log(&log_of(&entries)));
        let mut words = report.weed_text.split(' ');
        let said: f64 = words.next().unwrap().parse().unwrap();
        let times = if words.next() == Some("s") { 60.0 } else { 1.0 };
        let minutes = report.weed * times;
        let near = report
            .weed_error
            .map_or(0.05 * minutes + 0.005, |error| (0.25 * error.max(0.01 * report.weed) * times).max(0.005));
        prop_assert!((said - minutes).abs() <= near + 1e-9, "{} {minutes}", report.weed_text);
        if let Some(error) = report.weed_error {
            let told: f64 = report.weed_text.rsplit(' ').next().unwrap().parse().unwrap();
            let error = error.max(0.01 * report.weed);
            prop_assert!((told - error * times).abs() <= (0.25 * error * times).max(0.005) + 1e-9);
        }
    }

    /// Measures behind an entry change nothing of the times of a piece.
    #[test]
    fn measures_change_no_time_of_a_piece(entries in some_entries(1..9)) {
        let all = |log: &str| -> TimeReport {
            let input: TimeInput = decode(&json!({ "log": log }).to_string()).unwrap();
            work_time(&input).unwrap()
        };
        let without = entries.iter().map(|(decals, seconds, ..)| format!("weed, {decals}, {seconds} s\n"));
        prop_assert_eq!(all(&log_of(&entries)), all(&without.collect::<String>()));
    }

    /// No text panics, and no number comes out that is none.
    #[test]
    fn no_text_panics(
        log in "((cut|weed), ?[1-9][0-9]{0,3}, ?[0-9]{1,6}:[0-5][0-9](, ?[0-9,./ ½]{0,8} ?(m|in|mm|ft|′|″|pieces|islands|outline|\\PC{0,4}))|\\PC{0,12}){0,5}(\n(cut|weed), [1-9]{1,4}, [0-9]{0,7}[1-9] ?(h|min|s), [0-9]{1,4}[1-9] (mm|km|in), [0-9]{1,6} pieces, [0-9]{1,6} islands){0,7}",
        texts in prop::collection::vec("\\PC{0,8}|[0-9]{1,7}([.][0-9]{0,3})?( in| m| mm/s| min| s|/s)?", 10),
    ) {
        let text = |index: usize| texts[index].clone();
        let _ = reckoned(&json!({
            "log": log, "measures": { "cutLength": text(0), "travel": text(1), "outlines": text(2), "pieces": text(3), "islands": text(4) },
            "machine": { "speed": text(5), "travelSpeed": text(6), "lift": text(7) },
            "rates": { "metre": text(8), "piece": text(9) },
        }));
        if let Ok(report) = reckoned(&with_log(&log)) {
            let figures = [report.cut, report.weed, report.effort.island_share];
            prop_assert!(figures.iter().all(|figure| figure.is_finite() && *figure >= 0.0), "{figures:?}");
            prop_assert!(report.effort.island_share <= 1.0);
        }
    }
}

/// By how much the greatest variance of the three rates is inflated by the likeness of their columns.
fn inflated(rows: &[Row]) -> f64 {
    (0..3)
        .map(|i| {
            let line = |row: usize| -> Vec<BigRational> {
                let products = (0..3).map(|j| sum(rows, row, Some(j)));
                products.chain([fraction(i64::from(row == i), 1)]).collect()
            };
            solved((0..3).map(line).collect()).map_or(f64::INFINITY, |column| {
                float(&(&column[i] * sum(rows, i, Some(i))))
            })
        })
        .fold(0.0, f64::max)
}
