//! Statements about one sling that do not go together: stiffness against breaking load, what it is made of against how it is
//! made; and of a plate round a pin: its radius against its hole, its strengths against each other. Markings stand in
//! `checks/marked.rs`.
//!
//! Such a finding never passes or fails by itself. Somebody has read one thing for another: of a part for that of the
//! whole, of another rope, in another unit.

use super::alike::Alike;
use super::{Code, Finding, Verdict};
use crate::arrangement::{Lift, LiftPoint};
use crate::chain::{Acts, Chain, Term};
use crate::error::{Error, Place};
use crate::gear::{Basis, Construction, Material, Portion, Sling, StretchLaw};
use crate::rules::{Answer, Facts, Question, RuleSet};
use crate::source::{Citation, Source};
use std::sync::OnceLock;

/// The document asked where the rule set states no range: ratios of published ropes, widened by common practice.
const RATIOS: &str = "fiber-stiffness";

/// A term, where a document states one.
pub(super) type Stated = Result<Option<Term>, Error>;

/// One finding for every pair of figures that do not go together.
pub(super) fn compare(lift: &Lift, rules: &RuleSet, slings: &Alike) -> Result<Vec<Finding>, Error> {
    let mut findings = Vec::new();
    let limits = slings.each(|facts| {
        [Question::LeastStiffnessRatio, Question::GreatestStiffnessRatio].map(|question| limit(question, facts, rules))
    });
    for (index, sling) in lift.legs().flat_map(|leg| leg.slings()) {
        findings.extend(made_of(index, sling));
        if let Some(limits) = limits.of(index) {
            findings.extend(stiffness(index, sling, limits)?);
        }
    }
    findings.extend(plates(lift));
    Ok(findings)
}

/// Plates that cannot be as they are stated: an edge within the hole, a material that breaks before it yields. Equations would
/// give figures for either.
fn plates(lift: &Lift) -> Vec<Finding> {
    let document = lift.document();
    let root = Place::root();
    let points = |points: &[LiftPoint], place: Place| {
        let each = points.iter().enumerate();
        each.filter_map(|(index, point)| plate(point, &place.child(index))).collect::<Vec<_>>()
    };
    let of_spreaders =
        document.spreaders.iter().enumerate().flat_map(|(index, spreader)| {
            points(&spreader.points, root.child("spreaders").child(index).child("points"))
        });
    let of_load = points(&document.load.lift_points, root.child("load").child("lift_points"));
    of_load.into_iter().chain(of_spreaders).collect()
}

fn plate(point: &LiftPoint, place: &Place) -> Option<Finding> {
    let plate = point.pin_plate.value()?;
    let radius = plate.outer_radius.value().zip(point.hole_diameter.value());
    let strengths = plate.yield_strength.value().zip(plate.tensile_strength.value());
    let (key, text) = match (radius, strengths) {
        (Some((radius, hole)), _) if radius.si() <= hole.si() / 2.0 => {
            ("outer_radius", format!("the outer radius of {} lies within the hole of {}", radius.text(), hole.text()))
        }
        (_, Some((least, most))) if least.value.si() > most.value.si() => {
            let (least, most) = (least.value.text(), most.value.text());
            ("yield_strength", format!("the yield strength of {least} is above the tensile strength of {most}"))
        }
        _ => return None,
    };
    let text = format!("{text}: one of both is wrong");
    let place = place.child("pin_plate").child(key);
    Some(Finding::new(Code::Consistency, Verdict::CannotConclude, &point.name, place, text))
}

/// Wire rope is of steel, grades are those of steel chain, and cores and finishes those of wire rope: where a statement says
/// otherwise, rules for the one would be asked of the other.
fn made_of(index: usize, sling: &Sling) -> Option<Finding> {
    use Construction::{CableLaidWireRope, Chain, WireRope};
    let steel = matches!(sling.material, Material::Steel | Material::AlloySteel);
    let of_grades = steel && sling.construction == Chain;
    let (key, other) = match sling.construction {
        WireRope | CableLaidWireRope if !steel => ("material", "the wires of a wire rope are of steel"),
        _ if !sling.grade.is_unknown() && !of_grades => ("grade", "a grade is that of a chain of steel"),
        _ if !sling.core.is_unknown() && !steel => ("core", "a core is that of a rope of steel wires"),
        _ if !sling.finish.is_unknown() && !steel => ("finish", "a finish is that of steel wires"),
        _ => return None,
    };
    let place = Place::root().child("slings").child(index).child(key);
    let stated = format!("{} of {}", sling.construction.word(), sling.material.word());
    let text = format!("a {stated} is stated, and {other}: which of both is right must be settled first");
    Some(Finding::new(Code::Consistency, Verdict::CannotConclude, &sling.name, place, text))
}

