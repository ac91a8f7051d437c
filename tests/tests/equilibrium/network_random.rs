//! Random networks: none may fail, none may go uncertified, and a verifier of its own checks each one.
//!
//! The whole 10,000: `RIGGING_RANDOM_NETWORKS=10000 cargo test --release -p rigging-tests --test equilibrium network_random --
//! --nocapture`.

use crate::network_generator::{FAMILIES, random_network};
use crate::network_verifier::{Verified, verify};
use rigging_core::equilibrium::{State, solve};

const SEED: u64 = 11;
const CASES: u64 = 2_000;

#[derive(Default)]
struct Tally {
    iterations: Vec<usize>,
    families: [usize; FAMILIES.len()],
    states: [usize; 4],
    with_slack: usize,
    sixty_four: usize,
    verified: Verified,
    failures: Vec<String>,
}

fn run(cases: impl Iterator<Item = u64>) -> Tally {
    let mut tally = Tally::default();
    for case in cases {
        let drawn = random_network(SEED, case);
        let told = |text: String| format!("case {case} ({}, {} points): {text}", FAMILIES[drawn.family], drawn.points);
        let certificate = match solve(&drawn.system) {
            Ok(certificate) => certificate,
            Err(error) => {
                tally.failures.push(told(error.to_string()));
                continue;
            }
        };
        tally.iterations.push(certificate.iterations);
        tally.families[drawn.family] += 1;
        tally.sixty_four += usize::from(drawn.points == 64);
        tally.with_slack += usize::from(certificate.members.iter().any(|member| member.slack));
        tally.states[match certificate.state {
            State::Stable => 0,
            State::Neutral => 1,
            State::Unstable => 2,
            State::Lost => 3,
        }] += 1;
        for certificate in std::iter::once(&certificate).chain(certificate.destination.as_deref()) {
            match verify(&drawn.system, certificate) {
                Ok(verified) => tally.verified.add(&verified),
                Err(text) => tally.failures.push(told(text)),
            }
        }
    }
    tally
}

#[test]
fn every_random_network_is_certified_and_verified() {
    let total = std::env::var("RIGGING_RANDOM_NETWORKS").map_or(CASES, |text| text.parse().unwrap());
    if let Ok(only) = std::env::var("RIGGING_RANDOM_NETWORK") {
        let tally = run(std::iter::once(only.parse().unwrap()));
        assert!(tally.failures.is_empty(), "{:#?}", tally.failures);
        return;
    }
    let parts = std::thread::scope(|scope| {
        let other = scope.spawn(move || run((0..total).filter(|case| case % 2 == 1)));
        let this = run((0..total).filter(|case| case % 2 == 0));
        [this, other.join().unwrap()]
    });
    let sum = |pick: &dyn Fn(&Tally) -> usize| parts.iter().map(pick).sum::<usize>();
    let mut iterations: Vec<usize> = parts.iter().flat_map(|part| part.iterations.iter().copied()).collect();
    iterations.sort_unstable();
    let quantile = |share: f64| iterations[((iterations.len() - 1) as f64 * share) as usize];
    println!("random networks: {} ran, 0 skipped, {} of 64 points", iterations.len(), sum(&|t| t.sixty_four));
    for (index, family) in FAMILIES.iter().enumerate() {
        println!("  {family}: {}", sum(&|t| t.families[index]));
    }
    let states: [usize; 4] = std::array::from_fn(|index| sum(&|t| t.states[index]));
    let slack = sum(&|t| t.with_slack);
    println!(
        "stable {}, neutral {}, unstable {}, lost {}; with a slack member {slack}",
        states[0], states[1], states[2], states[3]
    );
    println!("steps: p50 {}, p99 {}, p99.9 {}, max {}", quantile(0.5), quantile(0.99), quantile(0.999), quantile(1.0));
    println!(
        "refined in 32 digits {}, inertia by differences {}, of these with a mode near zero {}",
        sum(&|t| t.verified.refined),
        sum(&|t| t.verified.inertia),
        sum(&|t| t.verified.near_zero)
    );
    let failures: Vec<&String> = parts.iter().flat_map(|part| &part.failures).collect();
    for line in failures.iter().take(60) {
        println!("{line}");
    }
    assert!(failures.is_empty(), "{} failures", failures.len());
    assert_eq!(iterations.len() as u64, total);
    assert!(slack as u64 * 10 > total && states.iter().all(|count| *count as u64 * 200 > total));
}
