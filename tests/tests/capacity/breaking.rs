//! Slings rated by their breaking load: never above what is marked on them.

use super::finding::{GRAVITY, assess, built_in, capacity, changed, first, of, own};
use super::patching::remove;
use approx::assert_relative_eq;
use rigging_core::checks::{Code, Verdict};
use rigging_core::rules::RuleSet;
use serde_json::{Value, json};

const MARINE: &str = "marine-0027-nd-2016";
const TONNE: f64 = 1e3 * GRAVITY;

/// A firm's own rule: breaking load over six, in every hitch; a choke bears three quarters, a basket twice.
fn sixth() -> RuleSet {
    let rules = r#"
[[rule]]
answers = "rating basis"
name = "by the breaking load"
relation = "words"
words = ["breaking load divided by factor"]
source = "note"
clause = "2"

[[rule]]
answers = "design factor"
name = "design factor"
relation = "constant"
value = 6
source = "note"
clause = "3"

[[rule]]
answers = "hitch factor"
name = "factor of a choke"
when = { hitch = "choker" }
relation = "constant"
value = 0.75
source = "note"
clause = "4"

[[rule]]
answers = "hitch factor"
name = "factor of a basket"
when = { hitch = "parallel basket" }
relation = "constant"
value = 2
source = "note"
clause = "4"
"#;
    own("sixth", "", rules)
}

/// The skid on slings with this strength, and this on their tags.
fn skid(strength: &Value, shown: Option<&str>) -> Value {
    let mut changes = Vec::new();
    for sling in 0..4 {
        changes.push((format!("/slings/{sling}/strength"), strength.clone()));
        let tag = shown.map_or(json!({ "legible": true }), |shown| json!({ "legible": true, "wll": shown }));
        changes.push((format!("/slings/{sling}/tag"), tag));
    }
    let changes: Vec<_> = changes.iter().map(|(pointer, value)| (pointer.as_str(), value.clone())).collect();
    changed("generator-skid", &changes)
}

#[test]
fn a_breaking_load_lets_no_sling_bear_more_than_its_marking() {
    let rated = |strength: Value, shown: Option<&str>| {
        let assessment = assess(&skid(&strength, shown), &sixth());
        let finding = first(&assessment, Code::SlingStrength);
        assert!(finding.capacity.as_ref().unwrap().is_coherent());
        (capacity(finding) / TONNE, finding.verdict)
    };
    let strength =
        |wll: &str| json!({ "wll": wll, "breaking_load": "84 t", "basis": "whole", "source": "tag and certificate" });
    let unmarked = json!({ "breaking_load": "84 t", "basis": "whole", "source": "certificate" });
    // 84 t over six are 14 t.
    for (wll, due) in [("12 t", 12.0), ("13.9 t", 13.9), ("14 t", 14.0), ("15 t", 14.0), ("4 t", 4.0)] {
        let (found, verdict) = rated(strength(wll), Some(wll));
        assert_relative_eq!(found, due, max_relative = 1e-12);
        assert_eq!(verdict == Verdict::Fail, due < 5.0, "{wll}");
    }
    assert_relative_eq!(rated(unmarked.clone(), None).0, 14.0, max_relative = 1e-12);
    // What only the tag shows is a marking too.
    assert_relative_eq!(rated(unmarked, Some("12 t")).0, 12.0, max_relative = 1e-12);
}

#[test]
fn a_marking_below_partial_factors_bounds_the_rating() {
    const OFFSHORE: &str = "tool-skid-offshore";
    let marked = |wll: Option<&str>| {
        let mut document = changed(OFFSHORE, &[]);
        for sling in 0..4 {
            if let Some(wll) = wll {
                document["slings"][sling]["strength"]["wll"] = json!(wll);
                document["slings"][sling]["tag"]["wll"] = json!(wll);
            }
        }
        let assessment = assess(&document, &built_in(MARINE));
        let found = of(&assessment, Code::SlingStrength);
        assert_eq!(found.len(), 4);
        (capacity(found[0]), found[0].verdict, assessment.verdict)
    };
    let (by_factors, ..) = marked(None);
    assert!(by_factors > 24.0 * TONNE && by_factors < 25.0 * TONNE, "{by_factors}");
    // The legs pull 18.1 t.
    assert_eq!(marked(None).2, Verdict::Pass);
    assert_eq!(marked(Some("30 t")), marked(None));
    let (found, verdict, lift) = marked(Some("22 t"));
    assert_relative_eq!(found, 22.0 * TONNE, max_relative = 1e-12);
    assert_eq!((verdict, lift), (Verdict::Pass, Verdict::Pass));
    let (found, verdict, lift) = marked(Some("4 t"));
    assert_relative_eq!(found, 4.0 * TONNE, max_relative = 1e-12);
    assert_eq!((verdict, lift), (Verdict::Fail, Verdict::Fail));
}

#[test]
fn a_marking_of_a_part_is_brought_to_the_whole_as_the_breaking_load_is() {
    const GROMMETS: &str = "module-hmpe-grommets";
    let rated = |basis: &str, wll: Option<&str>| {
        let mut changes = Vec::new();
        for sling in 0..4 {
            changes.push((format!("/slings/{sling}/strength/basis"), json!(basis)));
            changes.extend(wll.map(|wll| (format!("/slings/{sling}/strength/wll"), json!(wll))));
        }
        let changes: Vec<_> = changes.iter().map(|(pointer, value)| (pointer.as_str(), value.clone())).collect();
        capacity(first(&assess(&changed(GROMMETS, &changes), &built_in(MARINE)), Code::SlingStrength))
    };
    assert_relative_eq!(rated("whole", Some("100 t")), 100.0 * TONNE, max_relative = 1e-12);
    // The busier part bears 55 of 100.
    assert_relative_eq!(rated("part", Some("100 t")), 100.0 * TONNE / 0.55, max_relative = 1e-12);
    assert_relative_eq!(rated("whole", Some("900 t")), rated("whole", None), max_relative = 1e-12);
}

#[test]
fn a_marking_for_a_choke_bounds_what_the_breaking_load_allows_choked() {
    let rated = |keys: &[(&str, Value)]| {
        let mut document = changed("lay-down-pipes-choked", &[]);
        for sling in 0..2 {
            remove(&mut document, &format!("/slings/{sling}/strength/wll"));
            document["slings"][sling]["tag"] = json!({ "legible": true });
            for (key, value) in keys {
                document["slings"][sling]["strength"][key] = value.clone();
            }
        }
        capacity(first(&assess(&document, &sixth()), Code::SlingStrength)) / TONNE
    };
    // 28 t over six, three quarters of it choked: 3.5 t; of a marking of 4 t: 3 t.
    assert_relative_eq!(rated(&[]), 3.5, max_relative = 1e-12);
    assert_relative_eq!(rated(&[("wll", json!("4 t"))]), 3.0, max_relative = 1e-12);
    assert_relative_eq!(rated(&[("wll_choke", json!("2.5 t"))]), 2.5, max_relative = 1e-12);
    assert_relative_eq!(rated(&[("wll_choke", json!("3.6 t"))]), 3.5, max_relative = 1e-12);
}
