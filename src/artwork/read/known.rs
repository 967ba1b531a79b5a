//! What a file seems to be that is no drawing here, and what no reader should have to walk through.

use super::limits::{ATTRIBUTES, ENTITIES, MARKS, NAME, PREFIXES, TEXT, VALUES};
use super::{not_svg, too_much};
use crate::error::{Code, InputError};
use say::say;
use std::collections::BTreeSet;

/// How files begin that are no SVG, what is said of them, and how a drawing gets out of them.
const BEGINNINGS: [(&str, &str, &str); 19] = [
    (
        "\u{fffd}PNG",
        say!("this is no SVG drawing: it seems to be a PNG picture"),
        TRACE,
    ),
    (
        "\u{89}PNG",
        say!("this is no SVG drawing: it seems to be a PNG picture"),
        TRACE,
    ),
    (
        "GIF8",
        say!("this is no SVG drawing: it seems to be a GIF picture"),
        TRACE,
    ),
    (
        "\u{fffd}\u{fffd}\u{fffd}",
        say!(
            "this is no SVG drawing: it seems to be a JPEG picture or another file that is not text"
        ),
        EXPORT,
    ),
    (
        "\u{ff}\u{d8}\u{ff}",
        say!("this is no SVG drawing: it seems to be a JPEG picture"),
        TRACE,
    ),
    (
        "RIFF",
        say!("this is no SVG drawing: it seems to be a WebP picture"),
        TRACE,
    ),
    (
        "BM",
        say!("this is no SVG drawing: it seems to be a bitmap picture"),
        TRACE,
    ),
    (
        "II*",
        say!("this is no SVG drawing: it seems to be a TIFF picture"),
        TRACE,
    ),
    (
        "MM\0",
        say!("this is no SVG drawing: it seems to be a TIFF picture"),
        TRACE,
    ),
    (
        "%PDF",
        say!("this is no SVG drawing: it seems to be a PDF document"),
        EXPORT,
    ),
    (
        "%!PS",
        say!("this is no SVG drawing: it seems to be a PostScript or EPS file"),
        EXPORT,
    ),
    (
        "\u{1f}\u{fffd}",
        say!("this is no SVG drawing: it seems to be a compressed file, perhaps an SVGZ"),
        PLAIN,
    ),
    (
        "\u{1f}\u{8b}",
        say!("this is no SVG drawing: it seems to be a compressed file, perhaps an SVGZ"),
        PLAIN,
    ),
    (
        "PK\u{3}\u{4}",
        say!("this is no SVG drawing: it seems to be a ZIP archive"),
        say!("unpack it first and choose the SVG file in it"),
    ),
    (
        "0\nSECTION",
        say!("this is no SVG drawing: it seems to be a DXF drawing"),
        EXPORT,
    ),
    (
        "0\r\nSECTION",
        say!("this is no SVG drawing: it seems to be a DXF drawing"),
        EXPORT,
    ),
    (
        "999\n",
        say!("this is no SVG drawing: it seems to be a DXF drawing"),
        EXPORT,
    ),
    (
        "999\r\n",
        say!("this is no SVG drawing: it seems to be a DXF drawing"),
        EXPORT,
    ),
    (
        "AC10",
        say!("this is no SVG drawing: it seems to be a DWG drawing"),
        EXPORT,
    ),
];

const EXPORT: &str = say!("open it in a drawing program and export it as SVG");
const PLAIN: &str = say!("save it as plain SVG, without compression");
const TRACE: &str = say!(
    "pixels have no outlines: trace the picture in a drawing program and save the outlines as SVG"
);
const UTF8: &str = say!("save it as SVG in UTF-8");

