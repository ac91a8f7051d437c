//! Sharing rules: the skid of the examples under every rule, published figures, statics against the solver, refusals.
//!
//! Origin of the skid's figures: independent, two solvers written apart from this library; here each is found once more by a
//! third way (forces of a rule from the sum of their vertical parts, elastic ones by Newton's method on the position of the hook).
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing)]

#[path = "support/patching.rs"]
mod patching;

use approx::{assert_abs_diff_eq, assert_relative_eq};
use glam::{DMat3, DQuat, DVec3};
use rigging_core::arrangement::Lift;
use rigging_core::demand::{Comparison, ElasticAtVertices, Ruled, by_rule, compare};
use rigging_core::error::Error;
use rigging_core::rules::RuleSet;
use rigging_core::sharing::{
    Determinate, Elastic, EqualShare, LegFactors, LegSet, LegsCounted, PlanLevers, SetTolerances, SharingRule, Skewed,
    Words, built_in, share,
};
use rigging_core::source::{Source, Standing};
use rigging_core::system::{Body, End, Hook, Law, Masses, Member, System};
use serde_json::{Value, json};
use std::sync::Arc;

const GRAVITY: f64 = 9.806_65;
/// Half of the last printed digit of a force in kN, in N.
const PRINTED: f64 = 50.0;
/// Half of a percent, the last printed digit of a shortfall.
const PERCENT: f64 = 0.005;
/// The angle from vertical at which the skid's rules are stated.
const ANGLE: f64 = 27.5;

/// The skid without its box of the center of gravity.
fn skid(name: &str) -> Lift {
    let mut document = patching::demo(name);
    patching::set(&mut document, "/load/center_of_gravity/tolerance", json!(["0 mm", "0 mm", "0 mm"]));
    Lift::from_json(&document.to_string()).unwrap()
}

fn set_of(lift: &Lift) -> LegSet {
    LegSet::of(lift, Masses::stated(lift).unwrap()).unwrap()
}

fn factors(legs: usize) -> LegFactors {
    let tables = LegFactors::built_in().unwrap();
    tables.into_iter().find(|table| table.factor(legs, 0.1).is_ok()).unwrap()
}

/// A load at `points` on legs of `lengths`, all of one stiffness, center of gravity at `center`.
fn hung(points: &[DVec3], lengths: &[f64], center: DVec3, weight: f64, ea: f64) -> LegSet {
    let body = Body {
        mass: weight / GRAVITY,
        center_of_gravity: center,
        points: points.to_vec(),
        position: DVec3::ZERO,
        rotation: DQuat::IDENTITY,
    };
    let member = |(point, length): (usize, &f64)| Member {
        a: End::Hook(0),
        b: End::Body { body: 0, point },
        length: *length,
        law: Law::linear(ea).unwrap(),
    };
    let members = lengths.iter().enumerate().map(member).collect();
    let hook = Hook { position: center + DVec3::Z * 10.0 };
    LegSet::of_system(&System::new(GRAVITY, vec![hook], vec![], vec![body], members).unwrap()).unwrap()
}

/// Tensions by Newton's method on the position of the hook in the load's frame, derivatives by differences.
fn newton(points: &[DVec3], lengths: &[f64], center: DVec3, weight: f64, ea: f64) -> Vec<f64> {
    let tension = |hook: DVec3, leg: usize| {
        let strain = (hook - points[leg]).length() / lengths[leg] - 1.0;
        ea * strain.max(0.0)
    };
    let residual = |hook: DVec3| {
        let pulls = (0..points.len()).map(|leg| tension(hook, leg) * (hook - points[leg]).normalize()).sum::<DVec3>();
        pulls - weight * (hook - center).normalize()
    };
    // From high above, every leg taut, so that a first step comes down with all of them.
    let mut hook = center.truncate().extend(lengths[0]);
    for _ in 0..200 {
        let step = 1e-7;
        let column = |axis: DVec3| (residual(hook + axis * step) - residual(hook - axis * step)) / (2.0 * step);
        let matrix = DMat3::from_cols(column(DVec3::X), column(DVec3::Y), column(DVec3::Z));
        let mut change = -(matrix.inverse() * residual(hook));
        while residual(hook + change).length() > residual(hook).length() && change.length() > 1e-12 {
            change *= 0.5;
        }
        hook += change;
    }
    assert!(residual(hook).length() < 1e-6 * weight, "the second derivation did not converge");
    (0..points.len()).map(|leg| tension(hook, leg)).collect()
}

