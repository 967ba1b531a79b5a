//! JSON text to flat texts by their paths, and back.
//!
//! The browser can read JSON, too; but it would turn `18.00` into 18 and take the last one of two values
//! of the same name without a word. Here a number stays as it was written.

use crate::error::{Code, InputError};
use say::say;

/// More rows than any list of the page has, and more names than stand in one place of a book: each is looked for among
/// those before it.
const MOST_ROWS: usize = 200;

/// Deeper than any name is nested.
const MOST_DEPTH: usize = 10;

/// Longer than any name is between two dots.
const LONGEST: usize = 40;

/// What stands in a JSON text.
#[derive(Default)]
pub(super) struct Flat {
    /// Texts and numbers by their paths, such as `a.b[0].c`; under the path of a list how many rows it has,
    /// unless it stands in a row itself: the page has as many there as it has.
    pub texts: Vec<(String, String)>,
    /// The first value or name that no book has, although it is good JSON.
    pub mistake: Option<InputError>,
}

/// Reads a JSON text.
///
/// # Errors
/// [`Code::WrongType`] where it is none, with the line.
pub(super) fn flatten(text: &str) -> Result<Flat, InputError> {
    let mut reader = Reader {
        text: text.strip_prefix('\u{feff}').unwrap_or(text),
        at: 0,
        path: String::new(),
        places: Vec::new(),
        names: Vec::new(),
        flat: Flat::default(),
    };
    if reader.value().is_some() {
        return Ok(reader.flat);
    }
    let read = reader.text.as_bytes().get(..reader.at).unwrap_or_default();
    let line = read.split(|byte| *byte == b'\n').count();
    Err(InputError::new(
        Code::WrongType,
        say!("this is no JSON text"),
        say!("look at line {line}, or choose another file"),
    ))
}

/// An object or list that is being read.
struct Place {
    /// How long the path to it is.
    path: usize,
    /// How many names there were before its own.
    names: usize,
    /// How many rows were begun; none in an object.
    rows: Option<usize>,
}

struct Reader<'a> {
    text: &'a str,
    /// So many bytes are read.
    at: usize,
    path: String,
    places: Vec<Place>,
    names: Vec<String>,
    flat: Flat,
}

