//! The file for the cutter, read back by libraries of others: it is well-formed, in millimetres, and cuts the same
//! outlines.

use decal_reckoner::artwork::outline::{Colour, Contour, Film};
use decal_reckoner::artwork::write::{CutFile, MARK, MARK_GAP};
use kurbo::{Affine, BezPath, Circle, Point, Rect, Shape as _, Vec2};
use proptest::prelude::*;
use roxmltree::{Document, Node};
use svgtypes::{Length, LengthUnit, PathParser, PathSegment, ViewBox};

/// A contour of this path; its ring is left out, since nothing that is written is made of it.
fn contour(path: BezPath, hole: bool, piece: usize) -> Contour {
    Contour {
        path,
        ring: Vec::new(),
        hole,
        piece,
    }
}

fn polygon(corners: &[(f64, f64)]) -> BezPath {
    let mut path = BezPath::new();
    path.move_to(corners[0]);
    for corner in &corners[1..] {
        path.line_to(*corner);
    }
    path.close_path();
    path
}

fn film(colour: Option<[u8; 3]>, contours: Vec<Contour>) -> Film {
    Film {
        colour: colour.map(Colour),
        contours,
    }
}

/// A disc of radius 10 about (30, 20) with a square hole of side 4, and a triangle of area 50, in red; an outline
/// with one arc of a parabola over a base of 12 in another film: `M 40 30 Q 46 18 52 30`, whose area is two thirds
/// of base by height: 2/3 x 12 x 6 = 48 (Archimedes, Quadrature of the Parabola).
fn artwork() -> Vec<Film> {
    let disc = Circle::new((30.0, 20.0), 10.0).to_path(1e-6);
    let hole = polygon(&[(28.0, 18.0), (28.0, 22.0), (32.0, 22.0), (32.0, 18.0)]);
    let triangle = polygon(&[(50.0, 10.0), (60.0, 10.0), (60.0, 20.0)]);
    let parabola = BezPath::from_svg("M 40 30 Q 46 18 52 30 Z").unwrap();
    vec![
        film(
            Some([200, 16, 46]),
            vec![
                contour(disc, false, 0),
                contour(hole, true, 0),
                contour(triangle, false, 1),
            ],
        ),
        film(None, vec![contour(parabola, false, 0)]),
    ]
}

fn file(films: &[Film]) -> CutFile<'_> {
    CutFile {
        title: "KITTIWAKE",
        films,
        scale: 1.0,
        bounds: Rect::new(20.0, 10.0, 60.0, 30.0),
        weeding_border: None,
        reverse: false,
        marks: false,
        only: None,
    }
}

/// The path of `d`, by another reader; only absolute M L Q C Z are known.
fn path(node: Node<'_, '_>) -> BezPath {
    let mut path = BezPath::new();
    for segment in PathParser::from(node.attribute("d").unwrap()) {
        match segment.unwrap() {
            PathSegment::MoveTo { abs: true, x, y } => path.move_to((x, y)),
            PathSegment::LineTo { abs: true, x, y } => path.line_to((x, y)),
            PathSegment::Quadratic {
                abs: true,
                x1,
                y1,
                x,
                y,
            } => path.quad_to((x1, y1), (x, y)),
            PathSegment::CurveTo {
                abs: true,
                x1,
                y1,
                x2,
                y2,
                x,
                y,
            } => {
                path.curve_to((x1, y1), (x2, y2), (x, y));
            }
            PathSegment::ClosePath { .. } => path.close_path(),
            other => panic!("{other:?}"),
        }
    }
    path
}

fn by_id<'a>(document: &'a Document<'a>, id: &str) -> Node<'a, 'a> {
    let mut found = document
        .descendants()
        .filter(|node| node.attribute("id") == Some(id));
    let node = found.next().unwrap_or_else(|| panic!("no {id}"));
    assert!(found.next().is_none(), "{id} twice");
    node
}

