//! One lift under several rule sets: outcomes side by side, and the first clause where they part.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing)]

#[path = "support/patching.rs"]
mod patching;

use rigging_core::arrangement::Lift;
use rigging_core::checks::{Assessment, Code, Verdict};
use rigging_core::choice::{Matrix, Part, Side, matrix, partings};
use rigging_core::error::Error;
use rigging_core::report::{json, matrix_text};
use rigging_core::rules::RuleSet;

const YARD: &str = include_str!("../reference/rules/quarry-hill.toml");

fn skid() -> Lift {
    Lift::from_json(&patching::demo("generator-skid-round-edge").to_string()).unwrap()
}

/// The yard's rules with one text put for another, which must stand there once.
fn yard(from: &str, to: &str) -> RuleSet {
    assert_eq!(YARD.matches(from).count(), 1, "{from}");
    RuleSet::from_toml(&YARD.replace(from, to)).unwrap()
}

fn sets() -> Vec<RuleSet> {
    let mut sets: Vec<RuleSet> =
        RuleSet::built_in_names().iter().map(|name| RuleSet::built_in(name).unwrap()).collect();
    sets.push(RuleSet::from_toml(YARD).unwrap());
    sets
}

#[test]
fn a_lift_does_not_part_from_itself() {
    for rules in sets() {
        let assessment = skid().assess(&rules).unwrap();
        assert_eq!(partings(&assessment, &assessment).unwrap(), []);
        let matrix = Matrix::of(&[assessment.clone(), assessment]).unwrap();
        assert!(matrix.partings.is_empty());
    }
}

/// What is changed in the yard's rules into what, and part, symbol, value and clause at which the calculations must part.
type Planted = (&'static str, &'static str, Part, &'static str, [f64; 2], &'static str);

const PLANTED: [Planted; 3] = [
    ("\"not to exceed\"], 1.06]", "\"not to exceed\"], 1.04]", Part::Demand, "c", [1.06, 1.04], "3.1"),
    ("[44000, 1.10]", "[44000, 1.15]", Part::Demand, "k", [1.10, 1.15], "3.2"),
    ("value = 1.5", "value = 1.25", Part::Demand, "R/t", [1.5, 1.25], "5"),
];

#[test]
fn one_number_changed_is_the_term_at_which_they_part() {
    let lift = skid();
    let before = lift.assess(&RuleSet::from_toml(YARD).unwrap()).unwrap();
    for (from, to, part, symbol, values, clause) in PLANTED {
        let after = lift.assess(&yard(from, to)).unwrap();
        let found = partings(&before, &after).unwrap();
        assert!(!found[0].is_consequence(), "{to}");
        for parting in found.iter().filter(|parting| !parting.is_consequence()) {
            let said = parting.sides.each_ref().map(|side| side.said.clone().unwrap());
            assert_eq!(parting.part, part, "{to}");
            assert_eq!(said.each_ref().map(|said| said.symbol.as_str()), [symbol, symbol], "{to}");
            assert_eq!(said.each_ref().map(|said| said.value), values, "{to}");
            for side in &parting.sides {
                assert_eq!(side.source.as_ref().unwrap().clause.as_str(), clause, "{to}");
            }
        }
    }
}

#[test]
fn a_rule_that_only_one_set_has_stands_against_none() {
    let start = YARD.find("[[rule]]\nanswers = \"dynamic factor\"").unwrap();
    let end = YARD.find("[[rule]]\nanswers = \"sharp edge ratio\"").unwrap();
    let without = RuleSet::from_toml(&format!("{}{}", &YARD[..start], &YARD[end..])).unwrap();
    let [with, without] = [RuleSet::from_toml(YARD).unwrap(), without].map(|rules| skid().assess(&rules).unwrap());
    let found = partings(&with, &without).unwrap();
    let strength = found.iter().find(|parting| parting.code == Code::SlingStrength).unwrap();
    assert_eq!(strength.part, Part::Demand);
    assert_eq!(strength.sides[0].said.as_ref().unwrap().symbol.as_str(), "k");
    assert_eq!(strength.sides[1].said, None);
    // The other way round it is the mirror image.
    let mirrored = partings(&without, &with).unwrap();
    assert_eq!(mirrored.len(), found.len());
    for parting in &found {
        let other = mirrored
            .iter()
            .find(|other| (other.code, &other.item, &other.place) == (parting.code, &parting.item, &parting.place))
            .unwrap();
        assert_eq!([&other.sides[1], &other.sides[0]], [&parting.sides[0], &parting.sides[1]]);
    }
}

