//! Groups, nested drawings, copies and choices.

use super::{BLUE, RED, check, check_box, omitted, on_sheet, only, paints};
use decal_reckoner::artwork::outline::Omission;

#[test]
fn what_is_only_defined_is_not_painted() {
    // SVG 2, 5.3, 5.4, 13.7, 14.3: never rendered directly.
    for outer in [
        "defs",
        "symbol",
        "clipPath",
        "mask",
        "marker",
        "pattern",
        "linearGradient",
        "metadata",
        "title",
    ] {
        let art = on_sheet(&format!(
            "<{outer}><rect width='50' height='50'/></{outer}><rect width='9' height='9'/>"
        ));
        assert_eq!(art.shapes.len(), 1, "{outer}");
        assert!(art.omitted.is_empty(), "{outer}");
    }
    let art = on_sheet("<a href='#x'><rect width='9' height='9'/></a><g><g/></g>");
    assert_eq!(art.shapes.len(), 1);
}

#[test]
fn a_copy_stands_where_its_transform_and_its_place_put_it() {
    // SVG 2, 5.5.2: translate(x, y) is done before the transform of the `use`.
    check(
        &only("<defs><path id='a' d='M0 0H4V2z'/></defs><use href='#a' x='10' y='20'/>"),
        "M10 20L14 20L14 22Z",
    );
    check(
        &only(
            "<defs><path id='a' transform='scale(2)' d='M0 0H4V2z'/></defs><use xlink:href='#a' x='10' transform='rotate(90)'/>",
        ),
        "M0 10L0 18L-4 18Z",
    );
    // The attribute without a namespace counts more (SVG 2, 16.1).
    check(
        &only(
            "<defs><path id='a' d='M0 0H4V2z'/><path id='b' d='M0 0H9V9z'/></defs><use xlink:href='#b' href='#a'/>",
        ),
        "M0 0L4 0L4 2Z",
    );
}

#[test]
fn a_copy_inherits_from_where_it_is_used() {
    // SVG 2, 5.5.3.
    let art = on_sheet(
        "<defs><g id='a'><rect width='9' height='9'/><rect width='9' height='9' fill='blue'/></g></defs>\
         <use href='#a' fill='red'/>",
    );
    assert_eq!(paints(&art), [RED, BLUE]);
    // Rules match the element where it stands in the file.
    let art = on_sheet(
        "<style>defs rect{fill:blue} .u rect{fill:red}</style><defs><rect id='a' width='9' height='9'/></defs><g class='u'><use href='#a'/></g>",
    );
    assert_eq!(paints(&art), [BLUE]);
}

#[test]
fn copies_of_copies_are_drawn() {
    let art = on_sheet(
        "<defs><rect id='a' width='2' height='2'/><g id='b'><use href='#a'/><use href='#a' x='10'/></g></defs>\
         <use href='#b'/><use href='#b' y='10'/>",
    );
    assert_eq!(art.shapes.len(), 4);
    check_box(art.bounds(), [0.0, 0.0, 12.0, 12.0]);
}

#[test]
fn a_symbol_is_laid_into_the_size_of_its_copy() {
    // SVG 2, 5.4 and 5.5.2: width and height of the `use`; otherwise 100 %.
    let symbol = "<symbol id='s' viewBox='0 0 10 10'><rect width='10' height='10'/></symbol>";
    check_box(
        on_sheet(&format!(
            "{symbol}<use href='#s' x='10' y='20' width='30' height='30'/>"
        ))
        .bounds(),
        [10.0, 20.0, 40.0, 50.0],
    );
    // Kept in shape, in the middle (SVG 2, 8.7).
    check_box(
        on_sheet(&format!("{symbol}<use href='#s' width='60' height='30'/>")).bounds(),
        [15.0, 0.0, 45.0, 30.0],
    );
    check_box(
        on_sheet(&format!("{symbol}<use href='#s'/>")).bounds(),
        [0.0, 0.0, 100.0, 100.0],
    );
    check_box(
        on_sheet("<symbol id='s'><rect width='50%' height='50%'/></symbol><use href='#s' width='40' height='20'/>").bounds(),
        [0.0, 0.0, 20.0, 10.0],
    );
    check_box(
        on_sheet("<symbol id='s' viewBox='0 0 10 10' preserveAspectRatio='none'><rect width='10' height='10'/></symbol><use href='#s' width='40' height='20'/>").bounds(),
        [0.0, 0.0, 40.0, 20.0],
    );
}

