//! Working coefficients: above persons they are doubled, and what settles them may not be stated.

use super::finding::{assess, built_in, changed, of};
use rigging_core::checks::{Assessment, Code, Verdict};
use serde_json::{Value, json};

const SKID: &str = "generator-skid-round-edge";

/// The texts of what keeps markings from standing.
fn told(assessment: &Assessment) -> Vec<String> {
    let found = of(assessment, Code::Consistency).into_iter();
    let found = found.filter(|finding| finding.verdict == Verdict::CannotConclude);
    let found = found.filter(|finding| !finding.text.starts_with("axial stiffness"));
    found.map(|finding| format!("{} {:?}", finding.text, finding.missing)).collect()
}

/// The skid on the same sling in every leg, with changes of the operation.
fn on(sling: &[(&str, Value)], operation: &[(&str, Value)], rules: &str) -> Vec<String> {
    let of_slings = (0..4)
        .flat_map(|index| sling.iter().map(move |(key, value)| (format!("/slings/{index}/{key}"), value.clone())));
    let of_operation = operation.iter().map(|(key, value)| (format!("/operation/{key}"), value.clone()));
    let changes: Vec<_> = of_slings.chain(of_operation).collect();
    let changes: Vec<_> = changes.iter().map(|(pointer, value)| (pointer.as_str(), value.clone())).collect();
    told(&assess(&changed(SKID, &changes), &built_in(rules)))
}

/// DGUV Information 215-313, Table 1: 14 instead of 7 for roundslings of textile.
#[test]
fn above_persons_a_marking_holds_only_if_the_breaking_load_covers_twice_the_coefficient() {
    let below = [("persons_below", json!(true))];
    let nobody = [("persons_below", json!(false))];
    let marked = |breaking: &str| [("strength/breaking_load", json!(breaking))];
    for (breaking, operation, findings) in [
        ("84 t", &nobody, 0),
        ("unknown", &nobody, 0),
        ("84 t", &below, 4),
        ("unknown", &below, 4),
        ("167.9 t", &below, 4),
        ("168 t", &below, 0),
    ] {
        let found = on(&marked(breaking), operation, "de-general");
        assert_eq!(found.len(), findings, "{breaking}: {found:?}");
        for told in &found {
            assert!(told.contains("coefficient of 7, and 14 is asked for here"), "{told}");
        }
    }
    // What is not stated may be so.
    for breaking in ["84 t", "unknown"] {
        let found = on(&marked(breaking), &[("persons_below", json!("unknown"))], "de-general");
        assert!(found.len() == 4 && found.iter().all(|told| told.contains("persons_below")), "{found:?}");
        assert_eq!(on(&marked(breaking), &[("persons_below", json!("unknown"))], "eu-general"), Vec::<String>::new());
    }
}

/// ISO 18264 as described: 7 in the European Union; what holds elsewhere was not seen.
#[test]
fn a_coefficient_that_hangs_on_the_region_is_asked_for() {
    let rope = |strength: &str| {
        vec![
            ("construction", json!("braided_rope")),
            ("material", json!("HMPE")),
            ("diameter", json!("24 mm")),
            ("termination", json!("hand_splice")),
            ("strength/breaking_load", json!(strength)),
        ]
    };
    let region = |word: &str| [("region", json!(word)), ("persons_below", json!(false))];
    for breaking in ["84 t", "unknown"] {
        assert_eq!(on(&rope(breaking), &region("EU"), "eu-general"), Vec::<String>::new());
        for (word, key) in [("unknown", "region"), ("US", "was not seen")] {
            let found = on(&rope(breaking), &region(word), "eu-general");
            assert!(found.len() == 4 && found.iter().all(|told| told.contains(key)), "{word}: {found:?}");
        }
        let mut own = rope(breaking);
        own.push(("least_safety_factor", json!({ "value": 7.0, "source": "data sheet 3" })));
        assert_eq!(on(&own, &region("US"), "eu-general"), Vec::<String>::new());
    }
}
