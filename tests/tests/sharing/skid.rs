//! The skid of the examples under every rule.

use super::*;

/// Tensions by Newton's method on the position of the hook in the load's frame, derivatives by differences.
pub(super) fn newton(points: &[DVec3], lengths: &[f64], center: DVec3, weight: f64, ea: f64) -> Vec<f64> {
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

#[test]
fn the_skid_under_every_rule() {
    let set = set_of(&skid_lift("generator-skid")).with_angle(ANGLE.to_radians()).unwrap();
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
    let set = set_of(&skid_lift("generator-skid-stiff-slings")).with_angle(ANGLE.to_radians()).unwrap();
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
    let drawn = set_of(&skid_lift("generator-skid-stiff-slings"));
    assert!(speaks(&compare(&drawn, &[&LegsCounted::two()]).unwrap(), "two legs carry all").1 > 0.1);
}
