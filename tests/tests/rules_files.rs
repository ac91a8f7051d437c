//! Rule files: a firm's own set loads through the same door, and a malformed one is refused with code and place.

use rigging_core::error::Error;
use rigging_core::rules::{Answer, Facts, Question, RuleSet, Status};
use rigging_core::source::Standing;

fn own() -> String {
    let path = format!("{}/reference/rules/quarry-hill.toml", env!("CARGO_MANIFEST_DIR"));
    std::fs::read_to_string(path).unwrap()
}

#[test]
fn a_firms_own_set_answers() {
    let rules = RuleSet::from_toml(&own()).unwrap();
    assert_eq!(
        (rules.name().as_str(), rules.edition().as_str(), rules.status()),
        ("quarry-hill-2025", "2025-03", &Status::InForce)
    );
    let lift = |kilograms: f64| Facts::new().word("place", "onshore").number("gross weight", kilograms, "kg");
    let factor = |kilograms: f64| rules.ask(Question::DynamicFactor, &lift(kilograms));
    assert_eq!(factor(4000.0).value(), Some(1.20));
    assert_eq!(factor(6000.0).value(), Some(1.10));
    let Answer::OutsideRange { reading, policy, source } = factor(20_000.0) else { panic!("{:?}", factor(20_000.0)) };
    assert_eq!((reading.unit.as_str(), reading.allowed.as_str()), ("lb", "at most 44000"));
    assert!((reading.value - 44_092.452_436_975_54).abs() < 1e-6);
    assert_eq!(policy, "heavier lifts need a plan of their own");
    assert_eq!((source.clause.as_str(), source.standing), ("3.2", Standing::StatedInRuleSet));
    let basis = |word: &str| rules.ask(Question::WeightContingency, &Facts::new().word("mass basis", word));
    assert_eq!(basis("not to exceed").value(), Some(1.06));
    assert!(matches!(basis("estimated"), Answer::Withheld { printed: None, .. }));
    let afloat = rules.ask(Question::DynamicFactor, &lift(4000.0).word("place", "offshore"));
    assert!(matches!(afloat, Answer::DoesNotApply { .. }), "an exclusion is heeded before any question: {afloat:?}");
    let edge = rules.ask(Question::SharpEdgeRatio, &Facts::new());
    assert_eq!(edge.term().unwrap().source.standing, Standing::CommonPractice);
}

#[test]
fn a_term_says_where_it_comes_from() {
    let rules = RuleSet::built_in("marine-0027-nd-2016").unwrap();
    let facts = Facts::new()
        .number("working load limit", 85.0, "kN")
        .number("dynamic factor", 1.25, "")
        .number("breaking load", 510.0, "kN")
        .number("proof load", 170.0, "kN");
    let answer = rules.ask(Question::ShackleDynamicLimit, &facts);
    let term = answer.term().unwrap();
    assert_eq!((term.value, term.unit.as_str(), term.symbol.as_str()), (106_250.0, "N", "F"));
    assert_eq!((term.source.clause.as_str(), term.source.standing), ("8.2.6", Standing::Document));
    let not_taken: Vec<(&str, f64)> =
        term.not_taken.iter().map(|branch| (branch.name.as_str(), branch.value)).collect();
    assert_eq!(not_taken, [("breaking load / 3.0", 170e3), ("documented proof load", 170e3)]);
    let inputs: Vec<(&str, &str)> = term.inputs.iter().map(|i| (i.name.as_str(), i.value.as_str())).collect();
    assert!(inputs.contains(&("working load limit", "85 kN")), "{inputs:?}");
    assert!(inputs.contains(&("governing", "working load limit times dynamic factor")), "{inputs:?}");
}

#[test]
fn built_in_sets_load_and_say_what_they_are() {
    for name in RuleSet::built_in_names() {
        let rules = RuleSet::built_in(name).unwrap();
        assert_eq!(rules.name(), *name);
        assert_eq!(rules.hash().len(), 64);
        let mut count = 0;
        for (_, rule, source) in rules.rule_sources() {
            assert!(!source.clause.is_empty() && !source.document.is_empty(), "{name}: {rule}");
            assert_ne!(source.standing, Standing::Memory, "{name}: {rule} rests on memory");
            count += 1;
        }
        println!("{name}: {count} rules, {} sources, hash {}", rules.sources().len(), rules.hash());
    }
    let us = RuleSet::built_in("us-general").unwrap();
    assert_eq!(us.status(), &Status::InForce);
    let marine = RuleSet::built_in("marine-0027-nd-2016").unwrap();
    assert!(matches!(marine.status(), Status::Superseded { by: Some(_) }));
    let error = RuleSet::built_in("us-generel").unwrap_err();
    assert!(matches!(&error, Error::UnknownName { nearest: Some(near), .. } if near == "us-general"), "{error}");
}

