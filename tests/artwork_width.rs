//! How wide film and its gaps are, against shapes whose widths are known, against all pairs of corners and lines, and
//! against what must hold for every shape.

use decal_reckoner::artwork::width::{MOST, Narrow, Place, Side, Widths};
use kurbo::{Affine, BezPath, PathEl, Point, RoundedRect, Shape, Vec2};
use proptest::prelude::*;
use std::f64::consts::PI;

type Rings = Vec<Vec<Point>>;

/// So far straight lines stray from the curves of these tests, mm.
const FLAT: f64 = 1e-3;

fn ring(points: &[(f64, f64)]) -> Vec<Point> {
    points.iter().map(|at| Point::from(*at)).collect()
}

/// Twice the signed area.
fn area(ring: &[Point]) -> f64 {
    let next = ring.iter().cycle().skip(1);
    ring.iter()
        .zip(next)
        .map(|(a, b)| a.to_vec2().cross(b.to_vec2()))
        .sum()
}

/// The outline of a shape, running as a piece or as a hole does.
fn flat(shape: &impl Shape, hole: bool) -> Vec<Point> {
    let mut ring = Vec::new();
    let path: BezPath = shape.to_path(FLAT / 10.0);
    kurbo::flatten(path, FLAT, |element| {
        if let PathEl::MoveTo(point) | PathEl::LineTo(point) = element {
            ring.push(point);
        }
    });
    if (area(&ring) < 0.0) != hole {
        ring.reverse();
    }
    ring
}

/// An ellipse of lines that stray as far as is allowed from the larger circle of which it is a shadow.
fn ellipse(x: f64, radii: (f64, f64), turn: f64, hole: bool) -> Vec<Point> {
    let step = (1.0 - FLAT / radii.0.max(radii.1)).acos() * 2.0;
    let count = (2.0 * PI / step).ceil();
    let mut ring = Vec::new();
    while ring.is_empty() || f64::from(u32::try_from(ring.len()).unwrap()) < count {
        let angle = 2.0 * PI / count * f64::from(u32::try_from(ring.len()).unwrap());
        let at = Point::new(radii.0 * angle.cos(), radii.1 * angle.sin());
        ring.push(Affine::translate((x, 0.0)) * Affine::rotate(turn) * at);
    }
    if hole {
        ring.reverse();
    }
    ring
}

fn circle(x: f64, radius: f64, hole: bool) -> Vec<Point> {
    ellipse(x, (radius, radius), 0.0, hole)
}

fn piece(points: &[(f64, f64)]) -> Vec<Point> {
    let mut ring = ring(points);
    if area(&ring) < 0.0 {
        ring.reverse();
    }
    ring
}

fn hole(points: &[(f64, f64)]) -> Vec<Point> {
    let mut ring = piece(points);
    ring.reverse();
    ring
}

fn narrowest(rings: &Rings, side: Side) -> Option<f64> {
    let narrow = Widths::new(rings).narrowest(side);
    assert!(narrow.complete);
    narrow.places.first().map(|place| place.width)
}

fn below(rings: &Rings, side: Side, limit: f64) -> Narrow {
    let narrow = Widths::new(rings).narrower(side, limit);
    assert!(narrow.complete);
    assert_eq!(narrow.count.min(MOST), narrow.places.len());
    narrow
}

#[track_caller]
fn near(is: Option<f64>, should: f64, tolerance: f64) {
    let is = is.expect("a width");
    assert!((is - should).abs() <= tolerance, "{is} is not {should}");
}

/// Angles in which shapes are turned, so that nothing depends on the axes.
const TURNS: [f64; 4] = [0.0, 0.3, 1.1, PI / 4.0];

fn turned(rings: &[Vec<Point>], angle: f64) -> Rings {
    let turn = Affine::translate((13.7, -5.1)) * Affine::rotate(angle);
    rings
        .iter()
        .map(|ring| ring.iter().map(|point| turn * *point).collect())
        .collect()
}

