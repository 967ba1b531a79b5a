//! Lettering whose size the law sets: every published figure point by point, at its boundary to the
//! nanometre, and laws for all decals. The source of each figure stands beside it.

use decal_reckoner::api::decode;
use decal_reckoner::legibility::law;
use decal_reckoner::legibility::law::{LawInput, LawPoint, LawReport, State};
use proptest::prelude::*;
use serde_json::{Value, json};

/// A decal large enough for any letters, with more members of it and of the question.
fn asked(kind: &str, decal: &Value, more: &Value) -> Value {
    let mut all = json!({
        "kind": kind,
        "legibility": { "decal": { "width": "40 m", "height": "40 m" } },
    });
    for (name, value) in decal.as_object().unwrap() {
        all["legibility"]["decal"][name] = value.clone();
    }
    for (name, value) in more.as_object().unwrap() {
        match name.as_str() {
            "unit" | "distance" | "acuity" | "mount" => all["legibility"][name] = value.clone(),
            _ => all[name] = value.clone(),
        }
    }
    all
}

fn told(kind: &str, decal: &Value, more: &Value) -> LawReport {
    let input: LawInput = decode(&asked(kind, decal, more).to_string()).unwrap();
    law(&input).unwrap_or_else(|errors| panic!("{errors:?}"))
}

fn refused(kind: &str, decal: &Value, more: &Value) -> Vec<String> {
    let input: LawInput = decode(&asked(kind, decal, more).to_string()).unwrap();
    let errors = law(&input).expect_err("this cannot be checked");
    errors.iter().map(|error| error.field.clone()).collect()
}

/// The point that begins so.
fn point<'a>(report: &'a LawReport, asked: &str) -> &'a LawPoint {
    let mut points = report.points.iter();
    points
        .find(|point| point.asked.starts_with(asked))
        .unwrap_or_else(|| panic!("{asked}: {report:#?}"))
}

/// The state of a point, and what would be right.
fn says(report: &LawReport, asked: &str) -> (State, String) {
    let point = point(report, asked);
    (point.state, point.right.clone())
}

fn state(kind: &str, decal: &Value, more: &Value, asked: &str) -> State {
    point(&told(kind, decal, more), asked).state
}

/// So many nanometres, as an input has them.
fn nm(nanometres: i64) -> String {
    let (whole, part) = (nanometres / 1_000_000, nanometres % 1_000_000);
    format!("{whole}.{part:06} mm")
}

const INCH: i64 = 25_400_000;

/// The point is missed one nanometre below this letter height and met from there on.
fn begins_at(kind: &str, more: &Value, asked: &str, nanometres: i64) {
    for (height, expected) in [
        (nanometres - 1, State::NotMet),
        (nanometres, State::Met),
        (nanometres + 1, State::Met),
    ] {
        let decal = json!({ "letterHeight": nm(height) });
        assert_eq!(
            state(kind, &decal, more, asked),
            expected,
            "{kind}: {height} nm"
        );
    }
}

/// The part is in the range from one to the other, to the nanometre on each side.
fn ranges(kind: &str, letter: &str, part: &str, asked: &str, least: i64, most: i64) {
    for (size, expected) in [
        (least - 1, State::NotMet),
        (least, State::Met),
        (most, State::Met),
        (most + 1, State::NotMet),
    ] {
        let decal = json!({ "letterHeight": letter, part: nm(size) });
        let is = state(kind, &decal, &json!({}), asked);
        assert_eq!(is, expected, "{kind}, {part}: {size} nm");
    }
}

mod boats {
    use super::*;

    fn number(lettering: &str) -> State {
        let decal = json!({ "letterHeight": "3 in", "lettering": lettering });
        state("boatNumber", &decal, &json!({}), "Letters, figures")
    }

    /// 33 CFR 173.27 (January 2025 text, looked up at codes.findlaw.com): plain vertical block characters
    /// at least 3 in high. 2.9 in fails, 3.0 passes.
    #[test]
    fn numbers_are_three_inches_high() {
        begins_at(
            "boatNumber",
            &json!({}),
            "Letters at least 3 in high",
            3 * INCH,
        );
        let decal =
            json!({ "lettering": "DC 5678 EF", "letterHeight": "2.9 in", "letterWidth": "1.6 in" });
        let report = told("boatNumber", &decal, &json!({ "groupGap": "1.6 in" }));
        assert_eq!(
            report.headline,
            "3 points met, 1 not: letters 2.9 in high, 3 in needed"
        );
        assert_eq!(report.open, "2 to look at yourself");
        let decal = json!({ "lettering": "DC 5678 EF", "letterHeight": "3.0 in" });
        let report = told("boatNumber", &decal, &json!({}));
        assert_eq!(report.headline, "3 points met, none missed");
        assert_eq!(report.open, "1 not measured, 2 to look at yourself");
        assert_eq!(report.source, "33 CFR 173.27, text of January 2025");
    }