#[test]
fn the_hash_is_of_the_content() {
    let text = own();
    let hash = |text: &str| RuleSet::from_toml(text).unwrap().hash().clone();
    let same = text
        .replace("# A small", "# Another")
        .replace("value = 1.5\n", "")
        .replace("standing = \"common", "value = 1.50\nstanding = \"common");
    assert_ne!(same, text);
    assert_eq!(hash(&same), hash(&text), "layout, comments, order of keys and trailing zeros do not count");
    assert_ne!(hash(&text.replace("1.20", "1.21")), hash(&text));
    assert_ne!(hash(&text.replace("clause = \"5\"", "clause = \"6\"")), hash(&text));
}

/// What is changed in the firm's file, into what, and the code and place of the refusal.
const MALFORMED: &[(&str, &str, &str, &str)] = &[
    ("format = 1\n", "", "missing", "/format"),
    ("format = 1\n", "format = 2\n", "newer_format", "/format"),
    ("format = 1\n", "format = 0\n", "malformed", "/format"),
    ("format = 1\n", "format = \"1\"\n", "malformed", "/format"),
    ("edition = \"2025-03\"\nstatus", "editon = \"2025-03\"\nstatus", "unknown_key", "/editon"),
    ("edition = \"2025-03\"\nstatus", "status", "missing", "/edition"),
    ("\"in force\"", "\"in farce\"", "unknown_name", "/status"),
    ("status = \"in force\"", "status = \"in force\"\nsuperseded_by = \"x\"", "inconsistent", "/superseded_by"),
    ("standing = \"stated\"", "standing = \"states\"", "unknown_name", "/source/0/standing"),
    ("standing = \"stated\"\n", "", "missing", "/source/0/standing"),
    ("id = \"instruction\"", "id = 7", "malformed", "/source/0/id"),
    (
        "[[source]]\nid",
        "[[source]]\nid = \"instruction\"\ndocument = \"x\"\nstanding = \"stated\"\n[[source]]\nid",
        "duplicate_name",
        "/source/1/id",
    ),
    ("clause = \"3.1\"\n", "", "missing", "/rule/2/clause"),
    ("source = \"instruction\"\nclause = \"3.2\"", "clause = \"3.2\"", "missing", "/rule/3/source"),
    (
        "source = \"instruction\"\nclause = \"3.2\"",
        "source = \"instructions\"\nclause = \"3.2\"",
        "unknown_name",
        "/rule/3/source",
    ),
    ("relation = \"constant\"", "relation = \"constants\"", "unknown_name", "/rule/4/relation"),
    ("relation = \"constant\"\n", "", "missing", "/rule/4/relation"),
    ("relation = \"constant\"", "relation = \"words\"", "unknown_key", "/rule/4/value"),
    ("answers = \"sharp edge ratio\"", "answers = \"sharp edges\"", "unknown_name", "/rule/4/answers"),
    ("answers = \"sharp edge ratio\"", "answers = \"marking\"", "inconsistent", "/rule/4/relation"),
    ("value = 1.5", "value = nan", "out_of_domain", "/rule/4/value"),
    ("value = 1.5", "value = inf", "out_of_domain", "/rule/4/value"),
    ("value = 1.5", "value = -1.5", "out_of_domain", "/rule/4/value"),
    ("value = 1.5", "value = 9223372036854775807", "out_of_domain", "/rule/4/value"),
    ("value = 1.5", "value = \"1.5\"", "malformed", "/rule/4/value"),
    ("value = 1.5", "valeu = 1.5", "unknown_key", "/rule/4/valeu"),
    ("value = 1.5", "value = 1.5\nunit = \"mm\"", "wrong_unit", "/rule/4/unit"),
    ("place = \"onshore\"", "place = \"ashore\"", "unknown_name", "/rule/0/when/place"),
    ("place = \"onshore\"", "plaice = \"onshore\"", "unknown_name", "/rule/0/when/plaice"),
    ("place = \"onshore\"", "\"gross weight\" = \"onshore\"", "malformed", "/rule/0/when/gross weight"),
    ("\"subsea\"]", "\"subsee\"]", "unknown_name", "/rule/1/when/place/2"),
    ("why = \"the instruction is for the yard\"\n", "", "missing", "/rule/1/why"),
    ("name = \"not on the water\"", "name = \"the yard\"", "duplicate_name", "/rule/1/name"),
    (
        "when = { place = [\"inshore\", \"offshore\", \"subsea\"] }",
        "when = { place = \"onshore\" }",
        "inconsistent",
        "/rule/1",
    ),
    ("[\"weighed\", 1.02]", "[\"weighed\", 0.98]", "out_of_domain", "/rule/2/cells/0/1"),
    ("[\"weighed\", 1.02]", "[\"wayed\", 1.02]", "unknown_name", "/rule/2/cells/0/0"),
    ("[\"weighed\", 1.02]", "[\"weighed\", 1.02, 1.03]", "malformed", "/rule/2/cells/0"),
    ("[\"weighed\", 1.02]", "[\"estimated\", 1.02]", "duplicate_name", "/rule/2/cells/2/0"),
    ("[\"weighed\", 1.02]", "[\"weighed\", \"not sean\"]", "unknown_name", "/rule/2/cells/0/1"),
    ("[44000, 1.10]", "[44000, 1.30]", "out_of_domain", "/rule/3/cells/1/1"),
    ("[44000, 1.10]", "[10000, 1.10]", "out_of_domain", "/rule/3/cells/1/0"),
    ("[[11000, 1.20]", "[[\"above\", 1.20]", "inconsistent", "/rule/3/cells/0/0"),
    ("unit = \"lb\"", "unit = \"lbf\"", "wrong_unit", "/rule/3/input/0/unit"),
    ("unit = \"lb\"", "unit = \"ton\"", "wrong_unit", "/rule/3/input/0/unit"),
    ("unit = \"lb\", ", "", "missing", "/rule/3/input/0/unit"),
    ("at_most = 44000", "at_most = 44000, less_than = 44000", "inconsistent", "/rule/3/input/0/less_than"),
    ("at_most = 44000", "at_most = 1, at_least = 2", "inconsistent", "/rule/3/input/0"),
    ("at_most = 44000", "at_most = 44000, above = \"hold\"", "missing", "/rule/3/input/0/hold_clause"),
    (
        "at_most = 44000",
        "at_most = 44000, below = \"hold\", hold_clause = \"x\"",
        "inconsistent",
        "/rule/3/input/0/below",
    ),
    ("at_most = 44000", "at_most = 44000, above = \"clamp\"", "unknown_name", "/rule/3/input/0/above"),
    ("fact = \"gross weight\"", "fact = \"gross wait\"", "unknown_name", "/rule/3/input/0/fact"),
    ("fact = \"gross weight\"", "fact = \"place\"", "malformed", "/rule/3/input/0/fact"),
    ("rows = \"gross weight\"", "rows = \"rope diameter\"", "unknown_name", "/rule/3/rows"),
    ("row_lookup = \"at most\"", "row_lookup = \"nearest\"", "unknown_name", "/rule/3/row_lookup"),
    ("row_lookup = \"at most\"\n", "", "missing", "/rule/3/row_lookup"),
    (
        "[[rule]]\nanswers = \"applies to place\"\nname = \"the yard\"",
        "[[rule]\nanswers = \"applies to place\"\nname = \"the yard\"",
        "malformed",
        "",
    ),
    ("title =", "name = \"twice\"\ntitle =", "malformed", ""),
];

