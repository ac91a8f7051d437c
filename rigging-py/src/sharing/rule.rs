//! Sharing rules as objects: built in, of the user's own, and made of others.

use super::own::{Called, Raised};
use crate::arrangement::Lift;
use crate::error;
use crate::guard::guard;
use crate::rules::RuleSet;
use crate::text;
use pyo3::exceptions::PyTypeError;
use pyo3::prelude::*;
use pyo3::types::{PyDict, PyTuple};
use rigging_core::demand::{ElasticBounds, sharing_rule, sharing_rules};
use rigging_core::equilibrium::worst::Effort;
use rigging_core::error::{Error, Place};
use rigging_core::sharing::{
    LegSet, RuledLegFactor, RuledSkew, SharingRule as Core, Skewed, StatedAngle, Words, share,
};
use rigging_core::source::Source;
use rigging_core::system::Masses;
use std::sync::Arc;

/// What a rule is made of. Rules share it, so the collector of circles must not walk it: one reference would be counted for each.
enum Kind {
    BuiltIn(Arc<dyn Core>),
    Bounds(Effort),
    Own { words: Words, forces: Py<PyAny> },
    Skewed { base: SharingRule, factor: f64, conditions: String, source: String },
    AtAngle { base: SharingRule, angle: f64 },
    SkewedByRules { base: SharingRule, rules: RuleSet, lift: Lift, facts: String },
    LegFactor { rules: RuleSet, lift: Lift, facts: String },
}

/// A rule that shares a load among the legs it hangs on.
///
/// Parameters
/// ----------
/// name : str
///     What it is called.
/// domain : str
///     When it applies; outside of it the callable refuses.
/// source : str
///     Where it comes from.
/// conservative : bool
///     Whether it claims that no leg carries more than it says, within its domain. A claim is not a proof.
/// forces : callable
///     Takes a LegSet and returns one force a leg, in N and in its order. To refuse, it raises OutOfDomainError, MissingError
///     or UnsupportedError; any other exception travels out unchanged.
///
/// Raises
/// ------
/// MissingError
///     For an empty text.
/// TypeError
///     For what cannot be called.
///
/// Examples
/// --------
/// >>> from rigging_py import Lift
/// >>> from rigging_py.sharing import SharingRule
/// >>> third = SharingRule("a third of the weight", "four legs", "note of the yard", True, lambda set: [set.weight_n / 3.0] * 4)
/// >>> [round(force / 1e3, 3) for force in third.share(Lift.demo("generator-skid"))]  # kN
/// [60.474, 60.474, 60.474, 60.474]
/// >>> third.skewed(1.25, "matched pairs", "note of the yard").name
/// 'skew factor 1.25 on a third of the weight'
#[pyclass(frozen, from_py_object, module = "rigging_py.sharing", name = "SharingRule")]
#[derive(Clone)]
pub(crate) struct SharingRule(Arc<Kind>);

impl SharingRule {
    /// The rule as the core sees it, for the time of one call of the core.
    pub(crate) fn core(&self, py: Python<'_>, raised: &Raised) -> PyResult<Arc<dyn Core>> {
        Ok(match self.0.as_ref() {
            Kind::BuiltIn(rule) => Arc::clone(rule),
            Kind::Bounds(effort) => Arc::new(ElasticBounds { effort: *effort }),
            Kind::Own { words, forces } => {
                Arc::new(Called { words: words.clone(), forces: forces.clone_ref(py), raised: raised.clone() })
            }
            Kind::Skewed { base, factor, conditions, source } => {
                let base = base.core(py, raised)?;
                Arc::new(guard(|| {
                    Skewed::new(base, *factor, conditions.clone(), Source::stated_with_rule(source.clone()))
                })?)
            }
            Kind::AtAngle { base, angle } => {
                let base = base.core(py, raised)?;
                Arc::new(guard(|| StatedAngle::new(base, *angle))?)
            }
            Kind::SkewedByRules { base, rules, lift, facts } => {
                let base = base.core(py, raised)?;
                Arc::new(guard(|| RuledSkew::of_lift(base, &rules.core, &lift.0, facts))?)
            }
            Kind::LegFactor { rules, lift, facts } => {
                Arc::new(guard(|| RuledLegFactor::of_lift(&rules.core, &lift.0, facts))?)
            }
        })
    }

    fn words(&self) -> PyResult<Words> {
        Python::attach(|py| Ok(self.core(py, &Raised::default())?.words()))
    }

    /// A rule that can be made: what is wrong with its numbers is told now.
    fn sound(kind: Kind) -> PyResult<Self> {
        let rule = Self(Arc::new(kind));
        rule.words()?;
        Ok(rule)
    }

