//! Prints how long the package takes in the browser to lay known instances out, and what comes of it.
//!
//! The instances, and what natively comes of them, are those of `benches/yield/`.

#[path = "../../../../benches/yield/instances.rs"]
mod instances;
#[path = "../../../../benches/yield/tally.rs"]
mod tally;

use instances::{Sheet, Strip, sheets, strips};
use serde_json::{Value, json};
use site_tests::{Browser, Host, Result, Scratch, Trouble, copy_package, root};
use std::collections::VecDeque;
use std::fs;
use std::time::{Duration, Instant};
use tally::{Tallies, hundredths, load, ms};

/// The worker that lays out.
const WORKER: &str = include_str!("yields.js");
/// The page that starts it and keeps what it says.
const PAGE: &str = r#"<!doctype html>
<html lang="en">
  <meta charset="utf-8">
  <link rel="icon" href="data:,">
  <title>Layouts</title>
  <script type="module">
    window.said = [];
    const worker = new Worker("./yields.js", { type: "module" });
    worker.onmessage = ({ data }) => window.said.push(data);
    worker.onerror = ({ message }) => window.said.push({ trouble: message ?? "The worker did not start." });
  </script>
</html>
"#;

/// After so many milliseconds the search of an order is looked at.
const SECOND: u32 = 1_000;
/// No instance takes as long.
const PATIENCE: Duration = Duration::from_mins(3);
/// How often the page is asked; seldom, since it takes time from the worker.
const LOOK: Duration = Duration::from_millis(250);

#[tokio::main(flavor = "current_thread")]
async fn main() -> Result<()> {
    let (sheets, strips) = (sheets(&root()), strips(&root()));
    let ways = [true, false];
    let order = |turn: bool| {
        let order = move |strip: &Strip| json!({ "currency": "USD", "job": strip.job(turn) });
        strips.iter().map(order)
    };
    let questions = json!({
        "sheets": sheets.iter().map(|sheet| {
            json!({ "quick": sheet.input("quick"), "thorough": sheet.input("thorough") })
        }).collect::<Vec<_>>(),
        "orders": ways.into_iter().flat_map(order).collect::<Vec<_>>(),
        "second": SECOND,
    });
    let mut worker = Worker::start(&questions).await?;
    println!(
        "\nIn the browser, by the package in a worker. Load of the machine: {}.\n",
        load()
    );
    println!("## Equal pieces on a sheet, in the browser\n");
    equal(&mut worker, &sheets).await?;
    for turn in ways {
        let way = if turn { "turned as fits" } else { "not turned" };
        println!("\n## Several sizes on a roll, {way}, in the browser\n");
        several(&mut worker, &strips).await?;
    }
    println!("\nLoad of the machine at the end: {}.", load());
    Ok(())
}

/// The worker's page in a browser, with what it has said.
struct Worker {
    browser: Browser,
    said: VecDeque<Value>,
    _host: Host,
    _site: Scratch,
}

impl Worker {
    async fn start(questions: &Value) -> Result<Self> {
        let site = Scratch::new()?;
        copy_package(&site.path().join("decal-reckoner"))?;
        for (name, text) in [
            ("index.html", PAGE),
            ("yields.js", WORKER),
            ("instances.json", &questions.to_string()),
        ] {
            fs::write(site.path().join(name), text)?;
        }
        let host = Host::start(site.path(), "/")?;
        let browser = Browser::open(390, 844).await?;
        browser.driver.goto(host.url()).await?;
        Ok(Self {
            browser,
            said: VecDeque::new(),
            _host: host,
            _site: site,
        })
    }

    /// What the worker says next.
    async fn next(&mut self) -> Result<Value> {
        let start = Instant::now();
        while self.said.is_empty() {
            if start.elapsed() > PATIENCE {
                return Err(Trouble::new(format!(
                    "The worker says nothing. Console: {:?}",
                    self.browser.console().await
                )));
            }
            tokio::time::sleep(LOOK).await;
            // Until the page's script has run there is nothing.
            let said = self.browser.value("(window.said ?? []).splice(0)").await?;
            self.said
                .extend(said.as_array().cloned().unwrap_or_default());
        }
        let said = self.said.pop_front().unwrap_or_default();
        match said.get("trouble") {
            None => Ok(said),
            Some(trouble) => Err(Trouble::new(trouble.to_string())),
        }
    }
}

/// A figure of what the worker said.
fn figure(said: &Value, name: &str) -> f64 {
    said[name].as_f64().unwrap_or(f64::NAN)
}

/// How long it took.
fn time(said: &Value) -> Duration {
    Duration::try_from_secs_f64(figure(said, "ms") / 1e3).unwrap_or(Duration::MAX)
}

/// One table of all sheets, and what it comes to.
async fn equal(worker: &mut Worker, sheets: &[Sheet]) -> Result<()> {
    println!("| | | possible | quick | ms | thorough | ms |");
    println!("| --- | --- | ---: | ---: | ---: | ---: | ---: |");
    let mut tallies = Tallies::default();
    let (mut certified, mut reached) = (0, 0);
    for sheet in sheets {
        let said = worker.next().await?;
        let quick = &said["quick"];
        let bound = figure(quick, "bound");
        let mut cells = |names: &[&str], point: &Value| {
            let count = figure(point, "count");
            for name in names {
                tallies.add(name, hundredths(bound - count, bound), time(point));
            }
            (count, format!("{count} | {}", ms(time(point))))
        };
        let family = format!("quick, {}", sheet.family);
        let (mut most, quick) = cells(&["quick", &family], quick);
        let mut thorough = " | ".to_owned();
        if said["thorough"].is_object() {
            (most, thorough) = cells(&["thorough, where quick is short"], &said["thorough"]);
        }
        if let Some(known) = sheet.most {
            certified += 1;
            reached += usize::from(most >= f64::from(known));
        }
        println!(
            "| {} | {} | {bound} | {quick} | {thorough} |",
            sheet.family, sheet.name
        );
    }
    tallies.print("short by, %");
    println!("\n{reached} of the {certified} with a certified best count reach it.");
    println!("The aim: quick under 20 ms for 95 % and 600 ms at most, thorough 30 000 ms at most.");
    Ok(())
}

/// One table of all rolls, and what it comes to.
async fn several(worker: &mut Worker, strips: &[Strip]) -> Result<()> {
    let points = [
        ("first", "first layout and one slice"),
        ("second", "a second of search"),
        ("whole", "whole search"),
    ];
    let head = points.map(|(_, name)| format!("{name} | % over | ms"));
    println!("| | pieces | best known | {} |", head.join(" | "));
    println!("| --- | ---: | ---: |{}", " ---: |".repeat(9));
    let mut tallies = Tallies::default();
    for strip in strips {
        let said = worker.next().await?;
        let best = f64::from(strip.best);
        let cells = points.map(|(point, name)| {
            let point = &said[point];
            let length = figure(point, "length");
            let over = hundredths(length - best, best);
            tallies.add(&format!("{}, {name}", strip.family), over, time(point));
            format!("{length} | {over:.1} | {}", ms(time(point)))
        });
        println!(
            "| {} | {} | {} | {} |",
            strip.name,
            strip.pieces.len(),
            strip.best,
            cells.join(" | ")
        );
    }
    tallies.print("over the best, %");
    Ok(())
}
