//! What a set of legs may bear as a whole, and how many of its legs count.
//!
//! A factor or relation that a document prints for the hitch at hand stands on the straight rating of one leg; one that
//! does not look at the hitch stands on the rating of one leg in its hitch.

use super::case::{Case, Hanging, Stated};
use super::reduction::Factors;
use super::sling::{rate_sling, table_and_marking, table_heeds_breaking_load, with_ends, with_share};
use super::{Capacity, condition, hitch};
use crate::arrangement::Hitch;
use crate::chain::{Acts, Chain, Term};
use crate::error::Error;
use crate::gear::Sling;
use crate::rules::{Facts, MARKED, Question, RuleSet, TABLE};
use crate::source::Source;
use crate::text::Text;
use std::f64::consts::FRAC_PI_2;
use std::sync::Arc;

/// A set of legs alike, from one hook to the load.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Set {
    /// How many.
    pub legs: usize,
    /// Angle of the flattest from vertical, rad.
    pub flattest: f64,
    /// Angle of the steepest from vertical, rad; none where it is not known.
    pub steepest: Option<f64>,
}

/// What is allowed of a set of legs.
#[derive(Debug, Clone, PartialEq)]
pub struct Allowed {
    /// What is asked instead of the weight itself; none where the weight is.
    pub asked: Option<Chain>,
    /// What may be borne.
    pub capacity: Capacity,
}

impl Set {
    const fn word(&self) -> &'static str {
        match self.legs {
            2 => "two legs",
            3 => "three legs",
            _ => "four legs",
        }
    }

    /// Facts of one of its legs as facts of the set.
    fn facts(&self, of_leg: &Facts, utilization: f64) -> Facts {
        let steepest = self.steepest.map(|angle| FRAC_PI_2 - angle);
        of_leg.clone().of_set(self.word(), utilization, FRAC_PI_2 - self.flattest, steepest)
    }
}

/// What a set of legs with the sling at `index` in each may bear: by the factor or relation on the rating of one leg, or by
/// a table, as the rule set prefers to rate; what it says besides stands among the branches not taken. `None` where it
/// speaks of no set.
///
/// # Errors
/// As [`rate_sling`], and [`Error::Unsupported`] where the document refuses such a set.
pub fn rate_set(
    sling: &Sling,
    index: usize,
    hanging: &Hanging<'_>,
    set: &Set,
    weight: f64,
    rules: &RuleSet,
) -> Result<Option<Allowed>, Error> {
    let factors = Factors::default();
    let facts = Facts::new().of_sling(sling);
    let case = Case::of(Stated { sling, index, facts: &facts }, hanging, rules, &factors);
    of_set(&case, index, &|| rate_sling(sling, index, hanging, rules), set, weight)
}

/// The rating of one leg as it hangs.
type AsHung<'a> = &'a dyn Fn() -> Result<Option<Capacity>, Error>;

/// What [`rate_set`] and [`count_legs`] say where the rating of one leg as it hangs is known.
pub(crate) fn allow(
    stated: Stated<'_>,
    hanging: &Hanging<'_>,
    rated: &Result<Option<Capacity>, Error>,
    set: &Set,
    weight: &Chain,
    rules: &RuleSet,
) -> [Result<Option<Allowed>, Error>; 2] {
    let factors = Factors::default();
    let case = Case::of(stated, hanging, rules, &factors);
    let as_hung: AsHung<'_> = &|| rated.clone();
    [of_set(&case, stated.index, as_hung, set, weight.value()), counted(&case, as_hung, set, weight)]
}

fn of_set(
    case: &Case<'_>,
    index: usize,
    as_hung: AsHung<'_>,
    set: &Set,
    weight: f64,
) -> Result<Option<Allowed>, Error> {
    let bases = case.bases()?;
    let mut words = bases.as_ref().map_or_else(|| vec![Text::fixed(MARKED)], |ruled| ruled.words().to_vec());
    // What no marking rates is rated by the table, also where the leg alone is.
    if !case.sling.strength.is_marked() {
        words.sort_by_key(|word| word.as_str() == MARKED);
    }
    let mut found: Vec<Ruled> = Vec::new();
    let mut refusal = None;
    for word in &words {
        let chain = match word.as_str() {
            MARKED => by_one_leg(case, index, as_hung, set, weight),
            TABLE => by_table(case, set).map_err(Refusal::OfOne),
            _ => Ok(None),
        };
        match chain {
            Ok(chain) => found.extend(chain),
            // What a document refuses of the set, no other figure of the same set allows.
            Err(Refusal::OfSet(error)) => return Err(error),
            Err(Refusal::OfOne(error)) => refusal = refusal.or(Some(error)),
        }
    }
    // Where only a breaking load or a table rates one leg, a factor stands on that.
    if found.is_empty() && !words.iter().any(|word| word.as_str() == MARKED) {
        found.extend(by_one_leg(case, index, as_hung, set, weight).map_err(Refusal::into_error)?);
    }
    let mut found = found.into_iter();
    let Some((mut chain, clause)) = found.next() else { return refusal.map_or(Ok(None), Err) };
    for (other, _) in found {
        note(&mut chain, &other);
    }
    Ok(Some(Allowed { asked: None, capacity: Capacity { chain: chain.into(), rule: Some(clause) } }))
}

