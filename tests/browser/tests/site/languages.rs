//! The maker's page in Spanish: all of it, the same figures as in English, and one store for both.

use serde_json::json;
use site_tests::{Browser, Host, Result, built};

/// Words that English has in nearly every sentence, or that a report has for a machine, and Spanish has none of.
const ENGLISH: &str = "the|of|and|with|from|for|is|are|not|you|your|this|that|which|by|at|on|what|how|to be|can|each|without|will|yes|careful|easy|none";

/// Names of publications, which are quoted as they are.
const PUBLICATIONS: &str = "Manual on Uniform Traffic Control Devices|ADA Standards for Accessible Design|Rules of Thumb|Means of Escape, About viewing distances";

/// Texts of the page that have such words, but for what is meant to be English: names of publications and of invented
/// people, and the link to the page in English.
fn left_in_english() -> String {
    format!(
        "(() => {{
            const english = /(?<![\\p{{L}}'’-])(?:{ENGLISH})(?![\\p{{L}}'’-])/iu;
            const meant = '[lang=en], script, style, #card-text, #papers-text, cite';
            const found = new Set();
            const note = (text, where) => english.test(text.replaceAll(/{PUBLICATIONS}/gu, '')) && found.add(`${{where}}: ${{text.trim().replaceAll(/\\s+/gu, ' ')}}`);
            const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
            while (walker.nextNode()) {{
                const parent = walker.currentNode.parentElement;
                if (!parent.closest(meant)) note(walker.currentNode.data, parent.closest('section')?.id ?? '');
            }}
            for (const element of document.querySelectorAll('body *')) {{
                for (const name of ['aria-label', 'alt', 'placeholder', 'title', 'label']) note(element.getAttribute(name) ?? '', name);
                if (element.matches('input:not([type=checkbox], [type=radio]), textarea') && !element.closest(meant)) note(element.value, element.name);
            }}
            return [...found];
        }})()"
    )
}

#[tokio::test]
async fn no_english_is_left_on_the_page_in_spanish() -> Result<()> {
    let host = Host::start(&built()?, "/")?;
    let browser = Browser::open(390, 844).await?;
    browser.visit(&format!("{}es/", host.url())).await?;
    assert_eq!(
        browser.value("document.documentElement.lang").await?,
        json!("es")
    );
    browser.click("[data-act=try-drawing]").await?;
    browser.click("[data-copy-out]").await?;
    browser
        .value("[...document.querySelectorAll('details')].map((part) => part.open = true).length")
        .await?;
    browser.look_at_all().await?;
    browser
        .wait_for("!document.querySelector('[data-answer][data-waiting]')")
        .await?;
    assert_eq!(browser.value(&left_in_english()).await?, json!([]));

    // Wrong entries are told of in it, too.
    for (field, text) in [
        ("decal.width", "as wide as it goes"),
        ("legibility.distance", "-4"),
        ("quote.pieces", "1.5"),
        ("book.wage", ""),
        ("list", "Proa; ancho"),
        ("cutFile.border", "huge"),
    ] {
        browser.paste(field, text).await?;
    }
    browser.wait_until_shown("#errors li").await?;
    browser
        .wait_for("!document.querySelector('[data-answer][data-waiting]')")
        .await?;
    let mut left = browser.value(&left_in_english()).await?;
    if let Some(left) = left.as_array_mut() {
        // What was typed is shown as it was typed.
        left.retain(|text| !text.to_string().contains("as wide as it goes"));
    }
    assert_eq!(left, json!([]));
    Ok(())
}

#[tokio::test]
async fn both_languages_keep_one_set_of_figures_and_tell_the_same() -> Result<()> {
    let mut host = Host::start(&built()?, "/shop/")?;
    let browser = Browser::open(390, 844).await?;
    browser.visit(&host.url()).await?;
    browser.choose("unit", "cm").await?;
    browser.paste("decal.width", "12.5").await?;
    browser.paste("legibility.distance", "7.25 m").await?;
    browser
        .wait_for_text("#answers [href='#price']", "$")
        .await?;
    let answers =
        "[...document.querySelectorAll('#answers b')].map((answer) => answer.textContent)";
    let english = browser.value(answers).await?;

    browser.click("#languages [hreflang=es]").await?;
    browser
        .wait_for("document.documentElement.lang === 'es' && 'started' in document.documentElement.dataset")
        .await?;
    assert_eq!(browser.typed("decal.width").await?, "12.5");
    browser.paste("decal.width", "12,5").await?;
    browser
        .wait_for_text("#answers [href='#price']", "$")
        .await?;
    let spanish = browser.value(answers).await?;
    assert_ne!(english, spanish);
    let digits = |answers: &serde_json::Value| -> String {
        let kept = |letter: &char| letter.is_ascii_digit();
        answers.to_string().chars().filter(kept).collect()
    };
    assert_eq!(digits(&english), digits(&spanish), "{english} {spanish}");

    // It works without a network, and what it keeps is the other's.
    browser.wait_until_kept().await?;
    host.stop()?;
    browser.reload().await?;
    browser
        .wait_for_text("#answers [href='#price']", "$")
        .await?;
    assert_eq!(browser.typed("decal.width").await?, "12,5");
    host.start_again()?;
    browser.click("#languages [hreflang=en]").await?;
    browser
        .wait_for("document.documentElement.lang === 'en' && 'started' in document.documentElement.dataset")
        .await?;
    assert_eq!(browser.typed("decal.width").await?, "12,5");
    assert_eq!(browser.value(answers).await?, english);
    assert_eq!(browser.console().await?, [""; 0]);
    Ok(())
}