/// The paths of a film's pieces, without its marks.
fn pieces(group: Node<'_, '_>) -> Vec<BezPath> {
    let paths = group.children().filter(|node| node.has_tag_name("path"));
    paths
        .filter(|node| node.attribute("id").is_none())
        .map(path)
        .collect()
}

fn subpaths(path: &BezPath) -> Vec<BezPath> {
    let mut parts: Vec<BezPath> = Vec::new();
    for element in path.elements() {
        if matches!(element, kurbo::PathEl::MoveTo(_)) {
            parts.push(BezPath::new());
        }
        parts.last_mut().unwrap().push(*element);
    }
    parts
}

/// The page in mm, after its two statements of it were found alike.
fn page(svg: &str) -> (f64, f64) {
    let document = Document::parse(svg).unwrap();
    let root = document.root_element();
    let view: ViewBox = root.attribute("viewBox").unwrap().parse().unwrap();
    assert_eq!((view.x, view.y), (0.0, 0.0));
    for (name, side) in [("width", view.w), ("height", view.h)] {
        let length: Length = root.attribute(name).unwrap().parse().unwrap();
        assert_eq!(length.unit, LengthUnit::Mm);
        assert!((length.number - side).abs() < 1e-9);
    }
    (view.w, view.h)
}

fn text_of<'a>(document: &'a Document<'a>, tag: &str) -> &'a str {
    let node = document
        .root_element()
        .children()
        .find(|node| node.has_tag_name(tag));
    node.unwrap().text().unwrap()
}

#[test]
fn an_area_is_the_one_that_was_drawn_by_its_formula() {
    let films = artwork();
    let svg = CutFile {
        scale: 2.5,
        ..file(&films)
    }
    .svg();
    assert_eq!(page(&svg), (100.0, 50.0));
    let document = Document::parse(&svg).unwrap();
    let first = pieces(by_id(&document, "film-1"));
    let second = pieces(by_id(&document, "film-2"));
    // One path for a piece with its hole, drawn the other way round, so that signed areas take the hole off.
    assert_eq!((first.len(), second.len()), (2, 1));
    assert_eq!(subpaths(&first[0]).len(), 2);
    let square = 2.5 * 2.5;
    // Moved by 0.0007 at most, an outline changes its area by no more than that times its length.
    let disc = (std::f64::consts::PI * 100.0 - 16.0) * square;
    assert!(
        (first[0].area().abs() - disc).abs() < 0.2,
        "{}",
        first[0].area()
    );
    assert!((first[1].area().abs() - 50.0 * square).abs() < 0.07);
    assert!((second[0].area().abs() - 48.0 * square).abs() < 0.06);
    // Curves stay curves.
    let curves = |path: &BezPath| {
        let elements = path.elements().iter();
        elements
            .filter(|e| matches!(e, kurbo::PathEl::CurveTo(..) | kurbo::PathEl::QuadTo(..)))
            .count()
    };
    assert_eq!(curves(&first[0]), curves(&films[0].contours[0].path));
    assert_eq!(curves(&second[0]), 1);
    let paints = ["film-1", "film-2"].map(|id| by_id(&document, id).attribute("fill").unwrap());
    assert_eq!(paints, ["#c8102e", "#000000"]);
    assert_eq!(
        by_id(&document, "film-1").attribute("fill-rule"),
        Some("evenodd")
    );
}

#[test]
fn a_border_is_a_rectangle_so_far_from_the_drawing_as_asked() {
    let films = artwork();
    let svg = CutFile {
        weeding_border: Some(3.175),
        ..file(&films)
    }
    .svg();
    assert_eq!(page(&svg), (46.35, 26.35));
    let document = Document::parse(&svg).unwrap();
    let group = by_id(&document, "weeding-border");
    assert_eq!(group.attribute("fill"), Some("none"));
    let border = path(group.first_element_child().unwrap());
    assert_eq!(border.bounding_box(), Rect::new(0.0, 0.0, 46.35, 26.35));
    assert!((border.area().abs() - 46.35 * 26.35).abs() < 1e-9);
    // The disc's left edge and the triangle's upper one are edges of the drawing.
    let disc = pieces(by_id(&document, "film-1"))[0].bounding_box();
    assert!((disc.x0 - 3.175).abs() < 0.002 && (disc.y0 - 3.175).abs() < 0.002);
    let none = file(&films).svg();
    assert!(!none.contains("weeding-border"));
}