#[test]
fn malformed_files_are_refused_with_code_and_place() {
    let text = own();
    let mut failures = Vec::new();
    for (from, to, code, place) in MALFORMED {
        assert!(text.contains(from), "the file has no {from:?}");
        match RuleSet::from_toml(&text.replacen(from, to, 1)) {
            Ok(_) => failures.push(format!("{to:?} is accepted")),
            Err(error) if error.code() == *code && error.place().as_str() == *place => {}
            Err(error) => failures.push(format!("{to:?}: {} at {:?}: {error}", error.code(), error.place().as_str())),
        }
    }
    println!("{} malformed files", MALFORMED.len());
    assert!(failures.is_empty(), "{}", failures.join("\n"));
    assert_eq!(MALFORMED.len(), 57);
}

#[test]
fn relations_refuse_what_they_cannot_use() {
    let with = |rule: &str| {
        let rule = format!("{}\n[[rule]]\nname = \"new\"\nsource = \"instruction\"\nclause = \"9\"\n{rule}", own());
        RuleSet::from_toml(&rule).map(|_| ()).map_err(|error| (error.code(), error.place().as_str().to_owned()))
    };
    let refused = |rule: &str, code: &'static str, place: &str| {
        assert_eq!(with(rule), Err((code, format!("/rule/5{place}"))), "{rule}");
    };
    let input = "input = [{ fact = \"bend ratio\" }]\nanswers = \"bending factor\"\n";
    assert_eq!(with(&format!("{input}relation = \"bend\"\nof = \"bend ratio\"\nk = 0.5")), Ok(()));
    refused(&format!("{input}relation = \"bend\"\nk = 0.5"), "missing", "/of");
    refused(&format!("{input}relation = \"bend\"\nof = \"bend ratios\"\nk = 0.5"), "unknown_name", "/of");
    refused(&format!("{input}relation = \"root\"\nof = \"bend ratio\"\na = 1\nb = 1"), "missing", "/c");
    refused(
        &format!("{input}relation = \"greatest line\"\nof = \"bend ratio\"\nlines = [[1]]"),
        "malformed",
        "/lines/0",
    );
    refused(&format!("{input}relation = \"greatest line\"\nof = \"bend ratio\"\nlines = []"), "malformed", "/lines");
    refused(&format!("{input}relation = \"product\"\ntimes = [0]"), "out_of_domain", "/times/0");
    refused(&format!("{input}relation = \"product\"\ntimes = [\"wear factor\"]"), "unknown_name", "/times/0");
    refused(&format!("{input}relation = \"least of\"\nalternatives = []"), "malformed", "/alternatives");
    refused(
        &format!("{input}relation = \"least of\"\nalternatives = [{{ times = [2] }}]"),
        "missing",
        "/alternatives/0/name",
    );
    let twice = "input = [{ fact = \"bend ratio\" }, { fact = \"bend ratio\" }]\nanswers = \"bending factor\"\n";
    refused(&format!("{twice}relation = \"product\"\ntimes = [2]"), "duplicate_name", "/input/1/fact");
    let sine = "input = [{ fact = \"bend ratio\", as = \"sine\" }]\nanswers = \"bending factor\"\n";
    refused(&format!("{sine}relation = \"product\"\ntimes = [2]"), "malformed", "/input/0/as");
    let again =
        "answers = \"weight contingency\"\nrelation = \"table\"\nrows = \"mass basis\"\ncells = [[\"weighed\", 1.5]]";
    refused(again, "inconsistent", "");
    let no_unit = "answers = \"rated value\"\nrelation = \"constant\"\nvalue = 5";
    refused(no_unit, "missing", "/unit");
    refused(
        &format!(
            "{input}requires = [{{ name = \"x\", times = [2], otherwise = \"refuse\", why = \"y\" }}]\nrelation = \"constant\"\nvalue = 2"
        ),
        "missing",
        "/requires/0",
    );
    refused(
        &format!(
            "{input}requires = [{{ name = \"x\", times = [2], at_most = 1, otherwise = \"skip\", why = \"y\" }}]\nrelation = \"constant\"\nvalue = 2"
        ),
        "unknown_name",
        "/requires/0/otherwise",
    );
}

