//! Other poses in which the lift could come to rest.

use super::Balance;
use crate::equilibrium::State;
use crate::equilibrium::other::other_equilibria;
use crate::error::Error;
use serde::Serialize;

/// Another stable pose.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct OtherBalance {
    /// Its state, told from the attitude as drawn: a tilt of 90° or more is *lost*.
    pub state: State,
    /// Tilt of each body, rad, the load first.
    pub tilts: Vec<f64>,
    /// Tension of each leg, N.
    pub tensions: Vec<f64>,
    /// Potential energy above that of the present pose, J; negative if it is lower.
    pub energy: f64,
    /// Energy of the lowest pass found between the two, J above the present pose: an upper bound of what it takes to get
    /// there; none where no pass was certified.
    pub pass: Option<f64>,
}

impl Balance {
    /// Other stable poses that were found, lowest energy first. It is a search and no proof that there are no more.
    ///
    /// # Errors
    /// Every error of the solver.
    pub fn others(&self) -> Result<Vec<OtherBalance>, Error> {
        self.nothing_runs("other balances")?;
        let found = other_equilibria(&self.model, &self.certificate)?;
        let others = found.equilibria.into_iter().map(|other| OtherBalance {
            state: other.certificate.state,
            tilts: other.certificate.bodies.iter().map(|body| body.tilt).collect(),
            tensions: other.certificate.members.iter().map(|member| member.tension).collect(),
            energy: other.energy,
            pass: other.pass.map(|pass| pass.energy),
        });
        Ok(others.collect())
    }
}
