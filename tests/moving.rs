//! Lettering in motion: published times, distances and sizes, plain geometry, walks in small steps, and
//! laws for all inputs. The source of each figure stands beside it.

use decal_reckoner::api::decode;
use decal_reckoner::error::{Code, InputErrors};
use decal_reckoner::legibility::moving::{MovingInput, MovingReport, ReadingTime, report};
use decal_reckoner::legibility::rules::Mark;
use proptest::prelude::*;
use serde_json::{Value, json};

/// Every way in which reader and lettering pass each other.
static WAYS: [&str; 6] = ["walking", "following", "oncoming", "light", "board", "wall"];

/// A question in feet about letters of 10 in for eyes of 20/20, which read from 300 ft by the traffic
/// index of 30 ft to the inch, the most cautious rule for them.
fn asked(members: &Value) -> Value {
    let mut all = json!({ "legibility": {
        "unit": "ft",
        "acuity": "20/20",
        "decal": { "lettering": "BAIT AND ICE", "width": "60 in", "height": "20 in", "letterHeight": "10 in" },
    } });
    for (name, value) in members.as_object().unwrap() {
        all[name] = value.clone();
    }
    all
}

fn moving(members: &Value) -> MovingReport {
    let input: MovingInput = decode(&asked(members).to_string()).unwrap();
    report(&input).unwrap_or_else(|errors| panic!("{errors:?}"))
}

fn refused(members: &Value) -> InputErrors {
    let input: MovingInput = decode(&asked(members).to_string()).unwrap();
    report(&input).expect_err("this cannot be reckoned")
}

/// A figure of the answer, or of the sign industry's reckoning.
fn figure(report: &MovingReport, id: &str) -> Option<f64> {
    let all = report.figures.iter().chain(&report.industry);
    let mut named = all.filter(|figure| figure.id == id);
    named.next().map(|figure| figure.value)
}

fn close(is: impl Into<Option<f64>>, should: f64, tolerance: f64) {
    let is = is.into();
    assert!(
        is.is_some_and(|is| (is - should).abs() <= tolerance),
        "{is:?} is not {should}"
    );
}

fn reading<'a>(report: &'a MovingReport, id: &str) -> &'a ReadingTime {
    report.readings.iter().find(|each| each.id == id).unwrap()
}

mod published {
    use super::*;

    /// 45 mph, 10 s and 26 ft to the inch: 66 ft/s, 660 ft, letters of 25 in (as printed, rounded, at
    /// fasi.org, How the United States Sign Council's Sign Legibility Index was used, 2016). The
    /// publication multiplies by 1.47 where a mile an hour is 88/60 ft/s.
    #[test]
    fn letters_for_a_sign_that_faces_the_traffic() {
        let report = moving(
            &json!({ "way": "board", "speed": "45 mph", "aside": "0", "reaction": "10", "index": "26" }),
        );
        close(figure(&report, "perSecond"), 66.0, 1e-9);
        close(figure(&report, "reaction"), 660.0, 1e-9);
        close(
            figure(&report, "letters").map(|feet| feet * 12.0),
            25.0,
            0.5,
        );
        // By 1.47 it is 66.15, 661.5 and 25.44.
        close(
            figure(&report, "letters").map(|feet| feet * 12.0),
            25.44,
            0.06,
        );
    }

    /// A letter takes its height squared, all letters so much each, the sign 2.5 times as much (Bertucci,
    /// Determining Sign Size, 2007): 12 letters of 24 in take 4, 48 and 120 sq ft.
    #[test]
    fn area_of_a_sign() {
        let twelve = moving(&json!({
            "way": "board", "speed": "60 ft/s", "aside": "0", "index": "25",
            "legibility": {
                "unit": "ft",
                "decal": { "lettering": "BAIT\nTACKLEBY", "width": "60 in", "height": "20 in" },
            },
        }));
        close(figure(&twelve, "letters"), 2.0, 1e-9);
        close(figure(&twelve, "letterArea"), 4.0, 1e-8);
        close(figure(&twelve, "copyArea"), 48.0, 1e-7);
        close(figure(&twelve, "signArea"), 120.0, 1e-6);
        let text = &twelve
            .industry
            .iter()
            .find(|step| step.id == "signArea")
            .unwrap()
            .text;
        assert_eq!(text, "120 sq ft");
    }

