//! Whether the rule set governs this lift at all, and what the surroundings do to the gear.

use super::{Code, Finding, MissingInput, Verdict};
use crate::arrangement::Lift;
use crate::chain::{Chain, Term};
use crate::error::{Error, Place};
use crate::gear::{Known, Sling};
use crate::quantity::{Entered, Temperature};
use crate::rules::{Answer, Facts, Question, RuleSet};
use crate::source::Source;

/// Checks applicability, temperature and chemicals.
pub(super) fn compare(lift: &Lift, rules: &RuleSet) -> Result<Vec<Finding>, Error> {
    let mut findings = applicability(lift, rules)?;
    for (index, sling) in used_slings(lift) {
        findings.extend(gear(index, sling, rules)?);
        findings.extend(temperature(lift, index, sling, rules)?);
    }
    findings.push(chemicals(lift));
    Ok(findings)
}

fn used_slings(lift: &Lift) -> impl Iterator<Item = (usize, &Sling)> {
    lift.legs().flat_map(|leg| leg.slings())
}

/// The first question always: does this document apply to the operation, the place and the persons?
fn applicability(lift: &Lift, rules: &RuleSet) -> Result<Vec<Finding>, Error> {
    let document = lift.document();
    let operation = Place::root().child("operation");
    let environment = Place::root().child("environment");
    let persons = document.operation.persons_lifted.value().map(|lifted| if *lifted { "yes" } else { "no" });
    let questions = [
        (
            Question::AppliesToOperation,
            "operation",
            document.operation.kind.value().map(|kind| kind.word()),
            operation.child("kind"),
            "\"kind\": \"…\"",
        ),
        (
            Question::AppliesToPlace,
            "place",
            document.environment.location.value().map(|place| place.word()),
            environment.child("location"),
            "\"location\": \"…\"",
        ),
        (
            Question::AppliesToPersons,
            "persons lifted",
            persons,
            operation.child("persons_lifted"),
            "\"persons_lifted\": …",
        ),
    ];
    let mut findings = Vec::new();
    for (question, fact, word, place, add) in questions {
        let name = &document.name;
        let Some(word) = word else {
            let what = format!("the {fact}, which decides whether the rule set applies,");
            findings.push(Finding::lacking(
                Code::Applicability,
                name,
                MissingInput { what, add: add.to_owned(), place },
            ));
            continue;
        };
        let said = |verdict, text: String| Finding::new(Code::Applicability, verdict, name, place.clone(), text);
        findings.push(match rules.ask(question, &Facts::new().word(fact, word)) {
            Answer::Speaks(ruled) => said(Verdict::Pass, format!("applies ({fact}: {word})")).after(ruled.source),
            // Rules for another operation or place, or that say nothing of persons, are no rules for this lift.
            Answer::Silent => {
                let verdict = if word == "no" { Verdict::NotCovered } else { Verdict::CannotConclude };
                said(verdict, format!("the rule set does not say whether it applies ({fact}: {word})"))
            }
            Answer::DoesNotApply { why, source } => {
                said(Verdict::CannotConclude, format!("the rule set does not apply ({fact}: {word}): {why}"))
                    .after(source)
            }
            Answer::Refused(error) => return Err(error),
            other => said(
                Verdict::CannotConclude,
                format!("whether the rule set applies is not settled: {}", in_words(&other)),
            ),
        });
    }
    Ok(findings)
}

fn gear(index: usize, sling: &Sling, rules: &RuleSet) -> Result<Option<Finding>, Error> {
    let place = Place::root().child("slings").child(index).child("construction");
    let family = format!("{} {}", sling.material.word(), sling.construction.word());
    let said = |text: String| Finding::new(Code::Applicability, Verdict::NotCovered, &sling.name, place, text);
    Ok(match rules.ask(Question::AppliesToGear, &Facts::new().of_sling(sling)) {
        Answer::Speaks(_) => None,
        Answer::Silent => {
            Some(said(format!("the rule set does not name this gear ({family}); its marked rating stands by itself")))
        }
        Answer::DoesNotApply { why, source } => Some(
            said(format!(
                "the rule set does not cover this gear ({family}): {why}; its marked rating stands by itself"
            ))
            .after(source),
        ),
        Answer::Refused(error) => return Err(error),
        other => Some(said(format!("whether the rule set covers this gear is not settled: {}", in_words(&other)))),
    })
}

