//! Every line of a list is taken or named with its number, and a line that is taken can be written again.

use super::{Told, size};
use decal_reckoner::decal::SIDE;
use decal_reckoner::material::list::{
    ListLine, MOST_BYTES, MOST_LINES, MOST_PIECES, OrderList, read as read_list, write_line,
};
use decal_reckoner::measure::Unit;
use std::collections::BTreeSet;

pub fn read(text: &str, way: u8) -> Told {
    let unit = if way == 0 { Unit::In } else { Unit::Mm };
    let list = read_list(text, unit);
    let pieces: u32 = list.lines.iter().map(|line| line.quantity).sum();
    assert!(pieces <= MOST_PIECES && list.lines.len() <= MOST_LINES);
    let lines = line_breaks(text) + 1;
    let rises = |pair: &[ListLine]| pair[0].line < pair[1].line;
    assert!(list.lines.windows(2).all(rises));
    for line in &list.lines {
        assert!((1..=lines).contains(&line.line) && line.quantity > 0);
        assert!(SIDE.holds(line.width) && SIDE.holds(line.height));
    }
    for bad in &list.bad {
        assert!(bad.line <= lines && !bad.message.is_empty() && !bad.hint.is_empty());
        assert!(bad.text.chars().count() <= 60 && bad.column.chars().count() <= 60);
    }
    if !text.contains('"') && text.len() <= MOST_BYTES {
        none_is_lost(text, &list);
    }
    for line in list.lines.first().into_iter().chain(list.lines.last()) {
        comes_back(line, text, &list, unit);
    }
    let first = list.bad.first().map_or("", |bad| &bad.message);
    let first = first
        .chars()
        .filter(|sign| sign.is_ascii_lowercase() || *sign == ' ');
    let words = format!(
        "{} {} {}",
        size(list.lines.len()),
        size(list.bad.len()),
        first.take(40).collect::<String>()
    );
    Told {
        taken: list.bad.is_empty(),
        words,
    }
}

fn line_breaks(text: &str) -> u32 {
    let breaks = text.replace("\r\n", "\n").matches(['\r', '\n']).count();
    u32::try_from(breaks).expect("a text is shorter")
}

/// Without quotes a line is a line.
fn none_is_lost(text: &str, list: &OrderList) {
    // A list without sizes is not read; of a list with too many lines or mistakes the end is only counted.
    let unread =
        |message: &str| message.starts_with("there is no column") || message.contains(" more");
    if list.bad.iter().any(|bad| unread(&bad.message)) {
        return;
    }
    let told: BTreeSet<u32> = list
        .lines
        .iter()
        .map(|line| line.line)
        .chain(list.bad.iter().map(|bad| bad.line))
        .collect();
    let text = text
        .trim_start_matches('\u{feff}')
        .replace("\r\n", "\n")
        .replace('\r', "\n");
    let blank = |line: &str| {
        line.chars()
            .all(|sign| sign.is_whitespace() || sign == ',' || sign == ';')
    };
    let said = text.split('\n').zip(1..).filter(|(line, _)| !blank(line));
    // The first of them may name the columns.
    for (line, number) in said.skip(1) {
        assert!(told.contains(&number), "line {number} is lost: {line}");
    }
}

/// A line that is written below its own list is the same line there.
fn comes_back(line: &ListLine, text: &str, list: &OrderList, unit: Unit) {
    // What is too much is only counted, an open quote too.
    let full = list.bad.len() >= 1_000
        || list.lines.len() + 1 >= MOST_LINES
        || text.len() + 1_000 > MOST_BYTES;
    let open = list
        .bad
        .iter()
        .any(|bad| bad.message.starts_with("a quote is opened"));
    if full || open || line.name.len() + line.film.len() > 400 {
        return;
    }
    let one = ListLine {
        quantity: 1,
        ..line.clone()
    };
    let pieces: u32 = list.lines.iter().map(|line| line.quantity).sum();
    if pieces >= MOST_PIECES {
        return;
    }
    let Some(written) = write_line(&one, text, unit) else {
        return;
    };
    let below = read_list(&format!("{text}\n{written}"), unit);
    assert_eq!(below.bad, list.bad, "{written}");
    let added = below.lines.last().expect("there is one more");
    let same = ListLine {
        line: one.line,
        ..added.clone()
    };
    assert_eq!(
        (below.lines.len(), same),
        (list.lines.len() + 1, one),
        "{written}"
    );
}
