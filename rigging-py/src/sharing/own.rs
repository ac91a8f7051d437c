//! A rule whose forces a callable of Python gives, as the core sees it.

use super::closed::number;
use super::leg_set::LegSet;
use crate::error;
use pyo3::prelude::*;
use rigging_core::error::{Error, Place};
use rigging_core::sharing::{LegSet as Core, SharingRule, Words};
use std::sync::{Arc, Mutex, PoisonError};

/// The first exception that a callable raised in a call of the core, and that is no refusal: it travels out unchanged once the
/// core returns.
#[derive(Debug, Clone, Default)]
pub(crate) struct Raised(Arc<Mutex<Option<PyErr>>>);

impl Raised {
    fn keep(&self, raised: PyErr) {
        self.0.lock().unwrap_or_else(PoisonError::into_inner).get_or_insert(raised);
    }

    /// Whether anything was raised.
    pub(crate) fn any(&self) -> bool {
        self.0.lock().unwrap_or_else(PoisonError::into_inner).is_some()
    }

    /// What the call gives, unless something was raised in it.
    pub(crate) fn or<T>(self, outcome: PyResult<T>) -> PyResult<T> {
        match self.0.lock().unwrap_or_else(PoisonError::into_inner).take() {
            Some(raised) => Err(raised),
            None => outcome,
        }
    }
}

/// A callable for the time of one call of the core.
#[derive(Debug)]
pub(super) struct Called {
    pub(super) words: Words,
    pub(super) forces: Py<PyAny>,
    pub(super) raised: Raised,
}

impl SharingRule for Called {
    fn words(&self) -> Words {
        self.words.clone()
    }

    fn forces(&self, set: &Core) -> Result<Vec<f64>, Error> {
        // After an exception nothing that is calculated is looked at.
        if self.raised.any() {
            return Err(self.stopped());
        }
        Python::attach(|py| {
            let answer = self.forces.call1(py, (LegSet::of(set),)).map_err(|raised| self.refusal(py, raised))?;
            self.read(answer.bind(py), set.legs().len()).map_err(|raised| {
                self.raised.keep(raised);
                self.stopped()
            })
        })
    }
}

impl Called {
    /// An exception that is a refusal, as an error of the core; any other is kept.
    fn refusal(&self, py: Python<'_>, raised: PyErr) -> Error {
        error::refusal(py, &raised).unwrap_or_else(|| {
            self.raised.keep(raised);
            self.stopped()
        })
    }

    fn stopped(&self) -> Error {
        Error::inconsistent(format!("the rule \"{}\" raised an exception", self.words.name), Place::root())
    }

    /// One plain number a leg, finite and not below zero.
    fn read(&self, answer: &Bound<'_, PyAny>, legs: usize) -> PyResult<Vec<f64>> {
        let (name, place) = (&self.words.name, Place::root().child("legs"));
        let refused = |what: String, place| error::exception(&Error::malformed(what, place));
        let Ok(items) = answer.try_iter().and_then(Iterator::collect::<PyResult<Vec<_>>>) else {
            return Err(refused(format!("the rule \"{name}\" answers no sequence of forces"), place));
        };
        if items.len() != legs {
            let what = format!("the rule \"{name}\" answers {} forces for {legs} legs", items.len());
            return Err(error::exception(&Error::inconsistent(what, place)));
        }
        let force = |(index, item): (usize, &Bound<'_, PyAny>)| {
            let place = place.child(index);
            let what = format!("force by the rule \"{name}\"");
            match number(item, "force", Some("N")) {
                Ok(force) if force >= 0.0 && force.is_finite() => Ok(force),
                Ok(force) => {
                    Err(error::exception(&Error::out_of_domain(what, force, "N", "finite and not below zero", place)))
                }
                Err(_) => Err(refused(format!("{what} is no plain number"), place)),
            }
        };
        items.iter().enumerate().map(force).collect()
    }
}