#[test]
fn marks_are_alike_in_all_films_and_clear_of_the_drawing() {
    let films = artwork();
    for (reverse, border) in [(false, None), (true, Some(2.0)), (false, Some(0.0))] {
        let file = CutFile {
            marks: true,
            weeding_border: border,
            reverse,
            scale: 0.5,
            ..file(&films)
        };
        let svg = file.svg();
        let document = Document::parse(&svg).unwrap();
        let both = ["film-1-marks", "film-2-marks"].map(|id| by_id(&document, id).attribute("d"));
        assert_eq!(both[0], both[1]);
        let marks = subpaths(&path(by_id(&document, "film-1-marks")));
        let edge = border.unwrap_or(0.0);
        let around = edge + MARK + MARK_GAP;
        let (width, height) = page(&svg);
        assert_eq!((width, height), (20.0 + 2.0 * around, 10.0 + 2.0 * around));
        let drawing = Rect::new(around, around, width - around, height - around);
        let inside = Rect::new(edge, edge, width - edge, height - edge);
        assert_eq!(marks.len(), 3);
        for (place, mark) in marks.iter().enumerate() {
            let own = mark.bounding_box();
            assert_eq!(inside.union(own), inside);
            let clear = drawing.inflate(MARK_GAP, MARK_GAP).intersect(own);
            assert!(clear.area().abs() < 1e-9, "{own:?}");
            // Two squares, and a triangle of half a square.
            let share = if place == 2 { 0.5 } else { 1.0 };
            assert!((mark.area().abs() - share * MARK * MARK).abs() < 1e-9);
            for other in &marks[..place] {
                assert!(own.intersect(other.bounding_box()).area() <= 0.0);
            }
        }
        // No half turn or mirroring of the page brings all marks upon marks.
        let centres = |marks: &[BezPath], to: Affine| {
            let mut centres: Vec<_> = marks
                .iter()
                .map(|mark| to * mark.bounding_box().center())
                .map(|centre| format!("{:.3} {:.3}", centre.x, centre.y))
                .collect();
            centres.sort_unstable();
            centres
        };
        let known = centres(&marks, Affine::IDENTITY);
        for (across, down) in [(-1.0, -1.0), (-1.0, 1.0), (1.0, -1.0)] {
            let shift = Vec2::new(
                if across < 0.0 { width } else { 0.0 },
                if down < 0.0 { height } else { 0.0 },
            );
            let to = Affine::translate(shift) * Affine::scale_non_uniform(across, down);
            assert_ne!(centres(&marks, to), known);
        }
    }
}

#[test]
fn marks_of_a_film_alone_lie_where_they_do_among_all() {
    let films = artwork();
    let all = CutFile {
        marks: true,
        ..file(&films)
    };
    let whole = all.svg();
    let whole = Document::parse(&whole).unwrap();
    for only in 0..2 {
        let svg = CutFile {
            only: Some(only),
            ..all
        }
        .svg();
        let document = Document::parse(&svg).unwrap();
        let groups = document
            .root_element()
            .children()
            .filter(|node| node.has_tag_name("g"));
        let id = format!("film-{}", only + 1);
        assert_eq!(
            groups
                .map(|node| node.attribute("id").unwrap())
                .collect::<Vec<_>>(),
            [id.as_str()]
        );
        let data = |document: &Document<'_>| -> Vec<String> {
            let paths = document.descendants().filter(|node| {
                let parent = node.parent().and_then(|parent| parent.attribute("id"));
                node.has_tag_name("path") && parent == Some(id.as_str())
            });
            paths
                .map(|node| node.attribute("d").unwrap().to_owned())
                .collect()
        };
        assert_eq!(data(&document), data(&whole));
    }
    let none = CutFile {
        only: Some(7),
        ..all
    }
    .svg();
    assert!(
        Document::parse(&none)
            .unwrap()
            .descendants()
            .all(|node| !node.has_tag_name("path"))
    );
}

