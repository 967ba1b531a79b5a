//! Drawings: what they are made of, and how they are changed.

use super::chance::Chance;
use super::kinds::Kind;

/// The reader of drawings, whose time is not that of a keystroke.
pub(super) const DRAWING: Kind = Kind {
    name: "drawing",
    ending: "svg",
    seeds: "tests/data/artwork/icons",
    // Strokes as they are, or as outlines.
    ways: &[0, 1],
    pieces: PIECES,
    values: &[],
    before: "'\" >",
    longest: 2 << 20,
    memory: 1 << 20,
    gently: change_value,
    finish: None,
};

/// What is put into drawings, and of what some are made.
const PIECES: &[&str] = &[
    "<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 10 10'>",
    "<svg width='1in' height='50%' preserveAspectRatio='xMaxYMin slice' viewBox='-1 -1 3 4'>",
    "</svg>",
    "<g>",
    "</g>",
    "<g id='a'>",
    "<use href='#a' x='1'/>",
    "<use xlink:href='#b' width='5' height='6'/>",
    "<symbol id='b' viewBox='0 0 1 2'>",
    "</symbol>",
    "<defs>",
    "</defs>",
    "<switch>",
    "</switch>",
    "<a>",
    "</a>",
    "<rect x='1' y='2' width='3' height='4' rx='1'/>",
    "<circle r='5%'/>",
    "<ellipse rx='2' ry='1'/>",
    "<line x2='5' y2='5' stroke='red'/>",
    "<polygon points='0 0 5 5 9,0'/>",
    "<path d='M0 0",
    "<path id='b' d='m1 1",
    "'/>",
    "/>",
    ">",
    "<",
    "'",
    "\"",
    "=",
    "&",
    ";",
    "{",
    "}",
    "(",
    ")",
    "#",
    "/*",
    "*/",
    "<!--",
    "-->",
    "<![CDATA[",
    "]]>",
    "M5 5",
    "L9 9",
    "h3v-4",
    "C1 2 3 4 5 6",
    "s1-1 2 2",
    "Q9 0 5 5",
    "t3 3",
    "A5 3 20 1 0 9 9",
    "a1 1 0 0110 0",
    "z",
    "Z",
    " fill='none'",
    " fill='url(#g)'",
    " fill='currentColor'",
    " fill-rule='evenodd'",
    " stroke='blue'",
    " stroke-width='2'",
    " stroke-width='1e5'",
    " stroke-width='1e-9'",
    " stroke-dasharray='1 2'",
    " stroke-dasharray='.01,1e-3 5%'",
    " stroke-dashoffset='-7'",
    " stroke-linecap='round'",
    " stroke-linecap='square'",
    " stroke-linejoin='round'",
    " stroke-linejoin='bevel'",
    " stroke-miterlimit='99'",
    " vector-effect='non-scaling-stroke'",
    " opacity='0'",
    " display='none'",
    " visibility='hidden'",
    " transform='rotate(30 1 2)'",
    " transform='matrix(1 2 3 4 5 6)'",
    " transform='scale(1e-6 1e6)'",
    " transform='skewX(89.999)'",
    " style='fill:red;stroke:#123!important'",
    " style='transform:translate(1px,5%) rotate(1rad)'",
    " class='a b'",
    " id='a'",
    " clip-path='url(#c)'",
    "<linearGradient id='g'><stop stop-color='red'/></linearGradient>",
    "<radialGradient id='g' href='#g'/>",
    "<pattern id='g'/>",
    "<style>.a{fill:red}g>rect+rect{stroke:lime}#a *{opacity:.5}</style>",
    "<style>",
    "</style>",
    "@media all{",
    "g g g g g g g g g g g rect{fill:red}",
    ".a,.b,[id=a]{fill:red;",
    "<text>KITTIWAKE</text>",
    "<image href='data:,'/>",
    "<foreignObject/>",
    "<script>x</script>",
    "<!DOCTYPE svg [<!ENTITY e 'M0 0L5 5'>]>",
    "&e;",
    "&#x41;",
    "&amp;",
    "<?xml version='1.0'?>",
    "\u{feff}",
    "\u{e9}",
    "\0",
    "\r\n",
    "\t",
    " ",
    "0",
    "-",
    ".",
    ",",
    "e",
    "1e308",
    "-1e-308",
    "1e14",
    "1e7",
    "999999999",
    "0.0000001",
    "NaN",
    "inf",
    "1e999",
    "%",
    "em",
    "mm",
];

/// Puts another number in the place of one, or puts an attribute or an element in; commands of paths may be said
/// many times.
fn change_value(chance: &mut Chance, text: &mut Vec<u8>, kind: &Kind, _: &[Vec<u8>]) {
    let from = chance.below(text.len());
    let find = |text: &[u8], is: &dyn Fn(u8) -> bool| {
        text.iter()
            .skip(from)
            .position(|byte| is(*byte))
            .map_or(text.len(), |found| from + found)
    };
    match chance.below(4) {
        0 | 1 => {
            const NUMBERS: [&str; 16] = [
                "0", "-1", "1e-9", "-1e3", "99999", "1e7", ".5", "1", "-0", "2e14", "1e-300", "50",
                "3.000001", "1e99", "360", "-.1",
            ];
            let number = NUMBERS[chance.below(NUMBERS.len())].bytes();
            let digits = |byte: u8| byte.is_ascii_digit() || byte == b'.';
            let start = find(text, &digits);
            let end = start
                + text[start..]
                    .iter()
                    .take_while(|byte| digits(**byte))
                    .count();
            text.splice(start..end, number);
        }
        2 => {
            let attribute = loop {
                let piece = chance.one_of(PIECES);
                if piece.starts_with(' ') && piece.ends_with('\'') {
                    break piece;
                }
            };
            let name = find(text, &|byte| byte == b'<') + 1;
            let name = name.min(text.len());
            let length = text[name..]
                .iter()
                .take_while(|byte| byte.is_ascii_lowercase())
                .count();
            let tag = text[name..]
                .split(|byte| *byte == b'>')
                .next()
                .unwrap_or_default();
            let key = attribute.split_inclusive('=').next().unwrap_or_default();
            let given = tag.windows(key.len()).any(|part| part == key.as_bytes());
            // Not into a tag that ends something, nor twice.
            if length > 0 && !given {
                text.splice(name + length..name + length, attribute.bytes());
            }
        }
        _ => {
            let end = find(text, &|byte| byte == b'z' || byte == b'Z');
            let piece: Vec<u8> = loop {
                let piece = chance.one_of(PIECES);
                if piece.starts_with(|sign: char| "MLhCsQtAa".contains(sign)) && piece.len() > 3 {
                    break piece.bytes().collect();
                }
            };
            if end < text.len() {
                let times = 1 << chance.below(10);
                let room = kind.longest.saturating_sub(text.len()) / piece.len();
                text.splice(end..end, piece.repeat(times.min(room)));
            }
        }
    }
}
