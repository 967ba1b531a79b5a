//! Copies laid by their outlines: every layout is measured again here, edge by edge, and compared with shapes of which
//! the least length is known.

use decal_reckoner::artwork::nest::{EDGE, MOST, Nest, NestInput, Search, Turns, nest};
use decal_reckoner::error::Code;
use kurbo::Point;
use proptest::prelude::*;
use std::f64::consts::{PI, TAU};

type Ring = Vec<Point>;

fn ring(corners: &[(f64, f64)]) -> Ring {
    corners.iter().map(|corner| Point::from(*corner)).collect()
}

fn triangle() -> Vec<Ring> {
    vec![ring(&[(0.0, 0.0), (60.0, 0.0), (0.0, 80.0)])]
}

/// A regular polygon with its corners on a circle about the origin.
fn regular(corners: u32, radius: f64) -> Ring {
    (0..corners)
        .map(|corner| {
            let (sin, cos) = (TAU * f64::from(corner) / f64::from(corners)).sin_cos();
            Point::new(radius * cos, radius * sin)
        })
        .collect()
}

fn input(rings: &[Ring], turns: Turns, width: f64, quantity: u32) -> NestInput<'_> {
    NestInput {
        rings,
        turns,
        width,
        length: None,
        margin: 0.0,
        gap: 0.0,
        quantity,
    }
}

/// What a tenth of a search finds, measured.
fn found(input: &NestInput) -> Nest {
    let mut search = Search::new(input).unwrap();
    while search.share_done() < 0.1 {
        search.search();
    }
    measured(input, search.best());
    search.best().clone()
}

/// The outlines of each copy, from the definition of its placement.
fn placed(input: &NestInput, nest: &Nest) -> Vec<Vec<Ring>> {
    let copies = nest.placements.iter().map(|placement| {
        let (sin, cos) = match placement.turn {
            0 => (0.0, 1.0),
            90 => (1.0, 0.0),
            180 => (0.0, -1.0),
            270 => (-1.0, 0.0),
            turn => panic!("turned by {turn}"),
        };
        let outline = |ring: &Ring| -> Ring {
            ring.iter()
                .map(|at| {
                    // y runs downwards, so that this is clockwise as one sees it.
                    let (x, y) = (at.x * cos - at.y * sin, at.x * sin + at.y * cos);
                    Point::new(x + placement.dx, y + placement.dy)
                })
                .collect()
        };
        input.rings.iter().map(outline).collect()
    });
    copies.collect()
}

fn number(count: usize) -> f64 {
    f64::from(u32::try_from(count).unwrap())
}

fn sides(ring: &Ring) -> impl Iterator<Item = (Point, Point)> {
    (0..ring.len()).map(|side| (ring[side], ring[(side + 1) % ring.len()]))
}

fn to_side(at: Point, (from, to): (Point, Point)) -> f64 {
    let length = from.distance(to);
    if length == 0.0 {
        return at.distance(from);
    }
    let along = ((at - from).dot(to - from) / length).clamp(0.0, length);
    at.distance(from + (to - from) / length * along)
}

/// Whether two sides cross: the ends of each lie on different sides of the other one, by more than rounding.
fn cross(one: (Point, Point), other: (Point, Point)) -> bool {
    let off =
        |(from, to): (Point, Point), at: Point| (to - from).cross(at - from) / from.distance(to);
    let apart = |side, (from, to)| {
        let (first, second) = (off(side, from), off(side, to));
        first.min(second) < -1e-9 && first.max(second) > 1e-9
    };
    apart(one, other) && apart(other, one)
}

/// By the angle under which the ring is seen from the point: a full one from inside, half of one from a side.
fn holds(ring: &Ring, at: Point) -> bool {
    let angle: f64 = sides(ring)
        .map(|(from, to)| {
            let (from, to) = (from - at, to - at);
            from.cross(to).atan2(from.dot(to))
        })
        .sum();
    angle.abs() > 1.9 * PI
}

/// A point just inside of the first side of a ring.
fn inner(ring: &Ring) -> Point {
    let middle = ring[0].midpoint(ring[1]);
    let off = (ring[1] - ring[0]) / ring[0].distance(ring[1]) * 1e-5;
    let beside = [
        Point::new(middle.x - off.y, middle.y + off.x),
        Point::new(middle.x + off.y, middle.y - off.x),
    ];
    beside.into_iter().find(|at| holds(ring, *at)).unwrap()
}

