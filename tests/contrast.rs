//! How much lettering differs in lightness from what is behind it, against published values, another
//! library, and cases of glass worked by hand.

use decal_reckoner::error::Code;
use decal_reckoner::legibility::contrast::{
    ADVISED, Contrast, ContrastInput, ContrastReport, Glass, LIGHTER, WCAG_GRAPHICS, WCAG_TEXT,
    luminance,
};
use palette::Srgb;
use palette::color_difference::Wcag21RelativeContrast as _;
use proptest::prelude::*;
use serde_json::{Value, json};

/// Whether both points of the advice are met: 70 % between them, and 45 of the lighter.
fn advised(report: &ContrastReport) -> bool {
    report.meets_advice && report.light_enough
}

fn input(value: Value) -> ContrastInput {
    serde_json::from_value(value).unwrap()
}

fn read(value: Value) -> Contrast {
    Contrast::read(&input(value)).unwrap().unwrap()
}

fn colours(film: &str, ground: &str) -> Contrast {
    read(json!({"by": "colours", "film": film, "ground": ground}))
}

fn reflectances(film: f64, ground: f64) -> Contrast {
    read(json!({"by": "reflectances", "filmReflectance": film, "groundReflectance": ground}))
}

/// Film and ground of these light reflectance values, seen through such glass.
fn window(glass: &str, film: f64, interior: f64, transmission: f64) -> Contrast {
    read(json!({
        "by": "reflectances", "glass": glass, "filmReflectance": film, "interior": interior,
        "transmission": transmission,
    }))
}

#[track_caller]
fn close(is: f64, should: f64, tolerance: f64) {
    assert!((is - should).abs() <= tolerance, "{is} is not {should}");
}

const BOTH_SIDES: [Glass; 2] = [Glass::Outside, Glass::Inside];

mod published {
    use super::*;

    /// Worked out of the formulas that WCAG 2.2 prints for contrast ratio and relative luminance, to
    /// 0.001; 1.4.3 asks for 4.5 of ordinary text, which red on white and #777777 on white are known to
    /// miss, and which #767676 on white, the darkest such grey, is known to meet.
    #[test]
    fn ratios_of_wcag() {
        for (film, ground, should, passes) in [
            ("#000000", "#ffffff", 21.000, true),
            ("#FF0000", "#FFFFFF", 3.998, false),
            ("#767676", "#ffffff", 4.542, true),
            ("#777777", "#ffffff", 4.478, false),
            ("#ffff00", "#000000", 19.556, true),
            ("#ffff00", "#ffffff", 1.074, false),
            ("#0000ff", "#ffffff", 8.592, true),
            ("#ff0000", "#000000", 5.252, true),
        ] {
            let contrast = colours(film, ground);
            close(contrast.wcag(), should, 0.000_5);
            assert_eq!(contrast.wcag() >= WCAG_TEXT, passes, "{film} on {ground}");
        }
    }

    /// Worked out of the formula of the 1991 ADA guidelines, A4.30.5, and of the proposal for ANSI
    /// A117.1: 80/85, 40/60, 49/70.
    #[test]
    fn contrasts_of_light_reflectance_values() {
        for (film, ground, should, meets) in [
            (85.0, 5.0, 0.9412, true),
            (5.0, 85.0, 0.9412, true),
            (60.0, 20.0, 0.6667, false),
            (70.0, 21.0, 0.7000, true),
        ] {
            let contrast = reflectances(film, ground);
            close(contrast.lrv().unwrap(), should, 0.000_05);
            assert_eq!(advised(&contrast.report()), meets, "{film} on {ground}");
        }
        let black = reflectances(0.0, 0.0);
        assert_eq!(black.lrv(), None);
        close(black.share(), 0.0, 0.0);
        close(black.wcag(), 1.0, 0.0);
    }

    #[test]
    fn figures_of_the_rules() {
        close(ADVISED, 0.70, 0.0);
        close(LIGHTER, 0.45, 0.0);
        close(WCAG_GRAPHICS, 3.0, 0.0);
        close(WCAG_TEXT, 4.5, 0.0);
    }
}

