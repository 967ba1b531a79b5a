//! The customers' page by itself: what it tells, hands out and lets be taken along, on the site and saved as a file.

use super::{EARS, card, last};
use serde_json::{Value, json};
use site_tests::{Browser, Host, Result, Scratch, Trouble, built};
use std::fs;
use std::path::Path;

/// The customers' page by itself, with its card beside it, as visitors of the site see it.
struct Shop {
    browser: Browser,
    host: Host,
    _files: Scratch,
}

impl Shop {
    async fn open(card: &Value) -> Result<Self> {
        let files = Scratch::new()?;
        fs::copy(built()?.join("shop.html"), files.path().join("shop.html"))?;
        fs::write(files.path().join("rate-card.json"), card.to_string())?;
        let host = Host::start(files.path(), "/")?;
        let browser = Browser::open(390, 844).await?;
        let shop = Self {
            browser,
            host,
            _files: files,
        };
        shop.visit("en").await?;
        Ok(shop)
    }

    async fn visit(&self, language: &str) -> Result<()> {
        let address = format!("{}shop.html?language={language}", self.host.url());
        self.browser.driver.goto(address).await?;
        self.browser.wait_until_shown("#shop").await
    }

    /// The text of the request that is copied.
    async fn request(&self) -> Result<String> {
        self.browser.click("#copy").await?;
        let text = "document.getElementById('request')";
        self.browser.wait_for(&format!("!{text}.hidden")).await?;
        let text = self.browser.value(&format!("{text}.value")).await?;
        Ok(text.as_str().unwrap_or_default().to_owned())
    }
}

#[tokio::test]
async fn nothing_is_handed_out_that_is_not_on_the_screen() -> Result<()> {
    let shop = Shop::open(&card()).await?;
    let browser = &shop.browser;
    for (field, wrong, right) in [
        ("pieces", "0", "2"),
        ("pieces", "", "3"),
        ("pieces", "1.5", "4"),
        ("width", "200 yonder", "7"),
        ("width", "", "8"),
        ("width", "wide", "9"),
    ] {
        shop.request().await?;
        if !browser.is_shown("#link").await? {
            browser.click("#show-link").await?;
        }
        browser.wait_until_shown("#copy-link").await?;
        browser.type_into(field, wrong).await?;
        browser.wait_until_shown(&format!("#{field}-error")).await?;
        browser.wait_until_shown("#no-ways").await?;
        for way in [
            "mail",
            "copy",
            "save",
            "show-link",
            "request",
            "link",
            "taking",
        ] {
            let place = format!("#{way}");
            assert!(
                !browser.is_shown(&place).await?,
                "{way} with {field} {wrong}"
            );
        }
        assert_eq!(browser.typed(field).await?, wrong);
        browser.type_into(field, right).await?;
        browser.wait_until_shown("#mail").await?;
        assert!(!browser.is_shown("#no-ways").await?, "{field} {right}");
        assert!(!browser.is_shown("#request").await?, "{field} {right}");
        // A mail says what is on the screen before it is clicked.
        let said = match field {
            "pieces" => format!("{right} pieces"),
            _ => format!("Size: {right} in"),
        };
        let mail = "decodeURIComponent(document.getElementById('mail').href.split('body=').at(-1))";
        let mail = browser.value(mail).await?;
        assert!(mail.as_str().unwrap_or_default().contains(&said), "{mail}");
    }
    assert_eq!(browser.console().await?, [""; 0]);
    Ok(())
}

