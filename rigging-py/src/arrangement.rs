//! The lift document as an object.

use crate::changes;
use crate::checks::Assessment;
use crate::document;
use crate::equilibrium::Certificate;
use crate::error;
use crate::guard::guard;
use crate::html;
use crate::rules::RuleSet;
use crate::sharing::Forces;
use crate::statics::Balance;
use crate::text;
use pyo3::exceptions::PyOSError;
use pyo3::prelude::*;
use pyo3::types::PyDict;
use rigging_core::arrangement::Lift as Core;
use rigging_core::error::{Error, Place};
use std::path::PathBuf;
use std::sync::Arc;

/// Demo lifts: name and document.
const DEMOS: [(&str, &str); 19] = [
    ("deck-equalizing-sheave", include_str!("../../rigging-core/examples/lifts/deck-equalizing-sheave.json")),
    ("frame-tall-item", include_str!("../../rigging-core/examples/lifts/frame-tall-item.json")),
    ("gallery/a-little-more-mass", include_str!("../../rigging-core/examples/lifts/gallery/a-little-more-mass.json")),
    (
        "gallery/below-the-hook-and-over",
        include_str!("../../rigging-core/examples/lifts/gallery/below-the-hook-and-over.json"),
    ),
    ("gallery/matched-by-range", include_str!("../../rigging-core/examples/lifts/gallery/matched-by-range.json")),
    ("gallery/one-more-leg", include_str!("../../rigging-core/examples/lifts/gallery/one-more-leg.json")),
    ("gallery/skew-from-steel", include_str!("../../rigging-core/examples/lifts/gallery/skew-from-steel.json")),
    (
        "gallery/stronger-sling-overloads-another",
        include_str!("../../rigging-core/examples/lifts/gallery/stronger-sling-overloads-another.json"),
    ),
    ("gallery/two-legs-no-bound", include_str!("../../rigging-core/examples/lifts/gallery/two-legs-no-bound.json")),
    ("generator-skid", include_str!("../../rigging-core/examples/lifts/generator-skid.json")),
    ("generator-skid-round-edge", include_str!("../../rigging-core/examples/lifts/generator-skid-round-edge.json")),
    ("generator-skid-stiff-slings", include_str!("../../rigging-core/examples/lifts/generator-skid-stiff-slings.json")),
    ("lay-down-pipes-choked", include_str!("../../rigging-core/examples/lifts/lay-down-pipes-choked.json")),
    ("module-hmpe-grommets", include_str!("../../rigging-core/examples/lifts/module-hmpe-grommets.json")),
    ("panel-spreader", include_str!("../../rigging-core/examples/lifts/panel-spreader.json")),
    ("pump-doubled-sling", include_str!("../../rigging-core/examples/lifts/pump-doubled-sling.json")),
    ("tool-skid-offshore", include_str!("../../rigging-core/examples/lifts/tool-skid-offshore.json")),
    ("tool-skid-offshore-hmpe", include_str!("../../rigging-core/examples/lifts/tool-skid-offshore-hmpe.json")),
    ("vessel-two-cranes", include_str!("../../rigging-core/examples/lifts/vessel-two-cranes.json")),
];

