//! Other poses.

use super::Balance;
use pyo3::prelude::*;
use rigging_core::statics::Balance as Core;

#[pymethods]
impl Balance {
    /// Other stable poses in which the lift could come to rest, lowest energy first.
    ///
    /// It is a search, and no proof that there are no more.
    ///
    /// Returns
    /// -------
    /// list of dict
    ///     Keys: `state` (a tilt of 90° or more from the attitude as drawn is "lost"), `tilts` (rad), `tensions` (N),
    ///     `energy` above the present pose (J), `pass` (energy of the lowest pass found between the two, J: an upper bound of
    ///     what it takes to get there; None where no pass was certified).
    fn others<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyAny>> {
        self.answer(py, Core::others)
    }
}
