//! The mechanical model: bodies, joints, hooks and members with laws, in SI doubles.
//!
//! World z is up. A [`System`] knows no sling and no standard: it is what statics needs and nothing else. It is valid
//! by construction: [`System::new`] refuses what is not finite, out of range, contradictory or unsupported, and says
//! where.

mod from_lift;
mod law;
mod numbers;
mod path;
mod record;
mod running;
mod stretch;
mod validate;

pub use from_lift::{Masses, Model, Strand, from_lift, member_names};
pub use law::Law;
pub(crate) use numbers::Number;
pub use running::{Over, Running, Span, validate_running};

use crate::error::{Error, Place};
use glam::{DQuat, DVec3};
use serde::{Deserialize, Serialize};

/// What one end of a member is attached to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case", deny_unknown_fields)]
pub enum End {
    /// A hook, by its index: a point fixed in space.
    Hook(usize),
    /// A joint, by its index: a massless point (ring, link) at which members meet.
    Joint(usize),
    /// A point of a body.
    Body {
        /// Index of the body.
        body: usize,
        /// Index of the point in [`Body::points`].
        point: usize,
    },
}

/// A tension-only elastic member between two ends.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Member {
    /// The first end.
    pub a: End,
    /// The second end.
    pub b: End,
    /// Unstretched length, m.
    pub length: f64,
    /// Tension against strain.
    pub law: Law,
}

/// A rigid body.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Body {
    /// Mass, kg.
    pub mass: f64,
    /// Center of gravity in the body's frame, m.
    #[cfg_attr(feature = "schema", schemars(with = "[f64; 3]"))]
    pub center_of_gravity: DVec3,
    /// Points of attachment in the body's frame, m.
    #[cfg_attr(feature = "schema", schemars(with = "Vec<[f64; 3]>"))]
    pub points: Vec<DVec3>,
    /// Origin of the body's frame in the world, as drawn, m.
    #[cfg_attr(feature = "schema", schemars(with = "[f64; 3]"))]
    pub position: DVec3,
    /// Attitude as drawn: turns body coordinates into world coordinates. It is normalized by [`System::new`].
    #[cfg_attr(feature = "schema", schemars(with = "[f64; 4]"))]
    pub rotation: DQuat,
}

/// A massless point at which members meet.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Joint {
    /// Position as drawn, m.
    #[cfg_attr(feature = "schema", schemars(with = "[f64; 3]"))]
    pub position: DVec3,
}

/// A point fixed in space.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Hook {
    /// Position in the world, m.
    #[cfg_attr(feature = "schema", schemars(with = "[f64; 3]"))]
    pub position: DVec3,
}

/// A validated mechanical system.
///
/// ```
/// use glam::{DQuat, DVec3};
/// use rigging_core::system::{Body, End, Hook, Law, Member, System};
/// let body = Body {
///     mass: 1000.0,
///     center_of_gravity: DVec3::new(0.0, 0.0, -0.3),
///     points: vec![DVec3::new(1.0, 0.0, 0.0), DVec3::new(-1.0, 0.0, 0.0)],
///     position: DVec3::ZERO,
///     rotation: DQuat::IDENTITY,
/// };
/// let leg = |point| -> Result<Member, rigging_core::error::Error> {
///     Ok(Member { a: End::Hook(0), b: End::Body { body: 0, point }, length: 2.0, law: Law::linear(1.0e6)? })
/// };
/// let system = System::new(9.80665, vec![Hook { position: DVec3::new(0.0, 0.0, 5.0) }], vec![], vec![body], vec![leg(0)?, leg(1)?])?;
/// assert_eq!(system.members().len(), 2);
/// # Ok::<(), rigging_core::error::Error>(())
/// ```
///
/// As JSON it has the keys `gravity`, `hooks`, `joints`, `bodies` and `members`, all in SI; what is read is validated by
/// [`System::new`].
///
/// ```
/// use rigging_core::system::System;
/// let text = r#"{"gravity": 9.80665, "hooks": [{"position": [0, 0, 3]}], "joints": [],
///     "bodies": [{"mass": 1000, "center_of_gravity": [0, 0, 0], "points": [[0, 0, 0.5]], "position": [0, 0, 0],
///                 "rotation": [0, 0, 0, 1]}],
///     "members": [{"a": {"hook": 0}, "b": {"body": {"body": 0, "point": 0}}, "length": 2, "law": {"linear": {"ea": 1e6}}}]}"#;
/// let system: System = serde_json::from_str(text)?;
/// let again: System = serde_json::from_str(&serde_json::to_string(&system)?)?;
/// assert_eq!(system, again);
/// assert!(serde_json::from_str::<System>(&text.replace("\"length\": 2", "\"length\": -2")).is_err());
/// # Ok::<(), serde_json::Error>(())
/// ```
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(try_from = "record::Parts")]
pub struct System {
    gravity: f64,
    hooks: Vec<Hook>,
    joints: Vec<Joint>,
    bodies: Vec<Body>,
    members: Vec<Member>,
}