/// 20 cm are 7.874 in, by the inch of 25.4 mm, and cost what 9 in do: 5 × 9.50 = 47.50; 8.25 % of 47.50 + 2.25 are
/// 4.104375, 4.10; together 53.85. On a table 5 × 8.50 = 42.50, of which 19 parts in 119 are tax: 6.785…, 6.79.
#[tokio::test]
async fn a_request_has_the_customers_own_width_and_adds_up() -> Result<()> {
    let shop = Shop::open(&card()).await?;
    let browser = &shop.browser;
    let has = |text: &str, lines: &[&str]| {
        for line in lines {
            assert!(text.contains(line), "{line}: {text}");
        }
    };
    browser.type_into("width", "20 cm").await?;
    browser.type_into("pieces", "5").await?;
    browser.type_into("words", "").await?;
    let text = shop.request().await?;
    has(
        &text,
        &[
            "Words: I will tell you",
            "Size: 20 cm wide (7.87 in × ",
            "5 pieces at $9.50: $47.50",
            "Postage: $2.25",
            "Sales tax: $4.10",
            "Together: $53.85",
            "Bought through: post",
            "price list 7 of January 1, 2020",
        ],
    );
    browser.paste("channel", "table").await?;
    browser.wait_for_text(".sum", "Together $42.50").await?;
    let text = shop.request().await?;
    has(
        &text,
        &[
            "5 pieces at $8.50: $42.50",
            "Without postage",
            "in the price already: $6.79",
            "Together: $42.50",
        ],
    );
    browser.type_into("width", "90 cm").await?;
    let text = shop.request().await?;
    // 90 cm are 35.433 in.
    has(&text, &["90 cm wide (35.43 in × ", "what would this cost?"]);

    shop.visit("es").await?;
    browser.type_into("width", "20 cm").await?;
    let text = shop.request().await?;
    // Two digits behind a comma are no thousands to anybody.
    has(&text, &["20 cm de ancho (7,87 in × "]);
    browser.click("#steps button:nth-child(2)").await?;
    let text = shop.request().await?;
    has(&text, &["Medida: 9 in × 3 in"]);
    assert_eq!(browser.console().await?, [""; 0]);
    Ok(())
}

/// By all numbers: 8.00 a piece below five and 4.00 from there on, 6.00 of postage on each order.
#[tokio::test]
async fn more_pieces_that_cost_less_are_offered() -> Result<()> {
    let mut card = card();
    card["prices"][1] = json!([
        [["8.00", "4.00"], ["8.00", "4.00"], ["8.00", "4.00"]],
        [["8.00", ""], ["8.00", ""], ["8.00", ""]]
    ]);
    card["channels"][1] =
        json!({ "name": "table", "posted": true, "postage": "6.00", "tax": "none" });
    let shop = Shop::open(&card).await?;
    let browser = &shop.browser;
    browser.choose("channel", "table").await?;
    let total = |pieces: u32| pieces * if pieces < 5 { 8 } else { 4 } + 6;
    for pieces in 1..=10 {
        browser.type_into("pieces", &pieces.to_string()).await?;
        browser
            .wait_for_text(".sum", &format!("Together ${}.00", total(pieces)))
            .await?;
        let fewer_cost_more = (pieces + 1..=10).any(|more| total(more) < total(pieces));
        assert_eq!(
            browser.is_shown("#cheaper").await?,
            fewer_cost_more,
            "{pieces}"
        );
    }
    browser.type_into("pieces", "4").await?;
    browser
        .wait_for_text(
            "#cheaper",
            "5 pieces cost less: $26.00 in all, in place of $38.00.",
        )
        .await?;
    browser.click("#take-cheaper").await?;
    browser.wait_for_text(".sum", "Together $26.00").await?;
    assert_eq!(browser.typed("pieces").await?, "5");
    // No film without a price for so many is offered.
    browser.click("[name=film][value=black]").await?;
    browser.type_into("pieces", "4").await?;
    browser.wait_for_text(".sum", "Together $38.00").await?;
    assert!(!browser.is_shown("#cheaper").await?);
    assert_eq!(browser.console().await?, [""; 0]);
    Ok(())
}

#[tokio::test]
async fn prices_that_are_over_are_not_shown() -> Result<()> {
    let mut card = card();
    card["until"] = json!("2020-02-01");
    let shop = Shop::open(&card).await?;
    let browser = &shop.browser;
    browser
        .wait_for_text("#to-ask", "These prices ended on February 1, 2020.")
        .await?;
    for place in ["#breaks", ".sum", "#larger", "#cheaper", "#taking"] {
        assert!(!browser.is_shown(place).await?, "{place}");
    }
    assert!(!browser.text("body").await?.contains('$'));
    Ok(())
}