    /// The same section: letters, figures and letters in groups, set apart by a space or a hyphen. Of two
    /// letters, up to four figures and up to two letters: 33 CFR 174.23, from memory.
    #[test]
    fn groups_of_a_number_are_set_apart() {
        for good in [
            "DC 5678 EF",
            "DC-5678-EF",
            "DC  5678 - EF",
            "DC\u{2011}5678\u{2013}EF",
            "DC 1 E",
            "DC 5678 EF 1",
            "KITTIWAKE\nDC 5678 EF",
        ] {
            assert_eq!(number(good), State::Met, "{good}");
        }
        for bad in [
            "DC5678EF",
            "DC 5678EF",
            "D 5678 EF",
            "DCA 5678 EF",
            "DC 56789 EF",
            "DC 5678 EFG",
            "dc 5678 ef",
            "DC EF 5678",
            "DC 5678",
            "5678",
            "- - -",
            "DC 5678 EF GH",
            "DC 5678 EF 1 2",
            "DC 5678 EF 1 2 3",
            // Figures of Arabic and full-width writing, letters of Greek.
            "DC \u{665}\u{666}\u{667}\u{668} EF",
            "DC \u{ff15}\u{ff16}\u{ff17}\u{ff18} EF",
            "ΔΣ 5678 ΕΖ",
            "DC_5678_EF",
            "KITTIWAKE",
        ] {
            assert_eq!(number(bad), State::NotMet, "{bad}");
        }
        let report = told(
            "boatNumber",
            &json!({ "letterHeight": "3 in", "lettering": "DC5678EF" }),
            &json!({}),
        );
        assert_eq!(
            report.headline,
            "2 points met, 1 not: DC5678EF, right would be groups as in DC 5678 EF"
        );
        assert_eq!(number(""), State::NotMeasured);
    }

    /// The same section: the gap is as wide as a letter other than I or a numeral other than 1.
    #[test]
    fn the_gap_between_groups_is_as_wide_as_a_letter() {
        let gap = |decal: &Value, more: &Value| {
            let report = told("boatNumber", decal, more);
            says(&report, "Gap between groups")
        };
        let letters = json!({ "letterHeight": "3 in", "letterWidth": "1.75 in" });
        assert_eq!(
            gap(&letters, &json!({})),
            (State::NotMeasured, "1 3/4 in".to_owned())
        );
        assert_eq!(
            gap(&letters, &json!({ "groupGap": "1.75 in" })).0,
            State::Met
        );
        assert_eq!(
            gap(&letters, &json!({ "groupGap": "1 in" })).0,
            State::NotMet
        );
        assert_eq!(
            gap(&letters, &json!({ "groupGap": "2.5 in" })).0,
            State::NotMet
        );
        // Half a percent of 44.45 mm is 0.222 25 mm.
        for (gap_nm, expected) in [
            (44_450_000 + 222_250, State::Met),
            (44_450_000 - 222_250, State::Met),
            (44_450_000 + 222_251, State::NotMet),
            (44_450_000 - 222_251, State::NotMet),
        ] {
            assert_eq!(
                gap(&letters, &json!({ "groupGap": nm(gap_nm) })).0,
                expected
            );
        }
        // Without a width there is nothing to hold it against, whatever it is.
        let letters = json!({ "letterHeight": "3 in" });
        let as_wide = "as wide as a letter, not an I or 1".to_owned();
        for more in [json!({}), json!({ "groupGap": "2 in" })] {
            assert_eq!(gap(&letters, &more), (State::NotMeasured, as_wide.clone()));
        }
    }

    /// Written by hand is not plain block; narrow is.
    #[test]
    fn a_script_is_not_plain_block() {
        for (face, expected) in [
            ("plain", State::Met),
            ("condensed", State::Met),
            ("script", State::NotMet),
        ] {
            let decal = json!({ "letterHeight": "3 in", "face": face });
            assert_eq!(
                state("boatNumber", &decal, &json!({}), "Plain vertical"),
                expected
            );
        }
    }

    /// 33 CFR 183.25 (looked up at uscgboating.org): the figure of persons at least 1/2 in high, 3/5 of
    /// that wide (a 4 wider, a 1 one stroke), strokes of 1/6 of it, a gap of one stroke.
    #[test]
    fn capacity_plate() {
        begins_at(
            "capacityPlate",
            &json!({}),
            "Letters at least 1/2 in high",
            INCH / 2,
        );
        // 0.6 in: 0.36 wide, strokes of 0.1.
        let decal = json!({ "lettering": "14", "letterHeight": "0.6 in", "letterWidth": "0.36 in", "stroke": "0.1 in", "letterGap": "0.1 in" });
        let report = told("capacityPlate", &decal, &json!({}));
        assert_eq!(report.headline, "4 points met, none missed");
        assert_eq!(
            says(&report, "Width of an O: 3/5"),
            (State::Met, "0.36 in".into())
        );
        assert_eq!(says(&report, "Stroke: 1/6"), (State::Met, "0.1 in".into()));
        assert_eq!(
            says(&report, "A 1: 1/6"),
            (State::NotMeasured, "0.1 in".into())
        );
        assert_eq!(says(&report, "A 4"), (State::Look, String::new()));
        let decal = json!({ "lettering": "8", "letterHeight": "0.6 in", "letterWidth": "0.4 in", "stroke": "0.12 in", "letterGap": "0.2 in" });
        let report = told("capacityPlate", &decal, &json!({}));
        assert_eq!(
            report.headline,
            "1 point met, 3 not: width of an O 0.4 in, 0.36 in needed"
        );
        assert_eq!(says(&report, "A 1: 1/6"), (State::NotAsked, String::new()));
        assert_eq!(says(&report, "A 4").0, State::NotAsked);
    }

