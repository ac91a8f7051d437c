//! Small dense matrices: eigenvalues, singular values, orthogonal bases. Only +, −, ×, ÷ and square roots in a fixed
//! order, so results are the same on every machine.
#![expect(clippy::indexing_slicing, reason = "every index is below the size that the matrix was made with")]

/// The most sweeps of rotations; convergence is quadratic and takes about eight.
const SWEEPS: usize = 64;

/// A symmetric matrix, row by row.
#[derive(Debug, Clone)]
pub(super) struct Dense {
    size: usize,
    values: Vec<f64>,
}

impl Dense {
    /// The symmetric part of the matrix whose entry in row i and column j is `entry(i, j)`.
    pub(super) fn new(size: usize, entry: impl Fn(usize, usize) -> f64) -> Self {
        let mut values = vec![0.0; size * size];
        for i in 0..size {
            for j in 0..=i {
                let value = 0.5 * (entry(i, j) + entry(j, i));
                values[i * size + j] = value;
                values[j * size + i] = value;
            }
        }
        Self { size, values }
    }

    pub(super) fn at(&self, row: usize, column: usize) -> f64 {
        self.values[row * self.size + column]
    }

    /// Eigenvalues ascending with their unit vectors, by cyclic Jacobi rotations.
    pub(super) fn eigen(mut self) -> Vec<(f64, Vec<f64>)> {
        let n = self.size;
        let mut vectors: Vec<Vec<f64>> =
            (0..n).map(|i| (0..n).map(|j| f64::from(u8::from(i == j))).collect()).collect();
        for _ in 0..SWEEPS {
            let mut turned = false;
            for p in 0..n {
                for q in p + 1..n {
                    let (a, b, d) = (self.at(p, p), self.at(p, q), self.at(q, q));
                    // What is below the last digit of both diagonals changes nothing any more.
                    if b == 0.0 || (a.abs() + b.abs() * 1.0e-2 == a.abs() && d.abs() + b.abs() * 1.0e-2 == d.abs()) {
                        self.values[p * n + q] = 0.0;
                        self.values[q * n + p] = 0.0;
                        continue;
                    }
                    turned = true;
                    let (c, s, t) = rotation(a, b, d);
                    for k in 0..n {
                        if k != p && k != q {
                            let (x, y) = (self.at(k, p), self.at(k, q));
                            let (x, y) = (c * x - s * y, s * x + c * y);
                            self.values[k * n + p] = x;
                            self.values[p * n + k] = x;
                            self.values[k * n + q] = y;
                            self.values[q * n + k] = y;
                        }
                    }
                    self.values[p * n + p] = a - t * b;
                    self.values[q * n + q] = d + t * b;
                    self.values[p * n + q] = 0.0;
                    self.values[q * n + p] = 0.0;
                    turn(&mut vectors, p, q, c, s);
                }
            }
            if !turned {
                break;
            }
        }
        let mut pairs: Vec<(f64, Vec<f64>)> =
            vectors.into_iter().enumerate().map(|(i, v)| (self.at(i, i), v)).collect();
        pairs.sort_by(|one, other| one.0.total_cmp(&other.0));
        pairs
    }
}

/// Singular values descending, each with its right vector, of the matrix of the given columns: the columns are turned
/// until they are orthogonal. No product of the matrix with itself is formed, so small values keep their digits.
pub(super) fn singular(mut columns: Vec<Vec<f64>>) -> Vec<(f64, Vec<f64>)> {
    let m = columns.len();
    let mut right: Vec<Vec<f64>> = (0..m).map(|i| (0..m).map(|j| f64::from(u8::from(i == j))).collect()).collect();
    let largest = columns.iter().map(|column| dot(column, column)).fold(0.0, f64::max);
    // Columns this short are zero to the last digit, and have no direction.
    let nothing = largest * (256.0 * f64::EPSILON * f64::EPSILON);
    for _ in 0..SWEEPS {
        let mut turned = false;
        for p in 0..m {
            for q in p + 1..m {
                let a = dot(&columns[p], &columns[p]);
                let d = dot(&columns[q], &columns[q]);
                let b = dot(&columns[p], &columns[q]);
                if b == 0.0 || a <= nothing || d <= nothing || b.abs() <= 4.0 * f64::EPSILON * (a * d).sqrt() {
                    continue;
                }
                turned = true;
                let (c, s, _) = rotation(a, b, d);
                turn(&mut columns, p, q, c, s);
                turn(&mut right, p, q, c, s);
            }
        }
        if !turned {
            break;
        }
    }
    let mut pairs: Vec<(f64, Vec<f64>)> =
        columns.into_iter().map(|column| dot(&column, &column).sqrt()).zip(right).collect();
    pairs.sort_by(|one, other| other.0.total_cmp(&one.0));
    pairs
}

/// Cosine, sine and tangent of the rotation that clears `b` in [[a, b], [b, d]].
fn rotation(a: f64, b: f64, d: f64) -> (f64, f64, f64) {
    let theta = (d - a) / (2.0 * b);
    let t = if theta.abs() > 1.0e150 {
        0.5 / theta
    } else {
        let sign = if theta < 0.0 { -1.0 } else { 1.0 };
        sign / (theta.abs() + (theta * theta + 1.0).sqrt())
    };
    let c = 1.0 / (t * t + 1.0).sqrt();
    (c, t * c, t)
}

