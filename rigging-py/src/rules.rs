//! Rule sets as objects.

use crate::error;
use crate::guard::guard;
use crate::text;
use pyo3::prelude::*;
use pyo3::types::PyTuple;
use rigging_core::error::{Error, Place};
use rigging_core::rules::{RuleSet as Core, Status};
use std::sync::Arc;

/// Where a rule set came from, for pickling.
#[derive(Clone)]
enum Origin {
    BuiltIn(String),
    Text(Arc<str>),
}

/// What one or more documents say, as data with provenance: the argument of every assessment.
///
/// Two sets are equal when their content is; layout, comments and the order of keys do not matter.
///
/// Examples
/// --------
/// >>> from rigging_py import RuleSet
/// >>> RuleSet.names()[:2]
/// ('us-general', 'marine-0027-nd-2016')
/// >>> rules = RuleSet.built_in("us-general")
/// >>> rules
/// RuleSet.built_in('us-general')
/// >>> rules.status
/// 'in force'
#[pyclass(frozen, module = "rigging_py", name = "RuleSet")]
#[derive(Clone)]
pub(crate) struct RuleSet {
    pub(crate) core: Arc<Core>,
    origin: Origin,
}

#[pymethods]
impl RuleSet {
    /// A rule set that comes with the package.
    ///
    /// Parameters
    /// ----------
    /// name : str
    ///     One of `names()`.
    ///
    /// Returns
    /// -------
    /// RuleSet
    ///
    /// Raises
    /// ------
    /// UnknownNameError
    ///     For any other name; the nearest one is offered.
    #[staticmethod]
    fn built_in(name: &str) -> PyResult<Self> {
        let core = Arc::new(guard(|| Core::built_in(name))?);
        Ok(Self { core, origin: Origin::BuiltIn(name.to_owned()) })
    }

    /// Read a rule set from a TOML text, through the same checks as those that come with the package.
    ///
    /// Parameters
    /// ----------
    /// text : str
    ///     The rule set.
    ///
    /// Returns
    /// -------
    /// RuleSet
    ///
    /// Raises
    /// ------
    /// RiggingError
    ///     For syntax, unknown keys and names, missing sources and values outside their law.
    #[staticmethod]
    fn from_toml(text: &str) -> PyResult<Self> {
        let core = Arc::new(guard(|| Core::from_toml(text))?);
        Ok(Self { core, origin: Origin::Text(text.into()) })
    }

    /// Names of the rule sets that come with the package.
    ///
    /// Returns
    /// -------
    /// tuple of str
    #[staticmethod]
    fn names(py: Python<'_>) -> PyResult<Py<PyAny>> {
        text::tuple(py, Core::built_in_names().iter().copied())
    }

    /// Name by which the set is asked for.
    #[getter]
    fn name(&self) -> &str {
        self.core.name()
    }

    /// What it is, in words.
    #[getter]
    fn title(&self) -> &str {
        self.core.title()
    }

    /// Edition or date of the documents.
    #[getter]
    fn edition(&self) -> &str {
        self.core.edition()
    }

    /// "in force" or "superseded".
    #[getter]
    fn status(&self) -> &'static str {
        match self.core.status() {
            Status::InForce => "in force",
            _ => "superseded",
        }
    }

    /// What supersedes the documents, where that is known.
    #[getter]
    fn superseded_by(&self) -> Option<&str> {
        match self.core.status() {
            Status::Superseded { by } => by.as_deref(),
            _ => None,
        }
    }

    /// A remark that a report shows beside the name.
    #[getter]
    fn note(&self) -> Option<&str> {
        self.core.note().map(|note| note.as_str())
    }

    /// SHA-256 of the content, in hexadecimal.
    #[getter]
    fn content_hash(&self) -> String {
        self.core.hash().to_string()
    }

    /// Evaluates back to the same rule set.
    pub(crate) fn __repr__(&self) -> String {
        match &self.origin {
            Origin::BuiltIn(name) => format!("RuleSet.built_in({})", text::literal(name)),
            Origin::Text(toml) => format!("RuleSet.from_toml({})", text::literal(toml)),
        }
    }

    fn __str__(&self) -> String {
        format!("<RuleSet {} {}>", text::literal(self.name()), self.content_hash())
    }

    fn __eq__(&self, other: &Bound<'_, PyAny>) -> bool {
        other.cast::<Self>().is_ok_and(|other| self.core == other.get().core)
    }

    pub(crate) fn __hash__(&self) -> u64 {
        text::hash(&self.core.hash())
    }

    fn __copy__(&self) -> Self {
        self.clone()
    }

    fn __deepcopy__(&self, _memo: &Bound<'_, PyAny>) -> Self {
        self.clone()
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyTuple>)> {
        Ok(match &self.origin {
            Origin::BuiltIn(name) => {
                let function = py.import("rigging_py._native")?.getattr("_built_in")?;
                (function, PyTuple::new(py, [name.clone(), self.core.hash().to_string()])?)
            }
            Origin::Text(toml) => (py.get_type::<Self>().getattr("from_toml")?, PyTuple::new(py, [toml.to_string()])?),
        })
    }
}

/// The built-in rule set of this name, if its content is still the one that was pickled.
#[pyfunction]
fn _built_in(name: &str, content_hash: &str) -> PyResult<RuleSet> {
    let rules = RuleSet::built_in(name)?;
    if rules.core.hash() != content_hash {
        let what = format!("the rule set \"{name}\" of this version has another content than the one that was pickled");
        return Err(error::exception(&Error::inconsistent(what, Place::root())));
    }
    Ok(rules)
}

/// Adds them to the native module.
pub(crate) fn register(module: &Bound<'_, PyModule>) -> PyResult<()> {
    module.add_function(wrap_pyfunction!(_built_in, module)?)?;
    module.add_class::<RuleSet>()
}
