//! Which paint counts, and what shows.

use super::{BLACK, BLUE, LIME, RED, check, omitted, on_sheet, paints};
use decal_reckoner::artwork::outline::{Kind, Omission, Rule};

/// The colours of the shapes on a sheet.
fn colours(inside: &str) -> Vec<[u8; 3]> {
    paints(&on_sheet(inside))
}

/// The colour of a square with these attributes.
fn square(attributes: &str) -> [u8; 3] {
    colours(&format!("<rect width='9' height='9' {attributes}/>"))[0]
}

/// The colour of a square of that class and identifier in a group, by a style sheet.
fn by_sheet(sheet: &str) -> [u8; 3] {
    colours(&format!(
        "<style>{sheet}</style><g class='outer'><path d=''/><rect class='a b' id='one' width='9' height='9'/></g>"
    ))[0]
}

#[test]
fn colours_are_written_in_many_ways() {
    // CSS Color 3, 4, and SVG 2, 13.2; the values of hsl() are the example of section 4.2.4.
    for (text, rgb) in [
        ("#f00", RED),
        ("#FF0000", RED),
        ("#f00f", RED),
        ("#ff0000ff", RED),
        ("red", RED),
        ("RED", RED),
        ("rgb(255,0,0)", RED),
        ("rgb(255 0 0)", RED),
        ("rgb(100%, 0%, 0%)", RED),
        ("rgba(255,0,0,0.5)", RED),
        ("hsl(0, 100%, 50%)", RED),
        ("hsl(120, 100%, 50%)", LIME),
        ("hsl(120, 100%, 25%)", [0, 128, 0]),
        ("hsl(120, 75%, 75%)", [143, 239, 143]),
        ("lightgoldenrodyellow", [0xfa, 0xfa, 0xd2]),
        ("currentColor", BLACK),
        ("inherit", BLACK),
        // What cannot be read does not count.
        ("none of these", BLACK),
        ("#12345", BLACK),
    ] {
        assert_eq!(square(&format!("fill='{text}'")), rgb, "{text}");
    }
}

#[test]
fn a_fill_is_black_unless_something_says_otherwise() {
    // SVG 2, 13.4.1.
    assert_eq!(square(""), BLACK);
}

#[test]
fn paint_is_inherited_and_current_colour_is_that_of_the_element() {
    // SVG 2, 13.2 and 13.3.
    assert_eq!(
        colours("<g fill='red'><g><rect width='9' height='9'/></g></g>"),
        [RED]
    );
    assert_eq!(
        colours("<g fill='red'><rect fill='blue' width='9' height='9'/></g>"),
        [BLUE]
    );
    assert_eq!(
        colours("<g color='red' fill='currentColor'><rect color='blue' width='9' height='9'/></g>"),
        [BLUE]
    );
    assert_eq!(
        colours("<g fill='red'><rect fill='inherit' width='9' height='9'/></g>"),
        [RED]
    );
    assert_eq!(
        colours("<g fill='red'><rect style='fill:initial' width='9' height='9'/></g>"),
        [BLACK]
    );
    // A value that cannot be read leaves what is inherited.
    assert_eq!(
        colours("<g fill='red'><rect fill='var(--a)' width='9' height='9'/></g>"),
        [RED]
    );
}

#[test]
fn sheets_count_more_than_attributes_and_style_more_than_sheets() {
    // SVG 2, 6.6: attributes have a specificity of zero, before all sheets.
    assert_eq!(square("fill='red' style='fill:blue'"), BLUE);
    assert_eq!(
        colours("<style>rect{fill:lime}</style><rect fill='red' width='9' height='9'/>"),
        [LIME]
    );
    assert_eq!(
        colours(
            "<style>rect{fill:lime}</style><rect fill='red' style='fill:blue' width='9' height='9'/>"
        ),
        [BLUE]
    );
    assert_eq!(
        colours(
            "<style>rect{fill:lime!important}</style><rect style='fill:blue' width='9' height='9'/>"
        ),
        [LIME]
    );
    assert_eq!(
        colours(
            "<style>rect{fill:lime ! important}</style><rect style='fill:blue !important' width='9' height='9'/>"
        ),
        [BLUE]
    );
}

