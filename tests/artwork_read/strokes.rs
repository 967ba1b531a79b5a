//! Strokes turned into outlines.

use super::{BLUE, RED, check_box, drawn, omitted, paints, sheet};
use decal_reckoner::artwork::outline::{Artwork, Kind, Omission};
use decal_reckoner::artwork::read::{ReadOptions, read};
use kurbo::{Point, Rect, Shape as _};
use std::f64::consts::PI;

fn stroked(inside: &str) -> Artwork {
    read(&sheet(inside), &ReadOptions { strokes: true }).expect("a drawing")
}

/// The box and the area of the only stroke on a sheet, whose outline does not cross itself.
fn stroke(inside: &str) -> (Rect, f64) {
    let art = stroked(inside);
    assert_eq!(art.shapes.len(), 1, "{art:?}");
    let shape = &art.shapes[0];
    assert_eq!(shape.kind, Kind::Stroke);
    (shape.path.bounding_box(), shape.path.area().abs())
}

/// Whether a point is inside of the only stroke on a sheet.
fn covers(inside: &str, point: (f64, f64)) -> bool {
    stroked(inside).shapes[0].path.winding(Point::from(point)) != 0
}

#[test]
fn every_stroke_that_shows_becomes_its_outline_above_its_fill() {
    let art = stroked(
        "<rect x='10' y='10' width='20' height='20' fill='red' stroke='blue' stroke-width='2'/>",
    );
    let kinds: Vec<Kind> = art.shapes.iter().map(|shape| shape.kind).collect();
    assert_eq!(
        (kinds, paints(&art)),
        (vec![Kind::Fill, Kind::Stroke], vec![RED, BLUE])
    );
    // SVG 2, 13.8.
    let art =
        stroked("<rect width='20' height='20' fill='red' stroke='blue' paint-order='stroke'/>");
    assert_eq!(paints(&art), [BLUE, RED]);
    for hidden in [
        "stroke-width='0'",
        "stroke-opacity='0'",
        "stroke-width='-1'",
    ] {
        let art = stroked(&format!(
            "<rect width='20' height='20' stroke='none' {hidden}/>"
        ));
        assert_eq!(art.shapes.len(), 1);
    }
}

#[test]
fn the_width_of_a_stroke_is_half_on_each_side() {
    // SVG 2, 13.5.3 and 13.5.4.
    let (bounds, area) = stroke("<path d='M10 20H50' stroke='red' stroke-width='4'/>");
    check_box(bounds, [10.0, 18.0, 50.0, 22.0]);
    assert!((area - 160.0).abs() < 1e-6);
    let (bounds, area) =
        stroke("<path d='M10 20H50' stroke='red' stroke-width='4' stroke-linecap='square'/>");
    check_box(bounds, [8.0, 18.0, 52.0, 22.0]);
    assert!((area - 176.0).abs() < 1e-6);
    let (bounds, area) =
        stroke("<path d='M10 20H50' stroke='red' stroke-width='4' stroke-linecap='round'/>");
    assert!((bounds.x0 - 8.0).abs() < 1e-2 && (bounds.x1 - 52.0).abs() < 1e-2);
    assert!((area - (160.0 + PI * 4.0)).abs() < 1e-2, "{area}");
}

#[test]
fn joins_are_mitred_rounded_or_cut_off() {
    // SVG 2, 13.5.5: a right angle has a mitre of √2 times the width, which is within the limit of 4, not within 1.4.
    let corner = |join: &str| {
        format!("<path d='M10 50H50V90' fill='none' stroke='red' stroke-width='10' {join}/>")
    };
    for (join, at_corner, at_bevel) in [
        ("", true, true),
        ("stroke-linejoin='miter'", true, true),
        ("stroke-miterlimit='1.4'", false, false),
        ("stroke-miterlimit='1.5'", true, true),
        ("stroke-linejoin='bevel'", false, false),
        // The round one covers what is within 5 of the corner.
        ("stroke-linejoin='round'", false, true),
    ] {
        assert_eq!(covers(&corner(join), (54.5, 45.5)), at_corner, "{join}");
        assert_eq!(covers(&corner(join), (53.2, 46.8)), at_bevel, "{join}");
    }
}

#[test]
fn the_stroke_of_a_circle_is_a_ring() {
    let (bounds, area) =
        stroke("<circle cx='50' cy='50' r='30' fill='none' stroke='red' stroke-width='6'/>");
    check_ring(bounds, 33.0);
    assert!(
        (area - PI * (33.0 * 33.0 - 27.0 * 27.0)).abs() < 0.1,
        "{area}"
    );
}

