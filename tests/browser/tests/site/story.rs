//! A maker of boat and trailer lettering reckons one decal, from the first visit to a reload without
//! a network.

use serde_json::{Value, json};
use site_tests::{Browser, Host, Result, built};

async fn open_all_details(browser: &Browser) -> Result<()> {
    let open =
        "[...document.querySelectorAll('details')].map((details) => details.open = true).length";
    browser.value(open).await.map(drop)
}

/// What all fields hold, by name.
async fn fields(browser: &Browser) -> Result<Value> {
    let all = "Object.fromEntries([...document.querySelectorAll('#forms [name], [form=forms]')]
        .map((field) => [field.name, field.type === 'checkbox' ? field.checked : field.value]))";
    browser.value(all).await
}

/// The text of one answer in the bar, as a reader has it.
async fn answer(browser: &Browser, subject: &str) -> Result<String> {
    let text = browser
        .text(&format!("#answers [href='#{subject}']"))
        .await?;
    Ok(text.split_whitespace().collect::<Vec<_>>().join(" "))
}

/// The price: with every other figure of the book at nothing it can be reckoned by hand.
async fn reckon_the_price(browser: &Browser) -> Result<()> {
    // 12.00 for mailer, board and card, nothing else, a fee of a fifth: 12 / (1 - 0.2) = 15.
    // No entry of the log is left, so that the estimates count.
    browser.type_into("book.log", "").await?;
    for nothing in [
        "book.film.sheet",
        "book.wage",
        "book.time.setup",
        "book.time.cut",
        "book.time.weed",
        "book.time.tape",
        "book.time.pack",
        "book.tape.price",
        "book.spoilage",
        "book.monthly",
        "book.machine.price",
        "book.blade.price",
        "book.overhead",
        "book.channels[0].fees[0].postage",
        "book.channels[0].fees[0].order",
        "book.channels[0].fees[1].item",
        "book.channels[0].fees[1].order",
        "book.channels[0].fees[2].item",
        "book.channels[0].refunds",
        "quote.postage.paid",
        "aimMargin",
    ] {
        browser.type_into(nothing, "0").await?;
    }
    browser
        .type_into("book.supplies[0].packs", "25 for 262.50")
        .await?;
    browser
        .type_into("book.supplies[1].packs", "1 for 1.00")
        .await?;
    browser
        .type_into("book.supplies[2].packs", "100 for 50.00")
        .await?;
    browser
        .type_into("book.channels[0].fees[0].item", "20")
        .await?;
    browser.choose("quote.ending", "none").await?;
    assert_eq!(answer(browser, "price").await?, "$15.00 a piece, to ask");
    // With work of 6 minutes at 20.00 an hour: 14 / 0.8 = 17.50.
    browser.type_into("book.wage", "20").await?;
    browser.type_into("book.time.weed", "6").await?;
    assert_eq!(answer(browser, "price").await?, "$17.50 a piece, to ask");
    browser.type_into("quote.ownPrice", "20").await?;
    // 20 - 4 - 14 = 2 left; pay (2 + 2) for six minutes.
    browser.wait_for_text("#price .answer", "At a price of $20.00 it would leave $2.00 a piece, a margin of 10 %; an hour of work would bring $40.00").await?;
    Ok(())
}