    /// CEVNI article 2.02 (looked up at wiki.unece.org): at least 10 cm. SI 1993/3138, schedule 3 (looked
    /// up at legislation.gov.uk): the name at least 10 cm high. 46 CFR 108.621 (looked up at
    /// law.lawstack.com): red English letters of at least 1/2 in.
    #[test]
    fn names_and_letters_on_board() {
        let metric = json!({ "unit": "cm" });
        begins_at(
            "smallCraft",
            &metric,
            "Letters at least 10 cm high",
            100_000_000,
        );
        begins_at(
            "shipName",
            &metric,
            "Letters at least 10 cm high",
            100_000_000,
        );
        begins_at(
            "safetyLetters",
            &json!({}),
            "Letters at least 1/2 in high",
            12_700_000,
        );
        let decal = json!({ "letterHeight": "99 mm" });
        let report = told("smallCraft", &decal, &json!({ "unit": "mm" }));
        assert_eq!(
            report.headline,
            "0 points met, 1 not: letters 99 mm high, 100 mm needed"
        );
    }
}

mod aircraft {
    use super::*;

    fn craft(name: &str) -> Value {
        json!({ "craft": name })
    }

    /// 14 CFR 45.29 (looked up in two prints): 12 in for fixed-wing and rotorcraft, 3 in for gliders and
    /// others, 2 in for some antiques.
    #[test]
    fn heights_by_class() {
        begins_at(
            "aircraftMark",
            &craft("standard"),
            "Letters at least 12 in",
            12 * INCH,
        );
        begins_at(
            "aircraftMark",
            &craft("light"),
            "Letters at least 3 in",
            3 * INCH,
        );
        begins_at(
            "aircraftMark",
            &craft("antique"),
            "Letters at least 2 in",
            2 * INCH,
        );
        let decal = json!({ "letterHeight": "3 in" });
        let report = told("aircraftMark", &decal, &craft("light"));
        assert_eq!(says(&report, "Letters at least 12 in").0, State::NotAsked);
        assert_eq!(says(&report, "Letters at least 2 in").0, State::NotAsked);
    }

    /// The same section: 12 in are 8 in wide, a 1 is 2 in, strokes are 2 in, gaps at least 2 in; 3 in are
    /// 2.0, 0.5, 0.5 and 0.5 in. M and W up to the height.
    #[test]
    fn proportions_follow_the_height() {
        for (height, class, wide, parts, full) in [
            ("12 in", "standard", "8 in", "2 in", "at most 12 in"),
            ("3 in", "light", "2 in", "1/2 in", "at most 3 in"),
        ] {
            let unmeasured = json!({ "letterHeight": height, "lettering": "N1MW" });
            let report = told("aircraftMark", &unmeasured, &craft(class));
            for (asked, right) in [
                ("Width of an O: 2/3", wide),
                ("A 1: 1/6", parts),
                ("An M or W: at most", full),
                ("Stroke: 1/6", parts),
                ("Gap between letters: at least 1/4", parts),
            ] {
                assert_eq!(
                    says(&report, asked),
                    (State::NotMeasured, right.to_owned()),
                    "{asked}"
                );
            }
            let measured = json!({ "letterHeight": height, "letterWidth": wide, "stroke": parts, "letterGap": parts });
            let report = told("aircraftMark", &measured, &craft(class));
            assert_eq!(report.headline, "4 points met, none missed", "{height}");
        }
        // A gap may be wider, but not narrower: a quarter of the width that the characters have.
        for (gap, expected) in [
            (2 * INCH - 1, State::NotMet),
            (2 * INCH, State::Met),
            (3 * INCH, State::Met),
        ] {
            let decal =
                json!({ "letterHeight": "12 in", "letterWidth": "8 in", "letterGap": nm(gap) });
            assert_eq!(
                state("aircraftMark", &decal, &craft("standard"), "Gap"),
                expected
            );
        }
        // Half a percent of 2 in is 0.01 in.
        for (stroke, expected) in [
            ("1.99 in", State::Met),
            ("2.01 in", State::Met),
            ("1.9899 in", State::NotMet),
            ("2.0101 in", State::NotMet),
        ] {
            let decal = json!({ "letterHeight": "12 in", "stroke": stroke });
            assert_eq!(
                state("aircraftMark", &decal, &craft("standard"), "Stroke"),
                expected
            );
        }
    }

    /// Derived from the same figures: `N123AB` at 12 in is 5 x 8 + 2 + 5 x 2 = 52 in long. Others by hand:
    /// a 1 alone 2 in; `N1` 8 + 2 + 2 = 12; `N11` 8 + 2 + 2 + 2 + 2 = 16; `NX211` 3 x 8 + 2 x 2 + 4 x 2 = 36.
    #[test]
    fn least_length_of_a_mark() {
        for (mark, inches) in [
            ("N123AB", 52),
            ("N-123 AB", 52),
            ("1", 2),
            ("N1", 12),
            ("N11", 16),
            ("NX211", 36),
            ("N1\nN123AB", 52),
        ] {
            for (width, expected) in [
                (inches * INCH - 1, State::NotMet),
                (inches * INCH, State::Met),
            ] {
                let decal =
                    json!({ "lettering": mark, "letterHeight": "12 in", "width": nm(width) });
                let report = told("aircraftMark", &decal, &craft("standard"));
                let (state, right) = says(&report, "Decal wide");
                assert_eq!(
                    (state, right),
                    (expected, format!("{inches} in")),
                    "{mark}: {width}"
                );
            }
        }
        let wordless = json!({ "letterHeight": "12 in" });
        let report = told("aircraftMark", &wordless, &craft("standard"));
        assert_eq!(says(&report, "Decal wide").0, State::NotMeasured);
    }

