//! The built site under other people's instruments: what it sends, its HTML, its manifest, its speed, whom it keeps out, and
//! what it lets in.

use crate::Result;
use crate::bench;
use crate::browser::{DRIVER_VARIABLE, driver};
use crate::build::build;
use crate::fuzz::fuzz;
use crate::run::{cargo, find, run};
use crate::steps::Steps;
use crate::test::page_tests;
use crate::tools::{Tool, installed, ready};
use std::path::Path;

/// The variable by which a test learns where the rules of axe are.
pub const AXE_VARIABLE: &str = "DECAL_RECKONER_AXE";
/// The same for the programs that `tests/browser/src/bin/audit.rs` starts.
const VNU_VARIABLE: &str = "DECAL_RECKONER_VNU";
const LIGHTHOUSE_VARIABLE: &str = "DECAL_RECKONER_LIGHTHOUSE";

/// Builds the site and looks it over; prints what was found, and a table at the end.
///
/// # Errors
/// When the set-up or the build fails, or something is found.
pub fn audit() -> Result<()> {
    ready(&[Tool::Axe, Tool::Vnu, Tool::Lighthouse])?;
    let driver = driver()?;
    build()?;
    let mut steps = Steps::default();
    steps.step("what is sent keeps to its budgets", bench::size);
    match why_not_valid()? {
        None => {
            steps.step("HTML, styles, manifest, Lighthouse", || look(&driver, true));
        }
        Some(why) => steps.skip("HTML, styles, manifest, Lighthouse", why),
    }
    for (step, tests) in [
        ("within everyone's reach", &["reach::"][..]),
        (
            "nothing leaves, nothing foreign comes in",
            &["security::", "page::", "shop_hostile::"][..],
        ),
    ] {
        steps.step(step, || {
            run(page_tests()?.args(tests).env(DRIVER_VARIABLE, &driver))
        });
    }
    steps.step("readers fed with nonsense, a minute each", || {
        fuzz(&["1".to_owned()])
    });
    steps.sum_up()
}

/// Why the HTML cannot be checked here, if it cannot.
///
/// # Errors
/// When no cache folder can be named.
pub fn why_not_valid() -> Result<Option<&'static str>> {
    Ok(if find(&["java", "java.exe"]).is_none() {
        Some("there is no Java here, which the HTML checker needs")
    } else if installed(Tool::Vnu)?.is_none() {
        Some("the HTML checker could not be had from npm")
    } else {
        None
    })
}

/// Looks at the built site through the HTML checker and the browser, with `speed` through Lighthouse too.
///
/// # Errors
/// When something is found, or an instrument fails.
pub fn look(driver: &Path, speed: bool) -> Result<()> {
    let mut command = cargo();
    command.args([
        "run",
        "--quiet",
        "--package",
        "site-tests",
        "--bin",
        "audit",
    ]);
    if speed {
        let browser = find(&crate::browser::BROWSERS).unwrap_or_default();
        let lighthouse =
            installed(Tool::Lighthouse)?.ok_or("Lighthouse could not be had from npm.")?;
        command.args(["--", "speed"]).env("CHROME_PATH", browser);
        command.env(LIGHTHOUSE_VARIABLE, lighthouse);
    }
    run(command
        .env(VNU_VARIABLE, installed(Tool::Vnu)?.unwrap_or_default())
        .env(DRIVER_VARIABLE, driver))
}
