//! Whether every balance of a piece is stable.
#![expect(clippy::indexing_slicing, reason = "every index is below the number of members, or of rows")]
#![expect(clippy::needless_range_loop, reason = "rows and columns are counted as in the formulas")]
#![expect(clippy::neg_cmp_op_on_partial_ord, reason = "what is not a number fails too")]

use super::super::affine::{Affine, Affine3};
use super::super::forms::Forms;
use super::super::interval::Interval;
use super::super::law;
use super::super::piece::{Leg, Piece};
use super::layout::Tied;
use super::posture::Posture;
use super::{Tiers, cross, minus, scaled};

/// How much of its stiffness along itself is counted of a member, over the sum of all shares. Intervals of stiff members blur
/// what soft directions have; a little of their stiffness is often enough.
const COUNTED: [f64; 4] = [0.0, 3.0, 30.0, 300.0];

/// Steps toward the vector that the largest that a matrix may be off lengthens most, and what is added to its components.
const POWERS: usize = 12;
const LEAST: f64 = 1.0e-3;
/// More than what rounding takes off a sum of numbers that are not negative.
const UPWARD: f64 = 1.0 + 256.0 * f64::EPSILON;

/// A symmetric matrix of forms, of which the lower triangle is used: of each part three rows of displacement, and of a body
/// three of turn about its nominal center of gravity.
pub(super) struct Symmetric<const N: usize> {
    size: usize,
    entries: Vec<Affine<N>>,
}

/// How the ends of a member come nearer with each displacement and turn: a row for each that is not zero.
type Motion<const N: usize> = Vec<(usize, Affine<N>)>;

impl<const N: usize> Symmetric<N> {
    fn new(size: usize) -> Self {
        Self { size, entries: vec![Affine::ZERO; size * (size + 1) / 2] }
    }

    pub(super) fn at(&self, row: usize, column: usize) -> &Affine<N> {
        let (row, column) = (row.max(column), row.min(column));
        &self.entries[row * (row + 1) / 2 + column]
    }

    fn add(&mut self, row: usize, column: usize, form: Affine<N>) {
        let (row, column) = (row.max(column), row.min(column));
        let entry = &mut self.entries[row * (row + 1) / 2 + column];
        *entry = *entry + form;
    }

    /// A block of three by three on the diagonal.
    fn add_own(&mut self, first: usize, block: &[[Affine<N>; 3]; 3]) {
        for row in 0..3 {
            for column in 0..=row {
                self.add(first + row, first + column, block[row][column]);
            }
        }
    }

    /// A block of three by three off the diagonal.
    fn add_beside(&mut self, rows: usize, columns: usize, block: &[[Affine<N>; 3]; 3]) {
        for row in 0..3 {
            for column in 0..3 {
                self.add(rows + row, columns + column, block[row][column]);
            }
        }
    }

    /// Adds k times the square of a motion.
    fn add_along(&mut self, motion: &Motion<N>, k: f64) {
        for (index, (row, one)) in motion.iter().enumerate() {
            for (column, other) in &motion[..=index] {
                let product = if row == column { one.square() } else { *one * *other };
                self.add(*row, *column, product * k);
            }
        }
    }
}

impl Tiers {
    /// Whether the second derivatives of the energy are positive definite at every balance of a piece, but for free turns.
    ///
    /// A displacement u and a turn θ of a part about its nominal center of gravity move a point at ρ by v = u + θ×ρ. Of a
    /// member with ends that move by v and w, unit vector e, and the arms b from each part to the other end, the second
    /// derivatives are q·(v − w)² and what turns of the ends bring, together with v² the part's own q·(u² + 2·u·θ×ρ +
    /// K(b, ρ)·θ·θ) with K(b, ρ)·θ·θ = (b·ρ)·θ² − (b·θ)·(ρ·θ), and −2·q·v·w between parts; and (κ − q)·(e·(v − w))². The
    /// weight of the load adds −W·K(up, R·c)·θ·θ. A taut member is at least as stiff along itself as across, κ ≥ q, or else
    /// nothing is proven. So any part of κ − q of members that are surely taut may be left out, and a member between taut and
    /// slack is covered by its range of shares, which holds zero.
    ///
    /// A free turn is held where it is nominally, g·up = 0, by a spring whose stiffness resists w·θ·up + (θ×g)·up: along all
    /// motions that keep to this the energy is what it was. What is left over takes no more from it than its moment.
    pub(super) fn stable<const N: usize>(&self, piece: &Piece<N>, forms: &Forms<N>) -> Option<bool> {
        let posture = self.posture(piece)?;
        let matrix = self.across(piece, forms, &posture)?;
        let along = self.along(piece, forms, &posture)?;
        let sum: f64 = forms.shares.iter().map(|share| share.middle).sum();
        Some(COUNTED.iter().any(|counted| {
            let mut matrix = Symmetric { size: matrix.size, entries: matrix.entries.clone() };
            for (stiffness, motion) in &along {
                let stiffness = stiffness.min(counted * sum);
                if stiffness > 0.0 {
                    matrix.add_along(motion, stiffness);
                }
            }
            is_positive_definite(&matrix).unwrap_or(false)
        }))
    }

