//! Findings, chains, missing inputs, remedies and records through the C interface: everything the core has arrives, and
//! nothing else.
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing)]
#![allow(clippy::undocumented_unsafe_blocks, reason = "every call passes pointers to what stands in the same test")]

mod calls;

use calls::*;
use rigging::arrangement::*;
use rigging::chain::*;
use rigging::checks::finding::*;
use rigging::checks::remedy::*;
use rigging::checks::*;
use rigging::error::*;
use rigging::report::*;
use rigging::rules::*;
use rigging::statics::answer::*;
use rigging::text::rigging_text;
use rigging_core::arrangement::Lift;
use rigging_core::chain::{Acts, Chain, Operation};
use rigging_core::checks::{Assessment, Finding, MissingInput, Remedy, Severity, Verdict};
use rigging_core::report;
use rigging_core::rules::RuleSet;
use rigging_core::source::Source;

/// One lift, assessed on both sides of the boundary.
struct Pair {
    lift: Lift,
    handle: Owned<rigging_lift>,
    core: Assessment,
    c: Owned<rigging_assessment>,
}

/// The demo lifts, one without what statics needs and one with a contingency, under every rule set of the library and a
/// firm's own.
fn pairs() -> Vec<Pair> {
    let mut texts: Vec<String> =
        ["generator-skid.json", "generator-skid-round-edge.json", "generator-skid-stiff-slings.json"].map(demo).into();
    texts.push(texts[1].replace("\"18.5 t\"", "\"unknown\""));
    texts.push(with_contingency());
    let mut rules: Vec<(RuleSet, Owned<rigging_rule_set>)> =
        RuleSet::built_in_names().iter().map(|name| (RuleSet::built_in(name).unwrap(), rule_set(name))).collect();
    rules.push((RuleSet::from_toml(&firm_rules()).unwrap(), read_rules(&firm_rules())));
    let mut pairs = Vec::new();
    for text in texts {
        for (core, c) in &rules {
            let lift = Lift::from_json(&text).unwrap();
            let handle = read_lift(&text);
            pairs.push(Pair { core: lift.assess(core).unwrap(), c: assess_under(&handle, c), lift, handle });
        }
    }
    pairs
}

fn same_missing(told: &rigging_missing_input, missing: &MissingInput) {
    assert_eq!(string(told.what), missing.what);
    assert_eq!(string(told.add), missing.add);
    assert_eq!(string(told.place), missing.place.as_str());
}

fn same_source(told: [rigging::text::rigging_text; 4], source: Option<&Source>) {
    let expected = source.map(|source| {
        [&source.document, &source.clause, &source.edition, source.standing.word()].map(str::to_owned).to_vec()
    });
    assert_eq!(told.into_iter().map(optional).collect::<Option<Vec<_>>>(), expected);
}

fn verdict(verdict: Verdict) -> i32 {
    match verdict {
        Verdict::Pass => 0,
        Verdict::Fail => 1,
        Verdict::CannotConclude => 2,
        Verdict::NotCovered => 3,
    }
}

