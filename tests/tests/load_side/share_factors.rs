//! A factor of a firm's own on shares of the load for an uncertain center of gravity, in the place of a box and never on top of it.

use super::heights::{HOOKS, vessel};
use super::*;

const SOURCE: &str =
    "[[source]]\nid = \"own\"\ndocument = \"Hollow Ford lifting instruction\"\nstanding = \"stated\"\n";

/// US federal rules with a factor of an invented firm's own.
fn own(condition: &str, value: &str) -> RuleSet {
    let text = patching::text("rigging-core/rules/us-general.toml");
    let rule = format!(
        "{SOURCE}[[rule]]\nanswers = \"center of gravity factor\"\nsymbol = \"c\"\nname = \"factor where no box is known\"\n{condition}\n\
         relation = \"constant\"\nvalue = {value}\nsource = \"own\"\nclause = \"4.2\"\n{}",
        applies_to_hooks()
    );
    RuleSet::from_toml(&format!("{text}\n{rule}")).unwrap_or_else(|error| panic!("{error}"))
}

/// The federal rules name no lift by two hooks; the firm does.
fn applies_to_hooks() -> &'static str {
    "[[rule]]\nanswers = \"applies to operation\"\nname = \"own lifts by two hooks\"\nwhen = { operation = [\"two-hook lift\", \"multi-crane \
     lift\"] }\nrelation = \"applies\"\nsource = \"own\"\nclause = \"1\"\n"
}

fn boxless(mut document: Value) -> Value {
    patching::remove(&mut document, "/load/center_of_gravity/tolerance");
    document
}

/// The results of the steps of a demand, in t.
fn steps(finding: &Finding) -> Vec<f64> {
    demand(finding).steps.iter().map(|step| step.result / (1000.0 * GRAVITY)).collect()
}

#[test]
fn the_factor_raises_the_share_of_each_hook_and_of_its_legs() {
    let assessment = assess(&boxless(vessel()), &own("", "1.04"));
    // By hand: 96 t and 3 %, 13.6 of 24 m on the first hook, 10.4 on the second, times the factor. Unequal stretch tilts the
    // load a little: a kilogram or two.
    for (hook, arm) in HOOKS.into_iter().zip([13.6, 10.4]) {
        let share = 96.0 * 1.03 * arm / 24.0;
        let found = steps(of(&assessment, Code::HookLoad, hook));
        for due in [share, share * 1.04] {
            assert!(found.iter().any(|step| (step - due).abs() < 2e-3), "{hook}: {due} t among {found:?}");
        }
        assert!(demand(of(&assessment, Code::HookLoad, hook)).is_coherent());
    }
    let leg = &assessment.legs[0];
    assert_eq!(leg.taken, Some(leg.worst * 1.04));
    let told = of(&assessment, Code::CenterOfGravity, "vessel V-1180");
    assert_eq!((told.verdict, told.source.as_ref().unwrap().clause.as_str()), (Verdict::Pass, "4.2"));
    let taken: Vec<&str> = assessment.assumptions.iter().map(|assumption| assumption.code.text()).collect();
    assert!(taken.contains(&"center_of_gravity"), "{taken:?}");
}

#[test]
fn under_a_single_hook_the_legs_are_raised_and_the_hook_is_not() {
    let document = boxless(patching::demo("generator-skid-round-edge"));
    let mut exact = document.clone();
    patching::set(&mut exact, "/load/center_of_gravity/tolerance", json!(["0 mm", "0 mm", "0 mm"]));
    let (raised, level) = (assess(&document, &own("", "1.1")), assess(&exact, &built_in("us-general")));
    let legs = raised.legs.iter().zip(&level.legs);
    let (mut looked_at, mut items) = (0, 0);
    for (raised, level) in legs {
        assert_eq!((raised.worst, raised.taken), (level.worst, Some(level.worst * 1.1)));
        looked_at += 1;
    }
    for finding in &raised.findings {
        let same = |other: &&Finding| other.code == finding.code && other.item == finding.item;
        let Some(other) = level.findings.iter().find(same) else { continue };
        let (Some(one), Some(two)) = (finding.utilization, other.utilization) else { continue };
        let factor = match finding.code {
            Code::SlingStrength | Code::FittingStrength | Code::LiftPointStrength => 1.1,
            Code::HookLoad => 1.0,
            _ => continue,
        };
        assert!((one - two * factor).abs() < 1e-12, "{:?} of {}: {one} and {two}", finding.code, finding.item);
        items += 1;
    }
    println!("{looked_at} legs, {items} items");
    assert_eq!(looked_at, 4);
    assert!(items >= 10);
}

