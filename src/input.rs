//! How a struct of an input is read from the members of an object.
//!
//! Each struct says which members it has; the way to read them is one for all. A way of its own for each
//! struct, as a derive of serde writes it, with a place for every member that may not have been read
//! yet, took three times as many bytes of the module.

use serde::de::{DeserializeSeed, Deserializer, Error, MapAccess, Visitor};
use std::fmt;
use std::marker::PhantomData;

/// A struct of an input, whose default is what an object without members says.
pub(crate) trait Members: Default {
    /// The names of its members.
    const NAMES: &'static [&'static str];
    /// Those without which there is no such input, by their bits.
    const NEEDED: u32;

    /// Reads the value of the member at this place.
    fn take<'de, M: MapAccess<'de>>(
        &mut self,
        place: usize,
        members: &mut M,
    ) -> Result<(), M::Error>;
}

/// Writes a struct of an input, which is read by its members' names in camelCase. A member with
/// `= default` may be left out, and is then as in the struct's default.
macro_rules! read_by_members {
    (
        $(#[$about:meta])*
        pub struct $input:ident {
            $($(#[$says:meta])* pub $member:ident: $kind:ty $(= $absent:ident)?,)*
        }
    ) => {
        $(#[$about])*
        #[cfg_attr(target_arch = "wasm32", derive(tsify::Tsify), serde(rename_all = "camelCase"))]
        pub struct $input {
            $(
                $(#[$says])*
                $(#[cfg_attr(target_arch = "wasm32", serde($absent))])?
                pub $member: $kind,
            )*
        }

        impl $crate::input::Members for $input {
            const NAMES: &'static [&'static str] = &[$({
                const SNAKE: &str = stringify!($member);
                const LENGTH: usize = $crate::input::camel_length(SNAKE);
                const CAMEL: [u8; LENGTH] = $crate::input::camel(SNAKE);
                match str::from_utf8(&CAMEL) {
                    Ok(name) => name,
                    Err(_) => SNAKE,
                }
            }),*];
            const NEEDED: u32 = {
                let bits = [$({
                    let absent: &[&str] = &[$(stringify!($absent))?];
                    absent.is_empty()
                }),*];
                $crate::input::bits(&bits)
            };

            fn take<'de, M: serde::de::MapAccess<'de>>(
                &mut self,
                place: usize,
                members: &mut M,
            ) -> Result<(), M::Error> {
                #[expect(non_camel_case_types, reason = "the members by their names")]
                enum Place {
                    $($member),*
                }
                $(
                    if place == Place::$member as usize {
                        self.$member = members.next_value()?;
                    }
                )*
                Ok(())
            }
        }

        impl<'de> serde::Deserialize<'de> for $input {
            fn deserialize<D: serde::Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
                $crate::input::read(deserializer)
            }
        }
    };
}
pub(crate) use read_by_members;

/// So many bytes a name has without its underscores.
pub(crate) const fn camel_length(snake: &str) -> usize {
    let bytes = snake.as_bytes();
    let (mut at, mut length) = (0, 0);
    while at < bytes.len() {
        if bytes[at] != b'_' {
            length += 1;
        }
        at += 1;
    }
    length
}

/// A name as JavaScript writes it: `cutStep` for `cut_step`.
pub(crate) const fn camel<const LENGTH: usize>(snake: &str) -> [u8; LENGTH] {
    let bytes = snake.as_bytes();
    let mut camel = [0; LENGTH];
    let (mut at, mut length) = (0, 0);
    while at < bytes.len() {
        if bytes[at] != b'_' {
            camel[length] = if at > 0 && bytes[at - 1] == b'_' {
                bytes[at].to_ascii_uppercase()
            } else {
                bytes[at]
            };
            length += 1;
        }
        at += 1;
    }
    camel
}

/// A bit for each of these that is so, the lowest one for the first.
pub(crate) const fn bits(so: &[bool]) -> u32 {
    let (mut at, mut bits) = (0, 0);
    while at < so.len() {
        if so[at] {
            bits |= 1 << at;
        }
        at += 1;
    }
    bits
}

/// Reads an input.
pub(crate) fn read<'de, T: Members, D: Deserializer<'de>>(deserializer: D) -> Result<T, D::Error> {
    deserializer.deserialize_struct("", T::NAMES, Reading(PhantomData))
}

struct Reading<T>(PhantomData<T>);

impl<'de, T: Members> Visitor<'de> for Reading<T> {
    type Value = T;

    fn expecting(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.write_str("an object")
    }

    fn visit_map<M: MapAccess<'de>>(self, mut members: M) -> Result<T, M::Error> {
        let mut input = T::default();
        let mut lacks = T::NEEDED;
        while let Some(place) = members.next_key_seed(Names(T::NAMES))? {
            input.take(place, &mut members)?;
            lacks &= !(1 << place);
        }
        match T::NAMES.get(lacks.trailing_zeros() as usize) {
            Some(name) => Err(Error::missing_field(name)),
            None => Ok(input),
        }
    }
}

/// Finds the place of a name among these.
struct Names(&'static [&'static str]);

impl<'de> DeserializeSeed<'de> for Names {
    type Value = usize;

    fn deserialize<D: Deserializer<'de>>(self, deserializer: D) -> Result<usize, D::Error> {
        deserializer.deserialize_identifier(self)
    }
}

impl Visitor<'_> for Names {
    type Value = usize;

    fn expecting(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.write_str("the name of a member")
    }

    fn visit_str<E: Error>(self, name: &str) -> Result<usize, E> {
        let place = self.0.iter().position(|known| *known == name);
        place.ok_or_else(|| Error::unknown_field(name, self.0))
    }
}

#[cfg(test)]
mod tests {
    use super::Members as _;
    use serde_json::json;

    read_by_members! {
        /// An input with all kinds of members.
        #[derive(Debug, PartialEq)]
        pub struct Letter {
            /// Must be there.
            pub to: String,
            /// May be absent, and is not nothing then.
            pub number_of_sheets_a4: u32 = default,
            /// Must be there too.
            pub by_sea: bool,
        }
    }

    impl Default for Letter {
        fn default() -> Self {
            Self {
                to: String::new(),
                number_of_sheets_a4: 7,
                by_sea: false,
            }
        }
    }

    fn letter(object: serde_json::Value) -> Result<Letter, String> {
        serde_json::from_value(object).map_err(|error| error.to_string())
    }

    #[test]
    fn members_have_the_names_that_javascript_gives_them() {
        assert_eq!(Letter::NAMES, ["to", "numberOfSheetsA4", "bySea"]);
    }

    #[test]
    fn what_is_absent_is_as_in_the_default_or_asked_for() {
        let read = letter(json!({"bySea": true, "to": "Ada"}));
        let expected = Letter {
            to: "Ada".into(),
            by_sea: true,
            ..Letter::default()
        };
        assert_eq!(read, Ok(expected));
        let read = letter(json!({"to": "Ada", "numberOfSheetsA4": 2, "bySea": false}));
        assert_eq!(read.map(|read| read.number_of_sheets_a4), Ok(2));
        let missing = |object| letter(object).unwrap_err();
        assert!(missing(json!({"to": "Ada"})).contains("`bySea`"));
        assert!(missing(json!({"bySea": true})).contains("`to`"));
        assert!(missing(json!({})).contains("`to`"));
    }

    #[test]
    fn a_member_that_is_not_known_is_refused() {
        let error = letter(json!({"to": "Ada", "bySea": true, "by_sea": true})).unwrap_err();
        assert!(error.contains("`by_sea`"), "{error}");
    }
}
