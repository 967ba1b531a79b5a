//! Joined outlines, against plane geometry, winding numbers, and another library for regions of curves.

use decal_reckoner::artwork::join::{Joined, Split, join};
use decal_reckoner::artwork::measures::Measures;
use decal_reckoner::artwork::outline::{Artwork, Colour, Contour, FLAT, Kind, Rule, Shape};
use kurbo::{Affine, BezPath, Circle, PathEl, PathSeg, Point, Rect, Shape as _, Vec2};
use linesweeper::{BinaryOp, FillRule, binary_op};
use proptest::prelude::*;
use std::f64::consts::{PI, TAU};

const BLACK: Colour = Colour([0; 3]);
const WHITE: Colour = Colour([255; 3]);

fn shape(path: BezPath, rule: Rule) -> Shape {
    Shape {
        path,
        rule,
        colour: BLACK,
        kind: Kind::Fill,
    }
}

fn of(paths: impl IntoIterator<Item = BezPath>) -> Artwork {
    Artwork {
        shapes: paths
            .into_iter()
            .map(|path| shape(path, Rule::NonZero))
            .collect(),
        ..Artwork::default()
    }
}

fn circle(x: f64, y: f64, radius: f64) -> BezPath {
    Circle::new((x, y), radius).to_path(1e-9 * radius)
}

fn rectangle(x: f64, y: f64, width: f64, height: f64) -> BezPath {
    Rect::new(x, y, x + width, y + height).to_path(0.1)
}

fn joined(artwork: &Artwork) -> Joined {
    join(artwork, Split::default())
}

fn contours(joined: &Joined) -> impl Iterator<Item = &Contour> {
    joined.films.iter().flat_map(|film| &film.contours)
}

fn measures(joined: &Joined) -> Measures {
    let films = joined.films.iter().map(Measures::of);
    films.reduce(Measures::and).unwrap()
}

fn long(line: &[Point]) -> f64 {
    line.windows(2)
        .map(|ends| (ends[1] - ends[0]).hypot())
        .sum()
}

fn close(is: f64, should: f64, part: f64) {
    assert!(
        (is - should).abs() <= part * should.abs(),
        "{is} is not {should}"
    );
}

/// What is joined, as a drawing again: a shape for each piece.
fn as_drawing(joined: &Joined) -> Artwork {
    let mut artwork = Artwork::default();
    for film in &joined.films {
        for piece in film.contours.chunk_by(|a, b| a.piece == b.piece) {
            let path = piece.iter().flat_map(|contour| &contour.path).collect();
            let colour = film.colour.unwrap_or(BLACK);
            artwork.shapes.push(Shape {
                colour,
                ..shape(path, Rule::EvenOdd)
            });
        }
    }
    artwork
}

/// Two circles of radius r, their centres r apart: the lens between them has two thirds of pi minus half the root of
/// three, times r squared (circular segments, Euclid; derived), and a third of each circle lies inside of the other.
#[test]
fn two_circles_are_what_geometry_says() {
    let joined = joined(&of([circle(0.0, 0.0, 10.0), circle(10.0, 0.0, 10.0)]));
    let measures = measures(&joined);
    let lens = 100.0 * (TAU / 3.0 - 3.0_f64.sqrt() / 2.0);
    assert_eq!((measures.pieces, measures.islands), (1, 0));
    close(measures.stays, TAU * 100.0 - lens, 1e-6);
    close(measures.cut, 2.0 * TAU * 10.0 * 2.0 / 3.0, 1e-6);
    close(measures.rectangle, 30.0 * 20.0, 1e-9);
    let inner: f64 = joined.inner.iter().map(|line| long(line)).sum();
    close(inner, 2.0 * TAU * 10.0 / 3.0, 1e-4);
    assert_eq!(joined.pieces_before, 2);
    close(joined.area_before, TAU * 100.0, 1e-3);
}

