//! A maker opens the drawing that is cut: it is measured, checked and joined, the decal takes its size, the price its
//! times, and it is kept on the device.

use serde_json::json;
use site_tests::{Browser, Host, Result, Scratch, built};
use std::fs;
use thirtyfour::By;

/// Two bars of 60 by 20 mm that overlap by 20 mm: joined, one of 100 by 20 mm. Its way round is 240 mm.
const BARS: &str = r#"<svg xmlns="http://www.w3.org/2000/svg" width="120mm" height="40mm" viewBox="0 0 120 40">
    <path d="M10 10h60v20h-60z"/><path d="M50 10h60v20h-60z"/></svg>"#;

/// A ring, 40 mm across with a hole of 20 mm, and a speck of 0.5 mm, in two colours.
const RING: &str = r##"<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="40mm" viewBox="0 0 60 40">
    <path fill="#aa0000" fill-rule="evenodd" d="M0 20a20 20 0 0 1 40 0a20 20 0 0 1 -40 0zM10 20a10 10 0 0 0 20 0a10 10 0 0 0 -20 0z"/>
    <rect fill="#0000aa" x="59.5" y="20" width="0.5" height="0.5"/></svg>"##;

/// Chooses a file of this text.
async fn open(browser: &Browser, name: &str, text: &str) -> Result<()> {
    let folder = Scratch::new()?;
    let file = folder.path().join(name);
    fs::write(&file, text)?;
    let input = browser.driver.find(By::Id("artwork-file")).await?;
    input.send_keys(file.display().to_string()).await?;
    // The file must stand until it is read.
    browser
        .wait_for("document.querySelector('[name=\"drawing.id\"]').value || document.querySelector('.drop ~ .error:not([hidden])')")
        .await?;
    Ok(())
}

/// Waits until the answer about the drawing tells of this one.
async fn wait_until_read(browser: &Browser, name: &str) -> Result<()> {
    browser.wait_for_text("#artwork-held", name).await?;
    browser.wait_until_shown("#artwork .answer").await
}

async fn page_in_mm(host: &Host) -> Result<Browser> {
    let browser = Browser::open(390, 844).await?;
    browser.visit(&host.url()).await?;
    browser.choose("unit", "mm").await?;
    browser.paste("decal.lettering", "").await?;
    browser.paste("decal.letterHeight", "10").await?;
    browser.paste("decal.width", "100").await?;
    Ok(browser)
}

/// What the row of that name says.
async fn measured(browser: &Browser, label: &str) -> Result<String> {
    let row = format!(
        "[...document.querySelectorAll('#artwork tbody tr')].find((row) => row.querySelector('span').textContent === {})
            ?.querySelector('td').textContent ?? ''",
        json!(label)
    );
    let text = browser.value(&row).await?;
    Ok(text.as_str().unwrap_or_default().to_owned())
}

/// Whether a check is passed, and what it says.
async fn checked(browser: &Browser, label: &str) -> Result<(bool, String)> {
    let check = format!(
        "(() => {{ const row = [...document.querySelectorAll('#artwork .checks li')]
            .find((row) => row.querySelector('strong').textContent === {});
            return [row?.querySelector('[data-if=ok]').hidden === false, row?.textContent ?? '']; }})()",
        json!(label)
    );
    Ok(serde_json::from_value(browser.value(&check).await?)?)
}

async fn price(browser: &Browser) -> Result<String> {
    browser.text("#answers [href='#price'] b").await
}

/// Nothing failed, and nothing is wider than the screen.
async fn stands(browser: &Browser) -> Result<()> {
    assert!(!browser.is_shown("#fault").await?);
    assert_eq!(browser.console().await?, [""; 0]);
    let wide = "document.documentElement.scrollWidth <= (matchMedia('(min-width: 60rem)').matches ? 1280 : 390)";
    assert_eq!(browser.value(wide).await?, json!(true), "too wide");
    Ok(())
}

