//! Questions about the balance of a lift through the C interface, against the core: four demo lifts, every question.
//!
//! What the core gives stands in `tests/reference/balance.txt` for the clients in the other languages to compare with, bit
//! for bit; this test holds that file to the core.
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing)]
#![allow(clippy::undocumented_unsafe_blocks, reason = "every call passes pointers to what stands in the same test")]

mod calls;

use calls::*;
use rigging::equilibrium::*;
use rigging::error::*;
use rigging::sampling::*;
use rigging::statics::matrix::*;
use rigging::statics::worst::*;
use rigging::statics::*;
use rigging_core::arrangement::Lift;
use rigging_core::checks::ReliabilityInputs;
use rigging_core::equilibrium::sampling::Sample;
use rigging_core::report::json;
use rigging_core::rules::RuleSet;
use rigging_core::statics::{Balance, ExperimentInputs, Measure, PeriodInputs, WorstInputs};
use serde_json::Value;
use std::fmt::Write;
use std::ptr::null;

const DOCUMENTS: [&str; 4] =
    ["generator-skid.json", "vessel-two-cranes.json", "panel-spreader.json", "frame-tall-item.json"];
const COUNT: usize = 6;
const TOLERANCE: f64 = 1e-9;

const HEAD: &str = "# What Rust answers about the balance of demo lifts, for clients in other languages to compare with. A regression value
# and no proof. One record a lift: its document; the inputs of the question about natural periods; the tension of each
# leg in N, the hook's or hooks' forces in N, and the derivatives of the tensions row after row, as the bits of doubles in
# hexadecimal; of each answer the number of bytes and the FNV-1a hash of its text (answer), and the number of numbers and
# the hash of their bits, most significant byte first, walked with the keys of each object in ascending order (numbers).
# What is asked: allowed forces 100 kN, that of the last leg not told; length error of leg i (i - 1)/1024 m; tolerance
# 1e-9; count 6.
# Rewrite it: RIGGING_REWRITE=1 cargo test -p rigging-ffi --test balance
";

/// Fowler, Noll, Vo: FNV-1a, 64 bits.
fn fnv(bytes: impl IntoIterator<Item = u8>) -> u64 {
    bytes.into_iter().fold(0xcbf2_9ce4_8422_2325, |hash, byte| (hash ^ u64::from(byte)).wrapping_mul(0x100_0000_01b3))
}

/// Every number of a record.
fn numbers(value: &Value, found: &mut Vec<f64>) {
    match value {
        Value::Number(number) => found.push(number.as_f64().unwrap()),
        Value::Array(items) => items.iter().for_each(|item| numbers(item, found)),
        Value::Object(entries) => {
            let mut keys: Vec<&String> = entries.keys().collect();
            keys.sort();
            keys.into_iter().for_each(|key| numbers(&entries[key], found));
        }
        _ => {}
    }
}

fn allowed(balance: &Balance) -> Vec<f64> {
    let mut allowed = vec![1e5; balance.legs().len()];
    *allowed.last_mut().unwrap() = f64::NAN;
    allowed
}

fn errors(balance: &Balance) -> Vec<f64> {
    (0..balance.legs().len()).map(|leg| (leg as f64 - 1.0) / 1024.0).collect()
}

/// Inertias that some body could have.
fn inputs(balance: &Balance) -> String {
    let inertia = |body: usize| format!("{{\"moments\": [{0}000, {0}500, {0}800]}}", 6 - body);
    let inertias: Vec<String> = (0..balance.bodies().len()).map(inertia).collect();
    let excitation = r#"{"name": "waves", "shortest": 4, "longest": 12.5, "source": "invented"}"#;
    format!("{{\"inertias\": [{}], \"excitations\": [{excitation}]}}", inertias.join(", "))
}

/// Every answer of the core as text, by its question.
fn answers(balance: &Balance) -> Vec<(&'static str, String)> {
    let told: Vec<Option<f64>> = allowed(balance).iter().map(|most| (!most.is_nan()).then_some(*most)).collect();
    let periods = PeriodInputs::from_json(&inputs(balance)).unwrap();
    vec![
        ("derivatives", json::answer(&balance.derivatives().unwrap()).unwrap()),
        ("margins", json::answer(&balance.margins().unwrap()).unwrap()),
        ("losses", json::answer(&balance.losses(&told).unwrap()).unwrap()),
        ("motions", json::answer(&balance.motions().unwrap()).unwrap()),
        ("modes", json::answer(&balance.modes(COUNT).unwrap()).unwrap()),
        ("self_stress", json::answer(&balance.self_stress(TOLERANCE).unwrap()).unwrap()),
        ("order", json::answer(&balance.order(&errors(balance), TOLERANCE).unwrap()).unwrap()),
        ("periods", json::answer(&balance.periods(&periods.inertias, COUNT, &periods.excitations).unwrap()).unwrap()),
        ("others", json::answer(&balance.others().unwrap()).unwrap()),
    ]
}

