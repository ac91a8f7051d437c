//! What is printed.

use crate::arrangement::Lift;
use crate::guard::guard;
use crate::text;
use pyo3::prelude::*;
use pyo3::types::PyDict;
use rigging_core::checks::{Assessment, Remedy};
use rigging_core::report::{self, Origin};

pub(crate) use rigging_core::report::origin_text;

/// What would change the verdict, as a record.
pub(crate) fn remedy<'py>(py: Python<'py>, assessment: &Assessment, lift: &Lift) -> PyResult<Bound<'py, PyDict>> {
    let remedy = guard(|| py.detach(|| assessment.remedy(&lift.0)))?;
    let (kind, tolerance, capacity, missing, text) = match &remedy {
        Remedy::Add(missing) => ("add", None, None, missing.as_slice(), None),
        Remedy::Passes { length_tolerance, capacity } => ("passes", *length_tolerance, Some(*capacity), &[][..], None),
        Remedy::Holds { length_tolerance, capacity } => ("holds", *length_tolerance, Some(*capacity), &[][..], None),
        Remedy::Other(text) => ("other", None, None, &[][..], Some(text)),
    };
    let record = PyDict::new(py);
    record.set_item("kind", kind)?;
    record.set_item("length_tolerance_m", tolerance)?;
    record.set_item("capacity_n", capacity)?;
    record.set_item("missing", text::plain(py, &missing)?)?;
    record.set_item("text", text)?;
    Ok(record)
}

/// The report of an assessment as one line of JSON.
pub(crate) fn json(py: Python<'_>, assessment: &Assessment, lift: &Lift) -> PyResult<String> {
    guard(|| py.detach(|| report::json::report(assessment, &assessment.remedy(&lift.0)?)))
}

/// The report of an assessment.
pub(crate) fn text(py: Python<'_>, assessment: &Assessment, lift: &Lift) -> PyResult<String> {
    guard(|| py.detach(|| assessment.remedy(&lift.0).map(|remedy| report::text(assessment, &remedy))))
}

/// Where a number of an assessment comes from.
pub(crate) fn origin(py: Python<'_>, assessment: &Assessment, lift: &Lift, pointer: &str) -> PyResult<Origin> {
    guard(|| py.detach(|| report::origin(assessment, &lift.0, pointer)))
}
