//! A choke lift of a pipe bundle: rated by a fixed factor, by the angle of choke, and as a set; whether the chokes stay; the
//! edge and its sleeve.
//!
//! Expected figures are worked here from the weight, the angle and the printed factors, apart from the library.

use super::finding::{GRAVITY, assess, built_in, capacity, changed, first, of, own};
use approx::assert_relative_eq;
use rigging_core::checks::{Code, Verdict};
use rigging_core::rules::RuleSet;
use serde_json::{Value, json};

const DEMO: &str = "lay-down-pipes-choked";

/// Sources of the sets below: where each printed factor stands.
const SOURCES: &str = r#"
[[source]]
id = "modes"
document = "EN 1492-1, mode factors as repeated on public pages"
standing = "secondary"

[[source]]
id = "angle of choke"
document = "Angle of choke table after ASME B30.9, as quoted by public pages for web slings and roundslings"
standing = "secondary"

[[source]]
id = "edges"
document = "DGUV Regel 109-017, and AS 4497.2 as repeated in a trade bulletin"
standing = "secondary"
"#;

/// The choked mode factor of webbing, taken over for roundslings.
const FIXED: &str = r#"
[[rule]]
answers = "choke factor"
name = "choked over straight"
when = { construction = "roundsling", material = "polyester" }
relation = "constant"
value = 0.8
source = "modes"
clause = "table of mode factors, choked"
"#;

/// Bands of the angle of choke.
const BY_ANGLE: &str = r#"
[[rule]]
answers = "choke angle factor"
name = "share of the choked rating"
when = { construction = "roundsling", material = "polyester" }
input = [{ fact = "choke angle", unit = "deg" }]
unit = "%"
relation = "table"
rows = "choke angle"
row_lookup = "band"
cells = [
  [{ at_least = 60, less_than = 90 }, 74],
  [{ at_least = 90, at_most = 120 }, 87],
  [{ more_than = 120 }, 100],
]
source = "angle of choke"
clause = "angle of choke"
"#;

/// Two choked legs: 1.4 for two legs to 45°, times 0.8.
const TWO_LEGS: &str = r#"
[[rule]]
answers = "leg factor"
name = "two choked legs"
when = { construction = "roundsling", material = "polyester", hitch = "choker", configuration = "two legs" }
input = [{ fact = "angle from horizontal", unit = "deg", as = "from vertical", at_most = 45, policy = "no factor is printed for flatter choked legs" }]
relation = "product"
times = [1.4, 0.8]
source = "modes"
clause = "table of mode factors"
standing = "derived"
"#;

fn set(rules: &[&str]) -> RuleSet {
    own("quay", SOURCES, &rules.concat())
}

/// The lift with nothing off its nominal numbers, so that figures by hand are exact.
fn exact(changes: &[(&str, Value)]) -> Value {
    let mut all = vec![
        ("/load/center_of_gravity/tolerance", json!(["0 mm", "0 mm", "0 mm"])),
        ("/slings/0/length/tolerance", json!("0 mm")),
        ("/slings/1/length/tolerance", json!("0 mm")),
    ];
    all.extend_from_slice(changes);
    changed(DEMO, &all)
}

