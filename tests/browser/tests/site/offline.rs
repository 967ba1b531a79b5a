//! The page from the second visit on: without a network, and with a new build on the host.

use serde_json::json;
use site_tests::{Browser, Build, Host, PARTS, Result, built};
use std::fs;

/// A folder of a host that serves others too.
const FOLDER: &str = "/of/somebody/";

/// A build whose page, script and name can be told from those of the built site.
fn other_build() -> Result<Build> {
    Build::with(|build| {
        build.edit("index.html", |page| {
            page.replace("<title>", "<title>Other build: ")
        })?;
        build.edit("boot.js", |script| {
            script + "\ndocument.documentElement.dataset.script = 'other';\n"
        })
    })
}

/// Which build the page's HTML and its script are of, and whether both name the build that they are of.
async fn shown_build(browser: &Browser) -> Result<(bool, bool, String)> {
    let page = browser
        .value("document.title.startsWith('Other build: ')")
        .await?;
    let script = browser
        .value("document.documentElement.dataset.script === 'other'")
        .await?;
    let name = browser
        .value("document.documentElement.dataset.build")
        .await?;
    Ok((
        page == json!(true),
        script == json!(true),
        name.as_str().unwrap_or_default().to_owned(),
    ))
}

/// The name of the build that the built site is.
async fn name_on(host: &Host, browser: &Browser) -> Result<String> {
    browser.visit(&host.url()).await?;
    browser.wait_until_kept().await?;
    Ok(shown_build(browser).await?.2)
}

#[tokio::test]
async fn the_second_visit_needs_no_network() -> Result<()> {
    let mut host = Host::start(&built()?, FOLDER)?;
    let browser = Browser::open(390, 844).await?;
    browser.visit(&host.url()).await?;
    browser.wait_until_kept().await?;
    host.stop()?;
    for ending in ["", "index.html", "index.html#film", "?from=home#price"] {
        browser.driver.goto("about:blank").await?;
        browser.visit(&format!("{}{ending}", host.url())).await?;
        assert!(!browser.is_shown("#fault").await?, "at {ending}");
    }
    browser.screenshot("offline").await?;
    Ok(())
}

#[tokio::test]
async fn every_file_of_the_build_is_kept() -> Result<()> {
    let mut host = Host::start(&built()?, FOLDER)?;
    let browser = Browser::open(390, 844).await?;
    browser.visit(&host.url()).await?;
    browser.wait_until_kept().await?;
    host.stop()?;
    for file in [
        "manifest.webmanifest",
        "icons/icon.svg",
        "icons/icon-192.png",
        "boot.js?v=",
        "index.html?x=1",
    ] {
        let status = browser
            .value(&format!(
                "fetch('{}{file}').then((r) => r.status)",
                host.url()
            ))
            .await?;
        assert_eq!(status, json!(200), "{file}");
    }
    let unknown = browser
        .value(&format!(
            "fetch('{}nothing').catch(() => 'refused')",
            host.url()
        ))
        .await?;
    assert_eq!(
        unknown,
        json!("refused"),
        "what is no file of the build is left to the network"
    );
    Ok(())
}

#[tokio::test]
async fn a_host_that_leads_from_the_index_to_its_folder_serves_offline_use_too() -> Result<()> {
    let mut host = Host::start(&built()?, FOLDER)?;
    host.lead_on();
    let browser = Browser::open(390, 844).await?;
    browser.visit(&host.url()).await?;
    browser.wait_until_kept().await?;
    host.stop()?;
    browser.visit(&format!("{}index.html", host.url())).await
}

#[tokio::test]
async fn the_first_visit_offers_no_update() -> Result<()> {
    let host = Host::start(&built()?, "/")?;
    let browser = Browser::open(390, 844).await?;
    browser.visit(&host.url()).await?;
    browser.wait_until_kept().await?;
    assert!(!browser.is_shown("#update").await?);
    browser.reload().await?;
    assert!(!browser.is_shown("#update").await?);
    Ok(())
}

