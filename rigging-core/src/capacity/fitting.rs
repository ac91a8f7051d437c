//! Rated capacity of a fitting: by limits of the rule set, else in the way that it names, else by what is marked on it.

use super::marking::lesser;
use super::{Capacity, Motion, rate_marked, speaks};
use crate::arrangement::Lift;
use crate::chain::{Acts, Chain, Term};
use crate::demand::facts_of;
use crate::error::{Error, Place};
use crate::gear::Fitting;
use crate::rules::{Answer, BREAKING_LOAD, Facts, MARKED, Question, RuleSet, TABLE};
use crate::source::Source;
use std::borrow::Cow;
use std::sync::Arc;

/// A marking that a limit repeats may differ from it by the rounding of units.
const SAME: f64 = 1e-9;

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
    ruled.rate(fitting, &place, rate_marked(&fitting.name, &fitting.rating, &place))
}

/// What a rule set says of fittings that state the same.
pub(crate) struct FittingRules {
    /// Limits of its own, each with the state of the load it holds for.
    limits: Vec<(Question, Motion, Arc<Term>)>,
    /// Where it has none: how they are rated, and who says so; none where it does not say, and the marking stands by itself.
    basis: Option<(Source, Vec<Basis>)>,
    /// Whether a dynamic factor acts on what it bears.
    moves: bool,
    /// The place of the fitting that was asked about.
    first: Place,
}

/// One way of rating, with what the rule set says to it.
enum Basis {
    Marked,
    /// The rated value.
    Table(Result<Option<Arc<Term>>, Error>),
    /// The design factor.
    BreakingLoad(Result<Arc<Term>, Error>),
}

impl FittingRules {
    /// Asks about a fitting, at `place`, and all that state the same facts.
    ///
    /// # Errors
    /// [`Error::Missing`] for what the rule set needs and the document does not give; [`Error::Unsupported`] where it keeps back
    /// how such a fitting is rated.
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
        let at = place.child("rating");
        if fitting.kind.word() == "shackle" {
            for (question, motion) in
                [(Question::ShackleStaticLimit, Motion::AtRest), (Question::ShackleDynamicLimit, Motion::Moving)]
            {
                if rules.has_rules_on(question)
                    && let Some(term) = speaks(rules.ask(question, &facts), question, &at)?
                {
                    limits.push((question, motion, Arc::new(term)));
                }
            }
        }
        // What is withheld keeps limits, too, from rating a fitting: so a set keeps gear out of use.
        let basis = match Some(rules.ask(Question::RatingBasis, &facts))
            .filter(|answer| limits.is_empty() || matches!(answer, Answer::Withheld { .. }))
        {
            Some(Answer::Speaks(ruled)) => {
                let ways = ruled.words().iter().map(|word| Basis::of(word, &facts, rules, &at));
                let ways = ways.collect::<Result<_, _>>()?;
                Some((ruled.source, ways))
            }
            Some(answer) => speaks(answer, Question::RatingBasis, &at).map(|_| None)?,
            None => None,
        };
        Ok(Self { limits, basis, moves: dynamic.is_some(), first: place.clone() })
    }

    /// Capacities of one of them, at `place`, as [`rate_fitting`]; `marked` is what its marking alone says.
    ///
    /// # Errors
    /// [`Error::Missing`] for what the way of rating needs and the document does not give, a marked value without its source
    /// among it; [`Error::Unsupported`] where the rule set names a way of rating and does not say what it comes to.
    pub(crate) fn rate(
        &self,
        fitting: &Fitting,
        place: &Place,
        marked: Result<Option<Capacity>, Error>,
    ) -> Result<Vec<(Motion, Capacity)>, Error> {
        let moving = |rated: Capacity| vec![(Motion::Moving, rated)];
        if self.limits.is_empty() {
            let Some((rule, ways)) = &self.basis else { return Ok(marked?.map(moving).unwrap_or_default()) };
            let mut refusal = None;
            for way in ways {
                match way.rate(fitting, place, &marked) {
                    Ok(Some(rated)) => return Ok(moving(Capacity { rule: Some(rule.clone()), ..rated })),
                    Ok(None) => {}
                    Err(error) => refusal = refusal.or(Some(error.moved(&self.first, place))),
                }
            }
            if refusal.is_none() && !ways.iter().any(|way| matches!(way, Basis::Marked)) {
                let what = format!(
                    "what \"{}\" may bear: after {rule} it is rated by a table, and no rule gives a rated value for it",
                    fitting.name
                );
                refusal = Some(Error::unsupported(what, place.child("rating")));
            }
            return refusal.map_or(Ok(Vec::new()), Err);
        }
        self.by_limits(fitting, place, marked?)
    }

    /// By the limits of the rule set. At rest no fitting bears more than is marked on it, whatever a limit says; moving, only
    /// what a limit for the moving load says goes beyond the marking.
    fn by_limits(
        &self,
        fitting: &Fitting,
        place: &Place,
        marked: Option<Capacity>,
    ) -> Result<Vec<(Motion, Capacity)>, Error> {
        let mut rated = Vec::with_capacity(2);
        for (question, motion, term) in &self.limits {
            let mut chain = Chain::start([question.name(), " of ", &*fitting.name], Arc::clone(term));
            let rule = Some(term.source.clone());
            if *motion == Motion::AtRest
                && let Some(marked) = &marked
                && marked.chain.value() < chain.value() * (1.0 - SAME)
            {
                chain = lesser(chain, &marked.chain);
            }
            rated.push((*motion, Capacity { chain: chain.into(), rule }));
        }
        let has = |asked| self.limits.iter().any(|(_, motion, _)| *motion == asked);
        match (has(Motion::AtRest), has(Motion::Moving), marked) {
            (false, _, Some(marked)) => rated.insert(0, (Motion::AtRest, marked)),
            (_, false, Some(marked)) => rated.push((Motion::Moving, marked)),
            (_, false, None) if self.moves => {
                let what = format!(
                    "what \"{}\" may bear while the load moves, of which the rule set gives the limit at rest alone: its marked rating",
                    fitting.name
                );
                return Err(Error::missing(what, "\"wll\": \"… t\"", place.child("rating").child("wll")));
            }
            _ => {}
        }
        Ok(rated)
    }
}

