//! Two hooks that need not be level: solved with the difference in height of the rule set, and by its tilt and share.

use super::strengths::{Bears, bearing, is_along};
use super::surroundings::in_words;
use super::{Code, Finding, MissingInput, Verdict, strength};
use crate::arrangement::{Anchor, Lift};
use crate::capacity::Motion;
use crate::chain::{Acts, Chain, Term};
use crate::demand::{self, Asked, Asks, AtHeights, Demand, Reach};
use crate::error::{Error, Place};
use crate::rules::{Answer, Facts, Question, RuleSet};
use crate::source::Source;
use crate::text::Text;

/// Findings on two hooks, where the rule set speaks of a difference in height or a tilt of the load under them.
pub(super) fn compare(
    lift: &Lift,
    rules: &RuleSet,
    demand: &Demand,
    findings: &[Finding],
) -> Result<Vec<Finding>, Error> {
    if lift.document().hooks.len() != 2 {
        return Ok(Vec::new());
    }
    let facts = demand::facts_of_two_hooks(lift);
    let mut found = turning(lift, rules)?;
    if let Some(difference) = spoken(lift, rules, Question::HookElevationDifference, &facts, &mut found)? {
        found.extend(solved(lift, demand, &difference, findings)?);
    }
    let before = found.len();
    match tilt(lift, rules, &facts, &mut found)? {
        Some(tilt) => found.extend(by_rule(lift, rules, demand, &tilt, &facts)?),
        None if found.len() == before && rules.has_rules_on(Question::HookShare) => {
            let text = "not calculated: the share of a hook by rule, for which the rule set gives no tilt of the load (question \
                        \"hook tilt\")";
            let name = &lift.document().name;
            found.push(Finding::new(Code::HookHeights, Verdict::NotCovered, name, Place::root().child("hooks"), text));
        }
        None => {}
    }
    Ok(found)
}

/// The term of an answer; what keeps the rule set from speaking becomes a finding, its silence none.
fn spoken(
    lift: &Lift,
    rules: &RuleSet,
    question: Question,
    facts: &Facts,
    findings: &mut Vec<Finding>,
) -> Result<Option<Term>, Error> {
    let name = &lift.document().name;
    let operation = Place::root().child("operation");
    match rules.ask(question, facts) {
        Answer::Speaks(ruled) => return Ok(ruled.term().cloned()),
        Answer::Silent | Answer::DoesNotApply { .. } => {}
        Answer::Refused(error) => return Err(error),
        Answer::Missing { fact, needed_by } => findings.push(lacking(&fact, &needed_by, question, name, &operation)),
        other => {
            let text = format!("the {}: {}", question.name(), in_words(&other));
            findings.push(Finding::new(Code::HookHeights, Verdict::CannotConclude, name, operation, text));
        }
    }
    Ok(None)
}

/// Legs that end at a hook.
fn legs_on(lift: &Lift, hook: usize) -> Vec<usize> {
    lift.legs().filter(|leg| leg.links.stations.contains(&Anchor::Hook(hook))).map(|leg| leg.index).collect()
}

/// What the rule set says of turning about the vertical, hook by hook; its silence is no finding.
fn turning(lift: &Lift, rules: &RuleSet) -> Result<Vec<Finding>, Error> {
    let mut found = Vec::new();
    for (index, hook) in lift.document().hooks.iter().enumerate() {
        let place = Place::root().child("hooks").child(index);
        let said = |verdict, text: String| Finding::new(Code::HookHeights, verdict, &hook.name, place.clone(), text);
        let slings = demand::slings_on(lift, index);
        found.extend(match demand::ask_yaw(lift, rules, index) {
            Answer::Speaks(ruled) => ruled.term().map(|factor| {
                let text = format!(
                    "turning about the vertical, with {slings} slings on the hook: its load and the forces of what hangs from \
                     it are raised by the factor {}",
                    factor.value
                );
                said(Verdict::Pass, text).after(factor.source.clone())
            }),
            Answer::Silent => None,
            Answer::DoesNotApply { why, source } => {
                let text = format!("no factor for turning about the vertical, with {slings} on the hook: {why}");
                Some(said(Verdict::NotCovered, text).after(source))
            }
            Answer::Refused(error) => return Err(error),
            Answer::Missing { fact, needed_by } => Some(lacking(&fact, &needed_by, Question::YawFactor, &hook.name, &place)),
            other => {
                let text = format!("the factor for turning about the vertical: {}", in_words(&other));
                Some(said(Verdict::CannotConclude, text))
            }
        });
    }
    Ok(found)
}

