//! From rows of the caller to columns of a block, and back.

use super::block::{Block, Column};
use super::lane::WIDEST;
use super::{Outcomes, Rows};
use crate::equilibrium::certificate::State;
use glam::DVec3;

/// The numbers of one load: of the nominal one, which stand where a row gives none, or of a row.
pub(super) struct NominalRow<const M: usize> {
    pub(super) length: [f64; M],
    pub(super) ea: [f64; M],
    pub(super) center: [f64; 3],
    pub(super) weight: f64,
}

impl<const M: usize> NominalRow<M> {
    /// One of the rows, with the nominal numbers where it gives none.
    pub(super) fn row(&self, rows: &Rows<'_>, row: usize) -> Self {
        let Rows { lengths, stiffness, center, weight, .. } = rows.row(row, M);
        let chunk = |values: Option<&[f64]>| values.and_then(|values| values.first_chunk::<M>().copied());
        let ea = chunk(stiffness).map(|mut ea| {
            ea.iter_mut().zip(self.ea).for_each(|(factor, ea)| *factor *= ea);
            ea
        });
        Self {
            length: chunk(lengths).unwrap_or(self.length),
            ea: ea.unwrap_or(self.ea),
            center: center.and_then(|center| center.first_chunk().copied()).unwrap_or(self.center),
            weight: weight.and_then(|weight| weight.first().copied()).unwrap_or(self.weight),
        }
    }
}

/// What a single load may have, from and to: lengths and coordinates in m, stiffness EA and weight in N.
const LENGTHS: [f64; 2] = [1.0e-9, 1.0e9];
const COORDINATES: [f64; 2] = [-1.0e9, 1.0e9];
const STIFFNESSES: [f64; 2] = [1.0e-12, 1.0e18];
const WEIGHTS: [f64; 2] = [1.0e-12, 1.0e18];

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
            sound &= load(&mut self.length, lengths, first, count, |_, length| length, LENGTHS);
        }
        if let Some(factors) = rows.stiffness {
            let ea = |leg: usize, factor: f64| nominal.ea.get(leg).map_or(f64::NAN, |ea| ea * factor);
            sound &= load(&mut self.ea, factors, first, count, ea, STIFFNESSES);
        }
        if let Some(center) = rows.center {
            sound &= load(&mut self.center, center, first, count, |_, coordinate| coordinate, COORDINATES);
        }
        if let Some(weight) = rows.weight {
            let column = std::array::from_mut(&mut self.weight);
            sound &= load(column, weight, first, count, |_, weight| weight, WEIGHTS);
        }
        sound
    }

    /// Puts into a lane what lies half way between the nominal load and a row; laws are the row's own from the start.
    pub(super) fn put_middle(&mut self, lane: usize, row: &NominalRow<M>, nominal: &NominalRow<M>) {
        let put = |column: &mut Column, value: f64| {
            if let Some(slot) = column.get_mut(lane) {
                *slot = value;
            }
        };
        let middle = |column: &mut Column, row: f64, nominal: f64| put(column, 0.5 * row + 0.5 * nominal);
        for ((column, row), nominal) in self.length.iter_mut().zip(row.length).zip(nominal.length) {
            middle(column, row, nominal);
        }
        for ((column, row), nominal) in self.center.iter_mut().zip(row.center).zip(nominal.center) {
            middle(column, row, nominal);
        }
        middle(&mut self.weight, row.weight, nominal.weight);
        for (column, ea) in self.ea.iter_mut().zip(row.ea) {
            put(column, ea);
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
    [least, most]: [f64; 2],
) -> u32 {
    let mut sound = 0;
    let rows = values.get(first * K..).unwrap_or_default().chunks_exact(K).take(count);
    for (row, values) in rows.enumerate() {
        let mut inside = true;
        for (leg, (column, value)) in columns.iter_mut().zip(values).enumerate() {
            let value = change(leg, *value);
            inside &= (least <= value) & (value <= most);
            if let Some(slot) = column.get_mut(row) {
                *slot = value;
            }
        }
        sound |= u32::from(inside) << row;
    }
    sound
}
