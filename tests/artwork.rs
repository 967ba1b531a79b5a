//! What is told of a drawing, against plane geometry in whole millimetres.

use decal_reckoner::artwork::{self, ArtworkInput, ArtworkReport, CheckReport, CutFileInput};
use decal_reckoner::error::Code;
use proptest::prelude::*;
use serde_json::{Value, json};

/// A drawing of 100 by 40 mm with this in it.
fn svg(content: &str) -> String {
    format!(
        r#"<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="40mm" viewBox="0 0 100 40">{content}</svg>"#
    )
}

fn input(content: &str, more: Value) -> ArtworkInput {
    let mut input = json!({"unit": "mm", "svg": svg(content)});
    if let (Value::Object(all), Value::Object(more)) = (&mut input, more) {
        all.extend(more);
    }
    serde_json::from_value(input).unwrap()
}

fn told(content: &str, more: Value) -> ArtworkReport {
    artwork::report(&input(content, more)).unwrap()
}

fn check<'a>(report: &'a ArtworkReport, id: &str) -> &'a CheckReport {
    report.checks.iter().find(|check| check.id == id).unwrap()
}

/// A frame of 40 by 20 mm whose bars are 2 mm wide, and a dot of 1.5 mm 0.8 mm beside it.
const FRAME: &str = r#"<path fill-rule="evenodd" d="M10 10h40v20H10zM12 12h36v16H12z"/><path d="M50.8 10h1.5v1.5h-1.5z"/>"#;

/// Lengths grow with the size, areas with its square: 40 + 0.8 + 1.5 mm drawn, cut twice as wide.
#[test]
fn measures_are_those_of_the_chosen_size() {
    for (width, grow) in [
        (Value::Null, 1.0),
        (json!("84.6 mm"), 2.0),
        (json!(4.23), 0.1),
    ] {
        let more = if width.is_null() {
            json!({})
        } else {
            json!({"width": width})
        };
        let report = told(FRAME, more);
        let close = |is: f64, should: f64| {
            assert!((is - should).abs() < 1e-4 * grow, "{is} is not {should}");
        };
        // A size that follows from another one is told to 0.1 mm.
        assert!((report.width.value - 42.3 * grow).abs() < 0.05);
        assert!((report.height.value - 20.0 * grow).abs() < 0.05);
        close(report.proportion, 42.3 / 20.0);
        close(report.cut_length.value, (120.0 + 104.0 + 6.0) * grow);
        assert_eq!(
            (report.pieces, report.islands, report.outlines, report.nodes),
            (2, 1, 3, 12)
        );
        close(report.stays, (800.0 - 576.0 + 2.25) / (42.3 * 20.0));
    }
    // The height alone, and the width before the height.
    assert!((told(FRAME, json!({"height": "40 mm"})).width.value - 84.6).abs() < 0.05);
    assert!(
        (told(FRAME, json!({"height": "40 mm", "width": "42.3 mm"}))
            .height
            .value
            - 20.0)
            .abs()
            < 0.05
    );
}

/// Bars of 2 mm, a gap of 0.8 mm, a piece of 1.5 mm, an island of 36 mm: each is right from its limit over that on.
#[test]
fn limits_are_met_from_a_size_on() {
    let at = |width: f64| {
        let limits = json!({"part": "1 mm", "gap": "0.5 mm", "speck": "2 mm", "island": "1 mm"});
        told(FRAME, json!({"width": width, "limits": limits}))
    };
    // Cut at its drawn size, only the dot is too small; it is all right from 42.3 * 2 / 1.5 mm on, rounded up.
    let report = at(42.3);
    for (id, ok, from) in [
        ("part", true, 42.3 / 1.5),
        ("gap", true, 42.3 * 0.5 / 0.8),
        ("speck", false, 42.3 * 2.0 / 1.5),
        ("island", true, 42.3 / 36.0),
    ] {
        let check = check(&report, id);
        assert_eq!(check.ok, ok, "{check:?}");
        let is = check.passes_from.as_ref().unwrap().value;
        assert!(
            from <= is + 1e-6 && is < from + 1.0 + 1e-6,
            "{id}: {is} is not {from}"
        );
    }
    assert!((report.passes_from.unwrap().value - 57.0).abs() < 1e-6);
    assert_eq!(report.faults, 1);
    assert_eq!(at(57.0).faults, 0);
    // At a third of it the dot is 0.5 mm, the bars 0.67 and the gap 0.27.
    let report = at(14.1);
    for (id, count) in [("part", 2), ("gap", 1), ("speck", 1), ("island", 0)] {
        let check = check(&report, id);
        assert_eq!(
            (check.ok, check.count > 0),
            (count == 0, count > 0),
            "{check:?}"
        );
    }
}