impl System {
    /// A system under `gravity` (m/s², downward, positive).
    ///
    /// # Errors
    ///
    /// [`Error::OutOfDomain`] for a value that is not finite or outside its range (lengths 1e-9 to 1e9 m, coordinates
    /// to ±1e9 m, masses 1e-12 to 1e15 kg) and for an index that refers to nothing; [`Error::Missing`] without a hook
    /// or without a body; [`Error::Inconsistent`] for a member whose ends cannot move against each other, and for a
    /// joint without members; [`Error::Unsupported`] for a body that no chain of members ties to a hook. The place is
    /// a JSON pointer such as `/members/2/length`.
    pub fn new(
        gravity: f64,
        hooks: Vec<Hook>,
        joints: Vec<Joint>,
        bodies: Vec<Body>,
        members: Vec<Member>,
    ) -> Result<Self, Error> {
        let mut system = Self { gravity, hooks, joints, bodies, members };
        validate::validate(&system)?;
        for body in &mut system.bodies {
            body.rotation = body.rotation.normalize();
        }
        Ok(system)
    }

    /// The same system, each body with a mass of its own; one a body.
    ///
    /// # Errors
    /// As [`System::new`] for the mass of a body.
    pub(super) fn reweighed(mut self, masses: impl Iterator<Item = f64>) -> Result<Self, Error> {
        for (index, (body, mass)) in self.bodies.iter_mut().zip(masses).enumerate() {
            body.mass = mass;
            validate::validate_mass(body, || Place::root().child("bodies").child(index))?;
        }
        Ok(self)
    }

    /// Acceleration of gravity, m/s².
    pub const fn gravity(&self) -> f64 {
        self.gravity
    }

    /// The hooks.
    pub fn hooks(&self) -> &[Hook] {
        &self.hooks
    }

    /// The joints.
    pub fn joints(&self) -> &[Joint] {
        &self.joints
    }

    /// The bodies, with normalized rotations.
    pub fn bodies(&self) -> &[Body] {
        &self.bodies
    }

    /// The members.
    pub fn members(&self) -> &[Member] {
        &self.members
    }

    /// The distance between two ends that cannot move against each other, m; none where they can.
    pub(crate) fn fixed_distance(&self, a: End, b: End) -> Option<f64> {
        match (a, b) {
            (End::Hook(a), End::Hook(b)) => Some(self.hooks.get(a)?.position.distance(self.hooks.get(b)?.position)),
            (End::Body { body, point: a }, End::Body { body: other, point: b }) if body == other => {
                let points = &self.bodies.get(body)?.points;
                Some(points.get(a)?.distance(*points.get(b)?))
            }
            _ => None,
        }
    }

    /// The same system with one member longer by `offset` (m; shorter if negative).
    ///
    /// # Errors
    ///
    /// [`Error::OutOfDomain`] for a member that is not there or a length out of its range.
    pub fn longer(mut self, member: usize, offset: f64) -> Result<Self, Error> {
        let place = Place::root().child("members").child(member);
        let count = self.members.len();
        let Some(found) = self.members.get_mut(member) else {
            let allowed = format!("below {count}");
            return Err(Error::out_of_domain("index of the member", member as f64, "", allowed, place));
        };
        found.length += offset;
        validate::length(found.length, || place)?;
        Ok(self)
    }

    /// The same system with a mass (kg) at a point of a body, which moves the body's center of gravity.
    ///
    /// # Errors
    ///
    /// [`Error::OutOfDomain`] for a body or a point that is not there, and a mass out of its range.
    pub fn loaded(mut self, body: usize, point: usize, mass: f64) -> Result<Self, Error> {
        let place = Place::root().child("bodies").child(body);
        let count = self.bodies.len();
        let Some(found) = self.bodies.get_mut(body) else {
            let allowed = format!("below {count}");
            return Err(Error::out_of_domain("index of the body", body as f64, "", allowed, place));
        };
        let count = found.points.len();
        let Some(at) = found.points.get(point) else {
            let allowed = format!("below {count}");
            return Err(Error::out_of_domain("index of the point", point as f64, "", allowed, place.child("points")));
        };
        let all = found.mass + mass;
        found.center_of_gravity += (*at - found.center_of_gravity) * (mass / all);
        found.mass = all;
        validate::validate_body(found, || place.clone())?;
        Ok(self)
    }

    /// The same system with the center of gravity of one body moved by `offset` (m, in the body's frame).
    ///
    /// # Errors
    ///
    /// [`Error::OutOfDomain`] for a body that is not there or a coordinate out of its range.
    pub fn shifted(mut self, body: usize, offset: DVec3) -> Result<Self, Error> {
        let place = Place::root().child("bodies").child(body);
        let count = self.bodies.len();
        let Some(found) = self.bodies.get_mut(body) else {
            let allowed = format!("below {count}");
            return Err(Error::out_of_domain("index of the body", body as f64, "", allowed, place));
        };
        found.center_of_gravity += offset;
        validate::coordinates(found.center_of_gravity, || place.child("center_of_gravity"))?;
        Ok(self)
    }
}
