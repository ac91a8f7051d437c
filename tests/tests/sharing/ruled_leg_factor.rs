//! Leg factors from rule sets: as tables, and asked for one set of legs.

use super::*;
use rigging_core::rules::Facts;
use rigging_core::sharing::RuledLegFactor;

/// The skid on so many legs of chain of grade 8, 6 m long.
fn on_chain(legs: usize) -> Lift {
    let mut document = patching::demo("generator-skid");
    for leg in 0..4 {
        for (key, value) in [
            ("material", json!("alloy steel")),
            ("construction", json!("chain")),
            ("grade", json!(8)),
            ("diameter", json!("16 mm")),
        ] {
            patching::set(&mut document, &format!("/slings/{leg}/{key}"), value);
        }
        let sling = document["slings"][leg].as_object_mut().unwrap();
        for key in ["termination", "least_edge_radius", "width", "thickness"] {
            sling.remove(key);
        }
        patching::set(&mut document, &format!("/slings/{leg}/parts"), json!(1));
    }
    document["legs"].as_array_mut().unwrap().truncate(legs);
    Lift::from_json(&document.to_string()).unwrap_or_else(|error| panic!("{error}"))
}

/// What the same legs ask at an angle that is stated.
fn at(set: &LegSet, degrees: f64) -> LegSet {
    set.clone().with_angle(degrees.to_radians()).unwrap()
}

#[test]
fn a_rule_set_asked_for_a_set_says_what_its_table_prints() {
    // DGUV Information 209-021: 1.4 and 1.0 of two legs, 2.1 and 1.5 of three and four.
    let rules = RuleSet::built_in("de-dguv-209-021").unwrap();
    let table = &LegFactors::built_in().unwrap()[0];
    let mut run = 0;
    for (legs, printed) in [(2, [1.4, 1.0]), (3, [2.1, 1.5]), (4, [2.1, 1.5])] {
        let lift = on_chain(legs);
        let set = set_of(&lift);
        let rule = RuledLegFactor::of_lift(&rules, &lift, "{}").unwrap_or_else(|error| panic!("{error}"));
        assert_eq!((rule.words().conservative, rule.words().source), (true, table.source.clone()));
        for (degrees, factor) in [(1.0, printed[0]), (44.9, printed[0]), (45.1, printed[1]), (59.9, printed[1])] {
            let set = at(&set, degrees);
            let forces = share(&rule, &set).unwrap();
            assert_eq!(forces, vec![set.weight() / factor; legs], "{legs} legs at {degrees}");
            assert_eq!(forces, share(table, &set).unwrap());
            run += 1;
        }
        // Beyond the last band the table ends, and so does the document.
        assert_eq!(share(&rule, &at(&set, 60.1)).unwrap_err().code(), "out_of_domain");
    }
    assert_eq!(run, 12);
}

#[test]
fn conditions_of_a_rule_set_are_asked_for_and_kept() {
    // EN 818-6 lets three and four legs count so only below 80 % of the marking, every leg at least 15 degrees from vertical.
    let rules = RuleSet::built_in("eu-en-818-6").unwrap();
    let lift = on_chain(4);
    let set = set_of(&lift);
    let facts = |share: f64| Facts::new().number("utilization", share, "").word("hitch", "straight");
    assert_eq!(RuledLegFactor::of_lift(&rules, &lift, "{}").unwrap_err().code(), "missing");
    let rule = RuledLegFactor::new(&rules, &set, &facts(0.79)).unwrap();
    assert_eq!(share(&rule, &at(&set, 15.1)).unwrap(), vec![set.weight() / 2.1; 4]);
    assert!(share(&rule, &at(&set, 14.9)).is_err());
    assert!(RuledLegFactor::new(&rules, &set, &facts(0.8)).is_err());
    // No factor is made up: of a set without slings, of slings of another kind, of another set, of a silent rule set.
    let bare = LegSet::of_system(set.system().unwrap()).unwrap();
    assert_eq!(RuledLegFactor::new(&rules, &bare, &facts(0.5)).unwrap_err().code(), "missing");
    assert_eq!(share(&rule, &bare).unwrap_err().code(), "unsupported");
    assert_eq!(share(&rule, &set_of(&on_chain(3))).unwrap_err().code(), "unsupported");
    let skid = skid_lift("generator-skid");
    assert_eq!(RuledLegFactor::of_lift(&rules, &skid, r#"{"utilization": 0.5}"#).unwrap_err().code(), "unsupported");
    let silent = RuleSet::built_in("bth-1-2008").unwrap();
    assert_eq!(RuledLegFactor::new(&silent, &set, &facts(0.5)).unwrap_err().code(), "unsupported");
}

#[test]
fn it_answers_for_the_forces_of_an_assessment() {
    use rigging_core::demand::Forces;
    let rules = RuleSet::built_in("de-dguv-209-021").unwrap();
    let lift = on_chain(4);
    let rule = RuledLegFactor::of_lift(&rules, &lift, "{}").unwrap();
    let assessment = lift.assess_by(&RuleSet::built_in("us-general").unwrap(), Forces::Rule(&rule)).unwrap();
    let by_rule = assessment.by_rule.as_ref().unwrap();
    assert_eq!(by_rule.moving, vec![by_rule.weight.chain.value() / 2.1; 4]);
    assert_eq!(by_rule.rule.name.as_str(), "leg factor 2.1 by de-dguv-209-021");
}

#[test]
fn a_table_of_a_rule_set_is_read_or_refused_as_a_whole() {
    let table = |document: &str, facts: &Facts, ends: &[f64]| {
        LegFactors::of_rules("a table", &RuleSet::built_in(document).unwrap(), facts, ends)
    };
    let chain = Facts::new().word("construction", "chain").word("hitch", "straight");
    let read = table("de-dguv-209-021", &chain, &[45.0, 60.0]).unwrap();
    let rows: Vec<(&[usize], &[Option<f64>])> =
        read.rows.iter().map(|row| (row.legs.as_slice(), row.factors.as_slice())).collect();
    assert_eq!(rows, [(&[2][..], &[Some(1.4), Some(1.0)][..]), (&[3, 4][..], &[Some(2.1), Some(1.5)][..])]);
    // Narrower bands are within the printed ones; wider ones, or ones that end elsewhere, are not.
    assert_eq!(table("de-dguv-209-021", &chain, &[30.0, 45.0, 60.0]).unwrap().factor(2, 0.6).unwrap(), 1.4);
    for ends in [&[60.0][..], &[40.0, 60.0], &[46.0, 60.0]] {
        assert_eq!(table("de-dguv-209-021", &chain, ends).unwrap_err().code(), "inconsistent", "{ends:?}");
    }
    for ends in [&[45.0, 30.0][..], &[0.0], &[90.0], &[f64::NAN]] {
        assert_eq!(table("de-dguv-209-021", &chain, ends).unwrap_err().code(), "out_of_domain", "{ends:?}");
    }
    assert_eq!(table("de-dguv-209-021", &chain, &[45.0, 61.0]).unwrap_err().code(), "out_of_domain");
    assert_eq!(table("eu-en-818-6", &chain, &[45.0, 60.0]).unwrap_err().code(), "missing");
    assert_eq!(table("bth-1-2008", &chain, &[45.0]).unwrap_err().code(), "unsupported");
}
