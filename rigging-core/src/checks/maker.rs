//! What neither the rule set nor the document speaks of and only the maker of a sling can say.

use super::{Code, Finding, Verdict};
use crate::arrangement::Lift;
use crate::error::{Error, Place};
use crate::gear::{Construction, Material, Moisture, Sling};
use crate::rules::{Answer, Facts, Question, RuleSet};

use crate::source::Source;

/// What makes slings alike, and what their makers have answered.
type Kind = (Construction, Material, Option<Moisture>, [bool; 2]);
/// One finding for every kind of sling, made alike of one material, at the first of them: what to ask its maker.
pub(super) fn compare(lift: &Lift, rules: &RuleSet) -> Result<Vec<Finding>, Error> {
    let mut seen: Vec<(Construction, Material, Option<Moisture>)> = Vec::new();
    let mut findings = Vec::new();
    for (index, sling) in lift.legs().flat_map(|leg| leg.slings()) {
        let kind = (sling.construction, sling.material, sling.moisture.value().copied());
        if seen.contains(&kind) {
            continue;
        }
        seen.push(kind);
        let questions = questions(sling, rules)?;
        if questions.is_empty() {
            continue;
        }
        let text = format!(
            "not considered: what {} of {} {}; ask its maker",
            questions.join(", "),
            sling.material.word(),
            sling.construction.word()
        );
        let place = Place::root().child("slings").child(index);
        findings.push(Finding::new(Code::NotConsidered, Verdict::NotCovered, &sling.name, place, text));
    }
    Ok(findings)
}

/// What is open for such a sling, each to be read after "what".
fn questions(sling: &Sling, rules: &RuleSet) -> Result<Vec<&'static str>, Error> {
    let steel = matches!(sling.material, Material::Steel | Material::AlloySteel);
    let mut open = Vec::new();
    if !steel {
        open.push("sunlight and age leave of the strength");
    }
    if sling.material == Material::Polyamide && sling.moisture.value() != Some(&Moisture::Dry) {
        match rules.ask(Question::WetFactor, &Facts::new().of_sling(sling).word("state", "wet")) {
            Answer::Refused(error) => return Err(error),
            Answer::Silent | Answer::DoesNotApply { .. } => open.push("moisture leaves of the strength"),
            _ => {}
        }
    }
    if sling.material == Material::Hmpe {
        open.push("a lasting load adds to the length");
    }
    if matches!(sling.construction, Construction::LaidRope | Construction::WireRope | Construction::CableLaidWireRope)
        && sling.twisting_possible.value() != Some(&false)
    {
        open.push("turning under load takes from the strength");
    }
    Ok(open)
}