    /// The sign industry's index from memory, 25 ft to the inch for capitals and 29 for small letters,
    /// marks what follows from it.
    #[test]
    fn an_index_from_memory_is_marked() {
        let mark = |index: Value, case: &str| {
            let mut all = json!({ "way": "board", "speed": "45 mph", "aside": "0" });
            all["legibility"] = asked(&json!({}))["legibility"].clone();
            all["legibility"]["case"] = case.into();
            all["index"] = index;
            let report = moving(&all);
            let letters = report
                .industry
                .iter()
                .find(|step| step.id == "letters")
                .unwrap();
            let steps = &report.industry;
            let index = steps.iter().find(|step| step.id == "index").unwrap();
            assert_eq!(index.source == "Your entry", all["index"] != "");
            (letters.mark, letters.value * 12.0)
        };
        let (known, height) = mark("25".into(), "caps");
        assert_eq!(known, Mark::LookedUp);
        close(height, 26.4, 1e-6);
        assert_eq!(mark("".into(), "caps").0, Mark::FromMemory);
        close(mark("".into(), "caps").1, 26.4, 1e-6);
        close(mark("".into(), "mixed").1, 660.0 / 29.0, 1e-6);
    }

    /// (10 × lanes + feet aside) / 5: 2 lanes and 40 ft give 12 in, 4 lanes and 60 ft 20 in.
    #[test]
    fn letters_of_a_sign_along_the_road() {
        for (lanes, aside, inches) in [("2", "40", 12.0), ("4", "60", 20.0)] {
            let report = moving(
                &json!({ "way": "wall", "speed": "30 mph", "aside": aside, "lanes": lanes }),
            );
            close(
                figure(&report, "wallLetters").map(|feet| feet * 12.0),
                inches,
                1e-8,
            );
        }
    }

    /// Traffic Signs for Motorways, 1962, paragraphs 19 to 21: 50 ft to the side at 15° end 186.6 ft before
    /// the sign (the report says 200), 4 s at 70 mph are 410.7 ft (400), so that it is to be legible by
    /// 600 ft.
    #[test]
    fn signs_for_motorways() {
        // Four words take 4 s.
        let report =
            moving(&json!({ "way": "board", "speed": "70 mph", "aside": "50 ft", "words": "4" }));
        close(figure(&report, "lookAway"), 186.6, 0.1);
        close(report.needed_seconds, 4.0, 1e-12);
        close(figure(&report, "neededReach"), 597.3, 0.1);
        let straight =
            moving(&json!({ "way": "board", "speed": "70 mph", "aside": "0", "words": "4" }));
        close(figure(&straight, "neededReach"), 410.7, 0.1);
    }

    /// 0.32 n - 0.21 (ARRB Proceedings 9(5), 390 to 395); the bracket N/3 + 2 (WSDOT Traffic Manual M 51-02,
    /// table 2-1); a second for each word.
    #[test]
    fn times_of_reading() {
        for (words, exposure, signs) in [
            (3, Some(0.75), 3.0),
            (5, Some(1.39), 11.0 / 3.0),
            (6, Some(1.71), 4.0),
            (9, Some(2.67), 5.0),
            (10, Some(2.99), 16.0 / 3.0),
            (1, None, 7.0 / 3.0),
            (41, None, 47.0 / 3.0),
        ] {
            let report =
                moving(&json!({ "way": "board", "speed": "30 mph", "aside": "0", "words": words }));
            match exposure {
                Some(seconds) => close(reading(&report, "exposure").seconds, seconds, 0.005),
                None => assert_eq!(reading(&report, "exposure").seconds, None, "{words}"),
            }
            close(reading(&report, "signs").seconds, signs, 1e-12);
            close(reading(&report, "word").seconds, f64::from(words), 1e-12);
            // The most cautious counts: of a few words that with the two seconds.
            let governs: Vec<&str> = report
                .readings
                .iter()
                .filter(|reading| reading.governs)
                .map(|reading| reading.id)
                .collect();
            assert_eq!(governs, [if words <= 3 { "signs" } else { "word" }]);
            close(report.needed_seconds, signs.max(words.into()), 1e-12);
        }
    }

