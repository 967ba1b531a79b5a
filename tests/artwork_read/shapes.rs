//! Path data and basic shapes.

use super::{check, check_box, omitted, on_sheet, only, refused, sheet};
use decal_reckoner::artwork::outline::{Kind, Omission};
use kurbo::{BezPath, ParamCurve as _, ParamCurveArclen as _, PathEl, PathSeg, Point, Shape as _};
use std::f64::consts::PI;

fn path(data: &str) -> BezPath {
    only(&format!("<path d='{data}'/>"))
}

/// How many cubic curves there are.
fn cubics(path: &BezPath) -> usize {
    let is_cubic = |element: &&PathEl| matches!(element, PathEl::CurveTo(..));
    path.elements().iter().filter(is_cubic).count()
}

/// How far the points of all curves are from an ellipse, in parts of its greater radius, at most.
fn stray(path: &BezPath, centre: Point, radii: (f64, f64), turned: f64) -> f64 {
    let segments = path
        .segments()
        .filter(|segment| matches!(segment, PathSeg::Cubic(_)));
    segments
        .flat_map(|segment| (0..=50).map(move |step| segment.eval(f64::from(step) / 50.0)))
        .map(|point| {
            let (sin, cos) = turned.sin_cos();
            let from = point - centre;
            let (x, y) = (from.x * cos + from.y * sin, from.y * cos - from.x * sin);
            ((x / radii.0).hypot(y / radii.1) - 1.0).abs()
        })
        .fold(0.0, f64::max)
}

#[test]
fn commands_are_absolute_or_relative_and_repeat() {
    // SVG 2, 9.3.3 to 9.3.7: after a moveto come linetos; other commands repeat.
    check(&path("M10 10 20 10 20 20z"), "M10 10L20 10L20 20Z");
    check(&path("m10 10 10 0 0 10z"), "M10 10L20 10L20 20Z");
    check(
        &path("M10,10H20V20H15 10Z"),
        "M10 10L20 10L20 20L15 20L10 20Z",
    );
    check(
        &path("m10 10h10v10h-5-5z"),
        "M10 10L20 10L20 20L15 20L10 20Z",
    );
    check(
        &path("M0 0C1 2 3 4 5 0 6-4 8-2 9 0Z"),
        "M0 0C1 2 3 4 5 0C6 -4 8 -2 9 0Z",
    );
    check(
        &path("M1 1c1 2 3 4 5 0 1-4 3-2 4 0z"),
        "M1 1C2 3 4 5 6 1C7 -3 9 -1 10 1Z",
    );
    check(
        &path("M0 0Q5 9 10 0 15-9 20 0z"),
        "M0 0Q5 9 10 0Q15 -9 20 0Z",
    );
}

#[test]
fn numbers_need_no_more_than_tells_them_apart() {
    // SVG 2, 9.3.9, the grammar.
    check(&path("M.5.5l9-.25-.5 9.5z"), "M0.5 0.5L9.5 0.25L9 9.75Z");
    check(&path("M1e1-1e0L2E+1,5e0 1.5e1 8z"), "M10 -1L20 5L15 8Z");
}

#[test]
fn smooth_curves_mirror_the_control_point_of_a_curve_of_their_kind_only() {
    // SVG 2, 9.5.2.
    check(
        &path("M0 0C0 5 5 5 5 0S10-5 10 0z"),
        "M0 0C0 5 5 5 5 0C5 -5 10 -5 10 0Z",
    );
    check(&path("M0 0L5 0S10-5 10 5z"), "M0 0L5 0C5 0 10 -5 10 5Z");
    check(
        &path("M0 0Q2 4 4 0T8 0T12 0z"),
        "M0 0Q2 4 4 0Q6 -4 8 0Q10 4 12 0Z",
    );
    check(&path("M0 0C0 5 5 5 5 0T9 4z"), "M0 0C0 5 5 5 5 0Q5 0 9 4Z");
    check(&path("M0 0Q2 4 4 0S9 9 8 0z"), "M0 0Q2 4 4 0C4 0 9 9 8 0Z");
}

#[test]
fn after_a_close_the_next_subpath_begins_where_the_last_one_did() {
    // SVG 2, 9.3.4.
    check(
        &path("M10 10H20V20zl-5 0v5z"),
        "M10 10L20 10L20 20ZM10 10L5 10L5 15Z",
    );
    check(
        &path("m10 10h10v10zm5 5h5v5z"),
        "M10 10L20 10L20 20ZM15 15L20 15L20 20Z",
    );
}

