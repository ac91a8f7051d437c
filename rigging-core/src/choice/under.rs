//! Assessments of one lift, or of many, under several rule sets.

use crate::arrangement::Lift;
use crate::checks::{Assessment, ByItself, Hung, Sets};
use crate::demand::{self, Demand, Forces};
use crate::error::Error;
use crate::rules::RuleSet;
use std::rc::Rc;
use std::sync::{Mutex, PoisonError};

/// Whatever the caller asks for, a call starts no more threads than this.
const MOST_THREADS: usize = 256;
/// Lifts that a thread takes at once.
const AT_ONCE: usize = 16;

/// Assesses a lift under every one of `sets`, in their order; each outcome is the one of [`Lift::assess`].
///
/// How the load hangs is a matter of the lift and of what a set makes of the weight: sets that make the same of it share
/// one calculation of the balance.
///
/// # Errors
/// For each set as [`Lift::assess`].
///
/// ```
/// use rigging_core::arrangement::Lift;
/// use rigging_core::choice::assess_under;
/// use rigging_core::rules::RuleSet;
/// let lift = Lift::from_json(include_str!("../../examples/lifts/generator-skid.json"))?;
/// let sets = RuleSet::built_in_names().iter().map(|name| RuleSet::built_in(name)).collect::<Result<Vec<_>, _>>()?;
/// let sets: Vec<&RuleSet> = sets.iter().collect();
/// for (rules, assessment) in sets.iter().zip(assess_under(&lift, &sets)) {
///     assert_eq!(assessment?, lift.assess(rules)?);
/// }
/// # Ok::<(), rigging_core::error::Error>(())
/// ```
pub fn assess_under(lift: &Lift, sets: &[&RuleSet]) -> Vec<Result<Assessment, Error>> {
    let own = ByItself::of(lift, Sets::Several);
    let demands = demand::raise_under(lift, sets);
    let hung: Vec<Rc<Hung>> = hung(&demands);
    let raised = sets.iter().zip(demands).zip(&hung);
    raised.map(|((rules, demand), hung)| own.assess(rules, Forces::AtVertices, demand, hung)).collect()
}

/// For each demand what is said of it: one for all that ask the same.
fn hung(demands: &[Result<Demand, Error>]) -> Vec<Rc<Hung>> {
    let mut known: Vec<(&Demand, Rc<Hung>)> = Vec::new();
    let all = demands.iter().map(|demand| {
        let Ok(demand) = demand else { return Rc::new(Hung::of(Sets::Several)) };
        if let Some((_, hung)) = known.iter().find(|(other, _)| other.asks_as(demand)) {
            return Rc::clone(hung);
        }
        let hung = Rc::new(Hung::of(Sets::Several));
        known.push((demand, Rc::clone(&hung)));
        hung
    });
    all.collect()
}

/// Assesses every one of `lifts` under every one of `sets` as [`assess_under`] does, on at most `threads` threads (and
/// never more than 256); 0 means as many as the process may use at once.
///
/// An assessment holds every finding and every chain, and ten thousand of them a good part of a machine's memory. So what
/// is kept of a lift is what `read` makes of its number and its assessments, one a set; the answers stand in the order of
/// the lifts, whatever the number of threads.
///
/// ```
/// use rigging_core::arrangement::Lift;
/// use rigging_core::checks::Verdict;
/// use rigging_core::choice::assess_each;
/// use rigging_core::error::Error;
/// use rigging_core::rules::RuleSet;
/// let lift = Lift::from_json(include_str!("../../examples/lifts/generator-skid-round-edge.json"))?;
/// let rules = RuleSet::built_in("us-general")?;
/// let verdicts = assess_each(&[lift.clone(), lift], &[&rules], 2, |_, found| {
///     found.into_iter().map(|assessment| Ok::<_, Error>(assessment?.verdict)).collect::<Result<Vec<Verdict>, _>>()
/// });
/// assert_eq!(verdicts, [Ok(vec![Verdict::Pass]), Ok(vec![Verdict::Pass])]);
/// # Ok::<(), rigging_core::error::Error>(())
/// ```
pub fn assess_each<T: Send>(
    lifts: &[Lift],
    sets: &[&RuleSet],
    threads: usize,
    read: impl Fn(usize, Vec<Result<Assessment, Error>>) -> T + Sync,
) -> Vec<T> {
    let some = |(number, lifts): (usize, &[Lift])| -> (usize, Vec<T>) {
        let numbered = lifts.iter().enumerate();
        let read = numbered.map(|(index, lift)| read(number * AT_ONCE + index, assess_under(lift, sets)));
        (number, read.collect())
    };
    let threads = match threads {
        0 => std::thread::available_parallelism().map_or(1, std::num::NonZero::get),
        asked => asked,
    };
    let threads = threads.min(MOST_THREADS).min(lifts.len().div_ceil(AT_ONCE));
    let parts = lifts.chunks(AT_ONCE).enumerate();
    if threads <= 1 {
        return parts.flat_map(|part| some(part).1).collect();
    }
    // Who is done takes the next part, so that no thread waits for one that the machine keeps from running.
    let parts = Mutex::new(parts);
    let next = || parts.lock().unwrap_or_else(PoisonError::into_inner).next();
    let mut found: Vec<(usize, Vec<T>)> = std::thread::scope(|scope| {
        let work = || std::iter::from_fn(next).map(some).collect::<Vec<_>>();
        let started: Vec<_> = (0..threads).map(|_| scope.spawn(work)).collect();
        let joined = started.into_iter().map(|thread| match thread.join() {
            Ok(found) => found,
            Err(panic) => std::panic::resume_unwind(panic),
        });
        joined.flatten().collect()
    });
    found.sort_by_key(|(number, _)| *number);
    found.into_iter().flat_map(|(_, part)| part).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    const SKID: &str = include_str!("../../examples/lifts/generator-skid.json");

    /// The skid, each time another mass.
    fn lifts(count: usize) -> Vec<Lift> {
        let heavier = |number: usize| SKID.replace("18.5 t", &format!("{} kg", 18_000 + number));
        (0..count).map(|number| Lift::from_json(&heavier(number)).unwrap()).collect()
    }

    #[test]
    fn order_and_outcomes_do_not_depend_on_threads() {
        let sets: Vec<RuleSet> =
            RuleSet::built_in_names().iter().map(|name| RuleSet::built_in(name).unwrap()).collect();
        let sets: Vec<&RuleSet> = sets.iter().collect();
        for count in [0, 1, 2 * AT_ONCE + 1] {
            let lifts = lifts(count);
            let alone: Vec<_> = lifts
                .iter()
                .enumerate()
                .map(|(number, lift)| (number, sets.iter().map(|rules| lift.assess(rules)).collect::<Vec<_>>()))
                .collect();
            for threads in [0, 1, 2, 3, 7] {
                assert!(assess_each(&lifts, &sets, threads, |number, found| (number, found)) == alone);
            }
        }
    }

    #[test]
    fn a_weight_that_several_sets_make_is_hung_once_and_is_the_same() {
        let rules = RuleSet::built_in("marine-0027-nd-2016").unwrap();
        let [lift] = lifts(1).try_into().unwrap();
        let found = assess_under(&lift, &[&rules, &rules, &rules]);
        assert!(found.iter().all(|assessment| *assessment == lift.assess(&rules)));
        assert!(found[0].as_ref().unwrap().demand.as_ref().unwrap().at_rest.is_some());
    }
}