/// What a set may bear, and the clause that says so of a set.
type Ruled = (Chain, Source);

/// Names another rating of the same set among the branches not taken, at the last step.
fn note(chain: &mut Chain, other: &Chain) {
    let Some(source) = other.sources().last().cloned() else { return };
    let add = |term: &Term| term.clone().instead_of(other.quantity.clone(), other.value(), source.clone()).into();
    match chain.steps.last_mut() {
        Some(step) => step.term = add(&step.term),
        None => chain.base = add(&chain.base),
    }
}

/// Why a basis gives no figure of a set.
enum Refusal {
    /// The document refuses such a set, or lacks what it needs to allow it.
    OfSet(Error),
    /// This basis rates no leg, or prints no such row; another may.
    OfOne(Error),
}

impl Refusal {
    fn into_error(self) -> Error {
        match self {
            Self::OfSet(error) | Self::OfOne(error) => error,
        }
    }
}

/// The rating of one leg times the factor of the set, or what a relation makes of it.
fn by_one_leg(
    case: &Case<'_>,
    index: usize,
    as_hung: AsHung<'_>,
    set: &Set,
    weight: f64,
) -> Result<Option<Ruled>, Refusal> {
    let one_leg = |of_hitch, straight: &_| one_leg(case, index, of_hitch, as_hung, straight).map_err(Refusal::OfOne);
    let said = |question, facts: &Facts| case.said(question, facts).map_err(Refusal::OfSet);
    let after_hitch = |of_hitch, chain| after_hitch(case, of_hitch, chain).map_err(Refusal::OfOne);
    let title: Text = format!("rated capacity of {} with {}", set.word(), case.sling.name).into();
    let straight = Hanging {
        hitch: &Hitch::Straight,
        bends: &[],
        from_vertical: Some(0.0),
        steepest: Some(0.0),
        ..*case.hanging()
    };
    // A set is asked about only where the document speaks of sets; what keeps one leg from being rated is told then.
    let facts = |utilization: f64| set.facts(case.hitched(), utilization);
    let question = Question::LegFactor;
    let bare = facts(0.0);
    if case.speaks_of(question, &bare) {
        let of_hitch = of_hitch(case, question, &bare, |straight| set.facts(straight, 0.0));
        let Some(one) = one_leg(of_hitch, &straight)? else { return Ok(None) };
        let Some(factor) = said(question, &bare)? else { return Ok(None) };
        // A condition on the load over the rating holds for the rating that the factor gives.
        let factor = said(question, &facts(weight / (factor.value * one.value())))?.unwrap_or(factor);
        let clause = factor.source.clone();
        let chain = Chain { quantity: title, ..one }.times(factor, Acts::OnForce);
        return Ok(Some((after_hitch(of_hitch, chain)?, clause)));
    }
    let question = Question::RatedValue;
    let with = |facts: &Facts, value: f64| {
        set.facts(facts, 0.0).word("taken from", "relation").number("single-leg rated value", value, "N")
    };
    let bare = with(case.hitched(), 1.0);
    if !case.speaks_of(question, &bare) {
        return Ok(None);
    }
    // A relation that says the same of one leg is none for a set.
    let single = bare.clone().word("configuration", "single leg");
    if case.says_alike(question, &bare, &single) {
        return Ok(None);
    }
    let of_hitch = of_hitch(case, question, &bare, |straight| with(straight, 1.0));
    let Some(one) = one_leg(of_hitch, &straight)? else { return Ok(None) };
    let Some(term) = said(question, &with(case.hitched(), one.value()))? else { return Ok(None) };
    let clause = term.source.clone();
    let chain = Chain { quantity: title, ..one }.becomes(term, Acts::OnForce);
    Ok(Some((after_hitch(of_hitch, chain)?, clause)))
}

