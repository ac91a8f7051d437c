//! What an equilibrium is differentiated by.

use crate::error::{Error, Place};
use crate::system::{Law, System};
use serde::Serialize;

/// A number that a system is made of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Parameter {
    /// Unstretched length of a member, m.
    Length {
        /// Index of the member.
        member: usize,
    },
    /// Axial stiffness EA of a member with a linear law, N.
    AxialStiffness {
        /// Index of the member.
        member: usize,
    },
    /// A factor on the law of a member of any kind; it is 1 now, and has no unit.
    LawScale {
        /// Index of the member.
        member: usize,
    },
    /// Center of gravity of a body in its own frame, m; the points of attachment stay where they are.
    CenterOfGravity {
        /// Index of the body.
        body: usize,
        /// 0, 1, 2 for x, y, z.
        axis: usize,
    },
    /// Mass of a body, kg.
    Mass {
        /// Index of the body.
        body: usize,
    },
    /// Position of a hook in the world, m.
    Hook {
        /// Index of the hook.
        hook: usize,
        /// 0, 1, 2 for x, y, z.
        axis: usize,
    },
}

impl Parameter {
    /// Every parameter of a system; of a member with a linear law the axial stiffness, of others the factor on the law.
    pub(super) fn all(system: &System) -> Vec<Self> {
        let mut all = Vec::new();
        all.extend((0..system.members().len()).map(|member| Self::Length { member }));
        all.extend(system.members().iter().enumerate().map(|(member, found)| match found.law {
            Law::Linear { .. } => Self::AxialStiffness { member },
            _ => Self::LawScale { member },
        }));
        let axes = |count: usize| (0..count).flat_map(|index| (0..3).map(move |axis| (index, axis)));
        all.extend(axes(system.bodies().len()).map(|(body, axis)| Self::CenterOfGravity { body, axis }));
        all.extend((0..system.bodies().len()).map(|body| Self::Mass { body }));
        all.extend(axes(system.hooks().len()).map(|(hook, axis)| Self::Hook { hook, axis }));
        all
    }

    /// Refuses a parameter that refers to nothing.
    pub(super) fn validate(self, system: &System) -> Result<(), Error> {
        let (list, index, count, axis) = match self {
            Self::Length { member } | Self::AxialStiffness { member } | Self::LawScale { member } => {
                ("members", member, system.members().len(), 0)
            }
            Self::CenterOfGravity { body, axis } => ("bodies", body, system.bodies().len(), axis),
            Self::Mass { body } => ("bodies", body, system.bodies().len(), 0),
            Self::Hook { hook, axis } => ("hooks", hook, system.hooks().len(), axis),
        };
        let place = Place::root().child(list).child(index);
        if index >= count {
            return Err(Error::out_of_domain("index", index as f64, "", format!("below {count}"), place));
        }
        if axis > 2 {
            return Err(Error::out_of_domain("axis", axis as f64, "", "0, 1 or 2", place));
        }
        match (self, system.members().get(index).map(|member| &member.law)) {
            (Self::AxialStiffness { .. }, Some(Law::Polynomial { .. } | Law::PiecewiseLinear { .. })) => {
                Err(Error::unsupported("the axial stiffness of a law that is not linear", place.child("law")))
            }
            _ => Ok(()),
        }
    }
}
