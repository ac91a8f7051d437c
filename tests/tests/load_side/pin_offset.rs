//! A load off the middle of the pin it hangs on, by its maker's word, by a rule, and where nobody says anything.

use super::*;

const SHACKLE: &str = "shackle A";
const AT: &str = "/fittings/0";

fn cited(value: &str) -> Value {
    json!({ "value": value, "source": "maker's data sheet DS-SH" })
}

/// The skid with jaws of 60 mm round a plate of 20 mm at its first lug, and cheeks of 5 mm on each side: 30 mm are left.
fn skid() -> Value {
    let mut document = patching::demo("generator-skid-round-edge");
    patching::set(&mut document, &format!("{AT}/jaw_width"), json!("60 mm"));
    patching::set(&mut document, "/load/lift_points/0/thickness", json!("20 mm"));
    patching::set(&mut document, "/load/lift_points/0/pin_plate", json!({ "cheek_thickness": "5 mm" }));
    document
}

fn with(document: &Value, key: &str, value: &str) -> Value {
    let mut document = document.clone();
    patching::set(&mut document, &format!("{AT}/{key}"), cited(value));
    document
}

fn own(rules: &str) -> RuleSet {
    let text = patching::text("rigging-core/rules/us-general.toml");
    let source = "[[source]]\nid = \"own\"\ndocument = \"Hollow Ford lifting instruction\"\nstanding = \"stated\"\n";
    RuleSet::from_toml(&format!("{text}\n{source}{rules}")).unwrap_or_else(|error| panic!("{error}"))
}

/// In full up to a tenth of the jaws, then 0.8 up to a fifth and 0.5 up to a quarter.
fn factors() -> String {
    "[[rule]]\nanswers = \"greatest pin offset ratio\"\nname = \"offset in full\"\nwhen = { construction = \"shackle\" }\nrelation = \
     \"constant\"\nvalue = 0.1\nsource = \"own\"\nclause = \"7.1\"\n[[rule]]\nanswers = \"pin offset factor\"\nname = \"off the middle\"\nwhen \
     = { construction = \"shackle\" }\ninput = [{ fact = \"pin offset ratio\", at_most = 0.25, policy = \"beyond, ask the maker\" \
     }]\nrelation = \"table\"\nrows = \"pin offset ratio\"\nrow_lookup = \"band\"\ncells = [[{ at_most = 0.1 }, 1.0], [{ more_than = 0.1, \
     at_most = 0.2 }, 0.8], [{ more_than = 0.2, at_most = 0.25 }, 0.5]]\nsource = \"own\"\nclause = \"7.2\"\n"
        .to_owned()
}

fn told(document: &Value, rules: &RuleSet) -> Finding {
    let assessment = assess(document, rules);
    of(&assessment, Code::PinOffset, SHACKLE).clone()
}

#[test]
fn where_nobody_says_anything_that_is_told_and_decides_nothing() {
    let rules = built_in("us-general");
    let document = patching::demo("generator-skid-round-edge");
    let assessment = assess(&document, &rules);
    let found = coded(&assessment, Code::PinOffset);
    assert_eq!((found.len(), found[0].verdict, assessment.verdict), (1, Verdict::NotCovered, Verdict::Pass));
    assert!(found[0].text.contains(SHACKLE) && found[0].text.contains("shackle D"), "{}", found[0].text);
    // By hand: 60 mm less 20 mm and twice 5 mm leave 30 mm, 15 mm to either side.
    let finding = told(&skid(), &rules);
    assert_eq!(finding.verdict, Verdict::NotCovered);
    assert!(finding.text.contains("up to 15.0 mm"), "{}", finding.text);
    // Packing of 20 mm leaves 5 mm to either side, of 30 mm none.
    assert!(told(&with(&skid(), "packing", "20 mm"), &rules).text.contains("up to 5.0 mm"));
    assert_eq!(told(&with(&skid(), "packing", "30 mm"), &rules).verdict, Verdict::Pass);
}

#[test]
fn the_makers_limit_holds_at_it_and_not_above() {
    let rules = built_in("us-general");
    for (offset, limit, verdict) in [
        ("4.99 mm", "5 mm", Verdict::Pass),
        ("5 mm", "5 mm", Verdict::Pass),
        ("5.01 mm", "5 mm", Verdict::Fail),
        ("0 mm", "0 mm", Verdict::Pass),
        ("0.01 mm", "0 mm", Verdict::Fail),
    ] {
        let document = with(&with(&skid(), "offset_on_pin", offset), "greatest_offset_on_pin", limit);
        let finding = told(&document, &rules);
        assert_eq!(finding.verdict, verdict, "{offset} of {limit}");
        assert_eq!(finding.source.unwrap().document.as_str(), "maker's data sheet DS-SH");
    }
    // Without a stated offset half of the room counts: 15 mm.
    for (limit, verdict) in [("15 mm", Verdict::Pass), ("14.9 mm", Verdict::Fail)] {
        assert_eq!(told(&with(&skid(), "greatest_offset_on_pin", limit), &rules).verdict, verdict, "{limit}");
    }
    // A limit without an offset, and an offset without a limit.
    let bare = patching::demo("generator-skid-round-edge");
    for (key, asked) in [("greatest_offset_on_pin", "offset_on_pin"), ("offset_on_pin", "greatest_offset_on_pin")] {
        let finding = told(&with(&bare, key, "3 mm"), &rules);
        assert_eq!(
            (finding.verdict, missing(&finding)),
            (Verdict::CannotConclude, vec![format!("{AT}/{asked}").as_str()])
        );
    }
    assert_eq!(told(&with(&bare, "offset_on_pin", "0 mm"), &rules).verdict, Verdict::Pass);
}

