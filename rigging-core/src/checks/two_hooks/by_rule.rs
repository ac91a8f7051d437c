//! The tilt of the load by rule, and the share of each hook that follows.

use super::super::surroundings::in_words;
use super::super::{Code, Finding, Verdict, strength};
use super::borne::Borne;
use super::own_factor::with_own_factor;
use super::{gravity, lacking, spoken};
use crate::arrangement::{Anchor, Lift, OperationKind};
use crate::capacity::Motion;
use crate::chain::{Acts, Chain, Term};
use crate::demand::{self, Asked, Demand, Reach};
use crate::error::{Error, Place};
use crate::rules::{Answer, Facts, Question, RuleSet};
use crate::source::Source;
use crate::text::Text;

/// The tilt to be assumed: that of the rule set or what the difference in height makes, whichever is more, with what
/// synchronized hooks leave of the former.
pub(super) fn tilt(
    lift: &Lift,
    rules: &RuleSet,
    facts: &Facts,
    findings: &mut Vec<Finding>,
) -> Result<Option<Term>, Error> {
    let Some(mut tilt) = spoken(lift, rules, Question::HookTilt, facts, findings)? else { return Ok(None) };
    // What is not known leaves the whole tilt, which is the severer.
    if !of_several_cranes(lift)
        && let Answer::Speaks(ruled) = rules.ask(Question::TiltReduction, facts)
        && let Some(part) = ruled.term()
    {
        tilt.value *= part.value;
        tilt = tilt.from_input(part.name.clone(), format!("{} ({})", part.value, part.source));
    }
    let Some(spacing) = spacing(lift) else { return Ok(Some(tilt)) };
    if let Answer::Speaks(ruled) = rules.ask(Question::HookElevationDifference, facts)
        && let Some(difference) = ruled.term()
        && let Some(made) = spoken(
            lift,
            rules,
            Question::TiltFromElevation,
            &facts.clone().number("hook elevation difference", difference.value, "m").number(
                "hook spacing",
                spacing,
                "m",
            ),
            findings,
        )?
    {
        tilt = match made.value > tilt.value {
            true => made.clone().instead_of(tilt.name, tilt.value, tilt.source),
            false => tilt.instead_of(made.name.clone(), made.value, made.source.clone()),
        };
    }
    Ok(Some(tilt))
}

/// Whether the hooks are of several cranes, of which no one drive keeps both level.
fn of_several_cranes(lift: &Lift) -> bool {
    let document = lift.document();
    let cranes: Vec<&Text> = document.hooks.iter().filter_map(|hook| hook.crane.value()).collect();
    document.operation.kind.value() == Some(&OperationKind::MultiCraneLift)
        || cranes.iter().zip(cranes.iter().skip(1)).any(|(one, other)| one != other)
}

fn spacing(lift: &Lift) -> Option<f64> {
    let [one, other] = lift.document().hooks.as_slice() else { return None };
    let (one, other) = (one.position.value()?, other.position.value()?);
    let along = |axis: usize| Some(other.get(axis)?.si() - one.get(axis)?.si());
    let spacing = along(0)?.hypot(along(1)?);
    (spacing > 0.0).then_some(spacing)
}

