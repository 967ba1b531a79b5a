//! What the pages let in and what they let out: a whole visit with the network watched, files that are not those of the
//! build, and scripts that come as text.

use crate::card::card;
use serde_json::{Value, json};
use site_tests::{Browser, Host, Result, Scratch, built, copy, skipped_in_firefox};
use std::fs;
use std::path::Path;

/// A visitor who comes by every part of the maker's page, opens what is closed, a drawing, and what is made of it.
const LOOK_AT_ALL: &str = "(async () => {
    const drawn = () => new Promise((done) => requestAnimationFrame(() => setTimeout(done, 50)));
    for (const details of document.querySelectorAll('details')) details.open = true;
    for (const section of document.querySelectorAll('section')) { section.scrollIntoView(); await drawn(); }
    return true; })()";

/// What pages and workers of this origin asked for, by the browser's own log of everything that it asked anybody for. What it
/// asks its makers for by itself has no origin in it.
fn asked(log: &Path, origin: &str) -> Result<Vec<String>> {
    let log: Value = serde_json::from_str(&fs::read_to_string(log)?)?;
    let start = &log["constants"]["logEventTypes"]["URL_REQUEST_START_JOB"];
    let events = log["events"].as_array().into_iter().flatten();
    let own =
        events.filter(|event| event["type"] == *start && event["params"]["initiator"] == origin);
    let addresses = own.filter_map(|event| event["params"]["url"].as_str());
    Ok(addresses.map(str::to_owned).collect())
}

#[tokio::test]
async fn a_whole_visit_asks_for_nothing_but_the_files_of_the_site() -> Result<()> {
    if skipped_in_firefox("it keeps no log of all that it asks for") {
        return Ok(());
    }
    let (site, notes) = (Scratch::new()?, Scratch::new()?);
    let log = notes.path().join("asked.json");
    copy(&built()?, site.path())?;
    fs::write(site.path().join("rate-card.json"), card().to_string())?;
    let host = Host::start(site.path(), "/of/somebody/")?;
    let browser = Browser::open_with(390, 844, &[format!("log-net-log={}", log.display())]).await?;
    browser.visit(&host.url()).await?;
    browser.click("[data-act=try-drawing]").await?;
    browser.value(LOOK_AT_ALL).await?;
    browser.wait_until_planned().await?;
    browser.wait_until_kept().await?;
    browser.wait_until_parts_are_kept().await?;
    browser.click("[data-copy-out]").await?;
    browser
        .wait_for("document.querySelectorAll('[data-publish]:not(:disabled)').length > 1")
        .await?;
    browser.reload().await?;
    browser.value(LOOK_AT_ALL).await?;
    for page in ["shop.html", "papers.html"] {
        browser.driver.goto(format!("{}{page}", host.url())).await?;
        browser
            .wait_for("document.querySelector('main:not([hidden]), #problem:not([hidden])')")
            .await?;
        browser.value(LOOK_AT_ALL).await?;
    }
    let own = host.asked();
    let is_there = |path: &&String| {
        let inside = path.trim_start_matches("/of/somebody/");
        let file = inside.split(['?', '#']).next().unwrap_or_default();
        path.starts_with("/of/somebody/") && site.path().join(file).exists()
    };
    let strange: Vec<&String> = own.iter().filter(|path| !is_there(path)).collect();
    assert!(strange.is_empty(), "asked of its own host: {strange:?}");
    for part in [
        "desk_bg.wasm",
        "light-table_bg.wasm",
        "counter_bg.wasm",
        "copy-out.js",
    ] {
        assert!(
            own.iter().any(|path| path.contains(part)),
            "{part}: {own:?}"
        );
    }
    // The watch is awake: what a page does ask of another host stands in the log.
    let foreign = "http://heron-lake.invalid/";
    let leave = format!("(location.href = '{foreign}', true)");
    browser.value(&leave).await?;
    browser
        .wait_for("document.URL.startsWith('chrome')")
        .await?;
    drop(browser);
    let asked = asked(&log, &host.origin())?;
    assert!(
        asked.iter().any(|address| address.contains("desk_bg.wasm")),
        "{asked:?}"
    );
    let away = asked
        .iter()
        .filter(|address| !address.starts_with(&host.url()));
    assert_eq!(away.collect::<Vec<_>>(), [foreign]);
    Ok(())
}

#[tokio::test]
async fn a_file_that_is_not_of_the_build_is_refused() -> Result<()> {
    for (file, change, is_told) in [
        ("books.js", "globalThis.strange = true;", true),
        ("decal-reckoner.js", "globalThis.strange = true;", true),
        ("decal-reckoner_bg.wasm", "", true),
        ("boot.js", "globalThis.strange = true;", false),
        ("page.css", "body { opacity: 0.5 }", false),
    ] {
        let site = Scratch::new()?;
        copy(&built()?, site.path())?;
        let path = site.path().join(file);
        let mut bytes = fs::read(&path)?;
        bytes.extend(change.as_bytes());
        if change.is_empty() {
            // Another module, which would run: a section of its own at the end, without anything in it.
            bytes.extend([0, 2, 1, b'a']);
        }
        fs::write(&path, bytes)?;
        let host = Host::start(site.path(), "/")?;
        let browser = Browser::open(390, 844).await?;
        browser.driver.goto(host.url()).await?;
        browser
            .wait_for("document.readyState === 'complete'")
            .await?;
        if is_told {
            browser
                .wait_for_text("#fault", "could not be loaded")
                .await?;
        } else if file == "boot.js" {
            browser
                .wait_for("document.getElementById('slow').offsetHeight > 20")
                .await?;
        }
        let seen = "[globalThis.strange ?? false, getComputedStyle(document.body).opacity]";
        assert_eq!(browser.value(seen).await?, json!([false, "1"]), "{file}");
        let refused = browser.console().await?;
        assert!(
            refused
                .iter()
                .any(|said| said.contains("integrity") && said.contains(file)),
            "{file}: {refused:?}"
        );
    }
    Ok(())
}

#[tokio::test]
async fn no_text_becomes_a_script_or_a_part_of_the_page() -> Result<()> {
    let site = Scratch::new()?;
    copy(&built()?, site.path())?;
    fs::write(site.path().join("rate-card.json"), card().to_string())?;
    let host = Host::start(site.path(), "/")?;
    let browser = Browser::open(390, 844).await?;
    for page in ["", "shop.html", "papers.html"] {
        browser.driver.goto(format!("{}{page}", host.url())).await?;
        browser
            .wait_for("document.documentElement.dataset.started === '' || document.querySelector('main[id]:not([hidden]), #problem:not([hidden])')")
            .await?;
        for act in [
            "document.createElement('p').innerHTML = '<b>'",
            "document.body.insertAdjacentHTML('beforeend', '<b>')",
            "document.createElement('iframe').srcdoc = '<b>'",
            "new DOMParser().parseFromString('<b>', 'text/html')",
            "document.createElement('script').textContent = 'globalThis.strange = true'",
            "document.createElement('script').src = 'https://heron-lake.example/a.js'",
            "new Worker('https://heron-lake.example/a.js')",
        ] {
            let tried = format!(
                "(() => {{ try {{ {act}; return 'done'; }} catch (error) {{ return error.name; }} }})()"
            );
            let outcome = browser.value(&tried).await?;
            assert_eq!(outcome, "TypeError", "{page}: {act}");
        }
    }
    Ok(())
}
