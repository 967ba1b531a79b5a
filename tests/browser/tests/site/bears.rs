//! What the page bears: nonsense in the fields that its workers check, rows without end, currencies without or with
//! more decimals, a way back, a reload in the middle of a word, and two windows at once.

use serde_json::{Value, json};
use site_tests::{Browser, Host, Result, built};

/// Parts that a worker reckons once they are looked at.
const DESK: [&str; 7] = [
    "#moving",
    "#law",
    "#sizes",
    "#fair",
    "#post",
    "#supplies",
    "#shopping",
];

/// Opens all details and looks at all that a worker reckons, until it is there.
async fn look_at_all(browser: &Browser) -> Result<()> {
    let open =
        "[...document.querySelectorAll('details')].map((details) => details.open = true).length";
    browser.value(open).await?;
    for part in DESK {
        browser.look_at(part).await?;
        let answered = format!("!document.querySelector('{part} .answer[data-empty]')");
        browser.wait_for(&answered).await?;
    }
    Ok(())
}

async fn texts(browser: &Browser, expression: &str) -> Result<Vec<String>> {
    Ok(serde_json::from_value(browser.value(expression).await?)?)
}

/// What stands in the list of mistakes.
async fn mistakes(browser: &Browser) -> Result<Vec<String>> {
    let listed = "[...document.querySelectorAll('#errors li a')].map((a) => a.textContent)";
    texts(browser, listed).await
}

/// So many clicks on the button that adds a row to a list, or takes its last one out.
async fn press(browser: &Browser, act: &str, list: &str, times: u32) -> Result<()> {
    let press = format!(
        "(() => {{ for (let i = 0; i < {times}; i++) {{
            [...document.querySelectorAll('[data-act={act}][data-of=\"{list}\"]')].at(-1).click(); }}
            return true; }})()"
    );
    browser.value(&press).await.map(drop)
}

async fn rows(browser: &Browser, list: &str) -> Result<Value> {
    let rows = format!("document.querySelectorAll('[data-list=\"{list}\"] > .row').length");
    browser.value(&rows).await
}

/// Reloads the page with so many rows in a list, as if they had been added one by one.
async fn keep_rows(browser: &Browser, list: &str, count: u32) -> Result<()> {
    let keep = format!(
        "(() => {{ const key = 'decal-reckoner:/:fields', kept = JSON.parse(localStorage.getItem(key));
            kept.typed['{list}'] = '{count}'; localStorage.setItem(key, JSON.stringify(kept)); return true; }})()"
    );
    browser.value(&keep).await?;
    browser.reload().await?;
    assert_eq!(rows(browser, list).await?, json!(count), "{list}");
    Ok(())
}

async fn price(browser: &Browser) -> Result<String> {
    let text = browser.text("#answers [href='#price']").await?;
    Ok(text.split_whitespace().collect::<Vec<_>>().join(" "))
}

/// Nothing failed, and nothing is wider than the screen.
async fn stands(browser: &Browser) -> Result<()> {
    assert!(!browser.is_shown("#fault").await?);
    assert_eq!(browser.console().await?, [""; 0]);
    let wide = "document.documentElement.scrollWidth <= 390";
    assert_eq!(browser.value(wide).await?, json!(true), "too wide");
    Ok(())
}