fn comb() -> Vec<Point> {
    let mut points = vec![(0.0, -5.0)];
    for tooth in 0..7 {
        let left = 3.0 * f64::from(tooth);
        points.extend([
            (left, 0.0),
            (left, 10.0),
            (left + 1.2, 10.0),
            (left + 1.2, 0.0),
        ]);
    }
    points.push((19.2, -5.0));
    piece(&points)
}

/// Lengths of straight shapes, which are the widths.
#[test]
fn straight_shapes() {
    let letter_e = piece(&[
        (0.0, 0.0),
        (10.0, 0.0),
        (10.0, 2.0),
        (3.0, 2.0),
        (3.0, 5.0),
        (8.0, 5.0),
        (8.0, 6.5),
        (3.0, 6.5),
        (3.0, 10.0),
        (10.0, 10.0),
        (10.0, 12.0),
        (0.0, 12.0),
    ]);
    let letter_h = piece(&[
        (0.0, 0.0),
        (2.0, 0.0),
        (2.0, 5.0),
        (7.0, 5.0),
        (7.0, 0.0),
        (9.5, 0.0),
        (9.5, 12.0),
        (7.0, 12.0),
        (7.0, 6.75),
        (2.0, 6.75),
        (2.0, 12.0),
        (0.0, 12.0),
    ]);
    let square = piece(&[(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0)]);
    // Its sides have points on them that are no corners.
    let dotted = piece(&[
        (0.0, 0.0),
        (1.0, 0.0),
        (4.5, 0.0),
        (10.0, 0.0),
        (10.0, 2.0),
        (10.0, 10.0),
        (3.0, 10.0),
        (0.0, 10.0),
    ]);
    let serif = piece(&[
        (0.0, 0.0),
        (8.0, 0.0),
        (8.0, 1.0),
        (5.0, 1.5),
        (5.0, 18.5),
        (8.0, 19.0),
        (8.0, 20.0),
        (0.0, 20.0),
        (0.0, 19.0),
        (3.0, 18.5),
        (3.0, 1.5),
        (0.0, 1.0),
    ]);
    let frame = vec![
        square.clone(),
        hole(&[(1.0, 2.0), (7.0, 2.0), (7.0, 6.0), (1.0, 6.0)]),
    ];
    for turn in TURNS {
        let width = |rings: &[Vec<Point>], side| narrowest(&turned(rings, turn), side);
        let inside = |ring: &Vec<Point>| width(std::slice::from_ref(ring), Side::Inside);
        near(inside(&square), 10.0, 1e-6);
        near(inside(&dotted), 10.0, 1e-6);
        near(
            inside(&piece(&[(0.0, 0.0), (50.0, 0.0), (50.0, 3.0), (0.0, 3.0)])),
            3.0,
            1e-9,
        );
        near(inside(&letter_e), 1.5, 1e-9);
        near(inside(&letter_h), 1.75, 1e-9);
        near(inside(&comb()), 1.2, 1e-9);
        // Slab serifs that rise from 1 mm at their ends: their ends are 1 mm high, the stem is 2 mm wide.
        let slab = inside(&serif).unwrap();
        assert!((1.0..1.2).contains(&slab), "{slab}");
        near(width(&frame, Side::Inside), 1.0, 1e-9);
        let outside = |ring: &Vec<Point>| width(std::slice::from_ref(ring), Side::Outside);
        assert_eq!(outside(&square), None);
        near(outside(&letter_e), 3.0, 1e-9);
        near(outside(&letter_h), 5.0, 1e-9);
        near(outside(&comb()), 1.8, 1e-9);
        // The hole of a frame is 6 by 4 mm.
        near(width(&frame, Side::Outside), 4.0, 1e-9);
        let apart = [
            square.clone(),
            piece(&[(10.25, 3.0), (15.0, 3.0), (15.0, 4.0), (10.25, 4.0)]),
        ];
        near(width(&apart, Side::Outside), 0.25, 1e-9);
        // Corner to corner: 0.3 and 0.4 mm apart.
        let corners = [
            square.clone(),
            piece(&[(10.3, 10.4), (20.0, 10.4), (20.0, 20.0), (10.3, 20.0)]),
        ];
        near(width(&corners, Side::Outside), 0.5, 1e-9);
    }
}

