//! The main job through the C interface, against the core: the three demo lifts under the US rules.
//!
//! What the core gives stands in `tests/reference/first_light.txt` for the clients in the other languages to compare
//! with, bit for bit; this test holds that file to the core.
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing)]
#![allow(clippy::undocumented_unsafe_blocks, reason = "every call passes pointers to what stands in the same test")]

mod calls;

use calls::*;
use rigging::arrangement::*;
use rigging::checks::*;
use rigging::equilibrium::*;
use rigging::error::*;
use rigging::report::*;
use rigging_core::arrangement::Lift;
use rigging_core::checks::Verdict;
use rigging_core::report;
use rigging_core::rules::RuleSet;
use std::fmt::Write;
use std::ptr::null_mut;

const DOCUMENTS: [&str; 3] =
    ["generator-skid.json", "generator-skid-round-edge.json", "generator-skid-stiff-slings.json"];

const HEAD: &str =
    "# What Rust makes of the demo lifts under the rule set us-general, for clients in other languages to compare with.
# A regression value and no proof. One record a lift: its document, the verdict (0 pass, 1 fail, 2 cannot conclude), the
# nominal tension of each leg in N as the bits of a double in hexadecimal, and the first line of the report.
# Rewrite it: RIGGING_REWRITE=1 cargo test -p rigging-ffi --test first_light
";

/// The file as the core has it.
fn expected() -> String {
    let rules = RuleSet::built_in("us-general").unwrap();
    let mut text = HEAD.to_owned();
    for document in DOCUMENTS {
        let lift = Lift::from_json(&demo(document)).unwrap();
        let assessment = lift.assess(&rules).unwrap();
        let report = report::text(&assessment, &assessment.remedy(&lift).unwrap());
        let verdict = match assessment.verdict {
            Verdict::Pass => 0,
            Verdict::Fail => 1,
            Verdict::CannotConclude | Verdict::NotCovered => 2,
        };
        writeln!(text, "\nlift {document}\nverdict {verdict}").unwrap();
        for member in lift.solve().unwrap().members {
            writeln!(text, "tension {:016x}", member.tension.to_bits()).unwrap();
        }
        writeln!(text, "report {}", report.lines().next().unwrap()).unwrap();
    }
    text
}

#[test]
fn the_reference_of_the_clients_is_what_the_core_gives() {
    let path = repository().join("tests/reference/first_light.txt");
    let text = expected();
    if std::env::var("RIGGING_REWRITE").is_ok_and(|value| value == "1") {
        std::fs::write(&path, &text).unwrap();
    }
    assert_eq!(std::fs::read_to_string(&path).unwrap_or_default(), text);
}