#[tokio::test]
async fn every_field_of_the_desk_says_what_is_wrong() -> Result<()> {
    let host = Host::start(&built()?, "/")?;
    let browser = Browser::open(390, 844).await?;
    browser.visit(&host.url()).await?;
    look_at_all(&browser).await?;
    // A tax counts only where it is reckoned.
    browser.paste("book.channels[0].tax.percent", "5").await?;
    browser.choose("book.channels[0].tax.kind", "added").await?;
    // The names are free. What the stock of a film is, and what fits the screen, other tests try.
    let names = "[...document.querySelectorAll('#forms input:not([type=checkbox], [type=date])')]
        .filter((field) => field.name && field.checkVisibility() && !/name$/.test(field.name)
            && (field.closest('[data-desk]') && !field.closest('#order, #sight')
                || /onHand$|^book.channels.0..tax.percent$|^book.channels.1..fees/.test(field.name)))
        .map((field) => field.name)";
    let names = texts(&browser, names).await?;
    assert!(names.len() > 70, "{names:?}");
    let must_be_full = "post.length post.width post.thickness packs.packs supplyList.orders payback.machine \
        payback.stock payback.price payback.costs fair.tableFee fair.travel fair.tax.percent fair.cardShare \
        fair.cardPercent fair.cardFixed fair.sales.mean prices.grows prices.floor walk.speed walk.aside";
    let must_be_full: Vec<&str> = must_be_full.split_whitespace().collect();
    let paste = "12,".repeat(34_000);
    let good = "JSON.stringify(NAMES.map((name) => document.getElementById(name).value))";
    let with_names =
        |expression: &str, names: &Value| expression.replace("NAMES", &names.to_string());
    let put =
        "(() => { const fields = NAMES.map((name) => document.getElementById(name)), texts = TEXTS;
        fields.forEach((field, at) => field.value = texts[at % texts.length]);
        fields[0]?.dispatchEvent(new Event('change', { bubbles: true })); return true; })()";
    // Those that say nothing of what is wrong with them, or no longer hold it.
    let silent = "NAMES.filter((name) => { const field = document.getElementById(name),
        error = document.getElementById(name + '-error');
        return field.ariaInvalid !== 'true' || error.hidden || error.textContent.length < 20 || field.value !== TEXT; })";
    for bad in [
        "",
        "-1",
        "1e9999",
        "99999999999999999999",
        "<b>x</b>",
        &paste,
    ] {
        // All of them at once: each mistake is told, not only the first.
        for stage in 0..4 {
            // No size is reckoned before the order is, and no price of a size before the size.
            let of = |name: &str| match name {
                "book.channels[0].tax.percent" => 0,
                "prices.grows" | "prices.postages" => 1,
                name if name.starts_with("prices.sizes") && name.ends_with("width") => 2,
                _ => 3,
            };
            let asked = names.iter().filter(|name| {
                of(name) == stage && (!bad.is_empty() || must_be_full.contains(&name.as_str()))
            });
            let names = json!(asked.collect::<Vec<_>>());
            let before = browser.value(&with_names(good, &names)).await?;
            let before = before.as_str().unwrap_or_default();
            let put_all = |texts: &str| with_names(put, &names).replace("TEXTS", texts);
            browser.value(&put_all(&json!([bad]).to_string())).await?;
            let silent = with_names(silent, &names).replace("TEXT", &json!(bad).to_string());
            let found = browser.wait_for(&format!("({silent}).length === 0")).await;
            assert!(
                found.is_ok(),
                "{bad:.30?} is not refused at {:?}",
                browser.value(&silent).await?
            );
            assert!(!browser.is_shown("#fault").await?, "{bad:.30?}");
            browser.value(&put_all(before)).await?;
            let mended = browser
                .wait_for("document.getElementById('errors').hidden")
                .await;
            assert!(
                mended.is_ok(),
                "{bad:.30?}: {:?}",
                mistakes(&browser).await?
            );
        }
    }
    stands(&browser).await
}

/// No room looks at a name. One that is long and has no space is broken all the same.
#[tokio::test]
async fn any_text_is_a_name() -> Result<()> {
    let host = Host::start(&built()?, "/")?;
    let browser = Browser::open(390, 844).await?;
    browser.visit(&host.url()).await?;
    look_at_all(&browser).await?;
    let names = "[...document.querySelectorAll('#forms input')].map((field) => field.name)
        .filter((name) => /^book.*(name|source|credit)$|^supplyList.*name$|^watch.pieces$/.test(name) && !/fees/.test(name))";
    let names = texts(&browser, names).await?;
    assert!(names.len() > 15, "{names:?}");
    let long = format!("https://{}", "a-studio-that-nobody-knows/".repeat(4));
    for text in ["", "-1", "<b>x</b>", "\u{202e}🛶 é", &long] {
        for name in &names {
            browser.paste(name, text).await?;
        }
        assert_eq!(mistakes(&browser).await?, [""; 0], "{text}");
        // As it is in the page: what Firefox gives as seen lacks the sign that turns the direction.
        for table in ["#licences table", "#price table:has(tfoot)"] {
            let is_there = format!(
                "document.querySelector({}).textContent.includes({})",
                json!(table),
                json!(text)
            );
            browser.wait_for(&is_there).await?;
        }
        let bold = "document.querySelectorAll('tbody th b:not([data-money])').length";
        assert_eq!(browser.value(bold).await?, json!(0));
        stands(&browser).await?;
    }
    Ok(())
}

