//! A vessel on two cranes: shares, margins of two documents, and what a stated capacity leaves to be counted.

use super::*;

/// 75 percent of the chart on each crane: common practice without a source, here as a rule of the test's own.
const PRACTICE: &str = r#"
format = 1
name = "practice"
title = "Three quarters of the chart"
edition = "none"
status = "in force"
[[source]]
id = "practice"
document = "three quarters of the chart on each of several cranes"
standing = "common practice"
[[rule]]
answers = "crane margin"
name = "each crane used to 75 percent of its chart"
relation = "constant"
value = 1.3333333333333333
source = "practice"
clause = "several cranes"
"#;

fn queensland() -> RuleSet {
    with_rules("au-qld-mobile-crane-2006", &applies("code"))
}

fn practice() -> RuleSet {
    RuleSet::from_toml(&format!("{PRACTICE}\n{}", applies("practice"))).unwrap()
}

/// Lengths exact, so that the shares are those of the lever rule.
fn vessel() -> Value {
    let mut document = patching::demo("vessel-two-cranes");
    patching::set(&mut document, "/operation/kind", json!("multi_crane_lift"));
    for sling in 0..2 {
        patching::set(&mut document, &format!("/slings/{sling}/length/tolerance"), json!("0 mm"));
    }
    document
}

/// Share of each crane in t by levers, the center of gravity off by `shift` toward B; lines plumb, lugs level.
fn levers(shift: f64) -> [f64; 2] {
    let mass = 96.0 * 1.03;
    [mass * (24.0 - 10.4 - shift) / 24.0, mass * (10.4 + shift) / 24.0]
}

fn tonnes(chain: &Chain) -> f64 {
    chain.value() / (1000.0 * GRAVITY)
}

const HOOKS: [&str; 2] = ["hook of crane A", "hook of crane B"];

#[test]
fn the_anchors_are_what_levers_give() {
    let worst = [levers(-0.4)[0], levers(0.4)[1]];
    for (found, printed) in [(levers(0.0), [56.03, 42.85]), (worst, [57.68, 44.50])] {
        assert!((found[0] - printed[0]).abs() <= 0.005 && (found[1] - printed[1]).abs() <= 0.005, "{found:?}");
    }
    for (margin, printed) in [(1.2, [69.2, 53.4]), (1.0 / 0.75, [76.9, 59.3])] {
        assert!((worst[0] * margin - printed[0]).abs() <= 0.05 && (worst[1] * margin - printed[1]).abs() <= 0.05);
    }
}

#[test]
fn one_document_passes_crane_a_and_the_other_fails_it() {
    let worst = [levers(-0.4)[0], levers(0.4)[1]];
    for (rules, margin, verdicts, clause) in [
        (queensland(), 1.2, [Verdict::Pass, Verdict::Pass], "14.3.2"),
        (practice(), 1.0 / 0.75, [Verdict::Fail, Verdict::Pass], "several cranes"),
    ] {
        let assessment = assess(&vessel(), &rules);
        for (index, hook) in HOOKS.iter().enumerate() {
            let plain = of(&assessment, Code::HookLoad, hook);
            let share = of(&assessment, Code::CraneShare, hook);
            // Levers know no stretch, which turns the load by a few kilograms' worth.
            let (plain_share, with_margin) = (tonnes(demand(plain)), tonnes(demand(share)));
            assert!((plain_share - worst[index]).abs() < 0.005, "{hook}: {plain_share}");
            assert!((with_margin - plain_share * margin).abs() < 1e-9, "{hook}: {with_margin}");
            assert_eq!((plain.verdict, share.verdict), (Verdict::Pass, verdicts[index]), "{hook}");
            assert_eq!(share.source.as_ref().unwrap().clause.as_str(), clause);
            assert!(demand(share).is_coherent() && share.capacity == plain.capacity);
        }
        let expected = if verdicts.contains(&Verdict::Fail) { Verdict::Fail } else { Verdict::Pass };
        assert_eq!(assessment.verdict, expected, "{:?}", assessment.governing());
    }
    let report = {
        let lift = lift(&vessel());
        let assessment = lift.assess(&practice()).unwrap();
        rigging_core::report::text(&assessment, &assessment.remedy(&lift).unwrap())
    };
    assert!(report.contains("common practice, no source"), "{report}");
    // The remedy names what the crane would have to carry: 76.9 t, rounded up.
    assert!(report.contains("passes with a WLL of 76.9"), "{}", &report[..600]);
}

