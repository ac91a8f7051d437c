//! Operations of which a rule set says nothing, or which it excludes: two answers of their own, and never a pass.

use super::heights::{HOOKS, vessel};
use super::*;
use rigging_core::checks::Stance;
use rigging_core::choice::{Matrix, matrix};
use rigging_core::report;

/// The vessel on two hooks of one crane, or on two cranes.
fn operation(kind: &str) -> Value {
    let mut document = vessel();
    patching::set(&mut document, "/operation/kind", json!(kind));
    if kind == "multi_crane_lift" {
        patching::set(&mut document, "/hooks/1/crane", json!("sheerleg 8"));
    }
    document
}

/// What the set does on the operation.
fn stance(assessment: &Assessment) -> (Verdict, Option<Stance>) {
    let findings = coded(assessment, Code::Applicability);
    let finding = findings.iter().find(|finding| finding.place.as_str() == "/operation/kind").unwrap();
    (finding.verdict, finding.stance)
}

#[test]
fn no_set_passes_a_lift_that_it_does_not_speak_of() {
    let mut looked_at = 0;
    for name in RuleSet::built_in_names() {
        let rules = built_in(name);
        for kind in ["two_hook_lift", "multi_crane_lift"] {
            // The marine guideline has figures for lifts by two hooks that this set of it does not pass on; all others say nothing
            // of either.
            let due = match *name {
                "marine-0027-nd-2016" => Stance::Withheld,
                _ => Stance::Silent,
            };
            let assessment = assess(&operation(kind), &rules);
            assert_eq!(stance(&assessment), (Verdict::CannotConclude, Some(due)), "{name}, {kind}");
            assert_ne!(assessment.verdict, Verdict::Pass, "{name}, {kind}");
            looked_at += 1;
        }
        // One that is spoken of has no stance.
        let plain = assess(&patching::demo("generator-skid-round-edge"), &rules);
        assert_eq!(stance(&plain), (Verdict::Pass, None), "{name}");
    }
    assert_eq!(looked_at, 14);
}

/// Hooks count, and not only what the operation is called: a set that has no rules for several does not govern what is called
/// "lifting" and hangs on two. Where it is silent of several, that stands with the word.
#[test]
fn a_set_that_refuses_several_hooks_is_not_evaded_by_a_word() {
    for (cranes, word) in [(["crane A", "crane A"], "two-hook"), (["crane A", "crane B"], "multi-crane")] {
        let mut document = operation("lifting");
        for (index, crane) in cranes.into_iter().enumerate() {
            patching::set(&mut document, &format!("/hooks/{index}/crane"), json!(crane));
        }
        let marine = assess(&document, &built_in("marine-0027-nd-2016"));
        assert_eq!(stance(&marine), (Verdict::CannotConclude, Some(Stance::Withheld)), "{word}");
        assert_eq!(stance(&assess(&document, &built_in("us-general"))), (Verdict::Pass, None));
        let own = RuleSet::from_toml(&format!(
            "{}\n[[source]]\nid = \"own\"\ndocument = \"Hollow Ford lifting instruction\"\nstanding = \"stated\"\n[[rule]]\nanswers = \
             \"applies to operation\"\nname = \"one hook only\"\nwhen = {{ operation = \"{word} lift\" }}\nrelation = \"does not \
             apply\"\nwhy = \"the yard lifts with one hook\"\nsource = \"own\"\nclause = \"1\"\n",
            patching::text("rigging-core/rules/us-general.toml")
        ));
        let refused = assess(&document, &own.unwrap());
        assert_eq!(stance(&refused), (Verdict::CannotConclude, Some(Stance::DoesNotApply)), "{word}");
    }
}

#[test]
fn the_matrix_parts_silence_from_exclusion() {
    let lift = lift(&operation("two_hook_lift"));
    let excluding = RuleSet::from_toml(&format!(
        "{}\n[[source]]\nid = \"own\"\ndocument = \"Hollow Ford lifting instruction\"\nstanding = \"stated\"\n[[rule]]\nanswers = \"applies \
         to operation\"\nname = \"one hook only\"\nwhen = {{ operation = \"two-hook lift\" }}\nrelation = \"does not apply\"\nwhy = \"the \
         yard lifts with one hook\"\nsource = \"own\"\nclause = \"1\"\n",
        patching::text("rigging-core/rules/us-general.toml")
    ));
    let sets = [built_in("us-general"), excluding.unwrap()];
    let found: Matrix = matrix(&lift, &sets.each_ref()).unwrap();
    let row = found.rows.iter().find(|row| {
        row.code == Code::Applicability
            && row.cells.iter().flatten().any(|cell| cell.stance == Some(Stance::DoesNotApply))
    });
    let row = row.unwrap();
    let stances: Vec<_> = row.cells.iter().map(|cell| cell.as_ref().and_then(|cell| cell.stance)).collect();
    assert_eq!(stances, [Some(Stance::Silent), Some(Stance::DoesNotApply)]);
    assert!(row.cells.iter().flatten().all(|cell| cell.verdict == Verdict::CannotConclude), "the verdicts are alike");
    assert!(!row.agrees(), "and the row still does not agree");
    let text = report::matrix_text(&found);
    assert!(text.contains("the rule set is silent") && text.contains("the rule set does not apply"), "{text}");
    let record: Value = serde_json::to_value(&found).unwrap();
    let printed = record.to_string();
    assert!(printed.contains("\"stance\":\"silent\"") && printed.contains("\"stance\":\"does_not_apply\""));
}

