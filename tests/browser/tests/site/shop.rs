//! The customers' page in shop pages of other origins: through `<decal-quote>`, under a strict policy, in a sandbox, from
//! a file, and against whatever somebody makes up.

mod itself;
mod kept_apart;

use crate::card::card;
use serde_json::{Value, json};
use site_tests::{Browser, Host, Result, Scratch, Trouble, built, root};
use std::fs;

/// Heard in every page and frame: what is posted to it, what the elements tell, and whether anything asks for attention.
const EARS: &str = "globalThis.posted = []; globalThis.told = []; globalThis.dialogs = 0;
    addEventListener('message', ({ origin, data }) => posted.push({ origin, data }));
    for (const type of ['height', 'quote', 'request', 'problem'])
        addEventListener(`decal-${type}`, ({ target, detail }) => told.push({ type, id: target.id, detail }));
    globalThis.warned = []; console.warn = (text) => warned.push(text);
    for (const name of ['alert', 'confirm', 'prompt', 'print']) globalThis[name] = () => { dialogs += 1; };";

/// Two hosts, the calculator's and a shop's, and a browser that shows the shop's page.
struct Stage {
    // In the order in which they must go: the browser first.
    browser: Browser,
    site: Host,
    shop: Host,
    site_files: Scratch,
    shop_files: Scratch,
}

impl Stage {
    /// The shop's page has these elements in it. Its policy allows nothing but what README.md says that it needs.
    async fn set(elements: &str) -> Result<Self> {
        let (site_files, shop_files) = (Scratch::new()?, Scratch::new()?);
        for file in ["shop.html", "decal-quote.js"] {
            fs::copy(built()?.join(file), site_files.path().join(file))?;
        }
        fs::write(site_files.path().join("rate-card.json"), card().to_string())?;
        let site = Host::start(site_files.path(), "/reckoner/")?;
        let shop = Host::start(shop_files.path(), "/")?;
        let origin = site.origin();
        shop.send(&format!(
            "Content-Security-Policy: default-src 'none'; script-src {origin}; frame-src {origin}; style-src 'self'; img-src data:; \
             require-trusted-types-for 'script'"
        ));
        let stage = Self {
            browser: Browser::open(1280, 900).await?,
            site,
            shop,
            site_files,
            shop_files,
        };
        stage.browser.prepare_pages(EARS).await?;
        stage.show(elements).await?;
        Ok(stage)
    }

    /// Shows the shop's page with these elements.
    async fn show(&self, elements: &str) -> Result<()> {
        let script = format!("{}decal-quote.js", self.site.url());
        let page = format!(
            "<!doctype html><html lang=en><meta charset=utf-8><title>A shop</title><link rel=icon href=\"data:,\">\
             <script defer src=\"{script}\"></script><h1>Boat names</h1>{elements}"
        );
        fs::write(self.shop_files.path().join("index.html"), page)?;
        let browser = &self.browser;
        browser.look_into(None).await?;
        // Under another address each time, for the host lets it be kept.
        let shown = self.shop.asked().len();
        browser
            .driver
            .goto(format!("{}?{shown}", self.shop.url()))
            .await?;
        Ok(())
    }

    /// What an element told of a kind, the last time.
    async fn last(&self, id: &str, kind: &str) -> Result<Value> {
        self.browser.value(&last(id, kind)).await
    }

    /// How often an element told of a kind.
    async fn count(&self, id: &str, kind: &str) -> Result<Value> {
        let all = format!(
            "told.filter(({{ id, type }}) => id === {} && type === {}).length",
            json!(id),
            json!(kind)
        );
        self.browser.value(&all).await
    }

    /// Waits until this is true of what an element told of a kind the last time, which is then given.
    async fn hear(&self, id: &str, kind: &str, is: &str) -> Result<Value> {
        let told = last(id, kind);
        let told = format!("((detail) => detail && ({is}) && detail)({told})");
        self.browser.wait_for(&told).await
    }

