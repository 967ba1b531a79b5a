//! The shelf, the list and the search: what an order takes off, what is loaded, and what is kept meanwhile.

use super::{fields, millimetres, open_all_details, planned, size, text};
use serde_json::json;
use site_tests::orders;
use site_tests::{Browser, Host, Result, Scratch, Trouble, built};
use std::fs;

/// The first visit's order, with what each part of the shelf becomes.
#[tokio::test]
async fn an_order_that_is_cut_is_taken_off_the_shelf_and_can_be_brought_back() -> Result<()> {
    let host = Host::start(&built()?, "/")?;
    let browser = Browser::open(390, 844).await?;
    browser.visit(&host.url()).await?;
    open_all_details(&browser).await?;
    browser
        .wait_for_text("#order .answer", "pieces in 3 films")
        .await?;
    browser.wait_until_planned().await?;
    let before = fields(&browser).await?;
    // What the page says will be left: on rolls and of sheets in words, the remnants on their buttons.
    let said = "[...document.querySelectorAll('#order .answer .film')].map((film) => film.innerText.toLowerCase())";
    let said: Vec<String> = serde_json::from_value(browser.value(said).await?)?;
    let left = |film: &str, before: &str, after: &str| -> String {
        let of_film = said.iter().find(|text| text.starts_with(film));
        let sentence = of_film.and_then(|text| text.lines().find(|line| line.contains(after)));
        let part = sentence.and_then(|line| line.split(after).next()?.split(before).next());
        part.unwrap_or_default().trim().to_owned()
    };
    let white = left("lake white", "\n", " stay on the roll");
    let birch = left("birch grain", "\n", " stay on the roll");
    let black = left("night black", " of ", " sheets stay");
    assert!(
        !white.is_empty() && !birch.is_empty() && !black.is_empty(),
        "{said:?}"
    );
    let remnants = "(() => { let film; return [...document.querySelectorAll('#order-layouts .card')].flatMap((card) => {
        if (!card.querySelector('h3').hidden) film = card.querySelector('h3').textContent;
        const [, first, last] = /^Sheets (\\d+) to (\\d+)/.exec(card.querySelector('h4').textContent) ?? [0, 1, 1];
        const kept = [...card.querySelectorAll('li')].filter((item) => item.querySelector('[data-if=keep]')?.checkVisibility());
        const sizes = kept.map((item) => [film, item.querySelector('[data-slot=text]').textContent]);
        return Array.from({ length: last - first + 1 }, () => sizes).flat(); }); })()";
    let remnants: Vec<(String, String)> = serde_json::from_value(browser.value(remnants).await?)?;
    let mut expected = Vec::new();
    for (film, text) in remnants {
        let (width, length) = size(&text)?;
        expected.push(format!("{film} {width:.1} {length:.1}"));
    }
    let taken = "[...document.querySelectorAll('#order-layouts h4')].some((title) => title.textContent.startsWith('Remnant'))";
    if browser.value(taken).await? != json!(true) {
        expected.push("lake white 609.6 190.5".into());
    }

    browser.click("[data-act=book-order]").await?;
    assert_eq!(browser.typed("list").await?, "");
    assert_eq!(
        text(&browser, "#order .answer .figure").await?,
        "Nothing to cut"
    );
    assert_eq!(browser.typed("shelf[0].left").await?, white);
    assert_eq!(browser.typed("shelf[1].sheets").await?, black);
    assert_eq!(browser.typed("shelf[2].left").await?, birch);
    let rows = "[...document.querySelectorAll('[data-list=remnants] fieldset')]
        .map((row) => [...row.querySelectorAll('input')].map((field) => field.value))";
    let rows: Vec<[String; 3]> = serde_json::from_value(browser.value(rows).await?)?;
    let mut kept = Vec::new();
    for [film, width, length] in rows {
        // Such as `7 1/2 in`; a bare number is one of inches.
        let typed = |text: &str| millimetres(&format!("{} in", text.trim_end_matches(" in")));
        kept.push(format!(
            "{film} {:.1} {:.1}",
            typed(&width)?,
            typed(&length)?
        ));
    }
    expected.sort();
    kept.sort();
    assert_eq!(kept, expected);
    // Also after a reload.
    let booked = fields(&browser).await?;
    browser.reload().await?;
    browser.look_at("#order").await?;
    assert_eq!(fields(&browser).await?, booked);

    browser.click("[data-act=undo]").await?;
    assert_eq!(fields(&browser).await?, before);
    browser
        .wait_for_text("#order .answer", "pieces in 3 films")
        .await?;
    browser.reload().await?;
    browser.look_at("#order").await?;
    assert_eq!(fields(&browser).await?, before);
    Ok(())
}

