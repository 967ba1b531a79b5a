//! What is wrong with outlines as they were drawn, against plane geometry and counting pair by pair.

use decal_reckoner::artwork::outline::{Artwork, Colour, Kind, Rule, Shape};
use decal_reckoner::artwork::outlines::{Faults, faults};
use kurbo::{BezPath, Circle, Point, Rect, Shape as _};
use proptest::prelude::*;
use std::f64::consts::TAU;

fn of(paths: impl IntoIterator<Item = BezPath>) -> Artwork {
    let shapes = paths.into_iter().map(|path| Shape {
        path,
        rule: Rule::NonZero,
        colour: Colour([0; 3]),
        kind: Kind::Fill,
    });
    Artwork {
        shapes: shapes.collect(),
        ..Artwork::default()
    }
}

fn found(paths: impl IntoIterator<Item = BezPath>) -> Faults {
    let artwork = of(paths);
    faults(&artwork, [artwork.shapes.iter().collect()], 0.001)
}

fn path(data: &str) -> BezPath {
    BezPath::from_svg(data).unwrap()
}

fn rectangle(x: f64, y: f64, width: f64, height: f64) -> BezPath {
    Rect::new(x, y, x + width, y + height).to_path(0.1)
}

fn circle(x: f64, y: f64, radius: f64) -> BezPath {
    Circle::new((x, y), radius).to_path(1e-9 * radius)
}

fn has(points: &[Point], x: f64, y: f64) -> bool {
    points
        .iter()
        .any(|point| (*point - Point::new(x, y)).hypot() < 1e-3)
}

/// Two circles of radius 10 whose centres are 10 apart meet at x = 5, y = plus and minus 5 times the root of three.
#[test]
fn two_circles_cross_twice() {
    let faults = found([circle(0.0, 0.0, 10.0), circle(10.0, 0.0, 10.0)]);
    assert_eq!(
        (
            faults.crossing_count,
            faults.open_count,
            faults.double_count
        ),
        (2, 0, 0)
    );
    let y = 75.0_f64.sqrt();
    assert!(
        has(&faults.crossings, 5.0, y) && has(&faults.crossings, 5.0, -y),
        "{faults:?}"
    );
}

#[test]
fn an_outline_may_cross_itself() {
    assert_eq!(found([path("M0 0L10 10L10 0L0 10Z")]).crossing_count, 1);
    // A pentagram has five crossings, one on each of its lines twice.
    let star: Vec<Point> = [0, 2, 4, 1, 3]
        .map(|corner| {
            Point::new(
                (TAU * f64::from(corner) / 5.0).cos(),
                (TAU * f64::from(corner) / 5.0).sin(),
            )
        })
        .to_vec();
    let mut drawn = BezPath::new();
    drawn.move_to(star[0]);
    for point in &star[1..] {
        drawn.line_to(*point);
    }
    drawn.close_path();
    assert_eq!(found([drawn]).crossing_count, 5);
    // A loop of one curve.
    assert_eq!(found([path("M0 0C30 20 -20 20 10 0Z")]).crossing_count, 1);
}

/// Corners on edges and corners on corners, on whole numbers: what only touches does not cross.
#[test]
fn touching_is_not_crossing() {
    for (paths, crossings) in [
        // Side by side with a whole edge in common, with half of one, and from corner to corner.
        (
            vec![rectangle(0.0, 0.0, 4.0, 4.0), rectangle(4.0, 0.0, 4.0, 4.0)],
            0,
        ),
        (
            vec![rectangle(0.0, 0.0, 4.0, 4.0), rectangle(4.0, 1.0, 4.0, 2.0)],
            0,
        ),
        (
            vec![rectangle(0.0, 0.0, 4.0, 4.0), rectangle(4.0, 4.0, 4.0, 4.0)],
            0,
        ),
        // A corner that only touches an edge, and one that goes through it.
        (
            vec![rectangle(0.0, 0.0, 4.0, 4.0), path("M4 2L8 0L8 4Z")],
            0,
        ),
        (
            vec![rectangle(0.0, 0.0, 4.0, 4.0), path("M3 2L8 0L8 4Z")],
            2,
        ),
        // Through a corner of the other outline, and through one corner of each.
        (
            vec![rectangle(0.0, 0.0, 4.0, 4.0), path("M2 6L6 2L8 8Z")],
            0,
        ),
        (
            vec![rectangle(0.0, 0.0, 4.0, 4.0), path("M3 5L5 3L5 -1L-1 5Z")],
            2,
        ),
        (vec![path("M0 0L4 4L0 8L-4 4Z"), path("M4 4L8 0L8 8Z")], 0),
        (
            vec![path("M0 0L4 4L0 8L-4 4Z"), path("M4 4L8 8L1 7L1 1L8 0Z")],
            2,
        ),
    ] {
        let data: Vec<String> = paths.iter().map(BezPath::to_svg).collect();
        assert_eq!(found(paths).crossing_count, crossings, "{data:?}");
    }
}

#[test]
fn open_outlines_are_told_with_their_ends() {
    let faults = found([
        path("M0 0L10 0L10 10L0 10L0 0.5"),
        path("M20 0L30 0L30 10L20 10Z"),
        path("M40 0L50 0L50 10L40 0"),
        path("M60 0L70 0"),
    ]);
    assert_eq!(faults.open_count, 2);
    assert_eq!(
        (faults.open[0].from, faults.open[0].to),
        (Point::new(60.0, 0.0), Point::new(70.0, 0.0))
    );
    assert_eq!(
        (faults.open[1].from, faults.open[1].to),
        (Point::new(0.0, 0.0), Point::new(0.0, 0.5))
    );
    assert_eq!((faults.crossing_count, faults.double_count), (0, 0));
}

