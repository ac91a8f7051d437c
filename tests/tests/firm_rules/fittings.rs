//! How a fitting is rated where the rule set names a way: by table, by breaking load, by marking, or not at all.

use super::{assess, of, on_shackles, rule, set, two_legs};
use rigging_core::checks::{Code, Finding, Verdict};
use serde_json::{Value, json};

const TONNE: f64 = 9_806.65;

fn shackles(keys: &str) -> String {
    rule("rating basis", &format!("when = {{ construction = \"shackle\" }}\n{keys}"))
}

fn by(word: &str) -> String {
    shackles(&format!("relation = \"words\"\nwords = [\"{word}\"]"))
}

/// The slings of the lift are rated by their marking throughout.
const SLINGS: &str = r#"
[[rule]]
answers = "rating basis"
name = "rating basis of slings"
when = { construction = "roundsling" }
relation = "words"
words = ["marked rating"]
source = "own"
clause = "2"
"#;

/// A load of 8 t on two plumb legs with shackles marked 6.5 t.
fn lift() -> Value {
    on_shackles(two_legs("8 t", 0.0))
}

/// The findings on the strength of both shackles.
fn told(lift: &Value, rules: &[String]) -> Vec<Finding> {
    let rules = set(&[&[SLINGS.to_owned()], rules].concat());
    let found: Vec<Finding> = of(&assess(lift, &rules), Code::FittingStrength).into_iter().cloned().collect();
    assert_eq!(found.len(), 2);
    found
}

fn capacity(finding: &Finding) -> f64 {
    finding.capacity.as_ref().unwrap_or_else(|| panic!("{}", finding.text)).value() / TONNE
}

#[test]
fn a_table_of_the_rule_set_rates_a_fitting() {
    let table = |tonnes: f64| {
        let keys = "when = { construction = \"shackle\", \"taken from\" = \"table\" }\nunit = \"tf\"\nrelation = \"constant\"\n";
        [by("table"), rule("rated value", &format!("{keys}value = {tonnes}"))]
    };
    for (tonnes, allowed, verdict) in [(3.0, 3.0, Verdict::Fail), (5.0, 5.0, Verdict::Pass), (20.0, 6.5, Verdict::Pass)]
    {
        for finding in told(&lift(), &table(tonnes)) {
            let stands = capacity(&finding);
            assert!((stands - allowed).abs() < 1e-9, "{tonnes}: {stands}; a lower marking goes before the table");
            assert_eq!(finding.verdict, verdict);
        }
    }
    // The table alone is enough: nothing need be marked.
    let mut unmarked = lift();
    for index in 0..2 {
        unmarked["fittings"][index]["rating"] = json!({});
    }
    assert!(told(&unmarked, &table(5.0)).iter().all(|finding| (capacity(finding) - 5.0).abs() < 1e-9));
}

#[test]
fn a_breaking_load_over_a_factor_rates_a_fitting() {
    let rules = [
        by("breaking load divided by factor"),
        rule("design factor", "when = { construction = \"shackle\" }\nrelation = \"constant\"\nvalue = 6"),
    ];
    let mut stated = lift();
    // One bears less than half the load and the other more; their papers differ.
    for (index, (load, paper)) in [("18 t", "certificate 11"), ("30 t", "certificate 12")].into_iter().enumerate() {
        stated["fittings"][index]["rating"]["breaking_load"] = json!(load);
        stated["fittings"][index]["rating"]["source"] = json!(paper);
    }
    let found = told(&stated, &rules);
    assert!((capacity(&found[0]) - 18.0 / 6.0).abs() < 1e-9 && (capacity(&found[1]) - 30.0 / 6.0).abs() < 1e-9);
    assert_eq!([found[0].verdict, found[1].verdict], [Verdict::Fail, Verdict::Pass]);
    let papers: Vec<&str> =
        found.iter().map(|finding| finding.capacity.as_ref().unwrap().base.source.document.as_str()).collect();
    assert_eq!(papers, ["certificate 11", "certificate 12"]);
    // A lower marking goes before it, as before a table.
    for index in 0..2 {
        stated["fittings"][index]["rating"]["breaking_load"] = json!("60 t");
    }
    assert!(told(&stated, &rules).iter().all(|finding| (capacity(finding) - 6.5).abs() < 1e-9));
    // What is not stated is asked for, of each fitting in its place.
    for (index, finding) in told(&lift(), &rules).iter().enumerate() {
        assert_eq!((finding.verdict, finding.capacity.is_none()), (Verdict::CannotConclude, true));
        assert_eq!(finding.missing[0].place.as_str(), format!("/fittings/{index}/rating/breaking_load"));
    }
    // A way of rating without its factor is none.
    for finding in told(&stated, &rules[..1]) {
        assert_eq!(finding.verdict, Verdict::CannotConclude);
        assert!(finding.text.contains("gives no design factor"), "{}", finding.text);
    }
}

