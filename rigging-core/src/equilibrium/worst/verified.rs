//! Systems of linear equations whose coefficients depend on the numbers of a box.
//!
//! With Y an approximate inverse of the middle of \[A\], every A of it is Y⁻¹·(I − E), and E = I − Y·A has the form of the
//! coefficients: a middle that is nearly zero, slopes, and a rest. If |E|·v ≤ γ·v for some positive v with γ < 1, all A are
//! regular, and A⁻¹b = w + E·w + E²·w + … with w = Y·b. The first power is bounded slope by slope, so that what cancels within
//! it does; everything from the second power on is at most |E|²·|w| + τ/(1 − γ)·v, where |E|³·|w| ≤ τ·v.
//!
//! Sums of products in doubles are off by n·ε/(1 − n·ε) of the sum of their sizes (ε half a unit in the last place); that is
//! added wherever a bound is computed, with a factor to spare.
#![expect(clippy::indexing_slicing, reason = "every index is below the size, and the size below MOST")]
#![expect(clippy::needless_range_loop, reason = "rows and columns are counted as in the formulas")]

use super::affine::Affine;
use super::problem::MOST_LEGS;

/// The most unknowns.
pub(super) const MOST: usize = 3 + MOST_LEGS;
/// Bounds the rounding of a sum of up to [`MOST`] + 2 products of doubles, over the sum of their sizes.
const ROUNDING: f64 = 32.0 * f64::EPSILON;
/// What a sum of numbers that are not negative may have lost by rounding, and more.
const UPWARD: f64 = 1.0 + 4.0 * ROUNDING;
/// The largest γ that is of use.
const MOST_GAMMA: f64 = 0.95;

pub(super) type Square = [[f64; MOST]; MOST];
pub(super) type Column = [Affine; MOST];

/// The inverses of all matrices of a form.
pub(super) struct Inverse {
    size: usize,
    approximate: Square,
    /// E: what every number of the box contributes, and bounds of the rest and of the whole.
    slopes: Vec<(usize, Square)>,
    rest: Square,
    whole: Square,
    scale: [f64; MOST],
    gamma: f64,
}

impl Inverse {
    /// None unless every matrix is proven to be regular. `moving` are the numbers on which the coefficients depend.
    pub(super) fn of(matrix: &[Column; MOST], size: usize, moving: &[usize]) -> Option<Self> {
        Self::approximate(matrix, size, moving).filter(|found| found.gamma < MOST_GAMMA)
    }

    /// How much every number on which the coefficients depend contributes to γ.
    pub(super) fn contributions(matrix: &[Column; MOST], size: usize, moving: &[usize]) -> Option<Vec<(usize, f64)>> {
        let found = Self::approximate(matrix, size, moving)?;
        let contributions = found.slopes.iter().map(|(number, square)| {
            let sizes = square.map(|row| row.map(f64::abs));
            (*number, found.over_scale(&spread(&sizes, &found.scale, size)))
        });
        Some(contributions.collect())
    }

    fn approximate(matrix: &[Column; MOST], size: usize, moving: &[usize]) -> Option<Self> {
        let zero = [[0.0; MOST]; MOST];
        let mut middle = zero;
        for i in 0..size {
            for j in 0..size {
                middle[i][j] = matrix[i][j].middle;
            }
        }
        let approximate = invert(&middle, size)?;
        let mut found = Self {
            size,
            approximate,
            slopes: moving
                .iter()
                .filter(|number| moves(matrix, size, **number))
                .map(|number| (*number, zero))
                .collect(),
            rest: zero,
            whole: zero,
            scale: [1.0; MOST],
            gamma: f64::INFINITY,
        };
        found.multiply(matrix);
        found.scale();
        Some(found)
    }

