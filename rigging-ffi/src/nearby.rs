//! Many balances near a nominal one, over arrays of the caller.

use crate::error::{Failure, rigging_error};
use crate::{guard, slice};
use rigging_core::equilibrium::bridle::MAX_MEMBERS;
use rigging_core::equilibrium::nearby::{Nominal, Outcomes, Rows};

/// The nominal load of the caller's arrays.
///
/// # Safety
/// The arrays have `legs` × 3, `legs`, `legs` and 3 elements.
pub(crate) unsafe fn nominal(
    legs: usize,
    points_m: *const f64,
    lengths_m: *const f64,
    ea_n: *const f64,
    center_m: *const f64,
    weight_n: f64,
) -> Result<Nominal, Failure> {
    // What no bridle can have is refused by the core, before any array is looked at.
    let legs = if legs <= MAX_MEMBERS { legs } else { 0 };
    // SAFETY: the caller vouches for the pointers.
    let (points, lengths, ea, center) = unsafe {
        (
            slice::read(points_m, legs, 3, "points_m")?,
            slice::read(lengths_m, legs, 1, "lengths_m")?,
            slice::read(ea_n, legs, 1, "ea_n")?,
            slice::read(center_m, 1, 3, "center_m")?,
        )
    };
    Ok(Nominal::of_arrays(points, lengths, ea, center, weight_n)?)
}

/// An array that may be absent.
///
/// # Safety
/// As `slice::read`, but for null.
unsafe fn given<'a>(
    array: *const f64,
    count: usize,
    width: usize,
    name: &'static str,
) -> Result<Option<&'a [f64]>, Failure> {
    if array.is_null() {
        return Ok(None);
    }
    // SAFETY: the caller vouches for the pointer.
    unsafe { slice::read(array, count, width, name) }.map(Some)
}

/// An output that may be absent.
///
/// # Safety
/// As `slice::write`, but for null.
unsafe fn wanted<'a, T>(
    array: *mut T,
    count: usize,
    width: usize,
    name: &'static str,
) -> Result<Option<&'a mut [T]>, Failure> {
    if array.is_null() {
        return Ok(None);
    }
    // SAFETY: the caller vouches for the pointer.
    unsafe { slice::write(array, count, width, name) }.map(Some)
}

/// Hangs `count` loads that differ from a nominal one by tolerances, on the branch of the nominal balance.
///
/// The nominal load: lift points in the load's frame, z up as drawn, in m (`legs` × 3 values), unstretched lengths in m and
/// axial stiffness EA in N (`legs` values each), center of gravity in m (3 values), weight in N. Rows, each null where
/// nominal: lengths in m and factors on the stiffness (`count` × `legs` values), center of gravity in m (`count` × 3),
/// weight in N (`count`). Outputs: tension in N (`count` × `legs` values), status and state (`count` values each); and if not
/// null tilt in rad, and whether a row was followed by itself (1) or beside others (0). A status, a state and NaN mean what
/// they mean for `rigging_batch_bridle`.
///
/// Rows are calculated side by side, as many as the processor has lanes, each from its own numbers alone: on one machine no
/// row changes another, and neither order nor threads nor the pieces in which they are sent change a bit. Machines with
/// and without fused multiplication differ in the last digits. `threads` is as for `rigging_batch_bridle`. After
/// `RIGGING_INTERNAL` the outputs are unspecified.
///
/// # Safety
/// Inputs have the elements told and stay unchanged during the call; outputs have the elements told, may be written, and
/// overlap no other array; `error` is null or initialized.
#[unsafe(no_mangle)]
#[allow(clippy::too_many_arguments, reason = "arrays of the caller, one argument each")]
pub unsafe extern "C" fn rigging_batch_nearby(
    legs: usize,
    points_m: *const f64,
    lengths_m: *const f64,
    ea_n: *const f64,
    center_m: *const f64,
    weight_n: f64,
    count: usize,
    row_lengths_m: *const f64,
    row_stiffness_factors: *const f64,
    row_center_m: *const f64,
    row_weight_n: *const f64,
    threads: usize,
    tension_n: *mut f64,
    status: *mut i32,
    state: *mut i32,
    tilt_rad: *mut f64,
    alone: *mut i32,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe {
        guard::guard(error, || {
            let nominal = nominal(legs, points_m, lengths_m, ea_n, center_m, weight_n)?;
            let rows = Rows {
                count,
                lengths: given(row_lengths_m, count, legs, "row_lengths_m")?,
                stiffness: given(row_stiffness_factors, count, legs, "row_stiffness_factors")?,
                center: given(row_center_m, count, 3, "row_center_m")?,
                weight: given(row_weight_n, count, 1, "row_weight_n")?,
            };
            let out = Outcomes {
                tension: slice::write(tension_n, count, legs, "tension_n")?,
                state: slice::write(state, count, 1, "state")?,
                status: slice::write(status, count, 1, "status")?,
                tilt: wanted(tilt_rad, count, 1, "tilt_rad")?,
                alone: wanted(alone, count, 1, "alone")?,
                hook: None,
            };
            Ok(nominal.solve(&rows, out, threads)?)
        })
    }
}
