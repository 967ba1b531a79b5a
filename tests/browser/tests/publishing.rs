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
            (&json!("rate-card.json"), &json!("shop.html"))
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
