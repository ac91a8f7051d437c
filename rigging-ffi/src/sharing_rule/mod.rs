//! Sharing rules behind a handle: built in, the caller's own, and what is made of others.

pub mod own;

use crate::arrangement::rigging_lift;
use crate::error::{Failure, rigging_error};
use crate::leg_set;
use crate::record::{self, Record};
use crate::rules::rigging_rule_set;
use crate::text::rigging_text;
use crate::{document, guard, handle, slice};
use rigging_core::demand::{ElasticBounds, sharing_rule, sharing_rules};
use rigging_core::equilibrium::worst::Effort;
use rigging_core::error::{Error, Place};
use rigging_core::sharing::{RuledLegFactor, RuledSkew, SharingRule, Skewed, StatedAngle, Words, share};
use rigging_core::source::Source;
use std::ffi::c_char;
use std::sync::Arc;

/// A rule that shares a load among the legs it hangs on. It does not change; threads may share it as far as the context and
/// the function of an own rule allow.
#[allow(non_camel_case_types, reason = "the name is that of a C type")]
pub struct rigging_sharing_rule {
    rule: Arc<dyn SharingRule>,
    words: Words,
}

impl rigging_sharing_rule {
    fn new(rule: Arc<dyn SharingRule>) -> Self {
        Self { words: rule.words(), rule }
    }

    pub(crate) fn core(&self) -> &dyn SharingRule {
        self.rule.as_ref()
    }
}

/// The rules behind `count` handles.
///
/// # Safety
/// `rules` is null or has `count` handles.
pub(crate) unsafe fn cores<'a>(
    rules: *const *const rigging_sharing_rule,
    count: usize,
) -> Result<Vec<&'a dyn SharingRule>, Failure> {
    // SAFETY: the caller vouches for the array and the handles in it.
    unsafe {
        let handles = slice::read(rules, count, 1, "rules")?;
        handles.iter().map(|rule| Ok(handle::borrow(*rule, "rules")?.core())).collect()
    }
}

/// What a sharing rule says of itself.
#[repr(C)]
#[allow(non_camel_case_types, reason = "the name is that of the C type")]
pub struct rigging_sharing_words {
    /// Size of this struct as the caller knows it, in bytes.
    pub struct_size: u32,
    /// 1 if it claims that no leg carries more than it says, within its domain. A claim is not a proof.
    pub conservative: i32,
    /// Name.
    pub name: rigging_text,
    /// When it applies; outside of it the rule refuses.
    pub domain: rigging_text,
    /// The document it comes from.
    pub document: rigging_text,
    /// The clause; empty where there is none.
    pub clause: rigging_text,
    /// The edition; empty where there is none.
    pub edition: rigging_text,
}

// SAFETY: `repr(C)` with `struct_size` first.
unsafe impl Record for rigging_sharing_words {}

impl From<&Words> for rigging_sharing_words {
    fn from(words: &Words) -> Self {
        Self {
            struct_size: 0,
            conservative: i32::from(words.conservative),
            name: rigging_text::of(&words.name),
            domain: rigging_text::of(&words.domain),
            document: rigging_text::of(&words.source.document),
            clause: rigging_text::of(&words.source.clause),
            edition: rigging_text::of(&words.source.edition),
        }
    }
}

/// Empties the struct and notes its size: `rigging_sharing_words_init(&words, sizeof words)`.
///
/// # Safety
/// `words` is null or points to `size` bytes that may be written.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_sharing_words_init(words: *mut rigging_sharing_words, size: usize) {
    // SAFETY: passed on.
    unsafe { record::init(words.cast(), size) };
}

fn missing(name: &'static str) -> Error {
    Error::missing(format!("the {name} of a sharing rule of your own"), "a text", Place::root().child(name))
}

/// Number of the sharing rules that come with the library and need no number from the caller.
///
/// # Safety
/// `count` may be written; `error` is null or initialized.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_sharing_rule_built_in_count(count: *mut usize, error: *mut rigging_error) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe { guard::guard(error, || record::put(count, "count", || Ok(sharing_rules()?.len()))) }
}

