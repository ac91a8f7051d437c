//! Documents and batches.

use super::*;
use rigging_core::kit::invariants::{Asked, Told};

#[test]
fn every_demo_lift_survives_a_round_trip_and_other_units() {
    let (mut run, mut exact) = (0, 0);
    for (name, text) in DEMOS {
        let lift = Lift::from_json(text).unwrap();
        assert!(invariants::round_trip(&lift).unwrap().compared(), "{name}");
        let Kept::Compared { count, nearest, .. } = invariants::units(&lift).unwrap() else { panic!("{name}") };
        assert!(count > 20, "{name}: {count}");
        run += 1;
        exact += usize::from(nearest == 0.0);
    }
    println!("{run} lifts run, 0 skipped; {exact} have the same bits in other units");
    assert_eq!(run, DEMOS.len());
}

#[test]
fn every_demo_lift_hangs_in_balance_and_so_do_its_images() {
    let mut compared = 0;
    for (name, text) in DEMOS {
        let balance = Lift::from_json(text).unwrap().hang().unwrap();
        let system = balance.model();
        let order: Vec<usize> = (0..system.members().len()).rev().collect();
        for kept in [
            invariants::balance(system),
            invariants::turn(system, 1.0),
            invariants::mirror(system),
            invariants::relabel(system, &order),
            invariants::scale_of_force(system, 0.1),
            invariants::scale_of_length(system, 7.0),
        ] {
            let kept = kept.unwrap_or_else(|broken| panic!("{name}: {broken}"));
            compared += usize::from(kept.tolerance().is_some_and(|tolerance| tolerance <= 1e-6));
        }
    }
    println!("{compared} of {} compared within a millionth", 6 * DEMOS.len());
    assert!(compared >= 40, "{compared}");
}

#[test]
fn a_row_of_a_batch_is_the_lift_alone() {
    let row = |leg: usize| {
        let mut outline = Outline::ring(4);
        outline.mass += 100.0 * leg as f64;
        outline.lengths[leg % 4] += 1e-3 * leg as f64;
        outline.center_of_gravity = [0.01 * leg as f64, 0.0, 0.1 * leg as f64 - 2.0];
        outline.system().unwrap()
    };
    let rows: Vec<System> = (0..60).map(row).collect();
    let Kept::Compared { count, tolerance, .. } = invariants::batch_rows(&rows).unwrap() else { panic!() };
    assert_eq!((count, tolerance), (240, 0.0));
    let other = [Outline::ring(3).system().unwrap(), Outline::ring(4).system().unwrap()];
    assert!(matches!(invariants::batch_rows(&other), Err(Broken::Refused(error)) if error.code() == "unsupported"));
}

#[test]
fn what_is_asked_by_name_is_what_is_asked_directly() {
    let lift = Lift::from_json(DEMOS[0].1).unwrap();
    let balance = lift.hang().unwrap();
    let system = balance.model();
    let order = vec![2, 3, 0, 1];
    let by_m = [1.0, 2.0, 3.0];
    let pairs = [
        (Asked::Balance, invariants::balance(system)),
        (Asked::Turn { angle_rad: 0.3 }, invariants::turn(system, 0.3)),
        (Asked::Shift { by_m }, invariants::shift(system, by_m.into())),
        (Asked::Mirror, invariants::mirror(system)),
        (Asked::Relabel { order: order.clone() }, invariants::relabel(system, &order)),
        (Asked::ScaleOfForce { factor: 2.0 }, invariants::scale_of_force(system, 2.0)),
        (Asked::ScaleOfLength { factor: 2.0 }, invariants::scale_of_length(system, 2.0)),
        (Asked::MoreMass { factor: 2.0 }, invariants::more_mass(system, 2.0)),
        (Asked::RoundTrip, invariants::round_trip(&lift)),
        (Asked::Units, invariants::units(&lift)),
    ];
    for (asked, directly) in pairs {
        // Through the words of another language.
        let text = serde_json::to_string(&asked).unwrap();
        let asked: Asked = serde_json::from_str(&text).unwrap();
        assert_eq!(invariants::ask(&lift, &asked), directly, "{text}");
        let told = serde_json::to_value(Told::of(directly).unwrap()).unwrap();
        assert!(told["kept"].is_object(), "{told}");
    }
    let system = Outline::ring(4).system().unwrap();
    let refused = invariants::relabel(&system, &[0]);
    assert_eq!(Told::of(refused).unwrap_err().code(), "inconsistent");
    let lifts = [&lift, &Lift::from_json(DEMOS[2].1).unwrap()];
    assert_eq!(invariants::batch_of(&lifts).unwrap(), Kept::Compared { count: 8, tolerance: 0.0, nearest: 0.0 });
}
