//! The reference cases that are bridles with linear stretch, to the last bit, as single calculations and as one batch, so
//! that the arrays of C and Python can be held against Rust.
//!
//! `reference/batch-bits.json` is written by this test when `RIGGING_REWRITE=1` and compared otherwise. Origin of the
//! values: regression, our own output; it proves that single and batch calculations and the languages agree, and nothing
//! else.
#![allow(clippy::unwrap_used, clippy::indexing_slicing)]

use glam::{DQuat, DVec3};
use rigging_core::equilibrium::batch::{BridleOutcomes, BridleRows, solve as solve_rows};
use rigging_core::equilibrium::solve;
use rigging_core::system::{Body, End, Hook, Law, Member, System};
use serde_json::{Value, json};
use std::path::Path;

/// Cases of `cases.json`, and those that are bridles under one hook with linear stretch, not turned as drawn.
const CASES: (usize, usize) = (128, 68);

fn read(name: &str) -> Value {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("reference").join(name);
    serde_json::from_str(&std::fs::read_to_string(path).unwrap()).unwrap()
}

fn list(value: &Value) -> &[Value] {
    value.as_array().unwrap()
}

fn numbers(value: &Value) -> Vec<f64> {
    list(value).iter().map(|number| number.as_f64().unwrap()).collect()
}

fn bits(value: f64) -> String {
    format!("{:016x}", value.to_bits())
}

/// One bridle in plain numbers.
struct Row {
    weight: f64,
    center: Vec<f64>,
    points: Vec<f64>,
    lengths: Vec<f64>,
    ea: Vec<f64>,
}

/// What was found: bits of the tensions and of the tilt, and the state.
#[derive(Debug, PartialEq)]
struct Found(Vec<u64>, u64, i32);

impl Row {
    fn of(input: &Value) -> Option<Self> {
        let [body] = list(&input["bodies"]) else { return None };
        let legs = list(&input["legs"]);
        let fits = list(&input["hooks"]).len() == 1
            && list(&input["joints"]).is_empty()
            && numbers(&body["quat"]) == [1.0, 0.0, 0.0, 0.0]
            && legs.iter().all(|leg| leg["law"]["type"] == "linear");
        let point = |leg: &Value| numbers(&body["points"][usize::try_from(leg["b"][2].as_u64().unwrap()).unwrap()]);
        let each = |key: fn(&Value) -> &Value| legs.iter().map(|leg| key(leg).as_f64().unwrap()).collect();
        fits.then(|| Self {
            weight: body["mass"].as_f64().unwrap() * input["g"].as_f64().unwrap(),
            center: numbers(&body["cog"]),
            points: legs.iter().flat_map(point).collect(),
            lengths: each(|leg| &leg["L0"]),
            ea: each(|leg| &leg["law"]["EA"]),
        })
    }

    fn vectors(values: &[f64]) -> Vec<DVec3> {
        values.chunks_exact(3).map(DVec3::from_slice).collect()
    }

    /// The single calculation. A gravity of 1 leaves the weight as it is.
    fn single(&self) -> Found {
        let member = |(point, (length, ea)): (usize, (&f64, &f64))| Member {
            a: End::Hook(0),
            b: End::Body { body: 0, point },
            length: *length,
            law: Law::linear(*ea).unwrap(),
        };
        let body = Body {
            mass: self.weight,
            center_of_gravity: DVec3::from_slice(&self.center),
            points: Self::vectors(&self.points),
            position: DVec3::ZERO,
            rotation: DQuat::IDENTITY,
        };
        let members = self.lengths.iter().zip(&self.ea).enumerate().map(member).collect();
        let hook = Hook { position: DVec3::ZERO };
        let certificate = solve(&System::new(1.0, vec![hook], vec![], vec![body], members).unwrap()).unwrap();
        let tensions = certificate.members.iter().map(|member| member.tension.to_bits()).collect();
        Found(tensions, certificate.bodies[0].tilt.to_bits(), certificate.state.code())
    }
}