#[tokio::test]
async fn rows_come_and_go_and_are_kept() -> Result<()> {
    let host = Host::start(&built()?, "/")?;
    let browser = Browser::open(390, 844).await?;
    browser.visit(&host.url()).await?;
    open_all_details(&browser).await?;
    browser
        .wait_for_text("#order .answer", "pieces in 3 films")
        .await?;
    browser.wait_until_planned().await?;

    browser
        .click("[data-act=add-row][data-of=remnants]")
        .await?;
    assert_eq!(
        browser.value("document.activeElement.name").await?,
        json!("remnants[1].film")
    );
    browser.type_into("remnants[1].film", "lake white").await?;
    browser.type_into("remnants[1].width", "9").await?;
    browser.type_into("remnants[1].length", "5 1/2").await?;

    browser.click("[data-act=add-row][data-of=shelf]").await?;
    assert_eq!(
        browser.value("document.activeElement.name").await?,
        json!("shelf[3].name")
    );
    browser.type_into("shelf[3].name", "signal red").await?;
    browser.choose("shelf[3].stock", "sheet").await?;
    browser.type_into("shelf[3].width", "12").await?;
    browser.type_into("shelf[3].length", "12").await?;
    browser
        .paste("list", "Badge, 5, 5, 4, signal red\n")
        .await?;
    browser.wait_for_text("#order .answer", "4 pieces").await?;
    browser
        .wait_for_text("#order .answer", "Signal red: 1 sheet")
        .await?;

    // One from the middle goes, and those behind it move up.
    browser
        .click("[data-act=remove-row][data-of=shelf][data-at='[1]']")
        .await?;
    assert_eq!(browser.typed("shelf[1].name").await?, "birch grain");
    assert_eq!(browser.typed("shelf[2].name").await?, "signal red");
    assert_eq!(browser.typed("shelf[2].stock").await?, "sheet");
    let rows = "['shelf', 'remnants'].map((list) => document.querySelectorAll(`[data-list=${list}] fieldset`).length)";
    assert_eq!(browser.value(rows).await?, json!([3, 2]));
    let typed = fields(&browser).await?;
    browser.reload().await?;
    browser.look_at("#order").await?;
    assert_eq!(fields(&browser).await?, typed);
    browser
        .wait_for_text("#order .answer", "Signal red: 1 sheet")
        .await?;

    // A line by its fields, with a comma in its name.
    open_all_details(&browser).await?;
    browser.type_into("line.name", "Bow, left").await?;
    browser.type_into("line.width", "9").await?;
    browser.type_into("line.height", "3 1/2").await?;
    browser.type_into("line.quantity", "2").await?;
    browser.click("[data-act=add-line]").await?;
    browser
        .wait_for_text("#order .answer", "6 pieces in 2 films")
        .await?;
    browser
        .wait_for_text("#order details table tbody", "Bow, left")
        .await?;
    assert_eq!(browser.typed("line.width").await?, "");
    Ok(())
}

