//! What a solve hands back: pose, tensions and the proof that they balance.

use glam::{DQuat, DVec3};
use serde::Serialize;

/// What kind of equilibrium was found.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum State {
    /// A minimum of the potential energy, reached downhill from the attitude as drawn and tilted less than 90° from it.
    Stable,
    /// As stable, but the pose may drift without resistance in a way other than turning about the plumb line. Tensions
    /// are defined; the pose is one of many.
    Neutral,
    /// A balance that any disturbance ends: at least one eigenvalue of the Hessian is negative. Where the load would
    /// go stands in [`Certificate::destination`].
    Unstable,
    /// The branch that starts from the attitude as drawn has no equilibrium: the load turns over, to a tilt of 90° or
    /// more. Pose and tensions are those of where it would end, not of a lift.
    Lost,
}

impl State {
    /// The word printed in reports.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Stable => "stable",
            Self::Neutral => "neutral",
            Self::Unstable => "unstable",
            Self::Lost => "lost",
        }
    }
}

/// Where a body hangs. The turn about the plumb line is free under one hook; it is left as drawn.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Pose {
    /// Center of gravity in the world, m.
    #[cfg_attr(feature = "schema", schemars(with = "[f64; 3]"))]
    pub center_of_gravity: DVec3,
    /// Origin of the body's frame in the world, m.
    #[cfg_attr(feature = "schema", schemars(with = "[f64; 3]"))]
    pub position: DVec3,
    /// Turns body coordinates into world coordinates; a quaternion, x, y, z, w.
    #[cfg_attr(feature = "schema", schemars(with = "[f64; 4]"))]
    pub rotation: DQuat,
    /// The world's upward direction in the body's frame (unit vector).
    #[cfg_attr(feature = "schema", schemars(with = "[f64; 3]"))]
    pub up_in_body: DVec3,
    /// Angle between the world's upward direction and the upward direction of the body as drawn, rad, 0 to π.
    pub tilt: f64,
    /// Position of the (first) hook in the body's frame, m.
    #[cfg_attr(feature = "schema", schemars(with = "[f64; 3]"))]
    pub hook_in_body: DVec3,
}

/// A member in the equilibrium.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct MemberState {
    /// Tension, N; zero when slack.
    pub tension: f64,
    /// Distance between the ends, m.
    pub length: f64,
    /// (length − unstretched length) / unstretched length; negative when slack.
    pub strain: f64,
    /// Whether the member carries nothing.
    pub slack: bool,
    /// Unit vector in the world from end `b` toward end `a`; zero if the ends coincide.
    #[cfg_attr(feature = "schema", schemars(with = "[f64; 3]"))]
    pub direction: DVec3,
}

/// The member nearest to passing from taut to slack or back.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct SlackEvent {
    /// Index of the member.
    pub member: usize,
    /// How far its length is from the unstretched length, m (not negative).
    pub distance: f64,
}

/// A solved equilibrium and its proof.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Certificate {
    /// Kind of equilibrium.
    pub state: State,
    /// One pose for each body.
    pub bodies: Vec<Pose>,
    /// Position of each joint in the world, m.
    #[cfg_attr(feature = "schema", schemars(with = "Vec<[f64; 3]>"))]
    pub joints: Vec<DVec3>,
    /// One state for each member.
    pub members: Vec<MemberState>,
    /// Force of the system on each hook, N, in the world.
    #[cfg_attr(feature = "schema", schemars(with = "Vec<[f64; 3]>"))]
    pub hooks: Vec<DVec3>,
    /// Magnitude of the force that is left unbalanced, N.
    pub residual: f64,
    /// `residual` over the weight of all bodies.
    pub residual_over_weight: f64,
    /// Magnitude of the largest moment about its center of gravity that is left unbalanced on a body, N·m.
    pub residual_moment: f64,
    /// Largest product of a member's tension and of what its ends are closer together than its unstretched length, J: zero
    /// when no slack member carries anything.
    pub complementarity: f64,
    /// Eigenvalues of the reduced Hessian of the potential energy, ascending, N/m. Of one body under one hook it is that over the
    /// hook's position in the load's frame: three values, the turn about the plumb line removed. Of any other system
    /// they are those of `equilibrium::mode`, free turns about plumb lines removed: all of them up to 48 unknowns, else
    /// the 8 softest; none of more than 200 unknowns, and none if the iteration did not reach its accuracy.
    pub eigenvalues: Vec<f64>,
    /// Number of negative eigenvalues.
    pub negative_modes: usize,
    /// Number of null modes, the free turn about the plumb line included: 1 for a sound single-hook lift.
    pub null_modes: usize,
    /// Whether no other pose whatever has a lower potential energy, proven. The absence of the proof says nothing.
    pub lowest: bool,
    /// The member nearest to a slack event.
    pub nearest_slack_event: Option<SlackEvent>,
    /// Steps taken, those toward `destination` included.
    pub iterations: usize,
    /// Where an unstable load would go.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub destination: Option<Box<Certificate>>,
}

impl MemberState {
    /// Tension times slack, J.
    pub(super) fn complementarity(&self, unstretched: f64) -> f64 {
        self.tension * (-self.strain * unstretched).max(0.0)
    }
}