/// Corners that stick into film, opposite each other or opposite a line. Between corners it is 1 mm, and
/// then 1.2 and 0.5 mm aside, 1.3 mm in all.
#[test]
fn necks() {
    for turn in TURNS {
        let width =
            |points: &[(f64, f64)]| narrowest(&turned(&[piece(points)], turn), Side::Inside);
        let hourglass = [
            (0.0, 0.0),
            (10.0, 0.0),
            (5.5, 5.0),
            (10.0, 10.0),
            (0.0, 10.0),
            (4.5, 5.0),
        ];
        near(width(&hourglass), 1.0, 1e-9);
        let slanted = [
            (0.0, 0.0),
            (10.0, 0.0),
            (5.5, 5.0),
            (10.0, 10.0),
            (0.0, 10.0),
            (4.3, 5.5),
        ];
        near(width(&slanted), 1.3, 1e-9);
        // A needle's eye: 0.01 mm in 100 mm, far less than between two points that are looked at.
        let eye = [
            (0.0, 0.0),
            (100.0, 0.0),
            (100.0, 10.0),
            (31.0, 10.0),
            (30.77, 0.01),
            (30.0, 10.0),
            (0.0, 10.0),
        ];
        near(width(&eye), 0.01, 1e-9);
    }
}

/// Necks that are easily passed over, against all pairs of corners and lines: one before a part with a sharp point that
/// is hardly wider, and one from a corner that has a smaller disc, but no way straight across, to the next line.
#[test]
fn hidden_necks() {
    let pointed = [
        (1.7, 0.2),
        (3.0, 2.0),
        (1.0, 1.9),
        (0.0, 2.4),
        (-1.6, 3.2),
        (-4.0, 2.9),
        (-4.7, 0.7),
        (-4.3, -1.5),
        (-1.4, -1.5),
        (-0.9, -3.5),
        (0.5, -2.3),
        (1.1, -1.3),
        (4.4, -1.8),
    ];
    let leaning = [
        (1.24, 0.12),
        (2.21, 3.42),
        (-1.51, 4.5),
        (-2.57, 0.94),
        (-3.07, -1.88),
        (-0.46, -3.65),
        (2.36, -2.41),
    ];
    for points in [&pointed[..], &leaning[..]] {
        let shortest = shortest(&vec![piece(points)], Side::Inside).unwrap();
        for turn in TURNS {
            let rings = turned(&[piece(points)], turn);
            near(narrowest(&rings, Side::Inside), shortest, 1e-9);
            for more in [1.1, 1.5, 2.2, 3.5, 5.0] {
                let found = below(&rings, Side::Inside, more * shortest);
                near(
                    found.places.first().map(|place| place.width),
                    shortest,
                    1e-9,
                );
            }
        }
    }
}

