//! Invariants of a whole lift, asked by name: what another language asks.

use super::violation::{Answer, Broken, Kept, Violation};
use crate::arrangement::Lift;
use crate::error::Error;
use crate::statics::Balance;
use crate::system::System;
use glam::DVec3;
use serde::{Deserialize, Serialize};

/// A question about a lift.
///
/// ```
/// use rigging_core::arrangement::Lift;
/// use rigging_core::kit::invariants::{Asked, ask};
/// let lift = Lift::from_json(include_str!("../../../examples/lifts/generator-skid.json"))?;
/// let asked: Asked = serde_json::from_str(r#"{"turn": {"angle_rad": 0.3}}"#).unwrap();
/// assert!(ask(&lift, &asked).unwrap().compared());
/// # Ok::<(), rigging_core::error::Error>(())
/// ```
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub enum Asked {
    /// [`balanced`](super::balanced), of how the lift hangs.
    Balance,
    /// [`turn`](super::turn).
    Turn {
        /// Angle, rad.
        angle_rad: f64,
    },
    /// [`shift`](super::shift).
    Shift {
        /// By so much, m.
        by_m: [f64; 3],
    },
    /// [`mirror`](super::mirror).
    Mirror,
    /// [`relabel`](super::relabel).
    Relabel {
        /// Leg i of the image is leg `order[i]`.
        order: Vec<usize>,
    },
    /// [`scale_of_force`](super::scale_of_force).
    ScaleOfForce {
        /// The factor.
        factor: f64,
    },
    /// [`scale_of_length`](super::scale_of_length).
    ScaleOfLength {
        /// The factor.
        factor: f64,
    },
    /// [`more_mass`](super::more_mass).
    MoreMass {
        /// The factor.
        factor: f64,
    },
    /// [`round_trip`](super::round_trip).
    RoundTrip,
    /// [`units`](super::units).
    Units,
}

/// Asks a lift for one of its invariants. The model of a lift with running slings is that of its rest, lengths as
/// passed on.
///
/// # Errors
/// As the invariant; what statics needs and the lift does not state.
pub fn ask(lift: &Lift, asked: &Asked) -> Answer {
    let hung = |of: &dyn Fn(&System) -> Answer| of(lift.hang()?.model());
    match asked {
        Asked::Balance => {
            let balance: Balance = lift.hang()?;
            super::balanced(balance.model(), balance.certificate())
        }
        Asked::Turn { angle_rad } => hung(&|system| super::turn(system, *angle_rad)),
        Asked::Shift { by_m } => hung(&|system| super::shift(system, DVec3::from_array(*by_m))),
        Asked::Mirror => hung(&super::mirror),
        Asked::Relabel { order } => hung(&|system| super::relabel(system, order)),
        Asked::ScaleOfForce { factor } => hung(&|system| super::scale_of_force(system, *factor)),
        Asked::ScaleOfLength { factor } => hung(&|system| super::scale_of_length(system, *factor)),
        Asked::MoreMass { factor } => hung(&|system| super::more_mass(system, *factor)),
        Asked::RoundTrip => super::round_trip(lift),
        Asked::Units => super::units(lift),
    }
}

/// Rows of a batch from lifts: [`batch_rows`](super::batch_rows) of how they are modeled at their stated masses.
///
/// # Errors
/// As that; what statics needs and a lift does not state.
pub fn batch_of(lifts: &[&Lift]) -> Answer {
    let systems = lifts.iter().map(|lift| Ok(lift.hang()?.model().clone())).collect::<Result<Vec<_>, Error>>()?;
    super::batch_rows(&systems)
}

/// An answer as a record: kept, or the violation.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Told {
    /// Kept.
    Kept(Kept),
    /// Not kept.
    Violation(Violation),
}

impl Told {
    /// The record of an answer.
    ///
    /// # Errors
    /// Why the question could not be looked at.
    pub fn of(answer: Answer) -> Result<Self, Error> {
        match answer {
            Ok(kept) => Ok(Self::Kept(kept)),
            Err(Broken::Violation(violation)) => Ok(Self::Violation(violation)),
            Err(Broken::Refused(error)) => Err(error),
        }
    }
}
