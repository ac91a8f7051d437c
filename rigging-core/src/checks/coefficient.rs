//! Whether the working coefficient that is asked for here leaves a marking as it stands: it may be greater above persons, and
//! what settles it may not be known.

use super::by_itself::ByItself;
use super::{Code, Finding, Verdict};
use crate::capacity::speaks;
use crate::chain::Term;
use crate::error::{Error, Place};
use crate::gear::{Known, Sling};
use crate::rules::{Facts, Question, RuleSet};

/// The coefficient asked for as the lift is, or why that is not settled; and the one a marking is made with.
struct Asked {
    here: Result<Option<Term>, Error>,
    marked: Option<Term>,
}

/// One finding for every marked sling whose coefficient is not settled, or greater here than that of its marking.
pub(super) fn compare(own: &ByItself<'_>, rules: &RuleSet, findings: &mut Vec<Finding>) -> Result<(), Error> {
    if !rules.has_rules_on(Question::DesignFactor) {
        return Ok(());
    }
    let asked = own.slings.each(|facts| Asked::of(facts, rules));
    for (index, sling) in own.lift.legs().flat_map(|leg| leg.slings()) {
        if let Some(asked) = asked.of(index).filter(|_| sling.strength.is_marked()) {
            findings.extend(asked.of_marking(index, sling)?);
        }
    }
    Ok(())
}

impl Asked {
    fn of(facts: &Facts, rules: &RuleSet) -> Self {
        let question = Question::DesignFactor;
        let root = Place::root();
        let ask = |facts: &Facts| speaks(rules.ask(question, facts), question, &root);
        let facts = facts.clone().word("hitch", "straight").word("configuration", "single leg");
        // A marking is made for use without persons below.
        let marked = ask(&facts.clone().word("persons below", "no")).ok().flatten();
        Self { here: ask(&facts), marked }
    }

    fn of_marking(&self, index: usize, sling: &Sling) -> Result<Option<Finding>, Error> {
        let place = Place::root().child("slings").child(index);
        let here = match &self.here {
            Ok(Some(here)) => here,
            Ok(None) => return Ok(None),
            // A coefficient of the maker's own takes the place of one that a document does not tell.
            Err(Error::Unsupported { .. }) if !sling.least_safety_factor.is_unknown() => return Ok(None),
            Err(error) => {
                let error = match error.place() {
                    told if *told == Place::root() => error.clone().at(place),
                    _ => error.clone(),
                };
                return Finding::from_error(Code::Consistency, &sling.name, error).map(Some);
            }
        };
        let marked = match &self.marked {
            Some(marked) if here.value <= marked.value => return Ok(None),
            Some(marked) => format!("marked for a coefficient of {}", marked.value),
            None => "marked for a coefficient that is not known".to_owned(),
        };
        let told = |rest: &str| {
            let text = format!("{marked}, and {} is asked for here{rest}", here.value);
            let place = place.child("strength").child("wll");
            let finding = Finding::new(Code::Consistency, Verdict::CannotConclude, &sling.name, place, text);
            finding.after(here.source.clone())
        };
        Ok(match (&sling.strength.wll, &sling.strength.breaking_load) {
            (Known::Value(wll), Known::Value(breaking)) => {
                let most = breaking.force().si() / here.value;
                (wll.force().si() > most).then(|| {
                    told(&format!(", by which its breaking load allows {:.3} kN; state the lower limit", most / 1e3))
                })
            }
            _ => Some(told("; state its breaking load, or a limit for this coefficient")),
        })
    }
}