mod another_library {
    use super::*;

    /// The channels that the other library makes linear, weighted as WCAG prints it.
    fn weighted(colour: [u8; 3]) -> f64 {
        let linear = Srgb::from(colour).into_format::<f64>().into_linear();
        0.2126 * linear.red + 0.7152 * linear.green + 0.0722 * linear.blue
    }

    #[test]
    fn every_channel_value() {
        for channel in 0..=255 {
            for colour in [
                [channel; 3],
                [channel, 0, 0],
                [0, channel, 0],
                [0, 0, channel],
            ] {
                close(luminance(colour), weighted(colour), 1e-12);
            }
        }
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(4000))]

        #[test]
        fn colours_at_random(film: [u8; 3], ground: [u8; 3], short: bool, bare: bool, upper: bool) {
            close(luminance(film), weighted(film), 1e-12);
            // Its weights have more digits than those of WCAG: 0.2126729 for red.
            let [one, other] = [film, ground].map(|c| Srgb::from(c).into_format::<f64>());
            close(luminance(film), one.relative_luminance().luma, 1e-4);

            // What is written for a colour is read as the other library reads it.
            let written = |colour: [u8; 3]| {
                let [r, g, b] = colour;
                let text = if short {
                    format!("{:x}{:x}{:x}", r >> 4, g >> 4, b >> 4)
                } else {
                    format!("{r:02x}{g:02x}{b:02x}")
                };
                let text = if upper { text.to_uppercase() } else { text };
                if bare { text } else { format!("#{text}") }
            };
            let contrast = colours(&written(film), &written(ground));
            for (seen, text) in [(contrast.film, written(film)), (contrast.ground, written(ground))] {
                let known: Srgb<u8> = text.parse().unwrap();
                close(seen, luminance(known.into()), 0.0);
            }
            if !short {
                let ratio = one.relative_contrast(other);
                close(contrast.wcag(), ratio, 2e-3 * ratio);
                if (ratio - 3.0).abs() > 0.01 {
                    let report = contrast.report();
                    prop_assert_eq!(report.meets_graphics, one.has_min_contrast_graphics(other));
                }
            }
        }
    }
}

mod glass {
    use super::*;

    /// Glass that lets all light through mirrors none: film and ground are seen as without it.
    #[test]
    fn perfect_glass_is_none() {
        let plain = reflectances(85.0, 5.0);
        for side in ["outside", "inside"] {
            let seen = window(side, 85.0, 5.0, 100.0);
            close(seen.film, plain.film, 1e-15);
            close(seen.ground, plain.ground, 1e-15);
            // As light as what is behind it: nothing is to be seen.
            close(window(side, 40.0, 40.0, 100.0).lrv().unwrap(), 0.0, 1e-15);
        }
    }

    /// By default white film in front of a dark interior. 70 %, squared 0.49, of 5 % are 0.0245, and
    /// 0.08 are mirrored: 0.1045. White on the outside stays 0.85: 0.7455 / 0.85 = 0.8771, and
    /// 0.9 / 0.1545 = 5.825. On the inside it is 0.08 + 0.49 * 0.85 = 0.4965: 0.392 / 0.4965 = 0.7895,
    /// and 0.5465 / 0.1545 = 3.537.
    #[test]
    fn a_window_of_a_car() {
        for (side, film, lrv, wcag) in [
            ("outside", 0.85, 0.8771, 5.825),
            ("inside", 0.4965, 0.7895, 3.537),
        ] {
            let told = window(side, 85.0, 5.0, 70.0);
            assert_eq!(told, read(json!({"glass": side})));
            let empty = json!({"glass": side, "transmission": "", "interior": " "});
            assert_eq!(told, read(empty));
            close(told.film, film, 1e-12);
            close(told.ground, 0.1045, 1e-12);
            close(told.lrv().unwrap(), lrv, 0.000_05);
            close(told.wcag(), wcag, 0.000_5);
            assert!(told.is_light_on_dark());
        }
    }

