//! Finding the browser that the tests and measurements drive, and installing it where that can be done.

use crate::Result;
use crate::run::{find, output, run};
use std::path::PathBuf;
use std::process::Command;

/// The variable by which a test learns where the driver is.
pub const DRIVER_VARIABLE: &str = "CHROMEDRIVER";

/// The variable by which a test learns which browser to run in, if it is not Chromium.
pub const BROWSER_VARIABLE: &str = "PAGE_BROWSER";
/// The variable by which a test learns where Firefox is.
pub const FIREFOX_VARIABLE: &str = "FIREFOX";

/// How Chromium is called where it is installed.
pub const BROWSERS: [&str; 5] = [
    "chromium",
    "chromium-browser",
    "google-chrome",
    "google-chrome-stable",
    "chrome",
];
const DRIVERS: [&str; 2] = ["chromedriver", "chromium.chromedriver"];
const PACKAGES: [&str; 2] = ["chromium", "chromium-driver"];
const FIREFOXES: [&str; 2] = ["firefox-esr", "firefox"];

/// Where the driver is, once a browser and its driver are there.
///
/// # Errors
/// When they are missing and cannot be installed from here.
pub fn driver() -> Result<PathBuf> {
    if let Some(driver) = present() {
        return Ok(driver);
    }
    install(
        &PACKAGES,
        "The browser tests need Chromium and chromedriver on the path",
    )?;
    present().ok_or_else(|| {
        "Debian's packages were installed, yet no Chromium and chromedriver are on the path.".into()
    })
}

/// Where Firefox is.
///
/// # Errors
/// When it is missing and cannot be installed from here.
pub fn firefox() -> Result<PathBuf> {
    if let Some(firefox) = find(&FIREFOXES) {
        return Ok(firefox);
    }
    install(
        &FIREFOXES[..1],
        "The browser tests in Firefox need it on the path",
    )?;
    find(&FIREFOXES)
        .ok_or_else(|| "Debian's package was installed, yet no Firefox is on the path.".into())
}

/// Installs Debian's packages, or says what to install.
fn install(packages: &[&str], need: &str) -> Result<()> {
    let names = packages.join(" ");
    if !(is_root() && find(&["apt-get"]).is_some()) {
        return Err(format!(
            "{need}: on Debian, run `apt-get install {names}` as root."
        ));
    }
    println!("Installing from Debian: {names}. The browser tests are run in them.");
    let apt = || {
        let mut command = Command::new("apt-get");
        command.env("DEBIAN_FRONTEND", "noninteractive");
        command
    };
    run(apt().args(["update", "--quiet"]))?;
    run(apt()
        .args(["install", "--quiet", "--yes", "--no-install-recommends"])
        .args(packages))
}

/// The driver, if both it and a browser are on the path.
fn present() -> Option<PathBuf> {
    find(&BROWSERS).and(find(&DRIVERS))
}

fn is_root() -> bool {
    output(Command::new("id").arg("-u")).is_ok_and(|id| id.trim() == "0")
}
