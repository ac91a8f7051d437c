//! Hostile questions about a balance: null, wrong counts, numbers that are none, inputs that are no document. Each gets its
//! status, writes nothing but the error, and does nobody harm.
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing)]
#![allow(clippy::undocumented_unsafe_blocks, reason = "what is wrong with a pointer is the subject of each test")]

mod calls;

use calls::hostile::*;
use calls::*;
use rigging::error::*;
use rigging::statics::answer::*;
use rigging::statics::matrix::*;
use rigging::statics::worst::*;
use rigging::statics::*;
use std::ffi::c_char;
use std::ptr::{null, null_mut};

#[test]
fn questions_with_wrong_inputs() {
    let mut calls = Calls::default();
    let hung = hang(&read_lift(&demo("panel-spreader.json")));
    let b = hung.0;
    let no = RIGGING_NULL_ARGUMENT;

    type Ask = unsafe extern "C" fn(*const rigging_balance, *mut *mut rigging_answer, *mut rigging_error) -> i32;
    let plain: [(&str, Ask); 6] = [
        ("derivatives", rigging_balance_derivatives),
        ("margins", rigging_balance_margins),
        ("motions", rigging_balance_motions),
        ("others", rigging_balance_others),
        ("own_weight", rigging_balance_own_weight),
        ("running", rigging_balance_running),
    ];
    for (name, ask) in plain {
        calls.refused(name, no, |e| unsafe { ask(b, null_mut(), e) });
        calls.no_handle(name, no, |slot, e| unsafe { ask(null(), slot, e) });
    }
    calls.refused("modes", no, |e| unsafe { rigging_balance_modes(b, 6, null_mut(), e) });
    calls.no_handle("modes", no, |slot, e| unsafe { rigging_balance_modes(null(), 6, slot, e) });

    let domain = RIGGING_OUT_OF_DOMAIN;
    for tolerance in [f64::NAN, f64::INFINITY, -1.0, 0.0, 1.0] {
        calls.no_handle("self_stress", domain, |slot, e| unsafe { rigging_balance_self_stress(b, tolerance, slot, e) });
    }
    calls.no_handle("self_stress", no, |slot, e| unsafe { rigging_balance_self_stress(null(), 1e-9, slot, e) });
    calls.refused("self_stress", no, |e| unsafe { rigging_balance_self_stress(b, 1e-9, null_mut(), e) });

    let mut array = [1.0f64; 9];
    let at = array.as_ptr();
    for count in [1, 7, 9, usize::MAX / 8, usize::MAX] {
        calls.no_handle("losses", RIGGING_WRONG_COUNT, |slot, e| unsafe {
            rigging_balance_losses(b, at, count, slot, e)
        });
        calls.no_handle("order", RIGGING_WRONG_COUNT, |slot, e| unsafe {
            rigging_balance_order(b, at, count, 1e-9, slot, e)
        });
    }
    calls.no_handle("order", RIGGING_WRONG_COUNT, |slot, e| unsafe { rigging_balance_order(b, at, 0, 1e-9, slot, e) });
    calls.no_handle("losses", no, |slot, e| unsafe { rigging_balance_losses(b, null(), 8, slot, e) });
    calls.no_handle("order", no, |slot, e| unsafe { rigging_balance_order(b, null(), 8, 1e-9, slot, e) });
    calls.no_handle("losses", no, |slot, e| unsafe { rigging_balance_losses(null(), at, 8, slot, e) });
    calls.no_handle("order", no, |slot, e| unsafe { rigging_balance_order(null(), at, 8, 1e-9, slot, e) });
    for wrong in [0.0, -1e5, f64::INFINITY, f64::NEG_INFINITY] {
        array[3] = wrong;
        let at = array.as_ptr();
        calls.no_handle("losses", domain, |slot, e| unsafe { rigging_balance_losses(b, at, 8, slot, e) });
    }
    for wrong in [f64::NAN, f64::INFINITY] {
        array[7] = wrong;
        let at = array.as_ptr();
        calls.no_handle("order", domain, |slot, e| unsafe { rigging_balance_order(b, at, 8, 1e-9, slot, e) });
    }

    let tolerances = r#"{"stiffness": [0, 0, 0, 0], "mass": 0}"#;
    let (text, length) = (tolerances.as_ptr().cast(), tolerances.len());
    calls.no_handle("worst", no, |slot, e| unsafe { rigging_balance_worst(null(), text, length, slot, e) });
    calls.no_handle("worst", no, |slot, e| unsafe { rigging_balance_worst(b, null(), length, slot, e) });
    calls.refused("worst", no, |e| unsafe { rigging_balance_worst(b, text, length, null_mut(), e) });
    calls.no_handle("common_tolerance", no, |slot, e| unsafe {
        rigging_balance_common_tolerance(null(), 0, 1.25, 0.02, text, length, slot, e)
    });
    calls.no_handle("common_tolerance", no, |slot, e| unsafe {
        rigging_balance_common_tolerance(b, 0, 1.25, 0.02, null(), length, slot, e)
    });
    calls.no_handle("arrange", no, |slot, e| unsafe { rigging_balance_arrange(null(), at, at, 8, slot, e) });
    calls.no_handle("arrange", no, |slot, e| unsafe { rigging_balance_arrange(b, null(), at, 8, slot, e) });
    calls.no_handle("arrange", no, |slot, e| unsafe { rigging_balance_arrange(b, at, null(), 8, slot, e) });
    calls
        .no_handle("arrange", RIGGING_WRONG_COUNT, |slot, e| unsafe { rigging_balance_arrange(b, at, at, 7, slot, e) });

    let periods = |calls: &mut Calls, text: &str, status| {
        let at = text.as_ptr().cast();
        calls.no_handle("periods", status, |slot, e| unsafe { rigging_balance_periods(b, at, text.len(), 6, slot, e) });
    };
    let good = r#"{"moments": [4e3, 5e3, 6e3]}"#;
    periods(&mut calls, "", RIGGING_MALFORMED);
    periods(&mut calls, "[]", RIGGING_MALFORMED);
    periods(&mut calls, "{}", RIGGING_MISSING);
    periods(&mut calls, &format!(r#"{{"inertias": [{good}]}}"#), RIGGING_INCONSISTENT);
    periods(&mut calls, &format!(r#"{{"inertias": [{good}, {{"moments": [1, 1, 3]}}]}}"#), RIGGING_INCONSISTENT);
    periods(&mut calls, &format!(r#"{{"inertias": [{good}, {{"moments": [-1, 1, 1]}}]}}"#), RIGGING_OUT_OF_DOMAIN);
    periods(&mut calls, &format!(r#"{{"inertias": [{good}, {{"moments": [1, 1]}}]}}"#), RIGGING_MALFORMED);
    periods(&mut calls, &format!(r#"{{"inertias": [{good}, {good}], "excitation": []}}"#), RIGGING_UNKNOWN_KEY);
    let shaken = |range: &str| {
        format!(r#"{{"inertias": [{good}, {good}], "excitations": [{{"name": "n", {range}, "source": "s"}}]}}"#)
    };
    periods(&mut calls, &shaken(r#""shortest": 9, "longest": 3"#), RIGGING_OUT_OF_DOMAIN);
    periods(&mut calls, &shaken(r#""shortest": 0, "longest": 3"#), RIGGING_OUT_OF_DOMAIN);
    periods(&mut calls, &shaken(r#""shortest": 1"#), RIGGING_MISSING);
    let json = shaken(r#""shortest": 1, "longest": 3"#);
    let at = json.as_ptr().cast::<c_char>();
    calls.no_handle("periods", no, |slot, e| unsafe { rigging_balance_periods(null(), at, json.len(), 6, slot, e) });
    calls.no_handle("periods", no, |slot, e| unsafe { rigging_balance_periods(b, null(), 9, 6, slot, e) });
    calls.no_handle("periods", no, |slot, e| unsafe { rigging_balance_periods(b, at, usize::MAX, 6, slot, e) });
    calls.refused("periods", no, |e| unsafe { rigging_balance_periods(b, at, json.len(), 6, null_mut(), e) });
    let fine: Owned<rigging_answer> =
        made(|slot, e| unsafe { rigging_balance_periods(b, at, json.len(), usize::MAX, slot, e) });
    drop(fine);

    let mut rows = 0;
    ok(|e| unsafe { rigging_balance_parameter_count(b, &mut rows, e) });
    let mut matrix = vec![-7.0f64; rows * 8 + 1];
    let at = matrix.as_mut_ptr();
    for count in [0, 1, rows, rows * 8 - 1, rows * 8 + 1, usize::MAX] {
        calls.refused("matrix", RIGGING_WRONG_COUNT, |e| unsafe { rigging_balance_tension_matrix(b, at, count, e) });
    }
    calls.refused("matrix", no, |e| unsafe { rigging_balance_tension_matrix(b, null_mut(), rows * 8, e) });
    calls.refused("matrix", no, |e| unsafe { rigging_balance_tension_matrix(null(), at, rows * 8, e) });
    assert!(matrix.iter().all(|value| *value == -7.0));
    println!("{} hostile calls with questions", calls.0);
    assert!(calls.0 > 150);
}
