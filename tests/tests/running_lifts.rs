//! Lifts whose slings pass over something, from their documents: closed forms, the capstan relation, findings.
//!
//! Origin of what is compared: derived here from mechanics, with the platform's own functions and none of the library's.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing)]

#[path = "support/patching.rs"]
mod patching;

use approx::assert_relative_eq;
use rigging_core::arrangement::Lift;
use rigging_core::checks::{Assessment, Code, Finding, Verdict};
use rigging_core::equilibrium::State;
use rigging_core::equilibrium::running::{Sliding, hang};
use rigging_core::error::Error;
use rigging_core::quantity::Mass;
use rigging_core::rules::RuleSet;
use rigging_core::statics::RunningSlings;
use rigging_core::system::{Masses, from_lift, member_names};
use serde_json::{Value, json};

const DOUBLED: &str = "pump-doubled-sling";
const SHEAVE: &str = "deck-equalizing-sheave";
const GRAVITY: f64 = 9.806_65;
/// So stiff that the sling keeps its length to a part in ten million.
const STIFF: &str = "1e12 N";
const OVER: &str = "/legs/0/path/1/over";

fn lift(document: &Value) -> Lift {
    Lift::from_json(&document.to_string()).unwrap_or_else(|error| panic!("{error:?}"))
}

fn running(document: &Value) -> RunningSlings {
    lift(document).hang().unwrap().running().unwrap()
}

fn assess(document: &Value) -> Assessment {
    lift(document).assess(&RuleSet::built_in("us-general").unwrap()).unwrap()
}

fn finding<'a>(assessment: &'a Assessment, code: Code, item: &str) -> &'a Finding {
    let found = assessment.findings.iter().find(|finding| finding.code == code && finding.item.as_str() == item);
    found.unwrap_or_else(|| panic!("no finding {code:?} on {item}"))
}

/// The doubled sling with a center of gravity, a friction (none: a free sheave) and a stiffness of one's own.
fn doubled(offset: f64, depth: f64, friction: Option<[f64; 2]>, stiffness: &str) -> Value {
    let mut document = patching::demo(DOUBLED);
    patching::set(
        &mut document,
        "/load/center_of_gravity/position",
        json!([format!("{offset} m"), "0 m", format!("{} m", -depth)]),
    );
    patching::set(&mut document, "/slings/0/stiffness/law/ea", json!(stiffness));
    let over = match friction {
        Some(friction) => json!({"station": "crane hook", "friction": {"value": friction, "source": "trial FT-4"}}),
        None => json!({"station": "crane hook", "free_turning": true}),
    };
    patching::set(&mut document, OVER, over);
    document
}

/// Where the hook is on an inextensible sling of 6 m between points at ±0.9 m, farthest from a center of gravity: an
/// ellipse, searched in small steps and then halved. Returns the pull of each side for a weight.
fn on_the_ellipse(offset: f64, depth: f64, weight: f64) -> f64 {
    let (half, focus) = (3.0_f64, 0.9_f64);
    let minor = (half * half - focus * focus).sqrt();
    let point = |turn: f64| (half * turn.sin(), minor * turn.cos());
    let far = |turn: f64| {
        let (x, z) = point(turn);
        (x - offset).hypot(z + depth)
    };
    let (mut at, mut step) = (0.0_f64, 0.1_f64);
    while step > 1e-12 {
        if far(at + step) > far(at) {
            at += step;
        } else if far(at - step) > far(at) {
            at -= step;
        } else {
            step *= 0.5;
        }
    }
    let (x, z) = point(at);
    // Equal pulls along both sides: their sum is the weight.
    let (one, other) = ((x - focus).atan2(z), (x + focus).atan2(z));
    weight / (2.0 * (0.5 * (one - other)).cos())
}