#[test]
fn the_factor_passes_what_the_angle_and_the_set_fail() {
    let half = 5050.0 * GRAVITY / 2.0;
    let leg = half / 35.0_f64.to_radians().cos();
    let wll = 4000.0 * GRAVITY;
    for (rules, rated, utilization, verdict) in [
        (set(&[FIXED]), wll * 0.8, 0.963, Verdict::Pass),
        (set(&[FIXED, BY_ANGLE]), wll * 0.8 * 0.87, 1.107, Verdict::Fail),
    ] {
        let assessment = assess(&exact(&[]), &rules);
        let strengths = of(&assessment, Code::SlingStrength);
        assert_eq!(strengths.len(), 2);
        for finding in strengths {
            assert_relative_eq!(capacity(finding), rated, max_relative = 1e-12);
            // The unstretched length is rounded to a millimeter, so that the leg stands at 35.0 deg within 0.01 deg.
            assert_relative_eq!(finding.demand.as_ref().unwrap().value(), leg, max_relative = 1e-4);
            assert_relative_eq!(finding.utilization.unwrap(), leg / rated, max_relative = 1e-4);
            assert!((finding.utilization.unwrap() - utilization).abs() < 6e-4, "{:?}", finding.utilization);
            assert_eq!(finding.verdict, verdict);
            assert!(finding.capacity.as_ref().unwrap().is_coherent());
        }
        assert!(of(&assessment, Code::SetOfLegs).is_empty(), "no rule speaks of a set");
    }
    let assessment = assess(&exact(&[]), &set(&[FIXED, TWO_LEGS]));
    let finding = first(&assessment, Code::SetOfLegs);
    assert_relative_eq!(capacity(finding), wll * 1.12, max_relative = 1e-12);
    assert_relative_eq!(finding.demand.as_ref().unwrap().value(), 5050.0 * GRAVITY, max_relative = 1e-12);
    assert!((finding.utilization.unwrap() - 1.127).abs() < 5e-4, "{:?}", finding.utilization);
    assert_eq!((finding.verdict, assessment.verdict), (Verdict::Fail, Verdict::Fail));
    // The angle of choke lowers the set as it lowers one leg.
    let assessment = assess(&exact(&[]), &set(&[FIXED, BY_ANGLE, TWO_LEGS]));
    assert_relative_eq!(capacity(first(&assessment, Code::SetOfLegs)), wll * 1.12 * 0.87, max_relative = 1e-12);
    // Flatter than the table there is no figure for the set, and that is no pass.
    let flat = exact(&[("/slings/0/length/value", json!("4.2 m")), ("/slings/1/length/value", json!("4.2 m"))]);
    assert_eq!(first(&assess(&flat, &set(&[FIXED, TWO_LEGS])), Code::SetOfLegs).verdict, Verdict::CannotConclude);
}

#[test]
fn a_factor_that_does_not_look_at_the_hitch_stands_on_the_choked_rating() {
    let bare = TWO_LEGS.replace(", hitch = \"choker\"", "").replace("times = [1.4, 0.8]", "times = [1.4]");
    let assessment = assess(&exact(&[]), &set(&[FIXED, &bare]));
    assert_relative_eq!(
        capacity(first(&assessment, Code::SetOfLegs)),
        4000.0 * GRAVITY * 0.8 * 1.4,
        max_relative = 1e-12
    );
}

#[test]
fn a_choke_is_rated_by_rule_or_by_its_tag_and_never_by_silence() {
    let rules = built_in("us-general");
    let assessment = assess(&exact(&[]), &rules);
    let finding = first(&assessment, Code::SlingStrength);
    assert_eq!(finding.verdict, Verdict::CannotConclude, "{}", finding.text);
    assert_eq!(finding.missing[0].place.as_str(), "/slings/0/strength/wll_choke");
    assert_ne!(assessment.verdict, Verdict::Pass);
    let marked =
        exact(&[("/slings/0/strength/wll_choke", json!("3.2 t")), ("/slings/1/strength/wll_choke", json!("3.2 t"))]);
    let mut by_itself = marked.clone();
    for leg in 0..2 {
        super::patching::set(&mut by_itself, &format!("/legs/{leg}/hitch/choke/angle"), json!("125 deg choke"));
    }
    for finding in of(&assess(&by_itself, &rules), Code::SlingStrength) {
        assert_eq!(finding.verdict, Verdict::Pass);
        assert_relative_eq!(capacity(finding), 3200.0 * GRAVITY, max_relative = 1e-12);
    }
    // What is marked for a choke is lowered by its angle where the rule set says so.
    let finding = assess(&marked, &set(&[BY_ANGLE]));
    assert_relative_eq!(capacity(first(&finding, Code::SlingStrength)), 3200.0 * GRAVITY * 0.87, max_relative = 1e-12);
    // Without the angle nothing is concluded where a rule reads it, nor whether the choke stays.
    let mut open = exact(&[]);
    super::patching::remove(&mut open, "/legs/0/hitch/choke/angle");
    let assessment = assess(&open, &set(&[FIXED, BY_ANGLE]));
    let choked: Vec<&str> = [Code::SlingStrength, Code::Choke]
        .into_iter()
        .flat_map(|code| of(&assessment, code))
        .flat_map(|finding| finding.missing.iter().map(|missing| missing.place.as_str()))
        .collect();
    assert_eq!(choked, ["/legs/0/hitch/choke/angle", "/legs/0/hitch/choke/angle"]);
}

