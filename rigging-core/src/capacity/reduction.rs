//! Partial factors of a rule set that divides the breaking load: load, consequence, termination or bending, wear,
//! material and twist.

use super::speaks;
use crate::chain::Term;
use crate::contact::Bend;
use crate::error::{Error, Place};
use crate::gear::Sling;
use crate::rules::{Facts, Question, RuleSet};

/// The nominal safety factor, with every partial factor among its inputs. Of termination and bending the worse counts,
/// never their product; of the two ends, the worse bend.
pub(super) fn nominal_safety_factor(
    sling: &Sling,
    bends: &[Bend],
    facts: &Facts,
    rules: &RuleSet,
    place: &Place,
) -> Result<Term, Error> {
    let mut facts = facts
        .clone()
        .word("dynamic analysis", "none")
        .word("consequence of failure", "total loss")
        .word("taken from", "relation");
    let mut parts = Vec::new();
    let mut ask = |question: Question, name: &'static str, facts: Facts| -> Result<Facts, Error> {
        let Some(term) = speaks(rules.ask(question, &facts), question, place)? else { return Ok(facts) };
        let value = term.value;
        parts.push(term);
        Ok(facts.number(name, value, ""))
    };
    for (question, name) in [
        (Question::LoadFactor, "load factor"),
        (Question::ConsequenceFactor, "consequence factor"),
        (Question::TerminationFactor, "termination factor"),
    ] {
        facts = ask(question, name, facts)?;
    }
    let bending = worst_bend(sling, bends, &facts, rules, place)?;
    if let Some(term) = &bending {
        facts = facts.number("bending factor", term.value, "");
    }
    for (question, name) in [
        (Question::ReductionFactor, "reduction factor"),
        (Question::WearFactor, "wear factor"),
        (Question::MaterialFactor, "material factor"),
        (Question::TwistFactor, "twist factor"),
    ] {
        facts = ask(question, name, facts)?;
    }
    parts.extend(bending);
    let question = Question::NominalSafetyFactor;
    let term = speaks(rules.ask(question, &facts), question, place)?;
    let mut term = term.ok_or_else(|| Error::unsupported("a safety factor: the rule set gives none", place.clone()))?;
    // What no document field states yet is taken at its most severe, and the chain says so.
    term = term.from_input("taken", "no detailed dynamic analysis; failure means total loss");
    for part in parts {
        let value = format!("{} = {} ({})", part.symbol, part.value, part.source);
        term = term.from_input(part.name, value);
    }
    Ok(term)
}

fn worst_bend(
    sling: &Sling,
    bends: &[Bend],
    facts: &Facts,
    rules: &RuleSet,
    place: &Place,
) -> Result<Option<Term>, Error> {
    let mut worst: Option<Term> = None;
    for bend in bends {
        let mut facts = facts.clone();
        let diameter = bend.diameter.clone()?;
        if let Some(own) = sling.diameter.value() {
            facts = facts.number("bend ratio", diameter / own.si(), "");
        }
        if let Some(least) = sling.least_bend_diameter.value() {
            facts = facts.number("bend diameter to maker's least", diameter / least.value.si(), "");
        }
        let question = Question::BendingFactor;
        if let Some(term) = speaks(rules.ask(question, &facts), question, place)? {
            let term = term.from_input("bent round", bend.round.clone());
            worst = match worst {
                Some(other) if other.value >= term.value => Some(other),
                _ => Some(term),
            };
        }
    }
    Ok(worst)
}