#[tokio::test]
async fn a_maker_reckons_a_decal_and_finds_it_again_without_a_network() -> Result<()> {
    let mut host = Host::start(&built()?, "/shop/")?;
    let browser = Browser::open(390, 844).await?;
    browser.visit(&host.url()).await?;
    open_all_details(&browser).await?;

    // The decal, and from how far it reads.
    browser
        .type_into("decal.lettering", "LADY OF THE LAKE")
        .await?;
    browser.type_into("decal.width", "9").await?;
    browser.type_into("decal.height", "3").await?;
    browser.type_into("decal.letterHeight", "1 1/2").await?;
    browser
        .wait_for_text("[data-picture=decal]", "LADY OF THE LAKE")
        .await?;
    // 20/40 tells letters of 10 arcmin apart: 1.5 in / (2 tan 5 arcmin) = 515.7 in = 42.97 ft. The
    // traffic index of 30 ft to the inch gives 45 ft; the more cautious of the two counts.
    browser
        .wait_for_text("#answers [href='#read']", "42 ft")
        .await?;
    browser
        .wait_for_text("#read .answer", "Visual acuity 20/40")
        .await?;
    browser
        .wait_for_text("#read .answer", "Traffic legibility index: 45 ft")
        .await?;

    // The film: seven on a sheet. Each piece takes 9 1/8 by 3 1/8 in of 11 5/8 by 23 5/8 in: columns
    // of three along and one across leave 5 3/8 in at the end, wide enough for one more, turned.
    browser.choose("stock", "sheet").await?;
    browser.type_into("material.sheet.width", "12").await?;
    browser.type_into("material.sheet.length", "24").await?;
    browser.type_into("material.margin", "1/4").await?;
    browser.type_into("material.gap", "1/8").await?;
    assert_eq!(
        answer(&browser, "film").await?,
        "7 a sheet cut at 21 3/4 in"
    );
    let pieces = "document.querySelectorAll('[data-picture=material] text.piece').length";
    assert_eq!(browser.value(pieces).await?, json!(7));

    reckon_the_price(&browser).await?;

    // Another unit and another currency.
    browser.choose("unit", "cm").await?;
    assert_eq!(browser.typed("decal.width").await?, "22.86");
    assert_eq!(browser.typed("material.margin").await?, "0.635");
    assert_eq!(answer(&browser, "film").await?, "7 a sheet cut at 55.5 cm");
    browser.choose("currency", "EUR").await?;
    browser
        .wait_for_text("#answers [href='#price']", "€17.50")
        .await?;
    browser.screenshot("story").await?;

    // Reloaded with the server stopped, everything is as it was.
    browser.wait_until_kept().await?;
    let before = (
        fields(&browser).await?,
        answer(&browser, "read").await?,
        answer(&browser, "price").await?,
    );
    host.stop()?;
    browser.reload().await?;
    let after = (
        fields(&browser).await?,
        answer(&browser, "read").await?,
        answer(&browser, "price").await?,
    );
    assert_eq!(before, after);
    assert_eq!(browser.typed("decal.lettering").await?, "LADY OF THE LAKE");
    Ok(())
}

#[tokio::test]
async fn starting_over_asks_first_and_can_be_undone() -> Result<()> {
    let host = Host::start(&built()?, "/")?;
    let browser = Browser::open(390, 844).await?;
    browser.visit(&host.url()).await?;
    browser.type_into("decal.width", "7").await?;
    let typed = fields(&browser).await?;

    browser.click("[data-act=start-over]").await?;
    browser.wait_until_shown("#start-over-dialog").await?;
    browser.click("[data-act=start-over-no]").await?;
    assert_eq!(fields(&browser).await?, typed);

    browser.click("[data-act=start-over]").await?;
    browser.click("[data-act=start-over-yes]").await?;
    assert_eq!(browser.typed("decal.width").await?, "9");
    // Even after a reload.
    browser.reload().await?;
    assert_eq!(browser.typed("decal.width").await?, "9");
    browser.click("[data-act=undo]").await?;
    assert_eq!(fields(&browser).await?, typed);
    assert!(!browser.is_shown("#undo").await?);
    Ok(())
}

#[tokio::test]
async fn invented_figures_are_marked_until_they_are_replaced() -> Result<()> {
    let host = Host::start(&built()?, "/")?;
    let browser = Browser::open(390, 844).await?;
    browser.visit(&host.url()).await?;
    let marked = "[...document.querySelectorAll('.invented')].filter((field) => !field.closest('[hidden]')).length";
    let all = browser.value(marked).await?.as_u64().unwrap_or_default();
    assert!(all > 10, "{all} figures are marked");
    browser
        .wait_for_text("#invented", &format!("{all} left"))
        .await?;

    // The button leads to each in turn; typing over one unmarks it, and leaves it unmarked.
    browser.click("[data-act=next-invented]").await?;
    let first = browser.value("document.activeElement.name").await?;
    let name = first.as_str().unwrap_or_default().to_owned();
    browser.type_into(&name, "4.20").await?;
    assert_eq!(browser.value(marked).await?, json!(all - 1));
    browser.reload().await?;
    assert_eq!(browser.value(marked).await?, json!(all - 1));
    browser.click("[data-act=next-invented]").await?;
    assert_ne!(browser.value("document.activeElement.name").await?, first);

    browser.click("[data-act=all-own]").await?;
    assert_eq!(browser.value(marked).await?, json!(0));
    assert!(!browser.is_shown("#invented").await?);
    browser.reload().await?;
    assert!(!browser.is_shown("#invented").await?);
    Ok(())
}

