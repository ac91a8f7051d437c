//! Natural periods.

use super::Balance;
use crate::inputs;
use pyo3::prelude::*;

#[pymethods]
impl Balance {
    /// The natural periods of the hanging lift, longest first.
    ///
    /// Parameters
    /// ----------
    /// moments_kg_m2 : sequence
    ///     For each body, the load first, its mass moments of inertia about the axes x, y and z through its center of gravity
    ///     in the frame as drawn, in kg·m².
    /// products_kg_m2 : sequence, optional
    ///     For each body its products of inertia ∫xy dm, ∫xz dm, ∫yz dm, in kg·m²; zero by default.
    /// excitations : sequence of dict, optional
    ///     What may shake the lift. Keys: `name`; `shortest` and `longest`, periods as a Duration, a text with a unit such
    ///     as "6 s" or a pint quantity; `source`, where the range comes from.
    /// count : int, optional
    ///     How many of the longest, 12 by default; up to 48 unknowns (three for a joint, six for a body) it is all of them.
    ///
    /// Returns
    /// -------
    /// dict
    ///     Keys: `periods`, `complete` (whether these are all), `without_period` (number of motions without period, such as
    ///     free turns about plumb lines). A period is a dict: `period` (s), `frequency` (Hz), `kind` (swing, bounce, yaw,
    ///     rocking, mixed), `shares` of the kinetic energy in that order, `parts` as in `modes`, `excited_by`: the names of
    ///     the excitations in whose range it lies. There a static dynamic factor means nothing.
    ///
    /// Raises
    /// ------
    /// InconsistentError
    ///     Unless there is one inertia for each body, and for one that no body can have.
    /// OutOfDomainError
    ///     For a principal moment that is not positive, or a range of periods that is not positive and ascending.
    /// UnsupportedError
    ///     For an unstable balance.
    /// TypeError
    ///     For a moment that is not a plain number.
    ///
    /// Examples
    /// --------
    /// >>> from rigging_py import Lift
    /// >>> skid = Lift.demo("generator-skid").hang()
    /// >>> waves = {"name": "waves", "shortest": "3 s", "longest": "6 s", "source": "invented"}
    /// >>> found = skid.periods(moments_kg_m2=[(15e3, 50e3, 55e3)], excitations=[waves])
    /// >>> longest = found["periods"][0]
    /// >>> longest["kind"], round(longest["period"], 1), longest["excited_by"]
    /// ('swing', 4.5, ['waves'])
    #[pyo3(signature = (*, moments_kg_m2, products_kg_m2 = None, excitations = None, count = 12))]
    fn periods<'py>(
        &self,
        py: Python<'py>,
        moments_kg_m2: &Bound<'py, PyAny>,
        products_kg_m2: Option<&Bound<'py, PyAny>>,
        excitations: Option<&Bound<'py, PyAny>>,
        count: usize,
    ) -> PyResult<Bound<'py, PyAny>> {
        let inertias = inputs::inertias(moments_kg_m2, products_kg_m2)?;
        let excitations = inputs::excitations(excitations)?;
        self.answer(py, |core| core.periods(&inertias, count, &excitations))
    }
}
