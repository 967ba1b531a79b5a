//! A maker's shop books: kept on the device, told apart, saved to files and read back, brought over from
//! an older version of the page.

use serde_json::{Value, json};
use site_tests::{Browser, Host, Result, Scratch, built};
use std::fs;
use thirtyfour::By;

/// What all fields of the shop hold, by name.
async fn figures(browser: &Browser) -> Result<Value> {
    let all = "Object.fromEntries([...document.querySelectorAll('#forms [name]')]
        .filter(({ name }) => /^(book\\.|shelf|remnants)/.test(name))
        .map((field) => [field.name, field.type === 'checkbox' ? field.checked : field.value]))";
    browser.value(all).await
}

/// The names of the fields that are marked as invented.
async fn invented(browser: &Browser) -> Result<Value> {
    browser
        .value("[...document.querySelectorAll('.invented [name]')].map(({ name }) => name)")
        .await
}

/// Presses a button once it is there. Layouts that are still being built above it move it about, so that a
/// click at a place on the screen might miss it.
async fn press(browser: &Browser, selector: &str) -> Result<()> {
    browser.wait_until_shown(selector).await?;
    let press = format!("document.querySelector({}).click()", json!(selector));
    browser.value(&press).await.map(drop)
}

/// Saves the open book and gives the name and the text of the file.
async fn saved(browser: &Browser) -> Result<(String, String)> {
    let watch = "(() => { window.saved = []; URL.createObjectURL = (blob) => { saved.push(blob); return 'blob:none'; };
        HTMLAnchorElement.prototype.click = function () { saved.push(this.download); }; return true; })()";
    browser.value(watch).await?;
    press(browser, "#books [data-act=save-book]").await?;
    let saved = browser
        .value("saved[0].text().then((text) => [saved[1], text])")
        .await?;
    let text = |place: usize| saved[place].as_str().unwrap_or_default().to_owned();
    Ok((text(0), text(1)))
}

/// Loads a text as the file of a book.
async fn load(browser: &Browser, text: &str) -> Result<()> {
    let folder = Scratch::new()?;
    let file = folder.path().join("book.json");
    fs::write(&file, text)?;
    let input = browser.driver.find(By::Id("book-file")).await?;
    input.send_keys(file.display().to_string()).await?;
    // The file must stand until it is read.
    browser
        .wait_for("document.querySelector('#books > [role=status]').textContent.includes('loaded')")
        .await?;
    Ok(())
}

/// The books that are offered; the open one stands behind a star.
async fn offered(browser: &Browser) -> Result<Value> {
    browser
        .value("[...document.querySelectorAll('#books-list option')].map(({ text, selected }) => (selected ? '*' : '') + text)")
        .await
}

/// Waits until the open book is kept under this name.
async fn wait_until_kept(browser: &Browser, name: &str) -> Result<()> {
    let kept = format!(
        "new Promise((done) => {{
            const name = `decal-reckoner:${{location.pathname}}:books`, request = indexedDB.open(name);
            request.onsuccess = () => {{ const all = request.result.transaction('books').objectStore('books').getAll();
                all.onsuccess = () => {{ request.result.close(); done(all.result.some(({{ text }}) => text.includes({}))); }}; }};
        }})",
        json!(format!("\"name\": {}", json!(name)))
    );
    browser.wait_for(&kept).await.map(drop)
}