impl Basis {
    /// What the rule set says to a way of rating that it names; `at` is the place of the rating.
    fn of(word: &str, facts: &Facts, rules: &RuleSet, at: &Place) -> Result<Self, Error> {
        let said = |question, facts: &Facts| Ok(speaks(rules.ask(question, facts), question, at)?.map(Arc::new));
        Ok(match word {
            MARKED => Self::Marked,
            TABLE => Self::Table(said(Question::RatedValue, &facts.clone().word("taken from", "table"))),
            BREAKING_LOAD => Self::BreakingLoad(said(Question::DesignFactor, facts).and_then(|factor| {
                factor.ok_or_else(|| {
                    let what = format!(
                        "the rating of a fitting by its breaking load, for which {} gives no design factor",
                        rules.title()
                    );
                    Error::unsupported(what, at.clone())
                })
            })),
            other => return Err(Error::unsupported(format!("a fitting rated by {other}"), at.clone())),
        })
    }

    /// The rating of one fitting in this way; none where this way gives none.
    fn rate(
        &self,
        fitting: &Fitting,
        place: &Place,
        marked: &Result<Option<Capacity>, Error>,
    ) -> Result<Option<Capacity>, Error> {
        let title = || ["rated capacity of ", &*fitting.name];
        let chain = match self {
            Self::Marked => return marked.clone(),
            Self::Table(said) => {
                let Some(term) = said.clone()? else { return Ok(None) };
                let chain = Chain::start(title(), term);
                // As of a sling: the table is for what is new, and a lower marking goes before it.
                match marked.clone()? {
                    Some(marked) => lesser(chain, &marked.chain),
                    None => chain,
                }
            }
            Self::BreakingLoad(factor) => {
                let factor = factor.clone()?;
                let rating = place.child("rating");
                let what = format_args!("the minimum breaking load of \"{}\", from which it is rated,", fitting.name);
                let add = "\"breaking_load\": \"… t\"";
                let load = fitting.rating.breaking_load.required(what, add, || rating.child("breaking_load"))?;
                let what = format_args!("the source of the rating of \"{}\"", fitting.name);
                let source = fitting.rating.source.required(what, "\"source\": \"…\"", || rating.child("source"))?;
                let term = super::marked("MBL", "minimum breaking load", load, source);
                let chain = Chain::start(title(), term).divided_by(factor, Acts::OnForce);
                match marked.clone()? {
                    Some(marked) if marked.chain.value() < chain.value() => lesser(chain, &marked.chain),
                    _ => chain,
                }
            }
        };
        Ok(Some(Capacity { chain: chain.into(), rule: None }))
    }
}
