//! The equilibrium at every vertex of the box of tolerances.

mod bridle;
mod gauge;
mod network;
mod running;

use super::{Proof, ToleranceBox, Vertex};
use crate::arrangement::{Anchor, Lift};
use crate::equilibrium::running::Sliding;
use crate::equilibrium::{self, Certificate, State};
use crate::error::Error;
use crate::system::Model;

pub(super) use bridle::visit;

/// Extremes of one leg over the box.
#[derive(Debug, Clone, PartialEq)]
pub struct LegExtremes {
    /// Largest tension, in N.
    pub largest: f64,
    /// Smallest tension, in N; zero for a leg that goes slack.
    pub least: f64,
    /// Where the largest was attained.
    pub attained: Vertex,
    /// A bound that is proven, in N; none where it was not asked for or there is none.
    pub bound: Option<f64>,
    /// Largest angle from vertical of the leg while it carries load, in radians.
    pub from_vertical: f64,
    /// For the first and the last station of the leg: largest angle between the pull and the allowed axis of the point
    /// there while the leg carries load, in radians; none where no axis is stated.
    pub from_axis: [Option<f64>; 2],
    /// For a leg that passes over stations: the worst over the vertices of whether friction holds it.
    pub sliding: Option<Sliding>,
}

/// The largest resultant of all legs at one place, in N; both spans of a leg that passes over it count.
#[derive(Debug, Clone, PartialEq)]
pub struct PlaceExtremes {
    /// The place.
    pub anchor: Anchor,
    /// Largest resultant, in N.
    pub largest: f64,
    /// Where it was attained.
    pub attained: Vertex,
    /// A bound that is proven, in N; none where it was not asked for or there is none.
    pub bound: Option<f64>,
    /// Where a leg passes over a point with a stated axis: largest angle between the resultant and that, in radians.
    pub from_axis: Option<f64>,
}

/// The largest compression between the ends of a spreader, in N: what pulls one end (or corner) inward.
#[derive(Debug, Clone, PartialEq)]
pub struct SpreaderExtremes {
    /// Largest inward pull on one end, in N; zero where every end is pulled outward.
    pub compression: f64,
    /// Where it was attained.
    pub attained: Vertex,
}

/// Extremes over the box.
#[derive(Debug, Clone, PartialEq)]
pub struct Extremes {
    /// One a leg.
    pub legs: Vec<LegExtremes>,
    /// Hooks where there are several, and every place that several legs meet at, or that a leg passes over.
    pub places: Vec<PlaceExtremes>,
    /// One a spreader.
    pub spreaders: Vec<SpreaderExtremes>,
    /// Largest tilt of the load away from the attitude as drawn, in radians.
    pub tilt: f64,
    /// Where it was attained.
    pub tilt_attained: Vertex,
    /// The first state that is not stable, and where.
    pub not_stable: Option<(State, Vertex)>,
    /// Number of states that were solved.
    pub states: usize,
    /// Whether at some vertex friction on a sling alone keeps the balance.
    pub by_friction: bool,
    /// What is proven of forces beyond the states that were solved.
    pub proof: Proof,
}

impl Extremes {
    /// Extremes at a place.
    pub fn at(&self, anchor: Anchor) -> Option<&PlaceExtremes> {
        self.places.iter().find(|place| place.anchor == anchor)
    }
}

/// Solves the nominal state and every vertex.
///
/// # Errors
/// [`Error::Unsupported`] where the vertices are too many; every error of the solver.
pub fn sweep(lift: &Lift, model: &Model, tolerances: &ToleranceBox) -> Result<Extremes, Error> {
    Ok(swept(lift, model, tolerances)?.extremes)
}

/// The extremes, and the nominal state.
#[derive(Debug, Clone)]
pub(super) struct Swept {
    pub(super) nominal: Certificate,
    /// Nominal tension of each leg, in N; of one that passes over stations that of its busiest span.
    pub(super) tensions: Vec<f64>,
    pub(super) extremes: Extremes,
}

/// The same, and the nominal state.
pub(super) fn swept(lift: &Lift, model: &Model, tolerances: &ToleranceBox) -> Result<Swept, Error> {
    let system = &model.system;
    if !model.running.is_empty() {
        return running::sweep(lift, model, tolerances);
    }
    let single = system.hooks().len() == 1 && system.joints().is_empty() && system.bodies().len() == 1;
    let (nominal, extremes) = if single {
        bridle::sweep(lift, system, tolerances)?
    } else {
        (equilibrium::solve(system)?, network::sweep(lift, system, tolerances)?)
    };
    // Without running slings member j is leg j.
    let tensions = nominal.members.iter().map(|member| member.tension).collect();
    Ok(Swept { nominal, tensions, extremes })
}

/// The nominal state and every vertex.
fn states(tolerances: &ToleranceBox) -> Result<impl Iterator<Item = Vertex> + '_, Error> {
    Ok(std::iter::once(tolerances.middle()).chain(tolerances.vertices()?))
}
