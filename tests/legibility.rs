//! From how far lettering can be read, against published tables, worked examples and geometry.

use decal_reckoner::drawing::{Element, Node};
use decal_reckoner::error::Code;
use decal_reckoner::legibility::eye::{Acuity, Ratio, angle};
use decal_reckoner::legibility::notes::NOTES;
use decal_reckoner::legibility::rules::{Mark, RULES, Rule};
use decal_reckoner::legibility::{
    self, Case, LegibilityInput, LegibilityReport, Mount, Reader, Reading, Viewing,
    letter_height_for, reach, report,
};
use decal_reckoner::measure::{Angle, Length, Measured, Unit};
use proptest::prelude::*;
use serde_json::{Value, json};

/// Rows of a table in `tests/data`, without its source and its head.
fn rows(table: &'static str) -> impl Iterator<Item = Vec<&'static str>> {
    table.lines().skip(2).map(|row| row.split(',').collect())
}

fn read(input: Value) -> LegibilityInput {
    serde_json::from_value(input).unwrap()
}

fn answer(input: Value) -> LegibilityReport {
    report(&read(input)).unwrap()
}

/// The decal of 9 by 3 in with letters of 1 1/2 in, and more.
fn nine_by_three(more: Value) -> LegibilityReport {
    let mut input =
        json!({"decal": {"width": "9 in", "height": "3 in", "letterHeight": "1 1/2 in"}});
    if let (Value::Object(input), Value::Object(more)) = (&mut input, more) {
        input.extend(more);
    }
    answer(input)
}

fn rule<'a>(report: &'a LegibilityReport, id: &str) -> &'a Reading {
    report.rules.iter().find(|rule| rule.id == id).unwrap()
}

fn value(measured: Option<&Measured>) -> f64 {
    measured.unwrap().value
}

fn text(measured: Option<&Measured>) -> &str {
    &measured.unwrap().text
}

fn close(is: f64, should: f64, tolerance: f64) -> bool {
    (is - should).abs() <= tolerance + 1e-9
}

mod published {
    use super::*;

    #[test]
    fn letter_heights_for_distances() {
        for row in rows(include_str!("data/letter-heights.csv")) {
            let [id, acuity, case, distance, height, unit, tolerance, source] = row[..] else {
                panic!("{row:?}")
            };
            let case = if case.is_empty() { "caps" } else { case };
            let report = nine_by_three(
                json!({"unit": unit, "acuity": acuity, "case": case, "distance": distance}),
            );
            let is = value(rule(&report, id).letter_height.as_ref());
            let (should, tolerance) = (height.parse().unwrap(), tolerance.parse().unwrap());
            assert!(
                close(is, should, tolerance),
                "{is} is not {should}: {source}"
            );
        }
    }

    /// The table as it stands, in plain arithmetic, against both directions of the rule, from 0.5 to
    /// 90 ft in steps of a sixteenth of a foot.
    #[test]
    fn accessibility_table_both_ways() {
        for row in rows(include_str!("data/ada-703-5-5.csv")) {
            let [from, least, increment]: [f64; 3] =
                [1, 2, 3].map(|column: usize| row[column].parse().unwrap());
            let mount: Mount = serde_json::from_value(json!(row[0])).unwrap();
            let viewing = Viewing {
                mount,
                ..Viewing::default()
            };
            let scale = named("ada-703.5.5").scale(&viewing);
            for sixteenths in 8..1440 {
                let inches = f64::from(sixteenths) * 12.0 / 16.0;
                let beyond = (inches - from).max(0.0);
                let should = least + beyond / 12.0 * increment;
                let distance = Length::inches(i64::from(sixteenths) * 12, 16);
                let height = scale.height(distance);
                assert!(
                    close(height.to_f64(Unit::In), should, 1e-7),
                    "{mount:?}: {inches} in away"
                );
                let back = scale.distance(height).unwrap().to_f64(Unit::In);
                assert!(
                    close(back, inches.max(from), 1e-5),
                    "{mount:?}: letters of {should} in serve {back} in"
                );
            }
            // One nanometre below the least, no distance is allowed.
            let least = scale.height(Length::ZERO);
            assert_eq!(scale.distance(least - Length::from_nm(1)), None);
        }
    }

    /// 2010 ADA Standards, table 703.5.5, worked by hand: at 60 in above the floor, 20 ft away, 5/8 in
    /// and 14 times 1/8 in.
    #[test]
    fn accessibility_worked_examples() {
        let cases = [
            ("eyeLevel", "20 ft", 2.375),
            ("eyeLevel", "5 ft", 0.625),
            ("overhead", "20 ft", 2.625),
            ("high", "30 ft", 4.125),
        ];
        for (mount, distance, should) in cases {
            let report = nine_by_three(
                json!({"reader": "accessible", "mount": mount, "distance": distance}),
            );
            let rule = rule(&report, "ada-703.5.5");
            assert!(rule.applies);
            assert!(close(value(rule.letter_height.as_ref()), should, 0.0));
            assert_eq!(report.recommended.rule, "ada-703.5.5");
            assert!(close(
                value(report.recommended.letter_height.as_ref()),
                should,
                0.0
            ));
        }
    }

    /// California Building Code 2013, 11B-703.8.4 (looked up at corada.com), row by row: 2, 3 and 4 in up to
    /// 10, 15 and 20 ft, and 1/5 in for each foot beyond.
    #[test]
    fn changeable_signs_row_by_row() {
        for (mount, distance, should) in [
            ("eyeLevel", "10 ft", 2.0),
            ("eyeLevel", "20 ft", 4.0),
            ("overhead", "15 ft", 3.0),
            ("overhead", "20 ft", 4.0),
            ("high", "20 ft", 4.0),
            ("high", "30 ft", 6.0),
        ] {
            let report = nine_by_three(json!({"mount": mount, "distance": distance}));
            let rule = rule(&report, "cbc-703.8.4");
            assert!(close(value(rule.letter_height.as_ref()), should, 1e-7));
            assert!(!rule.applies && rule.why.is_some());
        }
    }

    /// Feet to the inch for angles, published to one decimal: 5 arcmin 57.3 (the acuity limit of
    /// 20/20), 16 and 20 arcmin (NUREG-0700 rev. 2, 1.3.1-4) 17.9 and 14.3.
    #[test]
    fn feet_to_the_inch() {
        for (minutes, should) in [
            (5.0, 57.3),
            (10.0, 28.6),
            (16.0, 17.9),
            (20.0, 14.3),
            (22.0, 13.0),
        ] {
            let feet = Ratio::of_angle(Angle::arcmin(minutes)).times() / 12.0;
            assert!(close(feet, should, 0.05), "{minutes} arcmin: {feet}");
        }
    }

    /// The angles that rules of so many feet to the inch come to, by plane geometry.
    #[test]
    fn angles_of_the_index_rules() {
        for (feet, should) in [(30, 9.55), (40, 7.16), (50, 5.73)] {
            let minutes = angle(Length::inches(1, 1), Length::whole(feet, Unit::Ft)).to_arcmin();
            assert!(close(minutes, should, 0.005), "{feet} ft: {minutes}");
        }
        // h = d/200 is said to be about 17.2 arcmin, 100 mm for 25 m is 13.75 arcmin, d/300 is 11.5.
        for (id, should) in [
            ("display-200", 17.2),
            ("fire-250", 13.75),
            ("safety-300", 11.5),
        ] {
            let minutes = named(id)
                .scale(&Viewing::default())
                .beyond
                .angle()
                .to_arcmin();
            assert!(close(minutes, should, 0.05), "{id}: {minutes}");
        }
        let report = nine_by_three(json!({}));
        assert_eq!(
            rule(&report, "traffic-30").visual_angle.as_deref(),
            Some("9.5 arcmin")
        );
        assert_eq!(
            rule(&report, "acuity").visual_angle.as_deref(),
            Some("10 arcmin")
        );
    }

