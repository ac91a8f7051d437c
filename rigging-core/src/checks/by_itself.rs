//! What a lift is by itself, whatever rule sets it is assessed under.

use super::alike::Alike;
use super::fit::Fits;
use super::kept::{Kept, Sets};
use super::markings::Markings;
use super::seen_temperature::{self, Seen};
use super::{Finding, particulars, unused};
use crate::arrangement::Lift;
use crate::contact::{self, Bend};
use crate::demand::circumstances;
use crate::error::Error;
use crate::rules::Facts;
use std::sync::Arc;

/// A lift, and what no rule set has a say in.
pub(crate) struct ByItself<'a> {
    pub(super) lift: &'a Lift,
    /// What holds of it whatever is asked.
    pub(super) circumstances: Arc<Facts>,
    /// Slings and fittings by the facts they state.
    pub(super) slings: Alike,
    pub(super) fittings: Alike,
    /// The bends of every sling, in the order of the legs and of the slings in each.
    pub(super) bends: Vec<Vec<Bend>>,
    /// Both ends of the temperature that its gear sees, where it is known.
    pub(super) temperatures: Option<[Seen<'a>; 2]>,
    /// What its gear may bear by its marking.
    pub(super) markings: Markings<'a>,
    fits: Kept<Result<Fits, Error>>,
    particulars: Kept<Vec<Finding>>,
    unused: Kept<Vec<Finding>>,
}

impl<'a> ByItself<'a> {
    /// A lift that is to be assessed under one rule set, or several.
    pub(crate) fn of(lift: &'a Lift, sets: Sets) -> Self {
        let circumstances = circumstances(lift);
        Self {
            lift,
            slings: Alike::slings(lift, &circumstances),
            fittings: Alike::fittings(lift, &circumstances),
            circumstances,
            bends: contact::every_bend(lift),
            temperatures: seen_temperature::of(lift),
            markings: Markings::default(),
            fits: Kept::none(sets),
            particulars: Kept::none(sets),
            unused: Kept::none(sets),
        }
    }

    /// What goes into what.
    ///
    /// # Errors
    /// Only those that are not a matter of missing or not yet calculated inputs.
    pub(super) fn fits(&self) -> Result<Fits, Error> {
        self.fits.told(|| Fits::of(self.lift))
    }

    /// Particulars that are not stated.
    pub(super) fn particulars(&self) -> Vec<Finding> {
        self.particulars.told(|| particulars::compare(self.lift))
    }

    /// Statements that are not used.
    pub(super) fn unused(&self) -> Vec<Finding> {
        self.unused.told(|| unused::compare(self.lift))
    }
}
