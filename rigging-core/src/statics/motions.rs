//! What moves without resistance, and the softest modes.

use super::Balance;
use crate::equilibrium::mechanism::{Names, Part, mechanisms};
use crate::equilibrium::mode::softest_modes;
use crate::error::Error;
use glam::DVec3;
use serde::Serialize;

/// A motion that nothing resists.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct FreeMotion {
    /// The motion in words.
    pub words: String,
    /// Names of the bodies and joints that move.
    pub parts: Vec<String>,
}

/// How one part moves in a mode.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct PartMotion {
    /// Name of the body or joint.
    pub part: String,
    /// Displacement of the center of gravity or joint, m, in the world.
    #[cfg_attr(feature = "schema", schemars(with = "[f64; 3]"))]
    pub displacement: DVec3,
    /// Turn, rad, in the world: axis times angle; zero for a joint.
    #[cfg_attr(feature = "schema", schemars(with = "[f64; 3]"))]
    pub turn: DVec3,
}

/// A mode of the balance.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Mode {
    /// Force per displacement along the mode, N/m; negative where the balance is unstable.
    pub stiffness: f64,
    /// The parts, joints first.
    pub parts: Vec<PartMotion>,
}

impl Balance {
    /// The motions that nothing resists, free turns about plumb lines among them.
    ///
    /// # Errors
    /// [`Error::Unconverged`] if the motions found are not as many as the certificate has null modes.
    pub fn motions(&self) -> Result<Vec<FreeMotion>, Error> {
        self.nothing_runs("free motions")?;
        let (hooks, joints, bodies) = (texts(&self.names.hooks), texts(&self.names.joints), texts(&self.names.bodies));
        let names = Names { hooks: &hooks, joints: &joints, bodies: &bodies };
        let found = mechanisms(&self.model, &self.certificate)?;
        let motions = found.motions.iter().map(|motion| FreeMotion {
            words: motion.words(&names),
            parts: motion.parts.iter().map(|part| self.part(*part)).collect(),
        });
        Ok(motions.collect())
    }

    /// The softest modes, the free turns about plumb lines left out: all of them up to 48 unknowns, else `count`.
    ///
    /// # Errors
    /// [`Error::Unconverged`] if the iteration for many unknowns does not settle.
    pub fn modes(&self, count: usize) -> Result<Vec<Mode>, Error> {
        self.nothing_runs("modes")?;
        let found = softest_modes(&self.model, &self.certificate, count)?;
        let modes =
            found.modes.into_iter().map(|mode| Mode { stiffness: mode.stiffness, parts: self.parts(&mode.shape) });
        Ok(modes.collect())
    }

    pub(super) fn parts(&self, shape: &crate::equilibrium::shape::Shape) -> Vec<PartMotion> {
        let joints = shape.joints.iter().enumerate().map(|(index, displacement)| PartMotion {
            part: self.names.joint(index),
            displacement: *displacement,
            turn: DVec3::ZERO,
        });
        let bodies = shape.bodies.iter().enumerate().map(|(index, movement)| PartMotion {
            part: self.names.body(index),
            displacement: movement.displacement,
            turn: movement.turn,
        });
        joints.chain(bodies).collect()
    }

    fn part(&self, part: Part) -> String {
        match part {
            Part::Joint(joint) => self.names.joint(joint),
            Part::Body(body) => self.names.body(body),
        }
    }
}

fn texts(names: &[String]) -> Vec<&str> {
    names.iter().map(String::as_str).collect()
}