/// The largest of each leg over the vertices of ±30 mm, by [`newton`].
fn newton_over_vertices(ea: f64) -> Vec<f64> {
    let points = [[2.6, 1.05], [2.6, -1.05], [-2.6, -1.05], [-2.6, 1.05]].map(|[x, y]| DVec3::new(x, y, 0.0));
    let center = DVec3::new(0.45, -0.12, 0.90);
    let mut largest = vec![0.0_f64; 4];
    for vertex in 0..16 {
        let lengths: Vec<f64> = (0..4).map(|leg| if vertex >> leg & 1 == 1 { 6.03 } else { 5.97 }).collect();
        let tensions = newton(&points, &lengths, center, 18_500.0 * GRAVITY, ea);
        largest.iter_mut().zip(tensions).for_each(|(largest, tension)| *largest = largest.max(tension));
    }
    largest
}

fn speaks(comparison: &Comparison, name: &str) -> (Vec<f64>, f64, String) {
    let compared = comparison.rules.iter().find(|compared| compared.rule.name.as_str() == name);
    match &compared.unwrap_or_else(|| panic!("{name}")).answer {
        Ruled::Speaks { forces, shortest, .. } => (forces.clone(), shortest.share, shortest.leg.clone()),
        Ruled::Refuses { why, .. } => panic!("{name}: {why}"),
    }
}

#[test]
fn the_skid_under_every_rule() {
    let set = set_of(&skid("generator-skid")).with_angle(ANGLE.to_radians()).unwrap();
    let rules = built_in().unwrap();
    let rules: Vec<&dyn SharingRule> = rules.iter().map(AsRef::as_ref).collect();
    let comparison = compare(&set, &rules).unwrap();
    assert_eq!(comparison.rules.len(), 8);

    let table = "leg factors of DGUV Information 209-021";
    let expected = [
        ("equal share by angle", 51.1, 4.0, None),
        ("three legs carry all", 68.2, 3.0, Some(0.31)),
        ("two legs carry all", 102.3, 2.0, None),
        (table, 86.4, 2.1 / ANGLE.to_radians().cos(), Some(0.13)),
    ];
    for (name, kilonewtons, carrying, short) in expected {
        let (forces, share, leg) = speaks(&comparison, name);
        for force in &forces {
            assert_abs_diff_eq!(*force, kilonewtons * 1e3, epsilon = PRINTED);
            // The vertical parts of the legs that are thought to carry are the weight.
            assert_relative_eq!(carrying * force * ANGLE.to_radians().cos(), set.weight(), max_relative = 1e-12);
        }
        assert_eq!((forces.len(), leg.as_str()), (4, "leg B"));
        if let Some(short) = short {
            assert_abs_diff_eq!(share, short, epsilon = PERCENT);
        }
        // Only two legs cover the largest force.
        assert_eq!(share < 0.0, name == "two legs carry all", "{name}");
    }
    println!("{} rules by hand run, 0 skipped", expected.len());

    let second = newton_over_vertices(6.0e6);
    for ((found, kilonewtons), second) in comparison.worst.iter().zip([84.5, 99.5, 77.8, 62.8]).zip(second) {
        assert_abs_diff_eq!(*found, kilonewtons * 1e3, epsilon = PRINTED);
        assert_relative_eq!(*found, second, max_relative = 1e-8);
    }
    let points = [[2.6, 1.05], [2.6, -1.05], [-2.6, -1.05], [-2.6, 1.05]].map(|[x, y]| DVec3::new(x, y, 0.0));
    let second = newton(&points, &[6.0; 4], DVec3::new(0.45, -0.12, 0.90), set.weight(), 6.0e6);
    for ((found, kilonewtons), second) in comparison.nominal.iter().zip([54.2, 69.1, 47.6, 32.6]).zip(second) {
        assert_abs_diff_eq!(*found, kilonewtons * 1e3, epsilon = PRINTED);
        assert_relative_eq!(*found, second, max_relative = 1e-8);
    }

    // What is outside a domain, or was not seen, is a refusal and no number.
    let refusal = |name: &str| {
        let found = comparison.rules.iter().find(|compared| compared.rule.name.as_str() == name).unwrap();
        match &found.answer {
            Ruled::Refuses { code, .. } => code.clone(),
            Ruled::Speaks { .. } => panic!("{name} speaks"),
        }
    };
    assert_eq!(refusal("statics of one to three legs"), "out_of_domain");
    assert_eq!(refusal("leg factors of EN 1492-1"), "missing");

    let record: Value = serde_json::from_str(&serde_json::to_string(&comparison).unwrap()).unwrap();
    assert_eq!(record["legs"][1], "leg B");
    assert_eq!(record["rules"][2]["rule"]["conservative"], true);
    assert_eq!(record["rules"][4]["answer"]["refuses"]["code"], "out_of_domain");
    let below = record["rules"][1]["answer"]["speaks"]["below"][1].as_f64().unwrap();
    assert_abs_diff_eq!(below, 99.46e3 - 68.18e3, epsilon = 10.0);
}

