//! The page: its size, its view box, its transforms; and what is no SVG at all.

use super::{check, check_box, drawn, on_sheet, only, refused, sheet};
use decal_reckoner::error::Code;
use kurbo::{Rect, Size};

/// A page with these attributes on which there is a square of ten units.
fn page(attributes: &str) -> (Size, bool, Rect) {
    let art = drawn(&format!(
        "<svg xmlns='http://www.w3.org/2000/svg' {attributes}><rect x='10' y='10' width='10' height='10'/></svg>"
    ));
    (art.page, art.sized, art.bounds())
}

fn check_page(attributes: &str, size: [f64; 2], sized: bool, square: [f64; 4]) {
    let (found, has, bounds) = page(attributes);
    assert!(
        (found.width - size[0]).abs() < 1e-9 && (found.height - size[1]).abs() < 1e-9,
        "{attributes}: {found:?}"
    );
    assert_eq!(has, sized, "{attributes}");
    check_box(bounds, square);
}

/// Millimetres a pixel: CSS Values and Units 3, 6.2.
const PX: f64 = 25.4 / 96.0;

#[test]
fn a_page_has_the_size_it_names() {
    // SVG 2, 8.2 and 8.12.
    check_page(
        "width='96' height='48px'",
        [25.4, 12.7],
        false,
        [10.0, 10.0, 20.0, 20.0].map(|at| at * PX),
    );
    check_page(
        "width='2in' height='72pt'",
        [50.8, 25.4],
        true,
        [10.0, 10.0, 20.0, 20.0].map(|at| at * PX),
    );
    check_page(
        "width='100mm' height='5cm' viewBox='0 0 50 25'",
        [100.0, 50.0],
        true,
        [20.0, 20.0, 40.0, 40.0],
    );
    check_page(
        "width='6pc' height='1in' viewBox='10 10 20 20'",
        [25.4, 25.4],
        true,
        [0.0, 0.0, 12.7, 12.7],
    );
}

#[test]
fn a_page_without_a_size_has_that_of_its_view_box_in_pixels() {
    check_page(
        "viewBox='0 0 96 48'",
        [25.4, 12.7],
        false,
        [10.0, 10.0, 20.0, 20.0].map(|at| at * PX),
    );
    // In percent it names a part of a window, which there is none of.
    check_page(
        "width='100%' height='100%' viewBox='0 0 96 48'",
        [25.4, 12.7],
        false,
        [10.0, 10.0, 20.0, 20.0].map(|at| at * PX),
    );
    // One side follows from the other one by the shape of the view box: CSS 2, 10.3.2.
    check_page(
        "width='50mm' viewBox='0 0 100 50'",
        [50.0, 25.0],
        true,
        [5.0, 5.0, 10.0, 10.0],
    );
    check_page(
        "height='50mm' viewBox='0 0 100 50'",
        [100.0, 50.0],
        true,
        [10.0, 10.0, 20.0, 20.0],
    );
}

#[test]
fn a_page_that_names_nothing_is_as_large_as_what_is_on_it() {
    check_page(
        "",
        [10.0 * PX, 10.0 * PX],
        false,
        [10.0, 10.0, 20.0, 20.0].map(|at| at * PX),
    );
    // A view box with a mistake in it counts for none (SVG 2, 8.6).
    for wrong in ["0 0 10", "0 0 -5 10", "a b c d", "0 0 10 10 10"] {
        check_page(
            &format!("viewBox='{wrong}'"),
            [10.0 * PX, 10.0 * PX],
            false,
            [10.0, 10.0, 20.0, 20.0].map(|at| at * PX),
        );
    }
}

#[test]
fn a_page_of_no_size_shows_nothing() {
    // SVG 2, 8.2 and 8.6: zero disables rendering.
    for none in [
        "width='0'",
        "height='0mm'",
        "viewBox='0 0 0 10'",
        "width='10' height='10' viewBox='0 0 10 0'",
    ] {
        let text = format!(
            "<svg xmlns='http://www.w3.org/2000/svg' {none}><rect width='9' height='9'/></svg>"
        );
        assert_eq!(refused(&text).code, Code::Missing, "{none}");
    }
}

