//! Prints how long a visitor of the built page waits: for the first answer, for each after a keystroke, also on a device
//! four times as slow, and for the page to answer at all while the layouts of an order are searched for.

use site_tests::{Browser, Host, Result, Trouble, built, orders};
use std::time::Instant;

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

/// Orders that are planned: so many lines, and the least pieces of each.
const ORDERS: [(u32, u32); 2] = [(40, 1), (1000, 8)];

/// How much slower a phone is than this machine, as Lighthouse has it.
const SLOWER: f64 = 4.0;
/// What is typed on it, letter by letter.
const TYPED: &str = "HERON LAKE";

/// Notes for each key how long it waits until the page hears of it, and until what came of it is drawn; browsers count
/// the latter in steps of 8 ms, and tell of nothing shorter than 16.
const WATCH_KEYS: &str = "window.keys = [];
    new PerformanceObserver((list) => window.keys.push(...list.getEntries().filter(({ name }) => name === 'keydown').map(
        (key) => [key.processingStart - key.startTime, key.duration])))
        .observe({ type: 'event', durationThreshold: 16 });";

/// Notes every task that keeps the page from answering for longer than 50 ms.
const WATCH: &str = "window.tasks = [];
    new PerformanceObserver((list) => window.tasks.push(...list.getEntries())).observe({ type: 'longtask' });";

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
    print("one answer anew", &mut again)?;
    typing(&host).await?;
    for (lines, least) in ORDERS {
        plan(&host, lines, least).await?;
    }
    Ok(())
}

/// Types words on a slow device, and prints how long keys wait and which tasks keep the page from hearing them.
async fn typing(host: &Host) -> Result<()> {
    let browser = Browser::open(390, 844).await?;
    browser.prepare_pages(WATCH).await?;
    browser.prepare_pages(WATCH_KEYS).await?;
    browser.visit(&host.url()).await?;
    browser.wait_until_planned().await?;
    let rate = serde_json::json!({ "rate": SLOWER });
    let cdp = browser.driver.cdp();
    cdp.send_raw("Emulation.setCPUThrottlingRate", rate).await?;
    browser.look_at("#decal").await?;
    browser
        .value("window.tasks.length = window.keys.length = 0")
        .await?;
    for letter in TYPED.chars() {
        let field = browser.driver.active_element().await?;
        let focused = browser.value("document.activeElement.name").await?;
        if focused == "decal.lettering" {
            field.send_keys(letter.to_string()).await?;
        } else {
            browser
                .type_into("decal.lettering", &letter.to_string())
                .await?;
        }
        tokio::time::sleep(std::time::Duration::from_millis(150)).await;
    }
    browser.wait_until_planned().await?;
    let keys: Vec<(f64, f64)> = serde_json::from_value(browser.value("window.keys").await?)?;
    let (mut heard, mut drawn): (Vec<f64>, Vec<f64>) = keys.into_iter().unzip();
    let mut tasks: Vec<f64> = serde_json::from_value(
        browser
            .value("window.tasks.map((task) => task.duration)")
            .await?,
    )?;
    println!(
        "typing {} letters on a device {SLOWER} times as slow:",
        TYPED.len()
    );
    print("  a key until it is heard", &mut heard)?;
    print("  a key until what came of it is drawn", &mut drawn)?;
    if !tasks.is_empty() {
        print("  tasks over 50 ms", &mut tasks)?;
    }
    Ok(())
}

/// Has an order planned, and prints how long its first answer and its search take, and how long the
/// page does not answer meanwhile.
async fn plan(host: &Host, lines: u32, least: u32) -> Result<()> {
    let browser = Browser::open(390, 844).await?;
    browser.prepare_pages(WATCH).await?;
    browser.visit(&host.url()).await?;
    browser.wait_until_planned().await?;
    let order = orders::lines(lines, least);
    let (start, pieces) = (Instant::now(), orders::pieces(&order));
    let pasted = browser.value("performance.now()").await?;
    browser.paste("list", &orders::list(&order)).await?;
    let taken = browser.value("performance.now()").await?;
    browser
        .wait_for_text("#order .answer", &format!("{pieces} pieces"))
        .await?;
    let first = start.elapsed();
    browser.wait_until_planned().await?;
    let tasks = format!(
        "window.tasks.filter((task) => task.startTime + task.duration > {taken}).map((task) => task.duration)"
    );
    let tasks: Vec<f64> = serde_json::from_value(browser.value(&tasks).await?)?;
    println!(
        "an order of {lines} lines, {pieces} pieces: taken over in {:.0} ms, first planned after {:.1} s, searched for \
         {:.1} s; meanwhile {} tasks over 50 ms, the longest of {:.0} ms",
        taken.as_f64().unwrap_or_default() - pasted.as_f64().unwrap_or_default(),
        first.as_secs_f64(),
        start.elapsed().as_secs_f64(),
        tasks.len(),
        tasks.iter().copied().fold(0.0, f64::max)
    );
    Ok(())
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
