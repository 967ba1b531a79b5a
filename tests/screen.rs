//! The decal on the reader's own screen, against similar triangles, eye charts, and a blur done by hand.

use decal_reckoner::drawing::{Element, Node};
use decal_reckoner::error::Code;
use decal_reckoner::legibility::eye::{Acuity, angle};
use decal_reckoner::legibility::screen::{
    CARD, ScreenScale, SightInput, SightReport, at_arm, blur, sight,
};
use decal_reckoner::measure::{Length, Unit};
use proptest::prelude::*;
use serde_json::{Value, json};

const fn micrometres(count: i64) -> Length {
    Length::from_nm(count * 1_000)
}

fn close(is: f64, should: f64, tolerance: f64) -> bool {
    (is - should).abs() <= tolerance + 1e-12
}

fn read(input: Value) -> SightInput {
    serde_json::from_value(input).unwrap()
}

/// A decal of 229 by 76 mm with capitals of 38 mm, and what is changed about it.
fn input(decal: Value, legibility: Value, more: Value) -> SightInput {
    let mut all = json!({"lettering": "KITTIWAKE", "width": 229, "height": 76, "letterHeight": 38});
    let mut asked = json!({"unit": "mm"});
    let mut input = json!({});
    for (whole, part) in [
        (&mut all, decal),
        (&mut asked, legibility),
        (&mut input, more),
    ] {
        if let (Value::Object(whole), Value::Object(part)) = (whole, part) {
            whole.extend(part);
        }
    }
    asked["decal"] = all;
    input["legibility"] = asked;
    read(input)
}

fn answer(decal: Value, legibility: Value, more: Value) -> SightReport {
    sight(&input(decal, legibility, more)).unwrap()
}

fn attribute<'a>(element: &'a Element, name: &str) -> Option<&'a str> {
    let found = element.attributes.iter().find(|(known, _)| *known == name);
    found.map(|(_, value)| value.as_str())
}

fn number(element: &Element, name: &str) -> f64 {
    let text = attribute(element, name).unwrap_or_else(|| panic!("no {name} in {element:?}"));
    text.trim_end_matches("em").parse().unwrap()
}

fn children(element: &Element) -> Vec<&Element> {
    let children = element.children.iter();
    let elements = children.filter_map(|child| match child {
        Node::Element(element) => Some(element),
        Node::Text(_) => None,
    });
    elements.collect()
}

/// All elements of that tag, however deep.
fn all<'a>(element: &'a Element, tag: &str, found: &mut Vec<&'a Element>) {
    if element.tag == tag {
        found.push(element);
    }
    for child in children(element) {
        all(child, tag, found);
    }
}

fn those<'a>(element: &'a Element, tag: &str) -> Vec<&'a Element> {
    let mut found = Vec::new();
    all(element, tag, &mut found);
    found
}

mod geometry {
    use super::*;

    /// The 6/6 line of an eye chart for 6 m: letters of 5 minutes of arc, 6000 mm x tan 5' = 8.727 mm.
    #[test]
    fn a_letter_of_an_eye_chart_is_a_tenth_at_a_tenth_of_the_distance() {
        let letter = micrometres(8_727);
        let [six_metres, arm] = [Length::whole(6, Unit::M), Length::whole(600, Unit::Mm)];
        let looks = at_arm(letter, arm, six_metres);
        assert!(close(looks.to_f64(Unit::Mm), 0.873, 0.0005), "{looks:?}");
        assert_eq!(looks.nm(), 872_700);
        assert!(close(angle(letter, six_metres).to_arcmin(), 5.0, 0.001));
        assert!(close(angle(looks, arm).to_arcmin(), 5.0, 0.001));
    }

    #[test]
    fn pixels_have_the_angles_of_their_width() {
        // 0.25 mm under one minute of arc: 0.25 / tan 1' = 859.44 mm.
        let scale = ScreenScale::of(4.0).unwrap();
        let arm = micrometres(859_437);
        assert!(close(scale.pixel_angle(arm).to_arcmin(), 1.0, 1e-5));
        // 20/20 tells one minute apart, so half a minute is asked for, which is twice as far.
        let from = scale.fine_from(Acuity::parse("20/20").unwrap());
        assert!(close(from.to_f64(Unit::Mm), 2.0 * 859.437, 0.01));
        let from = scale.fine_from(Acuity::parse("20/40").unwrap());
        assert!(close(from.to_f64(Unit::Mm), 859.437, 0.01));
    }

