//! The tools that a build needs: what they are for, their pinned versions, and how they get here.
//!
//! They are kept outside the project, one folder a version, so that `cargo clean` leaves them alone and a changed pin
//! installs anew. A folder gets its final name only when the install in it is complete.

use crate::Result;
use crate::run::{find, output, path_with, read, root};
use std::env;
use std::ffi::OsString;
use std::fs::{self, File};
use std::io::{BufRead, BufReader, Write};
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::sync::mpsc;
use std::thread;
use std::time::{Duration, Instant};

/// The version of trunk; 0.22 needs a newer compiler than the project's.
const TRUNK: &str = "0.21.14";
/// The version of the npm package that brings `wasm-opt`.
const BINARYEN: &str = "132.0.0";
/// The version of the npm package that brings `esbuild`.
const ESBUILD: &str = "0.28.2";
/// The version of the npm package that brings the rules of `axe`.
const AXE: &str = "4.14.1";
/// The version of the npm package that brings the Nu HTML checker.
const VNU: &str = "26.9.27";
/// The version of the npm package that brings `lighthouse`; 13 needs a newer Node.
const LIGHTHOUSE: &str = "12.2.3";
/// The version of the driver of Firefox.
const GECKODRIVER: &str = "0.37.1";
/// The only target that the site and the package are compiled for.
const WASM_TARGET: &str = "wasm32-unknown-unknown";

/// Where an npm package lies, in the folder that it is installed in.
const NPM_PACKAGES: &str = "node_modules";
/// Where it has its programs there.
const NPM_PROGRAMS: &str = ".bin";

/// A tool of the build.
#[derive(Clone, Copy, PartialEq, Eq)]
pub enum Tool {
    /// Builds and serves the site.
    Trunk,
    /// Writes the JavaScript beside the WebAssembly, and runs its tests in the browser.
    WasmBindgen,
    /// Shrinks the WebAssembly; a build does without it when it cannot be had.
    WasmOpt,
    /// Makes scripts and styles short; a build does without it when it cannot be had.
    Esbuild,
    /// Looks for what keeps people from reaching a page.
    Axe,
    /// Looks for what is wrong in HTML and CSS.
    Vnu,
    /// Measures pages as a slow phone shows them.
    Lighthouse,
    /// Drives Firefox.
    Geckodriver,
}

impl Tool {
    /// What is taken from an npm package, and done without when it cannot be had: the package's file.
    fn npm_file(self) -> Option<&'static str> {
        match self {
            Self::WasmOpt => Some(".bin/wasm-opt"),
            Self::Esbuild => Some(".bin/esbuild"),
            Self::Axe => Some("axe-core/axe.min.js"),
            Self::Vnu => Some("vnu-jar/build/dist/vnu.jar"),
            Self::Lighthouse => Some(".bin/lighthouse"),
            Self::Trunk | Self::WasmBindgen | Self::Geckodriver => None,
        }
    }
}

/// Tools that are ready for use.
pub struct Toolbox {
    /// The path for commands that call the tools by name.
    pub path: OsString,
}

/// Finds these tools, and installs those that are missing.
///
/// # Errors
/// When a tool that nothing can replace cannot be installed.
pub fn ready(wanted: &[Tool]) -> Result<Toolbox> {
    wasm_target()?;
    let cache = cache()?;
    let pins = wanted
        .iter()
        .map(|tool| Pin::of(*tool))
        .collect::<Result<Vec<_>>>()?;
    if pins.iter().any(|pin| !pin.folder(&cache).is_dir()) {
        install_missing(&pins, &cache)?;
    }
    let present = pins.iter().filter(|pin| pin.folder(&cache).is_dir());
    let folders: Vec<PathBuf> = present.map(|pin| pin.programs(&cache)).collect();
    Ok(Toolbox {
        path: path_with(&folders)?,
    })
}

/// The file of a tool from npm if it was installed and can be used, without installing it.
///
/// # Errors
/// When no cache folder can be named.
pub fn installed(tool: Tool) -> Result<Option<PathBuf>> {
    let Some(name) = tool.npm_file() else {
        return Ok(None);
    };
    let packages = Pin::of(tool)?.folder(&cache()?).join(NPM_PACKAGES);
    let file = packages.join(name);
    Ok((file.is_file() && find(&["node"]).is_some()).then_some(file))
}

