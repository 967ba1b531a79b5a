//! From the maker's book to the customers' page: what a maker publishes says prices, and not one figure of the shop.

use serde_json::{Value, json};
use site_tests::{Browser, Host, Result, Scratch, built};
use std::fs;

/// Puts a mark of its own into every figure and text of the shop that customers have nothing to do with, and gives the
/// marks. What they are told is left: own prices, postage as it is charged, tax, names of films, channels, shop.
const MARK: &str = r"(() => {
    const told = /^(prices\.sizes|quote\.ownPrice|quote\.postage\.charged|book\.card\.|book\.channels\[\d+\]\.(name|tax)|shelf\[\d+\]\.name)/;
    const marks = [];
    for (const field of document.querySelectorAll('#forms [name], [form=forms][name]')) {
        const { name, type, value, dataset } = field;
        if (!/^(book\.|shelf|prices\.|fair\.|quote\.)/.test(name) || told.test(name) || !value || type === 'checkbox') continue;
        const number = /^(money|percent|minutes)$/.test(dataset.kind ?? '') && /^\d+(\.\d+)?$/.test(value) && Number(value) > 0;
        const text = /^book\.(name|supplies\[\d+\]\.name|designs\[\d+\]\.(name|source)|channels\[\d+\]\.fees\[\d\]\.name|places\[\d+\]\.name)$/.test(name);
        if (!number && !text) continue;
        const mark = number ? `${Math.trunc(Number(value)) || 1}.0${301 + marks.length}` : `SECRET${marks.length}X`;
        marks.push(mark);
        field.value = mark;
        for (const kind of ['input', 'change']) field.dispatchEvent(new Event(kind, { bubbles: true }));
    }
    return marks;
})()";

/// Everything that a page holds or keeps, as one text.
const ALL_OF_IT: &str = "Promise.all([indexedDB.databases(), globalThis.caches?.keys() ?? []]).then(([databases, caches]) => JSON.stringify({
    page: document.documentElement.outerHTML,
    fields: [...document.querySelectorAll('input, textarea, select')].map(({ value }) => value),
    address: location.href, cookie: document.cookie, local: { ...localStorage }, session: { ...sessionStorage }, databases, caches, name: window.name }))";

#[tokio::test]
async fn nothing_secret_is_published() -> Result<()> {
    let host = Host::start(&built()?, "/")?;
    let (marks, card, page) = {
        let maker = Browser::open(1280, 900).await?;
        maker.visit(&host.url()).await?;
        let marks = maker.value(MARK).await?;
        assert_eq!(
            maker.typed("book.wage").await?.split('.').next(),
            Some("18")
        );
        maker.look_at("#card").await?;
        // The card is made of the figures that were typed last.
        maker
            .wait_for("document.getElementById('card-text').value && !document.querySelector('#card .old')?.checkVisibility()")
            .await?;
        maker
            .value("(() => { window.saved = []; URL.createObjectURL = (blob) => { saved.push(blob); return 'blob:none'; };
                HTMLAnchorElement.prototype.click = function () { saved.push(this.download); }; return true; })()")
            .await?;
        for (act, count) in [("card", 2), ("page", 4)] {
            maker.click(&format!("[data-publish={act}]")).await?;
            maker.wait_for(&format!("saved.length === {count}")).await?;
        }
        let saved = maker
            .value("Promise.all([saved[0].text(), saved[2].text()]).then((texts) => [...texts, saved[1], saved[3]])")
            .await?;
        assert_eq!(
            (&saved[2], &saved[3]),
            (&json!("rate-card.json"), &json!("price-list-1.html"))
        );
        // The maker sees it as customers do.
        maker.click("[data-publish=see]").await?;
        maker.look_into(Some("#preview-dialog iframe")).await?;
        maker.wait_for_text("#headline", "each").await?;
        maker.look_into(None).await?;
        assert_eq!(maker.console().await?, [""; 0]);
        let text = |at: usize| saved[at].as_str().unwrap_or_default().to_owned();
        (marks, text(0), text(1))
    };
    let marks: Vec<&str> = marks
        .as_array()
        .into_iter()
        .flatten()
        .filter_map(Value::as_str)
        .collect();
    assert!(marks.len() > 40, "{marks:?}");
    let none_is_in = |text: &str, what: &str| {
        for mark in &marks {
            assert!(!text.contains(mark), "{mark} is in {what}");
        }
    };
    none_is_in(&card, "the card");
    none_is_in(&page, "the page that was saved");
    assert!(card.contains("Heron Lake Lettering") && page.contains("Heron Lake Lettering"));

    // A customer with a fresh profile, of the card beside the page, and of the page with it.
    let files = Scratch::new()?;
    fs::copy(built()?.join("shop.html"), files.path().join("shop.html"))?;
    fs::write(files.path().join("rate-card.json"), &card)?;
    fs::write(files.path().join("alone.html"), &page)?;
    let shop = Host::start(files.path(), "/")?;
    for file in ["shop.html", "alone.html"] {
        let customer = Browser::open(390, 844).await?;
        customer
            .driver
            .goto(format!("{}{file}", shop.url()))
            .await?;
        customer.wait_until_shown("#shop").await?;
        customer.type_into("pieces", "5").await?;
        customer.click("#show-link").await?;
        let link = customer
            .wait_for("document.getElementById('link-address').href")
            .await?;
        none_is_in(link.as_str().unwrap_or_default(), "the link");
        customer.click("#copy").await?;
        let request = customer
            .wait_for("document.getElementById('request').value")
            .await?;
        none_is_in(request.as_str().unwrap_or_default(), "the request");
        let all = customer.value(ALL_OF_IT).await?;
        let all = all.as_str().unwrap_or_default();
        none_is_in(all, "the customers' page");
        let all: Value = serde_json::from_str(all)?;
        // It keeps nothing at all.
        for (kept, nothing) in [
            ("cookie", json!("")),
            ("local", json!({})),
            ("session", json!({})),
            ("databases", json!([])),
            ("caches", json!([])),
            ("name", json!("")),
        ] {
            assert_eq!(all[kept], nothing, "{kept}");
        }
        assert_eq!(customer.console().await?, [""; 0]);
        for address in customer.requests().await? {
            let own = [file, "rate-card.json"]
                .iter()
                .any(|own| address.starts_with(&format!("{}{own}", shop.url())));
            assert!(own || address.starts_with("data:"), "{address}");
        }
    }
    Ok(())
}

