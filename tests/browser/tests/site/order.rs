//! A maker plans whole orders: from a list to layouts, a cut list, files, and a shelf that is up to date.

mod shelf;

use serde_json::{Value, json};
use site_tests::orders::{self, Line};
use site_tests::{Browser, Host, Result, Trouble, built};
use std::collections::BTreeMap;

/// Millimetres that texts and pictures may differ by.
const EXACT: f64 = 0.01;
const INCH: f64 = 25.4;
const MARGIN: f64 = INCH / 4.0;
const GAP: f64 = INCH / 8.0;

async fn open_all_details(browser: &Browser) -> Result<()> {
    let open =
        "[...document.querySelectorAll('details')].map((details) => details.open = true).length";
    browser.value(open).await?;
    browser.look_at("#order").await
}

/// The page with an order planned on it.
async fn planned(host: &Host, browser: &Browser, list: &str, headline: &str) -> Result<()> {
    browser.visit(&host.url()).await?;
    open_all_details(browser).await?;
    browser.paste("list", list).await?;
    browser.wait_for_text("#order .answer", headline).await?;
    browser.wait_until_planned().await
}

/// What all fields of the order hold, by name.
async fn fields(browser: &Browser) -> Result<Value> {
    let all = "Object.fromEntries([...document.querySelectorAll('#order [name]')]
        .map((field) => [field.name, field.type === 'checkbox' ? field.checked : field.value]))";
    browser.value(all).await
}

/// A text of the page, where every white space counts as one space.
async fn text(browser: &Browser, selector: &str) -> Result<String> {
    let text = browser.text(selector).await?;
    Ok(text.split_whitespace().collect::<Vec<_>>().join(" "))
}

/// A rectangle in millimetres: across and along from the loading corner, and its size across and along.
#[derive(Clone, Copy, Debug)]
struct Rect {
    across: f64,
    along: f64,
    width: f64,
    length: f64,
}

impl Rect {
    /// How far it is from another one; nothing or less where they overlap.
    fn distance(&self, other: &Self) -> f64 {
        let apart = |at: f64, long: f64, other_at: f64, other_long: f64| {
            (other_at - at - long).max(at - other_at - other_long)
        };
        apart(self.across, self.width, other.across, other.width).max(apart(
            self.along,
            self.length,
            other.along,
            other.length,
        ))
    }

    fn is(&self, other: &Self) -> bool {
        let near = |a: f64, b: f64| (a - b).abs() < EXACT;
        near(self.across, other.across)
            && near(self.along, other.along)
            && near(self.width, other.width)
            && near(self.length, other.length)
    }
}

/// A row of a cut list.
#[derive(Clone, Debug)]
struct Row {
    number: String,
    name: String,
    turned: bool,
    rect: Rect,
}

/// A layout as the page shows it.
#[derive(Clone, Debug)]
struct Layout {
    film: String,
    title: String,
    copies: u32,
    rows: Vec<Row>,
    /// The pieces on the drawing.
    drawn: Vec<Rect>,
    /// Size of the stock on the drawing; of a roll, of what is shown of it.
    stock: (f64, f64),
    /// The numbers on the drawing, and where each stands, across and along.
    numbers: Vec<(String, f64, f64)>,
}

/// A length of the page in millimetres, such as `4 3/8 in`.
fn millimetres(text: &str) -> Result<f64> {
    let wrong = || Trouble::new(format!("`{text}` is no length."));
    let number = |text: &str| match text.split_once('/') {
        Some((part, of)) => Some(part.parse::<f64>().ok()? / of.parse::<f64>().ok()?),
        None => text.parse::<f64>().ok(),
    };
    let (unit, numbers) = match text.split_whitespace().collect::<Vec<_>>().split_last() {
        Some((&"in", numbers)) => (INCH, numbers.to_vec()),
        Some((&"cm", numbers)) => (10.0, numbers.to_vec()),
        Some((&"mm", numbers)) => (1.0, numbers.to_vec()),
        _ => return Err(wrong()),
    };
    let sum: Option<f64> = numbers.into_iter().map(number).sum();
    Ok(sum.ok_or_else(wrong)? * unit)
}