#[test]
fn a_doubled_sling_on_a_free_sheave_hangs_at_the_lowest_point_of_an_ellipse() {
    for (offset, depth) in [(0.0, 1.1), (0.04, 1.1), (-0.2, 1.5), (0.3, 2.5), (0.05, 0.6)] {
        let found = running(&doubled(offset, depth, None, STIFF));
        assert_eq!((found.frictionless, found.limits, found.share), (Some(State::Stable), Some(0), None));
        let expected = on_the_ellipse(offset, depth, 6400.0 * GRAVITY);
        let [one, other] = found.legs[0].spans.as_slice() else { panic!("two spans") };
        assert_eq!(found.legs[0].sliding, Sliding::Free);
        assert_relative_eq!(one.tension, expected, max_relative = 1e-6);
        assert_relative_eq!(other.tension, expected, max_relative = 1e-6);
        // The hook bears the weight, whatever the sling does.
        assert_relative_eq!(found.legs[0].stations[0].pull, 6400.0 * GRAVITY, max_relative = 1e-9);
    }
    // It slides off where the center of gravity is nearer to the hook than the radius of curvature of the ellipse, a²/b.
    let minor = (9.0_f64 - 0.81).sqrt();
    let limit = 9.0 / minor - minor;
    for (share, state) in [(1.02, State::Stable), (0.98, State::Unstable)] {
        let found = running(&doubled(0.0, share * limit, None, STIFF));
        assert_eq!(found.frictionless, Some(state));
    }
}

#[test]
fn the_limits_of_a_doubled_sling_stand_in_the_ratio_of_the_capstan() {
    let friction = [0.08, 0.16];
    let document = lift(&doubled(0.04, 1.1, Some(friction), "6 MN"));
    let model = from_lift(&document, Masses::of_load(Mass::kilograms(6400.0))).unwrap();
    // As drawn the hook stands plumb above the center of gravity, where both sides together are as long as the sling.
    let sides = |height: f64| [0.90_f64 - 0.04, 0.90 + 0.04].map(|level| level.hypot(height));
    let (mut low, mut high) = (0.0, 6.0);
    for _ in 0..100 {
        let middle = 0.5 * (low + high);
        if sides(middle).iter().sum::<f64>() < 6.0 { low = middle } else { high = middle }
    }
    for (member, side) in model.system.members().iter().zip(sides(low)) {
        assert_relative_eq!(member.length, side, max_relative = 1e-12);
    }
    let run = hang(&model.system, &model.running).unwrap();
    let limits = run.limits.as_ref().unwrap();
    assert_eq!(limits.len(), 2);
    let mut extremes = [[f64::INFINITY, 0.0]; 2];
    for (limit, sign) in limits.iter().zip([1.0, -1.0]) {
        let members = &limit.hung.certificate.members;
        let (one, other) = (members[0].direction, members[1].direction);
        let turn = std::f64::consts::PI - one.dot(other).clamp(-1.0, 1.0).acos();
        let ratio = members[1].tension / members[0].tension;
        assert_relative_eq!(ratio.ln(), sign * friction[1] * turn, max_relative = 1e-8);
        for (extreme, member) in extremes.iter_mut().zip(members) {
            *extreme = [extreme[0].min(member.tension), extreme[1].max(member.tension)];
        }
    }
    let answer = document.hang().unwrap().running().unwrap();
    assert_eq!((answer.limits, answer.share, answer.legs[0].sliding), (Some(2), Some(1.0), Sliding::Holds));
    for (span, [least, largest]) in answer.legs[0].spans.iter().zip(extremes) {
        assert_eq!((span.least, span.largest), (Some(least), Some(largest)));
        let even = span.frictionless.unwrap();
        assert!(least < even.min(span.held) && even.max(span.held) < largest);
    }
}

/// Sum of forces and of moments about the center of gravity on the load, over its weight.
fn unbalanced(lift: &Lift) -> [f64; 2] {
    let balance = lift.hang().unwrap();
    let (certificate, model) = (balance.certificate(), balance.model());
    let pose = &certificate.bodies[0];
    let weight = model.bodies()[0].mass * model.gravity();
    let (mut force, mut moment) = (glam::DVec3::NEG_Z * weight, glam::DVec3::ZERO);
    for (member, state) in model.members().iter().zip(&certificate.members) {
        for (end, sign) in [(member.b, 1.0), (member.a, -1.0)] {
            if let rigging_core::system::End::Body { body: 0, point } = end {
                let at = pose.position + pose.rotation * model.bodies()[0].points[point];
                let pull = sign * state.tension * state.direction;
                force += pull;
                moment += (at - pose.center_of_gravity).cross(pull);
            }
        }
    }
    [force.length() / weight, moment.length() / weight]
}

