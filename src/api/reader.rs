//! Reads an input struct from plain values, and says of a mistake what it is and where.
//!
//! A struct is read from an object and from nothing else, a choice from its text; numbers are the one
//! kind that JavaScript has. General readers offer far more ways to write each type, and each way is
//! made once more for every struct: they took an eighth of the page's bytes.

use crate::error::{Code, InputError};
use serde::de::value::StrDeserializer;
use serde::de::{
    DeserializeOwned, DeserializeSeed, Deserializer, Error, Expected, MapAccess, SeqAccess,
    Unexpected, Visitor,
};
use serde::forward_to_deserialize_any;
use std::borrow::Cow;
use std::fmt::{self, Display};
use std::vec::IntoIter;

/// A value as a program outside writes it, opened one level at a time: what no type asks for is never
/// looked into, so that neither depth nor cycles matter.
pub(super) trait Plain: Sized {
    /// Whether this is `null` or `undefined`: what may be absent is then absent.
    fn is_nothing(&self) -> bool;

    /// What this is.
    fn open(self) -> Kind<Self>;
}

/// What a plain value is.
pub(super) enum Kind<V> {
    /// Yes or no.
    Truth(bool),
    /// Any number, be it none or without end: the field says what is wrong with it.
    Number(f64),
    /// A text.
    Text(String),
    /// A list.
    List(Vec<V>),
    /// The members of an object with their names, without those that are `undefined`.
    Object(Vec<(String, V)>),
    /// Nothing, or something that no input is made of, such as a function or a date.
    Other,
}

/// Reads an input struct.
///
/// # Errors
/// [`Code::UnknownField`], [`Code::NotAChoice`], [`Code::Missing`] and [`Code::WrongType`], each with
/// the path of the field.
pub(super) fn read<T: DeserializeOwned, V: Plain>(value: V) -> Result<T, InputError> {
    T::deserialize(Reader(value)).map_err(|mistake| mistake.0)
}

/// A mistake on its way out, gathering its path.
#[derive(Debug)]
pub(super) struct Mistake(InputError);

impl Mistake {
    fn new(code: Code, message: impl Into<Cow<'static, str>>, hint: String) -> Self {
        Self(InputError::new(code, message, hint))
    }

    fn wrong_type(expected: &dyn Display) -> Self {
        let message = "this is of a type that cannot be used here";
        Self::new(Code::WrongType, message, format!("expected {expected}"))
    }

    #[cold]
    #[inline(never)]
    fn within(self, outer: &str) -> Self {
        Self(self.0.within(outer))
    }

    #[cold]
    #[inline(never)]
    fn within_item(self, at: usize) -> Self {
        self.within(&format!("[{at}]"))
    }
}

impl Display for Mistake {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.write_str(&self.0.message)
    }
}

impl std::error::Error for Mistake {}

impl Error for Mistake {
    #[cold]
    fn custom<T: Display>(message: T) -> Self {
        let hint = "see the types of this module".to_owned();
        Self::new(Code::WrongType, message.to_string(), hint)
    }

    fn invalid_type(_: Unexpected<'_>, expected: &dyn Expected) -> Self {
        Self::wrong_type(&expected)
    }

    #[cold]
    #[inline(never)]
    fn unknown_variant(_: &str, choices: &'static [&'static str]) -> Self {
        let message = "this is not one of the choices";
        Self::new(Code::NotAChoice, message, one_of(choices))
    }

    #[cold]
    #[inline(never)]
    fn unknown_field(field: &str, fields: &'static [&'static str]) -> Self {
        let message = "there is no such field";
        Self::new(Code::UnknownField, message, one_of(fields)).within(field)
    }

    // Said by no object, whose names differ.
    #[cold]
    #[inline(never)]
    fn duplicate_field(field: &'static str) -> Self {
        Self::custom("this is there twice").within(field)
    }

    #[cold]
    #[inline(never)]
    fn missing_field(field: &'static str) -> Self {
        let message = format!("{field} is missing");
        Self::new(Code::Missing, message, format!("add {field}")).within(field)
    }
}

#[inline(never)]
fn one_of(names: &[&str]) -> String {
    format!("expected one of {}", names.join(", "))
}

/// Reads one value.
struct Reader<V>(V);