/// A firm's own set: what federal rules say, with documents that do speak of several cranes.
fn composed(documents: &[&str]) -> RuleSet {
    let includes: String = documents.iter().map(|name| format!("[[include]]\ndocument = \"{name}\"\n")).collect();
    RuleSet::from_toml(&format!(
        "format = 1\nname = \"own-cranes\"\ntitle = \"Lifts by several cranes at Hollow Ford\"\nedition = \"2026\"\nstatus = \"in \
         force\"\n[[source]]\nid = \"own\"\ndocument = \"Hollow Ford lifting instruction\"\nstanding = \"stated\"\n[[rule]]\nanswers = \
         \"applies to operation\"\nname = \"own lifts by several cranes\"\nwhen = {{ operation = [\"two-hook lift\", \"multi-crane lift\"] \
         }}\nrelation = \"applies\"\nsource = \"own\"\nclause = \"1\"\n[[include]]\ndocument = \"us-general\"\n{includes}"
    ))
    .unwrap_or_else(|error| panic!("{error}"))
}

#[test]
fn what_documents_print_of_several_cranes_counts_in_a_set_of_ones_own() {
    let alone = assess(&operation("multi_crane_lift"), &built_in("us-general"));
    let share = coded(&alone, Code::CraneShare);
    assert_eq!((share.len(), share[0].verdict, share[0].stance), (1, Verdict::NotCovered, Some(Stance::Silent)));
    assert!(coded(&alone, Code::LiftCategory).is_empty());

    let rules = composed(&["au-qld-mobile-crane-2006", "us-em-385-1-1"]);
    let mut document = operation("multi_crane_lift");
    patching::set(&mut document, "/load/center_of_gravity/tolerance", json!(["0 mm", "0 mm", "0 mm"]));
    let assessment = assess(&document, &rules);
    assert_eq!(stance(&assessment), (Verdict::Pass, None));
    for (hook, arm) in HOOKS.into_iter().zip([13.6, 10.4]) {
        // By hand: 96 t and 3 %, arm over 24 m, and a capacity 20 % greater for two cranes.
        let due = 96.0 * 1.03 * arm / 24.0 * 1.2;
        let finding = of(&assessment, Code::CraneShare, hook);
        let found = demand(finding).value() / (1000.0 * GRAVITY);
        assert!((found - due).abs() < 3e-3, "{hook}: {found} and {due}");
        assert_eq!(finding.source.as_ref().unwrap().clause.as_str(), "14.3.2");
    }
    let category = assessment.category.as_ref().unwrap();
    assert!(category.triggers.iter().any(|trigger| trigger.source.document.contains("EM 385-1-1")), "{category:?}");
    // Steel erection after the federal definition: a second crane makes the lift a critical one.
    patching::set(&mut document, "/operation/circumstances", json!({ "steel_erection": true }));
    let assessment = assess(&document, &composed(&["us-29-cfr-1926-751"]));
    assert_eq!(assessment.category.as_ref().unwrap().word.as_deref(), Some("critical"));
    let met = assessment
        .category
        .as_ref()
        .unwrap()
        .triggers
        .iter()
        .filter(|trigger| trigger.name.as_str() == "more than one crane");
    assert!(met.clone().count() == 1 && met.into_iter().all(|trigger| trigger.state.words() == "met"));
}

#[test]
fn two_hooks_of_the_superseded_guideline_count_in_a_set_of_ones_own() {
    let rules = composed(&["marine-0027-nd-2016-further"]);
    let assessment = assess(&operation("two_hook_lift"), &rules);
    assert_eq!(stance(&assessment), (Verdict::Pass, None));
    let clauses: Vec<&str> = coded(&assessment, Code::HookHeights)
        .iter()
        .filter_map(|finding| finding.source.as_ref())
        .map(|source| source.clause.as_str())
        .collect();
    for clause in ["5.4.2, 5.4.5", "App. B.1.2", "5.4.7"] {
        assert!(clauses.contains(&clause), "{clause} among {clauses:?}");
    }
}

/// The marine guideline takes its contingency from a document that was not seen: a weighed mass without any is not concluded upon, one
/// with a contingency or a limit that it is kept under is.
#[test]
fn a_contingency_that_was_not_seen_is_not_none() {
    let rules = built_in("marine-0027-nd-2016");
    for (basis, contingency, verdict) in [
        ("weighed", "0 %", Verdict::CannotConclude),
        ("calculated", "0 %", Verdict::CannotConclude),
        ("weighed", "3 %", Verdict::NotCovered),
        ("not_to_exceed", "0 %", Verdict::NotCovered),
    ] {
        let mut document = patching::demo("tool-skid-offshore");
        patching::set(&mut document, "/load/mass/basis", json!(basis));
        patching::set(&mut document, "/load/mass/contingency", json!(contingency));
        let assessment = assess(&document, &rules);
        let found = coded(&assessment, Code::MassBasis);
        assert_eq!((found.len(), found[0].verdict), (1, verdict), "{basis} {contingency}");
    }
}
