//! The customers' page in shop pages of other origins: through `<decal-quote>`, under a strict policy, in a sandbox, from
//! a file, and against whatever somebody makes up.

#[path = "../../rate_cards/card.rs"]
mod card;

use card::card;
use serde_json::{Value, json};
use site_tests::{Browser, Host, Result, Scratch, Trouble, built, root};
use std::fs;
use std::path::Path;

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

/// The customers' page by itself, with its card beside it, as visitors of the site see it.
struct Shop {
    browser: Browser,
    host: Host,
    _files: Scratch,
}

impl Shop {
    async fn open(card: &Value) -> Result<Self> {
        let files = Scratch::new()?;
        fs::copy(built()?.join("shop.html"), files.path().join("shop.html"))?;
        fs::write(files.path().join("rate-card.json"), card.to_string())?;
        let host = Host::start(files.path(), "/")?;
        let browser = Browser::open(390, 844).await?;
        let shop = Self {
            browser,
            host,
            _files: files,
        };
        shop.visit("en").await?;
        Ok(shop)
    }

    async fn visit(&self, language: &str) -> Result<()> {
        let address = format!("{}shop.html?language={language}", self.host.url());
        self.browser.driver.goto(address).await?;
        self.browser.wait_until_shown("#shop").await
    }

    /// The text of the request that is copied.
    async fn request(&self) -> Result<String> {
        self.browser.click("#copy").await?;
        let text = "document.getElementById('request')";
        self.browser.wait_for(&format!("!{text}.hidden")).await?;
        let text = self.browser.value(&format!("{text}.value")).await?;
        Ok(text.as_str().unwrap_or_default().to_owned())
    }
}

#[tokio::test]
async fn nothing_is_handed_out_that_is_not_on_the_screen() -> Result<()> {
    let shop = Shop::open(&card()).await?;
    let browser = &shop.browser;
    for (field, wrong, right) in [
        ("pieces", "0", "2"),
        ("pieces", "", "3"),
        ("pieces", "1.5", "4"),
        ("width", "200 yonder", "7"),
        ("width", "", "8"),
        ("width", "wide", "9"),
    ] {
        shop.request().await?;
        if !browser.is_shown("#link").await? {
            browser.click("#show-link").await?;
        }
        browser.wait_until_shown("#copy-link").await?;
        browser.type_into(field, wrong).await?;
        browser.wait_until_shown(&format!("#{field}-error")).await?;
        browser.wait_until_shown("#no-ways").await?;
        for way in [
            "mail",
            "copy",
            "save",
            "show-link",
            "request",
            "link",
            "taking",
        ] {
            let place = format!("#{way}");
            assert!(
                !browser.is_shown(&place).await?,
                "{way} with {field} {wrong}"
            );
        }
        assert_eq!(browser.typed(field).await?, wrong);
        browser.type_into(field, right).await?;
        browser.wait_until_shown("#mail").await?;
        assert!(!browser.is_shown("#no-ways").await?, "{field} {right}");
        assert!(!browser.is_shown("#request").await?, "{field} {right}");
        // A mail says what is on the screen before it is clicked.
        let said = match field {
            "pieces" => format!("{right} pieces"),
            _ => format!("Size: {right} in"),
        };
        let mail = "decodeURIComponent(document.getElementById('mail').href.split('body=').at(-1))";
        let mail = browser.value(mail).await?;
        assert!(mail.as_str().unwrap_or_default().contains(&said), "{mail}");
    }
    assert_eq!(browser.console().await?, [""; 0]);
    Ok(())
}

