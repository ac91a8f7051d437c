//! Rule sets of a firm's own against lifts drawn for the purpose: what a rule names, where a limit is met, what is said where a
//! rule cannot speak. Expected figures are worked here from the printed factors.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing)]

mod at_zero;
mod circumstances;
mod data_laws;
mod fittings;
mod told;
mod two_hooks;

use rigging_core::arrangement::Lift;
use rigging_core::checks::{Assessment, Code, Finding, Verdict};
use rigging_core::rules::{ComplaintCode, RuleSet, lint};
use serde_json::{Value, json};

/// What the set is for; without it nothing can be concluded.
const SCOPE: &str = r#"
format = 1
name = "gull-yard"
title = "Instruction of the yard at Gull Point"
edition = "2026"
status = "in force"
source = [{ id = "own", document = "Instruction of the yard at Gull Point", edition = "2026", standing = "stated" }]
[[rule]]
answers = "applies to operation"
name = "lifting"
when = { operation = ["lifting", "lowering"] }
relation = "applies"
source = "own"
clause = "1"
[[rule]]
answers = "applies to place"
name = "yard and quay"
when = { place = ["onshore", "offshore"] }
relation = "applies"
source = "own"
clause = "1"
[[rule]]
answers = "applies to persons"
name = "loads only"
when = { "persons lifted" = "no" }
relation = "applies"
source = "own"
clause = "1"
"#;

fn rule(answers: &str, keys: &str) -> String {
    format!("[[rule]]\nanswers = \"{answers}\"\nname = \"{answers}\"\n{keys}\nsource = \"own\"\nclause = \"2\"\n")
}

fn basis(word: &str) -> String {
    rule("rating basis", &format!("relation = \"words\"\nwords = [\"{word}\"]"))
}

fn set(rules: &[String]) -> RuleSet {
    RuleSet::from_toml(&format!("{SCOPE}{}", rules.concat())).unwrap()
}

/// A load of this mass on two roundslings of 5 m that stand at an angle from vertical, in the plane of x and z.
fn two_legs(mass: &str, from_vertical: f64) -> Value {
    let reach = 5.0 * from_vertical.to_radians().sin();
    let point = |name: &str, x: f64| {
        json!({ "name": name, "position": [format!("{x} m"), "0 m", "0 m"], "rating": { "wll": "100 t", "source": "drawing 7" },
            "allowed_direction": { "axis": [0, 0, 1], "within": "80 deg", "source": "drawing 7" },
            "bearing_diameter": "100 mm", "bearing_width": "200 mm" })
    };
    let sling = |name: &str| {
        json!({ "name": name, "construction": "roundsling", "material": "polyester",
            "strength": { "wll": "5 t", "breaking_load": "35 t", "basis": "whole", "source": "tag" },
            "stiffness": { "law": { "ea": "4 MN" }, "basis": "whole", "condition": "bedded", "source": "record 3" },
            "width": "60 mm", "thickness": "9 mm",
            "length": { "value": "5 m", "measured": "whole_leg", "tolerance": "0 mm" }, "termination": "endless",
            "least_bend_diameter": { "value": "30 mm", "source": "data sheet" },
            "temperature_range": { "value": ["-40 degC", "100 degC"], "source": "data sheet" },
            "identity": name, "tag": { "legible": true, "wll": "5 t" }, "mass": "0 kg" })
    };
    let leg = |name: &str, point: &str, sling: &str| json!({ "name": name, "hitch": "straight", "path": [{ "end": "hook" }, { "end": point }], "items": [sling], "contacts": [] });
    json!({ "format": 1, "name": "crate", "gravity": "9.80665 m/s2",
        "operation": { "kind": "lifting", "persons_lifted": false, "region": "EU", "persons_below": false,
            "dynamic_analysis": "none", "consequence_of_failure": "total_loss" },
        "environment": { "location": "offshore", "temperature": ["10 degC", "20 degC"], "chemicals": [] },
        "load": { "name": "crate", "kind": "general",
            "mass": { "value": mass, "basis": "not_to_exceed", "source": "list" },
            "center_of_gravity": { "position": ["0 m", "0 m", "-1.5 m"], "tolerance": ["0 m", "0 m", "0 m"], "source": "list" },
            "allowed_tilt": { "value": "3 deg", "source": "method" },
            "lift_points": [point("P1", -reach), point("P2", reach)] },
        "hooks": [{ "name": "hook", "rating": { "wll": "200 t", "source": "plate" }, "bearing_diameter": "150 mm",
            "capacity_basis": "net_of_block" }],
        "slings": [sling("S1"), sling("S2")],
        "legs": [leg("L1", "P1", "S1"), leg("L2", "P2", "S2")] })
}