/// The line that a fill would add to an open outline is not drawn, so nothing crosses it.
#[test]
fn what_is_not_drawn_is_not_crossed() {
    let faults = found([path("M0 0L10 0L10 10L0 10"), rectangle(-2.0, 4.0, 4.0, 2.0)]);
    assert_eq!((faults.crossing_count, faults.open_count), (0, 1));
}

#[test]
fn lines_drawn_twice_are_measured() {
    let round = circle(3.0, 4.0, 7.0);
    for again in [round.clone(), round.reverse_subpaths()] {
        let faults = found([round.clone(), again]);
        assert!(
            (faults.double_length - TAU * 7.0).abs() < 1e-3,
            "{}",
            faults.double_length
        );
        assert_eq!(faults.crossing_count, 0);
    }
    // A shared edge of 4, a half of one, and an edge that lies along a longer one from 1 to 3 mm.
    for (other, length) in [
        (rectangle(4.0, 0.0, 4.0, 4.0), 4.0),
        (rectangle(4.0, 2.0, 4.0, 4.0), 2.0),
        (rectangle(1.0, 4.0, 2.0, 2.0), 2.0),
        (rectangle(4.1, 0.0, 4.0, 4.0), 0.0),
        (rectangle(4.0005, 0.0, 4.0, 4.0), 4.0),
    ] {
        let faults = found([rectangle(0.0, 0.0, 4.0, 4.0), other]);
        assert!(
            (faults.double_length - length).abs() < 2e-3,
            "{} is not {length}",
            faults.double_length
        );
        assert_eq!(faults.double_count, usize::from(length > 0.0));
    }
    // Three times the same is twice too often.
    let faults = found([
        rectangle(0.0, 0.0, 4.0, 4.0),
        rectangle(0.0, 0.0, 4.0, 4.0),
        rectangle(0.0, 0.0, 4.0, 4.0),
    ]);
    assert!(
        (faults.double_length - 32.0).abs() < 1e-3,
        "{}",
        faults.double_length
    );
}

/// Hundreds of thousands of lines through one place: it ends, and says that there may be more.
#[test]
fn a_crowd_of_lines_ends() {
    let mut drawn = BezPath::new();
    for line in 0..20_000 {
        let turn = TAU * f64::from(line) / 20_000.0;
        drawn.move_to((100.0 * turn.cos(), 100.0 * turn.sin()));
        drawn.line_to((-100.0 * turn.cos(), -99.0 * turn.sin()));
    }
    let faults = found([drawn]);
    assert!(!faults.complete && faults.crossing_count > 1_000);
    assert!(faults.crossings.len() <= 200 && faults.open.len() <= 200);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(300))]

    /// Straight lines at random, counted pair by pair by where each one's ends lie beside the other.
    #[test]
    fn random_lines_cross_as_often_as_pairs_do(
        ends in proptest::collection::vec(((0.0..100.0_f64, 0.0..100.0_f64), (0.0..100.0_f64, 0.0..100.0_f64)), 2..60),
    ) {
        let lines: Vec<(Point, Point)> = ends.into_iter().map(|(a, b)| (a.into(), b.into())).collect();
        let side = |(a, b): (Point, Point), c: Point| (b - a).cross(c - a);
        let mut pairs = 0;
        let mut sure = true;
        for (place, one) in lines.iter().enumerate() {
            for two in &lines[..place] {
                let sides = [side(*one, two.0), side(*one, two.1), side(*two, one.0), side(*two, one.1)];
                // What hangs on the last digits is left to the lattice.
                sure &= sides.iter().all(|side| side.abs() > 1e-3);
                pairs += usize::from(sides[0] * sides[1] < 0.0 && sides[2] * sides[3] < 0.0);
            }
        }
        prop_assume!(sure);
        let paths = lines.iter().map(|(a, b)| {
            let mut path = BezPath::new();
            path.move_to(*a);
            path.line_to(*b);
            path
        });
        let faults = found(paths);
        prop_assert_eq!(faults.crossing_count, pairs);
        prop_assert_eq!(faults.open_count, lines.len());
    }

    /// Two closed outlines cross an even number of times (the Jordan curve theorem).
    #[test]
    fn closed_outlines_cross_evenly(
        one in proptest::collection::vec((0..12_i8, 0..12_i8), 3..7),
        two in proptest::collection::vec((0.0..12.0_f64, 0.0..12.0_f64), 3..7),
    ) {
        let drawn = |points: &[Point]| {
            let mut path = BezPath::new();
            path.move_to(points[0]);
            for point in &points[1..] {
                path.line_to(*point);
            }
            path.close_path();
            path
        };
        let one: Vec<Point> = one.into_iter().map(|(x, y)| Point::new(x.into(), y.into())).collect();
        let two: Vec<Point> = two.into_iter().map(Point::from).collect();
        let own = found([drawn(&one)]).crossing_count + found([drawn(&two)]).crossing_count;
        let both = found([drawn(&one), drawn(&two)]);
        prop_assume!(both.double_count == 0);
        prop_assert_eq!((both.crossing_count - own) % 2, 0);
    }
}