#[test]
fn an_equalizing_sheave_makes_four_points_three_pulls() {
    let document = patching::demo(SHEAVE);
    let lift = lift(&document);
    assert_eq!(
        member_names(&lift),
        ["leg 1", "leg 2", "pendant", "equalizing sling, span 1", "equalizing sling, span 2"]
    );
    let balance = lift.hang().unwrap();
    assert_eq!(balance.legs(), member_names(&lift));
    let tensions: Vec<f64> = balance.certificate().members.iter().map(|member| member.tension).collect();
    assert_relative_eq!(tensions[3], tensions[4], max_relative = 1e-9);
    let station = balance.running().unwrap().legs[0].stations[0].clone();
    assert_relative_eq!(station.pull, tensions[2], max_relative = 1e-9);
    // The resultant of two equal pulls halves their angle: 2·T·sin(turn/2).
    assert_relative_eq!(station.pull, 2.0 * tensions[3] * (0.5 * station.turn).sin(), max_relative = 1e-9);
    let [force, moment] = unbalanced(&lift);
    assert!(force < 1e-9 && moment < 1e-9, "{force} {moment}");
    // Three pulls need no matching: 30 mm on leg 1 change its tension by little, and by far more without the sheave.
    let change = |document: &Value| {
        let tension = |length: &str| {
            let mut document = document.clone();
            patching::set(&mut document, "/slings/0/length/value", json!(length));
            self::lift(&document).solve().unwrap().members[0].tension
        };
        (tension("5.430 m") / tension("5.400 m") - 1.0).abs()
    };
    let with = change(&document);
    let mut without = document.clone();
    for key in ["/joints", "/legs/3", "/legs/2", "/slings/3", "/slings/2"] {
        let (parent, last) = key.rsplit_once('/').unwrap();
        match without.pointer_mut(parent).unwrap() {
            Value::Object(object) => drop(object.remove(last)),
            Value::Array(list) => drop(list.remove(last.parse().unwrap())),
            _ => unreachable!(),
        }
    }
    for (leg, lug) in [(3, "lug 3"), (4, "lug 4")] {
        let mut sling = document["slings"][0].clone();
        sling["name"] = json!(format!("roundsling {leg}b"));
        sling["length"]["value"] = json!("5.2 m");
        without["slings"].as_array_mut().unwrap().push(sling);
        without["legs"].as_array_mut().unwrap().push(json!({"name": format!("leg {leg}"), "hitch": "straight",
            "path": [{"end": "crane hook"}, {"end": lug}], "items": [format!("roundsling {leg}b"), format!("shackle {leg}")], "contacts": []}));
    }
    let against = change(&without);
    println!(
        "30 mm on leg 1 change its tension by {:.1} % over the sheave, {:.1} % without",
        100.0 * with,
        100.0 * against
    );
    assert!(with < 0.03 && against > 5.0 * with, "{with} {against}");
}

/// A crate in two baskets under one hook: the slings pass over its lower edges.
fn baskets(friction: Value) -> Value {
    let mut document = patching::demo(DOUBLED);
    let mut load = document["load"].clone();
    load["lift_points"] = json!([]);
    load.as_object_mut().unwrap().remove("allowed_tilt");
    load["center_of_gravity"]["position"] = json!(["0.05 m", "0.02 m", "0.6 m"]);
    load["center_of_gravity"]["tolerance"] = json!(["0 mm", "20 mm", "0 mm"]);
    document["load"] = load;
    let mut slings = Vec::new();
    let mut legs = Vec::new();
    for (number, x) in [(1, "1.2 m"), (2, "-1.2 m")] {
        let mut sling = document["slings"][0].clone();
        sling["name"] = json!(format!("sling {number}"));
        sling["length"] = json!({"value": "9.000 m", "measured": "whole_leg", "tolerance": "0 mm"});
        slings.push(sling);
        let edge = |y: &str| {
            let mut over = json!({"position": [x, y, "0 m"], "bearing_diameter": "100 mm"});
            if !friction.is_null() {
                over["friction"] = json!({"value": friction, "source": "trial FT-5"});
            }
            json!({ "over": over })
        };
        legs.push(json!({"name": format!("basket {number}"), "hitch": "basket", "items": [format!("sling {number}")], "contacts": [],
            "path": [{"end": "crane hook"}, edge("0.6 m"), edge("-0.6 m"), {"end": "crane hook"}]}));
    }
    document["slings"] = json!(slings);
    document["fittings"] = json!([]);
    document["legs"] = json!(legs);
    document
}

