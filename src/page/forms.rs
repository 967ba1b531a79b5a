//! The forms: from fields to one object by their names, and from mistakes back to the fields.
//!
//! A field's `name` is the path of a member of the inputs (`material.sheet.width`); `data-feeds` lists
//! further members that it stands for. `data-kind` says what is typed in it, `data-when` on a part of
//! the form when that part counts (`stock=roll`, `glass=outside|inside`). A field with `data-optional` is no member while it is
//! empty; what stands in one with `data-fleeting` is not kept. Fields come and go with the rows of lists ([`List`]).

use super::Moment;
use super::dom::{Fault, Page, elements, inside};
use super::lists::List;
use super::members::{put, put_at_name, text_at};
use crate::error::{Code, InputError};
use crate::measure::{Length, MARK, Unit};
use js_sys::Object;
use say::say;
use std::cell::{OnceCell, RefCell};
use std::rc::Rc;
use wasm_bindgen::prelude::*;
use web_sys::{
    Element, HtmlElement, HtmlFormElement, HtmlInputElement, HtmlSelectElement, HtmlTextAreaElement,
};

/// What is typed in a field.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Kind {
    Length,
    Distance,
    Money,
    Weight,
    Other,
}

/// One field with the places that belong to it.
struct Field {
    name: String,
    feeds: Vec<String>,
    kind: Kind,
    /// Left out of what is asked while nothing is typed.
    optional: bool,
    /// Not kept.
    fleeting: bool,
    control: Control,
    unit: Option<HtmlElement>,
    /// What stands around the field and its messages; none where they have no place.
    wrapper: Option<Element>,
    /// What was understood, and what is wrong. Most fields never have either: the places are made when there is something
    /// to say.
    echo: OnceCell<HtmlElement>,
    error: OnceCell<HtmlElement>,
}

enum Control {
    Input(HtmlInputElement),
    Check(HtmlInputElement),
    Select(HtmlSelectElement),
    Area(HtmlTextAreaElement),
}

impl Control {
    fn of(element: &HtmlElement) -> Option<Self> {
        if let Some(input) = element.dyn_ref::<HtmlInputElement>() {
            let check = input.type_() == "checkbox";
            let input = input.clone();
            return Some(if check {
                Self::Check(input)
            } else {
                Self::Input(input)
            });
        }
        if let Some(select) = element.dyn_ref::<HtmlSelectElement>() {
            return Some(Self::Select(select.clone()));
        }
        element.dyn_ref().cloned().map(Self::Area)
    }

    fn element(&self) -> &HtmlElement {
        match self {
            Self::Input(control) | Self::Check(control) => control,
            Self::Select(control) => control,
            Self::Area(control) => control,
        }
    }

    /// What stands in the field; a box that is ticked says `yes`.
    fn text(&self) -> String {
        match self {
            Self::Input(control) => control.value(),
            Self::Check(control) => if control.checked() { "yes" } else { "no" }.to_owned(),
            Self::Select(control) => control.value(),
            Self::Area(control) => control.value(),
        }
    }

    fn set(&self, text: &str) {
        match self {
            Self::Input(control) => control.set_value(text),
            Self::Check(control) => control.set_checked(text == "yes"),
            Self::Select(control) => {
                let before = control.value();
                control.set_value(text);
                if control.value() != text {
                    // A choice that is no longer offered.
                    control.set_value(&before);
                }
            }
            Self::Area(control) => control.set_value(text),
        }
    }

    fn value(&self) -> JsValue {
        match self {
            Self::Check(control) => control.checked().into(),
            other => other.text().into(),
        }
    }
}

/// All fields of the page.
pub(super) struct Forms {
    form: HtmlFormElement,
    lists: Vec<List>,
    fields: RefCell<Vec<Rc<Field>>>,
    parts: RefCell<Vec<Part>>,
    offers: Vec<Offer>,
}

/// A select that offers the rows of a list by their place, behind `first` choices of its own.
struct Offer {
    select: HtmlSelectElement,
    list: String,
    first: u32,
}

/// A mistake and the field that it belongs to.
type Misfit<'a> = (Rc<Field>, &'a InputError);

/// A part that counts only for one choice: part, name of the choosing field, choice.
type Part = (HtmlElement, String, String);