#[test]
fn data_with_a_mistake_are_drawn_up_to_it() {
    // SVG 2, 9.5.4: and the mistake is counted.
    for (data, shown) in [
        ("M10 10H20V20 L 5", "M10 10L20 10L20 20"),
        ("M10 10H20V20X5 5", "M10 10L20 10L20 20"),
        ("M10 10H20V20z5 5", "M10 10L20 10L20 20Z"),
        ("M10 10H20V20A5 5 0 2 0 9 9", "M10 10L20 10L20 20"),
        ("M10 10H20V20L1e999 5", "M10 10L20 10L20 20"),
    ] {
        let art = on_sheet(&format!("<path d='{data}'/>"));
        check(&art.shapes[0].path, shown);
        assert_eq!(omitted(&art, Omission::Broken), 1, "{data}");
    }
    let art = on_sheet("<path d='L10 10H20V20'/><path d='M10 10H20V20z'/>");
    assert_eq!((art.shapes.len(), omitted(&art, Omission::Broken)), (1, 1));
}

#[test]
fn arcs_lie_on_their_ellipse_to_a_millionth() {
    // SVG 2, 9.3.8 and B.2.4: the centre of a half circle is the middle of its chord.
    let half = path("M10 50A40 40 0 0 1 90 50z");
    assert!(stray(&half, Point::new(50.0, 50.0), (40.0, 40.0), 0.0) < 1e-6);
    check_box(half.bounding_box(), [10.0, 10.0, 90.0, 50.0]);
    // The quarter of an ellipse whose ends are its vertices, the small and the large part.
    let quarter = path("M80 50A30 20 0 0 1 50 70L50 50z");
    assert!(stray(&quarter, Point::new(50.0, 50.0), (30.0, 20.0), 0.0) < 1e-6);
    check_box(quarter.bounding_box(), [50.0, 50.0, 80.0, 70.0]);
    let rest = path("M80 50A30 20 0 1 0 50 70z");
    assert!(stray(&rest, Point::new(50.0, 50.0), (30.0, 20.0), 0.0) < 1e-6);
    check_box(rest.bounding_box(), [20.0, 30.0, 80.0, 70.0]);
    // Turned by 90 degrees the radii change places.
    let turned = path("M70 50A30 20 90 0 1 30 50z");
    assert!(stray(&turned, Point::new(50.0, 50.0), (30.0, 20.0), PI / 2.0) < 1e-6);
}

#[test]
fn the_flags_of_an_arc_choose_its_side() {
    // SVG 2, 9.3.8: sweep 1 goes through increasing angles, which is clockwise on a page with y downwards.
    for (flags, x0, x1) in [
        ("0 0", 20.0, 30.0),
        ("0 1", 20.0, 30.0),
        ("1 0", 10.0, 30.0),
        ("1 1", 20.0, 40.0),
    ] {
        let bounds = path(&format!("M20 20A10 10 0 {flags} 30 30z")).bounding_box();
        assert!(
            (bounds.x0 - x0).abs() < 1e-4 && (bounds.x1 - x1).abs() < 1e-4,
            "{flags}: {bounds:?}"
        );
    }
    check(
        &path("M0 0a5 5 0 012 3z").elements()[..1]
            .iter()
            .copied()
            .collect(),
        "M0 0",
    );
}

#[test]
fn arcs_out_of_range_are_mended_as_the_rules_say() {
    // SVG 2, 9.5.1: no radius is a line, one below zero counts as above, one too small grows.
    check(
        &path("M10 10A0 5 0 0 1 20 10L20 20z"),
        "M10 10L20 10L20 20Z",
    );
    check_box(
        path("M10 50A-40-40 0 0 1 90 50z").bounding_box(),
        [10.0, 10.0, 90.0, 50.0],
    );
    check_box(
        path("M10 50A1 1 0 0 1 90 50z").bounding_box(),
        [10.0, 10.0, 90.0, 50.0],
    );
    // The same ends: no arc at all.
    check(
        &path("M10 10A5 5 0 1 1 10 10L20 10V20z"),
        "M10 10L20 10L20 20Z",
    );
}

