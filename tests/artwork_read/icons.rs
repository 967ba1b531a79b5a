//! Public icons, and drawings made for it, beside another reader: usvg, which turns drawings into absolute paths with
//! numbers of 32 bits.

use decal_reckoner::artwork::outline::{Kind, Rule, Shape};
use decal_reckoner::artwork::read::{ReadOptions, read};
use kurbo::{Affine, BezPath, ParamCurve as _, ParamCurveNearest as _, Point, Shape as _};
use std::path::Path;

/// Pixels a millimetre: the other reader counts in pixels.
const PX: f64 = 96.0 / 25.4;

/// A path of the other reader, in pixels.
struct Other {
    path: BezPath,
    colour: Option<[u8; 3]>,
    rule: Rule,
    filled: bool,
}

fn colour(paint: &usvg::Paint) -> Option<[u8; 3]> {
    match paint {
        usvg::Paint::Color(colour) => Some([colour.red, colour.green, colour.blue]),
        _ => None,
    }
}

fn outline(path: &usvg::Path) -> BezPath {
    let moved = path.abs_transform();
    let moved =
        Affine::new([moved.sx, moved.ky, moved.kx, moved.sy, moved.tx, moved.ty].map(f64::from));
    let point = |point: usvg::tiny_skia_path::Point| {
        moved * Point::new(f64::from(point.x), f64::from(point.y))
    };
    let mut out = BezPath::new();
    for segment in path.data().segments() {
        use usvg::tiny_skia_path::PathSegment::{Close, CubicTo, LineTo, MoveTo, QuadTo};
        match segment {
            MoveTo(to) => out.move_to(point(to)),
            LineTo(to) => out.line_to(point(to)),
            QuadTo(one, to) => out.quad_to(point(one), point(to)),
            CubicTo(one, two, to) => out.curve_to(point(one), point(two), point(to)),
            Close => out.close_path(),
        }
    }
    out
}

fn others(group: &usvg::Group, found: &mut Vec<Other>) {
    for node in group.children() {
        match node {
            usvg::Node::Group(group) => others(group, found),
            usvg::Node::Path(path) if path.is_visible() => {
                let paint = path
                    .fill()
                    .map(usvg::Fill::paint)
                    .or_else(|| path.stroke().map(usvg::Stroke::paint));
                found.push(Other {
                    path: outline(path),
                    colour: paint.and_then(colour),
                    rule: match path.fill().map(usvg::Fill::rule) {
                        Some(usvg::FillRule::NonZero) => Rule::NonZero,
                        _ => Rule::EvenOdd,
                    },
                    filled: path.fill().is_some(),
                });
            }
            _ => {}
        }
    }
}

/// The paths that the other reader finds in a text.
fn by_other(text: &str) -> Vec<Other> {
    let tree = usvg::Tree::from_str(text, &usvg::Options::default()).expect("usvg reads it");
    let mut found = Vec::new();
    others(tree.root(), &mut found);
    found
}

/// How far points along one path are from another one, at most.
fn apart(one: &BezPath, other: &BezPath) -> f64 {
    let segments: Vec<_> = other.segments().collect();
    one.segments()
        .flat_map(|segment| (0..=8).map(move |step| segment.eval(f64::from(step) / 8.0)))
        .map(|point| {
            let squares = segments
                .iter()
                .map(|segment| segment.nearest(point, 1e-6).distance_sq);
            squares.fold(f64::INFINITY, f64::min).sqrt()
        })
        .fold(0.0, f64::max)
}

fn in_pixels(shape: &Shape) -> BezPath {
    Affine::scale(PX) * &shape.path
}

/// The number of subpaths that can be seen.
fn subpaths(path: &BezPath) -> usize {
    let starts = path.elements().windows(2).filter(|pair| {
        matches!(pair[0], kurbo::PathEl::MoveTo(_))
            && !matches!(pair[1], kurbo::PathEl::MoveTo(_) | kurbo::PathEl::ClosePath)
    });
    starts.count()
}

/// Compares what both readers make of a text; the greatest distance found, in pixels.
fn compare(name: &str, text: &str) -> f64 {
    let art =
        read(text, &ReadOptions::default()).unwrap_or_else(|error| panic!("{name}: {error:?}"));
    let others = by_other(text);
    assert_eq!(
        art.shapes.len(),
        others.len(),
        "{name}: the number of shapes"
    );
    let mut most: f64 = 0.0;
    for (shape, other) in art.shapes.iter().zip(&others) {
        let ours = in_pixels(shape);
        let bounds = other.path.bounding_box();
        let side = bounds.width().max(bounds.height());
        if let Some(colour) = other.colour {
            assert_eq!(shape.colour.0, colour, "{name}: the colour");
        }
        assert_eq!(shape.rule, other.rule, "{name}: the rule");
        assert_eq!(shape.kind == Kind::Fill, other.filled, "{name}: the fill");
        assert_eq!(
            subpaths(&ours),
            subpaths(&other.path),
            "{name}: the subpaths"
        );
        let far = apart(&ours, &other.path).max(apart(&other.path, &ours));
        // The other reader strays by 0.0003 of a radius in arcs, and by what 32 bits hold.
        assert!(far < 1e-3 * side, "{name}: {far} apart at a side of {side}");
        let corners = [
            ours.bounding_box().x0 - bounds.x0,
            ours.bounding_box().y0 - bounds.y0,
            ours.bounding_box().x1 - bounds.x1,
            ours.bounding_box().y1 - bounds.y1,
        ];
        assert!(
            corners.iter().all(|far| far.abs() < 1e-3 * side),
            "{name}: {corners:?}"
        );
        most = most.max(far);
    }
    most
}

