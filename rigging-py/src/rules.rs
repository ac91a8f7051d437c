//! Rule sets as objects.

use crate::error;
use crate::guard::guard;
use crate::text;
use pyo3::prelude::*;
use pyo3::types::PyTuple;
use rigging_core::error::{Error, Place};
use rigging_core::report::json;
use rigging_core::rules::{RuleSet as Core, Status, difference, lint_with};
use std::sync::Arc;

/// Where a rule set came from, for pickling.
#[derive(Clone)]
enum Origin {
    BuiltIn(String),
    /// The set, and the documents given beside it.
    Text(Arc<str>, Arc<[String]>),
}

/// Texts as the core takes them.
fn borrowed(texts: &[String]) -> Vec<&str> {
    texts.iter().map(String::as_str).collect()
}

/// A record of the core as an object of Python.
fn loaded<'py>(py: Python<'py>, text: &str) -> PyResult<Bound<'py, PyAny>> {
    py.import("json")?.call_method1("loads", (text,))
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
    /// documents : sequence of str, optional
    ///     Texts of rule files that the set may include by name, beside those that come with the package.
    ///
    /// Returns
    /// -------
    /// RuleSet
    ///
    /// Raises
    /// ------
    /// RiggingError
    ///     For syntax, unknown keys and names, missing sources, values outside their law, and documents that answer one
    ///     question without a precedence.
    #[staticmethod]
    #[pyo3(signature = (text, *, documents=Vec::new()), text_signature = "(text, *, documents=())")]
    fn from_toml(text: &str, documents: Vec<String>) -> PyResult<Self> {
        let core = Arc::new(guard(|| Core::from_toml_with(text, &borrowed(&documents)))?);
        Ok(Self { core, origin: Origin::Text(text.into(), documents.into()) })
    }

    /// Names of the single documents that come with the package; each can be had by `built_in`, and included in a set.
    ///
    /// Returns
    /// -------
    /// tuple of str
    ///
    /// Examples
    /// --------
    /// >>> from rigging_py import RuleSet
    /// >>> "eu-en-1492-1" in RuleSet.document_names()
    /// True
    #[staticmethod]
    fn document_names(py: Python<'_>) -> PyResult<Py<PyAny>> {
        text::tuple(py, Core::document_names().iter().copied())
    }

    /// A rule set to begin one's own with, as TOML: an invented one, about which `lint` has nothing to say.
    ///
    /// Returns
    /// -------
    /// str
    #[staticmethod]
    fn template() -> &'static str {
        Core::template()
    }

    /// Every complaint about a text as a rule file, in the order of its lines.
    ///
    /// Parameters
    /// ----------
    /// text : str
    ///     The rule file; one that cannot be loaded is what this is for.
    /// documents : sequence of str, optional
    ///     As in `from_toml`.
    ///
    /// Returns
    /// -------
    /// list of dict
    ///     With `code`, `refused`, `place`, `line`, `what`, `why` and `write`; where `refused` is false the file loads, and
    ///     who reads it may be misled.
    ///
    /// Examples
    /// --------
    /// >>> from rigging_py import RuleSet
    /// >>> RuleSet.lint(RuleSet.template())
    /// []
    /// >>> RuleSet.lint(RuleSet.template().replace("value = 50", "value = -500"))[0]["code"]
    /// 'out_of_domain'
    #[staticmethod]
    #[pyo3(signature = (text, *, documents=Vec::new()), text_signature = "(text, *, documents=())")]
    fn lint<'py>(py: Python<'py>, text: &str, documents: Vec<String>) -> PyResult<Bound<'py, PyAny>> {
        loaded(py, &guard(|| json::answer(&lint_with(text, &borrowed(&documents))))?)
    }

    /// What parts this rule set from another one: questions that only one answers, rules that say something else, and what
    /// decides among the same rules.
    ///
    /// Parameters
    /// ----------
    /// other : RuleSet
    ///     The second set.
    ///
    /// Returns
    /// -------
    /// dict
    ///     With `one`, `other`, `heading` and `questions`; keys as in the committed schema of rule records.
    ///
    /// Examples
    /// --------
    /// >>> from rigging_py import RuleSet
    /// >>> old = RuleSet.from_toml(RuleSet.template())
    /// >>> new = RuleSet.from_toml(RuleSet.template().replace("value = 50", "value = 45"))
    /// >>> old.difference(new)["questions"][0]["rules"][0]["details"]
    /// [{'what': 'value', 'one': '50 degC', 'other': '45 degC'}]
    fn difference<'py>(&self, py: Python<'py>, other: &Self) -> PyResult<Bound<'py, PyAny>> {
        loaded(py, &guard(|| json::answer(&difference(&self.core, &other.core)))?)
    }

    /// The rule files that the set includes, in their order; none where it stands by itself.
    ///
    /// Each is a dict with `name`, `title`, `edition`, `status`, `hash` and, where there is one, `note`.
    #[getter]
    fn documents<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyAny>> {
        loaded(py, &guard(|| json::answer(&self.core.documents()))?)
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
            Origin::Text(toml, documents) if documents.is_empty() => {
                format!("RuleSet.from_toml({})", text::literal(toml))
            }
            Origin::Text(toml, documents) => {
                let documents: Vec<String> = documents.iter().map(|document| text::literal(document)).collect();
                format!("RuleSet.from_toml({}, documents=[{}])", text::literal(toml), documents.join(", "))
            }
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
            Origin::Text(toml, documents) => {
                let function = py.import("rigging_py._native")?.getattr("_from_texts")?;
                (function, (toml.to_string(), documents.to_vec()).into_pyobject(py)?)
            }
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

/// The rule set of these texts.
#[pyfunction]
fn _from_texts(text: &str, documents: Vec<String>) -> PyResult<RuleSet> {
    RuleSet::from_toml(text, documents)
}

/// Adds them to the native module.
pub(crate) fn register(module: &Bound<'_, PyModule>) -> PyResult<()> {
    module.add_function(wrap_pyfunction!(_built_in, module)?)?;
    module.add_function(wrap_pyfunction!(_from_texts, module)?)?;
    module.add_class::<RuleSet>()
}
