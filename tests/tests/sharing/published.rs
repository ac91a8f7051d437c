//! Published figures, and tables of leg factors.

use super::*;

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
    let aside = 7.0 * tray.flattest().unwrap().sin();
    assert_abs_diff_eq!(aside, value("published-us", "nich_4leg_halfdiag"), epsilon = 0.005);

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
    // Plumb, they hang from one point, where only their stretch tells them apart.
    let plumb = hung(&[DVec3::ZERO; 2], &[1.0; 2], DVec3::new(0.0, 0.0, -0.4), 2000.0, 1e7);
    for rule in [&EqualShare as &dyn SharingRule, &Elastic] {
        for force in share(rule, &plumb).unwrap() {
            assert_abs_diff_eq!(force, value("published-us", "stat_2leg_2000_90"), epsilon = 0.5);
        }
    }

    // What so many legs bear at an angle, over what one bears plumb.
    for (id, legs, degrees) in [
        ("identity-2cos45", LegsCounted::two(), 45.0_f64),
        ("identity-2cos60", LegsCounted::two(), 60.0),
        ("identity-3cos45", LegsCounted::three(), 45.0),
        ("identity-3cos60", LegsCounted::three(), 60.0),
    ] {
        let rule = StatedAngle::new(Arc::new(legs), degrees.to_radians()).unwrap();
        for force in share(&rule, &tray).unwrap() {
            assert_abs_diff_eq!(20.0 / force, value("published-intl", id), epsilon = 5e-5);
        }
    }

    // Three cables, 500 lb.
    let third = 3.0_f64.sqrt();
    let anchors = [DVec3::new(-2.0, 0.0, 0.0), DVec3::new(1.0, third, 0.0), DVec3::new(1.0, -third, 0.0)];
    let height: f64 = 7.745_966_692_414_834;
    let set = hung(&anchors, &[(height * height + 4.0).sqrt(); 3], DVec3::new(0.0, 0.0, -1.0), 500.0, 1e8);
    for force in share(&Determinate, &set).unwrap() {
        assert_abs_diff_eq!(force, value("published-us", "stat_3leg_tension"), epsilon = 0.005);
    }
    println!("14 published figures run, 0 skipped");
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
    // The flattest leg decides: one at 50 degrees among three at about 20 puts the set into the second band.
    let points = [DVec3::X * 2.4, DVec3::Y, -DVec3::X, -DVec3::Y];
    let uneven = hung(&points, &[2.4 / 50.0_f64.to_radians().sin(), 3.0, 3.0, 3.0], DVec3::Z * -0.5, 3e3, 1e6);
    assert_eq!(share(&dguv, &uneven).unwrap(), [2e3; 4]);
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
