//! A value and how it came about: a base and steps, each with symbol, source and the branches that were not taken.
//!
//! A demand and a capacity are both chains. A chain is what a report prints and what answers "where does this number
//! come from"; no coefficient travels any other way. Values are in SI units. Terms are shared, so a clone copies none.

use crate::source::Source;
use crate::text::Text;
use serde::{Deserialize, Serialize};
use std::sync::Arc;

/// What a step does to the running value.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Operation {
    /// The running value is multiplied by the operand.
    Times,
    /// The running value is divided by the operand.
    DividedBy,
    /// The operand is added.
    Plus,
    /// The greater of running value and operand.
    GreatestOf,
    /// The lesser of running value and operand.
    LeastOf,
    /// The running value enters a mechanical calculation whose outcome is the operand (a solve, a worst case).
    Becomes,
}

impl Operation {
    /// What it makes of the numbers, from the first on; none for what a mechanical calculation makes.
    ///
    /// ```
    /// use rigging_core::chain::Operation;
    /// assert_eq!(Operation::Times.of([2.0, 3.0, 0.5]), Some(3.0));
    /// assert_eq!(Operation::Becomes.of([2.0]), None);
    /// ```
    pub fn of(self, numbers: impl IntoIterator<Item = f64>) -> Option<f64> {
        if self == Self::Becomes {
            return None;
        }
        numbers.into_iter().reduce(|running, operand| apply(self, running, operand))
    }
}

/// When a factor acts: on weight, before the equilibrium is solved, or on force, after it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Acts {
    /// On weight: it changes stretch and sharing.
    OnWeight,
    /// On a force or a strength.
    OnForce,
}

/// An input that a step was computed from.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Input {
    /// Name, in words.
    pub name: Text,
    /// The value, printed with its unit, or a word.
    pub value: Text,
}

/// An alternative that was weighed and not taken.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Branch {
    /// Symbol or name.
    pub name: Text,
    /// Its value.
    pub value: f64,
    /// Where it comes from.
    pub source: Source,
}

/// The operand of a base or step: a value with its symbol, its meaning and its source.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Term {
    /// Symbol, as the document prints it where it has one.
    pub symbol: Text,
    /// What it is, in words.
    pub name: Text,
    /// The value: SI, or a pure number.
    pub value: f64,
    /// Unit of `value`; empty for a pure number.
    pub unit: Text,
    /// Where it comes from.
    pub source: Source,
    /// What it was computed or looked up from.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub inputs: Vec<Input>,
    /// Alternatives not taken.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub not_taken: Vec<Branch>,
}

impl Term {
    /// A term without inputs.
    pub fn new(
        symbol: impl Into<Text>,
        name: impl Into<Text>,
        value: f64,
        unit: impl Into<Text>,
        source: Source,
    ) -> Self {
        Self {
            symbol: symbol.into(),
            name: name.into(),
            value,
            unit: unit.into(),
            source,
            inputs: Vec::new(),
            not_taken: Vec::new(),
        }
    }

    /// The same term with one more input named.
    #[must_use]
    pub fn from_input(mut self, name: impl Into<Text>, value: impl Into<Text>) -> Self {
        self.inputs.push(Input { name: name.into(), value: value.into() });
        self
    }

    /// The same term with one more alternative that was not taken.
    #[must_use]
    pub fn instead_of(mut self, name: impl Into<Text>, value: f64, source: Source) -> Self {
        self.not_taken.push(Branch { name: name.into(), value, source });
        self
    }
}

/// One step: an operation with its operand and the value after it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Step {
    /// What is done.
    pub operation: Operation,
    /// With what.
    pub term: Arc<Term>,
    /// Whether it acts on weight or on force.
    pub acts: Acts,
    /// The running value after the step, in `unit`.
    pub result: f64,
    /// Unit of `result`.
    pub unit: Text,
}

/// A base and the steps that lead from it to the value.
#[derive(Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Chain {
    /// What the final value is, in words.
    pub quantity: Text,
    /// The first value.
    pub base: Arc<Term>,
    /// The steps, in order.
    pub steps: Vec<Step>,
}

