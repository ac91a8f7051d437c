//! Fittings that a sling is made with, against the rating of the sling itself: a make that the rule set asks for.

use super::alike::Alike;
use super::surroundings::in_words;
use super::{Code, Finding, MissingInput, Verdict};
use crate::arrangement::Lift;
use crate::chain::{Acts, Chain, Term};
use crate::error::{Error, Place};
use crate::gear::{Sling, Termination};
use crate::rules::{Answer, Question, RuleSet};
use crate::source::Source;
use crate::text::Text;

/// Checks every sling of a kind for which the rule set gives a least strength of its fittings.
pub(super) fn compare(lift: &Lift, rules: &RuleSet, slings: &Alike) -> Result<Vec<Finding>, Error> {
    if !rules.has_rules_on(Question::FittingStrengthFactor) {
        return Ok(Vec::new());
    }
    let said = slings.ask(rules, Question::FittingStrengthFactor);
    let mut findings = Vec::new();
    for (index, sling) in lift.legs().flat_map(|leg| leg.slings()) {
        let place = Place::root().child("slings").child(index);
        let item = Text::from([&*sling.name, ", fittings at its ends"]);
        match said.of(index) {
            None | Some(Answer::Silent | Answer::DoesNotApply { .. }) => {}
            Some(Answer::Refused(error)) => return Err(error.clone()),
            Some(Answer::Speaks(ruled)) => {
                if let Some(factor) = ruled.term() {
                    findings.push(held(sling, &item, &place, factor)?);
                }
            }
            Some(other) => {
                let text = format!("the least strength of its fittings is not settled: {}", in_words(other));
                findings.push(Finding::new(Code::EndFittings, Verdict::CannotConclude, &item, place, text));
            }
        }
    }
    Ok(findings)
}

fn held(sling: &Sling, item: &Text, place: &Place, factor: &Term) -> Result<Finding, Error> {
    let lacking = |what: String, add: &'static str, key: &str| {
        let missing = MissingInput::new(what, add, place.child(key));
        Finding::lacking(Code::EndFittings, item, missing)
    };
    let Some(strength) = sling.end_fitting_strength.value() else {
        return Ok(match sling.termination.value() {
            None => lacking(
                format!("whether \"{}\" ends in fittings, whose strength the rule set asks for,", sling.name),
                "\"termination\": \"…\"",
                "termination",
            ),
            Some(Termination::Link) => lacking(
                format!("the load that the fittings of \"{}\" bear without permanent set", sling.name),
                "\"end_fitting_strength\": { \"value\": \"… t\", \"source\": \"…\" }",
                "end_fitting_strength",
            ),
            Some(_) => {
                let text = "it ends in eyes of its own, and no fitting of its own bears them";
                Finding::new(Code::EndFittings, Verdict::Pass, item, place.clone(), text).after(factor.source.clone())
            }
        });
    };
    let what = format_args!("the working load limit of \"{}\", which its fittings are held against,", sling.name);
    let at = || place.child("strength").child("wll");
    let wll = match sling.strength.wll.required(what, "\"wll\": \"… t\"", at) {
        Ok(wll) => wll,
        Err(error) => return Finding::from_error(Code::EndFittings, item, error),
    };
    let source = || place.child("strength").child("source");
    let what = format_args!("the source of the strength of \"{}\"", sling.name);
    let source = match sling.strength.source.required(what, "\"source\": \"…\"", source) {
        Ok(source) => source,
        Err(error) => return Finding::from_error(Code::EndFittings, item, error),
    };
    let base = Term::new("WLL", "working load limit of the sling", wll.force().si(), "N", Source::stated(source))
        .from_input("as marked", wll.text());
    let needed = Chain::start("least strength of its fittings", base).times(factor.clone(), Acts::OnForce);
    let name = "load that its fittings bear without permanent set";
    let borne = Term::new("F", name, strength.value.force().si(), "N", Source::stated(&strength.source))
        .from_input("as stated", strength.value.text());
    let there = Chain::start("the strength of its fittings", borne);
    Ok(Finding::compared(Code::EndFittings, item, place.clone(), needed, there).after(factor.source.clone()))
}
