//! Where a number of an assessment comes from: who says or computes it, from which other numbers, down to what a document
//! or the user states.
//!
//! A number is named by its JSON pointer in the record of the assessment ([`json::assessment`](super::json::assessment)),
//! such as `/findings/0/utilization` or `/legs/2/worst`; what would change the verdict stands below `/remedy`.

mod chain;
mod solved;
mod text;

use crate::arrangement::Lift;
use crate::chain::{Branch, Input, Operation};
use crate::checks::Assessment;
use crate::error::{Error, Place};
use crate::source::Source;
use crate::text::Text;
use serde::Serialize;

/// A number, and the numbers that it was made of.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Origin {
    /// What the number is, in words.
    pub what: Text,
    /// Its symbol; empty where it has none.
    #[serde(default, skip_serializing_if = "str::is_empty")]
    pub symbol: Text,
    /// Its value: SI, or a pure number.
    pub value: f64,
    /// Unit of the value; empty for a pure number.
    pub unit: Text,
    /// Who says it: a document with its clause, the lift document, or the relation by which it was computed.
    pub source: Source,
    /// How it was made of the numbers in `from`; absent where it is stated.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub by: Option<Operation>,
    /// The numbers that it was made of, in their order.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub from: Vec<Origin>,
    /// What else it was looked up or computed from, in words.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub inputs: Vec<Input>,
    /// Alternatives that were weighed and not taken.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub not_taken: Vec<Branch>,
}

impl Origin {
    /// Every source it goes back to, each once, in the order in which they enter.
    pub fn sources(&self) -> Vec<&Source> {
        let mut found: Vec<&Source> = Vec::new();
        self.gather(&mut found);
        found
    }

    fn gather<'a>(&'a self, found: &mut Vec<&'a Source>) {
        self.from.iter().for_each(|origin| origin.gather(found));
        if !found.contains(&&self.source) {
            found.push(&self.source);
        }
    }

    /// Whether every number follows, to the last bit, from those that it was made of; outcomes of a mechanical calculation
    /// are taken as they are.
    pub fn is_coherent(&self) -> bool {
        let follows = match self.by {
            None => self.from.is_empty(),
            Some(by) => by.of(self.from.iter().map(|origin| origin.value)).is_none_or(|value| same(value, self.value)),
        };
        follows && self.from.iter().all(Self::is_coherent)
    }
}

fn same(one: f64, other: f64) -> bool {
    one.to_bits() == other.to_bits()
}

/// Where the number at a JSON pointer comes from.
///
/// ```
/// use rigging_core::{arrangement::Lift, report, rules::RuleSet};
/// let lift = Lift::from_json(include_str!("../../../examples/lifts/generator-skid-round-edge.json"))?;
/// let assessment = lift.assess(&RuleSet::built_in("us-general")?)?;
/// let origin = report::origin(&assessment, &lift, "/legs/1/allowed")?;
/// assert_eq!(origin.what, "rated capacity of roundsling B");
/// assert_eq!(origin.sources()[0].standing.word(), "stated in the lift document");
/// # Ok::<(), rigging_core::error::Error>(())
/// ```
///
/// # Errors
/// [`Error::UnknownKey`] for a pointer at which the record has no number of the calculation; [`Error::Inconsistent`] for an
/// assessment of another lift; below `/remedy` those of [`Assessment::remedy`].
pub fn origin(assessment: &Assessment, lift: &Lift, pointer: &str) -> Result<Origin, Error> {
    if assessment.lift_hash != *lift.hash() {
        let what = format!("the assessment is not of \"{}\" as it now reads", lift.document().name);
        return Err(Error::inconsistent(what, Place::root()));
    }
    let keys: Vec<&str> = pointer.strip_prefix('/').unwrap_or(pointer).split('/').collect();
    let found = match keys.as_slice() {
        ["findings", index, rest @ ..] => chain::of_finding(assessment, index, rest),
        ["legs", index, figure] => solved::of_leg(assessment, lift, index, figure)?,
        ["certificate", ..] => solved::of_certificate(assessment, pointer),
        ["forces", ..] => solved::of_forces(assessment, pointer),
        ["remedy", ..] => solved::of_remedy(assessment, lift, pointer)?,
        _ => None,
    };
    found.ok_or_else(|| no_number(assessment, pointer))
}

/// What stands nearest to where the pointer goes astray.
fn no_number(assessment: &Assessment, pointer: &str) -> Error {
    let known = ["findings", "legs", "certificate", "forces", "remedy"];
    let first = pointer.trim_start_matches('/').split('/').next().unwrap_or_default();
    if known.contains(&first) {
        let (findings, legs) = (assessment.findings.len(), assessment.legs.len());
        let what = format!(
            "the record has no number there; it has {findings} findings and {legs} legs, counted from 0, such as \
             /findings/0/utilization or /legs/0/worst"
        );
        return Error::malformed(what, Place::pointer(pointer));
    }
    Error::unknown_name(first, "part of the record with numbers", known, Place::pointer(pointer))
}

/// The origin of a number in words, one line a number, each below what was made of it.
///
/// ```
/// use rigging_core::{arrangement::Lift, report, rules::RuleSet};
/// let lift = Lift::from_json(include_str!("../../../examples/lifts/generator-skid-round-edge.json"))?;
/// let assessment = lift.assess(&RuleSet::built_in("us-general")?)?;
/// let text = report::origin_text(&report::origin(&assessment, &lift, "/findings/0/utilization")?);
/// assert!(text.lines().next().is_some_and(|line| line.starts_with("utilization")));
/// # Ok::<(), rigging_core::error::Error>(())
/// ```
pub fn origin_text(origin: &Origin) -> String {
    text::text(origin)
}