#[tokio::test]
async fn a_book_goes_to_another_device_in_a_file() -> Result<()> {
    let host = Host::start(&built()?, "/shop/")?;
    let (before, name, text) = {
        let browser = Browser::open(390, 844).await?;
        browser.visit(&host.url()).await?;
        browser
            .paste("book.name", "Birch Bay Signs (invented)")
            .await?;
        browser.paste("book.wage", "21.50").await?;
        browser
            .paste("book.channels[0].fees[0].item", "7.25")
            .await?;
        browser.paste("shelf[1].price", "4.10").await?;
        browser
            .value("document.querySelector('[data-act=add-row][data-of=remnants]').click()")
            .await?;
        browser
            .paste("remnants[1].film", "night \"black\" ≥ 2")
            .await?;
        browser.paste("currency", "EUR").await?;
        wait_until_kept(&browser, "Birch Bay Signs (invented)").await?;
        browser
            .wait_for_text("#books", "Never saved to a file.")
            .await?;
        let (name, text) = saved(&browser).await?;
        browser
            .wait_for_text("#books", "Saved to a file today, and not changed since.")
            .await?;
        browser.screenshot("book").await?;
        (
            (figures(&browser).await?, invented(&browser).await?),
            name,
            text,
        )
    };
    assert!(name.starts_with("birch-bay-signs-invented-20"), "{name}");
    let file: Value = serde_json::from_str(&text)?;
    assert_eq!(file["figures"]["book"]["wage"], "21.50");
    assert_eq!(
        file["figures"]["remnants"][1]["film"],
        "night \"black\" ≥ 2"
    );

    // A fresh profile, in another unit: bare numbers mean what they meant where they were typed.
    let browser = Browser::open(390, 844).await?;
    browser.visit(&host.url()).await?;
    browser.paste("decal.width", "9").await?;
    browser.paste("unit", "mm").await?;
    load(&browser, &text).await?;
    assert_eq!(
        (figures(&browser).await?, invented(&browser).await?),
        before
    );
    assert_eq!(browser.typed("currency").await?, "EUR");
    assert_eq!(browser.typed("unit").await?, "in");
    // The job in hand is as large as before.
    assert_eq!(browser.typed("decal.width").await?, "9");
    browser
        .wait_for_text("#books", "Birch Bay Signs (invented) is loaded.")
        .await?;
    browser
        .wait_for_text("#books", "Saved to a file today, and not changed since.")
        .await?;
    press(&browser, "#undo [data-act=undo]").await?;
    assert_eq!(browser.typed("book.wage").await?, "18.00");
    assert_eq!(browser.typed("unit").await?, "mm");
    Ok(())
}

#[tokio::test]
async fn a_file_that_cannot_be_used_changes_nothing() -> Result<()> {
    let host = Host::start(&built()?, "/")?;
    let browser = Browser::open(390, 844).await?;
    browser.visit(&host.url()).await?;
    browser.paste("book.wage", "21.50").await?;
    let before = figures(&browser).await?;
    let newer = json!({"format": "decal-reckoner shop book", "version": 99, "figures": {"book": {"wage": "1"}}});
    load(&browser, &newer.to_string()).await?;
    browser
        .wait_for_text(
            "#books",
            "Nothing was loaded. This book was written by a newer version of this page",
        )
        .await?;
    load(&browser, "width,height\n9,3\n").await?;
    browser
        .wait_for_text("#books", "This is no JSON text")
        .await?;
    assert_eq!(figures(&browser).await?, before);
    assert!(!browser.is_shown("#undo").await?);
    // What has no place on the page is told, and not lost in silence.
    let odd = json!({"format": "decal-reckoner shop book", "version": 2, "figures": {"book": {"wage": "23", "wgae": "24"}, "quote": {"pieces": "3"}}});
    load(&browser, &odd.to_string()).await?;
    browser
        .wait_for_text(
            "#books",
            "no place for was left out: quote.pieces, book.wgae.",
        )
        .await?;
    assert_eq!(browser.typed("book.wage").await?, "23");
    assert_eq!(browser.console().await?, [""; 0]);
    Ok(())
}