#[tokio::test]
async fn an_update_waits_until_it_is_asked_for_and_then_comes_whole() -> Result<()> {
    let mut host = Host::start(&built()?, FOLDER)?;
    let browser = Browser::open(390, 844).await?;
    let old = name_on(&host, &browser).await?;
    let other = other_build()?;
    assert_ne!(old, other.version()?);

    host.swap(other.folder());
    browser.reload().await?;
    browser.wait_until_shown("#update").await?;
    assert_eq!(
        shown_build(&browser).await?,
        (false, false, old.clone()),
        "before the update is asked for"
    );
    browser.screenshot("update").await?;
    browser.click("#update [data-act=later]").await?;
    assert!(!browser.is_shown("#update").await?);

    browser.reload().await?;
    browser.wait_until_shown("#update").await?;
    assert_eq!(
        shown_build(&browser).await?,
        (false, false, old),
        "put off, and still waiting"
    );

    browser.click("#update [data-act=use-update]").await?;
    browser.wait_for("document.title.startsWith('Other build: ') && 'started' in document.documentElement.dataset").await?;
    assert_eq!(
        shown_build(&browser).await?,
        (true, true, other.version()?),
        "after the update"
    );
    assert!(!browser.is_shown("#update").await?);
    browser
        .wait_for("caches.keys().then((names) => names.length === 1)")
        .await?;

    host.stop()?;
    browser.reload().await?;
    assert_eq!(
        shown_build(&browser).await?,
        (true, true, other.version()?),
        "after the update, without a network"
    );
    Ok(())
}

#[tokio::test]
async fn every_open_page_goes_over_to_the_update_together() -> Result<()> {
    let host = Host::start(&built()?, FOLDER)?;
    let browser = Browser::open(390, 844).await?;
    name_on(&host, &browser).await?;
    let first = browser.driver.window().await?;
    let second = browser.driver.new_tab().await?;
    browser.driver.switch_to_window(second).await?;
    browser.visit(&host.url()).await?;
    let other = other_build()?;
    host.swap(other.folder());
    browser.reload().await?;
    browser.wait_until_shown("#update").await?;
    browser.click("#update [data-act=use-update]").await?;
    browser
        .wait_for("document.title.startsWith('Other build: ')")
        .await?;
    browser.driver.switch_to_window(first).await?;
    browser.wait_for("document.title.startsWith('Other build: ') && 'started' in document.documentElement.dataset").await?;
    assert_eq!(shown_build(&browser).await?, (true, true, other.version()?));
    Ok(())
}

#[tokio::test]
async fn an_update_with_one_wrong_file_is_not_taken() -> Result<()> {
    let mut host = Host::start(&built()?, FOLDER)?;
    let browser = Browser::open(390, 844).await?;
    let old = name_on(&host, &browser).await?;
    let other = other_build()?;
    let icon = other.folder().join("icons/icon.svg");
    fs::write(
        &icon,
        fs::read_to_string(&icon)? + "<!-- of yet another build -->",
    )?;
    host.swap(other.folder());
    let outcome = browser
        .value(
            "navigator.serviceWorker.getRegistration().then(async (registration) => {
                const worker = (await registration.update()).installing;
                const settled = () => worker.state === 'redundant' || worker.state === 'installed';
                await new Promise((done) => worker.addEventListener('statechange', () => settled() && done()));
                return [worker.state, registration.waiting];
            })",
        )
        .await?;
    assert_eq!(outcome, json!(["redundant", null]));
    assert!(
        host.asked()
            .iter()
            .any(|path| path.ends_with("icons/icon.svg"))
    );
    assert!(!browser.is_shown("#update").await?);

    host.stop()?;
    browser.reload().await?;
    assert_eq!(shown_build(&browser).await?, (false, false, old));
    assert_eq!(
        browser
            .value("caches.keys().then((names) => names.length)")
            .await?,
        json!(1)
    );
    Ok(())
}

#[tokio::test]
async fn a_page_of_an_older_build_is_not_taken_on_by_a_newer_worker() -> Result<()> {
    let other = other_build()?;
    let host = Host::start(&built()?, FOLDER)?;
    let browser = Browser::open(390, 844).await?;
    // The page of one build is there, and the host goes over to the next before the first worker is asked for.
    browser
        .prepare_pages(
            "navigator.serviceWorker.register = () => Promise.reject(new Error('not yet'))",
        )
        .await?;
    browser.visit(&host.url()).await?;
    host.swap(other.folder());
    let register =
        "ServiceWorkerContainer.prototype.register.call(navigator.serviceWorker, 'sw.js')
        .then(() => navigator.serviceWorker.ready)
        .then(({ active }) => new Promise((done) => {
            const settled = () => active.state === 'activated' && done(true);
            active.addEventListener('statechange', settled);
            settled();
        }))
        .then(() => navigator.serviceWorker.ready)
        .then(({ active }) => active.postMessage({ claim: document.documentElement.dataset.build }))
        .then(() => navigator.serviceWorker.controller)";
    assert_eq!(browser.value(register).await?, json!(null));
    browser.reload().await?;
    assert_eq!(shown_build(&browser).await?, (true, true, other.version()?));
    Ok(())
}

/// A page of whose build no service worker keeps anything.
const NO_WORKER: &str =
    "navigator.serviceWorker.register = () => Promise.reject(new Error('not here'))";

