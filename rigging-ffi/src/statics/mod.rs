//! Questions about the balance of a lift, behind a handle.

pub mod answer;
pub mod matrix;
pub mod worst;

use crate::arrangement::rigging_lift;
use crate::equilibrium::rigging_certificate;
use crate::error::{Failure, rigging_error};
use crate::{document, guard, handle, slice};
use answer::{asked, rigging_answer};
use rigging_core::error::Error;
use rigging_core::statics::{Balance, Derivatives, PeriodInputs};
use std::ffi::c_char;
use std::sync::OnceLock;

/// A lift that hangs at its stated mass, nominal lengths and center of gravity, ready for questions. It does not change;
/// threads may share it.
#[allow(non_camel_case_types, reason = "the name is that of a C type")]
pub struct rigging_balance {
    pub(crate) balance: Balance,
    /// Asked for once: the answer, the parameters and the matrix are the same derivatives.
    derivatives: OnceLock<Result<Derivatives, Error>>,
}

impl rigging_balance {
    fn derivatives(&self) -> Result<&Derivatives, Failure> {
        self.derivatives.get_or_init(|| self.balance.derivatives()).as_ref().map_err(|error| error.clone().into())
    }
}

/// Hangs the lift at its stated mass, nominal lengths and center of gravity, and keeps what the questions about its balance
/// need. An unstable or lost equilibrium is a result, not an error, but some questions are refused then. The handle is the
/// caller's: free it with `rigging_balance_free`. `RIGGING_MISSING` names an input that statics needs.
///
/// # Safety
/// `lift` is a handle; `balance` may be written; `error` is null or initialized.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_lift_hang(
    lift: *const rigging_lift,
    balance: *mut *mut rigging_balance,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe {
        guard::guard(error, || {
            handle::put(balance, "balance", || {
                let balance = handle::borrow(lift, "lift")?.0.hang()?;
                Ok(rigging_balance { balance, derivatives: OnceLock::new() })
            })
        })
    }
}

/// The certificate of the balance, that of `rigging_lift_solve`, as a handle of its own: free it with
/// `rigging_certificate_free`.
///
/// # Safety
/// `balance` is a handle; `certificate` may be written; `error` is null or initialized.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_balance_certificate(
    balance: *const rigging_balance,
    certificate: *mut *mut rigging_certificate,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe {
        guard::guard(error, || {
            handle::put(certificate, "certificate", || {
                Ok(rigging_certificate(handle::borrow(balance, "balance")?.balance.certificate().clone()))
            })
        })
    }
}

/// How the balance depends on every number it is made of: exact derivatives of the tensions (N), tilts (rad) and hook
/// forces (N) with respect to lengths (m), axial stiffnesses (N), centers of gravity (m), masses (kg) and hook positions
/// (m), and how far each number may change until a leg goes slack or taut. The answer is the caller's: free it with
/// `rigging_answer_free`. As numbers: `rigging_balance_tension_matrix`. `RIGGING_UNSUPPORTED` unless the balance is stable;
/// `RIGGING_OUT_OF_DOMAIN` if a leg stands just between taut and slack.
///
/// # Safety
/// `balance` is a handle; `answer` may be written; `error` is null or initialized.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_balance_derivatives(
    balance: *const rigging_balance,
    answer: *mut *mut rigging_answer,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe { asked(balance, answer, error, rigging_balance::derivatives) }
}

/// How far each center of gravity may move and each leg may be longer or shorter, in m, until a leg goes slack or the load
/// is no longer stable, each change alone. Ends with an answer, as `rigging_balance_derivatives`. `RIGGING_UNSUPPORTED`
/// unless the balance is stable.
///
/// # Safety
/// `balance` is a handle; `answer` may be written; `error` is null or initialized.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_balance_margins(
    balance: *const rigging_balance,
    answer: *mut *mut rigging_answer,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe { asked(balance, answer, error, |one| Ok(one.balance.margins()?)) }
}

