//! The thin layer over the browser that the other parts of the page stand on.

use crate::api::Never;
use wasm_bindgen::JsCast;
use wasm_bindgen::prelude::*;
use web_sys::{
    Document, Element, Event, EventTarget, HtmlDialogElement, HtmlElement, HtmlInputElement,
    Performance,
};

/// What went wrong with the page itself: an element is missing, or the browser refused something.
#[derive(Debug)]
pub(super) struct Fault(JsValue);

impl From<JsValue> for Fault {
    fn from(value: JsValue) -> Self {
        Self(value)
    }
}

impl From<Never> for Fault {
    fn from(never: Never) -> Self {
        match never {}
    }
}

impl From<Fault> for JsValue {
    fn from(fault: Fault) -> Self {
        fault.0
    }
}

impl Fault {
    pub(super) fn missing(what: &str) -> Self {
        Self(js_sys::Error::new(&format!("the page has no {what}")).into())
    }
}

/// The document and its window.
pub(super) struct Page {
    window: web_sys::Window,
    document: Document,
    performance: Option<Performance>,
}

impl Page {
    pub(super) fn open() -> Result<Self, Fault> {
        let window = web_sys::window().ok_or_else(|| Fault::missing("window"))?;
        let document = window
            .document()
            .ok_or_else(|| Fault::missing("document"))?;
        let performance = window.performance();
        Ok(Self {
            window,
            document,
            performance,
        })
    }

    pub(super) const fn document(&self) -> &Document {
        &self.document
    }

    pub(super) const fn window(&self) -> &web_sys::Window {
        &self.window
    }

    /// The name of the field that somebody is typing into, in this tab.
    pub(super) fn field_in_hand(&self) -> Option<String> {
        if !self.document.has_focus().unwrap_or_default() {
            return None;
        }
        self.document.active_element()?.get_attribute("name")
    }

    /// How the readers of the page write amounts, as a language tag. The core writes lengths in one way for each language
    /// that the page is built in, so amounts beside them follow the page; where English is the browser's too, they follow
    /// the browser's country.
    pub(super) fn language(&self) -> String {
        let page = self.document.document_element();
        let page = page.and_then(|page| page.get_attribute("lang"));
        let page = page.unwrap_or_default();
        let own = self.window.navigator().language();
        own.filter(|own| page == "en" && own.starts_with("en-"))
            .unwrap_or(page)
    }

    /// The folder of the site on its host, with its last slash. The site in another language is a folder in it, and
    /// keeps what is typed with it.
    pub(super) fn folder(&self) -> String {
        let path = self.window.location().pathname().unwrap_or_default();
        let folder = |path: &str| path.trim_end_matches(|c| c != '/').to_owned();
        let own = folder(&path);
        let page = self.document.document_element();
        if page.is_some_and(|page| page.has_attribute("data-root")) {
            folder(own.trim_end_matches('/'))
        } else {
            own
        }
    }

    /// The build that the page is of; everything that is loaded later must come from the same.
    pub(super) fn build(&self) -> String {
        let root = self.document.document_element();
        let build = root.and_then(|root| root.get_attribute("data-build"));
        build.unwrap_or_default()
    }

    pub(super) fn element<T: JsCast>(&self, id: &str) -> Result<T, Fault> {
        self.document
            .get_element_by_id(id)
            .and_then(|element| element.dyn_into().ok())
            .ok_or_else(|| Fault::missing(id))
    }

    pub(super) fn dialog(&self, id: &str) -> Result<HtmlDialogElement, Fault> {
        self.element(id)
    }

    /// Every element that the selector finds.
    pub(super) fn all(&self, selector: &str) -> Vec<HtmlElement> {
        self.document
            .query_selector_all(selector)
            .map_or_else(|_| Vec::new(), |list| elements(&list))
    }

    pub(super) fn show(&self, id: &str, shown: bool) -> Result<(), Fault> {
        self.element::<HtmlElement>(id)?.set_hidden(!shown);
        Ok(())
    }

    /// Brings the focus to an element, which says what it is there for.
    pub(super) fn focus(&self, id: &str) -> Result<(), Fault> {
        Ok(self.element::<HtmlElement>(id)?.focus()?)
    }

