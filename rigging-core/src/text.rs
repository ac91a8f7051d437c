//! A text that never changes and is shared instead of copied.
//!
//! A finding, a chain and an answer of a rule set repeat the same titles, units and clauses many times over. Whoever
//! hands one on shares the characters; nothing is copied.

use serde::{Deserialize, Deserializer, Serialize, Serializer};
use std::fmt::{self, Write};
use std::hash::{Hash, Hasher};
use std::ops::Deref;
use std::sync::Arc;

/// A text: words of this library, or a text of the user's that several owners share. Two are equal when their
/// characters are.
///
/// ```
/// use rigging_core::text::Text;
/// let own = Text::from("weight of the load");
/// let read = Text::from(String::from("weight of the load"));
/// assert_eq!(own, read);
/// assert_eq!(read.len(), 18); // every method of str
/// ```
#[derive(Clone)]
pub struct Text(Held);

#[derive(Clone)]
enum Held {
    Fixed(&'static str),
    Shared(Arc<str>),
    /// Whole texts one after the other. That they are one is found out where it is read: most of what is joined never is.
    Joined(Arc<[u8]>),
}

/// Bytes within which a text is put together at once.
const ROOM: usize = 192;

impl Text {
    /// A text of the program itself, also in a constant.
    pub const fn fixed(text: &'static str) -> Self {
        Self(Held::Fixed(text))
    }

    /// What is written by a format. Most of it is short, and memory is asked for once.
    pub fn written(text: fmt::Arguments<'_>) -> Self {
        if let Some(text) = text.as_str() {
            return Self::fixed(text);
        }
        let mut room = Room::new();
        match fmt::write(&mut room, text) {
            Ok(()) => room.text(),
            Err(fmt::Error) => text.to_string().into(),
        }
    }

    /// The characters.
    pub fn as_str(&self) -> &str {
        match &self.0 {
            Held::Fixed(text) => text,
            Held::Shared(text) => text,
            Held::Joined(bytes) => std::str::from_utf8(bytes).unwrap_or_default(),
        }
    }

    /// What `put` hands on, whole texts one after the other; none where it is longer than what is put together at once.
    pub(crate) fn put_together(put: impl FnOnce(&mut dyn FnMut(&[u8]) -> fmt::Result) -> fmt::Result) -> Option<Self> {
        let mut room = Room::new();
        put(&mut |part| room.push(part)).ok()?;
        Some(room.text())
    }

    /// Texts one after the other.
    pub(crate) fn joined<const N: usize>(parts: [&Self; N]) -> Self {
        let mut room = Room::new();
        match parts.iter().try_for_each(|part| room.push(part.bytes())) {
            Ok(()) => room.text(),
            Err(fmt::Error) => parts.map(Self::as_str).concat().into(),
        }
    }

    fn bytes(&self) -> &[u8] {
        match &self.0 {
            Held::Fixed(text) => text.as_bytes(),
            Held::Shared(text) => text.as_bytes(),
            Held::Joined(bytes) => bytes,
        }
    }
}

impl Default for Text {
    fn default() -> Self {
        Self::fixed("")
    }
}

impl Deref for Text {
    type Target = str;

    fn deref(&self) -> &str {
        self.as_str()
    }
}

impl std::borrow::Borrow<str> for Text {
    fn borrow(&self) -> &str {
        self
    }
}

impl AsRef<str> for Text {
    fn as_ref(&self) -> &str {
        self
    }
}

impl From<&'static str> for Text {
    fn from(text: &'static str) -> Self {
        Self::fixed(text)
    }
}

impl From<String> for Text {
    fn from(text: String) -> Self {
        Self(Held::Shared(text.into()))
    }
}

impl From<&String> for Text {
    fn from(text: &String) -> Self {
        Self(Held::Shared(text.as_str().into()))
    }
}

impl<const N: usize> From<[&str; N]> for Text {
    /// The parts joined.
    fn from(parts: [&str; N]) -> Self {
        let mut room = Room::new();
        match parts.iter().try_for_each(|part| room.push(part.as_bytes())) {
            Ok(()) => room.text(),
            Err(fmt::Error) => parts.concat().into(),
        }
    }
}

/// Where a text is put together, so that no memory has to be asked for before its length is known.
struct Room {
    bytes: [u8; ROOM],
    end: usize,
}

impl Room {
    const fn new() -> Self {
        Self { bytes: [0; ROOM], end: 0 }
    }

