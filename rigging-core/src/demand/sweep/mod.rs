//! The equilibrium at every vertex of the box of tolerances.

mod bridle;
mod gauge;
mod network;

use super::{ToleranceBox, Vertex};
use crate::arrangement::{Anchor, Lift};
use crate::equilibrium::{self, Certificate, State};
use crate::error::Error;
use crate::system::System;

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
    /// For the first and the last station of the leg: largest angle between the pull and the allowed axis of the point
    /// there while the leg carries load, in radians; none where no axis is stated.
    pub from_axis: [Option<f64>; 2],
}

/// The largest resultant of all legs at one place, in N.
#[derive(Debug, Clone, PartialEq)]
pub struct PlaceExtremes {
    /// The place.
    pub anchor: Anchor,
    /// Largest resultant, in N.
    pub largest: f64,
    /// Where it was attained.
    pub attained: Vertex,
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
    /// Hooks where there are several, and every point that several legs meet at.
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
pub fn sweep(lift: &Lift, model: &System, tolerances: &ToleranceBox) -> Result<Extremes, Error> {
    Ok(certified(lift, model, tolerances)?.1)
}

/// The same, and the certificate of the nominal state.
pub(super) fn certified(
    lift: &Lift,
    model: &System,
    tolerances: &ToleranceBox,
) -> Result<(Certificate, Extremes), Error> {
    let single = model.hooks().len() == 1 && model.joints().is_empty() && model.bodies().len() == 1;
    if single {
        bridle::sweep(lift, model, tolerances)
    } else {
        Ok((equilibrium::solve(model)?, network::sweep(lift, model, tolerances)?))
    }
}

/// The nominal state and every vertex.
fn states(tolerances: &ToleranceBox) -> Result<impl Iterator<Item = Vertex> + '_, Error> {
    let nominal = Vertex { lengths: vec![0.0; tolerances.lengths.len()], center: [0.0; 3] };
    Ok(std::iter::once(nominal).chain(tolerances.vertices()?))
}