/// A fact of a lift by two hooks that a rule needs.
fn lacking(fact: &str, needed_by: &Source, question: Question, item: &Text, otherwise: &Place) -> Finding {
    let operation = Place::root().child("operation");
    let (add, place) = match fact {
        "vessels" => ("\"vessels\": \"one\" (or \"several\")", operation.child("vessels")),
        "hooks synchronized" => ("\"hooks_synchronized\": …", operation.child("hooks_synchronized")),
        _ => ("it", otherwise.clone()),
    };
    let what = format!("\"{fact}\", on which the {} after {needed_by} rests,", question.name());
    Finding::lacking(Code::HookHeights, item, MissingInput::new(what, add, place))
}

fn gravity(lift: &Lift) -> f64 {
    lift.document().gravity.value().map_or(f64::NAN, |gravity| gravity.si())
}

/// Loads on hooks and legs with the hooks at heights that differ.
fn solved(lift: &Lift, demand: &Demand, difference: &Term, findings: &[Finding]) -> Result<Vec<Finding>, Error> {
    let document = lift.document();
    let at = match AtHeights::of(lift, demand, demand.weight.moving(), difference.value) {
        Ok(at) => at,
        Err(error) => return Ok(vec![Finding::from_error(Code::HookHeights, &document.name, error)?]),
    };
    let mut found = Vec::new();
    for (index, hook) in document.hooks.iter().enumerate() {
        let place = Place::root().child("hooks").child(index);
        found.push(match at.hook(lift, demand, index, gravity(lift), &demand.on_share.on_hook(index)) {
            Ok(asked) => {
                let quantity = ["load on ", &*hook.name, " with the hooks at different heights"].into();
                let asked = Asked { chain: Chain { quantity, ..Chain::clone(&asked.chain) }.into(), ..asked };
                let rated = strength::rate_hook(lift, index, hook);
                strength::held_against(Code::HookHeights, &hook.name, place, asked, rated)?
                    .after(difference.source.clone())
            }
            Err(error) => Finding::from_error(Code::HookHeights, &hook.name, error)?,
        });
    }
    let borne = Borne::of(lift, demand, findings);
    let rest = match borne.iter().any(|one| one.motion == Motion::AtRest) {
        true => match AtHeights::of(lift, demand, demand.weight.at_rest(), difference.value) {
            Ok(rest) => Some(rest),
            Err(error) => return Ok(vec![Finding::from_error(Code::HookHeights, &document.name, error)?]),
        },
        false => None,
    };
    // What bears one force in one state of the load: the least capacity decides, and one finding tells it.
    let mut told: Vec<(Bearer, Motion)> = Vec::new();
    for Borne { bearer, motion, .. } in &borne {
        if told.contains(&(*bearer, *motion)) {
            continue;
        }
        told.push((*bearer, *motion));
        let alike = borne.iter().filter(|other| (other.bearer, other.motion) == (*bearer, *motion));
        let Some(least) = alike.min_by(|one, other| one.capacity.total_cmp(&other.capacity)) else { continue };
        let at = if *motion == Motion::AtRest { rest.as_ref() } else { Some(&at) };
        found.extend(at.and_then(|at| carries(lift, demand, at, least, difference)));
    }
    Ok(found)
}

/// What bears a force of its own: what stands along one leg alone, or what all legs at a station pull together.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Bearer {
    Leg(usize),
    Station(Anchor),
}

/// A capacity that a finding holds against the force of a bearer.
struct Borne<'a> {
    bearer: Bearer,
    motion: Motion,
    capacity: f64,
    item: &'a Text,
}