/// Rectangles on whole millimetres: everything is exact.
#[test]
fn rectangles_are_exact() {
    let joined = joined(&of([
        rectangle(0.0, 0.0, 10.0, 10.0),
        rectangle(5.0, 5.0, 10.0, 10.0),
        rectangle(20.0, 0.0, 5.0, 5.0),
        // One inside of another film, and one that shares an edge with it.
        rectangle(21.0, 1.0, 1.0, 1.0),
        rectangle(25.0, 0.0, 5.0, 5.0),
    ]));
    let measures = measures(&joined);
    assert_eq!(
        (measures.pieces, measures.islands, measures.nodes),
        (2, 0, 12)
    );
    assert!((measures.stays - 225.0).abs() < 1e-9, "{}", measures.stays);
    assert!((measures.cut - 90.0).abs() < 1e-9, "{}", measures.cut);
    let inner: f64 = joined.inner.iter().map(|line| long(line)).sum();
    // Four times 5 where they overlap, 4 round the small one, 2 times 5 along the shared edge.
    assert!((inner - 34.0).abs() < 1e-5, "{inner}");
    assert_eq!(joined.pieces_before, 5);
    assert!((joined.area_before - joined.area_after - 26.0).abs() < 1e-5);
}

/// What meets in a point is apart: film tears there. Islands that meet in a point are two, and so is what lies in an
/// island.
#[test]
fn what_meets_in_a_point_is_apart() {
    let touching = of([rectangle(0.0, 0.0, 1.0, 1.0), rectangle(1.0, 1.0, 1.0, 1.0)]);
    assert_eq!(measures(&joined(&touching)).pieces, 2);
    let mut holes = rectangle(0.0, 0.0, 4.0, 4.0);
    holes.extend(rectangle(1.0, 1.0, 1.0, 1.0));
    holes.extend(rectangle(2.0, 2.0, 1.0, 1.0));
    let holes = Artwork {
        shapes: vec![shape(holes, Rule::EvenOdd)],
        ..Artwork::default()
    };
    let holes = measures(&joined(&holes));
    assert_eq!((holes.pieces, holes.islands), (1, 2));
    assert!((holes.stays - 14.0).abs() < 1e-9);
}

/// SVG 2, 13.4.2, whose figures are five-pointed stars: by the nonzero rule the middle is filled, by the even-odd rule
/// it is not.
#[test]
fn a_star_is_filled_by_its_rule() {
    let mut star = BezPath::new();
    for point in [0, 2, 4, 1, 3] {
        let (sin, cos) = (TAU * f64::from(point) / 5.0).sin_cos();
        let at = Point::new(10.0 * sin, -10.0 * cos);
        if point == 0 {
            star.move_to(at);
        } else {
            star.line_to(at);
        }
    }
    star.close_path();
    // A pentagram in a circle of radius R has the area 1.12256994 R squared, its inner pentagon 0.34690... of it
    // (from the coordinates of its corners; derived).
    let (outer, inner) = (10.0, 10.0 * (PI / 5.0 * 2.0).cos() / (PI / 5.0).cos());
    let whole = 5.0 * outer * inner * (PI / 5.0).sin();
    let middle = 2.5 * inner * inner * (TAU / 5.0).sin();
    for (rule, pieces, islands, area) in [
        (Rule::NonZero, 1, 0, whole),
        (Rule::EvenOdd, 5, 0, whole - middle),
    ] {
        let artwork = Artwork {
            shapes: vec![shape(star.clone(), rule)],
            ..Artwork::default()
        };
        let measures = measures(&joined(&artwork));
        assert_eq!((measures.pieces, measures.islands), (pieces, islands));
        close(measures.stays, area, 1e-6);
    }
}

#[test]
fn what_is_drawn_twice_is_cut_once() {
    let once = circle(3.0, 4.0, 7.0);
    let mut later = BezPath::new();
    // The same circle from another of its points on.
    let segs: Vec<PathSeg> = once.segments().collect();
    later.move_to(segs[2].reverse().eval_start());
    for seg in segs[2..].iter().chain(&segs[..2]) {
        later.push(seg.as_path_el());
    }
    later.close_path();
    let twice = joined(&of([once.clone(), once.reverse_subpaths(), later]));
    let measures = measures(&twice);
    assert_eq!((measures.pieces, measures.islands), (1, 0));
    close(measures.stays, once.area(), 1e-9);
    close(measures.cut, TAU * 7.0, 1e-6);
    assert!(twice.inner.is_empty(), "{:?}", twice.inner);
}