    /// A figure has an address if and only if it was looked up there; what nobody read again is
    /// marked so.
    #[test]
    fn marks_are_honest() {
        for (rule, note) in RULES.iter().zip(&NOTES) {
            assert_eq!(
                note.address.is_some(),
                rule.mark == Mark::LookedUp,
                "{}",
                rule.id
            );
            assert!(!rule.source.is_empty() && !note.assumption.is_empty());
            assert!(!note.domain.is_empty());
        }
        for id in [
            "traffic-30",
            "traffic-40",
            "acuity",
            "sign-index",
            "safety-300",
        ] {
            assert_eq!(named(id).mark, Mark::FromMemory, "{id}");
        }
        assert_eq!(json!(Mark::FromMemory), "from memory");
        assert_eq!(json!(Mark::LookedUp), "looked up");
    }
}

fn named(id: &str) -> &'static Rule {
    RULES.iter().find(|rule| rule.id == id).unwrap()
}

mod geometry {
    use super::*;

    /// Exact: h = 2 d tan(a/2). Small angles: h = 6.283 D MA / 21600 (NUREG-0700 rev. 2, 1.3.1-4).
    #[test]
    #[expect(clippy::approx_constant, reason = "the publication's own figure")]
    fn letters_fill_their_angle() {
        let far = Length::whole(1, Unit::M);
        for tenths in 1_u8..=250 {
            let minutes = f64::from(tenths) / 2.0;
            let height = Ratio::of_angle(Angle::arcmin(minutes))
                .height(far)
                .to_f64(Unit::M);
            let exact = 2.0 * (minutes / 60.0 / 2.0 * std::f64::consts::PI / 180.0).tan();
            assert!(close(height, exact, 1e-9), "{minutes} arcmin");
            let small = 6.283 * minutes / 21_600.0;
            assert!((height / small - 1.0).abs() < 2e-4, "{minutes} arcmin");
        }
    }

    /// A detail of one minute of arc is seen from 3437.75 times its size
    /// (<https://meansofescape.com/about-viewing-distances>), so a letter five times as high from a
    /// fifth of that.
    #[test]
    fn five_details_make_a_letter() {
        let times = Ratio::of_angle(Acuity::parse("20/20").unwrap().letter()).times();
        assert!(close(times * 5.0, 3437.75, 0.01), "{times}");
    }

    /// By definition the denominator is the distance from which acuity 20/20 reads the same line.
    #[test]
    fn acuity_is_a_ratio_of_distances() {
        for (one, other) in [
            ("20/40", "6/12"),
            ("20/40", "0.5"),
            ("20/40", "0,5"),
            ("20/40", ".5"),
            ("20/40", ""),
            ("20/40", " 20 / 40 "),
            ("20/20", "1"),
            ("20/25", "6/7.5"),
            ("20/25", "6/7,5"),
            ("20/10", "2"),
            ("20/10", "6/3"),
            ("20/400", "0.05"),
            ("20/400", "3/60"),
        ] {
            assert_eq!(Acuity::parse(one), Acuity::parse(other), "{one} {other}");
        }
        let forty = Acuity::parse("20/40").unwrap();
        assert!(close(forty.letter().to_arcmin(), 10.0, 1e-9));
        assert_eq!(forty.text(Unit::In), "20/40");
        assert_eq!(forty.text(Unit::Cm), "6/12");
        assert_eq!(Acuity::parse("6/7.5").unwrap().text(Unit::Mm), "6/7.5");
    }
}

mod governs {
    use super::*;

    /// 20/40 reads 28.6 ft to the inch, which is less than 30; 20/20 reads 57.3, which is more.
    #[test]
    fn the_most_cautious_in_passing() {
        let weak = nine_by_three(json!({"acuity": "20/40"}));
        assert_eq!(weak.recommended.rule, "acuity");
        assert_eq!(weak.recommended.headline, "42 ft");
        let sharp = nine_by_three(json!({"acuity": "20/20"}));
        assert_eq!(sharp.recommended.rule, "traffic-30");
        assert_eq!(sharp.recommended.headline, "45 ft");
        assert!(
            sharp
                .recommended
                .detail
                .starts_with("Traffic legibility index, 30 ft for each inch of letter height.")
        );
        // 38.1 mm at 360 to 1 are 13.716 m.
        let metric = nine_by_three(json!({"acuity": "6/6", "unit": "cm"}));
        assert_eq!(metric.recommended.headline, "13 m");
        assert!(close(
            value(metric.recommended.distance.as_ref()),
            1371.6,
            1e-9
        ));
    }

    /// 20 arcmin are four times the letter that 20/20 tells apart; eyes below 0.7 take more of both in
    /// the same proportion.
    #[test]
    fn comfort_takes_more_than_telling_apart() {
        for acuity in ["20/20", "20/79", "20/81", "20/400"] {
            let report = nine_by_three(json!({"reader": "atEase", "acuity": acuity}));
            assert_eq!(report.recommended.rule, "reading-20", "{acuity}");
        }
    }

    #[test]
    fn a_letter_too_small_for_an_accessible_sign() {
        let report = nine_by_three(
            json!({"reader": "accessible", "mount": "overhead", "distance": "30 ft"}),
        );
        assert_eq!(report.recommended.distance, None);
        assert_eq!(report.recommended.headline, "too small");
        assert_eq!(report.recommended.enough, Some(false));
        // 2 in, and 15 times 1/8 in; the decal in proportion 9 : 3 : 1 1/2.
        assert_eq!(text(report.recommended.letter_height.as_ref()), "3 7/8 in");
        assert_eq!(text(report.recommended.decal_width.as_ref()), "23 1/4 in");
        assert_eq!(text(report.recommended.decal_height.as_ref()), "7 3/4 in");
        let rule = rule(&report, "ada-703.5.5");
        assert_eq!((rule.distance.as_ref(), rule.share.to_bits()), (None, 0));
        assert!(rule.why.as_deref().unwrap().contains("below 2 in"));
    }

    /// At 30 ft to the inch 60 ft take 2 in, and a decal of 9 by 3 in with letters of 1 1/2 in grows by
    /// a third.
    #[test]
    fn the_decal_grows_with_its_letters() {
        let report = nine_by_three(json!({"acuity": "20/20", "distance": "60"}));
        // A plain number counts in the unit of the whole input, as every number in the answer does.
        let in_inches = nine_by_three(json!({"acuity": "20/20", "distance": 720}));
        assert_eq!(report, in_inches);
        assert!(
            report
                .recommended
                .detail
                .ends_with("For 60 ft the letters would need 2 in, the decal 12\u{a0}× 4 in."),
            "{}",
            report.recommended.detail
        );
        assert_eq!(report.recommended.enough, Some(false));
        assert_eq!(text(report.wanted.as_ref()), "60 ft");
        assert!(close(value(report.wanted.as_ref()), 720.0, 0.0));
    }

    #[test]
    fn at_the_very_distance_the_letters_are_just_high_enough() {
        let report = nine_by_three(json!({"acuity": "20/20", "distance": "45 ft"}));
        assert_eq!(report.recommended.enough, Some(true));
        assert!(report.recommended.detail.ends_with("just high enough."));
        let report = nine_by_three(json!({"acuity": "20/20", "distance": "45.01 ft"}));
        assert_eq!(report.recommended.enough, Some(false));
        // Rounded up to 1/16 in, not to the 1 1/2 in that are just too small.
        assert_eq!(text(report.recommended.letter_height.as_ref()), "1 9/16 in");
    }

    #[test]
    fn rules_for_others_are_shown_with_the_reason() {
        for reader in ["passing", "atEase", "accessible", "board", "safety"] {
            let report = nine_by_three(json!({"reader": reader}));
            assert_eq!(report.rules.len(), RULES.len());
            for rule in &report.rules {
                assert_eq!(rule.applies, rule.why.is_none(), "{reader} {}", rule.id);
                assert_ne!(rule.why.as_deref(), Some(""), "{reader} {}", rule.id);
                // Letters of 1 1/2 in are below the least of the changeable signs; no factor was typed.
                assert_eq!(
                    rule.distance.is_none(),
                    rule.id.starts_with("cbc-") || rule.id == "own-factor",
                    "{}",
                    rule.id
                );
            }
            let governing = rule(&report, report.recommended.rule);
            assert!(governing.applies);
        }
    }

