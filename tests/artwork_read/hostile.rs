//! Files made to do harm, and files that chance made.

use super::{check_box, drawn, omitted, on_sheet, refused, sheet};
use decal_reckoner::artwork::outline::Omission;
use decal_reckoner::artwork::read::{ReadOptions, read};
use decal_reckoner::error::Code;
use proptest::prelude::*;
use std::fmt::Write as _;

/// Reads a text in both ways; that it comes back at all, with numbers or with a mistake, is what is checked.
fn survives(text: &str) {
    for strokes in [false, true] {
        match read(text, &ReadOptions { strokes }) {
            Ok(art) => {
                let bounds = art.bounds();
                assert!(bounds.is_finite() && bounds.width() <= 2e7, "{bounds:?}");
                for shape in &art.shapes {
                    assert!(matches!(
                        shape.path.elements().first(),
                        Some(kurbo::PathEl::MoveTo(_))
                    ));
                    assert!(shape.path.is_finite());
                }
            }
            Err(error) => {
                assert_eq!(error.field, "svg");
                assert!(!error.message.is_empty() && !error.hint.is_empty());
                assert!(error.message.len() < 300, "{error:?}");
            }
        }
    }
}

fn too_large(text: &str) {
    assert_eq!(refused(text).code, Code::TooLarge);
}

const HEAD: &str =
    "<svg xmlns='http://www.w3.org/2000/svg' xmlns:xlink='http://www.w3.org/1999/xlink'>";

#[test]
fn entities_that_unfold_are_refused() {
    // The billion laughs: entities of entities.
    let mut laughs = String::from("<!DOCTYPE svg [<!ENTITY a0 'ha'>");
    for level in 1..12 {
        let inner = format!("&a{};", level - 1).repeat(10);
        let _ = write!(laughs, "<!ENTITY a{level} '{inner}'>");
    }
    let _ = write!(laughs, "]>{HEAD}<text>&a11;</text></svg>");
    assert_eq!(refused(&laughs).code, Code::WrongType);
    // Quadratic: a long one, many times.
    let long = "x".repeat(100_000);
    let many = "&a;".repeat(100_000);
    too_large(&format!(
        "<!DOCTYPE svg [<!ENTITY a '{long}'>]>{HEAD}<text>{many}</text></svg>"
    ));
    too_large(&format!(
        "<!DOCTYPE svg [<!ENTITY a '{long}'>]>{HEAD}<path d='{many}'/></svg>"
    ));
    // Tags in an entity, with which elements would be counted that are not there.
    assert_eq!(
        refused(&format!(
            "<!DOCTYPE svg [<!ENTITY a '<g/>'>]>{HEAD}&a;</svg>"
        ))
        .code,
        Code::WrongType
    );
    let decls: String = (0..1000).fold(String::new(), |mut all, each| {
        let _ = write!(all, "<!ENTITY a{each} 'x'>");
        all
    });
    too_large(&format!("<!DOCTYPE svg [{decls}]>{HEAD}</svg>"));
    // Hidden behind what looks like the end of the document type.
    assert_eq!(
        refused(&format!("<!DOCTYPE svg [<!-- ]> --><?x ]> ?><!ELEMENT a (b)><!ENTITY a \"]>\"><!ENTITY b '&a;'>]>{HEAD}&b;</svg>")).code,
        Code::WrongType
    );
}

#[test]
fn entities_of_other_files_are_never_fetched() {
    let file = concat!(env!("CARGO_MANIFEST_DIR"), "/Cargo.toml");
    let text =
        format!("<!DOCTYPE svg [<!ENTITY x SYSTEM 'file://{file}'>]>{HEAD}<text>&x;</text></svg>");
    assert!(refused(&text).message.contains("&x; is not defined"));
    // One that is not used does no harm.
    let text = format!(
        "<!DOCTYPE svg [<!ENTITY x SYSTEM 'file://{file}'>]>{HEAD}<path d='M0 0h9v9z'/></svg>"
    );
    assert_eq!(drawn(&text).shapes.len(), 1);
}

