//! The reference cases as lift documents, so that every one of them can be held against Rust by the languages that have
//! no other way in: curved laws, and whatever else a document can say.
//!
//! `reference/case-documents.json` is written by this test when `RIGGING_REWRITE=1` and compared otherwise. The bits in it
//! are our own output (origin: regression) and prove that the languages agree; beside that, each tension is held against
//! the reference, and against the same case as a system without a document.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing)]

#[path = "equilibrium/document.rs"]
mod document;

use document::{list, number, read, single, system};
use glam::DVec3;
use rigging_core::arrangement::{Anchor, Lift};
use rigging_core::equilibrium::{Certificate, solve};
use rigging_core::error::Error;
use rigging_core::quantity::Fraction;
use rigging_core::system::End;
use serde_json::{Value, json};
use std::path::Path;

/// Cases that are calculated, and cases refused as unsupported.
const SOLVED: usize = 128;
const UNSUPPORTED: usize = 0;
/// Tensions agree to this share of the largest one, or to 100 times the noise of double precision on the case.
const TENSION: f64 = 1.0e-9;
/// Coordinates as drawn agree to this, in m: a few roundings of a coordinate of 20 m.
const DRAWN: f64 = 1.0e-14;

fn bits(value: f64) -> String {
    format!("{:016x}", value.to_bits())
}

/// Every digit of a double, with its unit.
fn entered(value: &Value, unit: &str) -> Value {
    json!(format!("{} {unit}", number(value)))
}

/// A point of a body, in the world as drawn.
fn point(body: &Value, local: &Value) -> Value {
    assert_eq!(list(body, "quat").iter().map(number).collect::<Vec<_>>(), [1.0, 0.0, 0.0, 0.0], "turned as drawn");
    let world = (0..3).map(|axis| json!(number(&body["position"][axis]) + number(&local[axis])));
    place(&Value::Array(world.collect()))
}

fn place(world: &Value) -> Value {
    (0..3).map(|axis| entered(&world[axis], "m")).collect()
}

/// The points of a body, each with its name.
fn points(body: &Value) -> Value {
    let each = list(body, "points").iter().enumerate();
    each.map(|(index, local)| json!({"name": format!("point {index}"), "position": point(body, local)})).collect()
}

/// The name of a leg's end. The last body is the load: whatever else there is hangs between it and the hooks.
fn end(input: &Value, end: &Value) -> String {
    let load = list(input, "bodies").len() - 1;
    match end[0].as_str().unwrap() {
        "body" if end[1] == load => format!("point {}", end[2]),
        "body" => format!("spreader {}/point {}", end[1], end[2]),
        kind => format!("{kind} {}", end[1]),
    }
}

fn law(law: &Value) -> Value {
    match law["type"].as_str().unwrap() {
        "linear" => json!({"ea": entered(&law["EA"], "N")}),
        "poly" => json!({"polynomial": list(law, "c").iter().map(|c| entered(c, "N")).collect::<Value>()}),
        "pwl" => {
            let point = |at: &Value| json!([Fraction::from_si(number(&at[0])).to_string(), entered(&at[1], "N")]);
            json!({"points": list(law, "pts").iter().map(point).collect::<Value>()})
        }
        other => panic!("the law {other} has no place in a document"),
    }
}

/// The document of a case: all that statics needs, and nothing else.
fn lift_document(id: &str, input: &Value) -> Value {
    let (load, spreaders) = list(input, "bodies").split_last().unwrap();
    let legs = list(input, "legs").iter().enumerate();
    let sling = |(index, leg): (usize, &Value)| {
        json!({
            "name": format!("sling {index}"), "construction": "wire_rope", "material": "steel",
            "stiffness": {"law": law(&leg["law"])},
            "length": {"value": entered(&leg["L0"], "m"), "measured": "bearing_to_bearing"},
        })
    };
    let leg = |(index, leg): (usize, &Value)| {
        let path = [&leg["a"], &leg["b"]].map(|at| json!({"end": end(input, at)}));
        json!({"name": format!("leg {index}"), "hitch": "straight", "path": path, "items": [format!("sling {index}")]})
    };
    let hook = |(index, at): (usize, &Value)| json!({"name": format!("hook {index}"), "position": place(at)});
    let joint = |(index, joint): (usize, &Value)| {
        assert_eq!(number(&joint["mass"]), 0.0, "{id}: a joint of a document has no mass");
        json!({"name": format!("joint {index}"), "position": place(&joint["position"])})
    };
    let spreader = |(index, body): (usize, &Value)| {
        json!({
            "name": format!("spreader {index}"), "mass": entered(&body["mass"], "kg"),
            "center_of_gravity": point(body, &body["cog"]), "points": points(body),
        })
    };
    let mut document = json!({
        "format": 1, "name": id, "gravity": entered(&input["g"], "m/s2"),
        "load": {
            "name": "load", "mass": {"value": entered(&load["mass"], "kg"), "basis": "not_to_exceed"},
            "center_of_gravity": {"position": point(load, &load["cog"])}, "lift_points": points(load),
        },
        "hooks": list(input, "hooks").iter().enumerate().map(hook).collect::<Value>(),
        "slings": legs.clone().map(sling).collect::<Value>(),
        "legs": legs.map(leg).collect::<Value>(),
    });
    for (key, items) in [
        ("joints", list(input, "joints").iter().enumerate().map(joint).collect::<Vec<_>>()),
        ("spreaders", spreaders.iter().enumerate().map(spreader).collect()),
    ] {
        if !items.is_empty() {
            document[key] = Value::Array(items);
        }
    }
    document
}