    /// Whoever walks does not have to find the sign and look back to the road.
    #[test]
    fn walkers_take_a_second_a_word() {
        let report = moving(&json!({ "way": "walking", "speed": "3 mph", "aside": "10" }));
        assert_eq!(report.words, 3);
        close(report.needed_seconds, 3.0, 1e-12);
        assert_eq!(reading(&report, "signs").why, "It is about drivers.");
        assert!(!reading(&report, "signs").governs);
        assert!(report.limits.is_empty());
    }

    /// NCHRP Report 600: at most four units at 35 mph and above, five below; up to eight words at 55 mph and
    /// seven at 65 (University of Kentucky).
    #[test]
    fn limits_of_words() {
        let limits = |words: u32, speed: &str| {
            let report =
                moving(&json!({ "way": "board", "speed": speed, "aside": "0", "words": words }));
            let met: Vec<bool> = report.limits.iter().map(|limit| limit.met).collect();
            met
        };
        assert_eq!(limits(10, "34.9 mph"), [true]);
        assert_eq!(limits(11, "34.9 mph"), [false]);
        assert_eq!(limits(8, "35 mph"), [true]);
        assert_eq!(limits(9, "35 mph"), [false]);
        assert_eq!(limits(8, "55 mph"), [true, true]);
        assert_eq!(limits(9, "55 mph"), [false, false]);
        assert_eq!(limits(8, "65 mph"), [true, false]);
        assert_eq!(limits(7, "65 mph"), [true, true]);
        assert_eq!(limits(8, "56 km/h"), [true]);
    }
}

mod geometry {
    use super::*;

    /// 300 ft at 60 ft a second are 5 s; 80.38 ft aside end 300 ft before it.
    #[test]
    fn a_board_is_read_until_it_is_too_far_to_look() {
        let board = |aside: &str| {
            moving(&json!({ "way": "board", "speed": "60 ft/s", "aside": aside })).seconds
        };
        close(board("0"), 5.0, 1e-9);
        close(
            board("20"),
            (300.0 - 20.0 / 15_f64.to_radians().tan()) / 60.0,
            1e-9,
        );
        close(board("80.3"), 0.0, 0.01);
        close(board("80.4"), 0.0, 0.0);
    }

    /// What comes closer from both sides is read for half the time.
    #[test]
    fn both_speeds_count_where_both_move() {
        let seconds = |members: Value| moving(&members).seconds;
        let oncoming = |other: Value| {
            let mut all = json!({ "way": "oncoming", "speed": "40 ft/s", "aside": "0" });
            all["otherSpeed"] = other;
            seconds(all)
        };
        close(oncoming("20 ft/s".into()), 5.0, 1e-9);
        close(oncoming("".into()), 3.75, 1e-9);
        close(oncoming("0".into()), 7.5, 1e-9);
    }

    /// 60 ft aside of what reads from 300 ft: √(60 × 240) = 120 ft to both sides.
    #[test]
    fn a_surface_along_the_path() {
        let walk =
            |aside: &str| moving(&json!({ "way": "walking", "speed": "5 ft/s", "aside": aside }));
        close(walk("60").seconds, 48.0, 1e-9);
        close(figure(&walk("60"), "stretch"), 240.0, 1e-6);
        // The best is half the reach; none is left at the whole of it.
        close(figure(&walk("150"), "stretch"), 300.0, 1e-6);
        for aside in ["1", "50", "100", "149", "151", "250", "299"] {
            assert!(figure(&walk(aside), "stretch").unwrap() < 300.0, "{aside}");
        }
        assert_eq!(walk("300").seconds, Some(0.0));
        assert_eq!(walk("900").seconds, Some(0.0));
    }

