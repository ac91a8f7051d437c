//! Legs that hang from one place and are no set that documents speak of: more than four, or not alike. Where the rule set speaks of
//! sets of two to four legs alike with such slings, nothing is concluded.

use super::set_of_legs::{Hung, MOST_LEGS, With, place};
use super::{Code, Finding, Verdict};
use crate::arrangement::LegView;
use crate::capacity::Allowed;
use crate::error::Error;
use crate::text::Text;

/// Why legs are no set that documents speak of.
pub(super) struct Unlike {
    why: Text,
    /// Whether a set of the sling that bears least can be held against its load all the same: where it fails, so do these.
    pub(super) calculated: bool,
}

/// None where there are at most four, alike in hitch and in the kind of their slings.
pub(super) fn why(legs: &[Vec<LegView<'_>>]) -> Option<Unlike> {
    let unlike = |why: String, calculated| Some(Unlike { why: why.into(), calculated });
    if !are_alike(legs, |leg| vec![leg.leg.hitch.word()]) || !are_alike(legs, |leg| vec![leg.links.runs()]) {
        return unlike(format!("the {} legs differ in their hitch", legs.len()), false);
    }
    if legs.len() > MOST_LEGS {
        return unlike(format!("there are {} legs", legs.len()), false);
    }
    let kinds =
        |leg: &LegView<'_>| leg.slings().map(|(_, sling)| (sling.construction, sling.material)).collect::<Vec<_>>();
    if !are_alike(legs, kinds) {
        return unlike(format!("the slings of the {} legs differ in kind", legs.len()), true);
    }
    None
}

/// Whether all legs show the same from the place downward; what follows its like counts once.
fn are_alike<T: PartialEq>(legs: &[Vec<LegView<'_>>], shows: impl Fn(&LegView<'_>) -> Vec<T>) -> bool {
    let mut shown = legs.iter().map(|leg| {
        let mut shown: Vec<T> = leg.iter().flat_map(&shows).collect();
        shown.dedup();
        shown
    });
    let first = shown.next();
    shown.all(|other| first.as_ref() == Some(&other))
}

/// The finding that says which rule is not applied; none where the rule set is silent of sets with any of these slings.
pub(super) fn refused(with: &With<'_>, unlike: &Unlike, own: &[&Hung<'_>]) -> Option<Finding> {
    let (hung, said) = own.iter().find_map(|hung| Some((hung, with.says_of_any(hung)?)))?;
    let (sling, why) = (&hung.stated.sling.name, &unlike.why);
    let (rule, source) = match said {
        Ok(Allowed { capacity, .. }) => {
            (capacity.rule.as_ref().map(ToString::to_string).unwrap_or_default(), capacity.rule)
        }
        Err(Error::Unsupported { what, .. } | Error::Missing { what, .. }) => (what.to_string(), None),
        Err(other) => (other.to_string(), None),
    };
    let text = format!(
        "not calculated: the legs that hang from one place, {sling} among them, as a set: {why}, and what the rule set says of two \
         to four legs alike is not applied to them ({rule}): no figure for such a set was read; let two to four legs hang from one \
         place, alike in hitch and kind"
    );
    let finding = Finding::new(Code::SetOfLegs, Verdict::CannotConclude, &with.name, place(), text);
    Some(match source {
        Some(source) => finding.after(source),
        None => finding,
    })
}