fn same_finding(c: *const rigging_assessment, index: usize, finding: &Finding) {
    let mut told: rigging_finding = record();
    ok(|e| unsafe { rigging_assessment_finding(c, index, &mut told, e) });
    assert_eq!(told.verdict, verdict(finding.verdict));
    let severities = [Severity::Grave, Severity::Serious, Severity::Notice];
    assert_eq!(
        severities.iter().position(|severity| *severity == finding.severity),
        usize::try_from(told.severity).ok()
    );
    assert_eq!(string(told.code), finding.code.text());
    assert_eq!(string(told.item), finding.item);
    assert_eq!(string(told.place), finding.place.as_str());
    assert_eq!(string(told.text), finding.text);
    assert_eq!((told.has_demand == 1).then_some(told.demand), finding.demand.as_deref().map(Chain::value));
    assert_eq!((told.has_capacity == 1).then_some(told.capacity), finding.capacity.as_deref().map(Chain::value));
    assert_eq!((told.has_utilization == 1).then_some(told.utilization), finding.utilization);
    assert_eq!(told.demand.is_nan(), told.has_demand == 0);
    assert_eq!(optional(told.demand_unit), finding.demand.as_ref().map(|chain| chain.unit().to_owned()));
    assert_eq!(optional(told.capacity_unit), finding.capacity.as_ref().map(|chain| chain.unit().to_owned()));
    same_source(
        [told.source_document, told.source_clause, told.source_edition, told.source_standing],
        finding.source.as_ref(),
    );
    assert_eq!((told.missing_count, told.assumption_count), (finding.missing.len(), finding.assumptions.len()));
    for (number, missing) in finding.missing.iter().enumerate() {
        let mut told: rigging_missing_input = record();
        ok(|e| unsafe { rigging_assessment_missing(c, index, number, &mut told, e) });
        same_missing(&told, missing);
    }
    for (number, code) in finding.assumptions.iter().enumerate() {
        let mut told = rigging::text::rigging_text { data: std::ptr::null(), length: 0 };
        ok(|e| unsafe { rigging_assessment_finding_assumption(c, index, number, &mut told, e) });
        assert_eq!(string(told), code.text());
    }
    for (side, chain) in [(RIGGING_SIDE_DEMAND, &finding.demand), (RIGGING_SIDE_CAPACITY, &finding.capacity)] {
        match chain {
            Some(chain) => same_chain(c, index, side, chain),
            None => {
                let mut told: rigging_chain = record();
                let failed = failure(|e| unsafe { rigging_assessment_chain(c, index, side, &mut told, e) });
                assert_eq!(failed.code, RIGGING_NO_SUCH_ITEM);
            }
        }
    }
}

fn same_chain(c: *const rigging_assessment, finding: usize, side: i32, chain: &Chain) {
    let mut whole: rigging_chain = record();
    ok(|e| unsafe { rigging_assessment_chain(c, finding, side, &mut whole, e) });
    assert_eq!((string(whole.quantity), string(whole.unit)), (chain.quantity.to_string(), chain.unit().to_owned()));
    assert_eq!((whole.value, whole.step_count), (chain.value(), chain.steps.len() + 1));
    let mut running = f64::NAN;
    for index in 0..whole.step_count {
        let mut told: rigging_step = record();
        ok(|e| unsafe { rigging_assessment_step(c, finding, side, index, &mut told, e) });
        let step = index.checked_sub(1).map(|before| &chain.steps[before]);
        let term = step.map_or(&chain.base, |step| &step.term);
        assert_eq!((string(told.symbol), string(told.name)), (term.symbol.to_string(), term.name.to_string()));
        assert_eq!((told.value, string(told.unit)), (term.value, term.unit.to_string()));
        same_source(
            [told.source_document, told.source_clause, told.source_edition, told.source_standing],
            Some(&term.source),
        );
        // What a program in C can recompute from what it is told.
        running = match told.operation {
            RIGGING_OPERATION_BASE | RIGGING_OPERATION_BECOMES => told.value,
            RIGGING_OPERATION_TIMES => running * told.value,
            RIGGING_OPERATION_DIVIDED_BY => running / told.value,
            RIGGING_OPERATION_PLUS => running + told.value,
            RIGGING_OPERATION_GREATEST_OF => running.max(told.value),
            RIGGING_OPERATION_LEAST_OF => running.min(told.value),
            other => panic!("operation {other}"),
        };
        assert_eq!(told.result.to_bits(), running.to_bits(), "{}", chain.quantity);
        assert_eq!(told.operation == RIGGING_OPERATION_BASE, step.is_none());
        if let Some(step) = step {
            assert_eq!((told.result, string(told.result_unit)), (step.result, step.unit.to_string()));
            assert_eq!(told.acts == RIGGING_ACTS_ON_WEIGHT, step.acts == Acts::OnWeight);
            assert_eq!(told.acts == RIGGING_ACTS_ON_FORCE, step.acts == Acts::OnForce);
            assert_eq!(told.operation == RIGGING_OPERATION_BECOMES, step.operation == Operation::Becomes);
        } else {
            assert_eq!(told.acts, RIGGING_ACTS_NOT);
        }
        assert_eq!((told.input_count, told.branch_count), (term.inputs.len(), term.not_taken.len()));
        for (number, input) in term.inputs.iter().enumerate() {
            let mut told: rigging_input = record();
            ok(|e| unsafe { rigging_assessment_input(c, finding, side, index, number, &mut told, e) });
            assert_eq!((string(told.name), string(told.value)), (input.name.to_string(), input.value.to_string()));
        }
        for (number, branch) in term.not_taken.iter().enumerate() {
            let mut told: rigging_branch = record();
            ok(|e| unsafe { rigging_assessment_branch(c, finding, side, index, number, &mut told, e) });
            assert_eq!((string(told.name), told.value), (branch.name.to_string(), branch.value));
            same_source(
                [told.source_document, told.source_clause, told.source_edition, told.source_standing],
                Some(&branch.source),
            );
        }
    }
    assert_eq!(running.to_bits(), whole.value.to_bits());
}