/// The text without a byte order mark and white space before it, if it may be an SVG file.
///
/// # Errors
/// What it seems to be instead.
pub fn begun(text: &str) -> Result<&str, InputError> {
    if text.len() > TEXT {
        return Err(too_much(
            say!("the file is larger than 8 MB"),
            say!("leave out pictures and what is not to be cut, or divide the drawing"),
        ));
    }
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let body = text.trim_ascii_start();
    if body.is_empty() {
        return Err(InputError::new(
            Code::Missing,
            say!("the file is empty"),
            say!("choose an SVG file"),
        ));
    }
    let start: String = body.chars().take(96).collect();
    // Two bytes for each letter leave a zero beside every letter of XML.
    let zeros = start.bytes().any(|byte| byte == 0);
    if zeros && start.chars().take(4).any(|sign| sign == '<') {
        return Err(not_svg(
            say!("this is no SVG drawing: it seems to be text in UTF-16"),
            UTF8,
        ));
    }
    for (beginning, message, hint) in BEGINNINGS {
        if body.starts_with(beginning) {
            return Err(not_svg(message, hint));
        }
    }
    let lower = start.to_ascii_lowercase();
    if lower.starts_with("<!doctype html") || lower.starts_with("<html") {
        return Err(not_svg(
            say!("this is no SVG drawing: it seems to be a page of a website"),
            say!("save the drawing itself as SVG, not the page that shows it"),
        ));
    }
    if zeros || !body.starts_with('<') {
        return Err(not_svg(
            say!(
                "this is no SVG drawing: it seems to be text of another kind, and does not begin with a tag"
            ),
            EXPORT,
        ));
    }
    Ok(body)
}

/// A look over the text before it is parsed: whatever makes parsing slow, or makes much out of little, is refused.
///
/// A parser compares each attribute of a tag with each other one, looks entities and prefixes up one by one, and
/// puts in entities wherever they are named.
///
/// # Errors
/// Where the file has too much of something.
pub fn bounded(text: &str) -> Result<(), InputError> {
    let mut counts = [0_usize; 3];
    for byte in text.bytes() {
        match byte {
            b'<' => counts[0] += 1,
            b'=' => counts[1] += 1,
            b'&' => counts[2] += 1,
            _ => {}
        }
    }
    let [tags, values, references] = counts;
    if tags > MARKS || values > VALUES {
        return Err(too_much(
            say!("the file has more elements than this reader takes"),
            say!("simplify the drawing, or divide it"),
        ));
    }
    let mut scan = Scan {
        text: text.as_bytes(),
        at: 0,
        prefixes: BTreeSet::new(),
        longest: 0,
        entities: 0,
    };
    scan.run()?;
    if scan.longest.saturating_mul(references) > TEXT {
        return Err(bomb());
    }
    Ok(())
}

fn bomb() -> InputError {
    too_much(
        say!("the file's entities would unfold to more than 8 MB"),
        say!("save it as plain SVG, without entities"),
    )
}

/// A walk from tag to tag.
struct Scan<'a> {
    text: &'a [u8],
    at: usize,
    /// The names for which namespaces are declared.
    prefixes: BTreeSet<&'a [u8]>,
    /// The length of the longest entity.
    longest: usize,
    entities: usize,
}

impl<'a> Scan<'a> {
    fn run(&mut self) -> Result<(), InputError> {
        while self.upto(b'<') {
            if self.begins(b"<!--") {
                self.past(b"-->");
            } else if self.begins(b"<![CDATA[") {
                self.past(b"]]>");
            } else if self.begins(b"<?") {
                self.past(b"?>");
            } else if self.begins(b"<!DOCTYPE") {
                self.doctype()?;
            } else {
                self.tag()?;
            }
        }
        Ok(())
    }

    fn begins(&self, with: &[u8]) -> bool {
        self.text
            .get(self.at..)
            .is_some_and(|rest| rest.starts_with(with))
    }

    /// Goes on to the byte, if there is one more.
    fn upto(&mut self, byte: u8) -> bool {
        let rest = self.text.get(self.at..).unwrap_or_default();
        let found = rest.iter().position(|other| *other == byte);
        self.at += found.unwrap_or(rest.len());
        found.is_some()
    }

