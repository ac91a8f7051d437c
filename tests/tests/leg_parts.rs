//! Parts in parallel and slings in series within one leg, against the same drawn as legs and joints of their own.
#![allow(clippy::unwrap_used, clippy::panic, clippy::indexing_slicing)]

#[path = "support/patching.rs"]
mod patching;

use approx::assert_relative_eq;
use rigging_core::arrangement::Lift;
use rigging_core::checks::{Assessment, AssumptionCode, Code, Finding, Verdict};
use rigging_core::equilibrium::Certificate;
use rigging_core::error::Error;
use rigging_core::rules::RuleSet;
use serde_json::{Value, json};

/// Two ways of drawing the same thing round differently, and no more.
const ROUNDING: f64 = 1.0e-9;

fn read(document: &Value) -> Lift {
    Lift::from_json(&document.to_string()).unwrap_or_else(|error| panic!("{error:?}"))
}

fn solve(document: &Value) -> Certificate {
    read(document).solve().unwrap()
}

fn assess(document: &Value, rules: &str) -> Assessment {
    read(document).assess(&RuleSet::built_in(rules).unwrap()).unwrap()
}

/// The skid with the law of its first sling, and what it is quoted for.
fn skid(law: &Value, change: impl Fn(&mut Value)) -> Value {
    let mut document = patching::demo("generator-skid-round-edge");
    document["slings"][0]["stiffness"]["law"] = law.clone();
    change(&mut document["slings"][0]);
    document
}

/// A second leg beside the first, with a sling and fittings like those of the first.
fn beside(mut document: Value) -> Value {
    let mut leg = document["legs"][0].clone();
    let rename = |item: &Value| json!(format!("{} (second)", item.as_str().unwrap()));
    for list in ["slings", "fittings"] {
        let names: Vec<Value> = leg["items"].as_array().unwrap().clone();
        let copies: Vec<Value> =
            document[list].as_array().unwrap().iter().filter(|item| names.contains(&item["name"])).cloned().collect();
        for mut copy in copies {
            copy["name"] = rename(&copy["name"]);
            document[list].as_array_mut().unwrap().push(copy);
        }
    }
    leg["name"] = rename(&leg["name"]);
    leg["items"] = leg["items"].as_array().unwrap().iter().map(rename).collect();
    document["legs"].as_array_mut().unwrap().push(leg);
    document
}

/// The law with every force times `factor`.
fn times(law: &Value, factor: f64) -> Value {
    let scaled = |force: &Value| {
        json!(format!("{} kN", force.as_str().unwrap().trim_end_matches(" kN").parse::<f64>().unwrap() * factor))
    };
    if let Some(ea) = law.get("ea") {
        return json!({"ea": scaled(ea)});
    }
    if let Some(list) = law.get("polynomial") {
        return json!({"polynomial": list.as_array().unwrap().iter().map(scaled).collect::<Vec<_>>()});
    }
    let points = law["points"].as_array().unwrap().iter();
    json!({"points": points.map(|point| json!([point[0], scaled(&point[1])])).collect::<Vec<_>>()})
}

fn laws() -> [Value; 3] {
    [
        json!({"ea": "6000 kN"}),
        json!({"polynomial": ["3000 kN", "250000 kN"]}),
        json!({"points": [["0.5 %", "20 kN"], ["1.5 %", "90 kN"]]}),
    ]
}

#[test]
fn parts_in_parallel_are_legs_of_their_own_side_by_side() {
    let mut ran = 0;
    for law in laws() {
        // One leg of n parts of half, or a quarter, of the stiffness against two legs of half the stiffness each.
        let two = solve(&beside(skid(&times(&law, 0.5), |_| ())));
        let one = |share: f64, hitch: &str, change: &dyn Fn(&mut Value)| {
            let mut document = skid(&times(&law, share), change);
            document["legs"][0]["hitch"] = json!(hitch);
            solve(&document)
        };
        let basis = |word: &'static str| move |sling: &mut Value| sling["stiffness"]["basis"] = json!(word);
        let four_parts = |sling: &mut Value| {
            sling["stiffness"]["basis"] = json!("part");
            sling["parts"] = json!(4);
        };
        let grommet = |sling: &mut Value| {
            sling["stiffness"]["basis"] = json!("part");
            sling["construction"] = json!("grommet");
        };
        let single = |sling: &mut Value| {
            // One rope with two eyes: nothing to state while it hangs straight.
            sling["construction"] = json!("laid_rope");
            sling["stiffness"].as_object_mut().unwrap().remove("basis");
            sling["termination"] = json!("sewn_eye");
        };
        for drawn in [
            one(1.0, "straight", &basis("whole")),
            one(1.0, "straight", &basis("as_hung")),
            one(1.0, "doubled", &basis("as_hung")),
            one(1.0, "straight", &single),
            one(0.5, "straight", &basis("part")),
            one(0.5, "straight", &grommet),
            one(0.5, "doubled", &basis("whole")),
            one(0.25, "doubled", &basis("part")),
            one(0.25, "straight", &four_parts),
            one(0.125, "doubled", &four_parts),
        ] {
            ran += 1;
            let sum = two.members[0].tension + two.members[4].tension;
            assert_relative_eq!(two.members[0].tension, two.members[4].tension, max_relative = ROUNDING);
            assert_relative_eq!(drawn.members[0].tension, sum, max_relative = ROUNDING);
            for leg in 1..4 {
                assert_relative_eq!(drawn.members[leg].tension, two.members[leg].tension, max_relative = ROUNDING);
            }
            assert!(drawn.bodies[0].position.distance(two.bodies[0].position) < ROUNDING);
        }
        // Taking one basis for the other is no rounding: the share of the leg changes.
        let wrong = one(1.0, "straight", &basis("part"));
        assert!((wrong.members[0].tension / (2.0 * two.members[0].tension) - 1.0).abs() > 0.05);
    }
    println!("parts in parallel: {ran} ran, 0 skipped");
    assert_eq!(ran, 30);
}