    proptest! {
        #[test]
        fn what_is_drawn_fills_the_same_angle(
            size in 1_000_000_i64..1_000_000_000,
            arm in 100_000_000_i64..2_000_000_000,
            distance in 1_000_000_000_i64..1_000_000_000_000,
        ) {
            let [size, arm, distance] = [size, arm, distance].map(Length::from_nm);
            let looks = at_arm(size, arm, distance);
            // The least whole nanometre that is not smaller.
            let (exact, of) = (
                i128::from(size.nm()) * i128::from(arm.nm()),
                i128::from(distance.nm()),
            );
            prop_assert!(i128::from(looks.nm()) * of >= exact);
            prop_assert!(i128::from(looks.nm() - 1) * of < exact);
            let [there, here] = [angle(size, distance), angle(looks, arm)];
            // A nanometre is 0.00004 minutes of arc from 10 cm.
            prop_assert!(close(there.to_arcmin(), here.to_arcmin(), 4e-5));
        }

        #[test]
        fn a_screen_shows_all_from_where_it_says_and_not_from_nearer(
            per_mm in 0.3..60.0, detail in 0.5..20.0,
        ) {
            let scale = ScreenScale::of(per_mm).unwrap();
            let acuity = Acuity::parse(&format!("{:.6}", 1.0 / detail)).unwrap();
            let half = acuity.detail() / 2.0;
            let from = scale.fine_from(acuity);
            prop_assert!(scale.pixel_angle(from).to_arcmin() <= half * (1.0 + 1e-9));
            let nearer = Length::from_nm(from.nm() * 999 / 1000);
            prop_assert!(scale.pixel_angle(nearer).to_arcmin() > half);
        }
    }
}

mod scale {
    use super::*;

    /// CSS Values and Units, section 5.2: 1in = 2.54cm = 96px.
    #[test]
    fn what_was_not_measured_is_as_css_says() {
        for ratio in [1.0, 1.25, 2.0, 3.0] {
            let scale = ScreenScale::guess(ratio);
            assert!(close(scale.css(Length::inches(1, 1), ratio), 96.0, 1e-9));
        }
    }

    #[test]
    fn what_no_screen_has_is_refused() {
        for css in [0.0, -324.0, f64::NAN, f64::INFINITY, 1e-9, 1e9] {
            let error = ScreenScale::measured(css, 1.0, CARD).unwrap_err();
            assert_eq!(error.code, Code::DoesNotFit, "{css}");
        }
        assert!(ScreenScale::measured(200.0, 1.0, Length::ZERO).is_err());
        assert!(ScreenScale::measured(200.0, f64::NAN, CARD).is_err());
    }

    proptest! {
        #[test]
        fn a_card_is_as_long_as_it_was_fitted_at_any_zoom(
            css in 100.0..900.0, ratio in 0.5..4.0, later in 0.25..5.0,
        ) {
            let scale = ScreenScale::measured(css, ratio, CARD).unwrap();
            prop_assert!(close(scale.css(CARD, ratio), css, 1e-9));
            // The screen's own pixels are what has a size, and they are as many at any zoom.
            prop_assert!(close(scale.css(CARD, later) * later, css * ratio, 1e-6));
            // A ruler on the same screen says the same.
            let ruler = Length::from_metres(0.2 / scale.per_mm() * later).unwrap();
            let again = ScreenScale::measured(200.0, later, ruler).unwrap();
            prop_assert!(close(again.per_mm() / scale.per_mm(), 1.0, 1e-6));
        }
    }
}

mod blurs {
    use super::*;

    /// Stripes of one period are blurred by summing them under the bell, minute by hundredth of a minute.
    fn contrast_left(sigma: f64, period: f64) -> f64 {
        let (mut weights, mut sum) = (0.0, 0.0);
        for step in -100_000..=100_000 {
            let at = f64::from(step) * sigma / 10_000.0;
            let weight = (-at * at / (2.0 * sigma * sigma)).exp();
            weights += weight;
            sum += weight * (std::f64::consts::TAU * at / period).cos();
        }
        sum / weights
    }

