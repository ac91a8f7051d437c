//! The search for a lift that a sharing rule forgets.
//!
//! A *trial* is one lift of a [`Domain`], in one state within its tolerances, hung and certified, against the forces that the rule
//! gives for the lift. The rule falls short where a leg bears more.
//!
//! Lifts are drawn at random; after some, the worst state so far is climbed from, along exact derivatives of the tension (those
//! of the rule, which is a black box, are differences). What is found is made smaller toward the outline to start from, as long
//! as the rule still falls short. Numbers come from a counter: the same seed finds the same.
//!
//! What is not found is not proven: a search tells how far it looked and how near it came, no more. States that are not stable
//! count for nothing here, though such a lift is worse than an overloaded leg: [`Searched::not_stable`] tells how many there were.

mod ascend;
mod case;
mod draw;
mod shrink;
mod trial;

pub use case::{Case, Changed};

use super::{Domain, Number};
use crate::error::{Error, Place};
use crate::sharing::{SharingRule, Words};
use draw::Draw;
use serde::Serialize;
use trial::{Point, Seen, Spoken, Trials};

/// How much of its tension a rule may at most be let off when a counter-example is made smaller, beside half of the shortfall.
const CLEAR: f64 = 0.01;
/// States after which a climb ends.
const CLIMB: usize = 200;

/// How long and how closely is searched.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Search {
    /// Trials to make; a lift or a climb once begun is brought to its end.
    pub trials: usize,
    /// States of each lift that is drawn.
    pub states: usize,
    /// Lifts after which the worst state of them is climbed from.
    pub lifts: usize,
    /// The rule falls short where a leg bears more than it says by this share of its tension. A certificate leaves 1e-9 open.
    pub least: f64,
    /// Seed of the random numbers.
    pub seed: u64,
}

impl Default for Search {
    /// 100,000 trials, 4 states of each of 16 lifts between climbs, a shortfall of 1e-6, seed 1.
    fn default() -> Self {
        Self { trials: 100_000, states: 4, lifts: 16, least: 1.0e-6, seed: 1 }
    }
}

/// The values that a free number took in lifts of which the rule spoke and which hang stably.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Looked {
    /// The number.
    pub number: Number,
    /// The least value.
    pub least: f64,
    /// The largest.
    pub most: f64,
}

/// What a search found, and how far it looked.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Searched {
    /// What the rule says of itself.
    pub rule: Words,
    /// Whether the rule falls short in `worst`. Where not, nothing is proven.
    pub refuted: bool,
    /// The counter-example, made smaller; else the state in which the rule came nearest to falling short. None where the rule
    /// spoke of no lift that hangs.
    pub worst: Option<Case>,
    /// The largest shortfall that was found before it was made smaller, over the tension of the leg; the largest of all, below
    /// zero where the rule covered every leg. None as for `worst`.
    pub largest: Option<f64>,
    /// States that were hung until the search ended, those of making smaller aside.
    pub trials: usize,
    /// States that were hung to make the counter-example smaller.
    pub shrinking: usize,
    /// Lifts that were drawn or climbed to.
    pub lifts: usize,
    /// Lifts that the rule refused.
    pub refused: usize,
    /// The first refusal in words.
    pub refusal: Option<String>,
    /// Lifts and states that are not certified as stable.
    pub not_stable: usize,
    /// The values that were looked at, one for each free number; empty where there was no lift to look at.
    pub looked: Vec<Looked>,
}

/// Searches a domain for a lift in which a leg bears more than a rule says.
///
/// A rule that does not claim to be conservative is searched as any other.
///
/// # Errors
/// [`Error::OutOfDomain`] for a search without trials, states or lifts or with a shortfall that is not from 0 to below 1; a
/// rule's answer that is not one force a leg ([`share`](crate::sharing::share)). What the rule refuses is counted.
///
/// ```
/// use rigging_core::kit::{Domain, Search, refute};
/// use rigging_core::sharing::EqualShare;
/// let searched = refute(&EqualShare, &Domain::ring(4)?, &Search::default())?;
/// assert!(searched.refuted && searched.trials < 1000);
/// let case = searched.worst.ok_or("nothing hangs")?;
/// println!("{case}");
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn refute(rule: &dyn SharingRule, domain: &Domain, search: &Search) -> Result<Searched, Error> {
    refute_while(rule, domain, search, |_| true)
}

