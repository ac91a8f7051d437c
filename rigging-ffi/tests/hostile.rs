//! Hostile calls: null, wrong sizes, indices beyond the end, buffers too short, texts that are none. Each gets its status,
//! writes nothing but the error, and does nobody harm.
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing)]
#![allow(clippy::undocumented_unsafe_blocks, reason = "what is wrong with a pointer is the subject of each test")]

mod calls;

use calls::hostile::*;
use calls::*;
use rigging::arrangement::*;
use rigging::chain::*;
use rigging::checks::finding::*;
use rigging::checks::remedy::*;
use rigging::checks::*;
use rigging::equilibrium::*;
use rigging::error::*;
use rigging::leg_set::*;
use rigging::report::*;
use rigging::rules::*;
use rigging::sharing_rule::own::*;
use rigging::sharing_rule::*;
use rigging::statics::answer::*;
use rigging::statics::matrix::*;
use rigging::statics::*;
use rigging::text::rigging_text;
use std::ffi::c_char;
use std::mem::offset_of;
use std::ptr::{null, null_mut};

/// The index of a finding with demand and capacity, and of one that lacks an input.
fn indices(assessment: &Owned<rigging_assessment>) -> (usize, usize, usize) {
    let mut count = 0;
    ok(|e| unsafe { rigging_assessment_finding_count(assessment.0, &mut count, e) });
    let finding = |index| {
        let mut finding: rigging_finding = record();
        ok(|e| unsafe { rigging_assessment_finding(assessment.0, index, &mut finding, e) });
        finding
    };
    let compared = (0..count).find(|index| finding(*index).has_capacity == 1).unwrap();
    let lacking = (0..count).find(|index| finding(*index).missing_count > 0).unwrap();
    (count, compared, lacking)
}

/// The indices of a finding and of a step of its demand that has a branch not taken.
fn branch(assessment: &Owned<rigging_assessment>) -> (usize, usize) {
    let mut count = 0;
    ok(|e| unsafe { rigging_assessment_finding_count(assessment.0, &mut count, e) });
    for finding in 0..count {
        for index in 0.. {
            let mut step: rigging_step = record();
            let call = rigging_assessment_step;
            if unsafe { call(assessment.0, finding, RIGGING_SIDE_DEMAND, index, &mut step, null_mut()) } != RIGGING_OK {
                break;
            }
            if step.branch_count > 0 {
                return (finding, index);
            }
        }
    }
    panic!("no branch anywhere");
}

#[test]
fn texts_that_are_none() {
    let mut calls = Calls::default();
    type Read<T> = unsafe extern "C" fn(*const c_char, usize, *mut *mut T, *mut rigging_error) -> i32;
    fn read<T>(calls: &mut Calls, name: &str, read: Read<T>, empty: i32) {
        let good = "{}".as_ptr().cast::<c_char>();
        calls.refused(name, RIGGING_NULL_ARGUMENT, |e| unsafe { read(good, 2, null_mut(), e) });
        for length in [1, 100, usize::MAX, usize::MAX / 2] {
            calls.no_handle(name, RIGGING_NULL_ARGUMENT, |slot, e| unsafe { read(null(), length, slot, e) });
        }
        // A negative number turned into a length.
        for length in [usize::MAX, usize::MAX / 2 + 1] {
            calls.no_handle(name, RIGGING_NULL_ARGUMENT, |slot, e| unsafe { read(good, length, slot, e) });
        }
        for bytes in [&[0xFFu8, 0xFE][..], b"{\"name\": \"\xC3\"}", b"\xED\xA0\x80", b"\xC0\x80"] {
            let at = bytes.as_ptr().cast();
            calls.no_handle(name, RIGGING_NOT_UTF8, |slot, e| unsafe { read(at, bytes.len(), slot, e) });
        }
        calls.no_handle(name, empty, |slot, e| unsafe { read(null(), 0, slot, e) });
        calls.no_handle(name, empty, |slot, e| unsafe { read(good, 0, slot, e) });
    }
    read::<rigging_lift>(&mut calls, "rigging_lift_from_json", rigging_lift_from_json, RIGGING_MALFORMED);
    read::<rigging_rule_set>(&mut calls, "rigging_rule_set_from_toml", rigging_rule_set_from_toml, RIGGING_MISSING);
    read::<rigging_rule_set>(&mut calls, "rigging_rule_set_built_in", rigging_rule_set_built_in, RIGGING_UNKNOWN_NAME);

    // Texts that are UTF-8 and nothing else: bytes of zero, great depth, great length.
    let deep = "[".repeat(100_000);
    let long = format!("{{\"format\": 1, \"name\": \"{}\"}}", "x".repeat(20_000_000));
    for (text, status) in [
        ("\0", RIGGING_MALFORMED),
        ("{\"format\": NaN}", RIGGING_MALFORMED),
        ("{\"format\": 1e999}", RIGGING_MALFORMED),
        ("{\"format\": 1, \"format\": 1}", RIGGING_DUPLICATE_KEY),
        (deep.as_str(), RIGGING_TOO_LARGE),
        (long.as_str(), RIGGING_TOO_LARGE),
    ] {
        let at = text.as_ptr().cast();
        calls.no_handle(&text[..text.len().min(30)], status, |slot, e| unsafe {
            rigging_lift_from_json(at, text.len(), slot, e)
        });
    }
    println!("{} hostile calls with texts", calls.0);
    assert!(calls.0 > 120);
}

