//! The derivatives of the tensions as numbers, for a caller that reads no JSON.

use super::rigging_balance;
use crate::error::rigging_error;
use crate::record::{self, Record};
use crate::text::rigging_text;
use crate::{guard, handle};
use rigging_core::statics::Derivative;

/// A number on which the balance depends. The texts are lent by the balance.
#[repr(C)]
#[allow(non_camel_case_types, reason = "the name is that of the C type")]
pub struct rigging_parameter {
    /// Size of this struct as the caller knows it, in bytes.
    pub struct_size: u32,
    /// What it is: length, axial_stiffness, law_scale, center_of_gravity, mass, hook_position.
    pub quantity: rigging_text,
    /// Name of the leg, body or hook that it belongs to.
    pub item: rigging_text,
    /// x, y or z where it is a coordinate; else null.
    pub axis: rigging_text,
    /// Its unit: m, N, kg; empty for a pure number.
    pub unit: rigging_text,
}

// SAFETY: `repr(C)` with `struct_size` first.
unsafe impl Record for rigging_parameter {}

impl From<&Derivative> for rigging_parameter {
    fn from(row: &Derivative) -> Self {
        Self {
            struct_size: 0,
            quantity: rigging_text::of(row.parameter),
            item: rigging_text::of(&row.item),
            axis: rigging_text::optional(row.axis),
            unit: rigging_text::of(row.unit),
        }
    }
}

/// Empties the struct and notes its size: `rigging_parameter_init(&parameter, sizeof parameter)`.
///
/// # Safety
/// `parameter` is null or points to `size` bytes that may be written.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_parameter_init(parameter: *mut rigging_parameter, size: usize) {
    // SAFETY: passed on.
    unsafe { record::init(parameter.cast(), size) };
}

/// Number of parameters: the rows of `rigging_balance_tension_matrix`. The derivatives are made when they are first asked
/// for; it fails as `rigging_balance_derivatives`.
///
/// # Safety
/// `balance` is a handle; `count` may be written; `error` is null or initialized.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_balance_parameter_count(
    balance: *const rigging_balance,
    count: *mut usize,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe {
        guard::guard(error, || {
            record::put(count, "count", || Ok(handle::borrow(balance, "balance")?.derivatives()?.rows.len()))
        })
    }
}

/// A parameter, by its index from 0: what a row of `rigging_balance_tension_matrix` is the derivative with respect to.
///
/// # Safety
/// `balance` is a handle; `parameter` is initialized; `error` is null or initialized.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_balance_parameter(
    balance: *const rigging_balance,
    index: usize,
    parameter: *mut rigging_parameter,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe {
        guard::guard(error, || {
            record::fill(parameter, "parameter", || {
                let rows = &handle::borrow(balance, "balance")?.derivatives()?.rows;
                Ok(record::item(rows, index, "parameter")?.into())
            })
        })
    }
}

/// Exact derivatives of the tensions, row after row: element [row × legs + leg] is what the tension of that leg gains for
/// each unit of that row's parameter, in N per its unit; zero for a slack leg. `count` must be the number of parameters
/// times the number of legs (`rigging_balance_parameter_count`, `rigging_lift_leg_count`). It fails as
/// `rigging_balance_derivatives`.
///
/// # Safety
/// `balance` is a handle; `tension_n_per_unit` has `count` elements that may be written; `error` is null or initialized.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_balance_tension_matrix(
    balance: *const rigging_balance,
    tension_n_per_unit: *mut f64,
    count: usize,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe {
        guard::guard(error, || {
            let rows = &handle::borrow(balance, "balance")?.derivatives()?.rows;
            let values: Vec<f64> = rows.iter().flat_map(|row| row.tensions.iter().copied()).collect();
            record::array(tension_n_per_unit, count, "tension_n_per_unit", values.into_iter())
        })
    }
}
