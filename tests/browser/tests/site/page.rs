//! The built page as a visitor meets it: where it works, what it may ask for, and what it says when it cannot work.

use serde_json::{Value, json};
use site_tests::{Browser, Build, Host, Result, Scratch, Trouble, built, copy};
use std::fs;

const NOT_LOADED: &str = "could not be loaded";
const STOPPED: &str = "The reckoning stopped by a fault of its own. What you typed is kept on this device: \
                       reload the page to go on.";

/// A build whose script fails when it is told to. What a test's own script throws reaches the page without its error,
/// as what comes from another origin does.
fn stumbling() -> Result<Build> {
    let stumble = "
        addEventListener('trap', () => setTimeout(() => { throw new WebAssembly.RuntimeError('unreachable'); }));
        addEventListener('refusal', () => setTimeout(() => Promise.reject(new Error('unheard'))));
        addEventListener('notice', () => dispatchEvent(new ErrorEvent('error', { message: 'ResizeObserver loop' })));
    ";
    Build::with(|build| build.edit("boot.js", |script| script + stumble))
}

#[tokio::test]
async fn the_page_works_in_any_folder() -> Result<()> {
    for folder in ["/", "/of/somebody/", "/of/somebody/else-1.0/"] {
        let host = Host::start(&built()?, folder)?;
        let browser = Browser::open(390, 844).await?;
        browser.visit(&host.url()).await?;
        assert!(!browser.is_shown("#fault").await?, "in {folder}");
        browser.wait_until_kept().await?;
        let outside: Vec<String> = host
            .asked()
            .into_iter()
            .filter(|path| !path.starts_with(folder))
            .collect();
        assert_eq!(outside, [""; 0], "asked for outside of {folder}");
    }
    Ok(())
}

#[tokio::test]
async fn the_page_keeps_its_own_policy_and_its_console_clean() -> Result<()> {
    let host = Host::start(&built()?, "/of/somebody/")?;
    for (width, height) in [(320, 640), (1280, 800)] {
        let browser = Browser::open(width, height).await?;
        browser.visit(&host.url()).await?;
        browser.wait_until_kept().await?;
        browser.reload().await?;
        assert_eq!(browser.console().await?, [""; 0], "at {width} by {height}");
        browser.screenshot(&format!("page-{width}")).await?;
    }
    Ok(())
}

#[tokio::test]
async fn no_request_leaves_the_site() -> Result<()> {
    let host = Host::start(&built()?, "/of/somebody/")?;
    let browser = Browser::open(390, 844).await?;
    browser.visit(&host.url()).await?;
    browser.wait_until_kept().await?;
    browser.reload().await?;
    let addresses = browser.requests().await?;
    assert!(
        addresses.iter().any(|address| address.contains("_bg.wasm")),
        "{addresses:?}"
    );
    // The browser's own controls are drawn from data that is in the address itself: nothing is asked of anybody.
    let own = |address: &&String| address.starts_with(&host.url()) || address.starts_with("data:");
    assert_eq!(
        addresses
            .iter()
            .filter(|address| !own(address))
            .collect::<Vec<_>>(),
        [""; 0]
    );
    Ok(())
}

#[tokio::test]
async fn the_policy_forbids_what_the_page_never_does() -> Result<()> {
    let elsewhere = Host::start(Scratch::new()?.path(), "/")?;
    let host = Host::start(&built()?, "/")?;
    let browser = Browser::open(390, 844).await?;
    browser.visit(&host.url()).await?;
    let away = format!(
        "fetch('{}').then(() => 'answered', () => 'refused')",
        elsewhere.url()
    );
    assert_eq!(browser.value(&away).await?, json!("refused"));
    let picture = format!(
        "new Promise((done) => {{ const picture = new Image(); picture.onload = () => done('shown');
         picture.onerror = () => done('refused'); picture.src = '{}a.png'; }})",
        elsewhere.url()
    );
    assert_eq!(browser.value(&picture).await?, json!("refused"));
    // Refused as text, or else when it is put into the page.
    let inline = "(() => { const script = document.createElement('script');
         try { script.textContent = 'window.ran = true'; } catch { script.append('window.ran = true'); }
         document.head.append(script); return window.ran ?? 'refused'; })()";
    assert_eq!(browser.value(inline).await?, json!("refused"));
    assert_eq!(elsewhere.asked(), [""; 0]);
    Ok(())
}

#[tokio::test]
async fn the_page_says_so_when_the_core_cannot_be_loaded() -> Result<()> {
    const CORE: &str = "decal-reckoner_bg.wasm";
    let missing = Scratch::new()?;
    copy(&built()?, missing.path())?;
    fs::remove_file(missing.path().join(CORE))?;
    let broken = Build::with(|build| Ok(fs::write(build.folder().join(CORE), "not WebAssembly")?))?;
    for folder in [missing.path(), broken.folder()] {
        let host = Host::start(folder, "/")?;
        let browser = Browser::open(390, 844).await?;
        browser.driver.goto(host.url()).await?;
        browser.wait_until_shown("#fault").await?;
        browser
            .wait_for_text("#fault [data-slot=message]", NOT_LOADED)
            .await?;
        browser.screenshot("not-loaded").await?;
    }
    Ok(())
}

