//! Where two assessments of one lift part: the check, and the first term of its calculation that differs.

use super::align::{Aligned, aligned};
use crate::chain::{Chain, Operation, Term};
use crate::checks::{Assessment, Code, Finding, Severity, Verdict};
use crate::error::{Error, Place};
use crate::source::{Source, Standing};
use crate::text::Text;
use serde::Serialize;
use std::cmp::Ordering;

/// One check on which two assessments differ.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Parting {
    /// The check.
    pub code: Code,
    /// The item it is on.
    pub item: Text,
    /// Where the item stands in the lift document.
    pub place: Place,
    /// In which part of the calculation the first difference lies.
    pub part: Part,
    /// What either says, in the order asked.
    pub sides: [Side; 2],
}

/// A part of the calculation behind a finding.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Part {
    /// What is asked of the item.
    Demand,
    /// What the item may bear.
    Capacity,
    /// The finding itself: one of the two has no figures, or they agree and the outcomes do not.
    Outcome,
}

/// What one of the two says.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Side {
    /// Its outcome; absent where this check is not made under these rules.
    pub verdict: Option<Verdict>,
    /// The finding in words; empty where it is not made.
    pub text: Text,
    /// Demand over capacity.
    pub utilization: Option<f64>,
    /// The term at which the calculations part; absent where this one has none there.
    pub said: Option<Said>,
    /// The clause that decides: of the term, else of the finding; absent where no clause speaks.
    pub source: Option<Source>,
}

/// A term of a calculation.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Said {
    /// Symbol; empty where the document has none.
    pub symbol: Text,
    /// What it is.
    pub name: Text,
    /// Its value: SI, or a pure number.
    pub value: f64,
    /// Unit of the value.
    pub unit: Text,
}

impl Parting {
    /// Whether both draw on one source and differ in its value alone: a tilt or an angle that another weight makes. The clause
    /// behind it stands with a check that is no such consequence.
    pub fn is_consequence(&self) -> bool {
        let [left, right] = &self.sides;
        left.said.is_some()
            && right.said.is_some()
            && left.source == right.source
            && left.source.as_ref().is_some_and(|source| source.standing == Standing::Derived)
    }
}

/// Every check on which two assessments of one lift differ: first what differs in the outcome, the gravest before all,
/// then what differs in figures alone; consequences of another difference ([`Parting::is_consequence`]) after their like.
///
/// ```
/// use rigging_core::arrangement::Lift;
/// use rigging_core::choice::partings;
/// use rigging_core::rules::RuleSet;
/// let lift = Lift::from_json(include_str!("../../examples/lifts/generator-skid-round-edge.json"))?;
/// let [law, marine] = ["us-general", "marine-0027-nd-2016"].map(|name| lift.assess(&RuleSet::built_in(name).unwrap()).unwrap());
/// assert_eq!(partings(&law, &law)?, []);
/// // The marine rules want a breaking load with its basis, where the law goes by the marking.
/// let first = &partings(&law, &marine)?[0];
/// assert_ne!(first.sides[0].verdict, first.sides[1].verdict);
/// # Ok::<(), rigging_core::error::Error>(())
/// ```
///
/// # Errors
/// [`Error::Inconsistent`] for assessments of different lifts.
pub fn partings(left: &Assessment, right: &Assessment) -> Result<Vec<Parting>, Error> {
    if left.lift_hash != right.lift_hash {
        let what = format!("\"{}\" and \"{}\" are not the same lift", left.lift, right.lift);
        return Err(Error::inconsistent(what, Place::root()));
    }
    let mut found: Vec<Parting> = aligned(&[left, right]).iter().filter_map(between).collect();
    found.sort_by(importance);
    Ok(found)
}

/// The difference between two findings on one thing, where there is one.
fn between(both: &Aligned<'_>) -> Option<Parting> {
    let [left, right] = both.findings.as_slice() else { return None };
    let (left, right) = (*left, *right);
    let verdicts = [left, right].map(|finding| finding.map(|finding| (finding.verdict, finding.stance)));
    let compared = [left, right].map(|finding| finding.is_some_and(|finding| finding.utilization.is_some()));
    // Where one compares and the other does not, what keeps it from it is what parts them, and no figure.
    let figures = first_difference(left, right).filter(|_| compared[0] == compared[1]);
    if verdicts[0] == verdicts[1] && figures.is_none() {
        return None;
    }
    let (part, terms) = figures.unwrap_or((Part::Outcome, [None, None]));
    let [first, second] = terms;
    let sides = [side(left, first), side(right, second)];
    Some(Parting { code: both.code(), item: both.item(), place: both.place(), part, sides })
}

/// Terms of two calculations at the first place where they differ.
type Terms<'a> = [Option<&'a Term>; 2];