#[test]
fn what_is_marked_for_a_choke_holds_for_the_angle_that_it_takes_by_itself() {
    let at = |angle: &str, changes: &[(&str, Value)]| {
        let mut document = exact(&[]);
        for sling in 0..2 {
            super::patching::set(&mut document, &format!("/slings/{sling}/strength/wll_choke"), json!("3.2 t"));
            super::patching::set(
                &mut document,
                &format!("/legs/{sling}/hitch/choke/angle"),
                json!(format!("{angle} deg choke")),
            );
            for (key, value) in changes {
                super::patching::set(&mut document, &format!("/slings/{sling}/{key}"), value.clone());
            }
        }
        document
    };
    let strength = |document: &Value, rules: &RuleSet| first(&assess(document, rules), Code::SlingStrength).clone();
    let wire = [
        ("construction", json!("wire_rope")),
        ("material", json!("steel")),
        ("core", json!("IWRC")),
        ("diameter", json!("16 mm")),
        ("termination", json!("mechanical_splice")),
    ];
    let hmpe = [("material", json!("HMPE"))];
    let us = built_in("us-general");
    for changes in [&[][..], &wire[..], &hmpe[..]] {
        for angle in ["20", "60", "100", "119.9", "120"] {
            let document = at(angle, changes);
            let found = strength(&document, &us);
            assert_eq!(found.verdict, Verdict::CannotConclude, "{angle}: {}", found.text);
            assert!(found.text.contains(&format!("angle of choke of {angle} deg choke")), "{}", found.text);
            assert!(found.text.contains("\"choke angle factor\""), "{}", found.text);
            assert_eq!(found.place.as_str(), "/legs/0/hitch/choke/angle");
            assert_ne!(assess(&document, &us).verdict, Verdict::Pass);
        }
        for angle in ["120.1", "130"] {
            let found = strength(&at(angle, changes), &us);
            assert_eq!(found.verdict, Verdict::Pass, "{angle}: {}", found.text);
            assert_relative_eq!(capacity(&found), 3200.0 * GRAVITY, max_relative = 1e-12);
        }
    }
    // Where the set speaks of the angle, its figure counts.
    let found = strength(&at("20", &[]), &built_in("us-consensus"));
    assert_relative_eq!(capacity(&found), 3200.0 * GRAVITY * 0.49, max_relative = 1e-12);
    assert_eq!(found.verdict, Verdict::Fail);
    // And where it refuses an angle, a marking is no way round that.
    let chain = [
        ("construction", json!("chain")),
        ("material", json!("alloy steel")),
        ("grade", json!(80)),
        ("diameter", json!("0.5 in")),
        ("termination", json!("link")),
    ];
    for (angle, verdict) in [
        ("30", Verdict::CannotConclude),
        ("110", Verdict::CannotConclude),
        ("120", Verdict::CannotConclude),
        ("121", Verdict::Pass),
    ] {
        let found = strength(&at(angle, &chain), &us);
        assert_eq!(found.verdict, verdict, "{angle}: {}", found.text);
        assert_eq!(found.text.contains("the maker or a qualified person"), verdict != Verdict::Pass, "{}", found.text);
    }
    // A set with a bound of its own, above that of others.
    let bound = FIXED.replace(
        "relation = \"constant\"",
        "input = [{ fact = \"choke angle\", unit = \"deg\", more_than = 135, policy = \"ask the maker\" }]\nrelation = \"constant\"",
    );
    for (angle, verdict) in [("130", Verdict::CannotConclude), ("136", Verdict::Pass)] {
        let found = strength(&at(angle, &[]), &set(&[&bound]));
        assert_eq!(found.verdict, verdict, "{angle}: {}", found.text);
    }
    // A factor of the set that looks at no angle is its word for every choke: a marking above it counts where the choke sits
    // by itself.
    let more = [("strength/wll_choke", json!("3.6 t"))];
    for (angle, tons) in [("100", 3200.0), ("130", 3600.0)] {
        let found = strength(&at(angle, &more), &set(&[FIXED]));
        assert_relative_eq!(capacity(&found), tons * GRAVITY, max_relative = 1e-12);
        assert!(found.capacity.as_ref().unwrap().is_coherent());
    }
    // The angle is asked for.
    let mut open = at("130", &[]);
    super::patching::remove(&mut open, "/legs/0/hitch/choke/angle");
    let found = strength(&open, &us);
    assert_eq!(found.verdict, Verdict::CannotConclude);
    assert_eq!(found.missing[0].place.as_str(), "/legs/0/hitch/choke/angle");
}

