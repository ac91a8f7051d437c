//! The skew factor of 0027/ND, read from the rule set: what it is given for, and what not.

use super::*;
use rigging_core::rules::Facts;
use rigging_core::sharing::RuledSkew;

fn marine() -> RuleSet {
    RuleSet::built_in("marine-0027-nd-2016").unwrap()
}

/// What the document does not know of matched pairs, within every limit of 0027/ND, 5.6.12.
fn matched_pairs() -> Facts {
    Facts::new()
        .word("rope lay", "single-laid")
        .word("sling pairing", "matched pairs")
        .word("longer slings on one diagonal", "no")
        .number("sling length tolerance in diameters", 2.0, "")
        .number("pair length difference in diameters", 1.0, "")
        .number("mass per length", 6.5, "kg/m")
        .number("utilization with the skew factor", 0.75, "")
}

/// The skid on steel wire rope of 40 mm.
fn on_wire_rope(legs: usize) -> LegSet {
    let mut document = patching::demo("generator-skid");
    for leg in 0..4 {
        patching::set(&mut document, &format!("/slings/{leg}/material"), json!("steel"));
        patching::set(&mut document, &format!("/slings/{leg}/construction"), json!("wire_rope"));
        patching::set(&mut document, &format!("/slings/{leg}/diameter"), json!("40 mm"));
    }
    document["legs"].as_array_mut().unwrap().truncate(legs);
    set_of(&Lift::from_json(&document.to_string()).unwrap_or_else(|error| panic!("{error}")))
}

#[test]
fn the_factor_is_the_rule_sets_with_its_conditions_and_clause() {
    let set = on_wire_rope(4);
    let rule = RuledSkew::new(Arc::new(EqualShare), &marine(), &set, &matched_pairs()).unwrap();
    let words = rule.words();
    assert_eq!(words.name.as_str(), "skew factor 1.25 on equal share by angle");
    assert_eq!((words.source.clause.as_str(), words.conservative), ("5.6.12", true));
    assert!(words.domain.contains("matched pairs") && words.domain.contains("single-laid"), "{}", words.domain);
    let (skewed, even) = (share(&rule, &set).unwrap(), share(&EqualShare, &set).unwrap());
    assert!(skewed.iter().zip(&even).all(|(skewed, even)| *skewed == 1.25 * even));
    // Ruled for this set, and for no other.
    let bare = LegSet::of_system(set.system().unwrap()).unwrap();
    assert_eq!(share(&rule, &bare).unwrap_err().code(), "unsupported");
}

#[test]
fn what_does_not_meet_its_conditions_is_refused() {
    let base = || Arc::new(EqualShare);
    let set = on_wire_rope(4);
    let refused = |set: &LegSet, facts: &Facts| RuledSkew::new(base(), &marine(), set, facts).unwrap_err();
    for (facts, code, words) in [
        (matched_pairs().word("rope lay", "cable-laid"), "unsupported", "single-laid"),
        (matched_pairs().word("sling pairing", "unequal lengths"), "unsupported", "unequal length"),
        (matched_pairs().word("longer slings on one diagonal", "yes"), "unsupported", "same diagonal"),
        (matched_pairs().number("sling length tolerance in diameters", 2.1, ""), "unsupported", "2.0 d"),
        (matched_pairs().number("pair length difference in diameters", 1.1, ""), "unsupported", "1.0 d"),
        (matched_pairs().number("mass per length", 7.0, "kg/m"), "unsupported", "standard construction"),
        (matched_pairs().number("utilization with the skew factor", 0.6, ""), "unsupported", "utilization"),
        (matched_pairs().unknown("sling pairing"), "missing", "sling pairing"),
        (matched_pairs().unknown("utilization with the skew factor"), "missing", "utilization"),
        (Facts::new(), "missing", ""),
    ] {
        let error = refused(&set, &facts);
        assert_eq!((error.code(), error.to_string().contains(words)), (code, true), "{error}");
    }
    // Fiber, HMPE among it, whatever else is stated; what the slings are is not for the user to state.
    let fiber = set_of(&skid_lift("generator-skid"));
    assert!(refused(&fiber, &matched_pairs().word("material", "steel")).to_string().contains("steel slings"));
    let mut document = patching::demo("generator-skid");
    patching::set(&mut document, "/slings/2/material", json!("HMPE"));
    let hmpe = set_of(&Lift::from_json(&document.to_string()).unwrap());
    assert_eq!(refused(&hmpe, &matched_pairs()).code(), "unsupported");
    // A rule set that does not speak of it, and a set without slings.
    let us = RuleSet::built_in("us-general").unwrap();
    assert_eq!(RuledSkew::new(base(), &us, &set, &matched_pairs()).unwrap_err().code(), "unsupported");
    let bare = LegSet::of_system(set.system().unwrap()).unwrap();
    assert_eq!(refused(&bare, &matched_pairs()).code(), "missing");
}

