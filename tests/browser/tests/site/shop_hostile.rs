//! The customers' page before cards, links and messages that somebody made up: it says what is wrong, or passes it over,
//! and goes on working.

use serde_json::{Value, json};
use site_tests::{Browser, Host, Result, Scratch, built};
use std::fmt::Write as _;
use std::fs;

const EARS: &str = "globalThis.told = []; globalThis.dialogs = 0;
    for (const type of ['quote', 'problem']) addEventListener(`decal-${type}`, ({ detail }) => told.push({ type, detail }));
    for (const name of ['alert', 'confirm', 'prompt', 'print']) globalThis[name] = () => { dialogs += 1; };";

fn card() -> Value {
    json!({
        "format": "decal-reckoner rate card", "version": 1, "edition": 7, "shop": "Heron Lake Lettering",
        "design": "Boat name", "note": "Weeded and taped.", "mail": "ask@heron-lake.example", "from": "2020-01-01",
        "until": "9999-12-31", "currency": "USD", "unit": "in",
        "lettering": { "words": "KITTIWAKE", "free": true, "face": "plain", "acuity": "20/40", "contrast": { "film": "#fff" } },
        "sizes": [{ "width": "6 in", "height": "2 in", "letterHeight": "1 in" }, { "width": "9 in", "height": "3 in" }],
        "films": [{ "name": "white", "colour": "#f8f8f4" }, { "name": "black" }],
        "quantities": [1, 5], "most": 10,
        "channels": [{ "name": "post", "posted": true, "postage": "2.25", "tax": "added", "taxPercent": "8.25" }],
        "prices": [[[["8.00", "7.00"], ["11.00", "9.50"]], [["9.00", "8.00"], ["12.00", ""]]]],
        "outline": "M0 0h1000v333z",
    })
}

/// Numbers that look drawn and are the same each time: the generator of Lehmer with the factor of Park and Miller (1988).
struct Drawn(u64);

impl Drawn {
    fn below(&mut self, end: usize) -> usize {
        self.0 = self.0 * 16_807 % 2_147_483_647;
        usize::try_from(self.0).unwrap_or_default() % end
    }

    /// A value that nobody waits for.
    fn junk(&mut self) -> Value {
        let all = [
            json!(null),
            json!(true),
            json!(-1),
            json!(0),
            json!(1e308),
            json!(0.1),
            json!(""),
            json!(" "),
            json!([]),
            json!({}),
            json!([[[[[[]]]]]]),
            json!({ "__proto__": { "a": 1 } }),
            json!({ "toString": 1, "valueOf": 1 }),
            json!({ "constructor": {} }),
            json!("<img src=x onerror=alert(1)>"),
            json!("\"/><script>alert(1)</script>"),
            json!("javascript:alert(1)"),
            json!("url(http://127.0.0.1:9/)"),
            json!("\u{202e}txt.exe"),
            json!("\u{0}"),
            json!("x".repeat(5_000)),
            json!("-6 in"),
            json!("9".repeat(400)),
            json!("1/0"),
            json!("NaN"),
            json!("{ $design }"),
            json!("__proto__"),
            json!("2026-13-45"),
            json!(["8.00", 7]),
            json!("1e9 in"),
            json!("%00%ff"),
            json!("\u{fffd}\u{1f6f6}"),
        ];
        all[self.below(all.len())].clone()
    }

    /// The value with something else at a place of it, left out there, or with something more.
    fn spoil(&mut self, value: &mut Value) {
        let deeper = self.below(3) > 0;
        match value {
            Value::Object(members) if !members.is_empty() => {
                let names: Vec<String> = members.keys().cloned().collect();
                let name = &names[self.below(names.len())];
                match self.below(3) {
                    _ if deeper => self.spoil(&mut members[name]),
                    0 => drop(members.remove(name)),
                    1 => drop(members.insert("wage".to_owned(), self.junk())),
                    _ => members[name] = self.junk(),
                }
            }
            Value::Array(items) if !items.is_empty() => {
                let at = self.below(items.len());
                if deeper {
                    self.spoil(&mut items[at]);
                } else if self.below(2) == 0 {
                    items.remove(at);
                } else {
                    let more = items[at].clone();
                    items.resize(items.len() + 1 + self.below(40), more);
                }
            }
            value => *value = self.junk(),
        }
    }
}

