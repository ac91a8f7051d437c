//! Where a demand and a capacity come from: a base and steps, walked by index.

use crate::checks::finding::{finding, side as side_of};
use crate::checks::{rigging_assessment, walk};
use crate::error::{Failure, rigging_error};
use crate::record::{self, Record};
use crate::text::rigging_text;
use rigging_core::chain::{Acts, Branch, Chain, Input, Operation, Step, Term};

/// What is asked of the item.
pub const RIGGING_SIDE_DEMAND: i32 = 0;
/// What the item may bear.
pub const RIGGING_SIDE_CAPACITY: i32 = 1;

/// The first value: nothing is done yet.
pub const RIGGING_OPERATION_BASE: i32 = 0;
/// The running value is multiplied by the step's value.
pub const RIGGING_OPERATION_TIMES: i32 = 1;
/// The running value is divided by the step's value.
pub const RIGGING_OPERATION_DIVIDED_BY: i32 = 2;
/// The step's value is added.
pub const RIGGING_OPERATION_PLUS: i32 = 3;
/// The greater of running value and step's value.
pub const RIGGING_OPERATION_GREATEST_OF: i32 = 4;
/// The lesser of running value and step's value.
pub const RIGGING_OPERATION_LEAST_OF: i32 = 5;
/// The running value enters a mechanical calculation whose outcome is the step's value.
pub const RIGGING_OPERATION_BECOMES: i32 = 6;

/// The base, which acts on nothing.
pub const RIGGING_ACTS_NOT: i32 = 0;
/// On weight, before the equilibrium is solved: it changes stretch and sharing.
pub const RIGGING_ACTS_ON_WEIGHT: i32 = 1;
/// On a force or a strength, after it.
pub const RIGGING_ACTS_ON_FORCE: i32 = 2;

/// A value and how it came about, as a whole.
#[repr(C)]
#[allow(non_camel_case_types, reason = "the name is that of the C type")]
pub struct rigging_chain {
    /// Size of this struct as the caller knows it, in bytes.
    pub struct_size: u32,
    /// What the final value is, in words.
    pub quantity: rigging_text,
    /// The final value, in `unit`.
    pub value: f64,
    /// Its unit: SI; empty for a pure number.
    pub unit: rigging_text,
    /// Number of steps, the base included: 1 or more.
    pub step_count: usize,
}

// SAFETY: `repr(C)` with `struct_size` first.
unsafe impl Record for rigging_chain {}

impl From<&Chain> for rigging_chain {
    fn from(chain: &Chain) -> Self {
        Self {
            struct_size: 0,
            quantity: rigging_text::of(&chain.quantity),
            value: chain.value(),
            unit: rigging_text::of(chain.unit()),
            step_count: chain.steps.len() + 1,
        }
    }
}

/// The base of a chain, or one step.
#[repr(C)]
#[allow(non_camel_case_types, reason = "the name is that of the C type")]
pub struct rigging_step {
    /// Size of this struct as the caller knows it, in bytes.
    pub struct_size: u32,
    /// What is done: one of `RIGGING_OPERATION_…`.
    pub operation: i32,
    /// Whether it acts on weight or on force: one of `RIGGING_ACTS_…`.
    pub acts: i32,
    /// Symbol, as the document prints it where it has one.
    pub symbol: rigging_text,
    /// What the value is, in words.
    pub name: rigging_text,
    /// The value that the operation takes, in `unit`.
    pub value: f64,
    /// Unit of `value`; empty for a pure number.
    pub unit: rigging_text,
    /// The running value after the step, in `result_unit`.
    pub result: f64,
    /// Unit of `result`.
    pub result_unit: rigging_text,
    /// Document that `value` comes from.
    pub source_document: rigging_text,
    /// Clause; empty where the document is a whole.
    pub source_clause: rigging_text,
    /// Edition; empty where none is stated.
    pub source_edition: rigging_text,
    /// How the document was read, in words.
    pub source_standing: rigging_text,
    /// Number of inputs that `value` was computed or looked up from: see `rigging_assessment_input`.
    pub input_count: usize,
    /// Number of alternatives not taken: see `rigging_assessment_branch`.
    pub branch_count: usize,
}

