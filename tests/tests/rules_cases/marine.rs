//! The marine guideline: every entry that a single-hook lift needs.

use super::{Check, Expected, Proof, TRANSCRIBED, entries, half_digit, si};
use rigging_core::rules::{Facts, Question};
use serde_json::Value;
use std::collections::BTreeMap;

/// Entries that this part does not use, by prefix of their id, with the reason.
const UNUSED: &[(&str, &str)] = &[
    ("nd0027-2hook-", "in the document marine-0027-nd-2016-further"),
    ("nd0027-B1-", "in the document marine-0027-nd-2016-further"),
    ("nd0027-shackle-proof-", "in the document marine-0027-nd-2016-further"),
    ("nd0027-beam-proof-", "in the document marine-0027-nd-2016-further"),
    ("nd0027-pinhole-", "in the document marine-0027-nd-2016-further"),
    ("nd0027-padeye-", "in the document marine-0027-nd-2016-further"),
    ("nd0027-oval-", "in the document marine-0027-nd-2016-further"),
];

pub fn matched_pairs() -> Facts {
    Facts::new()
        .word("material", "steel")
        .word("rope lay", "single-laid")
        .word("sling pairing", "matched pairs")
        .word("configuration", "four legs")
        .word("statically determinate", "no")
        .word("longer slings on one diagonal", "no")
        .number("sling length tolerance in diameters", 2.0, "")
        .number("pair length difference in diameters", 1.0, "")
        .number("mass per length", 6.5, "kg/m")
        .number("rope diameter", 40.0, "mm")
        .number("utilization with the skew factor", 0.75, "")
}

fn factors(inputs: &Value) -> Facts {
    let mut facts = Facts::new().word("twisting possible", "yes");
    for (key, name) in [
        ("gf", "load factor"),
        ("gc", "consequence factor"),
        ("gr", "reduction factor"),
        ("gw", "wear factor"),
        ("gm", "material factor"),
        ("gtw", "twist factor"),
    ] {
        facts = facts.number(name, inputs[key].as_f64().unwrap(), "");
    }
    facts
}

/// Question, facts and kind of proof of one entry; `None` if it is not of this part.
fn asked(id: &str, inputs: &Value) -> Option<Vec<(Proof, Question, Facts)>> {
    let steel = || Facts::new().word("material", "steel");
    let fiber = |material: &str| Facts::new().word("material", material).word("construction", "fiber rope");
    let transcribed = |question, facts| Some(vec![(Proof::Transcribed, question, facts)]);
    let relation = |question, facts| Some(vec![(Proof::Relation, question, facts)]);
    let number = |key: &str| inputs[key].as_f64().unwrap();
    if id == "nd0027-daf-min-weight" {
        return transcribed(Question::LeastItemWeight, Facts::new());
    }
    if id.starts_with("nd0027-daf-") {
        let place = Facts::new().word("place", inputs["location"].as_str().unwrap()).word("vessels", "one");
        if inputs["gross_weight_t"].is_number() {
            return transcribed(Question::DynamicFactor, place.number("gross weight", number("gross_weight_t"), "t"));
        }
        let load = number("static_hook_load_t");
        let facts = place.number("gross weight", load, "t").number("static hook load", load, "t");
        return relation(Question::DynamicFactor, facts);
    }
    if id.starts_with("nd0027-gsf-") {
        let untwisted = factors(inputs).word("twisting possible", "no").unknown("twist factor");
        return Some(vec![
            (Proof::Relation, Question::NominalSafetyFactor, factors(inputs)),
            (Proof::Relation, Question::NominalSafetyFactor, untwisted),
        ]);
    }
    if id.starts_with("nd0027-gf-detailed-") {
        let facts = Facts::new().word("dynamic analysis", "detailed").number(
            "environmental share of load",
            number("env_over_total_load"),
            "",
        );
        return relation(Question::LoadFactor, facts);
    }
    if id.starts_with("nd0027-gs-") {
        let (construction, termination) = match inputs["termination"].as_str().unwrap() {
            "wire-handsplice" => ("wire rope", "hand splice"),
            "wire-steel-ferrule" => ("wire rope", "steel ferrule"),
            "wire-resin-socket" => ("wire rope", "resin socket"),
            "cablelaid-sling-handsplice" => ("cable-laid rope", "hand splice"),
            "cablelaid-grommet" => ("cable-laid grommet", "endless"),
            other => panic!("termination {other}"),
        };
        let facts = Facts::new().word("construction", construction).word("termination", termination);
        return transcribed(Question::TerminationFactor, facts);
    }
    match id {
        "nd0027-skl-4sling" => transcribed(Question::SkewFactor, matched_pairs()),
        "nd0027-skl-E" => transcribed(Question::ElasticModulus, steel().word("rope lay", "single-laid")),
        "nd0027-skl-EA-40" => {
            let facts = steel().word("rope lay", "single-laid").number("rope diameter", number("rope_d_mm"), "mm");
            relation(Question::AxialStiffness, facts)
        }
        "nd0027-2part-fixed" => transcribed(Question::PartShare, Facts::new().word("part bearing", "fixed")),
        "nd0027-2part-greased-sheave" => {
            transcribed(Question::PartShare, Facts::new().word("part bearing", "greased sheave"))
        }
        "nd0027-gf" => transcribed(Question::LoadFactor, Facts::new().word("dynamic analysis", "none")),
        "nd0027-gc" => {
            transcribed(Question::ConsequenceFactor, Facts::new().word("consequence of failure", "total loss"))
        }
        "nd0027-gb-1" | "nd0027-gb-2" | "nd0027-gb-4" | "nd0027-gb-5" | "nd0027-gb-7" => {
            let facts = steel().word("bend at", "body").number("bend ratio", number("D_over_d"), "");
            Some(vec![
                (Proof::Transcribed, Question::BendingFactor, facts.clone().word("taken from", "table")),
                (Proof::Relation, Question::BendingFactor, facts.clone().word("taken from", "relation")),
                (Proof::Relation, Question::BendingFactor, facts.word("bend at", "eye").word("taken from", "relation")),
            ])
        }
        "nd0027-gb-min" => transcribed(Question::LeastBendRatio, steel().word("bend at", "body")),
        "nd0027-gb-eye" => transcribed(Question::RecommendedBendRatio, steel().word("bend at", "eye")),
        "nd0027-gr-rule" => {
            let facts =
                Facts::new().number("termination factor", number("gs"), "").number("bending factor", number("gb"), "");
            relation(Question::ReductionFactor, facts)
        }
        "nd0027-gw-steel-inspected" => transcribed(Question::WearFactor, steel().word("service", "inspected")),
        "nd0027-gw-frequent-no-inspection" => Some(
            [steel(), fiber("HMPE")]
                .map(|facts| {
                    (Proof::Transcribed, Question::WearFactor, facts.word("service", "frequent without inspection"))
                })
                .to_vec(),
        ),
        "nd0027-gw-fibre-jacketed" => {
            transcribed(Question::WearFactor, fiber("polyester").word("service", "jacket intact"))
        }
        "nd0027-gm-steel-certified" => {
            transcribed(Question::MaterialFactor, steel().word("certification", "certified"))
        }
        "nd0027-gm-polyester" | "nd0027-gm-HMPE" | "nd0027-gm-aramid" => {
            let material = inputs["material"].as_str().unwrap();
            transcribed(Question::MaterialFactor, fiber(material).word("certification", "certified"))
        }
        "nd0027-gm-fibre-robust-cert-minimum" => {
            transcribed(Question::MaterialFactor, fiber("HMPE").word("certification", "robust process"))
        }
        "nd0027-sf-min-fibre" => Some(vec![
            (
                Proof::Transcribed,
                Question::LeastSafetyFactor,
                fiber("HMPE").word("maker states a least safety factor", "no"),
            ),
            (
                Proof::Relation,
                Question::LeastSafetyFactor,
                fiber("HMPE").word("maker states a least safety factor", "yes").number(
                    "maker's least safety factor",
                    2.0,
                    "",
                ),
            ),
        ]),
        "nd0027-grommet-single" => {
            let facts = Facts::new().word("construction", "wire rope grommet").word("reeving", "straight pull");
            transcribed(Question::GrommetPartFraction, facts)
        }
        "nd0027-insp-offshore" => transcribed(Question::CertificateAge, Facts::new().word("place", "offshore")),
        "nd0027-shackle-visual" => transcribed(Question::ShackleVisualCheck, Facts::new()),
        _ => None,
    }
}

