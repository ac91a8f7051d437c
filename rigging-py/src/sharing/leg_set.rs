//! The set of legs that a rule of the user's own is shown.

use crate::guard::guard;
use pyo3::prelude::*;
use rigging_core::sharing::{Elastic, LegSet as Core, SetLeg as CoreLeg, share};

/// One leg of a set, from a point of the load to the hook.
#[pyclass(frozen, module = "rigging_py.sharing", name = "SetLeg")]
#[derive(Clone)]
pub(super) struct SetLeg(CoreLeg);

#[pymethods]
impl SetLeg {
    /// Name in the document.
    #[getter]
    fn name(&self) -> &str {
        &self.0.name
    }

    /// The point of the load, as drawn: x, y, z in m.
    #[getter]
    fn point_m(&self) -> (f64, f64, f64) {
        self.0.point.into()
    }

    /// Unstretched length, in m.
    #[getter]
    const fn length_m(&self) -> f64 {
        self.0.length
    }

    fn __repr__(&self) -> String {
        format!("<SetLeg {}: {} m>", crate::text::literal(&self.0.name), self.0.length)
    }
}

/// One load under one hook, as a sharing rule sees it. It does not change, and may be kept.
///
/// Geometry and weight are there always. Tolerances and stiffnesses may not be known; who asks for them in vain gets the
/// exception that says what is missing, and may let it through: it is then what the rule refuses with.
#[pyclass(frozen, module = "rigging_py.sharing", name = "LegSet")]
pub(super) struct LegSet(Core);

impl LegSet {
    pub(super) fn of(set: &Core) -> Self {
        Self(set.clone())
    }
}

#[pymethods]
impl LegSet {
    /// Weight of the load, every factor on weight included, in N.
    #[getter]
    const fn weight_n(&self) -> f64 {
        self.0.weight()
    }

    /// Center of gravity, as drawn: x, y, z in m.
    #[getter]
    fn center_of_gravity_m(&self) -> (f64, f64, f64) {
        self.0.center_of_gravity().into()
    }

    /// The legs, in the order of the document: a tuple of SetLeg.
    #[getter]
    fn legs(&self, py: Python<'_>) -> PyResult<Py<PyAny>> {
        crate::text::tuple(py, self.0.legs().iter().cloned().map(SetLeg))
    }

    /// Angle of each leg from vertical: the one stated, else as drawn.
    ///
    /// Drawn means with the hook plumb above the center of gravity and the legs unstretched.
    ///
    /// Returns
    /// -------
    /// list of float
    ///     In rad.
    ///
    /// Raises
    /// ------
    /// OutOfDomainError
    ///     For a leg that does not reach the plumb line through the center of gravity.
    fn angles_from_vertical_rad(&self) -> PyResult<Vec<f64>> {
        guard(|| self.0.from_vertical())
    }

    /// How far the length of each leg may be off.
    ///
    /// Returns
    /// -------
    /// list of float
    ///     In m, to either side.
    ///
    /// Raises
    /// ------
    /// MissingError
    ///     Where one is not known: an absent tolerance is not zero.
    fn length_tolerances_m(&self) -> PyResult<Vec<f64>> {
        guard(|| Ok(self.0.tolerances()?.lengths.clone()))
    }

    /// How far the coordinates of the center of gravity may be off.
    ///
    /// Returns
    /// -------
    /// list of float
    ///     In m, to either side.
    ///
    /// Raises
    /// ------
    /// MissingError
    ///     Where it is not known.
    fn center_of_gravity_tolerance_m(&self) -> PyResult<Vec<f64>> {
        guard(|| Ok(self.0.tolerances()?.center_of_gravity.to_vec()))
    }

    /// Tension of each leg at nominal numbers by the solver.
    ///
    /// Returns
    /// -------
    /// list of float
    ///     In N.
    ///
    /// Raises
    /// ------
    /// MissingError
    ///     Where a stiffness is not known.
    /// UnsupportedError
    ///     Unless the balance is stable.
    fn elastic(&self, py: Python<'_>) -> PyResult<Vec<f64>> {
        guard(|| py.detach(|| share(&Elastic, &self.0)))
    }

    fn __len__(&self) -> usize {
        self.0.legs().len()
    }

    fn __repr__(&self) -> String {
        format!("<LegSet of {} legs: {} N>", self.0.legs().len(), self.0.weight())
    }
}

/// Adds them to the native module.
pub(super) fn register(module: &Bound<'_, PyModule>) -> PyResult<()> {
    module.add_class::<SetLeg>()?;
    module.add_class::<LegSet>()
}
