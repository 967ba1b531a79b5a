//! Whether everybody can use the three pages: WCAG 2.2, as far as a program can tell. docs/accessibility.md says which
//! points these tests are about, and what was looked at by hand.
//!
//! axe-core looks for what it knows; its source is in the file that `DECAL_RECKONER_AXE` names. What it cannot tell, such as
//! a text over a picture, is measured by `reach/look.js`, by the formulas of the recommendation.

use crate::card::card;
use serde_json::{Value, json};
use site_tests::{Browser, Host, Result, Scratch, Trouble, built, skipped_in_firefox};
use std::{env, fs};

/// What is measured in a page.
const LOOK: &str = include_str!("reach/look.js");

/// How a page is shown: in what size of the window and of letters, and to whom.
struct Mode {
    name: &'static str,
    width: u32,
    height: u32,
    /// The size of letters that the reader has set, beside the usual one.
    letters: &'static str,
    preference: Option<(&'static str, &'static str)>,
}

const fn mode(name: &'static str, width: u32, height: u32) -> Mode {
    Mode {
        name,
        width,
        height,
        letters: "",
        preference: None,
    }
}

const LIGHT: Mode = mode("light", 1280, 900);
const NARROW: Mode = mode("320 px wide", 320, 640);
const LARGE_LETTERS: Mode = Mode {
    letters: "200%",
    ..mode("letters of 200 %, 390 px wide", 390, 844)
};
const DARK: Mode = Mode {
    preference: Some(("prefers-color-scheme", "dark")),
    ..mode("dark", 1280, 900)
};

/// Those in which the fullest states are looked at.
const ALL: [Mode; 7] = [
    LIGHT,
    DARK,
    Mode {
        preference: Some(("forced-colors", "active")),
        ..mode("forced colours", 1280, 900)
    },
    // 1280 × 900 enlarged twice.
    mode("200 % zoom", 640, 450),
    Mode {
        letters: "200%",
        ..mode("letters of 200 %", 1280, 900)
    },
    NARROW,
    LARGE_LETTERS,
];

/// Those for the others.
const FEW: [Mode; 2] = [DARK, LARGE_LETTERS];

/// axe-core, by which each page is looked through.
fn axe() -> Result<String> {
    let file = env::var_os("DECAL_RECKONER_AXE").ok_or_else(|| {
        Trouble::new(
            "DECAL_RECKONER_AXE does not name the file of axe-core: `cargo xtask test` sets it up.",
        )
    })?;
    Ok(fs::read_to_string(file)?)
}

/// A browser with what looks through its pages.
async fn reader(width: u32, height: u32) -> Result<Browser> {
    let browser = Browser::open(width, height).await?;
    browser.prepare_pages(&axe()?).await?;
    browser.prepare_pages(LOOK).await?;
    Ok(browser)
}

async fn texts(browser: &Browser, expression: &str) -> Result<Vec<String>> {
    Ok(serde_json::from_value(browser.value(expression).await?)?)
}

/// What axe finds wrong, and what it leaves open but for contrast, which is measured in every case.
///
/// What sticks to the edge of the window stands where it belongs for that long, for it would cover other things. Contrast
/// takes axe longer than all the rest, and in forced colours the browser tells it the colours of the page and not those that
/// it paints: it is asked for it once.
fn axe_run(contrast: bool) -> String {
    format!(
        "(async () => {{
            const stuck = reach.all('#answers, #stepping, #headline');
            for (const element of stuck) element.style.position = 'static';
            const rules = {{ 'target-size': {{ enabled: true }}, 'color-contrast': {{ enabled: {contrast} }} }};
            const {{ violations, incomplete }} = await axe.run(document, {{ rules, resultTypes: ['violations', 'incomplete'] }});
            for (const element of stuck) element.style.position = '';
            const open = incomplete.filter(({{ id }}) => id !== 'color-contrast');
            return [...violations, ...open].flatMap(({{ id, nodes }}) =>
                nodes.map(({{ target, failureSummary }}) => `${{id}}: ${{target.join(' ')}}: ${{failureSummary.slice(0, 200)}}`));
        }})()"
    )
}

