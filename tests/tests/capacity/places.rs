//! Sets of legs by the place that they hang from: a hook, a ring below other gear, rings under a spreader.

use super::finding::{GRAVITY, assess, built_in, capacity, first, of, own};
use approx::assert_relative_eq;
use rigging_core::arrangement::Lift;
use rigging_core::checks::{Code, Finding, Verdict};
use rigging_core::demand::Forces;
use rigging_core::equilibrium::worst::Effort;
use rigging_core::rules::RuleSet;
use serde_json::{Value, json};

/// Reach of the legs to the side, and their rise, m.
const LEG: f64 = 4.0;

/// A chain of grade 8 and 13 mm, marked 5.3 t.
fn chain(name: &str, length: f64) -> Value {
    json!({
        "name": name, "construction": "chain", "material": "alloy steel", "grade": 8, "diameter": "13 mm",
        "strength": { "wll": "5.3 t", "basis": "whole", "source": "tag" },
        "stiffness": { "law": { "ea": "500000 MN" }, "basis": "whole", "condition": "bedded", "source": "record" },
        "length": { "value": format!("{length} m"), "measured": "whole_leg", "tolerance": "0 mm" },
        "identity": name, "tag": { "legible": true, "wll": "5.3 t" }, "mass": "0 kg",
        "temperature_range": { "value": ["-40 degC", "80 degC"], "source": "maker" },
        "least_bend_diameter": { "value": "20 mm", "source": "maker" },
    })
}

fn leg(name: &str, from: &str, to: &str, sling: &str) -> Value {
    json!({ "name": name, "hitch": "straight", "path": [{ "end": from }, { "end": to }], "items": [sling], "contacts": [] })
}

fn point(name: &str, [x, y, z]: [f64; 3]) -> Value {
    json!({
        "name": name, "position": [format!("{x} m"), format!("{y} m"), format!("{z} m")],
        "rating": { "wll": "500 t", "source": "calculation" }, "bearing_diameter": "400 mm",
        "allowed_direction": { "axis": [0, 0, 1], "within": "85 deg", "source": "calculation" },
    })
}

fn joint(name: &str, [x, y, z]: [f64; 3]) -> Value {
    json!({ "name": name, "position": [format!("{x} m"), format!("{y} m"), format!("{z} m")] })
}

fn push(document: &mut Value, key: &str, value: Value) {
    document[key].as_array_mut().unwrap().push(value);
}

/// A load of so much, without legs.
fn load(mass: &str) -> Value {
    json!({
        "format": 1, "name": "crate", "gravity": "9.80665 m/s2",
        "operation": { "kind": "lifting", "persons_lifted": false },
        "environment": { "location": "onshore", "temperature": ["5 degC", "30 degC"], "chemicals": [] },
        "load": {
            "name": "load", "mass": { "value": mass, "basis": "not_to_exceed", "source": "weights" },
            "center_of_gravity": { "position": ["0 m", "0 m", "-0.5 m"], "tolerance": ["0 mm", "0 mm", "0 mm"], "source": "drawing" },
            "allowed_tilt": { "value": "10 deg", "source": "owner" }, "lift_points": [],
        },
        "hooks": [{ "name": "hook", "rating": { "wll": "500 t", "source": "stamp" }, "bearing_diameter": "400 mm" }],
        "joints": [], "slings": [], "legs": [],
    })
}

/// So many legs at 45 degrees, evenly round the load, from a place.
fn spread(mass: &str, count: usize, from: &str) -> Value {
    let mut document = load(mass);
    for number in 0..count {
        let turn = std::f64::consts::TAU * (number as f64 + 0.5) / count as f64;
        let reach = LEG * 0.5_f64.sqrt();
        let name = format!("lug {number}");
        let point = point(&name, [reach * turn.cos(), reach * turn.sin(), 0.0]);
        document["load"]["lift_points"].as_array_mut().unwrap().push(point);
        let sling = format!("chain {number}");
        push(&mut document, "slings", chain(&sling, LEG));
        push(&mut document, "legs", leg(&format!("leg {number}"), from, &name, &sling));
    }
    document
}