#[test]
fn on_stiffer_slings_not_even_two_legs_cover_the_skid() {
    let set = set_of(&skid("generator-skid-stiff-slings")).with_angle(ANGLE.to_radians()).unwrap();
    let comparison = compare(&set, &[&LegsCounted::two()]).unwrap();
    let second = newton_over_vertices(9.6e6);
    for ((found, kilonewtons), second) in comparison.worst.iter().zip([86.1, 116.5, 80.3, 80.4]).zip(second) {
        assert_abs_diff_eq!(*found, kilonewtons * 1e3, epsilon = PRINTED);
        assert_relative_eq!(*found, second, max_relative = 1e-8);
    }
    let (forces, share, leg) = speaks(&comparison, "two legs carry all");
    assert_abs_diff_eq!(forces[1], 102.3e3, epsilon = PRINTED);
    assert_abs_diff_eq!(share, 1.0 - 102.3 / 116.5, epsilon = PERCENT);
    assert_eq!(leg, "leg B");
    // Neither do they with the drawn angles, which are smaller on the loaded side.
    let drawn = set_of(&skid("generator-skid-stiff-slings"));
    assert!(speaks(&compare(&drawn, &[&LegsCounted::two()]).unwrap(), "two legs carry all").1 > 0.1);
}

fn published(file: &str, id: &str) -> Value {
    let entries: Value = serde_json::from_str(&patching::text(&format!("tests/reference/{file}.json"))).unwrap();
    let entries = entries.as_array().unwrap().iter();
    entries.clone().find(|entry| entry["id"] == id).unwrap_or_else(|| panic!("{id}")).clone()
}

fn value(file: &str, id: &str) -> f64 {
    published(file, id)["value"].as_f64().unwrap()
}

