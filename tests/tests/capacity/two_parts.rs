//! Slings of two parts under 0027/ND Rev 11.2 (2016): over a point on the load, or side by side. Origin of the shares: published
//! (5.8.1, 45:55; 5.8.3, 49:51; 7.2.3); sums by hand.

use super::finding::{GRAVITY, assess, built_in, capacity, changed, first};
use approx::assert_relative_eq;
use rigging_core::checks::{Assessment, Code, Finding, Verdict};
use serde_json::{Value, json};

const MARINE: &str = "marine-0027-nd-2016";

/// The tool skid on three slings of this make, each with both its ends on the hook and turned round a trunnion.
fn baskets(hitch: &str, over: &Value, sling: &Value) -> Value {
    let mut document = changed("tool-skid-offshore", &[]);
    document["environment"]["location"] = json!("onshore");
    document["load"]["center_of_gravity"]["position"] = json!(["0 m", "0 m", "-1 m"]);
    document["load"]["center_of_gravity"]["tolerance"] = json!(["0 mm", "0 mm", "0 mm"]);
    document["hooks"][0]["rating"]["wll"] = json!("500 t");
    document["hooks"][0]["bearing_diameter"] = json!("400 mm");
    document["fittings"] = json!([]);
    let first = document["slings"][0].clone();
    let (mut points, mut slings, mut legs) = (Vec::new(), Vec::new(), Vec::new());
    for (name, x, y) in [("A", "3 m", "0 m"), ("B", "-1.5 m", "2.598076211 m"), ("C", "-1.5 m", "-2.598076211 m")] {
        points.push(json!({ "name": format!("trunnion {name}"), "position": [x, y, "0 m"],
            "rating": { "wll": "500 t", "source": "calculation" },
            "allowed_direction": { "axis": [0, 0, 1], "within": "60 deg", "source": "calculation" },
            "bearing_diameter": "300 mm", "bearing_width": "400 mm" }));
        let mut own = first.clone();
        own["name"] = json!(format!("sling {name}"));
        own["length"] = json!({ "value": "12.000 m", "measured": "bearing_to_bearing", "tolerance": "0 mm" });
        own["stiffness"]["law"] = json!({ "ea": "500 MN" });
        own["diameter"] = json!("60 mm");
        own["termination"] = json!("hand_splice");
        for (key, value) in sling.as_object().unwrap() {
            own[key] = value.clone();
        }
        slings.push(own);
        let mut over = over.clone();
        over["station"] = json!(format!("trunnion {name}"));
        legs.push(
            json!({ "name": format!("leg {name}"), "hitch": hitch, "contacts": [], "items": [format!("sling {name}")],
            "path": [{ "end": "crane hook" }, { "over": over }, { "end": "crane hook" }] }),
        );
    }
    document["load"]["lift_points"] = json!(points);
    document["slings"] = json!(slings);
    document["legs"] = json!(legs);
    document
}

fn strength(load: &str) -> Value {
    json!({ "strength": { "breaking_load": load, "basis": "whole", "source": "certificate" } })
}

fn of_fiber(construction: &str, material: &str) -> Value {
    let mut sling = strength("320 kN");
    for (key, value) in [
        ("construction", json!(construction)),
        ("material", json!(material)),
        ("termination", json!("endless")),
        ("service", json!("jacket_intact")),
        ("core", json!("unknown")),
        ("diameter", json!("30 mm")),
        ("width", json!("100 mm")),
        ("least_bend_diameter", json!({ "value": "100 mm", "source": "maker" })),
    ] {
        sling[key] = value;
    }
    sling
}

fn asked(finding: &Finding) -> f64 {
    finding.demand.as_ref().unwrap().value()
}

/// What both sides of a sling bear together: a third of the weight with its factors, over the cosine of the angle.
fn both_sides(assessment: &Assessment) -> f64 {
    38.0e3 * 1.05 * 1.10 * GRAVITY / 3.0 / assessment.legs[0].angle_from_vertical.cos()
}

