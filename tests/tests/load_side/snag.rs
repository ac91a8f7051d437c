//! A load that may stick: a load case of its own, shared by the legs as the weight is, against what is stated to count.

use super::heights::{HOOKS, vessel};
use super::*;
use rigging_core::equilibrium::worst::Effort;
use rigging_core::sharing::LegsCounted;

const SKID: &str = "generator-skid-round-edge";

fn cited(value: Value) -> Value {
    json!({ "value": value, "source": "method statement MS-9" })
}

fn sticking(mut document: Value, snag: Value) -> Value {
    patching::set(&mut document, "/operation/snag", snag);
    document
}

fn pull(kilonewtons: f64, capacity: Value) -> Value {
    json!({ "pull": cited(json!(format!("{kilonewtons} kN"))), "capacity": capacity })
}

/// The vessel with its center of gravity known exactly.
fn exact() -> Value {
    let mut document = vessel();
    patching::set(&mut document, "/load/center_of_gravity/tolerance", json!(["0 mm", "0 mm", "0 mm"]));
    document
}

#[test]
fn the_pull_is_shared_as_the_weight_is() {
    let rules = built_in("us-general");
    let assessment = assess(&sticking(exact(), pull(100.0, json!("rated"))), &rules);
    for (hook, arm) in HOOKS.into_iter().zip([13.6, 10.4]) {
        // By hand: 96 t and 3 % weigh 969.68 kN; with 100 kN, arm over 24 m: 606.15 kN and 463.53 kN.
        let due = (96.0 * 1.03 * GRAVITY + 100.0) * arm / 24.0;
        let finding = of(&assessment, Code::Snag, hook);
        let found = demand(finding).value() / 1e3;
        assert!((found - due).abs() < 0.03, "{hook}: {found} and {due}");
        assert!(demand(finding).is_coherent() && finding.text.starts_with("where the load sticks"));
        // The lift itself is as it was.
        let plain = assess(&exact(), &rules);
        assert_eq!(of(&assessment, Code::HookLoad, hook).demand, of(&plain, Code::HookLoad, hook).demand);
    }
    let items: Vec<&str> = coded(&assessment, Code::Snag).iter().map(|finding| finding.item.as_str()).collect();
    for item in ["grommet A", "grommet B", "shackle A", "shackle B", "lug A", "lug B"] {
        assert!(items.contains(&item), "{item} among {items:?}");
    }
    // A hook at the limit, from both sides.
    let due = (96.0 * 1.03 * GRAVITY + 100.0) * 13.6 / 24.0;
    for (rated, verdict) in [(due * 1.001, Verdict::Pass), (due * 0.999, Verdict::Fail)] {
        let mut document = sticking(exact(), pull(100.0, json!("rated")));
        patching::set(&mut document, "/hooks/0/rating/wll", json!(format!("{rated} kN")));
        let assessment = assess(&document, &rules);
        assert_eq!(of(&assessment, Code::Snag, HOOKS[0]).verdict, verdict);
        assert_eq!(of(&assessment, Code::HookLoad, HOOKS[0]).verdict, Verdict::Pass);
    }
}

#[test]
fn a_factor_raises_the_weight_and_a_share_raises_or_lowers_what_counts() {
    let rules = built_in("us-general");
    let snag = json!({ "factor": cited(json!(1.2)), "capacity": "rated" });
    let whole = assess(&sticking(exact(), snag), &rules);
    let due = 96.0 * 1.03 * GRAVITY * 1.2 * 13.6 / 24.0;
    assert!((demand(of(&whole, Code::Snag, HOOKS[0])).value() / 1e3 - due).abs() < 0.03);
    for share in [0.5, 1.25] {
        let capacity = json!({ "share_of_rated": cited(json!(format!("{} %", share * 100.0))) });
        let snag = json!({ "factor": cited(json!(1.2)), "capacity": capacity });
        let part = assess(&sticking(exact(), snag), &rules);
        let (mut compared, plain) = (0, coded(&whole, Code::Snag));
        for (one, other) in coded(&part, Code::Snag).into_iter().filter_map(|one| {
            plain.iter().find(|other| other.item == one.item && other.place == one.place).map(|other| (one, other))
        }) {
            let (least, most) = (one.utilization.unwrap() * share, other.utilization.unwrap());
            assert!((least - most).abs() < 1e-12, "{}: {least} and {most}", one.item);
            let chain = one.capacity.as_deref().unwrap();
            assert!(chain.is_coherent());
            assert_eq!(chain.steps.last().unwrap().term.source.document.as_str(), "method statement MS-9");
            compared += 1;
        }
        assert_eq!(compared, plain.len());
        assert!(compared >= 8);
    }
}

