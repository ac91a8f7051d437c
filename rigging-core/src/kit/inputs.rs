//! What searches and surveys take, as JSON documents.

use super::survey::Axis;
use super::{Domain, Free, Outline, Search};
use crate::arrangement::{Lift, read};
use crate::error::{Error, Place};
use serde::Deserialize;

/// Format of these documents; additions do not change it.
const FORMAT: u64 = 1;

/// What to search, and how long: a lift or a ring of lift points to start from, and what is free.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct RefuteInputs {
    /// The number of legs of a ring to start from, where no lift is given.
    pub legs: Option<usize>,
    /// What is free, and within which range. May be left out for a ring ([`Domain::ring`]).
    pub free: Option<Vec<Free>>,
    /// As in [`Search`].
    #[serde(default = "trials")]
    pub trials: usize,
    /// As in [`Search`].
    #[serde(default = "states")]
    pub states: usize,
    /// As in [`Search`].
    #[serde(default = "lifts")]
    pub lifts: usize,
    /// As in [`Search`].
    #[serde(default = "least")]
    pub least: f64,
    /// As in [`Search`].
    #[serde(default = "seed")]
    pub seed: u64,
}

fn trials() -> usize {
    Search::default().trials
}

fn states() -> usize {
    Search::default().states
}

fn lifts() -> usize {
    Search::default().lifts
}

fn least() -> f64 {
    Search::default().least
}

fn seed() -> u64 {
    Search::default().seed
}

impl RefuteInputs {
    /// Reads the inputs from a JSON text.
    ///
    /// # Errors
    /// Every error of the form of the text, each with its JSON pointer.
    ///
    /// ```
    /// use rigging_core::kit::RefuteInputs;
    /// let inputs = RefuteInputs::from_json(
    ///     r#"{"legs": 4, "free": [
    ///         {"number": "length_tolerances", "least": 0, "most": 0.02},
    ///         {"number": {"center_of_gravity": {"axis": 0}}, "least": -0.3, "most": 0.3}
    ///     ], "trials": 5000}"#,
    /// )?;
    /// assert_eq!(inputs.domain(None)?.free().len(), 2);
    /// assert_eq!((inputs.search().trials, inputs.search().seed), (5000, 1));
    /// # Ok::<(), rigging_core::error::Error>(())
    /// ```
    pub fn from_json(text: &str) -> Result<Self, Error> {
        read::read(text, FORMAT)
    }

    /// The domain that is meant: around a lift, where there is one, else around a ring.
    ///
    /// # Errors
    /// [`Error::Missing`] where neither a lift nor a number of legs is given, or nothing is said to be free around a lift;
    /// [`Error::Inconsistent`] where both are given; as [`Outline::of`] and [`Domain::new`].
    pub fn domain(&self, lift: Option<&Lift>) -> Result<Domain, Error> {
        let base = base(lift, self.legs)?;
        match (&self.free, lift) {
            (Some(free), _) => Domain::new(base, free.clone()),
            (None, None) => Domain::ring(base.points.len()),
            (None, Some(_)) => {
                let add = "\"free\": [{\"number\": \"stiffnesses\", \"least\": …, \"most\": …}]";
                Err(Error::missing("which numbers of the lift are free", add, Place::root().child("free")))
            }
        }
    }

    /// How long and how closely is searched.
    pub const fn search(&self) -> Search {
        Search { trials: self.trials, states: self.states, lifts: self.lifts, least: self.least, seed: self.seed }
    }
}

/// What to survey.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct SurveyInputs {
    /// The number of legs of a ring, where no lift is given.
    pub legs: Option<usize>,
    /// The axes.
    pub axes: Vec<Axis>,
}

impl SurveyInputs {
    /// Reads the inputs from a JSON text.
    ///
    /// # Errors
    /// Every error of the form of the text, each with its JSON pointer.
    pub fn from_json(text: &str) -> Result<Self, Error> {
        read::read(text, FORMAT)
    }

    /// The outline that is meant.
    ///
    /// # Errors
    /// As those of [`RefuteInputs::domain`] that concern the lift.
    pub fn base(&self, lift: Option<&Lift>) -> Result<Outline, Error> {
        base(lift, self.legs)
    }
}

fn base(lift: Option<&Lift>, legs: Option<usize>) -> Result<Outline, Error> {
    let place = || Place::root().child("legs");
    match (lift, legs) {
        (Some(lift), None) => Outline::of(lift),
        // The domain of a ring knows how many legs it may have.
        (None, Some(legs)) => Domain::ring(legs).map(|ring| ring.base().clone()),
        (Some(_), Some(_)) => Err(Error::inconsistent("a lift and a number of legs are both given", place())),
        (None, None) => Err(Error::missing("a lift, or the number of legs of a ring", "\"legs\": 4", place())),
    }
}