#[test]
fn every_finding_and_chain_arrives() {
    let (mut findings, mut steps, mut inputs, mut branches) = (0, 0, 0, 0);
    for pair in pairs() {
        let mut count = 0;
        ok(|e| unsafe { rigging_assessment_finding_count(pair.c.0, &mut count, e) });
        assert_eq!(count, pair.core.findings.len());
        for (index, finding) in pair.core.findings.iter().enumerate() {
            same_finding(pair.c.0, index, finding);
            findings += 1;
            let terms = finding
                .demand
                .iter()
                .chain(&finding.capacity)
                .flat_map(|chain| std::iter::once(&chain.base).chain(chain.steps.iter().map(|step| &step.term)));
            for term in terms {
                inputs += term.inputs.len();
                branches += term.not_taken.len();
            }
            steps += finding.demand.iter().chain(&finding.capacity).map(|chain| chain.steps.len() + 1).sum::<usize>();
        }
    }
    println!("{findings} findings, {steps} steps of chains, {inputs} inputs, {branches} branches not taken");
    assert!(findings > 100 && steps > 200 && inputs > 100 && branches > 10);
}

#[test]
fn rules_assumptions_and_names_arrive() {
    for pair in pairs() {
        let mut identity: rigging_rule_set_identity = record();
        ok(|e| unsafe { rigging_assessment_rule_set(pair.c.0, &mut identity, e) });
        let rules = &pair.core.rules;
        assert_eq!(string(identity.name), rules.name);
        assert_eq!(string(identity.title), rules.title);
        assert_eq!(string(identity.edition), rules.edition);
        assert_eq!(string(identity.status), rules.status);
        assert_eq!(string(identity.hash), rules.hash);
        assert_eq!(optional(identity.note).as_deref(), rules.note.as_deref());
        for (index, assumption) in pair.core.assumptions.iter().enumerate() {
            let mut told: rigging_assumption = record();
            ok(|e| unsafe { rigging_assessment_assumption(pair.c.0, index, &mut told, e) });
            assert_eq!(
                (string(told.code), string(told.text)),
                (assumption.code.text().into(), assumption.text.to_string())
            );
        }
        let text = |call: &dyn Fn(*mut rigging::text::rigging_text, *mut rigging_error) -> i32| {
            let mut text = rigging::text::rigging_text { data: std::ptr::null(), length: 0 };
            ok(|e| call(&mut text, e));
            string(text)
        };
        assert_eq!(text(&|t, e| unsafe { rigging_assessment_lift_name(pair.c.0, t, e) }), pair.core.lift);
        assert_eq!(text(&|t, e| unsafe { rigging_assessment_lift_hash(pair.c.0, t, e) }), *pair.lift.hash());
        assert_eq!(text(&|t, e| unsafe { rigging_lift_hash(pair.handle.0, t, e) }), *pair.lift.hash());
        assert_eq!(text(&|t, e| unsafe { rigging_lift_name(pair.handle.0, t, e) }), pair.lift.document().name);
        for (index, leg) in pair.lift.document().legs.iter().enumerate() {
            assert_eq!(text(&|t, e| unsafe { rigging_lift_leg_name(pair.handle.0, index, t, e) }), leg.name);
        }
    }
}