/// Share of each hook by the rule, on the weight of the load; for lift points at one place along the load under each hook. What hangs
/// from a hook is raised as its load is.
pub(super) fn by_rule(
    lift: &Lift,
    rules: &RuleSet,
    of: &Demand,
    tilt: &Term,
    stated: &Facts,
    borne: &[Borne<'_>],
    moves: &[Option<Term>],
) -> Result<Vec<Finding>, Error> {
    let document = lift.document();
    let mut found = Vec::new();
    let mut beyond: Vec<(f64, Source)> = Vec::new();
    for (index, hook) in document.hooks.iter().enumerate() {
        let place = Place::root().child("hooks").child(index);
        let facts = match geometry(lift, index, of.tolerances.center, stated) {
            Some(facts) => facts.number("tilt", tilt.value, "rad"),
            None => {
                let text = format!(
                    "not calculated: what a tilt of {:.2} deg puts on the hook: the share by rule is for lift points above the \
                     center of gravity, those of each hook at one height and one distance along the load",
                    tilt.value.to_degrees()
                );
                let finding = Finding::new(Code::HookHeights, Verdict::CannotConclude, &hook.name, place, text);
                found.push(finding.after(tilt.source.clone()));
                continue;
            }
        };
        let question = Question::HookShare;
        let said = |verdict, text: String| Finding::new(Code::HookHeights, verdict, &hook.name, place.clone(), text);
        let share = match rules.ask(question, &facts) {
            Answer::Speaks(ruled) => ruled.into_term(),
            Answer::Refused(error) => return Err(error),
            Answer::Missing { fact, needed_by } => {
                found.push(lacking(&fact, &needed_by, question, &hook.name, &place));
                None
            }
            answer @ (Answer::Silent | Answer::DoesNotApply { .. }) => {
                let why = match answer {
                    Answer::Silent => {
                        "the rule set does not say how a tilted load is shared (question \"hook share\")".to_owned()
                    }
                    other => in_words(&other),
                };
                let text = format!(
                    "not calculated: what a tilt of {:.2} deg puts on the hook: {why}",
                    tilt.value.to_degrees()
                );
                found.push(said(Verdict::NotCovered, text).after(tilt.source.clone()));
                None
            }
            other => {
                let text = format!("the {}: {}", question.name(), in_words(&other));
                found.push(said(Verdict::CannotConclude, text));
                None
            }
        };
        let Some(share) = share else { continue };
        let tilt_of = tilt;
        let mut tilt = tilt.clone();
        let mut share =
            share.from_input(tilt.name.clone(), format!("{} deg ({})", tilt.value.to_degrees(), tilt.source));
        share.not_taken.append(&mut tilt.not_taken);
        let quantity = ["load on ", &*hook.name, " of a tilted load, by rule"].into();
        let source = share.source.clone();
        let mut chain = Chain { quantity, ..of.weight.chain.clone() }.times(share, Acts::OnForce);
        chain = demand::raised(chain, of.on_share.on_hook(index));
        if let Some(pull) = of.moving.at(Anchor::Hook(index)) {
            let solved = demand::raised_value(pull.bound.unwrap_or(pull.largest), of.on_share.on_hook(index));
            beyond.push((chain.value() / solved, source.clone()));
        }
        let quantity = chain.quantity.clone();
        let pull = Asked { chain: chain.into(), reach: Reach::Attained, of_capacity: None };
        found.push(match demand::on_hook(pull, &of.weight, lift, index, &hook.name, gravity(lift)) {
            Ok(asked) => {
                let asked = Asked { chain: Chain { quantity, ..Chain::clone(&asked.chain) }.into(), ..asked };
                let asked = with_own_factor(asked, moves.get(index).and_then(Option::as_ref));
                let rated = strength::rate_hook(lift, index, hook);
                strength::held_against(Code::HookHeights, &hook.name, place, asked, rated)?.after(source)
            }
            Err(error) => Finding::from_error(Code::HookHeights, &hook.name, error)?,
        });
        let Some((times, source)) = beyond.pop() else { continue };
        let legs = demand::hung_from(lift, index);
        let own = moves.get(index).and_then(Option::as_ref).map_or(1.0, |own| own.value);
        for one in borne.iter().filter(|one| one.bearer.hangs_by(lift, &legs)) {
            let times = if one.motion == Motion::Moving { times * own } else { times };
            let how = format!("of a load tilted by {:.2} deg, by rule", tilt_of.value.to_degrees());
            found.extend(one.beyond(lift, times, &how, &source));
        }
    }
    Ok(found)
}

/// Distances of the lift points from the center of gravity, with `first` as the first hook: none where a hook holds other than lift
/// points of one height and one distance along the load, or these are not above the center of gravity and to its side.
fn geometry(lift: &Lift, first: usize, sides: [f64; 3], stated: &Facts) -> Option<Facts> {
    /// Points drawn closer to one line than this, in m, are on it.
    const ON_LINE: f64 = 1e-3;
    let document = lift.document();
    let center = document.load.center_of_gravity.position.value()?;
    let at = |point: &crate::arrangement::Point| -> Option<[f64; 3]> {
        let [x, y, z] = point;
        Some([x.si(), y.si(), z.si()])
    };
    let points = |hook: usize| -> Vec<[f64; 3]> {
        let hung = demand::hung_from(lift, hook);
        let ends = lift.legs().filter(|leg| hung.contains(&leg.index)).flat_map(|leg| leg.links.stations.iter());
        let mut anchors: Vec<Anchor> = Vec::new();
        for end in ends.filter(|end| matches!(end, Anchor::LiftPoint(_))) {
            if !anchors.contains(end) {
                anchors.push(*end);
            }
        }
        anchors.iter().filter_map(|end| at(&lift.point(*end)?.position)).collect()
    };
    let (firsts, others) = (points(first), points(1 - first));
    let middle = |points: &[[f64; 3]]| {
        let sum = points.iter().fold([0.0; 3], |[x, y, z], [a, b, c]| [x + a, y + b, z + c]);
        (!points.is_empty()).then(|| sum.map(|sum| sum / points.len() as f64))
    };
    let (one, other, center) = (middle(&firsts)?, middle(&others)?, at(center)?);
    let line = [other[0] - one[0], other[1] - one[1]];
    let length = line[0].hypot(line[1]);
    if length.is_nan() || length <= 0.0 {
        return None;
    }
    let unit = [line[0] / length, line[1] / length];
    let along = |point: [f64; 3]| (point[0] - center[0]) * unit[0] + (point[1] - center[1]) * unit[1];
    let up = |point: [f64; 3]| point[2] - center[2];
    let shift = (sides[0] * unit[0]).abs() + (sides[1] * unit[1]).abs();
    let apart = |one: f64, other: f64| (one - other).abs() > ON_LINE;
    let scattered = |points: &[[f64; 3]], middle| {
        points.iter().any(|at| apart(along(*at), along(middle)) || apart(up(*at), up(middle)))
    };
    if scattered(&firsts, one) || scattered(&others, other) {
        return None;
    }
    let inside = along(one) <= 0.0 && along(other) >= 0.0 && up(one) >= 0.0 && up(other) >= 0.0;
    inside.then(|| {
        let stated = stated.clone();
        stated
            .number("hook spacing", length, "m")
            .number("distance up to first lift point", up(one), "m")
            .number("distance up to second lift point", up(other), "m")
            .number("distance along to second lift point", along(other), "m")
            .number("center of gravity shift along", shift, "m")
            .number("center of gravity shift up", sides[2], "m")
    })
}