#[test]
fn published_figures() {
    // Four legs of 7 ft on a tray of 4 ft by 4 ft, 20 cwt; the tolerance is the one of the entry.
    let corners = [[2.0, 2.0], [2.0, -2.0], [-2.0, -2.0], [-2.0, 2.0]].map(|[x, y]| DVec3::new(x, y, 0.0));
    let tray = hung(&corners, &[7.0; 4], DVec3::new(0.0, 0.0, -0.5), 20.0, 1e5);
    for rule in [&EqualShare as &dyn SharingRule, &PlanLevers] {
        for force in share(rule, &tray).unwrap() {
            assert_relative_eq!(force, value("published-us", "nich_4leg_share4"), max_relative = 0.005);
        }
    }
    let angle = value("published-us", "nich_4leg_angle");
    // The book takes the half diagonal as 2.83 ft; half of its last digit, over the height of the hook, is this much.
    let half_digit = (0.005 / (7.0 * angle.to_radians().cos())).to_degrees();
    assert_abs_diff_eq!(tray.flattest().unwrap().to_degrees(), angle, epsilon = half_digit);

    // A bridle of three or four legs bears twice V·H/L.
    let ratio = value("published-us", "navy_bridle_factor");
    let forces = share(&LegsCounted::two(), &tray).unwrap();
    assert_relative_eq!(20.0 / (forces[0] * tray.flattest().unwrap().cos()), ratio, max_relative = 1e-12);
    assert_relative_eq!(value("published-us", "navy_fourleg"), 20.0 / forces[0] / tray.flattest().unwrap().cos());
    assert_relative_eq!(value("published-intl", "dguv-legs-loadbearing"), ratio);

    // Two legs at angles of 10 and 29 degrees from horizontal, and at 30 and 90 degrees.
    let two = |degrees: [f64; 2], weight: f64| {
        let [(s, c), (t, d)] = degrees.map(|angle| angle.to_radians().sin_cos());
        let points = [DVec3::new(-c / s, 0.0, 0.0), DVec3::new(d / t, 0.0, 0.0)];
        let set = hung(&points, &[1.0 / s, 1.0 / t], DVec3::new(0.0, 0.0, -0.4), weight, 1e7);
        share(&Determinate, &set).unwrap()
    };
    assert_abs_diff_eq!(two([10.0, 29.0], 285.0)[0], value("published-us", "stat_unequal_T1"), epsilon = 0.05);
    assert_abs_diff_eq!(two([30.0, 30.0], 2000.0)[1], value("published-us", "stat_2leg_2000_30"), epsilon = 0.5);

    // Three cables, 500 lb.
    let third = 3.0_f64.sqrt();
    let anchors = [DVec3::new(-2.0, 0.0, 0.0), DVec3::new(1.0, third, 0.0), DVec3::new(1.0, -third, 0.0)];
    let height: f64 = 7.745_966_692_414_834;
    let set = hung(&anchors, &[(height * height + 4.0).sqrt(); 3], DVec3::new(0.0, 0.0, -1.0), 500.0, 1e8);
    for force in share(&Determinate, &set).unwrap() {
        assert_abs_diff_eq!(force, value("published-us", "stat_3leg_tension"), epsilon = 0.005);
    }
    println!("8 published figures run, 0 skipped");
}

#[test]
fn every_cell_of_the_leg_factors() {
    let [dguv, en] = <[LegFactors; 2]>::try_from(LegFactors::built_in().unwrap()).unwrap();
    let entries: Value = serde_json::from_str(&patching::text("tests/reference/published-intl.json")).unwrap();
    let mut run = 0;
    for entry in entries.as_array().unwrap() {
        let note = entry["note"].as_str().unwrap_or_default();
        let Some(factor) = note.strip_prefix("mode factor ").and_then(|rest| rest.split(';').next()) else { continue };
        let factor: f64 = factor.parse().unwrap();
        let inputs = &entry["inputs"];
        let (from, to) = (inputs["beta_min_deg"].as_f64().unwrap(), inputs["beta_max_deg"].as_f64().unwrap());
        let legs: &[usize] = if inputs["legs"] == "2" { &[2] } else { &[3, 4] };
        for legs in legs {
            for degrees in [from + 1e-9, f64::midpoint(from, to), to] {
                assert_eq!(dguv.factor(*legs, degrees.to_radians()).unwrap(), factor, "{}", entry["id"]);
            }
        }
        run += 1;
    }
    for (id, legs, degrees) in [
        ("en1492-mode-2leg-0-45", 2, 45.0_f64),
        ("en1492-mode-2leg-45-60", 2, 60.0),
        ("en1492-mode-34leg-45-60", 3, 45.1),
        ("en1492-mode-34leg-45-60", 4, 60.0),
    ] {
        assert_eq!(en.factor(legs, degrees.to_radians()).unwrap(), value("published-intl", id), "{id}");
        run += 1;
    }
    assert_eq!(en.factor(3, 0.5).unwrap_err().code(), "missing");
    // No factor exceeds what as many legs bear at the end of their band.
    for (legs, counted) in [(2, 2.0), (3, 3.0), (4, 3.0)] {
        for degrees in [45.0_f64, 60.0] {
            let found = dguv.factor(legs, degrees.to_radians()).unwrap();
            assert!(found <= counted * degrees.to_radians().cos() + 1e-12 && found > counted * 0.45);
        }
    }
    println!("{run} cells run, 0 skipped");
    assert_eq!(run, CELLS);
}

