//! How the load hangs: stability, tilt, direction of the pull on lift points, own weight of the gear.

use super::alike::{Alike, Made};
use super::strengths::{Bears, bearing};
use super::surroundings::in_words;
use super::{Code, Finding, Stance, Verdict};
use crate::arrangement::{Anchor, Lift};
use crate::chain::{Chain, Term};
use crate::demand::{Demand, DesignWeight, Proof};
use crate::equilibrium::State;
use crate::error::{Error, Place};
use crate::gear::Known;
use crate::quantity::{Angle, Entered};
use crate::rules::{Answer, Question, RuleSet};
use crate::source::{SOLVED, Source};
use crate::text::Text;
use std::sync::Arc;

/// Checks the pose over the whole box of tolerances: whether it is stable, how far it tilts and in which directions it is pulled.
/// No rule set has a say in that but by the weight.
pub(super) fn pose(lift: &Lift, demand: &Demand) -> Vec<Finding> {
    let mut findings = Vec::with_capacity(2 * (1 + lift.document().legs.len()));
    findings.extend([stability(lift, demand), tilt(lift, demand)]);
    directions(lift, demand, &mut findings);
    findings
}

/// The flattest angle of each leg against the least angle from horizontal that the rule set gives for its gear.
pub(super) fn leg_angles(
    lift: &Lift,
    rules: &RuleSet,
    slings: &Alike,
    demand: &Demand,
    findings: &mut Vec<Finding>,
) -> Result<(), Error> {
    let limits = slings.each(|facts| match rules.ask(Question::LeastLegAngle, facts) {
        Answer::Speaks(ruled) => {
            Ok(ruled.into_term().map(|limit| Ok(Arc::new(Chain::start("least angle of a leg from horizontal", limit)))))
        }
        Answer::Silent => Ok(None),
        Answer::DoesNotApply { why, source } => Ok(rules.of_item(facts).is_covered().then_some(Err((why, source)))),
        Answer::Refused(error) => Err(Err(error)),
        other => Err(Ok(in_words(&other))),
    });
    for (leg, extremes) in lift.legs().zip(&demand.moving.legs) {
        for (index, _) in leg.slings() {
            let asked = match limits.of(index) {
                Some(Ok(Some(Ok(limit)))) => Arc::clone(limit),
                Some(Ok(Some(Err((why, source))))) => {
                    let text = format!("the rule set gives no least angle of a leg from horizontal: {why}");
                    let finding = Finding::new(Code::LegAngle, Verdict::NotCovered, &leg.leg.name, leg.place(), text);
                    findings.push(finding.after(source.clone()).standing(Some(Stance::DoesNotApply)));
                    continue;
                }
                Some(Ok(None)) | None => continue,
                Some(Err(Err(error))) => return Err(error.clone()),
                // A limit that cannot be read is no limit that is kept.
                Some(Err(Ok(why))) => {
                    let text = format!("the least angle of a leg from horizontal is not settled: {why}");
                    let verdict = Verdict::CannotConclude;
                    findings.push(Finding::new(Code::LegAngle, verdict, &leg.leg.name, leg.place(), text));
                    continue;
                }
            };
            let flattest = std::f64::consts::FRAC_PI_2 - extremes.from_vertical;
            let angle = solved("angle", "flattest angle from horizontal over the vertices", flattest);
            let title = "flattest angle of the leg from horizontal";
            let source = asked.base.source.clone();
            let finding =
                Finding::compared(Code::LegAngle, &leg.leg.name, leg.place(), asked, Chain::start(title, angle));
            findings.push(finding.after(source));
        }
    }
    Ok(())
}

fn stability(lift: &Lift, demand: &Demand) -> Finding {
    let document = lift.document();
    let place = Place::root().child("load");
    let states = demand.moving.states;
    let (verdict, text) = match (&demand.moving.not_stable, &demand.moving.proof) {
        (None, Proof::NotAsked | Proof::Open { not_stable: false, .. }) => {
            let text = format_args!("the balance is stable, nominally and at every vertex ({states} states)");
            (Verdict::Pass, Text::written(text))
        }
        (None, Proof::Bounded { parts, .. }) => (
            Verdict::Pass,
            Text::written(format_args!(
                "the balance is stable at every vertex, and what becomes of it within the tolerances is proven so ({parts} pieces)"
            )),
        ),
        // A vertex is stable and yet something between is not: no verdict is one.
        (None, Proof::Open { why, not_stable: true }) => {
            (Verdict::CannotConclude, Text::written(format_args!("the balance is stable at every vertex, but {why}")))
        }
        (Some((state, vertex)), _) => {
            let meaning = match state {
                State::Neutral => "the balance is neutral: the load turns without resistance",
                State::Unstable => "the balance is unstable: the load turns over at the least disturbance",
                _ => "there is no balance near the attitude as drawn: the load turns over",
            };
            (Verdict::Fail, Text::written(format_args!("{meaning}, at {vertex}")))
        }
    };
    Finding::new(Code::Stability, verdict, &document.load.name, place, text).after(Source::fixed(&SOLVED))
}