#[test]
fn the_busier_side_of_a_sling_over_a_point_bears_at_least_the_printed_share() {
    let rules = built_in(MARINE);
    let free = json!({ "free_turning": true });
    let rough = |most: f64| json!({ "friction": { "value": [0.0, most], "source": "test" } });
    for hitch in ["basket", "straight"] {
        let found = |over: &Value| assess(&baskets(hitch, over, &strength("3000 kN")), &rules);
        for (over, share) in [(free.clone(), 0.51), (rough(0.0), 0.55), (rough(0.05), 0.55)] {
            let assessment = found(&over);
            let finding = first(&assessment, Code::SlingStrength);
            assert_relative_eq!(asked(finding), share * both_sides(&assessment), max_relative = 1e-4);
            assert!(finding.demand.as_ref().unwrap().is_coherent());
            assert_eq!(assessment.legs[0].taken, Some(asked(finding)));
        }
        // Friction of 0.2 makes more of it than the document asks for at least: the greater force counts.
        let assessment = found(&rough(0.2));
        let finding = first(&assessment, Code::SlingStrength);
        assert_relative_eq!(asked(finding), assessment.legs[0].worst, max_relative = 1e-12);
        assert!(asked(finding) > 0.56 * both_sides(&assessment), "{}", asked(finding));
    }
    // By its capacity such a sling passes with half of both sides, and not with the share of the document.
    for (over, load, verdict) in [
        (rough(0.05), "295.494 kN", Verdict::Fail),
        (rough(0.05), "299 kN", Verdict::Pass),
        (free.clone(), "274.27 kN", Verdict::Fail),
        (free.clone(), "279 kN", Verdict::Pass),
    ] {
        let assessment = assess(&baskets("basket", &over, &strength(load)), &rules);
        assert_eq!(first(&assessment, Code::SlingStrength).verdict, verdict, "{over}, {load}");
    }
    // A set that does not speak of parts takes what the balance gives.
    let us = assess(&baskets("basket", &free, &strength("3000 kN")), &built_in("us-general"));
    assert_relative_eq!(asked(first(&us, Code::SlingStrength)), us.legs[0].worst, max_relative = 1e-12);
}

#[test]
fn a_grommet_turned_round_a_point_is_not_rated_as_one_hung_singly() {
    let free = json!({ "free_turning": true });
    for (construction, material) in [("grommet", "HMPE"), ("roundsling", "polyester")] {
        for hitch in ["basket", "straight"] {
            let document = baskets(hitch, &free, &of_fiber(construction, material));
            let assessment = assess(&document, &built_in(MARINE));
            let finding = first(&assessment, Code::SlingStrength);
            assert_eq!((finding.verdict, assessment.verdict), (Verdict::CannotConclude, Verdict::CannotConclude));
            let words = ["more than two parts", "0.25 of the breaking load", "7.2.3", "5.8.4"];
            assert!(words.iter().all(|word| finding.text.contains(word)), "{construction}, {hitch}: {}", finding.text);
        }
    }
    let mut cable = strength("3000 kN");
    cable["construction"] = json!("cable_laid_grommet");
    cable["termination"] = json!("endless");
    let assessment = assess(&baskets("basket", &free, &cable), &built_in(MARINE));
    assert_eq!(first(&assessment, Code::SlingStrength).verdict, Verdict::CannotConclude);
}

#[test]
fn two_parts_side_by_side_share_the_breaking_load_as_the_document_says() {
    let rules = built_in(MARINE);
    let rated = |parts: Option<u32>, basis: &str| {
        let mut document = changed("tool-skid-offshore", &[]);
        for sling in 0..4 {
            document["slings"][sling]["strength"]["basis"] = json!(basis);
            if let Some(parts) = parts {
                document["slings"][sling]["parts"] = json!(parts);
            }
        }
        let assessment = assess(&document, &rules);
        first(&assessment, Code::SlingStrength).clone()
    };
    let one = capacity(&rated(None, "whole"));
    assert_relative_eq!(capacity(&rated(Some(1), "whole")), one, max_relative = 1e-12);
    // Half of what is quoted for both, over the share of the busier one.
    assert_relative_eq!(capacity(&rated(Some(2), "whole")), one * 0.5 / 0.55, max_relative = 1e-12);
    assert_relative_eq!(capacity(&rated(Some(2), "part")), one / 0.55, max_relative = 1e-12);
    for parts in [3, 4] {
        let finding = rated(Some(parts), "whole");
        assert_eq!(finding.verdict, Verdict::CannotConclude);
        assert!(finding.text.contains("5.8.4"), "{}", finding.text);
    }
}