#[tokio::test]
async fn a_drawing_is_measured_checked_and_gives_the_decal_its_size() -> Result<()> {
    let host = Host::start(&built()?, "/")?;
    let browser = page_in_mm(&host).await?;
    assert!(!browser.is_shown("#artwork .answer").await?);
    open(&browser, "bars.svg", BARS).await?;
    wait_until_read(&browser, "bars.svg").await?;
    browser
        .wait_for_text("#artwork .answer", "100 × 20 mm")
        .await?;
    browser
        .wait_until_shown("#artwork figure svg .film")
        .await?;
    // Joined, the two are one bar: four sides of 100, 20, 100 and 20 mm.
    assert_eq!(measured(&browser, "Pieces that stay").await?, "1");
    assert_eq!(measured(&browser, "Islands to be picked out").await?, "0");
    assert_eq!(measured(&browser, "Outlines to be cut").await?, "1");
    assert_eq!(measured(&browser, "Nodes").await?, "4");
    assert_eq!(measured(&browser, "Cut length").await?, "24 cm");
    browser
        .wait_for_text("#artwork", "from 2 pieces to 1")
        .await?;
    let (ok, text) = checked(&browser, "Lines through film").await?;
    assert!(!ok, "{text}");
    let (ok, text) = checked(&browser, "Thin parts").await?;
    assert!(ok, "{text}");

    // The height follows: 100 mm wide for 20 mm high. Then each side follows the other, up to a millimetre.
    assert_eq!(browser.typed("decal.height").await?, "20");
    browser.type_into("decal.width", "151").await?;
    browser
        .wait_for("document.getElementById('decal.height').value === '31'")
        .await?;
    browser.type_into("decal.height", "40").await?;
    browser
        .wait_for("document.getElementById('decal.width').value === '200'")
        .await?;
    browser
        .wait_for_text("#artwork .answer", "200 × 40 mm")
        .await?;
    browser.click("#keepProportion").await?;
    browser.type_into("decal.width", "300").await?;
    browser
        .wait_for_text("#artwork .answer", "300 × 60 mm")
        .await?;
    assert_eq!(browser.typed("decal.height").await?, "40");
    stands(&browser).await
}

#[tokio::test]
async fn limits_decide_what_passes_and_from_which_size_on() -> Result<()> {
    let host = Host::start(&built()?, "/")?;
    let browser = page_in_mm(&host).await?;
    open(&browser, "ring.svg", RING).await?;
    wait_until_read(&browser, "ring.svg").await?;
    // 100 mm for 60 make the speck 0.83 mm; the limit is 2 mm, which takes 60 / 0.5 * 2 = 240 mm.
    let (ok, text) = checked(&browser, "Specks").await?;
    assert!(!ok && text.contains("passes from 240 mm wide"), "{text}");
    browser
        .click("[data-act=take][data-of='decal.width']")
        .await?;
    browser
        .wait_for_text("#artwork .answer", "240 × 160 mm")
        .await?;
    let (ok, text) = checked(&browser, "Specks").await?;
    assert!(ok, "{text}");
    assert_eq!(browser.typed("decal.height").await?, "160");
    assert!(
        !browser
            .is_shown("[data-act=take][data-of='decal.width']")
            .await?
    );
    // A limit of the maker's own, and back again.
    browser.paste("book.limits.speck", "4 mm").await?;
    browser
        .wait_for_text("#artwork .answer", "Make it 480 mm wide")
        .await?;
    browser.paste("book.limits.speck", "x").await?;
    browser
        .wait_for("document.getElementById('book.limits.speck-error').textContent.length > 10")
        .await?;
    browser
        .wait_for_text("#artwork .answer", "The last good answer")
        .await?;
    browser.paste("book.limits.speck", "2 mm").await?;
    browser
        .wait_for("!document.querySelector('#artwork .answer[data-old]')")
        .await?;
    // Each colour from a film of its own: two of them, each with its own file.
    browser.paste("artwork.colours", "layers").await?;
    browser
        .wait_for("document.querySelectorAll('#artwork [data-act=save-cut-file]').length === 3")
        .await?;
    stands(&browser).await
}