/// 20 cm are 7.874 in, by the inch of 25.4 mm, and cost what 9 in do: 5 × 9.50 = 47.50; 8.25 % of 47.50 + 2.25 are
/// 4.104375, 4.10; together 53.85. On a table 5 × 8.50 = 42.50, of which 19 parts in 119 are tax: 6.785…, 6.79.
#[tokio::test]
async fn a_request_has_the_customers_own_width_and_adds_up() -> Result<()> {
    let shop = Shop::open(&card()).await?;
    let browser = &shop.browser;
    let has = |text: &str, lines: &[&str]| {
        for line in lines {
            assert!(text.contains(line), "{line}: {text}");
        }
    };
    browser.type_into("width", "20 cm").await?;
    browser.type_into("pieces", "5").await?;
    browser.type_into("words", "").await?;
    let text = shop.request().await?;
    has(
        &text,
        &[
            "Words: I will tell you",
            "Size: 20 cm wide (7.87 in × ",
            "5 pieces at $9.50: $47.50",
            "Postage: $2.25",
            "Sales tax: $4.10",
            "Together: $53.85",
            "Bought through: post",
            "price list 7 of January 1, 2020",
        ],
    );
    browser.paste("channel", "table").await?;
    browser.wait_for_text(".sum", "Together $42.50").await?;
    let text = shop.request().await?;
    has(
        &text,
        &[
            "5 pieces at $8.50: $42.50",
            "Without postage",
            "in the price already: $6.79",
            "Together: $42.50",
        ],
    );
    browser.type_into("width", "90 cm").await?;
    let text = shop.request().await?;
    // 90 cm are 35.433 in.
    has(&text, &["90 cm wide (35.43 in × ", "what would this cost?"]);

    shop.visit("es").await?;
    browser.type_into("width", "20 cm").await?;
    let text = shop.request().await?;
    // Two digits behind a comma are no thousands to anybody.
    has(&text, &["20 cm de ancho (7,87 in × "]);
    browser.click("#steps button:nth-child(2)").await?;
    let text = shop.request().await?;
    has(&text, &["Medida: 9 in × 3 in"]);
    assert_eq!(browser.console().await?, [""; 0]);
    Ok(())
}

/// By all numbers: 8.00 a piece below five and 4.00 from there on, 6.00 of postage on each order.
#[tokio::test]
async fn more_pieces_that_cost_less_are_offered() -> Result<()> {
    let mut card = card();
    card["prices"][1] = json!([
        [["8.00", "4.00"], ["8.00", "4.00"], ["8.00", "4.00"]],
        [["8.00", ""], ["8.00", ""], ["8.00", ""]]
    ]);
    card["channels"][1] =
        json!({ "name": "table", "posted": true, "postage": "6.00", "tax": "none" });
    let shop = Shop::open(&card).await?;
    let browser = &shop.browser;
    browser.choose("channel", "table").await?;
    let total = |pieces: u32| pieces * if pieces < 5 { 8 } else { 4 } + 6;
    for pieces in 1..=10 {
        browser.type_into("pieces", &pieces.to_string()).await?;
        browser
            .wait_for_text(".sum", &format!("Together ${}.00", total(pieces)))
            .await?;
        let fewer_cost_more = (pieces + 1..=10).any(|more| total(more) < total(pieces));
        assert_eq!(
            browser.is_shown("#cheaper").await?,
            fewer_cost_more,
            "{pieces}"
        );
    }
    browser.type_into("pieces", "4").await?;
    browser
        .wait_for_text(
            "#cheaper",
            "5 pieces cost less: $26.00 in all, in place of $38.00.",
        )
        .await?;
    browser.click("#take-cheaper").await?;
    browser.wait_for_text(".sum", "Together $26.00").await?;
    assert_eq!(browser.typed("pieces").await?, "5");
    // No film without a price for so many is offered.
    browser.click("[name=film][value=black]").await?;
    browser.type_into("pieces", "4").await?;
    browser.wait_for_text(".sum", "Together $38.00").await?;
    assert!(!browser.is_shown("#cheaper").await?);
    assert_eq!(browser.console().await?, [""; 0]);
    Ok(())
}

#[tokio::test]
async fn prices_that_are_over_are_not_shown() -> Result<()> {
    let mut card = card();
    card["until"] = json!("2020-02-01");
    let shop = Shop::open(&card).await?;
    let browser = &shop.browser;
    browser
        .wait_for_text("#to-ask", "These prices ended on February 1, 2020.")
        .await?;
    for place in ["#breaks", ".sum", "#larger", "#cheaper", "#taking"] {
        assert!(!browser.is_shown(place).await?, "{place}");
    }
    assert!(!browser.text("body").await?.contains('$'));
    Ok(())
}

