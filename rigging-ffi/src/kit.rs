//! Searches for lifts that sharing rules forget, and maps of where they fall short.

use crate::arrangement::rigging_lift;
use crate::error::{Failure, rigging_error};
use crate::sharing_rule::{self, rigging_sharing_rule};
use crate::statics::answer::{answered, rigging_answer};
use crate::{document, guard, handle};
use rigging_core::arrangement::Lift;
use rigging_core::kit::{RefuteInputs, SurveyInputs, refute_while, survey_while};
use std::ffi::{c_char, c_void};

/// Whether to go on, asked now and then with what was done so far (trials of a search, cells of a survey); 0 ends the work, whose
/// answer then tells how far it got. `context` is handed on.
#[allow(non_camel_case_types, reason = "the name is that of the C type")]
pub type rigging_go_on = Option<unsafe extern "C" fn(context: *mut c_void, done: usize) -> i32>;

/// Asks the caller.
///
/// # Safety
/// `go_on` is null or may be called with `context`.
unsafe fn asks(go_on: rigging_go_on, context: *mut c_void) -> impl FnMut(usize) -> bool {
    // SAFETY: the caller vouches for it.
    move |done| go_on.is_none_or(|go_on| unsafe { go_on(context, done) } != 0)
}

/// A lift where there is one.
///
/// # Safety
/// `lift` is null or a handle.
unsafe fn perhaps<'a>(lift: *const rigging_lift) -> Result<Option<&'a Lift>, Failure> {
    if lift.is_null() {
        return Ok(None);
    }
    // SAFETY: the caller vouches for it.
    Ok(Some(&unsafe { handle::borrow(lift, "lift")? }.0))
}

/// Searches for a lift in which a leg bears more than a sharing rule says: around `lift`, or around a ring of lift points where
/// it is null. `inputs` is a JSON document: `legs` (of the ring), `free` (what may be what: `number`, `least`, `most`), `trials`,
/// `states`, `lifts`, `least`, `seed`; its schema is `refute_inputs` in the committed schemas of the kit. Ends with an answer,
/// as `rigging_balance_derivatives`: whether the rule is `refuted`, the `worst` case with its document, and how far was searched.
/// That nothing was found proves nothing. Statuses are those of the inputs, the lift and the answers of the rule.
///
/// # Safety
/// `rule` is a handle; `lift` is null or a handle; `inputs` has `inputs_length` bytes; `go_on` is null or may be called with
/// `context`; `answer` may be written; `error` is null or initialized.
#[unsafe(no_mangle)]
#[allow(clippy::too_many_arguments, reason = "a text with its length, and a function with its context")]
pub unsafe extern "C" fn rigging_refute(
    rule: *const rigging_sharing_rule,
    lift: *const rigging_lift,
    inputs: *const c_char,
    inputs_length: usize,
    go_on: rigging_go_on,
    context: *mut c_void,
    answer: *mut *mut rigging_answer,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe {
        guard::guard(error, || {
            answered(answer, || {
                let rule = handle::borrow(rule, "rule")?.core();
                let inputs = RefuteInputs::from_json(document::read(inputs, inputs_length, "inputs")?)?;
                let domain = inputs.domain(perhaps(lift)?)?;
                Ok(refute_while(rule, &domain, &inputs.search(), asks(go_on, context))?)
            })
        })
    }
}

/// Maps where sharing rules fall short of the worst within tolerances, over numbers of `lift`, or of a ring of lift points where
/// it is null. `inputs` is a JSON document: `legs` (of the ring), `axes` (each a `number` and its `values`); its schema is
/// `survey_inputs` in the committed schemas of the kit. Ends with an answer, as `rigging_balance_derivatives`: for each rule and
/// cell which share of the worst tension is missing, null where there is none. Statuses are those of the inputs, the lift and the
/// answers of the rules.
///
/// # Safety
/// `rules` has `count` handles; the others are as for `rigging_refute`.
#[unsafe(no_mangle)]
#[allow(clippy::too_many_arguments, reason = "an array and a text with their lengths, and a function with its context")]
pub unsafe extern "C" fn rigging_survey(
    rules: *const *const rigging_sharing_rule,
    count: usize,
    lift: *const rigging_lift,
    inputs: *const c_char,
    inputs_length: usize,
    go_on: rigging_go_on,
    context: *mut c_void,
    answer: *mut *mut rigging_answer,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe {
        guard::guard(error, || {
            answered(answer, || {
                let rules = sharing_rule::cores(rules, count)?;
                let inputs = SurveyInputs::from_json(document::read(inputs, inputs_length, "inputs")?)?;
                let base = inputs.base(perhaps(lift)?)?;
                Ok(survey_while(&base, &inputs.axes, &rules, asks(go_on, context))?)
            })
        })
    }
}
