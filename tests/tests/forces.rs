//! An assessment by source of its forces: what the vertices attain, bounds that are proven, a sharing rule.
//!
//! The skid's figures are those of the test `skid`: independent, two solvers written apart from this library.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing)]

#[path = "support/patching.rs"]
mod patching;

use approx::assert_abs_diff_eq;
use rigging_core::arrangement::{Anchor, Lift};
use rigging_core::checks::{Assessment, Code, Finding, Remedy, Severity, Verdict};
use rigging_core::demand::{Asks, ElasticBounds, Forces, Proof, Reach};
use rigging_core::equilibrium::worst::Effort;
use rigging_core::error::Error;
use rigging_core::report;
use rigging_core::rules::RuleSet;
use rigging_core::sharing::{EqualShare, LegFactors, LegSet, LegsCounted, SharingRule, StatedAngle, Words};
use rigging_core::source::Source;
use serde_json::{Value, json};
use std::sync::Arc;

const PASS: &str = "generator-skid-round-edge";
const FAIL: &str = "generator-skid-stiff-slings";
/// The attained worst of leg B, in N, to half of its last printed digit.
const ATTAINED: f64 = 103_645.0;
/// What a roundsling of the demo may bear: 12 t, in N.
const CAPACITY: f64 = 117_679.8;

fn bounds() -> Forces<'static> {
    Forces::Bounds(Effort::default())
}

fn assess(document: &Value, rules: &str, forces: Forces<'_>) -> (Lift, Assessment) {
    let lift = Lift::from_json(&document.to_string()).unwrap();
    let assessment = lift.assess_by(&RuleSet::built_in(rules).unwrap(), forces).unwrap();
    (lift, assessment)
}

fn demo(name: &str, forces: Forces<'_>) -> Assessment {
    assess(&patching::demo(name), "us-general", forces).1
}

fn finding<'a>(assessment: &'a Assessment, code: Code, item: &str) -> &'a Finding {
    let found = assessment.findings.iter().find(|finding| finding.code == code && finding.item == item);
    found.unwrap_or_else(|| panic!("{code:?} of {item}"))
}

fn rule_finding(assessment: &Assessment) -> &Finding {
    assessment.findings.iter().find(|finding| finding.code == Code::SharingRule).unwrap()
}

/// Rates the sling of leg B, tag included, in N.
fn rated(newtons: f64) -> Value {
    let mut document = patching::demo(PASS);
    for key in ["strength", "tag"] {
        patching::set(&mut document, &format!("/slings/1/{key}/wll"), json!(format!("{newtons} N")));
    }
    document
}

#[test]
fn the_skid_by_bounds() {
    let pass = demo(PASS, bounds());
    assert_eq!(pass.verdict, Verdict::Pass);
    let sling = finding(&pass, Code::SlingStrength, "roundsling B");
    let bound = sling.demand.as_ref().unwrap();
    assert!(ATTAINED < bound.value() && bound.value() < CAPACITY, "{}", bound.value());
    assert!(bound.is_coherent() && sling.text.contains("tension of leg B"));
    let step = bound.steps.last().unwrap();
    assert!(step.term.name.contains("proven") && step.term.inputs[0].value.starts_with("103.6"), "{:?}", step.term);
    assert_eq!(pass.legs[1].taken, Some(bound.value()));
    assert!(pass.legs[1].worst >= ATTAINED && pass.legs[1].worst <= bound.value());
    assert!(finding(&pass, Code::Stability, "generator skid GS-4").text.contains("proven"));

    let fail = demo(FAIL, bounds());
    assert_eq!(fail.verdict, Verdict::Fail);
    let sling = finding(&fail, Code::SlingStrength, "roundsling B");
    assert_eq!(sling.verdict, Verdict::Fail);
    assert!(fail.legs[1].worst > 121_405.0 && sling.demand.as_ref().unwrap().value() >= fail.legs[1].worst);
}

#[test]
fn what_the_vertices_attain_is_as_before() {
    for name in [PASS, FAIL, "generator-skid", "vessel-two-cranes", "deck-equalizing-sheave"] {
        let (lift, chosen) = assess(&patching::demo(name), "us-general", Forces::AtVertices);
        let plain = lift.assess(&RuleSet::built_in("us-general").unwrap()).unwrap();
        assert_eq!(chosen, plain);
        assert!(chosen.legs.iter().all(|leg| leg.taken.is_none()) && chosen.by_rule.is_none());
        assert!(!report::json::assessment(&plain).unwrap().contains("\"forces\":{"));
    }
}

