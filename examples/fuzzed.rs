//! Reads drawings that another program sends, one after the other, and says what became of each: the child of
//! `cargo xtask fuzz`, which watches its time and memory.
//!
//! Each comes as a byte that says whether strokes become outlines, the length of its text in four bytes, the lowest
//! first, and the text. The answer is a line: microseconds of the processor's time, whether it was read, and what it was
//! like in a few words.

use decal_reckoner::artwork::read::{ReadOptions, read};
use std::io::{Read as _, Write as _};
use std::time::{Duration, Instant};

fn main() -> std::io::Result<()> {
    let (mut from, mut to) = (std::io::stdin().lock(), std::io::stdout().lock());
    let mut head = [0; 5];
    while from.read_exact(&mut head).is_ok() {
        let [strokes, length @ ..] = head;
        let mut bytes = vec![0; u32::from_le_bytes(length) as usize];
        from.read_exact(&mut bytes)?;
        let text = String::from_utf8_lossy(&bytes);
        let (begun, worked) = (Instant::now(), busy());
        let outcome = read(
            &text,
            &ReadOptions {
                strokes: strokes != 0,
            },
        );
        let took = match (worked, busy()) {
            (Some(before), Some(after)) => after.saturating_sub(before),
            _ => begun.elapsed(),
        };
        let took = took.as_micros();
        match outcome {
            Ok(art) => {
                let bounds = art.bounds();
                assert!(bounds.is_finite() && !art.shapes.is_empty());
                let size = art.shapes.len().ilog2();
                let kinds: Vec<String> = art
                    .omitted
                    .iter()
                    .map(|omitted| format!("{:?}{}", omitted.what, omitted.count.ilog2()))
                    .collect();
                writeln!(to, "{took} read {size} {}", kinds.join(" "))?;
            }
            Err(error) => {
                let message = error.message.split('(').next().unwrap_or_default();
                let words: String = message
                    .chars()
                    .filter(|sign| sign.is_ascii_lowercase() || *sign == ' ')
                    .take(40)
                    .collect();
                writeln!(to, "{took} refused {words}")?;
            }
        }
        to.flush()?;
    }
    Ok(())
}

/// How long the processor has worked for this program, where the system says so: other programs may keep it waiting.
fn busy() -> Option<Duration> {
    let told = std::fs::read_to_string("/proc/self/schedstat").ok()?;
    let nanoseconds = told.split(' ').next()?.parse().ok()?;
    Some(Duration::from_nanos(nanoseconds))
}