    /// Small letters are lower than capitals: the answer says that its figures are about capitals.
    #[test]
    fn small_letters_are_spoken_of() {
        let caps = nine_by_three(json!({}));
        let mixed = nine_by_three(json!({"case": "mixed"}));
        assert!(caps.assumptions[0].contains("capital I"));
        assert_eq!(mixed.assumptions.len(), caps.assumptions.len() + 1);
    }
}

/// Three worked examples as they were published; the first two are worked in `tests/moving.rs`, with the whole
/// chain from speed to size, and stand here by the letters that they come to.
mod worked_examples {
    use super::*;

    /// <http://www.fasi.org/from-the-associations/2016/6/20/how-the-united-states-sign-councils-sign-legibility-index-was-used-to-secure-a-variance>:
    /// 45 mph and 10 s are 660 ft, and at a legibility index of 26 (white letters on black, small and capital)
    /// take letters of 25 in.
    #[test]
    fn a_sign_council_variance_of_2016() {
        let report = nine_by_three(
            json!({"reader": "board", "acuity": "20/20", "case": "mixed",
            "distance": "660 ft", "contrast": {"by": "colours", "film": "#fff", "ground": "#000"}}),
        );
        let needed = rule(&report, "sign-light").letter_height.as_ref();
        assert!(close(value(needed), 660.0 / 26.0, 1e-6));
        assert!((value(needed) - 25.0).abs() < 0.5, "as published, rounded");
    }

    /// Traffic Signs for Motorways (1962), paragraphs 19 to 21: a sign 50 ft aside is passed by at 15° from
    /// 186.6 ft before it (the report rounds up to 200), and 4 s at 70 mph are 410.7 ft (400): it is to be
    /// legible by 600 ft. By 50 ft to the inch, customary then, that takes 12 in.
    #[test]
    fn traffic_signs_for_motorways() {
        let before = 50.0 / 15.0_f64.to_radians().tan() + 4.0 * 70.0 * 5280.0 / 3600.0;
        assert!((before - 600.0).abs() < 5.0);
        let report = nine_by_three(json!({"distance": "600 ft"}));
        let needed = rule(&report, "traffic-50").letter_height.as_ref();
        assert!(close(value(needed), 12.0, 1e-6));
    }

    /// <https://meansofescape.com/about-viewing-distances>: older British fire guidance has letters of 100 mm
    /// for 25 m, which are 13.75 arcmin.
    #[test]
    fn letters_of_fire_signs() {
        let decal = json!({"width": "900 mm", "height": "100 mm", "letterHeight": "100 mm"});
        let report = answer(json!({"unit": "mm", "reader": "safety", "acuity": "6/6",
            "distance": "25 m", "decal": decal}));
        assert_eq!(report.recommended.rule, "fire-250");
        assert_eq!(report.recommended.enough, Some(true));
        assert!(close(
            value(report.recommended.distance.as_ref()),
            25_000.0,
            1e-6
        ));
        let angle = rule(&report, "fire-250").visual_angle.as_deref();
        assert_eq!(angle, Some("13.8 arcmin"));
    }
}

/// What the conditions of a case leave.
mod conditions {
    use super::*;

    /// How far a rule reaches, in inches.
    fn far(id: &str, more: Value) -> f64 {
        value(rule(&nine_by_three(more), id).distance.as_ref())
    }

    /// Foreshortening: 0, 30, 45, 60, 70 and 80 degrees leave 1.000, 0.866, 0.707, 0.500, 0.342 and 0.174
    /// of the width; a slope does the same to the height.
    #[test]
    fn slant_shrinks_by_the_cosine() {
        for id in ["traffic-30", "acuity"] {
            let straight = far(id, json!({}));
            for (degrees, should) in [
                (0, 1.0),
                (30, 0.866),
                (45, 0.707),
                (60, 0.5),
                (70, 0.342),
                (80, 0.174),
            ] {
                for member in ["aside", "rake"] {
                    let share = far(id, json!({member: degrees})) / straight;
                    assert!(
                        close(share, should, 0.0005),
                        "{id} {member} {degrees}: {share}"
                    );
                }
            }
            // Of both the one that takes more counts: a detail has to be told apart either way.
            let both = far(id, json!({"aside": "45°", "rake": "60"})) / straight;
            assert!(close(both, 0.5, 1e-9));
        }
        // What a standard asks for is asked from every side.
        let ada = |more| far("ada-703.5.5", more);
        assert!(close(
            ada(json!({"aside": 60, "reserve": 50})),
            ada(json!({})),
            0.0
        ));
    }

    /// Strokes of a sixth to an eighth of the height are good ones (DOD-HDBK-791, 6-5.3.2) and take nothing. A
    /// finer one is itself the smallest detail; a thick one leaves two gaps between its three strokes:
    /// (1 - 3 · 0.3) / 2 = 0.05 of the height, 40 % of an eighth. An O of 0.5 with strokes of 0.2 is open by
    /// 0.1, 80 % of an eighth. Letters that touch leave half, as a script.
    #[test]
    fn the_smallest_detail_is_to_be_told_apart() {
        let acuity = |decal: Value| {
            let mut whole =
                json!({"width": "900 mm", "height": "200 mm", "letterHeight": "100 mm"});
            if let (Value::Object(whole), Value::Object(decal)) = (&mut whole, decal) {
                whole.extend(decal);
            }
            let report = answer(json!({"unit": "mm", "decal": whole}));
            let traffic = value(rule(&report, "traffic-30").distance.as_ref());
            (value(rule(&report, "acuity").distance.as_ref()), traffic)
        };
        let (best, index) = acuity(json!({}));
        for (decal, should) in [
            (json!({"stroke": "20 mm"}), 1.0),
            (json!({"stroke": "16.7 mm"}), 1.0),
            (json!({"stroke": "12.5 mm"}), 1.0),
            (json!({"stroke": "10 mm"}), 0.8),
            (json!({"stroke": "5 mm"}), 0.4),
            (json!({"stroke": "25 mm"}), 1.0),
            (json!({"stroke": "30 mm"}), 0.4),
            (json!({"stroke": "20 mm", "letterWidth": "60 mm"}), 1.0),
            (json!({"stroke": "20 mm", "letterWidth": "50 mm"}), 0.8),
            (json!({"letterGap": "10 mm"}), 0.8),
            (json!({"letterGap": "40 mm"}), 1.0),
            (json!({"letterGap": "1 mm"}), 0.5),
        ] {
            let (far, by_index) = acuity(decal.clone());
            assert!(close(far / best, should, 1e-6), "{decal}: {}", far / best);
            // The index knows of no strokes; of widths only below 55 % of the height.
            let narrow = if decal["letterWidth"] == "50 mm" {
                50.0 / 55.0
            } else {
                1.0
            };
            assert!(close(by_index / index, narrow, 1e-6), "{decal}");
        }
    }

    /// Small letters of three quarters of the height, 75 mm, read from three quarters as far while their
    /// details are an eighth of that, 9.375 mm, and from less as they are less. Strokes and gaps are as wide
    /// in them as in capitals. What lies between strokes shrinks with the letters: from (100 - 3 · 30) / 2 =
    /// 5 mm, and from 32 - 2 · 12 = 8 mm, to three quarters of that.
    #[test]
    fn details_of_small_letters_are_counted_once() {
        let mixed = |part: Value| {
            let mut decal =
                json!({"width": "900 mm", "height": "200 mm", "letterHeight": "100 mm"});
            if let (Value::Object(decal), Value::Object(part)) = (&mut decal, part) {
                decal.extend(part);
            }
            let report = answer(json!({"unit": "mm", "case": "mixed", "decal": decal}));
            value(rule(&report, "acuity").distance.as_ref())
        };
        let whole = {
            let decal = json!({"width": "900 mm", "height": "200 mm", "letterHeight": "100 mm"});
            let report = answer(json!({"unit": "mm", "case": "caps", "decal": decal}));
            value(rule(&report, "acuity").distance.as_ref())
        };
        for (part, millimetres) in [
            (json!({}), 15.0),
            (json!({"stroke": "12 mm"}), 12.0),
            (json!({"stroke": "8 mm"}), 8.0),
            (json!({"stroke": "18 mm"}), 15.0),
            (json!({"stroke": "30 mm"}), 3.75),
            (json!({"letterGap": "9 mm"}), 9.0),
            (json!({"letterGap": "1 mm"}), 9.375 / 2.0),
            (json!({"letterGap": "40 mm"}), 15.0),
            (json!({"stroke": "12 mm", "letterWidth": "32 mm"}), 6.0),
            (json!({"stroke": "12 mm", "letterWidth": "52 mm"}), 12.0),
        ] {
            let share = mixed(part.clone()) / whole;
            let should = (millimetres / 9.375_f64).min(1.0) * 0.75;
            assert!(close(share, should, 1e-6), "{part}: {share}");
        }
    }

