//! Assessments: verdict, legs, assumptions.

pub mod finding;
pub mod remedy;
pub(crate) mod walk;

use crate::arrangement::rigging_lift;
use crate::equilibrium::rigging_certificate;
use crate::error::{Failure, rigging_error};
use crate::record::{self, Record};
use crate::rules::{rigging_rule_set, rigging_rule_set_identity};
use crate::sharing_rule::rigging_sharing_rule;
use crate::text::rigging_text;
use crate::{guard, handle};
use rigging_core::arrangement::Lift;
use rigging_core::checks::{Assessment, Assumption, LegFigures, Remedy, Verdict};
use rigging_core::demand::Forces;
use rigging_core::equilibrium::worst::Effort;
use rigging_core::error::Error;
use rigging_core::report::{self, Origin};
use std::mem::offset_of;
use std::sync::{Arc, OnceLock};

/// Demand does not exceed capacity, or the requirement is met.
pub const RIGGING_VERDICT_PASS: i32 = 0;
/// Demand exceeds capacity, or the requirement is not met.
pub const RIGGING_VERDICT_FAIL: i32 = 1;
/// An input is missing: the findings say which.
pub const RIGGING_VERDICT_CANNOT_CONCLUDE: i32 = 2;
/// The rule set is silent here, or does not apply: of a finding only, never of a lift.
pub const RIGGING_VERDICT_NOT_COVERED: i32 = 3;

pub(crate) const fn verdict(verdict: Verdict) -> i32 {
    match verdict {
        Verdict::Pass => RIGGING_VERDICT_PASS,
        Verdict::Fail => RIGGING_VERDICT_FAIL,
        Verdict::CannotConclude => RIGGING_VERDICT_CANNOT_CONCLUDE,
        Verdict::NotCovered => RIGGING_VERDICT_NOT_COVERED,
    }
}

/// The outcome of an assessment: verdict, findings, figures of the legs. It does not change; threads may share it.
#[allow(non_camel_case_types, reason = "the name is that of a C type")]
pub struct rigging_assessment {
    pub(crate) assessment: Assessment,
    /// Kept so that no other lift can be named when the remedy is sought.
    lift: Arc<Lift>,
    /// Sought when first asked for: it takes many times as long as the assessment.
    remedy: OnceLock<Result<Remedy, Error>>,
}

impl rigging_assessment {
    pub(crate) fn remedy(&self) -> Result<&Remedy, Failure> {
        self.remedy.get_or_init(|| self.assessment.remedy(&self.lift)).as_ref().map_err(|error| error.clone().into())
    }

    pub(crate) fn origin(&self, pointer: &str) -> Result<Origin, Failure> {
        Ok(report::origin(&self.assessment, &self.lift, pointer)?)
    }
}

/// One leg in figures, every factor on weight included.
#[repr(C)]
#[allow(non_camel_case_types, reason = "the name is that of the C type")]
pub struct rigging_leg {
    /// Size of this struct as the caller knows it, in bytes.
    pub struct_size: u32,
    /// 1 if `allowed_n` is told.
    pub has_allowed: i32,
    /// 1 if `utilization` is told.
    pub has_utilization: i32,
    /// Name of the leg.
    pub name: rigging_text,
    /// Nominal tension, in N: never the verdict.
    pub nominal_n: f64,
    /// Largest tension over the vertices of the tolerances, in N: attained, not a bound. Where bounds are taken, the largest
    /// that was found anywhere within the tolerances.
    pub worst_n: f64,
    /// Smallest tension over the vertices, in N.
    pub least_n: f64,
    /// Rated capacity in the comparison along the leg that uses most of it, in N; NaN where an item has none.
    pub allowed_n: f64,
    /// Largest utilization along the leg; NaN where an item has no capacity.
    pub utilization: f64,
    /// Largest angle from vertical over the vertices, in rad.
    pub angle_from_vertical_rad: f64,
    /// What stands against `allowed_n` in place of the worst, in N: a bound that is proven, the force by a sharing rule, that
    /// at rest or of all legs at a point; NaN where it is the worst.
    pub taken_n: f64,
}

// SAFETY: `repr(C)` with `struct_size` first.
unsafe impl Record for rigging_leg {
    const FIRST_SIZE: usize = offset_of!(Self, taken_n);
}

impl From<&LegFigures> for rigging_leg {
    fn from(leg: &LegFigures) -> Self {
        Self {
            struct_size: 0,
            has_allowed: i32::from(leg.allowed.is_some()),
            has_utilization: i32::from(leg.utilization.is_some()),
            name: rigging_text::of(&leg.name),
            nominal_n: leg.nominal,
            worst_n: leg.worst,
            least_n: leg.least,
            allowed_n: leg.allowed.unwrap_or(f64::NAN),
            utilization: leg.utilization.unwrap_or(f64::NAN),
            angle_from_vertical_rad: leg.angle_from_vertical,
            taken_n: leg.taken.unwrap_or(f64::NAN),
        }
    }
}

