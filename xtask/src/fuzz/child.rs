//! The child that reads, and what becomes of a text there.

use crate::Result;
use crate::run::{cargo, run};
use std::fs;
use std::io::{BufRead, BufReader, Write};
use std::path::{Path, PathBuf};
use std::process::{Child, ChildStdin, Command, Stdio};
use std::sync::mpsc::{Receiver, RecvTimeoutError, channel};
use std::time::Duration;

/// A text that takes this long is not waited for.
const STUCK: Duration = Duration::from_secs(20);

/// Builds the child, with checks that a release leaves out, into a folder of its own.
///
/// # Errors
/// When it cannot be built.
pub(super) fn build(folder: &Path) -> Result<PathBuf> {
    run(cargo()
        .args(["build", "--quiet", "--package", "decal-reckoner"])
        .args(["--release", "--example", "fuzzed"])
        .args(["--no-default-features", "--features", "artwork"])
        .arg("--target-dir")
        .arg(folder)
        .env("CARGO_PROFILE_RELEASE_DEBUG_ASSERTIONS", "true")
        .env("CARGO_PROFILE_RELEASE_OVERFLOW_CHECKS", "true")
        .env("CARGO_PROFILE_RELEASE_OPT_LEVEL", "2")
        .env("CARGO_PROFILE_RELEASE_LTO", "false")
        .env("CARGO_PROFILE_RELEASE_CODEGEN_UNITS", "16"))?;
    Ok(folder.join("release/examples/fuzzed"))
}

/// What became of a text.
#[derive(Debug)]
pub(super) enum Fate {
    /// The time it took and what the child said.
    Answered(Duration, String),
    /// The child ended.
    Dead,
    /// The child did not answer.
    Stuck,
}

/// The child that reads.
pub(super) struct Reader {
    program: PathBuf,
    /// What it is to read.
    kind: &'static str,
    child: Child,
    to: ChildStdin,
    from: Receiver<String>,
}

impl Reader {
    /// Starts the program as the reader of this kind.
    ///
    /// # Errors
    /// When it cannot be started.
    pub(super) fn new(program: PathBuf, kind: &'static str) -> Result<Self> {
        let mut child = Command::new(&program)
            .arg(kind)
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .spawn()
            .map_err(|error| format!("{} could not be started: {error}.", program.display()))?;
        let (to, out) = child
            .stdin
            .take()
            .zip(child.stdout.take())
            .ok_or("The child has no pipes.")?;
        let (send, from) = channel();
        std::thread::spawn(move || {
            for line in BufReader::new(out).lines().map_while(std::io::Result::ok) {
                if send.send(line).is_err() {
                    break;
                }
            }
        });
        Ok(Self {
            program,
            kind,
            child,
            to,
            from,
        })
    }

    /// Puts another child in its place.
    ///
    /// # Errors
    /// When it cannot be started.
    pub(super) fn restart(&mut self) -> Result<()> {
        // It may have ended by itself.
        let _ = self.child.kill();
        let _ = self.child.wait();
        *self = Self::new(self.program.clone(), self.kind)?;
        Ok(())
    }

    /// Has a text read in one of the ways of its kind.
    ///
    /// # Errors
    /// When the child says what it should not.
    pub(super) fn read(&mut self, way: u8, text: &[u8]) -> Result<Fate> {
        let length = u32::try_from(text.len()).map_err(|_| "A text is too long.")?;
        let sent = self
            .to
            .write_all(&[way])
            .and_then(|()| self.to.write_all(&length.to_le_bytes()))
            .and_then(|()| self.to.write_all(text))
            .and_then(|()| self.to.flush());
        if sent.is_err() {
            return Ok(Fate::Dead);
        }
        Ok(match self.from.recv_timeout(STUCK) {
            Ok(line) => {
                let (took, answer) = line.split_once(' ').unwrap_or((&line, ""));
                let micros = took
                    .parse()
                    .map_err(|_| format!("The child said `{line}`."))?;
                Fate::Answered(Duration::from_micros(micros), answer.to_owned())
            }
            Err(RecvTimeoutError::Timeout) => Fate::Stuck,
            Err(RecvTimeoutError::Disconnected) => Fate::Dead,
        })
    }

    /// The memory that the child has taken at most, in KB; 0 where the system does not say.
    pub(super) fn memory(&self) -> u64 {
        fs::read_to_string(format!("/proc/{}/status", self.child.id()))
            .ok()
            .and_then(|status| {
                let line = status
                    .lines()
                    .find_map(|line| line.strip_prefix("VmHWM:"))?;
                line.split_ascii_whitespace().next()?.parse().ok()
            })
            .unwrap_or(0)
    }
}

impl Drop for Reader {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}