struct Stage {
    browser: Browser,
    site: Host,
    _files: Scratch,
}

impl Stage {
    async fn set(page: &str) -> Result<Self> {
        let files = Scratch::new()?;
        for file in ["shop.html", "decal-quote.js"] {
            fs::copy(built()?.join(file), files.path().join(file))?;
        }
        fs::write(files.path().join("rate-card.json"), card().to_string())?;
        fs::write(
            files.path().join("host.html"),
            "<!doctype html><title>A shop</title><link rel=icon href=\"data:,\"><script src=decal-quote.js></script><body>",
        )?;
        let site = Host::start(files.path(), "/")?;
        let browser = Browser::open(390, 844).await?;
        browser.prepare_pages(EARS).await?;
        browser.driver.goto(format!("{}{page}", site.url())).await?;
        Ok(Self {
            browser,
            site,
            _files: files,
        })
    }

    async fn is_calm(&self) -> Result<()> {
        assert_eq!(self.browser.console().await?, [""; 0]);
        assert_eq!(self.browser.value("dialogs").await?, json!(0));
        for address in self.browser.requests().await? {
            let own = address.starts_with(&self.site.url());
            assert!(own || address.starts_with("data:"), "{address}");
        }
        Ok(())
    }
}

/// A card that is spoilt at one place or at several: it is shown if it happens to be a good one, or the page says that it
/// cannot be read.
#[tokio::test]
async fn cards_that_somebody_made_up() -> Result<()> {
    let stage = Stage::set("host.html").await?;
    let browser = &stage.browser;
    let mut drawn = Drawn(20_261_128);
    let mut refused = 0;
    for number in 0..80 {
        let mut bad = card();
        for _ in 0..=drawn.below(3) {
            drawn.spoil(&mut bad);
        }
        if number % 16 == 0 {
            bad = drawn.junk();
        }
        let show = format!(
            "(told.length = 0, document.body.replaceChildren(Object.assign(document.createElement('decal-quote'), {{ card: {} }})), true)",
            // Parsed as a card is: a member called __proto__ is one.
            format_args!("JSON.parse({})", json!(bad.to_string()))
        );
        browser.value(&show).await?;
        let said = browser.wait_for("told[0]").await?;
        if said["type"] == "problem" {
            refused += 1;
            let problem = &said["detail"]["problem"];
            assert!(
                problem == "card-bad" || problem == "card-newer",
                "{said} {bad}"
            );
            browser.look_into(Some("iframe")).await?;
            browser.wait_until_shown("#problem").await?;
            browser.wait_for_text("#problem", "This price list").await?;
            assert!(!browser.is_shown("#shop").await?);
            browser.look_into(None).await?;
        }
    }
    // Most of them are bad ones.
    assert!(refused > 50, "{refused}");
    let good = format!(
        "(told.length = 0, document.querySelector('decal-quote').card = {}, true)",
        card()
    );
    browser.value(&good).await?;
    browser
        .wait_for("told[0]?.detail.quote?.price === '8.00'")
        .await?;
    stage.is_calm().await
}

/// FNV-1a of 32 bits, which ends a link: so that the reader has to look at what is in it.
fn sealed(link: &str) -> String {
    let sum = link.bytes().fold(0x811c_9dc5_u32, |sum, byte| {
        (sum ^ u32::from(byte)).wrapping_mul(0x0100_0193)
    });
    format!("{link}&check={sum:08x}")
}

fn encoded(text: &str) -> String {
    let mut all = String::new();
    for byte in text.bytes() {
        // Unreserved by RFC 3986, section 2.3.
        if byte.is_ascii_alphanumeric() || b"-._~".contains(&byte) {
            all.push(char::from(byte));
        } else {
            // Writing into a String cannot fail.
            let _ = write!(all, "%{byte:02X}");
        }
    }
    all
}

/// A link that says this, with a good checksum.
fn link(values: &[String]) -> String {
    let names = [
        "edition", "channel", "film", "width", "unit", "pieces", "words", "total",
    ];
    let mut members = "quote=1".to_owned();
    for (name, value) in names.iter().zip(values) {
        let _ = write!(members, "&{name}={}", encoded(value));
    }
    sealed(&members)
}