/// One tool in one version.
struct Pin {
    tool: Tool,
    package: &'static str,
    version: String,
    purpose: &'static str,
    /// About how many crates its build compiles, for the progress line.
    crates: usize,
    /// Switches for `cargo install` that leave out what the project does not use.
    switches: &'static [&'static str],
}

impl Pin {
    fn of(tool: Tool) -> Result<Self> {
        Ok(match tool {
            Tool::Trunk => Self {
                tool,
                package: "trunk",
                version: TRUNK.into(),
                purpose: "builds and serves the site",
                crates: 368,
                switches: &["--no-default-features"],
            },
            Tool::WasmBindgen => Self {
                tool,
                package: "wasm-bindgen-cli",
                version: locked_version(&read(&root().join("Cargo.lock"))?, "wasm-bindgen")?,
                purpose: "writes the JavaScript beside the WebAssembly, and runs its tests in the browser",
                crates: 157,
                switches: &[],
            },
            Tool::WasmOpt => Self {
                tool,
                package: "binaryen",
                version: BINARYEN.into(),
                purpose: "its wasm-opt makes the WebAssembly smaller",
                crates: 0,
                switches: &[],
            },
            Tool::Esbuild => Self {
                tool,
                package: "esbuild",
                version: ESBUILD.into(),
                purpose: "makes scripts and styles short",
                crates: 0,
                switches: &[],
            },
            Tool::Axe => Self {
                tool,
                package: "axe-core",
                version: AXE.into(),
                purpose: "looks for what keeps people from reaching a page",
                crates: 0,
                switches: &[],
            },
            Tool::Vnu => Self {
                tool,
                package: "vnu-jar",
                version: VNU.into(),
                purpose: "looks for what is wrong in HTML and CSS",
                crates: 0,
                switches: &[],
            },
            Tool::Lighthouse => Self {
                tool,
                package: "lighthouse",
                version: LIGHTHOUSE.into(),
                purpose: "measures pages as a slow phone shows them",
                crates: 0,
                switches: &[],
            },
            Tool::Geckodriver => Self {
                tool,
                package: "geckodriver",
                version: GECKODRIVER.into(),
                purpose: "drives Firefox",
                crates: 170,
                switches: &[],
            },
        })
    }

    /// The folder of this tool in this version; it exists only when the install is complete.
    fn folder(&self, cache: &Path) -> PathBuf {
        cache.join(format!("{}-{}", self.package, self.version))
    }

    /// The folder with the programs in it.
    fn programs(&self, cache: &Path) -> PathBuf {
        let folder = self.folder(cache);
        match self.tool.npm_file() {
            Some(_) => folder.join(NPM_PACKAGES).join(NPM_PROGRAMS),
            None => folder.join("bin"),
        }
    }

    /// Installs into a folder beside the final one, which is then renamed.
    fn install(&self, cache: &Path, progress: &mpsc::Sender<String>) -> Result<()> {
        let partial = cache.join(format!("unfinished-{}-{}", self.package, self.version));
        let build = cache.join(format!("building-{}-{}", self.package, self.version));
        remove(&partial)?;
        match self.tool.npm_file() {
            Some(file) => self.install_npm(&partial, file)?,
            None => self.install_crate(&partial, &build, progress)?,
        }
        fs::rename(&partial, self.folder(cache))
            .map_err(|error| format!("{} could not be put in its place: {error}.", self.package))?;
        remove(&build)
    }

