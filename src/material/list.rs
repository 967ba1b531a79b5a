//! Reading an order as a list: one line for each decal, typed by hand or pasted from a table.
//!
//! Cells are divided as RFC 4180 says: a cell with a separator, a quote or a line break in it stands
//! in quotes, and a quote inside is doubled; lines end with LF or CRLF, the last one need not end.
//! The separator may also be a semicolon or a tab, and a byte-order mark in front is skipped. What
//! cannot be read is reported with its line, and the other lines are kept.
//!
//! | column | other names for it | what stands in it |
//! | --- | --- | --- |
//! | `name` | `decal`, `lettering`, `nombre`, `adhesivo`, `texto` | any text, or none |
//! | `width` | `wide`, `ancho` | a length in the unit of the list, or with its unit |
//! | `height` | `high`, `alto` | the same |
//! | `quantity` | `qty`, `count`, `number`, `pieces`, `cantidad`, `piezas` | a whole number |
//! | `film` | `vinyl`, `colour`, `color`, `vinilo` | any text, or none |
//! | `turn` | `rotate`, `girar` | whether it may lie turned: yes, no, y, n, true, false, 1, 0, sí, si, s; none is yes |
//!
//! The first line names the columns, in any order and in capitals or not; only width and height must
//! be there. A list without a column of quantities asks for one piece of each line; where the column
//! is there, an empty quantity is a mistake. A first line is taken for one of names if at least one
//! of its cells is a name from above and none begins with a digit. Where it is not, the columns stand
//! in the order of the table, and a line may end behind its height (one piece) or anywhere after that.

use crate::decal::SIDE;
use crate::error::{Code, InputError};
use crate::measure::{Count, Length, LengthInput, Unit};
use csv_core::{ReadFieldResult, Reader, ReaderBuilder};
use say::say;
use serde::Serialize;
use std::cmp::Reverse;

/// So many lines are taken.
pub const MOST_LINES: usize = 1_000;

/// So many pieces are taken in all: as many as one order may hold.
pub const MOST_PIECES: u32 = Count::MAX;

/// A text may have so many bytes.
pub const MOST_BYTES: usize = 1_000_000;

/// So many mistakes are told one by one; how many more there are is told in one.
const MOST_MISTAKES: usize = 1_000;

/// So many cells of a line are kept, far more than there are columns.
const MOST_CELLS: usize = 64;

/// So many characters of a line are shown beside its mistake.
const SHOWN: usize = 60;

/// After so many quotes that are not closed, for each of which the text is read to its end, a quote is looked for in
/// its own line only.
const MOST_OPEN: u32 = 20;

/// What may divide cells in place of a comma.
const OTHER_SEPARATORS: [u8; 2] = *b";\t";

/// The columns in their order, each with all of its names.
const COLUMNS: [&[&str]; 6] = [
    &["name", "decal", "lettering", "nombre", "adhesivo", "texto"],
    &["width", "wide", "ancho"],
    &["height", "high", "alto"],
    &[
        "quantity", "qty", "count", "number", "pieces", "cantidad", "piezas",
    ],
    &["film", "vinyl", "colour", "color", "vinilo"],
    &["turn", "rotate", "girar"],
];

/// What the columns are called where the list does not say; each is one of its names.
const TITLES: [&str; 6] = [
    say!(in "a column": "name"),
    say!(in "a column": "width"),
    say!(in "a column": "height"),
    say!(in "a column": "quantity"),
    say!(in "a column": "film"),
    say!(in "a column": "turn"),
];
const NAME: usize = 0;
const WIDTH: usize = 1;
const HEIGHT: usize = 2;
const QUANTITY: usize = 3;
const FILM: usize = 4;
const TURN: usize = 5;

/// One line of an order as read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ListLine {
    /// The line of the text in which it starts, from 1.
    pub line: u32,
    /// What the maker calls it, without space around it; may be empty.
    pub name: String,
    /// Size across the stock, if it is not turned; within [`SIDE`].
    pub width: Length,
    /// Size along the stock, if it is not turned; within [`SIDE`].
    pub height: Length,
    /// How many are needed, at least 1.
    pub quantity: u32,
    /// Whether it may lie turned by 90 degrees.
    pub turn: bool,
    /// The film to cut it from, without space around it; empty where the line does not say.
    pub film: String,
}

