//! What a lift is by itself: found once, whatever rule sets it is assessed under.

use super::alike::{Alike, Made};
use super::markings::Markings;
use super::seen_temperature::{self, Seen};
use super::{Finding, collectors, fit, particulars, unused};
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
    /// What goes into what, leg by leg.
    pub(super) fits: Vec<Vec<Finding>>,
    /// Whether the fittings that collect legs fit where they are, and whether there is room where legs meet.
    pub(super) room: Vec<Finding>,
    /// Both ends of the temperature that its gear sees, where it is known.
    pub(super) temperatures: Option<[Seen<'a>; 2]>,
    /// What its gear may bear by its marking.
    pub(super) markings: Markings<'a>,
    /// Particulars that are not stated, and statements that are not used.
    pub(super) particulars: Vec<Finding>,
    pub(super) unused: Vec<Finding>,
}

impl<'a> ByItself<'a> {
    /// Finds it.
    ///
    /// # Errors
    /// Only those that are not a matter of missing or not yet calculated inputs.
    pub(crate) fn of(lift: &'a Lift) -> Result<Self, Error> {
        let mut fitted = Made::none();
        let circumstances = circumstances(lift);
        Ok(Self {
            lift,
            slings: Alike::slings(lift, &circumstances),
            fittings: Alike::fittings(lift, &circumstances),
            circumstances,
            bends: contact::every_bend(lift),
            fits: lift.legs().map(|leg| fit::of_leg(lift, &leg, &mut fitted)).collect::<Result<_, _>>()?,
            room: [fit::of_collectors(lift, &mut fitted)?, collectors::room(lift)?].concat(),
            temperatures: seen_temperature::of(lift),
            markings: Markings::default(),
            particulars: particulars::compare(lift),
            unused: unused::compare(lift),
        })
    }
}