#[test]
fn a_crate_in_baskets_lies_by_friction_alone() {
    let document = baskets(json!([0.2, 0.35]));
    let lift = lift(&document);
    let found = running(&document);
    assert_eq!((found.frictionless, found.held, found.rests_held), (Some(State::Unstable), State::Stable, true));
    assert_eq!(found.limits, Some(16));
    let [force, moment] = unbalanced(&lift);
    // Both edges are on the load, so what the stretch below it pulls cancels.
    assert!(force < 1e-9 && moment < 1e-9, "{force} {moment}");
    // The capstan relation at every edge of every limit, with the span below the load taken from its own stretch.
    let model = from_lift(&lift, Masses::of_load(Mass::kilograms(6400.0))).unwrap();
    let run = hang(&model.system, &model.running).unwrap();
    let mut compared = 0;
    for limit in run.limits.as_ref().unwrap() {
        assert_eq!(limit.share, 1.0);
        let mut rising = limit.rising.iter();
        for sling in 0..2 {
            let spans: Vec<f64> = (0..3).map(|span| limit.hung.tension(sling, span)).collect();
            for station in 0..2 {
                let sign = if *rising.next().unwrap() { 1.0 } else { -1.0 };
                let exponent = sign * 0.35 * limit.hung.turn(sling, station);
                assert_relative_eq!((spans[station + 1] / spans[station]).ln(), exponent, max_relative = 1e-8);
                compared += 1;
            }
            let lengths: f64 = limit.hung.slings[sling]
                .spans
                .iter()
                .map(|span| match span {
                    rigging_core::system::Span::Member(member) => limit.hung.system.members()[*member].length,
                    rigging_core::system::Span::Fixed { length, .. } => *length,
                })
                .sum();
            assert_relative_eq!(lengths, 9.0, max_relative = 1e-12);
        }
    }
    assert_eq!(compared, 64);
    // Held: the stretch below the load is pulled by what both sides leave at the edges, between the two.
    for leg in &found.legs {
        let [one, below, other] = leg.spans.as_slice() else { panic!("three spans") };
        assert_eq!(leg.sliding, Sliding::Holds);
        assert!(other.held < below.held && below.held < one.held, "{leg:?}");
    }
}

