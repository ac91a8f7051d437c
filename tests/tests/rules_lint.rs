//! Complaints about rule files, and what parts two sets.

use rigging_core::rules::{
    AnsweredBy, Complaint, ComplaintCode, DetailDifference, Difference, Facts, Paired, Question, RuleSet, difference,
    lint, lint_with,
};
use rigging_core::text::Text;
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
        (
            "[[rule]]\nanswers = \"applies to gear\"",
            "[[rule]]\nanswers = \"applies to gear\"\nname = \"no shackles\"\nwhen = { construction = \"eyebolt\" }\nrelation = \"does not apply\"\nwhy = \"they are not used\"\nsource = \"instruction\"\nclause = \"2.1\"\n\n[[rule]]\nanswers = \"applies to gear\"",
            &[(C::MarkingStands, false, "[[rule]]")],
        ),
        ("answers = \"dynamic factor\"", "answers = \"wear factor\"", &[(C::NeverAsked, false, "[[rule]]")]),
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
    assert_eq!(CHANGES.len(), 24);
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

/// A set for lifting on land without persons, with these rules beside.
fn firm(name: &str, edition: &str, more: &str) -> String {
    let mut text = format!(
        "format = 1\nname = \"{name}\"\ntitle = \"Rules of a yard\"\nedition = \"{edition}\"\nstatus = \"in force\"\n\
         [[source]]\nid = \"s\"\ndocument = \"Yard rule {name}\"\nedition = \"1\"\nstanding = \"stated\"\n"
    );
    for (question, when) in [
        ("operation", "operation = \"lifting\""),
        ("place", "place = \"onshore\""),
        ("persons", "\"persons lifted\" = \"no\""),
        ("gear", "construction = [\"web\", \"roundsling\"]"),
    ] {
        let question = format!("applies to {question}");
        text += &ruled(&question, &question, &format!("when = {{ {when} }}\nrelation = \"applies\""));
    }
    text + more
}

/// A rule with this body.
fn ruled(question: &str, name: &str, body: &str) -> String {
    format!("[[rule]]\nanswers = \"{question}\"\nname = \"{name}\"\n{body}\nsource = \"s\"\nclause = \"2\"\n")
}

fn basis(word: &str) -> String {
    ruled("rating basis", "basis", &format!("relation = \"words\"\nwords = [\"{word}\"]"))
}

const BY_BREAKING_LOAD: &str = "breaking load divided by factor";
const ROUNDSLINGS: &str = "when = { construction = \"roundsling\", material = \"polyester\" }\n";

