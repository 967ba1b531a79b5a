//! Sizes, quantities, sets and channels, which are reckoned in a worker.

use super::App;
use super::answers::Answers;
use super::dom::Fault;
use super::members::at_name;
use super::order::mistakes;
use super::subjects::quote_path;
use wasm_bindgen::prelude::*;

impl App {
    /// Asks about them, unless the quote that they start from cannot be reckoned.
    pub(super) fn ask_about_prices(&self, input: &JsValue) -> Result<(), Fault> {
        if input.is_object() {
            self.prices.ask(&self.page, input)?;
        } else {
            self.prices.stop();
            self.prices.forget();
            self.prices_errors.borrow_mut().clear();
            Answers::age(&self.page, &[("prices", true)])?;
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
        let channel = self.forms.text("channel");
        let place = |path: &str| match path.split_once('.') {
            Some(("quote", path)) => quote_path(path, &channel),
            Some(("fair", "sales")) => "fair.sales.mean".to_owned(),
            Some(("fair", _)) => path.to_owned(),
            _ if path.starts_with("channels") => format!("book.{path}"),
            _ => format!("prices.{path}"),
        };
        if let Some(errors) = mistakes(said, &place) {
            self.prices_errors.replace(errors);
            Answers::age(&self.page, &[("prices", true)])?;
        }
        self.show_errors(self.moment.get())?;
        self.say_whether_busy()
    }
}
