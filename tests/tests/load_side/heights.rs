//! Two hooks that need not be level: solved, and by the tilt and share of 0027/ND.

use super::*;

fn two_hooks() -> RuleSet {
    with_rules("marine-0027-nd-2016-further", &applies("nd"))
}

/// The vessel on two hooks of one crane on one vessel; lengths exact.
pub(super) fn vessel() -> Value {
    let mut document = patching::demo("vessel-two-cranes");
    patching::set(&mut document, "/operation/kind", json!("two_hook_lift"));
    patching::set(&mut document, "/operation/vessels", json!("one"));
    patching::set(&mut document, "/operation/hooks_synchronized", json!(false));
    for index in 0..2 {
        patching::set(&mut document, &format!("/hooks/{index}/crane"), json!("sheerleg 7"));
        patching::set(&mut document, &format!("/slings/{index}/length/tolerance"), json!("0 mm"));
    }
    document
}

pub(super) const HOOKS: [&str; 2] = ["hook of crane A", "hook of crane B"];

/// Findings of a hook in the order solved, by rule.
fn of_hook<'a>(assessment: &'a Assessment, hook: &str) -> (&'a Finding, &'a Finding) {
    let found: Vec<&Finding> =
        coded(assessment, Code::HookHeights).into_iter().filter(|finding| finding.item.as_str() == hook).collect();
    let by_rule = |finding: &&&Finding| demand(finding).quantity.contains("by rule");
    let solved = found.iter().find(|finding| !by_rule(finding)).unwrap();
    (solved, found.iter().find(by_rule).unwrap())
}

/// The largest pull that was found, in t, beside which a bound stands a little higher.
fn attained(finding: &Finding) -> f64 {
    let inputs = demand(finding).steps.iter().flat_map(|step| &step.term.inputs);
    let text = inputs.into_iter().rfind(|input| input.name.as_str() == "attained").unwrap().value.to_string();
    text.trim_end_matches(" kN").parse::<f64>().unwrap() / GRAVITY
}

fn tonnes(finding: &Finding) -> f64 {
    demand(finding).value() / (1000.0 * GRAVITY)
}

/// Share of the first hook of a body tilted by `tilt`: moments about the second point, lines plumb.
fn first_share(along: f64, up: f64, shift: f64, tilt: f64) -> f64 {
    let spacing = 24.0;
    let second = [along * tilt.cos() + up * tilt.sin() + shift * tilt.cos(), spacing * tilt.cos()];
    second[0] / second[1]
}

#[test]
fn a_meter_of_height_moves_little_where_the_center_of_gravity_is_near_the_lugs() {
    let mut document = vessel();
    patching::set(&mut document, "/load/center_of_gravity/tolerance", json!(["0 mm", "0 mm", "0 mm"]));
    let mass = 96.0 * 1.03;
    for (height, printed) in [("-1.100 m", 0.19), ("4.000 m", 0.69)] {
        patching::set(&mut document, "/load/center_of_gravity/position", json!(["10.400 m", "0.000 m", height]));
        let assessment = assess(&document, &two_hooks());
        let solved = |hook: &str| {
            let found: Vec<&Finding> = coded(&assessment, Code::HookHeights);
            *found
                .iter()
                .find(|finding| {
                    let quantity = finding.demand.as_ref().map_or("", |demand| &demand.quantity);
                    finding.item.as_str() == hook && quantity.contains("different heights")
                })
                .unwrap()
        };
        // By hand: the load tilts by the difference over the spacing, and the center of gravity swings aside by its height times that.
        let up: f64 = height.trim_end_matches(" m").parse().unwrap();
        let expected = mass * up.abs() * (1.0_f64 / 24.0).asin().tan() / 24.0;
        assert!((expected - printed).abs() <= 0.005, "{expected}, printed {printed}");
        if up > 0.0 {
            // Two lugs in a line hold no roll: such a load turns over, and of heights nothing passes.
            assert_eq!(of(&assessment, Code::Stability, "vessel V-1180").verdict, Verdict::Fail);
            let found = coded(&assessment, Code::HookHeights);
            assert!(found.iter().all(|finding| finding.verdict != Verdict::Pass) && !found.is_empty(), "{found:?}");
            continue;
        }
        for (index, hook) in HOOKS.iter().enumerate() {
            let level = mass * [13.6, 10.4][index] / 24.0;
            let finding = solved(hook);
            let (moved, bound) = (attained(finding) - level, tonnes(finding) - level);
            println!("{height}: {hook} {moved:.4} t, by hand {expected:.4} t");
            // Half a meter up and half a meter down; a few kilograms are the stretch's.
            assert!((moved - expected).abs() < 0.01, "{height}, {hook}: {moved} and {expected}");
            assert!((moved..moved + 0.002 * level).contains(&bound), "{height}, {hook}: bound {bound}");
            assert!(demand(finding).is_coherent());
        }
    }
}