#[test]
fn selectors_choose_by_what_elements_are_and_where_they_stand() {
    // CSS 2, 5: each sheet paints the square red, or leaves it black.
    for selector in [
        "*",
        "rect",
        ".a",
        ".b",
        ".a.b",
        "rect.a",
        "#one",
        "rect#one.b",
        "[id]",
        "[id=one]",
        "[class~='b']",
        "g rect",
        "svg rect",
        "g > rect",
        ".outer>.a",
        "path + rect",
        "svg > g path+ rect",
        ".x, .a",
        "g, rect , path",
        "/* of all */ rect",
        "svg:root rect",
        "*|nothing, .a",
    ] {
        assert_eq!(
            by_sheet(&format!("{selector} {{fill:red}}")),
            RED,
            "{selector}"
        );
    }
    for selector in [
        "circle",
        ".c",
        ".a.c",
        "#two",
        "[id=two]",
        "svg > rect",
        "rect g",
        "rect + path",
        "rect:first-child",
        "rect:hover",
        ".a .b",
        "[x]",
        "rect:unknown",
        "A",
    ] {
        assert_eq!(
            by_sheet(&format!("{selector} {{fill:red}}")),
            BLACK,
            "{selector}"
        );
    }
    assert_eq!(by_sheet("path:first-child + rect{fill:red}"), RED);
}

#[test]
fn the_more_specific_selector_counts_and_then_the_later_one() {
    // CSS 2, 6.4.1 and 6.4.3.
    for (sheet, rgb) in [
        (".a{fill:red}rect{fill:blue}", RED),
        ("#one{fill:red}rect.a.b{fill:blue}", RED),
        ("g rect{fill:red}rect{fill:blue}", RED),
        (".a{fill:blue}.b{fill:red}", RED),
        (".b{fill:blue}.a{fill:red}", RED),
        ("rect{fill:red!important}#one{fill:blue}", RED),
        (".a{fill:red;fill:blue}", BLUE),
        // A value that cannot be read does not hide the one before it.
        (".a{fill:red;fill:color(display-p3 0 0 1)}", RED),
        ("[id=one]{fill:red}rect{fill:blue}", RED),
    ] {
        assert_eq!(by_sheet(sheet), rgb, "{sheet}");
    }
}

#[test]
fn a_mistake_in_a_sheet_spoils_no_more_than_where_it_is() {
    // CSS 2, 4.2.
    for sheet in [
        ".a{font:12px/1.5 x;fill:red}",
        ".a{;;fill:red}",
        ".a{fill:red;stroke",
        ".a{broken;fill:red}",
        ".a{x:url(data:a;b);fill:red}",
        ".a{x:\"};\";fill:red}",
        "@import 'other.css';.a{fill:red}",
        "@font-face{font-family:x}.a{fill:red}",
        "@media print{.a{fill:blue}}.a{fill:red}",
        "@media screen{.a{fill:red}}",
        ".a{fill:blue}@media all{.a{fill:red}}",
        "}.a{fill:red}",
        "<!-- .a{fill:red} -->",
        "<![CDATA[.a{fill:red}]]>",
        ".a{/* fill:blue; */fill:red/* ; */}",
        ".a /* } */ {fill:red}",
        "::before{fill:blue}.a{fill:red}",
        ".a{fill:red}.a:not(.x){fill:blue}",
        "  .a\n{\n\tfill :\n red ; }",
    ] {
        let sheet = if sheet.starts_with("<!--") {
            sheet.replace('<', "&lt;")
        } else {
            sheet.to_owned()
        };
        assert_eq!(by_sheet(&sheet), RED, "{sheet}");
    }
}

#[test]
fn sheets_in_other_files_are_counted_and_not_fetched() {
    // CSS 2, 6.3, and Associating Style Sheets with XML documents, 4.
    let art = super::drawn(
        "<?xml-stylesheet href='a.css'?><svg xmlns='http://www.w3.org/2000/svg'><style>@import url(b.css);rect{fill:red}\
         </style><rect width='9' height='9'/></svg>",
    );
    assert_eq!(
        (omitted(&art, Omission::External), paints(&art)),
        (2, vec![RED])
    );
}

#[test]
fn only_sheets_of_css_for_screens_count() {
    for (attributes, rgb) in [
        ("", RED),
        ("type='text/css'", RED),
        ("type=''", RED),
        ("media='all'", RED),
        ("media='print'", BLACK),
        ("type='text/other'", BLACK),
    ] {
        let inside =
            format!("<rect width='9' height='9'/><style {attributes}>rect{{fill:red}}</style>");
        assert_eq!(colours(&inside), [rgb], "{attributes}");
    }
}