    /// 14 CFR 45.23(b) (looked up at faraim.org): words such as EXPERIMENTAL are 2 to 6 in high.
    #[test]
    fn category_words() {
        for (height, states) in [
            (2 * INCH - 1, (State::NotMet, State::Met)),
            (2 * INCH, (State::Met, State::Met)),
            (6 * INCH, (State::Met, State::Met)),
            (6 * INCH + 1, (State::Met, State::NotMet)),
        ] {
            let decal = json!({ "letterHeight": nm(height) });
            let report = told("categoryWord", &decal, &json!({}));
            let least = point(&report, "Letters at least 2 in high").state;
            let most = point(&report, "Letters at most 6 in high").state;
            assert_eq!((least, most), states);
        }
        let report = told(
            "categoryWord",
            &json!({ "letterHeight": "7 in" }),
            &json!({}),
        );
        assert_eq!(
            report.headline,
            "1 point met, 1 not: letters 7 in high, at most 6 in needed"
        );
    }
}

mod buildings {
    use super::*;

    /// IBC 501.2 (2006 to 2009, looked up at ibc-wiki.com): at least 4 in high, strokes of 0.5 in. A stroke
    /// of 0.4 in fails.
    #[test]
    fn house_numbers() {
        begins_at(
            "houseNumber",
            &json!({}),
            "Letters at least 4 in high",
            4 * INCH,
        );
        for (stroke, expected) in [
            ("0.5 in", State::Met),
            ("0.4 in", State::NotMet),
            ("12.699999 mm", State::NotMet),
        ] {
            let decal = json!({ "letterHeight": "4 in", "stroke": stroke });
            let asked = "Stroke at least 1/2 in";
            assert_eq!(
                state("houseNumber", &decal, &json!({}), asked),
                expected,
                "{stroke}"
            );
        }
        let report = told(
            "houseNumber",
            &json!({ "letterHeight": "4 in" }),
            &json!({}),
        );
        assert_eq!(
            says(&report, "Stroke"),
            (State::NotMeasured, "1/2 in".into())
        );
        assert_eq!(
            says(&report, "Letters high by"),
            (State::NotAsked, String::new())
        );
    }

    /// IBC 501.2: Arabic numerals or letters; IFC 505.1 (looked up at rapides911.org): not spelled out.
    #[test]
    fn numbers_are_not_spelled_out() {
        for (words, expected) in [
            ("12", State::Met),
            ("12B", State::Met),
            ("14 Heron Lane", State::Met),
            ("B", State::Met),
            ("Twelve", State::NotMet),
            ("\u{661}\u{662}", State::NotMet),
            ("", State::NotMeasured),
        ] {
            let decal = json!({ "letterHeight": "4 in", "lettering": words });
            assert_eq!(
                state("houseNumber", &decal, &json!({}), "Arabic"),
                expected,
                "{words}"
            );
        }
    }

    /// Fountain CO (looked up at fountaincolorado.org), an example of stricter local rules: 5 in to 75 ft,
    /// 6 in to 150 ft, 8 in to 250 ft, 10 in beyond. 100 ft take 6 in, 300 ft take 10 in.
    #[test]
    fn a_local_rule_goes_by_the_distance() {
        for (street, inches) in [
            ("10 ft", 5),
            ("75 ft", 5),
            ("22860.000001 mm", 6),
            ("100 ft", 6),
            ("150 ft", 6),
            ("45720.000001 mm", 8),
            ("250 ft", 8),
            ("76200.000001 mm", 10),
            ("300 ft", 10),
            ("10 km", 10),
        ] {
            let more = json!({ "street": street });
            begins_at("houseNumber", &more, "Letters high by", inches * INCH);
            let report = told("houseNumber", &json!({ "letterHeight": "4 in" }), &more);
            assert_eq!(
                says(&report, "Letters high by").1,
                format!("{inches} in"),
                "{street}"
            );
        }
        // A bare number is in feet beside inches, in metres beside centimetres.
        let right = |more: Value| {
            let report = told("houseNumber", &json!({ "letterHeight": "4 in" }), &more);
            says(&report, "Letters high by").1
        };
        assert_eq!(right(json!({ "street": "100" })), "6 in");
        assert_eq!(right(json!({ "street": 100 })), "5 in");
        assert_eq!(right(json!({ "street": "100", "unit": "mm" })), "254 mm");
    }

    /// 2010 ADA Standards, table 703.5.5 (looked up at up.codes), from `tests/data`: the least height up
    /// to the distance of each row, and one increment a foot further.
    #[test]
    fn accessible_heights() {
        for row in include_str!("data/ada-703-5-5.csv").lines().skip(2) {
            let row: Vec<&str> = row.split(',').collect();
            let [mount, from, least, increment] = row[..] else {
                panic!("{row:?}")
            };
            let number = |text: &str| text.parse::<f64>().unwrap();
            #[expect(clippy::cast_possible_truncation, reason = "a table of eighths")]
            let nanometres = |inches: f64| (inches * 25.4e6) as i64;
            let asked = "Letters high as the table";
            let at = |distance: Value| json!({ "mount": mount, "distance": distance });
            begins_at(
                "accessibleSign",
                &at(json!(format!("{from} in"))),
                asked,
                nanometres(number(least)),
            );
            let further = format!("{} in", number(from) + 12.0);
            let most = nanometres(number(least) + number(increment));
            begins_at("accessibleSign", &at(json!(further)), asked, most);
            // Without a distance the least height is asked for, and nothing is said of those above it.
            let no_distance = json!({ "mount": mount });
            let least = nanometres(number(least));
            for (height, expected) in [
                (least - 1, State::NotMet),
                (least, State::NotMeasured),
                (least * 9, State::NotMeasured),
            ] {
                let decal = json!({ "letterHeight": nm(height) });
                let is = state("accessibleSign", &decal, &no_distance, asked);
                assert_eq!(is, expected, "{mount}: {height} nm");
            }
        }
    }