/// Whether what the document says of the set looks at the hitch: a straight one it never has to.
fn of_hitch(case: &Case<'_>, question: Question, hitched: &Facts, more: impl Fn(&Facts) -> Facts) -> bool {
    *case.hitch() != Hitch::Straight && !case.says_alike(question, hitched, &more(&case.straight()))
}

/// The rating of one leg that a figure of the set stands on.
fn one_leg(
    case: &Case<'_>,
    index: usize,
    of_hitch: bool,
    as_hung: AsHung<'_>,
    straight: &Hanging<'_>,
) -> Result<Option<Chain>, Error> {
    let rated = if of_hitch { rate_sling(case.sling, index, straight, case.rules) } else { as_hung() };
    Ok(rated?.map(|capacity| Arc::unwrap_or_clone(capacity.chain)))
}

/// What the angle of choke leaves, where the figure of the set holds the hitch and the rating of one leg does not.
fn after_hitch(case: &Case<'_>, of_hitch: bool, chain: Chain) -> Result<Chain, Error> {
    match (of_hitch, case.hitch()) {
        (true, Hitch::Choke(_)) => hitch::by_choke_angle(case, chain),
        _ => Ok(chain),
    }
}

/// The rating that a table prints for the set.
fn by_table(case: &Case<'_>, set: &Set) -> Result<Option<Ruled>, Error> {
    let facts = set.facts(case.hitched(), 0.0).word("taken from", "table");
    let single = facts.clone().word("configuration", "single leg");
    if case.says_alike(Question::RatedValue, &facts, &single) {
        return Ok(None);
    }
    let table = case.tabulated(|ends| case.said(Question::RatedValue, &with_ends(facts.clone(), ends)))?;
    let Some((term, share)) = table else { return Ok(None) };
    let title: Text = format!("rated capacity of {} with {}, by table", set.word(), case.sling.name).into();
    let clause = term.source.clone();
    let chain = with_share(Chain::start(title, term), share);
    let chain = match less_by_marking(case)? {
        Some(less) => chain.times(less, Acts::OnForce),
        None => chain,
    };
    Ok(Some((condition::lowered(case, chain)?, clause)))
}

/// What a lower marking leaves of what the table gives one leg, and so of what it gives the set; none where none is lower.
fn less_by_marking(case: &Case<'_>) -> Result<Option<Term>, Error> {
    let Some((table, marked)) = table_and_marking(case)? else { return Ok(None) };
    let less = marked.filter(|marked| marked.value() < table.value()).map(|marked| {
        let left = marked.value() / table.value();
        let source = marked.base.source.clone();
        Term::new("", "what is marked on a leg, over its value in the table", left, "", source)
            .from_input(marked.base.name.clone(), format!("{:.3} kN in the hitch at hand", marked.value() / 1e3))
            .from_input("by the table", format!("{:.3} kN in the hitch at hand", table.value() / 1e3))
    });
    let one = less.as_ref().map_or(table.value(), |less| less.value * table.value());
    table_heeds_breaking_load(case, one)?;
    Ok(less)
}

/// The force of one leg where only so many of the set may be counted, the flattest taken for all, and what one leg may
/// bear. `None` where the rule set does not say how many count.
///
/// # Errors
/// As [`rate_sling`].
pub fn count_legs(
    sling: &Sling,
    index: usize,
    hanging: &Hanging<'_>,
    set: &Set,
    weight: &Chain,
    rules: &RuleSet,
) -> Result<Option<Allowed>, Error> {
    let factors = Factors::default();
    let facts = Facts::new().of_sling(sling);
    let case = Case::of(Stated { sling, index, facts: &facts }, hanging, rules, &factors);
    counted(&case, &|| rate_sling(sling, index, hanging, rules), set, weight)
}

fn counted(case: &Case<'_>, as_hung: AsHung<'_>, set: &Set, weight: &Chain) -> Result<Option<Allowed>, Error> {
    let Some(counted) = case.said(Question::LegsCounted, &set.facts(case.hitched(), 0.0))? else { return Ok(None) };
    let Some(capacity) = as_hung()? else { return Ok(None) };
    let words = format!("force of one of {} legs that count", counted.value);
    let cosine = Term::new("cos β", "angle of the flattest leg", set.flattest.cos(), "", Source::mechanics("cos β"))
        .from_input("angle of the flattest leg from vertical", format!("{:.3} deg", set.flattest.to_degrees()));
    let asked = Chain { quantity: words.into(), ..weight.clone() };
    let rule = Some(counted.source.clone());
    let asked = asked.divided_by(counted, Acts::OnForce).divided_by(cosine, Acts::OnForce);
    Ok(Some(Allowed { asked: Some(asked), capacity: Capacity { rule, ..capacity } }))
}
