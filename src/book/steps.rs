//! From the names of one version to those of the next.

use super::Figures;

/// What stands where a text was typed before.
const TYPED: char = '*';

/// An old name, and the names with texts that take its place; a [`TYPED`] stands for the old text.
type Change = (&'static str, &'static [(&'static str, &'static str)]);

/// The steps in their order; the first one leads from version 1 to version 2.
const STEPS: [&[Change]; 1] = [&[
    ("quote.wage", &[("book.wage", "*")]),
    // Until then one time stood for all that is done on a piece.
    (
        "quote.pieceTime",
        &[
            ("book.time.weed", "*"),
            ("book.time.cut", "0"),
            ("book.time.tape", "0"),
            ("book.time.pack", "0"),
            // What is written in a log would count before it.
            ("book.log", ""),
        ],
    ),
    ("quote.setupTime", &[("book.time.setup", "*")]),
    ("quote.spoilage", &[("book.spoilage", "*")]),
    // It stood for rent, cutter and blades, too.
    (
        "quote.overhead",
        &[
            ("book.overhead", "*"),
            ("book.monthly", "0"),
            ("book.machine.price", "0"),
            ("book.blade.price", "0"),
        ],
    ),
    ("quote.tape.price", &[("book.tape.price", "*")]),
    ("quote.tape.width", &[("book.tape.width", "*")]),
    ("quote.tape.length", &[("book.tape.length", "*")]),
    ("filmSheet", &[("book.film.sheet", "*")]),
    ("filmRoll", &[("book.film.roll", "*")]),
    ("quote.film.length", &[("book.film.length", "*")]),
    (
        "quote.mailer",
        &[
            ("book.supplies[0].packs", "1 for *"),
            ("book.supplies[0].name", "mailer"),
            ("book.supplies[0].per", "posted"),
            ("book.supplies[0].count", "1"),
            ("book.supplies", "2"),
        ],
    ),
    (
        "quote.card",
        &[
            ("book.supplies[1].packs", "1 for *"),
            ("book.supplies[1].name", "card"),
            ("book.supplies[1].per", "order"),
            ("book.supplies[1].count", "1"),
            ("book.supplies", "2"),
        ],
    ),
    (
        "quote.channel.percent",
        &[
            ("book.channels[0].fees[0].item", "*"),
            ("book.channels[0].fees[0].postage", "*"),
            ("book.channels[0].name", "shop page"),
            ("book.channels[0].kind", "post"),
            ("book.channels", "1"),
        ],
    ),
    (
        "quote.channel.fixed",
        &[("book.channels[0].fees[0].order", "*")],
    ),
    (
        "quote.payment.percent",
        &[("book.channels[0].fees[1].item", "*")],
    ),
    (
        "quote.payment.fixed",
        &[("book.channels[0].fees[1].order", "*")],
    ),
]];

/// Brings figures of an older version under the names of this one. A name that no step knows stays as
/// it is; so does one whose place is taken.
#[must_use]
pub fn migrate(version: u32, figures: Figures) -> Figures {
    let mut figures = figures;
    for step in later(version) {
        let mut moved = Figures::with_capacity(figures.len());
        for (name, text) in &figures {
            for (new, pattern) in places(step, name, &figures) {
                if moved.iter().any(|(other, _)| other == new) {
                    continue;
                }
                let text = match pattern.split_once(TYPED) {
                    // What was empty stays so.
                    Some(_) if text.trim().is_empty() => String::new(),
                    Some((before, behind)) => format!("{before}{text}{behind}"),
                    None => (*pattern).to_owned(),
                };
                moved.push(((*new).to_owned(), text));
            }
            if places(step, name, &figures).is_empty() {
                moved.push((name.clone(), text.clone()));
            }
        }
        figures = moved;
    }
    figures
}

/// The names that take the place of one of an older version: it alone where none do.
#[must_use]
pub fn renamed(version: u32, name: &str) -> Vec<String> {
    let mut names = vec![name.to_owned()];
    for step in later(version) {
        let old = std::mem::take(&mut names);
        for name in old {
            let places = places(step, &name, &[]);
            names.extend(places.iter().map(|(new, _)| (*new).to_owned()));
            if places.is_empty() {
                names.push(name);
            }
        }
    }
    names
}

/// The steps that lead from a version to this one.
fn later(version: u32) -> impl Iterator<Item = &'static &'static [Change]> {
    STEPS.iter().skip(version.max(1) as usize - 1)
}

/// What takes the place of a name in a step: nothing where the step does not know it, or where a figure
/// already has the new name.
fn places(
    step: &[Change],
    name: &str,
    figures: &[(String, String)],
) -> &'static [(&'static str, &'static str)] {
    let found = step.iter().find(|(old, _)| *old == name);
    let new = found.map_or(&[][..], |(_, new)| *new);
    let taken = |new: &str| figures.iter().any(|(other, _)| other == new);
    if new.iter().any(|(new, _)| taken(new)) {
        return &[];
    }
    new
}