// SAFETY: `repr(C)` with `struct_size` first.
unsafe impl Record for rigging_step {}

/// The base or a step of a chain, as one kind of thing.
struct Link<'a> {
    operation: i32,
    acts: i32,
    term: &'a Term,
    result: f64,
    result_unit: &'a str,
}

impl<'a> From<&'a Term> for Link<'a> {
    fn from(base: &'a Term) -> Self {
        let (operation, acts) = (RIGGING_OPERATION_BASE, RIGGING_ACTS_NOT);
        Self { operation, acts, term: base, result: base.value, result_unit: &base.unit }
    }
}

impl<'a> From<&'a Step> for Link<'a> {
    fn from(step: &'a Step) -> Self {
        let operation = match step.operation {
            Operation::Times => RIGGING_OPERATION_TIMES,
            Operation::DividedBy => RIGGING_OPERATION_DIVIDED_BY,
            Operation::Plus => RIGGING_OPERATION_PLUS,
            Operation::GreatestOf => RIGGING_OPERATION_GREATEST_OF,
            Operation::LeastOf => RIGGING_OPERATION_LEAST_OF,
            Operation::Becomes => RIGGING_OPERATION_BECOMES,
        };
        let acts = match step.acts {
            Acts::OnWeight => RIGGING_ACTS_ON_WEIGHT,
            Acts::OnForce => RIGGING_ACTS_ON_FORCE,
        };
        Self { operation, acts, term: &step.term, result: step.result, result_unit: &step.unit }
    }
}

impl<'a> Link<'a> {
    /// The base for index 0, then the steps.
    fn of(chain: &'a Chain, index: usize) -> Result<Self, Failure> {
        match index.checked_sub(1) {
            None => Ok((&*chain.base).into()),
            Some(before) => {
                let step = chain.steps.get(before).map(Self::from);
                step.ok_or(Failure::NoSuchItem("step", index, chain.steps.len() + 1))
            }
        }
    }
}

impl From<Link<'_>> for rigging_step {
    fn from(link: Link<'_>) -> Self {
        let term = link.term;
        Self {
            struct_size: 0,
            operation: link.operation,
            acts: link.acts,
            symbol: rigging_text::of(&term.symbol),
            name: rigging_text::of(&term.name),
            value: term.value,
            unit: rigging_text::of(&term.unit),
            result: link.result,
            result_unit: rigging_text::of(link.result_unit),
            source_document: rigging_text::of(&term.source.document),
            source_clause: rigging_text::of(&term.source.clause),
            source_edition: rigging_text::of(&term.source.edition),
            source_standing: rigging_text::of(term.source.standing.word()),
            input_count: term.inputs.len(),
            branch_count: term.not_taken.len(),
        }
    }
}

/// An input that a step's value was computed or looked up from.
#[repr(C)]
#[allow(non_camel_case_types, reason = "the name is that of the C type")]
pub struct rigging_input {
    /// Size of this struct as the caller knows it, in bytes.
    pub struct_size: u32,
    /// Name, in words.
    pub name: rigging_text,
    /// The value, printed with its unit, or a word.
    pub value: rigging_text,
}

// SAFETY: `repr(C)` with `struct_size` first.
unsafe impl Record for rigging_input {}

impl From<&Input> for rigging_input {
    fn from(input: &Input) -> Self {
        Self { struct_size: 0, name: rigging_text::of(&input.name), value: rigging_text::of(&input.value) }
    }
}

/// An alternative that was weighed and not taken.
#[repr(C)]
#[allow(non_camel_case_types, reason = "the name is that of the C type")]
pub struct rigging_branch {
    /// Size of this struct as the caller knows it, in bytes.
    pub struct_size: u32,
    /// Symbol or name.
    pub name: rigging_text,
    /// Its value, in the unit of the step's value.
    pub value: f64,
    /// Document that the value comes from.
    pub source_document: rigging_text,
    /// Clause; empty where the document is a whole.
    pub source_clause: rigging_text,
    /// Edition; empty where none is stated.
    pub source_edition: rigging_text,
    /// How the document was read, in words.
    pub source_standing: rigging_text,
}

// SAFETY: `repr(C)` with `struct_size` first.
unsafe impl Record for rigging_branch {}