    /// Tinted to 35 %, squared 0.1225: white inside is 0.08 + 0.104125 = 0.184125, the interior
    /// 0.08 + 0.006125 = 0.086125. 0.098 / 0.184125 = 0.53225, over 0.7 0.76036, of which the root is
    /// 0.87198.
    #[test]
    fn a_tinted_window() {
        let seen = window("inside", 85.0, 5.0, 35.0);
        close(seen.lrv().unwrap(), 0.53225, 0.000_005);
        close(seen.share(), 0.87198, 0.000_005);
    }

    /// Half-lit glass of 96 % mirrors no more than the 4 % that it does not let through: 0.9216 of 0.5
    /// and 0.04 are 0.5008.
    #[test]
    fn no_light_is_made() {
        close(
            window("inside", 50.0, 5.0, 96.0).film,
            0.04 + 0.9216 * 0.5,
            1e-12,
        );
        close(
            window("inside", 100.0, 5.0, 92.0).film,
            0.08 + 0.8464,
            1e-12,
        );
    }

    /// Through a hundredth of the light: 0.0001 * 0.8 / (0.08 + 0.0001 * 0.85) = 0.000999.
    #[test]
    fn behind_dark_glass_nothing_is_seen() {
        close(
            window("inside", 85.0, 5.0, 1.0).lrv().unwrap(),
            0.000_999,
            1e-6,
        );
        // On the outside white stands before 0.08 and next to nothing: 0.77 / 0.85.
        close(
            window("outside", 85.0, 5.0, 1.0).lrv().unwrap(),
            0.9059,
            0.000_05,
        );
        let black = window("inside", 85.0, 5.0, 1e-6);
        close(black.lrv().unwrap(), 0.0, 1e-12);
        close(black.share(), 0.0, 1e-6);
    }

    /// A lit room of 80 % behind clear glass of 90 %: 0.08 + 0.81 * 0.8 = 0.728, before which black
    /// stands out by 0.678 / 0.728 = 0.9313, and white by 0.1435.
    #[test]
    fn before_a_light_room_strong_contrast_is_dark() {
        let bright = json!({"glass": "outside", "transmission": "90 %", "interior": 80});
        let seen = read(bright);
        assert!(!seen.is_light_on_dark());
        close(seen.lrv().unwrap(), 0.9313, 0.000_05);
    }

    proptest! {
        /// Told by nothing, the film is as good as the best that there is.
        #[test]
        fn strong_contrast_is_the_strongest(
            film in 5.0..=85.0_f64, interior in 0.0..=100.0_f64, transmission in 0.1..=100.0_f64
        ) {
            for side in ["outside", "inside"] {
                let strong = read(json!({
                    "glass": side, "interior": interior, "transmission": transmission
                }));
                let other = window(side, film, interior, transmission);
                prop_assert!(strong.lrv().unwrap() + 1e-12 >= other.lrv().unwrap());
            }
        }

        /// Darker glass never raises the contrast of film behind it, nor of light film before it lowers
        /// it; all stays between black and white.
        #[test]
        fn tint(
            film in 0.0..=1.0_f64, behind in 0.0..=1.0_f64, one in 0.001..=1.0_f64,
            other in 0.001..=1.0_f64,
        ) {
            let (dark, clear) = (one.min(other), one.max(other));
            for side in BOTH_SIDES {
                let [darker, clearer] = [dark, clear].map(|transmission| {
                    Contrast::seen(film, behind, transmission, side)
                });
                for contrast in [darker, clearer] {
                    prop_assert!((0.0..=1.0 + 1e-12).contains(&contrast.film));
                    prop_assert!((0.0..=1.0 + 1e-12).contains(&contrast.ground));
                }
                if side == Glass::Inside {
                    prop_assert!(darker.lrv() <= clearer.lrv().map(|lrv| lrv + 1e-12));
                    prop_assert!(darker.share() <= clearer.share() + 1e-6);
                    prop_assert!(darker.is_light_on_dark() == (film > behind) || darker.share() < 1e-6);
                } else {
                    prop_assert!((darker.film - film).abs() <= 0.0);
                }
            }
        }
    }
}

mod laws {
    use super::*;

