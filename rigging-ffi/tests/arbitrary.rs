//! Properties of the boundary: whatever bytes, sizes, indices and counts come in, every call returns a status that has a
//! name, writes nothing on failure and never beyond what the caller said there is, and never stops inside.
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing)]
#![allow(clippy::undocumented_unsafe_blocks, reason = "every call passes pointers to what stands in the same test")]

mod calls;

use calls::*;
use proptest::collection::vec;
use proptest::prelude::*;
use proptest::test_runner::RngSeed;
use rigging::arrangement::*;
use rigging::chain::*;
use rigging::checks::finding::*;
use rigging::checks::remedy::*;
use rigging::checks::*;
use rigging::equilibrium::*;
use rigging::error::*;
use rigging::report::*;
use rigging::rules::*;
use std::cell::Cell;
use std::mem::offset_of;
use std::ptr::null_mut;
use std::sync::OnceLock;

/// The status has a name, and the library did not stop inside.
fn known(status: i32) -> i32 {
    assert!(STATUSES.iter().any(|(number, _)| *number == status), "status {status}");
    assert!(![RIGGING_INTERNAL, RIGGING_UNCONVERGED].contains(&status), "status {status}");
    status
}

type Read<T> = unsafe extern "C" fn(*const std::ffi::c_char, usize, *mut *mut T, *mut rigging_error) -> i32;

/// Reads bytes; a handle stands there exactly when the call says so.
fn read<T: Handle>(bytes: &[u8], read: Read<T>) -> Option<Owned<T>> {
    let mut slot = null_mut();
    let status = known(unsafe { read(bytes.as_ptr().cast(), bytes.len(), &mut slot, null_mut()) });
    assert_eq!(status == RIGGING_OK, !slot.is_null());
    (!slot.is_null()).then(|| Owned(slot))
}

/// Everything that can be asked of a lift that was read.
fn use_up(lift: &Owned<rigging_lift>) {
    let mut certificate = null_mut();
    if known(unsafe { rigging_lift_solve(lift.0, &mut certificate, null_mut()) }) == RIGGING_OK {
        let certificate = Owned(certificate);
        written(|b, n, l, e| unsafe { rigging_certificate_to_json(certificate.0, b, n, l, e) });
    } else {
        assert!(certificate.is_null());
    }
    let rules = rules();
    let mut assessment = null_mut();
    if known(unsafe { rigging_lift_assess(lift.0, rules.0, &mut assessment, null_mut()) }) == RIGGING_OK {
        let assessment = Owned(assessment);
        written(|b, n, l, e| unsafe { rigging_assessment_to_json(assessment.0, b, n, l, e) });
    } else {
        assert!(assessment.is_null());
    }
}

struct Shared<T: Handle>(Owned<T>);
// SAFETY: handles never change, so threads may share them.
unsafe impl<T: Handle> Sync for Shared<T> {}
// SAFETY: as above.
unsafe impl<T: Handle> Send for Shared<T> {}

fn rules() -> &'static Owned<rigging_rule_set> {
    static RULES: OnceLock<Shared<rigging_rule_set>> = OnceLock::new();
    &RULES.get_or_init(|| Shared(rule_set("us-general"))).0
}

fn assessment() -> &'static Owned<rigging_assessment> {
    static ASSESSMENT: OnceLock<Shared<rigging_assessment>> = OnceLock::new();
    &ASSESSMENT.get_or_init(|| Shared(assess_under(&read_lift(&with_contingency()), &read_rules(&firm_rules())))).0
}

fn certificate() -> &'static Owned<rigging_certificate> {
    static CERTIFICATE: OnceLock<Shared<rigging_certificate>> = OnceLock::new();
    &CERTIFICATE
        .get_or_init(|| Shared(made(|slot, e| unsafe { rigging_assessment_nominal(assessment().0, slot, e) })))
        .0
}

/// A change to a text: where, how many bytes go, and what comes in.
fn change() -> impl Strategy<Value = (f64, usize, Vec<u8>)> {
    let figures = prop::sample::select(vec!["0", "-1", "1e308", "1e-300", "NaN", "null", "\"\"", "{", "]", ",", "\0"]);
    let piece = prop_oneof![figures.prop_map(|text| text.as_bytes().to_vec()), vec(any::<u8>(), 0..4)];
    (0.0..1.0f64, prop_oneof![Just(0usize), Just(1), 0usize..40], piece)
}

fn changed(text: &str, changes: &[(f64, usize, Vec<u8>)]) -> Vec<u8> {
    let mut bytes = text.as_bytes().to_vec();
    for (at, gone, piece) in changes {
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a fraction of a length")]
        let start = (at * bytes.len() as f64) as usize;
        let end = (start + gone).min(bytes.len());
        bytes.splice(start..end, piece.iter().copied());
    }
    bytes
}

