//! What moves without resistance, and with the least.

use super::Balance;
use pyo3::prelude::*;
use rigging_core::statics::Balance as Core;

#[pymethods]
impl Balance {
    /// The motions that nothing resists, free turns about plumb lines among them.
    ///
    /// Returns
    /// -------
    /// list of dict
    ///     Keys: `words` (the motion in words), `parts` (the bodies and joints that move).
    ///
    /// Examples
    /// --------
    /// >>> from rigging_py import Lift
    /// >>> len(Lift.demo("generator-skid").hang().motions())
    /// 1
    fn motions<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyAny>> {
        self.answer(py, Core::motions)
    }

    /// The softest modes, softest first, the free turns about plumb lines left out.
    ///
    /// Parameters
    /// ----------
    /// count : int, optional
    ///     How many, 6 by default; up to 48 unknowns (three for a joint, six for a body) it is all of them.
    ///
    /// Returns
    /// -------
    /// list of dict
    ///     Keys: `stiffness` (N/m; negative where the balance is unstable), `parts`: for each body and joint a dict with
    ///     `part`, `displacement` (m) and `turn` (rad), vectors in the world.
    #[pyo3(signature = (*, count = 6))]
    fn modes<'py>(&self, py: Python<'py>, count: usize) -> PyResult<Bound<'py, PyAny>> {
        self.answer(py, |core| core.modes(count))
    }
}
