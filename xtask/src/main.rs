//! The project's own tasks, run as `cargo xtask VERB`.
//!
//! Each verb does the set-up that it needs, says what it installs and why, and finds it ready the next time.

mod audit;
mod bench;
mod browser;
mod build;
#[cfg(test)]
mod dependencies;
mod finish;
mod fuzz;
mod minify;
mod module;
mod package;
mod run;
mod seal;
mod serve;
mod shop;
mod steps;
mod test;
mod tools;
mod walls;
mod words;

use std::process::ExitCode;

/// A result whose error is a sentence for the person at the terminal.
type Result<T> = std::result::Result<T, String>;

const HELP: &str = "\
The tasks of Decal Reckoner. Each sets up what it needs, and is quick the second time.

  cargo xtask serve [--port N] [--address A]   serve the site here, and rebuild it on every change
  cargo xtask build                            write the static site to dist/, ready for any host and any folder
  cargo xtask test                             check the format, the lints and the walls; run every test, in the browser too
  cargo xtask test firefox                     run only the tests of the built site, in Firefox
  cargo xtask package                          write the JavaScript module, for browsers and Node, to target/pkg/
  cargo xtask audit                            look the built site over: HTML, budgets, speed, reach, what comes in and out
  cargo xtask bench [size|page|core|yield]     measure the bytes sent, the page's speed, the core's speed; or its layouts
  cargo xtask fuzz [minutes] [reader]          read what others hand in, changed at random, watching time and memory
  cargo xtask words [check]                    list the texts of the page anew, and bring the catalogues of other languages to it
  cargo xtask walls                            check only that no room of src/ names one that it must not know
  cargo xtask finish                           what trunk calls after a build: shrink it, and list its files for offline use

Tools are kept in $DECAL_RECKONER_TOOLS, or else in the folder decal-reckoner of your cache.";

fn main() -> ExitCode {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let rest = arguments.get(1..).unwrap_or_default();
    let outcome = match arguments.first().map(String::as_str) {
        Some("serve") => serve::serve(rest),
        Some("build") => no_more(rest).and_then(|()| build::build()),
        Some("test") if rest.first().is_some_and(|browser| browser == "firefox") => {
            no_more(&rest[1..]).and_then(|()| test::test_in_firefox())
        }
        Some("test") => no_more(rest).and_then(|()| test::test()),
        Some("package") => no_more(rest).and_then(|()| package::package()),
        Some("audit") => no_more(rest).and_then(|()| audit::audit()),
        Some("bench") => bench::bench(rest),
        Some("fuzz") => fuzz::fuzz(rest),
        Some("words") if rest.first().is_some_and(|word| word == "check") => {
            no_more(&rest[1..]).and_then(|()| words::check())
        }
        Some("words") => no_more(rest).and_then(|()| words::words()),
        Some("walls") => no_more(rest).and_then(|()| walls::check_sources()),
        Some("finish") => no_more(rest).and_then(|()| finish::finish_staged()),
        None | Some("help" | "--help" | "-h") => {
            println!("{HELP}");
            Ok(())
        }
        Some(other) => Err(format!("There is no task `{other}`.\n\n{HELP}")),
    };
    match outcome {
        Ok(()) => ExitCode::SUCCESS,
        Err(sentence) => {
            eprintln!("{sentence}");
            ExitCode::FAILURE
        }
    }
}

/// Refuses arguments that a verb does not know, rather than ignoring them.
fn no_more(rest: &[String]) -> Result<()> {
    match rest.first() {
        None => Ok(()),
        Some(unknown) => Err(format!(
            "This task does not know `{unknown}`; see cargo xtask --help."
        )),
    }
}
