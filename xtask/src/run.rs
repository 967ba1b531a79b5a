//! Starting other programs, and finding the folders that they work in.

use crate::Result;
use std::env;
use std::ffi::{OsStr, OsString};
use std::io::Write;
use std::num::NonZero;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::thread;

/// The folder that holds `Cargo.toml`, `src` and `xtask`.
pub fn root() -> PathBuf {
    let xtask = Path::new(env!("CARGO_MANIFEST_DIR"));
    xtask.parent().unwrap_or(xtask).to_path_buf()
}

/// The folder that cargo builds into.
pub fn target() -> PathBuf {
    env::var_os("CARGO_TARGET_DIR")
        .map_or_else(|| root().join("target"), |folder| root().join(folder))
}

/// The cargo that started this program, so that the whole work is done by one toolchain.
pub fn cargo() -> Command {
    let mut command = Command::new(env::var_os("CARGO").unwrap_or_else(|| "cargo".into()));
    command.current_dir(root());
    command
}

/// Runs a program with its output on the terminal.
///
/// # Errors
/// When it cannot be started, or ends with anything but success.
pub fn run(command: &mut Command) -> Result<()> {
    let status = command
        .status()
        .map_err(|error| format!("{} could not be started: {error}.", name(command)))?;
    if status.success() {
        Ok(())
    } else {
        Err(format!("{} did not succeed ({status}).", name(command)))
    }
}

/// Works on several things at once, as many as there are cores: on the first ones first.
///
/// # Errors
/// The first error of them; all others are worked on all the same.
pub fn at_once<T: Sync>(things: &[T], work: impl Fn(&T) -> Result<()> + Sync) -> Result<()> {
    let (next, outcomes) = (AtomicUsize::new(0), Mutex::new(Vec::new()));
    let one_after_another = || {
        while let Some(thing) = things.get(next.fetch_add(1, Ordering::Relaxed)) {
            let outcome = work(thing);
            if let Ok(mut outcomes) = outcomes.lock() {
                outcomes.push(outcome);
            }
        }
    };
    let cores = thread::available_parallelism().map_or(1, NonZero::get);
    thread::scope(|scope| {
        for _ in 0..cores.min(things.len()) {
            scope.spawn(one_after_another);
        }
    });
    let outcomes = outcomes.into_inner();
    outcomes
        .map_err(|_| "A piece of the work was lost.".to_owned())?
        .into_iter()
        .collect()
}

/// Runs a program and hands back what it printed.
///
/// # Errors
/// When it cannot be started, or ends with anything but success.
pub fn output(command: &mut Command) -> Result<String> {
    piped(command, "")
}

/// Runs a program that reads this text, and hands back what it printed.
///
/// The program must read all of it before it prints more than a pipe holds.
///
/// # Errors
/// When it cannot be started, does not read the text, or ends with anything but success.
pub fn piped(command: &mut Command, text: &str) -> Result<String> {
    let mut child = command
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .map_err(|error| format!("{} could not be started: {error}.", name(command)))?;
    // The text ends where the handle is dropped.
    let fed = child
        .stdin
        .take()
        .map_or(Ok(()), |mut stdin| stdin.write_all(text.as_bytes()));
    let output = child
        .wait_with_output()
        .map_err(|error| format!("{} was lost: {error}.", name(command)))?;
    if output.status.success() {
        fed.map_err(|error| format!("{} did not read all: {error}.", name(command)))?;
        Ok(String::from_utf8_lossy(&output.stdout).into_owned())
    } else {
        let said = String::from_utf8_lossy(&output.stderr);
        Err(format!(
            "{} did not succeed ({}): {}",
            name(command),
            output.status,
            said.trim()
        ))
    }
}

/// The first of these programs that is on the path.
pub fn find(names: &[&str]) -> Option<PathBuf> {
    let path = env::var_os("PATH")?;
    names.iter().find_map(|name| {
        env::split_paths(&path)
            .map(|folder| folder.join(name))
            .find(|file| file.is_file())
    })
}

/// The path with these folders before all others.
///
/// # Errors
/// When a folder's name cannot be part of a path.
pub fn path_with(folders: &[PathBuf]) -> Result<OsString> {
    let rest = env::var_os("PATH").unwrap_or_default();
    env::join_paths(folders.iter().cloned().chain(env::split_paths(&rest)))
        .map_err(|error| format!("The tools' folder cannot be put on the path: {error}."))
}

/// Reads a file as text, naming it when that fails.
///
/// # Errors
/// When the file cannot be read.
pub fn read(file: &Path) -> Result<String> {
    std::fs::read_to_string(file)
        .map_err(|error| format!("{} could not be read: {error}.", file.display()))
}

/// Writes a file, naming it when that fails.
///
/// # Errors
/// When the file cannot be written.
pub fn write(file: &Path, content: impl AsRef<[u8]>) -> Result<()> {
    std::fs::write(file, content)
        .map_err(|error| format!("{} could not be written: {error}.", file.display()))
}

/// Every file below a folder with its path relative to it, parts joined by `/`, in order of that path.
///
/// # Errors
/// When a folder cannot be read.
pub fn files_below(folder: &Path) -> Result<Vec<(String, PathBuf)>> {
    let mut found = Vec::new();
    let mut open = vec![(String::new(), folder.to_path_buf())];
    while let Some((prefix, folder)) = open.pop() {
        let unreadable = |error| format!("{} could not be read: {error}.", folder.display());
        for entry in std::fs::read_dir(&folder).map_err(unreadable)? {
            let entry = entry.map_err(unreadable)?;
            let relative = format!("{prefix}{}", entry.file_name().to_string_lossy());
            if entry.path().is_dir() {
                open.push((format!("{relative}/"), entry.path()));
            } else {
                found.push((relative, entry.path()));
            }
        }
    }
    found.sort();
    Ok(found)
}

/// How a command is called in a sentence: its file name and first argument.
fn name(command: &Command) -> String {
    let program = Path::new(command.get_program());
    let program = program
        .file_name()
        .unwrap_or(program.as_os_str())
        .to_string_lossy();
    let first = command
        .get_args()
        .next()
        .map(OsStr::to_string_lossy)
        .unwrap_or_default();
    format!("`{program} {first}`")
}
