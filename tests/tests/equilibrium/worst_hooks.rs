//! The worst case of several hooks: anchors of a tandem lift, heights of hooks.

use glam::DVec3;
use rigging_core::equilibrium::bridle::Bridle;
use rigging_core::equilibrium::worst::{Effort, Reason, Tolerances, Worst, worst, worst_of_system};
use rigging_core::system::{Body, End, Hook, Law, Member, System};

const GRAVITY: f64 = 9.80665;

fn near(found: f64, expected: f64, tolerance: f64) {
    assert!((found - expected).abs() <= tolerance, "{found} against {expected}");
}

/// A vessel of 96 t and 3 % on two hooks 24 m apart, its center of gravity `below` the line of the lugs.
fn vessel(below: f64) -> System {
    let points = vec![DVec3::ZERO, DVec3::new(24.0, 0.0, 0.0)];
    let hooks = points.iter().map(|point| Hook { position: *point + DVec3::new(0.0, 0.0, 9.0) }).collect();
    let center_of_gravity = DVec3::new(10.4, 0.0, -below);
    let body =
        Body { mass: 96.0e3 * 1.03, center_of_gravity, points, position: DVec3::ZERO, rotation: glam::DQuat::IDENTITY };
    let leg = |point| Member {
        a: End::Hook(point),
        b: End::Body { body: 0, point },
        length: 9.0,
        law: Law::linear(2.0e9).unwrap(),
    };
    System::new(GRAVITY, hooks, vec![], vec![body], vec![leg(0), leg(1)]).unwrap()
}

/// Origin of the anchors: independent, as those above; in tonnes with two digits.
#[test]
fn two_hooks_have_the_anchors_of_center_and_height_and_no_bound() {
    let tonnes = |found: &Worst, hook: usize| found.hooks[hook].attained / GRAVITY / 1.0e3;
    let center = Tolerances { center_of_gravity: [0.4, 0.0, 0.0], hook_heights: vec![0.0; 2], ..Tolerances::none(2) };
    let found = worst_of_system(&vessel(1.1), &center, &Effort::default()).unwrap();
    near(found.hooks[0].nominal / GRAVITY / 1.0e3, 56.03, 0.005);
    near(tonnes(&found, 0), 57.68, 0.005);
    near(tonnes(&found, 1), 44.50, 0.005);
    assert_eq!(found.open.unwrap().reason, Reason::SeveralHooks);
    assert!(
        found.legs.iter().chain(&found.hooks).all(|force| force.bound.is_none() && force.nominal <= force.attained)
    );
    // One hook 1.0 m above the other, as half a meter of each in opposite ways.
    let height = Tolerances { hook_heights: vec![0.5; 2], ..Tolerances::none(2) };
    let found = worst_of_system(&vessel(1.1), &height, &Effort::default()).unwrap();
    near(tonnes(&found, 0) - found.hooks[0].nominal / GRAVITY / 1.0e3, 0.19, 0.005);
    let [one, other] = found.hooks[0].at.hook_heights[..] else { panic!("two hooks") };
    assert!(one * other < 0.0);
}

/// Under one hook its height changes nothing; two heights there, or none for two hooks, are refused.
#[test]
fn heights_of_hooks_are_one_for_each() {
    let with = |hook_heights: Vec<f64>| Tolerances { hook_heights, lengths: vec![0.02; 4], ..Tolerances::none(4) };
    let effort = Effort::default();
    let points = [[9.5, 6.2], [9.5, -6.2], [-9.5, -6.2], [-9.5, 6.2]].map(|[x, y]| DVec3::new(x, y, 0.0));
    let laws = vec![Law::linear(595.0e6).unwrap(); 4];
    let module =
        Bridle::new(points.to_vec(), vec![22.0; 4], laws, DVec3::new(0.6, -0.25, -3.1), 742.0e3 * GRAVITY).unwrap();
    assert_eq!(worst(&module, &with(vec![0.5]), &effort), worst(&module, &with(vec![0.0]), &effort));
    assert!(worst(&module, &with(vec![0.5; 2]), &effort).is_err());
    assert!(worst(&module, &with(vec![-0.5]), &effort).is_err());
    assert!(worst_of_system(&vessel(1.1), &Tolerances::none(2), &effort).is_err());
}
