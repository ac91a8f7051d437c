//! What is said of a lift as it hangs with one weight, found once: rule sets that make the same of the weight share it.

use super::alike::Made;
use super::{Finding, hang};
use crate::arrangement::{Anchor, Lift};
use crate::demand::{Demand, Told};
use crate::error::Error;
use std::cell::{OnceCell, RefCell};

/// What was said of one demand so far.
#[derive(Default)]
pub(crate) struct Hung {
    /// What it asks of each leg.
    pub(super) told: Told,
    pose: OnceCell<Vec<Finding>>,
    /// By leg and point.
    points: RefCell<Made<(usize, Anchor), Result<Finding, Error>>>,
    marked: OnceCell<Result<Vec<Finding>, Error>>,
}

impl Hung {
    /// The findings on its pose.
    pub(super) fn pose(&self, lift: &Lift, demand: &Demand) -> &[Finding] {
        self.pose.get_or_init(|| hang::pose(lift, demand))
    }

    /// The finding on a lift point that one leg pulls, which bears what is marked on it.
    pub(super) fn point(
        &self,
        leg: usize,
        at: Anchor,
        find: impl FnOnce() -> Result<Finding, Error>,
    ) -> Result<Finding, Error> {
        self.points.borrow_mut().once((leg, at), find).clone()
    }

    /// The findings on everything else that bears what is marked on it.
    pub(super) fn marked(
        &self,
        find: impl FnOnce() -> Result<Vec<Finding>, Error>,
    ) -> Result<impl Iterator<Item = Finding> + '_, Error> {
        let found = self.marked.get_or_init(find).as_ref().map_err(Error::clone)?;
        Ok(found.iter().cloned())
    }
}
