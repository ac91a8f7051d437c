//! Many bridles in one call, over arrays of the caller.

use crate::error::rigging_error;
use crate::{guard, slice};
use rigging_core::equilibrium::batch::{BridleOutcomes, BridleRows, solve};
use rigging_core::equilibrium::bridle::MAX_MEMBERS;

/// The `state` of a row that was not solved; that of any other is one of `RIGGING_STATE_…`.
pub const RIGGING_STATE_NOT_SOLVED: i32 = -1;

/// Hangs `count` loads on bridles of `legs` legs each, with linear stretch, row after row.
///
/// Inputs: weight in N (`count` values); center of gravity and lift points in the load's frame, z up as drawn, in m
/// (`count` × 3 and `count` × `legs` × 3 values); unstretched lengths in m and axial stiffness EA in N (`count` × `legs`
/// values each). Outputs: tension in N (`count` × `legs` values), tilt away from the attitude as drawn in rad, status and
/// state (`count` values each). The status of a row is 0 or that of the error that the single calculation gives; its state
/// is one of `RIGGING_STATE_…`. A row that is not solved, and one whose load turns over (unstable or lost), has NaN for
/// its tensions and tilt. No row changes another, and neither their order nor the number of threads changes a bit.
///
/// `threads` is the most threads that share the rows, 0 for as many as the process may use at once; small batches take
/// one, no call more than 256, and none is left behind. The status returned is that of the call as a whole: it is 0 also
/// where rows have theirs. Null is allowed for every array when `count` is 0. After `RIGGING_INTERNAL` the outputs are
/// unspecified.
///
/// # Safety
/// Inputs have the elements told and stay unchanged during the call; outputs have the elements told, may be written, and
/// overlap no other array; `error` is null or initialized.
#[unsafe(no_mangle)]
#[allow(clippy::too_many_arguments, reason = "arrays of the caller, one argument each")]
pub unsafe extern "C" fn rigging_batch_bridle(
    count: usize,
    legs: usize,
    weight_n: *const f64,
    center_m: *const f64,
    points_m: *const f64,
    lengths_m: *const f64,
    ea_n: *const f64,
    threads: usize,
    tension_n: *mut f64,
    tilt_rad: *mut f64,
    status: *mut i32,
    state: *mut i32,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe {
        guard::guard(error, || {
            // A wrong number of legs is refused by the core, before any array is looked at.
            let count = if (1..=MAX_MEMBERS).contains(&legs) { count } else { 0 };
            let rows = BridleRows {
                legs,
                weight: slice::read(weight_n, count, 1, "weight_n")?,
                center: slice::read(center_m, count, 3, "center_m")?,
                points: slice::read(points_m, count, legs.saturating_mul(3), "points_m")?,
                lengths: slice::read(lengths_m, count, legs, "lengths_m")?,
                ea: slice::read(ea_n, count, legs, "ea_n")?,
            };
            let out = BridleOutcomes {
                tension: slice::write(tension_n, count, legs, "tension_n")?,
                tilt: slice::write(tilt_rad, count, 1, "tilt_rad")?,
                status: slice::write(status, count, 1, "status")?,
                state: slice::write(state, count, 1, "state")?,
            };
            Ok(solve(&rows, out, threads)?)
        })
    }
}