/// Checks from the published data, and what is not used, with the reason, by prefix.
pub fn published() -> (Vec<Check>, BTreeMap<String, usize>) {
    let mut checks = Vec::new();
    let mut unused: BTreeMap<String, usize> = BTreeMap::new();
    for entry in entries("published-intl.json") {
        if !entry["source"].as_str().unwrap().starts_with("0027/ND Rev 11.2") {
            continue;
        }
        let id = entry["id"].as_str().unwrap();
        let unit = entry["unit"].as_str().unwrap();
        let printed = || si(entry["value"].as_f64().unwrap(), unit);
        if id == "nd0027-shackle-mbl" {
            // The divisor itself: of a breaking load of 300 kN, with the other two limits out of the way.
            let facts = Facts::new()
                .number("working load limit", 5000.0, "kN")
                .number("dynamic factor", 1.1, "")
                .number("breaking load", 300.0, "kN")
                .number("proof load", 5000.0, "kN");
            let limit = 300e3 / printed();
            let expected = Expected::Value { si: limit, tolerance: TRANSCRIBED * limit };
            checks.push(Check::new(id, Proof::Transcribed, Question::ShackleDynamicLimit, facts, expected));
            continue;
        }
        let Some(asked) = asked(id, &entry["inputs"]) else {
            let (prefix, reason) = UNUSED
                .iter()
                .find(|(prefix, _)| id.starts_with(prefix))
                .unwrap_or_else(|| panic!("{id} is neither used nor named as unused"));
            *unused.entry(format!("{prefix}: {reason}")).or_default() += 1;
            continue;
        };
        let si_value = printed();
        for (proof, question, facts) in asked {
            let tolerance = match proof {
                Proof::Transcribed => TRANSCRIBED * si_value,
                // One part in 1e12 beyond the half digit: the figure may lie exactly on the rounding limit.
                _ => si(half_digit(&entry), unit) * (1.0 + 1e-9) + 1e-12,
            };
            checks.push(Check::new(id, proof, question, facts, Expected::Value { si: si_value, tolerance }));
        }
    }
    (checks, unused)
}