    #[test]
    fn the_finest_stripes_keep_a_twentieth_of_their_contrast() {
        for acuity in ["20/10", "20/20", "20/40", "6/7.5", "0.1", "20/400"] {
            let acuity = Acuity::parse(acuity).unwrap();
            let period = 2.0 * acuity.detail();
            let left = contrast_left(blur(acuity).to_arcmin(), period);
            assert!(close(left, 0.05, 1e-4), "{acuity:?}: {left}");
        }
        // 20/40 sees details of two minutes.
        let own = blur(Acuity::parse("20/40").unwrap()).to_arcmin();
        assert!(close(own, 2.0 * blur(Acuity::STANDARD).to_arcmin(), 1e-9));
    }

    #[test]
    fn it_is_drawn_in_the_units_of_the_decal() {
        // Letters of 38 mm from where they fill 5 minutes: eyes of 20/20 can just tell them, and are
        // blurred by 0.779 / 5 of the letter.
        let distance = format!("{} mm", 38.0 / (5.0_f64 / 60.0).to_radians().tan());
        let report = answer(
            json!({}),
            json!({"distance": distance, "acuity": "20/40"}),
            json!({}),
        );
        assert_eq!(report.angle, "5");
        assert_eq!(report.blur, "1.56");
        assert_eq!(report.share, "31");
        assert_eq!(report.normal.as_deref(), Some("16"));
        let drawings = report.drawings();
        let drawings = children(&drawings);
        for (place, id, share) in [(1, "sight-own", 2.0), (4, "sight-normal", 1.0)] {
            let drawing = drawings[place];
            let filter = those(drawing, "filter")[0];
            let sigma = number(those(drawing, "feGaussianBlur")[0], "stdDeviation");
            assert!(close(sigma, share * 0.77914 * 38.0 / 5.0, 0.001), "{sigma}");
            assert_eq!(attribute(filter, "id"), Some(id));
            let seen = those(drawing, "g")[0];
            assert_eq!(
                attribute(seen, "filter"),
                Some(format!("url(#{id})").as_str())
            );
            // What is behind goes on beyond the edge, so that it does not darken; so does the filter.
            for element in [filter, those(seen, "rect")[0]] {
                assert!(close(number(element, "x"), -3.0 * sigma, 0.001));
                assert!(close(number(element, "width"), 229.0 + 6.0 * sigma, 0.002));
            }
        }
        // Eyes of 20/20 are not compared with themselves.
        let report = answer(json!({}), json!({"acuity": "6/6"}), json!({}));
        assert_eq!(report.normal, None);
        assert_eq!(children(&report.drawings()).len(), 4);
    }
}

mod drawings {
    use super::*;

    /// Width and height in millimetres.
    fn size(drawing: &Element) -> (f64, f64) {
        let [wide, high] = ["width", "height"].map(|name| 10.0 * number(drawing, name));
        (wide, high)
    }

    #[test]
    fn they_have_their_true_sizes() {
        let report = answer(
            json!({}),
            json!({"distance": "20 m"}),
            json!({"arm": "500 mm"}),
        );
        let drawings = report.drawings();
        let drawings = children(&drawings);
        let (wide, high) = size(drawings[0]);
        assert!(close(wide, 229.0 / 40.0, 1e-3) && close(high, 76.0 / 40.0, 1e-3));
        let (wide, high) = size(drawings[2]);
        assert!(close(wide, 229.0, 1e-3) && close(high, 76.0, 1e-3));
        assert_eq!(report.letter, "0.95 mm");
        let bar = those(drawings[3], "rect")[0];
        assert!(close(number(bar, "width"), 100.0, 1e-9));
        let mut measures = attribute(drawings[3], "viewBox").unwrap().split(' ');
        let across: f64 = measures.nth(2).unwrap().parse().unwrap();
        assert!(close(size(drawings[3]).0, across, 1e-3));
        // Inches have a bar of theirs.
        let report = answer(json!({}), json!({"unit": "in"}), json!({"bar": "102.6 mm"}));
        assert_eq!(report.bar, "4 in");
        assert_eq!(report.printed.as_deref(), Some("101"));
        let bar = report.drawings();
        let bar = those(children(&bar)[3], "rect")[0];
        assert!(close(number(bar, "width"), 101.6, 1e-9));
    }