    /// By the road the far lane counts: 10 ft and two lanes of 10. From 300 ft straight on it reads at up to
    /// √(30 · 270) = 90 ft before it, and the driver turns by 30° from the road at most, which ends 51.96 ft
    /// before it: 38.04 ft, at 60 ft/s. What lies behind the driver does not count.
    #[test]
    fn a_driver_reads_a_wall_only_on_the_way_to_it() {
        let road = |aside: &str| {
            moving(&json!({ "way": "wall", "speed": "60 ft/s", "aside": aside, "words": "1" }))
        };
        close(
            road("10").seconds,
            (90.0 - 30.0 * 3.0_f64.sqrt()) / 60.0,
            1e-9,
        );
        // Seen at less than 30° off the road it has to reach four times the offset: 4 · 75 = 300.
        close(road("55").seconds, 0.0, 1e-6);
        assert!(!road("60").enough);
        // With the letters that it asks for there is time for the word.
        let needed = figure(&road("10"), "letterHeight").unwrap() * 12.0;
        let grown = json!({ "way": "wall", "speed": "60 ft/s", "aside": "10", "words": "1",
            "legibility": { "unit": "ft", "acuity": "20/20", "decal": { "width": "60 ft",
                "height": "30 ft", "letterHeight": format!("{needed} in") } } });
        assert!(moving(&grown).enough);
    }

    /// The path in steps of a hundredth of a foot: at each the letters reach as far as they are narrowed.
    #[test]
    fn a_walk_in_small_steps() {
        for aside in [0.5, 7.0, 60.0, 150.0, 280.0, 310.0_f64] {
            let report = moving(
                &json!({ "way": "walking", "speed": "5 ft/s", "aside": format!("{aside}") }),
            );
            let reach = figure(&report, "reach").unwrap();
            close(reach, 300.0, 1e-9);
            let mut steps = 0;
            for step in -40_000..40_000 {
                let along = (f64::from(step) + 0.5) / 100.0;
                let off = (along / aside).atan();
                steps += i32::from(aside.hypot(along) <= reach * off.cos());
            }
            close(figure(&report, "stretch"), f64::from(steps) / 100.0, 0.02);
        }
    }

    /// 30 mph are 88 ft in two seconds; a light is taken from 20 ft or 6 m.
    #[test]
    fn vehicles_ahead() {
        let report = moving(&json!({ "way": "following", "speed": "30 mph" }));
        close(figure(&report, "gap"), 88.0, 1e-9);
        assert_eq!((report.seconds, report.most_words), (None, None));
        assert!(report.enough);
        let gap = report.figures.iter().find(|figure| figure.id == "gap");
        assert_eq!(gap.map(|gap| gap.mark), Some(Mark::CommonPractice));
        // Two seconds of travel make 300 ft at 102.27 mph.
        close(figure(&report, "greatestSpeed"), 150.0 * 60.0 / 88.0, 1e-9);
        let far = moving(&json!({ "way": "following", "speed": "30 mph", "gap": "301" }));
        assert!(!far.enough);
        assert_eq!(far.seconds, Some(0.0));
        assert_eq!(figure(&far, "greatestSpeed"), None);
        let near = moving(&json!({ "way": "following", "speed": "30 mph", "gap": "300 ft" }));
        assert!(near.enough);
        // 30 ft to the inch for 301 ft.
        close(
            figure(&far, "letterHeight").map(|feet| feet * 12.0),
            301.0 / 30.0,
            1e-6,
        );
    }

