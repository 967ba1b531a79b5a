//! What JavaScript sees.

use super::plain::{read, write};
use crate::error::{InputError, InputErrors};
use crate::quote::JobQuote;
use crate::{artwork, legibility, material, post, quote, rate_card};
use serde::Serialize;
use serde::de::DeserializeOwned;
use wasm_bindgen::prelude::*;

/// What a thrown error carries besides its message.
#[wasm_bindgen(typescript_custom_section)]
const ERROR_TYPE: &str = r#"
/** One mistake in an input: where it is, what is wrong, what would be right. */
export interface InputError {
    /** What kind of mistake it is; stable. */
    code: "missing" | "not-a-number" | "ambiguous" | "unknown-unit" | "too-small" | "too-large" | "not-whole"
        | "not-a-choice" | "unknown-field" | "wrong-type" | "does-not-fit" | "impossible";
    /** Path into the input, such as `pieces[0].width`. */
    field: string;
    /** What is wrong. */
    message: string;
    /** What would be right. */
    hint: string;
}

/** What every function of this module throws when it cannot use its input. */
export interface ReckonerError extends Error, InputError {
    /** Every mistake of the input; the first one is this error itself. */
    errors: InputError[];
}
"#;

/// What to ask for an order, what the price is made of, and what it leaves.
///
/// # Errors
/// Throws a `ReckonerError` when the input cannot be used.
#[wasm_bindgen(js_name = quote, unchecked_return_type = "QuoteReport")]
pub fn quote_export(
    #[wasm_bindgen(unchecked_param_type = "QuoteInput")] input: &JsValue,
) -> Result<JsValue, JsValue> {
    answer(input, quote::report)
}

/// How many pieces a sheet gives, or how much of a roll a number of pieces takes, and where to cut.
///
/// # Errors
/// Throws a `ReckonerError` when the input cannot be used.
#[wasm_bindgen(js_name = materialYield, unchecked_return_type = "MaterialReport")]
pub fn material_yield(
    #[wasm_bindgen(unchecked_param_type = "MaterialInput")] input: &JsValue,
) -> Result<JsValue, JsValue> {
    answer(input, material::report)
}

/// The sizes of a piece at which one more comes out of the same film, and what the film costs there.
///
/// # Errors
/// Throws a `ReckonerError` when the input cannot be used.
#[wasm_bindgen(js_name = sizeSteps, unchecked_return_type = "SizeStepsReport")]
pub fn size_steps(
    #[wasm_bindgen(unchecked_param_type = "SizeStepsInput")] input: &JsValue,
) -> Result<JsValue, JsValue> {
    answer(input, quote::steps)
}

/// What to ask for other sizes of a piece, for more pieces, for a set, and through other channels.
///
/// # Errors
/// Throws a `ReckonerError` when the input cannot be used.
#[wasm_bindgen(js_name = prices, unchecked_return_type = "PricesReport")]
pub fn prices_export(
    #[wasm_bindgen(unchecked_param_type = "PricesInput")] input: &JsValue,
) -> Result<JsValue, JsValue> {
    answer(input, quote::prices)
}

/// How a whole order is cut from films and remnants, and what its film costs.
///
/// `watch` is called now and then while a thorough search goes on, with the share of it that is done
/// and, where a better layout was found, with the report so far; where it gives `false` the search ends
/// and the best report is given.
///
/// # Errors
/// Throws a `ReckonerError` when the input cannot be used, and whatever `watch` throws.
#[wasm_bindgen(js_name = planJob, unchecked_return_type = "JobQuoteReport")]
pub fn plan_job(
    #[wasm_bindgen(unchecked_param_type = "JobQuoteInput")] input: &JsValue,
    #[wasm_bindgen(
        unchecked_optional_param_type = "(share: number, report?: JobQuoteReport) => boolean | void"
    )]
    watch: Option<js_sys::Function>,
) -> Result<JsValue, JsValue> {
    let quote = read(input).and_then(|input| JobQuote::new(&input));
    let mut quote = quote.map_err(|errors| thrown(&errors))?;
    let mut watcher = Watcher {
        watch,
        goes_on: true,
        thrown: None,
    };
    while watcher.goes_on && !quote.plan.is_done() {
        let share = quote.plan.share_done();
        let better = quote
            .plan
            .search(&mut |_| watcher.ask(share, &JsValue::UNDEFINED));
        let report = if better {
            write(&quote.report())?
        } else {
            JsValue::UNDEFINED
        };
        watcher.ask(quote.plan.share_done(), &report);
    }
    watcher
        .thrown
        .map_or_else(|| Ok(write(&quote.report())?), Err)
}

