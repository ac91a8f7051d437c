//! Baskets and doubled slings: by a factor for plumb legs, by a band of angles, by the tag, and by the bend they are based on.

use super::finding::{GRAVITY, assess, built_in, capacity, changed, first, of, own};
use approx::assert_relative_eq;
use rigging_core::checks::{Assessment, Code, Finding, Verdict};
use rigging_core::rules::RuleSet;
use serde_json::{Value, json};

const WLL: f64 = 4_000.0 * GRAVITY;

/// The pipe bundle in two baskets, the hook so high above them, on slings that are changed.
fn baskets(height: f64, keys: &[(&str, Value)]) -> Value {
    let mut changes = Vec::new();
    let span = (3.05_f64.powi(2) + 0.16_f64.powi(2) + height.powi(2)).sqrt();
    for (index, x) in ["3.05 m", "-3.05 m"].into_iter().enumerate() {
        let over = |y: &str| {
            json!({ "over": {
                "position": [x, y, "0.30 m"],
                "friction": { "value": [0.1, 0.3], "source": "trial on coated pipe, record T-19" },
                "bearing_diameter": "323.9 mm"
            } })
        };
        let path = json!([{ "end": "crane hook" }, over("0.16 m"), over("-0.16 m"), { "end": "crane hook" }]);
        changes.push((format!("/legs/{index}/hitch"), json!("basket")));
        changes.push((format!("/legs/{index}/path"), path));
        let length = format!("{:.3} m", 2.0 * span + 0.32);
        changes.push((format!("/slings/{index}/length/value"), json!(length)));
        changes.extend(keys.iter().map(|(key, value)| (format!("/slings/{index}/{key}"), value.clone())));
    }
    // The legs cross the bundle low enough that it hangs below them.
    changes.push(("/load/center_of_gravity/position".to_owned(), json!(["0 m", "0 m", "0.10 m"])));
    let changes: Vec<_> = changes.iter().map(|(pointer, value)| (pointer.as_str(), value.clone())).collect();
    changed("lay-down-pipes-choked", &changes)
}

fn strength(assessment: &Assessment) -> &Finding {
    first(assessment, Code::SlingStrength)
}

fn flattest(assessment: &Assessment) -> f64 {
    assessment.legs[0].angle_from_vertical
}

/// A rule of the firm: a parallel basket bears twice.
fn parallel() -> RuleSet {
    let rule = r#"
[[rule]]
answers = "hitch factor"
name = "basket with plumb legs over straight"
when = { construction = "roundsling", hitch = "parallel basket" }
relation = "constant"
value = 2
source = "note"
clause = "7"
"#;
    own("parallel", "", rule)
}

#[test]
fn a_factor_for_plumb_legs_serves_inclined_ones_by_statics() {
    for height in [2.5, 5.0, 20.0] {
        let assessment = assess(&baskets(height, &[]), &parallel());
        let finding = strength(&assessment);
        // Twice the marking over two legs: each bears the marking, and the tension holds the angle.
        assert_relative_eq!(capacity(finding), WLL, max_relative = 1e-12);
        let angle = (3.05_f64.hypot(0.16) / height).atan();
        // The largest over the tolerances, which move the center of gravity by 50 mm.
        assert!((flattest(&assessment) - angle).abs() < 0.03, "{height}: {}", flattest(&assessment).to_degrees());
        // The least friction may leave the two sides unlike; the busier one is what is held against the rating.
        let share = 5050.0 * GRAVITY / 4.0 / angle.cos();
        let asked = finding.demand.as_ref().unwrap().value();
        // At most e^(0.3·π) to 1, that is 1.44 times the even share, before tolerances.
        assert!(asked > 0.99 * share && asked < 1.75 * share, "{height}: {asked} {share}");
    }
}

#[test]
fn a_band_of_angles_goes_before_trigonometry_and_a_cell_not_seen_before_a_guess() {
    let web = [("construction", json!("web")), ("termination", json!("sewn_eye")), ("width", json!("60 mm"))];
    let rules = built_in("eu-en-1492-1");
    let steep = assess(&baskets(5.0, &web), &rules);
    assert_eq!(strength(&steep).verdict, Verdict::CannotConclude, "{}", strength(&steep).text);
    let flat = assess(&baskets(2.5, &web), &rules);
    let angle = flattest(&flat);
    assert!((45.0..60.0).contains(&angle.to_degrees()), "{angle}");
    // Mode factor 1.0 for the basket as a whole, over two legs at that angle.
    // The weight is printed, so of the angles within the tolerances the steepest is taken.
    let nominal = (3.05_f64.hypot(0.16) / 2.5).atan();
    let [most, least] = [angle, 2.0 * nominal - angle].map(|angle| WLL * 1.0 / (2.0 * angle.cos()));
    assert!(capacity(strength(&flat)) < most, "{} {most}", capacity(strength(&flat)));
    assert_relative_eq!(capacity(strength(&flat)), least, max_relative = 0.02);
    let branch = &strength(&flat).capacity.as_ref().unwrap().steps[0].term.not_taken;
    assert!(branch.iter().any(|branch| (branch.value - 2.0 * angle.cos()).abs() < 1e-12), "{branch:?}");
    // A factor that is suspected of a misprint is no factor.
    let rope = [
        ("construction", json!("wire_rope")),
        ("material", json!("steel")),
        ("termination", json!("mechanical_splice")),
        ("diameter", json!("12 mm")),
    ];
    let navy = assess(&baskets(5.0, &rope), &built_in("us-navy"));
    assert_eq!(strength(&navy).verdict, Verdict::CannotConclude, "{}", strength(&navy).text);
    // The same factors are for ropes and chain, and for no roundsling.
    let navy = assess(&baskets(5.0, &[]), &built_in("us-navy"));
    assert!(strength(&navy).missing[0].place.as_str().ends_with("/strength/wll_basket"), "{:?}", strength(&navy));
}