#[tokio::test]
#[expect(clippy::too_many_lines, reason = "kinds of links")]
async fn links_that_somebody_made_up() -> Result<()> {
    let stage = Stage::set("shop.html").await?;
    let browser = &stage.browser;
    browser.wait_until_shown("#shop").await?;
    browser.type_into("pieces", "3").await?;
    // 3 × 8.00 = 24.00, and 2.25; 8.25 % of 24.00 are 1.98; together 28.23.
    browser.wait_for_text(".sum", "Together $28.23").await?;
    let chosen = "[...document.querySelectorAll('#choices [name]')].map(({ value, checked }) => [value, checked])";
    let before = browser.value(chosen).await?;
    let good = [
        "7",
        "post",
        "white",
        "6 in",
        "in",
        "3",
        "KITTIWAKE",
        "28.23",
    ];
    let whole: Vec<String> = good.iter().map(|value| (*value).to_owned()).collect();
    let mut drawn = Drawn(7_1963);
    for number in 0..100 {
        let text = match number % 4 {
            // A member that says something else, under a good checksum: what decides a price, so that nothing is used.
            0 | 1 => {
                let mut values = whole.clone();
                let at = [1, 2, 3, 4, 5][drawn.below(5)];
                values[at] = match drawn.junk() {
                    Value::String(text) if text.len() < 300 => text,
                    other => other.to_string().chars().take(200).collect(),
                };
                link(&values)
            }
            // One that was cut off, or has a wrong character in it.
            2 => {
                let good = link(&whole);
                let at = drawn.below(good.len());
                if drawn.below(2) == 0 {
                    good[..at].to_owned()
                } else {
                    format!("{}~{}", &good[..at], &good[at + 1..])
                }
            }
            _ => {
                let junk = [
                    "",
                    "1",
                    "2&edition=1",
                    "99999999999999999999",
                    "1&check=811c9dc5",
                    "<img src=x onerror=alert(1)>",
                    "%",
                    "%E0%A4%A",
                    "1&edition=7&channel=post",
                    "1&&&&",
                    "__proto__",
                    "\u{202e}",
                ];
                let junk = junk[drawn.below(junk.len())];
                sealed(&format!(
                    "quote={junk}{}",
                    "x".repeat([0, 3_000][drawn.below(2)])
                ))
            }
        };
        let text = if text.starts_with("quote=") {
            text
        } else {
            "quote=".to_owned()
        };
        let go = format!(
            "(document.getElementById('told').hidden = true, document.getElementById('told').textContent = '', location.hash = {}, true)",
            json!(format!("#{text}&{number}"))
        );
        // Once with something behind it, which no checksum covers, and once as it is.
        let go = if drawn.below(3) == 0 {
            go
        } else {
            go.replace(&format!("&{number}\""), "\"")
        };
        browser.value(&go).await?;
        browser.wait_until_shown("#told").await?;
        let said = browser.text("#told").await?;
        let known = [
            "damaged",
            "of another version",
            "longer than any",
            "no longer offered",
            "was sent to you",
        ];
        assert!(
            known.iter().any(|words| said.contains(words)),
            "{said}: {text}"
        );
        assert_eq!(browser.value(chosen).await?, before, "{said}: {text}");
        assert!(browser.text(".sum").await?.contains("$28.23"), "{text}");
    }
    // What is told of a good link is an amount, or nothing.
    for (total, words) in [
        ("11.10", "made at $11.10"),
        ("<b>1", "no such words"),
        ("1e5", "no such words"),
    ] {
        let mut values = whole.clone();
        values[7] = total.to_owned();
        browser
            .value(&format!(
                "(document.getElementById('told').textContent = '', location.hash = {}, true)",
                json!(link(&values))
            ))
            .await?;
        browser
            .wait_for("decodeURIComponent(location.hash).length > 20")
            .await?;
        if total == "11.10" {
            browser.wait_for_text("#told", words).await?;
        } else {
            browser.wait_for_text(".sum", "$28.23").await?;
            assert!(!browser.text("body").await?.contains(total), "{total}");
        }
    }
    browser.type_into("pieces", "4").await?;
    // 32.00, 2.25 and 2.64.
    browser.wait_for_text(".sum", "Together $36.89").await?;
    stage.is_calm().await
}