#[test]
fn what_has_no_length_is_dropped() {
    check(
        &path("M0 0M5 5M10 10L20 10L20 10V20V20C20 20 20 20 20 20L10 20zM9 9"),
        "M10 10L20 10L20 20L10 20Z",
    );
    check(
        &path("M10 10H20V20zM30 30zM40 40L40 40zM50 50H60V60z"),
        "M10 10L20 10L20 20ZM50 50L60 50L60 60Z",
    );
}

#[test]
fn a_subpath_that_ends_where_it_began_is_closed_and_another_one_stays_open() {
    check(&path("M10 10H20V20L10 10"), "M10 10L20 10L20 20L10 10Z");
    // To within a millionth of the greater side, here 10.
    check(
        &path("M10 10H20V20L10.000005 10"),
        "M10 10L20 10L20 20L10 10Z",
    );
    check(
        &path("M10 10H20V20L10.0001 10"),
        "M10 10L20 10L20 20L10.0001 10",
    );
    check(&path("M10 10H20V20"), "M10 10L20 10L20 20");
}

#[test]
fn rectangles_begin_at_their_corner_and_go_clockwise() {
    // SVG 2, 10.2.
    check(
        &only("<rect x='10' y='20' width='30' height='40'/>"),
        "M10 20L40 20L40 60L10 60Z",
    );
    // The defaults of x and y are zero.
    check(
        &only("<rect width='30' height='40'/>"),
        "M0 0L30 0L30 40L0 40Z",
    );
}

#[test]
fn a_rectangle_without_a_side_is_not_drawn() {
    // SVG 2, 10.2 and 7.7: zero draws nothing, below zero is a mistake.
    for sides in [
        "width='10'",
        "height='10'",
        "width='0' height='9'",
        "width='-5' height='9'",
    ] {
        refused(&sheet(&format!("<rect {sides}/>")));
    }
}

/// The points where the straight lines of a path begin and end.
fn lines(path: &BezPath) -> Vec<[f64; 4]> {
    path.segments()
        .filter_map(|segment| match segment {
            PathSeg::Line(line) => Some([line.p0.x, line.p0.y, line.p1.x, line.p1.y]),
            _ => None,
        })
        .collect()
}

#[test]
fn the_radii_of_a_rectangle_follow_each_other_and_end_at_half_a_side() {
    // SVG 2, 10.2.
    let rect = |radii: &str| only(&format!("<rect width='40' height='20' {radii}/>"));
    let two = [
        [5.0, 0.0, 35.0, 0.0],
        [40.0, 5.0, 40.0, 15.0],
        [35.0, 20.0, 5.0, 20.0],
        [0.0, 15.0, 0.0, 5.0],
    ];
    assert_eq!(lines(&rect("rx='5' ry='5'")).len(), 4);
    for radii in [
        "rx='5' ry='5'",
        "rx='5'",
        "ry='5'",
        "rx='5' ry='auto'",
        "rx='5' ry='-1'",
    ] {
        for (line, expected) in lines(&rect(radii)).iter().zip(two) {
            assert!(
                line.iter()
                    .zip(expected)
                    .all(|(one, other)| (one - other).abs() < 1e-9),
                "{radii}: {line:?}"
            );
        }
    }
    // Half of the height at most: the sides are half circles then.
    let pill = rect("rx='99' ry='99'");
    assert!(lines(&pill).is_empty());
    assert!((pill.area().abs() - PI * 20.0 * 10.0).abs() < 1e-3);
    let pill = rect("rx='10' ry='99'");
    assert!((pill.area().abs() - (20.0 * 20.0 + PI * 100.0)).abs() < 1e-3);
    // A radius of zero makes corners.
    check(&rect("rx='0' ry='5'"), "M0 0L40 0L40 20L0 20Z");
    check_box(pill.bounding_box(), [0.0, 0.0, 40.0, 20.0]);
}