/// Empties the struct and notes its size: `rigging_leg_init(&leg, sizeof leg)`.
///
/// # Safety
/// `leg` is null or points to `size` bytes that may be written.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_leg_init(leg: *mut rigging_leg, size: usize) {
    // SAFETY: passed on.
    unsafe { record::init(leg.cast(), size) };
}

/// What a verdict takes for granted.
#[repr(C)]
#[allow(non_camel_case_types, reason = "the name is that of the C type")]
pub struct rigging_assumption {
    /// Size of this struct as the caller knows it, in bytes.
    pub struct_size: u32,
    /// Stable code, such as "rigid_load"; findings name the assumptions they rest on by it.
    pub code: rigging_text,
    /// What is taken for granted, in a sentence.
    pub text: rigging_text,
}

// SAFETY: `repr(C)` with `struct_size` first.
unsafe impl Record for rigging_assumption {}

impl From<&Assumption> for rigging_assumption {
    fn from(assumption: &Assumption) -> Self {
        Self {
            struct_size: 0,
            code: rigging_text::of(assumption.code.text()),
            text: rigging_text::of(&assumption.text),
        }
    }
}

/// Empties the struct and notes its size: `rigging_assumption_init(&assumption, sizeof assumption)`.
///
/// # Safety
/// `assumption` is null or points to `size` bytes that may be written.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_assumption_init(assumption: *mut rigging_assumption, size: usize) {
    // SAFETY: passed on.
    unsafe { record::init(assumption.cast(), size) };
}

/// Assesses the lift under a rule set. A failed check, and an input that is missing, are results, not errors. The handle
/// is the caller's: free it with `rigging_assessment_free`; lift and rule set may be freed before it.
///
/// # Safety
/// `lift` and `rule_set` are handles; `assessment` may be written; `error` is null or initialized.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_lift_assess(
    lift: *const rigging_lift,
    rule_set: *const rigging_rule_set,
    assessment: *mut *mut rigging_assessment,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe {
        guard::guard(error, || handle::put(assessment, "assessment", || assessed(lift, rule_set, Forces::AtVertices)))
    }
}

/// Assesses a lift, the forces from where it is told.
///
/// # Safety
/// `lift` and `rule_set` are null or handles.
unsafe fn assessed(
    lift: *const rigging_lift,
    rule_set: *const rigging_rule_set,
    forces: Forces<'_>,
) -> Result<rigging_assessment, Failure> {
    // SAFETY: the caller vouches for the handles.
    let (lift, rules) = unsafe { (&handle::borrow(lift, "lift")?.0, &handle::borrow(rule_set, "rule_set")?.rules) };
    let assessment = lift.assess_by(rules, forces)?;
    Ok(rigging_assessment { assessment, lift: Arc::clone(lift), remedy: OnceLock::new() })
}

/// Assesses the lift with bounds over the tolerances of lengths and center of gravity, proven at stiffness and mass as stated,
/// in place of what was attained. A strength passes where the bound does not exceed it, fails where what was attained does, and
/// is not concluded upon in between, nor where there is no bound; the finding says which. `gap` is how much a bound may exceed
/// what was attained, over it, such as 0.01; `parts` the most pieces that are looked at, such as 2000. All else is as in
/// `rigging_lift_assess`. `RIGGING_OUT_OF_DOMAIN` for a gap that is not positive.
///
/// # Safety
/// `lift` and `rule_set` are handles; `assessment` may be written; `error` is null or initialized.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_lift_assess_bounded(
    lift: *const rigging_lift,
    rule_set: *const rigging_rule_set,
    gap: f64,
    parts: usize,
    assessment: *mut *mut rigging_assessment,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe {
        guard::guard(error, || {
            let forces = Forces::Bounds(Effort { gap, parts });
            handle::put(assessment, "assessment", || assessed(lift, rule_set, forces))
        })
    }
}

/// Assesses the lift with leg forces by a sharing rule, which a finding with the code "sharing_rule" sets against what is
/// attained at the vertices of the tolerances: such an assessment never passes where `rigging_lift_assess` does not. Where the
/// rule refuses nothing is concluded. All else is as in `rigging_lift_assess`. `RIGGING_INCONSISTENT` for a rule that answers not
/// one force a leg. The rule may be freed before the assessment.
///
/// # Safety
/// `lift`, `rule_set` and `rule` are handles; `assessment` may be written; `error` is null or initialized.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_lift_assess_by_rule(
    lift: *const rigging_lift,
    rule_set: *const rigging_rule_set,
    rule: *const rigging_sharing_rule,
    assessment: *mut *mut rigging_assessment,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe {
        guard::guard(error, || {
            handle::put(assessment, "assessment", || {
                let rule = handle::borrow(rule, "rule")?.core();
                assessed(lift, rule_set, Forces::Rule(rule))
            })
        })
    }
}

