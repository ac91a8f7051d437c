//! The category of the lift: which conditions of the rule set are met, which are not, and which nobody can tell.
//!
//! A category asks for planning and for persons. It never switches a check off.

use super::strengths::{Bears, bearing};
use super::{Code, Finding, MissingInput, Verdict, crane};
use crate::arrangement::Lift;
use crate::chain::Input;
use crate::demand::Asks;
use crate::error::{Error, Place};
use crate::rules::{Answer, Facts, Question, RuleSet, Tried};
use crate::source::Source;
use crate::text::Text;
use serde::{Deserialize, Serialize};

/// The category and what led to it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Category {
    /// The rule set's word; none where it cannot be told, or where no condition is met and the rule set has no word for that.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub word: Option<Text>,
    /// Every condition of the rule set.
    pub triggers: Vec<Trigger>,
}

/// One condition.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Trigger {
    /// What it is, in the words of the rule file.
    pub name: Text,
    /// The category that it leads to.
    pub leads_to: Text,
    /// Whether it is met.
    pub state: TriggerState,
    /// The facts that it was drawn from, where it is met.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub facts: Vec<Input>,
    /// What is not known, where nobody can tell.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub needs: Option<Text>,
    /// Where the rule set says so.
    pub source: Source,
}

/// Whether a condition is met.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum TriggerState {
    /// It is met.
    Met,
    /// It is not.
    NotMet,
    /// A fact is not known.
    Unknown,
}

impl TriggerState {
    /// The words printed.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Met => "met",
            Self::NotMet => "not met",
            Self::Unknown => "unknown",
        }
    }
}

/// The category under a rule set, and the finding that tells it; none where the rule set does not speak of one.
pub(super) fn compare(
    lift: &Lift,
    rules: &RuleSet,
    asks: Option<&dyn Asks>,
    findings: &[Finding],
) -> Result<Option<(Category, Finding)>, Error> {
    if !rules.has_rules_on(Question::LiftCategory) {
        return Ok(None);
    }
    let tried = rules.ask_each(Question::LiftCategory, &facts(lift, asks, findings))?;
    if tried.is_empty() {
        return Ok(None);
    }
    let triggers: Vec<Trigger> = tried.iter().filter(|tried| tried.conditional).map(trigger).collect();
    let otherwise = tried.iter().find(|tried| !tried.conditional).and_then(|tried| tried.words.first());
    let of = |state| triggers.iter().filter(move |trigger| trigger.state == state);
    let name = &lift.document().name;
    let place = Place::root().child("operation");
    let (word, finding) = if let Some(first) = of(TriggerState::Met).next() {
        let met: Vec<String> = of(TriggerState::Met).map(Trigger::told).collect();
        let text = format!("the lift is \"{}\": {}", first.leads_to, met.join("; "));
        let finding = Finding::new(Code::LiftCategory, Verdict::Pass, name, place, text);
        (Some(first.leads_to.clone()), finding.after(first.source.clone()))
    } else if of(TriggerState::Unknown).next().is_some() {
        let missing: Vec<MissingInput> = of(TriggerState::Unknown).map(|trigger| missing(lift, trigger)).collect();
        let needs: Vec<&str> = of(TriggerState::Unknown).filter_map(|trigger| trigger.needs.as_deref()).collect();
        let text = format!("the category of the lift cannot be told: {} not known", needs.join(", "));
        (None, Finding { missing, ..Finding::new(Code::LiftCategory, Verdict::CannotConclude, name, place, text) })
    } else {
        let text = match otherwise {
            Some(word) => format!("the lift is \"{word}\": none of {} conditions is met", triggers.len()),
            None => {
                format!("none of {} conditions is met, and the rule set has no word for such a lift", triggers.len())
            }
        };
        (otherwise.cloned(), Finding::new(Code::LiftCategory, Verdict::Pass, name, place, text))
    };
    Ok(Some((Category { word, triggers }, finding)))
}

fn trigger(tried: &Tried) -> Trigger {
    let (state, facts, needs) = match &tried.answer {
        None | Some(Answer::Silent | Answer::DoesNotApply { .. }) => (TriggerState::NotMet, Vec::new(), None),
        Some(Answer::Speaks(ruled)) => (TriggerState::Met, ruled.inputs().to_vec(), None),
        Some(Answer::Missing { fact, .. }) => (TriggerState::Unknown, Vec::new(), Some(fact.clone())),
        Some(other) => (TriggerState::Unknown, Vec::new(), Some(super::surroundings::in_words(other).into())),
    };
    Trigger {
        name: tried.rule.clone(),
        leads_to: tried.words.first().cloned().unwrap_or_default(),
        state,
        facts,
        needs,
        source: tried.source.clone(),
    }
}

