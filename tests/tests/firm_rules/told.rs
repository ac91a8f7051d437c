//! What a firm's set says and an assessment does not go by is told with its reason: gear that is excluded or not settled, a skew
//! factor that is not taken, figures that do not apply.

use super::{assess, basis, of, on_shackles, rule, set, two_legs};
use rigging_core::checks::{Assessment, Code, Finding, Verdict};
use serde_json::{Value, json};

/// Gear to which the set applies, in these words.
fn gear(words: &str) -> String {
    named("gear", "applies to gear", &format!("when = {{ construction = [{words}] }}\nrelation = \"applies\""))
}

fn named(name: &str, answers: &str, keys: &str) -> String {
    rule(answers, keys).replace(&format!("name = \"{answers}\""), &format!("name = \"{name}\""))
}

/// A rule for gear of a construction that gives no figure.
fn without(answers: &str, construction: &str, relation: &str, why: &str) -> String {
    let keys = format!("when = {{ construction = \"{construction}\" }}\nrelation = \"{relation}\"\nwhy = \"{why}\"");
    named("for some gear", answers, &keys)
}

fn lift() -> Value {
    on_shackles(two_legs("4 t", 0.0))
}

/// The findings on gear that a set is for or not.
fn on_gear(assessment: &Assessment) -> Vec<(&str, Verdict, &str)> {
    let found = of(assessment, Code::Applicability)
        .into_iter()
        .filter(|finding| ["/slings", "/fittings"].iter().any(|list| finding.place.as_str().starts_with(list)));
    found.map(|finding| (finding.item.as_str(), finding.verdict, finding.text.as_str())).collect()
}

#[test]
fn whether_a_set_is_for_gear_is_told_of_slings_and_fittings_alike() {
    let why = "ask the office about them";
    for (construction, others, items) in
        [("roundsling", "\"shackle\"", vec!["S1", "S2"]), ("shackle", "\"roundsling\"", vec!["H1, H2"])]
    {
        for (relation, verdict) in [("withheld", Verdict::CannotConclude), ("does not apply", Verdict::NotCovered)] {
            let own = without("applies to gear", construction, relation, why);
            let assessment = assess(&lift(), &set(&[basis("marked rating"), gear(others), own]));
            let told = on_gear(&assessment);
            let found: Vec<&str> = told.iter().map(|(item, ..)| *item).collect();
            assert_eq!(found, items, "{construction}, {relation}");
            for (_, found, text) in told {
                assert!(found == verdict && text.contains(why), "{construction}, {relation}: {text}");
                assert_eq!(text.contains("its marked rating stands by itself"), relation == "does not apply", "{text}");
            }
            let whole = if verdict == Verdict::NotCovered { Verdict::Pass } else { verdict };
            assert_eq!(assessment.verdict, whole, "{construction}, {relation}");
        }
    }
    // Most sets name no fittings, and nothing is said of them; nor where a condition is of what no fitting states.
    for more in
        [Vec::new(), vec![named("steel", "applies to gear", "when = { grade = \"8\" }\nrelation = \"applies\"")]]
    {
        let rules = [vec![basis("marked rating"), gear("\"roundsling\"")], more].concat();
        let assessment = assess(&lift(), &set(&rules));
        assert_eq!(on_gear(&assessment), []);
        assert_eq!(assessment.verdict, Verdict::Pass);
    }
    // A size that a fitting can state is asked for.
    let large = "input = [{ fact = \"breaking load\", unit = \"kN\", at_least = 100, policy = \"small ones are not spoken of\" }]\n\
                 when = { construction = \"shackle\" }\nrelation = \"applies\"";
    let assessment = assess(
        &lift(),
        &set(&[basis("marked rating"), gear("\"roundsling\""), named("large shackles", "applies to gear", large)]),
    );
    let asked: Vec<&Finding> =
        of(&assessment, Code::Applicability).into_iter().filter(|one| !one.missing.is_empty()).collect();
    let [finding] = asked.as_slice() else { panic!("{asked:#?}") };
    assert_eq!(finding.missing[0].place.as_str(), "/fittings/0/rating/breaking_load");
}

#[test]
fn a_rating_basis_that_is_withheld_keeps_gear_out_of_use() {
    let why = "they are not used in the yard";
    for hitch in
        [json!("straight"), json!("basket"), json!("doubled"), json!({ "choke": { "angle": "120 deg choke" } })]
    {
        let mut lift = two_legs("1 t", 0.0);
        for index in 0..2 {
            lift["legs"][index]["hitch"] = hitch.clone();
            for key in ["wll_choke", "wll_basket"] {
                lift["slings"][index]["strength"][key] = json!("4 t");
            }
        }
        let Ok(read) = rigging_core::arrangement::Lift::from_json(&lift.to_string()) else { continue };
        let rules = set(&[gear("\"roundsling\""), without("rating basis", "roundsling", "withheld", why)]);
        let assessment = read.assess(&rules).unwrap();
        assert_eq!(assessment.verdict, Verdict::CannotConclude, "{hitch}");
        let found = of(&assessment, Code::SlingStrength);
        if !found.is_empty() {
            let told = found.iter().filter(|one| one.verdict == Verdict::CannotConclude && one.text.contains(why));
            assert_eq!(told.count(), 2, "{hitch}: {found:#?}");
        }
    }
    // Of fittings, too, and whatever limit the set gives them beside.
    let limit = rule(
        "shackle static limit",
        "when = { construction = \"shackle\" }\nunit = \"kN\"\nrelation = \"constant\"\nvalue = 50",
    );
    let slings = named(
        "slings",
        "rating basis",
        "when = { construction = \"roundsling\" }\nrelation = \"words\"\nwords = [\"marked rating\"]",
    );
    for more in [Vec::new(), vec![limit]] {
        let shackles = without("rating basis", "shackle", "withheld", why);
        let rules = set(&[vec![gear("\"roundsling\", \"shackle\""), slings.clone(), shackles], more].concat());
        let assessment = assess(&lift(), &rules);
        assert_eq!(assessment.verdict, Verdict::CannotConclude);
        for finding in of(&assessment, Code::FittingStrength) {
            assert!(finding.verdict == Verdict::CannotConclude && finding.text.contains(why), "{}", finding.text);
        }
    }
}
