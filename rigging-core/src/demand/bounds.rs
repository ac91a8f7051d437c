//! Bounds over the tolerances: proven for one load under one hook.

use super::ToleranceBox;
use crate::equilibrium::worst::{self, Effort, Open, Tolerances, Worst};
use crate::error::{Error, Place};
use crate::sharing::{LegSet, SharingRule, Words};
use crate::source::Source;
use crate::system::System;

/// For every leg the tension that no balance on the branch of the nominal one exceeds, whatever lengths and center of gravity
/// are within the tolerances of its set; proven, at stiffness and mass as stated.
///
/// Where there is no bound, the rule refuses and says why.
///
/// ```
/// use rigging_core::arrangement::Lift;
/// use rigging_core::demand::{ElasticAtVertices, ElasticBounds};
/// use rigging_core::sharing::{LegSet, share};
/// use rigging_core::system::Masses;
/// let lift = Lift::from_json(include_str!("../../examples/lifts/generator-skid.json"))?;
/// let set = LegSet::of(&lift, Masses::stated(&lift)?)?;
/// let (bounds, attained) = (share(&ElasticBounds::default(), &set)?, share(&ElasticAtVertices, &set)?);
/// assert!(bounds.iter().zip(&attained).all(|(bound, attained)| bound >= attained && *bound < 1.02 * attained));
/// # Ok::<(), rigging_core::error::Error>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct ElasticBounds {
    /// How closely the bounds are looked for, and at what expense.
    pub effort: Effort,
}

impl SharingRule for ElasticBounds {
    fn words(&self) -> Words {
        Words {
            name: "elastic, bounds over the tolerances".into(),
            domain:
                "one load under one hook, stiffnesses and tolerances known, and a balance that is stable throughout; \
                     stiffness and mass as stated"
                    .into(),
            source: Source::mechanics("equilibrium of the hanging load, bounded over the tolerances"),
            conservative: true,
        }
    }

    fn forces(&self, set: &LegSet) -> Result<Vec<f64>, Error> {
        let stated = set.tolerances()?;
        let tolerances = ToleranceBox { lengths: stated.lengths.clone(), center: stated.center_of_gravity };
        let found = bounded(set.system()?, &tolerances, &self.effort)?;
        let legs = Place::root().child("legs");
        let bound = |(leg, extreme): (usize, &worst::Extreme)| {
            extreme.bound.ok_or_else(|| no_bound(found.open.as_ref(), legs.child(leg)))
        };
        found.legs.iter().enumerate().map(bound).collect()
    }
}

/// The worst case of a system over lengths and center of gravity; stiffness, mass and hooks as stated.
///
/// # Errors
/// As [`worst::worst()`] and [`worst::worst_of_system`].
pub(super) fn bounded(system: &System, tolerances: &ToleranceBox, effort: &Effort) -> Result<Worst, Error> {
    let sides = Tolerances {
        lengths: tolerances.lengths.clone(),
        center_of_gravity: tolerances.center,
        hook_heights: vec![0.0; system.hooks().len()],
        ..Tolerances::none(tolerances.lengths.len())
    };
    worst::worst_of(system, &sides, effort)
}

/// Why there is no bound, as an error at `place`.
fn no_bound(open: Option<&Open>, place: Place) -> Error {
    let why = open.map_or("it was not looked for", |open| open.reason.words());
    Error::unsupported(format!("a bound over the tolerances: {why}"), place)
}