#[test]
fn copies_that_multiply_are_refused() {
    let mut bomb = String::from("<defs><rect id='a0' width='1' height='1'/>");
    for level in 1..30 {
        let inner = format!("<use href='#a{}'/>", level - 1).repeat(10);
        let _ = write!(bomb, "<g id='a{level}'>{inner}</g>");
    }
    bomb.push_str("</defs><use href='#a29'/>");
    too_large(&sheet(&bomb));
    // The same with what is never drawn.
    let empty = bomb.replace("<rect id='a0' width='1' height='1'/>", "<g id='a0'/>");
    too_large(&sheet(&empty));
    // A long path, many times; and long data in which there is nothing.
    let long = "<path id='a' d='M0 0".to_owned() + &"h1v1".repeat(100_000) + "'/>";
    let many = "<use href='#a'/>".repeat(1000);
    too_large(&sheet(&format!("{long}{many}")));
    let blank = format!(
        "<path id='a' d='M0 0{}'/>{}",
        " ".repeat(1_000_000),
        "<use href='#a'/>".repeat(50_000)
    );
    too_large(&sheet(&blank));
    let comments = format!(
        "<g id='a'>{}</g>{}",
        "<!---->".repeat(50_000),
        "<use href='#a'/>".repeat(50_000)
    );
    too_large(&sheet(&comments));
}

#[test]
fn deep_nesting_is_refused_and_overflows_nothing() {
    // Closed or not, in tags, copies, brackets of sheets.
    let deep = format!("{}{}", "<g>".repeat(100_000), "</g>".repeat(100_000));
    too_large(&sheet(&deep));
    assert_eq!(
        refused(&format!("{HEAD}{}", "<g>".repeat(100_000))).code,
        Code::WrongType
    );
    let inner = "<rect width='9' height='9'/>";
    let within = |depth: usize| {
        sheet(&format!(
            "{}{inner}{}",
            "<g>".repeat(depth),
            "</g>".repeat(depth)
        ))
    };
    assert_eq!(drawn(&within(200)).shapes.len(), 1);
    too_large(&within(300));
    let mut chain = String::from("<rect id='a0' width='1' height='1'/>");
    for level in 1..1000 {
        let _ = write!(chain, "<use id='a{level}' href='#a{}'/>", level - 1);
    }
    too_large(&sheet(&chain));
    let braces = format!(
        "<style>{}rect{{fill:red}}</style>{inner}",
        "a{".repeat(100_000)
    );
    assert_eq!(on_sheet(&braces).shapes.len(), 1);
    let media = format!(
        "<style>{}rect{{fill:red}}</style>{inner}",
        "@media all{".repeat(100_000)
    );
    assert_eq!(super::paints(&on_sheet(&media)), [super::RED]);
    let comments = format!(
        "<style>{}rect{{fill:red}}</style>{inner}",
        "/**/".repeat(100_000)
    );
    assert_eq!(super::paints(&on_sheet(&comments)), [super::RED]);
    let brackets = format!("<style>a{{x:{}", "(".repeat(100_000));
    assert_eq!(
        on_sheet(&format!("{brackets}</style>{inner}")).shapes.len(),
        1
    );
    let transforms = format!("<g transform='{}'>{inner}</g>", "scale(".repeat(100_000));
    assert_eq!(on_sheet(&transforms).shapes.len(), 1);
}

