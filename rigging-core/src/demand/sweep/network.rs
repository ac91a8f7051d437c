//! Any other arrangement, in the world's frame.

use super::gauge::{Gauge, Seen};
use super::{Swept, states};
use crate::arrangement::{Anchor, Lift};
use crate::demand::ToleranceBox;
use crate::equilibrium;
use crate::equilibrium::network::{Network, Workspace};
use crate::error::Error;
use crate::system::System;
use glam::DVec3;

pub(super) fn sweep(lift: &Lift, model: &System, tolerances: &ToleranceBox) -> Result<Swept, Error> {
    let nominal = equilibrium::solve(model)?;
    let mut workspace = Workspace::default();
    let mut gauge = Gauge::new(lift, tolerances);
    for vertex in states(tolerances)? {
        let mut varied = model.clone();
        for (member, offset) in vertex.lengths.iter().enumerate() {
            if *offset != 0.0 {
                varied = varied.longer(member, *offset)?;
            }
        }
        if vertex.center != [0.0; 3] {
            varied = varied.shifted(0, DVec3::from_array(vertex.center))?;
        }
        let network = Network::new(&varied);
        let outcome = network.solve(&mut workspace)?;
        let rotations: Vec<_> = workspace.attitudes(&network).collect();
        let up = rotations.first().map_or(DVec3::Z, |rotation| rotation.inverse() * DVec3::Z);
        let seen = Seen { vertical: &DVec3::Z, up: &up, state: outcome.state };
        let pulls: Vec<_> = workspace.tensions().zip(workspace.directions()).collect();
        gauge.read(&vertex, &seen, &pulls, |anchor| match anchor {
            Anchor::LiftPoint(_) | Anchor::Place(_) => rotations.first().copied(),
            Anchor::SpreaderPoint(spreader, _) => rotations.get(spreader + 1).copied(),
            Anchor::Hook(_) | Anchor::Joint(_) => None,
        });
    }
    // Without running slings member j is leg j.
    let tensions = nominal.members.iter().map(|member| member.tension).collect();
    Ok(Swept { nominal, tensions, extremes: gauge.extremes() })
}
