//! Which measured sling hangs where, so that the skew is least.

use super::problem::{Problem, Tolerances};
use super::skew::{Measure, ratio};
use crate::equilibrium::State;
use crate::equilibrium::bridle::Bridle;
use crate::error::{Error, Place};

/// An order of measured slings.
#[derive(Debug, Clone, PartialEq)]
pub struct Arrangement {
    /// For each leg, the sling that should hang there.
    pub slings: Vec<usize>,
    /// Skew factor as they stand now; none where that state is not stable.
    pub before: Option<f64>,
    /// Skew factor in this order.
    pub after: f64,
    /// The number of orders that were hung.
    pub orders: usize,
}

/// The order of measured slings in which the largest ratio of a leg's tension to its nominal one is least. Sling i is longer
/// by `lengths[i]`, m, and stiffer by the share `stiffness[i]` than leg i, where it hangs now. Slings change places among
/// legs of the same nominal length and law. Every order is hung and certified; those that are not stable are passed over.
///
/// # Errors
///
/// [`Error::Inconsistent`] unless there is one number of each kind for each leg; [`Error::OutOfDomain`] for a length or a
/// stiffness of which nothing is left; [`Error::Unsupported`] for more than [`MOST_LEGS`](super::MOST_LEGS) legs, or where
/// the nominal state, or every order, is not stable.
///
/// ```
/// use glam::DVec3;
/// use rigging_core::equilibrium::bridle::Bridle;
/// use rigging_core::equilibrium::worst::arrange;
/// use rigging_core::system::Law;
/// let points = [[1.0, 0.5], [1.0, -0.5], [-1.0, -0.5], [-1.0, 0.5]].map(|[x, y]| DVec3::new(x, y, 0.0));
/// let bridle = Bridle::new(points.to_vec(), vec![3.0; 4], vec![Law::linear(2.0e6)?; 4], DVec3::new(0.0, 0.0, -0.4), 4.0e4)?;
/// // Two long slings on one diagonal strain the other; side by side they tilt the load a little instead.
/// let found = arrange(&bridle, &[0.005, 0.0, 0.005, 0.0], &[0.0; 4])?;
/// assert!(found.before.is_some_and(|before| found.after < before - 0.05));
/// # Ok::<(), rigging_core::error::Error>(())
/// ```
pub fn arrange(bridle: &Bridle, lengths: &[f64], stiffness: &[f64]) -> Result<Arrangement, Error> {
    let sizes = |numbers: &[f64]| numbers.iter().map(|number| number.abs()).collect();
    let measured = Tolerances { lengths: sizes(lengths), stiffness: sizes(stiffness), ..Tolerances::none(0) };
    let problem = Problem::new(bridle, &measured)?;
    let mut hanging = super::nominal(&problem)?;
    let nominal: Vec<f64> = hanging.workspace.tensions().collect();
    let legs = problem.legs();
    let same = |one: usize, other: usize| {
        bridle.lengths().get(one) == bridle.lengths().get(other) && bridle.laws().get(one) == bridle.laws().get(other)
    };
    let now: Vec<usize> = (0..legs).collect();
    let mut before = None;
    let mut best: Option<(f64, Vec<usize>)> = None;
    let orders = orders(legs, same);
    for order in &orders {
        let of = |numbers: &[f64]| -> Vec<f64> {
            order.iter().map(|sling| numbers.get(*sling).copied().unwrap_or(f64::NAN)).collect()
        };
        let numbers: Vec<f64> = of(lengths).into_iter().chain(of(stiffness)).chain([0.0; 4]).collect();
        let Some((State::Stable, _)) = hanging.try_at(&numbers)? else { continue };
        let factor = ratio(Measure::Own, nominal.iter().copied().zip(hanging.workspace.tensions()));
        if *order == now {
            before = Some(factor);
        }
        if best.as_ref().is_none_or(|(least, _)| factor < *least) {
            best = Some((factor, order.clone()));
        }
    }
    let place = || Place::root().child("lengths");
    let (after, slings) = best.ok_or_else(|| Error::unsupported("slings that hang stably in no order", place()))?;
    Ok(Arrangement { slings, before, after, orders: orders.len() })
}

/// Every order in which leg i gets a sling that may hang there; the present one first.
fn orders(legs: usize, same: impl Fn(usize, usize) -> bool) -> Vec<Vec<usize>> {
    let mut orders: Vec<Vec<usize>> = vec![Vec::new()];
    for leg in 0..legs {
        orders = orders
            .into_iter()
            .flat_map(|order| {
                let free: Vec<usize> = (0..legs).filter(|sling| same(leg, *sling) && !order.contains(sling)).collect();
                // The sling that hangs there now comes first.
                let own = free.iter().position(|sling| *sling == leg).unwrap_or(0);
                let free: Vec<usize> = free.iter().skip(own).chain(free.iter().take(own)).copied().collect();
                free.into_iter().map(move |sling| order.iter().copied().chain([sling]).collect())
            })
            .collect();
    }
    orders
}
