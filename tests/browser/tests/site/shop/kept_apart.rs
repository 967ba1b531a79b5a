//! The frame in a sandbox, what the element's attributes say, and the colours that a shop names.

use super::{Stage, card};
use serde_json::json;
use site_tests::Result;

#[tokio::test]
async fn a_sandbox_has_no_origin_and_no_store_and_works() -> Result<()> {
    let stage = Stage::set(&format!(
        "<decal-quote id=inside sandboxed><script type=application/json>{}</script></decal-quote>",
        card()
    ))
    .await?;
    let browser = &stage.browser;
    stage
        .hear("inside", "quote", "detail.quote.total === '11.10'")
        .await?;
    stage
        .hear("inside", "height", "detail.height > 300")
        .await?;
    stage.enter("inside").await?;
    assert_eq!(browser.value("origin").await?, json!("null"));
    let store =
        "(() => { try { return localStorage.length; } catch ({ name }) { return name; } })()";
    assert_eq!(browser.value(store).await?, json!("SecurityError"));
    browser.type_into("pieces", "4").await?;
    browser.click("#copy").await?;
    stage.leave().await?;
    // 4 × 8.00 = 32.00; 8.25 % of 34.25 are 2.825625, 2.83; together 37.08.
    stage
        .hear("inside", "quote", "detail.quote.total === '37.08'")
        .await?;
    stage
        .hear("inside", "request", "detail.by === 'copy'")
        .await?;
    stage.is_calm().await?;

    // A card beside the page is of another origin than a page that has none.
    stage
        .show("<decal-quote id=beside sandboxed></decal-quote>")
        .await?;
    stage
        .hear("beside", "problem", "detail.problem === 'card-unreachable'")
        .await?;
    stage.enter("beside").await?;
    browser
        .wait_for_text("#problem", "could not be loaded")
        .await?;
    assert!(browser.is_shown("#again").await?);
    stage.leave().await?;
    // The browser says so too, and says no more than that.
    let console = browser.console().await?;
    assert!(
        console.iter().all(|said| said.contains("rate-card.json")),
        "{console:?}"
    );
    stage.site.send("Access-Control-Allow-Origin: *");
    stage.enter("beside").await?;
    browser.click("#again").await?;
    stage.leave().await?;
    stage
        .hear("beside", "quote", "detail.quote.total === '11.10'")
        .await?;
    stage.is_calm().await
}

#[tokio::test]
async fn the_element_passes_on_what_its_attributes_say() -> Result<()> {
    let stage = Stage::set(
        "<decal-quote id=a language=es channel=table label=Precios theme=\"ink: rgb(1, 2, 3); accent: teal; figures: monospace;
         wage: 1; rule: url(x); ;;: ;paper\"></decal-quote>\
         <decal-quote id=b language=xx channel=nowhere page=\"javascript:alert(1)\"></decal-quote>",
    )
    .await?;
    let browser = &stage.browser;
    stage
        .hear("a", "quote", "detail.quote.channel === 'table'")
        .await?;
    assert_eq!(
        browser
            .value("document.querySelector('iframe').title")
            .await?,
        json!("Precios")
    );
    stage.enter("a").await?;
    browser
        .wait_for_text("label[for=pieces]", "Cuántas")
        .await?;
    assert!(!browser.is_shown("#channel").await?);
    let style = "[...document.documentElement.style].sort()";
    assert_eq!(
        browser.value(style).await?,
        json!(["--accent", "--figures", "--ink"])
    );
    assert_eq!(
        browser
            .value("getComputedStyle(document.body).color")
            .await?,
        json!("rgb(1, 2, 3)")
    );
    // Spanish of the United States, which the test's browser speaks as English: amounts as Spanish writes them.
    browser.wait_for_text("#headline", "cada una").await?;
    stage.leave().await?;

    // What the page does not have is passed over.
    stage
        .hear("b", "quote", "detail.quote.channel === 'post'")
        .await?;
    stage.enter("b").await?;
    browser
        .wait_for_text("label[for=pieces]", "How many")
        .await?;
    assert!(browser.is_shown("#channel").await?);
    // A reader chooses another language there.
    browser.click("#language option[value=es]").await?;
    browser
        .wait_for_text("label[for=pieces]", "Cuántas")
        .await?;
    stage.leave().await?;
    // Of a channel that the card does not have whoever made the page is told, once.
    assert_eq!(
        stage.last("b", "problem").await?,
        json!({ "problem": "no-channel" })
    );
    assert_eq!(stage.count("a", "problem").await?, json!(0));
    stage.enter("b").await?;
    let warned: Vec<String> = serde_json::from_value(browser.value("warned").await?)?;
    assert!(
        warned.len() == 1 && warned[0].contains("nowhere") && warned[0].contains("post, table"),
        "{warned:?}"
    );
    stage.is_calm().await
}

/// WCAG 2.2, success criterion 1.4.3: 4.5 to 1 for text, by relative luminance.
const CONTRASTS: &str = "(() => {
    const pen = document.createElement('canvas').getContext('2d');
    const part = (value) => value / 255 <= 0.04045 ? value / 255 / 12.92 : ((value / 255 + 0.055) / 1.055) ** 2.4;
    const luminance = (colour) => {
        pen.fillStyle = colour;
        pen.fillRect(0, 0, 1, 1);
        const [red, green, blue] = pen.getImageData(0, 0, 1, 1).data;
        return 0.2126 * part(red) + 0.7152 * part(green) + 0.0722 * part(blue);
    };
    const ratio = (one, other) => {
        const [dark, light] = [one, other].map(luminance).sort((a, b) => a - b);
        return (light + 0.05) / (dark + 0.05);
    };
    const style = (selector) => getComputedStyle(document.querySelector(selector));
    const ground = style('body').backgroundColor;
    return [ratio(style('body').color, ground), ratio(style('#width').color, style('#width').backgroundColor),
        ratio(style('#width-hint').color, ground), ratio(style('#width-error').color, ground)];
})()";

#[tokio::test]
async fn whatever_colours_a_shop_names_can_be_read() -> Result<()> {
    let themes = [
        "paper: #fdf3dc; ink: #402a10; accent: #b0521a",
        "paper: #fdf3dc",
        "paper: #0b2230",
        "ink: white",
        "ink: #222",
        "sheet: #222",
        "accent: teal",
        "",
    ];
    let stage = Stage::set("<decal-quote id=a></decal-quote>").await?;
    let browser = &stage.browser;
    stage.hear("a", "quote", "detail.quote").await?;
    for theme in themes {
        browser
            .value(&format!(
                "(document.getElementById('a').setAttribute('theme', {}), true)",
                json!(theme)
            ))
            .await?;
        stage.enter("a").await?;
        let named = theme.split(';').filter(|part| part.contains(':')).count();
        browser
            .wait_for(&format!(
                "document.documentElement.style.length === {named}"
            ))
            .await?;
        let contrasts: Vec<f64> = serde_json::from_value(browser.value(CONTRASTS).await?)?;
        assert!(
            contrasts.iter().all(|ratio| *ratio >= 4.5),
            "{theme}: {contrasts:?}"
        );
        stage.leave().await?;
    }
    stage.is_calm().await
}