    /// The frame of an element.
    async fn enter(&self, id: &str) -> Result<()> {
        self.browser
            .look_into(Some(&format!("#{id} iframe")))
            .await?;
        self.browser
            .wait_for("document.getElementById('loading')?.hidden")
            .await?;
        Ok(())
    }

    async fn leave(&self) -> Result<()> {
        self.browser.look_into(None).await
    }

    /// Nothing went wrong in silence, and nothing was asked for but the files of these two hosts.
    async fn is_calm(&self) -> Result<()> {
        self.leave().await?;
        assert_eq!(self.browser.console().await?, [""; 0]);
        assert_eq!(self.browser.value("dialogs").await?, json!(0));
        self.asked_only(&[]).await
    }

    /// Nothing was asked for but the files of these two hosts, and these addresses.
    async fn asked_only(&self, others: &[&str]) -> Result<()> {
        let (site, shop) = (self.site.url(), self.shop.url());
        for address in self.browser.requests().await? {
            let files = ["decal-quote.js", "shop.html", "rate-card.json"];
            let path = address.split(['?', '#']).next().unwrap_or_default();
            let own = path
                .strip_prefix(&site)
                .is_some_and(|file| files.contains(&file));
            let local = address.starts_with("data:") || address.starts_with("blob:");
            assert!(
                own || local || path == shop || others.contains(&path),
                "{address}"
            );
        }
        Ok(())
    }
}

fn last(id: &str, kind: &str) -> String {
    format!(
        "told.findLast(({{ id, type }}) => id === {} && type === {})?.detail",
        json!(id),
        json!(kind)
    )
}

/// All messages that were posted to where one looks are as the schema says.
async fn messages_are_as_the_schema_says(browser: &Browser) -> Result<usize> {
    let text = fs::read_to_string(root().join("schemas/messages.schema.json"))?;
    let schema = jsonschema::draft202012::new(&serde_json::from_str(&text)?)
        .map_err(|error| Trouble::new(error.to_string()))?;
    // As JSON has it: what is undefined is left out.
    let posted = browser.value("JSON.stringify(posted)").await?;
    let posted: Vec<Value> = serde_json::from_str(posted.as_str().unwrap_or_default())?;
    for message in &posted {
        let errors: Vec<_> = schema.iter_errors(&message["data"]).collect();
        assert!(errors.is_empty(), "{message}: {errors:?}");
    }
    Ok(posted.len())
}