/// As [`refute`], but after each lift it is asked whether to go on, and told the trials so far; else the search ends there.
///
/// # Errors
/// As [`refute`].
pub fn refute_while(
    rule: &dyn SharingRule,
    domain: &Domain,
    search: &Search,
    mut go_on: impl FnMut(usize) -> bool,
) -> Result<Searched, Error> {
    search.validate()?;
    let draw = Draw::new(domain, search.seed);
    let mut trials = Trials::new(rule, domain);
    let mut looked = vec![[f64::INFINITY, f64::NEG_INFINITY]; domain.free().len()];
    // The worst of all, and the worst since the last climb.
    let (mut worst, mut recent): (Option<Found>, Option<Found>) = (None, None);
    let mut number = 0;
    let falls_short = |found: &Option<Found>| found.as_ref().is_some_and(|found| found.short() > search.least);
    while trials.hung < search.trials && trials.lifts < search.trials && !falls_short(&worst) && go_on(trials.hung) {
        let values = draw.lift(number);
        if let Some(spoken) = trials.lift(&values)? {
            for (looked, value) in looked.iter_mut().zip(&values) {
                let value = value.unwrap_or(f64::NAN);
                *looked = [looked[0].min(value), looked[1].max(value)];
            }
            for state in 0..search.states {
                let point = draw.point(&values, number, state as u32);
                if let Some(seen) = trials.state(&spoken, &point.state)? {
                    better(&mut recent, Found { point, at: (spoken.clone(), seen) });
                }
            }
        }
        number += 1;
        let climb = number % search.lifts as u64 == 0 || falls_short(&recent);
        if climb && let Some(Found { point, at }) = recent.take() {
            let limit = trials.hung + CLIMB;
            let (point, at) = ascend::ascend(&mut trials, point, at, limit)?;
            better(&mut worst, Found { point, at });
        }
    }
    if let Some(found) = recent.take() {
        better(&mut worst, found);
    }
    let refuted = falls_short(&worst);
    let hung = trials.hung;
    let largest = worst.as_ref().map(Found::short);
    let lifts = trials.lifts;
    let worst = match worst {
        Some(Found { point, at }) if refuted => {
            let least = (0.5 * at.1.short).min(CLEAR).max(search.least);
            Some(shrink::shrink(&mut trials, point, at, least)?)
        }
        other => other.map(|found| (found.point, found.at)),
    };
    let spoke = looked.iter().all(|[least, most]| least <= most);
    let looked = domain.free().iter().zip(looked).filter(|_| spoke);
    Ok(Searched {
        rule: rule.words(),
        refuted,
        worst: worst.map(|(point, (spoken, seen))| Case::of(rule, domain, &point, spoken, seen)),
        largest,
        trials: hung,
        shrinking: trials.hung - hung,
        lifts,
        refused: trials.refused,
        refusal: trials.refusal,
        not_stable: trials.not_stable,
        looked: looked.map(|(free, [least, most])| Looked { number: free.number, least, most }).collect(),
    })
}

/// A point and what was seen there.
struct Found {
    point: Point,
    at: (Spoken, Seen),
}

impl Found {
    fn short(&self) -> f64 {
        self.at.1.short
    }
}

fn better(best: &mut Option<Found>, found: Found) {
    if best.as_ref().is_none_or(|best| found.short() > best.short()) {
        *best = Some(found);
    }
}

impl Search {
    fn validate(&self) -> Result<(), Error> {
        for (key, count) in [("trials", self.trials), ("states", self.states), ("lifts", self.lifts)] {
            if count == 0 {
                let place = Place::root().child(key);
                return Err(Error::out_of_domain(key, 0.0, "", "1 or more", place));
            }
        }
        if (0.0..1.0).contains(&self.least) {
            return Ok(());
        }
        Err(Error::out_of_domain("shortfall", self.least, "", "from 0 to below 1", Place::root().child("least")))
    }
}
