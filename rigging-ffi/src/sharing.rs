//! Closed forms of load sharing, and the conversion of units, over arrays of the caller.
//!
//! Each fills `count` results and their statuses: 0, or the status of the error that the single calculation gives, with NaN
//! as the result. A `count` of 1 is the single calculation.

use crate::error::{Failure, rigging_error};
use crate::{document, guard, slice};
use rigging_core::error::Error;
use rigging_core::quantity::Conversion;
use rigging_core::sharing::{basket_tension, equal_leg_tension, horizontal_pull, rows};
use std::ffi::c_char;

/// Inputs of rows: each array with its name.
type Inputs<const N: usize> = [(*const f64, &'static str); N];

/// Applies a form to rows.
///
/// # Safety
/// Each array is null or has `count` elements; `values` and `status` may be written and overlap no other array.
unsafe fn apply<const N: usize>(
    form: impl Fn([f64; N]) -> Result<f64, Error>,
    count: usize,
    inputs: Inputs<N>,
    (values, name): (*mut f64, &'static str),
    status: *mut i32,
) -> Result<(), Failure> {
    let mut slices: [&[f64]; N] = [&[]; N];
    for (place, (array, name)) in slices.iter_mut().zip(inputs) {
        // SAFETY: the caller vouches for the array.
        *place = unsafe { slice::read(array, count, 1, name)? };
    }
    // SAFETY: as above.
    let (values, status) =
        unsafe { (slice::write(values, count, 1, name)?, slice::write(status, count, 1, "status")?) };
    Ok(rows(form, slices, values, status)?)
}

/// Tension of each of n equal legs at one angle from vertical under a central weight, W/(n·cos β), in N, for `count` rows:
/// weight W in N, positive; number of legs n, a whole number from 1; angle β from vertical in rad, from 0 to below a right
/// angle. A row that cannot be calculated has NaN and its status; the status returned is that of the call as a whole. Null
/// is allowed for every array when `count` is 0.
///
/// # Safety
/// Arrays have `count` elements; the outputs `tension_n` and `status` may be written and overlap no other array; `error`
/// is null or initialized.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_leg_tension(
    count: usize,
    weight_n: *const f64,
    legs: *const f64,
    angle_from_vertical_rad: *const f64,
    tension_n: *mut f64,
    status: *mut i32,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe {
        guard::guard(error, || {
            let inputs = [(weight_n, "weight_n"), (legs, "legs"), (angle_from_vertical_rad, "angle_from_vertical_rad")];
            let form = |[weight, legs, angle]: [f64; 3]| equal_leg_tension(weight, legs, angle);
            apply(form, count, inputs, (tension_n, "tension_n"), status)
        })
    }
}

/// Tension of each part of a basket hitch without friction under a central weight, W/(2·cos β), in N, for `count` rows:
/// weight W in N, positive; angle β of the parts from vertical in rad, from 0 to below a right angle. Rows, statuses and
/// null are as in `rigging_leg_tension`.
///
/// # Safety
/// Arrays have `count` elements; the outputs `tension_n` and `status` may be written and overlap no other array; `error`
/// is null or initialized.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_basket_tension(
    count: usize,
    weight_n: *const f64,
    angle_from_vertical_rad: *const f64,
    tension_n: *mut f64,
    status: *mut i32,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe {
        guard::guard(error, || {
            let inputs = [(weight_n, "weight_n"), (angle_from_vertical_rad, "angle_from_vertical_rad")];
            let form = |[weight, angle]: [f64; 2]| basket_tension(weight, angle);
            apply(form, count, inputs, (tension_n, "tension_n"), status)
        })
    }
}

/// Horizontal pull of a leg that carries a vertical force, V·tan β, in N, for `count` rows: force V in N, positive; angle β
/// from vertical in rad, from 0 to below a right angle. At the choke of a pair of choked slings it is what draws the two
/// together. Rows, statuses and null are as in `rigging_leg_tension`.
///
/// # Safety
/// Arrays have `count` elements; the outputs `pull_n` and `status` may be written and overlap no other array; `error` is
/// null or initialized.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_horizontal_pull(
    count: usize,
    vertical_n: *const f64,
    angle_from_vertical_rad: *const f64,
    pull_n: *mut f64,
    status: *mut i32,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe {
        guard::guard(error, || {
            let inputs = [(vertical_n, "vertical_n"), (angle_from_vertical_rad, "angle_from_vertical_rad")];
            let form = |[vertical, angle]: [f64; 2]| horizontal_pull(vertical, angle);
            apply(form, count, inputs, (pull_n, "pull_n"), status)
        })
    }
}

/// Converts `count` values from one unit of a quantity to another, such as "force" from "kip" to "kN". A value that is not
/// finite, or not of the quantity (a temperature below 0 K), has NaN and its status. `RIGGING_UNKNOWN_NAME` for no quantity,
/// `RIGGING_WRONG_UNIT` or `RIGGING_AMBIGUOUS_UNIT` for no unit of it. Rows, statuses and null are as in
/// `rigging_leg_tension`.
///
/// # Safety
/// Texts have the lengths told in bytes; arrays have `count` elements; the outputs `converted` and `status` may be written
/// and overlap no other array; `error` is null or initialized.
#[unsafe(no_mangle)]
#[allow(clippy::too_many_arguments, reason = "texts with their lengths, and arrays of the caller")]
pub unsafe extern "C" fn rigging_convert(
    quantity: *const c_char,
    quantity_length: usize,
    unit_from: *const c_char,
    unit_from_length: usize,
    unit_to: *const c_char,
    unit_to_length: usize,
    count: usize,
    values: *const f64,
    converted: *mut f64,
    status: *mut i32,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe {
        guard::guard(error, || {
            let quantity = document::read(quantity, quantity_length, "quantity")?;
            let unit_from = document::read(unit_from, unit_from_length, "unit_from")?;
            let unit_to = document::read(unit_to, unit_to_length, "unit_to")?;
            let conversion = Conversion::new(quantity, unit_from, unit_to)?;
            let form = |[value]: [f64; 1]| conversion.apply(value);
            apply(form, count, [(values, "values")], (converted, "converted"), status)
        })
    }
}