#[tokio::test]
async fn a_list_is_loaded_and_what_comes_of_it_saved() -> Result<()> {
    let host = Host::start(&built()?, "/")?;
    let browser = Browser::open(390, 844).await?;
    browser.visit(&host.url()).await?;
    browser.look_at("#order").await?;
    let folder = Scratch::new()?;
    let file = folder.path().join("order.csv");
    fs::write(
        &file,
        "quantity;width;height;name\r\n4;100 mm;50 mm;\"Möwe; links\"\r\n",
    )?;
    let input = browser
        .driver
        .find(thirtyfour::By::Id("order-file"))
        .await?;
    input.send_keys(file.display().to_string()).await?;
    browser.wait_for_text("#order .answer", "4 pieces").await?;
    browser.wait_until_planned().await?;

    let watch = "(() => { window.saved = []; URL.createObjectURL = (blob) => { saved.push(blob); return 'blob:none'; };
        HTMLAnchorElement.prototype.click = function () { saved.push(this.download); }; return true; })()";
    browser.value(watch).await?;
    browser.click("[data-act=save-cut-list]").await?;
    let saved = "saved[0].text().then((text) => [saved[1], saved[0].type, text])";
    let saved = browser.value(saved).await?;
    assert_eq!(
        (&saved[0], &saved[1]),
        (&json!("cut-list.csv"), &json!("text/csv"))
    );
    let rows: Vec<&str> = saved[2].as_str().unwrap_or_default().lines().collect();
    assert_eq!(rows.len(), 5, "{rows:?}");
    assert!(
        rows[1..].iter().all(|row| row.contains("Möwe; links")),
        "{rows:?}"
    );

    browser.click("[data-act=save-drawing]").await?;
    let saved = browser
        .value("Promise.all([saved[3], saved[2].type, saved[2].text()])")
        .await?;
    assert_eq!(saved[0], json!("layout.svg"));
    assert_eq!(saved[1], json!("image/svg+xml"));
    let text = saved[2].as_str().unwrap_or_default();
    assert!(!text.contains("&nbsp;"), "{text}");
    let drawn = "(() => { const root = document.documentElement, [, , width, height] = root.getAttribute('viewBox').split(' ');
        return [document.querySelector('parsererror') === null, root.namespaceURI,
            root.getAttribute('width') === `${width}mm` && root.getAttribute('height') === `${height}mm`,
            document.querySelectorAll('text.piece').length]; })()";
    assert_eq!(
        browser.value_in_drawing(text, drawn).await?,
        json!([true, "http://www.w3.org/2000/svg", true, 4])
    );
    Ok(())
}

#[tokio::test]
async fn an_order_for_knife_and_straightedge_shows_its_cuts_in_their_order() -> Result<()> {
    let host = Host::start(&built()?, "/")?;
    let browser = Browser::open(390, 844).await?;
    browser.visit(&host.url()).await?;
    open_all_details(&browser).await?;
    browser.choose("material.cuts", "straight").await?;
    browser
        .paste(
            "list",
            "Plate, 5, 3, 6, night black\nTag, 4, 2, 5, night black\n",
        )
        .await?;
    browser.wait_for_text("#order .answer", "11 pieces").await?;
    browser.wait_until_planned().await?;
    let same = "[...document.querySelectorAll('#order-layouts .card')].map((card) => {
        const last = card.querySelector('.cuts li:last-child').textContent.split(':')[0].split(' ').pop();
        return Number(last) > 1 && Number(last) === card.querySelectorAll('text.knife').length; })";
    let same = browser.value(same).await?;
    assert!(
        same.as_array()
            .is_some_and(|all| !all.is_empty() && all.iter().all(|same| *same == json!(true))),
        "{same}"
    );
    Ok(())
}

#[tokio::test]
async fn an_order_is_planned_without_a_network() -> Result<()> {
    let mut host = Host::start(&built()?, "/of/somebody/")?;
    let browser = Browser::open(390, 844).await?;
    browser.visit(&host.url()).await?;
    browser.wait_until_kept().await?;
    browser.wait_until_parts_are_kept().await?;
    host.stop()?;
    browser.driver.goto("about:blank").await?;
    // Two of 12 by 6 in, with margins of 1/4 in, do not fit on a foot, but on a sheet of 12 by 24 in do three of 11 by 7.
    planned(&host, &browser, "Sign, 11, 7, 6, night black\n", "6 pieces").await?;
    browser
        .wait_for_text("#order .answer", "Night black: 2 sheets")
        .await?;
    assert!(!browser.is_shown("#fault").await?);
    Ok(())
}

