//! Assessments of one lift, or of many, under several rule sets.

use crate::arrangement::Lift;
use crate::checks::Assessment;
use crate::demand::{self, Forces};
use crate::error::Error;
use crate::rules::RuleSet;

/// Whatever the caller asks for, a call starts no more threads than this.
const MOST_THREADS: usize = 256;

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
    let demands = demand::raise_under(lift, sets);
    let raised = sets.iter().zip(demands);
    raised.map(|(rules, demand)| lift.assess_raised(rules, Forces::AtVertices, demand)).collect()
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
/// use rigging_core::rules::RuleSet;
/// let lift = Lift::from_json(include_str!("../../examples/lifts/generator-skid.json"))?;
/// let rules = RuleSet::built_in("us-general")?;
/// let verdicts = assess_each(&[lift.clone(), lift], &[&rules], 2, |_, found| {
///     found.into_iter().map(|assessment| Ok(assessment?.verdict)).collect::<Result<Vec<Verdict>, _>>()
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
    let share = |first: usize, lifts: &[Lift]| -> Vec<T> {
        let numbered = lifts.iter().enumerate();
        numbered.map(|(index, lift)| read(first + index, assess_under(lift, sets))).collect()
    };
    let threads = match threads {
        0 => std::thread::available_parallelism().map_or(1, std::num::NonZero::get),
        asked => asked,
    };
    let size = lifts.len().div_ceil(threads.min(MOST_THREADS)).max(1);
    if size >= lifts.len() {
        return share(0, lifts);
    }
    std::thread::scope(|scope| {
        let share = &share;
        let shares = lifts.chunks(size).enumerate();
        let started: Vec<_> = shares.map(|(number, lifts)| scope.spawn(move || share(number * size, lifts))).collect();
        let joined = started.into_iter().map(|thread| match thread.join() {
            Ok(found) => found,
            Err(panic) => std::panic::resume_unwind(panic),
        });
        joined.flatten().collect()
    })
}