fn check_ring(bounds: Rect, radius: f64) {
    let far = [
        50.0 - radius - bounds.x0,
        50.0 - radius - bounds.y0,
        50.0 + radius - bounds.x1,
        50.0 + radius - bounds.y1,
    ];
    assert!(far.iter().all(|far| far.abs() < 2e-3), "{bounds:?}");
}

#[test]
fn a_stroke_is_made_before_its_transform() {
    // SVG 2, 13.5: the stroke is scaled with the shape, more in one direction than in the other here.
    let (bounds, _) =
        stroke("<path transform='scale(1 3)' d='M10 10H50' stroke='red' stroke-width='4'/>");
    check_box(bounds, [10.0, 24.0, 50.0, 36.0]);
    let (_, area) =
        stroke("<path transform='skewX(45)' d='M10 10H50' stroke='red' stroke-width='4'/>");
    assert!((area - 160.0).abs() < 1e-6);
    // SVG 2, 8.13: unless its width stays that of the page, here 96/25.4 pixels a millimetre.
    let (bounds, _) = stroke(
        "<path transform='scale(1 3)' vector-effect='non-scaling-stroke' d='M10 10H50' stroke='red' stroke-width='37.7952755906'/>",
    );
    check_box(bounds, [10.0, 25.0, 50.0, 35.0]);
}

#[test]
fn dashes_divide_a_stroke() {
    // SVG 2, 13.5.6: 10 on, 5 off along 40 is 10 + 10 + 10; an odd list is repeated; the offset begins within it.
    for (dashes, area) in [
        ("stroke-dasharray='10 5'", 30.0),
        ("stroke-dasharray='10,5'", 30.0),
        ("stroke-dasharray='10'", 20.0),
        ("stroke-dasharray='10 5' stroke-dashoffset='10'", 25.0),
        ("stroke-dasharray='10 5' stroke-dashoffset='-5'", 25.0),
        ("stroke-dasharray='20 10 5'", 25.0),
        ("stroke-dasharray='10%'", 20.0),
        ("stroke-dasharray='none'", 40.0),
        ("stroke-dasharray='0 0'", 40.0),
        ("stroke-dasharray='5 -5'", 40.0),
        ("stroke-dasharray='rubbish'", 40.0),
        ("style='stroke-dasharray:10px, 5px'", 30.0),
    ] {
        let (_, found) = stroke(&format!(
            "<path d='M10 20H50' stroke='red' stroke-width='1' {dashes}/>"
        ));
        assert!((found - area).abs() < 1e-3, "{dashes}: {found}");
    }
}

#[test]
fn a_dot_is_a_cap_alone() {
    // SVG 2, 13.5.4: a subpath of zero length shows with round and square caps, not with butt ones.
    for (shape, area) in [
        (
            "<path d='M20 20z' stroke='red' stroke-width='4' stroke-linecap='round'/>",
            PI * 4.0,
        ),
        (
            "<path d='M20 20L20 20' stroke='red' stroke-width='4' stroke-linecap='round'/>",
            PI * 4.0,
        ),
        (
            "<path d='M20 20h0' stroke='red' stroke-width='4' stroke-linecap='square'/>",
            16.0,
        ),
        (
            "<line x1='20' y1='20' x2='20' y2='20' stroke='red' stroke-width='4' stroke-linecap='square'/>",
            16.0,
        ),
    ] {
        let (bounds, found) = stroke(shape);
        check_box(bounds, [18.0, 18.0, 22.0, 22.0]);
        assert!((found - area).abs() < 1e-3, "{shape}: {found}");
    }
    let art = stroked(
        "<path d='M20 20z' stroke='red' stroke-width='4'/><path d='M20 20' stroke='red' stroke-linecap='round'/><rect width='9' height='9'/>",
    );
    assert_eq!(art.shapes.len(), 1);
}

#[test]
fn a_subpath_that_only_ends_where_it_began_has_caps_and_one_that_is_closed_a_join() {
    // SVG 2, 13.5.4 and 9.3.4.
    let square = |close: &str| {
        format!("<path d='M10 10H50V50H10V10{close}' fill='none' stroke='red' stroke-width='4'/>")
    };
    assert!(covers(&square("z"), (8.5, 8.5)));
    assert!(!covers(&square(""), (8.5, 8.5)));
}

#[test]
fn without_strokes_dots_and_dashes_are_not_cut() {
    let art = drawn(&sheet(
        "<path d='M20 20z' stroke='red' stroke-linecap='round'/><path d='M10 20H50' stroke='red' stroke-dasharray='5'/>",
    ));
    assert_eq!((art.shapes.len(), omitted(&art, Omission::Hidden)), (1, 1));
    super::check(&art.shapes[0].path, "M10 20L50 20");
}
