//! What the page is made of, when it comes in part, is refused by the browser, or has too little memory: what was there
//! stays whole, and a plain sentence says what is amiss.

use serde_json::json;
use site_tests::{Browser, Build, Host, PARTS, Result, Scratch, Spoiled, Trouble, built};
use std::fs;
use thirtyfour::By;

/// A page of whose build no service worker keeps anything.
const NO_WORKER: &str =
    "navigator.serviceWorker.register = () => Promise.reject(new Error('not here'));";

/// Asks for the new build, and tells how that ended.
const UPDATE: &str = "navigator.serviceWorker.getRegistration().then(async (registration) => {
    const worker = (await registration.update()).installing;
    const settled = () => worker.state === 'redundant' || worker.state === 'installed';
    await new Promise((done) => worker.addEventListener('statechange', () => settled() && done()));
    return worker.state; })";

/// Opens a drawing of this text.
async fn open(browser: &Browser, name: &str, text: &str) -> Result<()> {
    let folder = Scratch::new()?;
    let file = folder.path().join(name);
    fs::write(&file, text)?;
    let before = browser.typed("drawing.id").await?;
    let input = browser.driver.find(By::Id("artwork-file")).await?;
    input.send_keys(file.display().to_string()).await?;
    // The file must stand until it is read.
    browser
        .wait_for(&format!(
            "document.querySelector('[name=\"drawing.id\"]').value !== {}",
            json!(before)
        ))
        .await
        .map(drop)
}

#[tokio::test]
async fn a_new_build_that_comes_in_part_leaves_the_old_one_whole() -> Result<()> {
    let other = Build::with(|build| {
        build.edit("index.html", |page| {
            page.replace("<title>", "<title>Other build: ")
        })
    })?;
    let mut host = Host::start(&built()?, "/")?;
    let browser = Browser::open(390, 844).await?;
    browser.visit(&host.url()).await?;
    browser.wait_until_kept().await?;
    browser.wait_until_parts_are_kept().await?;
    browser.paste("book.wage", "21.50").await?;
    let build = "document.documentElement.dataset.build";
    let old = browser.value(build).await?;
    assert_ne!(old, json!(other.version()?));
    host.swap(other.folder());
    let spoiled: [&[(&str, Spoiled)]; 3] = [
        &[],
        &[("decal-reckoner_bg.wasm", Spoiled::Cut)],
        &[("page.css", Spoiled::Refused)],
    ];
    for files in spoiled {
        host.spoil(files);
        if files.is_empty() {
            // The network goes away while the files come: the worker's own script and four of them have come.
            host.answer_only(5);
        }
        assert_eq!(
            browser.value(UPDATE).await?,
            json!("redundant"),
            "{}",
            files.len()
        );
        host.answer_only(usize::MAX);
        assert!(!browser.is_shown("#update").await?);
        let caches = "caches.keys().then((names) => names.length)";
        assert_eq!(browser.value(caches).await?, json!(1));
    }
    // It goes on as before, with a network and without one, and with what it asks for later.
    host.stop()?;
    browser.reload().await?;
    assert_eq!(browser.value(build).await?, old);
    assert_eq!(browser.typed("book.wage").await?, "21.50");
    browser.paste("quote.pieces", "3").await?;
    browser.wait_until_planned().await?;
    browser.wait_for_text("#order", "Lake white").await?;
    assert!(!browser.is_shown("#fault").await?);

    // The next try has all of it.
    host.start_again()?;
    host.spoil(&[]);
    browser.reload().await?;
    browser.wait_until_shown("#update").await?;
    assert_eq!(browser.value(build).await?, old);
    browser.click("#update [data-act=use-update]").await?;
    browser
        .wait_for("document.title.startsWith('Other build: ') && 'started' in document.documentElement.dataset")
        .await?;
    assert_eq!(browser.value(build).await?, json!(other.version()?));
    assert_eq!(browser.typed("book.wage").await?, "21.50");
    assert_eq!(browser.typed("quote.pieces").await?, "3");
    Ok(())
}