impl<'a> Borne<'a> {
    /// Everything that bears along the legs and at the stations, in the order of the findings.
    fn of(lift: &Lift, demand: &Demand, findings: &'a [Finding]) -> Vec<Self> {
        let shared: Vec<Anchor> = demand.places();
        let mut borne = Vec::new();
        // Where the load sticks is a load case of its own.
        for finding in findings.iter().filter(|one| bearing(one) == Some(Bears::Gear) && one.code != Code::Snag) {
            let (Some(asked), Some(capacity)) = (&finding.demand, &finding.capacity) else { continue };
            let Some(bearer) = Bearer::of(lift, &shared, finding) else { continue };
            let moves = demand.weight.dynamic.as_ref();
            let moving = moves.is_none_or(|factor| asked.steps.iter().any(|step| *step.term == *factor));
            let motion = if moving { Motion::Moving } else { Motion::AtRest };
            borne.push(Self { bearer, motion, capacity: capacity.value(), item: &finding.item });
        }
        borne
    }
}

impl Bearer {
    /// What bears the force of a finding; none for what bears neither the pull of one leg nor that at a station.
    fn of(lift: &Lift, shared: &[Anchor], finding: &Finding) -> Option<Self> {
        let of_gear = matches!(finding.code, Code::FittingStrength | Code::PinOffset | Code::SideLoad);
        if of_gear && let Some((anchor, ..)) = lift.collectors().find(|(.., fitting)| fitting.name == finding.item) {
            return Some(Self::Station(anchor));
        }
        let stations = || lift.legs().flat_map(|leg| leg.links.stations.iter());
        let pulled = |anchor: &Anchor| {
            let own = lift.point_and_place(*anchor);
            own.is_some_and(|(_, place)| [&place, &place.child("pin_plate")].contains(&&finding.place))
        };
        if let Some(anchor) = stations().find(|anchor| pulled(anchor)).filter(|anchor| shared.contains(anchor)) {
            return Some(Self::Station(*anchor));
        }
        lift.legs().find(|leg| is_along(lift, leg, finding)).map(|leg| Self::Leg(leg.index))
    }
}

/// A finding where what bears least bears less than what the hooks can make of its force; none where it is enough.
fn carries(lift: &Lift, demand: &Demand, at: &AtHeights, least: &Borne<'_>, difference: &Term) -> Option<Finding> {
    let (forces, factors, name, place) = match least.bearer {
        Bearer::Leg(leg) => {
            let view = lift.legs().nth(leg)?;
            (at.leg(leg)?, demand.on_share.on_leg(leg), view.leg.name.clone(), view.place())
        }
        Bearer::Station(anchor) => {
            let place = lift.point_and_place(anchor).map(|(_, place)| place).or_else(|| station(anchor))?;
            (at.place(lift, anchor)?, demand.on_share.on_place(anchor), least.item.clone(), place)
        }
    };
    let times = demand::raised_value(1.0, factors);
    let (attained, bound) = forces;
    let capacity = least.capacity;
    if bound.unwrap_or(f64::INFINITY) * times <= capacity {
        return None;
    }
    let (verdict, why) = if attained * times > capacity {
        (Verdict::Fail, "is attained")
    } else {
        (Verdict::CannotConclude, "is not attained, and no bound shows that it cannot be")
    };
    let text = format!(
        "with the hooks up to {} m apart in height, more than the {:.3} kN that {} may bear{} {why} ({:.3} kN was attained, times {times} by factors on shares)",
        difference.value,
        capacity / 1e3,
        least.item,
        if least.motion == Motion::AtRest { " at rest" } else { "" },
        attained / 1e3
    );
    Some(Finding::new(Code::HookHeights, verdict, &name, place, text).after(difference.source.clone()))
}

/// Where a hook or a joint stands in the document.
fn station(anchor: Anchor) -> Option<Place> {
    match anchor {
        Anchor::Hook(hook) => Some(Place::root().child("hooks").child(hook)),
        Anchor::Joint(joint) => Some(Place::root().child("joints").child(joint)),
        _ => None,
    }
}

