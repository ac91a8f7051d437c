//! The first-order approximation of a small probability: the nearest point of failure in standard normal space.

use super::arrangement::Single;
use super::special::{normal_probability, normal_quantile};
use super::{Experiment, PIECE};
use crate::equilibrium::nearby::Outcomes;
use crate::error::{Error, Place, Reading};

/// Steps after which the search has failed.
const MOST_STEPS: usize = 200;
/// What may be left of the ratio of tension to limit, less one, at the point found.
const ON_THE_LIMIT: f64 = 1.0e-9;
/// A way across the limit below this, in standard deviations, is none.
const AT_REST: f64 = 1.0e-6;
/// Half the way over which the slope of a distribution is taken, in standard deviations.
const SLOPE: f64 = 1.0e-5;
/// Standard deviations beyond which no point is looked for: the probability is below 1e-19.
const FARTHEST: f64 = 9.0;

/// The point nearest to the nominal at which a leg or a hook reaches its limit, in the space in which every uncertain input is
/// standard normal.
///
/// The index is exact if inputs are normal and tensions linear in them. It is a start, not a proof: a leg that goes slack
/// bends the limit sharply, and there may be several such points.
#[derive(Debug, Clone, PartialEq)]
pub struct FirstOrder {
    /// The leg; from the number of legs on, a hook.
    pub leg: usize,
    /// Distance of the point, the reliability index; negative if the limit is exceeded at the medians of the inputs.
    pub index: f64,
    /// Probability that belongs to it.
    pub probability: f64,
    /// Inputs at the point, in the order of [`Experiment::uncertain`].
    pub inputs: Vec<f64>,
    /// Share of each input in the square of the index.
    pub importance: Vec<f64>,
    /// Steps of the search.
    pub steps: usize,
}

impl Experiment {
    /// Looks for the nearest point at which the tension of a leg reaches `limit`, N; or the pull on a hook, whose index is
    /// counted from the number of legs on.
    ///
    /// # Errors
    /// [`Error::OutOfDomain`] for a leg or hook that is not there or a limit that is not positive and finite;
    /// [`Error::Unconverged`] if no such point is found: the leg cannot reach the limit, or only beyond a sharp bend.
    pub fn first_order(&self, leg: usize, limit: f64) -> Result<FirstOrder, Error> {
        let forces = self.legs() + self.hooks();
        if leg >= forces {
            let allowed = format!("below {forces}");
            return Err(Error::out_of_domain("index of the leg", leg as f64, "", allowed, Place::root().child("leg")));
        }
        if !(limit > 0.0 && limit.is_finite()) {
            let place = Place::root().child("limit");
            return Err(Error::out_of_domain("limit", limit, "N", "positive and finite", place));
        }
        let mut search = Search { experiment: self, single: self.nominal.single(), force: leg, limit };
        let count = self.uncertain.len();
        let mut point = vec![0.0; count];
        let (mut value, mut gradient) = search.look(&point)?;
        let at_medians = value;
        let mut left = f64::INFINITY;
        for steps in 1..=MOST_STEPS {
            let square: f64 = gradient.iter().map(|g| g * g).sum();
            if square == 0.0 {
                break;
            }
            // The nearest point of the linearized limit.
            let along: f64 = gradient.iter().zip(&point).map(|(g, z)| g * z).sum();
            let next: Vec<f64> = gradient.iter().map(|g| (along - value) / square * g).collect();
            left = next.iter().zip(&point).map(|(n, z)| (n - z) * (n - z)).sum::<f64>().sqrt();
            if left <= AT_REST && value.abs() <= ON_THE_LIMIT {
                let distance = point.iter().map(|z| z * z).sum::<f64>().sqrt();
                let index = if at_medians > 0.0 { -distance } else { distance };
                let importance = point.iter().map(|z| z * z / (distance * distance)).collect();
                let probability = normal_probability(-index);
                return Ok(FirstOrder { leg, index, probability, inputs: self.of_normal(&point), importance, steps });
            }
            // Shorter steps until distance and what is left of the limit, weighed together, fall.
            let weigh =
                |z: &[f64], value: f64, weight: f64| 0.5 * z.iter().map(|z| z * z).sum::<f64>() + weight * value.abs();
            let weight = 2.0 * point.iter().chain(&next).map(|z| z * z).sum::<f64>().sqrt() / square.sqrt()
                + 1.0 / square.sqrt();
            let before = weigh(&point, value, weight);
            let mut share = 1.0;
            loop {
                let trial: Vec<f64> =
                    point.iter().zip(&next).map(|(z, n)| (z + share * (n - z)).clamp(-FARTHEST, FARTHEST)).collect();
                if let Ok(found) = search.look(&trial)
                    && (weigh(&trial, found.0, weight) < before || share < 1.0e-3)
                {
                    (point, (value, gradient)) = (trial, found);
                    break;
                }
                share *= 0.5;
                if share < 1.0e-6 {
                    return Err(unconverged(left));
                }
            }
        }
        Err(unconverged(left))
    }

