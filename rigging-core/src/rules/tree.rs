//! A rule file as a tree of values, each with its place, read with errors that name place and key.

use crate::error::{Error, Place};
use crate::text::Text;
use toml::Value;

/// A value of the file and where it stands.
#[derive(Clone)]
pub(super) struct Node<'a> {
    pub(super) value: &'a Value,
    pub(super) place: Place,
}

/// The keys of one table, all of them known.
pub(super) struct Keys<'a> {
    table: &'a toml::Table,
    pub(super) place: Place,
}

/// Parse the text; errors of syntax name the line.
pub(super) fn parse(text: &str) -> Result<Value, Error> {
    let table: toml::Table = toml::from_str(text).map_err(|error| {
        let line = error
            .span()
            .map_or(1, |span| text.as_bytes().iter().take(span.start).filter(|byte| **byte == b'\n').count() + 1);
        Error::malformed(format!("line {line}: {}", error.message()), Place::root())
    })?;
    Ok(Value::Table(table))
}

impl<'a> Node<'a> {
    pub(super) const fn new(value: &'a Value, place: Place) -> Self {
        Self { value, place }
    }

    fn wrong(&self, expected: &str) -> Error {
        Error::malformed(format!("{} stands where {expected} is expected", self.value.type_str()), self.place.clone())
    }

    /// The keys of a table, none of which may be unknown.
    pub(super) fn keys(&self, known: &[&str]) -> Result<Keys<'a>, Error> {
        let keys = self.any_keys()?;
        for key in keys.table.keys() {
            if !known.contains(&key.as_str()) {
                return Err(Error::UnknownKey {
                    key: key.clone(),
                    nearest: crate::error::nearest(key, known.iter().copied()),
                    place: self.place.child(key),
                });
            }
        }
        Ok(keys)
    }

    /// The keys of a table whose names are data.
    pub(super) fn any_keys(&self) -> Result<Keys<'a>, Error> {
        let table = self.value.as_table().ok_or_else(|| self.wrong("a table"))?;
        Ok(Keys { table, place: self.place.clone() })
    }

    pub(super) fn text(&self) -> Result<&'a str, Error> {
        let text = self.value.as_str().ok_or_else(|| self.wrong("a text"))?;
        if text.trim().is_empty() {
            return Err(Error::malformed("the text is empty", self.place.clone()));
        }
        // It is printed, and a line of its own would read as one of the report.
        if text.chars().any(char::is_control) {
            let what = "a text that is printed holds no line break or other control character";
            return Err(Error::malformed(what, self.place.clone()));
        }
        Ok(text)
    }

    pub(super) fn number(&self) -> Result<f64, Error> {
        let number = match self.value {
            Value::Float(number) => *number,
            // A whole number beyond 2^53 would be rounded; nothing in a rule is that large.
            Value::Integer(number) if number.unsigned_abs() <= 1 << 53 => *number as f64,
            Value::Integer(number) => {
                return Err(Error::out_of_domain("number", *number as f64, "", "at most 2^53", self.place.clone()));
            }
            _ => return Err(self.wrong("a number")),
        };
        if !number.is_finite() {
            return Err(Error::out_of_domain("number", number, "", "finite", self.place.clone()));
        }
        Ok(number)
    }

    /// The items of a list.
    pub(super) fn items(&self) -> Result<Vec<Self>, Error> {
        let array = self.value.as_array().ok_or_else(|| self.wrong("a list"))?;
        Ok(array.iter().enumerate().map(|(index, value)| Self { value, place: self.place.child(index) }).collect())
    }

    /// The items of a list that must not be empty.
    pub(super) fn some_items(&self) -> Result<Vec<Self>, Error> {
        let items = self.items()?;
        if items.is_empty() {
            return Err(Error::malformed("the list is empty", self.place.clone()));
        }
        Ok(items)
    }

    /// One text, or a list of texts.
    pub(super) fn texts(&self) -> Result<Vec<(&'a str, Place)>, Error> {
        if self.value.is_str() {
            return Ok(vec![(self.text()?, self.place.clone())]);
        }
        self.some_items()?.iter().map(|item| Ok((item.text()?, item.place.clone()))).collect()
    }
}

impl<'a> Keys<'a> {
    pub(super) fn optional(&self, key: &str) -> Option<Node<'a>> {
        self.table.get(key).map(|value| Node { value, place: self.place.child(key) })
    }

    /// The value of a key that must be there; `add` is what to write.
    pub(super) fn required(&self, key: &str, add: impl Into<Text>) -> Result<Node<'a>, Error> {
        self.optional(key).ok_or_else(|| Error::missing(format!("the key \"{key}\""), add, self.place.child(key)))
    }

    pub(super) fn text(&self, key: &str, add: impl Into<Text>) -> Result<Text, Error> {
        self.required(key, add)?.text().map(|text| text.to_owned().into())
    }

    pub(super) fn optional_text(&self, key: &str) -> Result<Option<Text>, Error> {
        self.optional(key).map(|node| node.text().map(|text| text.to_owned().into())).transpose()
    }

    pub(super) fn optional_number(&self, key: &str) -> Result<Option<f64>, Error> {
        self.optional(key).map(|node| node.number()).transpose()
    }

    pub(super) fn entries(&self) -> impl Iterator<Item = (&'a str, Node<'a>)> {
        let place = self.place.clone();
        self.table.iter().map(move |(key, value)| (key.as_str(), Node { value, place: place.child(key) }))
    }
}

/// The tree as one text that does not depend on layout, comments, the order of keys or how a number is written: what
/// the hash is taken over.
pub(super) fn canonical(value: &Value) -> String {
    match value {
        Value::String(text) => quoted(text),
        Value::Integer(number) => (*number as f64).to_string(),
        Value::Float(number) => number.to_string(),
        Value::Boolean(truth) => truth.to_string(),
        Value::Datetime(date) => quoted(&date.to_string()),
        Value::Array(items) => format!("[{}]", items.iter().map(canonical).collect::<Vec<_>>().join(",")),
        Value::Table(table) => {
            let mut entries: Vec<(&String, &Value)> = table.iter().collect();
            entries.sort_by_key(|(key, _)| *key);
            let entries: Vec<String> =
                entries.iter().map(|(key, value)| format!("{}:{}", quoted(key), canonical(value))).collect();
            format!("{{{}}}", entries.join(","))
        }
    }
}

fn quoted(text: &str) -> String {
    serde_json::Value::from(text).to_string()
}