/// The tilt to be assumed: that of the rule set or what the difference in height makes, whichever is more, with what
/// synchronized hooks leave of the former.
fn tilt(lift: &Lift, rules: &RuleSet, facts: &Facts, findings: &mut Vec<Finding>) -> Result<Option<Term>, Error> {
    let Some(mut tilt) = spoken(lift, rules, Question::HookTilt, facts, findings)? else { return Ok(None) };
    // What is not known leaves the whole tilt, which is the severer.
    if let Answer::Speaks(ruled) = rules.ask(Question::TiltReduction, facts)
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

fn spacing(lift: &Lift) -> Option<f64> {
    let [one, other] = lift.document().hooks.as_slice() else { return None };
    let (one, other) = (one.position.value()?, other.position.value()?);
    let along = |axis: usize| Some(other.get(axis)?.si() - one.get(axis)?.si());
    let spacing = along(0)?.hypot(along(1)?);
    (spacing > 0.0).then_some(spacing)
}

/// Share of each hook by the rule, on the weight of the load; for one lift point under each hook.
fn by_rule(lift: &Lift, rules: &RuleSet, of: &Demand, tilt: &Term, stated: &Facts) -> Result<Vec<Finding>, Error> {
    let document = lift.document();
    let mut found = Vec::new();
    for (index, hook) in document.hooks.iter().enumerate() {
        let place = Place::root().child("hooks").child(index);
        let facts = match geometry(lift, index, of.tolerances.center, stated) {
            Some(facts) => facts.number("tilt", tilt.value, "rad"),
            None => {
                let text = "not calculated: the share of a hook by rule, which is for one lift point above the center of gravity \
                            under each of two hooks";
                found.push(Finding::new(Code::HookHeights, Verdict::NotCovered, &hook.name, place, text));
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
        let mut tilt = tilt.clone();
        let mut share =
            share.from_input(tilt.name.clone(), format!("{} deg ({})", tilt.value.to_degrees(), tilt.source));
        share.not_taken.append(&mut tilt.not_taken);
        let quantity = ["load on ", &*hook.name, " of a tilted load, by rule"].into();
        let source = share.source.clone();
        let mut chain = Chain { quantity, ..of.weight.chain.clone() }.times(share, Acts::OnForce);
        chain = demand::raised(chain, of.on_share.on_hook(index));
        let quantity = chain.quantity.clone();
        let pull = Asked { chain: chain.into(), reach: Reach::Attained, of_capacity: None };
        found.push(match demand::on_hook(pull, &of.weight, lift, index, &hook.name, gravity(lift)) {
            Ok(asked) => {
                let asked = Asked { chain: Chain { quantity, ..Chain::clone(&asked.chain) }.into(), ..asked };
                let rated = strength::rate_hook(lift, index, hook);
                strength::held_against(Code::HookHeights, &hook.name, place, asked, rated)?.after(source)
            }
            Err(error) => Finding::from_error(Code::HookHeights, &hook.name, error)?,
        });
    }
    Ok(found)
}

/// Distances of the two lift points from the center of gravity, with `first` as the first hook: none where a hook holds other than
/// one lift point, or a point is not above the center of gravity and to its side.
fn geometry(lift: &Lift, first: usize, sides: [f64; 3], stated: &Facts) -> Option<Facts> {
    let document = lift.document();
    let center = document.load.center_of_gravity.position.value()?;
    let at = |point: &crate::arrangement::Point| -> Option<[f64; 3]> {
        let [x, y, z] = point;
        Some([x.si(), y.si(), z.si()])
    };
    let point = |hook: usize| {
        let [leg] = legs_on(lift, hook)[..] else { return None };
        let view = lift.legs().nth(leg)?;
        let point = view.links.ends.iter().find_map(|end| match end {
            Anchor::LiftPoint(_) => lift.point(*end),
            _ => None,
        })?;
        at(&point.position)
    };
    let (one, other, center) = (point(first)?, point(1 - first)?, at(center)?);
    let line = [other[0] - one[0], other[1] - one[1]];
    let length = line[0].hypot(line[1]);
    if length.is_nan() || length <= 0.0 {
        return None;
    }
    let unit = [line[0] / length, line[1] / length];
    let along = |point: [f64; 3]| (point[0] - center[0]) * unit[0] + (point[1] - center[1]) * unit[1];
    let up = |point: [f64; 3]| point[2] - center[2];
    let shift = (sides[0] * unit[0]).abs() + (sides[1] * unit[1]).abs();
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