    #[test]
    fn at_a_light() {
        let light = |members: Value| {
            let mut all = members;
            all["way"] = "light".into();
            moving(&all)
        };
        let report = light(json!({}));
        assert_eq!(report.seconds, Some(20.0));
        assert_eq!(report.most_words, Some(20));
        close(figure(&report, "gap"), 20.0, 1e-9);
        // Two words in two seconds and two thirds, by the rule for drivers.
        let short = light(json!({ "wait": "2.9 s" }));
        assert_eq!((short.enough, short.most_words), (false, Some(2)));
        assert_eq!(figure(&short, "letterHeight"), None);
        assert!(short.advice.contains("No size helps"));
        assert!(!light(json!({ "gap": "400" })).enough);
        let metric = json!({ "unit": "cm", "decal": {
            "lettering": "BAIT", "width": "90 cm", "height": "30 cm", "letterHeight": "25 cm",
        } });
        let metric = light(json!({ "legibility": metric }));
        close(figure(&metric, "gap"), 600.0, 1e-9);
    }

    #[test]
    fn letters_too_small_for_the_rule() {
        let report = moving(
            &json!({ "way": "board", "speed": "30 mph", "aside": "0", "legibility": {
            "reader": "accessible", "mount": "high",
            "decal": { "lettering": "BAIT", "width": "9", "height": "3", "letterHeight": "2" },
        } }),
        );
        assert_eq!((report.enough, report.seconds), (false, Some(0.0)));
        assert_eq!(report.headline, "Not read");
        assert_eq!(figure(&report, "reach"), None);
        assert_eq!(figure(&report, "greatestSpeed"), None);
        assert!(figure(&report, "letterHeight").unwrap() > 3.0);
    }
}

mod words {
    use super::*;

    #[test]
    fn the_verdict_has_both_times() {
        let report = moving(&json!({ "way": "board", "speed": "60 ft/s", "aside": "0" }));
        assert_eq!(report.headline, "5 s");
        assert_eq!(
            report.verdict,
            "Read in time: 5 s for 3 words that take 3 s."
        );
        // 300 ft in 3 s are 100 ft/s, 68.18 mph.
        assert!(report.advice.contains("up to 68 mph"), "{}", report.advice);
        assert!(report.advice.contains("Up to 5 words"), "{}", report.advice);
        let fast = moving(&json!({ "way": "board", "speed": "120 ft/s", "aside": "0" }));
        assert_eq!(
            fast.verdict,
            "Not read in time: 2.5 s for 3 words that take 3 s."
        );
        // 360 ft at 30 ft to the inch.
        assert!(
            fast.advice.starts_with("It takes letters of 12 1/16 in")
                || fast.advice.starts_with("It takes letters of 12 in"),
            "{}",
            fast.advice
        );
    }

    #[test]
    fn speeds_are_read_as_people_write_them() {
        let per_second = |speed: &str, unit: &str| {
            let mut all = json!({ "way": "board", "speed": speed, "aside": "0" });
            all["legibility"] = asked(&json!({}))["legibility"].clone();
            all["legibility"]["unit"] = unit.into();
            figure(&moving(&all), "perSecond").unwrap()
        };
        // By definition: a mile is 1609.344 m, a nautical mile 1852 m, a foot 0.3048 m.
        for (speed, unit, metres) in [
            ("36", "m", 10.0),
            ("36 km/h", "m", 10.0),
            ("36 KM/H", "m", 10.0),
            ("36 km / h", "m", 10.0),
            ("36 kph", "m", 10.0),
            ("36kmh", "m", 10.0),
            ("10 m/s", "m", 10.0),
            ("30 mph", "m", 13.4112),
            ("30 mi/h", "m", 13.4112),
            ("5 knots", "m", 5.0 * 1852.0 / 3600.0),
            ("5 kn", "m", 5.0 * 1852.0 / 3600.0),
            ("5 kts", "m", 5.0 * 1852.0 / 3600.0),
            ("10 ft/s", "m", 3.048),
            ("1 1/2 m/s", "m", 1.5),
        ] {
            close(per_second(speed, unit), metres, 2e-9);
        }
        close(per_second("30", "ft"), 44.0, 1e-8);
        close(per_second("30", "in"), 528.0, 1e-7);
    }

