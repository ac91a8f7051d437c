//! Rule sets behind a handle.

use crate::error::{Failure, rigging_error};
use crate::record::{self, Record};
use crate::statics::answer::{answered, rigging_answer};
use crate::text::rigging_text;
use crate::{document, guard, handle, slice};
use rigging_core::checks::RuleSetIdentity;
use rigging_core::rules::{RuleSet, difference, lint_with};
use std::ffi::c_char;

/// A rule set. It does not change; threads may share it.
#[allow(non_camel_case_types, reason = "the name is that of a C type")]
pub struct rigging_rule_set {
    pub(crate) rules: RuleSet,
    identity: RuleSetIdentity,
}

impl From<RuleSet> for rigging_rule_set {
    fn from(rules: RuleSet) -> Self {
        Self { identity: RuleSetIdentity::of(&rules), rules }
    }
}

/// Which rules these are.
#[repr(C)]
#[allow(non_camel_case_types, reason = "the name is that of the C type")]
pub struct rigging_rule_set_identity {
    /// Size of this struct as the caller knows it, in bytes.
    pub struct_size: u32,
    /// Name by which the set is asked for.
    pub name: rigging_text,
    /// What it is, in words.
    pub title: rigging_text,
    /// Edition or date of the documents.
    pub edition: rigging_text,
    /// "in force", or "superseded" and by what.
    pub status: rigging_text,
    /// SHA-256 of the content in hexadecimal: layout, comments and the order of keys do not change it.
    pub hash: rigging_text,
    /// A remark of the rule set about itself, or null.
    pub note: rigging_text,
}

// SAFETY: `repr(C)` with `struct_size` first.
unsafe impl Record for rigging_rule_set_identity {}

impl From<&RuleSetIdentity> for rigging_rule_set_identity {
    fn from(identity: &RuleSetIdentity) -> Self {
        Self {
            struct_size: 0,
            name: rigging_text::of(&identity.name),
            title: rigging_text::of(&identity.title),
            edition: rigging_text::of(&identity.edition),
            status: rigging_text::of(&identity.status),
            hash: rigging_text::of(&identity.hash),
            note: rigging_text::optional(identity.note.as_deref()),
        }
    }
}

/// Empties the struct and notes its size: `rigging_rule_set_identity_init(&identity, sizeof identity)`.
///
/// # Safety
/// `identity` is null or points to `size` bytes that may be written.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_rule_set_identity_init(identity: *mut rigging_rule_set_identity, size: usize) {
    // SAFETY: passed on.
    unsafe { record::init(identity.cast(), size) };
}

/// Number of the rule sets that come with the library.
#[unsafe(no_mangle)]
pub extern "C" fn rigging_rule_set_built_in_count() -> usize {
    RuleSet::built_in_names().len()
}

/// Name of a rule set that comes with the library, by its index from 0; the text stays for good.
///
/// # Safety
/// `name` may be written; `error` is null or initialized.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_rule_set_built_in_name(
    index: usize,
    name: *mut rigging_text,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe {
        guard::guard(error, || {
            record::put(name, "name", || {
                Ok(rigging_text::of(record::item(RuleSet::built_in_names(), index, "built-in rule set")?))
            })
        })
    }
}

/// A rule set that comes with the library, by its name of `length` bytes. The handle is the caller's: free it with
/// `rigging_rule_set_free`. `RIGGING_UNKNOWN_NAME` offers the nearest name.
///
/// # Safety
/// `name` has `length` bytes; `rule_set` may be written; `error` is null or initialized.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_rule_set_built_in(
    name: *const c_char,
    length: usize,
    rule_set: *mut *mut rigging_rule_set,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe {
        guard::guard(error, || {
            handle::put(rule_set, "rule_set", || Ok(RuleSet::built_in(document::read(name, length, "name")?)?.into()))
        })
    }
}

/// Reads a rule set from a TOML text of `length` bytes. The handle is the caller's: free it with
/// `rigging_rule_set_free`. An error's `place` points into the text, such as `/rule/3/source`.
///
/// # Safety
/// `text` has `length` bytes; `rule_set` may be written; `error` is null or initialized.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_rule_set_from_toml(
    text: *const c_char,
    length: usize,
    rule_set: *mut *mut rigging_rule_set,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe {
        guard::guard(error, || {
            handle::put(rule_set, "rule_set", || Ok(RuleSet::from_toml(document::read(text, length, "text")?)?.into()))
        })
    }
}

/// Texts of the caller, each UTF-8.
///
/// # Safety
/// `texts` is null or has `count` texts that stay unchanged during the call.
unsafe fn texts<'a>(texts: *const rigging_text, count: usize, name: &'static str) -> Result<Vec<&'a str>, Failure> {
    // SAFETY: the caller vouches for the texts.
    unsafe {
        slice::read(texts, count, 1, name)?.iter().map(|text| document::read(text.data, text.length, name)).collect()
    }
}

