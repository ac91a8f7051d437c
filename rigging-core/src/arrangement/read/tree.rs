//! JSON text as a tree, with the limits that keep a hostile text from costing more than it is worth.

use crate::error::{Error, Key, Place};
use serde::de::{DeserializeSeed, Deserializer, MapAccess, SeqAccess, Visitor};
use std::cell::RefCell;

/// Longest document, in bytes.
const LONGEST_DOCUMENT: usize = 4 << 20;
/// Longest text or key, in bytes.
const LONGEST_TEXT: usize = 4_000;
/// Longest list, and most keys of an object.
const LONGEST_LIST: usize = 10_000;
/// Deepest nesting; a lift document needs less than ten.
const DEEPEST: usize = 32;

/// A JSON value; an object keeps the order of its keys.
pub(super) enum Tree {
    Null,
    Bool(bool),
    Number(serde_json::Number),
    Text(String),
    List(Vec<Tree>),
    Object(Vec<(String, Tree)>),
}

impl Tree {
    /// The value under `key`, where this is an object that has it.
    pub(super) fn key(&self, key: &str) -> Option<&Self> {
        let Self::Object(entries) = self else { return None };
        entries.iter().find(|(name, _)| name == key).map(|(_, value)| value)
    }

    /// This value as a whole number, where it is one.
    pub(super) fn whole_number(&self) -> Option<u64> {
        let Self::Number(number) = self else { return None };
        number.as_u64()
    }
}

/// Parses `text`; the errors are syntax (`malformed`), size or depth (`too_large`) and `duplicate_key`.
pub(super) fn parse(text: &str) -> Result<Tree, Error> {
    if text.len() > LONGEST_DOCUMENT {
        return Err(too_large("length of the document", text.len(), "bytes", LONGEST_DOCUMENT, Place::root()));
    }
    let refusal = RefCell::new(None);
    let mut parser = serde_json::Deserializer::from_str(text);
    let tree = Seed { place: Place::root(), depth: 0, refusal: &refusal }
        .deserialize(&mut parser)
        .and_then(|tree| parser.end().map(|()| tree));
    tree.map_err(|syntax| match refusal.take() {
        Some(error) => error,
        None => Error::malformed(format!("not JSON: {syntax}"), Place::root()),
    })
}

fn too_large(name: &str, found: usize, unit: &str, most: usize, place: Place) -> Error {
    let reading = crate::error::Reading::new(name, found as f64, unit, format!("at most {most} {unit}"));
    Error::TooLarge { reading, place }
}

/// Builds the tree below `place`. `serde_json` keeps only the text of an error, so ours waits in `refusal`.
struct Seed<'a> {
    place: Place,
    depth: usize,
    refusal: &'a RefCell<Option<Error>>,
}

impl Seed<'_> {
    fn refuse<E: serde::de::Error>(&self, error: Error) -> E {
        *self.refusal.borrow_mut() = Some(error);
        E::custom("refused")
    }

    fn below(&self, key: impl Key) -> Self {
        Self { place: self.place.child(key), depth: self.depth + 1, refusal: self.refusal }
    }

    fn check_depth<E: serde::de::Error>(&self) -> Result<(), E> {
        if self.depth < DEEPEST {
            return Ok(());
        }
        Err(self.refuse(too_large("depth of nesting", self.depth + 1, "levels", DEEPEST, self.place.clone())))
    }

    fn check_text<E: serde::de::Error>(&self, text: &str) -> Result<(), E> {
        if text.len() <= LONGEST_TEXT {
            return Ok(());
        }
        Err(self.refuse(too_large("length of the text", text.len(), "bytes", LONGEST_TEXT, self.place.clone())))
    }
}

impl<'de> DeserializeSeed<'de> for Seed<'_> {
    type Value = Tree;

    fn deserialize<D: Deserializer<'de>>(self, deserializer: D) -> Result<Tree, D::Error> {
        deserializer.deserialize_any(self)
    }
}

impl<'de> Visitor<'de> for Seed<'_> {
    type Value = Tree;

    fn expecting(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("a JSON value")
    }

    fn visit_unit<E>(self) -> Result<Tree, E> {
        Ok(Tree::Null)
    }

    fn visit_bool<E>(self, value: bool) -> Result<Tree, E> {
        Ok(Tree::Bool(value))
    }

    fn visit_u64<E>(self, value: u64) -> Result<Tree, E> {
        Ok(Tree::Number(value.into()))
    }

    fn visit_i64<E>(self, value: i64) -> Result<Tree, E> {
        Ok(Tree::Number(value.into()))
    }

    fn visit_f64<E: serde::de::Error>(self, value: f64) -> Result<Tree, E> {
        serde_json::Number::from_f64(value).map(Tree::Number).ok_or_else(|| E::custom("number out of range"))
    }

    fn visit_str<E: serde::de::Error>(self, value: &str) -> Result<Tree, E> {
        self.check_text(value)?;
        Ok(Tree::Text(value.to_owned()))
    }

    fn visit_seq<A: SeqAccess<'de>>(self, mut access: A) -> Result<Tree, A::Error> {
        self.check_depth()?;
        let mut list = Vec::new();
        while let Some(item) = access.next_element_seed(self.below(list.len()))? {
            list.push(item);
            if list.len() > LONGEST_LIST {
                let error = too_large("length of the list", list.len(), "items", LONGEST_LIST, self.place.clone());
                return Err(self.refuse(error));
            }
        }
        Ok(Tree::List(list))
    }

    fn visit_map<A: MapAccess<'de>>(self, mut access: A) -> Result<Tree, A::Error> {
        self.check_depth()?;
        let mut object: Vec<(String, Tree)> = Vec::new();
        let mut keys = std::collections::HashSet::new();
        while let Some(key) = access.next_key::<String>()? {
            self.check_text(&key)?;
            if !keys.insert(key.clone()) {
                let place = self.place.child(&key);
                return Err(self.refuse(Error::DuplicateKey { key, place }));
            }
            let value = access.next_value_seed(self.below(&key))?;
            object.push((key, value));
            if object.len() > LONGEST_LIST {
                let error = too_large("number of keys", object.len(), "keys", LONGEST_LIST, self.place.clone());
                return Err(self.refuse(error));
            }
        }
        Ok(Tree::Object(object))
    }
}
