//! Findings, walked by index.

use super::{rigging_assessment, verdict, walk};
use crate::chain::{RIGGING_SIDE_CAPACITY, RIGGING_SIDE_DEMAND};
use crate::error::{Failure, rigging_error};
use crate::record::{self, Record};
use crate::text::rigging_text;
use rigging_core::chain::Chain;
use rigging_core::checks::{Finding, MissingInput, Severity};

/// The load can fall or turn over.
pub const RIGGING_SEVERITY_GRAVE: i32 = 0;
/// Gear, load or lift point can be harmed.
pub const RIGGING_SEVERITY_SERIOUS: i32 = 1;
/// Nothing by itself; it is stated so that nobody takes it for granted.
pub const RIGGING_SEVERITY_NOTICE: i32 = 2;

/// Outcome of one check on one item. Demand and capacity have chains: see `rigging_assessment_chain`.
#[repr(C)]
#[allow(non_camel_case_types, reason = "the name is that of the C type")]
pub struct rigging_finding {
    /// Size of this struct as the caller knows it, in bytes.
    pub struct_size: u32,
    /// Outcome: one of `RIGGING_VERDICT_…`.
    pub verdict: i32,
    /// What is at stake if the requirement is not met: one of `RIGGING_SEVERITY_…`.
    pub severity: i32,
    /// 1 if `demand` is told.
    pub has_demand: i32,
    /// 1 if `capacity` is told.
    pub has_capacity: i32,
    /// 1 if `utilization` is told.
    pub has_utilization: i32,
    /// Stable code of the check, such as "sling_strength".
    pub code: rigging_text,
    /// Name of the item, or of the lift.
    pub item: rigging_text,
    /// Where the item stands in the document: a JSON pointer, empty for the whole document.
    pub place: rigging_text,
    /// The outcome in a sentence.
    pub text: rigging_text,
    /// What is asked of the item, in `demand_unit`; NaN where it is not told.
    pub demand: f64,
    /// Unit of `demand`: SI, such as "N"; empty for a pure number, null where there is no demand.
    pub demand_unit: rigging_text,
    /// What the item may bear, in `capacity_unit`; NaN where it is not told.
    pub capacity: f64,
    /// Unit of `capacity`; null where there is no capacity.
    pub capacity_unit: rigging_text,
    /// Demand over capacity; NaN where it is not told.
    pub utilization: f64,
    /// Document of the clause that decides, or null.
    pub source_document: rigging_text,
    /// The clause; empty where the document is a whole, null where no document decides.
    pub source_clause: rigging_text,
    /// Edition; empty where none is stated, null where no document decides.
    pub source_edition: rigging_text,
    /// How the document was read, in words, or null.
    pub source_standing: rigging_text,
    /// Number of inputs that are missing: see `rigging_assessment_missing`.
    pub missing_count: usize,
    /// Number of assumptions that the outcome rests on: see `rigging_assessment_finding_assumption`.
    pub assumption_count: usize,
}

// SAFETY: `repr(C)` with `struct_size` first.
unsafe impl Record for rigging_finding {}

impl From<&Finding> for rigging_finding {
    fn from(finding: &Finding) -> Self {
        let (demand, capacity) = (finding.demand.as_deref(), finding.capacity.as_deref());
        let source = finding.source.as_ref();
        Self {
            struct_size: 0,
            verdict: verdict(finding.verdict),
            severity: match finding.severity {
                Severity::Grave => RIGGING_SEVERITY_GRAVE,
                Severity::Serious => RIGGING_SEVERITY_SERIOUS,
                Severity::Notice => RIGGING_SEVERITY_NOTICE,
            },
            has_demand: i32::from(demand.is_some()),
            has_capacity: i32::from(capacity.is_some()),
            has_utilization: i32::from(finding.utilization.is_some()),
            code: rigging_text::of(finding.code.text()),
            item: rigging_text::of(&finding.item),
            place: rigging_text::of(finding.place.as_str()),
            text: rigging_text::of(&finding.text),
            demand: demand.map_or(f64::NAN, Chain::value),
            demand_unit: rigging_text::optional(demand.map(Chain::unit)),
            capacity: capacity.map_or(f64::NAN, Chain::value),
            capacity_unit: rigging_text::optional(capacity.map(Chain::unit)),
            utilization: finding.utilization.unwrap_or(f64::NAN),
            source_document: rigging_text::optional(source.map(|source| source.document.as_str())),
            source_clause: rigging_text::optional(source.map(|source| source.clause.as_str())),
            source_edition: rigging_text::optional(source.map(|source| source.edition.as_str())),
            source_standing: rigging_text::optional(source.map(|source| source.standing.word())),
            missing_count: finding.missing.len(),
            assumption_count: finding.assumptions.len(),
        }
    }
}

