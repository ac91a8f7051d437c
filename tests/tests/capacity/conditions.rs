//! What temperature, moisture and terminations leave, and where documents part.

use super::finding::{GRAVITY, assess, built_in, capacity, changed, first, of, own};
use approx::assert_relative_eq;
use rigging_core::checks::{Code, Finding, Verdict};
use rigging_core::rules::RuleSet;
use serde_json::{Value, json};

const SKID: &str = "generator-skid";

/// The skid on slings of another kind, at a temperature.
fn skid(keys: &[(&str, Value)], hottest: &str) -> Value {
    let mut changes = vec![("/environment/temperature".to_owned(), json!(["20 degC", hottest]))];
    for sling in 0..4 {
        changes.extend(keys.iter().map(|(key, value)| (format!("/slings/{sling}/{key}"), value.clone())));
    }
    let changes: Vec<_> = changes.iter().map(|(pointer, value)| (pointer.as_str(), value.clone())).collect();
    let mut document = changed(SKID, &changes);
    for sling in 0..4 {
        super::patching::remove(&mut document, &format!("/slings/{sling}/temperature_range"));
    }
    document
}

fn chain(grade: u32, hottest: &str) -> Value {
    skid(
        &[
            ("construction", json!("chain")),
            ("material", json!("alloy steel")),
            ("grade", json!(grade)),
            ("diameter", json!("18 mm")),
            ("termination", json!("link")),
        ],
        hottest,
    )
}

/// The worst verdict on the temperature of slings, and the share of the marking that one leg is rated at.
fn at(document: &Value, rules: &RuleSet) -> (Verdict, Option<f64>) {
    let assessment = assess(document, rules);
    let found = of(&assessment, Code::Temperature);
    let slings = found.iter().filter(|finding| finding.item.as_str().starts_with("roundsling"));
    let verdict = Verdict::combined(slings.map(|finding| finding.verdict));
    let strength: &Finding = first(&assessment, Code::SlingStrength);
    let share = strength.capacity.as_ref().map(|chain| chain.value() / (12_000.0 * GRAVITY));
    (verdict, share.map(|share| (share * 1e9).round() / 1e9))
}

#[test]
fn a_hot_chain_under_three_documents() {
    for (rules, grade, hottest, verdict, share) in [
        ("eu-en-818-6", 8, "200 degC", Verdict::Pass, Some(1.0)),
        ("eu-en-818-6", 8, "350 degC", Verdict::Pass, Some(0.75)),
        ("eu-en-818-6", 8, "401 degC", Verdict::Fail, None),
        // 350 °C is 662 °F: the row of 700 °F is read.
        ("asme-b30-9", 80, "350 degC", Verdict::Pass, Some(0.70)),
        ("asme-b30-9", 100, "350 degC", Verdict::Pass, Some(0.60)),
        ("asme-b30-9", 8, "350 degC", Verdict::Pass, Some(0.70)),
        ("asme-b30-9", 80, "200 degC", Verdict::Pass, Some(1.0)),
        // Above 1,000 °F the chain is removed from service.
        ("asme-b30-9", 80, "560 degC", Verdict::Fail, None),
        ("asme-b30-9", 4, "350 degC", Verdict::CannotConclude, Some(1.0)),
        // The law gives the full rating up to 600 °F, leaves what is above to the maker and removes at 1000 °F.
        ("us-general", 80, "315 degC", Verdict::Pass, Some(1.0)),
        ("us-general", 80, "350 degC", Verdict::CannotConclude, Some(1.0)),
        ("us-general", 80, "540 degC", Verdict::Fail, Some(1.0)),
        ("de-dguv-209-021", 4, "450 degC", Verdict::Pass, Some(0.5)),
        ("de-dguv-209-021", 4, "350 degC", Verdict::CannotConclude, None),
    ] {
        // The lowest temperature of a chain is a figure of its maker where a document gives none.
        let found = at(&chain(grade, hottest), &built_in(rules));
        let cold = rules == "us-general" || (rules == "asme-b30-9" && grade == 4);
        let expected = if cold && verdict == Verdict::Pass { Verdict::CannotConclude } else { verdict };
        assert_eq!(found, (expected, share), "{rules}, grade {grade}, {hottest}");
    }
    // Without a temperature a table of temperatures rates nothing.
    let mut open = chain(8, "20 degC");
    super::patching::remove(&mut open, "/environment/temperature");
    let assessment = assess(&open, &built_in("eu-en-818-6"));
    let finding = first(&assessment, Code::SlingStrength);
    assert_eq!(
        (finding.verdict, finding.missing[0].place.as_str()),
        (Verdict::CannotConclude, "/environment/temperature")
    );
}