#[test]
fn the_remedy_arrives() {
    let mut kinds = std::collections::BTreeSet::new();
    for pair in pairs() {
        let remedy = pair.core.remedy(&pair.lift).unwrap();
        let mut told: rigging_remedy = record();
        ok(|e| unsafe { rigging_assessment_remedy(pair.c.0, &mut told, e) });
        kinds.insert(told.kind);
        let length_tolerance = (told.has_length_tolerance == 1).then_some(told.length_tolerance_m);
        let capacity = (told.has_capacity == 1).then_some(told.capacity_n);
        let expected = match &remedy {
            Remedy::Add(missing) => {
                assert_eq!(told.missing_count, missing.len());
                for (index, missing) in missing.iter().enumerate() {
                    let mut told: rigging_missing_input = record();
                    ok(|e| unsafe { rigging_assessment_remedy_missing(pair.c.0, index, &mut told, e) });
                    same_missing(&told, missing);
                }
                (RIGGING_REMEDY_ADD, None, None, None)
            }
            Remedy::Passes { length_tolerance, capacity } => {
                (RIGGING_REMEDY_PASSES, *length_tolerance, Some(*capacity), None)
            }
            Remedy::Holds { length_tolerance, capacity } => {
                (RIGGING_REMEDY_HOLDS, *length_tolerance, Some(*capacity), None)
            }
            Remedy::Other(text) => (RIGGING_REMEDY_OTHER, None, None, Some(text.clone())),
        };
        assert_eq!((told.kind, length_tolerance, capacity, optional(told.text)), expected);
    }
    println!("kinds of remedy: {kinds:?}");
    assert!(kinds.len() >= 3);
}

#[test]
fn records_and_hashes_are_those_of_the_core() {
    for pair in pairs() {
        let (core, c) = (&pair.core, &pair.c);
        let remedy = core.remedy(&pair.lift).unwrap();
        let report = report::json::report(core, &remedy).unwrap();
        assert_eq!(written(|b, n, l, e| unsafe { rigging_assessment_report_json(c.0, b, n, l, e) }), report);
        let record = report::json::assessment(core).unwrap();
        assert_eq!(written(|b, n, l, e| unsafe { rigging_assessment_to_json(c.0, b, n, l, e) }), record);
        let hash = report::json::hash(core).unwrap();
        assert_eq!(written(|b, n, l, e| unsafe { rigging_assessment_hash(c.0, b, n, l, e) }), hash);
        assert_eq!(
            written(|b, n, l, e| unsafe { rigging_lift_canonical(pair.handle.0, b, n, l, e) }),
            pair.lift.canonical().unwrap()
        );
        if let Some(demand) = &core.demand {
            let nominal: Owned<rigging::equilibrium::rigging_certificate> =
                made(|slot, error| unsafe { rigging_assessment_nominal(c.0, slot, error) });
            let record = report::json::certificate(&demand.nominal).unwrap();
            assert_eq!(written(|b, n, l, e| unsafe { rigging_certificate_to_json(nominal.0, b, n, l, e) }), record);
        }
    }
}