#[tokio::test]
async fn a_first_visit_that_comes_in_part_says_so_and_the_next_one_is_whole() -> Result<()> {
    let host = Host::start(&built()?, "/")?;
    let browser = Browser::open(390, 844).await?;
    browser.prepare_pages(NO_WORKER).await?;
    for file in [
        ("decal-reckoner_bg.wasm", Spoiled::Cut),
        ("decal-reckoner.js", Spoiled::Cut),
        ("books.js", Spoiled::Refused),
    ] {
        host.spoil(&[file]);
        // What came whole before is not asked for again.
        browser.forget_answers().await?;
        browser.driver.goto(host.url()).await?;
        browser
            .wait_for_text("#fault [data-slot=message]", "could not be loaded")
            .await?;
        assert!(browser.is_shown("#fault").await?, "{}", file.0);
        host.spoil(&[]);
        browser.reload().await?;
        assert!(!browser.is_shown("#fault").await?, "{}", file.0);
        browser
            .wait_for_text("#answers [href='#price']", "$")
            .await?;
    }
    // The parts, too, each where it is missed.
    host.spoil(&[
        ("desk_bg.wasm", Spoiled::Cut),
        ("light-table.js", Spoiled::Cut),
        ("counter.js", Spoiled::Refused),
    ]);
    browser.paste("quote.pieces", "3").await?;
    for section in ["#order", "#card"] {
        browser.look_at(section).await?;
        browser
            .wait_for_text(section, "could not be loaded on this device")
            .await?;
    }
    browser.look_at("#artwork").await?;
    browser.click("[data-act=try-drawing]").await?;
    browser
        .wait_for_text("#artwork", "could not be loaded on this device")
        .await?;
    assert!(!browser.is_shown("#fault").await?);
    assert_eq!(browser.typed("quote.pieces").await?, "3");
    host.spoil(&[]);
    browser.value("dispatchEvent(new Event('online'))").await?;
    browser.click("[data-act=try-drawing]").await?;
    all_parts_work(&browser).await
}

/// Waits until each part has answered, and none is said to be missing.
async fn all_parts_work(browser: &Browser) -> Result<()> {
    browser.look_at("#card").await?;
    browser
        .wait_for("document.getElementById('card-text').value")
        .await?;
    browser.wait_until_planned().await?;
    browser.wait_for_text("#order", "Lake white").await?;
    browser.look_at("#artwork").await?;
    browser.wait_until_shown("#artwork .answer").await?;
    browser
        .wait_for("!document.querySelector('[data-missing]')")
        .await?;
    assert!(!browser.is_shown("#fault").await?);
    Ok(())
}

#[tokio::test]
async fn modules_by_a_wrong_kind_are_taken_and_refused_ones_are_told_of() -> Result<()> {
    let host = Host::start(&built()?, "/")?;
    let browser = Browser::open(390, 844).await?;
    let refuse = "const how = new URLSearchParams(location.search).get('how'), no = () => Promise.reject(new WebAssembly.CompileError('no'));
        if (how === 'none') delete globalThis.WebAssembly;
        if (how === 'compile') for (const name of ['compile', 'compileStreaming', 'instantiate', 'instantiateStreaming']) WebAssembly[name] = no;";
    browser
        .prepare_pages(&format!("{NO_WORKER}{refuse}"))
        .await?;
    for (page, place, words) in [
        (
            "?how=compile",
            "#fault",
            "could not be loaded, so nothing on this page can be reckoned yet",
        ),
        (
            "shop.html?language=en&how=compile",
            "#problem",
            "The page stopped by a fault of its own. Reload it",
        ),
        (
            "shop.html?language=en&how=none",
            "#problem",
            "This page reckons with WebAssembly",
        ),
    ] {
        browser.driver.goto(format!("{}{page}", host.url())).await?;
        browser.wait_for_text(place, words).await?;
        assert!(browser.is_shown(place).await?, "{page}");
    }
    // What is typed is not lost by it.
    let modules =
        ["decal-reckoner", "desk", "light-table", "counter"].map(|name| format!("{name}_bg.wasm"));
    let misnamed: Vec<(&str, Spoiled)> = modules
        .iter()
        .map(|name| (&**name, Spoiled::Misnamed))
        .collect();
    host.spoil(&misnamed);
    browser.visit(&host.url()).await?;
    browser.click("[data-act=try-drawing]").await?;
    all_parts_work(&browser).await
}

#[tokio::test]
async fn a_part_whose_module_is_refused_says_so_in_its_section() -> Result<()> {
    let refuse = "WebAssembly.compile = WebAssembly.compileStreaming = () => Promise.reject(new WebAssembly.CompileError('refused'));\n";
    let build = Build::with(|build| {
        for part in PARTS {
            build.edit(&format!("{part}.js"), |script| format!("{refuse}{script}"))?;
        }
        Ok(())
    })?;
    let host = Host::start(build.folder(), "/")?;
    let browser = Browser::open(390, 844).await?;
    browser.prepare_pages(NO_WORKER).await?;
    browser.visit(&host.url()).await?;
    browser.paste("quote.pieces", "3").await?;
    browser.click("[data-act=try-drawing]").await?;
    for section in ["#artwork", "#order", "#card"] {
        browser.look_at(section).await?;
        browser
            .wait_for_text(section, "could not be loaded on this device")
            .await?;
    }
    // What needs none of them goes on.
    assert!(!browser.is_shown("#fault").await?);
    let before = browser.text("#answers [href='#price'] b").await?;
    browser.paste("book.wage", "90").await?;
    browser
        .wait_for(&format!(
            "document.querySelector('#answers [href=\"#price\"] b').textContent !== {}",
            json!(before)
        ))
        .await?;
    Ok(())
}