#[tokio::test]
async fn times_of_the_drawing_go_into_the_price_when_they_are_chosen() -> Result<()> {
    let host = Host::start(&built()?, "/")?;
    let browser = page_in_mm(&host).await?;
    let by_log = price(&browser).await?;
    browser.paste("timesBy", "drawing").await?;
    browser
        .wait_for_text("[id='timesBy-error']", "No drawing is open")
        .await?;
    assert!(
        browser
            .is_shown("#answers [href='#price'][data-old]")
            .await?
    );
    browser.paste("timesBy", "log").await?;
    browser
        .wait_for("!document.querySelector('#answers [data-old]')")
        .await?;

    open(&browser, "bars.svg", BARS).await?;
    wait_until_read(&browser, "bars.svg").await?;
    // Nothing changes by itself but the size, and with it the film.
    browser.paste("decal.height", "20").await?;
    let by_log = (by_log, price(&browser).await?);
    browser.wait_for_text("#time", "from 3 entries").await?;
    browser.click("[data-act=take][data-of=timesBy]").await?;
    browser.wait_for_text("#time", "by the drawing").await?;
    assert_eq!(browser.typed("timesBy").await?, "drawing");
    let by_drawing = price(&browser).await?;
    assert_ne!(by_log.1, by_drawing);
    // After a reload the price waits for the light table, and comes out the same though nobody looks at the drawing.
    browser.reload().await?;
    browser
        .wait_for(&format!(
            "document.querySelector('#answers [href=\"#price\"]:not([data-old]) b')?.textContent === {}",
            json!(by_drawing)
        ))
        .await?;
    // Without it there are no times.
    browser.click("[data-act=drop-drawing]").await?;
    browser
        .wait_for_text("[id='timesBy-error']", "No drawing is open")
        .await?;
    browser.paste("timesBy", "log").await?;
    browser
        .wait_for(&format!(
            "document.querySelector('#answers [href=\"#price\"]:not([data-old]) b')?.textContent === {}",
            json!(by_log.1)
        ))
        .await?;
    stands(&browser).await
}

#[tokio::test]
async fn the_drawing_is_kept_on_the_device_until_it_is_taken_away() -> Result<()> {
    let host = Host::start(&built()?, "/shop/")?;
    let browser = page_in_mm(&host).await?;
    open(&browser, "bars.svg", BARS).await?;
    wait_until_read(&browser, "bars.svg").await?;
    let in_fields = "JSON.stringify(localStorage).includes('M10 10h60')";
    assert_eq!(browser.value(in_fields).await?, json!(false));
    browser.reload().await?;
    browser.look_at("#artwork").await?;
    wait_until_read(&browser, "bars.svg").await?;
    assert_eq!(browser.typed("decal.height").await?, "20");

    // Another window has it, too, and lets go of it when this one does.
    let first = browser.driver.window().await?;
    let second = browser.driver.new_tab().await?;
    browser.driver.switch_to_window(second.clone()).await?;
    browser.visit(&host.url()).await?;
    browser.look_at("#artwork").await?;
    wait_until_read(&browser, "bars.svg").await?;
    browser.driver.switch_to_window(first.clone()).await?;
    open(&browser, "ring.svg", RING).await?;
    wait_until_read(&browser, "ring.svg").await?;
    browser.driver.switch_to_window(second.clone()).await?;
    wait_until_read(&browser, "ring.svg").await?;
    browser.driver.switch_to_window(first).await?;

    // Starting over takes it away, and bringing back brings it back.
    browser.click("[data-act=start-over]").await?;
    browser.click("[data-act=start-over-yes]").await?;
    browser
        .wait_for("!document.querySelector('#artwork .answer').checkVisibility()")
        .await?;
    browser.click("[data-act=undo]").await?;
    browser.look_at("#artwork").await?;
    wait_until_read(&browser, "ring.svg").await?;
    browser.click("[data-act=drop-drawing]").await?;
    browser
        .wait_for("!document.querySelector('#artwork .answer').checkVisibility()")
        .await?;
    let none = "new Promise((done) => { const request = indexedDB.open(`decal-reckoner:${location.pathname}:drawings`);
        request.onsuccess = () => { const all = request.result.transaction('drawings').objectStore('drawings').count();
            all.onsuccess = () => { request.result.close(); done(all.result === 0); }; }; })";
    browser.wait_for(none).await?;
    browser.reload().await?;
    browser.look_at("#artwork").await?;
    assert!(!browser.is_shown("#artwork .answer").await?);
    stands(&browser).await
}