/// Axial stiffness over breaking load, both of the whole sling, against the range of the material.
fn stiffness(index: usize, sling: &Sling, [least, greatest]: &[Stated; 2]) -> Result<Option<Finding>, Error> {
    let (Some(whole), Some(breaking)) = (whole_stiffness(sling), whole_breaking_load(sling)) else { return Ok(None) };
    let ratio = whole / breaking;
    let said = |limit: Term, how: &str| {
        let place = Place::root().child("slings").child(index).child("stiffness").child("law");
        static SOURCE: Citation = Citation::stated("stiffness and breaking load in the lift document");
        let source = || Source::fixed(&SOURCE);
        let found = Term::new("EA", "axial stiffness of the whole sling", whole, "N", source());
        let load = Term::new("MBL", "breaking load of the whole sling", breaking, "N", source());
        let text = format!(
            "axial stiffness is {ratio:.1} times the breaking load, {how} than the {} times that are plausible for {}: one of \
             both is of a part, of another rope or in another unit",
            limit.value,
            sling.material.word(),
        );
        let source = limit.source.clone();
        let plausible = Chain::start("stiffness at the end of the plausible range", load).times(limit, Acts::OnForce);
        let finding = Finding::new(Code::Consistency, Verdict::CannotConclude, &sling.name, place, text);
        let demand = Some(Chain::start("axial stiffness", found).into());
        Some(Finding { demand, capacity: Some(plausible.into()), ..finding }.after(source))
    };
    if let Some(least) = stated(least)?
        && ratio < least.value
    {
        return Ok(said(least.clone(), "less"));
    }
    if let Some(greatest) = stated(greatest)?
        && ratio > greatest.value
    {
        return Ok(said(greatest.clone(), "more"));
    }
    Ok(None)
}

pub(super) fn stated(term: &Stated) -> Result<Option<&Term>, Error> {
    term.as_ref().map(Option::as_ref).map_err(Clone::clone)
}

/// The limit of the rule set, else of the document of published ratios.
fn limit(question: Question, facts: &Facts, rules: &RuleSet) -> Stated {
    static PUBLISHED: OnceLock<Result<RuleSet, Error>> = OnceLock::new();
    let ask = |rules: &RuleSet| match rules.ask(question, facts) {
        Answer::Speaks(ruled) => Ok(ruled.term().cloned()),
        Answer::Refused(error) => Err(error),
        _ => Ok(None),
    };
    if let Some(term) = ask(rules)? {
        return Ok(Some(term));
    }
    match PUBLISHED.get_or_init(|| RuleSet::built_in(RATIOS)) {
        Ok(published) => ask(published),
        Err(error) => Err(error.clone()),
    }
}

/// EA of the sling in a straight pull, N; none where it has no one figure, or what it is quoted for is not known.
fn whole_stiffness(sling: &Sling) -> Option<f64> {
    let stiffness = sling.stiffness.value()?;
    let StretchLaw::Ea(ea) = &stiffness.law else { return None };
    let parts = sling.parts_side_by_side()?;
    match stiffness.basis.value() {
        Some(Basis::Whole) => Some(ea.si()),
        Some(Basis::Part) => Some(ea.si() * f64::from(parts)),
        None if parts == 1 => Some(ea.si()),
        Some(Basis::AsHung) | None => None,
    }
}

/// Breaking load of the sling in a straight pull, N.
fn whole_breaking_load(sling: &Sling) -> Option<f64> {
    let breaking = sling.strength.breaking_load.value()?.force().si();
    match sling.strength.basis.value()? {
        Portion::Whole => Some(breaking),
        Portion::Part => Some(breaking * f64::from(sling.parts_side_by_side()?)),
    }
}