#[tokio::test]
async fn rows_are_added_up_to_a_limit_and_taken_out_to_the_last() -> Result<()> {
    let host = Host::start(&built()?, "/")?;
    let browser = Browser::open(390, 844).await?;
    browser.visit(&host.url()).await?;
    look_at_all(&browser).await?;
    browser.paste("decal.width", "9").await?;
    for list in [
        "prices.sizes",
        "prices.set",
        "book.supplies",
        "book.designs",
        "supplyList.rolls",
        "book.postage",
        "book.channels",
    ] {
        keep_rows(&browser, list, 198).await?;
        for part in DESK {
            browser.look_at(part).await?;
        }
        press(&browser, "add-row", list, 4).await?;
        assert_eq!(rows(&browser, list).await?, json!(200), "{list}");
        stands(&browser).await?;
        keep_rows(&browser, list, 2).await?;
        press(&browser, "remove-row", list, 2).await?;
        assert_eq!(rows(&browser, list).await?, json!(0), "{list}");
        stands(&browser).await?;
    }
    // Nothing is taken then, and there is still a price.
    assert!(price(&browser).await?.ends_with("a piece, to ask"));
    press(&browser, "add-row", "book.channels", 1).await?;
    browser
        .paste("book.channels[0].fees[0].item", "101")
        .await?;
    assert_eq!(mistakes(&browser).await?.len(), 1);
    browser.paste("book.channels[0].fees[0].item", "5").await?;
    assert_eq!(mistakes(&browser).await?, [""; 0]);
    assert!(price(&browser).await?.ends_with("a piece, to ask"));
    stands(&browser).await
}

/// The price follows the channel that is chosen, whatever its place.
#[tokio::test]
async fn the_chosen_channel_stays_when_others_go_and_gives_way_when_it_goes() -> Result<()> {
    let host = Host::start(&built()?, "/")?;
    let browser = Browser::open(390, 844).await?;
    browser.visit(&host.url()).await?;
    browser.choose("channel", "2").await?;
    let to_order = price(&browser).await?;
    let chosen = "document.getElementById('channel').selectedOptions[0].text";
    assert_eq!(browser.value(chosen).await?, json!("to order"));
    let remove =
        |place: u32| format!("[data-act=remove-row][data-of='book.channels'][data-at='[{place}]']");
    browser.click(&remove(0)).await?;
    assert_eq!(browser.value(chosen).await?, json!("to order"));
    assert_eq!(price(&browser).await?, to_order);
    browser.reload().await?;
    assert_eq!(browser.value(chosen).await?, json!("to order"));
    assert_eq!(price(&browser).await?, to_order);
    // Itself: the first of the others is chosen, and nothing breaks.
    browser.click(&remove(1)).await?;
    assert_eq!(browser.value(chosen).await?, json!("lake fair"));
    assert_ne!(price(&browser).await?, to_order);
    // And back again.
    browser.click("#undo [data-act=undo]").await?;
    assert_eq!(browser.value(chosen).await?, json!("to order"));
    assert_eq!(price(&browser).await?, to_order);
    stands(&browser).await
}