/// What the loss of each leg, and of each point with all its legs, does to the rest: new tensions, tilt, energies, and what
/// is not exceeded on the way. `allowed_n` says what each leg may bear, in N, in the order of the legs, NaN where it is not
/// known; null with a `count` of 0 where utilizations are not asked for. Ends with an answer, as
/// `rigging_balance_derivatives`. `RIGGING_WRONG_COUNT` for another `count`; `RIGGING_OUT_OF_DOMAIN` for a force that is
/// not positive and finite; `RIGGING_UNSUPPORTED` unless the balance is stable or neutral.
///
/// # Safety
/// `balance` is a handle; `allowed_n` has `count` elements; `answer` may be written; `error` is null or initialized.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_balance_losses(
    balance: *const rigging_balance,
    allowed_n: *const f64,
    count: usize,
    answer: *mut *mut rigging_answer,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe {
        asked(balance, answer, error, |one| {
            let balance = &one.balance;
            let legs = if count == 0 { 0 } else { balance.legs().len() };
            let allowed = slice::each(allowed_n, count, legs, "allowed_n")?;
            let allowed: Vec<_> = allowed.iter().map(|most| (!most.is_nan()).then_some(*most)).collect();
            Ok(balance.losses(&allowed)?)
        })
    }
}

/// The motions that nothing resists, in words, free turns about plumb lines among them. Ends with an answer, as
/// `rigging_balance_derivatives`.
///
/// # Safety
/// `balance` is a handle; `answer` may be written; `error` is null or initialized.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_balance_motions(
    balance: *const rigging_balance,
    answer: *mut *mut rigging_answer,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe { asked(balance, answer, error, |one| Ok(one.balance.motions()?)) }
}

/// The softest modes, free turns about plumb lines left out: all of them up to 48 unknowns (three for a joint, six for a
/// body), else `count`. Ends with an answer, as `rigging_balance_derivatives`.
///
/// # Safety
/// `balance` is a handle; `answer` may be written; `error` is null or initialized.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_balance_modes(
    balance: *const rigging_balance,
    count: usize,
    answer: *mut *mut rigging_answer,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe { asked(balance, answer, error, |one| Ok(one.balance.modes(count)?)) }
}

/// The states of self-stress: which legs must match in length, and what a length error does through them, in N/m.
/// `tolerance` is the singular value, over the largest, up to which a combination of legs counts as one: 1e-9 for what
/// geometry makes exact, more for legs that are nearly parallel. Ends with an answer, as `rigging_balance_derivatives`.
/// `RIGGING_OUT_OF_DOMAIN` unless the tolerance lies between 0 and 1.
///
/// # Safety
/// `balance` is a handle; `answer` may be written; `error` is null or initialized.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_balance_self_stress(
    balance: *const rigging_balance,
    tolerance: f64,
    answer: *mut *mut rigging_answer,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe { asked(balance, answer, error, |one| Ok(one.balance.self_stress(tolerance)?)) }
}

/// Which of the measured slings goes where, so that the largest change of a tension by self-stress is the least.
/// `errors_m` are the measured length errors, in m, in the order of the legs; `count` is their number; `tolerance` as in
/// `rigging_balance_self_stress`. Ends with an answer, as `rigging_balance_derivatives`. `RIGGING_WRONG_COUNT` unless there is
/// one error for each leg; `RIGGING_OUT_OF_DOMAIN` for an error that is not finite.
///
/// # Safety
/// `balance` is a handle; `errors_m` has `count` elements; `answer` may be written; `error` is null or initialized.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_balance_order(
    balance: *const rigging_balance,
    errors_m: *const f64,
    count: usize,
    tolerance: f64,
    answer: *mut *mut rigging_answer,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe {
        asked(balance, answer, error, |one| {
            let balance = &one.balance;
            let errors = slice::each(errors_m, count, balance.legs().len(), "errors_m")?;
            Ok(balance.order(errors, tolerance)?)
        })
    }
}

