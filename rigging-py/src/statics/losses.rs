//! What the loss of a part does.

use super::Balance;
use crate::inputs;
use pyo3::prelude::*;

#[pymethods]
impl Balance {
    /// What the loss of each leg, and of each point with all its legs, does to the rest.
    ///
    /// Parameters
    /// ----------
    /// allowed : dict or sequence, optional
    ///     What each leg may bear: a dict from the name of a leg to a Force, a text with a unit such as "118 kN" or a pint
    ///     quantity, or a sequence of them in the order of the legs; None, or a leg left out of the dict, for what is not
    ///     known. Without it there are no utilizations.
    ///
    /// Returns
    /// -------
    /// list of dict
    ///     Keys: `kind` (leg, point), `item`, `legs_lost`, `recoil` (strain energy in them, J), `state` of the new equilibrium
    ///     (None if a body falls), `falls` (bodies), `tilt` (the largest, rad), `released` (energy, J), `legs`: for each that
    ///     remains a dict with `leg`, `before` and `after` (tensions, N), `ratio`, `utilization`, `peak` (estimate of the
    ///     largest tension on the way, N, or None) and `bound` (not exceeded on the way, N).
    ///
    /// Raises
    /// ------
    /// UnsupportedError
    ///     Unless the balance is stable or neutral.
    /// UnknownNameError, OutOfDomainError, WrongUnitError, BareNumberError
    ///     For what is not an allowed force of a leg; its place begins with ``/allowed``.
    ///
    /// Examples
    /// --------
    /// >>> from rigging_py import Lift
    /// >>> balance = Lift.demo("panel-spreader").hang()
    /// >>> loss = balance.losses(allowed={"upper 2": "90 kN"})[0]
    /// >>> loss["item"], loss["state"]
    /// ('upper 1', 'stable')
    /// >>> other = loss["legs"][0]
    /// >>> other["leg"], round(other["ratio"], 2), round(other["utilization"], 2)
    /// ('upper 2', 2.0, 1.37)
    #[pyo3(signature = (*, allowed = None))]
    fn losses<'py>(&self, py: Python<'py>, allowed: Option<&Bound<'py, PyAny>>) -> PyResult<Bound<'py, PyAny>> {
        let allowed = inputs::forces(allowed, self.core.legs(), "allowed")?;
        self.answer(py, |core| core.losses(&allowed))
    }
}
