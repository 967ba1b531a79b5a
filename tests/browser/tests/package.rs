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
