//! What is told of a drawing, against plane geometry in whole millimetres.

use decal_reckoner::artwork::{
    self, ArtworkInput, ArtworkReport, Borders, CheckReport, CutFileInput, TrueShapeInput,
};
use decal_reckoner::error::Code;
use decal_reckoner::measure::{Length, Unit};
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

/// The icons of `tests/data/artwork/icons`, by name.
fn icons() -> Vec<(String, String)> {
    let mut icons = Vec::new();
    for set in ["bootstrap", "tabler"] {
        let folder = format!(
            "{}/tests/data/artwork/icons/{set}",
            env!("CARGO_MANIFEST_DIR")
        );
        for entry in std::fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.extension().is_some_and(|extension| extension == "svg") {
                let name = path.file_stem().unwrap().to_string_lossy().into_owned();
                icons.push((
                    format!("{set}/{name}"),
                    std::fs::read_to_string(path).unwrap(),
                ));
            }
        }
    }
    icons.sort();
    icons
}

/// The checks that depend on the size.
fn size_checks(report: &ArtworkReport) -> impl Iterator<Item = &CheckReport> {
    let of_size = |check: &&CheckReport| ["part", "gap", "speck", "island"].contains(&check.id);
    report.checks.iter().filter(of_size)
}

/// What is too fine at one size passes from a larger one on, and not much below it: the width that is told is the limit
/// over what is finest, rounded up to a millimetre or 1/16 in.
#[test]
fn the_width_that_is_told_is_the_least_at_which_icons_pass() {
    let (mut told, mut touching) = (0, Vec::new());
    for (name, svg) in icons() {
        for lines in ["outlines", "strokes"] {
            let input = |width: Value, unit: &str| -> ArtworkInput {
                let input = json!({"svg": svg, "lines": lines, "width": width, "unit": unit});
                serde_json::from_value(input).unwrap()
            };
            let Ok(prepared) = artwork::prepare(&input(Value::Null, "mm"), &mut |_| {}) else {
                // Of lines alone, no area is left.
                assert_eq!(lines, "outlines", "{name}");
                continue;
            };
            for (width, unit) in [(7.0, "mm"), (29.99, "mm"), (60.0, "in"), (200.0, "mm")] {
                let at = format!("{name}, {lines}, {width} mm, {unit}");
                let report = |width: Value| prepared.report(&input(width, unit)).unwrap();
                let first = report(json!(format!("{width} mm")));
                for check in size_checks(&first) {
                    assert_eq!(check.ok, check.count == 0, "{at}: {check:?}");
                    assert!(!check.text.contains(" 0 "), "{at}: {check:?}");
                }
                if size_checks(&first).any(|check| check.text.contains("touch at a point")) {
                    assert!(first.passes_from.is_none());
                    touching.push(name.clone());
                    continue;
                }
                let from = first.passes_from.as_ref().unwrap();
                let fails = size_checks(&first).any(|check| !check.ok);
                let larger = from.value > first.width.value;
                assert!(larger || !fails, "{at}: {first:?}");
                let there = report(json!(from.text));
                let all = size_checks(&there).all(|check| check.ok);
                assert!(all, "{at}, {}: {:?}", from.text, there.checks);
                let step = if unit == "in" { 1.0 / 16.0 } else { 1.0 };
                told += 1;
                let below = (from.value - step).min(from.value * 0.9);
                if below < step {
                    // Nothing is cut so small.
                    continue;
                }
                let below = report(json!(below));
                let any = size_checks(&below).any(|check| !check.ok);
                assert!(any, "{at}, below {}: {:?}", from.text, below.checks);
            }
        }
    }
    // A wheel that touches the line above it, two round ends that meet, handles that touch the cup: by their files, at
    // one point, whatever the size.
    touching.dedup();
    assert_eq!(
        touching,
        ["bootstrap/cart", "tabler/hourglass", "tabler/trophy"]
    );
    assert!(told > 600, "{told}");
}

