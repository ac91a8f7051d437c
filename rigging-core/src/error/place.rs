//! Where in a document.
//!
//! Every finding names its place and every check of an input names one in case that it has to complain, so a place is
//! made many times and read but seldom: a short one needs no memory of its own.

use serde::{Deserialize, Deserializer, Serialize, Serializer};
use std::fmt::{self, Display};
use std::sync::Arc;

/// A JSON pointer (RFC 6901) into the document that was read, or into the system that was built.
#[derive(Clone, Default, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(transparent)]
pub struct Place(#[cfg_attr(feature = "schema", schemars(with = "String"))] Held);

/// The longest pointer that needs no memory of its own, in bytes. Most are shorter; one more would make every error larger
/// than is cheap to hand on.
const SHORT: usize = 30;

/// A text of at most [`SHORT`] bytes is always held short, and the bytes after it are zero: so two are equal when their
/// texts are.
#[doc(hidden)]
#[derive(Clone, PartialEq, Eq, Hash)]
pub enum Held {
    Short { length: u8, bytes: [u8; SHORT] },
    Long(Arc<str>),
}

impl Place {
    /// The whole document.
    pub const fn root() -> Self {
        Self(Held::Short { length: 0, bytes: [0; SHORT] })
    }

    /// A place from the text of a JSON pointer.
    pub fn pointer(text: impl AsRef<str>) -> Self {
        let mut growing = Growing::default();
        growing.push(text.as_ref());
        Self(growing.held())
    }

    /// The place of `key`, a name or an index, below this one.
    ///
    /// ```
    /// use rigging_core::error::Place;
    /// assert_eq!(Place::root().child("slings").child(2).child("a/b").as_str(), "/slings/2/a~1b");
    /// ```
    // Inlined, so that of a key that is written in the program nothing is left but to store it.
    #[inline]
    pub fn child(&self, key: impl Key) -> Self {
        key.short_below(&self.0).map_or_else(|| self.long_child(key), Self)
    }

    #[cold]
    fn long_child(&self, key: impl Key) -> Self {
        let mut growing = Growing::of(&self.0);
        key.push_onto(&mut growing);
        Self(growing.held())
    }

    /// This place seen from one level further up, where the present root stands under `key`.
    pub fn under(&self, key: impl Key) -> Self {
        let mut growing = Growing::default();
        key.push_onto(&mut growing);
        growing.push(self.as_str());
        Self(growing.held())
    }

    /// The pointer's text; empty for the whole document.
    pub fn as_str(&self) -> &str {
        self.0.as_str()
    }
}

impl Display for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let text = self.as_str();
        f.write_str(if text.is_empty() { "the whole document" } else { text })
    }
}

impl fmt::Debug for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_tuple("Place").field(&self.as_str()).finish()
    }
}

impl Held {
    fn as_str(&self) -> &str {
        match self {
            // Only whole texts are written into the bytes, so they are always text.
            Self::Short { length, bytes } => {
                bytes.get(..usize::from(*length)).and_then(|bytes| std::str::from_utf8(bytes).ok()).unwrap_or_default()
            }
            Self::Long(text) => text,
        }
    }
}

impl Default for Held {
    fn default() -> Self {
        Place::root().0
    }
}

impl Serialize for Held {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self.as_str())
    }
}

impl<'de> Deserialize<'de> for Held {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        String::deserialize(deserializer).map(|text| Place::pointer(text).0)
    }
}

/// What stands between two slashes of a pointer: the name of an entry, or the index of an element.
///
/// It is written without the machinery of formatting, because places are made far more often than anything is printed.
pub trait Key: Copy + sealed::Sealed {
    /// Appends a slash and the key, in which "~" and "/" are escaped.
    #[doc(hidden)]
    fn push_onto(self, growing: &mut Growing);

    /// The pointer that the key makes of one that is held short, if it stays short and nothing is escaped: nearly all are.
    #[doc(hidden)]
    fn short_below(&self, held: &Held) -> Option<Held>;
}

mod sealed {
    pub trait Sealed {}
    impl Sealed for &str {}
    impl Sealed for &String {}
    impl Sealed for usize {}
    impl Sealed for &usize {}
}

impl Key for &str {
    fn push_onto(self, growing: &mut Growing) {
        growing.push("/");
        let mut rest = self;
        // Hardly any key has a special character, and to look at all of them at once is faster than one by one.
        if !self.bytes().fold(false, |any, byte| any | (byte == b'~') | (byte == b'/')) {
            return growing.push(self);
        }
        while let Some((plain, special, after)) = first_special(rest) {
            growing.push(plain);
            growing.push(special);
            rest = after;
        }
        growing.push(rest);
    }

    #[inline]
    fn short_below(&self, held: &Held) -> Option<Held> {
        let Held::Short { length, bytes } = held else { return None };
        let mut bytes = *bytes;
        let (slash, room) = bytes.get_mut(usize::from(*length)..)?.split_first_mut()?;
        let room = room.get_mut(..self.len())?;
        *slash = b'/';
        room.copy_from_slice(self.as_bytes());
        let special = self.bytes().fold(false, |any, byte| any | (byte == b'~') | (byte == b'/'));
        // At most SHORT, which a byte holds.
        (!special).then_some(Held::Short { length: length + 1 + self.len() as u8, bytes })
    }
}

