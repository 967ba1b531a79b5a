//! Codes that cameras read: another library reads what they say.

use decal_reckoner::drawing::code;
use decal_reckoner::error::Code;
use proptest::prelude::*;

/// What a reader of codes sees in the picture, four pixels a module: the picture is the text of an SVG file, in which
/// each dark bar is `M x y h wide v1 h -wide z`.
fn seen(svg: &str) -> Option<String> {
    let between = |from: &str, to: &str| {
        let after = svg.split_once(from)?.1;
        Some(after.split_once(to)?.0.to_owned())
    };
    let side: usize = between("viewBox=\"0 0 ", " ")?.parse().ok()?;
    let path = between(" d=\"", "\"")?;
    let mut dark = vec![false; side * side];
    for bar in path.split('z').filter(|bar| !bar.is_empty()) {
        let (x, rest) = bar.strip_prefix('M')?.split_once(' ')?;
        let (y, rest) = rest.split_once('h')?;
        let (wide, _) = rest.split_once("v1h-")?;
        let (x, y, wide): (usize, usize, usize) =
            (x.parse().ok()?, y.parse().ok()?, wide.parse().ok()?);
        dark[y * side + x..][..wide].fill(true);
    }
    let pixels = side * 4;
    let light = |x: usize, y: usize| if dark[y / 4 * side + x / 4] { 0 } else { 255 };
    let mut image = rqrr::PreparedImage::prepare_from_greyscale(pixels, pixels, light);
    let grids = image.detect_grids();
    let (_, text) = grids.first()?.decode().ok()?;
    Some(text)
}

/// ISO/IEC 18004 leaves four modules empty around a code (from memory).
#[test]
fn nothing_is_within_four_modules_of_the_edge() {
    let svg = code("https://heron-lake.example/shop.html", "a code")
        .unwrap()
        .to_svg();
    for bar in svg.split('M').skip(1) {
        let (x, rest) = bar.split_once(' ').unwrap();
        let y = rest.split_once('h').unwrap().0;
        assert!(
            x.parse::<u32>().unwrap() >= 4 && y.parse::<u32>().unwrap() >= 4,
            "{bar}"
        );
    }
    assert!(svg.contains("aria-label=\"a code\""), "{svg}");
}

#[test]
fn what_does_not_fit_is_refused() {
    // Level M of the largest version holds 2,331 bytes: ISO/IEC 18004, table of capacities (from memory).
    assert!(code(&"x".repeat(2_331), "").is_ok());
    let error = code(&"x".repeat(2_332), "").unwrap_err();
    assert_eq!(error.code, Code::TooLarge);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]

    #[test]
    fn another_library_reads_the_text(path in "[a-z0-9%&=.-]{0,400}") {
        let text = format!("https://heron-lake.example/shop.html#{path}");
        let svg = code(&text, "").unwrap().to_svg();
        prop_assert_eq!(seen(&svg), Some(text));
    }
}