/// Several rows of the same number of legs as one batch.
fn batch(rows: &[&Row], threads: usize) -> Vec<Found> {
    let legs = rows[0].lengths.len();
    let all = |part: fn(&Row) -> &[f64]| rows.iter().flat_map(|row| part(row)).copied().collect::<Vec<_>>();
    let (mut tension, mut tilt) = (vec![0.0; rows.len() * legs], vec![0.0; rows.len()]);
    let (mut status, mut state) = (vec![0; rows.len()], vec![0; rows.len()]);
    let out = BridleOutcomes { tension: &mut tension, tilt: &mut tilt, status: &mut status, state: &mut state };
    let inputs = BridleRows {
        legs,
        weight: &all(|row| std::slice::from_ref(&row.weight)),
        center: &all(|row| &row.center),
        points: &all(|row| &row.points),
        lengths: &all(|row| &row.lengths),
        ea: &all(|row| &row.ea),
    };
    solve_rows(&inputs, out, threads).unwrap();
    assert!(status.iter().all(|status| *status == 0));
    let tensions = tension.chunks_exact(legs).map(|row| row.iter().map(|value| value.to_bits()).collect());
    let tilts = tilt.iter().map(|value| value.to_bits());
    tensions.zip(tilts).zip(state).map(|((tensions, tilt), state)| Found(tensions, tilt, state)).collect()
}

#[test]
fn the_table_is_what_rust_computes() {
    let cases = read("equilibrium/cases.json");
    let cases = list(&cases["cases"]);
    let rows: Vec<(&str, Row)> =
        cases.iter().filter_map(|case| Some((case["id"].as_str().unwrap(), Row::of(&case["input"])?))).collect();
    let mut table = Vec::new();
    for (id, row) in &rows {
        let found = row.single();
        assert_eq!(batch(&[row], 1), [Found(found.0.clone(), found.1, found.2)], "{id}");
        table.push(json!({
            "id": id, "weight_n": row.weight, "center_m": row.center,
            "points_m": row.points.chunks_exact(3).collect::<Vec<_>>(), "lengths_m": row.lengths, "ea_n": row.ea,
            "tension_n": found.0.iter().map(|value| bits(f64::from_bits(*value))).collect::<Vec<_>>(),
            "tilt_rad": bits(f64::from_bits(found.1)), "state": found.2,
        }));
    }
    // 600 rows of four legs in another order than they came, on one and on three threads.
    let four: Vec<&Row> = rows.iter().map(|(_, row)| row).filter(|row| row.lengths.len() == 4).collect();
    let many: Vec<&Row> = (0..600).map(|index| four[index * 7 % four.len()]).collect();
    let expected: Vec<Found> = many.iter().map(|row| row.single()).collect();
    assert_eq!(batch(&many, 1), expected);
    assert_eq!(batch(&many, 3), expected);
    assert_eq!(batch(&many, 0), expected);

    let lines: Vec<String> = table.iter().map(|row| format!("  {row}")).collect();
    let about = "Bridles of equilibrium/cases.json in plain numbers, and the bits of what is found; rewritten by \
                 RIGGING_REWRITE=1 cargo test -p rigging-tests --test batch_bits";
    let text = format!(
        "{{\n\"about\": {},\n\"origin\": \"regression\",\n\"rows\": [\n{}\n]}}\n",
        json!(about),
        lines.join(",\n")
    );
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("reference/batch-bits.json");
    if std::env::var_os("RIGGING_REWRITE").is_some_and(|value| value == "1") {
        std::fs::write(&path, &text).unwrap();
    }
    assert!(std::fs::read_to_string(&path).unwrap() == text, "batch-bits.json is stale");
    println!("{} bridles compared, {} other cases skipped", rows.len(), cases.len() - rows.len());
    assert_eq!((cases.len(), rows.len()), CASES);
}
