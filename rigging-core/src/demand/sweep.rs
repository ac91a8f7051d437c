//! The equilibrium at every vertex of the box of tolerances.

use super::{ToleranceBox, Vertex};
use crate::arrangement::{Anchor, LegView, Lift};
use crate::equilibrium::bridle::{Outcome, Workspace};
use crate::equilibrium::{self, State, angle_between as angle};
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
    let axes: Vec<Option<DVec3>> = lift.legs().map(|leg| axis(lift, &leg)).collect();
    let mut bridle = equilibrium::bridle_of(model)?;
    let nominal_lengths = bridle.lengths().to_vec();
    let mut workspace = Workspace::default();
    let nominal = Vertex { lengths: vec![0.0; nominal_lengths.len()], center: [0.0; 3] };
    let mut extremes = Extremes::none(&axes, &nominal);
    let mut widest = Widest::none(axes.len());
    for vertex in std::iter::once(nominal).chain(tolerances.vertices()?) {
        for (member, (length, offset)) in nominal_lengths.iter().zip(&vertex.lengths).enumerate() {
            bridle.set_length(member, length + offset)?;
        }
        bridle.set_center_of_gravity(DVec3::from_array(vertex.center))?;
        let outcome = bridle.solve(&mut workspace)?;
        extremes.widen(&mut widest, &workspace, &outcome, &axes, &vertex);
    }
    Ok(extremes)
}

/// The largest of many angles. An arc tangent costs as much as a step of the solver, so it is taken only where the cosine
/// does not already show that the angle is smaller.
#[derive(Debug, Clone, Copy)]
struct Largest {
    cosine: f64,
}

/// How far a cosine must exceed that of the largest angle for its angle to be smaller beyond the rounding of either.
const CLEARLY: f64 = 1e-9;

impl Largest {
    const NONE: Self = Self { cosine: f64::INFINITY };

    /// The angle between two unit vectors, if it exceeds `largest`, the largest so far.
    fn beyond(&mut self, largest: f64, one: DVec3, other: DVec3) -> Option<f64> {
        let cosine = one.dot(other);
        if cosine > self.cosine + CLEARLY {
            return None;
        }
        let found = angle(one, other);
        (found > largest).then(|| {
            self.cosine = cosine;
            found
        })
    }
}

/// The angles of [`Extremes`] with their cosines.
struct Widest {
    tilt: Largest,
    /// From vertical and from the axis, one pair a leg.
    legs: Vec<[Largest; 2]>,
}

impl Widest {
    fn none(legs: usize) -> Self {
        Self { tilt: Largest::NONE, legs: vec![[Largest::NONE; 2]; legs] }
    }
}

impl Extremes {
    fn none(axes: &[Option<DVec3>], nominal: &Vertex) -> Self {
        let legs = axes.iter().map(|axis| LegExtremes {
            largest: 0.0,
            least: f64::INFINITY,
            attained: nominal.clone(),
            from_vertical: 0.0,
            from_axis: axis.map(|_| 0.0),
        });
        Self { legs: legs.collect(), tilt: 0.0, tilt_attained: nominal.clone(), not_stable: None, states: 0 }
    }

    /// All directions are in the load's frame, in which "vertical" is the direction that the hang has turned up.
    fn widen(
        &mut self,
        widest: &mut Widest,
        workspace: &Workspace,
        outcome: &Outcome,
        axes: &[Option<DVec3>],
        vertex: &Vertex,
    ) {
        self.states += 1;
        let members = workspace.tensions().zip(workspace.directions()).zip(axes);
        for ((leg, [vertical, off_axis]), ((tension, direction), axis)) in
            self.legs.iter_mut().zip(&mut widest.legs).zip(members)
        {
            if tension > leg.largest {
                leg.largest = tension;
                leg.attained = vertex.clone();
            }
            leg.least = leg.least.min(tension);
            // A slack leg pulls in no direction.
            if tension > 0.0 {
                if let Some(found) = vertical.beyond(leg.from_vertical, direction, outcome.up) {
                    leg.from_vertical = found;
                }
                if let (Some(largest), Some(axis)) = (&mut leg.from_axis, axis)
                    && let Some(found) = off_axis.beyond(*largest, direction, *axis)
                {
                    *largest = found;
                }
            }
        }
        if let Some(tilt) = widest.tilt.beyond(self.tilt, outcome.up, DVec3::Z) {
            self.tilt = tilt;
            self.tilt_attained = vertex.clone();
        }
        if outcome.state != State::Stable && self.not_stable.is_none() {
            self.not_stable = Some((outcome.state, vertex.clone()));
        }
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
