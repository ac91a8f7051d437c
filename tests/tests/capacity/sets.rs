//! A set of legs as a whole, under the conventions of three documents.

use super::finding::{GRAVITY, assess, built_in, capacity, changed, first, of, own};
use approx::assert_relative_eq;
use rigging_core::checks::{Code, Verdict};
use rigging_core::rules::RuleSet;
use serde_json::json;

const SKID: &str = "generator-skid";

/// A rule on how many legs count.
fn counted(legs: u32) -> RuleSet {
    let rule = format!(
        "[[rule]]\nanswers = \"legs counted\"\nname = \"legs that count\"\nwhen = {{ configuration = \"four legs\" }}\nrelation = \"constant\"\nvalue = {legs}\nsource = \"note\"\nclause = \"2\"\n"
    );
    own("counted", "", &rule)
}

/// Leg factors for roundslings, in the printed shape of DGUV Information 209-021.
fn factors() -> RuleSet {
    let source = "[[source]]\nid = \"tables\"\ndocument = \"DGUV Information 209-021\"\nedition = \"2021-08\"\nstanding = \"document\"\n";
    let rule = r#"
[[rule]]
answers = "leg factor"
name = "factor of several legs on the value of one"
when = { construction = "roundsling" }
input = [{ fact = "angle from horizontal", unit = "deg", as = "from vertical" }]
relation = "table"
rows = "configuration"
column_number = "angle from horizontal"
column_lookup = "at most"
columns = [{ "angle from horizontal" = 45 }, { "angle from horizontal" = 60 }]
cells = [
  ["two legs", 1.4, 1.0],
  [["three legs", "four legs"], 2.1, 1.5],
]
source = "tables"
clause = "tables, direct"
"#;
    own("factors", source, rule)
}

#[test]
fn four_legs_of_a_skid_under_three_conventions() {
    // The drawn angle over the vertices, read off the assessment; the conventions are worked here.
    let weight = 18_500.0 * GRAVITY;
    let document = changed(SKID, &[]);
    for (legs, rules) in [(2.0, counted(2)), (3.0, counted(3))] {
        let assessment = assess(&document, &rules);
        let finding = first(&assessment, Code::SetOfLegs);
        let flattest = assessment.legs.iter().map(|leg| leg.angle_from_vertical).fold(0.0, f64::max);
        let asked = finding.demand.as_ref().unwrap().value();
        assert_relative_eq!(asked, weight / (legs * flattest.cos()), max_relative = 1e-12);
        assert_relative_eq!(capacity(finding), 12_000.0 * GRAVITY, max_relative = 1e-12);
        // At the angle of the scenario: 102.3 kN for two legs, 68.2 kN for three.
        let at = asked * flattest.cos() / 27.5_f64.to_radians().cos();
        let printed = if legs == 2.0 { 102.3e3 } else { 68.2e3 };
        assert!((at - printed).abs() < 50.0, "{at}");
    }
    let assessment = assess(&document, &factors());
    let finding = first(&assessment, Code::SetOfLegs);
    assert_relative_eq!(capacity(finding), 12_000.0 * GRAVITY * 2.1, max_relative = 1e-12);
    // The rating that one leg must have: 86.4 kN.
    assert!((finding.utilization.unwrap() * 12_000.0 * GRAVITY - 86.4e3).abs() < 50.0);
    assert_eq!(finding.verdict, Verdict::Pass);
    assert!(of(&assess(&document, &built_in("us-general")), Code::SetOfLegs).is_empty());
}

#[test]
fn a_chain_sling_is_rated_as_a_set_by_its_marking_and_the_table_stands_beside() {
    let mut changes = vec![];
    for sling in 0..4 {
        changes.extend([
            (format!("/slings/{sling}/construction"), json!("chain")),
            (format!("/slings/{sling}/material"), json!("alloy steel")),
            (format!("/slings/{sling}/grade"), json!(8)),
            (format!("/slings/{sling}/diameter"), json!("18 mm")),
            (format!("/slings/{sling}/termination"), json!("link")),
            (format!("/slings/{sling}/strength/wll"), json!("10 t")),
        ]);
    }
    let changes: Vec<_> = changes.iter().map(|(pointer, value)| (pointer.as_str(), value.clone())).collect();
    let document = changed(SKID, &changes);
    let assessment = assess(&document, &built_in("de-dguv-209-021"));
    let sets = of(&assessment, Code::SetOfLegs);
    // 2.1 times the marking, two legs counted; the table prints 21.2 t.
    let factor = sets.iter().find(|finding| capacity(finding) > 150e3).unwrap();
    assert_relative_eq!(capacity(factor), 10_000.0 * GRAVITY * 2.1, max_relative = 1e-12);
    let branch = &factor.capacity.as_ref().unwrap().steps.last().unwrap().term.not_taken;
    assert!(branch.iter().any(|branch| (branch.value - 21_200.0 * GRAVITY).abs() < 1e-6), "{branch:?}");
    let counted = sets.iter().find(|finding| capacity(finding) < 150e3).unwrap();
    assert_relative_eq!(capacity(counted), 10_000.0 * GRAVITY, max_relative = 1e-12);
    assert_eq!((factor.verdict, counted.verdict), (Verdict::Pass, Verdict::Fail));
    assert_eq!(sets.len(), 2);
    // Symmetry as a condition: legs steeper than 75 deg from horizontal, or a load over 80 % of the rating, refuse it.
    let assessment = assess(&document, &built_in("eu-en-818-6"));
    let finding = first(&assessment, Code::SetOfLegs);
    assert_eq!(finding.verdict, Verdict::CannotConclude, "{}", finding.text);
    assert!(finding.text.contains("80 %"), "{}", finding.text);
    // Composed with tables that do not repeat the condition, the refusal stands.
    let assessment = assess(&document, &built_in("de-general"));
    let sets = of(&assessment, Code::SetOfLegs);
    assert!(sets.iter().any(|finding| finding.verdict == Verdict::CannotConclude && finding.text.contains("80 %")));
    assert!(sets.iter().all(|finding| finding.capacity.is_none() || capacity(finding) < 150e3));
    // Under US law the relation n·V·sin(angle) makes the set of the marking.
    let assessment = assess(&document, &built_in("us-general"));
    let finding = first(&assessment, Code::SetOfLegs);
    let flattest = assessment.legs.iter().map(|leg| leg.angle_from_vertical).fold(0.0, f64::max);
    assert_relative_eq!(capacity(finding), 3.0 * 10_000.0 * GRAVITY * flattest.cos(), max_relative = 1e-9);
}

