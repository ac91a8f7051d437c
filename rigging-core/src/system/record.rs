//! A system as it is read: parts that are not validated yet.

use super::{Body, Hook, Joint, Member, System};
use crate::error::Error;
use serde::Deserialize;

#[derive(Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub(super) struct Parts {
    gravity: f64,
    hooks: Vec<Hook>,
    joints: Vec<Joint>,
    bodies: Vec<Body>,
    members: Vec<Member>,
}

impl TryFrom<Parts> for System {
    type Error = Error;

    fn try_from(parts: Parts) -> Result<Self, Error> {
        let Parts { gravity, hooks, joints, bodies, members } = parts;
        Self::new(gravity, hooks, joints, bodies, members)
    }
}
