//! What a maker has typed, when the browser's store is full, forbidden, shared by two windows, cut off in the middle, or the
//! clock is wrong: nothing is lost without a word.

#[path = "../../rate_cards/card.rs"]
mod card;

use card::card;
use serde_json::{Value, json};
use site_tests::{Browser, Host, Result, Scratch, built};
use std::fs;

/// What is kept of the fields, as a text.
const FIELDS: &str = "localStorage.getItem('decal-reckoner:/:fields')";

/// Takes all room that there is in the store, by somebody else's key; then there is none for one letter more.
const FILL: &str = "(() => { const key = 'somebody-else'; let text = '', more = 'x'.repeat(1 << 22);
    while (more) try { localStorage.setItem(key, text + more); text += more; } catch { more = more.slice(more.length / 2 + 1); }
    try { localStorage.setItem('one', 'more'); } catch ({ name }) { return name; } return 'room'; })()";

/// Words that take room.
const LONG: &str = "Heron Lake Lettering, invented, of the long name: cut film for boats, trailers and the doors of huts at \
                    the lake, since the winter in which it froze over from the mill to the weir";

/// Presses a button once it is there; what is built above it may move it about.
async fn press(browser: &Browser, selector: &str) -> Result<()> {
    browser.wait_until_shown(selector).await?;
    let press = format!("document.querySelector({}).click()", json!(selector));
    browser.value(&press).await.map(drop)
}

async fn cdp(browser: &Browser, method: &str, parameters: Value) -> Result<()> {
    browser.driver.cdp().send_raw(method, parameters).await?;
    Ok(())
}

/// The wage in every book that the browser keeps, in the order of their ids.
async fn wages(browser: &Browser) -> Result<Value> {
    let wages = "new Promise((done) => { const request = indexedDB.open('decal-reckoner:/:books');
        request.onsuccess = () => { const all = request.result.transaction('books').objectStore('books').getAll();
            all.onsuccess = () => { request.result.close(); done(all.result.map(({ text }) => JSON.parse(text).figures.book.wage)); }; }; })";
    browser.value(wages).await
}

/// Waits until the books that the browser keeps have these wages.
async fn wait_for_wages(browser: &Browser, wages_are: &[&str]) -> Result<()> {
    for _ in 0..1500 {
        if wages(browser).await? == json!(wages_are) {
            return Ok(());
        }
        tokio::time::sleep(std::time::Duration::from_millis(20)).await;
    }
    assert_eq!(wages(browser).await?, json!(wages_are));
    Ok(())
}

/// Nothing of the page's own failed.
async fn stands(browser: &Browser) -> Result<()> {
    assert!(!browser.is_shown("#fault").await?);
    assert_eq!(browser.console().await?, [""; 0]);
    Ok(())
}

