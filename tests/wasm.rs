//! The exports as JavaScript sees them, in a browser.
#![cfg(target_arch = "wasm32")]

use js_sys::{Array, JSON, Reflect};
use wasm_bindgen::prelude::*;
use wasm_bindgen_test::{wasm_bindgen_test, wasm_bindgen_test_configure};

wasm_bindgen_test_configure!(run_in_browser);

use decal_reckoner::api::{
    drawing_time, legibility_at_distance, material_yield, plan_job, quote_export, size_steps,
};
use decal_reckoner::error::InputErrors;
use decal_reckoner::{legibility, material, quote};
use serde::Serialize;
use serde::de::DeserializeOwned;
use serde_json::Value;

fn object(json: &str) -> JsValue {
    JSON::parse(json).unwrap()
}

/// The member at a path of names.
fn member(of: &JsValue, path: &[&str]) -> JsValue {
    path.iter().fold(of.clone(), |of, name| {
        Reflect::get(&of, &(*name).into()).unwrap()
    })
}

fn text(of: &JsValue, path: &[&str]) -> String {
    member(of, path).as_string().unwrap()
}

const LAYOUT: &str = r#"{"sheet":{"width":"12","length":"24"},"margin":"1/4","gap":"1/8","pieces":[{"width":9,"height":3}]}"#;

#[wasm_bindgen_test]
fn a_sheet_is_laid_out() {
    let report = material_yield(&object(LAYOUT)).unwrap();
    assert_eq!(member(&report, &["count"]).as_f64(), Some(7.0));
    assert_eq!(member(&report, &["proven"]), JsValue::TRUE);
    let placements = Array::from(&member(&report, &["sheets", "0", "placements"]));
    assert_eq!(placements.length(), 7);
    // Plain objects and numbers all the way down.
    for placement in placements.iter() {
        for name in ["x", "y", "width", "height"] {
            assert!(member(&placement, &[name]).as_f64().is_some(), "{name}");
        }
    }
}

