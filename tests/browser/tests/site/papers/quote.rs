//! The quote as a customer gets it, and how it is kept.

use super::{joined, open_papers, texts};
use serde_json::json;
use site_tests::{Browser, Host, Result, built, printed};

/// Puts values into a line of the maker's own, which is added first where it is not there.
async fn write_line(browser: &Browser, at: usize, values: [&str; 3]) -> Result<()> {
    let there = format!("document.querySelectorAll('#lines .line').length > {at}");
    if browser.value(&there).await? == json!(false) {
        browser.click("#add-line").await?;
    }
    let put = format!(
        "(() => {{ const fields = document.querySelectorAll('#lines .line')[{at}].querySelectorAll('input');
           {}.forEach((text, at) => {{ fields[at].value = text;
             fields[at].dispatchEvent(new Event('input', {{ bubbles: true }})); }}); return true; }})()",
        json!(values)
    );
    browser.value(&put).await.map(drop)
}

/// 59.85 and 4.40 for the decals; 3 × 0.10 and 1 × 0.20, which are 0.5 in binary fractions only nearly; 10.00 less; a tax
/// of 3.01: 57.76.
#[tokio::test]
async fn a_quote_names_film_maker_customer_and_what_else_is_on_it() -> Result<()> {
    let host = Host::start(&built()?, "/")?;
    let browser = Browser::open(1280, 900).await?;
    open_papers(&browser, &host).await?;
    // Without a film there is a line to write it on.
    browser.wait_for_text(".page.quote", "Film: ____").await?;
    browser.paste("film", "lake white, matt").await?;
    browser
        .paste("contact", "ask@heron-lake.example\n1 Pier Road")
        .await?;
    browser
        .paste("customer", "Wren Marsh\n12 Quay Street\nHeron Lake")
        .await?;
    write_line(&browser, 0, ["Putting it on", "3", "0.10"]).await?;
    // The tax on top was reckoned without that line.
    browser.wait_until_shown("#tax-error").await?;
    write_line(&browser, 1, ["Tape", "1", "0,20"]).await?;
    write_line(&browser, 2, ["For old friends", "1", "-10"]).await?;
    browser.paste("tax", "3.01").await?;
    browser
        .wait_for("document.getElementById('tax-error').hidden")
        .await?;
    browser
        .wait_for_text(".page.quote .total", "$57.76")
        .await?;
    let sheets = printed(browser.print().await?)?;
    for text in [
        "Film: lake white, matt",
        "ask@heron-lake.example",
        "1 Pier Road",
        "For Wren Marsh",
        "12 Quay Street",
        "Putting it on",
        "$0.30",
        "For old friends",
        "$3.01",
        "$57.76",
    ] {
        let quote = &sheets[0].text;
        assert!(quote.contains(&joined(text)), "{text}: {quote}");
    }
    assert!(sheets[1].text.contains(&joined("lake white, matt")));

    // A line that cannot be used is told and is not on the quote; what was typed stays.
    for (values, error) in [
        (["Tape", "1", "0.205"], "write a price"),
        (["Tape", "1", "1,234"], "write a price"),
        (["Tape", "1.5", "0.20"], "whole number"),
        (["Tape", "0", "0.20"], "whole number"),
        (["", "1", "0.20"], "what it is for"),
    ] {
        write_line(&browser, 1, values).await?;
        browser
            .wait_for_text("#lines .line:nth-child(2) .error", error)
            .await?;
        browser
            .wait_for_text(".page.quote .total", "$57.56")
            .await?;
        let stays = "[...document.querySelectorAll('#lines .line')[1].querySelectorAll('input')].map(({ value }) => value)";
        assert_eq!(texts(&browser, stays).await?, values);
    }
    browser.paste("tax", "much").await?;
    browser.wait_until_shown("#tax-error").await?;
    assert_eq!(browser.typed("tax").await?, "much");
    assert_eq!(browser.console().await?, [""; 0]);
    Ok(())
}