#[test]
fn between_what_is_attained_and_the_bound_nothing_is_concluded() {
    let loose = Effort { gap: 0.01, parts: 2000 };
    let figures = demo(PASS, Forces::Bounds(loose)).legs[1].clone();
    let (attained, bound) = (figures.worst, figures.taken.unwrap());
    let close = Effort { gap: 1e-5, parts: 20_000 };
    let narrower = demo(PASS, Forces::Bounds(close)).legs[1].taken.unwrap();
    assert!(narrower < bound, "more effort finds a lower bound: {narrower} of {bound}");
    let document = rated(0.5 * (bound.min(attained * 1.009) + narrower));
    let sling = |effort| {
        let (_, assessment) = assess(&document, "us-general", Forces::Bounds(effort));
        let sling = finding(&assessment, Code::SlingStrength, "roundsling B").clone();
        (sling, assessment.verdict)
    };
    let (open, verdict) = sling(loose);
    assert_eq!((open.verdict, verdict), (Verdict::CannotConclude, Verdict::CannotConclude));
    assert!(open.text.contains("was attained and does not exceed it") && open.text.contains("may decide"));
    assert!(open.utilization.unwrap() > 1.0);
    assert_eq!(sling(close).0.verdict, Verdict::Pass);
    // Below what is attained it fails whatever the effort.
    let (_, assessment) = assess(&rated(attained * 0.999_99), "us-general", bounds());
    assert_eq!(finding(&assessment, Code::SlingStrength, "roundsling B").verdict, Verdict::Fail);
}

#[test]
fn where_there_is_no_bound_nothing_is_concluded_and_the_reason_told() {
    let none = Forces::Bounds(Effort { parts: 0, ..Effort::default() });
    let (lift, assessment) = assess(&patching::demo(PASS), "us-general", none);
    assert_eq!(assessment.verdict, Verdict::CannotConclude);
    let sling = finding(&assessment, Code::SlingStrength, "roundsling A");
    assert_eq!((sling.verdict, sling.utilization), (Verdict::CannotConclude, None));
    assert!(sling.text.contains("there is no bound") && sling.text.contains("could not be enclosed"), "{}", sling.text);
    assert_eq!((assessment.legs[0].taken, assessment.legs[0].utilization), (None, None));
    assert!(matches!(assessment.remedy(&lift).unwrap(), Remedy::Other(text) if text.contains("there is no bound")));
    // A real state that exceeds fails without any bound.
    let (_, stiff) = assess(&patching::demo(FAIL), "us-general", none);
    assert_eq!(finding(&stiff, Code::SlingStrength, "roundsling B").verdict, Verdict::Fail);
    // Slings that run: no proof is known. A state that may not be stable: there is none.
    for (name, reason) in
        [("frame-tall-item", "not certified as stable"), ("deck-equalizing-sheave", "pass over stations")]
    {
        let assessment = demo(name, bounds());
        let demand = assessment.demand.as_ref().unwrap();
        assert!(matches!(&demand.moving.proof, Proof::Open { why, .. } if why.contains(reason)), "{name}");
        let mut strengths = assessment.findings.iter().filter(|finding| {
            [Code::SlingStrength, Code::FittingStrength, Code::LiftPointStrength, Code::SpreaderCompression]
                .contains(&finding.code)
        });
        assert!(strengths.all(|finding| finding.verdict != Verdict::Pass), "{name}");
        let hooks = assessment.findings.iter().filter(|finding| finding.code == Code::HookLoad);
        assert!(hooks.filter(|finding| finding.verdict == Verdict::Pass).count() == 1, "{name}");
    }
    let invalid = Forces::Bounds(Effort { gap: f64::NAN, parts: 10 });
    let lift = Lift::from_json(&patching::demo(PASS).to_string()).unwrap();
    let error = lift.assess_by(&RuleSet::built_in("us-general").unwrap(), invalid).unwrap_err();
    assert_eq!((error.code(), error.place().as_str()), ("out_of_domain", "/gap"));
}

/// A panel below a spreader: every sling is held against a bound.
#[test]
fn a_panel_below_a_spreader_is_bounded() {
    let assessment = demo("panel-spreader", bounds());
    let demand = assessment.demand.as_ref().unwrap();
    assert!(matches!(demand.moving.proof, Proof::Bounded { .. }), "{:?}", demand.moving.proof);
    for leg in &demand.moving.legs {
        let bound = leg.bound.unwrap();
        assert!((leg.largest..1.05 * leg.largest).contains(&bound), "{} N, bound {bound} N", leg.largest);
    }
    // Of the compression of the spreader no bound is known, and what was attained of it concludes nothing.
    assert_eq!(demo("panel-spreader", Forces::AtVertices).verdict, Verdict::Pass);
    let open = assessment.findings.iter().filter(|finding| finding.verdict == Verdict::CannotConclude);
    assert_eq!(open.map(|finding| finding.code).collect::<Vec<_>>(), [Code::SpreaderCompression]);
}