/// What the page hands to the browser to be saved from now on; copying is refused, as it may be in a frame.
const CATCH: &str = "(() => {
    globalThis.saved = [];
    URL.createObjectURL = (file) => { saved.push({ file }); return '#'; };
    HTMLAnchorElement.prototype.click = function () { saved.at(-1).name = this.download; };
    navigator.clipboard.writeText = async () => { throw new Error('no'); };
    return true; })()";

/// Presses a button that saves a file; gives its name and what is in it.
async fn saved(browser: &Browser, button: &str) -> Result<(String, Vec<u8>)> {
    let before = browser.value("saved.length").await?;
    browser.click(button).await?;
    browser
        .wait_for(&format!("saved.length > {before} && saved.at(-1).name"))
        .await?;
    let file = "saved.at(-1).file.arrayBuffer().then((bytes) => [saved.at(-1).name, [...new Uint8Array(bytes)]])";
    Ok(serde_json::from_value(browser.value(file).await?)?)
}

/// A card whose names a spreadsheet program would reckon with. A piece 7 in wide costs what 9 in do, and is in proportion
/// to those 9 in by 3 in: 7/3 in high, 59.267 mm of 25.4 mm to the inch, which the page rounds up to eighths, 2 3/8 in.
#[tokio::test]
#[expect(clippy::too_many_lines, reason = "a story")]
async fn the_prices_and_the_picture_can_be_taken_along() -> Result<()> {
    let mut card = card();
    card["shop"] = json!("=1+2");
    card["design"] = json!("Boat, \"name\"");
    card["films"][0]["name"] = json!("+cmd|' /C calc'!A0");
    let shop = Shop::open(&card).await?;
    let browser = &shop.browser;
    browser.value(CATCH).await?;
    browser.type_into("width", "7").await?;
    let answer = "#answer [data-text=size-and-film]";
    browser.wait_for_text(answer, "7 in × 2 3/8 in").await?;
    // Folded away until it is asked for.
    assert!(!browser.is_shown("#take-csv").await?);
    browser.click("#take-title").await?;
    browser.wait_until_shown("#take-csv").await?;
    // WCAG 2.5.5: 44 pixels; and no wider than a phone.
    let fits = "[...document.querySelectorAll('#taking :is(summary, button)')]
        .every((place) => place.getBoundingClientRect().height >= 44) && document.documentElement.scrollWidth <= 390";
    assert_eq!(browser.value(fits).await?, json!(true));

    let (name, file) = saved(browser, "#take-csv").await?;
    assert_eq!(name, "prices-Boat-name.csv");
    let text = std::str::from_utf8(&file).expect("the file is UTF-8");
    let text = text.strip_prefix('\u{feff}').expect("it says so");
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let heads = reader.headers().expect("it has heads").clone();
    let records = reader.records().map(|record| record.expect("it is CSV"));
    let records: Vec<csv::StringRecord> = records.collect();
    let cell = |record: &csv::StringRecord, head: &str| {
        let at = heads.iter().position(|found| found == head);
        record[at.unwrap_or_else(|| panic!("{head}: {heads:?}"))].to_owned()
    };
    let told: Vec<[String; 2]> = records
        .iter()
        .map(|record| {
            let from = cell(record, "From how many");
            let price = cell(record, "Price of each (USD)");
            [format!("From {from}"), format!("${price}")]
        })
        .collect();
    let rows = "[...document.querySelectorAll('#breaks tr')]
        .map((row) => [row.cells[0].firstChild.data, row.cells[1].textContent])";
    let rows: Vec<[String; 2]> = serde_json::from_value(browser.value(rows).await?)?;
    assert_eq!(told, rows);
    assert_eq!(rows.len(), 2);
    for record in &records {
        for (head, value) in [
            ("Shop", "'=1+2"),
            ("Design", "Boat, \"name\""),
            ("Width (in)", "7"),
            ("Height (in)", "2.375"),
            ("Priced as wide (in)", "9"),
            ("Film", "'+cmd|' /C calc'!A0"),
            ("How you buy", "post"),
            ("Price list", "7"),
            ("Prices of", "2020-01-01"),
        ] {
            assert_eq!(cell(record, head), value, "{head}");
        }
    }

    // Where copying is refused, the text is there to be copied by hand, all of it marked.
    browser.click("#take-text").await?;
    browser.wait_until_shown("#taken-text").await?;
    let marked = "(() => { const { value, selectionStart, selectionEnd } = document.activeElement;
        return [value, value.slice(selectionStart, selectionEnd)]; })()";
    let [text, marked]: [String; 2] = serde_json::from_value(browser.value(marked).await?)?;
    assert_eq!(text, marked);
    let lines: Vec<Vec<&str>> = text
        .lines()
        .map(|line| line.split('\t').collect())
        .collect();
    assert_eq!(lines.len(), 3, "{text}");
    assert!(lines.iter().all(|line| line.len() == heads.len()), "{text}");
    assert!(lines[2].contains(&rows[1][1].as_str()), "{text}");

    let (name, svg) = saved(browser, "#take-svg").await?;
    assert_eq!(name, "decal-Boat-name.svg");
    let svg = String::from_utf8(svg).expect("the file is UTF-8");
    let foreign = svg.replace("http://www.w3.org/2000/svg", "");
    assert!(!foreign.contains("var(") && !foreign.contains("http"));
    usvg::Tree::from_str(&svg, &usvg::Options::default()).expect("it is a picture");
    let tree = usvg::roxmltree::Document::parse(&svg).expect("it is XML");
    let root = tree.root_element();
    let sides: Vec<f64> = root
        .attribute("viewBox")
        .into_iter()
        .flat_map(|sides| sides.split(' '))
        .filter_map(|side| side.parse().ok())
        .collect();
    // A unit of the picture is a millimetre of paper.
    assert_eq!(root.attribute("width"), Some(&*format!("{}mm", sides[2])));
    assert_eq!(root.attribute("height"), Some(&*format!("{}mm", sides[3])));
    let mut rects = root.descendants().filter(|node| node.has_tag_name("rect"));
    let mut rect = || {
        let node = rects.next().expect("the rectangle is there");
        let side = |name| {
            node.attribute(name)
                .and_then(|side| side.parse::<f64>().ok())
        };
        (node.attribute("fill"), side("width"), side("height"))
    };
    // White paper, and on it the ground of the decal.
    assert_eq!(rect(), (Some("#fff"), Some(sides[2]), Some(sides[3])));
    let (_, width, height) = rect();
    assert!(
        width.is_some_and(|width| (width - 7.0 * 25.4).abs() < 0.001),
        "{width:?}"
    );
    assert!(
        height.is_some_and(|height| (height - 59.267).abs() < 0.001),
        "{height:?}"
    );

    let (name, png) = saved(browser, "#take-png").await?;
    assert_eq!(name, "decal-Boat-name.png");
    assert_eq!(png[..8], *b"\x89PNG\r\n\x1a\n");
    // Width and height stand behind the head of the first part (PNG specification, 11.2.2): 300 dots an inch.
    for (at, side) in [(16, sides[2]), (20, sides[3])] {
        let dots = u32::from_be_bytes([png[at], png[at + 1], png[at + 2], png[at + 3]]);
        assert!(
            (f64::from(dots) - side / 25.4 * 300.0).abs() <= 1.0,
            "{dots} for {side} mm"
        );
    }
    let corner = "createImageBitmap(saved.at(-1).file).then((image) => {
        const pen = Object.assign(document.createElement('canvas'), { width: 1, height: 1 }).getContext('2d');
        pen.drawImage(image, image.width - 1, image.height - 1, 1, 1, 0, 0, 1, 1);
        return [...pen.getImageData(0, 0, 1, 1).data]; })";
    assert_eq!(browser.value(corner).await?, json!([255, 255, 255, 255]));

    browser.show_as_printed(true).await?;
    assert!(!browser.is_shown("#taking").await?);
    browser.show_as_printed(false).await?;
    // What is no longer so is not there to be copied.
    browser.type_into("width", "6").await?;
    assert!(!browser.is_shown("#taken-text").await?);
    assert_eq!(browser.console().await?, [""; 0]);
    Ok(())
}