impl From<&Branch> for rigging_branch {
    fn from(branch: &Branch) -> Self {
        Self {
            struct_size: 0,
            name: rigging_text::of(&branch.name),
            value: branch.value,
            source_document: rigging_text::of(&branch.source.document),
            source_clause: rigging_text::of(&branch.source.clause),
            source_edition: rigging_text::of(&branch.source.edition),
            source_standing: rigging_text::of(branch.source.standing.word()),
        }
    }
}

/// Empties the struct and notes its size: `rigging_chain_init(&chain, sizeof chain)`.
///
/// # Safety
/// `chain` is null or points to `size` bytes that may be written.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_chain_init(chain: *mut rigging_chain, size: usize) {
    // SAFETY: passed on.
    unsafe { record::init(chain.cast(), size) };
}

/// Empties the struct and notes its size: `rigging_step_init(&step, sizeof step)`.
///
/// # Safety
/// `step` is null or points to `size` bytes that may be written.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_step_init(step: *mut rigging_step, size: usize) {
    // SAFETY: passed on.
    unsafe { record::init(step.cast(), size) };
}

/// Empties the struct and notes its size: `rigging_input_init(&input, sizeof input)`.
///
/// # Safety
/// `input` is null or points to `size` bytes that may be written.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_input_init(input: *mut rigging_input, size: usize) {
    // SAFETY: passed on.
    unsafe { record::init(input.cast(), size) };
}

/// Empties the struct and notes its size: `rigging_branch_init(&branch, sizeof branch)`.
///
/// # Safety
/// `branch` is null or points to `size` bytes that may be written.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_branch_init(branch: *mut rigging_branch, size: usize) {
    // SAFETY: passed on.
    unsafe { record::init(branch.cast(), size) };
}

/// Where one side of a finding comes from, as a whole: `finding` by its index, `side` one of `RIGGING_SIDE_…`.
/// `RIGGING_NO_SUCH_ITEM` where the finding does not have that side. Its texts are lent by the assessment.
///
/// # Safety
/// `assessment` is a handle; `chain` is initialized; `error` is null or initialized.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_assessment_chain(
    assessment: *const rigging_assessment,
    finding: usize,
    side: i32,
    chain: *mut rigging_chain,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe {
        walk::fill(assessment, (chain, "chain"), error, |of| Ok(side_of(self::finding(of, finding)?, side)?.into()))
    }
}

/// The base (index 0) or a step of a chain, from 0 to below `step_count`. Its texts are lent by the assessment.
///
/// # Safety
/// `assessment` is a handle; `step` is initialized; `error` is null or initialized.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_assessment_step(
    assessment: *const rigging_assessment,
    finding: usize,
    side: i32,
    index: usize,
    step: *mut rigging_step,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe {
        walk::fill(assessment, (step, "step"), error, |of| {
            Ok(Link::of(side_of(self::finding(of, finding)?, side)?, index)?.into())
        })
    }
}

/// An input that the value of a step was computed or looked up from, from 0 to below `input_count`. Its texts are lent by
/// the assessment.
///
/// # Safety
/// `assessment` is a handle; `input` is initialized; `error` is null or initialized.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_assessment_input(
    assessment: *const rigging_assessment,
    finding: usize,
    side: i32,
    step: usize,
    index: usize,
    input: *mut rigging_input,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe {
        walk::fill(assessment, (input, "input"), error, |of| {
            let link = Link::of(side_of(self::finding(of, finding)?, side)?, step)?;
            Ok(record::item(&link.term.inputs, index, "input")?.into())
        })
    }
}

/// An alternative that a step weighed and did not take, from 0 to below `branch_count`. Its texts are lent by the
/// assessment.
///
/// # Safety
/// `assessment` is a handle; `branch` is initialized; `error` is null or initialized.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_assessment_branch(
    assessment: *const rigging_assessment,
    finding: usize,
    side: i32,
    step: usize,
    index: usize,
    branch: *mut rigging_branch,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe {
        walk::fill(assessment, (branch, "branch"), error, |of| {
            let link = Link::of(side_of(self::finding(of, finding)?, side)?, step)?;
            Ok(record::item(&link.term.not_taken, index, "branch")?.into())
        })
    }
}