#[tokio::test]
async fn a_quote_is_kept_until_a_new_one_is_begun() -> Result<()> {
    let host = Host::start(&built()?, "/")?;
    let browser = Browser::open(1280, 900).await?;
    open_papers(&browser, &host).await?;
    let first = browser.typed("number").await?;
    for (field, text) in [
        ("date", "2027-02-01"),
        ("until", "2027-03-04"),
        ("film", "night black"),
        ("contact", "1 Pier Road"),
        ("customer", "Wren Marsh"),
    ] {
        browser.paste(field, text).await?;
    }
    let number = browser.typed("number").await?;
    browser.choose("surface", "mug").await?;
    browser.choose("share", "4").await?;
    write_line(&browser, 0, ["Putting it on", "2", "12.50"]).await?;
    browser.driver.refresh().await?;
    browser
        .wait_for_text(".page.quote", "Putting it on")
        .await?;
    for (field, text) in [
        ("number", &*number),
        ("date", "2027-02-01"),
        ("until", "2027-03-04"),
        ("film", "night black"),
        ("contact", "1 Pier Road"),
        ("surface", "mug"),
        ("share", "4"),
        ("line-price", "12.50"),
        // Nobody asked to keep the customer.
        ("customer", ""),
    ] {
        assert_eq!(browser.typed(field).await?, text, "{field}");
    }

    // Kept when it is wished, and gone for good when it is cleared.
    browser.paste("customer", "Wren Marsh").await?;
    browser.click("[name=keep]").await?;
    browser.driver.refresh().await?;
    browser.wait_for_text(".page.quote", "Wren Marsh").await?;
    browser.click("#clear-customer").await?;
    let kept = "localStorage.getItem('decal-reckoner:/:papers-own')";
    let left = browser.value(kept).await?;
    assert!(
        !left.as_str().unwrap_or_default().contains("Wren"),
        "{left}"
    );

    // The next quote of the day has the next number, whichever the last one was, and after one of the maker's own the next.
    let next = |number: &str| {
        let (day, count) = number.rsplit_once('-').expect("a day and a count");
        format!("{day}-{}", count.parse::<u32>().expect("a count") + 1)
    };
    browser.click("#begin").await?;
    let second = browser.typed("number").await?;
    assert_eq!(second, next(&first));
    assert_eq!(browser.typed("film").await?, "night black");
    assert!(!browser.text(".page.quote").await?.contains("Putting it on"));
    browser.driver.refresh().await?;
    browser.wait_for_text(".page.quote", &second).await?;
    browser.paste("number", "HL-099").await?;
    browser.click("#begin").await?;
    assert_eq!(browser.typed("number").await?, "HL-100");
    browser.paste("number", "for Wren").await?;
    browser.click("#begin").await?;
    assert_eq!(browser.typed("number").await?, next(&second));

    // Other words under the same number are told.
    assert!(!browser.is_shown("#other-quote").await?);
    browser
        .value(
            "(() => { const name = 'decal-reckoner:/:papers';
               localStorage.setItem(name, localStorage.getItem(name).replace('KITTIWAKE', 'PIPIT')); return true; })()",
        )
        .await?;
    browser.driver.refresh().await?;
    browser.wait_for_text(".page.quote", "PIPIT").await?;
    browser
        .wait_for_text("#other-quote", "was begun for other words")
        .await?;
    browser.click("#begin").await?;
    assert!(!browser.is_shown("#other-quote").await?);
    assert_eq!(browser.console().await?, [""; 0]);
    Ok(())
}

#[tokio::test]
async fn all_of_long_terms_is_printed() -> Result<()> {
    let host = Host::start(&built()?, "/")?;
    let browser = Browser::open(1280, 900).await?;
    open_papers(&browser, &host).await?;
    let lines: Vec<String> = (1..=70)
        .map(|line| {
            format!(
                "Line {line}: {} END{line}.",
                "words of these terms ".repeat(5)
            )
        })
        .collect();
    // As many words in a line without an end.
    let words: Vec<String> = (1..=1500).map(|word| format!("w{word}")).collect();
    for text in [lines.join("\n"), words.join(" ")] {
        browser.paste("terms", &text).await?;
        let sheets = printed(browser.print().await?)?;
        let all: String = sheets.iter().map(|sheet| &*sheet.text).collect();
        let (start, end) = if text.starts_with('w') {
            ("w1w2w3", "w1499w1500")
        } else {
            ("Line1:", "END70.")
        };
        assert!(all.contains(start) && all.contains(end), "{all}");
        let mut rest = &*all;
        for part in text.split_whitespace().map(joined) {
            let at = rest.find(&part).unwrap_or_else(|| panic!("{part}: {rest}"));
            rest = &rest[at + part.len()..];
        }
        assert_eq!(browser.typed("terms").await?, text);
        assert!(!browser.is_shown("#quote-error").await?);
    }
    // What cannot be divided is told.
    browser.paste("customer", &"Wren\n".repeat(90)).await?;
    browser.wait_until_shown("#quote-error").await?;
    assert_eq!(browser.console().await?, [""; 0]);
    Ok(())
}
