//! How the mass is known, and what the rule set would add for error.

use super::by_itself::ByItself;
use super::surroundings::in_words;
use super::{Code, Finding, Verdict};
use crate::arrangement::MassBasis;
use crate::error::{Error, Place};
use crate::rules::{Answer, Facts, Question, RuleSet};
use crate::text::Text;

/// One finding on the basis of the mass; none where mass or basis are not known, which the weight reports itself.
pub(super) fn compare(own: &ByItself<'_>, rules: &RuleSet) -> Result<Option<Finding>, Error> {
    let load = &own.lift.document().load;
    let (Some(_), Some(basis)) = (load.mass.value.value(), load.mass.basis.value()) else { return Ok(None) };
    let place = Place::root().child("load").child("mass").child("basis");
    let stated = load.mass.contingency.value().map(|contingency| contingency.text());
    let [with, stated] = match &stated {
        Some(contingency) => [", with a contingency of ", contingency.as_str()],
        None => [", without contingency", ""],
    };
    let said = |verdict, [what, words]: [&str; 2]| {
        let text = Text::from(["the mass is ", basis.word(), with, stated, what, words]);
        Finding::new(Code::MassBasis, verdict, &load.name, place, text)
    };
    let facts = Facts::new().amid(&own.circumstances).word("mass basis", basis.word());
    Ok(Some(match rules.ask(Question::WeightContingency, &facts) {
        Answer::Speaks(ruled) => {
            said(Verdict::Pass, ["; the rule set's contingency is in the weight", ""]).after(ruled.source)
        }
        Answer::Refused(error) => return Err(error),
        // There is a contingency, which was not seen, and none is in the weight. A mass that is not exceeded holds its own.
        Answer::Withheld { why, source, .. }
            if *basis != MassBasis::NotToExceed
                && load.mass.contingency.value().is_none_or(|stated| stated.si() <= 0.0) =>
        {
            said(Verdict::CannotConclude, ["; a contingency by rule: ", &why]).after(source)
        }
        other => said(Verdict::NotCovered, ["; a contingency by rule: ", &in_words(&other)]),
    }))
}
