//! Questions about the balance of a lift, as an object.

use crate::arrangement::Lift;
use crate::equilibrium::Certificate;
use crate::guard::guard;
use crate::html;
use crate::inputs;
use crate::text;
use pyo3::prelude::*;
use pyo3::types::PyTuple;
use rigging_core::error::Error;
use rigging_core::report::json;
use rigging_core::statics::{Balance as Core, Derivatives};
use serde::Serialize;
use std::sync::{Arc, OnceLock};

/// A lift that hangs at its stated mass, nominal lengths and center of gravity, ready for questions about its balance.
///
/// Every answer is made of plain dicts and lists, in SI units, with the names of the document; its keys are those of the
/// JSON Schema of a balance. Lists of tensions are in the order of `legs`, lists of tilts in that of `bodies`, lists of hook
/// forces in that of `hooks`.
///
/// Examples
/// --------
/// >>> from rigging_py import Lift
/// >>> balance = Lift.demo("panel-spreader").hang()
/// >>> print(balance)
/// <Balance stable: 8 legs, 2 bodies, 1 hook>
/// >>> balance.bodies
/// ('precast panel PP-12', 'spreader SP-9')
/// >>> balance.self_stress()["groups"]
/// [['upper 1', 'upper 2'], ['upper 3', 'upper 4']]
#[pyclass(frozen, module = "rigging_py", name = "Balance")]
#[derive(Clone)]
pub(crate) struct Balance {
    pub(crate) core: Arc<Core>,
    lift: Lift,
    /// Asked for once: the answer, the parameters and the matrix are the same derivatives.
    derivatives: Arc<OnceLock<Result<Derivatives, Error>>>,
}

impl Balance {
    pub(crate) fn of(lift: &Lift, core: Core) -> Self {
        Self { core: Arc::new(core), lift: lift.clone(), derivatives: Arc::default() }
    }

    fn differentiated(&self, py: Python<'_>) -> PyResult<&Derivatives> {
        guard(|| {
            let found = py.detach(|| self.derivatives.get_or_init(|| self.core.derivatives()));
            found.as_ref().map_err(Error::clone)
        })
    }

    /// An answer as Python's own types, with the keys in the order of the record.
    fn answer<'py, R: Serialize + Send>(
        &self,
        py: Python<'py>,
        ask: impl FnOnce(&Core) -> Result<R, Error> + Send,
    ) -> PyResult<Bound<'py, PyAny>> {
        let text = guard(|| py.detach(|| json::answer(&ask(&self.core)?)))?;
        py.import("json")?.call_method1("loads", (text,))
    }
}

#[pymethods]
impl Balance {
    /// The equilibrium and the proof that its forces balance, as `Lift.solve` gives it.
    #[getter]
    fn certificate(&self) -> Certificate {
        Certificate::of(&self.lift, None, self.core.certificate().clone())
    }

    /// Names of the legs, in the order of every list of tensions.
    ///
    /// A leg that passes over something between its ends stands there span by span ("basket 1, span 2"), without the spans
    /// between two places of one body.
    #[getter]
    fn legs(&self, py: Python<'_>) -> PyResult<Py<PyAny>> {
        text::tuple(py, self.core.legs())
    }

    /// Names of the bodies: the load, then the spreaders.
    #[getter]
    fn bodies(&self, py: Python<'_>) -> PyResult<Py<PyAny>> {
        text::tuple(py, self.core.bodies())
    }

    /// Names of the hooks.
    #[getter]
    fn hooks(&self, py: Python<'_>) -> PyResult<Py<PyAny>> {
        text::tuple(py, self.core.hooks())
    }

    /// The lift that hangs.
    #[getter]
    fn lift(&self) -> Lift {
        self.lift.clone()
    }

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

    /// The worst case over a box of tolerances: largest forces that were attained, bounds that are proven, skew factors.
    ///
    /// Bounds are proven for one load under one hook with up to eight legs; for several hooks or bodies there are none.
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
    ///     says why (`reason`: not_stable, not_enclosed, several_hooks) and where (`at`) there is no bound.
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

    /// A table of the legs with their tensions, for the notebook.
    fn _repr_html_(&self) -> String {
        let certificate = self.core.certificate();
        let name = &self.lift.0.document().name;
        let caption = format!("{name}: {}, {}", certificate.state.word(), self.parts());
        let rows = self.core.legs().iter().zip(&certificate.members);
        let rows = rows.map(|(leg, member)| vec![leg.clone(), html::kilonewtons(member.tension)]);
        html::table(&caption, &["leg", "tension kN"], rows)
    }

    /// Evaluates back to the same balance, by hanging anew.
    fn __repr__(&self) -> PyResult<String> {
        Ok(format!("{}.hang()", self.lift.__repr__()?))
    }

    fn __str__(&self) -> String {
        format!("<Balance {}: {}>", self.core.certificate().state.word(), self.parts())
    }

    fn __eq__(&self, other: &Bound<'_, PyAny>) -> bool {
        other.cast::<Self>().is_ok_and(|other| self.lift.0 == other.get().lift.0)
    }

    fn __hash__(&self) -> u64 {
        text::hash(&("balance", self.lift.__hash__()))
    }

    fn __copy__(&self) -> Self {
        self.clone()
    }

    fn __deepcopy__(&self, _memo: &Bound<'_, PyAny>) -> Self {
        self.clone()
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyTuple>)> {
        let hang = py.get_type::<Lift>().getattr("hang")?;
        Ok((hang, PyTuple::new(py, [self.lift.clone()])?))
    }
}

impl Balance {
    fn parts(&self) -> String {
        let counted =
            |number: usize, one: &str, many: &str| format!("{number} {}", if number == 1 { one } else { many });
        let legs = counted(self.core.legs().len(), "leg", "legs");
        let bodies = counted(self.core.bodies().len(), "body", "bodies");
        format!("{legs}, {bodies}, {}", counted(self.core.hooks().len(), "hook", "hooks"))
    }
}

/// Adds them to the native module.
pub(crate) fn register(module: &Bound<'_, PyModule>) -> PyResult<()> {
    module.add_class::<Balance>()
}