#[test]
fn a_wire_rope_is_lowered_by_temperature_after_its_termination_and_core() {
    let rope = |termination: &str, core: &str, hottest: &str| {
        let keys = [
            ("construction", json!("wire_rope")),
            ("material", json!("steel")),
            ("diameter", json!("26 mm")),
            ("termination", json!(termination)),
            ("core", json!(core)),
        ];
        at(&skid(&keys, hottest), &built_in("de-dguv-109-017"))
    };
    assert_eq!(rope("steel_ferrule", "steel", "180 degC"), (Verdict::Pass, Some(0.9)));
    assert_eq!(rope("steel_ferrule", "IWRC", "380 degC"), (Verdict::Pass, Some(0.65)));
    assert_eq!(rope("steel_ferrule", "fiber", "120 degC"), (Verdict::Fail, None));
    assert_eq!(rope("hand_splice", "steel", "120 degC"), (Verdict::CannotConclude, None));
}

#[test]
fn wet_polyamide_is_lowered_where_a_document_says_so() {
    let rope = |material: &str, moisture: Option<&str>| {
        let mut keys = vec![
            ("construction", json!("laid_rope")),
            ("material", json!(material)),
            ("diameter", json!("48 mm")),
            ("termination", json!("hand_splice")),
        ];
        keys.extend(moisture.map(|moisture| ("moisture", json!(moisture))));
        assess(&skid(&keys, "30 degC"), &built_in("de-dguv-109-006"))
    };
    for (material, moisture, left) in [("polyamide", "wet", 0.85), ("polyamide", "dry", 1.0), ("polyester", "wet", 1.0)]
    {
        let assessment = rope(material, Some(moisture));
        let rated = capacity(first(&assessment, Code::SlingStrength));
        assert_relative_eq!(rated, 12_000.0 * GRAVITY * left, max_relative = 1e-12);
    }
    let open = rope("polyamide", None);
    let finding = first(&open, Code::SlingStrength);
    assert_eq!((finding.verdict, finding.missing[0].place.as_str()), (Verdict::CannotConclude, "/slings/0/moisture"));
}

/// No document of the German set says that it is for rope of polyamide, and the one that tells what water takes from it names it.
#[test]
fn a_rule_that_names_gear_itself_lowers_it_in_a_set_whose_scopes_do_not_name_it() {
    let rope = |construction: &str, moisture: Option<&str>| {
        let mut keys = vec![
            ("construction", json!(construction)),
            ("material", json!("polyamide")),
            ("diameter", json!("48 mm")),
            (
                "termination",
                json!(if construction.contains("laid") || construction.contains("braided") {
                    "hand_splice"
                } else {
                    "endless"
                }),
            ),
        ];
        keys.extend(moisture.map(|moisture| ("moisture", json!(moisture))));
        assess(&skid(&keys, "30 degC"), &built_in("de-general"))
    };
    for construction in ["laid_rope", "braided_rope", "endless_rope", "grommet"] {
        for (moisture, left) in [("wet", 0.85), ("dry", 1.0)] {
            let assessment = rope(construction, Some(moisture));
            let rated = capacity(first(&assessment, Code::SlingStrength));
            assert_relative_eq!(rated, 12_000.0 * GRAVITY * left, max_relative = 1e-12);
            let told = of(&assessment, Code::Applicability);
            let named = told.iter().filter(|finding| finding.text.contains("does not name this gear"));
            let with =
                named.filter(|finding| finding.text.contains("with what single rules that name it say (wet factor)"));
            assert_eq!(with.count(), 4, "{construction}, {moisture}: {told:?}");
        }
        let open = rope(construction, None);
        let finding = first(&open, Code::SlingStrength);
        assert_eq!(finding.verdict, Verdict::CannotConclude, "{construction}");
        assert_eq!(finding.missing[0].place.as_str(), "/slings/0/moisture", "{construction}");
    }
    // A rule for one fiber says nothing of another.
    let polyester = [
        ("construction", json!("laid_rope")),
        ("material", json!("polyester")),
        ("diameter", json!("48 mm")),
        ("termination", json!("hand_splice")),
    ];
    let assessment = assess(&skid(&polyester, "30 degC"), &built_in("de-general"));
    assert_relative_eq!(capacity(first(&assessment, Code::SlingStrength)), 12_000.0 * GRAVITY, max_relative = 1e-12);
}

