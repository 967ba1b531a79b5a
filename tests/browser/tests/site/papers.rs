//! Papers: from the maker's page to printed sheets, in their true size and with nothing on them that is the maker's own
//! business.

mod quote;
mod taken;

use serde_json::{Value, json};
use site_tests::{Browser, Host, Printed, Result, built, printed};

/// Costs that are found nowhere else.
const COSTS: [(&str, &str); 7] = [
    ("book.film.sheet", "71.13"),
    ("book.tape.price", "72.17"),
    ("book.wage", "73.19"),
    ("book.monthly", "74.23"),
    ("book.machine.price", "751.29"),
    ("quote.postage.paid", "6.31"),
    ("aimMargin", "27.37"),
];

/// The window that was opened last.
async fn follow(browser: &Browser, windows: usize) -> Result<()> {
    browser.look_into_last_window(windows).await?;
    browser.set_viewport(1280, 900).await
}

async fn open_papers(browser: &Browser, host: &Host) -> Result<()> {
    browser.visit(&host.url()).await?;
    browser
        .value("[...document.querySelectorAll('details')].map((details) => details.open = true).length")
        .await?;
    for (field, text) in COSTS {
        browser.paste(field, text).await?;
    }
    browser.paste("decal.lettering", "KITTIWAKE").await?;
    browser.paste("quote.pieces", "3").await?;
    browser.paste("quote.ownPrice", "19.95").await?;
    browser.choose("papers.price", "own").await?;
    browser.paste("quote.postage.charged", "4.40").await?;
    browser.paste("book.channels[0].tax.kind", "added").await?;
    browser.paste("book.channels[0].tax.percent", "5").await?;
    browser.look_at("#papers").await?;
    // 3 times 19.95, 4.40 of postage and 5 % of the items: 59.85 + 4.40 + 2.99, the tax rounded to the cent.
    browser
        .wait_for(
            "document.getElementById('papers-text')?.textContent.includes('\"total\":\"67.24\"')",
        )
        .await?;
    browser.click("[data-publish=papers]").await?;
    follow(browser, 2).await?;
    browser
        .wait_for("document.querySelectorAll('.page').length >= 3")
        .await?;
    Ok(())
}

async fn texts(browser: &Browser, expression: &str) -> Result<Vec<String>> {
    Ok(serde_json::from_value(browser.value(expression).await?)?)
}

/// Everything that is in the document of one kind of paper, attributes too.
async fn markup(browser: &Browser, kind: &str) -> Result<String> {
    let all =
        format!("[...document.querySelectorAll('.page.{kind}')].map((page) => page.outerHTML)");
    Ok(texts(browser, &all).await?.join("\n"))
}

/// The lengths of the rulers at the foot of a sheet: of the marks above the line and below it, in millimetres.
fn ruler(sheet: &Printed) -> (f64, f64) {
    // The line of 4 in lies within 20 mm of the foot. The edges of the sheet are twice as long.
    let long = sheet.lines.iter().find(|[from, to]| {
        from.1 < 20.0
            && (from.1 - to.1).abs() < 0.01
            && (90.0..120.0).contains(&(from.0 - to.0).abs())
    });
    let [(_, middle), _] = long.expect("the ruler has its line");
    let marks = |above: bool| {
        let upright = sheet.lines.iter().filter(|[from, to]| {
            (from.0 - to.0).abs() < 0.01
                && (from.1 - middle).abs() < 0.05
                && (to.1 > *middle) == above
        });
        let places: Vec<f64> = upright.map(|[from, _]| from.0).collect();
        assert!(places.len() > 30, "{} marks", places.len());
        places.iter().copied().fold(f64::MIN, f64::max)
            - places.iter().copied().fold(f64::MAX, f64::min)
    };
    (marks(true), marks(false))
}

fn is_near(one: f64, other: f64, by: f64) -> bool {
    (one - other).abs() <= by
}

fn joined(text: &str) -> String {
    text.split_whitespace().collect()
}