/// The least distance of two copies; below 0 where they overlap.
fn between(one: &[Ring], other: &[Ring]) -> f64 {
    let mut least = f64::INFINITY;
    for ring in one {
        for next in other {
            if holds(ring, inner(next)) || holds(next, inner(ring)) {
                return -1.0;
            }
            for side in sides(ring) {
                for edge in sides(next) {
                    if cross(side, edge) {
                        return -1.0;
                    }
                    let ends = [
                        to_side(side.0, edge),
                        to_side(side.1, edge),
                        to_side(edge.0, side),
                        to_side(edge.1, side),
                    ];
                    least = ends.into_iter().fold(least, f64::min);
                }
            }
        }
    }
    least
}

/// The least and greatest x and y of all points.
fn extent<'a>(rings: impl IntoIterator<Item = &'a Ring>) -> [f64; 4] {
    rings.into_iter().flatten().fold(
        [
            f64::INFINITY,
            f64::INFINITY,
            f64::NEG_INFINITY,
            f64::NEG_INFINITY,
        ],
        |[x0, y0, x1, y1], at| [x0.min(at.x), y0.min(at.y), x1.max(at.x), y1.max(at.y)],
    )
}

/// A layout keeps the gap and the margins, turns copies only as it may, says its true length, and is not longer than
/// rectangles in rows and columns.
fn measured(input: &NestInput, nest: &Nest) {
    let turns: &[u16] = match input.turns {
        Turns::None => &[0],
        Turns::Half => &[0, 180],
        Turns::Quarter => &[0, 90, 180, 270],
    };
    assert!(
        nest.placements
            .iter()
            .all(|placement| turns.contains(&placement.turn))
    );
    let copies = placed(input, nest);
    let extents: Vec<[f64; 4]> = copies.iter().map(extent).collect();
    let near = input.margin - EDGE;
    for [x0, y0, x1, _] in &extents {
        assert!(
            *x0 >= near && *y0 >= near && *x1 <= input.width - near,
            "{x0} {y0} {x1}"
        );
    }
    let end = extents
        .iter()
        .fold(0.0, |end: f64, extent| end.max(extent[3]))
        + input.margin;
    assert!(
        (nest.length_mm - end).abs() < 1e-6,
        "{} is {end}",
        nest.length_mm
    );
    assert!(input.length.is_none_or(|length| end <= length + EDGE));
    for (place, copy) in copies.iter().enumerate() {
        for (other, extent) in copies[..place].iter().zip(&extents) {
            let [x0, y0, x1, y1] = extents[place];
            let apart = [
                extent[0] - x1,
                x0 - extent[2],
                extent[1] - y1,
                y0 - extent[3],
            ];
            if apart.into_iter().all(|apart| apart <= input.gap) {
                let between = between(copy, other);
                assert!(between >= input.gap - 1e-9, "{between} for {}", input.gap);
            }
        }
    }
    let (count, length) = boxes(input);
    assert_eq!(nest.boxes.0, count);
    assert!(
        (nest.boxes.1 - length).abs() < 1e-6,
        "{:?} {length}",
        nest.boxes
    );
    assert!(nest.placements.len() >= count);
    assert!(nest.placements.len() > count || nest.length_mm <= length + 1e-6);
    // The shoelace formula; copies do not overlap, so they cannot cover more than there is.
    let twice = |ring: &Ring| {
        sides(ring)
            .map(|(from, to)| from.x * to.y - to.x * from.y)
            .sum::<f64>()
    };
    let area: f64 = input.rings.iter().map(|ring| twice(ring).abs() / 2.0).sum();
    let share = area * number(copies.len()) / (input.width * end);
    assert!((nest.share_used - share).abs() < 1e-9 && share <= 1.0 + 1e-6);
}