#[test]
fn the_margin_follows_the_number_of_cranes() {
    // Two hooks of one crane are one crane: the table for several does not speak of it.
    let mut one = vessel();
    patching::set(&mut one, "/operation/kind", json!("two_hook_lift"));
    for hook in 0..2 {
        patching::set(&mut one, &format!("/hooks/{hook}/crane"), json!("crane A"));
    }
    let assessment = assess(&one, &queensland());
    let share = coded(&assessment, Code::CraneShare);
    assert_eq!((share.len(), share[0].verdict), (1, Verdict::NotCovered), "{share:?}");
    // The same where the kind of operation tells it and no crane is named.
    for hook in 0..2 {
        patching::remove(&mut one, &format!("/hooks/{hook}/crane"));
    }
    let assessment = assess(&one, &queensland());
    let share = coded(&assessment, Code::CraneShare);
    assert_eq!((share.len(), share[0].verdict), (1, Verdict::NotCovered), "{share:?}");
    assert!(share[0].missing.is_empty(), "{share:?}");
    // Not named, and the kind of operation does not tell.
    let mut unnamed = vessel();
    patching::set(&mut unnamed, "/operation/kind", json!("lifting"));
    patching::remove(&mut unnamed, "/hooks/1/crane");
    let assessment = assess(&unnamed, &queensland());
    let share = coded(&assessment, Code::CraneShare);
    assert_eq!((share.len(), missing(share[0])), (1, vec!["/hooks/1/crane"]));
    // By its kind two hooks are two cranes, named or not.
    patching::set(&mut unnamed, "/operation/kind", json!("multi_crane_lift"));
    assert_eq!(coded(&assess(&unnamed, &queensland()), Code::CraneShare).len(), 2);
    // A set that is silent says so, and one hook needs no margin of a table for several.
    let silent = assess(&vessel(), &built_in("us-general"));
    let share = coded(&silent, Code::CraneShare);
    assert_eq!((share.len(), share[0].verdict), (1, Verdict::NotCovered));
    assert!(coded(&assess(&patching::demo("generator-skid-round-edge"), &queensland()), Code::CraneShare).is_empty());
    assert_eq!(coded(&assess(&patching::demo("generator-skid-round-edge"), &practice()), Code::CraneShare).len(), 1);
}

/// Block and gear: each counts once or not at all, as the capacity says.
#[test]
fn block_and_gear_are_counted_once() {
    let base = tonnes(demand(of(&assess(&vessel(), &queensland()), Code::HookLoad, HOOKS[0])));
    assert!((base - levers(-0.4)[0]).abs() < 0.005, "{base}");
    let gear = 0.038 + 0.062;
    for (basis, block, added) in [
        ("net_of_block_and_gear", None, 0.0),
        ("net_of_block_and_gear", Some("1.5 t"), 0.0),
        ("net_of_block", None, gear),
        ("net_of_block", Some("1.5 t"), gear),
        ("gross", Some("1.5 t"), gear + 1.5),
    ] {
        let mut document = vessel();
        patching::set(&mut document, "/hooks/0/capacity_basis", json!(basis));
        if let Some(block) = block {
            patching::set(&mut document, "/hooks/0/mass", json!(block));
        }
        let assessment = assess(&document, &queensland());
        let found = tonnes(demand(of(&assessment, Code::HookLoad, HOOKS[0])));
        assert!((found - base - added).abs() < 1e-9, "{basis}, {block:?}: {found}");
        let share = tonnes(demand(of(&assessment, Code::CraneShare, HOOKS[0])));
        assert!((share - 1.2 * (base + added)).abs() < 1e-9, "{basis}: {share}");
        // What the rating is net of is told as not counted, what counts is not.
        let told =
            coded(&assessment, Code::NotConsidered).iter().any(|finding| finding.place.as_str() == "/hooks/0/mass");
        assert_eq!(told, block.is_some() && basis != "gross", "{basis}");
    }
    // Gross, and nobody says what the block weighs; or several hooks, and nobody says what the capacity is.
    let mut gross = vessel();
    patching::set(&mut gross, "/hooks/0/capacity_basis", json!("gross"));
    let assessment = assess(&gross, &queensland());
    assert_eq!(missing(of(&assessment, Code::HookLoad, HOOKS[0])), ["/hooks/0/mass"]);
    let mut open = vessel();
    patching::remove(&mut open, "/hooks/1/capacity_basis");
    let assessment = assess(&open, &queensland());
    let finding = of(&assessment, Code::HookLoad, HOOKS[1]);
    assert_eq!((finding.verdict, missing(finding)), (Verdict::CannotConclude, vec!["/hooks/1/capacity_basis"]));
    assert!(finding.demand.is_some());
    assert_eq!(of(&assessment, Code::HookLoad, HOOKS[0]).verdict, Verdict::Pass);
    // The same of a single hook whose block is stated; without one its rating is that of the hook.
    let mut single = patching::demo("generator-skid-round-edge");
    assert_eq!(of(&assess(&single, &built_in("us-general")), Code::HookLoad, "crane hook").verdict, Verdict::Pass);
    patching::set(&mut single, "/hooks/0/mass", json!("0.4 t"));
    let finding = of(&assess(&single, &built_in("us-general")), Code::HookLoad, "crane hook").clone();
    assert_eq!((finding.verdict, missing(&finding)), (Verdict::CannotConclude, vec!["/hooks/0/capacity_basis"]));
}

/// What a document states of cranes must fit together.
#[test]
fn cranes_that_contradict_the_kind_of_operation_are_refused() {
    let mut document = vessel();
    patching::set(&mut document, "/operation/kind", json!("two_hook_lift"));
    let error = Lift::from_json(&document.to_string()).unwrap_err();
    assert_eq!((error.code(), error.place().as_str()), ("inconsistent", "/hooks/1/crane"));
    let mut document = vessel();
    patching::set(&mut document, "/hooks/1/crane", json!("crane A"));
    let error = Lift::from_json(&document.to_string()).unwrap_err();
    assert_eq!((error.code(), error.place().as_str()), ("inconsistent", "/operation/kind"));
}