impl Forms {
    pub(super) fn new(page: &Page) -> Result<Self, Fault> {
        Ok(Self {
            form: page.element("forms")?,
            lists: List::all(page),
            // They are found when the lists have their rows.
            fields: RefCell::default(),
            parts: RefCell::default(),
            offers: Offer::all(page),
        })
    }

    /// Looks for the fields anew; those that were there before stay as they are.
    fn find_fields(&self, page: &Page) -> Result<(), Fault> {
        let mut fields = Vec::new();
        // They stand in the order of the page: what was there before comes next, but for rows that are gone.
        let mut known = 0;
        for element in page.all("#forms [name], [form=forms]") {
            let before = self.fields.borrow();
            let name = element.get_attribute("name").unwrap_or_default();
            let place = before[known..]
                .iter()
                .position(|field| field.name == name && *field.control.element() == element);
            if let Some(place) = place {
                known += place + 1;
                fields.push(Rc::clone(&before[known - 1]));
            } else if let Some(control) = Control::of(&element) {
                fields.push(Rc::new(Field::new(page, &element, control)?));
            }
        }
        self.fields.replace(fields);
        let parts = inside(&self.form, "[data-when]");
        let parts = parts.into_iter().filter_map(|part| {
            let when = part.get_attribute("data-when")?;
            let (name, choice) = when.split_once('=')?;
            Some((part, name.to_owned(), choice.to_owned()))
        });
        self.parts.replace(parts.collect());
        Ok(())
    }

    /// Makes as many rows as each list has to have for what is typed.
    fn make_rows(&self, page: &Page, typed: &JsValue) -> Result<(), Fault> {
        let mut changed = self.fields.borrow().is_empty();
        for list in &self.lists {
            changed |= list.set_rows(list.rows_for(typed))?;
        }
        if changed {
            self.find_fields(page)?;
            self.name_units(self.unit());
        }
        Ok(())
    }

    /// Adds a row to a list, with these texts in it, and gives the name of its first field.
    pub(super) fn add_row(
        &self,
        page: &Page,
        list: &str,
        texts: &[(&str, &str)],
    ) -> Result<(), Fault> {
        let Some(list) = self.lists.iter().find(|other| other.name == list) else {
            return Ok(());
        };
        let place = list.rows();
        list.set_rows(place + 1)?;
        self.find_fields(page)?;
        self.name_units(self.unit());
        for (member, text) in texts {
            if let Some(field) = self.field(&format!("{}[{place}].{member}", list.name)) {
                field.control.set(text);
            }
        }
        Ok(())
    }

    /// What is typed without one row of a list.
    pub(super) fn without_row(&self, list: &str, place: usize) -> Option<Object> {
        let list = self.lists.iter().find(|other| other.name == list)?;
        let typed = list.without(&self.typed(), place);
        for offer in self.offers.iter().filter(|offer| offer.list == list.name) {
            let chosen = offer.select.value();
            // What was chosen stays so, or gives way to the first choice.
            let chosen = match chosen.parse::<usize>() {
                Ok(row) if row > place => (row - 1).to_string(),
                Ok(row) if row == place => if offer.first > 0 { "" } else { "0" }.to_owned(),
                _ => chosen,
            };
            put_at_name(&typed, &offer.select.name(), &chosen.into());
        }
        Some(typed)
    }

    /// Offers the rows that there are now, by their names.
    pub(super) fn offer(&self, page: &Page) -> Result<(), Fault> {
        for offer in &self.offers {
            let wanted = offer.first as usize + self.rows(&offer.list);
            while offer.select.length() as usize > wanted {
                if let Some(last) = offer.select.last_element_child() {
                    last.remove();
                }
            }
            while (offer.select.length() as usize) < wanted {
                let option = page.document().create_element("option")?;
                offer.select.append_child(&option)?;
            }
            let options = inside(&offer.select, "option");
            for (row, option) in options.iter().skip(offer.first as usize).enumerate() {
                let name = self.text(&format!("{}[{row}].name", offer.list));
                let name = match name.trim() {
                    "" => say!("no. {number}", number = row + 1),
                    name => name.to_owned(),
                };
                option.set_attribute("value", &row.to_string())?;
                if option.text_content().as_ref() != Some(&name) {
                    option.set_text_content(Some(&name));
                }
            }
        }
        Ok(())
    }

    /// How many rows a list has.
    pub(super) fn rows(&self, list: &str) -> usize {
        let list = self.lists.iter().find(|other| other.name == list);
        list.map_or(0, List::rows)
    }