    #[test]
    fn every_mistake_is_told_at_its_field() {
        let told = |members: &Value| {
            let errors = refused(members);
            let told: Vec<(String, Code)> = errors
                .iter()
                .map(|error| (error.field.clone(), error.code))
                .collect();
            told
        };
        let at = |field: &str, code| (field.to_owned(), code);
        assert_eq!(
            told(&json!({ "way": "board" })),
            [at("speed", Code::Missing), at("aside", Code::Missing)]
        );
        assert_eq!(
            told(&json!({
                "way": "wall", "speed": "fast", "aside": "-3", "lanes": "0", "words": "1.5",
                "reaction": "x", "index": "0",
            })),
            [
                at("speed", Code::NotANumber),
                at("aside", Code::TooSmall),
                at("lanes", Code::TooSmall),
                at("words", Code::NotWhole),
                at("reaction", Code::NotANumber),
                at("index", Code::TooSmall),
            ]
        );
        for (speed, code) in [
            ("0", Code::TooSmall),
            ("-3 mph", Code::TooSmall),
            ("700 mph", Code::TooLarge),
            ("3 furlongs", Code::UnknownUnit),
            ("3 1/h", Code::NotANumber),
            ("/h", Code::NotANumber),
            ("/", Code::NotANumber),
            ("1,125", Code::Ambiguous),
        ] {
            let told = told(&json!({ "way": "walking", "speed": speed, "aside": "3" }));
            assert_eq!(told, [at("speed", code)], "{speed}");
        }
        assert_eq!(
            told(&json!({ "way": "walking", "speed": "3", "aside": "0" })),
            [at("aside", Code::TooSmall)]
        );
        assert_eq!(
            told(&json!({ "way": "light", "wait": "2 h", "gap": "x" })),
            [at("gap", Code::NotANumber), at("wait", Code::TooLarge)]
        );
        // Without lettering there are no words to count, unless somebody says how many.
        let bare = json!({ "decal": { "width": "9", "height": "3", "letterHeight": "2" } });
        let mut input = json!({ "way": "light", "legibility": bare });
        assert_eq!(told(&input), [at("words", Code::Missing)]);
        input["words"] = 2.into();
        assert_eq!(moving(&input).words, 2);
        let mut broken = asked(&json!({ "way": "board" }));
        broken["legibility"]["acuity"] = "x".into();
        broken["legibility"]["decal"]["width"] = "x".into();
        let fields: Vec<String> = told(&broken).into_iter().map(|(field, _)| field).collect();
        assert_eq!(
            fields,
            [
                "legibility.decal.width",
                "legibility.acuity",
                "speed",
                "aside"
            ]
        );
    }
}

/// A question about letters of so many millimetres on a decal ten times as long and three times as high.
fn sized(letter: f64, members: &Value) -> Value {
    let mut all = members.clone();
    all["legibility"] = json!({ "unit": "mm", "decal": {
        "lettering": "BAIT AND ICE",
        "width": format!("{:.6}", letter * 10.0),
        "height": format!("{:.6}", letter * 3.0),
        "letterHeight": format!("{letter:.6}"),
    } });
    all
}

/// A way, its speed in km/h and its offset in metres.
fn passing() -> impl Strategy<Value = (&'static str, f64, f64, u32)> {
    (
        proptest::sample::select(&WAYS[..]),
        1.0..150.0,
        0.2..40.0,
        1_u32..15,
    )
}

fn question((way, speed, aside, words): (&str, f64, f64, u32)) -> Value {
    json!({ "way": way, "speed": format!("{speed:.3}"), "aside": format!("{aside:.3}"), "words": words })
}