#[test]
fn a_rule_lowers_the_rating_by_bands() {
    let rules = own(&factors());
    let plain = assess(&skid(), &rules);
    let full = of(&plain, Code::FittingStrength, SHACKLE).utilization.unwrap();
    // Of jaws of 60 mm a tenth is 6 mm, a fifth 12 mm, a quarter 15 mm.
    for (offset, left) in [
        ("5.99 mm", None),
        ("6.01 mm", Some(0.8)),
        ("11.99 mm", Some(0.8)),
        ("12.01 mm", Some(0.5)),
        ("14.99 mm", Some(0.5)),
    ] {
        let finding = told(&with(&skid(), "offset_on_pin", offset), &rules);
        match left {
            None => assert_eq!((finding.verdict, finding.source.unwrap().clause.as_str()), (Verdict::Pass, "7.1")),
            Some(left) => {
                let (found, due) = (finding.utilization.unwrap(), full / left);
                assert!((found - due).abs() < 1e-12, "{offset}: {found} and {due}");
                assert!(finding.capacity.as_deref().unwrap().is_coherent());
                assert_eq!(finding.source.unwrap().clause.as_str(), "7.2");
            }
        }
    }
    // A strength rests on what strengths rest on, and an offset on nothing.
    let lowered = told(&with(&skid(), "offset_on_pin", "12.01 mm"), &rules);
    assert!(
        lowered.assumptions.len() >= 5 && told(&with(&skid(), "offset_on_pin", "5 mm"), &rules).assumptions.is_empty()
    );
    // Beyond the last band the policy is told: wider jaws let the load sit farther off.
    let mut wide = skid();
    patching::set(&mut wide, &format!("{AT}/jaw_width"), json!("80 mm"));
    let finding = told(&with(&wide, "offset_on_pin", "21 mm"), &rules);
    assert_eq!(finding.verdict, Verdict::CannotConclude);
    assert!(finding.text.contains("ask the maker"), "{}", finding.text);
    // The figure of the leg counts the lowered rating.
    let document = with(&skid(), "offset_on_pin", "12.01 mm");
    let legs = assess(&document, &rules).legs;
    assert!(legs[0].utilization.unwrap() >= full / 0.5 - 1e-12);
    // A rule asks for what is not known.
    let bare = patching::demo("generator-skid-round-edge");
    let finding = told(&bare, &rules);
    assert_eq!(
        (finding.verdict, missing(&finding)),
        (Verdict::CannotConclude, vec![format!("{AT}/offset_on_pin").as_str()])
    );
    // The maker's word goes before a rule for all makers.
    let document = with(&with(&skid(), "offset_on_pin", "12.01 mm"), "greatest_offset_on_pin", "13 mm");
    assert_eq!(told(&document, &rules).verdict, Verdict::Pass);
}

#[test]
fn contradictions_are_told_and_not_calculated_over() {
    let rules = built_in("us-general");
    // 15 mm of room to either side: 16 mm off the middle is not possible, nor are spacers of 31 mm.
    for (key, value) in [("offset_on_pin", "16 mm"), ("packing", "31 mm")] {
        let document = with(&with(&skid(), key, value), "greatest_offset_on_pin", "20 mm");
        let finding = told(&document, &rules);
        let due = (Verdict::CannotConclude, format!("{AT}/{key}"));
        assert_eq!((finding.verdict, finding.place.as_str().to_owned()), due, "{}", finding.text);
    }
    // With packing of 20 mm, 6 mm off the middle is not possible either.
    let document = with(&with(&skid(), "packing", "20 mm"), "offset_on_pin", "6 mm");
    assert_eq!(told(&document, &rules).verdict, Verdict::CannotConclude);
    for (key, value, code) in [("offset_on_pin", "-1 mm", "out_of_domain"), ("packing", "1 kg", "wrong_unit")] {
        let error = Lift::from_json(&with(&skid(), key, value).to_string()).unwrap_err();
        assert_eq!((error.code(), error.place().as_str()), (code, format!("{AT}/{key}/value").as_str()));
    }
    let mut ring = skid();
    patching::set(&mut ring, &format!("{AT}/kind"), json!("ring"));
    let error = Lift::from_json(&with(&ring, "packing", "1 mm").to_string()).unwrap_err();
    assert_eq!((error.code(), error.place().as_str()), ("inconsistent", format!("{AT}/packing").as_str()));
    let mut unsourced = with(&skid(), "packing", "1 mm");
    patching::set(&mut unsourced, &format!("{AT}/packing/source"), json!(" "));
    let error = Lift::from_json(&unsourced.to_string()).unwrap_err();
    assert_eq!((error.code(), error.place().as_str()), ("missing", format!("{AT}/packing/source").as_str()));
}
