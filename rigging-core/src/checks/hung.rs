//! What is said of a lift as it hangs with one weight, found once: rule sets that make the same of the weight share it.

use super::alike::Made;
use super::kept::{Kept, Sets};
use super::{Finding, hang};
use crate::arrangement::{Anchor, Lift};
use crate::demand::{Demand, Told};
use crate::error::Error;
use std::cell::RefCell;

/// What was said of one demand so far.
pub(crate) struct Hung {
    /// What it asks of each leg.
    pub(super) told: Told,
    sets: Sets,
    pose: Kept<Vec<Finding>>,
    /// By leg and point.
    points: RefCell<Made<(usize, Anchor), Result<Finding, Error>>>,
    marked: Kept<Result<Vec<Finding>, Error>>,
}

impl Hung {
    /// Of a demand that one rule set raises, or several.
    pub(crate) fn of(sets: Sets) -> Self {
        let (pose, marked) = (Kept::none(sets), Kept::none(sets));
        Self { told: Told::default(), sets, pose, points: RefCell::default(), marked }
    }

    /// The findings on its pose.
    pub(super) fn pose(&self, lift: &Lift, demand: &Demand) -> Vec<Finding> {
        self.pose.told(|| hang::pose(lift, demand))
    }

    /// The finding on a lift point that one leg pulls, which bears what is marked on it.
    pub(super) fn point(
        &self,
        leg: usize,
        at: Anchor,
        find: impl FnOnce() -> Result<Finding, Error>,
    ) -> Result<Finding, Error> {
        match self.sets {
            Sets::One => find(),
            Sets::Several => self.points.borrow_mut().once((leg, at), find).clone(),
        }
    }

    /// The findings on everything else that bears what is marked on it.
    pub(super) fn marked(&self, find: impl FnOnce() -> Result<Vec<Finding>, Error>) -> Result<Vec<Finding>, Error> {
        self.marked.told(find)
    }
}
