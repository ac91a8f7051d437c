//! The worst case over tolerances as a sharing rule.

use super::ToleranceBox;
use super::sweep::visit;
use crate::equilibrium::State;
use crate::error::{Error, Place};
use crate::sharing::{LegSet, SharingRule, Words};
use crate::source::{SOLVED, Source};

/// For every leg the largest tension over the nominal state and the vertices of the tolerances of its set, each hung and
/// certified.
///
/// What is attained at the vertices is no bound (points inside may exceed it by a little), so the rule makes no claim to be
/// conservative. `Balance::worst` proves bounds.
///
/// ```
/// use rigging_core::arrangement::Lift;
/// use rigging_core::demand::ElasticAtVertices;
/// use rigging_core::sharing::{LegSet, share};
/// use rigging_core::system::Masses;
/// let lift = Lift::from_json(include_str!("../../examples/lifts/generator-skid-stiff-slings.json"))?;
/// let forces = share(&ElasticAtVertices, &LegSet::of(&lift, Masses::stated(&lift)?)?)?;
/// approx::assert_abs_diff_eq!(forces[1], 121_410.0, epsilon = 5.0);
/// # Ok::<(), rigging_core::error::Error>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ElasticAtVertices;

impl SharingRule for ElasticAtVertices {
    fn words(&self) -> Words {
        Words {
            name: "elastic, worst at the vertices of the tolerances".into(),
            domain: "stiffnesses and tolerances known, and a balance that is stable at every vertex".into(),
            source: Source::fixed(&SOLVED),
            conservative: false,
        }
    }

    fn forces(&self, set: &LegSet) -> Result<Vec<f64>, Error> {
        let stated = set.tolerances()?;
        let tolerances = ToleranceBox { lengths: stated.lengths.clone(), center: stated.center_of_gravity };
        let mut largest = vec![0.0_f64; set.legs().len()];
        let mut not_stable = None;
        visit(set.system()?, &tolerances, |vertex, hung| {
            if hung.state != State::Stable && not_stable.is_none() {
                not_stable = Some(format!("load sharing where the balance is {} at {vertex}", hung.state.word()));
            }
            for (largest, (tension, _)) in largest.iter_mut().zip(hung.pulls) {
                *largest = largest.max(*tension);
            }
        })?;
        match not_stable {
            Some(what) => Err(Error::unsupported(what, Place::root().child("load"))),
            None => Ok(largest),
        }
    }
}