#[test]
fn what_keeps_one_from_comparing_parts_them_and_no_figure_does() {
    // The marine rules take items under 3 t as 3 t, which does nothing to 18.5 t, and want to know the service of a sling.
    let [law, marine] =
        ["us-general", "marine-0027-nd-2016"].map(|name| skid().assess(&RuleSet::built_in(name).unwrap()).unwrap());
    let found = partings(&law, &marine).unwrap();
    let strength = found.iter().find(|parting| parting.code == Code::SlingStrength).unwrap();
    assert_eq!(strength.part, Part::Outcome);
    assert!(strength.sides.iter().all(|side| side.said.is_none()));
    assert!(strength.sides[1].text.contains("service"), "{}", strength.sides[1].text);
    for parting in &found {
        let idle = |side: &Side| side.said.as_ref().is_some_and(|said| said.value == 3000.0);
        assert!(!parting.sides.iter().any(idle), "{parting:?}");
    }
}

#[test]
fn what_parts_the_verdicts_comes_first() {
    let lift = skid();
    let assessments: Vec<Assessment> = sets().iter().map(|rules| lift.assess(rules).unwrap()).collect();
    let mut parted = 0;
    for (index, left) in assessments.iter().enumerate() {
        for right in &assessments[index + 1..] {
            let found = partings(left, right).unwrap();
            let differ: Vec<bool> =
                found.iter().map(|parting| parting.sides[0].verdict != parting.sides[1].verdict).collect();
            assert!(differ.is_sorted_by(|one, other| one >= other), "differences in the outcome stand first");
            // Two lifts of different verdicts have a check of different outcome.
            assert!(left.verdict == right.verdict || differ[0]);
            parted += usize::from(left.verdict != right.verdict);
        }
    }
    assert!(parted > 0, "the sets part somewhere");
}

#[test]
fn the_matrix_holds_every_finding_once_and_says_what_each_assessment_says() {
    let lift = skid();
    let sets = sets();
    let named: Vec<&RuleSet> = sets.iter().collect();
    let matrix = matrix(&lift, &named).unwrap();
    for (column, rules) in sets.iter().enumerate() {
        let alone = lift.assess(rules).unwrap();
        assert_eq!(matrix.columns[column].verdict, alone.verdict);
        assert_eq!(matrix.columns[column].rules.hash, *rules.hash());
        let cells = matrix.rows.iter().filter_map(|row| row.cells[column].as_ref());
        let mut told: Vec<Verdict> = cells.map(|cell| cell.verdict).collect();
        let mut found: Vec<Verdict> = alone.findings.iter().map(|finding| finding.verdict).collect();
        let key = |verdict: &Verdict| verdict.words();
        told.sort_by_key(key);
        found.sort_by_key(key);
        assert_eq!(told, found, "{}", rules.name());
    }
    let text = matrix_text(&matrix);
    assert!(sets.iter().all(|rules| text.contains(rules.name().as_str())));
    let record: serde_json::Value = serde_json::from_str(&json::answer(&matrix).unwrap()).unwrap();
    assert_eq!(record["columns"].as_array().unwrap().len(), sets.len());
    println!("{} sets, {} checks, {} pairs part", sets.len(), matrix.rows.len(), matrix.partings.len());
}

#[test]
fn behind_a_consequence_the_clause_is_found() {
    // The tilt follows from the weight; with an allowance between the two it is the first check to part.
    let mut document = patching::demo("generator-skid-round-edge");
    let tilt = |rules: &RuleSet, lift: &Lift| lift.assess(rules).unwrap().demand.unwrap().moving.tilt.to_degrees();
    let lift = skid();
    let [light, heavy] =
        [RuleSet::from_toml(YARD).unwrap(), yard("\"not to exceed\"], 1.06]", "\"not to exceed\"], 1.00]")];
    let [less, more] = [tilt(&light, &lift), tilt(&heavy, &lift)];
    assert!(more != less);
    let between = serde_json::json!({ "value": format!("{} deg", (less + more) / 2.0), "source": "deck drawing D-3" });
    document["load"]["allowed_tilt"] = between;
    let lift = Lift::from_json(&document.to_string()).unwrap();
    let matrix = matrix(&lift, &[&light, &heavy]).unwrap();
    let parted = &matrix.partings[0];
    if parted.first.code == Code::Tilt {
        assert!(parted.first.is_consequence());
        let cause = parted.cause.as_ref().unwrap();
        assert_eq!(cause.sides[0].source.as_ref().unwrap().clause.as_str(), "3.1");
        assert!(matrix_text(&matrix).contains("which follows from"));
    } else {
        panic!("the tilt parts first: {:?}", parted.first);
    }
}