/// DGUV Information 209-021 prints 50 000 kg for three and four legs of 28 mm chain of grade 8 up to 45 deg, less than 2.1 times the
/// 25 000 kg of one leg: where no leg is marked, what is printed for the set is its rating.
#[test]
fn an_unmarked_chain_sling_is_rated_by_what_is_printed_for_the_set() {
    let mut changes = vec![];
    for sling in 0..4 {
        changes.extend([
            (format!("/slings/{sling}/construction"), json!("chain")),
            (format!("/slings/{sling}/material"), json!("alloy steel")),
            (format!("/slings/{sling}/grade"), json!(8)),
            (format!("/slings/{sling}/diameter"), json!("28 mm")),
            (format!("/slings/{sling}/termination"), json!("link")),
            (format!("/slings/{sling}/strength/wll"), json!("unknown")),
            (format!("/slings/{sling}/tag"), json!({ "legible": true })),
        ]);
    }
    let changes: Vec<_> = changes.iter().map(|(pointer, value)| (pointer.as_str(), value.clone())).collect();
    let assessment = assess(&changed(SKID, &changes), &built_in("de-dguv-209-021"));
    let sets = of(&assessment, Code::SetOfLegs);
    let printed = sets.iter().find(|finding| (capacity(finding) - 50_000.0 * GRAVITY).abs() < 1.0).unwrap();
    let branches = &printed.capacity.as_ref().unwrap().base.not_taken;
    assert!(branches.iter().any(|branch| (branch.value - 52_500.0 * GRAVITY).abs() < 1.0), "{branches:?}");
    assert!(sets.iter().all(|finding| capacity(finding) < 51_000.0 * GRAVITY));
}

/// EN 818-6: the loading is taken as symmetric where every leg is at least 15 deg from vertical; bands end at 45 and at 60 deg. A
/// leg drawn at a limit hangs a few times 1e-12 of itself beside it, and is at the limit, from either side.
#[test]
fn a_leg_drawn_at_the_limit_of_a_band_hangs_in_it() {
    let rules = [built_in("eu-general"), built_in("uk-general"), built_in("eu-en-818-6")];
    // Angle from vertical, what one leg's marking is multiplied by; none where the set is refused.
    let at = |angle: f64, share: f64, rules: &RuleSet| {
        let reach = 6.0 * (angle * (1.0 + share)).to_radians().sin() / 2.0_f64.sqrt();
        let mut changes = vec![
            ("/load/mass/value".to_owned(), json!("2 t")),
            ("/load/center_of_gravity/position".to_owned(), json!(["0 m", "0 m", "-0.3 m"])),
            ("/load/center_of_gravity/tolerance".to_owned(), json!(["0 m", "0 m", "0 m"])),
        ];
        for (index, [x, y]) in [[1.0, 1.0], [1.0, -1.0], [-1.0, -1.0], [-1.0, 1.0]].into_iter().enumerate() {
            let position = json!([format!("{} m", x * reach), format!("{} m", y * reach), "0 m"]);
            changes.push((format!("/load/lift_points/{index}/position"), position));
            for (key, value) in [
                ("construction", json!("chain")),
                ("material", json!("alloy steel")),
                ("grade", json!(8)),
                ("diameter", json!("18 mm")),
                ("termination", json!("link")),
                ("stiffness/law/ea", json!("500000000 MN")),
                ("length/tolerance", json!("0 mm")),
                ("strength", json!({ "wll": "10 t", "basis": "whole", "source": "tag" })),
            ] {
                changes.push((format!("/slings/{index}/{key}"), value));
            }
        }
        let changes: Vec<_> = changes.iter().map(|(pointer, value)| (pointer.as_str(), value.clone())).collect();
        let assessment = assess(&changed(SKID, &changes), rules);
        let set = first(&assessment, Code::SetOfLegs);
        set.capacity.as_ref().map(|chain| chain.value() / (10_000.0 * GRAVITY))
    };
    let near = |found: Option<f64>, due: Option<f64>| match (found, due) {
        (Some(found), Some(due)) => (found / due - 1.0).abs() < 1e-12,
        (found, due) => found == due,
    };
    for rules in &rules {
        for (angle, below, on, above) in [
            (15.0, None, Some(2.1), Some(2.1)),
            (45.0, Some(2.1), Some(2.1), Some(1.5)),
            (60.0, Some(1.5), Some(1.5), None),
        ] {
            for share in [0.0, 1e-11, -1e-11, 2e-10, -2e-10] {
                let found = at(angle, share, rules);
                assert!(near(found, on), "{}: {angle} deg and {share:e} of it: {found:?}", rules.name());
            }
            for (share, due) in [(-1e-7, below), (1e-7, above)] {
                let found = at(angle, share, rules);
                assert!(near(found, due), "{}: {angle} deg and {share:e} of it: {found:?}", rules.name());
            }
        }
    }
}