#[tokio::test]
async fn papers_are_printed_in_their_true_size_on_either_paper() -> Result<()> {
    let host = Host::start(&built()?, "/")?;
    let browser = Browser::open(1280, 900).await?;
    open_papers(&browser, &host).await?;
    browser.paste("customer", "Wren Marsh").await?;
    browser.paste("film", "Lake white").await?;
    // ANSI/ASME Y14.1: A is 8.5 by 11 in. ISO 216: A4 is 210 by 297 mm.
    for (paper, size) in [("letter", (215.9, 279.4)), ("a4", (210.0, 297.0))] {
        browser
            .click(&format!("[name=paper][value={paper}]"))
            .await?;
        for (share, cards) in [("1", 1), ("2", 2), ("4", 4)] {
            browser.choose("share", share).await?;
            let sheets = printed(browser.print().await?)?;
            assert_eq!(
                sheets.len(),
                3,
                "{paper}: a quote, a ticket, a sheet of cards"
            );
            for sheet in &sheets {
                // A browser tells sizes to whole points or pixels of a screen, which has 96 to an inch.
                let fits = is_near(sheet.size.0, size.0, 0.3) && is_near(sheet.size.1, size.1, 0.3);
                assert!(fits, "{paper}: {:?}", sheet.size);
                let (mm, inches) = ruler(sheet);
                assert!(is_near(mm, 100.0, 0.05), "{paper}: {mm} mm");
                // International yard and pound agreement of 1959: an inch is 25.4 mm.
                assert!(is_near(inches, 101.6, 0.05), "{paper}: {inches} mm");
                assert!(sheet.text.contains(&joined("Measure me: print at 100 %")));
                for unwanted in ["Language", "SaveasCSV", "Papers"] {
                    assert!(!sheet.text.contains(unwanted), "{paper}: {unwanted}");
                }
            }
            let [quote, ticket, card] = &sheets[..] else {
                panic!()
            };
            for text in [
                "Heron Lake Lettering",
                "Wren Marsh",
                "KITTIWAKE",
                "$19.95",
                "$59.85",
                "$4.40",
                "$2.99",
                "$67.24",
            ] {
                assert!(quote.text.contains(&joined(text)), "{text}: {}", quote.text);
            }
            for text in [
                "Lake white",
                "KITTIWAKE",
                "9 in × 3 in",
                "Weed",
                "padded mailer",
                "Solvents:",
            ] {
                assert!(
                    ticket.text.contains(&joined(text)),
                    "{text}: {}",
                    ticket.text
                );
            }
            assert_eq!(card.text.matches("Lookingafteryourdecal").count(), cards);
            assert_eq!(card.text.matches("48to72hours").count(), cards);
            assert!(!card.text.contains("nosource"), "{}", card.text);
            assert_eq!(
                browser
                    .value("document.getElementById('card-error').hidden")
                    .await?,
                json!(true),
                "{paper}, {share}"
            );
        }
    }
    assert_eq!(browser.console().await?, [""; 0]);
    Ok(())
}

#[tokio::test]
async fn no_cost_is_on_what_a_customer_gets() -> Result<()> {
    let host = Host::start(&built()?, "/")?;
    let browser = Browser::open(1280, 900).await?;
    open_papers(&browser, &host).await?;
    let (quote, card) = (
        markup(&browser, "quote").await?,
        markup(&browser, "cards-sheet").await?,
    );
    // The same text is looked through for what is there.
    assert!(quote.contains("19.95"), "{quote}");
    assert!(card.contains("Heron Lake Lettering"), "{card}");
    let told = browser
        .value("localStorage.getItem('decal-reckoner:/:papers')")
        .await?;
    let told = told.as_str().unwrap_or_default();
    assert!(told.contains("19.95"), "{told}");
    for (field, cost) in COSTS {
        for (what, text) in [
            ("quote", &*quote),
            ("card", &card),
            ("what is handed over", told),
        ] {
            assert!(!text.contains(cost), "{field} is on {what}");
        }
    }
    for (what, text) in [("quote", &quote), ("card", &card)] {
        for word in [
            "margin",
            "wage",
            "fee",
            "cost",
            "minutes",
            "shop page",
            "padded mailer",
        ] {
            assert!(!text.contains(&format!(">{word}")), "{word} is on {what}");
        }
    }
    Ok(())
}

