//! Points of a domain at random; each is a function of its number and the seed.

use super::trial::Point;
use crate::equilibrium::sampling::philox;
use crate::kit::Domain;

/// Keeps these numbers apart from those of other purposes.
const PURPOSE: u32 = 0x7265_6675;

/// Draws lifts, and states of them.
pub(super) struct Draw<'a> {
    domain: &'a Domain,
    seed: u64,
    legs: usize,
}

impl<'a> Draw<'a> {
    pub(super) fn new(domain: &'a Domain, seed: u64) -> Self {
        Self { domain, seed, legs: domain.base().points.len() }
    }

    /// A lift: every free number anywhere in its range.
    pub(super) fn lift(&self, number: u64) -> Vec<Option<f64>> {
        let free = self.domain.free().iter().enumerate();
        let value = |(index, range): (usize, &crate::kit::Free)| {
            Some(
                (range.least + (range.most - range.least) * self.unit(number, index as u32))
                    .clamp(range.least, range.most),
            )
        };
        free.map(value).collect()
    }

    /// A state: each length and coordinate at an end of its tolerance, one in eight anywhere between.
    pub(super) fn state(&self, number: u64, state: u32) -> Vec<f64> {
        let first = (self.domain.free().len() + 2 * (self.legs + 3) * state as usize) as u32;
        let at = |index: usize| {
            let [which, where_] = [0, 1].map(|next| self.unit(number, first + 2 * index as u32 + next));
            if which < 0.875 { (where_ - 0.5).signum() } else { 2.0 * where_ - 1.0 }
        };
        (0..self.legs + 3).map(at).collect()
    }

    /// A point made of both.
    pub(super) fn point(&self, values: &[Option<f64>], number: u64, state: u32) -> Point {
        Point { values: values.to_vec(), state: self.state(number, state) }
    }

    /// A number between 0 and 1.
    fn unit(&self, number: u64, column: u32) -> f64 {
        let key = [self.seed as u32, (self.seed >> 32) as u32];
        let [low, high, ..] = philox([number as u32, (number >> 32) as u32, column, PURPOSE], key);
        ((u64::from(high) << 32 | u64::from(low)) >> 11) as f64 / (1_u64 << 53) as f64
    }
}