#[test]
fn null_handles_and_null_outputs() {
    let mut calls = Calls::default();
    let lift = read_lift(&demo("generator-skid.json"));
    let rules = rule_set("us-general");
    let solved: Owned<rigging_certificate> = made(|slot, e| unsafe { rigging_lift_solve(lift.0, slot, e) });
    let assessed = assess(&lift, "us-general");
    let no = RIGGING_NULL_ARGUMENT;

    // New handles.
    calls.refused("solve", no, |e| unsafe { rigging_lift_solve(lift.0, null_mut(), e) });
    calls.no_handle("solve", no, |slot, e| unsafe { rigging_lift_solve(null(), slot, e) });
    calls.refused("assess", no, |e| unsafe { rigging_lift_assess(lift.0, rules.0, null_mut(), e) });
    calls.no_handle("assess", no, |slot, e| unsafe { rigging_lift_assess(null(), rules.0, slot, e) });
    calls.no_handle("assess", no, |slot, e| unsafe { rigging_lift_assess(lift.0, null(), slot, e) });
    calls.refused("nominal", no, |e| unsafe { rigging_assessment_nominal(assessed.0, null_mut(), e) });
    calls.no_handle("nominal", no, |slot, e| unsafe { rigging_assessment_nominal(null(), slot, e) });
    calls.refused("destination", no, |e| unsafe { rigging_certificate_destination(solved.0, null_mut(), e) });
    calls.no_handle("destination", no, |slot, e| unsafe { rigging_certificate_destination(null(), slot, e) });
    calls.no_handle("destination", RIGGING_NO_SUCH_ITEM, |slot, e| unsafe {
        rigging_certificate_destination(solved.0, slot, e)
    });

    // Rule files.
    calls.refused("template", no, |e| unsafe { rigging_rule_set_template(null_mut(), e) });
    calls.refused("documents", no, |e| unsafe { rigging_rule_set_documents(rules.0, null_mut(), e) });
    calls.no_handle("documents", no, |slot, e| unsafe { rigging_rule_set_documents(null(), slot, e) });
    calls.refused("difference", no, |e| unsafe { rigging_rules_difference(rules.0, rules.0, null_mut(), e) });
    calls.no_handle("difference", no, |slot, e| unsafe { rigging_rules_difference(null(), rules.0, slot, e) });
    calls.no_handle("difference", no, |slot, e| unsafe { rigging_rules_difference(rules.0, null(), slot, e) });
    let (file, bad) = ("format = 1", rigging_text { data: c"\xFF".as_ptr(), length: 1 });
    let at = file.as_ptr().cast::<c_char>();
    calls.refused("lint", no, |e| unsafe { rigging_rules_lint(at, file.len(), null(), 0, null_mut(), e) });
    calls.no_handle("lint", no, |slot, e| unsafe { rigging_rules_lint(null(), 5, null(), 0, slot, e) });
    calls.no_handle("lint", no, |slot, e| unsafe { rigging_rules_lint(at, file.len(), null(), 1, slot, e) });
    calls
        .no_handle("lint", RIGGING_NOT_UTF8, |slot, e| unsafe { rigging_rules_lint(at, file.len(), &bad, 1, slot, e) });
    calls.no_handle("lint", RIGGING_TOO_LARGE, |slot, e| unsafe {
        rigging_rules_lint(at, file.len(), &bad, usize::MAX, slot, e)
    });
    let none = rigging_text { data: null(), length: 3 };
    calls.no_handle("from_toml_with", no, |slot, e| unsafe {
        rigging_rule_set_from_toml_with(at, file.len(), &none, 1, slot, e)
    });
    calls.no_handle("from_toml_with", no, |slot, e| unsafe {
        rigging_rule_set_from_toml_with(at, file.len(), null(), 2, slot, e)
    });
    calls.refused("from_toml_with", no, |e| unsafe {
        rigging_rule_set_from_toml_with(at, file.len(), null(), 0, null_mut(), e)
    });

    let hung = hang(&lift);
    calls.refused("hang", no, |e| unsafe { rigging_lift_hang(lift.0, null_mut(), e) });
    calls.no_handle("hang", no, |slot, e| unsafe { rigging_lift_hang(null(), slot, e) });
    calls.refused("certificate", no, |e| unsafe { rigging_balance_certificate(hung.0, null_mut(), e) });
    calls.no_handle("certificate", no, |slot, e| unsafe { rigging_balance_certificate(null(), slot, e) });

    // Plain values.
    type Count<T> = unsafe extern "C" fn(*const T, *mut usize, *mut rigging_error) -> i32;
    fn count<T>(calls: &mut Calls, name: &str, handle: *const T, count: Count<T>) {
        let mut value = 77;
        let at = &raw mut value;
        calls.refused(name, RIGGING_NULL_ARGUMENT, |e| unsafe { count(handle, null_mut(), e) });
        calls.refused(name, RIGGING_NULL_ARGUMENT, |e| unsafe { count(null(), at, e) });
        calls.refused(name, RIGGING_NULL_ARGUMENT, |e| unsafe { count(null(), null_mut(), e) });
        assert_eq!(value, 77);
    }
    count(&mut calls, "leg count of a lift", lift.0, rigging_lift_leg_count);
    count(&mut calls, "leg count", assessed.0, rigging_assessment_leg_count);
    count(&mut calls, "parameter count", hung.0, rigging_balance_parameter_count);
    count(&mut calls, "finding count", assessed.0, rigging_assessment_finding_count);
    count(&mut calls, "assumption count", assessed.0, rigging_assessment_assumption_count);
    let mut verdict = 77;
    let at = &raw mut verdict;
    calls.refused("verdict", no, |e| unsafe { rigging_assessment_verdict(assessed.0, null_mut(), e) });
    calls.refused("verdict", no, |e| unsafe { rigging_assessment_verdict(null(), at, e) });
    assert_eq!(verdict, 77);

    type Text<T> = unsafe extern "C" fn(*const T, *mut rigging_text, *mut rigging_error) -> i32;
    fn text<T>(calls: &mut Calls, name: &str, handle: *const T, text: Text<T>) {
        let mut value = rigging_text { data: null(), length: 77 };
        let at = &raw mut value;
        calls.refused(name, RIGGING_NULL_ARGUMENT, |e| unsafe { text(handle, null_mut(), e) });
        calls.refused(name, RIGGING_NULL_ARGUMENT, |e| unsafe { text(null(), at, e) });
        assert!(value.data.is_null() && value.length == 77);
    }
    text(&mut calls, "name of a lift", lift.0, rigging_lift_name);
    text(&mut calls, "hash of a lift", lift.0, rigging_lift_hash);
    text(&mut calls, "name of the lift assessed", assessed.0, rigging_assessment_lift_name);
    let motions: Owned<rigging_answer> = made(|slot, e| unsafe { rigging_balance_motions(hung.0, slot, e) });
    text(&mut calls, "text of an answer", motions.0, rigging_answer_text);
    text(&mut calls, "hash of the lift assessed", assessed.0, rigging_assessment_lift_hash);

    // Documents.
    let nowhere = |calls: &mut Calls, name: &str, call: &dyn Fn(*mut usize, *mut rigging_error) -> i32| {
        let mut length = 77;
        let at = &raw mut length;
        calls.refused(name, RIGGING_NULL_ARGUMENT, |e| call(at, e));
        assert_eq!(length, 77);
    };
    nowhere(&mut calls, "to_json", &|l, e| unsafe { rigging_lift_to_json(null(), null_mut(), 0, l, e) });
    nowhere(&mut calls, "canonical", &|l, e| unsafe { rigging_lift_canonical(null(), null_mut(), 0, l, e) });
    nowhere(&mut calls, "report", &|l, e| unsafe { rigging_assessment_report(null(), null_mut(), 0, l, e) });
    nowhere(&mut calls, "report_json", &|l, e| unsafe { rigging_assessment_report_json(null(), null_mut(), 0, l, e) });
    nowhere(&mut calls, "assessment", &|l, e| unsafe { rigging_assessment_to_json(null(), null_mut(), 0, l, e) });
    nowhere(&mut calls, "hash", &|l, e| unsafe { rigging_assessment_hash(null(), null_mut(), 0, l, e) });
    nowhere(&mut calls, "certificate", &|l, e| unsafe { rigging_certificate_to_json(null(), null_mut(), 0, l, e) });
    calls.document("to_json", |b, n, l, e| unsafe { rigging_lift_to_json(lift.0, b, n, l, e) });
    calls.document("canonical", |b, n, l, e| unsafe { rigging_lift_canonical(lift.0, b, n, l, e) });
    calls.document("report", |b, n, l, e| unsafe { rigging_assessment_report(assessed.0, b, n, l, e) });
    calls.document("report_json", |b, n, l, e| unsafe { rigging_assessment_report_json(assessed.0, b, n, l, e) });
    calls.document("assessment", |b, n, l, e| unsafe { rigging_assessment_to_json(assessed.0, b, n, l, e) });
    calls.document("hash", |b, n, l, e| unsafe { rigging_assessment_hash(assessed.0, b, n, l, e) });
    calls.document("certificate", |b, n, l, e| unsafe { rigging_certificate_to_json(solved.0, b, n, l, e) });

    println!("{} hostile calls with handles and outputs", calls.0);
    assert!(calls.0 > 200);
}