#[tokio::test]
async fn each_paper_speaks_its_language_and_keeps_the_makers_words() -> Result<()> {
    let host = Host::start(&built()?, "/")?;
    let browser = Browser::open(1280, 900).await?;
    open_papers(&browser, &host).await?;
    browser.paste("cure", "Wait three days.").await?;
    browser.paste("terms", "Paid when picked up.").await?;
    browser.paste("customer", "Wren Marsh").await?;
    browser.choose("tongue", "es").await?;
    browser.wait_for_text(".page.quote", "Presupuesto").await?;
    browser.wait_for_text(".page.quote", "Envío").await?;
    browser
        .wait_for_text(".page.ticket", "Hoja de taller")
        .await?;
    // The page keeps the reader's language, and the maker's words are of one language only.
    assert_eq!(browser.text("h1").await?, "Papers");
    let spanish = browser.typed("cure").await?;
    assert!(spanish.contains("48 a 72 horas"), "{spanish}");
    // Nothing of the picture is left in English.
    let picture = browser.text(".page.ticket figure").await?;
    assert!(
        !picture.contains("each") && picture.contains("cada una"),
        "{picture}"
    );
    browser.driver.refresh().await?;
    browser.wait_for_text(".page.quote", "Presupuesto").await?;
    browser.choose("tongue", "en").await?;
    browser
        .wait_for_text(".page.cards-sheet", "Wait three days.")
        .await?;
    browser
        .wait_for_text(".page.quote", "Paid when picked up.")
        .await?;
    assert_eq!(browser.typed("customer").await?, "");
    // Another surface has its own words; ours come back when they are asked for.
    browser.choose("surface", "mug").await?;
    let mug = browser.typed("cure").await?;
    assert!(
        mug.contains("48 to 72 hours") && mug.contains("dishwasher"),
        "{mug}"
    );
    browser.choose("surface", "paint").await?;
    assert_eq!(browser.typed("cure").await?, "Wait three days.");
    browser.click("[data-restore=card]").await?;
    let ours = browser.typed("cure").await?;
    assert!(ours.contains("48 to 72 hours"), "{ours}");
    assert_eq!(browser.console().await?, [""; 0]);
    Ok(())
}

#[tokio::test]
async fn nonsense_is_told_at_its_field_and_stays_there() -> Result<()> {
    let host = Host::start(&built()?, "/")?;
    let browser = Browser::open(390, 844).await?;
    open_papers(&browser, &host).await?;
    browser.set_viewport(390, 844).await?;
    browser.paste("number", "   ").await?;
    browser.wait_until_shown("#number-error").await?;
    browser.paste("until", "2001-01-01").await?;
    browser.wait_until_shown("#until-error").await?;
    browser.paste("date", "").await?;
    browser.wait_until_shown("#date-error").await?;
    // The quote has the last good ones.
    browser.wait_for_text(".page.quote", "-1").await?;
    assert!(!browser.text(".page.quote").await?.contains("2001"));
    assert_eq!(browser.typed("until").await?, "2001-01-01");
    browser.paste("date", "2027-02-01").await?;
    browser.paste("until", "2027-03-03").await?;
    browser.paste("number", "A 7").await?;
    browser.wait_for_text(".page.quote", "No. A 7").await?;
    browser
        .wait_for_text(".page.quote", "February 1, 2027")
        .await?;
    for error in ["number", "date", "until"] {
        assert!(
            !browser.is_shown(&format!("#{error}-error")).await?,
            "{error}"
        );
    }
    // Markup is text; what is too long for a card is told; the rest has more sheets.
    let odd = "<b>x</b><img src=x onerror=alert(1)> ";
    for name in ["customer", "film", "terms", "clean"] {
        browser.paste(name, odd).await?;
    }
    assert_eq!(
        browser
            .value("document.querySelectorAll('.page b, .page img').length")
            .await?,
        json!(0)
    );
    browser.choose("share", "4").await?;
    browser
        .paste("apply", &"Rub and rub again. ".repeat(60))
        .await?;
    browser.wait_until_shown("#card-error").await?;
    browser.paste("apply", "").await?;
    browser
        .wait_for("document.getElementById('card-error').hidden")
        .await?;
    assert!(
        !browser
            .text(".page.cards-sheet")
            .await?
            .contains("Put it on")
    );
    assert_eq!(
        browser
            .value("document.documentElement.scrollWidth <= 390")
            .await?,
        json!(true)
    );
    assert_eq!(browser.console().await?, [""; 0]);
    Ok(())
}

