//! One load under one hook, in the load's frame: "vertical" is the direction that the hang has turned up.

use super::Swept;
use super::gauge::{Gauge, Seen};
use crate::arrangement::Lift;
use crate::demand::{ToleranceBox, Vertex};
use crate::equilibrium;
use crate::equilibrium::nearby::{Hung, Nominal, Rows};
use crate::error::Error;
use crate::system::{Model, System};
use glam::DVec3;

/// Vertices that are hung at once: enough to be calculated side by side, and few enough for a small piece of memory.
const AT_ONCE: usize = 64;

/// Whether one load hangs under one hook.
pub(super) fn is_bridle(model: &Model) -> bool {
    let system = &model.system;
    let single = system.hooks().len() == 1 && system.joints().is_empty() && system.bodies().len() == 1;
    single && model.running.is_empty()
}

/// Weight of the bodies, in N.
pub(super) fn weight(model: &System) -> f64 {
    model.bodies().iter().map(|body| body.mass * model.gravity()).sum()
}

/// The balance of the load as drawn.
pub(super) fn nominal(model: &System) -> Result<Nominal, Error> {
    Nominal::new(equilibrium::bridle_of(model)?)
}

pub(super) fn sweep(lift: &Lift, model: &System, nominal: &Nominal, tolerances: &ToleranceBox) -> Result<Swept, Error> {
    let mut gauge = Gauge::new(lift, tolerances);
    visit_from(nominal, tolerances, |vertex, hung| read(&mut gauge, vertex, hung))?;
    Ok(Swept {
        tensions: nominal.tensions().collect(),
        nominal: nominal.certificate(model)?,
        extremes: gauge.extremes(),
    })
}

/// Hangs the nominal state and every vertex, and shows each.
pub(in crate::demand) fn visit(
    model: &System,
    tolerances: &ToleranceBox,
    seen: impl FnMut(&Vertex, &Hung<'_>),
) -> Result<(), Error> {
    visit_from(&nominal(model)?, tolerances, seen)
}

/// Shows the nominal state, and every vertex as what becomes of it.
fn visit_from(
    nominal: &Nominal,
    tolerances: &ToleranceBox,
    mut seen: impl FnMut(&Vertex, &Hung<'_>),
) -> Result<(), Error> {
    nominal.show(|hung| seen(&tolerances.middle(), hung));
    let drawn = nominal.bridle();
    let (mut given, mut shown) = (tolerances.first_vertex()?, tolerances.first_vertex()?);
    let center = drawn.center_of_gravity();
    let legs = drawn.lengths().len();
    let mut left = tolerances.vertex_count();
    let most = left.min(AT_ONCE);
    let (mut lengths, mut centers) = (vec![0.0; most * legs], vec![0.0; most * 3]);
    while left > 0 {
        let count = left.min(AT_ONCE);
        left -= count;
        // What is less than before is the last.
        lengths.truncate(count * legs);
        centers.truncate(count * 3);
        for (lengths, centers) in lengths.chunks_exact_mut(legs).zip(centers.chunks_exact_mut(3)) {
            for (length, (drawn, offset)) in lengths.iter_mut().zip(drawn.lengths().iter().zip(&given.lengths)) {
                *length = drawn + offset;
            }
            (center + DVec3::from_array(given.center)).write_to_slice(centers);
            tolerances.advance(&mut given);
        }
        let rows = Rows { count, lengths: Some(&lengths), center: Some(&centers), stiffness: None, weight: None };
        nominal.follow(&rows, |_, hung| {
            seen(&shown, hung);
            tolerances.advance(&mut shown);
        })?;
    }
    Ok(())
}

fn read(gauge: &mut Gauge, vertex: &Vertex, hung: &Hung<'_>) {
    let seen = Seen { vertical: hung.up, up: hung.up, state: hung.state };
    // End b of a member is the load's: its direction is the pull on the load.
    gauge.read(vertex, &seen, hung.pulls, |_| None);
}