/// Compares with the reference, and with the same case as a system where both are written in the same frame.
fn compare(id: &str, case: &Value, certificate: &Certificate) {
    let reference = &case["reference"];
    let share = TENSION.max(100.0 * number(&reference["double_noise_rel"]));
    let allowed = share * number(&reference["max_tension"]);
    assert_eq!(certificate.members.len(), list(reference, "legs").len(), "{id}");
    for (member, leg) in certificate.members.iter().zip(list(reference, "legs")) {
        let expected = number(&leg["tension"]);
        assert!((member.tension - expected).abs() <= allowed, "{id}: {} against {expected}", member.tension);
        assert_eq!(member.slack, leg["slack"].as_bool().unwrap(), "{id}");
    }
    if single(&case["input"]) {
        let direct = solve(&system(&case["input"]).unwrap()).unwrap();
        assert_eq!(tensions(certificate), tensions(&direct), "{id}: a document loses bits");
    }
}

/// Every leg of the document ends, as drawn, where that of the case does: also where nothing is calculated yet.
fn compare_ends(id: &str, input: &Value, lift: &Lift) {
    let document = lift.document();
    let drawn = |anchor: &Anchor| match *anchor {
        Anchor::Hook(hook) => document.hooks[hook].position.value().unwrap(),
        Anchor::Joint(joint) => &document.joints[joint].position,
        Anchor::LiftPoint(point) => &document.load.lift_points[point].position,
        Anchor::SpreaderPoint(spreader, point) => &document.spreaders[spreader].points[point].position,
        Anchor::Place(_) => panic!("no case passes over anything"),
    };
    let system = system(input).unwrap();
    let expected = |end: End| match end {
        End::Hook(hook) => system.hooks()[hook].position,
        End::Joint(joint) => system.joints()[joint].position,
        End::Body { body, point } => {
            let body = &system.bodies()[body];
            body.position + body.rotation * body.points[point]
        }
    };
    assert_eq!(lift.legs().count(), system.members().len(), "{id}");
    for (leg, member) in lift.legs().zip(system.members()) {
        for (anchor, end) in leg.links.ends.iter().zip([member.a, member.b]) {
            let found = DVec3::from_array(std::array::from_fn(|axis| drawn(anchor)[axis].si()));
            assert!((found - expected(end)).length() <= DRAWN, "{id}: {anchor:?} and {end:?}");
        }
    }
}

fn tensions(certificate: &Certificate) -> Vec<String> {
    certificate.members.iter().map(|member| bits(member.tension)).collect()
}

#[test]
fn the_table_is_what_rust_computes() {
    let file = read("cases.json");
    let (mut solved, mut unsupported, mut lines) = (0, 0, Vec::new());
    for case in list(&file, "cases") {
        let id = case["id"].as_str().unwrap();
        let text = lift_document(id, &case["input"]).to_string();
        let lift = Lift::from_json(&text).unwrap_or_else(|error| panic!("{id}: {error}"));
        compare_ends(id, &case["input"], &lift);
        let outcome = match lift.solve() {
            Ok(certificate) => {
                compare(id, case, &certificate);
                solved += 1;
                format!("\"tensions\":{}", json!(tensions(&certificate)))
            }
            Err(error @ Error::Unsupported { .. }) => {
                unsupported += 1;
                format!("\"refused\":\"{}\"", error.code())
            }
            Err(error) => panic!("{id}: {error}"),
        };
        lines.push(format!("{{\"id\":{},\n{outcome},\n\"document\":{text}}}", json!(id)));
    }
    let about = "The cases of equilibrium/cases.json as lift documents, with the bits of the tensions or the code of the \
                 error; each of the three on a line of its own, for readers without JSON. Rewritten by RIGGING_REWRITE=1 \
                 cargo test -p rigging-tests --test case_bits";
    let text = format!(
        "{{\n\"about\":{},\n\"origin\":\"regression\",\n\"solved\":{solved},\n\"unsupported\":{unsupported},\n\"cases\":[\n{}\n]}}\n",
        json!(about),
        lines.join(",\n")
    );
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("reference/case-documents.json");
    if std::env::var_os("RIGGING_REWRITE").is_some_and(|value| value == "1") {
        std::fs::write(&path, &text).unwrap();
    }
    let committed = std::fs::read_to_string(&path).unwrap();
    let differing = committed.lines().zip(text.lines()).find(|(committed, new)| committed != new);
    assert_eq!(differing, None, "case-documents.json is stale");
    assert!(committed == text, "case-documents.json is stale");
    println!("{solved} cases ran, {unsupported} are unsupported, 0 skipped");
    assert_eq!((solved, unsupported), (SOLVED, UNSUPPORTED));
}
