//! How the mass is known, and what the rule set would add for error.

use super::surroundings::in_words;
use super::{Code, Finding, Verdict};
use crate::arrangement::Lift;
use crate::demand::facts_of;
use crate::error::{Error, Place};
use crate::rules::{Answer, Question, RuleSet};

/// One finding on the basis of the mass; none where mass or basis are not known, which the weight reports itself.
pub(super) fn compare(lift: &Lift, rules: &RuleSet) -> Result<Option<Finding>, Error> {
    let load = &lift.document().load;
    let (Some(_), Some(basis)) = (load.mass.value.value(), load.mass.basis.value()) else { return Ok(None) };
    let place = Place::root().child("load").child("mass").child("basis");
    let stated = match load.mass.contingency.value() {
        Some(contingency) => format!("{}, with a contingency of {}", basis.word(), contingency.text()),
        None => format!("{}, without contingency", basis.word()),
    };
    let said = |verdict, text: String| Finding::new(Code::MassBasis, verdict, &load.name, place, text);
    Ok(Some(match rules.ask(Question::WeightContingency, &facts_of(lift).word("mass basis", basis.word())) {
        Answer::Speaks(ruled) => {
            let text = format!("the mass is {stated}; the rule set's contingency is in the weight");
            said(Verdict::Pass, text).after(ruled.source)
        }
        Answer::Refused(error) => return Err(error),
        other => {
            let text = format!("the mass is {stated}; a contingency by rule: {}", in_words(&other));
            said(Verdict::NotCovered, text)
        }
    }))
}
