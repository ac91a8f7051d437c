//! Complaints about rule files, and what parts two sets.

use rigging_core::rules::{
    AnsweredBy, Complaint, ComplaintCode, Difference, Paired, RuleSet, difference, lint, lint_with,
};
use std::collections::BTreeMap;

/// Code, whether the file is refused, and a text of the line.
type Due = (ComplaintCode, bool, &'static str);

/// What is changed in the template, into what, and the code, the refusal and the line's text of the complaints that follow.
const CHANGES: &[(&str, &str, &[Due])] = {
    use ComplaintCode as C;
    &[
        ("format = 1", "format = 2", &[(C::NewerFormat, true, "format = 2")]),
        (
            "edition = \"2026-01\"\nstatus",
            "editon = \"2026-01\"\nstatus",
            &[(C::Missing, true, ""), (C::UnknownKey, true, "editon")],
        ),
        ("[[source]]\nid", "[[source]\nid", &[(C::Malformed, true, "[[source]")]),
        ("clause = \"3.1\"\n", "", &[(C::Missing, true, "[[rule]]")]),
        ("value = 50", "value = -500", &[(C::OutOfDomain, true, "value = -500")]),
        ("value = 50\nunit = \"degC\"", "value = 50\nunit = \"t\"", &[(C::WrongUnit, true, "unit = \"t\"")]),
        (
            "name = \"the yard\"",
            "name = \"not on the water\"",
            &[(C::DuplicateName, true, "name = \"not on the water\"")],
        ),
        ("more_than = 3", "more_than = 2", &[(C::Inconsistent, true, "more_than = 2")]),
        ("status = \"in force\"", "status = \"superseded\"", &[(C::NoSuccessor, false, "status")]),
        ("standing = \"stated\"", "standing = \"memory\"", &[(C::StandingMemory, false, "[[source]]")]),
        ("standing = \"stated\"", "standing = \"secondary\"", &[(C::SecondaryWithoutNote, false, "[[source]]")]),
        (
            "edition = \"2026-01\"\nstanding = \"stated\"",
            "standing = \"document\"",
            &[(C::NoEdition, false, "[[source]]")],
        ),
        (
            ", policy = \"heavier lifts need a plan of their own\"",
            "",
            &[(C::NoPolicy, false, "fact = \"gross weight\"")],
        ),
        ("more_than = 3, at_most", "more_than = 4, at_most", &[(C::GapInBands, false, "more_than = 4")]),
        (
            "when = { place = \"onshore\" }\ninput",
            "when = { place = \"offshore\" }\ninput",
            &[(C::ExcludedByScope, false, "[[rule]]")],
        ),
        (
            ", material = \"HMPE\" }\nrelation = \"constant\"",
            " }\nrelation = \"constant\"",
            &[(C::AnyFiber, false, "[[rule]]")],
        ),
        (
            "\"subsea\"]",
            "\"onshore\", \"subsea\"]",
            &[
                (C::ExcludedByScope, false, "[[rule]]"),
                (C::EmptyCondition, false, "place ="),
                (C::ExcludedByScope, false, "[[rule]]"),
            ],
        ),
        ("clause = \"1.3\"", "clause = \"1\u{a0}.3\"", &[(C::Lookalike, false, "clause = \"1")]),
        (
            "[[include]]\ndocument = \"eu-en-1492-1\"\nanswers = [\"highest temperature\", \"lowest temperature\"]",
            "[[include]]\ndocument = \"us-doe-1090-96\"\nanswers = \"design factor\"",
            &[(C::SupersededDocument, false, "[[include]]")],
        ),
        (
            "why = \"the instruction refers to the data sheet of each sling: state its least bend diameter in the lift document\"",
            "why = \"not seen\"",
            &[(C::WithheldWithoutWay, false, "why")],
        ),
        (
            "[{ more_than = 3, at_most = 12 }, 1.1],\n]\nsource = \"instruction\"\nclause = \"3.2, table 1\"",
            "[{ more_than = 3, at_most = 12 }, 1.1],\n]\nsource = \"instruction\"\nclause = \"3.2, table 1\"\n\n[[rule]]\nanswers = \"skew factor\"\nname = \"none\"\nrelation = \"constant\"\nvalue = 1\nsource = \"instruction\"\nclause = \"3.4\"",
            &[(C::NeutralValue, false, "value = 1")],
        ),
        ("answers = \"applies to gear\"", "answers = \"applies to load\"", &[]),
    ]
};

#[test]
fn each_fault_of_the_template_is_told_with_its_line() {
    let template = RuleSet::template();
    assert_eq!(lint(template), []);
    let mut told: BTreeMap<&str, usize> = BTreeMap::new();
    for (from, to, expected) in CHANGES {
        assert!(template.contains(from), "the template has no {from:?}");
        let text = template.replacen(from, to, 1);
        let complaints = lint(&text);
        let found: Vec<(ComplaintCode, bool)> =
            complaints.iter().map(|complaint| (complaint.code, complaint.refused)).collect();
        let due: Vec<(ComplaintCode, bool)> = expected.iter().map(|(code, refused, _)| (*code, *refused)).collect();
        assert_eq!(found, due, "{to:?}: {complaints:#?}");
        for (complaint, (_, _, on_line)) in complaints.iter().zip(*expected) {
            let line = text.lines().nth(complaint.line - 1).unwrap();
            assert!(line.contains(on_line), "{to:?}: line {} is {line:?}", complaint.line);
            assert!(!complaint.what.is_empty() && !complaint.why.is_empty() && !complaint.write.is_empty());
            *told.entry(complaint.code.word()).or_default() += 1;
        }
        assert_eq!(complaints.iter().any(|complaint| complaint.refused), RuleSet::from_toml(&text).is_err(), "{to:?}");
    }
    println!("{} changes, {told:?}", CHANGES.len());
    assert_eq!(CHANGES.len(), 22);
}

#[test]
fn every_fault_is_told_at_once() {
    let text = RuleSet::template()
        .replace("operation = [\"lifting\"", "operation = [\"lifted\"")
        .replace("value = 50", "value = \"fifty\"")
        .replace("document = \"eu-en-1492-1\"", "document = \"eu-en-1492\"")
        .replacen("standing = \"stated\"", "standing = \"stately\"", 1);
    let complaints = lint(&text);
    let codes: Vec<&str> = complaints.iter().map(|complaint| complaint.code.word()).collect();
    assert_eq!(codes, ["unknown_name", "unknown_name", "malformed", "unknown_name"], "{complaints:#?}");
    assert!(complaints.windows(2).all(|pair| pair[0].line < pair[1].line), "in the order of the lines");
    assert!(complaints[0].write.contains("stated") && complaints[3].write.contains("eu-en-1492-1"));
    let twice = lint("name = \nformat = = 1\n");
    assert!(twice.len() >= 2 && twice.iter().all(|complaint| complaint.code == ComplaintCode::Malformed), "{twice:?}");
}

#[test]
fn what_the_lint_refuses_the_loader_refuses_for_every_file_of_the_library() {
    let mut told: BTreeMap<&str, usize> = BTreeMap::new();
    let mut files = 0;
    for name in RuleSet::built_in_names().iter().chain(RuleSet::document_names()) {
        let folder = if RuleSet::document_names().contains(name) { "documents/" } else { "" };
        let path = format!("{}/../rigging-core/rules/{folder}{name}.toml", env!("CARGO_MANIFEST_DIR"));
        let complaints = lint(&std::fs::read_to_string(path).unwrap());
        files += 1;
        for complaint in complaints {
            assert!(!complaint.refused, "{name}: {complaint}");
            // A single document need not say what it is for; a set must, and rests on nothing from memory.
            let a_set = RuleSet::built_in_names().contains(name);
            let allowed =
                !a_set || !matches!(complaint.code, ComplaintCode::StandingMemory | ComplaintCode::NoSuccessor);
            assert!(allowed, "{name}: {complaint}");
            *told.entry(complaint.code.word()).or_default() += 1;
        }
    }
    println!("{files} files: {told:?}");
    assert_eq!(files, RuleSet::built_in_names().len() + RuleSet::document_names().len());
}

#[test]
fn documents_beside_are_looked_at_as_well() {
    let set = "format = 1\nname = \"s\"\ntitle = \"s\"\nedition = \"1\"\nstatus = \"in force\"\n[[include]]\ndocument = \"beside\"\n";
    let beside = RuleSet::template()
        .replace("hollow-ford-2026", "beside")
        .split("# ---------------------------------------------------------------- documents")
        .next()
        .unwrap()
        .to_owned();
    assert_eq!(lint_with(set, &[&beside]), []);
    let complaints = lint_with(set, &[&beside.replace("value = 50", "value = -500")]);
    let [Complaint { code: ComplaintCode::OutOfDomain, place, line: 6, .. }] = complaints.as_slice() else {
        panic!("{complaints:?}")
    };
    assert_eq!(place.as_str(), "/include/0/rule/7/value");
    assert_eq!(lint(set)[0].code, ComplaintCode::UnknownName);
}

fn parted(from: &str, to: &str) -> Difference {
    let template = RuleSet::template();
    assert!(template.contains(from));
    let other = RuleSet::from_toml(&template.replacen(from, to, 1)).unwrap();
    difference(&RuleSet::from_toml(template).unwrap(), &other)
}

#[test]
fn one_changed_figure_is_one_difference_with_both_sources() {
    let one = |from: &str, to: &str, what: &str, was: Option<&str>, is: Option<&str>| {
        let parted = parted(from, to);
        let [question] = parted.questions.as_slice() else { panic!("{parted}") };
        let [rule] = question.rules.as_slice() else { panic!("{parted}") };
        assert_eq!((question.answered_by, rule.paired), (AnsweredBy::Both, Paired::ByName));
        let [detail] = rule.details.as_slice() else { panic!("{parted}") };
        assert_eq!((detail.what.as_str(), detail.one.as_deref(), detail.other.as_deref()), (what, was, is));
        assert_eq!(rule.one.as_ref().unwrap().source, rule.other.as_ref().unwrap().source);
        let text = parted.to_string();
        assert!(text.contains(what) && text.contains(question.question.as_str()), "{text}");
    };
    one("value = 50", "value = 45", "value", Some("50 degC"), Some("45 degC"));
    one("at_most = 3 }, 1.2", "at_most = 3 }, 1.3", "cell at most 3 t", Some("1.2"), Some("1.3"));
    one("at_most = 12, policy", "at_most = 11, policy", "input gross weight, at most", Some("12 t"), Some("11 t"));
    one(
        "heavier lifts need",
        "heavier lifts want",
        "input gross weight, policy",
        Some("heavier lifts need a plan of their own"),
        Some("heavier lifts want a plan of their own"),
    );
    one(
        "\"fiber rope grommet\", \"roundsling\"], material",
        "\"fiber rope grommet\"], material",
        "when construction",
        Some("fiber rope, fiber rope grommet, roundsling"),
        Some("fiber rope, fiber rope grommet"),
    );
    let source = parted("clause = \"3.1\"", "clause = \"3.7\"");
    let rule = &source.questions[0].rules[0];
    assert!(rule.details.is_empty(), "only the place in the document differs");
    assert_eq!(rule.other.as_ref().unwrap().source.clause, "3.7");
    // The same figure in another unit is no difference but of the unit's own: 50 °C are 122 °F.
    assert_eq!(parted("value = 50\nunit = \"degC\"", "value = 122\nunit = \"degF\"").questions, []);
}

#[test]
fn rules_that_only_one_set_has_are_told() {
    let without = parted(
        "[[include]]\ndocument = \"eu-en-1492-1\"\nanswers = [\"highest temperature\", \"lowest temperature\"]",
        "",
    );
    let by: Vec<(&str, AnsweredBy, usize)> = without
        .questions
        .iter()
        .map(|question| (question.question.as_str(), question.answered_by, question.rules.len()))
        .collect();
    assert_eq!(
        by,
        [
            ("applies to gear", AnsweredBy::Both, 2),
            ("highest temperature", AnsweredBy::Both, 1),
            ("lowest temperature", AnsweredBy::One, 1)
        ]
    );
    assert!(
        without
            .questions
            .iter()
            .flat_map(|question| &question.rules)
            .all(|rule| rule.paired == Paired::Alone && rule.other.is_none())
    );
}

/// Two editions of one standard, and a state plan beside the law it repeats.
#[test]
fn documents_that_follow_each_other_are_compared_by_words_and_by_name() {
    let of = |name: &str| RuleSet::built_in(name).unwrap();
    let editions = difference(&of("bth-1-2005"), &of("bth-1-2008"));
    let shear = editions.questions.iter().find(|question| question.question == "pin plate shear").unwrap();
    assert!(shear.rules.iter().any(|rule| !rule.details.is_empty()), "{editions}");
    let hot = difference(&of("us-general"), &of("us-california"));
    let hot = hot.questions.iter().find(|question| question.question == "highest temperature").unwrap();
    let pairs: Vec<(Paired, usize)> = hot.rules.iter().map(|rule| (rule.paired, rule.details.len())).collect();
    assert!(pairs.iter().any(|(paired, _)| *paired == Paired::ByWords), "{pairs:?}");
    let mut compared = 0;
    let names: Vec<&str> = RuleSet::built_in_names().iter().chain(RuleSet::document_names()).copied().collect();
    for (index, one) in names.iter().enumerate() {
        assert_eq!(difference(&of(one), &of(one)).questions, [], "{one} differs from itself");
        for other in &names[index + 1..] {
            let (there, back) = (difference(&of(one), &of(other)), difference(&of(other), &of(one)));
            compared += 1;
            let questions = |difference: &Difference| {
                difference.questions.iter().map(|question| question.question.clone()).collect::<Vec<_>>()
            };
            assert_eq!(questions(&there), questions(&back), "{one}, {other}");
            let count = |difference: &Difference| {
                difference
                    .questions
                    .iter()
                    .flat_map(|question| &question.rules)
                    .map(|rule| rule.details.len())
                    .sum::<usize>()
            };
            assert_eq!(count(&there), count(&back), "{one}, {other}");
            let json = serde_json::to_string(&there).unwrap();
            assert_eq!(serde_json::from_str::<Difference>(&json).unwrap(), there);
        }
    }
    println!("{compared} pairs");
    assert_eq!(compared, names.len() * (names.len() - 1) / 2);
}
