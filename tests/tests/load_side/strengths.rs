//! What looks at strengths together looks at all of them: lugs off their axis and plates as well as slings, shackles and lugs.

use super::*;

/// A lug that bears `beyond` times what is asked of it by what its maker leaves off its axis; its own rating is far off.
pub(super) fn off_axis(document: &Value, rules: &RuleSet, lug: usize, beyond: f64) -> Value {
    let mut document = document.clone();
    let at = format!("/load/lift_points/{lug}");
    patching::set(&mut document, &format!("{at}/rating/wll"), json!("500 t"));
    let name = document.pointer(&format!("{at}/name")).and_then(Value::as_str).unwrap().to_owned();
    let assessment = assess(&document, rules);
    let asked = demand(of(&assessment, Code::LiftPointStrength, &name)).value();
    let share = asked * beyond / (500_000.0 * GRAVITY) * 100.0;
    let within = document.pointer(&format!("{at}/allowed_direction/within")).unwrap().clone();
    let shares =
        json!({ "value": [{ "up_to": within, "share": format!("{share} %") }], "source": "maker's sheet EP-1" });
    patching::set(&mut document, &format!("{at}/allowed_direction/shares"), shares);
    document
}

const SKID: &str = "generator-skid-round-edge";

#[test]
fn the_weight_of_the_gear_counts_for_a_lug_off_its_axis() {
    let rules = built_in("us-general");
    // 68 kg of gear weigh 0.67 kN, and the lug bears 104 kN.
    for (beyond, verdict) in [(1.0005, Verdict::CannotConclude), (1.02, Verdict::Pass)] {
        let assessment = assess(&off_axis(&patching::demo(SKID), &rules, 1, beyond), &rules);
        let gear = coded(&assessment, Code::OwnWeight)[0];
        assert_eq!((gear.verdict, assessment.verdict), (verdict, verdict), "{}", gear.text);
    }
}

#[test]
fn the_push_of_the_wind_counts_for_a_lug_off_its_axis() {
    let rules = built_in("us-general");
    let mut document = patching::demo(SKID);
    let cited = |value: Value| json!({ "value": value, "source": "wind note WN-4" });
    patching::set(&mut document, "/load/mass/at_least", cited(json!("18.5 t")));
    patching::set(&mut document, "/load/allowed_tilt/value", json!("40 deg"));
    // 45 kN on 181 kN: every force by the factor 1.0303.
    let wind = json!({
        "face": cited(json!(["5 m", "3 m"])),
        "drag_coefficient": cited(json!(1.0)),
        "pressure": cited(json!("3 kPa")),
        "above_center_of_gravity": "0 m",
        "allowed_off_plumb": cited(json!("20 deg")),
    });
    let factor = 1.0_f64.hypot(45_000.0 / (18_500.0 * GRAVITY));
    for (beyond, verdict) in [(factor * 0.999, Verdict::Fail), (factor * 1.001, Verdict::Pass)] {
        let mut document = off_axis(&document, &rules, 1, beyond);
        patching::set(&mut document, "/environment/wind", wind.clone());
        let assessment = assess(&document, &rules);
        let pushed = coded(&assessment, Code::Wind).into_iter().find(|finding| finding.demand.is_none()).unwrap();
        assert_eq!((pushed.verdict, assessment.verdict), (verdict, verdict), "{}", pushed.text);
    }
}

#[test]
fn hooks_that_are_not_level_count_for_a_lug_off_its_axis() {
    let rules = with_rules("marine-0027-nd-2016-further", &applies("nd"));
    let document = heights::vessel();
    let leg = |document: &Value| {
        let assessment = assess(document, &rules);
        let heights = coded(&assessment, Code::HookHeights);
        heights.into_iter().find(|finding| finding.item.as_str() == "leg A").map(|finding| finding.verdict)
    };
    assert_eq!(leg(&document), None);
    assert_eq!(leg(&off_axis(&document, &rules, 0, 1.0001)), Some(Verdict::Fail));
    assert_eq!(leg(&off_axis(&document, &rules, 0, 2.0)), None);
}

#[test]
fn what_stands_in_the_row_of_a_leg_belongs_together() {
    let lift = lift(&patching::demo("tool-skid-offshore"));
    let assessment = lift.assess(&built_in("marine-0027-nd-2016")).unwrap();
    let mut at_rest = 0;
    for leg in &assessment.legs {
        let (asked, allowed, utilization) =
            (leg.taken.unwrap_or(leg.worst), leg.allowed.unwrap(), leg.utilization.unwrap());
        assert!((asked / allowed - utilization).abs() < 1e-15, "{leg:?}");
        let same = |finding: &&Finding| finding.demand.as_ref().is_some_and(|chain| chain.value() == asked);
        let largest =
            assessment.findings.iter().filter(same).filter_map(|finding| finding.utilization).reduce(f64::max);
        assert!(largest >= Some(utilization));
        at_rest += usize::from(leg.taken.is_some_and(|taken| taken < leg.worst));
    }
    assert!(at_rest > 0, "the limit of the shackles at rest governs: {:?}", assessment.legs);
    let report = rigging_core::report::text(&assessment, &assessment.remedy(&lift).unwrap());
    assert!(report.contains("taken kN"), "{}", &report[..800]);
}

#[test]
fn that_nobody_states_the_direction_of_a_hole_is_told_once() {
    let mut document = patching::demo(SKID);
    let assessment = assess(&document, &built_in("us-general"));
    let found = coded(&assessment, Code::NotConsidered).into_iter().filter(|finding| finding.text.contains("sideways"));
    let found: Vec<_> = found.collect();
    assert_eq!((found.len(), found[0].verdict, assessment.verdict), (1, Verdict::NotCovered, Verdict::Pass));
    for word in ["shackle A", "shackle D", "hole_axis", "lug A", "lug D"] {
        assert!(found[0].text.contains(word), "{word}: {}", found[0].text);
    }
    // Stated, it is looked at, and what is left over nobody says.
    for lug in 0..4 {
        patching::set(&mut document, &format!("/load/lift_points/{lug}/hole_axis"), json!([1, 0, 0]));
    }
    let assessment = assess(&document, &built_in("us-general"));
    let found = coded(&assessment, Code::SideLoad);
    assert_eq!((found.len(), assessment.verdict), (4, Verdict::CannotConclude));
    assert!(found.iter().all(|finding| finding.verdict == Verdict::CannotConclude));
}
