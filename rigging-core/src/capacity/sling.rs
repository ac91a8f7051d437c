//! Rated capacity of a sling in the hitch at hand.

use super::case::{Case, Hanging, Rests, Stated};
use super::marking::{self, is_any, lesser, source, source_of_stated, whole_only};
use super::reduction::Factors;
use super::{Capacity, breaking, condition, hitch};
use crate::arrangement::Hitch;
use crate::chain::{Acts, Chain, Step, Term};
use crate::error::Error;
use crate::gear::{Known, Sling};
use crate::rules::{BREAKING_LOAD, Facts, MARKED, Question, RuleSet, TABLE};
use crate::source::{Source, Standing};
use crate::text::Text;

/// Rated capacity of the sling at `index` of the document, as it hangs: the tension of one leg, of a doubled sling that of
/// both lengths together. `None` where the rule set does not say how such a sling is rated and nothing is marked on it.
///
/// # Errors
/// [`Error::Missing`] for what the way of rating needs and the document does not give; [`Error::Unsupported`] for a hitch
/// that neither rule set nor tag rates.
pub fn rate_sling(
    sling: &Sling,
    index: usize,
    hanging: &Hanging<'_>,
    rules: &RuleSet,
) -> Result<Option<Capacity>, Error> {
    let facts = Facts::new().of_sling(sling);
    rate_among(Stated { sling, index, facts: &facts }, hanging, rules, &Factors::default()).0
}

/// The same of what a sling is known to state of itself, beside other slings of one lift under one rule set, whose safety
/// factors are known; and what it rests on.
pub(crate) fn rate_among(
    stated: Stated<'_>,
    hanging: &Hanging<'_>,
    rules: &RuleSet,
    factors: &Factors,
) -> (Result<Option<Capacity>, Error>, Rests) {
    let case = Case::of(stated, hanging, rules, factors);
    (rated(&case), case.rests())
}

/// The rating of a sling that hangs as a first one does and is rated as that is ([`Sling::is_rated_as`]); `None` where the
/// paper that states the strength of the first stands elsewhere than at the base of its rating.
pub(crate) fn rated_alike(sling: &Sling, first: &Sling, rated: &Capacity) -> Option<Capacity> {
    let mut chain = Chain { quantity: title(sling), ..Chain::clone(&rated.chain) };
    if let (Known::Value(paper), Known::Value(own)) = (&first.strength.source, &sling.strength.source)
        && paper != own
    {
        let of_paper = |source: &Source| source.standing == Standing::Stated && source.document == *paper;
        let within = |step: &Step| {
            of_paper(&step.term.source) || step.term.not_taken.iter().any(|branch| of_paper(&branch.source))
        };
        if chain.steps.iter().any(within) {
            return None;
        }
        if of_paper(&chain.base.source) {
            chain.base = Term { source: Source::stated(own), ..Term::clone(&chain.base) }.into();
        }
    }
    Some(Capacity { chain: chain.into(), rule: rated.rule.clone() })
}

fn rated(case: &Case<'_>) -> Result<Option<Capacity>, Error> {
    let ruled = case.bases()?;
    let by_itself = [Text::fixed(MARKED)];
    let bases = ruled.as_ref().map_or(&by_itself[..], |ruled| ruled.words());
    let mut refusal = None;
    for basis in bases {
        let rated = match basis.as_str() {
            MARKED => by_marking(case),
            TABLE => match by_table(case) {
                // What one figure of the sling contradicts, no other way of rating it settles.
                Ok(Some(chain)) => {
                    table_heeds_breaking_load(case, chain.value())?;
                    Ok(Some(chain))
                }
                other => other,
            },
            BREAKING_LOAD => {
                source(case).and_then(|source| breaking::by_breaking_load(case, title(case.sling), &source)).map(Some)
            }
            other => Err(Error::unsupported(format!("a sling rated by {other}"), case.place.clone())),
        };
        match rated.and_then(|chain| chain.map(|chain| condition::lowered(case, chain)).transpose()) {
            Ok(Some(chain)) => {
                return Ok(Some(Capacity { chain: chain.into(), rule: ruled.map(|ruled| ruled.source) }));
            }
            Ok(None) => {}
            Err(error) => refusal = refusal.or(Some(error)),
        }
    }
    refusal.map_or(Ok(None), Err)
}

