//! A browser with a profile of its own, and what a test does with it.

use crate::build::PARTS;
use crate::chromium::Chromium;
use crate::driver::DriverProcess;
use crate::firefox::Firefox;
use crate::host::Host;
use crate::{Result, Scratch, Trouble, root};
use serde_json::{Value, json};
use std::io::Write;
use std::path::Path;
use std::process::Command;
use std::time::{Duration, Instant};
use std::{env, fs, thread};
use thirtyfour::common::print::PrintParameters;
use thirtyfour::prelude::*;

/// The variable that names the browser: `firefox`, or Chromium without it.
const BROWSER_VARIABLE: &str = "PAGE_BROWSER";

/// How long a test waits for what must come; far longer than it takes, so that a slow machine fails nothing.
pub const PATIENCE: Duration = Duration::from_secs(30);
/// The same for a search for layouts.
const PATIENCE_FOR_A_SEARCH: Duration = Duration::from_mins(3);
/// How often it looks.
const LOOK: Duration = Duration::from_millis(20);

/// A browser, started for a test and ended with it.
pub struct Browser {
    // In the order in which they must go: the browser, its driver, the browser's folder.
    /// For what the functions here do not do.
    pub driver: WebDriver,
    own: Own,
    process: DriverProcess,
    /// Where nobody else keeps it.
    _profile: Option<Scratch>,
}

/// What is done otherwise in each browser.
enum Own {
    Chromium(Chromium),
    Firefox(Firefox),
}

/// Does the same by the functions of either browser.
macro_rules! own {
    ($browser:expr, $own:ident => $does:expr) => {
        match &$browser.own {
            Own::Chromium($own) => $does,
            Own::Firefox($own) => $does,
        }
    };
}

/// Whether the tests run in Firefox, which cannot do this: says so to whoever watches the run, whom the words of a test
/// that passes would not reach.
#[must_use]
pub fn skipped_in_firefox(why: &str) -> bool {
    let skipped = in_firefox();
    if skipped {
        let thread = thread::current();
        let test = thread.name().unwrap_or_default();
        // Where nobody can be told, nobody watches.
        let _ = writeln!(std::io::stderr(), "test {test}: skipped in Firefox: {why}");
    }
    skipped
}

/// Whether the tests run in Firefox.
fn in_firefox() -> bool {
    env::var_os(BROWSER_VARIABLE).is_some_and(|name| name == "firefox")
}

impl Browser {
    /// Starts a browser that shows a page in this size, in CSS pixels.
    ///
    /// # Errors
    /// When the browser or its driver cannot be started.
    pub async fn open(width: u32, height: u32) -> Result<Self> {
        Self::open_with(width, height, &[]).await
    }

    /// The same with further switches of the browser.
    ///
    /// # Errors
    /// When the browser or its driver cannot be started.
    pub async fn open_with(width: u32, height: u32, switches: &[String]) -> Result<Self> {
        let profile = Scratch::new()?;
        let folder = profile.path().to_owned();
        Self::start(&folder, Some(profile), (width, height), switches).await
    }

    /// The same with a profile that outlasts the browser.
    ///
    /// # Errors
    /// When the browser or its driver cannot be started.
    pub async fn open_in(profile: &Path, width: u32, height: u32) -> Result<Self> {
        Self::start(profile, None, (width, height), &[]).await
    }

    async fn start(
        profile: &Path,
        kept: Option<Scratch>,
        (width, height): (u32, u32),
        switches: &[String],
    ) -> Result<Self> {
        let (process, driver, own) = if in_firefox() {
            let (process, driver, firefox) = Firefox::open(profile).await?;
            (process, driver, Own::Firefox(firefox))
        } else {
            let (process, driver, chromium) = Chromium::open(profile, switches).await?;
            (process, driver, Own::Chromium(chromium))
        };
        let browser = Self {
            driver,
            own,
            process,
            _profile: kept,
        };
        browser.set_viewport(width, height).await?;
        Ok(browser)
    }

    /// Ends the browser's process at once, as a power cut does to it: nothing that it still holds is written.
    ///
    /// # Errors
    /// When the driver does not name the process, or it cannot be ended.
    pub fn kill(self) -> Result<()> {
        let id = self.driver.capabilities().get("goog:processID");
        let id = id.and_then(Value::as_u64);
        let id = id.ok_or_else(|| Trouble::new("The driver names no process of the browser."))?;
        let ended = Command::new("kill")
            .args(["-9", &id.to_string()])
            .status()?;
        if !ended.success() {
            return Err(Trouble::new("The browser could not be ended."));
        }
        // Its profile is free for the next one once it is gone.
        while Path::new(&format!("/proc/{id}/exe")).exists() {
            thread::sleep(LOOK);
        }
        Ok(())
    }

