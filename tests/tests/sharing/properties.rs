//! Statics against the solver, balance of levers, and what a rule must not see.

use super::*;

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
    let (mut run, mut beyond, mut loosest) = (0, 0, 0.0_f64);
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
        // Strains are of the order of 1e-6, and so is what they change.
        match invariants::rigid_limit(&hung(&points, &lengths, center, 1e4, 1e10)).unwrap() {
            Kept::Compared { tolerance, .. } => {
                run += 1;
                loosest = loosest.max(tolerance);
            }
            Kept::Silent { .. } => beyond += 1,
        }
    }
    println!("{run} sets of two and three legs run, {beyond} beyond the domain, tolerance {loosest:e} at most");
    assert!(run >= 300 && loosest < 1e-4, "{run} {loosest:e}");
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
    let mut rules = built_in().unwrap();
    rules.push(Box::new(ElasticAtVertices));
    let mut run = 0;
    for rule in &rules {
        let rule = rule.as_ref();
        let set = hung(&points, &lengths, center, 2e4, 1e6).with_tolerances(tolerances.clone()).unwrap();
        let speaks = share(rule, &set).is_ok();
        for kept in [
            invariants::rule::turn(rule, &set, 0.7),
            invariants::rule::mirror(rule, &set),
            invariants::rule::relabel(rule, &set, &[1, 2, 3, 0]),
            invariants::rule::relabel(rule, &set, &[2, 0, 3, 1]),
            invariants::rule::shift(rule, &set, DVec3::new(3.0, -7.0, 1.0)),
            invariants::rule::scale_of_force(rule, &set, 3.0),
            invariants::rule::scale_of_length(rule, &set, 2.5),
        ] {
            let tolerance = kept.unwrap_or_else(|broken| panic!("{}: {broken}", rule.words().name)).tolerance();
            assert!(tolerance.is_some_and(|tolerance| tolerance < 1e-8), "{}: {tolerance:?}", rule.words().name);
        }
        // What is not the same set is seen by whoever looks at its geometry.
        if speaks && (rule.words().name.starts_with("elastic") || rule.words().name.starts_with("levers")) {
            let forces = share(rule, &set).unwrap();
            let moved = hung(&points, &lengths, center + DVec3::X * 0.05, 2e4, 1e6).with_tolerances(tolerances.clone());
            let moved = share(rule, &moved.unwrap()).unwrap();
            assert!((moved[0] - forces[0]).abs() > 1e-3 * forces[0], "{}", rule.words().name);
        }
        run += usize::from(speaks);
    }
    println!("{run} rules run, {} refuse four legs", rules.len() - run);
    assert_eq!(run, 7);
}