#[test]
fn the_view_box_is_laid_into_the_page_as_asked() {
    // SVG 2, 8.7, for a view box of 100 by 100 on a page of 200 by 100 mm and one of 100 by 200; the square is at 10
    // to 20.
    for (wide, align, square) in [
        (true, "", [60.0, 10.0, 70.0, 20.0]),
        (true, "xMidYMid", [60.0, 10.0, 70.0, 20.0]),
        (true, "xMinYMid meet", [10.0, 10.0, 20.0, 20.0]),
        (true, "xMaxYMin", [110.0, 10.0, 120.0, 20.0]),
        (true, "none", [20.0, 10.0, 40.0, 20.0]),
        (true, "xMidYMid slice", [20.0, -30.0, 40.0, -10.0]),
        (true, "xMidYMin slice", [20.0, 20.0, 40.0, 40.0]),
        (true, "xMinYMax slice", [20.0, -80.0, 40.0, -60.0]),
        (false, "", [10.0, 60.0, 20.0, 70.0]),
        (false, "xMidYMin", [10.0, 10.0, 20.0, 20.0]),
        (false, "xMinYMax", [10.0, 110.0, 20.0, 120.0]),
        (false, "none", [10.0, 20.0, 20.0, 40.0]),
        (false, "xMaxYMid slice", [-80.0, 20.0, -60.0, 40.0]),
    ] {
        let (width, height) = if wide { (200, 100) } else { (100, 200) };
        let (_, _, bounds) = page(&format!(
            "width='{width}mm' height='{height}mm' viewBox='0 0 100 100' preserveAspectRatio='{align}'"
        ));
        check_box(bounds, square);
    }
}

#[test]
fn transforms_are_done_from_the_right_to_the_left() {
    // SVG 2, 8.5, and CSS Transforms 1, 8.
    let moved = |transform: &str| only(&format!("<path transform='{transform}' d='M0 0H4V2z'/>"));
    for (transform, expected) in [
        ("translate(10 20)", "M10 20L14 20L14 22Z"),
        ("translate(10)", "M10 0L14 0L14 2Z"),
        ("scale(2)", "M0 0L8 0L8 4Z"),
        ("scale(2,-3)", "M0 0L8 0L8 -6Z"),
        ("rotate(90)", "M0 0L0 4L-2 4Z"),
        ("rotate(90 10 0)", "M10 -10L10 -6L8 -6Z"),
        ("rotate(180,5,5)", "M10 10L6 10L6 8Z"),
        ("matrix(1 2 3 4 5 6)", "M5 6L9 14L15 22Z"),
        ("matrix(1 0 0 1-5-6)", "M-5 -6L-1 -6L-1 -4Z"),
        ("skewX(45)", "M0 0L4 0L6 2Z"),
        ("skewY(45)", "M0 0L4 4L4 6Z"),
        ("translate(10,20)scale(2)", "M10 20L18 20L18 24Z"),
        ("scale(2) , translate(10 20)", "M20 40L28 40L28 44Z"),
        ("  ", "M0 0L4 0L4 2Z"),
        ("none", "M0 0L4 0L4 2Z"),
        // One mistake spoils the list.
        ("translate(10 20) turn(5)", "M0 0L4 0L4 2Z"),
        ("translate(10 20", "M0 0L4 0L4 2Z"),
        ("scale()", "M0 0L4 0L4 2Z"),
        ("translate(1 2 3)", "M0 0L4 0L4 2Z"),
    ] {
        check(&moved(transform), expected);
    }
}

#[test]
fn transforms_add_up_from_the_outside_to_the_inside() {
    check(
        &only(
            "<g transform='translate(10 0)'><g transform='scale(2)'><path transform='rotate(90)' d='M0 0H4V2z'/></g></g>",
        ),
        "M10 0L10 8L6 8Z",
    );
}