/// A wedge that ends in a point runs out to nothing. In one that narrows from 8 to 0.8 mm over 40 mm the disc that fills
/// its end touches that and both sides: with `tan a = 3.6 / 40` it is `0.8 cos a / (1 - sin a)` = 0.8751 mm wide, and 1 mm
/// where the wedge is cut 45.7 mm wide.
#[test]
fn a_blunt_end_has_a_width_and_a_point_has_none() {
    let wedge = |end: f64, width: f64| {
        let (from, to) = (4.0 - end / 2.0, 4.0 + end / 2.0);
        let path = format!(r#"<path d="M0 0L40 {from}V{to}L0 8z"/>"#);
        told(&path, json!({"width": width}))
    };
    let blunt = wedge(0.8, 40.0);
    let (part, tip) = (check(&blunt, "part"), check(&blunt, "tip"));
    assert_eq!((part.count, tip.count), (1, 0), "{part:?}, {tip:?}");
    assert_eq!(part.text, "1 below 1 mm, the thinnest 0.88 mm");
    assert!((blunt.passes_from.unwrap().value - 46.0).abs() < 1e-9);
    assert_eq!(wedge(0.8, 46.0).faults, 0);
    for width in [40.0, 1_000.0] {
        let pointed = wedge(0.0, width);
        let (part, tip) = (check(&pointed, "part"), check(&pointed, "tip"));
        assert_eq!((part.count, tip.count), (0, 1), "{part:?}, {tip:?}");
        assert!(tip.text.starts_with("1 runs out to nothing at any size"));
    }
}

/// Between squares of 10 mm that are 0.0001 mm apart no size makes a gap; where they are 0.002 mm apart, one of 10 mm
/// would take a decal of 100 m. What is not nothing is not told as nothing.
#[test]
fn what_passes_at_no_size_gets_none() {
    let apart = |gap: f64| {
        let path = format!(
            r#"<path d="M0 0h10v10H0z"/><path d="M{} 0h10v10h-10z"/>"#,
            10.0 + gap
        );
        told(&path, json!({"limits": {"gap": "10 mm"}}))
    };
    for (gap, text) in [
        (0.0001, "touch at a point, which no size mends"),
        (0.002, "passes at no size that can be cut"),
    ] {
        let report = apart(gap);
        let found = check(&report, "gap");
        assert!(!found.ok && found.passes_from.is_none(), "{found:?}");
        assert!(found.text.contains(text), "{found:?}");
        assert!(report.passes_from.is_none());
    }
    // 20.004 mm * 0.1 / 0.004 is 500.1 mm.
    let fine = told(
        r#"<path d="M0 0h10v10H0z"/><path d="M10.004 0h10v10h-10z"/>"#,
        json!({"limits": {"gap": "0.1 mm"}}),
    );
    let found = check(&fine, "gap");
    assert_eq!(
        found.text,
        "1 below 0.1 mm, the narrowest less than 0.01 mm"
    );
    assert!((found.passes_from.as_ref().unwrap().value - 501.0).abs() < 1e-6);
    // Without a limit nothing is too fine, from no size on.
    let free = told(
        FRAME,
        json!({"limits": {"part": 0, "gap": 0, "speck": 0, "island": 0}}),
    );
    assert!(free.passes_from.is_none() && free.faults == 0);
    assert!(size_checks(&free).all(|check| check.passes_from.is_none()));
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

/// What a file names but does not have is not in another one, and a marker is no clip.
#[test]
fn what_is_left_out_is_told_by_its_name() {
    let report = told(
        "<rect width='9' height='9'/><use href='#gone'/><use href='other.svg#there'/>\
         <marker id='m'/><path d='M20 0h9v9z' marker-end='url(#m)'/>",
        json!({}),
    );
    let told = |what: &str| {
        report
            .omitted
            .iter()
            .filter(|text| text.contains(what))
            .count()
    };
    assert_eq!(
        (
            told("not in this file"),
            told("another file"),
            told("arrowheads")
        ),
        (1, 1, 1)
    );
    assert_eq!(report.omitted.len(), 3, "{:?}", report.omitted);
}

/// 61 dots of 1 mm, and a bar of 0.5 mm, which has a name of its own among what is drawn: `part` is one of a layout.
#[test]
fn the_picture_says_where_it_leaves_marks_out() {
    let dots = |count: usize| -> ArtworkReport {
        let dot = |at: usize| format!(r#"<path d="M{} {}h1v1h-1z"/>"#, at % 20 * 4, at / 20 * 4);
        let dots: String = (0..count).map(dot).collect();
        told(&format!(r#"{dots}<path d="M0 30h40v.5H0z"/>"#), json!({}))
    };
    for (count, said) in [(60, false), (61, true)] {
        let report = dots(count);
        assert_eq!(check(&report, "speck").count as usize, count);
        let says = |text: &String| text.contains("at most 60 places of each kind are marked");
        assert_eq!(report.assumptions.iter().any(says), said);
        let drawn = report.drawing().to_svg();
        assert!(
            drawn.contains("mark thin") && !drawn.contains("part\""),
            "{drawn}"
        );
    }
}

/// A layout by borders that holds more, or is shorter, is not as good but better than one piece on 30 mm of a sheet.
#[test]
fn borders_that_hold_more_are_called_better() {
    let lay = |count: u32, length: &str, quantity: u32| {
        let input: TrueShapeInput = serde_json::from_value(json!({
            "artwork": {"unit": "mm", "svg": svg(r##"<path d="M0 0h50v30H0z"/><path fill="#c00" d="M5 5h9v9H5z"/>"##),
                "colours": "layers"},
            "material": {"unit": "mm", "sheet": {"width": 80, "length": 90}, "margin": 0, "gap": 0,
                "pieces": [{"width": 50, "height": 30, "quantity": quantity}]},
        }))
        .unwrap();
        let drawing = artwork::prepare(&input.artwork, &mut |_| {}).unwrap();
        let borders = Borders {
            length: Length::parse(length, Unit::Mm).unwrap(),
            count,
        };
        drawing.lay(&input, borders, &mut |_, _| false).unwrap()
    };
    // One piece takes 30 mm of the sheet.
    for (count, length, says) in [
        (2, "60 mm", "is better"),
        (1, "25 mm", "is better"),
        (1, "30 mm", "is as good"),
    ] {
        let report = lay(count, length, 1);
        assert_eq!(report.count, 1);
        assert!(
            report.saved_text.ends_with(says),
            "{} {report:?}",
            report.saved_text
        );
        // Both colours take the film that one takes.
        let one = |text: &String| text.starts_with("All colours are laid together as one film");
        assert!(report.assumptions.iter().any(one));
    }
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