#[test]
fn a_marked_basket_holds_on_the_bend_that_it_is_based_on() {
    let ended = |termination: &str, diameter: &str| {
        [
            ("construction", json!("wire_rope")),
            ("material", json!("steel")),
            ("termination", json!(termination)),
            ("diameter", json!(diameter)),
            ("strength/wll_basket", json!("7 t")),
        ]
    };
    // 323.9 mm over 12 mm is 27.0, over 13 mm 24.9, where 25 is asked of an eye secured by a pressed sleeve, however that is called.
    for set in ["asme-b30-9", "us-consensus"] {
        let rules = built_in(set);
        for end in ["mechanical_splice", "steel_ferrule", "aluminum_ferrule"] {
            let finding = assess(&baskets(5.0, &ended(end, "12 mm")), &rules);
            assert_relative_eq!(capacity(strength(&finding)), 7_000.0 * GRAVITY / 2.0, max_relative = 1e-12);
            let finding = assess(&baskets(5.0, &ended(end, "13 mm")), &rules);
            assert_eq!(strength(&finding).verdict, Verdict::CannotConclude, "{set}, {end}");
            assert!(strength(&finding).text.contains("24.92"), "{}", strength(&finding).text);
        }
        // Of ends that are not secured so the copies do not speak; where the ends are not stated they are asked for.
        let spliced = assess(&baskets(5.0, &ended("hand_splice", "13 mm")), &rules);
        assert_relative_eq!(capacity(strength(&spliced)), 7_000.0 * GRAVITY / 2.0, max_relative = 1e-12);
        let open = assess(&baskets(5.0, &ended("unknown", "13 mm")), &rules);
        assert_eq!(strength(&open).missing[0].place.as_str(), "/slings/0/termination", "{set}");
    }
    // Without either word a basket is not rated.
    let finding = assess(&baskets(5.0, &[]), &built_in("us-general"));
    assert_eq!(strength(&finding).missing[0].place.as_str(), "/slings/0/strength/wll_basket");
}

/// A marking for a basket is one for plumb legs: no more than twice the straight one, it says nothing of inclined legs that the mode
/// factor of EN 1492-1 does not allow, and does not stand in for the factor that was not read.
#[test]
fn what_is_marked_for_a_basket_is_never_above_what_the_mode_factor_leaves() {
    let web = |marked: &[(&str, &str)], height: f64| {
        let mut keys = vec![
            ("construction", json!("web")),
            ("termination", json!("sewn_eye")),
            ("width", json!("60 mm")),
            ("strength/wll", json!("unknown")),
        ];
        keys.extend(marked.iter().map(|(key, value)| (*key, json!(value))));
        baskets(height, &keys)
    };
    const STRAIGHT: (&str, &str) = ("strength/wll", "4 t");
    const TWICE: (&str, &str) = ("strength/wll_basket", "8 t");
    for set in ["eu-general", "uk-general", "de-general", "eu-en-1492-1"] {
        let rules = built_in(set);
        let by_factor = capacity(strength(&assess(&web(&[STRAIGHT], 2.5), &rules)));
        assert!(by_factor < 0.8 * WLL, "{set}: {by_factor}");
        for marked in [&[STRAIGHT, TWICE][..], &[TWICE][..]] {
            let document = web(marked, 2.5);
            let flat = assess(&document, &rules);
            assert_relative_eq!(capacity(strength(&flat)), by_factor, max_relative = 1e-9);
            assert!(strength(&flat).capacity.as_ref().unwrap().is_coherent());
            let steep = assess(&web(marked, 5.0), &rules);
            assert_eq!(strength(&steep).verdict, Verdict::CannotConclude, "{set}: {}", strength(&steep).text);
        }
        // A lower marking binds.
        let low = assess(&web(&[STRAIGHT, ("strength/wll_basket", "2 t")], 2.5), &rules);
        assert_relative_eq!(capacity(strength(&low)), 1_000.0 * GRAVITY, max_relative = 1e-12);
    }
    // Where the set says nothing of baskets the marking stands by itself.
    let silent = assess(&web(&[STRAIGHT, TWICE], 2.5), &built_in("us-general"));
    assert_relative_eq!(capacity(strength(&silent)), WLL, max_relative = 1e-12);
}

#[test]
fn a_doubled_sling_is_rated_as_a_basket_with_plumb_legs_or_not_at_all() {
    let document = changed("generator-skid", &[("/legs/0/hitch", json!("doubled"))]);
    let rated = |rules: &RuleSet| {
        let assessment = assess(&document, rules);
        let findings = of(&assessment, Code::SlingStrength);
        let finding = findings.into_iter().find(|finding| finding.item == "roundsling A").unwrap().clone();
        (finding.verdict, finding.capacity.map(|chain| chain.value()))
    };
    let (verdict, capacity) = rated(&parallel());
    assert_eq!(verdict, Verdict::Pass);
    assert_relative_eq!(capacity.unwrap(), 2.0 * 12_000.0 * GRAVITY, max_relative = 1e-12);
    assert_eq!(rated(&built_in("us-general")), (Verdict::CannotConclude, None));
}
