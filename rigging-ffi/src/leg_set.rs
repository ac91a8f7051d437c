//! The set of legs that a sharing rule is shown.

use crate::error::{Failure, rigging_error};
use crate::record::{self, Record};
use crate::text::rigging_text;
use crate::{guard, handle};
use rigging_core::arrangement::Lift;
use rigging_core::sharing::{Elastic, LegSet, SetLeg, share};
use rigging_core::system::Masses;

/// One load under one hook, as a sharing rule sees it. It is lent to the rule for the time of the call, together with the
/// texts asked of it, and never freed by it.
#[allow(non_camel_case_types, reason = "the name is that of a C type")]
pub struct rigging_leg_set(LegSet);

impl rigging_leg_set {
    pub(crate) fn of(set: &LegSet) -> Self {
        Self(set.clone())
    }
}

/// The set of a lift at its stated mass, at an angle where one is stated.
pub(crate) fn of_lift(lift: &Lift, angle: Option<&f64>) -> Result<LegSet, Failure> {
    let set = LegSet::of(lift, Masses::stated(lift)?)?;
    Ok(match angle {
        Some(angle) => set.with_angle(*angle)?,
        None => set,
    })
}

/// One leg of a set, from a point of the load to the hook.
#[repr(C)]
#[allow(non_camel_case_types, reason = "the name is that of the C type")]
pub struct rigging_set_leg {
    /// Size of this struct as the caller knows it, in bytes.
    pub struct_size: u32,
    /// Name of the leg.
    pub name: rigging_text,
    /// The point of the load, as drawn, in m.
    pub point_m: [f64; 3],
    /// Unstretched length, in m.
    pub length_m: f64,
}

// SAFETY: `repr(C)` with `struct_size` first.
unsafe impl Record for rigging_set_leg {}

impl From<&SetLeg> for rigging_set_leg {
    fn from(leg: &SetLeg) -> Self {
        Self { struct_size: 0, name: rigging_text::of(&leg.name), point_m: leg.point.to_array(), length_m: leg.length }
    }
}

/// Empties the struct and notes its size: `rigging_set_leg_init(&leg, sizeof leg)`.
///
/// # Safety
/// `leg` is null or points to `size` bytes that may be written.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_set_leg_init(leg: *mut rigging_set_leg, size: usize) {
    // SAFETY: passed on.
    unsafe { record::init(leg.cast(), size) };
}

/// Number of legs.
///
/// # Safety
/// `set` is lent to a rule; `count` may be written; `error` is null or initialized.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_leg_set_count(
    set: *const rigging_leg_set,
    count: *mut usize,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe { guard::guard(error, || record::put(count, "count", || Ok(handle::borrow(set, "set")?.0.legs().len()))) }
}

/// Weight of the load, every factor on weight included, in N, and its center of gravity as drawn: three coordinates in m.
/// Either may be null.
///
/// # Safety
/// `set` is lent to a rule; `weight_n` is null or may be written; `center_of_gravity_m` is null or has three elements;
/// `error` is null or initialized.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_leg_set_load(
    set: *const rigging_leg_set,
    weight_n: *mut f64,
    center_of_gravity_m: *mut f64,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe {
        guard::guard(error, || {
            let set = &handle::borrow(set, "set")?.0;
            if !center_of_gravity_m.is_null() {
                let center = set.center_of_gravity().to_array();
                record::array(center_of_gravity_m, center.len(), "center_of_gravity_m", center.into_iter())?;
            }
            if !weight_n.is_null() {
                weight_n.write(set.weight());
            }
            Ok(())
        })
    }
}

/// One leg, by its index from 0, in the order of the document. Its name is lent by the set.
///
/// # Safety
/// `set` is lent to a rule; `leg` is initialized; `error` is null or initialized.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_leg_set_leg(
    set: *const rigging_leg_set,
    index: usize,
    leg: *mut rigging_set_leg,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe {
        guard::guard(error, || {
            record::fill(leg, "leg", || Ok(record::item(handle::borrow(set, "set")?.0.legs(), index, "leg")?.into()))
        })
    }
}

/// Angle of each leg from vertical, in rad: the one stated, else as drawn with the hook plumb above the center of gravity and
/// the legs unstretched. `RIGGING_OUT_OF_DOMAIN` for a leg that does not reach the plumb line.
///
/// # Safety
/// `set` is lent to a rule; `angles_rad` has `count` elements; `error` is null or initialized.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_leg_set_angles(
    set: *const rigging_leg_set,
    angles_rad: *mut f64,
    count: usize,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe {
        guard::guard(error, || {
            let angles = handle::borrow(set, "set")?.0.from_vertical()?;
            record::array(angles_rad, count, "angles_rad", angles.into_iter())
        })
    }
}

/// How far the length of each leg may be off, in m, and each coordinate of the center of gravity (three elements; may be null).
/// `RIGGING_MISSING` where one is not known: an absent tolerance is not zero.
///
/// # Safety
/// `set` is lent to a rule; `lengths_m` has `count` elements; `center_of_gravity_m` is null or has three; `error` is null or
/// initialized.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_leg_set_tolerances(
    set: *const rigging_leg_set,
    lengths_m: *mut f64,
    count: usize,
    center_of_gravity_m: *mut f64,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe {
        guard::guard(error, || {
            let tolerances = handle::borrow(set, "set")?.0.tolerances()?;
            record::array(lengths_m, count, "lengths_m", tolerances.lengths.iter().copied())?;
            let center = tolerances.center_of_gravity;
            if center_of_gravity_m.is_null() {
                return Ok(());
            }
            record::array(center_of_gravity_m, center.len(), "center_of_gravity_m", center.into_iter())
        })
    }
}

/// Tension of each leg at nominal numbers by the solver, in N. `RIGGING_MISSING` where a stiffness is not known,
/// `RIGGING_UNSUPPORTED` unless the balance is stable.
///
/// # Safety
/// `set` is lent to a rule; `forces_n` has `count` elements; `error` is null or initialized.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_leg_set_elastic(
    set: *const rigging_leg_set,
    forces_n: *mut f64,
    count: usize,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe {
        guard::guard(error, || {
            let forces = share(&Elastic, &handle::borrow(set, "set")?.0)?;
            record::array(forces_n, count, "forces_n", forces.into_iter())
        })
    }
}