trait Start {
    fn eval_start(&self) -> Point;
}

impl Start for PathSeg {
    /// Where the segment that was turned round began.
    fn eval_start(&self) -> Point {
        kurbo::ParamCurve::end(self)
    }
}

/// A ring of lines and curves that nothing overlaps comes out as it went in, to the last bit.
#[test]
fn what_nothing_overlaps_is_left_as_it_is() {
    let drawn =
        BezPath::from_svg("M10.1 3.3C12 3 14.7 5 15 8Q16 12 11 12.9L7 9.7C6.1 8 8 4 10.1 3.3Z")
            .unwrap();
    let joined = joined(&of([drawn.clone(), circle(40.0, 40.0, 3.0)]));
    let first = contours(&joined).next().unwrap();
    let is: Vec<PathEl> = first.path.elements().to_vec();
    assert_eq!(is, drawn.elements());
}

#[test]
fn lines_without_a_fill_are_cut_round() {
    let lines = |paths: Vec<BezPath>| Artwork {
        shapes: paths
            .into_iter()
            .map(|path| Shape {
                kind: Kind::Line,
                ..shape(path, Rule::NonZero)
            })
            .collect(),
        ..Artwork::default()
    };
    // Two circles of one O, each a path of its own.
    let ring = joined(&lines(vec![circle(0.0, 0.0, 5.0), circle(0.0, 0.0, 3.0)]));
    let measures = measures(&ring);
    assert_eq!((measures.pieces, measures.islands), (1, 1));
    close(measures.stays, PI * 16.0, 1e-6);
}

#[test]
fn the_ground_takes_away_what_lies_under_it() {
    let mut artwork = of([
        rectangle(0.0, 0.0, 10.0, 10.0),
        circle(5.0, 5.0, 3.0),
        rectangle(4.5, 4.5, 1.0, 1.0),
    ]);
    artwork.shapes[1].colour = WHITE;
    let split = Split {
        layers: false,
        ground: Some(WHITE),
    };
    let joined = join(&artwork, split);
    let measures = measures(&joined);
    assert_eq!((measures.pieces, measures.islands), (2, 1));
    close(measures.stays, 100.0 - PI * 9.0 + 1.0, 1e-6);
}

/// Each colour is a film for itself, in the order of painting; what is covered by another film is there all the same.
#[test]
fn colours_are_films() {
    let red = Colour([200, 0, 0]);
    let mut artwork = of([
        rectangle(0.0, 0.0, 10.0, 10.0),
        rectangle(2.0, 2.0, 3.0, 3.0),
        rectangle(8.0, 8.0, 4.0, 4.0),
    ]);
    artwork.shapes[1].colour = red;
    let joined = join(
        &artwork,
        Split {
            layers: true,
            ground: None,
        },
    );
    let films: Vec<_> = joined
        .films
        .iter()
        .map(|film| (film.colour, Measures::of(film).stays.round()))
        .collect();
    assert_eq!(films, [(Some(BLACK), 112.0), (Some(red), 9.0)]);
    assert_eq!(joined.bounds, Rect::new(0.0, 0.0, 12.0, 12.0));
}

/// A blob with waves, loops and cusps.
fn wild() -> impl Strategy<Value = BezPath> {
    blob(-0.6..1.4)
}

/// A blob whose outline does not come near to itself: near a cusp, two lines lie so close to each other that where
/// they cross is a matter of the last digit.
fn tame() -> impl Strategy<Value = BezPath> {
    blob(0.05..0.35)
}