/// Entries that state a leg factor.
const CELLS: usize = 72;

#[test]
fn a_table_of_the_firm_loads_through_the_same_door() {
    let text = |row: &str| {
        format!(
            "format = 1\n[[table]]\nname = \"yard table\"\ndocument = \"yard note 7\"\nstanding = \"stated\"\nto_deg_from_vertical = [30, 50]\nrow = [{row}]\n"
        )
    };
    let tables = LegFactors::from_toml(&text("{ legs = [4], factors = [2.0, \"not seen\"] }")).unwrap();
    assert_eq!(tables[0].factor(4, 0.1).unwrap(), 2.0);
    assert_eq!(tables[0].source.standing, Standing::Stated);
    for (row, code, place) in [
        ("{ legs = [4], factors = [2.0] }", "inconsistent", "/table/0/row/0/factors"),
        ("{ legs = [4], factors = [2.0, -1.0] }", "out_of_domain", "/table/0/row/0/factors/1"),
        ("{ legs = [4], factors = [2.0, \"none\"] }", "malformed", "/table/0/row/0/factors/1"),
        ("{ legs = [4], factor = 2 }", "malformed", ""),
    ] {
        let error = LegFactors::from_toml(&text(row)).unwrap_err();
        assert_eq!((error.code(), error.place().as_str()), (code, place), "{row}");
    }
    let newer = text("").replace("format = 1", "format = 2");
    assert_eq!(LegFactors::from_toml(&newer).unwrap_err().code(), "newer_format");
    let falling = text("").replace("[30, 50]", "[50, 30]");
    assert_eq!(LegFactors::from_toml(&falling).unwrap_err().place().as_str(), "/table/0/to_deg_from_vertical/1");
}

/// Evenly spread numbers from 0 to 1 (Knuth, The Art of Computer Programming, volume 2: a linear congruence).
struct Spread(u64);

impl Spread {
    fn next(&mut self) -> f64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 11) as f64 / (1_u64 << 53) as f64
    }

    fn within(&mut self, from: f64, to: f64) -> f64 {
        from + (to - from) * self.next()
    }
}

#[test]
fn statics_of_few_legs_is_what_the_solver_finds_where_nothing_stretches() {
    let mut spread = Spread(11);
    let (mut run, mut beyond) = (0, 0);
    for case in 0..400 {
        let legs = 2 + case % 2;
        let points: Vec<DVec3> = (0..legs)
            .map(|leg| {
                let turn = std::f64::consts::TAU * (leg as f64 + spread.within(-0.2, 0.2)) / legs as f64;
                DVec3::new(turn.cos(), turn.sin(), 0.0) * spread.within(0.8, 2.0) + DVec3::Z * spread.within(-0.2, 0.2)
            })
            .collect();
        let lengths: Vec<f64> = (0..legs).map(|_| spread.within(3.0, 4.0)).collect();
        let center = DVec3::new(spread.within(-0.3, 0.3), spread.within(-0.3, 0.3), spread.within(-1.5, -0.6));
        let (weight, ea) = (1e4, 1e10);
        let set = hung(&points, &lengths, center, weight, ea);
        let (Ok(statics), Ok(elastic)) = (share(&Determinate, &set), share(&Elastic, &set)) else {
            beyond += 1;
            continue;
        };
        // Strains are of the order of 1e-6, and so is what they change.
        for (one, other) in statics.iter().zip(&elastic) {
            assert_abs_diff_eq!(*one, *other, epsilon = 1e-4 * weight);
        }
        run += 1;
    }
    println!("{run} sets of two and three legs run, {beyond} beyond the domain");
    assert!(run >= 300, "{run}");
    // One leg carries the weight, wherever its point is.
    let one = hung(&[DVec3::new(0.4, 0.0, 0.0)], &[2.0], DVec3::new(0.0, 0.0, -1.0), 5e3, 1e6);
    assert_eq!(share(&Determinate, &one).unwrap(), [5e3]);
    assert_relative_eq!(share(&Elastic, &one).unwrap()[0], 5e3, max_relative = 1e-9);
}