/// The same from a ring, so many slings of one meter below the hook, one below the other.
fn below_rings(mass: &str, count: usize, rings: usize) -> Value {
    let mut document = spread(mass, count, "ring 0");
    let rise = LEG * 0.5_f64.sqrt();
    for ring in 0..rings {
        push(&mut document, "joints", joint(&format!("ring {ring}"), [0.0, 0.0, rise + ring as f64]));
        let mut top = chain(&format!("top {ring}"), 1.0);
        top["strength"]["wll"] = json!("50 t");
        top["tag"]["wll"] = json!("50 t");
        top["diameter"] = json!("40 mm");
        let from = if ring + 1 == rings { "hook".to_owned() } else { format!("ring {}", ring + 1) };
        push(
            &mut document,
            "legs",
            leg(&format!("top {ring}"), &from, &format!("ring {ring}"), &format!("top {ring}")),
        );
        push(&mut document, "slings", top);
    }
    document
}

/// Two legs count, whatever they are of.
fn two_count() -> RuleSet {
    let rule = "[[rule]]\nanswers = \"legs counted\"\nname = \"legs that count\"\nwhen = { configuration = [\"two legs\", \"four legs\"] }\nrelation = \"constant\"\nvalue = 2\nsource = \"note\"\nclause = \"2\"\n";
    own("counted", "", rule)
}

fn asked(finding: &Finding) -> f64 {
    finding.demand.as_ref().unwrap().value()
}

#[test]
fn legs_below_a_ring_are_a_set_as_legs_on_the_hook_are() {
    let direct = spread("10 t", 4, "hook");
    let mut compared = 0;
    for (set, verdict) in [
        ("de-general", Verdict::Fail),
        ("eu-general", Verdict::CannotConclude),
        ("uk-general", Verdict::CannotConclude),
        ("us-general", Verdict::Pass),
        ("de-dguv-209-021", Verdict::Fail),
    ] {
        let rules = built_in(set);
        let on_hook = assess(&direct, &rules);
        let due = of(&on_hook, Code::SetOfLegs);
        assert!(!due.is_empty(), "{set}");
        for rings in 1..4 {
            let assessment = assess(&below_rings("10 t", 4, rings), &rules);
            let found = of(&assessment, Code::SetOfLegs);
            assert_eq!(found.len(), due.len(), "{set}");
            for (found, due) in found.iter().zip(&due) {
                assert_eq!((found.verdict, &*found.item), (due.verdict, "ring 0"), "{set}: {}", found.text);
                let utilization = |finding: &Finding| finding.utilization.unwrap_or(0.0);
                assert_relative_eq!(utilization(found), utilization(due), max_relative = 1e-6);
                compared += 1;
            }
            let severest = found.iter().map(|finding| finding.verdict).find(|found| *found == verdict);
            assert_eq!(severest, Some(verdict), "{set}");
        }
    }
    println!("{compared} findings below rings compared with those on the hook");
    // Two of four legs count: 10 t over 2 cos 45 degrees, of 5.3 t.
    let assessment = assess(&below_rings("10 t", 4, 1), &built_in("de-general"));
    let counted =
        of(&assessment, Code::SetOfLegs).into_iter().find(|finding| finding.verdict == Verdict::Fail).unwrap();
    assert_relative_eq!(asked(counted), 10_000.0 * GRAVITY / 2.0_f64.sqrt(), max_relative = 1e-4);
    assert_relative_eq!(counted.utilization.unwrap(), 10.0 / 2.0_f64.sqrt() / 5.3, max_relative = 1e-4);
    // The relation of the US guidance lets three of the four count.
    let assessment = assess(&below_rings("12 t", 4, 1), &built_in("us-general"));
    let finding = first(&assessment, Code::SetOfLegs);
    assert_relative_eq!(finding.utilization.unwrap(), 12.0 * 2.0_f64.sqrt() / (3.0 * 5.3), max_relative = 1e-4);
    assert_eq!(finding.verdict, Verdict::Fail);
}