#[test]
fn several_legs_to_one_point_share_only_if_matched() {
    // Two springs side by side: their tensions differ by k·δ, and they bear together what one of twice k bears whose
    // length is the mean.
    let law = json!({"ea": "3000 kN"});
    let (length, off) = (6.0, 0.008);
    let mut document = beside(skid(&law, |sling| sling["length"]["value"] = json!(format!("{} m", length + off))));
    document["slings"][4]["length"]["value"] = json!(format!("{} m", length - off));
    let certificate = solve(&document);
    let [long, short] = [0, 4].map(|member| certificate.members[member].tension);
    let at = certificate.members[0].length;
    // T = EA·(l − L)/L for either.
    assert_relative_eq!(
        short - long,
        3.0e6 * at * (1.0 / (length - off) - 1.0 / (length + off)),
        max_relative = 1.0e-6
    );
    let mean = solve(&skid(&json!({"ea": "6000 kN"}), |_| ()));
    assert_relative_eq!(long + short, mean.members[0].tension, max_relative = 1.0e-4);
    // A state of self-stress ties the two, and says what their lengths do.
    let balance = read(&document).hang().unwrap();
    let found = balance.self_stress(1.0e-9).unwrap();
    assert_eq!(found.states, 2); // the four corners, and the pair
    let change = found.tension_per_length[0][0] - found.tension_per_length[0][4];
    assert!(change < -0.99 * 3.0e6 / length, "{change}");
    // Far enough apart, one bears all.
    let far = 0.06;
    document["slings"][0]["length"]["value"] = json!(format!("{} m", length + far));
    document["slings"][4]["length"]["value"] = json!(format!("{} m", length - far));
    assert!(solve(&document).members[0].slack);
}

/// Shackle, upper sling, ring and lower sling in one leg; or the two slings as legs of their own that meet at a joint.
fn series(upper: &Value, lower: &Value, joint: bool) -> Lift {
    let mut document = patching::demo("generator-skid-round-edge");
    let leg = document["legs"][0].clone();
    let (hook, lug) = (leg["path"][0].clone(), leg["path"][1].clone());
    let mut slings = Vec::new();
    for (name, law, length) in [("upper", upper, "2.1 m"), ("lower", lower, "3.6 m")] {
        let mut sling = document["slings"][0].clone();
        sling["name"] = json!(name);
        sling["length"]["value"] = json!(length);
        sling["length"]["measured"] = json!("bearing_to_bearing");
        sling["stiffness"]["law"] = law.clone();
        slings.push(sling);
    }
    document["slings"].as_array_mut().unwrap().extend(slings);
    let mut fitting = |name: &str, kind: &str, length: &str| {
        let mut fitting = document["fittings"][0].clone();
        fitting["name"] = json!(name);
        fitting["kind"] = json!(kind);
        fitting["length"] = json!(length);
        document["fittings"].as_array_mut().unwrap().push(fitting);
    };
    fitting("shackle", "bow_shackle", "120 mm");
    fitting("ring", "ring", "180 mm");
    let mut whole = leg;
    whole["items"] = json!(["shackle", "upper", "ring", "lower"]);
    if joint {
        // The first leg ends at a joint on the line from hook to lug; the ring counts to the second.
        let point = document["load"]["lift_points"]
            .as_array()
            .unwrap()
            .iter()
            .find(|point| point["name"] == lug["end"])
            .unwrap();
        let number =
            |axis: usize| point["position"][axis].as_str().unwrap().trim_end_matches(" m").parse::<f64>().unwrap();
        let center = |axis: usize| {
            let text = document["load"]["center_of_gravity"]["position"][axis].as_str().unwrap().to_owned();
            text.trim_end_matches(" m").parse::<f64>().unwrap()
        };
        let along = 2.22 / 6.0;
        let hook_height = number(2) + 4.5;
        let place = [
            center(0) + along * (number(0) - center(0)),
            center(1) + along * (number(1) - center(1)),
            hook_height + along * (number(2) - hook_height),
        ];
        document["joints"] = json!([{"name": "between", "position": place.map(|x| format!("{x} m"))}]);
        let mut second = whole.clone();
        whole["path"] = json!([hook, {"end": "between"}]);
        whole["items"] = json!(["shackle", "upper"]);
        second["name"] = json!("second");
        second["path"] = json!([{"end": "between"}, lug]);
        second["items"] = json!(["ring", "lower"]);
        document["legs"].as_array_mut().unwrap().push(second);
    }
    document["legs"][0] = whole;
    read(&document)
}

