//! Subset simulation: a small probability as a product of larger ones.
//!
//! A first set of rows is plain. The tenth of them that comes nearest to failure sets an intermediate limit; from each of
//! them a chain of rows wanders within what exceeds that limit; and so on until a tenth of the rows fail. Chains wander by
//! conditional sampling in standard normal space, and the length of their steps is set so that 44 % of them are taken.
//!
//! The whole is repeated with other random numbers, and what the repeats scatter is what is known of the error: rows of a
//! chain depend on each other, so no formula for independent rows would do.
//!
//! With few rows a level the repeats may scatter less than all of them together are off: with 500 rows and 12 repeats, exact
//! probabilities of 1e-4 and 1e-6 came out as 7.5e-5 ± 0.7e-5 and 6.8e-7 ± 0.9e-7, with 2000 rows and 20 repeats within
//! the scatter. Where it counts, ask with more rows and see whether the answer stays.

use super::first_order::reliability_index;
use super::random::Stream;
use super::special::normal_quantile;
use super::{Experiment, SUBSET};
use crate::error::{Error, Place, Reading};

/// One over the share of rows that each level keeps.
const KEPT: usize = 10;
/// The most levels: beyond them the probability is below 1e-12.
const MOST_LEVELS: usize = 12;
/// The share of steps that chains are to take.
const TAKEN: f64 = 0.44;

/// How much is spent on a small probability.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Effort {
    /// Rows of a level, a multiple of 10 and at least 100.
    pub rows: usize,
    /// Repeats, at least 2.
    pub repeats: usize,
}

impl Default for Effort {
    /// 10 repeats of 5000 rows a level.
    fn default() -> Self {
        Self { rows: 5000, repeats: 10 }
    }
}

/// A small probability.
#[derive(Debug, Clone, PartialEq)]
pub struct Rare {
    /// Mean over the repeats.
    pub probability: f64,
    /// Standard error of the mean, as the repeats scatter.
    pub standard_error: f64,
    /// Reliability index of the mean.
    pub index: f64,
    /// What each repeat found.
    pub repeats: Vec<f64>,
    /// Rows that were calculated.
    pub rows: usize,
}

impl Experiment {
    /// Probability that any leg exceeds its limit (N; infinite for none), or the load turns over. Limits of the hooks may
    /// follow those of the legs.
    ///
    /// # Errors
    /// [`Error::Inconsistent`] and [`Error::OutOfDomain`] for limits as in [`Sample::exceedance`](super::Sample::exceedance)
    /// and for an effort out of its range; [`Error::Unconverged`] if a repeat finds no failure in 12 levels: the
    /// probability is below 1e-12, or nothing can fail.
    pub fn rare(&self, limits: &[f64], effort: Effort, threads: usize) -> Result<Rare, Error> {
        self.rare_while(limits, effort, threads, |_| true).and_then(|found| {
            // Nothing stops it.
            found.ok_or_else(|| Error::unsupported("a calculation that was stopped", Place::root()))
        })
    }

    /// The same; before each repeat, and before the chains of a repeat take a step, `goes_on` is asked with the number of
    /// repeats that are done, and where it says no, there is no result: so a long calculation shows its progress, and can be
    /// stopped.
    ///
    /// # Errors
    /// As [`Experiment::rare`].
    pub fn rare_while(
        &self,
        limits: &[f64],
        effort: Effort,
        threads: usize,
        mut goes_on: impl FnMut(usize) -> bool,
    ) -> Result<Option<Rare>, Error> {
        self.check_limits(limits)?;
        let place = |name: &str| Place::root().child("effort").child(name);
        if effort.rows < 100 || !effort.rows.is_multiple_of(KEPT) {
            let allowed = "a multiple of 10, at least 100";
            return Err(Error::out_of_domain("rows of a level", effort.rows as f64, "", allowed, place("rows")));
        }
        if !(2..=1000).contains(&effort.repeats) {
            return Err(Error::out_of_domain("repeats", effort.repeats as f64, "", "2 to 1000", place("repeats")));
        }
        let mut rows = 0;
        let mut repeats = Vec::with_capacity(effort.repeats);
        for repeat in 0..effort.repeats {
            let mut goes_on = || goes_on(repeat);
            let Some((probability, spent)) = self.repeat(limits, effort.rows, repeat, threads, &mut goes_on)? else {
                return Ok(None);
            };
            repeats.push(probability);
            rows += spent;
        }
        let count = repeats.len() as f64;
        let mean = repeats.iter().sum::<f64>() / count;
        let squares: f64 = repeats.iter().map(|p| (p - mean) * (p - mean)).sum();
        let standard_error = (squares / (count * (count - 1.0))).sqrt();
        Ok(Some(Rare { probability: mean, standard_error, index: reliability_index(mean), repeats, rows }))
    }