#[test]
fn levers_balance_in_plan_in_any_order_of_the_corners() {
    let corners = [[0.0, 0.0], [4.0, 1.0], [5.0, 4.0], [1.0, 3.0]].map(|[x, y]| DVec3::new(x, y, 0.3));
    let center = DVec3::new(2.1, 1.7, -0.5);
    let expected = share(&PlanLevers, &hung(&corners, &[9.0; 4], center, 1e3, 1e6).with_angle(0.0).unwrap()).unwrap();
    let mut orders = 0;
    for order in 0..256_usize {
        let order = [order & 3, order >> 2 & 3, order >> 4 & 3, order >> 6 & 3];
        if (0..4).any(|corner| !order.contains(&corner)) {
            continue;
        }
        let points = order.map(|corner| corners[corner]);
        let set = hung(&points, &[9.0; 4], center, 1e3, 1e6).with_angle(0.0).unwrap();
        let forces = share(&PlanLevers, &set).unwrap();
        let moment: DVec3 = forces.iter().zip(points).map(|(force, point)| *force * point).sum();
        assert_abs_diff_eq!(forces.iter().sum::<f64>(), 1e3, epsilon = 1e-9);
        assert!((moment.truncate() - center.truncate() * 1e3).length() < 1e-9);
        for (place, corner) in order.into_iter().enumerate() {
            assert_abs_diff_eq!(forces[place], expected[corner], epsilon = 1e-9);
        }
        orders += 1;
    }
    assert_eq!(orders, 24);
    let three = hung(&corners[..3], &[9.0; 3], DVec3::new(3.0, 1.7, -0.5), 1e3, 1e6).with_angle(0.0).unwrap();
    let forces = share(&PlanLevers, &three).unwrap();
    let moment: DVec3 = forces.iter().zip(corners).map(|(force, point)| *force * point).sum();
    assert!((moment.truncate() - DVec3::new(3.0, 1.7, 0.0).truncate() * 1e3).length() < 1e-9);
}

#[test]
fn rules_do_not_see_how_a_set_is_turned_named_or_scaled() {
    let points = [[1.3, 0.7], [1.3, -0.7], [-1.3, -0.7], [-1.3, 0.7]].map(|[x, y]| DVec3::new(x, y, 0.0));
    let (center, lengths) = (DVec3::new(0.2, 0.1, -0.6), [3.0, 3.01, 3.0, 2.99]);
    let tolerances = SetTolerances { lengths: vec![0.004; 4], center_of_gravity: [0.0; 3] };
    let made = |points: &[DVec3], lengths: &[f64], center, weight, ea| {
        hung(points, lengths, center, weight, ea).with_tolerances(tolerances.clone()).unwrap()
    };
    let mut rules = built_in().unwrap();
    rules.push(Box::new(ElasticAtVertices));
    let mut run = 0;
    for rule in &rules {
        let plain = made(&points, &lengths, center, 2e4, 1e6);
        let Ok(forces) = share(rule.as_ref(), &plain) else { continue };
        let near = |set: &LegSet, expected: &[f64]| {
            for (found, expected) in share(rule.as_ref(), set).unwrap().iter().zip(expected) {
                assert_relative_eq!(*found, *expected, max_relative = 1e-7);
            }
        };
        let turn = DQuat::from_rotation_z(0.7);
        near(&made(&points.map(|point| turn * point), &lengths, turn * center, 2e4, 1e6), &forces);
        let mirror = DVec3::new(-1.0, 1.0, 1.0);
        near(&made(&points.map(|point| mirror * point), &lengths, mirror * center, 2e4, 1e6), &forces);
        let (mut next, mut longer, mut others) = (points, lengths, forces.clone());
        next.rotate_left(1);
        longer.rotate_left(1);
        others.rotate_left(1);
        near(&made(&next, &longer, center, 2e4, 1e6), &others);
        let heavier: Vec<f64> = forces.iter().map(|force| force * 3.0).collect();
        near(&made(&points, &lengths, center, 6e4, 3e6), &heavier);
        // What is not the same set is seen by whoever looks at its geometry.
        if rule.words().name.starts_with("elastic") || rule.words().name.starts_with("levers") {
            let moved = share(rule.as_ref(), &made(&points, &lengths, center + DVec3::X * 0.05, 2e4, 1e6)).unwrap();
            assert!((moved[0] - forces[0]).abs() > 1e-3 * forces[0], "{}", rule.words().name);
        }
        run += 1;
    }
    println!("{run} rules run, {} refuse four legs", rules.len() - run);
    assert_eq!(run, 7);
}