/// Lets go of what is in a hand over the section, or pastes it somewhere, as a browser tells of it. Firefox takes what a
/// test pastes by two members of its own.
async fn hand_over(browser: &Browser, kind: &str, text: &str, as_file: bool) -> Result<()> {
    let hand = format!(
        "(() => {{ const data = new DataTransfer(), text = {};
            if ({as_file}) data.items.add(new File([text], 'handed.svg', {{ type: 'image/svg+xml' }}));
            else data.setData('text/plain', text);
            const event = '{kind}' === 'paste' ? new ClipboardEvent('paste', {{ clipboardData: data, dataType: 'text/plain', data: text, bubbles: true, cancelable: true }})
                : new DragEvent('{kind}', {{ dataTransfer: data, bubbles: true, cancelable: true }});
            (event.type === 'paste' ? document.body : document.querySelector('#artwork h2')).dispatchEvent(event);
            return event.defaultPrevented; }})()",
        json!(text)
    );
    assert_eq!(browser.value(&hand).await?, json!(true), "{kind}");
    Ok(())
}

#[tokio::test]
async fn a_drawing_may_be_dropped_or_pasted() -> Result<()> {
    let host = Host::start(&built()?, "/")?;
    let browser = page_in_mm(&host).await?;
    hand_over(&browser, "dragover", BARS, true).await?;
    browser.wait_until_shown("#artwork[data-over]").await?;
    hand_over(&browser, "drop", BARS, true).await?;
    wait_until_read(&browser, "handed.svg").await?;
    assert!(!browser.is_shown("#artwork[data-over]").await?);
    browser.click("[data-act=drop-drawing]").await?;
    hand_over(&browser, "paste", BARS, false).await?;
    wait_until_read(&browser, "pasted.svg").await?;
    browser.click("[data-act=drop-drawing]").await?;
    browser.click("#artwork .drop summary").await?;
    browser.paste("artwork.svg", RING).await?;
    wait_until_read(&browser, "pasted.svg").await?;
    assert_eq!(measured(&browser, "Islands to be picked out").await?, "1");
    // Its text does not stay in the field, where it would be kept with the figures.
    assert_eq!(browser.typed("artwork.svg").await?, "");
    stands(&browser).await
}

#[tokio::test]
async fn what_is_no_drawing_is_said_at_its_field_and_harms_nothing() -> Result<()> {
    let host = Host::start(&built()?, "/")?;
    let browser = page_in_mm(&host).await?;
    let deep = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\">{}{}</svg>",
        "<g>".repeat(100_000),
        "</g>".repeat(100_000)
    );
    let bomb = "<!DOCTYPE svg [<!ENTITY a \"aaaaaaaaaa\"><!ENTITY b \"&a;&a;&a;&a;&a;&a;&a;&a;\">
        <!ENTITY c \"&b;&b;&b;&b;&b;&b;&b;&b;\"><!ENTITY d \"&c;&c;&c;&c;&c;&c;&c;&c;\"><!ENTITY e \"&d;&d;&d;&d;&d;&d;&d;&d;\">]>
        <svg xmlns=\"http://www.w3.org/2000/svg\"><text>&e;</text></svg>";
    let circle = r##"<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink">
        <g id="a"><use xlink:href="#b"/></g><g id="b"><use xlink:href="#a"/></g></svg>"##;
    let active = r#"<svg xmlns="http://www.w3.org/2000/svg" onload="document.title='ran'"><script>document.title='ran'</script>
        <image href="https://example.com/a.png" width="9" height="9"/></svg>"#;
    for (name, text) in [
        ("list.svg", "name, width\nA, 3\n"),
        ("empty.svg", ""),
        (
            "broken.svg",
            "<svg xmlns=\"http://www.w3.org/2000/svg\"><path d=\"M0 0",
        ),
        ("nothing.svg", "<svg xmlns=\"http://www.w3.org/2000/svg\"/>"),
        ("deep.svg", &deep),
        ("bomb.svg", bomb),
        ("circle.svg", circle),
        ("active.svg", active),
    ] {
        open(&browser, name, text).await?;
        browser
            .wait_for("document.getElementById('artwork.svg-error').textContent.length > 10")
            .await?;
        assert!(
            browser.is_shown("[id='artwork.svg-error']").await?,
            "{name}"
        );
        assert!(!browser.is_shown("#artwork .answer").await?, "{name}");
        // The rest goes on.
        browser.paste("decal.width", "90").await?;
        browser.paste("decal.width", "100").await?;
        stands(&browser).await?;
        browser.click("[data-act=drop-drawing]").await?;
        browser
            .wait_for("document.getElementById('artwork.svg-error').hidden")
            .await?;
    }
    let asked = browser.requests().await?;
    let own = |address: &&String| {
        address.starts_with(&host.url())
            || address.starts_with("data:")
            || address.starts_with("blob:")
    };
    assert_eq!(
        asked
            .iter()
            .filter(|address| !own(address))
            .collect::<Vec<_>>(),
        [""; 0]
    );
    assert_ne!(browser.value("document.title").await?, json!("ran"));

    // What is too large is not even read.
    open(&browser, "large.svg", &" ".repeat(8_000_001)).await?;
    browser
        .wait_for_text("[id='artwork.svg-error']", "at most 8 MB")
        .await?;
    stands(&browser).await
}

