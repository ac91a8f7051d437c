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