fn title(sling: &Sling) -> Text {
    ["rated capacity of ", &*sling.name].into()
}

/// By what is marked for the hitch at hand, else by the marking for a straight pull and what the hitch leaves of it. What a tag alone
/// shows bounds other ratings, but rates nothing by itself.
fn by_marking(case: &Case<'_>) -> Result<Option<Chain>, Error> {
    let strength = &case.sling.strength;
    let of_hitch = match case.hitch() {
        Hitch::Choke(_) => &strength.wll_choke,
        Hitch::Basket => &strength.wll_basket,
        Hitch::Straight | Hitch::Doubled => &strength.wll,
    };
    if of_hitch.is_unknown() && strength.wll.is_unknown() { Ok(None) } else { marked_in_hitch(case) }
}

fn marked_in_hitch(case: &Case<'_>) -> Result<Option<Chain>, Error> {
    if case.sling.strength.is_marked() {
        whole_only(case.sling, &case.place)?;
    }
    hitch::by_marking(case, &title(case.sling), &source_of_stated(case)?)
}

/// By a table, or by a lower marking: the table is for new gear of that size.
fn by_table(case: &Case<'_>) -> Result<Option<Chain>, Error> {
    Ok(table_and_marking(case)?.map(|(chain, marked)| match marked {
        Some(marked) => lesser(chain, &marked),
        None => chain,
    }))
}

/// The table printed for the hitch at hand, else the one for a straight pull and what the hitch leaves of it; and what is marked
/// on the sling, in its hitch.
pub(super) fn table_and_marking(case: &Case<'_>) -> Result<Option<(Chain, Option<Chain>)>, Error> {
    let chain = match case.hitch() {
        Hitch::Straight => straight_table(case)?,
        _ => match hitch::tabulated(case, &title(case.sling))? {
            Some(chain) => Some(chain),
            None => straight_table(case)?.map(|chain| hitch::rated(case, chain)).transpose()?,
        },
    };
    let Some(chain) = chain else { return Ok(None) };
    source_of_stated(case)?;
    let marked = if is_any(case.sling) { marked_in_hitch(case)? } else { None };
    Ok(Some((chain, marked)))
}

fn straight_table(case: &Case<'_>) -> Result<Option<Chain>, Error> {
    let facts = case.straight().word("taken from", "table");
    let table = case.tabulated(|ends| case.said(Question::RatedValue, &with_ends(facts.clone(), ends)))?;
    Ok(table.map(|(term, share)| with_share(Chain::start(title(case.sling), term), share)))
}

/// Refuses a rating by table that the breaking load of the sling contradicts, as long as no lower marking goes before the table.
pub(super) fn table_heeds_breaking_load(case: &Case<'_>, rated: f64) -> Result<(), Error> {
    // Where no straight pull is tabulated, what bears in its hitch bears at least as much in one, for each of two lengths.
    let lengths = if *case.hitch() == Hitch::Doubled { 2.0 } else { 1.0 };
    let table = straight_table(case).ok().flatten().map_or(rated / lengths, |table| table.value());
    let marked = marking::straight(case, &title(case.sling), &source_of_stated(case)?, case.hitched())?;
    let least = marked.map_or(table, |marked| marked.value().min(table));
    marking::heeds_breaking_load(case, least, "table")
}

/// The same facts with other ends, where some are named.
pub(super) fn with_ends(facts: Facts, ends: Option<&'static str>) -> Facts {
    match ends {
        Some(ends) => facts.word("termination", ends),
        None => facts,
    }
}

/// A table's value with what the ends leave of it.
pub(super) fn with_share(chain: Chain, share: Option<Term>) -> Chain {
    match share {
        Some(share) => chain.times(share, Acts::OnForce),
        None => chain,
    }
}
