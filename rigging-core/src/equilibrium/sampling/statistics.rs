//! What a sample says, and how surely.

use super::check_limits;
use super::sample::Sample;
use super::special::{binomial_at_most, binomial_bounds};
use crate::error::{Error, Place};
use std::borrow::Cow;

/// What is read of a row.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Response {
    /// Tension of a leg, N.
    Leg(usize),
    /// The largest tension, N.
    Largest,
    /// The least tension, N.
    Least,
    /// Tilt of the load away from the attitude as drawn, rad.
    Tilt,
    /// Pull on a hook, N.
    Hook(usize),
}

/// A quantile, and the values between which the true one lies with the confidence asked for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Quantile {
    /// The least value that the share asked for of the rows does not exceed; infinite if it is no lift.
    pub value: f64,
    /// Lower bound; none if the sample is too small for one.
    pub least: Option<f64>,
    /// Upper bound; none if the sample is too small for one.
    pub most: Option<f64>,
}

/// A share of the rows, and the probabilities between which the true one lies with the confidence asked for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Share {
    /// Number of rows.
    pub count: u64,
    /// The share.
    pub share: f64,
    /// Lower bound.
    pub least: f64,
    /// Upper bound.
    pub most: f64,
}

/// Which leg, or hook, has the largest ratio of its force to its limit.
#[derive(Debug, Clone, PartialEq)]
pub struct Governing {
    /// For each leg, and each hook if it has a limit, in how many rows it governs; the first of equal ones.
    pub legs: Vec<u64>,
    /// Rows that are no lift, in which none does.
    pub not_lifted: u64,
}

impl Sample {
    fn rows(&self) -> impl Iterator<Item = &[f64]> {
        self.tension.chunks_exact(self.legs.max(1))
    }

    /// One value for each row; +∞ where there is no lift.
    ///
    /// # Errors
    /// [`Error::OutOfDomain`] for a leg or hook that is not there.
    pub fn values(&self, response: Response) -> Result<Vec<f64>, Error> {
        // NaN is the row that is no lift.
        let lifted = |value: f64| if value.is_nan() { f64::INFINITY } else { value };
        let column = |forces: &[f64], width: usize, name: &str, index: usize| {
            if index >= width {
                let allowed = format!("below {width}");
                return Err(Error::out_of_domain(name, index as f64, "", allowed, Place::root()));
            }
            Ok(forces.iter().skip(index).step_by(width).copied().map(lifted).collect())
        };
        Ok(match response {
            Response::Leg(leg) => column(&self.tension, self.legs, "index of the leg", leg)?,
            Response::Hook(hook) => column(&self.hook, self.hooks, "index of the hook", hook)?,
            Response::Largest => self.rows().map(|row| row.iter().copied().map(lifted).fold(0.0, f64::max)).collect(),
            Response::Least => {
                self.rows().map(|row| row.iter().copied().map(lifted).fold(f64::INFINITY, f64::min)).collect()
            }
            Response::Tilt => self.tilt.iter().copied().map(lifted).collect(),
        })
    }

    /// Mean and standard deviation over the rows that are lifts; NaN if none is.
    ///
    /// # Errors
    /// As [`Sample::values`].
    pub fn moments(&self, response: Response) -> Result<[f64; 2], Error> {
        let values: Vec<f64> = self.values(response)?.into_iter().filter(|value| value.is_finite()).collect();
        let count = values.len() as f64;
        let mean = values.iter().sum::<f64>() / count;
        let squares: f64 = values.iter().map(|value| (value - mean) * (value - mean)).sum();
        Ok([mean, (squares / (count - 1.0)).sqrt()])
    }

    /// The value that a row does not exceed with the probability `p`: [`quantile`] of its values.
    ///
    /// # Errors
    /// As [`quantile`]; [`Error::OutOfDomain`] for a leg or hook that is not there.
    pub fn quantile(&self, response: Response, p: f64, confidence: f64) -> Result<Quantile, Error> {
        quantile(&self.values(response)?, p, confidence)
    }