#[test]
fn what_is_found_on_slings_that_pass_over_something() {
    let pass = assess(&patching::demo(DOUBLED));
    assert_eq!(finding(&pass, Code::Sliding, "doubled sling").verdict, Verdict::Pass);
    assert_eq!(pass.verdict, Verdict::Pass, "{:?}", pass.governing());
    // The demand is the largest over the limits of sliding, not the even share.
    let sharp = running(&patching::demo(DOUBLED));
    assert!(pass.legs[0].worst >= sharp.legs[0].spans[0].largest.unwrap() && pass.legs[0].least < pass.legs[0].nominal);
    let sheave = assess(&patching::demo(SHEAVE));
    assert_eq!(sheave.verdict, Verdict::Pass);
    // One state at the nominal and each of 2^6 vertices; of the pump two limits and two more at each of 2^3.
    let states = |assessment: &Assessment| assessment.demand.as_ref().unwrap().moving.states;
    assert_eq!((states(&sheave), states(&pass)), (1 + 64, 4 * (1 + 8)));

    // Friction that is not known: nothing can be concluded, and it is asked for by its place.
    let mut document = patching::demo(DOUBLED);
    patching::remove(&mut document, &format!("{OVER}/friction"));
    let open = assess(&document);
    assert_eq!(open.verdict, Verdict::CannotConclude);
    let missing = &finding(&open, Code::Equilibrium, "Pump set PS-31 on one doubled sling").missing[0];
    assert_eq!(missing.place.as_str(), format!("{OVER}/friction"));
    let answer = running(&document);
    assert_eq!((answer.limits, answer.legs[0].sliding), (None, Sliding::Unknown));
    assert_eq!((answer.legs[0].spans[0].largest, answer.legs[0].stations[0].least), (None, None));

    // Too little friction at its least: it is never credited at its mean.
    for (friction, sliding) in [([0.01, 0.3], Sliding::MaySlide), ([0.01, 0.02], Sliding::Slides)] {
        let mut document = patching::demo(DOUBLED);
        patching::set(&mut document, "/load/center_of_gravity/position/0", json!("0.15 m"));
        patching::set(&mut document, &format!("{OVER}/friction/value"), json!(friction));
        assert_eq!(running(&document).legs[0].sliding, sliding);
        let assessment = assess(&document);
        assert_eq!(finding(&assessment, Code::Sliding, "doubled sling").verdict, Verdict::Fail);
    }

    // A place on the load that is no lift point has no rating, and a basket no rule of rating yet.
    let crate_in_baskets = assess(&baskets(json!([0.2, 0.35])));
    let governing = crate_in_baskets.governing().map(|finding| finding.text.to_string());
    assert_eq!(crate_in_baskets.verdict, Verdict::CannotConclude, "{governing:?}");
    assert_eq!(finding(&crate_in_baskets, Code::Stability, "pump set PS-31").verdict, Verdict::Pass);
    let held = finding(&crate_in_baskets, Code::Sliding, "basket 1");
    assert!(held.verdict == Verdict::Pass && held.text.as_str().contains("turn over"), "{}", held.text);
    let edge = finding(&crate_in_baskets, Code::LiftPointStrength, "basket 1, station 2");
    assert_eq!(edge.missing[0].place.as_str(), "/legs/0/path/1/over/station");
    assert!(edge.demand.as_ref().unwrap().value() > 0.0);
    assert!(
        !crate_in_baskets
            .findings
            .iter()
            .any(|finding| finding.code == Code::LegAngle && finding.verdict == Verdict::Fail)
    );
}

#[test]
fn a_point_passed_over_bears_the_resultant_in_its_direction() {
    // A load on the bight of a sling between two hooks, over a lug.
    let mut document = patching::demo(DOUBLED);
    let mut lug = document["load"]["lift_points"][0].clone();
    lug["position"] = json!(["0 m", "0 m", "0 m"]);
    lug["allowed_direction"]["within"] = json!("3 deg");
    document["load"]["lift_points"] = json!([lug]);
    document["load"]["center_of_gravity"]["position"][0] = json!("0 m");
    let hook = document["hooks"][0].clone();
    let at = |name: &str, x: &str| {
        let mut hook = hook.clone();
        hook["name"] = json!(name);
        hook["position"] = json!([x, "0 m", "2.6 m"]);
        hook
    };
    document["hooks"] = json!([at("hook E", "1.5 m"), at("hook W", "-1.5 m")]);
    document["fittings"] = json!([]);
    document["legs"][0]["items"] = json!(["roundsling 1"]);
    document["legs"][0]["path"] = json!([{"end": "hook E"},
        {"over": {"station": "lug E", "friction": {"value": [0.1, 0.2], "source": "trial FT-6"}, "bearing_diameter": "60 mm"}}, {"end": "hook W"}]);
    let assessment = assess(&document);
    let strength = finding(&assessment, Code::LiftPointStrength, "lug E").demand.as_ref().unwrap();
    // Both spans together carry the weight, the load hanging plumb below the lug: the resultant is the weight.
    assert_relative_eq!(strength.value(), 6400.0 * GRAVITY, max_relative = 1e-6);
    assert!(assessment.legs[0].worst < 6400.0 * GRAVITY);
    let direction = finding(&assessment, Code::LiftPointDirection, "lug E");
    // The center of gravity within 20 mm each way below 1.1 m tilts the load by up to 1.5°.
    let expected = (0.02_f64.hypot(0.02) / 1.1).atan();
    assert_relative_eq!(direction.demand.as_ref().unwrap().value(), expected, max_relative = 0.02);
    // Both hooks bear a sling that hangs from both, in full.
    let (gear, mut with_gear) = (12.0 * GRAVITY, 0);
    for name in ["hook E", "hook W"] {
        let chain = finding(&assessment, Code::HookLoad, name).demand.as_ref().unwrap();
        let span = chain.steps.iter().rev().nth(1).map_or(0.0, |step| step.term.value);
        assert_relative_eq!(chain.value(), span + gear, max_relative = 1e-12);
        with_gear += 1;
    }
    assert_eq!(with_gear, 2);
}