    /// Shows a page in this size from now on, in CSS pixels; in Chromium, up to 500 wide as a phone does.
    ///
    /// # Errors
    /// When the browser does not take the size.
    pub async fn set_viewport(&self, width: u32, height: u32) -> Result<()> {
        own!(self, own => own.set_viewport(&self.driver, width, height).await)
    }

    /// Zooms as a browser does: the window keeps its size, and each CSS pixel has so many pixels of a screen of this size.
    ///
    /// # Errors
    /// When the browser does not take it.
    pub async fn zoom(&self, times: f64, window: (u32, u32), screen: (u32, u32)) -> Result<()> {
        own!(self, own => own.zoom(&self.driver, times, window, screen).await)
    }

    /// Shows the page to somebody who prefers `light` or `dark` pages from now on.
    ///
    /// # Errors
    /// When the browser does not take it.
    pub async fn prefer_colours(&self, scheme: &str) -> Result<()> {
        own!(self, own => own.prefer_colours(&self.driver, scheme).await)
    }

    /// Enlarges what is shown by two fingers, in Chromium only: no driver does it in Firefox.
    ///
    /// # Errors
    /// When the browser does not take it.
    pub async fn pinch(&self, times: f64) -> Result<()> {
        match &self.own {
            Own::Chromium(chromium) => chromium.pinch(&self.driver, times).await,
            Own::Firefox(_) => Err(Trouble::new("No fingers pinch in Firefox.")),
        }
    }

    /// Goes to an address and waits until the page there has started.
    ///
    /// # Errors
    /// When it does not start.
    pub async fn visit(&self, url: &str) -> Result<()> {
        self.driver.goto(url).await?;
        self.wait_for("'started' in document.documentElement.dataset")
            .await?;
        Ok(())
    }

    /// Waits until the service worker of the page's build has all files and rules the page.
    ///
    /// # Errors
    /// When that does not come.
    pub async fn wait_until_kept(&self) -> Result<()> {
        self.wait_for("navigator.serviceWorker.controller?.state === 'activated'")
            .await?;
        Ok(())
    }

    /// Brings an element into view, for what it shows is asked for only then.
    ///
    /// # Errors
    /// When there is no such element.
    pub async fn look_at(&self, selector: &str) -> Result<()> {
        let element = json!(selector);
        self.value(&format!(
            "document.querySelector({element}).scrollIntoView()"
        ))
        .await?;
        Ok(())
    }

    /// Looks at every section of the maker's page, until all of them have their answers.
    ///
    /// # Errors
    /// When one of these does not come.
    pub async fn look_at_all(&self) -> Result<()> {
        let sections = "[...document.querySelectorAll('section[id]')].map((section) => section.id)";
        for section in self.value(sections).await?.as_array().into_iter().flatten() {
            let section = section.as_str().unwrap_or_default();
            self.look_at(&format!("#{section}")).await?;
        }
        self.wait_until_planned().await?;
        self.wait_for("document.getElementById('card-text').value")
            .await?;
        self.wait_for("document.getElementById('papers-text').textContent")
            .await?;
        Ok(())
    }

    /// Waits until the service worker keeps what the page asks for later, too.
    ///
    /// # Errors
    /// When that does not come.
    pub async fn wait_until_parts_are_kept(&self) -> Result<()> {
        let kept = format!(
            "Promise.all({}.flatMap((part) => [`${{part}}.js`, `${{part}}_bg.wasm`]).map((file) => \
             caches.match(new URL(file, location.href)))).then((kept) => kept.every(Boolean))",
            json!(PARTS)
        );
        self.wait_for(&kept).await?;
        Ok(())
    }

    /// The value of a JavaScript expression; where it is a promise, what that comes to.
    ///
    /// # Errors
    /// When it throws.
    pub async fn value(&self, expression: &str) -> Result<Value> {
        // Firefox runs what a driver sends beside the page, where `globalThis` is another one.
        let script = format!("const globalThis = window; return ({expression});");
        Ok(self
            .driver
            .execute(script, Vec::new())
            .await?
            .json()
            .clone())
    }