    /// E = I − Y·A.
    fn multiply(&mut self, matrix: &[Column; MOST]) {
        let size = self.size;
        for i in 0..size {
            let (mut sum, mut sizes, mut rest) = ([0.0; MOST], [0.0; MOST], [0.0; MOST]);
            for k in 0..size {
                let y = self.approximate[i][k];
                for j in 0..size {
                    let entry = &matrix[k][j];
                    let product = y * entry.middle;
                    sum[j] += product;
                    sizes[j] += product.abs();
                    rest[j] += y.abs() * entry.rest;
                }
                for (number, square) in &mut self.slopes {
                    for j in 0..size {
                        let product = y * matrix[k][j].slopes[*number];
                        square[i][j] -= product;
                        sizes[j] += product.abs();
                    }
                }
            }
            sum[i] -= 1.0;
            for j in 0..size {
                let rounding = ROUNDING * (sizes[j] + 1.0);
                self.rest[i][j] = (sum[j].abs() + rounding + rest[j]) * UPWARD + f64::MIN_POSITIVE;
                let slopes: f64 = self.slopes.iter().map(|(_, square)| square[i][j].abs()).sum();
                self.whole[i][j] = (self.rest[i][j] + slopes) * UPWARD;
            }
        }
    }

    /// The positive vector v and its γ.
    fn scale(&mut self) {
        for _ in 0..4 {
            let next = spread(&self.whole, &self.scale, self.size);
            let most = next.iter().take(self.size).fold(0.0, |most: f64, x| most.max(*x));
            for (v, x) in self.scale.iter_mut().zip(next).take(self.size) {
                *v = if most > 0.0 { x / most } else { 1.0 } + 1.0e-4;
            }
        }
        let next = spread(&self.whole, &self.scale, self.size);
        self.gamma = self.over_scale(&next);
    }

    /// The least τ with w ≤ τ·v; infinite for what is not a number.
    fn over_scale(&self, w: &[f64; MOST]) -> f64 {
        let ratios = w.iter().zip(&self.scale).take(self.size).map(|(w, v)| w / v * UPWARD);
        ratios.fold(0.0, |most: f64, ratio| if ratio.is_nan() { f64::INFINITY } else { most.max(ratio) })
    }

    /// A⁻¹·b for every A and b, in the form of the coefficients: w + E·w with all that is of second order in the rest.
    pub(super) fn solve(&self, right: &Column) -> Column {
        let size = self.size;
        let mut w = [Affine::ZERO; MOST];
        for (k, b) in right.iter().enumerate().take(size).filter(|(_, b)| !b.is_zero()) {
            for (row, entry) in self.approximate.iter().zip(&mut w).take(size) {
                *entry = *entry + *b * row[k];
            }
        }
        let (mut middle, mut sizes, mut radius) = ([0.0; MOST], [0.0; MOST], [0.0; MOST]);
        for i in 0..size {
            middle[i] = w[i].middle;
            sizes[i] = w[i].middle.abs();
            radius[i] = w[i].radius();
        }
        let mut rest: [f64; MOST] = std::array::from_fn(|i| sizes[i] + radius[i]);
        let second = spread(&self.whole, &spread(&self.whole, &rest, size), size);
        let third = spread(&self.whole, &second, size);
        let tail = self.over_scale(&third) / (1.0 - self.gamma) * UPWARD;
        let (near, far) = (spread(&self.rest, &sizes, size), spread(&self.whole, &radius, size));
        for i in 0..size {
            rest[i] = near[i] + far[i] + second[i] + tail * self.scale[i];
        }
        for (number, square) in &self.slopes {
            for i in 0..size {
                let (mut sum, mut sum_of_sizes) = (0.0, 0.0);
                for j in 0..size {
                    let product = square[i][j] * middle[j];
                    sum += product;
                    sum_of_sizes += product.abs();
                }
                w[i].slopes[*number] += sum;
                rest[i] += ROUNDING * (sum_of_sizes + w[i].slopes[*number].abs());
            }
        }
        for (entry, rest) in w.iter_mut().zip(rest).take(size) {
            *entry = entry.with_rest(rest * UPWARD);
        }
        w
    }
}

/// Whether a coefficient depends on a number.
fn moves(matrix: &[Column; MOST], size: usize, number: usize) -> bool {
    matrix.iter().take(size).any(|row| row.iter().take(size).any(|entry| entry.slopes[number] != 0.0))
}

/// |E|·w, rounded up.
fn spread(square: &Square, w: &[f64; MOST], size: usize) -> [f64; MOST] {
    let mut result = [0.0; MOST];
    for (row, entry) in square.iter().zip(&mut result).take(size) {
        let sum: f64 = row.iter().zip(w).take(size).map(|(e, w)| e * w).sum();
        *entry = sum * UPWARD;
    }
    result
}

