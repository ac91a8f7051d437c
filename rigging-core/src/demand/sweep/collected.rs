//! Fittings that collect several legs: the resultant that they bear, and how far the legs spread.

use super::CollectorExtremes;
use super::gauge::hole;
use crate::arrangement::Lift;
use crate::demand::Vertex;
use crate::equilibrium::angle_between;
use glam::DVec3;
use std::f64::consts::FRAC_PI_2;

/// The pulls of the present state on one fitting, by the side to which they pull.
#[derive(Default)]
pub(super) struct Collected {
    up: Vec<DVec3>,
    down: Vec<DVec3>,
    /// The axis of the hole that the pin of each lies in, as drawn.
    pub(super) holes: Vec<Option<DVec3>>,
}

impl Collected {
    pub(super) fn of(lift: &Lift) -> Self {
        Self { holes: lift.collectors().map(|(anchor, ..)| hole(lift, anchor)).collect(), ..Self::default() }
    }

    /// Nothing seen yet, for each fitting that collects legs.
    pub(super) fn none(lift: &Lift, nominal: &Vertex) -> Vec<CollectorExtremes> {
        let none = |anchor| CollectorExtremes {
            anchor,
            largest: 0.0,
            attained: nominal.clone(),
            included: 0.0,
            out_of_plane: hole(lift, anchor).map(|_| 0.0),
        };
        lift.collectors().map(|(anchor, ..)| none(anchor)).collect()
    }

    /// Widens the extremes of one fitting by one state; `hole` is the axis of the hole that its pin lies in. What pulls it up and what pulls it down are in balance at a joint; at
    /// a hook or a point there is one side only, for the other is the hook or the point itself.
    pub(super) fn read(
        &mut self,
        seen: &mut CollectorExtremes,
        vertex: &Vertex,
        vertical: DVec3,
        hole: Option<DVec3>,
        pulls: impl Iterator<Item = DVec3>,
    ) {
        self.up.clear();
        self.down.clear();
        for pull in pulls.filter(|pull| *pull != DVec3::ZERO) {
            if pull.dot(vertical) >= 0.0 { self.up.push(pull) } else { self.down.push(pull) }
        }
        for side in [&self.up, &self.down] {
            let resultant = side.iter().fold(DVec3::ZERO, |sum, pull| sum + *pull);
            let size = resultant.length();
            if let (Some(widest), Some(hole)) = (&mut seen.out_of_plane, hole)
                && size > 0.0
            {
                *widest = widest.max((FRAC_PI_2 - angle_between(resultant, hole)).abs());
            }
            if size > seen.largest {
                seen.largest = size;
                seen.attained.clone_from(vertex);
            }
            for (index, one) in side.iter().enumerate() {
                for other in side.iter().skip(index + 1) {
                    seen.included = seen.included.max(angle_between(*one, *other));
                }
            }
        }
    }
}
