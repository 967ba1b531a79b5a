//! Prints how long a visitor of the built page waits: for the first answer, and for each after a keystroke.

use site_tests::{Browser, Host, Result, Trouble, built};

/// How many first visits are made, each by a browser that was never there.
const VISITS: usize = 5;
/// How often each field's answer is reckoned anew.
const ROUNDS: usize = 10;

/// Tells every field a change, one at a time, and lets the page draw after each.
const TOUCH_ALL: &str = "(async () => {
    const drawn = () => new Promise((done) => requestAnimationFrame(() => setTimeout(done)));
    for (const field of document.querySelectorAll('form input, form select')) {
        field.dispatchEvent(new Event('input', { bubbles: true }));
        await drawn();
    }
})()";

#[tokio::main(flavor = "current_thread")]
async fn main() -> Result<()> {
    let host = Host::start(&built()?, "/")?;
    let (mut first, mut again) = (Vec::new(), Vec::new());
    for visit in 0..VISITS {
        let browser = Browser::open(390, 844).await?;
        browser.visit(&host.url()).await?;
        browser
            .wait_for("performance.getEntriesByName('first-answer').length > 0")
            .await?;
        first.extend(milliseconds(&browser, "first-answer", "startTime + entry.duration").await?);
        if visit == 0 {
            for _ in 0..ROUNDS {
                browser.value(TOUCH_ALL).await?;
            }
            again = milliseconds(&browser, "recompute", "duration").await?;
        }
    }
    print("navigation to first answer", &mut first)?;
    print("one answer anew", &mut again)
}

/// What this expression of each measure of this name comes to.
async fn milliseconds(browser: &Browser, name: &str, expression: &str) -> Result<Vec<f64>> {
    let list = format!("performance.getEntriesByName('{name}').map((entry) => entry.{expression})");
    Ok(serde_json::from_value(browser.value(&list).await?)?)
}

/// Prints the middle and the longest of some times.
fn print(what: &str, times: &mut [f64]) -> Result<()> {
    times.sort_by(f64::total_cmp);
    match (times.get(times.len() / 2), times.last()) {
        (Some(middle), Some(longest)) => {
            println!(
                "{what}: {middle:.1} ms in the middle, {longest:.1} ms at most, of {}",
                times.len()
            );
            Ok(())
        }
        _ => Err(Trouble::new(format!(
            "The page measured nothing for: {what}."
        ))),
    }
}