#[test]
fn the_property_transform_has_units_and_counts_more_than_the_attribute() {
    // CSS Transforms 1, 8, 9 and 6.
    for (style, expected) in [
        ("transform:translate(10px,20px)", "M10 20L14 20L14 22Z"),
        (
            "transform:translateX(10px) translateY(5px)",
            "M10 5L14 5L14 7Z",
        ),
        ("transform:translate(10%,20%)", "M10 20L14 20L14 22Z"),
        ("transform:rotate(90deg)", "M0 0L0 4L-2 4Z"),
        ("transform:rotate(0.25turn)", "M0 0L0 4L-2 4Z"),
        ("transform:rotate(100grad)", "M0 0L0 4L-2 4Z"),
        ("transform:scale(200%)", "M0 0L8 0L8 4Z"),
        ("transform:scaleX(2) scaleY(.5)", "M0 0L8 0L8 1Z"),
        ("transform:skewX(45deg)", "M0 0L4 0L6 2Z"),
        ("transform:none", "M0 0L4 0L4 2Z"),
        (
            "transform:rotate(180deg);transform-origin:5px 5px",
            "M10 10L6 10L6 8Z",
        ),
        (
            "transform:rotate(180deg);transform-origin:5% 5%",
            "M10 10L6 10L6 8Z",
        ),
        (
            "transform:rotate(180deg);transform-origin:center",
            "M100 100L96 100L96 98Z",
        ),
    ] {
        check(
            &only(&format!(
                "<path transform='scale(7)' style='{style}' d='M0 0H4V2z'/>"
            )),
            expected,
        );
    }
}

#[test]
fn what_is_flattened_to_a_line_is_not_painted() {
    // SVG 2, 8.5: an element whose transform cannot be undone is not rendered.
    let art =
        on_sheet("<rect width='9' height='9' transform='scale(0 1)'/><rect width='5' height='5'/>");
    assert_eq!(art.shapes.len(), 1);
}

#[test]
fn files_with_marks_declarations_and_document_types_are_read() {
    let body = "<svg xmlns='http://www.w3.org/2000/svg'><rect width='9' height='9'/></svg>";
    for text in [
        format!("\u{feff}{body}"),
        format!("\u{feff}<?xml version=\"1.0\" encoding=\"utf-8\"?>\r\n{body}"),
        format!("<?xml version='1.0' standalone='no'?>\n<!-- made by hand --> \n{body}\n"),
        // SVG 1.1, the document type that it asks for.
        format!(
            "<?xml version=\"1.0\"?>\r\n<!DOCTYPE svg PUBLIC \"-//W3C//DTD SVG 1.1//EN\"\r\n  \
             \"http://www.w3.org/Graphics/SVG/1.1/DTD/svg11.dtd\">\r\n{body}"
        ),
        format!("  \n\t{body}"),
        body.replace(" xmlns='http://www.w3.org/2000/svg'", ""),
        "<x:svg xmlns:x='http://www.w3.org/2000/svg'><x:rect width='9' height='9'/></x:svg>"
            .to_owned(),
        // Namespaces named by entities, as some drawing programs write them.
        "<!DOCTYPE svg [\n<!ENTITY ns \"http://www.w3.org/2000/svg\">\n<!ENTITY size \"9\">]>\
         <svg xmlns=\"&ns;\"><rect width=\"&size;\" height=\"&size;\"/></svg>"
            .to_owned(),
    ] {
        check_box(drawn(&text).bounds(), [0.0, 0.0, 9.0 * PX, 9.0 * PX]);
    }
}

#[test]
fn elements_and_attributes_of_other_namespaces_are_passed_over() {
    let art = on_sheet(
        "<e:page xmlns:e='urn:editor' e:width='5'><rect width='90' height='90'/></e:page>\
         <e:rect xmlns:e='urn:editor' width='80' height='80'/>\
         <metadata><rdf xmlns='urn:rdf'/></metadata>\
         <rect e:width='70' width='9' height='9' e:id='x' e:height='70' xmlns:e='urn:editor' e:transform='scale(3)'/>",
    );
    check_box(art.bounds(), [0.0, 0.0, 9.0, 9.0]);
    assert!(art.omitted.is_empty(), "{art:?}");
}