#[test]
fn a_small_stack_is_enough() {
    // In a browser there is 1 MB for all.
    let deep = format!("{}{}", "<g>".repeat(200), "</g>".repeat(200)).replacen(
        "</g>",
        "<path d='M0 0C9 9 9 -9 0 5z' stroke='red'/></g>",
        1,
    );
    let sheets = format!(
        "<style>{}path{{fill:red}} {}</style>",
        "g ".repeat(15),
        "a{b:c}".repeat(5_000)
    );
    let texts = [
        sheet(&format!("{sheets}{deep}")),
        sheet(&"<g>".repeat(100_000)),
        sheet(&format!(
            "{}{}",
            "<g>".repeat(100_000),
            "</g>".repeat(100_000)
        )),
        sheet(&format!(
            "<text>{}a{}</text>",
            "<tspan>".repeat(50_000),
            "</tspan>".repeat(50_000)
        )),
        sheet(&format!(
            "<linearGradient id='a'>{}{}</linearGradient><rect fill='url(#a)' width='9' height='9'/>",
            "<g>".repeat(50_000),
            "</g>".repeat(50_000)
        )),
    ];
    let thread = std::thread::Builder::new().stack_size(256 << 10);
    let read = thread.spawn(move || texts.iter().for_each(|text| survives(text)));
    assert!(read.expect("a thread").join().is_ok());
}

#[test]
fn more_than_a_drawing_needs_is_refused() {
    too_large(&format!("{HEAD}<!--{}--></svg>", "x".repeat(9 << 20)));
    too_large(&sheet(&"<g/>".repeat(1_000_000)));
    too_large(&sheet(&"<g/>".repeat(300_000)));
    too_large(&"<".repeat(8 << 20));
    too_large(&format!("<svg {}", "=".repeat(8 << 20 >> 1)));
    too_large(&sheet(&format!(
        "<path d='M0 0{}'/>",
        "h1v1".repeat(300_000)
    )));
    let attributes: String = (0..5000).fold(String::new(), |mut all, each| {
        let _ = write!(all, " a{each}=''");
        all
    });
    too_large(&sheet(&format!("<g{attributes}/>")));
    // Names that grow with each sign of equality.
    too_large(&sheet(&format!("<g xmlns{}/>", "a=".repeat(400_000))));
    too_large(&sheet(&format!(
        "<g xmlns:{}='urn:x'/>",
        "a".repeat(400_000)
    )));
    let namespaces: String = (0..150).fold(String::new(), |mut all, each| {
        let _ = write!(all, " xmlns:a{each} = 'urn:{each}'");
        all
    });
    too_large(&sheet(&format!("<g{namespaces}/>")));
}

#[test]
fn style_sheets_that_take_too_long_are_refused() {
    let rects = "<rect width='9' height='9' class='a'/>".repeat(20_000);
    let rules = "*[x]{fill:red}".repeat(9_000);
    too_large(&sheet(&format!("<style>{rules}</style>{rects}")));
    too_large(&sheet(&format!(
        "<style>{}</style>{rects}",
        ".a{fill:red}".repeat(11_000)
    )));
    // Ways to match that multiply.
    let nested = format!(
        "{}<rect width='9' height='9'/>{}",
        "<g>".repeat(200),
        "</g>".repeat(200)
    );
    let selector = format!("x {}rect{{fill:red}}", "g ".repeat(14));
    too_large(&sheet(&format!("<style>{selector}</style>{nested}")));
    // One with more parts than any sheet needs is left out.
    let selector = format!("{}rect{{fill:red}}", "g ".repeat(1_000));
    assert_eq!(
        super::paints(&on_sheet(&format!("<style>{selector}</style>{nested}"))),
        [super::BLACK]
    );
    let slow = format!("rect{{fill:rgb({}1,1,1)}}", " ".repeat(3000)).repeat(40);
    too_large(&sheet(&format!("<style>{slow}</style>{rects}")));
    let stops = "<stop stop-opacity='0'/>".repeat(50_000);
    let filled = "<path d='M0 0h1v1z' fill='url(#g)'/>".repeat(50_000);
    too_large(&sheet(&format!(
        "<linearGradient id='g'>{stops}</linearGradient>{filled}"
    )));
    // Long values, and long lists of classes.
    let long = format!("<style>*{{fill:{}}}</style>{rects}", "a".repeat(1_000_000));
    assert_eq!(on_sheet(&long).shapes.len(), 20_000);
    let classes = format!(
        "<g class='{}'>{rects}</g><style>g.b rect{{fill:red}}</style>",
        "a ".repeat(500_000)
    );
    too_large(&sheet(&classes));
}