/// What the page hands to the browser to be saved from now on; copying is refused, as it may be in a frame.
const CATCH: &str = "(() => {
    globalThis.saved = [];
    URL.createObjectURL = (file) => { saved.push({ file }); return '#'; };
    HTMLAnchorElement.prototype.click = function () { saved.at(-1).name = this.download; };
    navigator.clipboard.writeText = async () => { throw new Error('no'); };
    return true; })()";

/// Presses a button that saves a file; gives its name and what is in it.
async fn saved(browser: &Browser, button: &str) -> Result<(String, Vec<u8>)> {
    let before = browser.value("saved.length").await?;
    browser.click(button).await?;
    browser
        .wait_for(&format!("saved.length > {before} && saved.at(-1).name"))
        .await?;
    let file = "saved.at(-1).file.arrayBuffer().then((bytes) => [saved.at(-1).name, [...new Uint8Array(bytes)]])";
    Ok(serde_json::from_value(browser.value(file).await?)?)
}

/// A card whose names a spreadsheet program would reckon with. A piece 7 in wide costs what 9 in do, and is in proportion
/// to those 9 in by 3 in: 7/3 in high, 59.267 mm of 25.4 mm to the inch, which the page rounds up to eighths, 2 3/8 in.
#[tokio::test]
#[expect(clippy::too_many_lines, reason = "a story")]
async fn the_prices_and_the_picture_can_be_taken_along() -> Result<()> {
    let mut card = card();
    card["shop"] = json!("=1+2");
    card["design"] = json!("Boat, \"name\"");
    card["films"][0]["name"] = json!("+cmd|' /C calc'!A0");
    let shop = Shop::open(&card).await?;
    let browser = &shop.browser;
    browser.value(CATCH).await?;
    browser.type_into("width", "7").await?;
    let answer = "#answer [data-text=size-and-film]";
    browser.wait_for_text(answer, "7 in × 2 3/8 in").await?;
    // Folded away until it is asked for.
    assert!(!browser.is_shown("#take-csv").await?);
    browser.click("#take-title").await?;
    browser.wait_until_shown("#take-csv").await?;
    // WCAG 2.5.5: 44 pixels; and no wider than a phone.
    let fits = "[...document.querySelectorAll('#taking :is(summary, button)')]
        .every((place) => place.getBoundingClientRect().height >= 44) && document.documentElement.scrollWidth <= 390";
    assert_eq!(browser.value(fits).await?, json!(true));

    let (name, file) = saved(browser, "#take-csv").await?;
    assert_eq!(name, "prices-Boat-name.csv");
    let text = std::str::from_utf8(&file).expect("the file is UTF-8");
    let text = text.strip_prefix('\u{feff}').expect("it says so");
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let heads = reader.headers().expect("it has heads").clone();
    let records = reader.records().map(|record| record.expect("it is CSV"));
    let records: Vec<csv::StringRecord> = records.collect();
    let cell = |record: &csv::StringRecord, head: &str| {
        let at = heads.iter().position(|found| found == head);
        record[at.unwrap_or_else(|| panic!("{head}: {heads:?}"))].to_owned()
    };
    let told: Vec<[String; 2]> = records
        .iter()
        .map(|record| {
            let from = cell(record, "From how many");
            let price = cell(record, "Price of each (USD)");
            [format!("From {from}"), format!("${price}")]
        })
        .collect();
    let rows = "[...document.querySelectorAll('#breaks tr')]
        .map((row) => [row.cells[0].firstChild.data, row.cells[1].textContent])";
    let rows: Vec<[String; 2]> = serde_json::from_value(browser.value(rows).await?)?;
    assert_eq!(told, rows);
    assert_eq!(rows.len(), 2);
    for record in &records {
        for (head, value) in [
            ("Shop", "'=1+2"),
            ("Design", "Boat, \"name\""),
            ("Width (in)", "7"),
            ("Height (in)", "2.375"),
            ("Priced as wide (in)", "9"),
            ("Film", "'+cmd|' /C calc'!A0"),
            ("How you buy", "post"),
            ("Price list", "7"),
            ("Prices of", "2020-01-01"),
        ] {
            assert_eq!(cell(record, head), value, "{head}");
        }
    }

    // Where copying is refused, the text is there to be copied by hand, all of it marked.
    browser.click("#take-text").await?;
    browser.wait_until_shown("#taken-text").await?;
    let marked = "(() => { const { value, selectionStart, selectionEnd } = document.activeElement;
        return [value, value.slice(selectionStart, selectionEnd)]; })()";
    let [text, marked]: [String; 2] = serde_json::from_value(browser.value(marked).await?)?;
    assert_eq!(text, marked);
    let lines: Vec<Vec<&str>> = text
        .lines()
        .map(|line| line.split('\t').collect())
        .collect();
    assert_eq!(lines.len(), 3, "{text}");
    assert!(lines.iter().all(|line| line.len() == heads.len()), "{text}");
    assert!(lines[2].contains(&rows[1][1].as_str()), "{text}");

    let (name, svg) = saved(browser, "#take-svg").await?;
    assert_eq!(name, "decal-Boat-name.svg");
    let svg = String::from_utf8(svg).expect("the file is UTF-8");
    let foreign = svg.replace("http://www.w3.org/2000/svg", "");
    assert!(!foreign.contains("var(") && !foreign.contains("http"));
    usvg::Tree::from_str(&svg, &usvg::Options::default()).expect("it is a picture");
    let tree = usvg::roxmltree::Document::parse(&svg).expect("it is XML");
    let root = tree.root_element();
    let sides: Vec<f64> = root
        .attribute("viewBox")
        .into_iter()
        .flat_map(|sides| sides.split(' '))
        .filter_map(|side| side.parse().ok())
        .collect();
    // A unit of the picture is a millimetre of paper.
    assert_eq!(root.attribute("width"), Some(&*format!("{}mm", sides[2])));
    assert_eq!(root.attribute("height"), Some(&*format!("{}mm", sides[3])));
    let mut rects = root.descendants().filter(|node| node.has_tag_name("rect"));
    let mut rect = || {
        let node = rects.next().expect("the rectangle is there");
        let side = |name| {
            node.attribute(name)
                .and_then(|side| side.parse::<f64>().ok())
        };
        (node.attribute("fill"), side("width"), side("height"))
    };
    // White paper, and on it the ground of the decal.
    assert_eq!(rect(), (Some("#fff"), Some(sides[2]), Some(sides[3])));
    let (_, width, height) = rect();
    assert!(
        width.is_some_and(|width| (width - 7.0 * 25.4).abs() < 0.001),
        "{width:?}"
    );
    assert!(
        height.is_some_and(|height| (height - 59.267).abs() < 0.001),
        "{height:?}"
    );

    let (name, png) = saved(browser, "#take-png").await?;
    assert_eq!(name, "decal-Boat-name.png");
    assert_eq!(png[..8], *b"\x89PNG\r\n\x1a\n");
    // Width and height stand behind the head of the first part (PNG specification, 11.2.2): 300 dots an inch.
    for (at, side) in [(16, sides[2]), (20, sides[3])] {
        let dots = u32::from_be_bytes([png[at], png[at + 1], png[at + 2], png[at + 3]]);
        assert!(
            (f64::from(dots) - side / 25.4 * 300.0).abs() <= 1.0,
            "{dots} for {side} mm"
        );
    }
    let corner = "createImageBitmap(saved.at(-1).file).then((image) => {
        const pen = Object.assign(document.createElement('canvas'), { width: 1, height: 1 }).getContext('2d');
        pen.drawImage(image, image.width - 1, image.height - 1, 1, 1, 0, 0, 1, 1);
        return [...pen.getImageData(0, 0, 1, 1).data]; })";
    assert_eq!(browser.value(corner).await?, json!([255, 255, 255, 255]));

    browser.show_as_printed(true).await?;
    assert!(!browser.is_shown("#taking").await?);
    browser.show_as_printed(false).await?;
    // What is no longer so is not there to be copied.
    browser.type_into("width", "6").await?;
    assert!(!browser.is_shown("#taken-text").await?);
    assert_eq!(browser.console().await?, [""; 0]);
    Ok(())
}