/// Where the forces were taken from: "at_vertices", "bounds" or "rule"; the text stays for good. The document of the
/// assessment says more.
///
/// # Safety
/// `assessment` is a handle; `source` may be written; `error` is null or initialized.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_assessment_forces(
    assessment: *const rigging_assessment,
    source: *mut rigging_text,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe { walk::put(assessment, (source, "source"), error, |of| Ok(rigging_text::of(of.assessment.forces.text()))) }
}

/// Verdict of the lift: `RIGGING_VERDICT_PASS`, `RIGGING_VERDICT_FAIL` or `RIGGING_VERDICT_CANNOT_CONCLUDE`.
///
/// # Safety
/// `assessment` is a handle; `verdict` may be written; `error` is null or initialized.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_assessment_verdict(
    assessment: *const rigging_assessment,
    verdict: *mut i32,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe { walk::put(assessment, (verdict, "verdict"), error, |of| Ok(self::verdict(of.assessment.verdict))) }
}

/// Name of the lift; the text is lent by the assessment.
///
/// # Safety
/// `assessment` is a handle; `name` may be written; `error` is null or initialized.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_assessment_lift_name(
    assessment: *const rigging_assessment,
    name: *mut rigging_text,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe { walk::put(assessment, (name, "name"), error, |of| Ok(rigging_text::of(&of.assessment.lift))) }
}

/// Hash of the lift that was assessed, as `rigging_lift_hash` gives it; the text is lent by the assessment.
///
/// # Safety
/// `assessment` is a handle; `hash` may be written; `error` is null or initialized.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_assessment_lift_hash(
    assessment: *const rigging_assessment,
    hash: *mut rigging_text,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe { walk::put(assessment, (hash, "hash"), error, |of| Ok(rigging_text::of(&of.assessment.lift_hash))) }
}

/// Which rules the assessment was made under; the texts are lent by the assessment.
///
/// # Safety
/// `assessment` is a handle; `identity` is initialized; `error` is null or initialized.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_assessment_rule_set(
    assessment: *const rigging_assessment,
    identity: *mut rigging_rule_set_identity,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe { walk::fill(assessment, (identity, "identity"), error, |of| Ok((&of.assessment.rules).into())) }
}

/// Number of legs with figures; 0 where no demand could be raised.
///
/// # Safety
/// `assessment` is a handle; `count` may be written; `error` is null or initialized.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_assessment_leg_count(
    assessment: *const rigging_assessment,
    count: *mut usize,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe { walk::put(assessment, (count, "count"), error, |of| Ok(of.assessment.legs.len())) }
}

/// One leg in figures, by its index from 0, in the order of the document.
///
/// # Safety
/// `assessment` is a handle; `leg` is initialized; `error` is null or initialized.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_assessment_leg(
    assessment: *const rigging_assessment,
    index: usize,
    leg: *mut rigging_leg,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe {
        walk::fill(assessment, (leg, "leg"), error, |of| {
            let legs = &of.assessment.legs;
            Ok(record::item(legs, index, "leg")?.into())
        })
    }
}

/// Number of assumptions: what the verdict takes for granted.
///
/// # Safety
/// `assessment` is a handle; `count` may be written; `error` is null or initialized.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_assessment_assumption_count(
    assessment: *const rigging_assessment,
    count: *mut usize,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe { walk::put(assessment, (count, "count"), error, |of| Ok(of.assessment.assumptions.len())) }
}

/// One assumption, by its index from 0. Its texts are lent by the assessment.
///
/// # Safety
/// `assessment` is a handle; `assumption` is initialized; `error` is null or initialized.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_assessment_assumption(
    assessment: *const rigging_assessment,
    index: usize,
    assumption: *mut rigging_assumption,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe {
        walk::fill(assessment, (assumption, "assumption"), error, |of| {
            let assumptions = &of.assessment.assumptions;
            Ok(record::item(assumptions, index, "assumption")?.into())
        })
    }
}

/// The equilibrium behind the demand: nominal lengths and center of gravity, every factor on weight included. Free it with
/// `rigging_certificate_free`. `RIGGING_NO_SUCH_ITEM` where no demand could be raised.
///
/// # Safety
/// `assessment` is a handle; `certificate` may be written; `error` is null or initialized.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_assessment_nominal(
    assessment: *const rigging_assessment,
    certificate: *mut *mut rigging_certificate,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe {
        guard::guard(error, || {
            handle::put(certificate, "certificate", || {
                let demand = handle::borrow(assessment, "assessment")?.assessment.demand.as_ref();
                Ok(rigging_certificate(demand.ok_or(Failure::NoSuchPart("demand"))?.nominal.clone()))
            })
        })
    }
}

/// Frees an assessment; null is allowed.
///
/// # Safety
/// `assessment` is null or a handle that has not been freed, and no thread uses it or a text it lent.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_assessment_free(assessment: *mut rigging_assessment) {
    // SAFETY: the caller vouches for it.
    unsafe { handle::free(assessment) };
}
