//! Tables and pictures of the maker's page are taken elsewhere: as text, CSV, SVG and PNG.

use serde_json::{Value, json};
use site_tests::{Browser, Host, Result, built};

/// What the page hands to the browser to be saved or copied from now on, in the order in which it does.
const CATCH: &str = "(() => {
    globalThis.saved = [];
    globalThis.copied = [];
    URL.createObjectURL = (file) => { saved.push({ file }); return '#'; };
    HTMLAnchorElement.prototype.click = function () { saved.at(-1).name = this.download; };
    navigator.clipboard.writeText = async (text) => { copied.push(text); };
    return true; })()";

/// Opens the page with all its details, and asks for what the desk reckons.
async fn open(host: &Host, width: u32, height: u32) -> Result<Browser> {
    let browser = Browser::open(width, height).await?;
    browser.visit(&host.url()).await?;
    browser
        .value("[...document.querySelectorAll('main details')].map((details) => details.open = true).length")
        .await?;
    browser.value(CATCH).await?;
    Ok(browser)
}

/// Waits for the button of that label and presses it; gives the name of the file and what is in it, as bytes.
async fn save(browser: &Browser, label: &str) -> Result<(String, Vec<u8>)> {
    let button = format!("main button[aria-label={}]", json!(label));
    browser.wait_until_shown(&button).await?;
    let before = browser.value("saved.length").await?;
    browser.click(&button).await?;
    browser
        .wait_for(&format!("saved.length > {before} && saved.at(-1).name"))
        .await?;
    let file = browser
        .value("saved.at(-1).file.arrayBuffer().then((bytes) => [saved.at(-1).name, [...new Uint8Array(bytes)]])")
        .await?;
    Ok(serde_json::from_value(file)?)
}

/// The lines of a CSV file, its heads first.
fn lines(file: &[u8]) -> Vec<Vec<String>> {
    let text = std::str::from_utf8(file).expect("the file is UTF-8");
    // RFC 3629: EF BB BF, so that a spreadsheet program takes it for that. RFC 4180, 2: lines end in CR LF.
    let text = text
        .strip_prefix('\u{feff}')
        .expect("it begins with the mark");
    assert!(
        text.ends_with("\r\n") && text.matches('\n').count() == text.matches("\r\n").count(),
        "{text}"
    );
    let mut reader = csv::ReaderBuilder::new()
        .has_headers(false)
        .from_reader(text.as_bytes());
    // As many cells in each line as in the first, or it is an error.
    let records = reader.records().map(|record| record.expect("it is CSV"));
    records
        .map(|record| record.iter().map(str::to_owned).collect())
        .collect()
}

/// The rows of a table as a reader of the page sees them, words in their order but without semicolons; `heads` by columns.
async fn seen(browser: &Browser, table: &str) -> Result<(Vec<String>, Vec<String>)> {
    let expression = format!(
        "(() => {{
            const table = document.querySelector({});
            const words = (element) => element.innerText.split(/[\\s;]+/).filter(Boolean).join(' ');
            const rows = [...table.rows].filter((row) => row.checkVisibility());
            const heads = table.tHead ? [...rows.shift().cells].map(words) : [];
            return [heads, rows.map(words)];
        }})()",
        json!(table)
    );
    Ok(serde_json::from_value(browser.value(&expression).await?)?)
}

/// A line of the file in words, without semicolons, which stand between notes, and without what guards a formula.
fn words(line: &[String]) -> String {
    let cells = line.iter().map(|cell| {
        let guarded = cell.strip_prefix('\'');
        guarded
            .filter(|text| text.starts_with('-'))
            .unwrap_or(cell)
            .replace(';', "")
    });
    let cells: Vec<String> = cells.filter(|cell| !cell.is_empty()).collect();
    cells.join(" ")
}