/// The skid on steel wire rope with changes to its document.
fn wire_rope_with(changes: &[(&str, serde_json::Value)]) -> LegSet {
    let mut document = patching::demo("generator-skid");
    for leg in 0..4 {
        patching::set(&mut document, &format!("/slings/{leg}/material"), json!("steel"));
        patching::set(&mut document, &format!("/slings/{leg}/construction"), json!("wire_rope"));
        patching::set(&mut document, &format!("/slings/{leg}/diameter"), json!("40 mm"));
    }
    changes.iter().for_each(|(pointer, value)| patching::set(&mut document, pointer, value.clone()));
    set_of(&Lift::from_json(&document.to_string()).unwrap_or_else(|error| panic!("{error}")))
}

#[test]
fn what_the_lift_tells_goes_before_what_is_stated() {
    let ruled = |set: &LegSet, facts: &Facts| RuledSkew::new(Arc::new(EqualShare), &marine(), set, facts);
    let lengths = |lengths: [&str; 4]| -> Vec<(String, serde_json::Value)> {
        let set = |(leg, length)| (format!("/slings/{leg}/length/value"), json!(length));
        lengths.into_iter().enumerate().map(set).collect()
    };
    // 80 mm are 2 d of 40 mm, 81 mm are 2.025 d; the user states 2.0 d.
    let tolerance = "/slings/1/length/tolerance";
    assert!(ruled(&wire_rope_with(&[(tolerance, json!("80 mm"))]), &matched_pairs()).is_ok());
    let refusals = [
        (vec![(tolerance.to_owned(), json!("81 mm"))], ["2.0 d", "stated as 2, and the lift makes it 2.025"]),
        // Of four lengths the nearest two by two are the pairs: 41 mm apart are 1.025 d.
        (lengths(["6.000 m", "6.000 m", "6.000 m", "6.041 m"]).to_vec(), ["1.0 d", "the lift makes it 1.025"]),
        // Legs A and C, then B and D, are opposite each other.
        (lengths(["6.000 m", "6.030 m", "6.000 m", "6.030 m"]).to_vec(), ["same diagonal", "the lift makes it yes"]),
        (vec![("/slings/0/construction".to_owned(), json!("cable_laid_wire_rope"))], ["single-laid", "cable-laid"]),
        (vec![("/slings/0/construction".to_owned(), json!("chain"))], ["single-laid", "chain"]),
        (vec![("/slings/2/material".to_owned(), json!("HMPE"))], ["compute the skew load", "HMPE"]),
    ];
    for (changes, words) in &refusals {
        let changes: Vec<(&str, serde_json::Value)> =
            changes.iter().map(|(pointer, value)| (pointer.as_str(), value.clone())).collect();
        let error = ruled(&wire_rope_with(&changes), &matched_pairs()).unwrap_err();
        assert_eq!(error.code(), "unsupported", "{error}");
        assert!(words.iter().all(|word| error.to_string().contains(word)), "{words:?}: {error}");
    }
    // The longer ones side by side are pairs that may be.
    let beside = lengths(["6.000 m", "6.030 m", "6.030 m", "6.000 m"]);
    let beside: Vec<(&str, serde_json::Value)> =
        beside.iter().map(|(pointer, value)| (pointer.as_str(), value.clone())).collect();
    assert!(ruled(&wire_rope_with(&beside), &matched_pairs()).is_ok());
    // What the lift tells need not be stated; what neither tells is asked for.
    assert!(ruled(&on_wire_rope(4), &matched_pairs().unknown("sling length tolerance in diameters")).is_ok());
    let open = wire_rope_with(&[(tolerance, json!("unknown"))]);
    let error = ruled(&open, &matched_pairs().unknown("sling length tolerance in diameters")).unwrap_err();
    assert!(error.code() == "missing" && error.to_string().contains("sling length tolerance"), "{error}");
    // A number of legs that the lift does not have.
    let three = on_wire_rope(3);
    let error = ruled(&three, &matched_pairs().word("configuration", "four legs").word("statically determinate", "no"));
    assert_eq!(error.unwrap_err().code(), "unsupported");
}

#[test]
fn no_rule_set_gives_a_factor_for_slings_of_hmpe() {
    let own = RuleSet::from_toml(
        "format = 1\nname = \"yard\"\ntitle = \"rules of a yard\"\nedition = \"1\"\nstatus = \"in force\"\n[[source]]\nid = \
         \"y\"\ndocument = \"note of the yard\"\nstanding = \"stated\"\n[[rule]]\nanswers = \"skew factor\"\nname = \"of any \
         sling\"\nrelation = \"constant\"\nvalue = 1.3\nsource = \"y\"\nclause = \"1\"\n"
    )
    .unwrap();
    let ruled = |set: &LegSet| RuledSkew::new(Arc::new(EqualShare), &own, set, &Facts::new());
    assert!(ruled(&on_wire_rope(4)).is_ok());
    let error = ruled(&wire_rope_with(&[("/slings/3/material", json!("HMPE"))])).unwrap_err();
    assert!(error.to_string().contains("compute the skew load"), "{error}");
}