    /// Compiles and installs a tool that is a crate.
    fn install_crate(
        &self,
        partial: &Path,
        build: &Path,
        progress: &mpsc::Sender<String>,
    ) -> Result<()> {
        let mut command = Command::new(env::var_os("CARGO").unwrap_or_else(|| "cargo".into()));
        command.current_dir(root()).args([
            "install",
            "--locked",
            self.package,
            "--version",
            &self.version,
        ]);
        command
            .args(self.switches)
            .arg("--root")
            .arg(partial)
            .env("CARGO_TARGET_DIR", build);
        // A tool that runs for a second needs no more than this, and full optimisation takes thrice as long.
        command.envs([
            ("CARGO_PROFILE_RELEASE_OPT_LEVEL", "1"),
            ("CARGO_PROFILE_RELEASE_LTO", "off"),
            ("CARGO_PROFILE_RELEASE_CODEGEN_UNITS", "16"),
            ("CARGO_PROFILE_RELEASE_DEBUG", "0"),
            ("CARGO_TERM_COLOR", "never"),
            ("CARGO_TERM_PROGRESS_WHEN", "never"),
        ]);
        command
            .stdin(Stdio::null())
            .stdout(Stdio::null())
            .stderr(Stdio::piped());
        let mut child = command
            .spawn()
            .map_err(|error| format!("cargo could not be started: {error}."))?;
        let mut said = Vec::new();
        if let Some(stderr) = child.stderr.take() {
            let (started, mut compiled, mut told) = (Instant::now(), 0, Instant::now());
            for line in BufReader::new(stderr)
                .lines()
                .map_while(std::result::Result::ok)
            {
                compiled += usize::from(line.trim_start().starts_with("Compiling"));
                if told.elapsed() >= Duration::from_secs(10) {
                    told = Instant::now();
                    let (crates, seconds) = (self.crates, started.elapsed().as_secs());
                    // Nobody listens any more once the set-up was given up; the install itself goes on to its end.
                    let _ = progress.send(format!(
                        "  {}: {compiled} of about {crates} crates, {seconds} s",
                        self.package
                    ));
                }
                said.push(line);
            }
        }
        let status = child
            .wait()
            .map_err(|error| format!("cargo was lost: {error}."))?;
        if status.success() {
            return Ok(());
        }
        let tail = said[said.len().saturating_sub(30)..].join("\n");
        Err(format!(
            "{tail}\n{} {} could not be installed; the lines above are cargo's.",
            self.package, self.version
        ))
    }

    /// Installs a tool that is an npm package.
    fn install_npm(&self, partial: &Path, file: &str) -> Result<()> {
        let npm = find(&["node"])
            .and(find(&["npm", "npm.cmd"]))
            .ok_or("Node and npm are not on the path")?;
        fs::create_dir_all(partial)
            .map_err(|error| format!("{} could not be made: {error}", partial.display()))?;
        let mut command = Command::new(npm);
        command.args([
            "install",
            "--no-audit",
            "--no-fund",
            "--fetch-retries=1",
            "--ignore-scripts",
            "--loglevel=error",
            "--prefix",
        ]);
        output(
            command
                .arg(partial)
                .arg(format!("{}@{}", self.package, self.version)),
        )?;
        let file = partial.join(NPM_PACKAGES).join(file);
        if file
            .parent()
            .is_some_and(|folder| folder.ends_with(NPM_PROGRAMS))
        {
            // A package may have come without what it needs on this machine.
            return output(Command::new(file).arg("--version")).map(|_| ());
        }
        if file.is_file() {
            Ok(())
        } else {
            Err(format!(
                "{} came without its {}",
                self.package,
                file.display()
            ))
        }
    }
}

/// Installs, side by side, the tools that are not there.
fn install_missing(pins: &[Pin], cache: &Path) -> Result<()> {
    fs::create_dir_all(cache)
        .map_err(|error| format!("{} could not be made: {error}.", cache.display()))?;
    // A second task started meanwhile waits here, and then finds the tools ready.
    let lock = File::create(cache.join("lock"))
        .map_err(|error| format!("The tools' lock failed: {error}."))?;
    lock.lock()
        .map_err(|error| format!("The tools' lock failed: {error}."))?;
    let missing: Vec<&Pin> = pins
        .iter()
        .filter(|pin| !pin.folder(cache).is_dir())
        .collect();
    if missing.is_empty() {
        return Ok(());
    }
    println!(
        "Setting up tools in {} (once; minutes, not seconds):",
        cache.display()
    );
    for pin in &missing {
        println!("  {} {}: {}", pin.package, pin.version, pin.purpose);
    }
    let (sender, receiver) = mpsc::channel();
    let started = Instant::now();
    let outcomes: Vec<Result<()>> = thread::scope(|scope| {
        let workers: Vec<_> = missing
            .iter()
            .map(|pin| {
                let progress = sender.clone();
                scope.spawn(move || {
                    let outcome = pin.install(cache, &progress);
                    let ended = if outcome.is_ok() {
                        "ready"
                    } else {
                        "not installed"
                    };
                    let seconds = started.elapsed().as_secs();
                    let _ = progress.send(format!("  {}: {ended} after {seconds} s", pin.package));
                    outcome
                })
            })
            .collect();
        drop(sender);
        for line in receiver {
            println!("{line}");
            // The line is for someone who waits; when the terminal is gone there is no such person.
            let _ = std::io::stdout().flush();
        }
        let lost = |_| Err("An install stopped by a fault of its own.".to_owned());
        workers
            .into_iter()
            .map(|worker| worker.join().unwrap_or_else(lost))
            .collect()
    });
    for (pin, outcome) in missing.iter().zip(outcomes) {
        match (pin.tool.npm_file(), outcome) {
            (_, Ok(())) => {}
            (Some(_), Err(sentence)) => println!(
                "{} is not used: {}. The site works without what it does.",
                pin.package,
                sentence.trim_end_matches('.')
            ),
            (None, Err(sentence)) => return Err(sentence),
        }
    }
    Ok(())
}