    /// What a JavaScript expression comes to on a drawing that the browser shows by itself, in a window of its own: the
    /// policies of the pages let no text become a document.
    ///
    /// # Errors
    /// When the drawing is not shown, or the expression throws.
    pub async fn value_in_drawing(&self, drawing: &str, expression: &str) -> Result<Value> {
        let folder = Scratch::new()?;
        fs::write(folder.path().join("drawing.svg"), drawing)?;
        // Asked for by itself, and its lack would stand on the console.
        fs::write(folder.path().join("favicon.ico"), "")?;
        let host = Host::start(folder.path(), "/")?;
        let home = self.driver.window().await?;
        let window = self.driver.new_tab().await?;
        self.driver.switch_to_window(window).await?;
        self.driver
            .goto(format!("{}drawing.svg", host.url()))
            .await?;
        let value = self.value(expression).await;
        self.driver.close_window().await?;
        self.driver.switch_to_window(home).await?;
        value
    }

    /// Waits until a JavaScript expression is neither false, zero, null nor empty, and hands back what it is.
    ///
    /// # Errors
    /// When it does not come to that.
    pub async fn wait_for(&self, expression: &str) -> Result<Value> {
        self.wait_so_long_for(PATIENCE, expression).await
    }

    async fn wait_so_long_for(&self, patience: Duration, expression: &str) -> Result<Value> {
        let start = Instant::now();
        loop {
            // While a page is left for another, an expression may find nothing to look at: it is asked again.
            let found = self.value(expression).await;
            match found {
                Ok(value) if is_something(&value) => return Ok(value),
                _ if start.elapsed() < patience => tokio::time::sleep(LOOK).await,
                found => {
                    return Err(Trouble::new(format!(
                        "Waited in vain for `{expression}`, which is {found:?}.\nConsole: {:?}",
                        self.console().await
                    )));
                }
            }
        }
    }

    /// The text that a reader sees in an element.
    ///
    /// # Errors
    /// When there is no such element.
    pub async fn text(&self, selector: &str) -> Result<String> {
        Ok(self.element(selector).await?.text().await?)
    }

    /// Waits until an element's text has these words in it; every white space counts as one space.
    ///
    /// # Errors
    /// When it does not come to that.
    pub async fn wait_for_text(&self, selector: &str, words: &str) -> Result<()> {
        let text = format!(
            "document.querySelector({}).innerText.replace(/\\s+/g, ' ')",
            json!(selector)
        );
        let found = self
            .wait_for(&format!("{text}.includes({})", json!(words)))
            .await;
        if let Err(trouble) = found {
            let text = self.value(&text).await;
            return Err(Trouble::new(format!("{trouble:?}\nText: {text:?}")));
        }
        Ok(())
    }

    /// Whether an element is there to be seen.
    ///
    /// # Errors
    /// When the browser does not answer.
    pub async fn is_shown(&self, selector: &str) -> Result<bool> {
        Ok(self.value(&shown(selector)).await? == json!(true))
    }

    /// Waits until an element is there to be seen.
    ///
    /// # Errors
    /// When it does not come.
    pub async fn wait_until_shown(&self, selector: &str) -> Result<()> {
        self.wait_for(&shown(selector)).await?;
        Ok(())
    }

    /// Types into the field of this name, key by key, in place of what is in it.
    ///
    /// # Errors
    /// When there is no such field, or it takes no keys.
    pub async fn type_into(&self, name: &str, text: &str) -> Result<()> {
        let field = self.aim(&format!("[name=\"{name}\"]")).await?;
        // As a hand does it: clearing by the driver would tell the page of a change that nobody made.
        field.send_keys(Key::Control + "a").await?;
        field.send_keys(Key::Backspace + text).await?;
        Ok(())
    }

