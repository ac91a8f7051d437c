//! Shackles that bear so much of their marking that the rule set has them looked at before each lift.

use super::alike::Alike;
use super::surroundings::in_words;
use super::{Code, Finding, Verdict};
use crate::arrangement::Lift;
use crate::chain::{Acts, Chain, Term};
use crate::demand::{Asked, Asks, Reach};
use crate::error::{Error, Place};
use crate::gear::{Fitting, FittingKind};
use crate::rules::{Answer, Question, RuleSet};
use crate::source::{Citation, Source};
use crate::text::Text;
use std::sync::Arc;

static RATIO: Citation = Citation::mechanics("ratio");

/// Every shackle in a leg or collecting legs, by the larger load: the document that was read does not say which.
pub(super) fn compare(
    lift: &Lift,
    rules: &RuleSet,
    fittings: &Alike,
    asks: &dyn Asks,
    findings: &mut Vec<Finding>,
) -> Result<(), Error> {
    if !rules.has_rules_on(Question::ShackleVisualCheck) {
        return Ok(());
    }
    let limits = fittings.each(|facts| Limit::of(rules.ask(Question::ShackleVisualCheck, facts)));
    for leg in lift.legs() {
        for (index, fitting) in leg.fittings() {
            let asked = || asks.leg(leg.index, &leg.leg.name, false).map(Some);
            findings.extend(shackle(index, fitting, limits.of(index), asked)?);
        }
    }
    for (number, (_, index, fitting)) in lift.collectors().enumerate() {
        let asked = || Ok(asks.collector(number, &fitting.name, false));
        findings.extend(shackle(index, fitting, limits.of(index), asked)?);
    }
    Ok(())
}

/// What a rule set says of the share of its marking from which on a shackle is looked at.
enum Limit {
    Silent,
    /// The share, and its clause.
    Set(Arc<Chain>, Source),
    /// What keeps it from speaking.
    Open(String),
    Refused(Error),
}

impl Limit {
    fn of(answer: Answer) -> Self {
        match answer {
            Answer::Speaks(ruled) => ruled.into_term().map_or(Self::Silent, |share| {
                let clause = share.source.clone();
                let limit = Chain::start("the share above which it is looked at before each lift", share);
                Self::Set(limit.into(), clause)
            }),
            Answer::Silent | Answer::DoesNotApply { .. } => Self::Silent,
            Answer::Refused(error) => Self::Refused(error),
            other => Self::Open(in_words(&other)),
        }
    }
}

fn shackle(
    index: usize,
    fitting: &Fitting,
    limit: Option<&Limit>,
    asked: impl FnOnce() -> Result<Option<Asked>, Error>,
) -> Result<Option<Finding>, Error> {
    if !matches!(fitting.kind, FittingKind::BowShackle | FittingKind::DeeShackle) {
        return Ok(None);
    }
    let place = Place::root().child("fittings").child(index);
    let name = &fitting.name;
    let (limit, clause) = match limit {
        Some(Limit::Set(limit, clause)) => (Arc::clone(limit), clause.clone()),
        None | Some(Limit::Silent) => return Ok(None),
        Some(Limit::Refused(error)) => return Err(error.clone()),
        Some(Limit::Open(why)) => {
            let text = format!("whether it is to be looked at before each lift is not settled: {why}");
            return Ok(Some(Finding::new(Code::Inspection, Verdict::CannotConclude, name, place, text)));
        }
    };
    let Some(Asked { chain, reach, .. }) = asked()? else { return Ok(None) };
    let what = format_args!("the working load limit that \"{name}\" is marked with");
    let add = "\"wll\": \"… t\"";
    let wll = match fitting.rating.wll.required(what, add, || place.child("rating").child("wll")) {
        Ok(wll) => wll.force().si(),
        Err(error) => return Finding::from_error(Code::Inspection, name, error).map(Some),
    };
    let share = Term::new("u", "load over working load limit", chain.value() / wll, "", Source::fixed(&RATIO))
        .from_input("working load limit as marked", Text::written(format_args!("{:.3} kN", wll / 1e3)));
    let share = Chain { quantity: ["share of the working load limit of ", &**name].into(), ..Chain::clone(&chain) }
        .becomes(share, Acts::OnForce);
    let finding = Finding::compared(Code::Inspection, name, place, share, limit).after(clause);
    Ok(Some(match (finding.verdict, reach) {
        (Verdict::Pass, Reach::Open(why)) => {
            let text = format!("{}: what was attained does not exceed it, and there is no bound: {why}", finding.text);
            Finding { verdict: Verdict::CannotConclude, text: text.into(), utilization: None, ..finding }
        }
        (Verdict::Pass, _) => finding,
        _ => {
            let text = "a competent person looks at it before each lift: it bears more of its working load limit than the \
                        rule set lets pass without";
            Finding { verdict: Verdict::NotCovered, text: text.into(), ..finding }
        }
    }))
}
