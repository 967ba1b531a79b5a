//! Looks at the built site through other people's instruments, and prints a table of what they found: the Nu HTML checker,
//! the browser's own reading of the manifest, and with `speed` Lighthouse under its mobile throttling.
//!
//! Whatever they find fails the audit, but for what is listed in [`KNOWN`] with its reason, and for the points of speed,
//! which depend on the machine and are only told.

#[path = "../../../rate_cards/card.rs"]
mod card;

use card::card;
use serde_json::{Value, json};
use site_tests::{Browser, Host, Result, Scratch, Trouble, built, copy};
use std::process::Command;
use std::{env, fs};

/// The pages, each with what a visitor takes it for.
const PAGES: [(&str, &str); 4] = [
    ("index.html", "the maker's page"),
    ("es/index.html", "the maker's page in Spanish"),
    ("shop.html", "the customers' page"),
    ("papers.html", "the papers"),
];

/// What the checker says and is not followed: how it begins, and why.
const KNOWN: [(&str, &str); 6] = [
    (
        "The “list” role is unnecessary",
        "one screen reader takes a list without marks for no list unless it is called one",
    ),
    (
        "Inline style violates Content Security Policy",
        "the policy names its hash, which the checker does not reckon; the page tests show that it counts",
    ),
    (
        "Inline script violates Content Security Policy",
        "the policy names its hash, which the checker does not reckon; the page tests show that it runs",
    ),
    (
        "CSS: “container-type”",
        "a property of CSS Containment 3, which the checker's list of properties lacks",
    ),
    ("CSS: Unrecognized at-rule “@container”", "the same"),
    (
        "CSS: “vector-effect”",
        "a property of SVG 2, which the checker's list of properties lacks",
    ),
];

/// How Chromium is started by Lighthouse: without what it would ask of its makers.
const QUIET: &str = "--chrome-flags=--headless=new --no-sandbox --disable-gpu --disable-quic --no-first-run \
                     --disable-background-networking --disable-component-update --disable-sync";

/// What was found at one place by one instrument.
struct Finding {
    instrument: &'static str,
    place: String,
    found: String,
    good: bool,
}

#[tokio::main(flavor = "current_thread")]
async fn main() -> Result<()> {
    let speed = env::args().any(|word| word == "speed");
    let mut findings = checked()?;
    findings.push(manifest().await?);
    if speed {
        for (page, place) in PAGES {
            findings.extend(measured(page, place)?);
        }
    }
    let width = findings
        .iter()
        .map(|finding| finding.place.chars().count())
        .max();
    let width = width.unwrap_or_default();
    println!();
    for finding in &findings {
        println!(
            "{:4}  {:<12} {:<width$}  {}",
            if finding.good { "good" } else { "BAD" },
            finding.instrument,
            finding.place,
            finding.found
        );
    }
    for (begin, why) in KNOWN {
        println!("      not followed: {begin}: {why}");
    }
    if findings.iter().all(|finding| finding.good) {
        Ok(())
    } else {
        Err(Trouble::new("The instruments found what is to be mended."))
    }
}

/// What the variable names, which `cargo xtask audit` sets.
fn named(variable: &str) -> Result<String> {
    env::var(variable)
        .map_err(|_| Trouble::new(format!("{variable} is not set: run `cargo xtask audit`.")))
}

/// The Nu HTML checker on every page, style sheet and drawing of the site.
fn checked() -> Result<Vec<Finding>> {
    // Pages by their addresses, for what a policy calls the page's own has none in a folder; drawings as files, for by their
    // addresses they are taken for pages.
    let site = built()?;
    let host = Host::start(&site, "/")?;
    let mut files: Vec<String> = PAGES.iter().map(|(page, _)| (*page).to_owned()).collect();
    files.extend(["page.css", "icons/icon.svg", "icons/maskable.svg"].map(str::to_owned));
    let address = |file: &String| {
        if file.starts_with("icons/") {
            site.join(file).display().to_string()
        } else {
            format!("{}{file}", host.url())
        }
    };
    let output = Command::new("java")
        // It is on its guard against pages of the machine that it runs on.
        .arg("-Dnu.validator.servlet.allow-forbidden-hosts=true")
        .arg("-jar")
        .arg(named("DECAL_RECKONER_VNU")?)
        .args(["--format", "json", "--also-check-css", "--also-check-svg"])
        .args(["--stdout", "--exit-zero-always"])
        .args(files.iter().map(address))
        .output()?;
    let said: Value = serde_json::from_slice(&output.stdout)?;
    let said = said["messages"]
        .as_array()
        .ok_or_else(|| Trouble::new("The HTML checker says nothing that can be read."))?;
    let text = |message: &Value, name: &str| message[name].as_str().unwrap_or_default().to_owned();
    let findings = files.into_iter().map(|file| {
        let of_file = said.iter().filter(|message| {
            let known = |(begin, _): &(&str, &str)| text(message, "message").starts_with(begin);
            text(message, "url").ends_with(&address(&file)) && !KNOWN.iter().any(known)
        });
        let told: Vec<String> = of_file
            .map(|message| {
                format!(
                    "line {}: {} {}",
                    message["lastLine"],
                    text(message, "message"),
                    text(message, "extract").replace('\n', " ")
                )
            })
            .collect();
        Finding {
            instrument: "Nu checker",
            place: file,
            good: told.is_empty(),
            found: if told.is_empty() {
                "nothing".into()
            } else {
                told.join("; ")
            },
        }
    });
    Ok(findings.collect())
}