#[test]
fn outside_its_domain_a_rule_refuses() {
    let ring = |legs: usize, radius: f64| {
        let point = |leg: usize| DQuat::from_rotation_z(std::f64::consts::TAU * leg as f64 / legs as f64) * DVec3::X;
        let points: Vec<DVec3> = (0..legs).map(|leg| point(leg) * radius).collect();
        hung(&points, &vec![3.0; legs], DVec3::new(0.0, 0.0, -0.5), 1e4, 1e6)
    };
    let line = [DVec3::X, DVec3::ZERO, -DVec3::X];
    let in_line = hung(&line, &[3.0; 3], DVec3::new(0.0, 0.0, -0.5), 1e4, 1e6);
    let aside = hung(&[DVec3::X, -DVec3::X], &[3.0; 2], DVec3::new(1.5, 0.0, -0.5), 1e4, 1e6);
    let above = hung(&[DVec3::X, -DVec3::X], &[3.0; 2], DVec3::new(0.0, 0.0, 0.5), 1e4, 1e6);
    let short = hung(&[DVec3::X * 4.0, DVec3::X * -4.0], &[3.0; 2], DVec3::new(0.0, 0.0, -0.5), 1e4, 1e6);
    let kite = [DVec3::X * 2.0, DVec3::Y, -DVec3::X, -DVec3::Y];
    let kite = hung(&kite, &[3.0; 4], DVec3::new(0.0, 0.0, -0.5), 1e4, 1e6);
    let (two, three, table) = (LegsCounted::two(), LegsCounted::three(), factors(4));
    let cases: [(&dyn SharingRule, &LegSet, &str, &str); 17] = [
        (&two, &ring(2, 1.0), "out_of_domain", "number of legs"),
        (&three, &ring(5, 1.0), "out_of_domain", "number of legs"),
        (&three, &ring(2, 1.0), "out_of_domain", "number of legs"),
        (&table, &ring(1, 0.0), "out_of_domain", "number of legs"),
        (&table, &ring(5, 1.0), "out_of_domain", "number of legs"),
        (&table, &ring(4, 2.7), "out_of_domain", "angle of the flattest leg"),
        (&EqualShare, &ring(4, 3.0), "out_of_domain", "plumb line"),
        (&two, &ring(4, 3.5), "out_of_domain", "plumb line"),
        (&PlanLevers, &ring(5, 1.0), "out_of_domain", "number of legs"),
        (&PlanLevers, &kite, "unsupported", "parallelogram"),
        (&PlanLevers, &in_line, "unsupported", "line"),
        (&PlanLevers, &aside, "out_of_domain", "between the points"),
        (&Determinate, &ring(4, 1.0), "out_of_domain", "number of legs"),
        (&Determinate, &in_line, "unsupported", "line"),
        (&Determinate, &above, "unsupported", "turns over"),
        (&Determinate, &short, "unsupported", "too short"),
        (&ElasticAtVertices, &ring(4, 1.0), "missing", "tolerances"),
    ];
    for (rule, set, code, word) in &cases {
        let error = share(*rule, set).unwrap_err();
        let name = rule.words().name;
        assert_eq!(error.code(), *code, "{name}: {error}");
        assert!(error.to_string().contains(word), "{name}: {error}");
        assert!(!error.place().as_str().is_empty() || *code == "missing", "{name}: {error}");
    }
    println!("{} refusals run, 0 skipped", cases.len());
    // A balance that is not stable is none to share by.
    let top = hung(&[DVec3::X, DVec3::Y, -DVec3::X, -DVec3::Y], &[2.0; 4], DVec3::new(0.0, 0.0, 2.5), 1e4, 1e7);
    assert_eq!(share(&Elastic, &top).unwrap_err().code(), "unsupported");
}

