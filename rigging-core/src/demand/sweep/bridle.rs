//! One load under one hook, in the load's frame: "vertical" is the direction that the hang has turned up.

use super::Extremes;
use super::gauge::{Gauge, Seen};
use crate::arrangement::Lift;
use crate::demand::{ToleranceBox, Vertex};
use crate::equilibrium::bridle::{Outcome, Workspace};
use crate::equilibrium::{self, Certificate};
use crate::error::Error;
use crate::system::System;
use glam::DVec3;

pub(super) fn sweep(lift: &Lift, model: &System, tolerances: &ToleranceBox) -> Result<(Certificate, Extremes), Error> {
    let mut gauge = Gauge::new(lift, tolerances);
    let nominal = visit(model, tolerances, |vertex, workspace, outcome| read(&mut gauge, vertex, workspace, outcome))?;
    Ok((nominal, gauge.extremes))
}

/// Hangs the nominal state and every vertex, and shows each; the certificate is that of the nominal state.
pub(in crate::demand) fn visit(
    model: &System,
    tolerances: &ToleranceBox,
    mut seen: impl FnMut(&Vertex, &Workspace, &Outcome),
) -> Result<Certificate, Error> {
    let mut bridle = equilibrium::bridle_of(model)?;
    let nominal_lengths = bridle.lengths().to_vec();
    let mut workspace = Workspace::default();
    let nominal = bridle.solve(&mut workspace)?;
    let mut vertex = tolerances.middle();
    seen(&vertex, &workspace, &nominal);
    let certificate = equilibrium::certify_bridle(model, &bridle, &mut workspace, &nominal)?;
    // The others are what becomes of the nominal state.
    let foresight = workspace.foresight(&nominal);
    for number in tolerances.vertex_numbers()? {
        tolerances.set_vertex(&mut vertex, number);
        for (member, (length, offset)) in nominal_lengths.iter().zip(&vertex.lengths).enumerate() {
            bridle.set_length(member, length + offset)?;
        }
        bridle.set_center_of_gravity(DVec3::from_array(vertex.center))?;
        let outcome = bridle.follow(&mut workspace, foresight.as_ref())?;
        seen(&vertex, &workspace, &outcome);
    }
    Ok(certificate)
}

fn read(gauge: &mut Gauge, vertex: &Vertex, workspace: &Workspace, outcome: &Outcome) {
    let seen = Seen { vertical: outcome.up, up: outcome.up, state: outcome.state };
    // End b of a member is the load's: its direction is the pull on the load.
    gauge.read(vertex, &seen, workspace.tensions().zip(workspace.directions()), |_| None);
}