    proptest! {
        #[test]
        fn film_and_ground_may_change_places(film in 0.0..=100.0_f64, ground in 0.0..=100.0_f64) {
            let (one, other) = (reflectances(film, ground), reflectances(ground, film));
            close(one.wcag(), other.wcag(), 0.0);
            prop_assert_eq!(one.lrv(), other.lrv());
            close(one.share(), other.share(), 0.0);
            prop_assert!((1.0..=21.0 + 1e-9).contains(&one.wcag()));
            prop_assert!((0.0..=1.0).contains(&one.share()));
            prop_assert_eq!(one.is_light_on_dark(), film > ground);
        }

        /// Less contrast never reads farther: between the two of a pair lie those of less.
        #[test]
        fn less_difference_is_never_more(
            mut ends in prop::array::uniform4(0.0..=100.0_f64)
        ) {
            ends.sort_by(f64::total_cmp);
            let [least, less, more, most] = ends;
            let (wide, narrow) = (reflectances(most, least), reflectances(less, more));
            prop_assert!(narrow.share() <= wide.share());
            prop_assert!(narrow.lrv() <= wide.lrv());
            prop_assert!(narrow.wcag() <= wide.wcag());
        }

        /// No less than the advised contrast takes nothing off, and less does: a quarter of it leaves
        /// half the distance.
        #[test]
        fn share_of_the_distance(lighter in 1.0..=100.0_f64, contrast in 0.0..=1.0_f64) {
            let of = |contrast: f64| reflectances(lighter, lighter * (1.0 - contrast)).share();
            close(of(ADVISED + (1.0 - ADVISED) * contrast), 1.0, 1e-9);
            prop_assert!(of(ADVISED * 0.99 * contrast) < 1.0);
            close(of(ADVISED * contrast / 4.0), of(ADVISED * contrast) / 2.0, 1e-6);
        }

        /// What is shown and what is said about it agree, and nothing is shown as more than it is.
        #[test]
        fn figures_and_verdicts_agree(film in 0_u32..=1000, ground in 0_u32..=1000) {
            let contrast = reflectances(f64::from(film) / 10.0, f64::from(ground) / 10.0);
            let report = contrast.report();
            prop_assert_eq!(report.meets_graphics, report.wcag >= 3.0);
            let lighter = report.film_reflectance.max(report.ground_reflectance);
            let meets = report.lrv.is_some_and(|lrv| lrv >= 70.0) && lighter >= 45.0;
            prop_assert_eq!(advised(&report), meets);
            // By whole numbers: (B1 - B2) / B1 >= 7/10, and (B1 + 50) / (B2 + 50) >= 3 in tenths of
            // a percent.
            let (light, dark) = (film.max(ground), film.min(ground));
            prop_assert_eq!(meets, 10 * (light - dark) >= 7 * light && light >= 450);
            prop_assert_eq!(report.meets_graphics, light + 50 >= 3 * (dark + 50));
            let shown: f64 = report.wcag_text.strip_suffix(" : 1").unwrap().parse().unwrap();
            prop_assert!(shown <= contrast.wcag() + 1e-9 && shown > contrast.wcag() - 0.1);
        }
    }
}

mod reports {
    use super::*;

    /// 80/85 is 94.1 %; 0.9 / 0.1 is 9.
    #[test]
    fn white_on_black() {
        let report = serde_json::to_value(reflectances(85.0, 5.0).report()).unwrap();
        for (member, should) in [
            ("filmReflectance", json!(85.0)),
            ("groundReflectance", json!(5.0)),
            ("lrv", json!(94.0)),
            ("lrvText", json!("94 %")),
            ("wcag", json!(9.0)),
            ("wcagText", json!("9 : 1")),
            ("meetsAdvice", json!(true)),
            ("lightEnough", json!(true)),
            ("meetsGraphics", json!(true)),
            ("lightOnDark", json!(true)),
        ] {
            assert_eq!(report[member], should, "{member}");
        }
        assert_eq!(report["notes"].as_array().unwrap().len(), 1);
    }