#[tokio::test]
async fn a_page_with_nothing_to_print_says_what_to_do() -> Result<()> {
    let host = Host::start(&built()?, "/")?;
    let browser = Browser::open(390, 844).await?;
    let page = format!("{}papers.html", host.url());
    browser.driver.goto(&page).await?;
    browser
        .wait_for_text("#problem", "There is nothing here to print yet")
        .await?;
    assert!(!browser.is_shown("#papers").await?);
    // A reader can choose the language all the same.
    let languages = "[...document.getElementById('language').options].map(({ value }) => value)";
    assert_eq!(texts(&browser, languages).await?, ["en", "es"]);
    browser.click("#language option[value=es]").await?;
    browser
        .wait_for_text("#problem", "todavía no hay nada que imprimir")
        .await?;
    browser.click("#language option[value=en]").await?;
    // What is kept there by another version, or by somebody else, is not shown and not written over.
    for kept in [
        "{",
        "null",
        "[]",
        "{\"version\":2}",
        "{\"version\":1,\"sale\":{}}",
    ] {
        let keep = format!(
            "localStorage.setItem('decal-reckoner:/:papers', {})",
            json!(kept)
        );
        browser.value(&keep).await?;
        browser.driver.refresh().await?;
        browser.wait_until_shown("#problem").await?;
        assert!(!browser.is_shown("#papers").await?, "{kept}");
        let left = browser
            .value("localStorage.getItem('decal-reckoner:/:papers')")
            .await?;
        assert_eq!(left, json!(kept));
    }
    assert_eq!(browser.console().await?, [""; 0]);
    Ok(())
}
const IS_NEW: &str = "document.querySelector('[data-publish=papers]').checkVisibility() && document.querySelector('[data-answer=papers]:not([data-waiting])')";

/// Types another number of pieces, and waits for what is told of them.
async fn order(browser: &Browser, pieces: u32) -> Result<()> {
    browser.paste("quote.pieces", &pieces.to_string()).await?;
    let told = "document.querySelector('#papers [data-slot=pieces]').textContent";
    let new = format!("{IS_NEW} && {told} === '{pieces} pieces'");
    browser.wait_for(&new).await.map(drop)
}

#[tokio::test]
async fn the_price_that_the_page_asks_is_quoted_unless_the_maker_says_otherwise() -> Result<()> {
    let host = Host::start(&built()?, "/")?;
    let browser = Browser::open(390, 844).await?;
    browser.visit(&host.url()).await?;
    browser.look_at("#papers").await?;
    order(&browser, 12).await?;
    let asked = browser.text("#answers [data-money='asked.price']").await?;
    assert_ne!(asked, "$9.95");
    let quoted = "#papers [data-money=price]";
    assert_eq!(browser.text(quoted).await?, asked);
    browser.click("[data-publish=papers]").await?;
    follow(&browser, 2).await?;
    browser.wait_for_text(".page.quote", &asked).await?;
    let quote = browser.text(".page.quote").await?;
    assert!(!quote.contains("9.95"), "{quote}");
    // The maker's own one, where that is chosen: 12 times 9.95 are 119.40.
    let windows = browser.driver.windows().await?;
    browser.driver.switch_to_window(windows[0].clone()).await?;
    browser.choose("papers.price", "own").await?;
    browser.wait_for_text(quoted, "$9.95").await?;
    browser.wait_for_text("#papers", "your own price").await?;
    browser.wait_for_text("#papers", "$119.40").await?;
    browser.click("[data-publish=papers]").await?;
    follow(&browser, 3).await?;
    browser.wait_for_text(".page.quote", "$119.40").await?;
    Ok(())
}