/// One of them, by its index from 0; its words tell its name. The handle is the caller's: free it with
/// `rigging_sharing_rule_free`.
///
/// # Safety
/// `rule` may be written; `error` is null or initialized.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_sharing_rule_built_in_at(
    index: usize,
    rule: *mut *mut rigging_sharing_rule,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe {
        guard::guard(error, || {
            handle::put(rule, "rule", || {
                let rules = sharing_rules()?;
                Ok(rigging_sharing_rule::new(Arc::clone(record::item(&rules, index, "built-in sharing rule")?)))
            })
        })
    }
}

/// One of them, by its name of `length` bytes, such as "two legs carry all". `RIGGING_UNKNOWN_NAME` offers the nearest name.
///
/// # Safety
/// `name` has `length` bytes; `rule` may be written; `error` is null or initialized.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_sharing_rule_built_in(
    name: *const c_char,
    length: usize,
    rule: *mut *mut rigging_sharing_rule,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe {
        guard::guard(error, || {
            handle::put(rule, "rule", || {
                Ok(rigging_sharing_rule::new(sharing_rule(document::read(name, length, "name")?)?))
            })
        })
    }
}

/// The rule that gives each leg its bound over the tolerances, proven; it refuses where there is none. `gap` and `parts` are as
/// in `rigging_lift_assess_bounded`.
///
/// # Safety
/// `rule` may be written; `error` is null or initialized.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_sharing_rule_bounds(
    gap: f64,
    parts: usize,
    rule: *mut *mut rigging_sharing_rule,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe {
        guard::guard(error, || {
            handle::put(rule, "rule", || {
                Ok(rigging_sharing_rule::new(Arc::new(ElasticBounds { effort: Effort { gap, parts } })))
            })
        })
    }
}

/// A skew factor on the forces of `base`, with the conditions and the source of the factor: there is no default, and a factor
/// holds only for what its source names. `RIGGING_OUT_OF_DOMAIN` for a factor below 1, `RIGGING_MISSING` for an empty text.
/// `base` may be freed before the new rule.
///
/// # Safety
/// `base` is a handle; the texts have the lengths told in bytes; `rule` may be written; `error` is null or initialized.
#[unsafe(no_mangle)]
#[allow(clippy::too_many_arguments, reason = "texts with their lengths")]
pub unsafe extern "C" fn rigging_sharing_rule_skewed(
    base: *const rigging_sharing_rule,
    factor: f64,
    conditions: *const c_char,
    conditions_length: usize,
    source: *const c_char,
    source_length: usize,
    rule: *mut *mut rigging_sharing_rule,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe {
        guard::guard(error, || {
            handle::put(rule, "rule", || {
                let base = Arc::clone(&handle::borrow(base, "base")?.rule);
                let conditions = document::read(conditions, conditions_length, "conditions")?;
                let source = document::read(source, source_length, "source")?;
                for (text, name) in [(conditions, "conditions"), (source, "source")] {
                    if text.is_empty() {
                        return Err(missing(name).into());
                    }
                }
                let skewed =
                    Skewed::new(base, factor, conditions.to_owned(), Source::stated_with_rule(source.to_owned()))?;
                Ok(rigging_sharing_rule::new(Arc::new(skewed)))
            })
        })
    }
}

/// `base` at one angle from vertical for every leg, in rad, in place of those drawn; it claims nothing. `RIGGING_OUT_OF_DOMAIN`
/// unless the angle is from 0 to below a right angle. `base` may be freed before the new rule.
///
/// # Safety
/// `base` is a handle; `rule` may be written; `error` is null or initialized.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_sharing_rule_at_angle(
    base: *const rigging_sharing_rule,
    angle_from_vertical_rad: f64,
    rule: *mut *mut rigging_sharing_rule,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe {
        guard::guard(error, || {
            handle::put(rule, "rule", || {
                let base = Arc::clone(&handle::borrow(base, "base")?.rule);
                Ok(rigging_sharing_rule::new(Arc::new(StatedAngle::new(base, angle_from_vertical_rad)?)))
            })
        })
    }
}