/// What is read is `None` where the text is no JSON.
impl Reader<'_> {
    /// The whole text. No function calls itself: however deep a text is nested, the stack is not.
    fn value(&mut self) -> Option<()> {
        loop {
            let begun = match self.sign()? {
                b'{' => self.begin(None),
                b'[' => self.begin(Some(0)),
                b'"' => {
                    self.at += 1;
                    let text = self.quoted()?;
                    self.found(text);
                    false
                }
                b'-' | b'0'..=b'9' => {
                    let number = self.number()?;
                    self.found(number);
                    false
                }
                _ => {
                    let words = ["true", "false", "null"];
                    let rest = self.text.get(self.at..)?;
                    self.at += words.iter().find(|word| rest.starts_with(**word))?.len();
                    self.mistake(
                        say!("a figure is a text or a number"),
                        say!("put it between quotes"),
                    );
                    false
                }
            };
            if !self.next(begun)? {
                return Some(());
            }
        }
    }

    /// Begins an object or a list.
    fn begin(&mut self, rows: Option<usize>) -> bool {
        self.at += 1;
        self.places.push(Place {
            path: self.path.len(),
            names: self.names.len(),
            rows,
        });
        if self.places.len() == MOST_DEPTH + 1 {
            self.mistake(
                say!("this is nested deeper than a shop book"),
                say!("choose another file"),
            );
        }
        true
    }

    /// Goes to the next value, and out of all places that end before it; whether there is one.
    fn next(&mut self, mut begun: bool) -> Option<bool> {
        loop {
            let Some(place) = self.places.last_mut() else {
                // Behind the end nothing may stand.
                return self.sign().is_none().then_some(false);
            };
            self.path.truncate(place.path);
            let rows = place.rows;
            let end = if rows.is_some() { b']' } else { b'}' };
            let sign = self.sign()?;
            if sign == end {
                self.at += 1;
                if let Some(rows) = rows.filter(|_| !self.path.contains('[')) {
                    self.found(rows.to_string());
                }
                let place = self.places.pop()?;
                self.names.truncate(place.names);
                begun = false;
                continue;
            }
            if !begun {
                if sign != b',' {
                    return None;
                }
                self.at += 1;
            }
            match rows {
                Some(row) => self.row(row),
                None => self.name()?,
            }
            return Some(true);
        }
    }

    fn row(&mut self, row: usize) {
        if let Some(place) = self.places.last_mut() {
            place.rows = Some(row + 1);
        }
        if row == MOST_ROWS {
            self.mistake(
                say!("this list has too many rows"),
                say!("leave at most 200 of them"),
            );
        }
        let number = format!("[{row}]");
        self.path.push_str(&number);
    }

    fn name(&mut self) -> Option<()> {
        if self.sign()? != b'"' {
            return None;
        }
        self.at += 1;
        let name = self.quoted()?;
        if self.sign()? != b':' {
            return None;
        }
        self.at += 1;
        if name.is_empty()
            || name.len() > LONGEST
            || !name.bytes().all(|byte| byte.is_ascii_alphanumeric())
        {
            self.mistake(
                say!("a name here is no name of a figure"),
                say!("write letters and digits only, as this page does"),
            );
            return Some(());
        }
        if !self.path.is_empty() {
            self.path.push('.');
        }
        self.path.push_str(&name);
        let first = self.places.last().map_or(0, |place| place.names);
        let names = self.names.get(first..)?;
        if names.len() == MOST_ROWS {
            self.mistake(
                say!("these are too many names"),
                say!("choose another file"),
            );
        } else if names.contains(&name) {
            self.mistake(
                say!("this name stands here twice"),
                say!("leave only one of them"),
            );
        } else {
            self.names.push(name);
        }
        Some(())
    }

    /// Keeps a text; after a mistake nothing more is needed than the version, which stands near the top.
    fn found(&mut self, text: String) {
        if self.places.len() <= MOST_DEPTH && (self.flat.mistake.is_none() || self.places.len() < 2)
        {
            self.flat.texts.push((self.path.clone(), text));
        }
    }

    fn mistake(&mut self, message: &'static str, hint: &'static str) {
        if self.flat.mistake.is_none() {
            let error = InputError::new(Code::WrongType, message, hint);
            self.flat.mistake = Some(error.at(self.path.as_str()));
        }
    }

    /// The next sign that is no white space; it is not taken.
    fn sign(&mut self) -> Option<u8> {
        loop {
            let sign = *self.text.as_bytes().get(self.at)?;
            if !matches!(sign, b' ' | b'\n' | b'\r' | b'\t') {
                return Some(sign);
            }
            self.at += 1;
        }
    }

    /// The next byte, taken.
    fn byte(&mut self) -> Option<u8> {
        let byte = *self.text.as_bytes().get(self.at)?;
        self.at += 1;
        Some(byte)
    }

    /// A text behind its first quotation mark.
    fn quoted(&mut self) -> Option<String> {
        let mut text = String::new();
        let mut from = self.at;
        loop {
            let byte = self.byte()?;
            if byte < b' ' {
                return None;
            }
            if byte != b'"' && byte != b'\\' {
                continue;
            }
            text.push_str(self.text.get(from..self.at - 1)?);
            if byte == b'"' {
                return Some(text);
            }
            text.push(match self.byte()? {
                same @ (b'"' | b'\\' | b'/') => char::from(same),
                b'b' => '\u{8}',
                b'f' => '\u{c}',
                b'n' => '\n',
                b'r' => '\r',
                b't' => '\t',
                b'u' => self.letter()?,
                _ => return None,
            });
            from = self.at;
        }
    }

    /// A letter by its number, or by the two halves that UTF-16 makes of it.
    fn letter(&mut self) -> Option<char> {
        let first = self.half()?;
        if !(0xd800..0xdc00).contains(&first) {
            return char::from_u32(first);
        }
        if self.byte()? != b'\\' || self.byte()? != b'u' {
            return None;
        }
        let second = self
            .half()?
            .checked_sub(0xdc00)
            .filter(|half| *half < 0x400)?;
        char::from_u32(0x10000 + (first - 0xd800) * 0x400 + second)
    }

    fn half(&mut self) -> Option<u32> {
        let mut number = 0;
        for _ in 0..4 {
            number = number * 16 + char::from(self.byte()?).to_digit(16)?;
        }
        Some(number)
    }

    /// A number, as it is written.
    fn number(&mut self) -> Option<String> {
        let from = self.at;
        self.skip(b"-");
        if !self.skip(b"0") {
            self.digits()?;
        }
        if self.skip(b".") {
            self.digits()?;
        }
        if self.skip(b"eE") {
            self.skip(b"+-");
            self.digits()?;
        }
        self.text.get(from..self.at).map(ToOwned::to_owned)
    }

    /// Takes the next byte if it is one of these; whether it is.
    fn skip(&mut self, bytes: &[u8]) -> bool {
        let next = self.text.as_bytes().get(self.at);
        let skips = next.is_some_and(|byte| bytes.contains(byte));
        self.at += usize::from(skips);
        skips
    }

    /// Takes one digit or more.
    fn digits(&mut self) -> Option<()> {
        let from = self.at;
        while self.skip(b"0123456789") {}
        (self.at > from).then_some(())
    }
}