/// The sum by hand: 5 × 9.50 = 47.50; 8.25 % of 47.50 + 2.25 are 4.104375, 4.10; together 53.85.
#[tokio::test]
async fn a_shop_page_of_another_origin_hears_what_a_customer_chooses() -> Result<()> {
    let stage = Stage::set(
        "<decal-quote id=a></decal-quote><decal-quote id=b channel=table></decal-quote>",
    )
    .await?;
    let browser = &stage.browser;
    let first = stage.hear("a", "quote", "detail.quote.total").await?;
    // 8.00 and 2.25, and 8.25 % of both: 0.845625.
    assert_eq!(first["quote"]["total"], "11.10");
    let other = stage.hear("b", "quote", "detail.quote").await?;
    assert_eq!(
        (&other["quote"]["channel"], &other["quote"]["total"]),
        (&json!("table"), &json!("7.00"))
    );
    let before = stage.count("b", "quote").await?;

    stage.enter("a").await?;
    browser.click("#steps button:nth-child(2)").await?;
    browser.click("[name=film][value=white]").await?;
    browser.type_into("pieces", "5").await?;
    browser.wait_for_text("#headline", "$9.50 each").await?;
    for row in [
        "5 pieces at $9.50 $47.50",
        "Postage $2.25",
        "Sales tax $4.10",
        "Together $53.85",
    ] {
        browser.wait_for_text(".sum", row).await?;
    }
    browser.screenshot("shop-framed").await?;
    messages_are_as_the_schema_says(browser).await?;
    stage.leave().await?;
    let quote = stage
        .hear("a", "quote", "detail.quote.total === '53.85'")
        .await?;
    let quote = &quote["quote"];
    for (member, value) in [
        ("edition", json!(7)),
        ("currency", json!("USD")),
        ("channel", json!("post")),
        ("film", json!("white")),
        ("words", json!("KITTIWAKE")),
        ("pieces", json!(5)),
        ("unit", json!("in")),
        ("width", json!(9)),
        ("height", json!(3)),
        ("price", json!("9.50")),
        ("items", json!("47.50")),
        ("postage", json!("2.25")),
        ("tax", json!("4.10")),
        ("asks", json!([])),
    ] {
        assert_eq!(quote[member], value, "{member}");
    }
    assert!(quote["distance"].as_f64() > Some(0.0), "{quote}");
    // The other element heard nothing of it.
    assert_eq!(stage.count("b", "quote").await?, before);
    assert_eq!(stage.last("b", "quote").await?, other);

    // A film without a price in this size: no amount is told.
    stage.enter("a").await?;
    browser.click("[name=film][value=black]").await?;
    browser.click("#steps button:nth-child(3)").await?;
    browser.wait_for_text("#headline", "Please ask").await?;
    stage.leave().await?;
    let unpriced = stage
        .hear("a", "quote", "detail.quote.asks[0] === 'noPrice'")
        .await?;
    assert_eq!(unpriced["quote"]["price"], Value::Null);
    assert_eq!(unpriced["quote"]["total"], Value::Null);

    stage.enter("a").await?;
    browser.click("[name=film][value=white]").await?;
    browser.click("#steps button:nth-child(2)").await?;
    browser.click("#copy").await?;
    stage.leave().await?;
    let request = stage
        .hear("a", "request", "detail.quote.total === '53.85'")
        .await?;
    assert_eq!(request["by"], "copy");
    assert_eq!(stage.count("b", "request").await?, json!(0));
    let text = request["text"].as_str().unwrap_or_default();
    for line in [
        "Boat name",
        "KITTIWAKE",
        "9 in × 3 in",
        "white",
        "5 pieces at $9.50",
        "$53.85",
        "post",
    ] {
        assert!(text.contains(line), "{line}: {text}");
    }
    assert!(messages_are_as_the_schema_says(browser).await? > 8);
    stage.is_calm().await
}

/// Content and frame, in whole pixels of the screen.
#[tokio::test]
async fn a_frame_is_as_high_as_what_is_in_it() -> Result<()> {
    let stage = Stage::set("<decal-quote id=a></decal-quote>").await?;
    let browser = &stage.browser;
    for (width, height) in [(1280, 900), (390, 844), (320, 568)] {
        browser.set_viewport(width, height).await?;
        stage.hear("a", "height", "detail.height > 300").await?;
        for act in ["true", "document.getElementById('show-link').click(), true"] {
            stage.enter("a").await?;
            browser.value(act).await?;
            browser
                .wait_for("document.documentElement.scrollHeight === innerHeight && document.documentElement.scrollWidth <= innerWidth")
                .await?;
            let content = browser
                .value("Math.ceil(document.body.getBoundingClientRect().height)")
                .await?;
            stage.leave().await?;
            let fits = format!("document.querySelector('iframe').clientHeight === {content}");
            browser.wait_for(&fits).await?;
            assert_eq!(stage.last("a", "height").await?["height"], content);
        }
    }
    stage.is_calm().await
}