    /// [`exceedance`] of its tensions, and of the pulls on its hooks where limits of these follow those of the legs.
    ///
    /// # Errors
    /// As [`exceedance`].
    pub fn exceedance(&self, limits: &[f64], confidence: f64) -> Result<Vec<Share>, Error> {
        exceedance(&self.limited(limits)?, limits, confidence)
    }

    /// [`any_exceedance`] of its forces, as [`Sample::exceedance`] takes them.
    ///
    /// # Errors
    /// As [`exceedance`].
    pub fn any_exceedance(&self, limits: &[f64], confidence: f64) -> Result<Share, Error> {
        any_exceedance(&self.limited(limits)?, limits, confidence)
    }

    /// The forces that have limits, row after row.
    fn limited(&self, limits: &[f64]) -> Result<Cow<'_, [f64]>, Error> {
        check_limits(limits, self.legs, self.hooks)?;
        if limits.len() == self.legs {
            return Ok(Cow::Borrowed(&self.tension));
        }
        let rows = self.rows().zip(self.hook.chunks_exact(self.hooks.max(1)));
        Ok(rows.flat_map(|(tensions, pulls)| tensions.iter().chain(pulls)).copied().collect())
    }

    /// The share of rows in which at least so many legs are slack; a row that is no lift counts.
    ///
    /// # Errors
    /// As [`exceedance`].
    pub fn slack(&self, legs: usize, confidence: f64) -> Result<Share, Error> {
        inside("confidence", confidence)?;
        drawn(self.len())?;
        let slack = |row: &[f64]| row.iter().filter(|tension| tension.is_nan() || **tension == 0.0).count() >= legs;
        Ok(share(self.rows().filter(|row| slack(row)).count(), self.len(), confidence))
    }

    /// [`governing`] of its forces, as [`Sample::exceedance`] takes them.
    ///
    /// # Errors
    /// As [`exceedance`].
    pub fn governing(&self, limits: &[f64]) -> Result<Governing, Error> {
        governing(&self.limited(limits)?, limits)
    }
}

/// The value that another one does not exceed with the probability `p`, from the order of the values alone: nothing is
/// assumed of their distribution. `p` and `confidence` lie strictly between 0 and 1. NaN, the mark of a row that is no lift,
/// stands above every number.
///
/// # Errors
/// [`Error::OutOfDomain`] for a probability outside its range; [`Error::Missing`] without values.
pub fn quantile(values: &[f64], p: f64, confidence: f64) -> Result<Quantile, Error> {
    inside("probability", p)?;
    inside("confidence", confidence)?;
    drawn(values.len())?;
    let mut values: Vec<f64> = values.iter().map(|value| if value.is_nan() { f64::INFINITY } else { *value }).collect();
    values.sort_unstable_by(f64::total_cmp);
    let count = values.len() as u64;
    let at = |rank: u64| rank.checked_sub(1).and_then(|index| values.get(index as usize)).copied();
    let tail = 0.5 * (1.0 - confidence);
    // The number of rows at or below the true quantile is binomial: the value of a rank lies at or below it unless fewer
    // rows do.
    let fewer = |rank: u64| rank.checked_sub(1).map_or(0.0, |below| binomial_at_most(below, count, p));
    let least = first_rank(count + 1, |rank| fewer(rank) > tail).saturating_sub(1);
    let most = first_rank(count + 1, |rank| fewer(rank) >= 1.0 - tail);
    let rank = ((p * count as f64).ceil() as u64).clamp(1, count);
    Ok(Quantile { value: at(rank).unwrap_or(f64::NAN), least: at(least), most: at(most) })
}

