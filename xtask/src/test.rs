//! Everything that must hold before a change is good.

use crate::audit::{self, AXE_VARIABLE};
use crate::browser::{BROWSER_VARIABLE, DRIVER_VARIABLE, FIREFOX_VARIABLE, driver, firefox};
use crate::package::PACKAGE_VARIABLE;
use crate::run::{cargo, find, output, root, run};
use crate::steps::Steps;
use crate::tools::{Tool, Toolbox, installed, ready};
use crate::{Result, bench, build, package, walls, words};
use std::path::Path;
use std::process::Command;

const WASM: [&str; 4] = [
    "--package",
    "decal-reckoner",
    "--target",
    "wasm32-unknown-unknown",
];
const DENY: [&str; 3] = ["--", "-D", "warnings"];

/// Runs every check and test, and sums them up.
///
/// # Errors
/// When the set-up fails, or any step does.
pub fn test() -> Result<()> {
    let tools = ready(&[
        Tool::Trunk,
        Tool::WasmBindgen,
        Tool::WasmOpt,
        Tool::Esbuild,
        Tool::Axe,
        Tool::Vnu,
    ])?;
    let driver = driver()?;
    let wasm_tests: &[&str] = if root().join("tests/wasm.rs").is_file() {
        &["--test", "wasm"]
    } else {
        &[]
    };

    let mut steps = Steps::default();
    steps.step("formatting", || {
        run(cargo().args(["fmt", "--all", "--check"]))
    });
    steps.step("walls between the rooms", walls::check_sources);
    steps.step("texts in every language", words::check);
    steps.step("lints, native", || {
        run(cargo()
            .args(["clippy", "--workspace", "--all-targets"])
            .args(DENY))
    });
    steps.step("lints, WebAssembly", || {
        run(cargo()
            .arg("clippy")
            .args(WASM)
            .arg("--lib")
            .args(wasm_tests)
            .args(DENY))
    });
    steps.step("documentation", || {
        run(cargo()
            .args(["doc", "--package", "decal-reckoner", "--no-deps", "--quiet"])
            .env("RUSTDOCFLAGS", "-D warnings"))
    });
    steps.step("tests, native", || {
        run(cargo().args(["test", "--workspace", "--exclude", "site-tests"]))
    });
    steps.step("tests, native, in Spanish", || {
        // With the same packages as before, so that what they need is there already.
        run(cargo()
            .args(["test", "--workspace", "--exclude", "site-tests"])
            .args(["--features", "decal-reckoner/es", "--test", "spanish"]))
    });
    if !wasm_tests.is_empty() {
        steps.step("tests, WebAssembly in the browser", || {
            run(in_browser(&tools, &driver)
                .arg("test")
                .args(WASM)
                .args(wasm_tests))
        });
    }
    if steps.step("build of the package", package::package) {
        match node() {
            Some(node) => {
                steps.step("tests of the package in Node", || {
                    run(Command::new(node)
                        .current_dir(root())
                        .env(PACKAGE_VARIABLE, package::folder())
                        .args(["--test", "tests/package/package.test.mjs"]))
                });
            }
            None => steps.skip(
                "tests of the package in Node",
                "there is no Node 20 or later here",
            ),
        }
    }
    if steps.step("build of the site", build::build) {
        steps.step("size of the site", bench::size);
        match audit::why_not_valid()? {
            None => {
                steps.step("the site by other instruments", || {
                    audit::look(&driver, false)
                });
            }
            Some(why) => steps.skip("the site by other instruments", why),
        }
        steps.step("tests of the page in the browser", || {
            run(page_tests()?.env(DRIVER_VARIABLE, &driver))
        });
    }
    steps.sum_up()
}

/// Runs the tests of the built site in Firefox.
///
/// # Errors
/// When the set-up fails, or a test does.
pub fn test_in_firefox() -> Result<()> {
    let firefox = firefox()?;
    let tools = ready(&[Tool::Geckodriver, Tool::Axe])?;
    run(page_tests()?
        .env("PATH", &tools.path)
        .env(BROWSER_VARIABLE, "firefox")
        .env(FIREFOX_VARIABLE, firefox))
}

/// Cargo, about to run the tests of the built site, or those whose names have an argument in them that is added.
///
/// # Errors
/// When no cache folder can be named.
pub fn page_tests() -> Result<Command> {
    let mut command = cargo();
    command
        // The programs that are built along with it have no tests; one that fails is not to hide the others.
        .args(["test", "--package", "site-tests", "--no-fail-fast"])
        // Each test has a browser of its own: more of them at once than cores only makes all of them slow.
        .args(["--", "--test-threads=2"])
        .env(PACKAGE_VARIABLE, package::folder())
        .env(AXE_VARIABLE, installed(Tool::Axe)?.unwrap_or_default());
    Ok(command)
}

/// Cargo, with the wasm tests' runner and the browser's driver made known to it.
fn in_browser(tools: &Toolbox, driver: &Path) -> Command {
    let mut command = cargo();
    command
        .env("PATH", &tools.path)
        .env(DRIVER_VARIABLE, driver);
    command.env(
        "CARGO_TARGET_WASM32_UNKNOWN_UNKNOWN_RUNNER",
        "wasm-bindgen-test-runner",
    );
    command.env(
        "WASM_BINDGEN_TEST_WEBDRIVER_JSON",
        root().join("tests/browser/webdriver.json"),
    );
    command
}

/// Node, if it is here and at least version 20.
fn node() -> Option<std::path::PathBuf> {
    let node = find(&["node", "node.exe"])?;
    let version = output(Command::new(&node).arg("--version")).ok()?;
    let major: u32 = version
        .trim()
        .strip_prefix('v')?
        .split('.')
        .next()?
        .parse()
        .ok()?;
    (major >= 20).then_some(node)
}
