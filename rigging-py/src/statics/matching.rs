//! Which lengths must match, and which sling goes where.

use super::Balance;
use crate::inputs;
use pyo3::prelude::*;

#[pymethods]
impl Balance {
    /// Which legs must match in length, and what a length error does through self-stress.
    ///
    /// Parameters
    /// ----------
    /// tolerance : float, optional
    ///     Singular value, over the largest, up to which a combination of legs counts as a state of self-stress: 1e-9 by
    ///     default, for what geometry makes exact; more for legs that are nearly parallel.
    ///
    /// Returns
    /// -------
    /// dict
    ///     Keys: `legs`, `states` (number of independent states), `groups` (legs that must match each other; legs in none
    ///     need no matching), `tension_per_length` (N/m: row i, column j says what a longer leg j does to leg i),
    ///     `singular_values`, `tolerance`.
    ///
    /// Raises
    /// ------
    /// OutOfDomainError
    ///     Unless the tolerance lies between 0 and 1.
    #[pyo3(signature = (*, tolerance = 1e-9))]
    fn self_stress<'py>(&self, py: Python<'py>, tolerance: f64) -> PyResult<Bound<'py, PyAny>> {
        self.answer(py, |core| core.self_stress(tolerance))
    }

    /// Which of the measured slings goes where, so that the largest change of a tension by self-stress is the least.
    ///
    /// Parameters
    /// ----------
    /// errors : dict or sequence
    ///     Measured length less stated length of the sling at each leg: a dict from the name of a leg to a Length, a text with
    ///     a unit such as "-4 mm" or a pint quantity, or a sequence of them in the order of the legs. All legs are needed.
    /// tolerance : float, optional
    ///     As in `self_stress`.
    ///
    /// Returns
    /// -------
    /// dict
    ///     Keys: `slings` (for each leg, the leg whose sling should hang there), `before` and `after` (largest change of a
    ///     tension by self-stress, N), `exhaustive` (whether all orders were tried).
    ///
    /// Raises
    /// ------
    /// MissingError
    ///     For a leg without an error.
    /// InconsistentError
    ///     Unless a sequence has one error for each leg.
    /// UnknownNameError, OutOfDomainError, WrongUnitError, BareNumberError
    ///     For what is not the length error of a leg; its place begins with ``/errors``.
    ///
    /// Examples
    /// --------
    /// Long with long, short with short, at each end of the spreader:
    ///
    /// >>> from rigging_py import Lift
    /// >>> balance = Lift.demo("panel-spreader").hang()
    /// >>> upper = ["4 mm", "-4 mm", "4 mm", "-4 mm"]
    /// >>> order = balance.order([*upper, "0 mm", "0 mm", "0 mm", "0 mm"])
    /// >>> order["slings"][:4], round(order["before"]), round(order["after"])
    /// (['upper 1', 'upper 3', 'upper 2', 'upper 4'], 8889, 0)
    #[pyo3(signature = (errors, *, tolerance = 1e-9))]
    fn order<'py>(&self, py: Python<'py>, errors: &Bound<'py, PyAny>, tolerance: f64) -> PyResult<Bound<'py, PyAny>> {
        let errors = inputs::lengths(errors, self.core.legs(), "errors")?;
        self.answer(py, |core| core.order(&errors, tolerance))
    }
}