/// An input that is not there, and the JSON that would give it.
#[repr(C)]
#[allow(non_camel_case_types, reason = "the name is that of the C type")]
pub struct rigging_missing_input {
    /// Size of this struct as the caller knows it, in bytes.
    pub struct_size: u32,
    /// What it is.
    pub what: rigging_text,
    /// The JSON to add.
    pub add: rigging_text,
    /// Where to add it: a JSON pointer.
    pub place: rigging_text,
}

// SAFETY: `repr(C)` with `struct_size` first.
unsafe impl Record for rigging_missing_input {}

impl From<&MissingInput> for rigging_missing_input {
    fn from(missing: &MissingInput) -> Self {
        Self {
            struct_size: 0,
            what: rigging_text::of(&missing.what),
            add: rigging_text::of(&missing.add),
            place: rigging_text::of(missing.place.as_str()),
        }
    }
}

/// The finding with this index.
pub(crate) fn finding(of: &rigging_assessment, index: usize) -> Result<&Finding, Failure> {
    record::item(&of.assessment.findings, index, "finding")
}

/// One side of a finding.
pub(crate) fn side(finding: &Finding, side: i32) -> Result<&Chain, Failure> {
    match side {
        RIGGING_SIDE_DEMAND => finding.demand.as_deref().ok_or(Failure::NoSuchPart("demand in this finding")),
        RIGGING_SIDE_CAPACITY => finding.capacity.as_deref().ok_or(Failure::NoSuchPart("capacity in this finding")),
        _ => Err(Failure::NoSuchPart("side with this number")),
    }
}

/// Empties the struct and notes its size: `rigging_finding_init(&finding, sizeof finding)`.
///
/// # Safety
/// `finding` is null or points to `size` bytes that may be written.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_finding_init(finding: *mut rigging_finding, size: usize) {
    // SAFETY: passed on.
    unsafe { record::init(finding.cast(), size) };
}

/// Empties the struct and notes its size: `rigging_missing_input_init(&missing, sizeof missing)`.
///
/// # Safety
/// `missing` is null or points to `size` bytes that may be written.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_missing_input_init(missing: *mut rigging_missing_input, size: usize) {
    // SAFETY: passed on.
    unsafe { record::init(missing.cast(), size) };
}

/// Number of findings.
///
/// # Safety
/// `assessment` is a handle; `count` may be written; `error` is null or initialized.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_assessment_finding_count(
    assessment: *const rigging_assessment,
    count: *mut usize,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe { walk::put(assessment, (count, "count"), error, |of| Ok(of.assessment.findings.len())) }
}

/// One finding, by its index from 0: the governing one first. Its texts are lent by the assessment.
///
/// # Safety
/// `assessment` is a handle; `finding` is initialized; `error` is null or initialized.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_assessment_finding(
    assessment: *const rigging_assessment,
    index: usize,
    finding: *mut rigging_finding,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe { walk::fill(assessment, (finding, "finding"), error, |of| Ok(self::finding(of, index)?.into())) }
}

/// One input that keeps a finding from a conclusion, by the finding's index and its own, from 0 to below
/// `missing_count`. Its texts are lent by the assessment.
///
/// # Safety
/// `assessment` is a handle; `missing` is initialized; `error` is null or initialized.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_assessment_missing(
    assessment: *const rigging_assessment,
    finding: usize,
    index: usize,
    missing: *mut rigging_missing_input,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe {
        walk::fill(assessment, (missing, "missing"), error, |of| {
            Ok(record::item(&self::finding(of, finding)?.missing, index, "missing input")?.into())
        })
    }
}

/// Stable code of an assumption that a finding rests on, by the finding's index and its own, from 0 to below
/// `assumption_count`; `rigging_assessment_assumption` says what each code means. The text stays for good.
///
/// # Safety
/// `assessment` is a handle; `code` may be written; `error` is null or initialized.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_assessment_finding_assumption(
    assessment: *const rigging_assessment,
    finding: usize,
    index: usize,
    code: *mut rigging_text,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe {
        walk::put(assessment, (code, "code"), error, |of| {
            let assumptions = &self::finding(of, finding)?.assumptions;
            Ok(rigging_text::of(record::item(assumptions, index, "assumption of the finding")?.text()))
        })
    }
}
