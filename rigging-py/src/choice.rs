//! One lift under several rule sets, and the first clause where they part.

use crate::arrangement::Lift;
use crate::checks::{Assessment, verdict};
use crate::guard::guard;
use crate::html;
use crate::rules::RuleSet;
use crate::text;
use pyo3::prelude::*;
use pyo3::types::PyDict;
use rigging_core::choice::{self, Matrix as Core};
use rigging_core::report::{self, json};
use rigging_core::rules::RuleSet as Rules;
use std::sync::Arc;

/// The verdicts of one lift under several rule sets, side by side.
///
/// Which documents govern a lift is for the competent person to say; nothing is averaged and none is preferred.
///
/// Examples
/// --------
/// >>> from rigging_py import Lift, RuleSet
/// >>> sets = [RuleSet.built_in("us-general"), RuleSet.built_in("marine-0027-nd-2016")]
/// >>> matrix = Lift.demo("generator-skid-round-edge").matrix(sets)
/// >>> matrix.verdicts
/// {'us-general': 'pass', 'marine-0027-nd-2016': 'cannot_conclude'}
/// >>> matrix.partings[0]["between"]
/// ['us-general', 'marine-0027-nd-2016']
#[pyclass(frozen, module = "rigging_py", name = "Matrix")]
pub(crate) struct Matrix {
    core: Core,
}

#[pymethods]
impl Matrix {
    /// Verdict of the lift under each rule set: a dict by the names of the sets, in the order asked. Sets that are not the same
    /// and have one name, as two editions have, stand under name and edition, and where that is one as well with the beginning
    /// of their hash.
    #[getter]
    fn verdicts<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyDict>> {
        let verdicts = PyDict::new(py);
        for (label, column) in self.core.labels().iter().zip(&self.core.columns) {
            verdicts.set_item(label.as_str(), verdict(column.verdict))?;
        }
        Ok(verdicts)
    }

    /// What each rule set says of the lift: a list of dicts with the keys `rules` (its identity), `verdict` and `governing`
    /// (the finding that decides, or None).
    #[getter]
    fn columns<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyAny>> {
        text::plain(py, &self.core.columns)
    }

    /// One record a check on an item, those first on which the outcomes part: a list of dicts with the keys `code`, `item`,
    /// `place` and `cells`, one a rule set: a dict with `verdict`, `utilization` and `source`, or None where the check is not
    /// made under it.
    #[getter]
    fn rows<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyAny>> {
        text::plain(py, &self.core.rows)
    }

    /// For every two rule sets that differ, where they part first: a list of dicts with the keys `between`, `first` (as
    /// `Assessment.partings` tells it) and `differences`, the number of checks on which they differ.
    #[getter]
    fn partings<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyAny>> {
        text::plain(py, &self.core.partings)
    }

    /// The matrix as one line of JSON.
    ///
    /// Returns
    /// -------
    /// str
    fn to_json(&self) -> PyResult<String> {
        guard(|| json::answer(&self.core))
    }

    /// The matrix as plain text: verdicts, where the rule sets part, and the checks on which they do.
    ///
    /// Returns
    /// -------
    /// str
    fn report(&self) -> String {
        report::matrix_text(&self.core)
    }

    fn _repr_html_(&self) -> String {
        let heads = ["rule set", "verdict", "governed by", "utilization", "clause"];
        let rows = self.core.labels().into_iter().zip(&self.core.columns).map(|(label, column)| {
            let governing = column.governing.as_ref();
            vec![
                label.to_string(),
                column.verdict.words().to_owned(),
                governing.map(|finding| format!("{}: {}", finding.item, finding.text)).unwrap_or_default(),
                html::or_unknown(governing.and_then(|finding| finding.utilization).map(report::utilization)),
                html::or_unknown(governing.and_then(|finding| finding.source.as_ref()).map(ToString::to_string)),
            ]
        });
        html::table(&self.core.lift, &heads, rows)
    }

    fn __repr__(&self) -> String {
        let verdicts: Vec<String> = self
            .core
            .labels()
            .iter()
            .zip(&self.core.columns)
            .map(|(label, column)| format!("{label}: {}", column.verdict.words()))
            .collect();
        format!("<Matrix of {:?}: {}>", self.core.lift.as_str(), verdicts.join(", "))
    }
}

#[pymethods]
impl Lift {
    /// Assess the lift under every rule set and set the outcomes side by side.
    ///
    /// Parameters
    /// ----------
    /// rule_sets : sequence of RuleSet
    ///     The rule sets, built in or your own.
    ///
    /// Returns
    /// -------
    /// Matrix
    ///
    /// Raises
    /// ------
    /// InconsistentError
    ///     For no rule set at all. Else as `assess`.
    ///
    /// Examples
    /// --------
    /// >>> from rigging_py import Lift, RuleSet
    /// >>> Lift.demo("generator-skid-round-edge").matrix([RuleSet.built_in("us-general")])
    /// <Matrix of "Generator skid GS-4, yard Y4": us-general: pass>
    fn matrix(&self, py: Python<'_>, rule_sets: Vec<PyRef<'_, RuleSet>>) -> PyResult<Matrix> {
        let sets: Vec<Arc<Rules>> = rule_sets.iter().map(|rules| rules.core.clone()).collect();
        let sets: Vec<&Rules> = sets.iter().map(AsRef::as_ref).collect();
        Ok(Matrix { core: guard(|| py.detach(|| choice::matrix(&self.0, &sets)))? })
    }
}

#[pymethods]
impl Assessment {
    /// Every check on which this assessment differs from another of the same lift.
    ///
    /// First what differs in the outcome, the gravest before all, then what differs in figures alone.
    ///
    /// Parameters
    /// ----------
    /// other : Assessment
    ///     The same lift under other rules.
    ///
    /// Returns
    /// -------
    /// list of dict
    ///     Keys: `code`, `item`, `place`; `part`, where the calculations part: "demand", "capacity" or "outcome"; `sides`, two
    ///     dicts with `verdict` (None where the check is not made), `text`, `utilization`, `said` (the term that differs, or
    ///     None) and `source` (or None). Empty where they agree.
    ///
    /// Raises
    /// ------
    /// InconsistentError
    ///     For an assessment of another lift.
    ///
    /// Examples
    /// --------
    /// >>> from rigging_py import Lift, RuleSet
    /// >>> lift = Lift.demo("generator-skid-round-edge")
    /// >>> law, marine = (lift.assess(RuleSet.built_in(name)) for name in RuleSet.names()[:2])
    /// >>> [side["verdict"] for side in law.partings(marine)[0]["sides"]]
    /// ['pass', 'cannot_conclude']
    fn partings<'py>(&self, py: Python<'py>, other: &Self) -> PyResult<Bound<'py, PyAny>> {
        text::plain(py, &guard(|| choice::partings(&self.core, &other.core))?)
    }
}

/// Adds the class.
pub(crate) fn register(module: &Bound<'_, PyModule>) -> PyResult<()> {
    module.add_class::<Matrix>()
}