/// A size of the page in millimetres, such as `9 × 3 in`.
fn size(text: &str) -> Result<(f64, f64)> {
    let parts = text.split_once('×').and_then(|(width, rest)| {
        let unit = rest.split_whitespace().next_back()?;
        Some((format!("{width} {unit}"), rest.to_owned()))
    });
    let (width, length) = parts.ok_or_else(|| Trouble::new(format!("`{text}` is no size.")))?;
    Ok((millimetres(&width)?, millimetres(&length)?))
}

/// All layouts that the page shows.
async fn layouts(browser: &Browser) -> Result<Vec<Layout>> {
    let all = "(() => { let film; return [...document.querySelectorAll('#order-layouts .card')].map((card) => {
        const heading = card.querySelector('h3');
        if (!heading.hidden) film = heading.textContent;
        const number = (node, name) => Number(node.getAttribute(name));
        return { film, title: card.querySelector('h4 span').textContent,
            rows: [...card.querySelectorAll('tbody tr')].map((row) => [...row.querySelectorAll('th span, td')]
                .map((cell) => cell.textContent).concat(row.querySelector('small').hidden ? '' : 'turned')),
            sheet: card.querySelector('path.sheet').getAttribute('d'),
            pieces: card.querySelector('path.piece').getAttribute('d'),
            numbers: [...card.querySelectorAll('text.piece')]
                .map((text) => [text.textContent, number(text, 'x'), number(text, 'y') - number(text, 'font-size') * 0.36]) };
    }); })()";
    let all = browser.value(all).await?;
    all.as_array().into_iter().flatten().map(layout).collect()
}

fn layout(card: &Value) -> Result<Layout> {
    let said = |value: &Value| value.as_str().unwrap_or_default().to_owned();
    let items = |name: &str| card[name].as_array().cloned().unwrap_or_default();
    let numbers_of = |path: &str| -> Vec<f64> {
        let parts = path.split(|c: char| c.is_alphabetic() || c == ' ');
        parts.filter_map(|part| part.parse().ok()).collect()
    };
    let title = said(&card["title"]);
    let film = said(&card["film"]);
    // `M609.6 0H0V304.8H609.6`: how wide and how high the stock is drawn.
    let outline = numbers_of(&said(&card["sheet"]));
    let (wide, high) = (outline[0], outline[3]);
    let stock_width = match title.split_once(", ") {
        Some((_, remnant)) => size(remnant)?.0,
        None if film == "night black" => 12.0 * INCH,
        None => 24.0 * INCH,
    };
    let lying = (wide - stock_width).abs() > EXACT;
    let as_it_lies = |x: f64, y: f64| if lying { (y, x) } else { (x, y) };
    let pieces = said(&card["pieces"]);
    let drawn = pieces.split('Z').filter(|outline| !outline.is_empty());
    let drawn = drawn.map(|outline| {
        let numbers = numbers_of(outline);
        let (across, along) = as_it_lies(numbers[0], numbers[1]);
        let (width, length) = as_it_lies(numbers[2], numbers[3]);
        Rect {
            across,
            along,
            width,
            length,
        }
    });
    let rows = items("rows").into_iter().map(|row| {
        let cell = |at: usize| said(&row[at]);
        let (width, length) = size(&cell(4))?;
        Ok(Row {
            number: cell(0),
            name: cell(1),
            turned: cell(5) == "turned",
            rect: Rect {
                across: millimetres(&cell(2))?,
                along: millimetres(&cell(3))?,
                width,
                length,
            },
        })
    });
    let numbers = items("numbers").into_iter().map(|number| {
        let at = |place: usize| number[place].as_f64().unwrap_or(f64::NAN);
        let (across, along) = as_it_lies(at(1), at(2));
        (said(&number[0]), across, along)
    });
    // `Sheets 2 to 4 of 5`.
    let words: Vec<&str> = title.split(' ').collect();
    let copies = match words[..] {
        ["Sheets", first, "to", last, ..] => {
            let number = |word: &str| word.parse::<u32>().unwrap_or_default();
            number(last) + 1 - number(first)
        }
        _ => 1,
    };
    Ok(Layout {
        copies,
        rows: rows.collect::<Result<_>>()?,
        drawn: drawn.collect(),
        stock: as_it_lies(wide, high),
        numbers: numbers.collect(),
        film,
        title,
    })
}