fn icons() -> Vec<(String, String)> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/artwork/icons");
    let mut found = Vec::new();
    for set in ["bootstrap", "tabler"] {
        for entry in std::fs::read_dir(folder.join(set)).expect("the folder of icons") {
            let file = entry.expect("a file").path();
            if file.extension().is_some_and(|extension| extension == "svg") {
                let text = std::fs::read_to_string(&file).expect("a text");
                found.push((
                    format!("{set}/{}", file.file_name().unwrap_or_default().display()),
                    text,
                ));
            }
        }
    }
    found.sort();
    found
}

#[test]
fn public_icons_are_read_as_another_reader_reads_them() {
    let icons = icons();
    assert!(icons.len() > 110, "{} icons", icons.len());
    for (name, text) in &icons {
        compare(name, text);
    }
}

#[test]
fn the_strokes_of_public_icons_reach_half_their_width_beyond_their_lines() {
    // All of these are drawn with round caps and joins, 2 units of 24 wide: what lies within 1 of the line is covered,
    // so that the box of the stroke is that of the line and 1 on each side.
    for (name, text) in icons()
        .iter()
        .filter(|(name, _)| name.starts_with("tabler"))
    {
        let strokes = read(text, &ReadOptions { strokes: true }).expect("a drawing");
        let lines = read(text, &ReadOptions::default()).expect("a drawing");
        // Dots have no line.
        if strokes.shapes.len() != lines.shapes.len()
            || text.contains("v.01")
            || text.contains("h.01")
        {
            continue;
        }
        for (stroke, line) in strokes.shapes.iter().zip(&lines.shapes) {
            let (found, line) = (
                in_pixels(stroke).bounding_box(),
                in_pixels(line).bounding_box().inset(1.0),
            );
            let corners = [
                found.x0 - line.x0,
                found.y0 - line.y0,
                found.x1 - line.x1,
                found.y1 - line.y1,
            ];
            assert!(
                corners.iter().all(|far| far.abs() < 1e-3),
                "{name}: {corners:?}"
            );
        }
    }
}

#[test]
fn odd_drawings_are_read_as_another_reader_reads_them() {
    let head = "xmlns='http://www.w3.org/2000/svg' xmlns:xlink='http://www.w3.org/1999/xlink'";
    for (name, text) in [
        (
            "units",
            format!(
                "<svg {head} width='2in' height='5cm' viewBox='-10 -20 300 200' preserveAspectRatio='xMaxYMin slice'><rect x='1mm' y='2pt' width='3pc' height='10%' fill='teal'/><circle cx='50%' cy='1in' r='5%' fill='#abc'/></svg>"
            ),
        ),
        (
            "transforms",
            format!(
                "<svg {head} width='300' height='200'><g transform='translate(20 30) rotate(15)'><g transform='skewX(20) scale(1.5 .5)'><path transform='matrix(1 .2-.3 1 5 6)' d='M10 10c20-30 40-30 60 0s40 30 60 0v40H10z'/></g></g></svg>"
            ),
        ),
        (
            "rects",
            format!(
                "<svg {head} width='300' height='200'><rect x='5' y='5' width='100' height='50' rx='10'/><rect x='5' y='65' width='100' height='50' ry='40'/><rect x='120' y='5' width='100' height='50' rx='10' ry='20' transform='rotate(5)'/><ellipse cx='200' cy='130' rx='60' ry='30'/></svg>"
            ),
        ),
        (
            "uses",
            format!(
                "<svg {head} width='300' height='200'><defs><symbol id='s' viewBox='0 0 20 10'><path d='M0 0h20v10H0z M5 2v6h10V2z' fill-rule='evenodd'/></symbol><g id='g'><use xlink:href='#s' width='40' height='40'/><circle r='5' cx='60' cy='20'/></g></defs><use href='#g' x='10' y='20' fill='#123456'/><use href='#g' transform='translate(100 50) scale(2)' style='fill:orange'/></svg>"
            ),
        ),
        (
            "nested",
            format!(
                "<svg {head} width='300' height='200'><svg x='20' y='30' width='100' height='60' viewBox='0 0 50 50' overflow='visible'><path d='M0 0L50 0 25 50z'/></svg><svg x='150' y='10' width='100' height='150' viewBox='0 0 50 50' preserveAspectRatio='none' overflow='visible'><path d='M0 0L50 0 25 50z'/></svg></svg>"
            ),
        ),
        (
            "sheets",
            format!(
                "<svg {head} width='300' height='200'><style>.a{{fill:#010203}} g > .a{{fill:#040506}} #x{{fill:#070809!important}} path + path{{fill-rule:evenodd}}</style><path class='a' d='M0 0h10v10z'/><g><path class='a' d='M20 0h10v10z'/><path id='x' class='a' style='fill:red' d='M40 0h10v10zM42 1h3v3z'/></g></svg>"
            ),
        ),
        (
            "arcs",
            format!(
                "<svg {head} width='300' height='200'><path d='M60 100A50 30 20 1 1 160 90z'/><path d='M200 100a50 30 70 01 40 20l10-5a1 1 0 0 0 30 9z'/><path d='m10 10a20 20 0 1 0 .1 0z'/></svg>"
            ),
        ),
        (
            "lines",
            format!(
                "<svg {head} width='300' height='200' stroke='#336699' fill='none'><line x1='5' y1='5' x2='100' y2='60'/><polyline points='10 100 40 140 80 90'/><polygon points='110,100 140,140 180,90' fill='#fff'/><path d='M200 20q20 40 40 0t40 0'/></svg>"
            ),
        ),
        (
            "broken",
            format!(
                "<svg {head} width='300' height='200'><path d='M10 10h50v50z m5 5 l 3'/><path d='M100 10h50v50L5 ,z'/></svg>"
            ),
        ),
    ] {
        compare(name, &text);
    }
}