/// A mistake in a list.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
#[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify))]
#[serde(rename_all = "camelCase")]
pub struct BadLine {
    /// The line of the text in which the record with the mistake starts, from 1; 0 where the whole
    /// text is meant.
    pub line: u32,
    /// The record as typed, cut to 60 characters.
    pub text: String,
    /// The name of the column in which the mistake stands, as the list names it; empty where the
    /// whole line is meant.
    pub column: String,
    /// What is wrong, as a sentence without a full stop.
    pub message: String,
    /// What would be right, as a sentence without a full stop.
    pub hint: String,
}

/// An order as read: what can be cut, and what must be mended.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct OrderList {
    /// The good lines in their order, at most [`MOST_LINES`] of them with at most [`MOST_PIECES`]
    /// pieces in all.
    pub lines: Vec<ListLine>,
    /// Every mistake in the order of lines; one line may have several. A line that is only too much
    /// for one order is a mistake as well.
    pub bad: Vec<BadLine>,
}

/// Reads a list; lengths without a unit are in `unit`.
///
/// # Examples
/// ```
/// use decal_reckoner::material::list::read;
/// use decal_reckoner::measure::{Length, Unit};
///
/// let list = read("Name;Width;Height;Qty\nLoon;9,5;3;4\nTern;9;;4\n", Unit::In);
/// assert_eq!(list.lines[0].width, Length::inches(19, 2));
/// assert_eq!((list.bad[0].line, list.bad[0].column.as_str()), (3, "Height"));
/// ```
#[must_use]
pub fn read(text: &str, unit: Unit) -> OrderList {
    let mut list = Listing::default();
    if text.len() > MOST_BYTES {
        let message = say!("the list is longer than {most} bytes", most = MOST_BYTES);
        list.mistake(&Record::default(), "", &message, say!("read it in parts"));
        return list.done;
    }
    let text = whole(text);
    let table = Table::of(&text);
    let mut records = Records::new(&text, table.separator);
    if table.named {
        records.next();
        if !list.heading(&table) {
            return list.done;
        }
    }
    for record in records {
        if record.unclosed {
            let hint = say!("close the quote, or double it where it is part of the text");
            let message = say!("a quote is opened and not closed");
            list.mistake(&record, "", message, hint);
        } else {
            list.record(&record, &table, unit);
        }
    }
    list.finished()
}

/// One line as it would be typed below `list`, with the separator and in the columns of that list, a
/// cell in quotes where it must be, sizes with their unit, no line break at the end. Where columns are
/// not named, it ends behind the last cell that says something. Reading it there gives the same line, by
/// builds in any language.
/// None where the list has no column for something that this line says.
#[must_use]
pub fn write_line(line: &ListLine, list: &str, unit: Unit) -> Option<String> {
    let list = whole(list);
    let table = Table::of(&list);
    let size = |length: Length| format!("{} {}", length.exact_with_point(unit), unit.symbol());
    // What a list without the column is read as needs no column.
    let cells = [
        (line.name.clone(), line.name.is_empty()),
        (size(line.width), false),
        (size(line.height), false),
        (line.quantity.to_string(), line.quantity == 1),
        (line.film.clone(), line.film.is_empty()),
        (if line.turn { "yes" } else { "no" }.to_owned(), line.turn),
    ];
    let told = |column: usize| table.places.contains(&Some(column));
    let complete = |(column, (_, usual)): (usize, &(String, bool))| *usual || told(column);
    if !cells.iter().enumerate().all(complete) {
        return None;
    }
    let end = cells.iter().rposition(|(_, usual)| !usual);
    let places = match end {
        Some(end) if !table.named => end.max(QUANTITY) + 1,
        _ => table.places.len(),
    };
    let mut text = String::new();
    for (place, column) in table.places.iter().take(places).enumerate() {
        if place > 0 {
            text.push(char::from(table.separator));
        }
        if let Some((cell, _)) = column.and_then(|column| cells.get(column)) {
            push_cell(&mut text, cell);
        }
    }
    Some(text)
}

/// Adds a cell, in quotes where any reader might need them.
pub(super) fn push_cell(text: &mut String, cell: &str) {
    if !cell.contains(['\t', ';', ',', '"', '\r', '\n', '\u{feff}']) {
        text.push_str(cell);
        return;
    }
    text.push('"');
    text.push_str(&cell.replace('"', "\"\""));
    text.push('"');
}

/// The text without a byte-order mark, its last line ended.
fn whole(text: &str) -> String {
    let mut whole = text.trim_start_matches('\u{feff}').to_owned();
    if !whole.ends_with(['\r', '\n']) {
        whole.push('\n');
    }
    whole
}

