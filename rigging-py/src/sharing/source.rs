//! The source of forces of an assessment, as Python names it.

use super::own::Raised;
use super::rule::SharingRule;
use crate::guard::guard;
use crate::text;
use pyo3::prelude::*;
use rigging_core::demand::Forces as CoreForces;
use rigging_core::equilibrium::worst::Effort;
use rigging_core::error::Error;

/// Bounds over the tolerances as the source of forces of an assessment.
///
/// They hold for lengths and center of gravity; stiffness and mass are as stated.
///
/// Parameters
/// ----------
/// gap : float, optional
///     How much a bound may exceed what was attained, over it.
/// parts : int, optional
///     The most pieces that are looked at, for the branch and then for each force.
///
/// Examples
/// --------
/// >>> from rigging_py import Lift, RuleSet
/// >>> from rigging_py.sharing import Bounds
/// >>> assessment = Lift.demo("generator-skid-round-edge").assess(RuleSet.built_in("us-general"), forces=Bounds())
/// >>> assessment.verdict
/// 'pass'
#[pyclass(frozen, eq, from_py_object, module = "rigging_py.sharing", name = "Bounds")]
#[derive(Clone, Copy, PartialEq)]
pub(crate) struct Bounds(Effort);

#[pymethods]
impl Bounds {
    #[new]
    #[pyo3(signature = (gap = 0.01, parts = 2000))]
    const fn new(gap: f64, parts: usize) -> Self {
        Self(Effort { gap, parts })
    }

    /// How much a bound may exceed what was attained, over it.
    #[getter]
    const fn gap(&self) -> f64 {
        self.0.gap
    }

    /// The most pieces that are looked at.
    #[getter]
    const fn parts(&self) -> usize {
        self.0.parts
    }

    fn __repr__(&self) -> String {
        format!("Bounds({:?}, {})", self.0.gap, self.0.parts)
    }

    fn __hash__(&self) -> u64 {
        text::hash(&(text::bits(self.0.gap), self.0.parts))
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> (Bound<'py, PyAny>, (f64, usize)) {
        (py.get_type::<Self>().into_any(), (self.0.gap, self.0.parts))
    }
}

/// The source of forces of an assessment, as Python names it.
#[derive(Clone, FromPyObject, IntoPyObject)]
pub(crate) enum Forces {
    Bounds(Bounds),
    Rule(SharingRule),
}

impl Forces {
    /// Calls the core with the source.
    pub(crate) fn with<T: Send>(
        this: Option<&Self>,
        py: Python<'_>,
        call: impl FnOnce(CoreForces<'_>) -> Result<T, Error> + Send,
    ) -> PyResult<T> {
        match this {
            None => guard(|| py.detach(|| call(CoreForces::AtVertices))),
            Some(Self::Bounds(Bounds(effort))) => guard(|| py.detach(|| call(CoreForces::Bounds(*effort)))),
            Some(Self::Rule(rule)) => {
                let raised = Raised::default();
                let rule = rule.core(py, &raised)?;
                raised.or(guard(|| py.detach(|| call(CoreForces::Rule(rule.as_ref())))))
            }
        }
    }

    pub(crate) fn same(&self, other: &Self) -> bool {
        match (self, other) {
            (Self::Bounds(one), Self::Bounds(other)) => one == other,
            (Self::Rule(one), Self::Rule(other)) => one.same(other),
            _ => false,
        }
    }

    pub(crate) fn repr(&self) -> PyResult<String> {
        match self {
            Self::Bounds(bounds) => Ok(bounds.__repr__()),
            Self::Rule(rule) => rule.__repr__(),
        }
    }
}

/// Adds them to the native module.
pub(super) fn register(module: &Bound<'_, PyModule>) -> PyResult<()> {
    module.add_class::<Bounds>()
}
