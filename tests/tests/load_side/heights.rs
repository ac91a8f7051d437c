//! Two hooks that need not be level: solved, and by the tilt and share of 0027/ND.

use super::*;

pub(super) fn two_hooks() -> RuleSet {
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
pub(super) fn first_share(along: f64, up: f64, shift: f64, tilt: f64) -> f64 {
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

/// The vessel with two legs from the first hook to its one lug, whose sizes leave room for both.
fn two_on_one_lug() -> Value {
    let mut document = vessel();
    patching::set(&mut document, "/load/center_of_gravity/tolerance", json!(["0 mm", "0 mm", "0 mm"]));
    let twin = |pointer: &str, document: &mut Value, name: &str| {
        let mut copy = document.pointer(&format!("{pointer}/0")).unwrap().clone();
        copy["name"] = json!(name);
        patching::set(document, &format!("{pointer}/2"), copy);
    };
    twin("/slings", &mut document, "grommet A2");
    twin("/fittings", &mut document, "shackle A2");
    twin("/legs", &mut document, "leg A2");
    patching::set(&mut document, "/legs/2/items", json!(["grommet A2", "shackle A2"]));
    document
}

/// What is said of an item with the hooks at heights that differ.
fn told(document: &Value, rules: &RuleSet, item: &str) -> Option<Verdict> {
    let assessment = assess(document, rules);
    let found = coded(&assessment, Code::HookHeights);
    found.into_iter().find(|finding| finding.item.as_str() == item).map(|finding| finding.verdict)
}

#[test]
fn legs_that_meet_count_together_with_the_hooks_at_different_heights() {
    // Each of two legs bears half of what the lug bears; a meter of height adds about 0.3 % to both.
    let rules = two_hooks();
    let mut document = two_on_one_lug();
    let link = json!({ "name": "link A", "kind": "ring", "rating": { "wll": "200 t", "source": "marking" },
        "bow_diameter": "200 mm", "inside_width": "330 mm", "mass": "60 kg" });
    patching::set(&mut document, "/fittings/3", link);
    patching::set(&mut document, "/hooks/0/fitting", json!("link A"));
    let level = assess(&document, &rules);
    for (code, item, pointer) in [
        (Code::LiftPointStrength, "lug A", "/load/lift_points/0/rating/wll"),
        (Code::FittingStrength, "link A", "/fittings/3/rating/wll"),
    ] {
        let asked = tonnes(of(&level, code, item));
        let mut weak = document.clone();
        patching::set(&mut weak, pointer, json!(format!("{} t", asked * 1.0005)));
        let assessment = assess(&weak, &rules);
        assert_eq!(of(&assessment, code, item).verdict, Verdict::Pass, "{item}, level");
        assert_eq!(of(&assessment, Code::HookHeights, item).verdict, Verdict::Fail, "{item}");
        assert!(asked > 55.0 && coded(&level, Code::HookHeights).iter().all(|finding| finding.item.as_str() != item));
    }
    // What a leg bears alone is its own share.
    let half = tonnes(of(&level, Code::SlingStrength, "grommet A"));
    assert!((half / tonnes(of(&level, Code::LiftPointStrength, "lug A")) - 0.5).abs() < 1e-3);
    patching::set(&mut document, "/slings/0/strength/wll", json!(format!("{} t", half * 1.0005)));
    assert_eq!(told(&document, &rules, "leg A"), Some(Verdict::Fail));
}

#[test]
fn a_ring_under_a_hook_bears_what_one_side_pulls_with_the_hooks_at_different_heights() {
    // Hook, one sling to the ring, another from there to the lug: the ring bears the one above, not the sum of both.
    let rules = two_hooks();
    let mut document = vessel();
    patching::set(&mut document, "/load/center_of_gravity/tolerance", json!(["0 mm", "0 mm", "0 mm"]));
    let ring = json!({ "name": "ring A", "position": ["0.000 m", "0.000 m", "8.000 m"], "fitting": "link A" });
    let link = json!({ "name": "link A", "kind": "ring", "rating": { "wll": "200 t", "source": "marking" },
        "bow_diameter": "200 mm", "inside_width": "330 mm", "mass": "60 kg" });
    patching::set(&mut document, "/fittings/2", link);
    patching::set(&mut document, "/joints", json!([ring]));
    let mut upper = document.pointer("/slings/0").unwrap().clone();
    upper["name"] = json!("grommet A0");
    upper["length"]["value"] = json!("1.000 m");
    patching::set(&mut document, "/slings/2", upper);
    patching::set(
        &mut document,
        "/legs/2",
        json!({ "name": "leg A0", "hitch": "straight", "path": [{ "end": HOOKS[0] }, { "end": "ring A" }], "items": ["grommet A0"], "contacts": [] }),
    );
    patching::set(&mut document, "/legs/0/path/0/end", json!("ring A"));
    patching::set(&mut document, "/slings/0/length/value", json!("8.000 m"));
    let asked = tonnes(of(&assess(&document, &built_in("us-general")), Code::FittingStrength, "link A"));
    patching::set(&mut document, "/fittings/2/rating/wll", json!(format!("{} t", asked * 1.0005)));
    assert_eq!(told(&document, &rules, "link A"), Some(Verdict::Fail));
}

#[test]
fn a_limit_at_rest_meets_the_force_at_rest_with_the_hooks_at_different_heights() {
    // A dynamic factor of 1.2 and a shackle's limit for the load at rest: the moving load is a matter of a limit of its own.
    let own = "[[rule]]\nanswers = \"dynamic factor\"\nname = \"factor of the test\"\nrelation = \"constant\"\nvalue = 1.2\nsource = \
               \"nd\"\nclause = \"test\"\n[[rule]]\nanswers = \"shackle static limit\"\nname = \"limit of the test\"\ninput = [{ fact = \
               \"working load limit\", unit = \"kN\" }]\nrelation = \"product\"\ntimes = [\"working load limit\"]\nunit = \
               \"kN\"\nsource = \"nd\"\nclause = \"test\"\n[[rule]]\nanswers = \"shackle dynamic limit\"\nname = \"limit of the test, \
               moving\"\ninput = [{ fact = \"working load limit\", unit = \"kN\" }]\nrelation = \"product\"\ntimes = [2, \"working load \
               limit\"]\nunit = \"kN\"\nsource = \"nd\"\nclause = \"test\"\n";
    let rules = with_rules("marine-0027-nd-2016-further", &(applies("nd") + own));
    let mut document = vessel();
    for (pointer, strength) in [("/hooks/0/rating/wll", "200 t"), ("/hooks/1/rating/wll", "200 t")] {
        patching::set(&mut document, pointer, json!(strength));
    }
    let level = assess(&document, &rules);
    let asked = of(&level, Code::FittingStrength, "shackle A");
    assert!(demand(asked).quantity.contains("at rest"), "{}", demand(asked).quantity);
    let (asked, moving) = (tonnes(asked), tonnes(of(&level, Code::SlingStrength, "grommet A")));
    assert!((moving / asked - 1.2).abs() < 1e-3, "{moving} and {asked}");
    for point in [0, 1] {
        patching::set(&mut document, &format!("/load/lift_points/{point}/rating/wll"), json!("200 t"));
        patching::set(&mut document, &format!("/slings/{point}/strength/wll"), json!("200 t"));
        patching::set(&mut document, &format!("/slings/{point}/strength/breaking_load"), json!("2000 t"));
    }
    for (beyond, expected) in [(1.0005, Some(Verdict::Fail)), (1.02, None)] {
        patching::set(&mut document, "/fittings/0/rating/wll", json!(format!("{} t", asked * beyond)));
        assert_eq!(told(&document, &rules, "leg A"), expected, "{beyond}");
    }
}
