//! Ratings off their line: a shackle that is pulled along its pin, a lift point that is pulled off its axis.

use super::alike::{Alike, Made};
use super::strength::held_against;
use super::surroundings::in_words;
use super::{Code, Finding, MissingInput, Verdict};
use crate::arrangement::{Anchor, Item, Lift};
use crate::capacity::{self, Capacity, Motion};
use crate::chain::Term;
use crate::demand::{Asked, Asks, Demand, facts_of};
use crate::error::{Error, Place};
use crate::gear::{Fitting, FittingKind, IN_LINE};
use crate::rules::{Answer, Facts, Question, RuleSet};

/// Checks the ends of every leg. Without a balance there are no directions, and nothing is said.
pub(super) fn compare(
    lift: &Lift,
    rules: &RuleSet,
    fittings: &Alike,
    asks: &dyn Asks,
    demand: Option<&Demand>,
) -> Result<Vec<Finding>, Error> {
    let Some(demand) = demand else { return Ok(Vec::new()) };
    let mut needing = Made::none();
    let mut findings = Vec::new();
    let mut needs = |index: usize, fitting: &Fitting| {
        let key = (fittings.group(index), fitting.side_load.is_unknown());
        let needs = || !fittings.facts(index).is_ok_and(|facts| !needs_angle(fitting, facts, rules));
        *needing.once(key, needs)
    };
    let mut unasked: Vec<[&str; 2]> = Vec::new();
    let shared = asks.places();
    for (leg, extremes) in lift.legs().zip(&demand.moving.legs) {
        let ends = leg.links.ends.iter().copied().zip(extremes.from_axis).zip(extremes.out_of_plane);
        for (end, ((anchor, off_axis), out_of_plane)) in ends.enumerate() {
            if !shared.contains(&anchor) {
                let asked = || asks.leg(leg.index, &leg.leg.name, false).map(Some);
                findings.extend(point(lift, anchor, off_axis, asked)?);
            }
            let item = if end == 0 { leg.links.items.first() } else { leg.links.items.last() };
            let Some(Item::Fitting(index)) = item else { continue };
            let asked = |at_rest| asks.leg(leg.index, &leg.leg.name, at_rest).map(Some);
            let pinned = Pinned { index: *index, anchor, out_of_plane };
            let needs = |fitting: &Fitting| needs(*index, fitting);
            let found = shackle(lift, &pinned, needs, asks.weight().dynamic.as_ref(), asked, rules)?;
            if found.is_empty()
                && out_of_plane.is_none()
                && let (Some(fitting), Some(point)) = (lift.document().fittings.get(*index), lift.point(anchor))
                && matches!(fitting.kind, FittingKind::BowShackle | FittingKind::DeeShackle)
            {
                unasked.push([&fitting.name, &point.name]);
            }
            findings.extend(found);
        }
    }
    findings.extend(untold(lift, &unasked));
    // A shackle that collects legs turns about its pin into their resultant.
    for (number, ((anchor, index, fitting), seen)) in lift.collectors().zip(&demand.moving.collectors).enumerate() {
        if !lift.legs().any(|leg| leg.links.stations.contains(&anchor)) {
            continue;
        }
        let asked = |at_rest| Ok(asks.collector(number, &fitting.name, at_rest));
        let pinned = Pinned { index, anchor, out_of_plane: seen.out_of_plane };
        let needs = |fitting: &Fitting| needs(index, fitting);
        findings.extend(shackle(lift, &pinned, needs, asks.weight().dynamic.as_ref(), asked, rules)?);
    }
    // Where legs meet, the resultant counts, at the angle of the leg that is farthest off the axis; of what passes over the point
    // both sides pull, at the angle of the resultant.
    for anchor in shared {
        let Some((at, _)) = lift.point_and_place(anchor) else { continue };
        let angles = lift.legs().zip(&demand.moving.legs).flat_map(|(leg, extremes)| {
            let ends = leg.links.ends.clone().into_iter().zip(extremes.from_axis);
            ends.filter(|(end, _)| *end == anchor).filter_map(|(_, angle)| angle).collect::<Vec<_>>()
        });
        let over = demand.moving.at(anchor).and_then(|place| place.from_axis);
        let widest = angles
            .chain(over)
            .fold(None, |widest: Option<f64>, angle| Some(widest.map_or(angle, |one| one.max(angle))));
        findings.extend(point(lift, anchor, widest, || Ok(asks.place(anchor, &at.name)))?);
    }
    Ok(findings)
}

