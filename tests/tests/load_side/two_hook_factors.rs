//! Two hooks after 0027/ND Rev 11.2 (2016): what the tilt of the load and each hook's own static load do to everything on a hook.

use super::heights::{HOOKS, first_share, two_hooks, vessel};
use super::*;

/// Rules of a firm's own that take the guideline for two hooks.
fn own_rules() -> RuleSet {
    let text = format!(
        "format = 1\nname = \"own-two-hooks\"\ntitle = \"Two hooks\"\nedition = \"2026\"\nstatus = \"in force\"\n[[source]]\nid = \
         \"own\"\ndocument = \"own instruction\"\nstanding = \"stated\"\n{}[[include]]\ndocument = \
         \"marine-0027-nd-2016\"\n[[include]]\ndocument = \"marine-0027-nd-2016-further\"\n",
        applies("own")
    );
    RuleSet::from_toml(&text).unwrap_or_else(|error| panic!("{error}"))
}

fn tonnes(finding: &Finding) -> f64 {
    demand(finding).value() / (1000.0 * GRAVITY)
}

fn by_rule(assessment: &Assessment, hook: &str) -> Option<f64> {
    let found = coded(assessment, Code::HookHeights).into_iter();
    let mut found = found.filter(|finding| finding.item.as_str() == hook);
    found.find(|finding| finding.demand.as_ref().is_some_and(|demand| demand.quantity.contains("by rule"))).map(tonnes)
}

fn exact() -> Value {
    let mut document = vessel();
    patching::set(&mut document, "/load/center_of_gravity/tolerance", json!(["0 mm", "0 mm", "0 mm"]));
    document
}

const MASS: f64 = 96.0 * 1.03;

#[test]
fn what_hangs_from_a_hook_bears_the_tilt_by_rule_as_the_hook_does() {
    let tilted = first_share(13.6, 1.1, 0.0, 3.0_f64.to_radians()) * MASS;
    let level = 13.6 / 24.0 * MASS;
    assert!(tilted > level + 0.2);
    for (code, item, pointer) in [
        (Code::LiftPointStrength, "lug A", "/load/lift_points/0/rating/wll"),
        (Code::FittingStrength, "shackle A", "/fittings/0/rating/wll"),
        (Code::SlingStrength, "grommet A", "/slings/0/strength/wll"),
    ] {
        for (wll, fails) in [(tilted - 0.005, true), (tilted + 0.005, false)] {
            let mut document = exact();
            patching::set(&mut document, pointer, json!(format!("{wll} t")));
            let assessment = assess(&document, &two_hooks());
            assert_eq!(of(&assessment, code, item).verdict, Verdict::Pass, "{item}");
            let found = coded(&assessment, Code::HookHeights).into_iter();
            let found: Vec<_> =
                found.filter(|finding| finding.text.contains(item) && finding.verdict == Verdict::Fail).collect();
            assert_eq!(!found.is_empty(), fails, "{item} of {wll} t: {found:?}");
            assert!(!fails || found.iter().any(|finding| finding.text.contains("tilted by 3.00 deg")), "{found:?}");
        }
    }
}

#[test]
fn the_tilt_is_held_against_a_hook_with_two_slings_too() {
    // Two slings to lugs side by side across the load: App. B.1.2 sums the points of a hook. 5.4.7 adds 1.05.
    let mut document = exact();
    for (list, name) in
        [("slings", "grommet A2"), ("fittings", "shackle A2"), ("legs", "leg A2"), ("load/lift_points", "lug A2")]
    {
        let mut copy = document.pointer(&format!("/{list}/0")).unwrap().clone();
        copy["name"] = json!(name);
        patching::set(&mut document, &format!("/{list}/2"), copy);
    }
    patching::set(&mut document, "/legs/2/items", json!(["grommet A2", "shackle A2"]));
    patching::set(&mut document, "/legs/2/path/1/end", json!("lug A2"));
    patching::set(&mut document, "/load/lift_points/0/position", json!(["0 m", "-0.5 m", "0 m"]));
    patching::set(&mut document, "/load/lift_points/2/position", json!(["0 m", "0.5 m", "0 m"]));
    let assessment = assess(&document, &two_hooks());
    let expected = first_share(13.6, 1.1, 0.0, 3.0_f64.to_radians()) * MASS * 1.05;
    let found = by_rule(&assessment, HOOKS[0]).unwrap();
    assert!((found - expected).abs() < 1e-6, "{found} and {expected}");
    // Points of one hook that lie one behind the other: the rule does not say how the tilt acts, and nothing is concluded.
    patching::set(&mut document, "/load/lift_points/2/position", json!(["0.5 m", "0.5 m", "0 m"]));
    let assessment = assess(&document, &two_hooks());
    for hook in HOOKS {
        assert_eq!(by_rule(&assessment, hook), None);
        let found = coded(&assessment, Code::HookHeights).into_iter();
        let open = found.filter(|finding| finding.item.as_str() == hook && finding.verdict == Verdict::CannotConclude);
        assert!(open.into_iter().any(|finding| finding.text.contains("3.00 deg")), "{hook}");
    }
}