    /// One repeat: its probability and the rows it took; none if it was stopped.
    fn repeat(
        &self,
        limits: &[f64],
        count: usize,
        repeat: usize,
        threads: usize,
        goes_on: &mut dyn FnMut() -> bool,
    ) -> Result<Option<(f64, usize)>, Error> {
        if !goes_on() {
            return Ok(None);
        }
        let purpose = |level: usize| SUBSET + (repeat * (MOST_LEVELS + 1) + level) as u32;
        let width = self.uncertain.len();
        let mut points = vec![0.0; count * width];
        normal(&self.stream(purpose(0)), 0, width, &mut points);
        let mut ratios = self.ratios(&points, limits, threads)?;
        let mut spent = count;
        let mut probability = 1.0;
        for level in 1..=MOST_LEVELS {
            let failed = ratios.iter().filter(|ratio| **ratio > 1.0).count();
            if failed * KEPT >= count {
                return Ok(Some((probability * failed as f64 / count as f64, spent)));
            }
            probability /= KEPT as f64;
            let mut order: Vec<usize> = (0..count).collect();
            let ratio = |row: usize| ratios.get(row).copied().unwrap_or(f64::NAN);
            // Equal ones keep their order, so that the choice is one and the same.
            order.sort_by(|a, b| ratio(*b).total_cmp(&ratio(*a)));
            order.truncate(count / KEPT);
            let threshold = order.last().map_or(f64::NAN, |row| ratio(*row));
            let mut chains = Chains {
                points: order
                    .iter()
                    .flat_map(|row| points.get(row * width..(row + 1) * width).unwrap_or_default())
                    .copied()
                    .collect(),
                ratios: order.iter().map(|row| ratio(*row)).collect(),
                threshold,
                scale: 0.6,
            };
            points.clone_from(&chains.points);
            ratios.clone_from(&chains.ratios);
            for step in 1..KEPT {
                if !goes_on() {
                    return Ok(None);
                }
                let stream = self.stream(purpose(level));
                chains.step(self, limits, &stream, step, threads)?;
                points.extend(&chains.points);
                ratios.extend(&chains.ratios);
            }
            spent += count - count / KEPT;
        }
        let allowed =
            format!("above 1 within {MOST_LEVELS} levels: the probability is below 1e-12, or nothing can fail");
        let most = ratios.iter().copied().fold(0.0, f64::max);
        Err(Error::Unconverged {
            reading: Reading::new("largest ratio to a limit", most, "", allowed),
            place: Place::root(),
        })
    }
}

/// Fills rows of standard normal values.
fn normal(stream: &Stream, first: u64, width: usize, points: &mut [f64]) {
    for (index, row) in (first..).zip(points.chunks_mut(width)) {
        for (pair, values) in (0..).zip(row.chunks_mut(2)) {
            for (value, number) in values.iter_mut().zip(stream.pair(index, pair)) {
                *value = normal_quantile(number);
            }
        }
    }
}

/// Chains that wander above a threshold.
struct Chains {
    points: Vec<f64>,
    ratios: Vec<f64>,
    threshold: f64,
    scale: f64,
}

impl Chains {
    /// Moves every chain by one step, or leaves it where it is.
    fn step(
        &mut self,
        experiment: &Experiment,
        limits: &[f64],
        stream: &Stream,
        step: usize,
        threads: usize,
    ) -> Result<(), Error> {
        let width = experiment.uncertain.len();
        let count = self.ratios.len();
        let mut trials = vec![0.0; count * width];
        normal(stream, (step * count) as u64, width, &mut trials);
        // A value that keeps the correlation r with the last one is standard normal again.
        let spread = self.scale.min(1.0);
        let kept = (1.0 - spread * spread).sqrt();
        trials.iter_mut().zip(&self.points).for_each(|(trial, point)| *trial = kept * point + spread * *trial);
        let ratios = experiment.ratios(&trials, limits, threads)?;
        let mut taken = 0;
        let chains = self.points.chunks_mut(width).zip(&mut self.ratios);
        for ((point, ratio), (trial, new)) in chains.zip(trials.chunks(width).zip(ratios)) {
            if new >= self.threshold {
                point.copy_from_slice(trial);
                *ratio = new;
                taken += 1;
            }
        }
        let share = f64::from(taken) / count as f64;
        self.scale = (self.scale * libm::exp((share - TAKEN) / (step as f64).sqrt())).clamp(0.01, 1.0);
        Ok(())
    }
}