impl Trigger {
    fn told(&self) -> String {
        let facts: Vec<String> = self.facts.iter().map(|fact| format!("{} {}", fact.name, fact.value)).collect();
        match facts.is_empty() {
            true => self.name.to_string(),
            false => format!("{} ({})", self.name, facts.join(", ")),
        }
    }
}

/// What the document states and the assessment found, as facts. The largest utilization of a hook stands for the crane's, that of
/// everything below it for the gear's; where one of them has no figure, neither has the largest. A load that sticks is a load case
/// of its own.
fn facts(lift: &Lift, asks: Option<&dyn Asks>, findings: &[Finding]) -> Facts {
    let document = lift.document();
    let yes = |yes: bool| if yes { "yes" } else { "no" };
    let mut facts = crane::facts(lift);
    for (_, fact, stated) in document.operation.circumstances.each() {
        if let Some(stated) = stated {
            facts = facts.word(fact, yes(stated));
        }
    }
    if let Some(persons) = document.operation.persons_lifted.value() {
        facts = facts.word("persons lifted", yes(*persons));
    }
    if let Some(operation) = document.operation.kind.value() {
        facts = facts.word("operation", operation.word());
    }
    if let Some(place) = document.environment.location.value() {
        facts = facts.word("place", place.word());
    }
    let mass = &document.load.mass;
    let center = &document.load.center_of_gravity;
    facts = facts
        .word("weight known", yes(!mass.value.is_unknown() && !mass.basis.is_unknown()))
        .word("center of gravity known", yes(!center.position.is_unknown() && !center.tolerance.is_unknown()));
    let Some(asks) = asks else { return facts };
    facts = facts.number("gross weight", asks.weight().static_mass.value(), "kg");
    let of_crane: fn(&Finding) -> bool = |finding| finding.code == Code::HookLoad;
    let of_gear: fn(&Finding) -> bool = |finding| bearing(finding) == Some(Bears::Gear) && finding.code != Code::Snag;
    for (fact, counts) in [("crane utilization", of_crane), ("gear utilization", of_gear)] {
        let of_them = findings.iter().filter(|finding| counts(finding));
        let largest = of_them.map(|finding| finding.utilization).reduce(|one, other| Some(one?.max(other?))).flatten();
        if let Some(largest) = largest.filter(|largest| largest.is_finite()) {
            facts = facts.number(fact, largest, "");
        }
    }
    facts
}

/// Where a fact that is not known would stand in the document.
fn missing(lift: &Lift, trigger: &Trigger) -> MissingInput {
    let root = Place::root();
    let fact = trigger.needs.as_deref().unwrap_or_default();
    let circumstance = lift.document().operation.circumstances.each().into_iter().find(|(_, known, _)| *known == fact);
    let (place, add): (Place, Text) = match (fact, circumstance) {
        (_, Some((key, ..))) => {
            (root.child("operation").child("circumstances").child(key), format!("\"{key}\": … (true or false)").into())
        }
        ("persons lifted", _) => (root.child("operation").child("persons_lifted"), "\"persons_lifted\": …".into()),
        ("operation", _) => (root.child("operation").child("kind"), "\"kind\": \"…\"".into()),
        ("place", _) => (root.child("environment").child("location"), "\"location\": \"…\"".into()),
        ("number of cranes", _) => match crane::number(lift) {
            Err(Error::Missing { add, place, .. }) => (place, add),
            _ => (root.child("hooks"), "\"crane\": \"…\"".into()),
        },
        ("crane utilization", _) => (root.child("hooks"), "what the load on each hook needs".into()),
        ("gear utilization", _) => (root.child("slings"), "what the strength of each item needs".into()),
        ("gross weight", _) => (root.child("load").child("mass"), "\"value\": \"… t\"".into()),
        _ => (root, "it".into()),
    };
    let what = format!("the {fact}, on which the condition \"{}\" rests,", trigger.name);
    MissingInput::new(what, add, place)
}
