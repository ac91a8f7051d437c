//! Share of each crane with the margin of the rule set.

use super::surroundings::in_words;
use super::{Code, Finding, Stance, Verdict, strength};
use crate::arrangement::{Lift, OperationKind};
use crate::chain::{Acts, Chain, Term};
use crate::demand::{Asked, Asks, Reach};
use crate::error::{Error, Place};
use crate::rules::{Answer, Facts, Question, RuleSet};
use crate::text::Text;

/// Number of cranes: one for a single hook, else as many as are named; the kind of operation tells it of two hooks.
///
/// # Errors
/// [`Error::Missing`] for the names of the cranes.
pub(super) fn number(lift: &Lift) -> Result<usize, Error> {
    let document = lift.document();
    let hooks = &document.hooks;
    let mut names: Vec<&Text> = hooks.iter().filter_map(|hook| hook.crane.value()).collect();
    let all_named = names.len() == hooks.len();
    names.sort_unstable_by(|one, other| one.as_str().cmp(other.as_str()));
    names.dedup();
    match (hooks.len(), document.operation.kind.value()) {
        (1, _) => Ok(1),
        _ if all_named => Ok(names.len()),
        (2, Some(OperationKind::MultiCraneLift)) => Ok(2),
        (2, Some(OperationKind::TwoHookLift)) => Ok(1),
        _ => {
            let unnamed = hooks.iter().position(|hook| hook.crane.is_unknown()).unwrap_or_default();
            let place = Place::root().child("hooks").child(unnamed).child("crane");
            Err(Error::missing("the crane that each hook belongs to", "\"crane\": \"…\"", place))
        }
    }
}

/// The facts that a margin is asked with.
pub(super) fn facts(lift: &Lift) -> Facts {
    match number(lift) {
        Ok(number) => Facts::new().number("number of cranes", number as f64, ""),
        Err(_) => Facts::new().unknown("number of cranes"),
    }
}

/// One finding a hook where the rule set gives a margin; one that it gives none where there are several hooks.
pub(super) fn compare(lift: &Lift, rules: &RuleSet, demand: &dyn Asks) -> Result<Vec<Finding>, Error> {
    let name = &lift.document().name;
    let several = lift.document().hooks.len() > 1;
    let place = Place::root().child("hooks");
    let said = |verdict, text: String| vec![Finding::new(Code::CraneShare, verdict, name, place.clone(), text)];
    Ok(match rules.ask(Question::CraneMargin, &facts(lift)) {
        Answer::Speaks(ruled) => match ruled.term() {
            Some(margin) => of_hooks(lift, demand, margin)?,
            None => Vec::new(),
        },
        Answer::Refused(error) => return Err(error),
        Answer::Missing { fact, needed_by } => match number(lift) {
            Err(error) => vec![Finding::from_error(Code::CraneShare, name, error)?],
            Ok(_) => {
                let text = format!(
                    "a margin on the share of each crane: {needed_by} needs the {fact}, and a margin is asked with the number \
                     of cranes alone; let the rule look at that"
                );
                said(Verdict::CannotConclude, text)
            }
        },
        // A margin for several cranes says nothing of one.
        _ if !several => Vec::new(),
        other @ (Answer::Silent | Answer::DoesNotApply { .. }) => {
            let text = format!(
                "the share of each crane is held against its rating and no margin beyond it: {}",
                in_words(&other)
            );
            let stance = Stance::of(&other);
            said(Verdict::NotCovered, text).into_iter().map(|finding| finding.standing(stance)).collect()
        }
        Answer::OutsideRange { source, .. } if number(lift) == Ok(1) => {
            let text = "all hooks belong to one crane, and the margin of the rule set is for several: their loads are held against \
                        their ratings and no margin beyond them";
            let found = said(Verdict::NotCovered, text.to_owned()).into_iter();
            found.map(|finding| finding.standing(Some(Stance::DoesNotApply)).after(source.clone())).collect()
        }
        other => said(Verdict::CannotConclude, format!("a margin on the share of each crane: {}", in_words(&other))),
    })
}

fn of_hooks(lift: &Lift, demand: &dyn Asks, margin: &Term) -> Result<Vec<Finding>, Error> {
    let document = lift.document();
    let gravity = document.gravity.value().map_or(f64::NAN, |gravity| gravity.si());
    let hooks = document.hooks.iter().enumerate();
    hooks
        .map(|(index, hook)| {
            let place = Place::root().child("hooks").child(index);
            match demand.hook(lift, index, &hook.name, gravity) {
                Ok(asked) => {
                    let asked = with_margin(asked, &hook.name, margin);
                    let rated = strength::rate_hook(lift, index, hook);
                    let finding = strength::held_against(Code::CraneShare, &hook.name, place, asked, rated)?;
                    Ok(finding.after(margin.source.clone()))
                }
                Err(error) => Finding::from_error(Code::CraneShare, &hook.name, error),
            }
        })
        .collect()
}

fn with_margin(asked: Asked, name: &str, margin: &Term) -> Asked {
    let quantity = ["share on ", name, " with the margin of the rules"].into();
    let chain = Chain { quantity, ..Chain::clone(&asked.chain) }.times(margin.clone(), Acts::OnForce);
    let reach = match asked.reach {
        Reach::Bound(attained) => Reach::Bound(attained * margin.value),
        other => other,
    };
    Asked { chain: chain.into(), reach, ..asked }
}
