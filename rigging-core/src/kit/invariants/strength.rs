//! Verdicts on strength, with stronger gear.

use super::texts::changed;
use super::violation::{Answer, Broken, Comparing, Invariant};
use crate::arrangement::Lift;
use crate::checks::{Assessment, Code, Finding, Verdict};
use crate::error::{Error, Place};
use crate::quantity;
use crate::rules::RuleSet;

/// Findings about strength.
const STRENGTHS: [Code; 5] =
    [Code::SlingStrength, Code::FittingStrength, Code::LiftPointStrength, Code::HookLoad, Code::SpreaderCompression];

/// The items of a lift that are rated.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum RatedItems {
    /// Slings, with their tags.
    Slings,
    /// Fittings, with their tags.
    Fittings,
    /// Points of the load.
    LiftPoints,
    /// Hooks.
    Hooks,
    /// All of them.
    All,
}

impl RatedItems {
    fn hold(self, pointer: &str) -> bool {
        match self {
            Self::Slings => pointer.starts_with("/slings/"),
            Self::Fittings => pointer.starts_with("/fittings/"),
            Self::LiftPoints => pointer.starts_with("/load/lift_points/"),
            Self::Hooks => pointer.starts_with("/hooks/"),
            Self::All => true,
        }
    }
}

/// All ratings of some items times a factor of 1 or more: no finding about strength grows worse, nor does the verdict
/// of the lift, consistency of figures aside; the tensions stay bit for bit, and no leg is utilized more.
///
/// A *stronger sling* is another thing: it is stiffer and thicker, and may well make a lift worse.
///
/// # Errors
/// [`Broken::Violation`]; [`Error::OutOfDomain`] for a factor below 1; what the assessment refuses.
///
/// ```
/// use rigging_core::arrangement::Lift;
/// use rigging_core::kit::invariants::{self, RatedItems};
/// use rigging_core::rules::RuleSet;
/// let lift = Lift::from_json(include_str!("../../../examples/lifts/generator-skid.json"))?;
/// let kept = invariants::more_strength(&lift, &RuleSet::built_in("us-general")?, RatedItems::Slings, 1.5);
/// assert!(kept.unwrap().compared());
/// # Ok::<(), rigging_core::error::Error>(())
/// ```
pub fn more_strength(lift: &Lift, rules: &RuleSet, items: RatedItems, factor: f64) -> Answer {
    if !(1.0..f64::INFINITY).contains(&factor) {
        let place = Place::root().child("factor");
        return Err(Error::out_of_domain("factor on the ratings", factor, "", "finite and at least 1", place).into());
    }
    let stronger = changed(lift, &|pointer, key, text| {
        let rating = ["wll", "breaking_load"].contains(&key) && items.hold(pointer);
        let (value, unit) = text.split_once(' ').filter(|_| rating)?;
        Some(Ok(format!("{} {unit}", quantity::number(value.parse::<f64>().ok()? * factor))))
    })?;
    let (before, after) = (lift.assess(rules)?, Lift::from_json(&stronger)?.assess(rules)?);
    let mut comparing = Comparing::new(Invariant::MoreStrength);
    compared(&mut comparing, &before, &after)?;
    Ok(comparing.kept())
}

fn compared(comparing: &mut Comparing, before: &Assessment, after: &Assessment) -> Result<(), Broken> {
    let worse = |comparing: &mut Comparing, found: Verdict, expected: Verdict, what: (String, Place)| {
        if severity(found) > severity(expected) {
            return Err(comparing.differ(found.words().into(), format!("{} or better", expected.words()), what));
        }
        comparing.agree();
        Ok(())
    };
    worse(comparing, of_strength(after), of_strength(before), ("verdict".into(), Place::root()))?;
    for finding in before.findings.iter().filter(|finding| STRENGTHS.contains(&finding.code)) {
        let same =
            |other: &&Finding| other.code == finding.code && other.item == finding.item && other.place == finding.place;
        // The worst of those about this item: a factor may move a finding in the list, and never adds one that is worse.
        let others = after.findings.iter().filter(same).map(|found| found.verdict);
        let expected = before.findings.iter().filter(same).map(|found| found.verdict).max_by_key(|v| severity(*v));
        let found = others.max_by_key(|verdict| severity(*verdict));
        if let (Some(found), Some(expected)) = (found, expected) {
            worse(comparing, found, expected, (finding.item.to_string(), finding.place.clone()))?;
        }
    }
    for (index, (leg, expected)) in after.legs.iter().zip(&before.legs).enumerate() {
        let what = |what: &str| (format!("{what} of {}", leg.name), Place::root().child("legs").child(index));
        comparing.same(&leg.worst.to_bits(), &expected.worst.to_bits(), || what("largest tension"))?;
        if let (Some(found), Some(expected)) = (leg.utilization, expected.utilization) {
            comparing.near([found.max(expected), expected], 0.0, expected, "", || what("utilization"))?;
        }
    }
    Ok(())
}

/// The verdict without what questions figures: a breaking load that rises alone may no longer go with the stiffness.
fn of_strength(assessment: &Assessment) -> Verdict {
    let findings = assessment.findings.iter().filter(|finding| finding.code != Code::Consistency);
    Verdict::combined(findings.map(|finding| finding.verdict))
}

/// How bad a verdict is.
const fn severity(verdict: Verdict) -> u8 {
    match verdict {
        Verdict::Fail => 3,
        Verdict::CannotConclude => 2,
        Verdict::NotCovered => 1,
        Verdict::Pass => 0,
    }
}