/// The card of what is typed is there, and can be saved.
const IS_NEW: &str = "document.querySelector('[data-publish=card]').checkVisibility() && document.querySelector('#card [data-answer=rateCard]:not([data-waiting])')";

/// Nothing of the card is offered.
const IS_NOT_OFFERED: &str =
    "![...document.querySelectorAll('#card [data-publish]')].some((act) => act.checkVisibility())";

#[tokio::test]
async fn a_wrong_field_is_marked_and_no_card_is_published() -> Result<()> {
    let host = Host::start(&built()?, "/")?;
    let browser = Browser::open(390, 844).await?;
    browser.visit(&host.url()).await?;
    browser.look_at("#card").await?;
    browser.wait_for(IS_NEW).await?;
    for (field, text) in [
        ("book.card.edition", "0"),
        ("book.card.edition", "-1"),
        ("book.card.edition", "x"),
        ("book.card.edition", ""),
        ("book.card.most", "0"),
        ("book.card.most", "abc"),
        ("book.card.most", "24"),
        ("book.card.mail", "not a mail"),
        ("book.card.mail", "javascript:alert(1)"),
        ("book.card.until", "2020-01-01"),
        ("book.card.shop", ""),
        ("book.card.design", ""),
        ("prices.quantities", "5, 2"),
        ("prices.sizes[1].width", "90"),
    ] {
        let before = browser.typed(field).await?;
        browser.paste(field, text).await?;
        // The card's own section leads to it, whatever else does.
        browser
            .wait_until_shown(&format!("#card-why a[href='#{field}']"))
            .await?;
        // It may be folded away there; the link unfolds it.
        browser
            .wait_for(&format!(
                "(({{ hidden, textContent }}) => !hidden && textContent)(document.getElementById('{field}-error'))"
            ))
            .await?;
        browser.wait_for(IS_NOT_OFFERED).await?;
        browser
            .wait_until_shown("#card [data-answer=rateCard] > .old")
            .await?;
        // The worker's next word, that it is done, takes nothing of that away.
        browser
            .value("new Promise((resume) => setTimeout(resume, 300))")
            .await?;
        assert_eq!(
            browser
                .value(&format!(
                    "document.getElementsByName('{field}')[0].ariaInvalid"
                ))
                .await?,
            json!("true"),
            "{field} {text}"
        );
        assert_eq!(browser.typed(field).await?, text);
        browser.paste(field, &before).await?;
        browser.wait_for(IS_NEW).await?;
        assert!(!browser.is_shown("#card-why").await?, "{field} {text}");
    }
    // Without any film the first box says so.
    browser
        .value("[...document.querySelectorAll('[name$=\".offered\"]')].filter(({ name }) => name.startsWith('shelf')).map((box) => { box.checked = false; box.dispatchEvent(new Event('change', { bubbles: true })); }).length")
        .await?;
    browser
        .wait_until_shown("#card-why a[href='#shelf[0].offered']")
        .await?;
    assert_eq!(browser.console().await?, [""; 0]);
    Ok(())
}