fn tilt(lift: &Lift, demand: &Demand) -> Finding {
    let load = &lift.document().load;
    let place = Place::root().child("load").child("allowed_tilt");
    let Known::Value(allowed) = &load.allowed_tilt else {
        let text = format!("no limit is stated; the load tilts up to {:.2} deg", demand.moving.tilt.to_degrees());
        return Finding::new(Code::Tilt, Verdict::NotCovered, &load.name, place, text);
    };
    let limit = Term::new("limit", "allowed tilt", allowed.value.si(), "rad", Source::stated(&allowed.source))
        .from_input("as entered", allowed.value.text());
    let asked = solved("tilt", "largest tilt over the vertices; attained, not a bound", demand.moving.tilt)
        .from_input("attained at", demand.moving.tilt_attained.text());
    let asked = Chain::start("tilt away from the attitude as drawn", asked);
    Finding::compared(Code::Tilt, &load.name, place, asked, Chain::start("the allowed tilt", limit))
}

/// The pull of each leg on the points at its ends, and the resultant of both spans on a point that a leg passes over.
fn directions(lift: &Lift, demand: &Demand, findings: &mut Vec<Finding>) {
    let legs = lift.legs().zip(&demand.moving.legs);
    let ends = legs.flat_map(|(leg, extremes)| leg.links.ends.iter().copied().zip(extremes.from_axis));
    let passed = lift.legs().flat_map(|leg| {
        let between = leg.passages().filter_map(|(index, _)| leg.links.stations.get(index).copied());
        between.map(|anchor| (anchor, demand.moving.at(anchor).and_then(|place| place.from_axis))).collect::<Vec<_>>()
    });
    let mut limits = Made::none();
    findings.extend(ends.chain(passed).filter_map(|(anchor, angle)| direction(lift, anchor, angle, &mut limits)));
}

/// The largest angle of a pull from the axis of a point's rating; none where the station is no such point.
fn direction<'a>(
    lift: &'a Lift,
    anchor: Anchor,
    angle: Option<f64>,
    limits: &mut Made<(&'a Entered<Angle>, &'a Text), Arc<Chain>>,
) -> Option<Finding> {
    let (point, place) = lift.point_and_place(anchor)?;
    let place = place.child("allowed_direction");
    let lacking = |what: String, add: &'static str, place: Place| {
        let missing = super::MissingInput::new(what, add, place);
        Some(Finding::lacking(Code::LiftPointDirection, &point.name, missing))
    };
    let (Known::Value(allowed), Some(angle)) = (&point.allowed_direction, angle) else {
        let what = format!("the direction in which the rating of \"{}\" holds", point.name);
        let add = "\"allowed_direction\": { \"axis\": […, …, …], \"within\": \"… deg\", \"source\": \"…\" }";
        return lacking(what, add, place);
    };
    let Known::Value(source) = &allowed.source else {
        let what = format!("the source of the allowed direction of \"{}\"", point.name);
        return lacking(what, "\"source\": \"…\"", place.child("source"));
    };
    let asked = solved("angle", "largest angle between pull and axis over the vertices", angle);
    let limit = || {
        let limit = Term::new("limit", "half angle of the cone", allowed.within.si(), "rad", Source::stated(source))
            .from_input("as entered", allowed.within.text());
        Arc::new(Chain::start("the allowed angle from its axis", limit))
    };
    let limit = Arc::clone(limits.once((&allowed.within, source), limit));
    Some(Finding::compared(
        Code::LiftPointDirection,
        &point.name,
        place,
        Chain::start(["angle of the pull on ", &*point.name], asked),
        limit,
    ))
}

fn solved(symbol: &'static str, name: &'static str, value: f64) -> Term {
    Term::new(symbol, name, value, "rad", Source::fixed(&SOLVED))
}

/// The leg tensions leave the gear's own weight out. Where adding all of it to one leg would change a verdict, that
/// verdict is not one.
pub(super) fn own_weight(lift: &Lift, of: &DesignWeight, findings: &[Finding]) -> Result<Finding, Error> {
    let name = &lift.document().name;
    let mass = match of.gear_mass.clone() {
        Ok(mass) => mass,
        Err(error) => return Finding::from_error(Code::OwnWeight, name, error),
    };
    let dynamic = of.dynamic.as_ref().map_or(1.0, |term| term.value);
    let gravity = lift.document().gravity.value().map_or(f64::NAN, |gravity| gravity.si());
    let weight = mass * gravity * dynamic;
    let tipped = findings.iter().find(|finding| {
        let slack = match (&finding.demand, &finding.capacity) {
            (Some(demand), Some(capacity)) => capacity.value() - demand.value(),
            _ => return false,
        };
        bearing(finding) == Some(Bears::Gear)
            && finding.verdict == Verdict::Pass
            && slack.partial_cmp(&weight).is_none_or(std::cmp::Ordering::is_lt)
    });
    let kilonewtons = weight / 1e3;
    let place = Place::root().child("slings");
    Ok(match tipped {
        None => {
            let text = Text::written(format_args!(
                "slings and fittings weigh {kilonewtons:.2} kN together; the leg tensions leave that out, and all of it on any one leg would change no verdict"
            ));
            Finding::new(Code::OwnWeight, Verdict::Pass, name, place, text)
        }
        Some(finding) => {
            let text = format!(
                "slings and fittings weigh {kilonewtons:.2} kN together; the leg tensions leave that out, and it could take {} over its capacity",
                finding.item
            );
            Finding::new(Code::OwnWeight, Verdict::CannotConclude, name, place, text)
        }
    })
}