#[tokio::test]
#[expect(clippy::too_many_lines, reason = "a story")]
async fn nobody_else_is_heard() -> Result<()> {
    let stage = Stage::set("<decal-quote id=a></decal-quote>").await?;
    let browser = &stage.browser;
    stage.hear("a", "quote", "detail.quote").await?;
    stage.enter("a").await?;
    let height = browser.value("innerHeight").await?;
    let heard = browser
        .value("posted.length")
        .await?
        .as_u64()
        .unwrap_or_default();
    stage.leave().await?;
    let told = browser.value("told.length").await?;
    let posted = browser
        .value("posted.length")
        .await?
        .as_u64()
        .unwrap_or_default();
    let address = browser
        .value("document.querySelector('iframe').src")
        .await?;
    let id = address
        .as_str()
        .and_then(|address| address.split("#frame=").nth(1)?.split('&').next())
        .ok_or_else(|| Trouble::new("The frame has no name."))?
        .to_owned();

    // A page of a third origin that knows all there is to know.
    let strangers = Scratch::new()?;
    fs::write(
        strangers.path().join("index.html"),
        "<!doctype html><title>Stranger</title><link rel=icon href=\"data:,\">",
    )?;
    let stranger = Host::start(strangers.path(), "/")?;
    let home = browser.driver.window().await?;
    browser
        .value(&format!("Boolean(open({}))", json!(stranger.url())))
        .await?;
    let windows = browser.driver.windows().await?;
    let other = windows.iter().find(|window| **window != home);
    let other = other.ok_or_else(|| Trouble::new("No window opened."))?;
    browser.driver.switch_to_window(other.clone()).await?;
    browser
        .wait_for("document.title === 'Stranger' && opener")
        .await?;
    let quote = json!({ "total": "0.01", "asks": [] });
    let lies = json!([
        { "type": "height", "height": 5 }, { "type": "quote", "quote": quote }, { "type": "ready" },
        { "type": "problem", "problem": "stopped" }, { "type": "request", "by": "mail", "subject": "", "text": "", "quote": quote },
        { "type": "theme", "theme": { "ink": "red" } }, { "type": "language", "language": "es" },
        { "type": "start", "card": null, "language": "es" },
    ]);
    let lie = |to: &str, id: &str| {
        format!(
            "({lies}.forEach((lie) => ({to}).postMessage({{ decalQuote: 1, frame: {}, ...lie }}, '*')), true)",
            json!(id)
        )
    };
    browser.value(&lie("opener", &id)).await?;
    browser.value(&lie("opener.frames[0]", &id)).await?;
    // Firefox tells of the stranger's own requests too.
    stage.asked_only(&[&stranger.url()]).await?;
    browser.driver.close_window().await?;
    browser.driver.switch_to_window(home).await?;
    stage.leave().await?;

    // From the right origins and with wrong names: from the host to its frame, from the frame to the host, from the host to
    // itself; and with the right name, but of another version.
    for wrong in ["", "0", "1", "constructor", &format!("{id}0")] {
        browser
            .value(&lie(
                "document.querySelector('iframe').contentWindow",
                wrong,
            ))
            .await?;
        browser.value(&lie("window", &id)).await?;
        stage.enter("a").await?;
        browser.value(&lie("parent", wrong)).await?;
        stage.leave().await?;
    }
    let version = format!(
        "({lies}.forEach((lie) => document.querySelector('iframe').contentWindow.postMessage({{ decalQuote: 2, frame: {}, ...lie }}, '*')), true)",
        json!(id)
    );
    browser.value(&version).await?;

    // All of them have arrived: 8 by the stranger, 5 times 8 by the page itself and by the frame; and in the frame 8, 5
    // times 8, and 8 of another version.
    browser
        .wait_for(&format!("posted.length >= {}", posted + 8 + 40 + 40))
        .await?;
    assert_eq!(browser.value("told.length").await?, told);
    assert_eq!(
        browser
            .value("document.querySelector('iframe').clientHeight")
            .await?,
        height
    );
    stage.enter("a").await?;
    browser
        .wait_for(&format!("posted.length >= {}", heard + 8 + 40 + 8))
        .await?;
    let style = "[document.documentElement.lang, document.documentElement.style.length, document.getElementById('shop').hidden]";
    assert_eq!(browser.value(style).await?, json!(["en", 0, false]));
    stage.leave().await?;

    // What the element itself says is heard.
    browser
        .value("(document.getElementById('a').setAttribute('language', 'es'), document.getElementById('a').setAttribute('theme', 'ink: rgb(1, 2, 3)'), true)")
        .await?;
    stage.enter("a").await?;
    browser
        .wait_for("document.documentElement.lang === 'es'")
        .await?;
    browser
        .wait_for("getComputedStyle(document.body).color === 'rgb(1, 2, 3)'")
        .await?;
    stage.is_calm().await
}

