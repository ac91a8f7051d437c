//! A `serde` deserializer over a [`Tree`] whose errors are this crate's own, each with its place.

use super::tree::Tree;
use crate::error::{Error, Key, Place, nearest};
use serde::de::value::StrDeserializer;
use serde::de::{
    DeserializeSeed, Deserializer, EnumAccess, Expected, IntoDeserializer, MapAccess, SeqAccess, Unexpected,
    VariantAccess, Visitor,
};
use serde::forward_to_deserialize_any;

/// [`Error`] as an error type of `serde`.
#[derive(Debug)]
pub(super) struct Failure(Error);

impl Failure {
    pub(super) fn into_error(self) -> Error {
        self.0
    }

    fn malformed(what: String) -> Self {
        Self(Error::malformed(what, Place::root()))
    }

    fn under(self, key: impl Key) -> Self {
        Self(self.0.under(key))
    }
}

impl std::fmt::Display for Failure {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        self.0.fmt(f)
    }
}

impl std::error::Error for Failure {}

impl serde::de::Error for Failure {
    /// An error of ours carried through `serde` prints itself as JSON in the alternate form; anything else is a text.
    fn custom<T: std::fmt::Display>(message: T) -> Self {
        match serde_json::from_str(&format!("{message:#}")) {
            Ok(error) => Self(error),
            Err(_) => Self::malformed(message.to_string()),
        }
    }

    fn invalid_type(unexpected: Unexpected<'_>, expected: &dyn Expected) -> Self {
        Self::malformed(format!("{} is expected here, not {}", expected_in_words(expected), in_words(unexpected)))
    }

    fn invalid_value(unexpected: Unexpected<'_>, expected: &dyn Expected) -> Self {
        Self::invalid_type(unexpected, expected)
    }

    fn invalid_length(length: usize, expected: &dyn Expected) -> Self {
        Self::malformed(format!("{} is expected here, not {length} items", expected_in_words(expected)))
    }

    fn unknown_variant(variant: &str, expected: &'static [&'static str]) -> Self {
        let known = expected.iter().map(|name| format!("\"{name}\"")).collect::<Vec<_>>().join(", ");
        let hint = nearest(variant, expected.iter().copied())
            .map(|name| format!("; the nearest is \"{name}\""))
            .unwrap_or_default();
        Self::malformed(format!("\"{variant}\" is not one of {known}{hint}"))
    }

    fn unknown_field(field: &str, expected: &'static [&'static str]) -> Self {
        let nearest = nearest(field, expected.iter().copied());
        Self(Error::UnknownKey { key: field.to_owned(), nearest, place: Place::root() })
    }

    fn missing_field(field: &'static str) -> Self {
        Self(Error::missing(format!("the key \"{field}\""), format!("\"{field}\": …"), Place::root().child(field)))
    }
}

/// What `serde` expects, in words of JSON instead of words of Rust.
fn expected_in_words(expected: &dyn Expected) -> String {
    let text = expected.to_string();
    let size = |prefix: &str| text.strip_prefix(prefix).map(|count| format!("a list of {count} items"));
    match text.as_str() {
        "u32" | "u64" => "a whole number".to_owned(),
        "f64" => "a number".to_owned(),
        "a string" => "a text".to_owned(),
        "a boolean" => "true or false".to_owned(),
        "a sequence" => "a list".to_owned(),
        _ if text.starts_with("struct ") => "an object".to_owned(),
        _ => size("an array of length ").or_else(|| size("a tuple of size ")).unwrap_or(text),
    }
}

/// A key that cannot do without a value says "unknown": the same as if it were absent.
fn stated_unknown(expected: &dyn Expected) -> Failure {
    let what = "a value (the word \"unknown\" stands here)";
    Failure(Error::missing(what, expected_in_words(expected), Place::root()))
}

