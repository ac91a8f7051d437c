//! The branch: the solver must end where a slow descent ends that knows nothing but the gradient.
//!
//! The slow descent moves the hook against the gradient of the potential energy in steps so short that it follows the
//! path of steepest descent; it has no Hessian, no shift, no continuation and no memory. It shares no code with the
//! solver.

use crate::generator::{Rig, random_rig};
use glam::DVec3;
use rigging_core::equilibrium::State;
use rigging_core::equilibrium::bridle::Workspace;

/// Unbalanced force, over the weight, at which the slow descent stops.
const AT_REST: f64 = 1.0e-7;
/// Allowed angle between both upward directions, rad: the slow descent stops this far from the end at worst.
const SAME_POSE: f64 = 0.02;

/// The longest step of the slow descent, over the hook's height above the center of gravity.
const LONGEST: f64 = 2.0e-3;

/// The hook's end position relative to the center of gravity, or nothing if the descent did not come to rest.
pub fn slow_descent(rig: &Rig) -> Option<DVec3> {
    let weight = rig.weight();
    let points: Vec<DVec3> = rig.points.iter().map(|p| *p - rig.center_of_gravity).collect();
    let springs: Vec<f64> = rig.stiffnesses.iter().zip(&rig.lengths).map(|(ea, l)| ea / l).collect();
    // The height at which the first leg is straight, found by walking up the plumb line.
    let straight = points.iter().zip(&rig.lengths).filter_map(|(p, l)| {
        let aside = p.x.hypot(p.y);
        let height = p.z + (l * l - aside * aside).sqrt();
        (aside < *l && height > 0.0).then_some(height)
    });
    let start = straight.fold(f64::INFINITY, f64::min);
    let mean = rig.lengths.iter().sum::<f64>() / rig.lengths.len() as f64;
    let mut hook = DVec3::new(0.0, 0.0, if start.is_finite() { start } else { 0.5 * mean });
    let rate = 0.5 / springs.iter().sum::<f64>();
    for _ in 0..4_000_000 {
        let mut pull = DVec3::ZERO;
        for ((p, l), k) in points.iter().zip(&rig.lengths).zip(&springs) {
            let arm = hook - *p;
            let distance = arm.length();
            pull += arm * (k * (distance - l).max(0.0) / distance);
        }
        let height = hook.length();
        let gradient = pull - hook * (weight / height);
        let size = gradient.length();
        if size < AT_REST * weight {
            return Some(hook);
        }
        hook -= gradient * rate.min(LONGEST * height / size);
    }
    None
}

/// The same for members that do not stretch: the hook rises away from the center of gravity in short steps, and after
/// each is brought back to the nearest point within reach of every leg (Dykstra's projection on the balls around the
/// lugs). Nothing if the legs leave no such point, or the descent does not come to rest.
pub fn inextensible_descent(rig: &Rig) -> Option<DVec3> {
    let points: Vec<DVec3> = rig.points.iter().map(|p| *p - rig.center_of_gravity).collect();
    let straight = points.iter().zip(&rig.lengths).filter_map(|(p, l)| {
        let aside = p.x.hypot(p.y);
        let height = p.z + (l * l - aside * aside).sqrt();
        (aside < *l && height > 0.0).then_some(height)
    });
    let start = straight.fold(f64::INFINITY, f64::min);
    if !start.is_finite() {
        return None;
    }
    let mut hook = within_reach(&points, &rig.lengths, DVec3::new(0.0, 0.0, start))?;
    for _ in 0..60_000 {
        let height = hook.length();
        let next = within_reach(&points, &rig.lengths, hook * (1.0 + 2.0e-3))?;
        let moved = (next - hook).length();
        hook = next;
        if moved < 1.0e-10 * height {
            return Some(hook);
        }
    }
    None
}

fn within_reach(points: &[DVec3], lengths: &[f64], from: DVec3) -> Option<DVec3> {
    let mut at = from;
    let mut memory = vec![DVec3::ZERO; points.len()];
    for _ in 0..2_000 {
        let before = at;
        for ((p, l), kept) in points.iter().zip(lengths).zip(&mut memory) {
            let wanted = at + *kept;
            let arm = wanted - *p;
            let distance = arm.length();
            at = if distance > *l { *p + arm * (l / distance) } else { wanted };
            *kept = wanted - at;
        }
        if (at - before).length() < 1.0e-12 * from.length() {
            let reach = points.iter().zip(lengths).all(|(p, l)| (at - *p).length() < l * (1.0 + 1.0e-9));
            return reach.then_some(at);
        }
    }
    None
}