#[test]
fn of_termination_and_bend_the_worse_counts_and_never_their_product() {
    let rules = |efficiency: f64, bending: f64| {
        let text = format!(
            r#"
[[rule]]
answers = "rating basis"
name = "by the breaking load"
relation = "words"
words = ["breaking load divided by factor"]
source = "note"
clause = "4"

[[rule]]
answers = "design factor"
name = "five"
relation = "constant"
value = 5
source = "note"
clause = "4"

[[rule]]
answers = "termination efficiency"
name = "ends"
relation = "constant"
value = {efficiency}
source = "note"
clause = "5"

[[rule]]
answers = "bending factor"
name = "bends"
relation = "constant"
value = {bending}
source = "note"
clause = "6"
"#
        );
        own("design", "", &text)
    };
    // No marking bounds it here.
    let unmarked = json!({ "breaking_load": "84 t", "basis": "whole", "source": "certificate" });
    let strengths: Vec<_> = (0..4)
        .flat_map(|sling| {
            [
                (format!("/slings/{sling}/strength"), unmarked.clone()),
                (format!("/slings/{sling}/tag"), json!({ "legible": true })),
            ]
        })
        .collect();
    let strengths: Vec<_> = strengths.iter().map(|(pointer, value)| (pointer.as_str(), value.clone())).collect();
    let document = changed(SKID, &strengths);
    for (efficiency, bending, left) in [(0.9, 1.25, 0.8), (0.9, 1.0, 0.9), (0.8, 1.25, 0.8), (0.7, 1.25, 0.7)] {
        let assessment = assess(&document, &rules(efficiency, bending));
        let finding = first(&assessment, Code::SlingStrength);
        assert_relative_eq!(capacity(finding), 84_000.0 * GRAVITY * left / 5.0, max_relative = 1e-12);
        assert!(finding.capacity.as_ref().unwrap().is_coherent());
    }
}

/// A factor for bends is in a rating by breaking load; a marked rating never holds it, and then the maker's least diameter is asked for.
#[test]
fn a_bending_factor_that_no_rating_uses_does_not_stand_for_the_makers_least_diameter() {
    let removed: Vec<_> =
        (0..4).map(|index| (format!("/slings/{index}/least_bend_diameter"), json!("unknown"))).collect();
    let removed: Vec<_> = removed.iter().map(|(pointer, value)| (pointer.as_str(), value.clone())).collect();
    let document = changed("generator-skid-round-edge", &removed);
    let rule = |relation: &str| {
        let rule = format!(
            "[[rule]]\nanswers = \"bending factor\"\nname = \"own\"\n{relation}\nsource = \"note\"\nclause = \"2\"\n"
        );
        own("own-bends", "", &rule)
    };
    let plain = built_in("us-general");
    let sets = [
        plain,
        rule("relation = \"withheld\"\nwhy = \"not seen\""),
        rule("relation = \"constant\"\nvalue = 1.4"),
        rule(
            "input = [{ fact = \"bend ratio\", at_least = 50, policy = \"never below\" }]\nrelation = \"constant\"\nvalue = 1.1",
        ),
    ];
    for rules in &sets {
        let assessment = assess(&document, rules);
        let found = of(&assessment, Code::Bend);
        assert!(
            found.iter().all(|finding| finding.verdict == Verdict::CannotConclude) && found.len() == 4,
            "{}",
            rules.name()
        );
    }
}