#[test]
fn factors_that_no_rating_asks_for_are_told_with_the_basis_that_would() {
    let told = |text: &str| -> Vec<String> {
        let complaints = lint(text).into_iter().filter(|complaint| complaint.code == ComplaintCode::NeverAsked);
        complaints.map(|complaint| complaint.what.to_string()).collect()
    };
    let factor = |question: &str, value: f64| {
        ruled(question, question, &format!("{ROUNDSLINGS}relation = \"constant\"\nvalue = {value}"))
    };
    let partial = ["load factor", "consequence factor", "wear factor", "least safety factor"];
    let design = factor("design factor", 7.0);
    for question in partial {
        let factor = factor(question, 1.5);
        for rated in [String::new(), basis("marked rating"), basis("table")] {
            let told = told(&firm("a", "1", &(rated + &factor)));
            assert!(
                matches!(told.as_slice(), [one] if one.contains(question) && one.contains(BY_BREAKING_LOAD)),
                "{told:?}"
            );
        }
        assert_eq!(told(&firm("a", "1", &(basis(BY_BREAKING_LOAD) + &factor))), [""; 0]);
        // A design factor divides by itself.
        let told = told(&firm("a", "1", &(basis(BY_BREAKING_LOAD) + &design + &factor)));
        assert!(matches!(told.as_slice(), [one] if one.contains("\"design factor\"")), "{told:?}");
    }
    let bending = factor("bending factor", 1.4);
    assert_eq!(told(&firm("a", "1", &(basis("marked rating") + &bending))).len(), 1);
    assert_eq!(told(&firm("a", "1", &(basis(BY_BREAKING_LOAD) + &bending))).len(), 0);
    assert_eq!(told(&firm("a", "1", &(basis(BY_BREAKING_LOAD) + &design + &bending))).len(), 0);
    let ends = factor("termination efficiency", 0.9);
    assert_eq!(told(&firm("a", "1", &(basis("marked rating") + &ends))).len(), 1);
    assert_eq!(told(&firm("a", "1", &(basis(BY_BREAKING_LOAD) + &ends))).len(), 1);
    assert_eq!(told(&firm("a", "1", &(basis(BY_BREAKING_LOAD) + &design + &ends))).len(), 0);
    // Gear that is rated otherwise is not what the factor is for; a design factor of other gear takes nothing from it.
    let webs = design.replace("roundsling", "web");
    assert_eq!(told(&firm("a", "1", &(basis(BY_BREAKING_LOAD) + &webs + &factor("wear factor", 1.5)))).len(), 0);
    let of_webs = basis(BY_BREAKING_LOAD).replace("relation", "when = { construction = \"web\" }\nrelation");
    assert_eq!(told(&firm("a", "1", &(of_webs + &factor("wear factor", 1.5)))).len(), 1);
    // A document that others include leaves it to them how gear is rated.
    let document = firm("a", "1", &factor("wear factor", 1.5)).replacen(
        "answers = \"applies to place\"",
        "answers = \"applies to gear\"",
        1,
    );
    assert_eq!(told(&document), [""; 0]);
}

#[test]
fn what_no_assessment_heeds_is_told() {
    let told = |rules: &str| -> Vec<Complaint> {
        let complaints = lint(&firm("a", "1", rules)).into_iter();
        complaints.filter(|complaint| complaint.code == ComplaintCode::NeverAsked).collect()
    };
    // A rated value that the marking goes before, or that nothing names.
    let value = |when: &str| {
        ruled(
            "rated value",
            "value",
            &format!(
                "when = {{ construction = \"roundsling\", material = \"polyester\"{when} }}\nunit = \"kN\"\nrelation = \"constant\"\nvalue = 50"
            ),
        )
    };
    for rated in [String::new(), basis("marked rating"), basis(BY_BREAKING_LOAD)] {
        let told = told(&(rated + &value("")));
        assert!(matches!(told.as_slice(), [one] if one.what.contains("\"table\" would")), "{told:?}");
    }
    let withheld = ruled("rating basis", "basis", "relation = \"withheld\"\nwhy = \"it stands in the plan\"");
    assert_eq!(told(&(basis("table") + &value(""))), []);
    assert_eq!(told(&(withheld + &value(""))), []);
    // Of another hitch or of a set of legs a marking takes a figure, too.
    for when in [", hitch = \"choker\"", ", configuration = \"two legs\""] {
        assert_eq!(told(&(basis("marked rating") + &value(when))), []);
    }
    // Questions that no check asks, and words that no lift states.
    let data = ruled("certificate age", "age", "relation = \"constant\"\nvalue = 6\nunit = \"month\"");
    let found = told(&data);
    assert!(
        matches!(found.as_slice(), [one] if one.what.contains("can be asked by itself") && one.write.contains("by itself")),
        "{found:?}"
    );
    let contingency = |word: &str| {
        ruled(
            "weight contingency",
            "contingency",
            &format!("when = {{ \"mass basis\" = {word} }}\nrelation = \"constant\"\nvalue = 1.1"),
        )
    };
    let found = told(&contingency("\"estimated\""));
    assert!(
        matches!(found.as_slice(), [one] if one.what.contains("no lift states the mass basis \"estimated\"")),
        "{found:?}"
    );
    assert_eq!(told(&contingency("[\"estimated\", \"calculated\"]")), []);
    let exclusion = |relation: &str| {
        ruled("applies to operation", "towing", &format!("when = {{ operation = \"towing\" }}\n{relation}"))
    };
    assert_eq!(told(&exclusion("relation = \"does not apply\"\nwhy = \"see the plan of the tow\"")), []);
    assert_eq!(told(&exclusion("relation = \"applies\"")).len(), 1);
}