/// 7 by 4 on 57 by 34 is a classic hard case of the pallet loading problem: 69 fit, and the area
/// would allow no more (57 · 34 / 28 = 69.2).
#[tokio::test]
async fn a_thorough_search_betters_the_film_and_with_it_the_price() -> Result<()> {
    let host = Host::start(&built()?, "/")?;
    let browser = Browser::open(390, 844).await?;
    browser.visit(&host.url()).await?;
    open_all_details(&browser).await?;
    browser.choose("unit", "cm").await?;
    for (name, value) in [
        ("book.film.sheet", "690"),
        ("material.margin", "0"),
        ("material.gap", "0"),
        ("material.sheet.width", "34"),
        ("material.sheet.length", "57"),
        ("decal.width", "7"),
        ("decal.height", "4"),
    ] {
        browser.paste(name, value).await?;
    }
    browser.wait_for_text("#film .answer", "69 a sheet").await?;
    browser
        .wait_for_text("#answers [href='#film']", "69 a sheet")
        .await?;
    browser
        .wait_for_text("#film .answer", "no layout holds more")
        .await?;
    let pieces = "document.querySelectorAll('[data-picture=material] text.piece').length";
    assert_eq!(browser.value(pieces).await?, json!(69));
    // 690 over 69 is 10 for each.
    browser.wait_for_text("#price", "$10.00").await?;
    assert!(!browser.is_shown("#film-search").await?);

    // What the film of each size costs, to the cent.
    browser.look_at("#steps").await?;
    browser.wait_until_shown("#steps tbody tr").await?;
    assert!(browser.is_shown("#steps .steps svg").await?);
    let steps = "[...document.querySelectorAll('#steps tbody tr')]
        .map((row) => [...row.querySelectorAll('td')].map((cell) => Number(cell.innerText.replace('$', ''))))";
    let steps: Vec<Vec<f64>> = serde_json::from_value(browser.value(steps).await?)?;
    assert!(steps.len() > 3, "{steps:?}");
    for step in steps {
        let [count, cost] = step[..] else {
            return Err(Trouble::new(format!("{step:?}")));
        };
        assert!(
            (690.0 / count - cost).abs() < 0.005 + 1e-9,
            "{count} for {cost}"
        );
    }
    Ok(())
}

/// Notes how many elements of the order any one task of the page has added at most.
const COUNT: &str = "(() => { window.most = 0;
    new MutationObserver((records) => {
        const added = records.flatMap((record) => [...record.addedNodes]).filter((node) => node instanceof Element);
        most = Math.max(most, added.reduce((sum, node) => sum + node.querySelectorAll('*').length + 1, 0));
    }).observe(document.getElementById('order'), { childList: true, subtree: true });
    return true; })()";

/// How long its tasks take is measured by the benchmarks; that they are small is tested here.
#[tokio::test]
async fn the_layouts_of_a_large_order_come_in_small_tasks() -> Result<()> {
    let host = Host::start(&built()?, "/")?;
    let browser = Browser::open(390, 844).await?;
    browser.visit(&host.url()).await?;
    browser.wait_until_planned().await?;
    browser.value(COUNT).await?;
    let lines = orders::lines(1000, 8);
    let pieces = format!("{} pieces in 3 films", orders::pieces(&lines));
    browser.paste("list", &orders::list(&lines)).await?;
    browser.wait_for_text("#order .answer", &pieces).await?;
    browser
        .wait_for("document.querySelectorAll('#order-layouts .card').length === 24")
        .await?;
    browser
        .wait_for_text("#order-layouts", "Not all of it is shown")
        .await?;
    let elements = "[most, document.querySelectorAll('#order-layouts *').length, document.querySelectorAll('#order-layouts tbody tr').length]";
    let elements: Vec<u64> = serde_json::from_value(browser.value(elements).await?)?;
    let [most, all, rows] = elements[..] else {
        return Err(Trouble::new(format!("{elements:?}")));
    };
    assert!(most < all / 2, "{most} of {all} at once");
    // The rows of a cut list come when it is opened, and with the next layout it is open still.
    assert_eq!(rows, 0);
    browser
        .click("#order-layouts .card [data-later] summary")
        .await?;
    browser
        .wait_for("document.querySelectorAll('#order-layouts .card tbody tr').length > 0")
        .await?;
    // Without looking whether the button is there, for the search may be at its end by now.
    browser
        .value("document.querySelector('[data-act=stop-order]').click() ?? true")
        .await?;
    browser.wait_until_planned().await?;
    assert!(browser.is_shown("#order-layouts .card tbody tr").await?);
    Ok(())
}