/// For each leg, the share of rows in which its tension exceeds its limit (N; infinite for none). `tension` holds row after
/// row, one value for each limit; a row that is no lift (NaN) exceeds every limit.
///
/// # Errors
/// [`Error::OutOfDomain`] for a limit that is not positive and a confidence outside its range; [`Error::Inconsistent`] if
/// tensions are not in rows of so many; [`Error::Missing`] without rows.
pub fn exceedance(tension: &[f64], limits: &[f64], confidence: f64) -> Result<Vec<Share>, Error> {
    let count = rows_of(tension, limits, confidence)?;
    let mut counts = vec![0; limits.len()];
    for row in tension.chunks_exact(limits.len()) {
        for ((count, tension), limit) in counts.iter_mut().zip(row).zip(limits) {
            *count += usize::from(tension.is_nan() || tension > limit);
        }
    }
    Ok(counts.into_iter().map(|over| share(over, count, confidence)).collect())
}

/// The share of rows in which any leg exceeds its limit; tensions as in [`exceedance`].
///
/// # Errors
/// As [`exceedance`].
pub fn any_exceedance(tension: &[f64], limits: &[f64], confidence: f64) -> Result<Share, Error> {
    let count = rows_of(tension, limits, confidence)?;
    let over = |row: &&[f64]| row.iter().zip(limits).any(|(tension, limit)| tension.is_nan() || tension > limit);
    Ok(share(tension.chunks_exact(limits.len()).filter(over).count(), count, confidence))
}

/// How often each leg has the largest ratio of tension to limit; tensions as in [`exceedance`].
///
/// # Errors
/// As [`exceedance`].
pub fn governing(tension: &[f64], limits: &[f64]) -> Result<Governing, Error> {
    rows_of(tension, limits, 0.5)?;
    let mut found = Governing { legs: vec![0; limits.len()], not_lifted: 0 };
    for row in tension.chunks_exact(limits.len()) {
        let mut largest: Option<(usize, f64)> = None;
        for (leg, (tension, limit)) in row.iter().zip(limits).enumerate() {
            let ratio = tension / limit;
            if ratio.is_finite() && largest.is_none_or(|(_, other)| ratio > other) {
                largest = Some((leg, ratio));
            }
        }
        match largest.and_then(|(leg, _)| found.legs.get_mut(leg)) {
            Some(count) => *count += 1,
            None => found.not_lifted += 1,
        }
    }
    Ok(found)
}

fn share(count: usize, rows: usize, confidence: f64) -> Share {
    let (count, trials) = (count as u64, rows as u64);
    let [least, most] = binomial_bounds(count, trials, confidence);
    Share { count, share: count as f64 / trials as f64, least, most }
}

/// Number of rows, of tensions that fit the limits.
fn rows_of(tension: &[f64], limits: &[f64], confidence: f64) -> Result<usize, Error> {
    inside("confidence", confidence)?;
    check_limits(limits, limits.len(), 0)?;
    drawn(tension.len().min(limits.len()))?;
    if tension.len().is_multiple_of(limits.len()) {
        return Ok(tension.len() / limits.len());
    }
    let what = format!("{} tensions are not in rows of {}", tension.len(), limits.len());
    Err(Error::inconsistent(what, Place::root().child("tension")))
}

fn drawn(rows: usize) -> Result<(), Error> {
    if rows == 0 {
        return Err(Error::missing("a row of the sample", "rows", Place::root()));
    }
    Ok(())
}

/// The first rank up to `end` for which a condition holds that holds for all that follow; `end` if it holds for none.
fn first_rank(end: u64, holds: impl Fn(u64) -> bool) -> u64 {
    let (mut low, mut high) = (0, end);
    while low < high {
        let middle = low + (high - low) / 2;
        if holds(middle) {
            high = middle;
        } else {
            low = middle + 1;
        }
    }
    low
}

fn inside(name: &str, value: f64) -> Result<(), Error> {
    if value > 0.0 && value < 1.0 {
        return Ok(());
    }
    Err(Error::out_of_domain(name, value, "", "between 0 and 1, neither of them", Place::root()))
}
