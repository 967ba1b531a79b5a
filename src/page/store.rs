//! What was typed, kept on the device.

use super::dom::Page;
use super::members::{at_name, put_at_name};
use js_sys::{Array, JSON, Object};
use wasm_bindgen::prelude::*;
use web_sys::Storage;

/// Where the fields are kept, and where those are that "Start over" put aside.
const FIELDS: &str = "decal-reckoner:fields";
const BEFORE: &str = "decal-reckoner:before-start-over";

/// Of the layout of what is kept; a later program can tell it from its own.
const VERSION: u32 = 1;

/// What is kept: an object with the layout's version, what is `typed` by the names of the fields, and
/// the names of those that hold the maker's `own` figures rather than invented ones.
#[derive(Default)]
struct Kept {
    typed: JsValue,
    own: Vec<String>,
}

impl Kept {
    fn from_json(json: &str) -> Option<Self> {
        let kept = JSON::parse(json).ok()?;
        let own = at_name(&kept, "own");
        // Whatever else stands there, by another hand or another program, is no list to be read.
        let own = if Array::is_array(&own) {
            Array::from(&own)
        } else {
            Array::new()
        };
        Some(Self {
            typed: at_name(&kept, "typed"),
            own: own.iter().filter_map(|name| name.as_string()).collect(),
        })
    }

    fn to_json(&self) -> Option<String> {
        let kept = Object::new();
        put_at_name(&kept, "version", &VERSION.into());
        put_at_name(&kept, "typed", &self.typed);
        let own: Array = self.own.iter().map(JsValue::from).collect();
        put_at_name(&kept, "own", &own);
        JSON::stringify(&kept).ok()?.as_string()
    }
}

/// The browser's store, and a copy of what is in it: the page works on where storing is refused.
pub(super) struct Store {
    storage: Option<Storage>,
    kept: Kept,
    before: Option<Kept>,
    works: bool,
}

impl Store {
    pub(super) fn open(page: &Page) -> Self {
        let storage = page.window().local_storage().ok().flatten();
        let read = |key: &str| {
            let text = storage.as_ref()?.get_item(key).ok()??;
            Kept::from_json(&text)
        };
        let (kept, before) = (read(FIELDS), read(BEFORE));
        Self {
            works: storage.is_some(),
            kept: kept.unwrap_or_default(),
            before,
            storage,
        }
    }

    /// Takes over what another tab has kept, if `key` is of this page.
    pub(super) fn follow(&mut self, page: &Page, key: Option<&str>) -> bool {
        let ours = key.is_some_and(|key| [FIELDS, BEFORE].contains(&key));
        if ours {
            *self = Self::open(page);
        }
        ours
    }

    /// Whether the browser keeps what is typed.
    pub(super) const fn works(&self) -> bool {
        self.works
    }

    pub(super) const fn typed(&self) -> &JsValue {
        &self.kept.typed
    }

    /// The fields that no longer hold an invented figure.
    pub(super) fn own(&self) -> &[String] {
        &self.kept.own
    }

    pub(super) fn keep(&mut self, typed: Object) {
        self.kept.typed = typed.into();
        self.write();
    }

    /// Notes that the field holds a figure of the maker's own.
    pub(super) fn now_own(&mut self, name: String) {
        if !self.kept.own.contains(&name) {
            self.kept.own.push(name);
        }
    }

    pub(super) fn all_own(&mut self, names: Vec<String>) {
        self.kept.own = names;
    }

    pub(super) const fn can_undo(&self) -> bool {
        self.before.is_some()
    }

    /// Puts everything aside, to start over.
    pub(super) fn set_aside(&mut self, typed: Object) {
        self.kept.typed = typed.into();
        self.before = Some(std::mem::take(&mut self.kept));
        self.write();
    }

    /// Brings back what was put aside.
    pub(super) fn bring_back(&mut self) {
        if let Some(before) = self.before.take() {
            self.kept = before;
        }
        self.write();
    }

    /// Lets go of what was put aside.
    pub(super) fn forget_undo(&mut self) {
        self.before = None;
        self.write();
    }

    fn write(&mut self) {
        self.works = self.storage.as_ref().is_some_and(|storage| {
            put(storage, FIELDS, Some(&self.kept)) && put(storage, BEFORE, self.before.as_ref())
        });
    }
}

/// Writes or removes one item; whether that went well. A full store keeps its old text.
fn put(storage: &Storage, key: &str, kept: Option<&Kept>) -> bool {
    let Some(kept) = kept else {
        return storage.remove_item(key).is_ok();
    };
    kept.to_json()
        .is_some_and(|json| storage.set_item(key, &json).is_ok())
}
