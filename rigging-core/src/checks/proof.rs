//! Proof loads as papers state them, against what the rule set asks of such an item. Where none is stated nothing is said: whether
//! an item was proved is a matter of its certificate.

use super::surroundings::in_words;
use super::{Code, Finding, Verdict};
use crate::arrangement::Lift;
use crate::chain::{Acts, Chain, Term};
use crate::demand::facts_of;
use crate::error::{Error, Place};
use crate::gear::{Known, Rated, Rating};
use crate::rules::{Answer, Facts, Question, RuleSet};
use crate::source::Source;
use crate::text::Text;

/// An item with its rating and what a rule set calls it.
struct Item<'a> {
    name: &'a Text,
    rating: &'a Rating,
    place: Place,
    facts: Facts,
}

/// Checks every fitting, spreader, hook and lift point of the load whose proof load is stated.
pub(super) fn compare(lift: &Lift, rules: &RuleSet) -> Result<Vec<Finding>, Error> {
    let document = lift.document();
    let root = Place::root();
    let called = |construction: &str| facts_of(lift).word("construction", construction);
    let stated = |rating: &Rating| !rating.proof_load.is_unknown();
    let fittings =
        document.fittings.iter().enumerate().filter(|(_, fitting)| stated(&fitting.rating)).map(|(index, fitting)| {
            Item {
                name: &fitting.name,
                rating: &fitting.rating,
                place: root.child("fittings").child(index),
                facts: facts_of(lift).of_fitting(fitting),
            }
        });
    let spreaders = document.spreaders.iter().enumerate().filter(|(_, spreader)| stated(&spreader.rating)).map(
        |(index, spreader)| Item {
            name: &spreader.name,
            rating: &spreader.rating,
            place: root.child("spreaders").child(index),
            facts: called("spreader"),
        },
    );
    let points = document.load.lift_points.iter().enumerate().filter(|(_, point)| stated(&point.rating)).map(
        |(index, point)| Item {
            name: &point.name,
            rating: &point.rating,
            place: root.child("load").child("lift_points").child(index),
            facts: called("lift point"),
        },
    );
    let hooks = document.hooks.iter().enumerate().filter(|(_, hook)| stated(&hook.rating)).map(|(index, hook)| Item {
        name: &hook.name,
        rating: &hook.rating,
        place: root.child("hooks").child(index),
        facts: called("hook"),
    });
    let mut findings = Vec::new();
    for item in fittings.chain(spreaders).chain(points).chain(hooks) {
        if let Known::Value(proof) = &item.rating.proof_load {
            item.compare(proof, rules, &mut findings)?;
        }
    }
    Ok(findings)
}

impl Item<'_> {
    fn compare(&self, proof: &Rated, rules: &RuleSet, findings: &mut Vec<Finding>) -> Result<(), Error> {
        let mut facts = self.facts.clone();
        if let Some(wll) = self.rating.wll.value() {
            facts = facts.number("working load limit", wll.force().si(), "N");
        }
        for question in [Question::ProofLoad, Question::LeastProofFactor, Question::GreatestProofFactor] {
            findings.extend(self.held(proof, question, &rules.ask(question, &facts))?);
        }
        Ok(())
    }

    fn held(&self, proof: &Rated, question: Question, answer: &Answer) -> Result<Option<Finding>, Error> {
        let place = self.place.child("rating").child("proof_load");
        let term = match answer {
            Answer::Speaks(ruled) => ruled.term(),
            Answer::Silent | Answer::DoesNotApply { .. } => None,
            Answer::Refused(error) => return Err(error.clone()),
            Answer::Missing { fact, .. } if fact == "working load limit" => return self.lacking().map(Some),
            other => {
                let text = format!("the {} is not settled: {}", question.name(), in_words(other));
                return Ok(Some(Finding::new(Code::Consistency, Verdict::CannotConclude, self.name, place, text)));
            }
        };
        let Some(term) = term else { return Ok(None) };
        let clause = term.source.clone();
        let limit = match question {
            Question::ProofLoad => Chain::start("its proof load after the rule set", term.clone()),
            _ => {
                let (Known::Value(wll), Known::Value(source)) = (&self.rating.wll, &self.rating.source) else {
                    return self.lacking().map(Some);
                };
                let base = Term::new("WLL", "working load limit", wll.force().si(), "N", Source::stated(source))
                    .from_input("as marked", wll.text());
                let quantity = if question == Question::GreatestProofFactor {
                    "its greatest proof load"
                } else {
                    "its least proof load"
                };
                Chain::start(quantity, base).times(term.clone(), Acts::OnForce)
            }
        };
        let source =
            self.rating.source.value().map_or_else(|| Source::stated("rating in the lift document"), Source::stated);
        let stated =
            Term::new("PL", "proof load", proof.force().si(), "N", source).from_input("as stated", proof.text());
        let stated = Chain::start("the proof load", stated);
        let (asked, borne) = if question == Question::GreatestProofFactor { (stated, limit) } else { (limit, stated) };
        Ok(Some(Finding::compared(Code::Consistency, self.name, place, asked, borne).after(clause)))
    }

    fn lacking(&self) -> Result<Finding, Error> {
        let what = format!(
            "the working load limit of \"{}\" with its source, which its proof load is held against,",
            self.name
        );
        let missing = Error::missing(what, "\"wll\": \"… t\"", self.place.child("rating").child("wll"));
        Finding::from_error(Code::Consistency, self.name, missing)
    }
}