/// Two cranes: each hook is held against the bound of its pull. Anchors of the scenario, at the mass with 3 %; the document
/// lets lengths be off as well, which adds a few kilograms.
#[test]
fn two_cranes_are_bounded() {
    let assessment = demo("vessel-two-cranes", bounds());
    assert_eq!(assessment.verdict, demo("vessel-two-cranes", Forces::AtVertices).verdict);
    let demand = assessment.demand.as_ref().unwrap();
    assert!(matches!(demand.moving.proof, Proof::Bounded { .. }));
    for (hook, anchor) in [57.68, 44.50].into_iter().enumerate() {
        let place = demand.moving.at(Anchor::Hook(hook)).unwrap();
        let (attained, bound) = (place.largest / 9806.65, place.bound.unwrap() / 9806.65);
        assert!(
            (0.0..0.02).contains(&(attained - anchor + 0.005)) && (attained..attained * 1.01).contains(&bound),
            "{attained} {bound}"
        );
    }
    let hooks = assessment.findings.iter().filter(|finding| finding.code == Code::HookLoad);
    assert_eq!(hooks.filter(|finding| finding.verdict == Verdict::Pass).count(), 2);
}

#[test]
fn with_a_dynamic_factor_both_weights_are_bounded() {
    let (_, assessment) = assess(&patching::demo(PASS), "marine-0027-nd-2016", bounds());
    let demand = assessment.demand.as_ref().unwrap();
    let at_rest = demand.at_rest.as_ref().unwrap();
    for (moving, at_rest) in demand.moving.legs.iter().zip(&at_rest.legs) {
        assert!(moving.bound.unwrap() > at_rest.bound.unwrap());
        assert!(moving.bound.unwrap() >= moving.largest && at_rest.bound.unwrap() >= at_rest.largest);
    }
    for at_rest in [false, true] {
        let asked = demand.leg(1, "leg B", at_rest).unwrap();
        let extremes = if at_rest { demand.extremes_at_rest() } else { &demand.moving };
        assert_eq!(asked.reach, Reach::Bound(extremes.legs[1].largest));
        assert_eq!(Some(asked.chain.value()), extremes.legs[1].bound);
        assert!(asked.chain.is_coherent() && asked.chain.quantity.ends_with("at rest") == at_rest);
    }
}

/// Two legs that meet in one lug bear on it with their resultant, of which the bound is below the sum of both.
#[test]
fn a_shared_point_has_a_bound_of_its_own() {
    let mut document = patching::demo(PASS);
    let path = document["legs"][1]["path"].to_string();
    let moved = path.replace("lug B", "lug A");
    assert_ne!(path, moved);
    patching::set(&mut document, "/legs/1/path", serde_json::from_str(&moved).unwrap());
    patching::set(&mut document, "/load/center_of_gravity/position", json!(["0 m", "0.3 m", "-0.5 m"]));
    let (_, assessment) = assess(&document, "us-general", bounds());
    let demand = assessment.demand.as_ref().unwrap();
    assert_eq!(demand.moving.places.len(), 1);
    let place = &demand.moving.places[0];
    let sum: f64 = demand.moving.legs[..2].iter().map(|leg| leg.bound.unwrap()).sum();
    let bound = place.bound.unwrap();
    assert!(place.largest <= bound && bound < 0.9 * sum, "{} {bound} {sum}", place.largest);
    let lug = finding(&assessment, Code::LiftPointStrength, "lug A");
    assert_eq!(lug.demand.as_ref().unwrap().value(), bound);
}

