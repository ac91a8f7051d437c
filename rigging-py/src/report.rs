//! What is printed.

use crate::arrangement::Lift;
use crate::guard::guard;
use pyo3::prelude::*;
use rigging_core::checks::Assessment;
use rigging_core::report;

/// The report of an assessment.
pub(crate) fn text(py: Python<'_>, assessment: &Assessment, lift: &Lift) -> PyResult<String> {
    guard(|| py.detach(|| assessment.remedy(&lift.0).map(|remedy| report::text(assessment, &remedy))))
}