    /// 2010 ADA Standards, 703.5.4, 703.5.7, 703.5.8 (looked up at arcforms.info): an O 55 to 110 % of the
    /// height, strokes 10 to 30 %, gaps 10 to 35 %; 703.5.3: no script. 0.09 fails, 0.10 and 0.30 pass,
    /// 0.31 is not even a letter here.
    #[test]
    fn accessible_proportions() {
        let kind = "accessibleSign";
        ranges(
            kind,
            "100 mm",
            "letterWidth",
            "Width of an O: 55 % to 110 %",
            55_000_000,
            110_000_000,
        );
        ranges(
            kind,
            "100 mm",
            "letterGap",
            "Gap between letters: 10 % to 35 %",
            10_000_000,
            35_000_000,
        );
        let stroke = |size: &str| {
            let decal = json!({ "letterHeight": "100 mm", "stroke": size });
            state(kind, &decal, &json!({}), "Stroke: 10 % to 30 %")
        };
        assert_eq!(stroke("9 mm"), State::NotMet);
        assert_eq!(stroke("9.999999 mm"), State::NotMet);
        assert_eq!(stroke("10 mm"), State::Met);
        assert_eq!(stroke("30 mm"), State::Met);
        let decal = json!({ "letterHeight": "100 mm", "stroke": "31 mm" });
        assert_eq!(
            refused(kind, &decal, &json!({})),
            ["legibility.decal.stroke"]
        );
        let decal = json!({ "letterHeight": "100 mm", "face": "script" });
        assert_eq!(state(kind, &decal, &json!({}), "No italic"), State::NotMet);
        let report = told(
            kind,
            &json!({ "letterHeight": "100 mm" }),
            &json!({ "unit": "mm" }),
        );
        for (asked, right) in [
            ("Width of an O", "55 mm to 110 mm"),
            ("Stroke", "10 mm to 30 mm"),
            ("Gap between letters", "10 mm to 35 mm"),
            ("From baseline to baseline", "135 mm to 170 mm"),
        ] {
            assert_eq!(says(&report, asked), (State::NotMeasured, right.to_owned()));
        }
    }

    /// ANSI Z535, from memory: the message at least 1/300 of the viewing distance, the signal word 1/150.
    #[test]
    fn safety_signs() {
        let metres = json!({ "distance": "30 m", "unit": "mm" });
        let asked = "Letters: at least 1/300 of the reading distance";
        begins_at("safetyMessage", &metres, asked, 100_000_000);
        let asked = "Letters: at least 1/150 of the reading distance";
        begins_at("signalWord", &metres, asked, 200_000_000);
        let report = told("signalWord", &json!({ "letterHeight": "1 m" }), &json!({}));
        assert_eq!(
            says(&report, "Letters"),
            (State::NotMeasured, "the reading distance".into())
        );
        assert!(
            report
                .points
                .iter()
                .all(|point| point.mark == "from memory")
        );
    }
}

mod vehicles {
    use super::*;

    /// 49 CFR 390.21(c) (looked up at fmcsa.dot.gov): readable from 50 ft by day, standing. No height is
    /// given; 30 ft for each inch make it 1.667 in: 600 in / 360 is 42 333 333.3 nm.
    #[test]
    fn commercial_vehicles_read_from_fifty_feet() {
        let asked = "Letters at least 1/360 of 50 ft high";
        begins_at("commercialVehicle", &json!({}), asked, 42_333_334);
        let decal = json!({ "letterHeight": "1.6 in" });
        let report = told("commercialVehicle", &decal, &json!({ "acuity": "20/20" }));
        assert_eq!(says(&report, asked), (State::NotMet, "1.667 in".into()));
        // 1.6 in x 30 ft; of 1.667 in the sixteenth above.
        let reads = point(&report, "Readable from 50 ft");
        assert_eq!(reads.is, "reads from 48 ft");
        assert_eq!(
            report.headline,
            "0 points met, 2 not: reads from 48 ft, right would be letters 1 11/16 in high"
        );
        for (height, expected) in [(42_333_333, State::NotMet), (42_333_334, State::Met)] {
            let decal = json!({ "letterHeight": nm(height) });
            let more = json!({ "acuity": "20/20" });
            let is = state("commercialVehicle", &decal, &more, "Readable from 50 ft");
            assert_eq!(is, expected, "{height}");
        }
        // 20/40 sees 10 arcmin: 600 in x 2 tan(5 arcmin) = 1.7453 in, more than the index asks for.
        let report = told(
            "commercialVehicle",
            &json!({ "letterHeight": "1.7 in" }),
            &json!({}),
        );
        let reads = point(&report, "Readable from 50 ft");
        // To the sixteenth above.
        assert_eq!(reads.right, "letters 1 3/4 in high");
        assert_eq!(reads.state, State::NotMet);
        let report = told(
            "commercialVehicle",
            &json!({ "letterHeight": "1.75 in" }),
            &json!({}),
        );
        assert_eq!(report.headline, "2 points met, none missed");
        // Whoever else is to read it, the law speaks of somebody who passes.
        let metric = told(
            "commercialVehicle",
            &json!({ "letterHeight": "40 mm" }),
            &json!({ "unit": "mm" }),
        );
        assert_eq!(
            says(&metric, "Letters at least 1/360 of 15.24 m high").1,
            "42.34 mm"
        );
    }