#[tokio::test]
async fn the_joined_drawing_is_saved_for_the_cutter() -> Result<()> {
    let host = Host::start(&built()?, "/")?;
    let browser = page_in_mm(&host).await?;
    open(&browser, "bars.svg", BARS).await?;
    wait_until_read(&browser, "bars.svg").await?;
    let watch = "(() => { window.saved = []; URL.createObjectURL = (blob) => { saved.push(blob); return 'blob:none'; };
        HTMLAnchorElement.prototype.click = function () { saved.push(this.download); }; return true; })()";
    browser.value(watch).await?;
    browser.paste("cutFile.border", "5").await?;
    browser
        .click("#artwork details:has([data-act=save-cut-file]) summary")
        .await?;
    browser.click("[data-act=save-cut-file]").await?;
    browser.wait_for("saved.length === 2").await?;
    let name = browser.value("saved[1]").await?;
    assert_eq!(name, json!("bars-joined.svg"));
    // The bar is 100 by 20 mm, and the border 5 mm off on each side. The browser reads the file.
    let text = browser.value("saved[0].text()").await?;
    let read = "(() => { const svg = document.documentElement;
        const box = svg.querySelector('#film-1').getBBox(), border = svg.querySelector('#weeding-border').getBBox();
        const found = [svg.getAttribute('width'), svg.getAttribute('height'), box.width, box.height, border.width, border.height];
        return found; })()";
    let found = browser
        .value_in_drawing(text.as_str().unwrap_or_default(), read)
        .await?;
    assert_eq!(found, json!(["110mm", "30mm", 100, 20, 110, 30]));
    // What is wrong with it is said at its field, and nothing is saved.
    browser.paste("cutFile.border", "wide").await?;
    browser.click("[data-act=save-cut-file]").await?;
    browser
        .wait_for("document.getElementById('cutFile.border-error').textContent.length > 10")
        .await?;
    assert_eq!(browser.value("saved.length").await?, json!(2));
    // Another answer about the drawing leaves it said, and a saved file takes it away.
    browser.paste("book.limits.part", "7 mm").await?;
    browser
        .wait_for("document.querySelector('.checks').textContent.includes('7 mm')")
        .await?;
    let said = "document.getElementById('cutFile.border-error').textContent.length > 10";
    assert_eq!(browser.value(said).await?, json!(true));
    browser.paste("cutFile.border", "6").await?;
    browser.click("[data-act=save-cut-file]").await?;
    browser.wait_for("saved.length === 4").await?;
    browser.wait_for(&format!("!({said})")).await?;
    stands(&browser).await
}