/// A lift, described once and checked: load, hooks, legs, slings, fittings, contacts and environment.
///
/// A lift does not change once it is made. It is read from a document, and every dimensional value in a document is a
/// text with its unit.
///
/// Examples
/// --------
/// >>> from rigging_py import Lift, RuleSet
/// >>> skid = Lift.demo("generator-skid-round-edge")
/// >>> print(skid)
/// <Lift 'Generator skid GS-4, yard Y4': 4 legs>
/// >>> certificate = skid.solve()
/// >>> [round(tension / 1e3, 3) for tension in certificate.tensions_n]  # kN
/// [54.205, 69.116, 47.606, 32.641]
/// >>> skid.assess(RuleSet.built_in("us-general")).verdict
/// 'pass'
///
/// An error says where:
///
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

    /// A lift that comes with the package: invented, for documentation and first steps.
    ///
    /// Parameters
    /// ----------
    /// name : str
    ///     One of `demos()`.
    ///
    /// Returns
    /// -------
    /// Lift
    ///
    /// Raises
    /// ------
    /// UnknownNameError
    ///     For any other name; the nearest one is offered.
    #[staticmethod]
    fn demo(name: &str) -> PyResult<Self> {
        let text = guard(|| match DEMOS.iter().find(|(known, _)| *known == name) {
            Some((_, text)) => Ok(text),
            None => Err(Error::unknown_name(name, "demo lift", DEMOS.iter().map(|(known, _)| *known), Place::root())),
        })?;
        Self::read(text)
    }

    /// Names of the lifts that come with the package.
    ///
    /// Returns
    /// -------
    /// tuple of str
    ///
    /// Examples
    /// --------
    /// >>> from rigging_py import Lift
    /// >>> for name in Lift.demos():
    /// ...     print(name)
    /// deck-equalizing-sheave
    /// frame-tall-item
    /// gallery/a-little-more-mass
    /// gallery/below-the-hook-and-over
    /// gallery/matched-by-range
    /// gallery/one-more-leg
    /// gallery/skew-from-steel
    /// gallery/stronger-sling-overloads-another
    /// gallery/two-legs-no-bound
    /// generator-skid
    /// generator-skid-round-edge
    /// generator-skid-stiff-slings
    /// lay-down-pipes-choked
    /// module-hmpe-grommets
    /// panel-spreader
    /// pump-doubled-sling
    /// tool-skid-offshore
    /// tool-skid-offshore-hmpe
    /// vessel-two-cranes
    #[staticmethod]
    fn demos(py: Python<'_>) -> PyResult<Py<PyAny>> {
        text::tuple(py, DEMOS.iter().map(|(name, _)| *name))
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

    /// Check a document that is given as Python values.
    ///
    /// Parameters
    /// ----------
    /// document : dict
    ///     As `json.load` reads it. A dimensional value may also be a quantity object or a pint quantity.
    ///
    /// Returns
    /// -------
    /// Lift
    ///
    /// Raises
    /// ------
    /// RiggingError
    ///     As `from_json`.
    /// TypeError
    ///     For a value that has no place in a document; its place is named.
    #[staticmethod]
    fn from_document(document: &Bound<'_, PyAny>) -> PyResult<Self> {
        Self::read(&document::value(document, &Place::root())?.to_string())
    }

    /// The document as Python values, as `json.loads` gives them.
    ///
    /// Returns
    /// -------
    /// dict
    fn to_document<'py>(&self, py: Python<'py>) -> PyResult<Bound<'py, PyAny>> {
        py.import("json")?.call_method1("loads", (self.to_json()?,))
    }

    /// The same lift with other values in its document, checked anew.
    ///
    /// Parameters
    /// ----------
    /// changes : dict
    ///     From the place of a value to the value, applied in order. A place is a JSON pointer; a step into a list is a
    ///     position, the name of an item, ``*`` for every item, or ``-`` for a new one at the end. A value is what
    ///     `from_document` takes; None leaves the key out.
    ///
    /// Returns
    /// -------
    /// Lift
    ///
    /// Raises
    /// ------
    /// RiggingError
    ///     As `from_json`, and for a place that is not in the document.
    ///
    /// Examples
    /// --------
    /// >>> from rigging_py import Length, Lift
    /// >>> skid = Lift.demo("generator-skid-round-edge")
    /// >>> finer = skid.with_({"/slings/*/length/tolerance": Length("20 mm"), "/slings/roundsling A/mass": "10 kg"})
    /// >>> finer.to_document()["slings"][0]["length"]["tolerance"]
    /// '0.02 m'
    fn with_(&self, changes: &Bound<'_, PyDict>) -> PyResult<Self> {
        let mut document = guard(|| document::parsed(&self.0.to_json()?))?;
        for (place, value) in changes {
            let place: String = place.extract()?;
            let value = if value.is_none() { None } else { Some(document::value(&value, &Place::pointer(&place))?) };
            guard(|| changes::apply(&mut document, &place, value))?;
        }
        Self::read(&document.to_string())
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
        guard(|| py.detach(|| self.0.solve())).map(|solved| Certificate::of(self, None, solved))
    }

    /// Hang the lift as `solve` does, and keep what the questions about its balance need.
    ///
    /// Returns
    /// -------
    /// Balance
    ///     The certificate, and answers: derivatives, margins, losses, modes, self-stress, natural periods.
    ///
    /// Raises
    /// ------
    /// MissingError, UnsupportedError
    ///     As `solve`.
    fn hang(&self, py: Python<'_>) -> PyResult<Balance> {
        guard(|| py.detach(|| self.0.hang())).map(|balance| Balance::of(self, balance))
    }

    /// Assess the lift under a rule set.
    ///
    /// Parameters
    /// ----------
    /// rule_set : RuleSet
    ///     The rules; there is no default.
    /// forces : sharing.Bounds or sharing.SharingRule, optional
    ///     Where checks of strength take the forces from: bounds over the tolerances, or a sharing rule, which a finding sets
    ///     against what is attained at the vertices. The largest attained there where it is left out.
    ///
    /// Returns
    /// -------
    /// Assessment
    ///     A missing input makes the verdict "cannot_conclude" and is named; it is not an exception. Nor is what a rule refuses.
    ///
    /// Raises
    /// ------
    /// OutOfDomainError
    ///     For bounds whose gap is not positive.
    /// InconsistentError, MalformedError, OutOfDomainError
    ///     For a rule of your own that answers not one force a leg. What it raises otherwise travels out.
    #[pyo3(signature = (rule_set, forces = None))]
    pub(crate) fn assess(&self, py: Python<'_>, rule_set: &RuleSet, forces: Option<Forces>) -> PyResult<Assessment> {
        let made = Forces::with(forces.as_ref(), py, |forces| self.0.assess_by(&rule_set.core, forces))?;
        Ok(Assessment::of(self, rule_set, forces, made))
    }

    /// A table of the legs and what they are made of, for the notebook.
    fn _repr_html_(&self) -> String {
        let document = self.0.document();
        let mass = document.load.mass.value.value().map(ToString::to_string);
        let caption = format!("{}: {}, {}", document.name, document.load.name, html::or_unknown(mass));
        let rows = document
            .legs
            .iter()
            .map(|leg| vec![leg.name.to_string(), leg.hitch.word().to_owned(), leg.items.join(", ")]);
        html::table(&caption, &["leg", "hitch", "items"], rows)
    }

    /// Evaluates back to the same lift.
    pub(crate) fn __repr__(&self) -> PyResult<String> {
        Ok(format!("Lift.from_json({})", text::literal(&self.0.canonical().map_err(|error| error::exception(&error))?)))
    }

    fn __str__(&self) -> String {
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
