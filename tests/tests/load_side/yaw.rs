//! The factor for turning about the vertical wherever a lift is one by two hooks, whatever else the rule set says of them.

use super::heights::{HOOKS, vessel};
use super::*;

/// Federal rules with a factor for turning, and nothing of heights or tilt.
fn own(condition: &str) -> RuleSet {
    let text = patching::text("rigging-core/rules/us-general.toml");
    let rule = format!(
        "[[source]]\nid = \"own\"\ndocument = \"Hollow Ford lifting instruction\"\nstanding = \"stated\"\n[[rule]]\nanswers = \"yaw \
         factor\"\nname = \"turning under two hooks\"\n{condition}\ninput = [{{ fact = \"legs per hook\" }}]\nrequires = [{{ name = \"legs per \
         hook\", times = [\"legs per hook\"], more_than = 1, otherwise = \"does not apply\", why = \"one sling turns with the load\" \
         }}]\nrelation = \"constant\"\nvalue = 1.05\nsource = \"own\"\nclause = \"6.1\"\n"
    );
    RuleSet::from_toml(&format!("{text}\n{rule}")).unwrap_or_else(|error| panic!("{error}"))
}

/// The vessel with two slings on each hook, to lugs two meters to either side.
fn paired() -> Value {
    let mut document = vessel();
    for (index, letter) in ["A", "B"].into_iter().enumerate() {
        let twin = |pointer: &str, document: &mut Value, change: &dyn Fn(&mut Value)| {
            let mut copy = document.pointer(&format!("{pointer}/{index}")).unwrap().clone();
            change(&mut copy);
            patching::set(document, &format!("{pointer}/{}", index + 2), copy);
        };
        patching::set(&mut document, &format!("/load/lift_points/{index}/position/1"), json!("-2.000 m"));
        patching::set(&mut document, &format!("/load/lift_points/{index}/allowed_direction/within"), json!("20 deg"));
        patching::set(&mut document, &format!("/slings/{index}/length/value"), json!("9.2195 m"));
        twin("/load/lift_points", &mut document, &|point| {
            point["name"] = json!(format!("lug {letter}2"));
            point["position"][1] = json!("2.000 m");
        });
        twin("/slings", &mut document, &|sling| sling["name"] = json!(format!("grommet {letter}2")));
        twin("/fittings", &mut document, &|fitting| fitting["name"] = json!(format!("shackle {letter}2")));
        twin("/legs", &mut document, &|leg| {
            leg["name"] = json!(format!("leg {letter}2"));
            leg["path"][1]["end"] = json!(format!("lug {letter}2"));
            leg["items"] = json!([format!("grommet {letter}2"), format!("shackle {letter}2")]);
        });
    }
    patching::set(&mut document, "/load/center_of_gravity/tolerance", json!(["0 mm", "0 mm", "0 mm"]));
    document
}

fn tonnes(chain: &Chain) -> f64 {
    chain.value() / (1000.0 * GRAVITY)
}

#[test]
fn hook_legs_and_items_are_raised_once_where_two_slings_are_on_a_hook() {
    let plain = assess(&paired(), &built_in("us-general"));
    let raised = assess(&paired(), &own(""));
    for (hook, arm) in HOOKS.into_iter().zip([13.6, 10.4]) {
        // By hand: 96 t and 3 %, arm over 24 m, and 1.05.
        let due = 96.0 * 1.03 * arm / 24.0 * 1.05;
        let found = tonnes(demand(of(&raised, Code::HookLoad, hook)));
        assert!((found - due).abs() < 2e-3, "{hook}: {found} and {due}");
        let told = of(&raised, Code::HookHeights, hook);
        assert_eq!((told.verdict, told.source.as_ref().unwrap().clause.as_str()), (Verdict::Pass, "6.1"));
    }
    let mut items = 0;
    for finding in &plain.findings {
        let strengths = [Code::SlingStrength, Code::FittingStrength, Code::LiftPointStrength];
        if strengths.contains(&finding.code) {
            let found = of(&raised, finding.code, &finding.item).utilization.unwrap();
            assert!((found - finding.utilization.unwrap() * 1.05).abs() < 1e-12, "{}: {found}", finding.item);
            items += 1;
        }
    }
    assert_eq!(items, 12);
    // A hook that bears the level share and not the raised one.
    let mut weaker = paired();
    patching::set(&mut weaker, "/hooks/0/rating/wll", json!("57.5 t"));
    assert_eq!(of(&assess(&weaker, &built_in("us-general")), Code::HookLoad, HOOKS[0]).verdict, Verdict::Pass);
    assert_eq!(of(&assess(&weaker, &own("")), Code::HookLoad, HOOKS[0]).verdict, Verdict::Fail);
}

