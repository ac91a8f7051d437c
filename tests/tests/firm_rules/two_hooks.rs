//! The tilt of a load under two hooks and what it puts on them: a rule that is there is applied, or it is told why not.

use super::{assess, of, rule, set};
use rigging_core::checks::{Code, Verdict};
use serde_json::{Value, json};

const VESSEL: &str = include_str!("../../../rigging-core/examples/lifts/vessel-two-cranes.json");

const TILT: &str = "relation = \"constant\"\nvalue = 3\nunit = \"deg\"";
const WITHHELD: &str = "relation = \"withheld\"\nwhy = \"the appendix was not read\"";
const SHARE: &str = "relation = \"constant\"\nvalue = 0.6";

/// What is said of the hooks under rules of a firm: verdict, place and text.
fn told(rules: &[(&str, &str)]) -> Vec<(Verdict, String, String)> {
    let rules: Vec<String> = rules.iter().map(|(answers, keys)| rule(answers, keys)).collect();
    let mut lift: Value = serde_json::from_str(VESSEL).unwrap();
    lift["operation"]["vessels"] = json!("one");
    let assessment = assess(&lift, &set(&rules));
    let found = of(&assessment, Code::HookHeights);
    found.iter().map(|finding| (finding.verdict, finding.place.to_string(), finding.text.to_string())).collect()
}

fn verdicts(rules: &[(&str, &str)]) -> Vec<Verdict> {
    told(rules).into_iter().map(|(verdict, _, _)| verdict).collect()
}

#[test]
fn a_share_by_rule_that_cannot_be_told_does_not_pass() {
    assert!(told(&[]).is_empty());
    assert_eq!(verdicts(&[("hook tilt", TILT), ("hook share", SHARE)]).len(), 2);
    let outside = format!("input = [{{ fact = \"tilt\", unit = \"deg\", at_most = 2, policy = \"no\" }}]\n{SHARE}");
    let lacks = format!("input = [{{ fact = \"gross weight\", unit = \"t\" }}]\n{SHARE}");
    for (keys, says) in [(WITHHELD, "was not read"), (&outside, "at most 2"), (&lacks, "gross weight")] {
        let found = told(&[("hook tilt", TILT), ("hook share", keys)]);
        assert_eq!(found.len(), 2);
        for (index, (verdict, place, text)) in found.iter().enumerate() {
            assert_eq!(*verdict, Verdict::CannotConclude, "{keys}: {text}");
            assert_eq!(*place, format!("/hooks/{index}"));
            assert!(text.contains("hook share") && text.contains(says), "{text}");
        }
    }
    // What the document states of the two hooks is asked with the share as it is with the tilt.
    let vessels = format!("when = {{ vessels = \"one\" }}\n{SHARE}");
    assert_eq!(
        verdicts(&[("hook tilt", TILT), ("hook share", &vessels)]),
        verdicts(&[("hook tilt", TILT), ("hook share", SHARE)])
    );
}

#[test]
fn a_tilt_and_a_share_that_do_not_meet_are_told() {
    for degrees in ["0.5", "3", "30"] {
        let tilt = format!("relation = \"constant\"\nvalue = {degrees}\nunit = \"deg\"");
        let found = told(&[("hook tilt", &tilt)]);
        assert_eq!(found.len(), 2);
        for (verdict, _, text) in found {
            assert_eq!(verdict, Verdict::NotCovered);
            assert!(text.contains("hook share") && text.contains(degrees), "{text}");
        }
    }
    let alone = told(&[("hook share", SHARE)]);
    assert_eq!(alone.len(), 1);
    assert!(alone[0].0 == Verdict::NotCovered && alone[0].2.contains("hook tilt"), "{alone:?}");
    let of_others = "relation = \"does not apply\"\nwhy = \"for beams only\"";
    assert_eq!(verdicts(&[("hook tilt", TILT), ("hook share", of_others)]), [Verdict::NotCovered; 2]);
}

#[test]
fn a_tilt_that_is_kept_back_does_not_pass() {
    assert_eq!(verdicts(&[("hook tilt", WITHHELD), ("hook share", SHARE)]), [Verdict::CannotConclude]);
    let lacks = format!("when = {{ service = \"fabrication yard\" }}\n{TILT}");
    assert_eq!(verdicts(&[("hook tilt", &lacks), ("hook share", SHARE)]), [Verdict::CannotConclude]);
    // The difference in height may make a greater tilt than the one that is printed.
    let difference = "relation = \"constant\"\nvalue = 1\nunit = \"mm\"";
    let rules = [
        ("hook tilt", TILT),
        ("hook share", SHARE),
        ("hook elevation difference", difference),
        ("tilt from elevation", WITHHELD),
    ];
    assert!(
        told(&rules)
            .iter()
            .any(|(verdict, _, text)| { *verdict == Verdict::CannotConclude && text.contains("tilt from elevation") })
    );
}
