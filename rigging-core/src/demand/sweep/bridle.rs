//! One load under one hook, in the load's frame: "vertical" is the direction that the hang has turned up.

use super::gauge::{Gauge, Seen};
use super::{Extremes, states};
use crate::arrangement::Lift;
use crate::demand::ToleranceBox;
use crate::equilibrium;
use crate::equilibrium::bridle::Workspace;
use crate::error::Error;
use crate::system::System;
use glam::DVec3;

pub(super) fn sweep(lift: &Lift, model: &System, tolerances: &ToleranceBox) -> Result<Extremes, Error> {
    let mut bridle = equilibrium::bridle_of(model)?;
    let nominal_lengths = bridle.lengths().to_vec();
    let mut workspace = Workspace::default();
    let mut gauge = Gauge::new(lift, tolerances);
    // The nominal state comes first; the others are what becomes of it, each from the one before, which differs in few
    // sides.
    let mut nominal = None;
    for vertex in states(tolerances)? {
        for (member, (length, offset)) in nominal_lengths.iter().zip(&vertex.lengths).enumerate() {
            bridle.set_length(member, length + offset)?;
        }
        bridle.set_center_of_gravity(DVec3::from_array(vertex.center))?;
        let outcome = match &nominal {
            Some(nominal) => bridle.follow(&mut workspace, nominal)?,
            None => bridle.solve(&mut workspace)?,
        };
        nominal.get_or_insert(outcome);
        let seen = Seen { vertical: outcome.up, up: outcome.up, state: outcome.state };
        // End b of a member is the load's: its direction is the pull on the load.
        let pulls = workspace.tensions().zip(workspace.directions());
        gauge.read(&vertex, &seen, pulls, |_| None);
    }
    Ok(gauge.extremes)
}