/// What is loaded when it is asked for.
fn is_part(path: &str) -> bool {
    PARTS
        .iter()
        .any(|part| path.starts_with(&format!("{FOLDER}{part}")))
}

#[tokio::test]
async fn a_part_is_loaded_when_it_is_looked_at_and_not_before() -> Result<()> {
    let host = Host::start(&built()?, FOLDER)?;
    let browser = Browser::open(390, 844).await?;
    browser.prepare_pages(NO_WORKER).await?;
    browser.visit(&host.url()).await?;
    // The last of what starts by itself has started once a further animation frame was drawn.
    let drawn = "new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(() => done(true))))";
    browser.wait_for(drawn).await?;
    let before = host.asked();
    assert!(!before.iter().any(|path| is_part(path)), "{before:?}");
    assert_eq!(browser.text("#order .figure").await?, "–");
    browser.wait_until_planned().await?;
    assert!(host.asked().iter().any(|path| is_part(path)));
    browser.wait_for_text("#order", "Lake white").await
}

#[tokio::test]
async fn parts_are_kept_after_the_first_visit_though_nobody_looked_at_them() -> Result<()> {
    let mut host = Host::start(&built()?, FOLDER)?;
    let browser = Browser::open(390, 844).await?;
    browser.visit(&host.url()).await?;
    browser.wait_until_kept().await?;
    browser.wait_until_parts_are_kept().await?;
    host.stop()?;
    browser.visit(&host.url()).await?;
    browser.wait_until_planned().await?;
    browser.wait_for_text("#order", "Lake white").await?;
    browser.look_at("#sizes").await?;
    browser.wait_until_shown("#sizes .steps svg").await?;
    assert!(!browser.is_shown("#fault").await?);
    Ok(())
}

#[tokio::test]
async fn a_part_that_cannot_be_had_says_so_and_comes_with_the_network() -> Result<()> {
    let mut host = Host::start(&built()?, FOLDER)?;
    let browser = Browser::open(390, 844).await?;
    browser.prepare_pages(NO_WORKER).await?;
    browser.visit(&host.url()).await?;
    host.stop()?;
    browser.look_at("#order").await?;
    browser
        .wait_for_text("#order", "it needs the network once")
        .await?;
    browser.screenshot("part-missing").await?;
    assert!(!browser.is_shown("#fault").await?);
    assert!(!browser.is_shown("#update").await?);
    host.start_again()?;
    browser.value("dispatchEvent(new Event('online'))").await?;
    browser.wait_until_planned().await?;
    browser.wait_for_text("#order", "Lake white").await?;
    browser
        .wait_for("!document.querySelector('[data-missing]')")
        .await?;
    Ok(())
}

#[tokio::test]
async fn a_part_of_another_build_is_refused_and_the_new_version_offered() -> Result<()> {
    let other = other_build()?;
    let host = Host::start(&built()?, FOLDER)?;
    let browser = Browser::open(390, 844).await?;
    browser.prepare_pages(NO_WORKER).await?;
    browser.visit(&host.url()).await?;
    let old = shown_build(&browser).await?;
    host.swap(other.folder());
    browser.look_at("#order").await?;
    browser.wait_until_shown("#update").await?;
    browser
        .wait_for_text("#order", "a new version came")
        .await?;
    assert_eq!(browser.text("#order .figure").await?, "–");
    assert_eq!(shown_build(&browser).await?, old);
    browser.click("#update [data-act=use-update]").await?;
    browser
        .wait_for("document.title.startsWith('Other build: ') && 'started' in document.documentElement.dataset")
        .await?;
    browser.wait_until_planned().await?;
    browser.wait_for_text("#order", "Lake white").await
}

#[tokio::test]
async fn a_worker_refuses_a_part_of_another_build_than_its_own() -> Result<()> {
    let other = other_build()?;
    let host = Host::start(&built()?, FOLDER)?;
    let browser = Browser::open(390, 844).await?;
    // Nothing is kept before it is asked for where each byte is paid for.
    browser
        .prepare_pages(
            "Object.defineProperty(navigator, 'connection', { value: { saveData: true } })",
        )
        .await?;
    let old = name_on(&host, &browser).await?;
    host.swap(other.folder());
    browser.look_at("#order").await?;
    browser
        .wait_for_text("#order", "a new version came")
        .await?;
    assert_eq!(shown_build(&browser).await?, (false, false, old));
    browser.wait_until_shown("#update").await?;
    browser.click("#update [data-act=use-update]").await?;
    browser
        .wait_for("document.title.startsWith('Other build: ') && 'started' in document.documentElement.dataset")
        .await?;
    browser.wait_until_planned().await
}