#[test]
fn geometry_may_be_in_a_sheet() {
    // SVG 2, 7.
    check(
        &super::only("<style>rect{width:30px;x:5px}</style><rect width='9' height='9'/>"),
        "M5 0L35 0L35 9L5 9Z",
    );
}

#[test]
fn what_does_not_show_is_counted_and_not_cut() {
    // SVG 2, 3.2 and 13.4: and CSS 2, 11.2, where what is visible in what is hidden shows.
    for hidden in [
        "fill='none'",
        "fill='transparent'",
        "fill='#ff000000'",
        "fill='rgba(0,0,0,0)'",
        "fill-opacity='0'",
        "style='fill-opacity:0%'",
        "opacity='0'",
        "display='none'",
        "visibility='hidden'",
        "visibility='collapse'",
        "fill='none' stroke='red' stroke-width='0'",
        "fill='none' stroke='red' stroke-opacity='0'",
        "fill='none' stroke='none'",
    ] {
        let art = on_sheet(&format!(
            "<rect width='9' height='9' {hidden}/><rect width='8' height='8'/>"
        ));
        assert_eq!(
            (art.shapes.len(), omitted(&art, Omission::Hidden)),
            (1, 1),
            "{hidden}"
        );
        let art = on_sheet(&format!(
            "<g {hidden}><rect width='9' height='9'/></g><rect width='8' height='8'/>"
        ));
        assert_eq!(
            (art.shapes.len(), omitted(&art, Omission::Hidden)),
            (1, 1),
            "{hidden}"
        );
    }
    let inside = |outer: &str| {
        on_sheet(&format!("<g {outer}><rect width='9' height='9' visibility='visible' fill='red' opacity='1'/></g><path d='M0 0h1v1z'/>")).shapes.len()
    };
    assert_eq!(inside("visibility='hidden'"), 2);
    assert_eq!(inside("fill='none'"), 2);
    assert_eq!(inside("display='none'"), 1);
    assert_eq!(inside("opacity='0'"), 1);
}

#[test]
fn the_rule_of_filling_is_inherited() {
    // SVG 2, 13.4.2.
    let rule = |inside: &str| on_sheet(inside).shapes[0].rule;
    assert_eq!(rule("<rect width='9' height='9'/>"), Rule::NonZero);
    assert_eq!(
        rule("<rect fill-rule='evenodd' width='9' height='9'/>"),
        Rule::EvenOdd
    );
    assert_eq!(
        rule("<g fill-rule='evenodd'><rect width='9' height='9'/></g>"),
        Rule::EvenOdd
    );
    assert_eq!(
        rule("<g style='fill-rule:evenodd'><rect fill-rule='nonzero' width='9' height='9'/></g>"),
        Rule::NonZero
    );
    assert_eq!(
        rule("<rect fill-rule='odd' width='9' height='9'/>"),
        Rule::NonZero
    );
}

#[test]
fn a_gradient_is_its_first_colour_that_shows() {
    // SVG 2, 14.2; what becomes of it is our rule.
    let fill = |servers: &str, fill: &str| {
        let art = on_sheet(&format!(
            "<defs>{servers}</defs><rect width='9' height='9' fill='{fill}'/>"
        ));
        (art.shapes[0].colour.0, omitted(&art, Omission::Gradient))
    };
    let stops = "<stop stop-color='red'/><stop offset='1' stop-color='blue'/>";
    assert_eq!(
        fill(
            &format!("<linearGradient id='a'>{stops}</linearGradient>"),
            "url(#a)"
        ),
        (RED, 1)
    );
    assert_eq!(
        fill(
            &format!("<radialGradient id='a'>{stops}</radialGradient>"),
            "url(#a) lime"
        ),
        (RED, 1)
    );
    assert_eq!(
        fill(
            "<linearGradient id='a'><stop style='stop-color:lime'/></linearGradient>",
            "url(\"#a\")"
        ),
        (LIME, 1)
    );
    assert_eq!(
        fill(
            "<linearGradient id='a'><stop stop-opacity='0' stop-color='red'/><stop stop-color='blue'/></linearGradient>",
            "url(#a)"
        ),
        (BLUE, 1)
    );
    // The stops of another one (SVG 2, 14.2.2).
    assert_eq!(
        fill(
            &format!(
                "<linearGradient id='a' xlink:href='#b'/><linearGradient id='b'>{stops}</linearGradient>"
            ),
            "url(#a)"
        ),
        (RED, 1)
    );
    assert_eq!(
        fill(
            "<linearGradient id='a' color='blue'><stop stop-color='currentColor'/></linearGradient>",
            "url(#a)"
        ),
        (BLUE, 1)
    );
    // One that is not there gives what is named behind it.
    assert_eq!(fill("", "url(#a) blue"), (BLUE, 0));
    let art = on_sheet(
        "<linearGradient id='a' href='#a'/><rect width='9' height='9' fill='url(#a)'/><path d='M0 0h1v1z'/>",
    );
    assert_eq!(art.shapes.len(), 1);
}