#[tokio::test]
async fn a_length_is_turned_into_the_other_unit_and_back() -> Result<()> {
    let host = Host::start(&built()?, "/")?;
    let browser = Browser::open(1280, 800).await?;
    browser.visit(&host.url()).await?;
    open_all_details(&browser).await?;
    browser.type_into("material.gap", "5/64").await?;
    browser.type_into("decal.letterHeight", "3.7 cm").await?;
    browser.type_into("material.margin", "nonsense").await?;
    let before = fields(&browser).await?;
    browser.choose("unit", "mm").await?;
    // 5/64 in is 1.984375 mm: no short number, so it stays what it is, with its unit.
    assert_eq!(browser.typed("material.gap").await?, "5/64 in");
    assert_eq!(browser.typed("decal.letterHeight").await?, "37");
    assert_eq!(browser.typed("decal.width").await?, "228.6");
    assert_eq!(browser.typed("material.margin").await?, "nonsense");
    browser.choose("unit", "in").await?;
    let after = fields(&browser).await?;
    for (name, value) in before.as_object().into_iter().flatten() {
        match name.as_str() {
            // 37 mm is no short number of inches, and 5/64 in is one.
            "decal.letterHeight" => assert_eq!(after[name], json!("37 mm")),
            "material.gap" => assert_eq!(after[name], json!("5/64")),
            // A weight that was typed with the unit of the page needs it no more.
            _ => assert_eq!(
                after[name],
                value.as_str().map_or(value.clone(), |text| json!(
                    text.strip_suffix(" oz").unwrap_or(text)
                )),
                "{name}"
            ),
        }
    }
    Ok(())
}

#[tokio::test]
async fn every_field_says_what_is_wrong_and_keeps_the_last_good_answer() -> Result<()> {
    let host = Host::start(&built()?, "/")?;
    let browser = Browser::open(390, 844).await?;
    browser.visit(&host.url()).await?;
    open_all_details(&browser).await?;
    // What only the desk, the light table or the counter checks, and a tax that is not reckoned, is tried elsewhere; no room looks at the names, nor at the stopwatch's pieces
    // before they are written down.
    let names = "[...document.querySelectorAll('#forms input:not([type=checkbox], [type=date]), #book textarea, #time textarea')]
        .filter((field) => field.name && !field.closest('#order, #artwork, [data-desk], [data-counter]') && field.checkVisibility())
        .map((field) => field.name)
        .filter((name) => !/^book.channels.[1-9]|name$|source$|credit$|onHand$|tax.percent$|^watch/.test(name))";
    let names = browser.value(names).await?;
    let names: Vec<&str> = names
        .as_array()
        .into_iter()
        .flatten()
        .filter_map(Value::as_str)
        .collect();
    assert!(names.len() > 70, "{names:?}");
    let may_be_empty = "sheetCount quote.ownPrice quote.orderLines book.log decal.stroke";
    let may_be_empty = |name: &str| {
        may_be_empty.split(' ').any(|other| other == name)
            || name.starts_with("decal.letter")
            || name.starts_with("legibility.")
            || name.starts_with("book.places")
            || name.starts_with("book.designs")
            || name.starts_with("book.channels")
            || name.starts_with("time.learning")
    };
    let paste = "12,".repeat(34_000);
    // A tier is read as a whole.
    for (member, text) in [("from", "10"), ("item", "5")] {
        let name = format!("book.channels[0].fees[0].tiers[0].{member}");
        browser.paste(&name, text).await?;
    }
    let price = answer(&browser, "price").await?;
    for name in names {
        let good = browser.typed(name).await?;
        for bad in [
            "",
            "-1",
            "1e99",
            "1e9999",
            "999999999999999",
            "99999999999999999999",
            "3 furlongs",
            "abc",
            "<b>x</b>",
            &paste,
        ] {
            if bad.is_empty() && may_be_empty(name) {
                continue;
            }
            // At once, as a paste does it; key by key is tried elsewhere.
            let set = format!(
                "(() => {{ const field = document.querySelector({name}); field.value = {bad};
                   field.dispatchEvent(new Event('input', {{ bubbles: true }}));
                   field.dispatchEvent(new Event('change', {{ bubbles: true }}));
                   const error = document.getElementById(field.name + '-error');
                   return [field.getAttribute('aria-invalid'), error.hidden, error.textContent.length > 20,
                     field.getAttribute('aria-describedby').split(' ').includes(error.id),
                     document.querySelectorAll('#errors li a').length, field.value === {bad},
                     document.getElementById('fault').hidden]; }})()",
                name = json!(format!("[name=\"{name}\"]")),
                bad = json!(bad),
            );
            let said = browser.value(&set).await?;
            assert_eq!(
                said,
                json!(["true", false, true, true, 1, true, true]),
                "{name} = {bad:.30?}"
            );
        }
        // The price that was good stays, marked as old, where the field bears on it.
        let kept = answer(&browser, "price").await?;
        let amount = price.split(' ').next().unwrap_or_default();
        assert!(kept.starts_with(amount), "{name}: {kept}");
        // Line breaks typed by the keys would be answered one by one.
        if good.contains('\n') {
            browser.paste(name, &good).await?;
        } else {
            browser.type_into(name, &good).await?;
        }
        // Margin and gap are those of the order too, which is asked a little later.
        browser
            .wait_for("document.getElementById('errors').hidden")
            .await?;
        assert_eq!(answer(&browser, "price").await?, price, "{name}");
    }
    // The summary leads to the field.
    browser.type_into("material.gap", "wide").await?;
    browser.click("h1").await?;
    browser.wait_until_shown("#errors").await?;
    assert_eq!(answer(&browser, "film").await?, "7 a sheet old answer");
    browser.click("#errors a").await?;
    assert_eq!(
        browser.value("document.activeElement.name").await?,
        json!("material.gap")
    );
    Ok(())
}