/// Tolerances of the skid, small enough to be bounded at once.
const TOLERANCES: &str =
    r#"{"lengths": [0.01, 0.01, 0.01, 0.01], "stiffness": [0.02, 0.02, 0.02, 0.02], "mass": 0.03, "gap": 0.02}"#;

#[test]
fn the_worst_case_is_the_same_through_the_boundary() {
    let lift = Lift::from_json(&demo("generator-skid.json")).unwrap();
    let core = lift.hang().unwrap();
    let handle = hang(&read_lift(&demo("generator-skid.json")));
    let (b, at, length) = (handle.0, TOLERANCES.as_ptr().cast(), TOLERANCES.len());
    let inputs = WorstInputs::from_json(TOLERANCES).unwrap();
    let worst = core.worst(&inputs).unwrap();
    assert_eq!((worst.legs.len(), worst.open.is_none()), (4, true));
    assert!(worst.legs.iter().all(|leg| leg.gap.is_some_and(|gap| (0.0..=0.02).contains(&gap))));
    assert_eq!(answer(|a, e| unsafe { rigging_balance_worst(b, at, length, a, e) }), json::answer(&worst).unwrap());
    for (number, measure) in [(RIGGING_MEASURE_OWN, Measure::Own), (RIGGING_MEASURE_LARGEST, Measure::Largest)] {
        let expected = json::answer(&core.common_tolerance(measure, 1.5, 0.02, &inputs).unwrap()).unwrap();
        let told = answer(|a, e| unsafe { rigging_balance_common_tolerance(b, number, 1.5, 0.02, at, length, a, e) });
        assert_eq!(told, expected);
    }
    let (longer, stiffer) = ([0.004, -0.002, 0.003, 0.0], [0.0, 0.02, -0.01, 0.0]);
    let expected = json::answer(&core.arrange(&longer, &stiffer).unwrap()).unwrap();
    assert_eq!(
        answer(|a, e| unsafe { rigging_balance_arrange(b, longer.as_ptr(), stiffer.as_ptr(), 4, a, e) }),
        expected
    );
}

#[test]
fn an_experiment_and_an_implied_index_are_the_same_through_the_boundary() {
    let (lift, core) =
        (read_lift(&demo("generator-skid.json")), Lift::from_json(&demo("generator-skid.json")).unwrap());
    let handle = hang(&lift);
    let inputs = r#"{"stiffness": [0, 0, 0, 0], "mass": 0, "center_of_gravity": [0, 0, 0], "seed": 7,
        "read_as": {"lengths": "uniform"}}"#;
    let mut experiment = std::ptr::null_mut();
    ok(|e| unsafe { rigging_balance_experiment(handle.0, inputs.as_ptr().cast(), inputs.len(), &mut experiment, e) });
    let (mut tension, mut tilt, mut status, mut state) = ([0.0; 400], [0.0; 100], [0; 100], [0; 100]);
    ok(|e| unsafe {
        let (tension, tilt) = (tension.as_mut_ptr(), tilt.as_mut_ptr());
        rigging_experiment_draw(experiment, 0, 100, 1, tension, tilt, status.as_mut_ptr(), state.as_mut_ptr(), e)
    });
    unsafe { rigging_experiment_free(experiment) };
    let mut sample = Sample::default();
    let inputs_of = ExperimentInputs::from_json(inputs).unwrap();
    sample.draw(&core.hang().unwrap().experiment(&inputs_of).unwrap(), 100, 1).unwrap();
    assert_eq!(sample.tension(), tension);
    let silent = inputs.replace(r#""lengths": "uniform""#, "");
    let missing = failure(|e| unsafe {
        rigging_balance_experiment(handle.0, silent.as_ptr().cast(), silent.len(), &mut std::ptr::null_mut(), e)
    });
    assert_eq!(missing.code, RIGGING_MISSING);

    let rules = rule_set("us-general");
    let strength = r#"{"mean": 5e5, "variation": 0.08}"#;
    let asked = format!(
        r#"{{"experiment": {inputs}, "strengths": [{strength}, {strength}, {strength}, {strength}], "rows": 1000}}"#
    );
    let (set, of) = (RuleSet::built_in("us-general").unwrap(), ReliabilityInputs::from_json(&asked).unwrap());
    let expected = json::answer(&core.implied_indices(&set, &of).unwrap()).unwrap();
    let told = |text: &str, slot, e| unsafe {
        rigging_lift_implied_indices(lift.0, rules.0, text.as_ptr().cast(), text.len(), slot, e)
    };
    assert_eq!(answer(|a, e| told(&asked, a, e)), expected);
    let unknown = asked.replacen(strength, "\"unknown\"", 1);
    assert_eq!(failure(|e| told(&unknown, &mut std::ptr::null_mut(), e)).code, RIGGING_MISSING);
}