#[tokio::test]
async fn a_link_opens_in_the_language_in_which_it_was_made() -> Result<()> {
    let shop = Shop::open(&card()).await?;
    let browser = &shop.browser;
    browser.click("#language option[value=es]").await?;
    browser
        .wait_for_text("label[for=pieces]", "Cuántas")
        .await?;
    browser.click("#show-link").await?;
    browser.wait_until_shown("#copy-link").await?;
    let link = browser
        .wait_for("document.getElementById('link-address').href")
        .await?;
    let link = link.as_str().unwrap_or_default().to_owned();
    browser.click("#copy-link").await?;
    browser
        .wait_for("document.getElementById('said').textContent")
        .await?;
    shop.visit("en").await?;
    browser.driver.goto(&link).await?;
    browser
        .wait_for_text("#told", "Este es el presupuesto que le enviaron.")
        .await?;
    // What was chosen is for nobody but the page: no server is asked for it.
    let asked = shop.host.asked().join(" ");
    assert!(asked.contains("language=es"), "{asked}");
    assert!(
        !asked.contains("KITTIWAKE") && !asked.contains("quote="),
        "{asked}"
    );
    assert_eq!(browser.console().await?, [""; 0]);
    Ok(())
}

/// The page with a card in it, as the maker's page saves it.
fn with_card(page: &str, card: &Value) -> Result<String> {
    let empty = "<script type=\"application/json\" id=\"rate-card\"></script>";
    let (before, after) = page
        .split_once(empty)
        .ok_or_else(|| Trouble::new("shop.html has no place for a card."))?;
    let card = card.to_string().replace('<', "\\u003c");
    Ok(format!(
        "{before}{}{after}",
        empty.replace("></", &format!(">{card}</"))
    ))
}

