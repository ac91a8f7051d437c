//! Whether every balance of a piece is stable.
#![expect(clippy::indexing_slicing, reason = "every index is below the number of legs, or six")]
#![expect(clippy::needless_range_loop, reason = "rows and columns are counted as in the formulas")]
#![expect(clippy::neg_cmp_op_on_partial_ord, reason = "what is not a number fails too")]

use super::super::affine::{Affine, Affine3};
use super::super::forms::Forms;
use super::super::interval::Interval;
use super::super::law;
use super::super::piece::{Leg, Piece};
use super::{Hooks, SYMBOLS, WEIGHT, square};

/// How much of its stiffness along itself is counted of a leg, over the sum of all shares. Intervals of stiff legs blur what
/// soft directions have; a little of their stiffness is often enough.
const COUNTED: [f64; 4] = [0.0, 3.0, 30.0, 300.0];

/// Rows of displacement, then of turn about the nominal center of gravity.
pub(super) type Six = [[Affine<SYMBOLS>; 6]; 6];
/// How a leg gets longer, negative, with each displacement and turn.
type Motion = [Affine<SYMBOLS>; 6];

impl Hooks {
    /// Whether the second derivatives of the energy are positive definite at every balance of a piece.
    ///
    /// A displacement u and a turn θ about the nominal center of gravity move a point at ρ by v = u + θ×ρ. With b from there
    /// to the hook of the leg, e along the leg and K(b, ρ)·θ·θ = (b·ρ)·θ² − (b·θ)·(ρ·θ), the second derivatives over W/D are
    /// Σ q·(u² + 2·u·θ×ρ + K(b, ρ)·θ·θ) + (κ − q)·(e·v)² − D·K(up, R·c)·θ·θ. A taut leg is at least as stiff along itself as
    /// across, κ ≥ q, or else nothing is proven. So any part of κ − q of the legs that are surely taut may be left out, and
    /// a leg between taut and slack is covered by its range of shares, which holds zero. A constant force and moment that
    /// are added change nothing in the part that is symmetric.
    pub(super) fn stable(&self, piece: &Piece<SYMBOLS>, forms: &Forms<SYMBOLS>) -> Option<bool> {
        let (points, center) = self.load(piece)?;
        let matrix = self.across(piece, forms, &points, &center);
        let along = self.along(piece, forms, &points)?;
        let sum: f64 = forms.shares.iter().map(|share| share.middle).sum();
        Some(COUNTED.iter().any(|counted| {
            let mut matrix = matrix;
            for (stiffness, motion) in &along {
                let stiffness = stiffness.min(counted * sum);
                if stiffness > 0.0 {
                    add_along(&mut matrix, motion, stiffness);
                }
            }
            is_positive_definite(&matrix).unwrap_or(false)
        }))
    }

    /// The second derivatives with all of the stiffness.
    #[cfg(test)]
    pub(super) fn second(&self, piece: &Piece<SYMBOLS>, forms: &Forms<SYMBOLS>) -> Option<Six> {
        let (points, center) = self.load(piece)?;
        let mut matrix = self.across(piece, forms, &points, &center);
        for (stiffness, motion) in self.along(piece, forms, &points)? {
            add_along(&mut matrix, &motion, stiffness);
        }
        Some(matrix)
    }

    /// The second derivatives as if κ = q.
    fn across(
        &self,
        piece: &Piece<SYMBOLS>,
        forms: &Forms<SYMBOLS>,
        points: &[Affine3<SYMBOLS>],
        center: &Affine3<SYMBOLS>,
    ) -> Six {
        let mut matrix: Six = [[Affine::ZERO; 6]; 6];
        let up = [Affine::ZERO, Affine::ZERO, Affine::point(-self.height)];
        add_turn(&mut matrix, &curvature(&up, center));
        for (leg, (line, point)) in self.lines.iter().zip(points).enumerate() {
            let share = forms.shares[leg];
            for axis in 0..3 {
                matrix[axis][axis] = matrix[axis][axis] + share;
            }
            let [x, y, z] = point.map(|component| component * share);
            // u·(θ×ρ): the matrix of θ ↦ θ×ρ.
            let across = [(0, 4, z), (0, 5, -y), (1, 3, -z), (1, 5, x), (2, 3, y), (2, 4, -x)];
            for (row, column, form) in across {
                matrix[row][column] = matrix[row][column] + form;
                matrix[column][row] = matrix[column][row] + form;
            }
            let toward = self.toward(piece, line).map(|component| component * share);
            add_turn(&mut matrix, &curvature(&toward, point));
        }
        matrix
    }