/// Fails where a cut list differs from its drawing, or where pieces lie where they must not.
fn check_layout(layout: &Layout) {
    let title = format!("{}: {}", layout.film, layout.title);
    assert!(!layout.rows.is_empty(), "{title}");
    assert_eq!(layout.rows.len(), layout.drawn.len(), "{title}");
    let (width, length) = layout.stock;
    for (at, (row, drawn)) in layout.rows.iter().zip(&layout.drawn).enumerate() {
        assert_eq!(row.number, (at + 1).to_string(), "{title}");
        assert!(row.rect.is(drawn), "{title}: {row:?} is drawn as {drawn:?}");
        let within = |from: f64, size: f64, end: f64| {
            from > MARGIN - EXACT && from + size < end - MARGIN + EXACT
        };
        assert!(within(drawn.across, drawn.width, width), "{title}: {row:?}");
        assert!(
            within(drawn.along, drawn.length, length),
            "{title}: {row:?}"
        );
        for other in &layout.drawn[..at] {
            assert!(
                drawn.distance(other) > GAP - EXACT,
                "{title}: {drawn:?} and {other:?}"
            );
        }
    }
    for (number, across, along) in &layout.numbers {
        let row = layout.rows.iter().find(|row| row.number == *number);
        let inside = row.is_some_and(|Row { rect, .. }| {
            (rect.across..rect.across + rect.width).contains(across)
                && (rect.along..rect.along + rect.length).contains(along)
        });
        assert!(inside, "{title}: {number} stands at {across}, {along}");
    }
}

/// Fails where the layouts do not hold exactly what was ordered.
fn check_order(lines: &[Line], layouts: &[Layout]) {
    let mut cut: BTreeMap<&str, u32> = BTreeMap::new();
    for layout in layouts {
        for row in &layout.rows {
            *cut.entry(&row.name).or_default() += layout.copies;
            let line = lines.iter().find(|line| line.name == row.name);
            let line = line.unwrap_or_else(|| panic!("nobody ordered {row:?}"));
            assert_eq!(line.film, layout.film, "{row:?}");
            let eighths = |length: u32| f64::from(length) * INCH / 8.0;
            let (mut width, mut length) = (eighths(line.width), eighths(line.height));
            if row.turned {
                assert_ne!(
                    layout.film, "birch grain",
                    "{row:?} is turned on patterned film"
                );
                (width, length) = (length, width);
            }
            let Rect { across, along, .. } = row.rect;
            assert!(
                row.rect.is(&Rect {
                    across,
                    along,
                    width,
                    length
                }),
                "{row:?}: {line:?}"
            );
        }
    }
    let ordered: BTreeMap<&str, u32> = lines
        .iter()
        .map(|line| (line.name.as_str(), line.quantity))
        .collect();
    assert_eq!(cut, ordered);
}

