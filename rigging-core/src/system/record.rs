//! A system as it is read: parts that are not validated yet.

use super::{Body, Hook, Joint, Member, System};
use crate::arrangement::read;
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

/// Format of a system as JSON; additions do not change it.
const FORMAT: u64 = 1;

impl System {
    /// Reads a system from a JSON text with the keys `gravity`, `hooks`, `joints`, `bodies` and `members`, all in SI.
    ///
    /// # Errors
    /// Every error of the form of the text, each with its JSON pointer; those of [`System::new`].
    ///
    /// ```
    /// use rigging_core::system::System;
    /// let text = r#"{"gravity": 9.80665, "hooks": [{"position": [0, 0, 3]}], "joints": [],
    ///     "bodies": [{"mass": 1000, "center_of_gravity": [0, 0, 0], "points": [[0, 0, 0.5]], "position": [0, 0, 0],
    ///                 "rotation": [0, 0, 0, 1]}],
    ///     "members": [{"a": {"hook": 0}, "b": {"body": {"body": 0, "point": 0}}, "length": 2, "law": {"linear": {"ea": 1e6}}}]}"#;
    /// assert_eq!(System::from_json(text)?.members()[0].length, 2.0);
    /// let error = System::from_json(&text.replace("\"length\": 2", "\"length\": -2")).map_err(|error| error.place().to_string());
    /// assert_eq!(error, Err("/members/0/length".to_owned()));
    /// # Ok::<(), rigging_core::error::Error>(())
    /// ```
    pub fn from_json(text: &str) -> Result<Self, Error> {
        // Read first and looked at next, so that errors keep their kind and place.
        read::read::<Parts>(text, FORMAT)?.try_into()
    }
}