/// The same on one plumb leg.
fn one_leg(mass: &str) -> Value {
    let mut lift = two_legs(mass, 0.0);
    lift["load"]["lift_points"].as_array_mut().unwrap().truncate(1);
    lift["slings"].as_array_mut().unwrap().truncate(1);
    lift["legs"].as_array_mut().unwrap().truncate(1);
    lift
}

fn assess(lift: &Value, rules: &RuleSet) -> Assessment {
    Lift::from_json(&lift.to_string()).unwrap().assess(rules).unwrap()
}

fn of(assessment: &Assessment, code: Code) -> Vec<&Finding> {
    assessment.findings.iter().filter(|finding| finding.code == code).collect()
}

/// Both legs end in shackles whose pins lie across their plane, so that nothing pulls them sideways.
fn on_shackles(mut lift: Value) -> Value {
    let shackle = |name: &str| {
        json!({ "name": name, "kind": "bow_shackle", "rating": { "wll": "6.5 t", "source": "marking" }, "pin_diameter": "35 mm",
            "bow_diameter": "30 mm", "inside_width": "70 mm", "jaw_width": "50 mm", "identity": name,
            "tag": { "legible": true, "wll": "6.5 t" }, "mass": "0 kg" })
    };
    lift["fittings"] = json!([shackle("H1"), shackle("H2")]);
    for index in 0..2 {
        lift["legs"][index]["items"] = json!([format!("S{}", index + 1), format!("H{}", index + 1)]);
        let point = &mut lift["load"]["lift_points"][index];
        point["hole_axis"] = json!([0, 1, 0]);
        point["hole_diameter"] = json!("38 mm");
        point["thickness"] = json!("40 mm");
    }
    lift
}

#[test]
fn a_pull_in_line_keeps_the_whole_rating_on_every_leg() {
    let rules = set(&[basis("marked rating")]);
    let lift = on_shackles(two_legs("4 t", 30.0));
    let told = of(&assess(&lift, &rules), Code::SideLoad).iter().map(|finding| finding.verdict).collect::<Vec<_>>();
    assert_eq!(told, [Verdict::NotCovered; 2], "nothing is asked of a pull in line, on either leg");
    // Bands of a maker that begin at the line, and of a rule.
    let bands = json!({ "value": [{ "up_to": "0 deg", "share": "100 %" }, { "up_to": "45 deg", "share": "70 %" }], "source": "m" });
    let mut stated = lift.clone();
    for index in 0..2 {
        stated["fittings"][index]["side_load"] = bands.clone();
    }
    let banded = set(&[
        basis("marked rating"),
        rule(
            "side load factor",
            "relation = \"table\"\nrows = \"side load angle\"\nrow_lookup = \"band\"\n\
             input = [{ fact = \"side load angle\", unit = \"deg\", policy = \"no\" }]\n\
             cells = [[{ at_most = 0 }, 1.0], [{ more_than = 0, at_most = 45 }, 0.7]]",
        ),
    ]);
    for (lift, rules) in [(&stated, &rules), (&lift, &banded)] {
        let assessment = assess(lift, rules);
        let found = of(&assessment, Code::SideLoad);
        assert_eq!(found.len(), 2);
        for finding in found {
            let whole = finding.capacity.as_ref().unwrap().value() / (6_500.0 * 9.80665);
            assert!((whole - 1.0).abs() < 1e-12, "{}: {whole} of the rating", finding.item);
        }
    }
    // Out of the plane by the angle of the leg, less what it stretches: the second band.
    for index in 0..2 {
        stated["load"]["lift_points"][index]["hole_axis"] = json!([1, 0, 0]);
    }
    let share =
        of(&assess(&stated, &rules), Code::SideLoad)[0].capacity.as_ref().unwrap().value() / (6_500.0 * 9.80665);
    assert!((share - 0.7).abs() < 1e-12, "{share}");
}