    #[test]
    fn capitals_are_as_high_as_they_are_cut() {
        for (cap_height, face) in [(0.716, "plain"), (0.729, "condensed"), (0.62, "script")] {
            let report = answer(
                json!({"face": face}),
                json!({}),
                json!({"capHeight": cap_height, "scriptCapHeight": 0.62}),
            );
            let drawings = report.drawings();
            let text = those(children(&drawings)[2], "text")[0];
            let high = number(text, "font-size") * cap_height;
            assert!(close(high, 38.0, 1e-3), "{face}: {high}");
            // One line in the middle of 76 mm: from 19 mm down to 57.
            assert!(close(number(text, "y"), 57.0, 1e-3));
            assert_eq!(attribute(text, "stroke"), None);
            // How wide the strokes of a script are nobody has measured.
            assert_eq!(report.stroke.is_none(), face == "script");
        }
    }

    #[test]
    fn a_stem_becomes_as_wide_as_the_stroke_that_was_measured() {
        for stroke in [2.0, 4.0, 7.79, 9.0, 11.0] {
            let report = answer(
                json!({"stroke": stroke}),
                json!({"distance": "20 m"}),
                json!({"capHeight": 0.7, "stem": 0.1435}),
            );
            let drawings = report.drawings();
            let text = those(children(&drawings)[2], "text")[0];
            let size = number(text, "font-size") * 0.7;
            let colours = ["fill", "stroke"].map(|name| attribute(text, name).unwrap());
            let (fill, paint) = (colours[0], number(text, "stroke-width"));
            // An I of the face is 0.205 of its height wide. Paint of the letters' own colour makes them larger all around, other paint smaller.
            let paint = if colours[1] == fill { paint } else { -paint };
            assert!(close(size + paint, 38.0, 2e-3), "{stroke}: {size} {paint}");
            assert!(close(0.205 * size + paint, stroke, 2e-3), "{stroke}");
            // Its foot stands on the same line.
            assert!(close(number(text, "y") + paint / 2.0, 57.0, 2e-3));
            // A minute of arc is 5.818 mm at 20 m.
            let told: f64 = report.stroke.unwrap().parse().unwrap();
            assert!(close(told, stroke / 5.818, 0.006), "{told}");
        }
    }

    #[test]
    fn lines_stay_inside_of_the_decal() {
        for decal in [
            json!({"lettering": "WMWMWMWMWMWMWM"}),
            json!({"lettering": "HERON LAKE\nLETTERING", "letterHeight": 30}),
            json!({"face": "condensed"}),
            json!({"letterWidth": 40, "letterGap": 5}),
        ] {
            let report = answer(decal.clone(), json!({}), json!({}));
            let drawings = report.drawings();
            for text in those(children(&drawings)[2], "text") {
                let length = attribute(text, "textLength").map(|text| text.parse::<f64>().unwrap());
                assert!(length.is_none_or(|length| length <= 229.0), "{decal}");
                assert!(
                    number(text, "y") <= 76.0 && number(text, "y") >= 30.0,
                    "{decal}"
                );
            }
        }
        // Nine letters 18 mm wide with 5 mm between them.
        let report = answer(
            json!({"letterWidth": 18, "letterGap": 5}),
            json!({}),
            json!({}),
        );
        let drawings = report.drawings();
        let text = those(children(&drawings)[2], "text")[0];
        assert!(close(
            number(text, "textLength"),
            9.0 * 18.0 + 8.0 * 5.0,
            1e-9
        ));
    }
}

mod words {
    use super::*;