/// A function of the caller's that hears of a search, and what it said.
struct Watcher {
    watch: Option<js_sys::Function>,
    goes_on: bool,
    thrown: Option<JsValue>,
}

impl Watcher {
    /// Tells it how much is done and what was found; whether the search goes on.
    fn ask(&mut self, share: f64, report: &JsValue) -> bool {
        if let Some(watch) = self.watch.as_ref().filter(|_| self.goes_on) {
            let said = watch.call2(&JsValue::UNDEFINED, &share.into(), report);
            self.goes_on = said.as_ref().is_ok_and(|said| *said != JsValue::FALSE);
            self.thrown = said.err();
        }
        self.goes_on
    }
}

/// What a day at a fair comes to: the sales that pay for it, what is paid in cash, how many to bring.
///
/// # Errors
/// Throws a `ReckonerError` when the input cannot be used.
#[wasm_bindgen(unchecked_return_type = "FairReport")]
pub fn fair(
    #[wasm_bindgen(unchecked_param_type = "FairInput")] input: &JsValue,
) -> Result<JsValue, JsValue> {
    answer(input, quote::fair)
}

/// How long each step of the work takes, by estimate or by a log of what it took.
///
/// # Errors
/// Throws a `ReckonerError` when the input cannot be used.
#[wasm_bindgen(js_name = workTime, unchecked_return_type = "TimeReport")]
pub fn work_time(
    #[wasm_bindgen(unchecked_param_type = "TimeInput")] input: &JsValue,
) -> Result<JsValue, JsValue> {
    answer(input, quote::work_time)
}

/// What a drawing measures and what is wrong with it, at the size in which it is cut.
///
/// # Errors
/// Throws a `ReckonerError` when the input cannot be used.
#[wasm_bindgen(js_name = measureArtwork, unchecked_return_type = "ArtworkReport")]
pub fn measure_artwork(
    #[wasm_bindgen(unchecked_param_type = "ArtworkInput")] input: &JsValue,
) -> Result<JsValue, JsValue> {
    answer(input, artwork::report)
}

/// A drawing with its outlines joined, as a file for the cutter.
///
/// # Errors
/// Throws a `ReckonerError` when the input cannot be used.
#[wasm_bindgen(js_name = cutFile, unchecked_return_type = "CutFileReport")]
pub fn cut_file(
    #[wasm_bindgen(unchecked_param_type = "CutFileInput")] input: &JsValue,
) -> Result<JsValue, JsValue> {
    answer(input, artwork::cut_file)
}

/// How much film copies of a drawing take by their true shape, beside what they take by weeding borders.
///
/// # Errors
/// Throws a `ReckonerError` when the input cannot be used.
#[wasm_bindgen(js_name = trueShapeYield, unchecked_return_type = "TrueShapeReport")]
pub fn true_shape_yield(
    #[wasm_bindgen(unchecked_param_type = "TrueShapeInput")] input: &JsValue,
) -> Result<JsValue, JsValue> {
    answer(input, artwork::true_shape)
}