/// Makes sure that the project's toolchain can compile to WebAssembly.
fn wasm_target() -> Result<()> {
    let rustc = || Command::new(env::var_os("RUSTC").unwrap_or_else(|| "rustc".into()));
    let sysroot = output(rustc().current_dir(root()).args(["--print", "sysroot"]))?;
    if Path::new(sysroot.trim())
        .join("lib/rustlib")
        .join(WASM_TARGET)
        .is_dir()
    {
        return Ok(());
    }
    println!("Adding the target {WASM_TARGET}: the compiler needs it to make WebAssembly.");
    let rustup = find(&["rustup", "rustup.exe"]).ok_or_else(|| {
        format!("The target {WASM_TARGET} is missing and so is rustup, which adds it: install rustup, or the target.")
    })?;
    crate::run::run(
        Command::new(rustup)
            .current_dir(root())
            .args(["target", "add", WASM_TARGET]),
    )
}

/// The version of a package in a lockfile.
fn locked_version(lockfile: &str, package: &str) -> Result<String> {
    let name = format!("name = \"{package}\"");
    let mut lines = lockfile.lines().skip_while(|line| *line != name);
    lines
        .nth(1)
        .and_then(|line| line.strip_prefix("version = \"")?.strip_suffix('"'))
        .map(str::to_owned)
        .ok_or_else(|| {
            format!("Cargo.lock does not name {package}, whose version the tools must share.")
        })
}

/// Where tools are kept.
fn cache() -> Result<PathBuf> {
    let named = env::var_os("DECAL_RECKONER_TOOLS")
        .filter(|folder| !folder.is_empty())
        .map(PathBuf::from);
    let xdg = || {
        env::var_os("XDG_CACHE_HOME")
            .filter(|folder| !folder.is_empty())
            .map(PathBuf::from)
    };
    let home = || env::home_dir().map(|home| home.join(".cache"));
    named
        .or_else(|| {
            xdg()
                .or_else(home)
                .map(|cache| cache.join("decal-reckoner"))
        })
        .map(|folder| root().join(folder))
        .ok_or_else(|| "No folder for the tools: set DECAL_RECKONER_TOOLS to one.".into())
}

/// Removes a folder that may not be there.
fn remove(folder: &Path) -> Result<()> {
    match fs::remove_dir_all(folder) {
        Err(error) if error.kind() != std::io::ErrorKind::NotFound => Err(format!(
            "{} could not be removed: {error}.",
            folder.display()
        )),
        _ => Ok(()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const LOCKFILE: &str = "[[package]]\nname = \"wasm-bindgen\"\nversion = \"0.2.126\"\nsource = \"r\"\n\n\
                            [[package]]\nname = \"wasm-bindgen-macro\"\nversion = \"0.2.1\"\n";

    #[test]
    fn the_tool_has_the_version_of_the_lockfile() {
        assert_eq!(
            locked_version(LOCKFILE, "wasm-bindgen").as_deref(),
            Ok("0.2.126")
        );
        assert_eq!(
            locked_version(LOCKFILE, "wasm-bindgen-macro").as_deref(),
            Ok("0.2.1")
        );
    }

    #[test]
    fn a_lockfile_without_the_crate_is_an_error_that_names_it() {
        let error = locked_version(LOCKFILE, "js-sys").expect_err("js-sys is not in the lockfile");
        assert!(error.contains("js-sys"), "{error}");
    }
}
