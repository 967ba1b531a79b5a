//! Firefox: what is done through `WebDriver` `BiDi`, and in the browser's own window where that has nothing for it.

use crate::bidi::BiDi;
use crate::driver::DriverProcess;
use crate::{Result, Trouble};
use http::Method;
use serde_json::{Value, json};
use std::env;
use std::path::Path;
use std::process::Command;
use std::sync::{Arc, Mutex, PoisonError};
use thirtyfour::common::command::FormatRequestData;
use thirtyfour::prelude::*;
use thirtyfour::{RequestData, SessionId};

/// What is heard of a page.
const EVENTS: [&str; 4] = [
    "log.entryAdded",
    "network.beforeRequestSent",
    "network.fetchError",
    "network.responseCompleted",
];

/// What a test needs of Firefox alone.
pub struct Firefox {
    bidi: BiDi,
    heard: Arc<Mutex<Heard>>,
}

/// What was heard since it was last asked for.
#[derive(Default)]
struct Heard {
    errors: Vec<String>,
    requests: Vec<String>,
}

impl Firefox {
    pub async fn open(profile: &Path) -> Result<(DriverProcess, WebDriver, Self)> {
        let program = env::var_os("GECKODRIVER").unwrap_or_else(|| "geckodriver".into());
        let driver = || {
            let mut command = Command::new(&program);
            // What is shown as printed, and zoomed, is set in the browser's own window.
            command.args(["--port=0", "--websocket-port=0", "--allow-system-access"]);
            command.arg("--profile-root").arg(profile);
            command
        };
        let process = DriverProcess::start(driver, "Listening on 127.0.0.1:")?;
        // The driver listens for the end of a page that it clicks in, and forgets to stop: for that alone, no page would
        // come back as it was left.
        let prefs = json!({ "docshell.shistory.bfcache.allow_unload_listeners": true });
        let mut options = json!({ "args": ["-headless"], "prefs": prefs });
        if let Ok(firefox) = env::var("FIREFOX") {
            options["binary"] = json!(firefox);
        }
        let mut capabilities = Capabilities::default();
        capabilities.set("browserName", json!("firefox"))?;
        capabilities.set("webSocketUrl", json!(true))?;
        capabilities.set("moz:firefoxOptions", options)?;
        let driver = WebDriver::new(process.address(), capabilities).await?;
        let socket = driver
            .capabilities()
            .get("webSocketUrl")
            .and_then(Value::as_str);
        let socket = socket.ok_or_else(|| Trouble::new("Firefox names no socket."))?;
        let heard = Arc::new(Mutex::new(Heard::default()));
        let hearing = Arc::clone(&heard);
        let hear = move |event: &str, told: &Value| {
            let mut heard = hearing.lock().unwrap_or_else(PoisonError::into_inner);
            heard.hear(event, told);
        };
        let bidi = BiDi::connect(socket, hear).await?;
        bidi.send("session.subscribe", &json!({ "events": EVENTS }))
            .await?;
        Ok((process, driver, Self { bidi, heard }))
    }

    pub async fn set_viewport(&self, driver: &WebDriver, width: u32, height: u32) -> Result<()> {
        let page = page(driver).await?;
        let size = json!({ "context": page, "viewport": { "width": width, "height": height } });
        self.command("browsingContext.setViewport", size).await
    }

    pub async fn zoom(
        &self,
        driver: &WebDriver,
        times: f64,
        window: (u32, u32),
        screen: (u32, u32),
    ) -> Result<()> {
        self.set_viewport(driver, window.0, window.1).await?;
        let page = page(driver).await?;
        let area = json!({ "width": screen.0, "height": screen.1 });
        let screen = json!({ "contexts": [page], "screenArea": area });
        self.command("emulation.setScreenSettingsOverride", screen)
            .await?;
        let script = "FullZoom.setZoom(arguments[0], gBrowser.selectedBrowser);";
        in_the_window(driver, script, json!(times)).await
    }

    pub async fn prefer_colours(&self, driver: &WebDriver, scheme: &str) -> Result<()> {
        let script =
            "gBrowser.selectedBrowser.browsingContext.prefersColorSchemeOverride = arguments[0];";
        in_the_window(driver, script, json!(scheme)).await
    }

    pub async fn console(&self, driver: &WebDriver) -> Result<Vec<String>> {
        self.listen(driver).await?;
        Ok(std::mem::take(&mut self.heard().errors))
    }

    pub async fn requests(&self, driver: &WebDriver) -> Result<Vec<String>> {
        self.listen(driver).await?;
        Ok(std::mem::take(&mut self.heard().requests))
    }

