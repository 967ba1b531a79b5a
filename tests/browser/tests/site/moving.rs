//! A maker asks whether a driver has the time to read it: the fields go with the way that is chosen, and
//! what is wrong with one of them stands beside it.

use site_tests::{Browser, Host, Result, built};

#[tokio::test]
async fn a_driver_at_a_light_has_time_for_twenty_words() -> Result<()> {
    let host = Host::start(&built()?, "/")?;
    let browser = Browser::open(390, 844).await?;
    browser.visit(&host.url()).await?;
    browser.look_at("#moving").await?;
    browser
        .wait_for_text("#moving .answer", "Read in time")
        .await?;
    assert!(browser.is_shown("[name='walk.speed']").await?);
    assert!(!browser.is_shown("[name='light.wait']").await?);

    // One word takes 1/3 + 2 s, three words take 3 s; a word a second makes twenty of them.
    browser.choose("moving.way", "light").await?;
    let one = "Read in time: 20 s for 1 word that takes 2.33 s.";
    browser.wait_for_text("#moving .answer", one).await?;
    browser
        .wait_for_text("#moving .answer", "Up to 20 words")
        .await?;
    assert!(!browser.is_shown("[name='walk.speed']").await?);
    assert!(browser.is_shown("[name='light.wait']").await?);
    browser.type_into("moving.words", "3").await?;
    browser.type_into("light.wait", "2.5").await?;
    let short = "Not read in time: 2.5 s for 3 words that take 3 s.";
    browser.wait_for_text("#moving .answer", short).await?;

    // The last good answer stays while a field is wrong; what was typed stays, too.
    browser.type_into("light.wait", "a while").await?;
    let wrong = "document.getElementById('light.wait-error')?.hidden === false";
    browser.wait_for(wrong).await?;
    browser.wait_until_shown("#moving .answer .old").await?;
    browser.wait_for_text("#moving .answer", short).await?;
    assert_eq!(browser.typed("light.wait").await?, "a while");
    // A field of another way is not asked about.
    browser.type_into("light.wait", "1 min").await?;
    browser
        .wait_for_text("#moving .answer", "60 s for 3 words")
        .await?;
    browser.choose("moving.way", "following").await?;
    browser.type_into("follow.gap", "5 ft").await?;
    browser
        .wait_for_text("#moving .answer", "Read while they follow")
        .await?;
    browser.type_into("follow.gap", "far").await?;
    browser.wait_until_shown("#moving .answer .old").await?;
    browser.choose("moving.way", "light").await?;
    browser
        .wait_for_text("#moving .answer", "60 s for 3 words")
        .await?;
    assert!(!browser.is_shown("#errors").await?);
    assert_eq!(browser.console().await?, [""; 0]);
    Ok(())
}