#[test]
fn items_in_series_are_legs_that_meet_at_a_joint() {
    let [line, curve, points] = laws();
    let soft = json!({"points": [["1 %", "15 kN"], ["2.5 %", "70 kN"], ["4 %", "120 kN"]]});
    let mut ran = 0;
    for (upper, lower) in [(&line, &line), (&line, &points), (&points, &line), (&points, &soft), (&soft, &points)] {
        ran += 1;
        let (one, two) = (series(upper, lower, false).solve().unwrap(), series(upper, lower, true).solve().unwrap());
        assert_relative_eq!(two.members[0].tension, two.members[4].tension, max_relative = ROUNDING);
        for leg in 0..4 {
            assert_relative_eq!(one.members[leg].tension, two.members[leg].tension, max_relative = ROUNDING);
        }
        // Both slings stretch: over the whole leg, the elongations add up.
        let stretch = two.members[0].length + two.members[4].length;
        assert_relative_eq!(one.members[0].length, stretch, max_relative = ROUNDING);
    }
    println!("items in series: {ran} ran, 0 skipped");
    assert_eq!(ran, 5);
    let error = series(&curve, &line, false).solve().unwrap_err();
    assert_eq!((error.code(), error.place().as_str()), ("unsupported", "/slings/4/stiffness/law/polynomial"));
}

/// What keeps the document from a verdict, where a key is missing.
fn missing(document: &Value) -> Vec<String> {
    let assessment = assess(document, "us-general");
    // Something else may fail with this gear; without a balance nothing passes.
    assert_ne!(assessment.verdict, Verdict::Pass);
    let findings = assessment.findings.iter().filter(|finding| finding.code == Code::Equilibrium);
    let open = findings.filter(|finding| finding.verdict == Verdict::CannotConclude);
    open.flat_map(|finding| &finding.missing).map(|input| input.place.as_str().to_owned()).collect()
}

#[test]
fn where_the_basis_matters_and_is_not_stated_nothing_is_concluded() {
    let without = |construction: &str, termination: Option<&str>, hitch: &str| {
        let mut document = patching::demo("generator-skid-round-edge");
        let sling = &mut document["slings"][1];
        sling["construction"] = json!(construction);
        sling["diameter"] = json!("60 mm");
        match termination {
            Some(word) => sling["termination"] = json!(word),
            None => drop(sling.as_object_mut().unwrap().remove("termination")),
        }
        sling["stiffness"].as_object_mut().unwrap().remove("basis");
        document["legs"][1]["hitch"] = json!(hitch);
        document
    };
    let basis = ["/slings/1/stiffness/basis"];
    for endless in ["roundsling", "grommet", "endless_rope"] {
        assert_eq!(missing(&without(endless, None, "straight")), basis);
    }
    assert_eq!(missing(&without("web", Some("endless"), "straight")), basis);
    assert_eq!(missing(&without("wire_rope", Some("endless"), "straight")), basis);
    // Webbing may be a loop or not; as long as nobody says, it matters.
    assert_eq!(missing(&without("web", None, "straight")), basis);
    assert_eq!(missing(&without("laid_rope", Some("hand_splice"), "doubled")), basis);
    for single in ["laid_rope", "wire_rope", "web"] {
        let document = without(single, Some("sewn_eye"), "straight");
        assert!(read(&document).solve().is_ok(), "{single}");
    }
    // A part of how many is as open.
    let mut document = without("web", None, "straight");
    document["slings"][1]["stiffness"]["basis"] = json!("part");
    assert_eq!(missing(&document), ["/slings/1/parts"]);
    document["slings"][1]["parts"] = json!(2);
    assert!(read(&document).solve().is_ok());
    // A sling that runs over something has one law for every span: quoted as hung says nothing about it.
    let mut document = patching::demo("pump-doubled-sling");
    document["slings"][0]["stiffness"].as_object_mut().unwrap().remove("basis");
    assert_eq!(missing(&document), ["/slings/0/stiffness/basis"]);
    document["slings"][0]["construction"] = json!("laid_rope");
    document["slings"][0]["termination"] = json!("hand_splice");
    assert_eq!(missing(&document), ["/slings/0/stiffness/basis"]);
    document["slings"][0]["stiffness"]["basis"] = json!("as_hung");
    let error = read(&document).solve().unwrap_err();
    assert!(matches!(error, Error::Unsupported { .. }), "{error:?}");
    assert_eq!(error.place().as_str(), "/slings/0/stiffness/basis");
}

