//! What others hand in, changed at random and read by a child whose time and memory are watched.
//!
//! Nothing steers the changes but what the child says of each text: one of which it says something new is changed
//! further. What ends the child, because the reader panics or breaks a law of `tests/readers/`, takes too long or too
//! much memory is kept in `target/fuzz/`, as is what took longest, and tried first the next time.

mod chance;
mod child;
mod drawing;
mod kinds;

use crate::Result;
use crate::run::{files_below, root, target, write};
use chance::Chance;
use child::{Fate, Reader, build};
use kinds::{KINDS, Kind};
use std::collections::BTreeSet;
use std::fs;
use std::path::Path;
use std::time::{Duration, Instant};

/// A text must be read in this time.
const SLOW: Duration = Duration::from_secs(2);
/// So many texts are kept to change.
const KEPT: usize = 3000;

/// Changes texts for so many minutes, one unless told otherwise, and prints what became of them: those of one reader, or
/// of one after the other.
///
/// # Errors
/// When the child cannot be built, or a text ended it, took too long or too much memory.
pub fn fuzz(arguments: &[String]) -> Result<()> {
    let (minutes, kinds) = asked(arguments)?;
    let folder = target().join("fuzz");
    let program = build(&folder.join("build"))?;
    let mut failures = 0;
    for kind in kinds {
        let folder = folder.join(kind.name);
        fs::create_dir_all(&folder)
            .map_err(|error| format!("{} could not be made: {error}.", folder.display()))?;
        let reader = Reader::new(program.clone(), kind.name)?;
        failures += one(kind, reader, &folder, minutes)?;
    }
    if failures == 0 {
        Ok(())
    } else {
        Err(format!(
            "{failures} readings failed; the texts are in {}.",
            folder.display()
        ))
    }
}

/// For how many minutes, and which readers.
fn asked(arguments: &[String]) -> Result<(u64, Vec<&'static Kind>)> {
    let (mut minutes, mut kinds) = (None, Vec::new());
    for argument in arguments {
        if let Some(kind) = KINDS.iter().find(|kind| kind.name == argument) {
            kinds.push(kind);
        } else if let (None, Ok(number)) = (minutes, argument.parse()) {
            minutes = Some(number);
        } else {
            let names: Vec<&str> = KINDS.iter().map(|kind| kind.name).collect();
            return Err(format!(
                "fuzz takes a number of minutes and readers, not `{argument}`: {}.",
                names.join(", ")
            ));
        }
    }
    if kinds.is_empty() {
        kinds = KINDS.iter().collect();
    }
    Ok((minutes.unwrap_or(1), kinds))
}

/// Changes texts of one kind; how many readings failed.
fn one(kind: &Kind, mut reader: Reader, folder: &Path, minutes: u64) -> Result<u64> {
    let [mut texts, failed] = corpus(kind, folder)?;
    let seed = std::time::UNIX_EPOCH
        .elapsed()
        .map_or(1, |since| since.as_secs());
    println!(
        "{}: {} texts to change, {} that failed before; seed {seed}; {minutes} min.",
        kind.name,
        texts.len(),
        failed.len()
    );
    let mut chance = Chance(seed);
    let mut tally = Tally::default();
    let mut known = BTreeSet::new();
    let end = Instant::now() + Duration::from_secs(60 * minutes);
    let mut first = failed.into_iter().chain(texts.clone());
    while Instant::now() < end {
        let text = first.next().unwrap_or_else(|| chance.changed(kind, &texts));
        for way in kind.ways {
            let fate = reader.read(*way, &text)?;
            if matches!(fate, Fate::Answered(took, _) if took > tally.slowest) {
                write(&folder.join(format!("slowest.{}", kind.ending)), &text)?;
            }
            if let Some(why) = tally.count(&fate, reader.memory(), kind.memory) {
                let name = format!("{why}-{:016x}.{}", hash(&text), kind.ending);
                println!("{name}: {} bytes, {fate:?}", text.len());
                write(&folder.join(&name), &text)?;
                reader.restart()?;
            }
            if let Fate::Answered(_, answer) = fate
                && known.insert(format!("{way} {answer}"))
                && texts.len() < KEPT
            {
                texts.push(text.clone());
            }
        }
    }
    tally.print(known.len());
    Ok(tally.failures)
}

