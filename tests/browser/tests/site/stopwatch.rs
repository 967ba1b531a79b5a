//! A maker times the work with one thumb: the stopwatch goes on through a reload, and writes the log from
//! which the times are told.

use site_tests::{Browser, Host, Result, built};

/// A clock that stands still until the test moves it.
const CLOCK: &str = "Date.now = () => 1800000000000 + Number(sessionStorage.getItem('gone'));";

async fn seconds_go_by(browser: &Browser, seconds: u32) -> Result<()> {
    let gone = format!("sessionStorage.setItem('gone', {seconds}000) ?? true");
    browser.value(&gone).await.map(drop)
}

#[tokio::test]
async fn a_step_is_timed_written_down_and_taken_out_again() -> Result<()> {
    let host = Host::start(&built()?, "/")?;
    let browser = Browser::open(390, 844).await?;
    browser.prepare_pages(CLOCK).await?;
    browser.visit(&host.url()).await?;
    let height = "document.querySelector('[data-act=watch]').getBoundingClientRect().height >= 72";
    browser.wait_for(height).await?;

    browser.choose("watch.step", "tape").await?;
    browser.type_into("watch.pieces", "6").await?;
    browser.click("[data-act=watch]").await?;
    browser.wait_for_text("#watch-word", "Stop").await?;
    browser.wait_for_text("#watch-time", "0:00").await?;
    seconds_go_by(&browser, 870).await?;
    browser.wait_for_text("#watch-time", "14:30").await?;
    browser.reload().await?;
    browser.wait_for_text("#watch-word", "Stop").await?;
    seconds_go_by(&browser, 900).await?;
    browser.wait_for_text("#watch-time", "15:00").await?;
    browser.click("[data-act=watch]").await?;
    browser
        .wait_for_text("#watch-said", "Written down: tape, 6, 15:00")
        .await?;
    browser.wait_for_text("#watch-word", "Start").await?;
    // The invented entries have made room, and 15 minutes for 6 are 2.5 for one.
    assert_eq!(browser.typed("book.log").await?, "tape, 6, 15:00\n");
    browser
        .wait_for_text("#time", "Tape: 2.5 min a piece, from 1 entry")
        .await?;
    browser
        .wait_for_text("#time", "Weed: 3 min a piece, as estimated")
        .await?;

    // A second one goes below it; both outlast a reload.
    browser.choose("watch.step", "weed").await?;
    browser.click("[data-act=watch]").await?;
    browser.wait_for_text("#watch-word", "Stop").await?;
    seconds_go_by(&browser, 900 + 3723).await?;
    browser.click("[data-act=watch]").await?;
    browser.wait_for_text("#watch-said", "62:03").await?;
    browser.reload().await?;
    let both = "tape, 6, 15:00\nweed, 6, 62:03\n";
    assert_eq!(browser.typed("book.log").await?, both);

    // What was pressed by mistake leaves nothing behind.
    browser.click("[data-act=watch]").await?;
    browser.wait_for_text("#watch-word", "Stop").await?;
    browser.click("[data-act=watch]").await?;
    browser
        .wait_for_text("#watch-said", "nothing is written down")
        .await?;
    browser.click("[data-act=watch]").await?;
    seconds_go_by(&browser, 9000).await?;
    browser.click("[data-act=watch-undo]").await?;
    browser.wait_for_text("#watch-said", "thrown away").await?;
    assert_eq!(browser.typed("book.log").await?, both);
    browser.click("[data-act=watch-undo]").await?;
    assert_eq!(browser.typed("book.log").await?, "tape, 6, 15:00\n");
    browser.click("[data-act=watch-undo]").await?;
    assert_eq!(browser.typed("book.log").await?, "");
    browser
        .wait_for_text("#time", "Tape: 1.5 min a piece, as estimated")
        .await
}