    /// Adds the bytes of a whole text; refuses what it has no room for.
    fn push(&mut self, part: &[u8]) -> fmt::Result {
        let end = self.end + part.len();
        self.bytes.get_mut(self.end..end).ok_or(fmt::Error)?.copy_from_slice(part);
        self.end = end;
        Ok(())
    }

    fn text(&self) -> Text {
        Text(Held::Joined(self.bytes.get(..self.end).unwrap_or_default().into()))
    }
}

impl Write for Room {
    fn write_str(&mut self, part: &str) -> fmt::Result {
        self.push(part.as_bytes())
    }
}

impl From<&Self> for Text {
    fn from(text: &Self) -> Self {
        text.clone()
    }
}

impl From<Text> for String {
    fn from(text: Text) -> Self {
        text.as_str().to_owned()
    }
}

impl From<&Text> for String {
    fn from(text: &Text) -> Self {
        text.as_str().to_owned()
    }
}

impl fmt::Display for Text {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(self)
    }
}

impl fmt::Debug for Text {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Debug::fmt(self.as_str(), f)
    }
}

impl PartialEq for Text {
    fn eq(&self, other: &Self) -> bool {
        self.bytes() == other.bytes()
    }
}

impl Eq for Text {}

impl PartialEq<str> for Text {
    fn eq(&self, other: &str) -> bool {
        self.as_str() == other
    }
}

impl PartialEq<&str> for Text {
    fn eq(&self, other: &&str) -> bool {
        self.as_str() == *other
    }
}

impl PartialEq<String> for Text {
    fn eq(&self, other: &String) -> bool {
        self.as_str() == other
    }
}

impl PartialEq<Text> for String {
    fn eq(&self, other: &Text) -> bool {
        self == other.as_str()
    }
}

impl PartialEq<Text> for &str {
    fn eq(&self, other: &Text) -> bool {
        *self == other.as_str()
    }
}

impl Hash for Text {
    fn hash<H: Hasher>(&self, state: &mut H) {
        self.as_str().hash(state);
    }
}

impl Serialize for Text {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self)
    }
}

impl<'de> Deserialize<'de> for Text {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        String::deserialize(deserializer).map(Self::from)
    }
}

#[cfg(feature = "schema")]
impl schemars::JsonSchema for Text {
    fn inline_schema() -> bool {
        true
    }

    fn schema_name() -> std::borrow::Cow<'static, str> {
        String::schema_name()
    }

    fn json_schema(generator: &mut schemars::SchemaGenerator) -> schemars::Schema {
        String::json_schema(generator)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_clone_shares_the_characters() {
        let read = Text::from("leg A".to_owned());
        assert_eq!(read.clone().as_ptr(), read.as_ptr());
        let other = Text::from("leg A".to_owned());
        assert_ne!(other.as_ptr(), read.as_ptr());
        assert_eq!(other, read);
        assert_ne!(Text::from("leg B"), read);
    }

    #[test]
    fn parts_of_every_length_are_joined() {
        for length in 0..=2 * ROOM {
            let (one, other) = ("\u{e9}".repeat(length / 2), "b".repeat(length));
            assert_eq!(Text::from([one.as_str(), "", other.as_str()]), format!("{one}{other}"));
            assert_eq!(Text::written(format_args!("{one}{length}{other}")), format!("{one}{length}{other}"));
        }
    }

    #[test]
    fn what_is_joined_is_the_text_it_reads_as() {
        let joined = Text::from(["\u{3b2} of ", "leg A"]);
        assert_eq!(joined, Text::from("\u{3b2} of leg A".to_owned()));
        assert_eq!(
            Text::joined([&joined, &Text::fixed(", "), &Text::from("leg B".to_owned())]),
            "\u{3b2} of leg A, leg B"
        );
        let hash = |text: &Text| {
            let mut state = std::hash::DefaultHasher::new();
            text.hash(&mut state);
            state.finish()
        };
        assert_eq!(hash(&joined), hash(&Text::fixed("\u{3b2} of leg A")));
        assert_eq!(joined.clone().bytes().as_ptr(), joined.bytes().as_ptr());
    }

    #[test]
    fn json_and_print_are_those_of_the_characters() {
        let json = serde_json::to_string(&Text::from("a \"b\"")).unwrap();
        assert_eq!(json, "\"a \\\"b\\\"\"");
        assert_eq!(serde_json::from_str::<Text>(&json).unwrap(), "a \"b\"");
        assert_eq!(format!("{:>4}|{:?}", Text::from("ab"), Text::from("ab")), "  ab|\"ab\"");
    }
}