#[test]
fn hooks_of_two_cranes_keep_the_whole_tilt_however_they_are_synchronized() {
    let whole = by_rule(&assess(&exact(), &two_hooks()), HOOKS[0]).unwrap();
    let mut document = exact();
    patching::set(&mut document, "/operation/hooks_synchronized", json!(true));
    assert!(by_rule(&assess(&document, &two_hooks()), HOOKS[0]).unwrap() < whole - 0.01);
    patching::set(&mut document, "/operation/kind", json!("multi_crane_lift"));
    patching::set(&mut document, "/hooks/1/crane", json!("sheerleg 8"));
    assert_eq!(by_rule(&assess(&document, &two_hooks()), HOOKS[0]), Some(whole));
}

/// The vessel as a load of 20 t, at sea.
fn light() -> Value {
    let mut document = exact();
    patching::set(&mut document, "/load/kind", json!("general"));
    patching::set(&mut document, "/load/mass/value", json!("20 t"));
    patching::set(&mut document, "/environment/location", json!("offshore"));
    document
}

#[test]
fn the_dynamic_factor_of_a_hook_is_that_of_its_own_static_load() {
    // 6.2.3 and note 5 of Table 5-1: the static hook load is that of each hook, here with a sling and a shackle of 0.1 t.
    let factor = |load: f64| 1.0 + 0.25 * (100.0 / load).sqrt();
    let level = 20.6 * 13.6 / 24.0;
    let whole = level * factor(20.6 + 0.2);
    let own = level * factor(level + 0.1);
    assert!(own > 1.1 * whole);
    let assessment = assess(&light(), &own_rules());
    assert!((tonnes(of(&assessment, Code::HookLoad, HOOKS[0])) - whole).abs() < 1e-3);
    let found = coded(&assessment, Code::HookHeights).into_iter();
    let found: Vec<f64> = found
        .filter(|finding| {
            let quantity = finding.demand.as_ref().map_or("", |demand| &demand.quantity);
            finding.item.as_str() == HOOKS[0]
                && quantity.contains("its own dynamic factor")
                && !quantity.contains("rule")
        })
        .map(tonnes)
        .collect();
    assert!(found.iter().any(|found| (found - own).abs() < 1e-3), "{found:?} and {own}");
    // A hook that the factor of the whole lift passes.
    let mut weak = light();
    patching::set(&mut weak, "/hooks/0/rating/wll", json!(format!("{} t", own - 0.1)));
    let assessment = assess(&weak, &own_rules());
    assert_eq!(of(&assessment, Code::HookLoad, HOOKS[0]).verdict, Verdict::Pass);
    assert_eq!(assessment.verdict, Verdict::Fail);
    // What hangs from it likewise.
    let mut weak = light();
    patching::set(&mut weak, "/load/lift_points/0/rating/wll", json!(format!("{} t", own - 0.1)));
    let assessment = assess(&weak, &own_rules());
    assert_eq!(of(&assessment, Code::LiftPointStrength, "lug A").verdict, Verdict::Pass);
    let found = coded(&assessment, Code::HookHeights).into_iter();
    assert!(found.into_iter().any(|finding| finding.verdict == Verdict::Fail && finding.text.contains("lug A")));
}

#[test]
fn no_factor_of_the_table_is_taken_for_several_vessels_offshore() {
    let verdict = |place: &str, vessels: Option<&str>| {
        let mut document = light();
        patching::set(&mut document, "/operation/kind", json!("multi_crane_lift"));
        patching::set(&mut document, "/hooks/1/crane", json!("sheerleg 8"));
        patching::set(&mut document, "/environment/location", json!(place));
        patching::set(&mut document, "/operation/vessels", vessels.map_or(json!("unknown"), |vessels| json!(vessels)));
        let assessment = assess(&document, &own_rules());
        let told = assessment.findings.iter().find(|finding| finding.text.contains("5.5.2"));
        let asked = |finding: &&Finding| {
            missing(finding).contains(&"/operation/vessels") && finding.text.contains("dynamic factor")
        };
        (told.map(|finding| finding.verdict), assessment.findings.iter().any(|finding| asked(&finding)))
    };
    assert_eq!(verdict("offshore", Some("several")), (Some(Verdict::CannotConclude), false));
    assert_eq!(verdict("offshore", Some("one")), (None, false));
    assert_eq!(verdict("inshore", Some("several")), (None, false));
    assert!(verdict("offshore", None).1);
}