#[test]
fn questions_that_take_lengths_for_fixed_are_refused() {
    let balance = lift(&patching::demo(SHEAVE)).hang().unwrap();
    let refused = |error: Error| {
        assert_eq!((error.code(), error.place().as_str()), ("unsupported", "/legs/3/path"));
        assert!(error.to_string().contains("equalizing sling"), "{error}");
    };
    refused(balance.derivatives().unwrap_err());
    refused(balance.margins().unwrap_err());
    refused(balance.losses(&[]).unwrap_err());
    refused(balance.motions().unwrap_err());
    refused(balance.modes(6).unwrap_err());
    refused(balance.self_stress(1e-9).unwrap_err());
    refused(balance.order(&[], 1e-9).unwrap_err());
    refused(balance.periods(&[], 6, &[]).unwrap_err());
    refused(balance.others().unwrap_err());
    // What is not a running sling: a passage twice in one place, friction beyond what is taken.
    let error = |change: &dyn Fn(&mut Value)| {
        let mut document = patching::demo(DOUBLED);
        change(&mut document);
        let error = lift(&document).hang().unwrap_err();
        (error.code(), error.place().as_str().to_owned())
    };
    let friction = |document: &mut Value| patching::set(document, &format!("{OVER}/friction/value"), json!([0.1, 2.5]));
    assert_eq!(error(&friction), ("out_of_domain", format!("{OVER}/friction/value")));
    let choke = |document: &mut Value| patching::set(document, "/legs/0/hitch", json!({"choke": {}}));
    assert_eq!(error(&choke), ("unsupported", "/legs/0/hitch".to_owned()));
    let twice = |document: &mut Value| {
        let mut sling = document["slings"][0].clone();
        sling["name"] = json!("roundsling 2");
        patching::set(document, "/slings/1", sling);
        patching::set(document, "/legs/0/items", json!(["roundsling 1", "roundsling 2"]));
    };
    assert_eq!(error(&twice), ("unsupported", "/legs/0/items".to_owned()));
    // Too many edges with friction for every combination of ways to be tried.
    let many = |document: &mut Value| {
        let edges = [0.6, 0.4, 0.2, 0.0, -0.2, -0.4, -0.6].map(|y: f64| {
            json!({"over": {"position": ["0 m", format!("{y} m"), "0 m"], "friction": {"value": [0.1, 0.2], "source": "x"}}})
        });
        let hook = json!({"end": "crane hook"});
        let path = [hook.clone()].into_iter().chain(edges).chain([hook]).collect::<Vec<_>>();
        patching::set(document, "/legs/0/path", json!(path));
        patching::set(document, "/load/center_of_gravity/position", json!(["0 m", "0 m", "-3 m"]));
        let mut other = document["legs"][0].clone();
        other["name"] = json!("other");
        other["path"] = json!([{"end": "crane hook"}, {"end": "lug E"}]);
        other["items"] = json!(["roundsling 2"]);
        patching::set(document, "/legs/0/items", json!(["roundsling 1"]));
        patching::set(document, "/legs/1", other);
        let mut sling = document["slings"][0].clone();
        sling["name"] = json!("roundsling 2");
        patching::set(document, "/slings/1", sling);
    };
    assert_eq!(error(&many), ("unsupported", "/legs".to_owned()));
    let one_place = |document: &mut Value| {
        patching::set(
            document,
            OVER,
            json!({"position": ["0.9 m", "0 m", "0 m"], "friction": {"value": [0.1, 0.2], "source": "x"}}),
        );
        patching::set(document, "/legs/0/path/2", json!({"end": "crane hook"}));
    };
    assert_eq!(error(&one_place), ("inconsistent", "/legs/0/path/1".to_owned()));
}

