//! From rows of the caller to columns of a block, and back.

use super::block::{Block, Column};
use super::lane::WIDEST;
use super::{Outcomes, Rows};
use crate::equilibrium::certificate::State;
use glam::DVec3;
use std::ops::RangeInclusive;

/// The nominal numbers, which stand where a row gives none.
pub(super) struct NominalRow<const M: usize> {
    pub(super) length: [f64; M],
    pub(super) ea: [f64; M],
    pub(super) center: [f64; 3],
    pub(super) weight: f64,
}

/// What a single load may have: lengths and coordinates in m, stiffness EA and weight in N.
const LENGTHS: RangeInclusive<f64> = 1.0e-9..=1.0e9;
const COORDINATES: RangeInclusive<f64> = -1.0e9..=1.0e9;
const STIFFNESSES: RangeInclusive<f64> = 1.0e-12..=1.0e18;
const WEIGHTS: RangeInclusive<f64> = 1.0e-12..=1.0e18;

impl<const M: usize> Block<M> {
    /// The nominal load in every row.
    pub(super) fn filled(nominal: &NominalRow<M>) -> Self {
        Self {
            length: nominal.length.map(|value| [value; WIDEST]),
            ea: nominal.ea.map(|value| [value; WIDEST]),
            center: nominal.center.map(|value| [value; WIDEST]),
            weight: [nominal.weight; WIDEST],
            tension: [[0.0; WIDEST]; M],
            up: [[0.0; WIDEST]; 3],
            branch: false,
            from: [[0.0; WIDEST]; 3],
            certified: 0,
            followed: 0,
            firm: 0,
            steepness: [0.0; WIDEST],
            hook: [[0.0; WIDEST]; 3],
            direction: [[[0.0; WIDEST]; 3]; M],
            passes: 0,
        }
    }

    /// Loads up to `width` rows from `first` on, and says which of them hold nothing but sound numbers; whatever else
    /// stands in the others changes no other row.
    #[inline]
    pub(super) fn load(&mut self, rows: &Rows<'_>, first: usize, width: usize, nominal: &NominalRow<M>) -> u32 {
        let count = width.min(rows.count - first);
        let mut sound = (1_u32 << count) - 1;
        if let Some(lengths) = rows.lengths {
            sound &= load(&mut self.length, lengths, first, count, |_, length| length, &LENGTHS);
        }
        if let Some(factors) = rows.stiffness {
            let ea = |leg: usize, factor: f64| nominal.ea.get(leg).map_or(f64::NAN, |ea| ea * factor);
            sound &= load(&mut self.ea, factors, first, count, ea, &STIFFNESSES);
        }
        if let Some(center) = rows.center {
            sound &= load(&mut self.center, center, first, count, |_, coordinate| coordinate, &COORDINATES);
        }
        if let Some(weight) = rows.weight {
            let column = std::array::from_mut(&mut self.weight);
            sound &= load(column, weight, first, count, |_, weight| weight, &WEIGHTS);
        }
        sound
    }

    /// Puts into a lane what lies half way between the nominal load and a row of another block; laws are its own from the
    /// start.
    pub(super) fn put_middle(&mut self, lane: usize, block: &Self, of: usize, nominal: &NominalRow<M>) {
        let put = |column: &mut Column, value: f64| {
            if let Some(slot) = column.get_mut(lane) {
                *slot = value;
            }
        };
        let middle = |column: &mut Column, of_row: &Column, nominal: f64| {
            let value = of_row.get(of).copied().unwrap_or(f64::NAN);
            put(column, 0.5 * value + 0.5 * nominal);
        };
        for ((column, of_row), nominal) in self.length.iter_mut().zip(&block.length).zip(nominal.length) {
            middle(column, of_row, nominal);
        }
        for ((column, of_row), nominal) in self.center.iter_mut().zip(&block.center).zip(nominal.center) {
            middle(column, of_row, nominal);
        }
        middle(&mut self.weight, &block.weight, nominal.weight);
        for (column, of_row) in self.ea.iter_mut().zip(&block.ea) {
            put(column, of_row.get(of).copied().unwrap_or(f64::NAN));
        }
    }

    /// Writes the rows whose bits are set in `certified`.
    #[inline]
    pub(super) fn store(&self, out: &mut Outcomes<'_>, first: usize, certified: u32) {
        let mut left = certified;
        while left != 0 {
            let row = left.trailing_zeros() as usize;
            left &= left - 1;
            let at = |column: &Column| column.get(row).copied().unwrap_or(f64::NAN);
            let up = DVec3::from_array(self.up.each_ref().map(at));
            out.put(first + row, (0, State::Stable.code(), false), up, self.tension.iter().map(at));
        }
    }
}

/// Turns rows of `K` values into columns, and says which rows hold values within the range only.
#[inline(always)]
fn load<const K: usize>(
    columns: &mut [Column; K],
    values: &[f64],
    first: usize,
    count: usize,
    change: impl Fn(usize, f64) -> f64,
    range: &RangeInclusive<f64>,
) -> u32 {
    let mut sound = 0;
    let rows = values.get(first * K..).unwrap_or_default().chunks_exact(K).take(count);
    for (row, values) in rows.enumerate() {
        let mut inside = true;
        for (leg, (column, value)) in columns.iter_mut().zip(values).enumerate() {
            let value = change(leg, *value);
            inside &= range.contains(&value);
            if let Some(slot) = column.get_mut(row) {
                *slot = value;
            }
        }
        sound |= u32::from(inside) << row;
    }
    sound
}