#[test]
fn one_leg_is_no_set_wherever_it_hangs() {
    for rings in 1..3 {
        let mut document = below_rings("2 t", 1, rings);
        document["load"]["lift_points"][0] = point("lug 0", [0.0, 0.0, 0.0]);
        for set in ["de-general", "eu-general", "us-general"] {
            let assessment = assess(&document, &built_in(set));
            assert!(of(&assessment, Code::SetOfLegs).is_empty(), "{set}");
        }
        assert!(of(&assess(&document, &two_count()), Code::SetOfLegs).is_empty());
    }
}

#[test]
fn more_legs_than_documents_speak_of_are_not_concluded_upon() {
    for document in [spread("2 t", 5, "hook"), below_rings("2 t", 6, 1)] {
        for set in ["de-general", "eu-general", "uk-general", "us-general"] {
            let assessment = assess(&document, &built_in(set));
            let found = of(&assessment, Code::SetOfLegs);
            assert_eq!(found.len(), 1, "{set}");
            assert_eq!(found[0].verdict, Verdict::CannotConclude, "{set}");
            assert!(found[0].text.contains(" legs, and what the rule set says of two"), "{set}: {}", found[0].text);
        }
        // A set that speaks of no set of legs, or of none of such gear, says nothing of five either.
        let of_ropes = "[[rule]]\nanswers = \"legs counted\"\nname = \"legs\"\nwhen = { construction = \"wire rope\", configuration = \"four legs\" }\nrelation = \"constant\"\nvalue = 2\nsource = \"note\"\nclause = \"2\"\n";
        for rules in [own("ropes", "", of_ropes), own("nothing", "", "")] {
            assert!(of(&assess(&document, &rules), Code::SetOfLegs).is_empty(), "{}", rules.name());
        }
    }
}

#[test]
fn legs_that_differ_are_not_concluded_upon_where_the_rules_speak_of_sets() {
    let mut hitched = below_rings("2 t", 4, 1);
    hitched["legs"][3]["hitch"] = json!("doubled");
    let mut kinds = below_rings("2 t", 4, 1);
    kinds["slings"][3]["construction"] = json!("wire_rope");
    kinds["slings"][3]["material"] = json!("steel");
    for (mut document, why) in [(hitched, "differ in their hitch"), (kinds, "differ in kind")] {
        for set in ["de-general", "eu-general", "us-general"] {
            let assessment = assess(&document, &built_in(set));
            let finding = first(&assessment, Code::SetOfLegs);
            assert_eq!(finding.verdict, Verdict::CannotConclude, "{set}");
            assert!(finding.text.contains(why), "{set}: {}", finding.text);
        }
        assert!(of(&assess(&document, &own("nothing", "", "")), Code::SetOfLegs).is_empty());
        // What fails with the weaker of two kinds fails all the same.
        document["load"]["mass"]["value"] = json!("10 t");
        let assessment = assess(&document, &built_in("de-general"));
        let finding = first(&assessment, Code::SetOfLegs);
        let due = if why.contains("kind") { Verdict::Fail } else { Verdict::CannotConclude };
        assert_eq!(finding.verdict, due, "{}", finding.text);
    }
}

/// A leg that goes on below a joint by itself is one leg: what it goes on with is held against the set as well.
#[test]
fn a_leg_that_goes_on_below_a_joint_is_one_leg_of_the_set() {
    let mut document = spread("10 t", 4, "hook");
    for number in 0..4 {
        let point = document["load"]["lift_points"][number].clone();
        let at = |axis: usize| -> f64 {
            point["position"][axis].as_str().unwrap().trim_end_matches(" m").parse::<f64>().unwrap()
        };
        let (name, rise) = (format!("link {number}"), LEG * 0.5_f64.sqrt());
        push(&mut document, "joints", joint(&name, [at(0) / 2.0, at(1) / 2.0, rise / 2.0]));
        for key in ["slings", "legs"] {
            document[key][number]["name"] = json!(format!("upper {number}"));
        }
        document["slings"][number] = chain(&format!("upper {number}"), LEG / 2.0);
        document["slings"][number]["strength"]["wll"] = json!("20 t");
        document["slings"][number]["tag"]["wll"] = json!("20 t");
        document["slings"][number]["diameter"] = json!("26 mm");
        document["legs"][number] = leg(&format!("upper {number}"), "hook", &name, &format!("upper {number}"));
        push(&mut document, "slings", chain(&format!("lower {number}"), LEG / 2.0));
        let to = format!("lug {number}");
        push(&mut document, "legs", leg(&format!("lower {number}"), &name, &to, &format!("lower {number}")));
    }
    let assessment = assess(&document, &two_count());
    let found = of(&assessment, Code::SetOfLegs);
    assert_eq!(found.len(), 1);
    assert_relative_eq!(capacity(found[0]), 5_300.0 * GRAVITY, max_relative = 1e-9);
    assert_eq!(found[0].verdict, Verdict::Fail);
    assert_eq!(&*found[0].item, "crate");
}