fn in_words(unexpected: Unexpected<'_>) -> String {
    match unexpected {
        Unexpected::Unit => "null (leave the key out, or write \"unknown\")".to_owned(),
        Unexpected::Str(text) => format!("the text \"{text}\""),
        Unexpected::Seq => "a list".to_owned(),
        Unexpected::Map => "an object".to_owned(),
        Unexpected::Bool(value) => value.to_string(),
        Unexpected::Unsigned(value) => format!("the number {value}"),
        Unexpected::Signed(value) => format!("the number {value}"),
        Unexpected::Float(value) => format!("the number {value}"),
        other => other.to_string(),
    }
}

/// The word for a value that nobody knows.
const UNKNOWN: &str = "unknown";

/// The words of an enumeration, as what is expected.
struct OneOf(&'static [&'static str]);

impl Expected for OneOf {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let words: Vec<String> = self.0.iter().map(|word| format!("\"{word}\"")).collect();
        write!(f, "one of {}", words.join(", "))
    }
}

/// One value of the tree.
#[derive(Clone, Copy)]
pub(super) struct Node<'a>(&'a Tree);

impl<'a> Node<'a> {
    pub(super) const fn root(tree: &'a Tree) -> Self {
        Self(tree)
    }
}

impl<'de, 'a: 'de> IntoDeserializer<'de, Failure> for Node<'a> {
    type Deserializer = Self;

    fn into_deserializer(self) -> Self {
        self
    }
}

impl<'de, 'a: 'de> Deserializer<'de> for Node<'a> {
    type Error = Failure;

    fn deserialize_any<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Failure> {
        match self.0 {
            Tree::Null => visitor.visit_unit(),
            Tree::Bool(value) => visitor.visit_bool(*value),
            Tree::Number(number) => match (number.as_u64(), number.as_i64(), number.as_f64()) {
                (Some(value), _, _) => visitor.visit_u64(value),
                (None, Some(value), _) => visitor.visit_i64(value),
                (None, None, Some(value)) => visitor.visit_f64(value),
                (None, None, None) => Err(Failure::malformed(format!("{number} is not a double"))),
            },
            Tree::Text(text) if text == UNKNOWN => Err(stated_unknown(&visitor)),
            Tree::Text(text) => visitor.visit_str(text),
            Tree::List(list) => {
                let mut items = Items { items: list.iter().enumerate() };
                let value = visitor.visit_seq(&mut items)?;
                // A list of fixed length stops reading at its end: what stands behind it would be lost in silence.
                match items.items.len() {
                    0 => Ok(value),
                    rest => {
                        let (most, count) = (list.len() - rest, list.len());
                        Err(Failure::malformed(format!("a list of {most} items is expected here, not {count} items")))
                    }
                }
            }
            Tree::Object(object) => visitor.visit_map(Entries { entries: object.iter(), value: None }),
        }
    }

    /// Unknown is written as the word "unknown", never as null.
    fn deserialize_option<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Failure> {
        match self.0 {
            Tree::Text(text) if text == UNKNOWN => visitor.visit_none(),
            _ => visitor.visit_some(self),
        }
    }

    fn deserialize_newtype_struct<V: Visitor<'de>>(self, _name: &'static str, visitor: V) -> Result<V::Value, Failure> {
        visitor.visit_newtype_struct(self)
    }

    /// An object that is unknown is one of which nothing is known. A list is no object, although `serde` would read the
    /// fields from it in their order.
    fn deserialize_struct<V: Visitor<'de>>(
        self,
        _name: &'static str,
        _fields: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Failure> {
        match self.0 {
            Tree::Text(text) if text == UNKNOWN => visitor.visit_map(Entries { entries: [].iter(), value: None }),
            Tree::List(_) => Err(serde::de::Error::invalid_type(Unexpected::Seq, &visitor)),
            _ => self.deserialize_any(visitor),
        }
    }

    fn deserialize_enum<V: Visitor<'de>>(
        self,
        _name: &'static str,
        variants: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Failure> {
        match self.0 {
            Tree::Text(text) if text == UNKNOWN => Err(stated_unknown(&OneOf(variants))),
            Tree::Text(text) => visitor.visit_enum(Variant { name: text, content: None }),
            Tree::Object(object) => match object.as_slice() {
                [(name, content)] => visitor.visit_enum(Variant { name, content: Some(content) }),
                _ => Err(Failure::malformed("a word, or an object with one key, is expected here".to_owned())),
            },
            _ => Err(Failure::malformed("a word, or an object with one key, is expected here".to_owned())),
        }
    }

    forward_to_deserialize_any! {
        bool i8 i16 i32 i64 i128 u8 u16 u32 u64 u128 f32 f64 char str string bytes byte_buf
        unit unit_struct seq tuple tuple_struct map identifier ignored_any
    }
}