#[tokio::test]
async fn a_link_opens_in_the_language_in_which_it_was_made() -> Result<()> {
    let shop = Shop::open(&card()).await?;
    let browser = &shop.browser;
    browser.click("#language option[value=es]").await?;
    browser
        .wait_for_text("label[for=pieces]", "Cuántas")
        .await?;
    browser.click("#show-link").await?;
    browser.wait_until_shown("#copy-link").await?;
    let link = browser
        .wait_for("document.getElementById('link-address').href")
        .await?;
    let link = link.as_str().unwrap_or_default().to_owned();
    browser.click("#copy-link").await?;
    browser
        .wait_for("document.getElementById('said').textContent")
        .await?;
    shop.visit("en").await?;
    browser.driver.goto(&link).await?;
    browser
        .wait_for_text("#told", "Este es el presupuesto que le enviaron.")
        .await?;
    // What was chosen is for nobody but the page: no server is asked for it.
    let asked = shop.host.asked().join(" ");
    assert!(asked.contains("language=es"), "{asked}");
    assert!(
        !asked.contains("KITTIWAKE") && !asked.contains("quote="),
        "{asked}"
    );
    assert_eq!(browser.console().await?, [""; 0]);
    Ok(())
}

/// The page with a card in it, as the maker's page saves it.
fn with_card(page: &str, card: &Value) -> Result<String> {
    let empty = "<script type=\"application/json\" id=\"rate-card\"></script>";
    let (before, after) = page
        .split_once(empty)
        .ok_or_else(|| Trouble::new("shop.html has no place for a card."))?;
    let card = card.to_string().replace('<', "\\u003c");
    Ok(format!(
        "{before}{}{after}",
        empty.replace("></", &format!(">{card}</"))
    ))
}