/// Curves, whose widths are right to twice what the lines stray from them.
#[test]
fn curved_shapes() {
    let width = |rings: &[Vec<Point>], side| narrowest(&rings.to_vec(), side);
    let close = 2.0 * FLAT + 1e-9;
    let annulus = [circle(0.0, 10.0, false), circle(0.0, 8.0, true)];
    near(width(&annulus, Side::Inside), 2.0, close);
    near(width(&annulus, Side::Outside), 16.0, close);
    // The hole lies 0.5 mm off the middle.
    let off = [circle(0.0, 10.0, false), circle(0.5, 8.0, true)];
    near(width(&off, Side::Inside), 1.5, close);
    let rings = [
        &annulus[..],
        &[circle(0.0, 7.3, false), circle(0.0, 6.0, true)],
    ]
    .concat();
    near(width(&rings, Side::Inside), 1.3, close);
    near(width(&rings, Side::Outside), 0.7, close);
    near(
        width(&[circle(0.0, 10.0, false)], Side::Inside),
        20.0,
        close,
    );
    assert_eq!(width(&[circle(0.0, 10.0, false)], Side::Outside), None);
    let discs = [circle(0.0, 10.0, false), circle(20.7, 10.0, false)];
    near(width(&discs, Side::Outside), 0.7, close);
    near(
        width(
            &[flat(&RoundedRect::new(0.0, 0.0, 30.0, 4.0, 2.0), false)],
            Side::Inside,
        ),
        4.0,
        close,
    );
    near(
        width(
            &[flat(&RoundedRect::new(0.0, 0.0, 30.0, 4.0, 0.5), false)],
            Side::Inside,
        ),
        4.0,
        close,
    );
    // The shortest of the two lines across an ellipse that are square to it at both ends is its minor axis.
    for half in [4.9, 4.0, 2.5, 1.0, 0.4] {
        near(
            width(&[ellipse(0.0, (5.0, half), 0.3, false)], Side::Inside),
            2.0 * half,
            close,
        );
    }
    // The letter O of two ellipses with one middle: 1 mm between them at the sides, 3 mm above and below.
    let letter = [
        ellipse(0.0, (8.0, 10.0), 0.0, false),
        ellipse(0.0, (7.0, 7.0), 0.0, true),
    ];
    near(width(&letter, Side::Inside), 1.0, close);
}

/// Pieces without opposite sides are as wide as the largest disc in them.
#[test]
fn largest_discs() {
    let regular = |corners: u32, radius: f64| -> Vec<Point> {
        let angle = |corner: u32| 2.0 * PI * f64::from(corner) / f64::from(corners);
        (0..corners)
            .map(|corner| (Vec2::from_angle(angle(corner)) * radius).to_point())
            .collect()
    };
    for turn in TURNS {
        let width = |ring: Vec<Point>| narrowest(&turned(&[ring], turn), Side::Inside);
        // The inradius of a regular polygon is that of its corners times the cosine of half a step.
        near(width(regular(3, 6.0)), 6.0, 1e-4);
        near(width(regular(5, 6.0)), 12.0 * (PI / 5.0).cos(), 2e-4);
        // 3, 4, 5: the radius is (3 + 4 - 5) / 2.
        near(
            width(piece(&[(0.0, 0.0), (3.0, 0.0), (0.0, 4.0)])),
            2.0,
            4e-5,
        );
        // A five-pointed star of 36 degrees: its inner corners are all equally far from the middle, at 0.382 of its
        // outer ones, and nothing else is nearer.
        let inner = (3.0 - 5.0_f64.sqrt()) / 2.0;
        let star = (0..10).map(|corner| {
            let radius = if corner % 2 == 0 { 10.0 } else { 10.0 * inner };
            (Vec2::from_angle(PI / 5.0 * f64::from(corner)) * radius).to_point()
        });
        near(width(star.collect()), 20.0 * inner, 0.01 * 20.0 * inner);
        // Reuleaux's triangle of width 10: the largest disc in it has the radius 10 (1 - 1 / sqrt 3).
        let corners = regular(3, 10.0 / 3.0_f64.sqrt());
        let mut arcs = Vec::new();
        for corner in 0..3 {
            let (from, centre) = (corners[corner], corners[(corner + 2) % 3]);
            let start = from - centre;
            for step in 0..200 {
                let turned = Affine::rotate(PI / 3.0 * f64::from(step) / 200.0) * start.to_point();
                arcs.push(centre + turned.to_vec2());
            }
        }
        near(width(arcs), 20.0 * (1.0 - 1.0 / 3.0_f64.sqrt()), 2.0 * FLAT);
    }
}