#[test]
fn with_one_sling_on_each_hook_the_condition_is_not_met_and_that_is_told() {
    let (plain, told) = (assess(&vessel(), &built_in("us-general")), assess(&vessel(), &own("")));
    for hook in HOOKS {
        let finding = of(&told, Code::HookHeights, hook);
        assert_eq!(finding.verdict, Verdict::NotCovered);
        assert!(finding.text.contains("one sling turns with the load"), "{}", finding.text);
        let load = |assessment| of(assessment, Code::HookLoad, hook).utilization;
        assert_eq!(load(&plain), load(&told));
    }
    assert_eq!(plain.legs, told.legs);
    // One on the first hook, two on the second: each hook by itself. A third lug is no matter of the first.
    let mut mixed = paired();
    for (list, keep) in
        [("/legs", [0, 1, 3]), ("/slings", [0, 1, 3]), ("/fittings", [0, 1, 3]), ("/load/lift_points", [0, 1, 3])]
    {
        let kept: Vec<Value> =
            keep.iter().map(|index| mixed.pointer(&format!("{list}/{index}")).unwrap().clone()).collect();
        *mixed.pointer_mut(list).unwrap() = Value::Array(kept);
    }
    patching::set(&mut mixed, "/load/lift_points/0/position/1", json!("0.000 m"));
    patching::set(&mut mixed, "/slings/0/length/value", json!("9.000 m"));
    let assessment = assess(&mixed, &own(""));
    let verdicts = HOOKS.map(|hook| of(&assessment, Code::HookHeights, hook).verdict);
    assert_eq!(verdicts, [Verdict::NotCovered, Verdict::Pass]);
    assert_eq!(
        assessment.legs.iter().map(|leg| leg.taken.is_some_and(|taken| taken > leg.worst)).collect::<Vec<_>>(),
        [false, true, true]
    );
}

#[test]
fn slings_below_a_ring_are_slings_on_the_hook() {
    // Hook, one sling to a ring, two slings from there to the lugs.
    let mut document = paired();
    patching::set(
        &mut document,
        "/joints",
        json!([{ "name": "ring A", "position": ["0.000 m", "0.000 m", "8.000 m"] }]),
    );
    let mut upper = document.pointer("/slings/0").unwrap().clone();
    upper["name"] = json!("grommet A0");
    upper["length"]["value"] = json!("1.000 m");
    patching::set(&mut document, "/slings/4", upper);
    patching::set(
        &mut document,
        "/legs/4",
        json!({ "name": "leg A0", "hitch": "straight", "path": [{ "end": HOOKS[0] }, { "end": "ring A" }], "items": ["grommet A0"], "contacts": [] }),
    );
    for leg in [0, 2] {
        patching::set(&mut document, &format!("/legs/{leg}/path/0/end"), json!("ring A"));
        patching::set(&mut document, &format!("/slings/{leg}/length/value"), json!("8.2462 m"));
    }
    let assessment = assess(&document, &own(""));
    assert_eq!(of(&assessment, Code::HookHeights, HOOKS[0]).verdict, Verdict::Pass);
    let raised = assessment.legs.iter().filter(|leg| leg.taken == Some(leg.worst * 1.05)).count();
    assert_eq!((raised, assessment.legs.len()), (5, 5));
}

#[test]
fn what_keeps_the_factor_from_being_told_is_never_left_out() {
    let mut open = paired();
    patching::remove(&mut open, "/operation/vessels");
    let assessment = assess(&open, &own("when = { vessels = \"several\" }"));
    for hook in HOOKS {
        let finding = of(&assessment, Code::HookHeights, hook);
        assert_eq!((finding.verdict, missing(finding)), (Verdict::CannotConclude, vec!["/operation/vessels"]));
    }
    // Another word: the rule speaks of none of this lift, and nothing is said.
    assert!(coded(&assess(&paired(), &own("when = { vessels = \"several\" }")), Code::HookHeights).is_empty());
    // A single hook is no lift by two.
    let skid = patching::demo("generator-skid-round-edge");
    assert!(coded(&assess(&skid, &own("")), Code::HookHeights).is_empty());
}

#[test]
fn beside_heights_and_tilt_the_factor_acts_once() {
    // The guideline's own factor, on what its tilt makes of each hook, against the same with the legs bound into one.
    let rules = with_rules("marine-0027-nd-2016-further", &applies("nd"));
    let assessment = assess(&paired(), &rules);
    let solved = coded(&assessment, Code::HookHeights);
    let chains: Vec<&Chain> = solved.iter().filter_map(|finding| finding.demand.as_deref()).collect();
    assert!(chains.len() >= 2, "{solved:?}");
    for chain in chains {
        let times = chain.steps.iter().filter(|step| step.term.name.contains("turning about the vertical")).count();
        assert_eq!(times, 1, "{}", chain.quantity);
    }
    let load = demand(of(&assessment, Code::HookLoad, HOOKS[0]));
    assert_eq!(load.steps.iter().filter(|step| step.term.value == 1.05).count(), 1);
}
