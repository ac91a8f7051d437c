//! What rules that ask a rule set have in common: the number of legs as a fact, and answers as errors.

use crate::error::{Error, Place};
use crate::rules::{Answer, Facts, RuleSet, Ruled};

/// What the number of legs under one hook says. Three unknowns find the place of the hook: a fourth leg makes it indeterminate.
pub(crate) fn configuration(facts: Facts, legs: usize) -> Facts {
    let word = match legs {
        1 => "single leg",
        2 => "two legs",
        3 => "three legs",
        4 => "four legs",
        _ => return facts.unknown("configuration").word("statically determinate", "no"),
    };
    facts.word("configuration", word).word("statically determinate", if legs > 3 { "no" } else { "yes" })
}

/// What the rule set ruled of `what`, or why it did not.
pub(super) fn speaking(answer: Answer, what: &str, rules: &RuleSet) -> Result<Ruled, Error> {
    let place = || Place::root().child("legs");
    let none = |why: String| Err(Error::unsupported(format!("{what} by {}: {why}", rules.name()), place()));
    match answer {
        Answer::Speaks(ruled) => Ok(*ruled),
        Answer::Silent => none("the rules do not speak of it".to_owned()),
        Answer::DoesNotApply { why, source } => none(format!("{why} ({source})")),
        Answer::Missing { fact, needed_by } => {
            let what = what.trim_start_matches("a ");
            Err(Error::missing(format!("the {fact}, for the {what} of {needed_by}"), "a stated fact", place()))
        }
        Answer::OutsideRange { reading, .. } => Err(Error::OutOfDomain { reading, place: place() }),
        Answer::Withheld { why, source, .. } => none(format!("{why} ({source})")),
        Answer::Refused(error) => Err(error),
    }
}

/// The rule and the facts that it was met with, in words.
pub(super) fn met(ruled: &Ruled) -> String {
    let met: Vec<String> = ruled.inputs().iter().map(|input| format!("{} {}", input.name, input.value)).collect();
    let note = ruled.note.as_ref().map(|note| format!("; {note}")).unwrap_or_default();
    format!("{} ({}){note}", ruled.rule, met.join(", "))
}