    /// For each leg that is surely taut the least κ − q, and how it gets longer; none unless κ ≥ q for all.
    fn along(
        &self,
        piece: &Piece<SYMBOLS>,
        forms: &Forms<SYMBOLS>,
        points: &[Affine3<SYMBOLS>],
    ) -> Option<Vec<(f64, Motion)>> {
        let mut found = Vec::new();
        for (leg, line) in self.lines.iter().enumerate().filter(|(leg, _)| piece.legs[*leg] != Leg::Slack) {
            let (sling, length) = (&line.sling, forms.lengths[leg].range());
            let strain = length / sling.length - Interval::ONE;
            let (slope, tension) = (law::slope(&sling.law, strain), law::tension(&sling.law, strain));
            // κ ≥ q: the slope of the law over L is no less than its tension over l, which is longer than L.
            if !(slope.lo > tension.hi) {
                return None;
            }
            if piece.legs[leg] == Leg::Taut {
                let density = piece.ranges[WEIGHT] / Interval::point(self.height);
                let more = slope * sling.factor / sling.length / density - forms.shares[leg].range();
                found.push((more.lo.max(0.0), motion(&forms.arms[leg], &points[leg])?));
            }
        }
        Some(found)
    }
}

/// K(b, ρ).
fn curvature(b: &Affine3<SYMBOLS>, rho: &Affine3<SYMBOLS>) -> [[Affine<SYMBOLS>; 3]; 3] {
    let product: [[Affine<SYMBOLS>; 3]; 3] = [0, 1, 2].map(|row| [0, 1, 2].map(|column| b[row] * rho[column]));
    let trace = product[0][0] + product[1][1] + product[2][2];
    [0, 1, 2].map(|row| {
        [0, 1, 2].map(|column| {
            let mixed = (product[row][column] + product[column][row]) * -0.5;
            if row == column { trace + mixed } else { mixed }
        })
    })
}

fn add_turn(matrix: &mut Six, turn: &[[Affine<SYMBOLS>; 3]; 3]) {
    for row in 0..3 {
        for column in 0..3 {
            matrix[3 + row][3 + column] = matrix[3 + row][3 + column] + turn[row][column];
        }
    }
}

/// e and ρ×e.
fn motion(arm: &Affine3<SYMBOLS>, point: &Affine3<SYMBOLS>) -> Option<Motion> {
    let per_length = square(arm).inverse_root()?;
    let [x, y, z] = arm.map(|component| component * per_length);
    let [a, b, c] = *point;
    Some([x, y, z, b * z - c * y, c * x - a * z, a * y - b * x])
}

/// Adds k times the square of a motion.
fn add_along(matrix: &mut Six, motion: &Motion, k: f64) {
    for row in 0..6 {
        for column in 0..=row {
            let product = if row == column { motion[row].square() } else { motion[row] * motion[column] };
            matrix[row][column] = matrix[row][column] + product * k;
            if row != column {
                matrix[column][row] = matrix[row][column];
            }
        }
    }
}

/// Whether every matrix that the forms hold is positive definite: with the inverse of the root of the middle one on both sides
/// it is near the identity, and each diagonal exceeds what stands beside it. None where the middle one has no root.
fn is_positive_definite(matrix: &Six) -> Option<bool> {
    let inverse = inverse_root(&matrix.map(|row| row.map(|form| form.middle)))?;
    let times = |row: usize, column: &dyn Fn(usize) -> Affine<SYMBOLS>| {
        (0..=row).fold(Affine::ZERO, |sum, k| sum + column(k) * inverse[row][k])
    };
    let half: Six = std::array::from_fn(|row| std::array::from_fn(|column| times(row, &|k| matrix[k][column])));
    let whole: Six = std::array::from_fn(|row| std::array::from_fn(|column| times(row, &|k| half[column][k])));
    Some((0..6).all(|row| {
        let beside = (0..6).filter(|column| *column != row).map(|column| whole[row][column].range().magnitude());
        let beside = Interval::point(beside.fold(0.0, |sum, size| (sum + size).next_up()));
        (whole[row][row].range() - beside).lo > 0.0
    }))
}

/// The inverse of the lower triangular root of a matrix; none where it is not positive definite. It need not be exact.
fn inverse_root(matrix: &[[f64; 6]; 6]) -> Option<[[f64; 6]; 6]> {
    let mut root = [[0.0; 6]; 6];
    for row in 0..6 {
        for column in 0..=row {
            let sum: f64 = (0..column).map(|k| root[row][k] * root[column][k]).sum();
            let left = matrix[row][column] - sum;
            root[row][column] = if row == column { left.sqrt() } else { left / root[column][column] };
            if !root[row][column].is_finite() {
                return None;
            }
        }
        if !(root[row][row] > 0.0) {
            return None;
        }
    }
    let mut inverse = [[0.0; 6]; 6];
    for column in 0..6 {
        inverse[column][column] = 1.0 / root[column][column];
        for row in column + 1..6 {
            let sum: f64 = (column..row).map(|k| root[row][k] * inverse[k][column]).sum();
            inverse[row][column] = -sum / root[row][row];
        }
    }
    inverse.iter().flatten().all(|entry| entry.is_finite()).then_some(inverse)
}