    /// DIN 1450:2013 (from memory): a size for acuity 0.7 is multiplied by 1.4 for 0.5 and by 1.75 for 0.4.
    #[test]
    fn weak_eyes_take_larger_letters_for_reading_at_ease() {
        let needed = |acuity: &str, id: &str| {
            let report = nine_by_three(json!({"acuity": acuity, "distance": "20 ft"}));
            value(rule(&report, id).letter_height.as_ref())
        };
        for id in ["reading-16", "reading-20", "display-200"] {
            for (acuity, factor) in [("0.7", 1.0), ("1", 1.0), ("0.5", 1.4), ("0.4", 1.75)] {
                let is = needed(acuity, id) / needed("20/20", id);
                assert!(close(is, factor, 1e-6), "{id} {acuity}: {is}");
            }
        }
        assert!(close(
            needed("0.4", "traffic-30"),
            needed("1", "traffic-30"),
            0.0
        ));
    }

    /// Small letters three quarters as high as capitals are what road signs have; the eye sees the small
    /// letters alone.
    #[test]
    fn small_letters_count_by_their_own_height() {
        let share = |id: &str, height: &str| {
            far(id, json!({"case": "mixed", "xHeight": height})) / far(id, json!({"case": "caps"}))
        };
        for (height, index, eye) in [
            ("75", 1.0, 0.75),
            ("90 %", 1.0, 0.9),
            ("50", 2.0 / 3.0, 0.5),
        ] {
            assert!(close(share("traffic-30", height), index, 1e-6));
            assert!(close(share("acuity", height), eye, 1e-6));
        }
        // As they are written, unless it is said.
        let written = |lettering: &str| {
            let decal = json!({"width": "9 in", "height": "3 in", "letterHeight": "1 1/2 in",
                "lettering": lettering});
            let report = answer(json!({"decal": decal}));
            value(rule(&report, "acuity").distance.as_ref())
        };
        assert!(close(written("Heron") / written("HERON"), 0.75, 1e-6));
    }

    #[test]
    fn a_reserve_and_weak_light_are_shares() {
        let whole = far("traffic-30", json!({}));
        let share = |more: Value| far("traffic-30", more) / whole;
        assert!(close(share(json!({"reserve": "20 %"})), 0.8, 1e-9));
        assert!(close(
            share(json!({"light": "dusk", "lightShare": 45})),
            0.45,
            1e-9
        ));
        assert!(close(
            share(json!({"light": "dusk", "lightShare": 50, "reserve": 50})),
            0.25,
            1e-9
        ));
        let mut last = 1.0;
        for light in ["retroreflective", "dusk", "headlights"] {
            let is = share(json!({"light": light}));
            assert!(is < last, "{light}");
            last = is;
        }
    }

    /// Reflectances of 70 and 21 differ by the advised 70 %, which takes nothing; 60 and 20 differ by two
    /// thirds and leave the root of 0.6667 / 0.70. Without any difference nothing is seen.
    #[test]
    fn weak_contrast_takes_its_share() {
        let contrast = |film: &str, ground: &str| {
            json!({"contrast":
            {"by": "reflectances", "filmReflectance": film, "groundReflectance": ground}})
        };
        let whole = far("traffic-30", json!({}));
        let share = |film, ground| far("traffic-30", contrast(film, ground)) / whole;
        assert!(close(share("70", "21"), 1.0, 1e-9));
        assert!(close(share("60", "20"), (2.0_f64 / 3.0 / 0.7).sqrt(), 1e-8));
        assert!(close(share("20", "60"), share("60", "20"), 0.0));
        let report = nine_by_three(contrast("50", "50"));
        assert_eq!(report.recommended.distance, None);
        assert_eq!(report.recommended.headline, "not seen");
        assert_eq!(report.grade, None);
        assert!(
            report
                .recommended
                .detail
                .contains("nothing of them is seen")
        );
        let wanted = nine_by_three(
            json!({"distance": "6 ft", "contrast": {"by": "reflectances",
            "filmReflectance": "50", "groundReflectance": "50"}}),
        );
        assert_eq!(wanted.recommended.enough, Some(false));
        assert_eq!(wanted.recommended.letter_height, None);
    }

    /// Every effect that takes something is named with its source, and no other.
    #[test]
    fn what_takes_something_is_named() {
        let ids = |more: Value| -> Vec<&str> {
            let report = nine_by_three(more);
            for effect in &report.effects {
                assert!(effect.share.min(effect.eye_share) < 1.0 && !effect.source.is_empty());
            }
            report.effects.iter().map(|effect| effect.id).collect()
        };
        assert!(ids(json!({})).is_empty());
        assert_eq!(
            ids(json!({"aside": 30, "rake": 20, "reserve": 10, "light": "dusk", "case": "mixed"})),
            ["small-letters", "light", "aside", "rake", "reserve"]
        );
        assert_eq!(ids(json!({"reader": "atEase"})), ["eyes"]);
        let report = nine_by_three(json!({"aside": 70}));
        assert_eq!(report.effects[0].text, "34 %");
        assert_eq!(report.effects[0].name, "seen from aside, 70°");
    }

    /// Light letters on dark have an index of their own, and a sign along the road has one that counts its
    /// slant in.
    #[test]
    fn rules_follow_the_case() {
        let board = |more: Value| {
            let mut input = json!({"reader": "board", "acuity": "20/20"});
            if let (Value::Object(input), Value::Object(more)) = (&mut input, more) {
                input.extend(more);
            }
            nine_by_three(input)
        };
        // Where the colours are not told the more cautious of both counts: 22 ft to the inch, not 25.
        let untold = board(json!({}));
        assert_eq!(untold.recommended.rule, "sign-light");
        assert!(rule(&untold, "sign-index").applies);
        let dark = board(json!({"contrast": {"by": "colours", "film": "#000", "ground": "#fff"}}));
        assert_eq!(dark.recommended.rule, "sign-index");
        assert!(!rule(&dark, "sign-light").applies);
        let light = board(json!({"contrast": {"by": "colours", "film": "#fff", "ground": "#000"}}));
        assert_eq!(light.recommended.rule, "sign-light");
        assert!(!rule(&light, "sign-index").applies);
        let safety = |factor: Value| {
            nine_by_three(json!({"reader": "safety", "acuity": "20/20", "factor": factor}))
        };
        assert_eq!(safety(Value::Null).recommended.rule, "fire-250");
        // 1 1/2 in at a factor of 100: 150 in.
        let own = safety(json!("100"));
        assert_eq!(own.recommended.rule, "own-factor");
        assert!(close(value(own.recommended.distance.as_ref()), 150.0, 1e-9));
        let along = board(json!({"aside": 60}));
        // 1 1/2 in at 10 ft to the inch.
        assert!(rule(&along, "sign-10").applies);
        assert!(close(
            value(rule(&along, "sign-10").distance.as_ref()),
            180.0,
            1e-6
        ));
        assert!(!rule(&board(json!({"aside": 59.9})), "sign-10").applies);
    }
}

/// The grades: how it reads from farther and from nearer.
mod graded {
    use super::*;

