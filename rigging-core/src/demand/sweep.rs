//! The equilibrium at every vertex of the box of tolerances.

use super::{ToleranceBox, Vertex};
use crate::arrangement::{Anchor, LegView, Lift};
use crate::equilibrium::{self, Certificate, State};
use crate::error::Error;
use crate::system::System;
use glam::DVec3;

/// Extremes of one leg over the box.
#[derive(Debug, Clone, PartialEq)]
pub struct LegExtremes {
    /// Largest tension, in N.
    pub largest: f64,
    /// Smallest tension, in N; zero for a leg that goes slack.
    pub least: f64,
    /// Where the largest was attained.
    pub attained: Vertex,
    /// Largest angle from vertical of the leg while it carries load, in radians.
    pub from_vertical: f64,
    /// Largest angle between the pull and the allowed axis of the lift point while it carries load, in radians; none
    /// where no axis is stated.
    pub from_axis: Option<f64>,
}

/// Extremes over the box.
#[derive(Debug, Clone, PartialEq)]
pub struct Extremes {
    /// One a leg.
    pub legs: Vec<LegExtremes>,
    /// Largest tilt away from the attitude as drawn, in radians.
    pub tilt: f64,
    /// Where it was attained.
    pub tilt_attained: Vertex,
    /// The first state that is not stable, and where.
    pub not_stable: Option<(State, Vertex)>,
    /// Number of states that were solved.
    pub states: usize,
}

/// Solves the nominal state and every vertex.
///
/// # Errors
/// [`Error::Unsupported`] where the vertices are too many; every error of the solver.
pub fn sweep(lift: &Lift, model: &System, tolerances: &ToleranceBox) -> Result<Extremes, Error> {
    let nominal = Vertex { lengths: vec![0.0; model.members().len()], center: [0.0; 3] };
    let axes: Vec<Option<DVec3>> = lift.legs().map(|leg| axis(lift, &leg)).collect();
    let mut extremes: Option<Extremes> = None;
    for vertex in std::iter::once(nominal).chain(tolerances.vertices()?) {
        let certificate = equilibrium::solve(&moved(model, &vertex)?)?;
        match &mut extremes {
            None => extremes = Some(first(&certificate, &axes, vertex)),
            Some(extremes) => widen(extremes, &certificate, &axes, &vertex),
        }
    }
    extremes.ok_or_else(|| Error::unsupported("a box of tolerances without a vertex", crate::error::Place::root()))
}

/// The model with lengths and center of gravity moved to a vertex.
fn moved(model: &System, vertex: &Vertex) -> Result<System, Error> {
    let mut members = model.members().to_vec();
    for (member, offset) in members.iter_mut().zip(&vertex.lengths) {
        member.length += offset;
    }
    let mut bodies = model.bodies().to_vec();
    for body in &mut bodies {
        body.center_of_gravity += DVec3::from_array(vertex.center);
    }
    System::new(model.gravity(), model.hooks().to_vec(), model.joints().to_vec(), bodies, members)
}

fn first(certificate: &Certificate, axes: &[Option<DVec3>], vertex: Vertex) -> Extremes {
    let legs = certificate.members.iter().zip(axes).map(|(member, axis)| LegExtremes {
        largest: member.tension,
        least: member.tension,
        attained: vertex.clone(),
        from_vertical: 0.0,
        from_axis: axis.map(|_| 0.0),
    });
    let mut extremes =
        Extremes { legs: legs.collect(), tilt: 0.0, tilt_attained: vertex.clone(), not_stable: None, states: 0 };
    widen(&mut extremes, certificate, axes, &vertex);
    extremes
}

fn widen(extremes: &mut Extremes, certificate: &Certificate, axes: &[Option<DVec3>], vertex: &Vertex) {
    extremes.states += 1;
    for ((leg, member), axis) in extremes.legs.iter_mut().zip(&certificate.members).zip(axes) {
        if member.tension > leg.largest {
            leg.largest = member.tension;
            leg.attained = vertex.clone();
        }
        leg.least = leg.least.min(member.tension);
        // A slack leg pulls in no direction.
        if !member.slack {
            leg.from_vertical = leg.from_vertical.max(angle(member.direction, DVec3::Z));
            let pose = certificate.bodies.first();
            if let (Some(largest), Some(axis), Some(pose)) = (&mut leg.from_axis, axis, pose) {
                *largest = largest.max(angle(member.direction, pose.rotation * *axis));
            }
        }
    }
    for pose in &certificate.bodies {
        if pose.tilt > extremes.tilt {
            extremes.tilt = pose.tilt;
            extremes.tilt_attained = vertex.clone();
        }
    }
    if certificate.state != State::Stable && extremes.not_stable.is_none() {
        extremes.not_stable = Some((certificate.state, vertex.clone()));
    }
}

/// Axis of the allowed direction at the leg's lift point, in the load's frame.
fn axis(lift: &Lift, leg: &LegView<'_>) -> Option<DVec3> {
    let point = leg.links.ends.iter().find_map(|end| match end {
        Anchor::LiftPoint(index) => lift.document().load.lift_points.get(*index),
        _ => None,
    })?;
    point.allowed_direction.value().map(|direction| DVec3::from_array(direction.axis).normalize())
}

/// Angle between two directions, exact near 0 and π where the arc cosine is not.
fn angle(one: DVec3, other: DVec3) -> f64 {
    one.cross(other).length().atan2(one.dot(other))
}
