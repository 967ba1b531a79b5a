//! True sizes on this screen: fits it to a bank card or a ruler, and lets everything follow.
//!
//! What has its true size stands inside of elements of the class `true`, for which one em is a centimetre.
//! How large the screen's pixels are is kept for each screen by its size in pixels. Most browsers tell
//! that size whatever the zoom, some in pixels of the zoom, so that it is kept under both.

use super::dom::{Fault, Page};
use super::members::{at, at_name, put_at_name, text_at};
use super::{App, Moment};
use crate::legibility::screen::{CARD, ScreenScale};
use crate::measure::{Length, Unit, decimals_with_point};
use web_sys::HtmlElement;

/// The fields.
const OUTLINE: &str = "screen.card";
const LINE: &str = "screen.line";
const SCALE: &str = "sight.scale";
/// What the start script measured of the letters, in its order.
const LETTERS: [&str; 3] = ["sight.capHeight", "sight.stem", "sight.scriptCapHeight"];

/// What says that the scale is a guess.
const GUESS: &str = "sight-guess";

/// A number that the window tells; 1 where it does not.
fn told(page: &Page, path: &str) -> f64 {
    at(page.window(), path).as_f64().unwrap_or(1.0)
}

/// How many pixels of the screen a CSS pixel has.
fn ratio(page: &Page) -> f64 {
    told(page, "devicePixelRatio")
}

/// The number that a text of our own says. The browser reads it: a reader of the standard library's would
/// take 15 KB.
fn number(text: &str) -> f64 {
    js_sys::Number::parse_float(text)
}

/// The names under which the scale of the screen is kept.
fn names(page: &Page) -> [String; 2] {
    let [wide, high] = ["screen.width", "screen.height"].map(|path| told(page, path));
    let name = |times: f64| {
        // What a zoom has rounded is the same again in tens.
        let [wide, high] = [wide, high].map(|side| decimals_with_point(side * times / 10.0, 0));
        format!("screen-{wide}x{high}")
    };
    [name(1.0), name(ratio(page))]
}

impl App {
    /// Gives everything its true size on the screen that the page is on now; whether its pixels are others
    /// than before.
    pub(super) fn fit_screen(&self) -> Result<bool, Fault> {
        let page = &self.page;
        let enlarged = told(page, "visualViewport.scale");
        page.show("sight-pinched", enlarged > 1.01)?;
        let ratio = ratio(page);
        let before = self.forms.text(SCALE);
        let store = self.store.borrow();
        let [one, other] = names(page);
        let mut kept = store.scale(&one).or_else(|| store.scale(&other));
        if !store.works() && page.element::<HtmlElement>(GUESS)?.hidden() {
            // The browser keeps nothing: what was measured holds until the page is closed.
            kept = Some(before.clone());
        }
        let kept = kept.and_then(|scale| ScreenScale::of(number(&scale)));
        page.show(GUESS, kept.is_none())?;
        let scale = kept.unwrap_or_else(|| ScreenScale::guess(ratio));
        let css = |length| decimals_with_point(scale.css(length, ratio), 3);
        let size = css(Length::whole(1, Unit::Cm)) + "px";
        for place in page.all(".true") {
            let style = at_name(&place, "style");
            if text_at(&style, "fontSize").as_ref() != Some(&size) {
                put_at_name(&style, "fontSize", &size.as_str().into());
                // What was measured holds no longer.
                self.forms.set(LINE, "");
            }
        }
        self.forms.set(OUTLINE, &css(CARD));
        let scale = decimals_with_point(scale.per_mm(), 6);
        self.forms.set(SCALE, &scale);
        let sight: HtmlElement = page.element("sight")?;
        let letters = sight.get_attribute("data-letters").unwrap_or_default();
        for (field, side) in LETTERS.iter().zip(letters.split(',')) {
            self.forms.set(field, side);
        }
        Ok(scale != before)
    }

    /// After the window has become another one: reckons anew where it is on another screen.
    pub(super) fn resized(&self) -> Result<(), Fault> {
        if self.fit_screen()? {
            self.answer(self.moment.get())?;
        }
        Ok(())
    }

    /// Fits the screen to the card or to the line, of which field it is.
    pub(super) fn fit_to(&self, field: &str, moment: Moment) -> Result<(), Fault> {
        if field == LINE && moment == Moment::Typing {
            return Ok(());
        }
        let (text, ratio) = (self.forms.text(field), ratio(&self.page));
        let mut mistakes = self.rooms_errors.borrow_mut();
        mistakes.retain(|(of, _)| of != LINE);
        if text.trim().is_empty() {
            return Ok(());
        }
        let scale = if field == LINE {
            let line: HtmlElement = self.page.element("screen-line")?;
            Length::parse(&text, self.unit.get())
                .and_then(|length| ScreenScale::measured(line.offset_width().into(), ratio, length))
        } else {
            ScreenScale::measured(number(&text), ratio, CARD)
        };
        match scale {
            Ok(scale) => {
                let scale = decimals_with_point(scale.per_mm(), 6);
                for name in &names(&self.page) {
                    self.store.borrow_mut().keep_scale(name, &scale);
                }
                self.forms.set(SCALE, &scale);
                self.page.show(GUESS, false)?;
                self.fit_screen()?;
                if field == LINE {
                    self.forms.set(LINE, &text);
                }
            }
            Err(error) => mistakes.push((LINE.to_owned(), error.at(LINE))),
        }
        Ok(())
    }

    /// Makes the outline of the card a step longer or shorter, in CSS pixels.
    pub(super) fn step_outline(&self, step: f64) -> Result<(), Fault> {
        let long = number(&self.forms.text(OUTLINE));
        self.forms
            .set(OUTLINE, &decimals_with_point(long + step, 1));
        self.fit_to(OUTLINE, Moment::Settled)?;
        self.settled()
    }
}