    fn fields(&self) -> Vec<Rc<Field>> {
        self.fields.borrow().clone()
    }

    /// Everything that is typed, by name.
    pub(super) fn typed(&self) -> Object {
        let typed = Object::new();
        for field in self.fields().iter().filter(|field| !field.fleeting) {
            put_at_name(&typed, &field.name, &field.control.text().into());
        }
        for list in &self.lists {
            put_at_name(&typed, &list.name, &list.rows().to_string().into());
        }
        typed
    }

    /// Puts back what was typed; fields without an entry stay as they are, and so does `busy`, into
    /// which somebody is typing.
    pub(super) fn fill(
        &self,
        page: &Page,
        typed: &JsValue,
        busy: Option<&str>,
    ) -> Result<(), Fault> {
        let texts = Object::assign(&Object::new(), typed.unchecked_ref());
        for list in &self.lists {
            list.started(&texts);
        }
        self.make_rows(page, typed)?;
        self.offer(page)?;
        self.know_currency(page, &texts)?;
        for field in self.fields() {
            let text = text_at(&texts, &field.name);
            if let Some(text) = text.filter(|_| Some(field.name.as_str()) != busy) {
                field.control.set(&text);
            }
        }
        Ok(())
    }

    /// Offers the currency that was chosen before, where the start script has not listed all yet.
    fn know_currency(&self, page: &Page, texts: &JsValue) -> Result<(), Fault> {
        let chosen = text_at(texts, "currency").filter(|code| {
            code.len() == 3 && code.bytes().all(|letter| letter.is_ascii_uppercase())
        });
        let Some((code, field)) = chosen.zip(self.field("currency")) else {
            return Ok(());
        };
        let select = field.control.element();
        if select.query_selector(&format!("[value={code}]"))?.is_none() {
            let option = page.document().create_element("option")?;
            option.set_attribute("value", &code)?;
            option.set_text_content(Some(&code));
            select.append_child(&option)?;
        }
        Ok(())
    }

    /// Back to the values of the first visit.
    pub(super) fn reset(&self) {
        self.form.reset();
    }

    /// Writes a text into a field.
    pub(super) fn set(&self, name: &str, text: &str) {
        if let Some(field) = self.field(name) {
            field.control.set(text);
        }
    }

    /// What stands in the field of that name.
    pub(super) fn text(&self, name: &str) -> String {
        self.field(name)
            .map_or_else(String::new, |field| field.control.text())
    }

    /// The unit that is chosen.
    pub(super) fn unit(&self) -> Unit {
        Unit::from_symbol(&self.text("unit")).unwrap_or_default()
    }

    /// Shows the parts that count for the choices made, and hides the others.
    pub(super) fn unfold(&self) {
        for (part, name, choice) in self.parts.borrow().iter() {
            let chosen = self.text(name);
            part.set_hidden(!choice.split('|').any(|choice| choice == chosen));
        }
    }

    /// All that counts, as one object.
    pub(super) fn object(&self) -> Object {
        let root = Object::new();
        for field in self.fields().iter().filter(|field| field.counts()) {
            if field.optional && field.control.text().trim().is_empty() {
                continue;
            }
            for path in std::iter::once(&field.name).chain(&field.feeds) {
                put(&root, path, &field.control.value());
            }
        }
        root
    }

    /// Whether the field of that name counts for the choices made.
    pub(super) fn is_asked(&self, name: &str) -> bool {
        self.field(name).is_some_and(|field| field.counts())
    }

    fn field(&self, name: &str) -> Option<Rc<Field>> {
        let fields = self.fields.borrow();
        fields.iter().find(|field| field.name == name).cloned()
    }

    /// The field that a mistake belongs to: the one with that path, or with the nearest one around it.
    fn field_at(&self, path: &str) -> Option<Rc<Field>> {
        let fields = self.fields.borrow();
        let exact = fields.iter().find(|field| {
            let named = field.name == path || field.feeds.iter().any(|feed| feed == path);
            named && field.counts()
        });
        let nearest = || {
            let around = path.rsplit_once(['.', '[']).map(|(around, _)| around)?;
            let within = |name: &str| name.starts_with(around);
            fields
                .iter()
                .find(|field| within(&field.name) || field.feeds.iter().any(|feed| within(feed)))
        };
        exact.or_else(nearest).cloned()
    }

