//! Reading drawings, against the rules of SVG 1.1 and 2 and of CSS, whose sections stand beside each check (told from
//! memory), against another reader, and against files made to do harm.

mod copies;
mod hostile;
mod icons;
mod page;
mod shapes;
mod strokes;
mod styles;

use decal_reckoner::artwork::outline::{Artwork, Colour, Kind, Omission};
use decal_reckoner::artwork::read::{ReadOptions, read};
use decal_reckoner::error::InputError;
use kurbo::{BezPath, PathEl, Point};

/// The drawing of a text.
fn drawn(text: &str) -> Artwork {
    match read(text, &ReadOptions::default()) {
        Ok(art) => art,
        Err(error) => panic!("{error:?} in {text}"),
    }
}

/// The mistake in a text.
fn refused(text: &str) -> InputError {
    match read(text, &ReadOptions::default()) {
        Ok(art) => panic!("{art:?} from {text}"),
        Err(error) => {
            assert_eq!(error.field, "svg");
            error
        }
    }
}

/// A drawing of 100 by 100 mm in which a unit is a millimetre.
fn sheet(inside: &str) -> String {
    format!(
        "<svg xmlns='http://www.w3.org/2000/svg' xmlns:xlink='http://www.w3.org/1999/xlink' width='100mm' \
         height='100mm' viewBox='0 0 100 100'>{inside}</svg>"
    )
}

/// The drawing of what stands on a sheet.
fn on_sheet(inside: &str) -> Artwork {
    drawn(&sheet(inside))
}

/// The only path of a drawing.
fn only(inside: &str) -> BezPath {
    let art = on_sheet(inside);
    assert_eq!(art.shapes.len(), 1, "{art:?}");
    art.shapes[0].path.clone()
}

/// The colours of the shapes, from the bottom up.
fn paints(art: &Artwork) -> Vec<[u8; 3]> {
    art.shapes.iter().map(|shape| shape.colour.0).collect()
}

/// How many of something were left out.
fn omitted(art: &Artwork, what: Omission) -> u32 {
    let found = art.omitted.iter().find(|omitted| omitted.what == what);
    found.map_or(0, |omitted| omitted.count)
}

/// The points of an element.
fn points(element: &PathEl) -> Vec<Point> {
    match *element {
        PathEl::MoveTo(to) | PathEl::LineTo(to) => vec![to],
        PathEl::QuadTo(one, to) => vec![one, to],
        PathEl::CurveTo(one, two, to) => vec![one, two, to],
        PathEl::ClosePath => vec![],
    }
}

/// Checks a path against path data without arcs, as kurbo's own reader takes them.
fn check(path: &BezPath, data: &str) {
    let expected = BezPath::from_svg(data).expect("path data");
    assert_eq!(
        path.elements().len(),
        expected.elements().len(),
        "{} is not {data}",
        path.to_svg()
    );
    for (one, other) in path.elements().iter().zip(expected.elements()) {
        assert_eq!(
            std::mem::discriminant(one),
            std::mem::discriminant(other),
            "{} is not {data}",
            path.to_svg()
        );
        for (one, other) in points(one).iter().zip(points(other)) {
            assert!(
                (*one - other).hypot() < 1e-9,
                "{} is not {data}",
                path.to_svg()
            );
        }
    }
}

/// Checks a box against its corners.
fn check_box(found: kurbo::Rect, [x0, y0, x1, y1]: [f64; 4]) {
    let far = [found.x0 - x0, found.y0 - y0, found.x1 - x1, found.y1 - y1];
    assert!(
        far.iter().all(|far| far.abs() < 1e-4),
        "{found:?} is not {:?}",
        [x0, y0, x1, y1]
    );
}

const RED: [u8; 3] = [255, 0, 0];
const LIME: [u8; 3] = [0, 255, 0];
const BLUE: [u8; 3] = [0, 0, 255];
const BLACK: [u8; 3] = [0, 0, 0];

#[test]
fn the_colours_of_a_drawing_come_in_painting_order_and_once() {
    let art = on_sheet(
        "<rect width='1' height='1' fill='blue'/><rect width='1' height='1' fill='red'/>\
         <rect width='1' height='1' fill='#00f'/>",
    );
    assert_eq!(art.colours(), [Colour(BLUE), Colour(RED)]);
    assert!(art.shapes.iter().all(|shape| shape.kind == Kind::Fill));
}

#[test]
fn the_bounds_are_tight_to_the_curves_and_not_to_their_control_points() {
    // A cubic with both control points 4 above its ends rises to 3/4 of that: B(1/2) = 3/8 + 3/8 of 4.
    let art = on_sheet("<path d='M10 10C10 6 20 6 20 10z'/>");
    check_box(art.bounds(), [10.0, 7.0, 20.0, 10.0]);
}
