//! Two cranes, a spreader and a frame: the demo lifts against closed forms of statics, each derived here apart from the
//! library.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::indexing_slicing)]

#[path = "support/patching.rs"]
mod patching;

use approx::assert_abs_diff_eq;
use rigging_core::arrangement::Lift;
use rigging_core::equilibrium::{Certificate, State};
use serde_json::{Value, json};

const GRAVITY: f64 = 9.806_65;
/// Half of the last printed digit of a hook load in tonnes.
const TONNES: f64 = 0.005;

fn solve(document: &Value) -> Certificate {
    Lift::from_json(&document.to_string()).unwrap().solve().unwrap()
}

fn tonnes(certificate: &Certificate) -> Vec<f64> {
    certificate.hooks.iter().map(|force| -force.z / GRAVITY / 1e3).collect()
}

/// The vessel with its contingency, the center of gravity at (`x`, 0, `z`) and hook B higher by `rise`.
fn vessel(x: f64, z: f64, rise: f64) -> Value {
    let mut document = patching::demo("vessel-two-cranes");
    document["load"]["mass"]["value"] = json!("98.88 t");
    document["load"]["center_of_gravity"]["position"] = json!([format!("{x} m"), "0 m", format!("{z} m")]);
    document["hooks"][1]["position"][2] = json!(format!("{} m", 9.0 + rise));
    document
}

/// Shares of two plumb lines on a body turned by the difference of their heights: moments about the lower point, with
/// the center of gravity `z` off the line of the points, and `x` along it. The lines lean by what the span shortens.
fn lever(weight: f64, span: f64, x: f64, z: f64, rise: f64, lines: f64) -> [f64; 2] {
    let sine = rise / span;
    let cosine = (1.0 - sine * sine).sqrt();
    // Horizontal distances from point A; up is what the body is turned by.
    let (to_b, to_center) = (span * cosine, x * cosine - z * sine);
    // Both lines lean inward by the same angle, so their horizontal pulls H cancel; H has a lever of the rise.
    let lean = (span - to_b) / 2.0 / lines;
    // V_B·to_b + H·rise = W·to_center with H = V_A·lean taken as the mean of both.
    let b = (weight * to_center - 0.5 * weight * lean * rise) / to_b;
    [weight - b, b]
}

#[test]
fn two_cranes_share_by_lever_and_height() {
    for (x, z, rise, printed) in [
        (10.4, -1.1, 0.0, [56.03, 42.85]),
        (10.0, -1.1, 0.0, [57.68, 41.20]),
        (10.8, -1.1, 0.0, [54.38, 44.50]),
        (10.4, -1.1, 1.0, [55.84, 43.04]),
        (10.4, 4.0, 1.0, [56.72, 42.16]),
    ] {
        let certificate = solve(&vessel(x, z, rise));
        let found = tonnes(&certificate);
        let derived = lever(98.88, 24.0, x, z, rise, 9.0);
        for index in 0..2 {
            assert_abs_diff_eq!(found[index], printed[index], epsilon = TONNES);
            assert_abs_diff_eq!(found[index], derived[index], epsilon = 2.0 * TONNES);
        }
        // With the center of gravity above the line of two points, nothing holds the vessel from rolling over.
        assert_eq!(certificate.state, if z > 0.0 { State::Unstable } else { State::Stable });
    }
}

fn panel(change: impl Fn(&mut Value)) -> Certificate {
    let mut document = patching::demo("panel-spreader");
    change(&mut document);
    solve(&document)
}

#[test]
fn the_panel_hangs_from_the_spreader_as_statics_says() {
    let certificate = panel(|_| ());
    let (load, bar) = (20.70 * GRAVITY, 1.1 * GRAVITY);
    // A quarter of the panel on each lower sling, 1.0 m out on 3.00 m.
    let lower = load / 4.0 / (1.0 - 1.0 / 9.0_f64).sqrt();
    // Half of all on either end, two slings at 60° from horizontal.
    let upper = (load + bar) / 4.0 / (0.75_f64).sqrt();
    assert_abs_diff_eq!(lower, 53.8, epsilon = 0.05);
    assert_abs_diff_eq!(upper, 61.7, epsilon = 0.05);
    for (index, member) in certificate.members.iter().enumerate() {
        // Slings that stretch by 0.3 % stand a little steeper than drawn.
        let expected = if index < 4 { upper } else { lower };
        assert_abs_diff_eq!(member.tension / 1e3, expected, epsilon = 0.1);
    }
    assert_eq!((certificate.state, certificate.null_modes), (State::Stable, 1));
}

#[test]
fn of_two_parallel_slings_the_shorter_carries_more() {
    let even = 61.65;
    let stretch = |tension: f64| tension / 20_000.0 * 9.0;
    // Springs in parallel: the difference of tensions is EA/L times the difference of lengths, the sum stays.
    for (short, expected) in [(stretch(even), 1.5 * even), (stretch(2.0 * even), 2.0 * even)] {
        let certificate =
            panel(|document| document["slings"][0]["length"]["value"] = json!(format!("{} m", 9.0 - short)));
        let [first, second] = [0, 1].map(|index| certificate.members[index].tension / 1e3);
        // The spreader tilts a little, and its slings with it.
        assert_abs_diff_eq!(first, expected, epsilon = 0.005 * expected);
        assert_abs_diff_eq!(first + second, 2.0 * even, epsilon = 0.5);
        // The other end feels nothing of it, and the lower slings hardly more.
        assert_abs_diff_eq!(certificate.members[2].tension, certificate.members[3].tension, epsilon = 1.0);
    }
    // Short by the stretch that one sling has when it carries all: about 123 kN, and nothing on its neighbor.
    let all = panel(|document| {
        document["slings"][0]["length"]["value"] = json!(format!("{} m", 9.0 - stretch(2.0 * even)));
    });
    assert_abs_diff_eq!(all.members[0].tension / 1e3, 123.0, epsilon = 0.5);
    assert!(all.members[1].tension < 0.01 * all.members[0].tension);
}

/// The item under its frame with the center of gravity `height` above its base.
fn frame(height: f64, stiffness: &str) -> State {
    let mut document = patching::demo("frame-tall-item");
    document["load"]["center_of_gravity"]["position"][2] = json!(format!("{} m", height - 4.73));
    for sling in document["slings"].as_array_mut().unwrap() {
        sling["stiffness"]["law"]["ea"] = json!(stiffness);
    }
    solve(&document).state
}

#[test]
fn the_frame_holds_the_item_up_to_the_height_that_statics_gives() {
    // Stiff: bridle and frame swing about the hook by α, parallel slings by β, and keep the item parallel to the frame.
    // To second order the weights rise by ½·[0.6·1.73 + 6.0·(1.73 − c)]·α² + ½·6.0·3.0·β², which is least at rest as
    // long as c < 1.73·(1 + 0.6/6.0), whatever the length of the slings.
    let limit = 1.73 * (1.0 + 0.6 / 6.0);
    assert_abs_diff_eq!(limit, 1.90, epsilon = 0.005);
    assert_eq!(frame(limit - 0.002, "200000 MN"), State::Stable);
    assert_eq!(frame(limit + 0.002, "200000 MN"), State::Unstable);
    // Soft slings let it go earlier.
    assert_eq!(frame(1.765, "2 MN"), State::Stable);
    assert_eq!(frame(1.775, "2 MN"), State::Unstable);
}
