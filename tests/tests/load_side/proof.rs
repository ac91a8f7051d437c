//! Proof loads as stated against those of the rule set, and what rules ask of region and persons below.

use super::*;

const SKID: &str = "generator-skid-round-edge";

fn told(document: &Value, rules: &RuleSet) -> Vec<Finding> {
    let assessment = assess(document, rules);
    let found = coded(&assessment, Code::Consistency).into_iter();
    found
        .filter(|finding| {
            finding.place.as_str().ends_with("/proof_load")
                || missing(finding).iter().any(|place| place.ends_with("/rating/wll"))
        })
        .cloned()
        .collect()
}

#[test]
fn a_shackle_is_proved_to_no_less_and_no_more_than_the_document_says() {
    // Marked 13.5 t. B30.26 as printed: no less than 2 and no more than 2.2 times; 0027/ND: twice up to 25 t.
    let with = |proof: &str| {
        let mut document = patching::demo(SKID);
        patching::set(&mut document, "/fittings/0/rating/proof_load", json!(proof));
        document
    };
    assert!(
        told(&patching::demo(SKID), &built_in("asme-b30-26")).is_empty(),
        "what is not stated is not held against anything"
    );
    for (rules, proof, verdicts) in [
        ("asme-b30-26", "27.01 t", [Verdict::Pass, Verdict::Pass]),
        ("asme-b30-26", "26.99 t", [Verdict::Fail, Verdict::Pass]),
        ("asme-b30-26", "29.69 t", [Verdict::Pass, Verdict::Pass]),
        ("asme-b30-26", "29.71 t", [Verdict::Pass, Verdict::Fail]),
    ] {
        let found = told(&with(proof), &built_in(rules));
        let mut sorted: Vec<Verdict> = verdicts.to_vec();
        let mut seen: Vec<Verdict> = found.iter().map(|finding| finding.verdict).collect();
        sorted.sort_by_key(|verdict| *verdict == Verdict::Pass);
        seen.sort_by_key(|verdict| *verdict == Verdict::Pass);
        assert_eq!(seen, sorted, "{rules}, {proof}: {found:?}");
        assert!(found.iter().all(|finding| finding.demand.as_ref().unwrap().is_coherent()));
    }
    for (proof, verdict) in [("27 t", Verdict::Pass), ("26.9 t", Verdict::Fail)] {
        let found = told(&with(proof), &built_in("marine-0027-nd-2016-further"));
        assert_eq!((found.len(), found[0].verdict), (1, verdict), "{proof}");
        assert_eq!(found[0].source.as_ref().unwrap().clause.as_str(), "14.4.2");
    }
    let mut unmarked = with("27 t");
    patching::remove(&mut unmarked, "/fittings/0/rating/wll");
    let found = told(&unmarked, &built_in("marine-0027-nd-2016-further"));
    assert_eq!((found[0].verdict, missing(&found[0])), (Verdict::CannotConclude, vec!["/fittings/0/rating/wll"]));
}

/// The skid on ropes of HMPE, rated by the breaking load.
fn ropes() -> Value {
    let mut document = patching::demo(SKID);
    for sling in 0..4 {
        for (key, value) in [
            ("material", json!("HMPE")),
            ("construction", json!("braided_rope")),
            ("termination", json!("hand_splice")),
            ("diameter", json!("26 mm")),
            ("reference_number", json!(26)),
        ] {
            patching::set(&mut document, &format!("/slings/{sling}/{key}"), value);
        }
    }
    document
}

fn by_breaking_load() -> RuleSet {
    RuleSet::from_toml(&format!(
        "format = 1\nname = \"own-hmpe\"\ntitle = \"Ropes of HMPE at Hollow Ford\"\nedition = \"2026\"\nstatus = \"in force\"\n[[source]]\nid \
         = \"own\"\ndocument = \"Hollow Ford lifting instruction\"\nstanding = \"stated\"\n{}[[rule]]\nanswers = \"rating basis\"\nname = \"by \
         the breaking load\"\nrelation = \"words\"\nwords = [\"breaking load divided by factor\"]\nsource = \"own\"\nclause = \
         \"2\"\n[[include]]\ndocument = \"eu-iso-18264\"\n",
        applies("own")
    ))
    .unwrap_or_else(|error| panic!("{error}"))
}

#[test]
fn the_region_decides_the_design_factor_of_ropes_of_hmpe() {
    let rules = by_breaking_load();
    let strength = |document: &Value| of(&assess(document, &rules), Code::SlingStrength, "roundsling A").clone();
    let open = strength(&ropes());
    assert_eq!((open.verdict, missing(&open)), (Verdict::CannotConclude, vec!["/operation/region"]));
    let in_region = |word: &str| {
        let mut document = ropes();
        patching::set(&mut document, "/operation/region", json!(word));
        document
    };
    // 84 t of breaking load over 7.
    let capacity = strength(&in_region("EU")).capacity.unwrap();
    assert!((capacity.value() - 84_000.0 * GRAVITY / 7.0).abs() < 1e-6);
    for word in ["UK", "US", "Australia", "elsewhere"] {
        let finding = strength(&in_region(word));
        assert_eq!(finding.verdict, Verdict::CannotConclude, "{word}");
        assert!(finding.text.contains("was not seen"), "{}", finding.text);
    }
    let error = Lift::from_json(&in_region("Mars").to_string()).unwrap_err();
    assert_eq!(error.place().as_str(), "/operation/region");
    // The standard is for ropes from reference number 12.
    let covered = |number: Value| {
        let mut document = in_region("EU");
        patching::set(&mut document, "/slings/0/reference_number", number);
        strength(&document).verdict
    };
    assert_eq!((covered(json!(12)), covered(json!(11))), (Verdict::Pass, Verdict::CannotConclude));
}

#[test]
fn persons_below_raise_the_coefficient() {
    let mut document = patching::demo(SKID);
    patching::set(&mut document, "/operation/persons_below", json!("unknown"));
    let rules = RuleSet::from_toml(&format!(
        "format = 1\nname = \"own-persons\"\ntitle = \"Loads above persons at Hollow Ford\"\nedition = \"2026\"\nstatus = \"in \
         force\"\n[[source]]\nid = \"own\"\ndocument = \"Hollow Ford lifting instruction\"\nstanding = \"stated\"\n{}[[rule]]\nanswers = \
         \"rating basis\"\nname = \"by the breaking load\"\nrelation = \"words\"\nwords = [\"breaking load divided by factor\"]\nsource = \
         \"own\"\nclause = \"2\"\n[[rule]]\nanswers = \"applies to gear\"\nname = \"roundslings\"\nwhen = {{ construction = \"roundsling\" \
         }}\nrelation = \"applies\"\nsource = \"own\"\nclause = \"2\"\n[[include]]\ndocument = \"de-dguv-215-313\"\n",
        applies("own")
    ))
    .unwrap_or_else(|error| panic!("{error}"));
    let strength = |document: &Value| of(&assess(document, &rules), Code::SlingStrength, "roundsling A").clone();
    let open = strength(&document);
    assert_eq!((open.verdict, missing(&open)), (Verdict::CannotConclude, vec!["/operation/persons_below"]));
    patching::set(&mut document, "/operation/persons_below", json!(true));
    // 84 t over 14 is 6 t.
    assert!((strength(&document).capacity.unwrap().value() - 6_000.0 * GRAVITY).abs() < 1e-6);
}