fn blob(reach: std::ops::Range<f64>) -> impl Strategy<Value = BezPath> {
    let corner = (0.4..1.6_f64, reach);
    (
        (0.0..60.0_f64, 0.0..60.0_f64, 1.0..14.0_f64),
        proptest::collection::vec(corner, 3..8),
        0..3_u8,
    )
        .prop_map(|((x, y, radius), corners, kind)| {
            let count = corners.len();
            let turn = TAU / f64::from(u8::try_from(count).unwrap());
            let spokes: Vec<Vec2> = (0..)
                .zip(&corners)
                .map(|(place, (share, _))| {
                    Vec2::from_angle(turn * f64::from(place)) * *share * radius
                })
                .collect();
            let mut path = BezPath::new();
            let middle = Vec2::new(x, y);
            path.move_to((middle + spokes[0]).to_point());
            for (place, (_, reach)) in corners.iter().enumerate() {
                let (from, to) = (spokes[place], spokes[(place + 1) % count]);
                let side = |spoke: Vec2| spoke.turn_90() * *reach;
                let (a, b) = (middle + from + side(from), middle + to - side(to));
                let to = (middle + to).to_point();
                match kind {
                    0 => path.line_to(to),
                    1 => path.quad_to(a.to_point(), to),
                    _ => path.curve_to(a.to_point(), b.to_point(), to),
                }
            }
            path.close_path();
            path
        })
}

fn rule() -> impl Strategy<Value = Rule> {
    prop_oneof![Just(Rule::NonZero), Just(Rule::EvenOdd)]
}

fn drawing(blob: impl Strategy<Value = BezPath> + 'static) -> impl Strategy<Value = Artwork> {
    proptest::collection::vec((blob, rule()), 1..14).prop_map(|shapes| Artwork {
        shapes: shapes
            .into_iter()
            .map(|(path, rule)| shape(path, rule))
            .collect(),
        ..Artwork::default()
    })
}

fn inside(shape: &Shape, point: Point) -> bool {
    let winding = shape.path.winding(point);
    match shape.rule {
        Rule::NonZero => winding != 0,
        Rule::EvenOdd => winding % 2 != 0,
    }
}

/// Whether a point is so near to an outline that it may be on either side.
fn on_edge(artwork: &Artwork, point: Point, near: f64) -> bool {
    let segs = artwork
        .shapes
        .iter()
        .flat_map(|shape| shape.path.segments());
    let mut squares =
        segs.map(|seg| kurbo::ParamCurveNearest::nearest(&seg, point, 1e-9).distance_sq);
    squares.any(|square| square < near * near)
}

/// So far straight lines may stray from the curves of a drawing.
fn stray(artwork: &Artwork) -> f64 {
    let bounds = artwork.bounds();
    FLAT * bounds.width().max(bounds.height())
}

