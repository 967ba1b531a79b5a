//! Sizes, quantities, sets and channels, which are reckoned in a worker.

use super::App;
use super::answers::Answers;
use super::dom::Fault;
use super::members::{at_name, put_at_name};
use super::order::mistakes;
use super::subjects::quote_path;
use wasm_bindgen::prelude::*;

impl App {
    /// Asks about them, for the rate card and for what stands on papers, unless the quote that they start from cannot be reckoned.
    pub(super) fn ask_about_prices(&self, prices: &JsValue, card: &JsValue) -> Result<(), Fault> {
        if let Some(outline) = self.outline()?.get_attribute("d") {
            put_at_name(card, "outline", &outline.into());
        }
        for (task, input, name) in [
            (&self.prices, prices, "prices"),
            (&self.card, card, "rateCard"),
            (&self.papers, card, "papers"),
        ] {
            if input.is_object() {
                if task.ask(&self.page, input)? {
                    Answers::wait(&self.page, name)?;
                }
            } else {
                task.stop();
                task.forget();
                Answers::age(&self.page, &[(name, true)])?;
            }
        }
        if !prices.is_object() {
            self.prices_errors.borrow_mut().clear();
            self.keep_errors("rateCard", Vec::new());
        }
        Ok(())
    }

    /// Hears what the worker tells of them.
    pub(super) fn heard_of_prices(&self, said: &JsValue) -> Result<(), Fault> {
        let told = |name: &str| Some(at_name(said, name)).filter(JsValue::is_truthy);
        if let Some(report) = told("report") {
            self.prices_errors.borrow_mut().clear();
            self.answers.report(&self.page, "prices", &report)?;
            Answers::age(&self.page, &[("prices", false)])?;
        }
        if let Some(errors) = mistakes(said, &|path| self.prices_path(path)) {
            self.prices_errors.replace(errors);
            Answers::age(&self.page, &[("prices", true)])?;
        }
        self.show_errors(self.moment.get())?;
        self.say_whether_busy()
    }

    /// Where a mistake in the question about them lies.
    fn prices_path(&self, path: &str) -> String {
        match path.split_once('.') {
            Some(("quote", path)) => quote_path(path, &self.forms.text("channel")),
            Some(("fair", "sales")) => "fair.sales.mean".to_owned(),
            Some(("fair", _)) => path.to_owned(),
            _ if path.starts_with("channels") => format!("book.{path}"),
            _ => format!("prices.{path}"),
        }
    }

    /// Hears what a worker tells of the rate card.
    pub(super) fn heard_of_card(&self, said: &JsValue) -> Result<(), Fault> {
        let report = at_name(said, "report");
        let place = |path: &str| {
            let prices = path.strip_prefix("prices.");
            prices.map_or_else(|| path.to_owned(), |path| self.prices_path(path))
        };
        let errors = mistakes(said, &place);
        if report.is_truthy() {
            self.answers.report(&self.page, "rateCard", &report)?;
        } else if errors.is_none() {
            // Only that the worker is done.
            return Ok(());
        }
        Answers::age(&self.page, &[("rateCard", errors.is_some())])?;
        self.keep_errors("rateCard", errors.unwrap_or_default());
        self.show_errors(self.moment.get())
    }
}