/// A module that gets so many pages of memory more than it begins with, and no others: its memory section with a limit.
fn with_little_memory(module: &[u8], more: usize) -> Result<Vec<u8>> {
    fn number(bytes: &[u8], at: &mut usize) -> Option<usize> {
        let (mut value, mut shift) = (0, 0);
        loop {
            let byte = usize::from(*bytes.get(*at)?);
            *at += 1;
            value |= (byte & 127) << shift;
            shift += 7;
            if byte < 128 {
                return Some(value);
            }
        }
    }
    fn written(mut value: usize) -> Vec<u8> {
        let mut bytes = Vec::new();
        loop {
            let more = value > 127;
            let low = u8::try_from(value & 127).unwrap_or_default();
            bytes.push(low | if more { 128 } else { 0 });
            value >>= 7;
            if !more {
                return bytes;
            }
        }
    }
    let odd = || Trouble::new("The module has no memory section as it should.");
    let mut at = 8;
    while at < module.len() {
        let start = at;
        at += 1;
        let length = number(module, &mut at).ok_or_else(odd)?;
        let end = at + length;
        if module[start] == 5 {
            let mut inside = at + 2;
            let least = number(module, &mut inside).ok_or_else(odd)?;
            let limits = [vec![1, 1], written(least), written(least + more)].concat();
            let section = [vec![5], written(limits.len()), limits].concat();
            return Ok([&module[..start], &section, &module[end..]].concat());
        }
        at = end;
    }
    Err(odd())
}

/// Two bars that overlap.
const BARS: &str = r#"<svg xmlns="http://www.w3.org/2000/svg" width="120mm" height="40mm" viewBox="0 0 120 40">
    <path d="M10 10h60v20h-60z"/><path d="M50 10h60v20h-60z"/></svg>"#;

#[tokio::test]
async fn a_drawing_that_takes_more_memory_than_there_is_leaves_all_else_as_it_was() -> Result<()> {
    let build = Build::with(|build| {
        for (part, pages) in [("light-table", 100), ("desk", 0)] {
            let module = build.folder().join(format!("{part}_bg.wasm"));
            fs::write(&module, with_little_memory(&fs::read(&module)?, pages)?)?;
        }
        Ok(())
    })?;
    let host = Host::start(build.folder(), "/")?;
    let browser = Browser::open(390, 844).await?;
    let count = "globalThis.started = []; globalThis.Worker = class extends Worker {
        constructor(script, options) { super(script, options); started.push(script); } };";
    browser
        .prepare_pages(&format!("{NO_WORKER}{count}"))
        .await?;
    browser.visit(&host.url()).await?;
    browser.paste("book.wage", "21.50").await?;
    browser.paste("quote.pieces", "3").await?;
    // More than the memory has, and less than what is refused for its length.
    let large = format!("{BARS}<!--{}-->", "x".repeat(7_500_000));
    let stopped = "The reckoning of this part stopped";
    open(&browser, "large.svg", &large).await?;
    browser.wait_for_text("#artwork", stopped).await?;
    browser
        .wait_for_text("[id='artwork.svg-error']", "more memory than there is")
        .await?;
    assert!(!browser.is_shown("#artwork-progress").await?);
    assert!(!browser.is_shown("#fault").await?);
    let workers = "started.filter((script) => script.includes('light-table')).length";
    let before = browser.value(workers).await?;
    // The next drawing is read, by another worker.
    open(&browser, "bars.svg", BARS).await?;
    browser.wait_until_shown("#artwork .answer").await?;
    assert_ne!(browser.value(workers).await?, before);
    browser
        .wait_for("!document.querySelector('[data-missing=light-table]')")
        .await?;
    // And stays in hand when one that is too large comes after it.
    open(&browser, "large.svg", &large).await?;
    browser
        .wait_for_text(
            "#artwork-said",
            "large.svg was not taken. The reading stopped",
        )
        .await?;
    browser.wait_for_text("#artwork-held", "bars.svg").await?;
    browser.wait_until_shown("#artwork .answer").await?;
    browser.reload().await?;
    browser.look_at("#artwork").await?;
    browser.wait_for_text("#artwork-held", "bars.svg").await?;
    browser.wait_until_shown("#artwork .answer").await?;
    assert_eq!(browser.typed("book.wage").await?, "21.50");
    assert_eq!(browser.typed("quote.pieces").await?, "3");

    // The desk has no memory at all: its sections say so, and what the page reckons itself stands.
    browser.look_at("#order").await?;
    browser.wait_for_text("#order", stopped).await?;
    assert!(!browser.is_shown("#fault").await?);
    browser.wait_for_text("#answers [href='#price']", "$").await
}
