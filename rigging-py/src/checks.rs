//! The outcome of an assessment as an object.

use crate::arrangement::Lift;
use crate::equilibrium::Certificate;
use crate::guard::guard;
use crate::html;
use crate::report;
use crate::rules::RuleSet;
use crate::sharing::Forces;
use crate::text;
use pyo3::prelude::*;
use pyo3::types::{PyDict, PyList};
use rigging_core::checks::{Assessment as Core, Finding, Stance, Verdict};
use rigging_core::demand::ForceSource;
use rigging_core::quantity::{Angle, AngleUnit};
use rigging_core::report::{json, utilization};
use std::sync::Arc;

/// Demand against capacity for every item of a lift, under one rule set.
///
/// Examples
/// --------
/// >>> from rigging_py import Lift, RuleSet
/// >>> assessment = Lift.demo("generator-skid").assess(RuleSet.built_in("us-general"))
/// >>> assessment.verdict
/// 'cannot_conclude'
/// >>> assessment.governing["code"], assessment.governing["missing"][0]["place"]
/// ('edge', '/legs/1/contacts/0/edge_radius')
/// >>> [leg["name"] for leg in assessment.legs]
/// ['leg A', 'leg B', 'leg C', 'leg D']
/// >>> print(assessment.report().splitlines()[0])
/// verdict: cannot conclude — Generator skid GS-4, yard Y4, rule set us-general
#[pyclass(frozen, module = "rigging_py", name = "Assessment")]
#[derive(Clone)]
pub(crate) struct Assessment {
    pub(crate) core: Arc<Core>,
    lift: Lift,
    rule_set: RuleSet,
    forces: Option<Forces>,
}

impl Assessment {
    pub(crate) fn of(lift: &Lift, rule_set: &RuleSet, forces: Option<Forces>, core: Core) -> Self {
        Self { core: Arc::new(core), lift: lift.clone(), rule_set: rule_set.clone(), forces }
    }
}

/// What an assessment is made of once more.
type Arguments = (Lift, RuleSet, Option<Forces>);

/// The stable text of a verdict.
pub(crate) const fn verdict(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Pass => "pass",
        Verdict::Fail => "fail",
        Verdict::CannotConclude => "cannot_conclude",
        Verdict::NotCovered => "not_covered",
    }
}

/// A finding as a record of plain values.
fn record<'py>(py: Python<'py>, finding: &Finding) -> PyResult<Bound<'py, PyDict>> {
    let record = PyDict::new(py);
    record.set_item("code", finding.code.text())?;
    record.set_item("verdict", verdict(finding.verdict))?;
    record.set_item("severity", finding.severity.text())?;
    record.set_item("stance", finding.stance.map(Stance::text))?;
    record.set_item("item", finding.item.as_str())?;
    record.set_item("quantity", finding.quantity())?;
    record.set_item("demand", finding.demand.as_ref().map(|chain| chain.value()))?;
    record.set_item("capacity", finding.capacity.as_ref().map(|chain| chain.value()))?;
    record.set_item("utilization", finding.utilization)?;
    record.set_item("unit", finding.unit())?;
    record.set_item("clause", finding.source.as_ref().map(ToString::to_string))?;
    record.set_item("place", finding.place.as_str())?;
    record.set_item("text", finding.text.as_str())?;
    record.set_item("missing", text::plain(py, &finding.missing)?)?;
    record.set_item("assumptions", text::plain(py, &finding.assumptions)?)?;
    Ok(record)
}