    #[test]
    fn without_a_distance_it_is_seen_from_where_it_can_just_be_read() {
        // 30 ft to the inch, for somebody passing: 45 ft for 1 1/2 in; less for weaker eyes.
        let decal = json!({"width": 9, "height": 3, "letterHeight": 1.5});
        let report = answer(
            decal.clone(),
            json!({"unit": "in", "acuity": "20/20"}),
            json!({}),
        );
        assert!(report.reached);
        assert_eq!(report.distance, "45 ft");
        assert_eq!(report.arm, "24 in");
        // 1.5 in x 24 / 540.
        assert_eq!(report.letter, "0.067 in (1.69 mm)");
        let report = answer(
            decal,
            json!({"unit": "in", "distance": "60 ft"}),
            json!({"arm": "30"}),
        );
        assert!(!report.reached);
        assert_eq!((&*report.distance, &*report.arm), ("60 ft", "30 in"));
        assert_eq!(report.letter, "0.063 in (1.59 mm)");
        assert_eq!(answer(json!({}), json!({}), json!({})).arm, "600 mm");
        // Too small for any distance by the rule for accessible signs (16 mm at the least): then from
        // where 20/40 can just tell them, 10 minutes of arc.
        let report = answer(
            json!({"letterHeight": 10}),
            json!({"reader": "accessible"}),
            json!({}),
        );
        assert_eq!(report.angle, "10");
    }

    #[test]
    fn a_print_is_told_by_its_bar() {
        for (bar, printed, at) in [
            ("97 mm", "97", "103.1"),
            ("100", "100", "100"),
            ("10.4 cm", "104", "96.2"),
        ] {
            let report = answer(json!({}), json!({}), json!({"bar": bar}));
            assert_eq!(report.printed.as_deref(), Some(printed));
            assert_eq!(report.print_at.as_deref(), Some(at));
        }
        assert_eq!(answer(json!({}), json!({}), json!({})).printed, None);
    }

    #[test]
    fn a_coarse_screen_is_told_from_a_fine_one() {
        // 96 pixels to the inch: 0.2646 mm, 1.49 minutes from 24 in; 20/40 needs it to be one.
        let coarse = |scale: f64, arm: &str| {
            let more = json!({"scale": scale, "arm": arm});
            answer(json!({}), json!({"unit": "in"}), more).coarse
        };
        let told = coarse(96.0 / 25.4, "24 in").unwrap();
        assert!(told.contains("1.49 arcmin wide") && told.contains("the 2 arcmin"));
        // 0.2646 mm / tan 1' = 909.6 mm = 35.8 in.
        assert!(told.contains("From 36 in on"), "{told}");
        assert_eq!(coarse(96.0 / 25.4, "36 in"), None);
        assert_eq!(coarse(12.0, "24 in"), None);
        assert_eq!(answer(json!({}), json!({}), json!({})).coarse, None);
    }

    #[test]
    fn every_mistake_is_told_at_its_member() {
        let wrong = json!({"arm": "far", "bar": "5 km", "scale": "0", "capHeight": "tall"});
        let errors = sight(&input(json!({}), json!({}), wrong)).unwrap_err();
        let told: Vec<_> = errors
            .iter()
            .map(|error| (error.field.as_str(), error.code))
            .collect();
        assert_eq!(
            told,
            [
                ("arm", Code::NotANumber),
                ("bar", Code::TooLarge),
                ("scale", Code::TooSmall),
                ("capHeight", Code::NotANumber)
            ]
        );
        let errors = sight(&input(
            json!({"width": "wide"}),
            json!({"acuity": "good"}),
            json!({}),
        ))
        .unwrap_err();
        let told: Vec<_> = errors.iter().map(|error| error.field.as_str()).collect();
        assert_eq!(told, ["legibility.decal.width", "legibility.acuity"]);
    }

    proptest! {
        #[test]
        fn whatever_is_typed_is_answered_or_refused(
            arm in "[-0-9a-z/., ]{0,9}",
            distance in "[1-9][0-9]{0,6}",
            scale in any::<f64>(),
            width in 1_u32..50_000,
            stroke in 0.1..12.0,
        ) {
            let more = json!({"arm": arm, "scale": scale, "capHeight": arm});
            let input = input(
                json!({"width": width, "stroke": stroke}),
                json!({"distance": distance}),
                more,
            );
            if let Ok(report) = sight(&input) {
                for drawing in children(&report.drawings()) {
                    prop_assert!(attribute(drawing, "viewBox").is_some());
                }
            }
        }
    }
}