#[test]
fn a_box_that_is_stated_goes_before_the_factor_and_the_severer_is_told() {
    let document = patching::demo("generator-skid-round-edge");
    let plain = assess(&document, &built_in("us-general"));
    for (factor, word) in [("1.0", "The tolerances are severer"), ("3.0", "The factor would be severer")] {
        let assessment = assess(&document, &own("", factor));
        assert_eq!(assessment.legs, plain.legs, "the factor is not taken on top");
        let told = coded(&assessment, Code::CenterOfGravity);
        assert_eq!((told.len(), told[0].verdict), (1, Verdict::NotCovered));
        assert!(told[0].text.contains(word), "{}", told[0].text);
        assert_eq!(assessment.verdict, plain.verdict);
    }
}

#[test]
fn without_box_and_factor_nothing_is_concluded() {
    let document = boxless(patching::demo("generator-skid-round-edge"));
    let lacking = |assessment: &Assessment| {
        let finding = coded(assessment, Code::Equilibrium);
        (assessment.verdict, missing(finding[0]).first().map(|place| (*place).to_owned()))
    };
    let at = "/load/center_of_gravity/tolerance".to_owned();
    assert_eq!(lacking(&assess(&document, &built_in("us-general"))), (Verdict::CannotConclude, Some(at.clone())));
    // A factor for another operation is none.
    let rules = own("when = { operation = \"multi-crane lift\" }", "1.04");
    assert_eq!(lacking(&assess(&document, &rules)), (Verdict::CannotConclude, Some(at)));
    // A condition that nobody can tell is asked for, at its place.
    let mut nowhere = document.clone();
    patching::remove(&mut nowhere, "/environment/location");
    let rules = own("when = { place = \"onshore\" }", "1.04");
    let asked = lacking(&assess(&nowhere, &rules));
    assert_eq!(asked, (Verdict::CannotConclude, Some("/environment/location".to_owned())));
    // One that the firm does not pass on is none either.
    let text = patching::text("rigging-core/rules/us-general.toml");
    let withheld = format!(
        "{text}\n{SOURCE}[[rule]]\nanswers = \"center of gravity factor\"\nname = \"not read\"\nrelation = \"withheld\"\nwhy = \"not \
         read\"\nsource = \"own\"\nclause = \"4.2\"\n"
    );
    let assessment = assess(&document, &RuleSet::from_toml(&withheld).unwrap());
    let found = coded(&assessment, Code::Equilibrium);
    assert_eq!(found[0].verdict, Verdict::CannotConclude);
    assert!(found[0].text.contains("a center of gravity factor: not read"), "{}", found[0].text);
}

#[test]
fn a_factor_below_one_is_no_factor_and_no_built_in_set_decides_by_one() {
    let text = patching::text("rigging-core/rules/us-general.toml");
    let rule = |value: &str| {
        RuleSet::from_toml(&format!(
            "{text}\n{SOURCE}[[rule]]\nanswers = \"center of gravity factor\"\nname = \"f\"\nrelation = \"constant\"\nvalue = {value}\n\
             source = \"own\"\nclause = \"4.2\"\n"
        ))
    };
    assert_eq!(rule("0.99").unwrap_err().code(), "out_of_domain");
    assert!(rule("1.0").is_ok());
    // What is published of it is known from memory only.
    let sets = RuleSet::built_in_names().iter().map(|name| format!("rigging-core/rules/{name}.toml"));
    let documents = RuleSet::document_names().iter().map(|name| format!("rigging-core/rules/documents/{name}.toml"));
    let files: Vec<String> = sets.chain(documents).collect();
    assert!(files.len() > 50);
    let speaking = files.iter().filter(|file| patching::text(file).contains("\"center of gravity factor\""));
    assert_eq!(speaking.collect::<Vec<_>>(), Vec::<&String>::new());
}
