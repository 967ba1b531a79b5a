//! The stopwatch that writes the log of times: the one use that the page makes of a clock.
//!
//! What is kept is when it was started, in a field that nobody sees. The time that has gone by is told
//! from the clock, so that it is right after a reload, and after a phone has slept.

use super::App;
use super::dom::{Fault, Page};
use say::say;
use std::cell::{Cell, OnceCell};
use wasm_bindgen::prelude::*;
use web_sys::HtmlElement;

/// The fields.
const LOG: &str = "book.log";
const SINCE: &str = "watch.since";
/// The measures of the drawing in hand, as the log has them; empty without one.
const DRAWING: &str = "artwork.logNote";

/// What lets the shown time go on while the watch runs.
#[derive(Default)]
pub(super) struct Stopwatch {
    tick: OnceCell<Closure<dyn Fn()>>,
    interval: Cell<Option<i32>>,
}

fn say(page: &Page, id: &str, text: &str) -> Result<(), Fault> {
    page.element::<HtmlElement>(id)?
        .set_text_content(Some(text));
    Ok(())
}

/// A step of the work as lines of the log call it.
fn in_log(step: &str) -> &str {
    match step {
        "set up" => say!(in "the log of times": "set up"),
        "cut" => say!(in "the log of times": "cut"),
        "weed" => say!(in "the log of times": "weed"),
        "tape" => say!(in "the log of times": "tape"),
        "pack" => say!(in "the log of times": "pack"),
        other => other,
    }
}

/// Minutes and seconds.
fn clock(seconds: i64) -> String {
    format!("{}:{:02}", seconds / 60, seconds % 60)
}

#[expect(
    clippy::cast_possible_truncation,
    reason = "milliseconds since 1970 are far within the integers"
)]
fn now() -> i64 {
    js_sys::Date::now() as i64
}

impl App {
    /// Whole seconds since the watch was started; none where it does not run.
    fn seconds_gone(&self) -> Option<i64> {
        let since: i64 = self.forms.text(SINCE).parse().ok()?;
        // A clock that was set back has no time gone by.
        Some((now() - since).max(0) / 1000)
    }

    /// Shows whether the watch runs and how long, and lets that go on by itself.
    pub(super) fn show_watch(&self) -> Result<(), Fault> {
        let gone = self.seconds_gone();
        let [word, undo] = if gone.is_some() {
            [
                say!(in "the stopwatch": "Stop"),
                say!("Throw this time away"),
            ]
        } else {
            [
                say!(in "the stopwatch": "Start"),
                say!("Take the last line out"),
            ]
        };
        say(&self.page, "watch-word", word)?;
        say(&self.page, "watch-undo", undo)?;
        say(
            &self.page,
            "watch-time",
            &gone.map_or_else(String::new, clock),
        )?;
        let window = self.page.window();
        match (gone, self.watch.interval.get()) {
            (Some(_), None) => {
                let app = self.this.clone();
                let tick = self.watch.tick.get_or_init(|| {
                    Closure::new(move || {
                        if let Some(app) = app.upgrade() {
                            // The places were there when the watch was started.
                            let _ = app.show_watch();
                        }
                    })
                });
                let interval = window.set_interval_with_callback_and_timeout_and_arguments_0(
                    tick.as_ref().unchecked_ref(),
                    500,
                )?;
                self.watch.interval.set(Some(interval));
            }
            (None, Some(interval)) => {
                window.clear_interval_with_handle(interval);
                self.watch.interval.set(None);
            }
            _ => {}
        }
        Ok(())
    }

    /// Starts the watch, or stops it and writes down what it took.
    pub(super) fn press_watch(&self) -> Result<(), Fault> {
        let said = match self.seconds_gone() {
            None => {
                self.forms.set(SINCE, &now().to_string());
                String::new()
            }
            Some(gone) => {
                self.forms.set(SINCE, "");
                if gone == 0 {
                    say!("Less than a second: nothing is written down.").to_owned()
                } else {
                    let [step, pieces] =
                        ["watch.step", "watch.pieces"].map(|name| self.forms.text(name));
                    let mut cells = vec![in_log(&step).to_owned(), pieces, clock(gone)];
                    let drawing = self.forms.text(DRAWING);
                    if !drawing.is_empty() && matches!(&*step, "cut" | "weed") {
                        cells.push(drawing);
                    }
                    let line = cells.join(say!(in "between the cells of the log of times": ", "));
                    self.write_down(&line);
                    say!("Written down: {line}")
                }
            }
        };
        self.after_watch(&said)
    }

    /// Adds a line to the log; the invented ones make room for the first of the maker's own.
    fn write_down(&self, line: &str) {
        let mut store = self.store.borrow_mut();
        let mut log = if store.own().iter().any(|name| name == LOG) {
            self.forms.text(LOG)
        } else {
            String::new()
        };
        if !log.is_empty() && !log.ends_with('\n') {
            log.push('\n');
        }
        log.push_str(line);
        log.push('\n');
        self.forms.set(LOG, &log);
        store.now_own(LOG.to_owned());
    }

    /// Throws the running time away, or takes the last line out of the log.
    pub(super) fn undo_watch(&self) -> Result<(), Fault> {
        let said = if self.seconds_gone().is_some() {
            self.forms.set(SINCE, "");
            say!("The time is thrown away.").to_owned()
        } else {
            let log = self.forms.text(LOG);
            let log = log.trim_end();
            let (rest, last) = log.rsplit_once('\n').unwrap_or(("", log));
            let said = say!("Taken out: {last}");
            let rest = rest.trim_end();
            let end = if rest.is_empty() { "" } else { "\n" };
            self.forms.set(LOG, &format!("{rest}{end}"));
            self.store.borrow_mut().now_own(LOG.to_owned());
            said
        };
        self.after_watch(&said)
    }

    fn after_watch(&self, said: &str) -> Result<(), Fault> {
        self.settled()?;
        self.show_watch()?;
        say(&self.page, "watch-said", said)
    }
}