#[tokio::test]
async fn what_is_saved_of_a_table_is_what_the_page_shows() -> Result<()> {
    let host = Host::start(&built()?, "/")?;
    let browser = open(&host, 1280, 900).await?;
    browser.paste("decal.lettering", "HERON LAKE").await?;
    browser.paste("quote.ownPrice", "3.05").await?;
    browser.wait_until_planned().await?;
    browser.value("[...document.querySelectorAll('#order details')].map((details) => details.open = true).length").await?;
    browser.click("[data-copy-out]").await?;
    for (table, label, amounts) in [
        (
            "#price table.readings",
            "Price: Four readings of a price, for a piece",
            "Price,Left,Pay an hour",
        ),
        (
            "#price table:not(.readings)",
            "Price: What the customer pays for an order of 1 piece, and where it goes",
            "So it is",
        ),
        (
            "#sizes table",
            "Sizes, quantities, channels: The ladder of sizes",
            "Price,Cost,Pay an hour",
        ),
        ("#supplies table", "Supplies", "Pack,Each,A year"),
        (
            "#read table.grades",
            "Readable from: How it reads, by the angle that its letters fill",
            "",
        ),
        ("#post table", "Post: Weight by its parts", ""),
        (
            "#order > .work table",
            "A whole order: The lines as they were understood",
            "",
        ),
    ] {
        let section = table.split(' ').next().unwrap_or(table);
        browser.look_at(section).await?;
        let (name, file) = save(&browser, &format!("Save as CSV: {label}")).await?;
        assert!(name.ends_with("-HERON-LAKE.csv"), "{name}");
        let lines = lines(&file);
        let (heads, rows) = seen(&browser, table).await?;
        assert!(!rows.is_empty(), "{table}");
        let told: Vec<String> = lines[1..].iter().map(|line| words(line)).collect();
        assert_eq!(told, rows, "{table}");
        if table == "#price table.readings" {
            // An amount below nothing is a number, and stays one.
            let left = lines[0].iter().position(|head| head == "Left (USD)");
            let left = left.expect("the column is there");
            assert!(lines[4][left].starts_with("-$"), "{lines:?}");
        }
        let columns = lines[0].iter().filter(|head| !head.ends_with(": note"));
        let amounts: Vec<&str> = amounts.split(',').filter(|head| !head.is_empty()).collect();
        let bare: Vec<String> = columns
            .map(|head| {
                let bare = head.strip_suffix(" (USD)").unwrap_or(head);
                assert_eq!(amounts.contains(&bare), bare != head, "{head} of {table}");
                bare.to_owned()
            })
            .collect();
        let heads = if heads.is_empty() {
            vec!["What".to_owned(), "So it is".to_owned()]
        } else {
            heads
        };
        assert_eq!(bare, heads, "{table}");
    }
    // A cut list for each layout, and what a list that is no table says.
    let (_, file) = save(&browser, "Save as CSV: Time: What each step takes").await?;
    assert_eq!(lines(&file)[0], ["Step", "Takes"]);
    assert_eq!(lines(&file).len(), 6);
    let lists = "[...document.querySelectorAll('#order .layout')].map((layout) => [
        layout.querySelectorAll('table tbody tr').length,
        layout.querySelector('button[aria-label^=\"Save as CSV\"][aria-label$=\"Cut list\"]').ariaLabel])";
    let lists: Vec<(usize, String)> = serde_json::from_value(browser.value(lists).await?)?;
    assert!(lists.len() > 1, "{lists:?}");
    for (pieces, label) in lists {
        let (_, file) = save(&browser, &label).await?;
        let lines = lines(&file);
        assert_eq!(lines.len(), pieces + 1, "{label}");
        assert_eq!(lines[0][0], "No., piece");
    }
    assert_eq!(browser.console().await?, [""; 0]);
    Ok(())
}