/// Looks at a state of the page in some modes, and adds what is wrong to `found`.
async fn look(
    browser: &Browser,
    state: &str,
    modes: &[Mode],
    found: &mut Vec<String>,
) -> Result<()> {
    for mode in modes {
        browser.set_viewport(mode.width, mode.height).await?;
        let preferences: Vec<_> = mode.preference.into_iter().collect();
        browser.prefer(&preferences).await?;
        let enlarge = format!("reach.enlarge({}) ?? 1", json!(mode.letters));
        browser.value(&enlarge).await?;
        let forced = mode.name == "forced colours";
        let mut wrong = texts(browser, &axe_run(mode.name == LIGHT.name)).await?;
        let mut measures = vec!["sideways", "cut", "moving"];
        if !forced {
            measures.extend(["dim", "edgeless"]);
        }
        if mode.letters.is_empty() {
            measures.push("small");
        }
        for measure in measures {
            let told = texts(browser, &format!("reach.{measure}()")).await?;
            wrong.extend(told.into_iter().map(|what| format!("{measure}: {what}")));
        }
        if mode.letters.is_empty() {
            // Room between letters, words and lines, as criterion 1.4.12 has it.
            browser.value("reach.space(true) ?? 1").await?;
            for measure in ["sideways", "cut"] {
                let told = texts(browser, &format!("reach.{measure}()")).await?;
                wrong.extend(told.into_iter().map(|what| format!("spaced: {what}")));
            }
            browser.value("reach.space(false) ?? 1").await?;
        }
        found.extend(
            wrong
                .into_iter()
                .map(|what| format!("{state}, {}: {what}", mode.name)),
        );
    }
    browser.prefer(&[]).await?;
    browser.value("reach.enlarge('') ?? 1").await?;
    browser.set_viewport(1280, 900).await
}

const OPEN_ALL: &str = "reach.all('details').map((details) => details.open = true).length";

#[tokio::test]
async fn nothing_is_wrong_with_the_makers_page() -> Result<()> {
    if skipped_in_firefox("it is asked for by a protocol of Chromium's own") {
        return Ok(());
    }
    let host = Host::start(&built()?, "/")?;
    let browser = reader(1280, 900).await?;
    let mut found = Vec::new();
    browser.visit(&host.url()).await?;
    look(&browser, "first visit", &[LIGHT, NARROW], &mut found).await?;

    browser.value(OPEN_ALL).await?;
    browser.click("[data-act=try-drawing]").await?;
    browser
        .wait_until_shown("#artwork .answer [data-slot=verdict]:not(:empty)")
        .await?;
    browser.look_at_all().await?;
    browser.click("[data-copy-out]").await?;
    browser.wait_until_shown("main .copy-out button").await?;
    browser
        .value(
            "['fault', 'update', 'not-kept', 'newer', 'undo'].map((id) => document.getElementById(id).hidden = false).length",
        )
        .await?;
    browser.value(OPEN_ALL).await?;
    look(&browser, "all open", &ALL, &mut found).await?;

    for field in [
        "decal.width",
        "legibility.distance",
        "quote.pieces",
        "book.wage",
        "book.card.mail",
    ] {
        browser.paste(field, "as wide as it goes").await?;
    }
    browser.paste("list", "Bow numbers, wide, 3").await?;
    browser.wait_until_shown("#errors li").await?;
    look(&browser, "mistakes", &FEW, &mut found).await?;

    browser.reload().await?;
    for act in ["start-over", "new-book", "delete-book"] {
        browser
            .wait_until_shown(&format!("[data-act={act}]"))
            .await?;
        browser.click(&format!("[data-act={act}]")).await?;
        browser.wait_until_shown("dialog[open]").await?;
        look(&browser, act, &FEW, &mut found).await?;
        browser.press("Escape").await?;
        browser
            .wait_for("!document.querySelector('dialog[open]')")
            .await?;
    }
    assert_eq!(found, [""; 0], "\n{}", found.join("\n"));
    Ok(())
}