#[tokio::test]
async fn a_card_comes_from_the_element_from_a_script_or_from_beside_the_page() -> Result<()> {
    let inside = |card: &Value| format!("<script type=application/json>{card}</script>");
    let named = |design: &str| {
        let mut card = card();
        card["design"] = json!(design);
        card
    };
    let stage = Stage::set("").await?;
    let browser = &stage.browser;
    fs::write(
        stage.site_files.path().join("other.json"),
        named("Beside").to_string(),
    )?;
    let elements = format!(
        "<decal-quote id=inside>{}</decal-quote><decal-quote id=beside card=other.json></decal-quote>\
         <decal-quote id=absent card=nowhere.json></decal-quote><decal-quote id=odd card=../index.html></decal-quote>\
         <decal-quote id=broken><script type=application/json>{{</script></decal-quote>",
        inside(&named("Inside")),
    );
    stage.show(&elements).await?;
    for (id, words) in [
        ("inside", "Inside"),
        ("beside", "Beside"),
        ("absent", "There is no price list here yet."),
        ("odd", "There is no price list here yet."),
        ("broken", "This price list cannot be read"),
    ] {
        stage.enter(id).await?;
        browser.wait_for_text("body", words).await?;
        // A link leads to the card again, or none is offered.
        assert_eq!(browser.is_shown("#show-link").await?, id == "beside");
    }
    stage.enter("beside").await?;
    browser.click("#steps button:nth-child(2)").await?;
    browser.click("#show-link").await?;
    let link = browser
        .wait_for("document.getElementById('link-address').href")
        .await?;
    stage.leave().await?;
    assert_eq!(
        stage.last("absent", "problem").await?,
        json!({ "problem": "no-card" })
    );
    assert_eq!(
        stage.last("odd", "problem").await?,
        json!({ "problem": "no-card" })
    );
    assert_eq!(
        stage.last("broken", "problem").await?,
        json!({ "problem": "card-bad" })
    );
    assert_eq!(stage.count("inside", "problem").await?, json!(0));

    // The property, set before the element's script is there and after it; the last one counts.
    stage.show("<decal-quote id=a></decal-quote>").await?;
    stage.hear("a", "quote", "detail.quote").await?;
    for design in ["First", "Second"] {
        browser
            .value(&format!(
                "(document.getElementById('a').card = {}, true)",
                named(design)
            ))
            .await?;
        stage.enter("a").await?;
        browser.wait_for_text("h1", design).await?;
        stage.leave().await?;
    }
    assert_eq!(
        browser
            .value("document.querySelectorAll('iframe').length")
            .await?,
        json!(1)
    );
    // In a document without a window, no element is made what it is to be.
    let early = format!(
        "(() => {{ const early = document.implementation.createHTMLDocument().createElement('decal-quote');
          early.id = 'early'; early.card = {}; document.body.append(early); return true; }})()",
        named("Early")
    );
    browser.value(&early).await?;
    stage.enter("early").await?;
    browser.wait_for_text("h1", "Early").await?;
    stage.leave().await?;

    // Whoever gets the link sees the same: 11.00, 2.25, and 8.25 % of both, 1.093125.
    browser
        .driver
        .goto(link.as_str().unwrap_or_default())
        .await?;
    browser
        .wait_for_text("#told", "the quote that was sent to you")
        .await?;
    browser.wait_for_text("h1", "Beside").await?;
    browser.wait_for_text(".sum", "Together $14.34").await?;

    // One of the console's complaints is expected: that the card that is nowhere is not there.
    let console = browser.console().await?;
    assert!(
        console.iter().all(|said| said.contains("nowhere.json")),
        "{console:?}"
    );
    Ok(())
}