#[test]
fn the_skid_by_rules() {
    // The rules by hand are stated for one angle of 27.5 degrees and a center of gravity that is known.
    let at = |rule| StatedAngle::new(rule, 27.5_f64.to_radians()).unwrap();
    let without_box = |name: &str| {
        let mut document = patching::demo(name);
        patching::set(&mut document, "/load/center_of_gravity/tolerance", json!(["0 mm", "0 mm", "0 mm"]));
        document
    };
    let by = |document: &Value, rule: &dyn SharingRule| assess(document, "us-general", Forces::Rule(rule)).1;
    let two = at(Arc::new(LegsCounted::two()));
    let pass = by(&without_box(PASS), &two);
    let cover = rule_finding(&pass);
    assert_eq!((pass.verdict, cover.verdict), (Verdict::Pass, Verdict::Pass));
    assert_eq!((cover.item.as_str(), cover.severity), ("leg B", Severity::Grave));
    assert_abs_diff_eq!(cover.utilization.unwrap(), 99.46 / 102.265, epsilon = 1e-4);
    let chain = finding(&pass, Code::SlingStrength, "roundsling B").demand.as_ref().unwrap();
    assert_eq!((chain.quantity.as_str(), chain.is_coherent()), ("tension of leg B by rule", true));
    assert_eq!(chain.steps.last().unwrap().term.inputs[1].value.as_str(), "not claimed");
    assert_eq!(pass.legs[1].taken, Some(chain.value()));
    // On stiffer slings not even two legs cover the skid.
    let fail = by(&without_box(FAIL), &two);
    let cover = rule_finding(&fail);
    assert_eq!((fail.verdict, cover.verdict, cover.item.as_str()), (Verdict::Fail, Verdict::Fail, "leg B"));
    assert_eq!(cover.demand.as_ref().unwrap().value(), fail.legs[1].worst);
    assert_abs_diff_eq!(cover.utilization.unwrap(), 116.52 / 102.265, epsilon = 1e-4);
    // Nor, at the angles as drawn, the soft one with the box of its center of gravity: 98.5 kN of 103.6 kN.
    let drawn = demo(PASS, Forces::Rule(&LegsCounted::two()));
    let chain = finding(&drawn, Code::SlingStrength, "roundsling B").demand.as_ref().unwrap();
    assert_eq!(chain.steps.last().unwrap().term.inputs[1].value.as_str(), "claimed, not proven");
    assert_eq!((rule_finding(&drawn).verdict, drawn.verdict), (Verdict::Fail, Verdict::Fail));
    // Three legs and a factor of 2.1 fail on both.
    let three = at(Arc::new(LegsCounted::three()));
    let factor = at(Arc::new(LegFactors::built_in().unwrap()[0].clone()));
    let rules: [&dyn SharingRule; 2] = [&three, &factor];
    for rule in rules {
        for name in [PASS, FAIL] {
            let found = by(&without_box(name), rule);
            let verdicts = (rule_finding(&found).verdict, found.verdict);
            assert_eq!(verdicts, (Verdict::Fail, Verdict::Fail), "{} on {name}", rule.words().name);
        }
    }
    // A bound that is proven is a rule like any other, and covers what it bounds.
    let proven = demo(PASS, Forces::Rule(&ElasticBounds::default()));
    assert_eq!((rule_finding(&proven).verdict, proven.verdict), (Verdict::Pass, Verdict::Pass));
    for angle in [-0.1, f64::NAN, 1.6] {
        assert_eq!(StatedAngle::new(Arc::new(EqualShare), angle).unwrap_err().code(), "out_of_domain");
    }
}

#[test]
fn a_rule_that_nothing_can_be_held_against_is_not_concluded_upon() {
    let two = LegsCounted::two();
    for (pointer, place) in
        [("/slings/2/stiffness", "/slings/2/stiffness"), ("/slings/2/length/tolerance", "/slings/2/length/tolerance")]
    {
        let mut document = patching::demo(PASS);
        patching::set(&mut document, pointer, json!("unknown"));
        let (lift, assessment) = assess(&document, "us-general", Forces::Rule(&two));
        assert_eq!(assessment.verdict, Verdict::CannotConclude);
        let cover = rule_finding(&assessment);
        assert_eq!((cover.verdict, cover.missing[0].place.as_str()), (Verdict::CannotConclude, place));
        // Strength by rule is told all the same.
        assert_eq!(finding(&assessment, Code::SlingStrength, "roundsling B").verdict, Verdict::Pass);
        assert!(assessment.demand.is_none() && assessment.by_rule.is_some() && assessment.legs.is_empty());
        assert!(matches!(assessment.remedy(&lift).unwrap(), Remedy::Add(_)));
    }
}

#[derive(Debug)]
struct Own(Result<Vec<f64>, Error>);

impl SharingRule for Own {
    fn words(&self) -> Words {
        let source = Source::stated_with_rule("note of the yard");
        Words { name: "own".into(), domain: "any".into(), source, conservative: false }
    }

    fn forces(&self, _: &LegSet) -> Result<Vec<f64>, Error> {
        self.0.clone()
    }
}

