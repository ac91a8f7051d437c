//! What a firm's set says and an assessment does not go by is told with its reason: gear that is excluded or not settled, a skew
//! factor that is not taken, figures that do not apply.

use super::{assess, basis, of, on_shackles, rule, set, two_legs};
use rigging_core::checks::{Assessment, Code, Finding, Stance, Verdict};
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

#[test]
fn a_skew_factor_that_is_not_taken_is_told_and_missed_where_nothing_is_computed() {
    let factor = rule("skew factor", "relation = \"constant\"\nvalue = 3");
    let rules = set(&[basis("marked rating"), factor]);
    let mut lift = two_legs("4 t", 30.0);
    let skew = |lift: &Value, rules: &rigging_core::rules::RuleSet| {
        let assessment: Assessment = assess(lift, rules);
        let found: Vec<(Verdict, String, Vec<String>)> = of(&assessment, Code::Skew)
            .iter()
            .map(|one| {
                let places = one.missing.iter().map(|missing| missing.place.as_str().to_owned()).collect();
                assert_eq!(one.source.as_ref().unwrap().clause.as_str(), "2");
                (one.verdict, one.text.to_string(), places)
            })
            .collect();
        (assessment.verdict, found)
    };
    // Lengths stated to be exact: nothing is computed, and the factor is not taken.
    let (verdict, found) = skew(&lift, &rules);
    let [(of_skew, text, places)] = found.as_slice() else { panic!("{found:?}") };
    assert_eq!([verdict, *of_skew], [Verdict::CannotConclude; 2], "{text}");
    assert!(text.contains("skew factor of 3") && places == &["/slings/0/length/tolerance"], "{text}");
    // With tolerances it is told.
    for index in 0..2 {
        lift["slings"][index]["length"]["tolerance"] = json!("20 mm");
    }
    let (verdict, found) = skew(&lift, &rules);
    let [(Verdict::NotCovered, text, _)] = found.as_slice() else { panic!("{found:?}") };
    assert!(text.contains("skew factor of 3, which is not taken") && text.contains("severer on L"), "{text}");
    assert_eq!(verdict, assess(&lift, &set(&[basis("marked rating")])).verdict);
    // One that is kept back is told; a set that says that it has none, or is silent, is not spoken of.
    let keys = |relation: &str| {
        set(&[
            basis("marked rating"),
            rule("skew factor", &format!("relation = \"{relation}\"\nwhy = \"see the method of each lift\"")),
        ])
    };
    assert!(
        matches!(skew(&lift, &keys("withheld")).1.as_slice(), [(Verdict::NotCovered, text, _)] if text.contains("see the method"))
    );
    assert_eq!(skew(&lift, &keys("does not apply")).1, []);
    let one = super::one_leg("2 t");
    assert_eq!(skew(&one, &rules).1, [], "one leg has nothing to share");
}

#[test]
fn what_does_not_apply_is_told_with_its_reason() {
    let why = "lifts in the yard are slow ones";
    let excluded = |answers: &str| {
        let keys = format!("when = {{ place = \"offshore\" }}\nrelation = \"does not apply\"\nwhy = \"{why}\"");
        set(&[basis("marked rating"), rule(answers, &keys)])
    };
    let lift = two_legs("4 t", 0.0);
    let dynamics = |rules: &rigging_core::rules::RuleSet| {
        let assessment = assess(&lift, rules);
        let found = assessment.assumptions.iter().find(|one| one.code.text() == "dynamics").unwrap();
        found.text.to_string()
    };
    let text = dynamics(&excluded("dynamic factor"));
    assert!(text.contains(why) && text.contains("Gull Point") && !text.contains("gives none"), "{text}");
    assert!(dynamics(&set(&[basis("marked rating")])).contains("the rule set gives none"));
    // A condition that is not met.
    let unmet = rule(
        "dynamic factor",
        &format!(
            "input = [{{ fact = \"gross weight\", unit = \"t\" }}]\nrelation = \"constant\"\nvalue = 1.3\n\
                  requires = [{{ name = \"weight\", times = [\"gross weight\"], at_least = 10, otherwise = \"does not apply\", why = \"{why}\" }}]"
        ),
    );
    assert!(dynamics(&set(&[basis("marked rating"), unmet])).contains(why));
    for (answers, code, count) in [
        ("temperature factor", Code::Temperature, 2),
        ("highest temperature", Code::Temperature, 2),
        ("lowest temperature", Code::Temperature, 2),
        ("least leg angle", Code::LegAngle, 2),
    ] {
        let assessment = assess(&lift, &excluded(answers));
        let told: Vec<&Finding> = of(&assessment, code).into_iter().filter(|one| one.text.contains(why)).collect();
        assert_eq!(told.len(), count, "{answers}: {told:#?}");
        for finding in told {
            let source = finding.source.as_ref().unwrap();
            assert_eq!((finding.verdict, source.clause.as_str()), (Verdict::NotCovered, "2"), "{answers}");
            assert_eq!(finding.stance, Some(Stance::DoesNotApply));
            assert!(finding.text.contains(answers) || answers == "least leg angle", "{}", finding.text);
        }
        assert_eq!(assessment.verdict, Verdict::Pass, "{answers}");
    }
}
