//! What is said of a lift as it hangs with one weight, found once: rule sets that make the same of the weight share it.

use super::{Finding, hang};
use crate::arrangement::Lift;
use crate::demand::{Demand, Told};
use std::cell::OnceCell;

/// What was said of one demand so far.
#[derive(Default)]
pub(crate) struct Hung {
    /// What it asks of each leg.
    pub(super) told: Told,
    pose: OnceCell<Vec<Finding>>,
}

impl Hung {
    /// The findings on its pose.
    pub(super) fn pose(&self, lift: &Lift, demand: &Demand) -> &[Finding] {
        self.pose.get_or_init(|| hang::pose(lift, demand))
    }
}