/// An approximate inverse, by elimination with the largest pivot of each column.
fn invert(matrix: &Square, size: usize) -> Option<Square> {
    let (mut a, mut inverse) = (*matrix, [[0.0; MOST]; MOST]);
    for (i, row) in inverse.iter_mut().enumerate().take(size) {
        row[i] = 1.0;
    }
    for column in 0..size {
        let pivot = (column..size).max_by(|i, j| a[*i][column].abs().total_cmp(&a[*j][column].abs()))?;
        a.swap(column, pivot);
        inverse.swap(column, pivot);
        let by = 1.0 / a[column][column];
        if !by.is_finite() {
            return None;
        }
        for j in 0..size {
            a[column][j] *= by;
            inverse[column][j] *= by;
        }
        let (pivot_row, pivot_inverse) = (a[column], inverse[column]);
        for i in (0..size).filter(|i| *i != column) {
            let factor = a[i][column];
            if factor != 0.0 {
                for j in 0..size {
                    a[i][j] -= factor * pivot_row[j];
                    inverse[i][j] -= factor * pivot_inverse[j];
                }
            }
        }
    }
    Some(inverse)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::super::interval::Interval;
    use super::*;

    fn noise(seed: u64) -> f64 {
        let z = seed.wrapping_mul(0x9E37_79B9_7F4A_7C15);
        let z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        ((z ^ (z >> 27)) >> 11) as f64 / (1_u64 << 52) as f64 - 1.0
    }

    /// A·x for the solution of a random system whose coefficients were drawn from the intervals is its right side, and the
    /// enclosure holds that solution.
    #[test]
    fn solutions_of_every_drawn_system_lie_in_the_enclosure() {
        let size = 6;
        for case in 0..200 {
            let mut matrix = [[Affine::ZERO; MOST]; MOST];
            let mut right = [Affine::ZERO; MOST];
            for i in 0..size {
                for j in 0..size {
                    let seed = case * 1000 + (i * 10 + j) as u64;
                    matrix[i][j].middle = noise(seed) + if i == j { 4.0 } else { 0.0 };
                    matrix[i][j].slopes[0] = 0.05 * noise(seed + 300);
                    matrix[i][j].slopes[1] = 0.05 * noise(seed + 400);
                    matrix[i][j].rest = 0.02 * noise(seed + 500).abs();
                }
                right[i] = Affine::point(noise(case * 1000 + 90 + i as u64)).with_rest(0.1);
                right[i].slopes[1] = 0.1;
            }
            let enclosed = Inverse::of(&matrix, size, &[0, 1]).unwrap().solve(&right);
            for draw in 0..20 {
                let s = [noise(draw * 31 + 1), noise(draw * 37 + 2)];
                let pick = |form: &Affine, seed: u64| {
                    form.middle + form.slopes[0] * s[0] + form.slopes[1] * s[1] + form.rest * noise(seed)
                };
                let mut drawn = [[0.0; MOST]; MOST];
                let mut b = [0.0; MOST];
                for i in 0..size {
                    for j in 0..size {
                        drawn[i][j] = pick(&matrix[i][j], case * 77 + draw * 7919 + (i * 10 + j) as u64);
                    }
                    b[i] = pick(&right[i], case * 79 + draw * 7907 + i as u64);
                }
                let inverse = invert(&drawn, size).unwrap();
                for i in 0..size {
                    let x: f64 = (0..size).map(|j| inverse[i][j] * b[j]).sum();
                    let line = enclosed[i].middle + enclosed[i].slopes[0] * s[0] + enclosed[i].slopes[1] * s[1];
                    assert!((x - line).abs() <= enclosed[i].rest + 1.0e-12);
                }
            }
        }
    }

    #[test]
    fn a_family_with_a_singular_member_has_no_inverse() {
        let mut matrix = [[Affine::ZERO; MOST]; MOST];
        matrix[0][0] = Affine::point(1.0);
        matrix[1][1] = Affine::of(Interval { lo: -0.1, hi: 1.0 });
        assert!(Inverse::of(&matrix, 2, &[]).is_none());
        matrix[1][1] = Affine::side(1, Interval { lo: 0.1, hi: 1.0 });
        assert!(Inverse::of(&matrix, 2, &[1]).is_some());
    }
}
