//! A maker asks how far a decal reads under the conditions of a place, and sees which rule says so.

use site_tests::{Browser, Host, Result, built};

/// Where the answer in the bar about readability stands.
const FAR: &str = "#answers [href='#read']";

/// Opens the details of readability of that number, from 1 on.
async fn open(browser: &Browser, number: u32) -> Result<()> {
    let selector = format!("#read details:nth-of-type({number}) > summary");
    browser.look_at(&selector).await?;
    browser.click(&selector).await
}

#[tokio::test]
async fn conditions_take_from_the_distance_and_say_why() -> Result<()> {
    let host = Host::start(&built()?, "/")?;
    let browser = Browser::open(390, 844).await?;
    browser.visit(&host.url()).await?;
    // 1 1/2 in and 20/40: 42.97 ft, told apart and no more; eyes of 20/20 twice as far.
    browser.wait_for_text(FAR, "42 ft").await?;
    browser.wait_for_text("#read .grades", "85 ft").await?;

    // From 60 degrees aside half of it, 21.48 ft: the cosine.
    open(&browser, 3).await?;
    browser.type_into("legibility.aside", "60").await?;
    browser.wait_for_text(FAR, "21 ft").await?;
    browser
        .wait_for_text("#read .answer", "seen from aside, 60° 50 %")
        .await?;
    browser.type_into("legibility.aside", "left").await?;
    browser
        .wait_for("document.getElementById('legibility.aside-error')?.hidden === false")
        .await?;
    // While it was empty it was straight before it.
    browser.wait_for_text(FAR, "42 ft old answer").await?;
    browser.type_into("legibility.aside", "0").await?;
    browser.wait_for_text(FAR, "42 ft").await?;

    // Reflectances of 60 and 20 differ by two thirds: the root of 0.6667 / 0.7 leaves 41.9 ft.
    open(&browser, 2).await?;
    browser
        .choose("legibility.contrast.by", "reflectances")
        .await?;
    browser
        .type_into("legibility.contrast.filmReflectance", "60")
        .await?;
    browser
        .type_into("legibility.contrast.groundReflectance", "20")
        .await?;
    browser.wait_for_text(FAR, "41 ft").await?;
    browser
        .wait_for_text("#read details:nth-of-type(2)", "differs by 66 %")
        .await?;
    browser
        .wait_for_text("#read details:nth-of-type(2)", "less than the advised 70 %")
        .await?;
    // On glass its light is asked for instead of the ground.
    browser
        .choose("legibility.contrast.glass", "inside")
        .await?;
    assert!(
        browser
            .is_shown("[name='legibility.contrast.transmission']")
            .await?
    );
    assert!(
        !browser
            .is_shown("[name='legibility.contrast.groundReflectance']")
            .await?
    );
    browser.choose("legibility.contrast.by", "strong").await?;
    browser.choose("legibility.contrast.glass", "none").await?;
    browser.wait_for_text(FAR, "42 ft").await?;
    assert_eq!(browser.console().await?, [""; 0]);
    Ok(())
}

#[tokio::test]
async fn places_and_all_rules_are_listed() -> Result<()> {
    let host = Host::start(&built()?, "/")?;
    let browser = Browser::open(390, 844).await?;
    browser.visit(&host.url()).await?;
    open(&browser, 4).await?;
    let places = "#read details:nth-of-type(4)";
    browser.wait_for_text(places, "moored boat, 80 ft").await?;
    // A place that is chosen is the distance: 80 ft take letters of 2.79 in, up to a sixteenth.
    browser.choose("legibility.place", "4").await?;
    assert!(!browser.is_shown("[name='legibility.distance']").await?);
    browser
        .wait_for_text(
            "#read .answer",
            "For 80 ft the letters would need 2 13/16 in",
        )
        .await?;
    browser
        .wait_for_text("[data-picture=legibility]", "80 ft")
        .await?;
    // And goes with the distance that is typed for it.
    browser.type_into("book.places[4].distance", "40").await?;
    browser
        .wait_for_text("#read .answer", "For 40 ft letters of")
        .await?;
    browser.wait_for_text(places, "moored boat, 40 ft").await?;
    browser.reload().await?;
    browser
        .wait_for_text("#read .answer", "For 40 ft letters of")
        .await?;

    open(&browser, 5).await?;
    let rules = "#read details:nth-of-type(5)";
    browser
        .wait_for_text(rules, "Traffic legibility index")
        .await?;
    // 30 ft to the inch, and 5/8 in at least by the accessibility table, which is not for this case.
    browser.wait_for_text(rules, "45 ft").await?;
    browser
        .wait_for_text(rules, "2010 ADA Standards for Accessible Design")
        .await?;
    browser.wait_for_text(rules, "Not for this case.").await?;
    assert_eq!(browser.console().await?, [""; 0]);
    Ok(())
}

#[tokio::test]
async fn a_letter_height_that_is_left_out_comes_from_the_words() -> Result<()> {
    let host = Host::start(&built()?, "/")?;
    let browser = Browser::open(1280, 900).await?;
    browser.visit(&host.url()).await?;
    // Nine letters of DIN 1451-4 are 44 units wide, a letter is 7 high: 9 in make 1.432 in, 41.02 ft.
    browser.paste("decal.lettering", "KITTIWAKE").await?;
    // As a ruler has it, to the sixteenth below.
    browser
        .wait_for_text("#decal .work", "letters of 1 3/8 in")
        .await?;
    browser.paste("decal.letterHeight", "").await?;
    browser.wait_for_text(FAR, "41 ft").await?;
    // Small letters are told apart from three quarters of that.
    browser.paste("decal.lettering", "Kittiwake").await?;
    browser.wait_for_text(FAR, "30 ft").await?;
    // Without words there is nothing to work it out from.
    browser.paste("decal.lettering", "").await?;
    browser
        .wait_for_text(
            "[id='decal.letterHeight-error']",
            "or the words of the decal",
        )
        .await?;
    browser.wait_for_text(FAR, "30 ft old answer").await?;
    browser.paste("decal.letterHeight", "1 1/2").await?;
    browser.wait_for_text(FAR, "42 ft").await?;
    assert_eq!(browser.console().await?, [""; 0]);
    Ok(())
}