#[tokio::test]
async fn a_browser_that_keeps_nothing_says_so_and_reckons_all_the_same() -> Result<()> {
    let host = Host::start(&built()?, "/")?;
    for refusal in [
        "Object.defineProperty(window, 'localStorage', { get() { throw new DOMException('no', 'SecurityError'); } });",
        "Storage.prototype.setItem = () => { throw new DOMException('full', 'QuotaExceededError'); };",
    ] {
        let browser = Browser::open(390, 844).await?;
        browser.prepare_pages(refusal).await?;
        browser.visit(&host.url()).await?;
        browser.type_into("decal.letterHeight", "3").await?;
        // Twice the letters, twice the distance: 85.9 ft.
        browser
            .wait_for_text("#answers [href='#read']", "85 ft")
            .await?;
        browser.wait_until_shown("#not-kept").await?;
        assert!(!browser.is_shown("#fault").await?);
    }
    Ok(())
}

#[tokio::test]
async fn whatever_stands_in_the_store_the_page_starts() -> Result<()> {
    let host = Host::start(&built()?, "/")?;
    let browser = Browser::open(390, 844).await?;
    browser.visit(&host.url()).await?;
    for nonsense in [
        "",
        "null",
        "5",
        "\"x\"",
        "[]",
        "{}",
        "{\"version\":1,\"typed\":null,\"own\":7}",
        "{\"version\":1,\"typed\":{\"decal.width\":[1],\"stock\":\"barrel\"},\"own\":[null,{}]}",
        "not JSON",
    ] {
        let put = format!(
            "localStorage.setItem('decal-reckoner:/:fields', {}) ?? true",
            json!(nonsense)
        );
        browser.value(&put).await?;
        browser.reload().await?;
        assert!(!browser.is_shown("#fault").await?, "{nonsense}");
        assert_eq!(browser.typed("decal.width").await?, "9", "{nonsense}");
        assert_eq!(
            answer(&browser, "film").await?,
            "7 a sheet cut at 21 3/4 in",
            "{nonsense}"
        );
    }
    Ok(())
}

#[tokio::test]
async fn what_a_newer_program_kept_is_left_alone() -> Result<()> {
    let host = Host::start(&built()?, "/")?;
    let browser = Browser::open(390, 844).await?;
    browser.visit(&host.url()).await?;
    let newer = json!("{\"version\":3,\"figures\":[8,4]}");
    let key = "'decal-reckoner:/:fields'";
    browser
        .value(&format!("localStorage.setItem({key}, {newer}) ?? true"))
        .await?;
    browser.reload().await?;
    browser.wait_until_shown("#newer").await?;
    // It reckons all the same, and writes over nothing.
    browser.type_into("decal.letterHeight", "3").await?;
    browser
        .wait_for_text("#answers [href='#read']", "85 ft")
        .await?;
    assert_eq!(
        browser
            .value(&format!("localStorage.getItem({key})"))
            .await?,
        newer
    );
    Ok(())
}