/// Demand before capacity: what is asked is found first.
fn first_difference<'a>(left: Option<&'a Finding>, right: Option<&'a Finding>) -> Option<(Part, Terms<'a>)> {
    let (left, right) = (left?, right?);
    let of = |finding: &'a Finding, part| match part {
        Part::Demand => finding.demand.as_deref(),
        _ => finding.capacity.as_deref(),
    };
    [Part::Demand, Part::Capacity].into_iter().find_map(|part| match (of(left, part), of(right, part)) {
        (Some(one), Some(other)) => chains(one, other).map(|terms| (part, terms)),
        // What has figures on one side only differs as a whole; its last term is what decides there.
        (Some(one), None) => Some((part, [last(one), None])),
        (None, Some(other)) => Some((part, [None, last(other)])),
        (None, None) => None,
    })
}

fn last(chain: &Chain) -> Option<&Term> {
    Some(chain.steps.last().map_or(&*chain.base, |step| &*step.term))
}

/// The terms at which two chains first differ. A step that only one of them has stands against none.
fn chains<'a>(one: &'a Chain, other: &'a Chain) -> Option<Terms<'a>> {
    let [left, right] = [one, other].map(line);
    let same = left.iter().zip(&right).take_while(|(one, other)| alike(one, other)).count();
    let (rest, others) = (left.get(same..)?, right.get(same..)?);
    match (rest.first(), others.first()) {
        (None, None) => None,
        (Some((_, one)), None) => Some([Some(*one), None]),
        (None, Some((_, other))) => Some([None, Some(*other)]),
        (Some(first), Some(second)) => {
            // A step that the other takes later was not left out: what stands before it there is what is new.
            let later = |line: &[Stage<'a>], stage: &Stage<'a>| line.iter().skip(1).any(|other| kin(stage, other));
            Some(match (later(others, first), later(rest, second)) {
                (true, false) => [None, Some(second.1)],
                (false, true) => [Some(first.1), None],
                _ => [Some(first.1), Some(second.1)],
            })
        }
    }
}

/// A term with what it does; the base does nothing yet.
type Stage<'a> = (Option<Operation>, &'a Term);

/// The stages of a chain. A greater or lesser of two that leaves the value as it was parts nothing.
fn line(chain: &Chain) -> Vec<Stage<'_>> {
    let mut running = chain.base.value;
    let mut line = vec![(None, &*chain.base)];
    for step in &chain.steps {
        let idle = matches!(step.operation, Operation::GreatestOf | Operation::LeastOf)
            && step.result.to_bits() == running.to_bits();
        if !idle {
            line.push((Some(step.operation), &*step.term));
        }
        running = step.result;
    }
    line
}

/// The same term of the same source, and the same to the last bit.
fn alike(one: &Stage<'_>, other: &Stage<'_>) -> bool {
    kin(one, other) && one.1.value.to_bits() == other.1.value.to_bits() && one.1.source == other.1.source
}

/// The same step of the calculation, whatever its value.
fn kin(one: &Stage<'_>, other: &Stage<'_>) -> bool {
    one.0 == other.0 && one.1.symbol == other.1.symbol && one.1.name == other.1.name
}

fn side(finding: Option<&Finding>, term: Option<&Term>) -> Side {
    let said = term.map(|term| Said {
        symbol: term.symbol.clone(),
        name: term.name.clone(),
        value: term.value,
        unit: term.unit.clone(),
    });
    let source = term.map(|term| term.source.clone()).or_else(|| finding?.source.clone());
    let Some(finding) = finding else {
        return Side { verdict: None, text: Text::default(), utilization: None, said, source };
    };
    Side { verdict: Some(finding.verdict), text: finding.text.clone(), utilization: finding.utilization, said, source }
}

/// What parts the verdicts first, and of that the gravest; a stable sort keeps the order of the findings within it.
fn importance(one: &Parting, other: &Parting) -> Ordering {
    let key = |parting: &Parting| {
        let [left, right] = [&parting.sides[0], &parting.sides[1]].map(|side| rank(side.verdict));
        (left == right, left.min(right), parting.is_consequence(), gravity(parting.code.severity()))
    };
    key(one).cmp(&key(other))
}

const fn rank(verdict: Option<Verdict>) -> u8 {
    match verdict {
        Some(Verdict::Fail) => 0,
        Some(Verdict::CannotConclude) => 1,
        Some(Verdict::Pass) => 2,
        Some(Verdict::NotCovered) => 3,
        None => 4,
    }
}

const fn gravity(severity: Severity) -> u8 {
    match severity {
        Severity::Grave => 0,
        Severity::Serious => 1,
        Severity::Notice => 2,
    }
}
