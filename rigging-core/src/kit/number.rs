//! The numbers of an outline that may be changed.

use super::Outline;
use crate::error::{Error, Place};
use serde::Serialize;
use std::fmt;

/// One number of an outline, or one that all its legs have in common. Axes are 0, 1, 2 for x, y, z; legs count from 0.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Number {
    /// Mass of the load, kg.
    Mass,
    /// A coordinate of the center of gravity, m.
    CenterOfGravity {
        /// Axis.
        axis: usize,
    },
    /// How far that may be off, m.
    CenterTolerance {
        /// Axis.
        axis: usize,
    },
    /// A coordinate of a lift point, m.
    Point {
        /// Leg.
        leg: usize,
        /// Axis.
        axis: usize,
    },
    /// Length of one leg, m.
    Length {
        /// Leg.
        leg: usize,
    },
    /// Length of every leg, m.
    Lengths,
    /// How far every length may be off, m.
    LengthTolerances,
    /// Axial stiffness EA of one leg, N.
    Stiffness {
        /// Leg.
        leg: usize,
    },
    /// Axial stiffness EA of every leg, N.
    Stiffnesses,
}

impl Number {
    /// Its unit.
    pub const fn unit(self) -> &'static str {
        match self {
            Self::Mass => "kg",
            Self::Stiffness { .. } | Self::Stiffnesses => "N",
            _ => "m",
        }
    }

    /// Its value in an outline; none where the outline has no such leg or axis, or its legs have different values.
    pub fn of(self, outline: &Outline) -> Option<f64> {
        match self {
            Self::Mass => Some(outline.mass),
            Self::CenterOfGravity { axis } => outline.center_of_gravity.get(axis).copied(),
            Self::CenterTolerance { axis } => outline.center_tolerance.get(axis).copied(),
            Self::Point { leg, axis } => outline.points.get(leg)?.get(axis).copied(),
            Self::Length { leg } => outline.lengths.get(leg).copied(),
            Self::Lengths => common(&outline.lengths),
            Self::LengthTolerances => common(&outline.length_tolerances),
            Self::Stiffness { leg } => outline.stiffnesses.get(leg).copied(),
            Self::Stiffnesses => common(&outline.stiffnesses),
        }
    }

    /// Sets it in an outline.
    ///
    /// # Errors
    /// [`Error::OutOfDomain`] for a leg or axis that is not there.
    pub fn set(self, outline: &mut Outline, value: f64) -> Result<(), Error> {
        let one = |slot: Option<&mut f64>| {
            *slot.ok_or_else(|| self.absent())? = value;
            Ok(())
        };
        match self {
            Self::Mass => outline.mass = value,
            Self::CenterOfGravity { axis } => one(outline.center_of_gravity.get_mut(axis))?,
            Self::CenterTolerance { axis } => one(outline.center_tolerance.get_mut(axis))?,
            Self::Point { leg, axis } => one(outline.points.get_mut(leg).and_then(|point| point.get_mut(axis)))?,
            Self::Length { leg } => one(outline.lengths.get_mut(leg))?,
            Self::Stiffness { leg } => one(outline.stiffnesses.get_mut(leg))?,
            Self::Lengths => outline.lengths.fill(value),
            Self::LengthTolerances => outline.length_tolerances.fill(value),
            Self::Stiffnesses => outline.stiffnesses.fill(value),
        }
        Ok(())
    }

    fn absent(self) -> Error {
        let (what, index) = match self {
            Self::CenterOfGravity { axis } | Self::CenterTolerance { axis } => ("axis", axis),
            Self::Point { axis, .. } if axis > 2 => ("axis", axis),
            Self::Point { leg, .. } | Self::Length { leg } | Self::Stiffness { leg } => ("leg", leg),
            _ => ("number", 0),
        };
        Error::out_of_domain(what, index as f64, "", "one that the outline has", Place::root().child(what))
    }
}

fn common(list: &[f64]) -> Option<f64> {
    let (first, others) = list.split_first()?;
    others.iter().all(|other| other == first).then_some(*first)
}

impl fmt::Display for Number {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let axis = |axis: usize| ["x", "y", "z"].get(axis).copied().unwrap_or("?");
        let letter = super::outline::letter;
        match *self {
            Self::Mass => write!(f, "mass"),
            Self::CenterOfGravity { axis: index } => write!(f, "{} of the center of gravity", axis(index)),
            Self::CenterTolerance { axis: index } => write!(f, "tolerance of {} of the center of gravity", axis(index)),
            Self::Point { leg, axis: index } => write!(f, "{} of point {}", axis(index), letter(leg)),
            Self::Length { leg } => write!(f, "length of leg {}", letter(leg)),
            Self::Lengths => write!(f, "length of every leg"),
            Self::LengthTolerances => write!(f, "tolerance of every length"),
            Self::Stiffness { leg } => write!(f, "EA of leg {}", letter(leg)),
            Self::Stiffnesses => write!(f, "EA of every leg"),
        }
    }
}