#[test]
fn a_pattern_a_clip_a_mask_a_filter_and_markers_are_counted_and_the_shape_is_kept() {
    let servers = "<defs><pattern id='p'><rect width='1' height='1'/></pattern><clipPath id='c'><rect width='1' \
                   height='1'/></clipPath><mask id='m'/><filter id='f'/><marker id='k'/></defs>";
    for (attributes, what) in [
        ("fill='url(#p)'", Omission::Effect),
        ("clip-path='url(#c)'", Omission::Effect),
        ("mask='url(#m)'", Omission::Effect),
        ("filter='url(#f)'", Omission::Effect),
        ("style='filter:blur(2px)'", Omission::Effect),
        ("marker-end='url(#k)'", Omission::Marker),
    ] {
        let art = on_sheet(&format!("{servers}<path d='M0 0H9V9z' {attributes}/>"));
        assert_eq!(
            (art.shapes.len(), omitted(&art, what)),
            (1, 1),
            "{attributes}"
        );
        check(&art.shapes[0].path, "M0 0L9 0L9 9Z");
    }
    for attributes in [
        "clip-path='none'",
        "clip-path='url(#gone)'",
        "filter='none'",
        "marker='none'",
    ] {
        let art = on_sheet(&format!("{servers}<path d='M0 0H9V9z' {attributes}/>"));
        assert!(art.omitted.is_empty(), "{attributes}");
    }
}

#[test]
fn what_cannot_be_cut_is_counted_where_it_shows() {
    let art = on_sheet(
        "<text>A</text><text> </text><text display='none'>B</text><g visibility='hidden'><text>C</text></g>\
         <text><tspan>D</tspan><tspan>E</tspan></text>\
         <image href='data:image/png;base64,AA'/><image xlink:href='photo.png'/><image href='photo.png' opacity='0'/>\
         <foreignObject width='9' height='9'><p xmlns='http://www.w3.org/1999/xhtml'>F</p></foreignObject>\
         <script>alert(1)</script><defs><script/><text>G</text></defs><blink/>\
         <use href='other.svg#a'/><use href='#gone'/><rect width='9' height='9' fill='url(other.svg#a) red'/>",
    );
    let counts: Vec<(Omission, u32)> = art
        .omitted
        .iter()
        .map(|omitted| (omitted.what, omitted.count))
        .collect();
    assert_eq!(
        counts,
        [
            (Omission::Text, 2),
            (Omission::Image, 1),
            (Omission::External, 3),
            (Omission::Missing, 1),
            (Omission::Script, 2),
            (Omission::Foreign, 2),
        ]
    );
    assert_eq!(paints(&art), [RED]);
}

#[test]
fn without_strokes_a_fill_counts_before_a_stroke() {
    let art = on_sheet(
        "<rect width='9' height='9' fill='red' stroke='blue'/><rect width='9' height='9' fill='none' stroke='blue'/>\
         <rect width='9' height='9' fill-opacity='0' stroke='lime' fill-rule='nonzero'/>",
    );
    assert_eq!(paints(&art), [RED, BLUE, LIME]);
    let kinds: Vec<(Kind, Rule)> = art
        .shapes
        .iter()
        .map(|shape| (shape.kind, shape.rule))
        .collect();
    assert_eq!(
        kinds,
        [
            (Kind::Fill, Rule::NonZero),
            (Kind::Line, Rule::EvenOdd),
            (Kind::Line, Rule::EvenOdd)
        ]
    );
    assert!(art.omitted.is_empty());
}