    /// 49 CFR 393.60(e)(2), from memory: decals at most 4.5 in (115 mm) from the bottom of the windscreen
    /// and outside of what the wipers sweep.
    #[test]
    fn windscreens_of_commercial_vehicles() {
        let asked = "Top at most 4 1/2 in above the lower edge of the glass";
        let decal = json!({ "letterHeight": "1 in" });
        for (top, expected) in [
            (9 * INCH / 2, State::Met),
            (9 * INCH / 2 + 1, State::NotMet),
        ] {
            let more = json!({ "topEdge": nm(top) });
            assert_eq!(state("windscreen", &decal, &more, asked), expected);
        }
        let report = told("windscreen", &decal, &json!({}));
        assert_eq!(
            says(&report, asked),
            (State::NotMeasured, "at most 4 1/2 in".into())
        );
        assert_eq!(says(&report, "Outside of what").0, State::Look);
        for (screen, expected) in [("swept", State::NotMet), ("corner", State::Met)] {
            let more = json!({ "screen": screen });
            assert_eq!(
                state("windscreen", &decal, &more, "Outside of what"),
                expected
            );
        }
        // What is allowed to devices is never asked of film: 6 in (152 mm); 8.5 in (216 mm) and 7 in
        // (175 mm) since 2022, 87 FR 12596.
        for asked in [
            "Antennas to 6 in (152 mm)",
            "Safety technology to 8.5 in (216 mm)",
        ] {
            assert_eq!(says(&report, asked), (State::NotAsked, String::new()));
        }
        for from_memory in [asked, "Outside of what", "No decals but"] {
            assert_eq!(point(&report, from_memory).mark, "from memory");
        }
    }

    /// North Carolina, 19A NCAC 03D .0704 (looked up): at most 4 in wide and 3 in high, in the lower right
    /// corner of the windscreen.
    #[test]
    fn corner_of_a_windscreen() {
        let zone = json!({ "zone": "corner" });
        for (size, wide, high) in [
            ((4 * INCH, 3 * INCH), State::Met, State::Met),
            ((4 * INCH + 1, 3 * INCH), State::NotMet, State::Met),
            ((4 * INCH, 3 * INCH + 1), State::Met, State::NotMet),
        ] {
            let decal =
                json!({ "width": nm(size.0), "height": nm(size.1), "letterHeight": "1 in" });
            let report = told("carGlass", &decal, &zone);
            let states = (
                point(&report, "Decal at most 4 in wide").state,
                point(&report, "Decal at most 3 in high").state,
            );
            assert_eq!(states, (wide, high));
        }
    }

    #[test]
    fn each_zone_has_its_own_points() {
        let decal = json!({ "letterHeight": "1 in" });
        for (zone, asked, expected) in [
            ("swept", "What the wipers sweep", State::NotMet),
            ("topBand", "Upper band", State::Look),
            ("frontSide", "Front side windows: 70 %", State::Look),
            ("rear", "Rear window: both outside mirrors", State::Look),
            ("fixture", "Mirrors, lamps, plates", State::NotMet),
        ] {
            let report = told("carGlass", &decal, &json!({ "zone": zone }));
            assert_eq!(point(&report, asked).state, expected, "{zone}");
            let others = told("carGlass", &decal, &json!({ "zone": "corner" }));
            assert_eq!(point(&others, asked).state, State::NotAsked, "{zone}");
            assert_eq!(point(&report, "No opaque sticker").state, State::Look);
        }
        let report = told("carGlass", &decal, &json!({ "zone": "rear" }));
        assert_eq!(
            (report.headline.as_str(), report.open.as_str()),
            ("2 to look at yourself", "")
        );
        let report = told("carGlass", &decal, &json!({ "zone": "swept" }));
        assert_eq!(
            report.headline,
            "0 points met, 1 not: in the way, right would be another place"
        );
    }
}

mod standards {
    use super::*;