/// The natural periods: all of them up to 48 unknowns (three for a joint, six for a body), else the `count` longest.
///
/// `inputs` is a JSON text of `length` bytes: `{"inertias": […], "excitations": […]}`. An inertia is `{"moments": [x, y, z],
/// "products": [xy, xz, yz]}` in kg·m² about the body's center of gravity in the frame as drawn, one for each body, the load
/// first, then the spreaders; `products` may be left out where they are zero. An excitation is `{"name": …, "shortest": …,
/// "longest": …, "source": …}` with periods in s; `excitations` may be left out. Ends with an answer, as
/// `rigging_balance_derivatives`. An error's `place` points into the text. `RIGGING_INCONSISTENT` unless there is one inertia
/// for each body, and for one that no body can have; `RIGGING_OUT_OF_DOMAIN` for a principal moment that is not positive, or
/// a range of periods that is not positive and ascending; `RIGGING_UNSUPPORTED` for an unstable balance.
///
/// # Safety
/// `balance` is a handle; `inputs` has `length` bytes; `answer` may be written; `error` is null or initialized.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_balance_periods(
    balance: *const rigging_balance,
    inputs: *const c_char,
    length: usize,
    count: usize,
    answer: *mut *mut rigging_answer,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe {
        asked(balance, answer, error, |one| {
            let balance = &one.balance;
            let inputs = PeriodInputs::from_json(document::read(inputs, length, "inputs")?)?;
            Ok(balance.periods(&inputs.inertias, count, &inputs.excitations)?)
        })
    }
}

/// Other stable poses in which the lift could come to rest, lowest energy first: a search, and no proof that there are no
/// more. Ends with an answer, as `rigging_balance_derivatives`.
///
/// # Safety
/// `balance` is a handle; `answer` may be written; `error` is null or initialized.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_balance_others(
    balance: *const rigging_balance,
    answer: *mut *mut rigging_answer,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe { asked(balance, answer, error, |one| Ok(one.balance.others()?)) }
}

/// What the slings do that pass over something between their ends: tensions of every span without friction, held and in
/// the balance, in N; what each pulls on what it passes over, in N, and the angle by which it is turned there, in rad; least
/// and largest of both over the limits of sliding; whether friction holds it: free, holds, may_slide, slides, unknown. Ends
/// with an answer, as `rigging_balance_derivatives`. The other questions about the balance of a lift with such a leg are
/// refused with `RIGGING_UNSUPPORTED`.
///
/// # Safety
/// `balance` is a handle; `answer` may be written; `error` is null or initialized.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_balance_running(
    balance: *const rigging_balance,
    answer: *mut *mut rigging_answer,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe { asked(balance, answer, error, |one| Ok(one.balance.running()?)) }
}

/// The balance hung once more with the own weight of slings and fittings, half of each sling at either end of its leg: pull at
/// the upper and the lower end of each leg and on each hook, in N; what the sag shortens a leg by, in m, and what that adds, in
/// N. Ends with an answer, as `rigging_balance_derivatives`. `RIGGING_MISSING` for a mass that is not known;
/// `RIGGING_UNSUPPORTED` for a leg that ends at a joint or passes over something.
///
/// # Safety
/// `balance` is a handle; `answer` may be written; `error` is null or initialized.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_balance_own_weight(
    balance: *const rigging_balance,
    answer: *mut *mut rigging_answer,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe { asked(balance, answer, error, |one| Ok(one.balance.own_weight()?)) }
}

/// Frees a balance; null is allowed. Certificates and answers made from it stay.
///
/// # Safety
/// `balance` is null or a handle that has not been freed, and no thread uses it or a text it lent.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_balance_free(balance: *mut rigging_balance) {
    // SAFETY: the caller vouches for it.
    unsafe { handle::free(balance) };
}