    /// The part of the form around a field.
    pub(super) fn wrapper(&self, name: &str) -> Option<Element> {
        self.field(name)?.control.element().closest(".field").ok()?
    }

    /// Brings a field into view and puts the cursor into it; opens the details that hide it.
    pub(super) fn go_to(&self, name: &str) -> Result<(), Fault> {
        let Some(field) = self.field(name) else {
            return Ok(());
        };
        let control = field.control.element();
        let mut around = control.closest("details")?;
        while let Some(details) = around {
            details.set_attribute("open", "")?;
            around = details
                .parent_element()
                .map_or(Ok(None), |parent| parent.closest("details"))?;
        }
        self.wrapper(name)
            .as_ref()
            .unwrap_or(control)
            .scroll_into_view_with_bool(true);
        control.focus()?;
        if let Control::Input(input) = &field.control {
            input.select();
        }
        Ok(())
    }

    /// Brings the first field whose name begins so into view.
    pub(super) fn go_to_first(&self, beginning: &str) -> Result<(), Fault> {
        let fields = self.fields();
        let first = fields
            .iter()
            .find(|field| field.name.starts_with(beginning));
        first.map_or(Ok(()), |field| self.go_to(&field.name))
    }

    /// Puts the cursor into a field.
    pub(super) fn focus(&self, name: &str) -> Result<(), Fault> {
        let field = self.field(name);
        field.map_or(Ok(()), |field| Ok(field.control.element().focus()?))
    }

    /// Writes the unit beside each field of a length, and the currency beside each amount.
    pub(super) fn name_units(&self, unit: Unit) {
        let currency = self.text("currency");
        for field in &self.fields() {
            let name = match field.kind {
                Kind::Money => Some(currency.as_str()),
                Kind::Weight => Some(weight_unit(unit)),
                _ => field.unit_of_entry(unit).map(Unit::symbol),
            };
            if let (Some(place), Some(name)) = (&field.unit, name) {
                place.set_text_content(Some(name));
            }
        }
    }

    /// Turns every length from one unit into the other. A length that is no short number in the new
    /// unit stays as it was typed, with its old unit written behind; what cannot be read stays.
    pub(super) fn convert(&self, from: Unit, to: Unit) {
        for field in &self.fields() {
            let text = field.control.text();
            let (old, new) = (weight_unit(from), weight_unit(to));
            if field.kind == Kind::Weight && old != new {
                if let Some(bare) = text.trim().strip_suffix(new).filter(|bare| !has_unit(bare)) {
                    // Back in the unit that it was typed in.
                    field.control.set(bare.trim());
                } else if !text.trim().is_empty() && !has_unit(&text) {
                    field.control.set(&format!("{} {old}", text.trim()));
                }
            }
            let (Some(old), Some(new)) = (field.unit_of_entry(from), field.unit_of_entry(to))
            else {
                continue;
            };
            let Ok(length) = Length::parse(&text, old) else {
                continue;
            };
            let exact = length.exact(new);
            let decimals = exact
                .split_once(MARK)
                .map_or(0, |(_, decimals)| decimals.len());
            if decimals <= 4 {
                field.control.set(&exact);
            } else if Length::parse(&text, new) != Ok(length) {
                // A bare number, which would mean something else from now on.
                field
                    .control
                    .set(&format!("{} {}", text.trim(), old.symbol()));
            }
        }
    }

    /// Shows each mistake at its field, and what was understood at all others. The summary is
    /// renewed when a field is left, and while one types only if it stands there already.
    pub(super) fn show_errors(
        &self,
        page: &Page,
        unit: Unit,
        errors: &[InputError],
        moment: Moment,
    ) -> Result<(), Fault> {
        let (shown, elsewhere) = self.placed(errors);
        for field in &self.fields() {
            let error = shown.iter().find(|(other, _)| other.name == field.name);
            field.show(error.map(|(_, error)| *error), unit)?;
        }
        let summary: HtmlElement = page.element("errors")?;
        let stands = !summary.hidden();
        if moment == Moment::Typing && !stands {
            return Ok(());
        }
        self.list(page, "errors-list", &shown, &elsewhere)?;
        summary.set_hidden(errors.is_empty());
        Ok(())
    }