/// What the browser has to say of the manifest, and whether its pictures are what it says of them.
async fn manifest() -> Result<Finding> {
    let host = Host::start(&built()?, "/")?;
    let browser = Browser::open(390, 844).await?;
    browser.visit(&host.url()).await?;
    browser.wait_until_kept().await?;
    let mut told = Vec::new();
    let cdp = browser.driver.cdp();
    let manifest = cdp.send_raw("Page.getAppManifest", json!({})).await?;
    for error in manifest["errors"].as_array().into_iter().flatten() {
        told.push(error["message"].to_string());
    }
    let barred = cdp
        .send_raw("Page.getInstallabilityErrors", json!({}))
        .await?;
    for error in barred["installabilityErrors"]
        .as_array()
        .into_iter()
        .flatten()
    {
        // A profile that is thrown away is taken for a private window, in which nothing is installed.
        if error["errorId"] != "in-incognito" {
            told.push(format!("it cannot be installed: {}", error["errorId"]));
        }
    }
    let sizes = "fetch('manifest.webmanifest').then((it) => it.json()).then(({ icons }) => Promise.all(icons.map(
         ({ src, sizes }) => new Promise((done) => { const picture = new Image(); picture.src = src;
           picture.onerror = () => done(`${src} is no picture`);
           picture.onload = () => done(sizes === 'any' || sizes === `${picture.naturalWidth}x${picture.naturalHeight}`
             ? '' : `${src} is not ${sizes}`); })))).then((all) => all.filter(Boolean))";
    let wrong = browser.value(sizes).await?;
    told.extend(serde_json::from_value::<Vec<String>>(wrong)?);
    Ok(Finding {
        instrument: "Chromium",
        place: "manifest.webmanifest".into(),
        good: told.is_empty(),
        found: if told.is_empty() {
            "no error, can be installed, pictures as it says".into()
        } else {
            told.join("; ")
        },
    })
}

/// Lighthouse on a page, with a rate card beside the one that shows it.
fn measured(page: &str, place: &str) -> Result<Vec<Finding>> {
    let site = Scratch::new()?;
    copy(&built()?, site.path())?;
    fs::write(site.path().join("rate-card.json"), card().to_string())?;
    let host = Host::start(site.path(), "/")?;
    host.compress();
    let told = site.path().join("lighthouse.json");
    let output = Command::new(named("DECAL_RECKONER_LIGHTHOUSE")?)
        .arg(format!("{}{page}", host.url()))
        .args(["--quiet", "--output=json", QUIET])
        .arg(format!("--output-path={}", told.display()))
        .output()?;
    if !output.status.success() {
        return Err(Trouble::new(format!(
            "Lighthouse did not look at {page}: {}",
            String::from_utf8_lossy(&output.stderr)
        )));
    }
    let told: Value = serde_json::from_str(&fs::read_to_string(told)?)?;
    let categories = told["categories"].as_object().into_iter().flatten();
    let findings = categories.map(|(id, category)| {
        let points = category["score"].as_f64().unwrap_or_default() * 100.0;
        let lost = category["auditRefs"].as_array().into_iter().flatten();
        let lost: Vec<String> = lost
            .filter(|audit| audit["weight"].as_f64() > Some(0.0))
            .filter_map(|audit| told["audits"].get(audit["id"].as_str()?))
            .filter(|audit| audit["score"].as_f64().is_some_and(|score| score < 1.0))
            .map(|audit| {
                let shown = audit["displayValue"].as_str().unwrap_or_default();
                let title = audit["title"].as_str().unwrap_or_default();
                format!("{title} {shown}").trim_end().to_owned()
            })
            .collect();
        let lost = if lost.is_empty() {
            String::new()
        } else {
            format!(" ({})", lost.join(", "))
        };
        Finding {
            instrument: "Lighthouse",
            place: format!("{place}, {id}"),
            found: format!("{points:.0}{lost}"),
            // Nobody is to find papers by a search, and their policy lets Lighthouse fetch nothing.
            good: id == "performance" || page == "papers.html" && id == "seo" || points >= 99.5,
        }
    });
    Ok(findings.collect())
}