/// XML 1.0, 2.2 and 2.4: what the title holds comes back as it was, but for characters that XML forbids.
#[test]
fn a_title_is_text_whatever_it_holds() {
    let films = artwork();
    let title = "<b a=\"1\">R&D</b> ]]> <!-- \u{1}é";
    let svg = CutFile {
        title,
        reverse: true,
        ..file(&films)
    }
    .svg();
    let document = Document::parse(&svg).unwrap();
    assert_eq!(text_of(&document, "title"), "<b a=\"1\">R&D</b> ]]> <!-- é");
    let described = text_of(&document, "desc");
    assert!(
        described.contains("40 mm wide and 20 mm high"),
        "{described}"
    );
    assert!(
        described.contains("0.001 mm") && described.contains("Mirrored"),
        "{described}"
    );
    assert!(!text_of(&Document::parse(&file(&films).svg()).unwrap(), "desc").contains("Mirrored"));
}

fn same(one: &BezPath, other: &BezPath, within: f64) {
    assert_eq!(one.elements().len(), other.elements().len());
    for (one, other) in one.segments().zip(other.segments()) {
        let points = |segment: kurbo::PathSeg| -> Vec<Point> {
            let cubic = segment.to_cubic();
            vec![cubic.p0, cubic.p1, cubic.p2, cubic.p3]
        };
        for (one, other) in points(one).iter().zip(points(other)) {
            assert!((*one - other).hypot() < within, "{one:?} {other:?}");
        }
    }
}

proptest! {
    /// Rounding moves a point by half of 0.001 mm at most each way, and so its distance from another by 0.0015 at
    /// most; mirrored in its middle, a drawing keeps area and lengths; mirrored twice, it is as before.
    #[test]
    fn outlines_come_back_as_they_were(
        corners in prop::collection::vec((-500.0..500.0_f64, -500.0..500.0_f64), 3..40),
        scale in 0.01..20.0_f64, border in prop::option::of(0.0..20.0_f64), marks: bool,
    ) {
        let mut drawn = polygon(&corners);
        drawn.extend(BezPath::from_svg("M0 0C10 0 20 5 20 30Q20 50 0 40Z").unwrap().iter());
        let bounds = drawn.bounding_box();
        let films = [film(None, vec![contour(drawn.clone(), false, 0)])];
        let plain = CutFile { scale, bounds, weeding_border: border, marks, ..file(&films) };
        let read = |file: &CutFile<'_>| {
            let svg = file.svg();
            pieces(by_id(&Document::parse(&svg).unwrap(), "film-1")).remove(0)
        };
        let (straight, mirrored) = (read(&plain), read(&CutFile { reverse: true, ..plain }));
        let lengths = [Affine::scale(scale) * drawn, straight.clone(), mirrored.clone()]
            .map(|path| path.perimeter(1e-4));
        // 45 segments at most, both ends of each.
        let few = 0.0015 * 45.0;
        prop_assert!((lengths[0] - lengths[1]).abs() < few && (lengths[0] - lengths[2]).abs() < few);
        let whole = plain.size();
        let (width, height) = page(&plain.svg());
        prop_assert!((width - whole.width).abs() < 6e-4 && (height - whole.height).abs() < 6e-4);
        // The mirror image of the mirror image, about the middle of the page.
        let back = Affine::translate((whole.width, 0.0)) * Affine::scale_non_uniform(-1.0, 1.0) * mirrored.clone();
        same(&straight, &back, 0.0016);
        prop_assert!((straight.area() + mirrored.area()).abs() < 0.001 * lengths[0] + 0.01);
        let again = [film(None, vec![contour(mirrored, false, 0)])];
        let again = CutFile {
            films: &again, reverse: true, scale: 1.0, bounds: Rect::from_origin_size((0.0, 0.0), whole),
            ..file(&again)
        };
        same(&straight, &read(&again), 0.0023);
    }
}
