//! How far a number may change.

use super::Balance;
use pyo3::prelude::*;
use rigging_core::statics::Balance as Core;

#[pymethods]
impl Balance {
    /// How far a number may change before a leg goes slack or the load is no longer stable, each change alone.
    ///
    /// Returns
    /// -------
    /// list of dict
    ///     Keys: `change` (center_of_gravity, longer, shorter), `item`, `direction` (of a center of gravity, in the frame as
    ///     drawn: up, +x, −x, +y, −y; else None), `range` (how far was searched, m), `slack` and `instability`: None within
    ///     the range, or a dict with `before` (the change up to which it has not happened, m: the margin), `after` (at which
    ///     it has, m), `state` at `after`, and `slack`, the legs that went slack.
    ///
    /// Raises
    /// ------
    /// UnsupportedError
    ///     Unless the balance is stable.
    ///
    /// Examples
    /// --------
    /// >>> from rigging_py import Lift
    /// >>> margins = Lift.demo("frame-tall-item").hang().margins()
    /// >>> up = next(one for one in margins if one["direction"] == "up" and one["item"] == "plant item PI-6")
    /// >>> round(up["instability"]["before"], 3), up["slack"]
    /// (0.016, None)
    fn margins<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyAny>> {
        self.answer(py, Core::margins)
    }
}