/// How many rectangles of width and height, in rows and columns, turned alike, lie on the film, and their length.
fn boxes(input: &NestInput) -> (usize, f64) {
    let [x0, y0, x1, y1] = extent(input.rings);
    let (wide, high) = (x1 - x0, y1 - y0);
    let gap = input.gap;
    let mut best = (0, f64::INFINITY);
    let ways = if input.turns == Turns::Quarter {
        vec![(wide, high), (high, wide)]
    } else {
        vec![(wide, high)]
    };
    for (wide, high) in ways {
        let fit = |film: f64, side: f64| {
            let (mut count, mut taken) = (0, side + 2.0 * input.margin);
            while taken <= film + EDGE && count < input.quantity as usize {
                (count, taken) = (count + 1, taken + side + gap);
            }
            count
        };
        let columns = fit(input.width, wide);
        let rows = input
            .length
            .map_or(input.quantity as usize, |length| fit(length, high));
        let count = (columns * rows).min(input.quantity as usize);
        if count > 0 {
            let length = number(count.div_ceil(columns)) * (high + gap) - gap + 2.0 * input.margin;
            if count > best.0 || (count == best.0 && length < best.1) {
                best = (count, length);
            }
        }
    }
    best
}

/// Two right triangles make a rectangle: no film is wasted, and the rectangles round them take twice as much.
#[test]
fn right_triangles_pair_up() {
    let rings = triangle();
    let best = found(&input(&rings, Turns::Half, 60.0, 20));
    assert!((best.length_mm - 800.0).abs() < 0.001, "{}", best.length_mm);
    assert!((best.boxes.1 - 1600.0).abs() < 1e-6);
    assert!((best.share_used - 1.0).abs() < 1e-5);
}

/// With a gap of 3, the twin of a triangle of 60, 80 and 100 lies 3 off the long side, which is 3 x 100 / 60 = 5 along
/// the film, and each pair 3 off the one before: ten pairs of 85, nine gaps of 3.
#[test]
fn right_triangles_pair_up_with_a_gap() {
    let rings = triangle();
    let best = found(&NestInput {
        gap: 3.0,
        ..input(&rings, Turns::Half, 60.0, 20)
    });
    assert!(best.length_mm <= 877.001, "{}", best.length_mm);
}

/// Film with a grain: all alike.
#[test]
fn nothing_is_turned_where_nothing_may_be() {
    let rings = triangle();
    let best = found(&input(&rings, Turns::None, 120.0, 20));
    assert!(best.placements.iter().all(|placement| placement.turn == 0));
    // Each row of two holds what two rows of one do.
    assert!(best.length_mm <= 800.0 + 1e-6);
}

/// Two Ls of three squares make a rectangle of two by three.
#[test]
fn ells_pair_up() {
    let rings = [ring(&[
        (0.0, 0.0),
        (20.0, 0.0),
        (20.0, 20.0),
        (40.0, 20.0),
        (40.0, 40.0),
        (0.0, 40.0),
    ])];
    let best = found(&input(&rings, Turns::Half, 60.0, 12));
    assert!((best.length_mm - 240.0).abs() < 0.001, "{}", best.length_mm);
}

/// Discs of 50 mm that keep 3 mm apart, on film of 80 mm, lie in two staggered rows: the middles of two of them are
/// 53 mm apart and 30 mm across. No other way is shorter on so narrow a strip (Füredi 1991, The densest packing of
/// equal circles into a parallel strip, Discrete & Computational Geometry 6; from memory). Each disc has 400 corners,
/// which lie on the circle: between them it is thinner by 25 (1 - cos(pi / 400)) = 0.0008 mm.
#[test]
fn discs_lie_in_two_staggered_rows() {
    let rings = [regular(400, 25.0)];
    let best = found(&NestInput {
        gap: 3.0,
        ..input(&rings, Turns::Half, 80.0, 20)
    });
    let row = |apart: f64, across: f64| (apart * apart - across * across).sqrt();
    let known = 50.0 + 19.0 * row(53.0, 30.0);
    let least = 49.998 + 19.0 * row(52.998, 30.002);
    assert!(
        least <= best.length_mm && best.length_mm < known * 1.002,
        "{} {known}",
        best.length_mm
    );
}

/// On wide film discs come near to the densest packing of the plane, pi / (2 sqrt 3) = 0.907 (Thue, Fejes Tóth), and
/// cannot surpass it by more than what the edges of the film give. In rows and columns it is pi / 4.
#[test]
fn discs_are_denser_than_in_rows_and_columns() {
    let rings = [regular(120, 20.0)];
    let best = found(&input(&rings, Turns::None, 600.0, 200));
    assert!(
        best.share_used > 0.82 && best.share_used < 0.907,
        "{}",
        best.share_used
    );
    assert!(best.length_mm < 0.95 * best.boxes.1);
}