/// The least and the most that friction holds of the pull, by quadrature over the turns.
fn holds(friction: f64, wraps: u32) -> (f64, f64) {
    const STEPS: u32 = 200_000;
    let turns = std::f64::consts::TAU * f64::from(wraps);
    let contact = turns - std::f64::consts::PI;
    let step = contact / f64::from(STEPS);
    let loose = (0..STEPS).map(|k| friction * (-friction * (f64::from(k) + 0.5) * step).exp() * step).sum();
    (loose, friction * turns)
}

#[test]
fn the_least_friction_decides_whether_a_pair_is_drawn_together() {
    let asked = 35.0_f64.to_radians().tan();
    assert!((asked - 0.70).abs() < 5e-3);
    let mut seen = Vec::new();
    for least in [0.02, 0.1, 0.15, 0.2, 0.3] {
        for wraps in [1, 2, 3] {
            let document = exact(&[
                ("/legs/0/hitch/choke/wraps", json!(wraps)),
                ("/legs/0/path/1/over/friction/value", json!([least, 0.9])),
            ]);
            let assessment = assess(&document, &set(&[FIXED]));
            let finding = of(&assessment, Code::Choke).into_iter().find(|finding| finding.item == "leg N").unwrap();
            let (loose, tight) = holds(least, wraps);
            let expected = match asked {
                ratio if ratio <= loose => Verdict::Pass,
                ratio if ratio <= tight => Verdict::CannotConclude,
                _ => Verdict::Fail,
            };
            assert_eq!(finding.verdict, expected, "{least}, {wraps} turns: {}", finding.text);
            assert_relative_eq!(finding.capacity.as_ref().unwrap().value().tan(), loose, max_relative = 1e-9);
            assert_relative_eq!(finding.demand.as_ref().unwrap().value().tan(), asked, max_relative = 3e-4);
            seen.push(expected);
        }
    }
    let count = |verdict| seen.iter().filter(|other| **other == verdict).count();
    println!(
        "{} chokes stay, {} slide, {} open",
        count(Verdict::Pass),
        count(Verdict::Fail),
        count(Verdict::CannotConclude)
    );
    assert_eq!((count(Verdict::Pass), count(Verdict::Fail), count(Verdict::CannotConclude)), (7, 4, 4));
    // A greater greatest friction changes nothing, and friction that nobody stated is not guessed.
    let mut open = exact(&[("/slings/0/material", json!("HMPE"))]);
    super::patching::remove(&mut open, "/legs/0/path/1/over/friction");
    let assessment = assess(&open, &set(&[FIXED]));
    let finding = of(&assessment, Code::Choke).into_iter().find(|finding| finding.verdict == Verdict::CannotConclude);
    let missing = &finding.unwrap().missing[0];
    assert!(missing.what.contains("HMPE"), "{}", missing.what);
    assert_eq!(missing.place.as_str(), "/legs/0/path/1/over/friction");
}

