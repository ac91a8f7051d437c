//! The lift document as an object.

use crate::checks::Assessment;
use crate::equilibrium::Certificate;
use crate::error;
use crate::guard::guard;
use crate::rules::RuleSet;
use crate::text;
use pyo3::exceptions::PyOSError;
use pyo3::prelude::*;
use rigging_core::arrangement::Lift as Core;
use rigging_core::error::{Error, Place};
use std::path::PathBuf;
use std::sync::Arc;

/// A lift, described once and checked: load, hooks, legs, slings, fittings, contacts and environment.
///
/// A lift does not change once it is made. It is read from a document, and every dimensional value in a document is a
/// text with its unit.
///
/// Examples
/// --------
/// >>> from rigging_py import Lift
/// >>> Lift.from_json('{"format": 1, "name": "x", "gravty": "9.81 m/s2"}')
/// Traceback (most recent call last):
/// rigging_py._errors.UnknownKeyError: /gravty: unknown key "gravty"; the nearest known name is "gravity"
#[pyclass(frozen, module = "rigging_py", name = "Lift")]
#[derive(Clone)]
pub(crate) struct Lift(pub(crate) Arc<Core>);

impl Lift {
    pub(crate) fn read(text: &str) -> PyResult<Self> {
        guard(|| Core::from_json(text)).map(|lift| Self(Arc::new(lift)))
    }
}

#[pymethods]
impl Lift {
    /// Read a lift from a JSON text.
    ///
    /// Parameters
    /// ----------
    /// text : str
    ///     The document.
    ///
    /// Returns
    /// -------
    /// Lift
    ///
    /// Raises
    /// ------
    /// RiggingError
    ///     For every error of form or content, with its place as a JSON pointer.
    #[staticmethod]
    fn from_json(text: &str) -> PyResult<Self> {
        Self::read(text)
    }

    /// Read a lift from a JSON file in UTF-8.
    ///
    /// Parameters
    /// ----------
    /// path : str or os.PathLike
    ///     The file.
    ///
    /// Returns
    /// -------
    /// Lift
    ///
    /// Raises
    /// ------
    /// OSError
    ///     Where the file cannot be read.
    /// RiggingError
    ///     As `from_json`; a note on the exception names the file.
    #[staticmethod]
    fn from_file(py: Python<'_>, path: PathBuf) -> PyResult<Self> {
        let bytes = std::fs::read(&path).map_err(|error| match error.raw_os_error() {
            Some(number) => PyOSError::new_err((number, error.to_string(), path.clone())),
            None => PyOSError::new_err(format!("{}: {error}", path.display())),
        })?;
        let read = match std::str::from_utf8(&bytes) {
            Ok(text) => Self::read(text),
            Err(wrong) => {
                let what = format!("the file is not in UTF-8 after byte {}", wrong.valid_up_to());
                Err(error::exception(&Error::malformed(what, Place::root())))
            }
        };
        read.inspect_err(|error| {
            // The exception stands without the note, too.
            let _ = error.value(py).call_method1("add_note", (format!("in the file {}", path.display()),));
        })
    }

    /// The document as JSON text: values and units as entered, keys in the order of the format.
    ///
    /// Returns
    /// -------
    /// str
    fn to_json(&self) -> PyResult<String> {
        guard(|| self.0.to_json())
    }

    /// What is lifted, where.
    #[getter]
    fn name(&self) -> &str {
        &self.0.document().name
    }

    /// SHA-256 of the document in its canonical text, in hexadecimal: layout does not change it.
    #[getter]
    fn content_hash(&self) -> &str {
        self.0.hash()
    }

    /// Names of the legs, in the order of the document.
    #[getter]
    pub(crate) fn legs(&self, py: Python<'_>) -> PyResult<Py<PyAny>> {
        text::tuple(py, self.0.document().legs.iter().map(|leg| leg.name.as_str()))
    }

    /// Hang the lift at its stated mass, nominal lengths and center of gravity.
    ///
    /// Returns
    /// -------
    /// Certificate
    ///     Pose, tensions and the proof that they balance. An unstable or lost equilibrium is a result, not an
    ///     exception.
    ///
    /// Raises
    /// ------
    /// MissingError
    ///     For an input that statics needs.
    /// UnsupportedError
    ///     For what is not calculated.
    pub(crate) fn solve(&self, py: Python<'_>) -> PyResult<Certificate> {
        guard(|| py.detach(|| self.0.solve())).map(|solved| Certificate::of(self, solved))
    }

    /// Assess the lift under a rule set.
    ///
    /// Parameters
    /// ----------
    /// rule_set : RuleSet
    ///     The rules; there is no default.
    ///
    /// Returns
    /// -------
    /// Assessment
    ///     A missing input makes the verdict "cannot_conclude" and is named; it is not an exception.
    #[pyo3(signature = (rule_set))]
    fn assess(&self, py: Python<'_>, rule_set: &RuleSet) -> PyResult<Assessment> {
        guard(|| py.detach(|| self.0.assess(&rule_set.core))).map(|made| Assessment::of(self, rule_set, made))
    }

    fn __repr__(&self) -> String {
        format!("<Lift {}: {} legs>", text::literal(self.name()), self.0.document().legs.len())
    }

    fn __eq__(&self, other: &Bound<'_, PyAny>) -> bool {
        other.cast::<Self>().is_ok_and(|other| self.0 == other.get().0)
    }

    pub(crate) fn __hash__(&self) -> u64 {
        text::hash(&self.0.hash())
    }

    fn __copy__(&self) -> Self {
        self.clone()
    }

    fn __deepcopy__(&self, _memo: &Bound<'_, PyAny>) -> Self {
        self.clone()
    }

    fn __reduce__(&self, py: Python<'_>) -> PyResult<(Py<PyAny>, (String,))> {
        Ok((py.get_type::<Self>().getattr("from_json")?.unbind(), (self.to_json()?,)))
    }
}

/// Adds them to the native module.
pub(crate) fn register(module: &Bound<'_, PyModule>) -> PyResult<()> {
    module.add_class::<Lift>()
}