proptest! {
    #[test]
    fn larger_letters_never_read_for_less_time(case in passing(), letter in 5.0..900.0, more in 1.0..3.0) {
        let time = |letter: f64| {
            let report = moving(&sized(letter, &question(case)));
            report.seconds.unwrap_or(f64::INFINITY)
        };
        prop_assert!(time(letter * more) >= time(letter));
    }

    #[test]
    fn faster_never_reads_longer_nor_more_words(case in passing(), letter in 5.0..900.0, more in 1.0..3.0) {
        let (way, speed, aside, words) = case;
        let slow = moving(&sized(letter, &question(case)));
        let fast = moving(&sized(letter, &question((way, speed * more, aside, words))));
        let seconds = |report: &MovingReport| report.seconds.unwrap_or(f64::INFINITY);
        prop_assert!(seconds(&fast) <= seconds(&slow));
        let most = |report: &MovingReport| report.most_words.unwrap_or(u32::MAX);
        prop_assert!(most(&fast) <= most(&slow));
        prop_assert!(slow.enough || !fast.enough);
    }

    #[test]
    fn the_letters_it_takes_are_enough(case in passing(), letter in 5.0..900.0) {
        let report = moving(&sized(letter, &question(case)));
        // None where it would have to read from beyond 10 km.
        let Some(height) = figure(&report, "letterHeight") else {
            prop_assert!(!report.enough);
            return Ok(());
        };
        prop_assume!((1.0..4_000.0).contains(&height));
        let taken = moving(&sized(height, &question(case)));
        prop_assert!(taken.enough, "{height}: {}", taken.verdict);
        prop_assert!(report.enough == (height <= letter + 1e-5), "{height} of {letter}");
        // A thousandth less is not, where any time is measured.
        let less = moving(&sized(height * 0.999, &question(case)));
        prop_assert!(!less.enough, "{}", less.verdict);
    }

    #[test]
    fn at_the_greatest_speed_it_is_just_read(case in passing(), letter in 5.0..900.0) {
        let (way, _, aside, words) = case;
        let report = moving(&sized(letter, &question(case)));
        let Some(speed) = figure(&report, "greatestSpeed") else { return Ok(()) };
        prop_assume!((0.5..700.0).contains(&speed));
        // Both are as fast as each other where nothing else is typed.
        let speed = if way == "oncoming" { speed / 2.0 } else { speed };
        prop_assert!(moving(&sized(letter, &question((way, speed * 0.99, aside, words)))).enough);
        prop_assert!(!moving(&sized(letter, &question((way, speed * 1.01, aside, words)))).enough);
    }

    /// The last number of words that its own time allows, by each rule and by all.
    #[test]
    fn the_most_words_are_the_last_that_fit(wait in 100_u32..40_000) {
        let seconds = f64::from(wait) / 1_000.0;
        let light = |words: u32| {
            moving(&json!({ "way": "light", "wait": format!("{seconds}"), "words": words }))
        };
        let report = light(3);
        for (id, times, plus) in [("exposure", 0.32, -0.21), ("signs", 1.0 / 3.0, 2.0), ("word", 1.0, 0.0)] {
            let time = |words: f64| times * words + plus;
            let most = reading(&report, id).most_words.unwrap();
            let fits = |words: u32| time(words.into()) <= seconds + 1e-9;
            let least = if id == "exposure" { 2 } else { 1 };
            prop_assert!(most < least || fits(most), "{id} {most}");
            prop_assert!(most >= 40 && id == "exposure" || !fits(most + 1) || most + 1 < least, "{id} {most}");
        }
        let most = report.most_words.unwrap();
        prop_assert!(most == 0 || light(most).enough);
        prop_assert!(!light(most + 1).enough);
    }

    /// Whatever is typed, there is an answer or a mistake at a field.
    #[test]
    fn nothing_that_is_typed_stops_it(
        way in 0..6_usize,
        texts in proptest::collection::vec("[ -~]{0,6}|[0-9]{0,15}(mph| m/s|/h)?", 9),
    ) {
        let mut input = json!({ "way": WAYS[way] });
        let members =
            ["speed", "otherSpeed", "aside", "gap", "wait", "words", "lanes", "reaction", "index"];
        for (member, text) in members.iter().zip(&texts) {
            input[*member] = text.as_str().into();
        }
        let input: MovingInput = decode(&asked(&input).to_string()).unwrap();
        match report(&input) {
            Ok(report) => prop_assert!(!report.verdict.is_empty() && !report.headline.is_empty()),
            Err(errors) => {
                for error in errors.iter() {
                    prop_assert!(members.contains(&error.field.as_str()), "{}", error.field);
                }
            }
        }
    }
}
