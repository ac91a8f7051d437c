//! Searches for lifts that sharing rules forget, and maps of where they fall short.

use crate::arrangement::Lift;
use crate::guard::guard;
use crate::sharing::{Raised, SharingRule};
use pyo3::prelude::*;
use rigging_core::kit::{RefuteInputs, SurveyInputs, refute_while, survey_while};
use rigging_core::report::json;
use std::sync::Arc;

/// Cells or lifts after which signals are looked at, and progress is told.
const OFTEN: usize = 64;

/// Asks Python now and then whether to go on.
struct Watch<'a> {
    progress: Option<&'a Py<PyAny>>,
    calls: usize,
    stopped: Option<PyErr>,
}

impl<'a> Watch<'a> {
    const fn new(progress: Option<&'a Py<PyAny>>) -> Self {
        Self { progress, calls: 0, stopped: None }
    }

    /// Whether to go on after `done`; an exception of the callable, or a signal, ends the work and travels out.
    fn goes_on(&mut self, done: usize) -> bool {
        self.calls += 1;
        if !self.calls.is_multiple_of(OFTEN) {
            return true;
        }
        let asked = Python::attach(|py| {
            py.check_signals()?;
            self.progress.map_or(Ok(()), |progress| progress.call1(py, (done,)).map(drop))
        });
        self.stopped = asked.err();
        self.stopped.is_none()
    }

    fn or<T>(self, outcome: PyResult<T>) -> PyResult<T> {
        self.stopped.map_or(outcome, Err)
    }
}

/// The body of `kit.refute`.
#[pyfunction]
fn _refute(
    py: Python<'_>,
    rule: &SharingRule,
    lift: Option<&Lift>,
    inputs: &str,
    progress: Option<Py<PyAny>>,
) -> PyResult<String> {
    let raised = Raised::default();
    let rule = rule.core(py, &raised)?;
    let lift = lift.map(|lift| Arc::clone(&lift.0));
    let mut watch = Watch::new(progress.as_ref());
    let found = guard(|| {
        py.detach(|| {
            let inputs = RefuteInputs::from_json(inputs)?;
            let domain = inputs.domain(lift.as_deref())?;
            json::answer(&refute_while(rule.as_ref(), &domain, &inputs.search(), |done| {
                !raised.any() && watch.goes_on(done)
            })?)
        })
    });
    watch.or(raised.or(found))
}

/// The body of `kit.survey`.
#[pyfunction]
fn _survey(
    py: Python<'_>,
    rules: Vec<SharingRule>,
    lift: Option<&Lift>,
    inputs: &str,
    progress: Option<Py<PyAny>>,
) -> PyResult<String> {
    let raised = Raised::default();
    let rules = rules.iter().map(|rule| rule.core(py, &raised)).collect::<PyResult<Vec<_>>>()?;
    let lift = lift.map(|lift| Arc::clone(&lift.0));
    let mut watch = Watch::new(progress.as_ref());
    let found = guard(|| {
        py.detach(|| {
            let inputs = SurveyInputs::from_json(inputs)?;
            let base = inputs.base(lift.as_deref())?;
            let rules: Vec<_> = rules.iter().map(AsRef::as_ref).collect();
            json::answer(&survey_while(&base, &inputs.axes, &rules, |done| !raised.any() && watch.goes_on(done))?)
        })
    });
    watch.or(raised.or(found))
}

/// Adds them to the native module.
pub(super) fn register(module: &Bound<'_, PyModule>) -> PyResult<()> {
    module.add_function(wrap_pyfunction!(_refute, module)?)?;
    module.add_function(wrap_pyfunction!(_survey, module)?)
}