#[tokio::test]
async fn nothing_is_wrong_with_it_in_spanish() -> Result<()> {
    if skipped_in_firefox("it is asked for by a protocol of Chromium's own") {
        return Ok(());
    }
    let host = Host::start(&built()?, "/")?;
    let browser = reader(1280, 900).await?;
    let mut found = Vec::new();
    browser.visit(&format!("{}es/", host.url())).await?;
    browser.value(OPEN_ALL).await?;
    browser.look_at_all().await?;
    browser.value(OPEN_ALL).await?;
    look(
        &browser,
        "all open",
        &[LIGHT, NARROW, LARGE_LETTERS],
        &mut found,
    )
    .await?;
    assert_eq!(found, [""; 0], "\n{}", found.join("\n"));
    Ok(())
}

/// The customers' page with cards beside it.
fn shop_with(cards: &[(&str, &Value)]) -> Result<(Scratch, Host)> {
    let folder = Scratch::new()?;
    fs::copy(built()?.join("shop.html"), folder.path().join("shop.html"))?;
    for (name, card) in cards {
        fs::write(folder.path().join(name), card.to_string())?;
    }
    let host = Host::start(folder.path(), "/")?;
    Ok((folder, host))
}

async fn open_shop(browser: &Browser, host: &Host, query: &str) -> Result<()> {
    let address = format!("{}shop.html?{query}", host.url());
    browser.driver.goto(&address).await?;
    browser
        .wait_for("document.getElementById('loading')?.hidden")
        .await?;
    Ok(())
}

#[tokio::test]
async fn nothing_is_wrong_with_the_customers_page() -> Result<()> {
    if skipped_in_firefox("it is asked for by a protocol of Chromium's own") {
        return Ok(());
    }
    let (mut expired, mut broken) = (card(), card());
    expired["until"] = json!("2021-01-01");
    broken["films"] = json!([]);
    let (_folder, host) = shop_with(&[
        ("rate-card.json", &card()),
        ("expired.json", &expired),
        ("broken.json", &broken),
    ])?;
    let browser = reader(1280, 900).await?;
    let mut found = Vec::new();
    for language in ["en", "es"] {
        let state = |state: &str| format!("{language}, {state}");
        open_shop(&browser, &host, &format!("language={language}")).await?;
        browser.value(OPEN_ALL).await?;
        browser.click("#copy").await?;
        browser.click("#show-link").await?;
        browser.wait_until_shown("#link-address").await?;
        browser
            .value("reach.all('#request, #taken-text, #share').map((part) => part.hidden = false).length")
            .await?;
        let modes: &[Mode] = if language == "en" { &ALL } else { &FEW };
        look(&browser, &state("priced"), modes, &mut found).await?;
        browser.paste("width", "40").await?;
        browser.wait_until_shown("#to-ask").await?;
        look(&browser, &state("out of range"), &FEW, &mut found).await?;
        browser.paste("width", "wide").await?;
        browser.paste("pieces", "-3").await?;
        browser.wait_until_shown("#pieces-error").await?;
        look(&browser, &state("mistakes"), &FEW, &mut found).await?;
        for card in ["expired", "broken", "none"] {
            let query = format!("language={language}&card={card}.json");
            open_shop(&browser, &host, &query).await?;
            look(&browser, &state(card), &FEW, &mut found).await?;
        }
    }
    assert_eq!(found, [""; 0], "\n{}", found.join("\n"));
    Ok(())
}

/// The papers, in the window of the maker's page that told them.
async fn open_papers(browser: &Browser, host: &Host) -> Result<()> {
    browser.visit(&host.url()).await?;
    browser.look_at("#papers").await?;
    let told = "document.getElementById('papers-text')?.textContent";
    browser.wait_for(told).await?;
    let keep = format!("localStorage.setItem('decal-reckoner:/:papers', {told}) ?? 1");
    browser.value(&keep).await?;
    browser
        .driver
        .goto(format!("{}papers.html", host.url()))
        .await?;
    browser
        .wait_for("document.querySelectorAll('.page').length >= 3")
        .await?;
    Ok(())
}