/// One record of a text, in one line or, by way of quotes, in several.
#[derive(Debug, Default)]
struct Record<'a> {
    /// The lines in which it starts and ends, from 1.
    line: u32,
    last: u32,
    /// As typed.
    text: &'a str,
    /// The first cells, without space around them.
    cells: Vec<String>,
    /// Cells up to the last one that is not empty.
    filled: usize,
    /// Whether it ends in a quote that is not closed.
    unclosed: bool,
}

/// The records of a text, without those that have nothing but separators in them.
struct Records<'a> {
    reader: Reader,
    cell: Vec<u8>,
    rest: &'a str,
    line: u32,
    /// Quotes that are not closed, so far.
    open: u32,
}

impl<'a> Records<'a> {
    /// The records of a text that ends with a line break.
    fn new(text: &'a str, separator: u8) -> Self {
        Self {
            reader: ReaderBuilder::new().delimiter(separator).build(),
            // No cell is longer than the text.
            cell: vec![0; text.len()],
            rest: text,
            line: 1,
            open: 0,
        }
    }

    /// The next `bytes` of the text, and its lines counted.
    fn take(&mut self, bytes: usize) -> &'a str {
        let (taken, rest) = self.rest.split_at_checked(bytes).unwrap_or((self.rest, ""));
        self.rest = rest;
        self.line += line_breaks(taken);
        // The two bytes of one line break may come one by one.
        if taken.ends_with('\r') && rest.starts_with('\n') {
            self.line -= 1;
        }
        taken
    }

    /// The next record, blank or not.
    fn record(&mut self) -> Option<Record<'a>> {
        let start = self.rest.trim_start_matches(['\r', '\n']);
        let start = self.rest.len() - start.len();
        self.take(start);
        let end = self.rest.find(['\r', '\n']);
        let text = match end.and_then(|end| self.rest.get(..=end)) {
            Some(line) if self.open == MOST_OPEN => line,
            _ => self.rest,
        };
        let mut record = Record {
            line: self.line,
            ..Record::default()
        };
        let (mut read, mut place) = (0, 0);
        while let Some(ahead) = text.as_bytes().get(read..).filter(|a| !a.is_empty()) {
            let (result, taken, written) = self.reader.read_field(ahead, &mut self.cell);
            read += taken;
            let ReadFieldResult::Field { record_end } = result else {
                // The text ends with a line break, so that only a quote can go on behind its end.
                self.reader.reset();
                self.open = (self.open + 1).min(MOST_OPEN);
                record.unclosed = true;
                let first = text.find(['\r', '\n']).unwrap_or(text.len());
                record.text = self.take(first);
                record.last = record.line;
                return Some(record);
            };
            let cell = self.cell.get(..written).unwrap_or_default();
            let cell = str::from_utf8(cell).unwrap_or_default().trim();
            place += 1;
            if !cell.is_empty() {
                record.filled = place;
            }
            if place <= MOST_CELLS {
                record.cells.push(cell.to_owned());
            }
            if record_end {
                let whole = text.get(..read).unwrap_or(text);
                record.text = whole.trim_end_matches(['\r', '\n']);
                record.last = record.line + line_breaks(record.text);
                self.take(read);
                return Some(record);
            }
        }
        None
    }
}

impl<'a> Iterator for Records<'a> {
    type Item = Record<'a>;

    fn next(&mut self) -> Option<Record<'a>> {
        loop {
            let record = self.record()?;
            let empty = |c: char| c.is_whitespace() || c == ';' || c == ',';
            if record.unclosed || record.filled > 0 && !record.text.chars().all(empty) {
                return Some(record);
            }
        }
    }
}

/// Line breaks in a text: LF, CRLF, and CR alone as the first computers with a mouse wrote it.
fn line_breaks(text: &str) -> u32 {
    let mut count = 0;
    let mut before = 0;
    for byte in text.bytes() {
        count += u32::from(byte == b'\r' || byte == b'\n' && before != b'\r');
        before = byte;
    }
    count
}

/// How the lines of a list are made.
struct Table<'a> {
    separator: u8,
    /// The first record, if it names the columns.
    heading: Record<'a>,
    named: bool,
    /// What stands at each place of a line; nothing where the column is not known or told before.
    places: Vec<Option<usize>>,
}