#[test]
fn the_demo_lifts_give_the_same_through_the_boundary() {
    let rules = RuleSet::built_in("us-general").unwrap();
    let rules_handle = rule_set("us-general");
    let verdicts = [RIGGING_VERDICT_CANNOT_CONCLUDE, RIGGING_VERDICT_PASS, RIGGING_VERDICT_FAIL];
    for (document, expected) in DOCUMENTS.into_iter().zip(verdicts) {
        let lift = Lift::from_json(&demo(document)).unwrap();
        let handle = read_lift(&demo(document));
        assert_eq!(
            written(|b, c, l, e| unsafe { rigging_lift_to_json(handle.0, b, c, l, e) }),
            lift.to_json().unwrap()
        );

        let certificate = lift.solve().unwrap();
        let solved: Owned<rigging_certificate> =
            made(|slot, error| unsafe { rigging_lift_solve(handle.0, slot, error) });
        let mut tensions = vec![f64::NAN; certificate.members.len()];
        ok(|e| unsafe { rigging_certificate_tensions(solved.0, tensions.as_mut_ptr(), tensions.len(), e) });
        for (member, tension) in certificate.members.iter().zip(&tensions) {
            assert_eq!(member.tension.to_bits(), tension.to_bits());
        }
        let mut figures: rigging_certificate_figures = record();
        ok(|e| unsafe { rigging_certificate_tell(solved.0, &mut figures, e) });
        assert_eq!(figures.state, RIGGING_STATE_STABLE);
        assert_eq!(figures.residual_n.to_bits(), certificate.residual.to_bits());
        assert_eq!(figures.residual_over_weight.to_bits(), certificate.residual_over_weight.to_bits());
        assert_eq!(figures.residual_moment_n_m.to_bits(), certificate.residual_moment.to_bits());
        assert_eq!(figures.complementarity_j.to_bits(), certificate.complementarity.to_bits());
        assert_eq!((figures.negative_modes, figures.null_modes), (certificate.negative_modes, certificate.null_modes));
        assert_eq!((figures.iterations, figures.lowest), (certificate.iterations, i32::from(certificate.lowest)));
        let event = certificate.nearest_slack_event.unwrap();
        assert_eq!((figures.has_nearest_slack_event, figures.nearest_slack_member), (1, event.member));
        assert_eq!(figures.nearest_slack_distance_m.to_bits(), event.distance.to_bits());
        let mut eigenvalues = vec![f64::NAN; figures.eigenvalue_count];
        ok(|e| unsafe { rigging_certificate_eigenvalues(solved.0, eigenvalues.as_mut_ptr(), eigenvalues.len(), e) });
        assert_eq!(eigenvalues, certificate.eigenvalues);
        for (index, pose) in certificate.bodies.iter().enumerate() {
            let mut told: rigging_pose = record();
            ok(|e| unsafe { rigging_certificate_pose(solved.0, index, &mut told, e) });
            assert_eq!(told.center_of_gravity_m, pose.center_of_gravity.to_array());
            assert_eq!(told.position_m, pose.position.to_array());
            assert_eq!(told.rotation, pose.rotation.to_array());
            assert_eq!(told.up_in_body, pose.up_in_body.to_array());
            assert_eq!((told.tilt_rad, told.hook_in_body_m), (pose.tilt, pose.hook_in_body.to_array()));
        }
        for (index, member) in certificate.members.iter().enumerate() {
            let mut told: rigging_member = record();
            ok(|e| unsafe { rigging_certificate_member(solved.0, index, &mut told, e) });
            assert_eq!((told.tension_n, told.length_m, told.strain), (member.tension, member.length, member.strain));
            assert_eq!((told.slack, told.direction), (i32::from(member.slack), member.direction.to_array()));
        }
        for (index, force) in certificate.hooks.iter().enumerate() {
            let mut told = [f64::NAN; 3];
            ok(|e| unsafe { rigging_certificate_hook_force(solved.0, index, told.as_mut_ptr(), e) });
            assert_eq!(told, force.to_array());
        }

        let assessment = lift.assess(&rules).unwrap();
        let assessed: Owned<rigging_assessment> =
            made(|slot, error| unsafe { rigging_lift_assess(handle.0, rules_handle.0, slot, error) });
        let mut verdict = -1;
        ok(|e| unsafe { rigging_assessment_verdict(assessed.0, &mut verdict, e) });
        assert_eq!(verdict, expected);
        let mut count = 0;
        ok(|e| unsafe { rigging_assessment_leg_count(assessed.0, &mut count, e) });
        assert_eq!(count, assessment.legs.len());
        for (index, leg) in assessment.legs.iter().enumerate() {
            let mut told: rigging_leg = record();
            ok(|e| unsafe { rigging_assessment_leg(assessed.0, index, &mut told, e) });
            assert_eq!(string(told.name), leg.name);
            assert_eq!((told.nominal_n, told.worst_n, told.least_n), (leg.nominal, leg.worst, leg.least));
            assert_eq!((told.has_allowed == 1).then_some(told.allowed_n), leg.allowed);
            assert_eq!((told.has_utilization == 1).then_some(told.utilization), leg.utilization);
            assert_eq!(told.angle_from_vertical_rad, leg.angle_from_vertical);
        }
        ok(|e| unsafe { rigging_assessment_assumption_count(assessed.0, &mut count, e) });
        assert_eq!(count, assessment.assumptions.len());
        let report = report::text(&assessment, &assessment.remedy(&lift).unwrap());
        assert_eq!(written(|b, c, l, e| unsafe { rigging_assessment_report(assessed.0, b, c, l, e) }), report);
        let nominal: Owned<rigging_certificate> =
            made(|slot, error| unsafe { rigging_assessment_nominal(assessed.0, slot, error) });
        ok(|e| unsafe { rigging_certificate_tensions(nominal.0, tensions.as_mut_ptr(), tensions.len(), e) });
        let worst: Vec<f64> = assessment.legs.iter().map(|leg| leg.nominal).collect();
        assert_eq!(tensions, worst);
    }
    println!("{} demo lifts", DOCUMENTS.len());
}

#[test]
fn an_unstable_load_tells_where_it_would_go() {
    // The center of gravity is nearly as high as the hook, and only symmetry holds it.
    let text = demo("generator-skid-round-edge.json")
        .replace(r#"["0.45 m", "-0.12 m", "0.90 m"]"#, r#"["0 m", "0 m", "4.8 m"]"#);
    let certificate = Lift::from_json(&text).unwrap().solve().unwrap();
    let handle = read_lift(&text);
    let solved: Owned<rigging_certificate> = made(|slot, error| unsafe { rigging_lift_solve(handle.0, slot, error) });
    let mut figures: rigging_certificate_figures = record();
    ok(|e| unsafe { rigging_certificate_tell(solved.0, &mut figures, e) });
    assert_eq!((figures.state, figures.has_destination), (RIGGING_STATE_UNSTABLE, 1));
    assert!(figures.negative_modes > 0);
    let after: Owned<rigging_certificate> =
        made(|slot, error| unsafe { rigging_certificate_destination(solved.0, slot, error) });
    ok(|e| unsafe { rigging_certificate_tell(after.0, &mut figures, e) });
    let destination = certificate.destination.unwrap();
    assert_eq!(figures.residual_n, destination.residual);
    assert_eq!(figures.has_destination, i32::from(destination.destination.is_some()));
    if destination.destination.is_none() {
        let mut none = null_mut();
        assert_eq!(unsafe { rigging_certificate_destination(after.0, &mut none, null_mut()) }, RIGGING_NO_SUCH_ITEM);
        assert!(none.is_null());
    }
}

#[test]
fn a_document_is_refused_with_its_code_and_its_place() {
    let cases = [
        (r#"{"format": 1, "name": "x", "gravty": "9.81 m/s2"}"#, RIGGING_UNKNOWN_KEY, "/gravty"),
        (r#"{"format": 2}"#, RIGGING_NEWER_FORMAT, "/format"),
        (r#"{"format": 1,, }"#, RIGGING_MALFORMED, ""),
        ("", RIGGING_MALFORMED, ""),
    ];
    for (text, status, place) in cases {
        let mut lift = null_mut();
        let failure = failure(|e| unsafe { rigging_lift_from_json(text.as_ptr().cast(), text.len(), &mut lift, e) });
        assert_eq!((failure.code, failure.place.as_str()), (status, place), "{text}: {}", failure.message);
        assert!(lift.is_null());
    }
}