/// Whether a closed line encloses no more than a strip so narrow.
fn is_thin(path: &BezPath, width: f64) -> bool {
    path.area().abs() <= width * path.perimeter(1e-9)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    /// A point is on film if it is inside of any shape by that one's rule: winding numbers by another library.
    #[test]
    fn film_is_where_a_shape_is(
        artwork in drawing(wild()),
        points in proptest::collection::vec((0.0..1.0_f64, 0.0..1.0_f64), 200),
    ) {
        let joined = joined(&artwork);
        let bounds = artwork.bounds();
        let stray = 3.0 * stray(&artwork);
        for (x, y) in points {
            let at = Point::new(bounds.x0 + x * bounds.width(), bounds.y0 + y * bounds.height());
            if on_edge(&artwork, at, stray) {
                continue;
            }
            let is = contours(&joined).map(|contour| contour.path.winding(at)).sum::<i32>();
            let should = artwork.shapes.iter().any(|shape| inside(shape, at));
            prop_assert_eq!(is, i32::from(should), "at {:?}", at);
        }
    }

    /// Joining what is joined changes nothing, to the last bit.
    #[test]
    fn joining_twice_changes_nothing(artwork in drawing(tame())) {
        let once = joined(&artwork);
        let twice = joined(&as_drawing(&once));
        let stray = stray(&artwork);
        // What is at the limit of being left out as too thin may be left out.
        let paths = |joined: &Joined| {
            let sure = contours(joined).filter(|contour| !is_thin(&contour.path, 3.0 * stray));
            sure.map(|contour| contour.path.clone()).collect::<Vec<_>>()
        };
        prop_assert_eq!(paths(&once), paths(&twice));
        let inner: f64 = twice.inner.iter().map(|line| long(line)).sum();
        let thin = contours(&once).filter(|contour| is_thin(&contour.path, 3.0 * stray));
        let thin: f64 = thin.map(|contour| contour.path.perimeter(1e-9)).sum();
        prop_assert!(inner <= thin * 1.001, "{:?}", twice.inner);
    }

    /// The same of outlines with cusps, to what straight lines stray.
    #[test]
    fn joining_wild_outlines_twice_adds_nothing(artwork in drawing(wild())) {
        let once = joined(&artwork);
        let twice = measures(&joined(&as_drawing(&once)));
        let once = measures(&once);
        let stray = stray(&artwork);
        prop_assert!((once.stays - twice.stays).abs() <= 2.0 * stray * once.cut);
    }

    /// Pieces run clockwise and holes the other way round, each hole after its piece; points of a ring lie on the
    /// curve and nowhere else.
    #[test]
    fn contours_are_what_they_say(artwork in drawing(wild())) {
        let joined = joined(&artwork);
        let stray = 2.0 * stray(&artwork);
        let mut piece = None;
        for contour in contours(&joined) {
            prop_assert_eq!(contour.path.area() < 0.0, contour.hole);
            prop_assert_eq!(contour.piece, match (piece, contour.hole) {
                (None, _) => 0,
                (Some(last), true) => last,
                (Some(last), false) => last + 1,
            });
            piece = Some(contour.piece);
            prop_assert!(matches!(contour.path.elements().last(), Some(PathEl::ClosePath)));
            let mut ring = contour.ring.clone();
            ring.dedup();
            prop_assert_eq!(ring.len(), contour.ring.len());
            prop_assert_ne!(ring.first(), ring.last());
            for point in ring.iter().step_by(7) {
                let segs = contour.path.segments();
                let near = segs.map(|seg| kurbo::ParamCurveNearest::nearest(&seg, *point, 1e-9).distance_sq);
                let near = near.min_by(f64::total_cmp).unwrap();
                prop_assert!(near.sqrt() <= stray, "{} is off by {}", point, near.sqrt());
            }
        }
    }

    /// Turned and made larger, a drawing measures what it must.
    #[test]
    fn measures_grow_with_the_size(artwork in drawing(tame()), turn in 0.0..TAU, grow in 0.1..30.0_f64) {
        let before = measures(&joined(&artwork));
        let mut other = artwork.clone();
        let to = Affine::translate((-700.0, 310.0)) * Affine::rotate(turn) * Affine::scale(grow);
        for shape in &mut other.shapes {
            shape.path.apply_affine(to);
        }
        let after = measures(&joined(&other));
        prop_assert!((after.stays / before.stays / grow / grow - 1.0).abs() < 1e-4);
        if after.outlines() == before.outlines() {
            prop_assert!((after.cut / before.cut / grow - 1.0).abs() < 1e-3);
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(150))]

    /// Against linesweeper, which joins the curves themselves: areas to 0.1 %. It is in its
    /// beginnings, and now and then wrong where an outline crosses itself: those are left to winding numbers.
    #[test]
    fn another_library_finds_the_same_film(
        paths in proptest::collection::vec(tame(), 1..9),
    ) {
        // The other library knows one rule for all: under it shapes that run the same way are joined.
        let mut all = BezPath::new();
        let artwork = of(paths.iter().cloned());
        let ours = joined(&artwork);
        for path in as_drawing(&join_each(&paths)).shapes {
            all.extend(path.path);
        }
        let Ok(theirs) = binary_op(&all, &BezPath::new(), FillRule::NonZero, BinaryOp::Union) else {
            return Err(TestCaseError::reject("the other library gives up"));
        };
        let area: f64 = theirs.contours().map(|contour| contour.path.area()).sum();
        let ours = measures(&ours);
        prop_assert!((ours.stays - area.abs()).abs() <= 1e-3 * ours.stays, "{} and {}", ours.stays, area);
    }
}

/// Each path joined for itself, so that all of them run the same way.
fn join_each(paths: &[BezPath]) -> Joined {
    let mut all = joined(&of([paths[0].clone()]));
    for path in &paths[1..] {
        all.films.extend(joined(&of([path.clone()])).films);
    }
    all
}
