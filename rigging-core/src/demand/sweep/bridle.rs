//! One load under one hook, in the load's frame: "vertical" is the direction that the hang has turned up.

use super::Swept;
use super::gauge::{Gauge, Seen};
use crate::arrangement::Lift;
use crate::demand::{ToleranceBox, Vertex};
use crate::equilibrium;
use crate::equilibrium::nearby::{Hung, Nominal, Rows};
use crate::error::Error;
use crate::system::{Model, System};

/// Vertices that are hung at once: enough to be calculated side by side, and few enough for a small piece of memory.
const AT_ONCE: usize = 32;

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
    Ok(Swept { tensions: nominal.tensions().collect(), nominal: nominal.certificate(model)?, extremes: gauge.extremes })
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
    let (mut lengths, mut center) = (Vec::new(), Vec::new());
    let mut left = tolerances.vertex_count();
    while left > 0 {
        let count = left.min(AT_ONCE);
        left -= count;
        lengths.clear();
        center.clear();
        lengths.reserve(count * given.lengths.len());
        center.reserve(count * given.center.len());
        for _ in 0..count {
            lengths.extend(drawn.lengths().iter().zip(&given.lengths).map(|(length, offset)| length + offset));
            center
                .extend(drawn.center_of_gravity().to_array().iter().zip(given.center).map(|(at, offset)| at + offset));
            tolerances.advance(&mut given);
        }
        let rows = Rows { count, lengths: Some(&lengths), center: Some(&center), stiffness: None, weight: None };
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
    gauge.read(vertex, &seen, hung.pulls.iter().copied(), |_| None);
}
