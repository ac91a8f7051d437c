//! Slings that pass over something.

use super::Balance;
use pyo3::prelude::*;
use rigging_core::statics::Balance as Core;

#[pymethods]
impl Balance {
    /// What the slings do that pass over something between their ends.
    ///
    /// Without friction both sides of a station pull alike. With friction every state between the limits of sliding is
    /// possible, where the pulls stand in the ratio e^(µ·φ). Tensions over the limits are attained, not bounds. The other
    /// questions about the balance of a lift with such a leg are refused with UnsupportedError.
    ///
    /// Returns
    /// -------
    /// dict
    ///     Keys: `frictionless` and `held`, the states of the balance without friction (None where none was found) and with
    ///     the lengths as drawn; `rests_held`, whether the balance is the held one; `limits`, their number, and `share` of
    ///     the greatest friction up to which each has a stable balance (None where nothing is known of the friction, or no
    ///     limit was tried); `legs`. A leg is a dict: `leg`; `sliding` (free, holds, may_slide, slides, unknown); `spans`,
    ///     each with `from`, `to`, `tension` in the balance, `frictionless`, `held`, `least`, `largest` (N); `stations`, each
    ///     with `station`, `friction` (least and greatest coefficient), `turn` (rad), `pull` on it in the balance, `least`
    ///     and `largest` (N).
    ///
    /// Examples
    /// --------
    /// >>> from rigging_py import Lift
    /// >>> sling = Lift.demo("pump-doubled-sling").hang().running()["legs"][0]
    /// >>> sling["sliding"], [round(span["tension"] / 1000, 1) for span in sling["spans"]]
    /// ('holds', [34.2, 31.6])
    /// >>> [(round(span["least"] / 1000, 1), round(span["largest"] / 1000, 1)) for span in sling["spans"]]
    /// [(26.0, 39.3), (26.1, 39.3)]
    fn running<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyAny>> {
        self.answer(py, Core::running)
    }
}