#[tokio::test]
async fn no_cell_is_a_formula() -> Result<()> {
    let host = Host::start(&built()?, "/")?;
    let browser = open(&host, 390, 844).await?;
    let names = [
        "=1+2",
        "=HYPERLINK(\"https://b.example/\", \"a\")",
        "@SUM(A1:A9)",
        "-2+3 boats",
        "+cmd|' /C calc'!A0",
        "Reed, \"Rush\"",
    ];
    for (at, name) in names.iter().enumerate() {
        browser
            .paste(&format!("book.places[{at}].name"), name)
            .await?;
    }
    let places = "#read table.rules:not(.grades)";
    browser
        .value("document.querySelector('#read table.rules:not(.grades)').closest('[data-desk]').scrollIntoView()")
        .await?;
    browser.wait_for_text(places, "=1+2").await?;
    browser.click("[data-copy-out]").await?;
    let (_, file) = save(&browser, "Save as CSV: Readable from: At my places").await?;
    let lines = lines(&file);
    for (name, line) in names.iter().zip(&lines[1..]) {
        let begins_a_formula = name.starts_with(['=', '+', '-', '@']);
        let guarded = if begins_a_formula { "'" } else { "" };
        assert!(
            line[0].starts_with(&format!("{guarded}{name}, ")),
            "{line:?}"
        );
    }
    assert_eq!(lines.len(), names.len() + 1);
    Ok(())
}

/// Width and height that the head of a PNG file says (PNG specification, 11.2.2).
fn png_size(file: &[u8]) -> (u32, u32) {
    assert_eq!(file[..8], *b"\x89PNG\r\n\x1a\n");
    assert_eq!(file[12..16], *b"IHDR");
    let side = |at: usize| u32::from_be_bytes([file[at], file[at + 1], file[at + 2], file[at + 3]]);
    (side(16), side(20))
}

#[tokio::test]
async fn a_saved_picture_stands_alone() -> Result<()> {
    let host = Host::start(&built()?, "/")?;
    let browser = open(&host, 1280, 900).await?;
    browser.paste("decal.lettering", "A<b>&\"\u{1} 'C").await?;
    browser.look_at("#film").await?;
    browser
        .wait_for("document.querySelector('#film [data-picture] svg')")
        .await?;
    browser.look_at("#sizes").await?;
    browser.click("[data-copy-out]").await?;
    let labels = [
        "The decal",
        "Readable from",
        "Film",
        "Price",
        "Price: Pay against price",
        "Sizes, quantities, channels",
    ];
    let mut light = Vec::new();
    for scheme in ["light", "dark"] {
        browser.prefer_colours(scheme).await?;
        for (at, label) in labels.iter().enumerate() {
            let (name, svg) = save(&browser, &format!("Save as SVG: {label}: picture")).await?;
            assert!(name.ends_with("-A-b-C.svg"), "{name}");
            let svg = String::from_utf8(svg).expect("the file is UTF-8");
            for foreign in ["var(", "http:", "https:"] {
                let own = svg.replace("http://www.w3.org/2000/svg", "");
                assert!(!own.contains(foreign), "{label}: {svg}");
            }
            let tree = usvg::Tree::from_str(&svg, &usvg::Options::default())
                .unwrap_or_else(|error| panic!("{label}: {error}: {svg}"));
            assert!(tree.root().has_children(), "{label}");
            // Paper is white, and its ink dark, whatever the page looks like.
            if scheme == "light" {
                light.push(svg);
            } else {
                assert_eq!(svg, light[at], "{label}");
            }
            let size = tree.size();
            let (name, png) = save(&browser, &format!("Save as PNG: {label}: picture")).await?;
            assert!(name.strip_suffix(".png").is_some(), "{name}");
            let (width, height) = png_size(&png);
            // Twice 800 pixels wide, and as high as the picture's proportions ask.
            let wanted = 1600.0 * size.height() / size.width();
            assert_eq!(width, 1600, "{label}");
            assert!(
                (f64::from(height) - f64::from(wanted)).abs() <= 1.0,
                "{label}: {height} where {wanted}"
            );
            let corner = "createImageBitmap(saved.at(-1).file).then((image) => {
                const pen = Object.assign(document.createElement('canvas'), { width: 1, height: 1 }).getContext('2d');
                pen.drawImage(image, image.width - 1, image.height - 1, 1, 1, 0, 0, 1, 1);
                return [...pen.getImageData(0, 0, 1, 1).data]; })";
            assert_eq!(
                browser.value(corner).await?,
                json!([255, 255, 255, 255]),
                "{label}"
            );
        }
    }
    // Nothing was asked of anybody but the site itself, and the policy was kept.
    let foreign: Vec<String> = browser
        .requests()
        .await?
        .into_iter()
        .filter(|address| !address.starts_with(&host.url()) && !address.starts_with("data:"))
        .collect();
    assert_eq!(foreign, [""; 0]);
    assert_eq!(browser.console().await?, [""; 0]);
    Ok(())
}