    /// (24.6 + 5) / (5 + 5) is 2.96, which misses 3 and must not be shown as 3; (25 + 5) / (5 + 5) is 3.
    #[test]
    fn no_figure_looks_better_than_it_is() {
        let text = |film, ground| reflectances(film, ground).report().wcag_text;
        assert_eq!(text(24.6, 5.0), "2.9 : 1");
        assert_eq!(text(25.0, 5.0), "3 : 1");
        assert!(!reflectances(24.6, 5.0).report().meets_graphics);
        assert!(reflectances(25.0, 5.0).report().meets_graphics);
        // 41.8 / 60 is 69.67 %.
        assert_eq!(reflectances(60.0, 18.2).report().lrv_text, "69 %");
        // The contrast is strong, but both are dark.
        assert!(!advised(&reflectances(44.9, 5.0).report()));
        assert!(reflectances(44.9, 5.0).report().meets_advice);
        assert!(advised(&reflectances(45.0, 13.5).report()));
        let black = reflectances(0.0, 0.0).report();
        assert_eq!(
            (black.lrv, black.lrv_text.as_str()),
            (None, "none: both are black")
        );
        assert!(!black.meets_advice && !black.light_on_dark);
    }

    #[test]
    fn a_window_has_its_own_note() {
        for side in ["outside", "inside"] {
            let notes = read(json!({"glass": side})).report().notes;
            assert!(notes.iter().any(|note| note.contains("mirrored")), "{side}");
        }
        let plain = colours("#000", "#fff").report().notes;
        assert!(!plain.iter().any(|note| note.contains("mirrored")));
        assert!(plain.iter().any(|note| note.contains("screens")));
    }
}

mod inputs {
    use super::*;

    /// What is wrong, by path and code, in the order in which it is told; each has a hint.
    fn wrong(value: Value) -> Vec<(String, Code)> {
        let errors = Contrast::read(&input(value)).unwrap_err();
        let said = |text: &str| !text.is_empty() && text.chars().count() < 120;
        assert!(errors.iter().all(|e| said(&e.message) && said(&e.hint)));
        errors.iter().map(|e| (e.field.clone(), e.code)).collect()
    }

    #[test]
    fn nothing_is_asked_where_contrast_is_strong() {
        for value in [
            json!({}),
            json!({"by": "strong"}),
            json!({"by": "strong", "glass": "none", "film": "red", "filmReflectance": -3}),
        ] {
            assert_eq!(Contrast::read(&input(value)), Ok(None));
        }
    }

    #[test]
    fn what_is_not_asked_for_is_not_looked_at() {
        assert_eq!(
            read(
                json!({"by": "colours", "film": "#fff", "ground": "#000", "filmReflectance": "x",
                "transmission": "x", "interior": "x"})
            ),
            colours("#ffffff", "#000000"),
        );
        assert_eq!(
            read(
                json!({"by": "reflectances", "filmReflectance": "85 %", "ground": "x", "film": "x",
                "groundReflectance": "x", "glass": "inside"})
            ),
            window("inside", 85.0, 5.0, 70.0),
        );
    }

    #[test]
    fn light_reflectance_values_as_people_write_them() {
        for text in [
            "62.5", "62,5", " 62.5 % ", "62.5%", "62 1/2", "62½", "+62.5",
        ] {
            let seen = read(
                json!({"by": "reflectances", "filmReflectance": text, "groundReflectance": "0"}),
            );
            close(seen.film, 0.625, 0.0);
        }
        assert_eq!(
            read(json!({"by": "reflectances", "filmReflectance": 100, "groundReflectance": "-0"})),
            reflectances(100.0, 0.0)
        );
    }