    /// The second derivatives with all of the stiffness.
    #[cfg(test)]
    pub(super) fn second<const N: usize>(&self, piece: &Piece<N>, forms: &Forms<N>) -> Option<Symmetric<N>> {
        let posture = self.posture(piece)?;
        let mut matrix = self.across(piece, forms, &posture)?;
        for (stiffness, motion) in self.along(piece, forms, &posture)? {
            matrix.add_along(&motion, stiffness);
        }
        Some(matrix)
    }

    /// The first row of each part, and the number of rows.
    pub(super) fn rows(&self) -> (Vec<usize>, usize) {
        let mut next = 0;
        let rows = self.layout.parts.iter().map(|part| {
            let first = next;
            next += if part.body.is_some() { 6 } else { 3 };
            first
        });
        (rows.collect(), next)
    }

    /// The second derivatives as if κ = q.
    fn across<const N: usize>(&self, piece: &Piece<N>, forms: &Forms<N>, posture: &Posture<N>) -> Option<Symmetric<N>> {
        let (rows, size) = self.rows();
        let mut matrix = Symmetric::new(size);
        let is_body = |part: usize| self.layout.parts[part].body.is_some();
        for (leg, line) in self.lines.iter().enumerate() {
            let share = forms.shares[leg];
            let (tips, offsets) = (&posture.tips[leg], &posture.offsets[leg]);
            for (end, tip) in line.tips.iter().enumerate() {
                let Tied::Part(part) = tip.tied else { continue };
                let first = rows[part];
                for axis in 0..3 {
                    matrix.add(first + axis, first + axis, share);
                }
                if is_body(part) {
                    let toward = scaled(&minus(&tips[1 - end], &posture.parts[part]), &share);
                    matrix.add_own(first + 3, &curvature(&toward, &offsets[end]));
                    matrix.add_beside(first, first + 3, &moves(&scaled(&offsets[end], &share)));
                }
            }
            let [Tied::Part(one), Tied::Part(other)] = [line.tips[0].tied, line.tips[1].tied] else { continue };
            let less = -share;
            for axis in 0..3 {
                matrix.add(rows[one] + axis, rows[other] + axis, less);
            }
            if is_body(other) {
                matrix.add_beside(rows[one], rows[other] + 3, &moves(&scaled(&offsets[1], &less)));
            }
            if is_body(one) {
                matrix.add_beside(rows[other], rows[one] + 3, &moves(&scaled(&offsets[0], &less)));
            }
            if is_body(one) && is_body(other) {
                let (near, far) = (scaled(&offsets[0], &less), &offsets[1]);
                let product = [0, 1, 2].map(|row| [0, 1, 2].map(|column| far[row] * near[column]));
                let trace = product[0][0] + product[1][1] + product[2][2];
                let block = [0, 1, 2].map(|row| {
                    [0, 1, 2]
                        .map(|column| if row == column { trace - product[row][column] } else { -product[row][column] })
                });
                matrix.add_beside(rows[one] + 3, rows[other] + 3, &block);
            }
        }
        let load = self.layout.load();
        let up = [Affine::ZERO, Affine::ZERO, -self.weight_of(piece, load)];
        matrix.add_own(rows[load] + 3, &curvature(&up, &posture.shift));
        let little = Affine::point(-self.left_over.moment(posture));
        let stiff = forms.shares.iter().map(|share| share.middle).sum::<f64>();
        for (index, part) in self.layout.parts.iter().enumerate().filter(|(_, part)| part.body.is_some()) {
            let turn = rows[index] + 3;
            for axis in 0..3 {
                matrix.add(turn + axis, turn + axis, little);
            }
            if part.turn[2].is_none() {
                let [x, y, z] = posture.turns[index]?;
                let w = (Affine::point(1.0) - x.square() - y.square() - z.square()).root()?;
                let reach =
                    self.lines.iter().zip(&posture.offsets).flat_map(|(line, offsets)| line.tips.iter().zip(offsets));
                let own = reach.filter(|(tip, _)| tip.tied == Tied::Part(index));
                let reach = own
                    .map(|(_, offset)| offset.iter().map(|form| form.middle.powi(2)).sum::<f64>())
                    .fold(0.0, f64::max);
                matrix.add_along(&vec![(turn, y), (turn + 1, -x), (turn + 2, w)], stiff * reach);
            }
        }
        Some(matrix)
    }