#[tokio::test]
async fn the_page_says_so_when_the_browser_has_no_web_assembly() -> Result<()> {
    let host = Host::start(&built()?, "/")?;
    let browser = Browser::open(390, 844).await?;
    browser
        .prepare_pages("delete globalThis.WebAssembly")
        .await?;
    browser.driver.goto(host.url()).await?;
    browser.wait_until_shown("#fault").await?;
    browser
        .wait_for_text("#fault [data-slot=message]", "WebAssembly")
        .await
}

#[tokio::test]
async fn the_page_works_where_a_service_worker_is_refused() -> Result<()> {
    let host = Host::start(&built()?, "/")?;
    let browser = Browser::open(390, 844).await?;
    browser
        .prepare_pages(
            "ServiceWorkerContainer.prototype.register = () => Promise.reject(new Error('no'))",
        )
        .await?;
    browser.visit(&host.url()).await?;
    assert!(!browser.is_shown("#fault").await?);
    assert_eq!(browser.console().await?, [""; 0]);
    Ok(())
}

#[tokio::test]
async fn a_fault_is_told_and_what_was_typed_can_be_set_aside() -> Result<()> {
    let build = stumbling()?;
    let host = Host::start(build.folder(), "/")?;
    let browser = Browser::open(390, 844).await?;
    browser.visit(&host.url()).await?;
    browser.value("localStorage.clear()").await?;
    browser
        .value("localStorage.setItem('decal-reckoner:/:example', 'kept')")
        .await?;
    browser
        .value("localStorage.setItem('somebody-else', 'left alone')")
        .await?;
    browser.value("dispatchEvent(new Event('trap'))").await?;
    browser.wait_until_shown("#fault").await?;
    assert_eq!(browser.text("#fault [data-slot=message]").await?, STOPPED);
    browser.screenshot("fault").await?;

    browser.value("window.before = true").await?;
    browser.click("#fault [data-act=set-aside]").await?;
    browser
        .wait_for("!window.before && 'started' in document.documentElement.dataset")
        .await?;
    assert!(!browser.is_shown("#fault").await?);
    let kept = browser
        .value(
            "Object.entries(localStorage).filter(([key]) => !key.startsWith('decal-reckoner:/:'))",
        )
        .await?;
    let kept: Vec<(String, String)> = serde_json::from_value(kept)?;
    let aside = kept
        .iter()
        .find(|(key, _)| key.starts_with("decal-reckoner-aside:/:2") && key.ends_with(":example"));
    assert_eq!(
        aside.map(|(_, value)| value.as_str()),
        Some("kept"),
        "{kept:?}"
    );
    assert!(
        kept.contains(&("somebody-else".into(), "left alone".into())),
        "{kept:?}"
    );
    assert_eq!(
        browser
            .value("localStorage.getItem('decal-reckoner:/:example')")
            .await?,
        Value::Null
    );
    Ok(())
}

#[tokio::test]
async fn a_promise_that_fails_is_a_fault_and_a_notice_of_the_browser_is_none() -> Result<()> {
    let build = stumbling()?;
    let host = Host::start(build.folder(), "/")?;
    let browser = Browser::open(390, 844).await?;
    browser.visit(&host.url()).await?;
    browser.value("dispatchEvent(new Event('notice'))").await?;
    assert!(!browser.is_shown("#fault").await?);
    browser.value("dispatchEvent(new Event('refusal'))").await?;
    browser.wait_until_shown("#fault").await?;
    browser.value("window.before = true").await?;
    browser.click("#fault [data-act=reload]").await?;
    browser
        .wait_for("!window.before && 'started' in document.documentElement.dataset")
        .await?;
    Ok(())
}

/// The manifest's pictures are there in the sizes it says; a PNG has its size at bytes 16 to 23, and an SVG has any.
/// One of 192 is a PNG, for what shows no SVG.
#[test]
fn the_manifest_leads_to_what_is_there() -> Result<()> {
    let site = built()?;
    let manifest: Value =
        serde_json::from_str(&fs::read_to_string(site.join("manifest.webmanifest"))?)?;
    let icons = manifest["icons"]
        .as_array()
        .ok_or_else(|| Trouble::new("The manifest has no icons."))?;
    assert!(icons.iter().any(|icon| icon["purpose"] == "maskable"));
    let plain = |icon: &&Value| icon["type"] == "image/png" && icon["sizes"] == "192x192";
    assert!(icons.iter().any(|icon| plain(&icon)));
    for icon in icons {
        let source = icon["src"].as_str().unwrap_or_default();
        let bytes = fs::read(site.join(source))?;
        if icon["type"] == "image/png" {
            let pixels = |at: usize| {
                bytes[at..at + 4]
                    .iter()
                    .fold(0, |sum, byte| sum * 256 + u32::from(*byte))
            };
            assert_eq!(
                icon["sizes"],
                json!(format!("{}x{}", pixels(16), pixels(20))),
                "{source}"
            );
        } else {
            assert_eq!(icon["type"], "image/svg+xml", "{source}");
            assert_eq!(icon["sizes"], "any", "{source}");
            assert!(bytes.starts_with(b"<svg "), "{source}");
        }
    }
    let shortcuts: Vec<&str> = manifest["shortcuts"]
        .as_array()
        .into_iter()
        .flatten()
        .filter_map(|s| s["url"].as_str())
        .collect();
    assert_eq!(
        shortcuts,
        [
            "./index.html#read",
            "./index.html#film",
            "./index.html#price"
        ]
    );
    Ok(())
}