fn turn(vectors: &mut [Vec<f64>], p: usize, q: usize, c: f64, s: f64) {
    let (low, high) = vectors.split_at_mut(q);
    for (x, y) in low[p].iter_mut().zip(&mut high[0]) {
        (*x, *y) = (c * *x - s * *y, s * *x + c * *y);
    }
}

pub(super) fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

/// Takes the parts along the unit vectors of `basis` out of `vector`, twice for rounding; what is left, as a unit
/// vector, joins the basis if it exceeds the share `least` of what was there. The size of what is left is returned.
pub(super) fn extend(basis: &mut Vec<Vec<f64>>, mut vector: Vec<f64>, least: f64) -> f64 {
    let before = dot(&vector, &vector).sqrt();
    for _ in 0..2 {
        for known in basis.iter() {
            let share = dot(known, &vector);
            vector.iter_mut().zip(known).for_each(|(part, known)| *part -= share * known);
        }
    }
    let left = dot(&vector, &vector).sqrt();
    if left > least * before && left > 0.0 {
        vector.iter_mut().for_each(|part| *part /= left);
        basis.push(vector);
    }
    left
}

/// An orthonormal basis of what stands perpendicular on the orthonormal vectors of `basis`, in `size` dimensions.
pub(super) fn complement(basis: &[Vec<f64>], size: usize) -> Vec<Vec<f64>> {
    let mut whole = basis.to_vec();
    while whole.len() < size {
        // The axis that lies least in what is there: at least 1/√size of it is left.
        let inside = |axis: usize| whole.iter().map(|known| known[axis] * known[axis]).sum::<f64>();
        let Some(axis) = (0..size).min_by(|one, other| inside(*one).total_cmp(&inside(*other))) else { break };
        let unit = (0..size).map(|i| f64::from(u8::from(i == axis))).collect();
        let count = whole.len();
        extend(&mut whole, unit, 0.0);
        if whole.len() == count {
            break;
        }
    }
    whole.split_off(basis.len())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn noise(seed: usize) -> f64 {
        let mut x = (seed as u64 + 1).wrapping_mul(0x9E37_79B9_7F4A_7C15);
        x ^= x >> 29;
        x = x.wrapping_mul(0xBF58_476D_1CE4_E5B9);
        (x >> 11) as f64 / (1_u64 << 52) as f64 - 1.0
    }

    #[test]
    fn eigenvalues_belong_to_their_vectors_over_ten_orders() {
        for n in [1, 2, 7, 30] {
            let matrix = Dense::new(n, |i, j| {
                noise(i.min(j) * n + i.max(j)) * if i == j { 10_f64.powi(i as i32 % 10) } else { 1.0 }
            });
            let trace: f64 = (0..n).map(|i| matrix.at(i, i)).sum();
            let pairs = matrix.clone().eigen();
            let size = pairs.iter().fold(0.0, |most: f64, (value, _)| most.max(value.abs()));
            for (value, vector) in &pairs {
                for (i, right) in vector.iter().enumerate() {
                    let left: f64 = (0..n).map(|j| matrix.at(i, j) * vector[j]).sum();
                    assert!((left - value * right).abs() < 1.0e-14 * n as f64 * size);
                }
            }
            assert!((pairs.iter().map(|(value, _)| value).sum::<f64>() - trace).abs() < 1.0e-13 * size);
        }
    }

    #[test]
    fn a_dependent_column_has_a_singular_value_of_nothing() {
        let mut columns: Vec<Vec<f64>> = (0..4).map(|j| (0..6).map(|i| noise(10 * i + j)).collect()).collect();
        let sum: Vec<f64> = (0..6).map(|i| columns[0][i] - 3.0 * columns[2][i]).collect();
        columns.push(sum);
        let found = singular(columns.clone());
        // A column shorter than 16 ε of the largest value counts as zero and is not turned any further.
        let nothing = 16.0 * f64::EPSILON * found[0].0;
        assert!(found[3].0 > 1.0e-2 && found[4].0 < nothing, "{found:?}");
        let null = &found[4].1;
        for i in 0..6 {
            assert!(columns.iter().zip(null).map(|(column, x)| column[i] * x).sum::<f64>().abs() < nothing);
        }
        // The combination is known: columns 0 and 2 against the last.
        assert!((null[2] / null[0] + 3.0).abs() < 1.0e-12 && null[1].abs() < 1.0e-13);
    }

    #[test]
    fn a_complement_is_perpendicular_and_complete() {
        let mut basis = Vec::new();
        for k in 0..3 {
            extend(&mut basis, (0..8).map(|i| noise(100 * k + i)).collect(), 1.0e-9);
        }
        let rest = complement(&basis, 8);
        assert_eq!(rest.len(), 5);
        let all: Vec<&Vec<f64>> = basis.iter().chain(&rest).collect();
        for (i, a) in all.iter().enumerate() {
            for (j, b) in all.iter().enumerate() {
                assert!((dot(a, b) - f64::from(u8::from(i == j))).abs() < 1.0e-14);
            }
        }
        let mut one = vec![vec![1.0, 0.0]];
        assert!(extend(&mut one, vec![2.0, 1.0e-12], 1.0e-9) < 1.0e-11);
        assert_eq!(one.len(), 1, "what is dependent does not join");
    }
}