    /// Letters of 8.727 mm fill 5 arcmin from 6 m, the line that 6/6 reads there; 20 arcmin from a quarter
    /// of that (NUREG-0700 rev. 2, 1.3.1-4), half of 5 from twice.
    #[test]
    fn grades_are_angles() {
        let decal = json!({"width": "90 mm", "height": "9 mm", "letterHeight": "8.727 mm"});
        let told = |acuity: &str| -> Vec<(&str, String, String, f64, f64)> {
            let report = answer(json!({"unit": "mm", "acuity": acuity, "decal": decal}));
            let each = report.grades.iter().map(|grade| {
                let [own, standard] =
                    [&grade.distance, &grade.standard].map(|far| value(far.as_ref()));
                (
                    grade.name,
                    grade.letter.clone(),
                    grade.stroke.clone(),
                    own,
                    standard,
                )
            });
            each.collect()
        };
        // Half the acuity: letters twice as large can be read at all, and for reading at ease 1.4 times as
        // large (DIN 1450:2013, from memory).
        for (acuity, should) in [
            (
                "6/6",
                [
                    ("read at ease", "20 arcmin", "4 arcmin", 1_500.0),
                    ("read with effort", "5 arcmin", "1 arcmin", 6_000.0),
                    ("noticed, not read", "2.5 arcmin", "0.5 arcmin", 12_000.0),
                ],
            ),
            (
                "6/12",
                [
                    ("read at ease", "28 arcmin", "5.6 arcmin", 1_500.0 / 1.4),
                    ("read with effort", "10 arcmin", "2 arcmin", 3_000.0),
                    ("noticed, not read", "5 arcmin", "1 arcmin", 6_000.0),
                ],
            ),
        ] {
            for (is, should) in told(acuity).iter().zip(should) {
                assert_eq!(
                    (is.0, is.1.as_str(), is.2.as_str()),
                    (should.0, should.1, should.2)
                );
                assert!(close(is.3, should.3, 0.5), "{acuity}: {is:?}");
            }
        }
        let standard = |acuity: &str| told(acuity).iter().map(|grade| grade.4).collect::<Vec<_>>();
        assert_eq!(standard("6/12"), standard("6/6"));
        // What reads with effort is the distance of the acuity rule, what reads at ease that of the rule for
        // reading; at dusk the letters are nearer and fill a larger angle: 5 / 0.6.
        let report =
            answer(json!({"unit": "mm", "acuity": "6/12", "reader": "atEase", "decal": decal}));
        for (place, id) in [(0, "reading-20"), (1, "acuity")] {
            let grade = &report.grades[place].distance;
            assert!(close(
                value(grade.as_ref()),
                value(rule(&report, id).distance.as_ref()),
                0.01
            ));
        }
        let dusk = answer(json!({"unit": "mm", "acuity": "6/6", "light": "dusk", "decal": decal}));
        assert_eq!(dusk.grades[1].letter, "8.3 arcmin");
    }

    #[test]
    fn the_wanted_place_has_its_grade() {
        // 1 1/2 in and 20/40: at ease to 15.3 ft, with effort to 42.9 ft, noticed to 85.9 ft.
        for (distance, grade) in [
            ("15 ft", Some("read at ease")),
            ("16 ft", Some("read with effort")),
            ("43 ft", Some("noticed, not read")),
            ("86 ft", None),
        ] {
            assert_eq!(nine_by_three(json!({"distance": distance})).grade, grade);
        }
        // From 60 ft 20/40 reads letters of 10 arcmin, 2.094 in, and tells strokes of 2 arcmin apart, 0.419 in.
        let report = nine_by_three(json!({"distance": "60 ft"}));
        let needed = |place: usize| value(report.grades[place].needed.as_ref());
        assert!(close(needed(1), 2.094, 0.001));
        assert!(close(needed(0), 2.094 * 2.8, 0.003));
        assert!(close(value(report.stroke.as_ref()), 0.419, 0.0005));
        assert_eq!(text(report.stroke.as_ref()), "7/16 in");
    }

    #[test]
    fn places_are_answered_one_by_one() {
        let places =
            json!([{"name": "fair table", "distance": "4"}, {"name": "road", "distance": 720}]);
        let report = nine_by_three(json!({"places": places, "place": 1}));
        assert_eq!(text(report.wanted.as_ref()), "60 ft");
        let told: Vec<(&str, &str, bool, Option<&str>)> = report
            .places
            .iter()
            .map(|place| {
                (
                    place.name.as_str(),
                    place.distance.text.as_str(),
                    place.enough,
                    place.grade,
                )
            })
            .collect();
        assert_eq!(
            told,
            [
                ("fair table", "4 ft", true, Some("read at ease")),
                ("road", "60 ft", false, Some("noticed, not read"))
            ]
        );
        // One without a distance is a place still to be filled in.
        let places =
            json!([{"name": "new"}, {"name": "dock", "distance": "9 ft"}, {"distance": " "}]);
        let filling = nine_by_three(json!({"places": places, "place": "1"}));
        assert_eq!(
            (filling.places.len(), text(filling.wanted.as_ref())),
            (1, "9 ft")
        );
        // The same as for a distance that is typed.
        let typed = nine_by_three(json!({"distance": "60"}));
        assert_eq!(
            report.places[1].letter_height,
            typed.recommended.letter_height
        );
        assert_eq!(report.recommended, typed.recommended);
    }
}

mod shown {
    use super::*;

    /// Two figures, cut: 42.97 ft (1 1/2 in at 10 arcmin), 1203 ft (40.1 in at 30 ft to the inch),
    /// 8.49 ft (0.283 in), 0.84 m (2.35 mm at 360 to 1 are 0.846 m).
    #[test]
    fn distances_are_cut_to_two_figures() {
        let index = |unit: &str, letter: &str| {
            let report = answer(json!({"unit": unit, "decal":
                {"width": letter, "height": letter, "letterHeight": letter}}));
            text(rule(&report, "traffic-30").distance.as_ref()).to_owned()
        };
        assert_eq!(index("in", "40.1 in"), "1200 ft");
        assert_eq!(index("in", "0.283 in"), "8.4 ft");
        assert_eq!(index("in", "1 1/2 in"), "45 ft");
        assert_eq!(index("mm", "2.35 mm"), "0.84 m");
        assert_eq!(index("cm", "50 m"), "18000 m");
    }

    /// 1.5 mm at 20/400 serve 0.0515 m, cut to two figures.
    #[test]
    fn a_hand_s_breadth_is_not_rounded_up() {
        let report = answer(json!({"unit": "mm", "acuity": "20/400", "decal":
            {"width": "1.5", "height": "1.5", "letterHeight": "1.5"}}));
        assert_eq!(report.recommended.headline, "0.051 m");
    }

    /// 11 m at 360 to 1 take 30.56 mm: 31 mm, 3.1 cm. 1.1 in at 30 ft to the inch serve 33 ft; 32 ft
    /// take 1.0667 in, and 1/16 in up from there would be more than the 1.1 in that suffice.
    #[test]
    fn sizes_go_up_but_not_beyond_what_suffices() {
        let needed = |input: Value| {
            let report = answer(input);
            text(rule(&report, "traffic-30").letter_height.as_ref()).to_owned()
        };
        let decal = json!({"width": "5 in", "height": "2 in", "letterHeight": "1.1 in"});
        assert_eq!(
            needed(json!({"unit": "mm", "decal": decal, "distance": "11"})),
            "31 mm"
        );
        assert_eq!(
            needed(json!({"unit": "cm", "decal": decal, "distance": "11"})),
            "3.1 cm"
        );
        assert_eq!(
            needed(json!({"decal": decal, "distance": "32"})),
            "1 3/32 in"
        );
        assert_eq!(needed(json!({"decal": decal, "distance": "33"})), "1.1 in");
        assert_eq!(
            needed(json!({"decal": decal, "distance": "34"})),
            "1 3/16 in"
        );
    }
}

mod refused {
    use super::*;

    fn errors(input: Value) -> Vec<(Code, String, String)> {
        let errors = report(&read(input)).unwrap_err();
        let each = errors.iter();
        each.map(|error| (error.code, error.field.clone(), error.hint.to_string()))
            .collect()
    }