#[test]
fn numbers_that_are_none_or_too_great_are_refused_with_their_place() {
    for (shape, code) in [
        ("<path d='M1e300 0L5 5 9 0z'/>", Code::TooLarge),
        ("<path d='M0 0h1e14v1e14z'/>", Code::TooLarge),
        (
            "<path d='M0 0H9V9z' transform='scale(1e13)'/>",
            Code::TooLarge,
        ),
        (
            "<path d='M0 0H9V9z' transform='translate(1e8)'/>",
            Code::TooLarge,
        ),
        ("<path d='M0 0A1e300 1 0 0 0 9 9z'/>", Code::TooLarge),
        ("<polygon points='0 0 1e200 5 5 5'/>", Code::TooLarge),
        (
            "<g transform='scale(1e14)'><g transform='scale(1e14)'><g transform='scale(1e14)'><path d='M0 0H9V9z'/></g></g></g>",
            Code::TooLarge,
        ),
    ] {
        let error = refused(&sheet(&format!("\n  {shape}")));
        assert_eq!(error.code, code, "{shape}: {error:?}");
        assert!(error.message.contains("(line 2, column "), "{error:?}");
    }
    // Data that are no numbers are mistakes in the data; lengths that are none count as not given.
    for shape in [
        "<path d='M0 0 LNaN 5 9 0z'/>",
        "<path d='M0 0 L1e309 5 9 0z'/>",
        "<rect width='NaN' height='9'/>",
        "<rect width='1e400' height='9'/>",
        "<rect width='inf' height='9'/>",
        "<circle r='1e308mm'/>",
    ] {
        assert_eq!(refused(&sheet(shape)).code, Code::Missing, "{shape}");
    }
    for view in [
        "0 0 1e-300 1e-300",
        "1e14 1e14 1e-14 1e-14",
        "0 0 1e15 1e15",
        "0 0 1e300 1",
    ] {
        survives(&format!(
            "<svg xmlns='http://www.w3.org/2000/svg' width='1e9mm' height='5' viewBox='{view}'><path d='M0 0H9V9z'/></svg>"
        ));
    }
}

#[test]
fn strokes_that_ask_for_too_much_are_refused() {
    let strokes = |inside: &str| {
        read(&sheet(inside), &ReadOptions { strokes: true }).map_err(|error| error.code)
    };
    for shape in [
        "<path d='M0 0H90V90' stroke='red' stroke-dasharray='0.0001'/>",
        "<path d='M0 0H90V90' stroke='red' stroke-dasharray='1e-300'/>",
        "<path d='M0 0H90V90' stroke='red' stroke-dasharray='1e-9 1e-9 1e-9'/>",
        "<circle r='40' stroke='red' stroke-dasharray='1e-5,1e-6'/>",
    ] {
        assert_eq!(strokes(shape).map(|_| ()), Err(Code::TooLarge), "{shape}");
    }
    let many = format!(
        "<path fill='none' stroke='red' d='M0 0{}'/>",
        "q1 0 1 1".repeat(150_000)
    );
    assert_eq!(strokes(&many).map(|_| ()), Err(Code::TooLarge));
    assert_eq!(
        strokes("<path d='M0 0H90' stroke='red' stroke-width='1e12'/>").map(|_| ()),
        Err(Code::TooLarge)
    );
    for shape in [
        "<path d='M0 0C0 0 0 0 1e-12 0' stroke='red' stroke-width='1e6'/>",
        "<path d='M0 0Q9 9 0 0' stroke='red' stroke-width='1e-12'/>",
        "<path d='M0 0C9 9 9 9 0 0C9 9 0 9 9 0' stroke='red' stroke-width='50' stroke-linejoin='round'/>",
        "<path d='M0 0L1e-300 0L5 5' stroke='red' stroke-miterlimit='1e300'/>",
        "<path d='M0 0L5 5' stroke='red' stroke-dasharray='5' stroke-dashoffset='1e15'/>",
        "<path d='M0 0L5 5' stroke='red' stroke-dasharray='1e-300 5'/>",
        "<path d='M0 0L5 5' stroke='red' stroke-dasharray='1e15'/>",
        "<path d='M0 0L5 5' stroke='red' vector-effect='non-scaling-stroke' transform='scale(1e-12)'/>",
    ] {
        survives(&sheet(shape));
    }
}

