//! Whether every balance of a piece is stable.
#![expect(clippy::indexing_slicing, reason = "every index is below the number of legs, or three")]
#![expect(clippy::needless_range_loop, reason = "rows and columns are counted as in the formulas")]
#![expect(clippy::neg_cmp_op_on_partial_ord, reason = "what is not a number fails too")]

use super::super::affine::Affine;
use super::super::forms::Forms;
use super::super::interval::Interval;
use super::super::law;
use super::super::piece::{Leg, Piece, Says, most};
use super::{CENTER, OneHook, SHARES, SYMBOLS, WEIGHT};

impl OneHook<'_> {
    /// Whether the second derivatives of the energy are positive definite at every balance of a piece, or there is none.
    ///
    /// Over W/d they are Σ κ·u·uᵀ + q·(I − u·uᵀ) − (I − n·nᵀ) with the shares q; a taut leg is at least as stiff along itself
    /// as across, κ ≥ q, or else nothing is proven. So they are no less than surplus·I + n·nᵀ + Σ (κ − q)·u·uᵀ over the legs
    /// that are surely taut, where the surplus is the least sum of shares less one; and a leg between taut and slack, whatever
    /// it does, adds to that.
    pub(super) fn stable(&self, piece: &Piece<SYMBOLS>, forms: &Forms<SYMBOLS>) -> bool {
        let sum = forms.shares.iter().fold(Affine::point(-1.0), |sum, share| sum + *share);
        let surplus = match most(forms, &mut forms.program(), &-sum) {
            Says::AtMost(found, _) => -found,
            Says::Nothing => return true,
        };
        let per_height = forms.per_height.range();
        let n: [Interval; 3] =
            std::array::from_fn(|axis| (piece.ranges[axis] - piece.ranges[CENTER + axis]) * per_height);
        let mut matrix = [[Interval::ZERO; 3]; 3];
        for (axis, row) in matrix.iter_mut().enumerate() {
            row[axis] = Interval::point(surplus);
        }
        add(&mut matrix, &n, 1.0);
        for (leg, sling) in self.slings.iter().enumerate().filter(|(leg, _)| piece.legs[*leg] != Leg::Slack) {
            let length = forms.lengths[leg].range();
            let strain = length / sling.length - Interval::ONE;
            let (slope, tension) = (law::slope(&sling.law, strain), law::tension(&sling.law, strain));
            // κ ≥ q: the slope of the law over L is no less than its tension over l, which is longer than L.
            if !(slope.lo > tension.hi) {
                return false;
            }
            if piece.legs[leg] == Leg::Taut {
                let weight_over_height = piece.ranges[WEIGHT] * per_height;
                let stiffness = slope * sling.factor / sling.length / weight_over_height;
                let u = forms.arms[leg].map(|form| form.range() / length);
                add(&mut matrix, &u, (stiffness - piece.ranges[SHARES + leg]).lo.max(0.0));
            }
        }
        // Where the shares are enough by themselves, intervals of stiff legs would only blur it.
        surplus > 0.0 || is_positive_definite(matrix)
    }
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