#[test]
fn a_rule_set_of_the_user_loads_and_judges() {
    let text = firm_rules();
    let rules = read_rules(&text);
    let mut identity: rigging_rule_set_identity = record();
    ok(|e| unsafe { rigging_rule_set_identify(rules.0, &mut identity, e) });
    assert_eq!(string(identity.name), "firm-rules-7");
    assert_eq!(string(identity.hash), *RuleSet::from_toml(&text).unwrap().hash());
    let lift = read_lift(&demo("generator-skid-round-edge.json"));
    let assessed = assess_under(&lift, &rules);
    drop((lift, rules));
    let mut verdict = -1;
    ok(|e| unsafe { rigging_assessment_verdict(assessed.0, &mut verdict, e) });
    assert_eq!(verdict, RIGGING_VERDICT_PASS);
    ok(|e| unsafe { rigging_assessment_rule_set(assessed.0, &mut identity, e) });
    assert_eq!(string(identity.name), "firm-rules-7");
}

/// The text of an answer, as JSON.
fn told(answer: &Owned<rigging_answer>) -> serde_json::Value {
    let mut text = rigging_text { data: std::ptr::null(), length: 0 };
    ok(|e| unsafe { rigging_answer_text(answer.0, &mut text, e) });
    serde_json::from_str(&string(text)).unwrap()
}

#[test]
fn rule_files_are_put_together_looked_over_and_compared() {
    use rigging_core::rules::{difference, lint_with};
    let mut template = rigging_text { data: std::ptr::null(), length: 0 };
    ok(|e| unsafe { rigging_rule_set_template(&mut template, e) });
    let template = string(template);
    assert_eq!(template, RuleSet::template());
    let own = template.replace("hollow-ford-2026", "beside").replace("[[include]]", "# [[include]]");
    let own = own.replace("\ndocument = \"eu-en-1492-1\"\nanswers", "\n# document\n# answers");
    let set = "format = 1\nname = \"set\"\ntitle = \"set\"\nedition = \"1\"\nstatus = \"in force\"\n\
               [[include]]\ndocument = \"beside\"\n[[include]]\ndocument = \"eu-en-1492-1\"\n";
    let beside = [rigging_text { data: own.as_ptr().cast(), length: own.len() }];
    let rules: Owned<rigging_rule_set> = made(|slot, e| unsafe {
        rigging_rule_set_from_toml_with(set.as_ptr().cast(), set.len(), beside.as_ptr(), 1, slot, e)
    });
    let core = RuleSet::from_toml_with(set, &[&own]).unwrap();
    let documents: Owned<rigging_answer> = made(|slot, e| unsafe { rigging_rule_set_documents(rules.0, slot, e) });
    assert_eq!(told(&documents), serde_json::to_value(core.documents()).unwrap());
    assert_eq!(told(&documents).as_array().unwrap().len(), 2);

    let law = rule_set("us-general");
    let parted: Owned<rigging_answer> = made(|slot, e| unsafe { rigging_rules_difference(rules.0, law.0, slot, e) });
    let expected = difference(&core, &RuleSet::built_in("us-general").unwrap());
    assert_eq!(told(&parted), serde_json::to_value(&expected).unwrap());
    assert!(!expected.questions.is_empty());

    let careless = set.replace("\"1\"", "1");
    let complaints: Owned<rigging_answer> = made(|slot, e| unsafe {
        rigging_rules_lint(careless.as_ptr().cast(), careless.len(), beside.as_ptr(), 1, slot, e)
    });
    assert_eq!(told(&complaints), serde_json::to_value(lint_with(&careless, &[&own])).unwrap());
    assert_eq!(told(&complaints)[0]["line"], 4);

    let names: Vec<String> = (0..rigging_rule_set_document_count())
        .map(|index| {
            let mut name = rigging_text { data: std::ptr::null(), length: 0 };
            ok(|e| unsafe { rigging_rule_set_document_name(index, &mut name, e) });
            string(name)
        })
        .collect();
    assert_eq!(names, RuleSet::document_names());
}