#[tokio::test]
async fn why_there_is_no_card_is_told_after_a_reload() -> Result<()> {
    let host = Host::start(&built()?, "/")?;
    let browser = Browser::open(1280, 900).await?;
    browser.visit(&host.url()).await?;
    // A size of the ladder that does not fit the sheet, and one of the decal itself, without which there is no price.
    for (field, wrong, good) in [
        ("prices.sizes[1].width", "90", "5"),
        ("decal.width", "", "9"),
    ] {
        browser.paste(field, wrong).await?;
        browser.reload().await?;
        browser.look_at("#card").await?;
        browser
            .wait_until_shown(&format!("#card-why a[href='#{field}']"))
            .await?;
        assert_eq!(browser.value(IS_NOT_OFFERED).await?, json!(true));
        browser
            .click(&format!("#card-why a[href='#{field}']"))
            .await?;
        assert_eq!(
            browser.value("document.activeElement.name").await?,
            json!(field)
        );
        browser.paste(field, good).await?;
        browser.look_at("#card").await?;
        browser.wait_for(IS_NEW).await?;
    }
    assert_eq!(browser.console().await?, [""; 0]);
    Ok(())
}

#[tokio::test]
async fn what_is_pressed_while_a_card_is_made_waits_for_it() -> Result<()> {
    let host = Host::start(&built()?, "/")?;
    let browser = Browser::open(1280, 900).await?;
    browser.visit(&host.url()).await?;
    browser.look_at("#card").await?;
    browser.wait_for(IS_NEW).await?;
    browser
        .value("(() => { window.saved = []; URL.createObjectURL = (blob) => { saved.push(blob); return 'blob:none'; };
            HTMLAnchorElement.prototype.click = function () { saved.push(this.download); }; return true; })()")
        .await?;
    // All at once, as a quick hand does it.
    browser
        .value("(() => { const field = document.getElementsByName('book.card.edition')[0]; field.value = '7';
            for (const kind of ['input', 'change']) field.dispatchEvent(new Event(kind, { bubbles: true }));
            document.querySelector('[data-publish=page]').click(); return true; })()")
        .await?;
    browser.wait_for("saved.length === 2").await?;
    let page = browser.value("saved[0].text()").await?;
    assert!(
        page.as_str().unwrap_or_default().contains("\"edition\": 7"),
        "the old card is in it"
    );
    assert_eq!(browser.value("saved[1]").await?, json!("price-list-7.html"));
    // A page with a card in it shows the card that an element sets.
    let files = Scratch::new()?;
    fs::write(
        files.path().join("alone.html"),
        page.as_str().unwrap_or_default(),
    )?;
    fs::copy(
        built()?.join("decal-quote.js"),
        files.path().join("decal-quote.js"),
    )?;
    let card = browser
        .value("document.getElementById('card-text').value.replace('Heron Lake Lettering', 'Reed Bay Lettering')")
        .await?;
    fs::write(
        files.path().join("other.json"),
        card.as_str().unwrap_or_default(),
    )?;
    fs::write(
        files.path().join("shop-page.html"),
        "<!doctype html><meta charset=utf-8><title>A shop</title><script defer src=decal-quote.js></script>
        <decal-quote page=alone.html card=other.json></decal-quote>",
    )?;
    let shop = Host::start(files.path(), "/")?;
    let customer = Browser::open(1280, 900).await?;
    customer
        .driver
        .goto(format!("{}shop-page.html", shop.url()))
        .await?;
    customer.wait_until_shown("decal-quote iframe").await?;
    customer.look_into(Some("decal-quote iframe")).await?;
    customer
        .wait_for_text("#shop", "Reed Bay Lettering")
        .await?;
    Ok(())
}

#[tokio::test]
async fn the_maker_is_told_of_bargains_and_of_invented_figures() -> Result<()> {
    let host = Host::start(&built()?, "/")?;
    let browser = Browser::open(390, 844).await?;
    browser.visit(&host.url()).await?;
    browser.look_at("#card").await?;
    browser.wait_for(IS_NEW).await?;
    browser.wait_until_shown("[data-invented-in]").await?;
    // Worked out here from the card: the last quantity before a break against the first one of it.
    let is_bargain = "(() => { const { quantities, prices } = JSON.parse(document.getElementById('card-text').value);
        return prices.flat(2).some((row) => row.some((price, at) => at + 1 < row.length && Math.round(price * 100) * (quantities[at + 1] - 1) > Math.round(row[at + 1] * 100) * quantities[at + 1])); })()";
    assert_eq!(
        browser.value(is_bargain).await?,
        json!(browser.is_shown("#card [data-slot=bargain]").await?)
    );
    // One price for all quantities is never one.
    browser.choose("book.card.lower", "no").await?;
    browser
        .wait_for(&format!("{IS_NEW} && !{is_bargain}"))
        .await?;
    assert!(!browser.is_shown("#card [data-slot=bargain]").await?);
    // All figures are said to be the maker's own.
    browser
        .value("(document.querySelector('[data-act=all-own]').click(), true)")
        .await?;
    assert!(!browser.is_shown("[data-invented-in]").await?);
    assert_eq!(browser.console().await?, [""; 0]);
    Ok(())
}