#[test]
fn a_nested_drawing_has_a_viewport_of_its_own() {
    // SVG 2, 8.8 and 5.1: and percentages in it are of its view box.
    check_box(
        on_sheet("<svg x='10' y='20' width='40' height='40' viewBox='0 0 10 10'><rect width='10' height='50%'/></svg>").bounds(),
        [10.0, 20.0, 50.0, 40.0],
    );
    check_box(
        on_sheet("<svg x='10' width='40' height='30'><rect width='100%' height='100%'/></svg>")
            .bounds(),
        [10.0, 0.0, 50.0, 30.0],
    );
    // The size is 100 % where it is not given.
    check_box(
        on_sheet("<svg viewBox='0 0 10 10'><rect width='5' height='5'/></svg>").bounds(),
        [0.0, 0.0, 50.0, 50.0],
    );
    // Nothing is cut off at its edge: what sticks out is kept as it is drawn.
    check_box(
        on_sheet("<svg width='10' height='10'><rect width='30' height='5'/></svg>").bounds(),
        [0.0, 0.0, 30.0, 5.0],
    );
    // A copy of a nested drawing gives it its size.
    check_box(
        on_sheet("<defs><svg id='s' width='10' height='10' viewBox='0 0 10 10'><rect width='10' height='10'/></svg></defs><use href='#s' width='30' height='30'/>").bounds(),
        [0.0, 0.0, 30.0, 30.0],
    );
    let art = on_sheet(
        "<svg width='0' height='9'><rect width='9' height='9'/></svg><svg viewBox='0 0 0 9'><rect width='9' height='9'/></svg><path d='M0 0h1v1z'/>",
    );
    assert_eq!(art.shapes.len(), 1);
}

#[test]
fn a_copy_of_itself_is_not_drawn() {
    // SVG 2, 5.5: a reference in a circle is invalid.
    for (inside, circles) in [
        ("<g id='a'><use href='#a'/></g>", 1),
        ("<use id='a' href='#a'/>", 1),
        ("<use id='a' href='#b'/><use id='b' href='#a'/>", 2),
        (
            "<defs><g id='a'><use href='#b'/></g><g id='b'><use href='#a'/></g></defs><use href='#a'/>",
            1,
        ),
        (
            "<g id='a'><g><rect width='2' height='2'/><use href='#a' x='1'/></g></g>",
            1,
        ),
    ] {
        let art = on_sheet(&format!("{inside}<rect width='9' height='9'/>"));
        assert_eq!(omitted(&art, Omission::Broken), circles, "{inside}");
    }
    let art = super::drawn(
        "<svg id='all' xmlns='http://www.w3.org/2000/svg'><rect width='9' height='9'/><use href='#all'/></svg>",
    );
    assert_eq!((art.shapes.len(), omitted(&art, Omission::Broken)), (1, 1));
}

#[test]
fn the_first_choice_that_can_be_shown_is_taken() {
    // SVG 2, 5.6.
    let red = "<rect width='9' height='9' fill='red'/>";
    for (choice, rgb) in [
        (format!("<switch>{red}<rect width='9' height='9' fill='blue'/></switch>"), RED),
        (format!("<switch><foreignObject requiredExtensions='urn:x'/>{red}</switch>"), RED),
        (format!("<switch><g requiredExtensions='urn:x'><rect width='9' height='9'/></g>{red}</switch>"), RED),
        (format!("<switch><g systemLanguage='tlh'><rect width='9' height='9'/></g>{red}</switch>"), RED),
        ("<switch><rect systemLanguage='de, en-GB' width='9' height='9' fill='blue'/><rect width='9' height='9'/></switch>".to_owned(), BLUE),
    ] {
        assert_eq!(paints(&on_sheet(&choice)), [rgb], "{choice}");
    }
}

#[test]
fn the_first_of_two_elements_with_one_identifier_is_meant() {
    check(
        &only(
            "<defs><path id='a' d='M0 0H4V2z'/><path id='a' d='M0 0H9V9z'/></defs><use href='#a'/>",
        ),
        "M0 0L4 0L4 2Z",
    );
}