#[tokio::test]
async fn a_full_store_is_told_and_keeps_what_it_had() -> Result<()> {
    let host = Host::start(&built()?, "/")?;
    let browser = Browser::open(390, 844).await?;
    browser.visit(&host.url()).await?;
    browser.paste("book.wage", "21.50").await?;
    wait_for_wages(&browser, &["21.50"]).await?;
    browser
        .wait_for(&format!("JSON.parse({FIELDS}).book"))
        .await?;
    assert!(!browser.is_shown("#not-kept").await?);
    let before = browser.value(FIELDS).await?;
    assert_eq!(browser.value(FILL).await?, "QuotaExceededError");

    browser.paste("book.name", LONG).await?;
    browser
        .wait_for_text("#not-kept", "does not let the page keep what you type")
        .await?;
    assert_eq!(browser.typed("book.name").await?, LONG);
    assert_eq!(browser.value(FIELDS).await?, before);
    // The price is reckoned all the same.
    browser
        .wait_for_text("#answers [href='#price']", "$")
        .await?;
    browser.reload().await?;
    assert_eq!(browser.typed("book.wage").await?, "21.50");
    assert_eq!(browser.value(FIELDS).await?, before);

    // What stands in the fields goes over to a file, and is kept again as soon as there is room.
    browser.paste("book.name", LONG).await?;
    browser.wait_until_shown("#not-kept").await?;
    browser
        .value("localStorage.removeItem('somebody-else')")
        .await?;
    browser.paste("book.wage", "22.50").await?;
    assert!(!browser.is_shown("#not-kept").await?);
    browser.reload().await?;
    assert_eq!(browser.typed("book.name").await?, LONG);
    assert_eq!(browser.typed("book.wage").await?, "22.50");

    // To start over takes room for the way back.
    assert_eq!(browser.value(FILL).await?, "QuotaExceededError");
    press(&browser, "[data-act=start-over]").await?;
    press(&browser, "[data-act=start-over-yes]").await?;
    browser.wait_until_shown("#not-kept").await?;
    browser.reload().await?;
    assert_eq!(browser.typed("book.wage").await?, "22.50");
    assert_eq!(browser.typed("book.name").await?, LONG);
    browser
        .value("localStorage.removeItem('somebody-else')")
        .await?;

    // The other store of the browser, where the books are.
    wait_for_wages(&browser, &["22.50"]).await?;
    let least = json!({ "origin": host.origin(), "quotaSize": 1 });
    cdp(&browser, "Storage.overrideQuotaForOrigin", least).await?;
    browser.paste("book.wage", "23.50").await?;
    browser
        .wait_for_text("#books", "There is no more room for books in this browser.")
        .await?;
    browser
        .wait_for_text("#books", "Save the book to a file.")
        .await?;
    assert_eq!(wages(&browser).await?, json!(["22.50"]));
    let as_before = json!({ "origin": host.origin() });
    cdp(&browser, "Storage.overrideQuotaForOrigin", as_before).await?;
    browser.paste("book.wage", "24.50").await?;
    wait_for_wages(&browser, &["24.50"]).await?;
    browser
        .wait_for("!document.querySelector('#books .note').checkVisibility()")
        .await?;
    stands(&browser).await
}

/// Of what is kept together, one text is written after the other: any of them may be refused.
#[tokio::test]
async fn a_refusal_in_the_middle_of_writing_leaves_a_state_that_holds() -> Result<()> {
    let host = Host::start(&built()?, "/")?;
    let browser = Browser::open(390, 844).await?;
    let refuse = "const put = Storage.prototype.setItem; Storage.prototype.setItem = function (key, text) {
        if (globalThis.refused && key.endsWith(refused)) throw new DOMException('', 'QuotaExceededError');
        put.call(this, key, text); };";
    browser.prepare_pages(refuse).await?;
    browser.visit(&host.url()).await?;
    for refused in ["fields", "before-start-over"] {
        for act in ["start-over", "new-book", "undo"] {
            browser.paste("book.wage", "21.50").await?;
            if act == "undo" {
                press(&browser, "[data-act=start-over]").await?;
                press(&browser, "[data-act=start-over-yes]").await?;
            }
            browser
                .value(&format!("globalThis.refused = '{refused}'"))
                .await?;
            press(&browser, &format!("[data-act={act}]")).await?;
            if act == "start-over" {
                press(&browser, "[data-act=start-over-yes]").await?;
            } else if act == "new-book" {
                press(&browser, "[data-act=invent-book]").await?;
            }
            let wage = if act == "undo" { "21.50" } else { "18.00" };
            browser
                .wait_for(&format!(
                    "document.querySelector('[name=\"book.wage\"]').value === '{wage}'"
                ))
                .await?;
            // Where nothing was to be written of what is refused, nothing is amiss.
            let is_amiss = act != "undo" || refused == "fields";
            assert_eq!(
                browser.is_shown("#not-kept").await?,
                is_amiss,
                "{act}, {refused}"
            );
            browser.reload().await?;
            if browser.typed("book.wage").await? != "21.50" {
                press(&browser, "#undo [data-act=undo]").await?;
            }
            assert_eq!(
                browser.typed("book.wage").await?,
                "21.50",
                "{act}, {refused}"
            );
            browser.value("localStorage.clear()").await?;
            browser.reload().await?;
        }
    }
    stands(&browser).await
}