#[test]
fn both_the_solved_load_and_that_by_rule_are_held_against_the_rating() {
    let assessment = assess(&vessel(), &two_hooks());
    let mass = 96.0 * 1.03;
    // 5.4.2: 3 degrees, or what a meter makes over 24 m, 2.39 degrees: the former is more.
    let tilt = 3.0_f64.to_radians();
    let by_hand = [first_share(13.6, 1.1, 0.4, tilt) * mass, first_share(10.4, 1.1, 0.4, tilt) * mass];
    for (index, hook) in HOOKS.iter().enumerate() {
        let (solved, by_rule) = of_hook(&assessment, hook);
        assert!((tonnes(by_rule) - by_hand[index]).abs() < 1e-6, "{hook}: {} and {}", tonnes(by_rule), by_hand[index]);
        assert_eq!((solved.verdict, by_rule.verdict), (Verdict::Pass, Verdict::Pass));
        assert!(
            attained(solved) > [57.68, 44.50][index] + 0.15 && attained(solved) < tonnes(by_rule),
            "{}",
            tonnes(solved)
        );
    }
    // The document also limits the plates of the lugs, of which nothing is stated.
    let open = |finding: &&Finding| matches!(finding.verdict, Verdict::Fail | Verdict::CannotConclude);
    let open: Vec<Code> = assessment.findings.iter().filter(open).map(|finding| finding.code).collect();
    assert!(!open.is_empty() && open.iter().all(|code| *code == Code::Geometry), "{open:?}");
    // A hook that the level load passes and the tilted one does not.
    let mut weaker = vessel();
    patching::set(&mut weaker, "/hooks/0/rating/wll", json!(format!("{} t", by_hand[0] - 0.02)));
    let assessment = assess(&weaker, &two_hooks());
    let (solved, by_rule) = of_hook(&assessment, HOOKS[0]);
    assert_eq!(of(&assessment, Code::HookLoad, HOOKS[0]).verdict, Verdict::Pass);
    assert_eq!((by_rule.verdict, assessment.verdict), (Verdict::Fail, Verdict::Fail));
    assert_ne!(solved.verdict, Verdict::Fail);
}

#[test]
fn what_is_not_known_of_vessels_and_hooks_is_the_severer_or_open() {
    let rule = |document: &Value| {
        let assessment = assess(document, &two_hooks());
        coded(&assessment, Code::HookHeights)
            .into_iter()
            .find(|finding| finding.demand.as_ref().is_some_and(|demand| demand.quantity.contains("by rule")))
            .map(tonnes)
    };
    let whole = rule(&vessel()).unwrap();
    // Synchronized: half the 3 degrees; then what a meter makes is more.
    let mut kept = vessel();
    patching::set(&mut kept, "/operation/hooks_synchronized", json!(true));
    let least = (1.0_f64 / 24.0).asin();
    let expected = first_share(13.6, 1.1, 0.4, least) * 96.0 * 1.03;
    assert!((rule(&kept).unwrap() - expected).abs() < 1e-6 && expected < whole);
    // Unknown: the whole tilt.
    let mut open = vessel();
    patching::remove(&mut open, "/operation/hooks_synchronized");
    assert_eq!(rule(&open), Some(whole));
    // Nobody says how many vessels; or several, for which the figure was not seen.
    for (vessels, place) in [(json!("unknown"), "/operation/vessels"), (json!("several"), "/operation")] {
        let mut document = vessel();
        patching::set(&mut document, "/operation/vessels", vessels.clone());
        patching::set(&mut document, "/operation/kind", json!("multi_crane_lift"));
        patching::set(&mut document, "/hooks/1/crane", json!("sheerleg 8"));
        let assessment = assess(&document, &two_hooks());
        let open: Vec<&Finding> = coded(&assessment, Code::HookHeights)
            .into_iter()
            .filter(|finding| finding.verdict == Verdict::CannotConclude)
            .collect();
        assert_eq!(open.len(), 1, "{vessels}: {open:?}");
        assert_eq!((open[0].place.as_str(), rule(&document)), (place, None));
    }
    // Sets that do not speak of it add nothing.
    assert!(coded(&assess(&vessel(), &built_in("us-general")), Code::HookHeights).is_empty());
    assert!(coded(&assess(&patching::demo("generator-skid-round-edge"), &two_hooks()), Code::HookHeights).is_empty());
}