#[test]
fn a_running_sling_quoted_by_the_part_is_twice_as_stiff() {
    let pump = |basis: &str, ea: &str| {
        let mut document = patching::demo("pump-doubled-sling");
        document["slings"][0]["stiffness"]["law"]["ea"] = json!(ea);
        document["slings"][0]["stiffness"]["basis"] = json!(basis);
        solve(&document)
    };
    assert_eq!(pump("part", "3 MN").members, pump("whole", "6 MN").members);
    assert_ne!(pump("part", "6 MN").members, pump("whole", "6 MN").members);
}

#[test]
fn the_assumptions_say_what_a_stiffness_is_quoted_for() {
    let document = skid(&json!({"ea": "3000 kN"}), |sling| sling["stiffness"]["basis"] = json!("part"));
    let assessment = assess(&document, "us-general");
    assert_eq!(assessment.verdict, Verdict::Pass);
    let texts: Vec<&str> = assessment
        .assumptions
        .iter()
        .filter(|assumption| assumption.code == AssumptionCode::Stiffness)
        .map(|assumption| assumption.text.as_str())
        .collect();
    assert!(texts[0].contains("quoted for one part; 2 side by side"), "{texts:?}");
    assert!(texts[1].contains("quoted for the whole sling in a straight pull"), "{texts:?}");
}

#[test]
fn what_is_stated_is_kept_in_the_canonical_text() {
    let mut document = patching::demo("vessel-two-cranes");
    let whole = read(&document);
    document["slings"][0]["stiffness"]["basis"] = json!("part");
    document["slings"][0]["parts"] = json!(2);
    let part = read(&document);
    let canonical = part.canonical().unwrap();
    assert!(canonical.contains(r#""parts":2,"stiffness":{"law":{"ea":"200 MN"},"basis":"part","#), "{canonical}");
    assert_eq!(Lift::from_json(&canonical).unwrap(), part);
    assert_ne!(part.hash(), whole.hash());
    // Not known is left out, and reads the same.
    document["slings"][0]["stiffness"]["basis"] = json!("unknown");
    document["slings"][0]["parts"] = json!("unknown");
    let open = read(&document).canonical().unwrap();
    assert!(!open[..open.find("grommet B").unwrap()].contains(r#""basis":"part""#));
}

#[test]
fn a_doubled_sling_hangs_and_its_rating_is_open() {
    let mut document = patching::demo("generator-skid-round-edge");
    document["legs"][2]["hitch"] = json!("doubled");
    for rules in ["us-general", "marine-0027-nd-2016"] {
        let assessment = assess(&document, rules);
        let finding = assessment
            .findings
            .iter()
            .find(|finding| finding.code == Code::SlingStrength && finding.item.as_str() == "roundsling C")
            .unwrap();
        assert_eq!(finding.verdict, Verdict::CannotConclude, "{rules}: {finding:?}");
        // How it bends and fits, bight and two ends, is not looked at either.
        let of_it = |finding: &&Finding| {
            matches!(finding.code, Code::Bend | Code::Fit) && finding.item.as_str().starts_with("roundsling C")
        };
        let found: Vec<&Finding> = assessment.findings.iter().filter(of_it).collect();
        assert!(
            found.len() >= 2 && found.iter().all(|finding| finding.verdict == Verdict::CannotConclude),
            "{found:?}"
        );
    }
    // Its length pulled straight is not the length of the leg.
    document["slings"][2]["length"]["measured"] = json!("bearing_to_bearing");
    let error = read(&document).solve().unwrap_err();
    assert_eq!((error.code(), error.place().as_str()), ("unsupported", "/slings/2/length/measured"));
}

#[test]
fn a_grommet_of_more_than_two_parts_is_not_rated_by_them() {
    let mut document = patching::demo("vessel-two-cranes");
    let strength = |document: &Value| {
        let assessment = assess(document, "marine-0027-nd-2016");
        assessment.findings.iter().find(|finding| finding.code == Code::SlingStrength).unwrap().clone()
    };
    let two = strength(&document);
    document["slings"][0]["parts"] = json!(4);
    let four = strength(&document);
    assert_ne!(two.place.as_str(), "/slings/0/parts");
    assert_eq!((four.verdict, four.place.as_str()), (Verdict::CannotConclude, "/slings/0/parts"));
}