#[tokio::test]
async fn sites_in_two_folders_of_a_host_keep_their_own_figures() -> Result<()> {
    let host = Host::start(&built()?, "/one/")?;
    let browser = Browser::open(390, 844).await?;
    browser.visit(&host.url()).await?;
    browser.type_into("decal.width", "8").await?;
    let keys = browser.value("Object.keys(localStorage)").await?;
    assert_eq!(keys, json!(["decal-reckoner:/one/:fields"]));
    Ok(())
}

#[tokio::test]
async fn two_tabs_show_the_same_and_lose_nothing() -> Result<()> {
    let host = Host::start(&built()?, "/")?;
    let browser = Browser::open(390, 844).await?;
    browser.visit(&host.url()).await?;
    let first = browser.driver.window().await?;
    let second = browser.driver.new_tab().await?;
    browser.driver.switch_to_window(second.clone()).await?;
    browser.visit(&host.url()).await?;
    browser.driver.switch_to_window(first.clone()).await?;
    browser.type_into("decal.width", "8").await?;
    browser.driver.switch_to_window(second).await?;
    browser
        .wait_for("document.querySelector('[name=\"decal.width\"]').value === '8'")
        .await?;
    browser.type_into("decal.height", "4").await?;
    browser.driver.switch_to_window(first).await?;
    browser
        .wait_for("document.querySelector('[name=\"decal.height\"]').value === '4'")
        .await?;
    browser.reload().await?;
    assert_eq!(browser.typed("decal.width").await?, "8");
    assert_eq!(browser.typed("decal.height").await?, "4");
    Ok(())
}

#[tokio::test]
async fn the_answers_are_said_once_a_field_is_left() -> Result<()> {
    let host = Host::start(&built()?, "/")?;
    let browser = Browser::open(390, 844).await?;
    browser.visit(&host.url()).await?;
    let said = "document.getElementById('spoken').textContent";
    let before = browser.value(said).await?;
    let price = answer(&browser, "price").await?;
    assert_eq!(
        before,
        json!(format!(
            "42 ft read from; 7 a sheet cut at 21 3/4 in; {price}"
        ))
    );
    assert!(price.starts_with('$') && price.ends_with(" a piece, to ask"));
    browser.type_into("decal.letterHeight", "3").await?;
    assert_eq!(browser.value(said).await?, before, "while one types");
    browser.click("h1").await?;
    browser
        .wait_for(&format!("{said}.startsWith('85 ft read from')"))
        .await?;
    Ok(())
}

/// Four blocks of four lie round a middle; the most that straight cuts give is twelve (see the tests
/// of the core, which try all of them).
#[tokio::test]
async fn straight_cuts_show_their_price_and_their_order() -> Result<()> {
    let host = Host::start(&built()?, "/")?;
    let browser = Browser::open(390, 844).await?;
    browser.visit(&host.url()).await?;
    open_all_details(&browser).await?;
    browser.type_into("decal.width", "5 3/4").await?;
    browser.type_into("decal.height", "1 1/4").await?;
    browser.choose("stock", "sheet").await?;
    browser.type_into("material.sheet.width", "12").await?;
    browser.type_into("material.sheet.length", "12").await?;
    browser.wait_for_text("#film .answer", "16 a sheet").await?;
    browser.wait_for_text("#film .answer", "4 fewer").await?;
    assert!(!browser.is_shown("#film .cuts").await?);

    browser.choose("material.cuts", "straight").await?;
    browser.wait_for_text("#film .answer", "12 a sheet").await?;
    browser.wait_for_text("#film .answer", "4 more").await?;
    browser
        .wait_for_text("#film .cuts", "1: across the stock")
        .await?;
    let numbers = "document.querySelectorAll('[data-picture=material] text.knife').length";
    let cuts = browser.value(numbers).await?;
    let listed = "document.querySelector('#film .cuts li:last-child').innerText";
    let listed = browser.value(listed).await?;
    let last = listed.as_str().and_then(|step| step.split(':').next());
    let last = last.and_then(|numbers| numbers.split(' ').next_back());
    assert_eq!(last, Some(cuts.to_string().as_str()), "{listed}");
    Ok(())
}