    /// For each member that is surely taut the least κ − q, and how it gets longer; none unless κ ≥ q for all.
    fn along<const N: usize>(
        &self,
        piece: &Piece<N>,
        forms: &Forms<N>,
        posture: &Posture<N>,
    ) -> Option<Vec<(f64, Motion<N>)>> {
        let (rows, _) = self.rows();
        let mut found = Vec::new();
        for (leg, line) in self.lines.iter().enumerate().filter(|(leg, _)| piece.legs[*leg] != Leg::Slack) {
            let (sling, length) = (&line.sling, forms.lengths[leg].range());
            let strain = length / sling.length - Interval::ONE;
            let (slope, tension) = (law::slope(&sling.law, strain), law::tension(&sling.law, strain));
            // κ ≥ q: the slope of the law over L is no less than its tension over l, which is longer than L.
            if !(slope.lo > tension.hi) {
                return None;
            }
            if piece.legs[leg] != Leg::Taut {
                continue;
            }
            let more = slope * sling.factor / sling.length / Interval::point(self.density) - forms.shares[leg].range();
            let per_length = forms.lengths[leg].inverse()?;
            let e = scaled(&forms.arms[leg], &per_length);
            let mut motion = Vec::with_capacity(12);
            for (end, tip) in line.tips.iter().enumerate() {
                let Tied::Part(part) = tip.tied else { continue };
                let e = if end == 0 { e } else { e.map(|form| -form) };
                motion.extend(e.into_iter().enumerate().map(|(axis, form)| (rows[part] + axis, form)));
                if self.layout.parts[part].body.is_some() {
                    let turn = cross(&posture.offsets[leg][end], &e);
                    motion.extend(turn.into_iter().enumerate().map(|(axis, form)| (rows[part] + 3 + axis, form)));
                }
            }
            found.push((more.lo.max(0.0), motion));
        }
        Some(found)
    }
}

/// K(b, ρ).
fn curvature<const N: usize>(b: &Affine3<N>, rho: &Affine3<N>) -> [[Affine<N>; 3]; 3] {
    let product: [[Affine<N>; 3]; 3] = [0, 1, 2].map(|row| [0, 1, 2].map(|column| b[row] * rho[column]));
    let trace = product[0][0] + product[1][1] + product[2][2];
    [0, 1, 2].map(|row| {
        [0, 1, 2].map(|column| {
            let mixed = (product[row][column] + product[column][row]) * -0.5;
            if row == column { trace + mixed } else { mixed }
        })
    })
}

/// The matrix of θ ↦ θ×ρ.
fn moves<const N: usize>([x, y, z]: &Affine3<N>) -> [[Affine<N>; 3]; 3] {
    let none = Affine::ZERO;
    [[none, *z, -*y], [-*z, none, *x], [*y, -*x, none]]
}

/// Whether every matrix that the forms hold is positive definite: with the inverse of the root of the middle one on both sides
/// it is near the identity: what it is off by has no eigenvalue as large as one, because there is a positive vector of which the
/// largest that it may be off makes less. None where the middle one has no root.
fn is_positive_definite<const N: usize>(matrix: &Symmetric<N>) -> Option<bool> {
    let size = matrix.size;
    let inverse = inverse_root(matrix)?;
    let times = |row: usize, column: &dyn Fn(usize) -> Affine<N>| {
        (0..=row).fold(Affine::ZERO, |sum, k| sum + column(k) * inverse[row * size + k])
    };
    let half: Vec<Affine<N>> =
        (0..size * size).map(|index| times(index / size, &|k| *matrix.at(k, index % size))).collect();
    // How far an entry may be from that of the identity.
    let mut off = vec![0.0; size * size];
    for row in 0..size {
        for column in 0..=row {
            let whole = times(row, &|k| half[column * size + k]).range();
            let identity = if row == column { Interval::ONE } else { Interval::ZERO };
            let most = (whole - identity).magnitude();
            (off[row * size + column], off[column * size + row]) = (most, most);
        }
    }
    let times = |v: &[f64]| -> Vec<f64> {
        off.chunks_exact(size).map(|row| row.iter().zip(v).map(|(off, v)| off * v).sum::<f64>() * UPWARD).collect()
    };
    // No change is longer than that of the largest, and this shrinks a vector without zeros in all components.
    let mut vector = vec![1.0; size];
    for _ in 0..POWERS {
        let next = times(&vector);
        if next.iter().zip(&vector).all(|(next, own)| next < own) {
            return Some(true);
        }
        let largest = next.iter().copied().fold(0.0, f64::max);
        vector = next.iter().map(|next| next / largest + LEAST).collect();
    }
    Some(false)
}

/// The inverse of the lower triangular root of the middle of a matrix; none where it is not positive definite. It need not be
/// exact.
fn inverse_root<const N: usize>(matrix: &Symmetric<N>) -> Option<Vec<f64>> {
    let size = matrix.size;
    let mut root = vec![0.0; size * size];
    for row in 0..size {
        for column in 0..=row {
            let sum: f64 = (0..column).map(|k| root[row * size + k] * root[column * size + k]).sum();
            let left = matrix.at(row, column).middle - sum;
            let entry = if row == column { left.sqrt() } else { left / root[column * size + column] };
            if !entry.is_finite() {
                return None;
            }
            root[row * size + column] = entry;
        }
        if !(root[row * size + row] > 0.0) {
            return None;
        }
    }
    let mut inverse = vec![0.0; size * size];
    for column in 0..size {
        inverse[column * size + column] = 1.0 / root[column * size + column];
        for row in column + 1..size {
            let sum: f64 = (column..row).map(|k| root[row * size + k] * inverse[k * size + column]).sum();
            inverse[row * size + column] = -sum / root[row * size + row];
        }
    }
    inverse.iter().all(|entry| entry.is_finite()).then_some(inverse)
}
