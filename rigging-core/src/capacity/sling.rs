//! Rated capacity of a sling in the hitch at hand.

use super::case::{Case, Hanging, Rests, Stated};
use super::reduction::Factors;
use super::{Capacity, breaking, condition, hitch, marked};
use crate::arrangement::Hitch;
use crate::chain::{Acts, Chain, Step, Term};
use crate::error::{Error, Place};
use crate::gear::{Known, Portion, Sling};
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
            TABLE => by_table(case),
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

fn source(case: &Case<'_>) -> Result<Text, Error> {
    let place = || case.place.child("strength").child("source");
    let what = format_args!("the source of the strength of \"{}\"", case.sling.name);
    case.sling.strength.source.required(what, "\"source\": \"tag and test certificate …\"", place).cloned()
}

fn title(sling: &Sling) -> Text {
    ["rated capacity of ", &*sling.name].into()
}

/// By what is marked for the hitch at hand, else by the marking for a straight pull and what the hitch leaves of it.
fn by_marking(case: &Case<'_>) -> Result<Option<Chain>, Error> {
    let strength = &case.sling.strength;
    if [&strength.wll, &strength.wll_choke, &strength.wll_basket].into_iter().all(Known::is_unknown) {
        return Ok(None);
    }
    whole_only(case.sling, &case.place)?;
    let source = source(case)?;
    if let Some(chain) = hitch::marked_for(case, &title(case.sling), &source)? {
        return Ok(Some(chain));
    }
    let Known::Value(wll) = &strength.wll else { return Ok(None) };
    let term = marked("WLL", "working load limit as marked, straight pull", wll, &source);
    hitch::rated(case, Chain::start(title(case.sling), term)).map(Some)
}

/// A marked rating is for the sling as used; one quoted for a part would be out by a factor of two.
fn whole_only(sling: &Sling, place: &Place) -> Result<(), Error> {
    let place = || place.child("strength").child("basis");
    let what = format_args!("whether the strength of \"{}\" is quoted for the whole sling or for one part", sling.name);
    match sling.strength.basis.required(what, "\"basis\": \"part\" or \"whole\", whichever it is", place)? {
        Portion::Whole => Ok(()),
        Portion::Part => {
            let what = "a working load limit quoted for one part of a sling; state the one for the whole sling";
            Err(Error::unsupported(what, place()))
        }
    }
}

/// By a table: the one printed for the hitch at hand, else the one for a straight pull and what the hitch leaves of it.
fn by_table(case: &Case<'_>) -> Result<Option<Chain>, Error> {
    let straight = || -> Result<Option<Chain>, Error> {
        let facts = case.straight().word("taken from", "table");
        let table = case.tabulated(|ends| case.said(Question::RatedValue, &with_ends(facts.clone(), ends)))?;
        Ok(table.map(|(term, share)| with_share(Chain::start(title(case.sling), term), share)))
    };
    let chain = match case.hitch() {
        Hitch::Straight => straight()?,
        _ => match hitch::tabulated(case, &title(case.sling))? {
            Some(chain) => Some(chain),
            None => straight()?.map(|chain| hitch::rated(case, chain)).transpose()?,
        },
    };
    let Some(chain) = chain else { return Ok(None) };
    // The table is for new gear of that size; a lower marking on the sling itself goes before it.
    match source(case) {
        Ok(_) => Ok(Some(match by_marking(case)? {
            Some(marked) => lesser(chain, &marked),
            None => chain,
        })),
        Err(_) => Ok(Some(chain)),
    }
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

/// The lesser of a rating and that by marking, as a step.
pub(super) fn lesser(chain: Chain, marked: &Chain) -> Chain {
    let mut term = (*marked.base).clone();
    if !marked.steps.is_empty() {
        let straight = format!("{:.3} kN", term.value / 1e3);
        let name = term.name.clone();
        term = term.from_input(name, straight);
        term.name = "working load limit as marked, in the hitch at hand".into();
        term.value = marked.value();
    }
    chain.least_of(term, Acts::OnForce)
}
