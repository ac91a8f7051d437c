//! The few generic forms in which documents give a value. Parameters, validity and scope are data of the rule.

use super::steps::Step;
use super::table::Table;
use crate::text::Text;
use std::sync::Arc;

/// How a rule arrives at its answer.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Relation {
    /// `constant`: one value.
    Constant(f64),
    /// `applies` and `words`: words in order of preference.
    Words(Arc<[Text]>),
    /// `table`: printed rows and columns.
    Table(Table),
    /// A form of one variable, the input of this index.
    Form { form: Form, of: usize },
    /// `product`, `greatest of`, `least of`: products and quotients of facts and numbers.
    Products { pick: Pick, of: Vec<Alternative> },
    /// `steps`: named results, each drawn from inputs and earlier ones; the last is the value.
    Steps(Vec<Step>),
    /// `does not apply`: the document excludes this.
    DoesNotApply { why: Text },
    /// `withheld`: the document speaks, but its value is not passed on.
    Withheld { why: Text },
}

/// A relation of one variable x.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Form {
    /// `root`: a + b·√(c/x).
    Root { a: f64, b: f64, c: f64 },
    /// `bend`: 1/(1 − k/√x).
    Bend { k: f64 },
    /// `greatest line`: the greatest of the lines a + b·x.
    GreatestLine(Vec<(f64, f64)>),
    /// `least line`: the least of the lines a + b·x.
    LeastLine(Vec<(f64, f64)>),
}

impl Form {
    /// The value at `x`; not finite where the form has none.
    pub(super) fn at(&self, x: f64) -> f64 {
        match self {
            Self::Root { a, b, c } => a + b * (c / x).sqrt(),
            Self::Bend { k } => 1.0 / (1.0 - k / x.sqrt()),
            Self::GreatestLine(lines) => lines.iter().map(|(a, b)| a + b * x).fold(f64::NEG_INFINITY, f64::max),
            Self::LeastLine(lines) => lines.iter().map(|(a, b)| a + b * x).fold(f64::INFINITY, f64::min),
        }
    }
}

/// Which of several products counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Pick {
    /// There is only one.
    Only,
    /// The greatest.
    Greatest,
    /// The least.
    Least,
}

/// One of several products, by name.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Alternative {
    pub(super) name: Text,
    pub(super) product: Product,
}

/// A product of numbers and inputs, divided by others.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Product {
    pub(super) times: Vec<Operand>,
    pub(super) divided_by: Vec<Operand>,
}

/// A number, the input of this index, or the earlier step of this index.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Operand {
    Number(f64),
    Input(usize),
    Earlier(usize),
}

impl Pick {
    /// The index and value of the alternative that counts.
    pub(super) fn among(self, values: &[f64]) -> Option<(usize, f64)> {
        let better = |a: f64, b: f64| match self {
            Self::Only => false,
            Self::Greatest => a > b,
            Self::Least => a < b,
        };
        let mut chosen: Option<(usize, f64)> = None;
        for (index, value) in values.iter().copied().enumerate() {
            if chosen.is_none_or(|(_, best)| better(value, best)) {
                chosen = Some((index, value));
            }
        }
        chosen
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn forms_at_points_worked_by_hand() {
        assert_eq!(Form::Root { a: 1.0, b: 0.25, c: 100.0 }.at(25.0), 1.5);
        assert_eq!(Form::Bend { k: 0.5 }.at(1.0), 2.0);
        assert_eq!(Form::Bend { k: 0.5 }.at(4.0), 1.0 / 0.75);
        let lines = Form::GreatestLine(vec![(1.5, -0.5), (1.0, 0.5)]);
        assert_eq!((lines.at(0.0), lines.at(0.5), lines.at(1.0)), (1.5, 1.25, 1.5));
        let least = Form::LeastLine(vec![(0.0, 1.3), (25.0, 1.25)]);
        assert_eq!((least.at(100.0), least.at(500.0), least.at(600.0)), (130.0, 650.0, 775.0));
        assert!(!Form::Root { a: 1.0, b: 0.25, c: 100.0 }.at(0.0).is_finite());
        assert!(Form::Bend { k: 0.5 }.at(-1.0).is_nan());
    }

    #[test]
    fn picks() {
        assert_eq!(Pick::Least.among(&[3.0, 1.0, 2.0]), Some((1, 1.0)));
        assert_eq!(Pick::Greatest.among(&[3.0, 1.0, 3.0]), Some((0, 3.0)));
        assert_eq!(Pick::Only.among(&[]), None);
    }
}