#[tokio::test]
async fn the_ticket_says_what_film_the_whole_order_takes() -> Result<()> {
    let host = Host::start(&built()?, "/")?;
    let browser = Browser::open(1280, 900).await?;
    browser.visit(&host.url()).await?;
    // 12 x 24 in with 1/4 in free: the sheet that is measured below. Pieces of 9 x 3 in with 1/8 in between them.
    browser.look_at("#papers").await?;
    order(&browser, 12).await?;
    let film = browser
        .value("JSON.parse(document.getElementById('papers-text').textContent).film")
        .await?;
    let sheets = film["sheets"].as_array().cloned().unwrap_or_default();
    let number = |of: &Value, member: &str| of[member].as_u64().unwrap_or_default();
    // As many as are in the order, and no sheet more than one that is not full.
    let all: u64 = sheets
        .iter()
        .map(|sheet| number(sheet, "copies") * number(sheet, "count"))
        .sum();
    assert_eq!(all, 12);
    let [full, last] = &sheets[..] else {
        panic!("{sheets:?}")
    };
    assert_eq!(number(last, "copies"), 1);
    assert!(number(last, "count") < number(full, "count"));
    let taken = number(full, "copies") + 1;
    browser.click("[data-publish=papers]").await?;
    follow(&browser, 2).await?;
    browser
        .wait_for_text(".page.ticket", &format!("{taken} sheets in all"))
        .await?;
    // Both layouts are there to be cut, each with as many pieces as the text says.
    let pictures = texts(
        &browser,
        "[...document.querySelectorAll('.page.ticket figure path')].map((path) => path.getAttribute('d')).filter((path) => path.split('Z').length > 2)",
    )
    .await?;
    let drawn: Vec<u64> = pictures
        .iter()
        .map(|path| path.matches('Z').count() as u64)
        .collect();
    assert_eq!(drawn, [number(full, "count"), number(last, "count")]);
    // Fewer than a sheetful: one sheet with no more than the order has.
    let windows = browser.driver.windows().await?;
    browser.driver.switch_to_window(windows[0].clone()).await?;
    order(&browser, 3).await?;
    let sheets = browser
        .value("JSON.parse(document.getElementById('papers-text').textContent).film.sheets.map(({ copies, count }) => [copies, count])")
        .await?;
    assert_eq!(sheets, json!([[1, 3]]));
    // From a roll: all of them, at the length that they take together.
    browser.choose("stock", "roll").await?;
    browser
        .wait_for(
            "JSON.parse(document.getElementById('papers-text').textContent).film.stock === 'roll'",
        )
        .await?;
    let sheets = browser
        .value("JSON.parse(document.getElementById('papers-text').textContent).film.sheets.map(({ copies, count }) => [copies, count])")
        .await?;
    assert_eq!(sheets, json!([[1, 3]]));
    Ok(())
}

#[tokio::test]
async fn no_papers_are_made_of_an_old_answer() -> Result<()> {
    let host = Host::start(&built()?, "/")?;
    let browser = Browser::open(390, 844).await?;
    browser.visit(&host.url()).await?;
    browser.look_at("#papers").await?;
    browser.wait_for(IS_NEW).await?;
    for wrong in ["", "90"] {
        browser.paste("decal.width", wrong).await?;
        browser
            .wait_for("!document.querySelector('[data-publish=papers]').checkVisibility()")
            .await?;
        browser.wait_until_shown("#papers .old").await?;
        browser.paste("decal.width", "9").await?;
        browser.wait_for(IS_NEW).await?;
    }
    // Pressed at once after another size was typed: that size is on the papers.
    browser
        .value("(() => { const field = document.getElementsByName('quote.pieces')[0]; field.value = '4';
            for (const kind of ['input', 'change']) field.dispatchEvent(new Event(kind, { bubbles: true }));
            return true; })()")
        .await?;
    browser.click("[data-publish=papers]").await?;
    follow(&browser, 2).await?;
    browser
        .wait_for("document.querySelectorAll('.page.quote').length")
        .await?;
    let told = browser
        .value("JSON.parse(localStorage.getItem('decal-reckoner:/:papers')).sale.pieces")
        .await?;
    assert_eq!(told, json!(4));
    Ok(())
}