    /// DIN 1451-4 (looked up at dybas.de): a grid of 7; normal letters 4, narrow ones 3, strokes and gaps
    /// 1, round letters 0.1 more at top and bottom. 63 mm: an H is 36 mm wide, strokes 9 mm, a G 64.8 mm.
    #[test]
    fn grid_of_seven() {
        let metric = json!({ "unit": "mm" });
        let decal = json!({ "lettering": "HG", "letterHeight": "63 mm" });
        let report = told("din1451", &decal, &metric);
        for (asked, right) in [
            ("Width of an O: 4/7", "36 mm"),
            ("Stroke: 1/7", "9 mm"),
            ("Gap between letters: 1/7", "9 mm"),
            ("Height of round letters", "64.8 mm"),
            ("Space between words", "27 mm to 36 mm"),
        ] {
            assert_eq!(says(&report, asked), (State::NotMeasured, right.to_owned()));
        }
        assert_eq!(says(&report, "Width of an O: 3/7").0, State::NotAsked);
        assert_eq!(says(&report, "Letters of a height").0, State::Met);
        let decal = json!({ "letterHeight": "63 mm", "face": "condensed", "letterWidth": "27 mm", "stroke": "9 mm", "letterGap": "9 mm" });
        let report = told("din1451", &decal, &metric);
        assert_eq!(report.headline, "5 points met, none missed");
        for height in [10, 16, 20, 25, 30, 35, 40, 50, 60, 63, 80, 100, 125] {
            let decal = json!({ "letterHeight": format!("{height} mm") });
            assert_eq!(
                state("din1451", &decal, &metric, "Letters of"),
                State::Met,
                "{height}"
            );
        }
        let report = told("din1451", &json!({ "letterHeight": "64 mm" }), &metric);
        assert_eq!(says(&report, "Letters of"), (State::NotMet, "63 mm".into()));
        let report = told("din1451", &json!({ "letterHeight": "9 mm" }), &metric);
        assert_eq!(says(&report, "Letters of"), (State::NotMet, "10 mm".into()));
    }

    /// ISO 3098 (looked up at wiechmann-at.de): 1.8 to 20 mm; lines of h/10 (type B) or h/14 (type A).
    /// 14 mm: 1.4 mm and 1.0 mm.
    #[test]
    fn drawings() {
        let metric = json!({ "unit": "mm" });
        for (kind, line) in [("iso3098B", "1.4 mm"), ("iso3098A", "1 mm")] {
            let report = told(kind, &json!({ "letterHeight": "14 mm" }), &metric);
            assert_eq!(says(&report, "Stroke"), (State::NotMeasured, line.into()));
            for height in ["1.8", "2.5", "3.5", "5", "7", "10", "14", "20"] {
                let decal = json!({ "letterHeight": format!("{height} mm") });
                assert_eq!(
                    state(kind, &decal, &metric, "Letters of"),
                    State::Met,
                    "{height}"
                );
            }
            let decal = json!({ "letterHeight": "14.000001 mm" });
            assert_eq!(state(kind, &decal, &metric, "Letters of"), State::NotMet);
        }
    }
}

const KINDS: [&str; 17] = [
    "boatNumber",
    "capacityPlate",
    "smallCraft",
    "shipName",
    "safetyLetters",
    "commercialVehicle",
    "windscreen",
    "carGlass",
    "houseNumber",
    "aircraftMark",
    "categoryWord",
    "accessibleSign",
    "safetyMessage",
    "signalWord",
    "din1451",
    "iso3098B",
    "iso3098A",
];

/// No answer promises what only the law can, and each has what counts more beside it.
#[test]
fn nothing_is_promised() {
    for kind in KINDS {
        for unit in ["in", "ft", "yd", "mm", "cm", "m"] {
            let more =
                json!({ "unit": unit, "street": "90 ft", "topEdge": "3 in", "distance": "10 m" });
            let decal =
                json!({ "letterHeight": "100 mm", "lettering": "N1MW 4G", "stroke": "10 mm" });
            let report = told(kind, &decal, &more);
            let all = serde_json::to_string(&report).unwrap().to_lowercase();
            // The content of a vehicle's marking is a legal name.
            let all = all.replace("legal or single trade name", "");
            for word in ["legal", "lawful", "allowed", "permitted", "compliant"] {
                assert!(!all.contains(word), "{kind}: {word} in {all}");
            }
            assert!(report.caution.contains("current text and your local rules"));
            assert!(!report.points.is_empty() && !report.applies.is_empty());
            for point in &report.points {
                assert!(!point.section.is_empty(), "{kind}");
                let first = point.asked.chars().next().unwrap();
                assert!(!first.is_lowercase(), "{kind}: {}", point.asked);
                if point.state == State::NotMet {
                    assert!(!point.right.is_empty(), "{kind}: {}", point.asked);
                }
            }
        }
    }
}

/// A height that was worked out from the words is not relied on, however large it is; where it is too
/// small, that is said.
#[test]
fn a_height_that_is_worked_out_is_not_measured() {
    let high = |width: &str| {
        let decal = json!({ "lettering": "DC 5678 EF", "width": width, "height": "20 in" });
        let report = told("boatNumber", &decal, &json!({}));
        let point = point(&report, "Letters at least 3 in").clone();
        (point.state, point.is)
    };
    // 8 letters of 4 units, 5 gaps of 1, 2 spaces of 4: 45 sevenths. 45 in are 7 in high.
    assert_eq!(
        high("45 in"),
        (State::NotMeasured, "about 7 in, worked out".to_owned())
    );
    assert_eq!(
        high("9 in"),
        (State::NotMet, "about 1.4 in, worked out".to_owned())
    );
}

/// Mistakes are told where they are, all at once.
#[test]
fn mistakes_have_a_place() {
    let more = json!({ "groupGap": "x", "street": "0", "topEdge": "-1 in", "distance": "far" });
    let fields = refused("boatNumber", &json!({ "letterHeight": "50 m" }), &more);
    assert_eq!(
        fields,
        [
            "legibility.decal.letterHeight",
            "legibility.distance",
            "groupGap",
            "street",
            "topEdge"
        ]
    );
    let empty = json!({ "groupGap": " ", "street": "", "topEdge": "" });
    told("boatNumber", &json!({ "letterHeight": "3 in" }), &empty);
    for (member, value) in [("kind", "boat"), ("zone", "roof"), ("craft", "kite")] {
        let text = asked("carGlass", &json!({}), &json!({ member: value })).to_string();
        let errors = decode::<LawInput>(&text).unwrap_err();
        assert_eq!(errors.first().field, member);
    }
    let text = asked("carGlass", &json!({}), &json!({ "roof": true })).to_string();
    assert_eq!(decode::<LawInput>(&text).unwrap_err().first().field, "roof");
}