struct Count {
    compared: usize,
    skipped: usize,
    lost: usize,
    differ: Vec<String>,
}

fn compare(seed: u64, cases: std::ops::Range<u64>, stiffness: [f64; 2], slow: fn(&Rig) -> Option<DVec3>) -> Count {
    let mut count = Count { compared: 0, skipped: 0, lost: 0, differ: Vec::new() };
    let mut workspace = Workspace::default();
    for case in cases {
        let rig = random_rig(seed, case, stiffness);
        let outcome = rig.bridle().solve(&mut workspace).unwrap();
        let Some(hook) = slow(&rig) else {
            count.skipped += 1;
            continue;
        };
        count.compared += 1;
        let up = hook.normalize();
        count.lost += usize::from(up.z < 0.0);
        let turned_over = outcome.state == State::Lost;
        if outcome.state == State::Unstable {
            // A balance that symmetry holds holds the slow descent too, as long as rounding lets it.
            continue;
        }
        // Where a lost load ends is of no account, as long as it is lost.
        let other_pose = !turned_over && (up - outcome.up).length() > SAME_POSE;
        if other_pose || turned_over != (up.z < 0.0) {
            count.differ.push(format!(
                "case {case}: {:?} up {} against {up}, {} legs",
                outcome.state,
                outcome.up,
                rig.points.len()
            ));
        }
    }
    count
}

/// `RIGGING_BRANCH_CASES` sets another number of cases; the count of skipped ones is then not compared.
fn check(name: &str, usual: u64, stiffness: [f64; 2], slow: fn(&Rig) -> Option<DVec3>, usually_skipped: usize) {
    let total = std::env::var("RIGGING_BRANCH_CASES").map_or(usual, |text| text.parse().unwrap());
    let halves = std::thread::scope(|scope| {
        let other = scope.spawn(move || compare(7, 0..total / 2, stiffness, slow));
        let this = compare(7, total / 2..total, stiffness, slow);
        [this, other.join().unwrap()]
    });
    let sum = |pick: fn(&Count) -> usize| halves.iter().map(pick).sum::<usize>();
    let (compared, skipped, lost) = (sum(|c| c.compared), sum(|c| c.skipped), sum(|c| c.lost));
    let differ: Vec<&String> = halves.iter().flat_map(|half| &half.differ).collect();
    println!(
        "branch, {name}: {compared} compared, {skipped} skipped (no rest), {lost} turn over, {} differ",
        differ.len()
    );
    for line in &differ {
        println!("{line}");
    }
    assert!(differ.is_empty());
    assert_eq!(compared + skipped, total as usize);
    assert!(total != usual || skipped == usually_skipped, "{skipped} skipped");
    assert!(lost * 50 > compared, "too few loads turn over to mean anything");
}

#[test]
fn the_branch_is_that_of_the_slow_descent() {
    check("elastic members, EA/W 10 to 300", 1500, [10.0, 300.0], slow_descent, 1);
}

#[test]
fn the_branch_of_stiff_members_is_that_of_inextensible_ones() {
    check("EA/W 1e6 to 1e7 against inextensible", 600, [1.0e6, 1.0e7], inextensible_descent, 100);
}

/// Random bridles on which long steps end on another branch than the slow descent, one of them in a pose that looks
/// sound while the load in truth turns over.
#[test]
fn long_steps_are_not_trusted_where_branches_part() {
    let mut workspace = Workspace::default();
    let cases = [64_008, 133_773, 119_461, 141_666];
    for case in cases {
        let rig = random_rig(1, case, [10.0, 1.0e7]);
        let outcome = rig.bridle().solve(&mut workspace).unwrap();
        let up = slow_descent(&rig).unwrap().normalize();
        println!("case {case}: {:?} up {} slow {up}", outcome.state, outcome.up);
        assert_eq!(outcome.state == State::Lost, up.z < 0.0, "case {case}");
        assert!(up.z < 0.0 || (up - outcome.up).length() < SAME_POSE, "case {case}");
    }
    println!("parting branches: {} ran, 0 skipped", cases.len());
}
