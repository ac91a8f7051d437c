//! Reads the reference files: systems as the reference gives them, and the strings that stand for IEEE values.

use glam::{DQuat, DVec3};
use rigging_core::error::{Error, Place};
use rigging_core::system::{Body, End, Hook, Joint, Law, Member, System};
use serde_json::Value;

pub fn read(name: &str) -> Value {
    let path = format!("{}/reference/equilibrium/{name}", env!("CARGO_MANIFEST_DIR"));
    serde_json::from_str(&std::fs::read_to_string(path).unwrap()).unwrap()
}

pub fn list<'a>(value: &'a Value, key: &str) -> &'a [Value] {
    value[key].as_array().map_or(&[], Vec::as_slice)
}

/// A number; "NaN" and "Infinity" stand for the IEEE values.
pub fn number(value: &Value) -> f64 {
    match value {
        Value::String(text) => text.parse().unwrap(),
        other => other.as_f64().unwrap(),
    }
}

pub fn vector(value: &Value) -> DVec3 {
    DVec3::new(number(&value[0]), number(&value[1]), number(&value[2]))
}

fn index(value: &Value) -> usize {
    usize::try_from(value.as_u64().unwrap()).unwrap()
}

fn end(value: &Value) -> End {
    match value[0].as_str().unwrap() {
        "hook" => End::Hook(index(&value[1])),
        "joint" => End::Joint(index(&value[1])),
        "body" => End::Body { body: index(&value[1]), point: index(&value[2]) },
        other => panic!("unknown end {other}"),
    }
}

fn law(value: &Value, place: Place) -> Result<Law, Error> {
    let found = match value["type"].as_str() {
        Some("linear") => Law::linear(number(&value["EA"])),
        Some("poly") => Law::polynomial(list(value, "c").iter().map(number).collect()),
        Some("pwl") => {
            Law::piecewise_linear(list(value, "pts").iter().map(|p| [number(&p[0]), number(&p[1])]).collect())
        }
        _ => Err(Error::malformed("a law that is not known", Place::root())),
    };
    found.map_err(|error| error.at(place))
}

/// The system of one `input`, as the library's own types.
pub fn system(input: &Value) -> Result<System, Error> {
    let hooks = list(input, "hooks").iter().map(|p| Hook { position: vector(p) }).collect();
    let joints = list(input, "joints").iter().map(|j| Joint { position: vector(&j["position"]) }).collect();
    let bodies = list(input, "bodies")
        .iter()
        .map(|b| {
            let q = &b["quat"];
            Body {
                mass: number(&b["mass"]),
                center_of_gravity: vector(&b["cog"]),
                points: list(b, "points").iter().map(vector).collect(),
                position: vector(&b["position"]),
                rotation: DQuat::from_xyzw(number(&q[1]), number(&q[2]), number(&q[3]), number(&q[0])),
            }
        })
        .collect();
    let mut members = Vec::new();
    for (i, leg) in list(input, "legs").iter().enumerate() {
        let law = law(&leg["law"], Place::root().child("members").child(i).child("law"))?;
        members.push(Member { a: end(&leg["a"]), b: end(&leg["b"]), length: number(&leg["L0"]), law });
    }
    System::new(number(&input["g"]), hooks, joints, bodies, members)
}

/// Whether the input is one body under at most one hook, without joints.
pub fn single(input: &Value) -> bool {
    list(input, "hooks").len() <= 1 && list(input, "bodies").len() <= 1 && list(input, "joints").is_empty()
}