    pub(super) fn same(&self, other: &Self) -> bool {
        match (self.0.as_ref(), other.0.as_ref()) {
            (Kind::BuiltIn(one), Kind::BuiltIn(other)) => one.words() == other.words(),
            (Kind::Bounds(one), Kind::Bounds(other)) => one == other,
            (Kind::Own { words, forces }, Kind::Own { words: others, forces: other }) => {
                words == others && forces.is(other)
            }
            (
                Kind::Skewed { base, factor, conditions, source },
                Kind::Skewed { base: b, factor: f, conditions: c, source: s },
            ) => base.same(b) && factor.to_bits() == f.to_bits() && (conditions, source) == (c, s),
            (Kind::AtAngle { base, angle }, Kind::AtAngle { base: b, angle: a }) => {
                base.same(b) && angle.to_bits() == a.to_bits()
            }
            (
                Kind::SkewedByRules { base, rules, lift, facts },
                Kind::SkewedByRules { base: b, rules: r, lift: l, facts: f },
            ) => base.same(b) && rules.core == r.core && lift.0 == l.0 && facts == f,
            (Kind::LegFactor { rules, lift, facts }, Kind::LegFactor { rules: r, lift: l, facts: f }) => {
                rules.core == r.core && lift.0 == l.0 && facts == f
            }
            _ => false,
        }
    }
}

fn not_empty(text: &str, name: &str) -> PyResult<()> {
    if text.trim().is_empty() {
        let what = format!("the {name} of a sharing rule of your own");
        return Err(error::exception(&Error::missing(what, "a text", Place::root().child(name))));
    }
    Ok(())
}

#[pymethods]
impl SharingRule {
    #[new]
    fn new(name: &str, domain: &str, source: &str, conservative: bool, forces: &Bound<'_, PyAny>) -> PyResult<Self> {
        for (text, key) in [(name, "name"), (domain, "domain"), (source, "source")] {
            not_empty(text, key)?;
        }
        if !forces.is_callable() {
            return Err(PyTypeError::new_err("forces must be a callable that takes a LegSet"));
        }
        let words = Words {
            name: name.to_owned().into(),
            domain: domain.to_owned().into(),
            source: Source::stated_with_rule(source.to_owned()),
            conservative,
        };
        Ok(Self(Arc::new(Kind::Own { words, forces: forces.clone().unbind() })))
    }

    /// A rule that comes with the package and needs no number.
    ///
    /// Parameters
    /// ----------
    /// name : str
    ///     One of `names()`.
    ///
    /// Returns
    /// -------
    /// SharingRule
    ///
    /// Raises
    /// ------
    /// UnknownNameError
    ///     For any other name; the nearest one is offered.
    #[staticmethod]
    fn built_in(name: &str) -> PyResult<Self> {
        Ok(Self(Arc::new(Kind::BuiltIn(guard(|| sharing_rule(name))?))))
    }

    /// Names of the rules that come with the package.
    ///
    /// Returns
    /// -------
    /// tuple of str
    #[staticmethod]
    fn names(py: Python<'_>) -> PyResult<Py<PyAny>> {
        let rules = guard(sharing_rules)?;
        text::tuple(py, rules.iter().map(|rule| rule.words().name.to_string()))
    }

    /// The rule that gives each leg its bound over the tolerances, proven; it refuses where there is none.
    ///
    /// Parameters
    /// ----------
    /// gap : float, optional
    ///     How much a bound may exceed what was attained, over it.
    /// parts : int, optional
    ///     The most pieces that are looked at, for the branch and then for each force.
    ///
    /// Returns
    /// -------
    /// SharingRule
    #[staticmethod]
    #[pyo3(signature = (gap = 0.01, parts = 2000))]
    fn bounds(gap: f64, parts: usize) -> Self {
        Self(Arc::new(Kind::Bounds(Effort { gap, parts })))
    }

    /// A skew factor on this rule.
    ///
    /// Parameters
    /// ----------
    /// factor : float
    ///     The factor, at least 1; there is no default.
    /// conditions : str
    ///     When it holds.
    /// source : str
    ///     Where it comes from.
    ///
    /// Returns
    /// -------
    /// SharingRule
    ///
    /// Raises
    /// ------
    /// OutOfDomainError
    ///     For a factor below 1 or not finite.
    /// MissingError
    ///     For an empty text.
    fn skewed(&self, factor: f64, conditions: &str, source: &str) -> PyResult<Self> {
        not_empty(conditions, "conditions")?;
        not_empty(source, "source")?;
        let (conditions, source) = (conditions.to_owned(), source.to_owned());
        Self::sound(Kind::Skewed { base: self.clone(), factor, conditions, source })
    }