    /// The inputs that belong to a point of standard normal space.
    pub(super) fn of_normal(&self, point: &[f64]) -> Vec<f64> {
        self.uncertain.iter().zip(point).map(|((_, distribution), z)| distribution.of_normal(*z)).collect()
    }

    /// The largest ratio of a force to its limit in rows of standard normal values; infinite where there is no lift.
    pub(super) fn ratios(&self, points: &[f64], limits: &[f64], threads: usize) -> Result<Vec<f64>, Error> {
        let width = self.uncertain.len();
        let (legs, hooks) = (self.legs(), self.hooks());
        let (of_legs, of_hooks) = limits.split_at_checked(legs).unwrap_or_default();
        let mut ratios = vec![f64::INFINITY; points.len() / width];
        // A distribution that is asked by the million is best asked in parallel too.
        let size = self.nominal.piece().min(PIECE / 8);
        let parts = (0..).step_by(size).zip(points.chunks(size * width).zip(ratios.chunks_mut(size))).collect();
        super::in_pieces(parts, threads, |_, (points, ratios)| {
            let count = ratios.len();
            let mut rows = points.chunks_exact(width);
            let value = |_, values: &mut [f64]| {
                let row = rows.next().unwrap_or_default();
                for ((value, (_, distribution)), z) in values.iter_mut().zip(&self.uncertain).zip(row) {
                    *value = distribution.of_normal(*z);
                }
            };
            let (mut tension, mut state, mut status) = (vec![0.0; count * legs], vec![0; count], vec![0; count]);
            let mut hook = vec![0.0; if of_hooks.is_empty() { 0 } else { count * hooks }];
            let mut out = Outcomes::new(&mut tension, &mut state, &mut status);
            out.hook = (!of_hooks.is_empty()).then_some(&mut hook);
            self.nominal.balance(&self.uncertain, count, value, out)?;
            // NaN: no lift.
            let most = |most: f64, (force, limit): (&f64, &f64)| {
                let ratio = force / limit;
                if ratio.is_nan() { f64::INFINITY } else { f64::max(most, ratio) }
            };
            for (ratio, row) in ratios.iter_mut().zip(tension.chunks_exact(legs)) {
                *ratio = row.iter().zip(of_legs).fold(0.0, most);
            }
            for (ratio, row) in ratios.iter_mut().zip(hook.chunks_exact(hooks)) {
                *ratio = row.iter().zip(of_hooks).fold(*ratio, most);
            }
            Ok(())
        })?;
        Ok(ratios)
    }
}

/// The reliability index that belongs to a probability of failure, and the other way round.
///
/// ```
/// use rigging_core::equilibrium::sampling::reliability_index;
/// assert!((reliability_index(1.0e-4) - 3.719_016_485).abs() < 1.0e-9);
/// ```
pub fn reliability_index(probability: f64) -> f64 {
    -normal_quantile(probability)
}

fn unconverged(left: f64) -> Error {
    let allowed = format!("at most {AT_REST:e}: no point of failure was found");
    Error::Unconverged {
        reading: Reading::new("way left to the nearest point", left, "", allowed),
        place: Place::root(),
    }
}

struct Search<'a> {
    experiment: &'a Experiment,
    single: Single<'a>,
    force: usize,
    limit: f64,
}

impl Search<'_> {
    /// The force over its limit, less one, and the gradient of that in standard normal space.
    fn look(&mut self, point: &[f64]) -> Result<(f64, Vec<f64>), Error> {
        let uncertain = &self.experiment.uncertain;
        let inputs = self.experiment.of_normal(point);
        let (force, mut gradient) = self.single.look(uncertain, &inputs, self.force)?;
        for (rate, ((_, distribution), z)) in gradient.iter_mut().zip(uncertain.iter().zip(point)) {
            let slope = (distribution.of_normal(z + SLOPE) - distribution.of_normal(z - SLOPE)) / (2.0 * SLOPE);
            *rate *= slope / self.limit;
        }
        Ok((force / self.limit - 1.0, gradient))
    }
}