fn file_address(file: &Path) -> String {
    format!("file://{}", file.display())
}

#[tokio::test]
async fn a_saved_page_works_from_a_file_without_a_network() -> Result<()> {
    let files = Scratch::new()?;
    let mut card = card();
    card["note"] = json!("</script><script>alert(1)</script> & \"<b>\" $& $`");
    let page = fs::read_to_string(built()?.join("shop.html"))?;
    let file = files.path().join("shop.html");
    fs::write(&file, with_card(&page, &card)?)?;
    let browser = Browser::open(390, 844).await?;
    browser.prepare_pages(EARS).await?;
    browser.go_offline().await?;
    browser.driver.goto(file_address(&file)).await?;
    browser.wait_until_shown("#shop").await?;
    browser
        .wait_for_text(
            "#note",
            "</script><script>alert(1)</script> & \"<b>\" $& $`",
        )
        .await?;
    browser.type_into("width", "9").await?;
    browser.type_into("pieces", "5").await?;
    browser.wait_for_text(".sum", "Together $53.85").await?;
    // No link leads back to a file.
    assert!(!browser.is_shown("#show-link").await?);
    browser.screenshot("shop-alone").await?;
    assert_eq!(browser.value("dialogs").await?, json!(0));
    assert_eq!(browser.console().await?, [""; 0]);
    for address in browser.requests().await? {
        assert!(
            address == file_address(&file) || address.starts_with("data:"),
            "{address}"
        );
    }

    // An element in a file beside it: no page of a file has an origin.
    fs::copy(
        built()?.join("decal-quote.js"),
        files.path().join("decal-quote.js"),
    )?;
    let host = files.path().join("host.html");
    fs::write(
        &host,
        "<!doctype html><meta charset=utf-8><title>A shop</title><link rel=icon href=\"data:,\"><script src=decal-quote.js></script><decal-quote id=a></decal-quote>",
    )?;
    browser.driver.goto(file_address(&host)).await?;
    browser
        .wait_for(&format!(
            "({})?.quote.total === '11.10'",
            last("a", "quote")
        ))
        .await?;
    assert_eq!(browser.console().await?, [""; 0]);
    Ok(())
}