#[test]
fn a_rail_is_sharp_under_one_definition_and_its_sleeve_is_worth_nothing_known() {
    let sharp = |ratio: &str| {
        let rule = r#"
[[rule]]
answers = "sharp edge ratio"
name = "radius below which an edge is sharp, over the compressed thickness"
when = { construction = "roundsling" }
relation = "constant"
value = RATIO
source = "edges"
clause = "sharp edges"
"#;
        set(&[FIXED, &rule.replace("RATIO", ratio)])
    };
    // By the definitions alone: the maker says nothing.
    let mut defined = exact(&[]);
    for sling in 0..2 {
        super::patching::remove(&mut defined, &format!("/slings/{sling}/least_edge_radius"));
    }
    for (ratio, verdict) in [("1", Verdict::Pass), ("3", Verdict::CannotConclude)] {
        let assessment = assess(&defined, &sharp(ratio));
        for finding in of(&assessment, Code::Edge) {
            assert_eq!(finding.verdict, verdict, "{ratio}: {}", finding.text);
        }
        assert_eq!(of(&assessment, Code::Edge).len(), 2);
    }
    // What the maker asks for, 27 mm, binds beside a definition that calls the rail of 12 mm not sharp.
    let verdicts = |document: &serde_json::Value| {
        let assessment = assess(document, &sharp("1"));
        let verdicts: Vec<Verdict> = of(&assessment, Code::Edge).iter().map(|finding| finding.verdict).collect();
        [Verdict::Pass, Verdict::CannotConclude].map(|wanted| verdicts.iter().filter(|found| **found == wanted).count())
    };
    assert_eq!(verdicts(&exact(&[])), [2, 2]);
    let round = |leg: usize| (format!("/legs/{leg}/contacts/0/edge_radius"), json!("27 mm"));
    let mut rounder = exact(&[]);
    for (place, radius) in [round(0), round(1)] {
        super::patching::set(&mut rounder, &place, radius);
    }
    assert_eq!(verdicts(&rounder), [4, 0]);
    // Without the sleeve the edge that is sharp fails.
    let mut bare = defined.clone();
    for leg in 0..2 {
        super::patching::remove(&mut bare, &format!("/legs/{leg}/contacts/0/cover"));
    }
    assert_eq!(first(&assess(&bare, &sharp("3")), Code::Edge).verdict, Verdict::Fail);
}

#[test]
fn hmpe_is_not_choked_by_a_rule_for_polyester() {
    let document = exact(&[("/slings/0/material", json!("HMPE")), ("/slings/1/material", json!("HMPE"))]);
    let assessment = assess(&document, &set(&[FIXED, BY_ANGLE, TWO_LEGS]));
    for finding in of(&assessment, Code::SlingStrength) {
        assert_eq!(finding.verdict, Verdict::CannotConclude, "{}", finding.text);
        assert!(finding.missing[0].place.as_str().ends_with("/strength/wll_choke"));
    }
    assert!(of(&assessment, Code::SetOfLegs).is_empty());
}

#[test]
fn a_choke_ends_at_its_choke_point_and_nothing_else_does() {
    let mut straight = exact(&[("/legs/0/hitch", json!("straight"))]);
    let error = rigging_core::arrangement::Lift::from_json(&straight.to_string()).unwrap_err();
    assert_eq!((error.code(), error.place().as_str()), ("inconsistent", "/legs/0/path/1"));
    super::patching::set(&mut straight, "/legs/0/hitch", json!({ "choke": {} }));
    super::patching::set(&mut straight, "/slings/0/length/measured", json!("bearing_to_bearing"));
    let lift = rigging_core::arrangement::Lift::from_json(&straight.to_string()).unwrap();
    let error = lift.solve().unwrap_err();
    assert_eq!((error.code(), error.place().as_str()), ("unsupported", "/slings/0/length/measured"));
}

#[test]
fn the_report_names_what_is_missing_and_every_factor_with_its_source() {
    let document = changed(DEMO, &[]);
    let lift = rigging_core::arrangement::Lift::from_json(&document.to_string()).unwrap();
    let report = |rules: &RuleSet| {
        let assessment = lift.assess(rules).unwrap();
        rigging_core::report::text(&assessment, &assessment.remedy(&lift).unwrap())
    };
    let silent = report(&built_in("us-general"));
    println!("{silent}");
    assert!(silent.starts_with("verdict: cannot conclude"), "{silent}");
    assert!(silent.contains("\"wll_choke\": \"… t\""), "{silent}");
    let ruled = report(&set(&[FIXED, BY_ANGLE, TWO_LEGS]));
    assert!(ruled.starts_with("verdict: fail"), "{ruled}");
    for said in ["choked over straight", "share of the choked rating", "two choked legs", "EN 1492-1", "ASME B30.9"] {
        assert!(ruled.contains(said), "{said} is not in the report:\n{ruled}");
    }
}