/// As `rigging_rule_set_from_toml`, of a rule set that may include `count` `documents` beside those of the library: each the
/// TOML text of a rule file, known by the name it bears; null is allowed for none. A document's name that is the
/// library's is refused as `RIGGING_DUPLICATE_NAME`.
///
/// # Safety
/// `text` has `length` bytes; `documents` has `count` texts; `rule_set` may be written; `error` is null or initialized.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_rule_set_from_toml_with(
    text: *const c_char,
    length: usize,
    documents: *const rigging_text,
    count: usize,
    rule_set: *mut *mut rigging_rule_set,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe {
        guard::guard(error, || {
            handle::put(rule_set, "rule_set", || {
                let documents = texts(documents, count, "documents")?;
                Ok(RuleSet::from_toml_with(document::read(text, length, "text")?, &documents)?.into())
            })
        })
    }
}

/// Number of the single documents that come with the library; each can be had like a rule set, and be included in one.
#[unsafe(no_mangle)]
pub extern "C" fn rigging_rule_set_document_count() -> usize {
    RuleSet::document_names().len()
}

/// Name of a single document that comes with the library, by its index from 0; the text stays for good.
///
/// # Safety
/// `name` may be written; `error` is null or initialized.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_rule_set_document_name(
    index: usize,
    name: *mut rigging_text,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe {
        guard::guard(error, || {
            record::put(name, "name", || {
                Ok(rigging_text::of(record::item(RuleSet::document_names(), index, "built-in document")?))
            })
        })
    }
}

/// A rule set to begin one's own with, as TOML: an invented one, about which `rigging_rules_lint` has nothing to say. The text
/// stays for good.
///
/// # Safety
/// `text` may be written; `error` is null or initialized.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_rule_set_template(text: *mut rigging_text, error: *mut rigging_error) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe { guard::guard(error, || record::put(text, "text", || Ok(rigging_text::of(RuleSet::template())))) }
}

/// The rule files that a rule set includes, in their order: an answer with an array of records of name, title, edition, status,
/// hash and note; an empty one where the set stands by itself. Keys as in the committed schema of rule records.
///
/// # Safety
/// `rule_set` is a handle; `answer` may be written; `error` is null or initialized.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_rule_set_documents(
    rule_set: *const rigging_rule_set,
    answer: *mut *mut rigging_answer,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe { guard::guard(error, || answered(answer, || Ok(handle::borrow(rule_set, "rule_set")?.rules.documents()))) }
}

/// Every complaint about a TOML text of `length` bytes as a rule file, with code, place, line, what is wrong, why it matters and
/// what to write; `refused` where the file does not load for it, else advice. An answer with an array of records, empty
/// where nothing is wrong. `documents` as in `rigging_rule_set_from_toml_with`. A text that is no rule file at all is no
/// error of this call.
///
/// # Safety
/// `text` has `length` bytes; `documents` has `count` texts; `answer` may be written; `error` is null or initialized.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_rules_lint(
    text: *const c_char,
    length: usize,
    documents: *const rigging_text,
    count: usize,
    answer: *mut *mut rigging_answer,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe {
        guard::guard(error, || {
            answered(answer, || {
                let documents = texts(documents, count, "documents")?;
                Ok(lint_with(document::read(text, length, "text")?, &documents))
            })
        })
    }
}

/// What parts two rule sets: questions that only one answers, and rules that say something else, with both sources beside each
/// value. An answer; keys as in the committed schema of rule records.
///
/// # Safety
/// `one` and `other` are handles; `answer` may be written; `error` is null or initialized.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_rules_difference(
    one: *const rigging_rule_set,
    other: *const rigging_rule_set,
    answer: *mut *mut rigging_answer,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe {
        guard::guard(error, || {
            answered(answer, || {
                Ok(difference(&handle::borrow(one, "one")?.rules, &handle::borrow(other, "other")?.rules))
            })
        })
    }
}

/// Which rules these are; the texts are lent by the rule set.
///
/// # Safety
/// `rule_set` is a handle; `identity` is initialized; `error` is null or initialized.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_rule_set_identify(
    rule_set: *const rigging_rule_set,
    identity: *mut rigging_rule_set_identity,
    error: *mut rigging_error,
) -> i32 {
    // SAFETY: the caller vouches for the pointers.
    unsafe {
        guard::guard(error, || {
            record::fill(identity, "identity", || Ok((&handle::borrow(rule_set, "rule_set")?.identity).into()))
        })
    }
}

/// Frees a rule set; null is allowed. Assessments made under it stay.
///
/// # Safety
/// `rule_set` is null or a handle that has not been freed, and no thread uses it or a text it lent.
#[unsafe(no_mangle)]
pub unsafe extern "C" fn rigging_rule_set_free(rule_set: *mut rigging_rule_set) {
    // SAFETY: the caller vouches for it.
    unsafe { handle::free(rule_set) };
}