/// A wedge narrows to nothing at any size; its length up to a limit is the limit by twice the tangent of half
/// its angle.
#[test]
fn tips() {
    for turn in TURNS {
        for angle in [2.0_f64, 10.0, 20.0, 27.0] {
            let half = (angle / 2.0).to_radians().tan();
            let wedge = turned(
                &[piece(&[
                    (0.0, 0.0),
                    (20.0, -20.0 * half),
                    (20.0, 20.0 * half),
                ])],
                turn,
            );
            let limit = 20.0 * half;
            let narrow = below(&wedge, Side::Inside, limit);
            assert_eq!(
                (narrow.count, narrow.tip_count),
                (0, 1),
                "{angle} {narrow:?}"
            );
            let tip = narrow.tips[0];
            assert!(tip.point.distance(Point::new(13.7, -5.1)) < 1e-9);
            near(Some(tip.angle), angle, 1e-6);
            near(Some(tip.length), limit / 2.0 / half, 1e-6);
            assert!(tip.end.abs() < 1e-12);
            // The largest disc in it: the area by half of the circumference.
            let side = 20.0 * 1.0_f64.hypot(half);
            near(
                narrowest(&wedge, Side::Inside),
                2.0 * 400.0 * half / (side + 20.0 * half),
                1e-4,
            );
        }
        // Of 30 degrees it is no tip: a corner.
        let half = 15.0_f64.to_radians().tan();
        let corner = turned(
            &[piece(&[
                (0.0, 0.0),
                (20.0, -20.0 * half),
                (20.0, 20.0 * half),
            ])],
            turn,
        );
        let narrow = below(&corner, Side::Inside, 2.0);
        assert_eq!((narrow.count, narrow.tip_count), (0, 0));
    }
}

/// Wedges that end blunt: less than a quarter as wide as they get they are tips, and otherwise as wide as their ends.
#[test]
fn blunt_tips() {
    for turn in TURNS {
        let wedge = |wide: f64, end: f64| {
            turned(
                &[piece(&[
                    (0.0, -wide),
                    (50.0, -end),
                    (50.0, end),
                    (0.0, wide),
                ])],
                turn,
            )
        };
        let narrow = below(&wedge(2.5, 0.02), Side::Inside, 1.0);
        assert_eq!((narrow.count, narrow.tip_count), (0, 1));
        assert!((0.04..0.05).contains(&narrow.tips[0].end));
        near(
            Some(narrow.tips[0].angle),
            2.0 * (2.48_f64 / 50.0).atan().to_degrees(),
            0.05,
        );
        near(Some(narrow.tips[0].length), 50.0 * 0.96 / 4.96, 0.05);
        let narrow = below(&wedge(2.5, 1.0), Side::Inside, 3.0);
        assert_eq!((narrow.count, narrow.tip_count), (1, 0));
        assert!((2.0..2.1).contains(&narrow.places[0].width));
        near(narrowest(&wedge(2.5, 1.0), Side::Inside), 2.0, 0.1);
        // A handle of 1 mm on a plate: what it is fixed to does not make it a tip.
        let spoon = turned(
            &[piece(&[
                (0.0, 0.0),
                (10.0, 0.0),
                (10.0, 4.5),
                (40.0, 4.5),
                (40.0, 5.5),
                (10.0, 5.5),
                (10.0, 10.0),
                (0.0, 10.0),
            ])],
            turn,
        );
        let narrow = below(&spoon, Side::Inside, 2.0);
        assert_eq!((narrow.count, narrow.tip_count), (1, 0));
        near(Some(narrow.places[0].width), 1.0, 1e-9);
    }
}

/// Each stretch counts once, whatever else is narrow, and lists end.
#[test]
fn stretches() {
    let narrow = below(&vec![comb()], Side::Inside, 1.5);
    assert_eq!(
        (narrow.count, narrow.tip_count, narrow.runs.len()),
        (7, 0, 7)
    );
    assert!(
        narrow
            .places
            .iter()
            .all(|place| (place.width - 1.2).abs() < 1e-9)
    );
    assert_eq!(below(&vec![comb()], Side::Outside, 2.0).count, 6);
    assert_eq!(below(&vec![comb()], Side::Outside, 1.7).count, 0);
    assert_eq!(below(&vec![comb()], Side::Inside, 1.199).count, 0);
    let dots: Rings = (0..300)
        .map(|dot| {
            let (x, y) = (3.0 * f64::from(dot % 20), 3.0 * f64::from(dot / 20));
            piece(&[(x, y), (x + 1.0, y), (x + 1.0, y + 1.0), (x, y + 1.0)])
        })
        .collect();
    let narrow = below(&dots, Side::Inside, 1.5);
    assert_eq!((narrow.count, narrow.places.len()), (300, MOST));
    // 19 gaps in 15 rows and 14 in 20 columns, 2 mm wide. Where they cross they are 2.83 mm wide.
    assert_eq!(below(&dots, Side::Outside, 2.5).count, 565);
    assert_eq!(below(&dots, Side::Outside, 3.0).count, 1);
}

