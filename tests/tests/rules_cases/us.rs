//! US federal rules: the tables of the guidance on sling use, and single figures of the law.

use super::{Check, Expected, Proof, TRANSCRIBED, entries, si};
use rigging_core::rules::{Facts, Question};
use serde_json::Value;
use std::collections::BTreeMap;

/// The guidance prints loads to 100 lbf after rounding both ways; its own relation n·V·sin(angle) meets every cell
/// within 100 lbf or 1 %, whichever is more.
const GUIDANCE_ROUNDING_LBF: f64 = 100.0;
const GUIDANCE_ROUNDING_SHARE: f64 = 0.01;

fn chain(entry: &Value) -> Facts {
    let inputs = &entry["inputs"];
    let configuration = match inputs["legs_configuration"].as_str().unwrap() {
        "1" => "single leg",
        "2" => "two legs",
        "3-4" => "four legs",
        other => panic!("legs {other}"),
    };
    let hitch = if inputs["hitch"] == "choker" { "choker" } else { "straight" };
    Facts::new()
        .word("construction", "chain")
        .word("material", "steel")
        .word("grade", &inputs["chain_grade"].to_string())
        .word("configuration", configuration)
        .word("hitch", hitch)
        .number("chain size", inputs["chain_size_in"].as_f64().unwrap(), "in")
        .number("angle from horizontal", inputs["angle_from_horizontal_deg"].as_f64().unwrap(), "deg")
        .number("choke angle", 135.0, "deg")
}

/// The single-leg value of the entry's own hitch.
fn single_leg(entry: &Value) -> Option<f64> {
    let key = if entry["inputs"]["hitch"] == "choker" { "single_leg_choker_lbf" } else { "single_leg_vertical_lbf" };
    entry["inputs"][key].as_f64()
}

fn table_cell(entry: &Value) -> Vec<Check> {
    let id = entry["id"].as_str().unwrap();
    let value = entry["value"].as_f64().unwrap();
    let facts = chain(entry);
    let table = facts.clone().word("taken from", "table");
    if entry["suspect"] == true {
        return vec![Check::new(id, Proof::Transcribed, Question::RatedValue, table, Expected::Withheld(Some(value)))];
    }
    let exact = Expected::Value { si: si(value, "lbf"), tolerance: TRANSCRIBED * si(value, "lbf") };
    let mut checks = vec![Check::new(id, Proof::Transcribed, Question::RatedValue, table, exact)];
    if let Some(single) = single_leg(entry) {
        let tolerance = GUIDANCE_ROUNDING_LBF.max(GUIDANCE_ROUNDING_SHARE * value);
        checks.push(Check::new(
            format!("{id} by n·V·sin"),
            Proof::Relation,
            Question::RatedValue,
            facts.word("taken from", "relation").number("single-leg rated value", single, "lbf"),
            Expected::Value { si: si(value, "lbf"), tolerance: si(tolerance, "lbf") },
        ));
    }
    checks
}

/// Checks from the published data, and what is not used, with the reason, by id.
pub fn published() -> (Vec<Check>, BTreeMap<String, usize>) {
    let mut checks = Vec::new();
    let mut unused: BTreeMap<String, usize> = BTreeMap::new();
    for entry in entries("published-us.json") {
        let source = entry["source"].as_str().unwrap();
        let id = entry["id"].as_str().unwrap();
        if source.starts_with("US OSHA (Dept. of Labor), Guidance on Safe Sling Use") {
            checks.extend(table_cell(&entry));
        } else if source.starts_with("29 CFR 1910.184") && !["cfr1910_184_vertical", "fibre_curv_small"].contains(&id) {
            let reason = "in the document us-29-cfr-1910-184-1970s: the marking governs now";
            *unused.entry(format!("n184_16: {reason}")).or_default() += 1;
        }
    }
    let proof_loads = entries("published-intl.json").iter().filter(|entry| entry["id"] == "osha-proof-custom").count();
    unused.insert("osha-proof-custom: in the document us-29-cfr-1926-251".to_owned(), proof_loads);
    (checks, unused)
}

/// The same figures a second time: single-leg values named beside others.
pub fn second_readings() -> Vec<Check> {
    let mut checks = Vec::new();
    let mut seen = Vec::new();
    for entry in entries("published-us.json") {
        let inputs = &entry["inputs"];
        if !entry["source"].as_str().unwrap().starts_with("US OSHA") || inputs["legs_configuration"] == "1" {
            continue;
        }
        let Some(single) = single_leg(&entry) else { continue };
        let mut one = entry.clone();
        one["inputs"]["legs_configuration"] = "1".into();
        one["inputs"]["angle_from_horizontal_deg"] = 90.into();
        let key = format!("{} {} {}", inputs["chain_grade"], inputs["chain_size_in"], inputs["hitch"]);
        if seen.contains(&key) {
            continue;
        }
        let si = si(single, "lbf");
        checks.push(Check::new(
            format!("single leg of grade, size, hitch {key}"),
            Proof::SecondReading,
            Question::RatedValue,
            chain(&one).word("taken from", "table"),
            Expected::Value { si, tolerance: TRANSCRIBED * si },
        ));
        seen.push(key);
    }
    // The choker rating of one leg is 0.8 of its vertical rating, printed to 100 lbf.
    for entry in entries("published-us.json") {
        let vertical = entry["inputs"]["single_leg_vertical_lbf"].as_f64();
        if let (Some(vertical), "choker") = (vertical, entry["inputs"]["hitch"].as_str().unwrap_or_default())
            && entry["source"].as_str().unwrap().starts_with("US OSHA")
        {
            let ratio = entry["value"].as_f64().unwrap() / vertical;
            checks.push(Check::new(
                format!("{} against vertical", entry["id"].as_str().unwrap()),
                Proof::Relation,
                Question::ChokeFactor,
                chain(&entry),
                Expected::Value { si: ratio, tolerance: 0.5 * GUIDANCE_ROUNDING_LBF / vertical },
            ));
        }
    }
    checks
}