    fn one(input: Value) -> (Code, String) {
        let mut errors = errors(input);
        assert_eq!(errors.len(), 1, "{errors:?}");
        let (code, field, hint) = errors.remove(0);
        assert!(!hint.is_empty());
        (code, field)
    }

    #[test]
    fn sides_and_letter_height() {
        for field in ["width", "height", "letterHeight"] {
            for (typed, code) in [
                (json!(""), Code::Missing),
                (json!(null), Code::Missing),
                (json!("0"), Code::TooSmall),
                (json!(0), Code::TooSmall),
                (json!("-3 in"), Code::TooSmall),
                (json!("9 km"), Code::TooLarge),
                (json!("9000 m"), Code::TooLarge),
                (json!(1e300), Code::TooLarge),
                (json!("wide"), Code::NotANumber),
            ] {
                let mut decal = json!({"width": "9", "height": "3", "letterHeight": "1"});
                decal[field] = typed.clone();
                let expected = (code, format!("decal.{field}"));
                assert_eq!(one(json!({"decal": decal})), expected, "{typed}");
            }
        }
    }

    #[test]
    fn distance() {
        for (typed, code) in [
            (json!("0"), Code::TooSmall),
            (json!("-40 ft"), Code::TooSmall),
            (json!("9 cm"), Code::TooSmall),
            (json!("10001 m"), Code::TooLarge),
            (json!(1e12), Code::TooLarge),
            (json!("40 kg"), Code::UnknownUnit),
            (json!("far"), Code::NotANumber),
        ] {
            let decal = json!({"width": "9", "height": "3", "letterHeight": "1"});
            let expected = (code, "distance".to_owned());
            assert_eq!(one(json!({"decal": decal, "distance": typed})), expected);
        }
        for nothing in [json!(null), json!(""), json!("  ")] {
            assert_eq!(nine_by_three(json!({"distance": nothing})).wanted, None);
        }
    }

    #[test]
    fn acuity() {
        for (typed, code) in [
            ("0", Code::TooSmall),
            ("20/0", Code::TooSmall),
            ("0/20", Code::TooSmall),
            ("-20/40", Code::TooSmall),
            ("20/401", Code::TooSmall),
            ("0.049", Code::TooSmall),
            ("20/9", Code::TooLarge),
            ("20", Code::TooLarge),
            ("99999999999999999999", Code::NotANumber),
            ("sharp", Code::NotANumber),
            ("20/", Code::NotANumber),
            ("/40", Code::NotANumber),
            ("20/40/2", Code::NotANumber),
            ("20/40 ft", Code::NotANumber),
        ] {
            let decal = json!({"width": "9", "height": "3", "letterHeight": "1"});
            let expected = (code, "acuity".to_owned());
            assert_eq!(
                one(json!({"decal": decal, "acuity": typed})),
                expected,
                "{typed}"
            );
        }
    }

    #[test]
    fn all_at_once_in_the_order_of_the_fields() {
        let errors = errors(json!({"decal": {"width": "x"}, "distance": "y", "acuity": "z"}));
        let fields: Vec<&str> = errors.iter().map(|(_, field, _)| field.as_str()).collect();
        assert_eq!(
            fields,
            [
                "decal.width",
                "decal.height",
                "decal.letterHeight",
                "distance",
                "acuity"
            ]
        );
    }

    #[test]
    fn conditions_and_places() {
        let decal = json!({"width": "9", "height": "3", "letterHeight": "1"});
        for (member, typed, code) in [
            ("aside", json!("86"), Code::TooLarge),
            ("aside", json!(-1), Code::TooSmall),
            ("aside", json!("left"), Code::NotANumber),
            ("rake", json!("90°"), Code::TooLarge),
            ("rake", json!("30 %"), Code::NotANumber),
            ("reserve", json!("91 %"), Code::TooLarge),
            ("reserve", json!("20°"), Code::NotANumber),
            ("xHeight", json!("29.9"), Code::TooSmall),
            ("xHeight", json!(101), Code::TooLarge),
            ("lightShare", json!("0"), Code::TooSmall),
            ("lightShare", json!(f64::MAX), Code::TooLarge),
            ("place", json!(0), Code::NotAChoice),
            ("place", json!("first"), Code::NotANumber),
        ] {
            let input = json!({"decal": decal, "light": "dusk", member: typed});
            assert_eq!(one(input), (code, member.to_owned()), "{typed}");
        }
        let contrast = json!({"by": "colours", "film": "#12345", "ground": "red"});
        let told = errors(json!({"decal": decal, "contrast": contrast,
            "places": [{"distance": "5 ft"}, {"distance": "far"}]}));
        let fields: Vec<&str> = told.iter().map(|(_, field, _)| field.as_str()).collect();
        assert_eq!(
            fields,
            ["contrast.film", "contrast.ground", "places[1].distance"]
        );
        let places = json!([{"distance": "5 ft"}, {"distance": "far"}, {"distance": "0"}]);
        let told = errors(json!({"decal": decal, "places": places}));
        let fields: Vec<&str> = told.iter().map(|(_, field, _)| field.as_str()).collect();
        assert_eq!(fields, ["places[1].distance", "places[2].distance"]);
        // Only the place that is chosen has to have a distance.
        let places = json!([{"distance": "5 ft"}, {"name": "new"}]);
        assert_eq!(
            errors(json!({"decal": decal, "places": places, "place": 1}))[0].1,
            "places[1].distance"
        );
        let many = vec![json!({"distance": "5 ft"}); 1_001];
        let told = one(json!({"decal": decal, "places": many}));
        assert_eq!(told, (Code::TooLarge, "places".to_owned()));
    }

    /// A word that is no choice is answered with the choices, a field that does not exist with its name.
    #[test]
    fn words_and_fields() {
        for (field, choices) in [
            ("reader", ["passing", "atEase", "accessible"].as_slice()),
            ("mount", &["eyeLevel", "overhead", "high"]),
            ("case", &["caps", "mixed"]),
        ] {
            let input = serde_json::from_value::<LegibilityInput>(json!({field: "other"}));
            let message = input.unwrap_err().to_string();
            assert!(
                choices.iter().all(|choice| message.contains(choice)),
                "{message}"
            );
        }
        let input = serde_json::from_value::<LegibilityInput>(json!({"reeder": "passing"}));
        assert!(input.unwrap_err().to_string().contains("reeder"));
    }
}

/// Every element of a picture.
fn elements(element: &Element) -> Vec<&Element> {
    let inner = element.children.iter().filter_map(|node| match node {
        Node::Element(inner) => Some(elements(inner)),
        Node::Text(_) => None,
    });
    std::iter::once(element).chain(inner.flatten()).collect()
}

fn attribute<'a>(element: &'a Element, name: &str) -> Option<&'a str> {
    let mut attributes = element.attributes.iter();
    attributes
        .find(|(attribute, _)| *attribute == name)
        .map(|(_, value)| value.as_str())
}

fn number(element: &Element, name: &str) -> f64 {
    attribute(element, name).unwrap().parse().unwrap()
}

mod picture {
    use super::*;

    #[test]
    fn bars_are_as_long_as_their_distances() {
        let report = nine_by_three(json!({"distance": "60 ft"}));
        let drawn = report.drawing();
        let elements = elements(&drawn);
        let bars: Vec<f64> = elements
            .iter()
            .filter(|element| element.tag == "rect")
            .map(|bar| number(bar, "width"))
            .collect();
        assert_eq!(bars.len(), report.rules.len());
        let longest = bars.iter().copied().fold(0.0, f64::max);
        for (bar, rule) in bars.iter().zip(&report.rules) {
            assert!(close(bar / longest, rule.share, 1e-4), "{}", rule.id);
        }
        let class = |name: &str| {
            let has = |element: &&&Element| {
                attribute(element, "class").is_some_and(|class| class.split(' ').any(|c| c == name))
            };
            elements.iter().filter(has).count()
        };
        assert_eq!((class("bar"), class("governing")), (report.rules.len(), 1));
        assert_eq!((class("wanted"), class("recommended")), (1, 1));
    }

