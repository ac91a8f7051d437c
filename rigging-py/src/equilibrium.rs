//! The certificate of an equilibrium as an object.

use crate::arrangement::Lift;
use crate::guard::guard;
use crate::html;
use crate::rules::RuleSet;
use crate::text;
use glam::DVec3;
use pyo3::prelude::*;
use pyo3::types::{PyDict, PyList};
use rigging_core::equilibrium::{Certificate as Core, MemberState};
use rigging_core::quantity::{Angle, AngleUnit};
use rigging_core::report::json;
use rigging_core::system::member_names;
use std::sync::Arc;

/// Three coordinates, in the order x, y, z.
type Vector = (f64, f64, f64);

/// From what a certificate is solved anew: the lift, the rules, and the steps toward the destination.
type Origin = (Lift, Option<RuleSet>, usize);

/// How a lift hangs, and the proof that its forces balance.
///
/// Tuples hold one value a leg, in the order of the document; a leg that passes over something between its ends counts span
/// by span. The world's z is up; the load's frame is the world as
/// drawn.
///
/// Examples
/// --------
/// >>> from rigging_py import Lift
/// >>> certificate = Lift.demo("generator-skid").solve()
/// >>> print(certificate)
/// <Certificate stable: 54.205, 69.116, 47.606, 32.641 kN>
/// >>> round(certificate.tilt_deg, 3), certificate.null_modes
/// (6.423, 1)
/// >>> certificate.residual_over_weight < 1e-10
/// True
#[pyclass(frozen, module = "rigging_py", name = "Certificate")]
#[derive(Clone)]
pub(crate) struct Certificate {
    core: Arc<Core>,
    lift: Lift,
    /// The rules whose assessment hung the lift, with their factors on weight; none where it was hung at its stated mass.
    rule_set: Option<RuleSet>,
    /// How many steps toward the destination lead from the lift's own certificate to this one.
    steps: usize,
}

impl Certificate {
    pub(crate) fn of(lift: &Lift, rule_set: Option<&RuleSet>, core: Core) -> Self {
        Self { core: Arc::new(core), lift: lift.clone(), rule_set: rule_set.cloned(), steps: 0 }
    }

    fn members<'py, T: IntoPyObject<'py>>(
        &self,
        py: Python<'py>,
        part: impl Fn(&MemberState) -> T,
    ) -> PyResult<Py<PyAny>> {
        text::tuple(py, self.core.members.iter().map(part))
    }
}

const fn vector(vector: DVec3) -> Vector {
    (vector.x, vector.y, vector.z)
}