/// A lift point whose maker leaves less of its rating off its axis. What is asked of it is made out only for such a one.
fn point(
    lift: &Lift,
    anchor: Anchor,
    angle: Option<f64>,
    asked: impl FnOnce() -> Result<Option<Asked>, Error>,
) -> Result<Option<Finding>, Error> {
    // Most makers state no shares, and a place is made only for those that do.
    let stated = lift.point(anchor).and_then(|point| point.allowed_direction.value()?.shares.value());
    let (Some(shares), Some(angle)) = (stated, angle) else { return Ok(None) };
    let Some((point, place)) = lift.point_and_place(anchor) else { return Ok(None) };
    let Some(asked) = asked()? else { return Ok(None) };
    let at = place.child("allowed_direction").child("shares");
    let rated = match capacity::rate_marked(&point.name, &point.rating, &place) {
        Ok(Some(rated)) => capacity::share_off_line(shares, angle, &at).map(|share| {
            let rule = Some(share.source.clone());
            Some(Capacity { rule, ..rated.times(share) })
        }),
        // That there is no rating is said with its strength.
        Ok(None) => return Ok(None),
        Err(error) => Err(error),
    };
    held_against(Code::SideLoad, &point.name, place, asked, rated).map(Some)
}

/// Shackles, with their points, whose pull may be out of their planes without anybody asking.
fn untold(lift: &Lift, shackles: &[[&str; 2]]) -> Option<Finding> {
    if shackles.is_empty() {
        return None;
    }
    let mut names: [Vec<&str>; 2] = [Vec::new(), Vec::new()];
    for shackle in shackles {
        for (names, name) in names.iter_mut().zip(shackle) {
            if !names.contains(name) {
                names.push(name);
            }
        }
    }
    let [fittings, points] = names.map(|names| names.join(", "));
    let text = format!(
        "not considered: how far {fittings} are pulled sideways, along their pins; ratings hold in their planes. State the direction \
         of the hole (\"hole_axis\") of {points}"
    );
    let place = Place::root().child("load").child("lift_points");
    Some(Finding::new(Code::NotConsidered, Verdict::NotCovered, &lift.document().name, place, text))
}

/// A fitting at a point, and how far what pulls it leaves the plane across the axis of the hole; none where the axis is not known.
struct Pinned {
    index: usize,
    anchor: Anchor,
    out_of_plane: Option<f64>,
}

