//! What an item may bear in this lift: its breaking or rated value, lowered by the rule set's deratings.
//!
//! A rule set is asked how an item of this kind is rated. Where it is silent, or does not apply to the gear, the marked
//! rating stands on its own, named as such; where there is neither, there is no capacity.

mod breaking;
mod case;
mod condition;
mod fitting;
mod hitch;
mod marking;
mod off_line;
mod pin_plate;
mod reduction;
mod set;
mod sling;

pub use case::Hanging;
pub(crate) use case::{Rests, Stated};
pub(crate) use fitting::FittingRules;
pub use fitting::rate_fitting;
pub(crate) use marking::ROUNDED;
pub use off_line::share_off_line;
pub use pin_plate::{Limit, rate_pin_plate};
pub(crate) use reduction::{Factors, share_of_ends};
pub(crate) use set::allow;
pub use set::{Allowed, Set, count_legs, rate_set};
pub use sling::rate_sling;
pub(crate) use sling::{rate_among, rated_alike};

use crate::arrangement::Hook;
use crate::chain::{Acts, Chain, Term};
use crate::demand::stated_at;
use crate::error::{Error, Place};
use crate::gear::{Known, Rated, Rating};
use crate::quantity::Force;
use crate::rules::{Answer, Question};
use crate::source::Source;
use crate::text::Text;
use std::sync::Arc;

/// Which state of the load a limit is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Motion {
    /// Every factor on weight included.
    Moving,
    /// Without the dynamic factor.
    AtRest,
}

/// A capacity, and the rule that says this is how the item is rated; none where the marked rating stands by itself.
#[derive(Debug, Clone, PartialEq)]
pub struct Capacity {
    /// The value and how it came about.
    pub chain: Arc<Chain>,
    /// The rule that chose the way of rating.
    pub rule: Option<Source>,
}

impl Capacity {
    /// What a share leaves of it.
    pub(crate) fn times(self, share: impl Into<Arc<Term>>) -> Self {
        let chain = Arc::unwrap_or_clone(self.chain).times(share, Acts::OnForce);
        Self { chain: chain.into(), ..self }
    }
}

/// Capacity of a lift point or a hook: what it is marked with. `None` where neither marking nor rule gives a value.
///
/// # Errors
/// [`Error::Missing`] for a marked value without its source.
pub fn rate_marked(name: &str, rating: &Rating, place: &Place) -> Result<Option<Capacity>, Error> {
    Ok(marking(name, rating, place)?.map(|marked| by_marking(name, marked)))
}

/// The term of a marked rating; `None` where nothing is marked.
///
/// # Errors
/// As [`rate_marked`].
pub(crate) fn marking(name: &str, rating: &Rating, place: &Place) -> Result<Option<Term>, Error> {
    let Known::Value(wll) = &rating.wll else { return Ok(None) };
    let place = || place.child("rating").child("source");
    let what = format_args!("the source of the rating of \"{name}\"");
    let source = rating.source.required(what, "\"source\": \"…\"", place)?;
    Ok(Some(marked("WLL", "working load limit as marked", wll, source)))
}

/// Capacity of an item by the term of its marking.
pub(crate) fn by_marking(name: &str, marked: impl Into<Arc<Term>>) -> Capacity {
    Capacity { chain: Chain::start(["rated capacity of ", name], marked).into(), rule: None }
}

/// Capacity of a hook: as [`rate_marked`], with what it leaves to be counted as load.
///
/// # Errors
/// As [`rate_marked`].
pub fn rate_hook(hook: &Hook, place: &Place) -> Result<Option<Capacity>, Error> {
    let rated = rate_marked(&hook.name, &hook.rating, place)?;
    Ok(match (rated, hook.capacity_basis.value()) {
        (Some(Capacity { chain, rule }), Some(basis)) => {
            let base = chain.base.as_ref().clone().from_input("basis", basis.words());
            Some(Capacity { chain: Chain::start(&chain.quantity, base).into(), rule })
        }
        (rated, _) => rated,
    })
}

fn marked(symbol: &'static str, name: &'static str, value: &Rated, source: &Text) -> Term {
    let force: Force = value.force();
    let mut term =
        Term::new(symbol, name, force.si(), "N", Source::stated(source)).from_input("as marked", value.text());
    if matches!(value, Rated::Mass(_)) {
        term = term.from_input("weight of the marked mass under", "9.80665 m/s2");
    }
    term
}