/// How many steps more a copy has room for: chains are copied to be led on.
const MORE: usize = 2;

impl Clone for Chain {
    fn clone(&self) -> Self {
        let mut steps = Vec::with_capacity(self.steps.len() + MORE);
        steps.extend_from_slice(&self.steps);
        Self { quantity: self.quantity.clone(), base: Arc::clone(&self.base), steps }
    }
}

impl Chain {
    /// A chain that so far consists of its base.
    ///
    /// ```
    /// use rigging_core::chain::{Acts, Chain, Term};
    /// use rigging_core::source::Source;
    /// let weight = Term::new("W", "weight", 100e3, "N", Source::stated("weighing note 7"));
    /// let chain = Chain::start("design weight", weight).times(
    ///     Term::new("c", "contingency", 1.03, "", Source::stated("weighing note 7")),
    ///     Acts::OnWeight,
    /// );
    /// assert_eq!(chain.value(), 103e3);
    /// assert_eq!(chain.unit(), "N");
    /// ```
    pub fn start(quantity: impl Into<Text>, base: impl Into<Arc<Term>>) -> Self {
        Self { quantity: quantity.into(), base: base.into(), steps: Vec::new() }
    }

    /// The value at the end of the chain.
    pub fn value(&self) -> f64 {
        self.steps.last().map_or(self.base.value, |step| step.result)
    }

    /// The unit of [`Self::value`].
    pub fn unit(&self) -> &str {
        self.unit_text()
    }

    fn unit_text(&self) -> &Text {
        self.steps.last().map_or(&self.base.unit, |step| &step.unit)
    }

    /// Multiply.
    #[must_use]
    pub fn times(self, term: impl Into<Arc<Term>>, acts: Acts) -> Self {
        self.push(Operation::Times, term.into(), acts)
    }

    /// Divide.
    #[must_use]
    pub fn divided_by(self, term: impl Into<Arc<Term>>, acts: Acts) -> Self {
        self.push(Operation::DividedBy, term.into(), acts)
    }

    /// Add a term of the same unit.
    #[must_use]
    pub fn plus(self, term: impl Into<Arc<Term>>, acts: Acts) -> Self {
        self.push(Operation::Plus, term.into(), acts)
    }

    /// Keep the greater; what loses stands among the branches not taken.
    #[must_use]
    pub fn greatest_of(self, term: impl Into<Arc<Term>>, acts: Acts) -> Self {
        self.push(Operation::GreatestOf, term.into(), acts)
    }

    /// Keep the lesser.
    #[must_use]
    pub fn least_of(self, term: impl Into<Arc<Term>>, acts: Acts) -> Self {
        self.push(Operation::LeastOf, term.into(), acts)
    }

    /// Hand the running value to a calculation whose outcome is `term`.
    #[must_use]
    pub fn becomes(self, term: impl Into<Arc<Term>>, acts: Acts) -> Self {
        self.push(Operation::Becomes, term.into(), acts)
    }

    fn push(mut self, operation: Operation, term: Arc<Term>, acts: Acts) -> Self {
        let result = apply(operation, self.value(), term.value);
        let unit = if operation == Operation::Becomes { term.unit.clone() } else { self.unit_text().clone() };
        self.steps.push(Step { operation, term, acts, result, unit });
        self
    }

    /// Whether every step's result follows from the one before: what a reader of the JSON can recompute.
    pub fn is_coherent(&self) -> bool {
        let mut running = self.base.value;
        self.steps.iter().all(|step| {
            running = apply(step.operation, running, step.term.value);
            running.to_bits() == step.result.to_bits()
        })
    }

    /// Every source the chain draws on, in order of appearance.
    pub fn sources(&self) -> impl Iterator<Item = &Source> {
        std::iter::once(&self.base.source).chain(self.steps.iter().map(|step| &step.term.source))
    }
}

fn apply(operation: Operation, running: f64, operand: f64) -> f64 {
    match operation {
        Operation::Times => running * operand,
        Operation::DividedBy => running / operand,
        Operation::Plus => running + operand,
        Operation::GreatestOf => running.max(operand),
        Operation::LeastOf => running.min(operand),
        Operation::Becomes => operand,
    }
}
