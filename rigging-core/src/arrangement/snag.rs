//! A load that may stick: what is to be reckoned with beside its weight, and what the gear may bear then.

use super::circumstances::Circumstances;
use super::ranges::Least;
use super::ranges::{cited, single, within};
use crate::error::{Error, Place};
use crate::gear::{Cited, Known};
use crate::quantity::{Entered, Force, Fraction};
use serde::{Deserialize, Serialize};

/// Greatest share of a rated capacity: what is more was meant in another way.
const GREATEST_SHARE: f64 = 5.0;

/// What is to be reckoned with where the load sticks, as a load case of its own. Either `pull` or `factor`.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Snag {
    /// Pull beside the weight, at the load's center of gravity.
    #[serde(default, skip_serializing_if = "Known::is_unknown")]
    pub pull: Known<Cited<Entered<Force>>>,
    /// Factor on the weight of the load, the pull included.
    #[serde(default, skip_serializing_if = "Known::is_unknown")]
    pub factor: Known<Cited<f64>>,
    /// What everything in the load path may bear then.
    #[serde(default)]
    pub capacity: Known<SnagCapacity>,
}

/// What the gear may bear where the load sticks.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
#[non_exhaustive]
pub enum SnagCapacity {
    /// What it may bear in every lift.
    Rated,
    /// A share of that, after who allows it.
    ShareOfRated(Cited<Entered<Fraction>>),
}

/// Checks what is stated of a load that may stick.
pub(super) fn check(snag: &Known<Snag>, circumstances: &Circumstances, place: &Place) -> Result<(), Error> {
    let Some(snag) = snag.value() else { return Ok(()) };
    if circumstances.load_may_stick.value() == Some(&false) {
        let what = "the load cannot stick, as its circumstances state, and a pull is stated for where it sticks";
        return Err(Error::inconsistent(what, place.clone()));
    }
    if !snag.pull.is_unknown() && !snag.factor.is_unknown() {
        let what = "where the load sticks, either a pull or a factor is stated, not both";
        return Err(Error::inconsistent(what, place.child("factor")));
    }
    if let Some(pull) = snag.pull.value() {
        let place = place.child("pull");
        cited(pull, &place)?;
        single("pull where the load sticks", &pull.value, Least::AboveZero, &place.child("value"))?;
    }
    if let Some(factor) = snag.factor.value() {
        let place = place.child("factor");
        cited(factor, &place)?;
        if !(factor.value.is_finite() && factor.value > 1.0) {
            let name = "factor where the load sticks";
            return Err(Error::out_of_domain(name, factor.value, "", "finite and above 1", place.child("value")));
        }
    }
    if let Some(SnagCapacity::ShareOfRated(share)) = snag.capacity.value() {
        let place = place.child("capacity").child("share_of_rated");
        cited(share, &place)?;
        single("share of the rated capacity", &share.value, Least::AboveZero, &place.child("value"))?;
        within("share of the rated capacity", &share.value, 0.0, GREATEST_SHARE, place.child("value"))?;
    }
    Ok(())
}
