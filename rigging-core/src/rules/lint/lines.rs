//! On which line of a file a place stands.

use crate::error::{Error, Place};
use toml::Spanned;
use toml::de::{DeTable, DeValue};

/// A parsed text that knows where everything stands.
pub(super) struct Lines<'a> {
    text: &'a str,
    root: Spanned<DeTable<'a>>,
    syntax: Vec<(usize, Error)>,
}

impl<'a> Lines<'a> {
    pub(super) fn of(text: &'a str) -> Self {
        let (root, errors) = DeTable::parse_recoverable(text);
        let line = |at: usize| text.as_bytes().iter().take(at).filter(|byte| **byte == b'\n').count() + 1;
        let syntax = errors
            .iter()
            .map(|error| {
                let at = line(error.span().map_or(0, |span| span.start));
                (at, Error::malformed(error.message(), Place::root()))
            })
            .collect();
        Self { text, root, syntax }
    }

    /// What is wrong with the text as TOML, each with its line.
    pub(super) fn syntax(&self) -> &[(usize, Error)] {
        &self.syntax
    }

    /// The line of a place, or of the nearest one above it that the text has.
    pub(super) fn at(&self, place: &Place) -> usize {
        let keys: Vec<String> =
            place.as_str().split('/').skip(1).map(|key| key.replace("~1", "/").replace("~0", "~")).collect();
        1 + self.text.as_bytes().iter().take(self.offset(&keys)).filter(|byte| **byte == b'\n').count()
    }

    fn offset(&self, keys: &[String]) -> usize {
        let Some((first, rest)) = keys.split_first() else { return 0 };
        let mut found = 0;
        let Some((key, mut value)) = self.root.get_ref().iter().find(|(key, _)| key.get_ref() == first) else {
            return found;
        };
        found = found.max(key.span().start);
        for key in rest {
            let next = match value.get_ref() {
                DeValue::Table(table) => table.iter().find(|(name, _)| name.get_ref() == key).map(|(name, next)| {
                    found = found.max(name.span().start);
                    next
                }),
                DeValue::Array(items) => key.parse::<usize>().ok().and_then(|index| items.get(index)),
                _ => None,
            };
            let Some(next) = next else { return found };
            // A table of an array written with brackets begins where its heading stands.
            found = found.max(next.span().start);
            value = next;
        }
        found
    }
}
