//! Whether every balance of a piece is stable.
#![expect(clippy::indexing_slicing, reason = "every index is below the number of legs, or three")]
#![expect(clippy::needless_range_loop, reason = "rows and columns are counted as in the formulas")]
#![expect(clippy::neg_cmp_op_on_partial_ord, reason = "what is not a number fails too")]

use super::conditions::{Forms, Leg, Numbers, Piece};
use super::interval::Interval;
use super::law;
use super::problem::Problem;

/// Whether the second derivatives of the energy are positive definite at every balance of a piece, whose sum of shares less one
/// is no less than `surplus`.
///
/// Over W/d they are Σ κ·u·uᵀ + q·(I − u·uᵀ) − (I − n·nᵀ) with the shares q; a taut leg is at least as stiff along itself as
/// across, κ ≥ q, or else nothing is proven. So they are no less than surplus·I + n·nᵀ + Σ (κ − q)·u·uᵀ over the legs that
/// are surely taut, and a leg between taut and slack, whatever it does, adds to that.
pub(super) fn is_stable(problem: &Problem, numbers: &Numbers, piece: &Piece, forms: &Forms, surplus: f64) -> bool {
    let per_height = forms.per_height.range();
    let n: [Interval; 3] = std::array::from_fn(|axis| (piece.hook[axis] - piece.center[axis]) * per_height);
    let mut matrix = [[Interval::ZERO; 3]; 3];
    for (axis, row) in matrix.iter_mut().enumerate() {
        row[axis] = Interval::point(surplus);
    }
    add(&mut matrix, &n, 1.0);
    for leg in (0..problem.legs()).filter(|leg| piece.legs[*leg] != Leg::Slack) {
        let law = &problem.bridle.laws()[leg];
        let length = forms.lengths[leg].range();
        let strain = length / numbers.lengths[leg] - Interval::ONE;
        let (slope, tension) = (law::slope(law, strain), law::tension(law, strain));
        // κ ≥ q: the slope of the law over L is no less than its tension over l, which is longer than L.
        if !(slope.lo > tension.hi) {
            return false;
        }
        if piece.legs[leg] == Leg::Taut {
            let weight_over_height = piece.weight * per_height;
            let stiffness = slope * numbers.factors[leg] / numbers.lengths[leg] / weight_over_height;
            let u = forms.arms[leg].map(|form| form.range() / length);
            add(&mut matrix, &u, (stiffness - piece.shares[leg]).lo.max(0.0));
        }
    }
    // Where the shares are enough by themselves, intervals of stiff legs would only blur it.
    surplus > 0.0 || is_positive_definite(matrix)
}

/// Adds k·u·uᵀ.
fn add(matrix: &mut [[Interval; 3]; 3], u: &[Interval; 3], k: f64) {
    for a in 0..3 {
        for b in 0..3 {
            let product = if a == b { square(u[a]) } else { u[a] * u[b] };
            matrix[a][b] = matrix[a][b] + product * k;
        }
    }
}

fn square(x: Interval) -> Interval {
    let squared = x * x;
    Interval { lo: squared.lo.max(0.0), ..squared }
}

/// Whether all pivots of the elimination are positive.
fn is_positive_definite(mut matrix: [[Interval; 3]; 3]) -> bool {
    for pivot in 0..3 {
        if !(matrix[pivot][pivot].lo > 0.0) {
            return false;
        }
        for a in pivot + 1..3 {
            let factor = matrix[a][pivot] / matrix[pivot][pivot];
            for b in pivot + 1..3 {
                matrix[a][b] = matrix[a][b] - factor * matrix[pivot][b];
            }
        }
    }
    true
}
