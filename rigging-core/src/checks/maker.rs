//! What neither the rule set nor the document speaks of and only the maker of a sling can say.

use super::{Code, Finding, Verdict};
use crate::arrangement::Lift;
use crate::chain::{Acts, Chain, Term};
use crate::demand::facts_of;
use crate::error::{Error, Place};
use crate::gear::{Construction, Material, Moisture, Sling};
use crate::rules::{Answer, Question, RuleSet};
use crate::source::Source;

/// What makes slings alike, and what their makers have answered.
type Kind = (Construction, Material, Option<Moisture>, [bool; 2]);

/// One finding for every kind of sling, made alike of one material, at the first of them: what to ask its maker.
pub(super) fn compare(lift: &Lift, rules: &RuleSet, findings: &mut Vec<Finding>) -> Result<(), Error> {
    let mut seen: Vec<Kind> = Vec::new();
    for (index, sling) in lift.legs().flat_map(|leg| leg.slings()) {
        findings.extend(lasting(index, sling));
        let answered = [sling.sunlight.is_unknown(), sling.creep.is_unknown()];
        let kind = (sling.construction, sling.material, sling.moisture.value().copied(), answered);
        if seen.contains(&kind) {
            continue;
        }
        seen.push(kind);
        let questions = questions(lift, sling, rules)?;
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
    Ok(())
}

/// What a lasting load adds to the length must lie within the tolerance that the forces were found with.
fn lasting(index: usize, sling: &Sling) -> Option<Finding> {
    let (creep, length, tolerance) =
        (sling.creep.value()?, sling.length.value.value()?, sling.length.tolerance.value()?);
    let place = Place::root().child("slings").child(index).child("creep");
    let base = Term::new(
        "c",
        "what a lasting load adds, over the length",
        creep.value.si(),
        "",
        Source::stated(&creep.source),
    )
    .from_input("as entered", creep.value.text());
    let added =
        Term::new("dL", "added length", creep.value.si() * length.si(), "m", Source::mechanics("strain times length"))
            .from_input("length", length.text());
    let asked = Chain::start("what a lasting load adds to the length", base).becomes(added, Acts::OnForce);
    let name = "tolerance of the length";
    let allowed = Term::new("dL", name, tolerance.si(), "m", Source::stated("length in the lift document"))
        .from_input("as entered", tolerance.text());
    // Nothing that is added is within a tolerance of nothing.
    if asked.value() <= 0.0 {
        let text = "its maker says that a load which lasts adds nothing to its length";
        let finding = Finding::new(Code::Consistency, Verdict::Pass, &sling.name, place, text);
        return Some(finding.after(Source::stated(&creep.source)));
    }
    let finding = Finding::compared(
        Code::Consistency,
        &sling.name,
        place,
        asked,
        Chain::start("the tolerance of its length", allowed),
    );
    Some(finding.after(Source::stated(&creep.source)))
}

/// What is open for such a sling, each to be read after "what", with the key that answers it in quotes.
fn questions(lift: &Lift, sling: &Sling, rules: &RuleSet) -> Result<Vec<&'static str>, Error> {
    let steel = matches!(sling.material, Material::Steel | Material::AlloySteel);
    let mut open = Vec::new();
    if !steel && sling.sunlight.is_unknown() {
        open.push("sunlight and age leave of the strength (\"sunlight\")");
    }
    if sling.material == Material::Polyamide && sling.moisture.value() != Some(&Moisture::Dry) {
        match rules.ask(Question::WetFactor, &facts_of(lift).of_sling(sling).word("state", "wet")) {
            Answer::Refused(error) => return Err(error),
            Answer::Silent | Answer::DoesNotApply { .. } => open.push("moisture leaves of the strength (\"moisture\")"),
            _ => {}
        }
    }
    if sling.material == Material::Hmpe && sling.creep.is_unknown() {
        open.push("a lasting load adds to the length (\"creep\")");
    }
    if matches!(sling.construction, Construction::LaidRope | Construction::WireRope | Construction::CableLaidWireRope)
        && sling.twisting_possible.value() != Some(&false)
    {
        open.push("turning under load takes from the strength (\"twisting_possible\")");
    }
    Ok(open)
}
