//! A set of legs as a whole: where the rule set lets a set bear so much, or lets so many of its legs count, what the set bears
//! is held against that beside the strength of each leg.

use super::alike::Alike;
use super::ratings::{Rated, hanging, nominal_angle};
use super::strength::held_against;
use super::{Code, Finding, Verdict, unlike_legs};
use crate::arrangement::{Anchor, Hitch, LegView, Lift, SetOfLegs};
use crate::capacity::{self, Allowed, Set, Stated};
use crate::contact::Bend;
use crate::demand::{Asked, Demand, Reach};
use crate::error::{Error, Place};
use crate::gear::Sling;
use crate::rules::{Question, RuleSet};
use crate::sharing::LegSet;
use crate::system::Masses;
use crate::text::Text;

/// The most legs that documents speak of as a set.
pub(super) const MOST_LEGS: usize = 4;

/// For every set of legs that hangs from one place one finding for what it may bear and one for the legs that count, each by
/// the sling that bears least; none where the rule set speaks of neither, or every leg runs. What a rule set says of sets of
/// two to four legs alike is not concluded upon of others.
///
/// `bends` are those of every sling, and `rated` their ratings as they hang ([`super::ratings::of`]).
pub(super) fn compare(
    lift: &Lift,
    rules: &RuleSet,
    slings: &Alike,
    demand: &Demand,
    bends: &[Vec<Bend>],
    rated: &[Rated],
) -> Result<Vec<Finding>, Error> {
    let questions = [Question::LegFactor, Question::RatedValue, Question::LegsCounted];
    if !questions.into_iter().any(|question| rules.has_rules_on(question)) {
        return Ok(Vec::new());
    }
    let mut all = bends.iter().zip(rated);
    let mut hung = Vec::with_capacity(rated.len());
    for leg in lift.legs() {
        for ((index, sling), (bends, rated)) in leg.slings().zip(all.by_ref()) {
            let stated = Stated { sling, index, facts: slings.facts(index)? };
            hung.push(Hung { leg, stated, group: slings.group(index), bends, rated });
        }
    }
    let mut found = Vec::new();
    for of in lift.sets_of_legs() {
        let legs: Vec<Vec<LegView<'_>>> = of.legs.iter().map(|leg| views(lift, leg)).collect();
        if legs.iter().flatten().all(|leg| leg.links.runs()) {
            continue;
        }
        let own: Vec<&Hung<'_>> =
            hung.iter().filter(|hung| of.legs.iter().flatten().any(|leg| *leg == hung.leg.index)).collect();
        let with = With { lift, rules, demand, set: &of, name: name(lift, &of, &legs) };
        with.findings(&legs, &own, &mut found)?;
    }
    Ok(found)
}

fn views<'a>(lift: &'a Lift, legs: &[usize]) -> Vec<LegView<'a>> {
    legs.iter().filter_map(|leg| lift.legs().nth(*leg)).collect()
}

/// What a set is called: a set on the only hook is that of the lift.
fn name(lift: &Lift, set: &SetOfLegs, legs: &[Vec<LegView<'_>>]) -> Text {
    let of_lift = || lift.document().name.clone();
    if matches!(set.at, Anchor::Hook(_)) && lift.document().hooks.len() == 1 {
        return of_lift();
    }
    let station = |leg: &LegView<'_>| {
        let at = leg.links.stations.iter().position(|station| *station == set.at)?;
        Some(leg.station_name(at))
    };
    legs.iter().flatten().find_map(station).unwrap_or_else(of_lift)
}

/// A sling as it hangs.
pub(super) struct Hung<'a> {
    pub(super) leg: LegView<'a>,
    pub(super) stated: Stated<'a>,
    group: Option<usize>,
    bends: &'a [Bend],
    rated: &'a Rated,
}

/// A set of legs, and what it is asked about with.
pub(super) struct With<'a> {
    lift: &'a Lift,
    rules: &'a RuleSet,
    demand: &'a Demand,
    set: &'a SetOfLegs,
    pub(super) name: Text,
}

/// What a rule set says of a set: what it may bear, and of the legs that count.
pub(super) type Said = [Result<Option<Allowed>, Error>; 2];

