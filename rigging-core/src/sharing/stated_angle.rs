//! Another rule at an angle that is stated.

use super::{LegSet, SharingRule, Words};
use crate::error::Error;
use std::sync::Arc;

/// Another rule with one angle from vertical for every leg, in place of those drawn.
///
/// What is stated is the user's: the rule claims nothing.
///
/// ```
/// use rigging_core::arrangement::Lift;
/// use rigging_core::sharing::{LegSet, LegsCounted, StatedAngle, share};
/// use rigging_core::system::Masses;
/// use std::sync::Arc;
/// let lift = Lift::from_json(include_str!("../../examples/lifts/generator-skid.json"))?;
/// let rule = StatedAngle::new(Arc::new(LegsCounted::two()), 27.5_f64.to_radians())?;
/// let forces = share(&rule, &LegSet::of(&lift, Masses::stated(&lift)?)?)?;
/// approx::assert_abs_diff_eq!(forces[0], 102_267.0, epsilon = 1.0);
/// # Ok::<(), rigging_core::error::Error>(())
/// ```
#[derive(Debug, Clone)]
pub struct StatedAngle {
    base: Arc<dyn SharingRule>,
    from_vertical_rad: f64,
}

impl StatedAngle {
    /// `base` at an angle from vertical, rad.
    ///
    /// # Errors
    /// [`Error::OutOfDomain`] unless the angle is from 0 to below a right angle.
    pub fn new(base: Arc<dyn SharingRule>, from_vertical_rad: f64) -> Result<Self, Error> {
        super::leg_set::checked_angle(from_vertical_rad)?;
        Ok(Self { base, from_vertical_rad })
    }
}

impl SharingRule for StatedAngle {
    fn words(&self) -> Words {
        let base = self.base.words();
        let angle = self.from_vertical_rad.to_degrees();
        Words {
            name: format!("{} at {angle:.1} deg from vertical", base.name).into(),
            domain: format!("{}; all legs at an angle that is stated, not drawn", base.domain).into(),
            source: base.source,
            conservative: false,
        }
    }

    fn forces(&self, set: &LegSet) -> Result<Vec<f64>, Error> {
        super::share(self.base.as_ref(), &set.clone().with_angle(self.from_vertical_rad)?)
    }

    fn stands_at(&self, utilizations: &[Option<f64>]) -> Result<(), Error> {
        self.base.stands_at(utilizations)
    }
}