#[test]
fn a_least_leg_angle_that_is_not_settled_does_not_pass() {
    let limit = |condition: &str| {
        set(&[
            basis("marked rating"),
            rule("least leg angle", &format!("{condition}relation = \"constant\"\nvalue = 45\nunit = \"deg\"")),
        ])
    };
    let flat = two_legs("2 t", 60.0);
    let verdicts = |rules: &RuleSet| {
        of(&assess(&flat, rules), Code::LegAngle).iter().map(|finding| finding.verdict).collect::<Vec<_>>()
    };
    assert_eq!(verdicts(&limit("")), [Verdict::Fail; 2]);
    assert_eq!(verdicts(&limit("when = { service = \"fabrication yard\" }\n")), [Verdict::CannotConclude; 2]);
    assert!(
        verdicts(&limit("when = { construction = \"chain\" }\n")).is_empty(),
        "the limit of other gear is none for this"
    );
    let withheld = rule("least leg angle", "relation = \"withheld\"\nwhy = \"on the next page\"");
    assert_eq!(verdicts(&set(&[basis("marked rating"), withheld])), [Verdict::CannotConclude; 2]);
}

#[test]
fn what_a_rule_asks_and_nobody_states_is_told_where_it_can_be_mended() {
    let strength = |keys: &str| {
        let factor = rule("design factor", &format!("{keys}relation = \"constant\"\nvalue = 7"));
        let rules = set(&[basis("breaking load divided by factor"), factor]);
        of(&assess(&one_leg("4 t"), &rules), Code::SlingStrength)[0].clone()
    };
    assert!((strength("").utilization.unwrap() - 4.0 / (35.0 / 7.0)).abs() < 1e-9);
    // A key of the sling, by its place.
    let number = strength("input = [{ fact = \"reference number\", at_least = 1, policy = \"no\" }]\n");
    assert_eq!(number.missing[0].place.as_str(), "/slings/0/reference_number");
    // What no question about a sling states is the rule's to mend: nothing that is added to the document would.
    let cranes = strength("input = [{ fact = \"number of cranes\" }]\n");
    assert_eq!((cranes.verdict, cranes.missing.len()), (Verdict::CannotConclude, 0));
    assert!(cranes.text.contains("let the rule look at"), "{}", cranes.text);
    // The breaking load that the sling does state is not asked for again.
    let load = strength("input = [{ fact = \"breaking load\", unit = \"kN\" }]\n");
    assert!(load.missing.is_empty(), "{:?}", load.missing);
}

#[test]
fn a_sling_closed_upon_itself_needs_no_ends_to_be_rated_by_its_parts() {
    let marine = RuleSet::built_in("marine-0027-nd-2016").unwrap();
    let mut lift = one_leg("20 t");
    let sling = &mut lift["slings"][0];
    for (key, value) in [
        ("construction", json!("grommet")),
        ("material", json!("HMPE")),
        ("diameter", json!("40 mm")),
        ("service", json!("jacket_intact")),
        ("certification", json!("certified")),
        ("twisting_possible", json!(false)),
        (
            "stiffness",
            json!({ "law": { "ea": "100 MN" }, "basis": "whole", "condition": "bedded", "source": "record 3" }),
        ),
        ("strength", json!({ "breaking_load": "2000 kN", "basis": "whole", "source": "certificate" })),
        ("tag", json!({ "legible": true })),
    ] {
        sling[key] = value;
    }
    // Half of the breaking load over the greater share 0.55, over 1.3·1.3·1.0·1.0·2.0.
    let expected = 2e6 * 0.5 / 0.55 / (1.3 * 1.3 * 2.0);
    let found = |lift: &Value| of(&assess(lift, &marine), Code::SlingStrength)[0].clone();
    let capacity = found(&lift).capacity.expect("a grommet is rated").value();
    assert!((capacity / expected - 1.0).abs() < 1e-12, "{capacity} N, {expected} N by hand");
    // An end that the guideline has no factor for is named, and so is the key it stands under.
    lift["slings"][0]["termination"] = json!("steel_ferrule");
    let refused = found(&lift);
    assert_eq!((refused.verdict, refused.place.as_str()), (Verdict::CannotConclude, "/slings/0/termination"));
    assert!(refused.text.contains("gives none for what is stated"), "{}", refused.text);
}

