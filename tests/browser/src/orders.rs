//! Orders to be typed into the list, as large as a test wants them.

use std::fmt::Write as _;

/// The films of the first visit: a roll, sheets, and a patterned roll.
pub const FILMS: [&str; 3] = ["lake white", "night black", "birch grain"];

/// A line of an order, in inches.
#[derive(Clone, Debug)]
pub struct Line {
    /// Its name, which no other line has.
    pub name: String,
    /// Eighths of an inch.
    pub width: u32,
    /// Eighths of an inch.
    pub height: u32,
    /// How many of it.
    pub quantity: u32,
    /// The name of its film.
    pub film: &'static str,
}

/// An order of so many lines, each of another size, in all films by turns; each line asks for `least`
/// to `least + 3` pieces.
#[must_use]
pub fn lines(count: u32, least: u32) -> Vec<Line> {
    let line = |(at, film): (u32, &'static str)| Line {
        name: format!("Lettering {}", at + 1),
        width: 12 + at * 7 % 67,
        height: 8 + at * 5 % 31,
        quantity: least + at % 4,
        film,
    };
    (0..count)
        .zip(FILMS.into_iter().cycle())
        .map(line)
        .collect()
}

/// The order as somebody types it.
#[must_use]
pub fn list(lines: &[Line]) -> String {
    let mut text = "name, width, height, quantity, film\n".to_owned();
    for line in lines {
        let (width, height) = (eighths(line.width), eighths(line.height));
        // Writing into a String cannot fail.
        let _ = writeln!(
            text,
            "{}, {width}, {height}, {}, {}",
            line.name, line.quantity, line.film
        );
    }
    text
}

/// How many pieces it asks for.
#[must_use]
pub fn pieces(lines: &[Line]) -> u32 {
    lines.iter().map(|line| line.quantity).sum()
}

/// `4 3/8`.
fn eighths(length: u32) -> String {
    match (length / 8, length % 8) {
        (whole, 0) => whole.to_string(),
        (whole, part) => format!("{whole} {part}/8"),
    }
}
