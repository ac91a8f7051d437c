//! Proven bounds as a rule, against states inside the tolerances that a second derivation hangs.

use super::skid::newton;
use super::*;

/// Numbers from 0 to 1, the same on every machine.
fn drawn(state: &mut u64) -> f64 {
    *state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
    (*state >> 11) as f64 / (1_u64 << 53) as f64
}

#[test]
fn no_state_within_the_tolerances_exceeds_the_bound() {
    for (name, ea) in [("generator-skid", 6.0e6), ("generator-skid-stiff-slings", 9.6e6)] {
        let lift = Lift::from_json(&patching::demo(name).to_string()).unwrap();
        let set = set_of(&lift);
        let bounds = share(&ElasticBounds::default(), &set).unwrap();
        let attained = share(&ElasticAtVertices, &set).unwrap();
        let tolerances = set.tolerances().unwrap().clone();
        let points: Vec<DVec3> = set.legs().iter().map(|leg| leg.point).collect();
        let (mut state, mut nearest) = (7, 0.0_f64);
        for _ in 0..500 {
            let mut off = |side: f64| side * (2.0 * drawn(&mut state) - 1.0);
            let lengths = set.legs().iter().zip(&tolerances.lengths).map(|(leg, side)| leg.length + off(*side));
            let lengths: Vec<f64> = lengths.collect();
            let center = set.center_of_gravity() + DVec3::from_array(tolerances.center_of_gravity.map(&mut off));
            let tensions = newton(&points, &lengths, center, set.weight(), ea);
            for (tension, bound) in tensions.iter().zip(&bounds) {
                assert!(tension <= bound, "{tension} above {bound}");
                nearest = nearest.max(tension / bound);
            }
        }
        assert!(nearest > 0.8, "the states drawn are too far inside: {nearest}");
        assert!(bounds.iter().zip(&attained).all(|(bound, attained)| *bound >= attained * (1.0 - 1e-12)));
    }
}

#[test]
fn where_there_is_no_bound_it_refuses_and_says_why() {
    assert!(ElasticBounds::default().words().conservative);
    let set = set_of(&skid_lift("generator-skid"));
    // The branch cannot be enclosed without looking at a piece.
    let none = ElasticBounds { effort: Effort { parts: 0, ..Effort::default() } };
    let error = share(&none, &set).unwrap_err();
    assert_eq!((error.code(), error.place().as_str()), ("unsupported", "/legs/0"));
    assert!(error.to_string().contains("could not be enclosed"), "{error}");
    let no_gap = ElasticBounds { effort: Effort { gap: 0.0, ..Effort::default() } };
    assert_eq!(share(&no_gap, &set).unwrap_err().code(), "out_of_domain");
    // Tolerances are not known.
    let system = set.system().unwrap();
    let bare = LegSet::of_system(system).unwrap();
    assert_eq!(share(&ElasticBounds::default(), &bare).unwrap_err().code(), "missing");
    // Nothing hangs stably with the center of gravity far above the hook.
    let points = [DVec3::new(1.0, 1.0, 0.0), DVec3::new(-1.0, 1.0, 0.0), DVec3::new(0.0, -1.0, 0.0)];
    let tall = hung(&points, &[2.0; 3], DVec3::new(0.0, 0.2, 6.0), 1e4, 1e6);
    let tall = tall.with_tolerances(SetTolerances { lengths: vec![0.01; 3], center_of_gravity: [0.0; 3] }).unwrap();
    assert_eq!(share(&ElasticBounds::default(), &tall).unwrap_err().code(), "unsupported");
}
