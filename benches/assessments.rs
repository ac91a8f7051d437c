//! Assessments by the dozen thousand: `cargo bench -p rigging-benches --bench assessments`.
//!
//! A full assessment of the skid, four legs with tolerances on lengths and center of gravity, under one rule set: at most
//! 50 µs are asked. Ten thousand lifts, each another, under four rule sets on two threads: one second is asked. On a busy
//! machine the least of the rounds tells more than the median.
//!
//! Memory is handed out as in the Python module; `--features system_allocator` leaves that to the operating system's library.

use rigging_benches as _;
use rigging_core::arrangement::{Document, Lift};
use rigging_core::choice::assess_each;
use rigging_core::error::Error;
use rigging_core::gear::Known;
use rigging_core::quantity::{Entered, Length, Mass};
use rigging_core::rules::RuleSet;
use std::hint::black_box;
use std::time::Instant;

const DEMO: &str = include_str!("../rigging-core/examples/lifts/generator-skid.json");
const LIFTS: usize = 10_000;
const THREADS: usize = 2;
/// The sets that come with the library, and the two documents that say the most of the skid's gear.
const SETS: [&str; 4] = ["us-general", "marine-0027-nd-2016", "asme-b30-9", "us-navy"];
const ASKED_ONE: f64 = 50e-6;
const ASKED_ALL: f64 = 1.0;

/// One of 101 numbers from −1 to 1, by integers alone.
fn spread(index: usize) -> f64 {
    (index % 101) as f64 / 50.0 - 1.0
}

/// Median and least time of one call, in s.
fn time(calls: usize, rounds: usize, mut call: impl FnMut()) -> [f64; 2] {
    let mut times: Vec<f64> = (0..rounds)
        .map(|_| {
            let start = Instant::now();
            (0..calls).for_each(|_| call());
            start.elapsed().as_secs_f64() / calls as f64
        })
        .collect();
    times.sort_by(f64::total_cmp);
    [rounds / 2, 0].map(|at| times.get(at).copied().unwrap_or(f64::NAN))
}

/// The skid with another mass, center of gravity and lengths.
fn varied(drawn: &Document, number: usize) -> Result<Lift, Error> {
    let mut document = drawn.clone();
    document.name = format!("lift {number}").into();
    document.load.mass.value = Entered::from(Mass::tonnes(18.5 + 0.5 * spread(number))).into();
    if let Known::Value([x, y, _]) = &mut document.load.center_of_gravity.position {
        *x = Length::meters(0.45 + 0.05 * spread(7 * number)).into();
        *y = Length::meters(-0.12 + 0.05 * spread(3 * number)).into();
    }
    for (sling, leg) in document.slings.iter_mut().zip(0..) {
        sling.length.value = Entered::from(Length::meters(6.0 + 0.02 * spread(11 * number + 29 * leg))).into();
    }
    Lift::new(document)
}

fn main() -> Result<(), Error> {
    let skid = Lift::from_json(DEMO)?;
    let sets = SETS.iter().map(|name| RuleSet::built_in(name)).collect::<Result<Vec<_>, _>>()?;
    for rules in &sets {
        let [median, least] = time(50, 61, || assert!(black_box(&skid).assess(black_box(rules)).is_ok()));
        let (median, least, asked) = (median * 1e6, least * 1e6, ASKED_ONE * 1e6);
        println!("the skid under {:<20} {median:>7.1} µs, least {least:>7.1} µs; asked {asked} µs", rules.name());
    }
    let lifts = (0..LIFTS).map(|number| varied(skid.document(), number)).collect::<Result<Vec<_>, _>>()?;
    let sets: Vec<&RuleSet> = sets.iter().collect();
    for threads in [1, THREADS] {
        let [median, least] = time(1, 5, || {
            let findings = assess_each(&lifts, &sets, threads, |_, found| {
                found.into_iter().map(|found| found.map_or(0, |assessment| assessment.findings.len())).sum::<usize>()
            });
            assert!(black_box(findings).iter().all(|count| *count > 0));
        });
        println!(
            "{LIFTS} lifts under {} sets, {threads} thread(s) {median:>7.3} s, least {least:>7.3} s: {:.0} assessments a second; \
             asked {ASKED_ALL} s on {THREADS}",
            sets.len(),
            (LIFTS * sets.len()) as f64 / least
        );
    }
    Ok(())
}
