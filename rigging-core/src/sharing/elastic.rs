//! The solver as a rule.

use super::{LegSet, SharingRule, Words};
use crate::equilibrium::{self, State};
use crate::error::{Error, Place};
use crate::source::{SOLVED, Source};

/// Tensions of the certified balance at nominal lengths, stiffnesses and center of gravity.
///
/// What tolerances make of it is more: this rule makes no claim to be conservative.
///
/// ```
/// use rigging_core::arrangement::Lift;
/// use rigging_core::sharing::{Elastic, LegSet, share};
/// use rigging_core::system::Masses;
/// let lift = Lift::from_json(include_str!("../../examples/lifts/generator-skid.json"))?;
/// let forces = share(&Elastic, &LegSet::of(&lift, Masses::stated(&lift)?)?)?;
/// approx::assert_abs_diff_eq!(forces[1], 69_116.0, epsilon = 0.5);
/// # Ok::<(), rigging_core::error::Error>(())
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Elastic;

impl SharingRule for Elastic {
    fn words(&self) -> Words {
        Words {
            name: "elastic, nominal".into(),
            domain: "stiffnesses known, and a balance that is stable".into(),
            source: Source::fixed(&SOLVED),
            conservative: false,
        }
    }

    fn forces(&self, set: &LegSet) -> Result<Vec<f64>, Error> {
        let certificate = equilibrium::solve(set.system()?)?;
        if certificate.state != State::Stable {
            let what = format!("load sharing where the balance is {}", certificate.state.word());
            return Err(Error::unsupported(what, Place::root().child("load")));
        }
        Ok(certificate.members.iter().map(|member| member.tension).collect())
    }
}