#[test]
fn a_question_about_tolerances_says_what_is_wrong_with_it() {
    let handle = hang(&read_lift(&demo("generator-skid.json")));
    let worst = |text: &str| {
        failure(|e| unsafe {
            rigging_balance_worst(handle.0, text.as_ptr().cast(), text.len(), &mut std::ptr::null_mut(), e)
        })
        .code
    };
    assert_eq!(worst(r#"{"stiffness": [0, 0, 0], "mass": 0}"#), RIGGING_INCONSISTENT);
    assert_eq!(worst(r#"{"stiffness": [0, 0, 0, -1], "mass": 0}"#), RIGGING_OUT_OF_DOMAIN);
    assert_eq!(worst(r#"{"stiffness": [0, 0, 0, 0], "mass": 0, "gap": 0}"#), RIGGING_OUT_OF_DOMAIN);
    let text = demo("generator-skid.json").replace(
        "\"length\": { \"value\": \"6.000 m\", \"measured\": \"whole_leg\", \"tolerance\": \"30 mm\" }",
        "\"length\": { \"value\": \"6.000 m\", \"measured\": \"whole_leg\" }",
    );
    let silent = hang(&read_lift(&text));
    let inputs = r#"{"stiffness": [0, 0, 0, 0], "mass": 0}"#;
    let missing = failure(|e| unsafe {
        rigging_balance_worst(silent.0, inputs.as_ptr().cast(), inputs.len(), &mut std::ptr::null_mut(), e)
    });
    assert_eq!(missing.code, RIGGING_MISSING);
    // Heights of several hooks are asked for.
    let (text, bounded) =
        (demo("vessel-two-cranes.json"), |heights: &str| format!(r#"{{"stiffness": [0, 0], "mass": 0.03{heights}}}"#));
    let two = hang(&read_lift(&text));
    let (silent, told) = (bounded(""), bounded(r#", "hook_heights": [0.1, 0.1]"#));
    let missing = failure(|e| unsafe {
        rigging_balance_worst(two.0, silent.as_ptr().cast(), silent.len(), &mut std::ptr::null_mut(), e)
    });
    assert_eq!(missing.code, RIGGING_MISSING);
    let core = Lift::from_json(&text).unwrap().hang().unwrap().worst(&WorstInputs::from_json(&told).unwrap()).unwrap();
    assert_eq!((core.hooks.len(), core.hooks.iter().all(|hook| hook.bound.is_some())), (2, true));
    let answer = answer(|a, e| unsafe { rigging_balance_worst(two.0, told.as_ptr().cast(), told.len(), a, e) });
    assert_eq!(answer, json::answer(&core).unwrap());
    let measure = failure(|e| unsafe {
        let (at, length) = (inputs.as_ptr().cast(), inputs.len());
        rigging_balance_common_tolerance(handle.0, 2, 1.5, 0.02, at, length, &mut std::ptr::null_mut(), e)
    });
    assert_eq!(measure.code, RIGGING_OUT_OF_DOMAIN);
}

/// The same through the boundary.
fn asked(handle: &Owned<rigging_balance>, balance: &Balance) -> Vec<(&'static str, String)> {
    let (allowed, errors, inputs) = (allowed(balance), errors(balance), inputs(balance));
    let b = handle.0;
    vec![
        ("derivatives", answer(|a, e| unsafe { rigging_balance_derivatives(b, a, e) })),
        ("margins", answer(|a, e| unsafe { rigging_balance_margins(b, a, e) })),
        ("losses", answer(|a, e| unsafe { rigging_balance_losses(b, allowed.as_ptr(), allowed.len(), a, e) })),
        ("motions", answer(|a, e| unsafe { rigging_balance_motions(b, a, e) })),
        ("modes", answer(|a, e| unsafe { rigging_balance_modes(b, COUNT, a, e) })),
        ("self_stress", answer(|a, e| unsafe { rigging_balance_self_stress(b, TOLERANCE, a, e) })),
        ("order", answer(|a, e| unsafe { rigging_balance_order(b, errors.as_ptr(), errors.len(), TOLERANCE, a, e) })),
        (
            "periods",
            answer(|a, e| unsafe { rigging_balance_periods(b, inputs.as_ptr().cast(), inputs.len(), COUNT, a, e) }),
        ),
        ("others", answer(|a, e| unsafe { rigging_balance_others(b, a, e) })),
    ]
}

fn bits(word: &str, values: impl IntoIterator<Item = f64>) -> String {
    values.into_iter().fold(word.to_owned(), |mut line, value| {
        write!(line, " {:016x}", value.to_bits()).unwrap();
        line
    })
}

/// The record of one lift.
fn record_of(document: &str, balance: &Balance, answers: &[(&str, String)]) -> String {
    let mut text = format!("\nlift {document}\nperiods {}\n", inputs(balance));
    let certificate = balance.certificate();
    writeln!(text, "{}", bits("tension", certificate.members.iter().map(|member| member.tension))).unwrap();
    for force in &certificate.hooks {
        writeln!(text, "{}", bits("hook", force.to_array())).unwrap();
    }
    for row in balance.derivatives().unwrap().rows {
        writeln!(text, "{}", bits("row", row.tensions)).unwrap();
    }
    for (question, answer) in answers {
        let mut found = Vec::new();
        numbers(&serde_json::from_str(answer).unwrap(), &mut found);
        writeln!(text, "answer {question} {} {:016x}", answer.len(), fnv(answer.bytes())).unwrap();
        let hash = fnv(found.iter().flat_map(|number| number.to_bits().to_be_bytes()));
        writeln!(text, "numbers {question} {} {hash:016x}", found.len()).unwrap();
    }
    text
}

#[test]
fn every_answer_is_that_of_the_core_and_stands_in_the_reference_of_the_clients() {
    let mut text = HEAD.to_owned();
    let mut compared = 0;
    for document in DOCUMENTS {
        let balance = Lift::from_json(&demo(document)).unwrap().hang().unwrap();
        let handle = hang(&read_lift(&demo(document)));
        let answers = answers(&balance);
        for (own, through) in answers.iter().zip(asked(&handle, &balance)) {
            assert_eq!(own, &through, "{document}");
            compared += 1;
        }
        text.push_str(&record_of(document, &balance, &answers));
    }
    println!("{compared} answers of {} lifts compared, 0 skipped", DOCUMENTS.len());
    assert_eq!(compared, 9 * 4);
    let path = repository().join("tests/reference/balance.txt");
    if std::env::var("RIGGING_REWRITE").is_ok_and(|value| value == "1") {
        std::fs::write(&path, &text).unwrap();
    }
    assert_eq!(std::fs::read_to_string(&path).unwrap_or_default(), text);
}

#[test]
fn the_matrix_is_the_derivatives_and_its_rows_have_names() {
    for document in DOCUMENTS {
        let balance = Lift::from_json(&demo(document)).unwrap().hang().unwrap();
        let derivatives = balance.derivatives().unwrap();
        let handle = hang(&read_lift(&demo(document)));
        let mut count = 0;
        ok(|e| unsafe { rigging_balance_parameter_count(handle.0, &mut count, e) });
        assert_eq!(count, derivatives.rows.len());
        let legs = balance.legs().len();
        let mut matrix = vec![f64::NAN; count * legs];
        ok(|e| unsafe { rigging_balance_tension_matrix(handle.0, matrix.as_mut_ptr(), matrix.len(), e) });
        for (index, (row, tensions)) in derivatives.rows.iter().zip(matrix.chunks(legs)).enumerate() {
            assert_eq!(row.tensions, tensions);
            let mut parameter: rigging_parameter = record();
            ok(|e| unsafe { rigging_balance_parameter(handle.0, index, &mut parameter, e) });
            assert_eq!(
                (string(parameter.quantity).as_str(), string(parameter.item)),
                (row.parameter, row.item.clone())
            );
            assert_eq!((optional(parameter.axis).as_deref(), string(parameter.unit).as_str()), (row.axis, row.unit));
        }
    }
}

#[test]
fn the_certificate_is_that_of_a_solve_and_tells_the_joints() {
    // A joint between the hook and two legs, on a pendant of its own.
    let text = demo("generator-skid-round-edge.json");
    let handle = hang(&read_lift(&text));
    let certificate: Owned<rigging_certificate> = made(|c, e| unsafe { rigging_balance_certificate(handle.0, c, e) });
    let solved: Owned<rigging_certificate> = made(|c, e| unsafe { rigging_lift_solve(read_lift(&text).0, c, e) });
    let json = |certificate: &Owned<rigging_certificate>| {
        written(|b, n, l, e| unsafe { rigging::report::rigging_certificate_to_json(certificate.0, b, n, l, e) })
    };
    assert_eq!(json(&certificate), json(&solved));
    let mut figures: rigging_certificate_figures = record();
    ok(|e| unsafe { rigging_certificate_tell(certificate.0, &mut figures, e) });
    assert_eq!(figures.joint_count, 0);

    let joined = joined();
    let core = Lift::from_json(&joined).unwrap().solve().unwrap();
    let handle = hang(&read_lift(&joined));
    let certificate: Owned<rigging_certificate> = made(|c, e| unsafe { rigging_balance_certificate(handle.0, c, e) });
    ok(|e| unsafe { rigging_certificate_tell(certificate.0, &mut figures, e) });
    assert_eq!((figures.joint_count, core.joints.len()), (1, 1));
    let mut position = [f64::NAN; 3];
    ok(|e| unsafe { rigging_certificate_joint(certificate.0, 0, position.as_mut_ptr(), e) });
    assert_eq!(position, core.joints[0].to_array());
    let beyond = failure(|e| unsafe { rigging_certificate_joint(certificate.0, 1, position.as_mut_ptr(), e) });
    assert_eq!(beyond.code, RIGGING_NO_SUCH_ITEM);
}

/// The skid below a pendant: its legs meet at a joint, and one more leg leads from there to the hook.
fn joined() -> String {
    let mut document: Value = serde_json::from_str(&demo("generator-skid-round-edge.json")).unwrap();
    let hook = document["hooks"][0]["name"].clone();
    let mut pendant = document["slings"][0].clone();
    pendant["name"] = "pendant".into();
    pendant["identity"] = "P-1".into();
    document["slings"].as_array_mut().unwrap().push(pendant);
    for leg in document["legs"].as_array_mut().unwrap() {
        for station in leg["path"].as_array_mut().unwrap() {
            if station["end"] == hook {
                station["end"] = "ring".into();
            }
        }
    }
    document["joints"] = serde_json::json!([{"name": "ring", "position": ["0.45 m", "-0.12 m", "5.4 m"]}]);
    document["hooks"][0]["position"] = serde_json::json!(["0.45 m", "-0.12 m", "11.4 m"]);
    let leg = serde_json::json!({"name": "pendant leg", "hitch": "straight", "path": [{"end": hook}, {"end": "ring"}], "items": ["pendant"], "contacts": []});
    document["legs"].as_array_mut().unwrap().push(leg);
    document.to_string()
}

#[test]
fn an_unstable_balance_refuses_what_it_cannot_answer_and_answers_the_rest() {
    let text = demo("frame-tall-item.json").replace("\"-2.980 m\"", "\"-2.000 m\"");
    let handle = hang(&read_lift(&text));
    for (name, code) in [
        (
            "derivatives",
            failure(|e| unsafe { rigging_balance_derivatives(handle.0, &mut std::ptr::null_mut(), e) }).code,
        ),
        ("margins", failure(|e| unsafe { rigging_balance_margins(handle.0, &mut std::ptr::null_mut(), e) }).code),
        (
            "losses",
            failure(|e| unsafe { rigging_balance_losses(handle.0, null(), 0, &mut std::ptr::null_mut(), e) }).code,
        ),
    ] {
        assert_eq!(code, RIGGING_UNSUPPORTED, "{name}");
    }
    let mut count = 77;
    let refused = failure(|e| unsafe { rigging_balance_parameter_count(handle.0, &mut count, e) });
    assert_eq!((refused.code, count), (RIGGING_UNSUPPORTED, 77));
    let modes: Value =
        serde_json::from_str(&answer(|a, e| unsafe { rigging_balance_modes(handle.0, 1, a, e) })).unwrap();
    assert!(modes[0]["stiffness"].as_f64().unwrap() < 0.0);
}

#[test]
fn an_answer_outlives_what_it_was_made_from() {
    let lift = read_lift(&demo("generator-skid.json"));
    let handle = hang(&lift);
    drop(lift);
    let motions: Owned<answer::rigging_answer> = made(|a, e| unsafe { rigging_balance_motions(handle.0, a, e) });
    drop(handle);
    let mut text = rigging::text::rigging_text { data: null(), length: 0 };
    ok(|e| unsafe { answer::rigging_answer_text(motions.0, &mut text, e) });
    assert!(string(text).starts_with("[{\"words\":\""));
}