#[tokio::test]
async fn nothing_is_wrong_with_the_papers() -> Result<()> {
    if skipped_in_firefox("it is asked for by a protocol of Chromium's own") {
        return Ok(());
    }
    let host = Host::start(&built()?, "/")?;
    let browser = reader(1280, 900).await?;
    let mut found = Vec::new();
    browser
        .driver
        .goto(format!("{}papers.html", host.url()))
        .await?;
    browser.wait_until_shown("#problem").await?;
    look(&browser, "no papers", &FEW, &mut found).await?;
    open_papers(&browser, &host).await?;
    for language in ["en", "es"] {
        browser.choose("tongue", language).await?;
        browser
            .click(&format!("#language option[value={language}]"))
            .await?;
        browser
            .wait_for(&format!("document.documentElement.lang === '{language}'"))
            .await?;
        let modes: &[Mode] = if language == "en" { &ALL } else { &FEW };
        look(&browser, language, modes, &mut found).await?;
    }
    browser.click("#add-line").await?;
    browser.click("#begin").await?;
    browser.paste("tax", "much").await?;
    browser.paste("until", "2020-01-01").await?;
    browser.wait_until_shown("#tax-error").await?;
    browser
        .value("reach.all('#copied').map((part) => part.hidden = false).length")
        .await?;
    look(&browser, "mistakes", &FEW, &mut found).await?;
    assert_eq!(found, [""; 0], "\n{}", found.join("\n"));
    Ok(())
}

/// Goes through a page with Tab, from where it begins, opens what is closed on the way with Enter, and hands back how many
/// stops there were.
async fn walk(browser: &Browser) -> Result<usize> {
    let (mut stops, mut wrong) = (0, Vec::new());
    for _ in 0..1500 {
        browser.press("Tab").await?;
        let at = browser.value("reach.here()").await?;
        if at.is_null() {
            break;
        }
        if at["isAgain"] == json!(true) {
            // Behind the last one the first comes again; before that it is a trap.
            break;
        }
        stops += 1;
        for what in at["wrong"].as_array().into_iter().flatten() {
            wrong.push(format!("{}: {what}", at["name"]));
        }
        if at["closed"] == json!(true) {
            browser.press("Enter").await?;
            // What is opened is filled in several steps. A stop behind it would be moved away under the focus.
            browser.wait_for("reach.isStill()").await?;
        }
    }
    let missed = texts(browser, "reach.missed()").await?;
    wrong.extend(
        missed
            .into_iter()
            .map(|what| format!("{what}: not reached")),
    );
    assert_eq!(wrong, [""; 0], "\n{}", wrong.join("\n"));
    Ok(stops)
}

#[tokio::test]
async fn the_makers_page_is_gone_through_with_the_keyboard() -> Result<()> {
    if skipped_in_firefox("it is asked for by a protocol of Chromium's own") {
        return Ok(());
    }
    let host = Host::start(&built()?, "/")?;
    let browser = reader(390, 844).await?;
    browser.visit(&host.url()).await?;
    browser.look_at_all().await?;
    browser.value("scrollTo(0, 0) ?? 1").await?;
    let stops = walk(&browser).await?;
    assert!(stops > 300, "{stops} stops");

    // The contents lead past the long forms: behind its link the focus goes on within the section.
    browser
        .value("document.querySelector('#contents a[href=\"#time\"]').focus() ?? 1")
        .await?;
    browser.press("Enter").await?;
    browser.press("Tab").await?;
    browser
        .wait_for("document.activeElement.closest('#time')")
        .await?;
    // Escape closes a dialog, and the focus is where it was.
    for act in ["start-over", "new-book", "delete-book"] {
        let button = format!("[data-act={act}]");
        browser
            .value(&format!("document.querySelector('{button}').focus() ?? 1"))
            .await?;
        browser.press("Enter").await?;
        browser.wait_until_shown("dialog[open]").await?;
        for _ in 0..6 {
            browser.press("Tab").await?;
            let inside = "document.activeElement === document.body || document.activeElement.closest('dialog[open]') !== null";
            assert_eq!(browser.value(inside).await?, json!(true), "{act}");
        }
        browser.press("Escape").await?;
        browser
            .wait_for(&format!(
                "!document.querySelector('dialog[open]') && document.activeElement === document.querySelector('{button}')"
            ))
            .await?;
    }
    Ok(())
}

