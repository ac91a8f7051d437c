//! The demo documents to the last bit, so that C and Python can be held against Rust.
//!
//! `reference/demo-bits.json` is written by this test when `RIGGING_REWRITE=1` and compared otherwise. Origin of the
//! values: regression, our own output; it proves that the languages agree and nothing else.

use rigging_core::{arrangement::Lift, digest, report, rules::RuleSet};
use serde_json::{Value, json};
use std::error::Error;
use std::path::Path;

const DEMOS: [&str; 3] = ["generator-skid", "generator-skid-round-edge", "generator-skid-stiff-slings"];

fn bits(value: f64) -> String {
    format!("{:016x}", value.to_bits())
}

fn assessed(lift: &Lift, rules: &str) -> Result<Value, Box<dyn Error>> {
    let rules = RuleSet::built_in(rules)?;
    let assessment = lift.assess(&rules)?;
    let text = report::text(&assessment, &assessment.remedy(lift)?);
    Ok(json!({
        "verdict": assessment.verdict,
        "worst": assessment.legs.iter().map(|leg| bits(leg.worst)).collect::<Vec<_>>(),
        "utilizations": assessment.findings.iter().map(|finding| finding.utilization.map(bits)).collect::<Vec<_>>(),
        "report_sha256": digest::sha256(&text),
        "record_sha256": report::json::hash(&assessment)?,
    }))
}

fn demo(name: &str) -> Result<Value, Box<dyn Error>> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("../rigging-core/examples/lifts/{name}.json"));
    let lift = Lift::from_json(&std::fs::read_to_string(path)?)?;
    let certificate = lift.solve()?;
    let mut assessments = serde_json::Map::new();
    for rules in RuleSet::built_in_names() {
        assessments.insert((*rules).to_owned(), assessed(&lift, rules)?);
    }
    Ok(json!({
        "document": format!("{name}.json"),
        "lift_sha256": lift.hash(),
        "certificate_sha256": digest::sha256(&report::json::certificate(&certificate)?),
        "tensions": certificate.members.iter().map(|member| bits(member.tension)).collect::<Vec<_>>(),
        "assessments": assessments,
    }))
}

#[test]
fn the_table_is_what_rust_computes() -> Result<(), Box<dyn Error>> {
    let demos = DEMOS.iter().map(|name| demo(name)).collect::<Result<Vec<_>, _>>()?;
    let table = json!({
        "about": "Bits of doubles in hexadecimal, hashes of texts in UTF-8; rewritten by RIGGING_REWRITE=1 cargo test --test demo_bits",
        "origin": "regression",
        "demos": demos,
    });
    let mut text = serde_json::to_string_pretty(&table)?;
    text.push('\n');
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("reference/demo-bits.json");
    if std::env::var_os("RIGGING_REWRITE").is_some_and(|value| value == "1") {
        std::fs::write(&path, &text)?;
    }
    let committed = std::fs::read_to_string(&path)?;
    let differing = committed.lines().zip(text.lines()).find(|(committed, new)| committed != new);
    assert_eq!(differing, None, "demo-bits.json is stale: RIGGING_REWRITE=1 cargo test --test demo_bits");
    assert_eq!(committed, text);
    println!("{} documents under {} rule sets, 0 skipped", DEMOS.len(), RuleSet::built_in_names().len());
    Ok(())
}
