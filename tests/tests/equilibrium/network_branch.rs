//! The branch of networks: a descent in steps of at most a quarter must end where one in steps of 0.005 ends.
//!
//! Both are the library's own descent: what is compared is the length of its steps, not the solver with another one.

use crate::network_generator::random_network;
use rigging_core::equilibrium::State;
use rigging_core::equilibrium::network::{Network, Workspace};

const CASES: u64 = 1000;
/// The longest step of the slow descent (relative motion).
const SLOW: f64 = 0.005;
/// A tension may differ by this share of the largest: both descents end in a balance to 1e-10 of the weight, of which
/// soft modes and near-slack members make more.
const TENSION: f64 = 1.0e-6;

#[derive(Default)]
struct Count {
    compared: usize,
    skipped: usize,
    by_state: usize,
    differ: Vec<String>,
}

fn compare(cases: impl Iterator<Item = u64>) -> Count {
    let mut count = Count::default();
    let (mut quick, mut slow) = (Workspace::default(), Workspace::default());
    for case in cases {
        let drawn = random_network(23, case);
        let network = Network::new(&drawn.system);
        let here = network.solve(&mut quick).unwrap();
        let Ok(there) = network.descend_slowly(&mut slow, SLOW) else {
            count.skipped += 1;
            continue;
        };
        count.compared += 1;
        if (here.state == State::Lost) != (there.state == State::Lost) {
            count.by_state += 1;
        } else if here.state != State::Stable {
            // Where a lost load ends is of no account; a balance that symmetry holds is left by rounding.
            continue;
        }
        let largest = slow.tensions().fold(0.0, f64::max);
        let off = quick.tensions().zip(slow.tensions()).map(|(a, b)| (a - b).abs()).fold(0.0, f64::max);
        if here.state != there.state && here.state == State::Lost || off > TENSION * largest {
            count.differ.push(format!(
                "case {case} (family {}, {} points): {:?} and {:?}, tensions off by {:.1e} of the largest; {} and {} steps",
                drawn.family,
                drawn.points,
                here.state,
                there.state,
                off / largest,
                here.iterations,
                there.iterations
            ));
        }
    }
    count
}

#[test]
fn a_network_ends_where_short_steps_end() {
    let total = std::env::var("RIGGING_BRANCH_NETWORKS").map_or(CASES, |text| text.parse().unwrap());
    let halves = std::thread::scope(|scope| {
        let other = scope.spawn(move || compare((0..total).filter(|case| case % 2 == 1)));
        let this = compare((0..total).filter(|case| case % 2 == 0));
        [this, other.join().unwrap()]
    });
    let sum = |pick: fn(&Count) -> usize| halves.iter().map(pick).sum::<usize>();
    let differ: Vec<&String> = halves.iter().flat_map(|half| &half.differ).collect();
    println!(
        "branch of networks: {} compared, {} skipped (no rest), {} differ, {} of them in being lost",
        sum(|c| c.compared),
        sum(|c| c.skipped),
        differ.len(),
        sum(|c| c.by_state)
    );
    for line in &differ {
        println!("{line}");
    }
    assert_eq!(sum(|c| c.compared) + sum(|c| c.skipped), total as usize);
    assert!(differ.is_empty());
}