    pub async fn prepare_pages(&self, _: &WebDriver, script: &str) -> Result<()> {
        // The empty page before the first one has not all that a page has; once it is left, it has no place either. That
        // of a frame is another matter: a page of the same host may be given its window, and is not prepared again.
        let prepare = format!(
            "() => {{ if (globalThis.prepared || (self === top && document.URL === 'about:blank')) return;
                globalThis.prepared = true; {script}\n }}"
        );
        let function = json!({ "functionDeclaration": prepare });
        self.command("script.addPreloadScript", function).await
    }

    pub async fn go_offline(&self, _: &WebDriver) -> Result<()> {
        let nothing = json!({ "networkConditions": { "type": "offline" } });
        self.command("emulation.setNetworkConditions", nothing)
            .await
    }

    /// As a reader does it. The driver's own way passes over the service worker and all that is kept.
    pub async fn reload(&self, driver: &WebDriver) -> Result<()> {
        let whole = json!({ "context": page(driver).await?, "wait": "complete" });
        self.command("browsingContext.reload", whole).await
    }

    pub async fn press(&self, driver: &WebDriver, key: &str) -> Result<()> {
        let key = match key {
            "Tab" => Key::Tab,
            "Enter" => Key::Enter,
            "Escape" => Key::Escape,
            other => return Err(Trouble::new(format!("{other} is not pressed here."))),
        };
        Ok(driver.action_chain().send_keys(key).perform().await?)
    }

    pub async fn forget_answers(&self, driver: &WebDriver) -> Result<()> {
        // What lies on the disk, and what scripts and styles were made into.
        let script = "Services.cache2.clear(); ChromeUtils.clearResourceCache();";
        in_the_window(driver, script, Value::Null).await
    }

    pub async fn leave_room(&self, driver: &WebDriver, _: &str, as_usual: bool) -> Result<()> {
        // What was taken and not needed any more is given back where the store begins anew.
        limit_store(driver, Value::Null).await?;
        if as_usual {
            return Ok(());
        }
        let taken =
            "return navigator.storage.estimate().then(({ usage }) => Math.ceil(usage / 1024));";
        let taken = driver.execute(taken, Vec::new()).await?;
        limit_store(driver, taken.json().clone()).await
    }

    pub async fn show_as_printed(&self, driver: &WebDriver, printed: bool) -> Result<()> {
        let medium = if printed { "print" } else { "" };
        let script = "gBrowser.selectedBrowser.browsingContext.mediumOverride = arguments[0];";
        in_the_window(driver, script, json!(medium)).await
    }

    /// Waits until all that the page has told so far is heard: what comes from one page comes in its order.
    async fn listen(&self, driver: &WebDriver) -> Result<()> {
        let page = page(driver).await?;
        let nothing =
            json!({ "expression": "0", "target": { "context": page }, "awaitPromise": false });
        self.command("script.evaluate", nothing).await
    }

    fn heard(&self) -> std::sync::MutexGuard<'_, Heard> {
        self.heard.lock().unwrap_or_else(PoisonError::into_inner)
    }

    async fn command(&self, method: &str, parameters: Value) -> Result<()> {
        self.bidi.send(method, &parameters).await
    }
}

impl Heard {
    fn hear(&mut self, event: &str, told: &Value) {
        let text = |value: &Value| value.as_str().unwrap_or_default().to_owned();
        let address = text(&told["request"]["url"]);
        match event {
            "log.entryAdded" if told["level"] == "error" => self.errors.push(text(&told["text"])),
            // What is about the browser only is asked of the browser itself.
            "network.beforeRequestSent" if !address.starts_with("about:") => {
                self.requests.push(address);
            }
            // As Chromium does, which passes over what the page itself gave up.
            "network.fetchError" if told["errorText"] != "NS_BINDING_ABORTED" => {
                let why = text(&told["errorText"]);
                self.errors.push(format!("{address} failed: {why}"));
            }
            "network.responseCompleted" => {
                let status = told["response"]["status"].as_u64().unwrap_or_default();
                // For a page that comes back as it was left, the browser itself asks for an icon by its usual name.
                let by_itself =
                    told["request"]["initiatorType"].is_null() && address.ends_with("/favicon.ico");
                if status >= 400 && !by_itself {
                    self.errors
                        .push(format!("{address} was answered with {status}"));
                }
            }
            _ => {}
        }
    }
}

/// The name of the page that is looked at.
async fn page(driver: &WebDriver) -> Result<String> {
    Ok(driver.window().await?.to_string())
}

/// Runs a script in the browser's own window, which alone may say how a page is shown.
async fn in_the_window(driver: &WebDriver, script: &str, value: Value) -> Result<()> {
    driver.cmd(Look("chrome")).await?;
    let done = driver.execute(script, vec![value]).await;
    driver.cmd(Look("content")).await?;
    done?;
    Ok(())
}

/// Lets the browser's store take so many KiB from now on, of all sites together, or as many as usual. It looks at its
/// limit when it begins, and only that of tests begins anew.
async fn limit_store(driver: &WebDriver, limit: Value) -> Result<()> {
    let script = "const limit = 'dom.quotaManager.temporaryStorage.fixedLimit';
        if (arguments[0] === null) Services.prefs.clearUserPref(limit);
        else Services.prefs.setIntPref(limit, arguments[0]);
        Services.prefs.setBoolPref('dom.quotaManager.testing', true);
        return new Promise((done) => { Services.qms.reset().callback = () => done(); });";
    in_the_window(driver, script, limit).await
}

/// Tells the driver whether scripts are about the browser's own window or the page from now on.
#[derive(Debug)]
struct Look(&'static str);

impl FormatRequestData for Look {
    fn format_request(&self, session: &SessionId) -> RequestData {
        let path = format!("/session/{session}/moz/context");
        RequestData::new(Method::POST, path).add_body(json!({ "context": self.0 }))
    }
}