#[tokio::test]
async fn the_silhouette_is_shown_in_the_decal_and_in_its_pieces() -> Result<()> {
    let host = Host::start(&built()?, "/")?;
    let browser = page_in_mm(&host).await?;
    open(&browser, "bars.svg", BARS).await?;
    wait_until_read(&browser, "bars.svg").await?;
    browser
        .wait_for("document.querySelector('[data-picture=decal] .silhouette')")
        .await?;
    assert!(!browser.is_shown("[data-picture=decal] .lettering").await?);
    // The silhouette of each piece fills its rectangle, turned or not.
    let fill = "(() => { const pieces = document.querySelector('[data-picture=material] path.piece');
        const rects = pieces.getAttribute('d').split('M').slice(1).map((piece) => piece.split(/[ hv]/).slice(0, 4).map(Number));
        const shown = [...document.querySelectorAll('[data-picture=material] .silhouette')];
        const outside = pieces.getScreenCTM().inverse();
        const boxes = shown.map((use) => { const box = use.getBoundingClientRect();
            const [a, b] = [new DOMPoint(box.left, box.top), new DOMPoint(box.right, box.bottom)].map((at) => at.matrixTransform(outside));
            return [a.x, a.y, b.x - a.x, b.y - a.y]; });
        return rects.length > 1 && rects.every((rect) => boxes.some((box) => box.every((side, at) => Math.abs(side - rect[at]) < 0.6))); })()";
    browser.wait_for(fill).await?;
    browser.click("[data-act=drop-drawing]").await?;
    browser
        .wait_for("!document.querySelector('.silhouette')")
        .await?;
    assert!(browser.is_shown("[data-picture=decal] .lettering").await?);
    stands(&browser).await
}

#[tokio::test]
async fn the_light_table_works_without_a_network_once_it_is_kept() -> Result<()> {
    let mut host = Host::start(&built()?, "/of/somebody/")?;
    let browser = Browser::open(390, 844).await?;
    browser.visit(&host.url()).await?;
    browser.wait_until_kept().await?;
    browser.wait_until_parts_are_kept().await?;
    // It was kept, and not started, for no drawing is open.
    host.stop()?;
    browser.visit(&host.url()).await?;
    browser.look_at("#artwork").await?;
    browser.click("[data-act=try-drawing]").await?;
    wait_until_read(&browser, "kittiwake.svg (invented)").await?;
    // The invented one has something to mend of most kinds.
    browser
        .wait_for_text("#artwork .answer", "things to mend")
        .await?;
    stands(&browser).await
}

#[tokio::test]
async fn the_light_table_is_loaded_with_a_drawing_and_says_when_it_cannot_be_had() -> Result<()> {
    let mut host = Host::start(&built()?, "/")?;
    let browser = Browser::open(390, 844).await?;
    browser
        .prepare_pages(
            "navigator.serviceWorker.register = () => Promise.reject(new Error('not here'))",
        )
        .await?;
    browser.visit(&host.url()).await?;
    browser.look_at("#artwork").await?;
    browser.paste("decal.width", "8").await?;
    assert!(!host.asked().iter().any(|path| path.contains("light-table")));
    host.stop()?;
    open(&browser, "bars.svg", BARS).await?;
    browser
        .wait_for_text("#artwork", "it needs the network once")
        .await?;
    // Only where it is missed.
    assert!(
        !browser
            .is_shown("#order [data-missing=light-table]")
            .await?
    );
    host.start_again()?;
    browser.value("dispatchEvent(new Event('online'))").await?;
    wait_until_read(&browser, "bars.svg").await?;
    browser
        .wait_for("!document.querySelector('[data-missing=light-table]')")
        .await?;
    Ok(())
}

#[tokio::test]
async fn the_section_can_be_looked_at() -> Result<()> {
    let host = Host::start(&built()?, "/")?;
    for (width, height) in [(390, 844), (1280, 900)] {
        let browser = Browser::open(width, height).await?;
        browser.visit(&host.url()).await?;
        browser.look_at("#artwork").await?;
        browser.screenshot(&format!("artwork-none-{width}")).await?;
        browser.click("[data-act=try-drawing]").await?;
        wait_until_read(&browser, "kittiwake.svg (invented)").await?;
        browser.look_at("#artwork").await?;
        browser.screenshot(&format!("artwork-{width}")).await?;
        stands(&browser).await?;
    }
    Ok(())
}

/// A right triangle of 100 by 100 mm, half of its rectangle.
const TRIANGLE: &str = r#"<svg xmlns="http://www.w3.org/2000/svg" width="100mm" height="100mm" viewBox="0 0 100 100">
    <path d="M0 0h100L0 100z"/></svg>"#;

