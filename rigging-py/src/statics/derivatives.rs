//! How a balance depends on every number it is made of.

use super::Balance;
use crate::guard::guard;
use crate::text;
use pyo3::prelude::*;
use rigging_core::error::Error;
use rigging_core::statics::Derivatives;

impl Balance {
    fn differentiated(&self, py: Python<'_>) -> PyResult<&Derivatives> {
        guard(|| {
            let found = py.detach(|| self.derivatives.get_or_init(|| self.core.derivatives()));
            found.as_ref().map_err(Error::clone)
        })
    }
}

#[pymethods]
impl Balance {
    /// How the balance depends on every number it is made of, exactly and to first order.
    ///
    /// Returns
    /// -------
    /// dict
    ///     Keys: `legs`, `bodies`, `hooks` (names), `rows`. A row is a dict: `parameter` (length, axial_stiffness, law_scale,
    ///     center_of_gravity, mass, hook_position), `item` (its leg, body or hook), `axis` (x, y, z, or None), `unit` (m, N,
    ///     kg, or empty); `tensions` in N per unit; `tilts` in rad per unit (None for a body that hangs upright); `hooks`,
    ///     the size of the force on each, in N per unit; `increase` and `decrease`, the first leg that would go slack or taut
    ///     (dict with `leg` and `change`, in the unit; or None). The derivatives hold up to there and not beyond.
    ///
    /// Raises
    /// ------
    /// UnsupportedError
    ///     Unless the balance is stable.
    /// OutOfDomainError
    ///     If a leg stands just between taut and slack, where each side has derivatives of its own.
    ///
    /// Examples
    /// --------
    /// >>> from rigging_py import Lift
    /// >>> balance = Lift.demo("vessel-two-cranes").hang()
    /// >>> shift = next(row for row in balance.derivatives()["rows"] if row["axis"] == "x")
    /// >>> shift["parameter"], shift["item"]
    /// ('center_of_gravity', 'vessel V-1180')
    /// >>> [round(change / 1e3, 1) for change in shift["tensions"]]  # kN for each m: the weight over the 24 m between the lugs
    /// [-39.2, 39.2]
    fn derivatives<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyAny>> {
        let found = self.differentiated(py)?;
        self.answer(py, |_| Ok(found))
    }

    /// What the rows of `tension_matrix` are: one (parameter, item, axis, unit) a row, as in `derivatives`.
    ///
    /// Returns
    /// -------
    /// tuple of tuple
    ///     Texts; the axis is None where there is none. `pandas.MultiIndex.from_tuples` takes them.
    ///
    /// Raises
    /// ------
    /// UnsupportedError, OutOfDomainError
    ///     As `derivatives`.
    fn parameters(&self, py: Python<'_>) -> PyResult<Py<PyAny>> {
        let rows = self.differentiated(py)?.rows.iter();
        text::tuple(py, rows.map(|row| (row.parameter, row.item.as_str(), row.axis, row.unit)))
    }

    /// The derivatives of the tensions as a matrix.
    ///
    /// Returns
    /// -------
    /// numpy.ndarray
    ///     Of the type float64 and the shape (parameters, legs), in N per unit of the row's parameter; zero for a slack leg.
    ///     `parameters()` names the rows, `legs` the columns.
    ///
    /// Raises
    /// ------
    /// UnsupportedError, OutOfDomainError
    ///     As `derivatives`.
    ///
    /// Examples
    /// --------
    /// What 1 t more does to the two cranes:
    ///
    /// >>> from rigging_py import Lift
    /// >>> balance = Lift.demo("vessel-two-cranes").hang()
    /// >>> row = balance.parameters().index(("mass", "vessel V-1180", None, "kg"))
    /// >>> (balance.tension_matrix()[row] * 1000 / 9.80665 / 1000).round(4).tolist()  # t
    /// [0.5666, 0.4334]
    fn tension_matrix<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyAny>> {
        let rows: Vec<&[f64]> = self.differentiated(py)?.rows.iter().map(|row| row.tensions.as_slice()).collect();
        let shape = (rows.len(), self.core.legs().len());
        let numpy = py.import("numpy")?;
        numpy.call_method1("array", (rows, "float64"))?.call_method1("reshape", (shape,))
    }
}