#[test]
fn scripts_and_events_do_nothing() {
    let art = on_sheet(
        "<script href='http://example.org/x.js'/><script>while(true);</script><rect onload='x()' onclick='y()' width='9' height='9'/>",
    );
    assert_eq!(omitted(&art, Omission::Script), 2);
    check_box(art.bounds(), [0.0, 0.0, 9.0, 9.0]);
}

#[test]
fn odd_texts_come_back() {
    for text in [
        "<",
        "<>",
        "</>",
        "<!",
        "<!DOCTYPE",
        "<!DOCTYPE svg [",
        "<!DOCTYPE svg [<!ENTITY",
        "<!ENTITY a 'b'>",
        "<?",
        "<?xml",
        "<![CDATA[",
        "<svg/",
        "<svg",
        "<svg ",
        "<svg a",
        "<svg a=",
        "<svg a='",
        "<svg a=''",
        "<svg>\0</svg>",
        "<svg>&#0;</svg>",
        "<svg>&#xD800;</svg>",
        "<svg>&;</svg>",
        "<svg><style>",
        "<svg><style>}</style></svg>",
        "<svg><style>@</style></svg>",
        "<svg><style>> a{fill:red}</style><rect width='1' height='1'/></svg>",
        "<svg><style>a >{fill:red}</style><rect width='1' height='1'/></svg>",
        "<svg><style>+,>{}</style><rect width='1' height='1'/></svg>",
        "<svg><style>a b{fill</style><rect width='1' height='1'/></svg>",
        "<svg><style>/*</style><rect width='1' height='1'/></svg>",
        "<svg><rect style='fill' width='1' height='1'/></svg>",
        "<svg><rect style=':red' width='1' height='1'/></svg>",
        "<svg><rect transform=')(' width='1' height='1'/></svg>",
        "<svg><rect fill='url(' width='1' height='1'/></svg>",
        "<svg><rect fill='url(x' width='1' height='1'/></svg>",
        "<svg><rect fill='url(#' width='1' height='1'/></svg>",
        "<svg><use href='#'/></svg>",
        "<svg><use href=''/></svg>",
        "<svg preserveAspectRatio='defer' viewBox='0 0 1 1'><rect width='1' height='1'/></svg>",
        "<svg><rect fill='\u{e9}(' width='1' height='1' style='\u{e9}:\u{e9};fill:\u{2028}'/><style>\u{e9}{\u{e9}:\u{e9}}</style></svg>",
    ] {
        survives(text);
        survives(&text.replace("<svg", "<svg xmlns='http://www.w3.org/2000/svg'"));
    }
}