#[tokio::test]
async fn the_other_pages_are_gone_through_with_the_keyboard() -> Result<()> {
    if skipped_in_firefox("it is asked for by a protocol of Chromium's own") {
        return Ok(());
    }
    let (_folder, shop) = shop_with(&[("rate-card.json", &card())])?;
    let browser = reader(390, 844).await?;
    open_shop(&browser, &shop, "language=en").await?;
    // By the script, for a click would be where the focus goes on from.
    browser
        .value("document.getElementById('show-link').click() ?? 1")
        .await?;
    let stops = walk(&browser).await?;
    assert!(stops > 15, "{stops} stops");
    let host = Host::start(&built()?, "/")?;
    open_papers(&browser, &host).await?;
    let stops = walk(&browser).await?;
    assert!(stops > 30, "{stops} stops");
    Ok(())
}

/// A member of a node of the accessibility tree, as text.
fn told<'a>(node: &'a Value, member: &str) -> &'a str {
    node[member]["value"].as_str().unwrap_or_default().trim()
}

/// What is wrong with what programs read out of a page.
async fn unread(browser: &Browser) -> Result<Vec<String>> {
    const NAMED: [&str; 20] = [
        "button",
        "checkbox",
        "ColorWell",
        "combobox",
        "Date",
        "dialog",
        "DisclosureTriangle",
        "heading",
        "image",
        "img",
        "link",
        "listbox",
        "navigation",
        "ProgressIndicator",
        "progressbar",
        "radio",
        "region",
        "slider",
        "spinbutton",
        "textbox",
    ];
    let tree = browser.accessibility_tree().await?;
    let (mut wrong, mut level, mut seen) = (Vec::new(), 0, 0);
    for node in &tree {
        let (role, name) = (told(node, "role"), told(node, "name"));
        if NAMED.contains(&role) {
            seen += 1;
            if name.is_empty() {
                wrong.push(format!("a {role} without a name: {}", node["properties"]));
            }
        }
        if role == "heading" {
            let properties = node["properties"].as_array();
            let told = properties
                .and_then(|all| all.iter().find(|property| property["name"] == "level"))
                .and_then(|property| property["value"]["value"].as_u64())
                .unwrap_or_default();
            if told > level + 1 {
                wrong.push(format!(
                    "the heading {name} is of level {told}, below {level}"
                ));
            }
            level = told;
        }
    }
    assert!(seen > 20, "{seen} names");
    let mains = tree.iter().filter(|node| told(node, "role") == "main");
    if mains.count() != 1 {
        wrong.push("more or less than one main part".into());
    }
    // Each row has its head, and each head of a column says that it is one.
    wrong.extend(
        texts(
            browser,
            "reach.all('table').filter((table) => table.checkVisibility()).flatMap((table) => [...table.rows].filter((row) =>
                row.parentNode === table.tHead ? [...row.cells].some(({ tagName, scope }) => tagName !== 'TH' || scope !== 'col')
                    : row.cells[0]?.scope !== 'row').map((row) => `a row without its head: ${row.textContent}`))",
        )
        .await?,
    );
    Ok(wrong)
}