impl<'a> Table<'a> {
    /// Finds out from the first record, divided by each separator: the best is the one that brings out
    /// two sizes where they stand in a list without names, then the one with the most names, then
    /// the one with enough cells for a decal, then the one that comes first in the line.
    fn of(text: &'a str) -> Self {
        let first = |separator| Records::new(text, separator).next().unwrap_or_default();
        let rank = |record: &Record| {
            let first = record.cells.first().map_or(0, String::len);
            let enough = record.filled.min(HEIGHT + 1);
            (sized(record), names(record), enough, Reverse(first))
        };
        let mut best = (b',', first(b','));
        for separator in OTHER_SEPARATORS {
            let record = first(separator);
            if rank(&record) > rank(&best.1) {
                best = (separator, record);
            }
        }
        let (separator, heading) = best;
        let mut table = Self {
            separator,
            named: names(&heading) > 0,
            heading,
            places: Vec::new(),
        };
        if table.named {
            for cell in &table.heading.cells {
                let column = column(cell).filter(|c| !table.places.contains(&Some(*c)));
                table.places.push(column);
            }
        } else {
            table.places = (0..COLUMNS.len()).map(Some).collect();
        }
        table
    }

    /// The place of a column in a line, and what the list calls it.
    fn find(&self, column: usize) -> Option<(usize, &str)> {
        let place = self.places.iter().position(|c| *c == Some(column))?;
        let heading = self.heading.cells.get(place).filter(|_| self.named);
        let usual = TITLES.get(column)?;
        Some((place, heading.map_or(*usual, String::as_str)))
    }
}

/// The column that goes by this name.
fn column(name: &str) -> Option<usize> {
    let is = |other: &&str| other.eq_ignore_ascii_case(name);
    COLUMNS.iter().position(|names| names.iter().any(is))
}

/// What the column that goes by this name is called.
pub(super) fn title(name: &str) -> String {
    let title = column(name).and_then(|column| TITLES.get(column));
    title.map_or(name, |title| title).to_owned()
}

/// So many names of columns stand in a record; none where a cell of it begins with a digit.
fn names(record: &Record) -> usize {
    let digit = |cell: &String| cell.starts_with(|c: char| c.is_ascii_digit());
    if record.cells.iter().any(digit) {
        return 0;
    }
    record.cells.iter().filter(|c| column(c).is_some()).count()
}

/// Whether sizes stand where they do in a list that does not name its columns.
fn sized(record: &Record) -> bool {
    let cells = record.cells.get(WIDTH..=HEIGHT);
    cells.is_some_and(|sizes| sizes.iter().all(|s| Length::parse(s, Unit::In).is_ok()))
}

/// A list while it is read.
#[derive(Default)]
struct Listing {
    done: OrderList,
    pieces: u32,
    /// Where good lines begin to be too many, and how many they are.
    beyond: Option<(BadLine, usize)>,
    /// Where mistakes begin to be told together, and how many they are.
    untold: Option<(BadLine, usize)>,
}

impl Listing {
    /// Looks for the columns that must be there, and tells of those that cannot be read.
    fn heading(&mut self, table: &Table) -> bool {
        let record = &table.heading;
        let mut complete = true;
        for column in [WIDTH, HEIGHT] {
            let name = TITLES.get(column);
            if let (None, Some(name)) = (table.find(column), name) {
                let message = say!("there is no column `{name}`");
                let hint = say!(
                    "name the columns name, width, height, quantity, film, turn, as far as you have them"
                );
                self.mistake(record, name, &message, hint);
                complete = false;
            }
        }
        for (cell, place) in record.cells.iter().zip(&table.places) {
            if place.is_some() || cell.is_empty() {
                continue;
            }
            let (message, hint) = if column(cell).is_some() {
                let message = say!("this column is there twice, and only the first is read");
                (message, say!("take one of them out"))
            } else {
                let message = say!("this column is not known here, and is not read");
                let hint = say!(
                    "name it name, width, height, quantity, film or turn if it is one of these"
                );
                (message, hint)
            };
            self.mistake(record, cell, message, hint);
        }
        complete
    }