impl<V: Plain> Reader<V> {
    #[inline(never)]
    fn members(self) -> Result<Members<V>, Mistake> {
        match self.0.open() {
            Kind::Object(members) => Ok(Members {
                rest: members.into_iter(),
                current: None,
            }),
            _ => Err(Mistake::new(
                Code::WrongType,
                "this is not a plain object",
                "pass an object with the fields of its type".to_owned(),
            )),
        }
    }

    #[inline(never)]
    fn items(self) -> Result<Items<V>, Mistake> {
        match self.0.open() {
            Kind::List(items) => Ok(Items {
                rest: items.into_iter(),
                next: 0,
            }),
            _ => Err(Mistake::wrong_type(&"a list")),
        }
    }

    #[inline(never)]
    fn text(self) -> Result<String, Mistake> {
        match self.0.open() {
            Kind::Text(text) => Ok(text),
            _ => Err(Mistake::wrong_type(&"a string")),
        }
    }

    #[inline(never)]
    fn choice(self, choices: &[&str]) -> Result<String, Mistake> {
        match self.0.open() {
            Kind::Text(text) => Ok(text),
            _ => Err(Mistake::wrong_type(&format_args!(
                "one of {}",
                choices.join(", ")
            ))),
        }
    }
}

impl<'de, P: Plain> Deserializer<'de> for Reader<P> {
    type Error = Mistake;

    /// For what is written as a text or as a number.
    fn deserialize_any<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Mistake> {
        match self.0.open() {
            Kind::Text(text) => visitor.visit_string(text),
            Kind::Number(number) => visitor.visit_f64(number),
            _ => Err(Error::invalid_type(Unexpected::Other("this"), &visitor)),
        }
    }

    fn deserialize_bool<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Mistake> {
        match self.0.open() {
            Kind::Truth(truth) => visitor.visit_bool(truth),
            _ => Err(Mistake::wrong_type(&"true or false")),
        }
    }

    fn deserialize_string<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Mistake> {
        visitor.visit_string(self.text()?)
    }

    fn deserialize_option<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Mistake> {
        if self.0.is_nothing() {
            visitor.visit_none()
        } else {
            visitor.visit_some(self)
        }
    }

    fn deserialize_seq<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Mistake> {
        visitor.visit_seq(self.items()?)
    }

    fn deserialize_struct<V: Visitor<'de>>(
        self,
        _: &'static str,
        _: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Mistake> {
        visitor.visit_map(self.members()?)
    }

    fn deserialize_enum<V: Visitor<'de>>(
        self,
        _: &'static str,
        choices: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Mistake> {
        visitor.visit_enum(StrDeserializer::new(&self.choice(choices)?))
    }

    forward_to_deserialize_any! {
        i8 i16 i32 i64 i128 u8 u16 u32 u64 u128 f32 f64 char str bytes byte_buf unit unit_struct
        newtype_struct tuple tuple_struct map identifier ignored_any
    }
}

/// The members of an object that are still to be read, and the one whose name was read.
struct Members<V> {
    rest: IntoIter<(String, V)>,
    current: Option<(String, V)>,
}

impl<'de, V: Plain> MapAccess<'de> for Members<V> {
    type Error = Mistake;

    fn next_key_seed<K: DeserializeSeed<'de>>(
        &mut self,
        seed: K,
    ) -> Result<Option<K::Value>, Mistake> {
        self.current = self.rest.next();
        match &self.current {
            Some((name, _)) => seed.deserialize(StrDeserializer::new(name)).map(Some),
            None => Ok(None),
        }
    }

    fn next_value_seed<S: DeserializeSeed<'de>>(&mut self, seed: S) -> Result<S::Value, Mistake> {
        // A value is asked for after its name only.
        let Some((name, value)) = self.current.take() else {
            return Err(Error::custom("a value without a name"));
        };
        let read = seed.deserialize(Reader(value));
        read.map_err(|mistake| mistake.within(&name))
    }
}

/// The items of a list that are still to be read.
struct Items<V> {
    rest: IntoIter<V>,
    next: usize,
}

impl<'de, V: Plain> SeqAccess<'de> for Items<V> {
    type Error = Mistake;

    fn next_element_seed<S: DeserializeSeed<'de>>(
        &mut self,
        seed: S,
    ) -> Result<Option<S::Value>, Mistake> {
        let Some(item) = self.rest.next() else {
            return Ok(None);
        };
        let at = self.next;
        self.next += 1;
        let read = seed.deserialize(Reader(item)).map(Some);
        read.map_err(|mistake| mistake.within_item(at))
    }
}