#[tokio::test]
async fn an_order_in_three_films_is_planned_and_its_cut_list_is_what_is_drawn() -> Result<()> {
    let host = Host::start(&built()?, "/")?;
    let browser = Browser::open(1280, 800).await?;
    browser.visit(&host.url()).await?;
    open_all_details(&browser).await?;
    browser
        .click("[data-act=add-row][data-of=remnants]")
        .await?;
    browser.type_into("remnants[1].film", "birch grain").await?;
    browser.type_into("remnants[1].width", "10").await?;
    browser.type_into("remnants[1].length", "20").await?;
    let lines = orders::lines(40, 1);
    let pieces = orders::pieces(&lines);
    browser.paste("list", &orders::list(&lines)).await?;
    browser
        .wait_for_text("#order .answer", &format!("{pieces} pieces in 3 films"))
        .await?;
    browser.wait_until_planned().await?;
    // Its details are as they were left.
    open_all_details(&browser).await?;
    let rows = "document.querySelectorAll('#order-layouts .card').length
        && [...document.querySelectorAll('#order-layouts .card')].every((card) => card.querySelector('tbody tr'))";
    browser.wait_for(rows).await?;

    let layouts = layouts(&browser).await?;
    layouts.iter().for_each(check_layout);
    check_order(&lines, &layouts);
    let kinds = |film: &str| -> Vec<&str> {
        let of_film = layouts.iter().filter(|layout| layout.film == film);
        of_film
            .filter_map(|layout| layout.title.split([' ', ',']).next())
            .collect()
    };
    assert_eq!(kinds("lake white"), ["Remnant", "Roll"]);
    assert_eq!(kinds("birch grain"), ["Remnant", "Roll"]);
    assert!(
        kinds("night black")
            .iter()
            .all(|kind| kind.starts_with("Sheet"))
    );
    let understood = "document.querySelectorAll('#order details table tbody tr').length";
    assert!(browser.value(understood).await?.as_u64() >= Some(40));
    browser.screenshot("order-wide").await?;
    assert_eq!(browser.console().await?, [""; 0]);

    // On paper there is the cut list and nothing of the rest.
    browser
        .value("window.print = () => { window.printed = true; }")
        .await?;
    let close = "[...document.querySelectorAll('#order-layouts details')].map((details) => details.open = false).length";
    browser.value(close).await?;
    browser.click("[data-act=print-order]").await?;
    assert_eq!(browser.value("window.printed").await?, json!(true));
    browser.show_as_printed(true).await?;
    let hidden = "[...document.querySelectorAll('main section, #answers, footer, #order button, #list, #shelf')]
        .filter((part) => part.id !== 'order' && part.checkVisibility()).map((part) => part.id || part.outerHTML)";
    assert_eq!(browser.value(hidden).await?, json!([]));
    let shown = "[...document.querySelectorAll('#order-layouts tbody tr, #order-layouts svg, #order .answer')]
        .every((part) => part.checkVisibility())";
    assert_eq!(browser.value(shown).await?, json!(true));
    let rows = "document.querySelectorAll('#order-layouts tbody tr').length";
    let printed: usize = layouts.iter().map(|layout| layout.rows.len()).sum();
    assert_eq!(browser.value(rows).await?, json!(printed));
    // One drawing at its actual size, and nothing else.
    browser
        .value("dispatchEvent(new Event('afterprint'))")
        .await?;
    browser.show_as_printed(false).await?;
    browser
        .click("#order-layouts .card:nth-of-type(2) [data-act=print-drawing]")
        .await?;
    browser.show_as_printed(true).await?;
    let drawings = "[...document.querySelectorAll('svg, table, h3, button, .answer')].filter((part) => part.checkVisibility())
        .map((part) => part === document.querySelector('#order-layouts .card:nth-of-type(2) svg')
            && Math.abs(part.getBoundingClientRect().width - part.width.baseVal.value) < 1)";
    assert_eq!(browser.value(drawings).await?, json!([true]));
    browser
        .value("dispatchEvent(new Event('afterprint'))")
        .await?;
    browser.show_as_printed(false).await?;
    let whole = "document.documentElement.hasAttribute('data-print')";
    assert_eq!(browser.value(whole).await?, json!(false));
    Ok(())
}

