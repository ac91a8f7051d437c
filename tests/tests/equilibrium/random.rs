//! Random bridles: none may fail, none may go uncertified, and a verifier of its own checks each one.
//!
//! More cases: `RIGGING_RANDOM_CASES=1000000 cargo test --release -p rigging-tests --test equilibrium random -- --nocapture`.

use crate::generator::random_rig;
use crate::verifier::verify;
use rigging_core::equilibrium::{State, solve};

const SEED: u64 = 1;
const CASES: u64 = 100_000;

#[derive(Default)]
struct Tally {
    iterations: Vec<usize>,
    with_slack: usize,
    stable: usize,
    neutral: usize,
    unstable: usize,
    lost: usize,
    lowest: usize,
    failures: Vec<String>,
}

fn run(cases: std::ops::Range<u64>) -> Tally {
    let mut tally = Tally::default();
    for case in cases {
        let rig = random_rig(SEED, case, [10.0, 1.0e7]);
        let certificate = match solve(&rig.system()) {
            Ok(certificate) => certificate,
            Err(error) => {
                tally.failures.push(format!("case {case}: {error}"));
                continue;
            }
        };
        tally.iterations.push(certificate.iterations);
        tally.with_slack += usize::from(certificate.members.iter().any(|member| member.slack));
        tally.lowest += usize::from(certificate.lowest);
        *match certificate.state {
            State::Stable => &mut tally.stable,
            State::Neutral => &mut tally.neutral,
            State::Unstable => &mut tally.unstable,
            State::Lost => &mut tally.lost,
        } += 1;
        for certificate in std::iter::once(&certificate).chain(certificate.destination.as_deref()) {
            if let Err(text) = verify(&rig, certificate) {
                tally.failures.push(format!("case {case}: {text}"));
            }
        }
    }
    tally
}

#[test]
fn every_random_bridle_is_certified_and_verified() {
    let total = std::env::var("RIGGING_RANDOM_CASES").map_or(CASES, |text| text.parse().unwrap());
    let parts = std::thread::scope(|scope| {
        let other = scope.spawn(move || run(0..total / 2));
        let this = run(total / 2..total);
        [this, other.join().unwrap()]
    });
    let sum = |pick: fn(&Tally) -> usize| parts.iter().map(pick).sum::<usize>();
    let mut iterations: Vec<usize> = parts.iter().flat_map(|part| part.iterations.iter().copied()).collect();
    iterations.sort_unstable();
    let quantile = |share: f64| iterations[((iterations.len() - 1) as f64 * share) as usize];
    let slack = sum(|t| t.with_slack) as f64 / total as f64;
    let bad = (sum(|t| t.lost) + sum(|t| t.unstable)) as f64 / total as f64;
    println!(
        "random bridles: {} ran, 0 skipped; stable {}, neutral {}, unstable {}, lost {}; proven lowest {}; {:.1} % with a slack leg, {:.1} % unstable or lost",
        iterations.len(),
        sum(|t| t.stable),
        sum(|t| t.neutral),
        sum(|t| t.unstable),
        sum(|t| t.lost),
        sum(|t| t.lowest),
        100.0 * slack,
        100.0 * bad,
    );
    println!(
        "iterations: p50 {}, p99 {}, p99.9 {}, max {}",
        quantile(0.5),
        quantile(0.99),
        quantile(0.999),
        quantile(1.0)
    );
    let failures: Vec<&String> = parts.iter().flat_map(|part| &part.failures).collect();
    for line in failures.iter().take(40) {
        println!("{line}");
    }
    assert!(failures.is_empty(), "{} failures", failures.len());
    assert_eq!(iterations.len() as u64, total);
    assert!(slack >= 0.20 && bad >= 0.01);
    // The long ones are bridles whose branch is looked at again in finer steps.
    assert!(quantile(0.5) <= 6 && quantile(0.999) <= 3_000 && quantile(1.0) <= 40_000);
}