/// Squares gain nothing.
#[test]
fn squares_lie_in_rows_and_columns() {
    let rings = [ring(&[(7.0, 7.0), (57.0, 7.0), (57.0, 57.0), (7.0, 57.0)])];
    for turns in [Turns::None, Turns::Half, Turns::Quarter] {
        let best = found(&NestInput {
            gap: 2.5,
            margin: 10.0,
            ..input(&rings, turns, 280.0, 23)
        });
        // Five across take 5 x 50 + 4 x 2.5 + 20 = 280; five rows as much along.
        assert!((best.length_mm - 280.0).abs() < 1e-6, "{}", best.length_mm);
    }
}

/// A strip of 10 by 90 goes across film of 95 mm, once turned.
#[test]
fn a_turn_is_used_where_it_helps() {
    let rings = [ring(&[(0.0, 0.0), (10.0, 0.0), (10.0, 90.0), (0.0, 90.0)])];
    for (turns, quantity, length) in [
        (Turns::None, 2, 90.0),
        (Turns::Half, 2, 90.0),
        (Turns::Quarter, 2, 20.0),
        (Turns::Quarter, 1, 10.0),
    ] {
        let best = found(&input(&rings, turns, 95.0, quantity));
        assert!((best.length_mm - length).abs() < 1e-3, "{}", best.length_mm);
        assert_eq!(best.placements.len(), quantity as usize);
    }
}

/// A sheet of 120 by 80 holds two rectangles of two triangles each, by their boxes only one triangle in each.
#[test]
fn a_sheet_holds_as_many_as_were_found_to_fit() {
    let rings = triangle();
    let sheet = NestInput {
        length: Some(80.0),
        ..input(&rings, Turns::Half, 120.0, 9)
    };
    let best = found(&sheet);
    assert_eq!((best.placements.len(), best.boxes.0), (4, 2));
    // All that are asked for, where there is room for more.
    let best = found(&NestInput {
        length: Some(500.0),
        quantity: 5,
        ..sheet
    });
    assert_eq!(best.placements.len(), 5);
    assert!(best.length_mm <= 240.001);
}

/// Five hundred of them: the layout is measured as any other one.
#[test]
fn many_copies_repeat_a_pattern() {
    let rings = triangle();
    let best = found(&NestInput {
        gap: 3.0,
        margin: 10.0,
        ..input(&rings, Turns::Half, 620.0, MOST)
    });
    assert_eq!(best.placements.len(), 500);
    assert!(
        best.length_mm < 0.6 * best.boxes.1,
        "{} {:?}",
        best.length_mm,
        best.boxes
    );
}

/// A decal of many small pieces, as many as make a frame of 84 discs: they stay together.
#[test]
fn pieces_stay_together() {
    let dots = (0..22).flat_map(|place| {
        let at = f64::from(place) * 8.0;
        [(at, 0.0), (at, 168.0), (0.0, at), (168.0, at)]
    });
    let rings: Vec<Ring> = dots
        .enumerate()
        .filter(|(place, _)| ![2, 3, 85, 87].contains(place))
        .map(|(_, (x, y))| {
            regular(12, 2.0)
                .iter()
                .map(|at| Point::new(at.x + x, at.y + y))
                .collect()
        })
        .collect();
    assert_eq!(rings.len(), 84);
    let best = found(&NestInput {
        gap: 2.0,
        ..input(&rings, Turns::Half, 400.0, 6)
    });
    assert_eq!(best.placements.len(), 6);
}