#[test]
fn a_limit_of_steel_gear_is_none_for_a_fiber() {
    let rules = RuleSet::built_in("us-general").unwrap();
    let mut lift = one_leg("2 t");
    lift["environment"]["temperature"] = json!(["10 degC", "150 degC"]);
    lift["environment"]["location"] = json!("onshore");
    let sling = lift["slings"][0].as_object_mut().unwrap();
    sling.insert("construction".into(), json!("chain"));
    sling.insert("material".into(), json!("HMPE"));
    sling.remove("termination");
    sling.remove("temperature_range");
    let assessment = assess(&lift, &rules);
    let told = of(&assessment, Code::Temperature);
    assert_eq!(told.len(), 1, "the 600 degF of alloy chain say nothing of HMPE");
    assert_eq!(told[0].missing[0].place.as_str(), "/slings/0/temperature_range");
    let steel = |lift: &mut Value| {
        lift["slings"][0]["material"] = json!("alloy steel");
        lift["slings"][0]["grade"] = json!(8);
    };
    steel(&mut lift);
    let highest = of(&assess(&lift, &rules), Code::Temperature)[1].capacity.as_ref().unwrap().value();
    assert!((highest - (600.0 + 459.67) / 1.8).abs() < 1e-9, "{highest} K");
}

#[test]
fn statements_that_do_not_go_together_do_not_pass() {
    let rules = set(&[basis("marked rating")]);
    let assessed = |changes: &[(&str, Value)]| {
        let mut lift = one_leg("2 t");
        for (key, value) in changes {
            lift["slings"][0][*key] = value.clone();
        }
        assess(&lift, &rules)
    };
    assert_eq!(assessed(&[]).verdict, Verdict::Pass);
    for (changes, key) in [
        (vec![("construction", json!("wire_rope"))], "material"),
        (vec![("construction", json!("cable_laid_wire_rope")), ("material", json!("HMPE"))], "material"),
        (vec![("grade", json!(8))], "grade"),
        (vec![("construction", json!("chain")), ("grade", json!(8))], "grade"),
        (vec![("core", json!("IWRC"))], "core"),
        (vec![("finish", json!("galvanized"))], "finish"),
    ] {
        let assessment = assessed(&changes);
        let told = of(&assessment, Code::Consistency);
        let place = format!("/slings/0/{key}");
        assert!(
            told.iter().any(|finding| finding.place.as_str() == place && finding.verdict == Verdict::CannotConclude),
            "{changes:?}: {told:?}"
        );
        assert_eq!(assessment.verdict, Verdict::CannotConclude, "{changes:?}");
    }
    // What is one of its kind says nothing against itself.
    let chain = assessed(&[("construction", json!("chain")), ("material", json!("alloy steel")), ("grade", json!(8))]);
    assert!(!of(&chain, Code::Consistency).iter().any(|finding| finding.place.as_str().ends_with("/grade")));
}

#[test]
fn a_word_that_nothing_reads_is_refused_with_those_that_are_read() {
    let refused = |rules: &str| RuleSet::from_toml(&format!("{SCOPE}{rules}")).unwrap_err();
    let error = refused(&basis("marked"));
    assert_eq!((error.code(), error.place().as_str()), ("unknown_name", "/rule/3/words/0"));
    for told in
        ["\"marked rating\", \"table\", \"breaking load divided by factor\"", "nearest known name is \"marked rating\""]
    {
        assert!(error.to_string().contains(told), "{error}");
    }
    assert_eq!(refused(&rule("taken from", "relation = \"words\"\nwords = [\"tables\"]")).code(), "unknown_name");
    // A way of looking up that does not exist is told where it stands, not at the rows that it would have read.
    let table = "relation = \"table\"\nrows = \"temperature\"\nrow_lookup = \"bands\"\n\
                 input = [{ fact = \"temperature\", unit = \"degC\" }]\ncells = [[{ at_most = 40 }, 1.0]]";
    let error = refused(&rule("temperature factor", table));
    assert_eq!((error.code(), error.place().as_str()), ("unknown_name", "/rule/3/row_lookup"));
    // A word of the vocabulary with none near it is told all there are.
    let text = format!(
        "{SCOPE}{}",
        rule("choke factor", "when = { hitch = \"cinched tight\" }\nrelation = \"constant\"\nvalue = 0.8")
    );
    let complaint = lint(&text).into_iter().find(|complaint| complaint.refused).unwrap();
    assert_eq!(complaint.code, ComplaintCode::UnknownName);
    for word in ["straight", "doubled", "choker", "basket", "parallel basket"] {
        assert!(complaint.write.contains(word), "{}", complaint.write);
    }
}

