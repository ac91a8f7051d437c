//! Slings that pass over something through the C interface, against the core: answers, spans as members, findings, refusals.
//!
//! What the core answers stands in `tests/reference/running.json` for Python to compare with. A regression value and no proof.
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing)]
#![allow(clippy::undocumented_unsafe_blocks, reason = "every call passes pointers to what stands in the same test")]

mod calls;

use calls::*;
use rigging::equilibrium::*;
use rigging::error::*;
use rigging::report::*;
use rigging::statics::*;
use rigging_core::arrangement::Lift;
use rigging_core::report::json;
use serde_json::{Value, json};
use std::ptr::null_mut;

/// Lifts whose gear can be weighed: no joints, nothing that passes over anything.
const WEIGHED: [&str; 4] = ["frame-tall-item", "generator-skid", "panel-spreader", "vessel-two-cranes"];

const DOCUMENTS: [&str; 3] = ["deck-equalizing-sheave", "generator-skid", "pump-doubled-sling"];

#[test]
fn the_answers_are_those_of_the_core() {
    let mut answers = serde_json::Map::new();
    for document in DOCUMENTS {
        let text = demo(&format!("{document}.json"));
        let balance = Lift::from_json(&text).unwrap().hang().unwrap();
        let own = json::answer(&balance.running().unwrap()).unwrap();
        let handle = hang(&read_lift(&text));
        assert_eq!(own, answer(|a, e| unsafe { rigging_balance_running(handle.0, a, e) }), "{document}");
        let certificate: Owned<rigging_certificate> =
            made(|c, e| unsafe { rigging_balance_certificate(handle.0, c, e) });
        let mut figures: rigging_certificate_figures = record();
        ok(|e| unsafe { rigging_certificate_tell(certificate.0, &mut figures, e) });
        assert_eq!(figures.member_count, balance.legs().len());
        let mut tensions = vec![f64::NAN; balance.legs().len()];
        ok(|e| unsafe { rigging_certificate_tensions(certificate.0, tensions.as_mut_ptr(), tensions.len(), e) });
        let members: Vec<f64> = balance.certificate().members.iter().map(|member| member.tension).collect();
        assert_eq!(tensions, members);
        answers.insert(document.to_owned(), json!({"legs": balance.legs(), "tensions": members, "running": own}));
    }
    let table = json!({
        "about": "What Rust answers about slings that pass over something, each answer as its text, for other languages to compare with; rewritten by RIGGING_REWRITE=1 cargo test -p rigging-ffi --test running",
        "origin": "regression",
        "lifts": answers,
    });
    let text = serde_json::to_string_pretty(&table).unwrap() + "\n";
    let path = repository().join("tests/reference/running.json");
    if std::env::var("RIGGING_REWRITE").is_ok_and(|value| value == "1") {
        std::fs::write(&path, &text).unwrap();
    }
    println!("{} lifts compared, 0 skipped", DOCUMENTS.len());
    assert_eq!(std::fs::read_to_string(&path).unwrap_or_default(), text);
}

#[test]
fn own_weight_is_that_of_the_core() {
    for document in WEIGHED {
        let text = demo(&format!("{document}.json"));
        let own = Lift::from_json(&text).unwrap().hang().unwrap().own_weight().unwrap();
        let handle = hang(&read_lift(&text));
        let through = answer(|a, e| unsafe { rigging_balance_own_weight(handle.0, a, e) });
        assert_eq!(json::answer(&own).unwrap(), through, "{document}");
    }
    let without = demo("generator-skid.json").replacen("\"mass\": \"9 kg\"", "\"mass\": \"unknown\"", 1);
    let handle = hang(&read_lift(&without));
    let failed = failure(|e| unsafe { rigging_balance_own_weight(handle.0, &mut null_mut(), e) });
    assert_eq!((failed.code, failed.place.as_str()), (RIGGING_MISSING, "/slings/0/mass"));
    let handle = hang(&read_lift(&demo("pump-doubled-sling.json")));
    let failed = failure(|e| unsafe { rigging_balance_own_weight(handle.0, &mut null_mut(), e) });
    assert_eq!((failed.code, failed.place.as_str()), (RIGGING_UNSUPPORTED, "/legs/0/path"));
}

#[test]
fn other_questions_are_refused_where_lengths_would_be_taken_for_fixed() {
    let handle = hang(&read_lift(&demo("pump-doubled-sling.json")));
    let asked = [
        failure(|e| unsafe { rigging_balance_derivatives(handle.0, &mut null_mut(), e) }),
        failure(|e| unsafe { rigging_balance_margins(handle.0, &mut null_mut(), e) }),
        failure(|e| unsafe { rigging_balance_motions(handle.0, &mut null_mut(), e) }),
        failure(|e| unsafe { rigging_balance_others(handle.0, &mut null_mut(), e) }),
    ];
    for failed in asked {
        assert_eq!((failed.code, failed.place.as_str()), (RIGGING_UNSUPPORTED, "/legs/0/path"));
        assert!(failed.message.contains("doubled sling"), "{}", failed.message);
    }
}

#[test]
fn unknown_friction_is_asked_for_by_its_place() {
    let mut document: Value = serde_json::from_str(&demo("pump-doubled-sling.json")).unwrap();
    document.pointer_mut("/legs/0/path/1/over").unwrap().as_object_mut().unwrap().remove("friction");
    let lift = read_lift(&document.to_string());
    let running: Value =
        serde_json::from_str(&answer(|a, e| unsafe { rigging_balance_running(hang(&lift).0, a, e) })).unwrap();
    assert_eq!((&running["limits"], &running["legs"][0]["sliding"]), (&Value::Null, &json!("unknown")));
    let assessment = assess(&lift, "us-general");
    let text = written(|b, n, l, e| unsafe { rigging_assessment_to_json(assessment.0, b, n, l, e) });
    let record: Value = serde_json::from_str(&text).unwrap();
    assert_eq!(record["verdict"], "cannot_conclude");
    let missing = record["findings"].as_array().unwrap().iter().flat_map(|finding| {
        finding["missing"].as_array().cloned().unwrap_or_default().into_iter().map(|missing| missing["place"].clone())
    });
    assert!(missing.into_iter().any(|place| place == "/legs/0/path/1/over/friction"));
}