#[test]
fn mistakes_are_told_by_their_field() {
    let rings = triangle();
    let good = input(&rings, Turns::Half, 100.0, 3);
    let none: [Ring; 0] = [];
    let flat = [ring(&[(0.0, 0.0), (5.0, 0.0), (9.0, 0.0)])];
    let endless = [ring(&[(0.0, 0.0), (5.0, f64::NAN), (9.0, 7.0)])];
    let wrong = |change: &dyn Fn(&mut NestInput), field: &str, code: Code| {
        let mut input = good;
        change(&mut input);
        let error = nest(&input, &mut |_| true).unwrap_err();
        assert_eq!(
            (error.field.as_str(), error.code),
            (field, code),
            "{input:?}"
        );
    };
    wrong(&|input| input.width = 59.0, "width", Code::DoesNotFit);
    wrong(&|input| input.margin = 21.0, "width", Code::DoesNotFit);
    wrong(
        &|input| input.length = Some(79.0),
        "width",
        Code::DoesNotFit,
    );
    wrong(&|input| input.width = 0.0, "width", Code::Impossible);
    wrong(
        &|input| input.width = f64::INFINITY,
        "width",
        Code::Impossible,
    );
    wrong(
        &|input| input.length = Some(-1.0),
        "length",
        Code::Impossible,
    );
    wrong(&|input| input.gap = -0.1, "gap", Code::Impossible);
    wrong(&|input| input.gap = f64::NAN, "gap", Code::Impossible);
    wrong(&|input| input.margin = f64::NAN, "margin", Code::Impossible);
    wrong(&|input| input.quantity = 0, "quantity", Code::TooSmall);
    wrong(
        &|input| input.quantity = MOST + 1,
        "quantity",
        Code::TooLarge,
    );
    for rings in [&none[..], &flat, &endless] {
        let error = nest(&NestInput { rings, ..good }, &mut |_| true).unwrap_err();
        assert_eq!(
            (error.field.as_str(), error.code),
            ("rings", Code::Impossible)
        );
    }
    // Turned by a right angle, it goes on narrower film.
    assert!(
        nest(
            &NestInput {
                width: 62.0,
                turns: Turns::Quarter,
                ..good
            },
            &mut |_| true
        )
        .is_ok()
    );
    let lying = [ring(&[(0.0, 0.0), (80.0, 0.0), (0.0, 60.0)])];
    let narrow = NestInput {
        rings: &lying,
        width: 62.0,
        ..good
    };
    assert!(nest(&narrow, &mut |_| true).is_err());
    found(&NestInput {
        turns: Turns::Quarter,
        ..narrow
    });
}

/// The watch ends the search; what was found by then is told. Part by part it finds the same.
#[test]
fn a_search_is_ended_by_its_watch_and_always_finds_the_same() {
    let rings = triangle();
    let input = NestInput {
        gap: 3.0,
        ..input(&rings, Turns::Quarter, 300.0, 12)
    };
    let first = nest(&input, &mut |_| false).unwrap();
    let mut search = Search::new(&input).unwrap();
    assert_eq!(search.best(), &first);
    let mut told = Vec::new();
    let best = nest(&input, &mut |steps| {
        told.push(steps);
        told.len() < 4
    });
    let mut share = search.share_done();
    for _ in 0..3 {
        let before = search.best().length_mm;
        let better = search.search();
        assert_eq!(better, search.best().length_mm < before);
        assert!(search.share_done() > share && search.share_done() <= 1.0);
        share = search.share_done();
    }
    assert_eq!(search.best(), &best.unwrap());
    assert_eq!(told.len(), 4);
    assert_eq!(told.iter().sum::<u64>(), search.steps());
}

/// A ring about a point, its corners at rising angles and drawn distances.
fn random_ring() -> impl Strategy<Value = Ring> {
    (3..14_u32).prop_flat_map(|corners| {
        prop::collection::vec(3.0..40.0_f64, corners as usize).prop_map(move |distances| {
            let corners = (0..).zip(distances);
            let count = number(corners.size_hint().0);
            corners
                .map(|(corner, distance)| {
                    let (sin, cos) = (TAU * f64::from(corner) / count).sin_cos();
                    Point::new(distance * cos, distance * sin)
                })
                .collect()
        })
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    /// Whatever is laid, on whatever film.
    #[test]
    fn layouts_hold(
        first in random_ring(), second in prop::option::of(random_ring()),
        width in 82.0..400.0_f64, length in prop::option::of(82.0..300.0_f64),
        (margin, gap) in (0.0..6.0_f64, prop_oneof![Just(0.0), 0.0..8.0_f64]),
        quantity in 1..14_u32,
        turns in prop_oneof![Just(Turns::None), Just(Turns::Half), Just(Turns::Quarter)],
    ) {
        let aside = second.map(|ring| ring.iter().map(|at| Point::new(at.x + 81.0, at.y + 9.0)).collect());
        let rings: Vec<Ring> = std::iter::once(first).chain(aside).collect();
        let input = NestInput { rings: &rings, turns, width, length, margin, gap, quantity };
        match Search::new(&input) {
            Ok(mut search) => {
                measured(&input, search.best());
                search.search();
                measured(&input, search.best());
                prop_assert!(length.is_some() || search.best().placements.len() == quantity as usize);
            }
            Err(error) => {
                prop_assert_eq!(error.code, Code::DoesNotFit);
                prop_assert_eq!(boxes(&input).0, 0);
            }
        }
    }
}