/// A shackle whose pin lies in the hole of a point; `needs_angle` says whether anything depends on an angle that is not known.
fn shackle(
    lift: &Lift,
    pinned: &Pinned,
    needs_angle: impl FnOnce(&Fitting) -> bool,
    dynamic: Option<&Term>,
    asked: impl Fn(bool) -> Result<Option<Asked>, Error>,
    rules: &RuleSet,
) -> Result<Vec<Finding>, Error> {
    let Pinned { index, anchor, out_of_plane } = *pinned;
    let (Some(fitting), Some(_)) = (lift.document().fittings.get(index), lift.point(anchor)) else {
        return Ok(Vec::new());
    };
    if !matches!(fitting.kind, FittingKind::BowShackle | FittingKind::DeeShackle) {
        return Ok(Vec::new());
    }
    let place = Place::root().child("fittings").child(index);
    let Some(angle) = out_of_plane else {
        let at = needs_angle(fitting).then(|| lift.point_and_place(anchor)).flatten();
        return Ok(at.map(|(_, at)| lacking(fitting, &at)).into_iter().collect());
    };
    // The balance of a pull in its plane ends a rounding beside it.
    let angle = if angle <= IN_LINE { 0.0 } else { angle };
    let said = |verdict, text: String| Finding::new(Code::SideLoad, verdict, &fitting.name, place.clone(), text);
    let degrees = angle.to_degrees();
    let share = match left(lift, fitting, angle, rules, &place)? {
        Left::Whole(source) => {
            let text = format!("pulled up to {degrees:.2} deg out of its plane, which still counts as in line");
            return Ok(vec![said(Verdict::Pass, text).after(source)]);
        }
        Left::NotTold => {
            let text = format!(
                "pulled up to {degrees:.2} deg out of its plane; neither the rule set nor its maker says what that leaves of its \
                 rating"
            );
            let verdict = if angle == 0.0 { Verdict::NotCovered } else { Verdict::CannotConclude };
            return Ok(vec![said(verdict, text)]);
        }
        Left::Open(why) => {
            let text = format!("what is left of its rating at {degrees:.2} deg out of its plane is not settled: {why}");
            return Ok(vec![said(Verdict::CannotConclude, text)]);
        }
        Left::Share(share) => share,
    };
    let limits = match capacity::rate_fitting(lift, fitting, index, dynamic, rules) {
        Ok(limits) => limits,
        Err(error) => return Ok(vec![Finding::from_error(Code::SideLoad, &fitting.name, error)?]),
    };
    let mut findings = Vec::with_capacity(limits.len());
    for (motion, limit) in limits {
        let Some(asked) = asked(motion == Motion::AtRest)? else { continue };
        let rule = Some(share.source.clone());
        let rated = Capacity { rule, ..limit.times(share.clone()) };
        findings.push(held_against(Code::SideLoad, &fitting.name, place.clone(), asked, Ok(Some(rated)))?);
    }
    Ok(findings)
}

/// What is left of a rating out of the plane.
enum Left {
    /// All of it, after this source.
    Whole(crate::source::Source),
    Share(Term),
    /// Neither rule set nor maker says anything.
    NotTold,
    /// Something keeps the rule set from speaking.
    Open(String),
}

/// The maker's word goes before a rule for all makers.
fn left(lift: &Lift, fitting: &Fitting, angle: f64, rules: &RuleSet, place: &Place) -> Result<Left, Error> {
    if let Some(shares) = fitting.side_load.value() {
        return Ok(match capacity::share_off_line(shares, angle, &place.child("side_load")) {
            Ok(share) => Left::Share(share),
            Err(error) => Left::Open(error.to_string()),
        });
    }
    let facts = facts_of(lift).of_fitting(fitting).number("side load angle", angle, "rad");
    match rules.ask(Question::ShackleLineAngle, &facts) {
        Answer::Speaks(ruled) => {
            if let Some(limit) = ruled.term().filter(|limit| angle <= limit.value) {
                return Ok(Left::Whole(limit.source.clone()));
            }
        }
        Answer::Refused(error) => return Err(error),
        _ => {}
    }
    Ok(match rules.ask(Question::SideLoadFactor, &facts) {
        Answer::Speaks(ruled) => ruled.term().map_or(Left::NotTold, |term| Left::Share(term.clone())),
        Answer::Silent | Answer::DoesNotApply { .. } => Left::NotTold,
        Answer::Refused(error) => return Err(error),
        other => Left::Open(in_words(&other)),
    })
}

/// Whether anything depends on the angle that is not known.
fn needs_angle(fitting: &Fitting, facts: &Facts, rules: &RuleSet) -> bool {
    let asked = |question| {
        rules.has_rules_on(question)
            && !matches!(
                rules.ask(question, &facts.clone().unknown("side load angle")),
                Answer::Silent | Answer::DoesNotApply { .. }
            )
    };
    !fitting.side_load.is_unknown() || asked(Question::SideLoadFactor) || asked(Question::ShackleLineAngle)
}

fn lacking(fitting: &Fitting, point: &Place) -> Finding {
    let what = format!(
        "the direction of the hole that the pin of \"{}\" lies in, which decides how far it is pulled sideways,",
        fitting.name
    );
    let add = "\"hole_axis\": […, …, …]".to_owned();
    Finding::lacking(Code::SideLoad, &fitting.name, MissingInput::new(what, add, point.child("hole_axis")))
}
