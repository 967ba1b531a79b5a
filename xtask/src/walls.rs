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
/// Modules inside of a file are no deeper than this.
const MOST_WITHIN: usize = 4;
/// The first room that knows of JavaScript.
const GATE: &str = "api";
/// What no room above the gate may name: the browser, the clock, chance, and what outlasts a call.
const OUTSIDE: [&str; 18] = [
    "web_sys",
    "js_sys",
    "wasm_bindgen",
    "wasm_bindgen_futures",
    "serde_wasm_bindgen",
    "JsValue",
    "Instant",
    "SystemTime",
    "UNIX_EPOCH",
    // Their order differs from one run to the next.
    "HashMap",
    "HashSet",
    "RandomState",
    "DefaultHasher",
    "thread_local",
    "Mutex",
    "RwLock",
    "OnceLock",
    "LazyLock",
];
/// Parts of the standard library that no room above the gate may name, but in files of tests.
const STD: [&str; 6] = ["time", "thread", "env", "fs", "net", "process"];
/// Ways round the walls: another name for the root, all of it at once, a file that stands elsewhere.
const ROUND: [(&str, &str); 5] = [
    ("crate as ", "gives the root another name"),
    ("crate::*", "names every room at once"),
    ("extern crate self", "gives the root another name"),
    ("#[path", "takes a file from elsewhere"),
    ("include!(", "takes a file from elsewhere"),
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
    for (start, offset, named) in paths(&text, file) {
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
            // Whoever may not know a room could get it from another one.
            Some(other) if other != room && is_handed_on(&text, offset) => {
                breach(
                    offset,
                    format!("`{own}` must not hand `{named}` on: it is named where it stands"),
                );
            }
            Some(_) => {}
        }
    }
    for (words, what) in ROUND {
        for (offset, _) in text
            .match_indices(words)
            .filter(|(at, _)| is_start(&text, *at))
        {
            breach(offset, format!("`{own}` {what}: `{}`", words.trim_end()));
        }
    }
    // At the margin of a file it is the root's own names; further in those of the room.
    let all = format!("use {}*", "super::".repeat(file.matches('/').count()));
    for (offset, _) in text.match_indices(&all) {
        if offset == 0 || text[..offset].ends_with('\n') {
            breach(offset, format!("`{own}` names every room at once: `{all}`"));
        }
    }
    let gate = rooms.iter().position(|other| other == GATE);
    if gate.is_none_or(|gate| room < gate) {
        let words = OUTSIDE.into_iter().flat_map(|word| {
            let found = text.match_indices(word);
            let whole = found.filter(|(offset, _)| is_whole(&text, *offset, word.len()));
            whole.map(move |(offset, _)| (offset, word))
        });
        let parts = named_from(&text, "std::").into_iter();
        let parts = parts.filter(|(_, part)| STD.contains(part) && !file.ends_with("/tests.rs"));
        let mutable = text.match_indices("static mut ");
        for (offset, word) in words.chain(parts).chain(mutable) {
            breach(
                offset,
                format!(
                    "`{own}` must not name `{}`: the core knows no browser, no clock, no chance and no state",
                    word.trim_end()
                ),
            );
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

/// The paths of a file that may begin at the root: how they begin, where their next names stand, and these.
///
/// In `src/a.rs` one step up is the root, in `src/a/b.rs` two; in a module inside of the file it takes more of them, and
/// fewer lead only to another part of the room, so that what is no room there is none of our business.
fn paths<'a>(text: &'a str, file: &str) -> Vec<(&'static str, usize, &'a str)> {
    let mut paths = Vec::new();
    for start in ["crate::", "decal_reckoner::"] {
        let names = named_from(text, start).into_iter();
        paths.extend(names.map(|(offset, named)| (start, offset, named)));
    }
    // `self` before it changes nothing.
    let steps = file.matches('/').count();
    for more in 0..MOST_WITHIN {
        let up = "super::".repeat(steps + more);
        for prefix in ["", "self::"] {
            let names = named_from(text, &format!("{prefix}{up}")).into_iter();
            paths.extend(names.map(|(offset, named)| ("super::", offset, named)));
        }
    }
    paths
}

/// Whether the path in which something stands there is handed on to other rooms: `pub use`, `pub(crate) use`.
fn is_handed_on(text: &str, offset: usize) -> bool {
    let statement = text[..offset].rsplit([';', '}']).next().unwrap_or_default();
    let statement = statement.trim_start();
    let public = statement.strip_prefix("pub");
    let public = public.map(|rest| rest.strip_prefix("(crate)").unwrap_or(rest).trim_start());
    public.is_some_and(|rest| rest.starts_with("use "))
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
        // Of the second line both the clock and the part of the standard library that it is in.
        assert_eq!(lines("quote.rs", text), [1, 2, 2]);
        assert_eq!(lines("page.rs", text), [0; 0]);
        assert_eq!(lines("api.rs", text), [0; 0]);
    }

    #[test]
    fn a_module_inside_of_a_file_reaches_no_further() {
        let within = |path: &str| format!("mod tests {{\n    use {path};\n}}\n");
        assert_eq!(
            lines("money.rs", &within("super::super::quote::Report")),
            [2]
        );
        assert_eq!(
            lines(
                "money/cash.rs",
                &within("super::super::super::{Coins, quote}")
            ),
            [2]
        );
        assert_eq!(lines("money.rs", "use self::super::quote::Report;\n"), [1]);
        assert_eq!(
            lines("money.rs", &within("super::super::measure::Length")),
            [0; 0]
        );
    }

    #[test]
    fn another_name_for_the_root_is_caught() {
        for text in [
            "use crate as house;\n",
            "use crate::*;\n",
            "use super::*;\n",
            "extern crate self as house;\n",
            "use decal_reckoner::page::Page;\n",
            "#[path = \"page/forms.rs\"]\nmod forms;\n",
            "include!(\"page/forms.rs\");\n",
        ] {
            assert_eq!(lines("measure.rs", text), [1], "{text}");
        }
        assert_eq!(
            lines("measure.rs", "mod tests {\n    use super::*;\n}\n"),
            [0; 0]
        );
        assert_eq!(lines("measure/parse.rs", "use super::*;\n"), [0; 0]);
        assert_eq!(lines("measure/parse.rs", "use super::super::*;\n"), [1]);
    }

    #[test]
    fn a_room_hands_no_other_one_on() {
        let named = "use crate::{measure::Length, money::Money};\n";
        assert_eq!(lines("quote.rs", named), [0; 0]);
        assert_eq!(lines("quote.rs", &format!("pub {named}")), [1, 1]);
        assert_eq!(
            lines("quote.rs", &format!("mod a;\npub(crate) {named}")),
            [2, 2]
        );
        assert_eq!(
            lines("quote.rs", "pub use crate::quote::job::Job;\n"),
            [0; 0]
        );
        assert_eq!(
            lines("quote.rs", "pub use job::Job;\nuse crate::money::Money;\n"),
            [0; 0]
        );
    }

    #[test]
    fn a_macro_names_rooms_as_others_do() {
        let text = "macro_rules! m {\n    () => { $crate::quote::Report };\n}\n";
        assert_eq!(lines("measure.rs", text), [2]);
        assert_eq!(lines("page.rs", text), [0; 0]);
    }

    #[test]
    fn chance_and_state_are_caught_above_the_gate_only() {
        for text in [
            "use js_sys::Date;\n",
            "fn f(value: &wasm_bindgen::JsValue) {}\n",
            "use std::collections::HashMap;\n",
            "use std::collections::{BTreeMap, HashSet};\n",
            "use std::time::Duration;\n",
            "use std::{fmt, thread};\n",
            "let now = std::time::SystemTime::now();\n",
            "let name = std::env::var(\"A\");\n",
            "static mut COUNT: u32 = 0;\n",
            "static LAST: std::sync::Mutex<u32> = std::sync::Mutex::new(0);\n",
        ] {
            let mut caught = lines("quote.rs", text);
            caught.dedup();
            assert_eq!(caught, [1], "{text}");
            assert_eq!(lines("page.rs", text), [0; 0], "{text}");
        }
        let fine = "use std::collections::BTreeMap;\nuse std::fmt;\nlet time = 1;\nstatic KINDS: [u8; 1] = [0];\n";
        assert_eq!(lines("quote.rs", fine), [0; 0]);
        assert_eq!(
            lines("quote/tests.rs", "let text = std::fs::read(name);\n"),
            [0; 0]
        );
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
