//! The walls of the house: which room of `src/` may name which.
//!
//! The rooms stand in `src/lib.rs`, in order: a room may name those above it. That list is the only one; here are
//! only the exceptions that the order does not say.

use crate::Result;
use crate::run::{files_below, read, root};
use std::fmt;
use std::path::Path;

/// Pairs of a room and one that stands above it, yet must stay unknown to it.
const APART: [(&str, &str); 8] = [
    ("legibility", "money"),
    ("legibility", "material"),
    ("material", "money"),
    ("artwork", "money"),
    ("post", "quote"),
    // What customers are shown is reckoned from the card alone.
    ("shop", "quote"),
    ("shop", "book"),
    ("shop", "material"),
];
/// The first room that knows of JavaScript.
const GATE: &str = "api";
/// What no room above the gate may name: the browser, and the clock.
const OUTSIDE: [&str; 6] = [
    "web_sys",
    "js_sys",
    "wasm_bindgen",
    "serde_wasm_bindgen",
    "Instant",
    "SystemTime",
];

/// Checks the project's sources.
///
/// # Errors
/// With one line for each place that reaches through a wall.
pub fn check_sources() -> Result<()> {
    let source = root().join("src");
    let rooms = rooms(&read(&source.join("lib.rs"))?);
    if rooms.is_empty() {
        return Err(
            "src/lib.rs lists no rooms: it must have lines such as `pub mod measure;`.".into(),
        );
    }
    let mut breaches = Vec::new();
    for (name, file) in files_below(&source)? {
        if let Some(room) = room_of(&name, &rooms) {
            breaches.extend(breaches_in(
                &format!("src/{name}"),
                &read(&file)?,
                room,
                &rooms,
            ));
        }
    }
    if breaches.is_empty() {
        println!(
            "{} rooms, and none names one that it must not know.",
            rooms.len()
        );
        Ok(())
    } else {
        Err(breaches
            .iter()
            .map(ToString::to_string)
            .collect::<Vec<_>>()
            .join("\n"))
    }
}

/// A place that reaches through a wall.
#[derive(Debug, PartialEq, Eq)]
struct Breach {
    file: String,
    line: usize,
    what: String,
}

impl fmt::Display for Breach {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}:{}: {}", self.file, self.line, self.what)
    }
}

/// The rooms in their order, read from the `mod` lines of `lib.rs`.
fn rooms(lib: &str) -> Vec<String> {
    let name = |line: &str| {
        let line = line.trim();
        let line = line.strip_prefix("pub ").unwrap_or(line);
        line.strip_prefix("mod ")?
            .strip_suffix(';')
            .map(str::to_owned)
    };
    lib.lines().filter_map(name).collect()
}

/// The index of the room that a file below `src/` belongs to.
fn room_of(file: &str, rooms: &[String]) -> Option<usize> {
    let first = Path::new(file).components().next()?.as_os_str().to_str()?;
    let name = if file.contains('/') {
        first
    } else {
        first.strip_suffix(".rs")?
    };
    (Path::new(file).extension()? == "rs").then(|| rooms.iter().position(|room| room == name))?
}