    /// Puts a text into the field of this name at once, in place of what is in it, and leaves the field.
    ///
    /// # Errors
    /// When there is no such field.
    pub async fn paste(&self, name: &str, text: &str) -> Result<()> {
        let put = format!(
            "(() => {{ const field = document.querySelector({}); field.value = {};
               for (const kind of ['input', 'change']) field.dispatchEvent(new Event(kind, {{ bubbles: true }}));
               return true; }})()",
            json!(format!("[name=\"{name}\"]")),
            json!(text)
        );
        self.value(&put).await.map(drop)
    }

    /// What is in the field of this name.
    ///
    /// # Errors
    /// When there is no such field.
    pub async fn typed(&self, name: &str) -> Result<String> {
        let field = json!(format!("[name=\"{name}\"]"));
        let value = self
            .value(&format!("document.querySelector({field}).value"))
            .await?;
        value
            .as_str()
            .map(str::to_owned)
            .ok_or_else(|| Trouble::new(format!("The field {name} has no text.")))
    }

    /// Chooses the option with this value in the list of this name.
    ///
    /// # Errors
    /// When there is no such list or option.
    pub async fn choose(&self, name: &str, value: &str) -> Result<()> {
        self.click(&format!("[name=\"{name}\"] option[value=\"{value}\"]"))
            .await
    }

    /// Clicks on an element.
    ///
    /// # Errors
    /// When there is no such element, or it cannot be clicked.
    pub async fn click(&self, selector: &str) -> Result<()> {
        self.aim(selector).await.map(drop)
    }

    /// Clicks on an element and gives it. An answer that arrives above moves what is below, so that
    /// something else is hit: a hand would aim again.
    async fn aim(&self, selector: &str) -> Result<WebElement> {
        let mut tried = 0;
        loop {
            let element = self.element(selector).await?;
            bring_to_the_middle(&element).await?;
            tried += 1;
            match element.click().await {
                Ok(()) => return Ok(element),
                Err(error) if tried < 3 && is_intercepted(&error) => {
                    tokio::time::sleep(Duration::from_millis(300)).await;
                }
                Err(error) => return Err(error.into()),
            }
        }
    }

    /// Keeps a picture of what is shown as `target/screenshots/NAME.png`.
    ///
    /// # Errors
    /// When it cannot be written.
    pub async fn screenshot(&self, name: &str) -> Result<()> {
        let folder = root().join("target/screenshots");
        fs::create_dir_all(&folder)?;
        fs::write(
            folder.join(format!("{name}.png")),
            self.driver.screenshot_as_png().await?,
        )?;
        Ok(())
    }

    /// The page as it is printed: a PDF, its sheets of the size that the page asks for.
    ///
    /// # Errors
    /// When the browser does not print it.
    pub async fn print(&self) -> Result<Vec<u8>> {
        let parameters = PrintParameters {
            // The sheets of the page's own size, and everything in its true size on them.
            shrink_to_fit: false,
            ..PrintParameters::default()
        };
        Ok(self.driver.print_page(parameters).await?)
    }

    /// The errors on the console since this was last asked: uncaught ones, refused requests, breaches of the policy.
    ///
    /// # Errors
    /// When the browser does not answer.
    pub async fn console(&self) -> Result<Vec<String>> {
        own!(self, own => own.console(&self.driver).await)
    }

    /// The addresses that the page asked for since this was last asked, whether they were answered or not.
    ///
    /// # Errors
    /// When the browser does not answer.
    pub async fn requests(&self) -> Result<Vec<String>> {
        own!(self, own => own.requests(&self.driver).await)
    }

    /// Runs a script in every page that is shown from now on, before the page's own.
    ///
    /// # Errors
    /// When the browser does not take it.
    pub async fn prepare_pages(&self, script: &str) -> Result<()> {
        own!(self, own => own.prepare_pages(&self.driver, script).await)
    }

    /// Cuts the page off from every network from now on.
    ///
    /// # Errors
    /// When the browser does not take it.
    pub async fn go_offline(&self) -> Result<()> {
        own!(self, own => own.go_offline(&self.driver).await)
    }

    /// Asks for every file again from now on, whatever came before: the browser's own store of answers is empty.
    ///
    /// # Errors
    /// When the browser does not take it.
    pub async fn forget_answers(&self) -> Result<()> {
        own!(self, own => own.forget_answers(&self.driver).await)
    }

    /// Leaves a site no room in the browser's store from now on but what it has taken already, or as much as usual again.
    ///
    /// # Errors
    /// When the browser does not take it.
    pub async fn leave_room(&self, origin: &str, as_usual: bool) -> Result<()> {
        own!(self, own => own.leave_room(&self.driver, origin, as_usual).await)
    }

    /// Looks into the frame of an element from now on, and back at the page where there is none.
    ///
    /// # Errors
    /// When there is no such frame.
    pub async fn look_into(&self, frame: Option<&str>) -> Result<()> {
        self.driver.enter_default_frame().await?;
        if let Some(frame) = frame {
            self.wait_for(&format!(
                "document.querySelector({}) !== null",
                json!(frame)
            ))
            .await?;
            self.element(frame).await?.enter_frame().await?;
        }
        Ok(())
    }

    /// Looks into the window that was opened last, once there are so many.
    ///
    /// # Errors
    /// When it does not come.
    pub async fn look_into_last_window(&self, windows: usize) -> Result<()> {
        let start = Instant::now();
        loop {
            let all = self.driver.windows().await?;
            if all.len() == windows {
                return Ok(self
                    .driver
                    .switch_to_window(all[windows - 1].clone())
                    .await?);
            }
            if start.elapsed() > PATIENCE {
                return Err(Trouble::new("No other window came."));
            }
            tokio::time::sleep(LOOK).await;
        }
    }

    /// Reloads the page and waits until it has started again.
    ///
    /// # Errors
    /// When it does not start.
    pub async fn reload(&self) -> Result<()> {
        own!(self, own => own.reload(&self.driver).await)?;
        self.wait_for("'started' in document.documentElement.dataset")
            .await?;
        Ok(())
    }

    /// Waits until the search for layouts of the order has ended and all of them are shown.
    ///
    /// # Errors
    /// When it does not end.
    pub async fn wait_until_planned(&self) -> Result<()> {
        self.look_at("#order").await?;
        let planned = "document.getElementById('order-layouts').ariaBusy === 'false'";
        self.wait_so_long_for(PATIENCE_FOR_A_SEARCH, planned)
            .await?;
        Ok(())
    }

    /// The first element that a selector finds.
    async fn element(&self, selector: &str) -> Result<WebElement> {
        let found = self.driver.find(By::Css(selector)).await;
        found.map_err(|error| Trouble::new(format!("No element `{selector}`: {error}")))
    }

    /// Shows the page as it is printed from now on, or as on a screen again.
    ///
    /// # Errors
    /// When the browser does not take it.
    pub async fn show_as_printed(&self, printed: bool) -> Result<()> {
        own!(self, own => own.show_as_printed(&self.driver, printed).await)
    }

    /// Shows pages, in Chromium, as to somebody who prefers this from now on, such as `("prefers-color-scheme", "dark")`.
    ///
    /// # Errors
    /// When the browser does not take it.
    pub async fn prefer(&self, features: &[(&str, &str)]) -> Result<()> {
        let features: Vec<Value> = features
            .iter()
            .map(|(name, value)| json!({ "name": name, "value": value }))
            .collect();
        self.cdp(
            "Emulation.setEmulatedMedia",
            json!({ "features": features }),
        )
        .await
    }

    /// Presses Tab, Enter or Escape, wherever the focus is.
    ///
    /// # Errors
    /// When it is another key, or the browser does not take it.
    pub async fn press(&self, key: &str) -> Result<()> {
        own!(self, own => own.press(&self.driver, key).await)
    }

    /// What the page tells programs that read it out, in Chromium: the nodes of its accessibility tree that are not left out of it.
    ///
    /// # Errors
    /// When the browser does not answer.
    pub async fn accessibility_tree(&self) -> Result<Vec<Value>> {
        let tree = self
            .driver
            .cdp()
            .send_raw("Accessibility.getFullAXTree", json!({}))
            .await?;
        let nodes = tree["nodes"].as_array().cloned().unwrap_or_default();
        Ok(nodes
            .into_iter()
            .filter(|node| node["ignored"] != json!(true))
            .collect())
    }

    async fn cdp(&self, method: &str, parameters: Value) -> Result<()> {
        self.driver.cdp().send_raw(method, parameters).await?;
        Ok(())
    }
}