    /// The skew factor that a rule set gives for the slings of a lift, on this rule; it holds for that set of legs and for no other.
    ///
    /// Parameters
    /// ----------
    /// rules : RuleSet
    ///     The rule set that gives the factor.
    /// lift : Lift
    ///     A lift of one load under one hook.
    /// facts : dict
    ///     What the document does not state of its slings, by the names of the rules: a word as a str, a number with its unit as
    ///     ``(5.8, "kg/m")``, a pure number by itself.
    ///
    /// Returns
    /// -------
    /// SharingRule
    ///
    /// Raises
    /// ------
    /// UnsupportedError
    ///     Where a condition of the factor is not met, or the rule set gives none; the message says which.
    /// MissingError
    ///     For a fact that decides and is not stated.
    /// UnknownNameError, OutOfDomainError, MalformedError
    ///     For facts that cannot be read.
    ///
    /// Examples
    /// --------
    /// >>> from rigging_py import Lift, RuleSet, UnsupportedError
    /// >>> from rigging_py.sharing import SharingRule
    /// >>> even = SharingRule.built_in("equal share by angle")
    /// >>> marine = RuleSet.built_in("marine-0027-nd-2016")
    /// >>> try:
    /// ...     even.skewed_by(marine, Lift.demo("tool-skid-offshore-hmpe"), {})
    /// ... except UnsupportedError as error:
    /// ...     print("compute the skew load" in str(error))
    /// True
    fn skewed_by(&self, rules: &RuleSet, lift: &Lift, facts: &Bound<'_, PyDict>) -> PyResult<Self> {
        let facts: String = facts.py().import("json")?.call_method1("dumps", (facts,))?.extract()?;
        Self::sound(Kind::SkewedByRules { base: self.clone(), rules: rules.clone(), lift: lift.clone(), facts })
    }

    /// The leg factor that a rule set gives for the slings of a lift, at the angles of its legs; it holds for that set of legs.
    ///
    /// Parameters
    /// ----------
    /// rules : RuleSet
    ///     The rule set that gives the factor.
    /// lift : Lift
    ///     A lift of one load under one hook.
    /// facts : dict
    ///     What the document does not state of its slings, as for `skewed_by`.
    ///
    /// Returns
    /// -------
    /// SharingRule
    ///
    /// Raises
    /// ------
    /// UnsupportedError
    ///     Where a condition of the factor is not met, or the rule set gives none; the message says which.
    /// MissingError
    ///     For a fact that decides and is not stated.
    /// UnknownNameError, OutOfDomainError, MalformedError
    ///     For facts that cannot be read, and for an angle beyond the table.
    ///
    /// Examples
    /// --------
    /// >>> from rigging_py import Lift, RuleSet, UnsupportedError
    /// >>> from rigging_py.sharing import SharingRule
    /// >>> try:
    /// ...     SharingRule.leg_factor_of(RuleSet.built_in("de-dguv-209-021"), Lift.demo("generator-skid"), {})
    /// ... except UnsupportedError as error:
    /// ...     print("leg factor" in str(error))
    /// True
    #[staticmethod]
    fn leg_factor_of(rules: &RuleSet, lift: &Lift, facts: &Bound<'_, PyDict>) -> PyResult<Self> {
        let facts: String = facts.py().import("json")?.call_method1("dumps", (facts,))?.extract()?;
        Self::sound(Kind::LegFactor { rules: rules.clone(), lift: lift.clone(), facts })
    }

    /// This rule at one angle for every leg, in place of those drawn; it claims nothing.
    ///
    /// Parameters
    /// ----------
    /// angle_from_vertical_rad : float
    ///     The angle from vertical, in rad, from 0 to below a right angle.
    ///
    /// Returns
    /// -------
    /// SharingRule
    ///
    /// Raises
    /// ------
    /// OutOfDomainError
    ///     For an angle outside its range.
    fn at_angle(&self, angle_from_vertical_rad: &Bound<'_, PyAny>) -> PyResult<Self> {
        let angle = super::angle(angle_from_vertical_rad)?;
        Self::sound(Kind::AtAngle { base: self.clone(), angle })
    }

