//! Sharing rules against the elastic worst case of a lift.

use crate::arrangement::rigging_lift;
use crate::error::rigging_error;
use crate::leg_set;
use crate::sharing_rule::{self, rigging_sharing_rule};
use crate::statics::answer::{answered, rigging_answer};
use crate::{guard, handle};
use rigging_core::demand::{compare, compare_sharing};

/// One load under one hook, at its stated mass, under the sharing rules that are built in, against the elastic worst case over the
/// vertices of its tolerances, which is attained and no bound: for every rule its words (name, domain, source, whether it claims to
/// be conservative), force of each leg, how far that is below the worst (N), and the leg of which it covers the least; or why it
/// refuses. `angle_from_vertical_rad` is one angle for every leg, in rad, from 0 to below a right angle; null for the angles as
/// drawn. Ends with an answer, as `rigging_balance_derivatives`; its keys are those of the committed schema of a comparison.
/// `RIGGING_UNSUPPORTED` for another arrangement, or unless every balance is stable; `RIGGING_MISSING` for an input or a tolerance
/// that is not known; `RIGGING_OUT_OF_DOMAIN` for the angle. A rule that covers one lift is not proven for another.
///
/// # Safety
/// `lift` is a handle; `angle_from_vertical_rad` is null or may be read; `answer` may be written; `error` is null or
/// initialized.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_lift_compare_sharing(
    lift: *const rigging_lift,
    angle_from_vertical_rad: *const f64,
    answer: *mut *mut rigging_answer,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe {
        guard::guard(error, || {
            answered(answer, || {
                let angle = angle_from_vertical_rad.as_ref().copied();
                Ok(compare_sharing(&handle::borrow(lift, "lift")?.0, angle)?)
            })
        })
    }
}

/// The same as `rigging_lift_compare_sharing` with `count` rules of the caller's choice, in that order, own ones among them;
/// null is allowed for none. A rule that refuses, and one whose answer is no force, stands in the answer with the reason.
///
/// # Safety
/// `lift` is a handle; `rules` has `count` handles; `angle_from_vertical_rad` is null or may be read; `answer` may be written;
/// `error` is null or initialized.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_lift_compare_rules(
    lift: *const rigging_lift,
    rules: *const *const rigging_sharing_rule,
    count: usize,
    angle_from_vertical_rad: *const f64,
    answer: *mut *mut rigging_answer,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe {
        guard::guard(error, || {
            answered(answer, || {
                let set = leg_set::of_lift(&handle::borrow(lift, "lift")?.0, angle_from_vertical_rad.as_ref())?;
                Ok(compare(&set, &sharing_rule::cores(rules, count)?)?)
            })
        })
    }
}
