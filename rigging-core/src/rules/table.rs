//! A table in the document's printed shape: rows by one fact, columns by words and at most one number.

use super::range::{Range, same};
use super::relation::Form;
use super::rule::Condition;
use super::vocabulary::{Known, WordSet};
use crate::source::Standing;
use crate::text::Text;

/// A table.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Table {
    pub(super) rows: Rows,
    pub(super) columns: Vec<Column>,
    /// The input that the numbers over the columns are read against, and how.
    pub(super) column_number: Option<(usize, Lookup)>,
    /// One list per printed row, one cell per column.
    pub(super) cells: Vec<Vec<Cell>>,
}

/// What the rows are printed against.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Rows {
    /// A number: the input of this index. The last key may be open ("above"). The document may print rows beside these
    /// that were not seen.
    Number { input: usize, lookup: Lookup, keys: Vec<Option<f64>>, others_not_seen: bool },
    /// A number in bands: of the input of this index, rising, apart from each other.
    Band { input: usize, bands: Vec<Range> },
    /// A word fact; a row may stand for several words.
    Word { fact: &'static Known, keys: Vec<WordSet> },
}

impl Rows {
    /// The input that numbers or bands are printed against.
    pub(super) const fn input(&self) -> Option<usize> {
        match self {
            Self::Number { input, .. } | Self::Band { input, .. } => Some(*input),
            Self::Word { .. } => None,
        }
    }
}

/// How a number finds its row or column.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Lookup {
    /// Only a printed value.
    Exact,
    /// The first printed upper limit that is not exceeded.
    AtMost,
    /// The greatest printed value that is not above it.
    NextLower,
}

/// What stands over a column.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Column {
    pub(super) words: Vec<Condition>,
    /// None in a column of words only, and where no number stands over any.
    pub(super) number: Option<f64>,
}

impl Column {
    /// Whether the words over two columns can never be met together.
    pub(super) fn is_apart_from(&self, other: &Self) -> bool {
        self.words
            .iter()
            .any(|one| other.words.iter().any(|two| one.fact == two.fact && one.words.is_apart_from(two.words)))
    }
}

/// What stands in a cell.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Cell {
    /// A value; a suspected misprint says why, and is not passed on. Clause and standing where they are not the rule's.
    Value { value: f64, suspect: Option<Text>, standing: Option<Standing>, clause: Option<Text> },
    /// A form of one variable, the input of this index, printed in place of a value.
    Form { form: Form, of: usize },
    /// The document has a value here that was not seen.
    NotSeen,
}

/// Where a number lies among keys.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Found {
    At(usize),
    Outside,
}

impl Lookup {
    /// The index of the key that `x` finds; `None` keys are open upwards.
    pub(super) fn find(self, x: f64, keys: impl Iterator<Item = (usize, Option<f64>)>) -> Found {
        let mut lower: Option<(usize, f64)> = None;
        for (index, key) in keys {
            match (self, key) {
                (Self::Exact, Some(key)) if same(x, key) => return Found::At(index),
                (Self::AtMost, Some(key)) if x <= key || same(x, key) => return Found::At(index),
                (Self::AtMost, None) => return Found::At(index),
                (Self::NextLower, Some(key))
                    if (key <= x || same(x, key)) && lower.is_none_or(|(_, best)| key > best) =>
                {
                    lower = Some((index, key));
                }
                _ => {}
            }
        }
        lower.map_or(Found::Outside, |(index, _)| Found::At(index))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn find(lookup: Lookup, x: f64, keys: &[Option<f64>]) -> Found {
        lookup.find(x, keys.iter().copied().enumerate())
    }

    #[test]
    fn limits_belong_to_the_band_they_close() {
        let bands = [Some(100.0), Some(300.0), None];
        assert_eq!(find(Lookup::AtMost, 100.0, &bands), Found::At(0));
        assert_eq!(find(Lookup::AtMost, 100.000_001, &bands), Found::At(1));
        assert_eq!(find(Lookup::AtMost, 300.000_001, &bands), Found::At(2));
        assert_eq!(find(Lookup::AtMost, 301.0, &bands[..2]), Found::Outside);
    }

    #[test]
    fn exact_and_next_lower() {
        let angles = [Some(60.0), Some(45.0), Some(30.0)];
        assert_eq!(find(Lookup::NextLower, 59.0, &angles), Found::At(1));
        assert_eq!(find(Lookup::NextLower, 60.0, &angles), Found::At(0));
        assert_eq!(find(Lookup::NextLower, 29.9, &angles), Found::Outside);
        assert_eq!(find(Lookup::Exact, 45.0, &angles), Found::At(1));
        assert_eq!(find(Lookup::Exact, 46.0, &angles), Found::Outside);
    }
}