#[tokio::test]
async fn a_search_shows_how_far_it_is_and_can_be_ended_and_begun_again() -> Result<()> {
    let host = Host::start(&built()?, "/")?;
    let browser = Browser::open(390, 844).await?;
    browser.visit(&host.url()).await?;
    browser.look_at("#order").await?;
    let lines = orders::lines(40, 2);
    let list = orders::list(&lines);
    let pieces = orders::pieces(&lines);
    browser.paste("list", &list).await?;
    browser.wait_until_shown("#order-progress").await?;
    browser
        .wait_for("document.querySelector('#order-progress progress').value > 0")
        .await?;
    browser.click("[data-act=stop-order]").await?;
    browser.wait_until_planned().await?;
    assert!(!browser.is_shown("#order-progress").await?);
    assert!(
        text(&browser, "#order-stopped")
            .await?
            .starts_with("Stopped; the best found so far is shown.")
    );
    let headline = format!("{pieces} pieces in 3 films");
    browser.wait_for_text("#order .answer", &headline).await?;
    let cards = "document.querySelectorAll('#order-layouts .card').length";
    assert!(browser.value(cards).await?.as_u64() >= Some(3));

    browser.click("[data-act=again-order]").await?;
    browser.wait_until_shown("#order-progress").await?;
    assert!(!browser.is_shown("#order-stopped").await?);
    // Another line while it searches: the newest order is the one that is planned.
    browser
        .paste("list", &format!("{list}One more, 5, 2, 7, night black\n"))
        .await?;
    browser
        .wait_for_text(
            "#order .answer",
            &format!("{} pieces in 3 films", pieces + 7),
        )
        .await?;
    browser.wait_until_shown("#order-progress").await?;
    browser.click("[data-act=stop-order]").await?;
    browser.wait_until_shown("#order-stopped").await?;

    // Nothing is left of it when the list is emptied, and it can be brought back.
    browser.click("[data-act=empty-list]").await?;
    browser
        .wait_for_text("#order .answer", "Nothing to cut")
        .await?;
    assert_eq!(browser.value(cards).await?, json!(0));
    assert!(!browser.is_shown("#order-stopped").await?);
    assert!(!browser.is_shown("[data-act=book-order]").await?);
    browser.click("[data-act=undo]").await?;
    browser
        .wait_for_text(
            "#order .answer",
            &format!("{} pieces in 3 films", pieces + 7),
        )
        .await?;
    Ok(())
}

#[tokio::test]
async fn what_is_wrong_with_an_order_is_told_and_the_rest_of_it_is_kept() -> Result<()> {
    let host = Host::start(&built()?, "/")?;
    let browser = Browser::open(390, 844).await?;
    let list = "Bow, 14, 3, 4\nBroken, wide, 3\nPort, 9, 3, 2\nToo much, 40, 40, 1\n";
    planned(&host, &browser, list, "6 pieces").await?;
    let told = text(&browser, "#order .note.alarm").await?;
    assert!(told.contains("2 mistakes in the list"), "{told}");
    assert!(
        told.contains("Line 2, width:") && told.contains("Broken, wide, 3"),
        "{told}"
    );
    assert!(told.contains("Line 4"), "{told}");

    // A field of the shelf that is still to be filled in: told at the field, while the last good answer stays.
    browser.paste("list", "Bow, 14, 3, 4\n").await?;
    browser.wait_for_text("#order .answer", "4 pieces").await?;
    for (name, bad) in [
        ("shelf[0].width", ""),
        ("shelf[0].left", "thirty"),
        ("shelf[0].price", "-1"),
        ("shelf[0].whole", "3 furlongs"),
        ("shelf[1].length", "1e99"),
        ("shelf[1].sheets", "2.5"),
        ("remnants[0].width", "abc"),
        ("remnants[0].length", "-1"),
        ("keep", "abc"),
        ("orderTape", "-1"),
    ] {
        let good = browser.typed(name).await?;
        browser.paste(name, bad).await?;
        let field = json!(format!("[name=\"{name}\"]"));
        let told = format!(
            "(() => {{ const field = document.querySelector({field}), error = document.getElementById(field.name + '-error');
               return field.getAttribute('aria-invalid') === 'true' && error.checkVisibility() && error.textContent.length > 20
                 && field.getAttribute('aria-describedby').split(' ').includes(error.id)
                 && document.querySelectorAll('#errors li a').length === 1 && field.value === {bad}; }})()",
            bad = json!(bad)
        );
        browser.wait_for(&told).await?;
        browser
            .wait_for_text("#order .answer", "The last good answer")
            .await?;
        browser.wait_for_text("#order .answer", "4 pieces").await?;
        browser.paste(name, &good).await?;
        browser
            .wait_for("document.getElementById('errors').hidden")
            .await?;
    }

    // The same after a reload, when there is no last good answer.
    browser.paste("shelf[0].width", "").await?;
    browser.wait_until_shown("#errors").await?;
    browser.reload().await?;
    browser.look_at("#order").await?;
    browser.wait_until_shown("#errors").await?;
    browser.click("#errors a").await?;
    assert_eq!(
        browser.value("document.activeElement.name").await?,
        json!("shelf[0].width")
    );
    Ok(())
}