#[test]
fn the_pull_stands_beside_the_dynamic_factor_and_also_at_rest() {
    // Under the guideline the shackles have a limit at rest and one in motion.
    let rules = built_in("marine-0027-nd-2016");
    let mut document = patching::demo("tool-skid-offshore");
    let plain = assess(&document, &rules);
    patching::set(&mut document, "/operation/snag", pull(10.0, json!("rated")));
    let stuck = assess(&document, &rules);
    let weight = |assessment: &Assessment| assessment.demand.as_ref().unwrap().weight.clone();
    assert_eq!(weight(&stuck), weight(&plain), "the lift itself is as it was");
    let (mut rest, mut moving) = (0, 0);
    for finding in coded(&stuck, Code::Snag) {
        let chain = demand(finding);
        assert!(chain.is_coherent());
        let pulls = chain.steps.iter().filter(|step| step.term.symbol.as_str() == "P").count();
        let dynamic = chain.steps.iter().filter(|step| step.term.name == weight(&plain).dynamic.unwrap().name).count();
        assert_eq!(pulls, 1, "{}", chain.quantity);
        let at_rest = chain.quantity.ends_with("at rest");
        assert_eq!(dynamic, usize::from(!at_rest), "{}", chain.quantity);
        if at_rest { rest += 1 } else { moving += 1 }
    }
    println!("{rest} at rest, {moving} moving");
    assert!(rest >= 4 && moving >= 9);
}

#[test]
fn by_a_rule_and_with_bounds_the_pull_counts_too() {
    let rules = built_in("us-general");
    let document = sticking(patching::demo(SKID), pull(20.0, json!("rated")));
    let lift = lift(&document);
    let weight = 18_500.0 * GRAVITY;
    let by_rule = lift.assess_by(&rules, Forces::Rule(&LegsCounted::two())).unwrap();
    let mut compared = 0;
    for finding in coded(&by_rule, Code::Snag) {
        let same = |other: &&Finding| other.item == finding.item && other.code == Code::SlingStrength;
        let Some(plain) = by_rule.findings.iter().find(same) else { continue };
        let ratio = demand(finding).value() / demand(plain).value();
        assert!((ratio - (weight + 20e3) / weight).abs() < 1e-9, "{ratio}");
        compared += 1;
    }
    assert_eq!(compared, 4);
    let listed: Vec<_> = by_rule.assumptions.iter().map(|assumption| assumption.code).collect();
    let all = by_rule.findings.iter().flat_map(|finding| finding.assumptions.iter());
    assert!(all.into_iter().all(|code| listed.contains(code)), "{listed:?}");
    let bounded = lift.assess_by(&rules, Forces::Bounds(Effort::default())).unwrap();
    let vertices = lift.assess(&rules).unwrap();
    for one in ["roundsling A", "roundsling B"] {
        let value = |assessment: &Assessment| demand(of(assessment, Code::Snag, one)).value();
        assert!(value(&bounded) >= value(&vertices));
    }
}

#[test]
fn what_is_not_stated_is_asked_for() {
    let rules = built_in("us-general");
    let asked = |document: &Value| {
        let assessment = assess(document, &rules);
        let found = coded(&assessment, Code::Snag);
        (found.len(), found[0].verdict, missing(found[0]).first().map(|place| (*place).to_owned()))
    };
    let mut document = patching::demo(SKID);
    assert!(coded(&assess(&document, &rules), Code::Snag).is_empty());
    patching::set(&mut document, "/operation/circumstances", json!({ "load_may_stick": false }));
    assert!(coded(&assess(&document, &rules), Code::Snag).is_empty());
    patching::set(&mut document, "/operation/circumstances/load_may_stick", json!(true));
    let open = |place: &str| (1, Verdict::CannotConclude, Some(place.to_owned()));
    assert_eq!(asked(&document), open("/operation/snag"));
    assert_eq!(asked(&sticking(document.clone(), json!({ "capacity": "rated" }))), open("/operation/snag/pull"));
    let without = json!({ "pull": cited(json!("10 kN")) });
    assert_eq!(asked(&sticking(document.clone(), without)), open("/operation/snag/capacity"));
    assert_eq!(assess(&document, &rules).verdict, Verdict::CannotConclude);
}

#[test]
fn contradictions_and_values_out_of_range_are_refused_with_their_place() {
    let at = "/operation/snag";
    let share =
        |value: &str| json!({ "pull": cited(json!("1 kN")), "capacity": { "share_of_rated": cited(json!(value)) } });
    for (snag, code, place) in [
        (pull(0.0, json!("rated")), "out_of_domain", "/pull/value"),
        (pull(-5.0, json!("rated")), "out_of_domain", "/pull/value"),
        (json!({ "pull": { "value": "5 kN", "source": " " } }), "missing", "/pull/source"),
        (json!({ "pull": { "value": "5 t", "source": "x" } }), "wrong_unit", "/pull/value"),
        (json!({ "factor": cited(json!(1.0)) }), "out_of_domain", "/factor/value"),
        (json!({ "factor": cited(json!(0.5)) }), "out_of_domain", "/factor/value"),
        (json!({ "factor": cited(json!(2)), "pull": cited(json!("1 kN")) }), "inconsistent", "/factor"),
        (share("0 %"), "out_of_domain", "/capacity/share_of_rated/value"),
        (share("501 %"), "out_of_domain", "/capacity/share_of_rated/value"),
    ] {
        let document = sticking(patching::demo(SKID), snag.clone());
        let error = Lift::from_json(&document.to_string()).unwrap_err();
        assert_eq!((error.code(), error.place().as_str()), (code, format!("{at}{place}").as_str()), "{snag}");
    }
    let mut document = sticking(patching::demo(SKID), pull(5.0, json!("rated")));
    patching::set(&mut document, "/operation/circumstances", json!({ "load_may_stick": false }));
    let error = Lift::from_json(&document.to_string()).unwrap_err();
    assert_eq!((error.code(), error.place().as_str()), ("inconsistent", at));
}