#[test]
fn accidents_are_told_and_joined() {
    // Two letters that overlap, one of them drawn twice, and a stroke that is open.
    let report = told(
        r#"<path d="M0 0h20v40H0z"/><path d="M15 10h20v5H15z"/><path d="M15 10h20v5H15z"/><path d="M60 0h30v30L75 20l-15 5"/>"#,
        json!({}),
    );
    assert_eq!((report.joined.before, report.pieces), (4, 2));
    assert_eq!(report.joined.text, "from 4 pieces to 2");
    assert_eq!(check(&report, "crossing").count, 2);
    assert_eq!(check(&report, "open").count, 1);
    let double = check(&report, "double");
    assert!(!double.ok && double.text.contains("5 cm"), "{double:?}");
    assert!(!check(&report, "through").ok);
    // 5 by 5 mm of the overlap, twice, and the 100 square millimetres of the one that is there twice, less the overlap.
    assert!(
        report.joined.area_text.contains("1.25 cm²"),
        "{}",
        report.joined.area_text
    );
    let file = artwork::cut_file(&CutFileInput {
        artwork: input(
            r#"<path d="M0 0h20v40H0z"/><path d="M15 10h20v5H15z"/>"#,
            json!({}),
        ),
        ..CutFileInput::default()
    })
    .unwrap();
    let again: ArtworkInput =
        serde_json::from_value(json!({"unit": "mm", "svg": file.svg})).unwrap();
    let again = artwork::report(&again).unwrap();
    assert!(
        again.joined.same && again.checks.iter().all(|check| check.ok),
        "{again:?}"
    );
    assert_eq!((again.pieces, again.nodes), (1, 8));
}

#[test]
fn colours_are_films_where_that_is_asked() {
    let content =
        r##"<path fill="#102030" d="M0 0h50v40H0z"/><circle fill="#c00" cx="25" cy="20" r="10"/>"##;
    let one = told(content, json!({}));
    assert_eq!((one.pieces, one.films.len()), (1, 1));
    let layers = told(content, json!({"colours": "layers"}));
    let colours: Vec<&str> = layers
        .films
        .iter()
        .map(|film| film.colour.as_str())
        .collect();
    assert_eq!(colours, ["#102030", "#cc0000"]);
    // Nothing of one film is cut through by the edge of the other.
    assert!(
        layers.checks.iter().all(|check| check.ok),
        "{:?}",
        layers.checks
    );
    let hole = told(content, json!({"ground": "#C00"}));
    assert_eq!((hole.pieces, hole.islands), (1, 1));
}

/// A square of 20 mm with a hole of 10 mm that is ground: nothing lay twice. Beside it two squares that overlap by 8 mm².
#[test]
fn the_ground_and_what_lay_twice_are_told_apart() {
    let hole = r##"<path d="M0 0h20v20h-20z"/><path fill="#fff" d="M5 5h10v10h-10z"/>"##;
    let twice = r#"<path d="M30 0h6v4h-6z"/><path d="M34 0h6v4h-6z"/>"#;
    let ground = json!({"ground": "#ffffff"});
    let report = told(hole, ground.clone());
    assert_eq!(report.joined.area_text, "1 cm² is taken away by the ground");
    assert!(!report.joined.same);
    assert_eq!(check(&report, "through").count, 0);
    let report = told(&[hole, twice].concat(), ground);
    let text = &report.joined.area_text;
    assert!(text.contains("that lay twice is counted once"), "{text}");
    assert!(
        text.ends_with(", 1 cm² is taken away by the ground"),
        "{text}"
    );
    let report = told(twice, json!({}));
    let text = &report.joined.area_text;
    assert!(text.ends_with("that lay twice is counted once"), "{text}");
}