    /// Force of each leg by the rule, of a lift of one load under one hook at its stated mass.
    ///
    /// Parameters
    /// ----------
    /// lift : Lift
    ///     The lift.
    ///
    /// Returns
    /// -------
    /// list of float
    ///     In N, in the order of the legs.
    ///
    /// Raises
    /// ------
    /// OutOfDomainError, MissingError, UnsupportedError
    ///     What the rule refuses, and what is no set of legs.
    /// InconsistentError, MalformedError, OutOfDomainError
    ///     For an answer that is not one force a leg, finite and not below zero; it names rule and leg.
    fn share(&self, py: Python<'_>, lift: &Lift) -> PyResult<Vec<f64>> {
        let raised = Raised::default();
        let rule = self.core(py, &raised)?;
        raised.or(guard(|| py.detach(|| share(rule.as_ref(), &LegSet::of(&lift.0, Masses::stated(&lift.0)?)?))))
    }

    /// Name.
    #[getter]
    fn name(&self) -> PyResult<String> {
        Ok(self.words()?.name.to_string())
    }

    /// When it applies; outside of it the rule refuses.
    #[getter]
    fn domain(&self) -> PyResult<String> {
        Ok(self.words()?.domain.to_string())
    }

    /// Where it comes from.
    #[getter]
    fn source(&self) -> PyResult<String> {
        Ok(self.words()?.source.to_string())
    }

    /// Whether it claims that no leg carries more than it says.
    #[getter]
    fn conservative(&self) -> PyResult<bool> {
        Ok(self.words()?.conservative)
    }

    pub(crate) fn __repr__(&self) -> PyResult<String> {
        Ok(match self.0.as_ref() {
            Kind::BuiltIn(rule) => format!("SharingRule.built_in({})", text::literal(&rule.words().name)),
            Kind::Bounds(Effort { gap, parts }) => format!("SharingRule.bounds({gap:?}, {parts})"),
            Kind::Own { words, .. } => format!("<SharingRule {}>", text::literal(&words.name)),
            Kind::Skewed { base, factor, conditions, source } => {
                let (conditions, source) = (text::literal(conditions), text::literal(source));
                format!("{}.skewed({factor:?}, {conditions}, {source})", base.__repr__()?)
            }
            Kind::AtAngle { base, angle } => format!("{}.at_angle({angle:?})", base.__repr__()?),
            Kind::SkewedByRules { .. } | Kind::LegFactor { .. } => {
                format!("<SharingRule {}>", text::literal(&self.name()?))
            }
        })
    }

    fn __eq__(&self, other: &Bound<'_, PyAny>) -> bool {
        other.cast::<Self>().is_ok_and(|other| self.same(other.get()))
    }

    fn __hash__(&self) -> PyResult<u64> {
        Ok(text::hash(&self.name()?))
    }

    fn __copy__(&self) -> Self {
        self.clone()
    }

    fn __deepcopy__(&self, _memo: &Bound<'_, PyAny>) -> Self {
        self.clone()
    }

    fn __reduce__<'py>(&self, py: Python<'py>) -> PyResult<(Bound<'py, PyAny>, Bound<'py, PyTuple>)> {
        let class = py.get_type::<Self>();
        Ok(match self.0.as_ref() {
            Kind::BuiltIn(rule) => (class.getattr("built_in")?, (rule.words().name.to_string(),).into_pyobject(py)?),
            Kind::Bounds(Effort { gap, parts }) => (class.getattr("bounds")?, (*gap, *parts).into_pyobject(py)?),
            Kind::Own { words, forces } => {
                let (name, domain) = (words.name.as_str(), words.domain.as_str());
                let arguments = (name, domain, words.source.document.as_str(), words.conservative, forces);
                (class.into_any(), arguments.into_pyobject(py)?)
            }
            Kind::Skewed { base, factor, conditions, source } => {
                let arguments = (base.clone(), *factor, conditions.as_str(), source.as_str());
                (class.getattr("skewed")?, arguments.into_pyobject(py)?)
            }
            Kind::AtAngle { base, angle } => (class.getattr("at_angle")?, (base.clone(), *angle).into_pyobject(py)?),
            Kind::SkewedByRules { base, rules, lift, facts } => {
                let facts = py.import("json")?.call_method1("loads", (facts,))?;
                let arguments = (base.clone(), rules.clone(), lift.clone(), facts);
                (class.getattr("skewed_by")?, arguments.into_pyobject(py)?)
            }
            Kind::LegFactor { rules, lift, facts } => {
                let facts = py.import("json")?.call_method1("loads", (facts,))?;
                (class.getattr("leg_factor_of")?, (rules.clone(), lift.clone(), facts).into_pyobject(py)?)
            }
        })
    }
}

/// Adds them to the native module.
pub(super) fn register(module: &Bound<'_, PyModule>) -> PyResult<()> {
    module.add_class::<SharingRule>()
}