/// The member of the decal that a point is about.
fn member_of(asked: &str) -> Option<&'static str> {
    let members = [
        ("Letters at", "letterHeight"),
        ("Letters: at", "letterHeight"),
        ("Letters of a height", "letterHeight"),
        ("Letters high", "letterHeight"),
        ("Readable", "letterHeight"),
        ("Stroke", "stroke"),
        ("Width", "letterWidth"),
        ("Gap between letters", "letterGap"),
    ];
    let found = members.iter().find(|(begins, _)| asked.starts_with(begins));
    found.map(|(_, member)| *member)
}

/// A letter with its parts, in micrometres.
fn letters() -> impl Strategy<Value = [i64; 4]> {
    (1_000_i64..2_000_000, 1_i64..300, 1_i64..1_500, 1_i64..1_500).prop_map(
        |(height, stroke, width, gap)| {
            let part = |permille: i64| (height * permille / 1_000).max(100);
            // An O is wider than its two strokes.
            let width = part(width).max(2 * part(stroke) + 1);
            [height, part(stroke), width, part(gap)]
        },
    )
}

fn measured([height, stroke, width, gap]: [i64; 4], scale: i64) -> Value {
    let um = |size: i64| nm(size * scale * 1_000);
    json!({
        "lettering": "N1MW 4G",
        "letterHeight": um(height),
        "stroke": um(stroke),
        "letterWidth": um(width),
        "letterGap": um(gap),
    })
}

proptest! {
    /// Larger letters never lose a point that asks for a least height.
    #[test]
    fn larger_letters_lose_no_height(
        kind in prop::sample::select(&KINDS[..]),
        height in 1_000_000_i64..2_000_000_000,
        more in 1_i64..2_000_000_000,
        street in 1_u32..500,
    ) {
        let facts = json!({ "street": format!("{street} ft"), "distance": "40 ft" });
        let small = told(kind, &json!({ "letterHeight": nm(height) }), &facts);
        let large = told(kind, &json!({ "letterHeight": nm(height + more) }), &facts);
        for (small, large) in small.points.iter().zip(&large.points) {
            let least = small.asked.starts_with("Letters at least")
                || small.asked.starts_with("Letters: at least")
                || small.asked.starts_with("Letters high")
                || small.asked.starts_with("Readable");
            if least && small.state == State::Met {
                prop_assert_eq!(large.state, State::Met, "{}", &large.asked);
            }
        }
    }

    /// Where all of a decal grows alike, a point about proportions stays what it was.
    #[test]
    fn proportions_stay_at_any_scale(
        kind in prop::sample::select(&KINDS[..]),
        letters in letters(),
        scale in 2_i64..10,
    ) {
        let facts = json!({});
        let small = told(kind, &measured(letters, 1), &facts);
        let large = told(kind, &measured(letters, scale), &facts);
        for (small, large) in small.points.iter().zip(&large.points) {
            if small.asked.contains("of the letter height") || small.asked.contains("of a letter") {
                prop_assert_eq!(small.state, large.state, "{}", &small.asked);
            }
        }
    }

    /// What is said to be right passes when it is made so.
    #[test]
    fn what_is_right_passes(
        kind in prop::sample::select(&KINDS[..]),
        height in 500_i64..20_000,
        unit in prop::sample::select(&["in", "cm", "mm"][..]),
    ) {
        let facts = json!({ "unit": unit, "distance": "40 ft", "street": "90 ft" });
        let mut decal = json!({
            "letterHeight": format!("{}.{:03} in", height / 1_000, height % 1_000),
        });
        // The height first, for the others go by it.
        for _ in 0..3 {
            let report = told(kind, &decal, &facts);
            for point in &report.points {
                let right = point.right.trim_start_matches("at most ").trim_start_matches("letters ");
                let right = right.trim_end_matches(" high").split(" to ").next().unwrap();
                let Some(member) = member_of(&point.asked) else { continue };
                if point.state != State::Met && point.state != State::NotAsked {
                    let right = if right.ends_with(unit) || right.ends_with("mm") {
                        right.to_owned()
                    } else {
                        format!("{right} {unit}")
                    };
                    decal[member] = json!(right);
                    if member == "letterHeight" {
                        break;
                    }
                }
            }
        }
        let report = told(kind, &decal, &facts);
        for point in &report.points {
            if member_of(&point.asked).is_some() {
                prop_assert!(
                    matches!(point.state, State::Met | State::NotAsked),
                    "{decal}: {point:?}"
                );
            }
        }
    }

    /// Whatever is typed as words is answered.
    #[test]
    fn any_words_are_answered(
        kind in prop::sample::select(&KINDS[..]),
        words in "\\PC{0,60}",
    ) {
        let decal = json!({ "lettering": words, "letterHeight": "3 in" });
        let report = told(kind, &decal, &json!({}));
        prop_assert!(!report.headline.is_empty());
    }
}
