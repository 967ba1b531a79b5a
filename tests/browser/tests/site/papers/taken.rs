//! What is on the papers taken elsewhere: as tables, as a picture, by a customer.

use super::open_papers;
use serde_json::Value;
use site_tests::{Browser, Host, Result, built};

/// What the page hands to the browser to be saved from now on, in the order in which it does.
const CATCH: &str =
    "globalThis.saved = []; URL.createObjectURL = (file) => { saved.push(file); return '#'; };
    HTMLAnchorElement.prototype.click = function () { saved.at(-1).name = this.download; };";

#[tokio::test]
async fn tables_and_the_picture_can_be_taken_elsewhere() -> Result<()> {
    let host = Host::start(&built()?, "/")?;
    let browser = Browser::open(1280, 900).await?;
    browser.prepare_pages(CATCH).await?;
    open_papers(&browser, &host).await?;
    browser
        .value(&format!("(() => {{ {CATCH} return true; }})()"))
        .await?;
    browser.paste("number", "7/a").await?;
    browser.click("[data-take=quote-csv]").await?;
    let file = browser
        .value("saved.at(-1).text().then((text) => [saved.at(-1).name, text])")
        .await?;
    let file: Vec<String> = serde_json::from_value(file)?;
    assert_eq!(file[0], "quote-7-a.csv");
    // RFC 4180, 2: lines end in CR LF; a cell with a comma or a new line stands in quotes. Amounts without a sign.
    let lines: Vec<&str> = file[1].split("\r\n").collect();
    assert_eq!(lines[0], "What,Pieces,Each,Amount");
    assert!(
        lines[1].starts_with("\"Boat name, cut film\n") && lines[1].ends_with("\",3,19.95,59.85"),
        "{lines:?}"
    );
    assert!(lines.contains(&"Together,,,67.24"), "{lines:?}");
    assert_eq!(lines.last(), Some(&""));
    browser.click("[data-take=picture-svg]").await?;
    let svg = browser.value("saved.at(-1).text()").await?;
    assert!(
        svg.as_str()
            .unwrap_or_default()
            .starts_with("<svg xmlns=\"http://www.w3.org/2000/svg\""),
        "{svg}"
    );
    browser.click("[data-take=picture-png]").await?;
    browser
        .wait_for("saved.at(-1).type === 'image/png'")
        .await?;
    let size = "createImageBitmap(saved.at(-1)).then(({ width, height }) => [width, height])";
    let size: Vec<Value> = serde_json::from_value(browser.value(size).await?)?;
    assert!(
        size.iter()
            .all(|side| side.as_u64().is_some_and(|side| side > 500 && side <= 4096)),
        "{size:?}"
    );
    browser.click("[data-take=facts-text]").await?;
    let text = browser
        .value("document.getElementById('copied').value")
        .await?;
    assert!(
        text.as_str()
            .unwrap_or_default()
            .contains("Words\tKITTIWAKE"),
        "{text}"
    );
    assert_eq!(browser.console().await?, [""; 0]);
    Ok(())
}
