//! The worst case over tolerances, the tolerance that keeps a skew factor, and which measured sling goes where.

use super::answer::{asked, rigging_answer};
use super::rigging_balance;
use crate::error::{Failure, rigging_error};
use crate::{document, slice};
use rigging_core::error::{Error, Place};
use rigging_core::statics::{Measure, WorstInputs};
use std::ffi::c_char;

/// The largest ratio of a leg's worst tension to its own nominal one.
pub const RIGGING_MEASURE_OWN: i32 = 0;
/// The largest worst tension of any leg over the largest nominal one of any.
pub const RIGGING_MEASURE_LARGEST: i32 = 1;

fn measure(number: i32) -> Result<Measure, Failure> {
    match number {
        RIGGING_MEASURE_OWN => Ok(Measure::Own),
        RIGGING_MEASURE_LARGEST => Ok(Measure::Largest),
        other => {
            let place = Place::root().child("measure");
            Err(Error::out_of_domain("measure", f64::from(other), "", "0 or 1", place).into())
        }
    }
}

/// The worst case over a box of tolerances: for every leg, every point at which several meet and every hook the largest force
/// that was attained (N), and where in the box; for one load with up to eight legs from up to four hooks also a bound that is
/// proven; and the skew factors that follow.
///
/// `inputs` is a JSON text of `length` bytes: `{"stiffness": […], "mass": …}`, the tolerance of each leg's stiffness and of the
/// load's mass, each over its own; `lengths` (m, one for each leg) and `center_of_gravity` (m, three coordinates) where they
/// are not to be those that the document states; `hook_heights` (m), needed where there are several hooks; `gap`, how much a bound may exceed what was attained (0.01), and `parts`, how
/// many pieces may be looked at (2000). Where nothing could be proven the bounds are null and `open` says why and
/// where. Ends with an answer, as `rigging_balance_derivatives`. `RIGGING_MISSING` for a tolerance that neither states;
/// `RIGGING_UNSUPPORTED` for slings that run over stations, or unless the balance is stable; `RIGGING_INCONSISTENT` for another number
/// of tolerances; `RIGGING_OUT_OF_DOMAIN` for one that is negative or leaves nothing.
///
/// # Safety
/// `balance` is a handle; `inputs` has `length` bytes; `answer` may be written; `error` is null or initialized.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_balance_worst(
    balance: *const rigging_balance,
    inputs: *const c_char,
    length: usize,
    answer: *mut *mut rigging_answer,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe {
        asked(balance, answer, error, |one| {
            let balance = &one.balance;
            Ok(balance.worst(&WorstInputs::from_json(document::read(inputs, length, "inputs")?)?)?)
        })
    }
}

/// The tolerance in m, common to all lengths, that keeps a skew factor within `limit`: `keeps`, up to which that is proven,
/// and `exceeds`, the least at which it was found exceeded, looked for up to `range_m`. `measure` is `RIGGING_MEASURE_OWN` or
/// `RIGGING_MEASURE_LARGEST`. `inputs` as in `rigging_balance_worst`; `lengths` are not used. Ends with an answer, as
/// `rigging_balance_derivatives`. Statuses as in `rigging_balance_worst`; `RIGGING_OUT_OF_DOMAIN` also for another measure, a
/// limit below 1, or a range that is not positive or leaves nothing of a length.
///
/// # Safety
/// `balance` is a handle; `inputs` has `length` bytes; `answer` may be written; `error` is null or initialized.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_balance_common_tolerance(
    balance: *const rigging_balance,
    measure: i32,
    limit: f64,
    range_m: f64,
    inputs: *const c_char,
    length: usize,
    answer: *mut *mut rigging_answer,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe {
        asked(balance, answer, error, |one| {
            let balance = &one.balance;
            let inputs = WorstInputs::from_json(document::read(inputs, length, "inputs")?)?;
            Ok(balance.common_tolerance(self::measure(measure)?, limit, range_m, &inputs)?)
        })
    }
}

/// Which of the measured slings goes where, so that the largest ratio of a leg's tension to its nominal one is the least:
/// every order is hung. `longer_m` and `stiffer` say how much longer (m) and stiffer (over its own) than stated the sling of
/// each leg is, in the order of the legs; `count` is their number. Ends with an answer, as `rigging_balance_derivatives`.
/// `RIGGING_WRONG_COUNT` unless there is one number of each kind for each leg; other statuses as in `rigging_balance_worst`.
///
/// # Safety
/// `balance` is a handle; `longer_m` and `stiffer` have `count` elements; `answer` may be written; `error` is null or
/// initialized.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_balance_arrange(
    balance: *const rigging_balance,
    longer_m: *const f64,
    stiffer: *const f64,
    count: usize,
    answer: *mut *mut rigging_answer,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe {
        asked(balance, answer, error, |one| {
            let balance = &one.balance;
            let longer = slice::each(longer_m, count, balance.legs().len(), "longer_m")?;
            let stiffer = slice::each(stiffer, count, balance.legs().len(), "stiffer")?;
            Ok(balance.arrange(longer, stiffer)?)
        })
    }
}