    /// Goes on behind the next place of `end`.
    fn past(&mut self, end: &[u8]) {
        self.at += 1;
        while self.upto(end[0]) {
            if self.begins(end) {
                self.at += end.len();
                return;
            }
            self.at += 1;
        }
    }

    fn spaces(&mut self) {
        while matches!(self.text.get(self.at), Some(b' ' | b'\t' | b'\n' | b'\r')) {
            self.at += 1;
        }
    }

    /// What stands in quotes here, behind which the walk goes on.
    fn quoted(&mut self) -> &'a [u8] {
        let Some(quote) = self.text.get(self.at).copied() else {
            return &[];
        };
        let from = self.at + 1;
        self.at = from;
        self.upto(quote);
        let value = self.text.get(from..self.at).unwrap_or_default();
        self.at += 1;
        value
    }

    /// A tag, from its `<` to behind its `>`.
    fn tag(&mut self) -> Result<(), InputError> {
        self.at += 1;
        let (mut count, mut word) = (0, self.at);
        while let Some(byte) = self.text.get(self.at) {
            match byte {
                b'"' | b'\'' => {
                    self.quoted();
                    continue;
                }
                b'>' => {
                    self.at += 1;
                    break;
                }
                b'=' => {
                    count += 1;
                    let name = self.text.get(word..self.at).unwrap_or_default();
                    let name = name.trim_ascii_end();
                    if name.starts_with(b"xmlns") {
                        self.prefixes.insert(name);
                    }
                    if count > ATTRIBUTES || self.prefixes.len() > PREFIXES || name.len() > NAME {
                        return Err(too_much(
                            say!(
                                "an element of the file has more attributes than any drawing needs, or longer ones"
                            ),
                            say!("save it as plain SVG"),
                        ));
                    }
                    word = self.at + 1;
                }
                b' ' | b'\t' | b'\n' | b'\r' => {
                    // White space may stand before the sign of equality.
                    let next = self.text.get(self.at + 1);
                    if !matches!(next, Some(b'=' | b' ' | b'\t' | b'\n' | b'\r')) {
                        word = self.at + 1;
                    }
                }
                b'<' => break,
                _ => {}
            }
            self.at += 1;
        }
        Ok(())
    }

    /// The document type, from its `<` to behind its `>`: some drawing programs name namespaces by entities there.
    fn doctype(&mut self) -> Result<(), InputError> {
        self.at += 9;
        loop {
            match self.text.get(self.at) {
                Some(b'"' | b'\'') => {
                    self.quoted();
                }
                Some(b'[') => break,
                Some(b'>') | None => return Ok(()),
                Some(_) => self.at += 1,
            }
        }
        self.at += 1;
        loop {
            self.spaces();
            if self.begins(b"<!--") {
                self.past(b"-->");
            } else if self.begins(b"<?") {
                self.past(b"?>");
            } else if self.begins(b"<!ENTITY") {
                self.entity()?;
            } else if self.begins(b"<!") {
                self.past(b">");
            } else {
                return Ok(());
            }
        }
    }

    /// A declaration of an entity: plain text that names no other entity and holds no tags.
    fn entity(&mut self) -> Result<(), InputError> {
        self.entities += 1;
        if self.entities > ENTITIES {
            return Err(bomb());
        }
        self.at += 8;
        loop {
            match self.text.get(self.at) {
                Some(b'"' | b'\'') => {
                    let value = self.quoted();
                    self.longest = self.longest.max(value.len());
                    let unfolds = |pair: &[u8]| pair[0] == b'&' && pair[1] != b'#';
                    if value.windows(2).any(unfolds) || value.contains(&b'<') {
                        return Err(InputError::new(
                            Code::WrongType,
                            say!("the file has entities that hold other entities or tags"),
                            say!("save it as plain SVG, without entities"),
                        ));
                    }
                }
                Some(b'>') => {
                    self.at += 1;
                    return Ok(());
                }
                None => return Ok(()),
                Some(_) => self.at += 1,
            }
        }
    }
}