/// How long a decal takes to cut and to weed by what is measured on its drawing, set right by a log of what
/// earlier ones took.
///
/// # Errors
/// Throws a `ReckonerError` when the input cannot be used.
#[wasm_bindgen(js_name = drawingTime, unchecked_return_type = "DrawingTimeReport")]
pub fn drawing_time(
    #[wasm_bindgen(unchecked_param_type = "DrawingTimeInput")] input: &JsValue,
) -> Result<JsValue, JsValue> {
    answer(input, quote::drawing_time)
}

/// From how far letters can be read, and how high they must be for a distance, by published rules.
///
/// # Errors
/// Throws a `ReckonerError` when the input cannot be used.
#[wasm_bindgen(js_name = legibilityAtDistance, unchecked_return_type = "LegibilityReport")]
pub fn legibility_at_distance(
    #[wasm_bindgen(unchecked_param_type = "LegibilityInput")] input: &JsValue,
) -> Result<JsValue, JsValue> {
    answer(input, legibility::report)
}

/// For how long lettering in motion can be read, against how long its words take.
///
/// # Errors
/// Throws a `ReckonerError` when the input cannot be used.
#[wasm_bindgen(js_name = movingViewer, unchecked_return_type = "MovingReport")]
pub fn moving_viewer(
    #[wasm_bindgen(unchecked_param_type = "MovingInput")] input: &JsValue,
) -> Result<JsValue, JsValue> {
    answer(input, legibility::moving::report)
}

/// From how many pieces on a larger pack costs less, the cheapest packs for a need, and which to buy.
///
/// # Errors
/// Throws a `ReckonerError` when the input cannot be used.
#[wasm_bindgen(js_name = supplyPacks, unchecked_return_type = "PacksReport")]
pub fn supply_packs(
    #[wasm_bindgen(unchecked_param_type = "PacksInput")] input: &JsValue,
) -> Result<JsValue, JsValue> {
    answer(input, quote::packs)
}

/// What a planned number of orders takes of each supply, and what to buy.
///
/// # Errors
/// Throws a `ReckonerError` when the input cannot be used.
#[wasm_bindgen(js_name = supplyList, unchecked_return_type = "SupplyListReport")]
pub fn supply_list(
    #[wasm_bindgen(unchecked_param_type = "SupplyListInput")] input: &JsValue,
) -> Result<JsValue, JsValue> {
    answer(input, quote::list)
}

/// After how many sales machine and first stock are paid back.
///
/// # Errors
/// Throws a `ReckonerError` when the input cannot be used.
#[wasm_bindgen(js_name = payback, unchecked_return_type = "PaybackReport")]
pub fn payback_export(
    #[wasm_bindgen(unchecked_param_type = "PaybackInput")] input: &JsValue,
) -> Result<JsValue, JsValue> {
    answer(input, quote::payback)
}

/// What a packed piece is for the post, why it is nothing cheaper, and what that costs by the maker's own
/// entries.
///
/// # Errors
/// Throws a `ReckonerError` when the input cannot be used.
#[wasm_bindgen(unchecked_return_type = "PostReport")]
pub fn postage(
    #[wasm_bindgen(unchecked_param_type = "PostInput")] input: &JsValue,
) -> Result<JsValue, JsValue> {
    answer(input, post::report)
}

/// How large a decal seen from afar looks on something at arm's length, and how blurred to the reader's
/// eyes.
///
/// # Errors
/// Throws a `ReckonerError` when the input cannot be used.
#[wasm_bindgen(js_name = atArmsLength, unchecked_return_type = "SightReport")]
pub fn at_arms_length(
    #[wasm_bindgen(unchecked_param_type = "SightInput")] input: &JsValue,
) -> Result<JsValue, JsValue> {
    answer(input, legibility::screen::sight)
}

/// Whether lettering has the size that the law sets for what it is on, point by point.
///
/// # Errors
/// Throws a `ReckonerError` when the input cannot be used.
#[wasm_bindgen(js_name = sizeByLaw, unchecked_return_type = "LawReport")]
pub fn size_by_law(
    #[wasm_bindgen(unchecked_param_type = "LawInput")] input: &JsValue,
) -> Result<JsValue, JsValue> {
    answer(input, legibility::law)
}

