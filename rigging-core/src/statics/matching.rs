//! Which lengths must match: states of self-stress and what length errors do through them.

use super::Balance;
use crate::equilibrium::self_stress::{interchangeable, self_stress};
use crate::error::Error;
use serde::Serialize;

/// States of self-stress of a balance.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct SelfStress {
    /// Names of the legs, in the order of every list.
    pub legs: Vec<String>,
    /// Number of independent states of self-stress.
    pub states: usize,
    /// Legs whose lengths must match each other; legs in no group are statically determinate.
    pub groups: Vec<Vec<String>>,
    /// Tension of a leg per length error, N/m: row i, column j says what a longer leg j does to leg i through self-stress.
    pub tension_per_length: Vec<Vec<f64>>,
    /// Singular values of the equilibrium matrix over the largest, descending: how clear the count is.
    pub singular_values: Vec<f64>,
    /// Singular values up to this count as zero.
    pub tolerance: f64,
}

/// Which of the measured slings goes where.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Order {
    /// For each leg, the name of the leg whose sling should hang there.
    pub slings: Vec<String>,
    /// Largest change of a tension by self-stress as they hang now, N.
    pub before: f64,
    /// The same in this order, N.
    pub after: f64,
    /// Whether all orders were tried; otherwise pairs were exchanged until no exchange helped.
    pub exhaustive: bool,
}

impl Balance {
    /// The states of self-stress. `tolerance` is the singular value, over the largest, up to which a combination of legs
    /// counts as one: 1e-9 for what geometry makes exact, more for legs that are nearly parallel.
    ///
    /// # Errors
    /// [`Error::OutOfDomain`] unless the tolerance lies between 0 and 1.
    pub fn self_stress(&self, tolerance: f64) -> Result<SelfStress, Error> {
        self.nothing_runs("self-stress")?;
        let found = self_stress(&self.model, &self.certificate, tolerance)?;
        let group = |group: &Vec<usize>| group.iter().map(|member| self.names.leg(*member)).collect();
        Ok(SelfStress {
            legs: self.names.legs.clone(),
            states: found.states.len(),
            groups: found.groups.iter().map(group).collect(),
            tension_per_length: found.tension_per_length,
            singular_values: found.singular_values,
            tolerance: found.tolerance,
        })
    }

    /// Given measured length errors (m, in the order of the legs), the order of interchangeable slings that lessens the
    /// largest change of a tension by self-stress.
    ///
    /// # Errors
    /// As [`Balance::self_stress`]; [`Error::Inconsistent`] unless there is one error for each leg.
    pub fn order(&self, errors: &[f64], tolerance: f64) -> Result<Order, Error> {
        self.nothing_runs("the order of slings")?;
        let found = self_stress(&self.model, &self.certificate, tolerance)?;
        let assignment = found.assign(errors, &interchangeable(&self.model))?;
        Ok(Order {
            slings: assignment.members.iter().map(|member| self.names.leg(*member)).collect(),
            before: assignment.before,
            after: assignment.after,
            exhaustive: assignment.exhaustive,
        })
    }
}