#[test]
fn capacity_rises_with_size_and_falls_as_a_leg_flattens() {
    let path = format!("{}/../rigging-core/rules/us-general.toml", env!("CARGO_MANIFEST_DIR"));
    let text = std::fs::read_to_string(path).unwrap();
    let refused = |from: &str, to: &str| {
        assert!(text.contains(from));
        let error = RuleSet::from_toml(&text.replacen(from, to, 1)).unwrap_err();
        assert_eq!(error.code(), "out_of_domain", "{error}");
        error.place().as_str().rsplit("/cells").next().unwrap().to_owned()
    };
    assert_eq!(refused("[0.28125, 3500,", "[0.28125, 2100,"), "/1/1");
    assert_eq!(refused("[0.28125, 3500, 6100, 4900,", "[0.28125, 3500, 4800, 4900,"), "/1/3");
    assert_eq!(refused("[0.28125, 3500,", "[0.20, 3500,"), "/1/0");
}

#[test]
fn facts_that_cannot_be_read_are_refused() {
    let rules = RuleSet::built_in("marine-0027-nd-2016").unwrap();
    let refused = |facts: Facts, code: &str, place: &str| match rules.ask(Question::DynamicFactor, &facts) {
        Answer::Refused(error) => assert_eq!((error.code(), error.place().as_str()), (code, place), "{error}"),
        other => panic!("{other:?}"),
    };
    let weight = |value: f64, unit: &str| Facts::new().number("gross weight", value, unit);
    refused(Facts::new().word("plaice", "offshore"), "unknown_name", "/facts/plaice");
    refused(Facts::new().word("place", "off shore"), "unknown_name", "/facts/place");
    refused(weight(1.0, "ton"), "wrong_unit", "/facts/gross weight");
    refused(weight(1.0, "kN"), "wrong_unit", "/facts/gross weight");
    refused(weight(1.0, ""), "wrong_unit", "/facts/gross weight");
    refused(weight(f64::NAN, "t"), "out_of_domain", "/facts/gross weight");
    refused(weight(0.0, "t"), "out_of_domain", "/facts/gross weight");
    refused(weight(-3.0, "t"), "out_of_domain", "/facts/gross weight");
    refused(Facts::new().word("gross weight", "heavy"), "malformed", "/facts/gross weight");
    refused(Facts::new().number("place", 1.0, ""), "malformed", "/facts/place");
    refused(Facts::new().number("wear factor", 0.9, ""), "out_of_domain", "/facts/wear factor");
    assert_eq!(
        rules.ask(Question::DynamicFactor, &weight(50.0, "t").unknown("place")),
        rules.ask(Question::DynamicFactor, &weight(50.0, "t")),
        "a fact that is absent counts as unknown"
    );
}
