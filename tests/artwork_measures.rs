//! What drawings measure, against libraries that have nothing to do with ours, on public icons
//! (`tests/data/artwork/measures.py`).

use decal_reckoner::artwork::join::{Split, join};
use decal_reckoner::artwork::measures::{Measures, bounds, letter_heights};
use decal_reckoner::artwork::outline::Artwork;
use decal_reckoner::artwork::read::{ReadOptions, read};
use kurbo::{ParamCurve as _, Shape as _};
use std::fs;
use std::path::Path;

fn file(name: &str) -> String {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/artwork");
    fs::read_to_string(folder.join(name)).unwrap()
}

fn drawing(svg: &str, strokes: bool) -> Artwork {
    read(svg, &ReadOptions { strokes }).unwrap()
}

#[test]
fn icons_measure_what_other_libraries_say() {
    let table = file("measures.csv");
    let mut wrong = Vec::new();
    for line in table.lines().skip(2) {
        let cells: Vec<&str> = line.split(',').collect();
        let number = |place: usize| -> f64 { cells[place].parse().unwrap() };
        let strokes = cells[1] == "1";
        let svg = file(&format!("icons/{}", cells[0]));
        let length = |artwork: &Artwork| -> f64 {
            artwork
                .shapes
                .iter()
                .map(|shape| shape.path.perimeter(1e-7))
                .sum()
        };
        let artwork = drawing(&svg, strokes);
        let joined = join(&artwork, Split::default()).unwrap();
        let film = &joined.films[0];
        let measures = Measures::of(film);
        let bounds = bounds(film);
        let drawn = length(&drawing(&svg, false));
        for (what, is, should, part) in [
            ("length as drawn", drawn, number(2), 1e-3),
            ("area", measures.stays, number(3), 1e-3),
            ("cut", measures.cut, number(4), 1e-3),
            ("pieces", f64::from(measures.pieces), number(5), 0.0),
            ("islands", f64::from(measures.islands), number(6), 0.0),
            ("width", bounds.width(), number(9), 1e-3),
            ("height", bounds.height(), number(10), 1e-3),
        ] {
            if (is - should).abs() > part * should {
                wrong.push(format!("{}: {what} {is}, not {should}", cells[0]));
            }
        }
        for (is, should) in [(bounds.x0, number(7)), (bounds.y0, number(8))] {
            if (is - should).abs() > 1e-3 * bounds.width() {
                wrong.push(format!("{}: it begins at {is}, not {should}", cells[0]));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// Nine upright letters of three heights on two lines: 10 mm high capitals, of which a round one reaches 2 % over them
/// at both ends, and small ones of 7 mm; a rule under them is no letter.
#[test]
fn heights_of_letters_are_found() {
    let letters = [0, 8, 16, 24, 32]
        .map(|x| format!(r#"<path d="M{x} 2h6v10h-6zM{x} 25h4v7h-4z"/>"#))
        .concat();
    let svg = format!(
        r#"<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="40mm" viewBox="0 0 100 40">{letters}
        <ellipse cx="46" cy="7" rx="4" ry="5.2"/><rect x="0" y="35" width="60" height="2"/></svg>"#
    );
    let joined = join(&drawing(&svg, false), Split::default()).unwrap();
    let found: Vec<(f64, u32)> = letter_heights(&joined.films)
        .iter()
        .map(|one| ((one.height * 1e6).round() / 1e6, one.count))
        .collect();
    assert_eq!(found, [(10.0, 6), (7.0, 5)]);
}

/// Squares of a side of 1 in a row, 2 from corner to corner: the blade travels twice the pitch between three of them.
#[test]
fn the_blade_travels_to_the_nearest_start() {
    let svg = r#"<svg xmlns="http://www.w3.org/2000/svg" width="10mm" height="10mm" viewBox="0 0 10 10">
        <path d="M0 0h1v1h-1zM8 0h1v1h-1zM4 0h1v1h-1z"/></svg>"#;
    let joined = join(&drawing(svg, false), Split::default()).unwrap();
    let measures = Measures::of(&joined.films[0]);
    assert!((measures.travel - 8.0).abs() < 1e-6, "{}", measures.travel);
    assert!((measures.cut - 12.0).abs() < 1e-9);
}

/// The blade is set down where the saved path begins: at the corner that is highest, and of those the left one. Squares
/// of unlike sizes, 50 from corner to corner.
#[test]
fn the_blade_starts_where_the_path_begins() {
    for (one, other) in [(10, 20), (20, 10), (3, 31)] {
        let svg = format!(
            r#"<svg xmlns="http://www.w3.org/2000/svg" width="90mm" height="40mm" viewBox="0 0 90 40">
            <path d="M0 {one}h{one}v-{one}h-{one}z"/><path d="M50 0h{other}v{other}h-{other}z"/></svg>"#
        );
        let joined = join(&drawing(&svg, false), Split::default()).unwrap();
        let measures = Measures::of(&joined.films[0]);
        assert!((measures.travel - 50.0).abs() < 1e-6, "{}", measures.travel);
    }
}

/// Of more than 5000 outlines, the nearest of the next 5000 that are left, in their order: told again by a list from which
/// they are taken one by one.
#[test]
fn the_nearest_of_the_next_5000_is_travelled_to() {
    // Multiples of the golden section are spread evenly (Weyl; from memory).
    let part = |number: u32, by: f64| (f64::from(number) * by).fract() * 900.0;
    let square = |number: u32| {
        let (x, y) = (
            part(number, 0.618_033_988_749_894),
            f64::from(number) * 0.17,
        );
        format!("M{x:.4} {y:.4}h.1v.1h-.1z")
    };
    let squares = (0..5_300).map(square).collect::<Vec<_>>().concat();
    let svg = format!(
        r#"<svg xmlns="http://www.w3.org/2000/svg" width="1000mm" height="1000mm" viewBox="0 0 1000 1000">
        <path d="{squares}"/></svg>"#
    );
    let joined = join(&drawing(&svg, false), Split::default()).unwrap();
    let contours = &joined.films[0].contours;
    assert_eq!(contours.len(), 5_300);
    let mut left: Vec<_> = contours
        .iter()
        .map(|contour| contour.path.segments().next().unwrap().start())
        .collect();
    let (mut at, mut way) = (left.remove(0), 0.0);
    while !left.is_empty() {
        let next = (0..left.len().min(5_000))
            .min_by(|a, b| at.distance(left[*a]).total_cmp(&at.distance(left[*b])))
            .unwrap();
        let next = left.remove(next);
        way += at.distance(next);
        at = next;
    }
    let is = Measures::of(&joined.films[0]).travel;
    assert!((is - way).abs() < 1e-6 * way, "{is} is not {way}");
}