#[test]
fn structs_of_every_size_and_null_handles_before_them() {
    let mut calls = Calls::default();
    let lift = read_lift(&demo("generator-skid.json"));
    let rules = rule_set("marine-0027-nd-2016");
    let solved: Owned<rigging_certificate> = made(|slot, e| unsafe { rigging_lift_solve(lift.0, slot, e) });
    let weighed = assess_under(&read_lift(&with_contingency()), &read_rules(&firm_rules()));
    let (at, step) = branch(&weighed);
    let a = assess(&lift, "us-general");
    let (_, compared, lacking) = indices(&a);
    let side = RIGGING_SIDE_DEMAND;
    let hung = hang(&lift);

    calls.record("identify", |r, e| unsafe { rigging_rule_set_identify(rules.0, r, e) });
    calls.record("rule_set", |r, e| unsafe { rigging_assessment_rule_set(a.0, r, e) });
    calls.record("parameter", |r, e| unsafe { rigging_balance_parameter(hung.0, 0, r, e) });
    calls.grown("figures", offset_of!(rigging_certificate_figures, joint_count), |r, e| unsafe {
        rigging_certificate_tell(solved.0, r, e)
    });
    calls.record("pose", |r, e| unsafe { rigging_certificate_pose(solved.0, 0, r, e) });
    calls.record("member", |r, e| unsafe { rigging_certificate_member(solved.0, 0, r, e) });
    calls.grown("leg", offset_of!(rigging_leg, taken_n), |r, e| unsafe { rigging_assessment_leg(a.0, 0, r, e) });
    calls.record("assumption", |r, e| unsafe { rigging_assessment_assumption(a.0, 0, r, e) });
    calls.record("finding", |r, e| unsafe { rigging_assessment_finding(a.0, 0, r, e) });
    calls.record("missing", |r, e| unsafe { rigging_assessment_missing(a.0, lacking, 0, r, e) });
    calls.record("remedy", |r, e| unsafe { rigging_assessment_remedy(a.0, r, e) });
    calls.record("remedy missing", |r, e| unsafe { rigging_assessment_remedy_missing(a.0, 0, r, e) });
    calls.record("chain", |r, e| unsafe { rigging_assessment_chain(a.0, compared, side, r, e) });
    calls.record("step", |r, e| unsafe { rigging_assessment_step(a.0, compared, side, 0, r, e) });
    calls.record("branch", |r, e| unsafe { rigging_assessment_branch(weighed.0, at, side, step, 0, r, e) });
    calls.record("input", |r, e| unsafe { rigging_assessment_input(a.0, compared, side, 0, 0, r, e) });

    let no = RIGGING_NULL_ARGUMENT;
    macro_rules! null_handle {
        ($type:ty, $call:expr) => {{
            let mut area = Area::<$type>::telling(u32::try_from(size_of::<$type>()).unwrap());
            let before = area.bytes().to_vec();
            let at = area.start();
            calls.refused(stringify!($type), no, |e| unsafe { $call(at, e) });
            assert_eq!(area.bytes(), before);
        }};
    }
    null_handle!(rigging_rule_set_identity, |r, e| rigging_rule_set_identify(null(), r, e));
    null_handle!(rigging_rule_set_identity, |r, e| rigging_assessment_rule_set(null(), r, e));
    null_handle!(rigging_certificate_figures, |r, e| rigging_certificate_tell(null(), r, e));
    null_handle!(rigging_parameter, |r, e| rigging_balance_parameter(null(), 0, r, e));
    null_handle!(rigging_pose, |r, e| rigging_certificate_pose(null(), 0, r, e));
    null_handle!(rigging_member, |r, e| rigging_certificate_member(null(), 0, r, e));
    null_handle!(rigging_leg, |r, e| rigging_assessment_leg(null(), 0, r, e));
    null_handle!(rigging_assumption, |r, e| rigging_assessment_assumption(null(), 0, r, e));
    null_handle!(rigging_finding, |r, e| rigging_assessment_finding(null(), 0, r, e));
    null_handle!(rigging_missing_input, |r, e| rigging_assessment_missing(null(), 0, 0, r, e));
    null_handle!(rigging_remedy, |r, e| rigging_assessment_remedy(null(), r, e));
    null_handle!(rigging_missing_input, |r, e| rigging_assessment_remedy_missing(null(), 0, r, e));
    null_handle!(rigging_chain, |r, e| rigging_assessment_chain(null(), 0, side, r, e));
    null_handle!(rigging_step, |r, e| rigging_assessment_step(null(), 0, side, 0, r, e));
    null_handle!(rigging_input, |r, e| rigging_assessment_input(null(), 0, side, 0, 0, r, e));
    null_handle!(rigging_branch, |r, e| rigging_assessment_branch(null(), 0, side, 0, 0, r, e));
    println!("{} hostile calls with structs", calls.0);
    assert!(calls.0 > 500);
}