impl Key for &String {
    fn push_onto(self, growing: &mut Growing) {
        self.as_str().push_onto(growing);
    }

    fn short_below(&self, held: &Held) -> Option<Held> {
        self.as_str().short_below(held)
    }
}

impl Key for usize {
    fn push_onto(self, growing: &mut Growing) {
        const DIGITS: [&str; 10] = ["/0", "/1", "/2", "/3", "/4", "/5", "/6", "/7", "/8", "/9"];
        match DIGITS.get(self) {
            Some(one) => growing.push(one),
            None => self.to_string().as_str().push_onto(growing),
        }
    }

    #[inline]
    fn short_below(&self, held: &Held) -> Option<Held> {
        let Held::Short { length, bytes } = held else { return None };
        let digit = u8::try_from(*self).ok().filter(|digit| *digit < 10)?;
        let mut bytes = *bytes;
        let [slash, room, ..] = bytes.get_mut(usize::from(*length)..)? else { return None };
        (*slash, *room) = (b'/', b'0' + digit);
        Some(Held::Short { length: length + 2, bytes })
    }
}

impl Key for &usize {
    fn push_onto(self, growing: &mut Growing) {
        (*self).push_onto(growing);
    }

    fn short_below(&self, held: &Held) -> Option<Held> {
        (**self).short_below(held)
    }
}

/// A pointer that is being written.
#[doc(hidden)]
pub struct Growing {
    length: usize,
    bytes: [u8; ROOM],
    /// The whole text, once it is too long for the bytes.
    long: String,
}

/// Room in which a pointer is put together: longer ones are rare.
const ROOM: usize = 96;

impl Default for Growing {
    fn default() -> Self {
        Self { length: 0, bytes: [0; ROOM], long: String::new() }
    }
}

impl Growing {
    fn of(held: &Held) -> Self {
        let mut growing = Self::default();
        growing.push(held.as_str());
        growing
    }

    fn push(&mut self, text: &str) {
        let end = self.length + text.len();
        if self.long.is_empty() {
            if let Some(room) = self.bytes.get_mut(self.length..end) {
                room.copy_from_slice(text.as_bytes());
                self.length = end;
                return;
            }
            let short = self.written().to_owned();
            self.long = short;
        }
        self.long.push_str(text);
    }

    /// What was written while it had room in the bytes: whole texts.
    fn written(&self) -> &str {
        self.bytes.get(..self.length).and_then(|bytes| std::str::from_utf8(bytes).ok()).unwrap_or_default()
    }

    fn held(self) -> Held {
        if !self.long.is_empty() {
            return Held::Long(self.long.into());
        }
        match self.bytes.first_chunk() {
            // At most SHORT, which a byte holds.
            Some(bytes) if self.length <= SHORT => Held::Short { length: self.length as u8, bytes: *bytes },
            _ => Held::Long(self.written().into()),
        }
    }
}

/// What stands before the first "~" or "/", the escape of it, and what follows.
fn first_special(text: &str) -> Option<(&str, &'static str, &str)> {
    let at = text.bytes().position(|byte| byte == b'~' || byte == b'/')?;
    let escape = if text.as_bytes().get(at) == Some(&b'~') { "~0" } else { "~1" };
    Some((text.get(..at)?, escape, text.get(at + 1..)?))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Joined by the book: RFC 6901, sections 3 and 4.
    fn joined(keys: &[String]) -> String {
        keys.iter().map(|key| format!("/{}", key.replace('~', "~0").replace('/', "~1"))).collect()
    }

    #[test]
    fn places_of_every_length_read_as_they_were_written() {
        let mut cases = 0;
        for size in 0..12 {
            for count in 0..10 {
                let keys: Vec<String> =
                    (0..count).map(|key: usize| "a/~\u{e9}".chars().cycle().skip(key).take(size).collect()).collect();
                let expected = joined(&keys);
                let place = keys.iter().fold(Place::root(), |place, key| place.child(key));
                assert_eq!(place.as_str(), expected);
                assert_eq!(keys.iter().rev().fold(Place::root(), |place, key| place.under(key)), place);
                assert_eq!(Place::pointer(&expected), place);
                let json = serde_json::to_string(&place).unwrap();
                assert_eq!(json, serde_json::to_string(&expected).unwrap());
                assert_eq!(serde_json::from_str::<Place>(&json).unwrap(), place);
                assert_eq!(format!("{place:?}"), format!("Place({expected:?})"));
                cases += 1;
            }
        }
        println!("places: {cases} ran, 0 skipped");
        assert_eq!(cases, 120);
    }

    #[test]
    fn a_place_makes_no_error_larger_than_the_lint_allows() {
        assert_eq!(size_of::<Place>(), 32);
        assert!(size_of::<crate::error::Error>() < 128);
    }
}