#[pymethods]
impl Assessment {
    /// Verdict of the lift: "pass", "fail" or "cannot_conclude".
    #[getter]
    fn verdict(&self) -> &'static str {
        verdict(self.core.verdict)
    }

    /// Where checks of strength took the forces from: a dict whose key `source` is "at_vertices", "bounds" (with `gap` and
    /// `parts`) or "rule" (with `rule`, its own words).
    #[getter]
    fn forces<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyAny>> {
        text::plain(py, &self.core.forces)
    }

    /// Findings as records, the governing one first: a list of dicts, as `pandas.DataFrame` takes it. Where the rule set does not
    /// speak, `stance` says what it does: "silent", "does_not_apply" or "withheld"; else it is None.
    #[getter]
    fn findings<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyList>> {
        let records: Vec<_> = self.core.findings.iter().map(|finding| record(py, finding)).collect::<PyResult<_>>()?;
        PyList::new(py, records)
    }

    /// The finding that decides the verdict.
    #[getter]
    fn governing<'py>(&self, py: Python<'py>) -> PyResult<Option<Bound<'py, PyDict>>> {
        self.core.governing().map(|finding| record(py, finding)).transpose()
    }

    /// One record a leg: a list of dicts; empty where no demand could be raised.
    ///
    /// Keys: `name`; `nominal_n`, `worst_n`, `least_n` (tensions, in N); `taken_n`, what stands against `allowed_n` in place of the
    /// worst (N: a bound, the force by a rule, at rest or of all legs at a point; None where the worst does); `allowed_n` (N, or
    /// None); `utilization` (or None); `angle_from_vertical_deg`. The worst is the largest attained over the tolerances, not a bound.
    #[getter]
    fn legs<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyList>> {
        let records = PyList::empty(py);
        for leg in &self.core.legs {
            let record = PyDict::new(py);
            record.set_item("name", leg.name.as_str())?;
            record.set_item("nominal_n", leg.nominal)?;
            record.set_item("worst_n", leg.worst)?;
            record.set_item("least_n", leg.least)?;
            record.set_item("taken_n", leg.taken)?;
            record.set_item("allowed_n", leg.allowed)?;
            record.set_item("utilization", leg.utilization)?;
            let angle = Angle::radians(leg.angle_from_vertical).to(AngleUnit::Degree);
            record.set_item("angle_from_vertical_deg", angle)?;
            records.append(record)?;
        }
        Ok(records)
    }

    /// How the figures of each finding came about, in the order of `findings`: a list of dicts with the keys `demand`
    /// and `capacity`, each a nested dict or None.
    #[getter]
    fn chains<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyList>> {
        let records = PyList::empty(py);
        for finding in &self.core.findings {
            let record = PyDict::new(py);
            record.set_item("demand", text::plain(py, &finding.demand)?)?;
            record.set_item("capacity", text::plain(py, &finding.capacity)?)?;
            records.append(record)?;
        }
        Ok(records)
    }

    /// What the verdict takes for granted: a list of dicts with the keys `code` and `text`.
    #[getter]
    fn assumptions<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyAny>> {
        text::plain(py, &self.core.assumptions)
    }

    /// The category of the lift: a dict with the keys `word` (where it can be told) and `triggers`, each a dict with `name`,
    /// `leads_to`, `state` ("met", "not_met", "unknown"), `source` and, where there are any, `facts` or `needs`; None where the rule
    /// set speaks of no category.
    #[getter]
    fn category<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyAny>> {
        text::plain(py, &self.core.category)
    }

    /// What would change the verdict: a dict with the keys `kind`, `length_tolerance_m`, `capacity_n`, `missing` and `text`.
    ///
    /// The kind says which of the others are set: "add" the missing inputs; "passes" within that length tolerance or with
    /// that capacity; "holds" up to that length tolerance and down to that capacity; "other", in words.
    ///
    /// Examples
    /// --------
    /// >>> from rigging_py import Lift, RuleSet
    /// >>> stiff = Lift.demo("generator-skid-stiff-slings").assess(RuleSet.built_in("us-general"))
    /// >>> stiff.verdict, stiff.remedy["kind"]
    /// ('fail', 'passes')
    #[getter]
    fn remedy<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyDict>> {
        report::remedy(py, &self.core, &self.lift)
    }

    /// The equilibrium at nominal lengths and center of gravity, with the rule set's factors on weight; None where there is
    /// none.
    #[getter]
    pub(crate) fn nominal(&self) -> Option<Certificate> {
        let solved = self.core.demand.as_ref()?.nominal.clone();
        Some(Certificate::of(&self.lift, Some(&self.rule_set), solved))
    }

    /// SHA-256 of the assessment's canonical text, in hexadecimal.
    #[getter]
    fn content_hash(&self) -> PyResult<String> {
        guard(|| json::hash(&self.core))
    }

    /// The lift that was assessed.
    #[getter]
    fn lift(&self) -> Lift {
        self.lift.clone()
    }

    /// The rules it was assessed under.
    #[getter]
    fn rule_set(&self) -> RuleSet {
        self.rule_set.clone()
    }

    /// The calculation as plain text: the verdict first, then the figures, then where each comes from.
    ///
    /// Returns
    /// -------
    /// str
    fn report(&self, py: Python<'_>) -> PyResult<String> {
        report::text(py, &self.core, &self.lift)
    }

    /// Where a number of the assessment comes from: who says or computes it, from which other numbers, down to what a
    /// document or the user states.
    ///
    /// Parameters
    /// ----------
    /// pointer : str
    ///     A JSON pointer into the text of `to_json`, such as "/findings/0/utilization" or "/legs/2/worst"; what would change
    ///     the verdict stands below "/remedy".
    ///
    /// Returns
    /// -------
    /// dict
    ///     Keys: `what`, `value`, `unit` and `source` (`document`, `clause`, `edition`, `standing`); where there are any,
    ///     `symbol`, `by` (the operation), `from` (the numbers it was made of, each a dict of this form), `inputs` and
    ///     `not_taken`.
    ///
    /// Raises
    /// ------
    /// MalformedError, UnknownNameError
    ///     For a pointer at which the record has no number of the calculation.
    ///
    /// Examples
    /// --------
    /// >>> from rigging_py import Lift, RuleSet
    /// >>> assessment = Lift.demo("generator-skid-round-edge").assess(RuleSet.built_in("us-general"))
    /// >>> origin = assessment.origin("/findings/0/utilization")
    /// >>> origin["by"], [number["what"] for number in origin["from"]]
    /// ('divided_by', ['tension of leg B', 'rated capacity of roundsling B'])
    fn origin<'py>(&self, py: Python<'py>, pointer: &str) -> PyResult<Bound<'py, PyAny>> {
        text::plain(py, &report::origin(py, &self.core, &self.lift, pointer)?)
    }

    /// The same in words, one line a number, each below what was made of it.
    ///
    /// Parameters
    /// ----------
    /// pointer : str
    ///     As for `origin`.
    ///
    /// Returns
    /// -------
    /// str
    fn origin_text(&self, py: Python<'_>, pointer: &str) -> PyResult<String> {
        Ok(report::origin_text(&report::origin(py, &self.core, &self.lift, pointer)?))
    }

    /// The report as one line of JSON: the assessment, what would change it, and what every report says.
    ///
    /// Returns
    /// -------
    /// str
    fn report_json(&self, py: Python<'_>) -> PyResult<String> {
        report::json(py, &self.core, &self.lift)
    }

    /// The assessment as one line of JSON, with every chain and the nominal certificate; SI units.
    ///
    /// Returns
    /// -------
    /// str
    fn to_json(&self) -> PyResult<String> {
        guard(|| json::assessment(&self.core))
    }

    /// The first lines of the report and the table of the legs, for the notebook.
    fn _repr_html_(&self, py: Python<'_>) -> PyResult<String> {
        let report = self.report(py)?;
        let (taken, caption) = match self.core.forces {
            ForceSource::AtVertices if self.core.legs.iter().any(|leg| leg.taken.is_some()) => (
                Some("taken kN"),
                "worst: the largest attained at a vertex of the tolerances, not a bound; taken: what stands against the allowed in \
                 its place",
            ),
            ForceSource::AtVertices => (None, "worst: the largest attained at a vertex of the tolerances, not a bound"),
            ForceSource::Bounds { .. } => (
                Some("bound kN"),
                "worst: the largest found within the tolerances; bound: proven not to be exceeded, at stiffness and mass as stated",
            ),
            ForceSource::Rule { .. } => (
                Some("by rule kN"),
                "worst: the largest attained at a vertex of the tolerances, not a bound; by rule: what checks of strength take",
            ),
        };
        let rows = self.core.legs.iter().map(|leg| {
            let angle = Angle::radians(leg.angle_from_vertical).to(AngleUnit::Degree);
            let mut cells = vec![leg.name.to_string(), html::kilonewtons(leg.nominal), html::kilonewtons(leg.worst)];
            if taken.is_some() {
                cells.push(leg.taken.map_or_else(|| "none".to_owned(), html::kilonewtons));
            }
            cells.extend([
                html::or_unknown(leg.allowed.map(html::kilonewtons)),
                html::or_unknown(leg.utilization.map(utilization)),
                format!("{angle:.2}"),
            ]);
            cells
        });
        let mut heads = vec!["leg", "nominal kN", "worst kN"];
        heads.extend(taken);
        heads.extend(["allowed kN", "utilization", "deg from vertical"]);
        let lines = if taken.is_some() { 4 } else { 3 };
        Ok(html::paragraphs(report.lines().take(lines)) + &html::table(caption, &heads, rows))
    }

    /// Evaluates back to the same assessment, by assessing anew.
    fn __repr__(&self) -> PyResult<String> {
        let (lift, rules) = (self.lift.__repr__()?, self.rule_set.__repr__());
        Ok(match &self.forces {
            None => format!("{lift}.assess({rules})"),
            Some(forces) => format!("{lift}.assess({rules}, {})", forces.repr()?),
        })
    }

    fn __str__(&self) -> String {
        let (lift, rules) = (text::literal(&self.core.lift), text::literal(&self.core.rules.name));
        format!("<Assessment of {lift} under {rules}: {}>", self.verdict())
    }

    fn __eq__(&self, other: &Bound<'_, PyAny>) -> bool {
        other.cast::<Self>().is_ok_and(|other| {
            let other = other.get();
            let forces = match (&self.forces, &other.forces) {
                (None, None) => true,
                (Some(one), Some(other)) => one.same(other),
                _ => false,
            };
            forces
                && self.core == other.core
                && self.lift.0 == other.lift.0
                && self.rule_set.core == other.rule_set.core
        })
    }

    fn __hash__(&self) -> u64 {
        text::hash(&(self.lift.__hash__(), self.rule_set.__hash__()))
    }

    fn __copy__(&self) -> Self {
        self.clone()
    }

    fn __deepcopy__(&self, _memo: &Bound<'_, PyAny>) -> Self {
        self.clone()
    }

    fn __reduce__(&self, py: Python<'_>) -> PyResult<(Py<PyAny>, Arguments)> {
        let arguments = (self.lift.clone(), self.rule_set.clone(), self.forces.clone());
        Ok((py.get_type::<Lift>().getattr("assess")?.unbind(), arguments))
    }
}

/// Adds them to the native module.
pub(crate) fn register(module: &Bound<'_, PyModule>) -> PyResult<()> {
    module.add_class::<Assessment>()
}