    #[test]
    fn everything_is_said_in_words() {
        let report = nine_by_three(json!({"distance": "60 ft", "reader": "accessible"}));
        let svg = report.drawing().to_svg();
        for rule in &report.rules {
            assert!(svg.contains(&format!(">{}", rule.name)), "{}", rule.name);
        }
        assert!(svg.contains(">wanted from 60 ft<") && svg.contains(">readable from 13 ft<"));
        let no_wish = nine_by_three(json!({})).drawing().to_svg();
        assert!(!no_wish.contains("wanted"));
    }
}

fn reader() -> impl Strategy<Value = Reader> {
    prop_oneof![
        Just(Reader::Board),
        Just(Reader::Safety),
        Just(Reader::Passing),
        Just(Reader::AtEase),
        Just(Reader::Accessible)
    ]
}

fn mount() -> impl Strategy<Value = Mount> {
    prop_oneof![
        Just(Mount::EyeLevel),
        Just(Mount::Overhead),
        Just(Mount::High)
    ]
}

prop_compose! {
    /// Any case, with an acuity from 20/10 to 20/400.
    fn case()(
        reader in reader(),
        mount in mount(),
        mixed in any::<bool>(),
        acuity in 10_u16..=400,
        aside in 0_u8..=85,
        rake in 0_u8..=85,
        reserve in 0_u8..=90,
        light in prop_oneof![Just("day"), Just("dusk"), Just("headlights"), Just("retroreflective")],
        straight in any::<bool>(),
    ) -> (Viewing, Value) {
        let case = if mixed { Case::Mixed } else { Case::Caps };
        let text = format!("20/{acuity}");
        let conditions = if straight {
            json!({})
        } else {
            json!({"aside": aside, "rake": rake, "reserve": reserve, "light": light})
        };
        let viewing = Viewing {
            distance: None,
            reader,
            acuity: Acuity::parse(&text).unwrap(),
            mount,
            case,
            ..Viewing::default()
        };
        let mut input = json!({"reader": reader, "mount": mount, "case": case, "acuity": text});
        if let (Value::Object(input), Value::Object(more)) = (&mut input, conditions) {
            input.extend(more);
        }
        (viewing, input)
    }
}

/// Lengths of every magnitude from 1 mm to 50 m, in nanometres.
fn side() -> impl Strategy<Value = i64> {
    (6_u32..=10, 1.0..10.0_f64).prop_map(|(power, lead)| {
        #[expect(clippy::cast_possible_truncation, reason = "at most 5e10")]
        let nm = (lead * f64::from(10_u32.pow(power - 1)) * 10.0) as i64;
        nm.clamp(1_000_000, 50_000_000_000)
    })
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_precision_loss,
    reason = "whole nanometres of less than 53 bits"
)]
fn part_of(nm: i64, share: f64) -> i64 {
    (nm as f64 * share) as i64
}

/// A length as a text that is read back exactly.
fn typed(nm: i64) -> String {
    format!("{} mm", Length::from_nm(nm).exact(Unit::Mm))
}

fn asked(
    case: &Value,
    unit: Unit,
    (width, height, letter): (i64, i64, i64),
    distance: Option<&str>,
) -> LegibilityReport {
    let mut input = case.clone();
    input["unit"] = json!(unit);
    input["decal"] =
        json!({"width": typed(width), "height": typed(height), "letterHeight": typed(letter)});
    input["distance"] = json!(distance);
    answer(input)
}

