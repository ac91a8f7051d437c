//! A rule of the caller's own: a function of C with its words.

use super::{missing, rigging_sharing_rule};
use crate::error::{Failure, RIGGING_OK, rigging_error};
use crate::leg_set::rigging_leg_set;
use crate::record::{self, Record};
use crate::{document, guard, handle};
use rigging_core::error::{Error, Place};
use rigging_core::sharing::{LegSet, SharingRule, Words};
use rigging_core::source::Source;
use std::ffi::{c_char, c_void};
use std::fmt;
use std::sync::Arc;

/// A sharing rule of the caller's own: its words, and the function that is asked. The texts are copied when the rule is made;
/// `context` is only handed on, and must live until the last handle made of the rule is freed. Call `rigging_own_rule_init`
/// once before its first use.
///
/// `forces` fills `forces_n`, `count` forces in N in the order of the set, none below zero and each finite, and returns 0; any
/// other number is a refusal, and is told. It is called on the thread that asked for the comparison, the assessment or the
/// forces, and from several at once where several ask; it may call the functions of a `rigging_leg_set`, keeps neither the set
/// nor a text of it, and lets no exception of C++ out.
#[repr(C)]
#[derive(Clone, Copy)]
#[allow(non_camel_case_types, reason = "the name is that of the C type")]
pub struct rigging_own_rule {
    /// Size of this struct as the caller knows it, in bytes.
    pub struct_size: u32,
    /// 1 if the rule claims that no leg carries more than it says, within its domain; else 0.
    pub conservative: i32,
    /// Name, and its length in bytes.
    pub name: *const c_char,
    /// Length of `name`.
    pub name_length: usize,
    /// When the rule applies.
    pub domain: *const c_char,
    /// Length of `domain`.
    pub domain_length: usize,
    /// Where the rule comes from.
    pub source: *const c_char,
    /// Length of `source`.
    pub source_length: usize,
    /// Handed to `forces`; may be null.
    pub context: *mut c_void,
    /// The forces of a set of legs.
    pub forces: Option<
        unsafe extern "C" fn(
            context: *mut c_void,
            set: *const rigging_leg_set,
            forces_n: *mut f64,
            count: usize,
        ) -> i32,
    >,
}

// SAFETY: `repr(C)` with `struct_size` first.
unsafe impl Record for rigging_own_rule {}

/// Empties the struct and notes its size: `rigging_own_rule_init(&own, sizeof own)`.
///
/// # Safety
/// `own` is null or points to `size` bytes that may be written.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_own_rule_init(own: *mut rigging_own_rule, size: usize) {
    // SAFETY: passed on.
    unsafe { record::init(own.cast(), size) };
}

/// A rule whose forces a function of C gives.
struct Own {
    words: Words,
    context: *mut c_void,
    forces: unsafe extern "C" fn(*mut c_void, *const rigging_leg_set, *mut f64, usize) -> i32,
}

// SAFETY: the context is only handed on; who shares the rule among threads vouches for it and for the function.
unsafe impl Send for Own {}
// SAFETY: as above.
unsafe impl Sync for Own {}

impl fmt::Debug for Own {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("Own").field("words", &self.words).finish_non_exhaustive()
    }
}

impl SharingRule for Own {
    fn words(&self) -> Words {
        self.words.clone()
    }

    fn forces(&self, set: &LegSet) -> Result<Vec<f64>, Error> {
        // What is not filled is no force.
        let mut forces = vec![f64::NAN; set.legs().len()];
        let lent = rigging_leg_set::of(set);
        // SAFETY: who made the rule vouches for the function and its context; set and array live through the call.
        let status = unsafe { (self.forces)(self.context, &raw const lent, forces.as_mut_ptr(), forces.len()) };
        match status {
            RIGGING_OK => Ok(forces),
            status => Err(Error::unsupported(format!("the rule answers with the status {status}"), Place::root())),
        }
    }
}

/// A rule of the caller's own. The handle is the caller's: free it with `rigging_sharing_rule_free`. `RIGGING_NULL_ARGUMENT`
/// without a function, `RIGGING_OUT_OF_DOMAIN` for a claim that is neither 0 nor 1, `RIGGING_MISSING` for an empty text: a rule
/// says what it is called, when it applies and where it comes from.
///
/// # Safety
/// `own` is initialized, its texts have the lengths told, and its function and context do as that struct says; `rule` may be
/// written; `error` is null or initialized.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_sharing_rule_own(
    own: *const rigging_own_rule,
    rule: *mut *mut rigging_sharing_rule,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe {
        guard::guard(error, || {
            handle::put(rule, "rule", || {
                let own = record::read(own, "own")?;
                let Some(forces) = own.forces else { return Err(Failure::Null("forces")) };
                let text = |text, length, name| {
                    let found = document::read(text, length, name)?;
                    match found {
                        "" => Err(Failure::Core(missing(name))),
                        found => Ok(found.to_owned()),
                    }
                };
                let words = Words {
                    name: text(own.name, own.name_length, "name")?.into(),
                    domain: text(own.domain, own.domain_length, "domain")?.into(),
                    source: Source::stated_with_rule(text(own.source, own.source_length, "source")?),
                    conservative: claimed(own.conservative)?,
                };
                Ok(rigging_sharing_rule::new(Arc::new(Own { words, context: own.context, forces })))
            })
        })
    }
}

fn claimed(conservative: i32) -> Result<bool, Failure> {
    match conservative {
        0 => Ok(false),
        1 => Ok(true),
        other => {
            let place = Place::root().child("conservative");
            Err(Error::out_of_domain("conservative", f64::from(other), "", "0 or 1", place).into())
        }
    }
}