/// The page behind the art as ground, and an open line beside it: the blade cuts through no letter.
#[test]
fn lines_beside_the_art_are_not_within_it() {
    let report = told(
        r##"<path fill="#fff" d="M0 0h100v40h-100z"/><path d="M10 10h20v20h-20z"/>
        <path fill="none" stroke="red" d="M40 5l30 25"/>"##,
        json!({"ground": "#ffffff"}),
    );
    assert!(
        check(&report, "through").ok,
        "{:?}",
        check(&report, "through")
    );
}

/// Outlines are pieces and islands: 2,600 squares with a hole each are more than 5,000.
#[test]
fn how_the_blade_travels_among_many_outlines_is_told() {
    let told_so = |count: u32| {
        let square = |place: u32| {
            let (x, y) = (place % 100 * 8, place / 100 * 8);
            format!("M{x} {y}h6v6h-6zM{} {}h2v2h-2z", x + 2, y + 2)
        };
        let squares = (0..count).map(square).collect::<Vec<_>>().concat();
        let path = format!(r#"<path fill-rule="evenodd" d="{squares}"/>"#);
        let report = told(&path, json!({}));
        report
            .assumptions
            .iter()
            .any(|text| text.contains("next 5000"))
    };
    assert!(told_so(2600));
    assert!(!told_so(2400));
}

#[test]
fn mistakes_are_told_at_their_fields() {
    for (more, field, code) in [
        (json!({"width": "0.5 mm"}), "width", Code::TooSmall),
        (json!({"width": "-3"}), "width", Code::TooSmall),
        (json!({"height": "9999 km"}), "height", Code::TooLarge),
        (json!({"width": "wide"}), "width", Code::NotANumber),
        (
            json!({"limits": {"part": "x"}}),
            "limits.part",
            Code::NotANumber,
        ),
        (
            json!({"limits": {"gap": "2 m"}}),
            "limits.gap",
            Code::TooLarge,
        ),
        (json!({"ground": "white"}), "ground", Code::NotAChoice),
        (json!({"ground": "#12345"}), "ground", Code::NotAChoice),
        (json!({"svg": ""}), "svg", Code::Missing),
    ] {
        let errors = artwork::report(&input(FRAME, more.clone())).unwrap_err();
        let first = errors.first();
        assert_eq!(
            (first.field.as_str(), first.code),
            (field, code),
            "{more}: {first:?}"
        );
        assert!(!first.hint.is_empty());
    }
    // Nothing that could be cut: a single line.
    let errors = artwork::report(&input(
        r#"<path fill="none" stroke="red" d="M0 0L50 20"/>"#,
        json!({}),
    ))
    .unwrap_err();
    assert_eq!(errors.first().field, "svg");
    // As a stroke it has an area.
    let report = told(
        r#"<path fill="none" stroke="red" stroke-width="2" d="M0 20h50"/>"#,
        json!({"lines": "strokes"}),
    );
    assert!((report.height.value - 2.0).abs() < 0.05);
    let file: CutFileInput =
        serde_json::from_value(json!({"artwork": {"svg": svg(FRAME)}, "only": 2, "border": "-1"}))
            .unwrap();
    let errors = artwork::cut_file(&file).unwrap_err();
    let fields: Vec<&str> = errors.iter().map(|error| error.field.as_str()).collect();
    assert_eq!(fields, ["border", "only"]);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    /// However large it is cut, the picture, the silhouette and the texts are there, and no number is none.
    #[test]
    fn any_size_is_told(width in 1.0..9_000.0_f64, unit in prop_oneof![Just("in"), Just("mm"), Just("cm")]) {
        let width = format!("{width} mm");
        let report = told(FRAME, json!({"unit": unit, "width": width}));
        prop_assert!(report.silhouette.starts_with('M'));
        let picture = report.drawing().to_svg();
        prop_assert!(!picture.contains("NaN") && !picture.contains("inf"));
        prop_assert!(report.checks.iter().all(|check| !check.text.is_empty()));
    }
}