/// The term of an answer; `None` where the rule set is silent or does not apply.
pub(crate) fn speaks(answer: Answer, question: Question, place: &Place) -> Result<Option<Term>, Error> {
    match answer {
        Answer::Speaks(ruled) => Ok(ruled.into_term()),
        Answer::Silent | Answer::DoesNotApply { .. } => Ok(None),
        Answer::Missing { fact, needed_by } => Err(lacking(&fact, question, &needed_by, place)),
        Answer::OutsideRange { reading, policy, source } => {
            Err(Error::unsupported(format!("{}: {reading} ({source}: {policy})", question.name()), place.clone()))
        }
        Answer::Withheld { why, source, .. } => {
            Err(Error::unsupported(format!("{}: {why} ({source})", question.name()), place.clone()))
        }
        Answer::Refused(error) => Err(error),
    }
}

/// A fact that a rule needs, as a missing input: where it stands in the document and what to write there. What no document
/// states of an item, or the rule set itself should have said before, is told to who writes the rule set.
pub(crate) fn lacking(fact: &str, question: Question, needed_by: &Source, place: &Place) -> Error {
    let what = || Text::written(format_args!("{fact}, which the {} after {needed_by} needs,", question.name()));
    let stated = match fact {
        // Of a fitting these are facts; a sling is rated from its own, and no rule is asked with them.
        "breaking load" if of_fitting(place) => Some(("breaking_load", "\"breaking_load\": \"… t\"")),
        "proof load" if of_fitting(place) => Some(("proof_load", "\"proof_load\": \"… t\"")),
        "working load limit" if of_fitting(place) => Some(("wll", "\"wll\": \"… t\"")),
        // It states nothing else of itself.
        _ if of_fitting(place) => None,
        "termination" => Some(("termination", "\"termination\": \"…\"")),
        "service" => Some(("service", "\"service\": \"…\"")),
        "certification" => Some(("certification", "\"certification\": \"…\"")),
        "twisting possible" => Some(("twisting_possible", "\"twisting_possible\": …")),
        "bend diameter to maker's least" => {
            Some(("least_bend_diameter", "\"least_bend_diameter\": { \"value\": \"… mm\", \"source\": \"…\" }"))
        }
        "state" => Some(("moisture", "\"moisture\": \"dry\" (or \"wet\")")),
        "core" => Some(("core", "\"core\": \"…\"")),
        "finish" => Some(("finish", "\"finish\": \"…\"")),
        "grade" => Some(("grade", "\"grade\": …")),
        "chain size" | "rope diameter" => Some(("diameter", "\"diameter\": \"… mm\"")),
        "sling width" => Some(("width", "\"width\": \"… mm\"")),
        "reference number" => Some(("reference_number", "\"reference_number\": …")),
        _ => None,
    };
    if let Some((key, add)) = stated {
        return Error::missing(what(), add, place.child(key));
    }
    if let Some((at, add)) = stated_at(fact) {
        return Error::missing(what(), add, at);
    }
    // What a plate lacks is told at its key by who rates plates.
    if place.as_str().ends_with("/pin_plate") {
        return Error::missing(what(), "it", place.clone());
    }
    if let Some(key) = key_behind(fact).filter(|_| !of_fitting(place)) {
        let what = format!(
            "the {}: {needed_by} needs the {fact}, and the rule set gives none for what is stated under \"{key}\"",
            question.name()
        );
        return Error::unsupported(what, place.child(key));
    }
    let what = format!(
        "the {}: {needed_by} needs the {fact}, with which this question is not asked; let the rule look at what an item states \
         of itself and of how it hangs",
        question.name()
    );
    Error::unsupported(what, place.clone())
}

/// Whether a place is that of the rating of a fitting.
fn of_fitting(place: &Place) -> bool {
    place.as_str().ends_with("/rating")
}

/// The key of a sling on which a partial factor rests, where it is one.
fn key_behind(fact: &str) -> Option<&'static str> {
    match fact {
        "termination factor" => Some("termination"),
        "wear factor" => Some("service"),
        "material factor" => Some("certification"),
        "twist factor" => Some("twisting_possible"),
        _ => None,
    }
}