#[test]
fn a_lift_of_another_kind_is_refused_at_its_place() {
    let of = |lift: &Lift| LegSet::of(lift, Masses::stated(lift).unwrap());
    for (name, place) in
        [("panel-spreader", "/spreaders"), ("vessel-two-cranes", "/hooks"), ("deck-equalizing-sheave", "/joints")]
    {
        let lift = Lift::from_json(&patching::demo(name).to_string()).unwrap();
        let error = of(&lift).unwrap_err();
        assert_eq!(error.code(), "unsupported", "{name}: {error}");
        assert!(error.place().as_str().starts_with(place), "{name}: {error}");
    }
    // Without stiffness the rules by hand still speak, and the solver says what is missing.
    let mut document = patching::demo("generator-skid");
    patching::set(&mut document, "/slings/2/stiffness", json!("unknown"));
    let lift = Lift::from_json(&document.to_string()).unwrap();
    let set = of(&lift).unwrap();
    assert!(share(&LegsCounted::two(), &set).is_ok() && share(&PlanLevers, &set).is_ok());
    let error = share(&Elastic, &set).unwrap_err();
    assert_eq!((error.code(), error.place().as_str()), ("missing", "/slings/2/stiffness"));
    assert_eq!(compare(&set, &[&EqualShare]).unwrap_err().code(), "missing");
    let mut document = patching::demo("generator-skid");
    patching::remove(&mut document, "/slings/1/length/tolerance");
    let set = of(&Lift::from_json(&document.to_string()).unwrap()).unwrap();
    assert!(share(&Elastic, &set).is_ok());
    assert_eq!(share(&ElasticAtVertices, &set).unwrap_err().place().as_str(), "/slings/1/length/tolerance");
}

/// A rule of a user's own, whose answer is given.
#[derive(Debug)]
struct Own(Vec<f64>);

impl SharingRule for Own {
    fn words(&self) -> Words {
        let source = Source::new("note of the yard", "", "", Standing::Stated);
        Words { name: "own".into(), domain: "any".into(), source, conservative: true }
    }

    fn forces(&self, _: &LegSet) -> Result<Vec<f64>, Error> {
        Ok(self.0.clone())
    }
}

#[test]
fn a_rule_of_the_users_own_is_used_everywhere_and_looked_at() {
    let lift = skid("generator-skid");
    let set = set_of(&lift);
    let own = Own(vec![90e3, 101e3, 80e3, 63e3]);
    let comparison = compare(&set, &[&own]).unwrap();
    let (forces, short, leg) = speaks(&comparison, "own");
    assert_eq!((forces, leg.as_str()), (own.0.clone(), "leg D"));
    assert!(short < 0.0);
    let rules = RuleSet::built_in("us-general").unwrap();
    let chains = by_rule(&lift, &rules, &own).unwrap();
    let values: Vec<f64> = chains.iter().map(rigging_core::chain::Chain::value).collect();
    assert_eq!(values, own.0);
    assert!(chains.iter().all(rigging_core::chain::Chain::is_coherent));
    let source = Source::new("note of the yard", "", "", Standing::Stated);
    let skewed = Skewed::new(Arc::new(Own(vec![1.0; 4])), 1.25, "matched pairs", source.clone()).unwrap();
    assert_eq!(share(&skewed, &set).unwrap(), [1.25; 4]);
    for factor in [0.99, f64::NAN, f64::INFINITY] {
        assert!(Skewed::new(Arc::new(EqualShare), factor, "", source.clone()).is_err());
    }
    for (forces, code, place) in [
        (vec![1.0; 3], "inconsistent", "/legs"),
        (vec![1.0, f64::NAN, 1.0, 1.0], "out_of_domain", "/legs/1"),
        (vec![1.0, 1.0, 1.0, -1.0], "out_of_domain", "/legs/3"),
        (vec![f64::INFINITY, 1.0, 1.0, 1.0], "out_of_domain", "/legs/0"),
    ] {
        let error = share(&Own(forces), &set).unwrap_err();
        assert_eq!((error.code(), error.place().as_str()), (code, place));
        // Through a factor as well.
        let skewed = Skewed::new(Arc::new(Own(vec![f64::NAN; 4])), 1.1, "", source.clone()).unwrap();
        assert!(share(&skewed, &set).is_err());
    }
}
