//! The balance of a lift, as an object. Its questions stand in the files named as those of the core.

mod derivatives;
mod losses;
mod margins;
mod matching;
mod motions;
mod others;
mod own_weight;
mod periods;
mod running;
mod worst;

use crate::arrangement::Lift;
use crate::equilibrium::Certificate;
use crate::guard::guard;
use crate::html;
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