#[test]
fn indices_beyond_the_end_and_sides_that_are_none() {
    let mut calls = Calls::default();
    let lift = read_lift(&demo("generator-skid.json"));
    let solved: Owned<rigging_certificate> = made(|slot, e| unsafe { rigging_lift_solve(lift.0, slot, e) });
    let a = assess(&lift, "us-general");
    let (count, compared, lacking) = indices(&a);
    let hung = hang(&lift);
    macro_rules! beyond {
        ($type:ty, $call:expr, $($index:expr),+) => {
            for index in [$($index),+, usize::MAX / 2 + 1, usize::MAX] {
                let mut area = Area::<$type>::telling(u32::try_from(size_of::<$type>()).unwrap());
                let before = area.bytes().to_vec();
                let at = area.start();
                calls.refused(stringify!($call), RIGGING_NO_SUCH_ITEM, |e| unsafe { $call(index, at, e) });
                assert_eq!(area.bytes(), before);
            }
        };
    }
    let side = RIGGING_SIDE_CAPACITY;
    beyond!(rigging_text, |i, r, e| rigging_lift_leg_name(lift.0, i, r, e), 4, 5);
    beyond!(rigging_text, |i, r, e| rigging_rule_set_built_in_name(i, r, e), rigging_rule_set_built_in_count(), 99);
    beyond!(rigging_text, |i, r, e| rigging_rule_set_document_name(i, r, e), rigging_rule_set_document_count(), 999);
    beyond!(rigging_pose, |i, r, e| rigging_certificate_pose(solved.0, i, r, e), 1);
    beyond!(rigging_member, |i, r, e| rigging_certificate_member(solved.0, i, r, e), 4);
    beyond!([f64; 3], |i, r: *mut [f64; 3], e| rigging_certificate_hook_force(solved.0, i, r.cast(), e), 1);
    beyond!([f64; 3], |i, r: *mut [f64; 3], e| rigging_certificate_joint(solved.0, i, r.cast(), e), 0);
    beyond!(rigging_parameter, |i, r, e| rigging_balance_parameter(hung.0, i, r, e), 9999);
    beyond!(rigging_leg, |i, r, e| rigging_assessment_leg(a.0, i, r, e), 4);
    beyond!(rigging_assumption, |i, r, e| rigging_assessment_assumption(a.0, i, r, e), 99);
    beyond!(rigging_finding, |i, r, e| rigging_assessment_finding(a.0, i, r, e), count);
    beyond!(rigging_missing_input, |i, r, e| rigging_assessment_missing(a.0, i, 0, r, e), count);
    beyond!(rigging_missing_input, |i, r, e| rigging_assessment_missing(a.0, lacking, i, r, e), 9);
    beyond!(rigging_missing_input, |i, r, e| rigging_assessment_remedy_missing(a.0, i, r, e), 99);
    beyond!(rigging_text, |i, r, e| rigging_assessment_finding_assumption(a.0, i, 0, r, e), count);
    beyond!(rigging_text, |i, r, e| rigging_assessment_finding_assumption(a.0, 0, i, r, e), 99);
    beyond!(rigging_chain, |i, r, e| rigging_assessment_chain(a.0, i, side, r, e), count);
    beyond!(rigging_step, |i, r, e| rigging_assessment_step(a.0, i, side, 0, r, e), count);
    beyond!(rigging_step, |i, r, e| rigging_assessment_step(a.0, compared, side, i, r, e), 99);
    beyond!(rigging_input, |i, r, e| rigging_assessment_input(a.0, compared, side, i, 0, r, e), 99);
    beyond!(rigging_input, |i, r, e| rigging_assessment_input(a.0, compared, side, 0, i, r, e), 99);
    beyond!(rigging_branch, |i, r, e| rigging_assessment_branch(a.0, compared, side, i, 0, r, e), 99);
    beyond!(rigging_branch, |i, r, e| rigging_assessment_branch(a.0, compared, side, 0, i, r, e), 99);
    for side in [-1, 2, 3, i32::MIN, i32::MAX] {
        beyond!(rigging_chain, |_, r, e| rigging_assessment_chain(a.0, compared, side, r, e), 0);
        beyond!(rigging_step, |_, r, e| rigging_assessment_step(a.0, compared, side, 0, r, e), 0);
    }
    println!("{} hostile calls with indices", calls.0);
    assert!(calls.0 > 200);
}