#[test]
fn a_file_that_is_something_else_is_called_what_it_seems_to_be() {
    for (text, what) in [
        ("\u{fffd}PNG\r\n\u{1a}\n\0\0\0\rIHDR", "PNG"),
        ("GIF89a", "GIF"),
        ("\u{fffd}\u{fffd}\u{fffd}\u{fffd}\0\u{10}JFIF", "JPEG"),
        ("%PDF-1.7\n%\u{fffd}", "PDF"),
        ("%!PS-Adobe-3.0 EPSF-3.0\n", "EPS"),
        ("  0\nSECTION\n  2\nHEADER\n", "DXF"),
        ("0\r\nSECTION\r\n2\r\nHEADER\r\n", "DXF"),
        ("\u{1f}\u{fffd}\u{8}\0\0", "SVGZ"),
        ("PK\u{3}\u{4}\u{14}\0", "ZIP"),
        ("\u{fffd}\u{fffd}<\0?\0x\0m\0l\0", "UTF-16"),
        ("<\0s\0v\0g\0", "UTF-16"),
        ("\0<\0s\0v\0g", "UTF-16"),
        (
            "<!DOCTYPE html>\n<html><body><svg/></body></html>",
            "website",
        ),
        ("<html><body/></html>", "website"),
        ("<note xmlns='urn:x'><svg/></note>", "XML"),
        (
            "<svg xmlns='urn:x'><rect width='9' height='9'/></svg>",
            "XML",
        ),
        ("Dear reader", "no SVG"),
        ("{\"svg\": 1}", "no SVG"),
    ] {
        let error = refused(text);
        assert_eq!(error.code, Code::WrongType, "{text:?}");
        assert!(error.message.contains(what), "{text:?}: {error:?}");
        assert!(!error.hint.is_empty());
    }
    assert!(
        refused("\u{1f}\u{fffd}\u{8}\0\0")
            .hint
            .contains("plain SVG")
    );
    for empty in ["", "  \n ", "\u{feff}"] {
        assert_eq!(refused(empty).code, Code::Missing);
    }
}

#[test]
fn xml_that_is_not_well_formed_is_refused_with_its_place() {
    for (text, said) in [
        (
            "<svg xmlns='http://www.w3.org/2000/svg'>\n <g></a>\n</svg>",
            "</a> ends what <g> began (line 2, column 5)",
        ),
        (
            "<svg xmlns='http://www.w3.org/2000/svg'>&nbsp;</svg>",
            "&nbsp; is not defined",
        ),
        (
            "<svg xmlns='http://www.w3.org/2000/svg'><x:g/></svg>",
            "the prefix x:",
        ),
        (
            "<svg xmlns='http://www.w3.org/2000/svg' width='1' width='2'/>",
            "width is given twice",
        ),
        (
            "<svg xmlns='http://www.w3.org/2000/svg' width=5/>",
            "(line 1",
        ),
        (
            "<svg xmlns='http://www.w3.org/2000/svg'><rect",
            "ends before",
        ),
        (
            "<svg xmlns='http://www.w3.org/2000/svg'><rect/>",
            "ends before",
        ),
    ] {
        let error = refused(text);
        assert_eq!(error.code, Code::WrongType);
        assert!(error.message.contains(said), "{text}: {error:?}");
    }
}

#[test]
fn a_drawing_without_anything_to_cut_says_what_to_do() {
    for (inside, said) in [
        ("", "nothing in it"),
        ("<text>KITTIWAKE</text>", "only text"),
        (
            "<image href='data:image/png;base64,AAAA' width='9' height='9'/>",
            "only pictures",
        ),
        (
            "<rect width='9' height='9' fill='none'/>",
            "nothing in the drawing shows",
        ),
        (
            "<text>KITTIWAKE</text><rect width='9' height='9' fill='none'/>",
            "only text",
        ),
    ] {
        let error = refused(&sheet(inside));
        assert_eq!(error.code, Code::Missing);
        assert!(error.message.contains(said), "{inside}: {error:?}");
    }
    assert!(
        refused(&sheet("<text>KITTIWAKE</text>"))
            .hint
            .contains("turn it into paths or curves")
    );
}
