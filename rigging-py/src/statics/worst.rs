//! The worst case over tolerances.

use super::Balance;
use crate::inputs;
use pyo3::prelude::*;

#[pymethods]
impl Balance {
    /// The worst case over a box of tolerances: largest forces that were attained, bounds that are proven, skew factors.
    ///
    /// Bounds are proven for one load with up to eight legs under one hook, and for tiers of spreaders, frames and joints with up
    /// to sixteen legs under up to four hooks.
    ///
    /// Parameters
    /// ----------
    /// stiffness : float or sequence of float
    ///     Tolerance of each leg's stiffness, over its own; one number is that of every leg.
    /// mass : float
    ///     Tolerance of the load's mass, over its own.
    /// lengths : dict or sequence, optional
    ///     Tolerance of each leg's length: a dict from the name of a leg to a Length, a text with a unit such as "20 mm" or a
    ///     pint quantity, or a sequence of them in the order of the legs. As the document states where it is left out.
    /// center_of_gravity : sequence, optional
    ///     Tolerance of its three coordinates, likewise. As the document states where it is left out.
    /// hook_heights : sequence, optional
    ///     Tolerance of the height of each hook, likewise. That of a single hook changes nothing and may be left out.
    /// gap : float, optional
    ///     How much a bound may exceed what was attained, over it.
    /// parts : int, optional
    ///     The most pieces that are looked at, for the branch and then for each force.
    ///
    /// Returns
    /// -------
    /// dict
    ///     Keys: `legs`, `points` (where several legs meet), `hooks`, `skew`, `open`, `parts`, `states`. A force is
    ///     a dict: `item`, `legs`, `nominal`, `attained` and `bound` (N; the bound None where nothing was proven), `gap`, and
    ///     `at`, what was added to each number where it was attained: `lengths`, `center_of_gravity` and `hook_heights` in m,
    ///     `stiffness` and `weight` over their own. `skew` has `own`, the largest ratio of a leg's worst to its own nominal tension, and
    ///     `largest`, the largest worst over the largest nominal tension, each with `attained` and `bound`. `open` is None, or
    ///     says why (`reason`: not_stable, not_enclosed, many_legs) and where (`at`) there is no bound.
    ///
    /// Raises
    /// ------
    /// MissingError
    ///     For a tolerance that neither you nor the document states.
    /// UnsupportedError
    ///     For slings that run over stations, for more than eight legs under one hook, or unless the balance is stable.
    /// InconsistentError, OutOfDomainError, UnknownNameError, WrongUnitError, BareNumberError
    ///     For what is no tolerance of a leg or coordinate.
    ///
    /// Examples
    /// --------
    /// >>> from rigging_py import Lift
    /// >>> balance = Lift.demo("generator-skid").hang()
    /// >>> worst = balance.worst(stiffness=0.0, mass=0.0, center_of_gravity=["0 mm"] * 3)
    /// >>> [round(leg["attained"] / 1e3, 1) for leg in worst["legs"]]
    /// [84.5, 99.5, 77.8, 62.8]
    /// >>> all(leg["attained"] <= leg["bound"] <= 1.01 * leg["attained"] for leg in worst["legs"])
    /// True
    /// >>> vessel = Lift.demo("vessel-two-cranes").hang()
    /// >>> worst = vessel.worst(stiffness=0.0, mass=0.03, lengths=["0 mm"] * 2, hook_heights=["0 mm"] * 2)
    /// >>> [round(hook["attained"] / 9806.65, 1) for hook in worst["hooks"]], worst["open"]
    /// ([57.7, 44.5], None)
    /// >>> all(hook["attained"] <= hook["bound"] <= 1.01 * hook["attained"] for hook in worst["hooks"])
    /// True
    #[pyo3(signature = (*, stiffness, mass, lengths = None, center_of_gravity = None, hook_heights = None, gap = 0.01, parts = 2000))]
    #[expect(clippy::too_many_arguments, reason = "all are named by the caller")]
    fn worst<'py>(
        &self,
        py: Python<'py>,
        stiffness: &Bound<'py, PyAny>,
        mass: f64,
        lengths: Option<&Bound<'py, PyAny>>,
        center_of_gravity: Option<&Bound<'py, PyAny>>,
        hook_heights: Option<&Bound<'py, PyAny>>,
        gap: f64,
        parts: usize,
    ) -> PyResult<Bound<'py, PyAny>> {
        let given = [lengths, center_of_gravity, hook_heights];
        let inputs = inputs::tolerances(self.core.legs(), stiffness, mass, given, (gap, parts))?;
        self.answer(py, |core| core.worst(&inputs))
    }

    /// The tolerance, common to all lengths, that keeps a skew factor within a limit.
    ///
    /// Parameters
    /// ----------
    /// limit : float
    ///     The factor, at least 1.
    /// range : Length, str or pint quantity
    ///     How far is looked.
    /// measure : str, optional
    ///     "own", the largest ratio of a leg's worst to its own nominal tension (default), or "largest", the largest worst over
    ///     the largest nominal tension.
    /// stiffness : float or sequence of float
    ///     Tolerance of each leg's stiffness, over its own, as in `worst`.
    /// mass : float
    ///     Tolerance of the load's mass, over its own.
    /// center_of_gravity : sequence, optional
    ///     Tolerance of its three coordinates, as in `worst`.
    /// parts : int, optional
    ///     The most pieces that are looked at, as in `worst`.
    ///
    /// Returns
    /// -------
    /// dict
    ///     Keys: `keeps`, up to which the limit is proven to be kept (m, or None), and `exceeds`, the least at which it was
    ///     found exceeded (m, or None within the range).
    ///
    /// Raises
    /// ------
    /// OutOfDomainError
    ///     For a limit below 1, or a range that is not positive or leaves nothing of a length.
    /// UnknownNameError
    ///     For another measure.
    /// MissingError, UnsupportedError, InconsistentError
    ///     As `worst`.
    ///
    /// Examples
    /// --------
    /// >>> from rigging_py import Lift
    /// >>> balance = Lift.demo("generator-skid").hang()
    /// >>> found = balance.common_tolerance(1.25, "50 mm", stiffness=0.0, mass=0.0, center_of_gravity=["0 mm"] * 3)
    /// >>> 0.99 * found["exceeds"] < found["keeps"] < found["exceeds"]
    /// True
    #[pyo3(signature = (limit, range, *, stiffness, mass, measure = "own", center_of_gravity = None, parts = 2000))]
    #[expect(clippy::too_many_arguments, reason = "all but two are named by the caller")]
    fn common_tolerance<'py>(
        &self,
        py: Python<'py>,
        limit: f64,
        range: &Bound<'py, PyAny>,
        stiffness: &Bound<'py, PyAny>,
        mass: f64,
        measure: &str,
        center_of_gravity: Option<&Bound<'py, PyAny>>,
        parts: usize,
    ) -> PyResult<Bound<'py, PyAny>> {
        let range = inputs::length(range, "range")?;
        let measure = inputs::measure(measure)?;
        let legs = self.core.legs();
        let inputs = inputs::tolerances(legs, stiffness, mass, [None, center_of_gravity, None], (0.01, parts))?;
        self.answer(py, |core| core.common_tolerance(measure, limit, range, &inputs))
    }

    /// Which of the measured slings goes where, so that the largest ratio of a tension to its nominal one is the least.
    ///
    /// Every order is hung; `order` answers for any lift, to first order.
    ///
    /// Parameters
    /// ----------
    /// lengths : dict or sequence
    ///     Measured length less stated length of the sling at each leg, as the errors of `order`.
    /// stiffness : float or sequence of float, optional
    ///     How much stiffer than stated the sling of each leg is, over its own; 0 by default.
    ///
    /// Returns
    /// -------
    /// dict
    ///     Keys: `slings` (for each leg, the leg whose sling should hang there), `before` and `after` (largest ratio of a leg's
    ///     tension to its nominal one; `before` is None where that state is not stable), `orders` (number of orders hung).
    ///
    /// Raises
    /// ------
    /// MissingError, UnsupportedError, InconsistentError, OutOfDomainError
    ///     As `worst` and `order`.
    ///
    /// Examples
    /// --------
    /// >>> from rigging_py import Lift
    /// >>> balance = Lift.demo("generator-skid").hang()
    /// >>> found = balance.arrange(["10 mm", "0 mm", "10 mm", "0 mm"])
    /// >>> found["orders"], found["after"] < found["before"]
    /// (24, True)
    #[pyo3(signature = (lengths, *, stiffness = None))]
    fn arrange<'py>(
        &self,
        py: Python<'py>,
        lengths: &Bound<'py, PyAny>,
        stiffness: Option<&Bound<'py, PyAny>>,
    ) -> PyResult<Bound<'py, PyAny>> {
        let legs = self.core.legs();
        let longer = inputs::lengths(lengths, legs, "lengths")?;
        let stiffer = stiffness.map_or_else(|| Ok(vec![0.0; legs.len()]), |given| inputs::shares(given, legs.len()))?;
        self.answer(py, |core| core.arrange(&longer, &stiffer))
    }
}