#[tokio::test]
async fn copies_are_laid_by_their_true_shape_when_it_is_asked_for() -> Result<()> {
    let host = Host::start(&built()?, "/")?;
    let browser = page_in_mm(&host).await?;
    open(&browser, "pennant.svg", TRIANGLE).await?;
    wait_until_read(&browser, "pennant.svg").await?;
    for (name, text) in [
        ("stock", "roll"),
        ("material.sheet.width", "110"),
        ("material.margin", "0"),
        ("material.gap", "0"),
        ("rollCount", "4"),
    ] {
        browser.paste(name, text).await?;
    }
    // By their rectangles each takes 100 mm of the roll.
    browser
        .wait_for_text("#answers [href='#film']", "400 mm")
        .await?;
    assert!(!browser.is_shown("#film [data-answer=nest]").await?);
    browser.click("[data-act=nest]").await?;
    browser
        .wait_until_shown("#film [data-answer=nest] svg use")
        .await?;
    browser
        .wait_for("document.getElementById('nest-progress').hidden")
        .await?;
    // Two of them make a square. Four have 20 000 mm² of area, which on 110 mm take 182 mm at least.
    let length =
        "parseFloat(document.querySelector('[data-answer=nest] [data-slot=headline]').textContent)";
    let length = browser.value(length).await?.as_f64().unwrap_or_default();
    assert!((182.0..300.0).contains(&length), "{length}");
    browser
        .wait_for_text("#film [data-answer=nest]", "Saves")
        .await?;
    let copies = "document.querySelectorAll('#film [data-answer=nest] svg use').length";
    assert_eq!(browser.value(copies).await?, json!(4));
    browser.screenshot("true-shape").await?;
    // What was asked before is told from what stands there now.
    browser.paste("rollCount", "5").await?;
    browser
        .wait_for_text("#film [data-answer=nest]", "lay it anew")
        .await?;
    browser.click("[data-act=nest]").await?;
    browser
        .wait_for(&format!(
            "{copies} === 5 && document.getElementById('nest-progress').hidden"
        ))
        .await?;
    assert!(!browser.is_shown("#film [data-answer=nest] .old").await?);
    // A piece that does not fit is said at a field.
    browser.paste("material.sheet.width", "90").await?;
    stands(&browser).await
}

#[tokio::test]
async fn every_field_of_the_drawing_says_what_is_wrong() -> Result<()> {
    let host = Host::start(&built()?, "/")?;
    let browser = page_in_mm(&host).await?;
    open(&browser, "bars.svg", BARS).await?;
    wait_until_read(&browser, "bars.svg").await?;
    let before = browser.text("#artwork .answer").await?;
    // Times are told of what is measured, so that the limits come first.
    for beginning in ["book.limits.", "book.plotter.", "book.weeding."] {
        let fields = format!("[...document.querySelectorAll('#artwork [name^=\"{beginning}\"]')]");
        let good = browser
            .value(&format!("{fields}.map((field) => field.value)"))
            .await?;
        assert!(good.as_array().is_some_and(|good| good.len() > 2));
        let put = |texts: &str| {
            format!(
                "(() => {{ const fields = {fields}, texts = {texts}; fields.forEach((field, at) => field.value = texts[at % texts.length]);
                    fields[0].dispatchEvent(new Event('change', {{ bubbles: true }})); return true; }})()"
            )
        };
        for bad in [
            "-1",
            "1e9999",
            "99999999999999999999",
            "abc",
            "<b>x</b>",
            "3 furlongs",
        ] {
            browser.value(&put(&json!([bad]).to_string())).await?;
            browser
                .wait_for(&format!(
                    "{fields}.every((field) => {{ const error = document.getElementById(field.name + '-error');
                        return field.ariaInvalid === 'true' && !error.hidden && error.textContent.length > 20 && field.value === {}; }})",
                    json!(bad)
                ))
                .await?;
            assert!(!browser.is_shown("#fault").await?, "{beginning} {bad}");
        }
        browser.value(&put(&good.to_string())).await?;
        browser
            .wait_for(&format!(
                "{fields}.every((field) => field.ariaInvalid !== 'true')"
            ))
            .await?;
    }
    browser
        .wait_for("!document.querySelector('#artwork .answer[data-old]')")
        .await?;
    assert_eq!(browser.text("#artwork .answer").await?, before);
    stands(&browser).await
}