/// 30 ft of distance for each inch of letter height (MUTCD 2009, section 2A.13; from memory).
#[wasm_bindgen_test]
fn letters_are_read_from_afar() {
    let input =
        object(r#"{"decal":{"width":"9","height":"3","letterHeight":"1 1/2"},"distance":"60 ft"}"#);
    let report = legibility_at_distance(&input).unwrap();
    assert_eq!(text(&report, &["rules", "0", "distance", "text"]), "45 ft");
    assert_eq!(
        member(&report, &["rules", "0", "distance", "value"]).as_f64(),
        Some(540.0)
    );
    assert_eq!(
        text(&report, &["rules", "0", "letterHeight", "text"]),
        "2 in"
    );
}

#[wasm_bindgen_test]
fn money_goes_in_and_comes_out_as_text() {
    let input = object(&format!(
        r#"{{"currency":"USD","material":{LAYOUT},"supplies":[{{"each":"12345678901.23"}}]}}"#
    ));
    let thrown = quote_export(&input).unwrap_err();
    assert_eq!(text(&thrown, &["field"]), "supplies[0].each");
    let input = object(&format!(
        r#"{{"currency":"USD","material":{LAYOUT},"overhead":"1.10","licence":"2.20"}}"#
    ));
    // As binary fractions 1.1 and 2.2 add up to a little more than 3.3.
    assert_eq!(
        text(&quote_export(&input).unwrap(), &["asked", "price"]),
        "3.30"
    );
}

/// Squares of 4 in stand 3 by 6 on 12 by 24 in, those of 3 3/8 in 3 by 7: 3.60 over 18 and over 21.
#[wasm_bindgen_test]
fn sizes_go_in_steps() {
    let material = r#"{"sheet":{"width":12,"length":24},"pieces":[{"width":4,"height":4}]}"#;
    let input = |film: &str| {
        object(&format!(
            r#"{{"currency":"USD","material":{material},"film":{film}}}"#
        ))
    };
    let report = size_steps(&input(r#"{"price":"3.60"}"#)).unwrap();
    let steps = Array::from(&member(&report, &["steps"])).to_vec();
    let [.., more, now, _, _, _] = &steps[..] else {
        panic!("{steps:?}")
    };
    assert_eq!(member(now, &["present"]), JsValue::TRUE);
    assert_eq!(member(now, &["count"]).as_f64(), Some(18.0));
    assert_eq!(text(now, &["filmCost"]), "0.20");
    assert_eq!(member(more, &["count"]).as_f64(), Some(21.0));
    assert_eq!(text(more, &["width", "text"]), "3 3/8 in");
    assert_eq!(text(more, &["filmCost"]), "0.17");
    let report = size_steps(&input("{}")).unwrap();
    let cost = member(&report, &["steps", "0", "filmCost"]);
    assert_eq!(cost, JsValue::UNDEFINED);
}

/// An order for which a search does not end at once.
const ORDER: &str = r#"{"currency":"USD","job":{"effort":"thorough","gap":"1/8","films":[{"name":"white","width":24}],
    "list":"a, 7, 5, 5\nb, 11, 3, 6\nc, 4 1/2, 2 3/4, 9\nd, 13, 6, 3\ne, 5 1/4, 3 3/8, 7"},"prices":[{"price":"46.00","length":"30"}]}"#;

#[wasm_bindgen_test]
fn a_search_tells_how_far_it_is_and_ends_when_it_is_told_to() {
    // What is told: how often, the last share, whether any share was less than the one before it, and
    // the shortest length of roll so far.
    let watcher = js_sys::Function::new_no_args(
        "const told = { times: 0, share: 0, back: false, length: Infinity };
         const watch = (share, report) => {
           told.times += 1;
           told.back ||= share < told.share;
           told.share = share;
           if (report) told.length = Math.min(told.length, report.job.films[0].length.value);
           return told.stop !== true;
         };
         return [told, watch];",
    );
    let planned = |stop: bool| {
        let pair = Array::from(&watcher.call0(&JsValue::NULL).unwrap());
        let told = pair.get(0);
        Reflect::set(&told, &"stop".into(), &stop.into()).unwrap();
        let watch: js_sys::Function = pair.get(1).unchecked_into();
        let report = plan_job(&object(ORDER), Some(watch)).unwrap();
        let length = member(&report, &["job", "films", "0", "length", "value"]);
        (told, length.as_f64().unwrap())
    };
    let number = |told: &JsValue, name: &str| member(told, &[name]).as_f64().unwrap();

    let (told, length) = planned(false);
    assert!(number(&told, "times") > 1.0);
    assert_eq!(member(&told, &["share"]), JsValue::from(1));
    assert_eq!(member(&told, &["back"]), JsValue::FALSE);
    // The answer is the best that was told, if any was.
    assert!(length <= number(&told, "length"));
    let without = plan_job(&object(ORDER), None).unwrap();
    let all = member(&without, &["job", "films", "0", "length", "value"]);
    assert_eq!(all.as_f64(), Some(length));

    let (told, first) = planned(true);
    assert_eq!(member(&told, &["times"]), JsValue::from(1));
    assert!(first >= length);
    let pieces = member(&without, &["job", "pieces"]).as_f64();
    assert_eq!(pieces, Some(30.0));

    let refusal = js_sys::Function::new_no_args("throw new RangeError('enough')");
    let thrown = plan_job(&object(ORDER), Some(refusal)).unwrap_err();
    assert_eq!(text(&thrown, &["message"]), "enough");
}

/// What `serde_json` writes of a value, without the members that are absent: JSON has none of those that
/// are `undefined`.
fn in_json<T: Serialize>(value: &T) -> Value {
    fn without_absent(value: Value) -> Value {
        match value {
            Value::Array(items) => items.into_iter().map(without_absent).collect(),
            Value::Object(members) => members
                .into_iter()
                .filter(|(_, value)| !value.is_null())
                .map(|(name, value)| (name, without_absent(value)))
                .collect(),
            // JavaScript has one kind of number.
            Value::Number(number) => number.as_f64().unwrap().into(),
            other => other,
        }
    }
    without_absent(serde_json::to_value(value).unwrap())
}

/// What JavaScript's own JSON makes of an object.
fn stringified(value: &JsValue) -> Value {
    let text = JSON::stringify(value).unwrap().as_string().unwrap();
    in_json(&serde_json::from_str::<Value>(&text).unwrap())
}

/// Reckons with an input, and writes what comes of it to JSON in another way.
fn reckoned<I: DeserializeOwned, R: Serialize>(
    input: &str,
    reckon: impl FnOnce(&I) -> Result<R, InputErrors>,
) -> Value {
    let input: I = serde_json::from_str(input).unwrap();
    match reckon(&input) {
        Ok(report) => in_json(&report),
        Err(errors) => in_json(&errors.iter().collect::<Vec<_>>()),
    }
}

#[wasm_bindgen_test]
fn objects_say_what_json_says() {
    let layout = r#"{"sheet":{"width":"12","length":"24"},"margin":"1/4","pieces":[{"width":"9","height":"3"}]}"#;
    let report = material_yield(&object(layout)).unwrap();
    assert_eq!(
        stringified(&report),
        reckoned(layout, material::report),
        "a layout"
    );
    let wrong = r#"{"sheet":{"width":"a","length":"-4"},"pieces":[{"width":"9","height":"3","quantity":"2x"}]}"#;
    let thrown = material_yield(&object(wrong)).unwrap_err();
    assert_eq!(
        stringified(&member(&thrown, &["errors"])),
        reckoned(wrong, material::report),
        "mistakes"
    );
    let decal = r#"{"decal":{"width":"9","height":"3","letterHeight":"1 1/2"},"distance":"60 ft"}"#;
    let report = legibility_at_distance(&object(decal)).unwrap();
    assert_eq!(
        stringified(&report),
        reckoned(decal, legibility::report),
        "distances"
    );
    let order = format!(
        r#"{{"currency":"USD","material":{layout},"film":{{"price":"3.60"}},"supplies":[{{"each":"1.10","per":"posted"}},{{"each":"2.20"}}],"channel":{{"fees":[{{"item":"6.5","most":"9"}}],"tax":{{"kind":"included","percent":"20"}}}}}}"#
    );
    let report = quote_export(&object(&order)).unwrap();
    assert_eq!(
        stringified(&report),
        reckoned(&order, quote::report),
        "a price"
    );
    // Steps have the members of a struct among their own, and costs that are absent without a price.
    for film in [r#"{"price":"3.60"}"#, "{}"] {
        let sizes = format!(r#"{{"currency":"USD","material":{layout},"film":{film}}}"#);
        let report = size_steps(&object(&sizes)).unwrap();
        assert_eq!(
            stringified(&report),
            reckoned(&sizes, quote::steps),
            "sizes"
        );
    }
    let drawing = r#"{"unit":"mm","log":"weed, 2, 9:30, 1.2 m, 20 pieces, 6 islands\ncut, 1, 0:40, 95 in",
        "measures":{"cutLength":"2.41 m","outlines":50,"pieces":"38","islands":12},"machine":{"speed":"80 mm/s"}}"#;
    let report = drawing_time(&object(drawing)).unwrap();
    assert_eq!(
        stringified(&report),
        reckoned(drawing, quote::drawing_time),
        "the time of a drawing"
    );
    let job = r#"{"currency":"USD","job":{"gap":"1/8","films":[{"name":"white","width":"24"},{"name":"grey","width":"12","length":"24"}],
        "list":"a, 7, 5, 5, white\nb, 11, 3, 6, grey"},"prices":[{"price":"46.00","length":"30"}]}"#;
    let report = plan_job(&object(job), None).unwrap();
    let whole = |input: &quote::JobQuoteInput| Ok(quote::JobQuote::new(input)?.report());
    assert_eq!(stringified(&report), reckoned(job, whole), "an order");
}