/// The places in one file that reach through a wall.
fn breaches_in(file: &str, text: &str, room: usize, rooms: &[String]) -> Vec<Breach> {
    let text = without_comments(text);
    let mut breaches = Vec::new();
    let mut breach = |offset: usize, what: String| {
        let line = text[..offset].matches('\n').count() + 1;
        breaches.push(Breach {
            file: file.to_owned(),
            line,
            what,
        });
    };
    let own = rooms[room].as_str();
    // In `src/a.rs` one step up is the root, in `src/a/b.rs` two; in a module inside the file it is only another part
    // of the room, so what is no room there is none of our business.
    let up = "super::".repeat(file.matches('/').count());
    let paths = ["crate::", up.as_str()].map(|start| (start, named_from(&text, start)));
    for (start, (offset, named)) in paths
        .into_iter()
        .flat_map(|(start, names)| names.into_iter().map(move |n| (start, n)))
    {
        match rooms.iter().position(|other| other == named) {
            None if start != "crate::" => {}
            None => breach(
                offset,
                format!("`{own}` names `crate::{named}`, which is no room of src/lib.rs"),
            ),
            Some(other) if other > room => {
                breach(
                    offset,
                    format!("`{own}` must not name `{named}`, which stands below it in src/lib.rs"),
                );
            }
            Some(_) if APART.contains(&(own, named)) => {
                breach(
                    offset,
                    format!("`{own}` must not know `{named}`, although it stands above it"),
                );
            }
            Some(_) => {}
        }
    }
    let gate = rooms.iter().position(|other| other == GATE);
    if gate.is_none_or(|gate| room < gate) {
        for word in OUTSIDE {
            for (offset, _) in text
                .match_indices(word)
                .filter(|(offset, _)| is_whole(&text, *offset, word.len()))
            {
                breach(
                    offset,
                    format!(
                        "`{own}` must not name `{word}`: the core knows no browser and no clock"
                    ),
                );
            }
        }
    }
    breaches.sort_by_key(|breach| breach.line);
    breaches
}

/// Blanks out comments, so that prose may name anything; every line keeps its number.
fn without_comments(text: &str) -> String {
    let code = |line: &str| {
        let end = if line.trim_start().starts_with("//") {
            Some(0)
        } else {
            line.find(" // ")
        };
        line[..end.unwrap_or(line.len())].to_owned()
    };
    text.lines().map(code).collect::<Vec<_>>().join("\n")
}

/// The first names of the paths that begin so, with where they stand: `crate::a`, `crate::{a, b::c}`.
fn named_from<'a>(text: &'a str, beginning: &str) -> Vec<(usize, &'a str)> {
    let starts_path = |offset: &usize| is_start(text, *offset) && !text[..*offset].ends_with("::");
    let starts = text
        .match_indices(beginning)
        .map(|(offset, _)| offset)
        .filter(starts_path);
    let mut names = Vec::new();
    for start in starts.map(|offset| offset + beginning.len()) {
        if text[start..].starts_with('{') {
            names.extend(group(text, start + 1));
        } else {
            names.push((start, word(&text[start..])));
        }
    }
    // Macros live at the root whatever room defines them, and `super` leads to another place than a room.
    let is_macro = |(offset, name): &(usize, &str)| text[offset + name.len()..].starts_with('!');
    names.retain(|name| {
        !name.1.is_empty() && name.1 != "super" && name.1 != "self" && !is_macro(name)
    });
    names
}

/// The first names of the paths in a braced group whose inside starts at `start`.
fn group(text: &str, start: usize) -> Vec<(usize, &str)> {
    let (mut depth, mut names, mut expects) = (1, Vec::new(), true);
    for (at, sign) in text[start..].char_indices() {
        match sign {
            '{' => depth += 1,
            '}' => depth -= 1,
            ',' if depth == 1 => expects = true,
            _ if expects && depth == 1 && (sign.is_alphanumeric() || sign == '_') => {
                names.push((start + at, word(&text[start + at..])));
                expects = false;
            }
            _ => {}
        }
        if depth == 0 {
            break;
        }
    }
    names
}

/// The name at the start of a text; empty where there is none.
fn word(text: &str) -> &str {
    let end = text
        .find(|c: char| !(c.is_alphanumeric() || c == '_'))
        .unwrap_or(text.len());
    &text[..end]
}

fn is_start(text: &str, offset: usize) -> bool {
    !text[..offset].ends_with(|c: char| c.is_alphanumeric() || c == '_')
}

fn is_whole(text: &str, offset: usize, length: usize) -> bool {
    is_start(text, offset)
        && !text[offset + length..].starts_with(|c: char| c.is_alphanumeric() || c == '_')
}

#[cfg(test)]
mod tests {
    use super::*;

    const LIB: &str = "//! A house.\n\n/// Lengths.\npub mod measure;\npub mod money;\npub mod legibility;\n\
                       pub mod material;\npub mod quote;\n#[cfg(target_arch = \"wasm32\")]\nmod api;\npub mod page;\n";