#[test]
fn different_lifts_and_no_rules_are_refused() {
    let rules = RuleSet::built_in("us-general").unwrap();
    let other = Lift::from_json(&patching::demo("generator-skid").to_string()).unwrap();
    let [one, other] = [skid(), other].map(|lift| lift.assess(&rules).unwrap());
    assert!(matches!(partings(&one, &other), Err(Error::Inconsistent { .. })));
    assert!(matches!(matrix(&skid(), &[]), Err(Error::Inconsistent { .. })));
}

/// The yard's rules with further ones.
fn yard_with(more: &[(&str, &str, &str, &str)]) -> RuleSet {
    let source =
        "\n[[source]]\nid = \"beside\"\ndocument = \"Note of the yard\"\nedition = \"1\"\nstanding = \"stated\"\n";
    let rule = |(question, name, body, clause): &(&str, &str, &str, &str)| {
        format!(
            "\n[[rule]]\nanswers = \"{question}\"\nname = \"{name}\"\n{body}\nsource = \"beside\"\nclause = \"{clause}\"\n"
        )
    };
    let at = YARD.find("[[rule]]").unwrap();
    let (head, rules) = YARD.split_at(at);
    let more: String = more.iter().map(rule).collect();
    RuleSet::from_toml(&format!("{head}{source}{more}{rules}")).unwrap()
}

const ROUNDSLINGS: &str = "when = { construction = \"roundsling\", material = \"polyester\" }\nrelation = \"constant\"";

/// The highest temperature stands beside the highest, whatever one set says of either end and the other does not.
#[test]
fn checks_stand_beside_their_like_and_what_one_set_does_not_make_is_told_so() {
    let limit = |question: &str, celsius: i32| {
        yard_with(&[(question, "the limit", &format!("{ROUNDSLINGS}\nvalue = {celsius}\nunit = \"degC\""), "9.2")])
    };
    let lift = skid();
    let plain = lift.assess(&RuleSet::from_toml(YARD).unwrap()).unwrap();
    let of = |assessment: &Assessment| -> Vec<(String, f64)> {
        let of = |finding: &&rigging_core::checks::Finding| {
            finding.code == Code::Temperature && finding.item == "roundsling A"
        };
        let found = assessment.findings.iter().filter(of);
        found.map(|finding| (finding.quantity().to_owned(), finding.utilization.unwrap())).collect()
    };
    let alone = of(&plain);
    assert_eq!(alone.len(), 2, "{alone:?}");
    for (question, fails) in [
        ("highest temperature", 20),
        ("highest temperature", 90),
        ("lowest temperature", -35),
        ("lowest temperature", 19),
    ]
    .map(|(question, celsius)| ((question, celsius), celsius == 20 || celsius == 19))
    {
        let limited = lift.assess(&limit(question.0, question.1)).unwrap();
        for (one, other) in [(&plain, &limited), (&limited, &plain)] {
            let matrix = Matrix::of(&[one.clone(), other.clone()]).unwrap();
            let rows = matrix.rows.iter().filter(|row| row.code == Code::Temperature && row.item == "roundsling A");
            let both: Vec<Option<[f64; 2]>> = rows
                .map(|row| match row.cells.as_slice() {
                    [Some(left), Some(right)] => Some([left.utilization.unwrap(), right.utilization.unwrap()]),
                    _ => None,
                })
                .collect();
            let same = |both: &&Option<[f64; 2]>| both.is_some_and(|[left, right]| left == right);
            let parted = partings(one, other).unwrap();
            let parted: Vec<_> = parted
                .iter()
                .filter(|parting| parting.code == Code::Temperature && parting.item == "roundsling A")
                .collect();
            let [parting] = parted.as_slice() else { panic!("{question:?}: {parted:#?}") };
            let side = &parting.sides[usize::from(std::ptr::eq(one, &plain))];
            assert_eq!(side.source.as_ref().unwrap().clause.as_str(), "9.2", "{question:?}");
            // Above the limit the finding of the maker's is not made; else it stands, and the rule's is one more.
            let replaced = of(&limited).len() == 2;
            assert_eq!(both.iter().filter(same).count(), if replaced { 1 } else { 2 }, "{question:?}: {both:?}");
            let other = &parting.sides[usize::from(!std::ptr::eq(one, &plain))];
            assert_eq!(other.verdict.is_none(), !replaced, "{question:?}: {parting:#?}");
            assert_eq!(side.verdict == Some(Verdict::Fail), fails, "{question:?}");
        }
    }
}