/// The page, the papers and the customers' page where the browser refuses its store by an error of its own, lets it be
/// read only, or has given the page no origin.
#[tokio::test]
async fn where_the_store_is_forbidden_the_page_works_and_says_so() -> Result<()> {
    let files = Scratch::new()?;
    fs::write(
        files.path().join("index.html"),
        "<!doctype html><iframe id=boxed sandbox='allow-scripts' src='./site/' style='width: 380px; height: 800px'></iframe>",
    )?;
    let host = Host::start(&built()?, "/")?;
    let refusals = [
        "Object.defineProperty(globalThis, 'localStorage', { get() { throw new DOMException('', 'SecurityError'); } });",
        "Storage.prototype.setItem = () => { throw new DOMException('', 'QuotaExceededError'); };",
    ];
    for refusal in refusals {
        let browser = Browser::open(1280, 900).await?;
        browser.prepare_pages(refusal).await?;
        browser.visit(&host.url()).await?;
        browser.paste("book.wage", "21.50").await?;
        browser
            .wait_for_text("#not-kept", "does not let the page keep what you type")
            .await?;
        assert_eq!(browser.typed("book.wage").await?, "21.50");
        browser.paste("quote.pieces", "3").await?;
        browser.look_at("#papers").await?;
        browser
            .wait_for(
                "document.getElementById('papers-text')?.textContent.includes('\"pieces\":3')",
            )
            .await?;
        press(&browser, "[data-publish=papers]").await?;
        browser.look_into_last_window(2).await?;
        browser
            .wait_for("document.querySelectorAll('.page').length >= 3")
            .await?;
        browser.paste("contact", "mail@heron-lake.example").await?;
        browser
            .wait_for_text("#not-kept", "does not let the page keep")
            .await?;
        browser
            .wait_for_text(".page.quote", "mail@heron-lake.example")
            .await?;
        stands_on_its_own(&browser).await?;
    }
    Ok(())
}

async fn stands_on_its_own(browser: &Browser) -> Result<()> {
    assert_eq!(browser.console().await?, [""; 0]);
    Ok(())
}

#[tokio::test]
async fn what_two_windows_type_in_turn_is_in_both() -> Result<()> {
    let host = Host::start(&built()?, "/")?;
    let browser = Browser::open(390, 844).await?;
    browser.visit(&host.url()).await?;
    let first = browser.driver.window().await?;
    browser.type_into("book.wage", "21.50").await?;
    wait_for_wages(&browser, &["21.50"]).await?;
    let second = browser.driver.new_tab().await?;
    browser.driver.switch_to_window(second.clone()).await?;
    browser.set_viewport(390, 844).await?;
    browser.visit(&host.url()).await?;
    println!(
        "second focus {}",
        browser.value("document.hasFocus()").await?
    );
    browser.type_into("book.wage", "25.00").await?;
    browser.type_into("quote.pieces", "7").await?;
    browser.driver.switch_to_window(first.clone()).await?;
    println!(
        "first focus {} {}",
        browser.value("document.hasFocus()").await?,
        browser.value("document.activeElement.name").await?
    );
    println!("{}", browser.typed("book.wage").await?);
    browser.type_into("book.spoilage", "9").await?;
    println!("{}", browser.typed("book.wage").await?);
    println!("{}", browser.typed("quote.pieces").await?);
    // bfcache
    browser.value("globalThis.mark = 1").await?;
    browser
        .driver
        .goto(format!("{}shop.html", host.url()))
        .await?;
    browser.driver.switch_to_window(second.clone()).await?;
    browser.type_into("book.wage", "26.00").await?;
    browser.driver.switch_to_window(first.clone()).await?;
    browser.driver.back().await?;
    browser
        .wait_for("'started' in document.documentElement.dataset")
        .await?;
    println!("bf {}", browser.value("globalThis.mark ?? 0").await?);
    println!("{}", browser.typed("book.wage").await?);
    println!(
        "{:?}",
        browser
            .value("performance.getEntriesByType('navigation')[0].notRestoredReasons?.toJSON?.()")
            .await?
    );
    stands(&browser).await
}
