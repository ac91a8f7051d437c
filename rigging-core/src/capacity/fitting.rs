//! Rated capacity of a fitting: by limits of the rule set, else by what is marked on it.

use super::{Capacity, Motion, rate_marked, speaks};
use crate::arrangement::Lift;
use crate::chain::{Chain, Term};
use crate::demand::facts_of;
use crate::error::{Error, Place};
use crate::gear::Fitting;
use crate::rules::{Answer, Facts, Question, RuleSet};
use crate::source::Source;
use std::borrow::Cow;
use std::sync::Arc;

/// Capacities of a fitting of a lift, each with the state of the load it holds for. Empty where neither marking nor rule gives one.
///
/// # Errors
/// [`Error::Missing`] for what the rule set needs and the document does not give.
pub fn rate_fitting(
    lift: &Lift,
    fitting: &Fitting,
    index: usize,
    dynamic: Option<&Term>,
    rules: &RuleSet,
) -> Result<Vec<(Motion, Capacity)>, Error> {
    let place = Place::root().child("fittings").child(index);
    let ruled = FittingRules::of(fitting, &facts_of(lift).of_fitting(fitting), dynamic, rules, &place)?;
    ruled.rate(&fitting.name, rate_marked(&fitting.name, &fitting.rating, &place))
}

/// What a rule set says of fittings that state the same.
pub(crate) struct FittingRules {
    /// Limits of its own, each with the state of the load it holds for.
    limits: Vec<(Question, Motion, Arc<Term>)>,
    /// Where it has none: who says that they are rated by their marking.
    by_marking: Option<Source>,
}

impl FittingRules {
    /// Asks about a fitting, at `place`, and all that state the same facts.
    ///
    /// # Errors
    /// [`Error::Missing`] for what the rule set needs and the document does not give.
    pub(crate) fn of(
        fitting: &Fitting,
        facts: &Facts,
        dynamic: Option<&Term>,
        rules: &RuleSet,
        place: &Place,
    ) -> Result<Self, Error> {
        let mut facts = Cow::Borrowed(facts);
        if let Some(dynamic) = dynamic {
            facts = Cow::Owned(facts.into_owned().number("dynamic factor", dynamic.value, ""));
        }
        let mut limits = Vec::new();
        if fitting.kind.word() == "shackle" {
            let place = place.child("rating");
            for (question, motion) in
                [(Question::ShackleStaticLimit, Motion::AtRest), (Question::ShackleDynamicLimit, Motion::Moving)]
            {
                if rules.has_rules_on(question)
                    && let Some(term) = speaks(rules.ask(question, &facts), question, &place)?
                {
                    limits.push((question, motion, Arc::new(term)));
                }
            }
        }
        let by_marking = match limits.is_empty().then(|| rules.ask(Question::RatingBasis, &facts)) {
            Some(Answer::Speaks(ruled)) => Some(ruled.source),
            Some(Answer::Refused(error)) => return Err(error),
            _ => None,
        };
        Ok(Self { limits, by_marking })
    }

    /// Capacities of one of them, as [`rate_fitting`], by what its marking alone says.
    ///
    /// # Errors
    /// [`Error::Missing`] for a marked value without its source.
    pub(crate) fn rate(
        &self,
        name: &str,
        marked: Result<Option<Capacity>, Error>,
    ) -> Result<Vec<(Motion, Capacity)>, Error> {
        if self.limits.is_empty() {
            let rule = || self.by_marking.clone();
            return Ok(marked?.map(|rated| (Motion::Moving, Capacity { rule: rule(), ..rated })).into_iter().collect());
        }
        let limits = self.limits.iter().map(|(question, motion, term)| {
            let chain = Chain::start([question.name(), " of ", name], Arc::clone(term));
            (*motion, Capacity { chain: chain.into(), rule: Some(term.source.clone()) })
        });
        Ok(limits.collect())
    }
}
