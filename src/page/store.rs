//! What was typed, kept on the device.

use super::dom::Page;
use super::members::{at_name, figures_of, object_of, put_at_name, text_at};
use crate::book;
use js_sys::{Array, JSON, Object};
use wasm_bindgen::prelude::*;
use web_sys::Storage;

/// Where the fields are kept, and where those are that "Start over" put aside. The folder of the site
/// comes before, for sites in other folders of the same host share the store.
const FIELDS: &str = "fields";
const BEFORE: &str = "before-start-over";

/// Where a text is put that stood in their place and cannot be read.
const UNREAD: &str = "unread";

/// Of the layout of what is kept and of the names of the fields; a later program can tell it from its own.
const VERSION: u32 = book::VERSION;

/// What is kept: an object with the layout's version, what is `typed` by the names of the fields, the
/// names of those that hold the maker's `own` figures rather than invented ones, and under which name
/// the browser keeps the open shop `book`, if it does.
#[derive(Clone, Default)]
struct Kept {
    typed: JsValue,
    own: Vec<String>,
    book: String,
}

/// What was found in the store.
enum Found {
    Nothing,
    Kept(Kept),
    /// Kept by a newer program; this one must not write over it.
    Newer,
    /// No layout of this program, whoever wrote it.
    Unreadable,
}

impl Found {
    fn in_text(json: Option<&str>) -> Self {
        let Some(json) = json else {
            return Self::Nothing;
        };
        let Ok(kept) = JSON::parse(json) else {
            return Self::Unreadable;
        };
        match at_name(&kept, "version").as_f64() {
            Some(version) if version > f64::from(VERSION) => Self::Newer,
            Some(version) if version >= f64::from(VERSION) => Self::Kept(Kept::of(&kept)),
            Some(_) => Self::Kept(Kept::of(&kept).brought_over()),
            None => Self::Unreadable,
        }
    }
}

impl Kept {
    fn of(kept: &JsValue) -> Self {
        let own = at_name(kept, "own");
        // Whatever else stands there, by another hand or another program, is no list to be read.
        let own = if Array::is_array(&own) {
            Array::from(&own)
        } else {
            Array::new()
        };
        Self {
            typed: at_name(kept, "typed"),
            own: own.iter().filter_map(|name| name.as_string()).collect(),
            book: text_at(kept, "book").unwrap_or_default(),
        }
    }

    /// What version 1 kept, under the names of this one.
    fn brought_over(mut self) -> Self {
        if self.typed.is_object() {
            self.typed = object_of(&book::migrate(1, figures_of(&self.typed))).into();
        }
        let own = self.own.iter().flat_map(|name| book::renamed(1, name));
        self.own = own.collect();
        self
    }

    fn to_json(&self) -> Option<String> {
        let kept = Object::new();
        put_at_name(&kept, "version", &VERSION.into());
        put_at_name(&kept, "typed", &self.typed);
        let own: Array = self.own.iter().map(JsValue::from).collect();
        put_at_name(&kept, "own", &own);
        put_at_name(&kept, "book", &self.book.as_str().into());
        JSON::stringify(&kept).ok()?.as_string()
    }
}

/// The browser's store, and a copy of what is in it: the page works on where storing is refused.
pub(super) struct Store {
    /// None where the browser refuses it, or where a newer program has written.
    storage: Option<Storage>,
    folder: String,
    kept: Kept,
    before: Option<Kept>,
    works: bool,
    newer: bool,
}

impl Store {
    pub(super) fn open(page: &Page) -> Self {
        let mut store = Self {
            storage: page.window().local_storage().ok().flatten(),
            folder: page.folder(),
            kept: Kept::default(),
            before: None,
            works: true,
            newer: false,
        };
        store.kept = store.read(FIELDS).unwrap_or_default();
        store.before = store.read(BEFORE);
        if store.newer {
            store.storage = None;
        }
        store.works = store.storage.is_some();
        store
    }

    /// The scale of the screen of that name, if one is kept.
    pub(super) fn scale(&self, screen: &str) -> Option<String> {
        self.storage.as_ref()?.get_item(&self.key(screen)).ok()?
    }

    /// Keeps the scale of a screen, if the browser does.
    pub(super) fn keep_scale(&mut self, screen: &str, scale: &str) {
        let key = self.key(screen);
        let storage = self.storage.as_ref();
        self.works &= storage.is_some_and(|storage| storage.set_item(&key, scale).is_ok());
    }

    fn key(&self, name: &str) -> String {
        format!("decal-reckoner:{}:{name}", self.folder)
    }

    fn read(&mut self, name: &str) -> Option<Kept> {
        let storage = self.storage.as_ref()?;
        let text = storage.get_item(&self.key(name)).ok()?;
        match Found::in_text(text.as_deref()) {
            Found::Kept(kept) => return Some(kept),
            Found::Nothing => {}
            Found::Newer => self.newer = true,
            Found::Unreadable => {
                // It may be somebody's figures all the same; where it cannot be put aside it stays.
                let aside = format!("decal-reckoner-aside:{}:{UNREAD}", self.folder);
                if storage.set_item(&aside, &text.unwrap_or_default()).is_err() {
                    self.newer = true;
                }
            }
        }
        None
    }

    /// Takes over what another tab has kept, if `key` is of this page.
    pub(super) fn follow(&mut self, page: &Page, key: Option<&str>) -> bool {
        let ours = key.is_some_and(|key| [FIELDS, BEFORE].iter().any(|name| self.key(name) == key));
        if ours {
            *self = Self::open(page);
        }
        ours
    }

    /// Whether figures are here that this program cannot read and must not write over.
    pub(super) const fn newer(&self) -> bool {
        self.newer
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

    /// Under which name the browser keeps the open book; empty where it does not yet.
    pub(super) fn book(&self) -> &str {
        &self.kept.book
    }

    /// Notes under which name the browser keeps the open book.
    pub(super) fn now_in_book(&mut self, book: String) {
        self.kept.book = book;
        self.write();
    }

    /// Puts other figures in the place of those that were kept.
    pub(super) fn replace(&mut self, typed: Object, own: Vec<String>, book: String) {
        self.kept.typed = typed.into();
        self.kept.own = own;
        self.kept.book = book;
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

    /// Keeps a copy of everything aside, before a change that takes something away.
    pub(super) fn put_aside(&mut self, typed: Object) {
        self.kept.typed = typed.into();
        self.before = Some(self.kept.clone());
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
        let aside = self.before.as_ref();
        // Any of it may be refused: what is put aside is written before something else takes its place, and
        // goes only once it stands there again.
        self.works = self.storage.as_ref().is_some_and(|storage| {
            let before = self.key(BEFORE);
            aside.is_none_or(|aside| put(storage, &before, aside))
                && put(storage, &self.key(FIELDS), &self.kept)
                && (aside.is_some() || storage.remove_item(&before).is_ok())
        });
    }
}

/// Writes one item; whether that went well. A full store keeps its old text.
fn put(storage: &Storage, key: &str, kept: &Kept) -> bool {
    kept.to_json()
        .is_some_and(|json| storage.set_item(key, &json).is_ok())
}