/// Scrolls an element clear of the bar of answers, under which the driver's own scrolling would leave it.
async fn bring_to_the_middle(element: &WebElement) -> Result<()> {
    let script = "arguments[0].scrollIntoView({ block: 'center', behavior: 'instant' });";
    let arguments = vec![element.to_json()?];
    element.handle().execute(script, arguments).await?;
    Ok(())
}

/// Whether a click was refused since something else lay where it would have hit.
fn is_intercepted(error: &WebDriverError) -> bool {
    matches!(
        error.as_inner(),
        thirtyfour::error::WebDriverErrorInner::ElementClickIntercepted(_)
    )
}

impl Drop for Browser {
    fn drop(&mut self) {
        // The library's own way out waits for a connection that only this very thread could serve, when a test fails.
        // So the library is told to leave the session alone, and it is ended by hand.
        let session = self.driver.session_id().to_string();
        let _ = self.driver.clone().leak();
        // If that fails, the browser ends when its driver does, or with the test run.
        let _ = self.process.end_session(&session);
    }
}

fn is_something(value: &Value) -> bool {
    match value {
        Value::Null => false,
        Value::Bool(truth) => *truth,
        Value::Number(number) => number.as_f64() != Some(0.0),
        Value::String(text) => !text.is_empty(),
        Value::Array(_) | Value::Object(_) => true,
    }
}

/// The expression that tells whether an element is there to be seen.
fn shown(selector: &str) -> String {
    format!(
        "document.querySelector({})?.checkVisibility() === true",
        json!(selector)
    )
}