#[pymethods]
impl Certificate {
    /// "stable", "neutral", "unstable" or "lost".
    #[getter]
    fn state(&self) -> &'static str {
        self.core.state.word()
    }

    /// Names of the legs; of one that passes over something between its ends those of its spans ("basket 1, span 2"),
    /// without the spans between two places of one body.
    #[getter]
    fn legs(&self, py: Python<'_>) -> PyResult<Py<PyAny>> {
        text::tuple(py, member_names(&self.lift.0))
    }

    /// Tension of each leg, in N; zero when slack.
    #[getter]
    fn tensions_n(&self, py: Python<'_>) -> PyResult<Py<PyAny>> {
        self.members(py, |member| member.tension)
    }

    /// Stretched length of each leg, in m.
    #[getter]
    fn lengths_m(&self, py: Python<'_>) -> PyResult<Py<PyAny>> {
        self.members(py, |member| member.length)
    }

    /// Strain of each leg; negative when slack.
    #[getter]
    fn strains(&self, py: Python<'_>) -> PyResult<Py<PyAny>> {
        self.members(py, |member| member.strain)
    }

    /// Whether each leg carries nothing.
    #[getter]
    fn slack(&self, py: Python<'_>) -> PyResult<Py<PyAny>> {
        self.members(py, |member| member.slack)
    }

    /// Unit vector of each leg in the world, (x, y, z), from its last station toward its first.
    #[getter]
    fn directions(&self, py: Python<'_>) -> PyResult<Py<PyAny>> {
        self.members(py, |member| vector(member.direction))
    }

    /// Angle between the world's upward direction and that of the load as drawn, in degrees, 0 to 180.
    #[getter]
    fn tilt_deg(&self) -> Option<f64> {
        self.core.bodies.first().map(|pose| Angle::radians(pose.tilt).to(AngleUnit::Degree))
    }

    /// Center of gravity of the load in the world, (x, y, z) in m.
    #[getter]
    fn center_of_gravity_m(&self) -> Option<Vector> {
        self.core.bodies.first().map(|pose| vector(pose.center_of_gravity))
    }

    /// Origin of the load's frame in the world, (x, y, z) in m.
    #[getter]
    fn position_m(&self) -> Option<Vector> {
        self.core.bodies.first().map(|pose| vector(pose.position))
    }

    /// Unit quaternion (x, y, z, w) that turns the load's coordinates into the world's.
    #[getter]
    fn rotation(&self) -> Option<(f64, f64, f64, f64)> {
        self.core.bodies.first().map(|pose| pose.rotation.into())
    }

    /// The world's upward direction in the load's frame, (x, y, z).
    #[getter]
    fn up_in_load(&self) -> Option<Vector> {
        self.core.bodies.first().map(|pose| vector(pose.up_in_body))
    }

    /// Position of the hook in the load's frame, (x, y, z) in m.
    #[getter]
    fn hook_in_load_m(&self) -> Option<Vector> {
        self.core.bodies.first().map(|pose| vector(pose.hook_in_body))
    }

    /// Where each body hangs, the load first, then the spreaders: a list of dicts.
    ///
    /// Keys: `name`; `center_of_gravity_m` and `position_m` (origin of the body's frame) in the world, in m; `rotation` (unit
    /// quaternion x, y, z, w from the body's frame to the world's); `up_in_body`; `tilt_deg`; `hook_in_body_m` (the first
    /// hook, in m).
    #[getter]
    fn poses<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyList>> {
        let document = self.lift.0.document();
        let names =
            std::iter::once(&document.load.name).chain(document.spreaders.iter().map(|spreader| &spreader.name));
        let records = PyList::empty(py);
        for (name, pose) in names.zip(&self.core.bodies) {
            let record = PyDict::new(py);
            record.set_item("name", name.as_str())?;
            record.set_item("center_of_gravity_m", vector(pose.center_of_gravity))?;
            record.set_item("position_m", vector(pose.position))?;
            record.set_item("rotation", <(f64, f64, f64, f64)>::from(pose.rotation))?;
            record.set_item("up_in_body", vector(pose.up_in_body))?;
            record.set_item("tilt_deg", Angle::radians(pose.tilt).to(AngleUnit::Degree))?;
            record.set_item("hook_in_body_m", vector(pose.hook_in_body))?;
            records.append(record)?;
        }
        Ok(records)
    }

    /// Position of each joint in the world, (x, y, z) in m, in the order of the document.
    #[getter]
    fn joints_m(&self, py: Python<'_>) -> PyResult<Py<PyAny>> {
        text::tuple(py, self.core.joints.iter().map(|joint| vector(*joint)))
    }

    /// Force on each hook in the world, (x, y, z) in N.
    #[getter]
    fn hooks_n(&self, py: Python<'_>) -> PyResult<Py<PyAny>> {
        text::tuple(py, self.core.hooks.iter().map(|force| vector(*force)))
    }

    /// Magnitude of the force that is left unbalanced, in N.
    #[getter]
    fn residual_n(&self) -> f64 {
        self.core.residual
    }

    /// The residual over the weight of the load.
    #[getter]
    fn residual_over_weight(&self) -> f64 {
        self.core.residual_over_weight
    }

    /// Magnitude of the largest moment about its center of gravity that is left unbalanced on a body, in N·m.
    #[getter]
    fn residual_moment_n_m(&self) -> f64 {
        self.core.residual_moment
    }

    /// Largest product of a leg's tension and of its slack, in J: zero when no slack leg carries anything.
    #[getter]
    fn complementarity_j(&self) -> f64 {
        self.core.complementarity
    }

    /// Eigenvalues of the reduced Hessian of the potential energy, ascending, in N/m.
    #[getter]
    fn eigenvalues_n_per_m(&self, py: Python<'_>) -> PyResult<Py<PyAny>> {
        text::tuple(py, self.core.eigenvalues.iter().copied())
    }

    /// Number of negative eigenvalues.
    #[getter]
    fn negative_modes(&self) -> usize {
        self.core.negative_modes
    }

    /// Number of null modes, the free turn about the plumb line included: 1 for a sound lift on one hook.
    #[getter]
    fn null_modes(&self) -> usize {
        self.core.null_modes
    }

    /// Whether no other pose whatever has a lower potential energy, proven. False says nothing.
    #[getter]
    fn lowest(&self) -> bool {
        self.core.lowest
    }

    /// The leg nearest to passing from taut to slack or back: its index, and the distance from it in m.
    #[getter]
    fn nearest_slack_event(&self) -> Option<(usize, f64)> {
        self.core.nearest_slack_event.map(|event| (event.member, event.distance))
    }

    /// Steps taken.
    #[getter]
    fn iterations(&self) -> usize {
        self.core.iterations
    }

    /// Where an unstable load would go.
    #[getter]
    fn destination(&self) -> Option<Self> {
        let core = Arc::new(self.core.destination.as_deref()?.clone());
        Some(Self { core, steps: self.steps + 1, ..self.clone() })
    }

    /// The certificate as one line of JSON, in SI units.
    ///
    /// Returns
    /// -------
    /// str
    fn to_json(&self) -> PyResult<String> {
        guard(|| json::certificate(&self.core))
    }

    /// The lift that was hung.
    #[getter]
    fn lift(&self) -> Lift {
        self.lift.clone()
    }

    /// A table of the legs with their tensions, for the notebook.
    fn _repr_html_(&self) -> String {
        let tilt = self.tilt_deg().map(|tilt| format!("{tilt:.3}"));
        let name = &self.lift.0.document().name;
        let caption = format!("{name}: {}, tilt {} deg", self.state(), html::or_unknown(tilt));
        let legs = member_names(&self.lift.0).into_iter().zip(&self.core.members);
        let rows = legs.map(|(leg, member)| {
            let slack = if member.slack { "slack" } else { "taut" };
            vec![leg, html::kilonewtons(member.tension), format!("{:.4}", member.length), slack.to_owned()]
        });
        html::table(&caption, &["leg", "tension kN", "length m", "state"], rows)
    }

    /// The rules whose factors on weight are in it; None where the lift was hung at its stated mass.
    #[getter]
    fn rule_set(&self) -> Option<RuleSet> {
        self.rule_set.clone()
    }

    /// Evaluates back to the same certificate, by solving anew.
    fn __repr__(&self) -> PyResult<String> {
        let made = match &self.rule_set {
            Some(rules) => format!("{}.assess({}).nominal", self.lift.__repr__()?, rules.__repr__()),
            None => format!("{}.solve()", self.lift.__repr__()?),
        };
        Ok(made + &".destination".repeat(self.steps))
    }

    fn __str__(&self) -> String {
        let tensions: Vec<String> =
            self.core.members.iter().map(|member| format!("{:.3}", member.tension / 1e3)).collect();
        format!("<Certificate {}: {} kN>", self.state(), tensions.join(", "))
    }

    fn __eq__(&self, other: &Bound<'_, PyAny>) -> bool {
        other.cast::<Self>().is_ok_and(|other| {
            let other = other.get();
            let rules = |of: &Self| of.rule_set.as_ref().map(|rules| rules.core.hash().clone());
            self.core == other.core && self.lift.0 == other.lift.0 && rules(self) == rules(other)
        })
    }

    fn __hash__(&self) -> u64 {
        text::hash(&self.core.members.iter().map(|member| text::bits(member.tension)).collect::<Vec<_>>())
    }

    fn __copy__(&self) -> Self {
        self.clone()
    }

    fn __deepcopy__(&self, _memo: &Bound<'_, PyAny>) -> Self {
        self.clone()
    }

    fn __reduce__(&self, py: Python<'_>) -> PyResult<(Py<PyAny>, Origin)> {
        let function = py.import("rigging_py._native")?.getattr("_solved")?.unbind();
        Ok((function, (self.lift.clone(), self.rule_set.clone(), self.steps)))
    }
}

/// Solves once more: the same lift gives the same bits.
#[pyfunction]
#[pyo3(signature = (lift, rule_set, steps))]
fn _solved(
    py: Python<'_>,
    lift: &Lift,
    rule_set: Option<PyRef<'_, RuleSet>>,
    steps: usize,
) -> PyResult<Option<Certificate>> {
    let mut certificate = match rule_set {
        None => Some(lift.solve(py)?),
        Some(rule_set) => lift.assess(py, &rule_set, None)?.nominal(),
    };
    for _ in 0..steps {
        certificate = certificate.and_then(|certificate| certificate.destination());
    }
    Ok(certificate)
}

/// Adds them to the native module.
pub(crate) fn register(module: &Bound<'_, PyModule>) -> PyResult<()> {
    module.add_function(wrap_pyfunction!(_solved, module)?)?;
    module.add_class::<Certificate>()
}