    #[test]
    fn colours_that_are_none() {
        let long = "f".repeat(100_000);
        for (text, code) in [
            ("", Code::Missing),
            ("  ", Code::Missing),
            ("#", Code::NotANumber),
            ("#12345", Code::NotANumber),
            ("#1234567", Code::NotANumber),
            ("##123456", Code::NotANumber),
            ("#ffff", Code::NotANumber),
            ("#ggg", Code::NotANumber),
            ("+12345", Code::NotANumber),
            ("#-12345", Code::NotANumber),
            ("# fff", Code::NotANumber),
            ("red", Code::NotANumber),
            ("rgb(1,2,3)", Code::NotANumber),
            ("äöü", Code::NotANumber),
            ("é1", Code::NotANumber),
            ("٣٣٣", Code::NotANumber),
            ("🎨", Code::NotANumber),
            (&long, Code::NotANumber),
        ] {
            let film = json!({"by": "colours", "film": text, "ground": "#fff"});
            assert_eq!(wrong(film), [("film".to_owned(), code)], "{text:.30}");
            let ground = json!({"by": "colours", "film": "#fff", "ground": text});
            assert_eq!(wrong(ground), [("ground".to_owned(), code)], "{text:.30}");
        }
        let neither = [("film", Code::Missing), ("ground", Code::Missing)];
        assert_eq!(
            wrong(json!({"by": "colours"})),
            neither.map(|(path, code)| (path.to_owned(), code))
        );
    }

    #[test]
    fn shares_that_are_none() {
        let (long, huge) = ("9 ".repeat(50_000), format!("1{}", "0".repeat(400)));
        let values = [
            (json!("-3"), Code::TooSmall),
            (json!(-0.001), Code::TooSmall),
            (json!("101"), Code::TooLarge),
            (json!(100.001), Code::TooLarge),
            (json!("100.001 %"), Code::TooLarge),
            (json!("NaN"), Code::NotANumber),
            (json!("inf"), Code::NotANumber),
            (json!("1e2"), Code::NotANumber),
            (json!("50 %%"), Code::NotANumber),
            (json!("50 lux"), Code::NotANumber),
            (json!("½½"), Code::NotANumber),
            (json!("八十五"), Code::NotANumber),
            (json!("1,125"), Code::Ambiguous),
            (json!("%"), Code::Missing),
            (json!(huge), Code::TooLarge),
            (json!(1e300), Code::TooLarge),
            (json!(long), Code::NotANumber),
        ];
        for (value, code) in values {
            for path in [
                "filmReflectance",
                "groundReflectance",
                "transmission",
                "interior",
            ] {
                let glass = if path == "groundReflectance" {
                    "none"
                } else {
                    "inside"
                };
                let mut object = json!({
                    "by": "reflectances", "filmReflectance": 50, "groundReflectance": 5, "glass": glass
                });
                object[path] = value.clone();
                let expected = [(path.to_owned(), code)];
                assert_eq!(wrong(object), expected, "{:.40}", value.to_string());
            }
        }
        // Numbers that no text of JSON can hold.
        for (number, code) in [
            (f64::NAN, Code::NotANumber),
            (f64::INFINITY, Code::TooLarge),
            (f64::NEG_INFINITY, Code::TooSmall),
        ] {
            let input = ContrastInput {
                interior: Some(decal_reckoner::measure::NumberInput::Number(number)),
                ..input(json!({"glass": "outside"}))
            };
            let errors = Contrast::read(&input).unwrap_err();
            assert_eq!(
                (errors.first().field.as_str(), errors.first().code),
                ("interior", code)
            );
        }
    }

    #[test]
    fn glass_lets_something_through() {
        for nothing in [
            json!(0),
            json!("0 %"),
            json!("-0"),
            json!("0.0000000000000001"),
        ] {
            let errors = wrong(json!({"glass": "outside", "transmission": nothing}));
            assert_eq!(errors, [("transmission".to_owned(), Code::TooSmall)]);
        }
    }

    #[test]
    fn all_mistakes_are_told_at_once() {
        let all = json!({
            "by": "reflectances", "glass": "inside", "transmission": 0, "interior": 101
        });
        let expected = [
            ("filmReflectance", Code::Missing),
            ("transmission", Code::TooSmall),
            ("interior", Code::TooLarge),
        ];
        assert_eq!(
            wrong(all),
            expected.map(|(path, code)| (path.to_owned(), code))
        );
    }

    #[test]
    fn what_is_not_known_is_refused() {
        for value in [
            json!({"by": "feel"}),
            json!({"glass": "between"}),
            json!({"colour": "#fff"}),
        ] {
            assert!(serde_json::from_value::<ContrastInput>(value).is_err());
        }
    }
}
