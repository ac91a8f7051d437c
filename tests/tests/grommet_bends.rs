//! A grommet bears with its body, a sling with ends with its eyes: 0027/ND Rev 11.2 (2016), 7.8.5, refuses a body bent over
//! less than its own diameter and gives no such limit for an eye. Origin of the limit: published.
#![allow(clippy::unwrap_used)]

#[path = "support/patching.rs"]
mod patching;

use rigging_core::arrangement::Lift;
use rigging_core::checks::{Code, Verdict};
use rigging_core::rules::RuleSet;
use serde_json::{Value, json};

/// Verdicts of the bends of the first sling, 60 mm in diameter, over a hook and a bow of the given diameter.
fn bends(construction: &str, diameter: &str) -> Vec<Verdict> {
    let mut document: Value = patching::demo("generator-skid-round-edge");
    document["hooks"][0]["bearing_diameter"] = json!(diameter);
    document["fittings"][0]["bow_diameter"] = json!(diameter);
    document["slings"][0]["construction"] = json!(construction);
    document["slings"][0]["material"] = json!("steel");
    document["slings"][0]["diameter"] = json!("60 mm");
    document["slings"][0].as_object_mut().unwrap().remove("least_bend_diameter");
    let lift = Lift::from_json(&document.to_string()).unwrap();
    let assessment = lift.assess(&RuleSet::built_in("marine-0027-nd-2016").unwrap()).unwrap();
    let bends = assessment.findings.iter();
    bends
        .filter(|finding| finding.code == Code::Bend && finding.item.starts_with("roundsling A"))
        .map(|finding| finding.verdict)
        .collect()
}

#[test]
fn a_body_is_not_bent_over_less_than_its_own_diameter() {
    assert_eq!(bends("grommet", "59 mm"), [Verdict::Fail; 2]);
    assert_eq!(bends("grommet", "60 mm"), [Verdict::Pass; 2]);
    assert!(!bends("wire_rope", "59 mm").contains(&Verdict::Fail));
}