/// What makes a check of the set of legs is the factor, or the number of legs that count; how one leg is rated is not.
#[test]
fn sets_of_legs_part_at_the_clause_that_makes_the_check() {
    let four = "when = { configuration = \"four legs\" }\nrelation = \"constant\"";
    let [value, three, two] = ["2.1", "3", "2"].map(|value| format!("{four}\nvalue = {value}"));
    let marked = "when = { construction = \"roundsling\" }\nrelation = \"words\"\nwords = [\"marked rating\"]";
    let basis = ("rating basis", "the marking", marked, "9.0");
    let factor = ("leg factor", "the set", value.as_str(), "9.4");
    let count = ("legs counted", "three legs", three.as_str(), "9.5");
    let lift = skid();
    let plain = lift.assess(&yard_with(&[basis])).unwrap();
    for (rules, clauses) in
        [(&[basis, factor][..], &["9.4"][..]), (&[basis, count], &["9.5"]), (&[basis, factor, count], &["9.4", "9.5"])]
    {
        let set = lift.assess(&yard_with(rules)).unwrap();
        let found: Vec<&str> = set
            .findings
            .iter()
            .filter(|finding| finding.code == Code::SetOfLegs)
            .map(|finding| finding.source.as_ref().unwrap().clause.as_str())
            .collect();
        assert_eq!(found, clauses);
        let parted = partings(&plain, &set).unwrap();
        let parted: Vec<&str> = parted
            .iter()
            .filter(|parting| parting.code == Code::SetOfLegs)
            .map(|parting| parting.sides[1].source.as_ref().unwrap().clause.as_str())
            .collect();
        assert_eq!(parted, clauses);
    }
    // The factor of one set does not stand beside the legs that count in another, and three legs stand beside two.
    let [by_factor, by_count] = [factor, count].map(|rule| lift.assess(&yard_with(&[basis, rule])).unwrap());
    let found = partings(&by_factor, &by_count).unwrap();
    assert_eq!(found.iter().filter(|parting| parting.code == Code::SetOfLegs).count(), 2);
    let fewer = ("legs counted", "two legs", two.as_str(), "9.5");
    let found = partings(&by_count, &lift.assess(&yard_with(&[basis, fewer])).unwrap()).unwrap();
    let found: Vec<_> = found.iter().filter(|parting| parting.code == Code::SetOfLegs).collect();
    let [parting] = found.as_slice() else { panic!("{found:#?}") };
    assert_eq!(parting.sides.each_ref().map(|side| side.said.as_ref().unwrap().value), [3.0, 2.0]);
}

#[test]
fn two_sets_of_one_name_are_told_apart() {
    let label = |texts: &[String]| {
        let sets: Vec<RuleSet> = texts.iter().map(|text| RuleSet::from_toml(text).unwrap()).collect();
        let matrix = matrix(&skid(), &sets.iter().collect::<Vec<_>>()).unwrap();
        let labels: Vec<String> = matrix.labels().iter().map(ToString::to_string).collect();
        let text = matrix_text(&matrix);
        assert!(labels.iter().all(|label| text.contains(&format!("  {label}: "))), "{text}");
        for parted in &matrix.partings {
            assert_ne!(parted.between[0], parted.between[1]);
            assert!(parted.between.iter().all(|name| labels.iter().any(|label| name.as_str() == label)));
        }
        assert_eq!(labels.len(), matrix.columns.len());
        (labels, sets)
    };
    let now = YARD.to_owned();
    let name = RuleSet::from_toml(YARD).unwrap().name().to_string();
    let edition = RuleSet::from_toml(YARD).unwrap().edition().to_string();
    assert_eq!(label(std::slice::from_ref(&now)).0, std::slice::from_ref(&name));
    // Another edition with another factor; and the same edition, changed in secret.
    let factor = ("value = 1.5", "value = 1.25");
    let next = now.replace(factor.0, factor.1).replacen(&format!("edition = \"{edition}\""), "edition = \"next\"", 1);
    let (labels, _) = label(&[now.clone(), next]);
    assert_eq!(labels, [format!("{name} ({edition})"), format!("{name} (next)")]);
    let (labels, sets) = label(&[now.clone(), now.replace(factor.0, factor.1)]);
    for (label, rules) in labels.iter().zip(&sets) {
        assert_eq!(*label, format!("{name} ({edition}, {})", &rules.hash()[..8]));
    }
    // One set twice is one set.
    assert_eq!(label(&[now.clone(), now]).0, [name.clone(), name]);
}