#[test]
fn what_is_not_said_of_a_fitting_is_not_taken_from_its_marking() {
    let withheld = "relation = \"withheld\"\nwhy = \"the guide for shackles was not read\"";
    let asks = "when = { construction = \"shackle\", service = \"fabrication yard\" }\n";
    let outside = "input = [{ fact = \"working load limit\", unit = \"t\", at_least = 10, policy = \"small shackles are not rated\" }]\n"
        .replace("\"t\"", "\"tf\"");
    let words = "relation = \"words\"\nwords = [\"marked rating\"]";
    let value =
        |keys: &str| rule("rated value", &format!("when = {{ construction = \"shackle\" }}\nunit = \"tf\"\n{keys}"));
    let cases: [(&str, Vec<String>); 6] = [
        ("basis withheld", vec![shackles(withheld)]),
        ("basis needs a word", vec![rule("rating basis", &format!("{asks}{words}"))]),
        ("basis out of range", vec![shackles(&format!("{outside}{words}"))]),
        ("no table", vec![by("table")]),
        ("table withheld", vec![by("table"), value(withheld)]),
        ("table out of range", vec![by("table"), value(&format!("{outside}relation = \"constant\"\nvalue = 8"))]),
    ];
    for (case, rules) in &cases {
        for (index, finding) in told(&lift(), rules).iter().enumerate() {
            assert_eq!(finding.verdict, Verdict::CannotConclude, "{case}: {}", finding.text);
            assert!(finding.capacity.is_none(), "{case}");
            assert!(finding.place.as_str().starts_with(&format!("/fittings/{index}")), "{case}: {}", finding.place);
            // A fitting has no such key, and marking it would not help.
            assert!(finding.missing.is_empty(), "{case}: {:?}", finding.missing);
        }
    }
}

#[test]
fn the_marking_serves_where_the_rule_set_says_so_or_nothing() {
    let preferred = shackles("relation = \"words\"\nwords = [\"marked rating\", \"table\"]");
    let withheld =
        rule("rated value", "when = { construction = \"shackle\" }\nrelation = \"withheld\"\nwhy = \"not read\"");
    let silent = Vec::new();
    for rules in [silent, vec![by("marked rating")], vec![preferred, withheld]] {
        for finding in told(&lift(), &rules) {
            assert_eq!(finding.verdict, Verdict::Pass);
            assert!((capacity(&finding) - 6.5).abs() < 1e-9);
        }
    }
    // Where the first way gives nothing, the next one does.
    let then = shackles("relation = \"words\"\nwords = [\"table\", \"marked rating\"]");
    assert!(told(&lift(), &[then]).iter().all(|finding| (capacity(finding) - 6.5).abs() < 1e-9));
}

/// A limit of the rule set as a multiple of the marking.
fn limit(question: &str, times: f64) -> String {
    rule(
        question,
        &format!(
            "when = {{ construction = \"shackle\" }}\nunit = \"kN\"\ninput = [{{ fact = \"working load limit\", unit = \"kN\" }}]\n\
             relation = \"product\"\ntimes = [{times}, \"working load limit\"]"
        ),
    )
}

#[test]
fn at_rest_no_limit_of_a_rule_set_lifts_a_shackle_above_its_marking() {
    let (at_rest, moving) = ("shackle static limit", "shackle dynamic limit");
    let factor = rule("dynamic factor", "relation = \"constant\"\nvalue = 1.5");
    let constant = rule(at_rest, "unit = \"kN\"\nrelation = \"constant\"\nvalue = 200");
    // Half of 8 t hangs in each shackle; 3.9 t are marked, or 5 t, with 6 t of the moving load.
    let held = |marked: &str, rules: &[String]| {
        let mut lift = lift();
        for index in 0..2 {
            lift["fittings"][index]["rating"]["wll"] = json!(marked);
        }
        let rules = set(&[&[SLINGS.to_owned()], rules].concat());
        let mut found: Vec<(f64, f64, Verdict)> = of(&assess(&lift, &rules), Code::FittingStrength)
            .into_iter()
            .filter(|finding| finding.item == "H1")
            .map(|finding| (finding.demand.as_ref().unwrap().value() / TONNE, capacity(finding), finding.verdict))
            .collect();
        found.sort_by(|one, other| one.0.total_cmp(&other.0));
        found
    };
    let near = |one: f64, two: f64| (one - two).abs() < 1e-4;
    for rules in
        [vec![limit(at_rest, 2.0)], vec![constant.clone()], vec![limit(moving, 2.0)], vec![limit(at_rest, 1.0)]]
    {
        let found = held("3.9 t", &rules);
        assert!(
            found.iter().any(|(asked, allowed, verdict)| {
                near(*asked, 4.0) && near(*allowed, 3.9) && *verdict == Verdict::Fail
            }),
            "{found:?}"
        );
    }
    // Moving, the marking is what it may bear, or what the rule set says of the moving load.
    let found = held("5 t", &[limit(at_rest, 2.0), factor.clone()]);
    assert!(near(found[0].0, 4.0) && near(found[0].1, 5.0) && found[0].2 == Verdict::Pass, "{found:?}");
    assert!(near(found[1].0, 6.0) && near(found[1].1, 5.0) && found[1].2 == Verdict::Fail, "{found:?}");
    for rules in
        [vec![limit(moving, 1.5), factor.clone()], vec![limit(moving, 1.5), limit(at_rest, 1.0), factor.clone()]]
    {
        let found = held("5 t", &rules);
        assert!(near(found[0].0, 4.0) && near(found[0].1, 5.0) && found[0].2 == Verdict::Pass, "{found:?}");
        assert!(near(found[1].0, 6.0) && near(found[1].1, 7.5) && found[1].2 == Verdict::Pass, "{found:?}");
    }
    // A lower limit of the rule set stands.
    assert!(near(held("5 t", &[limit(at_rest, 0.7)])[0].1, 3.5));
    // Nothing marked: the limit at rest alone does not say what moves.
    let mut unmarked = lift();
    for index in 0..2 {
        unmarked["fittings"][index]["rating"] = json!({});
    }
    let still = told(&unmarked, std::slice::from_ref(&constant));
    assert!(still.iter().all(|finding| finding.verdict == Verdict::Pass));
    for (index, finding) in told(&unmarked, &[constant, factor]).iter().enumerate() {
        assert_eq!(finding.verdict, Verdict::CannotConclude, "{}", finding.text);
        assert_eq!(finding.missing[0].place.as_str(), format!("/fittings/{index}/rating/wll"));
    }
}