/// Pieces of which odd drawings are made.
const PIECES: &[&str] = &[
    "<g>",
    "</g>",
    "<rect ",
    "<path ",
    "<use ",
    "<circle ",
    "<style>",
    "</style>",
    "<svg ",
    "</svg>",
    "/>",
    ">",
    " d='",
    "'",
    "M0 0",
    "L5 5",
    "C1 2 3 4 5 6",
    "A5 5 0 1 1 9 9",
    "z",
    "h1e9",
    "q-1 2 3 1e-9",
    "T.5.5",
    " fill='red'",
    " fill='url(#a)'",
    " stroke='blue'",
    " stroke-width='",
    " stroke-dasharray='1 2'",
    " stroke-linecap='round'",
    " stroke-linejoin='round'",
    " transform='",
    "scale(0)",
    "rotate(45 1 2)",
    "matrix(1 2 3 4 5 6)",
    " id='a'",
    " href='#a'",
    " width='5'",
    " height='9'",
    " r='5'",
    " x='50%'",
    " style='",
    "fill:none;",
    "fill:red!important;",
    "a{",
    "}",
    "*",
    ".a",
    "#a",
    ",",
    "<!--",
    "-->",
    "<![CDATA[",
    "]]>",
    "&amp;",
    "&#x41;",
    "&a;",
    "1e308",
    "-1e-308",
    "NaN",
    "<linearGradient id='a'>",
    "<stop stop-color='red'/>",
    "</linearGradient>",
    " class='a'",
    "<symbol viewBox='0 0 1 1' id='a'>",
    "</symbol>",
    "\u{0}",
    "\u{e9}",
    " viewBox='0 0 5 5'",
];

proptest! {
    #![proptest_config(ProptestConfig::with_cases(512))]

    #[test]
    fn any_text_comes_back(text in "\\PC*") {
        survives(&text);
        survives(&format!("<svg>{text}</svg>"));
    }

    #[test]
    fn any_row_of_pieces_comes_back(pieces in prop::collection::vec(prop::sample::select(PIECES), 0..40)) {
        let text = pieces.concat();
        survives(&text);
        survives(&sheet(&text));
        survives(&sheet(&format!("<path stroke='red' d='{}'/>", text.replace(['<', '&', '\''], " "))));
        survives(&sheet(&format!("<style>{}</style><rect class='a' width='5' height='5'/>", text.replace(['<', '&'], " "))));
    }

    #[test]
    fn any_path_of_commands_comes_back(
        commands in prop::collection::vec((prop::sample::select(&b"MmLlHhVvCcSsQqTtAaZz"[..]), prop::collection::vec(number(), 0..8)), 0..12),
        attributes in prop::sample::select(&["", "stroke-linejoin='round' stroke-linecap='round'", "stroke-width='1e3'", "stroke-dasharray='3 1 2'", "fill='none' stroke-width='.001'"][..]),
    ) {
        let mut data = String::from("M0 0");
        for (command, numbers) in &commands {
            data.push(char::from(*command));
            for number in numbers {
                let _ = write!(data, " {number:?}");
            }
        }
        survives(&sheet(&format!("<path d='{data}' stroke='red' {attributes}/>")));
    }

    #[test]
    fn moving_and_scaling_the_page_moves_and_scales_what_is_cut(
        x in -50.0..50.0_f64, y in -50.0..50.0_f64, scale in 0.1..10.0_f64,
    ) {
        // A law: the transform of a group does to the box what it does to the plane.
        let shape = "<path d='M10 10A20 10 30 0 1 60 40Q70 80 20 70C0 60 0 30 10 10z'/>";
        let plain = on_sheet(shape).bounds();
        let moved = on_sheet(&format!("<g transform='translate({x:?} {y:?}) scale({scale:?})'>{shape}</g>")).bounds();
        let corner = |at: f64, by: f64| at * scale + by;
        check_box(moved, [corner(plain.x0, x), corner(plain.y0, y), corner(plain.x1, x), corner(plain.y1, y)]);
    }
}

/// Numbers of all sizes, and whole ones that meet again.
fn number() -> impl Strategy<Value = f64> {
    prop_oneof![
        4 => (-9..9_i32).prop_map(f64::from),
        2 => -100.0..100.0_f64,
        1 => prop::num::f64::NORMAL,
        1 => Just(0.0),
        1 => -1e-9..1e-9_f64,
    ]
}