/// Many long thin rays from a middle: each as wide as it is drawn, and the gap between two of them what is left of the
/// circle, narrowest at the hub; looked at to the end, whatever the limit.
#[test]
fn sunbursts() {
    for (count, width) in [(48_u32, 0.3), (200, 0.2)] {
        let step = 2.0 * PI / f64::from(count);
        let (hub, long): (f64, f64) = (20.0, 100.0);
        let foot = (hub * hub - width * width / 4.0).sqrt();
        let mut burst = Vec::new();
        for ray in 0..count {
            let ahead = Vec2::from_angle(step * f64::from(ray));
            let aside = ahead.turn_90() * (width / 2.0);
            burst.extend([
                ahead * foot - aside,
                ahead * long - aside,
                ahead * long + aside,
                ahead * foot + aside,
            ]);
        }
        let burst: Rings = vec![burst.into_iter().map(Vec2::to_point).collect()];
        near(narrowest(&burst, Side::Inside), width, 1e-9);
        for limit in [1.5 * width, 4.0] {
            let narrow = below(&burst, Side::Inside, limit);
            assert_eq!((narrow.count, narrow.tip_count), (count as usize, 0));
            near(narrow.places.last().map(|place| place.width), width, 1e-9);
        }
        for limit in [0.1, 1.0, 100.0] {
            below(&burst, Side::Inside, limit);
            below(&burst, Side::Outside, limit);
        }
        // Apart from each other, each of a wedge that ends in a point: as wide as the largest disc in it, and the gap
        // between two of them about that of their points.
        let wedges: Rings = (0..count)
            .map(|ray| {
                let angle = step * f64::from(ray);
                let at = |radius: f64, angle: f64| (Vec2::from_angle(angle) * radius).to_point();
                vec![
                    at(1.0, angle),
                    at(long, angle - step / 4.0),
                    at(long, angle + step / 4.0),
                ]
            })
            .collect();
        let base = 2.0 * long * (step / 4.0).sin();
        let high = long * (step / 4.0).cos() - 1.0;
        let disc = 2.0 * base * high / (base + 2.0 * high.hypot(base / 2.0));
        near(narrowest(&wedges, Side::Inside), disc, 1e-4 * disc);
        let narrow = below(&wedges, Side::Inside, 1.01 * disc);
        assert_eq!(
            (narrow.count, narrow.tip_count),
            (count as usize, count as usize)
        );
        // From point to point, or from a point to the next side, which is a little less.
        let gap = narrowest(&wedges, Side::Outside).unwrap();
        let apart = 2.0 * (step / 2.0).sin();
        assert!(
            gap <= apart * (1.0 + 1e-9) && gap > 0.9 * apart,
            "{gap} {apart}"
        );
    }
}

/// A comb of a thousand teeth, and one of fewer and long ones, with one gap less: however far the limit is above their
/// widths.
#[test]
fn long_combs() {
    for (teeth, long) in [(1000_u32, 10.0), (100, 1000.0)] {
        let mut points = vec![(0.0, -5.0)];
        for tooth in 0..teeth {
            let left = 3.0 * f64::from(tooth);
            points.extend([
                (left, 0.0),
                (left, long),
                (left + 1.2, long),
                (left + 1.2, 0.0),
            ]);
        }
        points.push((3.0 * f64::from(teeth) - 1.8, -5.0));
        let comb = vec![piece(&points)];
        near(narrowest(&comb, Side::Inside), 1.2, 1e-9);
        near(narrowest(&comb, Side::Outside), 1.8, 1e-9);
        let narrow = below(&comb, Side::Inside, 3.0);
        assert_eq!((narrow.count, narrow.tip_count), (teeth as usize, 0));
        for limit in [3.0, 200.0] {
            let narrow = below(&comb, Side::Outside, limit);
            assert_eq!(narrow.count, teeth as usize - 1, "{limit}");
            near(narrow.places.first().map(|place| place.width), 1.8, 1e-9);
            let narrow = below(&comb, Side::Inside, limit);
            near(narrow.places.first().map(|place| place.width), 1.2, 1e-9);
        }
    }
}