/// Which designs may be sold by their licences, and whether the order in hand may be.
///
/// # Errors
/// Throws a `ReckonerError` when the input cannot be used.
#[wasm_bindgen(js_name = licences, unchecked_return_type = "LicencesReport")]
pub fn licences_export(
    #[wasm_bindgen(unchecked_param_type = "LicencesInput")] input: &JsValue,
) -> Result<JsValue, JsValue> {
    answer(input, quote::licences)
}

/// Makes a rate card from the figures of a shop: every price that customers are told, and not one cost.
///
/// # Errors
/// Throws a `ReckonerError` when the input cannot be used.
#[wasm_bindgen(js_name = rateCard, unchecked_return_type = "RateCard")]
pub fn rate_card_export(
    #[wasm_bindgen(unchecked_param_type = "RateCardInput")] input: &JsValue,
) -> Result<JsValue, JsValue> {
    answer(input, quote::rate_card)
}

/// Checks a rate card as a whole, and says what a page needs to know of it before anything is asked.
///
/// # Errors
/// Throws a `ReckonerError` when the input cannot be used.
#[wasm_bindgen(js_name = checkRateCard, unchecked_return_type = "CardReport")]
pub fn check_rate_card(
    #[wasm_bindgen(unchecked_param_type = "RateCard")] input: &JsValue,
) -> Result<JsValue, JsValue> {
    answer(input, rate_card::check)
}

/// What a customer is told of a rate card: the price of so many of such a size, and from how far it reads.
///
/// # Errors
/// Throws a `ReckonerError` when the input cannot be used.
#[wasm_bindgen(js_name = askRateCard, unchecked_return_type = "CardAnswer")]
pub fn ask_rate_card(
    #[wasm_bindgen(unchecked_param_type = "CardQuestion")] input: &JsValue,
) -> Result<JsValue, JsValue> {
    answer(input, rate_card::ask)
}

/// A question to a rate card as a link that says it again, behind the `#` of an address.
///
/// # Errors
/// Throws a `ReckonerError` when the input cannot be used.
#[wasm_bindgen(js_name = quoteLink, unchecked_return_type = "QuoteLink")]
pub fn quote_link(
    #[wasm_bindgen(unchecked_param_type = "CardQuestion")] input: &JsValue,
) -> Result<JsValue, JsValue> {
    answer(input, rate_card::quote_link)
}

/// What such a link says. It is nobody's word: ask the card again.
///
/// # Errors
/// Throws a `ReckonerError` when the input cannot be used.
#[wasm_bindgen(js_name = readQuoteLink, unchecked_return_type = "CardLink")]
pub fn read_quote_link(
    #[wasm_bindgen(unchecked_param_type = "QuoteLink")] input: &JsValue,
) -> Result<JsValue, JsValue> {
    answer(input, rate_card::read_quote_link)
}

fn answer<I: DeserializeOwned, R: Serialize>(
    input: &JsValue,
    reckon: impl FnOnce(&I) -> Result<R, InputErrors>,
) -> Result<JsValue, JsValue> {
    let report = read(input).and_then(|input| reckon(&input));
    report
        .map_err(|errors| thrown(&errors))
        .and_then(|report| Ok(write(&report)?))
}

fn thrown(errors: &InputErrors) -> JsValue {
    let first = errors.first();
    let error = js_sys::Error::new(&first.message);
    error.set_name("ReckonerError");
    let all: Vec<&InputError> = errors.iter().collect();
    let members = [
        ("code", write(&first.code)),
        ("field", Ok(first.field.as_str().into())),
        ("hint", Ok(first.hint.as_ref().into())),
        ("errors", write(&all)),
    ];
    for (name, value) in members {
        // Setting a member of a fresh Error object cannot fail.
        let Ok(value) = value;
        let _ = js_sys::Reflect::set(&error, &name.into(), &value);
    }
    error.into()
}