#[tokio::test]
async fn messages_that_somebody_made_up() -> Result<()> {
    let stage = Stage::set("host.html").await?;
    let browser = &stage.browser;
    browser
        .value("(document.body.append(document.createElement('decal-quote')), true)")
        .await?;
    browser.wait_for("told[0]?.detail.quote").await?;
    let height = "document.querySelector('iframe').clientHeight";
    browser.wait_for(&format!("{height} > 600")).await?;
    // By the host, with the frame's own name: whatever is in it.
    let name =
        "new URLSearchParams(document.querySelector('iframe').src.split('#')[1]).get('frame')";
    let mut drawn = Drawn(8_1971);
    let kinds = [
        "start",
        "theme",
        "language",
        "ready",
        "height",
        "quote",
        "request",
        "problem",
        "constructor",
        "",
    ];
    let members = [
        "theme", "language", "card", "channel", "height", "quote", "problem", "ink", "figures",
    ];
    let mut batch = Vec::new();
    for _ in 0..120 {
        let mut message = json!({ "decalQuote": 1, "type": kinds[drawn.below(kinds.len())] });
        for _ in 0..3 {
            message[members[drawn.below(members.len())]] = drawn.junk();
        }
        let mut theme = json!({});
        for member in ["ink", "paper", "figures", "text", "wage"] {
            theme[member] = drawn.junk();
        }
        match drawn.below(4) {
            0 => message["theme"] = theme,
            1 => message = drawn.junk(),
            _ => {}
        }
        batch.push(message);
    }
    let to_frame = format!(
        "(JSON.parse({}).forEach((data) => {{ if (data?.decalQuote) data.frame = {name};
            document.querySelector('iframe').contentWindow.postMessage(data, '*'); }}), true)",
        json!(json!(batch).to_string())
    );
    browser.value(&to_frame).await?;
    browser.look_into(Some("iframe")).await?;
    browser.type_into("pieces", "4").await?;
    browser
        .wait_for("document.querySelector('.sum')?.textContent.includes('36.89')")
        .await?;
    // A word may be the name of a font; no colour is among the junk.
    let fonts = "[...document.documentElement.style].every((name) => ['--figures', '--text'].includes(name))";
    assert_eq!(browser.value(fonts).await?, json!(true));
    assert_eq!(browser.value("dialogs").await?, json!(0));

    // By the frame, should it ever be another page: heights that are none, and events that are not its.
    let to_host = format!(
        "(JSON.parse({}).forEach((data) => {{ if (data?.decalQuote) data.frame = new URLSearchParams(location.hash.slice(1)).get('frame');
            if (data?.type !== 'ready') parent.postMessage(data, '*'); }}), true)",
        json!(json!(batch).to_string())
    );
    browser.value(&to_host).await?;
    browser.look_into(None).await?;
    browser
        .value("new Promise((done) => { addEventListener('message', ({ data }) => data === 'last' && done(true)); postMessage('last', '*'); })")
        .await?;
    let now = browser.value(height).await?.as_f64().unwrap_or_default();
    assert!((0.0..=20_000.0).contains(&now), "{now}");

    // Addresses of frames that no element wrote.
    for hash in [
        "frame=1",
        "frame=1&host=",
        "frame=1&host=nonsense",
        "frame=&host=null",
        "frame=1&host=*",
        "host=null",
        "frame=%00&host=http://x/y",
    ] {
        browser
            .value(&format!(
                "(document.body.replaceChildren(Object.assign(document.createElement('iframe'), {{ src: {} }})), true)",
                json!(format!("shop.html#{hash}"))
            ))
            .await?;
        browser.look_into(Some("iframe")).await?;
        browser
            .wait_for("document.getElementById('problem')")
            .await?;
        if hash == "frame=&host=null" {
            // It is one, and waits for a host that does not speak.
            assert!(!browser.is_shown("#problem").await?);
        } else {
            browser.wait_until_shown("#shop").await?;
            browser.wait_for_text("#headline", "$8.00 each").await?;
        }
        browser.look_into(None).await?;
    }
    stage.is_calm().await
}