/// A bar under two legs, and below either end a ring with two legs: three sets, each with what hangs below it.
fn under_a_bar(mass: &str) -> Value {
    let mut document = load(mass);
    // The rings are 2 m to either side; their legs reach 1 m across, at 30 degrees from vertical.
    let rise = 3.0_f64.sqrt();
    let bar = |name: &str, x: f64| point(name, [x, 0.0, rise + 1.0]);
    document["spreaders"] = json!([{
        "name": "bar", "mass": "1 t", "center_of_gravity": ["0 m", "0 m", format!("{} m", rise + 1.0)],
        "points": [bar("upper e", 2.0), bar("upper w", -2.0), bar("lower e", 2.0), bar("lower w", -2.0)],
        "rating": { "wll": "200 t", "source": "calculation" },
    }]);
    for (end, x) in [("e", 2.0), ("w", -2.0)] {
        let ring = format!("ring {end}");
        push(&mut document, "joints", joint(&ring, [x, 0.0, rise]));
        for (name, from, to, length) in [
            (format!("upper {end}"), "hook".to_owned(), format!("bar/upper {end}"), 8.0_f64.sqrt()),
            (format!("drop {end}"), format!("bar/lower {end}"), ring.clone(), 1.0),
        ] {
            push(&mut document, "slings", chain(&name, length));
            push(&mut document, "legs", leg(&name, &from, &to, &name));
        }
        for (side, y) in [("n", 1.0), ("s", -1.0)] {
            let name = format!("{end}{side}");
            document["load"]["lift_points"].as_array_mut().unwrap().push(point(&name, [x, y, 0.0]));
            push(&mut document, "slings", chain(&format!("chain {name}"), 2.0));
            push(&mut document, "legs", leg(&format!("leg {name}"), &ring, &name, &format!("chain {name}")));
        }
    }
    document
}

#[test]
fn every_place_has_a_set_of_its_own_with_what_hangs_below_it() {
    let assessment = assess(&under_a_bar("6 t"), &two_count());
    let found = of(&assessment, Code::SetOfLegs);
    let by_name = |name: &str| found.iter().find(|finding| &*finding.item == name).unwrap();
    assert_eq!(found.len(), 3);
    // Load and bar, by two legs of 45 degrees.
    assert_relative_eq!(asked(by_name("crate")), 7_000.0 * GRAVITY / (2.0 * 0.5_f64.sqrt()), max_relative = 1e-4);
    for ring in ["ring e", "ring w"] {
        let due = 3_000.0 * GRAVITY / (2.0 * 30.0_f64.to_radians().cos());
        assert_relative_eq!(asked(by_name(ring)), due, max_relative = 1e-4);
        assert_eq!(by_name(ring).verdict, Verdict::Pass);
    }
    // With bounds asked for, nothing is less than what was attained, and what has no bound is not concluded upon.
    let lift = Lift::from_json(&under_a_bar("6 t").to_string()).unwrap();
    let bounded = lift.assess_by(&two_count(), Forces::Bounds(Effort::default())).unwrap();
    for finding in of(&bounded, Code::SetOfLegs) {
        assert!(asked(finding) >= asked(by_name(&finding.item)) * (1.0 - 1e-9), "{}", finding.text);
    }
    // Ten tonnes: two legs of 5.3 t below either ring, two of four directly.
    let assessment = assess(&under_a_bar("10 t"), &built_in("us-general"));
    assert_eq!(of(&assessment, Code::SetOfLegs).len(), 3);
}
