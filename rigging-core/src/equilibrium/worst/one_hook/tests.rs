#![allow(clippy::unwrap_used)]
use super::super::Effort;
use super::super::attained;
use super::super::kept::{drawn, is_kept};
use super::super::problem::{Hanging, Tolerances};
use super::super::region::Region;
use super::*;
use crate::equilibrium::bridle::Bridle;
use crate::system::Law;

/// States drawn from a box, legs going slack in some: each lies in a piece of the region, keeps every condition over it, and
/// has no more than the form of a target says.
#[test]
fn every_state_that_hangs_keeps_all_conditions() {
    let points = [[2.0, 1.2], [2.0, -1.2], [-2.0, -1.2], [-2.0, 1.2]].map(|[x, y]| DVec3::new(x, y, 0.0));
    let laws = [
        Law::linear(6.0e6).unwrap(),
        Law::polynomial(vec![4.0e6, 3.0e8]).unwrap(),
        Law::piecewise_linear(vec![[0.002, 1.2e4], [0.01, 6.8e4]]).unwrap(),
    ];
    let (mut states, mut slack) = (0, 0);
    for law in laws {
        let center = DVec3::new(0.2, -0.1, -0.5);
        let bridle = Bridle::new(points.to_vec(), vec![5.0; 4], vec![law; 4], center, 8.0e4).unwrap();
        let tolerances = Tolerances {
            lengths: vec![0.02; 4],
            stiffness: vec![0.1; 4],
            center_of_gravity: [0.1, 0.05, 0.1],
            weight: 0.05,
            hook_heights: vec![0.1],
        };
        let problem = Problem::new(&bridle, &tolerances).unwrap();
        let mut hanging = Hanging::new(&problem).unwrap();
        let nominal = hanging.nominal().hook;
        let targets = [Target::of_leg(0), Target::of_legs(&[1, 2])];
        let found = attained::search(&problem, &mut hanging, &targets).unwrap();
        let lift = OneHook::new(&problem, nominal).unwrap();
        let region =
            Region::enclose(&lift, &nominal.to_array(), &found.hooks, &Effort::default()).map_err(drop).unwrap();
        for draw in 0..2000 {
            let numbers = drawn(problem.sides.iter().map(|side| side.hi), draw);
            let (_, hook) = hanging.at(&numbers).unwrap();
            let tensions: Vec<f64> = hanging.workspace.tensions().collect();
            let center = DVec3::new(numbers[8], numbers[9], numbers[10]);
            let weight = 8.0e4 * (1.0 + numbers[11]);
            let height = (hook - center).length();
            let mut symbols = [0.0; SYMBOLS];
            symbols[..CENTER].copy_from_slice(&hook.to_array());
            symbols[CENTER..WEIGHT].copy_from_slice(&center.to_array());
            symbols[WEIGHT] = weight;
            for (leg, tension) in tensions.iter().enumerate() {
                symbols[SHARES + leg] = tension / (hook - problem.points[leg]).length() / (weight / height);
                slack += usize::from(*tension == 0.0);
            }
            let values = targets.map(|target| (target, target.of(tensions.iter().copied())));
            assert!(is_kept(&lift, &region, &symbols, &values), "draw {draw}: {numbers:?}");
            states += 1;
        }
    }
    println!("{states} states, {slack} slack legs");
    assert!(states == 6000 && slack > 200);
}
