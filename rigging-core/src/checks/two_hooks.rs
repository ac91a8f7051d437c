//! Two hooks that need not be level: solved with the difference in height of the rule set, and by its tilt and share.

use super::strengths::{Bears, bearing, is_along};
use super::surroundings::in_words;
use super::{Code, Finding, MissingInput, Verdict, strength};
use crate::arrangement::{Anchor, Lift, OperationKind};
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
    let hooks = lift.document().hooks.len();
    if hooks < 2 {
        return Ok(Vec::new());
    }
    let moves: Vec<Option<Term>> = (0..hooks).map(|hook| moved(lift, rules, demand, hook)).collect();
    let mut found = level(lift, demand, &moves)?;
    let borne = Borne::of(lift, demand, findings);
    found.extend(raised(lift, &borne, &moves));
    if hooks != 2 {
        return Ok(found);
    }
    let facts = demand::facts_of_two_hooks(lift);
    found.extend(turning(lift, rules)?);
    if let Some(difference) = spoken(lift, rules, Question::HookElevationDifference, &facts, &mut found)? {
        found.extend(solved(lift, demand, &difference, &borne, &moves)?);
    }
    let before = found.len();
    match tilt(lift, rules, &facts, &mut found)? {
        Some(tilt) => found.extend(by_rule(lift, rules, demand, &tilt, &facts, &borne, &moves)?),
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

/// How far the dynamic factor that a rule set makes of one hook's own static load is beyond that of the whole lift, which was taken;
/// none where it is not.
fn moved(lift: &Lift, rules: &RuleSet, of: &Demand, hook: usize) -> Option<Term> {
    let taken = of.weight.dynamic.as_ref()?;
    let pull = of.extremes_at_rest().at(Anchor::Hook(hook))?.largest;
    let own = demand::dynamic_factor_of_hook(lift, rules, &of.weight, hook, pull)?;
    (own.value > taken.value).then(|| {
        let name = "dynamic factor of the static load on this hook, over that of the whole lift";
        Term::new("k", name, own.value / taken.value, "", own.source.clone())
            .from_input(own.name.clone(), own.value.to_string())
            .from_input("taken of the whole lift", taken.value.to_string())
    })
}

/// A load on a hook with the dynamic factor of its own static load.
fn with_own_factor(asked: Asked, own: Option<&Term>) -> Asked {
    let Some(own) = own else { return asked };
    let reach = match asked.reach {
        Reach::Bound(attained) => Reach::Bound(attained * own.value),
        other => other,
    };
    let quantity = [&*asked.chain.quantity, ", its own dynamic factor"].into();
    let chain = Chain::clone(&asked.chain).times(own.clone(), Acts::OnForce);
    Asked { chain: Chain { quantity, ..chain }.into(), reach, ..asked }
}

/// Loads on the hooks, level, whose own static load makes a greater dynamic factor than that of the whole lift.
fn level(lift: &Lift, demand: &Demand, moves: &[Option<Term>]) -> Result<Vec<Finding>, Error> {
    let mut found = Vec::new();
    for (index, (hook, own)) in lift.document().hooks.iter().zip(moves).enumerate() {
        let Some(own) = own else { continue };
        let place = Place::root().child("hooks").child(index);
        // What keeps the load from being told is said where it is held against the rating.
        let Ok(asked) = demand.hook(lift, index, &hook.name, gravity(lift)) else { continue };
        let asked = with_own_factor(asked, Some(own));
        let rated = strength::rate_hook(lift, index, hook);
        found.push(
            strength::held_against(Code::HookHeights, &hook.name, place, asked, rated)?.after(own.source.clone()),
        );
    }
    Ok(found)
}

/// Findings where what hangs from a hook bears less than its force raised by the factor of that hook; of what hangs from several hooks
/// the greatest counts. A dynamic factor does not act at rest.
fn raised(lift: &Lift, borne: &[Borne<'_>], factors: &[Option<Term>]) -> Vec<Finding> {
    let hung: Vec<Vec<usize>> = (0..factors.len()).map(|hook| demand::hung_from(lift, hook)).collect();
    let raised = borne.iter().filter(|one| one.motion == Motion::Moving).filter_map(|one| {
        let own = factors.iter().zip(&hung).filter(|(_, legs)| one.bearer.hangs_by(lift, legs));
        let factor = own.filter_map(|(factor, _)| factor.as_ref());
        let factor = factor.max_by(|one, other| one.value.total_cmp(&other.value))?;
        one.beyond(
            lift,
            factor.value,
            &format!("with the factor {:.4} ({})", factor.value, factor.name),
            &factor.source,
        )
    });
    raised.collect()
}

/// Loads on hooks and legs with the hooks at heights that differ.
fn solved(
    lift: &Lift,
    demand: &Demand,
    difference: &Term,
    borne: &[Borne<'_>],
    moves: &[Option<Term>],
) -> Result<Vec<Finding>, Error> {
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
                let asked = with_own_factor(asked, moves.get(index).and_then(Option::as_ref));
                let rated = strength::rate_hook(lift, index, hook);
                strength::held_against(Code::HookHeights, &hook.name, place, asked, rated)?
                    .after(difference.source.clone())
            }
            Err(error) => Finding::from_error(Code::HookHeights, &hook.name, error)?,
        });
    }
    let hung: Vec<Vec<usize>> = (0..moves.len()).map(|hook| demand::hung_from(lift, hook)).collect();
    let rest = match borne.iter().any(|one| one.motion == Motion::AtRest) {
        true => match AtHeights::of(lift, demand, demand.weight.at_rest(), difference.value) {
            Ok(rest) => Some(rest),
            Err(error) => return Ok(vec![Finding::from_error(Code::HookHeights, &document.name, error)?]),
        },
        false => None,
    };
    // What bears one force in one state of the load: the least capacity decides, and one finding tells it.
    let mut told: Vec<(Bearer, Motion)> = Vec::new();
    for Borne { bearer, motion, .. } in borne {
        if told.contains(&(*bearer, *motion)) {
            continue;
        }
        told.push((*bearer, *motion));
        let alike = borne.iter().filter(|other| (other.bearer, other.motion) == (*bearer, *motion));
        let Some(least) = alike.min_by(|one, other| one.capacity.total_cmp(&other.capacity)) else { continue };
        let (at, own) = match motion {
            Motion::AtRest => (rest.as_ref(), 1.0),
            Motion::Moving => {
                let own = moves.iter().zip(&hung).filter(|(_, legs)| bearer.hangs_by(lift, legs));
                let own = own.filter_map(|(own, _)| own.as_ref()).map(|own| own.value);
                (Some(&at), own.fold(1.0, f64::max))
            }
        };
        found.extend(at.and_then(|at| carries(lift, demand, at, least, difference, own)));
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
    /// What is asked of it with the hooks as drawn.
    asked: f64,
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
            let asked = asked.value();
            borne.push(Self { bearer, motion, asked, capacity: capacity.value(), item: &finding.item });
        }
        borne
    }

    /// A finding where it bears what is asked of it, and not that times `factor`.
    fn beyond(&self, lift: &Lift, factor: f64, how: &str, source: &Source) -> Option<Finding> {
        let asked = self.asked * factor;
        if self.asked > self.capacity || asked <= self.capacity {
            return None;
        }
        let (name, place) = match self.bearer {
            Bearer::Leg(leg) => {
                let view = lift.legs().nth(leg)?;
                (view.leg.name.clone(), view.place())
            }
            Bearer::Station(anchor) => {
                (self.item.clone(), lift.point_and_place(anchor).map(|(_, place)| place).or_else(|| station(anchor))?)
            }
        };
        let text = format!(
            "{how}, {:.3} kN on {}{}, more than the {:.3} kN that it may bear",
            asked / 1e3,
            self.item,
            if self.motion == Motion::AtRest { " at rest" } else { "" },
            self.capacity / 1e3
        );
        Some(Finding::new(Code::HookHeights, Verdict::Fail, &name, place, text).after(source.clone()))
    }
}

impl Bearer {
    /// Whether it is one of these legs, or a station of one.
    fn hangs_by(self, lift: &Lift, legs: &[usize]) -> bool {
        match self {
            Self::Leg(leg) => legs.contains(&leg),
            Self::Station(anchor) => {
                lift.legs().any(|leg| legs.contains(&leg.index) && leg.links.stations.contains(&anchor))
            }
        }
    }

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
fn carries(
    lift: &Lift,
    demand: &Demand,
    at: &AtHeights,
    least: &Borne<'_>,
    difference: &Term,
    own: f64,
) -> Option<Finding> {
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
    let times = demand::raised_value(own, factors);
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
fn by_rule(
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