#[test]
fn circles_and_ellipses_are_round_to_a_millionth() {
    // SVG 2, 10.3 and 10.4; the area of an ellipse, and the length of a circle.
    let circle = only("<circle cx='50' cy='40' r='30'/>");
    assert!(stray(&circle, Point::new(50.0, 40.0), (30.0, 30.0), 0.0) < 1e-6);
    let length: f64 = circle.segments().map(|segment| segment.arclen(1e-9)).sum();
    assert!((length - 2.0 * PI * 30.0).abs() < 1e-4);
    let ellipse = only("<ellipse cx='50' cy='40' rx='30' ry='20'/>");
    assert!((ellipse.area().abs() - PI * 600.0).abs() < 1e-3);
    check_box(ellipse.bounding_box(), [20.0, 20.0, 80.0, 60.0]);
    // One radius that is not given, or `auto`, is the other one.
    check_box(
        only("<ellipse cx='50' cy='50' rx='30'/>").bounding_box(),
        [20.0, 20.0, 80.0, 80.0],
    );
    check_box(
        only("<ellipse cx='50' cy='50' rx='auto' ry='9'/>").bounding_box(),
        [41.0, 41.0, 59.0, 59.0],
    );
    refused(&sheet(
        "<circle cx='50' cy='50'/><circle r='-3'/><ellipse rx='5' ry='0'/>",
    ));
    assert_eq!(cubics(&circle) % 4, 0);
}

#[test]
fn lines_and_polylines_are_open_and_polygons_closed() {
    // SVG 2, 10.5 to 10.7.
    check(
        &only("<line x1='1' y1='2' x2='30' y2='4' stroke='red'/>"),
        "M1 2L30 4",
    );
    check(
        &only("<polyline points='10,10 20,10 20,20'/>"),
        "M10 10L20 10L20 20",
    );
    check(
        &only("<polygon points='10 10 20 10-5,20'/>"),
        "M10 10L20 10L-5 20Z",
    );
    // A number too many is a mistake, up to which they are drawn.
    let art = on_sheet("<polygon points='10 10 20 10 20 20 5'/>");
    check(&art.shapes[0].path, "M10 10L20 10L20 20Z");
    assert_eq!(omitted(&art, Omission::Broken), 1);
}

#[test]
fn a_line_has_no_inside_and_so_no_fill() {
    // SVG 2, 10.5: nothing of a `line` is filled. The same goes for what lies on one straight line.
    for shape in [
        "<line x2='30' y2='40' stroke='red'/>",
        "<path d='M0 0L30 40' stroke='red'/>",
        "<path d='M0 0L30 40 0 0z' stroke='red'/>",
        "<path d='M0 0C3 4 6 8 30 40' stroke='red'/>",
    ] {
        let art = on_sheet(shape);
        assert_eq!(
            (art.shapes[0].kind, art.shapes[0].colour.0),
            (Kind::Line, super::RED),
            "{shape}"
        );
    }
    assert_eq!(
        omitted(
            &on_sheet("<path d='M0 0L30 40'/><rect width='1' height='1'/>"),
            Omission::Hidden
        ),
        1
    );
}

#[test]
fn lengths_have_units() {
    // CSS Values and Units 3, 6.2: 1 in = 2.54 cm = 96 px = 72 pt = 6 pc; here a unit is a millimetre, but a pixel is
    // still a unit.
    let width = |length: &str| {
        only(&format!("<rect width='{length}' height='9'/>"))
            .bounding_box()
            .width()
    };
    for (length, units) in [
        ("12", 12.0),
        ("12px", 12.0),
        ("0.5in", 48.0),
        ("0.5IN", 48.0),
        ("1.27cm", 48.0),
        ("12.7mm", 48.0),
        ("36pt", 48.0),
        ("3pc", 48.0),
        // Of the view box's width (SVG 2, 8.9), and of the default size of type, 16 px.
        ("25%", 25.0),
        ("2em", 32.0),
        ("2ex", 16.0),
    ] {
        assert!(
            (width(length) - units).abs() < 1e-9,
            "{length}: {}",
            width(length)
        );
    }
    let of_font =
        only("<g font-size='20'><g font-size='150%'><rect width='1em' height='2ex'/></g></g>");
    check_box(of_font.bounding_box(), [0.0, 0.0, 30.0, 30.0]);
}

#[test]
fn percentages_are_of_the_width_the_height_or_the_diagonal() {
    // SVG 2, 8.9: sqrt((30² + 40²) / 2) = 25 √2.
    let text = "<svg xmlns='http://www.w3.org/2000/svg' width='30mm' height='40mm' viewBox='0 0 30 40'>\
                <circle cx='50%' cy='50%' r='10%'/></svg>";
    let bounds = super::drawn(text).bounds();
    let radius = 0.1 * 25.0 * 2.0_f64.sqrt();
    check_box(
        bounds,
        [15.0 - radius, 20.0 - radius, 15.0 + radius, 20.0 + radius],
    );
}
