//! Own weight of slings and fittings.

use super::Balance;
use pyo3::prelude::*;
use rigging_core::statics::Balance as Core;

#[pymethods]
impl Balance {
    /// The balance hung once more with the own weight of slings and fittings.
    ///
    /// Half of each sling stands at either end of its leg, fittings stand at the end they are at.
    ///
    /// Returns
    /// -------
    /// dict
    ///     Keys: `state`, `tilts` (rad, the load first), `legs`, `hooks` (pull on each with the gear that hangs from it, N).
    ///     A leg is a dict: `leg`, `weight` of its slings and fittings (N), `tension` along the chord, `upper` and `lower`,
    ///     the pulls at its ends (N); `shortening` by sag (m; None where the slings weigh more than half of the tension), and
    ///     `sag`, what the sag of all legs adds to `upper` (N; None where it was not found).
    ///
    /// Raises
    /// ------
    /// MissingError
    ///     For a mass of the gear that is not known.
    /// UnsupportedError
    ///     For a leg that ends at a joint or passes over something.
    ///
    /// Examples
    /// --------
    /// >>> from rigging_py import Lift
    /// >>> leg = Lift.demo("generator-skid").hang().own_weight()["legs"][0]
    /// >>> leg["leg"], round(leg["weight"], 1), leg["lower"] < leg["tension"] < leg["upper"]
    /// ('leg A', 166.7, True)
    fn own_weight<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyAny>> {
        self.answer(py, Core::own_weight)
    }
}