proptest! {
    /// Letters are never asked to be taller than those that the distance came from, and one
    /// nanometre farther takes at least as much again.
    #[test]
    fn height_undoes_distance((viewing, _) in case(), letter in side()) {
        let letter = Length::from_nm(letter);
        for rule in &RULES {
            let scale = rule.scale(&viewing);
            if let Some(distance) = scale.distance(letter) {
                prop_assert!(scale.height(distance) <= letter, "{}", rule.id);
                prop_assert!(scale.height(distance + Length::from_nm(1)) > letter, "{}", rule.id);
            }
        }
    }

    /// Farther never needs smaller, and taller never reads from less far.
    #[test]
    fn monotone((viewing, _) in case(), one in side(), other in side()) {
        let (less, more) = (Length::from_nm(one.min(other)), Length::from_nm(one.max(other)));
        for rule in &RULES {
            let scale = rule.scale(&viewing);
            prop_assert!(scale.height(less) <= scale.height(more));
            prop_assert!(scale.distance(less) <= scale.distance(more));
        }
    }

    /// Under any conditions: farther never needs smaller, and a decal grown to the letters that a distance
    /// takes can be read from there.
    #[test]
    fn farther_never_needs_smaller(
        (_, case) in case(),
        one in side(),
        other in side(),
        letter in 20_000_000_i64..2_000_000_000,
        stroke in 5_i64..30,
    ) {
        let at = |letter: i64| {
            let mut input = case.clone();
            input["decal"] = json!({"width": typed(letter * 3), "height": typed(letter),
                "letterHeight": typed(letter), "stroke": typed(letter * stroke / 100)});
            legibility::read(&read(input)).unwrap()
        };
        let (decal, viewing) = at(letter);
        let (near, far) = (Length::from_nm(one.min(other)), Length::from_nm(one.max(other)));
        let needed = |distance| letter_height_for(distance, &decal, &viewing);
        let (Some(less), Some(more)) = (needed(near), needed(far)) else {
            // Nothing is ever seen: from no distance at all.
            prop_assert_eq!(needed(near).is_some(), needed(far).is_some());
            prop_assert_eq!(reach(&decal, &viewing), None);
            return Ok(());
        };
        prop_assert!(less <= more);
        // A hundred times the decal keeps its proportions to the nanometre.
        let grown = (less.nm() / 100 + 1) * 100;
        if (20_000_000..15_000_000_000).contains(&grown) {
            let (grown, viewing) = at(grown);
            // The stroke is a share of a height that was rounded up: a hair more or less of the distance.
            let reached = reach(&grown, &viewing).unwrap().to_f64(Unit::M);
            prop_assert!(reached >= near.to_f64(Unit::M) * (1.0 - 1e-6));
        }
    }

    /// Less contrast, a wider angle, a steeper slope, more dirt, thinner strokes below a fifth, weaker eyes,
    /// lower small letters, closer or narrower letters never read from farther; taller letters never from
    /// less far.
    #[test]
    fn nothing_that_takes_ever_adds(
        (_, case) in case(),
        letter in 20_000_000_i64..2_000_000_000,
        which in 0_usize..10,
        [low, high] in [0.0..1.0_f64, 0.0..1.0].prop_map(|[a, b]: [f64; 2]| [a.min(b), a.max(b)]),
        film in 30.0..100.0_f64,
    ) {
        let far = |part: f64| {
            let mut input = case.clone();
            let mut decal = json!({"width": typed(letter * 3), "height": typed(letter * 2),
                "letterHeight": typed(letter)});
            match which {
                0 => input["contrast"] = json!({"by": "reflectances", "filmReflectance": film,
                    // The ground comes nearer and nearer to the film.
                    "groundReflectance": film * part}),
                1 => input["aside"] = json!(85.0 * part),
                2 => input["rake"] = json!(85.0 * part),
                3 => input["reserve"] = json!(90.0 * part),
                4 => {
                    let percent = 20.0 - 15.0 * part;
                    decal["stroke"] = json!(typed(part_of(letter, percent / 100.0)));
                }
                5 => input["acuity"] = json!(format!("20/{:.3}", 10.0 + 390.0 * part)),
                6 => input["xHeight"] = json!(100.0 - 70.0 * part),
                7 => {
                    let gap = part_of(letter, 0.3 - 0.28 * part);
                    decal["letterGap"] = json!(typed(gap));
                }
                8 => {
                    let width = part_of(letter, 0.9 - 0.6 * part);
                    decal["letterWidth"] = json!(typed(width));
                }
                _ => {
                    decal["letterHeight"] = json!(typed(part_of(letter, 1.0 - part / 2.0)));
                }
            }
            input["decal"] = decal;
            let (decal, viewing) = legibility::read(&read(input)).unwrap();
            reach(&decal, &viewing)
        };
        prop_assert!(far(high) <= far(low), "{which}");
    }

    /// Weaker eyes never read from farther away.
    #[test]
    fn weaker_eyes_come_closer(one in 10_u16..=400, other in 10_u16..=400, letter in side()) {
        let far = |acuity: u16| {
            let acuity = Acuity::parse(&format!("20/{acuity}")).unwrap();
            Ratio::of_angle(acuity.letter()).distance(Length::from_nm(letter))
        };
        prop_assert!(far(one.max(other)) <= far(one.min(other)));
    }

    /// Whoever types a shown distance back is told that the letters do, and is shown neither taller
    /// letters nor a larger decal than there are.
    #[test]
    fn a_shown_distance_can_be_typed_back(
        (_, case) in case(),
        unit in prop_oneof![Just(Unit::In), Just(Unit::Cm), Just(Unit::Mm)],
        letter in side(),
        wide in 1_i64..20,
        high in 1_i64..5,
    ) {
        let high = (letter * high).min(50_000_000_000);
        let decal = ((letter * wide).min(50_000_000_000), high, letter);
        let first = asked(&case, unit, decal, None);
        let Some(distance) = &first.recommended.distance else { return Ok(()) };
        // Letters of many metres serve farther than any field takes.
        let Ok(shown) = Length::parse(&distance.text, Unit::Ft) else { return Ok(()) };
        let exact = distance.value;
        prop_assert!(shown.to_f64(unit) <= exact * (1.0 + 1e-12));
        prop_assert!(shown.to_f64(unit) > exact * 10.0 / 11.0 - 1e-9, "{} {exact}", distance.text);
        if shown < Length::whole(10, Unit::Cm) {
            return Ok(());
        }
        let again = asked(&case, unit, decal, Some(&distance.text));
        prop_assert_eq!(again.recommended.enough, Some(true));
        for (needed, is) in [
            (&again.recommended.letter_height, decal.2),
            (&again.recommended.decal_width, decal.0),
            (&again.recommended.decal_height, decal.1),
        ] {
            let is = Length::from_nm(is);
            prop_assert!(value(needed.as_ref()) <= is.to_f64(unit) * (1.0 + 1e-12));
            let shown = Length::parse(text(needed.as_ref()), unit).unwrap();
            // A text is never short of what is needed, and of what there is it states no more than
            // the next 0.001 in or 0.01 mm.
            prop_assert!(shown.to_f64(unit) >= value(needed.as_ref()) - 1e-9);
            let step = if unit == Unit::In { 25_400 } else { 10_000 };
            prop_assert!(shown <= is.round_up(Length::from_nm(step)));
        }
    }

    /// The recommended figure is the least of the distances and the greatest of the heights of the
    /// rules that apply, and the letters are enough exactly where it reaches the wanted distance.
    #[test]
    fn the_most_cautious_governs(
        (_, case) in case(),
        letter in side(),
        metres in prop_oneof![0.1..100.0, 100.0..10_000.0],
    ) {
        let wanted = format!("{metres:.3} m");
        let report = asked(&case, Unit::Mm, (letter, letter, letter), Some(&wanted));
        let applying = || report.rules.iter().filter(|rule| rule.applies);
        let far = |distance: &Option<Measured>| distance.as_ref().map_or(-1.0, |d| d.value);
        let least = applying().map(|rule| far(&rule.distance)).fold(f64::MAX, f64::min);
        let greatest = applying().map(|rule| far(&rule.letter_height)).fold(0.0, f64::max);
        let recommended = &report.recommended;
        prop_assert!(close(far(&recommended.distance), least, 0.0));
        prop_assert!(close(far(&recommended.letter_height), greatest, 0.0));
        let enough = far(&recommended.distance) >= far(&report.wanted);
        prop_assert_eq!(recommended.enough, Some(enough));
        // The decal keeps its proportions.
        let grown = far(&recommended.decal_width) / Length::from_nm(letter).to_f64(Unit::Mm);
        let taller = far(&recommended.letter_height) / Length::from_nm(letter).to_f64(Unit::Mm);
        prop_assert!((grown / taller - 1.0).abs() < 1e-5);
    }

    /// The same decal and distance have the same answer in every unit.
    #[test]
    fn units_agree((_, case) in case(), letter in side(), metres in 1_u16..10_000) {
        let wanted = format!("{metres} m");
        let decal = (letter, letter, letter);
        let inches = asked(&case, Unit::In, decal, Some(&wanted));
        for unit in [Unit::Mm, Unit::Cm, Unit::Ft, Unit::M] {
            let other = asked(&case, unit, decal, Some(&wanted));
            prop_assert_eq!(inches.recommended.rule, other.recommended.rule);
            prop_assert_eq!(inches.recommended.enough, other.recommended.enough);
            let factor = Length::whole(1, Unit::In).to_f64(unit);
            for (one, other) in inches.rules.iter().zip(&other.rules) {
                for (one, other) in [
                    (&one.distance, &other.distance),
                    (&one.letter_height, &other.letter_height),
                ] {
                    prop_assert_eq!(one.is_some(), other.is_some());
                    if let (Some(one), Some(other)) = (one, other) {
                        prop_assert!((one.value * factor / other.value - 1.0).abs() < 1e-12);
                    }
                }
            }
        }
    }

    /// Whatever is typed as an acuity is read or refused with a hint.
    #[test]
    fn no_acuity_panics(text in "\\PC{0,20}|[-0-9/., ]{0,40}") {
        match Acuity::parse(&text) {
            Ok(acuity) => {
                let minutes = acuity.letter().to_arcmin();
                prop_assert!((2.4999..=100.0001).contains(&minutes));
            }
            Err(error) => prop_assert!(!error.hint.is_empty()),
        }
    }

    /// The smallest letters of the largest decal, ten kilometres away, with next to nothing left of the
    /// distance: letters and decal that are needed leave every range, and are told.
    #[test]
    fn what_hardly_anything_is_left_of_is_answered(
        (_, case) in case(),
        ground in 49.0..50.0_f64,
        light in 1_u8..=100,
        script in any::<bool>(),
    ) {
        let mut input = case;
        input["lightShare"] = json!(light);
        input["contrast"] = json!({"by": "reflectances", "filmReflectance": 50,
            "groundReflectance": format!("{ground:.9}")});
        input["distance"] = json!("10 km");
        input["decal"] = json!({"width": "50 m", "height": "50 m", "letterHeight": "1 mm",
            "face": if script { "script" } else { "plain" }});
        let report = answer(input);
        prop_assert_eq!(report.recommended.enough, Some(false));
        let drawn = format!("{:?}", report.drawing());
        prop_assert!(!drawn.contains("NaN"));
    }

    /// The ends of every range have an answer and a picture that stays inside its frame.
    #[test]
    fn extremes_are_answered(
        (_, case) in case(),
        letter in prop_oneof![Just(1_000_000_i64), Just(50_000_000_000)],
        unit in prop_oneof![Just(Unit::In), Just(Unit::Mm), Just(Unit::M), Just(Unit::Yd)],
        distance in prop_oneof![Just(None), Just(Some("10 cm")), Just(Some("10000 m"))],
    ) {
        let report = asked(&case, unit, (50_000_000_000, 50_000_000_000, letter), distance);
        let drawn = report.drawing();
        let frame: Vec<f64> = attribute(&drawn, "viewBox").unwrap()
            .split(' ').map(|side| side.parse().unwrap()).collect();
        for element in elements(&drawn) {
            for (name, side) in [("x", frame[2]), ("y", frame[3])] {
                if attribute(element, name).is_some() {
                    prop_assert!((0.0..=side).contains(&number(element, name)));
                }
            }
            if element.tag == "rect" {
                prop_assert!(number(element, "x") + number(element, "width") <= frame[2]);
            }
        }
        for rule in &report.rules {
            prop_assert!((0.0..=1.0).contains(&rule.share));
        }
    }
}