#[test]
fn arrays_of_another_size() {
    let mut calls = Calls::default();
    let lift = read_lift(&demo("generator-skid.json"));
    let solved: Owned<rigging_certificate> = made(|slot, e| unsafe { rigging_lift_solve(lift.0, slot, e) });
    let mut array = [-7.0f64; 8];
    let at = array.as_mut_ptr();
    type Fill = unsafe extern "C" fn(*const rigging_certificate, *mut f64, usize, *mut rigging_error) -> i32;
    let fills: [(&str, Fill, usize); 2] =
        [("tensions", rigging_certificate_tensions, 4), ("eigenvalues", rigging_certificate_eigenvalues, 3)];
    for (name, fill, right) in fills {
        for count in [0, 1, right - 1, right + 1, 8, usize::MAX / 8, usize::MAX] {
            calls.refused(name, RIGGING_WRONG_COUNT, |e| unsafe { fill(solved.0, at, count, e) });
            calls.refused(name, RIGGING_WRONG_COUNT, |e| unsafe { fill(solved.0, null_mut(), count, e) });
        }
        calls.refused(name, RIGGING_NULL_ARGUMENT, |e| unsafe { fill(solved.0, null_mut(), right, e) });
        calls.refused(name, RIGGING_NULL_ARGUMENT, |e| unsafe { fill(null(), at, right, e) });
    }
    calls.refused("hook force", RIGGING_NULL_ARGUMENT, |e| unsafe {
        rigging_certificate_hook_force(solved.0, 0, null_mut(), e)
    });
    calls.refused("hook force", RIGGING_NULL_ARGUMENT, |e| unsafe { rigging_certificate_hook_force(null(), 0, at, e) });
    assert_eq!(array, [-7.0; 8]);
    println!("{} hostile calls with arrays", calls.0);
    assert!(calls.0 > 100);
}

