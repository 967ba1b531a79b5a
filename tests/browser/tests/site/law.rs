//! Sizes set by law, on the page: the points follow the decal and the kind that is chosen.

use serde_json::json;
use site_tests::{Browser, Host, Result, built};

#[tokio::test]
async fn the_points_follow_the_decal_and_what_is_lettered() -> Result<()> {
    let host = Host::start(&built()?, "/")?;
    let browser = Browser::open(390, 844).await?;
    browser.visit(&host.url()).await?;
    browser.look_at("#law").await?;
    let headline = "#law .figure";
    // 33 CFR 173.27: 3 in; the letters of the first visit are 1 1/2 in high, its words no number.
    let first = "1 point met, 2 not: letters 1 1/2 in high, 3 in needed";
    browser.wait_for_text(headline, first).await?;
    for (field, text) in [
        ("decal.lettering", "DC 5678 EF"),
        ("decal.width", "40"),
        ("decal.height", "6"),
        ("decal.letterHeight", "3"),
    ] {
        browser.paste(field, text).await?;
    }
    browser
        .wait_for_text(headline, "3 points met, none missed")
        .await?;
    browser
        .wait_for_text(
            "#law .answer",
            "Check the current text and your local rules",
        )
        .await?;
    // 14 CFR 45.29: 12 in. What only a boat is asked for is gone.
    browser.paste("law.groupGap", "wide").await?;
    browser
        .wait_for("document.querySelector('#errors a[href=\"#law.groupGap\"]')?.href")
        .await?;
    browser.choose("law.kind", "aircraftMark").await?;
    let high = "letters 3 in high, 12 in needed";
    browser.wait_for_text(headline, high).await?;
    browser
        // So large a decal does not fit the sheet, which is another matter.
        .wait_for("!document.querySelector('#errors a[href=\"#law.groupGap\"]')")
        .await?;
    browser.choose("law.craft", "light").await?;
    // Eight characters, of which none is a 1: 8 x 2 in and 7 gaps of 1/2 in are 19 1/2 in, and 40 are there.
    browser
        .wait_for_text(headline, "2 points met, none missed")
        .await?;
    // 49 CFR 393.60(e): nothing is met by what was not looked at.
    browser.choose("law.kind", "windscreen").await?;
    browser
        .wait_for_text(headline, "1 not measured, 2 to look at yourself")
        .await?;
    browser.choose("law.screen", "swept").await?;
    browser
        .wait_for_text(headline, "0 points met, 1 not: swept")
        .await?;
    // A rule without an address has no link that leads nowhere.
    let link = "document.querySelector('#law .why a').hasAttribute('href')";
    assert_eq!(browser.value(link).await?, json!(true));
    browser.choose("law.kind", "signalWord").await?;
    browser.wait_for_text("#law .why", "ANSI Z535").await?;
    assert_eq!(browser.value(link).await?, json!(false));
    let wide = "document.documentElement.scrollWidth <= 390";
    assert_eq!(browser.value(wide).await?, json!(true), "too wide");
    assert_eq!(browser.console().await?, [""; 0]);
    Ok(())
}