    /// Brings an element into view and the focus to it.
    pub(super) fn lead_to(&self, id: &str) -> Result<(), Fault> {
        let element = self.element::<HtmlElement>(id)?;
        element.scroll_into_view_with_bool(true);
        Ok(element.focus()?)
    }

    /// Tells the start script of something by the name of an event.
    pub(super) fn dispatch(&self, name: &str) -> Result<(), Fault> {
        self.window.dispatch_event(&Event::new(name)?)?;
        Ok(())
    }

    pub(super) fn mark(&self, name: &str) {
        if let Some(performance) = &self.performance {
            // A browser that keeps no marks costs the page nothing.
            let _ = performance.mark(name);
        }
    }

    pub(super) fn measure(&self, name: &str, start: &str) {
        if let Some(performance) = &self.performance {
            let _ = performance.measure_with_start_mark(name, start);
        }
    }

    pub(super) fn measure_from_navigation(&self, name: &str) {
        if let Some(performance) = &self.performance {
            let _ = performance.measure(name);
        }
    }
}

/// The HTML elements of a list.
pub(super) fn elements(list: &web_sys::NodeList) -> Vec<HtmlElement> {
    (0..list.length())
        .filter_map(|index| list.item(index)?.dyn_into().ok())
        .collect()
}

/// The elements inside of `parent` that the selector finds.
pub(super) fn inside(parent: &Element, selector: &str) -> Vec<HtmlElement> {
    parent
        .query_selector_all(selector)
        .map_or_else(|_| Vec::new(), |list| elements(&list))
}

/// Calls `act` for every event of the kind; what it cannot do ends up at the window, where the start
/// script tells the person.
pub(super) fn on(
    target: &EventTarget,
    kind: &str,
    act: impl Fn(Event) -> Result<(), Fault> + 'static,
) -> Result<(), JsValue> {
    let act = move |event| act(event).map_err(JsValue::from);
    let closure = Closure::<dyn Fn(Event) -> Result<(), JsValue>>::new(act);
    target.add_event_listener_with_callback(kind, closure.as_ref().unchecked_ref())?;
    // Listeners live as long as the page.
    closure.forget();
    Ok(())
}

/// Calls `act` for every one of the details that is opened or closed.
pub(super) fn on_toggle(
    document: &Document,
    act: impl Fn(Element) -> Result<(), Fault> + 'static,
) -> Result<(), JsValue> {
    let act =
        move |event| target(&event).map_or(Ok(()), |details| act(details).map_err(JsValue::from));
    let closure = Closure::<dyn Fn(Event) -> Result<(), JsValue>>::new(act);
    // Such an event does not rise from its element; on its way down it comes by.
    document.add_event_listener_with_callback_and_bool(
        "toggle",
        closure.as_ref().unchecked_ref(),
        true,
    )?;
    closure.forget();
    Ok(())
}

fn target(event: &Event) -> Option<Element> {
    event.target()?.dyn_into().ok()
}

/// The name of the field that an event comes from.
pub(super) fn name_of_target(event: &Event) -> Option<String> {
    target(event)?.get_attribute("name")
}

/// The task whose answers the element that an event comes from shows.
pub(super) fn task_of_target(event: &Event) -> Option<String> {
    let target = target(event)?;
    let named = |attribute: &str| target.get_attribute(attribute);
    ["data-desk", "data-light-table", "data-counter"]
        .into_iter()
        .find_map(named)
}

/// What the pressed element is there for, and the element.
pub(super) fn act_of_target(event: &Event) -> Option<(String, Element)> {
    let pressed = target(event)?.closest("[data-act]").ok()??;
    Some((pressed.get_attribute("data-act")?, pressed))
}

/// The input in which a file is chosen, if the event comes from one.
pub(super) fn file_of_target(event: &Event) -> Option<HtmlInputElement> {
    let input: HtmlInputElement = target(event)?.dyn_into().ok()?;
    (input.type_() == "file").then_some(input)
}

/// The id that the pressed link leads to.
pub(super) fn target_of_link(event: &Event) -> Option<String> {
    let link = target(event)?.closest("a[href^='#']").ok()??;
    link.get_attribute("href")?
        .strip_prefix('#')
        .map(ToOwned::to_owned)
}