#[wasm_bindgen_test]
fn a_mistake_is_thrown_as_an_error_with_its_place() {
    let input = object(
        r#"{"sheet":{"width":"12 inces","length":24},"margin":"-1","pieces":[{"width":"9","height":"3","quantity":"2x"}]}"#,
    );
    let thrown = material_yield(&input).unwrap_err();
    assert!(thrown.is_instance_of::<js_sys::Error>());
    assert_eq!(text(&thrown, &["code"]), "unknown-unit");
    assert_eq!(text(&thrown, &["field"]), "sheet.width");
    assert!(!text(&thrown, &["message"]).is_empty() && !text(&thrown, &["hint"]).is_empty());
    let fields: Vec<String> = Array::from(&member(&thrown, &["errors"]))
        .iter()
        .map(|error| text(&error, &["field"]))
        .collect();
    assert_eq!(fields, ["sheet.width", "margin", "pieces[0].quantity"]);
}

#[wasm_bindgen_test]
fn what_is_no_plain_object_is_refused() {
    let cycle = js_sys::Object::new();
    Reflect::set(&cycle, &"self".into(), &cycle).unwrap();
    for input in [
        JsValue::UNDEFINED,
        JsValue::NULL,
        7.into(),
        "text".into(),
        Array::new().into(),
        js_sys::Date::new_0().into(),
        JsValue::bigint_from_str("7"),
    ] {
        let thrown = quote_export(&input).unwrap_err();
        assert_eq!(text(&thrown, &["code"]), "wrong-type", "{input:?}");
    }
    // A cycle can only close in a field that no input has, or where a length is asked for.
    let thrown = quote_export(&cycle).unwrap_err();
    assert_eq!(text(&thrown, &["code"]), "unknown-field");
    assert_eq!(text(&thrown, &["field"]), "self");
}