#[tokio::test]
async fn books_are_told_apart() -> Result<()> {
    let host = Host::start(&built()?, "/")?;
    let browser = Browser::open(390, 844).await?;
    browser.visit(&host.url()).await?;
    browser.wait_until_shown("[data-act=new-book]").await?;
    browser.paste("book.name", "First").await?;
    browser.paste("book.wage", "21.50").await?;
    browser.paste("quote.pieces", "3").await?;
    wait_until_kept(&browser, "First").await?;
    press(&browser, "[data-act=new-book]").await?;
    browser
        .value("document.getElementById('new-book-name').value = 'Second'")
        .await?;
    press(&browser, "[data-act=invent-book]").await?;
    wait_until_kept(&browser, "Second").await?;
    assert_eq!(browser.typed("book.wage").await?, "18.00");
    // The job in hand is not of the book.
    assert_eq!(browser.typed("quote.pieces").await?, "3");
    browser.paste("book.wage", "30").await?;
    browser
        .wait_for("document.querySelectorAll('#books-list option').length === 2")
        .await?;
    assert_eq!(offered(&browser).await?, json!(["First", "*Second"]));

    // Opened at once, before the last change was kept by itself.
    browser
        .value("document.getElementById('books-list').selectedIndex = 0")
        .await?;
    press(&browser, "[data-act=open-book]").await?;
    browser.wait_for_text("#books", "First is open.").await?;
    assert_eq!(browser.typed("book.wage").await?, "21.50");
    browser.reload().await?;
    browser
        .wait_for("document.querySelectorAll('#books-list option').length === 2")
        .await?;
    assert_eq!(browser.typed("book.wage").await?, "21.50");

    // Deleted, and brought back.
    press(&browser, "[data-act=delete-book]").await?;
    press(&browser, "[data-act=delete-book-yes]").await?;
    browser
        .wait_for("document.querySelectorAll('#books-list option').length === 1")
        .await?;
    assert_eq!(browser.typed("book.wage").await?, "30");
    press(&browser, "#undo [data-act=undo]").await?;
    browser
        .wait_for("document.querySelectorAll('#books-list option').length === 2")
        .await?;
    assert_eq!(offered(&browser).await?, json!(["*First", "Second"]));
    assert_eq!(browser.typed("book.wage").await?, "21.50");
    assert_eq!(browser.console().await?, [""; 0]);
    Ok(())
}

#[tokio::test]
async fn a_book_that_was_deleted_in_another_window_stays_so_until_it_is_wanted() -> Result<()> {
    let host = Host::start(&built()?, "/")?;
    let browser = Browser::open(390, 844).await?;
    browser.visit(&host.url()).await?;
    browser.paste("book.name", "First").await?;
    wait_until_kept(&browser, "First").await?;
    let delete = "new Promise((done) => { const request = indexedDB.open('decal-reckoner:/:books');
        request.onsuccess = () => { const act = request.result.transaction('books', 'readwrite');
            act.objectStore('books').clear(); act.oncomplete = () => { request.result.close(); done(true); }; }; })";
    browser
        .wait_for("JSON.parse(localStorage.getItem('decal-reckoner:/:fields')).book")
        .await?;
    browser.value(delete).await?;
    browser.paste("book.wage", "22").await?;
    browser
        .wait_for_text("#books", "deleted in another window")
        .await?;
    assert_eq!(browser.typed("book.wage").await?, "22");
    press(&browser, "[data-act=keep-book]").await?;
    wait_until_kept(&browser, "First").await?;
    browser
        .wait_for("!document.getElementById('books').innerText.includes('another window')")
        .await?;
    Ok(())
}

/// As the versions before kept it, with round figures: 12.00 for mailer and card, 6 minutes at 20.00 an
/// hour, a fee of a fifth: (12 + 2) / (1 - 0.2) = 17.50.
#[tokio::test]
async fn what_an_older_version_kept_is_brought_over_and_the_price_stays() -> Result<()> {
    let host = Host::start(&built()?, "/")?;
    let browser = Browser::open(390, 844).await?;
    browser.visit(&host.url()).await?;
    let typed = json!({
        "unit": "in", "currency": "USD", "decal.width": "9", "decal.height": "3", "stock": "sheet",
        "filmSheet": "0", "filmRoll": "46.00", "quote.film.length": "30",
        "quote.mailer": "11.50", "quote.card": "0.50", "quote.wage": "20", "quote.pieceTime": "6",
        "quote.tape.price": "0", "quote.tape.width": "12", "quote.tape.length": "100",
        "quote.setupTime": "0", "quote.spoilage": "0", "quote.overhead": "0",
        "quote.channel.percent": "20", "quote.channel.fixed": "0",
        "quote.payment.percent": "0", "quote.payment.fixed": "0",
        "quote.postage.paid": "0", "quote.postage.charged": "0", "quote.pieces": "1",
        "quote.target.kind": "margin", "aimMargin": "0", "quote.ending": "none",
    });
    let kept = json!({"version": 1, "typed": typed, "own": ["quote.wage", "quote.mailer", "quote.pieceTime"]});
    let put = format!(
        "localStorage.setItem('decal-reckoner:/:fields', {})",
        json!(kept.to_string())
    );
    browser.value(&put).await?;
    browser.reload().await?;
    browser
        .wait_for_text("#answers [href='#price']", "$17.50")
        .await?;
    assert_eq!(browser.typed("book.wage").await?, "20");
    assert_eq!(
        browser.typed("book.supplies[0].packs").await?,
        "1 for 11.50"
    );
    let marked = invented(&browser).await?;
    let marked: Vec<&str> = marked
        .as_array()
        .into_iter()
        .flatten()
        .filter_map(Value::as_str)
        .collect();
    assert!(!marked.contains(&"book.wage"), "{marked:?}");
    assert!(marked.contains(&"book.overhead"), "{marked:?}");
    // It is kept in the new way from the first change on.
    browser.paste("book.wage", "20.00").await?;
    let version = "JSON.parse(localStorage.getItem('decal-reckoner:/:fields')).version";
    assert_eq!(browser.value(version).await?, json!(2));
    browser.reload().await?;
    browser
        .wait_for_text("#answers [href='#price']", "$17.50")
        .await
}