fn temperature(lift: &Lift, index: usize, sling: &Sling, rules: &RuleSet) -> Result<Vec<Finding>, Error> {
    let facts = Facts::new().of_sling(sling);
    let place = Place::root().child("environment").child("temperature");
    let stated = lift.document().environment.temperature.value();
    let mut findings = Vec::new();
    let mut spoken = false;
    for question in [Question::LowestTemperature, Question::HighestTemperature] {
        let limit = match rules.ask(question, &facts) {
            Answer::Speaks(ruled) => ruled.term().cloned(),
            Answer::Silent | Answer::DoesNotApply { .. } => None,
            Answer::Refused(error) => return Err(error),
            other => {
                let text = format!("the temperature limit is not settled: {}", in_words(&other));
                let place = Place::root().child("slings").child(index);
                findings.push(Finding::new(Code::Temperature, Verdict::CannotConclude, &sling.name, place, text));
                spoken = true;
                continue;
            }
        };
        let Some(limit) = limit else { continue };
        spoken = true;
        let Some([low, high]) = stated else { break };
        findings.push(match question {
            Question::HighestTemperature => {
                let asked = Chain::start("highest temperature of the gear", reading(high));
                Finding::compared(
                    Code::Temperature,
                    &sling.name,
                    place.clone(),
                    asked,
                    Chain::start("its highest allowed", limit),
                )
            }
            _ => {
                let allowed = Chain::start("lowest temperature of the gear", reading(low));
                Finding::compared(
                    Code::Temperature,
                    &sling.name,
                    place.clone(),
                    Chain::start("its lowest allowed", limit),
                    allowed,
                )
            }
        });
    }
    if stated.is_none() {
        // Whether or not this rule set has a limit, gear that may be of any temperature cannot be judged.
        let what = "the lowest and highest temperature of the gear".to_owned();
        let add = "\"temperature\": [\"… degC\", \"… degC\"]".to_owned();
        findings.push(Finding::lacking(Code::Temperature, &sling.name, MissingInput { what, add, place }));
    } else if !spoken {
        let text = "the rule set gives no temperature limit for this gear; ask its maker";
        findings.push(Finding::new(Code::Temperature, Verdict::NotCovered, &sling.name, place, text));
    }
    Ok(findings)
}

fn reading(temperature: &Entered<Temperature>) -> Term {
    let source = Source::stated("environment in the lift document");
    Term::new("θ", "temperature", temperature.si(), "K", source).from_input("as entered", temperature.text())
}

fn chemicals(lift: &Lift) -> Finding {
    let place = Place::root().child("environment").child("chemicals");
    let name = &lift.document().name;
    match &lift.document().environment.chemicals {
        Known::Unknown => {
            let what = "which chemicals can reach the gear".to_owned();
            Finding::lacking(
                Code::Chemicals,
                name,
                MissingInput { what, add: "\"chemicals\": [ … ] (empty where there are none)".to_owned(), place },
            )
        }
        Known::Value(list) if list.is_empty() => {
            Finding::new(Code::Chemicals, Verdict::Pass, name, place, "none are stated to reach the gear")
        }
        Known::Value(list) => {
            let text = format!("what {} does to the gear is not calculated: ask its maker", list.join(", "));
            Finding::new(Code::Chemicals, Verdict::CannotConclude, name, place, text)
        }
    }
}

/// What keeps a rule set from speaking, in words.
pub(super) fn in_words(answer: &Answer) -> String {
    match answer {
        Answer::Missing { fact, needed_by } => format!("{needed_by} needs the {fact}"),
        Answer::OutsideRange { reading, policy, source } => format!("{reading} ({source}: {policy})"),
        Answer::Withheld { why, source, .. } => format!("{why} ({source})"),
        Answer::DoesNotApply { why, source } => format!("{why} ({source})"),
        Answer::Speaks(_) => "it speaks".to_owned(),
        Answer::Silent => "it is silent".to_owned(),
        Answer::Refused(error) => error.to_string(),
    }
}
