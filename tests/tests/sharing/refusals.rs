//! Outside its domain a rule refuses.

use super::*;

fn factors(legs: usize) -> LegFactors {
    let tables = LegFactors::built_in().unwrap();
    tables.into_iter().find(|table| table.factor(legs, 0.1).is_ok()).unwrap()
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
