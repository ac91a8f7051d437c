//! A sparse symmetric matrix of 3×3 blocks and its factors, for an order of elimination known beforehand.
//!
//! Variables are numbered in the order of their elimination; a joint has one (its displacement), a body two (its
//! displacement, then its turn). Below the diagonal the blocks of one column stand together. Which block each step of
//! the elimination changes is listed once; the elimination itself then runs over that list.
#![expect(clippy::indexing_slicing, reason = "every index comes from the pattern, which this module makes and owns")]

use super::model::Model;
use super::order::Order;
use crate::equilibrium::symmetric::Symmetric;
use glam::{DMat3, DVec3};

/// Where a block stands, and whether it is stored as its transpose.
#[derive(Debug, Clone, Copy)]
pub(super) struct Slot {
    pub(super) index: usize,
    pub(super) transposed: bool,
}

/// Which blocks are not zero once the matrix is factored.
#[derive(Debug, Clone)]
pub(super) struct Pattern {
    /// First variable of each node.
    first: Vec<usize>,
    /// Number of variables.
    count: usize,
    /// Where the blocks of each column begin; one entry more than there are columns.
    start: Vec<usize>,
    /// Row of each block.
    rows: Vec<usize>,
    /// For each column, for each pair of its blocks: the block that their product is taken from.
    targets: Vec<usize>,
}

impl Pattern {
    pub(super) fn new(model: &Model) -> Self {
        let order = Order::new(model);
        let mut first = vec![0; model.nodes.len()];
        let mut count = 0;
        for node in &order.nodes {
            first[*node] = count;
            count += if model.nodes[*node].body { 2 } else { 1 };
        }
        let mut pattern = Self { first, count, start: vec![0], rows: Vec::new(), targets: Vec::new() };
        for (node, touched) in order.nodes.iter().zip(&order.touched) {
            let mut rows: Vec<usize> = touched
                .iter()
                .flat_map(|other| {
                    let first = pattern.first[*other];
                    first..first + if model.nodes[*other].body { 2 } else { 1 }
                })
                .collect();
            rows.sort_unstable();
            if model.nodes[*node].body {
                pattern.rows.push(pattern.first[*node] + 1);
                pattern.rows.extend(&rows);
                pattern.start.push(pattern.rows.len());
            }
            pattern.rows.extend(&rows);
            pattern.start.push(pattern.rows.len());
        }
        for column in 0..count {
            let rows = pattern.start[column]..pattern.start[column + 1];
            for j in rows.clone() {
                for k in rows.start..=j {
                    let slot = pattern.slot(pattern.rows[j], pattern.rows[k]).index;
                    pattern.targets.push(slot);
                }
            }
        }
        pattern
    }

    /// Number of variables of three components.
    pub(super) const fn count(&self) -> usize {
        self.count
    }

    /// Number of blocks.
    pub(super) fn blocks(&self) -> usize {
        self.count + self.rows.len()
    }

    /// The variable of a node's displacement; that of a body's turn follows it.
    pub(super) fn variable(&self, node: usize) -> usize {
        self.first[node]
    }

    /// Where the block of two variables stands. They must be neighbors in the pattern.
    pub(super) fn slot(&self, row: usize, column: usize) -> Slot {
        if row == column {
            return Slot { index: row, transposed: false };
        }
        let (low, high) = (row.min(column), row.max(column));
        let range = self.start[low]..self.start[low + 1];
        let place = self.rows[range.clone()].partition_point(|found| *found < high);
        Slot { index: self.count + range.start + place, transposed: row < column }
    }

    /// For each block, whether neither of its variables is `held`.
    pub(super) fn among(&self, held: &[bool]) -> Vec<bool> {
        let mut among: Vec<bool> = held.iter().map(|held| !held).collect();
        for column in 0..self.count {
            let rows = &self.rows[self.start[column]..self.start[column + 1]];
            among.extend(rows.iter().map(|row| !held[column] && !held[*row]));
        }
        among
    }

    /// Factors `values` in place. `None` if a pivot does not exceed its floor: the matrix is then not positive definite.
    ///
    /// With A = G·Gᵀ for a pivot, its block becomes the transposed inverse of G, and each block B below it B·G⁻ᵀ.
    pub(super) fn factor(&self, values: &mut [DMat3], floors: &[f64]) -> Option<()> {
        self.eliminate(
            values,
            |variable, pivot| Symmetric::of(pivot).inverse_root(floors[variable]).map(|root| (root, ())),
            |block, ()| *block,
        )
    }

    /// Factors `values` in place, whatever the signs of its eigenvalues, and returns how many are negative.
    pub(super) fn inertia(&self, values: &mut [DMat3]) -> usize {
        let mut negative = 0;
        let _ = self.eliminate(
            values,
            |_, pivot| {
                let (root, signs) = Symmetric::of(pivot).signed_inverse_root();
                negative += signs.to_array().into_iter().filter(|sign| *sign < 0.0).count();
                Some((root, signs))
            },
            |block, signs| DMat3::from_cols(block.x_axis * signs.x, block.y_axis * signs.y, block.z_axis * signs.z),
        );
        negative
    }

    /// Takes the variables out one by one. `root` gives M and s with M·s·Mᵀ equal to the inverse of a pivot, `sign` the
    /// product of a block with s.
    #[inline]
    fn eliminate<S: Copy>(
        &self,
        values: &mut [DMat3],
        mut root: impl FnMut(usize, &DMat3) -> Option<(DMat3, S)>,
        sign: impl Fn(&DMat3, S) -> DMat3,
    ) -> Option<()> {
        let mut scaled: Vec<DMat3> = Vec::new();
        let mut targets = self.targets.iter();
        for column in 0..self.count {
            let (inverse, signs) = root(column, &values[column])?;
            values[column] = inverse;
            let blocks = &mut values[self.count + self.start[column]..self.count + self.start[column + 1]];
            scaled.clear();
            for block in blocks {
                *block *= inverse;
                scaled.push(*block);
            }
            for (j, left) in scaled.iter().enumerate() {
                let left = sign(left, signs);
                for (right, target) in scaled.iter().take(j + 1).zip(&mut targets) {
                    values[*target] -= left * right.transpose();
                }
            }
        }
        Some(())
    }

    /// Solves with the factors that stand in `values`; `x` is the right side and becomes the solution.
    pub(super) fn solve(&self, values: &[DMat3], x: &mut [DVec3]) {
        for column in 0..self.count {
            let own = values[column].transpose() * x[column];
            let blocks = self.start[column]..self.start[column + 1];
            for (row, block) in self.rows[blocks.clone()].iter().zip(&values[self.count..][blocks]) {
                x[*row] -= *block * own;
            }
            x[column] = own;
        }
        for column in (0..self.count).rev() {
            let mut own = x[column];
            let blocks = self.start[column]..self.start[column + 1];
            for (row, block) in self.rows[blocks.clone()].iter().zip(&values[self.count..][blocks]) {
                own -= block.transpose() * x[*row];
            }
            x[column] = values[column] * own;
        }
    }

    /// The product of a matrix that is not factored with a vector.
    pub(super) fn times(&self, values: &[DMat3], x: &[DVec3]) -> Vec<DVec3> {
        let mut product: Vec<DVec3> = (0..self.count).map(|v| values[v] * x[v]).collect();
        for column in 0..self.count {
            for j in self.start[column]..self.start[column + 1] {
                let (block, row) = (values[self.count + j], self.rows[j]);
                product[row] += block * x[column];
                product[column] += block.transpose() * x[row];
            }
        }
        product
    }
}