fn file_address(file: &Path) -> String {
    format!("file://{}", file.display())
}

#[tokio::test]
async fn a_saved_page_works_from_a_file_without_a_network() -> Result<()> {
    let files = Scratch::new()?;
    let mut card = card();
    card["note"] = json!("</script><script>alert(1)</script> & \"<b>\" $& $`");
    let page = fs::read_to_string(built()?.join("shop.html"))?;
    let file = files.path().join("shop.html");
    fs::write(&file, with_card(&page, &card)?)?;
    let browser = Browser::open(390, 844).await?;
    browser.prepare_pages(EARS).await?;
    browser.go_offline().await?;
    browser.driver.goto(file_address(&file)).await?;
    browser.wait_until_shown("#shop").await?;
    browser
        .wait_for_text(
            "#note",
            "</script><script>alert(1)</script> & \"<b>\" $& $`",
        )
        .await?;
    browser.type_into("width", "9").await?;
    browser.type_into("pieces", "5").await?;
    browser.wait_for_text(".sum", "Together $53.85").await?;
    // No link leads back to a file.
    assert!(!browser.is_shown("#show-link").await?);
    browser.screenshot("shop-alone").await?;
    assert_eq!(browser.value("dialogs").await?, json!(0));
    assert_eq!(browser.console().await?, [""; 0]);
    for address in browser.requests().await? {
        assert!(
            address == file_address(&file) || address.starts_with("data:"),
            "{address}"
        );
    }

    // An element in a file beside it: no page of a file has an origin.
    fs::copy(
        built()?.join("decal-quote.js"),
        files.path().join("decal-quote.js"),
    )?;
    let host = files.path().join("host.html");
    fs::write(
        &host,
        "<!doctype html><meta charset=utf-8><title>A shop</title><link rel=icon href=\"data:,\"><script src=decal-quote.js></script><decal-quote id=a></decal-quote>",
    )?;
    browser.driver.goto(file_address(&host)).await?;
    browser
        .wait_for(&format!(
            "({})?.quote.total === '11.10'",
            last("a", "quote")
        ))
        .await?;
    assert_eq!(browser.console().await?, [""; 0]);
    Ok(())
}