#[tokio::test]
async fn programs_can_read_the_pages_out() -> Result<()> {
    if skipped_in_firefox("it is asked for by a protocol of Chromium's own") {
        return Ok(());
    }
    let host = Host::start(&built()?, "/")?;
    let browser = reader(1280, 900).await?;
    browser.visit(&host.url()).await?;
    browser.value(OPEN_ALL).await?;
    browser.look_at_all().await?;
    browser.value(OPEN_ALL).await?;
    assert_eq!(unread(&browser).await?, [""; 0]);
    // A field tells its mistake along with its name, and what was understood.
    browser.paste("decal.width", "wide").await?;
    browser.wait_until_shown("[id='decal.width-error']").await?;
    let error = browser.text("[id='decal.width-error']").await?;
    let echo = browser.text("[id='decal.height-echo']").await?;
    let fields = browser.accessibility_tree().await?;
    let describes = |name: &str, text: &str| {
        fields.iter().any(|node| {
            told(node, "role") == "textbox"
                && told(node, "name") == name
                && told(node, "description").contains(text)
        })
    };
    assert!(!error.is_empty() && describes("Width", &error), "{error}");
    assert!(!echo.is_empty() && describes("Height", &echo), "{echo}");

    browser.paste("decal.width", "9").await?;
    open_papers(&browser, &host).await?;
    assert_eq!(unread(&browser).await?, [""; 0]);
    let (_folder, shop) = shop_with(&[("rate-card.json", &card())])?;
    open_shop(&browser, &shop, "language=es").await?;
    browser.value(OPEN_ALL).await?;
    assert_eq!(unread(&browser).await?, [""; 0]);
    // The page is in one language, and the names of others in theirs.
    assert_eq!(
        browser.value("document.documentElement.lang").await?,
        json!("es")
    );
    let names = texts(
        &browser,
        "reach.all('#language option').map(({ lang, text }) => `${lang} ${text}`)",
    )
    .await?;
    assert_eq!(names, ["en English", "es Español"]);
    Ok(())
}

#[tokio::test]
async fn answers_are_announced_once_and_not_while_one_types() -> Result<()> {
    let host = Host::start(&built()?, "/")?;
    let browser = reader(390, 844).await?;
    browser.visit(&host.url()).await?;
    browser.wait_for_text("#spoken", "42 ft read from").await?;
    let regions = browser.value("reach.listen()").await?;
    assert!(regions.as_u64() >= Some(10), "{regions} regions");
    let said = |kind: &'static str| texts_said(&browser, kind);

    // Letter by letter, with a pause in which each is answered.
    browser.type_into("decal.lettering", "").await?;
    for letter in "KITTIWAKE".chars() {
        let field = browser.driver.active_element().await?;
        field.send_keys(letter.to_string()).await?;
        browser
            .value("new Promise((resume) => setTimeout(() => resume(1), 60))")
            .await?;
    }
    browser
        .wait_for_text("#decal .work", "letters of 1 3/8 in")
        .await?;
    assert_eq!(said("now").await?, [""; 0]);

    // A size that changes the answers says them once, when the field is left; what is wrong, too.
    browser.type_into("decal.width", "1").await?;
    browser.type_into("decal.width", "12").await?;
    browser
        .wait_for_text("[id='decal.width-echo']", "304.8 mm")
        .await?;
    assert_eq!(said("now").await?, [""; 0]);
    browser.press("Tab").await?;
    browser.wait_for("reach.said.length").await?;
    let once = said("now").await?;
    assert_eq!(once.len(), 1, "{once:?}");
    assert!(once[0].contains("a piece, to ask"), "{once:?}");
    browser.value("reach.said.length = 0").await?;
    browser.type_into("decal.width", "wide").await?;
    browser.wait_until_shown("[id='decal.width-error']").await?;
    assert_eq!(said("now").await?, [""; 0]);
    browser.press("Tab").await?;
    browser.wait_until_shown("#errors li").await?;
    browser.wait_for("reach.said.length").await?;
    let error = browser.text("#errors li").await?;
    let once = said("now").await?;
    assert_eq!(once.len(), 1, "{once:?}");
    assert!(once[0].starts_with(&error), "{once:?}");
    assert_eq!(said("role").await?, ["status"]);
    // Nothing is said again that did not change.
    browser.value("reach.said.length = 0").await?;
    browser.type_into("decal.lettering", "KITTIWAKE").await?;
    browser.press("Tab").await?;
    browser
        .value("new Promise((resume) => setTimeout(() => resume(1), 300))")
        .await?;
    assert_eq!(said("now").await?, [""; 0]);
    Ok(())
}

/// What was announced since the list was last emptied: the words, or the kind of place.
async fn texts_said(browser: &Browser, member: &str) -> Result<Vec<String>> {
    texts(
        browser,
        &format!("reach.said.map(({{ {member} }}) => {member})"),
    )
    .await
}
