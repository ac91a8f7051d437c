//! What bears the forces of a lift, and what is left of it.

use super::super::strengths::{Bears, bearing, is_along};
use super::super::{Code, Finding, Verdict};
use crate::arrangement::{Anchor, Lift};
use crate::capacity::Motion;
use crate::chain::Term;
use crate::demand::{self, Asks, AtHeights, Demand};
use crate::error::Place;
use crate::source::Source;
use crate::text::Text;

/// What bears a force of its own: what stands along one leg alone, or what all legs at a station pull together.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Bearer {
    Leg(usize),
    Station(Anchor),
}

/// A capacity that a finding holds against the force of a bearer.
pub(super) struct Borne<'a> {
    pub(super) bearer: Bearer,
    pub(super) motion: Motion,
    /// What is asked of it with the hooks as drawn.
    asked: f64,
    pub(super) capacity: f64,
    item: &'a Text,
}

impl<'a> Borne<'a> {
    /// Everything that bears along the legs and at the stations, in the order of the findings.
    pub(super) fn of(lift: &Lift, demand: &Demand, findings: &'a [Finding]) -> Vec<Self> {
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
    pub(super) fn beyond(&self, lift: &Lift, factor: f64, how: &str, source: &Source) -> Option<Finding> {
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
    pub(super) fn hangs_by(self, lift: &Lift, legs: &[usize]) -> bool {
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
pub(super) fn carries(
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