/// Writes texts by their paths as nested JSON: an object of paths that begin with names, or else a list
/// of paths that begin with `[0]`, of as many rows as the page has at most. So many levels stand around it.
pub(super) fn write(json: &mut String, texts: &[(&str, &str)], object: bool, depth: usize) {
    json.push(if object { '{' } else { '[' });
    let mut left = texts.to_vec();
    let mut row = 0;
    while let Some((first, _)) = left.first() {
        let number = format!("[{row}]");
        let step = if object {
            step_of(first, depth)
        } else {
            &number
        };
        let mut inside = Vec::new();
        left.retain(|(path, text)| {
            let same = if object {
                step_of(path, depth) == step
            } else {
                path.starts_with(step)
            };
            if same {
                inside.push((path.get(step.len()..).unwrap_or_default(), *text));
            }
            !same
        });
        if row > 0 {
            json.push(',');
        }
        new_line(json, depth + 1);
        if object {
            quote(json, step);
            json.push_str(": ");
        }
        value(json, &inside, depth + 1);
        row += 1;
        if row == MOST_ROWS && !object {
            break;
        }
    }
    if row > 0 {
        new_line(json, depth);
    }
    json.push(if object { '}' } else { ']' });
}

/// Writes what stands under one name or in one row.
fn value(json: &mut String, inside: &[(&str, &str)], depth: usize) {
    let rows: Vec<_> = inside
        .iter()
        .copied()
        .filter(|(rest, _)| rest.starts_with('['))
        .collect();
    let members: Vec<_> = inside
        .iter()
        .filter_map(|(rest, text)| Some((rest.strip_prefix('.')?, *text)))
        .collect();
    if !rows.is_empty() {
        write(json, &rows, false, depth);
    } else if !members.is_empty() {
        write(json, &members, true, depth);
    } else if let Some((_, text)) = inside.first() {
        quote(json, text);
    } else {
        // A row in which nothing stands.
        json.push_str("{}");
    }
}

/// The first name of a path; the whole path where it is nested no deeper.
fn step_of(path: &str, depth: usize) -> &str {
    let end = path.find(['.', '[']).filter(|_| depth < MOST_DEPTH);
    path.get(..end.unwrap_or(path.len())).unwrap_or_default()
}

fn new_line(json: &mut String, depth: usize) {
    json.push('\n');
    for _ in 0..depth {
        json.push_str("  ");
    }
}

/// Writes a text between quotation marks.
pub(super) fn quote(json: &mut String, text: &str) {
    json.push('"');
    for letter in text.chars() {
        match letter {
            '"' | '\\' => {
                json.push('\\');
                json.push(letter);
            }
            '\n' => json.push_str("\\n"),
            letter if letter < ' ' => {
                let number = format!("\\u{:04x}", u32::from(letter));
                json.push_str(&number);
            }
            letter => json.push(letter),
        }
    }
    json.push('"');
}