/// The texts to begin with and one of all pieces; and those that failed before.
fn corpus(kind: &Kind, folder: &Path) -> Result<[Vec<Vec<u8>>; 2]> {
    let texts = |folder: &Path| -> Result<Vec<Vec<u8>>> {
        let files = files_below(folder)?.into_iter();
        files
            .filter(|(name, _)| {
                Path::new(name)
                    .extension()
                    .is_some_and(|end| end == kind.ending)
            })
            .map(|(name, file)| {
                fs::read(file).map_err(|error| format!("{name} could not be read: {error}."))
            })
            .collect()
    };
    let mut seeds = texts(&root().join(kind.seeds))?;
    seeds.push(kind.pieces.concat().into_bytes());
    Ok([seeds, texts(folder)?])
}

/// How many texts had which fate.
#[derive(Default)]
struct Tally {
    read: u64,
    refused: u64,
    failures: u64,
    slowest: Duration,
    memory: u64,
}

impl Tally {
    /// Counts a text; why it failed, if it did.
    fn count(&mut self, fate: &Fate, memory: u64, most: u64) -> Option<&'static str> {
        self.memory = self.memory.max(memory);
        let failed = match fate {
            Fate::Dead => Some("dead"),
            Fate::Stuck => Some("stuck"),
            Fate::Answered(took, answer) => {
                self.slowest = self.slowest.max(*took);
                if answer.starts_with("read") {
                    self.read += 1;
                } else {
                    self.refused += 1;
                }
                if *took > SLOW {
                    Some("slow")
                } else if memory > most {
                    Some("memory")
                } else {
                    None
                }
            }
        };
        self.failures += u64::from(failed.is_some());
        failed
    }

    fn print(&self, kinds: usize) {
        println!(
            "{} read, {} refused, {} failed; {kinds} kinds of answer; the slowest took {} ms; {} MB at most.",
            self.read,
            self.refused,
            self.failures,
            self.slowest.as_millis(),
            self.memory >> 10
        );
    }
}

/// FNV-1a, for the names of files.
fn hash(text: &[u8]) -> u64 {
    text.iter().fold(0xcbf2_9ce4_8422_2325, |hash, byte| {
        (hash ^ u64::from(*byte)).wrapping_mul(0x0100_0000_01b3)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn texts_are_changed_within_their_length() {
        for kind in &KINDS {
            let texts = vec![
                b"<svg d='M0 0L5 5'/>".to_vec(),
                vec![],
                b"\xff\xfe\"".to_vec(),
                b"{\"a\": \"b\", \"c\": [1, 2.5]}".to_vec(),
            ];
            let mut chance = Chance(7);
            for _ in 0..300 {
                // A link's checksum comes on top.
                assert!(chance.changed(kind, &texts).len() <= kind.longest + 20);
            }
        }
    }

    #[test]
    fn readers_and_minutes_are_told_in_any_order() {
        let asked = |words: &str| {
            let words: Vec<String> = words.split(' ').map(str::to_owned).collect();
            super::asked(&words).map(|(minutes, kinds)| {
                let names: Vec<&str> = kinds.iter().map(|kind| kind.name).collect();
                (minutes, names.join(" "))
            })
        };
        assert_eq!(asked("3 card"), Ok((3, "card".into())));
        assert_eq!(asked("card list 3"), Ok((3, "card list".into())));
        assert_eq!(asked("typed"), Ok((1, "typed".into())));
        assert_eq!(asked("2").map(|(_, names)| names.split(' ').count()), Ok(6));
        assert!(asked("cards").is_err() && asked("3 4").is_err());
    }
}
