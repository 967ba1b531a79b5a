//! Reads what others hand in, one after the other, and says what became of each: the child of `cargo xtask fuzz`,
//! which watches its time and memory.
//!
//! The reader is named on the command line. Each text comes as a byte that says in which way it is read (a drawing: are
//! strokes to become outlines; a list: are bare lengths millimetres), the length of the text in four bytes, the lowest
//! first, and the text. The answer is a line: microseconds of the processor's time, whether it was read, and what it was
//! like in a few words.

use decal_reckoner::artwork::read::{ReadOptions, read};
use readers::Told;
use std::io::{Read as _, Write as _};
use std::time::{Duration, Instant};

#[path = "../tests/readers/mod.rs"]
mod readers;

fn main() -> std::io::Result<()> {
    let reader = std::env::args().nth(1).unwrap_or_default();
    let others = readers::READERS.contains(&reader.as_str());
    assert!(others || reader == "drawing", "no reader `{reader}`");
    let (mut from, mut to) = (std::io::stdin().lock(), std::io::stdout().lock());
    let mut head = [0; 5];
    while from.read_exact(&mut head).is_ok() {
        let [way, length @ ..] = head;
        let mut bytes = vec![0; u32::from_le_bytes(length) as usize];
        from.read_exact(&mut bytes)?;
        let text = String::from_utf8_lossy(&bytes);
        let (begun, worked) = (Instant::now(), busy());
        let told = readers::read(&reader, way, &text).unwrap_or_else(|| drawing(&text, way != 0));
        let took = match (worked, busy()) {
            (Some(before), Some(after)) => after.saturating_sub(before),
            _ => begun.elapsed(),
        };
        let fate = if told.taken { "read" } else { "refused" };
        writeln!(to, "{} {fate} {}", took.as_micros(), told.words)?;
        to.flush()?;
    }
    Ok(())
}

/// What becomes of a drawing.
fn drawing(text: &str, strokes: bool) -> Told {
    match read(text, &ReadOptions { strokes }) {
        Ok(art) => {
            let bounds = art.bounds();
            assert!(bounds.is_finite() && !art.shapes.is_empty());
            let size = art.shapes.len().ilog2();
            let kinds: Vec<String> = art
                .omitted
                .iter()
                .map(|omitted| format!("{:?}{}", omitted.what, omitted.count.ilog2()))
                .collect();
            Told {
                taken: true,
                words: format!("{size} {}", kinds.join(" ")),
            }
        }
        Err(error) => {
            let message = error.message.split('(').next().unwrap_or_default();
            let words = message
                .chars()
                .filter(|sign| sign.is_ascii_lowercase() || *sign == ' ')
                .take(40)
                .collect();
            Told {
                taken: false,
                words,
            }
        }
    }
}

/// How long the processor has worked for this program, where the system says so: other programs may keep it waiting.
fn busy() -> Option<Duration> {
    let told = std::fs::read_to_string("/proc/self/schedstat").ok()?;
    let nanoseconds = told.split(' ').next()?.parse().ok()?;
    Some(Duration::from_nanos(nanoseconds))
}