impl With<'_> {
    fn findings(&self, legs: &[Vec<LegView<'_>>], own: &[&Hung<'_>], found: &mut Vec<Finding>) -> Result<(), Error> {
        let unlike = unlike_legs::why(legs);
        if let Some(unlike) = &unlike
            && !unlike.calculated
        {
            found.extend(unlike_legs::refused(self, unlike, own));
            return Ok(());
        }
        let set = self.hangs(legs);
        let asked = self.demand.on_set(self.set, &self.name);
        let least = self.least(own, &set, &asked)?;
        let failed = least.iter().any(|finding| finding.verdict == Verdict::Fail);
        match unlike {
            Some(unlike) if !failed => found.extend(unlike_legs::refused(self, &unlike, own)),
            _ => found.extend(least),
        }
        Ok(())
    }

    /// The findings by the sling that bears least.
    fn least(&self, own: &[&Hung<'_>], set: &Set, asked: &Asked) -> Result<Vec<Finding>, Error> {
        let mut least: [Option<Finding>; 2] = [None, None];
        let mut seen: Vec<Seen<'_>> = Vec::new();
        for hung in own {
            let Stated { sling, .. } = hung.stated;
            let now = Seen { sling, group: hung.group, hitch: &hung.leg.leg.hitch, rated: hung.rated };
            if !self.rules.looks_at_angle(Question::RatingBasis) && seen.iter().any(|other| other.says_what(&now)) {
                continue;
            }
            seen.push(now);
            for (kept, allowed) in least.iter_mut().zip(self.says(hung, set, asked)) {
                let found = self.finding(asked, allowed)?;
                if let Some(found) = found
                    && kept.as_ref().is_none_or(|kept| severer(&found, kept))
                {
                    *kept = Some(found);
                }
            }
        }
        Ok(least.into_iter().flatten().collect())
    }

    /// What the rule set says of such a set with this sling in each leg.
    fn says(&self, hung: &Hung<'_>, set: &Set, asked: &Asked) -> Said {
        let place = hung.leg.place();
        let hangs = hanging(self.lift, &hung.leg, &place, hung.bends, Some(self.demand));
        capacity::allow(hung.stated, &hangs, hung.rated, set, &asked.chain, self.rules)
    }

    /// What it says of sets of two to four legs with this sling, a figure before a refusal; none where it is silent of them all.
    pub(super) fn says_of_any(&self, hung: &Hung<'_>) -> Option<Result<Allowed, Error>> {
        let asked = self.demand.on_set(self.set, &self.name);
        let hangs = self.hangs(&[vec![hung.leg]]);
        let said = (2..=MOST_LEGS).rev().flat_map(|legs| self.says(hung, &Set { legs, ..hangs }, &asked));
        said.filter_map(Result::transpose).min_by_key(Result::is_err)
    }

    /// The legs as a set, at the flattest angle over the vertices.
    fn hangs(&self, legs: &[Vec<LegView<'_>>]) -> Set {
        let (lift, demand) = (self.lift, self.demand);
        let indices = || legs.iter().flatten().map(|leg| leg.index);
        let extremes = indices().filter_map(|leg| demand.moving.legs.get(leg));
        let flattest = extremes.map(|leg| leg.from_vertical).fold(0.0, f64::max);
        // The steepest leg is taken as drawn, or as it hangs where more than one load and one hook are drawn: only conditions of
        // symmetry ask for it.
        let drawn = || LegSet::of(lift, Masses::of_load(demand.weight.moving().load))?.from_vertical();
        let nominal = || indices().map(|leg| nominal_angle(lift, leg, &demand.nominal)).collect::<Option<Vec<f64>>>();
        let angles = || match drawn() {
            Ok(angles) => Some(angles),
            Err(_) => nominal(),
        };
        let steepest = self.rules.looks_at_steepest_leg().then(angles).flatten();
        let steepest = steepest.map(|angles| angles.into_iter().fold(flattest, f64::min));
        Set { legs: legs.len(), flattest, steepest }
    }

    fn finding(&self, asked: &Asked, allowed: Result<Option<Allowed>, Error>) -> Result<Option<Finding>, Error> {
        Ok(match allowed {
            Ok(None) => None,
            Ok(Some(Allowed { asked: counted, capacity })) => {
                let asked = counted.map_or_else(|| asked.clone(), |counted| of_counted(asked, counted));
                Some(held_against(Code::SetOfLegs, &self.name, place(), asked, Ok(Some(capacity)))?)
            }
            Err(error) => Some(Finding::from_error(Code::SetOfLegs, &self.name, error)?),
        })
    }
}

/// The force of one leg that counts, reaching as far as what the set bears.
fn of_counted(asked: &Asked, counted: crate::chain::Chain) -> Asked {
    let reach = match &asked.reach {
        Reach::Bound(attained) => Reach::Bound(attained * counted.value() / asked.chain.value()),
        other => other.clone(),
    };
    Asked { chain: counted.into(), reach, of_capacity: asked.of_capacity.clone() }
}

/// Where findings on sets stand: a set is no item of the document.
pub(super) fn place() -> Place {
    Place::root().child("legs")
}

/// A sling of which it is known what the set may bear by it.
struct Seen<'a> {
    sling: &'a Sling,
    group: Option<usize>,
    hitch: &'a Hitch,
    rated: &'a Rated,
}

impl Seen<'_> {
    /// Whether the other one leads to the same figure. Everything else is the set's, and the angle of a leg matters to its
    /// own rating only.
    fn says_what(&self, other: &Self) -> bool {
        let value = |rated: &Rated| match rated {
            Ok(Some(capacity)) => Some(capacity.chain.value().to_bits()),
            _ => None,
        };
        let same = value(self.rated).zip(value(other.rated)).is_some_and(|(one, other)| one == other);
        same && self.group == other.group
            && self.hitch == other.hitch
            && self.sling.strength.has_figures_of(&other.sling.strength)
            && self.sling.least_safety_factor == other.sling.least_safety_factor
    }
}

/// What cannot be concluded is severer than what passes, and less so than what fails.
fn severer(one: &Finding, other: &Finding) -> bool {
    let key = |finding: &Finding| {
        let rank = match finding.verdict {
            Verdict::Fail => 2,
            Verdict::CannotConclude => 1,
            Verdict::Pass | Verdict::NotCovered => 0,
        };
        (rank, finding.utilization.unwrap_or(0.0))
    };
    let ((one, much), (other, less)) = (key(one), key(other));
    one > other || one == other && much > less
}
