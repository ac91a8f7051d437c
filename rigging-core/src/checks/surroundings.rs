//! Whether the rule set governs this lift at all, and what the surroundings do to the gear.

use super::by_itself::ByItself;
use super::{Code, Finding, MissingInput, Stance, Verdict, covered, crane, fitting_temperature, temperature};
use crate::arrangement::{Lift, LoadKind, OperationKind};
use crate::error::{Error, Place};
use crate::gear::{Cited, Known, Sling};
use crate::rules::{Answer, Facts, Question, RuleSet};
use crate::source::Source;
use crate::text::Text;

/// Checks applicability, temperature and chemicals.
pub(super) fn compare(own: &ByItself<'_>, rules: &RuleSet, findings: &mut Vec<Finding>) -> Result<(), Error> {
    let ByItself { lift, slings, .. } = own;
    applicability(lift, rules, findings)?;
    findings.extend(load_kind(lift, rules)?);
    let applies = slings.ask(rules, Question::AppliesToGear);
    let limits = temperature::Limits::of(own, rules, &applies);
    for (index, sling) in used_slings(lift) {
        if let Some(answer) = applies.of(index) {
            findings.extend(covered::sling(index, sling, answer, slings.facts(index).ok(), rules)?);
        }
        limits.compare(index, sling, findings)?;
    }
    findings.extend(covered::fittings(own, rules)?);
    findings.extend(fitting_temperature::compare(own, rules)?);
    findings.extend(chemicals(lift));
    Ok(())
}

fn used_slings(lift: &Lift) -> impl Iterator<Item = (usize, &Sling)> {
    lift.legs().flat_map(|leg| leg.slings())
}

/// The first question always: does this document apply to the operation, the place and the persons?
fn applicability(lift: &Lift, rules: &RuleSet, findings: &mut Vec<Finding>) -> Result<(), Error> {
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
    for (question, fact, word, place, add) in questions {
        let name = &document.name;
        let Some(word) = word else {
            let what = format!("the {fact}, which decides whether the rule set applies,");
            findings.push(Finding::lacking(Code::Applicability, name, MissingInput::new(what, add, place)));
            continue;
        };
        let said = |verdict, text: Text| Finding::new(Code::Applicability, verdict, name, place.clone(), text);
        let mut answer = rules.ask(question, &Facts::new().word(fact, word));
        let mut word = word;
        if question == Question::AppliesToOperation
            && let Some((refused, by_hooks)) = refused_by_hooks(lift, rules)
        {
            (answer, word) = (refused, by_hooks);
        }
        let stance = Stance::of(&answer);
        let finding = match answer {
            // Whatever a rule set says of it: what gear, crane and load then need beyond these checks is not looked at.
            Answer::Speaks(ruled) if question == Question::AppliesToPersons && word == "yes" => {
                let text = "the rule set applies to the lifting of persons, which these checks are not made for";
                said(Verdict::CannotConclude, text.into()).after(ruled.source)
            }
            Answer::Speaks(ruled) => {
                said(Verdict::Pass, ["applies (", fact, ": ", word, ")"].into()).after(ruled.source)
            }
            // Rules for another operation or place, or that say nothing of persons, are no rules for this lift.
            Answer::Silent => {
                let verdict = if word == "no" { Verdict::NotCovered } else { Verdict::CannotConclude };
                said(
                    verdict,
                    format!("the rule set is silent: it does not say whether it applies ({fact}: {word})").into(),
                )
            }
            Answer::DoesNotApply { why, source } => {
                said(Verdict::CannotConclude, format!("the rule set does not apply ({fact}: {word}): {why}").into())
                    .after(source)
            }
            Answer::Refused(error) => return Err(error),
            other => said(
                Verdict::CannotConclude,
                format!("whether the rule set applies is not settled: {}", in_words(&other)).into(),
            ),
        };
        findings.push(finding.standing(stance));
    }
    Ok(())
}

/// What the rule set says of a lift with so many hooks, whatever the operation is called, if that keeps it from governing the
/// lift: a set that has rules for one hook, and says that it has none for several, is not one for two cranes that "lift".
fn refused_by_hooks(lift: &Lift, rules: &RuleSet) -> Option<(Answer, &'static str)> {
    let document = lift.document();
    let named = document.operation.kind.value()?;
    if document.hooks.len() < 2 || !matches!(named, OperationKind::Lifting | OperationKind::Lowering) {
        return None;
    }
    let kinds = match crane::number(lift) {
        Ok(1) => vec![OperationKind::TwoHookLift],
        Ok(_) => vec![OperationKind::MultiCraneLift],
        Err(_) => vec![OperationKind::TwoHookLift, OperationKind::MultiCraneLift],
    };
    kinds.into_iter().map(OperationKind::word).find_map(|word| {
        match rules.ask(Question::AppliesToOperation, &Facts::new().word("operation", word)) {
            Answer::Speaks(_) | Answer::Silent => None,
            refused => Some((refused, word)),
        }
    })
}