#[tokio::test]
async fn buttons_come_go_and_say_what_they_did() -> Result<()> {
    let host = Host::start(&built()?, "/")?;
    let browser = open(&host, 390, 844).await?;
    let buttons = "document.querySelectorAll('main .copy-out button').length";
    assert_eq!(browser.value(buttons).await?, json!(0));
    browser.click("[data-copy-out]").await?;
    let copy = "main button[aria-label^=\"Copy as text: Price: Four readings\"]";
    browser.wait_until_shown(copy).await?;
    // WCAG 2.5.5: 44 pixels; and no wider than a phone.
    let fits = "[...document.querySelectorAll('.copy-out button')].filter((button) => button.checkVisibility())
        .every((button) => button.getBoundingClientRect().height >= 44) && document.documentElement.scrollWidth <= 390";
    assert_eq!(browser.value(fits).await?, json!(true));
    browser.click(copy).await?;
    browser
        .wait_for("document.activeElement.parentNode.querySelector('[role=status]').textContent === 'Copied'")
        .await?;
    assert_eq!(
        browser.value("document.activeElement.textContent").await?,
        json!("Copy as text")
    );
    let text = browser.value("copied.at(-1)").await?;
    let text = text.as_str().unwrap_or_default();
    let lines: Vec<&str> = text.lines().collect();
    assert_eq!(lines[0], "Price: Four readings of a price, for a piece");
    // The heads of columns of figures end where their rule does, and so does each figure.
    let ends = lines[3].match_indices("- ").map(|(at, _)| at + 1);
    let ends: Vec<usize> = ends.chain([lines[3].len()]).collect();
    assert_eq!(ends.len(), 3, "{text}");
    for line in lines[4..]
        .iter()
        .filter(|line| line.starts_with(['$', '-']))
    {
        for end in &ends[1..] {
            let (figure, rest) = line.split_at(*end);
            assert!(
                figure.ends_with(|last: char| last.is_ascii_digit()),
                "{text}"
            );
            assert!(rest.is_empty() || rest.starts_with(' '), "{text}");
        }
    }
    // What is read is what stands there now.
    browser.paste("quote.ownPrice", "77.05").await?;
    browser
        .wait_for_text("#price table.readings", "77.05")
        .await?;
    browser.click(copy).await?;
    browser.wait_for("copied.at(-1).includes('77.05')").await?;
    // Where the browser refuses, the text is there to be copied by hand.
    browser
        .value("(() => { navigator.clipboard.writeText = async () => { throw new Error('no'); }; return true; })()")
        .await?;
    browser.click(copy).await?;
    browser
        .wait_for("document.querySelector('dialog[open] textarea')")
        .await?;
    let selected = "(() => { const { value, selectionStart, selectionEnd } = document.querySelector('dialog[open] textarea');
        return [value.slice(selectionStart, selectionEnd), copied.at(-1)]; })()";
    let selected: Vec<Value> = serde_json::from_value(browser.value(selected).await?)?;
    assert_eq!(selected[0], selected[1]);
    browser.click("dialog[open] button").await?;
    browser
        .wait_for("!document.querySelector('dialog[open]')")
        .await?;
    // A table that comes later has its buttons too.
    browser.look_at("#sizes").await?;
    browser
        .wait_until_shown("main button[aria-label=\"Save as CSV: Sizes, quantities, channels: The ladder of sizes\"]")
        .await?;
    browser.show_as_printed(true).await?;
    assert!(!browser.is_shown(copy).await?);
    browser.show_as_printed(false).await?;
    browser.click("[data-copy-out]").await?;
    assert_eq!(browser.value(buttons).await?, json!(0));
    assert_eq!(browser.console().await?, [""; 0]);
    Ok(())
}