struct Items<'a> {
    items: std::iter::Enumerate<std::slice::Iter<'a, Tree>>,
}

impl<'de, 'a: 'de> SeqAccess<'de> for Items<'a> {
    type Error = Failure;

    fn next_element_seed<T: DeserializeSeed<'de>>(&mut self, seed: T) -> Result<Option<T::Value>, Failure> {
        let Some((index, item)) = self.items.next() else { return Ok(None) };
        seed.deserialize(Node(item)).map(Some).map_err(|failure| failure.under(index))
    }

    fn size_hint(&self) -> Option<usize> {
        Some(self.items.len())
    }
}

struct Entries<'a> {
    entries: std::slice::Iter<'a, (String, Tree)>,
    value: Option<&'a (String, Tree)>,
}

impl<'de, 'a: 'de> MapAccess<'de> for Entries<'a> {
    type Error = Failure;

    fn next_key_seed<K: DeserializeSeed<'de>>(&mut self, seed: K) -> Result<Option<K::Value>, Failure> {
        self.value = self.entries.next();
        let Some((key, _)) = self.value else { return Ok(None) };
        let name: StrDeserializer<'_, Failure> = key.as_str().into_deserializer();
        seed.deserialize(name).map(Some).map_err(|failure| failure.under(key))
    }

    fn next_value_seed<S: DeserializeSeed<'de>>(&mut self, seed: S) -> Result<S::Value, Failure> {
        let Some((key, value)) = self.value.take() else {
            return Err(Failure::malformed("a value was asked for before its key".to_owned()));
        };
        seed.deserialize(Node(value)).map_err(|failure| failure.under(key))
    }

    fn size_hint(&self) -> Option<usize> {
        Some(self.entries.len())
    }
}

struct Variant<'a> {
    name: &'a str,
    content: Option<&'a Tree>,
}

impl<'de, 'a: 'de> EnumAccess<'de> for Variant<'a> {
    type Error = Failure;
    type Variant = Self;

    fn variant_seed<V: DeserializeSeed<'de>>(self, seed: V) -> Result<(V::Value, Self), Failure> {
        let name: StrDeserializer<'_, Failure> = self.name.into_deserializer();
        seed.deserialize(name).map(|value| (value, self))
    }
}

impl<'a> Variant<'a> {
    fn content(&self) -> Result<Node<'a>, Failure> {
        let bare = || Failure::malformed(format!("\"{}\" needs its particulars: {{\"{}\": …}}", self.name, self.name));
        self.content.map(Node).ok_or_else(bare)
    }
}

impl<'de, 'a: 'de> VariantAccess<'de> for Variant<'a> {
    type Error = Failure;

    fn unit_variant(self) -> Result<(), Failure> {
        match self.content {
            None => Ok(()),
            Some(_) => Err(Failure::malformed(format!("\"{}\" takes no particulars: write the word", self.name))),
        }
    }

    fn newtype_variant_seed<T: DeserializeSeed<'de>>(self, seed: T) -> Result<T::Value, Failure> {
        seed.deserialize(self.content()?).map_err(|failure| failure.under(self.name))
    }

    fn tuple_variant<V: Visitor<'de>>(self, _len: usize, visitor: V) -> Result<V::Value, Failure> {
        self.content()?.deserialize_any(visitor).map_err(|failure| failure.under(self.name))
    }

    fn struct_variant<V: Visitor<'de>>(
        self,
        _fields: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Failure> {
        self.content()?.deserialize_any(visitor).map_err(|failure| failure.under(self.name))
    }
}