    /// The lines of the breaches in a text that stands in this file.
    fn lines(file: &str, text: &str) -> Vec<usize> {
        let rooms = rooms(LIB);
        let room = room_of(file, &rooms).expect("the file belongs to a room");
        breaches_in(&format!("src/{file}"), text, room, &rooms)
            .into_iter()
            .map(|breach| breach.line)
            .collect()
    }

    #[test]
    fn rooms_are_read_in_order() {
        assert_eq!(
            rooms(LIB),
            [
                "measure",
                "money",
                "legibility",
                "material",
                "quote",
                "api",
                "page"
            ]
        );
    }

    #[test]
    fn a_file_belongs_to_the_room_it_is_named_for() {
        let rooms = rooms(LIB);
        assert_eq!(room_of("money.rs", &rooms), Some(1));
        assert_eq!(room_of("money/cash/coins.rs", &rooms), Some(1));
        assert_eq!(room_of("page/quote.html", &rooms), None);
        assert_eq!(room_of("lib.rs", &rooms), None);
    }

    #[test]
    fn a_room_may_name_those_above_it_and_itself() {
        let text = "use crate::measure::Length;\nuse crate::money;\nfn f() -> crate::quote::Report { todo() }\n";
        assert_eq!(lines("quote.rs", text), [0; 0]);
    }

    #[test]
    fn a_room_below_is_caught_however_it_is_named() {
        assert_eq!(lines("measure.rs", "\nuse crate::money::Money;\n"), [2]);
        assert_eq!(
            lines("measure.rs", "fn f(m: &crate::money::Money) {}\n"),
            [1]
        );
        assert_eq!(
            lines(
                "measure.rs",
                "use crate::{\n    measure::Length,\n    quote::{Report, Line},\n};\n"
            ),
            [3]
        );
        assert_eq!(
            lines("measure.rs", "pub(crate) use crate::page as p;\n"),
            [1]
        );
        assert_eq!(
            lines("money/cash.rs", "use super::super::quote::Report;\n"),
            [1]
        );
        assert_eq!(lines("money.rs", "use super::quote::Report;\n"), [1]);
    }

    #[test]
    fn a_neighbour_inside_the_same_room_is_no_breach() {
        assert_eq!(
            lines("money.rs", "mod tests {\n    use super::Coins;\n}\n"),
            [0; 0]
        );
        assert_eq!(lines("money/cash.rs", "use super::quote::Coins;\n"), [0; 0]);
    }

    #[test]
    fn rooms_kept_apart_are_caught_although_the_order_allows_them() {
        assert_eq!(lines("legibility.rs", "use crate::money::Money;\n"), [1]);
        assert_eq!(
            lines("material/sheet.rs", "use crate::{measure, money};\n"),
            [1]
        );
    }

    #[test]
    fn what_hides_behind_the_root_is_caught() {
        assert_eq!(lines("measure.rs", "use crate::Report;\n"), [1]);
        assert_eq!(lines("measure.rs", "crate::show!(1);\n"), [0; 0]);
    }

    #[test]
    fn the_browser_and_the_clock_are_caught_above_the_gate_only() {
        let text = "use web_sys::Window;\nuse std::time::{Duration, Instant};\nlet instant_web_sys_like = 1;\n";
        assert_eq!(lines("quote.rs", text), [1, 2]);
        assert_eq!(lines("page.rs", text), [0; 0]);
        assert_eq!(lines("api.rs", text), [0; 0]);
    }

    #[test]
    fn comments_may_name_anything() {
        assert_eq!(
            lines(
                "measure.rs",
                "//! See [`crate::quote`].\nlet a = 1; // as in crate::quote\n"
            ),
            [0; 0]
        );
    }

    #[test]
    fn a_breach_says_where_it_is() {
        let rooms = rooms(LIB);
        let found = breaches_in("src/measure.rs", "\n\nuse crate::quote::Report;", 0, &rooms);
        let sentence = "src/measure.rs:3: `measure` must not name `quote`, which stands below it in src/lib.rs";
        assert_eq!(
            found.iter().map(ToString::to_string).collect::<Vec<_>>(),
            [sentence]
        );
    }
}