#[test]
fn a_margin_that_asks_for_more_than_the_number_of_cranes_says_so() {
    let margin =
        rule("crane margin", "when = { \"sling pairing\" = \"matched pairs\" }\nrelation = \"constant\"\nvalue = 1.2");
    let rules = set(&[basis("marked rating"), margin]);
    let assessment = assess(&one_leg("2 t"), &rules);
    let told = of(&assessment, Code::CraneShare);
    assert_eq!((told.len(), told[0].verdict), (1, Verdict::CannotConclude));
    assert!(told[0].missing.is_empty() && told[0].text.contains("number of cranes"), "{}", told[0].text);
}

#[test]
fn a_bend_over_a_point_takes_the_diameter_stated_of_the_point() {
    let rules = set(&[
        basis("marked rating"),
        rule("hitch factor", "when = { hitch = \"parallel basket\" }\nrelation = \"constant\"\nvalue = 2"),
    ]);
    let mut lift = one_leg("2 t");
    let mut points = two_legs("2 t", 10.0)["load"]["lift_points"].clone();
    lift["load"]["lift_points"] = points.clone();
    let over =
        |name: &str| json!({ "over": { "station": name, "friction": { "value": [0.1, 0.3], "source": "trial" } } });
    lift["legs"][0]["hitch"] = json!("basket");
    lift["legs"][0]["path"] = json!([{ "end": "hook" }, over("P1"), over("P2"), { "end": "hook" }]);
    lift["slings"][0]["length"]["value"] = json!("8 m");
    let bends = |lift: &Value| {
        let assessment = assess(lift, &rules);
        let at = |name: &str| {
            let found = of(&assessment, Code::Bend);
            let found = found.into_iter().find(|finding| finding.item.ends_with(name)).unwrap();
            (found.verdict, found.missing.first().map(|missing| missing.place.as_str().to_owned()))
        };
        [at("P1"), at("P2")]
    };
    assert_eq!(bends(&lift), [(Verdict::Pass, None), (Verdict::Pass, None)]);
    points[0]["bearing_diameter"] = json!("20 mm");
    points[1].as_object_mut().unwrap().remove("bearing_diameter");
    lift["load"]["lift_points"] = points;
    let asked = "/legs/0/path/2/over/bearing_diameter".to_owned();
    assert_eq!(bends(&lift), [(Verdict::Fail, None), (Verdict::CannotConclude, Some(asked))]);
}

#[test]
fn a_plate_that_cannot_be_as_it_is_stated_does_not_pass() {
    let rules = set(&[basis("marked rating")]);
    let plate = |radius: &str, least: &str, most: &str| {
        let mut lift = on_shackles(two_legs("2 t", 10.0));
        lift["load"]["lift_points"][1]["pin_plate"] = json!({ "outer_radius": radius,
            "yield_strength": { "value": least, "source": "steel" }, "tensile_strength": { "value": most, "source": "steel" } });
        let assessment = assess(&lift, &rules);
        let told = of(&assessment, Code::Consistency)
            .into_iter()
            .map(|finding| (finding.item.to_string(), finding.place.clone()));
        told.map(|(item, place)| (item, place.as_str().rsplit('/').next().unwrap().to_owned())).collect::<Vec<_>>()
    };
    assert!(plate("60 mm", "248 MPa", "400 MPa").is_empty());
    assert_eq!(plate("19 mm", "248 MPa", "400 MPa"), [("P2".to_owned(), "outer_radius".to_owned())]);
    assert!(plate("19.1 mm", "248 MPa", "400 MPa").is_empty(), "the hole is 38 mm wide");
    assert_eq!(plate("60 mm", "400 MPa", "248 MPa"), [("P2".to_owned(), "yield_strength".to_owned())]);
    assert!(plate("60 mm", "400 MPa", "400 MPa").is_empty());
}
