//! Finding the browser that the tests and measurements drive, and installing it where that can be done.

use crate::Result;
use crate::run::{find, output, run};
use std::path::PathBuf;
use std::process::Command;

/// The variable by which a test learns where the driver is.
pub const DRIVER_VARIABLE: &str = "CHROMEDRIVER";

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

/// Where the driver is, once a browser and its driver are there.
///
/// # Errors
/// When they are missing and cannot be installed from here.
pub fn driver() -> Result<PathBuf> {
    if let Some(driver) = present() {
        return Ok(driver);
    }
    if !(is_root() && find(&["apt-get"]).is_some()) {
        return Err(
            "The browser tests need Chromium and chromedriver on the path: on Debian, run \
                    `apt-get install chromium chromium-driver` as root."
                .into(),
        );
    }
    println!(
        "Installing Debian's packages chromium and chromium-driver: the browser tests are run in them."
    );
    let apt = || {
        let mut command = Command::new("apt-get");
        command.env("DEBIAN_FRONTEND", "noninteractive");
        command
    };
    run(apt().args(["update", "--quiet"]))?;
    run(apt()
        .args(["install", "--quiet", "--yes", "--no-install-recommends"])
        .args(PACKAGES))?;
    present().ok_or_else(|| {
        "Debian's packages were installed, yet no Chromium and chromedriver are on the path.".into()
    })
}

/// The driver, if both it and a browser are on the path.
fn present() -> Option<PathBuf> {
    find(&BROWSERS).and(find(&DRIVERS))
}

fn is_root() -> bool {
    output(Command::new("id").arg("-u")).is_ok_and(|id| id.trim() == "0")
}