/// The code and the field of what is thrown for the layout with `value` as its margin.
fn margin(value: &JsValue) -> Result<(), (String, String)> {
    let input = object(LAYOUT);
    Reflect::set(&input, &"margin".into(), value).unwrap();
    let thrown = material_yield(&input).err();
    thrown.map_or(Ok(()), |thrown| {
        Err((text(&thrown, &["code"]), text(&thrown, &["field"])))
    })
}

#[wasm_bindgen_test]
fn what_json_cannot_say_is_refused_where_it_stands() {
    let cycle = js_sys::Object::new();
    Reflect::set(&cycle, &"width".into(), &cycle).unwrap();
    let make = js_sys::Function::new_no_args("return new Proxy({}, { ownKeys() { throw 1 } })");
    let unreadable = make.call0(&JsValue::NULL).unwrap();
    for (value, code) in [
        (f64::NAN.into(), "not-a-number"),
        (f64::INFINITY.into(), "too-large"),
        (js_sys::Date::new_0().into(), "wrong-type"),
        (js_sys::Function::new_no_args("").into(), "wrong-type"),
        (js_sys::Symbol::iterator().into(), "wrong-type"),
        (JsValue::bigint_from_str("7"), "wrong-type"),
        (js_sys::Map::new().into(), "wrong-type"),
        (cycle.clone().into(), "wrong-type"),
        (unreadable.clone(), "wrong-type"),
    ] {
        let refused = margin(&value).unwrap_err();
        assert_eq!(refused, (code.into(), "margin".into()), "{value:?}");
    }
    // What is absent is absent, also where a name is kept for it.
    assert_eq!(margin(&JsValue::UNDEFINED), Ok(()));
    assert_eq!(margin(&JsValue::NULL), Ok(()));
    let input = object(LAYOUT);
    Reflect::set(&input, &"unheardOf".into(), &JsValue::UNDEFINED).unwrap();
    assert!(material_yield(&input).is_ok());

    for (sheet, field) in [(cycle.into(), "sheet.width"), (unreadable, "sheet")] {
        let input = object(LAYOUT);
        Reflect::set(&input, &"sheet".into(), &sheet).unwrap();
        let thrown = material_yield(&input).unwrap_err();
        assert_eq!(text(&thrown, &["code"]), "wrong-type");
        assert_eq!(text(&thrown, &["field"]), field);
    }
    // A list of a length that somebody made up ends in a mistake, soon.
    for (pieces, field) in [
        (Array::new_with_length(u32::MAX), "pieces"),
        (Array::new_with_length(3), "pieces[0]"),
    ] {
        let input = object(LAYOUT);
        Reflect::set(&input, &"pieces".into(), &pieces).unwrap();
        let thrown = material_yield(&input).unwrap_err();
        assert_eq!(text(&thrown, &["code"]), "wrong-type");
        assert_eq!(text(&thrown, &["field"]), field);
    }
}

#[wasm_bindgen_test]
fn an_object_is_read_by_the_members_that_it_shows() {
    // Hidden members, such as those that a framework watches objects with, are no fields.
    let make = js_sys::Function::new_with_args(
        "layout",
        "class Order {}
         const order = Object.assign(new Order(), layout);
         Object.defineProperty(order, 'watcher', { value: 1, enumerable: false });
         order[Symbol.iterator] = 2;
         return order;",
    );
    let input = make.call1(&JsValue::NULL, &object(LAYOUT)).unwrap();
    let report = material_yield(&input).unwrap();
    assert_eq!(member(&report, &["count"]).as_f64(), Some(7.0));
}

#[wasm_bindgen_test]
fn unknown_fields_are_refused_with_their_path() {
    let input = object(r#"{"sheet":{"width":"12","lenght":"24"},"pieces":[]}"#);
    let thrown = material_yield(&input).unwrap_err();
    assert_eq!(text(&thrown, &["code"]), "unknown-field");
    assert_eq!(text(&thrown, &["field"]), "sheet.lenght");
}
