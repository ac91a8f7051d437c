//! Dense elimination, written for the verifier: solution with row exchange, and the number of negative eigenvalues.

use crate::double_double::Twofold;
use std::ops::{Div, Mul, Sub};

/// A double, or a double of 32 digits.
pub trait Scalar: Copy + Sub<Output = Self> + Mul<Output = Self> + Div<Output = Self> {
    fn real(value: f64) -> Self;
    fn to_real(self) -> f64;
}

impl Scalar for f64 {
    fn real(value: f64) -> Self {
        value
    }
    fn to_real(self) -> f64 {
        self
    }
}

impl Scalar for Twofold {
    fn real(value: f64) -> Self {
        Self::from(value)
    }
    fn to_real(self) -> f64 {
        self.value()
    }
}

/// Number of negative eigenvalues of matrix + share·diag(scale), by elimination with the largest diagonal entry (over its
/// scale) first.
pub fn negatives<S: Scalar>(matrix: &[Vec<S>], scale: &[f64], share: f64) -> usize {
    let roots: Vec<f64> = scale.iter().map(|s| 1.0 / s.sqrt()).collect();
    let mut m: Vec<Vec<S>> = matrix
        .iter()
        .zip(&roots)
        .map(|(row, r)| row.iter().zip(&roots).map(|(entry, c)| *entry * S::real(*r) * S::real(*c)).collect())
        .collect();
    for (index, row) in m.iter_mut().enumerate() {
        row[index] = row[index] - S::real(-share);
    }
    let mut count = 0;
    while let Some(size) = m.len().checked_sub(1) {
        let diagonal = |index: usize| m[index][index].to_real().abs();
        let place = (0..=size).fold(0, |best, index| if diagonal(index) > diagonal(best) { index } else { best });
        m.swap(place, size);
        for row in &mut m {
            row.swap(place, size);
        }
        let Some(pivot) = m.pop() else { break };
        count += usize::from(pivot[size].to_real() < 0.0);
        for row in &mut m {
            let factor = row[size] / pivot[size];
            row.pop();
            // The matrix is symmetric; a column without an entry stays as it is.
            if factor.to_real() != 0.0 {
                for (entry, above) in row.iter_mut().zip(&pivot) {
                    *entry = *entry - factor * *above;
                }
            }
        }
    }
    count
}

/// Solves by elimination with row exchange.
pub fn solve_dense<S: Scalar>(mut m: Vec<Vec<S>>, mut b: Vec<S>) -> Vec<S> {
    let size = b.len();
    for p in 0..size {
        let entry = |row: usize| m[row][p].to_real().abs();
        let best = (p..size).fold(p, |best, row| if entry(row) > entry(best) { row } else { best });
        m.swap(p, best);
        b.swap(p, best);
        let pivot = m[p].clone();
        for r in p + 1..size {
            let factor = m[r][p] / pivot[p];
            if factor.to_real() != 0.0 {
                for (entry, above) in m[r].iter_mut().zip(&pivot).skip(p) {
                    *entry = *entry - factor * *above;
                }
                b[r] = b[r] - factor * b[p];
            }
        }
    }
    for p in (0..size).rev() {
        let sum = (p + 1..size).fold(b[p], |sum, c| sum - m[p][c] * b[c]);
        b[p] = sum / m[p][p];
    }
    b
}

#[test]
fn eigenvalues_are_counted_and_equations_solved() {
    // Eigenvalues 3, 1 and −2.
    let matrix = vec![vec![2.0, 1.0, 0.0], vec![1.0, 2.0, 0.0], vec![0.0, 0.0, -2.0]];
    let counts = [0.0, 2.5, -1.5, -3.5].map(|share| negatives(&matrix, &[1.0; 3], share));
    assert_eq!(counts, [1, 0, 2, 3]);
    let x = solve_dense(matrix, vec![4.0, 5.0, -6.0]);
    assert!(x.iter().zip([1.0, 2.0, 3.0]).all(|(x, expected)| (x - expected).abs() < 1.0e-14));
}