#[test]
fn what_a_rule_refuses_is_not_concluded_upon_and_told() {
    let domain = Error::out_of_domain("span", 9.0, "m", "below 5", rigging_core::error::Place::root());
    let refusals = [
        Error::unsupported("sets of this kind", rigging_core::error::Place::root().child("legs")),
        Error::missing("the span", "\"span\": …", rigging_core::error::Place::root()),
        domain,
    ];
    for refusal in refusals {
        let told = refusal.to_string();
        let assessment = demo(PASS, Forces::Rule(&Own(Err(refusal))));
        let cover = rule_finding(&assessment);
        assert_eq!((cover.verdict, assessment.verdict), (Verdict::CannotConclude, Verdict::CannotConclude));
        assert!(cover.text.contains(&told) && cover.text.contains("\"own\""), "{}", cover.text);
        // No force is taken from elsewhere.
        assert!(!assessment.findings.iter().any(|finding| finding.code == Code::SlingStrength));
        assert!(assessment.legs.iter().all(|leg| leg.taken.is_none()));
    }
    // A number that is none passes nowhere; an answer that is not one force a leg is an error.
    let nan = demo(PASS, Forces::Rule(&Own(Ok(vec![1e6, f64::NAN, 1e6, 1e6]))));
    assert_eq!(nan.verdict, Verdict::CannotConclude);
    let lift = Lift::from_json(&patching::demo(PASS).to_string()).unwrap();
    let short = lift.assess_by(&RuleSet::built_in("us-general").unwrap(), Forces::Rule(&Own(Ok(vec![1e5; 3]))));
    assert_eq!(short.unwrap_err().code(), "inconsistent");
    // A leg that carries nothing by rule is not covered, whatever the sign of its zero.
    for zero in [0.0, -0.0] {
        let assessment = demo(PASS, Forces::Rule(&Own(Ok(vec![1.1e5, zero, 1.1e5, 1.1e5]))));
        assert_eq!((rule_finding(&assessment).verdict, assessment.verdict), (Verdict::Fail, Verdict::Fail));
    }
    // Another arrangement has no set of legs.
    let cranes = demo("vessel-two-cranes", Forces::Rule(&LegsCounted::two()));
    assert!(rule_finding(&cranes).text.contains("refuses") && cranes.verdict != Verdict::Pass);
}

#[test]
fn the_report_names_the_source_and_what_it_takes_for_granted() {
    for (forces, line, column, key) in [
        (bounds(), "forces: bounds over the tolerances", "bound kN", "\"source\":\"bounds\""),
        (
            Forces::Rule(&LegsCounted::two()),
            "forces: the rule \"two legs carry all\"",
            "by rule kN",
            "\"source\":\"rule\"",
        ),
    ] {
        let (lift, assessment) = assess(&patching::demo(PASS), "us-general", forces);
        let text = report::text(&assessment, &assessment.remedy(&lift).unwrap());
        assert!(text.contains(line) && text.contains(column), "{text}");
        assert!(report::json::assessment(&assessment).unwrap().contains(key));
        let listed: Vec<_> = assessment.assumptions.iter().map(|assumption| assumption.code).collect();
        for finding in &assessment.findings {
            assert!(finding.assumptions.iter().all(|code| listed.contains(code)), "{:?}", finding.code);
        }
    }
}

#[test]
fn what_would_change_it_is_sought_with_the_same_source() {
    let (lift, assessment) = assess(&patching::demo(PASS), "us-general", bounds());
    let Remedy::Holds { length_tolerance: Some(tolerance), capacity } = assessment.remedy(&lift).unwrap() else {
        panic!()
    };
    assert!(capacity > assessment.legs[1].taken.unwrap());
    // Within the tolerance told it passes by bounds.
    let with = |tolerance: f64| {
        let mut document = patching::demo(PASS);
        for index in 0..4 {
            let text = json!(format!("{tolerance} m"));
            patching::set(&mut document, &format!("/slings/{index}/length/tolerance"), text);
        }
        assess(&document, "us-general", bounds()).1.verdict
    };
    assert!(tolerance > 0.03);
    assert_eq!(with(tolerance), Verdict::Pass);
    assert_ne!(with(tolerance + 0.003), Verdict::Pass);
    let (lift, failing) = assess(&patching::demo(FAIL), "us-general", bounds());
    assert!(matches!(failing.remedy(&lift).unwrap(), Remedy::Passes { length_tolerance: Some(_), .. }));
    let (lift, by_rule) = assess(&patching::demo(FAIL), "us-general", Forces::Rule(&LegsCounted::two()));
    assert!(matches!(by_rule.remedy(&lift).unwrap(), Remedy::Other(_)));
}
