//! The package in a page of somebody else's, as the README shows it.

use site_tests::{Browser, Host, Result, Scratch, copy_package, root};
use std::fs;

#[tokio::test]
async fn a_page_of_somebody_elses_reckons_with_the_package() -> Result<()> {
    let site = Scratch::new()?;
    copy_package(&site.path().join("decal-reckoner"))?;
    fs::copy(
        root().join("tests/package/page.html"),
        site.path().join("index.html"),
    )?;
    let host = Host::start(site.path(), "/")?;
    let browser = Browser::open(390, 844).await?;
    browser.driver.goto(host.url()).await?;
    browser.wait_for_text("output", "7 a sheet").await?;
    // Three by three, turned or not: 11 5/8 by 23 5/8 in hold 3 times 7 of 3 1/8 in.
    browser.type_into("width", "3").await?;
    browser.wait_for_text("output", "21 a sheet").await?;
    browser.type_into("width", "wide").await?;
    browser.wait_for_text("output", "is not a number").await?;
    assert_eq!(browser.console().await?, [""; 0]);
    Ok(())
}

/// The card of the example: 9 in of white film by post are 11.00 and 2.25.
#[tokio::test]
async fn the_example_shows_a_price_list() -> Result<()> {
    let site = Scratch::new()?;
    copy_package(&site.path().join("decal-reckoner"))?;
    let host = Host::start(site.path(), "/")?;
    let browser = Browser::open(390, 844).await?;
    let page = format!("{}decal-reckoner/example.html", host.url());
    browser.driver.goto(page).await?;
    browser
        .wait_for_text("#chosen", "1 × 6 in in white: 10.25 USD")
        .await?;
    browser.look_into(Some("iframe")).await?;
    browser.click("#steps button:nth-child(2)").await?;
    browser.look_into(None).await?;
    browser
        .wait_for_text("#chosen", "1 × 9 in in white: 13.25 USD")
        .await?;
    assert_eq!(browser.console().await?, [""; 0]);
    Ok(())
}