    /// Says in a note what is to be mended before there is an answer, and where.
    pub(super) fn say_why(
        &self,
        page: &Page,
        note: &str,
        errors: &[InputError],
    ) -> Result<(), Fault> {
        let (shown, elsewhere) = self.placed(errors);
        self.list(page, &format!("{note}-list"), &shown, &elsewhere)?;
        page.show(note, !errors.is_empty())
    }

    /// Mistakes with the fields that they belong to, and those that belong to none.
    fn placed<'a>(&self, errors: &'a [InputError]) -> (Vec<Misfit<'a>>, Vec<&'a InputError>) {
        let mut shown: Vec<Misfit> = Vec::new();
        let mut elsewhere = Vec::new();
        for error in errors {
            match self.field_at(&error.field) {
                // One field may feed several answers; it is complained of once.
                Some(field) if shown.iter().any(|(other, _)| other.name == field.name) => {}
                Some(field) => shown.push((field, error)),
                None => elsewhere.push(error),
            }
        }
        (shown, elsewhere)
    }

    /// Writes mistakes into the list of that name, each with a link to its field.
    fn list(
        &self,
        page: &Page,
        id: &str,
        shown: &[Misfit],
        elsewhere: &[&InputError],
    ) -> Result<(), Fault> {
        // A list that says the same stays, with whatever link in it has the focus or is being pressed.
        let before: Element = page.element(id)?;
        let list: Element = before.clone_node()?.unchecked_into();
        for (field, error) in shown {
            let link = page.document().create_element("a")?;
            link.set_attribute("href", &format!("#{}", field.name))?;
            link.set_attribute("data-act", "go-to-field")?;
            link.set_text_content(Some(&format!(
                "{}: {}",
                field.label(&self.form),
                sentence(error)
            )));
            let item = page.document().create_element("li")?;
            item.append_child(&link)?;
            list.append_child(&item)?;
        }
        for error in elsewhere {
            let item = page.document().create_element("li")?;
            item.set_text_content(Some(&sentence(error)));
            list.append_child(&item)?;
        }
        if !before.is_equal_node(Some(&list)) {
            before.replace_with_with_node_1(&list)?;
        }
        Ok(())
    }
}

impl Offer {
    fn all(page: &Page) -> Vec<Self> {
        let selects = page.all("select[data-options]").into_iter();
        let offers = selects.filter_map(|select| {
            let select: HtmlSelectElement = select.dyn_into().ok()?;
            Some(Self {
                list: select.get_attribute("data-options")?,
                first: select.length(),
                select,
            })
        });
        offers.collect()
    }
}

impl Field {
    fn new(page: &Page, element: &HtmlElement, control: Control) -> Result<Self, Fault> {
        let name = element.get_attribute("name").unwrap_or_default();
        let kind = element.get_attribute("data-kind");
        let feeds = element.get_attribute("data-feeds").unwrap_or_default();
        let mut field = Self {
            kind: match kind.as_deref() {
                Some("length") => Kind::Length,
                Some("distance") => Kind::Distance,
                Some("money") => Kind::Money,
                Some("weight") => Kind::Weight,
                _ => Kind::Other,
            },
            feeds: feeds.split_whitespace().map(ToOwned::to_owned).collect(),
            optional: element.has_attribute("data-optional"),
            fleeting: element.has_attribute("data-fleeting"),
            control,
            unit: None,
            wrapper: element.closest(".field")?,
            echo: OnceCell::new(),
            error: OnceCell::new(),
            name,
        };
        if let Some(kind) = kind.filter(|_| field.wrapper.is_some()) {
            let unit = page.document().create_element("span")?;
            unit.set_class_name("unit");
            unit.set_text_content(match kind.as_str() {
                "percent" => Some("%"),
                "minutes" => Some("min"),
                _ => None,
            });
            element.after_with_node_1(&unit)?;
            field.unit = unit.dyn_into().ok();
        }
        Ok(field)
    }

    /// Whether it stands in no part that is hidden, as one is that does not count for the choices made.
    fn counts(&self) -> bool {
        let hidden = self.control.element().closest("[data-when][hidden]");
        !matches!(hidden, Ok(Some(_)))
    }