/// A small generator with a fixed seed, so that a run can be repeated.
struct Random(u64);

impl Random {
    fn between(&mut self, low: f64, high: f64) -> f64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        low + (high - low) * (self.0 >> 11) as f64 / (1_u64 << 53) as f64
    }
}

#[test]
fn random_doubled_slings_keep_the_laws_of_friction() {
    let mut random = Random(0x5eed_0004);
    let (mut holds, mut slides, mut off) = (0, 0, 0);
    const CASES: usize = 150;
    for _ in 0..CASES {
        let (offset, depth) = (random.between(-0.25, 0.25), random.between(0.8, 3.0));
        let least = random.between(0.0, 0.15);
        let friction = [least, least + random.between(0.01, 0.1)];
        let stiffness = format!("{} MN", random.between(2.0, 40.0));
        let found = running(&doubled(offset, depth, Some(friction), &stiffness));
        let [one, other] = found.legs[0].spans.as_slice() else { panic!("two spans") };
        let station = &found.legs[0].stations[0];
        // Even pulls without friction, between the limits where a limit in full exists.
        let even = (one.frictionless.unwrap(), other.frictionless.unwrap());
        assert_relative_eq!(even.0, even.1, max_relative = 1e-9);
        for span in [one, other] {
            assert!(span.least.unwrap() <= span.tension && span.tension <= span.largest.unwrap());
            assert!(span.least.unwrap() <= even.0 && even.0 <= span.largest.unwrap());
        }
        assert_relative_eq!(station.pull, 6400.0 * GRAVITY, max_relative = 1e-8);
        // Whether it holds, from the held pulls and the turn in that state.
        let needed = (one.held / other.held).ln().abs();
        let held_turn = {
            // Two pulls whose sum is the weight: the law of cosines gives the angle between them.
            let weight = 6400.0 * GRAVITY;
            let cosine =
                (weight * weight - one.held * one.held - other.held * other.held) / (2.0 * one.held * other.held);
            std::f64::consts::PI - cosine.acos()
        };
        let expected = if needed <= friction[0] * held_turn {
            Sliding::Holds
        } else if needed <= friction[1] * held_turn {
            Sliding::MaySlide
        } else {
            Sliding::Slides
        };
        assert_eq!(found.legs[0].sliding, expected, "needs {} of {friction:?}", needed / held_turn);
        holds += usize::from(expected == Sliding::Holds);
        slides += usize::from(expected == Sliding::Slides);
        off += usize::from(found.share.unwrap() < 1.0);
        // The mirror image: the spans change places.
        let mirrored = running(&doubled(-offset, depth, Some(friction), &stiffness));
        let [first, second] = mirrored.legs[0].spans.as_slice() else { panic!("two spans") };
        for (span, image) in [(one, second), (other, first)] {
            assert_relative_eq!(span.held, image.held, max_relative = 1e-8);
            assert_relative_eq!(span.largest.unwrap(), image.largest.unwrap(), max_relative = 1e-6);
        }
        // More friction never narrows the envelope.
        let more = running(&doubled(offset, depth, Some([friction[0], friction[1] + 0.05]), &stiffness));
        for (span, wider) in found.legs[0].spans.iter().zip(&more.legs[0].spans) {
            let slack = 1e-9 * wider.largest.unwrap();
            assert!(wider.least.unwrap() <= span.least.unwrap() + slack);
            assert!(wider.largest.unwrap() + slack >= span.largest.unwrap());
        }
    }
    println!("{CASES} doubled slings: {holds} hold, {slides} slide, {off} turn over before a limit; 0 skipped");
    assert!(holds > 20 && slides > 20);
}