/// What is no ring, and what is no limit, is left out; nothing panics.
#[test]
fn nonsense() {
    let square = piece(&[(0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0)]);
    for bad in [
        vec![],
        ring(&[(0.0, 0.0)]),
        ring(&[(0.0, 0.0), (1.0, 1.0), (0.0, 0.0)]),
        ring(&[(0.0, 0.0), (f64::NAN, 1.0), (2.0, 0.0)]),
        ring(&[(0.0, 0.0), (f64::INFINITY, 1.0), (2.0, 0.0)]),
        vec![Point::new(5.0, 5.0); 9],
    ] {
        near(
            narrowest(&vec![square.clone(), bad.clone()], Side::Inside),
            1.0,
            1e-9,
        );
        assert_eq!(narrowest(&vec![bad], Side::Inside), None);
    }
    for limit in [0.0, -1.0, f64::NAN, f64::INFINITY] {
        assert_eq!(below(&vec![square.clone()], Side::Inside, limit).count, 0);
    }
    let _ =
        Widths::new(&[ring(&[(0.0, 0.0), (1e308, 0.0), (-1e308, 1e308)])]).narrowest(Side::Inside);
    let _ = Widths::new(&[ring(&[(0.0, 0.0), (1.0, 0.0), (2.0, 0.0), (3.0, 0.0)])])
        .narrowest(Side::Inside);
}

/// A polygon round the origin, with one corner in each direction.
fn round(radii: &[f64], at: Vec2, hole: bool) -> Vec<Point> {
    let mut ring: Vec<Point> = Vec::new();
    let mut angle = 0.1;
    for radius in radii {
        ring.push((at + Vec2::from_angle(angle) * *radius).to_point());
        angle += 2.0 * PI / f64::from(u32::try_from(radii.len()).unwrap());
    }
    if hole {
        ring.reverse();
    }
    ring
}

/// Two pieces beside each other, a hole in one of them, and a piece in the hole.
fn region() -> impl Strategy<Value = Rings> {
    let radii = |from: f64, to: f64| prop::collection::vec(from..to, 6..16);
    (
        radii(2.0, 3.0),
        radii(0.7, 1.6),
        radii(0.1, 0.5),
        radii(0.2, 2.0),
        5.1..6.0_f64,
    )
        .prop_map(|(outer, inner, speck, other, away)| {
            vec![
                round(&outer, Vec2::ZERO, false),
                round(&inner, Vec2::ZERO, true),
                round(&speck, Vec2::ZERO, false),
                round(&other, Vec2::new(away, 0.3), false),
            ]
        })
}

fn lines(rings: &Rings) -> Vec<[Point; 2]> {
    let lines = |ring: &Vec<Point>| -> Vec<[Point; 2]> {
        (0..ring.len())
            .map(|at| [ring[at], ring[(at + 1) % ring.len()]])
            .collect()
    };
    rings.iter().flat_map(lines).collect()
}

fn to_line(point: Point, [from, to]: [Point; 2]) -> Point {
    let step = to - from;
    from.lerp(
        to,
        ((point - from).dot(step) / step.hypot2()).clamp(0.0, 1.0),
    )
}

fn is_inside(rings: &Rings, point: Point) -> bool {
    let crosses = |[a, b]: &[Point; 2]| {
        (a.y > point.y) != (b.y > point.y)
            && point.x < a.x + (point.y - a.y) / (b.y - a.y) * (b.x - a.x)
    };
    lines(rings).iter().filter(|line| crosses(line)).count() % 2 == 1
}