#[test]
fn an_exclusion_of_gear_is_told_to_leave_the_marking() {
    let told = |text: &str| lint(text).iter().filter(|one| one.code == ComplaintCode::MarkingStands).count();
    let gear = |relation: &str| {
        let keys = format!(
            "when = {{ construction = \"shackle\" }}\nrelation = \"{relation}\"\nwhy = \"they are not used in the yard\""
        );
        firm("a", "1", &ruled("applies to gear", "shackles", &keys))
    };
    assert_eq!([told(&gear("does not apply")), told(&gear("withheld"))], [1, 0]);
    // A document that others include says what it is for, and no more.
    let document =
        gear("does not apply").replacen("answers = \"applies to place\"", "answers = \"applies to load\"", 1);
    assert_eq!(told(&document), 0);
}

#[test]
fn what_is_missing_is_no_reason_to_propose_one_of_several() {
    let write = |text: &str| {
        let complaints = lint(text);
        let [Complaint { code: ComplaintCode::Missing, write, .. }] = complaints.as_slice() else {
            panic!("{complaints:?}")
        };
        write.to_string()
    };
    let template = RuleSet::template();
    let units = write(&template.replacen("unit = \"t\", ", "", 1));
    for unit in ["kg", "t", "lb", "short ton", "long ton"] {
        assert!(units.contains(&format!("\"{unit}\"")), "{units}");
    }
    let units = write(&template.replacen("value = 50\nunit = \"degC\"", "value = 50", 1));
    assert!(["K", "degC", "degF"].iter().all(|unit| units.contains(&format!("\"{unit}\""))), "{units}");
    let standings = write(&template.replacen("standing = \"stated\"\n", "", 1));
    for standing in ["document", "secondary", "derived", "memory", "common practice", "stated"] {
        assert!(standings.contains(&format!("\"{standing}\" if")), "{standings}");
    }
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

fn read(text: &str, documents: &[&str]) -> RuleSet {
    RuleSet::from_toml_with(text, documents).unwrap()
}

fn choked(name: &str, value: f64) -> String {
    ruled("choke factor", name, &format!("{ROUNDSLINGS}relation = \"constant\"\nvalue = {value}"))
}

/// Sets of the same rules that answer otherwise, or do not go by the same edition.
#[test]
fn what_decides_among_the_same_rules_is_told() {
    let facts = Facts::new().word("construction", "roundsling").word("material", "polyester");
    let answered = |rules: &RuleSet| rules.ask(Question::ChokeFactor, &facts).value();
    let documents = ["a", "b"].map(|name| {
        let text = firm(name, "1", "").split("[[rule]]").next().unwrap().to_owned();
        text + &choked(name, if name == "a" { 0.8 } else { 0.7 })
    });
    let documents = documents.each_ref().map(String::as_str);
    let set = |order: [&str; 2], take: &str| {
        let includes = order.map(|name| format!("[[include]]\ndocument = \"{name}\"\n")).concat();
        let why = "reason = \"the yard keeps to it\"";
        let take = format!("[[precedence]]\nanswers = \"choke factor\"\ntake = \"{take}\"\n{why}\n");
        read(&firm("both", "1", &(includes + &take)), &documents)
    };
    let told = |one: &RuleSet, other: &RuleSet| {
        let found = difference(one, other);
        let [question] = found.questions.as_slice() else { panic!("{found}") };
        assert_eq!((question.question.as_str(), question.rules.len()), ("choke factor", 0), "{found}");
        let said = |detail: &DetailDifference| {
            [&detail.what, detail.one.as_ref().unwrap(), detail.other.as_ref().unwrap()].map(Text::to_string)
        };
        let text = found.to_string();
        assert!(question.deciding.iter().all(|detail| text.contains(detail.what.as_str())), "{text}");
        (question.deciding.iter().map(said).collect::<Vec<_>>(), found.heading.iter().map(said).collect::<Vec<_>>())
    };
    let three = |what: &str, one: &str, other: &str| [what, one, other].map(str::to_owned);
    let order = three("order", "\"a\" before \"b\"", "\"b\" before \"a\"");

    // The order in which documents are included, where the first that speaks governs.
    let (first, turned) = (set(["a", "b"], "first"), set(["b", "a"], "first"));
    assert_eq!([answered(&first), answered(&turned)], [Some(0.8), Some(0.7)]);
    assert_eq!(told(&first, &turned), (vec![order.clone()], vec![three("order of the documents", "a, b", "b, a")]));

    // The first that speaks, or the severest; of that the order decides nothing.
    let severest = set(["a", "b"], "severest");
    assert_eq!(answered(&severest), Some(0.7));
    let (deciding, heading) = told(&first, &severest);
    assert_eq!(deciding[0], three("precedence", "first", "severest"));
    assert_eq!(deciding[1], three("order", "\"a\" before \"b\"", "the severer counts"));
    assert!(heading.is_empty());
    assert_eq!(difference(&severest, &set(["b", "a"], "severest")).questions, []);

    // Two rules of one file whose words can both be met.
    let narrow = choked("b", 0.7).replace(", material = \"polyester\"", "");
    let (one, other) =
        (choked("a", 0.8) + &narrow, narrow.clone() + &choked("a", 0.8).replace("construction = \"roundsling\", ", ""));
    let other = other.replace("when = { material", "when = { construction = [\"roundsling\", \"web\"], material");
    let one =
        one.replace("construction = \"roundsling\", material", "construction = [\"roundsling\", \"web\"], material");
    let (one, other) = (read(&firm("o", "1", &one), &[]), read(&firm("o", "1", &other), &[]));
    assert_eq!([answered(&one), answered(&other)], [Some(0.8), Some(0.7)]);
    assert_eq!(told(&one, &other), (vec![order], vec![]));
}

#[test]
fn edition_status_and_what_a_calculation_is_in_are_told() {
    let of = |text: &str| read(text, &[]);
    let heading = |one: &str, other: &str| {
        let found = difference(&of(one), &of(other));
        assert!(found.questions.is_empty());
        found
            .heading
            .iter()
            .map(|detail| (detail.what.to_string(), detail.one.clone(), detail.other.clone()))
            .collect::<Vec<_>>()
    };
    let now = firm("f", "2026", "");
    let said = |text: &str| Some(Text::from(text.to_owned()));
    assert_eq!(heading(&now, &now), []);
    assert_eq!(heading(&now, &firm("f", "2027", "")), [("edition".to_owned(), said("2026"), said("2027"))]);
    let old = now.replace("status = \"in force\"", "status = \"superseded\"\nsuperseded_by = \"rules of 2027\"");
    assert_eq!(
        heading(&now, &old),
        [
            ("status".to_owned(), said("in force"), said("superseded")),
            ("superseded by".to_owned(), None, said("rules of 2027"))
        ]
    );
    // The same numbers in another unit (per length, which a number may carry), and the least where the greatest was.
    let spacing = |relation: &str| {
        let input = "input = [{ fact = \"rope diameter\", unit = \"in\" }]\n";
        of(&firm("f", "1", &ruled("clip spacing", "clips", &format!("{input}{relation}"))))
    };
    let products = "alternatives = [{ name = \"six\", times = [6, \"rope diameter\", \"rope diameter\"] }, { name = \"two\", times = [2, \"rope diameter\", \"rope diameter\"] }]";
    let spacings = [("greatest of", "in"), ("least of", "in"), ("greatest of", "ft")]
        .map(|(relation, unit)| spacing(&format!("relation = \"{relation}\"\nunit = \"{unit}\"\n{products}")));
    for (other, what) in [(&spacings[1], "relation"), (&spacings[2], "unit")] {
        let found = difference(&spacings[0], other);
        assert_eq!(found.questions[0].rules[0].details[0].what.as_str(), what, "{found}");
    }
}
