//! What only a maker can say: asked by the name of the key that answers it, and used where it is stated.

use super::*;

const SKID: &str = "generator-skid-round-edge";

fn cited(value: Value) -> Value {
    json!({ "value": value, "source": "maker's letter L-8" })
}

/// Every sling of the skid with some keys set.
fn skid(keys: &[(&str, Value)]) -> Value {
    let mut document = patching::demo(SKID);
    for sling in 0..4 {
        for (key, value) in keys {
            patching::set(&mut document, &format!("/slings/{sling}/{key}"), value.clone());
        }
    }
    document
}

fn questions(document: &Value) -> Vec<String> {
    let assessment = assess(document, &built_in("us-general"));
    let asked =
        coded(&assessment, Code::NotConsidered).into_iter().filter(|finding| finding.text.contains("its maker"));
    asked.map(|finding| finding.text.to_string()).collect()
}

#[test]
fn each_material_is_asked_about_by_the_name_of_what_answers() {
    let keys = ["sunlight", "creep", "moisture", "twisting_possible"];
    for (material, construction, due) in [
        ("HMPE", "roundsling", &["sunlight", "creep"][..]),
        ("HMPE", "laid_rope", &["sunlight", "creep", "twisting_possible"]),
        ("polyester", "roundsling", &["sunlight"]),
        ("polyamide", "web", &["sunlight", "moisture"]),
        ("polypropylene", "braided_rope", &["sunlight"]),
        ("aramid", "roundsling", &["sunlight"]),
        ("steel", "wire_rope", &["twisting_possible"]),
        ("alloy steel", "chain", &[]),
    ] {
        let asked = questions(&skid(&[("material", json!(material)), ("construction", json!(construction))])).join(" ");
        for key in keys {
            assert_eq!(
                asked.contains(&format!("(\"{key}\")")),
                due.contains(&key),
                "{material} {construction}: {asked}"
            );
        }
    }
    // What is stated is asked no more.
    let answered =
        skid(&[("material", json!("HMPE")), ("sunlight", cited(json!("100 %"))), ("creep", cited(json!("0 %")))]);
    assert_eq!(questions(&answered), Vec::<String>::new());
}

#[test]
fn what_sunlight_leaves_lowers_the_rating() {
    let plain = assess(&patching::demo(SKID), &built_in("us-general"));
    let utilization =
        |assessment: &Assessment| of(assessment, Code::SlingStrength, "roundsling A").utilization.unwrap();
    for left in [100.0, 80.0, 25.0] {
        let assessment = assess(&skid(&[("sunlight", cited(json!(format!("{left} %"))))]), &built_in("us-general"));
        let (found, due) = (utilization(&assessment), utilization(&plain) / (left / 100.0));
        assert!((found - due).abs() < 1e-12, "{left}: {found} and {due}");
        let finding = of(&assessment, Code::SlingStrength, "roundsling A");
        assert!(
            finding.capacity.as_ref().unwrap().sources().any(|source| source.document.as_str() == "maker's letter L-8")
        );
        assert_eq!(finding.verdict, if due <= 1.0 { Verdict::Pass } else { Verdict::Fail });
    }
}

#[test]
fn what_a_lasting_load_adds_is_within_the_tolerance_of_the_length_or_not() {
    // Six meters, 30 mm of tolerance: half a percent.
    for (creep, verdict) in [("0.499 %", Verdict::Pass), ("0.501 %", Verdict::Fail), ("0 %", Verdict::Pass)] {
        let assessment = assess(&skid(&[("creep", cited(json!(creep)))]), &built_in("us-general"));
        let found = coded(&assessment, Code::Consistency);
        let of_creep: Vec<_> = found.iter().filter(|finding| finding.place.as_str().ends_with("/creep")).collect();
        assert_eq!((of_creep.len(), of_creep[0].verdict), (4, verdict), "{creep}");
    }
}

#[test]
fn chemicals_are_a_question_to_the_maker_of_every_item() {
    let mut document = patching::demo(SKID);
    patching::set(&mut document, "/environment/chemicals", json!(["caustic soda", "diesel"]));
    let assessment = assess(&document, &built_in("us-general"));
    let found = coded(&assessment, Code::Chemicals);
    // Four slings, four shackles.
    assert_eq!((found.len(), assessment.verdict), (8, Verdict::CannotConclude));
    let places: Vec<&str> = found.iter().flat_map(|finding| missing(finding)).collect();
    assert!(places.contains(&"/slings/0/withstands") && places.contains(&"/fittings/3/withstands"), "{places:?}");
    assert!(found[0].text.contains("caustic soda, diesel"), "{}", found[0].text);
    // One of two is half an answer.
    let half = |document: &mut Value, list: Value| {
        for kind in ["slings", "fittings"] {
            for index in 0..4 {
                patching::set(document, &format!("/{kind}/{index}/withstands"), cited(list.clone()));
            }
        }
    };
    half(&mut document, json!(["diesel"]));
    let assessment = assess(&document, &built_in("us-general"));
    let found = coded(&assessment, Code::Chemicals);
    assert!(found.iter().all(|finding| finding.verdict == Verdict::CannotConclude && !finding.text.contains("diesel")));
    half(&mut document, json!(["diesel", "caustic soda", "sea water"]));
    let assessment = assess(&document, &built_in("us-general"));
    assert!(coded(&assessment, Code::Chemicals).iter().all(|finding| finding.verdict == Verdict::Pass));
    assert_eq!(assessment.verdict, Verdict::Pass);
}

#[test]
fn answers_out_of_range_or_without_a_source_are_refused_with_their_place() {
    for (key, value, code, at) in [
        ("sunlight", cited(json!("0 %")), "out_of_domain", "/value"),
        ("sunlight", cited(json!("101 %")), "out_of_domain", "/value"),
        ("sunlight", json!({ "value": "50 %", "source": " " }), "missing", "/source"),
        ("creep", cited(json!("-1 %")), "out_of_domain", "/value"),
        ("creep", cited(json!("101 %")), "out_of_domain", "/value"),
        ("withstands", json!({ "value": ["acid"], "source": "" }), "missing", "/source"),
        ("withstands", cited(json!([" "])), "missing", "/value/0"),
    ] {
        let error = Lift::from_json(&skid(&[(key, value.clone())]).to_string()).unwrap_err();
        let place = format!("/slings/0/{key}{at}");
        assert_eq!((error.code(), error.place().as_str()), (code, place.as_str()), "{value}");
    }
}