/// The distance of a point from the boundary.
fn clearance(rings: &Rings, point: Point) -> f64 {
    lines(rings)
        .iter()
        .map(|line| to_line(point, *line).distance(point))
        .fold(f64::INFINITY, f64::min)
}

/// The shortest line between corners, or from a corner to a line, on one side of the boundary and with no boundary in
/// the disc round it: found by trying them all.
fn shortest(rings: &Rings, side: Side) -> Option<f64> {
    let all = lines(rings);
    let mut best: Option<f64> = None;
    for [corner, _] in &all {
        for line in &all {
            let other = to_line(*corner, *line);
            let length = other.distance(*corner);
            let middle = corner.midpoint(other);
            let fits = length > 1e-9
                && best.is_none_or(|best| length < best)
                && is_inside(rings, middle) == (side == Side::Inside)
                && clearance(rings, middle) > length / 2.0 * (1.0 - 1e-9);
            if fits {
                best = Some(length);
            }
        }
    }
    best
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    /// Whatever is shortest of all pairs is found; what is told as narrower than that still is a disc between
    /// opposite sides, into which nothing reaches further than sides that lean by 28 degrees do.
    #[test]
    fn all_pairs(rings in region(), inside in any::<bool>()) {
        let side = if inside { Side::Inside } else { Side::Outside };
        let widths = Widths::new(&rings);
        let narrow = widths.narrowest(side);
        prop_assert!(narrow.complete);
        let place = narrow.places.first().copied();
        if let Some(shortest) = shortest(&rings, side) {
            let tips = widths.narrower(side, 20.0).tip_count;
            let width = place.map_or(f64::INFINITY, |place| place.width);
            prop_assert!(tips > 0 || width <= shortest * 1.01, "{width} is more than {shortest}");
        }
        if let Some(Place { a, b, width }) = place {
            prop_assert!(clearance(&rings, a) < 1e-9);
            prop_assert!(a.distance(b) <= width * (1.0 + 1e-9) && a.distance(b) >= 0.97 * width);
            let aside = (width * width - (b - a).hypot2()).max(0.0).sqrt() / 2.0;
            let aside = (b - a).turn_90().normalize() * aside;
            let middle = a.midpoint(b);
            let clear = [middle + aside, middle - aside].map(|centre| {
                if is_inside(&rings, centre) == inside { clearance(&rings, centre) } else { 0.0 }
            });
            prop_assert!(clear[0].max(clear[1]) >= 0.94 * width / 2.0, "{:?}", place);
        }
    }

    /// Turned, moved, scaled, with rings and points in another order, measured with another limit: where the narrowest
    /// place is a neck, it is found.
    #[test]
    fn moved(
        rings in region(),
        inside in any::<bool>(),
        angle in 0.0..6.3_f64,
        scale in 0.01..100.0_f64,
        away in -100.0..100.0_f64,
        first in 0..6_usize,
        more in 1.01..5.0_f64,
    ) {
        let side = if inside { Side::Inside } else { Side::Outside };
        let change = Affine::translate((away, 3.0 * away)) * Affine::scale(scale) * Affine::rotate(angle);
        let mut other: Rings = rings.iter().map(|ring| ring.iter().map(|point| change * *point).collect()).collect();
        other.reverse();
        for ring in &mut other {
            ring.rotate_left(first);
        }
        let is = narrowest(&rings, side);
        if let (Some(shortest), Some(width)) = (shortest(&rings, side), is)
            && (shortest - width).abs() < 1e-9
        {
            let narrow = below(&other, side, shortest * scale * more);
            let found = narrow.places.first().map_or(f64::INFINITY, |place| place.width / scale);
            prop_assert!(found <= shortest * 1.01, "{found} is more than {shortest}");
            prop_assert!(narrow.places.iter().all(|place| place.width < shortest * scale * more));
            prop_assert!(narrow.places.windows(2).all(|pair| pair[0].width <= pair[1].width));
        }
    }
}
