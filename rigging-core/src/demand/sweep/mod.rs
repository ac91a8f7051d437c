//! The equilibrium at every vertex of the box of tolerances.

mod bridle;
mod collected;
mod gauge;
mod network;
mod running;

use super::{Proof, ToleranceBox, Vertex};
use crate::arrangement::{Anchor, Lift};
use crate::equilibrium::nearby::Nominal;
use crate::equilibrium::running::Sliding;
use crate::equilibrium::{Certificate, State};
use crate::error::Error;
use crate::system::{Masses, Model};

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
    /// For the first and the last station of the leg: largest angle by which the pull leaves the plane across the axis of the
    /// hole there while the leg carries load, in radians; none where no such axis is stated.
    pub out_of_plane: [Option<f64>; 2],
    /// For a leg that passes over stations: the worst over the vertices of whether friction holds it.
    pub sliding: Option<Sliding>,
    /// For a leg that passes over stations: what its spans bear together.
    pub together: Option<SpansExtremes>,
}

/// What the spans of a leg that passes over stations bear together; those along one body are none of them.
#[derive(Debug, Clone, PartialEq)]
pub struct SpansExtremes {
    /// How many they are.
    pub spans: usize,
    /// Largest sum of their tensions in one state, in N.
    pub sum: f64,
    /// Where it was attained.
    pub attained: Vertex,
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

/// What a fitting that collects several legs sees.
#[derive(Debug, Clone, PartialEq)]
pub struct CollectorExtremes {
    /// Where it is.
    pub anchor: Anchor,
    /// Largest resultant of the legs that pull it to one side, up or down, in N.
    pub largest: f64,
    /// Where it was attained.
    pub attained: Vertex,
    /// Largest angle between any two legs that pull it to one side and carry load, in radians.
    pub included: f64,
    /// On a point whose hole has a stated axis: largest angle by which the resultant leaves the plane across it, in radians.
    pub out_of_plane: Option<f64>,
}

/// What a set of legs bears together.
#[derive(Debug, Clone, PartialEq)]
pub struct SetExtremes {
    /// The place that the legs hang from.
    pub anchor: Anchor,
    /// Largest resultant of the legs, in N.
    pub largest: f64,
    /// Where it was attained.
    pub attained: Vertex,
    /// A bound that is proven, in N; none where it was not asked for or there is none.
    pub bound: Option<f64>,
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
    /// One a fitting that collects legs, in the order of the lift.
    pub collectors: Vec<CollectorExtremes>,
    /// One a set of legs that bears something else than the weight of the load.
    pub sets: Vec<SetExtremes>,
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
    Ok(Hanging::of(lift, model.clone(), tolerances)?.swept.extremes)
}

/// The extremes, and the nominal state.
#[derive(Debug, Clone)]
pub(super) struct Swept {
    pub(super) nominal: Certificate,
    /// Nominal tension of each leg, in N; of one that passes over stations that of its busiest span.
    pub(super) tensions: Vec<f64>,
    pub(super) extremes: Extremes,
}

/// How a lift hangs with one weight, and what it takes to tell how it hangs with another.
#[derive(Debug)]
pub(super) struct Hanging {
    pub(super) swept: Swept,
    model: Model,
    /// The balance of one load under one hook.
    balance: Option<Nominal>,
}

impl Hanging {
    pub(super) fn of(lift: &Lift, model: Model, tolerances: &ToleranceBox) -> Result<Self, Error> {
        if bridle::is_bridle(&model) {
            let balance = bridle::nominal(&model.system)?;
            let swept = bridle::sweep(lift, &model.system, &balance, tolerances)?;
            return Ok(Self { swept, model, balance: Some(balance) });
        }
        let swept = if model.running.is_empty() {
            network::sweep(lift, &model.system, tolerances)?
        } else {
            running::sweep(lift, &model, tolerances)?
        };
        Ok(Self { swept, model, balance: None })
    }

    /// The same lift with other masses: where one load hangs under one hook, as what its balance turns into.
    pub(super) fn turned_into(&self, lift: &Lift, masses: Masses, tolerances: &ToleranceBox) -> Result<Swept, Error> {
        let model = self.model.reweighed(lift, masses)?;
        match &self.balance {
            Some(balance) => {
                let balance = balance.with_weight(bridle::weight(&model.system))?;
                bridle::sweep(lift, &model.system, &balance, tolerances)
            }
            None => Ok(Self::of(lift, model, tolerances)?.swept),
        }
    }
}

/// The nominal state and every vertex.
fn states(tolerances: &ToleranceBox) -> Result<impl Iterator<Item = Vertex> + '_, Error> {
    Ok(std::iter::once(tolerances.middle()).chain(tolerances.vertices()?))
}
