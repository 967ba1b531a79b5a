//! Writes a report as a plain object of JavaScript.
//!
//! A report is made of structs, lists, texts, numbers, truths, choices and what may be absent; for those
//! alone there is a way. None of them can fail, so that the structs' own code needs no way out: a general
//! writer, with a mistake that any member may give back, took three times as many bytes for each struct.

use js_sys::{Array, Object};
use serde::ser::{self, Impossible, Serialize, SerializeMap, SerializeSeq, SerializeStruct};
use std::fmt::Display;
use wasm_bindgen::prelude::*;

#[wasm_bindgen]
extern "C" {
    /// Sets a member; that fails on no object of ours, all of which are fresh and plain.
    #[wasm_bindgen(js_namespace = Reflect, js_name = set)]
    fn put(of: &Object, name: &str, value: JsValue) -> bool;
}

/// Writes a report.
///
/// # Errors
/// None: there is no value of [`Never`].
pub(super) fn write<R: Serialize + ?Sized>(report: &R) -> Result<JsValue, Never> {
    report.serialize(Writer)
}

/// The mistake that cannot be made.
#[derive(Debug)]
pub(crate) enum Never {}

impl From<Never> for JsValue {
    fn from(never: Never) -> Self {
        match never {}
    }
}

impl Display for Never {
    fn fmt(&self, _: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match *self {}
    }
}

impl std::error::Error for Never {}

impl ser::Error for Never {
    /// For a type that no report has, such as bytes: whoever gives a report one learns of it at the
    /// first call, by an `Error` thrown at the caller.
    fn custom<T: Display>(message: T) -> Self {
        wasm_bindgen::throw_str(&message.to_string())
    }
}

/// Writes one value.
struct Writer;

type Written = Result<JsValue, Never>;

/// Says that a report holds what no report has.
fn none() -> ! {
    wasm_bindgen::throw_str("a report holds what cannot be written")
}

/// Numbers, of which JavaScript has one kind.
macro_rules! numbers {
    ($($name:ident: $kind:ty),*) => {
        $(fn $name(self, value: $kind) -> Written {
            Ok(value.into())
        })*
    };
}

impl ser::Serializer for Writer {
    type Ok = JsValue;
    type Error = Never;
    type SerializeSeq = List;
    type SerializeMap = Entries;
    type SerializeStruct = Members;
    type SerializeTuple = Impossible<JsValue, Never>;
    type SerializeTupleStruct = Impossible<JsValue, Never>;
    type SerializeTupleVariant = Impossible<JsValue, Never>;
    type SerializeStructVariant = Impossible<JsValue, Never>;

    numbers! {
        serialize_i8: i8, serialize_i16: i16, serialize_i32: i32, serialize_u8: u8, serialize_u16: u16,
        serialize_u32: u32, serialize_f32: f32, serialize_f64: f64
    }

    fn serialize_bool(self, truth: bool) -> Written {
        Ok(truth.into())
    }

    fn serialize_str(self, text: &str) -> Written {
        Ok(text.into())
    }

    // What is absent is `undefined`, as the types say.
    fn serialize_none(self) -> Written {
        Ok(JsValue::UNDEFINED)
    }

    fn serialize_some<T: Serialize + ?Sized>(self, value: &T) -> Written {
        value.serialize(self)
    }

    fn serialize_unit_variant(self, _: &'static str, _: u32, choice: &'static str) -> Written {
        Ok(choice.into())
    }

    fn serialize_newtype_struct<T: Serialize + ?Sized>(
        self,
        _: &'static str,
        value: &T,
    ) -> Written {
        value.serialize(self)
    }

    fn serialize_seq(self, _: Option<usize>) -> Result<List, Never> {
        Ok(List(Array::new()))
    }

    fn serialize_map(self, _: Option<usize>) -> Result<Entries, Never> {
        Ok(Entries(Object::new(), String::new()))
    }

    fn serialize_struct(self, _: &'static str, _: usize) -> Result<Members, Never> {
        Ok(Members(Object::new()))
    }

    fn serialize_i64(self, _: i64) -> Written {
        none()
    }

    fn serialize_u64(self, _: u64) -> Written {
        none()
    }

    fn serialize_char(self, _: char) -> Written {
        none()
    }

    fn serialize_bytes(self, _: &[u8]) -> Written {
        none()
    }

    fn serialize_unit(self) -> Written {
        none()
    }

    fn serialize_unit_struct(self, _: &'static str) -> Written {
        none()
    }

    fn serialize_newtype_variant<T: Serialize + ?Sized>(
        self,
        _: &'static str,
        _: u32,
        _: &'static str,
        _: &T,
    ) -> Written {
        none()
    }

    fn serialize_tuple(self, _: usize) -> Result<Self::SerializeTuple, Never> {
        none()
    }

    fn serialize_tuple_struct(
        self,
        _: &'static str,
        _: usize,
    ) -> Result<Self::SerializeTupleStruct, Never> {
        none()
    }

    fn serialize_tuple_variant(
        self,
        _: &'static str,
        _: u32,
        _: &'static str,
        _: usize,
    ) -> Result<Self::SerializeTupleVariant, Never> {
        none()
    }

    fn serialize_struct_variant(
        self,
        _: &'static str,
        _: u32,
        _: &'static str,
        _: usize,
    ) -> Result<Self::SerializeStructVariant, Never> {
        none()
    }
}

/// The items of a list that were written.
struct List(Array);

impl SerializeSeq for List {
    type Ok = JsValue;
    type Error = Never;

    fn serialize_element<T: Serialize + ?Sized>(&mut self, value: &T) -> Result<(), Never> {
        self.0.push(&value.serialize(Writer)?);
        Ok(())
    }

    fn end(self) -> Written {
        Ok(self.0.into())
    }
}

/// The members that were written.
struct Members(Object);

impl SerializeStruct for Members {
    type Ok = JsValue;
    type Error = Never;

    // One function for each type of member, not one for each member.
    #[inline(never)]
    fn serialize_field<T: Serialize + ?Sized>(
        &mut self,
        name: &'static str,
        value: &T,
    ) -> Result<(), Never> {
        put(&self.0, name, value.serialize(Writer)?);
        Ok(())
    }

    fn end(self) -> Written {
        Ok(self.0.into())
    }
}

/// Members whose names are values too, as in a struct with the members of another one among its own;
/// and the name of the next one.
struct Entries(Object, String);

impl SerializeMap for Entries {
    type Ok = JsValue;
    type Error = Never;

    fn serialize_key<T: Serialize + ?Sized>(&mut self, name: &T) -> Result<(), Never> {
        self.1 = name.serialize(Writer)?.as_string().unwrap_or_default();
        Ok(())
    }

    fn serialize_value<T: Serialize + ?Sized>(&mut self, value: &T) -> Result<(), Never> {
        put(&self.0, &self.1, value.serialize(Writer)?);
        Ok(())
    }

    fn end(self) -> Written {
        Ok(self.0.into())
    }
}