/// Numbers in the document put in the place of others: it mostly stays readable.
fn renumbered(text: &str, picks: &[(f64, f64)]) -> String {
    let mut text = text.to_owned();
    for (at, value) in picks {
        let starts: Vec<usize> = text.match_indices(|c: char| c.is_ascii_digit()).map(|(index, _)| index).collect();
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a fraction of a count")]
        let start = starts[((at * starts.len() as f64) as usize).min(starts.len() - 1)];
        let length = text[start..].find(|c: char| !c.is_ascii_digit() && c != '.').unwrap();
        text.replace_range(start..start + length, &value.to_string());
    }
    text
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 512, failure_persistence: None, rng_seed: RngSeed::Fixed(2), ..ProptestConfig::default() })]

    #[test]
    fn any_bytes_as_a_document_and_as_rules(bytes in vec(any::<u8>(), 0..600)) {
        read::<rigging_lift>(&bytes, rigging_lift_from_json);
        read::<rigging_rule_set>(&bytes, rigging_rule_set_from_toml);
        read::<rigging_rule_set>(&bytes, rigging_rule_set_built_in);
    }

    #[test]
    fn any_text_as_a_document_and_as_rules(text in "[\\[\\]{}\":,=a-z0-9. \\n\\\\-]{0,200}") {
        read::<rigging_lift>(text.as_bytes(), rigging_lift_from_json);
        read::<rigging_rule_set>(text.as_bytes(), rigging_rule_set_from_toml);
    }

    #[test]
    fn a_document_with_bytes_changed(changes in vec(change(), 1..4)) {
        let bytes = changed(&demo("generator-skid.json"), &changes);
        if let Some(lift) = read::<rigging_lift>(&bytes, rigging_lift_from_json) {
            use_up(&lift);
        }
    }

    #[test]
    fn rules_with_bytes_changed(changes in vec(change(), 1..4)) {
        let bytes = changed(&firm_rules(), &changes);
        if let Some(rules) = read::<rigging_rule_set>(&bytes, rigging_rule_set_from_toml) {
            let lift = read_lift(&with_contingency());
            let mut assessment = null_mut();
            let status = known(unsafe { rigging_lift_assess(lift.0, rules.0, &mut assessment, null_mut()) });
            prop_assert_eq!(status == RIGGING_OK, !assessment.is_null());
            unsafe { rigging_assessment_free(assessment) };
        }
    }

    #[test]
    fn structs_of_any_size(told in prop_oneof![0u32..512, any::<u32>()], index in 0usize..4, kind in 0usize..12) {
        let (a, c) = (assessment().0, certificate().0);
        let side = RIGGING_SIDE_DEMAND;
        macro_rules! filled {
            ($type:ty, $call:expr) => {
                filled!($type, size_of::<$type>(), $call)
            };
            // A struct that has grown since it had this size.
            ($type:ty, $first:expr, $call:expr) => {{
                let mut area = [0xAAAA_AAAA_AAAA_AAAAu64; 64];
                prop_assert!(size_of::<$type>() < size_of_val(&area));
                let start = area.as_mut_ptr();
                unsafe { start.cast::<u32>().write(told) };
                let before = area;
                let start = area.as_mut_ptr();
                let status = known(unsafe { $call(start.cast::<$type>(), null_mut()) });
                let bytes = |area: &[u64; 64]| area.iter().flat_map(|word| word.to_ne_bytes()).collect::<Vec<u8>>();
                let told = usize::try_from(told).unwrap();
                if status == RIGGING_OK {
                    prop_assert!(told >= $first);
                    prop_assert!(bytes(&area)[told.min(size_of::<$type>())..].iter().all(|byte| *byte == 0xAA));
                    prop_assert!(bytes(&area)[4..$first].iter().any(|byte| *byte != 0xAA));
                } else {
                    prop_assert_eq!(area, before);
                    prop_assert_eq!(status == RIGGING_WRONG_SIZE, told < $first);
                }
                prop_assert_eq!(bytes(&area)[..4].to_vec(), bytes(&before)[..4].to_vec());
            }};
        }
        match kind {
            0 => filled!(rigging_rule_set_identity, |r, e| rigging_rule_set_identify(rules().0, r, e)),
            1 => {
                let first = offset_of!(rigging_certificate_figures, joint_count);
                filled!(rigging_certificate_figures, first, |r, e| rigging_certificate_tell(c, r, e));
            }
            2 => filled!(rigging_pose, |r, e| rigging_certificate_pose(c, index, r, e)),
            3 => filled!(rigging_member, |r, e| rigging_certificate_member(c, index, r, e)),
            4 => filled!(rigging_leg, |r, e| rigging_assessment_leg(a, index, r, e)),
            5 => filled!(rigging_assumption, |r, e| rigging_assessment_assumption(a, index, r, e)),
            6 => filled!(rigging_finding, |r, e| rigging_assessment_finding(a, index, r, e)),
            7 => filled!(rigging_missing_input, |r, e| rigging_assessment_missing(a, index, 0, r, e)),
            8 => filled!(rigging_chain, |r, e| rigging_assessment_chain(a, index, side, r, e)),
            9 => filled!(rigging_step, |r, e| rigging_assessment_step(a, 0, side, index, r, e)),
            10 => filled!(rigging_input, |r, e| rigging_assessment_input(a, 0, side, index, 0, r, e)),
            _ => filled!(rigging_branch, |r, e| rigging_assessment_branch(a, 0, side, index, 0, r, e)),
        }
    }

    #[test]
    fn any_index_and_any_side(finding in any::<usize>(), side in any::<i32>(), step in any::<usize>(), index in any::<usize>()) {
        let a = assessment().0;
        let small = |index: usize| [index, index % 16];
        for (finding, step) in small(finding).into_iter().zip(small(step)) {
            for side in [side, side.rem_euclid(2)] {
                for index in small(index) {
                    let mut input: rigging_input = record();
                    known(unsafe { rigging_assessment_input(a, finding, side, step, index, &mut input, null_mut()) });
                    let mut branch: rigging_branch = record();
                    known(unsafe { rigging_assessment_branch(a, finding, side, step, index, &mut branch, null_mut()) });
                    let mut missing: rigging_missing_input = record();
                    known(unsafe { rigging_assessment_missing(a, finding, index, &mut missing, null_mut()) });
                    known(unsafe { rigging_assessment_remedy_missing(a, index, &mut missing, null_mut()) });
                }
                let mut told: rigging_step = record();
                known(unsafe { rigging_assessment_step(a, finding, side, step, &mut told, null_mut()) });
                let mut chain: rigging_chain = record();
                known(unsafe { rigging_assessment_chain(a, finding, side, &mut chain, null_mut()) });
            }
        }
    }

    #[test]
    fn buffers_and_arrays_of_any_size(capacity in prop_oneof![0usize..20_000, any::<usize>()], count in any::<usize>()) {
        let a = assessment().0;
        let mut length = 0;
        ok(|e| unsafe { rigging_assessment_report(a, null_mut(), capacity, &mut length, e) });
        let needed = length + 1;
        let mut buffer = vec![0xAAu8; needed + 64];
        length = 77;
        let at = buffer.as_mut_ptr().cast();
        let status = known(unsafe { rigging_assessment_report(a, at, capacity, &mut length, null_mut()) });
        prop_assert_eq!(status == RIGGING_OK, capacity >= needed);
        if status == RIGGING_OK {
            prop_assert!(length + 1 == needed && buffer[length] == 0);
        } else {
            prop_assert!(length == 77 && buffer.iter().all(|byte| *byte == 0xAA));
        }
        prop_assert!(buffer[needed..].iter().all(|byte| *byte == 0xAA));
        let mut tensions = [-7.0f64; 4];
        let at = tensions.as_mut_ptr();
        let status = known(unsafe { rigging_certificate_tensions(certificate().0, at, count, null_mut()) });
        prop_assert_eq!(status == RIGGING_OK, count == 4);
        prop_assert_eq!(tensions == [-7.0; 4], count != 4);
    }
}

#[test]
fn a_document_with_other_numbers() {
    let read_through = Cell::new(0usize);
    let cases = 512;
    let mut runner = proptest::test_runner::TestRunner::new(ProptestConfig {
        cases,
        failure_persistence: None,
        rng_seed: RngSeed::Fixed(3),
        ..ProptestConfig::default()
    });
    let figure = prop_oneof![Just(0.0), Just(1e-3), Just(1e12), 0.0..100.0f64, 0.1..10.0f64];
    let outcome = runner.run(&vec((0.0..1.0f64, figure), 1..6), |picks| {
        let text = renumbered(&demo("generator-skid-round-edge.json"), &picks);
        if let Some(lift) = read::<rigging_lift>(text.as_bytes(), rigging_lift_from_json) {
            read_through.set(read_through.get() + 1);
            use_up(&lift);
        }
        Ok(())
    });
    if let Err(error) = outcome {
        panic!("{error}");
    }
    println!("{cases} documents with other numbers, {} read, hung and assessed", read_through.get());
    assert!(read_through.get() > 100);
}