#[test]
fn nothing_is_freed_and_nothing_is_initialized() {
    unsafe {
        rigging_lift_free(null_mut());
        rigging_rule_set_free(null_mut());
        rigging_certificate_free(null_mut());
        rigging_assessment_free(null_mut());
        rigging_balance_free(null_mut());
        rigging_answer_free(null_mut());
    }
    macro_rules! init {
        ($($init:ident: $type:ty),+) => {$(
            for size in [0usize, 1, 3] {
                let mut area = Area::<$type>::telling(0xAAAA_AAAA);
                unsafe { $init(area.start(), size) };
                unsafe { $init(null_mut(), size) };
                assert!(area.bytes().iter().all(|byte| *byte == 0xAA), "{}", stringify!($init));
            }
            let mut area = Area::<$type>::telling(0xAAAA_AAAA);
            let size = size_of::<$type>();
            unsafe { $init(area.start(), size) };
            assert_eq!(area.bytes()[..4], u32::try_from(size).unwrap().to_ne_bytes());
            assert!(area.bytes()[4..size].iter().all(|byte| *byte == 0));
            assert!(area.bytes()[size..].iter().all(|byte| *byte == 0xAA));
        )+};
    }
    init!(
        rigging_error_init: rigging_error,
        rigging_rule_set_identity_init: rigging_rule_set_identity,
        rigging_certificate_figures_init: rigging_certificate_figures,
        rigging_pose_init: rigging_pose,
        rigging_parameter_init: rigging_parameter,
        rigging_member_init: rigging_member,
        rigging_leg_init: rigging_leg,
        rigging_assumption_init: rigging_assumption,
        rigging_finding_init: rigging_finding,
        rigging_missing_input_init: rigging_missing_input,
        rigging_remedy_init: rigging_remedy,
        rigging_chain_init: rigging_chain,
        rigging_step_init: rigging_step,
        rigging_input_init: rigging_input,
        rigging_branch_init: rigging_branch,
        rigging_set_leg_init: rigging_set_leg,
        rigging_sharing_words_init: rigging_sharing_words,
        rigging_own_rule_init: rigging_own_rule
    );
}