/// The skew factor that a rule set gives for the slings of `lift`, on the forces of `base`; it holds for that set of legs and for
/// no other. What a document does not state of its slings stands in `facts`, a JSON object of `facts_length` bytes such as
/// `{"rope lay": "single-laid", "mass per length": [5.8, "kg/m"]}`. `RIGGING_UNSUPPORTED` where a condition is not met, and which;
/// `RIGGING_MISSING` for a fact that decides and is not stated. Everything may be freed before the new rule.
///
/// # Safety
/// `base`, `rule_set` and `lift` are handles; `facts` has `facts_length` bytes; `rule` may be written; `error` is null or
/// initialized.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_sharing_rule_skewed_by_rule_set(
    base: *const rigging_sharing_rule,
    rule_set: *const rigging_rule_set,
    lift: *const rigging_lift,
    facts: *const c_char,
    facts_length: usize,
    rule: *mut *mut rigging_sharing_rule,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe {
        guard::guard(error, || {
            handle::put(rule, "rule", || {
                let base = Arc::clone(&handle::borrow(base, "base")?.rule);
                let rules = &handle::borrow(rule_set, "rule_set")?.rules;
                let lift = &handle::borrow(lift, "lift")?.0;
                let facts = document::read(facts, facts_length, "facts")?;
                Ok(rigging_sharing_rule::new(Arc::new(RuledSkew::of_lift(base, rules, lift, facts)?)))
            })
        })
    }
}

/// The leg factor that a rule set gives for the slings of `lift`, at the angles of its legs; it holds for that set of legs and for
/// no other. What a document does not state of its slings stands in `facts`, a JSON object of `facts_length` bytes such as
/// `{"utilization": 0.7}`. `RIGGING_UNSUPPORTED` where a condition is not met, or no factor is given, and why; `RIGGING_MISSING` for
/// a fact that decides and is not stated; `RIGGING_OUT_OF_DOMAIN` for an angle beyond the table. Everything may be freed before
/// the new rule.
///
/// # Safety
/// `rule_set` and `lift` are handles; `facts` has `facts_length` bytes; `rule` may be written; `error` is null or initialized.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_sharing_rule_leg_factor_of_rule_set(
    rule_set: *const rigging_rule_set,
    lift: *const rigging_lift,
    facts: *const c_char,
    facts_length: usize,
    rule: *mut *mut rigging_sharing_rule,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe {
        guard::guard(error, || {
            handle::put(rule, "rule", || {
                let rules = &handle::borrow(rule_set, "rule_set")?.rules;
                let lift = &handle::borrow(lift, "lift")?.0;
                let facts = document::read(facts, facts_length, "facts")?;
                Ok(rigging_sharing_rule::new(Arc::new(RuledLegFactor::of_lift(rules, lift, facts)?)))
            })
        })
    }
}

/// What the rule says of itself; the texts are lent by the rule.
///
/// # Safety
/// `rule` is a handle; `words` is initialized; `error` is null or initialized.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_sharing_rule_tell(
    rule: *const rigging_sharing_rule,
    words: *mut rigging_sharing_words,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe {
        guard::guard(error, || record::fill(words, "words", || Ok((&handle::borrow(rule, "rule")?.words).into())))
    }
}

/// Force of each leg by the rule, in N, of a lift of one load under one hook at its stated mass. What the rule refuses is the
/// status; `RIGGING_OUT_OF_DOMAIN` for a force that is not finite or is below zero, and its place names the leg.
///
/// # Safety
/// `rule` and `lift` are handles; `forces_n` has `count` elements; `error` is null or initialized.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_sharing_rule_share(
    rule: *const rigging_sharing_rule,
    lift: *const rigging_lift,
    forces_n: *mut f64,
    count: usize,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe {
        guard::guard(error, || {
            let rule = handle::borrow(rule, "rule")?.core();
            let set = leg_set::of_lift(&handle::borrow(lift, "lift")?.0, None)?;
            record::array(forces_n, count, "forces_n", share(rule, &set)?.into_iter())
        })
    }
}

/// Frees a rule; null is allowed. Rules made of it stay.
///
/// # Safety
/// `rule` is null or a handle that has not been freed, and no thread uses it or a text it lent.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_sharing_rule_free(rule: *mut rigging_sharing_rule) {
    // SAFETY: the caller vouches for it.
    unsafe { handle::free(rule) };
}
