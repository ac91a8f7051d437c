//! Documents and batches.

use super::*;

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