    /// Reads one line of an order.
    fn record(&mut self, record: &Record, table: &Table, unit: Unit) {
        let columns = table.places.len();
        if record.filled > columns {
            let message = say!(
                "{cells} cells, but only {columns} columns",
                cells = record.filled
            );
            let hint = say!("put a cell with a separator in it in quotes, such as \"9,5\"");
            return self.wrong(record, "", &message, hint);
        }
        let cell = |column| {
            let (place, name) = table.find(column)?;
            let cell = record.cells.get(place).map(String::as_str);
            // Only where columns are named is a cell that is left out at the end an empty one.
            let cell = cell.or(table.named.then_some(""))?;
            Some((cell, name))
        };
        let text = |column| cell(column).map_or("", |(cell, _)| cell).to_owned();
        // Every cell is read into the same type, so that the code for mistakes is there once.
        let mut take = |column: usize, read: Result<i64, InputError>| {
            let name = table.find(column).map_or("", |(_, name)| name);
            read.map_err(|e| self.wrong(record, name, &e.message, &e.hint))
                .ok()
        };
        let mut size = |column| {
            let input = LengthInput::from(text(column).as_str());
            take(column, input.read(unit, SIDE).map(Length::nm)).map(Length::from_nm)
        };
        let (width, height) = (size(WIDTH), size(HEIGHT));
        let quantity = cell(QUANTITY).map_or(Ok(1), |(cell, _)| Count::from(cell).read());
        let quantity = take(QUANTITY, quantity.map(i64::from));
        let quantity = quantity.and_then(|quantity| u32::try_from(quantity).ok());
        let turn = take(TURN, yes(&text(TURN)).map(i64::from));
        if let (Some(width), Some(height), Some(quantity), Some(turn)) =
            (width, height, quantity, turn)
        {
            let line = ListLine {
                line: record.line,
                name: text(NAME),
                width,
                height,
                quantity,
                turn: turn == 1,
                film: text(FILM),
            };
            self.good(line, record);
        }
    }

    /// Keeps a line, unless it is too much.
    fn good(&mut self, line: ListLine, record: &Record) {
        let pieces = self.pieces + line.quantity;
        if self.done.lines.len() >= MOST_LINES {
            count(&mut self.beyond, || {
                let message = say!("one list holds {most} lines", most = MOST_LINES);
                bad_line(
                    record,
                    "",
                    &message,
                    say!("put them in a list of their own"),
                )
            });
        } else if pieces > MOST_PIECES {
            let message = say!(
                "with this line there are {pieces} pieces; one order holds {most}",
                most = MOST_PIECES
            );
            self.mistake(record, "", &message, say!("put it in an order of its own"));
        } else {
            self.pieces = pieces;
            self.done.lines.push(line);
        }
    }

    /// A mistake in a record; if that goes over several lines, a quote may be the reason for it.
    fn wrong(&mut self, record: &Record, column: &str, message: &str, hint: &str) {
        if record.last == record.line {
            return self.mistake(record, column, message, hint);
        }
        let hint = say!(
            "{hint}; a quote that opens in this line closes only in line {line}",
            line = record.last
        );
        self.mistake(record, column, message, &hint);
    }

    fn mistake(&mut self, record: &Record, column: &str, message: &str, hint: &str) {
        if self.done.bad.len() < MOST_MISTAKES {
            self.done.bad.push(bad_line(record, column, message, hint));
        } else {
            count(&mut self.untold, || {
                let hint = say!("mend those that are shown, then read the list again");
                bad_line(record, "", say!("no more mistakes are shown"), hint)
            });
        }
    }

    /// The list, with what was only counted.
    fn finished(mut self) -> OrderList {
        for (mut bad, more) in [self.beyond, self.untold].into_iter().flatten() {
            bad.message = say!(
                more;
                "{message}, and here is one more",
                "{message}, and from here on there are {more} more",
                message = bad.message
            );
            self.done.bad.push(bad);
        }
        self.done
    }
}

/// Counts one more, and keeps where the first was.
fn count(tally: &mut Option<(BadLine, usize)>, first: impl Fn() -> BadLine) {
    match tally {
        Some((_, count)) => *count += 1,
        None => *tally = Some((first(), 1)),
    }
}

fn bad_line(record: &Record, column: &str, message: &str, hint: &str) -> BadLine {
    BadLine {
        line: record.line,
        text: shortened(record.text),
        column: shortened(column),
        message: message.to_owned(),
        hint: hint.to_owned(),
    }
}

/// At most 60 characters of what was typed, in one line.
fn shortened(typed: &str) -> String {
    let characters = typed.trim().chars();
    let mut text: String = characters
        .map(|c| if c.is_control() { ' ' } else { c })
        .take(SHOWN + 1)
        .collect();
    if let Some((last, _)) = text.char_indices().nth(SHOWN - 1)
        && text.chars().count() > SHOWN
    {
        text.truncate(last);
        text.push('…');
    }
    text
}

/// Whether a piece may be turned; it may where nothing is said.
fn yes(text: &str) -> Result<bool, InputError> {
    let is = |word: &&str| text.eq_ignore_ascii_case(word);
    if ["", "yes", "y", "true", "1", "sí", "si", "s"]
        .iter()
        .any(is)
    {
        Ok(true)
    } else if ["no", "n", "false", "0"].iter().any(is) {
        Ok(false)
    } else {
        Err(InputError::new(
            Code::NotAChoice,
            say!("this is neither yes nor no"),
            say!("write yes if it may lie turned, no if it may not"),
        ))
    }
}