    /// Writes into the place for what was understood, or for what is wrong, and makes it where it is not there yet: right
    /// under the field, above its hint.
    fn write(
        &self,
        place: &OnceCell<HtmlElement>,
        class: &str,
        text: Option<&str>,
    ) -> Result<(), Fault> {
        let element = self.control.element();
        if let Some(place) = place.get() {
            place.set_text_content(text);
            place.set_hidden(text.is_none());
            return Ok(());
        }
        let (Some(text), Some(wrapper), Some(document)) =
            (text, &self.wrapper, element.owner_document())
        else {
            return Ok(());
        };
        let made: HtmlElement = document.create_element("p")?.unchecked_into();
        made.set_class_name(class);
        made.set_id(&format!("{}-{class}", self.name));
        made.set_text_content(Some(text));
        let input: &Element = element;
        let around = element.closest(".box, label")?;
        let before = self.echo.get().map(|echo| -> &Element { echo });
        let before = before.or(around.as_ref()).unwrap_or(input);
        before.after_with_node_1(&made)?;
        let _ = place.set(made);
        let places = elements(&wrapper.query_selector_all(".hint, .echo, .error")?);
        let described: Vec<String> = places.iter().map(|place| place.id()).collect();
        element.set_attribute("aria-describedby", &described.join(" "))?;
        Ok(())
    }

    /// The unit of a bare number in this field, if lengths are typed in it.
    const fn unit_of_entry(&self, unit: Unit) -> Option<Unit> {
        match self.kind {
            Kind::Length => Some(unit),
            Kind::Distance => Some(unit.for_distance()),
            Kind::Money | Kind::Weight | Kind::Other => None,
        }
    }

    /// What the field is called: as its label is seen, behind the name of the row that it stands in.
    fn label(&self, form: &HtmlFormElement) -> String {
        let selector = format!("label[for='{}']", self.name);
        let label = form.query_selector(&selector).ok().flatten();
        let Some(label) = label.and_then(|label| label.dyn_into::<HtmlElement>().ok()) else {
            return self.name.clone();
        };
        // Nothing is seen of it while the details around it are closed.
        let seen = Some(label.inner_text()).filter(|text| !text.is_empty());
        let text = seen.or_else(|| label.text_content()).unwrap_or_default();
        let row = label.closest("fieldset.row").ok().flatten();
        let legend = row.and_then(|row| row.query_selector("legend").ok()?);
        match legend.and_then(|legend| legend.text_content()) {
            Some(legend) => format!("{}, {}", legend.trim(), text.trim()),
            None => text.trim().to_owned(),
        }
    }

    fn show(&self, error: Option<&InputError>, unit: Unit) -> Result<(), Fault> {
        let element = self.control.element();
        if self.wrapper.is_some() {
            self.write(&self.error, "error", error.map(sentence).as_deref())?;
            if error.is_some() {
                element.set_attribute("aria-invalid", "true")?;
            } else {
                element.remove_attribute("aria-invalid")?;
            }
        }
        if let Some(place) = &self.unit {
            // A unit that was typed is the one that counts.
            place.set_hidden(self.kind != Kind::Money && has_unit(&self.control.text()));
        }
        let understood = self.understood(unit).filter(|_| error.is_none());
        self.write(&self.echo, "echo", understood.as_deref())
    }

    /// The length in the field, in the unit of the other system; where it was typed in a unit of its
    /// own, in the unit of the page.
    fn understood(&self, unit: Unit) -> Option<String> {
        let unit = self.unit_of_entry(unit)?;
        let text = self.control.text();
        let length = Length::parse(&text, unit).ok()?;
        let echo = if has_unit(&text) {
            unit
        } else {
            unit.for_echo()
        };
        Some(format!("= {}", length.text(echo)))
    }
}

/// The unit of a bare weight beside that of lengths.
const fn weight_unit(unit: Unit) -> &'static str {
    if unit.is_imperial() { "oz" } else { "g" }
}

/// Whether a unit stands behind the number that was typed.
fn has_unit(text: &str) -> bool {
    text.contains(|c: char| {
        c.is_alphabetic() || matches!(c, '"' | '\'' | '″' | '′' | '”' | '’' | '%')
    })
}

/// The mistake as one sentence.
pub(super) fn sentence(error: &InputError) -> String {
    let message = if error.code == Code::Missing {
        say!("Nothing is entered here")
    } else {
        error.message.as_ref()
    };
    let mut letters = message.chars();
    let first = letters
        .next()
        .map_or_else(String::new, |letter| letter.to_ascii_uppercase().into());
    format!("{first}{}: {}.", letters.as_str(), error.hint)
}
