//! Sharing rules compared through the C interface: the core's text to the byte, and refusals.
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing)]
#![allow(clippy::undocumented_unsafe_blocks, reason = "every call passes pointers to what stands in the same test")]

mod calls;

use calls::hostile::*;
use calls::*;
use rigging::demand::*;
use rigging::error::*;
use rigging_core::arrangement::Lift;
use rigging_core::demand::compare_sharing;
use rigging_core::report::json;
use std::ptr::{null, null_mut};

#[test]
fn a_comparison_is_that_of_the_core() {
    let text = demo("generator-skid.json");
    let (own, lift) = (Lift::from_json(&text).unwrap(), read_lift(&text));
    for angle in [None, Some(0.0), Some(0.48)] {
        let pointer = angle.as_ref().map_or(null(), std::ptr::from_ref);
        let through = answer(|a, e| unsafe { rigging_lift_compare_sharing(lift.0, pointer, a, e) });
        assert_eq!(json::answer(&compare_sharing(&own, angle).unwrap()).unwrap(), through);
    }
}

#[test]
fn what_cannot_be_compared() {
    let mut calls = Calls::default();
    let lift = read_lift(&demo("generator-skid.json"));
    let name = "compare_sharing";
    let no = RIGGING_NULL_ARGUMENT;
    calls.refused(name, no, |e| unsafe { rigging_lift_compare_sharing(lift.0, null(), null_mut(), e) });
    calls.no_handle(name, no, |slot, e| unsafe { rigging_lift_compare_sharing(null(), null(), slot, e) });
    for angle in [-0.1, 1.6, f64::NAN, f64::INFINITY] {
        calls.no_handle(name, RIGGING_OUT_OF_DOMAIN, |slot, e| unsafe {
            rigging_lift_compare_sharing(lift.0, &raw const angle, slot, e)
        });
    }
    for (text, code, place) in [
        (demo("panel-spreader.json"), RIGGING_UNSUPPORTED, "/spreaders"),
        (
            demo("generator-skid.json").replacen("\"30 mm\"", "\"unknown\"", 1),
            RIGGING_MISSING,
            "/slings/0/length/tolerance",
        ),
    ] {
        let lift = read_lift(&text);
        let failed = failure(|e| unsafe { rigging_lift_compare_sharing(lift.0, null(), &mut null_mut(), e) });
        assert_eq!((failed.code, failed.place.as_str()), (code, place));
    }
}
