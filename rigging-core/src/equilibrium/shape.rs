//! A small motion of a system: what joints and bodies do in a mode.

use glam::DVec3;
use serde::Serialize;

/// How a body moves.
#[derive(Debug, Clone, Copy, Default, PartialEq, Serialize)]
pub struct Movement {
    /// Displacement of the center of gravity, m, in the world.
    pub displacement: DVec3,
    /// Turn about the center of gravity, rad, in the world: axis times angle.
    pub turn: DVec3,
}

/// A small motion of all joints and bodies, in the order of the system's.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Shape {
    /// Displacement of each joint, m, in the world.
    pub joints: Vec<DVec3>,
    /// Movement of each body.
    pub bodies: Vec<Movement>,
}