/// Containers and portable units for use offshore have standards of their own, whatever else a rule set says of the operation. A
/// rule set that speaks of the kind of load must be told it.
fn load_kind(lift: &Lift, rules: &RuleSet) -> Result<Option<Finding>, Error> {
    let load = &lift.document().load;
    let place = Place::root().child("load").child("kind");
    let (facts, word) = match load.kind.value() {
        Some(kind) => (Facts::new().word("load kind", kind.word()), kind.word()),
        None => (Facts::new().unknown("load kind"), "unknown"),
    };
    let said = |verdict, text: String| Finding::new(Code::Applicability, verdict, &load.name, place.clone(), text);
    let answer = rules.ask(Question::AppliesToLoad, &facts);
    let stance = Stance::of(&answer);
    let finding = match answer {
        Answer::Speaks(ruled) => said(Verdict::Pass, format!("applies (load kind: {word})")).after(ruled.source),
        Answer::Silent => match load.kind.value() {
            None | Some(LoadKind::General) => return Ok(None),
            Some(_) => {
                let text = format!(
                    "the rule set is silent: it does not say whether it applies to a load of the kind \"{word}\", which has standards of its own"
                );
                said(Verdict::CannotConclude, text)
            }
        },
        Answer::DoesNotApply { why, source } => {
            said(Verdict::CannotConclude, format!("the rule set does not apply (load kind: {word}): {why}"))
                .after(source)
        }
        Answer::Missing { .. } => {
            let what = "the kind of load, which decides whether the rule set applies,".to_owned();
            let add = "\"kind\": \"general\" (or \"offshore_container\", \"portable_offshore_unit\")".to_owned();
            Finding::lacking(Code::Applicability, &load.name, MissingInput::new(what, add, place))
        }
        Answer::Refused(error) => return Err(error),
        other => {
            said(Verdict::CannotConclude, format!("whether the rule set applies is not settled: {}", in_words(&other)))
        }
    };
    Ok(Some(finding.standing(stance)))
}

/// What can reach the gear, against what the maker of each item says it withstands: no figure of it is built in.
fn chemicals(lift: &Lift) -> Vec<Finding> {
    let place = Place::root().child("environment").child("chemicals");
    let name = &lift.document().name;
    let list = match &lift.document().environment.chemicals {
        Known::Unknown => {
            let what = "which chemicals can reach the gear".to_owned();
            let add = "\"chemicals\": [ … ] (empty where there are none)".to_owned();
            return vec![Finding::lacking(Code::Chemicals, name, MissingInput::new(what, add, place))];
        }
        Known::Value(list) => list,
    };
    if list.is_empty() {
        let text = "none are stated to reach the gear";
        return vec![Finding::new(Code::Chemicals, Verdict::Pass, name, place, text)];
    }
    let root = Place::root();
    let slings = used_slings(lift).map(|(index, sling)| {
        let made = format!("{} {}", sling.material.word(), sling.construction.word());
        (&sling.name, made, root.child("slings").child(index), &sling.withstands)
    });
    let of_legs = lift.legs().flat_map(|leg| leg.fittings());
    let fittings =
        of_legs.chain(lift.collectors().map(|(_, index, fitting)| (index, fitting))).map(|(index, fitting)| {
            (&fitting.name, fitting.kind.word().to_owned(), root.child("fittings").child(index), &fitting.withstands)
        });
    let items = slings.chain(fittings);
    items.map(|(item, made, at, withstands)| reached(list, item, &made, &at.child("withstands"), withstands)).collect()
}

fn reached(list: &[String], item: &Text, made: &str, place: &Place, withstands: &Known<Cited<Vec<String>>>) -> Finding {
    let known = |chemical: &&String| withstands.value().is_some_and(|stated| stated.value.contains(*chemical));
    let open: Vec<&str> = list.iter().filter(|chemical| !known(chemical)).map(String::as_str).collect();
    match withstands.value() {
        Some(stated) if open.is_empty() => {
            let text = format!("its maker says that it withstands {}", list.join(", "));
            let finding = Finding::new(Code::Chemicals, Verdict::Pass, item, place.clone(), text);
            finding.after(Source::stated(&stated.source))
        }
        _ => {
            let what = format!("what {} does to \"{item}\", a {made}, which its maker must say,", open.join(", "));
            let add = "\"withstands\": { \"value\": [ … ], \"source\": \"…\" }".to_owned();
            Finding::lacking(Code::Chemicals, item, MissingInput::new(what, add, place.clone()))
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
