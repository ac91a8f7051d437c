//! What every sharing rule is: words about itself, and forces from a set of legs.

use super::{Determinate, Elastic, EqualShare, LegFactors, LegSet, LegsCounted, PlanLevers};
use crate::error::{Error, Place};
use crate::source::Source;
use crate::text::Text;
use serde::{Deserialize, Serialize};

/// What a sharing rule says of itself.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Words {
    /// Name.
    pub name: Text,
    /// When it applies; outside of it the rule refuses.
    pub domain: Text,
    /// Where it comes from.
    pub source: Source,
    /// Whether it claims that no leg carries more than it says, within its domain. A claim is not a proof.
    pub conservative: bool,
}

/// A rule that shares a load among the legs it hangs on.
///
/// ```
/// use rigging_core::arrangement::Lift;
/// use rigging_core::error::Error;
/// use rigging_core::sharing::{LegSet, SharingRule, Words, share};
/// use rigging_core::source::Source;
/// use rigging_core::system::Masses;
///
/// /// Four legs, of which one is thought away, each plumb.
/// #[derive(Debug)]
/// struct ThirdOfTheWeight;
///
/// impl SharingRule for ThirdOfTheWeight {
///     fn words(&self) -> Words {
///         Words {
///             name: "a third of the weight".into(),
///             domain: "four legs".into(),
///             source: Source::stated_with_rule("note of the yard"),
///             conservative: true,
///         }
///     }
///
///     fn forces(&self, set: &LegSet) -> Result<Vec<f64>, Error> {
///         set.count_within(4..=4)?;
///         Ok(vec![set.weight() / 3.0; 4])
///     }
/// }
///
/// let lift = Lift::from_json(include_str!("../../examples/lifts/generator-skid.json"))?;
/// let forces = share(&ThirdOfTheWeight, &LegSet::of(&lift, Masses::stated(&lift)?)?)?;
/// approx::assert_abs_diff_eq!(forces[0], 60_474.0, epsilon = 0.5);
/// # Ok::<(), Error>(())
/// ```
pub trait SharingRule: std::fmt::Debug + Send + Sync {
    /// What the rule says of itself.
    fn words(&self) -> Words;

    /// Force of each leg, N, in the order of the set. Ask through [`share`], which looks at the answer.
    ///
    /// # Errors
    /// Outside its domain a rule refuses: [`Error::OutOfDomain`] for a number beyond it, [`Error::Unsupported`] for a kind of
    /// arrangement it does not speak of, [`Error::Missing`] for an input it needs. It never answers a number there.
    fn forces(&self, set: &LegSet) -> Result<Vec<f64>, Error>;

    /// Whether the rule stands at the utilization that its own forces make of each sling, in the order of the set; none of a
    /// sling whose capacity is not known. Asked once the slings are rated; most rules look at no utilization.
    ///
    /// # Errors
    /// [`Error::Unsupported`] where a condition of the rule is not met there; what it lacks to tell.
    fn stands_at(&self, _utilizations: &[Option<f64>]) -> Result<(), Error> {
        Ok(())
    }
}

/// Force of each leg by a rule, N, in the order of the set.
///
/// # Errors
/// What the rule refuses; [`Error::Inconsistent`] for an answer that is not one force a leg, [`Error::OutOfDomain`] for a
/// force that is not finite or is below zero: a leg cannot push.
pub fn share(rule: &dyn SharingRule, set: &LegSet) -> Result<Vec<f64>, Error> {
    looked_at(rule, set, rule.forces(set)?)
}

/// The forces that a rule answered, if there is one a leg and each is a force.
///
/// # Errors
/// As [`share`], less what the rule refuses.
pub(crate) fn looked_at(rule: &dyn SharingRule, set: &LegSet, forces: Vec<f64>) -> Result<Vec<f64>, Error> {
    let legs = set.legs().len();
    let place = || Place::root().child("legs");
    if forces.len() != legs {
        let what = format!("the rule \"{}\" answers {} forces for {legs} legs", rule.words().name, forces.len());
        return Err(Error::inconsistent(what, place()));
    }
    for (index, force) in forces.iter().enumerate() {
        if !(*force >= 0.0 && force.is_finite()) {
            let what = format!("force by the rule \"{}\"", rule.words().name);
            return Err(Error::out_of_domain(what, *force, "N", "finite and not below zero", place().child(index)));
        }
    }
    Ok(forces)
}

/// The built-in rules that need no number from the user.
///
/// # Errors
/// None; the tables are read from data that is tested.
///
/// ```
/// let names: Vec<_> = rigging_core::sharing::built_in()?.iter().map(|rule| rule.words().name).collect();
/// assert_eq!(names.first().map(|name| name.as_str()), Some("equal share by angle"));
/// # Ok::<(), rigging_core::error::Error>(())
/// ```
pub fn built_in() -> Result<Vec<Box<dyn SharingRule>>, Error> {
    let mut rules: Vec<Box<dyn SharingRule>> = vec![
        Box::new(EqualShare),
        Box::new(LegsCounted::three()),
        Box::new(LegsCounted::two()),
        Box::new(PlanLevers),
        Box::new(Determinate),
        Box::new(Elastic),
    ];
    for table in LegFactors::built_in()? {
        rules.push(Box::new(table));
    }
    Ok(rules)
}