#[tokio::test]
async fn the_page_works_on_where_no_book_can_be_kept() -> Result<()> {
    let refusals = [
        (
            "delete globalThis.indexedDB",
            "This browser keeps no books.",
        ),
        (
            "IDBFactory.prototype.open = () => { throw new DOMException('', 'SecurityError'); }",
            "This browser keeps no books.",
        ),
        (
            "IDBObjectStore.prototype.put = () => { throw new DOMException('', 'QuotaExceededError'); }",
            "There is no more room for books in this browser.",
        ),
    ];
    let host = Host::start(&built()?, "/")?;
    for (refuse, words) in refusals {
        let browser = Browser::open(390, 844).await?;
        browser.prepare_pages(refuse).await?;
        browser.visit(&host.url()).await?;
        browser.paste("book.wage", "21.50").await?;
        browser.wait_for_text("#books", words).await?;
        assert!(!browser.is_shown("#fault").await?);
        // What is typed is kept all the same, and the way to a file is open.
        browser.reload().await?;
        assert_eq!(browser.typed("book.wage").await?, "21.50");
        let (_, text) = saved(&browser).await?;
        browser.paste("book.wage", "1").await?;
        load(&browser, &text).await?;
        assert_eq!(browser.typed("book.wage").await?, "21.50");
        assert_eq!(browser.console().await?, [""; 0], "{refuse}");
    }
    Ok(())
}

/// Reminders count from the first time a book was kept, from the last file, or from "Not now".
#[tokio::test]
async fn a_maker_is_reminded_of_a_file_and_can_put_it_off() -> Result<()> {
    let host = Host::start(&built()?, "/")?;
    let browser = Browser::open(390, 844).await?;
    browser.visit(&host.url()).await?;
    browser.paste("book.name", "First").await?;
    wait_until_kept(&browser, "First").await?;
    saved(&browser).await?;
    browser
        .wait_for_text("#books", "Saved to a file today")
        .await?;
    // As if that had been in another year.
    let long_ago = "new Promise((done) => { const request = indexedDB.open('decal-reckoner:/:books');
        request.onsuccess = () => { const act = request.result.transaction('books', 'readwrite'), store = act.objectStore('books');
            store.openCursor().onsuccess = ({ target: { result: cursor } }) => { if (!cursor) return;
                const old = (text) => text.replace(/\"saved\": \"[^\"]*\"/, '\"saved\": \"2020-01-01\"');
                cursor.update({ ...cursor.value, filed: old(cursor.value.filed), quiet: old(cursor.value.quiet) }); };
            act.oncomplete = () => { request.result.close(); done(true); }; }; })";
    browser.value(long_ago).await?;
    browser.reload().await?;
    browser
        .wait_for_text("#books", "days ago, and not changed since.")
        .await?;
    assert!(!browser.is_shown("[data-act=later-book]").await?);
    browser.paste("book.wage", "22").await?;
    browser
        .wait_for_text("#books", "days ago; one figure has changed since.")
        .await?;
    browser
        .wait_for_text("#books", "It is time to save this book to a file")
        .await?;
    browser.screenshot("book-due").await?;
    press(&browser, "[data-act=later-book]").await?;
    browser
        .wait_for("!document.querySelector('[data-act=later-book]').checkVisibility()")
        .await?;
    browser
        .wait_for_text("#books", "one figure has changed since.")
        .await
}
