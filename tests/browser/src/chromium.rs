//! Chromium: what is done by its own protocol, and by the logs of its driver.

use crate::driver::DriverProcess;
use crate::{Result, Trouble, root};
use serde_json::{Value, json};
use std::path::Path;
use std::process::Command;
use std::{env, fs};
use thirtyfour::prelude::*;

/// What a test needs of Chromium alone.
pub struct Chromium;

impl Chromium {
    pub async fn open(
        profile: &Path,
        switches: &[String],
    ) -> Result<(DriverProcess, WebDriver, Self)> {
        let program = env::var_os("CHROMEDRIVER").unwrap_or_else(|| "chromedriver".into());
        let driver = || {
            let mut command = Command::new(&program);
            command.arg("--port=0");
            command
        };
        let process = DriverProcess::start(driver, "successfully on port ")?;
        let settings = fs::read_to_string(root().join("tests/browser/webdriver.json"))?;
        let mut capabilities: Capabilities = serde_json::from_str(&settings)?;
        let options = capabilities
            .get_mut("goog:chromeOptions")
            .and_then(|options| options.get_mut("args"));
        let arguments = options.and_then(Value::as_array_mut);
        let arguments =
            arguments.ok_or_else(|| Trouble::new("webdriver.json lists no arguments."))?;
        arguments.push(json!(format!("user-data-dir={}", profile.display())));
        arguments.extend(switches.iter().map(|switch| json!(switch)));
        capabilities.set("browserName", json!("chrome"))?;
        capabilities.set(
            "goog:loggingPrefs",
            json!({ "browser": "ALL", "performance": "ALL" }),
        )?;
        let driver = WebDriver::new(process.address(), capabilities).await?;
        Ok((process, driver, Self))
    }

    pub async fn set_viewport(&self, driver: &WebDriver, width: u32, height: u32) -> Result<()> {
        let size = json!({ "width": width, "height": height, "deviceScaleFactor": 1, "mobile": width <= 500 });
        cdp(driver, "Emulation.setDeviceMetricsOverride", size).await
    }

    pub async fn zoom(
        &self,
        driver: &WebDriver,
        times: f64,
        window: (u32, u32),
        screen: (u32, u32),
    ) -> Result<()> {
        let across = |pixels: u32| json!((f64::from(pixels) / times).round());
        let metrics = json!({
            "width": across(window.0), "height": across(window.1), "deviceScaleFactor": times, "mobile": false,
            "screenWidth": screen.0, "screenHeight": screen.1,
        });
        cdp(driver, "Emulation.setDeviceMetricsOverride", metrics).await
    }

    pub async fn pinch(&self, driver: &WebDriver, times: f64) -> Result<()> {
        let factor = json!({ "pageScaleFactor": times });
        cdp(driver, "Emulation.setPageScaleFactor", factor).await
    }

    pub async fn prefer_colours(&self, driver: &WebDriver, scheme: &str) -> Result<()> {
        let media = json!({ "features": [{ "name": "prefers-color-scheme", "value": scheme }] });
        cdp(driver, "Emulation.setEmulatedMedia", media).await
    }

    pub async fn console(&self, driver: &WebDriver) -> Result<Vec<String>> {
        let entries = driver.get_log("browser").await?.into_iter();
        Ok(entries
            .filter(|entry| entry.level == "SEVERE")
            .map(|entry| entry.message)
            .collect())
    }

    pub async fn requests(&self, driver: &WebDriver) -> Result<Vec<String>> {
        let mut addresses = Vec::new();
        for entry in driver.get_log("performance").await? {
            let event: Value = serde_json::from_str(&entry.message)?;
            if event["message"]["method"] == "Network.requestWillBeSent" {
                // The browser's own start page asks too, but only the browser itself.
                let address = event["message"]["params"]["request"]["url"].as_str();
                addresses.extend(
                    address
                        .filter(|address| !address.starts_with("chrome:"))
                        .map(str::to_owned),
                );
            }
        }
        Ok(addresses)
    }

    pub async fn prepare_pages(&self, driver: &WebDriver, script: &str) -> Result<()> {
        let source = json!({ "source": script });
        cdp(driver, "Page.addScriptToEvaluateOnNewDocument", source).await
    }

    pub async fn go_offline(&self, driver: &WebDriver) -> Result<()> {
        cdp(driver, "Network.enable", json!({})).await?;
        let nothing = json!({ "offline": true, "latency": 0, "downloadThroughput": 0, "uploadThroughput": 0 });
        cdp(driver, "Network.emulateNetworkConditions", nothing).await
    }

    pub async fn reload(&self, driver: &WebDriver) -> Result<()> {
        Ok(driver.refresh().await?)
    }

    pub async fn press(&self, driver: &WebDriver, key: &str) -> Result<()> {
        let (code, text) = match key {
            "Tab" => (9, ""),
            "Enter" => (13, "\r"),
            "Escape" => (27, ""),
            other => return Err(Trouble::new(format!("{other} is not pressed here."))),
        };
        for kind in ["keyDown", "keyUp"] {
            let text = if kind == "keyDown" { text } else { "" };
            let press = json!({ "type": kind, "key": key, "code": key, "windowsVirtualKeyCode": code, "text": text });
            cdp(driver, "Input.dispatchKeyEvent", press).await?;
        }
        Ok(())
    }

    pub async fn forget_answers(&self, driver: &WebDriver) -> Result<()> {
        cdp(driver, "Network.clearBrowserCache", json!({})).await
    }

    pub async fn leave_room(&self, driver: &WebDriver, origin: &str, as_usual: bool) -> Result<()> {
        let mut room = json!({ "origin": origin });
        if !as_usual {
            room["quotaSize"] = json!(1);
        }
        cdp(driver, "Storage.overrideQuotaForOrigin", room).await
    }

    pub async fn show_as_printed(&self, driver: &WebDriver, printed: bool) -> Result<()> {
        let media = if printed { "print" } else { "" };
        cdp(
            driver,
            "Emulation.setEmulatedMedia",
            json!({ "media": media }),
        )
        .await
    }
}

async fn cdp(driver: &WebDriver, method: &str, parameters: Value) -> Result<()> {
    driver.cdp().send_raw(method, parameters).await?;
    Ok(())
}