/// A yen has no decimals and a Kuwaiti dinar three (ISO 4217).
#[tokio::test]
async fn other_currencies_and_units_are_told_as_they_are_written() -> Result<()> {
    let host = Host::start(&built()?, "/")?;
    let browser = Browser::open(390, 844).await?;
    browser.visit(&host.url()).await?;
    look_at_all(&browser).await?;
    for (currency, decimals) in [("JPY", 0), ("KWD", 3), ("USD", 2)] {
        browser.choose("currency", currency).await?;
        assert_eq!(mistakes(&browser).await?, [""; 0], "{currency}");
        let figure = browser.text("#price .figure b").await?;
        let behind = figure.split_once('.').map_or(0, |(_, behind)| behind.len());
        assert_eq!(behind, decimals, "{currency}: {figure}");
        stands(&browser).await?;
    }
    let before = price(&browser).await?;
    browser.choose("unit", "mm").await?;
    assert_eq!(mistakes(&browser).await?, [""; 0]);
    assert_eq!(price(&browser).await?, before);
    // 100 ft are 30.48 m.
    assert_eq!(browser.typed("book.tape.length").await?, "30.48");
    stands(&browser).await
}

#[tokio::test]
async fn the_way_back_and_a_reload_in_the_middle_of_a_word_lose_nothing() -> Result<()> {
    let host = Host::start(&built()?, "/")?;
    let browser = Browser::open(390, 844).await?;
    browser.visit(&host.url()).await?;
    browser.click("#contents [href='#book']").await?;
    press(&browser, "add-row", "book.supplies", 1).await?;
    browser.type_into("book.supplies[3].name", "stick").await?;
    // Half of it is typed, and wrong so.
    browser
        .type_into("book.supplies[3].packs", "100 for")
        .await?;
    browser.driver.back().await?;
    browser
        .wait_for("'started' in document.documentElement.dataset && !location.hash")
        .await?;
    assert_eq!(browser.typed("book.supplies[3].name").await?, "stick");
    browser.reload().await?;
    assert_eq!(browser.typed("book.supplies[3].name").await?, "stick");
    assert_eq!(browser.typed("book.supplies[3].packs").await?, "100 for");
    assert_eq!(mistakes(&browser).await?.len(), 1);
    browser
        .type_into("book.supplies[3].packs", "100 for 5.00")
        .await?;
    browser
        .wait_for("document.getElementById('errors').hidden")
        .await?;
    browser.driver.goto("about:blank").await?;
    browser.driver.back().await?;
    browser
        .wait_for("'started' in document.documentElement.dataset")
        .await?;
    assert_eq!(
        browser.typed("book.supplies[3].packs").await?,
        "100 for 5.00"
    );
    stands(&browser).await
}

#[tokio::test]
async fn two_windows_have_the_same_rows() -> Result<()> {
    let host = Host::start(&built()?, "/")?;
    let browser = Browser::open(390, 844).await?;
    browser.visit(&host.url()).await?;
    let first = browser.driver.window().await?;
    let second = browser.driver.new_tab().await?;
    browser.driver.switch_to_window(second.clone()).await?;
    browser.set_viewport(390, 844).await?;
    browser.visit(&host.url()).await?;
    press(&browser, "add-row", "book.channels", 1).await?;
    browser.paste("book.channels[4].name", "quay").await?;
    browser.paste("book.channels[4].fees[0].item", "30").await?;
    browser.choose("channel", "4").await?;
    let there = price(&browser).await?;
    browser.driver.switch_to_window(first.clone()).await?;
    browser
        .wait_for("document.getElementById('channel').selectedOptions[0]?.text === 'quay'")
        .await?;
    assert_eq!(browser.typed("book.channels[4].fees[0].item").await?, "30");
    assert_eq!(price(&browser).await?, there);
    // One takes the row out while the other has it open.
    press(&browser, "remove-row", "book.channels", 1).await?;
    browser.driver.switch_to_window(second).await?;
    browser
        .wait_for("document.querySelectorAll('[data-list=\"book.channels\"] > .row').length === 4")
        .await?;
    let second_price = price(&browser).await?;
    stands(&browser).await?;
    browser.driver.switch_to_window(first).await?;
    assert_eq!(price(&browser).await?, second_price);
    assert_ne!(second_price, there);
    stands(&browser).await
}
