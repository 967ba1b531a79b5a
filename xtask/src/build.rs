//! Building the static site into `dist/`.

use crate::Result;
use crate::run::{cargo, root, run};
use crate::tools::{Tool, Toolbox, ready};
use std::path::PathBuf;
use std::process::Command;

/// The folder of the built site.
pub fn dist() -> PathBuf {
    root().join("dist")
}

/// Builds the site in release profile.
///
/// # Errors
/// When the set-up or the build fails.
pub fn build() -> Result<()> {
    let tools = ready(&[Tool::Trunk, Tool::WasmBindgen, Tool::WasmOpt, Tool::Esbuild])?;
    run(trunk(&tools)?.args(["build", "--release"]))?;
    println!(
        "The site is in {}: put its files in any folder of any static host.",
        dist().display()
    );
    Ok(())
}

/// Trunk, with the tools on its path and the crates it needs at hand.
///
/// # Errors
/// When the crates cannot be fetched.
pub fn trunk(tools: &Toolbox) -> Result<Command> {
    // Trunk works without the network and tells cargo to do so too.
    run(cargo().args(["fetch", "--quiet"]))?;
    let mut command = Command::new("trunk");
    command.current_dir(root()).env("PATH", &tools.path);
    // Some terminals and CI machines set NO_COLOR to 1, which trunk 0.21 takes for a wrong value of a switch.
    command.env_remove("NO_COLOR");
    // When the compiler has said what is wrong, trunk's own stack adds nothing.
    command.env_remove("RUST_BACKTRACE");
    Ok(command)
}
