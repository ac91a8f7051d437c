//! Markings of one item that its other figures contradict.
//!
//! Limits are worked here from the figures of the documents: the breaking load over the printed factor, the straight rating, and
//! twice either for a basket.

use super::finding::{assess, built_in, changed, of};
use rigging_core::checks::{Code, Verdict};
use serde_json::{Value, json};

/// Where the contradictions of a changed demo stand; none of them passes or fails.
fn questioned(demo: &str, rules: &str, changes: &[(&str, Value)]) -> Vec<String> {
    let assessment = assess(&changed(demo, changes), &built_in(rules));
    let found = of(&assessment, Code::Consistency);
    let found: Vec<_> = found
        .iter()
        .filter(|finding| finding.text.contains("one of both is wrong, or quoted for something else"))
        .collect();
    for finding in &found {
        assert_eq!(finding.verdict, Verdict::CannotConclude, "{}", finding.text);
        assert!(finding.demand.as_ref().unwrap().is_coherent() && finding.capacity.as_ref().unwrap().is_coherent());
    }
    assert!(found.is_empty() || assessment.verdict != Verdict::Pass);
    found.iter().map(|finding| finding.place.to_string()).collect()
}

#[test]
fn a_marking_above_the_breaking_load_of_the_same_item_is_questioned() {
    const SKID: &str = "generator-skid";
    for place in ["/fittings/0", "/load/lift_points/0", "/hooks/0"] {
        let wll = format!("{place}/rating/wll");
        for rules in ["us-general", "us-consensus", "eu-general", "marine-0027-nd-2016"] {
            let with = |breaking: &str| {
                let breaking_load = format!("{place}/rating/breaking_load");
                questioned(SKID, rules, &[(&wll, json!("60 t")), (&breaking_load, json!(breaking))])
            };
            assert_eq!(with("40 t"), std::slice::from_ref(&wll), "{rules}");
            assert_eq!(with("59.6 t"), std::slice::from_ref(&wll), "{rules}");
            // RR-C-271 has five for shackles, and no set of these has a factor for points and hooks.
            let factor = rules == "us-consensus" && place == "/fittings/0";
            assert_eq!(with("59.8 t").is_empty(), !factor, "{rules} {place}");
            assert_eq!(with("298 t").is_empty(), !factor, "{rules} {place}");
            assert!(with("299 t").is_empty(), "{rules} {place}: a marking is rounded");
        }
    }
    // Points of a spreader and the spreader itself.
    for place in ["/spreaders/0", "/spreaders/0/points/0"] {
        let (wll, breaking) = (format!("{place}/rating/wll"), format!("{place}/rating/breaking_load"));
        let with =
            |load: &str| questioned("panel-spreader", "us-general", &[(&wll, json!("60 t")), (&breaking, json!(load))]);
        assert_eq!(with("40 t"), std::slice::from_ref(&wll));
        assert!(with("60 t").is_empty());
    }
}

#[test]
fn a_marking_above_the_proof_load_of_the_same_item_is_questioned() {
    for place in ["/fittings/0", "/load/lift_points/0", "/hooks/0"] {
        let (wll, proof) = (format!("{place}/rating/wll"), format!("{place}/rating/proof_load"));
        let with =
            |load: &str| questioned("generator-skid", "us-general", &[(&wll, json!("60 t")), (&proof, json!(load))]);
        assert_eq!(with("30 t"), std::slice::from_ref(&proof));
        assert_eq!(with("59.6 t"), std::slice::from_ref(&proof));
        assert!(with("60 t").is_empty());
        assert!(with("120 t").is_empty());
    }
}

#[test]
fn markings_for_a_choke_and_a_basket_go_with_those_for_a_straight_pull_and_the_breaking_load() {
    const DEMO: &str = "lay-down-pipes-choked";
    // Marked 4 t for a straight pull; breaking load 28 t, 7 times that, which the directive asks for.
    let with = |rules: &str, key: &str, value: &str| {
        let place = format!("/slings/0/strength/{key}");
        questioned(DEMO, rules, &[(&place, json!(value)), ("/slings/0/strength/breaking_load", json!("28 t"))])
    };
    for (key, most, above) in [("wll_choke", "4 t", "4.03 t"), ("wll_basket", "8 t", "8.05 t")] {
        let place = format!("/slings/0/strength/{key}");
        for rules in ["us-general", "us-consensus", "eu-general"] {
            assert!(with(rules, key, most).is_empty(), "{rules} {key}");
            assert_eq!(with(rules, key, above), std::slice::from_ref(&place), "{rules} {key}");
            assert_eq!(with(rules, key, "40 t"), std::slice::from_ref(&place), "{rules} {key}");
        }
        // Without a marking for a straight pull the breaking load is left, over the factor of the set.
        let alone = |rules: &str, value: &str| {
            let mut document =
                changed(DEMO, &[(&place, json!(value)), ("/slings/0/strength/breaking_load", json!("28 t"))]);
            super::patching::remove(&mut document, "/slings/0/strength/wll");
            let assessment = assess(&document, &built_in(rules));
            let found = of(&assessment, Code::Consistency);
            found.iter().filter(|finding| finding.place.as_str() == place).count()
        };
        let legs = if key == "wll_basket" { 2.0 } else { 1.0 };
        for (rules, most) in [("us-general", 28.0), ("eu-general", 4.0)] {
            let tons = |share: f64| format!("{} t", legs * most * share);
            assert_eq!((alone(rules, &tons(1.0)), alone(rules, &tons(1.004)), alone(rules, &tons(1.006))), (0, 0, 1));
        }
    }
}
